/* Where belt and pulleys stand along the crank: tolerances, drawn tilt, and lean under load, each at its worst. Heights
 * are worked out here once more, point by point: docs/theory/planes.md, eqs 2 and 4. */
#include "kit/lie.h"
#include "support/drive_text.h"

/* Two idlers in a row do not hold the belt: that on the second is still the pump's. Its tolerance is too. */
static const char DRIVE[] =
    "snub: 1\n"
    "belt: {ribs: 6, length: 1800}\n"
    "pulleys:\n"
    "  - {name: crank, role: crank, at: [30, -20], diameter: 150}\n"
    "  - {name: pump, at: [-150, 240], diameter: 90, mount: plate, tilt: [0.4, -0.3],\n"
    "     stack: [{name: face, kind: face, length: -9, tolerance: 0.3}, {name: pump, kind: offset, length: 12, "
    "tolerance: 0.4}]}\n"
    "  - {name: idler, side: back, at: [-40, 300], diameter: 70, plane: 5, tilt: [-0.2, 0.5]}\n"
    "  - {name: second, side: back, at: [60, 290], diameter: 60, stack: [{name: face, kind: face, length: 2, "
    "tolerance: 0.7}]}\n"
    "  - {name: fan, at: [150, 360], diameter: 110}\n"
    "mounts:\n"
    "  - {name: plate, face: -40, stack: [{name: boss, kind: face, length: -2, tolerance: 1.2}],\n"
    "     bolts: [{name: a, thread: M8, class: 8.8, at: [-150, 200]}, {name: b, thread: M8, class: 8.8, at: [-150, "
    "280]}]}\n";

enum { CRANK, PUMP, IDLER, SECOND, FAN, N };
static const bool GUIDES[N] = {true, true, false, false, true};
static const double Z[N] = {0, 1e-3, 5e-3, 2e-3, 0}; /* the pump: -9 + 12 - 2 mm */
static const double DRAWN[N][2] = {{0}, {0.4 * SNUB_DEG, -0.3 * SNUB_DEG}, {-0.2 * SNUB_DEG, 0.5 * SNUB_DEG}};
/* own dimensions and the mount's by squares, mm: 0.3, 0.4, 1.2; of the belt on a pulley that of the last one that
 * guides */
static const double OWN[N] = {0, 1.3e-3, 0, 0.7e-3, 0}, OF_BELT[N] = {0, 1.3e-3, 1.3e-3, 1.3e-3, 0};

typedef struct heights {
    double enter[N], leave[N], on[N]; /* on: at the pulley's middle, did it not lean */
} heights;

static double at(const snub_path *path, int i, const double tilt[2], const double point[2])
{
    return Z[i] + tilt[0] * (point[1] - path->centre[i][1]) - tilt[1] * (point[0] - path->centre[i][0]);
}

static heights work_out(const snub_path *path, const double (*tilt)[2])
{
    heights h;
    double off = 0; /* of the belt from the plane of the pulley that it is on; the crank holds it */
    for (int i = 0; i < N; i++) {
        const int next = (i + 1) % N;
        double from[2], to[2];
        snub_path_leave(path, i, from);
        snub_path_enter(path, next, to);
        h.leave[i] = at(path, i, tilt[i], from) + off;
        const double straight = at(path, next, tilt[next], to);
        /* square to a plain idler's axis: as steep as its face would be along the span */
        const double dx = to[0] - from[0], dy = to[1] - from[1];
        h.enter[next] = GUIDES[next] ? straight : h.leave[i] + tilt[next][0] * dy - tilt[next][1] * dx;
        off = h.enter[next] - straight;
        h.on[next] = Z[next] + off;
    }
    return h;
}

/* Leans that load gives, all that are kept of each pulley: the pump's to one side, the idler's all round. */
enum { LEANS = 3 };
static const double LEAN[N][LEANS][2] = {
    {{0}}, {{3e-3, 1e-3}, {1e-3, 2e-3}, {2e-3, 2.5e-3}}, {{2e-3, 0}, {-1e-3, -3e-3}, {0.5e-3, 1e-3}}};
static const bool LEANING[N] = {false, true, true, false, false};

/* By how much one value moves when one pulley leans: least and greatest, and none of it too. */
static void over_leans(const snub_path *path, int pulley, const double *(*pick)(const heights *), int of,
                       double range[2])
{
    double tilt[N][2];
    memcpy(tilt, DRAWN, sizeof tilt);
    const heights drawn = work_out(path, (const double(*)[2])tilt);
    double least = 0, most = 0;
    for (int k = 0; k < LEANS; k++) {
        for (int axis = 0; axis < 2; axis++)
            tilt[pulley][axis] = DRAWN[pulley][axis] + LEAN[pulley][k][axis];
        const heights h = work_out(path, (const double(*)[2])tilt);
        least = fmin(least, pick(&h)[of] - pick(&drawn)[of]);
        most = fmax(most, pick(&h)[of] - pick(&drawn)[of]);
    }
    range[0] += least;
    range[1] += most;
}

static const double *enter_of(const heights *h)
{
    return h->enter;
}

static const double *leave_of(const heights *h)
{
    return h->leave;
}

static const double *on_of(const heights *h)
{
    return h->on;
}

static void check(const char *what, const snub_path *path, const snub_z_range *got,
                  const double *(*pick)(const heights *), bool loaded, int *moved)
{
    const heights drawn = work_out(path, DRAWN);
    for (int i = 0; i < N; i++) {
        double range[2] = {0, 0};
        for (int k = 0; k < N && loaded; k++) {
            if (LEANING[k])
                over_leans(path, k, pick, i, range);
        }
        print_message("%s %d: %.4f to %.4f mm\n", what, i, range[0] * 1e3, range[1] * 1e3);
        moved[0] += range[0] < -1e-5;
        moved[1] += range[1] > 1e-5;
        assert_near(what, got[i].low, pick(&drawn)[i] + range[0] - OF_BELT[i], 1e-9, "m");
        assert_near(what, got[i].high, pick(&drawn)[i] + range[1] + OF_BELT[i], 1e-9, "m");
    }
}

static void belt_and_pulleys(void **state)
{
    (void)state;
    for (int loaded = 0; loaded < 2; loaded++) {
        drive_text t;
        snub_path path;
        snub_lie_basis basis;
        snub_tilts leans[N] = {{0}};
        snub_lie room;
        int moved[2] = {0, 0};
        drive_text_open(&t, DRIVE);
        assert_int_equal(snub_drive_lay(&t.drive, 0, NULL, &path, NULL), SNUB_OK);
        snub_lie_drawn(&t.drive, &basis);
        for (int i = 0; i < N && loaded; i++) {
            if (!LEANING[i])
                continue;
            leans[i].count = LEANS;
            memcpy(leans[i].tilt, LEAN[i], sizeof LEAN[i]);
        }
        if (loaded)
            snub_lie_lean(&basis, &path, leans);
        const snub_lie *lie = snub_lie_on(&basis, &path, &room);
        assert_non_null(lie);
        check("enters", &path, lie->enter, enter_of, loaded, moved);
        check("leaves", &path, lie->leave, leave_of, loaded, moved);
        check("lies", &path, lie->on, on_of, loaded, moved);
        assert_true(!loaded || (moved[0] > 4 && moved[1] > 4));
        for (int i = 0; i < N; i++) {
            assert_near("pulley", lie->plane[i].low, Z[i] - OWN[i], 1e-12, "m");
            assert_near("pulley", lie->plane[i].high, Z[i] + OWN[i], 1e-12, "m");
            const bool leans_here = loaded && LEANING[i];
            assert_int_equal(lie->tilts[i].count, leans_here ? LEANS : DRAWN[i][0] != 0);
            for (int k = 0; k < lie->tilts[i].count; k++)
                for (int axis = 0; axis < 2; axis++)
                    assert_near("tilt", lie->tilts[i].tilt[k][axis],
                                DRAWN[i][axis] + (leans_here ? LEAN[i][k][axis] : 0), 1e-12, "rad");
        }
        drive_text_close(&t);
    }
}

/* Of many leans the one is kept that reaches farthest in each of eight directions. */
static void farthest_each_way(void **state)
{
    (void)state;
    snub_tilts kept = {0};
    static const double round[16][2] = {{1, 0.1},  {0.8, 0.9},  {-0.1, 1.1}, {-0.9, 0.7}, {-1.2, 0},    {-0.8, -0.9},
                                        {0, -1.3}, {0.9, -0.8}, {0.3, 0.2},  {-0.2, 0.3}, {-0.1, -0.4}, {0.4, -0.1},
                                        {0.5, 0},  {0, 0.5},    {-0.5, 0},   {0, -0.5}};
    for (int i = 15; i >= 0; i--)
        snub_lie_take(&kept, round[i]);
    assert_int_equal(kept.count, 8);
    for (int way = 0; way < 8; way++) {
        const double x = cos(way * SNUB_PI / 4), y = sin(way * SNUB_PI / 4);
        double most = -INFINITY, got = -INFINITY;
        for (int i = 0; i < 16; i++)
            most = fmax(most, x * round[i][0] + y * round[i][1]);
        for (int k = 0; k < kept.count; k++)
            got = fmax(got, x * kept.tilt[k][0] + y * kept.tilt[k][1]);
        assert_near("reach", got, most, 1e-12, "rad");
    }
}

/* Nothing off the crank's plane: nothing is said. Any one thing that stands off it is told of. */
static void flat(void **state)
{
    (void)state;
    static const char *const off[] = {"",
                                      ", flanges: {front: 4}",
                                      ", tilt: [0.1, 0]",
                                      ", tilt: [0, 0.1]",
                                      ", plane: 0.1",
                                      ", stack: [{name: face, kind: face, length: 0, tolerance: 0.1}]"};
    for (int k = 0; k < 12; k++) {
        char file[512];
        drive_text t;
        snub_path path;
        snub_lie_basis basis;
        snub_lie room;
        snprintf(file, sizeof file,
                 "snub: 1\nbelt: {ribs: 6, length: 900}\npulleys:\n"
                 "  - {name: crank, role: crank, at: [0, 0], diameter: 100}\n"
                 "  - {name: fan, at: [150, 200], diameter: 100%s}\n"
                 "  - {name: pump, at: [300, 0], diameter: 100%s}\n",
                 k % 2 ? "" : off[k / 2], k % 2 ? off[k / 2] : "");
        drive_text_open(&t, file);
        if (snub_drive_lay(&t.drive, 0, NULL, &path, NULL) != SNUB_OK)
            fail_msg("%s", file);
        snub_lie_drawn(&t.drive, &basis);
        print_message("%s", file);
        assert_int_equal(snub_lie_on(&basis, &path, &room) != NULL, k / 2 > 1);
        drive_text_close(&t);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(belt_and_pulleys), cmocka_unit_test(farthest_each_way),
                                       cmocka_unit_test(flat)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
