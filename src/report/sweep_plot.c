/* Sweeps drawn over engine speed. */
#include "snub/sweep_plot.h"
#include "words.h"

#include "snub/report.h"

#include <string.h>

enum { PANELS_MOST = 7, SERIES_MOST = SNUB_PULLEYS_MOST + 4 };

typedef struct plotter {
    const snub_sweep *const *sweeps;
    const char *const *names;
    int count;
    const snub_locale *locale;
    snub_arena *arena;
    bool failed;
    snub_panel panels[PANELS_MOST];
    int panel_count;
    snub_series *series;                      /* of the last panel */
    double *values[PANELS_MOST][SERIES_MOST]; /* of each panel's series */
} plotter;

/* Names of lines stand in the legend as they are: those of pulleys are the file's, all others are translated. */
static const char *said(const plotter *p, const char *english)
{
    return english != NULL ? snub_say(p->locale, english) : NULL;
}

/* A value of a sweep at one speed of one way; NAN: none. */
typedef double (*value_of)(const snub_sweep *sweep, int way, int k);

static const snub_sweep_pulley *pulleys_at(const snub_sweep *sweep, int way, int k)
{
    return &sweep->pulley[way][k * sweep->pulleys];
}

static double boost(const snub_sweep *sweep, int way, int k)
{
    return sweep->blower >= 0 ? sweep->point[way][k].match.boost / SNUB_KPA : NAN;
}

static double boost_without_slip(const snub_sweep *sweep, int way, int k)
{
    return sweep->blower >= 0 ? sweep->point[way][k].boost_without_slip / SNUB_KPA : NAN;
}

static double blower_power(const snub_sweep *sweep, int way, int k)
{
    return sweep->blower >= 0 ? sweep->point[way][k].match.power / SNUB_KW : NAN;
}

static double belt_power(const snub_sweep *sweep, int way, int k)
{
    return sweep->point[way][k].solved ? sweep->point[way][k].power / SNUB_KW : NAN;
}

static double crank_power(const snub_sweep *sweep, int way, int k)
{
    return sweep->blower >= 0 ? sweep->point[way][k].match.crank_power / SNUB_KW : NAN;
}

static double outlet(const snub_sweep *sweep, int way, int k)
{
    return sweep->blower >= 0 ? sweep->point[way][k].match.outlet_temperature - SNUB_ZERO_CELSIUS : NAN;
}

static double charge(const snub_sweep *sweep, int way, int k)
{
    return sweep->blower >= 0 ? sweep->point[way][k].match.charge_temperature - SNUB_ZERO_CELSIUS : NAN;
}

static double wind(const snub_sweep *sweep, int way, int k)
{
    return sweep->point[way][k].solved ? sweep->point[way][k].wind / SNUB_DEG : NAN;
}

static double worst_grip(const snub_sweep *sweep, int way, int k)
{
    double worst = 0;
    for (int i = 0; i < sweep->pulleys; i++)
        worst = fmax(worst, pulleys_at(sweep, way, k)[i].grip_design);
    return sweep->point[way][k].solved ? worst : NAN;
}

static double worst_slip(const snub_sweep *sweep, int way, int k)
{
    double worst = 0;
    for (int i = 0; i < sweep->pulleys; i++) {
        const snub_sweep_pulley *p = &pulleys_at(sweep, way, k)[i];
        if (p->slip == SNUB_SLIP_SLOWER || p->slip == SNUB_SLIP_STALLED)
            worst = fmax(worst, (1 - p->factor) / SNUB_PERCENT);
    }
    return sweep->point[way][k].solved ? worst : NAN;
}

static double heat(const snub_sweep *sweep, int way, int k)
{
    return sweep->point[way][k].solved ? sweep->point[way][k].heat / SNUB_KW : NAN;
}

static double tension(const snub_sweep *sweep, int way, int k)
{
    double most = -INFINITY;
    for (int i = 0; i < sweep->pulleys; i++)
        most = fmax(most, pulleys_at(sweep, way, k)[i].exit);
    return sweep->point[way][k].solved ? most : NAN;
}

static double *numbers(plotter *p, int count)
{
    double *values = SNUB_NEW(p->arena, double, count > 0 ? count : 1);
    p->failed = p->failed || values == NULL;
    return values;
}

static double *speeds_of(plotter *p, const snub_sweep *sweep)
{
    double *x = numbers(p, sweep->speeds);
    for (int k = 0; x && k < sweep->speeds; k++)
        x[k] = sweep->speed[k] / SNUB_RPM;
    return x;
}

static snub_panel *begin_panel(plotter *p, const char *title, const char *unit, bool from_zero)
{
    snub_panel *panel = &p->panels[p->panel_count++];
    p->series = SNUB_NEW(p->arena, snub_series, SERIES_MOST);
    p->failed = p->failed || p->series == NULL;
    *panel = (snub_panel){
        .title = title, .unit = unit, .series = p->series, .low = NAN, .high = NAN, .from_zero = from_zero};
    return panel;
}

static void add_line(plotter *p, snub_panel *panel, const snub_sweep *sweep, int way, value_of value, const char *name)
{
    if (p->failed || !sweep->ran[way] || panel->series_count >= SERIES_MOST)
        return;
    double *x = speeds_of(p, sweep), *y = numbers(p, sweep->speeds);
    if (p->failed)
        return;
    for (int k = 0; k < sweep->speeds; k++)
        y[k] = value(sweep, way, k);
    p->series[panel->series_count] = (snub_series){
        .name = name, .count = sweep->speeds, .x = x, .y = y, .style = snub_style_of(panel->series_count)};
    p->values[p->panel_count - 1][panel->series_count] = y;
    panel->series_count++;
}

static void add_limit(plotter *p, snub_panel *panel, const char *name, double value, snub_ink ink)
{
    snub_limit_line *line = SNUB_NEW(p->arena, snub_limit_line, 1);
    p->failed = p->failed || line == NULL;
    if (!line)
        return;
    *line = (snub_limit_line){.name = name, .value = value, .ink = ink};
    panel->limits = line;
    panel->limit_count = 1;
}

/* ---- one sweep ---- */

/* Grip of each pulley that is loaded, and the worst of any while rising and shifting. */
static void grip_panel(plotter *p, const snub_sweep *sweep)
{
    snub_panel *panel = begin_panel(p, SNUB_MESSAGE("grip used"), "", true);
    panel->share = 1.3;
    for (int i = 0; i < sweep->pulleys && !p->failed; i++) {
        double most = 0;
        for (int k = 0; k < sweep->speeds; k++)
            most =
                fmax(most, sweep->point[SNUB_STEADY][k].solved ? pulleys_at(sweep, SNUB_STEADY, k)[i].grip_design : 0);
        if (most < 0.01) /* an idler, or as good as one */
            continue;
        double *x = speeds_of(p, sweep), *y = numbers(p, sweep->speeds);
        if (p->failed)
            return;
        for (int k = 0; k < sweep->speeds; k++)
            y[k] = sweep->point[SNUB_STEADY][k].solved ? pulleys_at(sweep, SNUB_STEADY, k)[i].grip_design : NAN;
        p->series[panel->series_count] = (snub_series){.name = sweep->drive->pulleys[i].name,
                                                       .count = sweep->speeds,
                                                       .x = x,
                                                       .y = y,
                                                       .style = snub_style_of(panel->series_count)};
        panel->series_count++;
    }
    add_line(p, panel, sweep, SNUB_RISING, worst_grip, said(p, SNUB_MESSAGE("worst, accelerating")));
    add_line(p, panel, sweep, SNUB_FALLING, worst_grip, said(p, SNUB_MESSAGE("worst, overrun")));
    add_line(p, panel, sweep, SNUB_BLIP, worst_grip, said(p, SNUB_MESSAGE("worst, throttle blip")));
    add_line(p, panel, sweep, SNUB_AFTER_BLIP, worst_grip, said(p, SNUB_MESSAGE("worst, after a blip")));
    add_limit(p, panel, SNUB_MESSAGE("design grip"), sweep->drive->limits[SNUB_LIMIT_GRIP_DESIGN], SNUB_INK_MARGINAL);
}

static void arm_panel(plotter *p, const snub_sweep *sweep)
{
    snub_panel *panel = begin_panel(p, SNUB_MESSAGE("arm angle from free"), "deg", false);
    add_line(p, panel, sweep, SNUB_STEADY, wind, said(p, SNUB_MESSAGE("steady")));
    add_line(p, panel, sweep, SNUB_RISING, wind, said(p, SNUB_MESSAGE("accelerating")));
    add_line(p, panel, sweep, SNUB_FALLING, wind, said(p, SNUB_MESSAGE("overrun")));
    add_line(p, panel, sweep, SNUB_BLIP, wind, said(p, SNUB_MESSAGE("throttle blip")));
    add_line(p, panel, sweep, SNUB_AFTER_BLIP, wind, said(p, SNUB_MESSAGE("after a blip")));
    snub_band *band = SNUB_NEW(p->arena, snub_band, 1);
    double *low = numbers(p, sweep->speeds), *high = numbers(p, sweep->speeds), *x = speeds_of(p, sweep);
    p->failed = p->failed || band == NULL;
    if (p->failed)
        return;
    for (int k = 0; k < sweep->speeds; k++) {
        low[k] = sweep->point[SNUB_STEADY][k].wind_low / SNUB_DEG;
        high[k] = sweep->point[SNUB_STEADY][k].wind_high / SNUB_DEG;
    }
    *band = (snub_band){.name = said(p, SNUB_MESSAGE("with arm friction")),
                        .count = sweep->speeds,
                        .x = x,
                        .low = low,
                        .high = high,
                        .ink = SNUB_INK_BAND_1};
    panel->bands = band;
    panel->band_count = 1;
}

static void blower_panels(plotter *p, const snub_sweep *sweep)
{
    snub_panel *panel = begin_panel(p, SNUB_MESSAGE("boost"), "kPa", true);
    add_line(p, panel, sweep, SNUB_STEADY, boost, said(p, SNUB_MESSAGE("boost")));
    bool slips = false;
    for (int k = 0; k < sweep->speeds; k++)
        slips = slips || worst_slip(sweep, SNUB_STEADY, k) > 0;
    if (slips)
        add_line(p, panel, sweep, SNUB_STEADY, boost_without_slip, said(p, SNUB_MESSAGE("without belt slip")));
    panel = begin_panel(p, SNUB_MESSAGE("power"), "kW", true);
    add_line(p, panel, sweep, SNUB_STEADY, blower_power, said(p, SNUB_MESSAGE("blower")));
    add_line(p, panel, sweep, SNUB_STEADY, belt_power, said(p, SNUB_MESSAGE("the belt in all")));
    add_line(p, panel, sweep, SNUB_RISING, belt_power, said(p, SNUB_MESSAGE("the belt in all, accelerating")));
    panel = begin_panel(p, SNUB_MESSAGE("estimated crank power"), "kW", true);
    add_line(p, panel, sweep, SNUB_STEADY, crank_power, NULL);
    panel = begin_panel(p, SNUB_MESSAGE("air"), "degC", false);
    add_line(p, panel, sweep, SNUB_STEADY, outlet, said(p, SNUB_MESSAGE("out of the blower")));
    add_line(p, panel, sweep, SNUB_STEADY, charge, said(p, SNUB_MESSAGE("into the engine")));
}

static bool any_slip(const snub_sweep *sweep)
{
    for (int way = 0; way < SNUB_WAYS; way++)
        for (int k = 0; sweep->ran[way] && k < sweep->speeds; k++)
            if (worst_slip(sweep, way, k) > 0)
                return true;
    return false;
}

static void one_sweep(plotter *p)
{
    const snub_sweep *sweep = p->sweeps[0];
    if (sweep->blower >= 0)
        blower_panels(p, sweep);
    grip_panel(p, sweep);
    if (any_slip(sweep)) {
        snub_panel *panel = begin_panel(p, SNUB_MESSAGE("belt slip"), "%", true);
        for (int way = 0; way < SNUB_WAYS; way++)
            add_line(p, panel, sweep, way, worst_slip, said(p, snub_way_text((snub_way)way)));
    } else {
        snub_panel *panel = begin_panel(p, SNUB_MESSAGE("greatest span tension"), "N", true);
        for (int way = 0; way < SNUB_WAYS; way++)
            add_line(p, panel, sweep, way, tension, said(p, snub_way_text((snub_way)way)));
    }
    if (sweep->drive->arm >= 0)
        arm_panel(p, sweep);
}

/* ---- several ---- */

static void panel_of_all(plotter *p, const char *title, const char *unit, bool from_zero, value_of value)
{
    snub_panel *panel = begin_panel(p, title, unit, from_zero);
    for (int i = 0; i < p->count; i++)
        add_line(p, panel, p->sweeps[i], SNUB_STEADY, value, p->panel_count == 1 ? p->names[i] : NULL);
}

static void several_sweeps(plotter *p)
{
    bool blown = true, arm = true, slips = false;
    for (int i = 0; i < p->count; i++) {
        blown = blown && p->sweeps[i]->blower >= 0;
        arm = arm && p->sweeps[i]->drive->arm >= 0;
        slips = slips || any_slip(p->sweeps[i]);
    }
    if (blown) {
        panel_of_all(p, SNUB_MESSAGE("boost"), "kPa", true, boost);
        panel_of_all(p, SNUB_MESSAGE("blower power"), "kW", true, blower_power);
        panel_of_all(p, SNUB_MESSAGE("estimated crank power"), "kW", true, crank_power);
    }
    panel_of_all(p, SNUB_MESSAGE("worst grip used"), "", true, worst_grip);
    add_limit(p, &p->panels[p->panel_count - 1], SNUB_MESSAGE("design grip"),
              p->sweeps[0]->drive->limits[SNUB_LIMIT_GRIP_DESIGN], SNUB_INK_MARGINAL);
    if (slips) {
        panel_of_all(p, SNUB_MESSAGE("belt slip"), "%", true, worst_slip);
        panel_of_all(p, SNUB_MESSAGE("heat of slip"), "kW", true, heat);
    }
    if (arm)
        panel_of_all(p, SNUB_MESSAGE("arm angle from free"), "deg", false, wind);
}

/* Panels without a single finite value would leave the plot without axes. */
static bool has_value(const snub_panel *panel)
{
    for (int s = 0; s < panel->series_count; s++)
        for (int k = 0; k < panel->series[s].count; k++)
            if (isfinite(panel->series[s].y[k]))
                return true;
    return false;
}

static void drop_empty(plotter *p)
{
    int kept = 0;
    for (int i = 0; i < p->panel_count; i++)
        if (has_value(&p->panels[i]))
            p->panels[kept++] = p->panels[i];
    p->panel_count = kept;
}

static void in_unit(const snub_locale *locale, const char *unit, int count, double *values)
{
    for (int k = 0; k < count; k++)
        values[k] = snub_number_shown(locale, values[k], unit, 0).value;
}

/* Axes get round numbers of the reader's unit, so the curves are turned and not the labels. Each array is one line's
 * own. */
static void in_units(plotter *p, const snub_locale *locale)
{
    for (int i = 0; i < p->panel_count; i++) {
        snub_panel *panel = &p->panels[i];
        const char *shown = snub_number_shown(locale, 0, panel->unit, 0).unit;
        if (strcmp(shown, panel->unit) == 0)
            continue;
        for (int s = 0; s < panel->series_count; s++)
            in_unit(locale, panel->unit, panel->series[s].count, p->values[i][s]);
        panel->unit = shown;
    }
}

/* "low compressor; blower.diameter 79; wet belt: marginal" of one; of several the first says whether the belt is wet.
 */
static const char *build_note(plotter *p, const snub_locale *locale)
{
    const snub_sweep *sweep = p->sweeps[0];
    snub_text words = {0};
    if (p->count > 1)
        return sweep->friction < 1 ? said(p, SNUB_MESSAGE("Wet belt.")) : NULL;
    snub_row_words(&sweep->build->row, sweep->friction < 1, locale, &words);
    const char *note = snub_format(p->arena, "%s%s%s: %s", words.length > 0 ? words.data : "",
                                   words.length > 0 ? "; " : "", snub_say(locale, SNUB_MESSAGE("verdict")),
                                   snub_say(locale, snub_level_text(sweep->build->verdict)));
    p->failed = p->failed || note == NULL;
    snub_text_free(&words);
    return note;
}

snub_status snub_sweep_plot(const snub_sweep *const *sweeps, const char *const *names, int count,
                            const snub_locale *locale, snub_arena *arena, snub_drawing *drawing, snub_error *error)
{
    if (count < 1 || count > SNUB_SWEEP_PLOTS_MOST)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "a plot takes 1 to %d sweeps, not %d",
                         SNUB_SWEEP_PLOTS_MOST, count);
    plotter *p = SNUB_NEW(arena, plotter, 1);
    const snub_drive *drive = sweeps[0]->drive;
    const char *title =
        snub_format(arena, "%s%s%s", drive->title ? drive->title : snub_say(locale, SNUB_MESSAGE("sweep")),
                    count > 1 ? "" : ", ", count > 1 ? "" : sweeps[0]->build->designation);
    if (!p || !title)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    *p = (plotter){.sweeps = sweeps, .names = names, .count = count, .locale = locale, .arena = arena};
    if (count == 1)
        one_sweep(p);
    else
        several_sweeps(p);
    const char *notes[3], *own = build_note(p, locale);
    int note_count = 0;
    if (p->failed)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    in_units(p, locale);
    drop_empty(p);
    if (own != NULL)
        notes[note_count++] = own;
    notes[note_count++] =
        said(p, SNUB_MESSAGE("Steady running, nominal belt, arm friction at the middle, belt slip counted in."));
    if (sweeps[0]->blower >= 0)
        notes[note_count++] = said(
            p, SNUB_MESSAGE("Crank power is an estimate; its assumptions are below the table. Knock is not judged."));
    const snub_mark_line marks[] = {{SNUB_MESSAGE("idle"), drive->engine.idle / SNUB_RPM},
                                    {SNUB_MESSAGE("redline"), drive->engine.redline / SNUB_RPM}};
    const snub_plot plot = {.title = title,
                            .x_title = SNUB_MESSAGE("engine speed"),
                            .x_unit = "rpm",
                            .x_low = NAN,
                            .x_high = NAN,
                            .panel_count = p->panel_count,
                            .panels = p->panels,
                            .mark_count = 2,
                            .marks = marks,
                            .note_count = note_count,
                            .notes = notes,
                            .width = 190,
                            .height = 24 + 42.0 * p->panel_count};
    return snub_plot_draw(&plot, locale, arena, drawing, error);
}
