/* snub tolerate FILE: how many kits fail, for their tolerances. */
#include <stdlib.h>
#include <string.h>

#include "commands.h"
#include "interrupt.h"
#include "locale_shipped.h"
#include "plot_file.h"
#include "snub/json.h"
#include "snub/tolerate_plot.h"
#include "tolerate_builds.h"

enum { PAIRS_LEAST = 64, PAIRS_MOST = 10000 };

static const char *const formats[] = {"text", "json", "svg", "pdf", "png", NULL};
static const cli_option options[] = {
    {"kits", 'k', "N", "number of kits, at most (default: 1000)", false, false, NULL},
    {"precision", 0, "PERCENT", "enough when the share that fails is known to plus or minus this", false, false, NULL},
    {"seed", 0, "N", "seed of the random values (default 1): the same seed gives the same kits", false, false, NULL},
    {"threads", 0, "N", "number of threads (default: one per processor); the answer does not depend on it", false,
     false, NULL},
    {"builds", 0, "LIST", "many builds of `snub chart`, each as with --build: all, or a list such as 1,3,5-8", false,
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

/* ---- answers ----------------------------------------------------------------------------------------------------- */

/* Of one build or of many. */
typedef struct answers {
    const snub_tolerate_answer *one;
    const snub_tolerate_builds *many;
} answers;

static int write_kits(cli_run *run, const answers *made, int code)
{
    snub_text text = {0};
    snub_error error;
    snub_arena words;
    snub_data_table table;
    snub_arena_init(&words, run->arena.limit);
    const bool good = made->many != NULL ? snub_tolerate_builds_table(made->many, &run->arena, &words, &table)
                                         : snub_tolerate_table(made->one, &run->arena, &words, &table);
    const snub_status status =
        good ? snub_table_csv(&table, &text, &error) : snub_fail(&error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    code = status == SNUB_OK ? cli_put(run, cli_value(run, "csv"), &text, code) : cli_error(&error, NULL, 0);
    snub_arena_free(&words);
    snub_text_free(&text);
    return code;
}

static snub_status make_answer(const cli_run *run, const answers *made, const char *format, const snub_locale *locale,
                               snub_arena *arena, snub_text *text, snub_error *error)
{
    const snub_look look = {
        .width = run->width, .colour = run->colour && !cli_has(run, "output"), .locale = &run->locale};
    snub_drawing drawing;
    const snub_tolerate_answer *answer = made->one;
    if (made->many != NULL)
        return snub_text_tolerate_builds(made->many, &look, arena, text, error);
    if (strcmp(format, "text") == 0)
        return snub_text_tolerate(answer, &look, arena, text, error);
    const snub_status status = snub_tolerate_plot(answer->tolerated, locale, arena, &drawing, error);
    return status == SNUB_OK ? cli_plot_in_form(format, answer->tolerated->build->designation, &drawing, text, error)
                             : status;
}

static int put_answer(cli_run *run, const answers *made, const snub_locale *locale, int code)
{
    const char *format = cli_format(run, formats, "text"), *file = cli_value(run, "output");
    if (strcmp(format, "json") == 0)
        return cli_put_json(run,
                            made->many != NULL ? snub_json_tolerate_builds(made->many, &run->arena)
                                               : snub_json_tolerate(made->one, &run->arena),
                            file, code);
    snub_text text = {0};
    snub_error error;
    const snub_status status = make_answer(run, made, format, locale, &run->arena, &text, &error);
    code = status == SNUB_OK ? cli_put(run, file, &text, code) : cli_error(&error, NULL, 0);
    snub_text_free(&text);
    return code;
}

/* Before kits are judged for nothing. @return false: the error is printed */
static bool format_fits(cli_run *run)
{
    const char *format = cli_format(run, formats, "text");
    if (cli_has(run, "builds") && strcmp(format, "text") != 0 && strcmp(format, "json") != 0)
        return cli_usage_error(run, "histograms are of one build: give --build N in place of --builds"), false;
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

/* @return exit code */
static int write_answer(cli_run *run, const cli_drive *loaded, const answers *made, int code)
{
    snub_messages messages;
    if (!cli_messages(run, loaded, &messages))
        return CLI_BAD;
    snub_locale locale = snub_messages_locale(&messages);
    locale.inches = run->locale.inches;
    if (cli_has(run, "csv"))
        code = write_kits(run, made, code);
    return code == CLI_BAD ? CLI_BAD : put_answer(run, made, &locale, code);
}

static int tolerate_one(cli_run *run, const cli_drive *loaded, cli_tolerate_wish *wish)
{
    struct sigaction before;
    snub_tolerate_answer answer;
    snub_build *build = SNUB_NEW(&run->arena, snub_build, 1);
    wish->state = cli_value(run, "state");
    wish->builds = 1;
    if (build == NULL)
        return cli_usage_error(run, "out of memory");
    if (!cli_one_build(run, loaded, build))
        return CLI_BAD;
    cli_catch_interrupt(&before);
    const bool good = cli_tolerate_study(run, loaded, wish, build, &answer);
    cli_leave_interrupt(&before);
    return good ? write_answer(run, loaded, &(answers){.one = &answer}, cli_verdict(build)) : CLI_BAD;
}

static int tolerate_many(cli_run *run, const cli_drive *loaded, const cli_tolerate_wish *wish)
{
    snub_tolerate_builds builds;
    int code = CLI_PASS;
    if (!cli_tolerate_builds(run, loaded, wish, &builds))
        return CLI_BAD;
    for (int i = 0; i < builds.count; i++) {
        const int verdict = cli_verdict(builds.answers[i].tolerated->build);
        code = verdict > code ? verdict : code;
    }
    return write_answer(run, loaded, &(answers){.many = &builds}, code);
}

static int run_tolerate(cli_run *run)
{
    long kits = SNUB_TOLERATE_KITS, seed = SNUB_STUDY_SEED, threads = 0, pairs = 0;
    cli_drive loaded;
    cli_tolerate_wish wish = {0};
    if (!cli_count(run, "contributions", PAIRS_LEAST, PAIRS_MOST, &pairs) ||
        !cli_count(run, "kits", 1, SNUB_TOLERATE_KITS_MOST, &kits) ||
        !cli_count(run, "seed", 0, SNUB_STUDY_SEED_MOST, &seed) || !cli_count(run, "threads", 1, 256, &threads) ||
        !precision_of(run, &wish.precision) || !cli_builds_fit(run) || !format_fits(run))
        return CLI_BAD;
    wish.kits = (int)kits;
    wish.seed = (uint64_t)seed;
    wish.threads = (int)threads;
    wish.pairs = (int)pairs;
    int code = CLI_BAD;
    if (cli_load(run, run->operands[0], &loaded))
        code = cli_has(run, "builds") ? tolerate_many(run, &loaded, &wish) : tolerate_one(run, &loaded, &wish);
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
        "You get how many kits fail, with the 95 % interval, by which rules, how far grip, wrap, arm, gap and boost "
        "scatter, "
        "and the `snub check` command that shows a kit that fails. --contributions 256 says which tolerance they come "
        "from, --csv writes every kit, "
        "--output kits.pdf draws histograms with limits and nominal values.\n"
        "\n"
        "--builds all, or --builds 1,3,5-8, does this for many builds of `snub chart` and sets them side by side: "
        "share "
        "of kits that fail, the rule that fails most, the number nearest its limit.\n"
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
               "snub tolerate examples/sedgemere.yaml --builds 1,5-6 --kits 200\n"
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
