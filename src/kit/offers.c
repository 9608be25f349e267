/* Every blower pulley on offer, as the build that the chart makes of it, and how it holds. docs/theory/sweep.md */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "offers.h"

/* The option that offers the blower's diameter: "NAME.diameter" or "NAME.diameter.value". */
const snub_option *snub_diameter_option(const snub_drive *drive, int blower)
{
    char path[2][200];
    snprintf(path[0], sizeof path[0], "%.150s.diameter", drive->pulleys[blower].name);
    snprintf(path[1], sizeof path[1], "%.150s.diameter.value", drive->pulleys[blower].name);
    for (int i = 0; i < drive->option_count; i++)
        if (strcmp(drive->options[i].path, path[0]) == 0 || strcmp(drive->options[i].path, path[1]) == 0)
            return &drive->options[i];
    return NULL;
}

/* Lowest speed at which any pulley slips, steady or rising. */
static void read_onset(const snub_sweep *sweep, snub_offer_slip *slip)
{
    static const snub_way ways[] = {SNUB_STEADY, SNUB_RISING};
    for (int i = 0; i < 2; i++)
        for (int p = 0; p < sweep->pulleys; p++) {
            const double onset = snub_sweep_slip_onset(sweep, ways[i], p);
            if (isfinite(onset) && !(onset >= slip->onset))
                *slip = (snub_offer_slip){onset, ways[i], p};
        }
}

static void read_grip(const snub_sweep *sweep, snub_pulley_offer *offer)
{
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
    snub_status status = snub_sweep_run(build, request, arena, &sweep, error);
    if (status != SNUB_OK)
        return status;
    const snub_sweep_point *last = &sweep.point[SNUB_STEADY][sweep.speeds - 1];
    offer->swept = true;
    offer->boost = last->match.boost;
    offer->rotor_speed = last->match.rotor_speed;
    offer->rotor_limit = snub_rotor_limit(&build->drive->pulleys[sweep.blower]);
    read_onset(&sweep, &offer->slip);
    read_grip(&sweep, offer);
    snub_sweep_request wet = *request;
    wet.friction = 1 - build->drive->belt.wet;
    if (wet.friction != sweep.friction)
        status = snub_sweep_run(build, &wet, arena, &sweep, error);
    if (status == SNUB_OK)
        read_onset(&sweep, &offer->wet);
    return status;
}

/* Line and reason, as the chart gives them: "line 128: is too small (got 3, need 8 to 1500 mm)". */
static void tell_why(const snub_error *error, snub_status status, snub_pulley_offer *offer)
{
    char line[32] = "";
    if (error == NULL) {
        snprintf(offer->why, sizeof offer->why, "%s", snub_status_text(status));
        return;
    }
    if (error->place.line > 0)
        snprintf(line, sizeof line, "line %d: ", error->place.line);
    snprintf(offer->why, sizeof offer->why, "%s%s%s%s%s%s%s", line, error->message,
             error->got[0] != '\0' ? " (got " : "", error->got,
             error->got[0] != '\0' && error->need[0] != '\0' ? ", need " : "", error->got[0] != '\0' ? error->need : "",
             error->got[0] != '\0' ? ")" : "");
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
        tell_why(errors.count > 0 ? &errors.items[0] : NULL, status, offer);
    snub_errors_free(&errors);
    if (status == SNUB_NO_MEMORY)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    return status == SNUB_OK ? sweep_offer(request, arena, offer, error) : SNUB_OK;
}

snub_status snub_offer_make(const snub_document *document, const snub_reading *reading, const snub_build *own,
                            const snub_option *option, int value, const snub_sweep_request *request, snub_arena *arena,
                            snub_pulley_offer *offer, snub_error *error)
{
    const snub_node *node = option->values[value];
    const snub_overlay overlay = {.path = option->path, .value = node, .place = option->place};
    snub_row with;
    *offer = (snub_pulley_offer){
        .value = node->text ? node->text : "?", .slip = {.onset = NAN}, .wet = {.onset = NAN}, .rotor_limit = NAN};
    if (!snub_row_with(&own->row, &overlay, arena, &with))
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    const snub_exclusion *exclusion = snub_row_excluded(document, own->drive, &with, NULL);
    if (exclusion != NULL) {
        offer->excluded = true;
        snprintf(offer->why, sizeof offer->why, "%s", exclusion->reason);
        return SNUB_OK;
    }
    return make_offer(document, reading, &with, request, arena, offer, error);
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
    const snub_option *option = blower >= 0 ? snub_diameter_option(build->drive, blower) : NULL;
    *count = 0;
    for (int i = 0; option != NULL && i < option->count && *count < SNUB_OFFERS_MOST; i++) {
        const snub_status status =
            snub_offer_make(document, reading, build, option, i, request, arena, &offers[*count], error);
        if (status != SNUB_OK)
            return status;
        ++*count;
    }
    if (*count > 1)
        qsort(offers, (size_t)*count, sizeof *offers, by_diameter);
    return SNUB_OK;
}
