/* Arm and spans together, for people. */
#include "words.h"

enum { COLUMNS = 4 };
static const double SHARE_SHOWN = 0.05; /* of the energy; less is not worth a word */

/* Pulleys and arm, then the two spans. */
static double share_of(const snub_vibration *v, const snub_coupled_mode *mode, int part)
{
    const int movers = v->motion->count;
    return part < movers ? mode->mode.energy[part] : mode->span_energy[part - movers];
}

static void part_words(const snub_vibration *v, const snub_coupled_modes *modes, int part, snub_text *out)
{
    const int movers = v->motion->count, n = v->drive->pulley_count;
    if (part < movers) {
        snub_mover_words(v, part, out);
        return;
    }
    const int span = modes->span[part - movers];
    snub_text_printf(out, "%s - %s", v->drive->pulleys[span].name, v->drive->pulleys[(span + 1) % n].name);
}

/* "crank - tensioner 81 %, tensioner.arm 12 %", the greatest first. */
static const char *moving_words(const snub_vibration *v, const snub_coupled_modes *modes, int which, snub_arena *arena)
{
    const snub_coupled_mode *mode = &modes->mode[which];
    snub_text words = {0};
    double bound = INFINITY;
    for (;;) {
        int next = -1;
        for (int i = 0; i < v->motion->count + 2; i++) {
            const double share = share_of(v, mode, i);
            if (share < bound && (next < 0 || share > share_of(v, mode, next)))
                next = i;
        }
        if (next < 0 || share_of(v, mode, next) < SHARE_SHOWN)
            break;
        bound = share_of(v, mode, next);
        snub_text_puts(&words, words.length > 0 ? ", " : "");
        part_words(v, modes, next, &words);
        snub_text_printf(&words, " %.0f %%", bound / SNUB_PERCENT);
    }
    return snub_words_copy(&words, arena);
}

static void add_missing(const snub_vibration *v, const snub_look *look, snub_text *out)
{
    for (int k = 0; k < 2; k++) {
        const snub_named named[] = {snub_named_text("why", v->coupled[k].why.message)};
        if (!v->coupled[k].found && (k == 0 || v->coupled[0].found))
            snub_words_paragraph(look, SNUB_MESSAGE("No frequencies of arm and spans together: {why}."), named, 1, out);
    }
}

snub_status snub_coupled_show(const snub_vibration *v, const snub_look *look, snub_arena *arena, snub_text *out,
                              snub_error *error)
{
    const char *const crank[] = {snub_say(look->locale, SNUB_MESSAGE("held")),
                                 snub_say(look->locale, SNUB_MESSAGE("free"))};
    const snub_column columns[COLUMNS] = {
        {snub_say(look->locale, SNUB_MESSAGE("crank")), "", SNUB_CELL_TEXT, 0},
        {snub_say(look->locale, SNUB_MESSAGE("frequency")), "Hz", SNUB_CELL_NUMBER, 1},
        {snub_say(look->locale, SNUB_MESSAGE("firing meets it")), "rpm", SNUB_CELL_NUMBER, 0},
        {snub_say(look->locale, SNUB_MESSAGE("what moves, share of energy")), "", SNUB_CELL_TEXT, 0}};
    snub_cell *cells = SNUB_NEW(arena, snub_cell, 2 * COLUMNS * SNUB_COUPLED_MOST), *cell = cells;
    if (cells == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    for (int k = 0; k < 2; k++) {
        const snub_coupled_modes *modes = &v->coupled[k].modes;
        for (int i = 0; v->coupled[k].found && i < modes->count; i++) {
            const double frequency = modes->mode[i].mode.frequency;
            *cell++ = snub_cell_text(crank[k]);
            *cell++ = snub_cell_number(frequency, SNUB_MARK_NONE);
            *cell++ = snub_cell_number(frequency * SNUB_MINUTE / v->firing, SNUB_MARK_NONE);
            *cell++ = snub_cell_text(moving_words(v, modes, i, arena));
        }
    }
    add_missing(v, look, out);
    const snub_data_table table = {.name = "coupled",
                                   .column_count = COLUMNS,
                                   .columns = columns,
                                   .row_count = (int)(cell - cells) / COLUMNS,
                                   .cells = cells};
    if (table.row_count == 0)
        return SNUB_OK;
    snub_text_printf(out, "\n%s\n\n",
                     snub_say(look->locale, SNUB_MESSAGE("Arm and the spans beside it as one, at the same speed")));
    return snub_table_show(&table, look, out, error);
}
