/** import.h - inside of the CSV import. */
#ifndef SNUB_PARTS_IMPORT_H
#define SNUB_PARTS_IMPORT_H

#include "catalogue.h"

#include "snub/csv.h"

typedef enum snub_column_role {
    SNUB_COLUMN_NONE, /* no title: may hold nothing */
    SNUB_COLUMN_KEY,
    SNUB_COLUMN_KIND,
    SNUB_COLUMN_NAME,
    SNUB_COLUMN_SOURCE,
    SNUB_COLUMN_NOTE,
    SNUB_COLUMN_PRICE,
    SNUB_COLUMN_CURRENCY,
    SNUB_COLUMN_STOCK,
    SNUB_COLUMN_OWN_NUMBER,
    SNUB_COLUMN_SUPPLIER,
    SNUB_COLUMN_SUPPLIER_NUMBER,
    SNUB_COLUMN_MINIMUM_ORDER,
    SNUB_COLUMN_DISCONTINUED,
    SNUB_COLUMN_REPLACED_BY,
    SNUB_COLUMN_FIELD,
    SNUB_COLUMN_TOLERANCE
} snub_column_role;

/* One column of the file. A title's unit is understood once: value * scale + offset is SI. */
typedef struct snub_import_column {
    snub_column_role role;
    const snub_part_field *field;  /* FIELD, TOLERANCE: of any kind that has it */
    int index[SNUB_PART_KINDS];    /* of the field in each kind, -1 where it has none */
    bool renamed[SNUB_PART_KINDS]; /* the title is the field's name of before in that kind */
    char name[96];                 /* of the field, as the title has it */
    int line;                      /* of the title */
    char title[96];                /* as in the file, for messages */
    char unit[48];                 /* "" where the title has none */
    bool bare;                     /* the unit is the quantity's bare one */
    double scale, offset;
} snub_import_column;

/* Something of a row that can only be judged at the end. */
typedef struct snub_import_debt {
    int line;
    bool replaced;
    long long id;
    char *bearing;
} snub_import_debt;

typedef struct snub_import_line {
    long long id;
    int line;
} snub_import_line;

struct snub_import {
    snub_catalogue *catalogue;
    snub_units *units;
    const char *name;
    snub_import_options options;
    snub_errors *errors;
    snub_csv_reader *reader;
    bool open_transaction, hopeless;
    int column_count;
    snub_import_column columns[SNUB_CSV_ROW_FIELDS];
    snub_import_report report;
    snub_import_line *lines; /* rows added, ids rising */
    size_t line_count, line_room;
    snub_import_debt *debts;
    size_t debt_count, debt_room;
    snub_status failed; /* beyond the rows: SQLite, memory */
    snub_error failure;
};

/** Understand the header. Mistakes are noted; false where there were any. */
bool snub_import_header(snub_import *import, const snub_csv_row *row);
/** Put the cells of a row into a part, whose texts are the row's. Every mistake of the row is noted.
 *  @return how many */
int snub_import_part(snub_import *import, const snub_csv_row *row, snub_part *part);
/** Tell a name of before, once. */
void snub_import_hint(snub_import *import, int line, const char *old, const char *now);
/** Note a mistake of a line. got and need may be NULL. */
void snub_import_wrong(snub_import *import, int line, const char *column, const char *got, const char *need,
                       const char *message);

#endif
