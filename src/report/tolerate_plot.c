/* Kits of a study in histograms. */
#include "snub/tolerate_plot.h"

#include <math.h>

#include "snub/kit_histogram.h"
#include "tolerate_words.h"
#include "words.h"

typedef struct plotter {
    const snub_tolerated *of;
    const snub_locale *locale;
    snub_arena *arena;
    snub_kit_histogram histogram[SNUB_FOLLOWED_];
    snub_bars bars[SNUB_FOLLOWED_];
    int count;
} plotter;

static double shown(const plotter *p, const snub_followed_shown *as, double si)
{
    const char *unit = snub_unit_describe(as->unit)->text;
    return snub_number_shown(p->locale, snub_in_unit(as->unit, si), unit, as->decimals).value;
}

static void add_beyond(const plotter *p, const char *words, int kits, double limit, const snub_followed_shown *as,
                       snub_text *out)
{
    char number[32];
    if (isnan(limit))
        return;
    snub_text_puts(out, out->length > 0 ? "; " : "");
    snub_text_printf(out, snub_say(p->locale, words),
                     snub_value_string(p->locale, limit, as->unit, as->decimals, (char[SNUB_VALUE_TEXT]){0}), kits,
                     snub_number_text(p->locale, 100.0 * kits / p->of->kit_count, 1, number));
}

/* How many kits lie beyond the limits, and how many do not have the number. */
static const char *note_of(const plotter *p, const snub_kit_histogram *h, const snub_followed_shown *as)
{
    snub_text words = {0};
    add_beyond(p, h->below == 1 ? SNUB_MESSAGE("below %s: %d kit (%s %%)") : SNUB_MESSAGE("below %s: %d kits (%s %%)"),
               h->below, h->low_limit, as, &words);
    add_beyond(p, h->above == 1 ? SNUB_MESSAGE("above %s: %d kit (%s %%)") : SNUB_MESSAGE("above %s: %d kits (%s %%)"),
               h->above, h->high_limit, as, &words);
    if (words.length == 0)
        snub_text_puts(&words, snub_say(p->locale, SNUB_MESSAGE("no limit")));
    if (h->endless > 0)
        snub_text_printf(&words, snub_say(p->locale, SNUB_MESSAGE("; without bound, not drawn: %d")), h->endless);
    if (h->count < p->of->kit_count)
        snub_text_printf(&words, snub_say(p->locale, SNUB_MESSAGE("; %d kits without this value")),
                         p->of->kit_count - h->count);
    return snub_words_copy(&words, p->arena);
}

static bool add_number(plotter *p, snub_followed followed)
{
    const snub_followed_shown *as = snub_followed_describe(followed);
    snub_kit_histogram *h = &p->histogram[followed];
    if (snub_kit_histogram_of(p->of, followed, h) != SNUB_OK)
        return false;
    if (h->class_count == 0)
        return true;
    snub_bars *bars = &p->bars[p->count++];
    const char *unit = snub_unit_describe(as->unit)->text;
    *bars = (snub_bars){.title = as->words,
                        .unit = snub_number_shown(p->locale, 0.0, unit, as->decimals).unit,
                        .count = h->class_count,
                        .height = h->kits,
                        .low = shown(p, as, h->from),
                        .high = shown(p, as, h->from + h->class_count * h->width),
                        .nominal = shown(p, as, p->of->spread[followed].nominal),
                        .limit = {shown(p, as, h->low_limit), shown(p, as, h->high_limit)},
                        .note = note_of(p, h, as)};
    return bars->note != NULL;
}

/* "120 kits of 7PK1926, seed 1; 3 fail" */
static const char *summary(const plotter *p)
{
    snub_text words = {0};
    char share[32];
    const snub_tolerated *of = p->of;
    const int failing = of->by_level[SNUB_FAIL];
    snub_text_printf(&words,
                     snub_say(p->locale, of->kit_count == 1
                                             ? SNUB_MESSAGE("%d kit of the build with belt %s, seed %ld.")
                                             : SNUB_MESSAGE("%d kits of the build with belt %s, seed %ld.")),
                     of->kit_count, of->build->designation, (long)of->seed);
    snub_text_puts(&words, " ");
    snub_text_printf(&words,
                     snub_say(p->locale, failing == 1 ? SNUB_MESSAGE("By all rules %d kit fails (%s %%).")
                                                      : SNUB_MESSAGE("By all rules %d kits fail (%s %%).")),
                     failing, snub_number_text(p->locale, 100.0 * failing / fmax(of->kit_count, 1.0), 1, share));
    return snub_words_copy(&words, p->arena);
}

snub_status snub_tolerate_plot(const snub_tolerated *tolerated, const snub_locale *locale, snub_arena *arena,
                               snub_drawing *drawing, snub_error *error)
{
    plotter *p = SNUB_NEW(arena, plotter, 1);
    bool good = p != NULL;
    if (good)
        *p = (plotter){.of = tolerated, .locale = locale, .arena = arena};
    for (int f = 0; good && f < SNUB_FOLLOWED_; f++)
        good = add_number(p, (snub_followed)f);
    const char *notes[] = {
        good ? summary(p) : NULL,
        snub_say(locale, SNUB_MESSAGE("Nominal: the kit with all values as in the file. Shares are of "
                                      "all kits."))};
    if (!good || notes[0] == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    if (p->count == 0)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL,
                         "no kit has a number to draw; as text the study tells by which rules they fail");
    const snub_bars_sheet sheet = {
        .title = tolerated->build->drive->title,
        .y_title = snub_say(locale, SNUB_MESSAGE("kits")),
        .nominal_name = snub_say(locale, SNUB_MESSAGE("nominal")),
        .limit_name = {snub_say(locale, SNUB_MESSAGE("lower limit")), snub_say(locale, SNUB_MESSAGE("upper limit"))},
        .panel_count = p->count,
        .panels = p->bars,
        .note_count = 2,
        .notes = notes};
    return snub_bars_draw(&sheet, locale, arena, drawing, error);
}
