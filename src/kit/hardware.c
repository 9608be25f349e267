/* The hardware of a drive judged: hub loads over all cases, then each part in turn. */
#include "hardware_study.h"

#include <string.h>

/* Without a duty: time falls linearly from idle to this share of it at the redline; rule of thumb. */
#define REDLINE_SHARE 0.05
enum { DUTY_POINTS = 12 };

/* ---- loads ------------------------------------------------------------------------------------------------------ */

static snub_status choose_duty(snub_hardware_study *study)
{
    const snub_hardware *hardware = study->hardware;
    study->duty = hardware->duty;
    study->duty_count = hardware->duty_count;
    if (study->duty_count > 0)
        return SNUB_OK;
    snub_duty_point *duty = SNUB_NEW(study->arena, snub_duty_point, DUTY_POINTS);
    if (duty == NULL)
        return SNUB_NO_MEMORY;
    const double idle = study->drive->engine.idle, redline = study->drive->engine.redline;
    double sum = 0.0;
    for (int k = 0; k < DUTY_POINTS; k++) {
        const double part = k / (DUTY_POINTS - 1.0);
        duty[k] = (snub_duty_point){idle + (redline - idle) * part, 1.0 - (1.0 - REDLINE_SHARE) * part};
        sum += duty[k].share;
    }
    for (int k = 0; k < DUTY_POINTS; k++)
        duty[k].share /= sum;
    study->duty = duty;
    study->duty_count = DUTY_POINTS;
    study->report->duty_assumed = true;
    return SNUB_OK;
}

/* Squares are compared: a root for each of thousands of cases is what takes time here. */
static void sum_hub(snub_hardware_study *study, int i)
{
    snub_hub_load *hub = &study->report->hub[i];
    bool met[SNUB_CORNERS] = {false};
    double worst = -1.0;
    hub->least_size = INFINITY;
    for (int k = 0; k < study->study->sample_count; k++) {
        const snub_hub_sample *s = &study->study->samples[k];
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
        for (int k = 0; k < study->study->sample_count; k++) {
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

/* ---- all --------------------------------------------------------------------------------------------------------- */

static void tell_lost(const snub_hardware_study *study)
{
    if (study->study->lost == 0)
        return;
    const snub_finding f = snub_hardware_finding(study, SNUB_SAYS_CASES_WITHOUT_BALANCE, -1, NULL, study->study->lost);
    snub_hardware_tell(study, &f);
}

void snub_judge_obstacles(const snub_study *of, const snub_path *running, const snub_path *rest,
                          snub_hardware_report *report)
{
    memset(report, 0, sizeof *report);
    snub_hardware_study study = {.study = of,
                                 .drive = of->drive,
                                 .hardware = of->drive->hardware,
                                 .path = running,
                                 .rest = rest,
                                 .arena = of->arena,
                                 .report = report};
    snub_hardware_obstacles(&study);
}

snub_status snub_hardware_lean(snub_hardware_study *study, snub_error *error)
{
    for (int i = 0; i < study->drive->pulley_count && study->loads == NULL; i++)
        sum_hub(study, i);
    if (study->loads != NULL)
        memcpy(study->report->hub, study->loads, sizeof study->report->hub);
    snub_hardware_standoffs(study);
    snub_hardware_brackets(study);
    if (study->report->failed || !sum_leans(study))
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    return SNUB_OK;
}

static snub_status no_memory(snub_error *error)
{
    return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
}

snub_status snub_judge_hardware(const snub_study *of, const snub_path *running, const snub_path *rest,
                                const snub_shim_plan *plan, snub_hardware_report *report, snub_error *error)
{
    memset(report, 0, sizeof *report);
    report->drive = of->drive;
    report->shims = plan->advice;
    for (int i = 0; i < of->drive->pulley_count; i++)
        report->plane[i].unshimmed = plan->unshimmed[i];
    snub_hardware_study study = {.study = of,
                                 .drive = of->drive,
                                 .hardware = of->drive->hardware,
                                 .path = running,
                                 .rest = rest,
                                 .arena = of->arena,
                                 .loads = plan->planned ? plan->hub : NULL,
                                 .report = report};
    if (choose_duty(&study) != SNUB_OK)
        return no_memory(error);
    tell_lost(&study);
    snub_status status = snub_hardware_lean(&study, error);
    if (status != SNUB_OK)
        return status;
    snub_hardware_bolts(&study);
    if (report->failed || of->arena->refused) /* a mount may lack its bolts */
        return no_memory(error);
    status = snub_hardware_planes(&study, error);
    if (status != SNUB_OK)
        return status;
    snub_hardware_judge_planes(&study);
    snub_hardware_bearings(&study);
    snub_hardware_obstacles(&study);
    snub_hardware_facts(&study);
    report->done = true;
    return report->facts.failed || of->arena->refused ? no_memory(error) : SNUB_OK;
}
