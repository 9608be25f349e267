/** The file of what was measured between pulleys. */
#include "snub/measured.h"

#include <stdio.h>
#include <string.h>

#include "read.h"
#include "tree.h"

static const snub_key frame_keys[] = {
    {"origin", NULL, NULL}, {"at", NULL, NULL}, {"towards", NULL, NULL}, {"direction", NULL, NULL}, {NULL, NULL, NULL}};
static const snub_key error_keys[] = {{"outside", NULL, NULL}, {"inside", NULL, NULL},   {"centres", NULL, NULL},
                                      {"edge", NULL, NULL},    {"diameter", NULL, NULL}, {NULL, NULL, NULL}};
static const snub_key measured_keys[] = {
    {"snub", NULL, NULL},        {"title", NULL, NULL},        {"units", NULL, NULL},   {"drive", NULL, NULL},
    {"frame", frame_keys, NULL}, {"errors", error_keys, NULL}, {"pulleys", NULL, NULL}, {"edges", NULL, NULL},
    {"readings", NULL, NULL},    {"sides", NULL, NULL},        {NULL, NULL, NULL}};
static const snub_key pulley_keys[] = {{"name", NULL, NULL},  {"at", NULL, NULL},   {"diameter", NULL, NULL},
                                       {"error", NULL, NULL}, {"sets", NULL, NULL}, {NULL, NULL, NULL}};
static const snub_key edge_keys[] = {
    {"name", NULL, NULL}, {"direction", NULL, NULL}, {"through", NULL, NULL}, {NULL, NULL, NULL}};
static const snub_key reading_keys[] = {{"outside", NULL, NULL}, {"inside", NULL, NULL}, {"centres", NULL, NULL},
                                        {"edge", NULL, NULL},    {"value", NULL, NULL},  {"error", NULL, NULL},
                                        {"note", NULL, NULL},    {NULL, NULL, NULL}};
static const snub_key side_keys[] = {
    {"left", NULL, NULL}, {"right", NULL, NULL}, {"of", NULL, NULL}, {NULL, NULL, NULL}};

enum { NAME_BYTES = 40 };
/** Bounds of a place, a distance and an error, mm. */
#define FAR 20000
/** Two places nearer than that are one, m. */
#define SAME_PLACE 0.1e-3
#define ERROR_LEAST 0.001
#define ERROR_MOST 50

/** Standard deviations where the file gives none, m: rules of thumb, no published source. A calliper over or between
 * rims; from middle to middle judged by eye; from a rim square to an edge; a diameter. */
static const double USUAL_ERROR[SNUB_DISTANCES_] = {0.3e-3, 0.3e-3, 1.0e-3, 0.5e-3};
static const double USUAL_DIAMETER_ERROR = 0.1e-3;

static const char *const distance_words[] = {"outside", "inside", "centres", "edge"};

const char *snub_distance_text(snub_distance_kind kind)
{
    return distance_words[kind];
}

double snub_distance_usual_error(snub_distance_kind kind)
{
    return USUAL_ERROR[kind];
}

typedef struct usual_errors {
    double distance[SNUB_DISTANCES_], diameter;
    bool given[SNUB_DISTANCES_];
} usual_errors;

static void *make(snub_reader *reader, int count, size_t size)
{
    void *made = snub_alloc(reader->arena, (size_t)count, size);
    if (made == NULL)
        snub_read_no_memory(reader);
    return made;
}

/* ---- names ------------------------------------------------------------------------------------------------------- */

static const char *pulley_name(const snub_measured *m, int i)
{
    return m->pulleys[i].name;
}

static const char *edge_name(const snub_measured *m, int i)
{
    return m->edges[i].name;
}

typedef const char *(*name_of)(const snub_measured *m, int i);

static int named(const snub_measured *m, name_of name, int count, const char *word)
{
    for (int i = 0; i < count; i++)
        if (name(m, i) != NULL && strcmp(name(m, i), word) == 0)
            return i;
    return -1;
}

/* A name that a value writes, among those that there are. @return -1: noted */
static int find(snub_reader *reader, const snub_measured *m, const snub_node *node, bool edge)
{
    const char *names[SNUB_PULLEYS_MOST] = {NULL};
    const name_of name = edge ? edge_name : pulley_name;
    const int all = edge ? m->edge_count : m->pulley_count;
    int count = 0;
    if (node->kind != SNUB_SCALAR) {
        snub_read_wrong(reader, node, edge ? "the name of an edge" : "the name of a pulley", "is not a name");
        return -1;
    }
    const int i = named(m, name, all, node->text);
    for (int k = 0; k < all; k++)
        if (name(m, k) != NULL)
            names[count++] = name(m, k);
    if (i < 0)
        snub_read_wrong(reader, node, edge ? "a name of the list `edges`" : "a name of the list `pulleys`",
                        "is not there%s", snub_read_guess(reader, snub_nearest(node->text, names, count)));
    return i;
}

static int find_key(snub_reader *reader, const snub_measured *m, const snub_node *map, const char *key)
{
    const snub_node *node = snub_read_need(reader, map, key);
    snub_enter(reader, key);
    const int i = node != NULL ? find(reader, m, node, false) : -1;
    snub_leave(reader);
    return i;
}

/* Two different names under a key. The first may be an edge. */
static bool find_pair(snub_reader *reader, const snub_measured *m, const snub_node *map, const char *key, bool edge,
                      int pair[2])
{
    const snub_node *list = snub_read_list(reader, map, key, 2, 2);
    if (list == NULL)
        return false;
    snub_enter(reader, key);
    for (int i = 0; i < 2; i++) {
        snub_enter_item(reader, i);
        pair[i] = find(reader, m, list->items[i], edge && i == 0);
        snub_leave(reader);
    }
    const bool same = !edge && pair[0] >= 0 && pair[0] == pair[1];
    if (same)
        snub_read_wrong(reader, list, "two different pulleys", "has the same one twice");
    snub_leave(reader);
    return pair[0] >= 0 && pair[1] >= 0 && !same;
}

static void read_name(snub_reader *reader, const snub_measured *m, const snub_node *map, name_of name, int before,
                      const char **out)
{
    const char *text;
    if (snub_read_need(reader, map, "name") == NULL || !snub_read_text(reader, map, "name", NAME_BYTES, &text))
        return;
    if (named(m, name, before, text) >= 0)
        snub_read_wrong_key(reader, map, "name", "another name", "comes twice");
    else
        *out = text;
}

/* ---- pulleys and edges ------------------------------------------------------------------------------------------- */

static void read_pulley(snub_reader *reader, snub_measured *m, const snub_node *map, int i, const usual_errors *usual)
{
    snub_measured_pulley *p = &m->pulleys[i];
    *p = (snub_measured_pulley){
        .place = map->place, .at = {NAN, NAN}, .diameter = NAN, .diameter_error = usual->diameter};
    if (!snub_read_keys(reader, map, pulley_keys, NULL))
        return;
    read_name(reader, m, map, pulley_name, i, &p->name);
    p->known = snub_read_point(reader, map, "at", SNUB_Q_LENGTH, -FAR, FAR, p->at);
    snub_read_number(reader, map, "diameter", SNUB_Q_LENGTH, 1, 1500, &p->diameter);
    snub_read_number(reader, map, "error", SNUB_Q_LENGTH, 0, ERROR_MOST, &p->diameter_error);
    snub_read_text(reader, map, "sets", 200, &p->sets);
}

static void read_pulleys(snub_reader *reader, const snub_node *root, snub_measured *m, const usual_errors *usual)
{
    const snub_node *list = snub_read_need(reader, root, "pulleys") != NULL
                                ? snub_read_list(reader, root, "pulleys", 2, SNUB_PULLEYS_MOST)
                                : NULL;
    if (list == NULL || (m->pulleys = make(reader, list->count, sizeof *m->pulleys)) == NULL)
        return;
    snub_enter(reader, "pulleys");
    for (int i = 0; i < list->count; i++) {
        snub_enter_item(reader, i);
        read_pulley(reader, m, list->items[i], i, usual);
        m->pulley_count = i + 1;
        snub_leave(reader);
    }
    snub_leave(reader);
}

static void read_edge(snub_reader *reader, snub_measured *m, const snub_node *map, int i)
{
    snub_measured_edge *e = &m->edges[i];
    *e = (snub_measured_edge){.place = map->place, .direction = NAN};
    if (!snub_read_keys(reader, map, edge_keys, NULL))
        return;
    read_name(reader, m, map, edge_name, i, &e->name);
    snub_read_number(reader, map, "direction", SNUB_Q_ANGLE, -360, 360, &e->direction);
    e->through = snub_read_point(reader, map, "through", SNUB_Q_LENGTH, -FAR, FAR, e->through_at);
    if (e->through && isnan(e->direction))
        snub_read_wrong_key(reader, map, "through", "`direction` as well", "a point alone gives no edge");
}

static void read_edges(snub_reader *reader, const snub_node *root, snub_measured *m)
{
    const snub_node *list = snub_read_list(reader, root, "edges", 1, SNUB_EDGES_MOST);
    if (list == NULL || (m->edges = make(reader, list->count, sizeof *m->edges)) == NULL)
        return;
    snub_enter(reader, "edges");
    for (int i = 0; i < list->count; i++) {
        snub_enter_item(reader, i);
        read_edge(reader, m, list->items[i], i);
        m->edge_count = i + 1;
        snub_leave(reader);
    }
    snub_leave(reader);
}

/* ---- readings and sides ------------------------------------------------------------------------------------------ */

/* Which of the keys that say between what. @return SNUB_DISTANCES_: noted */
static snub_distance_kind read_kind(snub_reader *reader, const snub_node *map)
{
    snub_distance_kind kind = SNUB_DISTANCES_;
    for (int k = 0; k < SNUB_DISTANCES_; k++) {
        if (snub_read_find(map, distance_words[k]) == NULL)
            continue;
        if (kind != SNUB_DISTANCES_) {
            snub_read_wrong_key(reader, map, distance_words[k], "one of them", "is given together with `%s`",
                                distance_words[kind]);
            return SNUB_DISTANCES_;
        }
        kind = (snub_distance_kind)k;
    }
    if (kind == SNUB_DISTANCES_)
        snub_read_wrong(reader, map, "`outside`, `inside`, `centres` or `edge`, with two names",
                        "does not say between what");
    return kind;
}

static bool read_distance(snub_reader *reader, const snub_measured *m, const snub_node *map, const usual_errors *usual,
                          snub_distance *d)
{
    int pair[2];
    *d = (snub_distance){.place = map->place, .value = NAN};
    if (!snub_read_keys(reader, map, reading_keys, NULL))
        return false;
    d->kind = read_kind(reader, map);
    if (snub_read_need(reader, map, "value") != NULL)
        snub_read_number(reader, map, "value", SNUB_Q_LENGTH, 0, FAR, &d->value);
    d->error_given = snub_read_number(reader, map, "error", SNUB_Q_LENGTH, ERROR_LEAST, ERROR_MOST, &d->error);
    snub_read_text(reader, map, "note", 120, &d->note);
    if (d->kind == SNUB_DISTANCES_)
        return false;
    if (!d->error_given) {
        d->error = usual->distance[d->kind];
        d->error_given = usual->given[d->kind];
    }
    const bool edge = d->kind == SNUB_TO_EDGE;
    if (!find_pair(reader, m, map, distance_words[d->kind], edge, pair))
        return false;
    d->a = pair[edge];
    d->b = pair[!edge];
    return isfinite(d->value);
}

static void read_distances(snub_reader *reader, const snub_node *root, snub_measured *m, const usual_errors *usual)
{
    const snub_node *list = snub_read_need(reader, root, "readings") != NULL
                                ? snub_read_list(reader, root, "readings", 1, SNUB_DISTANCES_MOST)
                                : NULL;
    if (list == NULL || (m->distances = make(reader, list->count, sizeof *m->distances)) == NULL)
        return;
    snub_enter(reader, "readings");
    for (int i = 0; i < list->count; i++) {
        snub_enter_item(reader, i);
        m->distance_count += read_distance(reader, m, list->items[i], usual, &m->distances[m->distance_count]);
        snub_leave(reader);
    }
    snub_leave(reader);
}

static bool read_side(snub_reader *reader, const snub_measured *m, const snub_node *map, snub_measured_side *s)
{
    int of[2];
    *s = (snub_measured_side){.place = map->place};
    if (!snub_read_keys(reader, map, side_keys, NULL))
        return false;
    s->left = snub_read_find(map, "left") != NULL;
    if (s->left == (snub_read_find(map, "right") != NULL)) {
        snub_read_wrong(reader, map, "`left` or `right`, with the name of a pulley", "does not say which side");
        return false;
    }
    s->pulley = find_key(reader, m, map, s->left ? "left" : "right");
    if (snub_read_need(reader, map, "of") == NULL || !find_pair(reader, m, map, "of", false, of) || s->pulley < 0)
        return false;
    s->from = of[0];
    s->to = of[1];
    if (s->pulley != s->from && s->pulley != s->to)
        return true;
    snub_read_wrong(reader, map, "a third pulley", "is on no side of itself");
    return false;
}

static void read_sides(snub_reader *reader, const snub_node *root, snub_measured *m)
{
    const snub_node *list = snub_read_list(reader, root, "sides", 1, SNUB_SIDES_MOST);
    if (list == NULL || (m->sides = make(reader, list->count, sizeof *m->sides)) == NULL)
        return;
    snub_enter(reader, "sides");
    for (int i = 0; i < list->count; i++) {
        snub_enter_item(reader, i);
        m->side_count += read_side(reader, m, list->items[i], &m->sides[m->side_count]);
        snub_leave(reader);
    }
    snub_leave(reader);
}

/* ---- frame, errors, the file ------------------------------------------------------------------------------------- */

static void read_frame(snub_reader *reader, const snub_node *root, snub_measured *m)
{
    int known = 0;
    for (int i = 0; i < m->pulley_count; i++)
        known += m->pulleys[i].known;
    const snub_node *map = snub_read_map(reader, root, "frame", frame_keys);
    if (map == NULL) {
        if (known < 2 && snub_read_find(root, "frame") == NULL)
            snub_read_wrong(reader, root, "`frame` with `origin`, `towards` and `direction`, or `at` of two pulleys",
                            "does not say where the centres are counted from");
        return;
    }
    m->framed = true;
    m->frame_place = map->place;
    snub_enter(reader, "frame");
    m->origin = find_key(reader, m, map, "origin");
    m->towards = find_key(reader, m, map, "towards");
    if (snub_read_need(reader, map, "direction") != NULL)
        snub_read_number(reader, map, "direction", SNUB_Q_ANGLE, -360, 360, &m->direction);
    double at[2] = {0, 0};
    snub_read_point(reader, map, "at", SNUB_Q_LENGTH, -FAR, FAR, at);
    if (m->origin >= 0 && m->origin == m->towards)
        snub_read_wrong_key(reader, map, "towards", "another pulley", "is the origin");
    if (known > 0)
        snub_read_wrong(reader, map, "either `frame`, or `at` of two pulleys or more",
                        "is given together with `at` of a pulley");
    snub_leave(reader);
    if (m->origin < 0)
        return;
    m->pulleys[m->origin].known = true;
    memcpy(m->pulleys[m->origin].at, at, sizeof at);
}

static void read_errors(snub_reader *reader, const snub_node *root, usual_errors *usual)
{
    *usual = (usual_errors){.diameter = USUAL_DIAMETER_ERROR};
    memcpy(usual->distance, USUAL_ERROR, sizeof USUAL_ERROR);
    const snub_node *map = snub_read_map(reader, root, "errors", error_keys);
    if (map == NULL)
        return;
    snub_enter(reader, "errors");
    for (int k = 0; k < SNUB_DISTANCES_; k++)
        usual->given[k] = snub_read_number(reader, map, distance_words[k], SNUB_Q_LENGTH, ERROR_LEAST, ERROR_MOST,
                                           &usual->distance[k]);
    snub_read_number(reader, map, "diameter", SNUB_Q_LENGTH, 0, ERROR_MOST, &usual->diameter);
    snub_leave(reader);
}

static void read_all(snub_reader *reader, const snub_node *root, snub_measured *m)
{
    static const char *const systems[] = {"metric", "us", NULL};
    usual_errors usual;
    int system = 0;
    if (!snub_read_keys(reader, root, measured_keys, NULL))
        return;
    snub_read_format(reader, root);
    snub_read_text(reader, root, "title", 120, &m->title);
    snub_read_choice(reader, root, "units", systems, &system);
    snub_read_text(reader, root, "drive", 1000, &m->drive);
    read_errors(reader, root, &usual);
    read_pulleys(reader, root, m, &usual);
    read_edges(reader, root, m);
    read_frame(reader, root, m);
    read_distances(reader, root, m, &usual);
    read_sides(reader, root, m);
}

snub_status snub_measured_read(snub_units *units, snub_arena *arena, snub_measured *measured, snub_errors *errors)
{
    const snub_document document = measured->document;
    *measured = (snub_measured){.document = document, .title = "", .origin = -1, .towards = -1};
    const snub_reading reading = {.units = units, .arena = arena};
    snub_reader reader = {
        .document = &measured->document, .reading = &reading, .units = units, .arena = arena, .errors = errors};
    const int first = errors->count;
    read_all(&reader, document.root, measured);
    return snub_read_end(&reader, first);
}

/* ---- what the drive file knows ----------------------------------------------------------------------------------- */

static const snub_pulley *pulley_of(const snub_drive *drive, const char *name)
{
    for (int i = 0; drive != NULL && i < drive->pulley_count; i++)
        if (strcmp(drive->pulleys[i].name, name) == 0)
            return &drive->pulleys[i];
    return NULL;
}

/* Centres that are counted from elsewhere would not fit the rest of the drive file. */
static void tell_other_place(const snub_measured *m, const snub_measured_pulley *p, const snub_pulley *of,
                             snub_errors *errors)
{
    snub_error error;
    snub_fail(&error, SNUB_BAD_INPUT, m->framed ? &m->frame_place : &p->place, m->framed ? "frame.at" : "pulleys.at",
              "%.40s has another place in the drive file", p->name);
    snprintf(error.got, sizeof error.got, "[%.10g, %.10g]", p->at[0] / SNUB_MM, p->at[1] / SNUB_MM);
    snprintf(error.need, sizeof error.need, "its place there, [%.10g, %.10g] mm", of->at[0] / SNUB_MM,
             of->at[1] / SNUB_MM);
    snub_errors_add(errors, &error);
}

/* A place to which a centre goes must be one that the drive file writes: laid anywhere else it would make half of an
 * arm or a slot. */
static void check_sets(const snub_measured_pulley *p, const snub_drive *drive, snub_errors *errors)
{
    const snub_node *node = drive != NULL ? snub_node_at(drive->document->root, p->sets) : NULL;
    snub_error error;
    if (node != NULL && node->kind == SNUB_LIST && node->count == 2)
        return;
    snub_fail(&error, SNUB_BAD_INPUT, &p->place, "pulleys.sets",
              drive == NULL  ? "there is no drive file to set it in"
              : node == NULL ? "the drive file has no such place"
                             : "is no point of the drive file");
    snprintf(error.got, sizeof error.got, "%.80s", p->sets);
    snprintf(error.need, sizeof error.need, "the path of [x, y] in the drive file, as tensioner.arm.pivot");
    snub_errors_add(errors, &error);
}

/* @return false: noted */
static bool has_rim(const snub_measured *m, const snub_distance *d, int pulley, snub_errors *errors)
{
    snub_error error;
    if (d->kind == SNUB_CENTRES || isfinite(m->pulleys[pulley].diameter))
        return true;
    snub_fail(&error, SNUB_BAD_INPUT, &d->place, "readings", "the diameter of %.40s is not known",
              m->pulleys[pulley].name);
    snprintf(error.need, sizeof error.need, "`diameter` of that pulley, here or in the drive file");
    snub_errors_add(errors, &error);
    return false;
}

snub_status snub_measured_take_drive(snub_measured *measured, const snub_drive *drive, snub_arena *arena,
                                     snub_errors *errors)
{
    const int first = errors->count;
    for (int i = 0; i < measured->pulley_count; i++) {
        snub_measured_pulley *p = &measured->pulleys[i];
        const snub_pulley *of = pulley_of(drive, p->name);
        if (p->sets != NULL)
            check_sets(p, drive, errors);
        if (of == NULL)
            continue;
        if (isnan(p->diameter))
            p->diameter = 2.0 * of->rim_radius;
        if (of->sits != SNUB_FIXED)
            continue;
        if (p->sets == NULL && (p->sets = snub_format(arena, "%s.at", p->name)) == NULL)
            return SNUB_NO_MEMORY;
        if (!p->known)
            memcpy(p->at, of->at, sizeof p->at);
        else if (hypot(p->at[0] - of->at[0], p->at[1] - of->at[1]) > SAME_PLACE)
            tell_other_place(measured, p, of, errors);
    }
    for (int i = 0; i < measured->distance_count; i++) {
        const snub_distance *d = &measured->distances[i];
        if (has_rim(measured, d, d->a, errors) && d->kind != SNUB_TO_EDGE)
            has_rim(measured, d, d->b, errors);
    }
    return errors->count > first ? SNUB_BAD_INPUT : SNUB_OK;
}
