/* What another width of a tolerance would do, from the kits that were judged. docs/theory/tolerate.md. */
#include <math.h>

#include "drawn_kit.h"

/* A field of tolerance shrinks to its middle; a scatter without ends to its mean. */
static double middle_of(const snub_scatter *scatter)
{
    double mean, variance;
    if (scatter->kind != SNUB_SAMPLED && isfinite(scatter->low) && isfinite(scatter->high))
        return 0.5 * (scatter->low + scatter->high);
    snub_scatter_moments(scatter, &mean, &variance);
    return mean;
}

/* @return false: memory is out */
static bool fill(const snub_tolerated *of, const snub_arena *arena, snub_held *held, double *value, bool *fails)
{
    bool good = true;
    for (int i = 0; i < of->scatter_count; i++) {
        const snub_tolerance *t = of->scatter[i];
        held[i] =
            (snub_held){t->scatter, middle_of(&t->scatter), t->cost > 0.0 ? t->cost : (double)NAN, t->group == NULL};
    }
    for (int k = 0; good && k < of->kit_count; k++) {
        snub_arena point;
        snub_arena_init(&point, arena->limit);
        fails[k] = of->kits[k].level == SNUB_FAIL;
        good = snub_drawn_kit(of, k, &point, &value[(size_t)k * (size_t)of->scatter_count]);
        snub_arena_free(&point);
    }
    return good;
}

bool snub_tolerated_widths(const snub_tolerated *of, snub_arena *arena, snub_width **width, snub_width_plan *plan)
{
    const size_t values = (size_t)of->scatter_count, count = (size_t)of->kit_count;
    snub_held *held = SNUB_NEW(arena, snub_held, values);
    double *value = SNUB_NEW(arena, double, values *count);
    bool *fails = SNUB_NEW(arena, bool, count);
    *width = SNUB_NEW(arena, snub_width, values);
    if (held == NULL || value == NULL || fails == NULL || *width == NULL || !fill(of, arena, held, value, fails))
        return false;
    const snub_counted_kits kits = {of->scatter_count, held, of->kit_count, value, fails};
    *plan = snub_width_plan_of(&kits, *width);
    return true;
}
