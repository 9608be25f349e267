/** snub/parts.h - the catalogue of parts, in one SQLite file.
 *
 *  The only room that knows SQLite. Belts, pulleys, idlers, bearings, tensioners, fasteners, shims and blowers, each
 *  with its sizes in SI, tolerances, where the row is from, and who sells it, price and stock where given. The file is
 * written in transactions (write-ahead log): a program that is killed, or a disk that is full, leaves it as it was
 * before. docs/guide/parts.md; docs/decisions on the catalogue.
 */
#ifndef SNUB_PARTS_H
#define SNUB_PARTS_H

#include "snub/base.h"
#include "snub/drive.h"
#include "snub/locale.h"
#include "snub/supplier_map.h"

/** Version of the file's schema that this library writes, and the oldest that it reads as it is. Whoever writes
 * upgrades every older one. */
enum { SNUB_CATALOGUE_VERSION = 7, SNUB_CATALOGUE_READABLE = 5 };

/* ---- what a part is --------------------------------------------------------------------------------------------- */

typedef enum snub_part_kind {
    SNUB_PART_BELT = 0,
    SNUB_PART_PULLEY,
    SNUB_PART_IDLER,
    SNUB_PART_TENSIONER,
    SNUB_PART_BEARING,
    SNUB_PART_FASTENER,
    SNUB_PART_SHIM,
    SNUB_PART_BLOWER,
    SNUB_PART_KINDS,
    SNUB_PART_ANY = SNUB_PART_KINDS
} snub_part_kind;

/** "belt", "pulley", ...; "part" for SNUB_PART_ANY. Never NULL. */
const char *snub_part_kind_name(snub_part_kind kind);
/** Kind by name; false where there is none. */
bool snub_part_kind_named(const char *name, snub_part_kind *kind);

enum {
    SNUB_PART_FIELDS_MOST = 16, /**< fields of one kind */
    SNUB_PART_TEXT_MOST = 65535 /**< bytes of a key, name, note or source */
};

typedef enum snub_field_type {
    SNUB_FIELD_NUMBER, /**< of a quantity, with a tolerance where the field has one */
    SNUB_FIELD_COUNT,  /**< whole number */
    SNUB_FIELD_WORD,   /**< one of a list */
    SNUB_FIELD_TEXT,
    SNUB_FIELD_PART /**< key of a bearing in the same catalogue */
} snub_field_type;

/** One field of a kind: the column of the table in the file and in CSV, and the key of the drive file. A name means
 *  the same quantity in every kind. */
typedef struct snub_part_field {
    const char *name; /**< "arm_length" */
    const char *path; /**< in the map that the drive file would write: "arm.length"; NULL: no key there */
    snub_field_type type;
    snub_quantity quantity;
    double least, most; /**< bare units, inclusive: what is absurd, not what is good */
    bool needed, tolerance;
    const char *const *words; /**< WORD: NULL-terminated */
} snub_part_field;

/** Fields of a kind, in order. Not for SNUB_PART_ANY (count 0). */
const snub_part_field *snub_part_fields(snub_part_kind kind, int *count);
/** A field by name in any kind; NULL where there is none. */
const snub_part_field *snub_part_field_named(const char *name);

/** The name of today of a field (`word` NULL) or of a word of a WORD field; NULL where it is none of before.
 *  @param[in] kind  SNUB_PART_ANY: of the first kind that had it */
const char *snub_part_renamed(snub_part_kind kind, const char *field, const char *word);

/** A field's value. */
typedef struct snub_part_value {
    bool given;
    double number;      /**< SI; COUNT too */
    double minus, plus; /**< deviations from `number`, SI, minus <= 0 <= plus or both of one sign; NAN: not given */
    const char *text;   /**< WORD, TEXT, PART */
} snub_part_value;

/** A part. Texts are UTF-8 without NUL, of any other character. */
typedef struct snub_part {
    const char *key; /**< names it in a drive file; unique in the catalogue */
    snub_part_kind kind;
    const char *name;                              /**< "" for none */
    const char *source;                            /**< where the row is from; never empty */
    const char *note;                              /**< "" for none */
    long long price_milli;                         /**< thousandths of the currency's unit; -1: not given */
    char currency[4];                              /**< "EUR"; "" where there is no price */
    long long stock;                               /**< pieces; -1: not given */
    const char *own_number;                        /**< the house's own number for it; "" for none */
    const char *supplier;                          /**< who sells it; "" for none */
    const char *supplier_number;                   /**< by which the supplier sells it; "" for none */
    long long minimum_order;                       /**< pieces that the supplier sells at least; -1: not given */
    bool discontinued;                             /**< no longer made or sold */
    const char *replaced_by;                       /**< key of the part to take instead, which need not be here; "" */
    snub_part_value values[SNUB_PART_FIELDS_MOST]; /**< in the order of snub_part_fields */
} snub_part;

/** A part with nothing given. */
void snub_part_init(snub_part *part, snub_part_kind kind);

/* ---- the file --------------------------------------------------------------------------------------------------- */

typedef struct snub_catalogue snub_catalogue;

typedef enum snub_catalogue_mode {
    SNUB_CATALOGUE_READ,   /**< must exist; a version that is too old is a mistake that says how to upgrade it */
    SNUB_CATALOGUE_WRITE,  /**< must exist; an older version is upgraded in one transaction */
    SNUB_CATALOGUE_CREATE, /**< as WRITE; made where there is none, empty, and its directories too */
    SNUB_CATALOGUE_BUILD   /**< as WRITE; where there is none, one is begun beside its place: snub_catalogue_place */
} snub_catalogue_mode;

/** Path of the catalogue: `given` if not NULL, else $SNUB_CATALOGUE, else snub/catalogue.db in the XDG data home.
 *  @return in the arena; NULL when memory is out or no home is known */
char *snub_catalogue_path(const char *given, snub_arena *arena);

/** Open a catalogue. Several programs may have it open: many read while one writes.
 *  @param[in] wait_s  how long to wait for another writer before giving up, seconds >= 0
 *  @return SNUB_OK; SNUB_IO (missing, unreadable, read-only, busy, disk full: the message says which);
 *          SNUB_BAD_INPUT (no database, not a catalogue, damaged, of a newer version, or older and mode READ);
 *          SNUB_NO_MEMORY */
snub_status snub_catalogue_open(const char *path, snub_catalogue_mode mode, double wait_s, snub_catalogue **catalogue,
                                snub_error *error);
void snub_catalogue_close(snub_catalogue *catalogue);

/** Is it one that was begun, and has no place yet? Then nobody else can have it open. */
bool snub_catalogue_is_new(const snub_catalogue *catalogue);
/** Its file for now, to be removed by a program that must stop at once; NULL where it is not new. */
const char *snub_catalogue_new_file(const snub_catalogue *catalogue);
/** Give a new catalogue its place, whole, and close its file: only snub_catalogue_close may follow. Without this call,
 *  closing leaves nothing behind, not even the directories that were made for it. Nothing to do for one that is not
 * new.
 *  @return SNUB_OK; SNUB_STOPPED (another program has made one there by now: that one stays, this one is given up);
 *          SNUB_IO; SNUB_BAD_INPUT; SNUB_NO_MEMORY */
snub_status snub_catalogue_place(snub_catalogue *catalogue, snub_error *error);

/** Version that the file had when it was opened, before any upgrade. */
int snub_catalogue_version_found(const snub_catalogue *catalogue);

/** Who changes the catalogue, and when, as its history and whoever has to wait will read it. What is NULL is the
 *  system's: the name of the account, and the clock.
 *  @param[in] user  must outlive the catalogue
 *  @param[in] at    UTC, "2026-01-31T14:05:00Z"; must outlive the catalogue */
void snub_catalogue_sign(snub_catalogue *catalogue, const char *user, const char *at);

/** Add a part, in a transaction of its own.
 *  @param[in] replace  true: a part with that key is replaced; false: it is a mistake
 *  @return SNUB_OK; SNUB_BAD_INPUT; SNUB_IO; SNUB_NO_MEMORY */
snub_status snub_catalogue_add(snub_catalogue *catalogue, const snub_part *part, bool replace, snub_error *error);
/** A part by key. Texts live in the arena.
 *  @return SNUB_OK; SNUB_BAD_INPUT (none of that key; `need` holds a near one where there is one); SNUB_IO;
 *          SNUB_NO_MEMORY */
snub_status snub_catalogue_get(snub_catalogue *catalogue, const char *key, snub_arena *arena, snub_part *part,
                               snub_error *error);
/** The key of the part that a number stands for: its key, else the house's own number, else its supplier's; also of one
 *  that was removed.
 *  @param[out] key  in the arena
 *  @return as snub_catalogue_get; SNUB_BAD_INPUT too where several parts have it: `need` lists their keys */
snub_status snub_catalogue_key(snub_catalogue *catalogue, const char *number, snub_arena *arena, const char **key,
                               snub_error *error);
/** Remove a part.
 *  @return SNUB_OK; SNUB_BAD_INPUT (none of that key, or another part needs it: the message names that one);
 *          SNUB_IO; SNUB_NO_MEMORY */
snub_status snub_catalogue_remove(snub_catalogue *catalogue, const char *key, snub_error *error);
/** How many parts of a kind (or of all). */
snub_status snub_catalogue_count(snub_catalogue *catalogue, snub_part_kind kind, long long *count, snub_error *error);

/** A window on one field, SI, both ends inclusive. */
typedef struct snub_part_window {
    const char *field;
    double from, to;  /**< NUMBER and COUNT */
    const char *word; /**< WORD and TEXT: equal to this; else NULL */
} snub_part_window;

enum { SNUB_PART_WINDOWS_MOST = 8, SNUB_PART_WORDS_MOST = 16 };

/** What to look for; all of it must hold. */
typedef struct snub_part_query {
    snub_part_kind kind; /**< or SNUB_PART_ANY: every kind that has the windows' fields */
    int window_count;
    snub_part_window windows[SNUB_PART_WINDOWS_MOST];
    const char *text; /**< words that stand in key, name or note; "harr*" is the start of one. NULL: any */
    int most;         /**< results wanted at most; <= 0: 50 */
    bool in_stock;    /**< only parts with stock > 0 */
} snub_part_query;

typedef struct snub_part_list {
    snub_part *items;
    int count;
    bool more; /**< there are others beyond `most` */
} snub_part_list;

/** Look for parts. Ordered by kind and then by the kind's chief size (length, diameter, bore, thickness, swept volume);
 *  without a window by key, with text alone by age, with the start of one word alone by word.
 *  Quick on a large catalogue: ribs, the chief size, text, and these together. A window on another field is slower.
 *  A window's ends are widened by 1e-9 of their value, for a size that was written in another unit.
 *  @return SNUB_OK (also for none found); SNUB_BAD_INPUT (a field that the kind lacks); SNUB_IO; SNUB_NO_MEMORY */
snub_status snub_catalogue_find(snub_catalogue *catalogue, const snub_part_query *query, snub_arena *arena,
                                snub_part_list *list, snub_error *error);

/** Take one part; anything but SNUB_OK ends the walk with that status. The part lives until the next call. */
typedef snub_status snub_part_take(void *context, const snub_part *part, snub_error *error);
/** Every part of a kind (or all, by kind), by key, as the file stood when the walk began. `take` may
 *  read from the catalogue, not change it. */
snub_status snub_catalogue_walk(snub_catalogue *catalogue, snub_part_kind kind, snub_part_take *take, void *context,
                                snub_error *error);

/** One thing that happened to a part. */
typedef struct snub_part_change {
    const char *at; /**< UTC, "2026-01-31T14:05:00Z" */
    const char *user, *host;
    const char *file;      /**< that the row was read from, as it was given; "" for none */
    const char *what;      /**< "added", "changed", "removed" */
    const char *field;     /**< name of the column of a CSV; "" of what was added */
    const char *old, *now; /**< as in a CSV; NULL: nothing */
} snub_part_change;

typedef struct snub_history {
    const char *key; /**< that the number stands for */
    snub_part_change *items;
    int count; /**< 0: nothing since the catalogue keeps a history */
} snub_history;

/** What happened to a part, the oldest first; also to one that was removed.
 *  @param[in] number  its key, else the house's own number, else its supplier's
 *  @return SNUB_OK; SNUB_BAD_INPUT (no such part, `need` may hold a near key; an older file that is only read);
 *          SNUB_IO; SNUB_NO_MEMORY */
snub_status snub_catalogue_history(snub_catalogue *catalogue, const char *number, snub_arena *arena,
                                   snub_history *history, snub_error *error);

/** A whole copy, also while others write. The copy is checked, then put in place at once; it needs no side files.
 *  @param[in] over  true: an existing file is replaced
 *  @return SNUB_OK; SNUB_IO; SNUB_BAD_INPUT (the copy fails its check); SNUB_NO_MEMORY */
snub_status snub_catalogue_backup(snub_catalogue *catalogue, const char *path, bool over, snub_error *error);

/** Check the file: SQLite's own integrity and foreign keys, the text index, one row of sizes for each part and of the
 *  right kind, every part within bounds.
 *  @param[in,out] errors  what is wrong
 *  @param[out] parts  how many were looked at
 *  @return SNUB_OK (errors or not); SNUB_IO; SNUB_NO_MEMORY */
snub_status snub_catalogue_check(snub_catalogue *catalogue, snub_errors *errors, long long *parts, snub_error *error);

/* ---- CSV -------------------------------------------------------------------------------------------------------- */

/** Takes one change of an update, in the order of the rows. The change is without its event; texts live until the next
 *  call. Anything but SNUB_OK ends the import with that status. */
typedef snub_status snub_import_told(void *context, int line, const char *key, const snub_part_change *change,
                                     snub_error *error);

typedef struct snub_import_options {
    snub_part_kind kind; /**< of every row, where the file has no column `kind`; SNUB_PART_ANY: the file has one */
    const char *source;  /**< of rows that have none; NULL: a row without one is a mistake */
    bool replace;        /**< a key that is there already is replaced, not a mistake */
    bool skip_bad;       /**< import the good rows although others are bad */
    bool dry_run;        /**< check all, change nothing */
    char delimiter;      /**< 0: found out */
    snub_encoding encoding;
    char decimal;                 /**< '.' or ','; 0: a point, and a comma in a number is a mistake */
    char thousands;               /**< '.', ',', ' ' or '\''; 0: none */
    const snub_supplier_map *map; /**< how the columns are read, and the four above; NULL: by their own titles */
    bool keep_map;                /**< keep the map in the catalogue, for its supplier */
    bool update;                  /**< change what the file gives of parts that are there */
    bool add;                     /**< update: add the parts that are not there */
    snub_import_told *told;       /**< update: what changes; NULL: nobody asks */
    void *told_context;
    snub_errors *hints; /**< columns and words by names of before are told here, each once; NULL: nowhere */
} snub_import_options;

typedef struct snub_import_report {
    long long rows, added, replaced, bad;
    long long unchanged;    /**< update: rows that say what is there already */
    long long left_out;     /**< by the map's rules; not among the rows */
    bool map_kept;          /**< the map is new in the catalogue, or in place of another of its supplier */
    int columns_left_out;   /**< of the file that the map does not name */
    char left_out_say[160]; /**< their titles, as many as fit */
    int columns_lacking;    /**< update: columns of the map that the file lacks */
    char lacking_say[160];  /**< their titles, as many as fit */
    int own_shared;         /**< own numbers of its rows that several parts have */
    char shared_say[200];   /**< which, with the keys, as many as fit */
    char map_since[24];     /**< when the map was kept that this one replaces; "" where there was none */
} snub_import_report;

/** Import of a CSV file, fed piece by piece, in one transaction from open to finish.
 *
 *  First row: names of columns. `key`, `kind`, `name`, `source`, `note`, `price`, `currency`, `stock`, `own_number`,
 *  `supplier`, `minimum_order`, `discontinued` (yes or no), `replaced_by`, the fields of the kinds, and `<field>
 * tolerance`. A unit stands in the title, `diameter [mm]`, or beside the value, `3.15 in`; the value's own unit wins. A
 * number of a quantity with no unit in either place is a mistake: nothing is guessed. A tolerance is `0.3` (both ways)
 * or `+0.1/-0.2`. A price is `12.50` under `price [EUR]`, or `12.50 EUR`. Every bad row is told with its line, column
 * and reason. With any bad row nothing is imported, unless skip_bad. */
typedef struct snub_import snub_import;

/** @param[in] units  must outlive the import
 *  @param[in] name  of the file, for messages; must outlive the import and `errors`
 *  @return SNUB_OK; SNUB_IO (busy, read-only, ...); SNUB_NO_MEMORY */
snub_status snub_import_open(snub_catalogue *catalogue, snub_units *units, const char *name,
                             const snub_import_options *options, snub_errors *errors, snub_import **import,
                             snub_error *error);
/** @return SNUB_OK (bad rows or not); SNUB_BAD_INPUT (the file cannot be read on: no CSV, no header; noted in
 *          errors); SNUB_TOO_LARGE; SNUB_IO; SNUB_NO_MEMORY */
snub_status snub_import_feed(snub_import *import, const char *data, size_t length, snub_error *error);
/** Make it so, or not: see skip_bad and dry_run.
 *  @return SNUB_OK: what the report says is in the catalogue; SNUB_BAD_INPUT: rows were bad, nothing was changed;
 *          else as feed, nothing was changed */
snub_status snub_import_finish(snub_import *import, snub_import_report *report, snub_error *error);
/** Give up where not finished: nothing is changed. NULL-safe. */
void snub_import_close(snub_import *import);

/** A map that the catalogue keeps. */
typedef struct snub_kept_map {
    const char *supplier, *text;
    const char *at, *user; /**< when it came, and by whom */
} snub_kept_map;
typedef struct snub_kept_maps {
    snub_kept_map *items; /**< by supplier */
    int count;
} snub_kept_maps;

/** All maps of the catalogue. Texts live in the arena. @return SNUB_OK; SNUB_IO; SNUB_NO_MEMORY */
snub_status snub_catalogue_maps(snub_catalogue *catalogue, snub_arena *arena, snub_kept_maps *maps, snub_error *error);
/** The map of a supplier.
 *  @return SNUB_OK; SNUB_BAD_INPUT (none; `need` may hold a near name); SNUB_IO; SNUB_NO_MEMORY */
snub_status snub_catalogue_map(snub_catalogue *catalogue, const char *supplier, snub_arena *arena, snub_kept_map *map,
                               snub_error *error);
/** Remove it. @return as snub_catalogue_map */
snub_status snub_catalogue_map_remove(snub_catalogue *catalogue, const char *supplier, snub_error *error);

/** Append the header of an export of a kind (or, for SNUB_PART_ANY, of all). Units are in the titles. */
void snub_export_header(snub_part_kind kind, snub_text *out);
/** Append one part's row under that header. What is exported can be imported again and is then the same. */
void snub_export_row(snub_part_kind kind, const snub_part *part, snub_text *out);

/* ---- for people ------------------------------------------------------------------------------------------------- */

/** A value as a person reads it, "80.01 mm", "+0.1/-0.2 mm" for the tolerance; "" where not given. */
void snub_part_value_text(const snub_part_field *field, const snub_part_value *value, const snub_locale *locale,
                          snub_text *out);
void snub_part_tolerance_text(const snub_part_field *field, const snub_part_value *value, const snub_locale *locale,
                              snub_text *out);
/** "12.50 EUR"; "" where there is no price. */
void snub_part_price_text(const snub_part *part, snub_text *out);

/* ---- for the drive file ----------------------------------------------------------------------------------------- */

/** Where the drive reader finds `part: KEY` and `stock: catalogue`. May be called from several threads at once; the
 *  catalogue must stay open.
 *
 *  The reader's kinds: "pulley" takes a pulley, an idler or a tensioner (its arm under `arm`); "arm" the arm of a
 *  tensioner; "belt", "blower", "bearing", "fastener" (also "bolt") and "shim" those; "any" takes every one. Fields
 * that the drive file has no key for are left out. A tolerance of a belt's length is `tolerance`, the wider side of the
 * two. A key of another kind is a mistake that says which kind it is. */
void snub_parts_source(snub_catalogue *catalogue, snub_part_source *out);

#endif
