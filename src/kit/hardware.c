/* The hardware of a drive judged: hub loads over all cases, then each part in turn. */
#include "hardware_study.h"

#include <string.h>

/* Without a duty: time falls linearly from idle to this share of it at the redline; memory. */
#define REDLINE_SHARE 0.05
enum { DUTY_POINTS = 12 };

void snub_hardware_find(snub_hardware_study *study, snub_level level, const char *rule, const char *pulley,
                        const char *other, double value, double limit, const char *unit, const char *source,
                        const char *format, ...)
{
    snub_text text = {0};
    va_list arguments;
    va_start(arguments, format);
    snub_text_vprintf(&text, format, arguments);
    va_end(arguments);
    const char *said = text.failed ? NULL : snub_copy_text(study->arena, text.data);
    snub_text_free(&text);
    const snub_finding finding = {.level = level,
                                  .rule = rule,
                                  .pulley = pulley,
                                  .other = other,
                                  .value = value,
                                  .limit = limit,
                                  .unit = unit,
                                  .at_speed = NAN,
                                  .state = "laid out",
                                  .text = said != NULL ? said : "",
                                  .source = source};
    snub_findings_add(&study->report->findings, study->arena, &finding);
    if (said == NULL)
        study->report->findings.failed = true;
}

double snub_hardware_base(const snub_hardware *hardware, int pulley)
{
    const int mount = hardware->pulleys[pulley].mount;
    return mount >= 0 ? snub_stack_end(&hardware->mounts[mount].stack, 0.0) : 0.0;
}

/* ---- loads ------------------------------------------------------------------------------------------------------ */

static bool sample(snub_hardware_study *study, const snub_rig *rig, const snub_loads *loads, double length, int speed,
                   snub_running running, double side)
{
    snub_case wanted;
    snub_equilibrium e;
    snub_balance balance;
    snub_loads_case(study->drive, loads, speed, running, side, length, study->drive->belt.stretch, &wanted);
    if (snub_solve(rig, &wanted, &e, NULL) != SNUB_OK)
        return false;
    snub_expand(study->drive, rig, &wanted, &e, &balance);
    snub_hub_sample *s = &study->samples[study->sample_count++];
    s->engine_speed = loads->speed[speed];
    s->state = speed == 0 ? "at rest" : snub_running_text(running);
    s->steady = running == SNUB_STEADY && side == 0.0;
    for (int i = 0; i < study->drive->pulley_count; i++) {
        memcpy(s->force[i], balance.pulley[i].hub, sizeof s->force[i]);
        s->speed[i] = fabs(balance.pulley[i].speed);
    }
    return true;
}

/* @return how many cases had no balance */
static int sample_all(snub_hardware_study *study, const snub_rig *rig, const snub_loads *loads, double length)
{
    int lost = 0;
    for (int speed = 0; speed < loads->speeds; speed++) {
        for (int running = 0; running < (speed == 0 ? 1 : SNUB_RUNNING_COUNT); running++) {
            for (int side = -1; side <= 1; side++)
                lost += !sample(study, rig, loads, length, speed, (snub_running)running, side);
        }
    }
    return lost;
}

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

static void sum_hub(snub_hardware_study *study, int i)
{
    snub_hub_load *hub = &study->report->hub[i];
    hub->least_size = INFINITY;
    for (int k = 0; k < study->sample_count; k++) {
        const snub_hub_sample *s = &study->samples[k];
        const double size = hypot(s->force[i][0], s->force[i][1]);
        hub->least_size = fmin(hub->least_size, size);
        hub->top_speed = fmax(hub->top_speed, s->speed[i]);
        if (size > hub->worst_size) {
            hub->worst_size = size;
            memcpy(hub->worst, s->force[i], sizeof hub->worst);
            hub->worst_speed = s->engine_speed;
            hub->worst_state = s->state;
        }
    }
}

/* ---- all
 * ------------------------------------------------------------------------------------------------------------- */

static snub_status prepare(snub_hardware_study *study, const snub_loads *loads, const snub_check *check,
                           snub_error *error)
{
    const int cases = 3 * SNUB_RUNNING_COUNT * loads->speeds;
    snub_rig *rig = SNUB_NEW(study->arena, snub_rig, 1);
    study->samples = SNUB_NEW(study->arena, snub_hub_sample, cases);
    if (rig == NULL || study->samples == NULL || choose_duty(study) != SNUB_OK)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    const snub_status status = snub_rig_prepare(study->drive, check->settings, rig, error);
    if (status != SNUB_OK)
        return status;
    const int lost = sample_all(study, rig, loads, check->length);
    if (lost > 0)
        snub_hardware_find(study, SNUB_WATCH, "hub_load", NULL, NULL, lost, 0, "", "equilibrium",
                           "%d of the cases have no balance and are not in the hub loads: see snub check.", lost);
    for (int i = 0; i < study->drive->pulley_count; i++)
        sum_hub(study, i);
    return SNUB_OK;
}

snub_status snub_hardware_judge(const snub_drive *drive, const snub_loads *loads, const snub_check *check,
                                snub_arena *arena, snub_hardware_report *report, snub_error *error)
{
    memset(report, 0, sizeof *report);
    report->drive = drive;
    report->check = check;
    if (drive->hardware == NULL)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "mounts",
                         "the file has no hardware: add stacks, obstacles, mounts, standoffs or bearings");
    if (!check->laid) {
        for (int i = 0; i < check->findings.count; i++)
            snub_findings_add(&report->findings, arena, &check->findings.items[i]);
        return SNUB_OK;
    }
    snub_hardware_study study = {
        .drive = drive, .hardware = drive->hardware, .path = &check->balance.path, .arena = arena, .report = report};
    if (snub_findings_verdict(&check->findings) == SNUB_FAIL)
        snub_hardware_find(&study, SNUB_WATCH, "build", NULL, NULL, NAN, NAN, "", "snub check",
                           "The build fails its check (%s): what follows is of a drive that is not to be built so.",
                           check->findings.items[0].rule);
    snub_status status = prepare(&study, loads, check, error);
    if (status != SNUB_OK)
        return status;
    snub_hardware_standoffs(&study);
    snub_hardware_bolts(&study);
    if (report->findings.failed || arena->refused) /* a mount may lack its bolts */
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    status = snub_hardware_planes(&study, error);
    if (status != SNUB_OK)
        return status;
    snub_hardware_bearings(&study);
    snub_hardware_obstacles(&study);
    snub_hardware_facts(&study);
    snub_findings_sort(&report->findings);
    report->done = true;
    return report->findings.failed || report->facts.failed || arena->refused
               ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory")
               : SNUB_OK;
}
