/* One thread accepts, and at once whatever the lanes do: the library's own way is to stop accepting at its limit, and
 * then whoever holds the connections keeps everybody else out. */
#define _GNU_SOURCE /* accept4: a chart's process inherits none of them */
#include "accept.h"

#include <errno.h>
#include <fcntl.h>
#include <microhttpd.h>
#include <netinet/in.h>
#include <poll.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

typedef union address {
    struct sockaddr any;
    struct sockaddr_in v4;
    struct sockaddr_in6 v6;
} address;

static unsigned port_of(int listener)
{
    address at;
    socklen_t length = sizeof at;
    if (getsockname(listener, &at.any, &length))
        return 0;
    return ntohs(at.any.sa_family == AF_INET6 ? at.v6.sin6_port : at.v4.sin_port);
}

snub_status serve_accept_listen(const struct sockaddr *wanted, int *listener, unsigned *port, snub_error *error)
{
    const bool six = wanted->sa_family == AF_INET6;
    const int on = 1;
    int found = socket(wanted->sa_family, SOCK_STREAM, 0);
    if (found < 0)
        return snub_fail(error, SNUB_IO, NULL, NULL, "cannot open a socket: %s", strerror(errno));
    fcntl(found, F_SETFD, FD_CLOEXEC);
    fcntl(found, F_SETFL, O_NONBLOCK);
    setsockopt(found, SOL_SOCKET, SO_REUSEADDR, &on, sizeof on);
    if (six)
        setsockopt(found, IPPROTO_IPV6, IPV6_V6ONLY, &on, sizeof on);
    if (bind(found, wanted, six ? sizeof(struct sockaddr_in6) : sizeof(struct sockaddr_in)) ||
        listen(found, SOMAXCONN)) {
        int reason = errno;
        close(found);
        return snub_fail(error, SNUB_IO, NULL, NULL, "cannot listen on this address: %s", strerror(reason));
    }
    *listener = found;
    *port = port_of(found);
    return SNUB_OK;
}

/* What calculates keeps its other connections waiting; of the rest the one with the fewest. */
static serve_lane *calmest(serve_server *server)
{
    serve_lane *best = &server->lane[0];
    for (int i = 1; i < SERVE_WORKERS; i++) {
        serve_lane *lane = &server->lane[i];
        const bool busy = atomic_load(&lane->busy), best_busy = atomic_load(&best->busy);
        if (busy != best_busy ? best_busy : atomic_load(&lane->connections) < atomic_load(&best->connections))
            best = lane;
    }
    return best;
}

static void take_in(serve_server *server, int socket, const address *from, socklen_t length)
{
    enum { WAIT_MS = 500 }; /* for connections that were shut down to be closed */
    serve_place *place = serve_connections_add(&server->connections, socket, &from->any, WAIT_MS);
    if (!place) {
        close(socket);
        return;
    }
    serve_lane *lane = calmest(server);
    atomic_fetch_add(&lane->connections, 1);
    if (MHD_add_connection(lane->daemon, socket, &from->any, length) == MHD_YES)
        return;
    atomic_fetch_sub(&lane->connections, 1); /* no memory; the library has closed the socket */
    serve_connections_remove(&server->connections, place);
}

static void *accept_all(void *context)
{
    serve_server *server = context;
    while (!atomic_load(&server->closing)) {
        address from;
        socklen_t length = sizeof from;
        const int socket = accept4(server->listener, &from.any, &length, SOCK_CLOEXEC | SOCK_NONBLOCK);
        if (socket >= 0) {
            take_in(server, socket, &from, length);
        } else if (errno == EAGAIN || errno == EWOULDBLOCK) {
            struct pollfd watched = {server->listener, POLLIN, 0};
            poll(&watched, 1, -1);
        } else if (errno != EINTR && errno != ECONNABORTED) { /* no files or no memory left in the whole system */
            const struct timespec nap = {0, 10000000};
            nanosleep(&nap, NULL);
        }
    }
    return NULL;
}

bool serve_accept_start(serve_server *server)
{
    server->accepting = pthread_create(&server->acceptor, NULL, accept_all, server) == 0;
    return server->accepting;
}

void serve_accept_stop(serve_server *server)
{
    atomic_store(&server->closing, true);
    if (server->listener >= 0)
        shutdown(server->listener, SHUT_RDWR); /* wakes the thread */
    if (server->accepting)
        pthread_join(server->acceptor, NULL);
    server->accepting = false;
    if (server->listener >= 0)
        close(server->listener);
    server->listener = -1;
}
