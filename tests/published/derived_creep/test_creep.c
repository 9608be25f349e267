/* Creep and slip arc of a belt drive of two equal pulleys, from the belt's equations along the arc (an integration that
 * has the change of momentum flux in it) and in closed form: loss of speed (Tt - Ts)/(EA + Tt), slip arc
 * ln((Tt - m v^2)/(Ts - m v^2))/mu (derived). EA 170 kN, m 0.1029 kg/m, mu 0.5, wrap 180 deg. */
#include "balance/expand.h"
#include "support/near.h"
#include "support/plain_drive.h"

static const double EA = 170000, MASS = 0.1029, FRICTION = 0.5, DEG = SNUB_PI / 180;

typedef struct creep_case {
    double tight, slack, speed, loss, slip_deg, loss_ode, slip_deg_ode;
    double slip_deg_apart; /* of closed form and integration */
} creep_case;

static const creep_case cases[] = {
    {600, 300, 0.001, 0.0017584994138335288, 79.42881607460701, 0.001758499413833563, 79.42881607409589, 1e-8},
    {600, 300, 20, 0.0017584994138335288, 88.19574824793247, 0.0017584994138333699, 88.1637093092109, 0.04},
    {900, 300, 30, 0.003510825043885313, 155.75350527460753, 0.003510825043885409, 155.57399402209248, 0.2},
};

static void closed_forms(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const creep_case *c = &cases[i];
        const double flux = MASS * c->speed * c->speed;
        const double slip = snub_grip(c->tight - flux, c->slack - flux, FRICTION, SNUB_PI) * 180;
        assert_near("slip arc", slip, c->slip_deg, 1e-11, "deg");
        assert_near("slip arc by integration", slip, c->slip_deg_ode, c->slip_deg_apart, "deg");
        assert_near("loss of speed", snub_creep(c->tight, c->slack, EA), c->loss, 1e-17, "");
        assert_near("loss by integration", snub_creep(c->tight, c->slack, EA), c->loss_ode, 1e-14, "");
        assert_near("a pulley that the tight side enters loses nothing", snub_creep(c->tight, c->tight, EA), 0, 0, "");
    }
}

/* The same drives balanced by the program: which side enters is then its own business. */
static void balanced(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const creep_case *c = &cases[i];
        const double centre[2][2] = {{0, 0}, {0.3, 0.1}}, radius[2] = {0.05, 0.05};
        plain_drive p;
        snub_rig rig;
        snub_equilibrium e;
        snub_balance b;
        snub_case wanted = {.engine_speed = c->speed / 0.05};
        plain_drive_init(&p, 2, centre, radius);
        p.drive.belt.stiffness = EA;
        p.drive.belt.mass = MASS;
        p.drive.belt.design.rib = FRICTION;
        assert_int_equal(snub_rig_prepare(&p.drive, NULL, &rig, NULL), SNUB_OK);
        wanted.torque[1] = (c->tight - c->slack) * 0.05;
        wanted.belt_length = plain_length_for(&p, &rig.path, (c->tight + c->slack) / 2);
        assert_int_equal(snub_solve(&rig, &wanted, &e, NULL), SNUB_OK);
        snub_expand(&p.drive, &rig, &wanted, &e, &b);
        assert_near("tight side", b.pulley[0].entry, c->tight, 1e-8, "N");
        assert_near("loss of speed of the driven pulley", b.pulley[1].creep, c->loss, 1e-12, "");
        assert_near("of the crank", b.pulley[0].creep, 0, 0, "");
        assert_near("slip arc of the driven pulley", b.pulley[1].grip_design * b.pulley[1].wrap / DEG, c->slip_deg,
                    1e-8, "deg");
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(closed_forms), cmocka_unit_test(balanced)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
