/* In the place of UDUNITS-2: the units that the snapshot brought with it. */
#include "units_database.h"

#include <stdlib.h>
#include <string.h>

#include "core.h"

struct snub_units {
    const snub_snapshot *snapshot;
};

snub_status snub_units_open(snub_units **units, snub_error *error)
{
    *units = calloc(1, sizeof **units);
    return *units != NULL ? SNUB_OK : snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
}

void snub_units_free(snub_units *units)
{
    free(units);
}

void core_units_of(snub_units *units, const snub_snapshot *snapshot)
{
    units->snapshot = snapshot;
}

snub_unit_lookup snub_units_convert(snub_units *units, snub_quantity quantity, const char *unit, double number,
                                    double *si, snub_dimension *dimension)
{
    const snub_snapshot_unit *known = units->snapshot->units;
    while (known != NULL && (known->quantity != quantity || strcmp(known->unit.name, unit) != 0))
        known = known->next;
    *dimension = snub_quantity_describe(quantity)->dimension;
    if (known == NULL) {
        ((snub_snapshot *)(size_t)units->snapshot)->lacks = true; /* it is the core's own */
        return SNUB_UNIT_NO_DATABASE;
    }
    *si = known->unit.zero + number * known->unit.scale;
    return SNUB_UNIT_FOUND;
}
