/* One kit by the ordinary judge: its values laid over the build's row. */
#include "judged_kit.h"

#include <math.h>

#include "drawn_kit.h"

static void keep(const snub_build *build, snub_kit *kit)
{
    kit->level = (unsigned char)build->verdict;
    for (int k = 0; k < build->findings.count; k++) {
        const snub_finding *f = &build->findings.items[k];
        unsigned char *level = &kit->by_rule[snub_wording_describe(f->wording)->rule];
        if (f->level > *level)
            *level = (unsigned char)f->level;
    }
    kit->of[SNUB_FOLLOWED_GRIP] = build->worst_grip;
    kit->of[SNUB_FOLLOWED_BLOWER_GRIP] = build->blower_grip;
    const int blower = build->laid ? snub_first_blower(build->drive) : -1;
    kit->of[SNUB_FOLLOWED_WRAP] = blower >= 0 ? build->rest.path.wrap[blower] : (double)NAN;
    kit->of[SNUB_FOLLOWED_WIND_STOPPED] = build->wind_rest;
    kit->of[SNUB_FOLLOWED_WIND_REDLINE] = build->wind_redline;
    kit->of[SNUB_FOLLOWED_GAP] = isfinite(build->tightest_gap) ? build->tightest_gap : (double)NAN;
    kit->of[SNUB_FOLLOWED_BOOST] = build->air.boost;
}

snub_status snub_judge_kit(const snub_document *document, const snub_reading *reading, const snub_tolerated *of,
                           const double *value, snub_kit *kit, snub_errors *errors)
{
    snub_arena arena;
    snub_row row;
    const snub_build_request as_written = {0};
    snub_arena_init(&arena, reading->arena->limit);
    snub_reading own = *reading;
    own.arena = &arena;
    own.one_kit = true;
    snub_build *build = SNUB_NEW(&arena, snub_build, 1);
    snub_status status = SNUB_NO_MEMORY;
    if (build != NULL && snub_drawn_row(of, value, &arena, &row))
        status = snub_build_make(document, &own, &row, &as_written, build, errors);
    if (status == SNUB_OK)
        keep(build, kit);
    snub_arena_free(&arena);
    return status;
}
