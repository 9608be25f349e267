/* QR codes. */
#include "qr.h"

#include <errno.h>
#include <math.h>
#include <qrencode.h>

/* Upper-case letters and digits alone take less room than bytes: the library finds the mode. NULL: too long. */
static QRcode *encode(const char *text)
{
    return QRcode_encodeString(text, 0, QR_ECLEVEL_M, QR_MODE_8, 1);
}

/* A module is never finer than that of the smallest code, or a long address would print as dust. */
static double module_of(const QRcode *code)
{
    const double finest = 0.5; /* mm: 12 dots of a 600 dpi printer */
    return fmax(SNUB_QR_SIDE / code->width, finest);
}

static double side_of(const QRcode *code)
{
    return (code->width + 2 * SNUB_QR_QUIET) * module_of(code);
}

double snub_qr_side(const char *text)
{
    QRcode *code = encode(text);
    const double side = code != NULL ? side_of(code) : (double)NAN;
    QRcode_free(code);
    return side;
}

double snub_qr_draw(cairo_t *cr, const char *text, double x, double y)
{
    QRcode *code = encode(text);
    if (code == NULL)
        return NAN;
    const double module = module_of(code), side = side_of(code);
    cairo_save(cr);
    cairo_set_source_rgb(cr, 1, 1, 1);
    cairo_rectangle(cr, x, y, side, side);
    cairo_fill(cr);
    cairo_set_source_rgb(cr, 0, 0, 0);
    for (int row = 0; row < code->width; row++)
        for (int from = 0, to; from < code->width; from = to) { /* neighbours as one: no hairline between them */
            const bool dark = code->data[row * code->width + from] & 1;
            for (to = from + 1; to < code->width && (code->data[row * code->width + to] & 1) == dark;)
                to++;
            if (dark)
                cairo_rectangle(cr, x + (from + SNUB_QR_QUIET) * module, y + (row + SNUB_QR_QUIET) * module,
                                (to - from) * module, module);
        }
    cairo_fill(cr);
    cairo_restore(cr);
    QRcode_free(code);
    return side;
}
