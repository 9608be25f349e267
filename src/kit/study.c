/* Every case of a check: speeds, running states, belts in tolerance, both edges of arm friction. */
#include "study.h"

double snub_corner_length(const snub_study *study, snub_corner corner, double *stretch)
{
    const snub_belt *belt = &study->drive->belt;
    switch (corner) {
    case SNUB_CORNER_SHORT: *stretch = 0.0; return study->length - belt->tolerance;
    case SNUB_CORNER_LONG: *stretch = belt->worn; return study->length + belt->tolerance;
    default: *stretch = belt->stretch; return study->length;
    }
}

const snub_rig *snub_study_rig(const snub_study *study, snub_corner corner)
{
    return &study->rig[study->same_rig ? SNUB_CORNER_NOMINAL : corner];
}

static void keep(snub_worst *worst, double value, bool greater, const snub_worst *now)
{
    if (worst->set && !(greater ? value > worst->value : value < worst->value))
        return;
    *worst = *now;
    worst->value = value;
    worst->set = true;
}

static void note_pulleys(snub_study *study, const snub_balance *balance, const snub_worst *now)
{
    const double centrifugal = balance->equilibrium.centrifugal;
    for (int i = 0; i < study->drive->pulley_count; i++) {
        const snub_pulley_state *state = &balance->pulley[i];
        keep(&study->grip[i], state->grip_design, true, now);
        keep(&study->limit_grip[i], state->grip_limit, true, now);
        if (now->running != SNUB_FALLING && state->grip_limit > study->drive->limits[SNUB_LIMIT_GRIP_SLIP])
            keep(&study->onset, study->loads->speed[now->speed], false, now);
        keep(&study->wet_grip[i], state->grip_wet, true, now);
        keep(&study->slack[i], balance->span_tension[i] - centrifugal, false, now);
        keep(&study->wrap[i], state->wrap, false, now);
        keep(&study->pulley_speed[i], fabs(state->speed), true, now);
        if (!study->tension.set || balance->span_tension[i] > study->tension.value) {
            study->tension_span = i;
            keep(&study->tension, balance->span_tension[i], true, now);
        }
    }
}

static void note_arm(snub_study *study, const snub_equilibrium *e, const snub_worst *now)
{
    keep(&study->belt_speed, e->belt_speed, true, now);
    if (e->arm == SNUB_ARM_NONE)
        return;
    keep(&study->wind_low, e->wind, false, now);
    keep(&study->wind_high, e->wind, true, now);
    if (now->running == SNUB_STEADY) {
        keep(&study->work_low, e->wind, false, now);
        keep(&study->work_high, e->wind, true, now);
    }
    if (e->arm == SNUB_ARM_AT_REST)
        keep(&study->at_rest, e->wind, false, now);
    if (e->arm == SNUB_ARM_AT_STOP)
        keep(&study->at_stop, e->wind, true, now);
    if (e->equilibria > 1)
        keep(&study->several, e->equilibria, true, now);
    if (e->past_dead_point)
        keep(&study->dead, e->wind, false, now);
}

static void run_case(snub_study *study, const snub_worst *now)
{
    double stretch;
    snub_case wanted;
    snub_equilibrium e;
    snub_balance balance;
    const double length = snub_corner_length(study, now->corner, &stretch);
    const snub_rig *rig = snub_study_rig(study, now->corner);
    snub_loads_case(study->drive, study->loads, now->speed, now->running, now->side, length, stretch, &wanted);
    snub_error why;
    if (snub_solve(rig, &wanted, &e, &why) != SNUB_OK) {
        if (!study->none.set)
            study->none_why = why;
        keep(&study->none, 1.0, true, now);
        return;
    }
    snub_expand(study->drive, rig, &wanted, &e, &balance);
    note_pulleys(study, &balance, now);
    note_arm(study, &e, now);
}

void snub_study_run(snub_study *study)
{
    /* The plain case first: where others are no worse, it is the one that is told. */
    static const int sides[] = {0, -1, 1};
    const bool arm = study->drive->arm >= 0;
    for (int speed = 0; speed < study->loads->speeds; speed++) {
        for (int running = 0; running < SNUB_RUNNING_COUNT; running++) {
            const bool moves = study->loads->rate[running] != 0.0;
            if (running != SNUB_STEADY && (speed == 0 || !moves))
                continue;
            for (int corner = 0; corner < SNUB_CORNER_COUNT; corner++) {
                for (int k = 0; k < (arm ? 3 : 1); k++) {
                    const snub_worst now = {0.0, speed, (snub_running)running, (snub_corner)corner, sides[k], true};
                    run_case(study, &now);
                }
            }
        }
    }
}
