/** Widths of text, from a table: labels must lie the same whether or not a face is installed here. */
#include "snub/draw.h"

/* Advance widths in 1/1000 of the type size, read from Liberation Sans 2.1, whose widths are those of Arial and
 * Helvetica by design. First 0x20..0x7e, then 0xa0..0xff. */
static const short plain[95 + 96] = {
    278, 278,  355, 556, 556, 889, 667, 191, 333, 333, 389,  584, 278, 333, 278, 278, 556, 556, 556, 556, 556, 556,
    556, 556,  556, 556, 278, 278, 584, 584, 584, 556, 1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667,
    556, 833,  722, 778, 667, 778, 722, 667, 611, 722, 667,  944, 667, 667, 611, 278, 278, 278, 469, 556, 333, 556,
    556, 500,  556, 556, 278, 556, 556, 222, 222, 500, 222,  833, 556, 556, 556, 556, 333, 500, 278, 556, 500, 722,
    500, 500,  500, 334, 260, 334, 584, 278, 333, 556, 556,  556, 556, 260, 556, 333, 737, 370, 556, 584, 0,   737,
    552, 400,  549, 333, 333, 333, 576, 537, 278, 333, 333,  365, 556, 834, 834, 834, 611, 667, 667, 667, 667, 667,
    667, 1000, 722, 667, 667, 667, 667, 278, 278, 278, 278,  722, 722, 778, 778, 778, 778, 778, 584, 778, 722, 722,
    722, 722,  667, 667, 611, 556, 556, 556, 556, 556, 556,  889, 500, 556, 556, 556, 556, 278, 278, 278, 278, 556,
    556, 556,  556, 556, 556, 556, 549, 611, 556, 556, 556,  556, 500, 556, 500};
static const short bold_face[95 + 96] = {
    278, 333,  474, 556, 556, 889, 722, 238, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556, 556, 556, 556,
    556, 556,  556, 556, 333, 333, 584, 584, 584, 611, 975, 722, 722, 722, 722, 667, 611, 778, 722, 278, 556, 722,
    611, 833,  722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 333, 278, 333, 584, 556, 333, 556,
    611, 556,  611, 556, 333, 611, 611, 278, 278, 556, 278, 889, 611, 611, 611, 611, 389, 556, 333, 611, 556, 778,
    556, 556,  500, 389, 280, 389, 584, 278, 333, 556, 556, 556, 556, 280, 556, 333, 737, 370, 556, 584, 0,   737,
    552, 400,  549, 333, 333, 333, 576, 556, 278, 333, 333, 365, 556, 834, 834, 834, 611, 722, 722, 722, 722, 722,
    722, 1000, 722, 667, 667, 667, 667, 278, 278, 278, 278, 722, 722, 778, 778, 778, 778, 778, 584, 778, 722, 722,
    722, 722,  667, 667, 611, 556, 556, 556, 556, 556, 556, 889, 556, 556, 556, 556, 556, 278, 278, 278, 278, 611,
    611, 611,  611, 611, 611, 611, 549, 611, 611, 611, 611, 611, 556, 611, 556};

/* What lies outside of the table: an en by default, a whole em for wide characters and arrows. */
static int other_width(uint32_t point)
{
    switch (point) {
    case 0x2013: return 556;
    case 0x2019: return 278;
    case 0x2022: return 350;
    case 0x2014:
    case 0x2026:
    case 0x2190:
    case 0x2192:
    case 0x25b2:
    case 0x26a0: return 1000;
    default: return snub_utf8_width(point) == 2 ? 1000 : snub_utf8_width(point) == 0 ? 0 : 640;
    }
}

static int advance(uint32_t point, bool bold)
{
    const short *table = bold ? bold_face : plain;
    if (point >= 0x20 && point <= 0x7e)
        return table[point - 0x20];
    if (point >= 0xa0 && point <= 0xff)
        return table[95 + point - 0xa0];
    return other_width(point);
}

double snub_text_measure(const char *text, double height, bool bold)
{
    if (text == NULL)
        return 0;
    const char *end = text;
    while (*end != '\0')
        end++;
    long sum = 0;
    for (const char *at = text; at < end;)
        sum += advance(snub_utf8_next(&at, end), bold);
    return (double)sum / 1000 * height / SNUB_CAPITALS;
}
