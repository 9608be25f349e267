/* snub measure circles FILE [DRIVE]: circles of a CAD sketch, points of a scan, into pulleys and obstacles. */
#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "files.h"
#include "locale_shipped.h"
#include "measures.h"
#include "plot_file.h"
#include "progress.h"
#include "snub/circles.h"
#include "snub/draw_circles.h"
#include "snub/json.h"
#include "snub/report.h"

enum { PIECE = 1 << 16 };

typedef struct job {
    cli_run *run;
    const char *path;
    snub_circles_wish wish;
    snub_sketch_wish sketch_wish;
    snub_scan_wish scan_wish;
    snub_sketch sketch;
    snub_scan scan;
    bool is_sketch;
    cli_drive loaded;
    snub_build build;
    const snub_drive *drive; /* NULL: none */
    snub_circles circles;
} job;

/* ---- what is said of the file --------------------------------------------------------------------------------------
 */

/* "x=NAME" into its place. @return false: told */
static bool read_column(job *j, const char *value)
{
    const char *sign = strchr(value, '=');
    for (int c = 0; sign != NULL && sign[1] != '\0' && c < SNUB_SCAN_COLUMNS; c++)
        if (strlen(snub_scan_words[c]) == (size_t)(sign - value) &&
            strncmp(value, snub_scan_words[c], (size_t)(sign - value)) == 0) {
            j->scan_wish.column[c] = sign + 1;
            return true;
        }
    cli_usage_error(j->run, "--column takes x=, y= or name= and a name or number, not \"%.60s\"", value);
    return false;
}

static bool read_lists(job *j)
{
    cli_run *run = j->run;
    const char **layer = SNUB_NEW(&run->arena, const char *, run->given_count + 1);
    if (layer == NULL)
        return cli_usage_error(run, "out of memory"), false;
    for (int i = 0; i < run->given_count; i++) {
        const cli_given *given = &run->given[i];
        if (strcmp(given->option->name, "column") == 0 && !read_column(j, given->value))
            return false;
        if (strcmp(given->option->name, "layer") == 0)
            layer[j->sketch_wish.layer_count++] = given->value;
    }
    j->sketch_wish.layer = layer;
    j->sketch_wish.unit = j->scan_wish.unit = cli_value(run, "unit");
    return true;
}

/* "X,Y" into lengths. @return false: told */
static bool read_origin(job *j)
{
    cli_run *run = j->run;
    const char *value = cli_value(run, "origin"), *comma = value != NULL ? strchr(value, ',') : NULL;
    snub_error why = {0};
    if (value == NULL)
        return true;
    const char *x = comma != NULL ? snub_copy_text_n(&run->arena, value, (size_t)(comma - value)) : NULL;
    if (comma != NULL && x == NULL)
        return cli_usage_error(run, "out of memory"), false;
    if (x != NULL && snub_units_parse(run->units, SNUB_Q_LENGTH, x, &j->wish.origin[0], &why) == SNUB_OK &&
        snub_units_parse(run->units, SNUB_Q_LENGTH, comma + 1, &j->wish.origin[1], &why) == SNUB_OK)
        return true;
    cli_usage_error(run, "--origin takes two lengths, as in \"120,-45.5\" or \"4.5 in,0 in\", not \"%.60s\"", value);
    return false;
}

static bool read_wish(job *j)
{
    cli_run *run = j->run;
    j->wish = (snub_circles_wish){
        .tolerance = SNUB_CIRCLES_TOLERANCE, .reach = SNUB_CIRCLES_REACH, .arc = SNUB_PI, .error = NAN};
    if (!read_lists(j) || !read_origin(j) || !cli_quantity(run, "tolerance", SNUB_Q_LENGTH, &j->wish.tolerance) ||
        !cli_quantity(run, "reach", SNUB_Q_LENGTH, &j->wish.reach) ||
        !cli_quantity(run, "error", SNUB_Q_LENGTH, &j->wish.error) ||
        !cli_quantity(run, "arc", SNUB_Q_ANGLE, &j->wish.arc) ||
        !cli_quantity(run, "turn", SNUB_Q_ANGLE, &j->wish.turn))
        return false;
    const double most = 1.0;
    if (!(j->wish.tolerance > 0.0 && j->wish.tolerance <= most && j->wish.reach > 0.0 && j->wish.reach <= most))
        return cli_usage_error(run, "--tolerance and --reach are over 0 and up to 1 m"), false;
    if (cli_has(run, "error") && !(j->wish.error > 0.0 && j->wish.error <= most))
        return cli_usage_error(run, "--error is over 0 and up to 1 m"), false;
    if (!(j->wish.arc > 0.0 && j->wish.arc <= 2.0 * SNUB_PI))
        return cli_usage_error(run, "--arc is over 0 and up to 360 deg"), false;
    return true;
}

/* What goes with the other kind of file would be passed over. @return false: told */
static bool wish_fits(const job *j)
{
    static const char *const of_points[] = {"column", "error", NULL}, *const of_sketch[] = {"layer", "arc", NULL};
    const char *const *other = j->is_sketch ? of_points : of_sketch;
    for (int i = 0; other[i] != NULL; i++)
        if (cli_has(j->run, other[i])) {
            cli_usage_error(j->run, "--%s is for %s, and %s is %s", other[i],
                            j->is_sketch ? "points of a scan" : "a sketch", j->path,
                            j->is_sketch ? "a sketch" : "no .dxf");
            return false;
        }
    if (j->drive == NULL && cli_has(j->run, "reach") && j->is_sketch)
        return cli_usage_error(j->run, "--reach is for comparing with a drive file: give one behind the sketch"), false;
    return true;
}

/* ---- reading -------------------------------------------------------------------------------------------------------
 */

static bool told(const snub_error *error)
{
    cli_error(error, NULL, 0);
    return false;
}

static bool unreadable(const job *j)
{
    snub_error error;
    const snub_place place = {.file = j->path};
    snub_fail(&error, SNUB_IO, &place, NULL, "cannot be read: %s", strerror(errno));
    return told(&error);
}

static bool read_sketch(job *j, FILE *file)
{
    char bytes[PIECE];
    size_t got;
    snub_error error;
    snub_sketch_reader *reader = snub_sketch_open(j->path, &j->sketch_wish, j->run->units, &j->run->arena);
    if (reader == NULL)
        return cli_usage_error(j->run, "out of memory"), false;
    snub_status status = SNUB_OK;
    while (status == SNUB_OK && (got = fread(bytes, 1, sizeof bytes, file)) > 0)
        status = snub_sketch_feed(reader, bytes, got, &error);
    const bool broken = status == SNUB_OK && ferror(file);
    if (status == SNUB_OK && !broken)
        status = snub_sketch_finish(reader, &j->sketch, &error);
    snub_sketch_close(reader);
    return broken ? unreadable(j) : status == SNUB_OK || told(&error);
}

/* @return false: told */
static bool all_told(const job *j, snub_errors *errors, snub_status status)
{
    if (status != SNUB_OK && (status == SNUB_NO_MEMORY || errors->count == 0))
        cli_usage_error(j->run, "out of memory");
    else if (status != SNUB_OK)
        cli_errors(j->run, errors, NULL, 0);
    snub_errors_free(errors);
    return status == SNUB_OK;
}

static bool read_scan(job *j, FILE *file)
{
    char bytes[PIECE];
    size_t got;
    snub_errors errors = {0};
    snub_scan_reader *reader = snub_scan_open(j->path, &j->scan_wish, j->run->units, &j->run->arena);
    if (reader == NULL)
        return cli_usage_error(j->run, "out of memory"), false;
    while ((got = fread(bytes, 1, sizeof bytes, file)) > 0 && snub_scan_feed(reader, bytes, got) == SNUB_OK)
        ;
    const bool broken = ferror(file) != 0;
    const snub_status status = broken ? SNUB_OK : snub_scan_finish(reader, &j->scan, &errors);
    snub_scan_close(reader);
    return broken ? unreadable(j) : all_told(j, &errors, status);
}

static bool is_sketch(const char *path)
{
    const char *dot = strrchr(path, '.');
    return dot != NULL && strcasecmp(dot, ".dxf") == 0;
}

static bool read_file(job *j)
{
    if (!cli_reads(j->run, j->is_sketch ? "sketch" : "file of points", j->path))
        return false;
    cli_doing(j->is_sketch ? "reading the sketch" : "reading the points");
    FILE *file = strcmp(j->path, "-") == 0 ? stdin : fopen(j->path, "rb");
    if (file == NULL)
        return unreadable(j);
    const bool good = j->is_sketch ? read_sketch(j, file) : read_scan(j, file);
    if (file != stdin)
        fclose(file);
    return good;
}

static bool read_drive(job *j)
{
    cli_run *run = j->run;
    if (run->operand_count < 3)
        return true;
    if (strcmp(j->path, "-") == 0 && strcmp(run->operands[2], "-") == 0)
        return cli_usage_error(run, "only one of the two files can be standard input"), false;
    if (!cli_load(run, run->operands[2], &j->loaded) || !cli_one_build(run, &j->loaded, &j->build))
        return false;
    j->drive = j->build.drive;
    return true;
}

static bool find(job *j)
{
    snub_errors errors = {0};
    cli_doing("fitting circles");
    const snub_status status =
        snub_circles_find(j->path, j->is_sketch ? &j->sketch : NULL, j->is_sketch ? NULL : &j->scan, &j->wish, j->drive,
                          &j->run->arena, &j->circles, &errors);
    return all_told(j, &errors, status);
}

/* ---- the answer ----------------------------------------------------------------------------------------------------
 */

/* What goes where. All is made before the first of it is written, so that a failure leaves no file behind. */
typedef struct outputs {
    snub_text fragment, picture, said;
} outputs;

static snub_status make_picture(job *j, snub_text *out, snub_error *error)
{
    snub_messages messages;
    snub_drawing drawing;
    const char *slash = strrchr(j->path, '/'), *title = slash != NULL ? slash + 1 : j->path;
    if (!cli_has(j->run, "picture"))
        return SNUB_OK;
    if (!cli_messages(j->run, &j->loaded, &messages))
        return SNUB_STOPPED; /* told */
    snub_locale locale = snub_messages_locale(&messages);
    locale.inches = j->run->locale.inches;
    const snub_status status = snub_draw_circles(&j->circles, title, &locale, &j->run->arena, &drawing, error);
    return status == SNUB_OK ? cli_make_plot(j->run, "picture", title, &drawing, out, error) : status;
}

static snub_status make_said(job *j, snub_text *out, snub_error *error)
{
    cli_run *run = j->run;
    const snub_look look = {.width = run->width, .colour = run->colour, .locale = &run->locale};
    if (!run->json)
        return snub_text_circles(&j->circles, &look, out, error);
    return cli_json_text(run, snub_json_circles(&j->circles), out, error);
}

static snub_status make_all(job *j, outputs *out, snub_error *error)
{
    if (cli_has(j->run, "output"))
        snub_fragment_circles(&j->circles, &j->run->locale, &out->fragment);
    if (out->fragment.failed)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    const snub_status status = make_picture(j, &out->picture, error);
    return status == SNUB_OK ? make_said(j, &out->said, error) : status;
}

static int write_all(const cli_run *run, const outputs *out, int code)
{
    if (cli_has(run, "output") && cli_put(run, cli_value(run, "output"), &out->fragment, code) == CLI_BAD)
        return CLI_BAD;
    if (cli_has(run, "picture") && cli_put(run, cli_value(run, "picture"), &out->picture, code) == CLI_BAD)
        return CLI_BAD;
    return cli_print(run, &out->said, code);
}

static int answer(job *j)
{
    outputs out = {0};
    snub_error error;
    const snub_status status = make_all(j, &out, &error);
    int code = snub_circles_level(&j->circles) == SNUB_FAIL ? CLI_FAIL : CLI_PASS;
    code = status == SNUB_OK        ? write_all(j->run, &out, code)
           : status == SNUB_STOPPED ? CLI_BAD
                                    : cli_error(&error, NULL, 0);
    snub_text_free(&out.fragment);
    snub_text_free(&out.picture);
    snub_text_free(&out.said);
    return code;
}

static int run_circles(cli_run *run)
{
    job *j = SNUB_NEW(&run->arena, job, 1);
    if (j == NULL)
        return cli_usage_error(run, "out of memory");
    *j = (job){.run = run, .path = run->operands[1], .is_sketch = is_sketch(run->operands[1])};
    const bool good =
        cli_plot_has_format(run, "picture") && read_wish(j) && read_drive(j) && wish_fits(j) && read_file(j) && find(j);
    const int code = good ? answer(j) : CLI_BAD;
    cli_unload(&j->loaded);
    return code;
}

/* Not by name: snub, which hands this over, must not be linked with what it needs. */
int (*const cli_measure_circles)(cli_run *run) = CLI_FULL(run_circles);
