/* Natural frequencies of belt drives (derived: inputs chosen for the check, two computations that share nothing agree).
 *  - two pulleys: closed form (2 pi f)^2 = 2 EA/L (r1^2/J1 + r2^2/J2), and with the driver held
 *  - three pulleys with arm: the inputs of R. S. Beikmann, N. C. Perkins, A. G. Ulsoy, J. Vibration and Acoustics 118
 *    (1996), from memory, and a second set of inertias; crank free and held, with and without 300 N of tension
 *  - five pulleys with arm under load at 24 m/s: stiffness also from differences of the potential energy, whose stretch
 *    comes from the exact path, in 40-digit arithmetic
 * Free spans alone stretch, EA/L; the belt has no mass; the arm feels the tractive tension. */
#include "support/five_pulleys.h"

static const chosen two = {2, -1, {{0, 0}, {0.35, 0}}, {0.075, 0.03}, {0.07, 0.003}, 0, {0, 0}, 0, 170000, 0, {0}};
static const chosen three = {3,
                             1,
                             {{0.5525, 0.0556}, {0.3477, 0.05715}, {0, 0}},
                             {0.0889, -0.0452, 0.02697},
                             {0.07248, 0.000293, 0.00293},
                             0.001165,
                             {0.2508, 0.0635},
                             54.37,
                             170000,
                             0,
                             {300, 300, 300}};
static void expect(const chosen *c, bool held, const double *want, int count, double tolerance)
{
    static snub_motion motion;
    plain_drive p;
    snub_arena arena = {0};
    snub_modes modes;
    snub_error error;
    set_up(c, &p, &motion);
    assert_int_equal(snub_modes_find(&motion, held, &arena, &modes, &error), SNUB_OK);
    assert_int_equal(modes.count, count);
    for (int i = 0; i < count; i++) {
        double whole = 0.0;
        assert_near(held ? "held" : "free", modes.mode[i].frequency, want[i], tolerance * want[i], "Hz");
        for (int k = 0; k < motion.count; k++)
            whole += modes.mode[i].energy[k];
        assert_near("energy", whole, 1.0, 1e-12, "");
    }
    snub_arena_free(&arena);
}

static void two_pulleys(void **state)
{
    (void)state;
    expect(&two, false, (const double[]){97.14739167093106}, 1, 1e-12);
    expect(&two, true, (const double[]){86.27718838050913}, 1, 1e-12);
}

/* Printed to 8 to 11 digits; the path's second derivative there is good to 1e-6, which is 1e-9 of a frequency. */
static void three_pulleys(void **state)
{
    (void)state;
    chosen slack = three, other = three;
    memset(slack.total, 0, sizeof slack.total);
    other.inertia[1] = 0.00293;
    other.inertia[2] = 0.000293;
    expect(&slack, false, (const double[]){50.6935847, 169.141643, 607.873063}, 3, 3e-9);
    expect(&three, false, (const double[]){50.8867717, 169.534309, 607.914561}, 3, 3e-9);
    expect(&slack, true, (const double[]){42.66897342, 167.16119894, 605.83888723}, 3, 2e-10);
    expect(&three, true, (const double[]){42.82450133, 167.57684273, 605.88067453}, 3, 1e-9);
    expect(&other, false, (const double[]){55.336236, 233.797249, 368.204848}, 3, 3e-9);
    expect(&other, true, (const double[]){51.33964964, 232.451448, 364.34118129}, 3, 1e-9);
    memset(other.total, 0, sizeof other.total);
    expect(&other, false, (const double[]){55.0311376, 233.782807, 367.98393}, 3, 3e-9);
    expect(&other, true, (const double[]){51.05879241, 232.43254819, 364.11396436}, 3, 2e-10);
}

static const double free_five[] = {46.194574884169086, 81.68798275709928, 111.83111598552551, 299.12344434165533,
                                   729.3784021399739};

static void five_pulleys(void **state)
{
    (void)state;
    expect(&five, false, free_five, 5, 1e-11);
    expect(
        &five, true,
        (const double[]){42.35044598148245, 72.65924470893258, 111.82891051266621, 298.2120422378477, 729.371431006219},
        5, 1e-11);
    chosen slack = five;
    memset(slack.total, 0, sizeof slack.total);
    slack.centrifugal = 0;
    expect(&slack, false,
           (const double[]){41.68836498495931, 80.38607549489782, 111.80651051403444, 298.97034925920934,
                            729.2329802973641},
           5, 1e-11);
}

static void five_pulleys_stiffness_and_shape(void **state)
{
    (void)state;
    static const double from_energy[6][6] = {
        {8132.999955579528, -3557.2885286377395, 0, 0, -1314.1795413473471, 0},
        {-3557.2885286377395, 7941.264342361627, -2797.458874805611, 0, 0, -3254.925631931811},
        {0, -2797.458874805611, 2954.320091223937, -1639.117961681737, 0, 4585.952268137834},
        {0, 0, -1639.117961681737, 2991.014784668918, -719.1403306934832, -3247.0949301433284},
        {-1314.1795413473471, 0, 0, -719.1403306934832, 939.3897266005604, 0},
        {0, -3254.925631931811, 4585.952268137834, -3247.0949301433284, 0, 7725.545117618354}};
    static const double shape[6] = {0.0453260399, 0.0908760254, 1.0, -0.296902274, -0.22698415, -0.691037425};
    static snub_motion motion;
    plain_drive p;
    snub_arena arena = {0};
    snub_modes modes;
    set_up(&five, &p, &motion);
    for (int a = 0; a < 6; a++) {
        for (int b = 0; b < 6; b++)
            assert_near("stiffness", motion.stiffness[a * 6 + b], from_energy[a][b], 1e-11 * 8133, "N m/rad");
    }
    assert_int_equal(snub_modes_find(&motion, false, &arena, &modes, NULL), SNUB_OK);
    for (int k = 0; k < 6; k++)
        assert_near("shape", modes.mode[0].shape[k], shape[k], 1e-9, "");
    snub_arena_free(&arena);
}

/* A belt that does not give leaves the arm nothing to swing with: only the arm's frequency is left that goes with no
 * stretch, and the others go up with the root of EA. A heavy crank is a held one. */
static void limits(void **state)
{
    (void)state;
    static snub_motion motion;
    plain_drive p;
    snub_arena arena = {0};
    snub_modes soft, stiff;
    chosen c = two;
    c.stiffness *= 1e6;
    set_up(&two, &p, &motion);
    assert_int_equal(snub_modes_find(&motion, true, &arena, &soft, NULL), SNUB_OK);
    set_up(&c, &p, &motion);
    assert_int_equal(snub_modes_find(&motion, true, &arena, &stiff, NULL), SNUB_OK);
    assert_near("goes with the root of EA", stiff.mode[0].frequency, 1e3 * soft.mode[0].frequency, 1e-7, "Hz");
    c = three;
    c.inertia[0] = 1e6;
    expect(&c, false, (const double[]){42.82450133, 167.57684273, 605.88067453}, 3, 3e-8);
    snub_arena_free(&arena);
}

/* An arm that the tension pushes over its dead point does not spring back; nor does one have a frequency whose crank's
 * inertia nobody knows. */
static void refusals(void **state)
{
    (void)state;
    static snub_motion motion;
    plain_drive p;
    snub_arena arena = {0};
    snub_modes modes;
    snub_error error;
    chosen c = three;
    c.rate = -3000;
    set_up(&c, &p, &motion);
    assert_int_equal(snub_modes_find(&motion, true, &arena, &modes, &error), SNUB_NO_EQUILIBRIUM);
    assert_int_equal(snub_modes_find(&motion, false, &arena, &modes, &error), SNUB_NO_EQUILIBRIUM);
    assert_int_equal(modes.count, 0);
    c = three;
    c.inertia[0] = NAN;
    set_up(&c, &p, &motion);
    assert_int_equal(snub_modes_find(&motion, false, &arena, &modes, &error), SNUB_BAD_INPUT);
    assert_int_equal(snub_modes_find(&motion, true, &arena, &modes, &error), SNUB_OK);
    c.inertia[0] = 0.07;
    c.inertia[1] = 0;
    set_up(&c, &p, &motion);
    assert_int_equal(snub_modes_find(&motion, true, &arena, &modes, &error), SNUB_NO_CONVERGENCE);
    snub_arena_free(&arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(two_pulleys),  cmocka_unit_test(three_pulleys),
        cmocka_unit_test(five_pulleys), cmocka_unit_test(five_pulleys_stiffness_and_shape),
        cmocka_unit_test(limits),       cmocka_unit_test(refusals),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
