/* Every blower pulley on offer, as the build that the chart makes of it, and how it holds. docs/theory/sweep.md */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "snub/sweep.h"

/* The option that offers the blower's diameter: "NAME.diameter" or "NAME.diameter.value". */
static const snub_option *diameter_option(const snub_drive *drive, const char *blower)
{
    char path[2][200];
    snprintf(path[0], sizeof path[0], "%.150s.diameter", blower);
    snprintf(path[1], sizeof path[1], "%.150s.diameter.value", blower);
    for (int i = 0; i < drive->option_count; i++)
        if (strcmp(drive->options[i].path, path[0]) == 0 || strcmp(drive->options[i].path, path[1]) == 0)
            return &drive->options[i];
    return NULL;
}

/* Lowest speed at which any pulley slips, steady or rising. */
static void read_onset(const snub_sweep *sweep, snub_pulley_offer *offer)
{
    static const snub_way ways[] = {SNUB_STEADY, SNUB_RISING};
    for (int i = 0; i < 2; i++)
        for (int p = 0; p < sweep->pulleys; p++) {
            const double onset = snub_sweep_slip_onset(sweep, ways[i], p);
            if (isfinite(onset) && !(onset >= offer->onset)) {
                offer->onset = onset;
                offer->onset_way = ways[i];
                offer->onset_pulley = p;
            }
        }
    for (int k = 0; k < sweep->speeds; k++) {
        const double grip = sweep->pulley[SNUB_STEADY][k * sweep->pulleys + sweep->blower].grip_design;
        if (sweep->point[SNUB_STEADY][k].solved && grip > offer->grip)
            offer->grip = grip;
    }
}

static snub_status sweep_offer(const snub_sweep_request *request, snub_arena *arena, snub_pulley_offer *offer,
                               snub_error *error)
{
    const snub_build *build = offer->build;
    snub_sweep sweep;
    if (!build->laid || !build->drive->engine.given || build->loads.blower < 0)
        return SNUB_OK;
    const snub_status status = snub_sweep_run(build, request, arena, &sweep, error);
    if (status != SNUB_OK)
        return status;
    const snub_sweep_point *last = &sweep.point[SNUB_STEADY][sweep.speeds - 1];
    offer->swept = true;
    offer->boost = last->match.boost;
    offer->rotor_speed = last->match.rotor_speed;
    offer->rotor_limit = snub_rotor_limit(&build->drive->pulleys[sweep.blower]);
    read_onset(&sweep, offer);
    return SNUB_OK;
}

static snub_status make_offer(const snub_document *document, const snub_reading *reading, const snub_row *row,
                              const snub_sweep_request *request, snub_arena *arena, snub_pulley_offer *offer,
                              snub_error *error)
{
    snub_build *build = SNUB_NEW(arena, snub_build, 1);
    snub_errors errors = {0};
    const snub_build_request afresh = {.afresh = true};
    if (build == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    snub_status status = snub_build_make(document, reading, row, &afresh, build, &errors);
    if (status == SNUB_OK)
        offer->build = build;
    else
        snprintf(offer->why, sizeof offer->why, "%.150s",
                 errors.count > 0 ? errors.items[0].message : snub_status_text(status));
    snub_errors_free(&errors);
    if (status == SNUB_NO_MEMORY)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    return status == SNUB_OK ? sweep_offer(request, arena, offer, error) : SNUB_OK;
}

static double diameter_of(const snub_pulley_offer *offer)
{
    return offer->build != NULL ? offer->build->drive->pulleys[snub_first_blower(offer->build->drive)].diameter : 0.0;
}

static int by_diameter(const void *a, const void *b)
{
    const snub_pulley_offer *x = a, *y = b;
    const double p = diameter_of(x), q = diameter_of(y);
    return p > q ? -1 : p < q ? 1 : strcmp(x->value, y->value);
}

snub_status snub_sweep_offers(const snub_document *document, const snub_reading *reading, const snub_build *build,
                              const snub_sweep_request *request, snub_arena *arena, snub_pulley_offer *offers,
                              int *count, snub_error *error)
{
    const int blower = snub_first_blower(build->drive);
    const snub_option *option = blower >= 0 ? diameter_option(build->drive, build->drive->pulleys[blower].name) : NULL;
    *count = 0;
    for (int i = 0; option != NULL && i < option->count && *count < SNUB_OFFERS_MOST; i++) {
        snub_row row;
        const snub_overlay value = {.path = option->path, .value = option->values[i], .place = option->place};
        if (!snub_row_with(&build->row, &value, arena, &row))
            return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
        snub_pulley_offer *offer = &offers[*count];
        *offer = (snub_pulley_offer){
            .value = option->values[i]->text ? option->values[i]->text : "?", .onset = NAN, .rotor_limit = NAN};
        const snub_status status = make_offer(document, reading, &row, request, arena, offer, error);
        if (status != SNUB_OK)
            return status;
        ++*count;
    }
    if (*count > 1)
        qsort(offers, (size_t)*count, sizeof *offers, by_diameter);
    return SNUB_OK;
}
