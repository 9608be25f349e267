/* Any text as a file with an error in it: the rendering stays in bounds and sends no control character to a terminal.
 * First two bytes: line and column. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "snub/base.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    snub_place place = {.file = "a.yaml"};
    snub_error error;
    snub_text out = {0};
    char word[64] = "";
    if (size < 2)
        return 0;
    place.line = data[0];
    place.column = data[1];
    memcpy(word, data + 2, size - 2 < sizeof word - 1 ? size - 2 : sizeof word - 1);
    snub_fail(&error, SNUB_BAD_INPUT, &place, word, "unknown word \"%s\"", word);
    snub_error_render(&error, (const char *)data + 2, size - 2, &out);
    for (size_t i = 0; i < out.length; i++) {
        unsigned char byte = (unsigned char)out.data[i];
        if ((byte < 0x20 && byte != '\n') || byte == 0x7F)
            abort();
    }
    const char *at = out.data, *end = out.data + out.length;
    int column = 0;
    while (at < end) { /* no shown line of the source is wider than it may be: 4 + 100 + 4, and the caret's own */
        uint32_t point = snub_utf8_next(&at, end);
        column = point == '\n' ? 0 : column + snub_utf8_width(point);
        if (column > 700)
            abort();
    }
    snub_text_free(&out);
    return 0;
}
