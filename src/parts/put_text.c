/* Text into a field of fixed size. */
#include "catalogue.h"

#include <string.h>

void snub_put_text(char *to, size_t room, const char *text)
{
    size_t length = strlen(text);
    if (length >= room) {
        length = room - 1;
        while (length > 0 && ((unsigned char)text[length] & 0xC0) == 0x80)
            length--;
    }
    memcpy(to, text, length);
    to[length] = '\0';
}
