/* Lines of a log into rows. docs/theory/trace.md */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "columns.h"
#include "gunzip.h"
#include "number.h"

enum {
    LINE_MOST = 1 << 16,   /* bytes */
    PREAMBLE_LINES = 1000, /* before the header */
    HOPELESS_ROWS = 1000,  /* of which none could be used */
    QUICK_DIGITS = 15      /* under 2^53 */
};
static const long LINES_MOST = 2000000000L;
static const char SEPARATORS[] = "\t;|, ";

/* What the quantities can be; the rest is taken as it is. Air in a manifold: a sensor that reads further out is broken
 * or has another unit. */
static const struct {
    double least, most;
} RANGE[SNUB_LOG_CHANNELS] = {[SNUB_LOG_TIME] = {-1e12, 1e12},
                              [SNUB_LOG_ENGINE] = {0, 30000 * SNUB_RPM},
                              [SNUB_LOG_BLOWER] = {0, 400000 * SNUB_RPM},
                              [SNUB_LOG_THROTTLE] = {-1e9, 1e9},
                              [SNUB_LOG_BOOST] = {-2e6, 2e7},
                              [SNUB_LOG_CHARGE] = {173.15, 773.15}};

struct snub_log_reader {
    const char *name;
    const snub_log_wish *wish;
    snub_units *units;
    snub_log_take *take;
    void *context;
    trace_gunzip *gunzip;
    snub_log_rows rows;
    snub_status status; /* of an error, which stays */
    snub_error error;
    bool headed, units_read, begun;              /* the header was read; so were units; a row was handed over */
    bool comma;                                  /* may be a decimal mark */
    int fields, last;                            /* of the header; the last that is read */
    unsigned char channel_of[TRACE_FIELDS_MOST]; /* of each field up to that; SNUB_LOG_CHANNELS: none */
    long preamble, header_line;                  /* lines before the header; the one that looked most like it */
    char heading[160];                           /* it, for the message */
    double time, began;                          /* of the row before; of the part */
    size_t held;                                 /* bytes of a line whose end has not come */
    trace_fields split;
    char line[LINE_MOST];
};

const char *snub_log_fault_text(snub_log_fault fault)
{
    static const char *const texts[] = {
        [SNUB_LOG_FIELDS] = SNUB_MESSAGE("wrong number of fields"),
        [SNUB_LOG_NO_NUMBER] = SNUB_MESSAGE("not a number"),
        [SNUB_LOG_RANGE] = SNUB_MESSAGE("out of range"),
        [SNUB_LOG_NO_TIME] = SNUB_MESSAGE("no time"),
    };
    return texts[fault];
}

static snub_status fail(snub_log_reader *r, snub_status status, long line, const char *key, const char *message)
{
    const snub_place place = {.file = r->name, .line = (int)(line < INT32_MAX ? line : INT32_MAX)};
    r->status = snub_fail(&r->error, status, &place, key, "%s", message);
    return r->status;
}

/* ---- the header ---------------------------------------------------------------------------------------------------
 */

static bool is_comment(const snub_log_reader *r, const char *line, const char *end)
{
    const bool semicolons = r->headed && r->rows.separator == ';';
    return *line == '#' || (*line == ';' && !semicolons) || (end - line >= 2 && line[0] == '/' && line[1] == '/');
}

/* What all rows hang on: time or a rate, the engine's speed and the blower's or boost; and what the user names. */
static bool is_header(const snub_log_reader *r, const snub_log_column *columns)
{
    for (int c = 0; c < SNUB_LOG_CHANNELS; c++)
        if (r->wish->column[c] != NULL && columns[c].number == 0)
            return false;
    return columns[SNUB_LOG_ENGINE].number > 0 &&
           (columns[SNUB_LOG_BLOWER].number > 0 || columns[SNUB_LOG_BOOST].number > 0) &&
           (columns[SNUB_LOG_TIME].number > 0 || r->wish->rate > 0.0);
}

static bool all_numbers(const trace_fields *fields)
{
    double value;
    int numbers = 0;
    for (int i = 0; i < fields->count && i < TRACE_FIELDS_MOST; i++) {
        const trace_found what = trace_number(fields->from[i], fields->end[i], true, &value);
        if (what == TRACE_NEITHER && !trace_clock(fields->from[i], fields->end[i], true, &value))
            return false;
        numbers += what == TRACE_NUMBER;
    }
    return numbers > 0;
}

static void take_header(snub_log_reader *r, const snub_log_column *columns, char separator)
{
    memcpy(r->rows.column, columns, sizeof r->rows.column);
    r->headed = true;
    r->rows.separator = separator;
    r->comma = separator != ',';
    r->fields = r->split.count;
    for (int c = 0; c < SNUB_LOG_CHANNELS; c++)
        r->last = columns[c].number > r->last ? columns[c].number : r->last;
    for (int field = 0; field < r->last; field++)
        r->channel_of[field] = SNUB_LOG_CHANNELS;
    for (int c = 0; c < SNUB_LOG_CHANNELS; c++)
        if (columns[c].number > 0)
            r->channel_of[columns[c].number - 1] = (unsigned char)c;
}

/* A line before the header: is it the header, or a row of a log that has none? */
static snub_status try_header(snub_log_reader *r, const char *line, const char *end)
{
    int most = 0;
    for (const char *separator = SEPARATORS; *separator != '\0'; separator++) {
        snub_log_column columns[SNUB_LOG_CHANNELS];
        trace_split(line, end, *separator, &r->split);
        if (r->split.count < 2)
            continue;
        const int found = trace_columns_find(&r->split, r->wish, columns);
        if (is_header(r, columns)) {
            const bool none = all_numbers(&r->split);
            take_header(r, columns, *separator);
            r->rows.header = none ? 0 : r->rows.lines;
            r->units_read = none;
            return none ? SNUB_STOPPED : SNUB_OK; /* stopped: the line is a row */
        }
        most = found > most ? found : most;
    }
    if (r->header_line == 0 || most > 0) { /* what it comes nearest to, for the message */
        r->header_line = r->rows.lines;
        const size_t length =
            (size_t)(end - line) < sizeof r->heading - 1 ? (size_t)(end - line) : sizeof r->heading - 1;
        memcpy(r->heading, line, length);
        r->heading[length] = '\0';
    }
    return ++r->preamble > PREAMBLE_LINES ? SNUB_BAD_INPUT : SNUB_OK;
}

static snub_status no_header(snub_log_reader *r)
{
    char message[320];
    snub_text shown = {0};
    snub_text_safe(&shown, r->heading, strlen(r->heading));
    (void)snprintf(
        message, sizeof message,
        "no line names time, engine speed and blower speed or boost as expected (nearest: %.120s): choose the columns "
        "by --column engine=NAME, --column blower=NAME or boost=NAME%s",
        shown.data != NULL ? shown.data : "", r->wish->rate > 0.0 ? "" : " and --column time=NAME, or give --rate");
    snub_text_free(&shown);
    return fail(r, SNUB_BAD_INPUT, r->header_line, "columns", message);
}

static snub_status find_scales(snub_log_reader *r)
{
    snub_error why = {0};
    const snub_status status = trace_columns_scale(r->rows.column, r->wish, r->units, &why);
    r->units_read = true;
    return status == SNUB_OK ? SNUB_OK : fail(r, status, r->rows.header, why.key, why.message);
}

/* ---- rows ---------------------------------------------------------------------------------------------------------
 */

static snub_status bad_row(snub_log_reader *r, snub_log_fault fault, int channel, const char *from, const char *end)
{
    if (r->rows.bad < SNUB_LOG_BAD_MOST) {
        snub_log_bad *bad = &r->rows.first_bad[r->rows.bad];
        size_t length = (size_t)(end - from) < sizeof bad->text - 1 ? (size_t)(end - from) : sizeof bad->text - 1;
        *bad = (snub_log_bad){.line = r->rows.lines, .fault = fault, .channel = (snub_log_channel)channel};
        memcpy(bad->text, from, length);
    }
    r->rows.bad++;
    r->rows.bad_of[fault]++;
    if (r->rows.bad == HOPELESS_ROWS && r->rows.used == 0)
        return fail(r, SNUB_BAD_INPUT, r->rows.first_bad[0].line, NULL,
                    "none of the first thousand rows can be used; this is the first of them");
    return SNUB_OK;
}

/* @return false: not as many fields as the header has; one separator more at the end is none */
static bool split_line(snub_log_reader *r, const char *line, const char *end)
{
    trace_split(line, end, r->rows.separator, &r->split);
    const int count = r->split.count;
    const bool trailing = count == r->fields + 1 && end > line && end[-1] == r->rows.separator;
    return count == r->fields || (trailing && count > r->last);
}

/* One field in SI. @return SNUB_LOG_FAULTS: good, NAN for a gap */
static snub_log_fault read_field(snub_log_reader *r, int c, double *value)
{
    snub_log_column *column = &r->rows.column[c];
    const char *from = r->split.from[column->number - 1], *end = r->split.end[column->number - 1];
    double number;
    const trace_found what = trace_number(from, end, r->comma, &number);
    *value = NAN;
    if (what == TRACE_GAP)
        return c == SNUB_LOG_TIME ? SNUB_LOG_NO_TIME : SNUB_LOG_FAULTS;
    if (what == TRACE_NUMBER)
        *value = number * column->scale + column->zero;
    else if (c == SNUB_LOG_TIME && trace_clock(from, end, r->comma, value))
        column->clock = true;
    else
        return SNUB_LOG_NO_NUMBER;
    return *value >= RANGE[c].least && *value <= RANGE[c].most ? SNUB_LOG_FAULTS : SNUB_LOG_RANGE;
}

static void keep_time(snub_log_reader *r, double time)
{
    snub_log_rows *rows = &r->rows;
    if (!r->begun || time < r->time) {
        if (r->begun && rows->parts <= SNUB_LOG_BACK_MOST)
            rows->back[rows->parts - 1] = rows->lines;
        rows->parts++;
        r->began = time;
    } else {
        rows->seconds += time - r->time;
        rows->still += time == r->time;
    }
    r->begun = true;
    r->time = time;
}

/* A plain number at the beginning of a field: digits with at most one mark, after at most one minus; so few that the
 * result is exact. @return its end, the separator or `end`; NULL: it is none, or one that wants trace_number */
static const char *quick_number(const char *from, const char *end, char separator, bool comma, double *value)
{
    const char *at = from + (from < end && *from == '-'), *first = at, *mark = NULL;
    uint64_t whole = 0;
    unsigned digit;
    for (; at < end; at++) {
        if ((digit = (unsigned)(unsigned char)*at - '0') < 10)
            whole = whole * 10 + digit;
        else if (mark == NULL && (*at == '.' || (comma && *at == ',')))
            mark = at;
        else
            break;
    }
    const long after = mark != NULL ? at - mark - 1 : 0, all = at - first - (mark != NULL);
    if (all < 1 || all > QUICK_DIGITS || (at < end && *at != separator) || mark == first)
        return NULL;
    const double size = after > 0 ? (double)whole / trace_powers[after] : (double)whole;
    *value = first > from ? -size : size;
    return at;
}

/* A row of plain numbers, read in one go. @return false: it wants more care */
static bool read_quick(snub_log_reader *r, const char *line, const char *end, snub_log_row *row)
{
    const char separator = r->rows.separator;
    const char *at = line;
    if (separator == ' ' || memchr(line, '"', (size_t)(end - line)) != NULL)
        return false;
    for (int field = 0; field < r->last; field++) {
        const int c = r->channel_of[field];
        double number = 0.0;
        if (field > 0 && (at == end || *at++ != separator))
            return false;
        at = c < SNUB_LOG_CHANNELS ? quick_number(at, end, separator, r->comma, &number)
                                   : memchr(at, separator, (size_t)(end - at));
        if (at == NULL && c == SNUB_LOG_CHANNELS)
            at = end;
        if (at == NULL)
            return false;
        if (c == SNUB_LOG_CHANNELS)
            continue;
        const double value = number * r->rows.column[c].scale + r->rows.column[c].zero;
        if (!(value >= RANGE[c].least && value <= RANGE[c].most))
            return false;
        row->value[c] = value;
    }
    int fields = r->last;
    for (; at < end; at++)
        fields += *at == separator;
    return fields == r->fields;
}

static snub_status read_with_care(snub_log_reader *r, const char *line, const char *end, snub_log_row *row, bool *good)
{
    *good = false;
    if (!split_line(r, line, end))
        return bad_row(r, SNUB_LOG_FIELDS, SNUB_LOG_CHANNELS, line, end);
    for (int c = 0; c < SNUB_LOG_CHANNELS; c++) {
        row->value[c] = NAN;
        if (r->rows.column[c].number == 0)
            continue;
        const snub_log_fault fault = read_field(r, c, &row->value[c]);
        if (fault == SNUB_LOG_RANGE && c == SNUB_LOG_CHARGE) { /* a broken sensor says nothing against the speeds */
            row->value[c] = NAN;
            r->rows.hot_line = r->rows.hot == 0 ? r->rows.lines : r->rows.hot_line;
            r->rows.hot++;
        } else if (fault != SNUB_LOG_FAULTS) {
            const int field = r->rows.column[c].number - 1;
            return bad_row(r, fault, c, r->split.from[field], r->split.end[field]);
        }
    }
    *good = true;
    return SNUB_OK;
}

static snub_status take_row(snub_log_reader *r, const char *line, const char *end)
{
    snub_log_row row = {.line = r->rows.lines, .value = {NAN, NAN, NAN, NAN, NAN, NAN}};
    bool good;
    r->rows.read++;
    if (!read_quick(r, line, end, &row)) {
        const snub_status status = read_with_care(r, line, end, &row, &good);
        if (status != SNUB_OK || !good)
            return status;
    }
    if (r->rows.column[SNUB_LOG_TIME].number == 0)
        row.value[SNUB_LOG_TIME] = (double)(r->rows.read - 1) / r->wish->rate;
    keep_time(r, row.value[SNUB_LOG_TIME]);
    row.part = r->rows.parts;
    r->rows.used++;
    const snub_status status = r->take(r->context, &row);
    return status == SNUB_OK ? SNUB_OK : fail(r, status, r->rows.lines, NULL, snub_status_text(status));
}

/* ---- lines --------------------------------------------------------------------------------------------------------
 */

static snub_status take_line(snub_log_reader *r, const char *line, const char *end)
{
    r->rows.lines++;
    if (r->rows.lines > LINES_MOST)
        return fail(r, SNUB_TOO_LARGE, r->rows.lines, NULL, "the log has more than 2000 million lines");
    if (r->rows.lines == 1 && end - line >= 3 && memcmp(line, "\xEF\xBB\xBF", 3) == 0)
        line += 3;
    while (end > line && (end[-1] == '\r' || end[-1] == ' '))
        end--;
    while (line < end && *line == ' ')
        line++;
    if (line == end || is_comment(r, line, end))
        return SNUB_OK;
    if (!r->headed) {
        const snub_status status = try_header(r, line, end);
        if (status == SNUB_BAD_INPUT)
            return no_header(r);
        if (status == SNUB_OK)
            return SNUB_OK;
        const snub_status scaled = find_scales(r);
        return scaled == SNUB_OK ? take_row(r, line, end) : scaled;
    }
    if (!r->units_read) {
        trace_split(line, end, r->rows.separator, &r->split);
        const bool units = trace_columns_units(&r->split, r->rows.column);
        const snub_status status = find_scales(r);
        if (status != SNUB_OK || units)
            return status;
    }
    return take_row(r, line, end);
}

static snub_status hold(snub_log_reader *r, const char *data, size_t length)
{
    if (length > LINE_MOST - r->held)
        return fail(r, SNUB_TOO_LARGE, r->rows.lines + 1, NULL,
                    "the line is longer than 65536 bytes: this is no log of rows");
    memcpy(r->line + r->held, data, length);
    r->held += length;
    return SNUB_OK;
}

static snub_status take_text(snub_log_reader *r, const char *data, const char *end)
{
    while (data < end && r->status == SNUB_OK) {
        const char *stop = memchr(data, '\n', (size_t)(end - data));
        if (stop == NULL || r->held > 0) {
            const char *piece = stop != NULL ? stop : end;
            if (hold(r, data, (size_t)(piece - data)) != SNUB_OK || stop == NULL)
                return r->status;
            const size_t held = r->held;
            r->held = 0;
            (void)take_line(r, r->line, r->line + held);
        } else if (stop - data > LINE_MOST) {
            return hold(r, data, LINE_MOST + 1);
        } else {
            (void)take_line(r, data, stop);
        }
        data = stop + 1;
    }
    return r->status;
}

/* By the mark at its beginning, which is held when the first NUL byte comes. */
static bool is_utf_16(const snub_log_reader *r)
{
    return r->rows.lines == 0 && r->held >= 2 &&
           (memcmp(r->line, "\xFF\xFE", 2) == 0 || memcmp(r->line, "\xFE\xFF", 2) == 0);
}

static snub_status take_bytes(void *context, const char *data, size_t length, snub_error *error)
{
    snub_log_reader *r = context;
    (void)error;
    const char *nul = memchr(data, '\0', length);
    if (take_text(r, data, nul != NULL ? nul : data + length) == SNUB_OK && nul != NULL)
        return fail(r, SNUB_BAD_INPUT, r->rows.lines + 1, NULL,
                    is_utf_16(r) ? "the file is UTF-16: save it as UTF-8 or plain text"
                                 : "there are bytes here that are no text");
    return r->status;
}

/* ---- the reader ---------------------------------------------------------------------------------------------------
 */

snub_status snub_log_open(const char *name, const snub_log_wish *wish, snub_units *units, snub_log_take *take,
                          void *context, snub_log_reader **reader, snub_error *error)
{
    snub_log_reader *r = calloc(1, sizeof *r);
    *reader = NULL;
    if (r != NULL)
        r->gunzip = trace_gunzip_open();
    if (r == NULL || r->gunzip == NULL) {
        free(r);
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    }
    r->name = name;
    r->wish = wish;
    r->units = units;
    r->take = take;
    r->context = context;
    *reader = r;
    return SNUB_OK;
}

/* An error of the packing has no place yet. */
static snub_status kept(snub_log_reader *r, snub_status status, const snub_error *why, snub_error *error)
{
    if (status != SNUB_OK && r->status == SNUB_OK)
        (void)fail(r, status, r->rows.lines + 1, NULL, why->message);
    if (r->status != SNUB_OK && error != NULL)
        *error = r->error;
    return r->status;
}

snub_status snub_log_feed(snub_log_reader *reader, const char *data, size_t length, snub_error *error)
{
    snub_error why = {0};
    snub_status status = reader->status;
    if (status == SNUB_OK)
        status = trace_gunzip_feed(reader->gunzip, data, length, take_bytes, reader, &why);
    reader->rows.zipped = trace_gunzip_zipped(reader->gunzip);
    return kept(reader, status, &why, error);
}

snub_status snub_log_finish(snub_log_reader *reader, snub_error *error)
{
    snub_error why = {0};
    snub_status status = reader->status;
    if (status == SNUB_OK)
        status = trace_gunzip_finish(reader->gunzip, take_bytes, reader, &why);
    if (status == SNUB_OK && reader->held > 0) {
        status = take_line(reader, reader->line, reader->line + reader->held);
        reader->held = 0;
    }
    if (status == SNUB_OK && reader->rows.lines == 0)
        status = fail(reader, SNUB_BAD_INPUT, 0, NULL, "the log is empty");
    else if (status == SNUB_OK && !reader->headed)
        status = no_header(reader);
    else if (status == SNUB_OK && reader->rows.used == 0)
        status = fail(reader, SNUB_BAD_INPUT,
                      reader->rows.bad > 0 ? reader->rows.first_bad[0].line : reader->rows.lines, NULL,
                      reader->rows.bad > 0 ? "no row of the log can be used; this is the first of them"
                                           : "the log has a header and no rows");
    return kept(reader, status, &why, error);
}

const snub_log_rows *snub_log_read(const snub_log_reader *reader)
{
    return &reader->rows;
}

void snub_log_close(snub_log_reader *reader)
{
    if (reader == NULL)
        return;
    trace_gunzip_close(reader->gunzip);
    free(reader);
}
