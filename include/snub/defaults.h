/** What a drive file leaves to defaults, and which of them decide a build. docs/theory/kit.md. */
#ifndef SNUB_DEFAULTS_H
#define SNUB_DEFAULTS_H

#include "snub/kit.h"

/** A value that may be left out: a row of snub/default_list.inc. Numbers as a drive file writes them. */
typedef struct snub_default_info {
    const char *key;      /**< below its section */
    const char *unit;     /**< in words; "" for a plain number */
    const char *preset;   /**< what is taken */
    const char *range[2]; /**< least and most that real ones have */
    const char *source;   /**< of the range */
    const char *measure;  /**< how to get one's own */
} snub_default_info;

/** The build with the value at one end of its range, belt and settings chosen again where the file leaves them open. */
typedef struct snub_default_end {
    snub_level verdict;
    char designation[32]; /**< "" where there is no belt */
    const char *rule;     /**< of its worst finding; NULL: none */
    const char *pulley;   /**< that this speaks of; NULL */
    bool differs;         /**< another verdict or another belt than the build's */
} snub_default_end;

typedef struct snub_default {
    const snub_default_info *info;
    char path[96]; /**< "belt.stiffness", "blower.blower.mechanical" */
    bool tried;
    bool decides; /**< at an end of the range the verdict or the belt is another */
    snub_default_end end[2];
} snub_default;

enum { SNUB_DEFAULTS_MOST = 160 };

/** Values that the file, its catalogue parts and the overlays leave out, and that this drive goes by.
 *  @param[out] out  room for `room`
 *  @return how many */
int snub_defaults_list(const snub_drive *drive, snub_default *out, int room);

/** Settle and judge the build with each of them at both ends of its range, one at a time.
 *  @param[in] reading  as the build was read, its arena keeps what is found; @param[in] request as it was made
 *  @return SNUB_OK; what snub_build_make says */
snub_status snub_defaults_try(const snub_build *build, const snub_reading *reading, const snub_build_request *request,
                              snub_default *defaults, int count, snub_errors *errors);

#endif
