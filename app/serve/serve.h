/** snub serve: the local page. */
#ifndef SNUB_SERVE_H
#define SNUB_SERVE_H

#include "language.h"
#include "program.h"

enum { SERVE_PORT = 7682, SERVE_PORTS_TRIED = 16 };

typedef struct serve_options {
    const serve_program *program;
    const char *path;        /**< drive file or folder */
    const char *listen;      /**< "ADDRESS", "ADDRESS:PORT", "[v6]:PORT" or ":PORT"; NULL: loopback */
    const char *catalogue;   /**< of parts; NULL: the usual one if it is there */
    snub_arena *arena;       /**< outlives the call: an error may point at a path in it */
    serve_language language; /**< of what the keys mean; its messages outlive the call */
    int port;                /**< -1: SERVE_PORT or one of the next that is free; 0: any free one */
} serve_options;

/** Serve until SIGINT or SIGTERM. Prints the address with its key on standard output, warnings on standard error.
 *  @return SNUB_OK after a clean stop; SNUB_BAD_INPUT; SNUB_IO */
snub_status serve_run(const serve_options *options, snub_error *error);

#endif
