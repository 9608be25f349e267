/** Pictures of steps: which the drive file names, and their bytes. */
#include <string.h>

#include "named_file.h"
#include "tree.h"

typedef struct search {
    const snub_file_source *files;
    const char *from;
    snub_arena *arena;
    snub_pictures *pictures;
    snub_errors *errors;
    snub_status status; /* of the first that could not be read */
} search;

const snub_picture_file *snub_pictures_find(const snub_pictures *pictures, const char *name)
{
    for (int i = 0; i < pictures->count; i++) {
        if (strcmp(pictures->items[i].name, name) == 0)
            return &pictures->items[i];
    }
    return NULL;
}

static bool grow(search *s)
{
    snub_pictures *all = s->pictures;
    const int room = all->room > 0 ? 2 * all->room : 8;
    snub_picture_file *items = SNUB_NEW(s->arena, snub_picture_file, room);
    if (items == NULL)
        return false;
    if (all->count > 0)
        memcpy(items, all->items, sizeof *items * (size_t)all->count);
    all->items = items;
    all->room = room;
    return true;
}

static void fail(search *s, snub_status status)
{
    s->status = s->status == SNUB_OK ? status : s->status;
}

/* What is no text, or no file, is the reader's to tell. */
static void read_one(search *s, const snub_node *node, const snub_place *place)
{
    const char *shown;
    if (node->kind != SNUB_SCALAR || node->text[0] == '\0' || strcmp(node->text, "none") == 0 ||
        snub_node_is_null(node) || snub_pictures_find(s->pictures, node->text) != NULL)
        return;
    if (s->pictures->count == s->pictures->room && !grow(s)) {
        fail(s, SNUB_NO_MEMORY);
        return;
    }
    snub_picture_file *file = &s->pictures->items[s->pictures->count++];
    *file = (snub_picture_file){.name = node->text, .place = *place};
    const snub_naming naming = {s->from, "picture of a step", "picture", place, SNUB_PICTURE_BYTES_MOST};
    fail(s, snub_named_file(s->files, &naming, file->name, s->arena, &shown, &file->data, &file->length, s->errors));
}

static void read_values(search *s, const snub_node *node, const snub_place *place)
{
    for (int i = 0; node->kind == SNUB_LIST && i < node->count; i++) /* on offer */
        read_one(s, node->items[i], place != NULL ? place : &node->items[i]->place);
    read_one(s, node, place != NULL ? place : &node->place);
}

/* A path of keys, or one key: does it lead into `steps`, does it end at a picture. */
static bool leads_to_steps(const char *path)
{
    return strcmp(path, "steps") == 0 || strncmp(path, "steps.", 6) == 0;
}

static bool ends_at_picture(const char *path)
{
    const char *dot = strrchr(path, '.');
    return strcmp(dot != NULL ? dot + 1 : path, "picture") == 0;
}

/* Depth is bounded by the document's own limit. @param[in] place  of the overlay that brings it; NULL: its own */
static void look(search *s, const snub_node *node, bool in_steps, const snub_place *place)
{
    if (node->kind == SNUB_SCALAR)
        return;
    for (int i = 0; i < node->count; i++) {
        const char *key = node->kind == SNUB_MAP ? node->keys[i]->text : "";
        const bool inside = in_steps || leads_to_steps(key);
        if (inside && ends_at_picture(key))
            read_values(s, node->items[i], place);
        look(s, node->items[i], inside, place);
    }
}

static void digest(snub_pictures *pictures)
{
    snub_digest of;
    snub_digest_init(&of);
    snub_digest_text(&of, "snub pictures 1");
    for (int i = 0; i < pictures->count; i++) {
        const snub_picture_file *file = &pictures->items[i];
        char length[32];
        snprintf(length, sizeof length, "%zu", file->length);
        snub_digest_text(&of, file->name);
        snub_digest_text(&of, length);
        snub_digest_add(&of, file->data != NULL ? file->data : "", file->length);
    }
    snub_digest_end(&of, pictures->digest);
}

snub_status snub_pictures_read(const snub_document *document, const snub_overlay *overlays, int overlay_count,
                               const snub_file_source *files, snub_arena *arena, snub_pictures *pictures,
                               snub_errors *errors)
{
    search s = {.files = files, .from = document->name, .arena = arena, .pictures = pictures, .errors = errors};
    *pictures = (snub_pictures){0};
    look(&s, document->root, false, NULL);
    for (int i = 0; i < overlay_count; i++) {
        const snub_overlay *o = &overlays[i];
        if (!leads_to_steps(o->path))
            continue;
        if (ends_at_picture(o->path))
            read_values(&s, o->value, &o->place);
        look(&s, o->value, true, &o->place);
    }
    if (pictures->count > 0)
        digest(pictures);
    return s.status;
}
