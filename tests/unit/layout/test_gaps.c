/* Gaps in scenes whose distances are plain to see: four equal ribbed pulleys at the corners of a square of one metre, a
 * fifth inside; belts that cross; planes along the crank's axis; frame and mirror. */
#include "layout/lie.h"
#include "support/near.h"
#include "support/random_drive.h"

enum { MOST = 60, ALL_MOST = 200 };
static const double RADIUS = 0.05, RIM = 0.052, BACK = 0.0015, THICK = 0.0045, FLAP = 0.01;

static void dress(plain_drive *p)
{
    p->drive.belt.ribs = 6;
    p->drive.belt.pitch = 3.56e-3;
    p->drive.belt.back = BACK;
    p->drive.belt.thickness = THICK;
    for (int i = 0; i < p->drive.pulley_count; i++) {
        p->pulleys[i].rim_radius = p->pulleys[i].pitch_radius + (RIM - RADIUS);
        p->pulleys[i].width = 0.025;
    }
}

/* Clockwise from the lower left corner: up, right, down, back. */
static void square(plain_drive *p, snub_path *path)
{
    static const double centre[4][2] = {{0, 0}, {0, 1}, {1, 1}, {1, 0}}, radius[4] = {0.05, 0.05, 0.05, 0.05};
    plain_drive_init(p, 4, centre, radius);
    dress(p);
    assert_int_equal(snub_drive_lay(&p->drive, 0, NULL, path, NULL), SNUB_OK);
}

static const snub_gap *find(const snub_gap *gaps, int count, snub_gap_kind kind, int a, int b)
{
    for (int i = 0; i < count; i++) {
        const bool same = gaps[i].a == a && gaps[i].b == b;
        const bool swapped = kind != SNUB_GAP_PULLEY_SPAN && gaps[i].a == b && gaps[i].b == a;
        if (gaps[i].kind == kind && (same || swapped))
            return &gaps[i];
    }
    return NULL;
}

/* The least of distance less flap of a point that is `off` beside a span's start, m: looked at every 1e-5 of its
 * length. */
static double least_beside(double off, double length)
{
    double least = INFINITY;
    for (int k = 0; k <= 100000; k++) {
        const double x = length * k / 100000;
        least = fmin(least, hypot(off, x) - FLAP * length * sin(SNUB_PI * x / length));
    }
    return least;
}

static void a_square(void **state)
{
    (void)state;
    plain_drive p;
    snub_path path;
    snub_gap gaps[MOST];
    int count = 0;
    square(&p, &path);
    assert_int_equal(snub_gaps(&p.drive, &path, NULL, FLAP, INFINITY, gaps, MOST, &count), SNUB_OK);
    /* 6 pairs of pulleys; each pulley and the two spans it does not carry; two pairs of opposite spans */
    assert_int_equal(count, 6 + 8 + 2);
    const snub_gap *side = find(gaps, count, SNUB_GAP_PULLEYS, 0, 1),
                   *cross = find(gaps, count, SNUB_GAP_PULLEYS, 0, 2);
    assert_non_null(side);
    assert_non_null(cross);
    assert_near("neighbours", side->gap, 1 - 2 * RIM, 1e-14, "m");
    assert_near("across", cross->gap, sqrt(2) - 2 * RIM, 1e-14, "m");
    assert_near("rims do not flap", side->flap, 0, 0, "m");
    assert_near("where", side->at[1], 0.5, 1e-14, "m");
    /* Span 1 goes along the top, its ribs down; pulley 0 looks at it with its rim, a little past its left end: with the
     * flap there it is nearer than at the end. */
    const snub_gap *span = find(gaps, count, SNUB_GAP_PULLEY_SPAN, 0, 1);
    assert_non_null(span);
    assert_near("pulley and span", span->gap - span->flap, least_beside(1 + RADIUS, 1) - RIM - (THICK - BACK), 1e-9,
                "m");
    /* Spans 0 and 2 run side by side, ribs inwards; both flap most in the middle, and are nearest there. */
    const snub_gap *spans = find(gaps, count, SNUB_GAP_SPANS, 0, 2);
    assert_non_null(spans);
    assert_near("opposite spans", spans->gap, 1 + 2 * RADIUS - 2 * (THICK - BACK), 1e-14, "m");
    assert_near("both flap", spans->flap, 2 * FLAP, 1e-14, "m");
    assert_false(spans->crossing);
    for (int i = 1; i < count; i++)
        assert_true(gaps[i].gap - gaps[i].flap >= gaps[i - 1].gap - gaps[i - 1].flap);
}

static void only_what_is_near_and_fits(void **state)
{
    (void)state;
    plain_drive p;
    snub_path path;
    snub_gap all[MOST], few[3];
    int count = 0, kept = 0;
    square(&p, &path);
    snub_gaps(&p.drive, &path, NULL, FLAP, 1.0, all, MOST, &count);
    for (int i = 0; i < count; i++)
        assert_true(all[i].gap - all[i].flap < 1.0);
    assert_int_equal(snub_gaps(&p.drive, &path, NULL, FLAP, INFINITY, few, 3, &kept), SNUB_TOO_LARGE);
    assert_int_equal(kept, 3);
    for (int i = 0; i < kept; i++)
        assert_near("the tightest are kept", few[i].gap, all[i].gap, 0, "m");
    assert_int_equal(snub_gaps(&p.drive, &path, NULL, FLAP, 0.1, few, 3, &kept), SNUB_OK);
    assert_int_equal(kept, 0);
}

/* An idler on the back presses the right span inwards: its rim towards the left span, its belt between. */
static void an_idler_between(void **state)
{
    (void)state;
    static const double centre[5][2] = {{0, 0}, {0, 1}, {1, 1}, {0.6, 0.5}, {1, 0}};
    static const double radius[5] = {0.05, 0.05, 0.05, -0.04, 0.05};
    plain_drive p;
    snub_path path;
    snub_gap gaps[MOST];
    int count = 0;
    plain_drive_init(&p, 5, centre, radius);
    dress(&p);
    assert_int_equal(snub_drive_lay(&p.drive, 0, NULL, &path, NULL), SNUB_OK);
    assert_int_equal(snub_gaps(&p.drive, &path, NULL, FLAP, INFINITY, gaps, MOST, &count), SNUB_OK);
    /* On its left side lies the belt, ribs out: 3 mm over the pitch line, which is more than the rim's lip. The left
     * span, x = -0.05, turns its ribs this way and flaps in its middle. */
    const snub_gap *gap = find(gaps, count, SNUB_GAP_PULLEY_SPAN, 3, 0);
    assert_non_null(gap);
    assert_near("belt on the idler and span", gap->gap, 0.6 + 0.05 - (0.04 + THICK - BACK) - (THICK - BACK), 1e-14,
                "m");
    assert_near("flap in the middle", gap->flap, FLAP * 1.0, 1e-12, "m");
    assert_near("where", gap->at[1], 0.5, 1e-8, "m");
    /* The same with the lip higher than the belt. */
    p.pulleys[3].rim_radius = 0.05;
    snub_gaps(&p.drive, &path, NULL, FLAP, INFINITY, gaps, MOST, &count);
    assert_near("lip and span", find(gaps, count, SNUB_GAP_PULLEY_SPAN, 3, 0)->gap, 0.6 + 0.05 - 0.05 - (THICK - BACK),
                1e-14, "m");
}

/* What shares no depth has no gap. */
static void planes_apart(void **state)
{
    (void)state;
    plain_drive p;
    snub_path path;
    snub_gap gaps[MOST];
    int count = 0;
    square(&p, &path);
    p.pulleys[0].plane = 0.0249; /* 0.1 mm of its width still meets */
    snub_gaps(&p.drive, &path, NULL, FLAP, INFINITY, gaps, MOST, &count);
    assert_non_null(find(gaps, count, SNUB_GAP_PULLEYS, 0, 2));
    p.pulleys[0].plane = 0.0251;
    snub_gaps(&p.drive, &path, NULL, FLAP, INFINITY, gaps, MOST, &count);
    assert_null(find(gaps, count, SNUB_GAP_PULLEYS, 0, 2));
    assert_non_null(find(gaps, count, SNUB_GAP_PULLEYS, 1, 3));
}

/* A span climbs from where it leaves to where it enters; beside an idler in its middle it is half way up. They share an
 * axis as long as half of the belt's and half of the rim's width reach: 10.68 + 12.5 mm. */
static void a_span_that_climbs(void **state)
{
    (void)state;
    static const double centre[5][2] = {{0, 0}, {0, 1}, {1, 1}, {0.6, 0.5}, {1, 0}};
    static const double radius[5] = {0.05, 0.05, 0.05, -0.04, 0.05};
    plain_drive p;
    snub_path path;
    plain_drive_init(&p, 5, centre, radius);
    dress(&p);
    p.pulleys[3].rim_radius = 0.05; /* higher than the belt on it */
    assert_int_equal(snub_drive_lay(&p.drive, 0, NULL, &path, NULL), SNUB_OK);
    for (int k = 0; k < 8; k++) {
        const double way = k % 2 ? -1 : 1, from = way * 0.010, middle = way * (k / 2 % 2 ? 0.0233 : 0.0231);
        const double to = 2 * middle - from, loose = k / 4 * 1e-3; /* by which it may stand farther out */
        snub_lie lie;
        snub_gap gaps[MOST];
        int count = 0;
        snub_lie_flat(&p.drive, &lie);
        lie.leave[0] = way > 0 ? (snub_z_range){from, from + loose} : (snub_z_range){from - loose, from};
        lie.enter[1] = way > 0 ? (snub_z_range){to, to + loose} : (snub_z_range){to - loose, to};
        snub_gaps(&p.drive, &path, &lie, FLAP, INFINITY, gaps, MOST, &count);
        const snub_gap *gap = find(gaps, count, SNUB_GAP_PULLEY_SPAN, 3, 0);
        print_message("from %.1f to %.1f mm: %s\n", from * 1e3, to * 1e3, gap ? "beside the rim" : "past it");
        assert_int_equal(gap != NULL, k / 2 % 2 == 0);
        if (gap)
            assert_near("rim and span", gap->gap, 0.6 + 0.05 - 0.05 - (THICK - BACK), 1e-14, "m");
    }
}

/* A path that crosses itself makes one turn as well, with two idlers that lead the belt back over itself: it is told.
 */
static void crossing_spans(void **state)
{
    (void)state;
    snub_path path = {.n = 4};
    plain_drive p;
    snub_gap gaps[MOST];
    int count = 0;
    square(&p, &path);
    const double tie[4][2] = {{0, 0}, {1, 1}, {0, 1}, {1, 0}}, radius[4] = {0.05, 0.05, -0.05, -0.05};
    for (int i = 0; i < 4; i++) {
        p.pulleys[i].at[0] = tie[i][0];
        p.pulleys[i].at[1] = tie[i][1];
        p.pulleys[i].side = radius[i] > 0 ? SNUB_RIB : SNUB_BACK;
    }
    assert_int_not_equal(snub_path_lay(4, tie, radius, 1, &path, NULL), SNUB_NO_TANGENT);
    snub_gaps(&p.drive, &path, NULL, FLAP, INFINITY, gaps, MOST, &count);
    const snub_gap *cross = find(gaps, count, SNUB_GAP_SPANS, 0, 2);
    assert_non_null(cross);
    assert_true(cross->crossing && cross->gap < 0);
}

/* Three pulleys: the idler stands outside, beyond the far side, and its two spans cross the first one. */
static void spans_of_one_pulley(void **state)
{
    (void)state;
    static const double radius[3] = {0.05, 0.05, -0.04};
    const double centre[3][2] = {{0, 0}, {0, 1}, {-0.5, 0.5}};
    plain_drive p;
    snub_path path;
    snub_gap gaps[MOST];
    int count = 0, crossings = 0;
    plain_drive_init(&p, 3, centre, radius);
    dress(&p);
    assert_int_equal(snub_drive_lay(&p.drive, 0, NULL, &path, NULL), SNUB_OK);
    snub_gaps(&p.drive, &path, NULL, FLAP, INFINITY, gaps, MOST, &count);
    for (int i = 0; i < count; i++)
        crossings += gaps[i].crossing;
    assert_int_equal(crossings, 2);
    /* Pulled in towards the far side it crosses nothing. */
    p.pulleys[2].at[0] = 0.02;
    assert_int_equal(snub_drive_lay(&p.drive, 0, NULL, &path, NULL), SNUB_OK);
    snub_gaps(&p.drive, &path, NULL, FLAP, INFINITY, gaps, MOST, &count);
    for (int i = 0; i < count; i++)
        assert_false(gaps[i].crossing);
}

/* A list cut by distance, or by its room, is the head of the whole list: what is passed over without a closer look (a
 * bound of its distance tells) would not have been on it. */
static void cut_lists_are_heads(void **state)
{
    (void)state;
    chance c = {77};
    for (int k = 0; k < 60; k++) {
        plain_drive p;
        double length;
        snub_path path;
        snub_gap all[ALL_MOST], cut[ALL_MOST];
        int count = 0, kept = 0;
        random_drive(&c, false, &p, &length);
        dress(&p);
        const double flap = chance_between(&c, 0, 0.06);
        assert_int_equal(snub_drive_lay(&p.drive, 0, NULL, &path, NULL), SNUB_OK);
        assert_int_equal(snub_gaps(&p.drive, &path, NULL, flap, INFINITY, all, ALL_MOST, &count), SNUB_OK);
        for (int g = 0; g < count; g++) {
            const double clear = snub_gap_clear(&all[g]);
            snub_gaps(&p.drive, &path, NULL, flap, clear + 1e-12, cut, ALL_MOST, &kept);
            assert_true(kept > g);
            for (int i = 0; i <= g; i++)
                assert_near("cut by distance", snub_gap_clear(&cut[i]), snub_gap_clear(&all[i]), 0, "m");
            snub_gaps(&p.drive, &path, NULL, flap, INFINITY, cut, g + 1, &kept);
            assert_int_equal(kept, g + 1);
            for (int i = 0; i <= g; i++)
                assert_near("cut by room", snub_gap_clear(&cut[i]), snub_gap_clear(&all[i]), 0, "m");
        }
    }
}

/* Turned, shifted and mirrored drives have the same gaps. */
static void frame_and_mirror(void **state)
{
    (void)state;
    chance c = {31};
    for (int k = 0; k < 100; k++) {
        plain_drive p, m;
        double length;
        snub_path path;
        snub_gap a[MOST], b[MOST];
        int count_a = 0, count_b = 0;
        random_drive(&c, false, &p, &length);
        dress(&p);
        m = p;
        m.drive.pulleys = m.pulleys;
        m.drive.turn = -1;
        const double turn = chance_between(&c, -3, 3);
        for (int i = 0; i < p.drive.pulley_count; i++) {
            const double x = -p.pulleys[i].at[0], y = p.pulleys[i].at[1];
            m.pulleys[i].at[0] = cos(turn) * x - sin(turn) * y + 0.3;
            m.pulleys[i].at[1] = sin(turn) * x + cos(turn) * y - 0.1;
        }
        assert_int_equal(snub_drive_lay(&p.drive, 0, NULL, &path, NULL), SNUB_OK);
        snub_gaps(&p.drive, &path, NULL, FLAP, INFINITY, a, MOST, &count_a);
        assert_int_equal(snub_drive_lay(&m.drive, 0, NULL, &path, NULL), SNUB_OK);
        snub_gaps(&m.drive, &path, NULL, FLAP, INFINITY, b, MOST, &count_b);
        assert_int_equal(count_a, count_b);
        for (int i = 0; i < count_a; i++)
            assert_near("gap less flap", b[i].gap - b[i].flap, a[i].gap - a[i].flap, 1e-10, "m");
    }
}

/* A point of a span, and how far it flaps there. */
static double point_of(const snub_path *path, int span, double x, double at[2])
{
    snub_path_leave(path, span, at);
    for (int k = 0; k < 2; k++)
        at[k] += x * path->u[span][k];
    return FLAP * path->span[span] * sin(SNUB_PI * x / path->span[span]);
}

/* Distance less both flaps of two places of two spans; of a place of one from a point where `b` is under 0. */
static double apart(const snub_path *path, int a, double x, int b, double y, const double point[2])
{
    double p[2], q[2] = {point[0], point[1]}, flap = point_of(path, a, x, p);
    if (b >= 0)
        flap += point_of(path, b, y, q);
    return hypot(p[0] - q[0], p[1] - q[1]) - flap;
}

/* Its least by looking everywhere, then closer and closer around the best place. */
static double least_apart(const snub_path *path, int a, int b, const double point[2], double *x)
{
    enum { GRID = 60 };
    double y = 0, least = INFINITY, wide[2] = {path->span[a], b >= 0 ? path->span[b] : 0}, from[2] = {0, 0};
    const double length[2] = {wide[0], wide[1]};
    for (int round = 0; round < 8; round++) {
        for (int i = 0; i <= GRID; i++) {
            for (int k = 0; k <= (b >= 0 ? GRID : 0); k++) {
                const double one = fmin(from[0] + wide[0] * i / GRID, length[0]),
                             two = fmin(from[1] + wide[1] * k / GRID, length[1]);
                const double here = apart(path, a, one, b, two, point);
                if (here < least) {
                    least = here;
                    *x = one;
                    y = two;
                }
            }
        }
        for (int k = 0; k < 2; k++) {
            wide[k] *= 6.0 / GRID;
            from[k] = fmax(0, (k == 0 ? *x : y) - 0.5 * wide[k]);
        }
    }
    return least;
}

/* Pulleys beside spans and spans beside spans that lie anyhow: as looking everywhere finds them. What the belt's
 * thickness and a rim's radius take off does not depend on the place. */
static void places_by_looking_everywhere(void **state)
{
    (void)state;
    chance c = {41};
    int of_pulleys = 0, of_spans = 0;
    for (int k = 0; k < 12; k++) {
        plain_drive p;
        double length;
        snub_path path;
        snub_gap all[ALL_MOST];
        int count = 0;
        random_drive(&c, false, &p, &length);
        dress(&p);
        assert_int_equal(snub_drive_lay(&p.drive, 0, NULL, &path, NULL), SNUB_OK);
        assert_int_equal(snub_gaps(&p.drive, &path, NULL, FLAP, INFINITY, all, ALL_MOST, &count), SNUB_OK);
        for (int g = 0; g < count; g++) {
            const snub_gap *gap = &all[g];
            double x = 0, start[2] = {0, 0};
            if (gap->kind == SNUB_GAP_PULLEYS || gap->crossing)
                continue;
            if (gap->kind == SNUB_GAP_PULLEY_SPAN) {
                least_apart(&path, gap->b, -1, path.centre[gap->a], &x);
                snub_path_leave(&path, gap->b, start);
                assert_near("where along the span", hypot(gap->at[0] - start[0], gap->at[1] - start[1]), x, 1e-6, "m");
                assert_near("flap there", gap->flap, FLAP * path.span[gap->b] * sin(SNUB_PI * x / path.span[gap->b]),
                            1e-7, "m");
                of_pulleys++;
            } else {
                const double least = least_apart(&path, gap->a, gap->b, start, &x), got = snub_gap_clear(gap);
                const double both[] = {2 * BACK, THICK,
                                       2 * (THICK - BACK)}; /* back to back, back to ribs, ribs to ribs */
                int fits = 0;
                for (int i = 0; i < 3; i++)
                    fits += fabs(got - (least - both[i])) < 1e-7;
                if (fits != 1)
                    fail_msg("spans %d and %d: got %.9g, want %.9g less two of the belt's sides", gap->a, gap->b, got,
                             least);
                of_spans++;
            }
        }
    }
    assert_true(of_pulleys > 100 && of_spans > 40);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_square),
        cmocka_unit_test(only_what_is_near_and_fits),
        cmocka_unit_test(an_idler_between),
        cmocka_unit_test(planes_apart),
        cmocka_unit_test(a_span_that_climbs),
        cmocka_unit_test(crossing_spans),
        cmocka_unit_test(spans_of_one_pulley),
        cmocka_unit_test(cut_lists_are_heads),
        cmocka_unit_test(places_by_looking_everywhere),
        cmocka_unit_test(frame_and_mirror),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
