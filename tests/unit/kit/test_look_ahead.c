/* A belt is given up early only where the whole build would be worse: what a few cases and the obstacles show before
 * shims are fitted never goes beyond what all of it shows. Random obstacles at a drive whose shims move its belt. */
#include <stdio.h>

#include "kit/judge.h"
#include "snub/hardware.h"
#include "support/drive_text.h"

/* %s: what the alternator stands on, the pump, the obstacle, the rest. No idler guides the belt. */
static const char frame[] =
    "snub: 1\n"
    "engine: {displacement: 4.0 L, cylinders: 6, idle: 750 rpm, redline: 6200 rpm, volumetric_efficiency: [[750 rpm, "
    "0.8], [6200 rpm, 0.8]]}\n"
    "belt: {section: PK, ribs: 8, length: 1575}\n"
    "limits: {grip_design: 0.95, misalignment: 0.25}\n"
    "pulleys:\n"
    "  - {name: crank, role: crank, at: [0, 0], diameter: 185}\n"
    "  - {name: tensioner, side: back, diameter: 76, arm: {pivot: [-220, 130], length: 95, free: 20, loads: cw, "
    "travel: 60, preload: 25, rate: 0.8 N m/deg, damping: 0.2, work: [8, 52]}}\n"
    "  - {name: alternator, at: [-235, 215], diameter: 62%s}\n"
    "  - {name: snub, side: back, diameter: 64, slot: {from: [-112, 304], to: [-75, 332], setting: 20}}\n"
    "  - {name: blower, at: [0, 360], diameter: 80, load: [[1000 rpm, 1], [15000 rpm, 5]], inertia: 0.0016}\n"
    "  - {name: idler, side: back, at: [88, 318], diameter: 76}\n"
    "  - {name: pump, at: [190, 170], diameter: 130, load: [[1000 rpm, 0.3], [6000 rpm, 2]]%s}\n"
    "obstacles:\n"
    "  - {name: boss, circle: {at: [%.1f, %.1f], diameter: %.1f}, z: [%.2f, %.2f]}\n"
    "shims: [0.25, 0.5, 1, 2]\n";
static const char shimmed[] =
    ", stack: [{name: boss, kind: face, length: %.2f}, {name: shim pack, kind: shim, length: 0},"
    " {name: pulley, kind: offset, length: 40}]";

static unsigned long long seed = 20260417;

static double any(double low, double high)
{
    seed = seed * 6364136223846793005ULL + 1442695040888963407ULL;
    return low + (high - low) * (double)(seed >> 11) / 9007199254740992.0;
}

static int toss(int sides)
{
    return (int)any(0, sides);
}

static void judge_again(drive_text *text, const snub_build *settled, snub_level most, snub_build *build)
{
    snub_error error = {0};
    *build = *settled;
    build->drive = &text->drive;
    build->report = NULL;
    build->findings = (snub_findings){0};
    build->laid = false;
    snub_build_no_summary(build);
    assert_int_equal(snub_build_judge(build, most, &text->arena, &error), SNUB_OK);
}

/* A place near the belt, in no pulley. */
static void place_obstacle(double at[2])
{
    static const double near[][2] = {{-90, 310}, {-80, 330}, {-160, 270}, {-60, 345},
                                     {120, 290}, {160, 255}, {80, 320}};
    static const double pulleys[][3] = {{-235, 215, 31}, {-100, 313, 32}, {0, 360, 40}, {88, 318, 38}, {190, 170, 65}};
    if (toss(3) == 0) { /* at the belt on an idler, which goes where the alternator's belt goes */
        const double reach = 32 + any(12, 16), angle = any(-80, -10) * SNUB_PI / 180;
        at[0] = -100.1 + reach * cos(angle);
        at[1] = 312.9 + reach * sin(angle);
        return;
    }
    bool inside = true;
    while (inside) {
        const double *about = near[toss(sizeof near / sizeof near[0])];
        at[0] = about[0] + any(-35, 35);
        at[1] = about[1] + any(-35, 35);
        inside = false;
        for (size_t i = 0; i < sizeof pulleys / sizeof pulleys[0]; i++)
            inside = inside || hypot(at[0] - pulleys[i][0], at[1] - pulleys[i][1]) < pulleys[i][2] + 10;
    }
}

/* Whether nothing is left that fails. */
static bool one(int trial)
{
    static char file[8192];
    char alternator[256] = "", pump[256] = "";
    double at[2];
    place_obstacle(at);
    const double off = any(0.8, 2.2) * (toss(2) ? 1 : -1);
    const double edge = 14.24 + any(-1, 3), front = toss(2);
    if (toss(3) > 0)
        snprintf(alternator, sizeof alternator, shimmed, -40 - fabs(off));
    if (toss(2) > 0)
        snprintf(pump, sizeof pump, shimmed, -40 - fabs(off));
    snprintf(file, sizeof file, frame, alternator, pump, at[0], at[1], any(8, 40), front > 0 ? edge : -60,
             front > 0 ? 60 : -edge);
    drive_text text;
    drive_text_open(&text, file);
    const snub_build_request as_written = {0};
    snub_error error = {0};
    snub_build settled, full, early;
    assert_int_equal(snub_build_of_drive(&text.drive, &as_written, &text.arena, &settled, &error), SNUB_OK);
    judge_again(&text, &settled, SNUB_FAIL, &full);
    assert_true(full.judged);
    for (int most = SNUB_PASS; most < SNUB_FAIL; most++) {
        judge_again(&text, &settled, (snub_level)most, &early);
        if ((int)full.verdict <= most ? !early.judged : early.verdict > full.verdict)
            fail_msg("drive %d: verdict %d, and with %d of interest it is given up with %d", trial, full.verdict, most,
                     early.verdict);
        if (early.judged)
            assert_int_equal(early.verdict, full.verdict);
    }
    const bool clear = full.verdict < SNUB_FAIL;
    drive_text_close(&text);
    return clear;
}

#ifdef SNUB_SANITIZED
enum { FRONTS = 120 };
#else
enum { FRONTS = 500 };
#endif

static void what_is_given_up_is_worse(void **state)
{
    (void)state;
    int clear = 0, most = FRONTS;
    for (int k = 0; k < most; k++)
        clear += one(k);
    print_message("%d of %d clear\n", clear, most);
    assert_in_range(clear, most / 5, most * 4 / 5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(what_is_given_up_is_worse)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
