/* A kit as data for one page: what the application chart and the fitting sheet say, and where the belt runs. */
#include "snub/share.h"

#include <math.h>
#include <string.h>

#include "cautions.h"
#include "columns.h"
#include "json_words.h"
#include "snub/draw_drive.h"
#include "words.h"

static const char *say(const snub_share *share, const char *english)
{
    return snub_say(share->sheet->locale, english);
}

static void put(json_t *object, const char *key, const char *text)
{
    snub_json_put(object, key, snub_json_words(text));
}

/* With its unit, both units where the sheets have them; null: there is none. */
static json_t *value(const snub_share *share, double si, snub_unit unit, int decimals)
{
    snub_text text = {0};
    if (!isfinite(si))
        return json_null();
    snub_value_text(share->sheet->locale, si, unit, decimals, &text);
    return snub_json_grown(&text);
}

/* ---- the kit ----------------------------------------------------------------------------------------------------- */

/* Words of the page itself; the rest comes with the builds. */
static json_t *words_of(const snub_share *share)
{
    static const struct {
        const char *key, *words;
    } list[] = {
        {"front", SNUB_MESSAGE("engine front")},
        {"own", SNUB_MESSAGE("as in the file")},
        {"package", SNUB_MESSAGE("package")},
        {"build", SNUB_MESSAGE("build")},
        {"belt", SNUB_MESSAGE("belt")},
        {"setting", SNUB_MESSAGE("setting")},
        {"boost", SNUB_MESSAGE("boost at redline")},
        {"speed", SNUB_MESSAGE("blower pulley speed")},
        {"work", SNUB_MESSAGE("work on the engine")},
        {"sold", SNUB_MESSAGE("sold")},
        {"not_sold", SNUB_MESSAGE("not sold")},
        {"fails", SNUB_MESSAGE("DO NOT FIT")},
        {"together", SNUB_MESSAGE("not offered together")},
        {"figures", SNUB_MESSAGE("engineering")},
        {"findings", SNUB_MESSAGE("findings")},
        {"notes", SNUB_MESSAGE("notes")},
        {"steps", SNUB_MESSAGE("Steps, in this order")},
        {"unknown", SNUB_MESSAGE("Build {code} is not on this page. Choose one, or get a newer page.")},
        {"print", SNUB_MESSAGE("Print the fitting page")},
        {"stopped", SNUB_MESSAGE("engine stopped")},
        {"rev", SNUB_MESSAGE("engine speed")},
        {"arm", SNUB_MESSAGE("arm angle from free")},
        {"run", SNUB_MESSAGE("through the rev range")},
        {"pause", SNUB_MESSAGE("pause")},
        {"made", SNUB_MESSAGE("made with")},
        {"file", SNUB_MESSAGE("file")},
        {"date", SNUB_MESSAGE("date")},
        {"ask", SNUB_MESSAGE("Get a newer page before you order or fit: belts and settings change with the kit.")},
    };
    json_t *words = json_object();
    for (size_t i = 0; i < sizeof list / sizeof list[0]; i++)
        put(words, list[i].key, say(share, list[i].words));
    put(words, "boost_is", say(share, snub_offer_note(share->chart)));
    return words;
}

static json_t *all_cautions(const snub_share *share)
{
    json_t *list = json_array();
    for (int i = 0; i < SNUB_CAUTIONS_; i++) {
        const snub_caution_info *info = snub_caution_describe((snub_caution)i);
        json_t *one = json_object();
        put(one, "id", info->id);
        put(one, "signal", say(share, snub_signal_text(info->signal)));
        put(one, "kind", snub_signal_text(info->signal));
        put(one, "text", say(share, info->words));
        snub_json_append(list, one);
    }
    return list;
}

static json_t *lines_of(const snub_house_lines *lines)
{
    json_t *list = json_array();
    for (int i = 0; lines != NULL && i < lines->count; i++)
        snub_json_append(list, snub_json_words(lines->line[i]));
    return list;
}

static json_t *house_of(const snub_house *house)
{
    json_t *object = json_object();
    put(object, "company", house != NULL ? house->company : NULL);
    snub_json_put(object, "address", lines_of(house != NULL ? &house->address : NULL));
    snub_json_put(object, "contact", lines_of(house != NULL ? &house->contact : NULL));
    snub_json_put(object, "wording", lines_of(house != NULL ? &house->disclaimers : NULL));
    return object;
}

static json_t *packages_of(const snub_rows *rows)
{
    json_t *list = json_array();
    for (int p = 0; p < rows->package_count; p++) {
        json_t *one = json_object();
        put(one, "name", rows->packages[p]->name);
        put(one, "about", rows->packages[p]->about);
        snub_json_append(list, one);
    }
    return list;
}

/* What a package is not sold with, and why. */
static json_t *excluded_of(const snub_share *share, const snub_rows *rows, snub_arena *arena)
{
    json_t *list = json_array();
    for (int e = 0; e < rows->excluded_count; e++) {
        snub_text what = {0};
        json_t *one = json_object();
        snub_exclusion_words(rows->excluded[e].exclusion, share->sheet->locale, arena, &what);
        put(one, "package", rows->excluded[e].package->name);
        snub_json_put(one, "what", snub_json_grown(&what));
        put(one, "reason", rows->excluded[e].exclusion->reason);
        snub_json_append(list, one);
    }
    return list;
}

/* That values are not measured; null where all are. */
static json_t *placeholders_of(const snub_share *share)
{
    const snub_placeholders left = share->chart->document->placeholders;
    snub_text words = {0};
    if (left.count == 0)
        return json_null();
    snub_placeholder_words(&left, share->sheet->locale, &words);
    return snub_json_grown(&words);
}

json_t *snub_json_share(const snub_share *share, snub_arena *arena)
{
    const snub_rows *rows = &share->chart->rows;
    const snub_sheet *sheet = share->sheet;
    char fingerprint[65];
    json_t *root = json_object(), *options = json_array();
    snub_chart_digest(share->chart, fingerprint);
    snub_json_put(root, "snub", json_integer(1));
    put(root, "title", rows->title);
    put(root, "language", share->language);
    put(root, "number", rows->kit_number);
    put(root, "file", sheet->file);
    put(root, "fingerprint", fingerprint);
    put(root, "made_with", sheet->version);
    put(root, "date", sheet->date);
    snub_json_put(root, "placeholders", placeholders_of(share));
    put(root, "watermark", share->watermark);
    snub_json_put(root, "sales", json_boolean(share->sales));
    snub_json_put(root, "house", house_of(sheet->house));
    snub_json_put(root, "words", words_of(share));
    snub_json_put(root, "cautions", all_cautions(share));
    snub_json_put(root, "packages", packages_of(rows));
    snub_json_put(root, "excluded", excluded_of(share, rows, arena));
    for (int o = 0; o < rows->option_count; o++) {
        snub_text path = {0};
        snub_path_words(rows->options[o].path, sheet->locale, &path);
        snub_json_append(options, snub_json_grown(&path));
    }
    snub_json_put(root, "options", options);
    snub_json_put(root, "builds", json_array());
    return snub_json_whole(root);
}

/* ---- where the belt runs ----------------------------------------------------------------------------------------- */

/* To a hundredth of a millimetre: a screen shows no more. */
static json_t *place(double mm)
{
    return snub_json_number(round(mm * 100) / 100);
}

/* Of every pulley its centre, and where the belt touches it first and last, on the pitch line. */
static json_t *run_of(const snub_view_build *view)
{
    json_t *list = json_array();
    for (int i = 0; i < view->count; i++) {
        const snub_view_pulley *p = &view->pulley[i];
        const double at[] = {p->centre[0], p->centre[1], p->enter[0], p->enter[1], p->leave[0], p->leave[1]};
        for (size_t k = 0; k < sizeof at / sizeof at[0]; k++)
            snub_json_append(list, place(at[k]));
    }
    return list;
}

static json_t *pulleys_of(const snub_view_build *view)
{
    json_t *list = json_array();
    for (int i = 0; i < view->count; i++) {
        const snub_view_pulley *p = &view->pulley[i];
        json_t *one = json_object();
        put(one, "name", p->name);
        snub_json_put(one, "cw", json_boolean(p->sense > 0));
        snub_json_put(one, "pitch", place(p->pitch_radius));
        snub_json_put(one, "radius", place(p->outer_radius));
        snub_json_append(list, one);
    }
    return list;
}

static json_t *slots_of(const snub_view *view)
{
    json_t *list = json_array();
    for (int i = 0; i < view->slot_count; i++) {
        const snub_view_slot *s = &view->slot[i];
        json_t *one = json_object();
        snub_json_put(one, "pulley", json_integer(s->pulley));
        snub_json_put(one, "from", snub_json_pair(s->from[0], s->from[1]));
        snub_json_put(one, "to", snub_json_pair(s->to[0], s->to[1]));
        snub_json_put(one, "radius", s->curved ? place(s->radius) : json_null());
        snub_json_put(one, "sweep", place(s->curved ? s->sweep : 0));
        snub_json_append(list, one);
    }
    return list;
}

static json_t *frame_of(const snub_share *share, const snub_build *build, const snub_state *state,
                        const snub_view_build *view)
{
    const int arm = build->drive->arm;
    json_t *one = json_object();
    const double wind = arm >= 0 && !share->sales ? state->balance.equilibrium.wind : (double)NAN;
    snub_json_put(one, "rpm", json_integer((json_int_t)lround(state->engine_speed / SNUB_RPM)));
    snub_json_put(one, "arm", value(share, wind, SNUB_UNIT_DEG, 1));
    snub_json_put(one, "run", run_of(view));
    return one;
}

/* The engine stopped, then from idle to redline, steady, with the belt as it is sold. */
static snub_status add_frames(const snub_share *share, const snub_build *build, snub_arena *arena, json_t *drawing,
                              snub_error *error)
{
    const snub_engine *engine = &build->drive->engine;
    const int speeds = engine->given ? SNUB_SHARE_SPEEDS : 0;
    json_t *frames = json_array();
    snub_json_put(drawing, "frames", frames);
    for (int k = 0; k <= speeds; k++) {
        const double share_of = speeds > 1 ? (double)(k - 1) / (speeds - 1) : 0;
        const snub_wanted_state wanted = {.speed = k == 0 ? 0.0
                                                          : engine->idle + share_of * (engine->redline - engine->idle)};
        snub_state *state = SNUB_NEW(arena, snub_state, 1);
        snub_view view;
        if (state == NULL)
            return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
        snub_status status = snub_build_state(build, &wanted, arena, state, error);
        if (status == SNUB_OK)
            status = snub_view_of_build(build, state, arena, &view, error);
        if (status != SNUB_OK)
            return status;
        if (k == 0) {
            snub_json_put(drawing, "pulleys", pulleys_of(&view.build[0]));
            snub_json_put(drawing, "slots", slots_of(&view));
            snub_json_put(drawing, "arm", json_integer(view.arm.pulley));
            snub_json_put(drawing, "pivot",
                          view.arm.pulley >= 0 ? snub_json_pair(view.arm.pivot[0], view.arm.pivot[1]) : json_null());
        }
        if (state->solved)
            snub_json_append(frames, frame_of(share, build, state, &view.build[0]));
    }
    return SNUB_OK;
}

/* ---- a build ----------------------------------------------------------------------------------------------------- */

static json_t *settings_of(const snub_share *share, const snub_charted *charted)
{
    json_t *list = json_array();
    for (int i = 0; i < charted->pulley_count; i++) {
        const snub_charted_pulley *p = &charted->pulleys[i];
        if (p->sits != SNUB_ON_SLOT || isnan(p->setting))
            continue;
        json_t *one = json_object();
        put(one, "pulley", p->name);
        snub_json_put(one, "at", value(share, p->setting, SNUB_UNIT_MM, 1));
        snub_json_append(list, one);
    }
    return list;
}

/* Of the pulleys that are chosen: effective diameter. */
static json_t *diameters_of(const snub_share *share, snub_columns_of *of, int number)
{
    json_t *list = json_array();
    for (int c = 0; c < of->count; c++) {
        const double diameter = snub_column_at(of, c, number).number;
        if (strcmp(of->columns[c].of->key, "diameters") != 0 || !isfinite(diameter))
            continue;
        json_t *one = json_object();
        put(one, "title", of->columns[c].title);
        snub_json_put(one, "at", value(share, diameter, SNUB_UNIT_MM, 1));
        snub_json_append(list, one);
    }
    return list;
}

/* Findings of a level and over, as sentences. */
static json_t *sentences_of(const snub_share *share, const snub_findings *findings, snub_level least, snub_level most)
{
    json_t *list = json_array();
    for (int i = 0; i < findings->count; i++) {
        const snub_finding *f = &findings->items[i];
        snub_text words = {0};
        if (f->level < least || f->level > most)
            continue;
        if (least != most)
            snub_text_printf(&words, "%s: ", say(share, snub_level_text(f->level)));
        snub_finding_sentence(f, share->sheet->locale, &words);
        snub_json_append(list, snub_json_grown(&words));
    }
    return list;
}

/* The engineer's columns of the chart, title and value. */
static json_t *figures_of(snub_columns_of *of, int number)
{
    json_t *list = json_array();
    for (int c = 0; c < of->count; c++) {
        const snub_shown_column *shown = &of->columns[c];
        const snub_column_value v = snub_column_at(of, c, number);
        snub_text words = {0};
        if (!snub_column_is_engineering(shown->of) || strcmp(shown->of->key, "findings") == 0)
            continue;
        if (v.text != NULL)
            snub_text_puts(&words, v.text);
        else if (isfinite(v.number))
            snub_value_text(of->locale, v.number, shown->of->unit, shown->of->decimals, &words);
        if (words.length == 0)
            continue;
        json_t *one = json_object();
        put(one, "title", shown->title);
        snub_json_put(one, "value", snub_json_grown(&words));
        snub_json_append(list, one);
    }
    return list;
}

static const char *work_of(snub_columns_of *of, int number)
{
    for (int c = 0; c < of->count; c++)
        if (strcmp(of->columns[c].of->key, "engine_work") == 0)
            return snub_column_at(of, c, number).text;
    return NULL;
}

/* Of the fitting sheet's steps their words and the cautions before them. */
static snub_status add_steps(const snub_share *share, const snub_build *build, snub_arena *arena, json_t *object,
                             snub_error *error)
{
    static const char *const kept[] = {"cautions", "text"};
    snub_steps steps;
    const snub_status status = snub_steps_list(build, arena, &steps, error);
    if (status != SNUB_OK)
        return status;
    json_t *sheet = snub_json_steps(build, &steps, share->sheet->locale), *list = json_array();
    const json_t *all = json_object_get(sheet, "steps");
    for (size_t i = 0; i < json_array_size(all); i++) {
        json_t *one = json_object();
        for (size_t k = 0; k < sizeof kept / sizeof kept[0]; k++)
            snub_json_put(one, kept[k], json_incref(json_object_get(json_array_get(all, i), kept[k])));
        snub_json_append(list, one);
    }
    snub_json_put(object, "steps", list);
    snub_json_put(object, "cautions_last", json_incref(json_object_get(sheet, "cautions_last")));
    json_decref(sheet);
    return sheet != NULL ? SNUB_OK : snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
}

/* What may be ordered, set and fitted. */
static snub_status add_offer(const snub_share *share, snub_columns_of *of, int number, const snub_build *build,
                             snub_arena *arena, json_t *object, snub_error *error)
{
    const snub_charted *charted = &share->chart->builds[number];
    json_t *drawing = json_object();
    put(object, "belt", charted->designation);
    put(object, "part", charted->part);
    put(object, "own", charted->own_number);
    snub_json_put(object, "diameters", diameters_of(share, of, number));
    snub_json_put(object, "settings", settings_of(share, charted));
    snub_json_put(object, "boost", value(share, charted->air.boost, SNUB_UNIT_KPA, 1));
    snub_json_put(object, "speed", value(share, charted->air.shaft_speed, SNUB_UNIT_RPM, 0));
    json_t *ids = json_array();
    snub_json_append_caution_ids(ids, snub_cautions_of(build));
    snub_json_put(object, "cautions", ids);
    snub_json_put(object, "drawing", drawing);
    const snub_status status = add_frames(share, build, arena, drawing, error);
    return status == SNUB_OK && share->steps ? add_steps(share, build, arena, object, error) : status;
}

/* As the file writes them, a bare number with the unit that it is in. */
static json_t *options_of(const snub_row *row, const snub_locale *locale)
{
    json_t *list = json_array();
    for (int o = 0; o < row->option_count; o++) {
        const snub_node *node = snub_row_value(row, o);
        const char *unit = node != NULL ? snub_node_bare_unit(node) : "";
        snub_text words = {0};
        snub_written_words(row->values[o], locale, &words);
        snub_text_printf(&words, "%s%s", unit[0] != '\0' ? " " : "", snub_say(locale, unit));
        snub_json_append(list, snub_json_grown(&words));
    }
    return list;
}

snub_status snub_json_share_add(const snub_share *share, int number, const snub_build *build, snub_arena *arena,
                                json_t *tree, snub_error *error)
{
    const snub_charted *charted = &share->chart->builds[number];
    const bool fails = charted->verdict == SNUB_FAIL;
    const snub_level said = fails ? SNUB_FAIL : SNUB_MARGINAL;
    snub_columns_of of;
    snub_text why = {0};
    json_t *object = json_object();
    snub_status status = SNUB_OK;
    snub_columns_open(share->chart, NULL, share->sheet->locale, arena, &of);
    const snub_findings *findings = snub_columns_findings(&of, number);
    snub_json_put(object, "number", json_integer(number + 1));
    put(object, "code", charted->row->code);
    put(object, "front", charted->row->variant);
    put(object, "package", charted->row->package);
    snub_json_put(object, "options", options_of(charted->row, share->sheet->locale));
    put(object, "verdict", say(share, snub_level_text(charted->verdict)));
    put(object, "level", snub_level_text(charted->verdict));
    if (fails)
        snub_not_sold_words(charted, findings, share->sheet->locale, &why);
    snub_json_put(object, "why_not", fails ? snub_json_grown(&why) : json_null());
    put(object, "work", work_of(&of, number));
    snub_json_put(object, "notes", sentences_of(share, findings, said, said));
    if (!share->sales) {
        snub_json_put(object, "findings", sentences_of(share, findings, SNUB_NOTE, SNUB_FAIL));
        snub_json_put(object, "figures", figures_of(&of, number));
    }
    if (!fails)
        status = add_offer(share, &of, number, build, arena, object, error);
    snub_json_append(json_object_get(tree, "builds"), object);
    if (status == SNUB_OK && of.failed)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    return status;
}
