/* snub sweep FILE: the rev range. */
#include <jansson.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "commands.h"
#include "load.h"
#include "snub/report.h"
#include "snub/sweep_plot.h"

static const double RPM = 30 / SNUB_PI;
static const double ATMOSPHERE = 101325; /* Pa: what a gauge unit adds */

static const double DOTS_PER_MM = 200 / 25.4;

enum { SPEEDS = 60 };

static const char *const formats[] = {"text", "csv", "xlsx", "json", NULL};
static const char *const ways[] = {"steady", "rising", "falling", "shut", "shift", NULL};
static const cli_option options[] = {
    {"speeds", 'n', "N", "speeds from idle to redline (default: 60)", false, false, NULL},
    {"way", 'w', "WAY", "way of running that the table shows (default: steady)", false, false, ways},
    {"pulleys", 'p', NULL, "torque, tensions, grip, speed and hub load of every pulley in CSV", false, false, NULL},
    {"wet", 0, NULL, "with the friction of a wet belt", false, false, NULL},
    {"no-offers", 0, NULL, "leave out how the other blower pulleys on offer hold", false, false, NULL},
    {"want-boost", 0, "BOOST", "which pulleys make this boost, as in --want-boost \"8 psi\"", false, false, NULL},
    {"rpm", 'r', "N", "engine speed of the wished boost (default: redline)", false, false, NULL},
    {"plot", 0, "FILE", "draw it over engine speed: .svg, .pdf or .png", false, true, NULL},
    {"each", 0, "PATH", "a line in the plot for each value that the file's options give this path", false, false, NULL},
    {"output", 'o', "FILE", "write there instead of to standard output; .csv, .xlsx and .json choose the format", false,
     true, NULL},
    {"format", 0, "FORMAT", "how to write it", false, false, formats},
};

static const char *format_of(const cli_run *run)
{
    const char *format = cli_value(run, "format"), *path = cli_value(run, "output");
    if (format)
        return format;
    if (run->json)
        return "json";
    const char *dot = path ? strrchr(path, '.') : NULL;
    for (int i = 0; dot && formats[i]; i++) {
        if (strcmp(dot + 1, formats[i]) == 0)
            return formats[i];
    }
    return "text";
}

static snub_sweep_way way_of(const cli_run *run)
{
    const char *value = cli_value(run, "way");
    int way = 0;
    while (value && ways[way] && strcmp(ways[way], value) != 0)
        way++;
    return (snub_sweep_way)way;
}

/* ---- the wished boost ----------------------------------------------------------------------------------------------
 */

/* A boost is a difference: a gauge unit must not add the atmosphere. */
static bool wished_boost(const cli_run *run, double *boost)
{
    const char *text = cli_value(run, "want-boost");
    if (!cli_quantity(run, "want-boost", SNUB_Q_PRESSURE, boost))
        return false;
    if (strstr(text, "psig") || strstr(text, "barg"))
        *boost -= ATMOSPHERE;
    return true;
}

static int print_wish_json(const snub_drive *drive, int blower, double speed, double boost, const snub_wish *wish)
{
    json_t *object =
        json_pack("{s:i, s:s, s:f, s:f, s:f, s:f, s:f, s:f, s:f, s:f, s:f, s:f, s:f, s:f}", "snub", 1, "blower",
                  drive->pulleys[blower].name, "at_rpm", speed * RPM, "boost_kPa", boost / 1e3, "ratio", wish->ratio,
                  "ratio_now", wish->ratio_now, "blower_diameter_mm", wish->blower_diameter * 1e3, "crank_diameter_mm",
                  wish->crank_diameter * 1e3, "redline_rotor_rpm", wish->rotor_speed_redline * RPM, "others_faster_pct",
                  100 * wish->others_faster, "blower_power_kW", wish->match.power / 1e3, "outlet_temperature_degC",
                  wish->match.outlet_temperature - 273.15, "air_flow_kg_s", wish->match.mass_flow,
                  "estimated_crank_power_kW", wish->match.crank_power / 1e3);
    if (object && isfinite(wish->rotor_overspeed))
        json_object_set_new(object, "rotor_overspeed_pct", json_real(100 * wish->rotor_overspeed));
    return cli_print_json(object, wish->rotor_overspeed > 0 ? CLI_FAIL : CLI_PASS);
}

/* Pulleys that the larger crank pulley drives over their limit at redline. */
static void list_overspeed(const snub_drive *drive, const snub_wish *wish, snub_text *text)
{
    for (int i = 0; i < drive->pulley_count; i++) {
        const snub_pulley *p = &drive->pulleys[i];
        double speed = drive->engine.redline * snub_speed_ratio(drive, i) * (1 + wish->others_faster);
        if (i != drive->crank && !p->has_blower && p->max_speed > 0 && speed > p->max_speed)
            snub_text_printf(text, "   FAIL %s then turns %.0f rpm at redline; its limit is %.0f rpm\n", p->name,
                             speed * RPM, p->max_speed * RPM);
    }
}

static int print_wish_text(const snub_drive *drive, int blower, double speed, double boost, const snub_wish *wish)
{
    const snub_match_result *m = &wish->match;
    const snub_pulley *pulley = &drive->pulleys[blower], *crank = &drive->pulleys[drive->crank];
    snub_text text = {0};
    snub_text_printf(&text,
                     "%.1f kPa (%.2f psi) at %.0f rpm, without belt slip: %s turns %.3f per crank turn (now %.3f)\n\n",
                     boost / 1e3, boost / 6894.757293168, speed * RPM, pulley->name, wish->ratio, wish->ratio_now);
    snub_text_printf(&text, "either %s pulley %.1f mm (now %.1f mm), crank pulley as it is\n", pulley->name,
                     wish->blower_diameter * 1e3, pulley->nominal_diameter * 1e3);
    snub_text_printf(&text, "or     crank pulley %.1f mm (now %.1f mm): belt and every other pulley %+.1f %%\n",
                     wish->crank_diameter * 1e3, crank->nominal_diameter * 1e3, 100 * wish->others_faster);
    list_overspeed(drive, wish, &text);
    snub_text_printf(&text, "\nrotor at redline %.0f rpm", wish->rotor_speed_redline * RPM);
    if (isfinite(wish->rotor_overspeed))
        snub_text_printf(&text, ": %s%.1f %% %s its limit", wish->rotor_overspeed > 0 ? "FAIL, " : "",
                         100 * fabs(wish->rotor_overspeed), wish->rotor_overspeed > 0 ? "over" : "under");
    snub_text_printf(&text,
                     "\nblower takes %.1f kW, %.1f N m; air leaves it at %.0f degC, enters the engine at %.0f degC, "
                     "%.3f kg/s\nestimated crank power %.0f kW\n",
                     m->power / 1e3, m->torque, m->outlet_temperature - 273.15, m->charge_temperature - 273.15,
                     m->mass_flow, m->crank_power / 1e3);
    snub_text_puts(&text, "then check it: snub sweep FILE --set the new diameter\n");
    int code = cli_print(&text, wish->rotor_overspeed > 0 ? CLI_FAIL : CLI_PASS);
    snub_text_free(&text);
    return code;
}

static int run_wish(cli_run *run, const cli_drive *loaded)
{
    const snub_drive *drive = &loaded->drive;
    double boost = 0, speed = drive->engine.redline;
    int blower = 0;
    snub_wish wish;
    snub_error error;
    if (!wished_boost(run, &boost) || !cli_quantity(run, "rpm", SNUB_Q_TURN_SPEED, &speed))
        return CLI_BAD;
    while (blower < drive->pulley_count && !drive->pulleys[blower].has_blower)
        blower++;
    if (blower == drive->pulley_count)
        return cli_wrong(run, "the file has no blower, so there is no boost to wish for");
    if (snub_wish_for_boost(drive, blower, speed, boost, &wish, &error) != SNUB_OK)
        return cli_tell(&error, loaded->document.source, loaded->document.source_length);
    return run->json ? print_wish_json(drive, blower, speed, boost, &wish)
                     : print_wish_text(drive, blower, speed, boost, &wish);
}

/* ---- the sweep -----------------------------------------------------------------------------------------------------
 */

typedef struct swept {
    snub_sweep sweep;
    snub_pulley_offer offers[SNUB_OFFERS_MOST];
    int offer_count;
    snub_level check; /* what `snub check` says of the build */
} swept;

static snub_status write_tables(const cli_run *run, const snub_sweep *sweep, bool workbook, snub_arena *arena,
                                snub_text *out, snub_error *error)
{
    snub_sheet_table tables[SNUB_SWEEP_WAYS];
    int count = 0;
    if (!workbook) {
        snub_status status = snub_sweep_table(sweep, way_of(run), 1, cli_has(run, "pulleys"), arena, &tables[0], error);
        return status == SNUB_OK ? snub_table_csv(&tables[0], out, error) : status;
    }
    for (int way = 0; way < SNUB_SWEEP_WAYS; way++) {
        if (!sweep->ran[way])
            continue;
        snub_status status = snub_sweep_table(sweep, (snub_sweep_way)way, 1, true, arena, &tables[count++], error);
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
    int code = snub_findings_verdict(&s->sweep.findings) == SNUB_FAIL ? CLI_FAIL : CLI_PASS;
    if (strcmp(format, "json") == 0) {
        json_t *json = snub_json_sweep(&s->sweep, s->offers, s->offer_count);
        if (json)
            json_object_set_new(json, "check_verdict", json_string(snub_level_text(s->check)));
        status =
            json ? snub_json_text(json, &text, &error) : snub_fail(&error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
        json_decref(json);
    } else if (strcmp(format, "text") == 0) {
        snub_look look = {.width = run->width, .colour = run->colour && !cli_has(run, "output")};
        status = snub_text_sweep(&s->sweep, way_of(run), s->offers, s->offer_count, &look, &text, &error);
        if (status == SNUB_OK && s->check != SNUB_PASS)
            snub_text_printf(&text, "\n`snub check` of this build says %s: see there.\n", snub_level_text(s->check));
    } else {
        status = write_tables(run, &s->sweep, strcmp(format, "xlsx") == 0, &run->arena, &text, &error);
    }
    code = status == SNUB_OK ? cli_put(cli_value(run, "output"), &text, code) : cli_tell(&error, NULL, 0);
    snub_text_free(&text);
    return code;
}

/* ---- the plot ------------------------------------------------------------------------------------------------------
 */

static int write_plot(cli_run *run, const snub_drawing *drawing)
{
    const char *path = cli_value(run, "plot"), *dot = strrchr(path, '.');
    snub_text text = {0};
    snub_error error;
    snub_status status;
    const snub_imprint imprint = {.creator = "snub " SNUB_VERSION};
    if (dot && strcmp(dot, ".svg") == 0) {
        status = snub_draw_svg(drawing, SNUB_THEME_LIGHT, &imprint, &text, &error);
    } else if (dot && strcmp(dot, ".pdf") == 0) {
        status = snub_draw_pdf(drawing, SNUB_THEME_LIGHT, &imprint, &text, &error);
    } else if (dot && strcmp(dot, ".png") == 0) {
        status = snub_draw_png(drawing, SNUB_THEME_LIGHT, DOTS_PER_MM, &text, &error);
    } else {
        return cli_wrong(run, "--plot %.60s: the name ends in .svg, .pdf or .png", path);
    }
    int code = status == SNUB_OK ? cli_put(path, &text, CLI_PASS) : cli_tell(&error, NULL, 0);
    snub_text_free(&text);
    return code;
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
    cli_wrong(run, "--each %.60s: the file's options do not offer that path%s%s", path,
              near    ? "; did you mean "
              : count ? "; the first they offer is "
                      : "",
              near    ? near
              : count ? paths[0]
                      : "");
    return NULL;
}

/* One build of --each: read with its value laid over, belt chosen, swept. @return CLI_PASS; CLI_FAIL: it has no belt */
static int sweep_each(cli_run *run, const cli_drive *loaded, const snub_option *option, int value,
                      const snub_sweep_request *request, snub_sweep *sweep)
{
    const int own = loaded->reading.overlay_count;
    snub_drive *drive = SNUB_NEW(&run->arena, snub_drive, 1);
    snub_overlay *overlays = SNUB_NEW(&run->arena, snub_overlay, own + 1);
    snub_mistakes mistakes = {0};
    snub_error error;
    snub_check check;
    if (!drive || !overlays)
        return cli_wrong(run, "out of memory");
    if (own > 0)
        memcpy(overlays, loaded->reading.overlays, sizeof *overlays * (size_t)own);
    overlays[own] = (snub_overlay){.path = option->path, .value = option->values[value], .place = option->place};
    snub_reading reading = loaded->reading;
    reading.overlays = overlays;
    reading.overlay_count = own + 1;
    snub_status status = snub_drive_read(&loaded->document, &reading, drive, &mistakes);
    if (status != SNUB_OK) {
        cli_tell_mistakes(run, &mistakes, loaded->document.source, loaded->document.source_length);
        snub_mistakes_free(&mistakes);
        return CLI_BAD;
    }
    snub_mistakes_free(&mistakes);
    if (drive->belt.stock_count > 0)
        drive->belt.length = NAN; /* each build takes the belt that fits it */
    snub_check_request wanted = {.only_speed = NAN, .free_settings = true};
    if (snub_check_drive(drive, &wanted, &run->arena, &check, &error) != SNUB_OK)
        return cli_tell(&error, loaded->document.source, loaded->document.source_length);
    if (!check.laid)
        return CLI_FAIL;
    status = snub_sweep_run(drive, check.length, check.settings, request, &run->arena, sweep, &error);
    return status == SNUB_OK ? CLI_PASS : cli_tell(&error, loaded->document.source, loaded->document.source_length);
}

static int plot_each(cli_run *run, const cli_drive *loaded, const snub_sweep_request *request)
{
    const snub_option *option = option_of(run, &loaded->drive, cli_value(run, "each"));
    const snub_sweep *sweeps[SNUB_SWEEP_PLOTS_MOST];
    const char *names[SNUB_SWEEP_PLOTS_MOST];
    int count = 0;
    if (!option)
        return CLI_BAD;
    for (int i = 0; i < option->count && count < SNUB_SWEEP_PLOTS_MOST; i++) {
        snub_sweep *sweep = SNUB_NEW(&run->arena, snub_sweep, 1);
        const char *value = option->values[i]->text ? option->values[i]->text : "?";
        int code = sweep ? sweep_each(run, loaded, option, i, request, sweep) : cli_wrong(run, "out of memory");
        if (code == CLI_BAD)
            return code;
        if (code == CLI_FAIL) {
            fprintf(stderr, "snub sweep: %s %s has no belt that fits; it is left out of the plot\n", option->path,
                    value);
            continue;
        }
        const char *name = snub_format(&run->arena, "%s %s, %s", option->path, value, sweep->designation);
        sweeps[count] = sweep;
        names[count++] = name ? name : value;
    }
    if (count == 0)
        return cli_wrong(run, "no build of %s has a belt that fits: snub chart says why", option->path);
    snub_drawing drawing;
    snub_error error;
    if (snub_sweep_plot(sweeps, names, count, NULL, &run->arena, &drawing, &error) != SNUB_OK)
        return cli_tell(&error, NULL, 0);
    return write_plot(run, &drawing);
}

/* ---- one build -----------------------------------------------------------------------------------------------------
 */

/* Belt and settings as a check finds them. A build that cannot be laid has no sweep: its findings say why. */
static int settle(cli_run *run, const cli_drive *loaded, snub_check *check)
{
    snub_error error;
    snub_check_request request = {.only_speed = NAN};
    if (snub_check_drive(&loaded->drive, &request, &run->arena, check, &error) != SNUB_OK)
        return cli_tell(&error, loaded->document.source, loaded->document.source_length);
    if (check->laid)
        return CLI_PASS;
    if (run->json) {
        cli_print_json(snub_json_check(check), CLI_FAIL);
        return CLI_FAIL;
    }
    snub_text text = {0};
    snub_look look = {.width = run->width, .colour = run->colour};
    snub_findings_show(&check->findings, &look, &text);
    int code = cli_print(&text, CLI_FAIL);
    snub_text_free(&text);
    return code;
}

static int run_range(cli_run *run, const cli_drive *loaded, const char *format)
{
    long speeds = SPEEDS;
    snub_check check;
    snub_error error;
    if (!cli_count(run, "speeds", 2, SNUB_SWEEP_SPEEDS_MOST, &speeds))
        return CLI_BAD;
    snub_sweep_request request = {.speeds = (int)speeds};
    if (cli_has(run, "wet"))
        request.friction = 1 - loaded->drive.belt.wet;
    if (cli_has(run, "each"))
        return plot_each(run, loaded, &request);
    int code = settle(run, loaded, &check);
    if (code != CLI_PASS)
        return code;
    swept *s = SNUB_NEW(&run->arena, swept, 1);
    if (!s)
        return cli_wrong(run, "out of memory");
    s->check = snub_findings_verdict(&check.findings);
    snub_status status =
        snub_sweep_run(&loaded->drive, check.length, check.settings, &request, &run->arena, &s->sweep, &error);
    if (status == SNUB_OK && !s->sweep.ran[way_of(run)])
        return cli_wrong(run, "--way %s: the file gives no rate for it (engine.rises, engine.falls)",
                         cli_value(run, "way"));
    bool offers = !cli_has(run, "no-offers") && (strcmp(format, "json") == 0 || strcmp(format, "text") == 0);
    if (status == SNUB_OK && offers && (!cli_has(run, "plot") || run->json))
        status = snub_sweep_offers(&loaded->document, &loaded->reading, &loaded->drive, &request, &run->arena,
                                   s->offers, &s->offer_count, &error);
    if (status != SNUB_OK)
        return cli_tell(&error, loaded->document.source, loaded->document.source_length);
    if (cli_has(run, "plot")) {
        const snub_sweep *one = &s->sweep;
        snub_drawing drawing;
        if (snub_sweep_plot(&one, NULL, 1, NULL, &run->arena, &drawing, &error) != SNUB_OK)
            return cli_tell(&error, NULL, 0);
        code = write_plot(run, &drawing);
        if (code != CLI_PASS)
            return code;
        if (!run->json && !cli_has(run, "output") && !cli_has(run, "format"))
            return snub_findings_verdict(&s->sweep.findings) == SNUB_FAIL ? CLI_FAIL : CLI_PASS;
    }
    return write_out(run, s, format);
}

static int run_sweep(cli_run *run)
{
    cli_drive loaded;
    const char *format = format_of(run);
    if (strcmp(format, "xlsx") == 0 && !cli_has(run, "output"))
        return cli_wrong(run, "a workbook goes to a file: --output sweep.xlsx");
    if (cli_has(run, "rpm") && !cli_has(run, "want-boost"))
        return cli_wrong(run, "--rpm is the speed of --want-boost; a sweep takes the whole range");
    if (cli_has(run, "each") && !cli_has(run, "plot"))
        return cli_wrong(run, "--each draws several builds on one plot: --plot FILE as well");
    int code = CLI_BAD;
    if (cli_load_drive(run, run->operands[0], &loaded))
        code = cli_has(run, "want-boost") ? run_wish(run, &loaded) : run_range(run, &loaded, format);
    cli_unload(&loaded);
    return code;
}

const cli_command cli_sweep = {
    .name = "sweep",
    .summary = "the rev range: boost, power, grip, slip, tensions, arm",
    .operands = "FILE",
    .help =
        "Runs the build from idle to redline in five ways: steady; rising at engine.rises; falling at engine.falls "
        "with "
        "the throttle shut; shut (speed held, throttle shut); and shift, a gear change without lifting (throttle open, "
        "speed falling at engine.falls). Where a pulley's grip on the limit friction would pass 1 it slips: the blower "
        "then turns slower, boost falls, and slip speed times belt force is heat; all of it is solved together.\n"
        "\n"
        "The table shows one way (--way); CSV takes every speed, with --pulleys every pulley beside; XLSX has a sheet "
        "for each way; JSON has everything. Crank power is an estimate whose assumptions stand below. Blower pulleys "
        "among the file's options are tried one by one, each with the belt that fits it best.\n"
        "\n"
        "--plot draws panels over engine speed; with --each blower.diameter there is a line for every value that the "
        "file's "
        "options offer, each with the belt that fits it best.\n"
        "\n"
        "--want-boost turns it round: which blower pulley, or which crank pulley, makes that boost, and what it costs "
        "in "
        "speed. The exit code is 1 where a finding fails.",
    .example = "snub sweep examples/harrow-lake.yaml\n"
               "snub sweep examples/harrow-lake.yaml --way rising --set blower.diameter=70\n"
               "snub sweep examples/harrow-lake.yaml --want-boost \"8 psi\"\n"
               "snub sweep examples/harrow-lake.yaml --plot sweep.svg\n"
               "snub sweep examples/harrow-lake.yaml --plot pulleys.svg --each blower.diameter\n"
               "snub sweep examples/harrow-lake.yaml --pulleys --output sweep.csv",
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .least = 1,
    .most = 1,
    .reads_drive = true,
    .run = CLI_FULL(run_sweep),
};
