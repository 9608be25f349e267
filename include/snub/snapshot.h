/** snub/snapshot.h - a drive file and all that its reading asked for, as bytes.
 *
 *  What reads a drive may have no YAML, no catalogue, no files and no database of units: the core in the browser. A
 *  snapshot brings it the tree of the document with every place in it, the catalogue's parts and belts, the maps of
 *  blowers, and the units that the table lacks. It is made by a reading whose questions are noted, and answers another
 *  reading as the sources did. A question that it has no answer to is noted as well: then the sources must be asked.
 */
#ifndef SNUB_SNAPSHOT_H
#define SNUB_SNAPSHOT_H

#include "snub/drive.h"

enum { SNUB_SNAPSHOT_VERSION = 1 };

typedef struct snub_snapshot_part {
    const char *kind, *key;
    snub_node *map;
    snub_part_sale sale;
    struct snub_snapshot_part *next;
} snub_snapshot_part;

typedef struct snub_snapshot_belts {
    const char *section;
    int ribs, count;
    snub_stock_belt *belts;
    struct snub_snapshot_belts *next;
} snub_snapshot_belts;

typedef struct snub_snapshot_map {
    const char *path;
    snub_blower_kind kind;
    double temperature, pressure; /**< of the blower that it was read for: its flows hang on them */
    int lines;
    snub_map_line *map;
    char digest[65];
    struct snub_snapshot_map *next;
} snub_snapshot_map;

typedef struct snub_snapshot_unit {
    snub_quantity quantity;
    snub_rare_unit unit;
    struct snub_snapshot_unit *next;
} snub_snapshot_unit;

typedef struct snub_snapshot {
    snub_arena *arena;      /**< of all that is in it; outlives the readings */
    snub_document document; /**< lives in the same arena */
    bool catalogue;         /**< there is one; else `part:` is a mistake */
    snub_snapshot_part *parts;
    snub_snapshot_belts *belts;
    snub_snapshot_map *maps;
    snub_snapshot_unit *units;
    bool lacks; /**< a question had no answer */
    snub_part_source part_source;
    snub_map_source map_source;
    const snub_part_source *ask_parts; /**< that stand behind it while it is made; NULL */
    const snub_map_source *ask_maps;
} snub_snapshot;

/** Begin one: readings by its `part_source` and `map_source` fill it.
 *  @param[in] parts,maps  that are asked; NULL: there are none */
void snub_snapshot_begin(snub_snapshot *snapshot, const snub_document *document, const snub_part_source *parts,
                         const snub_map_source *maps, snub_arena *arena);
/** Note the units of the document, of its parts and of nothing else, that the table lacks.
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_snapshot_note_units(snub_snapshot *snapshot, snub_units *units);
/** As bytes, appended. Little-endian; a version and an end mark stand in it.
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_snapshot_write(snub_snapshot *snapshot, snub_text *out, snub_error *error);
/** From bytes, which may go afterwards.
 *  @return SNUB_OK; SNUB_BAD_INPUT (not a snapshot, of another version, cut off); SNUB_NO_MEMORY */
snub_status snub_snapshot_read(const void *bytes, size_t length, snub_arena *arena, snub_snapshot *snapshot,
                               snub_error *error);
/** What reading by a snapshot needs: NULL where there is no catalogue. */
const snub_part_source *snub_snapshot_parts(const snub_snapshot *snapshot);

#endif
