/* What a verdict leaves out, in words and as JSON: the same list in every door. */
#include <stdlib.h>
#include <string.h>

#include "json_words.h"
#include "words.h"

/* ---- of one build, or of any of a chart -------------------------------------------------------------------------- */

#define ROW(what) (1u << (what))
_Static_assert(SNUB_UNJUDGED_ <= 32, "a pulley has 32 bits");

typedef struct pulley_rows {
    const char *name;
    unsigned rows; /* that it is in */
} pulley_rows;

typedef struct left_out {
    unsigned rows; /* that are not empty */
    int count, room;
    pulley_rows *pulleys;
    const char **names; /* room for those of a row */
    bool failed;        /* memory is out */
} left_out;

static pulley_rows *pulley_of(left_out *all, const char *name)
{
    for (int i = 0; i < all->count; i++) {
        if (strcmp(all->pulleys[i].name, name) == 0)
            return &all->pulleys[i];
    }
    if (all->count == all->room) {
        const int room = all->room > 0 ? 2 * all->room : 16;
        pulley_rows *more = realloc(all->pulleys, (size_t)room * sizeof *more);
        if (more == NULL) {
            all->failed = true;
            return NULL;
        }
        all->pulleys = more;
        all->room = room;
    }
    all->pulleys[all->count] = (pulley_rows){.name = name};
    return &all->pulleys[all->count++];
}

static void add_pulley(left_out *all, const snub_unjudged_set *set, int i, const char *name)
{
    unsigned rows = 0;
    for (int what = 0; what < SNUB_UNJUDGED_; what++)
        rows |= (set->of[what] >> i & 1) != 0 ? ROW(what) : 0;
    pulley_rows *pulley = rows != 0 ? pulley_of(all, name) : NULL;
    if (pulley != NULL)
        pulley->rows |= rows;
    all->rows |= rows;
}

/* Of any of them. What it gives holds until close. */
static left_out open_list(const snub_build *const *builds, int count, const snub_chart *chart)
{
    left_out all = {0};
    for (int b = 0; b < count; b++) {
        const snub_unjudged_set own = snub_unjudged_of(builds[b]);
        for (int i = 0; i < builds[b]->drive->pulley_count; i++)
            add_pulley(&all, &own, i, builds[b]->drive->pulleys[i].name);
    }
    for (int b = 0; chart != NULL && b < chart->build_count; b++) {
        const snub_charted *charted = &chart->builds[b];
        for (int i = 0; i < charted->pulley_count; i++)
            add_pulley(&all, charted->unjudged, i, charted->pulleys[i].name);
    }
    all.names = malloc((size_t)(all.count > 0 ? all.count : 1) * sizeof *all.names);
    all.failed = all.failed || all.names == NULL;
    return all;
}

/* @return whether there was memory for all of it */
static bool close_list(left_out *all)
{
    free(all->pulleys);
    free(all->names);
    return !all->failed;
}

/* ---- words ------------------------------------------------------------------------------------------------------- */

/* Names of the pulleys in a row. @return how many */
static int names_in(const left_out *all, int what)
{
    int count = 0;
    for (int i = 0; all->names != NULL && i < all->count; i++) {
        if (all->pulleys[i].rows & ROW(what))
            all->names[count++] = all->pulleys[i].name;
    }
    return count;
}

/* "max_speed", or "bracket.thickness, bracket.width", each as the drive file's own word. */
static void quote_keys(const char *keys, snub_text *out)
{
    snub_text_puts(out, "`");
    for (const char *comma; (comma = strchr(keys, ',')) != NULL; keys = comma + strlen(", ")) {
        snub_text_add(out, keys, (size_t)(comma - keys));
        snub_text_puts(out, "`, `");
    }
    snub_text_printf(out, "%s`", keys);
}

/* "highest speed of steering and compressor (`max_speed`)" */
static void add_row(const left_out *all, int what, const snub_locale *locale, snub_text *out)
{
    const snub_unjudged_info *info = snub_unjudged_describe((snub_unjudged)what);
    snub_text pulleys = {0}, keys = {0};
    snub_names_words(all->names, names_in(all, what), locale, &pulleys);
    quote_keys(info->key, &keys);
    const snub_named named[] = {snub_named_text("pulleys", pulleys.data != NULL ? pulleys.data : ""),
                                snub_named_text("key", keys.data != NULL ? keys.data : "")};
    snub_words_fill(info->words, named, 2, locale, out);
    out->failed = out->failed || pulleys.failed || keys.failed;
    snub_text_free(&pulleys);
    snub_text_free(&keys);
}

void snub_unjudged_words(const snub_build *const *builds, int count, const snub_chart *chart, const snub_locale *locale,
                         snub_text *out)
{
    left_out all = open_list(builds, count, chart);
    const char *mark = "";
    for (int what = 0; what < SNUB_UNJUDGED_; what++) {
        if (!(all.rows & ROW(what)))
            continue;
        snub_text_puts(out, mark);
        add_row(&all, what, locale, out);
        mark = "; ";
    }
    out->failed = !close_list(&all) || out->failed;
}

void snub_unjudged_show(const snub_build *const *builds, int count, const snub_chart *chart, const snub_look *look,
                        snub_text *out)
{
    enum { INDENT = 11 };
    left_out all = open_list(builds, count, chart);
    const char *head = "not judged";
    for (int what = 0; what < SNUB_UNJUDGED_; what++) {
        snub_text line = {0};
        if (!(all.rows & ROW(what)))
            continue;
        add_row(&all, what, look->locale, &line);
        snub_text_printf(out, "%-*s", INDENT, head);
        snub_wrap(line.data != NULL ? line.data : "", INDENT, INDENT + 2, look->width, out);
        out->failed = out->failed || line.failed;
        snub_text_free(&line);
        head = "";
    }
    out->failed = !close_list(&all) || out->failed;
}

json_t *snub_json_unjudged(const snub_build *const *builds, int count, const snub_chart *chart)
{
    left_out all = open_list(builds, count, chart);
    json_t *list = json_array();
    for (int what = 0; what < SNUB_UNJUDGED_; what++) {
        const snub_unjudged_info *info = snub_unjudged_describe((snub_unjudged)what);
        snub_text text = {0};
        if (!(all.rows & ROW(what)))
            continue;
        json_t *row = json_object(), *pulleys = json_array();
        const int named = info->whole ? 0 : names_in(&all, what);
        for (int i = 0; i < named; i++)
            snub_json_append(pulleys, snub_json_words(all.names[i]));
        add_row(&all, what, NULL, &text);
        snub_json_put(row, "what", snub_json_words(info->id));
        snub_json_put(row, "key", snub_json_words(info->key));
        snub_json_put(row, "pulleys", pulleys);
        snub_json_put(row, "text", snub_json_grown(&text));
        snub_json_append(list, row);
    }
    if (!close_list(&all))
        snub_json_lose();
    return list;
}
