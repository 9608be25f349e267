/* Matches for run_match.sh. With --csv: prints every case with its inputs and results for an independent solver. As a
 * test: every case has an answer. */
#include <stdio.h>
#include <string.h>

#include "support/blown_engine.h"
#include "support/near.h"

typedef struct match_case {
    snub_blower blower;
    snub_cooler cooler;
    snub_air air;
    double fill, displacement, crank, shaft;
    snub_throttle throttle;
    bool scavenges;
} match_case;

enum { CASES = 240 };

/* Spread over kinds, speeds, ratios, coolers, air, throttle, without any random numbers. */
static match_case make_case(int i)
{
    match_case c = {.fill = 0.75 + 0.05 * (i % 5), .displacement = 4e-3};
    c.crank = (800 + 5400.0 * (i % 17) / 16) * TEST_RPM;
    c.shaft = c.crank * (1.7 + 1.2 * (i % 7) / 6);
    c.air = (snub_air){.pressure = 101325 - 4000.0 * (i % 4), .temperature = 280 + 9.0 * (i % 5), .altitude = NAN};
    c.air.humidity = i % 3 == 0 ? 0.7 : 0;
    if (i % 2)
        c.cooler = (snub_cooler){.given = true,
                                 .effectiveness = 0.2 * (i % 6),
                                 .coolant = 310 + i % 11,
                                 .pressure_drop = 6000,
                                 .inlet_pressure_drop = 1500,
                                 .flow = 0.35,
                                 .density = 1 + 0.1 * (i % 9)};
    c.scavenges = i % 5 == 2;
    c.throttle = i % 8 == 7 ? SNUB_THROTTLE_SHUT : SNUB_THROTTLE_OPEN;
    c.blower = (snub_blower){.mechanical = 0.93,
                             .step_up = 1,
                             .swept = 1.5e-3,
                             .leakage_speed = (500 + 50 * (i % 9)) * TEST_RPM,
                             .internal_ratio = 1,
                             .kind = SNUB_ROOTS};
    if (i % 3 == 1) {
        c.blower.kind = SNUB_TWIN_SCREW;
        c.blower.internal_ratio = 1.1 + 0.05 * (i % 8);
    } else if (i % 3 == 2) {
        c.blower = test_centrifugal();
        c.throttle = SNUB_THROTTLE_OPEN;
    }
    return c;
}

static snub_status solve_case(match_case *c, snub_match_result *m, snub_error *error)
{
    snub_engine engine = test_engine(c->displacement, &c->fill);
    engine.scavenges = c->scavenges;
    engine.compression = 9.8;
    return snub_match(&engine, &c->air, &c->cooler, &c->blower, c->crank, c->shaft, c->throttle, m, error);
}

static void every_case_has_an_answer(void **state)
{
    (void)state;
    for (int i = 0; i < CASES; i++) {
        match_case c = make_case(i);
        snub_match_result m;
        snub_error error = {0};
        if (solve_case(&c, &m, &error))
            print_error("case %d: %s\n", i, error.message);
        assert_true(m.mass_flow > 0 && isfinite(m.power));
    }
}

static int print_cases(void)
{
    printf("case,kind,throttle,scavenges,swept,internal_ratio,slip,step_up,mechanical,pressure,temperature,humidity,"
           "cooled,effectiveness,coolant,loss,inlet_loss,flow,density,fill,displacement,crank,shaft,R,cp,ratio,inlet_"
           "pressure,"
           "outlet_pressure,manifold_pressure,outlet_temperature,charge_temperature,mass_flow,power\n");
    for (int i = 0; i < CASES; i++) {
        match_case c = make_case(i);
        snub_match_result m;
        if (solve_case(&c, &m, NULL))
            return 1;
        printf("%d,%d,%d,%d,%.17g,%.17g,%.17g,%.17g,%.17g,%.17g,%.17g,%.17g,", i, (int)c.blower.kind, (int)c.throttle,
               c.scavenges, c.blower.swept, c.blower.internal_ratio, c.blower.leakage_speed, c.blower.step_up,
               c.blower.mechanical, c.air.pressure, c.air.temperature, c.air.humidity);
        printf("%d,%.17g,%.17g,%.17g,%.17g,%.17g,%.17g,%.17g,%.17g,%.17g,%.17g,", c.cooler.given,
               c.cooler.effectiveness, c.cooler.coolant, c.cooler.pressure_drop, c.cooler.inlet_pressure_drop,
               c.cooler.flow, c.cooler.density, c.fill, c.displacement, c.crank, c.shaft);
        printf("%.17g,%.17g,%.17g,%.17g,%.17g,%.17g,%.17g,%.17g,%.17g,%.17g\n", m.gas.constant, m.gas.cp, m.ratio,
               m.inlet_pressure, m.outlet_pressure, m.manifold_pressure, m.outlet_temperature, m.charge_temperature,
               m.mass_flow, m.power);
    }
    return 0;
}

int main(int count, char **words)
{
    if (count == 2 && strcmp(words[1], "--csv") == 0)
        return print_cases();
    const struct CMUnitTest tests[] = {cmocka_unit_test(every_case_has_an_answer)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
