/* A standing span as a tensioned beam.
 *  - On hinges: a structural code's validation manual, test SDLL101 (rod 10 mm thick, 2 m long, steel, under tension):
 *    the formula it cites, and its finite elements, which know nothing of the formula.
 *  - Fixed ends: exact roots of the frequency condition, found with 30 digits (derived), and 4.730, 7.853, 10.996 of
 * the beam without tension.
 *  - A ribbed belt of 0.05 N m2 and 0.1 kg/m (derived): what a fitter reads who takes it for a string. */
#include "measure/beam.h"
#include "snub/units.h"
#include "support/near.h"

static const double ROD_BENDING = 98.17477042468103, ROD_MASS = 0.6126105674500097; /* 2e11 pi d^4/64, 7800 pi d^2/4 */

static void rod_on_hinges(void **state)
{
    (void)state;
    static const double tension[] = {0, 10, 100, 1000};
    static const double formula[][5] = {
        {4.971272743173787, 19.88509097269515, 44.74145468856408, 79.5403638907806, 124.28181857934469},
        {5.072846999585288, 19.98743953009183, 44.84394924174769, 79.64290973956598, 124.3843882054481},
        {5.9089586755037296, 20.88601931339514, 45.75606983914731, 80.55994865282874, 125.30373668783326},
        {11.25770634298587, 28.346189173571265, 54.03701844485656, 89.21338396543369, 134.15114764636266}};
    static const double elements[][5] = {
        {4.971272774189708, 19.885092636368586, 44.74147359424832, 79.5404700413968, 124.28222322171587},
        {5.0728470299555335, 19.98744118024368, 44.843968099896664, 79.64301575104194, 124.38479251234008},
        {5.90895868974915, 20.886020893123916, 45.75608832122135, 80.56005345843087, 125.30413803754227},
        {11.257706364651506, 28.346190344015444, 54.03703409657918, 89.21347862813494, 134.15152261848635}};
    const snub_standing_span rod = {2.0, ROD_MASS, ROD_BENDING, SNUB_ENDS_HINGED};
    for (int t = 0; t < 4; t++) {
        for (int n = 1; n <= 5; n++) {
            const double f = snub_standing_frequency(&rod, tension[t], n);
            assert_near("formula", f, formula[t][n - 1], 1e-12 * f, "Hz");
            assert_near("finite elements", f, elements[t][n - 1], 4e-6 * f, "Hz");
            assert_near("and back", snub_standing_tension(&rod, f, n), tension[t], 1e-9 * (1000 + tension[t]), "N");
        }
    }
    assert_true(isnan(snub_standing_tension(&rod, 4.97, 1)));
}

typedef struct held {
    const char *name;
    double bending, mass, tension, length, hinged[6], fixed[6], as_string;
} held;

static const held SPANS[] = {
    {"wire",
     0.00981747704,
     0.00612610567,
     700,
     0.6,
     {281.746811, 563.818401, 846.538925, 1130.2313, 1415.21658, 1701.81341},
     {285.308614, 570.947364, 857.245713, 1144.53178, 1433.1317, 1723.36897},
     700.269152},
    {"rod",
     98.1747704,
     0.612610567,
     1000,
     2.0,
     {11.2577063, 28.3461892, 54.0370184, 89.213384, 134.151148, 188.948593},
     {15.8600615, 37.9105427, 68.7683562, 109.117146, 159.193496, 219.095678},
     1242.23654},
    {"belt",
     0.05,
     0.1,
     300,
     0.2,
     {139.717797, 295.52835, 480.838944, 705.260298, 975.020142, 1293.94646},
     {160.390894, 338.742678, 549.016565, 800.313492, 1098.12187, 1445.70486},
     312.337006},
    {"long belt",
     0.05,
     0.1,
     600,
     0.35,
     {111.027521, 224.265448, 341.852731, 465.794755, 597.91741, 739.840293},
     {117.142043, 236.636862, 360.743151, 491.548228, 630.917759, 780.473908},
     604.02841},
    {"slack belt",
     0.05,
     0.1,
     150,
     0.12,
     {178.860911, 446.497044, 846.338749, 1392.75043, 2090.33874, 2940.77004},
     {249.660918, 593.966204, 1073.90064, 1700.61624, 2478.01723, 3407.73701},
     184.26946},
};

static void both_ends(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof SPANS / sizeof SPANS[0]; i++) {
        const held *h = &SPANS[i];
        const snub_standing_span hinged = {h->length, h->mass, h->bending, SNUB_ENDS_HINGED};
        const snub_standing_span fixed = {h->length, h->mass, h->bending, SNUB_ENDS_FIXED};
        const snub_standing_span string = {h->length, h->mass, 0.0, SNUB_ENDS_FIXED};
        for (int n = 1; n <= 6; n++) {
            assert_near(h->name, snub_standing_frequency(&hinged, h->tension, n), h->hinged[n - 1],
                        5e-9 * h->hinged[n - 1], "Hz, hinged");
            assert_near(h->name, snub_standing_frequency(&fixed, h->tension, n), h->fixed[n - 1],
                        5e-9 * h->fixed[n - 1], "Hz, fixed");
            assert_near(h->name, snub_standing_tension(&fixed, h->fixed[n - 1], n), h->tension,
                        2e-7 * h->tension + 1e-5, "N, fixed, and back");
        }
        assert_near(h->name, snub_standing_tension(&string, h->hinged[0], 1), h->as_string, 3e-8 * h->as_string,
                    "N, taken for a string");
    }
}

static void without_tension(void **state)
{
    (void)state;
    static const double beta[] = {4.730040744862704, 7.853204624095838, 10.995607838001671};
    const snub_standing_span beam = {0.3, 0.1, 0.05, SNUB_ENDS_FIXED};
    for (int n = 1; n <= 3; n++) {
        const double f = beta[n - 1] * beta[n - 1] / (0.3 * 0.3) * sqrt(0.05 / 0.1) / (2.0 * SNUB_PI);
        assert_near("no tension", snub_standing_frequency(&beam, 0.0, n), f, 1e-10 * f, "Hz");
    }
    assert_true(isnan(snub_standing_tension(&beam, 27.0, 1))); /* without tension it rings at 28 Hz */
    assert_true(snub_standing_tension(&beam, 29.0, 1) > 0.0);
    /* Nearly a string: nothing overflows. */
    const snub_standing_span limp = {0.3, 0.1, 1e-9, SNUB_ENDS_FIXED};
    assert_near("limp", snub_standing_frequency(&limp, 400.0, 1),
                sqrt(400.0 / 0.1) / 0.6 * (1.0 + 2.0 * sqrt(1e-9 / 400.0) / 0.3), 1e-7, "Hz");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(rod_on_hinges), cmocka_unit_test(both_ends),
                                       cmocka_unit_test(without_tension)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
