/** src/drive/read.h - toolkit for the readers of the drive file's sections (inside src/drive only).
 *
 *  A reader never stops at a mistake: each getter notes what is wrong (place, path of the key, got, need) and goes on,
 *  so that a file gets all of its errors at once. A getter returns true where it has filled its output; false where
 *  the key is left out (no mistake: the caller's default stays) or wrong (noted). A key whose value is a plain `null`
 *  or `~` counts as left out. Typical section:
 *
 *      static const snub_key density_keys[] = {{"pressure", NULL, SNUB_MEANS("...")}, {NULL, NULL, NULL}};
 *
 *      const snub_node *map = snub_read_map(reader, root, "cooler", cooler_keys);   // unknown keys are noted here
 *      if (map == NULL)
 *          return;
 *      snub_enter(reader, "cooler");
 *      if (snub_read_need(reader, map, "effectiveness"))
 *          snub_read_number(reader, map, "effectiveness", SNUB_Q_NUMBER, 0, 1, &cooler->effectiveness);
 *      snub_read_number(reader, map, "pressure_drop", SNUB_Q_PRESSURE, 0, 100, &cooler->pressure_drop);   // bounds in
 * kPa, result in Pa snub_leave(reader);
 *
 *  Bounds are given in the quantity's bare unit, inclusive, and say what is absurd, not what is good.
 */
#ifndef SNUB_DRIVE_READ_H
#define SNUB_DRIVE_READ_H

#include "snub/drive.h"
#include "snub/keys.h"

/** One key that a map may have, the keys of the map that stands under it, or of every item of a list there (NULL:
 *  none, or neither), and what it means. Lists end with a key whose name is NULL. The same lists decide which paths
 *  `options:` and `variants:` may name. A row without a meaning does not compile; NULL is for files that are no drives.
 */
typedef struct snub_key {
    const char *name;
    const struct snub_key *inside;
    const char *means; /**< SNUB_MEANS */
} snub_key;

/** One line of plain English: what the key is, and how it is measured or from where it is had. Marked for translation;
 *  left out of the core in the browser, which nobody asks for it. */
#ifdef __wasm__
#define SNUB_MEANS(text) NULL
#else
#define SNUB_MEANS(text) text
#endif

/** A key's name that stands for any: the entries of a map by names of their own. */
#define SNUB_ANY_KEY "*"

/** One step of the path to the value in hand: a word, or (word NULL) an index. */
typedef struct snub_path_step {
    const char *word;
    int index;
} snub_path_step;

enum { SNUB_STEPS_MOST = SNUB_DEPTH_MOST + 8 };

/** A number that was read, as its tolerance needs it. */
typedef struct snub_sighting {
    const char *path;      /**< as an overlay's */
    const snub_node *node; /**< as written, tolerance and all; of a stack's and a range: what says it */
    snub_quantity quantity;
    double least, most; /**< its key's bounds, bare unit */
    double value;       /**< SI */
    bool firm;          /**< it takes no tolerance */
    bool known;         /**< low and high are given, SI; `basis` says by what */
    double low, high;
    snub_tolerance_basis basis;
    const struct snub_sighting *next;
} snub_sighting;

/** Which numbers a reader keeps in its list of sightings. */
typedef enum snub_sights {
    SNUB_SIGHT_NONE = 0, /**< none, and a tolerance is a mistake: a file that is no drive */
    SNUB_SIGHT_TAKE_OFF, /**< none: one kit's values */
    SNUB_SIGHT_WRITTEN,  /**< those that have a tolerance with them */
    SNUB_SIGHT_ALL
} snub_sights;

typedef struct snub_reader {
    const snub_document *document;
    const snub_reading *reading;
    snub_units *units;
    snub_arena *arena;
    snub_errors *errors;
    bool no_memory;    /**< an allocation was refused: the reading ends with SNUB_NO_MEMORY */
    bool difference;   /**< set while pressures are differences: 8 psig of boost is 8 psi, not that over a vacuum */
    int wrong;         /**< errors noted by this reader so far, dropped ones too */
    uint32_t cautions; /**< that it calls for, whatever its findings say: a bit each, in the order of
                          snub/caution_list.inc */
    snub_bare *bare;   /**< where bare numbers are counted; NULL: nowhere */
    const struct snub_used_part *used; /**< parts that were read, the last first */
    const snub_range *ranges;          /**< values that were given as ranges, the last first */
    snub_sights sights;
    bool firm;                    /**< set while numbers are read that take no tolerance: counts, lists, limits */
    const snub_sighting *seen;    /**< the last first */
    struct snub_key_notes *notes; /**< where what is asked for is kept (key_notes.h); NULL: nowhere */
    int depth;
    snub_path_step path[SNUB_STEPS_MOST];
} snub_reader;

/* ---- where we are ------------------------------------------------------------------------------------------------ */

/** Step into a key or a list item, and out again. The word must live until snub_leave. */
void snub_enter(snub_reader *reader, const char *word);
void snub_enter_item(snub_reader *reader, int index);
void snub_leave(snub_reader *reader);

/* ---- errors ---------------------------------------------------------------------------------------------------- */

/** Note a whole number with a 0 before it, which other programs may read in base 8. @return whether it is one */
bool snub_read_octal(snub_reader *reader, const snub_node *node);
/** Note that the value in hand is wrong, at its place, with what it is as `got`.
 *  @param[in] node  the value; its place and text are shown
 *  @param[in] need  what would do ("5 to 2000 mm"), or NULL */
void snub_read_wrong(snub_reader *reader, const snub_node *node, const char *need, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
/** The same for the value under `key` of a map: at its place, or at the map's where the key is left out. */
void snub_read_wrong_key(snub_reader *reader, const snub_node *map, const char *key, const char *need,
                         const char *format, ...) __attribute__((format(printf, 5, 6)));
/** What ends a message about an unknown word: "; did you mean 'arm'?", or "" where `near` is NULL. */
const char *snub_read_guess(snub_reader *reader, const char *near);
/** Note that an allocation was refused. */
void snub_read_no_memory(snub_reader *reader);
/** Bring mistakes from an index on into the order of lines and columns; those at one place stay in the order found. */
void snub_read_sort(snub_errors *errors, int first);
/** The end of a file: its mistakes in order. @return SNUB_OK; SNUB_BAD_INPUT; SNUB_NO_MEMORY */
snub_status snub_read_end(snub_reader *reader, int first);

/* ---- getters ----------------------------------------------------------------------------------------------------- */

/** Value under a key, NULL where it is left out or a plain null. No mistake is noted. */
const snub_node *snub_read_find(const snub_node *map, const char *key);
/** The same, but a key that is left out is a mistake ("is missing"). */
const snub_node *snub_read_need(snub_reader *reader, const snub_node *map, const char *key);
/** Map under a key, its keys checked against `keys`. NULL where left out or wrong. */
const snub_node *snub_read_map(snub_reader *reader, const snub_node *map, const char *key, const snub_key *keys);
/** Check that a node is a map and that it has known keys only; call it inside the map's path.
 *  @return false where it is not a map (noted). Unknown keys are noted but do not make it false. */
bool snub_read_keys(snub_reader *reader, const snub_node *map, const snub_key *keys, const snub_key *more);
/** A key that no getter reads: its reader takes it apart by itself. For the list of keys (snub/keys.h).
 *  @param[in] least,most  items, 0: not said */
void snub_read_apart(snub_reader *reader, const snub_node *map, const char *key, snub_key_kind kind, int least,
                     int most);
/** A key of the list that does not belong in this map: it is no key of it (snub/keys.h). */
void snub_read_refused(snub_reader *reader, const char *key);
/** The same for a number that is not in its quantity's bare unit, or that has a published default.
 *  @param[in] preset  in the unit of the bounds; NULL: none. @param[in] source  of it; NULL: the guide says */
void snub_read_says(snub_reader *reader, const snub_node *map, const char *key, const snub_key_bounds *bounds,
                    const double *preset, const char *source);
/** List under a key with at least `least` and at most `most` items. NULL where left out or wrong. */
const snub_node *snub_read_list(snub_reader *reader, const snub_node *map, const char *key, int least, int most);

/** A number with its unit, in SI.
 *  @param[in] least,most  bounds in the quantity's bare unit, inclusive
 *  @param[in,out] value   SI; keeps its default where the key is left out or wrong */
bool snub_read_number(snub_reader *reader, const snub_node *map, const char *key, snub_quantity quantity, double least,
                      double most, double *value);
/** The same for a value that may be uncertain: `[low, high]` is read as its middle and noted in reader->ranges. Low
 * under high, both within the bounds. */
bool snub_read_ranged(snub_reader *reader, const snub_node *map, const char *key, snub_quantity quantity, double least,
                      double most, double *value);
/** Keep the tolerance of the number under `key` of a map, which the file gives by another key.
 *  @param[in] teller  key that says it; @param[in] value,half  SI; half 0: none */
void snub_read_tolerated(snub_reader *reader, const snub_node *map, const char *key, const char *teller,
                         snub_quantity quantity, double value, double half, snub_tolerance_basis basis);
/** The same for a node in hand (a list's item); call it inside the item's path. */
bool snub_read_value(snub_reader *reader, const snub_node *node, snub_quantity quantity, double least, double most,
                     double *value);
/** A word that its reader leaves as it is where the file is silent: there is no default to show. */
#define SNUB_NO_CHOICE (-1)

/** A whole number. */
bool snub_read_integer(snub_reader *reader, const snub_node *map, const char *key, int least, int most, int *value);
/** The format number of a file beside the drive file: `snub`, which must be 1. */
void snub_read_format(snub_reader *reader, const snub_node *root);
/** true or false (yes and no will do). */
bool snub_read_flag(snub_reader *reader, const snub_node *map, const char *key, bool *value);
/** One word of a NULL-terminated list; its index.
 *  @param[in,out] value  default, SNUB_NO_CHOICE where there is none */
bool snub_read_choice(snub_reader *reader, const snub_node *map, const char *key, const char *const *words, int *value);
/** Text of 1 to `most` bytes without control characters. Lives as long as the document. */
bool snub_read_text(snub_reader *reader, const snub_node *map, const char *key, size_t most, const char **value);
/** [x, y] of one quantity. */
bool snub_read_point(snub_reader *reader, const snub_node *map, const char *key, snub_quantity quantity, double least,
                     double most, double point[2]);
/** A list of numbers, in the file's order. The array is in the arena. */
bool snub_read_numbers(snub_reader *reader, const snub_node *map, const char *key, snub_quantity quantity, double least,
                       double most, int *count, double **values);

/** What a table's columns are. Bounds in bare units. */
typedef struct snub_columns {
    snub_quantity x, y;
    double x_least, x_most, y_least, y_most;
} snub_columns;
/** [[x, y], ...] with x strictly rising; at least one row. The arrays are in the arena. */
bool snub_read_table(snub_reader *reader, const snub_node *map, const char *key, const snub_columns *columns,
                     snub_curve *table);

/* ---- catalogue parts --------------------------------------------------------------------------------------------- */

/** Where a map has `part: KEY`, the map with the part's keys laid under its own (keys of the map win); else the map
 *  itself. Call it inside the map's path. Nodes that came from the part say so in from_part.
 *  @param[in] kind  "pulley", "belt", "arm", "blower", "bearing" - what the catalogue calls it */
const snub_node *snub_read_part(snub_reader *reader, const char *kind, const snub_node *map);

/* ---- hardware: planes, obstacles, mounts, bearings (src/drive/read_hardware.c) ----------------------------------- */

/** Keys that read_hardware.c owns: beside title, engine, belt ... at the top of the file, and in a pulley's map beside
 *  name, at, diameter ... (plane, width and rim of a pulley are read with the pulley). Names of pulleys may not be one
 *  of the top-level keys. */
extern const snub_key snub_hardware_root_keys[];
extern const snub_key snub_hardware_pulley_keys[];

/** Read the hardware; called last, when everything else of the drive is filled. A pulley's own map, overlays and part
 *  laid in, is drive->pulleys[i].node. Leaves drive->hardware NULL where the file has none.
 *  @param[in] root  the file's top map with overlays laid over it
 *  @return SNUB_OK also where errors were noted; SNUB_NO_MEMORY */
snub_status snub_read_hardware(snub_reader *reader, const snub_node *root, snub_drive *drive);

#endif
