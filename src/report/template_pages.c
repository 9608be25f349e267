/* How the full-size template is cut to pages. */
#include "template_pages.h"

#include <math.h>
#include <stdio.h>

snub_status snub_template_draw(snub_pages *pages, snub_drawing *drawing, snub_error *error)
{
    snub_view view;
    snub_status status =
        snub_build_view(pages->build->build, pages->build->rest, pages->locale, pages->arena, &view, error);
    if (status != SNUB_OK)
        return status;
    view.bare = true;
    view.warning = NULL; /* it is on every page already */
    return snub_draw_template(&view, pages->locale, pages->arena, drawing, error);
}

/** Where something is drawn, in dots. */
typedef struct mask {
    cairo_surface_t *picture;
    const unsigned char *data;
    int width, height, stride;
} mask;

static bool open_mask(const snub_drawing *drawing, const snub_tiling *t, mask *m)
{
    *m = (mask){.width = (int)ceil(t->whole[0]) + 1, .height = (int)ceil(t->whole[1]) + 1}; /* a dot to the mm */
    m->picture = cairo_image_surface_create(CAIRO_FORMAT_A8, m->width, m->height);
    cairo_t *cr = cairo_create(m->picture);
    snub_cairo_drawing(cr, drawing, SNUB_THEME_LIGHT, 0, 0, 1);
    const bool good = cairo_status(cr) == CAIRO_STATUS_SUCCESS;
    cairo_destroy(cr);
    cairo_surface_flush(m->picture);
    m->data = cairo_image_surface_get_data(m->picture);
    m->stride = cairo_image_surface_get_stride(m->picture);
    return good && m->data != NULL;
}

static bool nothing_in(const mask *m, const double low[2], const double high[2])
{
    const int left = (int)fmax(0, floor(low[0])), right = (int)fmin(m->width, ceil(high[0]));
    const int top = (int)fmax(0, floor(low[1])), bottom = (int)fmin(m->height, ceil(high[1]));
    for (int y = top; y < bottom; y++)
        for (int x = left; x < right; x++)
            if (m->data[(size_t)y * (size_t)m->stride + (size_t)x] != 0)
                return false;
    return true;
}

/* What a tile shows and the page at its left and the one above it do not. */
static bool is_blank(const mask *m, const snub_tiling *t, int column, int row)
{
    const double at[2] = {column * (t->width - SNUB_TEMPLATE_OVERLAP) - t->shift[0],
                          row * (t->height - SNUB_TEMPLATE_OVERLAP) - t->shift[1]};
    const double low[2] = {at[0] + (column > 0 ? SNUB_TEMPLATE_OVERLAP : 0),
                           at[1] + (row > 0 ? SNUB_TEMPLATE_OVERLAP : 0)};
    const double high[2] = {at[0] + t->width, at[1] + t->height};
    return nothing_in(m, low, high);
}

static void look(const mask *m, snub_tiling *t)
{
    t->printed = 0;
    for (int i = 0; i < t->across * t->down; i++) {
        t->blank[i] = is_blank(m, t, i % t->across, i / t->across);
        t->printed += !t->blank[i];
    }
}

/* The pages cover more than the drawing: lay it where the fewest have a piece of it. */
static void choose_pages(snub_pages *pages, const snub_drawing *drawing, snub_tiling *t)
{
    enum { STEPS = 8 };
    const double room[2] = {t->across * (t->width - SNUB_TEMPLATE_OVERLAP) + SNUB_TEMPLATE_OVERLAP - t->whole[0],
                            t->down * (t->height - SNUB_TEMPLATE_OVERLAP) + SNUB_TEMPLATE_OVERLAP - t->whole[1]};
    mask m;
    if (t->across * t->down > SNUB_TEMPLATE_PAGES_MOST)
        return;
    if (!open_mask(drawing, t, &m)) {
        cairo_surface_destroy(m.picture);
        pages->failed = true;
        return;
    }
    look(&m, t);
    for (int i = 0; i < (STEPS + 1) * (STEPS + 1); i++) {
        snub_tiling tried = *t;
        tried.shift[0] = room[0] * (i % (STEPS + 1)) / STEPS;
        tried.shift[1] = room[1] * (i / (STEPS + 1)) / STEPS;
        look(&m, &tried);
        if (tried.printed < t->printed)
            *t = tried;
    }
    cairo_surface_destroy(m.picture);
}

bool snub_template_page_is(const snub_tiling *t, int column, int row)
{
    return column >= 0 && row >= 0 && column < t->across && row < t->down && !t->blank[row * t->across + column];
}

void snub_template_tile(snub_pages *pages, const snub_drawing *drawing, snub_tiling *tiling)
{
    const double width = fmin(pages->width, pages->height), height = fmax(pages->width, pages->height);
    *tiling = (snub_tiling){.width = width - 2 * EDGE, .height = height - 2 * EDGE - FOOT};
    for (int i = 0; i < 2; i++)
        tiling->whole[i] = (drawing->high[i] - drawing->low[i]) / drawing->unit;
    const double step[2] = {tiling->width - SNUB_TEMPLATE_OVERLAP, tiling->height - SNUB_TEMPLATE_OVERLAP};
    tiling->across = (int)fmax(1, ceil((tiling->whole[0] - SNUB_TEMPLATE_OVERLAP) / step[0]));
    tiling->down = (int)fmax(1, ceil((tiling->whole[1] - SNUB_TEMPLATE_OVERLAP) / step[1]));
    choose_pages(pages, drawing, tiling);
}

const char *snub_template_page_name(snub_pages *pages, int column, int row)
{
    char text[32];
    if (column < 26)
        snprintf(text, sizeof text, "%c%d", 'A' + column, row + 1);
    else
        snprintf(text, sizeof text, "%c%c%d", 'A' + column / 26 - 1, 'A' + column % 26, row + 1);
    return snub_pages_fill(pages, "{t}", "t", text, NULL);
}

const char *snub_template_page_at(snub_pages *pages, const snub_drawing *drawing, const snub_tiling *tiling,
                                  const double at[2])
{
    const double x = (at[0] / SNUB_MM - drawing->low[0]) / drawing->unit;
    const double y = (drawing->high[1] - at[1] / SNUB_MM) / drawing->unit;
    if (!(x >= 0 && y >= 0 && x <= tiling->whole[0] && y <= tiling->whole[1]) ||
        tiling->across * tiling->down > SNUB_TEMPLATE_PAGES_MOST)
        return "";
    int column = (int)fmin(tiling->across - 1, floor((x + tiling->shift[0]) / (tiling->width - SNUB_TEMPLATE_OVERLAP)));
    int row = (int)fmin(tiling->down - 1, floor((y + tiling->shift[1]) / (tiling->height - SNUB_TEMPLATE_OVERLAP)));
    for (int back = 1; back <= 3 && !snub_template_page_is(tiling, column, row); back++) {
        /* left out, since what it would show is in the overlap of those before it */
        if (snub_template_page_is(tiling, column - (back & 1), row - (back >> 1))) {
            column -= back & 1;
            row -= back >> 1;
        }
    }
    return snub_template_page_name(pages, column, row);
}
