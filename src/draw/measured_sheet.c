/** The sheet of what was measured. */
#include "measured_sheet.h"

#include <math.h>

#include "compose.h"

#define HEAD 12.0   /* sheet mm for the title */
#define FOOT 26.0   /* for what the lines mean */
#define AROUND 18.0 /* round what is drawn, for names */

double snub_measured_factor(double longest, double room)
{
    if (!(longest > 0.0))
        return 1.0;
    const double most = room / longest, power = pow(10.0, floor(log10(most)));
    return fmax(1.0, power * (most >= 5.0 * power ? 5.0 : most >= 2.0 * power ? 2.0 : 1.0));
}

double snub_measured_sheet(snub_drawing *drawing, const snub_extent *extent, const snub_locale *locale,
                           snub_arena *arena)
{
    const double letter[2] = {215.9, 279.4}, a4[2] = {210.0, 297.0};
    const double *paper = snub_draw_inches(locale) ? letter : a4;
    const double width = extent->high[0] - extent->low[0], height = extent->high[1] - extent->low[1];
    const bool flat = width > height;
    const double w = paper[flat], h = paper[!flat];
    const double room[2] = {w - 2.0 * (MEASURED_MARGIN + AROUND), h - 2.0 * (MEASURED_MARGIN + AROUND) - HEAD - FOOT};
    const double scale = snub_round_scale(width, height, room[0], room[1]);
    snub_drawing_init(drawing, arena, scale);
    drawing->inches = snub_draw_inches(locale);
    const double middle = 0.5 * (extent->low[0] + extent->high[0]);
    const double up = 0.5 * (extent->low[1] + extent->high[1]) + 0.5 * (HEAD - FOOT) * scale;
    snub_drawing_frame(drawing, middle - 0.5 * w * scale, up - 0.5 * h * scale, middle + 0.5 * w * scale,
                       up + 0.5 * h * scale);
    return scale;
}

void snub_measured_line(snub_drawing *drawing, double row, double height, bool bold, const char *text)
{
    const snub_lettering lettering = {.height = height, .across = -1, .up = -1, .ink = SNUB_INK_TEXT, .bold = bold};
    snub_draw_text(drawing, SNUB_LAYER_FRAME, &lettering, drawing->low[0] + MEASURED_MARGIN * drawing->unit, row, text);
}

double snub_measured_frame(snub_drawing *drawing, const snub_locale *locale, const char *title,
                           const snub_measured_key *keys, int count)
{
    const double scale = drawing->unit, low = drawing->low[1] + MEASURED_MARGIN * scale;
    snub_measured_line(drawing, drawing->high[1] - (MEASURED_MARGIN + 4.0) * scale, 3.5, true, title);
    snub_draw_scale_bar(drawing, locale, drawing->low[0] + MEASURED_MARGIN * scale, low, 40.0 * scale);
    double row = low + 8.0 * scale; /* over the scale bar and its numbers */
    for (int i = 0; i < count; i++) {
        if (!keys[i].there)
            continue;
        snub_measured_line(drawing, row, MEASURED_LETTERS, false, snub_say(locale, keys[i].words));
        row += 4.0 * scale;
    }
    return row;
}
