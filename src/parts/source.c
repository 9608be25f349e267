/* The catalogue as the drive reader sees it: maps with the keys of the drive file. */
#include "catalogue.h"

#include <math.h>
#include <string.h>

enum { MAP_ROOM = 24 }; /* keys in one map: fields of a kind and a few more */

typedef struct builder {
    snub_arena *arena;
    const char *part; /* its key, for from_part */
    snub_place place;
    bool failed;
} builder;

static snub_node *make_node(builder *b, snub_node_kind kind, const char *text, bool quoted)
{
    snub_node *node = SNUB_NEW(b->arena, snub_node, 1);
    if (!node) {
        b->failed = true;
        return NULL;
    }
    *node = (snub_node){.kind = kind, .place = b->place, .text = text, .quoted = quoted, .from_part = b->part};
    if (kind != SNUB_SCALAR) {
        node->items = SNUB_NEW(b->arena, snub_node *, MAP_ROOM);
        node->keys = kind == SNUB_MAP ? SNUB_NEW(b->arena, snub_node *, MAP_ROOM) : NULL;
        b->failed = b->failed || !node->items || (kind == SNUB_MAP && !node->keys);
    }
    return b->failed ? NULL : node;
}

static void append(builder *b, snub_node *parent, const char *key, snub_node *value)
{
    if (b->failed)
        return;
    if (parent->count == MAP_ROOM) {
        b->failed = true;
        return;
    }
    if (parent->kind == SNUB_MAP)
        parent->keys[parent->count] = make_node(b, SNUB_SCALAR, key, false);
    parent->items[parent->count] = value;
    parent->count += !b->failed;
}

static snub_node *get(const snub_node *map, const char *key)
{
    for (int i = 0; i < map->count; i++)
        if (strcmp(map->keys[i]->text, key) == 0)
            return map->items[i];
    return NULL;
}

/* Put a value at a path of at most two more words: "rate", "arm.rate", "arm.work.0", "diameter.over". */
static void put_at(builder *b, snub_node *map, const char *path, snub_node *value)
{
    const char *dot = strchr(path, '.');
    if (b->failed)
        return;
    if (!dot) {
        append(b, map, path, value);
        return;
    }
    char *head = snub_copy_text_n(b->arena, path, (size_t)(dot - path));
    if (!head) {
        b->failed = true;
        return;
    }
    snub_node *inner = get(map, head);
    bool list = dot[1] >= '0' && dot[1] <= '9';
    if (!inner) {
        inner = make_node(b, list ? SNUB_LIST : SNUB_MAP, NULL, false);
        append(b, map, head, inner);
    } else if (inner->kind == SNUB_SCALAR) { /* diameter: 80, and then diameter.over */
        snub_node copy = *inner;
        snub_node *plain = make_node(b, SNUB_SCALAR, copy.text, false), *fresh = make_node(b, SNUB_MAP, NULL, false);
        if (b->failed)
            return;
        *inner = *fresh;
        append(b, inner, "value", plain);
    }
    if (b->failed)
        return;
    if (list)
        append(b, inner, NULL, value);
    else
        put_at(b, inner, dot + 1, value);
}

static const char *number_text(builder *b, const snub_part_field *field, double si)
{
    snub_text text = {0};
    const char *unit = snub_quantity_unit(field->quantity);
    snub_exact_bare(field->quantity, si, &text);
    if (unit[0])
        snub_text_printf(&text, " %s", unit);
    const char *copy = text.failed ? NULL : snub_copy_text(b->arena, text.data ? text.data : "");
    b->failed = b->failed || !copy;
    snub_text_free(&text);
    return copy;
}

static void put_value(builder *b, snub_node *map, const char *path, const snub_part_field *field,
                      const snub_part_value *value)
{
    bool number = field->type == SNUB_FIELD_NUMBER || field->type == SNUB_FIELD_COUNT;
    const char *text = number ? number_text(b, field, value->number) : value->text;
    /* a TEXT such as a class 8.8 is quoted, so that it stays a text */
    put_at(b, map, path, make_node(b, SNUB_SCALAR, text, field->type == SNUB_FIELD_TEXT));
}

/* Keys under `inside` only ("arm."), or all of them where it is "". */
static snub_node *part_map(builder *b, const snub_part *part, const char *inside)
{
    snub_node *map = make_node(b, SNUB_MAP, NULL, false);
    int count;
    const snub_part_field *fields = snub_part_fields(part->kind, &count);
    for (int i = 0; i < count && !b->failed; i++) {
        const char *path = fields[i].path;
        if (!path || !part->values[i].given || strncmp(path, inside, strlen(inside)) != 0)
            continue;
        put_value(b, map, path + strlen(inside), &fields[i], &part->values[i]);
    }
    int length = part->kind == SNUB_PART_BELT ? snub_part_field_index(SNUB_PART_BELT, "length") : -1;
    if (!b->failed && length >= 0 && !isnan(part->values[length].plus)) {
        snub_part_value wider = {.given = true};
        wider.number = fmax(fabs(part->values[length].plus), fabs(part->values[length].minus));
        put_value(b, map, "tolerance", &fields[length], &wider);
    }
    return b->failed ? NULL : map;
}

/* ---- kinds as the reader names them ------------------------------------------------------------------------------ */

static const struct wanted {
    const char *name;
    unsigned kinds; /* bit per snub_part_kind */
    const char *inside;
} WANTED[] = {
    {"pulley", 1U << SNUB_PART_PULLEY | 1U << SNUB_PART_IDLER | 1U << SNUB_PART_TENSIONER, ""},
    {"arm", 1U << SNUB_PART_TENSIONER, "arm."},
    {"belt", 1U << SNUB_PART_BELT, ""},
    {"blower", 1U << SNUB_PART_BLOWER, ""},
    {"bearing", 1U << SNUB_PART_BEARING, ""},
    {"fastener", 1U << SNUB_PART_FASTENER, ""},
    {"bolt", 1U << SNUB_PART_FASTENER, ""},
    {"shim", 1U << SNUB_PART_SHIM, ""},
    {"any", (1U << SNUB_PART_KINDS) - 1U, ""},
};

static const struct wanted *wanted_kind(const char *name)
{
    for (size_t i = 0; name && i < sizeof WANTED / sizeof WANTED[0]; i++)
        if (strcmp(WANTED[i].name, name) == 0)
            return &WANTED[i];
    return NULL;
}

static snub_status find_part(void *context, const char *kind, const char *key, snub_arena *arena, snub_node **map,
                             snub_part_sale *sale, snub_error *error)
{
    snub_catalogue *catalogue = context;
    const struct wanted *wanted = wanted_kind(kind);
    if (!wanted)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "the catalogue has no parts of kind \"%.40s\"",
                         kind ? kind : "");
    snub_part part;
    snub_status status = snub_catalogue_get(catalogue, key, arena, &part, error);
    if (status != SNUB_OK)
        return status;
    if (!(wanted->kinds & 1U << part.kind)) {
        status = snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "part is a %s in the catalogue",
                           snub_part_kind_name(part.kind));
        if (error) {
            snub_put_text(error->got, sizeof error->got, key);
            snub_put_text(error->need, sizeof error->need, kind);
        }
        return status;
    }
    char *file = snub_copy_text(arena, catalogue->path);
    builder b = {.arena = arena, .part = part.key, .place = {file, 0, 0, 0, 0}, .failed = !file};
    snub_node *made = b.failed ? NULL : part_map(&b, &part, wanted->inside);
    if (!made)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    *map = made;
    *sale = (snub_part_sale){part.own_number, part.supplier, part.discontinued, part.replaced_by, part.supplier_number};
    return SNUB_OK;
}

/* ---- belts in stock ---------------------------------------------------------------------------------------------- */

static double number_or_nan(sqlite3_stmt *statement, int column)
{
    return sqlite3_column_type(statement, column) == SQLITE_NULL ? (double)NAN
                                                                 : sqlite3_column_double(statement, column);
}

static const snub_part_sale *read_sale(sqlite3_stmt *statement, int column, snub_arena *arena)
{
    snub_part_sale *sale = SNUB_NEW(arena, snub_part_sale, 1);
    const char *text[4];
    for (int i = 0; i < 4; i++)
        text[i] = snub_sql_text(statement, column + i, arena);
    if (!sale || !text[0] || !text[1] || !text[2] || !text[3])
        return NULL;
    *sale = (snub_part_sale){text[0], text[1], sqlite3_column_int(statement, column + 4) != 0, text[2], text[3]};
    return sale;
}

static snub_status read_belts(snub_catalogue *catalogue, sqlite3_stmt *statement, snub_arena *arena,
                              snub_stock_belt *belts, int room, int *count, snub_error *error)
{
    int step;
    while ((step = sqlite3_step(statement)) == SQLITE_ROW && *count < room) {
        const char *key = snub_sql_text(statement, 1, arena);
        const snub_part_sale *sale = read_sale(statement, 8, arena);
        if (!key || !sale)
            return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
        belts[(*count)++] = (snub_stock_belt){.length = sqlite3_column_double(statement, 0),
                                              .part = key,
                                              .be = number_or_nan(statement, 2),
                                              .back = number_or_nan(statement, 3),
                                              .mass = number_or_nan(statement, 4),
                                              .stiffness = number_or_nan(statement, 5),
                                              .measuring_force = number_or_nan(statement, 6),
                                              .tolerance = number_or_nan(statement, 7),
                                              .sale = sale,
                                              .buying = sqlite3_column_int(statement, 13)};
    }
    return step == SQLITE_DONE ? SNUB_OK : snub_sql_failed(catalogue, "reading", error);
}

/* What the house can buy comes first: each word is worth more than all behind it. */
#define BUYING "8 * p.discontinued + 4 * (p.supplier = '') + 2 * (p.own_number = '')"

/* Of belts of one length the part that the house can buy comes first. Every belt, whatever the count in stock: a kit is
 * designed with what the seller lists. */
static snub_status list_belts(snub_catalogue *catalogue, const char *section, int ribs, snub_arena *arena,
                              snub_stock_belt **belts, int *count, snub_error *error)
{
    static const char counting[] = "SELECT count(*) FROM belt WHERE section = ? AND ribs = ?";
#define LISTING(sale, buying)                                                                                          \
    "SELECT b.length, p.key, b.be, b.back, b.mass_per_rib, b.stiffness_per_rib, b.measuring_force_per_rib, "           \
    "max(abs(b.length_minus), abs(b.length_plus)), " sale ", " buying " + (coalesce(p.stock, 0) = 0) AS buying"        \
    " FROM belt AS b JOIN part AS p ON p.id = b.part WHERE b.section = ? AND b.ribs = ?"                               \
    " ORDER BY b.length, buying, p.key"
    static const char now[] =
        LISTING("p.own_number, p.supplier, p.replaced_by, p.supplier_number, p.discontinued", BUYING),
                      of_6[] = LISTING("p.own_number, p.supplier, p.replaced_by, '', p.discontinued", BUYING),
                      of_5[] = LISTING("'', '', '', '', 0", "0");
#undef LISTING
    const char *listing = snub_rows_have(catalogue, 7) ? now : snub_rows_have(catalogue, 6) ? of_6 : of_5;
    sqlite3_stmt *statement = NULL;
    int room = 0, got = 0;
    snub_stock_belt *found = NULL;
    snub_status status = SNUB_OK;
    for (int pass = 0; pass < 2 && status == SNUB_OK; pass++) {
        status = snub_sql_prepare(catalogue, &statement, pass ? listing : counting, error);
        if (status != SNUB_OK)
            break;
        sqlite3_bind_text(statement, 1, section, -1, SQLITE_STATIC);
        sqlite3_bind_int(statement, 2, ribs);
        if (pass == 1) {
            status = read_belts(catalogue, statement, arena, found, room, &got, error);
        } else if (sqlite3_step(statement) == SQLITE_ROW) {
            room = sqlite3_column_int(statement, 0);
            found = SNUB_NEW(arena, snub_stock_belt, room + 1);
            if (!found)
                status = snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
        } else {
            status = snub_sql_failed(catalogue, "reading", error);
        }
        sqlite3_finalize(statement);
        statement = NULL;
    }
    if (status == SNUB_OK) {
        *belts = found;
        *count = got;
    }
    return status;
}

static snub_status find_belts(void *context, const char *section, int ribs, snub_arena *arena, snub_stock_belt **belts,
                              int *count, snub_error *error)
{
    snub_catalogue *catalogue = context;
    bool own = false;
    pthread_mutex_lock(&catalogue->lock);
    snub_status status = snub_sql_look(catalogue, &own, error);
    if (status == SNUB_OK)
        status = list_belts(catalogue, section, ribs, arena, belts, count, error);
    snub_sql_looked(catalogue, own);
    pthread_mutex_unlock(&catalogue->lock);
    return status;
}

/* ---- pulleys ----------------------------------------------------------------------------------------------------- */

/* A part for more ribs takes the belt as well. Back idlers have no ribs. */
static snub_status list_pulleys(snub_catalogue *catalogue, const snub_belt *belt, snub_side side, snub_arena *arena,
                                snub_stock_pulley **pulleys, int *count, snub_error *error)
{
#define LISTING(buying)                                                                                                \
    "SELECT diameter, key, idler FROM (SELECT i.diameter, p.key, 1 AS idler, " buying " + (coalesce(p.stock, 0) = 0)"  \
    " AS buying FROM idler AS i JOIN part AS p ON p.id = i.part WHERE i.side = ?1 AND"                                 \
    " (?1 = 'back' OR i.ribs >= ?3) UNION ALL SELECT u.diameter, p.key, 0, " buying " + (coalesce(p.stock, 0) = 0)"    \
    " FROM pulley AS u JOIN part AS p ON p.id = u.part WHERE ?1 = 'rib' AND u.section = ?2 AND u.ribs >= ?3)"          \
    " ORDER BY diameter, buying, key"
    static const char now[] = LISTING(BUYING), of_5[] = LISTING("0");
#undef LISTING
    sqlite3_stmt *statement = NULL;
    int room = 0, step = SQLITE_ROW;
    snub_status status = snub_sql_prepare(catalogue, &statement, snub_rows_have(catalogue, 6) ? now : of_5, error);
    if (status != SNUB_OK)
        return status;
    sqlite3_bind_text(statement, 1, side == SNUB_BACK ? "back" : "rib", -1, SQLITE_STATIC);
    sqlite3_bind_text(statement, 2, belt->section, -1, SQLITE_STATIC);
    sqlite3_bind_int(statement, 3, belt->ribs);
    while (status == SNUB_OK && (step = sqlite3_step(statement)) == SQLITE_ROW) {
        if (*count == room) {
            snub_stock_pulley *more = SNUB_NEW(arena, snub_stock_pulley, room = room > 0 ? 2 * room : 64);
            if (more != NULL && *count > 0)
                memcpy(more, *pulleys, sizeof *more * (size_t)*count);
            *pulleys = more;
        }
        const char *key = *pulleys != NULL ? snub_sql_text(statement, 1, arena) : NULL;
        if (key == NULL)
            status = snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
        else
            (*pulleys)[(*count)++] =
                (snub_stock_pulley){key, sqlite3_column_int(statement, 2) != 0, sqlite3_column_double(statement, 0)};
    }
    if (status == SNUB_OK && step != SQLITE_DONE)
        status = snub_sql_failed(catalogue, "reading", error);
    sqlite3_finalize(statement);
    return status;
}

static snub_status find_pulleys(void *context, const snub_belt *belt, snub_side side, snub_arena *arena,
                                snub_stock_pulley **pulleys, int *count, snub_error *error)
{
    snub_catalogue *catalogue = context;
    bool own = false;
    *pulleys = NULL;
    *count = 0;
    pthread_mutex_lock(&catalogue->lock);
    snub_status status = snub_sql_look(catalogue, &own, error);
    if (status == SNUB_OK)
        status = list_pulleys(catalogue, belt, side, arena, pulleys, count, error);
    snub_sql_looked(catalogue, own);
    pthread_mutex_unlock(&catalogue->lock);
    return status;
}

void snub_parts_source(snub_catalogue *catalogue, snub_part_source *out)
{
    *out = (snub_part_source){.find = find_part, .belts = find_belts, .context = catalogue, .pulleys = find_pulleys};
}
