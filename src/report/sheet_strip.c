/** Strips at full size: a slot with a line where its bolt's middle belongs, for every build of a kit. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "ruler.h"
#include "words.h"

#define LANE 8.0         /**< mm that a line reaches out of the slot on the side without words */
#define USUAL_WIDTH 10.0 /**< mm of a slot whose width the file does not say */
#define ROW 4.0          /**< mm between the words of two builds */
#define WORDS_AT 16.0    /**< mm from the slot to the words */
#define WORDS 1.9        /**< mm, their capitals */
#define SIDE 26.0        /**< mm from the type area to the slot's middle */
#define HEAD 62.0        /**< mm for the words on top of the page */
enum { BENDS = 96, ROUND = 24 };

/* One slot, and the builds that are set in it. */
typedef struct strip {
    const char *pulley;
    const snub_charted_slot *slot;
} strip;

typedef struct mark {
    int build;
    double setting; /* m */
} mark;

/* The slot turned so that it leads down the page. */
typedef struct frame {
    const snub_slot *slot;
    double x, y;     /* of its zero on the page, mm */
    double cos, sin; /* of the turn */
    double width;    /* mm */
} frame;

/* ---- places --------------------------------------------------------------------------------------------------------
 */

static frame frame_of(const snub_charted_slot *slot, double x, double y)
{
    const snub_slot *s = &slot->slot;
    const double dx = s->to[0] - s->from[0], dy = s->to[1] - s->from[1], length = hypot(dx, dy);
    frame f = {s, x, y, 1.0, 0.0, slot->width > 0.0 ? slot->width / SNUB_MM : USUAL_WIDTH};
    if (length > 0.0) { /* (dx, dy) is turned to (0, -1), which is down: the page's y runs the other way */
        f.cos = -dy / length;
        f.sin = -dx / length;
    }
    return f;
}

/* Middle of the slot at a setting, and the direction across it, on the page. */
static void place(const frame *f, double setting, double at[2], double across[2])
{
    const double step = 1e-6 * f->slot->length, low = fmax(0.0, fmin(setting, f->slot->length - step));
    double p[2], q[2];
    snub_slot_point(f->slot, setting, p);
    const double x = p[0] - f->slot->from[0], y = p[1] - f->slot->from[1];
    at[0] = f->x + (f->cos * x - f->sin * y) / SNUB_MM;
    at[1] = f->y - (f->sin * x + f->cos * y) / SNUB_MM;
    snub_slot_point(f->slot, low, p);
    snub_slot_point(f->slot, low + step, q);
    const double dx = (q[0] - p[0]) / step, dy = (q[1] - p[1]) / step;
    const double along[2] = {f->cos * dx - f->sin * dy, -(f->sin * dx + f->cos * dy)};
    across[0] = along[1]; /* to the right where it leads down */
    across[1] = -along[0];
}

/* Outline of the slot: both sides and half circles at its ends. */
static void draw_slot(snub_pages *pages, const frame *f)
{
    const double half = f->width / 2;
    double at[2], n[2];
    cairo_new_path(pages->cr);
    for (int side = 1; side >= -1; side -= 2) {
        for (int k = 0; k <= BENDS; k++) {
            const int i = side > 0 ? k : BENDS - k;
            place(f, f->slot->length * i / BENDS, at, n);
            cairo_line_to(pages->cr, at[0] + side * half * n[0], at[1] + side * half * n[1]);
        }
        for (int k = 1; k < ROUND; k++) { /* onwards over the end: from n by way of along */
            const double turn = SNUB_PI * k / ROUND, c = side * half * cos(turn), s = side * half * sin(turn);
            cairo_line_to(pages->cr, at[0] + c * n[0] - s * n[1], at[1] + c * n[1] + s * n[0]);
        }
    }
    cairo_close_path(pages->cr);
    cairo_set_source_rgb(pages->cr, 0, 0, 0);
    cairo_set_line_width(pages->cr, 0.2);
    cairo_stroke(pages->cr);
}

/* A line across the slot with its words to the right; `row` is where these stand. */
static void draw_mark(snub_pages *pages, const frame *f, double setting, double right, double row, const char *words)
{
    double at[2], n[2];
    const double half = f->width / 2;
    place(f, setting, at, n);
    snub_stroke(pages->cr, at[0] - (half + LANE) * n[0], at[1] - (half + LANE) * n[1], at[0] + (half + 2) * n[0],
                at[1] + (half + 2) * n[1], 0.12);
    if (words == NULL)
        return;
    snub_stroke(pages->cr, at[0] + (half + 2) * n[0], at[1] + (half + 2) * n[1], right - 2, row, 0.08);
    const double room = pages->right - right, need = snub_text_measure(words, WORDS, false);
    snub_pages_words(pages, right, row + 0.8, need > room ? WORDS * room / need : WORDS, false, SNUB_INK_TEXT, -1,
                     words);
}

/* ---- one page ------------------------------------------------------------------------------------------------------
 */

static const char *mark_words(snub_pages *pages, const snub_chart *chart, const mark *m)
{
    const snub_charted *b = &chart->builds[m->build];
    snub_text row = {0};
    char number[16];
    snprintf(number, sizeof number, "%d", m->build + 1);
    snub_row own = *b->row;
    own.set_count = 0; /* what the caller lays over all builds stands on top of the page */
    snub_row_words(&own, false, pages->locale, &row);
    const char *words = snub_pages_fill(pages, SAY("build {number}: {set}, {row}; {belt}"), "number", number, "set",
                                        snub_pages_length(pages, m->setting, 1), "row", snub_pages_keep(pages, &row),
                                        "belt", b->designation, NULL);
    return b->row->code[0] == '\0'
               ? words
               : snub_pages_fill(pages, "{words}; {code}", "words", words, "code",
                                 snub_pages_fill(pages, SAY("code {code}"), "code", b->row->code, NULL), NULL);
}

static void head(snub_pages *pages, const strip *of)
{
    pages->left = EDGE + 2;
    pages->right = pages->width - EDGE - 2;
    pages->bottom = pages->height - EDGE - FOOT;
    pages->y = EDGE + 4;
    snub_pages_words(pages, pages->left, pages->y, 4, true, SNUB_INK_TEXT, -1,
                     pages->sheet->title != NULL ? pages->sheet->title : "");
    pages->y += 4;
    snub_pages_heading(pages,
                       snub_pages_fill(pages, SAY("Setting strip of {name}, full size"), "name", of->pulley, NULL));
    if (pages->subject[0] != '\0')
        snub_pages_paragraph(pages, pages->subject);
    snub_pages_step(pages, 1, snub_ruler_words(pages));
    snub_pages_step(
        pages, 2,
        snub_pages_fill(pages,
                        SAY("Cut the slot out and lay the paper on the bracket, slot on slot, seen from the "
                            "front of the engine: 0 lies at the {end}."),
                        "end", SAY(snub_slot_zero_end(&of->slot->slot)), NULL));
    snub_pages_step(pages, 3, SAY("Set the middle of the bolt on the line of the build that you fit."));
    if (!(of->slot->width > 0.0))
        snub_pages_quiet(pages, SAY("The drive file does not say how wide the slot is: its ends on this page are those "
                                    "of the bolt's middle, its sides are not to scale."));
}

/* Words spread over the page where lines lie near to each other, in their order, about as far up as down. */
static void spread(const frame *f, const mark *marks, int count, double top, double bottom, double *row)
{
    double at[2], n[2], moved = 0.0;
    for (int k = 0; k < count; k++) {
        place(f, marks[k].setting, at, n);
        row[k] = k > 0 ? fmax(at[1], row[k - 1] + ROW) : at[1];
        moved += (row[k] - at[1]) / count;
    }
    for (int k = 0; k < count; k++)
        row[k] = fmax(row[k] - moved, top + k * ROW);
    for (int k = count - 1; k >= 0; k--)
        row[k] = fmin(row[k], bottom - (count - 1 - k) * ROW);
}

static void print_strip(snub_pages *pages, const snub_chart *chart, const strip *of, const mark *marks, int count)
{
    const double cap = (of->slot->width > 0.0 ? of->slot->width / SNUB_MM : USUAL_WIDTH) / 2;
    const frame f = frame_of(of->slot, pages->left + SIDE, EDGE + HEAD + cap);
    double *row = SNUB_NEW(pages->arena, double, count + 1);
    double at[2], n[2];
    if (row == NULL) {
        pages->failed = true;
        return;
    }
    draw_slot(pages, &f);
    const double right = pages->left + SIDE + f.width / 2 + WORDS_AT;
    spread(&f, marks, count, EDGE + HEAD, pages->bottom - 3, row);
    for (int k = 0; k < count; k++)
        draw_mark(pages, &f, marks[k].setting, right, row[k], mark_words(pages, chart, &marks[k]));
    for (int end = 0; end < 2; end++) {
        const double setting = end == 0 ? 0.0 : of->slot->slot.length;
        draw_mark(pages, &f, setting, 0, 0, NULL);
        place(&f, setting, at, n);
        snub_pages_words(pages, at[0] - (f.width / 2 + LANE + 1) * n[0], at[1] + 0.8, 1.9, true, SNUB_INK_TEXT, 1,
                         end == 0 ? "0" : snub_pages_number(pages, setting / SNUB_MM, 1, "mm"));
    }
    snub_ruler(pages);
    snub_ruler_origin(pages);
}

/* ---- all of them ---------------------------------------------------------------------------------------------------
 */

/* Builds that are set in a slot, by rising setting; nobody is to set one that fails. */
static int marks_of(const snub_chart *chart, const strip *of, mark *marks)
{
    int count = 0;
    for (int b = 0; b < chart->build_count; b++) {
        const snub_charted *build = &chart->builds[b];
        const int p = snub_charted_pulley_named(build, of->pulley);
        if (p < 0 || !build->settled || build->verdict == SNUB_FAIL || build->pulleys[p].slot != of->slot ||
            !isfinite(build->pulleys[p].setting))
            continue;
        int at = count++;
        for (; at > 0 && marks[at - 1].setting > build->pulleys[p].setting; at--)
            marks[at] = marks[at - 1];
        marks[at] = (mark){b, build->pulleys[p].setting};
    }
    return count;
}

static bool known(const strip *strips, int count, const strip *one)
{
    for (int i = 0; i < count; i++) {
        if (strips[i].slot == one->slot && strcmp(strips[i].pulley, one->pulley) == 0)
            return true;
    }
    return false;
}

enum { STRIPS_MOST = 64 };

static int list_strips(const snub_chart *chart, strip *strips)
{
    int count = 0;
    for (int b = 0; b < chart->build_count; b++) {
        const snub_charted *build = &chart->builds[b];
        for (int p = 0; p < build->pulley_count; p++) {
            const strip one = {build->pulleys[p].name, build->pulleys[p].slot};
            if (one.slot != NULL && count < STRIPS_MOST && !known(strips, count, &one))
                strips[count++] = one;
        }
    }
    return count;
}

static snub_status print(snub_pages *pages, const void *context, snub_error *error)
{
    const snub_chart *chart = context;
    strip strips[STRIPS_MOST];
    const int count = list_strips(chart, strips);
    mark *marks = SNUB_NEW(pages->arena, mark, chart->build_count);
    const double room = pages->height - 2 * EDGE - FOOT - HEAD - 6;
    const int rows = (int)(room / ROW);
    bool first = true;
    if (marks == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while laying out the sheet");
    for (int i = 0; i < count; i++) {
        const snub_slot *slot = &strips[i].slot->slot;
        const int set = marks_of(chart, &strips[i], marks);
        if (slot->length / SNUB_MM + fmax(strips[i].slot->width / SNUB_MM, USUAL_WIDTH) > room)
            return snub_fail(error, SNUB_TOO_LARGE, NULL, NULL,
                             "the slot of '%.60s' is longer than the page: use --kind template", strips[i].pulley);
        for (int from = 0; from < set; from += rows) {
            if (!first)
                snub_pages_next(pages);
            first = false;
            head(pages, &strips[i]);
            print_strip(pages, chart, &strips[i], marks + from, set - from < rows ? set - from : rows);
        }
    }
    if (first)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL,
                         "no build that passes has a pulley whose slot is set by hand: there is no strip to print");
    return SNUB_OK;
}

snub_status snub_sheet_strip(const snub_sheet *sheet, const snub_chart *chart, snub_text *out, snub_error *error)
{
    snub_pages_job job = {
        .kind = SNUB_MESSAGE("Setting strip"), .chart = chart, .plain = true, .print = print, .context = chart};
    return snub_pages_print(sheet, &job, out, error);
}
