/** Places in the text of a document, and pieces of it. */
#include "source.h"

#include <string.h>

size_t snub_source_line_end(const snub_document *document, size_t at)
{
    while (at < document->source_length && document->source[at] != '\n')
        at++;
    return at;
}

void snub_source_add(const snub_document *document, size_t from, size_t to, snub_text *out)
{
    if (to > from)
        snub_text_add(out, document->source + from, to - from);
}

/** The value's own bytes; a block scalar's mark runs past its last line end, and blanks are no part of a value. */
size_t snub_source_value_end(const snub_document *document, const snub_node *value)
{
    size_t end = value->place.end;
    char first = value->place.start < document->source_length ? document->source[value->place.start] : '\0';
    while (value->kind == SNUB_SCALAR && (first == '|' || first == '>') && end > value->place.start &&
           strchr(" \r\n", document->source[end - 1]) != NULL)
        end--;
    return end;
}

/* Where a line ends that has a place in it, before its mark. */
size_t snub_source_before_line_end(const snub_document *document, size_t at)
{
    at = snub_source_line_end(document, at);
    return at > 0 && document->source[at - 1] == '\r' ? at - 1 : at;
}

/* The mark that ends lines there. */
void snub_source_add_line_end(const snub_document *document, size_t at, snub_text *out)
{
    const bool returns = at < document->source_length && document->source[at] == '\r';
    snub_text_puts(out, returns ? "\r\n" : "\n");
}

/* Column, from 0, of the dash before the last item of a list in block style. */
size_t snub_source_dash_column(const snub_document *document, const snub_node *item)
{
    size_t at = item->place.start, column = 0;
    while (at > 0 && document->source[at - 1] != '-')
        at--;
    while (at > column + 1 && document->source[at - 2 - column] != '\n')
        column++;
    return column;
}

size_t snub_source_node_end(const snub_document *document, const snub_node *node)
{
    const char first = node->place.start < document->source_length ? document->source[node->place.start] : '\0';
    if (node->kind == SNUB_SCALAR)
        return snub_source_value_end(document, node);
    if (first == '[' || first == '{' || first == '*' || node->count == 0)
        return node->place.end;
    return snub_source_node_end(document, node->items[node->count - 1]);
}

void snub_source_add_key(snub_text *out, const char *word, size_t length)
{
    static const char plain[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_- ";
    bool quote = length == 0 || word[0] == ' ' || word[0] == '-' || word[length - 1] == ' ';
    for (size_t i = 0; i < length; i++)
        quote = quote || strchr(plain, word[i]) == NULL;
    if (!quote) {
        snub_text_add(out, word, length);
        return;
    }
    snub_text_puts(out, "'");
    for (size_t i = 0; i < length; i++) {
        snub_text_add(out, &word[i], 1);
        if (word[i] == '\'')
            snub_text_puts(out, "'");
    }
    snub_text_puts(out, "'");
}
