/* A snapshot as bytes. Each thing is written and read by one list of its fields, so that the two cannot drift apart. */
#include <stdlib.h>
#include <string.h>

#include "snub/snapshot.h"
#include "tree.h"

static const char magic[] = "snub snapshot";
enum { TEXT_MOST = 16 << 20, ROWS_MOST = 1000000, NO_TEXT = 0, SAME_FILE = 0, NO_FILE = 1, OTHER_FILE = 2 };

/* `out` is NULL while it is read. */
typedef struct pack {
    snub_text *out;
    const unsigned char *at, *end;
    snub_arena *arena;
    const char *name; /* of the document */
    long nodes;
    bool bad, no_memory;
} pack;

static bool reading(const pack *p)
{
    return p->out == NULL;
}

static bool going(const pack *p)
{
    return !p->bad && !p->no_memory;
}

static void *room(pack *p, size_t count, size_t size)
{
    void *memory = going(p) ? snub_alloc(p->arena, count > 0 ? count : 1, size) : NULL;
    if (memory == NULL)
        p->no_memory |= !p->bad;
    return memory;
}

/* ---- numbers and texts ------------------------------------------------------------------------------------------- */

/* Seven bits a byte, the lowest first. */
static uint64_t number(pack *p, uint64_t value)
{
    uint64_t got = 0;
    if (!reading(p)) {
        do {
            const char byte = (char)((value & 0x7f) | (value > 0x7f ? 0x80 : 0));
            snub_text_add(p->out, &byte, 1);
            value >>= 7;
        } while (value > 0);
        return 0;
    }
    for (int shift = 0; going(p); shift += 7) {
        p->bad |= p->at == p->end || shift > 56;
        if (p->bad)
            return 0;
        got |= (uint64_t)(*p->at & 0x7f) << shift;
        if ((*p->at++ & 0x80) == 0)
            break;
    }
    return going(p) ? got : 0;
}

/* A count of things that take at least a byte each. */
static void count_of(pack *p, int *count)
{
    const uint64_t got = number(p, (uint64_t)*count);
    if (!reading(p))
        return;
    p->bad |= got > (uint64_t)(p->end - p->at) || got > ROWS_MOST;
    *count = going(p) ? (int)got : 0;
}

static void whole(pack *p, int *value)
{
    const uint64_t got = number(p, (uint64_t)(uint32_t)*value);
    if (reading(p))
        *value = (int)(uint32_t)got;
}

static void size_of(pack *p, size_t *value)
{
    const uint64_t got = number(p, *value);
    if (reading(p))
        *value = (size_t)got;
}

static void flag(pack *p, bool *value)
{
    const uint64_t got = number(p, *value);
    if (reading(p))
        *value = got != 0;
}

static void real(pack *p, double *value)
{
    unsigned char bytes[8];
    uint64_t bits = 0;
    memcpy(&bits, value, sizeof bits);
    for (int i = 0; i < 8; i++)
        bytes[i] = (unsigned char)(bits >> (8 * i));
    if (!reading(p)) {
        snub_text_add(p->out, (const char *)bytes, sizeof bytes);
        return;
    }
    p->bad |= p->end - p->at < (ptrdiff_t)sizeof bytes;
    if (!going(p))
        return;
    bits = 0;
    for (int i = 0; i < 8; i++)
        bits |= (uint64_t)p->at[i] << (8 * i);
    memcpy(value, &bits, sizeof bits);
    p->at += sizeof bytes;
}

static void bytes_of(pack *p, const char **text, size_t *length)
{
    const uint64_t coded = number(p, *text == NULL ? NO_TEXT : 1 + (uint64_t)*length);
    if (!reading(p)) {
        if (*text != NULL)
            snub_text_add(p->out, *text, *length);
        return;
    }
    *text = NULL;
    *length = 0;
    if (!going(p) || coded == NO_TEXT)
        return;
    p->bad |= coded - 1 > (uint64_t)(p->end - p->at) || coded - 1 > TEXT_MOST;
    char *copy = room(p, going(p) ? (size_t)coded : 1, 1);
    if (copy == NULL)
        return;
    *length = (size_t)(coded - 1);
    memcpy(copy, p->at, *length);
    p->at += *length;
    *text = copy;
}

static void text_of(pack *p, const char **text)
{
    size_t length = *text != NULL ? strlen(*text) : 0;
    bytes_of(p, text, &length);
}

/* One that must be there. */
static void word(pack *p, const char **text)
{
    text_of(p, text);
    if (reading(p) && *text == NULL) {
        p->bad |= going(p);
        *text = "";
    }
}

/* One in a field of the struct. */
static void short_text(pack *p, char *field, size_t size)
{
    const char *text = field;
    word(p, &text);
    p->bad |= going(p) && strlen(text) >= size;
    if (reading(p) && going(p))
        memcpy(field, text, strlen(text) + 1);
}

static void place(pack *p, snub_place *at)
{
    const char *file = at->file;
    int how = file == NULL ? NO_FILE : file == p->name || strcmp(file, p->name) == 0 ? SAME_FILE : OTHER_FILE;
    whole(p, &how);
    if (how == OTHER_FILE)
        word(p, &file);
    whole(p, &at->line);
    whole(p, &at->column);
    size_of(p, &at->start);
    size_of(p, &at->end);
    if (reading(p))
        at->file = how == SAME_FILE ? p->name : how == NO_FILE ? NULL : file;
}

/* ---- trees ------------------------------------------------------------------------------------------------------- */

static void node_of(pack *p, snub_node **node, int depth);

static void items_of(pack *p, snub_node *node, int depth)
{
    count_of(p, &node->count);
    if (reading(p)) {
        node->items = room(p, (size_t)node->count, sizeof *node->items);
        node->keys = node->kind == SNUB_MAP ? room(p, (size_t)node->count, sizeof *node->keys) : NULL;
    }
    for (int i = 0; i < node->count && going(p); i++) {
        if (node->kind == SNUB_MAP) {
            node_of(p, &node->keys[i], depth + 1);
            p->bad |= going(p) && node->keys[i]->kind != SNUB_SCALAR;
        }
        node_of(p, &node->items[i], depth + 1);
    }
}

static void node_of(pack *p, snub_node **node, int depth)
{
    p->bad |= depth > 2 * SNUB_DEPTH_MOST || ++p->nodes > 2L * SNUB_NODES_MOST;
    if (reading(p))
        *node = room(p, 1, sizeof **node);
    if (!going(p))
        return;
    int kind = (int)(*node)->kind;
    whole(p, &kind);
    p->bad |= kind < SNUB_SCALAR || kind > SNUB_MAP;
    if (!going(p))
        return;
    (*node)->kind = (snub_node_kind)kind;
    flag(p, &(*node)->quoted);
    place(p, &(*node)->place);
    text_of(p, &(*node)->from_part);
    if (kind != SNUB_SCALAR) {
        items_of(p, *node, depth);
        return;
    }
    word(p, &(*node)->text);
    if (reading(p))
        (*node)->value = room(p, 1, sizeof *(*node)->value);
}

static void document_of(pack *p, snub_document *document)
{
    word(p, &document->name);
    p->name = document->name;
    bytes_of(p, &document->source, &document->source_length);
    node_of(p, &document->root, 0);
    int hints = 0;
    for (const snub_hint *hint = document->hints; hint != NULL; hint = hint->next)
        hints++;
    count_of(p, &hints);
    const snub_hint *from = document->hints, **last = &document->hints;
    for (int i = 0; i < hints && going(p); i++) {
        snub_hint one = {0};
        if (!reading(p)) {
            one = *from;
            from = from->next;
        }
        place(p, &one.place);
        word(p, &one.old);
        word(p, &one.now);
        snub_hint *kept = reading(p) ? room(p, 1, sizeof *kept) : NULL;
        if (kept == NULL)
            continue;
        *kept = one;
        *last = kept;
        last = &kept->next;
    }
    whole(p, &document->placeholders.count);
    place(p, &document->placeholders.place);
    if (reading(p))
        document->arena = p->arena;
}

/* ---- answers of the sources -------------------------------------------------------------------------------------- */

static void sale_of(pack *p, snub_part_sale *sale)
{
    word(p, &sale->own_number);
    word(p, &sale->supplier);
    flag(p, &sale->discontinued);
    word(p, &sale->replaced_by);
    word(p, &sale->supplier_number);
}

static void part_of(pack *p, snub_snapshot_part *part)
{
    word(p, &part->kind);
    word(p, &part->key);
    node_of(p, &part->map, 0);
    sale_of(p, &part->sale);
}

static void belt_of(pack *p, snub_stock_belt *belt)
{
    real(p, &belt->length);
    text_of(p, &belt->part);
    real(p, &belt->be);
    real(p, &belt->back);
    real(p, &belt->mass);
    real(p, &belt->stiffness);
    real(p, &belt->measuring_force);
    real(p, &belt->tolerance);
    whole(p, &belt->buying);
    bool sold = belt->sale != NULL;
    flag(p, &sold);
    if (!sold)
        return;
    snub_part_sale sale = reading(p) ? (snub_part_sale){0} : *belt->sale;
    sale_of(p, &sale);
    snub_part_sale *kept = reading(p) ? room(p, 1, sizeof *kept) : NULL;
    if (kept == NULL)
        return;
    *kept = sale;
    belt->sale = kept;
}

static void belts_of(pack *p, snub_snapshot_belts *belts)
{
    word(p, &belts->section);
    whole(p, &belts->ribs);
    count_of(p, &belts->count);
    if (reading(p))
        belts->belts = room(p, (size_t)belts->count, sizeof *belts->belts);
    for (int i = 0; i < belts->count && going(p); i++)
        belt_of(p, &belts->belts[i]);
}

static void reals(pack *p, double **values, int count)
{
    if (reading(p))
        *values = room(p, (size_t)count, sizeof **values);
    for (int i = 0; i < count && going(p); i++)
        real(p, &(*values)[i]);
}

static void map_line_of(pack *p, snub_map_line *line)
{
    real(p, &line->speed);
    count_of(p, &line->n);
    reals(p, &line->flow, line->n);
    reals(p, &line->ratio, line->n);
    reals(p, &line->efficiency, line->n);
    real(p, &line->surge);
}

static void map_of(pack *p, snub_snapshot_map *map)
{
    int kind = (int)map->kind;
    word(p, &map->path);
    whole(p, &kind);
    p->bad |= kind < SNUB_ROOTS || kind > SNUB_CENTRIFUGAL;
    map->kind = going(p) ? (snub_blower_kind)kind : SNUB_ROOTS;
    real(p, &map->temperature);
    real(p, &map->pressure);
    short_text(p, map->digest, sizeof map->digest);
    count_of(p, &map->lines);
    if (reading(p))
        map->map = room(p, (size_t)map->lines, sizeof *map->map);
    for (int i = 0; i < map->lines && going(p); i++)
        map_line_of(p, &map->map[i]);
}

static void unit_of(pack *p, snub_snapshot_unit *unit)
{
    int quantity = (int)unit->quantity;
    whole(p, &quantity);
    p->bad |= quantity < 0 || quantity >= SNUB_Q_COUNT_;
    unit->quantity = going(p) ? (snub_quantity)quantity : SNUB_Q_NUMBER;
    short_text(p, unit->unit.name, sizeof unit->unit.name);
    real(p, &unit->unit.scale);
    real(p, &unit->unit.zero);
}

/* A chain of things, in its order. */
#define CHAIN(p, first, each)                                                                                          \
    do {                                                                                                               \
        int count_ = 0;                                                                                                \
        for (__typeof__(first) one_ = (first); one_ != NULL; one_ = one_->next)                                        \
            count_++;                                                                                                  \
        count_of((p), &count_);                                                                                        \
        __typeof__(first) *last_ = &(first);                                                                           \
        for (int i_ = 0; i_ < count_ && going(p); i_++, last_ = &(*last_)->next) {                                     \
            if (reading(p))                                                                                            \
                *last_ = room((p), 1, sizeof **last_);                                                                 \
            if (going(p))                                                                                              \
                each((p), *last_);                                                                                     \
            else                                                                                                       \
                break;                                                                                                 \
        }                                                                                                              \
    } while (0)

static void snapshot_of(pack *p, snub_snapshot *snapshot)
{
    const char *first = magic, *last = magic;
    int version = SNUB_SNAPSHOT_VERSION;
    word(p, &first);
    whole(p, &version);
    p->bad |= going(p) && (strcmp(first, magic) != 0 || version != SNUB_SNAPSHOT_VERSION);
    if (!going(p))
        return;
    document_of(p, &snapshot->document);
    flag(p, &snapshot->catalogue);
    CHAIN(p, snapshot->parts, part_of);
    CHAIN(p, snapshot->belts, belts_of);
    CHAIN(p, snapshot->maps, map_of);
    CHAIN(p, snapshot->units, unit_of);
    word(p, &last);
    p->bad |= going(p) && (strcmp(last, magic) != 0 || (reading(p) && p->at != p->end));
}

snub_status snub_snapshot_write(snub_snapshot *snapshot, snub_text *out, snub_error *error)
{
    pack p = {.out = out, .arena = snapshot->arena, .name = ""};
    snapshot_of(&p, snapshot);
    return out->failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory") : SNUB_OK;
}

snub_status snub_snapshot_read(const void *bytes, size_t length, snub_arena *arena, snub_snapshot *snapshot,
                               snub_error *error)
{
    pack p = {.at = bytes, .end = (const unsigned char *)bytes + length, .arena = arena, .name = ""};
    snub_snapshot_begin(snapshot, &(const snub_document){0}, NULL, NULL, arena);
    snapshot_of(&p, snapshot);
    if (p.no_memory)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    return p.bad ? snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "not a snapshot of this version, or cut off") : SNUB_OK;
}
