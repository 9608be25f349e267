/* A fit to logs in sentences. */
#include "fit_words.h"

#include <math.h>
#include <string.h>

#include "words.h"

static const struct {
    const char *name, *bare, *advice;
    snub_unit unit;
    int decimals;
    snub_quantity quantity;
} kinds[] = {
    {SNUB_MESSAGE("limit friction on ribs"), "",
     SNUB_MESSAGE(
         "A pull at full throttle that goes on until the belt slips shows it: on the smallest pulley, to redline."),
     SNUB_UNIT_NONE, 4, SNUB_Q_NUMBER},
    {SNUB_MESSAGE("fall of the friction with slip speed"), "",
     SNUB_MESSAGE("Pulls with little slip and pulls with a lot, on two pulleys for example, show it."), SNUB_UNIT_NONE,
     4, SNUB_Q_NUMBER},
    {SNUB_MESSAGE("leakage speed of the blower"), " rpm",
     SNUB_MESSAGE("Boost at full throttle from low engine speed on shows it: there leakage takes the most."),
     SNUB_UNIT_RPM, 0, SNUB_Q_TURN_SPEED},
    {SNUB_MESSAGE("mechanical efficiency of the blower"), "",
     SNUB_MESSAGE("Speeds and boost do not show it apart from the friction. Hold one of the two, or measure the torque "
                  "at the blower's shaft."),
     SNUB_UNIT_NONE, 3, SNUB_Q_NUMBER},
    {SNUB_MESSAGE("pressure drop of the cooler"), " kPa",
     SNUB_MESSAGE("Boost before and behind the cooler shows it; boost behind it alone, over the whole rev range, only "
                  "where the leakage is held."),
     SNUB_UNIT_KPA, 2, SNUB_Q_PRESSURE},
    {SNUB_MESSAGE("pressure drop before the blower"), " kPa",
     SNUB_MESSAGE("A gauge at the blower's inlet shows it; boost alone only where leakage and cooler are held."),
     SNUB_UNIT_KPA, 2, SNUB_Q_PRESSURE},
};

const char *snub_fit_name(snub_fit_what what)
{
    return kinds[what].name;
}

snub_unit snub_fit_unit(snub_fit_what what)
{
    return kinds[what].unit;
}

int snub_fit_decimals(snub_fit_what what)
{
    return kinds[what].decimals;
}

const char *snub_fit_told_id(snub_fit_told told)
{
    static const char *const ids[] = {"yes", "at_least", "together", "no"};
    return ids[told];
}

void snub_fit_written(snub_fit_what what, double value, snub_text *out)
{
    snub_text_printf(out, "%.*f%s", kinds[what].decimals, snub_quantity_to_bare(kinds[what].quantity, value),
                     kinds[what].bare);
}

void snub_fit_value_words(const snub_fit *fit, snub_fit_what what, const snub_locale *locale, snub_text *out)
{
    const snub_fit_estimate *e = &fit->of[what];
    const snub_unit unit = kinds[what].unit;
    const int decimals = kinds[what].decimals;
    const snub_named named[] = {
        snub_named_words("what", kinds[what].name),
        snub_named_number("file", e->start, unit, decimals),
        snub_named_number("value", e->value, unit, decimals),
        snub_named_number("error", e->error, unit, decimals + (unit == SNUB_UNIT_RPM ? 0 : 1)),
        snub_named_number("low", e->low, unit, decimals),
        snub_named_number("high", e->high, unit, decimals),
        snub_named_words("partner", kinds[e->partner].name),
    };
    const char *words =
        SNUB_MESSAGE("{what}: {value}, standard error {error}, with 95 % from {low} to {high}. The file has {file}.");
    if (e->told == SNUB_FIT_TOLD_BOUND)
        words = SNUB_MESSAGE("{what}: nothing slips in these logs, so they show only that it is at least {low} (with "
                             "95 %). The file has {file}.");
    else if (e->told == SNUB_FIT_TOLD_TOGETHER)
        words = SNUB_MESSAGE("{what}: {value}, but with 95 % anything from {low} to {high}: these logs show it only "
                             "together with {partner}. The file has {file}.");
    else if (e->told == SNUB_FIT_TOLD_NOT)
        words = SNUB_MESSAGE("{what}: these logs do not show it. It stays at {file}.");
    snub_words_fill(words, named, sizeof named / sizeof named[0], locale, out);
}

void snub_fit_advice_words(const snub_fit *fit, snub_fit_what what, const snub_locale *locale, snub_text *out)
{
    if (fit->of[what].fitted && fit->of[what].told != SNUB_FIT_TOLD)
        snub_words_fill(kinds[what].advice, NULL, 0, locale, out);
}

void snub_fit_evidence_words(const snub_fit *fit, const snub_locale *locale, snub_text *out)
{
    const snub_named named[] = {
        snub_named_number("constant", fit->constant.aicc, SNUB_UNIT_NONE, 1),
        snub_named_number("falling", fit->falling.aicc, SNUB_UNIT_NONE, 1),
        snub_named_number("falls", -100.0 * expm1(-fit->of[SNUB_FIT_FALLS].value), SNUB_UNIT_NONE, 2),
        snub_named_number("low", -100.0 * expm1(-fit->of[SNUB_FIT_FALLS].low), SNUB_UNIT_NONE, 2),
        snub_named_number("high", -100.0 * expm1(-fit->of[SNUB_FIT_FALLS].high), SNUB_UNIT_NONE, 2),
    };
    snub_words_fill(
        fit->falls_kept
            ? SNUB_MESSAGE(
                  "The friction changes with slip speed: it falls by {falls} % for each m/s (with 95 % from {low} to "
                  "{high} %; below 0 it rises). AICc {falling} against {constant} for a friction that does not change; "
                  "more than 2 less counts as better. The limit friction above is that at which slip begins. The drive "
                  "file has no key for the fall; the verdict does not depend on it.")
            : SNUB_MESSAGE("The friction is taken not to change with slip speed: AICc {constant} against {falling} for "
                           "one that falls by {falls} % for each m/s (with 95 % from {low} to {high} %), which would "
                           "have to be more than 2 less."),
        named, sizeof named / sizeof named[0], locale, out);
}

void snub_fit_comment(const snub_fit_answer *answer, snub_fit_what what, const char *day, snub_text *out)
{
    const snub_fit_estimate *e = &answer->fit->of[what];
    snub_text_printf(out, "fitted %s to ", day);
    for (int i = 0; i < answer->log_count; i++) {
        if (i > 0)
            snub_text_puts(out, ", ");
        snub_text_safe(out, answer->logs[i].name, strlen(answer->logs[i].name));
    }
    snub_text_puts(out, ": 95 % from ");
    snub_fit_written(what, e->low, out);
    snub_text_puts(out, " to ");
    snub_fit_written(what, e->high, out);
}
