/* Which spans may flap into what is beside them. docs/theory/motion.md, flap in the verdict. */
#include "judge_flap.h"

#include "lie.h"
#include "snub/clearance.h"
#include "snub/flapping.h"

/* Of its length: farther no span is taken to flap, so that what is not within it need not be looked at. A half sine so
 * high stretches a span by (0.1 pi)^2/4 = 2.5 %; that takes 700 N in each rib of a belt of usual stiffness, and more
 * than twice what any belt is to carry (limit rib_tension). */
static const double REACH = 0.1;

enum { WINDS = 3, NEAR_MOST = 24 };

/* ---- what can be met ----------------------------------------------------------------------------------------------
 */

/* Marks the spans that have something within reach, at one place of the arm. Where so much is near that it is not all
 * listed, all of them. */
static void mark_reached(const snub_study *s, const snub_path *path, const snub_lie *lie, bool *spans)
{
    const double asked = s->drive->limits[SNUB_LIMIT_CLEARANCE];
    snub_gap gap[NEAR_MOST];
    snub_conflict conflict[NEAR_MOST];
    int gaps, conflicts, found;
    bool all = snub_gaps(s->drive, path, lie, REACH, asked, gap, NEAR_MOST, &gaps) != SNUB_OK;
    for (int k = 0; k < gaps; k++) {
        if (gap[k].kind != SNUB_GAP_PULLEYS)
            spans[gap[k].b] = true;
        if (gap[k].kind == SNUB_GAP_SPANS)
            spans[gap[k].a] = true;
    }
    all = snub_obstacle_conflicts(s->drive, path, lie, SNUB_RUNS, asked, REACH, conflict, NEAR_MOST, &conflicts,
                                  &found) != SNUB_OK ||
          all;
    for (int k = 0; k < conflicts; k++) {
        if (conflict[k].piece == SNUB_PIECE_SPAN)
            spans[conflict[k].index] = true;
    }
    for (int i = 0; i < path->n && all; i++)
        spans[i] = true;
}

/* @return whether any */
static bool find_reached(const snub_study *s, const snub_build *build, const snub_lie_basis *basis, bool *spans)
{
    const int winds = s->drive->arm >= 0 && s->wind_low.set ? WINDS : 1;
    bool any = false;
    for (int k = 0; k < winds; k++) {
        const double wind = winds == 1 ? build->rest.equilibrium.wind
                                       : s->wind_low.value + (s->wind_high.value - s->wind_low.value) * k / (WINDS - 1);
        snub_path path;
        snub_lie lie;
        if (snub_drive_lay(s->drive, wind, build->settings, &path, NULL) != SNUB_OK)
            continue;
        mark_reached(s, &path, snub_lie_on(basis, &path, &lie), spans);
    }
    for (int i = 0; i < s->drive->pulley_count; i++)
        any = any || spans[i];
    return any;
}

/* ---- all ----------------------------------------------------------------------------------------------------------
 */

snub_status snub_judge_flap(const snub_study *study, const snub_build *build, double *tightest)
{
    snub_arena used;
    if (!study->swings)
        return SNUB_OK;
    snub_arena_branch(study->scratch, &used);
    snub_lie_basis *basis = SNUB_NEW(&used, snub_lie_basis, 1);
    bool *spans = SNUB_NEW(&used, bool, study->drive->pulley_count);
    snub_status status = basis != NULL && spans != NULL ? SNUB_OK : SNUB_NO_MEMORY;
    if (status == SNUB_OK) {
        snub_lie_drawn(study->drive, basis);
        if (find_reached(study, build, basis, spans))
            status = snub_flap_spans(study, build, spans, &used, tightest);
    }
    snub_arena_drop(study->scratch, &used);
    return status;
}
