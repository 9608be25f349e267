/* Frequencies of a moving span.
 *  - string: (c^2 - v^2)/(2 c L) with the total tension in c = sqrt(P/m), closed form and a Galerkin solution of 400
 *    terms in state space that knows nothing of it (derived). P 300 N, m 0.1029 kg/m, L 0.35 m
 *  - beam at rest on hinges: structural validation manual V2.02.101, test SDLL101, which takes its formula from
 *    R. D. Blevins, Formulas for Natural Frequency and Mode Shape (1979), eq. 8.20; and finite elements (derived)
 *  - moving beam on hinges: Galerkin solution of 140 sines in state space (derived; tests/reference/span.py makes them,
 *    and finite elements with them) */
#include "snub/balance.h"
#include "support/near.h"

static const double WAVE = 53.994924715603894;

static double at(double tension, double bending, double speed, int nth)
{
    return snub_span_frequency(&(snub_free_span){tension, 0.1029, bending, speed, 0.35}, nth);
}

static void string_at_speed(void **state)
{
    (void)state;
    static const double speed[] = {0, 10, 20, 30, 40};
    static const double closed[] = {77.135606736577, 74.4898554255124, 66.55260149231864, 53.323844936995684,
                                    34.80358575954355};
    static const double galerkin[][3] = {{77.135606736577, 154.27121347315398, 231.40682020973097},
                                         {74.48985544693312, 148.97971102322086, 223.46956685729364},
                                         {66.55260156901981, 133.10520359753718, 199.65780655826075},
                                         {53.323845075564286, 106.64769097792424, 159.97153854269106},
                                         {34.80358592062923, 69.6071728043675, 104.41076160529042}};
    for (int i = 0; i < 5; i++) {
        assert_near("closed form", at(300, 0, speed[i], 1), closed[i], 1e-11, "Hz");
        for (int n = 1; n <= 3; n++)
            assert_near("Galerkin", at(300, 0, speed[i], n), galerkin[i][n - 1], 5e-8 * galerkin[i][n - 1], "Hz");
    }
}

/* A belt as fast as its wave stands still; beyond it nothing is reported. */
static void as_fast_as_its_wave(void **state)
{
    (void)state;
    assert_near("wave speed", sqrt(300 / 0.1029), WAVE, 1e-12, "m/s");
    assert_near("just below", at(300, 0, WAVE - 1e-9, 1), 0, 1e-8, "Hz");
    assert_true(at(300, 0, WAVE - 1e-9, 1) > 0);
    assert_true(at(300, 0, WAVE + 1e-9, 1) == 0);
    assert_true(at(300, 1e-3, WAVE + 1e-9, 1) == 0);
    assert_true(at(-1, 0, 0, 1) == 0);
}

/* Round bar of 10 mm, 2 m long. */
static void beam_at_rest(void **state)
{
    (void)state;
    static const double force[] = {10, 100, 1000};
    static const double printed[][5] = {
        {5.072846999585288, 19.98743953009183, 44.84394924174769, 79.64290973956598, 124.3843882054481},
        {5.9089586755037296, 20.88601931339514, 45.75606983914731, 80.55994865282874, 125.30373668783326},
        {11.25770634298587, 28.346189173571265, 54.03701844485656, 89.21338396543369, 134.15114764636266}};
    static const double elements[][5] = {
        {5.0728470299555335, 19.98744118024368, 44.843968099896664, 79.64301575104194, 124.38479251234008},
        {5.90895868974915, 20.886020893123916, 45.75608832122135, 80.56005345843087, 125.30413803754227},
        {11.257706364651506, 28.346190344015444, 54.03703409657918, 89.21347862813494, 134.15152261848635}};
    const double d = 0.01, area = SNUB_PI * d * d / 4, bending = 200e9 * SNUB_PI * d * d * d * d / 64;
    for (int i = 0; i < 3; i++) {
        for (int n = 1; n <= 5; n++) {
            const snub_free_span span = {force[i], 7800 * area, bending, 0, 2};
            const double f = snub_span_frequency(&span, n);
            assert_near("printed", f, printed[i][n - 1], 1e-9 * f, "Hz");
            assert_near("finite elements", f, elements[i][n - 1], 1e-5 * f, "Hz");
        }
    }
}

/* Up to close below the speed of the string's wave, where bending alone holds the beam straight. */
static void moving_beam(void **state)
{
    (void)state;
    static const struct {
        double bending, speed, f[3];
    } want[] = {{0.005, 0, {77.187378337, 154.68497042, 232.80092315}},
                {0.005, 20, {66.646382042, 133.85099306, 202.15051684}},
                {0.005, 40, {35.032703113, 71.418949455, 110.41195591}},
                {0.005, 53.9, {0.56145592374, 3.1252527642, 9.912502608}},
                {0.05, 0, {77.651769496, 158.36014326, 244.99112282}},
                {0.05, 20, {67.445282831, 139.90665452, 221.09354579}},
                {0.05, 40, {36.861623262, 84.664540979, 149.42875711}},
                {0.05, 53.9, {2.6546649089, 22.392889525, 69.023284689}},
                {0.5, 0, {82.151424937, 191.26652605, 343.89599393}},
                {0.5, 20, {73.873967156, 181.07621615, 334.05010687}},
                {0.5, 40, {48.696989084, 149.71605887, 303.91179688}},
                {0.5, 53.9, {18.444321923, 113.41125352, 269.86560576}}};
    for (size_t i = 0; i < sizeof want / sizeof want[0]; i++) {
        for (int n = 1; n <= 3; n++) {
            const double f = want[i].f[n - 1];
            assert_near("Galerkin", at(300, want[i].bending, want[i].speed, n), f, 3e-7 * f, "Hz");
        }
    }
}

/* A belt that hardly bends is a string, up to its wave's speed. */
static void nearly_a_string(void **state)
{
    (void)state;
    for (int n = 1; n <= 3; n++)
        assert_near("nearly", at(300, 1e-10, 40, n), at(300, 0, 40, n), 1e-6, "Hz");
    assert_true(at(300, 1e-9, WAVE - 1e-9, 1) > at(300, 0, WAVE - 1e-9, 1));
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(string_at_speed), cmocka_unit_test(as_fast_as_its_wave),
                                       cmocka_unit_test(beam_at_rest), cmocka_unit_test(moving_beam),
                                       cmocka_unit_test(nearly_a_string)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
