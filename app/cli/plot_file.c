/* The file of --plot. */
#include "plot_file.h"

#include <string.h>

#include "snub/draw.h"

#ifndef SNUB_LIGHT /* else its calls would have the linker load what draws */

static const double DOTS_PER_MM = 200 / (SNUB_INCH / SNUB_MM);

int cli_put_plot(cli_run *run, const snub_drawing *drawing, int code)
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
        return cli_usage_error(run, "--plot %.60s: the name ends in .svg, .pdf or .png", path);
    }
    code = status == SNUB_OK ? cli_put(run, path, &text, code) : cli_error(&error, NULL, 0);
    snub_text_free(&text);
    return code;
}

#endif
