/* snub tolerate FILE: how many kits fail, for their tolerances. */
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "commands.h"
#include "interrupt.h"
#include "load.h"
#include "locale_shipped.h"
#include "plot_file.h"
#include "progress.h"
#include "snub/json.h"
#include "snub/tolerate_plot.h"
#include "snub/tolerate_report.h"
#include "tolerate_state.h"

enum { KITS = 1000, KITS_MOST = 100000, SEED_MOST = 1000000000, PAIRS_LEAST = 64, PAIRS_MOST = 10000 };

static const char *const formats[] = {"text", "json", "svg", "pdf", "png", NULL};
static const cli_option options[] = {
    {"kits", 'k', "N", "number of kits, at most (default: 1000)", false, false, NULL},
    {"precision", 0, "PERCENT", "enough when the share that fails is known to plus or minus this", false, false, NULL},
    {"seed", 0, "N", "seed of the random values (default 1): the same seed gives the same kits", false, false, NULL},
    {"threads", 0, "N", "number of threads (default: one per processor); the answer does not depend on it", false,
     false, NULL},
    {"contributions", 0, "N", "say which tolerance contributes how much, by N pairs of kits, such as 256", false, false,
     NULL},
    {"state", 0, "FILE", "go on from this file if it is there, and save to it the kits that were judged", false,
     CLI_OUTPUT, NULL},
    {"csv", 0, "FILE", "write every kit as a row: verdict, rules, numbers, values", false, CLI_OUTPUT, NULL},
    {"output", 'o', "FILE", "write to this file; .svg, .pdf and .png draw histograms, .json has all", false, CLI_OUTPUT,
     NULL},
    {"format", 0, "FORMAT", "output format, if the file name does not give it", false, false, formats},
    {"language", 0, "LANG", "language of the histograms (default: the house's, else en)", false, false, NULL},
};

/* ---- stopping ---------------------------------------------------------------------------------------------------- */

/* What is saved while kits are judged. */
typedef struct saving {
    cli_run *run;
    const char *path; /* NULL: nothing */
    char digest[65];
    const snub_tolerated *tolerated;
    time_t last;
} saving;
enum { SAVE_EVERY = 10 /* s: a run that is killed loses no more */ };

static bool save(saving *s)
{
    s->last = time(NULL);
    return s->path == NULL || cli_write_tolerate_state(s->run, s->path, s->digest, s->tolerated);
}

/* What the state has already, and where it is saved. */
static bool go_on_from(saving *s, const snub_build *build, snub_tolerate_request *request)
{
    s->path = cli_value(s->run, "state");
    s->last = time(NULL);
    cli_tolerate_digest(build, request->seed, s->digest);
    request->context = s;
    return s->path == NULL ||
           cli_read_tolerate_state(s->run, s->path, s->digest, &request->known, &request->known_count);
}

static bool go_on(int done, int all, void *context)
{
    saving *s = context;
    if (s->path != NULL && time(NULL) - s->last >= SAVE_EVERY && !save(s))
        return false; /* what is wrong was said; it will be no better in ten seconds */
    return cli_go_on(done, all, NULL);
}

/* ---- answers ----------------------------------------------------------------------------------------------------- */

static int write_kits(cli_run *run, const snub_tolerate_answer *answer, int code)
{
    snub_text text = {0};
    snub_error error;
    snub_arena words;
    snub_data_table table;
    snub_arena_init(&words, run->arena.limit);
    const snub_status status = snub_tolerate_table(answer, &run->arena, &words, &table)
                                   ? snub_table_csv(&table, &text, &error)
                                   : snub_fail(&error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    code = status == SNUB_OK ? cli_put(run, cli_value(run, "csv"), &text, code) : cli_error(&error, NULL, 0);
    snub_arena_free(&words);
    snub_text_free(&text);
    return code;
}

static snub_status make_answer(const cli_run *run, const snub_tolerate_answer *answer, const char *format,
                               const snub_locale *locale, snub_arena *arena, snub_text *text, snub_error *error)
{
    const snub_look look = {
        .width = run->width, .colour = run->colour && !cli_has(run, "output"), .locale = &run->locale};
    snub_drawing drawing;
    if (strcmp(format, "text") == 0)
        return snub_text_tolerate(answer, &look, arena, text, error);
    const snub_status status = snub_tolerate_plot(answer->tolerated, locale, arena, &drawing, error);
    return status == SNUB_OK ? cli_plot_in_form(format, answer->tolerated->build->designation, &drawing, text, error)
                             : status;
}

static int put_answer(cli_run *run, const snub_tolerate_answer *answer, const snub_locale *locale, int code)
{
    const char *format = cli_format(run, formats, "text"), *file = cli_value(run, "output");
    if (strcmp(format, "json") == 0)
        return cli_put_json(run, snub_json_tolerate(answer, &run->arena), file, code);
    snub_text text = {0};
    snub_error error;
    const snub_status status = make_answer(run, answer, format, locale, &run->arena, &text, &error);
    code = status == SNUB_OK ? cli_put(run, file, &text, code) : cli_error(&error, NULL, 0);
    snub_text_free(&text);
    return code;
}

/* Before kits are judged for nothing. @return false: the error is printed */
static bool format_fits(cli_run *run)
{
    const char *format = cli_format(run, formats, "text");
    if (cli_has(run, "output") || (strcmp(format, "pdf") != 0 && strcmp(format, "png") != 0))
        return true;
    cli_usage_error(run, "give a file for the histograms: --output kits.%s", format);
    return false;
}

/* ---- the run ----------------------------------------------------------------------------------------------------- */

static bool precision_of(const cli_run *run, double *precision)
{
    const char *text = cli_value(run, "precision");
    char *end;
    *precision = 0.0;
    if (text == NULL)
        return true;
    const double percent = strtod(text, &end);
    *precision = 0.01 * percent;
    if (end != text && *end == '\0' && percent > 0.0 && percent <= 50.0)
        return true;
    cli_usage_error(run, "--precision %.40s: needs a number of percent above 0, to 50", text);
    return false;
}

/* @return false: it was said what is wrong */
static bool contribute(cli_run *run, const cli_drive *loaded, snub_tolerate_answer *answer, int pairs, int threads)
{
    snub_errors errors = {0};
    if (pairs == 0 || answer->tolerated->stopped)
        return true;
    snub_contributions *made = SNUB_NEW(&run->arena, snub_contributions, 1);
    if (made == NULL)
        return cli_usage_error(run, "out of memory"), false;
    const snub_contribution_request request = {.pairs = pairs, .threads = threads, .go_on = cli_go_on};
    answer->contributions = made;
    cli_doing("judging pairs of kits");
    const snub_status status =
        snub_tolerate_contributions(&loaded->document, &loaded->reading, answer->tolerated, &request, made, &errors);
    return cli_told(run, &errors, loaded, status == SNUB_OK);
}

/* @return false: it was said what is wrong */
static bool add_up(cli_run *run, const cli_drive *loaded, snub_tolerate_answer *answer, int threads)
{
    snub_worst_cases *made = SNUB_NEW(&run->arena, snub_worst_cases, 1);
    if (answer->tolerated->stopped)
        return true;
    if (made == NULL)
        return cli_usage_error(run, "out of memory"), false;
    const snub_worst_case_request request = {.threads = threads, .go_on = cli_go_on};
    snub_error error;
    cli_doing("judging kits at the ends of their tolerances");
    const snub_status status =
        snub_tolerate_worst_cases(&loaded->document, &loaded->reading, answer->tolerated, &request, made);
    answer->worst = made->stopped ? NULL : made;
    if (status == SNUB_OK)
        return true;
    snub_fail(&error, status, NULL, NULL, "the kits at the ends of their tolerances could not be judged");
    cli_error(&error, NULL, 0);
    return false;
}

/* @param[in] pairs  for what contributes; 0: not asked for */
static int tolerate(cli_run *run, const cli_drive *loaded, snub_tolerate_request *request, int pairs)
{
    snub_errors errors = {0};
    struct sigaction before;
    snub_messages messages;
    snub_build *build = SNUB_NEW(&run->arena, snub_build, 1);
    snub_tolerated *tolerated = SNUB_NEW(&run->arena, snub_tolerated, 1);
    if (build == NULL || tolerated == NULL)
        return cli_usage_error(run, "out of memory");
    if (!cli_messages(run, loaded, &messages) || !cli_one_build(run, loaded, build))
        return CLI_BAD;
    saving state = {.run = run, .tolerated = tolerated};
    if (!go_on_from(&state, build, request))
        return CLI_BAD;
    snub_locale locale = snub_messages_locale(&messages);
    locale.inches = run->locale.inches;
    cli_doing("judging kits");
    cli_catch_interrupt(&before);
    const snub_status status =
        snub_tolerate_build(&loaded->document, &loaded->reading, build, request, tolerated, &errors);
    snub_tolerate_answer answer = {.tolerated = tolerated, .file = run->operands[0]};
    bool good = cli_told(run, &errors, loaded, status == SNUB_OK) && save(&state);
    good = good && add_up(run, loaded, &answer, request->threads);
    good = good && contribute(run, loaded, &answer, pairs, request->threads);
    cli_leave_interrupt(&before);
    if (!good)
        return CLI_BAD;
    const int code = cli_has(run, "csv") ? write_kits(run, &answer, cli_verdict(build)) : cli_verdict(build);
    return code == CLI_BAD ? CLI_BAD : put_answer(run, &answer, &locale, code);
}

static int run_tolerate(cli_run *run)
{
    long kits = KITS, seed = 1, threads = 0, pairs = 0;
    cli_drive loaded;
    snub_tolerate_request request = {.go_on = go_on};
    if (!cli_count(run, "contributions", PAIRS_LEAST, PAIRS_MOST, &pairs) ||
        !cli_count(run, "kits", 1, KITS_MOST, &kits) || !cli_count(run, "seed", 0, SEED_MOST, &seed) ||
        !cli_count(run, "threads", 1, 256, &threads) || !precision_of(run, &request.precision) || !format_fits(run))
        return CLI_BAD;
    request.kits = (int)kits;
    request.seed = (uint64_t)seed;
    request.threads = (int)threads;
    const int code = cli_load(run, run->operands[0], &loaded) ? tolerate(run, &loaded, &request, (int)pairs) : CLI_BAD;
    cli_unload(&loaded);
    return code;
}

const cli_command cli_tolerate = {
    .name = "tolerate",
    .summary = "how many kits of a build fail, for their tolerances, and by which rules",
    .operands = "FILE",
    .help =
        "Belts differ by millimetres, castings by tenths, springs by ten percent. This draws kits of one build within "
        "the "
        "tolerances that the file gives (`80 +- 0.1`, section `tolerances`, the belt's own, stacks) and judges each as "
        "`snub check` does. Belt and idler setting stay as they are sold; a fixed tensioner is set to its tension with "
        "each belt. A kit has one belt: its length is drawn, new and worn are both judged.\n"
        "\n"
        "You get how many kits fail, with the 95 % interval, by which rules, how far grip, arm, gap and boost scatter, "
        "and the `snub check` command that shows a kit that fails. --contributions 256 says which tolerance they come "
        "from, --csv writes every kit, "
        "--output kits.pdf draws histograms with limits and nominal values.\n"
        "\n"
        "It takes as long as a check for each kit. Control-C ends it and shows the kits that are done; with --state "
        "the "
        "same command goes on later, also with more --kits. Built with SNUB_MPI, `mpirun -n N snub tolerate ...` "
        "shares "
        "the work between processes, to the same answer. The exit code "
        "is "
        "that of `snub check`: 1 if the build fails at its nominal values. How many kits may fail is your decision.",
    .example = "snub tolerate examples/three-pulleys-scatter.yaml\n"
               "snub tolerate examples/three-pulleys-scatter.yaml --kits 5000 --precision 1\n"
               "snub tolerate examples/sedgemere.yaml --build 3 --json\n"
               "snub tolerate examples/three-pulleys-scatter.yaml --csv kits.csv --seed 7\n"
               "snub tolerate examples/sedgemere.yaml --kits 200 --output kits.svg",
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .least = 1,
    .most = 1,
    .reads_drive = true,
    .one_build = true,
    .shared = true,
    .run = CLI_FULL(run_tolerate),
};
