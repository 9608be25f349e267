/* `snub chart --json`: every column of the list, and what is more than a number. */
#include <string.h>

#include "columns.h"
#include "json_words.h"

static json_t *value_of(snub_columns_of *of, int column, int build)
{
    const snub_chart_column *c = of->columns[column].of;
    const snub_column_value value = snub_column_at(of, column, build);
    if (c->type == SNUB_CELL_TEXT || c->type == SNUB_CELL_LEVEL)
        return snub_json_words(value.text);
    if (c->type == SNUB_CELL_COUNT && isfinite(value.number))
        return json_integer((json_int_t)value.number);
    return snub_json_number(snub_in_unit(c->unit, value.number));
}

static const char *key_of(snub_columns_of *of, const snub_chart_column *c)
{
    const char *key = snub_format(of->words, "%s%s", c->key, snub_unit_describe(c->unit)->suffix);
    if (key == NULL)
        snub_json_lose();
    return key != NULL ? key : c->key;
}

/* The object under a key, made where it is not there yet. */
static json_t *inner(json_t *object, const char *key)
{
    json_t *there = json_object_get(object, key);
    if (there == NULL) {
        snub_json_put(object, key, json_object());
        there = json_object_get(object, key);
    }
    return there;
}

static void put_column(snub_columns_of *of, int column, int build, json_t *object)
{
    const snub_shown_column *shown = &of->columns[column];
    const snub_chart_column *c = shown->of;
    const snub_charted *b = &of->chart->builds[build];
    const char *key = key_of(of, c);
    json_t *value = value_of(of, column, build);
    const bool none = json_is_null(value);
    switch (c->json) {
    case SNUB_JSON_LOW:
    case SNUB_JSON_HIGH: {
        json_t *pair = json_object_get(object, key);
        if (pair == NULL) {
            snub_json_put(object, key, json_array());
            pair = json_object_get(object, key);
        }
        snub_json_append(pair, value);
        return;
    }
    case SNUB_JSON_OF_BLOWER:
        if (!none)
            snub_json_put(inner(object, key), of->blower, value);
        else
            json_decref(value), (void)inner(object, key);
        return;
    case SNUB_JSON_BLOWER:
    case SNUB_JSON_HARDWARE: {
        const bool blower = c->json == SNUB_JSON_BLOWER;
        const bool there = blower ? !isnan(b->air.power) : b->hardware.given;
        if (there)
            snub_json_put(inner(object, blower ? "blower" : "hardware"), key, value);
        else
            json_decref(value);
        return;
    }
    case SNUB_JSON_TOP:
        if (c->per == SNUB_PER_BUILD)
            snub_json_put(object, key, value);
        else if (snub_charted_pulley_named(b, shown->name) >= 0 && !none)
            snub_json_put(inner(object, key), shown->name, value);
        else
            json_decref(value), (void)inner(object, key);
        return;
    case SNUB_JSON_OWN: json_decref(value); return;
    }
}

static void put_if_absent(json_t *object, const char *key, json_t *value)
{
    if (json_object_get(object, key) == NULL)
        snub_json_put(object, key, value);
    else
        json_decref(value);
}

static json_t *build_of(snub_columns_of *of, int i)
{
    static const char *const objects[] = {"diameters_mm", "slots_mm", "wrap_deg", "wrap_gain_pct"};
    const snub_charted *build = &of->chart->builds[i];
    json_t *object = json_object(), *row = snub_json_row(build->row);
    snub_json_put(object, "variant", json_incref(json_object_get(row, "variant")));
    snub_json_put(object, "package", json_incref(json_object_get(row, "package")));
    snub_json_put(object, "options", json_incref(json_object_get(row, "options")));
    json_decref(row);
    json_t *cells = json_array();
    for (int c = 0; c < of->count; c++) {
        put_column(of, c, i, object);
        snub_json_append(cells, value_of(of, c, i));
    }
    /* the keys that every chart has, whatever its pulleys */
    for (size_t k = 0; k < sizeof objects / sizeof objects[0]; k++)
        put_if_absent(object, objects[k], json_object());
    put_if_absent(object, "arm_wind_deg", json_null());
    put_if_absent(object, "blower", json_null());
    put_if_absent(object, "hardware", json_null());
    if (!build->has_arm || !build->laid)
        snub_json_put(object, "arm_wind_deg", json_null());
    if (!build->settled)
        snub_json_put(object, "designation", json_null());
    snub_json_put(object, "why", snub_json_why(build->settled, build->why, build->offered, build->usable));
    snub_json_put(object, "runner_up", snub_json_charted_runner_up(build));
    snub_json_put(object, "cells", cells);
    snub_json_put(object, "findings", snub_json_findings(snub_columns_findings(of, i), of->locale));
    return object;
}

static json_t *belts_of(const snub_belt_use *belts, int count)
{
    json_t *all = json_array();
    for (int b = 0; b < count; b++) {
        json_t *object = json_object();
        snub_json_put(object, "designation", snub_json_words(belts[b].designation));
        snub_json_put(object, "builds", json_integer(belts[b].count));
        snub_json_append(all, object);
    }
    return all;
}

/* What the cells of a build are called and in which unit they stand, for whoever shows them. */
static json_t *columns_of(snub_columns_of *of)
{
    json_t *all = json_array();
    for (int c = 0; c < of->count; c++) {
        const snub_shown_column *shown = &of->columns[c];
        json_t *object = json_object();
        snub_json_put(object, "key", snub_json_words(key_of(of, shown->of)));
        snub_json_put(object, "of", snub_json_words(shown->name));
        snub_json_put(object, "title", snub_json_words(shown->title));
        snub_json_put(object, "unit", snub_json_words(snub_unit_describe(shown->of->unit)->text));
        snub_json_put(object, "decimals", json_integer(shown->of->decimals));
        snub_json_append(all, object);
    }
    return all;
}

/* Options that are positions: path, and their values best first. */
static json_t *positions_of(const snub_chart *chart, snub_arena *arena)
{
    json_t *all = json_array();
    for (int o = 0; o < chart->rows.option_count; o++) {
        const snub_option *option = &chart->rows.options[o];
        snub_rank *ranks = snub_is_place_option(option) ? SNUB_NEW(arena, snub_rank, option->count) : NULL;
        if (!snub_is_place_option(option))
            continue;
        json_t *object = json_object(), *values = json_array();
        if (ranks == NULL || !snub_rank_values(chart, o, arena, ranks))
            snub_json_lose();
        for (int i = 0; ranks != NULL && i < option->count; i++) {
            json_t *value = json_object();
            snub_json_put(value, "value", snub_json_words(ranks[i].value));
            snub_json_put(value, "builds", json_integer(ranks[i].builds));
            snub_json_put(value, "pass", json_integer(ranks[i].counts[SNUB_PASS]));
            snub_json_put(value, "marginal", json_integer(ranks[i].counts[SNUB_MARGINAL]));
            snub_json_put(value, "fail", json_integer(ranks[i].counts[SNUB_FAIL]));
            snub_json_put(value, "grip_used", snub_json_number(ranks[i].grip));
            snub_json_put(value, "tightest_gap_mm", snub_json_number(ranks[i].gap / SNUB_MM));
            snub_json_put(value, "belts", json_integer(ranks[i].belts));
            snub_json_append(values, value);
        }
        snub_json_put(object, "path", snub_json_words(option->path));
        snub_json_put(object, "best_first", values);
        snub_json_append(all, object);
    }
    return all;
}

static json_t *packages_of(const snub_rows *rows)
{
    json_t *all = json_array();
    for (int p = 0; p < rows->package_count; p++) {
        json_t *object = json_object();
        snub_json_put(object, "name", snub_json_words(rows->packages[p]->name));
        snub_json_put(object, "about", snub_json_words(rows->packages[p]->about));
        snub_json_append(all, object);
    }
    return all;
}

static json_t *excluded_options(const snub_exclusion *exclusion, snub_arena *arena)
{
    json_t *options = json_object();
    for (int o = 0; o < exclusion->option_count; o++) {
        const snub_excluded_values *values = &exclusion->options[o];
        json_t *list = json_array();
        for (int i = 0; i < values->count; i++) {
            const char *value = snub_node_flow(values->values[i], arena);
            if (value == NULL)
                snub_json_lose();
            snub_json_append(list, snub_json_words(value));
        }
        snub_json_put(options, values->path, list);
    }
    return options;
}

/* What packages are not sold as: {"package","variants","options","reason","builds"}. */
static json_t *excluded_of(const snub_rows *rows, snub_arena *arena)
{
    json_t *all = json_array();
    for (int e = 0; e < rows->excluded_count; e++) {
        const snub_excluded_rows *excluded = &rows->excluded[e];
        json_t *object = json_object(), *fronts = json_array();
        for (int v = 0; v < excluded->exclusion->variant_count; v++)
            snub_json_append(fronts, snub_json_words(excluded->exclusion->variants[v]));
        snub_json_put(object, "package", snub_json_words(excluded->package->name));
        snub_json_put(object, "variants", fronts);
        snub_json_put(object, "options", excluded_options(excluded->exclusion, arena));
        snub_json_put(object, "reason", snub_json_words(excluded->exclusion->reason));
        snub_json_put(object, "builds", json_integer(excluded->count));
        snub_json_append(all, object);
    }
    return all;
}

/* ---- all of it --------------------------------------------------------------------------------------------------- */

/* What stands before the builds. */
static json_t *head_of(snub_columns_of *of)
{
    json_t *head = json_object();
    char fingerprint[65];
    snub_chart_digest(of->chart, fingerprint);
    snub_json_put(head, "snub", json_integer(1));
    snub_json_put(head, "title", snub_json_words(of->chart->rows.title != NULL ? of->chart->rows.title : ""));
    snub_json_put(head, "kit_number", snub_json_words(of->chart->rows.kit_number));
    snub_json_put(head, "fingerprint", snub_json_words(fingerprint));
    snub_json_put(head, "columns", columns_of(of));
    return head;
}

/* What stands after them, put into an object. */
static void put_tail(snub_columns_of *of, json_t *root)
{
    const snub_chart *chart = of->chart;
    snub_json_put(root, "positions", positions_of(chart, of->arena));
    snub_json_put(root, "packages", packages_of(&chart->rows));
    snub_json_put(root, "excluded", excluded_of(&chart->rows, of->arena));
    snub_json_put(root, "rows_left_out", json_integer(chart->rows.same));
    snub_json_put(root, "not_judged", snub_json_unjudged(NULL, 0, chart));
    snub_json_put(root, "belts", belts_of(chart->belts, chart->belt_count));
    if (!chart->has_fewest)
        return;
    json_t *fewest = json_object();
    snub_json_put(fewest, "belts", belts_of(chart->fewest, chart->fewest_count));
    snub_json_put(fewest, "exact", json_boolean(chart->fewest_exact));
    snub_json_put(fewest, "charted", json_boolean(chart->on_fewest));
    snub_json_put(root, "fewest_belts", fewest);
}

json_t *snub_json_chart(const snub_chart *chart, const snub_locale *locale)
{
    snub_arena arena = {0};
    snub_columns_of of;
    snub_columns_open(chart, NULL, locale, &arena, &of);
    json_t *root = head_of(&of), *builds = json_array();
    for (int i = 0; i < chart->build_count; i++)
        snub_json_append(builds, build_of(&of, i));
    snub_json_put(root, "builds", builds);
    put_tail(&of, root);
    if (of.failed)
        snub_json_lose();
    snub_arena_free(&arena);
    return snub_json_whole(root);
}

/* An object as it is written at a depth, given back: every line but the first set in, since no string has a bare line
 * break.
 * @return false: memory is out */
static bool add_object(json_t *object, int depth, snub_text *out)
{
    snub_text text = {0};
    const bool good = snub_json_text(object, SNUB_JSON_LINES, &text, NULL) == SNUB_OK;
    for (const char *line = good ? text.data : ""; *line != '\0';) {
        const char *end = strchr(line, '\n');
        snub_text_add(out, line, (size_t)(end - line));
        line = end + 1;
        if (*line != '\0')
            snub_text_printf(out, "\n%*s", depth, "");
    }
    snub_text_free(&text);
    json_decref(object);
    return good && !out->failed;
}

static bool add_builds(snub_columns_of *of, snub_text *out)
{
    snub_arena words = {0};
    bool good = true;
    of->words = &words;
    snub_text_puts(out, ",\n \"builds\": [");
    for (int i = 0; i < of->chart->build_count && good; i++) {
        snub_text_puts(out, i > 0 ? ",\n  " : "\n  ");
        good = add_object(build_of(of, i), 2, out) && !of->failed;
        snub_arena_free(&words);
        snub_text_settle(out);
    }
    snub_text_puts(out, of->chart->build_count > 0 ? "\n ]" : "]");
    of->words = of->arena;
    return good;
}

/* Both objects have keys: what closes the first and opens the second is left out between them. */
static bool add_chart(snub_columns_of *of, json_t *hints, snub_text *out)
{
    snub_text last = {0};
    json_t *tail = json_object();
    bool good = add_object(head_of(of), 0, out);
    out->length -= good ? strlen("\n}") : 0;
    good = good && add_builds(of, out);
    put_tail(of, tail);
    if (hints != NULL)
        snub_json_put(tail, "hints", json_incref(hints));
    good = add_object(tail, 0, &last) && good;
    if (good)
        snub_text_printf(out, ",%s\n", last.data + strlen("{"));
    snub_text_free(&last);
    return good && !of->failed && !out->failed;
}

snub_status snub_json_chart_text(const snub_chart *chart, const snub_locale *locale, json_t *hints, snub_text *out,
                                 snub_error *error)
{
    snub_arena arena = {0};
    snub_columns_of of;
    snub_json_begin();
    snub_columns_open(chart, NULL, locale, &arena, &of);
    const bool good = add_chart(&of, hints, out);
    snub_arena_free(&arena);
    return good ? SNUB_OK : snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
}
