/* Centrifugal blowers and maps: shape, similarity, reading, bad rows, outside. */
#include <string.h>

#include "demand/machine.h"
#include "demand/map.h"
#include "demand/match.h"
#include "support/blown_engine.h"
#include "support/near.h"

static snub_units *units;

static int open_units(void **state)
{
    (void)state;
    return snub_units_open(&units, NULL) != SNUB_OK;
}
static int close_units(void **state)
{
    (void)state;
    snub_units_free(units);
    return 0;
}

#define HEAD "flow [m3/s], pressure_ratio, speed [rpm], efficiency\n"
static const char good_map[] = HEAD "# two lines\n"
                                    "0.10,1.40,30000,0.70\n0.20,1.35,30000,0.76\n0.30,1.20,30000,0.68\n"
                                    "0.16,1.90,45000,0.70\n0.30,1.80,45000,0.77\n0.44,1.50,45000,0.66\n";

static snub_status read_map(const char *text, snub_blower *blower, snub_arena *arena, snub_errors *errors)
{
    snub_arena_init(arena, 0);
    *errors = (snub_errors){0};
    *blower = (snub_blower){.kind = SNUB_CENTRIFUGAL, .step_up = 1, .mechanical = 0.95};
    return snub_blower_map_read("map.csv", text, strlen(text), units, arena, blower, errors);
}

static void reads_a_map(void **state)
{
    (void)state;
    snub_blower blower;
    snub_arena arena;
    snub_errors errors;
    assert_int_equal(read_map(good_map, &blower, &arena, &errors), SNUB_OK);
    assert_int_equal(blower.map_lines, 2);
    assert_int_equal(blower.map[1].n, 3);
    double ratio, efficiency, outside;
    for (int line = 0; line < 2; line++) {
        for (int i = 0; i < 3; i++) {
            const snub_map_line *l = &blower.map[line];
            assert_true(snub_blower_map_at(&blower, 1.4, l->speed, l->flow[i], &ratio, &efficiency, &outside, NULL));
            assert_near("ratio", ratio, l->ratio[i], 1e-12, "");
            assert_near("efficiency", efficiency, l->efficiency[i], 1e-12, "");
            assert_near("inside", outside, 0, 1e-12, "");
        }
    }
    /* half way in speed and in flow range: 0.25 m3/s at 37,500 rpm */
    assert_true(snub_blower_map_at(&blower, 1.4, 37500 * TEST_RPM, 0.25, &ratio, &efficiency, &outside, NULL));
    assert_near("ratio", ratio, (1.35 + 1.80) / 2, 1e-12, "");
    assert_near("efficiency", efficiency, (0.76 + 0.77) / 2, 1e-12, "");
    assert_false(snub_blower_map_at(&blower, 1.4, 0, 0.2, &ratio, &efficiency, &outside, NULL));
    snub_errors_free(&errors);
    snub_arena_free(&arena);
}

/* Units, order of columns, per cent, order of rows. */
/* Speeds that differ by rounding alone are one line, in whatever order the rows come. */
static void rounded_speeds(void **state)
{
    (void)state;
    static const char text[] = HEAD "0.30,1.20,30000.00001,0.68\n0.10,1.40,30000,0.70\n0.20,1.35,29999.99999,0.76\n"
                                    "0.16,1.90,45000,0.70\n0.30,1.80,45000.00001,0.77\n0.44,1.50,45000,0.66\n";
    snub_blower blower;
    snub_arena arena;
    snub_errors errors;
    assert_int_equal(read_map(text, &blower, &arena, &errors), SNUB_OK);
    assert_int_equal(blower.map_lines, 2);
    for (int i = 0; i < 2; i++)
        assert_int_equal(blower.map[i].n, 3);
    assert_near("by flow", blower.map[0].flow[1], 0.2, 1e-12, "m3/s");
    snub_errors_free(&errors);
    snub_arena_free(&arena);
}

static void reads_other_units(void **state)
{
    (void)state;
    snub_blower blower, same;
    snub_arena arena, second;
    snub_errors errors, more;
    assert_int_equal(read_map(good_map, &same, &second, &more), SNUB_OK);
    const char *text = "efficiency [%];speed [krpm];pressure_ratio;flow [L/s]\n"
                       "66;45;1.5;440\n70;30;1.4;100\n77;45;1.8;300\n76;30;1.35;200\n68;30;1.2;300\n70;45;1.9;160\n";
    snub_status status = read_map(text, &blower, &arena, &errors);
    if (status) { /* a unit library without krpm */
        snub_errors_free(&errors);
        snub_arena_free(&arena);
        text = "efficiency [%];speed [rev/s];pressure_ratio;flow [L/s]\n"
               "66;750;1.5;440\n70;500;1.4;100\n77;750;1.8;300\n76;500;1.35;200\n68;500;1.2;300\n70;750;1.9;160\n";
        status = read_map(text, &blower, &arena, &errors);
    }
    for (int i = 0; i < errors.count; i++)
        print_error("%s: %s\n", errors.items[i].key, errors.items[i].message);
    assert_int_equal(status, SNUB_OK);
    for (int line = 0; line < 2; line++) {
        assert_near("speed", blower.map[line].speed, same.map[line].speed, 1e-9, "rad/s");
        for (int i = 0; i < 3; i++) {
            assert_near("flow", blower.map[line].flow[i], same.map[line].flow[i], 1e-12, "m3/s");
            assert_near("efficiency", blower.map[line].efficiency[i], same.map[line].efficiency[i], 1e-12, "");
        }
    }
    snub_errors_free(&errors);
    snub_errors_free(&more);
    snub_arena_free(&arena);
    snub_arena_free(&second);
}

/* Each text is wrong in one way: line of the mistake and a word of its reason. */
static const struct {
    const char *text, *reason;
    int line, count;
} wrong_maps[] = {
    {"", "empty", 0, 1},
    {"flow, pressure_ratio, speed [rpm], efficiency\n", "unit is missing", 1, 1},
    {"flow [m3/s], pressure_ratio, speed, efficiency\n", "unit is missing", 1, 1},
    {"flow [kg/s], pressure_ratio, speed [rpm], efficiency\n", "corrected_flow [kg/s]", 1, 1},
    {"flow [kg/m3], pressure_ratio, speed [rpm], efficiency\n", "not of a volume flow", 1, 1},
    {"corrected_flow [lb/min], pressure_ratio, speed [rpm], efficiency\n", "map_pressure and map_temperature", 1, 1},
    {"corrected_flow [cfm], pressure_ratio, speed [rpm], efficiency\n", "map_temperature", 1, 1},
    {"flow [cfm], pressure_ratio, corrected_speed [rpm], efficiency\n", "map_temperature", 1, 1},
    {"flow [cfm], corrected_flow [cfm], pressure_ratio, speed [rpm], efficiency\n", "repeated", 1, 1},
    {"corrected_flow, pressure_ratio, speed [rpm], efficiency\n", "corrected_flow [kg/s]", 1, 1},
    {"flow [m3/s], pressure_ratio, speed [rpm], efficiency, surge [m3/s]\n", "takes no unit", 1, 1},
    {"flow [m3/s], pressure_ratio, speed [rpm], efficiency, surge\n0.1,1.4,30000,.7,maybe\n0.2,1.3,30000,.7,\n",
     "no mark", 2, 1},
    {"flow [m3/s], pressure_ratio, speed [rpm], efficiency, "
     "surge\n0.1,1.4,30000,.7,x\n0.2,1.3,30000,.7,x\n0.3,1.6,40000,.7,\n"
     "0.4,1.5,40000,.7,\n",
     "line 2 is the surge point", 3, 1},
    {"flow [m3/s], pressure_ratio, speed [rpm]\n", "column is missing", 1, 1},
    {"flow [m3/s], presure_ratio, speed [rpm], efficiency\n", "did you mean pressure_ratio?", 1, 2},
    {"flow [m3/s], flow [m3/s], pressure_ratio, speed [rpm], efficiency\n", "repeated", 1, 1},
    {HEAD "0.1,1.4,30000\n0.2,1.3,30000,0.7\n0.3,1.6,40000,.7\n0.4,1.5,40000,.7\n", "3 fields", 2, 1},
    {HEAD "0.1,1.4,30000,0.7\n0.2,1.x,30000,0.7\n", "not a number", 3, 1},
    {HEAD "0.1,1.4,30000,1.7\n0.2,1.3,30000,0\n", "efficiency of 1.7", 2, 2},
    {HEAD "0.1,0.9,30000,0.7\n", "ratio of 0.9", 2, 1},
    {HEAD "-0.1,1.1,30000,0.7\n", "not above zero", 2, 1},
    {HEAD "0.1,1.4,30000,0.7\n0.2,1.3,30000,0.7\n", "1 speed line", 0, 1},
    {HEAD "0.1,1.4,30000,0.7\n0.2,1.3,30000,0.7\n0.3,1.6,40000,.7\n", "single point", 4, 1},
    {HEAD "0.1,1.4,30000,0.7\n0.1,1.3,30000,0.7\n0.3,1.6,40000,.7\n0.4,1.5,40000,.7\n", "line 2 has the same flow", 3,
     1},
    {HEAD "0.1,1.4,30000,0.7\n0.4,1.3,30000,0.7\n0.1,1.6,40000,.7\n0.4,1.2,40000,.7\n", "cross", 5, 1},
    {HEAD "0.1,1.4,30000,0.7\n0.4,1.3,30000,0.7\n0.1,1.3,40000,.7\n0.4,1.2,40000,.7\n", "wrong way round", 0, 1},
    {HEAD "0.3,1.4,30000,0.7\n0.4,1.3,30000,0.7\n0.1,1.6,40000,.7\n0.2,1.5,40000,.7\n", "left of the slower", 4, 1},
};

static void tells_bad_maps(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof wrong_maps / sizeof wrong_maps[0]; i++) {
        snub_blower blower;
        snub_arena arena;
        snub_errors errors;
        snub_status status = read_map(wrong_maps[i].text, &blower, &arena, &errors);
        const snub_error *first = errors.count > 0 ? &errors.items[0] : NULL;
        bool as_wished = status == SNUB_BAD_INPUT && errors.count == wrong_maps[i].count && first &&
                         strstr(first->message, wrong_maps[i].reason) &&
                         (wrong_maps[i].line == 0 || first->place.line == wrong_maps[i].line);
        if (!as_wished) {
            print_error("map %zu: status %d, %d errors (want %d)\n", i, (int)status, errors.count, wrong_maps[i].count);
            for (int k = 0; k < errors.count; k++)
                print_error("  line %d: %s: %s\n", errors.items[k].place.line, errors.items[k].key,
                            errors.items[k].message);
            fail();
        }
        assert_int_equal(blower.map_lines, 0);
        snub_errors_free(&errors);
        snub_arena_free(&arena);
    }
}

/* The map as it is printed elsewhere: corrected mass flow in lb/min at 28.4 inHg and 545 degR, blanks and capitals in
 * its head. By hand: 1 lb/min is 0.45359237/60 kg/s; at 28.4 x 3386.389 Pa and 302.78 K air weighs p M/(R* T). */
static void reads_corrected_flow(void **state)
{
    (void)state;
    static const char text[] =
        " Corrected  Flow [ lb/min ] ,Pressure Ratio [-], Corrected Speed (rpm) , Efficiency [%],Surge\n"
        "10,1.40,30000,70,\n20,1.35,30000,76,x\n30,1.20,30000,68,0\n"
        "16,1.90,45000,70,\n30,1.80,45000,77,\n44,1.50,45000,66,no\n";
    snub_arena arena;
    snub_errors errors = {0};
    snub_blower blower = {.kind = SNUB_CENTRIFUGAL, .map_pressure = 28.4 * 3386.389, .map_temperature = 545 / 1.8};
    snub_arena_init(&arena, 0);
    snub_status status = snub_blower_map_read("map.csv", text, strlen(text), units, &arena, &blower, &errors);
    for (int i = 0; i < errors.count; i++)
        print_error("%s: %s\n", errors.items[i].key, errors.items[i].message);
    assert_int_equal(status, SNUB_OK);
    const double density = 28.4 * 3386.389 * 28.9644 / (8314.32 * 545 / 1.8);
    assert_near("density", density, 1.1065, 1e-4, "kg/m3");
    assert_near("flow", blower.map[0].flow[1], 20 * 0.45359237 / 60 / density, 1e-9, "m3/s");
    assert_near("speed", blower.map[1].speed, 45000 * TEST_RPM, 1e-6, "rad/s");
    assert_near("efficiency", blower.map[1].efficiency[2], 0.66, 1e-12, "");
    assert_near("surge point", blower.map[0].surge, blower.map[0].flow[1], 0, "m3/s");
    assert_near("none marked", blower.map[1].surge, 0, 0, "m3/s");
    /* between the lines the surge point lies half way: at half of the lower range, at the begin of the upper */
    for (int side = -1; side <= 1; side += 2) {
        double ratio, efficiency, outside, to_m3 = 0.45359237 / 60 / density;
        bool surge;
        double flow = (13 + 0.25 * (37 - 13) + side * 1e-6) * to_m3;
        assert_true(snub_blower_map_at(&blower, 1.4, 37500 * TEST_RPM, flow, &ratio, &efficiency, &outside, &surge));
        assert_int_equal(surge, side < 0);
        assert_near("inside", outside, 0, 0, "");
    }
    snub_errors_free(&errors);
    snub_arena_free(&arena);
}

static void refused_memory(void **state)
{
    (void)state;
    for (long n = 1; n < 3; n++) {
        snub_arena arena;
        snub_errors errors = {0};
        snub_blower blower = {.kind = SNUB_CENTRIFUGAL};
        snub_arena_init(&arena, 0);
        arena.refuse_after = n;
        assert_int_equal(snub_blower_map_read("map.csv", good_map, strlen(good_map), units, &arena, &blower, &errors),
                         SNUB_NO_MEMORY);
        assert_int_equal(errors.count, 1);
        assert_int_equal(blower.map_lines, 0);
        snub_errors_free(&errors);
        snub_arena_free(&arena);
    }
}

/* Outside: it says so and how far; a centrifugal scales flow with speed and head with its square. */
static void leaves_the_map(void **state)
{
    (void)state;
    snub_blower blower;
    snub_arena arena;
    snub_errors errors;
    assert_int_equal(read_map(good_map, &blower, &arena, &errors), SNUB_OK);
    double ratio, efficiency, outside, k = 0.4 / 1.4;
    assert_true(snub_blower_map_at(&blower, 1.4, 54000 * TEST_RPM, 0.36, &ratio, &efficiency, &outside, NULL));
    assert_near("how far", outside, 0.2, 1e-12, "");
    assert_near("ratio", pow(ratio, k) - 1, (pow(1.8, k) - 1) * 1.44, 1e-12, "head");
    assert_near("efficiency", efficiency, 0.77, 1e-12, "");
    assert_true(snub_blower_map_at(&blower, 1.4, 45000 * TEST_RPM, 0.08, &ratio, &efficiency, &outside, NULL));
    assert_near("left of surge, how far", outside, 0.5, 1e-12, "");
    assert_near("held", ratio, 1.9, 1e-12, "");
    assert_true(snub_blower_map_at(&blower, 1.4, 45000 * TEST_RPM, 0.484, &ratio, &efficiency, &outside, NULL));
    assert_near("right of choke, how far", outside, 0.1, 1e-9, "");
    assert_near("slope goes on, but no flatter than half the ratio per range", ratio,
                1.5 - fmax(0.3 / 0.14, 0.5 * 1.5 / 0.28) * 0.044, 1e-9, "");
    /* a displacement blower keeps its ratio and goes on rising to the left */
    blower.kind = SNUB_ROOTS;
    assert_true(snub_blower_map_at(&blower, 1.4, 45000 * TEST_RPM, 0.15, &ratio, &efficiency, &outside, NULL));
    assert_near("slope goes on", ratio, 1.9 + 0.01 * 0.1 / 0.14, 1e-9, "");
    assert_true(snub_blower_map_at(&blower, 1.4, 15000 * TEST_RPM, 0.1, &ratio, &efficiency, &outside, NULL));
    assert_near("ratio kept", ratio, 1.35, 1e-12, "");
    snub_errors_free(&errors);
    snub_arena_free(&arena);
}

static snub_blower design_blower(void)
{
    return (snub_blower){.kind = SNUB_CENTRIFUGAL,
                         .mechanical = 0.96,
                         .step_up = 3.5,
                         .design_speed = 40000 * TEST_RPM,
                         .design_flow = 0.25,
                         .design_ratio = 1.7,
                         .isentropic = 0.74};
}

static snub_match_result blow(const snub_blower *blower, double displacement, double crank, double shaft,
                              snub_throttle throttle)
{
    double fill = 0.88;
    snub_engine engine = test_engine(displacement, &fill);
    snub_air air = test_air(101325, 298.15);
    snub_gas gas = test_gas(287.05, 1.4);
    snub_match_result m;
    snub_error error = {0};
    if (snub_match_gas(&engine, &air, &gas, NULL, blower, crank, shaft, throttle, &m, &error))
        print_error("%s\n", error.message);
    else
        return m;
    fail();
    return m;
}

/* At the design point the model gives the design point back; efficiency is greatest there. */
static void centrifugal_design_point(void **state)
{
    (void)state;
    snub_blower blower = design_blower();
    double shaft = 40000 * TEST_RPM / 3.5, crank = 500;
    /* displacement that takes 0.25 m3/s at ratio 1.7 and the temperature of 74 % */
    double t2 = 1 + (pow(1.7, 0.4 / 1.4) - 1) / 0.74, displacement = 0.25 * t2 / 1.7 / 0.88 * 4 * SNUB_PI / crank;
    snub_match_result m = blow(&blower, displacement, crank, shaft, SNUB_THROTTLE_OPEN);
    assert_near("ratio", m.ratio, 1.7, 1e-8, "");
    assert_near("flow", m.inlet_flow, 0.25, 1e-8, "m3/s");
    assert_near("isentropic", m.isentropic_efficiency, 0.74, 1e-8, "");
    assert_near("rotor", m.rotor_speed, 40000 * TEST_RPM, 1e-9, "rad/s");
    for (double part = 0.8; part < 1.25; part += 0.05)
        if (fabs(part - 1) > 0.01)
            assert_true(blow(&blower, displacement * part, crank, shaft, SNUB_THROTTLE_OPEN).isentropic_efficiency <
                        0.74);
    assert_true(blow(&blower, displacement * 0.5, crank, shaft, SNUB_THROTTLE_OPEN).flags & SNUB_MATCH_SURGE);
    m = blow(&blower, displacement * 3, crank, shaft, SNUB_THROTTLE_OPEN);
    assert_true((m.flags & SNUB_MATCH_CHOKE) && (m.flags & SNUB_MATCH_NO_BOOST) && m.boost < 0);
    blower.bypass = true;
    snub_match_result open = blow(&blower, displacement * 3, crank, shaft, SNUB_THROTTLE_OPEN);
    assert_true((open.flags & SNUB_MATCH_BYPASS_OPEN) && open.boost > m.boost && open.mass_flow > m.mass_flow);
    blower.max_rotor_speed = 39000 * TEST_RPM;
    assert_true(blow(&blower, displacement, crank, shaft, SNUB_THROTTLE_OPEN).flags & SNUB_MATCH_OVERSPEED);
}

/* Similarity: half the engine and blower speed, the same inlet flow per turn: a quarter of the head, if the engine's
 * demand is put so. Head and boost grow with speed. */
static void centrifugal_similarity(void **state)
{
    (void)state;
    snub_blower blower = design_blower();
    double before = -1e5, power = 0;
    for (double rpm = 1000; rpm <= 6500; rpm += 250) {
        snub_match_result m = blow(&blower, 4e-3, rpm * TEST_RPM, 1.9 * rpm * TEST_RPM, SNUB_THROTTLE_OPEN);
        assert_true(m.boost > before && m.power > power);
        assert_near("energy", m.mass_flow * m.gas.cp * (m.outlet_temperature - m.inlet_temperature) / m.indicated_power,
                    1, 1e-9, "");
        double demand = m.manifold_pressure / (287.05 * m.charge_temperature) * 4e-3 * rpm / 120 * 0.88;
        assert_near("mass", m.mass_flow / demand, 1, 1e-8, "");
        before = m.boost;
        power = m.power;
    }
    for (int bypass = 0; bypass < 2; bypass++) {
        blower.bypass = bypass;
        snub_match_result shut = blow(&blower, 4e-3, 600, 1140, SNUB_THROTTLE_SHUT);
        assert_near("held", shut.manifold_pressure, 0.3 * 101325, 1e-6, "Pa");
        assert_true(shut.power > 0 && shut.mass_flow > 0);
        assert_true(!!(shut.flags & SNUB_MATCH_BYPASS_OPEN) == bypass);
        assert_true(bypass || (shut.flags & SNUB_MATCH_SURGE));
    }
    assert_near("standing impeller", blow(&blower, 4e-3, 600, 0, SNUB_THROTTLE_OPEN).torque, 0, 0, "N m");
}

/* Surge lies at the same share of the design flow per turn at every speed: 0.65 where the file is silent. */
static void surge_line(void **state)
{
    (void)state;
    snub_blower blower = design_blower();
    for (double n = 0.7; n < 1.2; n += 0.2) {
        double low = 0.2e-3, high = 12e-3;
        snub_match_result m;
        for (int i = 0; i < 60; i++) {
            const double middle = 0.5 * (low + high);
            m = blow(&blower, middle, 500, n * 40000 * TEST_RPM / 3.5, SNUB_THROTTLE_OPEN);
            *(m.flags & SNUB_MATCH_SURGE ? &low : &high) = middle;
        }
        assert_near("flow per turn", m.inlet_flow / 0.25 / n, 0.65, 1e-6, "of design");
    }
}

/* A map holds at its own temperature: with speed and flow by the root of temperature a centrifugal does the same. Where
 * the ratio is under one, air drives the wheel, and gets less than the ideal out of it. */
static void map_at_another_temperature(void **state)
{
    (void)state;
    snub_blower blower;
    snub_arena arena;
    snub_errors errors;
    assert_int_equal(read_map(good_map, &blower, &arena, &errors), SNUB_OK);
    blower.map_temperature = 288.15;
    const snub_gas gas = test_gas(287.05, 1.4);
    const double root = sqrt(318.15 / 288.15), speed = 38000 * TEST_RPM;
    machine cold, warm;
    machine_prepare(&cold, &blower, &gas, 288.15, speed);
    machine_prepare(&warm, &blower, &gas, 318.15, speed * root);
    for (double flow = 0.15; flow < 0.62; flow += 0.04) {
        machine_point a, b;
        double ratio, efficiency, outside;
        assert_true(machine_at_flow(&cold, flow, &a) && machine_at_flow(&warm, flow * root, &b));
        assert_true(snub_blower_map_at(&blower, 1.4, speed, flow, &ratio, &efficiency, &outside, NULL));
        assert_near("the map's ratio", a.ratio, ratio, 1e-12, "");
        assert_near("ratio", b.ratio, a.ratio, 1e-12, "");
        assert_near("T2/T1", b.heat / (flow * root * 318.15), a.heat / (flow * 288.15), 1e-12, "");
        const double ideal = pow(ratio, 0.4 / 1.4) - 1;
        assert_near("rise", a.heat / (flow * 288.15) - 1, ratio > 1 ? ideal / efficiency : ideal * efficiency, 1e-12,
                    "");
    }
    machine_point far;
    assert_true(machine_at_flow(&cold, 0.6, &far) && far.ratio < 1);
    snub_errors_free(&errors);
    snub_arena_free(&arena);
}

/* The design point holds at 25 degC where nothing else is said: head is the wheel's own, so that in air of T1 the ratio
 * is (1 + (r^k - 1) Td/T1)^(1/k). */
static void cold_air_makes_more(void **state)
{
    (void)state;
    const snub_gas gas = test_gas(287.05, 1.4);
    const double k = 0.4 / 1.4, celsius[] = {-10, 15, 25, 40}, given[] = {0, 288.15};
    for (int i = 0; i < 8; i++) {
        snub_blower blower = design_blower();
        blower.map_temperature = given[i % 2];
        const double t = celsius[i / 2] + 273.15, design = i % 2 ? 288.15 : 298.15;
        machine m;
        machine_point point;
        machine_prepare(&m, &blower, &gas, t, blower.design_speed / blower.step_up);
        assert_true(machine_at_flow(&m, blower.design_flow, &point));
        assert_near("ratio", point.ratio, pow(1 + (pow(blower.design_ratio, k) - 1) * design / t, 1 / k), 1e-12, "");
    }
    /* a map as well: entered at the root of the temperatures */
    snub_blower blower;
    snub_arena arena;
    snub_errors errors;
    assert_int_equal(read_map(good_map, &blower, &arena, &errors), SNUB_OK);
    machine cold;
    machine_point point;
    const double root = sqrt(298.15 / 263.15);
    double ratio, efficiency, outside;
    machine_prepare(&cold, &blower, &gas, 263.15, 35000 * TEST_RPM);
    assert_true(machine_at_flow(&cold, 0.2, &point));
    assert_true(
        snub_blower_map_at(&blower, 1.4, 35000 * TEST_RPM * root, 0.2 * root, &ratio, &efficiency, &outside, NULL));
    assert_near("of a map", point.ratio, ratio, 1e-12, "");
    snub_errors_free(&errors);
    snub_arena_free(&arena);
    snub_text words = {0};
    snub_blower_assumptions(&blower, NULL, &words);
    assert_non_null(strstr(words.data, "map is taken to hold for an inlet at 25 degC"));
    snub_text_free(&words);
    blower.map_temperature = 290;
    snub_blower_assumptions(&blower, NULL, &words);
    blower.kind = SNUB_ROOTS;
    blower.map_temperature = 0;
    snub_blower_assumptions(&blower, NULL, &words);
    assert_int_equal(words.length, 0);
}

/* A map made from the model's own shape gives the model's match back, as far as straight lines between points may. */
static void map_replaces_model(void **state)
{
    (void)state;
    snub_blower model = design_blower(), mapped = design_blower();
    enum { LINES = 12, POINTS = 60 };
    static double values[LINES][3][POINTS];
    static snub_map_line lines[LINES];
    double k = 0.4 / 1.4, head = pow(1.7, k) - 1, slope = 2 * 0.12 / 0.35;
    for (int l = 0; l < LINES; l++) {
        double n = 0.5 + 0.06 * l;
        lines[l] = (snub_map_line){n * 40000 * TEST_RPM, POINTS, values[l][0], values[l][1], values[l][2], 0};
        for (int i = 0; i < POINTS; i++) {
            double phi = 0.65 + 0.9 * i / (POINTS - 1), x = (phi - 0.65) / 0.35, h = 1.12 - 0.12 * x * x;
            lines[l].flow[i] = 0.25 * n * phi;
            lines[l].ratio[i] = pow(1 + head * n * n * h, 1 / k);
            lines[l].efficiency[i] = 0.74 * h / (1 + slope * (1 - phi));
        }
    }
    mapped.map = lines;
    mapped.map_lines = LINES;
    for (double shaft = 750; shaft < 1300; shaft += 61) {
        snub_match_result a = blow(&model, 4e-3, 450, shaft, SNUB_THROTTLE_OPEN);
        snub_match_result b = blow(&mapped, 4e-3, 450, shaft, SNUB_THROTTLE_OPEN);
        assert_near("outside", b.outside, 0, 0, "");
        assert_near("ratio", b.ratio, a.ratio, 2e-3, "") /* of lines 6 % apart in speed */;
        assert_near("power", b.power / a.power, 1, 5e-3, "");
        assert_near("T2", b.outlet_temperature, a.outlet_temperature, 0.5, "K");
    }
    mapped.bypass = true;
    snub_match_result m = blow(&mapped, 4e-3, 450, 1000, SNUB_THROTTLE_SHUT);
    assert_true((m.flags & SNUB_MATCH_BYPASS_OPEN) && m.power > 0);
    m = blow(&mapped, 4e-3, 450, 0, SNUB_THROTTLE_OPEN);
    assert_true((m.flags & SNUB_MATCH_BYPASS_OPEN) && m.torque == 0 && m.mass_flow > 0);
    m = blow(&mapped, 4e-3, 450, 1500, SNUB_THROTTLE_OPEN);
    assert_true((m.flags & SNUB_MATCH_OUTSIDE_MAP) && m.outside > 0.05);
}

/* A map whose line rises left of its top crosses the engine's demand more than once. */
static void several_balances(void **state)
{
    (void)state;
    snub_blower blower;
    snub_arena arena;
    snub_errors errors;
    const char *text = HEAD "0.08,1.05,30000,0.5\n0.09,1.70,30000,0.7\n0.25,1.65,30000,0.7\n0.30,1.05,30000,0.5\n"
                            "0.08,1.15,33000,0.5\n0.09,1.90,33000,0.7\n0.25,1.80,33000,0.7\n0.32,1.15,33000,0.5\n";
    assert_int_equal(read_map(text, &blower, &arena, &errors), SNUB_OK);
    int several = 0;
    double last = 0;
    for (double displacement = 0.5e-3; displacement < 6e-3; displacement *= 1.05) {
        snub_match_result m = blow(&blower, displacement, 450, 31000 * TEST_RPM, SNUB_THROTTLE_OPEN);
        several += (m.flags & SNUB_MATCH_SEVERAL) != 0;
        assert_true(m.mass_flow > last);
        last = m.mass_flow;
    }
    assert_true(several > 0);
    snub_errors_free(&errors);
    snub_arena_free(&arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_a_map),
        cmocka_unit_test(rounded_speeds),
        cmocka_unit_test(reads_other_units),
        cmocka_unit_test(tells_bad_maps),
        cmocka_unit_test(reads_corrected_flow),
        cmocka_unit_test(cold_air_makes_more),
        cmocka_unit_test(refused_memory),
        cmocka_unit_test(leaves_the_map),
        cmocka_unit_test(centrifugal_design_point),
        cmocka_unit_test(centrifugal_similarity),
        cmocka_unit_test(surge_line),
        cmocka_unit_test(map_at_another_temperature),
        cmocka_unit_test(map_replaces_model),
        cmocka_unit_test(several_balances),
    };
    return cmocka_run_group_tests(tests, open_units, close_units);
}
