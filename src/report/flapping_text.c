/* Spans that flap, for people. */
#include "snub/flapping.h"
#include "table.h"
#include "words.h"

static const snub_cell empty;

static const char *span_words(const snub_drive *drive, int i, snub_arena *arena)
{
    return snub_format(arena, "%s - %s", drive->pulleys[i].name, drive->pulleys[(i + 1) % drive->pulley_count].name);
}

static bool flaps(const snub_flap_crossing *c)
{
    return !isnan(c->from);
}

static const char *zone_words(const snub_flap_crossing *c, snub_arena *arena)
{
    return c->k == 0      ? snub_format(arena, "f%d", c->n)
           : c->n == c->k ? snub_format(arena, "2 f%d", c->n)
                          : snub_format(arena, "f%d + f%d", c->n, c->k);
}

static int put_crossings(const snub_vibration *v, snub_arena *arena, snub_cell *cell)
{
    int rows = 0;
    for (int k = 0; k < v->flapping->count; k++) {
        const snub_flap_crossing *c = &v->flapping->crossing[k];
        if (!flaps(c))
            continue;
        *cell++ = snub_cell_text(span_words(v->drive, c->span, arena));
        *cell++ = snub_cell_number(c->order, SNUB_MARK_NONE);
        *cell++ = snub_cell_text(zone_words(c, arena));
        *cell++ = snub_cell_number(c->from / SNUB_RPM, SNUB_MARK_NONE);
        *cell++ = snub_cell_number(c->to / SNUB_RPM, SNUB_MARK_NONE);
        *cell++ = snub_cell_number(c->swing, SNUB_MARK_NONE);
        *cell++ = snub_cell_number(c->needed, SNUB_MARK_NONE);
        *cell++ = isnan(c->flap) ? empty : snub_cell_number(c->flap / SNUB_MM, SNUB_MARK_NONE);
        rows++;
    }
    return rows;
}

static snub_status show_table(const char *title, snub_data_table *table, const snub_look *look, snub_arena *arena,
                              snub_text *out, snub_error *error)
{
    snub_column columns[8];
    for (int i = 0; i < table->column_count; i++) {
        columns[i] = table->columns[i];
        columns[i].title = snub_say(look->locale, columns[i].title);
    }
    table->columns = columns;
    return snub_table_titled(title, table, look, arena, out, error);
}

/* The swing that comes nearest to what it takes, of those that stay under it. */
static void add_nearest(const snub_vibration *v, const snub_look *look, snub_arena *arena, snub_text *out)
{
    const snub_flap_crossing *most = NULL;
    bool any = false;
    for (int k = 0; k < v->flapping->count; k++) {
        const snub_flap_crossing *c = &v->flapping->crossing[k];
        any = any || flaps(c);
        if (!flaps(c) && (most == NULL || c->swing / c->needed > most->swing / most->needed))
            most = c;
    }
    const bool alone = v->speeds == 1;
    if (!any)
        snub_words_paragraph(look,
                             alone ? SNUB_MESSAGE("No span is made to flap by its tension at this speed.")
                                   : SNUB_MESSAGE("No span is made to flap by its tension between idle and redline."),
                             NULL, 0, out);
    if (most == NULL)
        return;
    const snub_named named[] = {snub_named_text("span", span_words(v->drive, most->span, arena)),
                                snub_named_number("order", most->order, SNUB_UNIT_NONE, 1),
                                snub_named_number("speed", most->at, SNUB_UNIT_RPM, 0),
                                snub_named_text("zone", zone_words(most, arena)),
                                snub_named_number("swing", most->swing, SNUB_UNIT_N, 0),
                                snub_named_number("needed", most->needed, SNUB_UNIT_N, 0)};
    snub_words_paragraph(
        look,
        SNUB_MESSAGE("Nearest to it of the others: {span} by order {order} at {speed} ({zone}), with {swing} of "
                     "the {needed} that it takes."),
        named, 6, out);
}

static snub_status add_crossings(const snub_vibration *v, const snub_look *look, snub_arena *arena, snub_text *out,
                                 snub_error *error)
{
    static const snub_column columns[] = {
        {SNUB_MESSAGE("span"), "", SNUB_CELL_TEXT, 0},      {SNUB_MESSAGE("order"), "", SNUB_CELL_NUMBER, 1},
        {SNUB_MESSAGE("meets"), "", SNUB_CELL_TEXT, 0},     {SNUB_MESSAGE("from"), "rpm", SNUB_CELL_NUMBER, 0},
        {SNUB_MESSAGE("to"), "rpm", SNUB_CELL_NUMBER, 0},   {SNUB_MESSAGE("swing"), "N", SNUB_CELL_NUMBER, 0},
        {SNUB_MESSAGE("needed"), "N", SNUB_CELL_NUMBER, 0}, {SNUB_MESSAGE("flap"), "mm", SNUB_CELL_NUMBER, 1}};
    snub_cell *cells = SNUB_NEW(arena, snub_cell, 8 * (v->flapping->count + 1));
    if (cells == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    snub_data_table table = {.name = "flap", .column_count = 8, .columns = columns, .cells = cells};
    table.row_count = put_crossings(v, arena, cells);
    if (table.row_count == 0)
        return SNUB_OK;
    return show_table(SNUB_MESSAGE("Spans that their tension makes flap: amplitudes of tension and flap"), &table, look,
                      arena, out, error);
}

static const char *beside_words(const snub_vibration *v, const snub_span_flap *span, const snub_look *look,
                                snub_arena *arena)
{
    switch (span->beside) {
    case SNUB_BESIDE_PULLEY: return v->drive->pulleys[span->index].name;
    case SNUB_BESIDE_SPAN:
        return snub_format(arena, "%s %s", snub_say(look->locale, SNUB_MESSAGE("span")),
                           span_words(v->drive, span->index, arena));
    case SNUB_BESIDE_OBSTACLE: return span->obstacle->name;
    case SNUB_BESIDE_NOTHING: break;
    }
    return "";
}

/* Less than this is not worth a row, m. */
static const double FLAP_SHOWN = 0.05e-3;

static snub_status add_room(const snub_vibration *v, const snub_look *look, snub_arena *arena, snub_text *out,
                            snub_error *error)
{
    static const snub_column columns[] = {
        {SNUB_MESSAGE("span"), "", SNUB_CELL_TEXT, 0},     {SNUB_MESSAGE("engine"), "rpm", SNUB_CELL_NUMBER, 0},
        {SNUB_MESSAGE("flap"), "mm", SNUB_CELL_NUMBER, 1}, {SNUB_MESSAGE("by the arm"), "mm", SNUB_CELL_NUMBER, 1},
        {SNUB_MESSAGE("gap"), "mm", SNUB_CELL_NUMBER, 1},  {SNUB_MESSAGE("left"), "mm", SNUB_CELL_NUMBER, 1},
        {SNUB_MESSAGE("beside"), "", SNUB_CELL_TEXT, 0}};
    snub_cell *cells = SNUB_NEW(arena, snub_cell, 7 * v->flapping->spans), *cell = cells;
    if (cells == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    snub_data_table table = {.name = "room", .column_count = 7, .columns = columns, .cells = cells};
    for (int i = 0; i < v->flapping->spans; i++) {
        const snub_span_flap *span = &v->flapping->span[i];
        const bool beside = span->beside != SNUB_BESIDE_NOTHING;
        if (isnan(span->speed) || span->flap < FLAP_SHOWN)
            continue;
        *cell++ = snub_cell_text(span_words(v->drive, i, arena));
        *cell++ = snub_cell_number(span->speed / SNUB_RPM, SNUB_MARK_NONE);
        *cell++ = snub_cell_number(span->flap / SNUB_MM, SNUB_MARK_NONE);
        *cell++ = snub_cell_number(span->of_end / SNUB_MM, SNUB_MARK_NONE);
        *cell++ = beside ? snub_cell_number(span->gap / SNUB_MM, SNUB_MARK_NONE) : empty;
        *cell++ = beside ? snub_cell_number(span->room / SNUB_MM, SNUB_MARK_NONE) : empty;
        *cell++ = snub_cell_text(beside_words(v, span, look, arena));
        table.row_count++;
    }
    if (table.row_count == 0)
        return SNUB_OK;
    return show_table(SNUB_MESSAGE("How far the spans flap at most, to either side, and what is beside them"), &table,
                      look, arena, out, error);
}

snub_status snub_flapping_show(const snub_vibration *v, const snub_look *look, snub_arena *arena, snub_text *out,
                               snub_error *error)
{
    if (!v->uneven.known || isnan(v->modes_speed))
        return SNUB_OK;
    snub_status status = add_crossings(v, look, arena, out, error);
    add_nearest(v, look, arena, out);
    if (status == SNUB_OK)
        status = add_room(v, look, arena, out, error);
    return status;
}
