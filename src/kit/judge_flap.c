/* Which spans may flap into what is beside them. docs/theory/motion.md, flap in the verdict. */
#include "judge_flap.h"

#include "beside.h"

/* Of its length: farther no span is taken to flap, so that what is not within it need not be looked at. A half sine so
 * high stretches a span by (0.1 pi)^2/4 = 2.5 %; that takes 700 N in each rib of a belt of usual stiffness, and more
 * than twice what any belt is to carry (limit rib_tension). */
static const double REACH = 0.1;

enum { WINDS = 5 };

/* ---- what can be met ----------------------------------------------------------------------------------------------
 */

/* Something within reach of span i, at one place of the arm? */
static bool in_reach(const snub_study *s, const snub_path *path, const snub_lie *lie, int i)
{
    snub_span_flap far = {.flap = REACH * path->span[i], .room = INFINITY};
    snub_beside_look(s->drive, path, lie, i, &far);
    return far.room < far.asked;
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
        const snub_lie *on = snub_lie_on(basis, &path, &lie);
        for (int i = 0; i < path.n; i++) {
            spans[i] = spans[i] || in_reach(s, &path, on, i);
            any = any || spans[i];
        }
    }
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
