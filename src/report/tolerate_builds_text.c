/* `snub tolerate --builds` for people: builds side by side. */
#include <math.h>
#include <stdio.h>

#include "tolerate_words.h"
#include "words.h"

static double share_of(const snub_tolerated *of)
{
    return (double)of->by_level[SNUB_FAIL] / of->kit_count;
}

/* @return false: memory is out */
static bool add_build(const snub_tolerated *of, int number, const snub_look *look, snub_text *out)
{
    const bool none[SNUB_RULES_] = {false};
    snub_text row = {0};
    char share[16], interval[40], rule[48] = "none", number_text[32] = "";
    snub_followed nearest;
    double cpk;
    snub_row own = of->build->row;
    own.overlay_count -= own.set_count; /* the caller's are in the first sentence */
    own.set_count = 0;
    snub_row_words(&own, false, look->locale, &row);
    const char *words = row.length > 0 ? row.data : "", *checked = snub_level_text(of->build->verdict);
    if (of->kit_count == 0) {
        snub_text_printf(out, "%5d %-11s %-9s %s\n", number, of->build->settled ? of->build->designation : "no belt",
                         checked, words);
    } else {
        const int worst = snub_next_rule(of, none);
        if (worst >= 0 && of->rules[worst].fail > 0)
            snprintf(rule, sizeof rule, "%s, %.1f %%", snub_rule_describe((snub_rule)worst)->id,
                     100.0 * of->rules[worst].fail / of->kit_count);
        if (!snub_nearest_limit(of, &nearest, &cpk))
            return false;
        if (isfinite(cpk))
            snub_number_text(look->locale, cpk, 2, number_text);
        snprintf(share, sizeof share, "%.1f %%", 100.0 * share_of(of));
        snprintf(interval, sizeof interval, "%.1f to %.1f %%", 100.0 * of->failing.low, 100.0 * of->failing.high);
        snub_text_printf(out, "%5d %-11s %-9s %6d %8s %16s  %-24s %-19s %*s  %s\n", number, of->build->designation,
                         checked, of->kit_count, share, interval, rule,
                         isfinite(cpk) ? snub_followed_describe(nearest)->words : "", snub_printf_width(number_text, 6),
                         number_text, words);
    }
    out->failed = out->failed || row.failed;
    snub_text_free(&row);
    return true;
}

/* The build with the greatest share; -1: no kit fails. */
static int worst_build(const snub_tolerate_builds *of)
{
    int worst = -1;
    for (int b = 0; b < of->count; b++) {
        const snub_tolerated *t = of->answers[b].tolerated;
        if (t->kit_count > 0 && t->by_level[SNUB_FAIL] > 0 &&
            (worst < 0 || share_of(t) > share_of(of->answers[worst].tolerated)))
            worst = b;
    }
    return worst;
}

static void add_head(const snub_tolerate_builds *of, const snub_look *look, snub_text *out)
{
    snub_text words = {0};
    int failing = 0, beltless = 0;
    const int worst = worst_build(of);
    for (int b = 0; b < of->count; b++) {
        failing += of->answers[b].tolerated->by_level[SNUB_FAIL] > 0;
        beltless += !of->answers[b].tolerated->build->settled;
    }
    snub_text_printf(&words, "Kits fail in %d of %d %s", failing, of->count - beltless,
                     of->count - beltless == 1 ? "build" : "builds");
    if (worst >= 0)
        snub_text_printf(&words, ", most in build %d: %.1f %%", of->number[worst],
                         100.0 * share_of(of->answers[worst].tolerated));
    snub_text_puts(&words, ".");
    if (beltless > 0)
        snub_text_printf(&words, " Builds without a belt: %d.", beltless);
    snub_text sets = {0};
    snub_set_words(&of->answers[0].tolerated->build->row, look->locale, &sets);
    if (sets.length > 0)
        snub_text_printf(&words, " All of them: %s.", sets.data);
    words.failed = words.failed || sets.failed;
    snub_text_free(&sets);
    snub_words_wrapped(&words, 0, look, out);
}

const snub_build *const *snub_tolerated_builds(const snub_tolerate_builds *of, snub_arena *arena)
{
    const snub_build **builds = SNUB_NEW(arena, const snub_build *, of->count);
    for (int b = 0; builds != NULL && b < of->count; b++)
        builds[b] = of->answers[b].tolerated->build;
    return builds;
}

snub_status snub_text_tolerate_builds(const snub_tolerate_builds *of, const snub_look *look, snub_arena *arena,
                                      snub_text *out, snub_error *error)
{
    const int worst = worst_build(of);
    add_head(of, look, out);
    const snub_build *const *builds = snub_tolerated_builds(of, arena);
    bool good = builds != NULL;
    snub_unjudged_show(builds, good ? of->count : 0, NULL, look, out);
    snub_text_printf(out, "\n%5s %-11s %-9s %6s %8s %16s  %-24s %-19s %6s\n", "build", "belt", "checked", "kits",
                     "fail", "95 % interval", "most by", "nearest its limit", "Cpk");
    for (int b = 0; b < of->count && good; b++)
        good = add_build(of->answers[b].tolerated, of->number[b], look, out);
    if (of->stopped)
        snub_text_printf(out, "\nStopped in build %d, after %d of %d %s.\n", of->number[of->count - 1], of->count - 1,
                         of->asked, of->asked == 1 ? "build" : "builds");
    if (worst >= 0) {
        snub_text_puts(out, "\nRules, numbers and a kit that fails, of one build:\n  snub tolerate ");
        snub_text_shell(out, of->file);
        snub_build_option(&of->answers[worst].tolerated->build->row, arena, out);
        snub_text_puts(out, "\n");
    }
    return out->failed || !good ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory") : SNUB_OK;
}
