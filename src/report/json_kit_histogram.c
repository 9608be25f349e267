/* The distributions in `snub tolerate --json`. */
#include <math.h>

#include "json_words.h"
#include "snub/kit_histogram.h"
#include "tolerate_words.h"

static json_t *in_unit(const snub_followed_shown *shown, double si)
{
    return snub_json_number(snub_in_unit(shown->unit, si));
}

static json_t *quantiles_of(const snub_kit_histogram *h, const snub_followed_shown *shown)
{
    json_t *list = json_array();
    for (int q = 0; q < SNUB_QUANTILES; q++) {
        json_t *one = json_object();
        snub_json_put(one, "percent", snub_json_number(100.0 * snub_quantile_chance[q]));
        snub_json_put(one, "value", in_unit(shown, h->quantile[q]));
        snub_json_append(list, one);
    }
    return list;
}

static json_t *classes_of(const snub_kit_histogram *h, const snub_followed_shown *shown)
{
    json_t *list = json_array();
    for (int k = 0; k < h->class_count; k++) {
        json_t *one = json_object();
        snub_json_put(one, "from", in_unit(shown, h->from + k * h->width));
        snub_json_put(one, "to", in_unit(shown, h->from + (k + 1) * h->width));
        snub_json_put(one, "kits", json_integer(h->kits[k]));
        snub_json_append(list, one);
    }
    return list;
}

static json_t *one_of(const snub_tolerated *of, snub_followed followed, const snub_kit_histogram *h)
{
    const snub_followed_shown *shown = snub_followed_describe(followed);
    json_t *one = json_object();
    snub_json_put(one, "number", snub_json_words(shown->key));
    snub_json_put(one, "kits", json_integer(h->count));
    snub_json_put(one, "kits_without", json_integer(of->kit_count - h->count));
    snub_json_put(one, "kits_endless", json_integer(h->endless));
    snub_json_put(one, "nominal", in_unit(shown, of->spread[followed].nominal));
    snub_json_put(one, "low_limit", in_unit(shown, h->low_limit));
    snub_json_put(one, "high_limit", in_unit(shown, h->high_limit));
    snub_json_put(one, "kits_below", json_integer(h->below));
    snub_json_put(one, "kits_above", json_integer(h->above));
    snub_json_put(one, "quantiles", quantiles_of(h, shown));
    snub_json_put(one, "classes", classes_of(h, shown));
    return one;
}

json_t *snub_json_kit_histograms(const snub_tolerated *of)
{
    json_t *list = json_array();
    for (int f = 0; f < SNUB_FOLLOWED_; f++) {
        snub_kit_histogram h;
        if (snub_kit_histogram_of(of, (snub_followed)f, &h) != SNUB_OK)
            snub_json_lose();
        else if (h.count > 0)
            snub_json_append(list, one_of(of, (snub_followed)f, &h));
    }
    return list;
}
