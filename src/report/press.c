/** Pages: what is set where, and where a page ends. */
#include "press.h"

#include <cairo-pdf.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "snub/draw_drive.h"

#define TYPE_SCALE 16.0 /**< text is laid out in sixteenths of a mm, where Pango's rounding cannot be seen */
#define BODY 2.0        /**< capitals, mm: about 8 pt type */
#define SMALL 1.55
#define HEAD_HEIGHT 13.0
#define FOOT_HEIGHT 9.0
#define MARGIN 14.0

static void set_ink(cairo_t *cr, snub_ink ink)
{
    uint32_t rgb = snub_ink_colour(ink, SNUB_THEME_LIGHT);
    cairo_set_source_rgb(cr, (rgb >> 16) / 255.0, (rgb >> 8 & 255) / 255.0, (rgb & 255) / 255.0);
}

typedef struct type {
    double height;
    bool bold;
    snub_ink ink;
    int across;
} type;

static PangoLayout *lay(snub_press *press, const type *t, double width, const char *text)
{
    PangoLayout *layout = pango_layout_new(press->context);
    PangoFontDescription *face = snub_cairo_face(t->height * TYPE_SCALE, t->bold);
    pango_layout_set_font_description(layout, face);
    pango_font_description_free(face);
    if (width > 0) {
        pango_layout_set_width(layout, (int)(width * TYPE_SCALE * PANGO_SCALE));
        pango_layout_set_wrap(layout, PANGO_WRAP_WORD_CHAR);
        pango_layout_set_alignment(layout, t->across < 0   ? PANGO_ALIGN_LEFT
                                           : t->across > 0 ? PANGO_ALIGN_RIGHT
                                                           : PANGO_ALIGN_CENTER);
    }
    /* a hyphen that Pango puts into "bearing_speed" or a file's name would be read as part of it */
    PangoAttrList *attributes = pango_attr_list_new();
    pango_attr_list_insert(attributes, pango_attr_insert_hyphens_new(FALSE));
    pango_layout_set_attributes(layout, attributes);
    pango_attr_list_unref(attributes);
    pango_layout_set_text(layout, text, -1);
    snub_cairo_only_glyphs(layout);
    return layout;
}

static double height_of(PangoLayout *layout)
{
    int width, height;
    pango_layout_get_size(layout, &width, &height);
    return (double)height / PANGO_SCALE / TYPE_SCALE;
}

/* Draws the layout with its upper left corner at (x, y) and gives it back. */
static void show(snub_press *press, PangoLayout *layout, snub_ink ink, double x, double y)
{
    cairo_save(press->cr);
    cairo_move_to(press->cr, x, y);
    cairo_scale(press->cr, 1 / TYPE_SCALE, 1 / TYPE_SCALE);
    set_ink(press->cr, ink);
    pango_cairo_update_layout(press->cr, layout);
    pango_cairo_show_layout(press->cr, layout);
    cairo_restore(press->cr);
    cairo_new_path(press->cr);
}

static double block(snub_press *press, const type *t, double x, double y, double width, const char *text, bool draw)
{
    PangoLayout *layout = lay(press, t, width, text);
    double height = height_of(layout);
    if (draw)
        show(press, layout, t->ink, x, y);
    g_object_unref(layout);
    return height;
}

double snub_press_words(snub_press *press, double x, double y, double height, bool bold, snub_ink ink, int across,
                        const char *text)
{
    type t = {height, bold, ink, -1};
    PangoLayout *layout = lay(press, &t, 0, text);
    int width, unused;
    pango_layout_get_size(layout, &width, &unused);
    double length = (double)width / PANGO_SCALE / TYPE_SCALE;
    double base = (double)pango_layout_get_baseline(layout) / PANGO_SCALE / TYPE_SCALE;
    show(press, layout, ink, across < 0 ? x : across == 0 ? x - length / 2 : x - length, y - base);
    g_object_unref(layout);
    return length;
}

static void rule(snub_press *press, double x0, double y0, double x1, double y1, double width, snub_ink ink)
{
    set_ink(press->cr, ink);
    cairo_set_dash(press->cr, NULL, 0, 0);
    cairo_set_line_width(press->cr, width);
    cairo_move_to(press->cr, x0, y0);
    cairo_line_to(press->cr, x1, y1);
    cairo_stroke(press->cr);
}

/* ---- pages ---------------------------------------------------------------------------------------------------------
 */

static void head_and_foot(snub_press *press)
{
    const snub_sheet *s = press->sheet;
    char text[320], a[16], b[16];
    double y = press->top - HEAD_HEIGHT + 3.4;
    double kind = snub_text_measure(press->kind, 3.2, true), room = press->right - press->left - kind - 6;
    double need = snub_text_measure(s->title != NULL ? s->title : "", 3.2, true);
    snub_press_words(press, press->left, y, need > room ? 3.2 * room / need : 3.2, true, SNUB_INK_TEXT, -1,
                     s->title != NULL ? s->title : "");
    snub_press_words(press, press->right, y, 3.2, true, SNUB_INK_TEXT, 1, press->kind);
    if (s->build != NULL)
        snub_press_words(press, press->left, y + 5, 2.2, false, SNUB_INK_TEXT, -1, s->build);
    rule(press, press->left, y + 7, press->right, y + 7, 0.5, SNUB_INK_OUTLINE);
    double foot = press->height - MARGIN + 1;
    rule(press, press->left, foot - 4, press->right, foot - 4, 0.18, SNUB_INK_OUTLINE);
    snprintf(text, sizeof text, "%.80s   SHA-256 %.16s   %.40s%s%.12s", s->file != NULL ? s->file : "",
             s->hash != NULL ? s->hash : "", s->version != NULL ? s->version : "", s->date != NULL ? "   " : "",
             s->date != NULL ? s->date : "");
    snub_press_words(press, press->left, foot, SMALL, false, SNUB_INK_QUIET, -1, text);
    snprintf(a, sizeof a, "%d", press->page);
    snprintf(b, sizeof b, "%d", press->pages);
    snub_press_words(press, press->right, foot, SMALL, false, SNUB_INK_QUIET, 1,
                     snub_press_fill(press, SAY("page {page} of {pages}"), "page", a, "pages", b, NULL));
}

void snub_press_page(snub_press *press)
{
    if (press->page > 0)
        cairo_show_page(press->cr);
    press->page++;
    press->y = press->top;
    if (!press->plain)
        head_and_foot(press);
}

void snub_press_room(snub_press *press, double mm)
{
    if (press->y + mm > press->bottom && press->y > press->top + 0.1)
        snub_press_page(press);
}

void snub_press_gap(snub_press *press, double mm)
{
    if (press->y > press->top + 0.1)
        press->y += mm;
}

static snub_status print_once(const snub_sheet *sheet, const snub_press_job *job, int pages, int *used, snub_text *out,
                              snub_error *error)
{
    snub_arena arena = {0};
    double size[2] = {sheet->paper == SNUB_PAPER_LETTER ? 215.9 : 210, sheet->paper == SNUB_PAPER_LETTER ? 279.4 : 297};
    snub_press press = {.sheet = sheet,
                        .speech = sheet->speech,
                        .arena = &arena,
                        .plain = job->plain,
                        .pages = pages,
                        .width = size[job->landscape ? 1 : 0],
                        .height = size[job->landscape ? 0 : 1]};
    press.kind = snub_say(press.speech, job->kind);
    press.left = MARGIN;
    press.right = press.width - MARGIN;
    press.top = 10 + HEAD_HEIGHT;
    press.bottom = press.height - MARGIN - FOOT_HEIGHT + 4;
    const char *title = snub_format(&arena, "%s: %s", sheet->title != NULL ? sheet->title : "snub", press.kind);
    const char *created = sheet->date != NULL ? snub_format(&arena, "%sT00:00:00Z", sheet->date) : NULL;
    snub_imprint imprint = {.title = title, .subject = sheet->build, .creator = sheet->version, .created = created};
    cairo_surface_t *surface = snub_cairo_pdf(out, press.width, press.height, &imprint);
    press.cr = cairo_create(surface);
    cairo_scale(press.cr, SNUB_POINTS_PER_MM, SNUB_POINTS_PER_MM);
    press.context = snub_cairo_text_context(press.cr);
    snub_press_page(&press);
    snub_status status = job->print(&press, job->context, error);
    cairo_show_page(press.cr);
    cairo_status_t drawn = cairo_status(press.cr);
    g_object_unref(press.context);
    cairo_destroy(press.cr);
    cairo_surface_finish(surface);
    if (drawn == CAIRO_STATUS_SUCCESS)
        drawn = cairo_surface_status(surface);
    cairo_surface_destroy(surface);
    *used = press.page;
    snub_arena_free(&arena);
    if (status != SNUB_OK)
        return status;
    if (press.failed || out->failed || title == NULL || drawn == CAIRO_STATUS_NO_MEMORY)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "no memory for the sheet");
    return drawn == CAIRO_STATUS_SUCCESS
               ? SNUB_OK
               : snub_fail(error, SNUB_IO, NULL, NULL, "cairo: %s", cairo_status_to_string(drawn));
}

snub_status snub_press_run(const snub_sheet *sheet, const snub_press_job *job, snub_text *out, snub_error *error)
{
    int pages = 0;
    snub_text counted = {0};
    snub_status status = print_once(sheet, job, 0, &pages, &counted, error);
    snub_text_free(&counted);
    return status == SNUB_OK ? print_once(sheet, job, pages, &pages, out, error) : status;
}

/* ---- blocks --------------------------------------------------------------------------------------------------------
 */

void snub_press_heading(snub_press *press, const char *text)
{
    snub_press_gap(press, 3.5);
    snub_press_room(press, 16); /* never alone at the foot of a page */
    snub_press_words(press, press->left, press->y + 3, 2.8, true, SNUB_INK_TEXT, -1, text);
    press->y += 5.6;
}

static void paragraph(snub_press *press, const type *t, double indent, const char *text)
{
    double width = press->right - press->left - indent, height = block(press, t, 0, 0, width, text, false);
    snub_press_room(press, height);
    block(press, t, press->left + indent, press->y, width, text, true);
    press->y += height + 1.2;
}

void snub_press_paragraph(snub_press *press, const char *text)
{
    paragraph(press, &(type){BODY, false, SNUB_INK_TEXT, -1}, 0, text);
}

void snub_press_quiet(snub_press *press, const char *text)
{
    paragraph(press, &(type){SMALL, false, SNUB_INK_QUIET, -1}, 0, text);
}

void snub_press_step(snub_press *press, int number, const char *text)
{
    const double indent = 13;
    type t = {2.5, false, SNUB_INK_TEXT, -1};
    double width = press->right - press->left - indent, height = block(press, &t, 0, 0, width, text, false);
    snub_press_room(press, fmax(height, 5) + 1.5);
    if (number > 0) {
        char digits[16];
        snprintf(digits, sizeof digits, "%d", number);
        snub_press_words(press, press->left + 5, press->y + 3.3, 2.8, true, SNUB_INK_TEXT, 1, digits);
        set_ink(press->cr, SNUB_INK_OUTLINE);
        cairo_set_line_width(press->cr, 0.25);
        cairo_rectangle(press->cr, press->left + 6.8, press->y + 0.3, 3.4, 3.4);
        cairo_stroke(press->cr);
    }
    block(press, &t, press->left + indent, press->y, width, text, true);
    press->y += fmax(height, 4.5) + 2.0;
}

void snub_press_drawing(snub_press *press, const snub_drawing *drawing, double x, double y, double scale)
{
    if (drawing->failed)
        press->failed = true;
    else
        snub_cairo_drawing(press->cr, drawing, SNUB_THEME_LIGHT, x, y, scale);
}

snub_status snub_press_front(snub_press *press, const snub_check *check, double height, const char *heading,
                             snub_error *error)
{
    snub_view view;
    snub_drawing drawing;
    snub_status status = snub_view_of_check(check, press->arena, &view, error);
    if (status != SNUB_OK)
        return status;
    view.bare = true;
    view.sheet[0] = press->right - press->left;
    view.sheet[1] = height;
    status = snub_draw_front(&view, press->speech, press->arena, &drawing, NULL, error);
    if (status != SNUB_OK)
        return status;
    snub_press_room(press, height + 10);
    if (heading != NULL)
        snub_press_heading(press, heading);
    snub_press_drawing(press, &drawing, press->left, press->y, 1);
    press->y += height + 1.5;
    return SNUB_OK;
}

/* ---- cautions ------------------------------------------------------------------------------------------------------
 */

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

void snub_press_caution(snub_press *press, snub_signal signal, const char *text)
{
    static const struct {
        const char *word;
        double red, green, blue;
        bool white;
    } panels[4] = {{MESSAGE("DANGER"), 0.78, 0.06, 0.11, true},
                   {MESSAGE("WARNING"), 1.0, 0.51, 0.0, false},
                   {MESSAGE("CAUTION"), 1.0, 0.84, 0.0, false},
                   {MESSAGE("NOTICE"), 0.0, 0.32, 0.61, true}};
    const double panel = 33;
    type t = {BODY, false, SNUB_INK_TEXT, -1};
    double width = press->right - press->left - panel - 5, words = block(press, &t, 0, 0, width, text, false);
    double height = fmax(words + 3, 8.5);
    snub_press_room(press, height + 1.5);
    cairo_t *cr = press->cr;
    double x = press->left, y = press->y;
    cairo_set_source_rgb(cr, panels[signal].red, panels[signal].green, panels[signal].blue);
    cairo_rectangle(cr, x, y, panel, height);
    cairo_fill(cr);
    set_ink(cr, SNUB_INK_OUTLINE);
    cairo_set_line_width(cr, 0.3);
    cairo_rectangle(cr, x, y, press->right - press->left, height);
    cairo_stroke(cr);
    if (signal != SNUB_SIGNAL_NOTICE)
        alert(cr, x + 2, y + height / 2 - 2.6, 5.4);
    const char *word = SAY(panels[signal].word);
    double room = panel - (signal == SNUB_SIGNAL_NOTICE ? 4 : 10.4), need = snub_text_measure(word, 3, true);
    double left = x + (signal == SNUB_SIGNAL_NOTICE ? 2 : 8.6);
    snub_press_words(press, left + room / 2, y + height / 2 + 1.4, need > room ? 3 * room / need : 3, true,
                     panels[signal].white ? SNUB_INK_PAPER : SNUB_INK_TEXT, 0, word);
    block(press, &t, x + panel + 2.5, y + (height - words) / 2, width, text, true);
    press->y += height + 1.5;
}

/* Levels come from the kit room; named here so that the catalogue knows them. */
static const char *const levels[] = {MESSAGE("pass"), MESSAGE("note"), MESSAGE("watch"), MESSAGE("fail")};

/* ---- tables --------------------------------------------------------------------------------------------------------
 */

#define CELL_PAD 1.2

static double cell(snub_press *press, const snub_press_column *c, double x, double y, double width, double height,
                   bool bold, snub_ink ink, const char *text, bool draw)
{
    type t = {height, bold, ink, c->across};
    return text == NULL || text[0] == '\0' ? 0 : block(press, &t, x + CELL_PAD, y, width - 2 * CELL_PAD, text, draw);
}

static void table_head(snub_press *press, const snub_press_column *columns, int count, double all)
{
    double deep[2] = {0, 0}, x = press->left, width = press->right - press->left;
    for (int pass = 0; pass < 2; pass++) {
        x = press->left;
        for (int i = 0; i < count; i++) {
            double part = width * columns[i].share / all;
            deep[0] = fmax(deep[0], cell(press, &columns[i], x, press->y, part, SMALL, true, SNUB_INK_TEXT,
                                         columns[i].title, pass == 1));
            x += part;
        }
        x = press->left;
        for (int i = 0; i < count; i++) {
            double part = width * columns[i].share / all;
            deep[1] = fmax(deep[1], cell(press, &columns[i], x, press->y + deep[0], part, SMALL, false, SNUB_INK_QUIET,
                                         columns[i].unit, pass == 1));
            x += part;
        }
    }
    press->y += deep[0] + deep[1] + 0.8;
    rule(press, press->left, press->y, press->right, press->y, 0.35, SNUB_INK_OUTLINE);
    press->y += 0.7;
}

void snub_press_table(snub_press *press, const snub_press_column *columns, int count, const char *const *cells,
                      int rows)
{
    double all = 0, width = press->right - press->left;
    for (int i = 0; i < count; i++)
        all += columns[i].share;
    snub_press_room(press, 18);
    table_head(press, columns, count, all);
    for (int r = 0; r < rows; r++) {
        double deep = 0;
        for (int pass = 0; pass < 2; pass++) {
            if (pass == 1 && press->y + deep > press->bottom) {
                snub_press_page(press);
                table_head(press, columns, count, all);
            }
            double x = press->left;
            for (int i = 0; i < count; i++) {
                const char *text = cells[(size_t)r * (size_t)count + (size_t)i];
                double part = width * columns[i].share / all;
                bool fail = text != NULL && strcmp(text, SAY(levels[3])) == 0;
                bool watch = text != NULL && strcmp(text, SAY(levels[2])) == 0;
                deep = fmax(deep, cell(press, &columns[i], x, press->y, part, press->cell > 0 ? press->cell : 1.85,
                                       fail || watch,
                                       fail    ? SNUB_INK_FAIL
                                       : watch ? SNUB_INK_WATCH
                                               : SNUB_INK_TEXT,
                                       text, pass == 1));
                x += part;
            }
        }
        press->y += deep + 0.5;
        rule(press, press->left, press->y, press->right, press->y, 0.1, SNUB_INK_FAINT);
        press->y += 0.5;
    }
    press->y += 1;
}

/* ---- words ---------------------------------------------------------------------------------------------------------
 */

static const char *value_of(const char *name, size_t length, va_list pairs)
{
    const char *key;
    while ((key = va_arg(pairs, const char *)) != NULL) {
        const char *value = va_arg(pairs, const char *);
        if (strlen(key) == length && memcmp(key, name, length) == 0)
            return value;
    }
    return NULL;
}

const char *snub_press_fill(snub_press *press, const char *text, ...)
{
    snub_text out = {0};
    for (const char *c = text; *c != '\0';) {
        const char *end = *c == '{' ? strchr(c, '}') : NULL;
        const char *value = NULL;
        if (end != NULL) {
            va_list pairs;
            va_start(pairs, text);
            value = value_of(c + 1, (size_t)(end - c - 1), pairs);
            va_end(pairs);
        }
        if (value != NULL) {
            snub_text_puts(&out, value);
            c = end + 1;
        } else {
            snub_text_add(&out, c++, 1);
        }
    }
    const char *copy = out.failed || out.data == NULL ? NULL : snub_copy_text(press->arena, out.data);
    snub_text_free(&out);
    if (copy == NULL)
        press->failed = press->failed || text[0] != '\0';
    return copy != NULL ? copy : "";
}

const char *snub_press_number(snub_press *press, double value, int decimals, const char *unit)
{
    char number[32];
    snub_number_text(press->speech, value, decimals, number);
    if (unit == NULL || unit[0] == '\0' || !isfinite(value))
        return snub_press_fill(press, "{n}", "n", number, NULL);
    return snub_press_fill(press, "{n}\xc2\xa0{unit}", "n", number, "unit", unit, NULL);
}

static const char *both(snub_press *press, double metric, int decimals, const char *unit, double inch,
                        int inch_decimals, const char *inch_unit)
{
    const char *a = snub_press_number(press, metric, decimals, unit);
    const char *b = snub_press_number(press, inch, inch_decimals, inch_unit);
    bool swap = press->speech != NULL && press->speech->inches;
    return snub_press_fill(press, "{a} ({b})", "a", swap ? b : a, "b", swap ? a : b, NULL);
}

const char *snub_press_length(snub_press *press, double metres, int decimals)
{
    return both(press, metres * 1000, decimals, "mm", metres / 0.0254, decimals + 2, "in");
}

const char *snub_press_torque(snub_press *press, double newton_metres)
{
    const double pound_foot = 1.3558179483314004; /* N m in a lbf ft, exact by definition of lb, g and ft */
    double value = newton_metres / pound_foot;
    return both(press, newton_metres, newton_metres < 10 ? 1 : 0, "N\xc2\xa0m", value, value < 10 ? 1 : 0,
                "lbf\xc2\xa0"
                "ft");
}

const char *snub_press_pressure(snub_press *press, double pascals)
{
    return both(press, pascals / 1000, 0, "kPa", pascals / 6894.757293168361, 1, "psi");
}
