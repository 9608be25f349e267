/** Message catalogues in gettext's compiled form. Read here rather than by the C library, whose lookup hangs on the
 *  process's locale: a sheet in German must come out of a server that runs in any locale, or of two threads at once.
 *  Layout after the GNU gettext manual, "The Format of GNU MO Files". */
#include <stdio.h>
#include <string.h>

#include "snub/locale.h"

static uint32_t word_at(const snub_messages *m, size_t at)
{
    const unsigned char *p = m->data + at;
    return m->swapped ? (uint32_t)p[0] << 24 | (uint32_t)p[1] << 16 | (uint32_t)p[2] << 8 | p[3]
                      : (uint32_t)p[3] << 24 | (uint32_t)p[2] << 16 | (uint32_t)p[1] << 8 | p[0];
}

/* An entry is length and offset; the text ends in a NUL that the length does not count. */
static bool entry_good(const snub_messages *m, size_t at)
{
    size_t length = word_at(m, at), offset = word_at(m, at + 4);
    return offset < m->length && length < m->length - offset && m->data[offset + length] == '\0';
}

snub_status snub_messages_read(const char *data, size_t length, snub_messages *messages, snub_error *error)
{
    static const unsigned char little[4] = {0xde, 0x12, 0x04, 0x95}, big[4] = {0x95, 0x04, 0x12, 0xde};
    snub_messages m = {.data = (const unsigned char *)data, .length = length};
    bool known = length >= 28 && (memcmp(data, little, 4) == 0 || memcmp(data, big, 4) == 0);
    if (known) {
        m.swapped = memcmp(data, big, 4) == 0;
        m.count = word_at(&m, 8);
        m.originals = word_at(&m, 12);
        m.translations = word_at(&m, 16);
    }
    if (!known || word_at(&m, 4) >> 16 > 1)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "not a message catalogue");
    size_t table = (size_t)m.count * 8;
    bool good = m.originals <= length && table <= length - m.originals && m.translations <= length &&
                table <= length - m.translations;
    for (uint32_t i = 0; good && i < m.count; i++)
        good = entry_good(&m, m.originals + 8 * (size_t)i) && entry_good(&m, m.translations + 8 * (size_t)i);
    if (!good)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "the message catalogue is truncated or damaged");
    *messages = m;
    return SNUB_OK;
}

static const char *translation(void *context, const char *english)
{
    const snub_messages *m = context;
    if (english[0] == '\0') /* the catalogue's own head */
        return NULL;
    for (uint32_t low = 0, high = m->count; low < high;) {
        uint32_t middle = low + (high - low) / 2;
        const char *text = (const char *)m->data + word_at(m, m->originals + 8 * (size_t)middle + 4);
        int order = strcmp(english, text);
        if (order == 0)
            return (const char *)m->data + word_at(m, m->translations + 8 * (size_t)middle + 4);
        if (order < 0)
            high = middle;
        else
            low = middle + 1;
    }
    return NULL;
}

/* ---- the catalogue's head ---------------------------------------------------------------------------------------- */

/* The head is the translation of "", which is the first in the order of the originals. */
static const char *head_of(const snub_messages *m)
{
    const bool there = m->count > 0 && word_at(m, m->originals) == 0;
    return there ? (const char *)m->data + word_at(m, m->translations + 4) : "";
}

/* "Field: value" on a line of the head. */
static void head_value(const snub_messages *m, const char *field, char *value, size_t room)
{
    const size_t length = strlen(field);
    value[0] = '\0';
    for (const char *line = head_of(m); *line != '\0'; line += strcspn(line, "\n"), line += *line == '\n') {
        if (strncmp(line, field, length) != 0 || line[length] != ':')
            continue;
        const char *from = line + length + 1;
        from += strspn(from, " ");
        snprintf(value, room, "%.*s", (int)strcspn(from, "\n"), from);
        return;
    }
}

snub_language snub_messages_language(const snub_messages *messages)
{
    snub_language language = {.decimal = '.'};
    char mark[8];
    head_value(messages, "X-Language-Name", language.name, sizeof language.name);
    head_value(messages, "X-Decimal-Mark", mark, sizeof mark);
    if (strcmp(mark, "comma") == 0)
        language.decimal = ',';
    return language;
}

snub_locale snub_messages_locale(snub_messages *messages)
{
    const bool any = messages->count > 0;
    return (snub_locale){.say = any ? translation : NULL,
                         .context = any ? messages : NULL,
                         .decimal = snub_messages_language(messages).decimal};
}
