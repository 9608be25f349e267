/* Which tolerance contributes how much, for people and as JSON. */
#include <math.h>
#include <stdlib.h>

#include "json_words.h"
#include "tolerate_words.h"
#include "words.h"

/* What is left out of the table: less than this share even with all that it does together with others. */
static const double LITTLE = 0.01;

static const char *number_words(int k)
{
    return k == SNUB_CONTRIBUTES_FAILING ? "whether a kit fails" : snub_followed_describe((snub_followed)k)->words;
}

static const char *number_key(int k)
{
    return k == SNUB_CONTRIBUTES_FAILING ? "fails" : snub_followed_describe((snub_followed)k)->key;
}

/* The greatest total that is not shown yet; the file's order among equals. -1: none */
static int next_cause(const snub_contributions *of, int k, const bool *shown)
{
    int best = -1;
    for (int c = 0; c < of->count; c++) {
        if (!shown[c] && (best < 0 || of->cause[c].to[k].total > of->cause[best].to[k].total))
            best = c;
    }
    return best;
}

static bool add_number(const snub_contributions *of, int k, snub_arena *arena, snub_text *out)
{
    bool *shown = SNUB_NEW(arena, bool, of->count + 1);
    if (shown == NULL)
        return false;
    snub_text_printf(out, "\n%-32s %16s %18s\n", number_words(k), "by itself", "with others");
    int left = of->count;
    for (int c = next_cause(of, k, shown); c >= 0; c = next_cause(of, k, shown), left--) {
        const snub_scatter_cause *cause = &of->cause[c];
        const snub_contribution *to = &cause->to[k];
        if (to->total < LITTLE)
            break;
        shown[c] = true;
        snub_text_printf(out, "%s%-*s %7.1f +- %4.1f %% %9.1f +- %4.1f %%\n", cause->is_group ? "group " : "",
                         cause->is_group ? 26 : 32, cause->name, 100.0 * to->first, 100.0 * to->first_error,
                         100.0 * to->total, 100.0 * to->total_error);
    }
    if (left > 0)
        snub_text_printf(out, "%d more: under 1 %% each\n", left);
    return true;
}

bool snub_text_contributions(const snub_contributions *of, const snub_look *look, snub_arena *arena, snub_text *out)
{
    bool any = false;
    snub_text_puts(out, "\n");
    snub_text words = {0};
    snub_text_printf(
        &words,
        "What contributes to the scatter, by %d pairs of kits%s: the share of the variance that goes when the "
        "tolerance is gone (by itself), and that stays when it alone is left (with others), each with its "
        "standard error.",
        of->pairs, of->stopped ? " (stopped)" : "");
    snub_wrap(words.data != NULL ? words.data : "", 0, 0, look->width, out);
    out->failed = out->failed || words.failed;
    snub_text_free(&words);
    for (int k = SNUB_CONTRIBUTES_ - 1; k >= 0; k--) {
        if (!of->has[k])
            continue;
        any = true;
        if (!add_number(of, k, arena, out))
            return false;
    }
    if (!any)
        snub_text_puts(out, "Nothing scatters in these kits, or there are too few of them.\n");
    return true;
}

void snub_json_contributions(json_t *into, const snub_contributions *of)
{
    json_t *list = json_array();
    for (int k = 0; of != NULL && k < SNUB_CONTRIBUTES_; k++) {
        for (int c = 0; of->has[k] && c < of->count; c++) {
            const snub_contribution *to = &of->cause[c].to[k];
            json_t *object = json_object();
            snub_json_put(object, of->cause[c].is_group ? "group" : "path", snub_json_words(of->cause[c].name));
            snub_json_put(object, of->cause[c].is_group ? "path" : "group", json_null());
            snub_json_put(object, "of", snub_json_words(number_key(k)));
            snub_json_put(object, "first", snub_json_number(to->first));
            snub_json_put(object, "first_error", snub_json_number(to->first_error));
            snub_json_put(object, "total", snub_json_number(to->total));
            snub_json_put(object, "total_error", snub_json_number(to->total_error));
            snub_json_append(list, object);
        }
    }
    snub_json_put(into, "contributions", list);
    snub_json_put(into, "contribution_pairs", of != NULL ? json_integer(of->pairs) : json_null());
    snub_json_put(into, "contributions_stopped", of != NULL ? json_boolean(of->stopped) : json_null());
}
