/* What must hold of every equilibrium, on drives made by chance: forces, moments and power balance, the shape of the
 * answer does not depend on frame, mirror or unit, a longer belt never winds the arm further, friction helps, an engine
 * at rest pulls alike everywhere, and what is off limits gets a status, never a NaN. */
#include "support/near.h"
#include "support/random_drive.h"

enum { DRIVES = 200 };
/* Of the greatest force or moment. */
static const double BALANCE = 1e-9;

typedef struct run {
    plain_drive p;
    snub_rig rig;
    snub_case wanted;
    snub_equilibrium e;
    snub_balance b;
} run;

static snub_status again(run *r)
{
    snub_error error;
    const snub_status status = snub_solve(&r->rig, &r->wanted, &r->e, &error);
    if (status == SNUB_OK)
        snub_expand(&r->p.drive, &r->rig, &r->wanted, &r->e, &r->b);
    return status;
}

static void set_out(run *r)
{
    assert_int_equal(snub_rig_prepare(&r->p.drive, NULL, &r->rig, NULL), SNUB_OK);
    assert_int_equal(again(r), SNUB_OK);
}

/* A drive at some speed with some torque on its ribbed pulleys. */
static void random_run(chance *c, bool with_arm, run *r)
{
    memset(&r->wanted, 0, sizeof r->wanted);
    do {
        random_drive(c, with_arm, &r->p, &r->wanted.belt_length);
        r->wanted.engine_speed = chance_between(c, 0, 600);
        r->wanted.side = chance_whole(c, -1, 1);
        for (int i = 0; i < r->p.drive.pulley_count; i++) {
            if (i != r->p.drive.crank)
                r->wanted.torque[i] =
                    r->p.pulleys[i].side == SNUB_RIB ? chance_between(c, -2, 4) : chance_between(c, 0, 0.1);
        }
        assert_int_equal(snub_rig_prepare(&r->p.drive, NULL, &r->rig, NULL), SNUB_OK);
    } while (again(r) != SNUB_OK);
}

static double most(const run *r)
{
    double force = 1;
    for (int i = 0; i < r->rig.n; i++)
        force = fmax(force, fabs(r->b.span_tension[i]));
    return force;
}

/* The short way to the grips is the long one, to the bit. */
static void grips_alone(void **state)
{
    (void)state;
    chance c = {29};
    for (int k = 0; k < DRIVES; k++) {
        run r;
        double grip[SNUB_PULLEYS_MOST];
        random_run(&c, k % 3 != 0, &r);
        snub_design_grips(&r.p.drive, &r.rig, &r.e, grip);
        for (int i = 0; i < r.rig.n; i++)
            assert_memory_equal(&grip[i], &r.b.pulley[i].grip_design, sizeof(double));
    }
}

/* The pulleys carry all that the belt gives: their forces add to nothing, and with the torques so do the moments about
 * any point. Torque is counted in the pulley's own sense, so it turns with the sign of its radius; what a pulley
 * absorbs the belt gives. */
static void forces_and_moments(void **state)
{
    (void)state;
    chance c = {11};
    for (int k = 0; k < DRIVES; k++) {
        run r;
        random_run(&c, k % 3 != 0, &r);
        const double about[2] = {chance_between(&c, -1, 1), chance_between(&c, -1, 1)};
        double x = 0, y = 0, moment = 0;
        for (int i = 0; i < r.rig.n; i++) {
            const double *hub = r.b.pulley[i].hub, *at = r.b.path.centre[i];
            x += hub[0];
            y += hub[1];
            moment += (at[0] - about[0]) * hub[1] - (at[1] - about[1]) * hub[0];
            moment -= r.b.path.radius[i] > 0 ? r.b.pulley[i].torque : -r.b.pulley[i].torque; /* clockwise: negative */
        }
        assert_near("force along x", x, 0, BALANCE * most(&r), "N");
        assert_near("force along y", y, 0, BALANCE * most(&r), "N");
        assert_near("moment", moment, 0, BALANCE * most(&r), "N m");
    }
}

static void power(void **state)
{
    (void)state;
    chance c = {12};
    for (int k = 0; k < DRIVES; k++) {
        run r;
        random_run(&c, k % 3 != 0, &r);
        double sum = 0, size = 1;
        for (int i = 0; i < r.rig.n; i++) {
            const snub_pulley_state *s = &r.b.pulley[i];
            assert_true(s->speed * r.b.path.radius[i] >= 0);
            assert_near("rim speed", fabs(s->speed * r.b.path.radius[i]), r.e.belt_speed, 1e-12 * r.e.belt_speed,
                        "m/s");
            sum += s->torque * fabs(s->speed);
            size += fabs(s->torque * s->speed);
        }
        assert_near("power", sum, 0, BALANCE * size, "W");
    }
}

/* The arm, written out once more from hub load and centre. */
static void arm_balances(void **state)
{
    (void)state;
    chance c = {13};
    int free = 0;
    for (int k = 0; k < DRIVES; k++) {
        run r;
        random_run(&c, true, &r);
        const snub_arm *arm = &r.p.pulleys[1].arm;
        const double *at = r.b.path.centre[1], *hub = r.b.pulley[1].hub;
        const double belt = arm->loads * ((at[0] - arm->pivot[0]) * hub[1] - (at[1] - arm->pivot[1]) * hub[0]);
        const double spring = arm->preload + arm->rate * r.e.wind;
        const double held = spring * (1 + r.wanted.side * arm->damping);
        const double size = BALANCE * (fabs(held) + most(&r) * arm->length);
        assert_near("spring moment, middle of the band", r.b.spring_moment, spring, 1e-12 * fabs(spring), "N m");
        if (r.e.arm == SNUB_ARM_FREE) {
            free++;
            assert_near("moment about the pivot", belt, held, size, "N m");
            assert_true(r.e.wind >= 0 && r.e.wind <= arm->travel);
        } else if (r.e.arm == SNUB_ARM_AT_STOP) {
            assert_true(belt > held - size && r.e.wind == arm->travel);
        } else {
            assert_true(belt < held + size && r.e.wind == 0);
        }
    }
    assert_true(free > DRIVES / 2);
}

/* The belt, integrated over the path, is as long as it was made. The integral walks the path in small steps. */
static void length_balances(void **state)
{
    (void)state;
    chance c = {14};
    for (int k = 0; k < DRIVES; k++) {
        run r;
        random_run(&c, k % 3 != 0, &r);
        const double ea = r.p.drive.belt.stiffness, tm = r.p.drive.belt.measuring_tension;
        double made = 0;
        for (int i = 0; i < r.rig.n; i++) {
            const double in = r.b.pulley[i].entry, out = r.b.pulley[i].exit;
            const double arc = fabs(r.b.path.radius[i]) * r.b.path.wrap[i];
            made += r.b.path.span[i] * (1 - (out - tm) / ea);
            enum { PARTS = 16 };
            for (int j = 0; j < PARTS; j++) /* tension grows evenly over the arc: its mean is that of both sides */
                made += arc / PARTS * (1 - (in + (out - in) * (j + 0.5) / PARTS - tm) / ea);
            assert_near("raised by the torque", out - in, r.b.pulley[i].torque / fabs(r.b.path.radius[i]),
                        BALANCE * most(&r), "N");
        }
        assert_near("length of the belt", made, r.wanted.belt_length, 1e-13, "m");
    }
}

/* Same drive seen in a turned and shifted frame, and in a mirror with a crank that turns the other way. */
static void frame_and_mirror(void **state)
{
    (void)state;
    chance c = {15};
    for (int k = 0; k < DRIVES; k++) {
        run r;
        random_run(&c, true, &r);
        const double turn = chance_between(&c, -3, 3), x = chance_between(&c, -1, 1);
        run t = r, m = r;
        t.p.drive.pulleys = t.p.pulleys;
        m.p.drive.pulleys = m.p.pulleys;
        m.p.drive.turn = -1;
        for (int i = 0; i < r.rig.n; i++) {
            double *points[2] = {t.p.pulleys[i].at, t.p.pulleys[i].arm.pivot};
            for (int j = 0; j < 2; j++) {
                const double px = points[j][0], py = points[j][1];
                points[j][0] = x + cos(turn) * px - sin(turn) * py;
                points[j][1] = 2 * x + sin(turn) * px + cos(turn) * py;
            }
            m.p.pulleys[i].at[0] *= -1;
        }
        t.p.pulleys[1].arm.free += turn;
        snub_arm *arm = &m.p.pulleys[1].arm;
        arm->pivot[0] *= -1;
        arm->free = SNUB_PI - arm->free;
        arm->loads *= -1;
        set_out(&t);
        set_out(&m);
        const double tolerance = 1e-7 * most(&r); /* 1e-16 m of rounding in the length is 1e-11 of EA */
        for (int i = 0; i < r.rig.n; i++) {
            const double *hub = r.b.pulley[i].hub;
            assert_near("tension, turned", t.b.span_tension[i], r.b.span_tension[i], tolerance, "N");
            assert_near("tension, mirrored", m.b.span_tension[i], r.b.span_tension[i], tolerance, "N");
            assert_near("hub, turned", t.b.pulley[i].hub[0], cos(turn) * hub[0] - sin(turn) * hub[1], tolerance, "N");
            assert_near("hub x, mirrored", m.b.pulley[i].hub[0], -hub[0], tolerance, "N");
            assert_near("hub y, mirrored", m.b.pulley[i].hub[1], hub[1], tolerance, "N");
            assert_near("speed, mirrored", m.b.pulley[i].speed, -r.b.pulley[i].speed, 1e-9, "rad/s");
            assert_near("torque, mirrored", m.b.pulley[i].torque, r.b.pulley[i].torque, tolerance, "N m");
        }
        assert_near("wind, turned", t.e.wind, r.e.wind, 1e-9, "rad");
        assert_near("wind, mirrored", m.e.wind, r.e.wind, 1e-9, "rad");
    }
}

/* The list of pulleys may begin anywhere in the belt's order. */
static void list_begins_anywhere(void **state)
{
    (void)state;
    chance c = {31};
    for (int k = 0; k < DRIVES; k++) {
        run r;
        random_run(&c, k % 4 != 0, &r);
        const int n = r.rig.n, by = chance_whole(&c, 1, n - 1);
        run t = r;
        t.p.drive.pulleys = t.p.pulleys;
        for (int i = 0; i < n; i++) {
            t.p.pulleys[(i + by) % n] = r.p.pulleys[i];
            t.wanted.torque[(i + by) % n] = r.wanted.torque[i];
        }
        t.p.drive.crank = (r.p.drive.crank + by) % n;
        t.p.drive.arm = r.p.drive.arm >= 0 ? (r.p.drive.arm + by) % n : -1;
        set_out(&t);
        const double tolerance = 1e-7 * most(&r);
        for (int i = 0; i < n; i++) {
            const int there = (i + by) % n;
            assert_near("tension", t.b.span_tension[there], r.b.span_tension[i], tolerance, "N");
            assert_near("hub x", t.b.pulley[there].hub[0], r.b.pulley[i].hub[0], tolerance, "N");
            assert_near("hub y", t.b.pulley[there].hub[1], r.b.pulley[i].hub[1], tolerance, "N");
            assert_near("wrap", t.b.path.wrap[there], r.b.path.wrap[i], 1e-9, "rad");
        }
        assert_near("wind", t.e.wind, r.e.wind, 1e-9, "rad");
        assert_int_equal(t.e.arm, r.e.arm);
    }
}

/* In another unit of length, and another of force, the same drive. */
static void scaled_units(void **state)
{
    (void)state;
    chance c = {16};
    for (int k = 0; k < DRIVES; k++) {
        run r;
        random_run(&c, true, &r);
        const double l = chance_between(&c, 0.01, 100), f = chance_between(&c, 0.01, 100);
        run s = r;
        s.p.drive.pulleys = s.p.pulleys;
        for (int i = 0; i < r.rig.n; i++) {
            snub_pulley *p = &s.p.pulleys[i];
            p->at[0] *= l;
            p->at[1] *= l;
            p->pitch_radius *= l;
            p->arm.pivot[0] *= l;
            p->arm.pivot[1] *= l;
            s.wanted.torque[i] *= f * l;
        }
        s.p.pulleys[1].arm.length *= l;
        s.p.pulleys[1].arm.preload *= f * l;
        s.p.pulleys[1].arm.rate *= f * l;
        s.p.drive.belt.stiffness *= f;
        s.p.drive.belt.measuring_tension *= f;
        s.p.drive.belt.mass *= f / (l * l); /* m v^2 is a force */
        s.wanted.belt_length *= l;
        set_out(&s);
        assert_near("wind", s.e.wind, r.e.wind, 1e-9, "rad");
        for (int i = 0; i < r.rig.n; i++) {
            assert_near("tension", s.b.span_tension[i] / f, r.b.span_tension[i], 1e-7 * most(&r), "N");
            if (isfinite(r.b.pulley[i].grip_design) && r.b.pulley[i].grip_design < 5)
                assert_near("grip", s.b.pulley[i].grip_design, r.b.pulley[i].grip_design, 1e-5, "");
            if (r.b.span_frequency[i] > 1)
                assert_near("frequency", s.b.span_frequency[i], r.b.span_frequency[i], 1e-5 * r.b.span_frequency[i],
                            "Hz");
        }
    }
}

/* From a belt that holds the arm at its stop to one that is too long: wind never grows, and neither does tension while
 * the spring rules. Each step is less than the arm's path. */
static void longer_belt_never_winds_further(void **state)
{
    (void)state;
    chance c = {17};
    for (int k = 0; k < 60; k++) {
        run r;
        random_run(&c, true, &r);
        const double middle = r.wanted.belt_length;
        double last = INFINITY;
        snub_arm_state arm = SNUB_ARM_AT_STOP;
        for (int step = -200; step <= 200; step++) {
            r.wanted.belt_length = middle * (1 + step * 1e-4);
            if (again(&r) != SNUB_OK)
                break;
            if (r.e.past_dead_point || r.e.equilibria > 1)
                break; /* not one branch any more */
            assert_true(r.e.wind <= last);
            /* at stop, then free, then at rest: never back */
            assert_false(arm == SNUB_ARM_AT_REST && r.e.arm != SNUB_ARM_AT_REST);
            assert_false(arm == SNUB_ARM_FREE && r.e.arm == SNUB_ARM_AT_STOP);
            last = r.e.wind;
            arm = r.e.arm;
        }
        assert_true(last < INFINITY);
    }
}

/* The inverse: the belt for a wind balances there. */
static void length_for_wind_is_the_inverse(void **state)
{
    (void)state;
    chance c = {18};
    int seen = 0;
    for (int k = 0; k < DRIVES; k++) {
        run r;
        random_run(&c, true, &r);
        if (r.e.arm != SNUB_ARM_FREE || r.e.past_dead_point)
            continue;
        double length;
        assert_true(snub_length_for_wind(&r.rig, &r.wanted, r.e.wind, &length));
        assert_near("belt", length, r.wanted.belt_length, 1e-11, "m");
        seen++;
    }
    assert_true(seen > DRIVES / 2);
}

/* Newton's slope is the derivative: the error squares with each step, so that a first guess some 1e-4 of the cell off
 * needs one step and another that finds nothing left to do. With a slope that is off by some percent it takes many. */
static void newton_squares_the_error(void **state)
{
    (void)state;
    chance c = {29};
    int steps = 0, free = 0;
    for (int k = 0; k < DRIVES; k++) {
        run r;
        random_run(&c, true, &r);
        if (r.e.arm != SNUB_ARM_FREE) {
            assert_int_equal(r.e.steps, 0);
            continue;
        }
        steps += r.e.steps;
        free++;
    }
    print_message("%.3f steps\n", (double)steps / free);
    assert_in_range(steps, 1, (int)(2.4 * free)); /* 2.8 and more with any one term of the slope left out */
}

/* A spring that gives more holds the arm further out: wind falls from the lower to the upper edge of the band. */
static void friction_band_is_in_order(void **state)
{
    (void)state;
    chance c = {19};
    for (int k = 0; k < DRIVES; k++) {
        run r;
        double wind[3];
        random_run(&c, true, &r);
        int i = 0;
        for (int side = -1; side <= 1; side++) {
            r.wanted.side = side;
            if (again(&r) != SNUB_OK)
                break;
            wind[i++] = r.e.wind;
        }
        if (i == 3)
            assert_true(wind[0] >= wind[1] && wind[1] >= wind[2]);
    }
}

static void at_rest_all_spans_pull_alike(void **state)
{
    (void)state;
    chance c = {20};
    for (int k = 0; k < DRIVES; k++) {
        run r;
        random_run(&c, k % 2 == 0, &r);
        r.wanted.engine_speed = 0;
        memset(r.wanted.torque, 0, sizeof r.wanted.torque);
        if (again(&r) != SNUB_OK)
            continue;
        for (int i = 0; i < r.rig.n; i++) {
            assert_true(r.b.span_tension[i] == r.b.span_tension[0]);
            assert_near("torque", r.b.pulley[i].torque, 0, 0, "N m");
            assert_near("grip", r.b.pulley[i].grip_design, 0, 0, "");
            assert_near("speed", r.b.pulley[i].speed, 0, 0, "rad/s");
        }
        assert_near("no momentum", r.e.centrifugal, 0, 0, "N");
    }
}

static void grip(void **state)
{
    (void)state;
    double last = INFINITY;
    for (double friction = 0.05; friction < 3; friction *= 1.1) {
        const double used = snub_grip(800, 300, friction, 2.5);
        assert_true(used < last);
        assert_near("falls as 1/friction", used * friction, log(800.0 / 300) / 2.5, 1e-14, "");
        last = used;
    }
    assert_near("which side is tight does not matter", snub_grip(300, 800, 0.4, 2), snub_grip(800, 300, 0.4, 2), 0, "");
    assert_true(snub_grip(800, 300, 0.4, 2.5) > snub_grip(800, 300, 0.4, 2.6));
    assert_true(snub_grip(500, 500, 0.4, 2) == 0);
    assert_true(snub_grip(500, 0, 0.4, 2) == INFINITY);
    assert_true(snub_grip(500, -1, 0.4, 2) == INFINITY);
    assert_true(snub_grip(500, 400, 0.4, 0) == INFINITY);
    assert_true(snub_grip(0, 0, 0.4, 2) == 0);
}

/* Momentum takes grip away: the same tensions on a faster belt use more of it. */
static void speed_takes_grip(void **state)
{
    (void)state;
    chance c = {21};
    for (int k = 0; k < 50; k++) {
        run r;
        random_run(&c, false, &r);
        r.wanted.engine_speed = 1;
        if (again(&r) != SNUB_OK || r.b.pulley[0].grip_design == 0 || !isfinite(r.b.pulley[0].grip_design))
            continue;
        const double slow = r.b.pulley[0].grip_design, tension = r.b.span_tension[0];
        r.wanted.engine_speed = 300;
        if (again(&r) != SNUB_OK)
            continue;
        assert_near("a fixed drive's tension does not know the speed", r.b.span_tension[0], tension, 1e-9, "N");
        assert_true(r.b.pulley[0].grip_design > slow);
    }
}

static bool whole(const snub_balance *b, int n)
{
    bool good = isfinite(b->equilibrium.wind) && isfinite(b->equilibrium.tension) && isfinite(b->path.length);
    for (int i = 0; i < n && good; i++) {
        const snub_pulley_state *s = &b->pulley[i];
        good = isfinite(s->speed) && isfinite(s->creep) && isfinite(s->torque) && isfinite(s->entry) &&
               isfinite(s->exit) && isfinite(s->hub[0]) && isfinite(s->hub[1]) && !isnan(s->grip_design) &&
               !isnan(s->grip_limit) && !isnan(s->grip_wet) && isfinite(b->span_frequency[i]);
    }
    return good;
}

/* Speeds, torques, belts and springs far beyond any engine: a status or finite numbers. */
static void extremes(void **state)
{
    (void)state;
    static const double factor[] = {0, 1e-12, 1e-3, 1, 1e3, 1e12};
    chance c = {22};
    int answered = 0, refused = 0;
    for (int k = 0; k < 40; k++) {
        run first;
        random_run(&c, k % 4 != 0, &first);
        for (int i = 0; i < 6 * 6; i++) {
            run r = first;
            r.p.drive.pulleys = r.p.pulleys;
            const double a = factor[i / 6], b = factor[i % 6];
            switch (k % 5) {
            case 0:
                r.wanted.engine_speed *= a;
                r.wanted.torque[2] *= b;
                break;
            case 1:
                r.p.pulleys[1].arm.rate *= a;
                r.p.pulleys[1].arm.preload *= b;
                break;
            case 2:
                r.p.drive.belt.stiffness *= a + 1e-3;
                r.wanted.belt_length *= 1 + 0.01 * (b - 1);
                break;
            case 3:
                r.wanted.belt_length *= a;
                r.wanted.side = 0.5 * b;
                break;
            default:
                r.p.drive.belt.mass *= a + 1e-6;
                r.wanted.engine_speed *= b;
                break;
            }
            if (snub_rig_prepare(&r.p.drive, NULL, &r.rig, NULL) != SNUB_OK || again(&r) != SNUB_OK) {
                refused++;
                continue;
            }
            answered++;
            assert_true(whole(&r.b, r.rig.n));
        }
    }
    assert_true(answered > 200 && refused > 20);
}

/* ---- the ends of the travel ------------------------------------------------------------------------------------ */

/* Crank, an arm on the belt's back, one more pulley. */
static void three(plain_drive *p, double rest_deg, double travel_deg)
{
    const double centre[3][2] = {{0, 0}, {-0.0614, 0.1681}, {-0.02, 0.32}}, radius[3] = {0.077, -0.0365, 0.032};
    plain_drive_init(p, 3, centre, radius);
    p->drive.arm = 1;
    p->pulleys[1].sits = SNUB_ON_ARM;
    p->pulleys[1].arm = (snub_arm){.pivot = {-0.12, 0.075},
                                   .length = 0.11,
                                   .free = rest_deg * SNUB_PI / 180,
                                   .loads = 1,
                                   .travel = travel_deg * SNUB_PI / 180,
                                   .preload = 20,
                                   .rate = 23,
                                   .damping = 0.2};
    p->drive.belt.stiffness = 168000;
    p->drive.belt.measuring_tension = 300;
}

/* Where the belt lies only on a part of the travel, each equilibrium in that part is found, also next to its end, in
 * the cell of the table of which the other end has lost the belt. */
static void found_up_to_where_the_belt_is_lost(void **state)
{
    (void)state;
    chance c = {23};
    int in_a_cut_cell = 0;
    for (int k = 0; k < 400; k++) {
        run r;
        memset(&r.wanted, 0, sizeof r.wanted);
        random_drive(&c, true, &r.p, &r.wanted.belt_length);
        r.p.pulleys[1].arm.travel = 2.5;
        assert_int_equal(snub_rig_prepare(&r.p.drive, NULL, &r.rig, NULL), SNUB_OK);
        for (int cell = 0; cell < SNUB_WIND_GRID; cell++) {
            if (r.rig.grid[cell].valid == r.rig.grid[cell + 1].valid)
                continue;
            /* A belt made to balance in this cell, next to its good end. */
            const double step = r.rig.travel / SNUB_WIND_GRID;
            const double wind = r.rig.grid[cell].valid ? (cell + 0.02) * step : (cell + 0.98) * step;
            double further;
            if (!snub_length_for_wind(&r.rig, &r.wanted, wind, &r.wanted.belt_length) ||
                !snub_length_for_wind(&r.rig, &r.wanted, wind + 1e-4 * step, &further))
                continue;
            if (further > r.wanted.belt_length - 1e-8)
                continue; /* not stable: next to the dead point tension is so great that its lever rules */
            snub_path path;
            assert_int_equal(snub_drive_lay(&r.p.drive, wind, NULL, &path, NULL), SNUB_OK);
            if (1 - r.wanted.belt_length / path.length > 0.0199 - r.rig.measuring_tension / r.rig.stiffness)
                continue; /* strain is cut off at 2 % */
            assert_int_equal(again(&r), SNUB_OK);
            if (r.e.equilibria == 1) {
                assert_int_equal(r.e.arm, SNUB_ARM_FREE);
                assert_near("wind", r.e.wind, wind, 1e-8, "rad");
                in_a_cut_cell++;
            }
        }
    }
    print_message("%d equilibria in cells where the belt is lost on the way\n", in_a_cut_cell);
    assert_true(in_a_cut_cell > 10);
}

/* A belt too long for the arm at rest lies slack when the arm is far past its dead point: there the formula for a taut
 * belt would push the arm on to its stop. It cannot; the spring takes the arm back to its rest. */
static void a_slack_belt_does_not_push(void **state)
{
    (void)state;
    chance c = {24};
    int seen = 0;
    for (int k = 0; k < 2000 && seen < 20; k++) {
        run r;
        memset(&r.wanted, 0, sizeof r.wanted);
        random_drive(&c, true, &r.p, &r.wanted.belt_length);
        r.p.pulleys[1].arm.travel = 2.5;
        assert_int_equal(snub_rig_prepare(&r.p.drive, NULL, &r.rig, NULL), SNUB_OK);
        const snub_arm_geometry *rest = &r.rig.grid[0], *stop = &r.rig.grid[SNUB_WIND_GRID];
        if (!rest->valid || !stop->valid || stop->lever_out - stop->lever_in > -0.01)
            continue;
        /* Half of the tension with which the spring would leave its rest. */
        double free;
        if (!snub_length_for_wind(&r.rig, &r.wanted, 0, &free))
            continue;
        const double half = 0.5 * r.rig.preload / (rest->lever_out - rest->lever_in);
        r.wanted.belt_length = free + half * rest->length / r.rig.stiffness;
        if (stop->length > r.wanted.belt_length - 0.01)
            continue; /* the belt would be taut there too */
        assert_int_equal(again(&r), SNUB_OK);
        assert_int_equal(r.e.arm, SNUB_ARM_AT_REST);
        assert_near("tension", r.e.tension, half, 1e-6, "N");
        seen++;
    }
    assert_true(seen == 20);
}

/* What speed takes counts as slack, though the belt's own tension is above nothing: an arm past its dead point, on a
 * belt that pulls at its rest and not at its stop. */
static void speed_makes_slack(void **state)
{
    (void)state;
    chance c = {25};
    int seen = 0;
    for (int k = 0; k < 4000 && seen < 10; k++) {
        run r;
        memset(&r.wanted, 0, sizeof r.wanted);
        random_drive(&c, true, &r.p, &r.wanted.belt_length);
        snub_arm *arm = &r.p.pulleys[1].arm;
        arm->travel = 2.5;
        arm->rate = 0.0;
        r.p.drive.belt.measuring_tension = 0.0;
        assert_int_equal(snub_rig_prepare(&r.p.drive, NULL, &r.rig, NULL), SNUB_OK);
        const snub_arm_geometry *rest = &r.rig.grid[0], *stop = &r.rig.grid[SNUB_WIND_GRID];
        const double lever[2] = {rest->lever_out - rest->lever_in, stop->lever_out - stop->lever_in};
        if (!rest->valid || !stop->valid || lever[0] < 0.01 || lever[1] > -0.01)
            continue;
        r.wanted.belt_length = 0.999 * stop->length;
        const double ea = r.rig.stiffness, at_stop = ea * (1.0 - r.wanted.belt_length / stop->length),
                     at_rest = ea * (1.0 - r.wanted.belt_length / rest->length);
        if (at_rest < 2.0 * at_stop || at_rest > 0.019 * ea)
            continue;
        const double speed_takes = at_stop + 0.9 * (at_rest - at_stop);
        const double least = (at_rest - speed_takes) * lever[0], most = (speed_takes - at_stop) * -lever[1];
        if (least > 0.9 * most)
            continue;
        arm->preload = 0.5 * (least + most);
        arm->damping = 0.0;
        r.wanted.engine_speed = sqrt(speed_takes / r.p.drive.belt.mass) / r.p.pulleys[r.p.drive.crank].pitch_radius;
        assert_int_equal(snub_rig_prepare(&r.p.drive, NULL, &r.rig, NULL), SNUB_OK);
        assert_int_equal(again(&r), SNUB_OK);
        assert_int_equal(r.e.arm, SNUB_ARM_AT_REST);
        assert_near("tension", r.e.tension, at_rest, 1e-6, "N");
        seen++;
    }
    assert_int_equal(seen, 10);
}

/* The same without an arm, where the tension stands and speed alone decides. */
static void speed_takes_all_tension(void **state)
{
    (void)state;
    chance c = {26};
    for (int k = 0; k < DRIVES; k++) {
        run r;
        memset(&r.wanted, 0, sizeof r.wanted);
        random_drive(&c, false, &r.p, &r.wanted.belt_length);
        set_out(&r);
        const double all = sqrt(r.e.tension / r.p.drive.belt.mass) / r.p.pulleys[r.p.drive.crank].pitch_radius;
        r.wanted.engine_speed = 0.999 * all;
        assert_int_equal(again(&r), SNUB_OK);
        r.wanted.engine_speed = 1.001 * all;
        assert_int_equal(again(&r), SNUB_NO_EQUILIBRIUM);
    }
}

static void three_at_both_ends(void **state)
{
    (void)state;
    run r;
    memset(&r.wanted, 0, sizeof r.wanted);
    three(&r.p, 40, 32);
    assert_int_equal(snub_rig_prepare(&r.p.drive, NULL, &r.rig, NULL), SNUB_OK);
    double shortest, longest;
    assert_true(snub_length_for_wind(&r.rig, &r.wanted, 0, &longest));
    assert_true(snub_length_for_wind(&r.rig, &r.wanted, r.rig.travel, &shortest));
    r.wanted.belt_length = longest + 1e-7;
    assert_int_equal(again(&r), SNUB_OK);
    assert_int_equal(r.e.arm, SNUB_ARM_AT_REST);
    r.wanted.belt_length = longest - 1e-7;
    assert_int_equal(again(&r), SNUB_OK);
    assert_int_equal(r.e.arm, SNUB_ARM_FREE);
    r.wanted.belt_length = shortest + 1e-7;
    assert_int_equal(again(&r), SNUB_OK);
    assert_int_equal(r.e.arm, SNUB_ARM_FREE);
    r.wanted.belt_length = shortest - 1e-7;
    assert_int_equal(again(&r), SNUB_OK);
    assert_int_equal(r.e.arm, SNUB_ARM_AT_STOP);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(forces_and_moments),
        cmocka_unit_test(grips_alone),
        cmocka_unit_test(power),
        cmocka_unit_test(arm_balances),
        cmocka_unit_test(length_balances),
        cmocka_unit_test(frame_and_mirror),
        cmocka_unit_test(list_begins_anywhere),
        cmocka_unit_test(scaled_units),
        cmocka_unit_test(longer_belt_never_winds_further),
        cmocka_unit_test(length_for_wind_is_the_inverse),
        cmocka_unit_test(friction_band_is_in_order),
        cmocka_unit_test(newton_squares_the_error),
        cmocka_unit_test(at_rest_all_spans_pull_alike),
        cmocka_unit_test(grip),
        cmocka_unit_test(speed_takes_grip),
        cmocka_unit_test(extremes),
        cmocka_unit_test(found_up_to_where_the_belt_is_lost),
        cmocka_unit_test(a_slack_belt_does_not_push),
        cmocka_unit_test(three_at_both_ends),
        cmocka_unit_test(speed_makes_slack),
        cmocka_unit_test(speed_takes_all_tension),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
