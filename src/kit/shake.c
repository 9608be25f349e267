/* How unevenly the crank turns: measured, else from cylinders at full load or without load. */
#include "shake.h"

/* Of the greatest torque of an order; less is nothing but rounding, or of no account. */
static const double ORDER_COUNTS = 1e-3;

static bool prepare(const snub_drive *drive, snub_shake *s)
{
    const snub_engine *engine = &drive->engine;
    snub_cylinder sizes;
    double firing[SNUB_CYLINDERS_MOST];
    s->measured = engine->irregularity.nx > 0;
    if (s->measured)
        return true;
    if (isnan(s->inertias.pulley[drive->crank]))
        return snub_fail(&s->why, SNUB_BAD_INPUT, NULL, NULL, "give engine.inertia"), false;
    if (snub_cylinder_of(drive, NULL, engine->idle, &sizes, &s->assumed, &s->why) != SNUB_OK)
        return false;
    snub_firing_angles(engine, firing);
    snub_harmonics_of(&sizes, firing, engine->cylinders, &s->harmonics);
    return true;
}

snub_shake *snub_shake_of(const snub_drive *drive, snub_arena *arena)
{
    snub_shake *s = SNUB_NEW(arena, snub_shake, 1);
    if (s == NULL)
        return NULL;
    snub_inertias_of(drive, &s->inertias);
    snub_fail(&s->why, SNUB_BAD_INPUT, NULL, NULL, "the engine stands, or its blower has no answer");
    s->known = drive->engine.given && prepare(drive, s);
    return s;
}

int snub_shake_room(const snub_drive *drive)
{
    const snub_surface *table = &drive->engine.irregularity;
    return table->nx > 0 && table->ny > SNUB_ORDERS ? table->ny : SNUB_ORDERS;
}

static int take_measured(const snub_surface *table, double speed, snub_order *orders)
{
    for (int j = 0; j < table->ny; j++) {
        const double order = table->y[j], angle = snub_surface_at(table, speed, order);
        orders[j] = (snub_order){.order = order, .torque = NAN, .angle = angle, .speed = angle * order};
    }
    return table->ny;
}

static int keep_orders(const snub_order *all, snub_order *orders)
{
    double greatest = 0.0;
    int count = 0;
    for (int k = 0; k < SNUB_ORDERS; k++)
        greatest = fmax(greatest, all[k].torque);
    for (int k = 0; k < SNUB_ORDERS; k++) {
        if (all[k].torque > ORDER_COUNTS * greatest)
            orders[count++] = all[k];
    }
    return count;
}

int snub_shake_at(const snub_drive *drive, const snub_shake *shake, const snub_shake_case *wanted, snub_order *orders,
                  snub_cylinder *cylinder)
{
    const snub_engine *engine = &drive->engine;
    const bool loaded = wanted->throttle == SNUB_THROTTLE_OPEN;
    snub_cylinder c;
    snub_order all[SNUB_ORDERS];
    unsigned assumed;
    if (!shake->known || !(wanted->speed > 0.0))
        return 0;
    if (shake->measured)
        return take_measured(&engine->irregularity, wanted->speed, orders);
    if (snub_cylinder_of(drive, loaded ? wanted->match : NULL, wanted->speed, &c, &assumed, NULL) != SNUB_OK)
        return 0;
    if (!loaded)
        snub_cylinder_throttle(&c, (snub_friction_torque(engine, &drive->air, wanted->speed) + wanted->drive_torque) /
                                       engine->cylinders);
    if (cylinder != NULL)
        *cylinder = c;
    snub_orders_at(&shake->harmonics, &c, wanted->speed, shake->inertias.pulley[drive->crank], all);
    return keep_orders(all, orders);
}
