#include "connections.h"

#include <netinet/in.h>
#include <string.h>
#include <time.h>

static long long now_ms(void)
{
    struct timespec time;
    clock_gettime(CLOCK_MONOTONIC, &time);
    return (long long)time.tv_sec * 1000 + time.tv_nsec / 1000000 + 1; /* never 0 */
}

static int at_most(long value, int most)
{
    return value < most ? (int)value : most;
}

bool serve_connections_init(serve_connections *connections, unsigned long files)
{
    memset(connections, 0, sizeof *connections);
    pthread_condattr_t clock;
    pthread_condattr_init(&clock);
    pthread_condattr_setclock(&clock, CLOCK_MONOTONIC);
    pthread_mutex_init(&connections->lock, NULL);
    pthread_cond_init(&connections->freed, &clock);
    pthread_condattr_destroy(&clock);
    for (int i = 0; i < SERVE_PLACES_MOST; i++)
        connections->place[i].socket = -1;
    if (files < SERVE_FILES_LEAST)
        return false;
    const long room = files < 1ul << 20 ? (long)files - SERVE_FILES_ELSEWHERE : 1l << 20;
    connections->keyed_most = at_most(room / 4 > SERVE_KEYED_LEAST ? room / 4 : SERVE_KEYED_LEAST, SERVE_KEYED_MOST);
    connections->strangers_most = at_most((room - connections->keyed_most) / 2, SERVE_STRANGERS_MOST);
    connections->places = 2 * connections->strangers_most + connections->keyed_most;
    return true;
}

void serve_connections_destroy(serve_connections *connections)
{
    pthread_cond_destroy(&connections->freed);
    pthread_mutex_destroy(&connections->lock);
}

/* ---- under the lock ---------------------------------------------------------------------------------------------- */

static void leave_count(serve_connections *connections, const serve_place *place)
{
    if (place->leaving)
        return;
    if (place->keyed) {
        connections->keyed--;
    } else {
        connections->strangers--;
        connections->address[place->address].strangers--;
    }
}

static void shut(serve_connections *connections, serve_place *place)
{
    leave_count(connections, place);
    place->leaving = true;
    shutdown(place->socket, SHUT_RDWR); /* a place is freed before its socket is closed: none is another's yet */
    connections->ended++;
}

static int most_of_one_address(const serve_connections *connections)
{
    int most = 0;
    for (int i = 0; i < connections->strangers_most; i++)
        if (connections->address[i].strangers > most)
            most = connections->address[i].strangers;
    return most;
}

static bool in_grace(const serve_place *place)
{
    return now_ms() - place->since < SERVE_GRACE_MS;
}

/* The one that keeps us waiting longest; of strangers only those of an address that holds most. Those that wait for us
 * are left in peace. */
static serve_place *longest_wait(serve_connections *connections, bool keyed)
{
    const int most = keyed ? 0 : most_of_one_address(connections);
    serve_place *found = NULL;
    for (int i = 0; i < connections->places; i++) {
        serve_place *place = &connections->place[i];
        if (place->socket < 0 || place->leaving || place->keyed != keyed || !place->since)
            continue;
        if (!keyed && connections->address[place->address].strangers < most)
            continue;
        if (!found || place->since < found->since)
            found = place;
    }
    return found;
}

/* Whoever is on this machine may choose among the 16 million addresses of 127.0.0.0/8: they are one. */
static void bytes_of(const struct sockaddr *address, unsigned char bytes[SERVE_ADDRESS_BYTES])
{
    enum { LOOPBACK = 127 };
    memset(bytes, 0, SERVE_ADDRESS_BYTES);
    if (address && address->sa_family == AF_INET6)
        memcpy(bytes, &((const struct sockaddr_in6 *)(const void *)address)->sin6_addr, SERVE_ADDRESS_BYTES);
    if (!address || address->sa_family != AF_INET)
        return;
    memcpy(bytes, &((const struct sockaddr_in *)(const void *)address)->sin_addr, 4);
    if (bytes[0] == LOOPBACK)
        memset(bytes + 1, 0, SERVE_ADDRESS_BYTES - 1);
}

/* There is always one: no more addresses than strangers. */
static int find_address(serve_connections *connections, const struct sockaddr *address)
{
    unsigned char bytes[SERVE_ADDRESS_BYTES];
    int empty = 0;
    bytes_of(address, bytes);
    for (int i = connections->strangers_most; i-- > 0;) {
        if (!connections->address[i].strangers)
            empty = i;
        else if (!memcmp(connections->address[i].bytes, bytes, sizeof bytes))
            return i;
    }
    memcpy(connections->address[empty].bytes, bytes, sizeof bytes);
    return empty;
}

static serve_place *free_place(serve_connections *connections)
{
    if (connections->strangers >= connections->strangers_most)
        return NULL; /* all are being answered just now */
    for (int i = 0; i < connections->places; i++)
        if (connections->place[i].socket < 0)
            return &connections->place[i];
    return NULL;
}

static serve_place *make_room(serve_connections *connections)
{
    if (connections->strangers >= connections->strangers_most) {
        serve_place *victim = longest_wait(connections, false);
        if (victim && !in_grace(victim))
            shut(connections, victim);
    }
    return free_place(connections);
}

/* Until a place is freed, or the grace of one may have run out. */
static void wait_a_little(serve_connections *connections)
{
    enum { LITTLE_MS = 5 };
    struct timespec until;
    clock_gettime(CLOCK_MONOTONIC, &until);
    until.tv_nsec += LITTLE_MS * 1000000;
    until.tv_sec += until.tv_nsec / 1000000000;
    until.tv_nsec %= 1000000000;
    pthread_cond_timedwait(&connections->freed, &connections->lock, &until);
}

/* ---- the public ones --------------------------------------------------------------------------------------------- */

serve_place *serve_connections_add(serve_connections *connections, int socket, const struct sockaddr *address,
                                   int wait_ms)
{
    const long long until = now_ms() + wait_ms;
    pthread_mutex_lock(&connections->lock);
    serve_place *place = make_room(connections);
    while (!place && now_ms() < until) {
        wait_a_little(connections);
        place = make_room(connections);
    }
    if (place) {
        *place = (serve_place){.socket = socket, .since = now_ms(), .address = find_address(connections, address)};
        connections->address[place->address].strangers++;
        connections->strangers++;
    }
    pthread_mutex_unlock(&connections->lock);
    return place;
}

serve_place *serve_connections_find(serve_connections *connections, int socket)
{
    serve_place *found = NULL;
    pthread_mutex_lock(&connections->lock);
    for (int i = 0; i < connections->places && !found; i++)
        if (connections->place[i].socket == socket)
            found = &connections->place[i];
    pthread_mutex_unlock(&connections->lock);
    return found;
}

void serve_connections_remove(serve_connections *connections, serve_place *place)
{
    if (!place)
        return;
    pthread_mutex_lock(&connections->lock);
    leave_count(connections, place);
    place->socket = -1;
    pthread_cond_signal(&connections->freed);
    pthread_mutex_unlock(&connections->lock);
}

void serve_connections_show_key(serve_connections *connections, serve_place *place)
{
    if (!place)
        return;
    pthread_mutex_lock(&connections->lock);
    if (!place->keyed && !place->leaving) {
        serve_place *victim = connections->keyed >= connections->keyed_most ? longest_wait(connections, true) : NULL;
        if (victim)
            shut(connections, victim);
        leave_count(connections, place);
        place->keyed = true;
        connections->keyed++;
    }
    pthread_mutex_unlock(&connections->lock);
}

void serve_connections_mark(serve_connections *connections, serve_place *place, bool waiting)
{
    if (!place)
        return;
    pthread_mutex_lock(&connections->lock);
    place->since = waiting ? now_ms() : 0;
    pthread_cond_signal(&connections->freed);
    pthread_mutex_unlock(&connections->lock);
}

/* Those that wait longer than is allowed; with a limit below 0, all. */
static void end_after(serve_connections *connections, long long stranger_ms, long long keyed_ms)
{
    const long long now = now_ms();
    pthread_mutex_lock(&connections->lock);
    for (int i = 0; i < connections->places; i++) {
        serve_place *place = &connections->place[i];
        const long long limit = place->keyed ? keyed_ms : stranger_ms;
        if (place->socket >= 0 && !place->leaving && (limit < 0 || (place->since && now - place->since > limit)))
            shut(connections, place);
    }
    pthread_mutex_unlock(&connections->lock);
}

void serve_connections_sweep(serve_connections *connections)
{
    end_after(connections, SERVE_STRANGER_SECONDS * 1000, SERVE_KEYED_SECONDS * 1000);
}

void serve_connections_end(serve_connections *connections)
{
    end_after(connections, -1, -1);
}
