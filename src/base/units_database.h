/** units_database.h - what a database of units says of one that the table lacks. Private to src/base and to the core in
 *  the browser, which has a list in the database's place (app/wasm). */
#ifndef SNUB_BASE_UNITS_DATABASE_H
#define SNUB_BASE_UNITS_DATABASE_H

#include "units_table.h"

typedef enum snub_unit_lookup {
    SNUB_UNIT_FOUND,
    SNUB_UNIT_UNKNOWN,
    SNUB_UNIT_OF_OTHER, /**< a unit of another quantity: its dimension is filled */
    SNUB_UNIT_NO_DATABASE
} snub_unit_lookup;

/** A number of a unit in SI.
 *  @param[in] unit        as snub_unit_normalise leaves it
 *  @param[out] si         filled where found
 *  @param[out] dimension  of the unit, where it has one */
snub_unit_lookup snub_units_convert(snub_units *units, snub_quantity quantity, const char *unit, double number,
                                    double *si, snub_dimension *dimension);

#endif
