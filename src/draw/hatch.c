/** Hatching: parallel lines cut to the inside of loops. */
#include <math.h>
#include <stdlib.h>

#include "compose.h"
#include "shape.h"

/** Loops are made of straight pieces that stray by this part of the spacing; nobody sees less. */
#define STRAY_OF_SPACING 0.02
/** More lines than this are a mistake of the caller, not a hatching. */
enum { LINES_MOST = 20000 };

static int by_value(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

typedef struct outline {
    int count;
    double (*point)[2]; /**< turned so that the hatching runs along x */
} outline;

/* Where the line y = level crosses the outlines; half-open in y, so that a corner counts once. */
static int crossings(const outline *outlines, int count, double level, double *cross)
{
    int n = 0;
    for (int i = 0; i < count; i++)
        for (int k = 0; k < outlines[i].count; k++) {
            const double *a = outlines[i].point[k], *b = outlines[i].point[(k + 1) % outlines[i].count];
            if ((a[1] <= level) != (b[1] <= level))
                cross[n++] = a[0] + (level - a[1]) / (b[1] - a[1]) * (b[0] - a[0]);
        }
    qsort(cross, (size_t)n, sizeof *cross, by_value);
    return n;
}

/* Flatten and turn by -angle. @return whole number of points, -1 without memory */
static int turned(const snub_loop *loop, int count, double angle, double stray, snub_arena *arena, outline *outlines,
                  double *low, double *high)
{
    int all = 0;
    double c = cos(angle), s = sin(angle);
    *low = INFINITY;
    *high = -INFINITY;
    for (int i = 0; i < count; i++) {
        outlines[i].count = snub_loop_flatten(&loop[i], stray, arena, &outlines[i].point);
        if (outlines[i].count < 0)
            return -1;
        all += outlines[i].count;
        for (int k = 0; k < outlines[i].count; k++) {
            double *p = outlines[i].point[k], x = p[0], y = p[1];
            p[0] = c * x + s * y;
            p[1] = -s * x + c * y;
            *low = fmin(*low, p[1]);
            *high = fmax(*high, p[1]);
        }
    }
    return all;
}

void snub_draw_hatch(snub_drawing *drawing, snub_layer layer, snub_pen pen, const snub_loop *loop, int count,
                     double angle, double spacing)
{
    if (drawing->failed || count < 1 || !(spacing > 0) || !isfinite(angle))
        return;
    snub_arena scratch = {0};
    double low, high;
    outline *outlines = SNUB_NEW(&scratch, outline, count);
    int all =
        outlines == NULL ? -1 : turned(loop, count, angle, spacing * STRAY_OF_SPACING, &scratch, outlines, &low, &high);
    double *cross = all < 0 ? NULL : SNUB_NEW(&scratch, double, all + 1);
    if (cross == NULL || !((high - low) / spacing < LINES_MOST)) {
        drawing->failed = drawing->failed || cross == NULL || all > 0;
        snub_arena_free(&scratch);
        return;
    }
    double c = cos(angle), s = sin(angle);
    /* Levels are multiples of the spacing, so that neighbouring areas hatch in step. */
    for (double level = (floor(low / spacing) + 0.5) * spacing; level < high; level += spacing) {
        int n = crossings(outlines, count, level, cross);
        for (int i = 0; i + 1 < n; i += 2)
            snub_draw_line(drawing, layer, pen, c * cross[i] - s * level, s * cross[i] + c * level,
                           c * cross[i + 1] - s * level, s * cross[i + 1] + c * level);
    }
    snub_arena_free(&scratch);
}
