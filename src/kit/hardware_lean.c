/* Hub loads over all cases, and how far the seats lean under them. */
#include "hardware_study.h"

#include <string.h>

/* Samples have the ends of the swing where hardware hangs; here it is every hub's. */
static void take_swung(const snub_hub_pull *swung, snub_hub_load *hub)
{
    const double size = hypot(swung->force[0], swung->force[1]);
    if (!swung->met || !(size > hub->worst_size))
        return;
    memcpy(hub->worst, swung->force, sizeof hub->worst);
    hub->worst_size = size;
    hub->worst_at = swung->at;
}

/* Squares are compared: a root for each of thousands of cases is what takes time here. */
static void sum_hub(snub_hardware_study *study, int i)
{
    snub_hub_load *hub = &study->report->hub[i];
    const int first_swung = study->study->steady_count;
    bool met[SNUB_CORNERS] = {false};
    double worst = -1.0, steady = -1.0;
    hub->least_size = INFINITY;
    for (int k = 0; k < study->study->sample_count; k++) {
        const snub_hub_sample *s = &study->study->samples[k];
        if (k == first_swung)
            steady = worst;
        const double square = s->force[i][0] * s->force[i][0] + s->force[i][1] * s->force[i][1];
        struct snub_hub_range *range = &hub->range[s->at.corner];
        hub->least_size = square < hub->least_size ? square : hub->least_size;
        if (!met[s->at.corner] || square < range->least)
            range->least = square;
        if (!met[s->at.corner] || square > range->most) {
            range->most = square;
            range->at = s->at;
        }
        met[s->at.corner] = true;
        if (s->speed[i] > hub->top_speed) {
            hub->top_speed = s->speed[i];
            hub->top_at = s->at;
        }
        if (square > worst) {
            worst = square;
            memcpy(hub->worst, s->force[i], sizeof hub->worst);
            hub->worst_at = s->at;
        }
    }
    hub->worst_size = hypot(hub->worst[0], hub->worst[1]);
    hub->worst_steady = steady >= 0.0 ? sqrt(steady) : hub->worst_size;
    take_swung(&study->study->hub_swung[i], hub);
    hub->least_size = sqrt(hub->least_size);
    for (int corner = 0; corner < SNUB_CORNERS; corner++) {
        hub->range[corner].least = sqrt(hub->range[corner].least);
        hub->range[corner].most = sqrt(hub->range[corner].most);
    }
}

/* ---- what bends under them --------------------------------------------------------------------------------------- */

static bool sum_leans(snub_hardware_study *study)
{
    const int pulleys = study->drive->pulley_count;
    study->tilt = snub_alloc(study->arena, (size_t)(study->study->sample_count * pulleys + 1), sizeof *study->tilt);
    if (study->tilt == NULL)
        return false;
    for (int i = 0; i < study->drive->pulley_count; i++) {
        snub_hub_load *hub = &study->report->hub[i];
        snub_peak worst = {0};
        if (!snub_leans(&study->lean[i]))
            continue;
        /* without the swing: the belt needs a part of a turn to follow a pulley that leans */
        for (int k = 0; k < study->study->steady_count; k++) {
            const snub_hub_sample *s = &study->study->samples[k];
            double *tilt = study->tilt[k * pulleys + i];
            snub_lean_of(&study->lean[i], s->force[i], tilt);
            snub_peak_take(&worst, tilt[0] * tilt[0] + tilt[1] * tilt[1], &s->at);
        }
        hub->lean = sqrt(worst.value);
        hub->lean_at = worst.at;
    }
    return true;
}

snub_status snub_hardware_lean(snub_hardware_study *study, snub_error *error)
{
    for (int i = 0; i < study->drive->pulley_count && study->loads == NULL; i++)
        sum_hub(study, i);
    if (study->loads != NULL)
        memcpy(study->report->hub, study->loads, sizeof study->report->hub);
    const snub_status status = snub_hardware_drift(study, error);
    if (status != SNUB_OK)
        return status;
    snub_hardware_standoffs(study);
    snub_hardware_brackets(study);
    if (study->report->failed || !sum_leans(study))
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    return SNUB_OK;
}
