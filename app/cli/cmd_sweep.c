/* snub sweep FILE: the rev range. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "commands.h"
#include "load.h"
#include "plot_file.h"
#include "progress.h"
#include "snub/cautions.h"
#include "snub/json.h"
#include "snub/sweep_plot.h"
#include "sweep_wish.h"

enum { SPEEDS = 60 };

static const char *const formats[] = {"text", "csv", "xlsx", "json", NULL};
static const char *const ways[] = {"steady", "rising", "falling",
                                   "shut",   "shift",  NULL}; /* the same, as they were called */
static const cli_option options[] = {
    {"speeds", 'n', "N", "number of speeds from idle to redline (default: 60)", false, false, NULL},
    {"case", 'c', "CASE", "case for the table (default: steady)", false, false, snub_way_options},
    {"way", 'w', "WAY", "the old name of --case, with the old names of cases", false, false, ways},
    {"pulleys", 'p', NULL, "CSV with torque, tensions, grip, speed and hub load of every pulley", false, false, NULL},
    {"wet", 0, NULL, "use the friction of a wet belt", false, false, NULL},
    {"no-offers", 0, NULL, "leave out the other blower pulleys in the kit", false, false, NULL},
    {"want-boost", 0, "BOOST", "find the pulleys that make this boost, as in --want-boost \"8 psi\" (or 22.7 psia)",
     false, false, NULL},
    {"rpm", 'r', "N", "engine speed for --want-boost (default: redline)", false, false, NULL},
    {"plot", 0, "FILE", "plot over engine speed: .svg, .pdf or .png", false, CLI_OUTPUT, NULL},
    {"each", 0, "PATH", "plot a line for each value that the file's options give this path", false, false, NULL},
    {"output", 'o', "FILE", "write to this file; .csv, .xlsx and .json choose the format", false, CLI_OUTPUT, NULL},
    {"format", 0, "FORMAT", "output format", false, false, formats},
};

static snub_way way_of(const cli_run *run)
{
    const char *value = cli_value(run, "case"), *old = cli_value(run, "way");
    const char *const *names = value ? snub_way_options : ways, *const wanted = value ? value : old;
    int way = 0;
    while (wanted && names[way] && strcmp(names[way], wanted) != 0)
        way++;
    return (snub_way)way;
}

/* ---- the sweep --------------------------------------------------------------------------------------------------- */

typedef struct swept {
    snub_build build;
    snub_sweep sweep;
    snub_pulley_offer offers[SNUB_OFFERS_MOST];
    int offer_count;
} swept;

static snub_status write_tables(const cli_run *run, const snub_sweep *sweep, bool workbook, snub_arena *arena,
                                snub_text *out, snub_error *error)
{
    snub_data_table tables[SNUB_WAYS], metric;
    int count = 0;
    if (!workbook) {
        snub_status status = snub_sweep_table(sweep, way_of(run), 1, cli_has(run, "pulleys"), arena, &metric, error);
        if (status == SNUB_OK)
            status = snub_table_in_units(&metric, &run->locale, arena, &tables[0], error);
        return status == SNUB_OK ? snub_table_csv(&tables[0], out, error) : status;
    }
    for (int way = 0; way < SNUB_WAYS; way++) {
        if (!sweep->ran[way])
            continue;
        snub_status status = snub_sweep_table(sweep, (snub_way)way, 1, true, arena, &metric, error);
        if (status == SNUB_OK)
            status = snub_table_in_units(&metric, &run->locale, arena, &tables[count++], error);
        if (status != SNUB_OK)
            return status;
    }
    return snub_tables_xlsx(tables, count, out, error);
}

static int write_out(cli_run *run, const swept *s, const char *format)
{
    snub_text text = {0};
    snub_error error;
    snub_status status = SNUB_OK;
    int code = cli_verdict(&s->build);
    if (strcmp(format, "json") == 0) {
        status = cli_json_text(run, snub_json_sweep(&s->sweep, s->offers, s->offer_count, &run->locale), &text, &error);
    } else if (strcmp(format, "text") == 0) {
        snub_look look = {
            .width = run->width, .colour = run->colour && !cli_has(run, "output"), .locale = &run->locale};
        status = snub_text_sweep(&s->sweep, way_of(run), s->offers, s->offer_count, &look, &text, &error);
    } else {
        status = write_tables(run, &s->sweep, strcmp(format, "xlsx") == 0, &run->arena, &text, &error);
    }
    code = status == SNUB_OK ? cli_put(run, cli_value(run, "output"), &text, code) : cli_error(&error, NULL, 0);
    snub_text_free(&text);
    return code;
}

/* ---- the plot ---------------------------------------------------------------------------------------------------- */

/* The pulley of the kit that comes nearest to a wished boost, over the rev range. */
static int plot_nearest(cli_run *run, const cli_drive *loaded, const snub_build *build, int code)
{
    const snub_sweep_request request = {.friction = cli_has(run, "wet") ? 1 - build->drive->belt.wet : 0};
    snub_sweep sweep;
    const snub_sweep *one = &sweep;
    snub_drawing drawing;
    snub_error error;
    cli_doing("sweeping the rev range");
    snub_status status = snub_sweep_run(build, &request, &run->arena, &sweep, &error);
    if (status == SNUB_OK)
        status = snub_sweep_plot(&one, NULL, 1, &run->locale, &run->arena, &drawing, &error);
    return status == SNUB_OK ? cli_put_plot(run, "plot", NULL, &drawing, code)
                             : cli_error(&error, loaded->document.source, loaded->document.source_length);
}

static int run_wish(cli_run *run, const cli_drive *loaded, const char *format)
{
    const snub_build *build = NULL;
    if (strcmp(format, "text") != 0 && strcmp(format, "json") != 0)
        return cli_usage_error(run, "--want-boost answers in text or JSON, not in %s", format);
    const int code = cli_wish(run, loaded, strcmp(format, "json") == 0, &build);
    if (code == CLI_BAD || !cli_has(run, "plot"))
        return code;
    if (build == NULL)
        return cli_usage_error(run, "--plot with --want-boost shows the nearest blower pulley in the kit; the file's "
                                    "options offer none with a belt that runs");
    return plot_nearest(run, loaded, build, code);
}

static const snub_option *option_of(cli_run *run, const snub_drive *drive, const char *path)
{
    const char *paths[64];
    int count = 0;
    for (int i = 0; i < drive->option_count; i++) {
        if (strcmp(drive->options[i].path, path) == 0)
            return &drive->options[i];
        if (count < 64)
            paths[count++] = drive->options[i].path;
    }
    const char *near = snub_nearest(path, paths, count);
    cli_usage_error(run, "--each %.60s: the file's options do not have that path%s%s", path,
                    near    ? "; did you mean "
                    : count ? "; the first one they have is "
                            : "",
                    near    ? near
                    : count ? paths[0]
                            : "");
    return NULL;
}

/* One build of --each: the row of the kit with that value; told where the plot leaves it out.
 * @param[out] sweep  its build NULL: left out
 * @return its verdict; CLI_BAD: the error is printed */
static int sweep_each(cli_run *run, const cli_drive *loaded, const snub_build *own, const snub_option *option,
                      int value, const snub_sweep_request *request, snub_sweep *sweep)
{
    const char *text = option->values[value]->text ? option->values[value]->text : "?";
    const snub_overlay overlay = {.path = option->path, .value = option->values[value], .place = option->place};
    const snub_build_request afresh = {.afresh = true};
    snub_build *build = SNUB_NEW(&run->arena, snub_build, 1);
    snub_row row;
    snub_error error;
    sweep->build = NULL;
    if (build == NULL || !snub_row_with(&own->row, &overlay, &run->arena, &row))
        return cli_usage_error(run, "out of memory");
    const snub_exclusion *exclusion = snub_row_excluded(&loaded->document, own->drive, &row, NULL);
    if (exclusion != NULL) {
        cli_say("snub sweep: %s %s is not sold in this package; it is left out of the plot: %s\n", option->path, text,
                exclusion->reason);
        return CLI_PASS;
    }
    if (!cli_make_build(run, loaded, &row, &afresh, build))
        return CLI_BAD;
    cli_doing("sweeping the rev range");
    if (!build->laid)
        cli_say("snub sweep: %s %s has no belt that runs; it is left out of the plot\n", option->path, text);
    else if (snub_sweep_run(build, request, &run->arena, sweep, &error) != SNUB_OK)
        return cli_error(&error, loaded->document.source, loaded->document.source_length);
    return cli_verdict(build);
}

static int plot_each(cli_run *run, const cli_drive *loaded, const snub_build *own, const snub_sweep_request *request)
{
    const snub_option *option = option_of(run, own->drive, cli_value(run, "each"));
    const snub_sweep *sweeps[SNUB_SWEEP_PLOTS_MOST];
    const char *names[SNUB_SWEEP_PLOTS_MOST];
    int count = 0, worst = CLI_PASS;
    if (!option)
        return CLI_BAD;
    for (int i = 0; i < option->count && count < SNUB_SWEEP_PLOTS_MOST; i++) {
        snub_sweep *sweep = SNUB_NEW(&run->arena, snub_sweep, 1);
        const char *value = option->values[i]->text ? option->values[i]->text : "?";
        const int code =
            sweep ? sweep_each(run, loaded, own, option, i, request, sweep) : cli_usage_error(run, "out of memory");
        worst = code == CLI_PASS ? worst : CLI_FAIL;
        if (code == CLI_BAD || sweep->build == NULL) /* this one is told; the others are drawn */
            continue;
        const char *name = snub_format(&run->arena, "%s %s, %s, %s", option->path, value, sweep->build->designation,
                                       snub_level_text(sweep->build->verdict));
        sweeps[count] = sweep;
        names[count++] = name ? name : value;
    }
    if (count == 0)
        return cli_usage_error(run, "no build of %s has a belt that runs: see snub chart for the reasons",
                               option->path);
    snub_drawing drawing;
    snub_error error;
    if (snub_sweep_plot(sweeps, names, count, &run->locale, &run->arena, &drawing, &error) != SNUB_OK)
        return cli_error(&error, NULL, 0);
    return cli_put_plot(run, "plot", NULL, &drawing, worst);
}

/* ---- one build --------------------------------------------------------------------------------------------------- */

/* A build that cannot be laid has no sweep: its findings say why. */
static int answer_unlaid(cli_run *run, const cli_drive *loaded, const snub_build *build)
{
    snub_state state;
    snub_text text = {0};
    const snub_look look = {.width = run->width, .colour = run->colour, .locale = &run->locale};
    if (!cli_state(run, loaded, build, &(snub_wanted_state){0}, &state))
        return CLI_BAD;
    if (run->json)
        return cli_print_json(run, snub_json_check(build, &state, &run->locale), cli_verdict(build));
    snub_findings_show(&build->findings, SNUB_ALL_AREAS, &look, &text);
    snub_text_puts(&text, "\n");
    snub_cautions_show(SNUB_CAUTION_BIT(SNUB_CAUTION_OVERSPEED) | snub_cautions_advised(build, SNUB_ALL_AREAS), &look,
                       &text);
    snub_verdict_show(build, SNUB_ALL_AREAS, &look, &text);
    const int code = cli_print(run, &text, cli_verdict(build));
    snub_text_free(&text);
    return code;
}

static bool wants_offers(const cli_run *run, const char *format)
{
    return !cli_has(run, "no-offers") && (strcmp(format, "json") == 0 || strcmp(format, "text") == 0) &&
           (!cli_has(run, "plot") || run->json);
}

/* The plot, and no more unless something else is asked for as well. @return true: done, *code holds */
static bool plot_one(cli_run *run, const swept *s, int *code)
{
    const snub_sweep *one = &s->sweep;
    snub_drawing drawing;
    snub_error error;
    if (!cli_has(run, "plot"))
        return false;
    *code = snub_sweep_plot(&one, NULL, 1, &run->locale, &run->arena, &drawing, &error) == SNUB_OK
                ? cli_put_plot(run, "plot", NULL, &drawing, cli_verdict(&s->build))
                : cli_error(&error, NULL, 0);
    return *code == CLI_BAD || (!run->json && !cli_has(run, "output") && !cli_has(run, "format"));
}

static int run_range(cli_run *run, const cli_drive *loaded, const char *format)
{
    long speeds = SPEEDS;
    int code;
    snub_error error;
    swept *s = SNUB_NEW(&run->arena, swept, 1);
    if (!s)
        return cli_usage_error(run, "out of memory");
    if (!cli_count(run, "speeds", 2, SNUB_SWEEP_SPEEDS_MOST, &speeds) || !cli_one_build(run, loaded, &s->build))
        return CLI_BAD;
    snub_sweep_request request = {.speeds = (int)speeds};
    if (cli_has(run, "wet"))
        request.friction = 1 - s->build.drive->belt.wet;
    if (cli_has(run, "each"))
        return plot_each(run, loaded, &s->build, &request);
    if (!s->build.laid)
        return answer_unlaid(run, loaded, &s->build);
    cli_doing("sweeping the rev range");
    snub_status status = snub_sweep_run(&s->build, &request, &run->arena, &s->sweep, &error);
    if (status == SNUB_OK && !s->sweep.ran[way_of(run)])
        return cli_usage_error(run,
                               "--case %s: the file gives no rate for it (engine.accel_rate, engine.decel_rate, "
                               "engine.blips)",
                               snub_way_options[way_of(run)]);
    if (status == SNUB_OK && wants_offers(run, format)) {
        cli_doing("sweeping with the parts on offer");
        status = snub_sweep_offers(&loaded->document, &loaded->reading, &s->build, &request, &run->arena, s->offers,
                                   &s->offer_count, &error);
    }
    if (status != SNUB_OK)
        return cli_error(&error, loaded->document.source, loaded->document.source_length);
    return plot_one(run, s, &code) ? code : write_out(run, s, format);
}

static int run_sweep(cli_run *run)
{
    cli_drive loaded;
    const char *format = cli_format(run, formats, "text");
    if (strcmp(format, "xlsx") == 0 && !cli_has(run, "output"))
        return cli_usage_error(run, "give a file for the workbook: --output sweep.xlsx");
    if (cli_has(run, "rpm") && !cli_has(run, "want-boost"))
        return cli_usage_error(run, "use --rpm with --want-boost; a sweep covers the full rev range");
    if (cli_has(run, "each") && !cli_has(run, "plot"))
        return cli_usage_error(run, "--each needs --plot FILE as well");
    int code = CLI_BAD;
    if (cli_load(run, run->operands[0], &loaded))
        code = cli_has(run, "want-boost") ? run_wish(run, &loaded, format) : run_range(run, &loaded, format);
    cli_unload(&loaded);
    return code;
}

const cli_command cli_sweep = {
    .name = "sweep",
    .summary = "the rev range: boost, power, grip, slip, tensions, arm",
    .operands = "FILE",
    .help =
        "Runs the build from idle to redline in up to seven cases: steady; accelerating at engine.accel_rate; overrun, "
        "slowing "
        "at engine.decel_rate with the throttle closed; closed throttle at a steady speed; and a no-lift shift, a gear "
        "change with the throttle open that slows the engine at engine.decel_rate; and, where the file gives "
        "engine.blips, a throttle blip out of gear, up and down. If a pulley would need more than "
        "the "
        "grip at limit friction, it slips: the blower turns slower, boost falls, and slip speed times belt force "
        "becomes heat. All of this is solved together. The curves are for the nominal belt; the findings and the "
        "verdict cover every belt in tolerance, as in `snub check`.\n"
        "\n"
        "The table shows one case (--case). CSV takes every speed, and with --pulleys every pulley; XLSX has a sheet "
        "for each case; JSON has everything. Crank power is an estimate; its assumptions are printed below. Each "
        "blower pulley among the file's options is tried, as the chart builds it.\n"
        "\n"
        "--plot draws panels over engine speed. With --each blower.diameter there is a line for every value that the "
        "file's options give, as the chart builds it.\n"
        "\n"
        "--want-boost works backwards: which blower pulley or which crank pulley makes that boost, what stands against "
        "it, and which blower pulley in the kit comes nearest, with its belt and with the boost that it makes today, "
        "on "
        "a cold day in the mountains and on a hot one. A boost counts from the ambient air; psia is absolute. --plot "
        "then draws that pulley of the kit. The exit code is 1 if a finding fails.",
    .example = "snub sweep examples/sedgemere.yaml\n"
               "snub sweep examples/sedgemere.yaml --case accelerating --set blower.diameter=73\n"
               "snub sweep examples/sedgemere.yaml --want-boost \"8 psi\"\n"
               "snub sweep examples/sedgemere.yaml --plot sweep.svg\n"
               "snub sweep examples/sedgemere.yaml --plot pulleys.svg --each blower.diameter\n"
               "snub sweep examples/sedgemere.yaml --pulleys --output sweep.csv",
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .least = 1,
    .most = 1,
    .reads_drive = true,
    .one_build = true,
    .run = CLI_FULL(run_sweep),
};
