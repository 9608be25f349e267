/* A list of findings that keeps the worst of each rule. */
#include "snub/kit.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const char *snub_level_text(snub_level level)
{
    static const char *const names[] = {"pass", "note", "watch", "fail"};
    return names[level];
}

const char *snub_running_text(snub_running running)
{
    static const char *const names[] = {"steady", "rising", "falling"};
    return running < SNUB_RUNNING_COUNT ? names[running] : "";
}

static bool same_text(const char *a, const char *b)
{
    return a == b || (a != NULL && b != NULL && strcmp(a, b) == 0);
}

/* How bad: the level first, then the distance from the limit. */
static bool worse(const snub_finding *a, const snub_finding *b)
{
    if (a->level != b->level)
        return a->level > b->level;
    if (isnan(a->value) || isnan(b->value))
        return false;
    return fabs(a->value - a->limit) > fabs(b->value - b->limit);
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
        if (!same_text(old->rule, finding->rule) || !same_text(old->pulley, finding->pulley) ||
            !same_text(old->other, finding->other)) {
            continue;
        }
        if (worse(finding, old))
            *old = *finding;
        return;
    }
    if (findings->count == findings->room && !grow(findings, arena))
        return;
    findings->items[findings->count++] = *finding;
}

static int by_weight(const void *a, const void *b)
{
    const snub_finding *x = a, *y = b;
    if (x->level != y->level)
        return x->level > y->level ? -1 : 1;
    const int rule = strcmp(x->rule, y->rule);
    if (rule != 0)
        return rule;
    const int pulley = strcmp(x->pulley != NULL ? x->pulley : "", y->pulley != NULL ? y->pulley : "");
    if (pulley != 0)
        return pulley;
    return strcmp(x->other != NULL ? x->other : "", y->other != NULL ? y->other : "");
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

void snub_designation(const snub_belt *belt, double length, char text[32])
{
    /* A belt is sold in whole millimetres; a tenth is shown where a drive asks for one. */
    const double mm = length * 1e3, whole = round(mm);
    const int decimals = fabs(mm - whole) < 0.05 ? 0 : 1;
    snprintf(text, 32, "%d%.4s%.*f", belt->ribs, belt->section, decimals, decimals == 0 ? whole : mm);
}
