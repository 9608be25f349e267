#define _GNU_SOURCE /* pipe2 */
#include "chart_process.h"

#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "motion.h"
#include "own_process.h"
#include "study.h"

enum {
    FOLDER_AT = 3,  /* descriptor of the folder in the process */
    ON_AT = 4,      /* of the pipe that is closed where it is to end with what there is */
    ARGUMENTS = 5,  /* program, word, number of the server's process, folder, catalogue */
    LINE_ROOM = 64, /* of a frame's first line */
    LOOK_MS = 100   /* between looks at whether to go on */
};

/* ---- in the process ---------------------------------------------------------------------------------------------- */

static bool put(const char *data, size_t length)
{
    while (length) {
        const ssize_t written = write(STDOUT_FILENO, data, length);
        if (written < 0 && errno == EINTR)
            continue;
        if (written <= 0)
            return false;
        data += written;
        length -= (size_t)written;
    }
    return true;
}

static bool tell_progress(void *context, int done, int of)
{
    char line[LINE_ROOM];
    (void)context;
    const int length = snprintf(line, sizeof line, "P %d %d\n", done, of);
    return put(line, (size_t)length); /* shorter than what a pipe takes in one piece */
}

static void tell_so_far(void *context, const char *json)
{
    snub_text line = {0};
    (void)context;
    snub_text_printf(&line, "S 0 0 %s\n", json);
    if (line.data && !line.failed)
        put(line.data, line.length); /* a server that is gone ends this process */
    snub_text_free(&line);
}

static bool is_to_end(void *context)
{
    struct pollfd on = {ON_AT, 0, 0};
    (void)context;
    return poll(&on, 1, 0) > 0 && (on.revents & (POLLHUP | POLLERR)) != 0;
}

static bool take_body(snub_text *body)
{
    char piece[1 << 16];
    for (;;) {
        const ssize_t got = read(STDIN_FILENO, piece, sizeof piece);
        if (got < 0 && errno == EINTR)
            continue;
        if (got <= 0)
            return got == 0 && !body->failed;
        snub_text_add(body, piece, (size_t)got);
    }
}

static void make(const char *word, const snub_text *body, serve_worker *worker, const serve_request *request,
                 serve_answer *answer)
{
    const serve_progress progress = {tell_progress, NULL, is_to_end, tell_so_far};
    serve_motion_request motion;
    serve_study_request study;
    snub_error error = {0};
    snub_status status = SNUB_OK;
    if (strcmp(word, SERVE_CHART_WORD) == 0)
        serve_chart(worker, request, &progress, answer);
    else if (strcmp(word, SERVE_STUDY_WORD) == 0 &&
             (status = serve_study_read(body->data, body->length, &worker->arena, &study, &error)) == SNUB_OK)
        serve_study(worker, request, &study, &progress, answer);
    else if (strcmp(word, SERVE_MOTION_WORD) == 0 &&
             (status = serve_motion_read(body->data, body->length, &motion, &error)) == SNUB_OK)
        serve_motion(worker, request, &motion, &progress, answer);
    if (status)
        serve_answer_error(answer, status == SNUB_NO_MEMORY ? SERVE_NO_MEMORY : SERVE_BAD_REQUEST, &error, NULL, 0);
}

bool serve_chart_word(const char *word)
{
    return strcmp(word, SERVE_CHART_WORD) == 0 || strcmp(word, SERVE_MOTION_WORD) == 0 ||
           strcmp(word, SERVE_STUDY_WORD) == 0;
}

int serve_chart_process(int count, char **arguments, int bad)
{
    if (count != ARGUMENTS)
        return bad;
    if (!serve_own_enter(arguments[2]))
        return bad;
    serve_folder folder = {.descriptor = FOLDER_AT, .path = arguments[3]};
    serve_worker worker = {0};
    serve_request request;
    serve_answer answer = {0};
    snub_text body = {0};
    snub_error error = {0};
    if (!take_body(&body))
        return bad;
    snub_status status = serve_worker_open(&worker, &folder, arguments[4][0] ? arguments[4] : NULL, &error);
    if (status)
        serve_answer_error(&answer, status == SNUB_NO_MEMORY ? SERVE_NO_MEMORY : SERVE_OWN_FAULT, &error, NULL, 0);
    else if (serve_request_read(body.data, body.length, &worker.arena, &request, &error) != SNUB_OK)
        serve_answer_error(&answer, SERVE_BAD_REQUEST, &error, NULL, 0);
    else
        make(arguments[1], &body, &worker, &request, &answer);
    char line[LINE_ROOM];
    const int length = snprintf(line, sizeof line, "A %u %zu\n", answer.status, answer.body.length);
    const bool whole = answer.status && answer.body.data && !answer.body.failed && !worker.arena.refused;
    const bool told = whole && put(line, (size_t)length) && put(answer.body.data, answer.body.length);
    serve_worker_close(&worker);
    snub_text_free(&answer.body);
    snub_text_free(&body);
    return told ? 0 : bad;
}

/* ---- in the server ----------------------------------------------------------------------------------------------- */

snub_status serve_chart_start(const char *word, const serve_folder *folder, const char *catalogue,
                              serve_chart_link *link, snub_error *error)
{
    char number[SERVE_OWN_NUMBER_ROOM], program[] = "snub-whole", none[] = "";
    int body[2] = {-1, -1}, answers[2] = {-1, -1}, on[2] = {-1, -1}, reason = 0;
    snprintf(number, sizeof number, "%ld", (long)getpid());
    char *arguments[ARGUMENTS + 1] = {program, (char *)(size_t)word, number, folder->path, none,
                                      NULL}; /* none is written to */
    if (catalogue)
        arguments[ARGUMENTS - 1] = (char *)(size_t)catalogue; /* not written to: posix_spawn takes no const */
    const bool chart = strcmp(word, SERVE_CHART_WORD) == 0, study = strcmp(word, SERVE_STUDY_WORD) == 0;
    link->what = chart ? "The chart" : study ? "The study" : "The run";
    link->instead = chart   ? "use fewer options"
                    : study ? "take fewer candidates or kits"
                            : "let it run for a shorter time";
    if (pipe2(body, O_CLOEXEC) != 0 || pipe2(answers, O_CLOEXEC) != 0 || pipe2(on, O_CLOEXEC) != 0)
        reason = errno;
    const int moves[][2] = {
        {body[0], STDIN_FILENO}, {answers[1], STDOUT_FILENO}, {folder->descriptor, FOLDER_AT}, {on[0], ON_AT}};
    if (!reason)
        reason = serve_own_spawn(arguments, moves, sizeof moves / sizeof *moves, -1, &link->process);
    if (reason) {
        serve_own_close(body);
        serve_own_close(answers);
        serve_own_close(on);
        return snub_fail(error, reason == ENOMEM ? SNUB_NO_MEMORY : SNUB_IO, NULL, NULL, "%s could not be started: %s.",
                         link->what, strerror(reason));
    }
    close(body[0]);
    close(answers[1]);
    close(on[0]);
    link->on = on[1];
    link->to = body[1];
    link->from = answers[0];
    fcntl(link->to, F_SETFL, O_NONBLOCK);
    return SNUB_OK;
}

/* Frames come in any pieces: what has come so far, and the answer once its line has. */
typedef struct incoming {
    snub_text text;
    size_t at;      /* of the first byte that is not read yet */
    bool answering; /* the rest is the body */
    unsigned status;
    size_t length; /* of the body */
} incoming;

/* @return false: no frame of ours */
static bool read_lines(incoming *in, const serve_progress *progress, bool *go_on)
{
    char *end;
    while (!in->answering && in->at < in->text.length &&
           (end = memchr(in->text.data + in->at, '\n', in->text.length - in->at)) != NULL) {
        const char *line = in->text.data + in->at;
        char kind;
        unsigned long first, second;
        *end = '\0';
        int rest = 0;
        if (sscanf(line, "%c %lu %lu %n", &kind, &first, &second, &rest) != 3)
            return false;
        in->at = (size_t)(end - in->text.data) + 1;
        if (kind == 'P') {
            *go_on = progress->going(progress->context, (int)first, (int)second);
        } else if (kind == 'S') {
            if (progress->so_far)
                progress->so_far(progress->context, line + rest);
        } else {
            in->answering = true;
            in->status = (unsigned)first;
            in->length = second;
        }
    }
    return true;
}

/* What is left of the body goes in as the process takes it. */
static void feed(serve_chart_link *link, const char **body, size_t *length)
{
    const ssize_t written = *length ? write(link->to, *body, *length) : 0;
    if (written > 0) {
        *body += written;
        *length -= (size_t)written;
    }
    if (*length == 0 || (written < 0 && errno != EAGAIN && errno != EINTR)) {
        close(link->to);
        link->to = -1;
    }
}

static snub_status no_answer(const serve_chart_link *link, int ended, snub_error *error)
{
    const double most = (double)serve_own_memory() / (1 << 30);
    if (WIFSIGNALED(ended))
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL,
                         "%s was not finished: its process was ended by signal %d (%s). Most likely the computer "
                         "ran out of memory. It may take %.1f GiB here. Close other programs, or %s.",
                         link->what, WTERMSIG(ended), strsignal(WTERMSIG(ended)), most, link->instead);
    return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL,
                     "%s was not finished: it ran out of memory. It may take %.1f GiB here. Close other "
                     "programs, or %s.",
                     link->what, most, link->instead);
}

snub_status serve_chart_wait(serve_chart_link *link, const char *body, size_t length, const serve_progress *progress,
                             serve_answer *answer, snub_error *error)
{
    incoming in = {0};
    char piece[1 << 16];
    bool go_on = true, good = true;
    while (go_on && good) {
        struct pollfd ends[2] = {{link->from, POLLIN, 0}, {link->to, POLLOUT, 0}};
        if (poll(ends, link->to >= 0 ? 2 : 1, LOOK_MS) < 0 && errno != EINTR)
            break;
        if (link->on >= 0 && progress->ends && progress->ends(progress->context)) {
            close(link->on);
            link->on = -1;
        }
        if (link->to >= 0 && ends[1].revents)
            feed(link, &body, &length);
        if (ends[0].revents) {
            const ssize_t got = read(link->from, piece, sizeof piece);
            if (got == 0 || (got < 0 && errno != EINTR))
                break;
            if (got > 0)
                snub_text_add(&in.text, piece, (size_t)got);
            good = !in.text.failed && read_lines(&in, progress, &go_on);
        } else {
            go_on = progress->going(progress->context, -1, -1);
        }
    }
    if (link->on >= 0)
        close(link->on);
    const int ended = serve_own_end(link->process, (const int[2]){link->to, link->from}, !go_on || !good);
    const bool whole = good && in.answering && in.text.length - in.at == in.length;
    snub_status status = !go_on ? SNUB_STOPPED : whole ? SNUB_OK : no_answer(link, ended, error);
    if (status == SNUB_OK) {
        snub_text_add(&answer->body, in.text.data + in.at, in.length);
        answer->status = in.status;
        if (answer->body.failed)
            status = no_answer(link, 0, error);
    }
    snub_text_free(&in.text);
    return status;
}
