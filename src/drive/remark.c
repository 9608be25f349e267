/* A comment line above a value, in the file's own text. */
#include <string.h>

#include "snub/drive.h"
#include "tree.h"

static const snub_node *find(const snub_document *document, const char *path)
{
    const snub_node *top =
        snub_path_starts_at_pulley(document->root, path) ? snub_node_get(document->root, "pulleys") : document->root;
    return snub_node_at(top, path);
}

static size_t line_begin(const char *source, size_t at)
{
    while (at > 0 && source[at - 1] != '\n')
        at--;
    return at;
}

static size_t blanks(const char *source, size_t at)
{
    size_t count = 0;
    while (source[at + count] == ' ')
        count++;
    return count;
}

/* A remark of before on the same path, among the comment lines above. @return its begin; `below` where there is none */
static size_t find_old(const char *source, size_t below, const char *path)
{
    const size_t length = strlen(path);
    for (size_t at = below; at > 0;) {
        const size_t begin = line_begin(source, at - 1), text = begin + blanks(source, begin);
        if (source[text] != '#')
            break;
        if (strncmp(&source[text], "# ", 2) == 0 && strncmp(&source[text + 2], path, length) == 0 &&
            source[text + 2 + length] == ':')
            return begin;
        at = begin;
    }
    return below;
}

static void add(const snub_document *document, const char *path, const char *remark, size_t value, snub_text *out)
{
    const char *source = document->source;
    const size_t begin = line_begin(source, value), old = find_old(source, begin, path);
    const char *end_of_old = old < begin ? strchr(&source[old], '\n') : NULL;
    const size_t after_old = end_of_old != NULL ? (size_t)(end_of_old - source) + 1 : begin;
    const bool windows = begin > 1 && source[begin - 2] == '\r';
    snub_text_add(out, source, old);
    snub_text_add(out, &source[after_old], begin - after_old);
    for (size_t i = blanks(source, begin); i > 0; i--)
        snub_text_puts(out, " ");
    snub_text_printf(out, "# %s: %s%s", path, remark, windows ? "\r\n" : "\n");
    snub_text_add(out, &source[begin], document->source_length - begin);
}

snub_status snub_document_remark(const snub_document *document, const char *path, const char *remark, snub_text *out,
                                 snub_error *error)
{
    const snub_place place = {.file = document->name};
    const snub_node *node = find(document, path);
    snub_document made;
    snub_errors errors = {0};
    snub_text text = {0};
    if (node == NULL || strpbrk(remark, "\r\n") != NULL)
        return snub_fail(error, SNUB_BAD_INPUT, &place, path, "no value of the file that could have a comment");
    add(document, path, remark, node->place.start, &text);
    snub_status status =
        text.failed ? SNUB_NO_MEMORY
                    : snub_document_parse(document->name, text.data, text.length, document->arena, &made, &errors);
    if (status == SNUB_OK && !snub_tree_same(document->root, made.root))
        status = SNUB_BAD_INPUT;
    if (status == SNUB_OK)
        snub_text_add(out, text.data, text.length);
    else
        snub_fail(error, status, &place, path,
                  status == SNUB_NO_MEMORY ? "out of memory"
                                           : "a comment above its line would change what the file says");
    snub_errors_free(&errors);
    snub_text_free(&text);
    return status;
}
