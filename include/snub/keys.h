/** snub/keys.h - every key that the reader of the drive file knows: what it takes, from where to where, and what stands
 *  where it is left out.
 *
 *  Nobody wrote this list: it is what the readers ask for, kept while they read. `snub keys` and the page print it. */
#ifndef SNUB_KEYS_H
#define SNUB_KEYS_H

#include "snub/drive.h"

typedef enum snub_key_kind {
    SNUB_KEY_UNREAD, /**< a reader lists it and none has asked for it: a fault of snub that a test looks for */
    SNUB_KEY_NUMBER,
    SNUB_KEY_RANGED,  /**< a number, or [low, high] */
    SNUB_KEY_WHOLE,   /**< a whole number */
    SNUB_KEY_POINT,   /**< two numbers */
    SNUB_KEY_NUMBERS, /**< a list of numbers */
    SNUB_KEY_TABLE,   /**< rows of two numbers, the first rising */
    SNUB_KEY_WORD,    /**< one word out of a list */
    SNUB_KEY_TRUTH,   /**< true or false */
    SNUB_KEY_TEXT,
    SNUB_KEY_LIST, /**< of maps, or of what the guide says */
    SNUB_KEY_MAP,
    SNUB_KEY_KINDS_
} snub_key_kind;
/** "number", "word" ... */
const char *snub_key_kind_text(snub_key_kind kind);

/** Bounds of a number, inclusive, in the unit that a bare one has in the file. NAN: another value of the file sets
 * them. */
typedef struct snub_key_bounds {
    const char *unit; /**< "mm"; "": none */
    double least, most;
} snub_key_bounds;

/** A key, in one of the forms that it may have. */
typedef struct snub_file_key {
    const char *path;    /**< as an overlay has it: "idler.slot.from", "mounts.0.mass" */
    const char *pattern; /**< the same with `*` for a name or a number: "pulleys.*.slot.from" */
    snub_key_kind kind;
    bool needed;                /**< its reader says so where it is left out */
    bool unit_needed;           /**< a bare number is refused */
    bool closed;                /**< one value for all builds: only the text can change it, no overlay */
    snub_key_bounds x, y;       /**< y: second column of a table */
    int least, most;            /**< items of a list; bytes of a text; 0: not said */
    const char *const *words;   /**< of SNUB_KEY_WORD, NULL-terminated */
    const char *preset;         /**< what is taken where it is left out, in the bare unit; NULL: nothing */
    const char *source;         /**< of the preset; NULL: the guide says */
    const char *usual[2];       /**< range in which real values are met (snub/default_list.inc); NULL: not known */
    const char *measure;        /**< how to get one's own; NULL */
    const char *means;          /**< one line: what it is, and from where it is had; marked for translation */
    const snub_node *node;      /**< what the file has there, a part's value too; NULL: nothing */
    struct snub_file_key *next; /**< in the order in which the readers ask */
} snub_file_key;

/** What reading this file asks for; errors do not stop it. Keys of sections that the file has not are not in it.
 *  @param[in] reading  its arena keeps the list
 *  @param[in,out] errors  those of the reading are appended
 *  @return SNUB_OK also where there are errors; SNUB_NO_MEMORY */
snub_status snub_keys_of_file(const snub_document *document, const snub_reading *reading, const snub_file_key **out,
                              snub_errors *errors);

/** Every key of every section, each form of it once, in `pattern`; `node` and what only a file can say are empty.
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_keys_known(snub_units *units, snub_arena *arena, const snub_file_key **out);

#endif
