/* A node on one line, as a file would write it. */
#include "snub/drive.h"

static void add(const snub_node *node, snub_text *out)
{
    if (node->kind == SNUB_SCALAR) {
        snub_text_puts(out, node->text);
        return;
    }
    const bool map = node->kind == SNUB_MAP;
    snub_text_puts(out, map ? "{" : "[");
    for (int i = 0; i < node->count; i++) {
        snub_text_puts(out, i > 0 ? ", " : "");
        if (map)
            snub_text_printf(out, "%s: ", node->keys[i]->text);
        add(node->items[i], out);
    }
    snub_text_puts(out, map ? "}" : "]");
}

const char *snub_node_flow(const snub_node *node, snub_arena *arena)
{
    snub_text text = {0};
    if (node->kind == SNUB_SCALAR)
        return node->text;
    add(node, &text);
    const char *made = text.failed ? NULL : snub_copy_text(arena, text.data);
    snub_text_free(&text);
    return made;
}
