/* What a build is and why, in words. */
#include "words.h"

#include <string.h>

/* A value as YAML on one line, as far as a reader wants it. */
static void add_node(const snub_node *node, snub_text *out)
{
    if (node->kind == SNUB_SCALAR) {
        snub_text_puts(out, node->text);
        return;
    }
    snub_text_puts(out, node->kind == SNUB_MAP ? "{" : "[");
    for (int i = 0; i < node->count; i++) {
        snub_text_puts(out, i > 0 ? ", " : "");
        if (node->kind == SNUB_MAP)
            snub_text_printf(out, "%s: ", node->keys[i]->text);
        add_node(node->items[i], out);
    }
    snub_text_puts(out, node->kind == SNUB_MAP ? "}" : "]");
}

const snub_node *snub_row_value(const snub_row *row, int option)
{
    for (int i = row->overlay_count - 1; i >= 0; i--) {
        if (strcmp(row->overlays[i].path, row->options[option].path) == 0)
            return row->overlays[i].value;
    }
    return NULL;
}

/* In a reader's own units a number as the file writes it must say that it is not in them. */
static void add_bare_unit(const snub_node *node, const snub_locale *locale, snub_text *out)
{
    const char *unit = node != NULL ? snub_node_bare_unit(node) : "";
    if (locale != NULL && locale->inches &&
        strcmp(snub_number_shown(locale, 0, unit, 0).unit, snub_say(locale, unit)) != 0)
        snub_text_printf(out, " %s", snub_say(locale, unit));
}

void snub_option_words(const snub_row *row, int option, const snub_locale *locale, snub_text *out)
{
    snub_written_words(row->values[option], locale, out);
    add_bare_unit(snub_row_value(row, option), locale, out);
}

void snub_row_words(const snub_row *row, bool wet, const snub_locale *locale, snub_text *out)
{
    const char *comma = "";
    if (row->variant != NULL && row->variant[0] != '\0') {
        snub_text_puts(out, row->variant);
        comma = "; ";
    }
    if (row->package != NULL && row->package[0] != '\0') {
        snub_text_printf(out, "%s%s %s", comma, snub_say(locale, SNUB_MESSAGE("package")), row->package);
        comma = "; ";
    }
    for (int i = 0; i < row->option_count; i++, comma = "; ") {
        snub_text_puts(out, comma);
        snub_path_words(row->options[i].path, locale, out);
        snub_text_puts(out, " ");
        snub_option_words(row, i, locale, out);
    }
    for (int i = row->overlay_count - row->set_count; i < row->overlay_count; i++, comma = "; ") {
        snub_text_printf(out, "%s%s %s=", comma, snub_say(locale, SNUB_MESSAGE("set")), row->overlays[i].path);
        add_node(row->overlays[i].value, out);
        add_bare_unit(row->overlays[i].value, locale, out);
    }
    if (wet)
        snub_text_printf(out, "%s%s", comma, snub_say(locale, SNUB_MESSAGE("wet belt")));
}

static void add_settings(const snub_build *build, const snub_locale *locale, snub_text *out)
{
    for (int i = 0; i < build->drive->pulley_count; i++) {
        if (build->drive->pulleys[i].sits != SNUB_ON_SLOT || !isfinite(build->settings[i]))
            continue;
        const snub_named places[] = {snub_named_text("pulley", build->drive->pulleys[i].name),
                                     snub_named_number("at", build->settings[i], SNUB_UNIT_MM, 1)};
        snub_text_puts(out, "; ");
        snub_words_fill(SNUB_MESSAGE("{pulley} at {at}"), places, 2, locale, out);
    }
}

void snub_belt_size_words(const snub_build *build, const snub_locale *locale, snub_text *out)
{
    if (locale == NULL || !locale->inches || !build->settled)
        return;
    snub_locale one = *locale;
    one.both = false; /* the name beside it has the metric length */
    const snub_named places[] = {snub_named_number("ribs", build->drive->belt.ribs, SNUB_UNIT_COUNT, 0),
                                 snub_named_number("length", build->length, SNUB_UNIT_MM, 0)};
    snub_text_puts(out, " (");
    snub_words_fill(SNUB_MESSAGE("{ribs} ribs, {length} effective"), places, 2, &one, out);
    snub_text_puts(out, ")");
}

void snub_build_words(const snub_build *build, bool settings, bool wet, const snub_locale *locale, snub_text *out)
{
    snub_text row = {0};
    snub_text_puts(out, build->settled ? build->designation : snub_say(locale, SNUB_MESSAGE("no belt")));
    snub_belt_size_words(build, locale, out);
    if (build->part != NULL)
        snub_text_printf(out, " (%s)", build->own_number != NULL ? build->own_number : build->part);
    if (settings)
        add_settings(build, locale, out);
    snub_row_words(&build->row, wet, locale, &row);
    if (row.length > 0)
        snub_text_printf(out, "; %s", row.data);
    snub_text_printf(out, "; %s: %s", snub_say(locale, SNUB_MESSAGE("verdict")),
                     snub_say(locale, build->judged ? snub_level_text(build->verdict) : SNUB_MESSAGE("not judged")));
    out->failed = out->failed || row.failed;
    snub_text_free(&row);
}

static void add_part(const char *word, snub_text *out)
{
    if (word != NULL && word[0] != '\0')
        snub_text_printf(out, "; %s", word);
}

void snub_legend_words(const snub_build *build, const snub_locale *locale, snub_text *out)
{
    const snub_row *row = &build->row;
    snub_text_puts(out, build->settled ? build->designation : snub_say(locale, SNUB_MESSAGE("no belt")));
    add_settings(build, locale, out);
    add_part(row->variant, out);
    add_part(row->package, out);
    for (int i = 0; i < row->option_count; i++) {
        snub_text_puts(out, "; ");
        snub_option_words(row, i, locale, out);
    }
    add_part(snub_say(locale, build->judged ? snub_level_text(build->verdict) : SNUB_MESSAGE("not judged")), out);
}

void snub_legend_head(const snub_build *build, const snub_locale *locale, snub_text *out)
{
    const snub_row *row = &build->row;
    snub_text_puts(out, snub_say(locale, SNUB_MESSAGE("build: belt; setting; engine front; package")));
    for (int i = 0; i < row->option_count; i++)
        add_part(row->options[i].path, out);
    add_part(snub_say(locale, SNUB_MESSAGE("verdict")), out);
}

void snub_set_words(const snub_row *row, const snub_locale *locale, snub_text *out)
{
    snub_row only = *row;
    only.variant = only.package = "";
    only.option_count = 0;
    snub_row_words(&only, false, locale, out);
}

void snub_chart_words(const snub_chart *chart, const snub_locale *locale, snub_text *out)
{
    snub_set_words(chart->builds[0].row, locale, out);
    if (chart->on_fewest)
        snub_text_printf(out, "%s%s", out->length > 0 ? "; " : "",
                         snub_say(locale, SNUB_MESSAGE("on the fewest belts")));
}

/* What is known of the runner-up's verdict. */
static const char *next_words(const snub_choices *choices)
{
    const snub_choice *next = &choices->choice[1];
    if (choices->count < 2 || (!next->judged && next->verdict == SNUB_PASS))
        return SNUB_MESSAGE("not judged");
    return next->judged                 ? snub_level_text(next->verdict)
           : next->verdict == SNUB_FAIL ? snub_level_text(SNUB_FAIL)
                                        : SNUB_MESSAGE("no better");
}

void snub_choice_words(const snub_belt *belt, const snub_choice *choice, snub_text *out)
{
    char designation[32];
    snub_designation(belt, choice->length, designation);
    snub_text_puts(out, designation);
    if (choice->part != NULL && strcmp(choice->part, designation) != 0)
        snub_text_printf(out, " (%s)", choice->part);
}

void snub_why_words(const snub_build *build, const snub_locale *locale, snub_text *out)
{
    static const char *const whys[] = {
        [SNUB_WHY_WRITTEN] = "",
        [SNUB_WHY_ONLY] = SNUB_MESSAGE("the only one of {offered} available that fits"),
        [SNUB_WHY_VERDICT] =
            SNUB_MESSAGE("of {fit} that fit, the one with the best verdict; next {second} ({verdict})"),
        [SNUB_WHY_GRIP] =
            SNUB_MESSAGE("of {fit} that fit, the best by tension per rib, then grip; next {second} ({verdict})"),
        [SNUB_WHY_SALE] =
            SNUB_MESSAGE("of {fit} that fit, the best of those that can be bought, by tension per rib, then "
                         "grip; next {second} ({verdict})"),
        [SNUB_WHY_SETTING] = SNUB_MESSAGE("the file gives the belt, the setting is chosen"),
        [SNUB_WHY_NEAREST] = SNUB_MESSAGE("none available fits over its whole tolerance; this comes nearest")};
    _Static_assert(sizeof whys / sizeof *whys == SNUB_WHYS_, "each reason has its words");
    const snub_choices *choices = &build->choices;
    const snub_choice *next = &choices->choice[1];
    snub_text second = {0};
    if (!build->settled)
        return;
    snub_text_puts(&second, "");
    if (choices->count > 1)
        snub_choice_words(&build->drive->belt, next, &second);
    const snub_named places[] = {snub_named_number("offered", choices->offered, SNUB_UNIT_COUNT, 0),
                                 snub_named_number("fit", choices->usable, SNUB_UNIT_COUNT, 0),
                                 snub_named_text("second", second.data != NULL ? second.data : ""),
                                 snub_named_words("verdict", next_words(choices))};
    snub_words_fill(whys[choices->why], places, (int)(sizeof places / sizeof places[0]), locale, out);
    out->failed = out->failed || second.failed;
    snub_text_free(&second);
}

const char *snub_offer_note(const snub_chart *chart)
{
    bool boosts = false;
    for (int i = 0; i < chart->build_count; i++)
        boosts = boosts || snub_charted_blower(&chart->builds[i]) >= 0;
    return boosts ? SNUB_MESSAGE("Boost is over ambient, at redline, without slip of the belt. What a build needs "
                                 "beyond this chart is on its fitting sheet.")
                  : SNUB_MESSAGE("What a build needs beyond this chart is on its fitting sheet.");
}

void snub_not_sold_words(const snub_charted *build, const snub_findings *findings, const snub_locale *locale,
                         snub_text *out)
{
    static const char *const reasons[SNUB_AREAS_] = {
        [SNUB_AREA_BELT] = SNUB_MESSAGE("belt or pulley over its limit"),
        [SNUB_AREA_ARM] = SNUB_MESSAGE("tensioner out of its range"),
        [SNUB_AREA_SLIP] = SNUB_MESSAGE("belt slips"),
        [SNUB_AREA_MOTION] = SNUB_MESSAGE("belt or tensioner swings too far"),
        [SNUB_AREA_AIR] = SNUB_MESSAGE("blower and engine do not match"),
        [SNUB_AREA_CLEARANCE] = SNUB_MESSAGE("not enough room"),
        [SNUB_AREA_FITTING] = SNUB_MESSAGE("belt cannot be put on"),
        [SNUB_AREA_HARDWARE] = SNUB_MESSAGE("bracket, bolt or bearing over its limit"),
    };
    if (!build->settled) {
        snub_text_puts(out, snub_say(locale, SNUB_MESSAGE("no belt on offer fits")));
        return;
    }
    for (int area = 0; area < SNUB_AREAS_; area++)
        if (snub_findings_count(findings, SNUB_FAIL, (snub_area)area) > 0)
            snub_text_printf(out, "%s%s", out->length > 0 ? ", " : "", snub_say(locale, reasons[area]));
}

void snub_placeholder_words(const snub_placeholders *left, const snub_locale *locale, snub_text *out)
{
    const snub_named places[] = {snub_named_number("value", left->count, SNUB_UNIT_COUNT, 0),
                                 snub_named_number("first", left->place.line, SNUB_UNIT_COUNT, 0)};
    snub_words_fill(snub_wording_describe(SNUB_SAYS_PLACEHOLDERS)->words, places, 2, locale, out);
}
