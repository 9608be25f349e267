/* Text that grows. */
#include "snub/base.h"

#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "c_locale.h"

enum { FIRST_ROOM = 128 };

void snub_text_free(snub_text *text)
{
    if (!text)
        return;
    free(text->data);
    *text = (snub_text){0};
}

/* Room for `more` bytes and the NUL. */
static bool grow(snub_text *text, size_t more)
{
    if (text->failed)
        return false;
    if (more > SIZE_MAX / 2 - 1 - text->length) {
        text->failed = true;
        return false;
    }
    size_t need = text->length + more + 1;
    if (need <= text->room)
        return true;
    size_t room = text->room ? text->room : FIRST_ROOM;
    while (room < need)
        room *= 2;
    char *data = realloc(text->data, room);
    if (!data) {
        text->failed = true;
        return false;
    }
    text->data = data;
    text->room = room;
    return true;
}

void snub_text_add(snub_text *text, const char *data, size_t length)
{
    if (!grow(text, length))
        return;
    if (length)
        memcpy(text->data + text->length, data, length);
    text->length += length;
    text->data[text->length] = 0;
}

void snub_text_puts(snub_text *text, const char *line)
{
    snub_text_add(text, line, strlen(line));
}

void snub_text_vprintf(snub_text *text, const char *format, va_list arguments)
{
    va_list again;
    va_copy(again, arguments);
    locale_t before = snub_c_locale_enter();
    int length = vsnprintf(NULL, 0, format, arguments);
    if (length < 0)
        text->failed = true;
    else if (grow(text, (size_t)length)) {
        vsnprintf(text->data + text->length, (size_t)length + 1, format, again);
        text->length += (size_t)length;
    }
    snub_c_locale_leave(before);
    va_end(again);
}

void snub_text_printf(snub_text *text, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    snub_text_vprintf(text, format, arguments);
    va_end(arguments);
}

void snub_text_shell(snub_text *text, const char *word)
{
    const char *plain = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-./=:,@%+";
    if (word[0] && strspn(word, plain) == strlen(word)) {
        snub_text_puts(text, word);
        return;
    }
    snub_text_puts(text, "'");
    for (; *word; word++)
        snub_text_printf(text, *word == '\'' ? "'\\''" : "%c", *word);
    snub_text_puts(text, "'");
}
