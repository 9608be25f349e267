/* A check for people: the build, pulleys, spans, arm, blower, findings, verdict. */
#include "snub/report.h"

#include <string.h>

static const double DEG = 180 / SNUB_PI;
static const double RPM = 30 / SNUB_PI;

static void add_heading(const snub_check *check, snub_text *out)
{
    const snub_drive *drive = check->drive;
    snub_text_printf(out, "%s\n", drive->title ? drive->title : "(no title)");
    snub_text_printf(out, "belt %s%s", check->designation[0] ? check->designation : "not chosen",
                     check->length_chosen ? " (chosen from stock)" : "");
    for (int i = 0; i < drive->pulley_count; i++) {
        if (drive->pulleys[i].sits == SNUB_ON_SLOT && isfinite(check->settings[i]))
            snub_text_printf(out, "; %s at %.1f mm of its slot's %.1f mm", drive->pulleys[i].name,
                             check->settings[i] * 1e3, drive->pulleys[i].slot.length * 1e3);
    }
    snub_text_puts(out, "\n");
    if (!check->laid)
        return;
    if (check->engine_speed > 0)
        snub_text_printf(out, "state %.0f rpm", check->engine_speed * RPM);
    else
        snub_text_puts(out, "state engine at rest");
    if (check->rate != 0)
        snub_text_printf(out, ", %+.0f rpm/s", check->rate * RPM);
    snub_text_printf(out, ", nominal belt%s\n",
                     check->drive->arm >= 0 ? ", arm friction at the middle of its band" : "");
}

static snub_cell shown_grip(double grip)
{
    return snub_cell_number(grip, SNUB_MARK_NONE); /* an infinite one is left empty; the findings say slack */
}

static snub_status add_pulleys(const snub_check *check, const snub_look *look, snub_text *out, snub_error *error)
{
    static const snub_column columns[] = {
        {"pulley", "", SNUB_CELL_TEXT, 0},        {"turns", "", SNUB_CELL_TEXT, 0},
        {"wrap", "deg", SNUB_CELL_NUMBER, 1},     {"speed", "rpm", SNUB_CELL_NUMBER, 0},
        {"torque", "N m", SNUB_CELL_NUMBER, 2},   {"enters", "N", SNUB_CELL_NUMBER, 0},
        {"leaves", "N", SNUB_CELL_NUMBER, 0},     {"grip", "used", SNUB_CELL_NUMBER, 2},
        {"hub", "N", SNUB_CELL_NUMBER, 0},        {"hub", "deg", SNUB_CELL_NUMBER, 0},
        {"creep", "%", SNUB_CELL_NUMBER, 2},
    };
    enum { COLUMNS = sizeof columns / sizeof columns[0] };
    snub_cell cells[SNUB_PULLEYS_MOST * COLUMNS], *cell = cells;
    const snub_drive *drive = check->drive;
    for (int i = 0; i < drive->pulley_count; i++) {
        const snub_pulley_state *state = &check->balance.pulley[i];
        *cell++ = snub_cell_text(drive->pulleys[i].name);
        *cell++ = snub_cell_text(check->balance.path.radius[i] > 0 ? "cw" : "ccw");
        *cell++ = snub_cell_number(state->wrap * DEG, SNUB_MARK_NONE);
        *cell++ = snub_cell_number(fabs(state->speed) * RPM, SNUB_MARK_NONE);
        *cell++ = snub_cell_number(state->torque, SNUB_MARK_NONE);
        *cell++ = snub_cell_number(state->entry, SNUB_MARK_NONE);
        *cell++ = snub_cell_number(state->exit, SNUB_MARK_NONE);
        *cell++ = shown_grip(state->grip_design);
        *cell++ = snub_cell_number(hypot(state->hub[0], state->hub[1]), SNUB_MARK_NONE);
        *cell++ = snub_cell_number(atan2(state->hub[1], state->hub[0]) * DEG, SNUB_MARK_NONE);
        *cell++ = snub_cell_number(state->creep * 100, SNUB_MARK_NONE);
    }
    snub_sheet_table table = {.name = "pulleys", .column_count = COLUMNS, .columns = columns,
                              .row_count = drive->pulley_count, .cells = cells};
    snub_text_puts(out, "\n");
    return snub_table_show(&table, look, out, error);
}

static snub_status add_spans(const snub_check *check, const snub_look *look, snub_text *out, snub_error *error)
{
    static const snub_column columns[] = {{"span from", "", SNUB_CELL_TEXT, 0},
                                          {"to", "", SNUB_CELL_TEXT, 0},
                                          {"length", "mm", SNUB_CELL_NUMBER, 1},
                                          {"tension", "N", SNUB_CELL_NUMBER, 0},
                                          {"frequency", "Hz", SNUB_CELL_NUMBER, 1}};
    enum { COLUMNS = sizeof columns / sizeof columns[0] };
    snub_cell cells[SNUB_PULLEYS_MOST * COLUMNS], *cell = cells;
    const snub_drive *drive = check->drive;
    for (int i = 0; i < drive->pulley_count; i++) {
        *cell++ = snub_cell_text(drive->pulleys[i].name);
        *cell++ = snub_cell_text(drive->pulleys[(i + 1) % drive->pulley_count].name);
        *cell++ = snub_cell_number(check->balance.path.span[i] * 1e3, SNUB_MARK_NONE);
        *cell++ = snub_cell_number(check->balance.span_tension[i], SNUB_MARK_NONE);
        *cell++ = snub_cell_number(check->balance.span_frequency[i], SNUB_MARK_NONE);
    }
    snub_sheet_table table = {.name = "spans", .column_count = COLUMNS, .columns = columns,
                              .row_count = drive->pulley_count, .cells = cells};
    snub_text_puts(out, "\n");
    return snub_table_show(&table, look, out, error);
}

/* A line "word    rest", wrapped under its own beginning. */
static void say(const char *word, const snub_look *look, snub_text *out, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
static void say(const char *word, const snub_look *look, snub_text *out, const char *format, ...)
{
    enum { INDENT = 8 };
    snub_text line = {0};
    va_list arguments;
    va_start(arguments, format);
    snub_text_vprintf(&line, format, arguments);
    va_end(arguments);
    snub_text_printf(out, "%-*s", INDENT, word);
    snub_wrap(line.data ? line.data : "", INDENT, INDENT, look->width, out);
    out->failed = out->failed || line.failed;
    snub_text_free(&line);
}

static void add_arm(const snub_check *check, const snub_look *look, snub_text *out)
{
    const snub_equilibrium *now = &check->balance.equilibrium;
    snub_text_puts(out, "\n");
    say("belt", look, out, "%.1f m/s, %.1f mm along the pitch line, centrifugal tension %.0f N", now->belt_speed,
        check->balance.path.length * 1e3, now->centrifugal);
    if (check->drive->arm >= 0) {
        const snub_arm *arm = &check->drive->pulleys[check->drive->arm].arm;
        say("arm", look, out,
            "%.1f deg from rest (%.1f to %.1f with friction), %.1f deg to its stop, %.1f N m; %.1f deg with the "
            "engine at rest; it is to work from %.0f to %.0f deg",
            now->wind * DEG, fmin(check->wind_band[0], check->wind_band[1]) * DEG,
            fmax(check->wind_band[0], check->wind_band[1]) * DEG, (arm->travel - now->wind) * DEG,
            check->balance.spring_moment, check->rest.equilibrium.wind * DEG, arm->work[0] * DEG, arm->work[1] * DEG);
    }
    if (isfinite(check->tightest_gap))
        say("gap", look, out, "tightest %.1f mm, belt flap taken off", check->tightest_gap * 1e3);
    if (isfinite(check->worst_grip))
        say("grip", look, out, "worst %.2f of design, at %.0f rpm", check->worst_grip, check->worst_grip_speed * RPM);
}

static void add_blower(const snub_loads *loads, const snub_look *look, snub_text *out)
{
    if (!loads || !loads->match || loads->speeds < 1 || !(loads->speed[loads->speeds - 1] > 0))
        return;
    const snub_match_result *match = &loads->match[loads->speeds - 1];
    say("blower", look, out,
        "boost %.1f kPa (%.1f psi) at %.0f rpm of the engine, %.0f rpm of the rotor; takes %.1f kW, %.1f N m",
        match->boost * 1e-3, match->boost / 6894.757293, loads->speed[loads->speeds - 1] * RPM,
        match->rotor_speed * RPM, match->power * 1e-3, match->torque);
    say("", look, out, "air %.0f degC out of the blower, %.0f degC into the engine, %.3f kg/s",
        match->outlet_temperature - 273.15, match->charge_temperature - 273.15, match->mass_flow);
}

static void add_verdict(const snub_check *check, const snub_look *look, snub_text *out)
{
    int counts[SNUB_FAIL + 1] = {0};
    for (int i = 0; i < check->findings.count; i++)
        counts[check->findings.items[i].level]++;
    snub_text_puts(out, "\nverdict ");
    snub_level_show(snub_findings_verdict(&check->findings), look, 0, out);
    snub_text_printf(out, " (%d fail, %d watch, %d note)\n", counts[SNUB_FAIL], counts[SNUB_WATCH], counts[SNUB_NOTE]);
}

snub_status snub_text_check(const snub_check *check, const snub_loads *loads, const snub_look *look, snub_text *out,
                            snub_error *error)
{
    snub_status status = SNUB_OK;
    add_heading(check, out);
    if (check->laid) {
        status = add_pulleys(check, look, out, error);
        if (status == SNUB_OK)
            status = add_spans(check, look, out, error);
        add_arm(check, look, out);
        add_blower(loads, look, out);
    }
    if (check->findings.count > 0)
        snub_text_puts(out, "\n");
    snub_findings_show(&check->findings, look, out);
    add_verdict(check, look, out);
    if (status == SNUB_OK && out->failed)
        status = snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    return status;
}
