/** columns.h - the list of a chart's columns, from which text, CSV, JSON, XLSX, paper and page choose. Private to the
 *  room. How to add one: CONTRIBUTING.md. */
#ifndef SNUB_REPORT_COLUMNS_H
#define SNUB_REPORT_COLUMNS_H

#include "snub/report.h"

/** What a column stands once for. */
typedef enum snub_per { SNUB_PER_BUILD, SNUB_PER_OPTION, SNUB_PER_SLOT, SNUB_PER_PULLEY } snub_per;

/** Where its value stands in JSON. */
typedef enum snub_json_place {
    SNUB_JSON_TOP,       /**< a key of the build; with `per`, an object of names */
    SNUB_JSON_LOW,       /**< first of a pair under the key */
    SNUB_JSON_HIGH,      /**< second of it */
    SNUB_JSON_OF_BLOWER, /**< an object with the first blower's name, empty without a value */
    SNUB_JSON_BLOWER,    /**< in the object "blower" */
    SNUB_JSON_HARDWARE,  /**< in the object "hardware" */
    SNUB_JSON_OWN        /**< written by a function of its own, or not at all */
} snub_json_place;

/** When it is there at all. */
typedef enum snub_needs {
    SNUB_NEEDS_NOTHING,
    SNUB_NEEDS_BLOWER,
    SNUB_NEEDS_HARDWARE,
    SNUB_NEEDS_ARM,
    SNUB_NEEDS_PACKAGE
} snub_needs;

/** A value of a column, SI. */
typedef struct snub_column_value {
    double number;    /**< NAN: none */
    const char *text; /**< of columns of text; NULL: none */
    snub_mark mark;
} snub_column_value;

struct snub_columns_of;
typedef snub_column_value snub_column_fn(struct snub_columns_of *of, int build, int which);

typedef struct snub_chart_column {
    const char *key;   /**< in JSON, with the unit's suffix behind it */
    const char *title; /**< in CSV, XLSX and on paper, translated there; with "{name}" where `per` says so */
    const char *head;  /**< over a narrow table: one word */
    snub_unit unit;
    snub_cell_type type;
    int decimals;
    snub_per per;
    snub_json_place json;
    snub_needs needs;
    snub_column_fn *value;
} snub_chart_column;

/** The list, in the order of CSV and XLSX. */
const snub_chart_column *snub_chart_column_list(int *count);

/** Whether it is for the engineer; those before it are for whoever sells. */
bool snub_column_is_engineering(const snub_chart_column *column);

/** A column as it is shown: of one option, slot or pulley where it stands for several. */
typedef struct snub_shown_column {
    const snub_chart_column *of;
    int which;        /**< option, slot or pulley by number */
    const char *name; /**< its path or name; NULL: none */
    const char *title;
    const char *unit;    /**< metric */
    snub_cell_type type; /**< of its cells: an option may be a column of numbers */
    int decimals;
} snub_shown_column;

enum { SNUB_SHOWN_NAMES_MOST = 2 * SNUB_PULLEYS_MOST };

typedef struct snub_columns_of {
    const snub_chart *chart;
    snub_arena *arena;
    snub_arena *words; /**< for the texts of cells: the same, until the caller sets one that is given back sooner */
    const snub_locale *locale;
    int slot_count, pulley_count;
    const char *slots[SNUB_SHOWN_NAMES_MOST];   /**< names over all builds, in the order in which they come */
    const char *pulleys[SNUB_SHOWN_NAMES_MOST]; /**< those that the chart speaks of */
    const char *blower;                         /**< the first; NULL */
    bool has_air, has_hardware, has_arm;
    int count;
    snub_shown_column *columns;
    bool failed;            /**< memory ran out */
    snub_findings findings; /**< of one build */
    int findings_of;        /**< its number from 1; 0: none yet */
} snub_columns_of;

/** All columns that a chart has.
 *  @param[in] keys  NULL: the whole list; else these, in this order, NULL-terminated; of columns that stand for each
 *                   pulley then the first blower's alone */
void snub_columns_open(const snub_chart *chart, const char *const *keys, const snub_locale *locale, snub_arena *arena,
                       snub_columns_of *of);
/** The findings of a build; valid until those of another are asked for. */
const snub_findings *snub_columns_findings(snub_columns_of *of, int build);
snub_column_value snub_column_at(snub_columns_of *of, int column, int build);
/** As a cell of a table, in the unit that is shown. */
snub_cell snub_column_cell(snub_columns_of *of, int column, int build);

#endif
