/* What differs between two texts, shown before one is written over the other. */
#include <string.h>

#include "comments.h"
#include "keyed.h"

enum { SHOWN_MOST = 20000 /* bytes of lines or comments of one side */ };

typedef struct comparing {
    snub_arena *arena;
    snub_text_difference *list;
    int count, room;
    bool failed; /* memory is out */
} comparing;

static void add(comparing *c, const char *path, const char *before, const char *after)
{
    if (c->count == c->room) {
        const int wider = c->room ? 2 * c->room : 16;
        snub_text_difference *more = SNUB_NEW(c->arena, snub_text_difference, wider);
        if (!more) {
            c->failed = true;
            return;
        }
        if (c->count)
            memcpy(more, c->list, (size_t)c->count * sizeof *more);
        c->list = more;
        c->room = wider;
    }
    c->list[c->count++] = (snub_text_difference){path, before, after};
}

static const char *keep(comparing *c, snub_text *text)
{
    const char *copy = text->failed || !text->data ? NULL : snub_copy_text_n(c->arena, text->data, text->length);
    c->failed |= text->failed || (text->data && !copy);
    snub_text_free(text);
    return copy;
}

static const char *shown(comparing *c, const snub_node *node)
{
    return snub_node_shown(node, c->arena, &c->failed);
}

static const char *step(comparing *c, const char *path, const char *word)
{
    return snub_path_below(c->arena, path, word, &c->failed);
}

static void compare(comparing *c, const char *path, const snub_node *before, const snub_node *after);

static void compare_maps(comparing *c, const char *path, const snub_node *before, const snub_node *after)
{
    for (int i = 0; i < before->count; i++) {
        const char *key = before->keys[i]->text;
        compare(c, step(c, path, key), before->items[i], snub_node_get(after, key));
    }
    for (int i = 0; i < after->count; i++) {
        const char *key = after->keys[i]->text;
        if (!snub_node_get(before, key))
            compare(c, step(c, path, key), NULL, after->items[i]);
    }
}

/* Names of the items that the other list has too. */
static const char *order_of(comparing *c, const snub_node *list, const snub_node *other)
{
    snub_text names = {0};
    for (int i = 0; i < list->count; i++) {
        const char *name = snub_item_name(list->items[i]);
        if (snub_item_named(other, name))
            snub_text_printf(&names, "%s%s", names.length ? ", " : "", name);
    }
    return keep(c, &names);
}

static void compare_named(comparing *c, const char *path, const snub_node *before, const snub_node *after)
{
    for (int i = 0; i < before->count; i++) {
        const char *name = snub_item_name(before->items[i]);
        compare(c, step(c, path, name), before->items[i], snub_item_named(after, name));
    }
    for (int i = 0; i < after->count; i++) {
        const char *name = snub_item_name(after->items[i]);
        if (!snub_item_named(before, name))
            compare(c, step(c, path, name), NULL, after->items[i]);
    }
    const char *was = order_of(c, before, after), *is = order_of(c, after, before);
    if (was && is && strcmp(was, is) != 0)
        add(c, path, was, is);
}

static const char *in_quotes(comparing *c, const snub_node *node, const char *text)
{
    const char *quoted = node->quoted ? snub_format(c->arena, "\"%s\"", text) : text;
    c->failed |= !quoted;
    return quoted;
}

/* Where only quotes make the difference, they are shown. */
static void add_values(comparing *c, const char *path, const snub_node *before, const snub_node *after)
{
    const char *was = shown(c, before), *is = shown(c, after);
    if (was && is && strcmp(was, is) == 0 && before->kind == SNUB_SCALAR && after->kind == SNUB_SCALAR)
        add(c, path, in_quotes(c, before, was), in_quotes(c, after, is));
    else
        add(c, path, was, is);
}

static void compare(comparing *c, const char *path, const snub_node *before, const snub_node *after)
{
    if (snub_is_open_map(before) && snub_is_open_map(after))
        compare_maps(c, path, before, after);
    else if (snub_is_named_list(before) && snub_is_named_list(after))
        compare_named(c, path, before, after);
    else if (!snub_written_alike(before, after))
        add_values(c, path, before, after);
}

/* ---- what is no value -------------------------------------------------------------------------------------------- */

/* Comments of one text that the other has nowhere. */
static const char *own_comments(comparing *c, const snub_version *of, const snub_version *other)
{
    snub_text out = {0};
    const char *line = of->text, *end = line + of->length, *last = NULL, *comment;
    size_t size = 0;
    while (out.length < SHOWN_MOST && (comment = snub_next_comment(&line, end, &size)) != NULL) {
        if (snub_bytes_contain(other->text, other->length, comment, size, &last))
            continue;
        snub_text_puts(&out, out.length ? "\n" : "");
        snub_text_add(&out, comment, size);
    }
    return keep(c, &out);
}

static const char *middle(comparing *c, const snub_version *of, size_t head, size_t tail)
{
    const size_t size = of->length - head - tail;
    const char *copy = size ? snub_copy_text_n(c->arena, of->text + head, size < SHOWN_MOST ? size : SHOWN_MOST) : NULL;
    c->failed |= size && !copy;
    return copy;
}

/* Does a line begin so many bytes before the end? */
static bool begins_line(const snub_version *of, size_t tail)
{
    return tail == of->length || of->text[of->length - tail - 1] == '\n';
}

/* The lines between those that both begin and end with. */
static void compare_lines(comparing *c, const snub_version *before, const snub_version *after)
{
    const size_t least = before->length < after->length ? before->length : after->length;
    size_t head = 0, tail = 0;
    while (head < least && before->text[head] == after->text[head])
        head++;
    while (head > 0 && before->text[head - 1] != '\n')
        head--;
    while (tail < least - head && before->text[before->length - tail - 1] == after->text[after->length - tail - 1])
        tail++;
    while (tail > 0 && !(begins_line(before, tail) && begins_line(after, tail)))
        tail--;
    add(c, "", middle(c, before, head, tail), middle(c, after, head, tail));
}

static bool read_map(const char *name, const snub_version *version, snub_arena *arena, snub_document *document,
                     bool *no_memory)
{
    snub_errors errors = {0};
    const snub_status status = snub_document_parse(name, version->text, version->length, arena, document, &errors);
    snub_errors_free(&errors);
    *no_memory |= status == SNUB_NO_MEMORY;
    return status == SNUB_OK && snub_is_open_map(document->root);
}

snub_status snub_document_compare(const char *name, const snub_version *before, const snub_version *after,
                                  snub_arena *arena, const snub_text_difference **list, int *count, snub_error *error)
{
    comparing c = {.arena = arena};
    snub_document old, new;
    const bool same = before->length == after->length && memcmp(before->text, after->text, after->length) == 0;
    if (!same && read_map(name, before, arena, &old, &c.failed) && read_map(name, after, arena, &new, &c.failed)) {
        compare(&c, "", old.root, new.root);
        const char *gone = own_comments(&c, before, after), *come = own_comments(&c, after, before);
        if (gone || come || !c.count)
            add(&c, "", gone, come);
    } else if (!same) {
        compare_lines(&c, before, after);
    }
    *list = c.list;
    *count = c.count;
    return c.failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory") : SNUB_OK;
}
