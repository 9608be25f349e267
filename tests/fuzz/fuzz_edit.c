/** Fuzz target of edits in the text of a drive file: taken out, put in, moved, set, renamed.
 *  Four lines say the edit (kind and path by its words with '/' between them, before, key, value), the rest is the
 * file. Asserted: what is handed out reads again and has the very items that are meant, in their order; all else in the
 * file means what it meant; a refusal has a reason and hands nothing out. */
#include <stdlib.h>
#include <string.h>

#include "fuzz.h"
#include "snub/drive.h"

enum { WORDS_MOST = 8 };

typedef struct wanted_edit {
    snub_edit edit;
    const char *words[WORDS_MOST + 1];
    int count;
} wanted_edit;

/* The next line, cut off. */
static char *take_line(char **rest)
{
    char *line = *rest, *end = strchr(line, '\n');
    *rest = end != NULL ? end + 1 : line + strlen(line);
    if (end != NULL)
        *end = '\0';
    return line;
}

static void read_edit(char **rest, wanted_edit *wanted)
{
    char *path = take_line(rest), *before = take_line(rest), *key = take_line(rest), *value = take_line(rest);
    static const char kinds[] = {'-', '+', '>', '=', '~'};
    const char *kind = path[0] != '\0' ? memchr(kinds, path[0], sizeof kinds) : NULL;
    wanted->edit.kind = kind != NULL ? (snub_edit_kind)(kind - kinds) : SNUB_EDIT_REMOVE;
    wanted->edit.path = path;
    wanted->edit.words = wanted->words;
    wanted->edit.before = before;
    const bool puts = wanted->edit.kind == SNUB_EDIT_INSERT || wanted->edit.kind == SNUB_EDIT_SET;
    wanted->edit.text = puts ? value : NULL;
    const bool named = wanted->edit.kind == SNUB_EDIT_INSERT || wanted->edit.kind == SNUB_EDIT_RENAME;
    wanted->edit.key = named && key[0] != '\0' ? key : NULL;
    for (char *word = strtok(path[0] != '\0' ? path + 1 : path, "/"); word != NULL && wanted->count < WORDS_MOST;
         word = strtok(NULL, "/"))
        wanted->words[wanted->count++] = word;
    wanted->edit.path = "edit";
}

/* One step, as the paths of edits go. */
static int step(const snub_node *node, const char *word)
{
    char *end;
    if (node->kind == SNUB_SCALAR)
        return -1;
    const long index = strtol(word, &end, 10);
    if (node->kind == SNUB_LIST && word[0] >= '0' && word[0] <= '9' && *end == '\0' && strlen(word) <= 6 &&
        index < node->count)
        return (int)index;
    for (int i = 0; i < node->count; i++) {
        const snub_node *name = node->kind == SNUB_MAP ? node->keys[i] : snub_node_get(node->items[i], "name");
        if (name == NULL && node->kind == SNUB_LIST)
            name = snub_node_get(node->items[i], "designation");
        if (name != NULL && name->kind == SNUB_SCALAR && strcmp(name->text, word) == 0)
            return i;
    }
    return -1;
}

static const snub_node *down(const snub_node *node, const wanted_edit *wanted, int depth)
{
    for (int i = 0; i < depth && node != NULL; i++) {
        const int at = step(node, wanted->words[i]);
        node = at >= 0 ? node->items[at] : NULL;
    }
    return node;
}

static const char *key_of(const snub_node *in, int index)
{
    return in->kind == SNUB_MAP ? in->keys[index]->text : "";
}

static void same_item(const snub_node *was, int i, const snub_node *now, int k, snub_arena *arena)
{
    must(strcmp(key_of(was, i), key_of(now, k)) == 0);
    must(strcmp(snub_node_flow(was->items[i], arena), snub_node_flow(now->items[k], arena)) == 0);
}

/* All that the edit left alone stands in its order, without the places of what moved. */
static void compare(const snub_node *was, const snub_node *now, int out, int in, snub_arena *arena)
{
    int k = 0;
    must(now->count == was->count - (out >= 0) + (in >= 0));
    for (int i = 0; i < was->count; i++) {
        if (i == out)
            continue;
        if (k == in)
            k++;
        same_item(was, i, now, k++, arena);
    }
}

static void check(const snub_document *before, const snub_document *after, const wanted_edit *wanted, snub_arena *arena)
{
    const snub_edit *edit = &wanted->edit;
    const int depth = edit->kind == SNUB_EDIT_INSERT ? wanted->count : wanted->count - 1;
    const snub_node *was = down(before->root, wanted, depth), *now = down(after->root, wanted, depth);
    must(depth >= 0 && was != NULL && now != NULL && was->kind == now->kind);
    const int at = edit->kind == SNUB_EDIT_INSERT ? -1 : step(was, wanted->words[depth]);
    int place = edit->before[0] != '\0' ? step(was, edit->before) : was->count;
    snub_node *value = NULL;
    must(place >= 0 || edit->kind == SNUB_EDIT_REMOVE || edit->kind == SNUB_EDIT_SET || edit->kind == SNUB_EDIT_RENAME);
    if (edit->text != NULL)
        must(snub_node_from_text(edit->text, "fuzz", arena, &value, NULL) == SNUB_OK);
    if (edit->kind == SNUB_EDIT_REMOVE) {
        compare(was, now, at, -1, arena);
    } else if (edit->kind == SNUB_EDIT_SET) {
        compare(was, now, at, at, arena);
        must(strcmp(snub_node_flow(value, arena), snub_node_flow(now->items[at], arena)) == 0);
    } else if (edit->kind == SNUB_EDIT_INSERT) {
        compare(was, now, -1, place, arena);
        must(strcmp(snub_node_flow(value, arena), snub_node_flow(now->items[place], arena)) == 0);
        must(strcmp(edit->key != NULL ? edit->key : "", key_of(now, place)) == 0);
    } else if (edit->kind == SNUB_EDIT_RENAME) {
        compare(was, now, at, at, arena);
        must(strcmp(edit->key, key_of(now, at)) == 0);
        must(strcmp(snub_node_flow(was->items[at], arena), snub_node_flow(now->items[at], arena)) == 0);
    } else {
        place -= place > at;
        compare(was, now, at, place, arena);
        same_item(was, at, now, place, arena);
    }
}

/* The file but for the top-level key that the edit is in; packages follow the name of a variant and an option. */
static void compare_rest(const snub_document *before, const snub_document *after, const wanted_edit *wanted,
                         snub_arena *arena)
{
    const int depth = wanted->edit.kind == SNUB_EDIT_INSERT ? wanted->count : wanted->count - 1;
    const snub_node *was = before->root, *now = after->root;
    if (depth < 1 || was->kind != SNUB_MAP)
        return;
    const bool follows = wanted->edit.kind == SNUB_EDIT_RENAME && depth == 1 &&
                         (strcmp(wanted->words[0], "variants") == 0 || strcmp(wanted->words[0], "options") == 0);
    must(now->kind == SNUB_MAP && now->count == was->count);
    for (int i = 0; i < was->count; i++)
        if (strcmp(was->keys[i]->text, wanted->words[0]) != 0 &&
            !(follows && strcmp(was->keys[i]->text, "packages") == 0))
            same_item(was, i, now, i, arena);
}

static void ask(const char *text, const wanted_edit *wanted, snub_arena *arena)
{
    snub_document before = {0}, after = {0};
    snub_errors errors = {0};
    snub_error error = {0};
    snub_text out = {0};
    if (snub_document_parse("fuzz", text, strlen(text), arena, &before, &errors) == SNUB_OK) {
        const snub_status status = snub_document_edit(&before, &wanted->edit, &out, &error);
        must(status == SNUB_OK || (out.length == 0 && error.message[0] != '\0'));
        if (status == SNUB_OK) {
            must(snub_document_parse("fuzz", out.data, out.length, arena, &after, &errors) == SNUB_OK);
            check(&before, &after, wanted, arena);
            compare_rest(&before, &after, wanted, arena);
        }
    }
    snub_text_free(&out);
    snub_errors_free(&errors);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    snub_arena arena;
    wanted_edit wanted = {0};
    char *text = malloc(size + 1), *rest = text;
    must(text != NULL);
    memcpy(text, data, size);
    text[size] = '\0';
    snub_arena_init(&arena, 64 << 20);
    read_edit(&rest, &wanted);
    ask(rest, &wanted, &arena);
    snub_arena_free(&arena);
    free(text);
    return 0;
}
