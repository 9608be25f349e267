/* The server under load: 64 connections that stay open, 100,000 requests, every other one a belt laid anew. Run:
 * bench_serve [REQUESTS] (SNUB_BIN names the program). The first 2,000 are a warm-up. Fails on any error, and where the
 * server's memory grows by more than GROWTH_MOST_KIB after the warm-up. */
#include <arpa/inet.h>
#include <errno.h>
#include <fcntl.h>
#include <netinet/in.h>
#include <poll.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/socket.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "snub/base.h"

enum { LINKS = 64, REQUESTS_DEFAULT = 100000, WARM_UP = 2000, ANSWER_MOST = 1 << 20, GROWTH_MOST_KIB = 8192 };

typedef struct link {
    int socket;
    char *answer;
    size_t have;
    double asked; /* ms */
    bool waiting;
} link_state;

typedef struct run {
    char key[64];
    int port;
    snub_text lay, look;
    link_state link[LINKS];
    long asked, answered, errors;
    double *times; /* ms, of the answered */
} run;

static double now_ms(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec * 1e3 + (double)t.tv_nsec / 1e6;
}

static void stop(const char *what)
{
    fprintf(stderr, "bench_serve: %s: %s\n", what, strerror(errno));
    exit(1);
}

static pid_t start_server(run *all)
{
    const char *program = getenv("SNUB_BIN") ? getenv("SNUB_BIN") : "build/release/snub";
    int ends[2];
    char line[256];
    if (pipe(ends))
        stop("pipe");
    pid_t child = fork();
    if (child < 0)
        stop("fork");
    if (child == 0) {
        dup2(ends[1], 1);
        close(ends[0]);
        execl(program, program, "serve", SNUB_SOURCE_DIR "/examples/sedgemere.yaml", "--port", "0", (char *)NULL);
        _exit(127);
    }
    close(ends[1]);
    FILE *out = fdopen(ends[0], "r");
    if (!out || !fgets(line, sizeof line, out) ||
        sscanf(line, "http://127.0.0.1:%d/#key=%63[A-Za-z0-9_-]", &all->port, all->key) != 2) {
        fprintf(stderr, "bench_serve: %s did not start\n", program);
        exit(1);
    }
    return child;
}

static void add_json_text(snub_text *out, const char *text, size_t length)
{
    snub_text_puts(out, "\"");
    for (size_t i = 0; i < length; i++) {
        if (text[i] == '\n')
            snub_text_puts(out, "\\n");
        else if (text[i] == '"' || text[i] == '\\')
            snub_text_printf(out, "\\%c", text[i]);
        else
            snub_text_add(out, text + i, 1);
    }
    snub_text_puts(out, "\"");
}

static void make_requests(run *all)
{
    snub_text body = {0};
    snub_error error = {0};
    char *file;
    size_t length;
    if (snub_file_read(SNUB_SOURCE_DIR "/examples/sedgemere.yaml", 1 << 20, &file, &length, &error))
        stop(error.message);
    snub_text_puts(&body, "{\"file\":\"sedgemere.yaml\",\"rpm\":3000,\"changes\":[{\"path\":\"blower.at\",\"value\":["
                          "46,384.5]}],\"text\":");
    add_json_text(&body, file, length);
    snub_text_puts(&body, "}");
    free(file);
    snub_text_printf(
        &all->lay,
        "POST /api/lay HTTP/1.1\r\nHost: 127.0.0.1:%d\r\nAuthorization: Bearer %s\r\nContent-Type: application/json\r\n"
        "Content-Length: %zu\r\n\r\n%s",
        all->port, all->key, body.length, body.data);
    snub_text_printf(&all->look, "GET /api/folder HTTP/1.1\r\nHost: 127.0.0.1:%d\r\nAuthorization: Bearer %s\r\n\r\n",
                     all->port, all->key);
    snub_text_free(&body);
}

static void open_link(const run *all, link_state *one)
{
    struct sockaddr_in at = {.sin_family = AF_INET, .sin_port = htons((in_port_t)all->port)};
    at.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    one->socket = socket(AF_INET, SOCK_STREAM, 0);
    if (one->socket < 0 || connect(one->socket, (struct sockaddr *)&at, sizeof at))
        stop("connect");
    one->have = 0;
    one->waiting = false;
    if (!one->answer)
        one->answer = malloc(ANSWER_MOST + 1);
}

static void ask(run *all, link_state *one)
{
    const snub_text *request = all->asked++ % 2 ? &all->lay : &all->look;
    size_t sent = 0;
    while (sent < request->length) {
        ssize_t went = send(one->socket, request->data + sent, request->length - sent, 0);
        if (went <= 0)
            stop("send");
        sent += (size_t)went;
    }
    one->asked = now_ms();
    one->have = 0;
    one->waiting = true;
}

/* Whole answer there? An answer other than 200 is an error. */
static bool complete(run *all, link_state *one)
{
    one->answer[one->have] = '\0';
    char *end = strstr(one->answer, "\r\n\r\n"), *length = strstr(one->answer, "Content-Length: ");
    if (!end || !length || one->have < (size_t)(end + 4 - one->answer) + strtoul(length + 16, NULL, 10))
        return false;
    if (strncmp(one->answer, "HTTP/1.1 200", 12) != 0)
        all->errors++;
    return true;
}

static void listen_to(run *all, link_state *one)
{
    ssize_t got = recv(one->socket, one->answer + one->have, ANSWER_MOST - one->have, 0);
    if (got <= 0) {
        all->errors++;
        all->answered++;
        close(one->socket);
        open_link(all, one);
        return;
    }
    one->have += (size_t)got;
    if (complete(all, one)) {
        all->times[all->answered++] = now_ms() - one->asked;
        one->waiting = false;
    }
}

static void go_on(run *all, long until)
{
    while (all->answered < until) {
        struct pollfd polled[LINKS];
        for (int i = 0; i < LINKS; i++) {
            if (!all->link[i].waiting && all->asked < until)
                ask(all, &all->link[i]);
            polled[i] = (struct pollfd){.fd = all->link[i].socket, .events = POLLIN};
        }
        if (poll(polled, LINKS, 10000) <= 0)
            stop("no answer for 10 s");
        for (int i = 0; i < LINKS; i++) {
            if (polled[i].revents && all->link[i].waiting)
                listen_to(all, &all->link[i]);
        }
    }
}

static long memory_KiB(pid_t server)
{
    char path[64], line[256];
    long memory = 0;
    snprintf(path, sizeof path, "/proc/%ld/status", (long)server);
    FILE *status = fopen(path, "r");
    while (status && fgets(line, sizeof line, status)) {
        if (sscanf(line, "VmRSS: %ld", &memory) == 1)
            break;
    }
    if (status)
        fclose(status);
    return memory;
}

static int by_size(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

int main(int count, char **arguments)
{
    static run all;
    long requests = count > 1 ? strtol(arguments[1], NULL, 10) : REQUESTS_DEFAULT;
    signal(SIGPIPE, SIG_IGN);
    if (requests < 1)
        stop("requests");
    all.times = malloc((size_t)(requests + WARM_UP) * sizeof *all.times);
    pid_t server = start_server(&all);
    make_requests(&all);
    for (int i = 0; i < LINKS; i++)
        open_link(&all, &all.link[i]);
    go_on(&all, WARM_UP);
    long before = memory_KiB(server);
    double begun = now_ms();
    go_on(&all, WARM_UP + requests);
    double took = now_ms() - begun;
    long grown = memory_KiB(server) - before;
    int status = 0;
    kill(server, SIGTERM);
    waitpid(server, &status, 0);
    qsort(all.times + WARM_UP, (size_t)requests, sizeof *all.times, by_size);
    const double *times = all.times + WARM_UP;
    printf("serve: %ld requests on %d connections, half of them lay a belt: %.0f a second, errors %ld\n", requests,
           LINKS, (double)requests / took * 1e3, all.errors);
    printf("serve: answer after %.2f ms (minimum), %.2f (median), %.2f (95 %%), %.2f (99 %%)\n", times[0],
           times[requests / 2], times[requests * 95 / 100], times[requests * 99 / 100]);
    printf("serve: memory of the server %ld KiB, grown by %ld KiB since the warm-up; ended with %d\n", before + grown,
           grown, WEXITSTATUS(status));
    return all.errors || grown > GROWTH_MOST_KIB || status ? 1 : 0;
}
