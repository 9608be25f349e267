/* The hardware of a drive judged: hub loads over all cases, then each part in turn. */
#include "hardware_study.h"

#include <string.h>

/* Without a duty: time falls linearly from idle to this share of it at the redline; rule of thumb. */
#define REDLINE_SHARE 0.05
enum { DUTY_POINTS = 12 };
/* A speed that is the redline in another unit is not over it. */
#define SPEED_ROUNDING 1e-9

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

/* ---- all --------------------------------------------------------------------------------------------------------- */

/* No case is worked out past the redline, and none between standstill and idle. */
static void tell_duty(const snub_hardware_study *study)
{
    const double idle = study->drive->engine.idle, redline = study->drive->engine.redline;
    for (int k = 0; study->drive->engine.given && k < study->duty_count; k++) {
        const snub_duty_point *point = &study->duty[k];
        const bool over = point->speed > redline * (1.0 + SPEED_ROUNDING);
        const bool under = point->speed > 0.0 && point->speed < idle * (1.0 - SPEED_ROUNDING);
        if (!(over || under) || point->share <= 0.0)
            continue;
        snub_finding f = snub_hardware_finding(study, over ? SNUB_SAYS_DUTY_OVER_REDLINE : SNUB_SAYS_DUTY_UNDER_IDLE,
                                               -1, NULL, point->speed);
        f.limit = over ? redline : idle;
        snub_finding_number(&f, "share", point->share, SNUB_UNIT_PERCENT, 1);
        snub_hardware_tell(study, &f);
    }
}

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

static snub_status no_memory(snub_error *error)
{
    return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
}

snub_status snub_judge_hardware(const snub_study *of, const snub_path *running, const snub_path *rest,
                                const snub_shim_plan *plan, snub_hardware_report *report, snub_error *error)
{
    memset(report, 0, sizeof *report);
    report->drive = of->drive;
    report->swings = of->swings;
    report->swing_missing = of->swing_missing;
    report->shims = plan->advice;
    for (int i = 0; i < of->drive->pulley_count; i++)
        report->plane[i].unshimmed = plan->unshimmed[i];
    snub_hardware_study study = {.study = of,
                                 .drive = of->drive,
                                 .hardware = of->drive->hardware,
                                 .path = running,
                                 .rest = rest,
                                 .arena = of->arena,
                                 .loads = plan->planned && !of->swings ? plan->hub : NULL,
                                 .report = report};
    if (choose_duty(&study) != SNUB_OK)
        return no_memory(error);
    tell_lost(&study);
    tell_duty(&study);
    snub_status status = snub_hardware_lean(&study, error);
    if (status != SNUB_OK)
        return status;
    snub_hardware_clamps(&study);
    snub_hardware_bolts(&study);
    if (report->failed || of->arena->refused) /* a mount may lack its bolts */
        return no_memory(error);
    snub_hardware_strips(&study);
    snub_hardware_edges(&study);
    status = snub_hardware_planes(&study, error);
    if (status != SNUB_OK)
        return status;
    snub_hardware_judge_planes(&study);
    snub_hardware_bearings(&study);
    snub_hardware_obstacles(&study);
    snub_hardware_facts(&study);
    if (report->failed)
        return no_memory(error);
    report->done = true;
    return report->facts.failed || of->arena->refused ? no_memory(error) : SNUB_OK;
}
