/* snub draw FILE: the drive as a drawing: SVG, PDF, PNG or DXF. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "commands.h"
#include "printing.h"
#include "progress.h"
#include "snub/cautions.h"

static const char *const forms[] = {"svg", "pdf", "png", "dxf", NULL};
static const char *const views[] = {"front", "side", "template", "plate", NULL};
static const char *const themes[] = {"light", "dark", NULL};
static const char *const papers[] = {"A4", "A3", "A2", "letter", "tabloid", NULL};
static const cli_option options[] = {
    {"output", 'o', "FILE", "write to this file; .svg, .pdf, .png or .dxf chooses the format", false, CLI_OUTPUT, NULL},
    {"form", 0, "FORM", "output format, if the file name does not give it", false, false, forms},
    {"view", 0, "VIEW", "view (default: front); template and plate are full size, 1:1", false, false, views},
    {"rpm", 0, "N", "engine speed (default: engine stopped)", false, false, NULL},
    {"mount", 0, "NAME", "plate: the bracket of this mount, if the file has several", false, 0, NULL},
    {"all", 0, NULL, "overlay every build in the kit on this one (front view)", false, false, NULL},
    {"build", 0, "N", "draw build N of `snub chart`; several builds are overlaid", true, false, NULL},
    {"free", 'f', NULL, "choose belt and settings again even if the file gives them; without a stock, any whole mm",
     false, false, NULL},
    {"paper", 0, "PAPER",
     "paper, landscape or portrait, whichever fits better (default: A4; letter with inch units; A3 or tabloid for many "
     "builds)",
     false, false, papers},
    {"scale", 0, "N", "1:N; without --paper the sheet grows to fit (default: what fits)", false, false, NULL},
    {"theme", 0, "THEME", "colours for paper or for a dark screen (SVG, PDF, PNG)", false, false, themes},
    {"dots", 0, "N", "PNG: dots per inch (default 200)", false, false, NULL},
    {"date", 0, "DATE", "date for the title block and the file, such as 2026-01-31", false, false, NULL},
};

typedef struct job {
    cli_run *run;
    cli_drive loaded;
    const char *form, *which;
    snub_view view;
    snub_view_build builds[SNUB_VIEW_BUILDS_MOST];
    const snub_drive *drive; /**< of the first build */
    double speed;
    int code; /**< CLI_FAIL where a build that is drawn fails */
} job;

static const char *form_of(const cli_run *run)
{
    const char *form = cli_value(run, "form"), *path = cli_value(run, "output");
    const char *dot = path != NULL ? strrchr(path, '.') : NULL;
    for (int i = 0; form == NULL && dot != NULL && forms[i] != NULL; i++)
        if (strcmp(dot + 1, forms[i]) == 0)
            form = forms[i];
    return form;
}

static void paper_size(const char *name, double sheet[2])
{
    static const struct {
        const char *name;
        double size[2];
    } sizes[] = {{"A4", {210, 297}},
                 {"A3", {297, 420}},
                 {"A2", {420, 594}},
                 {"letter", {215.9, 279.4}},
                 {"tabloid", {279.4, 431.8}}};
    for (size_t i = 0; name != NULL && i < sizeof sizes / sizeof sizes[0]; i++)
        if (strcmp(name, sizes[i].name) == 0)
            memcpy(sheet, sizes[i].size, sizeof sizes[i].size);
}

/* ---- which builds ------------------------------------------------------------------------------------------------ */

static int tell_error(const job *j, const snub_error *error)
{
    return cli_error(error, j->loaded.document.source, j->loaded.document.source_length);
}

/* "8: 7PK1938; wrap idler at 56.0 mm; low compressor; 84; marginal" */
static const char *legend_of(job *j, int number, const snub_build *build)
{
    snub_text words = {0};
    if (number > 0)
        snub_text_printf(&words, "%d: ", number);
    snub_legend_words(build, &j->run->locale, &words);
    return cli_keep_text(j->run, &words);
}

static const char *legend_head(job *j, const snub_build *build)
{
    snub_text words = {0};
    snub_legend_head(build, &j->run->locale, &words);
    return cli_keep_text(j->run, &words);
}

static bool add_build(job *j, const snub_build *build, int number)
{
    snub_error error;
    snub_status status;
    snub_state *state = SNUB_NEW(&j->run->arena, snub_state, 1);
    snub_view_build *out = &j->builds[j->view.build_count];
    if (state == NULL)
        return cli_usage_error(j->run, "out of memory"), false;
    if (!cli_state(j->run, &j->loaded, build, &(snub_wanted_state){.speed = j->speed}, state))
        return false;
    if (j->view.build_count == 0) {
        j->drive = build->drive;
        status = snub_build_view(build, state, &j->run->locale, &j->run->arena, &j->view, &error);
        if (status == SNUB_OK)
            *out = j->view.build[0];
        j->view.build_count = 0;
    } else {
        j->view.legend = legend_head(j, build);
        status = snub_view_build_of(build, state, legend_of(j, number, build), &j->run->arena, out, &error);
    }
    if (status != SNUB_OK)
        return tell_error(j, &error), false;
    j->view.build = j->builds;
    j->view.build_count++;
    j->code = cli_verdict(build) == CLI_FAIL ? CLI_FAIL : j->code;
    return true;
}

static bool make_and_add(job *j, const snub_row *row, bool afresh, int number)
{
    snub_build *build = SNUB_NEW(&j->run->arena, snub_build, 1);
    const snub_build_request request = {.afresh = afresh, .free_length = cli_has(j->run, "free")};
    if (build == NULL)
        return cli_usage_error(j->run, "out of memory"), false;
    return cli_make_build(j->run, &j->loaded, row, &request, build) && add_build(j, build, number);
}

static bool has_room(const job *j)
{
    if (j->view.build_count < SNUB_VIEW_BUILDS_MOST)
        return true;
    cli_usage_error(j->run, "at most %d builds can be drawn over each other", SNUB_VIEW_BUILDS_MOST);
    return false;
}

static bool asked_builds(job *j, const snub_rows *rows)
{
    for (int i = 0; i < j->run->given_count; i++) {
        if (strcmp(j->run->given[i].option->name, "build") != 0)
            continue;
        const snub_row *row = cli_row_numbered(j->run, rows, j->run->given[i].value);
        if (row == NULL || !has_room(j) || !make_and_add(j, row, true, (int)(row - rows->items) + 1))
            return false;
    }
    return true;
}

/* All but those without a belt. */
static bool all_builds(job *j, const snub_rows *rows)
{
    int left_out = 0;
    for (int i = 0; i < rows->count; i++) {
        const snub_build_request request = {.afresh = true};
        snub_build *build = SNUB_NEW(&j->run->arena, snub_build, 1);
        if (build == NULL)
            return cli_usage_error(j->run, "out of memory"), false;
        if (j->view.build_count == SNUB_VIEW_BUILDS_MOST) {
            left_out++;
            continue;
        }
        if (!cli_make_build(j->run, &j->loaded, &rows->items[i], &request, build))
            return false;
        if (!build->settled)
            left_out++;
        else if (!add_build(j, build, i + 1))
            return false;
    }
    if (left_out > 0)
        cli_say("snub draw: %d builds are not drawn: they have no belt, or there are more than %d\n", left_out,
                SNUB_VIEW_BUILDS_MOST);
    return true;
}

static bool gather(job *j)
{
    const bool all = cli_has(j->run, "all"), some = cli_has(j->run, "build");
    const snub_named_rows named = cli_named(j->run);
    snub_row own;
    snub_rows rows;
    if ((all || some) && !cli_rows(j->run, &j->loaded, &rows))
        return false;
    if (some && !asked_builds(j, &rows))
        return false;
    if (!some && (!cli_own_row(j->run, &j->loaded, &named, &own) || !make_and_add(j, &own, cli_has(j->run, "free"), 0)))
        return false;
    return !all || all_builds(j, &rows);
}

/* ---- the drawing ------------------------------------------------------------------------------------------------- */

/* On the terminal, whatever the form: a drawing is held against an engine. */
static void caution(void)
{
    const snub_look look = {.width = 0};
    snub_text text = {0};
    snub_cautions_show(SNUB_CAUTION_BIT(SNUB_CAUTION_STOPPED), &look, &text);
    cli_say("%s", text.data != NULL ? text.data : "");
    snub_text_free(&text);
}

static snub_status draw_plate(job *j, snub_drawing *drawing, snub_error *error)
{
    snub_plate plate;
    const snub_status status =
        snub_plate_of_mount(j->drive, cli_value(j->run, "mount"), &j->run->locale, &j->run->arena, &plate, error);
    return status != SNUB_OK ? status
                             : snub_draw_plate(&j->view, &plate, &j->run->locale, &j->run->arena, drawing, error);
}

static bool draw(job *j, snub_drawing *drawing)
{
    snub_error error;
    snub_status status;
    int collisions = 0;
    cli_doing("drawing");
    if (strcmp(j->which, "side") == 0)
        status = snub_draw_side(&j->view, &j->run->locale, &j->run->arena, drawing, &error);
    else if (strcmp(j->which, "plate") == 0)
        status = draw_plate(j, drawing, &error);
    else if (strcmp(j->which, "template") == 0)
        status = snub_draw_template(&j->view, &j->run->locale, &j->run->arena, drawing, &error);
    else
        status = snub_draw_front(&j->view, &j->run->locale, &j->run->arena, drawing, &collisions, &error);
    if (status != SNUB_OK)
        return cli_error(&error, NULL, 0), false;
    if (j->view.warning != NULL && j->view.warning[0] != '\0')
        cli_say("snub draw: %s\n", j->view.warning);
    caution();
    if (collisions > 0)
        cli_say("snub draw: labels without room: %d; use a larger --paper\n", collisions);
    return true;
}

static int write_drawing(job *j, const snub_drawing *drawing, double dots)
{
    snub_error error;
    snub_text out = {0};
    const char *date = cli_value(j->run, "date"), *theme_name = cli_value(j->run, "theme");
    snub_theme theme = theme_name != NULL && strcmp(theme_name, "dark") == 0 ? SNUB_THEME_DARK : SNUB_THEME_LIGHT;
    snub_imprint imprint = {.title = drawing->title,
                            .subject = j->view.row[0] != '\0' ? j->view.row : j->view.state,
                            .creator = "snub " SNUB_VERSION,
                            .created = date != NULL ? snub_format(&j->run->arena, "%sT00:00:00Z", date) : NULL};
    snub_status status = strcmp(j->form, "svg") == 0   ? snub_draw_svg(drawing, theme, &imprint, &out, &error)
                         : strcmp(j->form, "pdf") == 0 ? snub_draw_pdf(drawing, theme, &imprint, &out, &error)
                         : strcmp(j->form, "dxf") == 0
                             ? snub_draw_dxf(drawing, &out, &error)
                             : snub_draw_png(drawing, theme, dots / (SNUB_INCH / SNUB_MM), &out, &error);
    int code =
        status == SNUB_OK ? cli_put(j->run, cli_value(j->run, "output"), &out, j->code) : cli_error(&error, NULL, 0);
    snub_text_free(&out);
    return code;
}

static const char *state_text(job *j)
{
    return j->speed > 0 ? snub_format(&j->run->arena, "%.0f rpm", j->speed / SNUB_RPM) : "engine stopped";
}

/* Who reads in inches has no A4 in the printer. With a scale alone the sheet grows. */
static const char *paper_of(const job *j)
{
    const char *paper = cli_value(j->run, "paper");
    const bool chosen = paper != NULL || !j->run->locale.inches || j->view.scale != 0;
    return chosen ? paper : j->view.build_count > SNUB_VIEW_BUILDS_SMALL ? "tabloid" : "letter";
}

static int make_drawing(job *j, double scale, double dots)
{
    static const double smallest_scale = 0.05, largest_scale = 1000;
    if (scale != 0 && !(scale >= smallest_scale && scale <= largest_scale))
        return cli_usage_error(j->run, "--scale takes the N of 1:N, from %g to %g", smallest_scale, largest_scale);
    if (!gather(j))
        return CLI_BAD;
    snub_drawing drawing;
    j->view.file = cli_base_name(j->loaded.document.name);
    j->view.version = "snub " SNUB_VERSION;
    j->view.date = cli_value(j->run, "date");
    j->view.state = state_text(j);
    j->view.scale = scale;
    paper_size(paper_of(j), j->view.paper);
    return draw(j, &drawing) ? write_drawing(j, &drawing, dots) : CLI_BAD;
}

static int run_draw(cli_run *run)
{
    double speed = 0, scale = 0, dots = 200;
    const char *date;
    job *j = SNUB_NEW(&run->arena, job, 1);
    if (j == NULL)
        return cli_usage_error(run, "out of memory");
    *j = (job){.run = run, .form = form_of(run), .which = cli_value(run, "view")};
    if (j->which == NULL)
        j->which = "front";
    if (j->form == NULL)
        return cli_usage_error(run, "give a file, --output drive.svg (or .pdf, .png, .dxf), or --form svg");
    if (!cli_day(run, &date))
        return CLI_BAD;
    if (cli_has(run, "all") && strcmp(j->which, "front") != 0)
        return cli_usage_error(run, "use --all with the front view only");
    if (cli_has(run, "scale") && (strcmp(j->which, "template") == 0 || strcmp(j->which, "plate") == 0))
        return cli_usage_error(run, "a %s is 1:1; leave out --scale", j->which);
    if (cli_has(run, "mount") && strcmp(j->which, "plate") != 0)
        return cli_usage_error(run, "use --mount with --view plate only");
    if (!cli_quantity(run, "rpm", SNUB_Q_TURN_SPEED, &speed) || !cli_quantity(run, "scale", SNUB_Q_NUMBER, &scale) ||
        !cli_quantity(run, "dots", SNUB_Q_NUMBER, &dots))
        return CLI_BAD;
    if (speed < 0 || !isfinite(speed))
        return cli_usage_error(run, "--rpm must be 0 or more");
    j->speed = speed;
    const int code = cli_load(run, run->operands[0], &j->loaded) ? make_drawing(j, scale, dots) : CLI_BAD;
    cli_unload(&j->loaded);
    return code;
}

const cli_command cli_draw = {
    .name = "draw",
    .summary = "the drive as a drawing: SVG, PDF, PNG or DXF; a full-size template",
    .operands = "FILE",
    .help =
        "Draws the drive to scale: pulleys with grooves (ribs) or a plain face (back), the belt, its direction of "
        "travel, the arm with its free position and stop, slots with their setting, wraps and spans. The front view "
        "has a table of pulleys and spans below it, the side view the angles between planes.\n"
        "\n"
        "SVG, PDF and PNG are sheets with a stated scale. DXF (R12, millimetres; inches with --inches) is full size "
        "whatever the sheet, "
        "with true lines and arcs and one layer for each kind of thing: PITCH_LINE is what the belt's cord follows. "
        "The template is 1:1 and has rulers to check the printer with; `snub sheet --kind template` divides it into "
        "pages.\n"
        "\n"
        "The title block has the build, its verdict, and a fingerprint (SHA-256) of the file, the values changed for "
        "the build, blower maps "
        "and catalogue rows. A build that fails is marked DO NOT FIT with the reasons across the top, and the exit "
        "code is 1. A drive without equilibrium is drawn with its arm in the free position.\n"
        "\n"
        "The same file and options give the same bytes; only --date adds a date.",
    .example = "snub draw examples/sedgemere.yaml -o drive.pdf\n"
               "snub draw examples/sedgemere.yaml --rpm 3000 -o drive.svg\n"
               "snub draw examples/sedgemere.yaml --build 1 --build 4 --paper A3 -o builds.pdf\n"
               "snub draw examples/sedgemere.yaml -o drive.dxf",
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .least = 1,
    .most = 1,
    .reads_drive = true,
    .no_json = true,
    .run = CLI_FULL(run_draw),
};
