/** The HTTP face: limits, the gate, and the way from a path to an answer. */
#ifndef SNUB_SERVE_HTTP_H
#define SNUB_SERVE_HTTP_H

#include <stdatomic.h>
#include <sys/socket.h>

#include "connections.h"
#include "gate.h"
#include "job.h"

enum {
    SERVE_HEADER_MEMORY = 48 << 10,      /**< bytes for a request's line and headers, per connection */
    SERVE_BODIES_MOST = 48 << 20,        /**< bytes of all bodies that are coming in */
};

struct MHD_Daemon;

typedef struct serve_server {
    serve_gate gate;
    serve_folder folder;
    snub_arena memory; /**< lives as long as the server */
    serve_connections connections;
    serve_jobs jobs;
    pthread_mutex_t lock; /**< of the workers */
    serve_worker worker[SERVE_WORKERS];
    pthread_mutex_t saving; /**< one save at a time, so that the ETag is still true when the file is written */
    atomic_size_t bodies;
    struct MHD_Daemon *daemon;
} serve_server;

/** Listen. The gate's port is filled in.
 *  @return SNUB_OK; SNUB_IO (address in use: try the next) */
snub_status serve_http_start(serve_server *server, const struct sockaddr *address, snub_error *error);
void serve_http_stop(serve_server *server);

#endif
