/* Findings: made from a row of the list, kept one to a rule and name, sorted. */
#include "snub/findings.h"
#include "finding.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

/* ---- one --------------------------------------------------------------------------------------------------------- */

snub_finding snub_finding_of(const snub_drive *drive, snub_wording wording)
{
    const snub_wording_info *info = snub_wording_describe(wording);
    snub_finding finding = {.wording = wording, .level = info->level, .value = NAN, .limit = NAN};
    if (info->limit != SNUB_NO_LIMIT) {
        finding.limit = drive->limits[info->limit];
        finding.limit_source = snub_limit_preset(drive, (snub_limit)info->limit).source;
        finding.limit_line = snub_limit_given_at(drive, (snub_limit)info->limit);
    }
    return finding;
}

static snub_named *next_named(snub_finding *finding, const char *place)
{
    assert(finding->named_count < SNUB_NAMED_MOST);
    snub_named *named = &finding->named[finding->named_count++];
    *named = (snub_named){.name = place};
    return named;
}

static void add_number(snub_finding *finding, const char *place, double si, snub_unit unit, int decimals,
                       snub_rounding rounding)
{
    snub_named *named = next_named(finding, place);
    named->number = si;
    named->unit = unit;
    named->decimals = decimals;
    named->rounding = rounding;
}

void snub_finding_number(snub_finding *finding, const char *place, double si, snub_unit unit, int decimals)
{
    add_number(finding, place, si, unit, decimals, SNUB_ROUND_NEAREST);
}

void snub_finding_most(snub_finding *finding, const char *place, double si, snub_unit unit, int decimals)
{
    add_number(finding, place, si, unit, decimals, SNUB_ROUND_DOWN);
}

void snub_finding_least(snub_finding *finding, const char *place, double si, snub_unit unit, int decimals)
{
    add_number(finding, place, si, unit, decimals, SNUB_ROUND_UP);
}

void snub_finding_name(snub_finding *finding, const char *place, const char *name)
{
    next_named(finding, place)->text = name != NULL ? name : "";
}

void snub_finding_words(snub_finding *finding, const char *place, const char *english)
{
    snub_named *named = next_named(finding, place);
    named->text = english;
    named->words = true;
}

/* ---- the list ---------------------------------------------------------------------------------------------------- */

static bool same_text(const char *a, const char *b)
{
    return a == b || (a != NULL && b != NULL && strcmp(a, b) == 0);
}

static snub_rule rule_of(const snub_finding *finding)
{
    return snub_wording_describe(finding->wording)->rule;
}

static bool same_subject(const snub_finding *a, const snub_finding *b)
{
    return rule_of(a) == rule_of(b) && same_text(a->pulley, b->pulley) && same_text(a->other, b->other) &&
           same_text(a->second, b->second);
}

bool snub_finding_worse(const snub_finding *a, const snub_finding *b)
{
    if (a->level != b->level)
        return a->level > b->level;
    if (isnan(a->value) || isnan(b->value))
        return false;
    const double over_a = isnan(a->limit) ? a->value : a->value - a->limit;
    const double over_b = isnan(b->limit) ? b->value : b->value - b->limit;
    return fabs(over_a) > fabs(over_b);
}

static bool grow(snub_findings *findings, snub_arena *arena)
{
    const int room = findings->room > 0 ? 2 * findings->room : 16;
    snub_finding *items = SNUB_NEW(arena, snub_finding, room);
    if (items == NULL) {
        findings->failed = true;
        return false;
    }
    if (findings->count > 0)
        memcpy(items, findings->items, sizeof *items * (size_t)findings->count);
    findings->items = items;
    findings->room = room;
    return true;
}

void snub_findings_add(snub_findings *findings, snub_arena *arena, const snub_finding *finding)
{
    for (int i = 0; i < findings->count; i++) {
        snub_finding *old = &findings->items[i];
        if (!same_subject(old, finding))
            continue;
        if (snub_finding_worse(finding, old))
            *old = *finding;
        return;
    }
    if (findings->count == findings->room && !grow(findings, arena))
        return;
    findings->items[findings->count++] = *finding;
}

static int compare_texts(const char *a, const char *b)
{
    return strcmp(a != NULL ? a : "", b != NULL ? b : "");
}

/* How many times over its limit, or under one that must not be undershot. What has no limit, what is past nought from
 * it, and a failure just at the end of a travel know no measure: nothing is farther. */
static double times_over(const snub_finding *f)
{
    const double ratio = f->value / f->limit;
    if (!(ratio > 0.0) || isinf(ratio) || (ratio == 1.0 && f->level == SNUB_FAIL))
        return INFINITY;
    return ratio > 1.0 ? ratio : 1.0 / ratio;
}

static int by_weight(const void *a, const void *b)
{
    const snub_finding *x = a, *y = b;
    if (x->level != y->level)
        return x->level > y->level ? -1 : 1;
    const double over_x = times_over(x), over_y = times_over(y);
    if (over_x != over_y)
        return over_x > over_y ? -1 : 1;
    if (rule_of(x) != rule_of(y))
        return rule_of(x) < rule_of(y) ? -1 : 1;
    const int pulley = compare_texts(x->pulley, y->pulley), other = compare_texts(x->other, y->other);
    return pulley != 0 ? pulley : other != 0 ? other : compare_texts(x->second, y->second);
}

void snub_findings_sort(snub_findings *findings)
{
    if (findings->count > 1)
        qsort(findings->items, (size_t)findings->count, sizeof *findings->items, by_weight);
}

snub_level snub_findings_verdict(const snub_findings *findings)
{
    snub_level worst = SNUB_PASS;
    for (int i = 0; i < findings->count; i++) {
        if (findings->items[i].level > worst)
            worst = findings->items[i].level;
    }
    return worst == SNUB_NOTE ? SNUB_PASS : worst;
}

int snub_findings_count(const snub_findings *findings, snub_level level, snub_area area)
{
    int count = 0;
    for (int i = 0; i < findings->count; i++) {
        const snub_finding *f = &findings->items[i];
        count += f->level == level && (area == SNUB_AREAS_ || snub_rule_describe(rule_of(f))->area == area);
    }
    return count;
}
