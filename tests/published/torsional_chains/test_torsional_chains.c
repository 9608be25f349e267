/* The search for natural frequencies on chains of discs.
 *  - printed to 4 or 5 figures: two discs on a shaft; five discs (three cylinders, flywheel, load): examples of M. I.
 *    Friswell, J. E. T. Penny, S. D. Garvey, A. W. Lees, Dynamics of Rotating Machines, as the unit tests of the
 *    openTorsion package have them (Aalto-Arotor/openTorsion, opentorsion/tests/tests.py)
 *  - two discs J, 2J on three shafts k, k, 2k between walls: (2 pi f)^2 J/k = 1 and 2.5, an examples paper of
 *    Cambridge University Engineering Department, Part IA, mechanical vibrations
 *  - six equal discs: omega = 2 sqrt(k/J) sin(j pi/12), closed form (derived)
 *  - five discs by Holzer's table (derived) */
#include "snub/motion.h"
#include "support/near.h"

#include <string.h>

static double omega_of(const snub_modes *modes, int i)
{
    return 2 * SNUB_PI * modes->mode[i].frequency;
}

/* Discs in a row, free at both ends. */
static void find(const double *inertia, const double *shaft, int n, snub_arena *arena, snub_modes *modes)
{
    static snub_motion m;
    memset(&m, 0, sizeof m);
    m.count = m.pulleys = n;
    memcpy(m.inertia, inertia, (size_t)n * sizeof *inertia);
    for (int i = 0; i + 1 < n; i++) {
        m.stiffness[i * n + i] += shaft[i];
        m.stiffness[(i + 1) * n + i + 1] += shaft[i];
        m.stiffness[i * n + i + 1] = m.stiffness[(i + 1) * n + i] = -shaft[i];
    }
    assert_int_equal(snub_modes_find(&m, false, arena, modes, NULL), SNUB_OK);
    assert_int_equal(modes->count, n - 1);
}

static void printed(void **state)
{
    (void)state;
    snub_arena arena = {0};
    snub_modes modes;
    find((const double[]){211.4, 8.3}, (const double[]){9775000.0}, 2, &arena, &modes);
    assert_near("two discs", modes.mode[0].frequency, 176.1, 0.05, "Hz");
    static const double five[] = {81.21, 141.21, 378.95, 536.36};
    find((const double[]){0.0035, 0.0035, 0.0035, 0.15, 0.05}, (const double[]){12000, 12000, 14000, 10000}, 5, &arena,
         &modes);
    for (int i = 0; i < 4; i++)
        assert_near("five discs", modes.mode[i].frequency, five[i], 0.005, "Hz");
    snub_arena_free(&arena);
}

static void derived(void **state)
{
    (void)state;
    snub_arena arena = {0};
    snub_modes modes;
    static const double one[] = {1, 1, 1, 1, 1, 1};
    static const double holzer[] = {37.94689142530388, 135.68617445152, 305.14300667369247, 372.4087947970298};
    find(one, one, 6, &arena, &modes);
    for (int j = 1; j < 6; j++)
        assert_near("six equal discs", omega_of(&modes, j - 1), 2 * sin(j * SNUB_PI / 12), 1e-12, "rad/s");
    find((const double[]){0.09, 0.0031, 0.0048, 0.0016, 0.02}, (const double[]){5200, 7400, 3100, 2500}, 5, &arena,
         &modes);
    for (int i = 0; i < 4; i++)
        assert_near("Holzer's table", modes.mode[i].frequency, holzer[i], 1e-10, "Hz");
    snub_arena_free(&arena);
}

/* A third disc that is held stands for the walls. */
static void between_walls(void **state)
{
    (void)state;
    static snub_motion m;
    static const double k[9] = {2, -1, -1, -1, 3, -2, -1, -2, 3};
    snub_arena arena = {0};
    snub_modes modes;
    m.count = m.pulleys = 3;
    m.crank = 2;
    m.inertia[0] = 1;
    m.inertia[1] = 2;
    m.inertia[2] = 1;
    memcpy(m.stiffness, k, sizeof k);
    assert_int_equal(snub_modes_find(&m, true, &arena, &modes, NULL), SNUB_OK);
    assert_int_equal(modes.count, 2);
    assert_near("first", omega_of(&modes, 0), 1, 1e-14, "rad/s");
    assert_near("second", omega_of(&modes, 1), sqrt(2.5), 1e-14, "rad/s");
    assert_near("first, together", modes.mode[0].shape[0] / modes.mode[0].shape[1], 1, 1e-13, "");
    assert_near("second, against each other", modes.mode[1].shape[1] / modes.mode[1].shape[0], -0.5, 1e-13, "");
    assert_near("energy of the second", modes.mode[1].energy[0], 2.0 / 3.0, 1e-13, "");
    snub_arena_free(&arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(printed), cmocka_unit_test(derived),
                                       cmocka_unit_test(between_walls)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
