/* `snub tolerate` for people. */
#include <math.h>

#include "tolerate_widths.h"
#include "tolerate_words.h"
#include "words.h"

typedef struct page {
    const snub_tolerate_answer *answer;
    const snub_tolerated *of;
    const snub_look *look;
    snub_text *out;
} page;

void snub_tolerate_sentence(const snub_tolerated *of, const snub_locale *locale, snub_text *words)
{
    snub_text row = {0};
    const double n = of->kit_count;
    snub_row_words(&of->build->row, false, locale, &row);
    snub_text_printf(words, "Of %d %s of this build (%s%s%s), %d fail", of->kit_count,
                     of->kit_count == 1 ? "kit" : "kits", of->build->designation, row.length > 0 ? "; " : "",
                     row.length > 0 ? row.data : "", of->by_level[SNUB_FAIL]);
    if (of->kit_count > 0)
        snub_text_printf(words, ": %.1f %%, with 95 %% confidence %.1f to %.1f %%", 100.0 * of->by_level[SNUB_FAIL] / n,
                         100.0 * of->failing.low, 100.0 * of->failing.high);
    snub_text_printf(words, ". %d are marginal, %d pass.", of->by_level[SNUB_MARGINAL], of->by_level[SNUB_PASS]);
    words->failed = words->failed || row.failed;
    snub_text_free(&row);
}

static void add_head(const page *p)
{
    const snub_tolerated *of = p->of;
    snub_text words = {0};
    snub_tolerate_sentence(of, p->look->locale, &words);
    snub_wrap(words.data != NULL ? words.data : "", 0, 0, p->look->width, p->out);
    p->out->failed = p->out->failed || words.failed;
    snub_text_free(&words);
    snub_text_printf(p->out, "The build as snub check judges it: %s; its nominal kit: %s\n",
                     snub_level_text(of->build->verdict), snub_level_text((snub_level)of->nominal.level));
    snub_text_printf(p->out, "%d %s; seed %ld\n", of->scatter_count,
                     of->scatter_count == 1 ? "value scatters" : "values scatter", (long)of->seed);
    if (of->range_count > 0)
        snub_wrap("Values given as a range are not known: each kit is judged at both ends of each, as in a check.", 0,
                  0, p->look->width, p->out);
    snub_unjudged_show(&of->build, 1, NULL, p->look, p->out);
}

static void add_rules(const page *p)
{
    bool shown[SNUB_RULES_] = {false};
    int r = snub_next_rule(p->of, shown);
    if (r >= 0)
        snub_text_printf(p->out, "\n%-24s %6s %20s %10s\n", "rule", "fail", "95 % interval", "marginal");
    for (; r >= 0; r = snub_next_rule(p->of, shown)) {
        const snub_rule_count *c = &p->of->rules[r];
        char interval[32];
        shown[r] = true;
        snprintf(interval, sizeof interval, "%.1f to %.1f %%", 100.0 * c->failing.low, 100.0 * c->failing.high);
        snub_text_printf(p->out, "%-24s %6d %20s %10d\n", snub_rule_describe((snub_rule)r)->id, c->fail, interval,
                         c->marginal);
    }
}

/* Kits with a grip that has no bound. */
static void add_slack(const page *p)
{
    int slack = 0;
    char words[160];
    for (int i = 0; i < p->of->kit_count; i++)
        slack += isinf(p->of->kits[i].of[SNUB_FOLLOWED_GRIP]) != 0;
    if (slack == 0)
        return;
    snprintf(words, sizeof words,
             "In %d %s the belt is slack: such a grip has no bound, and is in none of these numbers.", slack,
             slack == 1 ? "kit" : "kits");
    snub_wrap(words, 0, 0, p->look->width, p->out);
}

static void add_numbers(const page *p)
{
    snub_text_printf(p->out, "\n%-20s %14s %14s %12s %14s %14s\n", "", "nominal", "mean", "std dev", "least",
                     "greatest");
    for (int f = 0; f < SNUB_FOLLOWED_; f++) {
        const snub_spread_of *s = &p->of->spread[f];
        const snub_followed_shown *shown = snub_followed_describe((snub_followed)f);
        if (s->count == 0)
            continue;
        snub_text_printf(p->out, "%-20s %14s %14s %12s %14s %14s\n", shown->words,
                         SNUB_SHOWN(p->look, s->nominal, shown->unit, shown->decimals),
                         SNUB_SHOWN(p->look, s->mean, shown->unit, shown->decimals),
                         SNUB_SHOWN(p->look, s->sd, shown->unit, shown->decimals),
                         SNUB_SHOWN(p->look, s->least, shown->unit, shown->decimals),
                         SNUB_SHOWN(p->look, s->most, shown->unit, shown->decimals));
    }
    add_slack(p);
}

/* @return false: memory is out */
static bool add_example(const page *p, snub_arena *arena)
{
    const bool shown[SNUB_RULES_] = {false};
    const int worst = snub_next_rule(p->of, shown);
    if (worst < 0 || p->of->rules[worst].example < 0)
        return true;
    snub_kit_value *values;
    const int count = snub_tolerated_values(p->of, p->of->rules[worst].example, arena, &values);
    if (count < 0)
        return false;
    snub_text_printf(p->out, "\nA kit that fails by %s:\n  snub check ", snub_rule_describe((snub_rule)worst)->id);
    snub_text_shell(p->out, p->answer->file);
    const bool good = snub_kit_options(p->of, values, count, arena, p->out);
    snub_text_puts(p->out, "\n");
    return good;
}

snub_status snub_text_tolerate(const snub_tolerate_answer *answer, const snub_look *look, snub_arena *arena,
                               snub_text *out, snub_error *error)
{
    const page p = {answer, answer->tolerated, look, out};
    add_head(&p);
    if (p.of->kit_count > 0) {
        add_rules(&p);
        add_numbers(&p);
    }
    const bool good =
        (answer->worst == NULL || snub_text_worst_cases(p.of, answer->worst, look, out)) &&
        snub_text_capability(p.of, look, out) && snub_text_widths(p.of, look, arena, out) &&
        (answer->contributions == NULL || snub_text_contributions(answer->contributions, look, arena, out)) &&
        add_example(&p, arena);
    if (p.of->stopped)
        snub_text_printf(out, "\nStopped after %d %s.\n", p.of->kit_count, p.of->kit_count == 1 ? "kit" : "kits");
    return out->failed || !good ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory") : SNUB_OK;
}
