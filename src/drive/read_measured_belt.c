/** The file of belts that were fitted. */
#include <string.h>

#include "read.h"
#include "snub/measured.h"
#include "snub/units.h"

static const snub_key belt_error_keys[] = {
    {"wind", NULL, NULL}, {"mark", NULL, NULL}, {"length", NULL, NULL}, {NULL, NULL, NULL}};
static const snub_key usual_keys[] = {
    {"length", NULL, NULL}, {"cord", NULL, NULL}, {"centre", NULL, NULL}, {NULL, NULL, NULL}};
static const snub_key measured_belt_keys[] = {{"snub", NULL, NULL},
                                              {"title", NULL, NULL},
                                              {"units", NULL, NULL},
                                              {"drive", NULL, NULL},
                                              {"errors", belt_error_keys, NULL},
                                              {"usual", usual_keys, NULL},
                                              {"belts", NULL, NULL},
                                              {NULL, NULL, NULL}};
static const snub_key fitted_belt_keys[] = {{"length", NULL, NULL}, {"wind", NULL, NULL},     {"mark", NULL, NULL},
                                            {"error", NULL, NULL},  {"settings", NULL, NULL}, {NULL, NULL, NULL}};

/** Standard deviations where the file gives none: rules of thumb, no published source. A protractor on an arm to half a
 * degree, a mark to half a millimetre; what cord height and centres of a first drive file are off by. */
static const double USUAL_WIND_ERROR = 0.5 * SNUB_DEG, USUAL_MARK_ERROR = 0.5e-3;
static const double USUAL_CORD = 0.15e-3, USUAL_CENTRE = 0.5e-3;

typedef struct read_errors {
    double wind, mark;
    bool wind_given, mark_given;
} read_errors;

static void read_settings(snub_reader *reader, const snub_node *map, snub_fitted_belt *b)
{
    const snub_node *settings = snub_read_find(map, "settings");
    if (settings == NULL)
        return;
    snub_enter(reader, "settings");
    if (settings->kind != SNUB_MAP || settings->count > SNUB_SETTINGS_MOST)
        snub_read_wrong(reader, settings, "{PULLEY: mm}, up to 8", "is not a list of marks");
    for (int i = 0; settings->kind == SNUB_MAP && i < settings->count && i < SNUB_SETTINGS_MOST; i++) {
        snub_read_setting *s = &b->settings[i];
        *s = (snub_read_setting){.place = settings->items[i]->place, .pulley = settings->keys[i]->text};
        snub_enter(reader, s->pulley);
        if (snub_read_value(reader, settings->items[i], SNUB_Q_LENGTH, 0, 1000, &s->at))
            b->setting_count = i + 1;
        snub_leave(reader);
    }
    snub_leave(reader);
}

static void read_belt(snub_reader *reader, const snub_node *map, const read_errors *usual, snub_measured_belt *m,
                      snub_fitted_belt *b)
{
    *b = (snub_fitted_belt){.place = map->place, .length = NAN, .wind = NAN, .mark = NAN};
    if (!snub_read_keys(reader, map, fitted_belt_keys, NULL))
        return;
    if (snub_read_need(reader, map, "length") != NULL)
        snub_read_number(reader, map, "length", SNUB_Q_LENGTH, 100, 10000, &b->length);
    const bool wind = snub_read_find(map, "wind") != NULL, mark = snub_read_find(map, "mark") != NULL;
    if (wind == mark)
        snub_read_wrong(reader, map, "`wind` of the arm, or `mark` of a fixed tensioner",
                        wind ? "gives both a wind and a mark" : "does not say what was read");
    snub_read_number(reader, map, "wind", SNUB_Q_ANGLE, -10, 180, &b->wind);
    snub_read_number(reader, map, "mark", SNUB_Q_LENGTH, 0, 1000, &b->mark);
    b->error = wind ? usual->wind : usual->mark;
    const bool given =
        snub_read_number(reader, map, "error", wind ? SNUB_Q_ANGLE : SNUB_Q_LENGTH, 0.001, 20, &b->error);
    m->error_given = m->error_given && (given || (wind ? usual->wind_given : usual->mark_given));
    read_settings(reader, map, b);
}

static void read_belts(snub_reader *reader, const snub_node *root, const read_errors *usual, snub_measured_belt *m)
{
    const snub_node *list = snub_read_need(reader, root, "belts") != NULL
                                ? snub_read_list(reader, root, "belts", 1, SNUB_BELTS_MOST)
                                : NULL;
    if (list == NULL)
        return;
    m->belts = SNUB_NEW(reader->arena, snub_fitted_belt, list->count);
    if (m->belts == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    m->error_given = true;
    snub_enter(reader, "belts");
    for (int i = 0; i < list->count; i++) {
        snub_enter_item(reader, i);
        read_belt(reader, list->items[i], usual, m, &m->belts[i]);
        m->count = i + 1;
        snub_leave(reader);
    }
    snub_leave(reader);
}

static void read_all(snub_reader *reader, const snub_node *root, snub_measured_belt *m)
{
    static const char *const systems[] = {"metric", "us", NULL};
    int system = 0;
    read_errors usual = {.wind = USUAL_WIND_ERROR, .mark = USUAL_MARK_ERROR};
    if (!snub_read_keys(reader, root, measured_belt_keys, NULL))
        return;
    snub_read_format(reader, root);
    snub_read_text(reader, root, "title", 120, &m->title);
    snub_read_choice(reader, root, "units", systems, &system);
    if (snub_read_need(reader, root, "drive") != NULL && snub_read_text(reader, root, "drive", 500, &m->drive))
        m->drive_place = snub_read_find(root, "drive")->place;
    const snub_node *map = snub_read_map(reader, root, "errors", belt_error_keys);
    if (map != NULL) {
        snub_enter(reader, "errors");
        usual.wind_given = snub_read_number(reader, map, "wind", SNUB_Q_ANGLE, 0.001, 20, &usual.wind);
        usual.mark_given = snub_read_number(reader, map, "mark", SNUB_Q_LENGTH, 0.001, 20, &usual.mark);
        snub_read_number(reader, map, "length", SNUB_Q_LENGTH, 0, 50, &m->length_error);
        snub_leave(reader);
    }
    map = snub_read_map(reader, root, "usual", usual_keys);
    if (map != NULL) {
        snub_enter(reader, "usual");
        snub_read_number(reader, map, "length", SNUB_Q_LENGTH, 0.001, 50, &m->usual_length);
        snub_read_number(reader, map, "cord", SNUB_Q_LENGTH, 0.001, 5, &m->usual_cord);
        snub_read_number(reader, map, "centre", SNUB_Q_LENGTH, 0.001, 50, &m->usual_centre);
        snub_leave(reader);
    }
    read_belts(reader, root, &usual, m);
}

snub_status snub_measured_belt_read(snub_units *units, snub_arena *arena, snub_measured_belt *m, snub_errors *errors)
{
    const snub_document document = m->document;
    *m = (snub_measured_belt){.document = document,
                              .title = "",
                              .length_error = NAN,
                              .usual_length = NAN,
                              .usual_cord = USUAL_CORD,
                              .usual_centre = USUAL_CENTRE};
    const snub_reading reading = {.units = units, .arena = arena};
    snub_reader reader = {
        .document = &m->document, .reading = &reading, .units = units, .arena = arena, .errors = errors};
    const int first = errors->count;
    read_all(&reader, document.root, m);
    return snub_read_end(&reader, first);
}
