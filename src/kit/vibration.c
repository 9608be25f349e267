/* A settled build in motion over the rev range. */
#include "snub/vibration.h"

#include "shake.h"

static snub_status out_of_memory(snub_error *error)
{
    return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
}

static double speed_at(const snub_drive *drive, const snub_vibration_request *request, int k)
{
    if (!isnan(request->speed))
        return request->speed;
    if (!drive->engine.given)
        return 0.0;
    return drive->engine.idle + (drive->engine.redline - drive->engine.idle) * k / (request->speeds - 1);
}

static void put_spans(const snub_drive *drive, const snub_balance *balance, const snub_motion *motion,
                      snub_vibration_point *point)
{
    point->belt_speed = balance->equilibrium.belt_speed;
    for (int i = 0; i < drive->pulley_count; i++) {
        const double tension = balance->span_tension[i];
        const snub_free_span span = {tension, drive->belt.mass, drive->belt.bending, point->belt_speed,
                                     balance->path.span[i]};
        point->span[i] = (snub_span_motion){
            .tension = tension,
            .length = span.length,
            .across = motion->across[i],
            .of_wave = tension > 0.0 ? point->belt_speed / sqrt(tension / drive->belt.mass) : (double)INFINITY};
        point->span[i].frequency[0] = balance->span_frequency[i];
        for (int n = 2; n <= SNUB_SPAN_MODES; n++)
            point->span[i].frequency[n - 1] = snub_span_frequency(&span, n);
    }
}

static snub_status find_modes(const snub_vibration *v, bool held, snub_arena *arena, snub_vibration_modes *modes)
{
    const snub_status status = snub_modes_find(v->motion, held, arena, &modes->modes, &modes->why);
    modes->found = status == SNUB_OK;
    return status == SNUB_NO_MEMORY ? status : SNUB_OK;
}

static snub_status set_in_motion(const snub_motion *motion, double speed, snub_arena *arena, snub_vibration *v)
{
    v->modes_speed = speed;
    v->motion = SNUB_NEW(arena, snub_motion, 1);
    if (v->motion == NULL)
        return SNUB_NO_MEMORY;
    *v->motion = *motion;
    const snub_status status = find_modes(v, true, arena, &v->held);
    return status == SNUB_OK ? find_modes(v, false, arena, &v->free) : status;
}

/* How unevenly the crank turns at a speed. */
static snub_status run_orders(snub_vibration *v, const snub_state *state, snub_arena *arena,
                              snub_vibration_point *point)
{
    const snub_drive *drive = v->drive;
    const snub_shake *shake = v->build->loads.shake;
    const bool open = snub_way_throttle(v->way) == SNUB_THROTTLE_OPEN;
    const double drive_torque = state->solved ? -state->balance.pulley[drive->crank].torque : 0.0;
    const snub_shake_case wanted = {.speed = point->speed,
                                    .throttle = snub_way_throttle(v->way),
                                    .match = state->has_match ? &state->match : NULL,
                                    .drive_torque = drive_torque};
    snub_cylinder cylinder;
    point->peak = point->gas_torque = NAN;
    point->order = SNUB_NEW(arena, snub_order, snub_shake_room(drive));
    if (point->order == NULL)
        return SNUB_NO_MEMORY;
    const bool answers = !open || state->has_match || snub_first_blower(drive) < 0;
    if (shake == NULL || !(answers || shake->measured))
        return SNUB_OK;
    point->order_count = snub_shake_at(drive, shake, &wanted, point->order, &cylinder);
    if (point->order_count > 0 && !shake->measured) {
        point->peak = cylinder.intake * pow(cylinder.compression, cylinder.n_compression) + cylinder.rise;
        point->gas_torque = drive->engine.cylinders * snub_mean_torque(&cylinder);
    }
    v->uneven.known = v->uneven.known || point->order_count > 0;
    return SNUB_OK;
}

/* What is the same at every speed. */
static void put_uneven(const snub_shake *shake, snub_vibration *v)
{
    if (shake == NULL) {
        snub_inertias_of(v->drive, &v->inertias);
        snub_fail(&v->uneven.why, SNUB_BAD_INPUT, NULL, NULL, "the engine stands, or its blower has no answer");
        return;
    }
    v->inertias = shake->inertias;
    v->uneven = (snub_unevenness){.measured = shake->measured, .why = shake->why, .assumed = shake->assumed};
}

/* What each order does to the drive, the crank's angle prescribed. */
static snub_status run_response(const snub_motion *motion, snub_arena *arena, snub_vibration_point *point,
                                snub_error *error)
{
    if (point->order_count == 0)
        return SNUB_OK;
    point->response = SNUB_NEW(arena, snub_response, point->order_count);
    if (point->response == NULL)
        return out_of_memory(error);
    for (int k = 0; k < point->order_count; k++) {
        const snub_status status = snub_respond(motion, point->order[k].order * point->speed, point->order[k].angle,
                                                NULL, &point->response[k], error);
        if (status != SNUB_OK)
            return status;
    }
    return SNUB_OK;
}

/* One speed; the first with a balance has the modes. */
static snub_status run_point(snub_vibration *v, double speed, snub_state *state, snub_motion *motion, snub_arena *arena,
                             snub_vibration_point *point, snub_error *error)
{
    const snub_wanted_state wanted = {.speed = speed, .way = v->way};
    point->speed = speed;
    point->span = SNUB_NEW(arena, snub_span_motion, v->drive->pulley_count);
    if (point->span == NULL)
        return out_of_memory(error);
    const snub_status status = snub_build_state(v->build, &wanted, arena, state, error);
    if (status != SNUB_OK)
        return status;
    if (run_orders(v, state, arena, point) != SNUB_OK)
        return out_of_memory(error);
    point->solved = state->solved;
    point->why = state->why;
    if (!state->solved)
        return SNUB_OK;
    snub_motion_about(v->drive, &state->balance, &v->inertias, motion);
    put_spans(v->drive, &state->balance, motion, point);
    if (v->motion == NULL && set_in_motion(motion, state->engine_speed, arena, v) != SNUB_OK)
        return out_of_memory(error);
    return run_response(motion, arena, point, error);
}

snub_status snub_vibration_run(const snub_build *build, const snub_vibration_request *request, snub_arena *arena,
                               snub_vibration *vibration, snub_error *error)
{
    const snub_engine *engine = &build->drive->engine;
    const bool range = isnan(request->speed) && engine->given;
    *vibration =
        (snub_vibration){.build = build, .drive = build->drive, .way = request->way, .modes_speed = NAN, .firing = NAN};
    put_uneven(build->loads.shake, vibration);
    if (engine->cylinders > 0)
        vibration->firing = engine->cylinders * 2.0 / engine->strokes;
    vibration->speeds = range ? request->speeds : 1;
    vibration->point = SNUB_NEW(arena, snub_vibration_point, vibration->speeds);
    snub_state *state = SNUB_NEW(arena, snub_state, 1);
    snub_motion *motion = SNUB_NEW(arena, snub_motion, 1);
    if (vibration->point == NULL || state == NULL || motion == NULL)
        return out_of_memory(error);
    snub_status status = SNUB_OK;
    for (int k = 0; k < vibration->speeds && status == SNUB_OK; k++)
        status =
            run_point(vibration, speed_at(build->drive, request, k), state, motion, arena, &vibration->point[k], error);
    return status;
}

snub_status snub_vibration_couple(snub_vibration *vibration, snub_arena *arena, snub_error *error)
{
    enum { LOWEST = 12 };
    if (vibration->motion == NULL)
        return SNUB_OK;
    vibration->coupled = SNUB_NEW(arena, snub_vibration_coupled, 2);
    if (vibration->coupled == NULL)
        return out_of_memory(error);
    for (int k = 0; k < 2; k++) {
        snub_vibration_coupled *c = &vibration->coupled[k];
        const snub_status status = snub_coupled_find(vibration->motion, k == 0, LOWEST, arena, &c->modes, &c->why);
        c->found = status == SNUB_OK;
        if (status == SNUB_NO_MEMORY)
            return out_of_memory(error);
    }
    return SNUB_OK;
}
