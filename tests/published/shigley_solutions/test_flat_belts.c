/* Flat belts of R. G. Budynas, Instructor's solutions to Shigley's Mechanical Engineering Design, chapter 17: problem
 * 17-1, the same narrowed to its least width, the solution printed on p. 425, and problem 17-19 (V-belts).
 * US units: in, ft/min, lbf, lbf in, hp. "Exact" values are the book's own formulas worked out anew. */
#include "support/near.h"
#include "support/plain_drive.h"

static const double INCH = 0.0254, LBF = 4.4482216152605, FOOT = 0.3048, HP = 550.0 * 4.4482216152605 * 0.3048;
/* The book's g, ft/s2. */
static const double G_FT = 32.17;

typedef struct open_belt {
    double small, large, centres; /* in */
} open_belt;

static snub_path lay(const open_belt *b)
{
    const double centre[2][2] = {{0, 0}, {b->centres * INCH, 0}};
    const double radius[2] = {b->small / 2 * INCH, b->large / 2 * INCH};
    snub_path path;
    assert_int_equal(snub_path_lay(2, centre, radius, 1.0, &path, NULL), SNUB_OK);
    assert_int_equal(path.turns, 1);
    return path;
}

static void wraps_and_length(void **state)
{
    (void)state;
    const snub_path narrow = lay(&(open_belt){2, 4, 108});
    assert_near("17-1 wrap of the small pulley, print", narrow.wrap[0], 3.123, 0.0005, "rad");
    assert_near("17-1 wrap of the small pulley, exact", narrow.wrap[0], 3.1230738704503183, 1e-12, "rad");
    assert_near("17-1 length, exact", narrow.length / INCH, 225.43403728618304, 1e-9, "in");
    /* The print has 225.3 in: the book's own formula gives 225.434. */
    assert_true(fabs(narrow.length / INCH - 225.3) > 0.1);

    const snub_path wide = lay(&(open_belt){6, 18, 96});
    assert_near("p. 425 wrap of the small pulley", wide.wrap[0], 3.016511, 5e-7, "rad");
    assert_near("p. 425 wrap of the large pulley", wide.wrap[1], 3.266674, 5e-7, "rad");
    assert_near("p. 425 length", wide.length / INCH, 230.074, 5e-4, "in");
    assert_near("p. 425 length, exact", wide.length / INCH, 230.07423405669118, 1e-9, "in");
}

/* The belt of 17-1 of a width [in], balanced by the program as a drive of two fixed pulleys. */
static void balance_17_1(double width, double tight, snub_balance *balance)
{
    const double speed = 1750 * SNUB_PI / 30, torque = 63025 * 2 * 1.25 / 1750; /* lbf in, on the driver */
    const double centre[2][2] = {{0, 0}, {108 * INCH, 0}}, radius[2] = {1 * INCH, 2 * INCH};
    plain_drive p;
    snub_rig rig;
    snub_equilibrium e;
    snub_case wanted = {.engine_speed = speed};
    plain_drive_init(&p, 2, centre, radius);
    p.drive.belt.mass = 12 * 0.035 * width * 0.05 / G_FT * LBF / FOOT / FOOT; /* slug/ft, in kg/m */
    p.drive.belt.design.rib = 0.5;
    assert_int_equal(snub_rig_prepare(&p.drive, NULL, &rig, NULL), SNUB_OK);
    wanted.torque[1] = torque * 2 * LBF * INCH; /* geared down by two */
    /* Stretch that puts the tight side at its allowed tension: half of the belt is at each side's. */
    const double rise = torque / 1.0 * LBF;
    double mean = (tight * LBF - rise) * rig.path.length + rise * (rig.path.span[1]);
    mean += rise / 2 * (rig.path.length - rig.path.span[0] - rig.path.span[1]);
    wanted.belt_length = rig.path.length - mean / p.drive.belt.stiffness;
    assert_int_equal(snub_solve(&rig, &wanted, &e, NULL), SNUB_OK);
    snub_expand(&p.drive, &rig, &wanted, &e, balance);
}

static void problem_17_1(void **state)
{
    (void)state;
    snub_balance b;
    balance_17_1(6, 35 * 6 * 0.7, &b);
    const double fc = b.equilibrium.centrifugal / LBF, f1 = b.pulley[0].entry / LBF, f2 = b.pulley[0].exit / LBF;
    assert_near("V", b.equilibrium.belt_speed / FOOT * 60, 916.3, 0.05, "ft/min");
    assert_near("Fc, print", fc, 0.913, 0.0005, "lbf");
    assert_near("Fc, exact", fc, 0.9134616635078969, 1e-9, "lbf");
    assert_near("T", -b.pulley[0].torque / LBF / INCH, 90.0, 0.05, "lbf in");
    assert_near("F1", f1, 147, 1e-7, "lbf");
    assert_near("F2, print", f2, 57, 0.05, "lbf");
    assert_near("F2, exact", f2, 56.96428571428571, 1e-7, "lbf");
    assert_near("Fi = mean of both less Fc", (f1 + f2) / 2 - fc, 101.06868119363496, 1e-7, "lbf");
    assert_near("H", -b.pulley[0].torque * b.pulley[0].speed / HP, 2.5, 5e-5, "hp");
    assert_near("developed friction, print", b.pulley[0].grip_design * 0.5, 0.307, 0.0005, "");
    assert_near("developed friction, exact", b.pulley[0].grip_design * 0.5, 0.30672995987526286, 1e-9, "");
    assert_near("grip at the ratio exp(f theta)", snub_grip(4.766140868592454, 1.0, 0.5, b.pulley[0].wrap), 1, 1e-12,
                "");
}

static void problem_17_1_narrowed(void **state)
{
    (void)state;
    snub_balance b;
    balance_17_1(4.68, 35 * 4.68 * 0.7, &b);
    assert_near("Fc, print", b.equilibrium.centrifugal / LBF, 0.712, 0.0006, "lbf");
    assert_near("Fc, exact", b.equilibrium.centrifugal / LBF, 0.7125000975361595, 1e-9, "lbf");
    assert_near("F1", b.pulley[0].entry / LBF, 114.7, 0.05, "lbf");
    assert_near("F2", b.pulley[0].exit / LBF, 24.6, 0.05, "lbf");
    assert_near("all of its friction is used", b.pulley[0].grip_design * 0.5, 0.49994538089177754, 1e-9, "");
}

/* p. 425: the least width is that at which the belt just does not slip at f = 0.8. */
static void page_425_least_width(void **state)
{
    (void)state;
    const snub_path path = lay(&(open_belt){6, 18, 96});
    const double v = 2749.0 / 60, pull = 33000 * 20.6 / 2749;
    const double friction = 0.8000075282611873; /* ln 11.17 / wrap */
    const double widths[] = {4.13, 4.132441600797691};
    for (int i = 0; i < 2; i++) {
        const double b = widths[i], fc = 12 * 0.042 * b * 0.13 / G_FT * v * v, f1 = 100 * 0.7 * b;
        const double grip = snub_grip(f1 - fc, f1 - pull - fc, friction, path.wrap[0]);
        assert_near("grip at the least width", grip, 1, i == 0 ? 0.004 : 2e-4, "");
        assert_true(snub_grip(1.02 * f1 - fc, 1.02 * f1 - pull - fc, friction, path.wrap[0]) < 0.99);
    }
}

/* 17-19: F1 308.1, F2 82.3 at Fc 25.9 lbf, ratio exp(f theta) = 5 of the tractive tensions. */
static void problem_17_19(void **state)
{
    (void)state;
    const double pull = 2935 / 13.0, v = 2722.7; /* lbf, ft/min */
    const double fc = 3.498 * (v / 1000) * (v / 1000);
    assert_near("Fc", fc, 25.9, 0.05, "lbf");
    const double f1 = fc + pull * 5 / 4, f2 = f1 - pull;
    assert_near("F1", f1, 308.1, 0.06, "lbf");
    assert_near("F2", f2, 82.3, 0.1, "lbf"); /* exact 82.37: print takes 225.8 off 308.1 */
    assert_near("Fi", (f1 + f2) / 2 - fc, 169.3, 0.06, "lbf");
    assert_near("all grip is used", snub_grip(f1 - fc, f2 - fc, log(5) / 2.9, 2.9), 1, 1e-12, "");
    /* Without the momentum of the belt one would think there were grip left. */
    assert_true(snub_grip(f1, f2, log(5) / 2.9, 2.9) < 0.85);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(wraps_and_length),      cmocka_unit_test(problem_17_1),
        cmocka_unit_test(problem_17_1_narrowed), cmocka_unit_test(page_425_least_width),
        cmocka_unit_test(problem_17_19),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
