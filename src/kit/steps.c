/* How a build is fitted: the list of its steps, in order. */
#include "step_make.h"

/* Reliefs come first: what is bolted on would be in the way, and chips fall where it runs. */
static void clearance_steps(snub_step_maker *m)
{
    for (int i = 0; m->report != NULL && i < m->report->conflict_count; i++) {
        const snub_conflict *c = &m->report->conflicts[i];
        const char *piece = c->piece != SNUB_PIECE_BODY && c->index >= 0 ? m->drive->pulleys[c->index].name : c->disc;
        snub_step *s = snub_step_add(m, SNUB_STEP_CLEARANCE, SNUB_STEP_SAYS_CLEARANCE, c->obstacle->name, piece);
        s->conflict = i;
        s->pulley = c->piece != SNUB_PIECE_BODY ? c->index : -1;
    }
}

snub_status snub_steps_list(const snub_build *build, snub_arena *arena, snub_steps *steps, snub_error *error)
{
    const snub_drive *drive = build->drive;
    snub_step_maker m = {.build = build, .drive = drive, .report = build->report, .arena = arena, .steps = steps};
    *steps = (snub_steps){0};
    snub_expect(build, &steps->expect);
    (void)snub_step_add(&m, SNUB_STEP_MAKE_SAFE, SNUB_STEP_SAYS_MAKE_SAFE, NULL, NULL);
    (void)snub_step_add(&m, SNUB_STEP_OLD_BELT,
                        drive->arm >= 0      ? SNUB_STEP_SAYS_OLD_BELT_ARM
                        : drive->locked >= 0 ? SNUB_STEP_SAYS_OLD_BELT
                                             : SNUB_STEP_SAYS_OLD_BELT_STRETCHED,
                        NULL, NULL);
    (void)snub_step_add(&m, SNUB_STEP_LOOK, SNUB_STEP_SAYS_LOOK, NULL, NULL);
    snub_steps_of_supply(&m, SNUB_SUPPLY_REMOVED);
    clearance_steps(&m);
    snub_steps_of_supply(&m, SNUB_SUPPLY_CHANGED);
    snub_steps_bolt_on(&m);
    snub_steps_lay_belt(&m);
    snub_steps_prove(&m);
    const snub_status status = snub_steps_own(&m, error);
    if (status != SNUB_OK)
        return status;
    snub_steps_show(&m);
    return steps->failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while listing the steps")
                         : SNUB_OK;
}
