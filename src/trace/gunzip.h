/** gunzip.h - bytes of a file, unpacked where they are packed by gzip. Private to src/trace. */
#ifndef SNUB_TRACE_GUNZIP_H
#define SNUB_TRACE_GUNZIP_H

#include "snub/base.h"

typedef struct trace_gunzip trace_gunzip;
/** Takes plain bytes. */
typedef snub_status trace_bytes(void *context, const char *data, size_t length, snub_error *error);

/** @return NULL: memory is out */
trace_gunzip *trace_gunzip_open(void);
/** Feed bytes of the file; plain ones are handed over. By its first two bytes a file is gzip or not.
 *  @return SNUB_OK; SNUB_BAD_INPUT (damaged); SNUB_NO_MEMORY; what `take` gave */
snub_status trace_gunzip_feed(trace_gunzip *g, const char *data, size_t length, trace_bytes *take, void *context,
                              snub_error *error);
/** @return SNUB_OK; SNUB_BAD_INPUT: it ends in the middle */
snub_status trace_gunzip_finish(trace_gunzip *g, trace_bytes *take, void *context, snub_error *error);
bool trace_gunzip_zipped(const trace_gunzip *g);
void trace_gunzip_close(trace_gunzip *g);

#endif
