/* What calms a drive, for people. */
#include "snub/calm.h"
#include "words.h"

static const snub_cell empty;

static const char *value_words(const snub_calm *c, double si, const snub_look *look, snub_arena *arena)
{
    static const struct {
        snub_unit unit;
        int decimals;
    } shown[] = {[SNUB_CALM_INERTIA] = {SNUB_UNIT_KG_M2, 5}, [SNUB_CALM_ARM_INERTIA] = {SNUB_UNIT_KG_M2, 5},
                 [SNUB_CALM_RATE] = {SNUB_UNIT_N_M_DEG, 2},  [SNUB_CALM_FRICTION] = {SNUB_UNIT_NONE, 2},
                 [SNUB_CALM_ARM_LENGTH] = {SNUB_UNIT_MM, 1}, [SNUB_CALM_BELT] = {SNUB_UNIT_N, 0},
                 [SNUB_CALM_PLACE_X] = {SNUB_UNIT_MM, 1},    [SNUB_CALM_PLACE_Y] = {SNUB_UNIT_MM, 1},
                 [SNUB_CALM_OVERRUNS] = {SNUB_UNIT_NONE, 0}};
    if (isnan(si))
        return c->kind == SNUB_CALM_OVERRUNS && c->helps ? "true" : "";
    char text[SNUB_VALUE_TEXT];
    return snub_format(arena, "%s",
                       snub_value_string(look->locale, si, shown[c->kind].unit, shown[c->kind].decimals, text));
}

static const char *key_words(const snub_calm *c, snub_arena *arena)
{
    return c->kind == SNUB_CALM_PLACE_X   ? snub_format(arena, "%s, x", c->path)
           : c->kind == SNUB_CALM_PLACE_Y ? snub_format(arena, "%s, y", c->path)
                                          : c->path;
}

static snub_cell percent(double part)
{
    return isnan(part) ? empty : snub_cell_number(part / SNUB_PERCENT, SNUB_MARK_NONE);
}

static snub_status add_table(const snub_calming *calming, const snub_look *look, snub_arena *arena, snub_text *out,
                             snub_error *error)
{
    static const snub_column english[] = {
        {SNUB_MESSAGE("change"), "", SNUB_CELL_TEXT, 0},   {SNUB_MESSAGE("now"), "", SNUB_CELL_TEXT, 0},
        {SNUB_MESSAGE("swing"), "%", SNUB_CELL_NUMBER, 1}, {SNUB_MESSAGE("arm"), "%", SNUB_CELL_NUMBER, 1},
        {SNUB_MESSAGE("best"), "", SNUB_CELL_TEXT, 0},     {SNUB_MESSAGE("then"), "%", SNUB_CELL_NUMBER, 0}};
    enum { COLUMNS = sizeof english / sizeof english[0] };
    snub_column columns[COLUMNS];
    snub_cell *cells = SNUB_NEW(arena, snub_cell, COLUMNS * calming->count), *cell = cells;
    if (cells == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    for (int i = 0; i < COLUMNS; i++) {
        columns[i] = english[i];
        columns[i].title = snub_say(look->locale, english[i].title);
    }
    for (int k = 0; k < calming->count; k++) {
        const snub_calm *c = &calming->calm[k];
        *cell++ = snub_cell_text(key_words(c, arena));
        *cell++ = snub_cell_text(value_words(c, c->now, look, arena));
        *cell++ = percent(c->share_by);
        *cell++ = percent(c->arm_by);
        *cell++ = snub_cell_text(c->helps ? value_words(c, c->to, look, arena) : "-");
        *cell++ = c->helps ? snub_cell_number(c->there.share / SNUB_PERCENT, SNUB_MARK_NONE) : empty;
    }
    const snub_data_table table = {
        .name = "remedies", .column_count = COLUMNS, .columns = columns, .row_count = calming->count, .cells = cells};
    return snub_table_show(&table, look, out, error);
}

static const char *span_words(const snub_vibration *v, int i, snub_arena *arena)
{
    return snub_format(arena, "%s - %s", v->drive->pulleys[i].name,
                       v->drive->pulleys[(i + 1) % v->drive->pulley_count].name);
}

static void add_now(const snub_vibration *v, const snub_look *look, snub_arena *arena, snub_text *out)
{
    const snub_roughness *now = &v->calming->now;
    const snub_named named[] = {snub_named_text("span", span_words(v, now->span, arena)),
                                snub_named_number("share", now->share / SNUB_PERCENT, SNUB_UNIT_NONE, 0),
                                snub_named_number("speed", now->speed, SNUB_UNIT_RPM, 0),
                                snub_named_number("order", now->order, SNUB_UNIT_NONE, 1),
                                snub_named_number("arm", now->arm / SNUB_DEG, SNUB_UNIT_NONE, 2)};
    snub_words_paragraph(
        look,
        SNUB_MESSAGE("Worst swing now: {share} % of the mean tension in {span}, order {order} at {speed}; the "
                     "arm swings by up to {arm} deg."),
        named, 5, out);
}

/* Findings that come, or that go, "fail slip (blower), marginal ..."; "" for none. */
static const char *findings_words(const snub_calm *c, bool comes, snub_arena *arena)
{
    snub_text words = {0};
    for (int k = 0; k < c->change_count && k < SNUB_VERDICT_CHANGES_MOST; k++) {
        const snub_verdict_change *f = &c->change[k];
        if (f->comes != comes)
            continue;
        snub_text_printf(&words, "%s%s %s%s%s%s", words.length > 0 ? ", " : "", snub_level_text(f->level), f->rule,
                         f->about[0] ? " (" : "", f->about, f->about[0] ? ")" : "");
    }
    return words.length > 0 ? snub_words_copy(&words, arena) : "";
}

static void add_best(const snub_vibration *v, const snub_look *look, snub_arena *arena, snub_text *out)
{
    const snub_calm *c = &v->calming->calm[0];
    const char *come = findings_words(c, true, arena), *go = findings_words(c, false, arena);
    const snub_named named[] = {
        snub_named_text("set", snub_format(arena, "%s=%s", c->path, c->set)),
        snub_named_number("share", c->there.share / SNUB_PERCENT, SNUB_UNIT_NONE, 0),
        snub_named_number("arm", c->there.arm / SNUB_DEG, SNUB_UNIT_NONE, 2),
        snub_named_words("before", snub_level_text(v->build->verdict)),
        snub_named_words("after", snub_level_text(c->verdict)),
        snub_named_text("come", come != NULL ? come : ""),
        snub_named_text("go", go != NULL ? go : ""),
    };
    if (v->calming->count == 0 || !c->helps) {
        snub_words_paragraph(look, SNUB_MESSAGE("No single change within these bounds helps."), NULL, 0, out);
        return;
    }
    snub_words_paragraph(
        look,
        SNUB_MESSAGE("Helps most: `{set}`. The worst swing is then {share} % of the mean tension, the arm's {arm} "
                     "deg. Verdict before: {before}; after: {after}."),
        named, 7, out);
    if (come != NULL && come[0] != '\0')
        snub_words_paragraph(look, SNUB_MESSAGE("It brings: {come}."), named, 7, out);
    if (go != NULL && go[0] != '\0')
        snub_words_paragraph(look, SNUB_MESSAGE("It takes away: {go}."), named, 7, out);
}

snub_status snub_calming_show(const snub_vibration *v, const snub_look *look, snub_arena *arena, snub_text *out,
                              snub_error *error)
{
    if (!v->calming->known) {
        snub_words_paragraph(look, SNUB_MESSAGE("Remedies are not known: nothing shakes the belt."), NULL, 0, out);
        return SNUB_OK;
    }
    snub_text_printf(
        out, "\n%s\n",
        snub_say(look->locale, SNUB_MESSAGE("What calms it: each change by itself, belt and settings as they are")));
    add_now(v, look, arena, out);
    snub_words_paragraph(
        look,
        SNUB_MESSAGE("Swing and arm: by how many per cent the worst swings go for a tenth more of it (friction "
                     "0.05 more, a place 1 mm further). Then: the worst swing at the best value."),
        NULL, 0, out);
    snub_text_puts(out, "\n");
    const snub_status status = add_table(v->calming, look, arena, out, error);
    if (status == SNUB_OK)
        add_best(v, look, arena, out);
    return status;
}
