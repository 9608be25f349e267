/* Names of statuses, and errors filled. */
#include "snub/base.h"

#include <stdio.h>
#include <string.h>

#include "c_locale.h"

const char *snub_status_text(snub_status status)
{
    switch (status) {
    case SNUB_OK: return "ok";
    case SNUB_BAD_INPUT: return "bad input";
    case SNUB_NO_MEMORY: return "out of memory";
    case SNUB_IO: return "cannot read or write";
    case SNUB_TOO_LARGE: return "too large";
    case SNUB_NO_TANGENT: return "pulleys overlap";
    case SNUB_LOST_BELT: return "a pulley is off the belt";
    case SNUB_NO_EQUILIBRIUM: return "no equilibrium";
    case SNUB_NO_CONVERGENCE: return "no convergence";
    case SNUB_NO_CHOICE: return "nothing in the kit fits";
    case SNUB_STOPPED: return "stopped";
    }
    return "unknown status";
}

/* A cut must not leave half of a UTF-8 character behind. */
static void end_on_whole_character(char *text, size_t room, int wanted)
{
    if (wanted < (int)room)
        return;
    size_t end = strlen(text), start = end;
    while (start > 0 && ((unsigned char)text[start - 1] & 0xC0) == 0x80)
        start--;
    if (start == 0 || (unsigned char)text[start - 1] < 0xC0)
        return;
    unsigned char lead = (unsigned char)text[start - 1];
    size_t length = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : 2;
    if (end - (start - 1) < length)
        text[start - 1] = 0;
}

snub_status snub_fail(snub_error *error, snub_status code, const snub_place *place, const char *key, const char *format,
                      ...)
{
    if (!error)
        return code;
    snub_error filled = {.code = code};
    if (place)
        filled.place = *place;
    if (key)
        end_on_whole_character(filled.key, sizeof filled.key, snprintf(filled.key, sizeof filled.key, "%s", key));
    va_list arguments;
    va_start(arguments, format);
    locale_t before = snub_c_locale_enter();
    int wanted = vsnprintf(filled.message, sizeof filled.message, format, arguments);
    snub_c_locale_leave(before);
    va_end(arguments);
    end_on_whole_character(filled.message, sizeof filled.message, wanted);
    *error = filled;
    return code;
}
