/* Bolt groups: balance on random groups, moments that nothing carries, pads, order of frames. */
#include "snub/mount.h"
#include "support/near.h"

enum { TRIALS = 2000 };

static uint64_t seed = 0x2545F4914F6CDD1DULL;

static double between(double low, double high)
{
    seed ^= seed << 13;
    seed ^= seed >> 7;
    seed ^= seed << 17;
    return low + (high - low) * ((double)(seed >> 11) / 9007199254740992.0);
}

static int random_group(snub_group_bolt *bolts, bool pads)
{
    const int n = 3 + (int)between(0, 5.99);
    for (int i = 0; i < n; i++)
        bolts[i] = (snub_group_bolt){{between(-0.2, 0.3), between(-0.1, 0.4)},
                                     between(2e-5, 2e-4),
                                     pads ? between(0.012, 0.03) : 0,
                                     pads ? 0.009 : 0};
    return n;
}

static snub_wrench random_wrench(void)
{
    snub_wrench w = {{0}, {0}};
    for (int k = 0; k < 3; k++) {
        double force[3], at[3];
        for (int i = 0; i < 3; i++) {
            force[i] = between(-3000, 3000);
            at[i] = between(-0.3, 0.3);
        }
        snub_wrench_add(&w, force, at);
    }
    return w;
}

/* Sum of forces and of moments over the bolts, against the load, relative to the sum of sizes. */
static void balance(const snub_group_bolt *bolts, int n, const snub_wrench *w, const snub_group_share *s)
{
    double force[3] = {0}, moment[3] = {0}, size = 0;
    for (int i = 0; i < n; i++) {
        const double x = bolts[i].at[0], y = bolts[i].at[1], f[3] = {s[i].shear[0], s[i].shear[1], s[i].pull};
        for (int k = 0; k < 3; k++) {
            force[k] += f[k];
            size += fabs(f[k]);
        }
        size += fabs(s[i].own[0]) + fabs(s[i].own[1]);
        moment[0] += y * f[2] + s[i].own[0];
        moment[1] += -x * f[2] + s[i].own[1];
        moment[2] += x * f[1] - y * f[0];
    }
    for (int k = 0; k < 3; k++) {
        assert_near("force", force[k], w->force[k], 1e-9 * size, "N");
        assert_near("moment", moment[k], w->moment[k], 1e-9 * size, "N m");
    }
}

static void random_groups(void **state)
{
    (void)state;
    for (int k = 0; k < TRIALS; k++) {
        snub_group_bolt bolts[16];
        snub_group_share share[16];
        const int n = random_group(bolts, k % 2 == 1);
        const snub_wrench w = random_wrench();
        assert_int_equal(snub_group_share_out(bolts, n, &w, share, NULL), SNUB_OK);
        balance(bolts, n, &w, share);
        for (int i = 0; i < n; i++)
            assert_true(share[i].edge_pull >= share[i].pull - 1e-9);
    }
}

/* Twice the area in one place is two bolts there. */
static void unequal_areas(void **state)
{
    (void)state;
    const snub_group_bolt three[3] = {{{0, 0}, 2e-4, 0, 0}, {{0.1, 0}, 1e-4, 0, 0}, {{0.03, 0.08}, 1e-4, 0, 0}};
    const snub_group_bolt four[4] = {
        {{0, 0}, 1e-4, 0, 0}, {{0, 0}, 1e-4, 0, 0}, {{0.1, 0}, 1e-4, 0, 0}, {{0.03, 0.08}, 1e-4, 0, 0}};
    snub_group_share a[3], b[4];
    const snub_wrench w = random_wrench();
    assert_int_equal(snub_group_share_out(three, 3, &w, a, NULL), SNUB_OK);
    assert_int_equal(snub_group_share_out(four, 4, &w, b, NULL), SNUB_OK);
    assert_near("shear", a[0].shear[0], b[0].shear[0] + b[1].shear[0], 1e-8, "N");
    assert_near("pull", a[0].pull, b[0].pull + b[1].pull, 1e-8, "N");
    assert_near("other", a[2].pull, b[3].pull, 1e-8, "N");
}

static void turned_frame(void **state)
{
    (void)state;
    snub_group_bolt bolts[16], turned[16];
    snub_group_share a[16], b[16];
    const int n = random_group(bolts, true);
    const double c = cos(0.7), s = sin(0.7);
    snub_wrench w = random_wrench(), v = w;
    for (int i = 0; i < n; i++) {
        turned[i] = bolts[i];
        turned[i].at[0] = c * bolts[i].at[0] - s * bolts[i].at[1];
        turned[i].at[1] = s * bolts[i].at[0] + c * bolts[i].at[1];
    }
    v.force[0] = c * w.force[0] - s * w.force[1];
    v.force[1] = s * w.force[0] + c * w.force[1];
    v.moment[0] = c * w.moment[0] - s * w.moment[1];
    v.moment[1] = s * w.moment[0] + c * w.moment[1];
    assert_int_equal(snub_group_share_out(bolts, n, &w, a, NULL), SNUB_OK);
    assert_int_equal(snub_group_share_out(turned, n, &v, b, NULL), SNUB_OK);
    for (int i = 0; i < n; i++) {
        assert_near("pull", b[i].pull, a[i].pull, 1e-8, "N");
        assert_near("shear", hypot(b[i].shear[0], b[i].shear[1]), hypot(a[i].shear[0], a[i].shear[1]), 1e-8, "N");
        assert_near("edge", b[i].edge_pull, a[i].edge_pull, 1e-8, "N");
    }
}

static void in_a_line(void **state)
{
    (void)state;
    snub_group_bolt bolts[3] = {{{0, 0}, 1e-4, 0, 0}, {{0.1, 0.05}, 1e-4, 0, 0}, {{0.2, 0.1}, 1e-4, 0, 0}};
    snub_group_share share[3];
    snub_error error;
    double along[2];
    assert_true(snub_group_in_line(bolts, 3, 1e-6, along));
    assert_near("along", fabs(along[0] * 0.2 + along[1] * 0.1), hypot(0.2, 0.1), 1e-12, "m");
    /* across the line the bolts pull; along it nothing does */
    snub_wrench w = {{0, 0, 0}, {-0.05, 0.1, 0}};
    const double u[2] = {0.2 / hypot(0.2, 0.1), 0.1 / hypot(0.2, 0.1)};
    w.moment[0] = -u[1] * 30;
    w.moment[1] = u[0] * 30;
    assert_int_equal(snub_group_share_out(bolts, 3, &w, share, NULL), SNUB_OK);
    balance(bolts, 3, &w, share);
    w.moment[0] = u[0] * 30;
    w.moment[1] = u[1] * 30;
    assert_int_equal(snub_group_share_out(bolts, 3, &w, share, &error), SNUB_BAD_INPUT);
    assert_string_equal(error.message, "the bolts are in a line and nothing carries the moment about it: 30 N m");
    for (int i = 0; i < 3; i++) {
        bolts[i].pad = 0.02;
        bolts[i].hole = 0.009;
    }
    assert_int_equal(snub_group_share_out(bolts, 3, &w, share, NULL), SNUB_OK);
    balance(bolts, 3, &w, share);
    bolts[1].at[1] += 0.01;
    assert_false(snub_group_in_line(bolts, 3, 1e-3, NULL));
    assert_true(snub_group_in_line(bolts, 2, 1e-9, NULL));
}

/* Lines that lie anyhow: bolts between the two ends, one of them beside the line. The chord of the ends is the line. */
static void beside_a_line(void **state)
{
    (void)state;
    for (int k = 0; k < TRIALS; k++) {
        snub_group_bolt bolts[6];
        const int n = 3 + k % 4;
        const double angle = between(-3, 3), u[2] = {cos(angle), sin(angle)}, length = between(0.02, 0.4);
        const double from[2] = {between(-0.3, 0.3), between(-0.3, 0.3)}, off = between(1e-4, 5e-3);
        double along[2];
        for (int i = 0; i < n; i++) {
            /* the ends stand first and last, or second and first; the bolt in the middle of the list is beside */
            const int place = k % 2 ? i : (i + n - 1) % n;
            const double t = place == 0 ? 0 : place == n - 1 ? length : length * between(0.2, 0.8);
            const double beside = place == 1 ? off : 0;
            bolts[i] =
                (snub_group_bolt){{from[0] + t * u[0] - beside * u[1], from[1] + t * u[1] + beside * u[0]}, 1e-4, 0, 0};
        }
        assert_false(snub_group_in_line(bolts, n, 0.99 * off, NULL));
        assert_true(snub_group_in_line(bolts, n, 1.01 * off, along));
        assert_near("along", fabs(along[0] * u[0] + along[1] * u[1]), 1, 1e-12, "");
    }
}

static void one_bolt(void **state)
{
    (void)state;
    snub_group_bolt bolt = {{0.02, -0.01}, 5.8e-5, 0, 0};
    snub_group_share share;
    snub_error error;
    snub_wrench w = {{800, -300, 0}, {0, 0, 0}};
    w.moment[2] = 0.02 * -300 - -0.01 * 800; /* through the bolt */
    assert_int_equal(snub_group_share_out(&bolt, 1, &w, &share, NULL), SNUB_OK);
    assert_near("shear", hypot(share.shear[0], share.shear[1]), hypot(800, 300), 1e-9, "N");
    w.moment[2] += 5;
    assert_int_equal(snub_group_share_out(&bolt, 1, &w, &share, &error), SNUB_BAD_INPUT);
    assert_string_equal(error.message, "one bolt cannot hold the bracket against turning about it: 5 N m");
    w.moment[2] -= 5;
    w.moment[0] = 12;
    assert_int_equal(snub_group_share_out(&bolt, 1, &w, &share, &error), SNUB_BAD_INPUT);
    assert_string_equal(error.message, "one bolt without a pad cannot carry a tilting moment: 12 N m");
    /* with a pad the least preload is the no-gap one of a clamped tube */
    bolt.pad = 0.025;
    bolt.hole = 0.0105;
    assert_int_equal(snub_group_share_out(&bolt, 1, &w, &share, NULL), SNUB_OK);
    assert_near("preload that keeps it shut", share.edge_pull, 12 / snub_no_gap_moment(1, 0.025, 0.0105), 1e-6, "N");
    assert_int_equal(snub_group_share_out(&bolt, 0, &w, &share, NULL), SNUB_BAD_INPUT);
    bolt.area = 0;
    assert_int_equal(snub_group_share_out(&bolt, 1, &w, &share, NULL), SNUB_BAD_INPUT);
}

/* Five bolts in one place are one bolt, whatever rounding makes of their middle. */
static void in_one_place(void **state)
{
    (void)state;
    snub_group_bolt bolts[5];
    snub_group_share share[5];
    for (int i = 0; i < 5; i++)
        bolts[i] = (snub_group_bolt){{-0.3, -0.3}, 1e-4 + 1e-5 * i, 0, 0};
    snub_wrench w = {{300, 0, 0}, {0, 0, 50}};
    assert_int_equal(snub_group_share_out(bolts, 5, &w, share, NULL), SNUB_BAD_INPUT);
    w.moment[2] = 0.3 * 300;
    assert_int_equal(snub_group_share_out(bolts, 5, &w, share, NULL), SNUB_OK);
    balance(bolts, 5, &w, share);
    w.moment[0] = 7;
    assert_int_equal(snub_group_share_out(bolts, 5, &w, share, NULL), SNUB_BAD_INPUT);
}

/* The stress of the clamp and of bending cancel at the fibre. */
static void no_gap(void **state)
{
    (void)state;
    const double d = 0.03, hole = 0.011, preload = 20e3, moment = snub_no_gap_moment(preload, d, hole);
    assert_near("fibre", moment * d / 2 / snub_annulus_inertia(d, hole), preload / snub_annulus_area(d, hole), 1e-3,
                "Pa");
}

/* A load below zero pulls nothing; a fluctuating one moves along the load line. */
static void bolt_loads(void **state)
{
    (void)state;
    snub_bolt_load load = {10e3, 14e3, -500, -100};
    snub_bolt_joint j = snub_bolt_judge(0.3, 5e-5, 580e6, 129e6, 800e6, &load);
    assert_true(isinf(j.separate) && isinf(j.fatigue) && isinf(j.overload));
    assert_near("bolt", j.bolt, 14e3, 1e-9, "N");
    load.low = 1000;
    load.high = 3000;
    j = snub_bolt_judge(0.3, 5e-5, 580e6, 129e6, 800e6, &load);
    assert_near("clamp", j.member, 10e3 - 0.7 * 3000, 1e-9, "N");
    assert_near("alternating", j.alternating, 0.3 * 1000 / 5e-5, 1e-3, "Pa");
    assert_near("mean", j.mean, (14e3 + 0.3 * 2000) / 5e-5, 1e-3, "Pa");
    /* on the Goodman line: sa/Se + sm/Sut = 1 at n times the load, preload standing */
    const double sa = j.fatigue * j.alternating, si = 14e3 / 5e-5, sm = si + j.fatigue * (j.mean - si);
    assert_near("on the line", sa / 129e6 + sm / 800e6, 1, 1e-12, "");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(random_groups), cmocka_unit_test(unequal_areas), cmocka_unit_test(turned_frame),
        cmocka_unit_test(in_a_line),     cmocka_unit_test(beside_a_line), cmocka_unit_test(one_bolt),
        cmocka_unit_test(no_gap),        cmocka_unit_test(in_one_place),  cmocka_unit_test(bolt_loads)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
