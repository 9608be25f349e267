/* Names of columns as loggers write them, and their units. */
#include "columns.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "number.h"

enum { NAMES_MOST = 24 };

const char *const snub_log_words[] = {"time", "engine", "blower", "throttle", "boost", "temperature", NULL};

/* Small letters, one blank between words; the likelier name first. */
static const char *const NAMES[SNUB_LOG_CHANNELS][NAMES_MOST] = {
    [SNUB_LOG_TIME] = {"time", "zeit", "t", "timestamp", "time stamp", "elapsed time", "elapsed", "log time",
                       "messzeit", "zeitstempel", "seconds", "sekunden", "time s", "zeit s"},
    [SNUB_LOG_ENGINE] = {"engine speed",
                         "engine rpm",
                         "motordrehzahl",
                         "drehzahl motor",
                         "n motor",
                         "n mot",
                         "nmot",
                         "n engine",
                         "eng speed",
                         "engine revs",
                         "crank speed",
                         "crank rpm",
                         "crankshaft speed",
                         "kurbelwellendrehzahl",
                         "rpm",
                         "drehzahl",
                         "engine",
                         "motor",
                         "revs",
                         "speed engine"},
    [SNUB_LOG_BLOWER] = {"blower speed", "blower rpm", "supercharger speed", "supercharger rpm", "sc speed", "sc rpm",
                         "charger speed", "laderdrehzahl", "lader drehzahl", "drehzahl lader", "n lader", "n blower",
                         "kompressordrehzahl", "speed blower", "blower", "supercharger", "lader"},
    [SNUB_LOG_THROTTLE] = {"throttle", "throttle position", "throttle angle", "tps", "pedal", "pedal position",
                           "accelerator", "drosselklappe", "drosselklappenwinkel", "fahrpedal", "gaspedal",
                           "pedalstellung"},
    [SNUB_LOG_BOOST] = {"boost", "boost pressure", "ladedruck", "manifold pressure", "map",
                        "manifold absolute pressure", "saugrohrdruck", "charge pressure", "boost gauge"},
    [SNUB_LOG_CHARGE] = {"charge temperature", "charge air temperature", "manifold temperature",
                         "manifold air temperature", "intake air temperature", "intake temperature", "iat", "mat",
                         "act", "charge temp", "intake air temp", "intake temp", "manifold temp", "ladelufttemperatur",
                         "ladeluft temperatur", "ansauglufttemperatur", "saugrohrtemperatur", "temperature"}};
/* Of the pressures those that count from nothing. */
static const char *const ABSOLUTE[] = {"map", "manifold pressure", "manifold absolute pressure", "saugrohrdruck"};
/* Turns a minute in the ways of the trade, without blanks. */
static const char *const TURNS[] = {"rpm", "1/min", "u/min", "min-1", "min^-1", "/min", "rev/min", "r/min", "upm"};
/* Units that may end a name without brackets. */
static const char *const ENDS[] = {"rpm", "ms",   "s",    "sec", "us", "kpa",   "bar",   "mbar",  "hpa",
                                   "psi", "psig", "psia", "pct", "%",  "1 min", "u min", "min 1", "deg"};

static bool is_one_of(const char *word, const char *const *words, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (strcmp(word, words[i]) == 0)
            return true;
    return false;
}
#define IS_ONE_OF(word, list) is_one_of(word, list, sizeof(list) / sizeof((list)[0]))

void trace_split(const char *line, const char *end, char separator, trace_fields *fields)
{
    const bool blanks = separator == ' ';
    const char *from = line;
    bool quoted = false;
    fields->count = 0;
    for (const char *at = line;; at++) {
        if (at < end && *at == '"')
            quoted = !quoted;
        const bool ends = at == end || (!quoted && (*at == separator || (blanks && *at == '\t')));
        if (!ends)
            continue;
        if (!blanks || at > from) {
            if (fields->count == TRACE_FIELDS_MOST) {
                fields->count++;
                return;
            }
            fields->from[fields->count] = from;
            fields->end[fields->count++] = at;
        }
        if (at == end)
            return;
        from = at + 1;
    }
}

/* ---- names --------------------------------------------------------------------------------------------------------
 */

static void keep(const char *from, const char *end, char *text, size_t room)
{
    trace_trim(&from, &end);
    size_t length = (size_t)(end - from) < room - 1 ? (size_t)(end - from) : room - 1;
    while (length > 0 && from + length < end && ((unsigned char)from[length] & 0xC0) == 0x80)
        length--; /* not within a character */
    memcpy(text, from, length);
    text[length] = '\0';
}

/* A heading without its unit in brackets, in small letters with one blank between words. */
static void plain_name(const char *from, const char *end, char name[SNUB_LOG_NAME_MOST], char unit[SNUB_LOG_UNIT_MOST])
{
    size_t at = 0;
    int depth = 0;
    const char *open = NULL;
    unit[0] = '\0';
    for (; from < end; from++) {
        const char c = *from;
        if (c == '(' || c == '[' || c == '{') {
            open = depth++ == 0 ? from + 1 : open;
        } else if ((c == ')' || c == ']' || c == '}') && depth > 0) {
            if (--depth == 0)
                keep(open, from, unit, SNUB_LOG_UNIT_MOST);
        } else if (depth == 0 && at + 1 < SNUB_LOG_NAME_MOST) {
            const bool blank = strchr(" _-./:\t\"", c) != NULL;
            if (!blank)
                name[at++] = (char)(c >= 'A' && c <= 'Z' ? c + ('a' - 'A') : c);
            else if (at > 0 && name[at - 1] != ' ')
                name[at++] = ' ';
        }
    }
    while (at > 0 && name[at - 1] == ' ')
        at--;
    name[at] = '\0';
}

/* "time ms": the unit behind the name. */
static void split_end(char name[SNUB_LOG_NAME_MOST], char unit[SNUB_LOG_UNIT_MOST])
{
    for (size_t i = 0; i < sizeof ENDS / sizeof ENDS[0] && unit[0] == '\0'; i++) {
        const size_t length = strlen(name), with = strlen(ENDS[i]);
        if (length > with + 1 && name[length - with - 1] == ' ' && strcmp(name + length - with, ENDS[i]) == 0) {
            memcpy(unit, ENDS[i], with + 1);
            name[length - with - 1] = '\0';
        }
    }
}

static bool is_text(const char *from, const char *end, const char *wanted)
{
    trace_trim(&from, &end);
    return strlen(wanted) == (size_t)(end - from) && strncasecmp(from, wanted, (size_t)(end - from)) == 0;
}

/* The field that the user means: by its whole heading, by its name without the unit, by its number. -1: none */
static int wanted_field(const trace_fields *fields, const char *wanted)
{
    char name[SNUB_LOG_NAME_MOST], meant[SNUB_LOG_NAME_MOST], unit[SNUB_LOG_UNIT_MOST];
    for (int i = 0; i < fields->count; i++)
        if (is_text(fields->from[i], fields->end[i], wanted))
            return i;
    plain_name(wanted, wanted + strlen(wanted), meant, unit);
    for (int i = 0; i < fields->count && meant[0] != '\0'; i++) {
        plain_name(fields->from[i], fields->end[i], name, unit);
        if (strcmp(name, meant) == 0)
            return i;
    }
    char *stop;
    const long number = strtol(wanted, &stop, 10);
    return *wanted != '\0' && *stop == '\0' && number >= 1 && number <= fields->count ? (int)number - 1 : -1;
}

static int usual_field(const trace_fields *fields, snub_log_channel channel)
{
    char name[SNUB_LOG_NAME_MOST], unit[SNUB_LOG_UNIT_MOST];
    for (int n = 0; n < NAMES_MOST && NAMES[channel][n] != NULL; n++)
        for (int i = 0; i < fields->count; i++) {
            plain_name(fields->from[i], fields->end[i], name, unit);
            if (strcmp(name, NAMES[channel][n]) == 0)
                return i;
            split_end(name, unit);
            if (strcmp(name, NAMES[channel][n]) == 0)
                return i;
        }
    return -1;
}

int trace_columns_find(const trace_fields *fields, const snub_log_wish *wish,
                       snub_log_column columns[SNUB_LOG_CHANNELS])
{
    int found = 0;
    for (int c = 0; c < SNUB_LOG_CHANNELS; c++) {
        char name[SNUB_LOG_NAME_MOST];
        columns[c] = (snub_log_column){0};
        if (fields->count > TRACE_FIELDS_MOST || (c == SNUB_LOG_TIME && wish->rate > 0.0 && wish->column[c] == NULL))
            continue;
        const int i =
            wish->column[c] != NULL ? wanted_field(fields, wish->column[c]) : usual_field(fields, (snub_log_channel)c);
        if (i < 0)
            continue;
        found++;
        columns[c].number = i + 1;
        keep(fields->from[i], fields->end[i], columns[c].name, SNUB_LOG_NAME_MOST);
        plain_name(fields->from[i], fields->end[i], name, columns[c].unit);
        split_end(name, columns[c].unit);
        if (columns[c].unit[0] == '\0' && strcmp(name, "seconds") == 0)
            memcpy(columns[c].unit, "s", 2);
    }
    return found;
}

/* ---- units --------------------------------------------------------------------------------------------------------
 */

bool trace_columns_units(const trace_fields *fields, snub_log_column columns[SNUB_LOG_CHANNELS])
{
    double number;
    bool any = false;
    for (int i = 0; i < fields->count && i < TRACE_FIELDS_MOST; i++) {
        const trace_found what = trace_number(fields->from[i], fields->end[i], true, &number);
        if (what == TRACE_NUMBER || trace_clock(fields->from[i], fields->end[i], true, &number))
            return false;
        any = any || what == TRACE_NEITHER;
    }
    for (int c = 0; c < SNUB_LOG_CHANNELS && any; c++) {
        const int i = columns[c].number - 1;
        if (i < 0 || i >= fields->count || columns[c].unit[0] != '\0')
            continue;
        const char *from = fields->from[i], *end = fields->end[i];
        trace_trim(&from, &end);
        if (end - from >= 2 && strchr("([{", *from) != NULL) {
            from++;
            end--;
        }
        keep(from, end, columns[c].unit, SNUB_LOG_UNIT_MOST);
        if (strcmp(columns[c].unit, "-") == 0)
            columns[c].unit[0] = '\0';
    }
    return any;
}

static bool is_turns(const char *unit)
{
    char bare[SNUB_LOG_UNIT_MOST];
    size_t length = 0;
    for (; *unit != '\0' && length + 1 < sizeof bare; unit++)
        if (*unit != ' ')
            bare[length++] = (char)(*unit >= 'A' && *unit <= 'Z' ? *unit + ('a' - 'A') : *unit);
    bare[length] = '\0';
    return IS_ONE_OF(bare, TURNS) || strcmp(bare, "1 min") == 0 || strcmp(bare, "umin") == 0 ||
           strcmp(bare, "1min") == 0;
}

static snub_status scale_of(snub_log_column *column, snub_quantity quantity, snub_units *units, snub_error *error)
{
    char one[SNUB_LOG_UNIT_MOST + 4], none[SNUB_LOG_UNIT_MOST + 4];
    double at_one, at_zero;
    (void)snprintf(one, sizeof one, "1 %s", column->unit);
    (void)snprintf(none, sizeof none, "0 %s", column->unit);
    snub_status status = snub_units_parse(units, quantity, one, &at_one, error);
    if (status == SNUB_OK)
        status = snub_units_parse(units, quantity, none, &at_zero, error);
    if (status == SNUB_OK) {
        column->zero = at_zero;
        column->scale = at_one - at_zero;
    }
    return status;
}

/* Pressure above ambient. A gauge's unit adds the standard atmosphere, which is taken off again. */
static void above_ambient(snub_log_column *column, double ambient)
{
    char name[SNUB_LOG_NAME_MOST], unit[SNUB_LOG_UNIT_MOST];
    plain_name(column->name, column->name + strlen(column->name), name, unit);
    split_end(name, unit);
    if (column->zero != 0.0)
        column->zero = 0.0;
    else if (IS_ONE_OF(name, ABSOLUTE) || strcasecmp(column->unit, "psia") == 0)
        column->zero = -ambient;
}

static snub_status scale_column(snub_log_channel c, snub_log_column *column, const snub_log_wish *wish,
                                snub_units *units, snub_error *error)
{
    static const snub_quantity quantities[] = {[SNUB_LOG_TIME] = SNUB_Q_TIME,
                                               [SNUB_LOG_ENGINE] = SNUB_Q_TURN_SPEED,
                                               [SNUB_LOG_BLOWER] = SNUB_Q_TURN_SPEED,
                                               [SNUB_LOG_BOOST] = SNUB_Q_PRESSURE,
                                               [SNUB_LOG_CHARGE] = SNUB_Q_TEMPERATURE};
    static const char *const usual[] = {"s", "rpm", "rpm", "%", "kPa", "degC"};
    if (wish->unit[c] != NULL)
        keep(wish->unit[c], wish->unit[c] + strlen(wish->unit[c]), column->unit, SNUB_LOG_UNIT_MOST);
    column->assumed = column->unit[0] == '\0' && c != SNUB_LOG_THROTTLE;
    if (column->unit[0] == '\0')
        memcpy(column->unit, usual[c], strlen(usual[c]) + 1);
    column->scale = 1.0;
    if (c == SNUB_LOG_THROTTLE)
        return SNUB_OK;
    if (c == SNUB_LOG_TIME && strcasecmp(column->unit, "sec") == 0)
        return SNUB_OK;
    if (c == SNUB_LOG_TIME && strchr(column->unit, ':') != NULL)
        return SNUB_OK; /* "h:m:s" says how it is written */
    const bool turns = (c == SNUB_LOG_ENGINE || c == SNUB_LOG_BLOWER) && is_turns(column->unit);
    if (turns)
        column->scale = SNUB_RPM;
    const snub_status status = turns ? SNUB_OK : scale_of(column, quantities[c], units, error);
    if (status == SNUB_OK && c == SNUB_LOG_BOOST)
        above_ambient(column, wish->ambient);
    return status;
}

snub_status trace_columns_scale(snub_log_column columns[SNUB_LOG_CHANNELS], const snub_log_wish *wish,
                                snub_units *units, snub_error *error)
{
    for (int c = 0; c < SNUB_LOG_CHANNELS; c++) {
        snub_error why = {0};
        if (columns[c].number == 0)
            continue;
        const snub_status status = scale_column((snub_log_channel)c, &columns[c], wish, units, &why);
        if (status == SNUB_BAD_INPUT)
            return snub_fail(error, status, NULL, snub_log_words[c], "%.150s: say the unit by --unit %s=UNIT",
                             why.message, snub_log_words[c]);
        if (status != SNUB_OK)
            return snub_fail(error, status, NULL, NULL, "%.200s", why.message);
    }
    return SNUB_OK;
}
