/* Steady swings (derived: inputs chosen for the check).
 *  - five pulleys with arm, crank prescribed to 0.01 rad, dashpots at arm, blower, alternator and beside every span:
 *    amplitudes of all parts and spans, solved elsewhere
 *  - dry friction by its first harmonic: an arm on its spring, closed form; two masses with friction on the first,
 * forced at the second */
#include "motion/friction.h"
#include "support/five_pulleys.h"

typedef struct forced {
    double hertz, angle[5], arm, tension[5];
} forced;
static const forced known[] = {
    {20,
     {0.01, 0.012818007861420521, 0.018564390533552386, 0.023552069329354906, 0.033779755513520436},
     0.00431330355098931,
     {22.71529569797938, 17.7398677554926, 16.030878332265175, 26.56675959005321, 85.6021135202026}},
    {50,
     {0.01, 0.02096991908895388, 0.155794543321743, 0.029107831734284818, 0.02211437768506187},
     0.09592815466127935,
     {391.4337342087249, 340.98499422094864, 258.2121501621484, 504.8012326438691, 646.5855137618734}},
    {90,
     {0.01, 0.007825544306579188, 0.07858964169783922, 0.016100159551893246, 0.029521139341476748},
     0.03908866681992335,
     {885.3002793391435, 824.7318140380524, 679.0089018872952, 103.84133087947886, 952.5476253855858}},
};

/* The belt stands, so that nothing is carried round. */
static void five_pulleys_forced(void **state)
{
    (void)state;
    static snub_motion motion;
    static snub_dashpots dashpots = {.mover = {[3] = 0.006, [4] = 0.004, [5] = 0.12}, .belt = 2e-5};
    plain_drive p;
    snub_arena arena = {0};
    snub_response r;
    set_up(&five, &p, &motion);
    for (size_t k = 0; k < sizeof known / sizeof *known; k++) {
        const forced *f = &known[k];
        assert_int_equal(snub_respond(&motion, 2 * SNUB_PI * f->hertz, 0.01, &dashpots, &r, NULL), SNUB_OK);
        for (int i = 0; i < 5; i++) {
            assert_near("pulley", r.angle[i], f->angle[i], 1e-11 * f->angle[i], "rad");
            assert_near("span", r.tension[i], f->tension[i], 1e-10 * f->tension[i], "N");
            assert_near("its parts", hypot(r.part[i][0], r.part[i][1]), f->tension[i], 1e-10 * f->tension[i], "N");
        }
        assert_near("arm", r.angle[5], f->arm, 1e-11 * f->arm, "rad");
        assert_false(r.sticks);
    }
    snub_arena_free(&arena);
}

/* J 0.001165 kg m2, 54.37 N m/rad, 0.5 N m of friction. */
static void arm_on_its_spring(void **state)
{
    (void)state;
    static const double cases[][3] = {{20, 1.5, 2.1632661398156983},
                                      {30, 1.5, 5.9967651821893435},
                                      {45, 2.0, 2.802337562065297},
                                      {60, 3.0, 1.510511002188035}};
    for (int k = 0; k < 4; k++) {
        const double w = 2 * SNUB_PI * cases[k][0], give = 1 / (54.37 - 0.001165 * w * w);
        assert_near("arm", snub_friction_amplitude(give * cases[k][1], give, 0.5) / SNUB_DEG, cases[k][2], 1e-12,
                    "deg");
    }
    /* Friction takes as much from a swing of 2 deg at 30 Hz as a dashpot of 0.0968 N m s. */
    const double w = 2 * SNUB_PI * 30, give = 1 / (54.37 - 0.001165 * w * w), size = 2 * SNUB_DEG;
    const double complex alone = size * (1.0 + I * 0.09675460329959848 * w * give);
    assert_near("as its dashpot", snub_friction_amplitude(alone, give, 0.5), size, 1e-14, "rad");
    assert_near("as strong as the friction", snub_friction_amplitude(0.02, 0.02, SNUB_PI / 4 * 1.0000001), 0, 0, "");
    assert_true(snub_friction_amplitude(0.02, 0.02, SNUB_PI / 4 * 0.9999999) > 0);
    assert_near("sticks, whatever damps", snub_friction_amplitude(0.5, -1.0 * I, SNUB_PI / 4), 0, 0, "");
    assert_near("slips, 1 less 0.5", snub_friction_amplitude(1.0, -0.5 * I, SNUB_PI / 4), 0.5, 1e-15, "");
    assert_near("no friction", snub_friction_amplitude(0.03 * I, 1, 0), 0.03, 1e-17, "");
}

static void friction_on_the_first_of_two(void **state)
{
    (void)state;
    static const double cases[][2] = {{1.2, 0.8798456135814189},
                                      {1.5, 2.525839488509885},
                                      {1.8, 0.8879410697671496},
                                      {2.0, 0.9559310427008272},
                                      {2.4, 0.6007649285909465}};
    for (int k = 0; k < 5; k++) {
        const double w = cases[k][0];
        const double complex a = 3 + 0.06 * I * w - w * w, b = -1 - 0.02 * I * w, d = 2 + 0.04 * I * w - 0.5 * w * w;
        const double complex whole = a * d - b * b;
        assert_near("first mass", snub_friction_amplitude(-b / whole, d / whole, 0.25), cases[k][1], 1e-12, "");
    }
}

/* The program's drive with friction on the arm: energy in by the crank is what friction and dashpots take out, and the
 * harmonic balance holds at the arm: the swing without friction less what its force makes. */
static void friction_in_a_drive(void **state)
{
    (void)state;
    static snub_motion motion, viscous;
    plain_drive p;
    snub_arena arena = {0};
    snub_response dry, same;
    snub_dashpots dashpots = {.mover = {[5] = 0.12}};
    set_up(&five, &p, &motion);
    viscous = motion;
    motion.friction = 0.3;
    for (double hertz = 30; hertz < 120; hertz += 7.3) {
        const double w = 2 * SNUB_PI * hertz;
        snub_dashpots equal = dashpots;
        assert_int_equal(snub_respond(&motion, w, 0.01, &dashpots, &dry, NULL), SNUB_OK);
        if (dry.sticks)
            continue;
        equal.mover[5] += 4 * 0.3 / (SNUB_PI * w * dry.angle[5]);
        assert_int_equal(snub_respond(&viscous, w, 0.01, &equal, &same, NULL), SNUB_OK);
        for (int i = 0; i < 6; i++)
            assert_near("as its dashpot", dry.angle[i], same.angle[i], 1e-9 * same.angle[i], "rad");
        for (int i = 0; i < 5; i++)
            assert_near("as its dashpot", dry.tension[i], same.tension[i], 1e-9 * same.tension[i], "N");
    }
    motion.friction = 100;
    assert_int_equal(snub_respond(&motion, 300, 0.01, &dashpots, &dry, NULL), SNUB_OK);
    assert_true(dry.sticks);
    assert_near("stuck", dry.angle[5], 0, 0, "rad");
    viscous.arm_stiffness = 1e12;
    assert_int_equal(snub_respond(&viscous, 300, 0.01, NULL, &same, NULL), SNUB_OK);
    for (int i = 0; i < 5; i++)
        assert_near("as one that is held", dry.angle[i], same.angle[i], 1e-8 * same.angle[i], "rad");
    snub_arena_free(&arena);
}

static const chosen two_loaded = {2, -1, {{0, 0}, {0.35, 0}}, {0.075, 0.03}, {0.07, 0.003}, 0, {0, 0}, 0, 170000,
                                  0, {0}};

/* Slowly swung, the belt creeps as in the statics: a pulley's surface is faster than the one before by the strain of
 * the belt that enters it less that which enters the one before. */
static void slow_creep(void **state)
{
    (void)state;
    static snub_motion motion;
    plain_drive p;
    snub_arena arena = {0};
    snub_response r;
    set_up(&two_loaded, &p, &motion);
    motion.belt_speed = 20;
    const double w = 1e-3, drag = 40;
    snub_dashpots dashpots = {.mover = {[1] = drag}};
    assert_int_equal(snub_respond(&motion, w, 1.0, &dashpots, &r, NULL), SNUB_OK);
    /* driver's surface speed 0.075 w; the driven one drags by 40 w2, the spans share it evenly, and it is slower by the
     * difference of their strains over the belt's speed */
    const double per = drag / (0.03 * 0.03) * 20 / 170000, surface = 0.075 * w / (1 + per);
    assert_near("driven", r.angle[1] * w * 0.03, surface, 1e-6 * surface, "m/s");
    assert_near("spans differ by the drag", r.tension[0] + r.tension[1], drag * r.angle[1] * w / 0.03,
                1e-3 * r.tension[0], "N");
    snub_arena_free(&arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(five_pulleys_forced), cmocka_unit_test(arm_on_its_spring),
                                       cmocka_unit_test(friction_on_the_first_of_two),
                                       cmocka_unit_test(friction_in_a_drive), cmocka_unit_test(slow_creep)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
