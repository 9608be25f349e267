/* A check for people: the build, pulleys, spans, arm, blower, findings, verdict. */
#include "cautions.h"
#include "snub/steps.h"
#include "table.h"
#include "words.h"

#include <string.h>

/* A line "word    rest", wrapped under its own beginning. */
static void say(const char *word, const snub_look *look, snub_text *out, const char *format, ...)
    __attribute__((format(printf, 4, 5)));
static void say(const char *word, const snub_look *look, snub_text *out, const char *format, ...)
{
    enum { INDENT = 11 };
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
#include <stdio.h>

static void add_belt(const snub_build *build, const snub_state *state, const snub_look *look, snub_text *out)
{
    const snub_drive *drive = build->drive;
    snub_text line = {0}, why = {0};
    snub_text_puts(&line, build->settled ? build->designation : "none");
    snub_belt_size_words(build, look->locale, &line);
    if (build->own_number != NULL)
        snub_text_printf(&line, ", own number %s", build->own_number);
    snub_text_printf(&line, "%s%s%s", build->part != NULL ? ", part " : "", build->part != NULL ? build->part : "",
                     build->settled && build->length_chosen ? " (chosen)" : "");
    for (int i = 0; i < drive->pulley_count; i++) {
        const double set = i == drive->locked ? state->fixed_setting : build->settings[i];
        if (drive->pulleys[i].sits == SNUB_ON_SLOT && isfinite(set))
            snub_text_printf(&line, "; %s at %s of its slot's %s%s", drive->pulleys[i].name,
                             SNUB_SHOWN(look, set, SNUB_UNIT_MM, 1),
                             SNUB_SHOWN(look, drive->pulleys[i].slot.length, SNUB_UNIT_MM, 1),
                             build->setting_chosen[i] ? " (chosen)" : "");
    }
    say("belt", look, out, "%s", line.data ? line.data : "");
    snub_why_words(build, NULL, &why);
    if (why.length > 0)
        say("", look, out, "%s", why.data);
    out->failed = out->failed || line.failed || why.failed;
    snub_text_free(&line);
    snub_text_free(&why);
}

void snub_state_words(const snub_drive *drive, const snub_state *state, snub_text *out)
{
    static const char *const sides[] = {"low", "at the middle of its band", "high"};
    const snub_wanted_state *w = &state->wanted;
    if (state->engine_speed > 0)
        snub_text_printf(out, "%.0f rpm", state->engine_speed / SNUB_RPM);
    else
        snub_text_puts(out, "engine stopped");
    if (state->engine_speed > 0 && w->way != SNUB_STEADY)
        snub_text_printf(out, ", %s", snub_way_text(w->way));
    if (state->rate != 0)
        snub_text_printf(out, ", %+.0f rpm/s", state->rate / SNUB_RPM);
    snub_text_printf(out, ", %s", snub_shown_belt_text(w->belt));
    if (w->peak != NULL && w->peak[0] != '\0')
        snub_text_printf(out, ", %s at its torque peak", w->peak);
    else if (w->peak != NULL)
        snub_text_puts(out, ", all loads at their torque peaks");
    if (w->warmth != SNUB_ANY_WARMTH)
        snub_text_puts(out, w->warmth == SNUB_WARM ? ", warm" : ", cold");
    if (drive->arm >= 0)
        snub_text_printf(out, ", arm friction %s", sides[w->side + 1]);
}

/* Which of the cases is shown. */
static void add_state(const snub_drive *drive, const snub_state *state, const snub_look *look, snub_text *out)
{
    snub_text line = {0};
    snub_state_words(drive, state, &line);
    if (!line.failed)
        say("state", look, out, "%s", line.data);
    out->failed = out->failed || line.failed;
    snub_text_free(&line);
}

/* Values that the file gives as ranges. */
static void add_ranges(const snub_drive *drive, const snub_look *look, snub_text *out)
{
    for (const snub_range *range = drive->ranges; range != NULL; range = range->next) {
        const char *blank = range->unit[0] != '\0' ? " " : "";
        say("range", look, out,
            "%s %s to %s%s%s: judged at both ends, the others in their middles; the numbers here are of "
            "the middle",
            range->path, range->end[0], range->end[1], blank, range->unit);
    }
}

static void add_heading(const snub_build *build, const snub_state *state, const snub_look *look, snub_text *out)
{
    const snub_drive *drive = build->drive;
    snub_text row = {0}, shims = {0};
    snub_text_printf(out, "%s\n", drive->title ? drive->title : "(no title)");
    snub_row_words(&build->row, false, look->locale, &row);
    if (row.length > 0)
        say("build", look, out, "%s", row.data);
    snub_text_free(&row);
    add_belt(build, state, look, out);
    add_ranges(drive, look, out);
    snub_shim_words(&build->findings, NULL, &shims);
    if (shims.length > 0)
        say("shims", look, out, "%s; the verdict includes them", shims.data);
    out->failed = out->failed || shims.failed;
    snub_text_free(&shims);
    if (!state->solved)
        return;
    add_state(drive, state, look, out);
}

static snub_status add_pulleys(const snub_drive *drive, const snub_state *state, const snub_look *look, snub_text *out,
                               snub_error *error)
{
    static const snub_column columns[] = {
        {"pulley", "", SNUB_CELL_TEXT, 0},          {"wrap", "deg", SNUB_CELL_NUMBER, 1},
        {"  speed", "  rpm", SNUB_CELL_TEXT, 0},    {"torque", "N m", SNUB_CELL_NUMBER, 2},
        {"tension in", "N", SNUB_CELL_NUMBER, 0},   {"tension out", "N", SNUB_CELL_NUMBER, 0},
        {"grip", "used", SNUB_CELL_NUMBER, 2},      {"hub load", "N", SNUB_CELL_NUMBER, 0},
        {"load angle", "deg", SNUB_CELL_NUMBER, 0}, {"creep", "%", SNUB_CELL_NUMBER, 2},
    };
    enum { COLUMNS = sizeof columns / sizeof columns[0] };
    snub_cell cells[SNUB_PULLEYS_MOST * COLUMNS], *cell = cells;
    char speeds[SNUB_PULLEYS_MOST][24];
    for (int i = 0; i < drive->pulley_count; i++) {
        const snub_pulley_state *p = &state->balance.pulley[i];
        snprintf(speeds[i], sizeof speeds[i], "%5.0f %s", fabs(p->speed) / SNUB_RPM,
                 state->balance.path.radius[i] > 0 ? "cw" : "ccw");
        *cell++ = snub_cell_text(drive->pulleys[i].name);
        *cell++ = snub_cell_plain(p->wrap / SNUB_DEG);
        *cell++ = snub_cell_text(speeds[i]);
        *cell++ = snub_cell_plain(p->torque);
        *cell++ = snub_cell_plain(p->entry);
        *cell++ = snub_cell_plain(p->exit);
        *cell++ = snub_cell_plain(p->grip_design);
        *cell++ = snub_cell_plain(hypot(p->hub[0], p->hub[1]));
        *cell++ = snub_cell_plain(atan2(p->hub[1], p->hub[0]) / SNUB_DEG);
        *cell++ = snub_cell_plain(p->creep / SNUB_PERCENT);
    }
    snub_data_table table = {.name = "pulleys",
                             .column_count = COLUMNS,
                             .columns = columns,
                             .row_count = drive->pulley_count,
                             .cells = cells};
    snub_text_puts(out, "\n");
    return snub_table_show(&table, look, out, error);
}

static snub_status add_spans(const snub_drive *drive, const snub_state *state, const snub_look *look, snub_text *out,
                             snub_error *error)
{
    static const snub_column columns[] = {{"span from", "", SNUB_CELL_TEXT, 0},
                                          {"to", "", SNUB_CELL_TEXT, 0},
                                          {"length", "mm", SNUB_CELL_NUMBER, 1},
                                          {"tension", "N", SNUB_CELL_NUMBER, 0},
                                          {"frequency", "Hz", SNUB_CELL_NUMBER, 1}};
    enum { COLUMNS = sizeof columns / sizeof columns[0] };
    snub_cell cells[SNUB_PULLEYS_MOST * COLUMNS], *cell = cells;
    for (int i = 0; i < drive->pulley_count; i++) {
        *cell++ = snub_cell_text(drive->pulleys[i].name);
        *cell++ = snub_cell_text(drive->pulleys[(i + 1) % drive->pulley_count].name);
        *cell++ = snub_cell_plain(state->balance.path.span[i] / SNUB_MM);
        *cell++ = snub_cell_plain(state->balance.span_tension[i]);
        *cell++ = snub_cell_plain(state->balance.span_frequency[i]);
    }
    snub_data_table table = {
        .name = "spans", .column_count = COLUMNS, .columns = columns, .row_count = drive->pulley_count, .cells = cells};
    snub_text_puts(out, "\n");
    return snub_table_show(&table, look, out, error);
}

static void add_arm(const snub_build *build, const snub_state *state, const snub_look *look, snub_text *out)
{
    const snub_equilibrium *now = &state->balance.equilibrium;
    snub_text_puts(out, "\n");
    say("speed", look, out, "belt %s, pitch length %s, centrifugal tension %s",
        SNUB_SHOWN(look, now->belt_speed, SNUB_UNIT_M_S, 1),
        SNUB_SHOWN(look, state->balance.path.length, SNUB_UNIT_MM, 1),
        SNUB_SHOWN(look, now->centrifugal, SNUB_UNIT_N, 0));
    if (build->drive->arm >= 0) {
        const snub_arm *arm = &build->drive->pulleys[build->drive->arm].arm;
        say("arm", look, out,
            "%.1f deg from free (%.1f to %.1f with friction), %.1f deg of travel left, %s; %.1f deg with "
            "the engine stopped; work range %.0f to %.0f deg",
            now->wind / SNUB_DEG, fmin(state->wind_band[0], state->wind_band[1]) / SNUB_DEG,
            fmax(state->wind_band[0], state->wind_band[1]) / SNUB_DEG, (arm->travel - now->wind) / SNUB_DEG,
            SNUB_SHOWN(look, state->balance.spring_moment, SNUB_UNIT_N_M, 1), build->wind_rest / SNUB_DEG,
            arm->work[0] / SNUB_DEG, arm->work[1] / SNUB_DEG);
    }
}

/* How a tension that is set fades, and when it is set again. */
static void add_fixed_tension(const snub_build *build, const snub_look *look, snub_text *out)
{
    snub_retension r;
    snub_expectation expect;
    snub_text fades = {0};
    snub_retension_find(build, &r);
    if (!r.given)
        return;
    snub_expect(build, &expect);
    if (!expect.known || expect.span < 0)
        return;
    const snub_drive *drive = build->drive;
    say("tension", look, out, "set %s in every span, cold, engine stopped: %.1f Hz from %s to %s",
        SNUB_SHOWN(look, r.set, SNUB_UNIT_N, 0), expect.frequency[1], drive->pulleys[expect.span].name,
        drive->pulleys[(expect.span + 1) % drive->pulley_count].name);
    if (isfinite(r.warm))
        snub_text_printf(&fades, "%s warm; ", SNUB_SHOWN(look, r.warm, SNUB_UNIT_N, 0));
    if (isfinite(r.worn))
        snub_text_printf(&fades, "%s worn if it is not set again; ", SNUB_SHOWN(look, r.worn, SNUB_UNIT_N, 0));
    if (isfinite(r.again))
        snub_text_printf(&fades, "set it again when it reads under %s, %.1f Hz, cold",
                         SNUB_SHOWN(look, r.again, SNUB_UNIT_N, 0), snub_expected_frequency(&expect, r.again));
    else
        snub_text_puts(&fades, "no lower tension holds over the rev range");
    if (!fades.failed)
        say("", look, out, "%s", fades.data);
    snub_text_free(&fades);
}

/* Boost is spoken of in psi in many metric shops as well. */
static const char *in_psi(const snub_look *look, double pressure, char text[SNUB_VALUE_TEXT])
{
    text[0] = '\0';
    if (look->locale == NULL || !look->locale->inches)
        snprintf(text, SNUB_VALUE_TEXT, " (%.1f psi)", pressure / SNUB_PSI);
    return text;
}

static void add_blower(const snub_build *build, const snub_state *state, const snub_look *look, snub_text *out)
{
    const snub_match_result *match = &state->match;
    if (!state->has_match)
        return;
    say("blower", look, out, "boost %s%s at %.0f rpm of the engine, %.0f rpm of the rotor; takes %s, %s",
        SNUB_SHOWN(look, match->boost, SNUB_UNIT_KPA, 1), in_psi(look, match->boost, (char[SNUB_VALUE_TEXT]){0}),
        state->engine_speed / SNUB_RPM, match->rotor_speed / SNUB_RPM, SNUB_SHOWN(look, match->power, SNUB_UNIT_KW, 1),
        SNUB_SHOWN(look, match->torque, SNUB_UNIT_N_M, 1));
    say("", look, out, "air %s out of the blower, %s into the engine, %s",
        SNUB_SHOWN(look, match->outlet_temperature, SNUB_UNIT_DEGC, 0),
        SNUB_SHOWN(look, match->charge_temperature, SNUB_UNIT_DEGC, 0),
        SNUB_SHOWN(look, match->mass_flow, SNUB_UNIT_KG_S, 3));
    snub_text words = {0};
    snub_blower_assumptions(&build->drive->pulleys[build->loads.blower].blower, look->locale, &words);
    if (words.length > 0)
        say("", look, out, "%s", words.data + 1);
    snub_text_free(&words);
}

/* Of all cases, whatever state is shown. */
static void add_range(const snub_build *build, const snub_look *look, snub_text *out)
{
    if (!build->laid)
        return;
    if (isfinite(build->tightest_gap))
        say("clearance", look, out, "least %s, belt flap taken off%s",
            SNUB_SHOWN(look, build->tightest_gap, SNUB_UNIT_MM, 1),
            build->drive->arm >= 0 ? ", over the arm's working travel" : "");
    if (isfinite(build->worst_grip))
        say("grip", look, out, "worst %.2f of design, at %.0f rpm", build->worst_grip,
            build->worst_grip_speed / SNUB_RPM);
}

/* What bears on the crank nose and on driven shafts, for their makers to be asked. */
static void add_hubs(const snub_build *build, const snub_look *look, snub_text *out)
{
    const snub_drive *drive = build->drive;
    const char *word = "hub loads";
    for (int i = 0; build->hubs != NULL && i < drive->pulley_count; i++) {
        const snub_hub_pull *hub = &build->hubs[i];
        snub_text line = {0};
        if (!hub->met || !snub_hub_is_told(drive, i))
            continue;
        snub_text_printf(&line, "%s at most %s towards %.0f deg, ", drive->pulleys[i].name,
                         SNUB_SHOWN(look, hypot(hub->force[0], hub->force[1]), SNUB_UNIT_N, 0),
                         atan2(hub->force[1], hub->force[0]) / SNUB_DEG);
        snub_condition_words(&hub->at, look->locale, &line);
        if (drive->pulleys[i].max_hub > 0.0)
            snub_text_printf(&line, "; %s allowed", SNUB_SHOWN(look, drive->pulleys[i].max_hub, SNUB_UNIT_N, 0));
        say(word, look, out, "%s", line.data != NULL ? line.data : "");
        out->failed = out->failed || line.failed;
        snub_text_free(&line);
        word = "";
    }
    if (build->hubs == NULL || isnan(build->nose_torque))
        return;
    const double allowed = drive->pulleys[drive->crank].max_torque;
    snub_text line = {0};
    snub_text_printf(&line, "at most %s through the crank nose, ",
                     SNUB_SHOWN(look, build->nose_torque, SNUB_UNIT_N_M, 1));
    snub_condition_words(&build->nose_at, look->locale, &line);
    if (allowed > 0.0)
        snub_text_printf(&line, "; %s allowed", SNUB_SHOWN(look, allowed, SNUB_UNIT_N_M, 1));
    say("crank", look, out, "%s", line.data != NULL ? line.data : "");
    out->failed = out->failed || line.failed;
    snub_text_free(&line);
}

snub_status snub_text_check(const snub_build *build, const snub_state *state, const snub_look *look, snub_text *out,
                            snub_error *error)
{
    snub_status status = SNUB_OK;
    add_heading(build, state, look, out);
    if (state->solved) {
        status = add_pulleys(build->drive, state, look, out, error);
        if (status == SNUB_OK)
            status = add_spans(build->drive, state, look, out, error);
        add_arm(build, state, look, out);
        add_blower(build, state, look, out);
    } else if (build->laid) {
        snub_text why = {0};
        snub_finding_sentence(&state->why, look->locale, &why);
        snub_text_puts(out, "\n");
        say("state", look, out, "%s", why.data ? why.data : "");
        snub_text_free(&why);
    }
    add_fixed_tension(build, look, out);
    add_range(build, look, out);
    add_hubs(build, look, out);
    if (snub_areas_count(build, SNUB_AREAS_OF_CHECK) > 0)
        snub_text_puts(out, "\n");
    snub_findings_show(&build->findings, SNUB_AREAS_OF_CHECK, look, out);
    snub_text_puts(out, "\n");
    snub_cautions_show(SNUB_CAUTION_BIT(SNUB_CAUTION_STOPPED) | snub_cautions_advised(build, SNUB_AREAS_OF_CHECK), look,
                       out);
    snub_verdict_show(build, SNUB_AREAS_OF_CHECK, look, out);
    if (status == SNUB_OK && out->failed)
        status = snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    return status;
}
