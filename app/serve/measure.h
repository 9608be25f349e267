/** The distance of two things of a drive that a hand chose, seen from the front or from the side. */
#ifndef SNUB_SERVE_MEASURE_H
#define SNUB_SERVE_MEASURE_H

#include "snub/draw_drive.h"

struct json_t;

/** One of the two. Of the texts those that do not name it are NULL; all are: it is a point. */
typedef struct serve_thing {
    const char *pulley, *span, *obstacle, *mount; /**< span: by the pulley that it leaves */
    const char
        *part;    /**< of that pulley or mount: a bolt, a bearing, a part of its stack; NULL: its rim, its bracket */
    double at[2]; /**< m */
} serve_thing;

typedef struct serve_measure {
    bool asked;
    bool side; /**< along the crank and upwards, else across and upwards */
    serve_thing thing[2];
} serve_measure;

/** {"view": "front" or "side", "of": [THING, THING]}, where THING is {"pulley": NAME}, {"span": NAME}, {"obstacle":
 *  NAME}, {"mount": NAME}, the first and the last with "part" as well, or {"at": [x, y]} in mm.
 *  @param[in] json  NULL or null: none is asked
 *  @return SNUB_OK; SNUB_BAD_INPUT; SNUB_NO_MEMORY */
snub_status serve_measure_read(const struct json_t *json, snub_arena *arena, serve_measure *measure, snub_error *error);

/** {"from_mm", "to_mm", "distance_mm", "judged"}: nearest points of the outlines as drawn, negative where they overlap
 *  in this view; `judged` is what the program holds the two apart by, in space: {"value_mm", "limit_mm", "flap_mm"}, or
 *  null. null where one of them is not there (a name that is gone, no belt, nothing known along the crank).
 *  @param[in] path  as drawn; `laid`: the belt as well
 *  @param[in] section  of the drive */
struct json_t *serve_measured(const serve_measure *measure, const snub_drive *drive, const snub_path *path, bool laid,
                              double wind, const snub_view *section, snub_arena *arena);

#endif
