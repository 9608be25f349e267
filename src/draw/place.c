/** Placing labels: greedy, in the order given, over a fixed fan of candidates.
 *
 *  Cost of a candidate = how far it stands off + what it lies on + how far it is from the direction wished + what its
 *  leader crosses. What it lies on and crosses costs nothing or more: a candidate is given up once the rest is too
 * much. Greedy is enough here: a drive has a few dozen labels, the important ones come first, and the result does not
 * jump when a pulley moves a little, as an optimum over all of them would. */
#include <math.h>

#include "compose.h"
#include "labels.h"
#include "snub/draw.h"

enum { DIRECTIONS = 32, DISTANCES = 12 };

#define COST_LABEL 3.0        /**< lying on another label */
#define COST_OFF_SHEET 4.0    /**< leaving the sheet: words that are cut off say nothing */
#define COST_PER_MM 0.012     /**< of standing off, per sheet mm */
#define COST_AGAINST 0.16     /**< standing opposite to the direction wished */
#define COST_LEADER_LABEL 0.8 /**< leader through a label */
#define COST_LEADER_LINE 0.06 /**< leader over a line of the drawing */
#define LEADER_FROM 3.2       /**< sheet mm of stand-off from which a leader is drawn */
#define MARGIN 0.7            /**< sheet mm kept free round a block */
#define STAND_OFF 1.4         /**< sheet mm from the nearest label to its thing */
#define FIRST_LARGER 1.25
#define LINE_PITCH 1.6 /**< of the capitals' height */

typedef enum ground_kind { GROUND_BOX, GROUND_LINE, GROUND_RING } ground_kind;

typedef struct ground_item {
    ground_kind kind;
    double a[2], b[2]; /* box: low, high; line: ends; ring: centre in a */
    double radius, half_width, cost;
    bool label;
} ground_item;

struct snub_label_map {
    snub_arena *arena;
    double unit, low[2], high[2];
    int count, room;
    ground_item *item;
    bool failed;
};

snub_label_map *snub_label_map_new(const snub_drawing *drawing, snub_arena *arena)
{
    snub_label_map *map = SNUB_NEW(arena, snub_label_map, 1);
    if (map == NULL)
        return NULL;
    map->arena = arena;
    map->unit = drawing->unit;
    for (int i = 0; i < 2; i++) {
        map->low[i] = drawing->low[i];
        map->high[i] = drawing->high[i];
    }
    return map;
}

static void add(snub_label_map *map, const ground_item *item)
{
    if (map == NULL || map->failed)
        return;
    if (map->count == map->room) {
        int room = map->room == 0 ? 64 : 2 * map->room;
        ground_item *grown = SNUB_NEW(map->arena, ground_item, room);
        if (grown == NULL) {
            map->failed = true;
            return;
        }
        for (int i = 0; i < map->count; i++)
            grown[i] = map->item[i];
        map->item = grown;
        map->room = room;
    }
    map->item[map->count++] = *item;
}

void snub_label_map_box(snub_label_map *map, const double low[2], const double high[2], double cost)
{
    add(map, &(ground_item){.kind = GROUND_BOX, .a = {low[0], low[1]}, .b = {high[0], high[1]}, .cost = cost});
}

void snub_label_map_line(snub_label_map *map, const double a[2], const double b[2], double half_width, double cost)
{
    add(map, &(ground_item){
                 .kind = GROUND_LINE, .a = {a[0], a[1]}, .b = {b[0], b[1]}, .half_width = half_width, .cost = cost});
}

void snub_label_map_ring(snub_label_map *map, const double centre[2], double radius, double half_width, double cost)
{
    add(map, &(ground_item){.kind = GROUND_RING,
                            .a = {centre[0], centre[1]},
                            .radius = radius,
                            .half_width = half_width,
                            .cost = cost});
}

/* Does the segment a-b pass through the box (Liang and Barsky's clipping)? */
static bool line_meets_box(const double a[2], const double b[2], const double low[2], const double high[2])
{
    double from = 0, to = 1;
    for (int i = 0; i < 2; i++) {
        double d = b[i] - a[i];
        if (d == 0) {
            if (a[i] < low[i] || a[i] > high[i])
                return false;
            continue;
        }
        double t1 = (low[i] - a[i]) / d, t2 = (high[i] - a[i]) / d;
        double first = t1 < t2 ? t1 : t2, last = t1 < t2 ? t2 : t1; /* not fmin, fmax: those are calls */
        from = from < first ? first : from;
        to = to < last ? to : last;
    }
    return from <= to;
}

static bool ring_meets_box(const ground_item *ring, const double low[2], const double high[2])
{
    double near2 = 0, far2 = 0;
    for (int i = 0; i < 2; i++) {
        double under = low[i] - ring->a[i], over = ring->a[i] - high[i];
        double nearest = fmax(0, fmax(under, over)), farthest = fmax(fabs(under), fabs(over));
        near2 += nearest * nearest;
        far2 += farthest * farthest;
    }
    double inner = fmax(0, ring->radius - ring->half_width);
    return sqrt(near2) <= ring->radius + ring->half_width && sqrt(far2) >= inner;
}

static bool meets_box(const ground_item *item, const double low[2], const double high[2])
{
    double w = item->half_width;
    switch (item->kind) {
    case GROUND_BOX: return item->a[0] < high[0] && item->b[0] > low[0] && item->a[1] < high[1] && item->b[1] > low[1];
    case GROUND_LINE:
        return line_meets_box(item->a, item->b, (double[]){low[0] - w, low[1] - w},
                              (double[]){high[0] + w, high[1] + w});
    case GROUND_RING: return ring_meets_box(item, low, high);
    }
    return false;
}

static bool lines_cross(const double a[2], const double b[2], const double c[2], const double d[2])
{
    double o1 = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
    double o2 = (b[0] - a[0]) * (d[1] - a[1]) - (b[1] - a[1]) * (d[0] - a[0]);
    double o3 = (d[0] - c[0]) * (a[1] - c[1]) - (d[1] - c[1]) * (a[0] - c[0]);
    double o4 = (d[0] - c[0]) * (b[1] - c[1]) - (d[1] - c[1]) * (b[0] - c[0]);
    return (o1 > 0) != (o2 > 0) && (o3 > 0) != (o4 > 0);
}

/* A leader runs outwards from its own thing, so only lines and labels count; rings would count its own as well. */
static double leader_cost(const snub_label_map *map, const double from[2], const double to[2])
{
    double cost = 0;
    for (int i = 0; i < map->count; i++) {
        const ground_item *item = &map->item[i];
        if (item->kind == GROUND_BOX && line_meets_box(from, to, item->a, item->b))
            cost += item->label ? COST_LEADER_LABEL : COST_LEADER_LINE;
        else if (item->kind == GROUND_LINE && lines_cross(from, to, item->a, item->b))
            cost += item->label ? COST_LEADER_LABEL / 2 : COST_LEADER_LINE;
    }
    return cost;
}

static double box_cost(const snub_label_map *map, const double low[2], const double high[2], bool *hard)
{
    double cost = 0;
    *hard = false;
    if (low[0] < map->low[0] || low[1] < map->low[1] || high[0] > map->high[0] || high[1] > map->high[1]) {
        cost += COST_OFF_SHEET;
        *hard = true;
    }
    for (int i = 0; i < map->count; i++)
        if (meets_box(&map->item[i], low, high)) {
            cost += map->item[i].cost;
            *hard = *hard || (map->item[i].label && map->item[i].cost >= COST_LABEL);
        }
    return cost;
}

typedef struct block {
    double half[2]; /* model mm, margin taken in */
    double centre[2];
    double from[2], to[2]; /* leader */
    bool leader, hard, inside;
    int across;
    double cost;
} block;

static double line_height(const snub_label *label, int line)
{
    return line == 0 && label->bold_first ? label->height * FIRST_LARGER : label->height;
}

static void measure(const snub_label *label, double unit, block *out)
{
    double width = 0, height = 0;
    for (int i = 0; i < label->lines; i++) {
        double h = line_height(label, i);
        width = fmax(width, snub_text_measure(label->line[i], h, i == 0 && label->bold_first));
        height += i + 1 < label->lines ? h * LINE_PITCH : h * 1.3;
    }
    out->half[0] = (width / 2 + MARGIN) * unit;
    out->half[1] = (height / 2 + MARGIN) * unit;
}

/* The point of the block next to `at`: where a leader ends. */
static void nearest_of_block(const block *b, double inset, const double at[2], double point[2])
{
    for (int i = 0; i < 2; i++)
        point[i] = fmin(fmax(at[i], b->centre[i] - b->half[i] + inset), b->centre[i] + b->half[i] - inset);
}

static bool too_dear(double cost, const block *best)
{
    return !(cost < best->cost - 1e-9);
}

static void try_at(const snub_label_map *map, const snub_label *label, double distance, double direction, block *best,
                   block *trial)
{
    double unit = map->unit, c = cos(direction), s = sin(direction);
    double against = label->along[0] != 0 || label->along[1] != 0
                         ? COST_AGAINST * (1 - (c * label->along[0] + s * label->along[1])) / 2
                         : 0;
    if (too_dear(COST_PER_MM * distance + against, best))
        return;
    double off = label->clear + distance * unit;
    double support = fabs(c) * trial->half[0] + fabs(s) * trial->half[1];
    double reach = off + support; /* the block's nearest corner then stays off by that much in this direction */
    trial->centre[0] = label->at[0] + c * reach;
    trial->centre[1] = label->at[1] + s * reach;
    trial->inside = false;
    trial->across = c > 0.35 ? -1 : c < -0.35 ? 1 : 0;
    double low[2] = {trial->centre[0] - trial->half[0], trial->centre[1] - trial->half[1]};
    double high[2] = {trial->centre[0] + trial->half[0], trial->centre[1] + trial->half[1]};
    trial->cost = COST_PER_MM * distance + box_cost(map, low, high, &trial->hard) + against;
    if (too_dear(trial->cost, best))
        return;
    trial->leader = distance > LEADER_FROM;
    if (trial->leader) {
        nearest_of_block(trial, MARGIN * unit, label->at, trial->to);
        double dx = trial->to[0] - label->at[0], dy = trial->to[1] - label->at[1], d = hypot(dx, dy);
        trial->from[0] = label->at[0] + (d > 0 ? dx / d * label->clear : 0);
        trial->from[1] = label->at[1] + (d > 0 ? dy / d * label->clear : 0);
        trial->cost += leader_cost(map, trial->from, trial->to);
    }
    if (!too_dear(trial->cost, best))
        *best = *trial;
}

/* On the thing itself: under its centre mark where there is room, else across it. */
static void try_inside(const snub_label_map *map, const snub_label *label, block *trial, block *best)
{
    const double under_mark = 2.8, from_edge = 4.0; /* sheet mm */
    double unit = map->unit, w = trial->half[0] - MARGIN * unit, h = trial->half[1] - MARGIN * unit;
    double down = h + under_mark * unit, room = label->clear - from_edge * unit;
    bool below = hypot(w, down + h) <= room;
    if (!below && hypot(w, h) > label->clear)
        return;
    trial->centre[0] = label->at[0];
    trial->centre[1] = label->at[1] - (below ? down : 0);
    trial->inside = true;
    double low[2] = {trial->centre[0] - trial->half[0], trial->centre[1] - trial->half[1]};
    double high[2] = {trial->centre[0] + trial->half[0], trial->centre[1] + trial->half[1]};
    /* its own pulley, which it lies on by intent, counts against it by half a label: that is taken back */
    trial->cost = box_cost(map, low, high, &trial->hard) - (below ? 0.6 : 0.4);
    *best = *trial;
    trial->inside = false;
}

static block choose(const snub_label_map *map, const snub_label *label)
{
    static const double distances[DISTANCES] = {STAND_OFF, 3, 5, 7.5, 10.5, 14, 18, 23, 29, 36, 45, 56};
    block trial = {0}, best = {.cost = INFINITY};
    measure(label, map->unit, &trial);
    double toward = atan2(label->along[1], label->along[0]);
    if (label->inside)
        try_inside(map, label, &trial, &best);
    for (int i = 0; i < DISTANCES; i++)
        for (int k = 0; k < DIRECTIONS; k++) {
            int fan = (k + 1) / 2 * (k % 2 == 0 ? 1 : -1); /* from the wished direction outwards, left and right */
            try_at(map, label, distances[i], toward + 2 * SNUB_PI * fan / DIRECTIONS, &best, &trial);
        }
    return best;
}

static void write_block(snub_drawing *drawing, const snub_label *label, const block *b)
{
    double unit = drawing->unit, y = b->centre[1] + b->half[1] - MARGIN * unit;
    double x = b->centre[0] + (b->across < 0 ? -1 : b->across > 0 ? 1 : 0) * (b->half[0] - MARGIN * unit);
    for (int i = 0; i < label->lines; i++) {
        double h = line_height(label, i);
        snub_lettering lettering = {.height = h,
                                    .across = b->across,
                                    .up = 1,
                                    .halo = !b->inside,
                                    .ink = label->ink,
                                    .bold = i == 0 && label->bold_first};
        snub_draw_text(drawing, SNUB_LAYER_LABEL, &lettering, x, y, label->line[i]);
        y -= h * LINE_PITCH * unit;
    }
    if (b->leader) {
        snub_draw_line(drawing, SNUB_LAYER_LEADER, snub_pen_make(SNUB_INK_QUIET, SNUB_DASH_SOLID, 0.18), b->from[0],
                       b->from[1], b->to[0], b->to[1]);
        snub_draw_circle(drawing, SNUB_LAYER_LEADER, snub_pen_make(SNUB_INK_QUIET, SNUB_DASH_SOLID, 0.18),
                         SNUB_INK_QUIET, b->from[0], b->from[1], 0.35 * unit);
    }
}

int snub_place_labels(snub_drawing *drawing, snub_label_map *map, const snub_label *label, int count)
{
    int collisions = 0;
    if (map == NULL) {
        drawing->failed = true;
        return count;
    }
    for (int i = 0; i < count && !drawing->failed; i++) {
        if (label[i].lines < 1)
            continue;
        block b = choose(map, &label[i]);
        if (label[i].optional && (b.hard || b.leader))
            continue;
        collisions += b.hard ? 1 : 0;
        write_block(drawing, &label[i], &b);
        add(map, &(ground_item){.kind = GROUND_BOX,
                                .a = {b.centre[0] - b.half[0], b.centre[1] - b.half[1]},
                                .b = {b.centre[0] + b.half[0], b.centre[1] + b.half[1]},
                                .cost = COST_LABEL,
                                .label = true});
        if (b.leader)
            add(map, &(ground_item){.kind = GROUND_LINE,
                                    .a = {b.from[0], b.from[1]},
                                    .b = {b.to[0], b.to[1]},
                                    .cost = COST_LEADER_LABEL,
                                    .label = true});
    }
    if (map->failed)
        drawing->failed = true;
    return collisions;
}
