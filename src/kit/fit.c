/* Which lengths would fit. docs/theory/kit.md. */
#include "fit.h"

#include "search.h"
#include "snub/locale.h"

/* Of the lengths that fit the one nearest to their middle: on offer, or else in whole millimetres; NAN: none is. */
static double in_the_middle(const snub_belt *belt, const double wanted[2])
{
    const double middle = 0.5 * (wanted[0] + wanted[1]);
    double best = NAN;
    for (int i = 0; i < belt->stock_count; i++) {
        const double length = belt->stock[i].length;
        if (length >= wanted[0] && length <= wanted[1] && !(fabs(best - middle) <= fabs(length - middle)))
            best = length;
    }
    const double whole = round(middle / SNUB_MM) * SNUB_MM;
    return isnan(best) && whole >= wanted[0] && whole <= wanted[1] ? whole : best;
}

bool snub_finding_fit(const snub_drive *drive, const snub_loads *loads, snub_finding *finding)
{
    snub_search *search = snub_search_open(drive, loads, false);
    snub_search_lengths lengths;
    const bool done = search != NULL && snub_search_learn(search, &lengths);
    snub_search_close(search);
    if (!done) {
        snub_finding_words(finding, "fit", "");
        return false;
    }
    const bool some = lengths.wanted[0] <= lengths.wanted[1];
    snub_finding_words(finding, "fit",
                       some && drive->arm < 0 && drive->locked < 0
                           ? SNUB_MESSAGE("Effective lengths of {from} to {to} are taut with the engine stopped.")
                       : some ? SNUB_MESSAGE("Effective lengths of {from} to {to} fit.")
                              : SNUB_MESSAGE("No length fits at this setting over its whole tolerance."));
    if (some) {
        snub_finding_least(finding, "from", lengths.wanted[0], SNUB_UNIT_MM, 1);
        snub_finding_most(finding, "to", lengths.wanted[1], SNUB_UNIT_MM, 1);
        const double length = in_the_middle(&drive->belt, lengths.wanted);
        if (isfinite(length))
            finding->mend = (snub_mend){.path = "belt.length", .count = 1, .number = length / SNUB_MM};
    }
    return true;
}

void snub_finding_by(snub_finding *finding, double amount)
{
    snub_finding_words(finding, "by", isfinite(amount) ? SNUB_MESSAGE(" by {amount}") : "");
    if (isfinite(amount))
        snub_finding_number(finding, "amount", amount, SNUB_UNIT_MM, 1);
}
