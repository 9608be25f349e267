/** The HTTP face: limits, the access, and the way from a path to an answer. */
#ifndef SNUB_SERVE_HTTP_H
#define SNUB_SERVE_HTTP_H

#include <stdatomic.h>
#include <sys/socket.h>

#include "access.h"
#include "connections.h"
#include "job.h"

enum {
    SERVE_HEADER_MEMORY = 48 << 10, /**< bytes for a request's line and headers, per connection */
    SERVE_BODIES_MOST = 48 << 20,   /**< bytes of all bodies that are coming in */
};

struct MHD_Daemon;

typedef struct serve_server {
    serve_access access;
    serve_folder folder;
    serve_connections connections;
    serve_jobs jobs;
    pthread_mutex_t lock; /**< of the workers */
    serve_worker worker[SERVE_WORKERS];
    pthread_mutex_t saving; /**< one save at a time, so that the ETag is still true when the file is written */
    atomic_size_t bodies;
    struct MHD_Daemon *daemon;
    struct MHD_Response
        *no_memory[2]; /**< made at the start, when there was some; the second: but the file was saved */
} serve_server;

/** Take an address to listen on.
 *  @param[out] listener  socket
 *  @param[out] port      the one in use, where the address names port 0
 *  @return SNUB_OK; SNUB_IO with the system's reason */
snub_status serve_http_listen(const struct sockaddr *address, int *listener, unsigned *port, snub_error *error);
/** Answer on a listening socket, which the server takes over. The access must be open.
 *  @return SNUB_OK; SNUB_IO */
snub_status serve_http_start(serve_server *server, int listener, snub_error *error);
void serve_http_stop(serve_server *server);

#endif
