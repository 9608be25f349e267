/* Reads a blower map from CSV text; every bad row is told. docs/theory/blower.md */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "map_header.h"

enum { LINES_MOST = 200 };

/* Speeds that differ by less, relatively, belong to one speed line. */
#define SAME_SPEED 1e-9

typedef struct map_row {
    int line;
    bool surge; /* the surge point of its speed line */
    double value[MAP_SURGE];
} map_row;

typedef struct map_reading {
    map_mistakes mistakes;
    snub_units *units;
    const snub_blower *blower;
    bool header_read, header_bad;
    map_header header;
    map_row *rows;
    int count, room;
} map_reading;

#define TELL(reading, line, key, ...) MAP_TELL(&(reading)->mistakes, line, key, __VA_ARGS__)

/* One number of a row in SI, with its own bounds. */
static bool read_value(map_reading *reading, const snub_csv_row *row, int column, double *value)
{
    const char *text = row->fields[reading->header.column[column]], *name = map_column_name(column);
    double raw;
    if (snub_parse_number(text, NULL, &raw)) {
        TELL(reading, row->line, name, "\"%.40s\" is not a number", text);
        return false;
    }
    *value = raw * reading->header.factor[column];
    if (column == MAP_EFFICIENCY && !(*value > 0 && *value <= 1))
        TELL(reading, row->line, name, "an efficiency of %.6g is not above 0 and at most 1", *value);
    else if (column == MAP_RATIO && !(*value >= 1 && *value <= 20))
        TELL(reading, row->line, name, "a pressure ratio of %.6g is not from 1 to 20", *value);
    else if ((column == MAP_FLOW || column == MAP_SPEED) && !(*value > 0 && *value < 1e7))
        TELL(reading, row->line, name, "%s is not above zero, or is far too large", text);
    else
        return true;
    return false;
}

/* A mark in the column `surge`, if there is one: 1, x or yes; nothing, 0 or no. */
static bool read_surge(map_reading *reading, const snub_csv_row *row, bool *surge)
{
    static const char *const marks[] = {"", "0", "no", "1", "x", "yes"};
    const char *text = reading->header.column[MAP_SURGE] < 0 ? "" : row->fields[reading->header.column[MAP_SURGE]];
    int mark = 0;
    while (mark < 6 && strcmp(text, marks[mark]) != 0)
        mark++;
    *surge = mark >= 3;
    if (mark == 6)
        TELL(reading, row->line, map_column_name(MAP_SURGE),
             "\"%.40s\" is no mark: write x at the surge point of each speed line, and nothing elsewhere", text);
    return mark < 6;
}

static snub_status take_row(void *context, const snub_csv_row *row, snub_error *error)
{
    map_reading *reading = context;
    if (row->count > 0 && row->fields[0][0] == '#')
        return SNUB_OK;
    if (!reading->header_read) {
        reading->header_read = true;
        reading->header_bad =
            !map_header_read(row, reading->units, reading->blower, &reading->mistakes, &reading->header);
        return SNUB_OK;
    }
    if (reading->header_bad)
        return SNUB_OK; /* without columns a row has no meaning */
    if (row->count != reading->header.fields) {
        TELL(reading, row->line, NULL, "the row has %d fields, the header %d", row->count, reading->header.fields);
        return SNUB_OK;
    }
    map_row taken = {.line = row->line};
    bool good = true;
    for (int column = 0; column < MAP_SURGE; column++)
        good = read_value(reading, row, column, &taken.value[column]) && good;
    good = read_surge(reading, row, &taken.surge) && good;
    if (!good)
        return SNUB_OK;
    if (reading->count == reading->room) {
        if (reading->count >= SNUB_TABLE_POINTS_MOST)
            return snub_fail(error, SNUB_TOO_LARGE, NULL, NULL, "a map may have at most %d points",
                             SNUB_TABLE_POINTS_MOST);
        int room = reading->room ? 2 * reading->room : 64;
        map_row *grown = realloc(reading->rows, (size_t)room * sizeof *grown);
        if (!grown)
            return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
        reading->rows = grown;
        reading->room = room;
    }
    reading->rows[reading->count++] = taken;
    return SNUB_OK;
}

static int by_speed_and_flow(const void *left, const void *right)
{
    const map_row *a = left, *b = right;
    double sa = a->value[MAP_SPEED], sb = b->value[MAP_SPEED];
    if (fabs(sa - sb) > SAME_SPEED * fmax(sa, sb))
        return sa < sb ? -1 : 1;
    double fa = a->value[MAP_FLOW], fb = b->value[MAP_FLOW];
    return fa < fb ? -1 : fa > fb ? 1 : a->line - b->line;
}

/* First row of each speed line; the count of lines, or LINES_MOST + 1 where there are more. */
static int find_lines(const map_reading *reading, int first[LINES_MOST + 1])
{
    int lines = 0;
    for (int i = 0; i < reading->count; i++) {
        double speed = reading->rows[i].value[MAP_SPEED];
        if (i > 0 && fabs(speed - reading->rows[i - 1].value[MAP_SPEED]) <= SAME_SPEED * speed)
            continue;
        if (lines == LINES_MOST)
            return LINES_MOST + 1;
        first[lines++] = i;
    }
    first[lines] = reading->count;
    return lines;
}

static double rpm_of(const map_row *row)
{
    return row->value[MAP_SPEED] / SNUB_RPM;
}

/* Index of a speed line's marked surge point, n: none. */
static int surge_of(const map_row *rows, int n)
{
    int i = 0;
    while (i < n && !rows[i].surge)
        i++;
    return i;
}

static void check_points(map_reading *reading, int lines, const int *first)
{
    for (int k = 0; k < lines; k++) {
        const map_row *rows = reading->rows + first[k];
        int n = first[k + 1] - first[k];
        if (n < 2)
            TELL(reading, rows[0].line, "speed", "the speed line of %.6g rpm has a single point; it needs two or more",
                 rpm_of(rows));
        for (int i = 1; i < n; i++)
            if (rows[i].surge && surge_of(rows, n) < i)
                TELL(reading, rows[i].line, "surge", "line %d is the surge point of this speed line already",
                     rows[surge_of(rows, n)].line);
        for (int i = 1; i < n; i++)
            if (!(rows[i].value[MAP_FLOW] > rows[i - 1].value[MAP_FLOW]))
                TELL(reading, rows[i].line, "flow", "line %d has the same flow at the same speed", rows[i - 1].line);
    }
}

/* Ratio of a speed line at a flow inside its range. */
static double ratio_at(const map_row *rows, int n, double flow)
{
    int i = 1;
    while (i < n - 1 && rows[i].value[MAP_FLOW] < flow)
        i++;
    double width = rows[i].value[MAP_FLOW] - rows[i - 1].value[MAP_FLOW];
    double part = (flow - rows[i - 1].value[MAP_FLOW]) / width;
    return (1 - part) * rows[i - 1].value[MAP_RATIO] + part * rows[i].value[MAP_RATIO];
}

/* Where their flows overlap, the faster line must lie above. The difference of two polylines is linear between their
 * points, so that looking at the points of both is enough. */
static void check_pair(map_reading *reading, const map_row *slow, int slow_n, const map_row *fast, int fast_n)
{
    double from = fmax(slow[0].value[MAP_FLOW], fast[0].value[MAP_FLOW]);
    double to = fmin(slow[slow_n - 1].value[MAP_FLOW], fast[fast_n - 1].value[MAP_FLOW]);
    if (!(to >= from)) {
        if (fast[0].value[MAP_FLOW] < slow[0].value[MAP_FLOW])
            TELL(reading, fast[0].line, "flow", "the speed line of %.6g rpm lies left of the slower one of %.6g rpm",
                 rpm_of(fast), rpm_of(slow));
        return;
    }
    int above = 0, under = 0, at = fast[0].line;
    for (int i = 0; i < slow_n + fast_n + 2; i++) {
        double flow = i < slow_n             ? slow[i].value[MAP_FLOW]
                      : i < slow_n + fast_n  ? fast[i - slow_n].value[MAP_FLOW]
                      : i == slow_n + fast_n ? from
                                             : to;
        if (flow < from || flow > to)
            continue;
        if (ratio_at(fast, fast_n, flow) > ratio_at(slow, slow_n, flow)) {
            above++;
        } else {
            under++;
            at = i >= slow_n && i < slow_n + fast_n ? fast[i - slow_n].line : at;
        }
    }
    if (under > 0)
        TELL(reading, at, "pressure_ratio", "the speed lines of %.6g and %.6g rpm %s", rpm_of(slow), rpm_of(fast),
             above > 0 ? "cross" : "are the wrong way round: the faster one lies below the slower");
}

static void check_lines(map_reading *reading, int lines, const int *first)
{
    if (lines < 2)
        TELL(reading, 0, "speed", "the map has %d speed line%s; it needs two or more", lines, lines == 1 ? "" : "s");
    for (int a = 0; a < lines; a++)
        for (int b = a + 1; b < lines; b++)
            check_pair(reading, reading->rows + first[a], first[a + 1] - first[a], reading->rows + first[b],
                       first[b + 1] - first[b]);
}

static snub_status store(const map_reading *reading, int lines, const int *first, snub_arena *arena,
                         snub_blower *blower)
{
    snub_map_line *map = SNUB_NEW(arena, snub_map_line, lines);
    double *values = SNUB_NEW(arena, double, 3 * (size_t)reading->count);
    if (!map || !values)
        return SNUB_NO_MEMORY;
    for (int k = 0; k < lines; k++) {
        int n = first[k + 1] - first[k];
        map[k] = (snub_map_line){.speed = reading->rows[first[k]].value[MAP_SPEED],
                                 .n = n,
                                 .flow = values,
                                 .ratio = values + n,
                                 .efficiency = values + 2 * n};
        const int surge = surge_of(reading->rows + first[k], n);
        map[k].surge = surge < n ? reading->rows[first[k] + surge].value[MAP_FLOW] : 0;
        for (int i = 0; i < n; i++) {
            const double *value = reading->rows[first[k] + i].value;
            map[k].flow[i] = value[MAP_FLOW];
            map[k].ratio[i] = value[MAP_RATIO];
            map[k].efficiency[i] = value[MAP_EFFICIENCY];
        }
        values += 3 * (size_t)n;
    }
    blower->map = map;
    blower->map_lines = lines;
    return SNUB_OK;
}

/* Whole-map checks on rows that are good by themselves. */
static snub_status finish(map_reading *reading, snub_arena *arena, snub_blower *blower)
{
    int first[LINES_MOST + 1];
    if (!reading->header_read)
        TELL(reading, 0, NULL, "the map is empty");
    /* where rows were refused, what the rest looks like says nothing */
    if (reading->header_read && reading->mistakes.count == 0) {
        if (reading->count > 0)
            qsort(reading->rows, (size_t)reading->count, sizeof *reading->rows, by_speed_and_flow);
        int lines = find_lines(reading, first);
        if (lines > LINES_MOST) {
            TELL(reading, 0, "speed", "the map has more than %d speed lines", LINES_MOST);
            return SNUB_TOO_LARGE;
        }
        int before = reading->mistakes.count;
        check_points(reading, lines, first);
        if (reading->mistakes.count == before)
            check_lines(reading, lines, first);
        if (reading->mistakes.count == 0)
            return store(reading, lines, first, arena, blower);
    }
    return SNUB_BAD_INPUT;
}

snub_status snub_blower_map_read(const char *name, const char *text, size_t length, snub_units *units,
                                 snub_arena *arena, snub_blower *blower, snub_errors *errors)
{
    map_reading reading = {.mistakes = {name, errors, 0}, .units = units, .blower = blower};
    snub_error error = {0};
    snub_status status = snub_csv_read(name, text, length, NULL, take_row, &reading, &error);
    if (status)
        snub_errors_add(errors, &error);
    else if ((status = finish(&reading, arena, blower)) == SNUB_NO_MEMORY) {
        (void)snub_fail(&error, SNUB_NO_MEMORY, NULL, NULL, "out of memory: the map of %s", name);
        snub_errors_add(errors, &error);
    }
    free(reading.rows);
    if (status == SNUB_OK) {
        snub_digest digest;
        snub_digest_init(&digest);
        snub_digest_add(&digest, text, length);
        snub_digest_end(&digest, blower->map_digest);
    }
    return status;
}
