/** Border, title block, and the table of pulleys and spans. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "compose.h"
#include "view.h"

void snub_scale_text(const snub_locale *locale, double scale, char text[32])
{
    char number[32];
    double size = scale < 1 ? 1 / scale : scale;
    snub_number_text(locale, size, fabs(size - round(size)) < 1e-9 ? 0 : 1, number);
    snprintf(text, 32, scale < 1 ? "%.24s:1" : "1:%.24s", number);
}

typedef struct sheet {
    snub_drawing *drawing;
    double unit;
} sheet;

static void words(const sheet *s, double x, double y, double height, bool bold, snub_ink ink, int across,
                  const char *text)
{
    snub_lettering lettering = {.height = height, .across = across, .up = -1, .ink = ink, .bold = bold};
    snub_draw_text(s->drawing, SNUB_LAYER_FRAME, &lettering, x, y, text);
}

/* A field: its name small above, its value below, made smaller where it would be cut off. */
static void field(const sheet *s, double x, double y, double width, const char *name, const char *value)
{
    double height = 2.4, room = (width - 2.4);
    double need = snub_text_measure(value, height, false);
    if (need > room)
        height = fmax(1.3, height * room / need);
    words(s, x + 1.2 * s->unit, y + 5.1 * s->unit, 1.5, false, SNUB_INK_QUIET, -1, name);
    words(s, x + 1.2 * s->unit, y + 1.6 * s->unit, height, false, SNUB_INK_TEXT, -1, value);
}

static void fields(const sheet *s, const snub_view *view, const snub_locale *locale, const snub_title_block *block,
                   double x, double y, double width)
{
    char scale[32];
    snub_scale_text(locale, block->scale, scale);
    const char *hash = view->hash != NULL ? view->hash : "";
    char file[160];
    snprintf(file, sizeof file, "%s%s%.12s", view->file != NULL ? view->file : "\xe2\x80\x93", hash[0] ? "  " : "",
             hash);
    const struct {
        const char *name, *value;
        double share;
    } row[5] = {{snub_say(locale, "scale"), scale, 0.10},
                {snub_say(locale, "lengths, angles"), snub_draw_inches(locale) ? "in, deg" : "mm, deg", 0.15},
                {snub_say(locale, "date"), view->date != NULL ? view->date : "\xe2\x80\x93", 0.14},
                {snub_say(locale, "file, SHA-256 begins"), file, 0.46},
                {snub_say(locale, "made with"), view->version != NULL ? view->version : "snub", 0.15}};
    snub_pen pen = snub_pen_make(SNUB_INK_OUTLINE, SNUB_DASH_SOLID, 0.18);
    for (int i = 0; i < 5; i++) {
        double part = width * row[i].share;
        field(s, x, y, part / s->unit, row[i].name, row[i].value);
        x += part;
        if (i < 4)
            snub_draw_line(s->drawing, SNUB_LAYER_FRAME, pen, x, y, x, y + 8 * s->unit);
    }
}

/* Which build it is and what became of it. */
static void build_fields(const sheet *s, const snub_view *view, const snub_locale *locale, double x, double y,
                         double width)
{
    const double part = 0.85 * width;
    const char *row = view->row != NULL && view->row[0] != '\0' ? view->row : snub_say(locale, "as in the file");
    const char *verdict = view->verdict != NULL ? view->verdict : snub_say(locale, "not judged");
    const snub_pen pen = snub_pen_make(SNUB_INK_OUTLINE, SNUB_DASH_SOLID, 0.18);
    field(s, x, y, part, snub_say(locale, "build"), row);
    field(s, x + part, y, width - part, snub_say(locale, "verdict"), verdict);
    snub_draw_line(s->drawing, SNUB_LAYER_FRAME, pen, x + part, y, x + part, y + 8 * s->unit);
    snub_draw_line(s->drawing, SNUB_LAYER_FRAME, pen, x, y + 8 * s->unit, x + width, y + 8 * s->unit);
}

static double fitted(const char *text, double height, bool bold, double room)
{
    double need = snub_text_measure(text, height, bold);
    return need > room ? fmax(1.1, height * room / need) : height;
}

void snub_draw_title_block(snub_drawing *drawing, const snub_view *view, const snub_locale *locale,
                           const snub_title_block *block)
{
    double u = drawing->unit, m = SNUB_SHEET_MARGIN * u;
    double x0 = drawing->low[0] + m, y0 = drawing->low[1] + m, x1 = drawing->high[0] - m, y1 = drawing->high[1] - m;
    sheet s = {drawing, u};
    snub_draw_rectangle(drawing, SNUB_LAYER_FRAME, snub_pen_make(SNUB_INK_OUTLINE, SNUB_DASH_SOLID, 0.5), SNUB_INK_NONE,
                        x0, y0, x1, y1);
    double top = y0 + SNUB_TITLE_HEIGHT * u, lower = y0 + 8 * u, middle = y0 + 16 * u;
    snub_pen pen = snub_pen_make(SNUB_INK_OUTLINE, SNUB_DASH_SOLID, 0.35);
    snub_draw_line(drawing, SNUB_LAYER_FRAME, pen, x0, top, x1, top);
    snub_draw_line(drawing, SNUB_LAYER_FRAME, snub_pen_make(SNUB_INK_OUTLINE, SNUB_DASH_SOLID, 0.18), x0, lower, x1,
                   lower);
    build_fields(&s, view, locale, x0, lower, x1 - x0);
    double room = (x1 - x0) / u - 4;
    const char *title = view->title != NULL && view->title[0] != '\0' ? view->title : snub_say(locale, "drive");
    char right[200];
    const char *build = block->build != NULL ? block->build : "", *state = block->state != NULL ? block->state : "";
    snprintf(right, sizeof right, "%.60s%s%.60s%s%.60s", block->view_name, build[0] != '\0' ? ", " : "", build,
             state[0] != '\0' ? ", " : "", state);
    double right_height = fitted(right, 2.6, false, room * 0.58);
    double right_width = snub_text_measure(right, right_height, false);
    words(&s, x0 + 1.6 * u, middle + 2.9 * u, fitted(title, 3.5, true, room - right_width - 4), true, SNUB_INK_TEXT, -1,
          title);
    words(&s, x1 - 1.6 * u, middle + 3.1 * u, right_height, false, SNUB_INK_TEXT, 1, right);
    fields(&s, view, locale, block, x0, y0, x1 - x0);
}

/* ---- table ------------------------------------------------------------------------------------------------------- */

#define ROW 4.1 /**< sheet mm */
enum { COLUMNS = 12 };

static bool any_number(const snub_view_build *build, int which)
{
    for (int i = 0; i < build->count; i++) {
        const snub_view_pulley *p = &build->pulley[i];
        if (isfinite(which == 9 ? p->rpm : which == 10 ? p->tension_N : p->frequency_Hz))
            return true;
    }
    return false;
}

double snub_view_table_height(const snub_view *view)
{
    return (view->build[0].count + 2) * ROW + 1.0;
}

typedef struct column {
    const char *title, *unit;
    double share;
    bool words;
} column;

static void cell(const sheet *s, const column *c, double x, double width, double y, double height, snub_ink ink,
                 bool bold, const char *text)
{
    double h = fitted(text, height, bold, width / s->unit - 2.4);
    words(s, c->words ? x + 1.6 * s->unit : x + width - 1.2 * s->unit, y, h, bold, ink, c->words ? -1 : 1, text);
}

static const char *value_of(const snub_view_pulley *p, const snub_view_pulley *next, const snub_locale *locale,
                            int which, char text[32])
{
    switch (which) {
    case 0: return p->name;
    case 1: return p->back ? snub_say(locale, "back") : snub_say(locale, "ribs");
    case 2: return p->sense > 0 ? snub_say(locale, "cw") : snub_say(locale, "ccw");
    case 3: return snub_draw_number(locale, 2 * p->outer_radius, "mm", 1, text);
    case 4: return snub_draw_number(locale, p->centre[0], "mm", 1, text);
    case 5: return snub_draw_number(locale, p->centre[1], "mm", 1, text);
    case 6: return snub_number_text(locale, p->wrap / SNUB_DEG, 1, text);
    case 7: return next->name;
    case 8: return snub_draw_number(locale, p->span, "mm", 1, text);
    case 9: return snub_number_text(locale, fabs(p->rpm), 0, text);
    case 10: return snub_draw_number(locale, p->tension_N, "N", 0, text);
    default: return snub_number_text(locale, p->frequency_Hz, 1, text);
    }
}

/* A name's column is as wide as the longest name wants, within reason. */
static double name_share(const snub_view_build *build)
{
    double widest = 0;
    for (int i = 0; i < build->count; i++)
        widest = fmax(widest, snub_text_measure(build->pulley[i].name, 2.2, true));
    return fmin(fmax(widest + 2.6, 17), 42);
}

void snub_draw_view_table(snub_drawing *drawing, const snub_view *view, const snub_locale *locale, double x, double y,
                          double width)
{
    column columns[COLUMNS] = {{snub_say(locale, "pulley"), "", name_share(&view->build[0]), true},
                               {snub_say(locale, "belt side"), "", 10, true},
                               {snub_say(locale, "turns"), "", 6, true},
                               {snub_say(locale, "diameter"), "mm", 10, false},
                               {"x", "mm", 9, false},
                               {"y", "mm", 9, false},
                               {snub_say(locale, "wrap"), "deg", 9, false},
                               {snub_say(locale, "span to"), "", name_share(&view->build[0]), true},
                               {snub_say(locale, "span"), "mm", 9, false},
                               {snub_say(locale, "speed"), "rpm", 10, false},
                               {snub_say(locale, "tension"), "N", 9, false},
                               {snub_say(locale, "span"), "Hz", 9, false}};
    const snub_view_build *build = &view->build[0];
    sheet s = {drawing, drawing->unit};
    double all = 0, row = ROW * s.unit, high = y + snub_view_table_height(view) * s.unit;
    for (int i = 9; i < COLUMNS; i++)
        if (!any_number(build, i))
            columns[i].share = 0;
    for (int i = 0; i < COLUMNS; i++)
        all += columns[i].share;
    snub_pen fine = snub_pen_make(SNUB_INK_FAINT, SNUB_DASH_SOLID, 0.18);
    for (int line = 0; line < build->count; line += 1)
        if (line % 2 == 0)
            snub_draw_line(drawing, SNUB_LAYER_FRAME, fine, x, high - (line + 2) * row, x + width,
                           high - (line + 2) * row);
    snub_draw_line(drawing, SNUB_LAYER_FRAME, snub_pen_make(SNUB_INK_OUTLINE, SNUB_DASH_SOLID, 0.35), x, high,
                   x + width, high);
    double at = x;
    for (int i = 0; i < COLUMNS; i++) {
        double part = width * columns[i].share / all;
        if (part == 0)
            continue;
        cell(&s, &columns[i], at, part, high - 0.85 * row, 1.8, SNUB_INK_QUIET, true, columns[i].title);
        cell(&s, &columns[i], at, part, high - 1.7 * row, 1.8, SNUB_INK_QUIET, false,
             snub_draw_unit(locale, columns[i].unit));
        for (int k = 0; k < build->count; k++) {
            char text[32];
            const char *value = value_of(&build->pulley[k], &build->pulley[(k + 1) % build->count], locale, i, text);
            cell(&s, &columns[i], at, part, high - (k + 2.72) * row, 2.2, SNUB_INK_TEXT, i == 0, value);
        }
        at += part;
    }
}

/* ---- a warning --------------------------------------------------------------------------------------------------- */

enum { WARNING_LINES_MOST = 6, WARNING_BYTES_MOST = 400 };

/* How many bytes of text go into a line: up to the last blank that leaves it narrow enough; one word at least. */
static size_t line_of(const char *text, double height, double room)
{
    size_t end = strlen(text), good = 0;
    char line[WARNING_BYTES_MOST];
    for (size_t i = 1; i <= end; i++) {
        if (text[i] != ' ' && text[i] != '\0')
            continue;
        snprintf(line, sizeof line, "%.*s", (int)i, text);
        if (good > 0 && snub_text_measure(line, height, true) > room)
            break;
        good = i;
    }
    return good;
}

static int lines_of(const char *text, double height, double room, size_t length[WARNING_LINES_MOST])
{
    int count = 0;
    for (; *text != '\0' && count < WARNING_LINES_MOST; count++) {
        length[count] = line_of(text, height, room);
        text += length[count];
        text += *text == ' ';
    }
    return *text == '\0' ? count : WARNING_LINES_MOST + 1;
}

double snub_draw_warning(snub_drawing *drawing, const char *text)
{
    const double u = drawing->unit, room = (drawing->high[0] - drawing->low[0]) / u - 2 * SNUB_SHEET_MARGIN - 8;
    const double pitch = 1.45, deep = 12; /* line to line, of the height; all of it, sheet mm */
    size_t length[WARNING_LINES_MOST];
    double height = 4;
    if (text == NULL || text[0] == '\0')
        return NAN;
    while (height > 1.8 && pitch * height * lines_of(text, height, room, length) > deep)
        height -= 0.2;
    const int count = (int)fmin(lines_of(text, height, room, length), WARNING_LINES_MOST);
    const snub_lettering lettering = {.height = height, .ink = SNUB_INK_FAIL, .bold = true, .halo = true, .up = 1};
    double y = drawing->high[1] - (SNUB_SHEET_MARGIN + 2 + 0.5 * height) * u;
    for (int i = 0; i < count; i++, y -= pitch * height * u) {
        char line[WARNING_BYTES_MOST];
        snprintf(line, sizeof line, "%.*s", (int)length[i], text);
        snub_draw_text(drawing, SNUB_LAYER_LABEL, &lettering, (drawing->low[0] + drawing->high[0]) / 2, y, line);
        text += length[i];
        text += *text == ' ';
    }
    return y;
}
