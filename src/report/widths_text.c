/* What other tolerances would do, for people. */
#include <math.h>
#include <stdio.h>

#include "tolerate_widths.h"
#include "words.h"

/* Where halving takes away most first, then the file's order; -1: no more that is predicted. */
static int next_value(const snub_tolerated *of, const snub_width *width, const bool *shown)
{
    int best = -1;
    for (int i = 0; i < of->scatter_count; i++) {
        if (!shown[i] && !isnan(width[i].half.share) && (best < 0 || width[i].half.change < width[best].half.change))
            best = i;
    }
    return best;
}

static const char *change_text(const snub_width_change *c, char *text, size_t size)
{
    if (!c->trusted)
        return "not known";
    snprintf(text, size, "%+.1f +- %.1f %%", 100.0 * c->change, 100.0 * c->error);
    return text;
}

static void add_value(const snub_tolerance *t, const snub_width *w, snub_text *out)
{
    char half[32], wider[32], factor[16] = "";
    if (w->wider.trusted)
        snprintf(factor, sizeof factor, "%.2f", w->wider.factor);
    snub_text_printf(out, "%-32s %16s %16s %6s\n", t->path, change_text(&w->half, half, sizeof half),
                     change_text(&w->wider, wider, sizeof wider), factor);
}

static void add_plan(const snub_tolerated *of, const snub_width_plan *plan, snub_text *out)
{
    if (plan->tighten >= 0)
        snub_text_printf(out, "For the money, tighten first: %s\n", of->scatter[plan->tighten]->path);
    if (plan->loosen >= 0)
        snub_text_printf(out, "To save money, loosen first: %s\n", of->scatter[plan->loosen]->path);
}

bool snub_text_widths(const snub_tolerated *of, const snub_look *look, snub_arena *arena, snub_text *out)
{
    snub_width *width;
    snub_width_plan plan;
    int left = of->scatter_count;
    if (of->by_level[SNUB_FAIL] == 0)
        return true;
    bool *shown = SNUB_NEW(arena, bool, of->scatter_count);
    if (shown == NULL || !snub_tolerated_widths(of, arena, &width, &plan))
        return false;
    int i = next_value(of, width, shown);
    if (i >= 0)
        snub_text_printf(out, "\n%-32s %16s %16s %6s\n", "change of the failing share", "half as wide", "wider",
                         "times");
    for (; i >= 0; i = next_value(of, width, shown)) {
        shown[i] = true;
        left--;
        add_value(of->scatter[i], &width[i], out);
    }
    add_plan(of, &plan, out);
    if (left > 0)
        snub_wrap("Not predicted: values that share a cause with others, and measured ones.", 0, 0, look->width, out);
    return true;
}
