/* `snub fit --json`. */
#include <math.h>

#include "fit_words.h"
#include "json_words.h"
#include "log_words.h"

static json_t *bare(snub_fit_what what, double value)
{
    const snub_unit unit = snub_fit_unit(what);
    return snub_json_number(unit == SNUB_UNIT_RPM   ? value / SNUB_RPM
                            : unit == SNUB_UNIT_KPA ? value / SNUB_KPA
                                                    : value);
}

static json_t *value_of(const snub_fit *fit, snub_fit_what what, const snub_locale *locale)
{
    static const char *const units[] = {"", "s/m", "rpm", "", "kPa", "kPa"};
    const snub_fit_estimate *e = &fit->of[what];
    json_t *o = json_object();
    snub_text words = {0};
    snub_json_put(o, "what", snub_json_words(snub_fit_words[what]));
    snub_json_put(o, "unit", snub_json_words(units[what]));
    snub_json_put(o, "fitted", json_boolean(e->fitted));
    snub_json_put(o, "file", bare(what, e->start));
    snub_json_put(o, "value", bare(what, e->value));
    if (!e->fitted)
        return o;
    snub_json_put(o, "standard_error", bare(what, e->error));
    snub_json_put(o, "low_95", bare(what, e->low));
    snub_json_put(o, "high_95", bare(what, e->high));
    snub_json_put(o, "shows", snub_json_words(snub_fit_told_id(e->told)));
    snub_json_put(o, "together_with",
                  e->told == SNUB_FIT_TOLD_TOGETHER ? snub_json_words(snub_fit_words[e->partner]) : json_null());
    if (what != SNUB_FIT_FALLS)
        snub_fit_value_words(fit, what, locale, &words);
    snub_json_put(o, "text", snub_json_grown(&words));
    snub_fit_advice_words(fit, what, locale, &words);
    snub_json_put(o, "advice", snub_json_grown(&words));
    return o;
}

static json_t *logs_of(const snub_fit_answer *answer)
{
    json_t *list = json_array();
    for (int i = 0; i < answer->log_count; i++) {
        json_t *o = json_object(), *doubts = json_array();
        snub_json_put(o, "log", snub_json_words(answer->logs[i].name));
        snub_json_put(o, "readings", json_integer(answer->logs[i].readings));
        snub_json_put_number(o, "ratio_off_pct", 100.0 * (answer->fit->ratio[i] - 1.0));
        snub_json_put_number(o, "lag_left_s", answer->fit->lag[i]);
        for (int bit = 0; 1u << bit <= SNUB_LOG_DOUBT_RUNS_ON; bit++)
            if (answer->logs[i].doubts & (1u << bit))
                snub_json_append(doubts, snub_json_words(snub_log_doubt_id(bit)));
        snub_json_put(o, "doubts", doubts);
        snub_json_append(list, o);
    }
    return list;
}

static json_t *evidence_of(const snub_fit_evidence *e)
{
    json_t *o = json_object();
    snub_json_put(o, "unknowns", json_integer(e->unknowns));
    snub_json_put_number(o, "sum_of_squares", e->sum);
    snub_json_put_number(o, "aicc", e->aicc);
    snub_json_put_number(o, "friction", e->friction);
    return o;
}

static json_t *law_of(const snub_fit *fit, const snub_locale *locale)
{
    snub_text words = {0};
    if (!fit->compared)
        return json_null();
    json_t *o = json_object();
    snub_json_put(o, "kept", snub_json_words(fit->falls_kept ? "falling" : "constant"));
    snub_json_put(o, "constant", evidence_of(&fit->constant));
    snub_json_put(o, "falling", evidence_of(&fit->falling));
    snub_fit_evidence_words(fit, locale, &words);
    snub_json_put(o, "text", snub_json_grown(&words));
    return o;
}

static json_t *built(const snub_charted *b)
{
    json_t *o = json_object(), *slots = json_object();
    snub_json_put(o, "designation", b->settled ? snub_json_words(b->designation) : json_null());
    for (int i = 0; i < b->pulley_count; i++)
        if (b->settled && b->pulleys[i].slot != NULL && isfinite(b->pulleys[i].setting))
            snub_json_put_number(slots, b->pulleys[i].name, b->pulleys[i].setting / SNUB_MM);
    snub_json_put(o, "slots_mm", slots);
    snub_json_put(o, "verdict", snub_json_words(snub_level_text(b->verdict)));
    return o;
}

static json_t *chart_of(const snub_fit_answer *answer)
{
    if (answer->before == NULL || answer->after == NULL || answer->before->build_count != answer->after->build_count)
        return json_null();
    json_t *list = json_array();
    for (int i = 0; i < answer->before->build_count; i++) {
        json_t *o = json_object();
        snub_json_put(o, "row", snub_json_row(answer->before->builds[i].row));
        snub_json_put(o, "before", built(&answer->before->builds[i]));
        snub_json_put(o, "after", built(&answer->after->builds[i]));
        snub_json_append(list, o);
    }
    return list;
}

static json_t *matrix_of(const snub_fit *fit)
{
    json_t *list = json_array();
    for (int i = 0; i < SNUB_FIT_WHATS; i++)
        for (int k = 0; k < i; k++) {
            if (fit->correlation[i][k] == 0.0)
                continue;
            json_t *o = json_object(), *pair = json_array();
            snub_json_append(pair, snub_json_words(snub_fit_words[k]));
            snub_json_append(pair, snub_json_words(snub_fit_words[i]));
            snub_json_put(o, "of", pair);
            snub_json_put_number(o, "correlation", fit->correlation[i][k]);
            snub_json_append(list, o);
        }
    return list;
}

static json_t *combinations_of(const snub_fit *fit)
{
    json_t *o = json_object(), *singular = json_array(), *weakest = json_object();
    for (int i = 0; i < fit->fitted; i++)
        snub_json_append(singular, snub_json_number(fit->singular[i]));
    for (int w = 0; w < SNUB_FIT_WHATS; w++)
        if (fit->weakest[w] != 0.0)
            snub_json_put_number(weakest, snub_fit_words[w], fit->weakest[w]);
    snub_json_put(o, "singular_values", singular);
    snub_json_put(o, "known_least", weakest);
    return o;
}

json_t *snub_json_fit(const snub_fit_answer *answer, const snub_locale *locale)
{
    const snub_fit *fit = answer->fit;
    json_t *o = json_object(), *values = json_array();
    snub_json_put(o, "snub", json_integer(1));
    snub_json_put(o, "title", snub_json_words(fit->model->build->drive->title));
    snub_json_put(o, "build", snub_json_build(fit->model->build));
    snub_json_put(o, "logs", logs_of(answer));
    snub_json_put(o, "readings", json_integer(fit->reading_count));
    snub_json_put(o, "slipping", json_integer(fit->slipping));
    snub_json_put_number(o, "most_slip_pct", 100.0 * fit->most_slip);
    snub_json_put_number(o, "scatter_slip_pct", 100.0 * fit->scatter[0]);
    snub_json_put_number(o, "scatter_over_noise", fit->misfit);
    snub_json_put_number(o, "scatter_boost_kPa", fit->with_boost ? fit->scatter[1] / SNUB_KPA : (double)NAN);
    for (int w = 0; w < SNUB_FIT_WHATS; w++)
        snub_json_append(values, value_of(fit, (snub_fit_what)w, locale));
    snub_json_put(o, "values", values);
    json_t *edges = json_array();
    for (int i = 0; i < 2; i++)
        snub_json_append(edges, snub_json_number(fit->edge[i]));
    snub_json_put(o, "friction_at_ends_of_arm_friction", edges);
    snub_json_put(o, "correlations", matrix_of(fit));
    snub_json_put(o, "combinations", combinations_of(fit));
    snub_json_put(o, "friction_law", law_of(fit, locale));
    snub_json_put(o, "chart", chart_of(answer));
    snub_json_put(o, "written", snub_json_words(answer->written));
    snub_json_put(o, "verdict", snub_json_words(snub_level_text(snub_fit_level(answer))));
    return snub_json_whole(o);
}
