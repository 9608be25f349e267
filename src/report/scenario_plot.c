/* A run drawn over time. */
#include "snub/scenario_plot.h"
#include "words.h"

enum { PANELS_MOST = 4, SPANS_SHOWN = 3, POINTS_MOST = 1200 };

typedef struct plotter {
    const snub_scenario_run *run;
    const snub_locale *locale;
    snub_arena *arena;
    bool failed;
    int count, stride; /* points; samples for each */
    double *time;
    snub_panel panels[PANELS_MOST];
    int panel_count;
    snub_series series[PANELS_MOST];
    snub_band bands[PANELS_MOST][SPANS_SHOWN];
} plotter;

/* A number of a sample. */
typedef double (*number_of)(const snub_scenario_run *run, const snub_run_sample *s, int at);

static double engine(const snub_scenario_run *run, const snub_run_sample *s, int at)
{
    (void)run, (void)at;
    return s->engine / SNUB_RPM;
}

static double arm_low(const snub_scenario_run *run, const snub_run_sample *s, int at)
{
    (void)run, (void)at;
    return s->wind_low / SNUB_DEG;
}

static double arm_high(const snub_scenario_run *run, const snub_run_sample *s, int at)
{
    (void)run, (void)at;
    return s->wind_high / SNUB_DEG;
}

static double least(const snub_scenario_run *run, const snub_run_sample *s, int at)
{
    (void)run;
    return s->low[at];
}

static double greatest(const snub_scenario_run *run, const snub_run_sample *s, int at)
{
    (void)run;
    return s->high[at];
}

static double slip(const snub_scenario_run *run, const snub_run_sample *s, int at)
{
    double most = 0.0;
    (void)at;
    for (int i = 0; i < run->drive->pulley_count; i++)
        most = fmax(most, fabs(s->slip[i]));
    return most;
}

/* Points of a number: of the samples behind each, the least (sense -1) or the greatest. */
static double *values_of(plotter *p, number_of number, int at, double sense)
{
    double *values = SNUB_NEW(p->arena, double, p->count);
    p->failed = p->failed || values == NULL;
    for (int k = 0; values != NULL && k < p->count; k++) {
        double most = -INFINITY;
        for (int i = k * p->stride; i < (k + 1) * p->stride && i < p->run->result.sample_count; i++)
            most = fmax(most, sense * number(p->run, &p->run->result.samples[i], at));
        values[k] = sense * most;
    }
    return values;
}

static snub_panel *begin_panel(plotter *p, const char *title, const char *unit)
{
    snub_panel *panel = &p->panels[p->panel_count];
    *panel = (snub_panel){.title = snub_say(p->locale, title),
                          .unit = unit,
                          .series = &p->series[p->panel_count],
                          .bands = p->bands[p->panel_count],
                          .low = NAN,
                          .high = NAN};
    p->panel_count++;
    return panel;
}

static void line_panel(plotter *p, const char *title, const char *unit, number_of number)
{
    snub_panel *panel = begin_panel(p, title, unit);
    p->series[p->panel_count - 1] =
        (snub_series){.count = p->count, .x = p->time, .y = values_of(p, number, 0, 1.0), .style = snub_style_of(0)};
    p->series[p->panel_count - 1].style.marker = SNUB_MARKER_NONE; /* one line needs none */
    panel->series_count = 1;
    panel->from_zero = true;
}

static void add_band(plotter *p, snub_panel *panel, const char *name, number_of low, number_of high, int at)
{
    static const snub_ink inks[SPANS_SHOWN] = {SNUB_INK_BAND_1, SNUB_INK_BAND_2, SNUB_INK_BAND_3};
    p->bands[p->panel_count - 1][panel->band_count] = (snub_band){.name = name,
                                                                  .count = p->count,
                                                                  .x = p->time,
                                                                  .low = values_of(p, low, at, -1.0),
                                                                  .high = values_of(p, high, at, 1.0),
                                                                  .ink = inks[panel->band_count]};
    panel->band_count++;
}

/* The spans whose tension goes through the widest range. */
static void span_panel(plotter *p)
{
    snub_panel *panel = begin_panel(p, SNUB_MESSAGE("span tension"), "N");
    double bound = INFINITY;
    panel->share = 1.5;
    panel->from_zero = true;
    for (int k = 0; k < SPANS_SHOWN; k++) {
        int next = -1;
        double most = -1.0;
        for (int i = 0; i < p->run->drive->pulley_count; i++) {
            const snub_run_range *r = &p->run->result.tension[i];
            if (r->high - r->low < bound && r->high - r->low > most) {
                most = r->high - r->low;
                next = i;
            }
        }
        if (next < 0)
            break;
        bound = most;
        snub_text name = {0};
        snub_run_place_words(p->run->drive, SNUB_RUN_SLACK, next, &name);
        add_band(p, panel, snub_words_copy(&name, p->arena), least, greatest, next);
    }
}

snub_status snub_scenario_plot(const snub_scenario_run *run, const snub_locale *locale, snub_arena *arena,
                               snub_drawing *drawing, snub_error *error)
{
    plotter *p = SNUB_NEW(arena, plotter, 1);
    const int samples = run->result.sample_count;
    if (samples < 2)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "the run has nothing to draw");
    if (p == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    p->run = run;
    p->locale = locale;
    p->arena = arena;
    p->stride = (samples + POINTS_MOST - 1) / POINTS_MOST;
    p->count = (samples + p->stride - 1) / p->stride;
    p->time = SNUB_NEW(arena, double, p->count);
    for (int k = 0; p->time != NULL && k < p->count; k++)
        p->time[k] = run->result.samples[k * p->stride].time;
    line_panel(p, SNUB_MESSAGE("engine"), "rpm", engine);
    span_panel(p);
    if (run->drive->arm >= 0) {
        snub_panel *panel = begin_panel(p, SNUB_MESSAGE("arm angle from free"), "deg");
        add_band(p, panel, NULL, arm_low, arm_high, 0);
    }
    line_panel(p, SNUB_MESSAGE("greatest slip on a pulley"), "m/s", slip);
    if (p->failed || p->time == NULL || arena->refused)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    const char *notes[] = {
        snub_say(locale, SNUB_MESSAGE("Nominal belt, warm. Bands: from the least to the greatest within each step."))};
    const snub_plot plot = {.title = run->drive->title,
                            .x_title = snub_say(locale, SNUB_MESSAGE("time")),
                            .x_unit = "s",
                            .x_low = NAN,
                            .x_high = NAN,
                            .panel_count = p->panel_count,
                            .panels = p->panels,
                            .note_count = 1,
                            .notes = notes};
    return snub_plot_draw(&plot, locale, arena, drawing, error);
}
