#include "connections.h"

#include <sys/socket.h>

static time_t now(void)
{
    struct timespec time;
    clock_gettime(CLOCK_MONOTONIC, &time);
    return time.tv_sec + 1; /* never 0 */
}

void serve_connections_init(serve_connections *connections)
{
    pthread_mutex_init(&connections->lock, NULL);
    for (int i = 0; i < SERVE_CONNECTIONS_MOST; i++)
        connections->slot[i].socket = -1;
    connections->opened = connections->ended = 0;
}

void serve_connections_destroy(serve_connections *connections)
{
    pthread_mutex_destroy(&connections->lock);
}

int serve_connections_add(serve_connections *connections, int socket)
{
    int found = -1;
    pthread_mutex_lock(&connections->lock);
    for (int i = 0; i < SERVE_CONNECTIONS_MOST && found < 0; i++)
        if (connections->slot[i].socket < 0)
            found = i;
    if (found >= 0) {
        connections->slot[found].socket = socket;
        connections->slot[found].since = now();
        connections->opened++;
    }
    pthread_mutex_unlock(&connections->lock);
    return found;
}

void serve_connections_remove(serve_connections *connections, int slot)
{
    if (slot < 0)
        return;
    pthread_mutex_lock(&connections->lock);
    connections->slot[slot].socket = -1;
    pthread_mutex_unlock(&connections->lock);
}

void serve_connections_mark(serve_connections *connections, int slot, bool waiting)
{
    if (slot < 0)
        return;
    pthread_mutex_lock(&connections->lock);
    connections->slot[slot].since = waiting ? now() : 0;
    pthread_mutex_unlock(&connections->lock);
}

void serve_connections_sweep(serve_connections *connections)
{
    time_t time = now();
    pthread_mutex_lock(&connections->lock); /* a slot is freed before its socket is closed: none is another's yet */
    for (int i = 0; i < SERVE_CONNECTIONS_MOST; i++) {
        if (connections->slot[i].socket < 0 || !connections->slot[i].since)
            continue;
        if (time - connections->slot[i].since <= SERVE_WAIT_SECONDS)
            continue;
        shutdown(connections->slot[i].socket, SHUT_RDWR);
        connections->slot[i].since = 0;
        connections->ended++;
    }
    pthread_mutex_unlock(&connections->lock);
}
