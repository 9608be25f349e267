/* Two texts of a drive file that were changed from one, brought together.
 *
 * What is meant is found on the trees, key by key. The text is found by lines, so that comments and layout of both
 * sides stay; where both changed the same lines, values are written into them one by one. A text is handed out only if
 * it means what the trees say, and has every comment that either side has written. */
#include <stdlib.h>
#include <string.h>

#include "comments.h"
#include "keyed.h"
#include "lines.h"
#include "three_way.h"

enum { CHANGES_MOST = 1000, COMMENTS_MOST = 2000 /* new ones of a side that are looked for one by one */ };

typedef struct sides {
    const char *name;
    const snub_version *base, *mine, *theirs;
    snub_three_way way;
    snub_document document[3]; /* base, mine, theirs */
    const snub_node *wanted;
} sides;

static bool same_text(const snub_version *a, const snub_version *b)
{
    return a->length == b->length && memcmp(a->text, b->text, a->length) == 0;
}

static snub_status no_memory(snub_error *error)
{
    return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
}

static snub_status parse(const sides *s, const char *text, size_t length, snub_document *document)
{
    snub_errors errors = {0};
    snub_status status = snub_document_parse(s->name, text, length, s->way.arena, document, &errors);
    snub_errors_free(&errors);
    return status;
}

static bool has_comments(const snub_version *base, const snub_version *side, const snub_text *text)
{
    const char *line = side->text, *end = line + side->length, *in_base = NULL, *in_text = NULL;
    int looked = 0;
    size_t size = 0;
    for (const char *comment; (comment = snub_next_comment(&line, end, &size)) != NULL;) {
        if (!snub_bytes_contain(base->text, base->length, comment, size, &in_base)) {
            if (++looked > COMMENTS_MOST || !snub_bytes_contain(text->data, text->length, comment, size, &in_text))
                return false;
        }
    }
    return true;
}

/* By lines; then values are written where the lines alone do not mean what is wanted. `good` where it came out. */
static snub_status try_lines(sides *s, snub_lines_prefer prefer, snub_text *out, bool *good, snub_error *error)
{
    const snub_side_text base = {s->base->text, s->base->length}, mine = {s->mine->text, s->mine->length},
                         theirs = {s->theirs->text, s->theirs->length};
    snub_text lines = {0};
    snub_document document;
    int clash = 0;
    *good = false;
    snub_status status = snub_lines_merge(base, mine, theirs, prefer, &lines, &clash);
    if (status == SNUB_OK && !s->wanted) {
        *good = clash == 0;
        snub_text_add(out, lines.data ? lines.data : "", lines.length);
    } else if (status == SNUB_OK &&
               (status = parse(s, lines.data ? lines.data : "", lines.length, &document)) == SNUB_OK) {
        snub_change *changes = SNUB_NEW(s->way.arena, snub_change, CHANGES_MOST);
        int count = changes ? snub_three_way_changes(&s->way, document.root, s->wanted, changes, CHANGES_MOST) : -1;
        if (!changes || s->way.failed)
            status = SNUB_NO_MEMORY;
        else if (count >= 0)
            status = snub_document_rewrite(&document, changes, count, out, NULL);
        if (status == SNUB_OK && count >= 0)
            status = parse(s, out->data, out->length, &document);
        *good = status == SNUB_OK && count >= 0 && snub_values_same(document.root, s->wanted) &&
                has_comments(s->base, s->mine, out) && has_comments(s->base, s->theirs, out);
    }
    const bool failed = lines.failed || out->failed;
    snub_text_free(&lines);
    return status == SNUB_NO_MEMORY || failed ? no_memory(error) : SNUB_OK;
}

static snub_status give(sides *s, const char *text, size_t length, snub_merged *merged, snub_error *error)
{
    merged->text = snub_copy_text_n(s->way.arena, text, length);
    merged->length = length;
    merged->taken = s->way.taken;
    merged->taken_count = s->way.taken_count;
    return merged->text && !s->way.failed ? SNUB_OK : no_memory(error);
}

/* Both texts as they are: one of them must be chosen. */
static snub_status whole(sides *s, snub_merged *merged, snub_error *error)
{
    snub_clash clash = {"", snub_copy_text_n(s->way.arena, s->base->text, s->base->length),
                        snub_copy_text_n(s->way.arena, s->mine->text, s->mine->length),
                        snub_copy_text_n(s->way.arena, s->theirs->text, s->theirs->length)};
    if (!clash.base || !clash.mine || !clash.theirs)
        return no_memory(error);
    const snub_pick *pick = snub_three_way_pick(&s->way, "", clash.theirs);
    s->way.taken_count = 0;
    if (pick && !pick->mine)
        snub_three_way_take(&s->way, "");
    if (pick)
        return pick->mine ? give(s, s->mine->text, s->mine->length, merged, error)
                          : give(s, s->theirs->text, s->theirs->length, merged, error);
    s->way.clash_count = 0;
    snub_three_way_clash(&s->way, clash);
    return s->way.failed ? no_memory(error) : SNUB_STOPPED;
}

static snub_status by_text(sides *s, snub_merged *merged, snub_error *error)
{
    static const snub_lines_prefer order[] = {SNUB_LINES_BOTH, SNUB_LINES_THEIRS, SNUB_LINES_MINE};
    for (size_t i = 0; i < sizeof order / sizeof *order; i++) {
        snub_text text = {0};
        bool good = false;
        snub_status status = try_lines(s, order[i], &text, &good, error);
        if (status == SNUB_OK && good) {
            if (!s->way.taken_count) /* no key, but a comment or the layout */
                snub_three_way_take(&s->way, "");
            status = give(s, text.data ? text.data : "", text.length, merged, error);
        }
        snub_text_free(&text);
        if (status != SNUB_OK || good)
            return status;
    }
    return whole(s, merged, error);
}

static snub_status by_keys(sides *s, snub_merged *merged, snub_error *error)
{
    const snub_version *all[] = {s->base, s->mine, s->theirs};
    bool maps = true;
    for (int i = 0; i < 3; i++) {
        snub_status status = parse(s, all[i]->text, all[i]->length, &s->document[i]);
        if (status == SNUB_NO_MEMORY)
            return no_memory(error);
        maps = maps && status == SNUB_OK && s->document[i].root->kind == SNUB_MAP;
    }
    if (maps)
        s->wanted = snub_three_way_tree(&s->way, "", s->document[0].root, s->document[1].root, s->document[2].root);
    if (s->way.failed)
        return no_memory(error);
    return s->way.clash_count ? SNUB_STOPPED : by_text(s, merged, error);
}

snub_status snub_document_merge(const char *name, const snub_version *base, const snub_version *mine,
                                const snub_version *theirs, const snub_pick *picks, int pick_count, snub_arena *arena,
                                snub_merged *merged, snub_error *error)
{
    sides s = {.name = name, .base = base, .mine = mine, .theirs = theirs};
    s.way = (snub_three_way){.arena = arena, .picks = picks, .pick_count = pick_count};
    *merged = (snub_merged){0};
    snub_status status;
    if (same_text(base, theirs) || same_text(mine, theirs))
        return give(&s, mine->text, mine->length, merged, error);
    status = by_keys(&s, merged, error);
    merged->clashes = s.way.clashes;
    merged->clash_count = status == SNUB_STOPPED ? s.way.clash_count : 0;
    if (status == SNUB_STOPPED)
        snub_fail(error, status, NULL, NULL, "%s was changed by another program in the same place", name);
    return status;
}
