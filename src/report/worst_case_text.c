/* RSS, worst case and the kits at the worst ends, for people and as JSON. */
#include <math.h>
#include <stdio.h>

#include "json_words.h"
#include "snub/kit_histogram.h"
#include "tolerate_words.h"
#include "words.h"

const char *snub_followed_unit(snub_followed followed, const snub_locale *locale)
{
    const snub_followed_shown *shown = snub_followed_describe(followed);
    return snub_number_shown(locale, 0.0, snub_unit_describe(shown->unit)->text, shown->decimals).unit;
}

int snub_printf_width(const char *text, int columns)
{
    for (; *text != '\0'; text++)
        columns += ((unsigned char)*text & 0xC0U) == 0x80U;
    return columns;
}

const char *snub_followed_range(snub_followed followed, double low, double high, const snub_locale *locale,
                                char text[80])
{
    const snub_followed_shown *as = snub_followed_describe(followed);
    const char *unit = snub_unit_describe(as->unit)->text;
    const snub_shown a = snub_number_shown(locale, snub_in_unit(as->unit, low), unit, as->decimals),
                     b = snub_number_shown(locale, snub_in_unit(as->unit, high), unit, as->decimals);
    char first[32], second[32];
    if (!isfinite(low) || !isfinite(high))
        return "not known";
    snprintf(text, 80, "%s to %s", snub_number_text(locale, a.value, a.decimals, first),
             snub_number_text(locale, b.value, b.decimals, second));
    return text;
}

/* ---- for people -------------------------------------------------------------------------------------------------- */

static double reached(const snub_worst_case *w, const snub_end_kit *end, snub_followed followed)
{
    return w->known && end->judged ? end->kit.of[followed] : (double)NAN;
}

static void add_title(snub_followed followed, const snub_look *look, snub_text *out)
{
    char title[80];
    const char *unit = snub_followed_unit(followed, look->locale);
    snprintf(title, sizeof title, "%s%s%s", snub_followed_describe(followed)->words, unit[0] != '\0' ? ", " : "", unit);
    snub_text_printf(out, "%-25s", title);
}

/* @return false: memory is out */
static bool add_number(const snub_tolerated *of, const snub_worst_cases *worst, snub_followed followed,
                       const snub_look *look, snub_text *out)
{
    const snub_worst_case *w = &worst->of[followed];
    const snub_followed_shown *as = snub_followed_describe(followed);
    char kits[80], rss[80], ends[80], number[32];
    snub_kit_histogram h;
    if (snub_kit_histogram_of(of, followed, &h) != SNUB_OK)
        return false;
    if (h.count == 0)
        return true;
    const snub_shown nominal = snub_number_shown(look->locale, snub_in_unit(as->unit, of->nominal.of[followed]),
                                                 snub_unit_describe(as->unit)->text, as->decimals);
    add_title(followed, look, out);
    snub_text_printf(out, " %9s %18s %18s %18s\n",
                     isfinite(nominal.value) ? snub_number_text(look->locale, nominal.value, nominal.decimals, number)
                                             : "not known",
                     snub_followed_range(followed, h.quantile[0], h.quantile[SNUB_QUANTILES - 1], look->locale, kits),
                     snub_followed_range(followed, w->known ? w->rss_low : (double)NAN, w->rss_high, look->locale, rss),
                     snub_followed_range(followed, reached(w, &w->lowest, followed), reached(w, &w->highest, followed),
                                         look->locale, ends));
    return true;
}

static void add_failing(const snub_end_kit *end, snub_followed followed, const char *side, snub_text *out)
{
    char title[80];
    if (end->judged && end->kit.level != SNUB_FAIL)
        return;
    snprintf(title, sizeof title, "%s, %s", snub_followed_describe(followed)->words, side);
    snub_text_printf(out, "%-29s", title);
    for (int r = 0; end->judged && r < SNUB_RULES_; r++) {
        if (end->kit.by_rule[r] == SNUB_FAIL)
            snub_text_printf(out, " %s", snub_rule_describe((snub_rule)r)->id);
    }
    snub_text_puts(out, end->judged ? "\n" : " these values do not go together\n");
}

/* Of the worst-case kits, those that fail. */
static void add_verdicts(const snub_worst_cases *worst, snub_text *out)
{
    int all = 0, fail = 0;
    for (int f = 0; f < SNUB_FOLLOWED_; f++) {
        const snub_worst_case *w = &worst->of[f];
        if (!w->known)
            continue;
        all += 2;
        fail += (!w->lowest.judged || w->lowest.kit.level == SNUB_FAIL) +
                (!w->highest.judged || w->highest.kit.level == SNUB_FAIL);
    }
    if (all > 0)
        snub_text_printf(out, "Of the %d worst-case kits %d fail%s\n", all, fail, fail > 0 ? ", by:" : ".");
    for (int f = 0; f < SNUB_FOLLOWED_ && fail > 0; f++) {
        if (!worst->of[f].known)
            continue;
        add_failing(&worst->of[f].lowest, (snub_followed)f, "least", out);
        add_failing(&worst->of[f].highest, (snub_followed)f, "greatest", out);
    }
}

/* Values that need no other one to make a kit fail; not where the nominal kit does. */
static void add_alone(const snub_tolerated *of, const snub_worst_cases *worst, const snub_look *look, snub_text *out)
{
    snub_text names = {0};
    for (int i = 0; i < of->scatter_count && of->nominal.level != SNUB_FAIL; i++) {
        if (worst->ends[i].at_low == SNUB_FAIL || worst->ends[i].at_high == SNUB_FAIL)
            snub_text_printf(&names, "%s%s", names.length > 0 ? ", " : "", of->scatter[i]->path);
    }
    if (names.length > 0) {
        snub_text words = {0};
        snub_text_printf(&words, "Alone at an end of its tolerance, the rest nominal, this fails the kit: %s",
                         names.data);
        snub_words_wrapped(&words, 0, look, out);
    }
    out->failed = out->failed || names.failed;
    snub_text_free(&names);
}

bool snub_text_worst_cases(const snub_tolerated *of, const snub_worst_cases *worst, const snub_look *look,
                           snub_text *out)
{
    int open = 0;
    snub_text_printf(out, "\n%-25s %9s %18s %18s %18s\n", "", "nominal", "0.1 to 99.9 %", "RSS, 3 sigma", "worst case");
    for (int f = 0; f < SNUB_FOLLOWED_; f++) {
        if (!add_number(of, worst, (snub_followed)f, look, out))
            return false;
    }
    for (int i = 0; i < of->scatter_count; i++)
        open += worst->ends[i].basis == SNUB_END_QUANTILE;
    if (open > 0)
        snub_text_printf(out, "%d %s no end: the worst case takes three sigma of %s.\n", open,
                         open == 1 ? "value has" : "values have", open == 1 ? "it" : "them");
    add_verdicts(worst, out);
    add_alone(of, worst, look, out);
    return true;
}

/* ---- as JSON ----------------------------------------------------------------------------------------------------- */

static double shown(snub_followed followed, double si)
{
    return snub_in_unit(snub_followed_describe(followed)->unit, si);
}

static json_t *ends_of(const snub_tolerated *of, const snub_worst_cases *worst)
{
    static const char *const bases[] = {
        [SNUB_END_TOLERANCE] = "tolerance", [SNUB_END_QUANTILE] = "three sigma", [SNUB_END_MEASURED] = "measured"};
    json_t *list = json_array();
    for (int i = 0; i < of->scatter_count; i++) {
        const snub_value_ends *ends = &worst->ends[i];
        const snub_quantity quantity = of->scatter[i]->quantity;
        json_t *object = json_object();
        snub_json_put(object, "path", snub_json_words(of->scatter[i]->path));
        snub_json_put(object, "low", snub_json_number(snub_quantity_to_bare(quantity, ends->low)));
        snub_json_put(object, "high", snub_json_number(snub_quantity_to_bare(quantity, ends->high)));
        snub_json_put(object, "from", snub_json_words(bases[ends->basis]));
        snub_json_put(object, "verdict_at_low", snub_json_words(snub_level_text(ends->at_low)));
        snub_json_put(object, "verdict_at_high", snub_json_words(snub_level_text(ends->at_high)));
        snub_json_append(list, object);
    }
    return list;
}

static json_t *range_of(snub_followed followed, double low, double high)
{
    json_t *object = json_object();
    snub_json_put(object, "low", snub_json_number(shown(followed, low)));
    snub_json_put(object, "high", snub_json_number(shown(followed, high)));
    return object;
}

static json_t *parts_of(const snub_tolerated *of, const snub_worst_case *w, snub_followed followed)
{
    json_t *list = json_array();
    for (int i = 0; i < of->scatter_count; i++) {
        json_t *object = json_object();
        snub_json_put(object, "path", snub_json_words(of->scatter[i]->path));
        snub_json_put(object, "at_low", snub_json_number(shown(followed, w->at_low[i])));
        snub_json_put(object, "at_high", snub_json_number(shown(followed, w->at_high[i])));
        snub_json_append(list, object);
    }
    return list;
}

/* The number, the verdict and the rules of a worst-case kit, and the options of `snub check` that show it. */
static json_t *kit_of(const snub_tolerated *of, const snub_end_kit *end, snub_followed followed, snub_arena *arena)
{
    json_t *object = json_object(), *rules = json_array(), *set = json_object();
    snub_kit_value *values;
    const int count = snub_kit_values(of, end->value, arena, &values);
    if (count < 0)
        snub_json_lose();
    for (int i = 0; i < count; i++)
        snub_json_put(set, values[i].path, snub_json_words(values[i].text));
    for (int r = 0; end->judged && r < SNUB_RULES_; r++) {
        if (end->kit.by_rule[r] == SNUB_FAIL)
            snub_json_append(rules, snub_json_words(snub_rule_describe((snub_rule)r)->id));
    }
    snub_json_put(object, "value",
                  snub_json_number(end->judged ? shown(followed, end->kit.of[followed]) : (double)NAN));
    snub_json_put(object, "verdict",
                  end->judged ? snub_json_words(snub_level_text((snub_level)end->kit.level)) : json_null());
    snub_json_put(object, "rules", rules);
    snub_json_put(object, "set", set);
    return object;
}

static json_t *number_of(const snub_tolerated *of, const snub_worst_case *w, snub_followed followed, snub_arena *arena)
{
    json_t *object = json_object();
    snub_json_put(object, "number", snub_json_words(snub_followed_describe(followed)->key));
    snub_json_put(object, "nominal", snub_json_number(shown(followed, of->nominal.of[followed])));
    snub_json_put(object, "known", json_boolean(w->known));
    snub_json_put(object, "linear", w->known ? range_of(followed, w->linear_low, w->linear_high) : json_null());
    snub_json_put(object, "rss", w->known ? range_of(followed, w->rss_low, w->rss_high) : json_null());
    snub_json_put(object, "lowest", w->known ? kit_of(of, &w->lowest, followed, arena) : json_null());
    snub_json_put(object, "highest", w->known ? kit_of(of, &w->highest, followed, arena) : json_null());
    snub_json_put(object, "parts", parts_of(of, w, followed));
    return object;
}

json_t *snub_json_worst_cases(const snub_tolerated *of, const snub_worst_cases *worst, snub_arena *arena)
{
    json_t *object = json_object(), *numbers = json_array();
    if (worst == NULL) {
        json_decref(object);
        json_decref(numbers);
        return json_null();
    }
    for (int f = 0; f < SNUB_FOLLOWED_; f++) {
        if (of->spread[f].count > 0)
            snub_json_append(numbers, number_of(of, &worst->of[f], (snub_followed)f, arena));
    }
    snub_json_put(object, "kits", json_integer(worst->kits));
    snub_json_put(object, "ends", ends_of(of, worst));
    snub_json_put(object, "numbers", numbers);
    return object;
}
