/** qr.h - QR codes as filled squares. Private to the room. */
#ifndef SNUB_REPORT_QR_H
#define SNUB_REPORT_QR_H

#include <pango/pangocairo.h>

#include "snub/base.h"

/** Least side of a printed code without its quiet zone [mm]: what a phone reads at arm's length (rule of thumb, no
 *  published source). */
#define SNUB_QR_SIDE 18.0
/** White round it, in modules: ISO/IEC 18004. */
#define SNUB_QR_QUIET 4

/** Side with the quiet zone [mm]. @return NAN: the text is too long for a code */
double snub_qr_side(const char *text);
/** Draw a text's code, error correction M (15 % of it may be lost), with its quiet zone; user space in mm.
 *  @return as snub_qr_side, of what was drawn */
double snub_qr_draw(cairo_t *cr, const char *text, double x, double y);

#endif
