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

/* ---- by text ----------------------------------------------------------------------------------------------------- */

enum { CHAINS = 512 };

/** A key or mark whose path, pattern or map has one hash with those of its chain. */
typedef struct link {
    const char *text;
    size_t length;
    void *of;
    struct link *next;
} link;

struct snub_key_index {
    link *chains[CHAINS];
};

static void index_put(snub_key_notes *notes, snub_key_index *index, const char *text, size_t length, void *of)
{
    link *made = SNUB_NEW(notes->arena, link, 1);
    if (made == NULL || index == NULL) {
        notes->no_memory = true;
        return;
    }
    link **chain = &index->chains[snub_bytes_hash(text, length) % CHAINS];
    *made = (link){text, length, of, *chain};
    *chain = made;
}

static void index_path(snub_key_notes *notes, snub_file_key *key)
{
    if (notes->by_path == NULL)
        notes->by_path = SNUB_NEW(notes->arena, snub_key_index, 1);
    index_put(notes, notes->by_path, key->path, strlen(key->path), key);
}

static const link *next_of(const link *at, const char *text, size_t length)
{
    while (at != NULL && (at->length != length || memcmp(at->text, text, length) != 0))
        at = at->next;
    return at;
}

/** The first of this text; `next_of` has the others. */
static const link *index_find(const snub_key_index *index, const char *text, size_t length)
{
    return index != NULL ? next_of(index->chains[snub_bytes_hash(text, length) % CHAINS], text, length) : NULL;
}

void snub_note_key(snub_reader *reader, const snub_node *map, const char *word, const snub_file_key *key)
{
    snub_key_notes *notes = reader->notes;
    key_names names;
    if (notes == NULL)
        return;
    name_key(reader, word, &names);
    const size_t length = strlen(names.path);
    for (const link *at = index_find(notes->by_path, names.path, length); at != NULL;
         at = next_of(at->next, names.path, length)) {
        if (((const snub_file_key *)at->of)->kind == key->kind)
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
    index_path(notes, kept);
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

/* ---- the end ----------------------------------------------------------------------------------------------------- */

/** What the marks say, by the paths that they say it of. */
typedef struct closing {
    snub_key_notes *notes;
    snub_key_index *refused, *listed; /* marks by path */
    snub_key_index *sections;         /* listed ones by the path of their map */
    snub_key_index *patterns;         /* keys that stay */
} closing;

static size_t map_length(const char *path)
{
    const char *dot = strrchr(path, '.');
    return dot != NULL ? (size_t)(dot - path) : 0;
}

static void index_marks(closing *c)
{
    for (snub_key_mark *mark = c->notes->marks; mark != NULL; mark = mark->next) {
        const size_t length = strlen(mark->path);
        if (mark->say == SNUB_SAY_REFUSED)
            index_put(c->notes, c->refused, mark->path, length, mark);
        if (mark->say != SNUB_SAY_LISTED)
            continue;
        index_put(c->notes, c->listed, mark->path, length, mark);
        index_put(c->notes, c->sections, mark->path, map_length(mark->path), mark);
    }
}

static void index_pattern(closing *c, snub_file_key *key)
{
    index_put(c->notes, c->patterns, key->pattern, strlen(key->pattern), key);
}

static bool was_refused(const closing *c, const char *path)
{
    return index_find(c->refused, path, strlen(path)) != NULL;
}

/** Asked for by a reader that several sections share, and not in the list of this one's keys. */
static bool is_strange(const closing *c, const char *path)
{
    return index_find(c->sections, path, map_length(path)) != NULL && index_find(c->listed, path, strlen(path)) == NULL;
}

/** What its reader asks for and refuses is no key there. */
static void drop_refused(closing *c)
{
    snub_file_key **at = &c->notes->first;
    c->notes->last = NULL;
    while (*at != NULL) {
        if (was_refused(c, (*at)->path) || is_strange(c, (*at)->path)) {
            *at = (*at)->next;
        } else {
            c->notes->last = *at;
            index_pattern(c, *at);
            at = &(*at)->next;
        }
    }
}

static void mark_needed(const closing *c, const char *path)
{
    const size_t length = strlen(path);
    for (const link *at = index_find(c->notes->by_path, path, length); at != NULL;
         at = next_of(at->next, path, length)) {
        snub_file_key *key = at->of;
        key->needed = true;
        key->preset = NULL; /* what stood in its place while it was read */
    }
}

/** As the list of its section's keys says. */
static void say_meaning(const closing *c, const snub_key_mark *mark)
{
    const size_t length = strlen(mark->path);
    for (const link *at = index_find(c->notes->by_path, mark->path, length); at != NULL;
         at = next_of(at->next, mark->path, length))
        ((snub_file_key *)at->of)->means = mark->means;
}

static bool was_read(const closing *c, const snub_key_mark *mark)
{
    return index_find(c->patterns, mark->pattern, strlen(mark->pattern)) != NULL;
}

static void add_unread(closing *c, const snub_key_mark *mark)
{
    snub_key_notes *notes = c->notes;
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
    index_path(notes, unread);
    index_pattern(c, unread);
}

void snub_notes_close(snub_key_notes *notes, bool unread)
{
    enum { INDICES = 4 };
    snub_key_index *made = SNUB_NEW(notes->arena, snub_key_index, INDICES);
    if (made == NULL) {
        notes->no_memory = true;
        return;
    }
    closing c = {notes, &made[0], &made[1], &made[2], &made[3]};
    index_marks(&c);
    drop_refused(&c);
    for (const snub_key_mark *mark = notes->marks; mark != NULL; mark = mark->next) {
        if (mark->say == SNUB_SAY_NEEDED)
            mark_needed(&c, mark->path);
        if (mark->say == SNUB_SAY_LISTED)
            say_meaning(&c, mark);
        if (unread && mark->say == SNUB_SAY_LISTED && !was_read(&c, mark) && !was_refused(&c, mark->path))
            add_unread(&c, mark);
    }
}
