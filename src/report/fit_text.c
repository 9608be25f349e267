/* `snub fit` for people, in the reader's language. */
#include <math.h>
#include <string.h>

#include "fit_words.h"
#include "log_words.h"
#include "words.h"

/* Left over by so many times the noise, the model is not what happened. Rule of thumb, no published source. */
#define MISFIT_MOST 2.0

static void add_log(const snub_fit_answer *answer, int i, const snub_look *look, snub_text *out)
{
    const snub_fitted_log *log = &answer->logs[i];
    const double ratio = answer->fit->ratio[i] - 1.0;
    snub_text words = {0};
    const snub_named named[] = {snub_named_text("log", log->name),
                                snub_named_number("count", (double)log->readings, SNUB_UNIT_COUNT, 0),
                                snub_named_number("off", 100.0 * ratio, SNUB_UNIT_NONE, 2),
                                snub_named_number("drift", 100.0 * log->drift, SNUB_UNIT_NONE, 2)};
    snub_words_fill(SNUB_MESSAGE("{log}: {count} readings at full throttle; where nothing slips, the ratio differs "
                                 "from the file's by {off} %."),
                    named, 4, look->locale, &words);
    if (log->doubts & SNUB_LOG_DOUBT_OFFSET) {
        snub_text_puts(&words, " ");
        snub_words_fill(SNUB_MESSAGE("That is another ratio than the file's: `snub log` says which pulley it fits."),
                        named, 4, look->locale, &words);
    }
    if (log->doubts & SNUB_LOG_DOUBT_DRIFT) {
        snub_text_puts(&words, " ");
        snub_words_fill(SNUB_MESSAGE("Its ratio drifts by {drift} %: slip may be off by that much."), named, 4,
                        look->locale, &words);
    }
    snub_words_wrapped(&words, 0, look, out);
}

static void add_head(const snub_fit_answer *answer, const snub_look *look, snub_text *out)
{
    const snub_fit *fit = answer->fit;
    const snub_build *build = fit->model->build;
    snub_text words = {0};
    snub_log_build_words(build, look, out);
    for (int i = 0; i < answer->log_count; i++)
        add_log(answer, i, look, out);
    const snub_named named[] = {snub_named_number("count", (double)fit->reading_count, SNUB_UNIT_COUNT, 0),
                                snub_named_number("slipping", (double)fit->slipping, SNUB_UNIT_COUNT, 0),
                                snub_named_number("most", 100.0 * fit->most_slip, SNUB_UNIT_NONE, 1),
                                snub_named_number("scatter", 100.0 * fit->scatter[0], SNUB_UNIT_NONE, 3),
                                snub_named_number("boost", fit->scatter[1], SNUB_UNIT_KPA, 2),
                                snub_named_number("misfit", fit->misfit, SNUB_UNIT_NONE, 1)};
    snub_words_fill(fit->slipping > 0 ? SNUB_MESSAGE("The belt slips at {slipping} of {count} readings, by {most} % at "
                                                     "most. What the fit leaves of the slip scatters by {scatter} %.")
                                      : SNUB_MESSAGE("The belt slips at none of {count} readings. What the fit leaves "
                                                     "of the slip scatters by {scatter} %."),
                    named, 6, look->locale, &words);
    if (fit->with_boost) {
        snub_text_puts(&words, " ");
        snub_words_fill(SNUB_MESSAGE("What it leaves of the boost scatters by {boost}."), named, 5, look->locale,
                        &words);
    }
    if (fit->misfit > MISFIT_MOST) {
        snub_text_puts(&words, " ");
        snub_words_fill(SNUB_MESSAGE("That is {misfit} times the scatter of the readings themselves: something happens "
                                     "that this fit does not cover, and the ranges below are too narrow."),
                        named, 6, look->locale, &words);
    }
    snub_words_wrapped(&words, 0, look, out);
}

/* What no log tells: where in its friction band the arm hung. */
static void add_edges(const snub_fit *fit, const snub_look *look, snub_text *out)
{
    snub_text words = {0};
    if (!isfinite(fit->edge[0]))
        return;
    const snub_named named[] = {snub_named_number("low", fit->edge[0], SNUB_UNIT_NONE, 3),
                                snub_named_number("high", fit->edge[1], SNUB_UNIT_NONE, 3)};
    snub_words_fill(SNUB_MESSAGE("That holds for an arm in the middle of its friction band. If the arm hung at an end "
                                 "of the band it would be {low} or {high}: no log shows where the arm stood."),
                    named, 2, look->locale, &words);
    snub_words_wrapped(&words, 2, look, out);
}

static void add_values(const snub_fit *fit, const snub_look *look, snub_text *out)
{
    snub_text words = {0};
    snub_text_puts(out, "\n");
    for (int w = 0; w < SNUB_FIT_WHATS; w++) {
        if (!fit->of[w].fitted || w == SNUB_FIT_FALLS)
            continue;
        snub_fit_value_words(fit, (snub_fit_what)w, look->locale, &words);
        snub_words_wrapped(&words, 0, look, out);
        snub_fit_advice_words(fit, (snub_fit_what)w, look->locale, &words);
        snub_words_wrapped(&words, 2, look, out);
        if (w == SNUB_FIT_FRICTION)
            add_edges(fit, look, out);
    }
    bool any = false;
    for (int w = 0; w < SNUB_FIT_WHATS; w++) {
        if (fit->of[w].fitted || w == SNUB_FIT_FALLS || !(fit->of[w].start > 0.0))
            continue;
        if (!any)
            snub_text_printf(&words, "%s ", snub_say(look->locale, SNUB_MESSAGE("Held at the file's value:")));
        snub_text_printf(
            &words, "%s%s %s", any ? ", " : "", snub_say(look->locale, snub_fit_name((snub_fit_what)w)),
            SNUB_SHOWN(look, fit->of[w].start, snub_fit_unit((snub_fit_what)w), snub_fit_decimals((snub_fit_what)w)));
        any = true;
    }
    if (any)
        snub_text_puts(&words, ".");
    snub_words_wrapped(&words, 0, look, out);
}

/* How well the logs tell what is fitted apart: the combination that is known least. */
static void add_combinations(const snub_fit *fit, const snub_look *look, snub_text *out)
{
    snub_text words = {0};
    if (fit->fitted < 2)
        return;
    const snub_named named[] = {
        snub_named_number("best", 100.0 / fit->singular[0], SNUB_UNIT_NONE, 2),
        snub_named_number("worst", 100.0 / fit->singular[fit->fitted - 1], SNUB_UNIT_NONE, 2),
    };
    snub_words_fill(SNUB_MESSAGE("Of what is fitted, the combination that these logs show best is known to {best} %, "
                                 "the one that they show least to {worst} %:"),
                    named, 2, look->locale, &words);
    for (int w = 0; w < SNUB_FIT_WHATS; w++)
        if (fit->weakest[w] != 0.0)
            snub_text_printf(&words, " %+.2f %s", fit->weakest[w],
                             snub_say(look->locale, snub_fit_name((snub_fit_what)w)));
    snub_text_puts(&words, ".");
    snub_words_wrapped(&words, 0, look, out);
}

/* ---- before beside after ----------------------------------------------------------------------------------------- */

static void add_build(const snub_charted *b, const snub_look *look, snub_text *words)
{
    if (!b->settled) {
        snub_text_puts(words, snub_say(look->locale, SNUB_MESSAGE("no belt")));
    } else {
        snub_text_puts(words, b->designation);
        for (int i = 0; i < b->pulley_count; i++)
            if (b->pulleys[i].slot != NULL && isfinite(b->pulleys[i].setting))
                snub_text_printf(words, ", %s %s", b->pulleys[i].name,
                                 SNUB_SHOWN(look, b->pulleys[i].setting, SNUB_UNIT_MM, 1));
    }
    snub_text_printf(words, ", %s", snub_say(look->locale, snub_level_text(b->verdict)));
}

static void add_charts(const snub_fit_answer *answer, const snub_look *look, snub_text *out)
{
    const snub_chart *before = answer->before, *after = answer->after;
    snub_text words = {0};
    int changed = 0;
    if (before == NULL || after == NULL || before->build_count != after->build_count)
        return;
    snub_text_puts(out, "\n");
    snub_words_fill(SNUB_MESSAGE("The chart with the file's values, and with the fitted ones:"), NULL, 0, look->locale,
                    &words);
    snub_words_wrapped(&words, 0, look, out);
    for (int i = 0; i < before->build_count; i++) {
        snub_text was = {0}, is = {0};
        add_build(&before->builds[i], look, &was);
        add_build(&after->builds[i], look, &is);
        snub_row_words(before->builds[i].row, false, look->locale, &words);
        const bool same = was.data != NULL && is.data != NULL && strcmp(was.data, is.data) == 0;
        changed += same ? 0 : 1;
        snub_text_printf(&words, ": %s%s%s", was.data != NULL ? was.data : "", same ? "" : " -> ",
                         same || is.data == NULL ? "" : is.data);
        out->failed = out->failed || was.failed || is.failed;
        snub_text_free(&was);
        snub_text_free(&is);
        snub_words_wrapped(&words, 2, look, out);
    }
    const snub_named named[] = {snub_named_number("changed", (double)changed, SNUB_UNIT_COUNT, 0),
                                snub_named_number("count", (double)before->build_count, SNUB_UNIT_COUNT, 0)};
    snub_words_fill(SNUB_MESSAGE("{changed} of {count} builds change belt, mark or verdict."), named, 2, look->locale,
                    &words);
    snub_words_wrapped(&words, 0, look, out);
}

snub_status snub_text_fit(const snub_fit_answer *answer, const snub_look *look, snub_text *out, snub_error *error)
{
    snub_text words = {0};
    add_head(answer, look, out);
    add_values(answer->fit, look, out);
    add_combinations(answer->fit, look, out);
    if (answer->fit->compared) {
        snub_fit_evidence_words(answer->fit, look->locale, &words);
        snub_words_wrapped(&words, 0, look, out);
    }
    add_charts(answer, look, out);
    if (answer->written != NULL) {
        const snub_named named[] = {snub_named_text("file", answer->written)};
        snub_text_puts(out, "\n");
        snub_words_fill(SNUB_MESSAGE("Written into {file}: the values that the logs show."), named, 1, look->locale,
                        &words);
        snub_words_wrapped(&words, 0, look, out);
    }
    snub_text_printf(out, "\n%s %s\n", snub_say(look->locale, SNUB_MESSAGE("verdict")),
                     snub_say(look->locale, snub_level_text(snub_fit_level(answer))));
    return out->failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory") : SNUB_OK;
}

snub_level snub_fit_level(const snub_fit_answer *answer)
{
    const snub_fit *fit = answer->fit;
    bool doubt = false;
    for (int w = 0; w < SNUB_FIT_WHATS; w++)
        doubt =
            doubt || (fit->of[w].fitted && fit->of[w].told != SNUB_FIT_TOLD && fit->of[w].told != SNUB_FIT_TOLD_BOUND);
    for (int i = 0; i < answer->log_count; i++)
        doubt = doubt || (answer->logs[i].doubts & ~(unsigned)SNUB_LOG_DOUBT_RUNS_ON) != 0;
    return fit->slipping > 0 ? SNUB_FAIL : doubt ? SNUB_MARGINAL : SNUB_PASS;
}
