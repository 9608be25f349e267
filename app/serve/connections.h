/** Places for connections: who holds one, and who has to leave.
 *  A connection is a stranger until a request on it carried the key. Strangers have places of their own; when those are
 *  taken, the next that comes gets the place of the one that has kept us waiting longest, among those of the address
 *  that holds most. Nobody leaves before SERVE_GRACE_MS, in which a browser shows its key many times over: if all have
 *  just come, the next ones wait at the door. Connections that have shown the key never leave for a stranger.
 *  Every wait for a client is bounded, whatever it sends meanwhile: a byte now and then buys no time. */
#ifndef SNUB_SERVE_CONNECTIONS_H
#define SNUB_SERVE_CONNECTIONS_H

#include <pthread.h>
#include <stdbool.h>
#include <sys/socket.h>

enum {
    SERVE_STRANGERS_MOST = 512, /**< with the grace: 2000 newcomers a second before any has to wait */
    SERVE_GRACE_MS = 250,  /**< what a client on a starved machine was seen to let pass between answer and request */
    SERVE_KEYED_MOST = 64, /**< a browser opens six for all tabs of an origin */
    SERVE_KEYED_LEAST = 8,
    SERVE_STRANGERS_LEAST = 8,
    SERVE_FILES_ELSEWHERE = 64, /**< files and sockets that are no connections: catalogues, charts, saves, libraries */
    SERVE_STRANGER_SECONDS = 5, /**< for a whole request to come in, or a whole answer to go out */
    SERVE_KEYED_SECONDS = 45,   /**< the same, with the key: a slow network may be the owner's own */
    SERVE_ADDRESS_BYTES = 8,    /**< of an address that count: IPv4 whole, of IPv6 the network, which is one host's */
    SERVE_PLACES_MOST = 2 * SERVE_STRANGERS_MOST + SERVE_KEYED_MOST
};

typedef struct serve_place {
    int socket; /**< -1: free */
    bool keyed;
    bool leaving;             /**< was shut down; the place is free once its socket is closed */
    long long since;          /**< monotonic ms when we began to wait for the client; 0: the client waits for us */
    int address;              /**< index of its address */
    unsigned long long taken; /**< bytes of the requests that were read on it */
} serve_place;

typedef struct serve_address {
    unsigned char bytes[SERVE_ADDRESS_BYTES];
    int strangers; /**< places that it holds; 0: free */
} serve_address;

typedef struct serve_connections {
    pthread_mutex_t lock;
    pthread_cond_t freed;
    int places, strangers_most, keyed_most; /**< of this process */
    int strangers, keyed;                   /**< those that are leaving are not counted */
    serve_place place[SERVE_PLACES_MOST];
    serve_address address[SERVE_STRANGERS_MOST];
    unsigned long ended; /**< shut down by us */
} serve_connections;

/** @param[in] files  that the process may have open
 *  @return false: too few for the least number of places, SERVE_FILES_LEAST */
bool serve_connections_init(serve_connections *connections, unsigned long files);
enum { SERVE_FILES_LEAST = SERVE_FILES_ELSEWHERE + SERVE_KEYED_LEAST + 2 * SERVE_STRANGERS_LEAST };
void serve_connections_destroy(serve_connections *connections);

/** A place for a stranger; another stranger leaves for it where need be. Waits while all have just
 *  come, are being answered or are leaving.
 *  @param[in] wait_ms  at most
 *  @return NULL: none was freed in that time */
serve_place *serve_connections_add(serve_connections *connections, int socket, const struct sockaddr *address,
                                   int wait_ms);
/** @return the place of a socket that was added; NULL: none */
serve_place *serve_connections_find(serve_connections *connections, int socket);
/** Before its socket is closed. NULL-safe. */
void serve_connections_remove(serve_connections *connections, serve_place *place);
/** A request on it carried the key. Where too many have, the one that has kept us waiting longest leaves. NULL-safe. */
void serve_connections_show_key(serve_connections *connections, serve_place *place);
/** The client has all the time from now (waiting) or we work for it (not waiting). NULL-safe. */
void serve_connections_mark(serve_connections *connections, serve_place *place, bool waiting);
/** End every connection that kept us waiting too long. Call several times a second. */
void serve_connections_sweep(serve_connections *connections);
/** End every one. */
void serve_connections_end(serve_connections *connections);

#endif
