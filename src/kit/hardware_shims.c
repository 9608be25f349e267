/* Which shims a drive is fitted with. docs/theory/planes.md, shims. */
#include "hardware_study.h"

#include <string.h>

static snub_status no_memory(snub_error *error)
{
    return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
}

/* Angles without any shim: of each pulley the least and the greatest, as drawn and over the cases. */
static void bare_angles(const snub_hardware_study *study, const snub_shim_places *p, double *angle, double *spread,
                        double *slope)
{
    const snub_shim_advice *a = &study->report->shims;
    for (int i = 0; i < study->drive->pulley_count; i++) {
        const snub_plane_result *r = &study->report->plane[i];
        for (int end = 2 * i; end < 2 * i + 2; end++) {
            angle[end] = end == 2 * i ? r->low : r->high;
            spread[end] = study->hardware->pulleys[i].guides ? r->rss : 0.0;
            for (int k = 0; k < a->places; k++) {
                slope[end * a->places + k] = p->slope[i][k];
                angle[end] -= p->slope[i][k] * p->now[k];
            }
        }
    }
}

static int packed(const snub_shim_advice *a)
{
    int count = 0;
    for (int k = 0; k < a->places; k++)
        count += a->place[k]->length > 0.0;
    return count;
}

/* Whether what is there now is over the limit and can be bettered, or needs more packs than the answer. */
static bool wants(const snub_shim_advice *a, double limit)
{
    return a->worst_now > limit ? a->answer.worst < a->worst_now - 1e-9 : a->answer.shims < packed(a);
}

void snub_shims_keep(snub_shim_advice *a, double limit)
{
    const long looked = a->answer.looked;
    a->answer = (snub_shim_answer){
        .worst = a->worst_now, .shims = packed(a), .passes = a->worst_now <= limit, .looked = looked};
    for (int k = 0; k < a->places; k++)
        a->answer.pack[k] = a->place[k]->length;
    a->wanted = false;
}

snub_status snub_hardware_shims(snub_hardware_study *study, const snub_shim_places *p, snub_error *error)
{
    const int n = study->drive->pulley_count;
    const double limit = study->drive->limits[SNUB_LIMIT_MISALIGNMENT];
    snub_shim_advice *a = &study->report->shims;
    double bare[2 * SNUB_PULLEYS_MOST], spread[2 * SNUB_PULLEYS_MOST];
    double *slope = SNUB_NEW(study->arena, double, 2 * n * a->places);
    if (slope == NULL)
        return no_memory(error);
    bare_angles(study, p, bare, spread, slope);
    const snub_shim_problem problem = {.ends = 2 * n,
                                       .angle = bare,
                                       .spread = spread,
                                       .slope = slope,
                                       .places = a->places,
                                       .sizes = study->hardware->shim_count,
                                       .thickness = study->hardware->shims,
                                       .most = study->hardware->shims_most,
                                       .limit = limit};
    a->asked = true;
    const snub_status status = snub_shim_search(&problem, study->arena, &a->answer, error);
    if (status != SNUB_OK)
        return status;
    for (int i = 0; i < n; i++)
        a->worst_now = fmax(a->worst_now, snub_plane_most(&study->report->plane[i]) + spread[2 * i]);
    a->wanted = wants(a, limit);
    if (!a->wanted)
        snub_shims_keep(a, limit);
    return SNUB_OK;
}
