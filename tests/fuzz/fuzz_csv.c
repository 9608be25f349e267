/** Fuzz target of the CSV reader. The first byte says in what pieces the rest is fed, and in which encoding it is.
 *  Asserted: pieces give the same rows, lines and status as the whole; a status other than OK comes with a message and
 * a line; what was read, written out and read again, is the same. */
#include <string.h>

#include "fuzz.h"
#include "snub/csv.h"

/* Rows as one text in which nothing is lost, and as CSV. */
typedef struct taken {
    snub_text rows, csv;
} taken;

static snub_status take(void *context, const snub_csv_row *row, snub_error *error)
{
    taken *t = context;
    (void)error;
    must(row->count > 0 && row->line > 0);
    snub_text_printf(&t->rows, "%d ", row->line);
    for (int i = 0; i < row->count; i++) {
        must(strlen(row->fields[i]) == row->lengths[i]);
        must(snub_utf8_invalid(row->fields[i], row->lengths[i]) == row->lengths[i]);
        snub_text_printf(&t->rows, "%zu:", row->lengths[i]);
        snub_text_add(&t->rows, row->fields[i], row->lengths[i]);
        /* one field alone in its row is quoted: empty it would be a blank line, which is passed over */
        snub_csv_field(&t->csv, row->fields[i], row->lengths[i], i == 0, row->count == 1);
    }
    snub_text_puts(&t->rows, "\n");
    snub_csv_end_row(&t->csv);
    return SNUB_OK;
}

static snub_status read_pieces(const char *data, size_t size, size_t piece, const snub_csv_limits *limits, taken *t,
                               snub_error *error)
{
    snub_csv_reader *reader = NULL;
    must(snub_csv_open("fuzz", limits, take, t, &reader, error) == SNUB_OK);
    snub_status status = SNUB_OK;
    for (size_t at = 0; at < size && status == SNUB_OK; at += piece)
        status = snub_csv_feed(reader, data + at, size - at < piece ? size - at : piece, error);
    if (status == SNUB_OK)
        status = snub_csv_finish(reader, error);
    snub_csv_close(reader);
    return status;
}

static void write_and_read(const taken *first)
{
    taken again = {0};
    snub_error error = {0};
    const snub_csv_limits comma = {.delimiter = ','};
    const char *csv = first->csv.data ? first->csv.data : "";
    must(snub_csv_read("again", csv, first->csv.length, &comma, take, &again, &error) == SNUB_OK);
    must(again.csv.length == first->csv.length &&
         (again.csv.length == 0 || memcmp(again.csv.data, csv, again.csv.length) == 0));
    snub_text_free(&again.rows);
    snub_text_free(&again.csv);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size < 1)
        return 0;
    const char *text = (const char *)data + 1;
    size_t length = size - 1, piece = 1 + data[0] % 32;
    const snub_csv_limits limits = {.field_bytes = 512,
                                    .row_fields = 32,
                                    .rows = 400,
                                    .encoding = (snub_encoding)(data[0] / 32 % (SNUB_ENCODING_UTF_16BE + 1))};
    taken whole = {0}, pieces = {0};
    snub_error error = {0}, other = {0};
    snub_status status = snub_csv_read("fuzz", text, length, &limits, take, &whole, &error);
    must(status == SNUB_OK || (error.message[0] && error.place.line > 0));
    must(read_pieces(text, length, piece, &limits, &pieces, &other) == status);
    if (status == SNUB_OK) {
        must(whole.rows.length == pieces.rows.length);
        must(whole.rows.length == 0 || memcmp(whole.rows.data, pieces.rows.data, whole.rows.length) == 0);
        write_and_read(&whole);
    } else {
        must(strcmp(error.message, other.message) == 0 && error.place.line == other.place.line);
    }
    snub_text_free(&whole.rows);
    snub_text_free(&whole.csv);
    snub_text_free(&pieces.rows);
    snub_text_free(&pieces.csv);
    return 0;
}
