#include "serve.h"

#include <arpa/inet.h>
#include <errno.h>
#include <limits.h>
#include <netinet/in.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <unistd.h>

#include "accept.h"
#include "leave.h"

typedef union address {
    struct sockaddr any;
    struct sockaddr_in v4;
    struct sockaddr_in6 v6;
} address;

static snub_status bad_listen(snub_error *error, const char *text)
{
    return snub_fail(error, SNUB_BAD_INPUT, NULL, "--listen",
                     "needs a numeric address with an optional port, like 192.168.1.20:7682, not %.80s", text);
}

/* "1.2.3.4", "1.2.3.4:5", ":5", "[::1]", "[::1]:5". Port 0 where none is named. */
static snub_status read_address(const char *text, address *out, unsigned *port, snub_error *error)
{
    char host[64] = "";
    const char *rest = text;
    bool six = text[0] == '[';
    size_t length = strcspn(six ? text + 1 : text, six ? "]" : ":");
    if (six) {
        if (text[1 + length] != ']')
            return bad_listen(error, text);
        rest = text + length + 2;
        text++;
    } else {
        rest = text + length;
    }
    if (length >= sizeof host)
        return bad_listen(error, text);
    memcpy(host, text, length);
    host[length] = '\0';
    memset(out, 0, sizeof *out);
    if (six) {
        out->v6.sin6_family = AF_INET6;
        if (inet_pton(AF_INET6, host, &out->v6.sin6_addr) != 1)
            return bad_listen(error, text);
    } else {
        out->v4.sin_family = AF_INET;
        if (inet_pton(AF_INET, *host ? host : "127.0.0.1", &out->v4.sin_addr) != 1)
            return bad_listen(error, text);
    }
    if (!*rest)
        return SNUB_OK;
    if (rest[0] != ':' || !rest[1] || rest[1 + strspn(rest + 1, "0123456789")] || strlen(rest) > 6 ||
        strtoul(rest + 1, NULL, 10) > 65535)
        return bad_listen(error, text);
    *port = (unsigned)strtoul(rest + 1, NULL, 10);
    return SNUB_OK;
}

static bool is_loopback(const address *at)
{
    if (at->any.sa_family == AF_INET6)
        return IN6_IS_ADDR_LOOPBACK(&at->v6.sin6_addr);
    return ntohl(at->v4.sin_addr.s_addr) >> 24 == 127;
}

static void set_port(address *at, unsigned port)
{
    if (at->any.sa_family == AF_INET6)
        at->v6.sin6_port = htons((in_port_t)port);
    else
        at->v4.sin_port = htons((in_port_t)port);
}

static void print_address(const serve_server *server, const address *at)
{
    char host[INET6_ADDRSTRLEN] = "";
    bool six = at->any.sa_family == AF_INET6;
    if (six)
        inet_ntop(AF_INET6, &at->v6.sin6_addr, host, sizeof host);
    else
        inet_ntop(AF_INET, &at->v4.sin_addr, host, sizeof host);
    bool every = !strcmp(host, "0.0.0.0") || !strcmp(host, "::");
    printf("http://%s%s%s:%u/#key=%s\n", six && !every ? "[" : "", every ? "127.0.0.1" : host, six && !every ? "]" : "",
           server->access.port, server->access.key);
    fflush(stdout);
    if (server->access.loopback)
        return;
    fprintf(
        stderr,
        "snub serve: warning: %s can be reached from the network. Anyone who has the address above, with its key, can "
        "read and change the drive files in %s. The connection is not encrypted: use it in the shop's own network "
        "only.\n",
        every ? "this server" : host, server->folder.path);
    if (every)
        fprintf(stderr, "snub serve: from another machine, use this machine's address instead of 127.0.0.1.\n");
}

/* A catalogue that was named must be there; the usual one need not. */
static const char *find_catalogue(const char *given, snub_arena *arena)
{
    const char *path = snub_catalogue_path(given, arena);
    return path && (given || access(path, R_OK) == 0) ? path : NULL;
}

static snub_status open_server(serve_server *server, const serve_options *options, address *at, snub_error *error)
{
    unsigned port = options->port > 0 ? (unsigned)options->port : 0;
    bool named = options->port >= 0;
    snub_status status = serve_folder_open(options->path, &server->folder, error);
    if (!status)
        status = read_address(options->listen ? options->listen : "127.0.0.1", at, &port, error);
    if (options->listen && strrchr(options->listen, ':') && !strchr(strrchr(options->listen, ':'), ']'))
        named = true;
    const char *catalogue = find_catalogue(options->catalogue, options->arena);
    server->jobs.catalogue = catalogue;
    server->language = options->language;
    server->jobs.folder = &server->folder;
    server->program = options->program;
    if (options->program && options->program->examples)
        (void)serve_folder_open(options->program->examples, &server->examples, &(snub_error){0}); /* else none */
    for (int i = 0; i < SERVE_WORKERS && !status; i++) {
        server->lane[i].server = server;
        status = serve_worker_open(&server->lane[i].worker, &server->folder, catalogue, error);
    }
    for (unsigned attempt = 0; !status; attempt++) {
        set_port(at, named ? port : SERVE_PORT + attempt);
        status = serve_accept_listen(&at->any, &server->listener, &port, error);
        if (!status || named || attempt + 1 == SERVE_PORTS_TRIED)
            break;
        status = SNUB_OK; /* taken: the next */
    }
    if (!status)
        status = serve_access_open(&server->access, port, is_loopback(at), error);
    if (!status)
        status = serve_http_start(server, error);
    return status;
}

static void close_server(serve_server *server, serve_leave *leave)
{
    serve_jobs_stop(&server->jobs);
    serve_http_stop(server);
    serve_jobs_destroy(&server->jobs);
    serve_leave_end(leave); /* what is left takes no time */
    for (int i = 0; i < SERVE_WORKERS; i++)
        serve_worker_close(&server->lane[i].worker);
    serve_folder_close(&server->folder);
    serve_folder_close(&server->examples);
    serve_connections_destroy(&server->connections);
    pthread_mutex_destroy(&server->saving);
    free(server);
}

/* As many places as the files that this process may open allow. */
static snub_status open_places(serve_server *server, snub_error *error)
{
    enum { WANTED = SERVE_FILES_ELSEWHERE + SERVE_PLACES_MOST };
    struct rlimit files = {WANTED, WANTED};
    if (!getrlimit(RLIMIT_NOFILE, &files) && files.rlim_cur < WANTED) {
        const struct rlimit more = {files.rlim_max < WANTED ? files.rlim_max : WANTED, files.rlim_max};
        if (!setrlimit(RLIMIT_NOFILE, &more))
            files = more;
    }
    const unsigned long most = files.rlim_cur < LONG_MAX ? (unsigned long)files.rlim_cur : LONG_MAX;
    if (serve_connections_init(&server->connections, most))
        return SNUB_OK;
    return snub_fail(error, SNUB_IO, NULL, NULL,
                     "this process may open only %lu files, and the server needs %d: raise the limit (ulimit -n)", most,
                     SERVE_FILES_LEAST);
}

/* Until a signal ends it. */
static void watch(serve_server *server, const sigset_t *ends)
{
    for (;;) {
        const struct timespec pause = {0, 250000000};
        int signal = sigtimedwait(ends, NULL, &pause);
        if (signal == SIGINT || signal == SIGTERM)
            return;
        if (signal > 0)
            continue;
        serve_connections_sweep(&server->connections);
    }
}

snub_status serve_run(const serve_options *options, snub_error *error)
{
    sigset_t ends, before;
    address at;
    serve_leave leave = {0};
    serve_server *server = calloc(1, sizeof *server);
    if (!server)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    server->folder.descriptor = server->examples.descriptor = server->listener = -1;
    serve_jobs_init(&server->jobs);
    pthread_mutex_init(&server->saving, NULL);
    sigemptyset(&ends);
    sigaddset(&ends, SIGINT);
    sigaddset(&ends, SIGTERM);
    sigaddset(&ends, SIGPIPE);
    pthread_sigmask(SIG_BLOCK, &ends, &before); /* inherited by every thread: the signals come to watch() */
    snub_status status = open_places(server, error);
    if (!status)
        status = open_server(server, options, &at, error);
    if (!status) {
        print_address(server, &at);
        watch(server, &ends);
        serve_leave_begin(&leave, &server->saving);
    }
    close_server(server, &leave);
    pthread_sigmask(SIG_SETMASK, &before, NULL);
    return status;
}
