/* The catalogue at a million rows: time and memory of the import, and of looking for parts. Run: bench_parts [ROWS].
 * The first of each search is a warm-up; the others give minimum and median. Target: every search under 5 ms. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "snub/parts.h"

enum { ROWS_DEFAULT = 1000000, REPEATS = 101, TEXT_FLUSH = 1 << 16 };
static const double TARGET_MS = 5;

static double now_ms(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec * 1e3 + (double)t.tv_nsec / 1e6;
}

static long memory_KiB(void)
{
    struct rusage usage;
    getrusage(RUSAGE_SELF, &usage);
    return usage.ru_maxrss;
}

static _Noreturn void stop(const snub_error *error)
{
    fprintf(stderr, "bench_parts: %s: %s\n", error->key, error->message);
    exit(1);
}

/* Nine belts to one pulley; words common (two of three), rare (one in 10007), and one that is the row's own. */
static void add_row(long i, snub_text *csv)
{
    const char *rare = i % 10007 == 0 ? " rare" : "", *common = i % 3 ? "common " : "";
    if (i % 10)
        snub_text_printf(csv, "B%ld,belt,%sbelt number%ld%s,invented,%d,PK,%ld,%.1f,\n", i, common, i, rare,
                         (int)(i % 5), 3 + i % 8, 500 + (double)(i % 25000) / 10);
    else
        snub_text_printf(csv, "P%ld,pulley,%spulley number%ld%s,invented,,PK,%ld,,%.2f\n", i, common, i, rare,
                         3 + i % 8, 45 + (double)(i % 20000) / 100);
}

static void import_rows(snub_catalogue *catalogue, snub_units *units, long rows)
{
    snub_import_options options = {.kind = SNUB_PART_ANY};
    snub_import_report report;
    snub_errors errors = {0};
    snub_import *import;
    snub_error error;
    snub_text csv = {0};
    double start = now_ms();
    if (snub_import_open(catalogue, units, "bench.csv", &options, &errors, &import, &error) != SNUB_OK)
        stop(&error);
    snub_text_puts(&csv, "key,kind,name,source,stock,section,ribs,length [mm],diameter [mm]\n");
    for (long i = 0; i < rows; i++) {
        add_row(i, &csv);
        if (csv.length < TEXT_FLUSH && i + 1 < rows)
            continue;
        if (snub_import_feed(import, csv.data, csv.length, &error) != SNUB_OK)
            stop(&error);
        csv.length = 0;
    }
    if (snub_import_finish(import, &report, &error) != SNUB_OK)
        stop(&error);
    snub_import_close(import);
    snub_text_free(&csv);
    snub_errors_free(&errors);
    printf("import  %lld rows  %.1f s  %.0f rows/s  memory %ld MiB\n", report.added, (now_ms() - start) / 1e3,
           (double)rows / (now_ms() - start) * 1e3, memory_KiB() / 1024);
}

static int compare(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static bool bench_find(snub_catalogue *catalogue, const char *what, const snub_part_query *query)
{
    double times[REPEATS];
    int count = 0;
    for (int i = -1; i < REPEATS; i++) {
        snub_arena arena;
        snub_part_list list;
        snub_error error;
        snub_arena_init(&arena, 0);
        double start = now_ms();
        if (snub_catalogue_find(catalogue, query, &arena, &list, &error) != SNUB_OK)
            stop(&error);
        if (i >= 0)
            times[i] = now_ms() - start;
        count = list.count;
        snub_arena_free(&arena);
    }
    qsort(times, REPEATS, sizeof times[0], compare);
    bool good = times[REPEATS / 2] < TARGET_MS;
    printf("find    %-42s %3d found  min %.3f  median %.3f  max %.3f ms%s\n", what, count, times[0], times[REPEATS / 2],
           times[REPEATS - 1], good ? "" : "  OVER THE TARGET");
    return good;
}

static int bench_searches(snub_catalogue *catalogue)
{
    snub_part_query length = {.kind = SNUB_PART_BELT, .window_count = 1, .windows = {{"length", 1.5, 1.51, NULL}}};
    snub_part_query both = {
        .kind = SNUB_PART_BELT, .window_count = 2, .windows = {{"ribs", 8, 8, NULL}, {"length", 1.5, 1.51, NULL}}};
    snub_part_query ribs = {.kind = SNUB_PART_BELT, .window_count = 1, .windows = {{"ribs", 8, 8, NULL}}};
    snub_part_query one = {.kind = SNUB_PART_ANY, .window_count = 1, .windows = {{"diameter", 0.08, 0.08, NULL}}};
    snub_part_query word = {.kind = SNUB_PART_ANY, .text = "number765432"};
    snub_part_query common = {.kind = SNUB_PART_ANY, .text = "common"};
    snub_part_query rare = {.kind = SNUB_PART_ANY, .text = "rare common"};
    snub_part_query start = {.kind = SNUB_PART_ANY, .text = "numb*"};
    snub_part_query kind = {.kind = SNUB_PART_PULLEY, .text = "common"};
    snub_part_query all = both, wide = length, seldom = length;
    all.text = "common";
    wide.text = "common";
    wide.windows[0].to = 2.5;
    seldom.text = "rare";
    seldom.windows[0].to = 2.5;
    bool good = bench_find(catalogue, "length 1500..1510", &length);
    good = bench_find(catalogue, "ribs 8, length 1500..1510", &both) && good;
    good = bench_find(catalogue, "ribs 8", &ribs) && good;
    good = bench_find(catalogue, "diameter 80", &one) && good;
    good = bench_find(catalogue, "one row's own word", &word) && good;
    good = bench_find(catalogue, "word of two rows in three", &common) && good;
    good = bench_find(catalogue, "common word and rare word", &rare) && good;
    good = bench_find(catalogue, "start of a word of every row", &start) && good;
    good = bench_find(catalogue, "common word in one kind", &kind) && good;
    good = bench_find(catalogue, "ribs, length 1500..1510, common word", &all) && good;
    good = bench_find(catalogue, "length 1500..2500, common word", &wide) && good;
    good = bench_find(catalogue, "length 1500..2500, rare word", &seldom) && good;
    return good ? 0 : 1;
}

int main(int count, char **arguments)
{
    long rows = count > 1 ? strtol(arguments[1], NULL, 10) : ROWS_DEFAULT;
    const char *base = getenv("TMPDIR");
    char directory[256], path[300], command[300];
    snub_catalogue *catalogue = NULL;
    snub_units *units = NULL;
    snub_error error;
    struct stat about;
    snprintf(directory, sizeof directory, "%s/snub-bench-XXXXXX", base && base[0] ? base : "/tmp");
    if (!mkdtemp(directory))
        return 1;
    snprintf(path, sizeof path, "%s/catalogue.db", directory);
    if (snub_units_open(&units, &error) != SNUB_OK ||
        snub_catalogue_open(path, SNUB_CATALOGUE_CREATE, 1, &catalogue, &error) != SNUB_OK)
        stop(&error);
    import_rows(catalogue, units, rows);
    snub_catalogue_close(catalogue);
    if (stat(path, &about) == 0)
        printf("file    %.0f MiB\n", (double)about.st_size / 1048576);
    if (snub_catalogue_open(path, SNUB_CATALOGUE_READ, 1, &catalogue, &error) != SNUB_OK)
        stop(&error);
    int code = bench_searches(catalogue);
    printf("memory  %ld MiB at most\n", memory_KiB() / 1024);
    snub_catalogue_close(catalogue);
    snub_units_free(units);
    snprintf(command, sizeof command, "rm -r '%s'", directory);
    return system(command) == 0 ? code : 1;
}
