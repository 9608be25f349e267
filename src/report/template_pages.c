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

snub_tiling snub_template_tile(const snub_pages *pages, const snub_drawing *drawing)
{
    const double width = fmin(pages->width, pages->height), height = fmax(pages->width, pages->height);
    snub_tiling t = {.width = width - 2 * EDGE, .height = height - 2 * EDGE - FOOT};
    for (int i = 0; i < 2; i++)
        t.whole[i] = (drawing->high[i] - drawing->low[i]) / drawing->unit;
    t.across = (int)fmax(1, ceil((t.whole[0] - SNUB_TEMPLATE_OVERLAP) / (t.width - SNUB_TEMPLATE_OVERLAP)));
    t.down = (int)fmax(1, ceil((t.whole[1] - SNUB_TEMPLATE_OVERLAP) / (t.height - SNUB_TEMPLATE_OVERLAP)));
    return t;
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
    const int column = (int)fmin(tiling->across - 1, floor(x / (tiling->width - SNUB_TEMPLATE_OVERLAP)));
    const int row = (int)fmin(tiling->down - 1, floor(y / (tiling->height - SNUB_TEMPLATE_OVERLAP)));
    return snub_template_page_name(pages, column, row);
}
