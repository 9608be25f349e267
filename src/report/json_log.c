/* `snub log --json`, and the slips as a table. */
#include <math.h>

#include "json_words.h"
#include "log_words.h"
#include "table.h"

static void count(json_t *object, const char *key, long value)
{
    snub_json_put(object, key, json_integer(value));
}

static void say(json_t *object, const char *key, const char *text)
{
    snub_json_put(object, key, snub_json_words(text));
}

static json_t *rows_of(const snub_log_answer *answer)
{
    const snub_log_rows *rows = answer->rows;
    json_t *o = json_object();
    count(o, "lines", rows->lines);
    count(o, "header_line", rows->header);
    count(o, "read", rows->read);
    count(o, "used", rows->used);
    count(o, "bad", rows->bad);
    count(o, "time_still", rows->still);
    count(o, "parts", rows->parts);
    snub_json_put_number(o, "seconds", rows->seconds);
    count(o, "samples", answer->samples);
    count(o, "unpaired", answer->unpaired);
    count(o, "spikes", answer->spikes);
    snub_json_put(o, "gzip", json_boolean(rows->zipped));
    return o;
}

static json_t *bad_rows_of(const snub_log_rows *rows)
{
    static const char *const ids[] = {"fields", "not_a_number", "out_of_range", "no_time"};
    json_t *o = json_object(), *reasons = json_object(), *first = json_array();
    count(o, "count", rows->bad);
    for (int i = 0; i < SNUB_LOG_FAULTS; i++)
        count(reasons, ids[i], rows->bad_of[i]);
    for (long i = 0; i < rows->bad && i < SNUB_LOG_BAD_MOST; i++) {
        const snub_log_bad *bad = &rows->first_bad[i];
        json_t *one = json_object();
        count(one, "line", bad->line);
        say(one, "reason", ids[bad->fault]);
        say(one, "column", bad->channel < SNUB_LOG_CHANNELS ? snub_log_words[bad->channel] : NULL);
        say(one, "text", bad->text);
        snub_json_append(first, one);
    }
    snub_json_put(o, "reasons", reasons);
    snub_json_put(o, "first", first);
    return o;
}

static json_t *columns_of(const snub_log_rows *rows)
{
    json_t *list = json_array();
    for (int c = 0; c < SNUB_LOG_CHANNELS; c++) {
        const snub_log_column *column = &rows->column[c];
        json_t *o;
        if (column->number == 0)
            continue;
        o = json_object();
        say(o, "column", snub_log_words[c]);
        count(o, "number", column->number);
        say(o, "name", rows->header > 0 ? column->name : NULL);
        say(o, "unit", column->clock ? "h:m:s" : c == SNUB_LOG_THROTTLE ? NULL : column->unit);
        snub_json_put(o, "unit_assumed", json_boolean(column->assumed && !column->clock));
        snub_json_append(list, o);
    }
    return list;
}

static json_t *ripple_of(const snub_log_calibration *c)
{
    const snub_log_ripple *r = &c->ripple;
    if (c->source != SNUB_LOG_BY_RIPPLE)
        return json_null();
    json_t *o = json_object();
    snub_json_put_number(o, "pulses_per_turn", r->pulses);
    snub_json_put_number(o, "rows_per_s", r->rate);
    snub_json_put_number(o, "rows_per_s_needed", r->rate_needed);
    count(o, "stretches", r->windows);
    count(o, "too_fast", r->fast);
    count(o, "on_engine_order", r->engines);
    count(o, "no_peak", r->weak);
    return o;
}

static json_t *calibration_of(const snub_log_answer *answer)
{
    const snub_log_calibration *c = &answer->calibration;
    json_t *o = json_object();
    const bool boost = c->source == SNUB_LOG_BY_BOOST;
    say(o, "from", snub_log_source_words[c->source]);
    count(o, "samples", c->samples);
    snub_json_put_number(o, "ratio", c->ratio);
    snub_json_put_number(o, "build_ratio", answer->model->ratio);
    snub_json_put_number(o, "offset_pct", c->offset / SNUB_PERCENT);
    say(o, "fits", snub_log_fit_id(c->fit));
    say(o, "fits_option", c->offer);
    snub_json_put(o, "fits_teeth",
                  c->fit == SNUB_LOG_FITS_TEETH ? snub_json_pair(c->teeth[0], c->teeth[1]) : json_null());
    snub_json_put_number(o, "lag_s", c->lag);
    snub_json_put_number(o, "lag_error_s", c->lag_error);
    snub_json_put(o, "lag_taken_out", json_boolean(c->lag_taken));
    snub_json_put_number(o, "noise_pct", c->noise / SNUB_PERCENT);
    snub_json_put_number(o, "mean_noise_pct", c->mean_noise / SNUB_PERCENT);
    snub_json_put_number(o, "samples_per_s", c->rate);
    snub_json_put_number(o, "window_s", c->window);
    snub_json_put_number(o, "threshold_pct", c->threshold / SNUB_PERCENT);
    snub_json_put_number(o, "least_slip_pct", c->least / SNUB_PERCENT);
    snub_json_put_number(o, "stray_pct", boost ? c->bias / SNUB_PERCENT : (double)NAN);
    snub_json_put(o, "engine_rpm",
                  boost ? snub_json_pair(c->usable[0] / SNUB_RPM, c->usable[1] / SNUB_RPM) : json_null());
    snub_json_put(o, "ripple", ripple_of(c));
    count(o, "not_open", c->shut);
    count(o, "tell_nothing", c->blunt);
    snub_json_put(o, "drift_pct", snub_json_pair(c->drift[0] / SNUB_PERCENT, c->drift[1] / SNUB_PERCENT));
    return o;
}

static json_t *pulls_of(const snub_log_pull *pulls, int pull_count)
{
    json_t *list = json_array();
    for (int i = 0; i < pull_count; i++) {
        json_t *o = json_object();
        snub_json_put_number(o, "start_s", pulls[i].start);
        snub_json_put_number(o, "end_s", pulls[i].end);
        snub_json_put_number(o, "start_rpm", pulls[i].engine[0] / SNUB_RPM);
        snub_json_put_number(o, "end_rpm", pulls[i].engine[1] / SNUB_RPM);
        snub_json_append(list, o);
    }
    return list;
}

static const char *pulley_of(const snub_log_answer *answer, const snub_log_slip *slip)
{
    const snub_drive *drive = answer->model->build->drive;
    return slip->says == SNUB_LOG_SAYS_NOTHING
               ? NULL
               : drive->pulleys[slip->at_crank ? drive->crank : answer->model->blower].name;
}

static json_t *slip_of(const snub_log_answer *answer, const snub_log_slip *slip, const snub_locale *locale)
{
    json_t *o = json_object();
    snub_text words = {0};
    count(o, "line", slip->line);
    count(o, "part", slip->part);
    snub_json_put(o, "runs_on", json_boolean(slip->runs_on));
    snub_json_put_number(o, "start_s", slip->start);
    snub_json_put_number(o, "end_s", slip->end);
    snub_json_put(o, "plot_s", snub_json_pair(slip->elapsed[0], slip->elapsed[1]));
    snub_json_put_number(o, "start_rpm", slip->engine[0] / SNUB_RPM);
    snub_json_put_number(o, "end_rpm", slip->engine[1] / SNUB_RPM);
    snub_json_put_number(o, "mean_pct", slip->mean / SNUB_PERCENT);
    snub_json_put_number(o, "mean_error_pct", slip->error / SNUB_PERCENT);
    snub_json_put_number(o, "worst_pct", slip->worst / SNUB_PERCENT);
    snub_json_put_number(o, "worst_rpm", slip->worst_engine / SNUB_RPM);
    snub_json_put_number(o, "heat_J", slip->heat);
    snub_json_put_number(o, "boost_kPa", slip->boost / SNUB_KPA);
    snub_json_put_number(o, "file_boost_kPa", slip->model_boost / SNUB_KPA);
    snub_json_put_number(o, "charge_temperature_degC", slip->charge - SNUB_ZERO_CELSIUS);
    snub_json_put_number(o, "file_charge_temperature_degC", slip->model_charge - SNUB_ZERO_CELSIUS);
    say(o, "state", snub_way_text(slip->way));
    say(o, "likely_pulley", pulley_of(answer, slip));
    snub_json_put_number(o, "crank_grip_used_limit", slip->crank_grip);
    snub_json_put_number(o, "blower_grip_used_limit", slip->blower_grip);
    say(o, "check_says", snub_log_says_id(slip->says));
    say(o, "looks_like", snub_log_alike_id(slip->alike));
    snub_json_put_number(o, "leak_mm", slip->leak / SNUB_MM);
    snub_json_put_number(o, "filter_kPa", slip->filter / SNUB_KPA);
    snub_log_slip_words(answer, slip, locale, &words);
    snub_json_put(o, "text", snub_json_grown(&words));
    return o;
}

/* What stands above the slips and below them in the text. */
static json_t *words_of(const snub_log_answer *answer, const snub_locale *locale)
{
    static void (*const parts[])(const snub_log_answer *, const snub_locale *, snub_text *) = {
        snub_log_rows_words, snub_log_ratio_words, snub_log_noise_words, snub_log_doubt_words};
    json_t *list = json_array();
    for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++) {
        snub_text words = {0};
        parts[i](answer, locale, &words);
        if (words.length > 0)
            snub_json_append(list, snub_json_grown(&words));
        else
            snub_text_free(&words);
    }
    return list;
}

json_t *snub_json_log(const snub_log_answer *answer, const snub_locale *locale)
{
    const snub_build *build = answer->model->build;
    json_t *o = json_object(), *slips = json_array(), *doubts = json_array();
    snub_json_put(o, "snub", json_integer(1));
    say(o, "title", build->drive->title);
    say(o, "verdict", snub_level_text(answer->level));
    snub_json_put(o, "build", snub_json_build(build));
    snub_json_put(o, "rows", rows_of(answer));
    snub_json_put(o, "bad_rows", bad_rows_of(answer->rows));
    snub_json_put(o, "columns", columns_of(answer->rows));
    snub_json_put(o, "calibration", calibration_of(answer));
    snub_json_put(o, "pulls", pulls_of(answer->pulls, answer->pull_count));
    snub_json_put(o, "gear_changes", pulls_of(answer->changes, answer->change_count));
    for (int i = 0; i < answer->slip_count; i++)
        snub_json_append(slips, slip_of(answer, &answer->slips[i], locale));
    snub_json_put(o, "slips", slips);
    count(o, "slips_not_listed", answer->more_slips);
    count(o, "pulls_not_listed", answer->more_pulls);
    count(o, "gear_changes_not_listed", answer->more_changes);
    for (int bit = 0; snub_log_doubt_id(bit) != NULL; bit++)
        if (answer->doubts & (1U << bit))
            snub_json_append(doubts, snub_json_words(snub_log_doubt_id(bit)));
    snub_json_put(o, "doubts", doubts);
    snub_json_put(o, "words", words_of(answer, locale));
    return snub_json_whole(o);
}

/* ---- CSV ----------------------------------------------------------------------------------------------------------
 */

snub_status snub_log_table(const snub_log_answer *answer, snub_arena *arena, snub_data_table *table, snub_error *error)
{
    static const snub_column columns[] = {{"line", "", SNUB_CELL_COUNT, 0},
                                          {"part", "", SNUB_CELL_COUNT, 0},
                                          {"start", "s", SNUB_CELL_NUMBER, 2},
                                          {"end", "s", SNUB_CELL_NUMBER, 2},
                                          {"start speed", "rpm", SNUB_CELL_NUMBER, 0},
                                          {"end speed", "rpm", SNUB_CELL_NUMBER, 0},
                                          {"runs on", "", SNUB_CELL_TRUTH, 0},
                                          {"mean slip", "%", SNUB_CELL_NUMBER, 1},
                                          {"mean error", "%", SNUB_CELL_NUMBER, 2},
                                          {"worst slip", "%", SNUB_CELL_NUMBER, 1},
                                          {"worst speed", "rpm", SNUB_CELL_NUMBER, 0},
                                          {"heat", "J", SNUB_CELL_NUMBER, 0},
                                          {"likely pulley", "", SNUB_CELL_TEXT, 0},
                                          {"crank grip used", "", SNUB_CELL_NUMBER, 2},
                                          {"blower grip used", "", SNUB_CELL_NUMBER, 2},
                                          {"check says", "", SNUB_CELL_TEXT, 0},
                                          {"looks like", "", SNUB_CELL_TEXT, 0},
                                          {"leak", "mm", SNUB_CELL_NUMBER, 1},
                                          {"filter", "kPa", SNUB_CELL_NUMBER, 1},
                                          {"charge temperature", "degC", SNUB_CELL_NUMBER, 0},
                                          {"file's charge temperature", "degC", SNUB_CELL_NUMBER, 0}};
    enum { COLUMNS = sizeof columns / sizeof columns[0] };
    snub_cell *cells = SNUB_NEW(arena, snub_cell, (answer->slip_count + 1) * COLUMNS), *cell = cells;
    if (cells == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    for (int i = 0; i < answer->slip_count; i++) {
        const snub_log_slip *slip = &answer->slips[i];
        *cell++ = snub_cell_count((double)slip->line);
        *cell++ = snub_cell_count((double)slip->part);
        *cell++ = snub_cell_plain(slip->start);
        *cell++ = snub_cell_plain(slip->end);
        *cell++ = snub_cell_plain(slip->engine[0] / SNUB_RPM);
        *cell++ = snub_cell_plain(slip->engine[1] / SNUB_RPM);
        *cell++ = snub_cell_truth(slip->runs_on);
        *cell++ = snub_cell_plain(slip->mean / SNUB_PERCENT);
        *cell++ = snub_cell_plain(slip->error / SNUB_PERCENT);
        *cell++ = snub_cell_plain(slip->worst / SNUB_PERCENT);
        *cell++ = snub_cell_plain(slip->worst_engine / SNUB_RPM);
        *cell++ = snub_cell_plain(slip->heat);
        *cell++ = snub_cell_text(pulley_of(answer, slip));
        *cell++ = snub_cell_plain(slip->crank_grip);
        *cell++ = snub_cell_plain(slip->blower_grip);
        *cell++ = snub_cell_text(snub_log_says_id(slip->says));
        *cell++ = snub_cell_text(snub_log_alike_id(slip->alike));
        *cell++ = snub_cell_plain(slip->leak / SNUB_MM);
        *cell++ = snub_cell_plain(slip->filter / SNUB_KPA);
        *cell++ = snub_cell_plain(slip->charge - SNUB_ZERO_CELSIUS);
        *cell++ = snub_cell_plain(slip->model_charge - SNUB_ZERO_CELSIUS);
    }
    *table = (snub_data_table){
        .name = "slips", .column_count = COLUMNS, .columns = columns, .row_count = answer->slip_count, .cells = cells};
    return SNUB_OK;
}
