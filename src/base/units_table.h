/** units_table.h - the quantities, and the units that need no database. Private to src/base. */
#ifndef SNUB_BASE_UNITS_TABLE_H
#define SNUB_BASE_UNITS_TABLE_H

#include "snub/base.h"

/** Powers that make a quantity's dimension. The angle is one of its own: UDUNITS-2 lets a radian pass as 1, so that
 *  rpm turns into Hz 2 pi too large, N m/deg into N m, and a bare count into an angle. */
enum { DIM_METRE, DIM_KILOGRAM, DIM_SECOND, DIM_KELVIN, DIM_RADIAN, DIM_COUNT };
typedef struct snub_dimension {
    signed char power[DIM_COUNT];
} snub_dimension;
bool snub_same_dimension(const snub_dimension *a, const snub_dimension *b);

typedef struct snub_quantity_info {
    const char *name;    /**< "a length" */
    const char *bare;    /**< unit of a bare number; "" */
    const char *example; /**< "25 mm or 1 in" */
    const char *si;      /**< SI unit as UDUNITS-2 reads it */
    snub_dimension dimension;
} snub_quantity_info;
const snub_quantity_info *snub_quantity_describe(snub_quantity quantity);

/** SI = (value + before) * by / over + after. `by` and `over` are kept apart because a division by 1000 is exact where
 *  a product with 0.001 is not. */
typedef struct snub_unit_row {
    const char *name;
    snub_quantity quantity;
    double by, over, before, after;
    bool ours; /**< not UDUNITS-2's meaning, or not known to it */
} snub_unit_row;

/** All rows; tests compare each with UDUNITS-2. */
const snub_unit_row *snub_unit_rows(int *count);
/** The row of a unit (written as snub_unit_normalise leaves it) for a quantity, or NULL. */
const snub_unit_row *snub_unit_find(snub_quantity quantity, const char *name);
/** A row of that name for any quantity, or NULL. */
const snub_unit_row *snub_unit_find_any(const char *name);
double snub_unit_to_si(const snub_unit_row *row, double value);

enum { UNIT_TEXT_MOST = 64 };
/** One spelling for many: "lbf-ft", "lbf*ft" and "lbf·ft" become "lbf ft"; "m^2" and "m²" become "m2".
 *  @return false where no unit is written so (a digit where no power stands, other characters, too long) */
bool snub_unit_normalise(const char *text, char out[UNIT_TEXT_MOST]);

#endif
