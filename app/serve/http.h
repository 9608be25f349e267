/** The HTTP face: limits, the access, and the way from a path to an answer. */
#ifndef SNUB_SERVE_HTTP_H
#define SNUB_SERVE_HTTP_H

#include <stdatomic.h>
#include <sys/socket.h>

#include "access.h"
#include "connections.h"
#include "job.h"
#include "program.h"

enum {
    SERVE_HEADER_MEMORY = 48 << 10, /**< bytes for a request's line and headers, per connection */
    SERVE_BODIES_MOST = 48 << 20    /**< bytes of all bodies that are coming in */
};

struct MHD_Daemon;
struct serve_server;

/** A thread that reads requests and answers them, one at a time, and what it needs for that. */
typedef struct serve_lane {
    struct serve_server *server;
    serve_worker worker;
    struct MHD_Daemon *daemon;
    atomic_int connections;
    atomic_bool busy; /**< calculates: its other connections wait */
} serve_lane;

typedef struct serve_server {
    serve_access access;
    serve_folder folder, examples; /**< those that come with the program; its descriptor is -1 where there are none */
    const serve_program *program;
    serve_connections connections;
    serve_jobs jobs;
    serve_language language;
    serve_lane lane[SERVE_WORKERS];
    int listener; /**< socket; -1: none */
    pthread_t acceptor;
    bool accepting;
    atomic_bool closing;
    pthread_mutex_t saving; /**< one save at a time, so that the ETag is still true when the file is written */
    atomic_size_t bodies;
    struct MHD_Response
        *no_memory[2]; /**< made at the start, when there was some; the second: but the file was saved */
} serve_server;

/** Answer on the server's listening socket. The access must be open, and the workers of the lanes.
 *  @return SNUB_OK; SNUB_IO */
snub_status serve_http_start(serve_server *server, snub_error *error);
/** Takes as long as what the lanes calculate just now. */
void serve_http_stop(serve_server *server);

#endif
