/** dxf_pairs.h - what a DXF file is made of: a line with a number, and a line with what it stands for. Private to
 * src/measure. */
#ifndef SNUB_MEASURE_DXF_PAIRS_H
#define SNUB_MEASURE_DXF_PAIRS_H

#include "snub/base.h"

/** Takes a pair. @param[in] value  without blanks around it; lives until it returns */
typedef snub_status snub_dxf_take(void *context, int code, const char *value, int line, snub_error *error);

enum { SNUB_DXF_LINE_MOST = 4096 /**< bytes; the format has 2049 at most */ };

typedef struct snub_dxf_pairs {
    const char *name;
    snub_dxf_take *take;
    void *context;
    char text[SNUB_DXF_LINE_MOST + 1];
    size_t held;
    int line; /**< of the one that was read last */
    int code;
    bool has_code;
} snub_dxf_pairs;

/** An error at a line. @return code */
snub_status snub_dxf_fail(const snub_dxf_pairs *pairs, snub_status code, int line, snub_error *error,
                          const char *message);
/** Feed bytes. @return SNUB_OK; SNUB_BAD_INPUT, SNUB_TOO_LARGE: no pairs of text; what `take` gave */
snub_status snub_dxf_feed(snub_dxf_pairs *pairs, const char *data, size_t length, snub_error *error);
/** A last line without an end. @return as snub_dxf_feed */
snub_status snub_dxf_finish(snub_dxf_pairs *pairs, snub_error *error);

#endif
