/* A log over time: bands from low to high of each stretch, with what the build would do. */
#include <math.h>
#include <string.h>

#include "log_words.h"

enum { PANELS = 3, LINES = 3, ENDS = 2 };

typedef struct plotter {
    const snub_log_answer *answer;
    const snub_locale *locale;
    snub_arena *arena;
    bool failed;
    double *time;
} plotter;

static double *numbers(plotter *p)
{
    double *values = SNUB_NEW(p->arena, double, p->answer->bin_count + 1);
    p->failed = p->failed || values == NULL;
    return values;
}

/* One end of a range of all bins, in rpm or percent. */
static double *ends_of(plotter *p, size_t range, int end, double unit)
{
    double *values = numbers(p);
    for (int i = 0; values != NULL && i < p->answer->bin_count; i++) {
        const double *ends = (const double *)(const void *)((const char *)&p->answer->bins[i] + range);
        values[i] = isfinite(ends[end]) ? ends[end] / unit : (double)NAN;
    }
    return values;
}

static snub_series line_of(plotter *p, const char *name, const double *y, int style)
{
    return (snub_series){.name = name != NULL ? snub_say(p->locale, name) : NULL,
                         .count = p->answer->bin_count,
                         .x = p->time,
                         .y = y,
                         .style = {.ink = snub_style_of(style).ink, .dash = snub_style_of(style).dash, .width = 0.25}};
}

#define RANGE(member) offsetof(snub_log_bin, member)

static void speed_panel(plotter *p, snub_panel *panel, snub_series *lines)
{
    const struct {
        const char *name;
        size_t range;
    } shown[LINES] = {{SNUB_MESSAGE("engine"), RANGE(engine)},
                      {SNUB_MESSAGE("blower"), RANGE(blower)},
                      {SNUB_MESSAGE("blower without slip"), RANGE(expected)}};
    int count = 0;
    for (int i = 0; i < LINES; i++)
        for (int end = 1; end >= 0; end--)
            lines[count++] = line_of(p, end == 1 ? shown[i].name : NULL, ends_of(p, shown[i].range, end, SNUB_RPM), i);
    *panel = (snub_panel){.title = SNUB_MESSAGE("speed"),
                          .unit = "rpm",
                          .series_count = count,
                          .series = lines,
                          .low = NAN,
                          .high = NAN,
                          .from_zero = true,
                          .share = 1.4};
}

static void slip_panel(plotter *p, snub_panel *panel, snub_series *lines, snub_limit_line *limit)
{
    for (int end = 1; end >= 0; end--)
        lines[1 - end] =
            line_of(p, end == 1 ? SNUB_MESSAGE("belt slip") : NULL, ends_of(p, RANGE(slip), end, SNUB_PERCENT), 0);
    *limit = (snub_limit_line){.name = SNUB_MESSAGE("reported from"),
                               .value = p->answer->calibration.threshold / SNUB_PERCENT,
                               .ink = SNUB_INK_MARGINAL};
    *panel = (snub_panel){.title = SNUB_MESSAGE("belt slip"),
                          .unit = "%",
                          .series_count = 2,
                          .series = lines,
                          .limit_count = 1,
                          .limits = limit,
                          .low = NAN,
                          .high = NAN,
                          .from_zero = true};
}

static void boost_panel(plotter *p, snub_panel *panel, snub_series *lines)
{
    const struct {
        const char *name;
        size_t range;
    } shown[] = {{SNUB_MESSAGE("boost"), RANGE(boost)},
                 {SNUB_MESSAGE("boost without slip, throttle open"), RANGE(model_boost)}};
    int count = 0;
    for (size_t i = 0; i < sizeof shown / sizeof shown[0]; i++)
        for (int end = 1; end >= 0; end--)
            lines[count++] =
                line_of(p, end == 1 ? shown[i].name : NULL, ends_of(p, shown[i].range, end, SNUB_KPA), (int)i);
    *panel = (snub_panel){.title = SNUB_MESSAGE("boost"),
                          .unit = "kPa",
                          .series_count = count,
                          .series = lines,
                          .low = NAN,
                          .high = NAN,
                          .from_zero = true};
}

snub_status snub_log_plot(const snub_log_answer *answer, const char *title, const snub_locale *locale,
                          snub_arena *arena, snub_drawing *drawing, snub_error *error)
{
    plotter p = {.answer = answer, .locale = locale, .arena = arena};
    snub_panel panels[PANELS];
    const bool boost = answer->rows->column[SNUB_LOG_BOOST].number > 0;
    const int panel_count = boost ? PANELS : PANELS - 1;
    snub_series *lines = SNUB_NEW(arena, snub_series, ENDS * LINES + ENDS + 2 * ENDS);
    snub_limit_line limit;
    p.time = numbers(&p);
    if (lines == NULL || p.failed)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    for (int i = 0; i < answer->bin_count; i++)
        p.time[i] = answer->bins[i].time;
    speed_panel(&p, &panels[0], lines);
    slip_panel(&p, &panels[1], lines + ENDS * LINES, &limit);
    if (boost)
        boost_panel(&p, &panels[2], lines + ENDS * LINES + ENDS);
    if (p.failed)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    const char *note = snub_say(
        locale, SNUB_MESSAGE("Least and greatest of each stretch of the log; slip as its mean over the window. Without "
                             "slip: the log's own ratio, with the file's creep."));
    const snub_plot plot = {.title = title,
                            .x_title = SNUB_MESSAGE("time"),
                            .x_unit = "s",
                            .x_low = NAN,
                            .x_high = NAN,
                            .panel_count = panel_count,
                            .panels = panels,
                            .note_count = 1,
                            .notes = &note,
                            .width = 190,
                            .height = 24 + 55.0 * panel_count};
    return snub_plot_draw(&plot, locale, arena, drawing, error);
}
