/** Changing values of a drive file in its own text, so that comments and layout survive.
 *
 *  One change at a time: find where the value stands, exchange its bytes, parse the new text for the next change. At
 *  the end the new tree must be the old one with the changes laid over it, or nothing is handed out: whatever a text
 *  does to the YAML around it (a comma in a flow map, a colon, a shared anchor), a wrong file is never written.
 */
#include <string.h>

#include "source.h"
#include "tree.h"

/** Where a change goes: the value to be exchanged, or the map that gets a new key. */
typedef struct spot {
    const snub_node *value; /**< NULL: new */
    const snub_node *map;   /**< where new; or the list that gets one more item */
    const char *rest; /**< path from the map to the new value; from a list to what is in the new item, NULL: it all */
} spot;

/** Follow a path as snub_tree_lay does. @return false where it leads into something that is no map. */
static bool find_target(const snub_document *document, const char *path, bool into_map, spot *found)
{
    const snub_node *node = document->root;
    const char *word = NULL;
    size_t length = 0;
    if (snub_path_starts_at_pulley(node, path))
        node = snub_node_get(node, "pulleys");
    for (const char *rest = path; snub_path_word(&path, &word, &length); rest = path) {
        const snub_node *child = snub_node_step(node, word, length, NULL);
        if (child == NULL && node->kind == SNUB_LIST) {
            *found = (spot){NULL, node, path};
            return length == 1 && word[0] == '+' && (node->count > 0 || document->source[node->place.start] == '[');
        }
        if (child == NULL) {
            *found = (spot){NULL, node, rest};
            return node->kind == SNUB_MAP;
        }
        if (path != NULL && (snub_node_is_null(child) || snub_node_is_blank(child))) {
            *found = (spot){child, NULL, path};
            return true;
        }
        node = child;
    }
    const snub_node *inner = into_map ? NULL : snub_node_get(node, "value");
    *found = (spot){inner != NULL ? inner : node, NULL, NULL};
    return true;
}

/** "slot: {at: 25}" for the path "slot.at"; nested maps in flow style. */
static void add_entry(snub_text *out, const char *path, const char *text)
{
    const char *word = NULL;
    size_t length = 0;
    int braces = 0;
    while (snub_path_word(&path, &word, &length)) {
        snub_source_add_key(out, word, length);
        snub_text_puts(out, ": ");
        if (path != NULL) {
            snub_text_puts(out, "{");
            braces++;
        }
    }
    snub_text_puts(out, text);
    for (; braces > 0; braces--)
        snub_text_puts(out, "}");
}

static void exchange(const snub_document *document, const spot *target, const char *text, snub_text *out)
{
    size_t start = target->value->place.start, end = snub_source_value_end(document, target->value);
    snub_source_add(document, 0, start, out);
    /* an empty value stands right behind its colon */
    if (start == end && start > 0 && document->source[start - 1] == ':')
        snub_text_puts(out, " ");
    if (target->rest != NULL) {
        snub_text_puts(out, "{");
        add_entry(out, target->rest, text);
        snub_text_puts(out, "}");
    } else {
        snub_text_puts(out, text);
    }
    snub_source_add(document, end, document->source_length, out);
}

static void insert(const snub_document *document, const spot *target, const char *text, snub_text *out)
{
    const snub_node *map = target->map;
    bool flow = document->source[map->place.start] == '{';
    size_t at = map->count > 0 ? snub_source_value_end(document, map->items[map->count - 1]) : map->place.start + 1;
    if (!flow)
        at = snub_source_before_line_end(document, at);
    snub_source_add(document, 0, at, out);
    if (flow) {
        snub_text_puts(out, map->count > 0 ? ", " : "");
    } else {
        snub_source_add_line_end(document, at, out);
        for (int i = 1; i < map->keys[0]->place.column; i++)
            snub_text_puts(out, " ");
    }
    add_entry(out, target->rest, text);
    if (!flow && at == document->source_length)
        snub_text_puts(out, "\n");
    snub_source_add(document, at, document->source_length, out);
}

/* One more item at the end of a list. */
static void append(const snub_document *document, const spot *target, const char *text, snub_text *out)
{
    const snub_node *list = target->map, *last = list->count > 0 ? list->items[list->count - 1] : NULL;
    const bool flow = document->source[list->place.start] == '[';
    size_t at = last != NULL ? snub_source_value_end(document, last) : list->place.start + 1;
    if (!flow)
        at = snub_source_before_line_end(document, at);
    snub_source_add(document, 0, at, out);
    if (flow) {
        snub_text_puts(out, last != NULL ? ", " : "");
    } else {
        snub_source_add_line_end(document, at, out);
        for (size_t i = snub_source_dash_column(document, last); i > 0; i--)
            snub_text_puts(out, " ");
        snub_text_puts(out, "- ");
    }
    if (target->rest != NULL) {
        snub_text_puts(out, "{");
        add_entry(out, target->rest, text);
        snub_text_puts(out, "}");
    } else {
        snub_text_puts(out, text);
    }
    if (!flow && at == document->source_length)
        snub_text_puts(out, "\n");
    snub_source_add(document, at, document->source_length, out);
}

static snub_status refuse(snub_error *error, const snub_document *document, const snub_change *change,
                          const char *reason)
{
    snub_place place = {.file = document->name};
    snub_status status = snub_fail(error, SNUB_BAD_INPUT, &place, change->path, "%s", reason);
    if (error != NULL) {
        size_t length = strlen(change->text);
        length = length < sizeof(error->got) ? length : sizeof(error->got) - 1;
        memcpy(error->got, change->text, length);
        error->got[length] = '\0';
    }
    return status;
}

/** Text that YAML takes, as it stands, for one value on one line. */
static snub_status check_text(const snub_document *document, const snub_change *change, snub_arena *arena,
                              const snub_node **value, snub_error *error)
{
    snub_node *node = NULL;
    if (strpbrk(change->text, "\r\n") != NULL)
        return refuse(error, document, change, "is not a value on one line");
    snub_status status = snub_node_from_text(change->text, change->path, arena, &node, error);
    if (status == SNUB_OK)
        *value = node;
    return status == SNUB_OK || status == SNUB_NO_MEMORY ? status
                                                         : refuse(error, document, change, "is not a YAML value");
}

static snub_status apply(const snub_document *document, const snub_change *change, const snub_node *value,
                         snub_arena *arena, snub_document *next, snub_error *error)
{
    spot target;
    snub_text text = {0};
    snub_errors errors = {0};
    if (document->root->kind != SNUB_MAP || !find_target(document, change->path, value->kind == SNUB_MAP, &target))
        return refuse(error, document, change, "is not a path in this file");
    if (target.value != NULL)
        exchange(document, &target, change->text, &text);
    else if (target.map->kind == SNUB_LIST)
        append(document, &target, change->text, &text);
    else
        insert(document, &target, change->text, &text);
    snub_status status = SNUB_NO_MEMORY;
    snub_document parsed = {0};
    if (!text.failed && text.data != NULL)
        status = snub_document_parse(document->name, text.data, text.length, arena, &parsed, &errors);
    if (status == SNUB_NO_MEMORY)
        snub_fail(error, status, NULL, change->path, "out of memory");
    else if (status != SNUB_OK)
        status = refuse(error, document, change, "is not valid there");
    snub_errors_free(&errors);
    snub_text_free(&text);
    if (status == SNUB_OK)
        *next = parsed;
    return status;
}

static snub_status apply_all(const snub_document *document, const snub_change *changes, int count, snub_arena *arena,
                             snub_document *last, snub_error *error)
{
    const snub_node *wanted = document->root;
    *last = *document;
    for (int i = 0; i < count; i++) {
        snub_overlay overlay = {.path = changes[i].path};
        snub_status status = check_text(document, &changes[i], arena, &overlay.value, error);
        if (status == SNUB_OK && overlay.value != NULL)
            status = snub_overlay_rename(document, arena, &overlay, NULL, error);
        if (status != SNUB_OK)
            return status;
        const snub_change change = {overlay.path, changes[i].text};
        status = apply(last, &change, overlay.value, arena, last, error);
        if (status == SNUB_OK)
            status = snub_tree_lay(wanted, &overlay, arena, &wanted, error);
        if (status != SNUB_OK)
            return status;
        if (!snub_tree_same(wanted, last->root))
            return refuse(
                error, document, &changes[i],
                "cannot be changed on its own: it is shared by an alias, or the text means more than one value there");
    }
    return SNUB_OK;
}

snub_status snub_document_rewrite(const snub_document *document, const snub_change *changes, int count, snub_text *out,
                                  snub_error *error)
{
    snub_arena arena;
    snub_document last;
    snub_arena_init(&arena, 0);
    snub_status status = apply_all(document, changes, count, &arena, &last, error);
    if (status == SNUB_OK) {
        snub_text_add(out, last.source, last.source_length);
        if (out->failed)
            status = snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    }
    if (status != SNUB_OK && error != NULL && error->place.file != document->name)
        error->place = (snub_place){.file = document->name};
    snub_arena_free(&arena);
    return status;
}
