/* The settled build at the ends of the ranges that the file gives. docs/theory/kit.md, Ranges. */
#include "range_ends.h"

#include "finding.h"

static bool lay(snub_row *row, const char *path, const char *value, snub_arena *arena)
{
    snub_node *node = SNUB_NEW(arena, snub_node, 1);
    if (node == NULL || path == NULL || value == NULL)
        return false;
    *node = (snub_node){.kind = SNUB_SCALAR, .text = value};
    const snub_overlay overlay = {.path = path, .value = node};
    const snub_row before = *row;
    return snub_row_with(&before, &overlay, arena, row);
}

static const char *in_mm(double length, snub_arena *arena)
{
    return snub_format(arena, "%.12g", length / SNUB_MM);
}

static const char *setting_path(const snub_build *build, int pulley, snub_arena *arena)
{
    return snub_format(arena, "%s.slot.setting", build->drive->pulleys[pulley].name);
}

static bool is_set(const snub_build *build, int pulley)
{
    return build->drive->pulleys[pulley].sits == SNUB_ON_SLOT && pulley != build->drive->locked;
}

bool snub_range_row(const snub_build *build, const snub_range *range, int end, snub_arena *arena, snub_row *row)
{
    *row = build->row;
    bool good = lay(row, range->path, range->end[end], arena);
    if (build->part != NULL)
        good = good && lay(row, "belt.part", build->part, arena);
    good = good && lay(row, "belt.length", in_mm(build->length, arena), arena);
    for (int i = 0; good && i < build->drive->pulley_count; i++)
        good = !is_set(build, i) || lay(row, setting_path(build, i, arena), in_mm(build->settings[i], arena), arena);
    return good;
}

/* What a command must lay over the file to show this build: the end, and the belt and settings that the file leaves
 * open. A row of the chart is chosen afresh: it gets a stock of one belt. */
static bool name_settings(const snub_build *build, const snub_range *range, int end, snub_arena *arena, snub_finding *f)
{
    f->set_count = 0;
    f->set[f->set_count++] = snub_format(arena, "%s=%s", range->path, range->end[end]);
    if (build->afresh)
        f->set[f->set_count++] = snub_format(arena, "belt.stock=[%s]", in_mm(build->length, arena));
    else if (build->length_chosen)
        f->set[f->set_count++] = snub_format(arena, "belt.length=%s", in_mm(build->length, arena));
    for (int i = 0; i < build->drive->pulley_count && !build->afresh; i++) {
        if (is_set(build, i) && build->setting_chosen[i])
            f->set[f->set_count++] =
                snub_format(arena, "%s=%s", setting_path(build, i, arena), in_mm(build->settings[i], arena));
    }
    bool good = true;
    for (int k = 0; k < f->set_count; k++)
        good = good && f->set[k] != NULL;
    return good;
}

bool snub_range_merge(snub_build *build, const snub_build *there, const snub_range *range, int end, snub_arena *arena)
{
    bool good = true;
    for (int k = 0; good && k < there->findings.count; k++) {
        snub_finding f = there->findings.items[k];
        if (f.level < SNUB_MARGINAL)
            continue;
        f.range = range;
        f.end = end;
        good = name_settings(build, range, end, arena, &f);
        snub_findings_add(&build->findings, arena, &f);
    }
    snub_findings_sort(&build->findings);
    build->verdict = snub_findings_verdict(&build->findings);
    return good && !build->findings.failed;
}
