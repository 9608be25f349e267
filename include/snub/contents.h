/** snub/contents.h - what is in the box of a build, what must be on the engine, what is reworked, what comes off, and
 *  the tools. Room: kit.
 *
 *  Every part that the drive names stands in exactly one list. Nothing here is a sentence. docs/decisions, 040.
 */
#ifndef SNUB_CONTENTS_H
#define SNUB_CONTENTS_H

#include "snub/kit.h"

typedef enum snub_item_kind {
    SNUB_ITEM_BELT,
    SNUB_ITEM_PULLEY,
    SNUB_ITEM_TENSIONER, /**< a pulley with its arm */
    SNUB_ITEM_BLOWER,
    SNUB_ITEM_BRACKET,
    SNUB_ITEM_STANDOFF,
    SNUB_ITEM_SPACER,
    SNUB_ITEM_BEARING,
    SNUB_ITEM_BOLT,
    SNUB_ITEM_WASHER,
    SNUB_ITEM_SHIM,
    SNUB_ITEM_BESIDE, /**< an obstacle: what stands beside the belt */
    SNUB_ITEM_OTHER,  /**< a row of `contents` */
    SNUB_ITEM_KINDS
} snub_item_kind;
/** "belt", "pulley", ...: the word in JSON and tables. */
const char *snub_item_kind_text(snub_item_kind kind);

/** Where a piece goes. */
typedef struct snub_item_place {
    const char *name;  /**< "left ear", "shim pack"; "" where the owner says it all */
    const char *owner; /**< "idler bridge"; "" for none */
    int count;         /**< pieces there */
} snub_item_place;

/** Decimals of a millimetre that every paper shows of what is taken off, drilled or reamed. */
enum { SNUB_CUT_DECIMALS = 2 };

/** A line of the list: pieces that are the same part. Lengths in m; NAN where the kind has none. */
typedef struct snub_item {
    snub_item_kind kind;
    snub_supply_how how;
    bool assumed;       /**< the file says of a piece neither how it comes nor how its owner does: the default counts */
    int count;          /**< pieces, > 0 */
    const char *name;   /**< the file's; "" where the kind and the places say it all */
    const char *number; /**< own part number: the file's `number`, else the key in the catalogue; NULL: none */
    const char *part;   /**< key in the catalogue; NULL: not from there */
    const char *supplier, *supplier_number; /**< who sells it, and by which number; NULL: not said */
    const char *note;                       /**< NULL: none */
    const char *clash; /**< another part of the build with this number, which is not the same; NULL: none */
    int ribs;          /**< of a belt; 0: none, or not said */
    bool back;         /**< pulley: runs on the belt's back */
    int rows;          /**< of a bearing */
    double diameter;   /**< pulley's; outside of standoff, washer and bearing, and of the washer under a bolt */
    double nominal;    /**< pulley's as the file gives it: over the tips or balls where that is not `diameter` */
    double inside;     /**< of a standoff, 0: solid; bore of a bearing */
    double length;     /**< of belt, bolt (0: not said), standoff, spacer; thickness of bracket (0: not said), washer
                            and shim; width of a bearing */
    double grip;       /**< of a bolt whose length is not said; 0: not known either */
    const char *thread, *class_, *finish; /**< NULL: not said. finish: black, zinc, cadmium */
    const char *material;                 /**< of bracket and standoff */
    const char *seal, *clearance;         /**< of a bearing; seal may be NULL */
    snub_rework rework;                   /**< of what is changed; not given where the cuts say it all */
    int cut_count;
    snub_cut *cuts; /**< metal that is taken off an obstacle */
    double at[2];   /**< where it stands in the front view, m; NAN: nowhere */
    int place_count;
    snub_item_place *places;
} snub_item;

typedef enum snub_tool_kind {
    SNUB_TOOL_SPANNER, /**< across flats of the hexagon head */
    SNUB_TOOL_HEX_KEY, /**< the same thread with a socket head */
    SNUB_TOOL_TORQUE_WRENCH,
    SNUB_TOOL_DRILL,
    SNUB_TOOL_REAMER,
    SNUB_TOOL_TAP,
    SNUB_TOOL_OIL,        /**< for threads that are tightened oiled */
    SNUB_TOOL_ANTI_SEIZE, /**< for those with anti-seize */
    SNUB_TOOL_KINDS
} snub_tool_kind;
/** "spanner", "hex key", ...: the word in JSON. */
const char *snub_tool_kind_text(snub_tool_kind kind);

enum { SNUB_TOOL_THREADS_MOST = 8 };

typedef struct snub_tool {
    snub_tool_kind kind;
    double size;      /**< across flats, or diameter, m; NAN: not known */
    bool inch;        /**< its thread is an inch thread: the size is a fraction of an inch */
    double low, high; /**< of a torque wrench: what it must reach, N m; NAN of others */
    int bolts;        /**< that it is for; 0 of what is for a rework */
    int thread_count;
    const char *threads[SNUB_TOOL_THREADS_MOST]; /**< for which, the first so many */
} snub_tool;

typedef struct snub_contents {
    int count;
    snub_item *items;       /**< by how they come, then by kind, then in the file's order */
    int of[SNUB_SUPPLIES_]; /**< lines of each */
    int tool_count;
    snub_tool *tools; /**< by kind, the smallest first */
} snub_contents;

/** What a settled build is made of. Shims are those that it is judged with; a build without a belt has no line for one.
 *  @param[out] contents  in the arena with all that it points to, but for the rework's caution
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_contents_of(const snub_build *build, snub_arena *arena, snub_contents *contents, snub_error *error);

#endif
