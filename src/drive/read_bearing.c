/** bearings: rows of a catalogue; and how a pulley sits on them. */
#include <string.h>

#include "hardware.h"

static const snub_key bearing_keys[] = {
    {"part", NULL},    {"designation", NULL}, {"bore", NULL},    {"outside", NULL},     {"width", NULL},
    {"dynamic", NULL}, {"static", NULL},      {"f0", NULL},      {"fatigue", NULL},     {"max_speed", NULL},
    {"seal", NULL},    {"rows", NULL},        {"contact", NULL}, {"row_spacing", NULL}, {"max_speed_grease", NULL},
    {"source", NULL},  {NULL, NULL}};
static const snub_key seat_keys[] = {
    {"type", NULL},          {"count", NULL},       {"spacing", NULL}, {"offset", NULL},
    {"rotating_ring", NULL}, {"temperature", NULL}, {"grease", NULL},  {"reliability", NULL},
    {"clearance", NULL},     {"axial", NULL},       {NULL, NULL}};

/** f0 of deep groove bearings lies between 12 and 16 (catalogues); this is the middle, memory. */
#define USUAL_F0 13.5
/** Running temperature of an idler bearing at the front of an engine, K; rule of thumb, no published source. */
#define USUAL_TEMPERATURE (SNUB_ZERO_CELSIUS + 90)

static void read_rows(snub_reader *reader, const snub_node *map, snub_bearing *b)
{
    int contact = 0;
    b->rows = 1;
    snub_read_integer(reader, map, "rows", 1, 2, &b->rows);
    if (snub_read_choice(reader, map, "contact", snub_double_row_names(), &contact)) {
        if (b->rows == 1)
            snub_read_wrong_key(reader, map, "contact", "rows: 2", "is given for a bearing with one row");
        b->contact = snub_double_row_names()[contact];
    }
    snub_read_number(reader, map, "row_spacing", SNUB_Q_LENGTH, 1, 500, &b->row_spacing);
    if (b->rows == 1 && b->row_spacing > 0)
        snub_read_wrong_key(reader, map, "row_spacing", "rows: 2", "is given for a bearing with one row");
}

static void read_bearing(snub_reader *reader, const snub_node *node, const char **names, int index, snub_bearing *b)
{
    static const char *const seals[] = {"open", "shield", "low-contact", "contact", NULL};
    static const char *const needed[] = {"bore", "outside", "dynamic", "static"};
    int seal = 0;
    const char *source = NULL;
    b->place = node->place;
    b->designation = "";
    const snub_node *map = node->kind == SNUB_MAP ? snub_read_part(reader, "bearing", node) : node;
    if (!snub_read_keys(reader, map, bearing_keys, NULL))
        return;
    if (snub_read_need(reader, map, "designation") != NULL)
        snub_read_text(reader, map, "designation", 60, &b->designation);
    for (int i = 0; i < index; i++) {
        if (b->designation[0] != '\0' && strcmp(names[i], b->designation) == 0)
            snub_read_wrong_key(reader, map, "designation", "each designation once", "is repeated");
    }
    for (int i = 0; i < 4; i++)
        snub_read_need(reader, map, needed[i]);
    snub_read_number(reader, map, "bore", SNUB_Q_LENGTH, 1, 500, &b->bore);
    snub_read_number(reader, map, "outside", SNUB_Q_LENGTH, 2, 1000, &b->outside);
    snub_read_number(reader, map, "width", SNUB_Q_LENGTH, 1, 500, &b->width);
    snub_read_number(reader, map, "dynamic", SNUB_Q_FORCE, 10, 1e7, &b->dynamic_load);
    snub_read_number(reader, map, "static", SNUB_Q_FORCE, 10, 1e7, &b->static_load);
    b->f0 = USUAL_F0;
    snub_read_number(reader, map, "f0", SNUB_Q_NUMBER, 1, 30, &b->f0);
    snub_read_number(reader, map, "fatigue", SNUB_Q_FORCE, 0.1, 1e6, &b->fatigue);
    snub_read_number(reader, map, "max_speed", SNUB_Q_TURN_SPEED, 10, 1e6, &b->max_speed);
    snub_read_number(reader, map, "max_speed_grease", SNUB_Q_TURN_SPEED, 10, 1e6, &b->max_speed_grease);
    snub_read_text(reader, map, "source", 200, &source);
    if (snub_read_choice(reader, map, "seal", seals, &seal))
        b->seal = seals[seal];
    read_rows(reader, map, b);
    if (b->bore > 0 && b->outside > 0 && b->bore >= b->outside)
        snub_read_wrong_key(reader, map, "outside", "more than the bore", "is not larger than the bore");
}

void snub_read_bearings(snub_reader *reader, const snub_node *root, snub_hardware *hardware)
{
    const snub_node *list = snub_read_named_list(reader, root, "bearings", SNUB_BEARINGS_MOST);
    if (list == NULL)
        return;
    hardware->bearings = SNUB_NEW(reader->arena, snub_bearing, list->count);
    const char **names = SNUB_NEW(reader->arena, const char *, list->count);
    if (hardware->bearings == NULL || names == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    hardware->bearing_count = list->count;
    snub_enter(reader, "bearings");
    for (int i = 0; i < list->count; i++) {
        snub_enter_item(reader, i);
        read_bearing(reader, list->items[i], names, i, &hardware->bearings[i]);
        names[i] = hardware->bearings[i].designation;
        snub_leave(reader);
    }
    snub_leave(reader);
}

static void find_type(snub_reader *reader, const snub_node *map, const snub_hardware *hardware, snub_bearing_seat *seat)
{
    const char *type = NULL, *names[SNUB_BEARINGS_MOST];
    seat->bearing = -1;
    if (snub_read_need(reader, map, "type") == NULL || !snub_read_text(reader, map, "type", 60, &type))
        return;
    for (int i = 0; i < hardware->bearing_count; i++) {
        names[i] = hardware->bearings[i].designation;
        if (strcmp(names[i], type) == 0)
            seat->bearing = i;
    }
    if (seat->bearing >= 0)
        return;
    const char *near = hardware->bearing_count > 0 ? snub_nearest(type, names, hardware->bearing_count) : NULL;
    snub_read_wrong_key(reader, map, "type", near != NULL ? NULL : "a designation listed under bearings",
                        "is not a bearing of this file%s", snub_read_guess(reader, near));
}

void snub_read_seat(snub_reader *reader, const snub_node *map, const snub_hardware *hardware, snub_bearing_seat *seat)
{
    static const char *const rings[] = {"outer", "inner", NULL}, *const greases[] = {"general", "wide-range", NULL};
    static const char *const clearances[] = {"normal", "C3", NULL};
    int choice = 0;
    const snub_node *node = snub_read_map(reader, map, "bearing", seat_keys);
    if (node == NULL)
        return;
    *seat = (snub_bearing_seat){.given = true,
                                .place = node->place,
                                .bearing = -1,
                                .count = 1,
                                .outer_rotates = true,
                                .temperature = USUAL_TEMPERATURE,
                                .reliability = 90};
    snub_enter(reader, "bearing");
    find_type(reader, node, hardware, seat);
    snub_read_integer(reader, node, "count", 1, 2, &seat->count);
    snub_read_number(reader, node, "spacing", SNUB_Q_LENGTH, 1, 500, &seat->spacing);
    if (seat->count == 2 && seat->spacing <= 0)
        snub_read_wrong_key(reader, node, "spacing", "the distance between their centres", "is missing");
    if (seat->count == 1 && seat->spacing > 0)
        snub_read_wrong_key(reader, node, "spacing", "count: 2", "is given for one bearing");
    snub_read_number(reader, node, "offset", SNUB_Q_LENGTH, -200, 200, &seat->offset);
    if (snub_read_choice(reader, node, "rotating_ring", rings, &choice))
        seat->outer_rotates = choice == 0;
    snub_read_number(reader, node, "temperature", SNUB_Q_TEMPERATURE, -40, 200, &seat->temperature);
    snub_read_number(reader, node, "reliability", SNUB_Q_NUMBER, 90, 99.95, &seat->reliability);
    if (snub_read_choice(reader, node, "grease", greases, &choice))
        seat->wide_grease = choice == 1;
    if (snub_read_choice(reader, node, "clearance", clearances, &choice))
        seat->c3 = choice == 1;
    snub_read_number(reader, node, "axial", SNUB_Q_FORCE, 0, 1e5, &seat->axial);
    snub_leave(reader);
}
