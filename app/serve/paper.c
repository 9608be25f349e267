#define _GNU_SOURCE /* pipe2 */
#include "paper.h"

#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "own_process.h"
#include "snub/json.h"

enum {
    OWN_WORDS = 4,         /* program, word, number of the server's process, folder */
    CODE_NO_ANSWER = 2,    /* from here on the program's exit codes mean that nothing was made */
    LOOK_MS = 100,         /* between looks at whether to go on */
    READ_AT_ONCE = 1 << 16 /* bytes */
};

const char *serve_paper_enter(int *count, char ***arguments)
{
    char **words = *arguments;
    if (*count <= OWN_WORDS || !serve_own_enter(words[2]))
        return NULL;
    const char *folder = words[3];
    words[OWN_WORDS - 1] = words[0];
    *count -= OWN_WORDS - 1;
    *arguments = words + OWN_WORDS - 1;
    return folder;
}

/* ---- what is asked for ------------------------------------------------------------------------------------------- */

void serve_paper_free(serve_paper *paper)
{
    if (!paper)
        return;
    for (char **word = paper->words; word && *word; word++)
        free(*word);
    free(paper->words);
    free(paper->file);
    free(paper->etag);
    free(paper->name);
    free(paper);
}

static serve_paper *paper_of(const serve_folder *folder, const char *const *words)
{
    char number[SERVE_OWN_NUMBER_ROOM];
    const char *const own[OWN_WORDS] = {"snub-whole", SERVE_PAPER_WORD, number, folder->path};
    serve_paper *paper = calloc(1, sizeof *paper);
    size_t count = 0;
    while (words[count])
        count++;
    snprintf(number, sizeof number, "%ld", (long)getpid());
    bool good = paper && (paper->words = calloc(OWN_WORDS + count + 1, sizeof *paper->words)) != NULL;
    for (size_t i = 0; good && i < OWN_WORDS + count; i++)
        good = (paper->words[i] = strdup(i < OWN_WORDS ? own[i] : words[i - OWN_WORDS])) != NULL;
    if (good)
        return paper;
    serve_paper_free(paper);
    return NULL;
}

static void refuse(serve_answer *answer, snub_status status, const snub_error *error)
{
    serve_answer_error(answer, status == SNUB_NO_MEMORY ? SERVE_NO_MEMORY : SERVE_BAD_REQUEST, error, NULL, 0);
}

/* Is the file what the page takes it for? */
static bool is_as_asked(const serve_folder *folder, const char *file, const char *wanted, serve_answer *answer)
{
    char etag[SERVE_ETAG_ROOM], *data = NULL;
    size_t length;
    snub_error error = {0};
    const snub_status status = serve_folder_read(folder, file, &data, &length, etag, &error);
    free(data);
    if (status)
        serve_answer_error(answer, status == SNUB_BAD_INPUT ? SERVE_NOT_FOUND : SERVE_DISK, &error, NULL, 0);
    else if (strcmp(etag, wanted) != 0)
        serve_answer_problem(answer, SERVE_CHANGED,
                             "Another program has written the file. Nothing was made: ask again.");
    return !status && strcmp(etag, wanted) == 0;
}

/* "kit-fitting.pdf" of sub/kit.yaml */
static char *name_of(const char *file, const char *command, const char *kind, const char *ending)
{
    const char *stroke = strrchr(file, '/'), *base = stroke ? stroke + 1 : file, *dot = strrchr(base, '.');
    snub_text name = {0};
    snub_text_printf(&name, "%.*s-%s.%s", (int)(dot ? (size_t)(dot - base) : strlen(base)), base,
                     kind[0] ? kind : command, ending);
    char *copy = name.data && !name.failed ? strdup(name.data) : NULL;
    snub_text_free(&name);
    return copy;
}

static const char *text_of(const json_t *root, const char *key)
{
    const char *text = json_string_value(json_object_get(root, key));
    return text ? text : "";
}

static snub_status check_keys(const json_t *root, snub_error *error)
{
    static const char *const known[] = {"file", "etag", "command", "kind", "form", "options"};
    const char *key;
    json_t *value;
    if (!json_is_object(root))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "the body is not a JSON object");
    json_object_foreach((json_t *)(size_t)root, key, value)
    {
        bool found = false;
        for (size_t i = 0; i < sizeof known / sizeof *known; i++)
            found |= strcmp(key, known[i]) == 0;
        if (!found)
            return snub_fail(error, SNUB_BAD_INPUT, NULL, key, "unknown key");
        if (strcmp(key, "options") != 0 && !json_is_string(value))
            return snub_fail(error, SNUB_BAD_INPUT, NULL, key, "needs text");
    }
    return SNUB_OK;
}

bool serve_paper_read(const serve_program *program, const serve_folder *folder, const char *body, size_t length,
                      serve_paper **paper, serve_answer *answer)
{
    snub_arena arena = {0};
    snub_error error = {0};
    json_error_t mistake;
    const char *const *words = NULL, *ending = "";
    json_t *root = json_loadb(body ? body : "", length, JSON_REJECT_DUPLICATES, &mistake);
    snub_status status =
        root ? check_keys(root, &error) : snub_fail(&error, SNUB_BAD_INPUT, NULL, NULL, "not JSON: %s", mistake.text);
    const char *file = text_of(root, "file"), *etag = text_of(root, "etag");
    serve_paper *made = NULL;
    if (!status)
        status = program->paper(program, root, file, &arena, &words, &ending, &error);
    if (status) {
        refuse(answer, status, &error);
    } else if (is_as_asked(folder, file, etag, answer)) {
        made = paper_of(folder, words);
        if (made) {
            made->file = strdup(file);
            made->etag = strdup(etag);
            made->name = name_of(file, text_of(root, "command"), text_of(root, "kind"), ending);
        }
        if (!made || !made->file || !made->etag || !made->name) {
            serve_paper_free(made);
            made = NULL;
            serve_answer_problem(answer, SERVE_NO_MEMORY, NULL);
        }
    }
    json_decref(root);
    snub_arena_free(&arena);
    if (made)
        *paper = made;
    return made != NULL;
}

bool serve_paper_of_new(const serve_program *program, const serve_folder *folder, const json_t *options,
                        serve_paper **paper, serve_answer *answer)
{
    snub_arena arena = {0};
    snub_error error = {0};
    const char *const *words = NULL;
    const snub_status status = program->new_drive(options, &arena, &words, &error);
    serve_paper *made = status ? NULL : paper_of(folder, words);
    if (status)
        refuse(answer, status, &error);
    else if (!made)
        serve_answer_problem(answer, SERVE_NO_MEMORY, NULL);
    snub_arena_free(&arena);
    if (made)
        *paper = made;
    return made != NULL;
}

/* ---- making it --------------------------------------------------------------------------------------------------- */

void serve_made_free(serve_made *made)
{
    snub_text_free(&made->out);
    snub_text_free(&made->said);
}

typedef struct making {
    pid_t process;
    struct pollfd ends[2]; /* its standard output and standard error; -1: closed */
} making;

static snub_status start(const serve_paper *paper, const serve_folder *folder, making *m, snub_error *error)
{
    int out[2] = {-1, -1}, said[2] = {-1, -1}, reason = 0;
    const int nothing = open("/dev/null", O_RDONLY | O_CLOEXEC);
    if (nothing < 0 || pipe2(out, O_CLOEXEC) != 0 || pipe2(said, O_CLOEXEC) != 0)
        reason = errno;
    const int moves[][2] = {{nothing, STDIN_FILENO}, {out[1], STDOUT_FILENO}, {said[1], STDERR_FILENO}};
    if (!reason)
        reason = serve_own_spawn(paper->words, moves, sizeof moves / sizeof *moves, folder->descriptor, &m->process);
    if (nothing >= 0)
        close(nothing);
    if (reason) {
        serve_own_close(out);
        serve_own_close(said);
        return snub_fail(error, reason == ENOMEM ? SNUB_NO_MEMORY : SNUB_IO, NULL, NULL,
                         "The program could not be started: %s.", strerror(reason));
    }
    close(out[1]);
    close(said[1]);
    m->ends[0] = (struct pollfd){out[0], POLLIN, 0};
    m->ends[1] = (struct pollfd){said[0], POLLIN, 0};
    return SNUB_OK;
}

/* @return false: too much came */
static bool take(struct pollfd *end, snub_text *into, size_t most)
{
    char piece[READ_AT_ONCE];
    const ssize_t got = read(end->fd, piece, sizeof piece);
    if (got > 0)
        snub_text_add(into, piece, (size_t)got);
    if (got == 0 || (got < 0 && errno != EINTR)) {
        close(end->fd);
        end->fd = -1;
    }
    return into->length <= most;
}

static snub_status follow(making *m, const serve_progress *progress, serve_made *made, snub_error *error)
{
    const long long begun = serve_own_seconds();
    while (m->ends[0].fd >= 0 || m->ends[1].fd >= 0) {
        if (poll(m->ends, 2, LOOK_MS) < 0 && errno != EINTR)
            return snub_fail(error, SNUB_IO, NULL, NULL, "Its answer could not be read: %s.", strerror(errno));
        if (m->ends[0].fd >= 0 && m->ends[0].revents && !take(&m->ends[0], &made->out, SERVE_PAPER_MOST))
            return snub_fail(error, SNUB_TOO_LARGE, NULL, NULL,
                             "It is larger than %d MiB, too large for the page. Make it on the command line.",
                             SERVE_PAPER_MOST >> 20);
        if (m->ends[1].fd >= 0 && m->ends[1].revents && !take(&m->ends[1], &made->said, SERVE_PAPER_SAID_MOST))
            return snub_fail(error, SNUB_TOO_LARGE, NULL, NULL, "The program said more than the page can show.");
        if (!progress->going(progress->context, -1, -1))
            return SNUB_STOPPED;
        if (serve_own_seconds() - begun > SERVE_PAPER_SECONDS)
            return snub_fail(error, SNUB_TOO_LARGE, NULL, NULL,
                             "It takes more than %d minutes, too long for the page. Make it on the command line.",
                             SERVE_PAPER_SECONDS / 60);
    }
    return made->out.failed || made->said.failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory")
                                                 : SNUB_OK;
}

snub_status serve_paper_make(const serve_paper *paper, const serve_folder *folder, const serve_progress *progress,
                             serve_made *made, snub_error *error)
{
    making m = {0};
    *made = (serve_made){0};
    snub_status status = start(paper, folder, &m, error);
    if (status)
        return status;
    status = follow(&m, progress, made, error);
    const int ended = serve_own_end(m.process, (const int[2]){m.ends[0].fd, m.ends[1].fd}, status != SNUB_OK);
    if (!status && !WIFEXITED(ended))
        return snub_fail(
            error, SNUB_NO_MEMORY, NULL, NULL,
            "It was not finished: its process was ended by signal %d (%s). Most likely the computer ran out "
            "of memory. It may take %.1f GiB here. Close other programs, or use fewer options.",
            WTERMSIG(ended), strsignal(WTERMSIG(ended)), (double)serve_own_memory() / (1 << 30));
    made->code = WEXITSTATUS(ended);
    return status;
}

void serve_paper_answer(const serve_paper *paper, const serve_folder *folder, const serve_progress *progress,
                        serve_answer *answer)
{
    serve_made made;
    snub_error error = {0};
    const snub_status status = serve_paper_make(paper, folder, progress, &made, &error);
    const char *said = made.said.data ? made.said.data : "";
    if (status) {
        serve_answer_unmade(answer, status, &error);
    } else if (made.code >= CODE_NO_ANSWER) {
        serve_answer_problem(answer, SERVE_NO_PAPER, said[0] ? said : "The program ended without a word.");
    } else if (is_as_asked(folder, paper->file, paper->etag, answer)) {
        snub_text data = {0};
        serve_base64(&data, made.out.data ? made.out.data : "", made.out.length);
        serve_answer_json(answer, json_pack("{s:o, s:i, s:o, s:o}", "name", snub_json_words(paper->name), "code",
                                            made.code, "said", snub_json_words(said), "data", snub_json_grown(&data)));
    }
    serve_made_free(&made);
}
