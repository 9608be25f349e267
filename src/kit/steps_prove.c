/* Steps that show whether the belt is right: the arm, the pluck, the first runs. */
#include "step_make.h"

static void arm_step(snub_step_maker *m)
{
    const snub_expectation *e = &m->steps->expect;
    if (!e->known || m->drive->arm < 0)
        return;
    snub_step *s = snub_step_add(m, SNUB_STEP_READ_ARM, SNUB_STEP_SAYS_READ_ARM, NULL, NULL);
    s->pulley = m->drive->arm;
    snub_step_number(s, "nominal", e->wind[1], SNUB_UNIT_DEG, 1);
    snub_step_number(s, "low", e->wind[0], SNUB_UNIT_DEG, 1);
    snub_step_number(s, "high", e->wind[2], SNUB_UNIT_DEG, 1);
}

static void pluck_step(snub_step_maker *m)
{
    const snub_expectation *e = &m->steps->expect;
    snub_note low, high;
    if (!e->known || e->span < 0)
        return;
    snub_step *s = snub_step_add(m, SNUB_STEP_PLUCK, SNUB_STEP_SAYS_PLUCK, NULL, NULL);
    snub_step_name(s, "from", m->drive->pulleys[e->span].name);
    snub_step_name(s, "to", m->drive->pulleys[(e->span + 1) % m->drive->pulley_count].name);
    snub_step_number(s, "low", e->frequency[0], SNUB_UNIT_HZ, 1);
    snub_step_number(s, "heard", e->frequency[1], SNUB_UNIT_HZ, 1);
    snub_step_number(s, "high", e->frequency[2], SNUB_UNIT_HZ, 1);
    if (snub_note_of(e->frequency[0], &low) && snub_note_of(e->frequency[2], &high))
        snub_step_also(s, SNUB_STEP_SAYS_TUNER_RANGE);
}

/* A fixed tensioner does not follow the belt as it wears. */
static void owner_step(snub_step_maker *m)
{
    snub_retension r;
    const snub_expectation *e = &m->steps->expect;
    snub_retension_find(m->build, &r);
    if (!r.given || isnan(r.again) || !e->known || e->span < 0)
        return;
    snub_step *s = snub_step_add(m, SNUB_STEP_OWNER, SNUB_STEP_SAYS_OWNER, NULL, NULL);
    s->pulley = m->drive->locked;
    snub_step_number(s, "frequency", snub_expected_frequency(e, r.again), SNUB_UNIT_HZ, 1);
    snub_step_number(s, "tension", r.again, SNUB_UNIT_N, 0);
}

void snub_steps_prove(snub_step_maker *m)
{
    arm_step(m);
    pluck_step(m);
    owner_step(m);
    (void)snub_step_add(m, SNUB_STEP_IDLE, SNUB_STEP_SAYS_IDLE, NULL, NULL);
    (void)snub_step_add(m, SNUB_STEP_HEAT, m->drive->arm >= 0 ? SNUB_STEP_SAYS_HEAT_ARM : SNUB_STEP_SAYS_HEAT, NULL,
                        NULL);
    (void)snub_step_add(m, SNUB_STEP_LOAD, SNUB_STEP_SAYS_LOAD, NULL, NULL);
}
