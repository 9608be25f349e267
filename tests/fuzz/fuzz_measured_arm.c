/** Fuzz target of the file of torques and of the spring that is made of it. Asserted: a file that is refused has its
 * reasons, each with words; a spring that comes out is finite, with errors that are none below zero and shares that add
 * up to what is more than needed; its words and its keys can be written. */
#include <math.h>

#include "fuzz.h"
#include "snub/measure.h"
#include "snub/report.h"

static void look_at(const snub_spring *s)
{
    const snub_sure *sure[] = {&s->travel, &s->preload, &s->rate, &s->damping};
    snub_text text = {0};
    double share = 0.0;
    for (int i = 0; i < 4; i++)
        must(isfinite(sure[i]->value) && isfinite(sure[i]->error) && sure[i]->error >= 0.0);
    for (int k = 0; k < s->measured->count; k++) {
        must(s->check[k].share >= 0.0 && s->check[k].share <= 1.0);
        share += s->check[k].share;
    }
    must(fabs(share - s->redundancy) < 1e-6 * (1 + s->measured->count));
    must(s->taken >= 1.0 && s->sum >= 0.0 && s->within >= 1.9);
    const snub_look look = {.width = 80};
    const snub_locale locale = {.inches = true};
    snub_error error;
    must(snub_text_spring(s, &look, &text, &error) == SNUB_OK);
    snub_fragment_spring(s, &locale, &text);
    snub_text_free(&text);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    snub_arena arena;
    snub_measured_arm m;
    snub_spring spring;
    snub_errors errors = {0};
    snub_arena_init(&arena, 256 << 20);
    snub_status status = snub_document_parse("fuzz.yaml", (const char *)data, size, &arena, &m.document, &errors);
    if (status == SNUB_OK)
        status = snub_measured_arm_read(fuzz_units(), &arena, &m, &errors);
    if (status == SNUB_OK)
        status = snub_spring_fit(&m, &arena, &spring, &errors);
    if (status == SNUB_OK)
        look_at(&spring);
    must_say_why(status, &errors);
    snub_arena_free(&arena);
    return 0;
}
