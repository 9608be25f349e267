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
    bool failed; /* memory is out */
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

static left_out of_build(const snub_build *build)
{
    left_out all = {0};
    const snub_unjudged_set set = snub_unjudged_of(build);
    for (int i = 0; i < build->drive->pulley_count; i++)
        add_pulley(&all, &set, i, build->drive->pulleys[i].name);
    return all;
}

static left_out of_chart(const snub_chart *chart)
{
    left_out all = {0};
    for (int b = 0; b < chart->build_count; b++) {
        const snub_charted *build = &chart->builds[b];
        for (int i = 0; i < build->pulley_count; i++)
            add_pulley(&all, build->unjudged, i, build->pulleys[i].name);
    }
    return all;
}

/* ---- words ------------------------------------------------------------------------------------------------------- */

static void list_names(const left_out *all, int what, const snub_locale *locale, snub_text *out)
{
    int left = 0;
    for (int i = 0; i < all->count; i++)
        left += (all->pulleys[i].rows & ROW(what)) != 0;
    for (int i = 0, said = 0; i < all->count; i++) {
        if (!(all->pulleys[i].rows & ROW(what)))
            continue;
        left--;
        if (said++ > 0)
            snub_text_printf(out, left == 0 ? " %s " : ", ", snub_say(locale, SNUB_MESSAGE("and")));
        snub_text_puts(out, all->pulleys[i].name);
    }
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
    list_names(all, what, locale, &pulleys);
    quote_keys(info->key, &keys);
    const snub_named named[] = {snub_named_text("pulleys", pulleys.data != NULL ? pulleys.data : ""),
                                snub_named_text("key", keys.data != NULL ? keys.data : "")};
    snub_words_fill(info->words, named, 2, locale, out);
    out->failed = out->failed || pulleys.failed || keys.failed;
    snub_text_free(&pulleys);
    snub_text_free(&keys);
}

static void add_rows(left_out *all, const snub_locale *locale, snub_text *out)
{
    const size_t before = out->length;
    for (int what = 0; what < SNUB_UNJUDGED_; what++) {
        if (!(all->rows & ROW(what)))
            continue;
        snub_text_puts(out, out->length > before ? "; " : "");
        add_row(all, what, locale, out);
    }
    out->failed = out->failed || all->failed;
    free(all->pulleys);
}

void snub_unjudged_words(const snub_build *build, const snub_locale *locale, snub_text *out)
{
    left_out all = of_build(build);
    add_rows(&all, locale, out);
}

void snub_unjudged_chart_words(const snub_chart *chart, const snub_locale *locale, snub_text *out)
{
    left_out all = of_chart(chart);
    add_rows(&all, locale, out);
}

/* ---- a terminal -------------------------------------------------------------------------------------------------- */

static void show(left_out *all, const snub_look *look, snub_text *out)
{
    enum { INDENT = 11 };
    const char *head = "not judged";
    for (int what = 0; what < SNUB_UNJUDGED_; what++) {
        snub_text line = {0};
        if (!(all->rows & ROW(what)))
            continue;
        add_row(all, what, look->locale, &line);
        snub_text_printf(out, "%-*s", INDENT, head);
        snub_wrap(line.data != NULL ? line.data : "", INDENT, INDENT + 2, look->width, out);
        out->failed = out->failed || line.failed;
        snub_text_free(&line);
        head = "";
    }
    out->failed = out->failed || all->failed;
    free(all->pulleys);
}

void snub_unjudged_show(const snub_build *build, const snub_look *look, snub_text *out)
{
    left_out all = of_build(build);
    show(&all, look, out);
}

void snub_unjudged_chart_show(const snub_chart *chart, const snub_look *look, snub_text *out)
{
    left_out all = of_chart(chart);
    show(&all, look, out);
}

/* ---- programs ---------------------------------------------------------------------------------------------------- */

static json_t *json_of(left_out *all)
{
    json_t *list = json_array();
    for (int what = 0; what < SNUB_UNJUDGED_; what++) {
        const snub_unjudged_info *info = snub_unjudged_describe((snub_unjudged)what);
        snub_text text = {0};
        if (!(all->rows & ROW(what)))
            continue;
        json_t *row = json_object(), *pulleys = json_array();
        for (int i = 0; i < all->count && !info->whole; i++) {
            if (all->pulleys[i].rows & ROW(what))
                snub_json_append(pulleys, snub_json_words(all->pulleys[i].name));
        }
        add_row(all, what, NULL, &text);
        snub_json_put(row, "what", snub_json_words(info->id));
        snub_json_put(row, "key", snub_json_words(info->key));
        snub_json_put(row, "pulleys", pulleys);
        snub_json_put(row, "text", snub_json_grown(&text));
        snub_json_append(list, row);
    }
    if (all->failed)
        snub_json_lose();
    free(all->pulleys);
    return list;
}

json_t *snub_json_unjudged(const snub_build *build)
{
    left_out all = of_build(build);
    return json_of(&all);
}

json_t *snub_json_chart_unjudged(const snub_chart *chart)
{
    left_out all = of_chart(chart);
    return json_of(&all);
}
