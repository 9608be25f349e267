/** table.h - what the forms of a table share. Private to src/report. */
#ifndef SNUB_REPORT_TABLE_H
#define SNUB_REPORT_TABLE_H

#include "snub/report.h"

/** Check that every cell is empty or of its column's type; those of a table without cells are checked as they come.
 *  @return SNUB_OK; SNUB_BAD_INPUT naming table, row and column */
snub_status snub_table_check(const snub_data_table *table, snub_error *error);

/** The cells of a row.
 *  @param[in] room  column_count cells, used where the table has none of its own
 *  @return SNUB_OK; SNUB_BAD_INPUT as snub_table_check; SNUB_NO_MEMORY */
snub_status snub_table_row_at(const snub_data_table *table, int row, snub_cell *room, const snub_cell **cells,
                              snub_error *error);
/** Room for it, malloc'd; the caller frees it. */
snub_cell *snub_table_row_room(const snub_data_table *table);

/** A number without a mark; empty where it is not finite. */
snub_cell snub_cell_plain(double number);
/** True where the cell shows nothing: empty, NULL text, a number that is not finite, no mark. */
bool snub_cell_is_empty(const snub_cell *cell);

/** In the look's units, behind an empty line and its title, which is said in the look's language.
 *  @return as snub_table_show; SNUB_NO_MEMORY */
snub_status snub_table_titled(const char *title, const snub_data_table *table, const snub_look *look, snub_arena *arena,
                              snub_text *out, snub_error *error);

/** Append a number in the fewest digits (15 to 17) that read back as the same double. */
void snub_number_exact(double number, snub_text *out);

snub_mark snub_mark_of(snub_level level);
/** "pass", "note", "marginal", "fail"; "" for none. Never NULL. */
const char *snub_mark_text(snub_mark mark);

#endif
