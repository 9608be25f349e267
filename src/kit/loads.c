/* Torque of every pulley over the rev range, worked out once for all belts and settings. */
#include "loads.h"
#include "shake.h"
#include "snub/kit.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Speeds nearer to each other than this are one, rad/s: 0.5 rpm. */
static const double SAME_SPEED = 0.05;

int snub_first_blower(const snub_drive *drive)
{
    for (int i = 0; i < drive->pulley_count; i++) {
        if (drive->pulleys[i].has_blower && i != drive->crank)
            return i;
    }
    return -1;
}

snub_throttle snub_way_throttle(snub_way way)
{
    return way == SNUB_FALLING || way == SNUB_SHUT || way == SNUB_AFTER_BLIP ? SNUB_THROTTLE_SHUT : SNUB_THROTTLE_OPEN;
}

/* Out of gear with the throttle closed the engine's own friction slows it. That is less than the torque that spun it
 * up, and no more than slows it at decel_rate, its fastest loss: so the lower of the two is not passed. */
static double rate_after_blip(const snub_engine *engine)
{
    return engine->decel_rate > 0.0 ? -fmin(engine->blips, engine->decel_rate) : -engine->blips;
}

double snub_way_rate(const snub_engine *engine, snub_way way)
{
    if (!engine->given)
        return 0.0;
    switch (way) {
    case SNUB_RISING: return engine->accel_rate;
    case SNUB_FALLING:
    case SNUB_SHIFT: return -engine->decel_rate;
    case SNUB_BLIP: return engine->blips;
    case SNUB_AFTER_BLIP: return engine->blips > 0.0 ? rate_after_blip(engine) : 0.0;
    default: return 0.0;
    }
}

/* ---- which speeds ------------------------------------------------------------------------------------------------ */

typedef struct speed_list {
    double least, most;
    double *items;
    int count, room;
} speed_list;

static void add_speed(speed_list *s, double speed)
{
    if (speed >= s->least && speed <= s->most && s->count < s->room)
        s->items[s->count++] = speed;
}

/* Torque is linear between the points of a table: its peaks lie on them. */
static void add_kinks(const snub_drive *drive, speed_list *s)
{
    for (int k = 0; k < drive->engine.volumetric_efficiency.n; k++)
        add_speed(s, drive->engine.volumetric_efficiency.x[k]);
    for (int i = 0; i < drive->pulley_count; i++) {
        const snub_pulley *pulley = &drive->pulleys[i];
        const double ratio = snub_speed_ratio(drive, i);
        for (int k = 0; k < pulley->load.n; k++)
            add_speed(s, pulley->load.x[k] / ratio);
        for (int k = 0; k < pulley->load_by_boost.nx; k++)
            add_speed(s, pulley->load_by_boost.x[k] / ratio);
    }
}

static int in_order(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Even steps from idle to redline and the kinks between them; of speeds that are nearly one the step stays. */
static int choose_speeds(const snub_drive *drive, int steps, double *out)
{
    double kinks[SNUB_KINKS_MOST];
    const double idle = drive->engine.idle, redline = drive->engine.redline;
    speed_list s = {idle, redline, kinks, 0, SNUB_KINKS_MOST};
    add_kinks(drive, &s);
    qsort(kinks, (size_t)s.count, sizeof kinks[0], in_order);
    int count = 0;
    for (int k = 0, kink = 0; k < steps; k++) {
        const double step = k == steps - 1 ? redline : idle + (redline - idle) * k / (steps - 1);
        for (; kink < s.count && kinks[kink] < step + SAME_SPEED; kink++) {
            if (kinks[kink] < step - SAME_SPEED && (count == 0 || kinks[kink] > out[count - 1] + SAME_SPEED))
                out[count++] = kinks[kink];
        }
        out[count++] = step;
    }
    return count;
}

/* ---- torque ------------------------------------------------------------------------------------------------------ */

/* What the shafts ask for at an open or a shut throttle, into the way that holds its speed. */
static snub_status demand(const snub_drive *drive, snub_way way, snub_loads *loads, snub_error *error)
{
    const int n = loads->pulleys;
    for (int k = 1; k < loads->speeds; k++) {
        double *torque = &loads->torque[way][k * n];
        for (int i = 0; i < n; i++) {
            if (i == drive->crank)
                continue;
            snub_match_result *match = way == SNUB_STEADY && i == loads->blower ? &loads->match[k] : NULL;
            const snub_status status =
                snub_demand_torque(drive, i, loads->speed[k], 1.0, snub_way_throttle(way), &torque[i], match, error);
            if (status != SNUB_OK) {
                if (error != NULL)
                    snprintf(error->key, sizeof error->key, "%s", drive->pulleys[i].name);
                return status;
            }
        }
    }
    return SNUB_OK;
}

/* Another way at the same throttle asks for the same, and for what turns inertia. */
static void add_inertia(const snub_drive *drive, snub_way way, const double *held, snub_loads *loads)
{
    const int n = loads->pulleys;
    for (int k = 1; k < loads->speeds; k++) {
        for (int i = 0; i < n; i++) {
            if (i == drive->crank)
                continue;
            const double inertia = snub_inertia_torque(drive, i, loads->rate[way]), mean = held[k * n + i];
            if (loads->peaks > 0)
                loads->peak[way][k * n + i] =
                    snub_with_inertia(drive, i, mean * fmax(drive->pulleys[i].peak, 1.0), inertia);
            loads->torque[way][k * n + i] = snub_with_inertia(drive, i, mean, inertia);
        }
    }
}

static snub_status no_memory(snub_error *error)
{
    return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
}

static bool has_peak(const snub_drive *drive, int pulley)
{
    return pulley != drive->crank && drive->pulleys[pulley].peak > 1.0;
}

/* Room for `speeds`, the first of which is rest. */
static bool make_room(const snub_drive *drive, int speeds, snub_arena *arena, snub_loads *loads)
{
    *loads = (snub_loads){.speeds = 1, .pulleys = drive->pulley_count, .blower = snub_first_blower(drive)};
    for (int i = 0; i < drive->pulley_count; i++)
        loads->peaks += has_peak(drive, i);
    loads->speed = SNUB_NEW(arena, double, speeds);
    loads->match = loads->blower >= 0 ? SNUB_NEW(arena, snub_match_result, speeds) : NULL;
    return loads->speed != NULL && (loads->blower < 0 || loads->match != NULL);
}

static snub_status fill_ways(const snub_drive *drive, snub_arena *arena, snub_loads *loads, snub_error *error)
{
    static const snub_way held[] = {SNUB_STEADY, SNUB_SHUT};
    for (int way = 0; way < SNUB_WAYS; way++) {
        const int cells = loads->speeds * loads->pulleys;
        loads->torque[way] = SNUB_NEW(arena, double, cells);
        loads->peak[way] = loads->peaks > 0 ? SNUB_NEW(arena, double, cells) : NULL;
        if (loads->torque[way] == NULL || (loads->peaks > 0 && loads->peak[way] == NULL))
            return no_memory(error);
    }
    for (int k = 0; k < 2; k++) {
        const snub_status status = loads->runs[held[k]] ? demand(drive, held[k], loads, error) : SNUB_OK;
        if (status != SNUB_OK)
            return status;
    }
    for (int way = 0; way < SNUB_WAYS; way++) {
        const bool open = snub_way_throttle((snub_way)way) == snub_way_throttle(SNUB_STEADY);
        if (loads->runs[way])
            add_inertia(drive, (snub_way)way, loads->torque[open ? SNUB_STEADY : SNUB_SHUT], loads);
    }
    return SNUB_OK;
}

snub_status snub_loads_prepare(const snub_drive *drive, int speeds, snub_arena *arena, snub_loads *loads,
                               snub_error *error)
{
    if (!make_room(drive, 1 + speeds + SNUB_KINKS_MOST, arena, loads))
        return no_memory(error);
    loads->shake = snub_shake_of(drive, arena);
    if (loads->shake == NULL)
        return no_memory(error);
    loads->runs[SNUB_STEADY] = true;
    if (drive->engine.given) {
        loads->speeds += choose_speeds(drive, speeds, &loads->speed[1]);
        for (int way = 0; way < SNUB_WAYS; way++) {
            loads->rate[way] = snub_way_rate(&drive->engine, (snub_way)way);
            loads->runs[way] = way == SNUB_STEADY || way == SNUB_SHUT || loads->rate[way] != 0.0;
        }
    }
    return fill_ways(drive, arena, loads, error);
}

snub_status snub_loads_at(const snub_drive *drive, double speed, snub_way way, double rate, snub_arena *arena,
                          snub_loads *loads, snub_error *error)
{
    if (!make_room(drive, 2, arena, loads))
        return no_memory(error);
    loads->runs[SNUB_STEADY] = true;
    loads->rate[way] = way == SNUB_STEADY ? rate : snub_way_rate(&drive->engine, way);
    loads->runs[way] = true;
    loads->runs[SNUB_SHUT] = snub_way_throttle(way) == SNUB_THROTTLE_SHUT;
    if (speed > 0.0)
        loads->speed[loads->speeds++] = speed;
    return fill_ways(drive, arena, loads, error);
}

void snub_loads_case(const snub_drive *drive, const snub_loads *loads, int speed, snub_way way, double side,
                     double effective, double stretch, bool warm, snub_case *wanted)
{
    wanted->engine_speed = loads->speed[speed];
    wanted->rate = speed == 0 ? 0.0 : loads->rate[way];
    wanted->side = side;
    wanted->belt_length = snub_belt_pitch_length(&drive->belt, effective, stretch, warm);
    const double *torque = &loads->torque[way][speed * loads->pulleys];
    for (int i = 0; i < loads->pulleys; i++)
        wanted->torque[i] = torque[i];
}

/* ---- peaks ------------------------------------------------------------------------------------------------------- */

int snub_peak_states(const snub_loads *loads)
{
    return loads->peaks > 1 ? loads->peaks + 1 : loads->peaks;
}

const char *snub_loads_peak(const snub_drive *drive, const snub_loads *loads, int speed, snub_way way, int state,
                            snub_case *wanted)
{
    const double *peak = &loads->peak[way][speed * loads->pulleys];
    const char *name = SNUB_ALL_PEAKS;
    for (int i = 0, k = 0; i < loads->pulleys; i++) {
        if (!has_peak(drive, i))
            continue;
        if (k == state || state == loads->peaks)
            wanted->torque[i] = peak[i];
        if (k++ == state)
            name = drive->pulleys[i].name;
    }
    return name;
}

int snub_peak_state(const snub_drive *drive, const snub_loads *loads, const char *name)
{
    if (name == NULL || loads->peaks == 0)
        return -1;
    if (name[0] == '\0')
        return snub_peak_states(loads) - 1; /* of a single one: its own */
    for (int i = 0, k = 0; i < loads->pulleys; i++) {
        if (has_peak(drive, i) && k++ >= 0 && strcmp(drive->pulleys[i].name, name) == 0)
            return k - 1;
    }
    return -1;
}

bool snub_takes_power(const snub_pulley *pulley)
{
    return pulley->has_blower || pulley->load.n > 0 || pulley->load_by_boost.nx > 0;
}

double snub_loads_absorbed(const snub_drive *drive, const snub_loads *loads, int speed, snub_way way, const char *peak,
                           int pulley)
{
    const bool open = snub_way_throttle(way) == snub_way_throttle(SNUB_STEADY);
    const snub_way held = speed == 0 || open ? SNUB_STEADY : SNUB_SHUT;
    const double mean = loads->torque[held][speed * loads->pulleys + pulley];
    const bool peaks = peak != NULL && (peak[0] == '\0' || strcmp(peak, drive->pulleys[pulley].name) == 0);
    return pulley == drive->crank ? 0.0 : peaks ? mean * fmax(drive->pulleys[pulley].peak, 1.0) : mean;
}

/* ---- belts ------------------------------------------------------------------------------------------------------- */

snub_shown_belt snub_corner_belt(snub_corner corner)
{
    static const snub_shown_belt belts[SNUB_CORNERS] = {SNUB_SHOW_NOMINAL, SNUB_SHOW_SHORTEST, SNUB_SHOW_WORN};
    return belts[corner];
}

double snub_belt_shown(const snub_belt *belt, double nominal, snub_shown_belt which, double *stretch)
{
    const double tolerance = snub_belt_tolerance(belt, nominal);
    *stretch = which == SNUB_SHOW_SHORTEST ? 0.0 : which == SNUB_SHOW_WORN ? belt->worn : belt->stretch;
    return which == SNUB_SHOW_NOMINAL    ? nominal
           : which == SNUB_SHOW_SHORTEST ? nominal - tolerance
                                         : nominal + tolerance;
}

double snub_stretch_when_set(const snub_drive *drive, double stretch)
{
    return drive->pulleys[drive->locked].retension ? stretch : fmin(stretch, drive->belt.stretch);
}
