/* Steps of what is on the engine already: what comes off, what is reworked. */
#include "step_make.h"

static void take_off(snub_step_maker *m, const snub_item *item)
{
    snub_step *s = snub_step_add(m, SNUB_STEP_TAKE_OFF, SNUB_STEP_SAYS_TAKE_OFF, item->name, NULL);
    s->pulley = snub_drive_pulley(m->drive, item->name);
    snub_step_name(s, "name", item->name);
}

static void tool_sentence(snub_step *s, snub_step_wording says, const char *place, double size)
{
    if (!isfinite(size))
        return;
    snub_step_also(s, says);
    if (says == SNUB_STEP_SAYS_REWORK_REMOVE)
        snub_step_most(s, place, size);
    else
        snub_step_number(s, place, size, SNUB_UNIT_MM, SNUB_CUT_DECIMALS);
}

static void rework(snub_step_maker *m, const snub_item *item)
{
    const snub_rework *r = &item->rework;
    const int pulley = snub_drive_pulley(m->drive, item->name); /* it goes back on with what is bolted on */
    snub_step *s = snub_step_add(m, SNUB_STEP_REWORK, pulley >= 0 ? SNUB_STEP_SAYS_REWORK_OFF : SNUB_STEP_SAYS_REWORK,
                                 item->name, NULL);
    s->pulley = pulley;
    snub_step_name(s, "name", item->name);
    snub_step_name(s, "task", r->task);
    if (r->where != NULL) {
        snub_step_also(s, SNUB_STEP_SAYS_REWORK_WHERE);
        snub_step_name(s, "where", r->where);
    }
    tool_sentence(s, SNUB_STEP_SAYS_REWORK_REMOVE, "remove", r->remove);
    tool_sentence(s, SNUB_STEP_SAYS_REWORK_DRILL, "drill", r->drill);
    tool_sentence(s, SNUB_STEP_SAYS_REWORK_REAM, "ream", r->ream);
    if (r->tap != NULL) {
        snub_step_also(s, SNUB_STEP_SAYS_REWORK_TAP);
        snub_step_name(s, "tap", r->tap);
    }
}

/* Metal that a cut takes off an obstacle, and from which side: the wrong end is soon gone. */
static void cut(snub_step_maker *m, const char *name, const snub_cut *c)
{
    const snub_step_wording says = c->from == SNUB_CUT_FRONT  ? SNUB_STEP_SAYS_CUT_FRONT
                                   : c->from == SNUB_CUT_REAR ? SNUB_STEP_SAYS_CUT_REAR
                                   : c->towards != NULL       ? SNUB_STEP_SAYS_CUT_SIDE
                                                              : SNUB_STEP_SAYS_CUT_POINT;
    snub_step *s = snub_step_add(m, SNUB_STEP_REWORK, says, name, NULL);
    snub_step_name(s, "name", name);
    snub_step_most(s, "off", c->depth);
    if (says == SNUB_STEP_SAYS_CUT_SIDE)
        snub_step_name(s, "facing", c->towards);
    if (says == SNUB_STEP_SAYS_CUT_POINT) {
        snub_step_number(s, "x", c->point[0], SNUB_UNIT_MM, 1);
        snub_step_number(s, "y", c->point[1], SNUB_UNIT_MM, 1);
    }
}

void snub_steps_of_supply(snub_step_maker *m, snub_supply_how how)
{
    snub_contents contents;
    if (snub_contents_of(m->build, m->arena, &contents, NULL) != SNUB_OK) {
        m->steps->failed = true;
        return;
    }
    for (int i = 0; i < contents.count; i++) {
        const snub_item *item = &contents.items[i];
        if (item->how != how || item->name[0] == '\0' || item->kind == SNUB_ITEM_BELT)
            continue;
        if (how == SNUB_SUPPLY_REMOVED)
            take_off(m, item);
        else if (item->rework.given)
            rework(m, item);
        for (int k = 0; how == SNUB_SUPPLY_CHANGED && k < item->cut_count; k++)
            cut(m, item->name, &item->cuts[k]);
    }
}

bool snub_step_stays(const snub_drive *drive, int pulley)
{
    const snub_pulley *p = &drive->pulleys[pulley];
    const int mount = drive->hardware != NULL ? drive->hardware->pulleys[pulley].mount : -1;
    return p->supply.how == SNUB_SUPPLY_KEPT && p->sits != SNUB_ON_SLOT &&
           (mount < 0 || drive->hardware->mounts[mount].supply.how == SNUB_SUPPLY_KEPT);
}
