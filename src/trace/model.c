/* The build over its speeds, once; samples look it up. */
#include "model.h"

#include <math.h>
#include <string.h>

#include "boost_map.h"

#define OPEN_SHARE 0.6  /* of the greatest throttle */
#define BOOST_SHARE 0.5 /* of the build's boost at that speed */
#define RISES 0.03      /* 1/s: an engine that gains more is taken to be at open throttle where nothing says it */
#define RATE_SHARE 0.3  /* of the file's rate of a way: from there on that way comes nearer than steady running */

static void fill_point(const snub_build *build, int blower, const snub_state *state, snub_log_point *point)
{
    const snub_drive *drive = build->drive;
    *point = (snub_log_point){.solved = state->solved,
                              .boost = state->has_match ? state->match.boost : (double)NAN,
                              .charge = state->has_match ? state->match.charge_temperature : (double)NAN};
    if (!state->solved)
        return;
    const snub_pulley_state *p = state->balance.pulley, *crank = &p[drive->crank];
    point->creep = p[blower].creep;
    point->crank_grip = crank->grip_limit;
    point->blower_grip = p[blower].grip_limit;
    point->crank_force = fabs(crank->torque) / drive->pulleys[drive->crank].pitch_radius;
    point->blower_force = fabs(p[blower].torque) / drive->pulleys[blower].pitch_radius;
    for (int i = 0; i < drive->pulley_count; i++) {
        point->worst_limit = fmax(point->worst_limit, p[i].grip_limit);
        point->worst_design = fmax(point->worst_design, p[i].grip_design);
    }
}

static double model_speed(const snub_log_model *model, int k)
{
    return model->idle + (model->redline - model->idle) * k / (SNUB_LOG_SPEEDS - 1);
}

static snub_status fill_way(snub_log_model *model, snub_way way, snub_arena *arena, snub_state *state,
                            snub_error *error)
{
    for (int k = 0; k < SNUB_LOG_SPEEDS; k++) {
        const snub_wanted_state wanted = {.speed = model_speed(model, k), .way = way};
        const snub_status status = snub_build_state(model->build, &wanted, arena, state, error);
        if (status != SNUB_OK)
            return status;
        fill_point(model->build, model->blower, state, &model->point[way][k]);
        snub_arena_free(arena);
    }
    return SNUB_OK;
}

snub_status snub_log_model_make(const snub_build *build, snub_log_model *model, snub_error *error)
{
    static const snub_way ways[] = {SNUB_STEADY, SNUB_SHUT, SNUB_RISING, SNUB_FALLING, SNUB_SHIFT};
    const snub_drive *drive = build->drive;
    *model = (snub_log_model){.build = build, .blower = snub_first_blower(drive)};
    if (!drive->engine.given || !(drive->engine.redline > drive->engine.idle))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "engine",
                         "a log is compared from engine.idle to engine.redline: the file gives no such range");
    if (model->blower < 0)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "pulleys", "the drive has no blower whose slip could be found");
    if (!build->laid)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL,
                         "the build has no belt that runs, so a log has nothing to be compared with: see snub check");
    model->ratio = snub_speed_ratio(drive, model->blower);
    model->crank_radius = drive->pulleys[drive->crank].pitch_radius;
    model->idle = drive->engine.idle;
    model->redline = drive->engine.redline;
    model->steps_per_speed = (SNUB_LOG_SPEEDS - 1) / (model->redline - model->idle);
    trace_air_fill(model);
    snub_arena outer = {0}, arena = {0};
    snub_state *state = SNUB_NEW(&outer, snub_state, 1);
    snub_status status = state != NULL ? SNUB_OK : SNUB_NO_MEMORY;
    for (size_t i = 0; i < sizeof ways / sizeof ways[0] && status == SNUB_OK; i++) {
        const double rate = snub_way_rate(&drive->engine, ways[i]);
        model->runs[ways[i]] = ways[i] == SNUB_STEADY || ways[i] == SNUB_SHUT || rate != 0.0;
        if (model->runs[ways[i]])
            status = fill_way(model, ways[i], &arena, state, error);
    }
    snub_arena_free(&arena);
    snub_arena_free(&outer);
    return status == SNUB_NO_MEMORY ? snub_fail(error, status, NULL, NULL, "out of memory") : status;
}

static double between(double a, double b, double part)
{
    return a + (b - a) * part;
}

snub_log_point trace_point(const snub_log_model *model, snub_way way, double engine)
{
    const double at = (engine - model->idle) * model->steps_per_speed;
    const double held = fmin(fmax(at, 0.0), SNUB_LOG_SPEEDS - 1.0);
    const int k = held < SNUB_LOG_SPEEDS - 1 ? (int)held : SNUB_LOG_SPEEDS - 2;
    const snub_log_point *a = &model->point[model->runs[way] ? way : SNUB_STEADY][k], *b = a + 1;
    const double part = held - k;
    if (!a->solved || !b->solved)
        return part < 0.5 ? *a : *b;
    return (snub_log_point){.solved = true,
                            .creep = between(a->creep, b->creep, part),
                            .crank_grip = between(a->crank_grip, b->crank_grip, part),
                            .blower_grip = between(a->blower_grip, b->blower_grip, part),
                            .worst_limit = between(a->worst_limit, b->worst_limit, part),
                            .worst_design = between(a->worst_design, b->worst_design, part),
                            .crank_force = between(a->crank_force, b->crank_force, part),
                            .blower_force = between(a->blower_force, b->blower_force, part),
                            .boost = between(a->boost, b->boost, part),
                            .charge = between(a->charge, b->charge, part)};
}

bool trace_is_open(const snub_log_model *model, double full, const trace_sample *sample)
{
    if (!isnan(sample->throttle) && full > 0.0)
        return sample->throttle >= OPEN_SHARE * full;
    if (!isnan(sample->boost)) {
        const double boost = trace_point(model, SNUB_STEADY, sample->engine).boost;
        if (boost > 0.0)
            return sample->boost >= BOOST_SHARE * boost;
    }
    return sample->rate > RISES;
}

snub_way trace_way(const snub_log_model *model, double full, const trace_sample *sample)
{
    const snub_engine *engine = &model->build->drive->engine;
    const double gain = sample->rate * sample->engine;
    const bool open = trace_is_open(model, full, sample);
    if (open && gain > RATE_SHARE * engine->accel_rate && model->runs[SNUB_RISING])
        return SNUB_RISING;
    if (-gain > RATE_SHARE * engine->decel_rate && model->runs[SNUB_FALLING])
        return open ? SNUB_SHIFT : SNUB_FALLING;
    return open ? SNUB_STEADY : SNUB_SHUT;
}
