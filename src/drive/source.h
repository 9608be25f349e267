/** src/drive/source.h - places in the text of a document, and pieces of it (inside src/drive only). */
#ifndef SNUB_DRIVE_SOURCE_H
#define SNUB_DRIVE_SOURCE_H

#include "snub/drive.h"

/** Byte of the next line feed, or of the text's end. */
size_t snub_source_line_end(const snub_document *document, size_t at);
/** Where a line ends that has a place in it, before its mark. */
size_t snub_source_before_line_end(const snub_document *document, size_t at);
/** The mark that ends lines there. */
void snub_source_add_line_end(const snub_document *document, size_t at, snub_text *out);
/** The bytes from one place to another. */
void snub_source_add(const snub_document *document, size_t from, size_t to, snub_text *out);
/** The end of a value's own bytes. */
size_t snub_source_value_end(const snub_document *document, const snub_node *value);
/** The end of the last value in a node: blanks and comments behind it are none of it. */
size_t snub_source_node_end(const snub_document *document, const snub_node *node);
/** Column, from 0, of the dash before an item of a list in block style. */
size_t snub_source_dash_column(const snub_document *document, const snub_node *item);
/** A key as YAML writes it: quoted where it has more than letters, digits, '_', '-' and blanks inside. */
void snub_source_add_key(snub_text *out, const char *word, size_t length);

#endif
