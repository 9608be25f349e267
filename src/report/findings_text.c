/* Findings and verdict for people. */
#include "words.h"

#include <stddef.h>
#include <string.h>

enum { LEVEL_PAD = 10 };

/* A level in capitals for "fail" and "marginal", padded to `pad` columns, coloured where the look wants it. */
static void level_show(snub_level level, const snub_look *look, int pad, snub_text *out)
{
    static const char *const words[] = {"pass", "note", "MARGINAL", "FAIL"};
    static const char *const colours[] = {"\x1b[32m", "", "\x1b[33m", "\x1b[1;31m"};
    if (look->colour)
        snub_text_puts(out, colours[level]);
    snub_text_puts(out, words[level]);
    if (look->colour && colours[level][0])
        snub_text_puts(out, "\x1b[0m");
    for (int i = (int)strlen(words[level]); i < pad; i++)
        snub_text_puts(out, " ");
}

/* "arm_travel" is for programs. */
static void add_rule(const char *rule, snub_text *out)
{
    for (; *rule; rule++)
        snub_text_add(out, *rule == '_' ? " " : rule, 1);
}

/* "grip, blower: 1.23, limit 1.00, at 6200 rpm, rising" */
static void add_head(const snub_finding *finding, const snub_locale *locale, snub_text *out)
{
    add_rule(snub_finding_rule(finding), out);
    if (finding->pulley)
        snub_text_printf(out, ", %s", finding->pulley);
    if (finding->other) {
        snub_text_puts(out, finding->pulley ? " and " : ", ");
        snub_finding_other(finding, NULL, out);
    }
    if (finding->line > 0)
        snub_text_printf(out, " (line %d)", finding->line);
    if (!isnan(finding->value)) {
        snub_text_puts(out, ": ");
        snub_finding_numbers(finding, locale, out);
    }
    if (finding->at.moment == SNUB_LAID_OUT)
        return;
    snub_text_puts(out, ", ");
    if (finding->at.moment == SNUB_RUNNING)
        snub_text_printf(out, "at %.0f rpm, ", finding->at.speed / SNUB_RPM);
    snub_text_puts(out, snub_condition_text(&finding->at));
}

static void wrapped(snub_text *line, const snub_look *look, snub_text *out)
{
    snub_wrap(line->data ? line->data : "", LEVEL_PAD, LEVEL_PAD, look->width, out);
    out->failed = out->failed || line->failed;
    snub_text_free(line);
}

const char *const snub_way_options[] = {"steady",        "accelerating",  "overrun",      "closed-throttle",
                                        "no-lift-shift", "throttle-blip", "after-a-blip", NULL};
const char *const snub_belt_options[] = {"nominal", "short", "long", "worn", NULL};
const char *const snub_friction_options[] = {"low", "middle", "high", NULL};

void snub_shown_by(const snub_finding *finding, snub_text *out)
{
    snub_wanted_state s;
    for (int k = 0; k < finding->set_count; k++) /* quoted: names and units have blanks, a shell expands brackets */
        snub_text_printf(out, " --set '%s'", finding->set[k]);
    if (!snub_finding_shown_by(finding, &s))
        return;
    snub_text_printf(out, " --rpm %.10g", s.speed / SNUB_RPM);
    if (s.way != SNUB_STEADY)
        snub_text_printf(out, " --case %s", snub_way_options[s.way]);
    if (s.belt != SNUB_SHOW_NOMINAL)
        snub_text_printf(out, " --belt %s", snub_belt_options[s.belt]);
    if (s.side != 0)
        snub_text_printf(out, " --arm-friction %s", snub_friction_options[s.side + 1]);
    if (s.warmth != SNUB_ANY_WARMTH)
        snub_text_puts(out, s.warmth == SNUB_WARM ? " --warm" : " --cold");
    if (s.peak != NULL) {
        snub_text_puts(out, " --peak ");
        snub_text_shell(out, s.peak[0] != '\0' ? s.peak : "all");
    }
}

/* It is to be copied: a line that would be too long ends in a backslash before an option, as a shell takes it. */
static void add_command(const snub_finding *finding, const snub_look *look, snub_text *out)
{
    snub_text line = {0};
    snub_shown_by(finding, &line);
    const bool has_case = line.length > 0;
    snub_text_free(&line);
    if (look->command == NULL || !has_case)
        return;
    snub_text_printf(&line, "$ %s", look->command);
    snub_shown_by(finding, &line);
    int column = LEVEL_PAD;
    snub_text_printf(out, "%*s", LEVEL_PAD, "");
    for (const char *at = line.data; at != NULL && *at != '\0';) {
        const char *next = strstr(at + 1, " --");
        const int length = (int)(next != NULL ? next - at : (ptrdiff_t)strlen(at));
        if (look->width > 0 && column + length > look->width - 2 && at != line.data) {
            snub_text_printf(out, " \\\n%*s", LEVEL_PAD + 2, "");
            column = LEVEL_PAD + 2;
            at++;
        }
        const int rest = (int)(next != NULL ? next - at : (ptrdiff_t)strlen(at));
        snub_text_add(out, at, (size_t)rest);
        column += rest;
        at += rest;
    }
    snub_text_puts(out, "\n");
    out->failed = out->failed || line.failed;
    snub_text_free(&line);
}

static void add_basis(const snub_finding *finding, const snub_look *look, snub_text *out)
{
    snub_text basis = {0};
    if (!isfinite(finding->limit))
        return;
    snub_text_puts(&basis, "(basis: ");
    snub_finding_basis(finding, NULL, &basis);
    snub_text_puts(&basis, ")");
    snub_text_printf(out, "%*s", LEVEL_PAD, "");
    wrapped(&basis, look, out);
}

static void add_one(const snub_finding *finding, const snub_look *look, snub_text *out)
{
    snub_text head = {0}, sentence = {0};
    add_head(finding, look->locale, &head);
    level_show(finding->level, look, LEVEL_PAD, out);
    wrapped(&head, look, out);
    snub_finding_sentence(finding, look->locale, &sentence);
    snub_text_printf(out, "%*s", LEVEL_PAD, "");
    wrapped(&sentence, look, out);
    add_basis(finding, look, out);
    add_command(finding, look, out);
}

void snub_findings_show(const snub_findings *findings, unsigned areas, const snub_look *look, snub_text *out)
{
    for (int i = 0; i < findings->count; i++) {
        if (areas & SNUB_AREA_BIT(snub_finding_area(&findings->items[i])))
            add_one(&findings->items[i], look, out);
    }
}

int snub_areas_count(const snub_build *build, unsigned areas)
{
    int count = 0;
    for (int i = 0; i < build->findings.count; i++)
        count += (areas & SNUB_AREA_BIT(snub_finding_area(&build->findings.items[i]))) != 0;
    return count;
}

static void add_counts(const int counts[SNUB_FAIL + 1], snub_text *out)
{
    const char *comma = "";
    for (int level = SNUB_FAIL; level >= SNUB_NOTE; level--) {
        if (counts[level] == 0)
            continue;
        snub_text_printf(out, "%s%d %s", comma, counts[level], snub_level_text((snub_level)level));
        comma = ", ";
    }
}

/* How many findings a command shows that is not this one. */
static void count_elsewhere(const snub_build *build, unsigned areas, const char *command, int counts[SNUB_FAIL + 1])
{
    memset(counts, 0, sizeof(int) * (SNUB_FAIL + 1));
    for (int area = 0; area < SNUB_AREAS_; area++) {
        if ((areas & SNUB_AREA_BIT(area)) || strcmp(snub_area_command((snub_area)area), command) != 0)
            continue;
        for (int level = SNUB_NOTE; level <= SNUB_FAIL; level++)
            counts[level] += snub_findings_count(&build->findings, (snub_level)level, (snub_area)area);
    }
}

void snub_verdict_show(const snub_build *build, unsigned areas, const snub_look *look, snub_text *out)
{
    static const struct {
        const char *command, *what;
    } elsewhere[] = {{"snub check", "belt, arm, slip, motion, air, clearance and fitting"},
                     {"snub mount", "the hardware"}};
    int counts[SNUB_FAIL + 1] = {0};
    for (int level = SNUB_NOTE; level <= SNUB_FAIL; level++)
        counts[level] = snub_findings_count(&build->findings, (snub_level)level, SNUB_AREAS_);
    snub_text_puts(out, "\n");
    snub_unjudged_show(&build, 1, NULL, look, out);
    snub_text_puts(out, "verdict "); /* last: what is read first on a terminal */
    level_show(build->verdict, look, 0, out);
    if (build->findings.count > 0) {
        snub_text_puts(out, " (");
        add_counts(counts, out);
        snub_text_puts(out, ")");
    }
    snub_text_puts(out, "\n");
    for (size_t i = 0; i < sizeof elsewhere / sizeof elsewhere[0]; i++) {
        count_elsewhere(build, areas, elsewhere[i].command, counts);
        if (counts[SNUB_FAIL] + counts[SNUB_MARGINAL] + counts[SNUB_NOTE] == 0)
            continue;
        snub_text line = {0};
        add_counts(counts, &line);
        snub_text_printf(&line, " in %s: see %s", elsewhere[i].what, elsewhere[i].command);
        snub_text_puts(out, "  ");
        snub_wrap(line.data != NULL ? line.data : "", 2, 2, look->width, out);
        out->failed = out->failed || line.failed;
        snub_text_free(&line);
    }
}
