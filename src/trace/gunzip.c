/* gzip (RFC 1952), as many members as there are, one behind the other. */
#include "gunzip.h"

#include <stdlib.h>
#include <zlib.h>

enum { OUT_BYTES = 1 << 16, GZIP_BITS = 16 + MAX_WBITS };
static const unsigned char MAGIC[2] = {0x1f, 0x8b};

struct trace_gunzip {
    enum { UNKNOWN, PLAIN, ZIPPED } form;
    bool started, between; /* z is in use; at the end of a member */
    char held;             /* the first byte, until the second comes */
    bool holds;
    z_stream z;
    unsigned char out[OUT_BYTES];
};

trace_gunzip *trace_gunzip_open(void)
{
    return calloc(1, sizeof(trace_gunzip));
}

static snub_status damaged(const trace_gunzip *g, snub_error *error)
{
    return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "the gzip file is damaged (%s)",
                     g->z.msg != NULL ? g->z.msg : "it ends in the middle");
}

static snub_status inflate_all(trace_gunzip *g, trace_bytes *take, void *context, snub_error *error)
{
    snub_status status = SNUB_OK;
    while (status == SNUB_OK && (g->z.avail_in > 0 || g->z.avail_out == 0)) {
        if (g->between) { /* the next member; padding with zeros, as tapes have it, is none */
            while (g->z.avail_in > 0 && *g->z.next_in == 0) {
                g->z.next_in++;
                g->z.avail_in--;
            }
            if (g->z.avail_in == 0)
                return SNUB_OK;
            if (inflateReset(&g->z) != Z_OK)
                return damaged(g, error);
            g->between = false;
        }
        g->z.next_out = g->out;
        g->z.avail_out = OUT_BYTES;
        const int result = inflate(&g->z, Z_NO_FLUSH);
        if (result == Z_MEM_ERROR)
            return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
        if (result != Z_OK && result != Z_STREAM_END && result != Z_BUF_ERROR)
            return damaged(g, error);
        if (OUT_BYTES - g->z.avail_out > 0)
            status = take(context, (const char *)g->out, OUT_BYTES - g->z.avail_out, error);
        g->between = result == Z_STREAM_END;
        if (result == Z_BUF_ERROR)
            break;
    }
    return status;
}

static snub_status feed_known(trace_gunzip *g, const char *data, size_t length, trace_bytes *take, void *context,
                              snub_error *error)
{
    if (g->form == PLAIN)
        return length > 0 ? take(context, data, length, error) : SNUB_OK;
    while (length > 0) {
        const size_t piece = length < (1U << 30) ? length : 1U << 30;
        g->z.next_in = (z_const Bytef *)data;
        g->z.avail_in = (uInt)piece;
        g->z.avail_out = OUT_BYTES;
        const snub_status status = inflate_all(g, take, context, error);
        if (status != SNUB_OK)
            return status;
        data += piece;
        length -= piece;
    }
    return SNUB_OK;
}

static snub_status begin(trace_gunzip *g, unsigned char second, trace_bytes *take, void *context, snub_error *error)
{
    g->form = (unsigned char)g->held == MAGIC[0] && second == MAGIC[1] ? ZIPPED : PLAIN;
    if (g->form == ZIPPED && inflateInit2(&g->z, GZIP_BITS) != Z_OK)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    g->started = g->form == ZIPPED;
    return feed_known(g, &g->held, 1, take, context, error);
}

snub_status trace_gunzip_feed(trace_gunzip *g, const char *data, size_t length, trace_bytes *take, void *context,
                              snub_error *error)
{
    if (g->form == UNKNOWN && !g->holds && length > 0) {
        g->held = *data++;
        length--;
        g->holds = true;
    }
    if (g->form == UNKNOWN && length > 0) {
        const snub_status status = begin(g, (unsigned char)*data, take, context, error);
        if (status != SNUB_OK)
            return status;
    }
    return length > 0 ? feed_known(g, data, length, take, context, error) : SNUB_OK;
}

snub_status trace_gunzip_finish(trace_gunzip *g, trace_bytes *take, void *context, snub_error *error)
{
    if (g->form == UNKNOWN && g->holds) {
        g->form = PLAIN;
        return take(context, &g->held, 1, error);
    }
    if (g->form == ZIPPED && !g->between) {
        g->z.msg = NULL;
        return damaged(g, error);
    }
    return SNUB_OK;
}

bool trace_gunzip_zipped(const trace_gunzip *g)
{
    return g->form == ZIPPED;
}

void trace_gunzip_close(trace_gunzip *g)
{
    if (g != NULL && g->started)
        inflateEnd(&g->z);
    free(g);
}
