/** Fuzz target of the reader of logs. The first byte says in what pieces the rest is fed, and what is said of columns.
 *  Asserted: pieces give the same rows and status as the whole; a refusal has words; rows that are handed over are
 *  finite or gaps, in time that does not fall within a part; what is counted adds up. */
#include <math.h>
#include <string.h>

#include "fuzz.h"
#include "snub/trace.h"

typedef struct taken {
    long rows, part;
    double time, sum;
} taken;

static snub_status take(void *context, const snub_log_row *row)
{
    taken *t = context;
    const double time = row->value[SNUB_LOG_TIME];
    must(isfinite(time) && row->line > 0 && row->part >= t->part);
    must(row->part > t->part || time >= t->time);
    for (int c = 0; c < SNUB_LOG_CHANNELS; c++) {
        must(!isinf(row->value[c]));
        t->sum += isnan(row->value[c]) ? c + 1 : fmod(row->value[c], 1e3);
    }
    must(!(row->value[SNUB_LOG_ENGINE] < 0.0) && !(row->value[SNUB_LOG_BLOWER] < 0.0));
    t->part = row->part;
    t->time = time;
    t->rows++;
    return SNUB_OK;
}

static snub_status read_pieces(const char *data, size_t size, size_t piece, const snub_log_wish *wish, taken *t,
                               snub_error *error)
{
    snub_log_reader *reader = NULL;
    *t = (taken){0};
    must(snub_log_open("fuzz", wish, fuzz_units(), take, t, &reader, error) == SNUB_OK);
    snub_status status = SNUB_OK;
    for (size_t at = 0; at < size && status == SNUB_OK; at += piece)
        status = snub_log_feed(reader, data + at, size - at < piece ? size - at : piece, error);
    if (status == SNUB_OK)
        status = snub_log_finish(reader, error);
    const snub_log_rows *rows = snub_log_read(reader);
    must(rows->used == t->rows && rows->read == rows->used + rows->bad);
    snub_log_close(reader);
    return status;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size < 1)
        return 0;
    const char *text = (const char *)data + 1;
    const size_t length = size - 1, piece = 1 + data[0] % 32;
    snub_log_wish wish = {.rate = data[0] & 64 ? 100 : 0, .ambient = 101325};
    if (data[0] & 128)
        wish = (snub_log_wish){.column = {[SNUB_LOG_ENGINE] = "1", [SNUB_LOG_BLOWER] = "2"},
                               .unit = {[SNUB_LOG_BLOWER] = "Hz"},
                               .rate = 20};
    taken whole, pieces;
    snub_error error = {0}, other = {0};
    const snub_status status = read_pieces(text, length, length > 0 ? length : 1, &wish, &whole, &error);
    must(status == SNUB_OK || error.message[0] != '\0');
    must(read_pieces(text, length, piece, &wish, &pieces, &other) == status);
    must(status != SNUB_OK || (whole.rows == pieces.rows && whole.sum == pieces.sum));
    return 0;
}
