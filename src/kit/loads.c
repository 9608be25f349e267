/* Torque of every pulley over the rev range, worked out once for all belts and settings. */
#include "snub/kit.h"

static snub_throttle throttle_of(snub_running running)
{
    return running == SNUB_FALLING ? SNUB_THROTTLE_SHUT : SNUB_THROTTLE_OPEN;
}

static int first_blower(const snub_drive *drive)
{
    for (int i = 0; i < drive->pulley_count; i++) {
        if (drive->pulleys[i].has_blower && i != drive->crank)
            return i;
    }
    return -1;
}

static void choose_speeds(const snub_drive *drive, int speeds, double only, snub_loads *loads)
{
    loads->speed[0] = 0.0;
    if (!isnan(only)) {
        loads->speed[1] = only;
        return;
    }
    const double idle = drive->engine.idle, redline = drive->engine.redline;
    for (int k = 0; k < speeds; k++)
        loads->speed[k + 1] = idle + (redline - idle) * k / (speeds - 1);
}

static snub_status fill(const snub_drive *drive, snub_running running, int blower, snub_loads *loads, snub_error *error)
{
    const int n = loads->pulleys;
    for (int k = 1; k < loads->speeds; k++) {
        double *torque = &loads->torque[running][k * n];
        for (int i = 0; i < n; i++) {
            if (i == drive->crank)
                continue;
            snub_match_result *match = running == SNUB_STEADY && i == blower ? &loads->match[k] : NULL;
            const snub_status status =
                snub_demand_torque(drive, i, loads->speed[k], 1.0, throttle_of(running), &torque[i], match, error);
            if (status != SNUB_OK)
                return status;
            torque[i] += snub_inertia_torque(drive, i, loads->rate[running]);
        }
    }
    return SNUB_OK;
}

snub_status snub_loads_prepare(const snub_drive *drive, int speeds, double only, double only_rate, snub_arena *arena,
                               snub_loads *loads, snub_error *error)
{
    const bool one = !isnan(only);
    if (!one && !drive->engine.given) {
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "engine",
                         "the file has no engine, so there is no speed range: "
                         "add engine.idle and engine.redline, or give one speed");
    }
    const int blower = first_blower(drive);
    loads->speeds = one ? (only > 0.0 ? 2 : 1) : speeds + 1;
    loads->pulleys = drive->pulley_count;
    loads->speed = SNUB_NEW(arena, double, loads->speeds + 1);
    loads->match = blower >= 0 ? SNUB_NEW(arena, snub_match_result, loads->speeds) : NULL;
    if (loads->speed == NULL || (blower >= 0 && loads->match == NULL))
        goto no_memory;
    choose_speeds(drive, speeds, only, loads);
    loads->rate[SNUB_STEADY] = one ? only_rate : 0.0;
    loads->rate[SNUB_RISING] = drive->engine.given ? drive->engine.rises : 0.0;
    loads->rate[SNUB_FALLING] = drive->engine.given ? -drive->engine.falls : 0.0;
    for (int r = 0; r < SNUB_RUNNING_COUNT; r++) {
        loads->torque[r] = SNUB_NEW(arena, double, loads->speeds * loads->pulleys);
        if (loads->torque[r] == NULL)
            goto no_memory;
        const snub_status status = fill(drive, (snub_running)r, blower, loads, error);
        if (status != SNUB_OK)
            return status;
    }
    return SNUB_OK;
no_memory:
    return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
}

void snub_loads_case(const snub_drive *drive, const snub_loads *loads, int speed, snub_running running, double side,
                     double effective, double stretch, snub_case *wanted)
{
    wanted->engine_speed = loads->speed[speed];
    wanted->rate = speed == 0 ? 0.0 : loads->rate[running];
    wanted->side = side;
    wanted->belt_length = snub_belt_pitch_length(&drive->belt, effective, stretch, speed > 0);
    const double *torque = &loads->torque[running][speed * loads->pulleys];
    for (int i = 0; i < loads->pulleys; i++)
        wanted->torque[i] = torque[i];
}
