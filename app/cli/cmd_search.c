/* snub search FILE: a better drive by moving what may move. */
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "commands.h"
#include "files.h"
#include "interrupt.h"
#include "load.h"
#include "progress.h"
#include "search_state.h"
#include "snub/json.h"
#include "snub/ranks.h"
#include "snub/search_report.h"
#include "snub/tolerate.h"

static const cli_option options[] = {
    {"out", 0, "DIR", "write each proposal as a drive file into this folder; none is replaced", false, false, NULL},
    {"tries", 0, "N",
     "number of candidates (default: 60 for each number that may move and one more; five times that "
     "with two aims)",
     false, false, NULL},
    {"seed", 0, "N", "seed of the random candidates (default 1): the same seed gives the same proposals", false, false,
     NULL},
    {"kits", 'k', "N",
     "kits of each proposal, and of today's drive, that are drawn within the tolerances (default 200; 0: none)", false,
     false, NULL},
    {"state", 0, "FILE", "go on from this file if it is there, and save to it what was judged", false, CLI_OUTPUT,
     NULL},
    {"threads", 0, "N", "number of threads (default: one per processor); the answer does not depend on it", false,
     false, NULL},
};

/* ---- proposals as files ------------------------------------------------------------------------------------------ */

/* A file that the drive names by a path from its folder is not found from another one. */
static const char *names_file(const snub_node *node)
{
    static const char *const keys[] = {"house", "map", "picture"};
    for (int i = 0; node->kind != SNUB_SCALAR && i < node->count; i++) {
        const char *found = NULL;
        for (int k = 0; k < 3 && node->kind == SNUB_MAP && found == NULL; k++)
            found = strcmp(node->keys[i]->text, keys[k]) == 0 ? keys[k] : NULL;
        if (found == NULL && node->kind == SNUB_MAP && strcmp(node->keys[i]->text, "sample") == 0 &&
            node->items[i]->kind == SNUB_MAP)
            found = "sample"; /* else it is a list of values */
        found = found != NULL ? found : names_file(node->items[i]);
        if (found != NULL)
            return found;
    }
    return NULL;
}

static bool same_folder(cli_run *run, const char *out, const char *path)
{
    const char *slash = strrchr(path, '/');
    const char *folder = slash == NULL   ? "."
                         : slash == path ? "/"
                                         : snub_copy_text_n(&run->arena, path, (size_t)(slash - path));
    struct stat a, b;
    return folder != NULL && stat(folder, &a) == 0 && stat(out, &b) == 0 && a.st_dev == b.st_dev &&
           a.st_ino == b.st_ino;
}

static const char *proposal_name(cli_run *run, const char *out, const char *file, int number)
{
    const char *slash = strrchr(file, '/'), *name = slash != NULL ? slash + 1 : file;
    const char *dot = strrchr(name, '.');
    const size_t length = dot != NULL && dot != name ? (size_t)(dot - name) : strlen(name);
    const char *stem = snub_copy_text_n(&run->arena, name, length);
    return stem != NULL
               ? snub_format(&run->arena, "%s/%s-%d.yaml", out, strcmp(file, "-") == 0 ? "proposal" : stem, number)
               : NULL;
}

static bool write_proposal(cli_run *run, const cli_drive *loaded, const char *folder, const char *path,
                           const snub_proposal *proposal)
{
    snub_text text = {0};
    snub_error error = {0};
    snub_status status = snub_proposal_text(&loaded->document, &loaded->reading, proposal, &text, &error);
    const int opened = status == SNUB_OK ? open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC) : -1;
    if (status == SNUB_OK && opened < 0)
        status = snub_fail(&error, SNUB_IO, NULL, NULL, "%.200s: cannot open the folder: %s", folder, strerror(errno));
    if (status == SNUB_OK)
        status = snub_file_swap(opened, strrchr(path, '/') + 1, path, NULL, 0, text.data, text.length, &error);
    if (opened >= 0)
        close(opened);
    snub_text_free(&text);
    if (status == SNUB_STOPPED)
        return cli_usage_error(run, "%s is there already, and stays as it is; give another folder", path), false;
    return status == SNUB_OK || (cli_error(&error, NULL, 0), false);
}

/* Of processes that share the work only the first writes. */
static bool write_all(cli_run *run, const cli_drive *loaded, const snub_search *search, const char **names)
{
    const char *out = cli_value(run, "out");
    for (int i = 0; i < search->proposal_count; i++) {
        names[i] = proposal_name(run, out, run->operands[0], i + 1);
        if (names[i] == NULL)
            return cli_usage_error(run, "out of memory"), false;
        if (snub_own_rank() == 0 && !write_proposal(run, loaded, out, names[i], &search->proposals[i]))
            return false;
    }
    return true;
}

/* Before hours of work rather than after. */
static bool can_write(cli_run *run, const cli_drive *loaded)
{
    const char *out = cli_value(run, "out");
    if (out == NULL)
        return true;
    if (access(out, W_OK | X_OK) != 0)
        return cli_usage_error(run, "--out %.200s: %s", out, strerror(errno)), false;
    for (int i = 0; i < SNUB_PROPOSALS_MOST; i++) {
        const char *name = proposal_name(run, out, run->operands[0], i + 1);
        if (name != NULL && access(name, F_OK) == 0)
            return cli_usage_error(run, "%s is there already, and stays as it is; give another folder", name), false;
    }
    const char *key = names_file(loaded->document.root);
    if (key != NULL && !same_folder(run, out, run->operands[0]))
        return cli_usage_error(run,
                               "the drive file names a file under `%s`, which is not found from another folder: give "
                               "the drive file's own folder to --out",
                               key),
               false;
    return true;
}

/* ---- the state --------------------------------------------------------------------------------------------------- */

/* What is saved while candidates are judged. */
typedef struct saving {
    cli_run *run;
    const char *path; /* NULL: nothing */
    const snub_search *search;
    time_t last;
    bool failed;
} saving;
enum { SAVE_EVERY = 10 /* s: a search that is killed loses no more */ };

static bool save(saving *s)
{
    s->last = time(NULL);
    s->failed = s->path != NULL && !cli_write_search_state(s->run, s->path, s->search);
    return !s->failed;
}

static bool go_on(int done, int all, void *context)
{
    saving *s = context;
    if (s->path != NULL && time(NULL) - s->last >= SAVE_EVERY && !save(s))
        return false; /* what is wrong was said; it will be no better in ten seconds */
    return cli_go_on(done, all, NULL);
}

/* ---- the run ----------------------------------------------------------------------------------------------------- */

static int print_answer(cli_run *run, const snub_search_answer *answer, int code)
{
    if (run->json) {
        json_t *json = snub_json_search(answer, &run->locale);
        return cli_print_json(run, json, code);
    }
    snub_text text = {0};
    snub_error error;
    const snub_look look = {.width = run->width, .colour = run->colour, .locale = &run->locale};
    const snub_status status = snub_text_search(answer, &look, &text, &error);
    code = status == SNUB_OK ? cli_print(run, &text, code) : cli_error(&error, NULL, 0);
    snub_text_free(&text);
    return code;
}

static int tell(cli_run *run, const cli_drive *loaded, const snub_search *search)
{
    const char *names[SNUB_PROPOSALS_MOST], *state = cli_value(run, "state");
    const bool out = cli_has(run, "out");
    if (out && !write_all(run, loaded, search, names))
        return CLI_BAD;
    const snub_search_answer answer = {
        .search = search, .document = &loaded->document, .written = out ? names : NULL, .state = state};
    return print_answer(run, &answer, search->found || search->today.over == 0.0 ? CLI_PASS : CLI_FAIL);
}

/* Control-C asks for the answer, so there are none after it. */
static bool judge_kits(const cli_run *run, const cli_drive *loaded, const snub_search_request *request, int kits,
                       snub_search *search)
{
    snub_errors errors = {0};
    const snub_search_kits_request wanted = {
        .kits = search->stopped ? 0 : kits, .seed = request->seed, .threads = request->threads, .go_on = cli_go_on};
    cli_doing("judging kits");
    const snub_status status = snub_search_kits(&loaded->document, &loaded->reading, &wanted, search, &errors);
    return cli_told(run, &errors, loaded, status == SNUB_OK);
}

static int search_drive(cli_run *run, const cli_drive *loaded, snub_search_request *request, int kits)
{
    snub_errors errors = {0};
    struct sigaction before;
    char digest[65];
    snub_search *search = SNUB_NEW(&run->arena, snub_search, 1);
    saving state = {.run = run, .path = cli_value(run, "state"), .search = search, .last = time(NULL)};
    if (search == NULL)
        return cli_usage_error(run, "out of memory");
    snub_status status = snub_search_digest(&loaded->document, &loaded->reading, request, digest, &errors);
    if (!cli_told(run, &errors, loaded, status == SNUB_OK))
        return CLI_BAD;
    if (state.path != NULL && !cli_read_search_state(run, state.path, digest, &request->before, &request->before_count))
        return CLI_BAD;
    request->context = &state;
    cli_doing("judging candidates");
    cli_catch_interrupt(&before);
    status = snub_search_drive(&loaded->document, &loaded->reading, request, search, &errors);
    /* kits before the last save: where that fails, no other process waits for this one in the middle of them */
    const bool good = cli_told(run, &errors, loaded, status == SNUB_OK) &&
                      judge_kits(run, loaded, request, kits, search) && !state.failed && save(&state);
    cli_leave_interrupt(&before);
    return good ? tell(run, loaded, search) : CLI_BAD;
}

static int run_search(cli_run *run)
{
    long tries = 0, seed = SNUB_STUDY_SEED, threads = 0, kits = SNUB_SEARCH_KITS;
    cli_drive loaded;
    if (!cli_count(run, "tries", SNUB_SEARCH_TRIES_LEAST, SNUB_SEARCH_TRIES_MOST, &tries) ||
        !cli_count(run, "seed", 0, SNUB_STUDY_SEED_MOST, &seed) || !cli_count(run, "threads", 1, 256, &threads) ||
        !cli_count(run, "kits", 0, SNUB_TOLERATE_KITS_MOST, &kits))
        return CLI_BAD;
    if (cli_is_standard_output(cli_value(run, "state")) && cli_has(run, "state"))
        return cli_usage_error(run, "--state takes the name of a file that is read again");
    int code = CLI_BAD;
    snub_search_request request = {
        .named = cli_named(run), .tries = (int)tries, .seed = (uint32_t)seed, .threads = (int)threads, .go_on = go_on};
    if (cli_load(run, run->operands[0], &loaded) && can_write(run, &loaded))
        code = search_drive(run, &loaded, &request, (int)kits);
    cli_unload(&loaded);
    return code;
}

const cli_command cli_search = {
    .name = "search",
    .summary = "better places for idlers, slots and tensioner, as new drive files",
    .operands = "FILE",
    .help =
        "Moves what the file's section `search` lets move, within the regions that it gives, and proposes better "
        "drives. Each candidate is judged as `snub chart` does it: belts and settings are chosen again for every "
        "build, "
        "and each build gets its full verdict. First the whole region is searched at random, then the best place "
        "found is improved step by step. With one aim you get the best drive that was found, with two a choice: no "
        "proposal is better than another in both.\n"
        "\n"
        "The answer says what to move and by how much, what it gains and what it costs. With --out each proposal is "
        "written as a drive file of its own, with your comments in it; `snub compare` shows the rest. If no candidate "
        "holds what must hold, the answer names the build and the finding that blocks it at the nearest one.\n"
        "\n"
        "It takes minutes. Control-C ends the search, and the best so far is shown; with --state the same command goes "
        "on later, to the same proposals as without the break. Built with SNUB_MPI, `mpirun -n N snub search ...` "
        "shares the work between "
        "processes, to the same answer. The exit code is 1 if nothing was found that holds.",
    .example = "snub search FILE --out DIR --tries 2000\n"
               "snub search FILE --package touring --state search.json\n"
               "snub search examples/sedgemere.yaml --package touring --tries 60 --set \"search={move: [{what: exit "
               "idler.at, within: {circle: {at: [132, 296], diameter: 30}}}], aims: [hub load], hold: today}\"",
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .least = 1,
    .most = 1,
    .reads_drive = true,
    .shared = true,
    .run = CLI_FULL(run_search),
};
