/** snub/base.h - status, errors that point, memory, text, units.
 *
 *  The room that every other room stands on. It knows nothing of belts. Nothing here keeps file-scope state;
 *  a thread may use its own arena, text and units at any time.
 */
#ifndef SNUB_BASE_H
#define SNUB_BASE_H

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include "snub/units.h"

/** What came of a call. Every function that can fail returns one. */
typedef enum snub_status {
    SNUB_OK = 0,
    SNUB_BAD_INPUT,      /**< the user's file, table or argument is wrong */
    SNUB_NO_MEMORY,      /**< an allocation was refused */
    SNUB_IO,             /**< the system refused to read or to write */
    SNUB_TOO_LARGE,      /**< a limit on size, depth or count was passed */
    SNUB_NO_TANGENT,     /**< two pulleys overlap: no straight span fits between them */
    SNUB_LOST_BELT,      /**< the wraps do not make one turn: a pulley is off the belt */
    SNUB_NO_EQUILIBRIUM, /**< no arm position or tension balances; the error says why */
    SNUB_NO_CONVERGENCE, /**< a numerical method ended without an answer */
    SNUB_NO_CHOICE,      /**< nothing on offer fits (no belt, no setting) */
    SNUB_STOPPED         /**< the caller asked to stop */
} snub_status;

/** A short English name of a status ("bad input"); never NULL. */
const char *snub_status_text(snub_status status);

/** Where in the user's file a thing stands. line and column count from 1, column in characters; 0 = no place.
 *  start and end are byte offsets of the value's text, end exclusive.
 *  file is not owned. In a document it lives as long as the document. In an error that a function hands out it is a
 * text that the caller gave to that function (a path, a name, a document): never one that the function made for itself
 * and has let go when it returns. */
typedef struct snub_place {
    const char *file;
    int line, column;
    size_t start, end;
} snub_place;

/** One mistake or failure. got and need are empty where they say nothing. */
typedef struct snub_error {
    snub_status code;
    snub_place place;
    char key[96];      /**< path of the key in the file, "pulleys.alternator.diameter"; "" if none */
    char message[320]; /**< what is wrong, one clause, no full stop */
    char got[96];
    char need[160];
} snub_error;

/** Fill an error (if given) and hand the code back, so that callers write `return snub_fail(...)`.
 *  @param[out] error  may be NULL
 *  @param[in] place   may be NULL
 *  @param[in] key     may be NULL
 *  @return code */
snub_status snub_fail(snub_error *error, snub_status code, const snub_place *place, const char *key, const char *format,
                      ...) __attribute__((format(printf, 5, 6)));

/** Memory that is given back all at once. Zero-initialise or call snub_arena_init.
 *  `limit` [bytes] bounds the sum of what is handed out (0: no bound); `refuse_after` is for tests: the n-th
 *  request from now fails, once (1: the next; 0 or negative: never). */
typedef struct snub_arena {
    struct snub_arena_block *blocks;
    size_t used, limit;
    long refuse_after;
    bool refused; /**< some request was refused: what was made since may lack a text */
} snub_arena;

void snub_arena_init(snub_arena *arena, size_t limit);
/** Give everything back. NULL-safe; the arena may be used again. */
void snub_arena_free(snub_arena *arena);
/** An arena of its own for what may be let go again; its limit is what is left of the other's. End it by one of the two
 *  below. */
void snub_arena_branch(snub_arena *arena, snub_arena *branch);
/** Keep what the branch holds: it lives as long as the arena. */
void snub_arena_join(snub_arena *arena, snub_arena *branch);
/** Give it back. */
void snub_arena_drop(snub_arena *arena, snub_arena *branch);
/** count * size zeroed bytes, aligned for any object. NULL when memory or the limit is used up, or on overflow. */
void *snub_alloc(snub_arena *arena, size_t count, size_t size);
#define SNUB_NEW(arena, type, count) ((type *)snub_alloc((arena), (size_t)(count), sizeof(type)))
/** A copy in the arena; NULL as snub_alloc. */
char *snub_copy_text(snub_arena *arena, const char *text);
char *snub_copy_text_n(snub_arena *arena, const char *text, size_t length);
/** FNV-1a, 64 bits: its offset and its prime (IETF draft-eastlake-fnv). For tables in memory, never against an
 * adversary. */
uint64_t snub_bytes_hash(const void *data, size_t length);
/** printf into the arena; NULL as snub_alloc. Numbers as in the C locale. */
char *snub_format(snub_arena *arena, const char *format, ...) __attribute__((format(printf, 2, 3)));

/** All errors of one reading, in the order found. At most SNUB_ERRORS_MOST are kept; `more` counts the rest. */
enum { SNUB_ERRORS_MOST = 200 };
typedef struct snub_errors {
    snub_error *items; /**< malloc'd */
    int count, more;
} snub_errors;
void snub_errors_free(snub_errors *errors);
/** Append a copy. Never fails: where memory is out, `more` grows. */
void snub_errors_add(snub_errors *errors, const snub_error *error);

/** Text that grows. Zero-initialise. After a failed growth `failed` is set and the text stays as it was.
 *  One that may be longer than what should be held is made with `may_spill`: snub_text_settle moves what is there into
 * a temporary file, and only snub_text_write knows all of it. */
typedef struct snub_text {
    char *data; /**< NUL-terminated once anything was added; malloc'd */
    size_t length, room;
    bool failed;
    bool may_spill;
    int spill_failure; /**< errno of the temporary file, where `failed` is of it; else 0 */
    FILE *spilled;     /**< what was before `data`; NULL: nothing */
} snub_text;
void snub_text_free(snub_text *text);
/** A place at which a long text may be moved out; nothing happens to a short one, or without `may_spill`. */
void snub_text_settle(snub_text *text);
void snub_text_add(snub_text *text, const char *data, size_t length);
/** A word as a shell takes it: quoted where it must be. */
void snub_text_shell(snub_text *text, const char *word);
void snub_text_puts(snub_text *text, const char *line);
/** printf with the decimal point of the C locale, whatever the program's locale is. */
void snub_text_printf(snub_text *text, const char *format, ...) __attribute__((format(printf, 2, 3)));
void snub_text_vprintf(snub_text *text, const char *format, va_list arguments);

/** Next character of UTF-8. A byte that begins no whole character counts as one of its own, U+FFFD.
 *  @param[in,out] at  < end; moved behind the character */
uint32_t snub_utf8_next(const char **at, const char *end);
/** Is it a character that does not show, turns the direction of its line, drives a terminal, or is none at all? */
bool snub_utf8_is_hidden(uint32_t point);
/** Does a text hold such a character, tab, LF and CR apart? @param[out] point  the first of them */
bool snub_text_hidden(const char *text, size_t length, uint32_t *point);
/** Append with hidden characters and bytes that are no UTF-8 as \xNN, \uNNNN or \UNNNNNNNN: fit for a terminal. */
void snub_text_safe(snub_text *out, const char *text, size_t length);
/** The same for one character, as snub_utf8_next found it in `bytes` bytes at `start`. */
void snub_safe_add(snub_text *out, uint32_t point, const char *start, size_t bytes);
/** Is it a day of the calendar, such as 2026-01-31? */
bool snub_is_day(const char *text, size_t length);
/** Columns that a character takes on a terminal: 0 for marks that combine, 2 for wide ones, else 1. */
int snub_utf8_width(uint32_t point);
/** Columns of a NUL-terminated text. */
int snub_text_width(const char *text);

/** Read a whole number text as a double, C locale, no hex, no inf/nan, nothing left over but blanks.
 *  @param[out] end  first character not used; may be NULL: then all of the text must be used
 *  @return SNUB_OK or SNUB_BAD_INPUT (value untouched) */
snub_status snub_parse_number(const char *text, const char **end, double *value);

/** Render an error as a person reads it:
 *  `file:line:col: key: message (got X, need Y)`, then the line of the file and a caret where `source` is given.
 *  @param[in] source  whole text of the file, or NULL
 *  @param[in] source_length  bytes */
void snub_error_render(const snub_error *error, const char *source, size_t source_length, snub_text *out);

/** Nearest of n names by edit distance, or NULL when none is near enough to be meant. */
const char *snub_nearest(const char *word, const char *const *names, int count);

/** Read a whole regular file. At most `most` bytes.
 *  @param[out] data  malloc'd, NUL-terminated, the caller frees
 *  @return SNUB_OK; SNUB_IO (missing, directory, unreadable; the error says which); SNUB_TOO_LARGE; SNUB_NO_MEMORY */
snub_status snub_file_read(const char *path, size_t most, char **data, size_t *length, snub_error *error);
/** Write a file so that a failure never harms the one that is there: temporary neighbour, fsync, read back, rename.
 *  Keeps the old file's permissions; follows a symbolic link to its target. "-" writes to standard output.
 *  @return SNUB_OK; SNUB_IO with the reason ("no space left on device") */
snub_status snub_file_write(const char *path, const char *data, size_t length, snub_error *error);
/** The same of a text, with all that it has spilled.
 *  @return adds SNUB_NO_MEMORY, and SNUB_IO of its temporary file, where the text has failed */
snub_status snub_text_write(const char *path, const snub_text *text, snub_error *error);
/** A file that another library writes by its path. Until it is whole it has a name of its own in the folder of `path`
 *  (where that is a symbolic link: of its target); what a killed program leaves there is removed by the next that
 * writes in that folder. */
typedef struct snub_new_file snub_new_file;
/** Make it, empty and locked. Owner and permissions are those of the file that is there, else by the umask.
 *  @return SNUB_OK; SNUB_IO with the reason; SNUB_NO_MEMORY */
snub_status snub_new_file_open(const char *path, snub_new_file **made, snub_error *error);
/** Its name for now; lives as long as it. */
const char *snub_new_file_path(const snub_new_file *made);
/** Bring it to the disk and give it the name that it was made for. Whoever wrote it has closed it.
 *  @param[in] over   true: it takes the place of what is there
 *  @param[in] shown  name that an error points at; must outlive the error
 *  @return SNUB_OK; SNUB_STOPPED (not `over`, and there is something by now: that stays); SNUB_IO */
snub_status snub_new_file_place(snub_new_file *made, bool over, const char *shown, snub_error *error);
/** Remove it where it was not placed. NULL-safe. */
void snub_new_file_close(snub_new_file *made);
/** Are two paths one regular file: by device and inode, so by any spelling, link or mount? Where neither exists: would
 *  both come to be in the same place? Pipes and devices are never the same. */
bool snub_file_same(const char *a, const char *b);
/** The path that a path leads to over symbolic links, whether or not there is a file.
 *  @return NULL: a loop of links, or no memory */
char *snub_file_target(const char *path, snub_arena *arena);

/** Write a file that other programs write too: only in the place of the expected content, or not at all. Where the
 *  system can let two files change places, no other save that comes between is lost.
 *  @param[in] folder    open descriptor
 *  @param[in] name      one part, no slash; a link is refused
 *  @param[in] shown     name that an error points at
 *  @param[in] expected  what the file holds now; NULL: there must be no such file yet
 *  @return SNUB_OK; SNUB_STOPPED (it holds something else, is there, or is gone; nothing was written); SNUB_IO */
snub_status snub_file_swap(int folder, const char *name, const char *shown, const char *expected,
                           size_t expected_length, const char *data, size_t length, snub_error *error);
/** Milliseconds that a save waits for another program that is writing the file in place. */
enum { SNUB_WRITER_WAIT_MS = 2000 };
/** Wait until no program has a file open for writing. Whoever wants to write it from then on is held up until it is
 * closed here, so close it as soon as it is read.
 *  @param[in] file  open for reading only
 *  @return false: one still has. True where the system cannot tell */
bool snub_file_settle(int file, int wait_ms);
/** Words of a save that did not get its turn. @return SNUB_IO */
snub_status snub_file_held(const char *shown, snub_error *error);
/** Remove what writers that were killed have left in a folder. Files of writers that live are locked, and stay.
 *  @param[in] folder  open descriptor
 *  @return how many were removed */
int snub_file_tidy(int folder);

/** SHA-256 of bytes that come piece by piece. FIPS 180-4. */
typedef struct snub_digest {
    uint32_t state[8];
    unsigned char block[64]; /**< what is not taken yet */
    uint64_t length;         /**< bytes in all */
} snub_digest;
void snub_digest_init(snub_digest *digest);
void snub_digest_add(snub_digest *digest, const void *data, size_t length);
/** A text with its length before it, so that "ab", "c" and "a", "bc" differ. NULL counts as "". */
void snub_digest_text(snub_digest *digest, const char *text);
/** 64 hex digits and a NUL. The digest may be added to no more. */
void snub_digest_end(snub_digest *digest, char text[65]);

/** What kind of quantity a value is. Decides the unit of a bare number and which units a string may carry. */
typedef enum snub_quantity {
    SNUB_Q_NUMBER = 0,             /**< no unit */
    SNUB_Q_LENGTH,                 /**< bare mm     -> m */
    SNUB_Q_ANGLE,                  /**< bare deg    -> rad */
    SNUB_Q_FORCE,                  /**< bare N */
    SNUB_Q_TORQUE,                 /**< bare N m */
    SNUB_Q_TORQUE_RATE,            /**< bare N m/deg -> N m/rad */
    SNUB_Q_MASS,                   /**< bare kg */
    SNUB_Q_MASS_PER_LENGTH,        /**< bare kg/m */
    SNUB_Q_INERTIA,                /**< bare kg m2 */
    SNUB_Q_POWER,                  /**< bare kW     -> W */
    SNUB_Q_TURN_SPEED,             /**< bare rpm    -> rad/s */
    SNUB_Q_TURN_RATE,              /**< bare rpm/s  -> rad/s2 */
    SNUB_Q_SPEED,                  /**< bare m/s */
    SNUB_Q_PRESSURE,               /**< bare kPa    -> Pa; absolute or a difference as the key says */
    SNUB_Q_TEMPERATURE,            /**< bare degC   -> K */
    SNUB_Q_TEMPERATURE_DIFFERENCE, /**< bare K */
    SNUB_Q_VOLUME,                 /**< bare L      -> m3 */
    SNUB_Q_FLOW_MASS,              /**< bare kg/s */
    SNUB_Q_FLOW_VOLUME,            /**< bare m3/s */
    SNUB_Q_STRESS,                 /**< bare MPa    -> Pa */
    SNUB_Q_FREQUENCY,              /**< bare Hz */
    SNUB_Q_TIME,                   /**< bare s */
    SNUB_Q_STIFFNESS,              /**< bare N/mm   -> N/m */
    SNUB_Q_AREA,                   /**< bare mm2    -> m2 */
    SNUB_Q_DENSITY,                /**< bare kg/m3 */
    SNUB_Q_VISCOSITY,              /**< kinematic; bare mm2/s -> m2/s */
    SNUB_Q_BENDING,                /**< stiffness of a beam, force times area; bare N m2 */
    SNUB_Q_COUNT_
} snub_quantity;

/** Units by UDUNITS-2, with deg, rev, rpm, thou, psig and barg put right. One per thread. */
typedef struct snub_units snub_units;
/** @return SNUB_OK; SNUB_NO_MEMORY; SNUB_IO when the unit database is missing */
snub_status snub_units_open(snub_units **units, snub_error *error);
void snub_units_free(snub_units *units);
/** Value of a scalar text in SI. "12" is in the quantity's bare unit; "0.5 in", "18 lbf ft", "14.7 psi" carry one.
 *  Gauge units (psig, barg) are accepted for SNUB_Q_PRESSURE and add 101.325 kPa.
 *  Rejects NaN, infinities, a unit of another quantity (the message names a unit that would do).
 *  @param[out] value  SI; untouched on error
 *  @return SNUB_OK or SNUB_BAD_INPUT with message, got and need filled (no place) */
snub_status snub_units_parse(snub_units *units, snub_quantity quantity, const char *text, double *value,
                             snub_error *error);
/** A unit that stands in no table of the program, with what a database of units says of it: SI = zero + number * scale.
 */
typedef struct snub_rare_unit {
    char name[64]; /**< in the one spelling that stands for all */
    double scale, zero;
} snub_rare_unit;
/** The unit behind the number of a scalar text, where it can be one of that quantity and the table lacks it. */
bool snub_units_rare(snub_units *units, snub_quantity quantity, const char *text, snub_rare_unit *rare);
/** Name of the bare unit ("mm"); "" for a plain number. */
const char *snub_quantity_unit(snub_quantity quantity);
/** SI value of one bare unit (0.001 for mm); temperatures: see snub_quantity_to_bare. */
double snub_quantity_to_bare(snub_quantity quantity, double si);
double snub_quantity_from_bare(snub_quantity quantity, double bare);

#endif
