/** Fuzz target of the file of readings and of what is made of it. Asserted: a file that is refused has its reasons,
 * each with words; centres that come out are finite, with errors that are none below zero, shares within 0 and 1 that
 * add up to what is more than needed, and the first centre where the file put it. */
#include <math.h>

#include "fuzz.h"
#include "snub/measure.h"
#include "snub/report.h"

static void look_at(const snub_centres *c)
{
    const snub_measured *m = c->measured;
    snub_text text = {0};
    double share = 0.0;
    for (int i = 0; i < m->pulley_count; i++) {
        const snub_centre *p = &c->centre[i];
        must(isfinite(p->at[0]) && isfinite(p->at[1]) && p->error[0] >= 0.0 && p->error[1] >= 0.0);
        must(p->axis[0] >= p->axis[1] && p->axis[1] >= 0.0 && isfinite(p->axis[0]));
        must(!m->pulleys[i].known || (p->at[0] == m->pulleys[i].at[0] && p->at[1] == m->pulleys[i].at[1]));
    }
    for (int k = 0; k < c->check_count; k++) {
        must(c->check[k].share >= 0.0 && c->check[k].share <= 1.0);
        share += c->check[k].share;
    }
    must(fabs(share - c->redundancy) < 1e-6 * (1 + c->check_count));
    must(c->layouts >= 1 && c->taken >= 1.0 && c->sum >= 0.0);
    const snub_look look = {.width = 80};
    snub_error error;
    must(snub_text_centres(c, NULL, &look, &text, &error) == SNUB_OK);
    snub_text_free(&text);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    snub_arena arena;
    snub_measured m;
    snub_centres centres;
    snub_errors errors = {0};
    snub_arena_init(&arena, 256 << 20);
    snub_status status = snub_document_parse("fuzz.yaml", (const char *)data, size, &arena, &m.document, &errors);
    if (status == SNUB_OK)
        status = snub_measured_read(fuzz_units(), &arena, &m, &errors);
    if (status == SNUB_OK)
        status = snub_measured_take_drive(&m, NULL, &arena, &errors);
    if (status == SNUB_OK)
        status = snub_centres_adjust(&m, &arena, &centres, &errors);
    if (status == SNUB_OK)
        look_at(&centres);
    must_say_why(status, &errors);
    snub_arena_free(&arena);
    return 0;
}
