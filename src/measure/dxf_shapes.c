/* Entities of ASCII DXF, of those that a circle can come from. */
#include "dxf_shapes.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

enum { VERTICES = 64, NAME_MOST = 256, SHAPES_MOST = 200000, LAYERS_MOST = 1000, BLOCKS_MOST = 20000 };
/** Arcs of a polyline have one centre and radius within this part of the radius: CAD writes bulges with few digits. */
static const double ROUND = 1e-4;
/** An extrusion that differs from the axis by less is along it. */
static const double UPRIGHT = 1e-6;

typedef enum kind {
    KIND_OTHER,
    KIND_SECTION,
    KIND_LAYER,
    KIND_BLOCK,
    KIND_ENDBLK,
    KIND_CIRCLE,
    KIND_ARC,
    KIND_INSERT,
    KIND_LWPOLYLINE,
    KIND_POLYLINE,
    KIND_VERTEX,
    KIND_SEQEND,
    KIND_PART /* of a block that is put in: its words */
} kind;

static const struct {
    const char *type;
    kind kind;
} KINDS[] = {{"SECTION", KIND_SECTION}, {"LAYER", KIND_LAYER},           {"BLOCK", KIND_BLOCK},
             {"ENDBLK", KIND_ENDBLK},   {"CIRCLE", KIND_CIRCLE},         {"ARC", KIND_ARC},
             {"INSERT", KIND_INSERT},   {"LWPOLYLINE", KIND_LWPOLYLINE}, {"POLYLINE", KIND_POLYLINE},
             {"VERTEX", KIND_VERTEX},   {"SEQEND", KIND_SEQEND},         {"ATTRIB", KIND_PART}};

typedef enum section { IN_NOTHING, IN_HEADER, IN_TABLES, IN_BLOCKS, IN_ENTITIES } section;

enum { HAS_X = 1, HAS_Y = 2, HAS_RADIUS = 4, HAS_FROM = 8, HAS_TO = 16 };

typedef struct entity {
    kind kind;
    char type[24], name[NAME_MOST], layer[NAME_MOST];
    int line, flags, colour, counts[2];
    unsigned has;
    bool paper;
    double at[2], extrusion[3];
    double size, angle[2], scale[2], bulge, apart[2];
    int corners;
    double corner[VERTICES][3]; /* x, y, bulge of the side that begins there */
} entity;

struct snub_dxf_entities {
    const snub_dxf_pairs *pairs;
    snub_dxf_shapes *shapes;
    section section;
    entity now, polyline; /* polyline: whose corners come as entities of their own */
    bool in_polyline;
    bool unit_next;
    int block; /* that is open; -1: none */
    int layer; /* looked up last */
};

snub_dxf_entities *snub_dxf_entities_open(const snub_dxf_pairs *pairs, snub_dxf_shapes *shapes)
{
    snub_dxf_entities *e = calloc(1, sizeof *e);
    if (e == NULL)
        return NULL;
    e->pairs = pairs;
    e->shapes = shapes;
    e->block = -1;
    return e;
}

void snub_dxf_entities_close(snub_dxf_entities *entities)
{
    free(entities);
}

/* ---- lists that grow --------------------------------------------------------------------------------------------- */

/* Room for one more. @return NULL: memory is out; else the list, at its old place or a new one */
static void *more(snub_arena *arena, void *list, int count, int *room, size_t size)
{
    if (count < *room)
        return list;
    const int wider = *room > 0 ? 2 * *room : 64;
    void *made = snub_alloc(arena, (size_t)wider, size);
    if (made == NULL)
        return NULL;
    if (count > 0)
        memcpy(made, list, (size_t)count * size);
    *room = wider;
    return made;
}

void snub_dxf_skip(snub_dxf_shapes *s, const char *what, const char *why, int line)
{
    char words[sizeof s->skipped->what];
    snprintf(words, sizeof words, "%s%s", what, why);
    int i = 0;
    while (i < s->skipped_count && strcmp(s->skipped[i].what, words) != 0)
        i++;
    if (i == SNUB_SKETCH_SKIPPED_MOST) { /* the last stands for all further ones */
        i--;
        snprintf(s->skipped[i].what, sizeof s->skipped[i].what, "others");
    } else if (i == s->skipped_count) {
        s->skipped[s->skipped_count++] = (snub_sketch_skipped){.line = line};
        memcpy(s->skipped[i].what, words, sizeof words);
    }
    s->skipped[i].count++;
}

int snub_dxf_layer_named(const snub_dxf_shapes *s, const char *name)
{
    for (int i = 0; i < s->layer_count; i++)
        if (strcasecmp(s->layer[i].name, name) == 0)
            return i;
    return -1;
}

/* @return -1: memory is out, or there are too many */
static int layer_of(snub_dxf_entities *e, const char *name)
{
    snub_dxf_shapes *s = e->shapes;
    if (e->layer < s->layer_count && strcasecmp(s->layer[e->layer].name, name) == 0)
        return e->layer;
    const int found = snub_dxf_layer_named(s, name);
    if (found >= 0)
        return e->layer = found;
    snub_dxf_layer *list = more(s->arena, s->layer, s->layer_count, &s->layer_room, sizeof *list);
    const char *kept = snub_copy_text(s->arena, name);
    if (list == NULL || kept == NULL || s->layer_count == LAYERS_MOST)
        return -1;
    s->layer = list;
    s->layer[s->layer_count] = (snub_dxf_layer){.name = kept};
    return e->layer = s->layer_count++;
}

static snub_status refuse(const snub_dxf_entities *e, snub_error *error, int line, const char *what)
{
    return snub_dxf_fail(e->pairs, SNUB_TOO_LARGE, line, error, what);
}

static snub_status no_memory(const snub_dxf_entities *e, snub_error *error)
{
    return snub_dxf_fail(e->pairs, SNUB_NO_MEMORY, 0, error, "out of memory");
}

static snub_status add_shape(snub_dxf_entities *e, const entity *of, snub_dxf_shape shape, snub_error *error)
{
    snub_dxf_shapes *s = e->shapes;
    if (s->shape_count == SHAPES_MOST)
        return refuse(e, error, of->line, "there are more than 200000 circles, arcs and blocks");
    shape.line = of->line;
    shape.layer = layer_of(e, of->layer);
    snub_dxf_shape *list = more(s->arena, s->shape, s->shape_count, &s->shape_room, sizeof *list);
    if (shape.layer < 0 && s->layer_count == LAYERS_MOST)
        return refuse(e, error, of->line, "there are more than 1000 layers");
    if (list == NULL || shape.layer < 0)
        return no_memory(e, error);
    s->shape = list;
    s->shape[s->shape_count++] = shape;
    return SNUB_OK;
}

/* ---- one entity ---------------------------------------------------------------------------------------------------
 */

/* Its plane is that of the sketch, seen from the front or from behind. @return false: tilted */
static bool is_flat(const entity *n, bool *mirrored)
{
    const double *z = n->extrusion, length = sqrt(z[0] * z[0] + z[1] * z[1] + z[2] * z[2]);
    *mirrored = z[2] < 0.0;
    return length > 0.0 && hypot(z[0], z[1]) <= UPRIGHT * length;
}

static snub_status lacks(const snub_dxf_entities *e, const entity *n, unsigned needed, snub_error *error)
{
    static const char *const what[] = {"10", "20", "40", "50", "51"};
    char message[120];
    for (int i = 0; i < 5; i++) {
        if (!(needed & (1u << i)) || (n->has & (1u << i)))
            continue;
        snprintf(message, sizeof message, "%s has no group code %s", n->type, what[i]);
        return snub_dxf_fail(e->pairs, SNUB_BAD_INPUT, n->line, error, message);
    }
    return SNUB_OK;
}

static double turned(double angle)
{
    const double turn = 2.0 * SNUB_PI, left = fmod(angle, turn);
    return left < 0.0 ? left + turn : left;
}

static snub_status add_arc(snub_dxf_entities *e, const entity *n, bool mirrored, snub_error *error)
{
    const bool whole = n->kind == KIND_CIRCLE;
    const snub_status status = lacks(e, n, HAS_X | HAS_Y | HAS_RADIUS | (whole ? 0 : HAS_FROM | HAS_TO), error);
    if (status != SNUB_OK)
        return status;
    if (!(n->size > 0.0))
        return snub_dxf_fail(e->pairs, SNUB_BAD_INPUT, n->line, error, "its radius should be over 0");
    const double from = n->angle[0] * SNUB_DEG, sweep = turned(n->angle[1] * SNUB_DEG - from);
    const snub_dxf_shape shape = {.at = {n->at[0], n->at[1]},
                                  .radius = n->size,
                                  .from = whole ? 0.0 : from,
                                  .sweep = whole || sweep == 0.0 ? 2.0 * SNUB_PI : sweep,
                                  .mirrored = mirrored};
    return add_shape(e, n, shape, error);
}

/* The circle that a side with a bulge is part of. bulge = tan(sweep/4). */
static void circle_of_side(const double a[3], const double b[3], double at[2], double *radius)
{
    const double u[2] = {b[0] - a[0], b[1] - a[1]}, bulge = a[2], up = 0.25 * (1.0 - bulge * bulge) / bulge;
    at[0] = 0.5 * (a[0] + b[0]) - up * u[1];
    at[1] = 0.5 * (a[1] + b[1]) + up * u[0];
    *radius = 0.25 * hypot(u[0], u[1]) * (1.0 + bulge * bulge) / fabs(bulge);
}

/* Do all sides of a polyline make one circle, once round? */
static bool is_circle(const entity *n, double at[2], double *radius)
{
    const int sides = n->flags & 1 ? n->corners : n->corners - 1;
    double sweep = 0.0;
    if (sides < 2 || n->corners >= VERTICES)
        return false;
    for (int i = 0; i < sides; i++) {
        const double *a = n->corner[i], *b = n->corner[(i + 1) % n->corners];
        double middle[2], r;
        if (a[2] == 0.0 || (a[2] < 0.0) != (n->corner[0][2] < 0.0))
            return false;
        circle_of_side(a, b, middle, &r);
        if (i == 0) {
            memcpy(at, middle, sizeof middle);
            *radius = r;
        }
        if (!(hypot(middle[0] - at[0], middle[1] - at[1]) <= ROUND * *radius && fabs(r - *radius) <= ROUND * *radius))
            return false;
        sweep += 4.0 * fabs(atan(a[2]));
    }
    return fabs(sweep - 2.0 * SNUB_PI) <= ROUND && *radius > 0.0;
}

static snub_status add_polyline(snub_dxf_entities *e, const entity *n, bool mirrored, snub_error *error)
{
    snub_dxf_shape shape = {.sweep = 2.0 * SNUB_PI, .mirrored = mirrored};
    if (is_circle(n, shape.at, &shape.radius))
        return add_shape(e, n, shape, error);
    snub_dxf_skip(e->shapes, n->type, "", n->line);
    return SNUB_OK;
}

static snub_status add_insert(snub_dxf_entities *e, const entity *n, bool mirrored, snub_error *error)
{
    const char *block = snub_copy_text(e->shapes->arena, n->name);
    if (block == NULL)
        return no_memory(e, error);
    const snub_dxf_shape shape = {.at = {n->at[0], n->at[1]},
                                  .block = block,
                                  .scale = {n->scale[0], n->scale[1]},
                                  .turn = n->angle[0] * SNUB_DEG,
                                  .apart = {n->apart[0], n->apart[1]},
                                  .columns = n->counts[0] > 1 ? n->counts[0] : 1,
                                  .rows = n->counts[1] > 1 ? n->counts[1] : 1,
                                  .mirrored = mirrored};
    return add_shape(e, n, shape, error);
}

static void close_block(snub_dxf_entities *e)
{
    if (e->block >= 0)
        e->shapes->block[e->block].last = e->shapes->shape_count;
    e->block = -1;
}

static snub_status add_block(snub_dxf_entities *e, const entity *n, snub_error *error)
{
    snub_dxf_shapes *s = e->shapes;
    close_block(e);
    if (s->block_count == BLOCKS_MOST)
        return refuse(e, error, n->line, "there are more than 20000 blocks");
    snub_dxf_block *list = more(s->arena, s->block, s->block_count, &s->block_room, sizeof *list);
    const char *name = snub_copy_text(s->arena, n->name);
    if (list == NULL || name == NULL)
        return no_memory(e, error);
    s->block = list;
    e->block = s->block_count++;
    s->block[e->block] = (snub_dxf_block){name, {n->at[0], n->at[1]}, s->shape_count, s->shape_count};
    return SNUB_OK;
}

static snub_status add_layer(snub_dxf_entities *e, const entity *n, snub_error *error)
{
    const int layer = layer_of(e, n->name);
    if (layer < 0)
        return e->shapes->layer_count == LAYERS_MOST ? refuse(e, error, n->line, "there are more than 1000 layers")
                                                     : no_memory(e, error);
    e->shapes->layer[layer].off = n->colour < 0 || (n->flags & 1) != 0;
    return SNUB_OK;
}

static snub_status add_drawn(snub_dxf_entities *e, const entity *n, snub_error *error)
{
    bool mirrored;
    if (n->kind == KIND_PART || n->kind == KIND_SEQEND)
        return SNUB_OK;
    if (n->paper) {
        snub_dxf_skip(e->shapes, n->type, " on paper", n->line);
        return SNUB_OK;
    }
    if (n->kind == KIND_OTHER || n->kind == KIND_VERTEX) {
        snub_dxf_skip(e->shapes, n->type, "", n->line);
        return SNUB_OK;
    }
    if (!is_flat(n, &mirrored)) {
        snub_dxf_skip(e->shapes, n->type, " that is tilted", n->line);
        return SNUB_OK;
    }
    return n->kind == KIND_INSERT                                   ? add_insert(e, n, mirrored, error)
           : n->kind == KIND_POLYLINE || n->kind == KIND_LWPOLYLINE ? add_polyline(e, n, mirrored, error)
                                                                    : add_arc(e, n, mirrored, error);
}

static void add_corner(entity *n, const double at[2], double bulge)
{
    if (n->corners < VERTICES) {
        memcpy(n->corner[n->corners], at, sizeof(double[2]));
        n->corner[n->corners++][2] = bulge;
    }
}

static snub_status end_polyline(snub_dxf_entities *e, snub_error *error)
{
    e->in_polyline = false;
    return add_drawn(e, &e->polyline, error);
}

/* The entity is whole: the next one begins. */
static snub_status end_entity(snub_dxf_entities *e, snub_error *error)
{
    const entity *n = &e->now;
    const bool drawn = e->section == IN_ENTITIES || (e->section == IN_BLOCKS && e->block >= 0);
    snub_status status = SNUB_OK;
    if (e->in_polyline && n->kind == KIND_VERTEX) {
        add_corner(&e->polyline, n->at, n->bulge);
        return SNUB_OK;
    }
    if (e->in_polyline)
        status = end_polyline(e, error);
    if (status != SNUB_OK || n->type[0] == '\0')
        return status;
    if (n->kind == KIND_LAYER && e->section == IN_TABLES)
        return add_layer(e, n, error);
    if (n->kind == KIND_BLOCK && e->section == IN_BLOCKS)
        return add_block(e, n, error);
    if (n->kind == KIND_ENDBLK) {
        close_block(e);
        return SNUB_OK;
    }
    if (!drawn || n->kind == KIND_SECTION)
        return SNUB_OK;
    if (n->kind == KIND_POLYLINE) {
        e->polyline = *n;
        e->polyline.corners = 0;
        e->in_polyline = true;
        return SNUB_OK;
    }
    return add_drawn(e, n, error);
}

/* ---- pairs --------------------------------------------------------------------------------------------------------
 */

static void keep_text(char to[NAME_MOST], const char *value)
{
    snub_text safe = {0};
    snub_text_safe(&safe, value, strlen(value));
    snprintf(to, NAME_MOST, "%s", safe.data != NULL ? safe.data : "");
    snub_text_free(&safe);
}

static void begin_entity(snub_dxf_entities *e, const char *type, int line)
{
    entity *n = &e->now;
    memset(n, 0, offsetof(entity, corner));
    keep_text(n->name, type);
    snprintf(n->type, sizeof n->type, "%.20s", n->name);
    n->name[0] = '\0';
    snprintf(n->layer, sizeof n->layer, "0");
    n->line = line;
    n->extrusion[2] = n->scale[0] = n->scale[1] = 1.0;
    for (size_t i = 0; i < sizeof KINDS / sizeof KINDS[0]; i++)
        if (strcmp(KINDS[i].type, type) == 0)
            n->kind = KINDS[i].kind;
}

static void enter_section(snub_dxf_entities *e, const char *name)
{
    e->section = strcmp(name, "HEADER") == 0     ? IN_HEADER
                 : strcmp(name, "TABLES") == 0   ? IN_TABLES
                 : strcmp(name, "BLOCKS") == 0   ? IN_BLOCKS
                 : strcmp(name, "ENTITIES") == 0 ? IN_ENTITIES
                                                 : IN_NOTHING;
}

/* Numbers that matter; all others are passed over unread. @return NULL: this one is none of them */
static double *number_at(entity *n, int code)
{
    switch (code) {
    case 10: n->has |= HAS_X; return &n->at[0];
    case 20: n->has |= HAS_Y; return &n->at[1];
    case 40: n->has |= HAS_RADIUS; return &n->size;
    case 41: return &n->scale[0];
    case 42: return n->kind == KIND_INSERT ? &n->scale[1] : &n->bulge;
    case 44: return &n->apart[0];
    case 45: return &n->apart[1];
    case 50: n->has |= HAS_FROM; return &n->angle[0];
    case 51: n->has |= HAS_TO; return &n->angle[1];
    case 210: return &n->extrusion[0];
    case 220: return &n->extrusion[1];
    case 230: return &n->extrusion[2];
    default: return NULL;
    }
}

static int *whole_at(entity *n, int code)
{
    return code == 70                             ? n->kind == KIND_INSERT ? &n->counts[0] : &n->flags
           : code == 71 && n->kind == KIND_INSERT ? &n->counts[1]
           : code == 62                           ? &n->colour
                                                  : NULL;
}

static bool reads_numbers(kind k)
{
    return k == KIND_BLOCK || k == KIND_CIRCLE || k == KIND_ARC || k == KIND_INSERT || k == KIND_LWPOLYLINE ||
           k == KIND_POLYLINE || k == KIND_VERTEX || k == KIND_LAYER;
}

static void take_corner(entity *n, int code, double value)
{
    const double at[2] = {value, 0.0};
    if (code == 10)
        add_corner(n, at, 0.0);
    else if (n->corners > 0 && (code == 20 || code == 42))
        n->corner[n->corners - 1][code == 20 ? 1 : 2] = value;
}

static snub_status take_number(snub_dxf_entities *e, int code, const char *value, int line, snub_error *error)
{
    const double most = 1e9;
    entity *n = &e->now;
    double *number = number_at(n, code), read;
    int *whole = number == NULL ? whole_at(n, code) : NULL;
    if (number == NULL && whole == NULL)
        return SNUB_OK;
    if (snub_parse_number(value, NULL, &read) != SNUB_OK || !(fabs(read) <= most)) {
        snub_status status =
            snub_dxf_fail(e->pairs, SNUB_BAD_INPUT, line, error, "should be a number of up to 10^9 either way");
        if (error != NULL)
            snprintf(error->got, sizeof error->got, "\"%.60s\"", value);
        return status;
    }
    if (whole != NULL)
        *whole = (int)read;
    else
        *number = read;
    if (n->kind == KIND_LWPOLYLINE)
        take_corner(n, code, read);
    return SNUB_OK;
}

snub_status snub_dxf_entities_take(void *entities, int code, const char *value, int line, snub_error *error)
{
    snub_dxf_entities *e = entities;
    entity *n = &e->now;
    if (code == 0) {
        const snub_status status = end_entity(e, error);
        begin_entity(e, value, line);
        if (strcmp(value, "ENDSEC") == 0 || strcmp(value, "EOF") == 0) {
            n->type[0] = '\0';
            e->section = IN_NOTHING;
            close_block(e);
        }
        e->shapes->ended = strcmp(value, "EOF") == 0;
        return status == SNUB_OK && e->shapes->ended ? SNUB_STOPPED : status;
    }
    if (e->section == IN_HEADER) {
        if (e->unit_next && code == 70)
            e->shapes->unit = (int)strtol(value, NULL, 10);
        e->unit_next = code == 9 && strcmp(value, "$INSUNITS") == 0;
        return SNUB_OK;
    }
    if (code == 2 && n->kind == KIND_SECTION)
        enter_section(e, value);
    else if (code == 2 && n->name[0] == '\0')
        keep_text(n->name, value);
    else if (code == 8)
        keep_text(n->layer, value);
    else if (code == 67)
        n->paper = strcmp(value, "1") == 0;
    else if (reads_numbers(n->kind))
        return take_number(e, code, value, line, error);
    return SNUB_OK;
}
