/** YAML text to a tree of nodes that know where they stand, through libyaml's events.
 *
 *  libyaml gives no tree that fits: its document API drops flow styles and follows no limits. Events also let an alias
 *  be counted as often as it is used before anything is built from it.
 */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <yaml.h>

#include "tree.h"

enum {
    ANCHORS_MOST = 1000, /**< looked up one by one */
    MARK_STRIDE = 256,   /**< characters between remembered byte offsets */
    SORT_KEYS_OVER = 24, /**< maps with more keys are sorted to find keys that come twice */
    SHOWN_MOST = 40      /**< bytes of a key shown in a message */
};

typedef struct frame {
    snub_node *node;
    size_t first; /**< of its items on the stack */
    long weight;  /**< nodes in it, aliases counted as often as used */
    int height;   /**< of the tallest child */
    int anchor;   /**< -1: none */
} frame;

typedef struct anchor {
    const char *name;
    snub_node *node;
    long weight;
    int height;
    bool open; /**< its collection has not ended */
} anchor;

typedef struct builder {
    snub_arena *arena;
    snub_errors *errors;
    const char *name, *source;
    size_t length, skip; /**< skip: bytes of a byte order mark */
    bool placed;         /**< false: fragments, whose places have line 0 */
    bool ascii;
    size_t *marks; /**< byte offset of every MARK_STRIDE-th character; NULL where ascii */
    frame frames[SNUB_DEPTH_MOST + 1];
    int depth;
    snub_node **stack;
    size_t stacked, stack_room;
    anchor *anchors;
    int anchor_count;
    long weight;
    snub_node *root;
    int documents, wrong;
    snub_status fatal;
} builder;

/* ---- places ------------------------------------------------------------------------------------------------------ */

/** Bytes of the UTF-8 sequence at p, 0 where it is none (RFC 3629: no overlong forms, no surrogates). */
static size_t utf8_sequence(const unsigned char *p, size_t left)
{
    static const unsigned char least[] = {0, 0, 0x80, 0x80, 0x80};
    size_t n = p[0] < 0x80                    ? 1
               : p[0] >= 0xC2 && p[0] <= 0xDF ? 2
               : p[0] >= 0xE0 && p[0] <= 0xEF ? 3
               : p[0] >= 0xF0 && p[0] <= 0xF4 ? 4
                                              : 0;
    if (n == 0 || n > left)
        return 0;
    for (size_t i = 1; i < n; i++) {
        if (p[i] < least[n] || p[i] > 0xBF)
            return 0;
    }
    if ((p[0] == 0xE0 && p[1] < 0xA0) || (p[0] == 0xED && p[1] > 0x9F) || (p[0] == 0xF0 && p[1] < 0x90) ||
        (p[0] == 0xF4 && p[1] > 0x8F))
        return 0;
    return n;
}

/** Byte offset in the source of libyaml's character index. */
static size_t byte_of(const builder *b, size_t index)
{
    if (b->ascii)
        return index + b->skip < b->length ? index + b->skip : b->length;
    size_t character = index - index % MARK_STRIDE, at = b->marks[index / MARK_STRIDE];
    while (character < index && at < b->length) {
        at += utf8_sequence((const unsigned char *)b->source + at, b->length - at);
        character++;
    }
    return at;
}

static snub_place place_of(const builder *b, const yaml_mark_t *start, const yaml_mark_t *end)
{
    snub_place place = {.file = b->name};
    if (!b->placed)
        return place;
    place.line = (int)start->line + 1;
    place.column = (int)start->column + 1;
    place.start = byte_of(b, start->index);
    place.end = byte_of(b, end->index);
    return place;
}

/** Move the start of a place on to a byte, lines ending in a line feed. */
static void advance(const builder *b, snub_place *place, size_t offset)
{
    size_t to = offset < b->length ? offset : b->length;
    for (; place->start < to; place->start++) {
        if (b->source[place->start] == '\n') {
            place->line++;
            place->column = 1;
        } else if (((unsigned char)b->source[place->start] & 0xC0) != 0x80) {
            place->column++;
        }
    }
    if (place->end < place->start)
        place->end = place->start;
}

/** Place of one byte. */
static snub_place place_of_byte(const builder *b, size_t offset)
{
    snub_place place = {.file = b->name};
    if (!b->placed)
        return place;
    place.line = place.column = 1;
    place.start = b->skip;
    advance(b, &place, offset);
    return place;
}

/* ---- errors ---------------------------------------------------------------------------------------------------- */

static void complain(builder *b, snub_status code, const snub_place *place, const char *need, const char *message)
{
    snub_error error = {0};
    snub_fail(&error, code, place, "", "%s", message);
    if (need != NULL) {
        strncpy(error.need, need, sizeof(error.need) - 1);
    }
    snub_errors_add(b->errors, &error);
    b->wrong++;
}

static void stop(builder *b, snub_status code, const snub_place *place, const char *need, const char *message)
{
    if (b->fatal != SNUB_OK)
        return;
    b->fatal = code;
    complain(b, code, place, need, message);
}

static void stop_memory(builder *b)
{
    snub_place place = {.file = b->name};
    stop(b, SNUB_NO_MEMORY, &place, NULL, "out of memory");
}

/** "text 'word' more", the word cut to SHOWN_MOST bytes. */
static const char *with_word(builder *b, const char *before, const char *word, const char *after)
{
    size_t length = strlen(word), shown = length;
    if (shown > SHOWN_MOST) {
        shown = SHOWN_MOST;
        while (shown > 0 && ((unsigned char)word[shown] & 0xC0) == 0x80)
            shown--;
    }
    char *text = snub_format(b->arena, "%s'%.*s%s'%s", before, (int)shown, word, shown < length ? "..." : "", after);
    return text != NULL ? text : before;
}

/* ---- the text ---------------------------------------------------------------------------------------------------- */

static bool looks_binary(const unsigned char *p, size_t length)
{
    return (length >= 4 && memcmp(p,
                                  "\x7F"
                                  "ELF",
                                  4) == 0) ||
           (length >= 4 && memcmp(p, "%PDF", 4) == 0) || (length >= 4 && memcmp(p, "PK\x03\x04", 4) == 0) ||
           (length >= 8 && memcmp(p, "\x89PNG\r\n\x1A\n", 8) == 0);
}

/** Refuse what is no UTF-8 text and note where characters lie. */
static void check_text(builder *b)
{
    const unsigned char *p = (const unsigned char *)b->source;
    snub_place whole = {.file = b->name};
    if (b->length >= 2 && ((p[0] == 0xFF && p[1] == 0xFE) || (p[0] == 0xFE && p[1] == 0xFF))) {
        stop(b, SNUB_BAD_INPUT, &whole, "UTF-8", "is UTF-16 text");
        return;
    }
    if (looks_binary(p, b->length)) {
        stop(b, SNUB_BAD_INPUT, &whole, "a drive file in YAML", "is not a text file");
        return;
    }
    if (b->length >= 3 && memcmp(p, "\xEF\xBB\xBF", 3) == 0)
        b->skip = 3;
    size_t characters = 0;
    b->ascii = true;
    for (size_t i = b->skip; i < b->length;) {
        size_t n = p[i] == 0 ? 0 : utf8_sequence(p + i, b->length - i);
        if (n == 0) {
            snub_place place = place_of_byte(b, i);
            stop(b, SNUB_BAD_INPUT, &place, "UTF-8 text",
                 p[i] == 0 ? "has a NUL byte" : "has bytes that are not UTF-8");
            return;
        }
        b->ascii = b->ascii && n == 1;
        characters++;
        i += n;
    }
    if (b->ascii)
        return;
    b->marks = malloc((characters / MARK_STRIDE + 2) * sizeof(*b->marks));
    if (b->marks == NULL) {
        stop_memory(b);
        return;
    }
    size_t character = 0, i = b->skip;
    for (; i < b->length; i += utf8_sequence(p + i, b->length - i)) {
        if (character++ % MARK_STRIDE == 0)
            b->marks[(character - 1) / MARK_STRIDE] = i;
    }
    /* libyaml may name the index one past the last character */
    if (character % MARK_STRIDE == 0)
        b->marks[character / MARK_STRIDE] = i;
}

/* ---- nodes ------------------------------------------------------------------------------------------------------- */

static snub_node *new_node(builder *b, snub_node_kind kind, const yaml_event_t *event, bool properties)
{
    snub_node *node = SNUB_NEW(b->arena, snub_node, 1);
    if (node == NULL) {
        stop_memory(b);
        return NULL;
    }
    node->kind = kind;
    node->place = place_of(b, &event->start_mark, &event->end_mark);
    if (!properties || !b->placed)
        return node;
    /* An anchor or a tag stands before the value: the value is what may be rewritten. */
    size_t at = node->place.start;
    while (at < b->length && (b->source[at] == '&' || b->source[at] == '!')) {
        at += strcspn(b->source + at, " \t\r\n,]}");
        at += strspn(b->source + at, " \t\r\n");
    }
    /* ... of an empty scalar nothing is left behind the anchor */
    if (kind == SNUB_SCALAR && at > node->place.end)
        at = node->place.end;
    advance(b, &node->place, at);
    return node;
}

/** True where the tag is none or one of YAML's own for that kind. `text` is set where it makes a scalar text. */
static bool tag_fits(const char *tag, snub_node_kind kind, bool *text)
{
    static const char prefix[] = "tag:yaml.org,2002:";
    if (tag == NULL)
        return true;
    if (strcmp(tag, "!") == 0) {
        *text = true;
        return true;
    }
    if (strncmp(tag, prefix, sizeof(prefix) - 1) != 0)
        return false;
    tag += sizeof(prefix) - 1;
    if (kind == SNUB_MAP)
        return strcmp(tag, "map") == 0;
    if (kind == SNUB_LIST)
        return strcmp(tag, "seq") == 0;
    *text = strcmp(tag, "str") == 0;
    return *text || strcmp(tag, "int") == 0 || strcmp(tag, "float") == 0 || strcmp(tag, "bool") == 0 ||
           strcmp(tag, "null") == 0;
}

static void check_tag(builder *b, const yaml_char_t *tag, const snub_node *node, bool *text)
{
    if (!tag_fits((const char *)tag, node->kind, text))
        complain(b, SNUB_BAD_INPUT, &node->place, "no tag, or the YAML tag that fits the value",
                 with_word(b, "has the tag ", (const char *)tag, ""));
}

static int add_anchor(builder *b, const yaml_char_t *name, snub_node *node)
{
    if (name == NULL || node == NULL)
        return -1;
    if (b->anchor_count == ANCHORS_MOST) {
        stop(b, SNUB_TOO_LARGE, &node->place, "at most 1000 anchors", "has too many anchors");
        return -1;
    }
    if (b->anchors == NULL)
        b->anchors = calloc(ANCHORS_MOST, sizeof(*b->anchors));
    const char *copy = b->anchors != NULL ? snub_copy_text(b->arena, (const char *)name) : NULL;
    if (copy == NULL) {
        stop_memory(b);
        return -1;
    }
    b->anchors[b->anchor_count] = (anchor){copy, node, 1, 1, true};
    return b->anchor_count++;
}

static void push(builder *b, snub_node *node)
{
    if (b->stacked == b->stack_room) {
        size_t room = b->stack_room > 0 ? 2 * b->stack_room : 64;
        snub_node **grown = realloc(b->stack, room * sizeof(*grown));
        if (grown == NULL) {
            stop_memory(b);
            return;
        }
        b->stack = grown;
        b->stack_room = room;
    }
    b->stack[b->stacked++] = node;
}

/** Put a finished node, with all that stands below it, into the collection that is open. */
static void place_node(builder *b, snub_node *node, int height)
{
    if (b->depth == 0) {
        b->root = node;
        return;
    }
    frame *top = &b->frames[b->depth - 1];
    if (height > top->height)
        top->height = height;
    bool is_key = top->node->kind == SNUB_MAP && (b->stacked - top->first) % 2 == 0;
    if (is_key && node->kind != SNUB_SCALAR)
        complain(b, SNUB_BAD_INPUT, &node->place, "a word", "is a list or a map where a key is needed");
    push(b, node);
}

/** Count nodes that come in; an alias brings all that its anchor holds. */
static void count(builder *b, const snub_node *node, long weight, int height)
{
    b->weight += weight;
    if (b->depth > 0)
        b->frames[b->depth - 1].weight += weight;
    if (b->weight > SNUB_NODES_MOST)
        stop(b, SNUB_TOO_LARGE, &node->place, "at most 200000 values, counting aliases each time they are used",
             "has too many values");
    else if (b->depth + height > SNUB_DEPTH_MOST)
        stop(b, SNUB_TOO_LARGE, &node->place, "at most 32 levels", "is nested too deep");
}

/** A name with a character that does not show cannot be told from another by anybody who reads it. */
static void refuse_hidden(builder *b, const yaml_event_t *event, const snub_place *place)
{
    uint32_t point;
    if (!snub_text_hidden((const char *)event->data.scalar.value, event->data.scalar.length, &point))
        return;
    const char *message =
        snub_format(b->arena, "has a character that does not show or is no character, U+%04X", (unsigned)point);
    complain(b, SNUB_BAD_INPUT, place, "text that shows",
             message != NULL ? message : "has a character that does not show");
}

static void on_scalar(builder *b, const yaml_event_t *event)
{
    const yaml_char_t *tag = event->data.scalar.tag, *name = event->data.scalar.anchor;
    snub_node *node = new_node(b, SNUB_SCALAR, event, tag != NULL || name != NULL);
    if (node == NULL)
        return;
    bool text = event->data.scalar.style != YAML_PLAIN_SCALAR_STYLE;
    check_tag(b, tag, node, &text);
    node->quoted = text;
    if (memchr(event->data.scalar.value, 0, event->data.scalar.length) != NULL)
        complain(b, SNUB_BAD_INPUT, &node->place, NULL, "has a NUL character");
    else
        refuse_hidden(b, event, &node->place);
    node->text = snub_copy_text_n(b->arena, (const char *)event->data.scalar.value, event->data.scalar.length);
    node->value = SNUB_NEW(b->arena, snub_scalar_value, 1);
    if (node->text == NULL || node->value == NULL) {
        stop_memory(b);
        return;
    }
    int index = add_anchor(b, name, node);
    if (index >= 0)
        b->anchors[index].open = false;
    count(b, node, 1, 1);
    place_node(b, node, 1);
}

static void on_alias(builder *b, const yaml_event_t *event)
{
    const char *name = (const char *)event->data.alias.anchor;
    const anchor *found = NULL;
    for (int i = b->anchor_count - 1; i >= 0 && found == NULL; i--) {
        if (strcmp(b->anchors[i].name, name) == 0)
            found = &b->anchors[i];
    }
    /* The alias is a node of its own, so that a mistake is shown where the alias stands; what is below is shared. */
    snub_node *node = new_node(b, SNUB_SCALAR, event, false);
    if (node == NULL)
        return;
    snub_place place = node->place;
    if (found == NULL || found->open) {
        stop(
            b, SNUB_BAD_INPUT, &place, NULL,
            with_word(b, "the alias ", name, found == NULL ? " has no anchor before it" : " is inside its own anchor"));
        return;
    }
    *node = *found->node;
    node->place = place;
    count(b, node, found->weight, found->height);
    place_node(b, node, found->height);
}

static void on_start(builder *b, const yaml_event_t *event, snub_node_kind kind)
{
    bool map = kind == SNUB_MAP, text = false;
    const yaml_char_t *tag = map ? event->data.mapping_start.tag : event->data.sequence_start.tag;
    const yaml_char_t *name = map ? event->data.mapping_start.anchor : event->data.sequence_start.anchor;
    snub_node *node = new_node(b, kind, event, tag != NULL || name != NULL);
    if (node == NULL)
        return;
    check_tag(b, tag, node, &text);
    int index = add_anchor(b, name, node);
    count(b, node, 1, 1);
    if (b->fatal != SNUB_OK)
        return;
    b->frames[b->depth++] = (frame){node, b->stacked, 1, 0, index};
}

static int compare_keys(const void *a, const void *b)
{
    const snub_node *first = *(snub_node *const *)a, *second = *(snub_node *const *)b;
    int order = strcmp(first->text, second->text);
    if (order == 0)
        order = (first->place.line > second->place.line) - (first->place.line < second->place.line);
    if (order == 0)
        order = (first->place.column > second->place.column) - (first->place.column < second->place.column);
    return order;
}

static void complain_twice(builder *b, const snub_node *first, const snub_node *again)
{
    char *after = snub_format(b->arena, " is repeated; it is also in line %d", first->place.line);
    if (after == NULL) {
        stop_memory(b);
        return;
    }
    complain(b, SNUB_BAD_INPUT, &again->place, "each key once", with_word(b, "the key ", again->text, after));
}

static void check_keys(builder *b, const snub_node *map)
{
    if (map->count <= SORT_KEYS_OVER) {
        for (int i = 1; i < map->count; i++) {
            for (int j = 0; j < i; j++) {
                if (map->keys[i]->kind == SNUB_SCALAR && map->keys[j]->kind == SNUB_SCALAR &&
                    strcmp(map->keys[i]->text, map->keys[j]->text) == 0) {
                    complain_twice(b, map->keys[j], map->keys[i]);
                    break;
                }
            }
        }
        return;
    }
    snub_node **sorted = malloc((size_t)map->count * sizeof(snub_node *));
    if (sorted == NULL) {
        stop_memory(b);
        return;
    }
    int n = 0;
    for (int i = 0; i < map->count; i++) {
        if (map->keys[i]->kind == SNUB_SCALAR)
            sorted[n++] = map->keys[i];
    }
    qsort(sorted, (size_t)n, sizeof(snub_node *), compare_keys);
    for (int i = 1; i < n; i++) {
        if (strcmp(sorted[i]->text, sorted[i - 1]->text) == 0)
            complain_twice(b, sorted[i - 1], sorted[i]);
    }
    free(sorted);
}

/** End of a collection: flow style ends with its bracket, block style with its last value. */
static void close_place(builder *b, snub_node *node, const yaml_event_t *event)
{
    if (!b->placed)
        return;
    char first = node->place.start < b->length ? b->source[node->place.start] : '\0';
    bool flow = (node->kind == SNUB_LIST && first == '[') || (node->kind == SNUB_MAP && first == '{');
    if (flow || node->count == 0)
        node->place.end = byte_of(b, event->end_mark.index);
    else
        node->place.end = node->items[node->count - 1]->place.end;
}

static void on_end(builder *b, const yaml_event_t *event)
{
    frame top = b->frames[--b->depth];
    snub_node *node = top.node;
    size_t n = b->stacked - top.first;
    bool map = node->kind == SNUB_MAP;
    node->count = (int)(map ? n / 2 : n);
    node->items = SNUB_NEW(b->arena, snub_node *, node->count > 0 ? node->count : 1);
    node->keys = map ? SNUB_NEW(b->arena, snub_node *, node->count > 0 ? node->count : 1) : NULL;
    if (node->items == NULL || (map && node->keys == NULL)) {
        stop_memory(b);
        return;
    }
    for (int i = 0; i < node->count; i++) {
        if (map)
            node->keys[i] = b->stack[top.first + 2 * (size_t)i];
        node->items[i] = b->stack[top.first + (map ? 2 * (size_t)i + 1 : (size_t)i)];
    }
    b->stacked = top.first;
    close_place(b, node, event);
    if (map)
        check_keys(b, node);
    if (top.anchor >= 0) {
        b->anchors[top.anchor].open = false;
        b->anchors[top.anchor].weight = top.weight;
        b->anchors[top.anchor].height = top.height + 1;
    }
    if (b->depth > 0)
        b->frames[b->depth - 1].weight += top.weight - 1;
    place_node(b, node, top.height + 1);
}

/* ---- the run over the events ------------------------------------------------------------------------------------- */

static void on_event(builder *b, const yaml_event_t *event)
{
    switch (event->type) {
    case YAML_DOCUMENT_START_EVENT:
        if (++b->documents > 1) {
            snub_place place = place_of(b, &event->start_mark, &event->end_mark);
            stop(b, SNUB_BAD_INPUT, &place, "one document in a file", "a second document starts here");
        }
        break;
    case YAML_SCALAR_EVENT: on_scalar(b, event); break;
    case YAML_ALIAS_EVENT: on_alias(b, event); break;
    case YAML_SEQUENCE_START_EVENT: on_start(b, event, SNUB_LIST); break;
    case YAML_MAPPING_START_EVENT: on_start(b, event, SNUB_MAP); break;
    case YAML_SEQUENCE_END_EVENT:
    case YAML_MAPPING_END_EVENT: on_end(b, event); break;
    default: break;
    }
}

static void on_yaml_error(builder *b, const yaml_parser_t *parser)
{
    if (parser->error == YAML_MEMORY_ERROR) {
        stop_memory(b);
        return;
    }
    snub_place place;
    if (parser->error == YAML_READER_ERROR)
        place = place_of_byte(b, parser->problem_offset + b->skip);
    else
        place = place_of(b, &parser->problem_mark, &parser->problem_mark);
    if (parser->error == YAML_SCANNER_ERROR && place.start < b->length && b->source[place.start] == '\t') {
        stop(b, SNUB_BAD_INPUT, &place, "blanks", "is indented with a tab");
        return;
    }
    char *text = snub_format(b->arena, "is not YAML: %s%s%s", parser->context != NULL ? parser->context : "",
                             parser->context != NULL ? ", " : "", parser->problem != NULL ? parser->problem : "");
    stop(b, SNUB_BAD_INPUT, &place, NULL, text != NULL ? text : "is not YAML");
}

static void run(builder *b)
{
    yaml_parser_t parser;
    if (!yaml_parser_initialize(&parser)) {
        stop_memory(b);
        return;
    }
    yaml_parser_set_encoding(&parser, YAML_UTF8_ENCODING);
    yaml_parser_set_input_string(&parser, (const unsigned char *)b->source + b->skip, b->length - b->skip);
    bool more = true;
    while (more && b->fatal == SNUB_OK) {
        yaml_event_t event;
        if (!yaml_parser_parse(&parser, &event)) {
            on_yaml_error(b, &parser);
            break;
        }
        on_event(b, &event);
        more = event.type != YAML_STREAM_END_EVENT;
        yaml_event_delete(&event);
    }
    yaml_parser_delete(&parser);
}

static snub_status build(builder *b)
{
    check_text(b);
    if (b->fatal == SNUB_OK)
        run(b);
    snub_place whole = {.file = b->name};
    if (b->fatal == SNUB_OK && (b->root == NULL || snub_node_is_blank(b->root)))
        stop(b, SNUB_BAD_INPUT, &whole, "a value", "is empty");
    free(b->marks);
    free(b->stack);
    free(b->anchors);
    if (b->fatal != SNUB_OK)
        return b->fatal;
    return b->wrong > 0 ? SNUB_BAD_INPUT : SNUB_OK;
}

snub_status snub_document_parse(const char *name, const char *text, size_t length, snub_arena *arena,
                                snub_document *document, snub_errors *errors)
{
    builder b = {.arena = arena, .errors = errors, .length = length, .placed = true};
    *document = (snub_document){0};
    b.name = snub_copy_text(arena, name);
    snub_place whole = {.file = b.name};
    if (b.name == NULL) {
        stop_memory(&b);
        return b.fatal;
    }
    if (length > SNUB_FILE_BYTES_MOST) {
        stop(&b, SNUB_TOO_LARGE, &whole, "at most 4 MiB", "is too large");
        return b.fatal;
    }
    b.source = snub_copy_text_n(arena, text, length);
    if (b.source == NULL) {
        stop_memory(&b);
        return b.fatal;
    }
    const snub_hint *hints = NULL;
    snub_status status = build(&b);
    if (status == SNUB_OK)
        status = snub_tree_rename(b.root, arena, &b.root, &hints, errors);
    if (status == SNUB_NO_MEMORY && b.fatal != SNUB_NO_MEMORY)
        stop_memory(&b);
    *document = (snub_document){.name = b.name,
                                .source = b.source,
                                .source_length = length,
                                .root = status == SNUB_OK ? b.root : NULL,
                                .arena = arena,
                                .hints = hints,
                                .placeholders = snub_placeholders_find(b.name, b.source, length)};
    return status;
}

snub_status snub_document_read(const char *path, snub_arena *arena, snub_document *document, snub_errors *errors)
{
    char *data = NULL;
    size_t length = 0;
    snub_error error = {0};
    *document = (snub_document){0};
    snub_status status = snub_file_read(path, SNUB_FILE_BYTES_MOST, &data, &length, &error);
    if (status != SNUB_OK) {
        if (error.place.file == NULL)
            error.place.file = snub_copy_text(arena, path);
        snub_errors_add(errors, &error);
        return status;
    }
    status = snub_document_parse(path, data, length, arena, document, errors);
    free(data);
    return status;
}

snub_status snub_node_from_text(const char *text, const char *origin, snub_arena *arena, snub_node **node,
                                snub_error *error)
{
    snub_errors errors = {0};
    builder b = {.arena = arena, .errors = &errors, .length = strlen(text), .source = text};
    b.name = snub_copy_text(arena, origin);
    if (b.name == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    if (b.length > SNUB_FILE_BYTES_MOST)
        return snub_fail(error, SNUB_TOO_LARGE, NULL, NULL, "is too large");
    snub_status status = build(&b);
    if (status == SNUB_OK)
        *node = b.root;
    else if (error != NULL && errors.count > 0)
        *error = errors.items[0];
    else
        snub_fail(error, status, NULL, NULL, "%s", snub_status_text(status));
    snub_errors_free(&errors);
    return status == SNUB_TOO_LARGE ? SNUB_BAD_INPUT : status;
}
