/* Characters that do not show, or that turn what stands beside them: no name holds one, no output passes one on. */
#include "snub/base.h"

typedef struct range {
    uint32_t from, to;
} range;

/* Unicode 15: controls C0 and C1, line and paragraph separators, bidirectional marks, embeddings and isolates, joiners
 * and spaces of no width, fillers, annotations, tags, and the 66 numbers that are no characters (those that end in FFFE
 * and FFFF are looked for by their last bits). */
static const range HIDDEN[] = {{0x0000, 0x001F}, {0x007F, 0x009F},   {0x00AD, 0x00AD},  {0x034F, 0x034F},
                               {0x061C, 0x061C}, {0x115F, 0x1160},   {0x17B4, 0x17B5},  {0x180B, 0x180F},
                               {0x200B, 0x200F}, {0x2028, 0x202E},   {0x2060, 0x206F},  {0x3164, 0x3164},
                               {0xD800, 0xDFFF}, {0xFDD0, 0xFDEF},   {0xFEFF, 0xFEFF},  {0xFFA0, 0xFFA0},
                               {0xFFF0, 0xFFFB}, {0x1D173, 0x1D17A}, {0xE0000, 0xE0FFF}};

bool snub_utf8_is_hidden(uint32_t point)
{
    if ((point & 0xFFFE) == 0xFFFE)
        return true;
    for (size_t i = 0; i < sizeof HIDDEN / sizeof HIDDEN[0]; i++) {
        if (point >= HIDDEN[i].from && point <= HIDDEN[i].to)
            return true;
    }
    return false;
}

bool snub_text_hidden(const char *text, size_t length, uint32_t *point)
{
    const char *end = text + length;
    while (text < end) {
        *point = snub_utf8_next(&text, end);
        if (snub_utf8_is_hidden(*point) && *point != '\t' && *point != '\n' && *point != '\r')
            return true;
    }
    return false;
}
