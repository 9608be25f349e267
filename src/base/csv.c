/* CSV on libcsv, which does the splitting; this adds lines, limits, encodings and errors that point. */
#include "snub/csv.h"

#include "decode.h"

#include <csv.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum {
    HEAD_MOST = 65536, /* bytes held back to find the delimiter in the first line */
    PIECE = 4096,      /* most bytes given to libcsv at once, and the step by which its buffer grows */
    FIELD_BLOCK = 256  /* first size of a row's text buffer */
};

struct snub_csv_reader {
    const char *name;
    snub_csv_limits limits;
    snub_csv_take *take;
    void *context;
    struct csv_parser parser;
    bool parser_ready, started;

    char mark[4]; /* first bytes, until they say how the file is encoded */
    size_t mark_length;
    bool marked;           /* they have */
    snub_decoder *decoder; /* NULL: the bytes are UTF-8 */

    snub_text head; /* bytes kept until the delimiter is known */
    int line;       /* of the byte that is fed next */
    int row_line;   /* where the row in hand starts */
    bool in_row, after_cr;
    long rows;

    char *bytes; /* texts of the row in hand, each with its NUL */
    size_t used, room;
    size_t *starts, *lengths;
    const char **fields;
    int count;
    int line_of_field; /* of the field that was finished last, for messages */

    snub_status status; /* of the first failure */
    snub_error first;
};

size_t snub_utf8_invalid(const char *text, size_t length)
{
    const unsigned char *s = (const unsigned char *)text;
    size_t i = 0;
    while (i < length) {
        unsigned char lead = s[i];
        if (lead < 0x80) {
            i++;
            continue;
        }
        size_t more = lead >= 0xC2 && lead <= 0xDF   ? 1
                      : (lead & 0xF0) == 0xE0        ? 2
                      : lead >= 0xF0 && lead <= 0xF4 ? 3
                                                     : 0;
        if (!more || more > length - i - 1)
            return i;
        uint32_t code = lead & (0x3FU >> more);
        for (size_t k = 1; k <= more; k++) {
            if ((s[i + k] & 0xC0) != 0x80)
                return i;
            code = (code << 6) | (s[i + k] & 0x3FU);
        }
        if ((more == 2 && code < 0x800) || (more == 3 && code < 0x10000) || code > 0x10FFFF ||
            (code >= 0xD800 && code <= 0xDFFF))
            return i;
        i += more + 1;
    }
    return length;
}

/* ---- one row in hand -------------------------------------------------------------------------------------------- */

static void refuse(snub_csv_reader *reader, snub_status code, int line, const char *message, const char *got,
                   const char *need)
{
    if (reader->status != SNUB_OK)
        return;
    snub_place place = {reader->name, line, 0, 0, 0};
    reader->status = snub_fail(&reader->first, code, &place, NULL, "%s", message);
    if (got)
        strncpy(reader->first.got, got, sizeof reader->first.got - 1);
    if (need)
        strncpy(reader->first.need, need, sizeof reader->first.need - 1);
}

static const char *need_encoding(const snub_csv_reader *reader)
{
    return reader->limits.encoding_help ? reader->limits.encoding_help : "a file saved as UTF-8";
}

static bool make_room(snub_csv_reader *reader, size_t more)
{
    if (reader->room - reader->used >= more)
        return true;
    size_t room = reader->room ? reader->room : FIELD_BLOCK;
    while (room - reader->used < more) {
        if (room > SIZE_MAX / 2)
            return false;
        room *= 2;
    }
    char *bytes = realloc(reader->bytes, room);
    if (!bytes)
        return false;
    reader->bytes = bytes;
    reader->room = room;
    return true;
}

static void on_field(void *text, size_t length, void *data)
{
    snub_csv_reader *reader = data;
    if (reader->status != SNUB_OK)
        return;
    reader->line_of_field = reader->line;
    if (reader->count >= reader->limits.row_fields) {
        refuse(reader, SNUB_TOO_LARGE, reader->row_line, "row has too many fields", NULL, NULL);
        return;
    }
    if (length > reader->limits.field_bytes) {
        refuse(reader, SNUB_TOO_LARGE, reader->row_line, "field is too long", NULL, NULL);
        return;
    }
    const size_t wrong = snub_utf8_invalid(text, length);
    if (wrong != length) {
        char got[32];
        snprintf(got, sizeof got, "byte 0x%02X", ((const unsigned char *)text)[wrong]);
        refuse(reader, SNUB_BAD_INPUT, reader->line, "text is not UTF-8", got, need_encoding(reader));
        return;
    }
    if (!make_room(reader, length + 1)) {
        refuse(reader, SNUB_NO_MEMORY, reader->line, "out of memory", NULL, NULL);
        return;
    }
    reader->starts[reader->count] = reader->used;
    reader->lengths[reader->count] = length;
    if (length)
        memcpy(reader->bytes + reader->used, text, length);
    reader->bytes[reader->used + length] = '\0';
    reader->used += length + 1;
    reader->count++;
}

static void on_row(int terminator, void *data)
{
    (void)terminator;
    snub_csv_reader *reader = data;
    if (reader->status == SNUB_OK && ++reader->rows > reader->limits.rows)
        refuse(reader, SNUB_TOO_LARGE, reader->row_line, "file has too many rows", NULL, NULL);
    if (reader->status == SNUB_OK) {
        for (int i = 0; i < reader->count; i++)
            reader->fields[i] = reader->bytes + reader->starts[i];
        snub_csv_row row = {reader->row_line, reader->count, reader->fields, reader->lengths};
        reader->status = reader->take(reader->context, &row, &reader->first);
    }
    reader->used = 0;
    reader->count = 0;
    reader->in_row = false;
}

/* ---- feeding ---------------------------------------------------------------------------------------------------- */

/* Look at the first line that holds anything but blanks: is it whole, and which delimiter stands most often in it
 * outside quotes. Files fed in pieces and at once must be seen alike, so this is the only place that decides. */
static bool look_at_head(const char *head, size_t length, char *delimiter)
{
    size_t commas = 0, semicolons = 0, tabs = 0;
    bool quoted = false, any = false, whole = false;
    size_t first = length >= 3 && memcmp(head, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;
    for (size_t i = first; i < length && i < HEAD_MOST && !whole; i++) {
        char c = head[i];
        quoted = c == '"' ? !quoted : quoted;
        whole = !quoted && any && (c == '\n' || c == '\r');
        any = any || (c != '\n' && c != '\r' && c != ' ' && c != '\t');
        commas += !quoted && c == ',';
        semicolons += !quoted && c == ';';
        tabs += !quoted && c == '\t';
    }
    *delimiter = semicolons > commas && semicolons >= tabs ? ';' : tabs > commas ? '\t' : ',';
    return whole || length >= HEAD_MOST;
}

/* Give libcsv one line (or less) at a time, so that its callbacks can know the line they stand on. */
static void feed_piece(snub_csv_reader *reader, const char *data, size_t length)
{
    if (!reader->in_row) {
        bool blank = true;
        for (size_t i = 0; i < length && blank; i++)
            blank = data[i] == '\n' || data[i] == '\r' || data[i] == ' ' ||
                    (data[i] == '\t' && csv_get_delim(&reader->parser) != '\t');
        reader->row_line = reader->line;
        reader->in_row = !blank;
    }
    size_t eaten = csv_parse(&reader->parser, data, length, on_field, on_row, reader);
    if (reader->status != SNUB_OK)
        return;
    if (csv_get_buffer_size(&reader->parser) > reader->limits.field_bytes + 3 * PIECE) {
        /* libcsv's buffer grows by PIECE: a quote left open is caught before it takes in the rest of a large file */
        refuse(reader, SNUB_TOO_LARGE, reader->row_line, "field is too long", NULL, "a closing quote, or shorter text");
        return;
    }
    if (eaten == length)
        return;
    if (csv_error(&reader->parser) == CSV_EPARSE) {
        refuse(reader, SNUB_BAD_INPUT, reader->line, "misplaced quote", NULL,
               "quotes around the entire field, doubled inside it");
    } else {
        refuse(reader, SNUB_NO_MEMORY, reader->line, csv_strerror(csv_error(&reader->parser)), NULL, NULL);
    }
}

static void feed_lines(snub_csv_reader *reader, const char *data, size_t length)
{
    const char *nul = memchr(data, '\0', length);
    if (nul)
        length = (size_t)(nul - data);
    size_t start = 0;
    for (size_t i = 0; i < length && reader->status == SNUB_OK; i++) {
        char c = data[i];
        bool second_half = c == '\n' && reader->after_cr;
        reader->after_cr = c == '\r';
        if (c != '\n' && c != '\r' && i + 1 - start < PIECE)
            continue;
        if (second_half)
            reader->line--; /* the CR before it has counted this line already */
        feed_piece(reader, data + start, i + 1 - start);
        start = i + 1;
        reader->line += c == '\n' || c == '\r';
    }
    if (start < length && reader->status == SNUB_OK)
        feed_piece(reader, data + start, length - start);
    if (nul)
        refuse(reader, SNUB_BAD_INPUT, reader->line, "file has NUL bytes: it is not a text file, or it is UTF-16", NULL,
               need_encoding(reader));
}

static void start(snub_csv_reader *reader)
{
    const char *head = reader->head.data ? reader->head.data : "";
    size_t length = reader->head.length;
    reader->started = true;
    if (length >= 3 && memcmp(head, "\xEF\xBB\xBF", 3) == 0) {
        head += 3;
        length -= 3;
    }
    char delimiter;
    look_at_head(reader->head.data ? reader->head.data : "", reader->head.length, &delimiter);
    delimiter = reader->limits.delimiter ? reader->limits.delimiter : delimiter;
    csv_set_delim(&reader->parser, (unsigned char)delimiter);
    feed_lines(reader, head, length);
}

static snub_status outcome(snub_csv_reader *reader, snub_error *error)
{
    if (reader->status != SNUB_OK && error)
        *error = reader->first;
    return reader->status;
}

static void feed_characters(snub_csv_reader *reader, const char *data, size_t length)
{
    if (length == 0 || reader->status != SNUB_OK)
        return;
    if (reader->started) {
        feed_lines(reader, data, length);
        return;
    }
    snub_text_add(&reader->head, data, length);
    if (reader->head.failed)
        refuse(reader, SNUB_NO_MEMORY, 1, "out of memory", NULL, NULL);
    else if (look_at_head(reader->head.data, reader->head.length, &(char){0}))
        start(reader);
}

/* ---- encodings --------------------------------------------------------------------------------------------------- */

/* What stands before the wrong bytes is fed first, so that their line is known. */
static void not_a_character(snub_csv_reader *reader, const char *got)
{
    if (!reader->started)
        start(reader);
    refuse(reader, SNUB_BAD_INPUT, reader->line, "is no character of the file's encoding", got, need_encoding(reader));
}

static void feed_bytes(snub_csv_reader *reader, const char *data, size_t length)
{
    if (!reader->decoder) {
        feed_characters(reader, data, length);
        return;
    }
    char wrong[32];
    snub_text text = {0};
    const snub_status status = snub_decoder_feed(reader->decoder, data, length, &text, wrong);
    feed_characters(reader, text.data, text.length);
    if (status == SNUB_NO_MEMORY)
        refuse(reader, SNUB_NO_MEMORY, reader->line, "out of memory", NULL, NULL);
    else if (status != SNUB_OK && reader->status == SNUB_OK)
        not_a_character(reader, wrong);
    snub_text_free(&text);
}

/* The mark, or the caller, says how the file is encoded; not two things. @return SNUB_ENCODING_FOUND_OUT: told */
static snub_encoding encoding_of(snub_csv_reader *reader, snub_encoding marked)
{
    const snub_encoding said = reader->limits.encoding;
    const bool either = said == SNUB_ENCODING_UTF_16 && marked != SNUB_ENCODING_UTF_8;
    if (said == SNUB_ENCODING_FOUND_OUT)
        return marked == SNUB_ENCODING_FOUND_OUT ? SNUB_ENCODING_UTF_8 : marked;
    if (either && marked == SNUB_ENCODING_FOUND_OUT)
        refuse(reader, SNUB_BAD_INPUT, 1, "file has no byte-order mark", NULL, "utf-16le or utf-16be as its encoding");
    else if (either || marked == SNUB_ENCODING_FOUND_OUT || marked == said)
        return either ? marked : said;
    else
        refuse(reader, SNUB_BAD_INPUT, 1, "file begins with the byte-order mark of another encoding",
               snub_encoding_name(said), snub_encoding_name(marked));
    return SNUB_ENCODING_FOUND_OUT;
}

/* The first bytes are all there: open what turns the rest into UTF-8, and feed what is no mark. */
static void heed_mark(snub_csv_reader *reader)
{
    size_t mark;
    const snub_encoding encoding = encoding_of(reader, snub_encoding_marked(reader->mark, reader->mark_length, &mark));
    snub_error failed;
    reader->marked = true;
    if (encoding != SNUB_ENCODING_FOUND_OUT && encoding != SNUB_ENCODING_UTF_8) {
        const snub_status status = snub_decoder_open(encoding, &reader->decoder, &failed);
        if (status != SNUB_OK)
            refuse(reader, status, 1, failed.message, NULL, NULL);
    } else {
        mark = 0; /* that of UTF-8 is dropped with the head */
    }
    feed_bytes(reader, reader->mark + mark, reader->mark_length - mark);
}

snub_status snub_csv_feed(snub_csv_reader *reader, const char *data, size_t length, snub_error *error)
{
    enum { MARK_BYTES = 3 };
    while (!reader->marked && length > 0 && reader->status == SNUB_OK) {
        reader->mark[reader->mark_length++] = *data++;
        length--;
        if (reader->mark_length == MARK_BYTES)
            heed_mark(reader);
    }
    if (length > 0 && reader->status == SNUB_OK)
        feed_bytes(reader, data, length);
    return outcome(reader, error);
}

snub_status snub_csv_finish(snub_csv_reader *reader, snub_error *error)
{
    if (!reader->marked && reader->status == SNUB_OK)
        heed_mark(reader);
    if (!reader->started && reader->status == SNUB_OK)
        start(reader);
    if (reader->decoder && reader->status == SNUB_OK && snub_decoder_waits(reader->decoder))
        refuse(reader, SNUB_BAD_INPUT, reader->line, "file ends within a character", NULL, NULL);
    if (reader->status == SNUB_OK && csv_fini(&reader->parser, on_field, on_row, reader) != 0)
        refuse(reader, SNUB_BAD_INPUT, reader->row_line, "quote is never closed", NULL, NULL);
    return outcome(reader, error);
}

snub_status snub_csv_open(const char *name, const snub_csv_limits *limits, snub_csv_take *take, void *context,
                          snub_csv_reader **reader, snub_error *error)
{
    snub_csv_limits wanted = limits ? *limits : (snub_csv_limits){0};
    if (wanted.delimiter && wanted.delimiter != ',' && wanted.delimiter != ';' && wanted.delimiter != '\t')
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "the field separator is a comma, a semicolon or a tab");
    wanted.field_bytes = wanted.field_bytes ? wanted.field_bytes : SNUB_CSV_FIELD_BYTES;
    wanted.row_fields = wanted.row_fields > 0 ? wanted.row_fields : SNUB_CSV_ROW_FIELDS;
    wanted.rows = wanted.rows > 0 ? wanted.rows : SNUB_CSV_ROWS;

    snub_csv_reader *made = calloc(1, sizeof *made);
    if (!made)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    *made =
        (snub_csv_reader){.name = name, .limits = wanted, .take = take, .context = context, .line = 1, .row_line = 1};
    size_t fields = (size_t)wanted.row_fields;
    made->starts = calloc(fields, sizeof *made->starts);
    made->lengths = calloc(fields, sizeof *made->lengths);
    made->fields = calloc(fields, sizeof *made->fields);
    made->parser_ready = csv_init(&made->parser, CSV_STRICT | CSV_STRICT_FINI) == 0;
    if (!made->starts || !made->lengths || !made->fields || !made->parser_ready) {
        snub_csv_close(made);
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    }
    csv_set_blk_size(&made->parser, PIECE);
    *reader = made;
    return SNUB_OK;
}

void snub_csv_close(snub_csv_reader *reader)
{
    if (!reader)
        return;
    if (reader->parser_ready)
        csv_free(&reader->parser);
    snub_decoder_close(reader->decoder);
    snub_text_free(&reader->head);
    free(reader->bytes);
    free(reader->starts);
    free(reader->lengths);
    free((void *)reader->fields);
    free(reader);
}

snub_status snub_csv_read(const char *name, const char *data, size_t length, const snub_csv_limits *limits,
                          snub_csv_take *take, void *context, snub_error *error)
{
    snub_csv_reader *reader = NULL;
    snub_status status = snub_csv_open(name, limits, take, context, &reader, error);
    if (status == SNUB_OK)
        status = snub_csv_feed(reader, data, length, error);
    if (status == SNUB_OK)
        status = snub_csv_finish(reader, error);
    snub_csv_close(reader);
    return status;
}

/* ---- writing ---------------------------------------------------------------------------------------------------- */

static bool needs_quotes(const char *text, size_t length)
{
    if (length == 0)
        return false;
    if (text[0] == ' ' || text[0] == '\t' || text[length - 1] == ' ' || text[length - 1] == '\t')
        return true;
    for (size_t i = 0; i < length; i++)
        if (strchr("\",;\t\r\n", text[i]))
            return true;
    return length >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0; /* else it would read as a byte-order mark */
}

void snub_csv_field(snub_text *out, const char *text, size_t length, bool first, bool quote_empty)
{
    if (!first)
        snub_text_add(out, ",", 1);
    if (!needs_quotes(text, length) && !(quote_empty && length == 0)) {
        snub_text_add(out, text, length);
        return;
    }
    snub_text_add(out, "\"", 1);
    size_t start = 0;
    for (size_t i = 0; i < length; i++) {
        if (text[i] == '"') {
            snub_text_add(out, text + start, i + 1 - start);
            snub_text_add(out, "\"", 1);
            start = i + 1;
        }
    }
    snub_text_add(out, text + start, length - start);
    snub_text_add(out, "\"", 1);
}

/* What a spreadsheet begins a formula with: four signs, in East Asian versions also their wide forms, and the blanks
 * that some drop before they look. */
static bool begins_formula(const char *text)
{
    static const char *const wide[] = {"\xEF\xBC\x9D", "\xEF\xBC\x8B", "\xEF\xBC\x8D", "\xEF\xBC\xA0"};
    for (size_t i = 0; i < sizeof wide / sizeof wide[0]; i++)
        if (strncmp(text, wide[i], strlen(wide[i])) == 0)
            return true;
    return text[0] && strchr("=+-@\t\r\n", text[0]);
}

void snub_csv_text(snub_text *out, const char *text, size_t length, bool first, bool quote_empty)
{
    const size_t marks = strspn(text, "'");
    double value;
    if (!begins_formula(text + marks) || (marks == 0 && snub_parse_number(text, NULL, &value) == SNUB_OK)) {
        snub_csv_field(out, text, length, first, quote_empty);
        return;
    }
    snub_text marked = {0};
    snub_text_puts(&marked, "'");
    snub_text_add(&marked, text, length);
    out->failed = out->failed || marked.failed;
    if (!marked.failed)
        snub_csv_field(out, marked.data, marked.length, first, quote_empty);
    snub_text_free(&marked);
}

const char *snub_csv_unmarked(const char *text)
{
    const size_t marks = strspn(text, "'");
    return marks > 0 && begins_formula(text + marks) ? text + 1 : text;
}

void snub_csv_end_row(snub_text *out)
{
    snub_text_add(out, "\r\n", 2);
}
