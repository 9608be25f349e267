/* `snub sheet --json`: the steps of fitting. */
#include "cautions.h"
#include "json_words.h"
#include "snub/sheet.h"
#include "step_words.h"

#include <stdio.h>

static const char *name_of(const snub_drive *drive, int pulley)
{
    return pulley >= 0 ? drive->pulleys[pulley].name : NULL;
}

/* What a reading needs: each number by its place in the words, with its unit. */
static json_t *numbers_of(const snub_step *step)
{
    json_t *object = json_object();
    for (int i = 0; i < step->named_count; i++) {
        const snub_named *n = &step->named[i];
        char key[64];
        if (n->text != NULL)
            continue;
        snprintf(key, sizeof key, "%s%s", n->name, snub_unit_describe(n->unit)->suffix);
        snub_json_put(object, key, snub_json_number(snub_in_unit(n->unit, n->number)));
    }
    return object;
}

static json_t *cautions_before(const snub_build *build, int *told, snub_caution_place place)
{
    json_t *list = json_array();
    const snub_caution_set applies = snub_cautions_of(build);
    for (; *told <= (int)place; (*told)++) {
        const snub_caution_set set = applies & snub_cautions_at((snub_caution_place)*told);
        snub_json_append_caution_ids(list, set);
    }
    return list;
}

static json_t *shims_of(const snub_build *build, const snub_step *step)
{
    json_t *list = json_array();
    const snub_hardware *hardware = build->drive->hardware;
    for (int s = 0; build->report->shims.wanted && s < hardware->shim_count; s++) {
        const int count = build->report->shims.answer.count[step->shims][s];
        json_t *one = json_object();
        snub_json_put(one, "count", json_integer(count));
        snub_json_put(one, "thickness_mm", snub_json_number(hardware->shims[s] / SNUB_MM));
        if (count > 0)
            snub_json_append(list, one);
        else
            json_decref(one);
    }
    return list;
}

/* All that could tell a wrong mark, with how well each does. */
static json_t *readings_of(const snub_drive *drive, const snub_slot_mark *mark)
{
    static const char *const kinds[] = {"centres", "rims", "span", "arm", "pluck", "two plucks"};
    static const snub_unit units[] = {SNUB_UNIT_MM,  SNUB_UNIT_MM, SNUB_UNIT_MM,
                                      SNUB_UNIT_DEG, SNUB_UNIT_HZ, SNUB_UNIT_NONE};
    json_t *list = json_array();
    for (int i = 0; i < mark->count; i++) {
        const snub_slot_reading *r = &mark->reading[i];
        const double size = snub_unit_describe(units[r->kind])->size;
        json_t *one = json_object();
        snub_json_put(one, "reading", snub_json_words(kinds[r->kind]));
        snub_json_put(one, "other", snub_json_words(name_of(drive, r->other)));
        snub_json_put(one, "unit", snub_json_words(snub_unit_describe(units[r->kind])->text));
        snub_json_put(one, "nominal", snub_json_number(r->nominal / size));
        snub_json_put(one, "short", snub_json_number(r->at[0] / size));
        snub_json_put(one, "over", snub_json_number(r->at[1] / size));
        snub_json_put(one, "error", snub_json_number(r->error / size));
        snub_json_put(one, "errors_per_mm", snub_json_number(r->score * SNUB_MM));
        snub_json_put(one, "printed", json_boolean(i == mark->best));
        snub_json_append(list, one);
    }
    return list;
}

/* ---- pictures ---------------------------------------------------------------------------------------------------- */

/* Names of the pulleys that have a flag. */
static json_t *flagged(const snub_drive *drive, const bool *flag)
{
    json_t *list = json_array();
    for (int i = 0; i < drive->pulley_count; i++) {
        if (flag[i])
            snub_json_append(list, snub_json_words(name_of(drive, i)));
    }
    return list;
}

static json_t *two_names(const snub_drive *drive, int a, int b)
{
    json_t *list = json_array();
    snub_json_append(list, snub_json_words(name_of(drive, a)));
    snub_json_append(list, snub_json_words(name_of(drive, b)));
    return list;
}

static json_t *spans_of(const snub_drive *drive, const snub_step_parts *parts)
{
    json_t *list = json_array();
    for (int i = 0; i < drive->pulley_count; i++) {
        if (parts->span[i])
            snub_json_append(list, two_names(drive, i, (i + 1) % drive->pulley_count));
    }
    return list;
}

static json_t *obstacles_of(const snub_drive *drive, const snub_step_parts *parts)
{
    json_t *list = json_array();
    for (int i = 0; drive->hardware != NULL && i < drive->hardware->obstacle_count; i++) {
        if (parts->obstacle[i])
            snub_json_append(list, snub_json_words(drive->hardware->obstacles[i].name));
    }
    if (parts->removed >= 0)
        snub_json_append(list, snub_json_words(drive->hardware->removed[parts->removed].name));
    return list;
}

/* In the order in which they are tightened, as they are numbered. */
static json_t *bolts_of(const snub_build *build, const snub_step_parts *parts)
{
    json_t *list = json_array();
    const snub_mount_result *r = parts->mount >= 0 ? &build->report->mounts[parts->mount] : NULL;
    for (int k = 0; r != NULL && k < r->mount->bolt_count; k++)
        snub_json_append(list, snub_json_words(r->bolts[r->tighten[k]].bolt->name));
    return list;
}

/* What is dark in snub's own picture of a step, and what moves in it. */
static void add_parts(json_t *object, const snub_build *build, const snub_step_parts *parts)
{
    const snub_drive *drive = build->drive;
    json_t *measured = json_array();
    for (int i = 0; i < parts->measure_count; i++)
        snub_json_append(measured, two_names(drive, parts->measure[i].from, parts->measure[i].to));
    snub_json_put(object, "pulleys", flagged(drive, parts->pulley));
    snub_json_put(object, "slots", flagged(drive, parts->slot));
    snub_json_put(object, "spans", spans_of(drive, parts));
    snub_json_put(object, "obstacles", obstacles_of(drive, parts));
    snub_json_put(object, "bolts", bolts_of(build, parts));
    snub_json_put(object, "arm", json_boolean(parts->arm));
    snub_json_put(object, "belt", json_boolean(parts->belt));
    snub_json_put(object, "belt_is_on", json_boolean(parts->laid));
    snub_json_put(object, "setting", json_boolean(parts->sets));
    snub_json_put(object, "plucked", json_boolean(parts->plucked));
    snub_json_put(object, "arm_moves",
                  snub_json_words(parts->winds > 0   ? "to its stop"
                                  : parts->winds < 0 ? "back"
                                                     : NULL));
    snub_json_put(object, "slider_moves",
                  snub_json_words(parts->slides > 0   ? "from zero"
                                  : parts->slides < 0 ? "to zero"
                                                      : NULL));
    snub_json_put(object, "turns", snub_json_words(name_of(drive, parts->turns)));
    snub_json_put(object, "measured", measured);
}

static json_t *picture_of(const snub_build *build, const snub_step *step)
{
    if (step->picture == 0)
        return json_null();
    json_t *object = json_object();
    snub_json_put(object, "number", json_integer(step->picture));
    snub_json_put(object, "file", snub_json_words(step->file != NULL ? step->file->picture : NULL));
    if (step->shows != NULL)
        add_parts(object, build, step->shows);
    return object;
}

/* ---- the list ---------------------------------------------------------------------------------------------------- */

static json_t *step_of(const snub_build *build, const snub_step *step, const snub_locale *locale, int *told)
{
    const snub_mount *mount = step->mount >= 0 ? build->report->mounts[step->mount].mount : NULL;
    snub_text words = {0};
    json_t *object = json_object();
    snub_json_put(object, "id", snub_json_words(step->id));
    snub_json_put(object, "kind", snub_json_words(snub_step_describe(step->kind)->stem));
    snub_json_put(object, "cautions", cautions_before(build, told, step->place));
    snub_json_put(object, "pulley", snub_json_words(name_of(build->drive, step->pulley)));
    snub_json_put(object, "mount", snub_json_words(mount != NULL ? mount->name : NULL));
    snub_json_put(object, "bolt", snub_json_words(step->bolt >= 0 ? mount->bolts[step->bolt].name : NULL));
    snub_json_put(object, "tightens", json_boolean(step->tightens));
    snub_json_put(object, "torque_N_m", snub_json_number(step->torque));
    snub_json_put(object, "numbers", numbers_of(step));
    if (step->shims >= 0)
        snub_json_put(object, "shims", shims_of(build, step));
    if (step->mark != NULL) {
        snub_json_put(object, "tells", json_boolean(step->mark->tells));
        snub_json_put(object, "readings", readings_of(build->drive, step->mark));
    }
    snub_step_sentence(build, step, locale, &words);
    snub_json_put(object, "text", snub_json_grown(&words));
    snub_json_put(object, "picture", picture_of(build, step));
    return object;
}

static json_t *left_out_of(const snub_steps *steps)
{
    json_t *list = json_array();
    for (int i = 0; i < steps->left_out_count; i++) {
        json_t *one = json_object();
        snub_json_put(one, "id", snub_json_words(steps->left_out[i]->id));
        snub_json_put(one, "reason", snub_json_words(steps->left_out[i]->leave_out));
        snub_json_append(list, one);
    }
    return list;
}

json_t *snub_json_steps(const snub_build *build, const snub_steps *steps, const snub_locale *locale)
{
    json_t *root = json_object(), *list = json_array();
    int told = SNUB_PLACE_START;
    snub_json_put(root, "snub", json_integer(1));
    snub_json_put(root, "title", snub_json_words(build->drive->title != NULL ? build->drive->title : ""));
    snub_json_put_verdict(root, build);
    snub_json_put(root, "build", snub_json_build(build));
    for (int i = 0; build->verdict != SNUB_FAIL && i < steps->count; i++)
        snub_json_append(list, step_of(build, &steps->items[i], locale, &told));
    snub_json_put(root, "steps", list);
    snub_json_put(root, "cautions_last", cautions_before(build, &told, SNUB_PLACE_LOAD));
    snub_json_put(root, "left_out", left_out_of(steps));
    snub_json_put(root, "findings", snub_json_findings(&build->findings, locale));
    return snub_json_whole(root);
}
