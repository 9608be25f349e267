/* How the kits' numbers fit between their limits, for people and as JSON. */
#include <math.h>
#include <stdio.h>

#include "json_words.h"
#include "snub/kit_histogram.h"
#include "tolerate_words.h"
#include "words.h"

static const double CONFIDENCE = 0.95;
/* Of the number itself: what the iterations to an equilibrium leave (1e-12) is no scatter of kits. */
static const double NO_SCATTER = 1e-10;

typedef struct fit {
    snub_kit_histogram h;
    snub_capability normal; /* all NAN: the kits do not scatter, or some are slack */
    snub_interval beyond;   /* of the share of kits that have the number */
} fit;

static bool has_limits(const snub_kit_histogram *h)
{
    return h->count > 0 && (isfinite(h->low_limit) || isfinite(h->high_limit));
}

/* @return false: memory is out */
static bool fit_of(const snub_tolerated *of, snub_followed followed, fit *f)
{
    const snub_spread_of *spread = &of->spread[followed];
    const snub_capability none = {NAN, NAN, NAN, NAN, NAN};
    if (snub_kit_histogram_of(of, followed, &f->h) != SNUB_OK)
        return false;
    if (!has_limits(&f->h))
        return true;
    f->normal =
        f->h.endless == 0 && spread->sd > NO_SCATTER * fmax(fabs(spread->least), fabs(spread->most))
            ? snub_capability_of(spread->mean, spread->sd, isfinite(f->h.low_limit) ? f->h.low_limit : -INFINITY,
                                 isfinite(f->h.high_limit) ? f->h.high_limit : INFINITY, NAN)
            : none;
    f->beyond = snub_share_exact(f->h.below + f->h.above, f->h.count, CONFIDENCE);
    return true;
}

bool snub_nearest_limit(const snub_tolerated *of, snub_followed *nearest, double *cpk)
{
    *nearest = SNUB_FOLLOWED_GRIP;
    *cpk = NAN;
    for (int f = 0; f < SNUB_FOLLOWED_; f++) {
        fit one;
        if (!fit_of(of, (snub_followed)f, &one))
            return false;
        if (!has_limits(&one.h) || isnan(one.normal.cpk) || one.normal.cpk >= *cpk)
            continue;
        *nearest = (snub_followed)f;
        *cpk = one.normal.cpk;
    }
    return true;
}

/* ---- for people -------------------------------------------------------------------------------------------------- */

static const char *limit_text(snub_followed followed, double limit, const snub_look *look, char text[32])
{
    const snub_followed_shown *as = snub_followed_describe(followed);
    const snub_shown s = snub_number_shown(look->locale, snub_in_unit(as->unit, limit),
                                           snub_unit_describe(as->unit)->text, as->decimals);
    return isfinite(limit) ? snub_number_text(look->locale, s.value, s.decimals, text) : "none";
}

static void add_fit(snub_followed followed, const fit *f, const snub_look *look, snub_text *out)
{
    char title[80], low[32], high[32], cp[32] = "", cpk[32], normal[32], kits[48];
    const char *unit = snub_followed_unit(followed, look->locale);
    const bool known = isfinite(f->normal.cpk);
    const int beyond = f->h.below + f->h.above;
    snprintf(title, sizeof title, "%s%s%s", snub_followed_describe(followed)->words, unit[0] != '\0' ? ", " : "", unit);
    if (isfinite(f->normal.cp))
        snub_number_text(look->locale, f->normal.cp, 2, cp);
    snprintf(normal, sizeof normal, "%.2f %%", 100.0 * (f->normal.below + f->normal.above));
    snprintf(kits, sizeof kits, "%d, %.1f to %.1f %%", beyond, 100.0 * f->beyond.low, 100.0 * f->beyond.high);
    const char *centred = known              ? snub_number_text(look->locale, f->normal.cpk, 2, cpk)
                          : f->h.endless > 0 ? "slack"
                                             : "no scatter";
    snub_text_printf(out, "%-25s %9s %9s %6s %*s %11s %20s\n", title, limit_text(followed, f->h.low_limit, look, low),
                     limit_text(followed, f->h.high_limit, look, high), cp, snub_printf_width(centred, 10), centred,
                     known ? normal : "", kits);
}

bool snub_text_capability(const snub_tolerated *of, const snub_look *look, snub_text *out)
{
    bool any = false;
    for (int f = 0; f < SNUB_FOLLOWED_; f++) {
        fit one;
        if (!fit_of(of, (snub_followed)f, &one))
            return false;
        if (!has_limits(&one.h))
            continue;
        if (!any)
            snub_text_printf(out, "\n%-25s %9s %9s %6s %10s %11s %20s\n", "capability", "low limit", "high", "Cp",
                             "Cpk", "if normal", "kits beyond");
        any = true;
        add_fit((snub_followed)f, &one, look, out);
    }
    if (any)
        snub_wrap("Cp, Cpk and the share beyond the limits \"if normal\" hold for a number of normal shape. The kits "
                  "beyond are "
                  "counted, with the 95 % interval of their share.",
                  0, 0, look->width, out);
    return true;
}

/* ---- as JSON ----------------------------------------------------------------------------------------------------- */

static json_t *json_of(snub_followed followed, const fit *f)
{
    const snub_followed_shown *as = snub_followed_describe(followed);
    const int beyond = f->h.below + f->h.above;
    json_t *object = json_object();
    snub_json_put(object, "number", snub_json_words(as->key));
    snub_json_put(object, "low_limit", snub_json_number(snub_in_unit(as->unit, f->h.low_limit)));
    snub_json_put(object, "high_limit", snub_json_number(snub_in_unit(as->unit, f->h.high_limit)));
    snub_json_put(object, "cp", snub_json_number(f->normal.cp));
    snub_json_put(object, "cpk", snub_json_number(f->normal.cpk));
    snub_json_put(object, "share_below_if_normal", snub_json_number(f->normal.below));
    snub_json_put(object, "share_above_if_normal", snub_json_number(f->normal.above));
    snub_json_put(object, "kits_beyond", json_integer(beyond));
    snub_json_put(object, "share", snub_json_number((double)beyond / f->h.count));
    snub_json_put(object, "low", snub_json_number(f->beyond.low));
    snub_json_put(object, "high", snub_json_number(f->beyond.high));
    return object;
}

json_t *snub_json_capability(const snub_tolerated *of)
{
    json_t *list = json_array();
    for (int f = 0; f < SNUB_FOLLOWED_; f++) {
        fit one;
        if (!fit_of(of, (snub_followed)f, &one))
            snub_json_lose();
        else if (has_limits(&one.h))
            snub_json_append(list, json_of((snub_followed)f, &one));
    }
    return list;
}
