/** import.h - inside of the CSV import. */
#ifndef SNUB_PARTS_IMPORT_H
#define SNUB_PARTS_IMPORT_H

#include "catalogue.h"

#include "snub/csv.h"

/* How the file writes its numbers. */
typedef struct snub_import_dialect {
    char decimal, thousands; /* 0: not said, none */
} snub_import_dialect;

typedef enum snub_number_fault {
    SNUB_NUMBER_FINE,
    SNUB_NUMBER_UNSAID,     /* a comma, and nobody has said what it is */
    SNUB_NUMBER_OTHER_MARK, /* a mark that is neither of the two */
    SNUB_NUMBER_GROUPS,     /* thousands that are not in threes */
    SNUB_NUMBER_LONG
} snub_number_fault;

typedef enum snub_column_role {
    SNUB_COLUMN_NONE,     /* no title: may hold nothing */
    SNUB_COLUMN_LEFT_OUT, /* the map does not name it */
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
    snub_place place;              /* of the title, or of its line in the map */
    const snub_place *unit_at;     /* of its unit; NULL: the same */
    const char *constant;          /* of every row, from the map; NULL: a cell */
    bool constant_told;            /* it is wrong, and has been told once */
    const snub_map_column *mapped; /* NULL: by its own title */
    const snub_part_field *field;  /* FIELD, TOLERANCE: of any kind that has it */
    int index[SNUB_PART_KINDS];    /* of the field in each kind, -1 where it has none */
    bool renamed[SNUB_PART_KINDS]; /* the title is the field's name of before in that kind */
    char name[96];                 /* of the field, as the title has it */
    const char *role_name;         /* of what is no field: "price"; else NULL */
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
    snub_import_dialect dialect;
    int cell_count;   /* columns of the file: the first ones */
    int column_count; /* with the map's constants */
    snub_import_column columns[2 * SNUB_CSV_ROW_FIELDS];
    sqlite3_stmt *seen; /* asks which line of an update was about a part first */
    int *rule_cells;    /* column of each of the map's rules */
    snub_import_report report;
    snub_import_line *lines; /* rows added, ids rising */
    size_t line_count, line_room;
    snub_import_debt *debts;
    size_t debt_count, debt_room;
    snub_status failed; /* beyond the rows: SQLite, memory */
    snub_error failure;
};

/** A cell as the row, or the map, has it. */
const char *snub_import_cell(const snub_import *import, const snub_csv_row *row, int column);

/** Find out what a column is by a name, its title and unit being there. Mistakes are noted at its place, under `where`.
 *  @return false where it is nothing */
bool snub_import_understand(snub_import *import, snub_import_column *column, const char *name, const char *where);
/** Is one of the columns this? */
bool snub_import_has(const snub_import *import, snub_column_role role);
/** Is a column what one of the first `count` is already? */
bool snub_import_repeats(const snub_import *import, int count, const snub_import_column *column);
/** The columns that an import, or an update, cannot do without. */
bool snub_import_enough(snub_import *import, const snub_place *place);

/** The header of a file that has a map: each of the map's columns is looked for. As snub_import_header. */
bool snub_import_map_header(snub_import *import, const snub_csv_row *row);
/** Is the row one that the map leaves out? */
bool snub_import_map_leaves(const snub_import *import, const snub_csv_row *row);
/** What the catalogue calls the supplier's value. */
const char *snub_import_map_value(const snub_import_column *column, const char *text);

/** A cell's numbers with a decimal point and nothing between the thousands; what is no number stays. */
snub_number_fault snub_import_plain_number(const snub_import_dialect *dialect, const char *text, char *out,
                                           size_t room);

/** The part that a row of an update is about.
 *  @param[out] found  false: there is none; or a mistake was noted, and `*wrong` is true */
snub_status snub_import_old(snub_import *import, const snub_csv_row *row, snub_arena *arena, snub_part *part,
                            bool *found, bool *wrong, snub_error *error);

/** Understand the header. Mistakes are noted; false where there were any. */
bool snub_import_header(snub_import *import, const snub_csv_row *row);
/** Put the cells of a row into a part, whose texts are the row's. Every mistake of the row is noted.
 *  @param[in,out] part  with `old`: the part that is there, whose values stay where a cell is empty
 *  @return how many */
int snub_import_part(snub_import *import, const snub_csv_row *row, bool old, snub_part *part);
/** Tell a name of before, once. */
void snub_import_hint(snub_import *import, const snub_place *place, const char *old, const char *now);
/** Note a mistake at a place. got and need may be NULL. */
void snub_import_wrong_at(snub_import *import, const snub_place *place, const char *column, const char *got,
                          const char *need, const char *message);
/** Note a mistake of a line. got and need may be NULL. */
void snub_import_wrong(snub_import *import, int line, const char *column, const char *got, const char *need,
                       const char *message);

#endif
