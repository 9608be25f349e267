/* `snub bill --json`. */
#include "bill_table.h"
#include "json_words.h"

#include <math.h>

static json_t *column_of(const snub_bill_column *column)
{
    json_t *o = snub_json_row(column->row);
    snub_json_put(o, "build", json_integer(column->number));
    snub_json_put(o, "designation", snub_json_words(column->settled ? column->designation : NULL));
    snub_json_put(o, "verdict", snub_json_words(snub_level_text(column->verdict)));
    return o;
}

static json_t *row_of(snub_priced_bill *bill, int row)
{
    const snub_bill_row *part = &bill->bill->parts[row];
    json_t *o = snub_json_item(&part->item), *quantity = json_array();
    for (int c = 0; c < bill->bill->column_count; c++)
        snub_json_append(quantity, json_integer(part->count[c]));
    snub_json_put(o, "quantity", quantity);
    for (int f = 0; f < SNUB_BILL_FIELDS; f++) {
        const char *text = f == SNUB_BILL_COST ? "" : snub_bill_text(bill, row, f);
        if (f == SNUB_BILL_COST)
            snub_json_put(o, snub_bill_fields[f].key, snub_json_number(snub_bill_cost(bill, row)));
        else if (f == SNUB_BILL_MINIMUM || f == SNUB_BILL_STOCK)
            snub_json_put(o, snub_bill_fields[f].key,
                          text[0] != '\0' ? json_integer((json_int_t)snub_bill_pieces(bill, row, f)) : json_null());
        else if (f != SNUB_BILL_CLASS && f != SNUB_BILL_FINISH && f != SNUB_BILL_NOTE)
            snub_json_put(o, f == SNUB_BILL_PART ? "words" : snub_bill_fields[f].key,
                          text[0] != '\0' ? snub_json_words(text) : json_null());
    }
    return o;
}

json_t *snub_json_bill(const snub_bill *bill, snub_catalogue *catalogue, snub_arena *arena, snub_error *error)
{
    snub_priced_bill priced;
    if (snub_bill_price(bill, catalogue, NULL, arena, &priced, error) != SNUB_OK)
        return NULL;
    json_t *root = json_object(), *builds = json_array(), *parts = json_array();
    snub_json_put(root, "snub", json_integer(1));
    snub_json_put(root, "title", snub_json_words(bill->rows.title != NULL ? bill->rows.title : ""));
    snub_json_put(root, "fingerprint", snub_json_words(bill->fingerprint));
    for (int c = 0; c < bill->column_count; c++)
        snub_json_append(builds, column_of(&bill->columns[c]));
    for (int i = 0; i < bill->row_count; i++)
        snub_json_append(parts, row_of(&priced, i));
    snub_json_put(root, "builds", builds);
    snub_json_put(root, "parts", parts);
    if (priced.failed)
        snub_json_lose();
    return snub_json_whole(root);
}
