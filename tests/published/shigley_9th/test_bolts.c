/* Shigley's Mechanical Engineering Design, 9th ed. */
#include "drive/tables.h"
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
    /* pitch diameter 0.7093 in; derived from the long form with f = 0.15 */
    assert_near("torque, long form",
                snub_bolt_torque_long(25 * KIP, 0.75 * INCH, 0.7093 * INCH, INCH / 16, 0.15, 0.15) / (4.4482216 * INCH),
                3556, 15, "lbf in");
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
    assert_near("k1", snub_frustum_stiffness(l / 2, face, d, 30 * mpsi) / per, 46.46, 0.01, "Mlbf/in");
    assert_near("k2", snub_frustum_stiffness(steel - l / 2, wide, d, 30 * mpsi) / per, 197.43, 0.2, "Mlbf/in");
    assert_near("k3", snub_frustum_stiffness(iron, face, d, 16 * mpsi) / per, 32.394, 0.005, "Mlbf/in");
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
    assert_near("Sa Goodman", snub_bolt_strength(SNUB_GOODMAN, si, c.endurance, c.tensile) / KSI, 7.55, 0.005, "kpsi");
    assert_near("Sa Gerber", snub_bolt_strength(SNUB_GERBER, si, c.endurance, c.tensile) / KSI, 11.32, 0.02, "kpsi");
    assert_near("Sa to proof", (c.proof - si) / 2 / KSI, 10.64, 0.005, "kpsi");
    assert_near("nf Goodman", j.fatigue, 2.44, 0.005, "");
    assert_near("nf Gerber", snub_bolt_strength(SNUB_GERBER, si, c.endurance, c.tensile) / j.alternating, 3.66, 0.02,
                "");
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

/* Table of torques for a total friction of 0.14 (machine manual, lightly oiled): T = K Fi d at K 0.18, Fi 75 % of proof
 * lies within a fifth of it. */
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

/* Example 1-3: shouldered screw, w = a - b - c - d. */
static void example_1_3(void **state)
{
    (void)state;
    const double size[] = {1.75, 0.75, 0.12, 0.875}, tol[] = {0.003, 0.001, 0.005, 0.001}, by[] = {1, -1, -1, -1};
    const snub_spread w = snub_spread_sum(size, tol, by, 4);
    assert_near("mean", w.mean, 0.005, 1e-12, "in");
    assert_near("worst", w.worst, 0.010, 1e-12, "in");
    assert_near("most", w.mean + w.worst, 0.015, 1e-12, "in");
    assert_near("least", w.mean - w.worst, -0.005, 1e-12, "in");
    assert_near("d for a least gap of 0.003", size[3] - (0.003 - (w.mean - w.worst)), 0.867, 1e-12, "in");
    assert_near("rss", w.rss, 0.006, 1e-12, "in");
    assert_near("rss least", w.mean - w.rss, -0.001, 1e-12, "in");
    assert_near("rss most", w.mean + w.rss, 0.011, 1e-12, "in");
    /* derived: sd = tolerance / 3 */
    assert_near("P(w < 0)", 0.5 * erfc(w.mean / (w.rss / 3) / sqrt(2)), 0.00621, 5e-6, "");
    assert_near("P(w < 0.003)", 0.5 * erfc((w.mean - 0.003) / (w.rss / 3) / sqrt(2)), 0.158655, 5e-7, "");
    /* derived: ten equal parts of +-0.1 */
    double ones[10], tenths[10];
    for (int i = 0; i < 10; i++) {
        ones[i] = 1;
        tenths[i] = 0.1;
    }
    const snub_spread ten = snub_spread_sum(ones, tenths, NULL, 10);
    assert_near("ten parts, worst", ten.worst, 1.0, 1e-12, "");
    assert_near("ten parts, rss", ten.rss, 0.316228, 5e-7, "");
}

/* The same by sampling: 200000 screws, each dimension normal with sd = tolerance/3. Bands are four standard errors. */
static void example_1_3_sampled(void **state)
{
    (void)state;
    const double size[] = {1.75, 0.75, 0.12, 0.875}, tol[] = {0.003, 0.001, 0.005, 0.001}, by[] = {1, -1, -1, -1};
    enum { TRIALS = 200000 };
    uint64_t seed = 88172645463325252ULL;
    double sum = 0, squares = 0;
    int under = 0;
    for (int k = 0; k < TRIALS; k++) {
        double made[4];
        for (int i = 0; i < 4; i++) {
            double u[2];
            for (int j = 0; j < 2; j++) {
                seed ^= seed << 13;
                seed ^= seed >> 7;
                seed ^= seed << 17;
                u[j] = ((double)(seed >> 11) + 0.5) / 9007199254740992.0;
            }
            made[i] = size[i] + tol[i] / 3 * sqrt(-2 * log(u[0])) * cos(2 * SNUB_PI * u[1]);
        }
        const double w = snub_spread_sum(made, tol, by, 4).mean;
        sum += w;
        squares += (w - 0.005) * (w - 0.005);
        under += w < 0;
    }
    assert_near("mean", sum / TRIALS, 0.005, 2e-5, "in");
    assert_near("sd", sqrt(squares / TRIALS), 0.002, 2e-5, "in");
    assert_near("P(w < 0)", under / (double)TRIALS, 0.0062, 0.0007, "");
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

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(example_8_7),         cmocka_unit_test(example_8_3),
                                       cmocka_unit_test(example_8_5),         cmocka_unit_test(tables),
                                       cmocka_unit_test(torque_table),        cmocka_unit_test(example_1_3),
                                       cmocka_unit_test(example_1_3_sampled), cmocka_unit_test(marin)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
