/* The three-pulley drive: crank, tensioner on the belt's back, driven pulley. Its inputs (centres, radii, pivot, belt
 * and spring) are those of a published prototype: R. S. Beikmann, N. C. Perkins, A. G. Ulsoy, Free vibration of
 * serpentine belt drive systems, J. Vibration and Acoustics 118 (1996), from memory. What is expected of them is
 * derived: two computations that share nothing agree on it (touch points from tangency and from a search for the
 * stationary length; statics in two conventions).
 *
 * Conventions of its statics: spring k (theta - theta_s) with P = 300 N at theta = 0 at rest; tractive tensions in the
 * arm's balance; the driven pulley's torque Q raises span 3. The belt has its natural length at 300 N. `whole` counts
 * arcs in the stretch, as the program does; `span` counts free spans only. Both take the lengths that stretch from
 * theta = 0, where the program takes those of the position itself: `held` repeats the former, and the program must come
 * as near as that difference allows. */
#include "balance/expand.h"
#include "support/drive_text.h"
#include "support/plain_drive.h"

static const double DEG = SNUB_PI / 180, STIFFNESS = 170000, MASS = 0.1029, SPRING = 54.37, P0 = 300;
static const double CENTRE[3][2] = {{0.5525, 0.0556}, {0.3477, 0.05715}, {0, 0}};
static const double RADIUS[3] = {-0.0889, 0.0452, -0.02697}; /* the crank turns counter-clockwise */
static const double PIVOT[2] = {0.2508, 0.0635};
static const double THETA_S = -20.73221808, LEVER = 0.06557846010668555;

/* Lay it at an arm angle theta [rad] from the given place. */
static snub_path lay_at(double theta)
{
    double centre[3][2];
    memcpy(centre, CENTRE, sizeof centre);
    const double x = CENTRE[1][0] - PIVOT[0], y = CENTRE[1][1] - PIVOT[1];
    centre[1][0] = PIVOT[0] + x * cos(theta) - y * sin(theta);
    centre[1][1] = PIVOT[1] + x * sin(theta) + y * cos(theta);
    snub_path path;
    assert_int_equal(snub_path_lay(3, (const double(*)[2])centre, RADIUS, -1.0, &path, NULL), SNUB_OK);
    return path;
}

static void geometry(void **state)
{
    (void)state;
    const snub_path path = lay_at(0);
    static const double spans[3] = {0.15479868, 0.3448955, 0.55182632};
    static const double wraps[3] = {221.12514485, 42.95301803, 181.82787318};
    static const double leave[3][2] = {{0.49480146, 0.12323201}, {0.34574046, 0.0119925}, {-0.00030917, -0.02696823}};
    static const double enter[3][2] = {{0.37703604, 0.02276342}, {0.00116922, 0.02694464}, {0.55148088, -0.03329416}};
    for (int i = 0; i < 3; i++) {
        double p[2], q[2];
        assert_near("span", path.span[i], spans[i], 6e-9, "m");
        assert_near("wrap", path.wrap[i] / DEG, wraps[i], 6e-9, "deg");
        snub_path_leave(&path, i, p);
        snub_path_enter(&path, (i + 1) % 3, q);
        for (int k = 0; k < 2; k++) {
            assert_near("leaves", p[k], leave[i][k], 6e-9, "m");
            assert_near("enters", q[k], enter[i][k], 6e-9, "m");
        }
    }
    assert_near("length", path.length, 1.5140920831022089, 1e-14, "m");
    assert_near("signed wraps", path.wrap[0] - path.wrap[1] + path.wrap[2], 2 * SNUB_PI, 1e-14, "rad");
}

static void lever_and_its_change(void **state)
{
    (void)state;
    const double h = 1e-4, less = lay_at(-h).length, same = lay_at(0).length, more = lay_at(h).length;
    assert_near("dL/dtheta", (more - less) / (2 * h), -LEVER, 1e-9, "m");
    assert_near("d2L/dtheta2", (more - 2 * same + less) / (h * h), 0.03113109769969924, 1e-6, "m");
    assert_near("spring's zero", -P0 * LEVER / SPRING / DEG, -20.73221808578327, 1e-8, "deg");
}

typedef struct static_case {
    double torque, speed, theta_deg, slack, tight, friction;
} static_case;

static const static_case whole[] = {
    {0, 0, 0.0, 300.0, 300.0, 0},
    {0, 10, -0.07072949475301675, 309.0920685406097, 309.0920685406097, 0},
    {0, 20, -0.28281104209661756, 336.38606671198, 336.38606671198, 0},
    {0, 30, -0.6359328146808264, 381.93395101242334, 381.93395101242334, 0},
    {0, 40, -1.1296052745125678, 445.8176699187288, 445.8176699187288, 0},
    {5, 0, -0.6441823674059609, 289.1868290676857, 474.5780044477376, 0.1560906954880134},
    {5, 20, -0.9263702323679195, 325.67683836485975, 511.06801374491164, 0.1581047120512089},
    {10, 0, -1.2869765283867574, 278.60565885994157, 649.3880096200453, 0.2666564803478239},
};
static const static_case span_only[] = {
    {0, 0, 0.0, 300.0, 300.0, 0},
    {0, 10, -0.05093482912212664, 309.4270558712983, 309.4270558712983, 0},
    {0, 20, -0.20366349839335793, 337.71782481254974, 337.71782481254974, 0},
    {0, 30, -0.4579632042997947, 384.9005376670579, 384.9005376670579, 0},
    {0, 40, -0.8134780883418261, 451.0203718954345, 451.0203718954345, 0},
    {5, 0, -0.4810858348161236, 291.90419119077546, 477.29536657082735, 0.1549426960467018},
    {5, 20, -0.6842862564990891, 329.68071974381417, 515.071895123866, 0.15637475959624755},
    {10, 0, -0.961095934154186, 283.9448718174669, 654.7272225775707, 0.26325504634852215},
};
enum { CASES = sizeof whole / sizeof whole[0] };

/* Unbalance of the arm in the check's own convention: the lengths that stretch are held at theta = 0. */
static double unbalance_held(const static_case *c, bool arcs, double theta, double *slack)
{
    const snub_path path = lay_at(theta), first = lay_at(0);
    const double rise = c->torque / fabs(RADIUS[2]), flux = MASS * c->speed * c->speed;
    double length = first.span[0] + first.span[1] + first.span[2], loaded = rise * first.span[2];
    if (arcs) {
        length = first.length;
        loaded += rise / 2 * (fabs(RADIUS[2]) * first.wrap[2] + fabs(RADIUS[0]) * first.wrap[0]);
    }
    *slack = P0 + (STIFFNESS * (path.length - first.length) - loaded) / length;
    const double pull = *slack - flux, x = path.centre[1][0] - PIVOT[0], y = path.centre[1][1] - PIVOT[1];
    const double fx = pull * (path.u[1][0] - path.u[0][0]), fy = pull * (path.u[1][1] - path.u[0][1]);
    return SPRING * (theta - THETA_S * DEG) - (x * fy - y * fx);
}

static void check_held(const static_case *c, bool arcs)
{
    double low = -0.1, high = 0.1, slack;
    for (int i = 0; i < 100; i++) {
        const double middle = (low + high) / 2;
        *(unbalance_held(c, arcs, middle, &slack) < 0 ? &low : &high) = middle;
    }
    assert_near("theta, held lengths", low / DEG, c->theta_deg, 1e-7, "deg");
    assert_near("slack side, held lengths", slack, c->slack, 3e-6, "N");
    const double flux = MASS * c->speed * c->speed, tight = slack + c->torque / fabs(RADIUS[2]);
    assert_near("tight side, held lengths", tight, c->tight, 3e-6, "N");
    if (c->torque > 0) {
        /* over the wrap at theta = 0, as its lengths */
        const double wrap = lay_at(0).wrap[2];
        assert_near("friction needed", snub_grip(tight - flux, slack - flux, 1, wrap), c->friction, 2e-9, "");
    }
}

static void statics_held(void **state)
{
    (void)state;
    for (int i = 0; i < CASES; i++) {
        check_held(&whole[i], true);
        check_held(&span_only[i], false);
    }
}

/* The drive as a file, at radii that be and cord to back make. */
static const char *const text =
    "snub: 1\ntitle: three pulleys\n"
    "belt: {ribs: 1, be: 2, back: 1.5, mass: 0.1029, stiffness: 170000, measuring_force: 600, length: 1500}\n"
    "pulleys:\n"
    "  - {name: crank, role: crank, turns: ccw, at: [552.5, 55.6], diameter: 173.8}\n"
    "  - name: tensioner\n    side: back\n    diameter: 87.4\n"
    "    arm: {pivot: [250.8, 63.5], length: 97.10783953934923, free: -24.48153421, loads: ccw, travel: 40, preload: "
    "0,\n"
    "          rate: 54.37 N m/rad}\n"
    "  - {name: driven, at: [0, 0], diameter: 49.94}\n";

static void solve_text(const static_case *c, snub_balance *b)
{
    drive_text t;
    snub_rig rig;
    snub_equilibrium e;
    drive_text_open(&t, text);
    snub_case wanted = {.engine_speed = c->speed / 0.0889, .belt_length = lay_at(0).length};
    wanted.torque[2] = c->torque;
    assert_int_equal(snub_rig_prepare(&t.drive, NULL, &rig, NULL), SNUB_OK);
    assert_int_equal(snub_solve(&rig, &wanted, &e, NULL), SNUB_OK);
    assert_int_equal(e.arm, SNUB_ARM_FREE);
    snub_expand(&t.drive, &rig, &wanted, &e, b);
    drive_text_close(&t);
}

/* The program: whole belt, at the lengths of the position. Those differ from the lengths at theta = 0 by theta lever,
 * that is by up to 1e-3 of the length, and so does the change of tension. */
static void statics_of_the_program(void **state)
{
    (void)state;
    for (int i = 0; i < CASES; i++) {
        snub_balance b;
        solve_text(&whole[i], &b);
        const double change = 1.5e-3 * (fabs(whole[i].tight - P0) + fabs(whole[i].slack - P0)) + 1e-5;
        const double theta = b.equilibrium.wind / DEG + THETA_S;
        assert_near("theta", theta, whole[i].theta_deg, 1.5e-3 * fabs(whole[i].theta_deg) + 1e-7, "deg");
        assert_near("slack side", b.span_tension[0], whole[i].slack, change, "N");
        assert_near("beside the arm", b.span_tension[1], whole[i].slack, change, "N");
        assert_near("tight side", b.span_tension[2], whole[i].tight, change, "N");
        /* The check takes the wrap at theta = 0; the driven pulley's grows by a thousandth as the arm goes out. */
        const double friction = b.pulley[2].grip_design * 0.4413 * b.path.wrap[2] / lay_at(0).wrap[2];
        assert_near("friction needed", friction, whole[i].friction, 2e-5, "");
        /* Arcs are counted: that is told apart from the other convention by far more than the tolerance. */
        if (whole[i].speed > 0 || whole[i].torque > 0) {
            assert_true(fabs(theta - span_only[i].theta_deg) > 0.2 * fabs(span_only[i].theta_deg));
            assert_true(fabs(b.span_tension[0] - span_only[i].slack) > 5 * change);
        }
    }
}

/* Share of m v^2 by which tension grows with belt speed, 1/(1 + k/(EA/l lever^2)...): 0.8834 with arcs, 0.9161 without.
 */
static void share_of_speed(void **state)
{
    (void)state;
    static const double at_whole[] = {0.8835829485529345, 0.8840152262385804, 0.884720343509592, 0.8856758376987903};
    static const double at_span[] = {0.9161375968219909, 0.9163708652222962, 0.9167534571542802, 0.9172763113182365};
    for (int i = 1; i <= 4; i++) {
        snub_balance b;
        solve_text(&whole[i], &b);
        const double share = (b.span_tension[0] - P0) / b.equilibrium.centrifugal;
        assert_near("share, arcs counted", share, at_whole[i - 1], 2e-4, "");
        assert_near("of the check itself", (whole[i].slack - P0) / (MASS * whole[i].speed * whole[i].speed),
                    at_whole[i - 1], 1e-9, "");
        assert_near("spans alone", (span_only[i].slack - P0) / (MASS * span_only[i].speed * span_only[i].speed),
                    at_span[i - 1], 1e-9, "");
    }
    /* For small changes: the belt's stiffness at the arm against that of spring and turning levers. */
    const double d2 = 0.03113109769969924, arm = SPRING + P0 * d2;
    const double belt_whole = STIFFNESS / 1.5140920831022089 * LEVER * LEVER;
    const double belt_span = STIFFNESS / (0.15479868 + 0.3448955 + 0.55182632) * LEVER * LEVER;
    assert_near("small, arcs counted", belt_whole / (belt_whole + arm), 0.8834372751976449, 1e-8, "");
    assert_near("small, spans alone", belt_span / (belt_span + arm), 0.9160592242981626, 1e-7, "");
}

/* Span 3 does not feel the arm: its string frequency at rest. */
static void span_3_frequency(void **state)
{
    (void)state;
    const double length = lay_at(0).span[2];
    assert_near("300 N", snub_span_frequency(&(snub_free_span){300, MASS, 0, 0, length}, 1), 48.923839772162516, 1e-8,
                "Hz");
    assert_near("136.5 N, print rounds the tension",
                snub_span_frequency(&(snub_free_span){136.5, MASS, 0, 0, length}, 1), 33.0, 0.005, "Hz");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(geometry),       cmocka_unit_test(lever_and_its_change),
        cmocka_unit_test(statics_held),   cmocka_unit_test(statics_of_the_program),
        cmocka_unit_test(share_of_speed), cmocka_unit_test(span_3_frequency),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
