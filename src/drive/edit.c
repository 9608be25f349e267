/** Items of a drive file's lists and maps taken out, put in, moved, renamed and given other values in its own text, so
 *  that comments and layout survive.
 *
 *  In block style an item is its lines, with the comments between the item before and itself; a comment above a list's
 *  first item is the list's. In flow style it is its text and one comma. As in rewrite.c the new text must mean the
 * tree that was meant, or nothing is handed out.
 */
#include <string.h>

#include "edit_rename.h"
#include "source.h"
#include "tree.h"

/** The collection that an edit is in, and where in it. */
typedef struct seat {
    const snub_node *in; /**< list or map */
    int index;           /**< of what is moved or taken out; -1 of what is new */
    int before;          /**< of the item that it is to stand before; the count: at the end */
    bool pulleys;        /**< it is the list of pulleys */
} seat;

static snub_status refuse(snub_error *error, const snub_document *document, const char *path, const char *reason)
{
    const snub_place place = {.file = document->name};
    return snub_fail(error, SNUB_BAD_INPUT, &place, path, "%s", reason);
}

/* ---- where ------------------------------------------------------------------------------------------------------- */

static const snub_node *top_of(const snub_document *document, const char *path)
{
    return snub_path_starts_at_pulley(document->root, path) ? snub_node_get(document->root, "pulleys") : document->root;
}

/** The node at an edit's path, with what it stands in. */
static const snub_node *follow(const snub_document *document, const snub_edit *edit, const snub_node **in, int *index)
{
    const char *path = edit->path, *word = NULL;
    size_t length = 0;
    const snub_node *node = edit->words != NULL ? document->root : top_of(document, path);
    *in = NULL;
    *index = -1;
    for (const char *const *at = edit->words; at != NULL && *at != NULL && node != NULL; at++) {
        *in = node;
        node = snub_node_step(node, *at, strlen(*at), index);
    }
    if (edit->words != NULL)
        return node;
    while (node != NULL && snub_path_word(&path, &word, &length)) {
        *in = node;
        node = snub_node_step(node, word, length, index);
    }
    return node;
}

static bool find_before(const snub_edit *edit, seat *at)
{
    at->before = at->in->count;
    if (edit->before == NULL || edit->before[0] == '\0')
        return true;
    return snub_node_step(at->in, edit->before, strlen(edit->before), &at->before) != NULL;
}

static snub_status find_seat(const snub_document *document, const snub_edit *edit, seat *at, snub_error *error)
{
    const snub_node *node = follow(document, edit, &at->in, &at->index);
    if (node == NULL)
        return refuse(error, document, edit->path, "is not a path in this file");
    if (edit->kind == SNUB_EDIT_INSERT) {
        at->in = node;
        at->index = -1;
    }
    if (at->in == NULL || at->in->kind == SNUB_SCALAR)
        return refuse(error, document, edit->path, "is no item of a list or map");
    if (edit->kind == SNUB_EDIT_INSERT && (at->in->kind == SNUB_MAP) != (edit->key != NULL))
        return refuse(error, document, edit->path,
                      edit->key != NULL ? "is a list: its items have no keys" : "is a map: a new item needs a key");
    if (edit->kind == SNUB_EDIT_RENAME && (at->in->kind != SNUB_MAP || edit->key == NULL))
        return refuse(error, document, edit->path, "is no key of a map that could be renamed");
    if (edit->key != NULL && snub_node_get(at->in, edit->key) != NULL)
        return refuse(error, document, edit->key, "is there already");
    if (!find_before(edit, at))
        return refuse(error, document, edit->before, "is no item of that list or map");
    at->pulleys = at->in == snub_node_get(document->root, "pulleys");
    return SNUB_OK;
}

/** What a drive cannot be without. */
static snub_status check_pulleys(const snub_document *document, const snub_edit *edit, const seat *at,
                                 snub_error *error)
{
    if (!at->pulleys || edit->kind != SNUB_EDIT_REMOVE)
        return SNUB_OK;
    const snub_node *role = snub_node_get(at->in->items[at->index], "role");
    if (role != NULL && role->kind == SNUB_SCALAR && strcmp(role->text, "crank") == 0)
        return refuse(error, document, edit->path, "is the crank pulley, which drives the belt: it cannot be removed");
    if (at->in->count <= 2)
        return refuse(error, document, edit->path, "is one of the last two pulleys: a belt needs two");
    return SNUB_OK;
}

/* ---- the text ---------------------------------------------------------------------------------------------------- */

static bool is_flow(const snub_document *document, const snub_node *in)
{
    const char first = document->source[in->place.start];
    return first == '[' || first == '{';
}

static const snub_node *head_of(const snub_node *in, int index)
{
    return in->kind == SNUB_MAP ? in->keys[index] : in->items[index];
}

/** Begin of the line of an item; where something else stands before it there, the item itself. */
static size_t line_start(const snub_document *document, const snub_node *in, int index)
{
    const size_t own = head_of(in, index)->place.start;
    size_t at = own;
    if (in->kind == SNUB_LIST)
        while (at > 0 && document->source[at - 1] != '-')
            at--;
    at -= in->kind == SNUB_LIST && at > 0;
    while (at > 0 && (document->source[at - 1] == ' ' || document->source[at - 1] == '\t'))
        at--;
    return at == 0 || document->source[at - 1] == '\n' ? at : own;
}

static size_t next_line(const snub_document *document, size_t at)
{
    at = snub_source_line_end(document, at);
    return at < document->source_length ? at + 1 : at;
}

/** Lines of an item in block style. */
static void block_lines(const snub_document *document, const snub_node *in, int index, size_t *from, size_t *to)
{
    *from = index > 0 ? next_line(document, snub_source_node_end(document, in->items[index - 1]))
                      : line_start(document, in, index);
    *to = next_line(document, snub_source_node_end(document, in->items[index]));
    /* a key on the line of its item's dash gives its place to the next */
    if (index == 0 && *from == head_of(in, 0)->place.start && in->count > 1)
        *to = head_of(in, 1)->place.start;
}

/** Text of an item in flow style, with the comma that goes with it. */
static void flow_piece(const snub_document *document, const snub_node *in, int index, size_t *from, size_t *to)
{
    *from = head_of(in, index)->place.start;
    *to = snub_source_node_end(document, in->items[index]);
    if (index + 1 < in->count)
        *to = head_of(in, index + 1)->place.start;
    else if (index > 0)
        *from = snub_source_node_end(document, in->items[index - 1]);
}

static void piece_of(const snub_document *document, const snub_node *in, int index, size_t *from, size_t *to)
{
    if (is_flow(document, in))
        flow_piece(document, in, index, from, to);
    else
        block_lines(document, in, index, from, to);
}

/** Place in the text for an item that is to stand before another, or at the end. */
static size_t place_before(const snub_document *document, const seat *at)
{
    size_t from = 0, to = 0;
    if (at->before < at->in->count && is_flow(document, at->in))
        return head_of(at->in, at->before)->place.start;
    if (at->before < at->in->count) {
        block_lines(document, at->in, at->before, &from, &to);
        return from;
    }
    if (at->in->count == 0)
        return at->in->place.start + 1;
    const size_t end = snub_source_node_end(document, at->in->items[at->in->count - 1]);
    return is_flow(document, at->in) ? end : next_line(document, end);
}

/** The item's own text with what parts it from its neighbours where it comes to stand. */
static void add_item(const snub_document *document, const seat *at, const char *text, size_t length, snub_text *out)
{
    const bool end = at->before == at->in->count;
    if (is_flow(document, at->in)) {
        snub_text_puts(out, end && at->in->count > 0 ? ", " : "");
        snub_text_add(out, text, length);
        snub_text_puts(out, end ? "" : ", ");
        return;
    }
    if (out->length > 0 && out->data[out->length - 1] != '\n')
        snub_source_add_line_end(document, snub_source_before_line_end(document, at->in->place.start), out);
    snub_text_add(out, text, length);
    if (length > 0 && text[length - 1] != '\n')
        snub_source_add_line_end(document, snub_source_before_line_end(document, at->in->place.start), out);
}

/** A new item as it stands in its list or map: in block style behind a dash, or below the other keys. */
static void write_new(const snub_document *document, const seat *at, const snub_edit *edit, snub_text *out)
{
    const bool map = at->in->kind == SNUB_MAP;
    if (!is_flow(document, at->in)) {
        const size_t column =
            map ? (size_t)at->in->keys[0]->place.column - 1 : snub_source_dash_column(document, at->in->items[0]);
        for (size_t i = column; i > 0; i--)
            snub_text_puts(out, " ");
        snub_text_puts(out, map ? "" : "- ");
    }
    if (map) {
        snub_source_add_key(out, edit->key, strlen(edit->key));
        snub_text_puts(out, ": ");
    }
    snub_text_puts(out, edit->text);
}

/** An item that moves: its lines, or its text without the comma. */
static void write_moved(const snub_document *document, const seat *at, snub_text *out)
{
    size_t from = 0, to = 0;
    if (is_flow(document, at->in)) {
        from = head_of(at->in, at->index)->place.start;
        to = snub_source_node_end(document, at->in->items[at->index]);
    } else {
        block_lines(document, at->in, at->index, &from, &to);
    }
    snub_source_add(document, from, to, out);
}

static void write_value(const snub_document *document, const snub_edit *edit, const seat *at, snub_text *out)
{
    const snub_node *value = at->in->items[at->index];
    snub_source_add(document, 0, value->place.start, out);
    /* an empty value stands right behind its colon or dash */
    if (value->place.start > 0 && strchr(":-", document->source[value->place.start - 1]) != NULL)
        snub_text_puts(out, " ");
    snub_text_puts(out, edit->text);
    snub_source_add(document, snub_source_node_end(document, value), document->source_length, out);
}

static void write(const snub_document *document, const snub_edit *edit, const seat *at, snub_text *out)
{
    if (edit->kind == SNUB_EDIT_SET) {
        write_value(document, edit, at, out);
        return;
    }
    const bool takes = at->index >= 0, puts = edit->kind != SNUB_EDIT_REMOVE;
    const size_t place = puts ? place_before(document, at) : document->source_length;
    size_t from = place, to = place;
    snub_text item = {0};
    if (takes)
        piece_of(document, at->in, at->index, &from, &to);
    if (takes && puts)
        write_moved(document, at, &item);
    else if (puts)
        write_new(document, at, edit, &item);
    if (puts && place <= from) {
        snub_source_add(document, 0, place, out);
        add_item(document, at, item.data != NULL ? item.data : "", item.length, out);
        snub_source_add(document, place, from, out);
    } else {
        snub_source_add(document, 0, from, out);
    }
    if (puts && place > from) {
        snub_source_add(document, to, place, out);
        add_item(document, at, item.data != NULL ? item.data : "", item.length, out);
        to = place;
    }
    snub_source_add(document, to, document->source_length, out);
    out->failed = out->failed || item.failed;
    snub_text_free(&item);
}

/* ---- what it means ----------------------------------------------------------------------------------------------- */

/** The tree in which one node stands for another. */
static const snub_node *exchanged(const snub_node *node, const snub_node *old, const snub_node *now, snub_arena *arena)
{
    if (node == old)
        return now;
    for (int i = 0; node->kind != SNUB_SCALAR && i < node->count; i++) {
        const snub_node *child = exchanged(node->items[i], old, now, arena);
        if (child == node->items[i])
            continue;
        snub_node *copy = child != NULL ? snub_collection_copy(node, 0, arena) : NULL;
        if (copy != NULL)
            copy->items[i] = (snub_node *)child;
        return copy;
    }
    return node;
}

static void put(snub_node *collection, const snub_node *key, const snub_node *item)
{
    if (collection->kind == SNUB_MAP)
        collection->keys[collection->count] = (snub_node *)key;
    collection->items[collection->count++] = (snub_node *)item;
}

/** The collection with the item taken out and put in. */
static snub_node *edited(const seat *at, bool puts, const snub_node *key, const snub_node *item, snub_arena *arena)
{
    const snub_node *in = at->in;
    snub_node *copy = snub_collection_copy(in, 1, arena);
    if (copy == NULL)
        return NULL;
    copy->count = 0;
    for (int i = 0; i <= in->count; i++) {
        if (puts && i == at->before)
            put(copy, key, item);
        if (i < in->count && i != at->index)
            put(copy, in->kind == SNUB_MAP ? in->keys[i] : NULL, in->items[i]);
    }
    return copy;
}

/** The tree that is meant. @return NULL: no memory */
static const snub_node *meant(const snub_document *document, const snub_edit *edit, const seat *at, snub_node *item,
                              snub_arena *arena)
{
    snub_node *key = at->index >= 0 && at->in->kind == SNUB_MAP ? at->in->keys[at->index] : NULL;
    if (edit->kind == SNUB_EDIT_SET)
        return exchanged(document->root, at->in->items[at->index], item, arena);
    if (edit->kind == SNUB_EDIT_INSERT && edit->key != NULL) {
        key = SNUB_NEW(arena, snub_node, 1);
        if (key == NULL)
            return NULL;
        *key = (snub_node){.kind = SNUB_SCALAR, .text = edit->key};
    }
    const snub_node *now = edited(at, edit->kind != SNUB_EDIT_REMOVE, key, item, arena);
    return now != NULL ? exchanged(document->root, at->in, now, arena) : NULL;
}

/** Does the text mean that tree? */
static snub_status compare(const snub_document *document, const snub_edit *edit, const snub_node *wanted,
                           const snub_text *text, snub_arena *arena, snub_error *error)
{
    snub_document parsed = {0};
    snub_errors errors = {0};
    if (wanted == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, edit->path, "out of memory");
    const snub_status status = snub_document_parse(document->name, text->data, text->length, arena, &parsed, &errors);
    snub_errors_free(&errors);
    if (status == SNUB_NO_MEMORY)
        return snub_fail(error, status, NULL, edit->path, "out of memory");
    if (status != SNUB_OK)
        return refuse(error, document, edit->path, "is not valid there");
    return snub_tree_same(wanted, parsed.root)
               ? SNUB_OK
               : refuse(error, document, edit->path,
                        "cannot be changed on its own: it is shared by an alias, or the text means more there");
}

static snub_status rename_key(const snub_document *document, const snub_edit *edit, const seat *at, snub_text *text,
                              snub_arena *arena, snub_error *error)
{
    const snub_node *wanted = NULL;
    const snub_status status = snub_edit_rename(document, at->in, at->index, edit->key, arena, text, &wanted, error);
    return status == SNUB_OK && !text->failed ? compare(document, edit, wanted, text, arena, error) : status;
}

static snub_status check(const snub_document *document, const snub_edit *edit, const seat *at, const snub_text *text,
                         snub_arena *arena, snub_error *error)
{
    snub_node *item = at->index >= 0 ? at->in->items[at->index] : NULL;
    const snub_status status =
        edit->text != NULL ? snub_node_from_text(edit->text, edit->path, arena, &item, error) : SNUB_OK;
    if (status == SNUB_NO_MEMORY)
        return snub_fail(error, status, NULL, edit->path, "out of memory");
    if (status != SNUB_OK)
        return refuse(error, document, edit->path, "is not valid there");
    return compare(document, edit, meant(document, edit, at, item, arena), text, arena, error);
}

snub_status snub_document_edit(const snub_document *document, const snub_edit *edit, snub_text *out, snub_error *error)
{
    snub_arena arena;
    snub_text text = {0};
    seat at = {0};
    snub_arena_init(&arena, 0);
    snub_status status = find_seat(document, edit, &at, error);
    if (status == SNUB_OK)
        status = check_pulleys(document, edit, &at, error);
    if (status == SNUB_OK && edit->kind == SNUB_EDIT_INSERT && at.in->count == 0 && !is_flow(document, at.in))
        status = refuse(error, document, edit->path, "is an empty list or map");
    if (status == SNUB_OK && edit->text != NULL && strpbrk(edit->text, "\r\n") != NULL)
        status = refuse(error, document, edit->path, "is not a value on one line");
    const bool stays =
        at.index >= 0 && edit->kind == SNUB_EDIT_MOVE && (at.before == at.index || at.before == at.index + 1);
    if (status == SNUB_OK && edit->kind == SNUB_EDIT_RENAME) {
        status = rename_key(document, edit, &at, &text, &arena, error);
        if (text.failed || (status == SNUB_OK && text.data == NULL))
            status = snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    } else if (status == SNUB_OK && !stays) {
        write(document, edit, &at, &text);
        status = text.failed || text.data == NULL ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory")
                                                  : check(document, edit, &at, &text, &arena, error);
    }
    if (status == SNUB_OK && stays)
        snub_text_add(out, document->source, document->source_length);
    else if (status == SNUB_OK)
        snub_text_add(out, text.data, text.length);
    snub_text_free(&text);
    snub_arena_free(&arena);
    return status == SNUB_OK && out->failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory") : status;
}
