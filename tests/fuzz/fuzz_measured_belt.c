/** Fuzz target of the file of fitted belts. Asserted: a file that is refused has its reasons, each with words; of one
 * that is taken every belt has a length and either a wind or a mark, with an error. */
#include <math.h>

#include "fuzz.h"
#include "snub/measured.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    snub_arena arena;
    snub_measured_belt m;
    snub_errors errors = {0};
    snub_arena_init(&arena, 256 << 20);
    snub_status status = snub_document_parse("fuzz.yaml", (const char *)data, size, &arena, &m.document, &errors);
    if (status == SNUB_OK)
        status = snub_measured_belt_read(fuzz_units(), &arena, &m, &errors);
    must(status != SNUB_OK || (m.count > 0 && m.drive != NULL));
    for (int k = 0; status == SNUB_OK && k < m.count; k++) {
        const snub_fitted_belt *b = &m.belts[k];
        must(b->length > 0.0 && b->error > 0.0 && isnan(b->wind) != isnan(b->mark));
        must(b->setting_count >= 0 && b->setting_count <= SNUB_SETTINGS_MOST);
        for (int i = 0; i < b->setting_count; i++)
            must(b->settings[i].pulley != NULL && isfinite(b->settings[i].at));
    }
    must_say_why(status, &errors);
    snub_arena_free(&arena);
    return 0;
}
