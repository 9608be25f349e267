/* What an equilibrium costs: on the seven-pulley example, by the number of pulleys, and per build of a chart; beside it
 * the same equilibrium by an independent implementation on SciPy. One core. The first round of each is dropped; given
 * are the least and the median of the rest. Usage: bench_equilibrium [FILE] */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "kit/loads.h"
#include "snub/kit.h"
#include "timing.h"

enum { ROUNDS = 15, PULLEYS_MOST = 40, SPEEDS = 41 };

/* Seconds of one round: warm-up dropped (not where one round is all there is), least and median. */
typedef struct took {
    double least, median;
} took;

static took time_of(void (*round)(void *), void *context, int rounds)
{
    double seconds[ROUNDS];
    if (rounds > ROUNDS)
        rounds = ROUNDS;
    if (rounds > 1)
        round(context);
    for (int k = 0; k < rounds; k++) {
        const double start = bench_wall();
        round(context);
        seconds[k] = bench_wall() - start;
    }
    qsort(seconds, (size_t)rounds, sizeof seconds[0], bench_rising);
    return (took){seconds[0], seconds[rounds / 2]};
}

/* ---- the example ---------------------------------------------------------------------------------------------- */

typedef struct example {
    snub_arena arena;
    snub_units *units;
    snub_document document;
    snub_reading reading;
    snub_drive drive;
    snub_loads loads;
    snub_rig rig;
    bool expand;
    int solved;
} example;

static void read_example(example *x, const char *path)
{
    snub_errors errors = {0};
    snub_error error = {0};
    memset(x, 0, sizeof *x);
    if (snub_units_open(&x->units, &error) != SNUB_OK)
        bench_stop("units", &error);
    x->reading = (snub_reading){.units = x->units, .arena = &x->arena};
    snub_status status = snub_document_read(path, &x->arena, &x->document, &errors);
    if (status == SNUB_OK)
        status = snub_drive_read(&x->document, &x->reading, &x->drive, &errors);
    if (status != SNUB_OK)
        bench_stop(path, errors.count > 0 ? &errors.items[0] : &error);
    snub_errors_free(&errors);
}

static void prepare_example(example *x)
{
    snub_error error = {0};
    if (snub_loads_prepare(&x->drive, SPEEDS, &x->arena, &x->loads, &error) != SNUB_OK ||
        snub_rig_prepare(&x->drive, NULL, &x->rig, &error) != SNUB_OK)
        bench_stop("example", &error);
}

/* Rest and 41 speeds, every way of running, three places of the friction band. */
static void solve_example(void *context)
{
    example *x = context;
    snub_case wanted;
    snub_equilibrium e;
    snub_balance balance;
    x->solved = 0;
    for (int k = 0; k < x->loads.speeds; k++) {
        for (int way = 0; way < SNUB_WAYS; way++) {
            if (!x->loads.runs[way])
                continue;
            for (int side = -1; side <= 1; side++) {
                snub_loads_case(&x->drive, &x->loads, k, (snub_way)way, side, x->drive.belt.length, 0, false, &wanted);
                if (snub_solve(&x->rig, &wanted, &e, NULL) != SNUB_OK)
                    continue;
                if (x->expand)
                    snub_expand(&x->drive, &x->rig, &wanted, &e, &balance);
                x->solved++;
            }
        }
    }
}

/* The same cases, side by side. */
static void solve_together(void *context)
{
    enum { CASES = 42 * SNUB_WAYS * 3 };
    static snub_case wanted[CASES];
    static snub_equilibrium e[CASES];
    const snub_case *asked[CASES] = {0};
    snub_equilibrium *answers[CASES] = {0};
    snub_status status[CASES];
    example *x = context;
    int count = 0;
    for (int k = 0; k < x->loads.speeds; k++) {
        for (int way = 0; way < SNUB_WAYS; way++) {
            for (int side = -1; x->loads.runs[way] && side <= 1; side++) {
                snub_loads_case(&x->drive, &x->loads, k, (snub_way)way, side, x->drive.belt.length, 0, false,
                                &wanted[count]);
                asked[count] = &wanted[count];
                answers[count] = &e[count];
                count++;
            }
        }
    }
    snub_solve_many(&x->rig, count, asked, answers, status);
    x->solved = 0;
    for (int i = 0; i < count; i++)
        x->solved += status[i] == SNUB_OK;
}

static void prepare_rig(void *context)
{
    example *x = context;
    for (int k = 0; k < 100; k++)
        (void)snub_rig_prepare(&x->drive, NULL, &x->rig, NULL);
}

static double show_rate(const char *what, took t, int count)
{
    printf("  %-44s %10.0f /s median, %10.0f /s best; %.3f us each\n", what, count / t.median, count / t.least,
           1e6 * t.median / count);
    return t.median / count;
}

/* ---- the peer --------------------------------------------------------------------------------------------------- */

/* The same equilibrium by SciPy; also that both agree. */
static void run_peer(example *x, const char *path, double ours)
{
    const double rpm = 4000;
    char command[1500];
    snub_loads loads;
    snub_case wanted;
    snub_equilibrium e;
    snub_error error = {0};
    if (snub_loads_at(&x->drive, rpm * SNUB_RPM, SNUB_STEADY, 0.0, &x->arena, &loads, &error) != SNUB_OK)
        bench_stop("peer", &error);
    snub_loads_case(&x->drive, &loads, 1, SNUB_STEADY, 0, x->drive.belt.length, x->drive.belt.stretch, false, &wanted);
    if (snub_solve(&x->rig, &wanted, &e, &error) != SNUB_OK)
        bench_stop("peer", &error);
    int used = snprintf(command, sizeof command,
                        "OPENBLAS_NUM_THREADS=1 /usr/bin/python3 -B '%s/bench/scipy_equilibrium.py' '%s' %.17g",
                        SNUB_SOURCE_DIR, path, rpm);
    for (int i = 0; i < x->drive.pulley_count; i++) {
        if (x->drive.pulleys[i].has_blower)
            used += snprintf(command + used, sizeof command - (size_t)used, " '%s=%.17g'", x->drive.pulleys[i].name,
                             wanted.torque[i]);
    }
    used += snprintf(command + used, sizeof command - (size_t)used, " 2>/dev/null");
    FILE *peer = used < (int)sizeof command ? popen(command, "r") : NULL;
    double least = 0, median = 0, wind = 0, tension = 0;
    const int got = peer != NULL ? fscanf(peer, "%lf %lf %lf %lf", &least, &median, &wind, &tension) : 0;
    if (peer != NULL)
        (void)pclose(peer);
    if (got != 4) {
        printf("  SciPy did not run: needs python3, python3-scipy, python3-yaml\n");
        return;
    }
    show_rate("the same by SciPy", (took){least, median}, 1);
    printf("  snub is %.0f times as fast; wind differs by %.1e rad, tension by %.1e N of %.0f N\n", median / ours,
           fabs(wind - e.wind), fabs(tension - e.tension), e.tension);
    if (!(fabs(wind - e.wind) < 1e-9 && fabs(tension - e.tension) < 1e-5)) {
        printf("  THEY DO NOT AGREE\n");
        exit(1);
    }
}

/* ---- by the number of pulleys ---------------------------------------------------------------------------------- */

typedef struct ring {
    snub_drive drive;
    snub_pulley pulleys[SNUB_PULLEYS_MOST];
    snub_rig rig;
    snub_case wanted;
} ring;

/* n - 1 ribbed pulleys around a circle, an idler on the back, on an arm, before the last of them. */
static void make_ring(ring *r, int n)
{
    const double around = 0.12 * n / SNUB_PI, step = 2 * SNUB_PI / (n - 1);
    memset(r, 0, sizeof *r);
    r->drive =
        (snub_drive){.title = "ring", .turn = 1, .pulley_count = n, .pulleys = r->pulleys, .arm = n - 1, .locked = -1};
    r->drive.belt = (snub_belt){.ribs = 6,
                                .be = 0.002,
                                .mass = 0.114,
                                .stiffness = 168000,
                                .measuring_tension = 300,
                                .design = {0.4413, 0.35},
                                .limit = {0.9, 0.35}};
    for (int i = 0; i < n; i++) {
        const bool idler = i == n - 1;
        const double angle = -step * (idler ? i - 0.5 : i),
                     from_middle = idler ? around * cos(step / 2) + 0.04 : around;
        r->pulleys[i] = (snub_pulley){.name = idler ? "idler" : "p",
                                      .side = idler ? SNUB_BACK : SNUB_RIB,
                                      .is_crank = i == 0,
                                      .sits = idler ? SNUB_ON_ARM : SNUB_FIXED,
                                      .at = {from_middle * cos(angle), from_middle * sin(angle)},
                                      .pitch_radius = idler ? 0.03 : 0.04,
                                      .setting = NAN};
    }
    /* The arm lies along the belt; the belt pushes it outwards, which is how it winds. */
    const double angle = -step * (n - 1.5);
    snub_arm *arm = &r->pulleys[n - 1].arm;
    *arm = (snub_arm){.length = 0.1,
                      .free = angle + SNUB_PI / 2 - 0.1,
                      .loads = -1,
                      .travel = 0.6,
                      .preload = 15,
                      .rate = 30,
                      .damping = 0.2};
    arm->pivot[0] = r->pulleys[n - 1].at[0] - arm->length * cos(arm->free);
    arm->pivot[1] = r->pulleys[n - 1].at[1] - arm->length * sin(arm->free);
}

static void solve_ring(void *context)
{
    ring *r = context;
    snub_equilibrium e;
    for (int k = 0; k < 1000; k++) {
        r->wanted.engine_speed = 100 + 0.5 * k;
        (void)snub_solve(&r->rig, &r->wanted, &e, NULL);
    }
}

static void by_pulleys(void)
{
    static const int counts[] = {3, 5, 7, 10, 20, 30, PULLEYS_MOST};
    ring *r = malloc(sizeof *r);
    snub_error error = {0};
    if (r == NULL)
        exit(1);
    printf("by the number of pulleys\n");
    for (size_t i = 0; i < sizeof counts / sizeof counts[0]; i++) {
        char what[60];
        make_ring(r, counts[i]);
        if (snub_rig_prepare(&r->drive, NULL, &r->rig, &error) != SNUB_OK)
            bench_stop("ring", &error);
        for (int k = 1; k < counts[i] - 1; k++)
            r->wanted.torque[k] = 0.5;
        snub_equilibrium e;
        if (!snub_length_for_wind(&r->rig, &r->wanted, 0.3, &r->wanted.belt_length) ||
            snub_solve(&r->rig, &r->wanted, &e, &error) != SNUB_OK || e.arm != SNUB_ARM_FREE)
            bench_stop("ring", &error);
        snprintf(what, sizeof what, "equilibrium, %d pulleys", counts[i]);
        show_rate(what, time_of(solve_ring, r, ROUNDS), 1000);
    }
    free(r);
}

/* ---- per build --------------------------------------------------------------------------------------------------- */

typedef struct many {
    const char *text;
    snub_units *units;
    int builds, passed;
} many;

static void chart_all(void *context)
{
    many *m = context;
    snub_arena arena;
    snub_document document;
    snub_errors errors = {0};
    snub_chart chart;
    snub_arena_init(&arena, 0);
    snub_reading reading = {.units = m->units, .arena = &arena};
    const snub_chart_request request = {.threads = 1};
    if (snub_document_parse("bench", m->text, strlen(m->text), &arena, &document, &errors) != SNUB_OK ||
        snub_chart_drive(&document, &reading, &request, &chart, &errors) != SNUB_OK)
        bench_stop("chart", errors.count > 0 ? &errors.items[0] : &(snub_error){0});
    m->builds = chart.build_count;
    m->passed = 0;
    for (int i = 0; i < chart.build_count; i++)
        m->passed += chart.builds[i].verdict != SNUB_FAIL;
    snub_chart_free(&chart);
    snub_errors_free(&errors);
    snub_arena_free(&arena);
}

/* A small kit whose options multiply: belts, crank and blower sizes. */
static char *kit_text(int cranks, int sizes, int ribs)
{
    snub_text t = {0};
    snub_text_puts(&t, "snub: 1\ntitle: many builds\n"
                       "engine: {displacement: 4.0 L, cylinders: 6, idle: 750 rpm, redline: 6200 rpm}\n"
                       "belt: {ribs: 8, stock: {from: 950, to: 1100, step: 5}}\n"
                       "pulleys:\n"
                       "  - {name: crank, role: crank, at: [0, 0], diameter: 150}\n"
                       "  - name: tensioner\n    side: back\n    diameter: 70\n"
                       "    arm: {pivot: [-120, 75], length: 110, free: 40, loads: ccw, travel: 32, preload: 20,\n"
                       "          rate: 0.4 N m/deg, damping: 0.2, work: [3, 21]}\n"
                       "  - {name: fan, at: [-20, 320], diameter: 70, load: [[2000 rpm, 8], [12000 rpm, 4]]}\n"
                       "options:\n  crank.diameter: [");
    for (int i = 0; i < cranks; i++)
        snub_text_printf(&t, "%s%.10g", i ? ", " : "", 145 + 10.0 * i / cranks);
    snub_text_puts(&t, "]\n  fan.diameter: [");
    for (int i = 0; i < sizes; i++)
        snub_text_printf(&t, "%s%.10g", i ? ", " : "", 62 + 16.0 * i / sizes);
    snub_text_puts(&t, "]\n  belt.ribs: [");
    for (int i = 0; i < ribs; i++)
        snub_text_printf(&t, "%s%d", i ? ", " : "", 6 + i);
    snub_text_puts(&t, "]\n");
    return t.failed ? NULL : t.data;
}

static void by_builds(snub_units *units)
{
    static const int sizes[][3] = {{2, 5, 1}, {5, 5, 4}, {25, 10, 4}, {50, 50, 4}};
    printf("per build of a chart: belt picked, checked over the rev range\n");
    for (size_t i = 0; i < sizeof sizes / sizeof sizes[0]; i++) {
        many m = {.units = units, .text = kit_text(sizes[i][0], sizes[i][1], sizes[i][2])};
        char what[60];
        if (m.text == NULL)
            exit(1);
        const int all = sizes[i][0] * sizes[i][1] * sizes[i][2];
        /* Thousands of builds are their own repetition, and those before have warmed up. */
        const took t = time_of(chart_all, &m, all <= 100 ? 5 : 1);
        snprintf(what, sizeof what, "build, of %d (%d can be sold)", m.builds, m.passed);
        show_rate(what, t, m.builds);
        free((char *)m.text);
    }
}

int main(int argc, char **argv)
{
    static example x;
    const char *path = argc > 1 ? argv[1] : SNUB_SOURCE_DIR "/examples/sedgemere.yaml";
    read_example(&x, path);
    prepare_example(&x);
    printf("%s, %d pulleys, one core\n", x.drive.title, x.drive.pulley_count);
    took t = time_of(solve_example, &x, ROUNDS);
    const double each = show_rate("equilibrium: wind and tensions", t, x.solved);
    t = time_of(solve_together, &x, ROUNDS);
    show_rate("the same side by side in vectors", t, x.solved);
    x.expand = true;
    t = time_of(solve_example, &x, ROUNDS);
    show_rate("with grip, hub loads, frequencies", t, x.solved);
    t = time_of(prepare_rig, &x, ROUNDS);
    show_rate("geometry of one setting, 65 winds", t, 100);
    run_peer(&x, path, each);
    by_pulleys();
    by_builds(x.units);
    snub_units_free(x.units);
    snub_arena_free(&x.arena);
    return 0;
}
