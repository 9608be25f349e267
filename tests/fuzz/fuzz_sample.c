/** Fuzz target of tables of measured values: a drive whose tolerance is the column "bore" of the input.
 *  Asserted: a status other than OK comes with a mistake; values that are taken are finite, rise, and are at least two;
 *  each scatters between its least and its greatest. */
#include <math.h>
#include <string.h>

#include "fuzz.h"
#include "snub/drive.h"
#include "snub/scatter.h"

static const char drive_text[] = "snub: 1\n"
                                 "engine: {displacement: 2.0 L, cylinders: 4, idle: 800 rpm, redline: 6500 rpm}\n"
                                 "belt: {ribs: 6, length: 990}\n"
                                 "pulleys:\n"
                                 "  - {name: crank, role: crank, at: [0, 0], diameter: 150}\n"
                                 "  - {name: pump, at: [-20, 320], diameter: 60}\n"
                                 "tolerances:\n"
                                 "  - {of: pump.diameter, sample: {file: t.csv, column: bore}}\n";

typedef struct table {
    const char *text;
    size_t length;
} table;

static snub_status give(void *context, const snub_document *document, const char *path, snub_arena *arena,
                        const char **text, size_t *length, snub_errors *errors)
{
    const table *t = context;
    (void)document, (void)arena, (void)errors;
    must(strcmp(path, "t.csv") == 0);
    *text = t->text;
    *length = t->length;
    return SNUB_OK;
}

static void check_values(const snub_drive *drive)
{
    bool some = false;
    for (int i = 0; i < drive->tolerance_count; i++) {
        const snub_scatter *s = &drive->tolerances[i].scatter;
        if (s->kind != SNUB_SAMPLED)
            continue;
        some = true;
        must(s->count >= 2);
        for (int k = 0; k < s->count; k++)
            must(isfinite(s->sample[k]) && (k == 0 || s->sample[k] >= s->sample[k - 1]));
        for (double chance = 0.001; chance < 1.0; chance += 0.0999) {
            const double value = snub_scatter_value(s, chance);
            must(value >= s->sample[0] && value <= s->sample[s->count - 1]);
        }
    }
    must(some);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    snub_arena arena;
    snub_document document;
    snub_drive drive;
    snub_errors errors = {0};
    table t = {(const char *)data, size};
    const snub_map_source source = {.context = &t, .text = give};
    snub_arena_init(&arena, 64 << 20);
    const snub_reading reading = {.arena = &arena, .units = fuzz_units(), .maps = &source};
    must(snub_document_parse("fuzz", drive_text, strlen(drive_text), &arena, &document, &errors) == SNUB_OK);
    const snub_status status = snub_drive_read(&document, &reading, &drive, &errors);
    must((status == SNUB_OK) == (errors.count == 0));
    if (status == SNUB_OK)
        check_values(&drive);
    snub_errors_free(&errors);
    snub_arena_free(&arena);
    return 0;
}
