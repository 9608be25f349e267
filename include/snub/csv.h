/** snub/csv.h - comma-separated values (RFC 4180): reading with places, and writing.
 *
 *  Reads what spreadsheets write: a byte-order mark, CRLF, LF or CR, quoted newlines, and commas, semicolons or tabs
 *  between the fields, in UTF-8 or UTF-16 by their marks or in another encoding that is said. Blanks around an unquoted
 * field are dropped; quoted ones stay. Blank lines are passed over.
 */
#ifndef SNUB_CSV_H
#define SNUB_CSV_H

#include "snub/base.h"

/** How the bytes of a file stand for characters. */
typedef enum snub_encoding {
    SNUB_ENCODING_FOUND_OUT = 0, /**< by the byte-order mark; UTF-8 where there is none */
    SNUB_ENCODING_UTF_8,
    SNUB_ENCODING_LATIN_1, /**< ISO 8859-1 without its control characters above 0x7F */
    SNUB_ENCODING_WINDOWS_1252,
    SNUB_ENCODING_UTF_16, /**< its byte-order mark says which of the next two */
    SNUB_ENCODING_UTF_16LE,
    SNUB_ENCODING_UTF_16BE
} snub_encoding;

/** "utf-8", "latin-1", ... in the order of the list from UTF_8 on; NULL-terminated. */
extern const char *const snub_encoding_words[];
/** FOUND_OUT where there is none of that name. */
snub_encoding snub_encoding_named(const char *name);

/** Limits, so that no file can exhaust the program. 0 takes the default. */
typedef struct snub_csv_limits {
    size_t field_bytes; /**< default 65536 */
    int row_fields;     /**< default 256 */
    long rows;          /**< default 20 million, header included */
    char delimiter;     /**< ',', ';' or tab; 0: the one that stands most often in the first line, comma if none */
    snub_encoding encoding;
    const char *encoding_help; /**< how the user says another encoding, for messages; NULL: he cannot */
} snub_csv_limits;

enum { SNUB_CSV_FIELD_BYTES = 65536, SNUB_CSV_ROW_FIELDS = 256, SNUB_CSV_ROWS = 20000000 };

/** One row. The texts are UTF-8, NUL-terminated, free of NUL bytes, and live until the next call. */
typedef struct snub_csv_row {
    int line;  /**< line where the row starts, from 1 */
    int count; /**< fields */
    const char *const *fields;
    const size_t *lengths; /**< bytes */
} snub_csv_row;

/** Takes one row. Anything but SNUB_OK ends the reading with that status; `error` is the reader's. */
typedef snub_status snub_csv_take(void *context, const snub_csv_row *row, snub_error *error);

typedef struct snub_csv_reader snub_csv_reader;

/** A reader that is fed piece by piece.
 *  @param[in] name  for messages; must outlive the reader
 *  @param[in] limits  NULL for the defaults
 *  @return SNUB_OK; SNUB_BAD_INPUT (a delimiter that is none of the three); SNUB_NO_MEMORY */
snub_status snub_csv_open(const char *name, const snub_csv_limits *limits, snub_csv_take *take, void *context,
                          snub_csv_reader **reader, snub_error *error);

/** Feed bytes; rows are handed over as they are complete. After an error every further call gives the same status.
 *  Rejects with line and reason: NUL bytes, bytes that are no character of the file's encoding, a byte-order mark
 *  of another encoding than the one that was said, a quote inside an unquoted field or text
 *  after a closing quote, and anything past the limits.
 *  @return SNUB_OK; SNUB_BAD_INPUT; SNUB_TOO_LARGE; SNUB_NO_MEMORY; or what `take` gave */
snub_status snub_csv_feed(snub_csv_reader *reader, const char *data, size_t length, snub_error *error);

/** The end of the file: hands over a last row without a newline; a quote left open is a mistake.
 *  @return as snub_csv_feed */
snub_status snub_csv_finish(snub_csv_reader *reader, snub_error *error);
void snub_csv_close(snub_csv_reader *reader);

/** Open, feed, finish and close for a text in memory. */
snub_status snub_csv_read(const char *name, const char *data, size_t length, const snub_csv_limits *limits,
                          snub_csv_take *take, void *context, snub_error *error);

/** Append one field, quoted where it must be (comma, semicolon, tab, quote, CR, LF, blanks at an end, empty text when
 *  `quote_empty`). `first` leaves out the comma before it. */
void snub_csv_field(snub_text *out, const char *text, size_t length, bool first, bool quote_empty);
/** Append one field of text that a spreadsheet must not take for a formula: where it begins with = + - @, tab, CR or LF
 *  (also the wide forms of the four signs) and is no plain number, an apostrophe goes before it; likewise before such a
 *  text that has apostrophes before it already, so that snub_csv_unmarked gives each text back. */
void snub_csv_text(snub_text *out, const char *text, size_t length, bool first, bool quote_empty);
/** The text behind the apostrophe of snub_csv_text; a text that has none is given back as it is. */
const char *snub_csv_unmarked(const char *text);
/** End the row: CRLF. */
void snub_csv_end_row(snub_text *out);

/** Offset of the first byte that is not part of valid UTF-8 (RFC 3629: no surrogates, nothing overlong, at most
 *  U+10FFFF), or `length` when all of it is. NUL counts as valid here. */
size_t snub_utf8_invalid(const char *text, size_t length);

#endif
