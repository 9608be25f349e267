/** Measured values out of a table beside the drive file. docs/guide/drive-file.md, tolerances. */
#include "read_sample.h"

#include <string.h>

#include "sections.h"
#include "snub/csv.h"
#include "snub/units.h"

enum { FILE_MOST = 1000, NAME_MOST = 200, VALUES_MOST = 10000, TOLD_MOST = 8 /* mistakes of one table */ };

typedef struct sample_reading {
    snub_reader *reader;
    const snub_node *map; /* with `file` and `column` */
    const snub_sighting *seen;
    const char *column;
    int at, fields; /* place of the column in a row, -1: not there; fields of the head */
    bool headed;
    char unit[NAME_MOST];
    int count;
    double *values;
    int wrong;
} sample_reading;

/* A mistake in a line of the table; those beyond the first few are counted alone. */
static void tell(sample_reading *s, int line, const char *need, const char *message)
{
    if (s->wrong++ < TOLD_MOST)
        snub_read_wrong_key(s->reader, s->map, "file", need, "line %d, column %s: %s", line, s->column, message);
}

/* ---- head -------------------------------------------------------------------------------------------------------- */

/* "bore [mm]" is the column "bore" with the unit "mm"; round brackets will do. @return bytes of the name */
static size_t split_head(const char *head, char unit[NAME_MOST])
{
    size_t length = strcspn(head, "[(");
    unit[0] = '\0';
    if (head[length] != '\0') {
        const char *from = head + length + 1, *to = strchr(from, head[length] == '[' ? ']' : ')');
        if (to != NULL && to - from < NAME_MOST)
            snprintf(unit, NAME_MOST, "%.*s", (int)(to - from), from);
    }
    while (length > 0 && head[length - 1] == ' ')
        length--;
    return length;
}

static void find_column(sample_reading *s, const snub_csv_row *row)
{
    const char **names = SNUB_NEW(s->reader->arena, const char *, row->count + 1);
    s->fields = row->count;
    for (int i = 0; i < row->count; i++) {
        char unit[NAME_MOST];
        const char *name = snub_copy_text_n(s->reader->arena, row->fields[i], split_head(row->fields[i], unit));
        if (names == NULL || name == NULL) {
            snub_read_no_memory(s->reader);
            return;
        }
        names[i] = name;
        if (strcmp(name, s->column) != 0 && strcmp(row->fields[i], s->column) != 0)
            continue;
        if (s->at >= 0) {
            s->wrong++;
            snub_read_wrong_key(s->reader, s->map, "column", "a head of its own for each column",
                                "is there twice in line %d of the table", row->line);
        }
        s->at = i;
        memcpy(s->unit, unit, sizeof unit);
    }
    if (s->at < 0) {
        s->wrong++;
        snub_read_wrong_key(s->reader, s->map, "column", NULL, "is no head in line %d of the table%s", row->line,
                            snub_read_guess(s->reader, snub_nearest(s->column, names, row->count)));
    }
}

static void check_unit(sample_reading *s, int line)
{
    snub_error error = {0};
    double one;
    const char *text = snub_format(s->reader->arena, "1 %s", s->unit);
    if (text == NULL)
        snub_read_no_memory(s->reader);
    else if (snub_units_parse(s->reader->units, s->seen->quantity, text, &one, &error) != SNUB_OK) {
        tell(s, line, error.need[0] != '\0' ? error.need : NULL, error.message);
        s->at = -1;
    }
}

/* ---- values ------------------------------------------------------------------------------------------------------ */

/* A decimal comma is a point: within a field the reader of tables gives a comma only where it does not separate. */
static const char *with_point(sample_reading *s, const char *cell)
{
    char *text = snub_copy_text_n(s->reader->arena, cell, strlen(cell)),
         *comma = text != NULL ? strchr(text, ',') : NULL;
    if (comma != NULL && strchr(text, '.') == NULL && strchr(comma + 1, ',') == NULL)
        *comma = '.';
    return text;
}

/* By the getter of every other number, its mistakes told with the table's line. */
static void take_value(sample_reading *s, int line, const char *cell)
{
    snub_reader *reader = s->reader;
    snub_errors own = {0}, *const was = reader->errors;
    const int wrong = reader->wrong;
    const char *text = with_point(s, cell);
    double value = 0.0, plain;
    if (text != NULL && s->unit[0] != '\0') {
        if (snub_parse_number(text, NULL, &plain) != SNUB_OK) {
            tell(s, line, NULL, snub_format(reader->arena, "\"%.40s\" is not a number", cell));
            return;
        }
        text = snub_format(reader->arena, "%s %s", text, s->unit);
    }
    if (text == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    const snub_node node = {.kind = SNUB_SCALAR, .text = text, .place = snub_read_find(s->map, "file")->place};
    reader->errors = &own;
    const bool good = snub_read_value(reader, &node, s->seen->quantity, s->seen->least, s->seen->most, &value);
    reader->errors = was;
    reader->wrong = wrong;
    if (!good)
        tell(s, line, own.count > 0 && own.items[0].need[0] != '\0' ? own.items[0].need : NULL,
             snub_format(reader->arena, "\"%.40s\" %s", cell, own.count > 0 ? own.items[0].message : "is wrong"));
    else
        s->values[s->count++] = value;
    snub_errors_free(&own);
}

static snub_status take_row(void *context, const snub_csv_row *row, snub_error *error)
{
    sample_reading *s = context;
    if (row->count > 0 && row->fields[0][0] == '#')
        return SNUB_OK;
    if (!s->headed) {
        s->headed = true;
        find_column(s, row);
        if (s->at >= 0 && s->unit[0] != '\0')
            check_unit(s, row->line);
        return SNUB_OK;
    }
    if (s->at < 0)
        return SNUB_OK; /* without a column, or with a unit that is none, its numbers have no meaning */
    if (row->count != s->fields)
        tell(s, row->line, NULL,
             snub_format(s->reader->arena, "%d fields in the row, %d in the head", row->count, s->fields));
    else if (row->lengths[s->at] > 0 && s->count == VALUES_MOST)
        return snub_fail(error, SNUB_TOO_LARGE, NULL, NULL, "line %d: more than %d values", row->line, VALUES_MOST);
    else if (row->lengths[s->at] > 0)
        take_value(s, row->line, row->fields[s->at]);
    return s->reader->no_memory ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory") : SNUB_OK;
}

/* ---- all --------------------------------------------------------------------------------------------------------- */

/* @return false: noted */
static bool read_text(snub_reader *reader, const snub_node *map, const char *file, const char **text, size_t *length)
{
    const snub_map_source *source = reader->reading->maps;
    snub_errors errors = {0};
    if (source == NULL || source->text == NULL) {
        snub_read_wrong_key(reader, map, "file", "the values themselves, `sample: [80.02, 79.96]`",
                            "names a file, and none can be read here");
        return false;
    }
    const snub_status status =
        source->text(source->context, reader->document, file, reader->arena, text, length, &errors);
    for (int i = 0; i < errors.count; i++)
        snub_read_wrong_key(reader, map, "file", NULL, "%s", errors.items[i].message);
    if (status == SNUB_NO_MEMORY)
        snub_read_no_memory(reader);
    snub_errors_free(&errors);
    return status == SNUB_OK;
}

static bool read_table(snub_reader *reader, sample_reading *s, const char *file)
{
    const char *text;
    size_t length;
    snub_error error = {0};
    if (!read_text(reader, s->map, file, &text, &length))
        return false;
    const snub_status status = snub_csv_read(file, text, length, NULL, take_row, s, &error);
    if (status == SNUB_NO_MEMORY)
        snub_read_no_memory(reader);
    else if (status != SNUB_OK)
        snub_read_wrong_key(reader, s->map, "file", error.need[0] != '\0' ? error.need : NULL, "%s%s",
                            error.place.line > 0 ? snub_format(reader->arena, "line %d: ", error.place.line) : "",
                            error.message);
    else if (s->wrong > TOLD_MOST)
        snub_read_wrong_key(reader, s->map, "file", NULL, "%d more cells of column %s are wrong", s->wrong - TOLD_MOST,
                            s->column);
    else if (!s->headed)
        snub_read_wrong_key(reader, s->map, "file", NULL, "is empty");
    return status == SNUB_OK && s->headed && s->wrong == 0;
}

bool snub_read_sample(snub_reader *reader, const snub_node *item, const snub_sighting *seen, int *count,
                      double **values)
{
    const char *file = NULL;
    sample_reading s = {.reader = reader, .seen = seen, .at = -1};
    s.map = snub_read_map(reader, item, "sample", snub_sample_keys);
    if (s.map == NULL)
        return false;
    snub_enter(reader, "sample");
    bool good = snub_read_need(reader, s.map, "file") != NULL;
    good = snub_read_need(reader, s.map, "column") != NULL && good;
    good = snub_read_text(reader, s.map, "file", FILE_MOST, &file) && good;
    good = snub_read_text(reader, s.map, "column", NAME_MOST, &s.column) && good;
    s.values = SNUB_NEW(reader->arena, double, VALUES_MOST);
    if (s.values == NULL)
        snub_read_no_memory(reader);
    good = good && s.values != NULL && read_table(reader, &s, file);
    snub_leave(reader);
    *count = s.count;
    *values = s.values;
    return good;
}
