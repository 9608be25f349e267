/** src/drive/key_notes.h - what a reading asks for, kept where somebody wants to know (inside src/drive only). */
#ifndef SNUB_DRIVE_KEY_NOTES_H
#define SNUB_DRIVE_KEY_NOTES_H

#include "read.h"
#include "snub/keys.h"

/** What a reader says of a key beside the asking. */
typedef enum snub_key_say { SNUB_SAY_NEEDED, SNUB_SAY_LISTED, SNUB_SAY_REFUSED } snub_key_say;
typedef struct snub_key_mark {
    const char *path, *pattern; /**< as of snub_file_key */
    snub_key_say say;
    const char *means; /**< of SNUB_SAY_LISTED; else NULL */
    struct snub_key_mark *next;
} snub_key_mark;

typedef struct snub_key_index snub_key_index;
typedef struct snub_key_notes {
    snub_arena *arena;
    snub_key_index *by_path; /**< what is noted so far */
    snub_file_key *first, *last;
    snub_key_mark *marks; /**< the last first */
    bool no_memory;
} snub_key_notes;

/** A key is asked for: kind, bounds, words and preset of `key` are kept, its path and value filled in. Each form of a
 *  key once. Does nothing where nobody wants to know, as all of these. */
void snub_note_key(snub_reader *reader, const snub_node *map, const char *word, const snub_file_key *key);
/** It may not be left out. */
void snub_note_needed(snub_reader *reader, const char *word);
/** It does not belong here, though it stands in the list of its section's keys. */
void snub_note_refused(snub_reader *reader, const char *word);
/** The keys of the map in hand. */
void snub_note_listed(snub_reader *reader, const snub_key *keys);
/** Bring the marks into the list: what is needed and, where that is asked for, what is listed and was not read. */
void snub_notes_close(snub_key_notes *notes, bool unread);

/** Path of the value in hand, "pulleys.blower.diameter", cut to what fits. */
void snub_read_path(const snub_reader *reader, char *out, size_t size);
/** The same with `*` for what the file names or numbers. */
void snub_read_pattern(const snub_reader *reader, char *out, size_t size);

/** snub_drive_read that keeps notes. @param[in,out] notes  NULL: none */
snub_status snub_drive_read_noted(const snub_document *document, const snub_reading *reading, snub_key_notes *notes,
                                  snub_drive *drive, snub_errors *errors);

#endif
