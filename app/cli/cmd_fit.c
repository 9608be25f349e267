/* snub fit LOG... DRIVE: friction, leakage and losses of a drive from data logs. */
#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "commands.h"
#include "files.h"
#include "load.h"
#include "locale_shipped.h"
#include "log_file.h"
#include "progress.h"
#include "snub/fit_report.h"
#include "snub/json.h"

static const cli_option options[] = {
    {"fit", 0, "WHAT", "what to fit (default: friction); the rest is held at the file's values", true, false,
     snub_fit_words},
    {"write", 0, NULL, "write what the logs show into the drive file, with date, logs and 95 % as a comment", false,
     false, NULL},
    {"no-chart", 0, NULL, "leave out the chart before and after", false, false, NULL},
    {"column", 0, "WHAT=NAME",
     "take this column for time, engine, blower, throttle, boost or temperature: its name, or its number", true, false,
     NULL},
    {"unit", 0, "WHAT=UNIT", "unit of a column, where the logs do not say it, as in boost=psi or time=ms", true, false,
     NULL},
    {"rate", 0, "HZ", "rows per second of logs without time", false, false, NULL},
    {"language", 0, "LANG", "language of the text (default: en)", false, false, NULL},
};

typedef struct job {
    cli_run *run;
    cli_log_build of;
    bool asked[SNUB_FIT_WHATS];
    int log_count, reading_count;
    snub_fitted_log logs[SNUB_FIT_LOGS_MOST];
    snub_fit_reading readings[SNUB_FIT_LOGS_MOST * SNUB_FIT_READINGS];
    snub_fit fit;
    snub_chart before, after;
    bool charted;
} job;

static bool told(const snub_error *error)
{
    cli_error(error, NULL, 0);
    return false;
}

static bool read_asked(job *j)
{
    bool any = false;
    for (int i = 0; i < j->run->given_count; i++) {
        const cli_given *given = &j->run->given[i];
        for (int w = 0; strcmp(given->option->name, "fit") == 0 && w < SNUB_FIT_WHATS; w++)
            if (strcmp(given->value, snub_fit_words[w]) == 0)
                any = j->asked[w] = true;
    }
    j->asked[SNUB_FIT_FRICTION] = j->asked[SNUB_FIT_FRICTION] || !any;
    return true;
}

/* ---- logs -------------------------------------------------------------------------------------------------------- */

static const char *name_of(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash != NULL ? slash + 1 : path;
}

/* A log whose ratio is another than the build's by so much was driven on another build. */
static bool is_other_build(const job *j, const char *path, const snub_log_answer *answer)
{
    const snub_log_calibration *c = &answer->calibration;
    snub_error error;
    const snub_place place = {.file = path};
    if (c->fit == SNUB_LOG_FITS_BUILD)
        return false;
    snub_fail(&error, SNUB_BAD_INPUT, &place, "blower",
              "the log's blower turns %.4g times as fast as the engine where nothing slips, the build's %.4g times: "
              "another build, or a sensor set wrong. `snub log` says which; give the build that was driven by --set, "
              "--variant or --build",
              c->ratio, j->of.model.ratio);
    told(&error);
    return true;
}

static bool take_log(job *j, const char *path, snub_log_finder *finder, snub_log_reader *reader, snub_fit_taker *taker)
{
    snub_log_answer answer;
    snub_error error;
    int count;
    snub_log_finder_hand_on(finder, snub_fit_taker_sample, taker);
    if (!cli_log_read(path, reader))
        return false;
    snub_status status = snub_log_finder_end(finder, snub_log_read(reader), &answer, &error);
    if (status == SNUB_OK && is_other_build(j, path, &answer))
        return false;
    if (status == SNUB_OK)
        status = snub_fit_taker_end(taker, j->log_count, answer.calibration.noise, &j->readings[j->reading_count],
                                    &count, &error);
    if (status != SNUB_OK) {
        error.place.file = path;
        return told(&error);
    }
    j->logs[j->log_count++] = (snub_fitted_log){.name = name_of(path),
                                                .readings = count,
                                                .doubts = answer.doubts,
                                                .drift = answer.calibration.drift[1] - answer.calibration.drift[0]};
    j->reading_count += count;
    return true;
}

static bool read_log(job *j, const char *path)
{
    snub_error error;
    snub_log_reader *reader = NULL;
    snub_fit_taker *taker = snub_fit_taker_open(&j->of.model);
    snub_log_finder *finder = snub_log_finder_open(&j->of.model, j->of.offers, j->of.offer_count, SNUB_LOG_BY_SPEED,
                                                   0.0); /* boost is what is fitted */
    bool good = false;
    if (taker == NULL || finder == NULL)
        cli_usage_error(j->run, "out of memory");
    else if (snub_log_open(path, &j->of.wish, j->run->units, snub_log_finder_row, finder, &reader, &error) != SNUB_OK)
        told(&error);
    else
        good = take_log(j, path, finder, reader, taker);
    snub_log_finder_close(finder);
    snub_log_close(reader);
    snub_fit_taker_close(taker);
    return good;
}

static bool read_logs(job *j)
{
    cli_run *run = j->run;
    const int count = run->operand_count - 1;
    if (count > SNUB_FIT_LOGS_MOST)
        return cli_usage_error(run, "at most %d logs are fitted at once", (int)SNUB_FIT_LOGS_MOST), false;
    for (int i = 0; i < count; i++)
        if (!cli_reads(run, "log", run->operands[i]) || !read_log(j, run->operands[i]))
            return false;
    return true;
}

/* ---- fit --------------------------------------------------------------------------------------------------------- */

static bool tell_rounds(int done, int all, void *context)
{
    (void)context;
    cli_done(done, all);
    return true;
}

static bool run_fit(job *j)
{
    snub_error error;
    cli_doing("fitting, in rounds");
    snub_fit_request request = {.model = &j->of.model,
                                .readings = j->readings,
                                .count = j->reading_count,
                                .log_count = j->log_count,
                                .progress = tell_rounds};
    memcpy(request.asked, j->asked, sizeof request.asked);
    return (snub_fit_run(&request, &j->fit, &error) == SNUB_OK &&
            snub_fit_find_edges(&request, &j->fit, &error) == SNUB_OK) ||
           told(&error);
}

static bool goes_into_the_file(const snub_fit *fit, int what)
{
    return what != SNUB_FIT_FALLS && fit->of[what].fitted && fit->of[what].told == SNUB_FIT_TOLD;
}

/* Values as the file would have them. @return how many; -1: memory is out */
static int changes_of(job *j, snub_change changes[SNUB_FIT_WHATS])
{
    int count = 0;
    for (int w = 0; w < SNUB_FIT_WHATS; w++) {
        snub_text text = {0};
        if (!goes_into_the_file(&j->fit, w))
            continue;
        snub_fit_written((snub_fit_what)w, j->fit.of[w].value, &text);
        changes[count] = (snub_change){.path = snub_fit_path(j->of.build.drive, (snub_fit_what)w, &j->run->arena),
                                       .text = cli_keep_text(j->run, &text)};
        if (changes[count].path == NULL || changes[count].text == NULL)
            return -1;
        count++;
    }
    return count;
}

/* ---- the chart before and after ---------------------------------------------------------------------------------- */

static bool is_option(const snub_drive *drive, const char *path)
{
    for (int i = 0; i < drive->option_count; i++)
        if (strcmp(drive->options[i].path, path) == 0)
            return true;
    return false;
}

/* Of the whole kit: a --set that picks one of its pulleys picks the build of the logs, not what is on offer. */
static bool chart_with(job *j, const snub_change *changes, int count, snub_chart *chart)
{
    const snub_reading *reading = &j->of.loaded.reading;
    const snub_chart_request request = {.builds_only = true};
    cli_drive all = j->of.loaded;
    snub_error error;
    snub_overlay *overlays = SNUB_NEW(&j->run->arena, snub_overlay, reading->overlay_count + count + 1);
    int kept = 0;
    if (overlays == NULL)
        return cli_usage_error(j->run, "out of memory"), false;
    for (int i = 0; i < reading->overlay_count; i++)
        if (!is_option(j->of.build.drive, reading->overlays[i].path))
            overlays[kept++] = reading->overlays[i];
    for (int i = 0; i < count; i++) {
        snub_node *node;
        if (snub_node_from_text(changes[i].text, "snub fit", &j->run->arena, &node, &error) != SNUB_OK)
            return told(&error);
        overlays[kept++] = (snub_overlay){.path = changes[i].path, .value = node};
    }
    all.reading.overlays = overlays;
    all.reading.overlay_count = kept;
    return cli_make_chart(j->run, &all, &request, chart);
}

static bool make_charts(job *j, const snub_change *changes, int count)
{
    if (cli_has(j->run, "no-chart") || count == 0)
        return true;
    if (!chart_with(j, NULL, 0, &j->before))
        return false;
    j->charted = chart_with(j, changes, count, &j->after);
    if (!j->charted)
        snub_chart_free(&j->before);
    return j->charted;
}

/* ---- into the file ----------------------------------------------------------------------------------------------- */

/* A value that the variant, the package or an option of the build sets is not the file's own. */
static bool is_overlaid(const job *j, const char *path)
{
    const snub_row *row = &j->of.build.row;
    for (int i = 0; i < row->overlay_count - row->set_count; i++)
        if (strcmp(row->overlays[i].path, path) == 0)
            return true;
    return false;
}

static bool remark_on(job *j, const snub_fit_answer *answer, snub_fit_what what, const char *path, const char *day,
                      snub_text *text)
{
    snub_document document;
    snub_errors errors = {0};
    snub_error error = {0};
    snub_text remark = {0}, next = {0};
    snub_fit_comment(answer, what, day, &remark);
    snub_status status = remark.failed ? SNUB_NO_MEMORY
                                       : snub_document_parse(j->of.loaded.document.name, text->data, text->length,
                                                             &j->run->arena, &document, &errors);
    if (status == SNUB_OK)
        status = snub_document_remark(&document, path, remark.data, &next, &error);
    snub_errors_free(&errors);
    snub_text_free(&remark);
    if (status != SNUB_OK) {
        snub_text_free(&next);
        return told(&error);
    }
    snub_text_free(text);
    *text = next;
    return true;
}

static bool make_text(job *j, const snub_fit_answer *answer, const snub_change *changes, int count, snub_text *text)
{
    char day[16];
    struct tm utc;
    snub_error error;
    const time_t now = time(NULL);
    if (gmtime_r(&now, &utc) == NULL || strftime(day, sizeof day, "%Y-%m-%d", &utc) == 0)
        return cli_usage_error(j->run, "the system has no date"), false;
    for (int i = 0; i < count; i++)
        if (is_overlaid(j, changes[i].path))
            return cli_usage_error(j->run,
                                   "%s is set by the variant, the package or an option of this build, so the file's "
                                   "own value is not what was fitted: write it there by hand",
                                   changes[i].path),
                   false;
    snub_change kept[SNUB_FIT_WHATS];
    memcpy(kept, changes, (size_t)count * sizeof *kept);
    if (snub_changes_keep_tolerances(&j->of.loaded.document, j->run->units, kept, count, &j->run->arena, &error) !=
            SNUB_OK ||
        snub_document_rewrite(&j->of.loaded.document, kept, count, text, &error) != SNUB_OK)
        return told(&error);
    for (int w = 0, i = 0; w < SNUB_FIT_WHATS; w++)
        if (goes_into_the_file(&j->fit, w) && !remark_on(j, answer, (snub_fit_what)w, changes[i++].path, day, text))
            return false;
    return true;
}

/* In the place of the text that was read, or not at all: another program may have saved since. */
static bool swap(job *j, const char *path, const snub_text *text)
{
    const snub_document *document = &j->of.loaded.document;
    const char *slash = strrchr(path, '/');
    const char *folder = slash == NULL   ? "."
                         : slash == path ? "/"
                                         : snub_copy_text_n(&j->run->arena, path, (size_t)(slash - path));
    snub_error error;
    const int open_folder = folder != NULL ? open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC) : -1;
    if (open_folder < 0) {
        const snub_place place = {.file = path};
        snub_fail(&error, SNUB_IO, &place, NULL, "its folder cannot be opened: %s", strerror(errno));
        return told(&error);
    }
    const snub_status status = snub_file_swap(open_folder, name_of(path), path, document->source,
                                              document->source_length, text->data, text->length, &error);
    close(open_folder);
    return status == SNUB_OK || told(&error);
}

static bool write_file(job *j, snub_fit_answer *answer, const snub_change *changes, int count)
{
    const char *path = j->run->operands[j->run->operand_count - 1];
    snub_text text = {0};
    if (!cli_has(j->run, "write") || count == 0)
        return true;
    cli_doing("writing the drive file");
    const bool good = make_text(j, answer, changes, count, &text) && swap(j, path, &text);
    snub_text_free(&text);
    answer->written = good ? path : NULL;
    return good;
}

/* ---- the answer -------------------------------------------------------------------------------------------------- */

static snub_status make_said(job *j, const snub_fit_answer *answer, const snub_locale *locale, snub_text *out,
                             snub_error *error)
{
    cli_run *run = j->run;
    const snub_look look = {.width = run->width, .colour = run->colour, .locale = locale};
    if (!run->json)
        return snub_text_fit(answer, &look, out, error);
    return cli_json_text(run, snub_json_fit(answer, locale), out, error);
}

static int answer(job *j)
{
    cli_run *run = j->run;
    snub_messages messages;
    snub_text said = {0};
    snub_error error;
    snub_change changes[SNUB_FIT_WHATS];
    const int count = changes_of(j, changes);
    if (count < 0)
        return cli_usage_error(run, "out of memory");
    if (!cli_messages(run, &j->of.loaded, &messages) || !make_charts(j, changes, count))
        return CLI_BAD;
    snub_locale locale = snub_messages_locale(&messages);
    locale.inches = run->locale.inches;
    snub_fit_answer a = {.fit = &j->fit, .log_count = j->log_count, .logs = j->logs};
    if (j->charted) {
        a.before = &j->before;
        a.after = &j->after;
    }
    if (!write_file(j, &a, changes, count))
        return CLI_BAD;
    const snub_status status = make_said(j, &a, cli_has(run, "language") ? &locale : &run->locale, &said, &error);
    const int code = status == SNUB_OK ? cli_print(run, &said, snub_fit_level(&a) == SNUB_FAIL ? CLI_FAIL : CLI_PASS)
                                       : cli_error(&error, NULL, 0);
    snub_text_free(&said);
    return code;
}

static int run_fit_command(cli_run *run)
{
    job *j = SNUB_NEW(&run->arena, job, 1);
    int inputs = 0;
    if (j == NULL)
        return cli_usage_error(run, "out of memory");
    j->run = run;
    for (int i = 0; i < run->operand_count; i++)
        inputs += strcmp(run->operands[i], "-") == 0 ? 1 : 0;
    if (inputs > 1)
        return cli_usage_error(run, "only one of the files can be standard input");
    if (cli_has(run, "write") && strcmp(run->operands[run->operand_count - 1], "-") == 0)
        return cli_usage_error(run, "--write needs the drive file by its name, not on standard input");
    int code = CLI_BAD;
    if (cli_log_wish(run, &j->of.wish) && read_asked(j) &&
        cli_log_build_load(run, run->operands[run->operand_count - 1], &j->of) && read_logs(j) && run_fit(j))
        code = answer(j);
    if (j->charted) {
        snub_chart_free(&j->before);
        snub_chart_free(&j->after);
    }
    cli_unload(&j->of.loaded);
    return code;
}

const cli_command cli_fit = {
    .name = "fit",
    .summary = "friction, leakage and losses of the drive, fitted to data logs",
    .operands = "LOG... FILE",
    .help =
        "Takes the readings at full throttle of one or several logs, as `snub log` reads them, and finds the limit "
        "friction with which the build slips as the belt did: nonlinear least squares, each value with its standard "
        "error and the range in which it lies with 95 %. FILE is the drive file; --variant, --set and the like choose "
        "the build that was on the engine, one and the same for all logs.\n"
        "\n"
        "--fit chooses what is fitted: friction; falls, whether the friction changes with slip speed, compared by "
        "evidence (AICc) with one that does not; leakage and mechanical efficiency of the blower; cooler and inlet, "
        "their pressure drops. Leakage and drops show in the boost. The rest is held, and the answer says at what.\n"
        "\n"
        "Not every log shows every value. Where two only show together, where nothing depends on one, or where nothing "
        "slips, the answer says so, and which log would show it. A belt that never slips gives the least friction that "
        "it must have.\n"
        "\n"
        "The chart of the kit follows, with the file's values and with the fitted ones: belt, mark and verdict of each "
        "build. --write puts what the logs show into the drive file; all else in it stays as it is. The exit code is 1 "
        "if the belt slips in the logs.",
    .example = "snub fit examples/logs/sedgemere-slips.csv examples/sedgemere.yaml --set blower.diameter=70\n"
               "snub fit examples/logs/sedgemere-slips.csv examples/sedgemere.yaml --set blower.diameter=70 --fit "
               "friction --fit falls --no-chart\n"
               "snub fit examples/logs/sedgemere-slips.csv examples/sedgemere.yaml --set blower.diameter=70 --fit "
               "friction --fit leakage --json",
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .least = 2,
    .most = -1,
    .reads_drive = true,
    .one_build = true,
    .run = CLI_FULL(run_fit_command),
};
