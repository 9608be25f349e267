/** catalogue.h - inside of the parts room. */
#ifndef SNUB_PARTS_CATALOGUE_H
#define SNUB_PARTS_CATALOGUE_H

#include "snub/parts.h"

#include <pthread.h>
#include <sqlite3.h>

struct snub_catalogue {
    sqlite3 *file;
    char *path;
    snub_catalogue_mode mode;
    int version_found;
    snub_new_file *made;  /* a new one, beside its place; NULL: none, or it has its place */
    size_t folders_from;  /* the directories made for it begin at this byte of the path; 0: none were made */
    pthread_mutex_t lock; /* one statement at a time: the drive reader may ask from several threads */
    sqlite3_stmt *select_part, *select_kind[SNUB_PART_KINDS];
    sqlite3_stmt *insert_part, *insert_kind[SNUB_PART_KINDS];
    sqlite3_stmt *insert_source, *select_source, *select_id, *delete_part, *insert_words;
    sqlite3_stmt *insert_event, *insert_change;
    const char *user, *at; /* snub_catalogue_sign; NULL: the system's */
    long long event;       /* of the transaction in hand, in the history; 0: it has changed nothing yet */
    const char *file_read; /* that the transaction in hand takes its rows from; NULL: none */
    char *note_path;       /* of the writer's note; NULL: none */
    int note;              /* its descriptor */
};

/* ---- SQLite, with errors a person can act on (sql.c) ------------------------------------------------------------ */

/** Say what SQLite refused. `doing` is what was tried: "reading", "writing". */
snub_status snub_sql_failed(snub_catalogue *catalogue, const char *doing, snub_error *error);
/** Run statements without results. */
snub_status snub_sql_run(snub_catalogue *catalogue, const char *sql, snub_error *error);
/** Prepare a statement that stays for the life of the catalogue; one that is there already is reset. */
snub_status snub_sql_keep(snub_catalogue *catalogue, sqlite3_stmt **statement, const char *sql, snub_error *error);
/** Prepare for once; the caller finalizes. */
snub_status snub_sql_prepare(snub_catalogue *catalogue, sqlite3_stmt **statement, const char *sql, snub_error *error);
/** One integer of a one-row question. */
snub_status snub_sql_integer(snub_catalogue *catalogue, const char *sql, long long *value, snub_error *error);
/** Copy of a row's text. NULL: it has none, or memory is out. */
const char *snub_sql_text(sqlite3_stmt *statement, int column, snub_arena *arena);
/** Write transaction: waits for other writers, then begins; and its ends. Rolling back never fails. */
snub_status snub_sql_begin(snub_catalogue *catalogue, snub_error *error);
snub_status snub_sql_commit(snub_catalogue *catalogue, snub_error *error);
void snub_sql_roll_back(snub_catalogue *catalogue);

/* ---- making one (make.c) ---------------------------------------------------------------------------------------- */

/** Begin a new file beside the catalogue's place, and the directories that are missing. */
snub_status snub_make_begin(snub_catalogue *catalogue, snub_error *error);
/** Open it. It takes no locks and keeps its journal in memory: nobody else has it, and it goes if it is not finished.
 */
int snub_make_open(const char *path, sqlite3 **file);
/** Give up what was begun and has no place: the file, and the directories that were made for it. */
void snub_make_drop(snub_catalogue *catalogue);

/* ---- schema (schema.c) ------------------------------------------------------------------------------------------ */

enum { SNUB_CATALOGUE_APPLICATION = 0x736E7562 }; /* "snub", SQLite's application id */

/** Look at the file: is it a catalogue, of which version. An empty file is version 0.
 *  @return SNUB_OK; SNUB_BAD_INPUT; SNUB_IO */
snub_status snub_schema_look(snub_catalogue *catalogue, int *version, snub_error *error);
/** Bring the file from `version` (0: empty) to SNUB_CATALOGUE_VERSION, in one transaction. */
snub_status snub_schema_upgrade(snub_catalogue *catalogue, int version, snub_error *error);

/** A reading transaction, so that several questions see the same state; and its end. Within a transaction: nothing. */
snub_status snub_sql_look(snub_catalogue *catalogue, bool *own, snub_error *error);
void snub_sql_looked(snub_catalogue *catalogue, bool own);

/* ---- who writes (author.c, writer.c) ----------------------------------------------------------------------------- */

typedef struct snub_author {
    char user[64], host[64];
    char at[24]; /* "2026-01-31T14:05:00Z" */
} snub_author;

/** Who and when: as signed, else as the system says. */
void snub_author_of(const snub_catalogue *catalogue, snub_author *author);

/** Leave a note beside the file of who writes, in a transaction that has begun; and take it away, before its end. Where
 *  the system refuses, there is none: it only helps whoever waits. */
void snub_writer_note(snub_catalogue *catalogue);
void snub_writer_gone(snub_catalogue *catalogue);
/** Who writes, by the note of another program that is alive. @return false: nobody has left one */
bool snub_writer_look(snub_catalogue *catalogue, snub_author *author);

/* ---- history (differ.c, history.c) ------------------------------------------------------------------------------- */

/** Takes one field that differs, by its name in a CSV; texts are as a CSV has them, NULL: nothing. */
typedef snub_status snub_differ_take(void *context, const char *field, const char *old, const char *now,
                                     snub_error *error);
/** Every field of two parts of one kind that differs, in the order of the columns. Either may be NULL. */
snub_status snub_part_differ(const snub_part *old, const snub_part *now, snub_differ_take *take, void *context,
                             snub_error *error);

/** Write into the history, within the caller's transaction, that a part came, changed or went (one of them NULL). */
snub_status snub_history_note(snub_catalogue *catalogue, const snub_part *old, const snub_part *now, snub_error *error);
/** Take back that the part of this row was added in the transaction in hand. */
snub_status snub_history_forget(snub_catalogue *catalogue, long long id, snub_error *error);
/** The event of the transaction in hand, made where there is none yet. */
snub_status snub_history_event(snub_catalogue *catalogue, snub_error *error);

/* ---- rows (rows.c) ---------------------------------------------------------------------------------------------- */

/** Put a checked part in, within the caller's transaction. `*replaced` tells whether one of that key made way. */
snub_status snub_rows_put(snub_catalogue *catalogue, const snub_part *part, bool replace, bool *replaced,
                          snub_error *error);
/** Take a row away, with its sizes. The history is the caller's. */
snub_status snub_rows_drop(snub_catalogue *catalogue, long long id, snub_error *error);
/** Row id of a key; 0 where there is none. */
snub_status snub_rows_id(snub_catalogue *catalogue, const char *key, long long *id, snub_error *error);
/** The same with the kind; SNUB_PART_ANY where there is none. */
snub_status snub_rows_look(snub_catalogue *catalogue, const char *key, long long *id, snub_part_kind *kind,
                           snub_error *error);
/** Read the part with this row id into the arena. */
snub_status snub_rows_get(snub_catalogue *catalogue, long long id, snub_arena *arena, snub_part *part,
                          snub_error *error);
/** Has the file what came with a version? An older one, that is only read, has not. */
bool snub_rows_have(const snub_catalogue *catalogue, int version);
/** "is in the catalogue already". */
snub_status snub_rows_taken(const char *key, snub_error *error);

/* ---- maps of suppliers' files (maps.c) --------------------------------------------------------------------------- */

/** Keep a map for its supplier, within the caller's transaction.
 *  @param[out] report  map_kept: false where it was there already; map_since */
snub_status snub_maps_keep(snub_catalogue *catalogue, const snub_supplier_map *map, snub_import_report *report,
                           snub_error *error);

/* ---- by another number (finder.c) -------------------------------------------------------------------------------- */

/** "no such part in the catalogue", with a near key. */
snub_status snub_finder_none(snub_catalogue *catalogue, const char *key, snub_error *error);
/** The part with the house's own number, or with its supplier's.
 *  @param[out] count  0; 1: `*id`; more: several have it
 *  @param[in,out] keys  of those that have it, in words for snub_error.need */
snub_status snub_finder_own(snub_catalogue *catalogue, const char *own_number, long long *id, int *count,
                            snub_text *keys, snub_error *error);
snub_status snub_finder_sold(snub_catalogue *catalogue, const char *supplier, const char *number, long long *id,
                             int *count, snub_text *keys, snub_error *error);

/* ---- small things ----------------------------------------------------------------------------------------------- */

/** Index of a field in its kind; -1. */
int snub_part_field_index(snub_part_kind kind, const char *name);
/** Copy into a fixed field, cut at a whole character. */
void snub_put_text(char *to, size_t room, const char *text);
/** Append a bare number in the fewest digits from which snub_quantity_from_bare gives the same SI value again. */
void snub_exact_bare(snub_quantity quantity, double si, snub_text *out);

/** Check a part: key and source not empty, texts UTF-8, needed fields there, numbers within bounds, words known,
 *  tolerances the right way round, price with currency.
 *  @return SNUB_OK; SNUB_BAD_INPUT with `key` = the field's name */
snub_status snub_part_check(const snub_part *part, snub_error *error);

#endif
