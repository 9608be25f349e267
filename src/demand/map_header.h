/** Heads of a blower map's columns, and how its mistakes are noted. Private to src/demand. */
#ifndef SNUB_DEMAND_MAP_HEADER_H
#define SNUB_DEMAND_MAP_HEADER_H

#include <stdio.h>

#include "snub/csv.h"
#include "snub/demand.h"

/** Columns of a map; the last need not be there. */
enum { MAP_FLOW, MAP_RATIO, MAP_SPEED, MAP_EFFICIENCY, MAP_SURGE, MAP_COLUMNS };
/** A column's name in the header, "pressure_ratio". */
const char *map_column_name(int column);

/** Mistakes of one map. */
typedef struct map_mistakes {
    const char *name; /**< of the map */
    snub_errors *errors;
    int count;
} map_mistakes;
/** Note a mistake with its line (0: of the whole map) and its column's name (may be NULL). */
void map_mistake(map_mistakes *mistakes, int line, const char *key, const snub_error *mistake);

#define MAP_TELL(mistakes, line, key, ...)                                                                             \
    do {                                                                                                               \
        snub_error mistake_ = {0};                                                                                     \
        (void)snub_fail(&mistake_, SNUB_BAD_INPUT, NULL, NULL, __VA_ARGS__);                                           \
        map_mistake((mistakes), (line), (key), &mistake_);                                                             \
    } while (0)

/** What the header says. */
typedef struct map_header {
    int fields;
    int column[MAP_COLUMNS];    /**< place in a row, -1: not there */
    double factor[MAP_COLUMNS]; /**< SI value of one unit; of a corrected mass flow the volume at the map's inlet */
} map_header;

/** Read the header. A flow is a volume at the inlet, or `corrected_flow`: a mass flow that is referred to the blower's
 *  map_pressure and map_temperature, or a volume flow that is referred to its map_temperature.
 *  @return false: some column is missing, unknown or wrong (noted) */
bool map_header_read(const snub_csv_row *row, snub_units *units, const snub_blower *blower, map_mistakes *mistakes,
                     map_header *header);

#endif
