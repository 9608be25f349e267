/* One build: belt and setting settled, the state that is shown, and the findings over all its cases. */
#include <stdlib.h>
#include <string.h>

#include "study.h"

/* Speeds between idle and redline of a check, ends counted: steps of about 130 rpm on a common engine. */
enum { CHECK_SPEEDS = 41 };

static void tell_failure(snub_check *check, snub_arena *arena, const char *rule, const snub_error *why)
{
    const char *text = snub_format(arena, "%s%s%s.", why->key, why->key[0] != '\0' ? ": " : "", why->message);
    const char *pulley = NULL;
    for (int i = 0; i < check->drive->pulley_count; i++) {
        if (strcmp(check->drive->pulleys[i].name, why->key) == 0)
            pulley = check->drive->pulleys[i].name;
    }
    const snub_finding finding = {.level = SNUB_FAIL,
                                  .rule = rule,
                                  .pulley = pulley,
                                  .value = NAN,
                                  .limit = NAN,
                                  .unit = "",
                                  .at_speed = NAN,
                                  .state = "laid out",
                                  .text = text != NULL ? text : "",
                                  .source = "geometry"};
    snub_findings_add(&check->findings, arena, &finding);
    check->laid = false;
    check->failure = *why;
}

static const char *rule_of(snub_status status)
{
    switch (status) {
    case SNUB_LOST_BELT: return "lost_belt";
    case SNUB_NO_TANGENT: return "overlap";
    case SNUB_NO_CHOICE: return "no_belt";
    default: return "no_equilibrium";
    }
}

/* Belt length and slot settings, from the file or chosen.
 * @return SNUB_NO_CHOICE with the reason where nothing on offer fits */
static snub_status settle(const snub_drive *drive, const snub_check_request *request, const snub_loads *loads,
                          snub_check *check, snub_error *why)
{
    bool open = isnan(drive->belt.length) || request->free_settings;
    for (int i = 0; i < drive->pulley_count; i++) {
        const snub_pulley *pulley = &drive->pulleys[i];
        check->settings[i] = pulley->sits == SNUB_ON_SLOT ? pulley->setting : NAN;
        if (pulley->sits == SNUB_ON_SLOT && i != drive->locked && isnan(pulley->setting))
            open = true;
    }
    check->length = drive->belt.length;
    if (!open)
        return SNUB_OK;
    snub_drive asked = *drive;
    if (!isnan(drive->belt.length))
        asked.belt.stock_count = 0; /* only its own length is on offer */
    snub_choices choices;
    const snub_status status = snub_choose(&asked, loads, request->free_settings, &choices, why);
    if (status != SNUB_OK)
        return status;
    if (choices.count == 0)
        return snub_fail(why, SNUB_NO_CHOICE, &drive->belt.place, NULL, "%s", choices.why_none);
    check->length_chosen = isnan(drive->belt.length);
    check->length = choices.choice[0].length;
    memcpy(check->settings, choices.choice[0].settings, sizeof check->settings);
    return SNUB_OK;
}

/* A belt at the end of its tolerance that the slot cannot tension spoils the build, but not what is shown of the
 * nominal belt. The corner is then reckoned at the nominal setting. */
static void tell_lock(snub_study *study, snub_check *check, snub_corner corner, const snub_error *why)
{
    const char *belt = corner == SNUB_CORNER_SHORT ? "shortest belt" : "longest belt";
    const char *text = snub_format(
        study->arena, "with the %s in tolerance, %s. A longer slot, or a belt of another length.", belt, why->message);
    const snub_finding finding = {.level = SNUB_FAIL,
                                  .rule = "lock",
                                  .pulley = study->drive->pulleys[study->drive->locked].name,
                                  .other = belt,
                                  .value = NAN,
                                  .limit = NAN,
                                  .unit = "",
                                  .at_speed = NAN,
                                  .state = "fitting",
                                  .text = text != NULL ? text : "",
                                  .source = "geometry"};
    snub_findings_add(&check->findings, study->arena, &finding);
}

static snub_status prepare_rigs(snub_study *study, snub_check *check, snub_error *why)
{
    const snub_drive *drive = study->drive;
    study->same_rig = drive->locked < 0;
    for (int corner = 0; corner < SNUB_CORNER_COUNT; corner++) {
        double settings[SNUB_PULLEYS_MOST], stretch;
        memcpy(settings, check->settings, sizeof settings);
        if (drive->locked >= 0) {
            /* Set as fitted: a belt wears and stretches after the slot was locked. */
            const double length = snub_corner_length(study, (snub_corner)corner, &stretch);
            const double fitted = corner == SNUB_CORNER_LONG ? drive->belt.stretch : stretch;
            const double belt = snub_belt_pitch_length(&drive->belt, length, fitted, false);
            const snub_status status = snub_lock_set(drive, belt, settings, why);
            if (status != SNUB_OK && corner == SNUB_CORNER_NOMINAL)
                return status;
            if (status != SNUB_OK)
                tell_lock(study, check, (snub_corner)corner, why);
        }
        const snub_status status = snub_rig_prepare(drive, settings, &study->rig[corner], why);
        if (status != SNUB_OK)
            return status;
        if (corner == SNUB_CORNER_NOMINAL) {
            for (int i = 0; i < drive->pulley_count; i++) {
                if (drive->pulleys[i].sits == SNUB_ON_SLOT)
                    check->settings[i] = study->rig[corner].settings[i];
            }
            if (study->same_rig)
                break;
        }
    }
    return SNUB_OK;
}

static snub_status show(const snub_study *study, int speed, double side, snub_balance *balance, snub_error *why)
{
    snub_case wanted;
    snub_equilibrium e;
    const snub_rig *rig = snub_study_rig(study, SNUB_CORNER_NOMINAL);
    snub_loads_case(study->drive, study->loads, speed, SNUB_STEADY, side, study->length, study->drive->belt.stretch,
                    &wanted);
    const snub_status status = snub_solve(rig, &wanted, &e, why);
    if (status == SNUB_OK)
        snub_expand(study->drive, rig, &wanted, &e, balance);
    return status;
}

/* The state that is shown: the speed asked for, else redline; steady, nominal belt, friction in the middle. */
static snub_status show_state(const snub_study *study, snub_check *check, snub_error *why)
{
    const int speed = study->loads->speeds - 1;
    snub_balance edge;
    check->engine_speed = study->loads->speed[speed];
    check->rate = speed > 0 ? study->loads->rate[SNUB_STEADY] : 0.0;
    snub_status status = show(study, 0, 0.0, &check->rest, why);
    if (status == SNUB_OK)
        status = show(study, speed, 0.0, &check->balance, why);
    if (status != SNUB_OK)
        return status;
    for (int end = 0; end < 2; end++) {
        const snub_status there = show(study, speed, end == 0 ? -1.0 : 1.0, &edge, NULL);
        check->wind_band[end] = there == SNUB_OK ? edge.equilibrium.wind : NAN;
    }
    return SNUB_OK;
}

static void sum_up(const snub_study *study, snub_check *check)
{
    check->worst_grip = 0.0;
    check->worst_grip_speed = check->engine_speed;
    for (int i = 0; i < study->drive->pulley_count; i++) {
        const snub_worst *worst = &study->grip[i];
        if (worst->set && worst->value > check->worst_grip) {
            check->worst_grip = worst->value;
            check->worst_grip_speed = study->loads->speed[worst->speed];
        }
    }
    snub_gap gap;
    int count = 0;
    check->slip_onset = study->onset.set ? study->onset.value : NAN;
    check->tightest_gap = INFINITY;
    snub_gaps(study->drive, &check->balance.path, study->drive->limits[SNUB_LIMIT_FLAP], INFINITY, &gap, 1, &count);
    if (count > 0)
        check->tightest_gap = gap.gap - gap.flap;
}

snub_status snub_check_loaded(const snub_drive *drive, const snub_check_request *request, const snub_loads *loads,
                              snub_arena *arena, snub_check *check, snub_error *error)
{
    snub_error why;
    memset(&why, 0, sizeof why);
    snub_study *study = calloc(1, sizeof *study); /* large and not kept */
    if (study == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    memset(check, 0, sizeof *check);
    check->drive = drive;
    check->tightest_gap = INFINITY;
    study->drive = drive;
    study->loads = loads;
    study->arena = arena;
    snub_status status = settle(drive, request, loads, check, &why);
    if (status == SNUB_OK) {
        snub_designation(&drive->belt, check->length, check->designation);
        study->length = check->length;
        status = prepare_rigs(study, check, &why);
    }
    if (status == SNUB_OK)
        status = show_state(study, check, &why);
    check->laid = status == SNUB_OK;
    if (status != SNUB_OK) {
        tell_failure(check, arena, rule_of(status), &why);
    } else {
        snub_study_run(study);
        sum_up(study, check);
        snub_study_findings(study, check, &check->findings);
    }
    free(study);
    snub_findings_sort(&check->findings);
    return check->findings.failed || arena->refused || status == SNUB_NO_MEMORY
               ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory")
               : SNUB_OK;
}

snub_status snub_check_drive(const snub_drive *drive, const snub_check_request *request, snub_arena *arena,
                             snub_check *check, snub_error *error)
{
    snub_loads loads;
    const int speeds = request->speeds > 1 ? request->speeds : CHECK_SPEEDS;
    const snub_status status =
        snub_loads_prepare(drive, speeds, request->only_speed, request->only_rate, arena, &loads, error);
    if (status != SNUB_OK)
        return status;
    return snub_check_loaded(drive, request, &loads, arena, check, error);
}
