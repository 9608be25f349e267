/** Circles of a sketch: every arc of a DXF file where its blocks put it. docs/guide/measure.md. */
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "dxf_shapes.h"

enum { DEPTH_MOST = 16, PLACED_MOST = 1000000 };
/** A block that is stretched by more than this in one direction makes no circles. */
static const double EVEN = 1e-6;
/** Farther from the zero a circle of an engine is not, m. */
static const double FARTHEST = 1000.0;

struct snub_sketch_reader {
    const snub_sketch_wish *wish;
    snub_units *units;
    snub_arena *arena;
    snub_dxf_pairs pairs;
    snub_dxf_shapes shapes;
    snub_dxf_entities *entities;
    snub_sketch sketch;
    double scale;
    long placed;
    const snub_dxf_block **by_name;
};

/* x' = a x + b y + c, y' = d x + e y + f */
typedef struct map {
    double m[2][3];
} map;

static map over(const map *outer, const map *inner)
{
    map made;
    for (int i = 0; i < 2; i++)
        for (int k = 0; k < 3; k++)
            made.m[i][k] =
                outer->m[i][0] * inner->m[0][k] + outer->m[i][1] * inner->m[1][k] + (k == 2 ? outer->m[i][2] : 0.0);
    return made;
}

/* One place of a block: its base goes to the shape's point, scaled, turned, and for rows and columns moved along. */
static map map_of(const snub_dxf_shape *s, const snub_dxf_block *b, int column, int row)
{
    const double c = cos(s->turn), n = sin(s->turn), side = s->mirrored ? -1.0 : 1.0;
    const double along = column * s->apart[0], up = row * s->apart[1];
    map made = {{{c * s->scale[0], -n * s->scale[1], 0.0}, {n * s->scale[0], c * s->scale[1], 0.0}}};
    const double to[2] = {s->at[0] + c * along - n * up, s->at[1] + n * along + c * up};
    for (int i = 0; i < 2; i++) {
        made.m[i][2] = to[i] - made.m[i][0] * b->base[0] - made.m[i][1] * b->base[1];
        for (int k = 0; k < 3; k++)
            made.m[i][k] *= i == 0 ? side : 1.0;
    }
    return made;
}

static snub_status fail(const snub_sketch_reader *r, snub_status code, int line, snub_error *error, const char *message)
{
    return snub_dxf_fail(&r->pairs, code, line, error, message);
}

/* ---- which layers -------------------------------------------------------------------------------------------------
 */

static bool is_wanted(const snub_sketch_reader *r, int layer)
{
    const snub_dxf_layer *l = &r->shapes.layer[layer];
    for (int i = 0; i < r->wish->layer_count; i++)
        if (strcasecmp(r->wish->layer[i], l->name) == 0)
            return true;
    return r->wish->layer_count == 0 && !l->off;
}

static snub_status check_layers(const snub_sketch_reader *r, snub_error *error)
{
    const snub_dxf_shapes *s = &r->shapes;
    for (int i = 0; i < r->wish->layer_count; i++) {
        if (snub_dxf_layer_named(s, r->wish->layer[i]) >= 0)
            continue;
        const char **names = SNUB_NEW(r->arena, const char *, s->layer_count + 1);
        if (names == NULL)
            return fail(r, SNUB_NO_MEMORY, 0, error, "out of memory");
        for (int k = 0; k < s->layer_count; k++)
            names[k] = s->layer[k].name;
        const char *near = snub_nearest(r->wish->layer[i], names, s->layer_count);
        char message[160];
        snprintf(message, sizeof message, "the sketch has no such layer%s%.100s%s",
                 near != NULL ? "; did you mean '" : "", near != NULL ? near : "", near != NULL ? "'?" : "");
        const snub_status status = fail(r, SNUB_BAD_INPUT, 0, error, message);
        if (error != NULL)
            snprintf(error->got, sizeof error->got, "\"%.60s\"", r->wish->layer[i]);
        return status;
    }
    return SNUB_OK;
}

/* ---- every arc in its place ---------------------------------------------------------------------------------------
 */

/* A map that keeps circles round: its columns are of one length and square to each other. */
static bool keeps_round(const map *m, double *scale)
{
    const double a = hypot(m->m[0][0], m->m[1][0]), b = hypot(m->m[0][1], m->m[1][1]);
    *scale = a;
    return a > 0.0 && fabs(a - b) <= EVEN * a &&
           fabs(m->m[0][0] * m->m[0][1] + m->m[1][0] * m->m[1][1]) <= EVEN * a * b;
}

static snub_status place_arc(snub_sketch_reader *r, const snub_dxf_shape *s, int layer, const map *m, snub_error *error)
{
    const double side = s->mirrored ? -1.0 : 1.0, x = side * s->at[0], y = s->at[1];
    double scale;
    if (!is_wanted(r, layer)) {
        snub_dxf_skip(&r->shapes, "CIRCLE or ARC",
                      r->wish->layer_count > 0 ? " of another layer" : " of a layer that is off", s->line);
        return SNUB_OK;
    }
    if (!keeps_round(m, &scale)) {
        snub_dxf_skip(&r->shapes, "CIRCLE or ARC", " in a block that is stretched", s->line);
        return SNUB_OK;
    }
    if (r->sketch.arc_count == SNUB_SKETCH_ARCS_MOST)
        return fail(r, SNUB_TOO_LARGE, s->line, error,
                    "there are more than 20000 circles and arcs: choose layers by --layer");
    snub_sketch_arc *arc = &r->sketch.arc[r->sketch.arc_count++];
    *arc = (snub_sketch_arc){.layer = r->shapes.layer[layer].name, .line = s->line, .sweep = s->sweep};
    for (int i = 0; i < 2; i++)
        arc->at[i] = r->scale * (m->m[i][0] * x + m->m[i][1] * y + m->m[i][2]);
    arc->radius = r->scale * scale * s->radius;
    /* Seen from behind an arc runs the other way: it begins where it ended. */
    const bool back = m->m[0][0] * m->m[1][1] - m->m[0][1] * m->m[1][0] < 0.0;
    const double first = s->mirrored ? SNUB_PI - s->from - s->sweep : s->from, at = back ? first + s->sweep : first;
    const double u = cos(at), v = sin(at);
    arc->from = atan2(m->m[1][0] * u + m->m[1][1] * v, m->m[0][0] * u + m->m[0][1] * v);
    if (!(fabs(arc->at[0]) <= FARTHEST && fabs(arc->at[1]) <= FARTHEST && arc->radius <= FARTHEST))
        return fail(r, SNUB_BAD_INPUT, s->line, error,
                    "this is over 1 km large or from the zero: is the unit of the sketch right?");
    return SNUB_OK;
}

static int by_name(const void *a, const void *b)
{
    const snub_dxf_block *const *p = a, *const *q = b;
    const int order = strcasecmp((*p)->name, (*q)->name);
    return order != 0 ? order : (*p > *q) - (*p < *q);
}

static int name_against(const void *name, const void *block)
{
    return strcasecmp(name, (*(const snub_dxf_block *const *)block)->name);
}

static const snub_dxf_block *block_named(const snub_sketch_reader *r, const char *name)
{
    const snub_dxf_block *const *found =
        bsearch(name, r->by_name, (size_t)r->shapes.block_count, sizeof(*r->by_name), name_against);
    return found != NULL ? *found : NULL;
}

/* A sketch may have thousands of blocks, and put them in a million times. @return false: memory is out */
static bool sort_blocks(snub_sketch_reader *r)
{
    const int count = r->shapes.block_count;
    r->by_name = SNUB_NEW(r->arena, const snub_dxf_block *, count + 1);
    for (int i = 0; r->by_name != NULL && i < count; i++)
        r->by_name[i] = &r->shapes.block[i];
    if (r->by_name != NULL)
        qsort(r->by_name, (size_t)count, sizeof(*r->by_name), by_name);
    return r->by_name != NULL;
}

/* What has been put in belongs to the layer of its block where it is drawn on layer 0. @param[in] layer -1: none */
static snub_status place_shapes(snub_sketch_reader *r, int first, int last, int layer, const map *m, int depth,
                                snub_error *error)
{
    snub_status status = SNUB_OK;
    for (int i = first; status == SNUB_OK && i < last; i++) {
        const snub_dxf_shape *s = &r->shapes.shape[i];
        const bool bare = strcmp(r->shapes.layer[s->layer].name, "0") == 0;
        const int own = bare && layer >= 0 ? layer : s->layer;
        if (++r->placed > PLACED_MOST)
            return fail(r, SNUB_TOO_LARGE, s->line, error, "blocks make more than a million shapes of the sketch");
        if (s->block == NULL) {
            status = place_arc(r, s, own, m, error);
            continue;
        }
        const snub_dxf_block *b = block_named(r, s->block);
        if (b == NULL) {
            snub_dxf_skip(&r->shapes, "INSERT", " of a block that is not here", s->line);
            continue;
        }
        if (depth == DEPTH_MOST)
            return fail(r, SNUB_TOO_LARGE, s->line, error,
                        "blocks stand in blocks more than 16 deep, or in themselves");
        for (long k = 0; status == SNUB_OK && k < (long)s->columns * s->rows; k++) {
            const map inner = map_of(s, b, (int)(k % s->columns), (int)(k / s->columns)), both = over(m, &inner);
            if (++r->placed > PLACED_MOST)
                return fail(r, SNUB_TOO_LARGE, s->line, error, "blocks make more than a million shapes of the sketch");
            status = place_shapes(r, b->first, b->last, own, &both, depth + 1, error);
        }
    }
    return status;
}

static snub_status place_all(snub_sketch_reader *r, snub_error *error)
{
    const map as_it_is = {{{1.0, 0.0, 0.0}, {0.0, 1.0, 0.0}}};
    const snub_dxf_shapes *s = &r->shapes;
    int at = 0;
    snub_status status = SNUB_OK;
    /* What stands in no block, between those that do. */
    for (int b = 0; status == SNUB_OK && b <= s->block_count; b++) {
        const int end = b < s->block_count ? s->block[b].first : s->shape_count;
        status = place_shapes(r, at, end, -1, &as_it_is, 0, error);
        at = b < s->block_count ? s->block[b].last : at;
    }
    return status;
}

/* ---- the unit -----------------------------------------------------------------------------------------------------
 */

/* $INSUNITS as units of length. */
static const struct {
    int number;
    const char *unit;
} UNITS[] = {{1, "in"}, {2, "ft"}, {4, "mm"}, {5, "cm"}, {6, "m"}, {9, "thou"}, {10, "yd"}, {13, "um"}, {14, "dm"}};

static snub_status find_unit(snub_sketch_reader *r, snub_error *error)
{
    char one[80];
    snub_error why;
    for (size_t i = 0; i < sizeof UNITS / sizeof UNITS[0]; i++)
        if (UNITS[i].number == r->shapes.unit)
            r->sketch.said = UNITS[i].unit;
    r->sketch.unit_told = r->wish->unit != NULL;
    r->sketch.unit = r->wish->unit != NULL ? r->wish->unit : r->sketch.said;
    if (r->sketch.unit == NULL)
        return fail(r, SNUB_BAD_INPUT, 0, error, "the sketch does not say its unit: give --unit mm, or --unit in");
    snprintf(one, sizeof one, "1 %.70s", r->sketch.unit);
    if (snub_units_parse(r->units, SNUB_Q_LENGTH, one, &r->scale, &why) == SNUB_OK && r->scale > 0.0)
        return SNUB_OK;
    const snub_status status = fail(r, SNUB_BAD_INPUT, 0, error, "not a unit of length");
    if (error != NULL)
        snprintf(error->got, sizeof error->got, "\"%.60s\"", r->sketch.unit);
    return status;
}

/* ---- the reader ---------------------------------------------------------------------------------------------------
 */

snub_sketch_reader *snub_sketch_open(const char *name, const snub_sketch_wish *wish, snub_units *units,
                                     snub_arena *arena)
{
    snub_sketch_reader *r = calloc(1, sizeof *r);
    if (r == NULL)
        return NULL;
    r->wish = wish;
    r->units = units;
    r->arena = r->shapes.arena = arena;
    r->entities = snub_dxf_entities_open(&r->pairs, &r->shapes);
    r->pairs.name = name;
    r->pairs.take = snub_dxf_entities_take;
    r->pairs.context = r->entities;
    if (r->entities != NULL)
        return r;
    free(r);
    return NULL;
}

/* What stands behind the EOF is not read. */
static snub_status or_ended(const snub_sketch_reader *r, snub_status status)
{
    return status == SNUB_STOPPED && r->shapes.ended ? SNUB_OK : status;
}

snub_status snub_sketch_feed(snub_sketch_reader *r, const char *data, size_t length, snub_error *error)
{
    return r->shapes.ended ? SNUB_OK : or_ended(r, snub_dxf_feed(&r->pairs, data, length, error));
}

static snub_status none(const snub_sketch_reader *r, snub_error *error)
{
    snub_text seen = {0};
    char message[280];
    for (int i = 0; i < r->shapes.skipped_count && i < 5; i++)
        snub_text_printf(&seen, "%s%ld %s", i > 0 ? ", " : "", r->shapes.skipped[i].count, r->shapes.skipped[i].what);
    snprintf(message, sizeof message, "there is no circle in the sketch%s%.200s",
             seen.data != NULL ? "; passed over: " : "", seen.data != NULL ? seen.data : "");
    snub_text_free(&seen);
    return fail(r, SNUB_BAD_INPUT, 0, error, message);
}

snub_status snub_sketch_finish(snub_sketch_reader *r, snub_sketch *sketch, snub_error *error)
{
    snub_status status = r->shapes.ended ? SNUB_OK : or_ended(r, snub_dxf_finish(&r->pairs, error));
    if (status == SNUB_OK && !r->shapes.ended)
        status = fail(r, SNUB_BAD_INPUT, r->pairs.line, error, "the file ends before its EOF: it was cut off");
    if (status == SNUB_OK)
        status = find_unit(r, error);
    if (status == SNUB_OK)
        status = check_layers(r, error);
    if (status != SNUB_OK)
        return status;
    r->sketch.arc = SNUB_NEW(r->arena, snub_sketch_arc, SNUB_SKETCH_ARCS_MOST);
    if (r->sketch.arc == NULL || !sort_blocks(r))
        return fail(r, SNUB_NO_MEMORY, 0, error, "out of memory");
    status = place_all(r, error);
    if (status == SNUB_OK && r->sketch.arc_count == 0)
        status = none(r, error);
    r->sketch.skipped_count = r->shapes.skipped_count;
    r->sketch.skipped = SNUB_NEW(r->arena, snub_sketch_skipped, r->shapes.skipped_count + 1);
    if (r->sketch.skipped == NULL)
        return fail(r, SNUB_NO_MEMORY, 0, error, "out of memory");
    memcpy(r->sketch.skipped, r->shapes.skipped, (size_t)r->shapes.skipped_count * sizeof *r->sketch.skipped);
    *sketch = r->sketch;
    return status;
}

void snub_sketch_close(snub_sketch_reader *r)
{
    if (r == NULL)
        return;
    snub_dxf_entities_close(r->entities);
    free(r);
}
