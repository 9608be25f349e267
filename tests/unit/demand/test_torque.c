/* The bridge to the balance: what each pulley asks; and the inverse. */
#include <string.h>

#include "demand/air.h"
#include "support/blown_engine.h"
#include "support/near.h"

enum { CRANK, ALTERNATOR, BLOWER, IDLER, PUMP, PULLEYS };

typedef struct front {
    double fill, x[2], y[2], sx[2], sy[2], sz[4];
    snub_pulley pulleys[PULLEYS];
    snub_drive drive;
} front;

static front *make(front *f)
{
    memset(f, 0, sizeof *f);
    f->fill = 0.9;
    f->x[0] = 3000 * TEST_RPM, f->x[1] = 12000 * TEST_RPM;
    f->y[0] = 9, f->y[1] = 5;
    f->sx[0] = 200, f->sx[1] = 600, f->sy[0] = 0, f->sy[1] = 50e3;
    f->sz[0] = 1, f->sz[1] = 3, f->sz[2] = 5, f->sz[3] = 11;
    snub_pulley *p = f->pulleys;
    p[CRANK] = (snub_pulley){.name = "crank", .is_crank = true, .diameter = 0.185, .pitch_radius = 0.0945};
    p[ALTERNATOR] = (snub_pulley){
        .name = "alternator", .diameter = 0.058, .pitch_radius = 0.031, .inertia = 0.0028, .load = {2, f->x, f->y}};
    p[BLOWER] = (snub_pulley){.name = "blower",
                              .diameter = 0.080,
                              .pitch_radius = 0.042,
                              .inertia = 0.0016,
                              .max_speed = 16000 * TEST_RPM,
                              .has_blower = true,
                              .blower = {.kind = SNUB_TWIN_SCREW,
                                         .swept = 1.6e-3,
                                         .internal_ratio = 1.3,
                                         .leakage_speed = 850 * TEST_RPM,
                                         .mechanical = 0.92,
                                         .step_up = 1}};
    p[IDLER] = (snub_pulley){.name = "idler", .side = SNUB_BACK, .diameter = 0.076, .pitch_radius = 0.0395};
    p[PUMP] = (snub_pulley){
        .name = "pump", .diameter = 0.13, .pitch_radius = 0.067, .load_by_boost = {2, 2, f->sx, f->sy, f->sz}};
    f->drive = (snub_drive){.pulleys = p, .pulley_count = PULLEYS, .crank = CRANK, .turn = 1};
    f->drive.engine = test_engine(4e-3, &f->fill);
    f->drive.engine.idle = 750 * TEST_RPM;
    f->drive.engine.redline = 6200 * TEST_RPM;
    f->drive.air = test_air(101325, 298.15);
    return f;
}

static double torque_of(const front *f, int pulley, double crank, double factor, snub_throttle throttle,
                        snub_match_result *match)
{
    double torque = NAN;
    snub_error error = {0};
    if (snub_demand_torque(&f->drive, pulley, crank, factor, throttle, &torque, match, &error))
        print_error("%s: %s\n", error.key, error.message);
    return torque;
}

static void tables(void **state)
{
    (void)state;
    front f;
    make(&f);
    double ratio = 0.0945 / 0.031;
    assert_near("ratio", snub_speed_ratio(&f.drive, ALTERNATOR), ratio, 1e-15, "");
    double crank = 7500 * TEST_RPM / ratio;
    assert_near("middle", torque_of(&f, ALTERNATOR, crank, 1, SNUB_THROTTLE_OPEN, NULL), 7, 1e-12, "N m");
    assert_near("slower by slip", torque_of(&f, ALTERNATOR, crank, 0.8, SNUB_THROTTLE_OPEN, NULL), 7 + 4 / 6.0, 1e-12,
                "N m");
    assert_near("held", torque_of(&f, ALTERNATOR, 6200 * TEST_RPM, 1, SNUB_THROTTLE_OPEN, NULL), 5, 1e-12, "N m");
    assert_near("idler", torque_of(&f, IDLER, crank, 1, SNUB_THROTTLE_OPEN, NULL), 0, 0, "N m");
    assert_near("crank", torque_of(&f, CRANK, crank, 1, SNUB_THROTTLE_OPEN, NULL), 0, 0, "N m");
    assert_near("inertia", snub_inertia_torque(&f.drive, ALTERNATOR, 150), 0.0028 * ratio * 150, 1e-15, "N m");
    assert_near("no idler without inertia", snub_inertia_torque(&f.drive, IDLER, 150), 0, 0, "N m");
}

static void rest_and_idle(void **state)
{
    (void)state;
    front f;
    make(&f);
    double idle = 750 * TEST_RPM;
    for (int p = 0; p < PULLEYS; p++) {
        snub_match_result m = {0};
        assert_near("rest", torque_of(&f, p, 0, 1, SNUB_THROTTLE_OPEN, p == BLOWER ? &m : NULL), 0, 0, "N m");
        double at = torque_of(&f, p, idle, 1, SNUB_THROTTLE_OPEN, NULL);
        double under = torque_of(&f, p, idle * (1 - 1e-9), 1, SNUB_THROTTLE_OPEN, NULL);
        assert_near("continuous at idle", under, at, 1e-7, "N m");
        assert_near("half", torque_of(&f, p, idle / 2, 1, SNUB_THROTTLE_OPEN, NULL), at / 2, 1e-12, "N m");
    }
    snub_match_result m;
    (void)torque_of(&f, BLOWER, idle / 2, 1, SNUB_THROTTLE_OPEN, &m);
    assert_true(m.flags & SNUB_MATCH_BELOW_IDLE);
    assert_near("power", m.power, m.torque * m.shaft_speed, 1e-9, "W");
    snub_match_result whole;
    f.drive.cooler = (snub_cooler){.given = true, .effectiveness = 0.7, .coolant = 318};
    (void)torque_of(&f, BLOWER, idle / 2, 1, SNUB_THROTTLE_OPEN, &m);
    (void)torque_of(&f, BLOWER, idle, 1, SNUB_THROTTLE_OPEN, &whole);
    const double half[][2] = {{m.crank_speed, whole.crank_speed},
                              {m.shaft_speed, whole.shaft_speed},
                              {m.rotor_speed, whole.rotor_speed},
                              {m.mass_flow, whole.mass_flow},
                              {m.blower_mass_flow, whole.blower_mass_flow},
                              {m.inlet_flow, whole.inlet_flow},
                              {m.torque, whole.torque}};
    const double quarter[][2] = {{m.indicated_power, whole.indicated_power},
                                 {m.friction_power, whole.friction_power},
                                 {m.cooler_power, whole.cooler_power},
                                 {m.crank_power_gross, whole.crank_power_gross},
                                 {m.crank_power, whole.crank_power}};
    for (size_t k = 0; k < sizeof half / sizeof half[0]; k++)
        assert_near("speed, flow or torque", half[k][0], half[k][1] / 2, 1e-12 * fabs(half[k][1]), "");
    for (size_t k = 0; k < sizeof quarter / sizeof quarter[0]; k++)
        assert_near("power", quarter[k][0], quarter[k][1] / 4, 1e-12 * fabs(quarter[k][1]), "W");
    assert_true(whole.cooler_power != 0 && whole.friction_power > 0);
    (void)torque_of(&f, BLOWER, 0, 1, SNUB_THROTTLE_OPEN, &m);
    assert_near("power at rest", m.power, 0, 0, "W");
    assert_true(m.flags & SNUB_MATCH_OFF);
}

static void blower_and_its_table(void **state)
{
    (void)state;
    front f;
    make(&f);
    double crank = 5000 * TEST_RPM;
    snub_match_result m, slow;
    double torque = torque_of(&f, BLOWER, crank, 1, SNUB_THROTTLE_OPEN, &m);
    assert_near("torque", torque, m.torque, 0, "N m");
    assert_near("shaft", m.shaft_speed, crank * 0.0945 / 0.042, 1e-9, "rad/s");
    double slipping = torque_of(&f, BLOWER, crank, 0.9, SNUB_THROTTLE_OPEN, &slow);
    assert_true(slipping < torque && slow.boost < m.boost);
    assert_true(torque_of(&f, BLOWER, crank, 1, SNUB_THROTTLE_SHUT, NULL) < torque);
    f.pulleys[BLOWER].load = (snub_curve){2, f.x, f.y};
    snub_match_result table;
    assert_near("table", torque_of(&f, BLOWER, crank, 1, SNUB_THROTTLE_OPEN, &table),
                snub_curve_at(&f.pulleys[BLOWER].load, m.shaft_speed), 1e-12, "N m");
    assert_true(table.flags & SNUB_MATCH_TORQUE_TABLE);
    assert_near("boost stays", table.boost, m.boost, 1e-9, "Pa");
    assert_near("power", table.power, table.torque * table.shaft_speed, 1e-9, "W");
    /* what the table asks is what the engine gives less; by hand as in crank_power(), open and at part throttle, where
     * the manifold is under the air outside */
    const snub_throttle throttles[] = {SNUB_THROTTLE_OPEN, SNUB_THROTTLE_PART};
    for (int k = 0; k < 2; k++) {
        (void)torque_of(&f, BLOWER, crank, 1, throttles[k], &table);
        const double shaft = crank * 0.0945 / 0.042, asked = 9 - 4 * (shaft / TEST_RPM - 3000) / 9000;
        const double gross = table.mass_flow * 44e6 * 0.28 / 12.5 + 0.85 * table.boost * 4e-3 * 5000 / 120;
        assert_near("crank power before the blower's", table.crank_power_gross, gross, 1e-6, "W");
        assert_near("crank power", table.crank_power, gross - asked * shaft, 1e-6, "W");
        assert_near("lost in the blower", table.friction_power, asked * shaft - table.indicated_power, 1e-6, "W");
        assert_true(table.indicated_power != 0 && (k == 0) == (table.boost > 0));
    }
}

static void torque_by_boost(void **state)
{
    (void)state;
    front f;
    make(&f);
    double crank = 400 / (0.0945 / 0.067);
    snub_match_result m;
    (void)torque_of(&f, BLOWER, crank, 1, SNUB_THROTTLE_OPEN, &m);
    double part = fmin(fmax(m.boost / 50e3, 0), 1);
    assert_near("bilinear", torque_of(&f, PUMP, crank, 1, SNUB_THROTTLE_OPEN, NULL),
                0.5 * (1 + 2 * part) + 0.5 * (5 + 6 * part), 1e-9, "N m");
    assert_near("vacuum is held at the edge", torque_of(&f, PUMP, crank, 1, SNUB_THROTTLE_SHUT, NULL), 3, 1e-9, "N m");
    f.pulleys[BLOWER].has_blower = false;
    assert_near("no blower, no boost", torque_of(&f, PUMP, crank, 1, SNUB_THROTTLE_OPEN, NULL), 3, 1e-9, "N m");
}

static void mistakes_carry_their_place(void **state)
{
    (void)state;
    front f;
    make(&f)->drive.engine.given = false;
    double torque = -1;
    snub_error error = {0};
    assert_int_equal(snub_demand_torque(&f.drive, BLOWER, 300, 1, SNUB_THROTTLE_OPEN, &torque, NULL, &error),
                     SNUB_BAD_INPUT);
    assert_string_equal(error.key, "engine");
    make(&f)->pulleys[BLOWER].blower.swept = 0;
    f.pulleys[BLOWER].blower.place = (snub_place){.file = "kit.yaml", .line = 41, .column = 5};
    assert_int_equal(snub_demand_torque(&f.drive, BLOWER, 300, 1, SNUB_THROTTLE_OPEN, &torque, NULL, &error),
                     SNUB_BAD_INPUT);
    assert_int_equal(error.place.line, 41);
    make(&f);
    assert_int_equal(snub_demand_torque(&f.drive, BLOWER, -1, 1, SNUB_THROTTLE_OPEN, &torque, NULL, &error),
                     SNUB_BAD_INPUT);
    assert_int_equal(snub_demand_torque(&f.drive, BLOWER, 300, 1.5, SNUB_THROTTLE_OPEN, &torque, NULL, &error),
                     SNUB_BAD_INPUT);
    assert_near("untouched", torque, -1, 0, "N m");
}

/* The inverse gives back what went in; a changed pulley reaches the boost. */
static void wished_boost(void **state)
{
    (void)state;
    front f;
    make(&f);
    double crank = 5500 * TEST_RPM, psi = 6894.757;
    for (double boost = 4 * psi; boost < 16 * psi; boost += 2 * psi) {
        snub_wish wish;
        assert_int_equal(snub_wish_for_boost(&f.drive, BLOWER, crank, boost, &wish, NULL), SNUB_OK);
        assert_near("boost", wish.match.boost, boost, 1e-3, "Pa");
        snub_match_result m;
        front g;
        make(&g);
        g.pulleys[BLOWER].pitch_radius = (wish.blower_diameter + 0.004) / 2;
        (void)torque_of(&g, BLOWER, crank, 1, SNUB_THROTTLE_OPEN, &m);
        assert_near("boost with that blower pulley", m.boost, boost, 0.01, "Pa");
        make(&g);
        g.pulleys[CRANK].pitch_radius = (wish.crank_diameter + 0.004) / 2;
        (void)torque_of(&g, BLOWER, crank, 1, SNUB_THROTTLE_OPEN, &m);
        assert_near("boost with that crank pulley", m.boost, boost, 0.01, "Pa");
        assert_near("others", wish.others_faster, (wish.crank_diameter + 0.004) / 0.189 - 1, 1e-9, "");
        assert_near("overspeed", wish.rotor_overspeed, 6200 * wish.ratio / 16000 - 1, 1e-9, "");
    }
    /* gears in the blower: its rotors turn so much faster than its pulley */
    snub_wish wish;
    make(&f);
    f.pulleys[BLOWER].blower.step_up = 1.25;
    assert_int_equal(snub_wish_for_boost(&f.drive, BLOWER, crank, 8 * psi, &wish, NULL), SNUB_OK);
    assert_near("rotors at the redline", wish.rotor_speed_redline, 6200 * TEST_RPM * wish.ratio * 1.25, 1e-9, "rad/s");
    assert_near("overspeed", wish.rotor_overspeed, 6200 * wish.ratio / 16000 - 1, 1e-12, ""); /* the pulley's bearing */
    assert_near("limit", snub_rotor_limit(&f.pulleys[BLOWER]), 16000 * 1.25 * TEST_RPM, 1e-9, "rad/s");
    f.pulleys[BLOWER].blower.max_rotor_speed = 18000 * TEST_RPM;
    assert_near("limit", snub_rotor_limit(&f.pulleys[BLOWER]), 18000 * TEST_RPM, 1e-9, "rad/s");
    f.pulleys[BLOWER].blower.max_rotor_speed = 22000 * TEST_RPM;
    assert_near("limit", snub_rotor_limit(&f.pulleys[BLOWER]), 20000 * TEST_RPM, 1e-9, "rad/s");
    make(&f);
    snub_error error = {0};
    assert_int_equal(snub_wish_for_boost(&f.drive, BLOWER, crank, -1, &wish, &error), SNUB_BAD_INPUT);
    assert_int_equal(snub_wish_for_boost(&f.drive, BLOWER, 0, 5e4, &wish, &error), SNUB_BAD_INPUT);
    assert_int_equal(snub_wish_for_boost(&f.drive, PUMP, crank, 5e4, &wish, &error), SNUB_BAD_INPUT);
    f.pulleys[BLOWER].blower.swept = 0.02e-3; /* a toy on a 4 L engine */
    assert_int_equal(snub_wish_for_boost(&f.drive, BLOWER, crank, 9e4, &wish, &error), SNUB_NO_EQUILIBRIUM);
    assert_non_null(strstr(error.message, "out of reach"));
}

/* The estimate: brake work per kg of air, boost on the pistons, blower off. */
static void crank_power(void **state)
{
    (void)state;
    front f;
    make(&f);
    snub_match_result m;
    double crank = 5000 * TEST_RPM;
    (void)torque_of(&f, BLOWER, crank, 1, SNUB_THROTTLE_OPEN, &m);
    double want = m.mass_flow * 44e6 * 0.28 / 12.5 + 0.85 * m.boost * 4e-3 * 5000 / 120 - m.power;
    assert_near("crank power", m.crank_power, want, 1e-6, "W");
    /* water vapour burns no fuel: by mass it is 0.622 e/(p - 0.378 e) of damp air, 18.01528/28.9644 = 0.62198 */
    f.drive.air.humidity = 0.8;
    const double e = 0.8 * snub_vapour_pressure(f.drive.air.temperature), mass = 18.01528 / 28.9644;
    (void)torque_of(&f, BLOWER, crank, 1, SNUB_THROTTLE_OPEN, &m);
    const double dry = 1 - mass * e / (f.drive.air.pressure - (1 - mass) * e);
    assert_true(dry < 0.99 && dry > 0.95);
    want = m.mass_flow * dry * 44e6 * 0.28 / 12.5 + 0.85 * m.boost * 4e-3 * 5000 / 120 - m.power;
    assert_near("in damp air", m.crank_power, want, 1e-4, "W");
    snub_text text = {0};
    snub_crank_power_assumptions(&f.drive.engine, NULL, &text);
    assert_non_null(strstr(text.data, "0.9856 MJ"));
    assert_non_null(strstr(text.data, "0.85"));
    assert_non_null(strstr(text.data, "knock"));
    snub_text_free(&text);
}

static void humid_air(void **state)
{
    (void)state;
    snub_air air = test_air(101325, 293.15);
    /* 2.339 kPa at 20 degC (steam tables); Magnus form within 0.4 % */
    assert_near("vapour pressure", snub_vapour_pressure(293.15), 2339, 0.004 * 2339, "Pa");
    assert_near("dry", snub_air_density(&air), 101325 / (287.0529 * 293.15), 1e-6, "kg/m3");
    air.humidity = 1;
    /* partial densities add up */
    double vapour = snub_vapour_pressure(293.15);
    double want = (101325 - vapour) / (287.0529 * 293.15) + vapour / (461.5149 * 293.15);
    assert_near("humid", snub_air_density(&air), want, 1e-5, "kg/m3");
    snub_gas gas = snub_air_gas(&air, 293.15);
    assert_near("R", gas.constant, 101325 / (want * 293.15), 1e-3, "J/(kg K)");
    assert_true(gas.cp > snub_air_cp(293.15));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(tables),
        cmocka_unit_test(rest_and_idle),
        cmocka_unit_test(blower_and_its_table),
        cmocka_unit_test(torque_by_boost),
        cmocka_unit_test(mistakes_carry_their_place),
        cmocka_unit_test(wished_boost),
        cmocka_unit_test(crank_power),
        cmocka_unit_test(humid_air),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
