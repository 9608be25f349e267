/** bill_table.h - the columns of a bill of materials, from which text, CSV, XLSX, JSON and paper are made. Private to
 * the room. */
#ifndef SNUB_REPORT_BILL_TABLE_H
#define SNUB_REPORT_BILL_TABLE_H

#include "snub/bill.h"
#include "snub/report.h"

/** A column that is no build's. */
typedef struct snub_bill_field {
    const char *key;   /**< in JSON */
    const char *title; /**< English, translated on paper */
    double share;      /**< of the width of a sheet */
    bool after;        /**< behind the builds */
    bool priced;       /**< there only where a part of the catalogue says something of it */
} snub_bill_field;

enum {
    SNUB_BILL_SUPPLY,
    SNUB_BILL_PART,
    SNUB_BILL_NUMBER,
    SNUB_BILL_SIZE,
    SNUB_BILL_CLASS,
    SNUB_BILL_FINISH,
    SNUB_BILL_SUPPLIER,
    SNUB_BILL_SUPPLIER_NUMBER,
    SNUB_BILL_SUPPLIER_PART,
    SNUB_BILL_COST,
    SNUB_BILL_CURRENCY,
    SNUB_BILL_MINIMUM,
    SNUB_BILL_STOCK,
    SNUB_BILL_NOTE,
    SNUB_BILL_FIELDS
};
extern const snub_bill_field snub_bill_fields[SNUB_BILL_FIELDS];

/** What a bill says in one form: its parts with what the catalogue knows of them. */
typedef struct snub_priced_bill {
    const snub_bill *bill;
    const snub_locale *locale;
    snub_arena *arena;
    snub_part *parts; /**< per row; key "" where the part is not of the catalogue */
    bool any_supplier, any_supplier_number, any_price, any_minimum, any_stock;
    bool failed; /**< memory ran out */
} snub_priced_bill;

/** @param[in] catalogue  may be NULL
 *  @return SNUB_OK; SNUB_IO, SNUB_BAD_INPUT (the catalogue cannot be read); SNUB_NO_MEMORY */
snub_status snub_bill_price(const snub_bill *bill, snub_catalogue *catalogue, const snub_locale *locale,
                            snub_arena *arena, snub_priced_bill *out, snub_error *error);
/** Whether a field is there at all. */
bool snub_bill_has(const snub_priced_bill *bill, int field);
/** A field of a row in words; "" for none. */
const char *snub_bill_text(snub_priced_bill *bill, int row, int field);
/** Pieces of SNUB_BILL_MINIMUM or SNUB_BILL_STOCK; -1: not known. */
long long snub_bill_pieces(const snub_priced_bill *bill, int row, int field);
/** Cost of one piece; NAN: not known. */
double snub_bill_cost(const snub_priced_bill *bill, int row);
/** Name of a column: "1: street, low compressor". */
const char *snub_bill_column_name(snub_priced_bill *bill, int column);
/** What stands under the table: each build with its options, belt and verdict, then what its priced parts cost, then
 * what there is too little of and what is not sold singly.
 *  @param[out] lines  in the arena, *count of them */
void snub_bill_notes(snub_priced_bill *bill, const char *const **lines, int *count);

#endif
