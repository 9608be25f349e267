/** snub/supplier_map.h - how a supplier's file is read: which of its columns is which field of the catalogue.
 *  Room: drive.
 *
 *  The same YAML as a drive file, with the same errors. What the fields are is the catalogue's matter (snub/parts.h).
 */
#ifndef SNUB_SUPPLIER_MAP_H
#define SNUB_SUPPLIER_MAP_H

#include "snub/csv.h"
#include "snub/drive.h"

/** A value of the supplier's, and what the catalogue calls it. */
typedef struct snub_map_value {
    const char *theirs, *ours;
} snub_map_value;

/** One field, and the column that has it. */
typedef struct snub_map_column {
    const char *field;
    snub_place field_place;
    const char *title; /**< of the supplier's column */
    snub_place place;  /**< of the title */
    const char *unit;  /**< of its numbers, or the currency of its prices; "": beside each value */
    snub_place unit_place;
    int value_count;
    snub_map_value *values; /**< those that are translated; others stay as they are */
} snub_map_column;

/** A field that is the same in every row. */
typedef struct snub_map_constant {
    const char *field, *text;
    snub_place place;
} snub_map_constant;

/** Rows that are left out: those whose cell of this column is, or begins with, one of these texts. */
typedef struct snub_map_rule {
    const char *title;
    snub_place place; /**< of the title */
    bool begins;
    int count;
    const char **texts; /**< "": the cell is empty */
} snub_map_rule;

/** What a map says. Texts live as long as the arena. */
typedef struct snub_supplier_map {
    snub_document document;
    const char *supplier;
    const char *kind; /**< of every row; NULL: a column or a constant gives it */
    snub_place kind_place;
    char separator; /**< ',', ';' or tab; 0: found out */
    snub_encoding encoding;
    char decimal;   /**< '.' or ','; 0: not said */
    char thousands; /**< '.', ',', ' ' or '\''; 0: none */
    snub_place columns_place;
    int column_count;
    snub_map_column *columns; /**< in the file's order */
    int constant_count;
    snub_map_constant *constants;
    int rule_count;
    snub_map_rule *rules;
} snub_supplier_map;

/** Words for the separator of fields, for a mark between the thousands, and for the decimal mark; NULL-terminated. */
extern const char *const snub_separator_words[];
extern const char *const snub_thousands_words[];
extern const char *const snub_decimal_words[];
/** The mark of the i-th word. */
char snub_separator_mark(int i);
char snub_thousands_mark(int i);
char snub_decimal_mark(int i);

/** Read a map.
 *  @param[in] name  for messages; must outlive the map and `errors`
 *  @param[out] map  valid only on SNUB_OK, but for `document`, whose source shows the errors' lines
 *  @return SNUB_OK; SNUB_BAD_INPUT, SNUB_TOO_LARGE (errors filled); SNUB_NO_MEMORY */
snub_status snub_supplier_map_read(const char *name, const char *text, size_t length, snub_units *units,
                                   snub_arena *arena, snub_supplier_map *map, snub_errors *errors);

#endif
