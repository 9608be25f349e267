/* Heads of a blower map: names, units, and whether a flow is a volume or a corrected mass. docs/theory/blower.md */
#include "map_header.h"

#include <string.h>

enum { NAME_MOST = 128 };

static const char *const names[] = {"flow",  "pressure_ratio", "speed",          "efficiency",
                                    "surge", "corrected_flow", "corrected_speed"};
enum { CORRECTED_FLOW = MAP_COLUMNS, CORRECTED_SPEED, NAMES };

const char *map_column_name(int column)
{
    return names[column];
}

void map_mistake(map_mistakes *mistakes, int line, const char *key, const snub_error *mistake)
{
    snub_error error = *mistake;
    error.code = SNUB_BAD_INPUT;
    error.place = (snub_place){.file = mistakes->name, .line = line, .column = line > 0 ? 1 : 0};
    if (key)
        (void)snprintf(error.key, sizeof error.key, "%.*s", (int)sizeof error.key - 1, key);
    snub_errors_add(mistakes->errors, &error);
    mistakes->count++;
}

/* Without blanks around it; inner blanks and capitals as the names have them: "Pressure Ratio" is pressure_ratio. */
static void put_name(const char *from, size_t length, char name[NAME_MOST])
{
    size_t used = 0;
    while (length > 0 && (from[length - 1] == ' ' || from[length - 1] == '\t'))
        length--;
    while (length > 0 && (*from == ' ' || *from == '\t'))
        from++, length--;
    for (size_t i = 0; i < length && used + 1 < NAME_MOST; i++) {
        char c = from[i] == ' ' || from[i] == '\t' ? '_' : from[i];
        if (c == '_' && used > 0 && name[used - 1] == '_')
            continue;
        name[used++] = c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
    }
    name[used] = '\0';
}

/* "Flow [ m3/s ]" -> name "flow", unit "m3/s"; unit "" without brackets, which may be round ones too. */
static void split_heading(const char *heading, char name[NAME_MOST], char unit[NAME_MOST])
{
    const size_t length = strcspn(heading, "[(");
    put_name(heading, length, name);
    unit[0] = '\0';
    if (heading[length] == '\0')
        return;
    const char *from = heading + length + 1, *to = strchr(from, heading[length] == '[' ? ']' : ')');
    while (*from == ' ')
        from++;
    while (to && to > from && to[-1] == ' ')
        to--;
    if (to && to > from)
        (void)snprintf(unit, NAME_MOST, "%.*s", (int)(to - from < NAME_MOST ? to - from : NAME_MOST - 1), from);
}

static bool parse_unit(snub_units *units, snub_quantity quantity, const char *unit, double *factor, snub_error *error)
{
    char text[NAME_MOST + 8];
    (void)snprintf(text, sizeof text, "1 %s", unit);
    return snub_units_parse(units, quantity, text, factor, error) == SNUB_OK;
}

/* The unit tells a volume from a mass; only the head tells a corrected flow from one as it was. */
static void read_flow_unit(int line, bool corrected, const char *unit, snub_units *units, const snub_blower *blower,
                           map_mistakes *mistakes, double *factor)
{
    snub_error error = {0}, other;
    const char *key = names[corrected ? CORRECTED_FLOW : MAP_FLOW];
    if (parse_unit(units, SNUB_Q_FLOW_VOLUME, unit, factor, &error)) {
        if (corrected && !(blower->map_temperature > 0))
            MAP_TELL(mistakes, line, key,
                     "a corrected volume flow needs the blower's map_temperature: the inlet temperature that the map "
                     "is corrected to");
    } else if (!parse_unit(units, SNUB_Q_FLOW_MASS, unit, factor, &other)) {
        map_mistake(mistakes, line, key, &error);
    } else if (!corrected) {
        MAP_TELL(mistakes, line, key,
                 "%.40s is a mass flow: write \"corrected_flow [%.40s]\" if the map is corrected to one pressure and "
                 "temperature, as printed maps are",
                 unit, unit);
    } else if (!(blower->map_temperature > 0 && blower->map_pressure > 0)) {
        MAP_TELL(mistakes, line, key,
                 "a corrected mass flow needs the blower's map_pressure and map_temperature: the inlet air that the "
                 "map is corrected to");
    } else {
        *factor /= snub_dry_air_density(blower->map_pressure, blower->map_temperature);
    }
}

static void read_unit(int line, int name, const char *unit, snub_units *units, const snub_blower *blower,
                      map_mistakes *mistakes, map_header *header)
{
    const int column = name == CORRECTED_FLOW ? MAP_FLOW : name == CORRECTED_SPEED ? MAP_SPEED : name;
    double *factor = &header->factor[column];
    if ((column == MAP_RATIO || column == MAP_SURGE) && *unit && strcmp(unit, "1") != 0 && strcmp(unit, "-") != 0) {
        MAP_TELL(mistakes, line, names[name], "%s takes no unit",
                 column == MAP_RATIO ? "a pressure ratio" : "this mark");
    } else if (column == MAP_EFFICIENCY) {
        *factor = strcmp(unit, "%") == 0 ? 0.01 : 1;
        if (*unit && strcmp(unit, "%") != 0 && strcmp(unit, "1") != 0 && strcmp(unit, "-") != 0)
            MAP_TELL(mistakes, line, names[name], "write an efficiency as a fraction, or head the column [%%]");
    } else if ((column == MAP_FLOW || column == MAP_SPEED) && !*unit) {
        MAP_TELL(mistakes, line, names[name], "the unit is missing: write \"%s [%s]\"", names[name],
                 name == MAP_FLOW         ? "m3/s"
                 : name == CORRECTED_FLOW ? "kg/s"
                                          : "rpm");
    } else if (column == MAP_FLOW) {
        read_flow_unit(line, name == CORRECTED_FLOW, unit, units, blower, mistakes, factor);
    } else if (column == MAP_SPEED) {
        snub_error error = {0};
        if (!parse_unit(units, SNUB_Q_TURN_SPEED, unit, factor, &error))
            map_mistake(mistakes, line, names[name], &error);
    }
    if (name == CORRECTED_SPEED && !(blower->map_temperature > 0))
        MAP_TELL(mistakes, line, names[name],
                 "a corrected speed needs the blower's map_temperature: the inlet temperature that the map is "
                 "corrected to");
}

bool map_header_read(const snub_csv_row *row, snub_units *units, const snub_blower *blower, map_mistakes *mistakes,
                     map_header *header)
{
    int before = mistakes->count;
    header->fields = row->count;
    for (int column = 0; column < MAP_COLUMNS; column++) {
        header->column[column] = -1;
        header->factor[column] = 1;
    }
    for (int field = 0; field < row->count; field++) {
        char name[NAME_MOST], unit[NAME_MOST];
        split_heading(row->fields[field], name, unit);
        int which = 0;
        while (which < NAMES && strcmp(name, names[which]) != 0)
            which++;
        const int column = which == CORRECTED_FLOW ? MAP_FLOW : which == CORRECTED_SPEED ? MAP_SPEED : which;
        if (which == NAMES) {
            const char *near = snub_nearest(name, names, NAMES);
            MAP_TELL(mistakes, row->line, NULL, "unknown column \"%.60s\"%s%s%s", name, near ? "; did you mean " : "",
                     near ? near : "", near ? "?" : "");
        } else if (header->column[column] >= 0) {
            MAP_TELL(mistakes, row->line, name, "the column is repeated");
        } else {
            header->column[column] = field;
            read_unit(row->line, which, unit, units, blower, mistakes, header);
        }
    }
    for (int column = 0; column < MAP_SURGE; column++)
        if (header->column[column] < 0)
            MAP_TELL(mistakes, row->line, names[column], "the column is missing");
    return mistakes->count == before;
}
