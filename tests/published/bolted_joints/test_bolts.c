/* Budynas and Nisbett, Shigley's Mechanical Engineering Design, 9th ed., examples and tables of chapters 6 and 8;
 * stress areas and proof loads are those of ISO 898-1, too. */
#include "drive/tables.h"
#include "mount/fatigue.h"
#include "snub/mount.h"
#include "support/near.h"

#define KSI 6.894757293168361e6
#define INCH 0.0254
#define KIP 4448.2216

/* Example 8-7, pp. 457-458: 16 kN on four M16, arm 425 mm. */
static void example_8_7(void **state)
{
    (void)state;
    snub_group_bolt bolts[4] = {
        {{0.075, -0.060}, 1, 0, 0}, {{0.075, 0.060}, 1, 0, 0}, {{-0.075, 0.060}, 1, 0, 0}, {{-0.075, -0.060}, 1, 0, 0}};
    const double force[3] = {0, -16000, 0}, at[3] = {0.425, 0, 0};
    snub_wrench w = {{0}, {0}};
    snub_wrench_add(&w, force, at);
    assert_near("moment", w.moment[2], -6800, 1e-9, "N m");
    snub_group_share s[4];
    assert_int_equal(snub_group_share_out(bolts, 4, &w, s, NULL), SNUB_OK);
    assert_near("r", hypot(0.075, 0.060) * 1e3, 96.0, 0.05, "mm");
    assert_near("primary", 0.25 * (s[0].shear[1] + s[1].shear[1] + s[2].shear[1] + s[3].shear[1]) / -1e3, 4, 1e-9,
                "kN");
    assert_near("secondary", hypot(s[0].shear[0], s[0].shear[1] + 4000) / 1e3, 17.7, 0.05, "kN");
    for (int i = 0; i < 4; i++) {
        const double shear = hypot(s[i].shear[0], s[i].shear[1]) / 1e3;
        assert_near("bolt shear", shear, i < 2 ? 21.0 : 14.8, 0.05, "kN");
        assert_near("bolt shear, recomputed", shear, i < 2 ? 20.973 : 14.789, 5e-4, "kN");
    }
    assert_near("shear stress on the root of M16", hypot(s[0].shear[0], s[0].shear[1]) / 144e-6 / 1e6, 146, 0.5, "MPa");
}

/* Example 8-3: 3/4-16 SAE 5. */
static void example_8_3(void **state)
{
    (void)state;
    snub_bolt_class c;
    assert_true(snub_bolt_class_find("SAE 5", 0.75 * INCH, &c));
    assert_near("proof", c.proof / KSI, 85, 1e-9, "kpsi");
    const double at = 0.373 * INCH * INCH, constant = 6.5 / (6.5 + 13.8);
    assert_near("C", constant, 0.32, 0.005, "");
    const snub_bolt_load load = {25 * KIP, 25 * KIP, 0, 6 * KIP};
    const snub_bolt_joint j = snub_bolt_judge(0.32, at, c.proof, c.endurance, c.tensile, &load);
    assert_near("initial stress", load.preload_high / at / KSI, 67.02, 0.005, "kpsi");
    assert_near("bolt stress", j.bolt / at / KSI, 72.17, 0.005, "kpsi");
    assert_near("torque K 0.20", snub_bolt_torque(0.2, 25 * KIP, 0.75 * INCH) / (4.4482216 * INCH), 3750, 0.5,
                "lbf in");
}

/* One frustum, by a plate twice as thick: two of them, one after the other. */
static double frustum(double thickness, double small, double hole, double modulus)
{
    const snub_clamped plate = {2 * thickness, modulus};
    return 2 * snub_member_stiffness(&plate, 1, small, hole);
}

/* Example 8-5: 5/8-11 SAE 5 cap screw: washer and cover of steel on a base of cast iron. */
static void example_8_5(void **state)
{
    (void)state;
    const double mpsi = 1e3 * KSI, per = 4.4482216 / INCH * 1e6; /* N/m per Mlbf/in */
    const double d = 0.625 * INCH, at = 0.226 * INCH * INCH;
    /* grip: washer, cover and d/2 of the base; the frusta meet in its middle; the book rounds D2 to 1.298 in */
    const double steel = (0.0625 + 0.625) * INCH, iron = 0.3125 * INCH, l = steel + iron, face = 1.5 * d;
    const double wide = face + 2 * iron * tan(SNUB_PI / 6);
    assert_near("k1", frustum(l / 2, face, d, 30 * mpsi) / per, 46.46, 0.01, "Mlbf/in");
    assert_near("k2", frustum(steel - l / 2, wide, d, 30 * mpsi) / per, 197.43, 0.2, "Mlbf/in");
    assert_near("k3", frustum(iron, face, d, 16 * mpsi) / per, 32.394, 0.005, "Mlbf/in");
    const snub_clamped parts[] = {{steel, 30 * mpsi}, {iron, 16 * mpsi}};
    const double km = snub_member_stiffness(parts, 2, face, d);
    assert_near("km", km / per, 17.404, 0.01, "Mlbf/in");
    const double kb = 0.226 * INCH * INCH * 30 * mpsi / l;
    assert_near("kb", kb / per, 6.78, 0.005, "Mlbf/in");
    assert_near("C", kb / (kb + km), 0.28036, 5e-5, "");

    snub_bolt_class c;
    assert_true(snub_bolt_class_find("SAE 5", d, &c));
    const double fi = 0.75 * c.proof * at;
    assert_near("Fi", fi / KIP, 14.4, 0.05, "kip");
    const snub_bolt_load load = {14.4 * KIP, 14.4 * KIP, 0, 5 * KIP};
    const snub_bolt_joint j = snub_bolt_judge(0.28, at, c.proof, c.endurance, c.tensile, &load);
    assert_near("np", j.proof, 1.22, 0.005, "");
    assert_near("nL", j.overload, 3.44, 0.005, "");
    assert_near("n0", j.separate, 4.0, 0.005, "");
    assert_near("initial", 14.4 * KIP / at / KSI, 63.72, 0.005, "kpsi");
    assert_near("alternating", j.alternating / KSI, 3.10, 0.005, "kpsi");
    assert_near("mean", j.mean / KSI, 66.82, 0.007, "kpsi"); /* the book adds rounded parts */
    const double si = 63.72 * KSI;
    assert_near("Sa Goodman", j.fatigue * j.alternating / KSI, 7.55, 0.005, "kpsi");
    assert_near("Sa to proof", (c.proof - si) / 2 / KSI, 10.64, 0.005, "kpsi");
    assert_near("nf Goodman", j.fatigue, 2.44, 0.005, "");
}

/* Tables 8-11, 8-15, 8-17 and eqs 8-31, 8-32 as used. */
static void tables(void **state)
{
    (void)state;
    static const struct row {
        const char *name;
        double area, proof[3];
    } rows[] = {{"M6", 20.1, {11600, 16700, 19500}},
                {"M8", 36.6, {21200, 30400, 35500}},
                {"M10", 58.0, {33700, 48100, 56300}},
                {"M12", 84.3, {48900, 70000, 81800}},
                {"M14", 115, {66700, 95500, 112000}}};
    static const char *const names[] = {"8.8", "10.9", "12.9"};
    for (int i = 0; i < 5; i++) {
        double d, p;
        assert_true(snub_thread_find(rows[i].name, &d, &p));
        const double area = snub_stress_area(d, p);
        assert_near(rows[i].name, area * 1e6, rows[i].area, i < 4 ? 0.06 : 0.5, "mm2");
        for (int k = 0; k < 3; k++) {
            snub_bolt_class c;
            assert_true(snub_bolt_class_find(names[k], d, &c));
            /* the table's loads are rounded down; 7 in 1000 */
            assert_near("proof load", c.proof * area, rows[i].proof[k], 0.007 * rows[i].proof[k], "N");
        }
    }
    assert_near("zinc", snub_nut_factor("zinc"), 0.20, 0, "");
    assert_near("anti-seize", snub_nut_factor("anti-seize"), 0.12, 0, "");
    assert_near("no such", snub_nut_factor("honey"), 0, 0, "");
}

/* Endurance of rolled threads, axial, Table 8-17: kpsi and MPa as printed. */
static void thread_endurance(void **state)
{
    (void)state;
    static const struct row {
        const char *name;
        double inch, kpsi;
    } rows[] = {{"SAE 5", 0.25, 18.6}, {"SAE 5", 1.0, 18.6}, {"SAE 5", 1.125, 16.3}, {"SAE 5", 1.5, 16.3},
                {"SAE 7", 0.25, 20.6}, {"SAE 7", 1.5, 20.6}, {"SAE 8", 0.5, 23.2},   {"SAE 8.2", 0.5, 0},
                {"SAE 2", 0.5, 0},     {"SAE 5.2", 0.5, 0}};
    snub_bolt_class c;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        assert_true(snub_bolt_class_find(rows[i].name, rows[i].inch * INCH, &c));
        assert_near(rows[i].name, c.endurance / (1000 * 4.4482216152605 / (INCH * INCH)), rows[i].kpsi, 1e-6, "kpsi");
    }
    static const char *const metric[] = {"8.8", "10.9", "12.9"};
    static const double mpa[] = {129, 162, 190};
    for (int i = 0; i < 3; i++) {
        assert_true(snub_bolt_class_find(metric[i], 0.016, &c));
        assert_near(metric[i], c.endurance / 1e6, mpa[i], 1e-9, "MPa");
    }
}

/* ISO 273, medium series: M6 to M12 as read. */
static void clearance_holes(void **state)
{
    (void)state;
    static const double want[][2] = {{6, 6.6}, {8, 9}, {10, 11}, {12, 13.5}};
    for (int i = 0; i < 4; i++)
        assert_near("hole", snub_clearance_hole(want[i][0] * 1e-3) * 1e3, want[i][1], 1e-9, "mm");
    assert_near("3/8 in", snub_clearance_hole(0.375 * INCH), 1.1 * 0.375 * INCH, 1e-12, "m");
}

/* Least engagement, read on p. 677 of a book whose title was not kept: no better than a rule of thumb. */
static void engagement(void **state)
{
    (void)state;
    static const char *const metals[] = {"steel", "grey-iron", "aluminium"};
    static const double want[3][3] = {{0.9, 1.0, 1.2}, {1.0, 1.25, 1.4}, {2.0, 2.5, 2.5}};
    static const double strength[3][2] = {{800e6, 830e6}, {900e6, 1043e6}, {1050e6, 1220e6}};
    bool listed;
    for (int i = 0; i < 3; i++) {
        for (int k = 0; k < 3; k++) {
            for (int end = 0; end < 2; end++) {
                assert_near(metals[i], snub_engagement(metals[i], strength[k][end], &listed), want[i][k], 0, "d");
                /* 12.9 into aluminium is not in the table: it needs what 10.9 does, and that may not do */
                assert_int_equal(listed, !(i == 2 && k == 2));
            }
        }
        assert_near(metals[i], snub_engagement(metals[i], 1300e6, &listed), want[i][2], 0, "d");
        assert_false(listed);
    }
    assert_near("SAE 5", snub_engagement("steel", 120e3 * 4.4482216152605 / (INCH * INCH), &listed), 0.9, 0, "d");
    assert_near("SAE 8", snub_engagement("steel", 150e3 * 4.4482216152605 / (INCH * INCH), &listed), 1.0, 0, "d");
    assert_near("none", snub_engagement("wood", 800e6, &listed), 0, 0, "d");
    assert_false(listed);
}

/* pi/4 (d - 0.9382 p)^2 of ISO 898-1 to three decimals (derived). */
static void areas(void **state)
{
    (void)state;
    static const double want[][3] = {
        {6, 1, 20.123}, {8, 1.25, 36.608}, {10, 1.5, 57.989}, {12, 1.75, 84.266}, {14, 2, 115.439}};
    for (int i = 0; i < 5; i++)
        assert_near("As", snub_stress_area(want[i][0] * 1e-3, want[i][1] * 1e-3) * 1e6, want[i][2], 6e-4, "mm2");
}

/* Table of torques for a total friction of 0.14 (read, title not kept: no better than a rule of thumb; lightly oiled):
 * T = K Fi d at K 0.18, Fi 75 % of proof lies within a fifth of it. */
static void torque_table(void **state)
{
    (void)state;
    static const struct row {
        const char *name;
        double torque[3];
    } rows[] = {{"M6", {10, 15, 18}},
                {"M8", {25, 36, 43}},
                {"M10", {49, 72, 84}},
                {"M12", {85, 125, 145}},
                {"M14", {135, 200, 235}}};
    static const char *const names[] = {"8.8", "10.9", "12.9"};
    for (int i = 0; i < 5; i++) {
        double d, p;
        assert_true(snub_thread_find(rows[i].name, &d, &p));
        for (int k = 0; k < 3; k++) {
            snub_bolt_class c;
            assert_true(snub_bolt_class_find(names[k], d, &c));
            const double torque = snub_bolt_torque(0.18, 0.75 * c.proof * snub_stress_area(d, p), d);
            assert_near(rows[i].name, torque, rows[i].torque[k], 0.2 * rows[i].torque[k], "N m");
        }
    }
}

/* Table 6-2 and eqs 6-19, 6-20, 6-29 (p. 345 as used): factors by name. */
static void marin(void **state)
{
    (void)state;
    double a, b;
    snub_marin_finish(SNUB_MACHINED, &a, &b);
    assert_near("a machined", a, 4.51, 0, "");
    assert_near("b machined", b, -0.265, 0, "");
    snub_marin_finish(SNUB_HOT_ROLLED, &a, &b);
    assert_near("a hot-rolled", a, 57.7, 0, "");
    assert_near("90 %", snub_marin_reliability(0.90), 0.897, 5e-4, "");
    assert_near("95 %", snub_marin_reliability(0.95), 0.868, 5e-4, "");
    assert_near("99 %", snub_marin_reliability(0.99), 0.814, 5e-4, "");
    assert_near("99.9 %", snub_marin_reliability(0.999), 0.753, 5e-4, "");
}

/* Examples 6-3 (520 MPa, machined) and 6-4 (32 mm in bending), eq. 6-8. Digits from memory, agree with a recomputation.
 */
static void endurance(void **state)
{
    (void)state;
    double a, b;
    snub_marin_finish(SNUB_MACHINED, &a, &b);
    assert_near("ka", snub_marin_surface(520e6, a, b), 0.860, 5e-4, "");
    /* (d/7.62)^-0.107 makes 0.858, 1.24 d^-0.107 makes 0.8558 */
    assert_near("kb", snub_marin_size(0.032), 0.858, 2.5e-3, "");
    assert_near("kb, recomputed", snub_marin_size(0.032), 0.8558, 5e-5, "");
    assert_near("kb of a thin one", snub_marin_size(0.0025), 1, 0, "");
    const snub_marin none = {1, 1, 1, 1, 1, 1}, all = {0.9, 0.8, 0.7, 0.6, 0.5, 0.4};
    assert_near("Se'", snub_endurance(1020e6, &none) / 1e6, 510, 1e-9, "MPa");
    assert_near("Se' has an end", snub_endurance(1800e6, &none) / 1e6, 700, 1e-9, "MPa");
    assert_near("factors multiply", snub_endurance(1000e6, &all) / 1e6, 500 * 0.06048, 1e-9, "MPa");
}

/* Goodman's line, 1/n = sa/Se + sm/Sut (eq. 6-46), at its ends and between them (derived). */
static void goodman(void **state)
{
    (void)state;
    assert_near("on the line", snub_goodman(50, 150, 100, 300), 1, 1e-12, "");
    assert_near("half way", snub_goodman(25, 75, 100, 300), 2, 1e-12, "");
    assert_near("alternating alone", snub_goodman(40, 0, 100, 300), 2.5, 1e-12, "");
    assert_near("mean alone", snub_goodman(0, 120, 100, 300), 2.5, 1e-12, "");
    assert_near("pressed", snub_goodman(40, -120, 100, 300), 2.5, 1e-12, "");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(example_8_7),     cmocka_unit_test(example_8_3), cmocka_unit_test(example_8_5),
        cmocka_unit_test(tables),          cmocka_unit_test(areas),       cmocka_unit_test(thread_endurance),
        cmocka_unit_test(clearance_holes), cmocka_unit_test(engagement),  cmocka_unit_test(torque_table),
        cmocka_unit_test(marin),           cmocka_unit_test(endurance),   cmocka_unit_test(goodman)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
