/** Panels over a common x axis. */
#include <math.h>
#include <string.h>

#include "compose.h"
#include "markers.h"
#include "shape.h"
#include "ticks.h"

#define LEFT 18.0 /**< sheet mm for the y numbers and the panel's title */
#define RIGHT 6.0
#define BETWEEN 5.0 /**< panels */
#define FOOT 11.0   /**< x numbers and title */
#define TITLE 8.0
#define LEGEND_ROW 3.9
#define LETTERS 2.1 /**< capitals */
#define TITLE_LETTERS 2.4
#define MARKER 2.2
#define MARKERS_APART 24.0
#define HEADROOM 0.06 /**< of the range, above and below the data */

typedef struct frame {
    const snub_plot *plot;
    const snub_locale *locale;
    snub_drawing *drawing;
    double x_low, x_high, left, right; /* data and sheet */
    const snub_panel *panel;
    double y_low, y_high, bottom, top;
} frame;

static double at_x(const frame *f, double x)
{
    return f->left + (x - f->x_low) / (f->x_high - f->x_low) * (f->right - f->left);
}

static double at_y(const frame *f, double y)
{
    return f->bottom + (y - f->y_low) / (f->y_high - f->y_low) * (f->top - f->bottom);
}

/* ---- ranges ------------------------------------------------------------------------------------------------------ */

static void widen(double *low, double *high, double value)
{
    if (isfinite(value)) {
        *low = fmin(*low, value);
        *high = fmax(*high, value);
    }
}

static bool x_range(const snub_plot *plot, double *low, double *high)
{
    *low = INFINITY;
    *high = -INFINITY;
    for (int p = 0; p < plot->panel_count; p++) {
        const snub_panel *panel = &plot->panels[p];
        for (int s = 0; s < panel->series_count; s++)
            for (int i = 0; i < panel->series[s].count; i++)
                if (isfinite(panel->series[s].y[i]))
                    widen(low, high, panel->series[s].x[i]);
        for (int b = 0; b < panel->band_count; b++)
            for (int i = 0; i < panel->bands[b].count; i++)
                widen(low, high, panel->bands[b].x[i]);
    }
    if (isfinite(plot->x_low))
        *low = plot->x_low;
    if (isfinite(plot->x_high))
        *high = plot->x_high;
    if (*low == *high) {
        *low -= 1;
        *high += 1;
    }
    return *low < *high;
}

static void y_range(const snub_panel *panel, double *low, double *high)
{
    *low = INFINITY;
    *high = -INFINITY;
    for (int s = 0; s < panel->series_count; s++)
        for (int i = 0; i < panel->series[s].count; i++)
            widen(low, high, panel->series[s].y[i]);
    for (int b = 0; b < panel->band_count; b++)
        for (int i = 0; i < panel->bands[b].count; i++) {
            widen(low, high, panel->bands[b].low[i]);
            widen(low, high, panel->bands[b].high[i]);
        }
    for (int i = 0; i < panel->limit_count; i++)
        widen(low, high, panel->limits[i].value);
    if (panel->from_zero)
        widen(low, high, 0);
    if (!(*low <= *high)) { /* nothing to show: an empty panel says so by its lack of lines */
        *low = 0;
        *high = 1;
    }
    double room = *high > *low ? (*high - *low) * HEADROOM : fmax(fabs(*high) * 0.1, 0.5);
    bool zero_low = panel->from_zero && *low == 0, zero_high = panel->from_zero && *high == 0;
    *low = isfinite(panel->low) ? panel->low : zero_low ? 0 : *low - room;
    *high = isfinite(panel->high) ? panel->high : zero_high ? 0 : *high + room;
    if (!(*low < *high))
        *high = *low + 1;
}

/* ---- axes -------------------------------------------------------------------------------------------------------- */

static void words(const frame *f, snub_layer layer, double x, double y, double height, double angle, int across, int up,
                  bool bold, snub_ink ink, const char *text)
{
    snub_lettering lettering = {.height = height, .angle = angle, .across = across, .up = up, .ink = ink, .bold = bold};
    snub_draw_text(f->drawing, layer, &lettering, x, y, text);
}

static const char *with_unit(const frame *f, const char *title, const char *unit)
{
    const char *said = snub_say(f->locale, title);
    if (unit == NULL || unit[0] == '\0')
        return said;
    const char *text = snub_format(f->drawing->arena, "%s, %s", said, snub_say(f->locale, unit));
    if (text == NULL)
        f->drawing->failed = true;
    return text == NULL ? "" : text;
}

/* The blank at which a title makes the two shortest lines; NULL: it is one word. */
static const char *middle_blank(const char *title, double height)
{
    const char *best = NULL;
    double least = INFINITY, all = snub_text_measure(title, height, true);
    for (const char *blank = strchr(title, ' '); blank != NULL; blank = strchr(blank + 1, ' ')) {
        const double behind = snub_text_measure(blank + 1, height, true), longer = fmax(behind, all - behind);
        if (longer < least) {
            least = longer;
            best = blank;
        }
    }
    return best;
}

/* A line beside the y axis, its foot so far from the plot's edge; smaller where the panel is lower than it is long. */
static void title_line(const frame *f, double foot, const char *line)
{
    double height = TITLE_LETTERS, need = snub_text_measure(line, height, true);
    const double room = f->top - f->bottom + BETWEEN - 1;
    if (need > room)
        height *= room / need;
    words(f, SNUB_LAYER_FRAME, f->left - LEFT + foot, (f->bottom + f->top) / 2, height, SNUB_PI / 2, 0, -1, true,
          SNUB_INK_TEXT, line);
}

/* On two lines where the panel is lower than the title is long. */
static void y_title(const frame *f)
{
    const char *title = with_unit(f, f->panel->title, f->panel->unit);
    const bool fits = snub_text_measure(title, TITLE_LETTERS, true) <= f->top - f->bottom + BETWEEN - 1;
    const char *blank = fits ? NULL : middle_blank(title, TITLE_LETTERS);
    if (blank == NULL) {
        title_line(f, 4.6, title);
        return;
    }
    const char *first = snub_copy_text_n(f->drawing->arena, title, (size_t)(blank - title));
    f->drawing->failed = f->drawing->failed || first == NULL;
    title_line(f, 2.5, first != NULL ? first : "");
    title_line(f, 6.2, blank + 1);
}

static void y_axis(const frame *f)
{
    double first, step;
    int count, decimals;
    char number[32];
    snub_pen grid = snub_pen_make(SNUB_INK_FAINT, SNUB_DASH_SOLID, 0.13);
    snub_ticks(f->y_low, f->y_high, (int)fmax(3, (f->top - f->bottom) / 7), &first, &step, &count, &decimals);
    for (int i = 0; i < count; i++) {
        double value = first + i * step, y = at_y(f, value);
        if (fabs(value) < step * 1e-9)
            value = 0;
        snub_draw_line(f->drawing, SNUB_LAYER_GRID, grid, f->left, y, f->right, y);
        words(f, SNUB_LAYER_FRAME, f->left - 1.2, y, LETTERS, 0, 1, 0, false, SNUB_INK_TEXT,
              snub_number_text(f->locale, value, decimals, number));
    }
    y_title(f);
}

static void x_axis(const frame *f, bool numbers)
{
    double first, step;
    int count, decimals;
    char number[32];
    snub_pen grid = snub_pen_make(SNUB_INK_FAINT, SNUB_DASH_SOLID, 0.13);
    snub_ticks(f->x_low, f->x_high, (int)fmax(3, (f->right - f->left) / 18), &first, &step, &count, &decimals);
    for (int i = 0; i < count; i++) {
        double value = first + i * step, x = at_x(f, value);
        if (fabs(value) < step * 1e-9)
            value = 0;
        snub_draw_line(f->drawing, SNUB_LAYER_GRID, grid, x, f->bottom, x, f->top);
        if (numbers)
            words(f, SNUB_LAYER_FRAME, x, f->bottom - 1.4, LETTERS, 0, 0, 1, false, SNUB_INK_TEXT,
                  snub_number_text(f->locale, value, decimals, number));
    }
    if (numbers)
        words(f, SNUB_LAYER_FRAME, (f->left + f->right) / 2, f->bottom - 5.6, 2.4, 0, 0, 1, true, SNUB_INK_TEXT,
              with_unit(f, f->plot->x_title, f->plot->x_unit));
}

/* ---- what is shown ----------------------------------------------------------------------------------------------- */

/* The part of a piece inside the panel. @return false where none is */
static bool clipped(const frame *f, double a[2], double b[2])
{
    const double low[2] = {f->left, f->bottom}, high[2] = {f->right, f->top};
    double from = 0, to = 1, d[2] = {b[0] - a[0], b[1] - a[1]};
    for (int i = 0; i < 2; i++) {
        if (d[i] == 0) {
            if (a[i] < low[i] - 1e-9 || a[i] > high[i] + 1e-9)
                return false;
            continue;
        }
        double t1 = (low[i] - a[i]) / d[i], t2 = (high[i] - a[i]) / d[i];
        from = fmax(from, fmin(t1, t2));
        to = fmin(to, fmax(t1, t2));
    }
    if (from > to)
        return false;
    double start[2] = {a[0] + from * d[0], a[1] + from * d[1]};
    for (int i = 0; i < 2; i++) {
        b[i] = a[i] + to * d[i];
        a[i] = start[i];
    }
    return true;
}

/* Runs of points inside the panel, each one path, so that dashes go on over the corners. */
static void curve(const frame *f, const snub_series *s)
{
    snub_vertex *run = SNUB_NEW(f->drawing->arena, snub_vertex, s->count + 1);
    snub_pen pen = snub_pen_make(s->style.ink, s->style.dash, s->style.width > 0 ? s->style.width : 0.4);
    int n = 0;
    if (run == NULL) {
        f->drawing->failed = true;
        return;
    }
    for (int i = 0; i + 1 < s->count; i++) {
        bool both = isfinite(s->x[i]) && isfinite(s->y[i]) && isfinite(s->x[i + 1]) && isfinite(s->y[i + 1]);
        double a[2] = {at_x(f, s->x[i]), at_y(f, s->y[i])}, b[2] = {at_x(f, s->x[i + 1]), at_y(f, s->y[i + 1])};
        double end[2] = {b[0], b[1]};
        if (!both || !clipped(f, a, b)) {
            if (n > 1)
                snub_draw_path(f->drawing, SNUB_LAYER_PLOT, pen, SNUB_INK_NONE, run, n, false);
            n = 0;
            continue;
        }
        if (n == 0)
            run[n++] = (snub_vertex){a[0], a[1], 0};
        run[n++] = (snub_vertex){b[0], b[1], 0};
        if (hypot(end[0] - b[0], end[1] - b[1]) > 1e-9) { /* it leaves the panel here */
            snub_draw_path(f->drawing, SNUB_LAYER_PLOT, pen, SNUB_INK_NONE, run, n, false);
            n = 0;
        }
    }
    if (n > 1)
        snub_draw_path(f->drawing, SNUB_LAYER_PLOT, pen, SNUB_INK_NONE, run, n, false);
}

static bool inside(const frame *f, double x, double y)
{
    return x >= f->left - 1e-9 && x <= f->right + 1e-9 && y >= f->bottom - 1e-9 && y <= f->top + 1e-9;
}

/* All points of a scatter; on a line about one every 24 mm, shifted from series to series so that they do not cover
 * each other where lines run together. */
static void markers(const frame *f, const snub_series *s, int number)
{
    double along = MARKERS_APART * (0.5 + 0.23 * (number % 4)), before[2] = {NAN, NAN};
    if (s->style.marker == SNUB_MARKER_NONE && !s->points)
        return;
    snub_marker marker = s->style.marker == SNUB_MARKER_NONE ? SNUB_MARKER_DISC : s->style.marker;
    for (int i = 0; i < s->count; i++) {
        if (!isfinite(s->x[i]) || !isfinite(s->y[i])) {
            before[0] = NAN;
            continue;
        }
        double x = at_x(f, s->x[i]), y = at_y(f, s->y[i]);
        if (isfinite(before[0]))
            along += hypot(x - before[0], y - before[1]);
        before[0] = x;
        before[1] = y;
        if (!inside(f, x, y) || (!s->points && along < MARKERS_APART && s->count > 3))
            continue;
        along = 0;
        snub_draw_marker(f->drawing, SNUB_LAYER_PLOT, marker, s->style.ink, x, y,
                         s->points && s->count > 200 ? 1.0 : MARKER);
    }
}

static void band(const frame *f, const snub_band *b, int number)
{
    if (b->count < 2)
        return;
    snub_vertex *corner = SNUB_NEW(f->drawing->arena, snub_vertex, 2 * b->count);
    if (corner == NULL) {
        f->drawing->failed = true;
        return;
    }
    int n = 0;
    for (int way = 0; way < 2; way++)
        for (int k = 0; k < b->count; k++) {
            int i = way == 0 ? k : b->count - 1 - k;
            double value = way == 0 ? b->low[i] : b->high[i];
            if (!isfinite(b->x[i]) || !isfinite(value))
                continue;
            corner[n++] = (snub_vertex){fmin(fmax(at_x(f, b->x[i]), f->left), f->right),
                                        fmin(fmax(at_y(f, value), f->bottom), f->top), 0};
        }
    if (n < 3)
        return;
    snub_ink line = b->ink >= SNUB_INK_BAND_1 && b->ink <= SNUB_INK_BAND_7
                        ? (snub_ink)(SNUB_INK_SERIES_1 + (b->ink - SNUB_INK_BAND_1))
                        : SNUB_INK_QUIET;
    snub_loop loop = {.count = n, .closed = true, .vertex = corner};
    snub_draw_path(f->drawing, SNUB_LAYER_PAPER, snub_pen_make(SNUB_INK_NONE, SNUB_DASH_SOLID, 0), b->ink, corner, n,
                   true);
    snub_draw_hatch(f->drawing, SNUB_LAYER_GRID, snub_pen_make(line, SNUB_DASH_SOLID, 0.1), &loop, 1,
                    SNUB_PI / 4 + number * SNUB_PI / 3, 2.2);
    snub_draw_path(f->drawing, SNUB_LAYER_PLOT, snub_pen_make(line, SNUB_DASH_DOTTED, 0.25), SNUB_INK_NONE, corner, n,
                   true);
}

static void limit_line(const frame *f, const snub_limit_line *limit)
{
    double y = at_y(f, limit->value);
    bool hard = limit->ink == SNUB_INK_FAIL;
    if (!isfinite(y) || y < f->bottom || y > f->top)
        return;
    snub_draw_line(f->drawing, SNUB_LAYER_PLOT,
                   snub_pen_make(limit->ink, hard ? SNUB_DASH_SOLID : SNUB_DASH_DASHED, hard ? 0.7 : 0.4), f->left, y,
                   f->right, y);
    snub_lettering lettering = {
        .height = 1.9, .across = 1, .ink = limit->ink, .bold = true, .halo = true, .up = y > f->top - 4 ? 1 : -1};
    if (limit->name != NULL)
        snub_draw_text(f->drawing, SNUB_LAYER_LABEL, &lettering, f->right - 1, y + (lettering.up < 0 ? 0.8 : -0.8),
                       snub_say(f->locale, limit->name));
}

static void mark_lines(const frame *f, bool named)
{
    for (int i = 0; i < f->plot->mark_count; i++) {
        double x = at_x(f, f->plot->marks[i].x);
        if (!(x >= f->left) || !(x <= f->right))
            continue;
        snub_draw_line(f->drawing, SNUB_LAYER_PLOT, snub_pen_make(SNUB_INK_QUIET, SNUB_DASH_CENTRE, 0.25), x, f->bottom,
                       x, f->top);
        if (named && f->plot->marks[i].name != NULL)
            words(f, SNUB_LAYER_LABEL, x, f->top + 0.8, 1.9, 0,
                  x > f->right - 12  ? 1
                  : x < f->left + 12 ? -1
                                     : 0,
                  -1, false, SNUB_INK_QUIET, snub_say(f->locale, f->plot->marks[i].name));
    }
}

/* ---- legend ------------------------------------------------------------------------------------------------------ */

typedef struct legend_entry {
    const char *name;
    const snub_series *series; /* else a band */
    const snub_band *band;
    int band_number;
} legend_entry;

static int entries_of(const snub_panel *panel, legend_entry *entry)
{
    int n = 0;
    for (int i = 0; i < panel->series_count; i++)
        if (panel->series[i].name != NULL)
            entry[n++] = (legend_entry){.name = panel->series[i].name, .series = &panel->series[i]};
    for (int i = 0; i < panel->band_count; i++)
        if (panel->bands[i].name != NULL)
            entry[n++] = (legend_entry){.name = panel->bands[i].name, .band = &panel->bands[i], .band_number = i};
    return n;
}

static double entry_width(const legend_entry *entry)
{
    return 14 + snub_text_measure(entry->name, LETTERS, false);
}

static void draw_entry(const frame *f, const legend_entry *entry, double x, double y)
{
    double middle = y + LETTERS / 2;
    if (entry->series != NULL) {
        const snub_style *style = &entry->series->style;
        if (!entry->series->points)
            snub_draw_line(f->drawing, SNUB_LAYER_FRAME,
                           snub_pen_make(style->ink, style->dash, style->width > 0 ? style->width : 0.4), x, middle,
                           x + 11, middle);
        snub_draw_marker(f->drawing, SNUB_LAYER_FRAME, style->marker, style->ink, x + 5.5, middle, MARKER);
    } else {
        snub_vertex v[4] = {{x, y - 0.4, 0}, {x + 11, y - 0.4, 0}, {x + 11, y + 2.5, 0}, {x, y + 2.5, 0}};
        snub_loop loop = {.count = 4, .closed = true, .vertex = v};
        snub_ink line = entry->band->ink >= SNUB_INK_BAND_1 && entry->band->ink <= SNUB_INK_BAND_7
                            ? (snub_ink)(SNUB_INK_SERIES_1 + (entry->band->ink - SNUB_INK_BAND_1))
                            : SNUB_INK_QUIET;
        snub_draw_path(f->drawing, SNUB_LAYER_FRAME, snub_pen_make(line, SNUB_DASH_DOTTED, 0.25), entry->band->ink, v,
                       4, true);
        snub_draw_hatch(f->drawing, SNUB_LAYER_FRAME, snub_pen_make(line, SNUB_DASH_SOLID, 0.1), &loop, 1,
                        SNUB_PI / 4 + entry->band_number * SNUB_PI / 3, 2.2);
    }
    words(f, SNUB_LAYER_FRAME, x + 13, y, LETTERS, 0, -1, -1, false, SNUB_INK_TEXT, entry->name);
}

/* Length of curves and share of limit lines inside a box: what a legend there would hide [sheet mm]. */
static double hidden(const frame *f, const double low[2], const double high[2])
{
    frame box = *f;
    double sum = 0;
    box.left = low[0];
    box.right = high[0];
    box.bottom = low[1];
    box.top = high[1];
    for (int s = 0; s < f->panel->series_count; s++) {
        const snub_series *series = &f->panel->series[s];
        for (int i = 0; i + 1 < series->count; i++) {
            double a[2] = {at_x(f, series->x[i]), at_y(f, series->y[i])};
            double b[2] = {at_x(f, series->x[i + 1]), at_y(f, series->y[i + 1])};
            if (isfinite(a[0] + a[1] + b[0] + b[1]) && clipped(&box, a, b))
                sum += 0.01 + hypot(b[0] - a[0], b[1] - a[1]);
        }
        if (series->points)
            for (int i = 0; i < series->count; i++)
                sum += inside(&box, at_x(f, series->x[i]), at_y(f, series->y[i])) ? 1 : 0;
    }
    for (int i = 0; i < f->panel->limit_count; i++) {
        double y = at_y(f, f->panel->limits[i].value);
        sum += y > low[1] - 3 && y < high[1] + 1 ? (high[0] - low[0]) : 0;
    }
    for (int i = 0; i < f->plot->mark_count; i++) {
        double x = at_x(f, f->plot->marks[i].x);
        sum += x > low[0] && x < high[0] ? high[1] - low[1] : 0;
    }
    for (int b = 0; b < f->panel->band_count; b++)
        for (int i = 0; i < f->panel->bands[b].count; i++)
            sum += inside(&box, at_x(f, f->panel->bands[b].x[i]), at_y(f, f->panel->bands[b].high[i])) ||
                           inside(&box, at_x(f, f->panel->bands[b].x[i]), at_y(f, f->panel->bands[b].low[i]))
                       ? 1
                       : 0;
    return sum;
}

/* Where inside the panel a block hides nothing: a grid of places, the corners first. @return what it hides */
static double free_place(const frame *f, double width, double height, double corner[2])
{
    enum { GRID = 9 };
    static const int order[GRID] = {0, 8, 4, 2, 6, 1, 7, 3, 5};
    double best = INFINITY, pad = 1.5;
    double free_x = f->right - f->left - width - 2 * pad, free_y = f->top - f->bottom - height - 2 * pad;
    if (free_x < 0 || free_y < 0)
        return INFINITY;
    for (int i = 0; i < GRID; i++)
        for (int k = 0; k < GRID; k++) {
            double low[2] = {f->left + pad + free_x * order[k] / (GRID - 1),
                             f->top - pad - height - free_y * order[i] / (GRID - 1)};
            double high[2] = {low[0] + width, low[1] + height};
            double loss = hidden(f, (double[]){low[0] - 1, low[1] - 1}, (double[]){high[0] + 1, high[1] + 1});
            if (loss < best - 1e-9) {
                best = loss;
                corner[0] = low[0];
                corner[1] = low[1];
            }
        }
    return best;
}

/* Columns that fill `width`; a legend that finds no free place inside goes into rows above its panel. */
static int columns_in(double width, double widest)
{
    int columns = (int)floor((width + 4) / (widest + 4));
    return columns < 1 ? 1 : columns;
}

static void lay_legend(const frame *f, const legend_entry *entry, int n, int columns, double widest, double x, double y)
{
    int rows = (n + columns - 1) / columns;
    if (columns == 1) /* inside the panel: the grid behind it would strike the words through */
        snub_draw_rectangle(f->drawing, SNUB_LAYER_FRAME, snub_pen_make(SNUB_INK_NONE, SNUB_DASH_SOLID, 0),
                            SNUB_INK_PAPER, x - 0.6, y - 1, x + widest, y + rows * LEGEND_ROW - 0.6);
    for (int i = 0; i < n; i++)
        draw_entry(f, &entry[i], x + (i / rows) * (widest + 4), y + (rows - 1 - i % rows) * LEGEND_ROW);
}

/* @return height that the legend takes above the panel [sheet mm], 0 when it stands inside */
static double legend_outside(const frame *f, const legend_entry *entry, int n, double *widest, double corner[2],
                             double *hides)
{
    *widest = 0;
    for (int i = 0; i < n; i++)
        *widest = fmax(*widest, entry_width(&entry[i]));
    *hides = n == 0 ? 0 : n > 8 ? INFINITY : free_place(f, *widest, n * LEGEND_ROW, corner);
    int columns = columns_in(f->right - f->left, *widest);
    return n == 0 || *hides == 0 ? 0 : ((n + columns - 1) / columns) * LEGEND_ROW + 1.5;
}

/* ---- the plot ---------------------------------------------------------------------------------------------------- */

static void panel_contents(const frame *f, bool top, bool bottom)
{
    const snub_panel *panel = f->panel;
    for (int i = 0; i < panel->band_count; i++)
        band(f, &panel->bands[i], i);
    x_axis(f, bottom);
    y_axis(f);
    mark_lines(f, top);
    for (int i = 0; i < panel->series_count; i++) {
        if (!panel->series[i].points)
            curve(f, &panel->series[i]);
        markers(f, &panel->series[i], i);
    }
    for (int i = 0; i < panel->limit_count; i++)
        limit_line(f, &panel->limits[i]);
    snub_draw_rectangle(f->drawing, SNUB_LAYER_FRAME, snub_pen_make(SNUB_INK_OUTLINE, SNUB_DASH_SOLID, 0.25),
                        SNUB_INK_NONE, f->left, f->bottom, f->right, f->top);
}

static snub_status draw_panel(frame *f, double bottom, double top, bool first, bool last, snub_error *error)
{
    int room = f->panel->series_count + f->panel->band_count;
    legend_entry *entry = SNUB_NEW(f->drawing->arena, legend_entry, room > 0 ? room : 1);
    if (entry == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while plotting");
    int n = entries_of(f->panel, entry);
    double widest, corner[2], hides;
    f->bottom = bottom;
    f->top = top;
    y_range(f->panel, &f->y_low, &f->y_high);
    double outside = legend_outside(f, entry, n, &widest, corner, &hides);
    f->top = top - outside - (first && f->plot->mark_count > 0 ? 3.2 : 0);
    if (f->top - f->bottom < 12)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "the plot is too low for %d panels with their legends",
                         f->plot->panel_count);
    panel_contents(f, first, last);
    if (outside > 0) {
        lay_legend(f, entry, n, columns_in(f->right - f->left, widest), widest, f->left, top - outside + 1.2);
    } else if (n > 0) {
        hides = free_place(f, widest, n * LEGEND_ROW, corner); /* the marks' names may have lowered the panel */
        lay_legend(f, entry, n, 1, widest, corner[0], corner[1] + 0.8);
    }
    return SNUB_OK;
}

static double shares(const snub_plot *plot, int until)
{
    double sum = 0;
    for (int i = 0; i < until; i++)
        sum += plot->panels[i].share > 0 ? plot->panels[i].share : 1;
    return sum;
}

static void notes_and_title(const frame *f, double width, double height)
{
    double title_height = 3.2, need = snub_text_measure(f->plot->title != NULL ? f->plot->title : "", 3.2, true);
    if (need > width - LEFT - RIGHT)
        title_height *= (width - LEFT - RIGHT) / need;
    words(f, SNUB_LAYER_FRAME, f->left, height - 2.6, title_height, 0, -1, 1, true, SNUB_INK_TEXT, f->plot->title);
    for (int i = 0; i < f->plot->note_count; i++)
        words(f, SNUB_LAYER_FRAME, f->left, 1.6 + (f->plot->note_count - 1 - i) * 3.2, 1.8, 0, -1, -1, false,
              SNUB_INK_QUIET, f->plot->notes[i]);
}

snub_status snub_plot_draw(const snub_plot *plot, const snub_locale *locale, snub_arena *arena, snub_drawing *drawing,
                           snub_error *error)
{
    frame f = {.plot = plot, .locale = locale, .drawing = drawing};
    double width = plot->width > 0 ? plot->width : 190;
    double height = plot->height > 0 ? plot->height : 20 + 70.0 * plot->panel_count;
    if (plot->panel_count < 1)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "a plot needs a panel");
    if (!x_range(plot, &f.x_low, &f.x_high))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "there is no point to plot");
    snub_drawing_init(drawing, arena, 1);
    drawing->title = plot->title;
    snub_drawing_frame(drawing, 0, 0, width, height);
    f.left = LEFT;
    f.right = width - RIGHT;
    double foot = FOOT + plot->note_count * 3.2, head = plot->title != NULL ? TITLE : 2;
    double room = height - foot - head - BETWEEN * (plot->panel_count - 1), all = shares(plot, plot->panel_count);
    if (f.right - f.left < 30 || room < 15 * plot->panel_count)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "%.0f x %.0f mm is too small for this plot", width, height);
    notes_and_title(&f, width, height);
    for (int i = 0; i < plot->panel_count; i++) {
        f.panel = &plot->panels[i];
        double top = height - head - room * shares(plot, i) / all - BETWEEN * i;
        double bottom = top - room * (shares(plot, i + 1) - shares(plot, i)) / all;
        snub_status status = draw_panel(&f, bottom, top, i == 0, i + 1 == plot->panel_count, error);
        if (status != SNUB_OK)
            return status;
    }
    return drawing->failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while plotting") : SNUB_OK;
}
