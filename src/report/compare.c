/* Builds or mounts side by side, each against the first: what differs, and in words what is better and worse. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "json_words.h"
#include "words.h"

/* Of what is better, and of what is worse, so much is named; the rest is counted. */
enum { NAMED_MOST = 5 };

/* ---- in words ---------------------------------------------------------------------------------------------------- */

/* How much a number has changed, as a share of the larger of both: a hub load and a grip go by one measure. */
static double change_of(const snub_difference *d)
{
    const double a = d->a->value, b = d->b->value;
    return !isfinite(a) || !isfinite(b) ? INFINITY : fabs(b - a) / fmax(fabs(a), fabs(b));
}

/* The next in the order of change after those that are named. @return -1: none */
static int next_of(const snub_difference *differences, int count, int verdict, const bool *named)
{
    int best = -1;
    for (int i = 0; i < count; i++) {
        if (differences[i].verdict != verdict || named[i])
            continue;
        if (best < 0 || change_of(&differences[i]) > change_of(&differences[best]))
            best = i;
    }
    return best;
}

/* "blower: grip used (0.98 to 0.91)" */
static void add_change(const snub_difference *d, const snub_locale *locale, snub_text *out)
{
    const double values[2] = {d->a->value, d->b->value};
    const char *unit = snub_number_shown(locale, 0, d->a->unit, 0).unit;
    snub_text_printf(out, "%s: %s (", d->a->subject, d->a->what);
    for (int k = 0; k < 2; k++) {
        snub_text_puts(out, k > 0 ? " to " : "");
        const snub_shown shown = snub_number_shown(locale, values[k], d->a->unit, d->a->decimals);
        if (isfinite(values[k]))
            snub_text_printf(out, "%.*f", shown.decimals, shown.value);
        else
            snub_text_puts(out, isnan(values[k]) ? "unknown" : "unbounded");
    }
    snub_text_printf(out, "%s%s)", unit[0] != '\0' ? " " : "", unit);
}

static void add_list(const snub_difference *differences, int count, int verdict, bool *named, const snub_locale *locale,
                     snub_text *out)
{
    int all = 0, told = 0;
    for (int i = 0; i < count; i++)
        all += differences[i].verdict == verdict;
    for (; told < all && told < NAMED_MOST; told++) {
        const int i = next_of(differences, count, verdict, named);
        named[i] = true;
        snub_text_puts(out, told > 0 ? "; " : "");
        add_change(&differences[i], locale, out);
    }
    if (all > told)
        snub_text_printf(out, "; and %d more", all - told);
}

static bool has(const snub_difference *differences, int count, int verdict)
{
    for (int i = 0; i < count; i++) {
        if (differences[i].verdict == verdict)
            return true;
    }
    return false;
}

static void add_verdicts(const snub_compared *a, const snub_compared *b, snub_text *out)
{
    if (!a->build->judged || !b->build->judged)
        return;
    const char *first = snub_level_text(a->build->verdict), *second = snub_level_text(b->build->verdict);
    if (a->build->verdict == b->build->verdict)
        snub_text_printf(out, " The verdict stays %s.", second);
    else
        snub_text_printf(out, " The verdict goes from %s to %s.", first, second);
}

/* What is better and what is worse, the greatest changes first. */
static void difference_words(const snub_compared *a, const snub_compared *b, const snub_difference *differences,
                             int count, const snub_locale *locale, snub_text *out)
{
    bool *named = calloc((size_t)count + 1, sizeof *named);
    const bool better = has(differences, count, 1), worse = has(differences, count, -1);
    if (named == NULL) {
        out->failed = true;
        return;
    }
    if (better) {
        snub_text_puts(out, "Better with ");
        snub_text_safe(out, b->name, strlen(b->name));
        snub_text_puts(out, ": ");
        add_list(differences, count, 1, named, locale, out);
        snub_text_puts(out, worse ? ". " : ". Nothing is worse.");
    }
    if (!better && !worse) {
        snub_text_safe(out, b->name, strlen(b->name));
        snub_text_puts(out, " is neither better nor worse than ");
        snub_text_safe(out, a->name, strlen(a->name));
        snub_text_puts(out, " in any number.");
    }
    if (worse) {
        snub_text_puts(out, better ? "Worse" : "Worse with ");
        snub_text_safe(out, better ? "" : b->name, better ? 0 : strlen(b->name));
        snub_text_puts(out, ": ");
        add_list(differences, count, -1, named, locale, out);
        snub_text_puts(out, better ? "." : ". Nothing is better.");
    }
    add_verdicts(a, b, out);
    free(named);
}

/* ---- for people -------------------------------------------------------------------------------------------------- */

/* "A  build 1: 5PK1938; wrap idler at 52.1 mm; ...; verdict: marginal" */
static void show_side(int side, const snub_compared *of, const snub_look *look, snub_text *out)
{
    snub_text line = {0};
    snub_text_safe(&line, of->name, strlen(of->name));
    snub_text_puts(&line, ": ");
    snub_build_words(of->build, true, false, look->locale, &line);
    snub_text_printf(out, "%c  ", 'A' + side);
    snub_wrap(line.data != NULL ? line.data : "", 3, 3, look->width, out);
    out->failed = out->failed || line.failed;
    snub_text_free(&line);
}

/* What the verdicts leave out: once where it is the same in all of them, else beneath each. */
static bool leave_out_the_same(const snub_compared *of, int sides, const snub_locale *locale, snub_text *out)
{
    snub_text first = {0};
    bool same = true;
    snub_unjudged_words(&of[0].build, 1, NULL, locale, &first);
    for (int side = 1; side < sides && same; side++) {
        snub_text words = {0};
        snub_unjudged_words(&of[side].build, 1, NULL, locale, &words);
        same = words.length == first.length && (first.length == 0 || memcmp(words.data, first.data, first.length) == 0);
        out->failed = out->failed || words.failed;
        snub_text_free(&words);
    }
    out->failed = out->failed || first.failed;
    snub_text_free(&first);
    return same;
}

static const snub_fact *fact_of(const snub_difference *d)
{
    return d->a != NULL ? d->a : d->b;
}

static void show_difference(const snub_difference *d, int side, const snub_locale *locale, snub_text *out)
{
    static const char *const words[] = {"worse", "", "better"};
    const snub_fact *f = fact_of(d);
    snub_text_printf(out, "  %-36s ", f->what);
    for (int k = 0; k < 2; k++) {
        const snub_fact *s = k == 0 ? d->a : d->b;
        if (s == NULL)
            snub_text_printf(out, "%10s", "-");
        else if (!isfinite(s->value))
            snub_text_printf(out, "%10s", isnan(s->value) ? "unknown" : "unbounded");
        else {
            const snub_shown shown = snub_number_shown(locale, s->value, s->unit, s->decimals);
            snub_text_printf(out, "%10.*f", shown.decimals, shown.value);
        }
    }
    snub_text_printf(out, " %-7s ", snub_number_shown(locale, 0, f->unit, 0).unit);
    if (d->a == NULL || d->b == NULL)
        snub_text_printf(out, "only %c\n", d->a == NULL ? 'A' + side : 'A');
    else
        snub_text_printf(out, "%s\n", words[d->verdict + 1]);
}

static void show_pair(const snub_compared *of, int side, const snub_look *look, snub_text *out)
{
    const snub_compared *b = &of[side];
    snub_text words = {0};
    if (b->count == 0)
        snub_text_puts(out, "No number differs by more than its rounding.\n");
    for (int k = 0; k < b->count; k++) {
        const snub_difference *d = &b->differences[k];
        if (k == 0 || strcmp(fact_of(d)->subject, fact_of(&b->differences[k - 1])->subject) != 0)
            snub_text_printf(out, "%s\n", fact_of(d)->subject);
        show_difference(d, side, look->locale, out);
    }
    if (b->count > 0) {
        difference_words(&of[0], b, b->differences, b->count, look->locale, &words);
        snub_text_puts(out, "\n");
        snub_wrap(words.data != NULL ? words.data : "", 0, 0, look->width, out);
    }
    out->failed = out->failed || words.failed;
    snub_text_free(&words);
}

snub_status snub_text_compared(const snub_compared *of, int sides, const snub_look *look, snub_text *out,
                               snub_error *error)
{
    const bool same = leave_out_the_same(of, sides, look->locale, out);
    for (int side = 0; side < sides; side++) {
        show_side(side, &of[side], look, out);
        if (!same || side == sides - 1)
            snub_unjudged_show(&of[side].build, 1, NULL, look, out);
    }
    for (int side = 1; side < sides; side++) {
        snub_text_puts(out, "\n");
        if (sides > 2)
            snub_text_printf(out, "%c against A\n", 'A' + side);
        show_pair(of, side, look, out);
    }
    return out->failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory") : SNUB_OK;
}

/* ---- JSON -------------------------------------------------------------------------------------------------------- */

static json_t *side_of(const snub_compared *of)
{
    json_t *side = json_object();
    snub_json_put(side, "name", snub_json_words(of->name));
    snub_json_put_verdict(side, of->build);
    snub_json_put(side, "build", snub_json_build(of->build));
    return side;
}

static json_t *differences_of(const snub_compared *b)
{
    static const char *const words[] = {"worse", "neither", "better"};
    json_t *list = json_array();
    for (int k = 0; k < b->count; k++) {
        const snub_difference *d = &b->differences[k];
        json_t *item = json_object();
        snub_json_put(item, "subject", snub_json_words(fact_of(d)->subject));
        snub_json_put(item, "what", snub_json_words(fact_of(d)->what));
        snub_json_put(item, "a", snub_json_number(d->a != NULL ? d->a->value : NAN));
        snub_json_put(item, "b", snub_json_number(d->b != NULL ? d->b->value : NAN));
        snub_json_put(item, "unit", snub_json_words(fact_of(d)->unit));
        snub_json_put(item, "verdict",
                      snub_json_words(d->a == NULL   ? "only b"
                                      : d->b == NULL ? "only a"
                                                     : words[d->verdict + 1]));
        snub_json_append(list, item);
    }
    return list;
}

static json_t *words_of(const snub_compared *of, const snub_compared *b, const snub_locale *locale)
{
    snub_text words = {0};
    difference_words(&of[0], b, b->differences, b->count, locale, &words);
    return snub_json_grown(&words);
}

/* Two stand as a and b, as they always have; more as a list, each against the first. */
json_t *snub_json_compared(const snub_compared *of, int sides, const snub_locale *locale)
{
    json_t *o = json_object(), *others = json_array();
    snub_json_put(o, "snub", json_integer(1));
    snub_json_put(o, "a", side_of(&of[0]));
    for (int side = 1; side < sides; side++) {
        json_t *other = side_of(&of[side]);
        snub_json_put(other, "differences", differences_of(&of[side]));
        snub_json_put(other, "words", words_of(of, &of[side], locale));
        snub_json_append(others, other);
    }
    if (sides == 2) {
        snub_json_put(o, "b", side_of(&of[1]));
        snub_json_put(o, "differences", differences_of(&of[1]));
        snub_json_put(o, "words", words_of(of, &of[1], locale));
    }
    snub_json_put(o, "against_a", others);
    return snub_json_whole(o);
}
