/* The drive with its shims in. docs/theory/planes.md, shims. */
#include "hardware_study.h"

#include <string.h>

/* Packs that are put in and looked at again, one after another. */
enum { PROOFS_MOST = 6 };

static snub_status no_memory(snub_error *error)
{
    return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
}

/* The advised packs into a stack of its own. @param[out] grown  by how much it is longer, m
 * @return false: memory is out */
static bool fit_stack(snub_stack *stack, const snub_shim_advice *a, snub_arena *arena, double *grown)
{
    *grown = 0.0;
    if (stack->count == 0)
        return true;
    snub_stack_part *parts = SNUB_NEW(arena, snub_stack_part, stack->count);
    if (parts == NULL)
        return false;
    memcpy(parts, stack->parts, sizeof *parts * (size_t)stack->count);
    for (int i = 0; i < stack->count; i++) {
        for (int k = 0; k < a->places; k++) {
            if (a->place[k] != &stack->parts[i])
                continue;
            *grown += a->answer.pack[k] - parts[i].length;
            parts[i].length = a->answer.pack[k];
        }
    }
    stack->parts = parts;
    return true;
}

/* A copy of the drive with stacks and planes of its own. */
static snub_drive *copy_drive(const snub_drive *from, snub_arena *arena)
{
    const size_t n = (size_t)from->pulley_count, mounts = (size_t)from->hardware->mount_count;
    snub_drive *drive = SNUB_NEW(arena, snub_drive, 1);
    snub_pulley *pulleys = SNUB_NEW(arena, snub_pulley, n);
    snub_hardware *hardware = SNUB_NEW(arena, snub_hardware, 1);
    snub_pulley_hardware *on_pulleys = SNUB_NEW(arena, snub_pulley_hardware, n);
    snub_mount *on_mounts = SNUB_NEW(arena, snub_mount, mounts > 0 ? mounts : 1);
    if (drive == NULL || pulleys == NULL || hardware == NULL || on_pulleys == NULL || on_mounts == NULL)
        return NULL;
    memcpy(pulleys, from->pulleys, sizeof *pulleys * n);
    memcpy(on_pulleys, from->hardware->pulleys, sizeof *on_pulleys * n);
    if (mounts > 0)
        memcpy(on_mounts, from->hardware->mounts, sizeof *on_mounts * mounts);
    *hardware = *from->hardware;
    hardware->pulleys = on_pulleys;
    hardware->mounts = on_mounts;
    *drive = *from;
    drive->pulleys = pulleys;
    drive->hardware = hardware;
    return drive;
}

static snub_drive *fit(const snub_drive *from, const snub_shim_advice *a, snub_arena *arena)
{
    snub_drive *drive = copy_drive(from, arena);
    double grown[SNUB_MOUNTS_MOST], own;
    if (drive == NULL)
        return NULL;
    snub_hardware *hardware = drive->hardware;
    for (int m = 0; m < hardware->mount_count; m++) {
        if (!fit_stack(&hardware->mounts[m].stack, a, arena, &grown[m]))
            return NULL;
    }
    for (int i = 0; i < drive->pulley_count; i++) {
        snub_pulley_hardware *h = &hardware->pulleys[i];
        if (!fit_stack(&h->stack, a, arena, &own))
            return NULL;
        if (h->stack.count > 0) /* else its plane is the file's */
            drive->pulleys[i].plane += own + (h->mount >= 0 ? grown[h->mount] : 0.0);
    }
    return drive;
}

static bool has_place(const snub_stack *stack)
{
    for (int i = 0; i < stack->count; i++) {
        if (stack->parts[i].kind == SNUB_STACK_SHIM)
            return true;
    }
    return false;
}

bool snub_shims_may_move(const snub_hardware *hardware, int pulley)
{
    const snub_pulley_hardware *h = &hardware->pulleys[pulley];
    return hardware->shim_count > 0 && h->stack.count > 0 &&
           (has_place(&h->stack) || (h->mount >= 0 && has_place(&hardware->mounts[h->mount].stack)));
}

static double greater(double low, double high)
{
    return fabs(low) > fabs(high) ? low : high;
}

/* What is on trial: the drive with some packs in, and what comes of it. */
typedef struct trial {
    const snub_study *of;
    const snub_path *running;
    snub_study *quiet;
    snub_hardware_report *report;
    snub_findings dropped;
} trial;

/* Lean and entry angles of a drive, and which packs would suit it then. */
static snub_status look_at(trial *t, const snub_drive *drive, const snub_hub_load *loads, snub_error *error)
{
    *t->quiet = *t->of;
    t->quiet->drive = drive;
    t->quiet->arena = t->of->scratch;
    t->quiet->findings = &t->dropped;
    memset(t->report, 0, sizeof *t->report);
    t->report->drive = drive;
    snub_hardware_study study = {.study = t->quiet,
                                 .drive = drive,
                                 .hardware = drive->hardware,
                                 .path = t->running,
                                 .rest = t->running,
                                 .arena = t->of->scratch,
                                 .loads = loads,
                                 .planning = true,
                                 .report = t->report};
    const snub_status status = snub_hardware_lean(&study, error);
    return status == SNUB_OK ? snub_hardware_planes(&study, error) : status;
}

/* Shims change what leans, since the belt then stands farther out: the packs are put in and looked at again, until they
 * keep the limit or no better ones are found. The angles are those of the verdict. */
static snub_status prove(trial *t, snub_shim_plan *plan, snub_error *error)
{
    snub_shim_advice *a = &plan->advice, next = *a;
    const double limit = t->of->drive->limits[SNUB_LIMIT_MISALIGNMENT];
    snub_shim_answer best = a->answer;
    best.worst = INFINITY;
    for (int round = 0; round < PROOFS_MOST; round++) {
        snub_drive *drive = fit(t->of->drive, &next, t->of->scratch);
        if (drive == NULL)
            return no_memory(error);
        const snub_status status = look_at(t, drive, plan->hub, error);
        if (status != SNUB_OK)
            return status;
        const double worst = t->report->shims.worst_now;
        if (worst < best.worst) {
            best = next.answer;
            best.worst = worst;
        }
        if (worst <= limit || !t->report->shims.wanted)
            break;
        next.answer = t->report->shims.answer;
    }
    best.passes = best.worst <= limit;
    a->answer = best;
    if (!(a->worst_now > limit ? best.worst < a->worst_now - 1e-9 : best.passes))
        snub_shims_keep(a, limit);
    return SNUB_OK;
}

snub_status snub_plan_shims(const snub_study *of, const snub_path *running, snub_shim_plan *plan, snub_drive **fitted,
                            snub_error *error)
{
    memset(plan, 0, sizeof *plan);
    if (of->drive->hardware->shim_count == 0)
        return SNUB_OK;
    trial t = {.of = of,
               .running = running,
               .quiet = SNUB_NEW(of->scratch, snub_study, 1),
               .report = SNUB_NEW(of->scratch, snub_hardware_report, 1)};
    if (t.quiet == NULL || t.report == NULL)
        return no_memory(error);
    snub_status status = look_at(&t, of->drive, NULL, error);
    if (status != SNUB_OK)
        return status;
    plan->advice = t.report->shims;
    plan->planned = true;
    memcpy(plan->hub, t.report->hub, sizeof plan->hub);
    for (int i = 0; i < of->drive->pulley_count; i++)
        plan->unshimmed[i] = greater(t.report->plane[i].low, t.report->plane[i].high);
    if (plan->advice.wanted)
        status = prove(&t, plan, error);
    if (status == SNUB_OK && plan->advice.wanted)
        *fitted = fit(of->drive, &plan->advice, of->arena);
    return status != SNUB_OK ? status : t.dropped.failed || *fitted == NULL ? no_memory(error) : SNUB_OK;
}
