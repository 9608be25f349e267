/** Notes of what a reading asks for. */
#include "key_notes.h"

#include <string.h>

#include "tree.h"

enum { PATH_MOST = 256 };

/** Pulleys go by their names. */
static const char *overlay_path(const snub_reader *reader, const char *path)
{
    static const char list[] = "pulleys.";
    const bool name = reader->depth > 1 && reader->path[1].word != NULL;
    return name && strncmp(path, list, sizeof list - 1) == 0 ? path + sizeof list - 1 : path;
}

/** What a key of the map that is read is called. */
typedef struct key_names {
    char whole[PATH_MOST], pattern[PATH_MOST];
    const char *path; /**< the part of `whole` that an overlay has */
} key_names;

static void name_key(snub_reader *reader, const char *word, key_names *names)
{
    snub_enter(reader, word);
    snub_read_path(reader, names->whole, sizeof names->whole);
    snub_read_pattern(reader, names->pattern, sizeof names->pattern);
    names->path = overlay_path(reader, names->whole);
    snub_leave(reader);
}

void snub_note_key(snub_reader *reader, const snub_node *map, const char *word, const snub_file_key *key)
{
    snub_key_notes *notes = reader->notes;
    key_names names;
    if (notes == NULL)
        return;
    name_key(reader, word, &names);
    for (const snub_file_key *had = notes->first; had != NULL; had = had->next) {
        if (strcmp(had->path, names.path) == 0 && had->kind == key->kind)
            return;
    }
    const snub_node *node = snub_node_get(map, word);
    snub_file_key *kept = SNUB_NEW(notes->arena, snub_file_key, 1);
    if (kept != NULL) {
        *kept = *key;
        kept->path = snub_copy_text(notes->arena, names.path);
        kept->pattern = snub_copy_text(notes->arena, names.pattern);
        kept->node = node != NULL && snub_node_is_null(node) ? NULL : node;
        kept->next = NULL;
    }
    if (kept == NULL || kept->path == NULL || kept->pattern == NULL) {
        notes->no_memory = true;
        return;
    }
    if (notes->last != NULL)
        notes->last->next = kept;
    else
        notes->first = kept;
    notes->last = kept;
}

static void add_mark(snub_reader *reader, const char *word, snub_key_say say, const char *means)
{
    snub_key_notes *notes = reader->notes;
    key_names names;
    if (notes == NULL)
        return;
    name_key(reader, word, &names);
    snub_key_mark *mark = SNUB_NEW(notes->arena, snub_key_mark, 1);
    if (mark != NULL)
        *mark = (snub_key_mark){snub_copy_text(notes->arena, names.path), snub_copy_text(notes->arena, names.pattern),
                                say, means, notes->marks};
    if (mark == NULL || mark->path == NULL || mark->pattern == NULL)
        notes->no_memory = true;
    else
        notes->marks = mark;
}

void snub_note_needed(snub_reader *reader, const char *word)
{
    add_mark(reader, word, SNUB_SAY_NEEDED, NULL);
}

void snub_note_refused(snub_reader *reader, const char *word)
{
    add_mark(reader, word, SNUB_SAY_REFUSED, NULL);
}

void snub_note_listed(snub_reader *reader, const snub_key *keys)
{
    for (; reader->notes != NULL && keys != NULL && keys->name != NULL; keys++)
        add_mark(reader, keys->name, SNUB_SAY_LISTED, keys->means);
}

static bool was_read(const snub_key_notes *notes, const snub_key_mark *mark)
{
    for (const snub_file_key *key = notes->first; key != NULL; key = key->next) {
        if (strcmp(key->pattern, mark->pattern) == 0)
            return true;
    }
    return false;
}

static void add_unread(snub_key_notes *notes, const snub_key_mark *mark)
{
    snub_file_key *unread = SNUB_NEW(notes->arena, snub_file_key, 1);
    if (unread == NULL) {
        notes->no_memory = true;
        return;
    }
    *unread = (snub_file_key){.path = mark->path,
                              .pattern = mark->pattern,
                              .kind = SNUB_KEY_UNREAD,
                              .means = mark->means,
                              .next = notes->first};
    if (notes->last == NULL)
        notes->last = unread;
    notes->first = unread;
}

static bool was_refused(const snub_key_notes *notes, const char *path)
{
    for (const snub_key_mark *mark = notes->marks; mark != NULL; mark = mark->next) {
        if (mark->say == SNUB_SAY_REFUSED && strcmp(mark->path, path) == 0)
            return true;
    }
    return false;
}

static bool same_map(const char *a, const char *b)
{
    const char *dot_a = strrchr(a, '.'), *dot_b = strrchr(b, '.');
    const size_t length = dot_a != NULL ? (size_t)(dot_a - a) : 0;
    return length == (dot_b != NULL ? (size_t)(dot_b - b) : 0) && strncmp(a, b, length) == 0;
}

/** Asked for by a reader that several sections share, and not in the list of this one's keys. */
static bool is_strange(const snub_key_notes *notes, const char *path)
{
    bool strange = false;
    for (const snub_key_mark *mark = notes->marks; mark != NULL; mark = mark->next) {
        if (mark->say != SNUB_SAY_LISTED || !same_map(mark->path, path))
            continue;
        if (strcmp(mark->path, path) == 0)
            return false;
        strange = true;
    }
    return strange;
}

/** What its reader asks for and refuses is no key there. */
static void drop_refused(snub_key_notes *notes)
{
    snub_file_key **at = &notes->first;
    notes->last = NULL;
    while (*at != NULL) {
        if (was_refused(notes, (*at)->path) || is_strange(notes, (*at)->path)) {
            *at = (*at)->next;
        } else {
            notes->last = *at;
            at = &(*at)->next;
        }
    }
}

static void mark_needed(snub_key_notes *notes, const char *path)
{
    for (snub_file_key *key = notes->first; key != NULL; key = key->next) {
        if (strcmp(key->path, path) != 0)
            continue;
        key->needed = true;
        key->preset = NULL; /* what stood in its place while it was read */
    }
}

/** As the list of its section's keys says. */
static void say_meaning(snub_key_notes *notes, const snub_key_mark *mark)
{
    for (snub_file_key *key = notes->first; key != NULL; key = key->next) {
        if (strcmp(key->path, mark->path) == 0)
            key->means = mark->means;
    }
}

void snub_notes_close(snub_key_notes *notes, bool unread)
{
    drop_refused(notes);
    for (const snub_key_mark *mark = notes->marks; mark != NULL; mark = mark->next) {
        if (mark->say == SNUB_SAY_NEEDED)
            mark_needed(notes, mark->path);
        if (mark->say == SNUB_SAY_LISTED)
            say_meaning(notes, mark);
        if (unread && mark->say == SNUB_SAY_LISTED && !was_read(notes, mark) && !was_refused(notes, mark->path))
            add_unread(notes, mark);
    }
}
