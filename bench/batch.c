/* Many kits at once: equilibria per second one by one and in vectors of each width, on one core; the share of the
 * processor's peak; beside it the same kits by NumPy. Usage: bench_batch [FILE] */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "balance/rig.h"
#include "kit/loads.h"
#include "snub/batch.h"
#include "snub/kit.h"
#include "timing.h"

enum { KITS = 4096, ROUNDS = 9, COLUMNS = 2 * SNUB_PULLEYS_MOST + 8 };
/* Operations of one kit by hand (docs/theory/batch.md), without those inside of sine and arc tangent. */
static const double OPERATIONS = 11.6 * 152 + 13.2 * 14 + 2 * 215 + 290;

typedef struct bench {
    snub_arena arena;
    snub_units *units;
    snub_drive drive;
    snub_rig rig;
    snub_case wanted;
    snub_batch batch;
    snub_batch_answers answers;
    snub_batch_width width;
    double (*column)[KITS];
    int columns;
    double sum; /* so that no work is left out */
} bench;

static double even(double low, double high)
{
    static uint64_t state = 1;
    state = state * 6364136223846793005u + 1442695040888963407u;
    return low + (high - low) * (double)(state >> 11) / 9007199254740992.0;
}

/* A column around a value, evenly within plus and minus `off`. */
static const double *scatter(bench *b, double value, double off)
{
    double *column = b->column[b->columns++];
    for (int i = 0; i < KITS; i++)
        column[i] = value + even(-off, off);
    return column;
}

static void read_drive(bench *b, const char *path)
{
    static snub_document document;
    snub_errors errors = {0};
    snub_error error = {0};
    snub_loads loads;
    if (snub_units_open(&b->units, &error) != SNUB_OK)
        bench_stop("units", &error);
    snub_reading reading = {.units = b->units, .arena = &b->arena};
    if (snub_document_read(path, &b->arena, &document, &errors) != SNUB_OK ||
        snub_drive_read(&document, &reading, &b->drive, &errors) != SNUB_OK)
        bench_stop(path, errors.count > 0 ? &errors.items[0] : &error);
    snub_errors_free(&errors);
    if (snub_loads_at(&b->drive, 4000 * SNUB_RPM, SNUB_STEADY, 0.0, &b->arena, &loads, &error) != SNUB_OK ||
        snub_rig_prepare(&b->drive, NULL, &b->rig, &error) != SNUB_OK)
        bench_stop("drive", &error);
    snub_loads_case(&b->drive, &loads, 1, SNUB_STEADY, 0, b->drive.belt.length, b->drive.belt.stretch, false,
                    &b->wanted);
    if (b->rig.arm < 0)
        bench_stop("a drive with an arm is wanted", &error);
}

static snub_batch_answers make_answers(void)
{
    const snub_batch_answers a = {.status = calloc(KITS, sizeof(snub_status)),
                                  .arm = calloc(KITS, sizeof(snub_arm_state)),
                                  .wind = calloc(KITS, sizeof(double)),
                                  .tension = calloc(KITS, sizeof(double)),
                                  .equilibria = calloc(KITS, sizeof(int)),
                                  .past_dead_point = calloc(KITS, sizeof(bool))};
    if (a.status == NULL || a.arm == NULL || a.wind == NULL || a.tension == NULL || a.equilibria == NULL ||
        a.past_dead_point == NULL)
        exit(1);
    return a;
}

static void make_kits(bench *b)
{
    const snub_rig *rig = &b->rig;
    b->column = calloc(COLUMNS, sizeof *b->column);
    b->answers = make_answers();
    if (b->column == NULL)
        exit(1);
    b->batch = (snub_batch){.rig = rig, .wanted = &b->wanted, .count = KITS};
    for (int i = 0; i < rig->n; i++) {
        for (int k = 0; k < 2; k++)
            b->batch.centre[i][k] = scatter(b, rig->path.centre[i][k], 0.3e-3);
    }
    b->batch.arm_length = scatter(b, rig->arm_length, 0.2e-3);
    b->batch.rest = scatter(b, rig->rest, 0.01);
    b->batch.preload = scatter(b, rig->preload, 0.1 * rig->preload);
    b->batch.rate = scatter(b, rig->rate, 0.1 * rig->rate);
    b->batch.stiffness = scatter(b, rig->stiffness, 0.2 * rig->stiffness);
    b->batch.belt_length = scatter(b, b->wanted.belt_length, 2e-3);
}

/* ---- rounds ----------------------------------------------------------------------------------------------------- */

static void kits_one_by_one(bench *b)
{
    for (int i = 0; i < KITS; i++) {
        snub_rig rig = b->rig;
        snub_case wanted = b->wanted;
        snub_equilibrium e;
        for (int p = 0; p < rig.n; p++) {
            for (int k = 0; k < 2; k++)
                rig.path.centre[p][k] = b->batch.centre[p][k][i];
        }
        rig.arm_length = b->batch.arm_length[i];
        rig.rest = b->batch.rest[i];
        rig.preload = b->batch.preload[i];
        rig.rate = b->batch.rate[i];
        rig.stiffness = b->batch.stiffness[i];
        wanted.belt_length = b->batch.belt_length[i];
        if (snub_rig_lay_again(&rig) == SNUB_OK && snub_solve(&rig, &wanted, &e, NULL) == SNUB_OK)
            b->sum += e.wind;
    }
}

static void cases_one_by_one(bench *b)
{
    snub_case wanted = b->wanted;
    snub_equilibrium e;
    for (int i = 0; i < KITS; i++) {
        wanted.belt_length = b->batch.belt_length[i];
        if (snub_solve(&b->rig, &wanted, &e, NULL) == SNUB_OK)
            b->sum += e.wind;
    }
}

static void kits_in_lanes(bench *b)
{
    (void)snub_batch_solve(&b->batch, b->width, &b->answers);
}

static void cases_in_lanes(bench *b)
{
    const snub_batch cases = {.rig = &b->rig, .wanted = &b->wanted, .count = KITS, .belt_length = b->batch.belt_length};
    (void)snub_batch_solve(&cases, b->width, &b->answers);
}

/* Median processor seconds of a round, the first dropped. */
static double time_of(void (*round)(bench *), bench *b)
{
    double seconds[ROUNDS];
    round(b);
    for (int k = 0; k < ROUNDS; k++) {
        const double start = bench_processor();
        round(b);
        seconds[k] = bench_processor() - start;
    }
    qsort(seconds, ROUNDS, sizeof seconds[0], bench_rising);
    return seconds[ROUNDS / 2];
}

/* ---- the peak --------------------------------------------------------------------------------------------------- */

#if defined __x86_64__ && !defined __clang__ /* which has no attribute for fused multiplication */
typedef double four __attribute__((vector_size(32)));
typedef double eight __attribute__((vector_size(64)));
enum { CHAINS = 12, TURNS = 4000000 };

#define FMA_LOOP(NAME, TYPE, TARGET)                                                                                   \
    __attribute__((target(TARGET), optimize("fp-contract=fast"))) static double NAME(void)                             \
    {                                                                                                                  \
        TYPE x[CHAINS], y[CHAINS];                                                                                     \
        const TYPE a = (TYPE){0} + 0.999999, c = (TYPE){0} + 1e-6;                                                     \
        double sum = 0;                                                                                                \
        memset(x, 0, sizeof x);                                                                                        \
        const double start = bench_processor();                                                                        \
        for (int k = 0; k < TURNS; k++) {                                                                              \
            for (int i = 0; i < CHAINS; i++)                                                                           \
                y[i] = x[i] * a + c;                                                                                   \
            memcpy(x, y, sizeof x);                                                                                    \
        }                                                                                                              \
        const double took = bench_processor() - start;                                                                 \
        for (int i = 0; i < CHAINS; i++)                                                                               \
            sum += x[i][0];                                                                                            \
        return sum > 0 ? 2.0 * CHAINS * TURNS * (double)(sizeof(TYPE) / 8) / took : 0;                                 \
    }
FMA_LOOP(peak_four, four, "avx2,fma")
FMA_LOOP(peak_eight, eight, "avx512f,avx512dq")

static double peak_of(snub_batch_width width)
{
    return width == SNUB_BATCH_EIGHT  ? peak_eight()
           : width == SNUB_BATCH_FOUR ? (__builtin_cpu_supports("fma") ? peak_four() : 0)
                                      : 0;
}
#else
static double peak_of(snub_batch_width width)
{
    (void)width;
    return 0;
}
#endif

/* ---- the peer --------------------------------------------------------------------------------------------------- */

static void write_column(FILE *file, const double *each, double all)
{
    for (int i = 0; i < KITS; i++)
        fwrite(each != NULL ? &each[i] : &all, sizeof all, 1, file);
}

/* Head: n, crank, arm, count, sense, winds, mass, measuring tension, damping x side, engine speed, pivot, travel; then
 * radius and torque of each pulley; then the columns. */
static void write_kits(const bench *b, const char *path)
{
    const snub_rig *rig = &b->rig;
    FILE *file = fopen(path, "wb");
    if (file == NULL)
        exit(1);
    const double head[] = {rig->n,
                           rig->crank,
                           rig->arm,
                           KITS,
                           rig->sense,
                           rig->winds,
                           rig->mass,
                           rig->measuring_tension,
                           rig->damping * b->wanted.side,
                           b->wanted.engine_speed,
                           rig->pivot[0],
                           rig->pivot[1],
                           rig->travel};
    fwrite(head, sizeof head, 1, file);
    fwrite(rig->path.radius, sizeof(double), (size_t)rig->n, file);
    fwrite(b->wanted.torque, sizeof(double), (size_t)rig->n, file);
    for (int i = 0; i < rig->n; i++) {
        for (int k = 0; k < 2; k++)
            write_column(file, b->batch.centre[i][k], 0);
    }
    write_column(file, b->batch.arm_length, 0);
    write_column(file, b->batch.rest, 0);
    write_column(file, b->batch.preload, 0);
    write_column(file, b->batch.rate, 0);
    write_column(file, b->batch.stiffness, 0);
    write_column(file, b->batch.belt_length, 0);
    write_column(file, b->answers.wind, 0);
    write_column(file, b->answers.tension, 0);
    if (fclose(file) != 0)
        exit(1);
}

static void run_peer(const bench *b, double ours)
{
    char path[] = "/tmp/snub-batch-XXXXXX", command[1000];
    const int handle = mkstemp(path);
    if (handle < 0)
        exit(1);
    write_kits(b, path);
    snprintf(command, sizeof command, "/usr/bin/python3 -B '%s/bench/numpy_equilibria.py' %s 2>/dev/null",
             SNUB_SOURCE_DIR, path);
    FILE *peer = popen(command, "r");
    double seconds = 0, wind = 0, tension = 0;
    const int got = peer != NULL ? fscanf(peer, "%lf %lf %lf", &seconds, &wind, &tension) : 0;
    if (peer != NULL)
        (void)pclose(peer);
    remove(path);
    if (got != 3) {
        printf("  NumPy did not run: needs python3, python3-numpy\n");
        return;
    }
    printf("  %-44s %10.0f /s; snub is %.0f times as fast; wind differs by %.1e rad, tension by %.1e of itself\n",
           "kits, NumPy over all at once", KITS / seconds, seconds / ours, wind, tension);
    if (!(wind < 1e-9 && tension < 1e-9)) {
        printf("  THEY DO NOT AGREE\n");
        exit(1);
    }
}

/* ---- a study ---------------------------------------------------------------------------------------------------- */

enum { STUDY_KITS = 1000000, STUDY_SPEEDS = 20 };

/* A million kits over the rev range: of each kit arm and tension at every speed, on all cores. The loads are those of
 * the nominal kit; no rule is judged. */
static void run_study(bench *b)
{
    static snub_case wanted[STUDY_SPEEDS];
    const int blocks = (STUDY_KITS + KITS - 1) / KITS;
    double sum = 0.0;
    for (int k = 0; k < STUDY_SPEEDS; k++) {
        const double share = (k + 1.0) / STUDY_SPEEDS;
        snub_loads loads;
        snub_error error = {0};
        if (snub_loads_at(&b->drive, share * b->drive.engine.redline, SNUB_STEADY, 0.0, &b->arena, &loads, &error) !=
            SNUB_OK)
            bench_stop("loads", &error);
        snub_loads_case(&b->drive, &loads, 1, SNUB_STEADY, 0, b->drive.belt.length, b->drive.belt.stretch, false,
                        &wanted[k]);
    }
    const double start = bench_wall();
#pragma omp parallel reduction(+ : sum)
    {
        snub_batch_answers answers = make_answers();
#pragma omp for schedule(dynamic, 1)
        for (int block = 0; block < blocks; block++) {
            for (int k = 0; k < STUDY_SPEEDS; k++) {
                snub_batch batch = b->batch;
                batch.wanted = &wanted[k];
                (void)snub_batch_solve(&batch, SNUB_BATCH_WIDEST, &answers);
                sum += answers.wind[block % KITS];
            }
        }
    }
    const double took = bench_wall() - start;
    b->sum += sum;
    printf("  %d kits at %d speeds, all cores: %.1f s, %.0f equilibria/s\n", blocks * KITS, STUDY_SPEEDS, took,
           (double)blocks * KITS * STUDY_SPEEDS / took);
}

/* ---- all of it -------------------------------------------------------------------------------------------------- */

static void show(const char *what, double took, double plain)
{
    printf("  %-44s %10.0f /s; %.3f us each; %.1f times one by one\n", what, KITS / took, 1e6 * took / KITS,
           plain / took);
}

int main(int argc, char **argv)
{
    static bench b;
    static const snub_batch_width widths[] = {SNUB_BATCH_ONE, SNUB_BATCH_FOUR, SNUB_BATCH_EIGHT};
    read_drive(&b, argc > 1 ? argv[1] : SNUB_SOURCE_DIR "/examples/sedgemere.yaml");
    make_kits(&b);
    printf("%s, %d pulleys, %d kits, one core\n", b.drive.title, b.rig.n, KITS);
    const double plain_kits = time_of(kits_one_by_one, &b), plain_cases = time_of(cases_one_by_one, &b);
    show("kits, geometry of their own, one by one", plain_kits, plain_kits);
    show("cases of one kit, one by one", plain_cases, plain_cases);
    double best = INFINITY;
    for (int w = 0; w < 3; w++) {
        char what[60];
        if (!snub_batch_has(widths[w]))
            continue;
        b.width = widths[w];
        const double cases = time_of(cases_in_lanes, &b);
        const double kits = time_of(kits_in_lanes, &b), peak = peak_of(b.width);
        best = fmin(best, kits);
        snprintf(what, sizeof what, "kits, vectors of %d (%d handed over)", (int)b.width, b.answers.handed_over);
        show(what, kits, plain_kits);
        if (peak > 0)
            printf("    %.1f Gflop/s counted, sine and arc tangent not; %.0f %% of %.1f Gflop/s\n",
                   1e-9 * OPERATIONS * KITS / kits, 100 * OPERATIONS * KITS / kits / peak, 1e-9 * peak);
        snprintf(what, sizeof what, "cases of one kit, vectors of %d", (int)b.width);
        show(what, cases, plain_cases);
    }
    run_study(&b);
    run_peer(&b, best);
    snub_units_free(b.units);
    snub_arena_free(&b.arena);
    return 0;
}
