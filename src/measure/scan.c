/** Points of a scan, row by row. docs/guide/measure.md. */
#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "snub/circles.h"
#include "snub/csv.h"

enum { HEAD = 8192, CHUNK = 4096, FIELDS_MOST = 256, NUMBER_MOST = 64, NAME_MOST = 100 };
/** Farther from the zero a point of an engine is not, m. */
static const double FARTHEST = 1000.0;

const char *const snub_scan_words[] = {"x", "y", "name", NULL};
/* Usual names of the column that says whose a point is, English and German. */
static const char *const NAMES[] = {"name",  "circle", "pulley", "group", "part",
                                    "kreis", "rolle",  "gruppe", "teil",  NULL};

typedef struct raw {
    double at[2];
    int line, group;
} raw;

typedef struct chunk {
    struct chunk *next;
    int count;
    raw point[CHUNK];
} chunk;

struct snub_scan_reader {
    const char *name;
    const snub_scan_wish *wish;
    snub_units *units;
    snub_arena *arena;
    snub_csv_reader *csv;
    snub_errors errors;
    snub_status status;
    char head[HEAD]; /* until it is known what stands between the fields */
    size_t held;
    snub_scan scan;
    int column[SNUB_SCAN_COLUMNS]; /* from 0; -1: none */
    double scale[2];
    int fields; /* of the first row */
    bool begun;
    chunk *first, *last;
    const char *group[SNUB_SCAN_GROUPS_MOST];
    int in_group[SNUB_SCAN_GROUPS_MOST];
    int latest;
};

static snub_status note(snub_scan_reader *r, snub_status status, int line, const char *key, const char *got,
                        const char *message)
{
    snub_error error;
    const snub_place place = {.file = r->name, .line = line};
    snub_fail(&error, status, &place, key, "%s", message);
    if (got != NULL)
        snprintf(error.got, sizeof error.got, "\"%.60s\"", got);
    snub_errors_add(&r->errors, &error);
    return r->status = status;
}

static snub_status no_memory(snub_scan_reader *r)
{
    return r->status = SNUB_NO_MEMORY;
}

/* ---- what stands between the fields ------------------------------------------------------------------------------ */

/* Blanks alone: no comma, or each between two digits and none twice in a word. */
static bool is_blank_separated(const char *line)
{
    bool in_word = false;
    int words = 0, commas = 0;
    for (const char *at = line; *at != '\0'; at++) {
        const bool blank = *at == ' ';
        if (!blank && !in_word) {
            words++;
            commas = 0;
        }
        in_word = !blank;
        if (*at == ',' &&
            (++commas > 1 || at == line || !isdigit((unsigned char)at[-1]) || !isdigit((unsigned char)at[1])))
            return false;
    }
    return words > 1;
}

static char separator_of(const char *line)
{
    return strchr(line, ';') != NULL ? ';' : strchr(line, '\t') != NULL ? '\t' : is_blank_separated(line) ? ' ' : ',';
}

/* The first line of what is held that is neither empty nor a remark, without NUL bytes, as UTF-16 has them.
 * @return false: it has no end yet */
static bool first_line(const snub_scan_reader *r, bool whole, char line[HEAD + 1])
{
    size_t n = 0;
    for (size_t i = 0; i < r->held; i++) {
        const char c = r->head[i];
        if (c != '\n' && c != '\r') {
            if (c != '\0' && (n > 0 || c != ' '))
                line[n++] = c;
            continue;
        }
        if (n > 0 && line[0] != '#')
            whole = true;
        if (whole && n > 0 && line[0] != '#')
            break;
        n = 0;
    }
    while (n > 0 && line[n - 1] == ' ')
        n--;
    line[n] = '\0';
    return whole;
}

/* ---- columns ----------------------------------------------------------------------------------------------------- */

/* A number of a field, decimal comma where the fields have none between them. */
static bool number_of(const snub_scan_reader *r, const char *field, double *value)
{
    char text[NUMBER_MOST];
    const size_t length = strlen(field);
    if (length == 0 || length >= sizeof text)
        return false;
    memcpy(text, field, length + 1);
    char *comma = r->scan.separator != ',' ? strchr(text, ',') : NULL;
    if (comma != NULL && strchr(text, '.') == NULL)
        *comma = '.';
    return snub_parse_number(text, NULL, value) == SNUB_OK;
}

/* "x [mm]" and "x (mm)" into name and unit. @param[out] unit  "": none */
static void split_title(const char *title, char name[NAME_MOST], char unit[NAME_MOST])
{
    size_t length = strcspn(title, "[(");
    const char *open = title + length;
    unit[0] = '\0';
    if (*open != '\0')
        snprintf(unit, NAME_MOST, "%.*s", (int)strcspn(open + 1, "])"), open + 1);
    while (length > 0 && title[length - 1] == ' ')
        length--;
    snprintf(name, NAME_MOST, "%.*s", length < NAME_MOST ? (int)length : NAME_MOST - 1, title);
}

static bool is_usual(int column, const char *name)
{
    if (column != SNUB_SCAN_NAME)
        return strcasecmp(name, snub_scan_words[column]) == 0;
    for (int i = 0; NAMES[i] != NULL; i++)
        if (strcasecmp(name, NAMES[i]) == 0)
            return true;
    return false;
}

/* The number that a column is chosen by; 0: by its name, or not at all. */
static long chosen_number(const snub_scan_reader *r, int column)
{
    const char *wish = r->wish->column[column];
    return wish != NULL && wish[0] != '\0' && strspn(wish, "0123456789") == strlen(wish) && strlen(wish) < 5
               ? strtol(wish, NULL, 10)
               : 0;
}

static void find_columns(snub_scan_reader *r, const char *const *field, int count, bool header)
{
    for (int c = 0; c < SNUB_SCAN_COLUMNS; c++) {
        const char *wish = r->wish->column[c];
        const long number = chosen_number(r, c);
        r->column[c] = number > 0 && number <= count                   ? (int)number - 1
                       : wish == NULL && !header && c < SNUB_SCAN_NAME ? c
                                                                       : -1;
        for (int i = 0; header && number == 0 && r->column[c] < 0 && i < count; i++) {
            char name[NAME_MOST], unit[NAME_MOST];
            split_title(field[i], name, unit);
            if (wish != NULL ? strcasecmp(name, wish) == 0 || strcasecmp(field[i], wish) == 0 : is_usual(c, name))
                r->column[c] = i;
        }
    }
}

static snub_status find_unit(snub_scan_reader *r, const char *const *field, bool header, int line)
{
    for (int c = 0; c < 2; c++) {
        char name[NAME_MOST], unit[NAME_MOST] = "", one[NAME_MOST + 2];
        snub_error why = {0};
        if (r->wish->unit != NULL)
            snprintf(unit, sizeof unit, "%s", r->wish->unit);
        else if (header)
            split_title(field[r->column[c]], name, unit);
        if (unit[0] == '\0')
            return note(r, SNUB_BAD_INPUT, line, snub_scan_words[c], NULL,
                        "its unit is not known: write it in the header, as in x [mm], or give --unit mm");
        snprintf(one, sizeof one, "1 %s", unit);
        if (snub_units_parse(r->units, SNUB_Q_LENGTH, one, &r->scale[c], &why) != SNUB_OK || !(r->scale[c] > 0.0))
            return note(r, SNUB_BAD_INPUT, line, snub_scan_words[c], unit, "not a unit of length");
        if (c == 0 && (r->scan.unit = snub_copy_text(r->arena, unit)) == NULL)
            return no_memory(r);
    }
    r->scan.unit_told = r->wish->unit != NULL;
    return SNUB_OK;
}

/* Is the first row one of points? Where columns are chosen by number those are looked at, else the first two. */
static bool has_no_header(const snub_scan_reader *r, const char *const *field, int count)
{
    for (int c = 0; c < SNUB_SCAN_NAME; c++) {
        const long number = r->wish->column[c] != NULL ? chosen_number(r, c) : c + 1;
        double value;
        if (number < 1 || number > count || !number_of(r, field[number - 1], &value))
            return false;
    }
    return true;
}

/* @param[out] header  the row is one, and no point */
static snub_status begin(snub_scan_reader *r, const char *const *field, int count, int line, bool *header)
{
    char message[200];
    *header = !has_no_header(r, field, count);
    r->begun = true;
    r->fields = count;
    r->scan.header = *header ? line : 0;
    find_columns(r, field, count, *header);
    for (int c = 0; c < SNUB_SCAN_COLUMNS; c++) {
        if (r->column[c] >= 0 || (c == SNUB_SCAN_NAME && r->wish->column[c] == NULL))
            continue;
        snprintf(message, sizeof message,
                 "no column has that name: choose one by --column %s=NAME, or by its number, --column %s=%d",
                 snub_scan_words[c], snub_scan_words[c], c + 1);
        return note(r, SNUB_BAD_INPUT, line, snub_scan_words[c],
                    r->wish->column[c] != NULL ? r->wish->column[c] : field[0], message);
    }
    return find_unit(r, field, *header, line);
}

/* ---- rows -------------------------------------------------------------------------------------------------------- */

/* @return -1: too many, or no memory */
static int group_of(snub_scan_reader *r, const char *name, int line)
{
    snub_scan *s = &r->scan;
    if (s->group_count > 0 && strcmp(r->group[r->latest], name) == 0)
        return r->latest;
    for (int g = 0; g < s->group_count; g++)
        if (strcmp(r->group[g], name) == 0)
            return r->latest = g;
    if (s->group_count == SNUB_SCAN_GROUPS_MOST) {
        note(r, SNUB_TOO_LARGE, line, "name", name, "there are more than 500 circles");
        return -1;
    }
    if ((r->group[s->group_count] = snub_copy_text(r->arena, name)) == NULL) {
        no_memory(r);
        return -1;
    }
    return r->latest = s->group_count++;
}

static snub_status keep(snub_scan_reader *r, const double at[2], int line, int group)
{
    if (r->scan.points == SNUB_SCAN_POINTS_MOST)
        return note(r, SNUB_TOO_LARGE, line, NULL, NULL,
                    "there are more than 200000 points: thin the scan out, or cut away what is no circle");
    if (r->last == NULL || r->last->count == CHUNK) {
        chunk *more = SNUB_NEW(r->arena, chunk, 1);
        if (more == NULL)
            return no_memory(r);
        if (r->last != NULL)
            r->last->next = more;
        else
            r->first = more;
        r->last = more;
    }
    r->last->point[r->last->count++] = (raw){{at[0], at[1]}, line, group};
    r->scan.points++;
    r->in_group[group]++;
    return SNUB_OK;
}

/* A row that is wrong is noted, and the next is read. */
static snub_status take_point(snub_scan_reader *r, const char *const *field, int count, int line)
{
    double at[2];
    if (count < r->fields || count > r->fields + 1 || (count > r->fields && field[count - 1][0] != '\0')) {
        note(r, SNUB_BAD_INPUT, line, NULL, NULL,
             r->scan.separator == ',' && count > r->fields
                 ? "more fields than in the first row: decimal commas need semicolons or tabs between the columns"
                 : "not as many fields as in the first row");
        return SNUB_OK;
    }
    for (int c = 0; c < SNUB_SCAN_NAME; c++) {
        if (!number_of(r, field[r->column[c]], &at[c])) {
            note(r, SNUB_BAD_INPUT, line, snub_scan_words[c], field[r->column[c]], "should be a number");
            return SNUB_OK;
        }
        at[c] *= r->scale[c];
        if (!(fabs(at[c]) <= FARTHEST)) {
            note(r, SNUB_BAD_INPUT, line, snub_scan_words[c], field[r->column[c]],
                 "this is over 1 km from the zero: is the unit right?");
            return SNUB_OK;
        }
    }
    const char *name = r->column[SNUB_SCAN_NAME] >= 0 ? field[r->column[SNUB_SCAN_NAME]] : "";
    if (r->column[SNUB_SCAN_NAME] >= 0 && (name[0] == '\0' || strlen(name) >= NAME_MOST)) {
        note(r, SNUB_BAD_INPUT, line, "name", name, "a name has 1 to 99 bytes");
        return SNUB_OK;
    }
    const int group = group_of(r, name, line);
    return group < 0 ? r->status : keep(r, at, line, group);
}

/* Fields of a row whose fields have blanks between them. */
static int split_blanks(char *row, const char *field[FIELDS_MOST])
{
    int count = 0;
    for (char *at = strtok_r(row, " ", &row); at != NULL && count < FIELDS_MOST; at = strtok_r(NULL, " ", &row))
        field[count++] = at;
    return count;
}

static snub_status take_fields(snub_scan_reader *r, const char *const *field, int count, int line)
{
    bool header = false;
    if (count == 0 || field[0][0] == '#')
        return SNUB_OK;
    if (!r->begun) {
        const snub_status status = begin(r, field, count, line, &header);
        if (status != SNUB_OK || header)
            return status;
    }
    return take_point(r, field, count, line);
}

static snub_status take_row(void *context, const snub_csv_row *row, snub_error *error)
{
    snub_scan_reader *r = context;
    snub_status status;
    if (r->scan.separator == ' ' && row->count == 1) {
        const char *field[FIELDS_MOST];
        char *copy = strdup(row->fields[0]);
        if (copy == NULL)
            return no_memory(r);
        status = take_fields(r, field, split_blanks(copy, field), row->line);
        free(copy);
    } else {
        status = take_fields(r, row->fields, row->count, row->line);
    }
    if (status != SNUB_OK)
        snub_fail(error, status, NULL, NULL, "stopped");
    return status;
}

/* ---- the reader -------------------------------------------------------------------------------------------------- */

snub_scan_reader *snub_scan_open(const char *name, const snub_scan_wish *wish, snub_units *units, snub_arena *arena)
{
    snub_scan_reader *r = calloc(1, sizeof *r);
    if (r == NULL)
        return NULL;
    r->name = name;
    r->wish = wish;
    r->units = units;
    r->arena = arena;
    return r;
}

/* The reader of rows has its own errors; those of a row that it was stopped by are noted already. */
static snub_status from_rows(snub_scan_reader *r, snub_status status, const snub_error *error)
{
    if (status == SNUB_OK || r->status == status)
        return status;
    if (status == SNUB_NO_MEMORY)
        return no_memory(r);
    snub_errors_add(&r->errors, error);
    return r->status = status;
}

/* @param[in] whole  there is no more than what is held */
static snub_status begin_rows(snub_scan_reader *r, bool whole)
{
    char line[HEAD + 1];
    snub_error error = {0};
    if (!first_line(r, whole || r->held == HEAD, line))
        return SNUB_OK;
    r->scan.separator = separator_of(line);
    const char delimiter = r->scan.separator == ' ' ? '\t' : r->scan.separator;
    const snub_csv_limits limits = {.delimiter = delimiter};
    snub_status status = snub_csv_open(r->name, &limits, take_row, r, &r->csv, &error);
    if (status == SNUB_OK)
        status = snub_csv_feed(r->csv, r->head, r->held, &error);
    return from_rows(r, status, &error);
}

/* Rows that are wrong are no reason to stop: those behind them are to be noted as well. */
static bool stopped(const snub_scan_reader *r)
{
    return r->status != SNUB_OK && (r->status != SNUB_BAD_INPUT || r->csv == NULL || r->scan.unit == NULL);
}

snub_status snub_scan_feed(snub_scan_reader *r, const char *data, size_t length)
{
    snub_error error = {0};
    while (length > 0 && r->csv == NULL && !stopped(r)) {
        const size_t room = HEAD - r->held, take = length < room ? length : room;
        memcpy(r->head + r->held, data, take);
        r->held += take;
        data += take;
        length -= take;
        (void)begin_rows(r, false);
    }
    if (length > 0 && !stopped(r))
        (void)from_rows(r, snub_csv_feed(r->csv, data, length, &error), &error);
    return stopped(r) ? r->status : SNUB_OK;
}

static snub_status make_groups(snub_scan_reader *r)
{
    snub_scan *s = &r->scan;
    const bool named = r->column[SNUB_SCAN_NAME] >= 0;
    s->group = SNUB_NEW(r->arena, snub_scan_group, s->group_count);
    double(*at)[2] = (double(*)[2])snub_alloc(r->arena, (size_t)s->points, sizeof *at);
    int *line = SNUB_NEW(r->arena, int, s->points), start[SNUB_SCAN_GROUPS_MOST], n = 0;
    if (s->group == NULL || at == NULL || line == NULL)
        return no_memory(r);
    for (int g = 0; g < s->group_count; g++) {
        start[g] = n;
        s->group[g] = (snub_scan_group){named ? r->group[g] : NULL, r->in_group[g], at + n, line + n};
        n += r->in_group[g];
    }
    for (const chunk *c = r->first; c != NULL; c = c->next)
        for (int i = 0; i < c->count; i++) {
            const int to = start[c->point[i].group]++;
            memcpy(at[to], c->point[i].at, sizeof at[to]);
            line[to] = c->point[i].line;
        }
    return SNUB_OK;
}

snub_status snub_scan_finish(snub_scan_reader *r, snub_scan *scan, snub_errors *errors)
{
    snub_error error = {0};
    if (r->csv == NULL && r->status == SNUB_OK)
        (void)begin_rows(r, true);
    if (r->csv != NULL && !stopped(r))
        (void)from_rows(r, snub_csv_finish(r->csv, &error), &error);
    if (r->status == SNUB_OK && r->scan.points == 0)
        note(r, SNUB_BAD_INPUT, 0, NULL, NULL, "the file has no points");
    if (r->status == SNUB_OK)
        (void)make_groups(r);
    for (int i = 0; i < r->errors.count; i++)
        snub_errors_add(errors, &r->errors.items[i]);
    errors->more += r->errors.more;
    *scan = r->scan;
    return r->status;
}

void snub_scan_close(snub_scan_reader *r)
{
    if (r == NULL)
        return;
    snub_csv_close(r->csv);
    snub_errors_free(&r->errors);
    free(r);
}
