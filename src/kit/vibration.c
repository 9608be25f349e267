/* A settled build in motion over the rev range. */
#include "snub/vibration.h"

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

static void put_spans(const snub_drive *drive, const snub_balance *balance, snub_vibration_point *point)
{
    point->belt_speed = balance->equilibrium.belt_speed;
    for (int i = 0; i < drive->pulley_count; i++) {
        const double tension = balance->span_tension[i];
        point->span[i] = (snub_span_motion){
            .tension = tension,
            .frequency = balance->span_frequency[i],
            .of_wave = tension > 0.0 ? point->belt_speed / sqrt(tension / drive->belt.mass) : (double)INFINITY};
    }
}

static snub_status find_modes(const snub_vibration *v, bool held, snub_arena *arena, snub_vibration_modes *modes)
{
    const snub_status status = snub_modes_find(v->motion, held, arena, &modes->modes, &modes->why);
    modes->found = status == SNUB_OK;
    return status == SNUB_NO_MEMORY ? status : SNUB_OK;
}

static snub_status set_in_motion(const snub_state *state, snub_arena *arena, snub_vibration *v)
{
    v->modes_speed = state->engine_speed;
    v->motion = SNUB_NEW(arena, snub_motion, 1);
    if (v->motion == NULL)
        return SNUB_NO_MEMORY;
    snub_motion_about(v->drive, &state->balance, &v->inertias, v->motion);
    const snub_status status = find_modes(v, true, arena, &v->held);
    return status == SNUB_OK ? find_modes(v, false, arena, &v->free) : status;
}

/* Of the greatest torque of an order; less is nothing but rounding, or of no account. */
static const double ORDER_COUNTS = 1e-3;

static void keep_orders(const snub_order *all, snub_vibration_point *point)
{
    double greatest = 0.0;
    for (int k = 0; k < SNUB_ORDERS; k++)
        greatest = fmax(greatest, all[k].torque);
    for (int k = 0; k < SNUB_ORDERS; k++) {
        if (all[k].torque > ORDER_COUNTS * greatest)
            point->order[point->order_count++] = all[k];
    }
}

static void take_measured(const snub_surface *table, snub_vibration_point *point)
{
    for (int j = 0; j < table->ny; j++) {
        const double order = table->y[j], angle = snub_surface_at(table, point->speed, order);
        point->order[point->order_count++] =
            (snub_order){.order = order, .torque = NAN, .angle = angle, .speed = angle * order};
    }
}

/* How unevenly the crank turns at a speed. */
static snub_status run_orders(snub_vibration *v, const snub_state *state, snub_arena *arena,
                              snub_vibration_point *point)
{
    const snub_engine *engine = &v->drive->engine;
    const snub_match_result *match = state->has_match ? &state->match : NULL;
    const bool blown = snub_first_blower(v->drive) >= 0;
    snub_unevenness *u = &v->uneven;
    point->peak = point->gas_torque = NAN;
    u->measured = engine->irregularity.nx > 0;
    const int room = u->measured && engine->irregularity.ny > SNUB_ORDERS ? engine->irregularity.ny : SNUB_ORDERS;
    point->order = SNUB_NEW(arena, snub_order, room);
    if (point->order == NULL)
        return SNUB_NO_MEMORY;
    if (!(point->speed > 0.0) || (blown && match == NULL && !u->measured))
        return SNUB_OK;
    if (u->measured) {
        take_measured(&engine->irregularity, point);
    } else {
        snub_cylinder cylinder;
        snub_order all[SNUB_ORDERS];
        double firing[SNUB_CYLINDERS_MOST];
        if (isnan(v->inertias.pulley[v->drive->crank]))
            return snub_fail(&u->why, SNUB_BAD_INPUT, NULL, NULL, "give engine.inertia"), SNUB_OK;
        if (snub_cylinder_of(v->drive, match, point->speed, &cylinder, &u->assumed, &u->why) != SNUB_OK)
            return SNUB_OK;
        snub_firing_angles(engine, firing);
        snub_orders_of(&cylinder, firing, engine->cylinders, point->speed, v->inertias.pulley[v->drive->crank], all);
        keep_orders(all, point);
        point->peak = cylinder.intake * pow(cylinder.compression, cylinder.n_compression) + cylinder.rise;
        point->gas_torque = engine->cylinders * snub_mean_torque(&cylinder);
    }
    u->known = u->known || point->order_count > 0;
    return SNUB_OK;
}

/* What each order does to the drive, the crank's angle prescribed. */
static snub_status run_response(const snub_vibration *v, const snub_state *state, snub_motion *motion,
                                snub_arena *arena, snub_vibration_point *point, snub_error *error)
{
    if (point->order_count == 0)
        return SNUB_OK;
    point->response = SNUB_NEW(arena, snub_response, point->order_count);
    if (point->response == NULL)
        return out_of_memory(error);
    snub_motion_about(v->drive, &state->balance, &v->inertias, motion);
    for (int k = 0; k < point->order_count; k++) {
        snub_arena branch;
        snub_arena_branch(arena, &branch);
        const snub_status status = snub_respond(motion, point->order[k].order * point->speed, point->order[k].angle,
                                                NULL, &branch, &point->response[k], error);
        snub_arena_drop(arena, &branch);
        if (status != SNUB_OK)
            return status;
    }
    return SNUB_OK;
}

/* One speed; the first with a balance has the modes. */
static snub_status run_point(snub_vibration *v, double speed, snub_state *state, snub_motion *motion, snub_arena *arena,
                             snub_vibration_point *point, snub_error *error)
{
    const snub_wanted_state wanted = {.speed = speed};
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
    put_spans(v->drive, &state->balance, point);
    if (v->motion == NULL && set_in_motion(state, arena, v) != SNUB_OK)
        return out_of_memory(error);
    return run_response(v, state, motion, arena, point, error);
}

snub_status snub_vibration_run(const snub_build *build, const snub_vibration_request *request, snub_arena *arena,
                               snub_vibration *vibration, snub_error *error)
{
    const snub_engine *engine = &build->drive->engine;
    const bool range = isnan(request->speed) && engine->given;
    *vibration = (snub_vibration){.build = build, .drive = build->drive, .modes_speed = NAN, .firing = NAN};
    snub_inertias_of(build->drive, &vibration->inertias);
    snub_fail(&vibration->uneven.why, SNUB_BAD_INPUT, NULL, NULL, "the engine stands, or its blower has no answer");
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
