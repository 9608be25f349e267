/** Who may ask the server anything: the key, the Host and Origin headers, the shape of a URL.
 *  Pure functions on text, so that the fuzzer can reach them without a socket. */
#ifndef SNUB_SERVE_ACCESS_H
#define SNUB_SERVE_ACCESS_H

#include "snub/base.h"

enum {
    SERVE_KEY_BYTES = 24,                       /**< of randomness: 192 bits */
    SERVE_KEY_LENGTH = SERVE_KEY_BYTES / 3 * 4, /**< characters of base64url */
    SERVE_NAME_MOST = 255                       /**< bytes of a file's name under the folder */
};

typedef struct serve_access {
    char key[SERVE_KEY_LENGTH + 1];
    unsigned port;
    bool loopback; /**< listens on a loopback address only */
} serve_access;

/** Draw a fresh key from the system's generator. @return SNUB_OK; SNUB_IO */
snub_status serve_access_open(serve_access *access, unsigned port, bool loopback, snub_error *error);

/** Is it the key? Takes the same time wherever the first difference is. NULL-safe. */
bool serve_key_matches(const serve_access *access, const char *given);
/** The same for the value of an Authorization header, "Bearer KEY" (RFC 6750). NULL-safe. */
bool serve_bearer_matches(const serve_access *access, const char *header);

/** May a request name this Host? Stops DNS rebinding: a foreign page's name that was pointed at this machine is not
 *  one of ours. On loopback: 127.0.0.0/8, [::1] or localhost, with our port. Otherwise also any numeric address, which
 *  cannot be rebound. NULL (no header) is refused. */
bool serve_host_allowed(const serve_access *access, const char *host);
/** May a page of this origin ask? NULL (header absent) is allowed here; "null" is not. */
bool serve_origin_allowed(const char *host, const char *origin);

/** Is this the name of a drive file directly or deeper under the folder? No empty, "." or ".." part, no leading slash,
 *  no backslash, no control character, no part that begins with a dot, ends in .yaml or .yml. */
bool serve_name_allowed(const char *name);

/** Why a new drive file may not have this name, in words for the person who chose it; NULL: it may. What
 *  serve_name_allowed refuses is refused here as well. */
const char *serve_new_name_fault(const char *name);

/** The same for a blower's map: ends in .csv, .tsv or .txt. */
bool serve_map_name_allowed(const char *name);

typedef enum serve_route {
    SERVE_ROUTE_NONE,
    SERVE_ROUTE_ASSET,
    SERVE_ROUTE_FOLDER,
    SERVE_ROUTE_DRIVE,
    SERVE_ROUTE_KEYS,
    SERVE_ROUTE_LAY,
    SERVE_ROUTE_ENTRIES,
    SERVE_ROUTE_SWEEP,
    SERVE_ROUTE_SNAPSHOT,
    SERVE_ROUTE_LOG,
    SERVE_ROUTE_APPLY,
    SERVE_ROUTE_SAVE,
    SERVE_ROUTE_CHART,
    SERVE_ROUTE_MOTION,
    SERVE_ROUTE_STUDY,
    SERVE_ROUTE_JOB,
    SERVE_ROUTE_BEGIN,
    SERVE_ROUTE_PAPERS,
    SERVE_ROUTE_PAPER,
    SERVE_ROUTE_PROBLEM
} serve_route;

/** Route of a path ("/api/lay") and the methods that it takes ("POST", "GET, DELETE").
 *  @param[out] methods  may be NULL */
serve_route serve_route_of(const char *path, const char **methods);
/** Must a request for it carry the key? The page's own files and the texts on problems are the same for everybody;
 *  all that comes from the folder is not. */
bool serve_route_needs_key(serve_route route);
/** Is `method` one of a comma-separated list? HEAD counts as GET. */
bool serve_method_allowed(const char *methods, const char *method);
/** May an answer be packed by gzip? @param[in] accepts  the header Accept-Encoding; NULL: it was not sent, so no */
bool serve_takes_gzip(const char *accepts);

#endif
