/* The file of --plot or --picture. */
#include "plot_file.h"

#include <string.h>

#include "snub/draw.h"

#ifndef SNUB_LIGHT /* else its calls would have the linker load what draws */

static const double DOTS_PER_MM = 200 / (SNUB_INCH / SNUB_MM);

static bool ends_in(const char *path, const char *end)
{
    const size_t length = strlen(path), with = strlen(end);
    return length > with && strcmp(path + length - with, end) == 0;
}

bool cli_plot_has_format(cli_run *run, const char *option)
{
    const char *path = cli_value(run, option);
    if (path == NULL || ends_in(path, ".svg") || ends_in(path, ".pdf") || ends_in(path, ".png"))
        return true;
    cli_usage_error(run, "--%s %.60s: the name ends in .svg, .pdf or .png", option, path);
    return false;
}

snub_status cli_plot_in_form(const char *form, const char *subject, const snub_drawing *drawing, snub_text *text,
                             snub_error *error)
{
    const snub_imprint imprint = {.subject = subject, .creator = "snub " SNUB_VERSION};
    return strcmp(form, "svg") == 0   ? snub_draw_svg(drawing, SNUB_THEME_LIGHT, &imprint, text, error)
           : strcmp(form, "pdf") == 0 ? snub_draw_pdf(drawing, SNUB_THEME_LIGHT, &imprint, text, error)
                                      : snub_draw_png(drawing, SNUB_THEME_LIGHT, DOTS_PER_MM, text, error);
}

snub_status cli_make_plot(const cli_run *run, const char *option, const char *subject, const snub_drawing *drawing,
                          snub_text *text, snub_error *error)
{
    return cli_plot_in_form(strrchr(cli_value(run, option), '.') + 1, subject, drawing, text, error);
}

int cli_put_plot(cli_run *run, const char *option, const char *subject, const snub_drawing *drawing, int code)
{
    snub_text text = {0};
    snub_error error;
    if (!cli_plot_has_format(run, option))
        return CLI_BAD;
    code = cli_make_plot(run, option, subject, drawing, &text, &error) == SNUB_OK
               ? cli_put(run, cli_value(run, option), &text, code)
               : cli_error(&error, NULL, 0);
    snub_text_free(&text);
    return code;
}

#endif
