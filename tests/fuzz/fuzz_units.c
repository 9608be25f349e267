/* Any text as a value of any quantity: an answer is finite, a refusal leaves the value alone and says why.
 * First byte: the quantity; the rest: the text. */
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "snub/base.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static snub_units *units; /* the database takes milliseconds to open */
    const double untouched = 8.125;
    snub_error error = {0};
    double value = untouched;
    if (size < 1 || (!units && snub_units_open(&units, NULL) != SNUB_OK))
        return 0;
    char *text = malloc(size);
    if (!text)
        return 0;
    memcpy(text, data + 1, size - 1);
    text[size - 1] = 0;
    snub_quantity quantity = (snub_quantity)(data[0] % SNUB_Q_COUNT_);
    snub_status status = snub_units_parse(units, quantity, text, &value, &error);
    if (status == SNUB_OK && !isfinite(value))
        abort();
    if (status != SNUB_OK && (value != untouched || !error.message[0] || !error.need[0]))
        abort();
    if (status == SNUB_OK) {
        double bare = snub_quantity_to_bare(quantity, value);
        double again = snub_quantity_from_bare(quantity, bare);
        if (isfinite(bare) && isfinite(again) && fabs(again - value) > 1e-12 * fabs(value) + 1e-9)
            abort();
    }
    free(text);
    return 0;
}
