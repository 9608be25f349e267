/** columns.h - which column of a log is what. Private to src/trace. */
#ifndef SNUB_TRACE_COLUMNS_H
#define SNUB_TRACE_COLUMNS_H

#include "snub/trace.h"

enum { TRACE_FIELDS_MOST = 512 };

/** Fields of a line. A field's ends are in the line. */
typedef struct trace_fields {
    int count; /**< TRACE_FIELDS_MOST + 1: there are more */
    const char *from[TRACE_FIELDS_MOST], *end[TRACE_FIELDS_MOST];
} trace_fields;

/** Split a line; a separator within quotes is none. With blanks as separator any number of them is one. */
void trace_split(const char *line, const char *end, char separator, trace_fields *fields);

/** Find the columns in a line that may be the header, by the usual names or those that the user gives.
 *  @param[out] columns  number, name and unit; no scales yet
 *  @return how many were found */
int trace_columns_find(const trace_fields *fields, const snub_log_wish *wish,
                       snub_log_column columns[SNUB_LOG_CHANNELS]);
/** Take a line below the header as a row of units: for the columns that have none.
 *  @return false: it is a row of data, or says nothing */
bool trace_columns_units(const trace_fields *fields, snub_log_column columns[SNUB_LOG_CHANNELS]);
/** Scales by the units, the user's before the log's.
 *  @return SNUB_OK; SNUB_BAD_INPUT: a unit of another quantity */
snub_status trace_columns_scale(snub_log_column columns[SNUB_LOG_CHANNELS], const snub_log_wish *wish,
                                snub_units *units, snub_error *error);

#endif
