/* Budynas and Nisbett, Shigley's Mechanical Engineering Design, 9th ed., example 17-1: a flat belt 6 in wide and 0.13
 * in thick (0.042 lbf/in3) on pulleys of 6 and 18 in, 8 ft apart, 1750 rev/min; 15 hp with 1.25 for service and 1.1 for
 * design; tight side 420 lbf. Digits from memory, agree with a recomputation. "Exact" values are the book's own
 * formulas worked out anew. The least width is derived. */
#include "support/near.h"
#include "support/plain_drive.h"

static const double INCH = 0.0254, LBF = 4.4482216152605, FOOT = 0.3048;
/* The book's g, ft/s2. */
static const double G_FT = 32.17;
static const double SMALL = 3, LARGE = 9, CENTRES = 96; /* radii and distance, in */
static const double DESIGN = 0.8;

static void wraps_and_length(void **state)
{
    (void)state;
    const double centre[2][2] = {{0, 0}, {CENTRES * INCH, 0}}, radius[2] = {SMALL * INCH, LARGE * INCH};
    snub_path path;
    assert_int_equal(snub_path_lay(2, centre, radius, 1.0, &path, NULL), SNUB_OK);
    assert_int_equal(path.turns, 1);
    const double lean = asin((LARGE - SMALL) / CENTRES);
    assert_near("wrap of the small pulley, from memory", path.wrap[0], 3.0165, 5e-5, "rad");
    assert_near("wrap of the small pulley, exact", path.wrap[0], SNUB_PI - 2 * lean, 1e-12, "rad");
    assert_near("wrap of the large pulley, exact", path.wrap[1], SNUB_PI + 2 * lean, 1e-12, "rad");
    const double spans = 2 * sqrt(CENTRES * CENTRES - (LARGE - SMALL) * (LARGE - SMALL));
    const double arcs = SMALL * (SNUB_PI - 2 * lean) + LARGE * (SNUB_PI + 2 * lean);
    assert_near("length, exact", path.length / INCH, spans + arcs, 1e-9, "in");
}

static double torque(void)
{
    return 63025 * 15 * 1.25 * 1.1 / 1750; /* lbf in, on the driver */
}

/* The belt at a width [in], balanced by the program as a drive of two fixed pulleys. */
static void balance_at(double width, snub_balance *balance)
{
    const double speed = 1750 * SNUB_PI / 30, tight = 100 * 0.7 * width;
    const double centre[2][2] = {{0, 0}, {CENTRES * INCH, 0}}, radius[2] = {SMALL * INCH, LARGE * INCH};
    plain_drive p;
    snub_rig rig;
    snub_equilibrium e;
    snub_case wanted = {.engine_speed = speed};
    plain_drive_init(&p, 2, centre, radius);
    p.drive.belt.mass = 12 * 0.042 * width * 0.13 / G_FT * LBF / FOOT / FOOT; /* slug/ft, in kg/m */
    p.drive.belt.design.rib = DESIGN;
    assert_int_equal(snub_rig_prepare(&p.drive, NULL, &rig, NULL), SNUB_OK);
    wanted.torque[1] = torque() * LARGE / SMALL * LBF * INCH;
    /* Stretch that puts the tight side at its allowed tension: half of the belt is at each side's. */
    const double rise = torque() / SMALL * LBF;
    double mean = (tight * LBF - rise) * rig.path.length + rise * (rig.path.span[1]);
    mean += rise / 2 * (rig.path.length - rig.path.span[0] - rig.path.span[1]);
    wanted.belt_length = rig.path.length - mean / p.drive.belt.stiffness;
    assert_int_equal(snub_solve(&rig, &wanted, &e, NULL), SNUB_OK);
    snub_expand(&p.drive, &rig, &wanted, &e, balance);
}

static void example_17_1(void **state)
{
    (void)state;
    snub_balance b;
    balance_at(6, &b);
    const double fc = b.equilibrium.centrifugal / LBF, f1 = b.pulley[0].entry / LBF, f2 = b.pulley[0].exit / LBF;
    assert_near("V", b.equilibrium.belt_speed / FOOT * 60, 2749, 0.5, "ft/min");
    assert_near("Fc", fc, 25.6, 0.07, "lbf"); /* exact 25.65; 25.6 by a rounded weight of a foot */
    assert_near("T", -b.pulley[0].torque / LBF / INCH, 742.8, 0.05, "lbf in");
    assert_near("F1", f1, 420, 0.01, "lbf");
    assert_near("F2", f2, 172.4, 0.05, "lbf");
    assert_near("F1 - F2", f1 - f2, 247.6, 0.05, "lbf");
    assert_near("Fi = mean of both less Fc", (f1 + f2) / 2 - fc, 270.6, 0.1, "lbf");
    const double developed = b.pulley[0].grip_design * DESIGN;
    assert_near("developed friction, from memory", developed, 0.328, 0.0005, "");
    assert_near("developed friction, exact", developed, log((f1 - fc) / (f2 - fc)) / b.pulley[0].wrap, 1e-9, "");
    /* Without the momentum of the belt one would think there were more grip left. */
    assert_true(snub_grip(f1, f2, 1, b.pulley[0].wrap) < 0.92 * developed);
}

/* (F1 - Fc)/(F2 - Fc) = exp(f theta), F1 and Fc in proportion to the width: what it must be for all grip to be used. */
static void least_width(void **state)
{
    (void)state;
    snub_balance b;
    const double v = 2 * SNUB_PI * SMALL / 12 * 1750 / 60, of_width = 12 * 0.042 * 0.13 / G_FT * v * v;
    const double ratio = exp(DESIGN * (SNUB_PI - 2 * asin((LARGE - SMALL) / CENTRES)));
    const double width = ratio / (ratio - 1) * (torque() / SMALL) / (100 * 0.7 - of_width);
    assert_near("width", width, 4.14, 0.005, "in");
    balance_at(width, &b);
    assert_near("grip at the least width", b.pulley[0].grip_design, 1, 1e-4, "");
    balance_at(1.02 * width, &b);
    assert_true(b.pulley[0].grip_design < 0.99);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(wraps_and_length), cmocka_unit_test(example_17_1),
                                       cmocka_unit_test(least_width)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
