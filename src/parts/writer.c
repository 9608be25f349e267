/* The writer's note: who has the catalogue in hand, for whoever has to wait. SQLite's lock keeps writers apart; it does
 * not know their names. The note is locked while its writer lives, so that one of a killed program is not believed. */
#include "catalogue.h"

#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <unistd.h>

enum {
    NOTE_BYTES = 256,
    LOCK_TRIES = 3 /* somebody who looks holds it for a moment */
};

/* Beside the file itself, by whatever name it was opened. NULL: no memory, or a catalogue without a file. */
static char *note_path(const snub_catalogue *catalogue)
{
    const char *file = catalogue->file ? sqlite3_db_filename(catalogue->file, "main") : NULL;
    const size_t length = file ? strlen(file) : 0;
    char *path = length ? malloc(length + sizeof "-writer") : NULL;
    if (path)
        strcat(strcpy(path, file), "-writer");
    return path;
}

static bool lock(int note, int how)
{
    for (int i = 0; i < LOCK_TRIES; i++)
        if (flock(note, how | LOCK_NB) == 0)
            return true;
    return false;
}

void snub_writer_note(snub_catalogue *catalogue)
{
    char text[NOTE_BYTES], *path = catalogue->made ? NULL : note_path(catalogue);
    snub_author author;
    if (!path)
        return;
    snub_author_of(catalogue, &author);
    const int length = snprintf(text, sizeof text, "%s\n%s\n%s\n", author.user, author.host, author.at);
    unlink(path); /* of a program that was killed: the place is ours */
    const int note = open(path, O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC | O_NOFOLLOW, 0666);
    if (note >= 0 && lock(note, LOCK_EX) && write(note, text, (size_t)length) == length) {
        catalogue->note = note;
        catalogue->note_path = path; /* kept: it must go when there is no memory for its name */
        return;
    }
    if (note >= 0) {
        unlink(path);
        close(note);
    }
    free(path);
}

void snub_writer_gone(snub_catalogue *catalogue)
{
    if (!catalogue->note_path)
        return;
    unlink(catalogue->note_path);
    free(catalogue->note_path);
    close(catalogue->note);
    catalogue->note_path = NULL;
}

/* Three lines, each with something in it and nothing that does not show. */
static bool understand(char *text, snub_author *author)
{
    char *const to[] = {author->user, author->host, author->at};
    const size_t room[] = {sizeof author->user, sizeof author->host, sizeof author->at};
    uint32_t point;
    for (int i = 0; i < 3; i++) {
        char *end = strchr(text, '\n');
        if (!end || end == text || snub_text_hidden(text, (size_t)(end - text), &point))
            return false;
        *end = '\0';
        snub_put_text(to[i], room[i], text);
        text = end + 1;
    }
    return true;
}

bool snub_writer_look(snub_catalogue *catalogue, snub_author *author)
{
    char text[NOTE_BYTES], *path = note_path(catalogue);
    const int note = path ? open(path, O_RDONLY | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK) : -1;
    free(path);
    if (note < 0)
        return false;
    const ssize_t length = read(note, text, sizeof text - 1);
    const bool dead = flock(note, LOCK_SH | LOCK_NB) == 0;
    close(note);
    if (dead || length <= 0)
        return false;
    text[length] = '\0';
    return understand(text, author);
}
