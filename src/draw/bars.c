/* Histograms, two beside each other. */
#include <math.h>

#include "compose.h"
#include "ticks.h"

#define SHEET 190.0
#define ROW 64.0        /**< height of a panel with its words */
#define TITLE 9.0       /**< of the sheet */
#define EDGE 15.0       /**< left of a panel, for its numbers */
#define RIGHT 5.0       /**< of a panel */
#define HEAD 16.0       /**< over a panel: title, note, names of lines */
#define FOOT 10.0       /**< under it: numbers */
#define NOTE 3.2        /**< a line under the panels */
#define LETTERS 2.1     /**< capitals */
#define HEADROOM 1.06   /**< of the y axis over the tallest bar */
#define KITS_SHARE 0.25 /**< of the axis that the classes keep where a limit is shown as well */

typedef struct frame {
    const snub_bars_sheet *sheet;
    const snub_bars *bars;
    const snub_locale *locale;
    snub_drawing *drawing;
    double low, high, most;          /* of the axes */
    double first, width;             /* of the classes as drawn */
    double left, right, bottom, top; /* sheet */
} frame;

static double at_x(const frame *f, double x)
{
    return f->left + (x - f->low) / (f->high - f->low) * (f->right - f->left);
}

static double at_y(const frame *f, double y)
{
    return f->bottom + y / f->most * (f->top - f->bottom);
}

static void words(const frame *f, double x, double y, double height, int across, bool bold, const char *text)
{
    const snub_lettering lettering = {.height = height, .across = across, .up = -1, .ink = SNUB_INK_TEXT, .bold = bold};
    snub_draw_text(f->drawing, SNUB_LAYER_LABEL, &lettering, x, y, text);
}

/* Smaller where there is no room for it. */
static void words_within(const frame *f, double x, double y, double height, double room, bool bold, const char *text)
{
    const double need = snub_text_measure(text, height, bold);
    words(f, x, y, need > room ? height * room / need : height, -1, bold, text);
}

/* ---- axes -------------------------------------------------------------------------------------------------------- */

/* All have one number: a bar about it, so narrow that no limit lies in it. */
static void widen_for_one(frame *f)
{
    const double value = f->bars->low;
    double room = value != 0.0 ? 0.05 * fabs(value) : 0.5;
    for (int side = 0; side < 2; side++) {
        const double off = fabs(f->bars->limit[side] - value);
        if (off > 0.0)
            room = fmin(room, 2.0 * off);
    }
    f->low = value - room;
    f->high = value + room;
    f->width = 0.4 * room;
    f->first = value - 0.5 * f->width;
}

static void find_range(frame *f)
{
    const snub_bars *b = f->bars;
    const double whole = b->high - b->low;
    f->first = b->low;
    f->width = whole / b->count;
    f->low = b->low;
    f->high = b->high;
    if (!(whole > 0.0))
        widen_for_one(f);
    const double classes = f->high - f->low;
    for (int side = 0; side < 2; side++) {
        const double low = fmin(f->low, b->limit[side]), high = fmax(f->high, b->limit[side]); /* NAN: neither */
        if (classes >= KITS_SHARE * (high - low)) {
            f->low = low;
            f->high = high;
        }
    }
    if (isfinite(b->nominal)) {
        f->low = fmin(f->low, b->nominal);
        f->high = fmax(f->high, b->nominal);
    }
    const double margin = 0.03 * (f->high - f->low);
    f->low -= margin;
    f->high += margin;
    f->most = 1.0;
    for (int k = 0; k < b->count; k++)
        f->most = fmax(f->most, HEADROOM * b->height[k]);
}

static void x_axis(const frame *f)
{
    const snub_pen pen = snub_pen_make(SNUB_INK_TEXT, SNUB_DASH_SOLID, 0.25);
    double first, step;
    int count, decimals;
    char number[32];
    snub_ticks(f->low, f->high, 6, &first, &step, &count, &decimals);
    snub_draw_line(f->drawing, SNUB_LAYER_FRAME, pen, f->left, f->bottom, f->right, f->bottom);
    for (int i = 0; i < count; i++) {
        const double value = fabs(first + i * step) < step * 1e-9 ? 0.0 : first + i * step, x = at_x(f, value);
        snub_draw_line(f->drawing, SNUB_LAYER_FRAME, pen, x, f->bottom, x, f->bottom - 1.0);
        words(f, x, f->bottom - 4.2, LETTERS, 0, false, snub_number_text(f->locale, value, decimals, number));
    }
}

static void y_axis(const frame *f)
{
    const snub_pen grid = snub_pen_make(SNUB_INK_FAINT, SNUB_DASH_SOLID, 0.13);
    double first, step;
    int count, decimals;
    char number[32];
    snub_ticks(0.0, f->most, 5, &first, &step, &count, &decimals);
    for (int i = 0; i < count; i++) {
        const double value = first + i * step, y = at_y(f, value);
        if (value != floor(value)) /* there are no half kits */
            continue;
        snub_draw_line(f->drawing, SNUB_LAYER_GRID, grid, f->left, y, f->right, y);
        words(f, f->left - 1.2, y - 0.5 * LETTERS, LETTERS, 1, false, snub_number_text(f->locale, value, 0, number));
    }
    const snub_lettering up = {
        .height = LETTERS, .angle = SNUB_PI / 2, .across = 0, .up = -1, .ink = SNUB_INK_TEXT, .bold = true};
    snub_draw_text(f->drawing, SNUB_LAYER_LABEL, &up, f->left - 9.0, 0.5 * (f->bottom + f->top), f->sheet->y_title);
}

/* ---- what is shown ----------------------------------------------------------------------------------------------- */

static void draw_bars(const frame *f)
{
    for (int k = 0; k < f->bars->count; k++) {
        const double low = at_x(f, f->first + k * f->width), high = at_x(f, f->first + (k + 1) * f->width);
        const double top = at_y(f, f->bars->height[k]);
        snub_vertex v[4] = {{low, f->bottom, 0}, {high, f->bottom, 0}, {high, top, 0}, {low, top, 0}};
        const snub_loop loop = {.count = 4, .closed = true, .vertex = v};
        if (f->bars->height[k] <= 0)
            continue;
        snub_draw_hatch(f->drawing, SNUB_LAYER_PLOT, snub_pen_make(SNUB_INK_SERIES_1, SNUB_DASH_SOLID, 0.1), &loop, 1,
                        SNUB_PI / 4, 1.4);
        snub_draw_path(f->drawing, SNUB_LAYER_PLOT, snub_pen_make(SNUB_INK_SERIES_1, SNUB_DASH_SOLID, 0.25),
                       SNUB_INK_NONE, v, 4, true);
    }
}

/* A vertical with its name over it; names of limits one line higher than that of the nominal value. */
static void draw_line(const frame *f, double value, bool limit, const char *name)
{
    if (!(value >= f->low) || !(value <= f->high))
        return;
    const double x = at_x(f, value), y = f->top + (limit ? 3.6 : 0.8), half = 0.5 * snub_text_measure(name, 1.9, limit);
    const snub_pen pen = limit ? snub_pen_make(SNUB_INK_TEXT, SNUB_DASH_SOLID, 0.7)
                               : snub_pen_make(SNUB_INK_TEXT, SNUB_DASH_CENTRE, 0.35);
    snub_draw_line(f->drawing, SNUB_LAYER_PLOT, pen, x, f->bottom, x, f->top + 0.4);
    words(f, fmin(fmax(x, f->left + half), f->right - half), y, 1.9, 0, limit, name);
}

static void draw_panel(frame *f)
{
    const snub_bars *b = f->bars;
    const char *title = snub_say(f->locale, b->title);
    if (b->unit != NULL && b->unit[0] != '\0')
        title = snub_format(f->drawing->arena, "%s, %s", title, snub_say(f->locale, b->unit));
    f->drawing->failed = f->drawing->failed || title == NULL;
    find_range(f);
    y_axis(f);
    x_axis(f);
    draw_bars(f);
    draw_line(f, b->nominal, false, f->sheet->nominal_name);
    for (int side = 0; side < 2; side++)
        draw_line(f, b->limit[side], true, f->sheet->limit_name[side]);
    words_within(f, f->left, f->top + 11.5, 2.6, f->right - f->left, true, title != NULL ? title : "");
    if (b->note != NULL)
        words_within(f, f->left, f->top + 7.6, 1.9, f->right - f->left, false, b->note);
}

snub_status snub_bars_draw(const snub_bars_sheet *sheet, const snub_locale *locale, snub_arena *arena,
                           snub_drawing *drawing, snub_error *error)
{
    frame f = {.sheet = sheet, .locale = locale, .drawing = drawing};
    if (sheet->panel_count < 1)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "a sheet of histograms needs a panel");
    const int rows = (sheet->panel_count + 1) / 2;
    const double foot = 3.0 + NOTE * sheet->note_count, height = TITLE + ROW * rows + foot;
    snub_drawing_init(drawing, arena, 1);
    drawing->title = sheet->title;
    snub_drawing_frame(drawing, 0, 0, SHEET, height);
    words_within(&f, EDGE, height - 6.5, 3.2, SHEET - EDGE - RIGHT, true, sheet->title != NULL ? sheet->title : "");
    for (int i = 0; i < sheet->note_count; i++)
        words_within(&f, EDGE, 1.8 + (sheet->note_count - 1 - i) * NOTE, 1.8, SHEET - EDGE - RIGHT, false,
                     sheet->notes[i]);
    for (int i = 0; i < sheet->panel_count; i++) {
        f.bars = &sheet->panels[i];
        f.left = (i % 2) * 0.5 * SHEET + EDGE;
        f.right = (i % 2 + 1) * 0.5 * SHEET - RIGHT;
        f.top = height - TITLE - ROW * (i / 2) - HEAD;
        f.bottom = f.top - ROW + HEAD + FOOT;
        draw_panel(&f);
    }
    return drawing->failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while plotting") : SNUB_OK;
}
