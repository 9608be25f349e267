/* Stress at a hole in a strip, over that of the section that is left.
 * Pull: R. C. J. Howland, On the Stresses in the Neighbourhood of a Circular Hole in a Strip under Tension, Phil.
 * Trans. Roy. Soc. A 229 (1930), as handbooks quote him over the whole width: 3.03, 3.14, 3.36, 3.74, 4.32 (memory).
 * Bending out of the plane: the ends of the range are closed forms, 3 for a small hole (plane stress) and
 * (5 + 3 nu)/(3 + nu) for a wide one (J. N. Goodier, Phil. Mag. 22, 1936; memory).
 * Twist of a flat bar: Saint-Venant's coefficients for sides 1, 2, 4 and 10 to 1: 0.208, 0.246, 0.282, 0.312 (memory).
 */
#include "mount/flat_bar.h"
#include "snub/mount.h"
#include "support/near.h"

static void pulled(void **state)
{
    (void)state;
    static const double howland[] = {3.03, 3.14, 3.36, 3.74, 4.32};
    for (int i = 0; i < 5; i++) {
        const double share = 0.1 * (i + 1), want = howland[i] * (1 - share);
        assert_near("at the rim", snub_hole_in_tension(share), want, 0.02 * want, "");
    }
}

static void bent(void **state)
{
    (void)state;
    const double nu = 0.3;
    assert_near("small hole", snub_hole_in_bending(1e-9, 0.01), 3, 0.02, "");
    assert_near("wide hole", snub_hole_in_bending(10, 0.01), (5 + 3 * nu) / (3 + nu), 0.005, "");
}

/* A plate that is bent alike in all directions has twice its stress at a hole, whatever the thickness. */
static void bent_all_round(void **state)
{
    (void)state;
    for (double t = 0.001; t < 1; t *= 10) {
        const double k = snub_hole_in_bending(0.01, t);
        const snub_flat bar = {1.0, t, 0.01, 0.005};
        const snub_flat_stress twist = {.twist = 1e6}, bend = {.bend = 1e6};
        assert_near("bent", snub_flat_peak(&bar, &bend), fmax(k, 1) * 1e6, 1, "Pa");
        /* twist is bending one way and the other: k less what the other way adds, 2 - k */
        assert_near("twisted", snub_flat_peak(&bar, &twist), fmax(k - (2 - k), sqrt(3)) * 1e6, 1, "Pa");
    }
}

static void twisted(void **state)
{
    (void)state;
    static const double sides[] = {1, 2, 4, 10}, coefficient[] = {0.208, 0.246, 0.282, 0.312};
    for (int i = 0; i < 4; i++) {
        const snub_flat bar = {0.01 * sides[i], 0.01, 0, 0};
        const snub_flat_load load = {.twist = 10};
        const double want = 10 / (coefficient[i] * bar.width * 1e-4);
        assert_near("shear", snub_flat_stress_of(&bar, &load).twist, want, 0.042 * want, "Pa");
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(pulled), cmocka_unit_test(bent),
                                       cmocka_unit_test(bent_all_round), cmocka_unit_test(twisted)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
