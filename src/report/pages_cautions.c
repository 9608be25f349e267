/** Cautions on pages. */
#include <math.h>
#include <string.h>

#include "lettering.h"
#include "words.h"

#define CAUTION 2.3
#define STEP_AFTER 8.0 /**< mm to keep below cautions, so that the step that they are for stands on their page */

/* Triangle with its exclamation mark, beside the words of every panel but NOTICE. */
static void alert(cairo_t *cr, double x, double y, double size)
{
    cairo_set_source_rgb(cr, 0, 0, 0);
    cairo_set_line_width(cr, size * 0.09);
    cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
    cairo_move_to(cr, x + size / 2, y);
    cairo_line_to(cr, x + size, y + size * 0.9);
    cairo_line_to(cr, x, y + size * 0.9);
    cairo_close_path(cr);
    cairo_stroke_preserve(cr);
    cairo_set_source_rgb(cr, 1, 1, 1);
    cairo_fill(cr);
    cairo_set_source_rgb(cr, 0, 0, 0);
    cairo_rectangle(cr, x + size * 0.455, y + size * 0.32, size * 0.09, size * 0.30);
    cairo_rectangle(cr, x + size * 0.455, y + size * 0.68, size * 0.09, size * 0.09);
    cairo_fill(cr);
}

#define PANEL 33.0    /**< width of the signal word's field, mm */
#define PANEL_GAP 2.0 /**< below a panel */
static const snub_type caution_type = {CAUTION, false, SNUB_INK_TEXT, -1};

static double panel_width(const snub_pages *pages)
{
    return pages->right - pages->left - PANEL - 5;
}

static double panel_height(snub_pages *pages, const char *text)
{
    return fmax(snub_type_block(pages, &caution_type, 0, 0, panel_width(pages), text, false) + 3, 8.5);
}

static void panel_of(snub_pages *pages, snub_signal signal, const char *text)
{
    static const struct {
        double red, green, blue;
        bool white;
    } panels[SNUB_SIGNALS_] = {
        {0.78, 0.06, 0.11, true}, {1.0, 0.51, 0.0, false}, {1.0, 0.84, 0.0, false}, {0.0, 0.32, 0.61, true}};
    const double panel = PANEL, height = panel_height(pages, text);
    snub_pages_room(pages, height + PANEL_GAP + STEP_AFTER);
    cairo_t *cr = pages->cr;
    double x = pages->left, y = pages->y;
    cairo_set_source_rgb(cr, panels[signal].red, panels[signal].green, panels[signal].blue);
    cairo_rectangle(cr, x, y, panel, height);
    cairo_fill(cr);
    snub_type_ink(cr, SNUB_INK_OUTLINE);
    cairo_set_line_width(cr, 0.3);
    cairo_rectangle(cr, x, y, pages->right - pages->left, height);
    cairo_stroke(cr);
    if (signal != SNUB_SIGNAL_NOTICE)
        alert(cr, x + 2, y + height / 2 - 2.6, 5.4);
    const char *word = SAY(snub_signal_text(signal));
    double room = panel - (signal == SNUB_SIGNAL_NOTICE ? 4 : 10.4), need = snub_text_measure(word, 3, true);
    double left = x + (signal == SNUB_SIGNAL_NOTICE ? 2 : 8.6);
    snub_pages_words(pages, left + room / 2, y + height / 2 + 1.4, need > room ? 3 * room / need : 3, true,
                     panels[signal].white ? SNUB_INK_PAPER : SNUB_INK_TEXT, 0, word);
    const double words = snub_type_block(pages, &caution_type, 0, 0, panel_width(pages), text, false);
    snub_type_block(pages, &caution_type, x + panel + 2.5, y + (height - words) / 2, panel_width(pages), text, true);
    pages->y += height + PANEL_GAP;
}

/* Of a signal word; NULL where there is none. */
static const char *cautions_text(snub_pages *pages, snub_caution_set set, snub_signal signal)
{
    snub_text words = {0};
    int count = 0;
    for (int i = 0; i < SNUB_CAUTIONS_; i++) {
        const snub_caution_info *info = snub_caution_describe((snub_caution)i);
        if (!(set & SNUB_CAUTION_BIT(i)) || info->signal != signal)
            continue;
        snub_text_printf(&words, "%s\xe2\x80\xa2 %s", count++ > 0 ? "\n" : "", SAY(info->words));
    }
    if (count == 0)
        return NULL;
    const char *text = snub_pages_keep(pages, &words);
    return count > 1 ? text : text + strlen("\xe2\x80\xa2 "); /* a bullet alone says nothing */
}

void snub_pages_cautions(snub_pages *pages, snub_caution_set set)
{
    for (int signal = 0; signal < SNUB_SIGNALS_; signal++) {
        const char *text = cautions_text(pages, set, (snub_signal)signal);
        if (text != NULL)
            panel_of(pages, (snub_signal)signal, text);
    }
}

double snub_pages_cautions_height(snub_pages *pages, snub_caution_set set)
{
    double height = 0;
    for (int signal = 0; signal < SNUB_SIGNALS_; signal++) {
        const char *text = cautions_text(pages, set, (snub_signal)signal);
        height += text != NULL ? panel_height(pages, text) + PANEL_GAP : 0;
    }
    return height;
}

void snub_pages_more_cautions(snub_pages *pages)
{
    snub_pages_quiet(pages, SAY("The other cautions are on the fitting sheet; the report has all of them."));
}
