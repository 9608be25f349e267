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
    if (text->spilled)
        fclose(text->spilled);
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

/* What a terminal would obey or not show, and bytes that are no UTF-8. */
static bool must_escape(const char *word)
{
    const char *end = word + strlen(word);
    while (word < end) {
        const char *start = word;
        const uint32_t point = snub_utf8_next(&word, end);
        if (snub_utf8_is_hidden(point) || (point == 0xFFFD && word - start == 1))
            return true;
    }
    return false;
}

/* $'...' with every byte that is not plain as \xNN, as the usual shells read it. */
static void add_escaped(snub_text *text, const char *word)
{
    snub_text_puts(text, "$'");
    for (; *word; word++) {
        const unsigned char byte = (unsigned char)*word;
        if (byte < 0x20 || byte >= 0x7F || byte == '\'' || byte == '\\')
            snub_text_printf(text, "\\x%02X", (unsigned)byte);
        else
            snub_text_add(text, word, 1);
    }
    snub_text_puts(text, "'");
}

void snub_text_shell(snub_text *text, const char *word)
{
    const char *plain = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-./=:,@%+";
    if (word[0] && strspn(word, plain) == strlen(word)) {
        snub_text_puts(text, word);
        return;
    }
    if (must_escape(word)) {
        add_escaped(text, word);
        return;
    }
    snub_text_puts(text, "'");
    for (; *word; word++)
        snub_text_printf(text, *word == '\'' ? "'\\''" : "%c", *word);
    snub_text_puts(text, "'");
}
