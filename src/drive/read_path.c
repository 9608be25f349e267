/** Where a reader is in the file. */
#include "key_notes.h"

#include <string.h>

/** Below these stand names that the file gives; elsewhere items of lists are numbered. */
static const char *const named[] = {"pulleys", "options", "variants", "packages", "steps"};

void snub_enter(snub_reader *reader, const char *word)
{
    if (reader->depth < SNUB_STEPS_MOST)
        reader->path[reader->depth] = (snub_path_step){word, 0};
    reader->depth++;
}

void snub_enter_item(snub_reader *reader, int index)
{
    if (reader->depth < SNUB_STEPS_MOST)
        reader->path[reader->depth] = (snub_path_step){NULL, index};
    reader->depth++;
}

void snub_leave(snub_reader *reader)
{
    reader->depth--;
}

static bool names_stand_below(const snub_path_step *first)
{
    for (size_t i = 0; first->word != NULL && i < sizeof named / sizeof named[0]; i++) {
        if (strcmp(first->word, named[i]) == 0)
            return true;
    }
    return false;
}

/** @param[in] star  write `*` for what the file names or numbers */
static void write_path(const snub_reader *reader, bool star, char *out, size_t size)
{
    size_t used = 0;
    const bool below = star && names_stand_below(&reader->path[0]);
    out[0] = '\0';
    for (int i = 0; i < reader->depth && i < SNUB_STEPS_MOST; i++) {
        const char *word = reader->path[i].word;
        char number[16], *at = number + sizeof(number) - 1;
        if (star && (word == NULL || (i == 1 && below)))
            word = SNUB_ANY_KEY;
        if (word == NULL) {
            *at = '\0';
            int index = reader->path[i].index;
            do {
                *--at = (char)('0' + index % 10);
                index /= 10;
            } while (index > 0);
            word = at;
        }
        if (i > 0 && used + 1 < size)
            out[used++] = '.';
        for (; *word != '\0' && used + 1 < size; word++)
            out[used++] = *word;
        out[used] = '\0';
    }
}

void snub_read_path(const snub_reader *reader, char *out, size_t size)
{
    write_path(reader, false, out, size);
}

void snub_read_pattern(const snub_reader *reader, char *out, size_t size)
{
    write_path(reader, true, out, size);
}
