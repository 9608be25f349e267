/* What calms a drive, of `snub motion --remedies --json`. */
#include "json_words.h"
#include "snub/calm.h"

static const char *kind_text(snub_calm_kind kind)
{
    static const char *const words[] = {[SNUB_CALM_INERTIA] = "inertia",
                                        [SNUB_CALM_ARM_INERTIA] = "arm inertia",
                                        [SNUB_CALM_RATE] = "spring rate",
                                        [SNUB_CALM_FRICTION] = "arm friction",
                                        [SNUB_CALM_ARM_LENGTH] = "arm length",
                                        [SNUB_CALM_BELT] = "belt stiffness",
                                        [SNUB_CALM_PLACE_X] = "place along x",
                                        [SNUB_CALM_PLACE_Y] = "place along y",
                                        [SNUB_CALM_OVERRUNS] = "overrunning clutch"};
    return words[kind];
}

/* In the file's bare unit, mm for a place. */
static double bare(snub_calm_kind kind, double si)
{
    switch (kind) {
    case SNUB_CALM_RATE: return snub_quantity_to_bare(SNUB_Q_TORQUE_RATE, si);
    case SNUB_CALM_ARM_LENGTH:
    case SNUB_CALM_PLACE_X:
    case SNUB_CALM_PLACE_Y: return si / SNUB_MM;
    default: return si;
    }
}

static json_t *changes_of(const snub_calm *c, bool comes)
{
    json_t *list = json_array();
    for (int k = 0; k < c->change_count && k < SNUB_VERDICT_CHANGES_MOST; k++) {
        if (c->change[k].comes != comes)
            continue;
        json_t *object = json_object();
        snub_json_put(object, "level", snub_json_words(snub_level_text(c->change[k].level)));
        snub_json_put(object, "rule", snub_json_words(c->change[k].rule));
        snub_json_put(object, "about", c->change[k].about[0] ? snub_json_words(c->change[k].about) : json_null());
        snub_json_append(list, object);
    }
    return list;
}

static json_t *best_of(const snub_calm *c)
{
    json_t *object = json_object();
    snub_json_put(object, "value", snub_json_number(bare(c->kind, c->to)));
    snub_json_put(object, "set", snub_json_words(c->set));
    snub_json_put(object, "worst_swing_share", snub_json_number(c->there.share));
    snub_json_put(object, "arm_deg", snub_json_number(c->there.arm / SNUB_DEG));
    snub_json_put(object, "verdict", snub_json_words(snub_level_text(c->verdict)));
    snub_json_put(object, "findings_that_come", changes_of(c, true));
    snub_json_put(object, "findings_that_go", changes_of(c, false));
    snub_json_put(
        object, "findings_not_listed",
        json_integer(c->change_count > SNUB_VERDICT_CHANGES_MOST ? c->change_count - SNUB_VERDICT_CHANGES_MOST : 0));
    return object;
}

static json_t *calm_of(const snub_calm *c)
{
    json_t *object = json_object();
    snub_json_put(object, "what", snub_json_words(kind_text(c->kind)));
    snub_json_put(object, "key", snub_json_words(c->path));
    snub_json_put(object, "now", snub_json_number(bare(c->kind, c->now)));
    snub_json_put(object, "each", snub_json_number(bare(c->kind, c->each)));
    snub_json_put(object, "worst_swing_by_pct", snub_json_number(c->share_by / SNUB_PERCENT));
    snub_json_put(object, "arm_by_pct", snub_json_number(c->arm_by / SNUB_PERCENT));
    snub_json_put(object, "best", c->helps ? best_of(c) : json_null());
    return object;
}

json_t *snub_json_calming(const snub_vibration *v)
{
    const snub_calming *calming = v->calming;
    const int n = v->drive->pulley_count;
    json_t *object = json_object(), *list = json_array(), *now = json_object();
    snub_text span = {0};
    snub_text_printf(&span, "%s - %s", v->drive->pulleys[calming->now.span].name,
                     v->drive->pulleys[(calming->now.span + 1) % n].name);
    snub_json_put(now, "worst_swing_share", snub_json_number(calming->now.share));
    snub_json_put(now, "span", snub_json_grown(&span));
    snub_json_put(now, "rpm", snub_json_number(calming->now.speed / SNUB_RPM));
    snub_json_put(now, "order", snub_json_number(calming->now.order));
    snub_json_put(now, "arm_deg", snub_json_number(calming->now.arm / SNUB_DEG));
    if (calming->known) {
        snub_json_put(object, "now", now);
    } else {
        json_decref(now);
        snub_json_put(object, "now", json_null());
    }
    for (int k = 0; k < calming->count; k++)
        snub_json_append(list, calm_of(&calming->calm[k]));
    snub_json_put(object, "changes", list);
    return object;
}
