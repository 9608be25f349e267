/** Fuzz target of the file of plucked spans and of the tension that is made of it. Asserted: a file that is refused has
 * its reasons, each with words; a tension that comes out is finite, with an error that is none below zero; its words
 * and its JSON can be written. Sounds are not read: their plucks get a frequency. */
#include <math.h>

#include <jansson.h>

#include "fuzz.h"
#include "snub/pluck.h"
#include "snub/report.h"

static void look_at(const snub_plucks *s)
{
    snub_text text = {0};
    double share = 0.0;
    must(isfinite(s->tension.value) && s->tension.error >= 0.0 && s->within >= 1.9 && s->taken >= 1.0);
    for (int k = 0; k < s->measured->count; k++) {
        must(s->check[k].share >= 0.0 && s->check[k].share <= 1.0);
        must(s->check[k].tension.value >= 0.0);
        share += s->check[k].share;
    }
    must(share <= s->redundancy + 1e-6 * (1 + s->measured->count));
    const snub_look look = {.width = 80};
    snub_error error;
    must(snub_text_plucks(s, &look, &text, &error) == SNUB_OK);
    snub_text_free(&text);
    json_t *json = snub_json_plucks(s);
    must(json != NULL);
    json_decref(json);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static snub_span_rings spans[] = {
        {"crank", "pump", 0.25, 0, {0, 0}}, {"pump", "idler", 0.1, 0, {0, 0}}, {"idler", "crank", 0.3, 0, {0, 0}}};
    snub_standing_belt belt = {.mass = 0.12, .tension = {300, 400, 500}, .count = 3, .spans = spans};
    snub_arena arena;
    snub_measured_pluck m;
    snub_plucks plucks;
    snub_errors errors = {0};
    snub_arena_init(&arena, 256 << 20);
    snub_status status = snub_document_parse("fuzz.yaml", (const char *)data, size, &arena, &m.document, &errors);
    if (status == SNUB_OK && snub_readings_refuse(&m.document, SNUB_READ_PLUCK, &errors))
        status = SNUB_BAD_INPUT;
    if (status == SNUB_OK)
        status = snub_measured_pluck_read(fuzz_units(), &arena, &m, &errors);
    for (int k = 0; status == SNUB_OK && k < m.count; k++)
        m.plucks[k].frequency = isnan(m.plucks[k].frequency) ? 80.0 + k : m.plucks[k].frequency;
    if (status == SNUB_OK)
        status = snub_plucks_fit(&m, m.drive != NULL ? &belt : NULL, &arena, &plucks, &errors);
    if (status == SNUB_OK)
        look_at(&plucks);
    must_say_why(status, &errors);
    snub_arena_free(&arena);
    return 0;
}
