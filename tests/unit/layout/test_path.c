/* What must hold of every laid belt: one turn, touch points on the circles and square to them, the same shape whatever
 * the frame, the mirror or the unit, a length that is stationary; and what is said when there is no such belt. */
#include "support/near.h"
#include "support/random_drive.h"

enum { DRIVES = 300 };

typedef struct scene {
    int n;
    double centre[PLAIN_PULLEYS_MOST][2], radius[PLAIN_PULLEYS_MOST];
    snub_path path;
} scene;

static void random_scene(chance *c, scene *s)
{
    s->n = 1 + chance_whole(c, 2, 8);
    while (!random_circles(c, s->n - 1, s->centre, s->radius, &s->path))
        s->n = 1 + chance_whole(c, 2, 8);
}

static snub_path lay(const scene *s, double sense)
{
    snub_path path;
    assert_int_equal(snub_path_lay(s->n, s->centre, s->radius, sense, &path, NULL), SNUB_OK);
    return path;
}

static void one_turn(void **state)
{
    (void)state;
    chance c = {1};
    scene s;
    for (int k = 0; k < DRIVES; k++) {
        random_scene(&c, &s);
        double turn = 0, length = 0;
        for (int i = 0; i < s.n; i++) {
            turn += copysign(s.path.wrap[i], s.path.radius[i]);
            length += s.path.span[i] + fabs(s.path.radius[i]) * s.path.wrap[i];
        }
        assert_near("signed wraps", turn, 2 * SNUB_PI, 1e-12, "rad");
        assert_near("spans and arcs", length, s.path.length, 1e-14, "m");
        assert_int_equal(s.path.turns, 1);
    }
}

static void touches_square(void **state)
{
    (void)state;
    chance c = {2};
    scene s;
    for (int k = 0; k < DRIVES; k++) {
        random_scene(&c, &s);
        for (int i = 0; i < s.n; i++) {
            const int j = (i + 1) % s.n;
            const double *u = s.path.u[i];
            double from[2], to[2];
            snub_path_leave(&s.path, i, from);
            snub_path_enter(&s.path, j, to);
            const double a[2] = {from[0] - s.centre[i][0], from[1] - s.centre[i][1]};
            const double b[2] = {to[0] - s.centre[j][0], to[1] - s.centre[j][1]};
            assert_near("on the first circle", hypot(a[0], a[1]), fabs(s.radius[i]), 1e-14, "m");
            assert_near("on the second", hypot(b[0], b[1]), fabs(s.radius[j]), 1e-14, "m");
            assert_near("square to the first radius", a[0] * u[0] + a[1] * u[1], 0, 1e-14, "m");
            assert_near("square to the second", b[0] * u[0] + b[1] * u[1], 0, 1e-14, "m");
            assert_near("span", hypot(to[0] - from[0], to[1] - from[1]), s.path.span[i], 1e-14, "m");
            assert_near("along u", (to[0] - from[0]) * u[0] + (to[1] - from[1]) * u[1], s.path.span[i], 1e-14, "m");
            /* A rim that turns clockwise runs along its outward radius turned by -90 deg. */
            const double runs = (a[1] * u[0] - a[0] * u[1]) / s.radius[i];
            assert_near("rim and belt run together", runs, 1, 1e-12, "");
        }
    }
}

/* Pitch point reached after `distance` [m] from the start of span 0, and the direction there. */
static void walk(const snub_path *path, double distance, double point[2], double direction[2])
{
    double left = fmod(distance, path->length);
    if (left < 0.0)
        left += path->length;
    for (int i = 0; i < path->n; i++) {
        const int next = (i + 1) % path->n;
        if (left <= path->span[i]) {
            snub_path_leave(path, i, point);
            for (int k = 0; k < 2; k++) {
                point[k] += path->u[i][k] * left;
                direction[k] = path->u[i][k];
            }
            return;
        }
        left -= path->span[i];
        const double arc = fabs(path->radius[next]) * path->wrap[next];
        if (left <= arc) {
            /* the direction turns clockwise on a positive radius */
            const double angle = -left / path->radius[next];
            const double c = cos(angle), s = sin(angle);
            direction[0] = c * path->u[i][0] - s * path->u[i][1];
            direction[1] = s * path->u[i][0] + c * path->u[i][1];
            point[0] = path->centre[next][0] - path->radius[next] * direction[1];
            point[1] = path->centre[next][1] + path->radius[next] * direction[0];
            return;
        }
        left -= arc;
    }
    snub_path_leave(path, 0, point); /* rounding at the very end of the loop */
    direction[0] = path->u[0][0];
    direction[1] = path->u[0][1];
}

/* Walking the whole length comes back; equal steps make equal arcs of belt; the direction is that of the way. */
static void walk_comes_round(void **state)
{
    (void)state;
    chance c = {3};
    scene s;
    for (int k = 0; k < 40; k++) {
        random_scene(&c, &s);
        enum { STEPS = 4000 };
        double first[2], last[2], direction[2], sum = 0;
        walk(&s.path, 0, first, direction);
        memcpy(last, first, sizeof last);
        for (int i = 1; i <= STEPS; i++) {
            double here[2];
            walk(&s.path, s.path.length * i / STEPS * (1 - 1e-15), here, direction);
            const double dx = here[0] - last[0], dy = here[1] - last[1], step = hypot(dx, dy);
            assert_true(step <= s.path.length / STEPS * (1 + 1e-9));
            assert_near("direction", (dx * direction[0] + dy * direction[1]) / step, 1, 2e-4, "");
            sum += step;
            memcpy(last, here, sizeof last);
        }
        assert_near("comes back", hypot(last[0] - first[0], last[1] - first[1]), 0, 1e-12, "m");
        assert_near("chords", sum, s.path.length, 1e-5, "m"); /* (step/r)^2/24 short on arcs */
    }
}

static void frame_mirror_and_unit(void **state)
{
    (void)state;
    chance c = {4};
    scene s;
    for (int k = 0; k < DRIVES; k++) {
        random_scene(&c, &s);
        const double turn = chance_between(&c, -3, 3), x = chance_between(&c, -2, 2),
                     unit = chance_between(&c, 1e-3, 1e3);
        scene turned = s, mirror = s, scaled = s;
        for (int i = 0; i < s.n; i++) {
            turned.centre[i][0] = x + cos(turn) * s.centre[i][0] - sin(turn) * s.centre[i][1];
            turned.centre[i][1] = -x + sin(turn) * s.centre[i][0] + cos(turn) * s.centre[i][1];
            mirror.centre[i][0] = -s.centre[i][0];
            mirror.radius[i] = -s.radius[i];
            scaled.centre[i][0] *= unit;
            scaled.centre[i][1] *= unit;
            scaled.radius[i] *= unit;
        }
        const snub_path t = lay(&turned, 1), m = lay(&mirror, -1), z = lay(&scaled, 1);
        for (int i = 0; i < s.n; i++) {
            assert_near("wrap, turned", t.wrap[i], s.path.wrap[i], 1e-12, "rad");
            assert_near("wrap, mirrored", m.wrap[i], s.path.wrap[i], 1e-14, "rad");
            assert_near("wrap, scaled", z.wrap[i], s.path.wrap[i], 1e-12, "rad");
            assert_near("span, turned", t.span[i], s.path.span[i], 1e-12, "m");
            assert_near("span, mirrored", m.span[i], s.path.span[i], 1e-14, "m");
            assert_near("span, scaled", z.span[i] / unit, s.path.span[i], 1e-12, "m");
            assert_near("u, mirrored", m.u[i][0], -s.path.u[i][0], 1e-14, "");
        }
        assert_near("length, turned", t.length, s.path.length, 1e-12, "m");
    }
}

/* The belt may start anywhere, and run the other way round with all senses turned. */
static void order_and_reverse(void **state)
{
    (void)state;
    chance c = {5};
    scene s;
    for (int k = 0; k < DRIVES; k++) {
        random_scene(&c, &s);
        scene shifted = s, reverse = s;
        for (int i = 0; i < s.n; i++) {
            const int from = (i + 2) % s.n, back = s.n - 1 - i;
            memcpy(shifted.centre[i], s.centre[from], sizeof s.centre[i]);
            shifted.radius[i] = s.radius[from];
            memcpy(reverse.centre[i], s.centre[back], sizeof s.centre[i]);
            reverse.radius[i] = -s.radius[back];
        }
        const snub_path a = lay(&shifted, 1), b = lay(&reverse, -1);
        for (int i = 0; i < s.n; i++) {
            assert_near("wrap, another start", a.wrap[i], s.path.wrap[(i + 2) % s.n], 1e-15, "rad");
            assert_near("wrap, reversed", b.wrap[i], s.path.wrap[s.n - 1 - i], 1e-13, "rad");
        }
        assert_near("length, reversed", b.length, s.path.length, 1e-13, "m");
    }
}

/* Moving a centre by dc changes the length by (u_in - u_out).dc: central differences fall off as the step squared. */
static void length_is_stationary(void **state)
{
    (void)state;
    chance c = {6};
    scene s;
    for (int k = 0; k < 60; k++) {
        random_scene(&c, &s);
        const int i = chance_whole(&c, 0, s.n - 1), before = (i + s.n - 1) % s.n;
        double error[2];
        for (int fine = 0; fine < 2; fine++) {
            const double h = fine ? 1e-4 : 2e-4;
            scene more = s, less = s;
            more.centre[i][0] += h;
            less.centre[i][0] -= h;
            const double slope = (lay(&more, 1).length - lay(&less, 1).length) / (2 * h);
            error[fine] = slope - (s.path.u[before][0] - s.path.u[i][0]);
        }
        assert_near("derivative of length", error[1], 0, 1e-5, "");
        if (fabs(error[0]) > 1e-8) /* above rounding */
            assert_near("order of convergence", error[0] / error[1], 4, 0.05, "");
    }
}

static void effective_length(void **state)
{
    (void)state;
    const snub_belt belt = {.be = 0.002};
    assert_near("2 pi be less", snub_effective_length(&belt, 1.6), 1.6 - 2 * SNUB_PI * 0.002, 1e-15, "m");
}

/* ---- what cannot be laid -------------------------------------------------------------------------------------- */

static void overlap_names_the_first(void **state)
{
    (void)state;
    const double centre[3][2] = {{0, 0}, {0.05, 0}, {0.3, -0.2}}, radius[3] = {0.08, -0.03, 0.05};
    snub_path path;
    int culprit = -1;
    assert_int_equal(snub_path_lay(3, centre, radius, 1, &path, &culprit), SNUB_NO_TANGENT);
    assert_int_equal(culprit, 0);
    /* One inside of the other, on the same side, has no tangent either. */
    double u[2] = {7, 7}, length = 7;
    assert_false(snub_tangent(centre[0], 0.08, centre[1], 0.02, u, &length));
    assert_true(u[0] == 7 && length == 7);
}

/* An idler on the back that does not reach the belt: its wrap goes round the other way. */
static void idler_off_the_belt_is_named(void **state)
{
    (void)state;
    double centre[4][2] = {{0, 0}, {-0.3, 0.15}, {0, 0.3}, {0.2, 0.1}};
    const double radius[4] = {0.08, -0.03, 0.04, 0.05};
    snub_path path;
    int culprit = -1;
    assert_int_equal(snub_path_lay(4, (const double(*)[2])centre, radius, 1, &path, &culprit), SNUB_LOST_BELT);
    assert_int_equal(culprit, 1);
    assert_int_not_equal(path.turns, 1);
    centre[1][0] = -0.05; /* pressed in */
    assert_int_equal(snub_path_lay(4, (const double(*)[2])centre, radius, 1, &path, &culprit), SNUB_OK);
}

/* A ribbed pulley that lies inside of the belt without touching it. */
static void ribbed_pulley_off_the_belt_is_named(void **state)
{
    (void)state;
    const double centre[4][2] = {{0, 0}, {-0.02, 0.2}, {0, 0.4}, {0.25, 0.2}}, radius[4] = {0.08, 0.03, 0.08, 0.05};
    snub_path path;
    int culprit = -1;
    assert_int_equal(snub_path_lay(4, centre, radius, 1, &path, &culprit), SNUB_LOST_BELT);
    assert_int_equal(culprit, 1);
}

/* Just touching: wrap 0, never a whole turn by rounding. */
static void a_belt_that_just_touches(void **state)
{
    (void)state;
    for (int k = 0; k < 100; k++) {
        const double t = k * 0.0628, y = 0.3;
        const double flat[3][2] = {{0, 0}, {0, 0.1 + 0.001 * k}, {0, y}}, radius[3] = {0.05, 0.05, 0.05};
        double centre[3][2];
        for (int i = 0; i < 3; i++) {
            centre[i][0] = cos(t) * flat[i][0] - sin(t) * flat[i][1];
            centre[i][1] = sin(t) * flat[i][0] + cos(t) * flat[i][1];
        }
        snub_path path;
        assert_int_equal(snub_path_lay(3, (const double(*)[2])centre, radius, 1, &path, NULL), SNUB_OK);
        assert_near("length", path.length, 2 * y + 2 * SNUB_PI * 0.05, 1e-12, "m");
        assert_near("wrap", path.wrap[1], 0, 1e-7, "rad"); /* acos-like: 1e-16 of offset is 1e-8 of angle at most */
    }
}

/* Numbers that no file may hold still give an answer or a status, never a NaN taken for an answer. */
static void extremes(void **state)
{
    (void)state;
    static const double odd[] = {0, 1e-300, 1e-9, 1, 1e9, 1e150, INFINITY, -INFINITY, NAN};
    enum { COUNT = sizeof odd / sizeof odd[0] };
    for (int a = 0; a < COUNT; a++) {
        for (int b = 0; b < COUNT; b++) {
            for (int k = 0; k < COUNT; k++) {
                const double centre[2][2] = {{0, 0}, {odd[a], 0}}, radius[2] = {odd[b], odd[k]};
                snub_path path;
                double u[2], length;
                if (snub_tangent(centre[0], odd[b], centre[1], odd[k], u, &length)) {
                    assert_true(isfinite(length) && length > 0);
                    assert_near("u", hypot(u[0], u[1]), 1, 1e-12, "");
                }
                if (snub_path_lay(2, centre, radius, 1, &path, NULL) == SNUB_OK)
                    assert_true(isfinite(path.length));
            }
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_turn),
        cmocka_unit_test(touches_square),
        cmocka_unit_test(walk_comes_round),
        cmocka_unit_test(frame_mirror_and_unit),
        cmocka_unit_test(order_and_reverse),
        cmocka_unit_test(length_is_stationary),
        cmocka_unit_test(effective_length),
        cmocka_unit_test(overlap_names_the_first),
        cmocka_unit_test(idler_off_the_belt_is_named),
        cmocka_unit_test(ribbed_pulley_off_the_belt_is_named),
        cmocka_unit_test(a_belt_that_just_touches),
        cmocka_unit_test(extremes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
