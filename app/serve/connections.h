/** Connections and how long each has kept us waiting. The library's own timeout counts idle seconds only, so a client
 *  that sends one byte now and then would hold a connection for ever; here the whole wait is bounded. */
#ifndef SNUB_SERVE_CONNECTIONS_H
#define SNUB_SERVE_CONNECTIONS_H

#include <pthread.h>
#include <stdbool.h>
#include <time.h>

enum {
    SERVE_CONNECTIONS_MOST = 128,
    SERVE_IDLE_SECONDS = 20, /**< without a byte */
    SERVE_WAIT_SECONDS = 45  /**< for a whole request to come in, or a whole answer to go out */
};

typedef struct serve_connections {
    pthread_mutex_t lock;
    struct {
        int socket;   /**< -1: free slot */
        time_t since; /**< monotonic seconds when we began to wait for the client; 0: the client waits for us */
    } slot[SERVE_CONNECTIONS_MOST];
    unsigned long opened, ended; /**< ended: by serve_connections_sweep */
} serve_connections;

void serve_connections_init(serve_connections *connections);
void serve_connections_destroy(serve_connections *connections);
/** @return slot, or -1 when all are taken */
int serve_connections_add(serve_connections *connections, int socket);
void serve_connections_remove(serve_connections *connections, int slot);
/** The client has all the time from now (waiting) or we work for it (not waiting). */
void serve_connections_mark(serve_connections *connections, int slot, bool waiting);
/** End every connection that kept us waiting too long. Call once a second. */
void serve_connections_sweep(serve_connections *connections);

#endif
