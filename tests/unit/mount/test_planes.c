/* Entry angles and shims. */
#include "snub/mount.h"
#include "support/near.h"

#define DEG (SNUB_PI / 180.0)

static uint64_t seed = 0xD1B54A32D192ED03ULL;

static double between(double low, double high)
{
    seed ^= seed << 13;
    seed ^= seed >> 7;
    seed ^= seed << 17;
    return low + (high - low) * ((double)(seed >> 11) / 9007199254740992.0);
}

/* Crank, a grooved pulley, and a back-side idler between them. */
static void lay(snub_path *path)
{
    const double centre[4][2] = {{0, 0}, {-0.22, 0.25}, {0.02, 0.22}, {0.25, 0.28}},
                 radius[4] = {0.09, 0.04, -0.035, 0.05};
    assert_int_equal(snub_path_lay(4, centre, radius, 1, path, NULL), SNUB_OK);
}

static void drawn(snub_plane *plane)
{
    for (int i = 0; i < 4; i++)
        plane[i] = (snub_plane){between(-1e-3, 1e-3), {between(-0.004, 0.004), between(-0.004, 0.004)}, i != 2};
}

/* A pulley that stands off by z makes +-z/L on each side, whatever the rest. */
static void offset_alone(void **state)
{
    (void)state;
    snub_path path;
    double entry[4], exit[4], drift[4];
    lay(&path);
    snub_plane plane[4] = {{0, {0, 0}, true}, {0.001, {0, 0}, true}, {0, {0, 0}, true}, {0, {0, 0}, true}};
    assert_int_equal(snub_entry_angles(&path, plane, entry, exit, drift, NULL), SNUB_OK);
    assert_near("entry", entry[1], 0.001 / path.span[0], 1e-12, "rad");
    assert_near("exit", exit[1], -0.001 / path.span[1], 1e-12, "rad");
    assert_near("next", entry[2], -0.001 / path.span[1], 1e-12, "rad");
    assert_near("beyond", entry[3], 0, 1e-15, "rad");
    /* tension side and travel do not matter, only place: a turn of everything about an axis changes nothing */
    for (int i = 0; i < 4; i++) {
        plane[i].tilt[0] = 0.003;
        plane[i].tilt[1] = -0.002;
        plane[i].z += 0.003 * path.centre[i][1] + 0.002 * path.centre[i][0];
    }
    double turned[4];
    assert_int_equal(snub_entry_angles(&path, plane, turned, exit, NULL, NULL), SNUB_OK);
    for (int i = 0; i < 4; i++)
        assert_near("turned", turned[i], entry[i], 1e-12, "rad");
}

/* The belt floats on a plain idler: where the idler stands does not matter, how it leans does. */
static void floating(void **state)
{
    (void)state;
    snub_path path;
    double entry[4], exit[4], drift[4], moved[4];
    lay(&path);
    snub_plane plane[4];
    drawn(plane);
    assert_int_equal(snub_entry_angles(&path, plane, entry, exit, drift, NULL), SNUB_OK);
    assert_near("no angle", entry[2], 0, 0, "rad");
    plane[2].z += 0.002;
    double drift_moved[4];
    assert_int_equal(snub_entry_angles(&path, plane, moved, exit, drift_moved, NULL), SNUB_OK);
    for (int i = 0; i < 4; i++)
        assert_near("idler moved", moved[i], entry[i], 1e-12, "rad");
    assert_near("drift", drift_moved[2], drift[2] - 0.002, 1e-12, "m");
    plane[2].tilt[0] += 0.001;
    assert_int_equal(snub_entry_angles(&path, plane, moved, exit, NULL, NULL), SNUB_OK);
    assert_true(fabs(moved[3] - entry[3]) > 1e-5);
    /* the same with the idler holding the belt */
    plane[2] = (snub_plane){0.0005, {0, 0}, true};
    assert_int_equal(snub_entry_angles(&path, plane, moved, exit, drift, NULL), SNUB_OK);
    assert_true(moved[2] != 0 && drift[2] == 0);
    for (int i = 0; i < 4; i++)
        plane[i].guides = false;
    snub_error error;
    assert_int_equal(snub_entry_angles(&path, plane, moved, exit, NULL, &error), SNUB_BAD_INPUT);
}

/* Normal entry, checked by itself: the belt's slope on the span is that of the idler's groove would-be. */
static void normal_entry(void **state)
{
    (void)state;
    snub_path path;
    double entry[4], exit[4], drift[4];
    lay(&path);
    snub_plane plane[4] = {{0, {0, 0}, true}, {0, {0, 0}, true}, {0, {0.002, 0.001}, false}, {0, {0, 0}, true}};
    assert_int_equal(snub_entry_angles(&path, plane, entry, exit, drift, NULL), SNUB_OK);
    const double *u = path.u[1], slope = 0.002 * u[1] - 0.001 * u[0];
    double in[2], out[2];
    snub_path_enter(&path, 2, in);
    snub_path_leave(&path, 2, out);
    const double at = slope * path.span[1];
    const double along = 0.002 * (out[1] - in[1]) - 0.001 * (out[0] - in[0]);
    assert_near("entry at the next", entry[3], (0 - (at + along)) / path.span[2], 1e-12, "rad");
    assert_near("exit of the one before", exit[1], slope, 1e-12, "rad");
}

static void tilt_of_force(void **state)
{
    (void)state;
    double tilt[2];
    const double right[2] = {100, 0}, none[2] = {0, 0};
    snub_tilt_from_slope(right, 0.001, tilt);
    /* a shaft that leans to +x turns about +y: what lies at +x of the pulley goes back */
    assert_near("about x", tilt[0], 0, 1e-15, "rad");
    assert_near("about y", tilt[1], 0.001, 1e-15, "rad");
    snub_tilt_from_slope(none, 0.001, tilt);
    assert_near("no force", hypot(tilt[0], tilt[1]), 0, 0, "rad");
}

/* ---- shims ------------------------------------------------------------------------------------------------------ */

typedef struct brute {
    double worst;
    int shims;
    bool passes, found;
} brute;

static bool better(bool passes, int shims, double worst, const brute *b)
{
    if (!b->found || passes != b->passes)
        return !b->found || passes;
    if (passes && shims != b->shims)
        return shims < b->shims;
    return worst < b->worst;
}

/* All packs of up to two of three sizes in two places. */
static brute all_packs(const snub_shim_problem *p)
{
    brute best = {0};
    double pack[10];
    int count[10], packs = 0;
    for (int a = -1; a < p->sizes; a++)
        for (int b = a; b < p->sizes; b++) {
            if (a == -1 && b == -1) {
                pack[packs] = 0, count[packs++] = 0;
                continue;
            }
            pack[packs] = (a >= 0 ? p->thickness[a] : 0) + p->thickness[b];
            count[packs++] = (a >= 0) + 1;
        }
    for (int i = 0; i < packs; i++)
        for (int j = 0; j < packs; j++) {
            double worst = 0;
            for (int e = 0; e < p->ends; e++)
                worst = fmax(worst, fabs(p->angle[e] + p->slope[2 * e] * pack[i] + p->slope[2 * e + 1] * pack[j]) +
                                        p->spread[e]);
            if (better(worst <= p->limit, count[i] + count[j], worst, &best))
                best = (brute){worst, count[i] + count[j], worst <= p->limit, true};
        }
    return best;
}

static void shims_against_all(void **state)
{
    (void)state;
    int passed = 0;
    for (int k = 0; k < 300; k++) {
        double angle[4], spread[4], slope[8], thickness[3];
        for (int e = 0; e < 4; e++) {
            angle[e] = between(-0.012, 0.012);
            spread[e] = between(0, 0.002);
            slope[2 * e] = between(-6, 6);
            slope[2 * e + 1] = between(-6, 6);
        }
        for (int i = 0; i < 3; i++)
            thickness[i] = between(0.0001, 0.001);
        const snub_shim_problem p = {4, angle, spread, slope, 2, 3, thickness, 2, 0.33 * DEG};
        const brute want = all_packs(&p);
        snub_arena arena = {0};
        snub_shim_answer got;
        assert_int_equal(snub_shim_search(&p, &arena, &got, NULL), SNUB_OK);
        assert_int_equal(got.passes, want.passes);
        assert_near("worst", got.worst, want.worst, 1e-12, "rad");
        if (want.passes)
            assert_int_equal(got.shims, want.shims);
        double pack = 0;
        for (int i = 0; i < 3; i++)
            pack += got.count[0][i] * thickness[i];
        assert_near("pack", got.pack[0], pack, 1e-12, "m");
        passed += want.passes;
        snub_arena_free(&arena);
    }
    assert_in_range(passed, 20, 280);
}

static void shims_wrong(void **state)
{
    (void)state;
    double angle[1] = {0.01}, slope[1] = {-5}, thickness[2] = {0.001, 0};
    snub_shim_problem p = {1, angle, NULL, slope, 1, 0, thickness, 2, 0.33 * DEG};
    snub_arena arena = {0};
    snub_shim_answer answer;
    snub_error error;
    assert_int_equal(snub_shim_search(&p, &arena, &answer, &error), SNUB_BAD_INPUT);
    assert_string_equal(error.message, "the list of shims is empty");
    p.sizes = 2;
    assert_int_equal(snub_shim_search(&p, &arena, &answer, &error), SNUB_BAD_INPUT);
    assert_string_equal(error.message, "a shim's thickness must be over zero");
    p.sizes = 1;
    p.places = 0;
    assert_int_equal(snub_shim_search(&p, &arena, &answer, &error), SNUB_BAD_INPUT);
    p.places = 1;
    arena.refuse_after = 1;
    assert_int_equal(snub_shim_search(&p, &arena, &answer, &error), SNUB_NO_MEMORY);
    arena.refuse_after = 2;
    assert_int_equal(snub_shim_search(&p, &arena, &answer, &error), SNUB_NO_MEMORY);
    arena.refuse_after = 0;
    assert_int_equal(snub_shim_search(&p, &arena, &answer, &error), SNUB_OK);
    assert_true(answer.passes && answer.shims == 1);
    snub_arena_free(&arena);
}

/* Eight places of sixteen sizes, four in a pack: millions of millions of packs; too many is said, not guessed at. */
static void shims_large(void **state)
{
    (void)state;
    enum { ENDS = 12 };
    double angle[ENDS], slope[ENDS * 8], thickness[16];
    for (int e = 0; e < ENDS; e++)
        angle[e] = between(-0.02, 0.02);
    for (int e = 0; e < ENDS * 8; e++)
        slope[e] = between(-6, 6);
    for (int i = 0; i < 16; i++)
        thickness[i] = 0.05e-3 * (i + 1) + between(0, 0.01e-3);
    const snub_shim_problem p = {ENDS, angle, NULL, slope, 8, 16, thickness, 4, 0.0001 * DEG};
    snub_arena arena = {0};
    snub_shim_answer answer;
    snub_error error;
    assert_int_equal(snub_shim_search(&p, &arena, &answer, &error), SNUB_TOO_LARGE);
    snub_arena_free(&arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(offset_alone),      cmocka_unit_test(floating),
                                       cmocka_unit_test(normal_entry),      cmocka_unit_test(tilt_of_force),
                                       cmocka_unit_test(shims_against_all), cmocka_unit_test(shims_wrong),
                                       cmocka_unit_test(shims_large)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
