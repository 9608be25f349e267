/* A run for people. */
#include "table.h"
#include "words.h"

enum { EVENTS_SHOWN = 30 };
/* Times that are worth a line: the arm sticks and lets go all the time. */
static bool worth(const snub_run_event *e)
{
    return e->kind != SNUB_RUN_STICKS;
}

static void add_when(const snub_run_event *e, snub_text *out)
{
    if (e->count > 1)
        snub_text_printf(out, "%.3f to %.3f s, %.0f to %.0f rpm: ", e->from, e->to, e->speed[0] / SNUB_RPM,
                         e->speed[1] / SNUB_RPM);
    else
        snub_text_printf(out, "%.3f s, %.0f rpm: ", e->from, e->speed[0] / SNUB_RPM);
}

static void add_how_long(const snub_run_event *e, snub_text *out)
{
    if (e->count > 1)
        snub_text_printf(out, " %d times, at most %.1f ms", e->count, 1e3 * e->longest);
    else
        snub_text_printf(out, " for %.1f ms", 1e3 * e->longest);
}

/* "0.412 s, 3150 rpm: span crank - blower slack for 3.0 ms". */
static void add_event(const snub_drive *drive, const snub_run_event *e, const snub_look *look, snub_text *out)
{
    snub_text place = {0};
    snub_run_place_words(drive, e->kind, e->at, &place);
    const char *at = place.data != NULL ? place.data : "";
    add_when(e, out);
    switch (e->kind) {
    case SNUB_RUN_SLACK:
        snub_text_printf(out, "span %s slack", at);
        add_how_long(e, out);
        snub_text_printf(out, ", %s loose", SNUB_SHOWN(look, e->most, SNUB_UNIT_MM, 2));
        break;
    case SNUB_RUN_SLIPS:
        snub_text_printf(out, "belt slips on %s", at);
        add_how_long(e, out);
        snub_text_printf(out, ", up to %s", SNUB_SHOWN(look, e->most, SNUB_UNIT_M_S, 2));
        break;
    case SNUB_RUN_FREEWHEELS:
        snub_text_printf(out, "clutch of %s lets go", at);
        add_how_long(e, out);
        snub_text_printf(out, ", its shaft up to %.0f rpm faster", e->most / SNUB_RPM);
        break;
    case SNUB_RUN_GRINDS:
        snub_text_printf(out, "clutch of %s slips", at);
        add_how_long(e, out);
        snub_text_printf(out, ", up to %.0f rpm", e->most / SNUB_RPM);
        break;
    case SNUB_RUN_AT_REST:
    case SNUB_RUN_AT_STOP:
        snub_text_printf(out, "arm against its %s", e->kind == SNUB_RUN_AT_REST ? "free end" : "stop");
        add_how_long(e, out);
        break;
    default: snub_text_puts(out, "arm sticks"); add_how_long(e, out);
    }
    out->failed = out->failed || place.failed;
    snub_text_free(&place);
}

static void add_events(const snub_scenario_run *run, const snub_look *look, snub_text *out)
{
    const snub_run_result *r = &run->result;
    int shown = 0, left = 0;
    snub_text_puts(out, "\nWhat happens\n\n");
    for (int k = 0; k < r->event_count; k++) {
        snub_text line = {0};
        if (!worth(&r->events[k]))
            continue;
        left += shown == EVENTS_SHOWN;
        if (shown == EVENTS_SHOWN)
            continue;
        shown++;
        add_event(run->drive, &r->events[k], look, &line);
        snub_text_puts(&line, k == run->thrown
                                  ? ". The belt may be thrown: it hangs out by more than its thickness, for "
                                    "longer than it takes to run that span."
                                  : "");
        snub_wrap(line.data != NULL ? line.data : "", 0, 4, look->width, out);
        out->failed = out->failed || line.failed;
        snub_text_free(&line);
    }
    if (shown == 0)
        snub_text_puts(out, "Nothing slips, goes slack or strikes.\n");
    if (left > 0 || r->events_cut)
        snub_text_printf(out, "... and %d more: see --json\n", left);
}

static snub_status add_spans(const snub_scenario_run *run, const snub_look *look, snub_arena *arena, snub_text *out,
                             snub_error *error)
{
    static const snub_column metric[] = {{"span", "", SNUB_CELL_TEXT, 0},  {"least", "N", SNUB_CELL_NUMBER, 0},
                                         {"at", "s", SNUB_CELL_NUMBER, 3}, {"greatest", "N", SNUB_CELL_NUMBER, 0},
                                         {"at", "s", SNUB_CELL_NUMBER, 3}, {"slack", "%", SNUB_CELL_NUMBER, 1}};
    const int n = run->drive->pulley_count;
    snub_cell *cells = SNUB_NEW(arena, snub_cell, 6 * n);
    if (cells == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    for (int i = 0; i < n; i++) {
        const snub_run_range *r = &run->result.tension[i];
        const double numbers[] = {r->low, r->low_at, r->high, r->high_at,
                                  run->result.share[SNUB_RUN_SLACK][i] / SNUB_PERCENT};
        snub_text name = {0};
        snub_run_place_words(run->drive, SNUB_RUN_SLACK, i, &name);
        cells[6 * i] = snub_cell_text(snub_words_copy(&name, arena));
        for (int c = 0; c < 5; c++)
            cells[6 * i + 1 + c] = snub_cell_number(numbers[c], SNUB_MARK_NONE);
    }
    const snub_data_table table = {
        .name = "spans", .column_count = 6, .columns = metric, .row_count = n, .cells = cells};
    return snub_table_titled("Tension of the spans", &table, look, arena, out, error);
}

static snub_status add_pulleys(const snub_scenario_run *run, const snub_look *look, snub_arena *arena, snub_text *out,
                               snub_error *error)
{
    static const snub_column metric[] = {
        {"pulley", "", SNUB_CELL_TEXT, 0},       {"hub pull", "N", SNUB_CELL_NUMBER, 0},
        {"at", "s", SNUB_CELL_NUMBER, 3},        {"slips", "%", SNUB_CELL_NUMBER, 1},
        {"slip heat", "J", SNUB_CELL_NUMBER, 1}, {"at most", "kW", SNUB_CELL_NUMBER, 2}};
    const int n = run->drive->pulley_count;
    snub_cell *cells = SNUB_NEW(arena, snub_cell, 6 * n);
    if (cells == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    for (int i = 0; i < n; i++) {
        const snub_run_result *r = &run->result;
        const double numbers[] = {r->hub[i].high, r->hub[i].high_at, r->share[SNUB_RUN_SLIPS][i] / SNUB_PERCENT,
                                  r->slip_heat[i], r->slip_power[i] / SNUB_KW};
        cells[6 * i] = snub_cell_text(run->drive->pulleys[i].name);
        for (int c = 0; c < 5; c++)
            cells[6 * i + 1 + c] = snub_cell_number(numbers[c], SNUB_MARK_NONE);
    }
    const snub_data_table table = {
        .name = "pulleys", .column_count = 6, .columns = metric, .row_count = n, .cells = cells};
    return snub_table_titled("Pulleys: greatest pull at the hub, share of the time with slip, its heat", &table, look,
                             arena, out, error);
}

static void add_arm(const snub_scenario_run *run, const snub_look *look, snub_text *out)
{
    const int at = run->drive->arm;
    const snub_run_range *r = &run->result.wind;
    snub_text words = {0};
    if (at < 0)
        return;
    snub_text_printf(&words, "The arm swings between %.2f deg (%.3f s) and %.2f deg (%.3f s) from free",
                     r->low / SNUB_DEG, r->low_at, r->high / SNUB_DEG, r->high_at);
    snub_text_printf(&words, "; its friction holds it %.0f %% of the time.",
                     run->result.share[SNUB_RUN_STICKS][at] / SNUB_PERCENT);
    if (run->end.solved)
        snub_text_printf(&words, " It ends at %.2f deg; the balance there is %.2f deg.", run->end.wind / SNUB_DEG,
                         run->end.balance / SNUB_DEG);
    snub_text_puts(out, "\n");
    snub_wrap(words.data != NULL ? words.data : "", 0, 0, look->width, out);
    out->failed = out->failed || words.failed;
    snub_text_free(&words);
}

/* The clutch that closes: how long it takes, and what it does to itself and to the belt. */
static void add_clutch(const snub_scenario_run *run, const snub_look *look, snub_text *out)
{
    const snub_run_clutch *c = &run->clutch;
    const snub_run_result *r = &run->result;
    snub_text words = {0};
    if (!(c->torque > 0.0))
        return;
    snub_text_printf(&words, "The clutch of %s carries %s and closes from %.3f to %.3f s. ",
                     run->drive->pulleys[c->pulley].name, SNUB_SHOWN(look, c->torque, SNUB_UNIT_N_M, 1), c->closes,
                     c->closes + c->rise);
    if (isnan(r->locks))
        snub_text_puts(&words, "It does not hold before the run ends: it slips all the time. ");
    else
        snub_text_printf(&words, "It holds %.0f ms after it began, at %.3f s. ", 1e3 * (r->locks - c->closes),
                         r->locks);
    snub_text_printf(&words, "It takes %.0f J of heat, %s at most.", r->energy.clutch,
                     SNUB_SHOWN(look, r->clutch_power, SNUB_UNIT_KW, 2));
    snub_text_puts(out, "\n");
    snub_wrap(words.data != NULL ? words.data : "", 0, 0, look->width, out);
    out->failed = out->failed || words.failed;
    snub_text_free(&words);
}

/* A speed that no finding covers. */
static void add_outside(const snub_scenario_run *run, const snub_look *look, snub_text *out)
{
    const char *outside = snub_scenario_outside(run);
    const snub_engine *engine = &run->drive->engine;
    snub_text words = {0};
    if (outside == NULL)
        return;
    snub_text_printf(&words,
                     "This run is %s: %.0f rpm, and the file's engine runs from %.0f to %.0f rpm. The verdict does not "
                     "cover this speed.",
                     outside, run->course.speed[0] / SNUB_RPM, engine->idle / SNUB_RPM, engine->redline / SNUB_RPM);
    snub_text_puts(out, "\n");
    snub_wrap(words.data != NULL ? words.data : "", 0, 0, look->width, out);
    out->failed = out->failed || words.failed;
    snub_text_free(&words);
}

/* What the file does not say, and how far the run went. */
static void add_basis(const snub_scenario_run *run, const snub_look *look, snub_text *out)
{
    const snub_run_energy *e = &run->result.energy;
    snub_text words = {0};
    const char *between = "Assumed: ";
    for (unsigned bit = 1; bit <= SNUB_COURSE_ASSUMED_LAST; bit <<= 1) {
        if (run->course.assumed & bit) {
            snub_text_printf(&words, "%s%s", between, snub_course_assumed_text((snub_course_assumed)bit));
            between = "; ";
        }
    }
    snub_text_puts(&words, words.length > 0 ? ". " : "");
    if (run->even && !run->request.even)
        snub_text_printf(&words, "The crank turns evenly, for how unevenly it does is not known: %s. ",
                         run->vibration.uneven.why.message);
    else if (!run->even)
        snub_text_puts(&words, "The crank turns as unevenly as at full load all the time. ");
    if (run->started)
        snub_text_printf(
            &words, "Energy: %.0f J from the crank, %.0f J to the loads, heat: %.1f J creep, %.1f J slip, %.1f J arm. ",
            e->work, e->loads, e->creep, e->slip, e->arm + e->stops);
    snub_text_puts(&words, "Inertias that the file does not give are assumed: see snub motion without --run.");
    snub_text_puts(out, "\n");
    snub_wrap(words.data != NULL ? words.data : "", 0, 0, look->width, out);
    out->failed = out->failed || words.failed;
    snub_text_free(&words);
}

static snub_status add_result(const snub_scenario_run *run, const snub_look *look, snub_arena *arena, snub_text *out,
                              snub_error *error)
{
    if (!run->result.whole)
        snub_text_printf(out, "\nThe run ends early, at %.3f s: %s.\n", run->result.ended, run->result.why.message);
    add_events(run, look, out);
    snub_status status = add_spans(run, look, arena, out, error);
    if (status == SNUB_OK)
        status = add_pulleys(run, look, arena, out, error);
    add_clutch(run, look, out);
    add_arm(run, look, out);
    return status;
}

snub_status snub_text_scenario(const snub_scenario_run *run, const snub_look *look, snub_text *out, snub_error *error)
{
    snub_arena arena = {0};
    const snub_course *c = &run->course;
    snub_text_printf(out, "%s\nbelt %s", run->drive->title != NULL ? run->drive->title : "(no title)",
                     run->build->settled ? run->build->designation : "none");
    snub_belt_size_words(run->build, look->locale, out);
    snub_text_printf(out, ", nominal, warm\n%s: %s, %.2f s\n", snub_scenario_name(run->request.scenario),
                     snub_scenario_text(run->request.scenario), c->time[c->count - 1]);
    snub_status status = SNUB_OK;
    if (run->started) {
        status = add_result(run, look, &arena, out, error);
    } else {
        snub_text_printf(out, "\nThere is no balance to start from at %.0f rpm. ", c->speed[0] / SNUB_RPM);
        if (run->build->settled)
            snub_finding_sentence(&run->why, look->locale, out);
        snub_text_puts(out, "\n");
    }
    add_outside(run, look, out);
    add_basis(run, look, out);
    if (status == SNUB_OK && (arena.refused || out->failed))
        status = snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    snub_arena_free(&arena);
    snub_text_puts(out, "\n");
    snub_verdict_show(run->build, 0, look, out);
    return status;
}
