/* UTF-8 as a terminal shows it. */
#include "snub/base.h"

#include <string.h>

enum { REPLACEMENT = 0xFFFD };

/* Bytes that the lead byte promises; 0 where it is none. C0, C1 and F5.. begin no valid character. */
static int promised(unsigned char lead)
{
    if (lead < 0x80)
        return 1;
    if (lead >= 0xC2 && lead <= 0xDF)
        return 2;
    if (lead >= 0xE0 && lead <= 0xEF)
        return 3;
    return lead >= 0xF0 && lead <= 0xF4 ? 4 : 0;
}

uint32_t snub_utf8_next(const char **at, const char *end)
{
    static const uint32_t smallest[] = {0, 0, 0x80, 0x800, 0x10000};
    const unsigned char *byte = (const unsigned char *)*at;
    int length = promised(byte[0]);
    if (length == 1 || length == 0 || end - *at < length) {
        *at += 1;
        return length == 1 ? byte[0] : REPLACEMENT;
    }
    uint32_t point = byte[0] & (0x7FU >> length);
    for (int i = 1; i < length; i++) {
        if ((byte[i] & 0xC0) != 0x80) {
            *at += 1;
            return REPLACEMENT;
        }
        point = point << 6 | (byte[i] & 0x3FU);
    }
    if (point < smallest[length] || point > 0x10FFFF || (point >= 0xD800 && point <= 0xDFFF)) {
        *at += 1;
        return REPLACEMENT;
    }
    *at += length;
    return point;
}

typedef struct point_range {
    uint32_t from, to;
} point_range;

static bool is_in(uint32_t point, const point_range *ranges, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (point >= ranges[i].from && point <= ranges[i].to)
            return true;
    }
    return false;
}

int snub_utf8_width(uint32_t point)
{
    /* The common ranges of combining marks and of East Asian Width W and F (Unicode 15, annex 11). */
    static const point_range none[] = {{0x0300, 0x036F}, {0x0591, 0x05BD}, {0x064B, 0x065F}, {0x200B, 0x200F},
                                       {0x202A, 0x202E}, {0x2060, 0x2069}, {0x20D0, 0x20FF}, {0xFE00, 0xFE0F},
                                       {0xFE20, 0xFE2F}, {0xFEFF, 0xFEFF}};
    static const point_range wide[] = {{0x1100, 0x115F}, {0x2E80, 0xA4CF},   {0xAC00, 0xD7A3},
                                       {0xF900, 0xFAFF}, {0xFE30, 0xFE6F},   {0xFF00, 0xFF60},
                                       {0xFFE0, 0xFFE6}, {0x1F300, 0x1FAFF}, {0x20000, 0x3FFFD}};
    if (point < 0x300)
        return 1;
    if (is_in(point, none, sizeof none / sizeof none[0]))
        return 0;
    return is_in(point, wide, sizeof wide / sizeof wide[0]) ? 2 : 1;
}

int snub_text_width(const char *text)
{
    const char *end = text + strlen(text);
    int width = 0;
    while (text < end)
        width += snub_utf8_width(snub_utf8_next(&text, end));
    return width;
}
