/** The file of paper strips, measuring balls and worn belts. */
#include <string.h>

#include "read.h"
#include "snub/measured.h"

static const snub_key spread_error_keys[] = {
    {"arc", NULL, NULL}, {"over", NULL, NULL}, {"tape", NULL, NULL}, {"pin", NULL, NULL}, {NULL, NULL, NULL}};
static const snub_key change_keys[] = {{"new", NULL, NULL}, {"now", NULL, NULL}, {NULL, NULL, NULL}};
static const snub_key worn_keys[] = {{"outside", change_keys, NULL}, {"pin", change_keys, NULL}, {NULL, NULL, NULL}};
static const snub_key measured_spread_keys[] = {{"snub", NULL, NULL},
                                                {"title", NULL, NULL},
                                                {"units", NULL, NULL},
                                                {"drive", NULL, NULL},
                                                {"errors", spread_error_keys, NULL},
                                                {"strips", NULL, NULL},
                                                {"balls", NULL, NULL},
                                                {"worn", worn_keys, NULL},
                                                {NULL, NULL, NULL}};
static const snub_key strip_keys[] = {
    {"pulley", NULL, NULL}, {"arc", NULL, NULL}, {"diameter", NULL, NULL}, {NULL, NULL, NULL}};
static const snub_key balls_keys[] = {
    {"pulley", NULL, NULL}, {"ball", NULL, NULL}, {"over", NULL, NULL}, {NULL, NULL, NULL}};

/** Standard deviations where the file gives none, m: rules of thumb, no published source. A pencil mark at each end of
 * a strip; a micrometer over two balls; a tape around a belt; a pin that stands out of the ribs, by a calliper. */
static const double USUAL_ARC = 1e-3, USUAL_OVER = 0.03e-3, USUAL_TAPE = 0.7e-3, USUAL_PIN = 0.05e-3;

static void read_errors(snub_reader *reader, const snub_node *root, snub_measured_spread *m)
{
    m->arc_error = USUAL_ARC;
    m->over_error = USUAL_OVER;
    m->tape_error = USUAL_TAPE;
    m->pin_error = USUAL_PIN;
    const snub_node *map = snub_read_map(reader, root, "errors", spread_error_keys);
    if (map == NULL)
        return;
    snub_enter(reader, "errors");
    snub_read_number(reader, map, "arc", SNUB_Q_LENGTH, 0.001, 20, &m->arc_error);
    snub_read_number(reader, map, "over", SNUB_Q_LENGTH, 0.0001, 5, &m->over_error);
    snub_read_number(reader, map, "tape", SNUB_Q_LENGTH, 0.001, 20, &m->tape_error);
    snub_read_number(reader, map, "pin", SNUB_Q_LENGTH, 0.0001, 2, &m->pin_error);
    snub_leave(reader);
}

static void read_strip(snub_reader *reader, const snub_node *map, snub_paper_strip *s)
{
    *s = (snub_paper_strip){.place = map->place, .pulley = "", .arc = NAN, .diameter = NAN};
    if (!snub_read_keys(reader, map, strip_keys, NULL))
        return;
    if (snub_read_need(reader, map, "pulley") != NULL)
        snub_read_text(reader, map, "pulley", 40, &s->pulley);
    if (snub_read_need(reader, map, "arc") != NULL)
        snub_read_number(reader, map, "arc", SNUB_Q_LENGTH, 1, 3000, &s->arc);
    snub_read_number(reader, map, "diameter", SNUB_Q_LENGTH, 8, 1500, &s->diameter);
}

static void read_balls(snub_reader *reader, const snub_node *map, snub_over_balls *b)
{
    *b = (snub_over_balls){.place = map->place, .pulley = "", .ball = NAN};
    if (!snub_read_keys(reader, map, balls_keys, NULL))
        return;
    if (snub_read_need(reader, map, "pulley") != NULL)
        snub_read_text(reader, map, "pulley", 40, &b->pulley);
    if (snub_read_need(reader, map, "ball") != NULL)
        snub_read_number(reader, map, "ball", SNUB_Q_LENGTH, 1.5, 4, &b->ball);
    if (snub_read_need(reader, map, "over") == NULL ||
        !snub_read_numbers(reader, map, "over", SNUB_Q_LENGTH, 10, 1500, &b->count, &b->over))
        return;
    if (b->count < 1 || b->count > SNUB_GROOVES_MOST)
        snub_read_wrong_key(reader, map, "over", "one value for each groove, up to 20", "has %d", b->count);
}

/* Items of a list, each by its reader. */
static void read_lists(snub_reader *reader, const snub_node *root, snub_measured_spread *m)
{
    const snub_node *strips = snub_read_list(reader, root, "strips", 1, SNUB_PULLEYS_MOST);
    const snub_node *balls = snub_read_list(reader, root, "balls", 1, SNUB_PULLEYS_MOST);
    if (strips != NULL)
        m->strips = SNUB_NEW(reader->arena, snub_paper_strip, strips->count);
    if (balls != NULL)
        m->balls = SNUB_NEW(reader->arena, snub_over_balls, balls->count);
    if ((strips != NULL && m->strips == NULL) || (balls != NULL && m->balls == NULL)) {
        snub_read_no_memory(reader);
        return;
    }
    snub_enter(reader, "strips");
    for (int i = 0; strips != NULL && i < strips->count; i++) {
        snub_enter_item(reader, i);
        read_strip(reader, strips->items[i], &m->strips[m->strip_count++]);
        snub_leave(reader);
    }
    snub_leave(reader);
    snub_enter(reader, "balls");
    for (int i = 0; balls != NULL && i < balls->count; i++) {
        snub_enter_item(reader, i);
        read_balls(reader, balls->items[i], &m->balls[m->ball_count++]);
        snub_leave(reader);
    }
    snub_leave(reader);
}

static void read_change(snub_reader *reader, const snub_node *worn, const char *key, double least, double most,
                        double value[2])
{
    static const char *const names[] = {"new", "now"};
    const snub_node *map = snub_read_map(reader, worn, key, change_keys);
    if (map == NULL)
        return;
    snub_enter(reader, key);
    for (int i = 0; i < 2; i++)
        if (snub_read_need(reader, map, names[i]) != NULL)
            snub_read_number(reader, map, names[i], SNUB_Q_LENGTH, least, most, &value[i]);
    snub_leave(reader);
}

static void read_worn(snub_reader *reader, const snub_node *root, snub_measured_spread *m)
{
    const snub_node *worn = snub_read_map(reader, root, "worn", worn_keys);
    if (worn == NULL)
        return;
    snub_enter(reader, "worn");
    read_change(reader, worn, "outside", 100, 10000, m->outside);
    read_change(reader, worn, "pin", -5, 5, m->pin);
    if (m->pin[0] <= 0.0)
        snub_read_wrong_key(reader, worn, "pin", "a pin that stands out of the ribs of a new belt",
                            "does not stand out even of the new belt");
    snub_leave(reader);
}

static void read_all(snub_reader *reader, const snub_node *root, snub_measured_spread *m)
{
    static const char *const systems[] = {"metric", "us", NULL};
    int system = 0;
    if (!snub_read_keys(reader, root, measured_spread_keys, NULL))
        return;
    snub_read_format(reader, root);
    snub_read_text(reader, root, "title", 120, &m->title);
    snub_read_choice(reader, root, "units", systems, &system);
    if (snub_read_need(reader, root, "drive") != NULL)
        snub_read_text(reader, root, "drive", 500, &m->drive);
    read_errors(reader, root, m);
    read_lists(reader, root, m);
    read_worn(reader, root, m);
    if (snub_read_find(root, "strips") == NULL && snub_read_find(root, "balls") == NULL &&
        snub_read_find(root, "worn") == NULL)
        snub_read_wrong(reader, root, "`strips`, `balls` or `worn`", "has no readings");
}

snub_status snub_measured_spread_read(snub_units *units, snub_arena *arena, snub_measured_spread *m,
                                      snub_errors *errors)
{
    const snub_document document = m->document;
    *m = (snub_measured_spread){.document = document, .title = "", .outside = {NAN, NAN}, .pin = {NAN, NAN}};
    const snub_reading reading = {.units = units, .arena = arena};
    snub_reader reader = {
        .document = &m->document, .reading = &reading, .units = units, .arena = arena, .errors = errors};
    const int first = errors->count;
    read_all(&reader, document.root, m);
    return snub_read_end(&reader, first);
}
