/** The page's files, inside the program. */
#ifndef SNUB_SERVE_ASSETS_H
#define SNUB_SERVE_ASSETS_H

#include <stddef.h>

typedef struct serve_asset {
    const char *path; /**< "/page.js" */
    const char *type; /**< media type */
    const char *etag; /**< quoted */
    const unsigned char *data;
    size_t length;
    const unsigned char *packed; /**< the same as gzip has it; NULL: not made */
    size_t packed_length;
} serve_asset;

/** Ends with an asset whose path is NULL. Made by page/embed.cmake. */
extern const serve_asset serve_assets[];

#endif
