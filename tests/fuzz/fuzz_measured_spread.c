/** Fuzz target of the file of strips, balls and worn belts. Asserted: a file that is refused has its reasons, each with
 * words; of one that is taken every reading is there, with an error. */
#include <math.h>

#include "fuzz.h"
#include "snub/measured.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    snub_arena arena;
    snub_measured_spread m;
    snub_errors errors = {0};
    snub_arena_init(&arena, 256 << 20);
    snub_status status = snub_document_parse("fuzz.yaml", (const char *)data, size, &arena, &m.document, &errors);
    if (status == SNUB_OK)
        status = snub_measured_spread_read(fuzz_units(), &arena, &m, &errors);
    if (status == SNUB_OK) {
        must(m.drive != NULL && m.arc_error > 0.0 && m.over_error > 0.0 && m.tape_error > 0.0 && m.pin_error > 0.0);
        must(isnan(m.outside[0]) == isnan(m.outside[1]) && isnan(m.pin[0]) == isnan(m.pin[1]));
        must(isnan(m.pin[0]) || m.pin[0] > 0.0);
    }
    for (int k = 0; status == SNUB_OK && k < m.strip_count; k++)
        must(m.strips[k].arc > 0.0 && m.strips[k].pulley[0] != '\0');
    for (int k = 0; status == SNUB_OK && k < m.ball_count; k++) {
        must(m.balls[k].ball > 0.0 && m.balls[k].count >= 1 && m.balls[k].count <= SNUB_GROOVES_MOST);
        for (int i = 0; i < m.balls[k].count; i++)
            must(isfinite(m.balls[k].over[i]));
    }
    must_say_why(status, &errors);
    snub_arena_free(&arena);
    return 0;
}
