/* Which lengths would fit. docs/theory/kit.md. */
#include "fit.h"

#include "search.h"
#include "snub/locale.h"

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
                       some ? SNUB_MESSAGE("Effective lengths of {from} to {to} fit.")
                            : SNUB_MESSAGE("No length fits at this setting over its whole tolerance."));
    if (some) {
        snub_finding_least(finding, "from", lengths.wanted[0], SNUB_UNIT_MM, 1);
        snub_finding_most(finding, "to", lengths.wanted[1], SNUB_UNIT_MM, 1);
    }
    return true;
}

void snub_finding_by(snub_finding *finding, double amount)
{
    snub_finding_words(finding, "by", isfinite(amount) ? SNUB_MESSAGE(" by {amount}") : "");
    if (isfinite(amount))
        snub_finding_number(finding, "amount", amount, SNUB_UNIT_MM, 1);
}
