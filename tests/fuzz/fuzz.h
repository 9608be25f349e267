/** What fuzz targets of files share. */
#ifndef SNUB_FUZZ_H
#define SNUB_FUZZ_H

#include <stdint.h>
#include <stdlib.h>

#include "snub/base.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static inline void must(bool good)
{
    if (!good)
        abort();
}

/** Opened once: reading the unit database takes longer than all the rest. */
static inline snub_units *fuzz_units(void)
{
    static snub_units *units;
    if (units == NULL)
        must(snub_units_open(&units, NULL) == SNUB_OK);
    return units;
}

/** A file that is refused has its reasons, each with words. Frees them. */
static inline void must_say_why(snub_status status, snub_errors *errors)
{
    must(status == SNUB_OK || status == SNUB_NO_MEMORY || errors->count > 0);
    for (int i = 0; i < errors->count; i++)
        must(errors->items[i].message[0]);
    snub_errors_free(errors);
}

#endif
