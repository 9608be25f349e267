/* Text from anywhere, fit for a terminal. */
#include "safe_text.h"

/* A byte that begins no character is read as U+FFFD, by itself; the character U+FFFD has three bytes and shows. */
static bool is_stray(uint32_t point, size_t bytes)
{
    return point == 0xFFFD && bytes == 1;
}

int snub_safe_width(uint32_t point, size_t bytes)
{
    if (is_stray(point, bytes))
        return 4;
    if (!snub_utf8_is_hidden(point))
        return snub_utf8_width(point);
    return point <= 0xFF ? 4 : point <= 0xFFFF ? 6 : 10;
}

void snub_safe_add(snub_text *out, uint32_t point, const char *start, size_t bytes)
{
    if (is_stray(point, bytes))
        snub_text_printf(out, "\\x%02X", (unsigned)(unsigned char)start[0]);
    else if (!snub_utf8_is_hidden(point))
        snub_text_add(out, start, bytes);
    else
        snub_text_printf(out, point <= 0xFF ? "\\x%02X" : point <= 0xFFFF ? "\\u%04X" : "\\U%08X", (unsigned)point);
}

void snub_text_safe(snub_text *out, const char *text, size_t length)
{
    const char *end = text + length;
    snub_text_puts(out, "");
    while (text < end) {
        const char *start = text;
        const uint32_t point = snub_utf8_next(&text, end);
        snub_safe_add(out, point, start, (size_t)(text - start));
    }
}
