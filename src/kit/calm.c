/* Which change calms a build. docs/theory/motion.md, what calms a drive. */
#include "snub/calm.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "loads.h"
#include "snub/num.h"

enum { SPEEDS = 31, GRID = 8, PER_PULLEY = 3, OF_ARM = 4 };
/* How far a change may go, rules of thumb: a half to twice of what is given, a fifth of an arm's length; friction, and
 * the place of an idler to either side [m]. */
static const double FACTOR = 2.0, ARM_FACTOR = 1.25, FRICTION_MOST = 0.6, PLACE = 20e-3;
/* For differences: of a value; of a place, m; of friction. Forward and back, so that they are good to its square. */
static const double STEP = 1e-3, PLACE_STEP = 0.05e-3;
/* Of the way to a bound, where the best value is good enough; of the worst swing, what is no help. */
static const double FINE = 0.03, NO_HELP = 0.005;

typedef struct task {
    const snub_build *build;
    const snub_reading *reading;
    snub_roughness now;
    snub_status status;
} task;

/* One value on trial. */
typedef struct trial {
    task *task;
    const snub_calm *calm; /* NULL: as it is */
} trial;

/* ---- values as the file has them --------------------------------------------------------------------------------- */

static bool of_place(const snub_calm *c)
{
    return c->kind == SNUB_CALM_PLACE_X || c->kind == SNUB_CALM_PLACE_Y;
}

static const snub_quantity QUANTITY[] = {
    [SNUB_CALM_INERTIA] = SNUB_Q_INERTIA,   [SNUB_CALM_ARM_INERTIA] = SNUB_Q_INERTIA,
    [SNUB_CALM_RATE] = SNUB_Q_TORQUE_RATE,  [SNUB_CALM_FRICTION] = SNUB_Q_NUMBER,
    [SNUB_CALM_ARM_LENGTH] = SNUB_Q_LENGTH, [SNUB_CALM_BELT] = SNUB_Q_FORCE,
    [SNUB_CALM_PLACE_X] = SNUB_Q_LENGTH,    [SNUB_CALM_PLACE_Y] = SNUB_Q_LENGTH};

/* As it would be written: three digits, a place to a tenth of a millimetre. */
static double rounded(const snub_calm *c, double value)
{
    if (c->kind == SNUB_CALM_OVERRUNS || value == 0.0)
        return value;
    const double bare = snub_quantity_to_bare(QUANTITY[c->kind], value);
    const double grain = of_place(c) ? 0.1 : pow(10.0, floor(log10(fabs(bare))) - 2.0);
    return snub_quantity_from_bare(QUANTITY[c->kind], round(bare / grain) * grain);
}

static void write_value(const task *t, const snub_calm *c, double value, char *text, size_t size)
{
    if (of_place(c)) {
        const double *at = t->build->drive->pulleys[c->pulley].at;
        const int axis = c->kind == SNUB_CALM_PLACE_X ? 0 : 1;
        snprintf(text, size, "[%.12g, %.12g]", (axis == 0 ? value : at[0]) / SNUB_MM,
                 (axis == 1 ? value : at[1]) / SNUB_MM);
    } else if (c->kind == SNUB_CALM_OVERRUNS) {
        snprintf(text, size, "true");
    } else {
        snprintf(text, size, "%.12g", snub_quantity_to_bare(QUANTITY[c->kind], value));
    }
}

static bool lay(const snub_row *row, const char *path, const char *text, snub_arena *arena, snub_row *made,
                snub_error *error)
{
    snub_node *node = NULL;
    if (snub_node_from_text(text, path, arena, &node, error) != SNUB_OK)
        return false;
    const snub_overlay overlay = {.path = snub_copy_text(arena, path), .value = node};
    return overlay.path != NULL && snub_row_with(row, &overlay, arena, made);
}

/* Belt and settings as they stand. */
static bool lay_settled(const snub_build *build, snub_arena *arena, snub_row *row, snub_error *error)
{
    char text[64], path[96];
    *row = build->row;
    snprintf(text, sizeof text, "%.15g", build->length / SNUB_MM);
    if (build->length_chosen && !lay(row, "belt.length", text, arena, row, error))
        return false;
    for (int i = 0; i < build->drive->pulley_count; i++) {
        if (!build->setting_chosen[i] || i == build->drive->locked)
            continue;
        snprintf(path, sizeof path, "%s.slot.setting", build->drive->pulleys[i].name);
        snprintf(text, sizeof text, "%.15g", build->settings[i] / SNUB_MM);
        if (!lay(row, path, text, arena, row, error))
            return false;
    }
    return true;
}

/* ---- how rough ----------------------------------------------------------------------------------------------------
 */

static void find_worst(const snub_vibration *v, snub_roughness *worst, double *arm_speed, double *arm_order)
{
    const int n = v->drive->pulley_count;
    *worst = (snub_roughness){0};
    for (int j = 0; j < v->speeds; j++) {
        const snub_vibration_point *p = &v->point[j];
        for (int k = 0; p->response != NULL && k < p->order_count; k++) {
            for (int i = 0; i < n; i++) {
                const double share = p->response[k].tension[i] / p->span[i].tension;
                if (!(share > worst->share))
                    continue;
                worst->share = share;
                worst->span = i;
                worst->speed = p->speed;
                worst->order = p->order[k].order;
            }
            if (v->drive->arm < 0 || !(p->response[k].angle[n] > worst->arm))
                continue;
            worst->arm = p->response[k].angle[n];
            *arm_speed = p->speed;
            *arm_order = p->order[k].order;
        }
    }
}

/* The row with a value laid over it. */
static bool lay_trial(const trial *x, double value, snub_arena *arena, snub_row *row, snub_error *error)
{
    char text[64];
    const snub_calm *c = x->calm;
    if (!lay_settled(x->task->build, arena, row, error))
        return false;
    if (c == NULL)
        return true;
    write_value(x->task, c, value, text, sizeof text);
    return lay(row, c->path, text, arena, row, error);
}

static bool make(const trial *x, double value, bool judged, snub_arena *arena, snub_build *build)
{
    snub_row row;
    snub_errors errors = {0};
    snub_error error;
    snub_reading own = *x->task->reading;
    const snub_build_request request = {.settle_only = !judged};
    own.arena = arena;
    if (!lay_trial(x, value, arena, &row, &error))
        return false;
    const snub_status status = snub_build_make(x->task->build->document, &own, &row, &request, build, &errors);
    snub_errors_free(&errors);
    if (status == SNUB_NO_MEMORY)
        x->task->status = status;
    return status == SNUB_OK && build->settled;
}

/* @param[in] speed  as in snub_vibration_request; @param[in] look  what is taken from it, with `context` */
static bool swing(const trial *x, double value, double speed, void (*look)(const snub_vibration *v, void *context),
                  void *context)
{
    snub_arena scratch;
    bool good = false;
    snub_arena_branch(x->task->reading->arena, &scratch);
    snub_build *build = SNUB_NEW(&scratch, snub_build, 1);
    snub_vibration *v = SNUB_NEW(&scratch, snub_vibration, 1);
    if (build == NULL || v == NULL) {
        x->task->status = SNUB_NO_MEMORY;
    } else if (make(x, value, false, &scratch, build)) {
        const snub_vibration_request request = {.speeds = SPEEDS, .speed = speed, .way = SNUB_STEADY};
        const snub_status status = snub_vibration_run(build, &request, &scratch, v, NULL);
        if (status == SNUB_NO_MEMORY)
            x->task->status = status;
        good = status == SNUB_OK;
        for (int j = 0; good && j < v->speeds; j++)
            good = v->point[j].solved;
        if (good)
            look(v, context);
    }
    snub_arena_drop(x->task->reading->arena, &scratch);
    return good && x->task->status == SNUB_OK;
}

typedef struct whole {
    snub_roughness worst;
    double arm_speed, arm_order;
} whole;

static void take_whole(const snub_vibration *v, void *context)
{
    whole *w = context;
    find_worst(v, &w->worst, &w->arm_speed, &w->arm_order);
}

/* ---- by how much each ----------------------------------------------------------------------------------------------
 */

/* One number at one speed: a span's share by an order, or the arm's swing (span -1). */
typedef struct spot {
    int span;
    double order, value;
} spot;

static void take_spot(const snub_vibration *v, void *context)
{
    spot *s = context;
    const snub_vibration_point *p = &v->point[0];
    s->value = NAN;
    for (int k = 0; p->response != NULL && k < p->order_count; k++) {
        if (fabs(p->order[k].order - s->order) < 1e-9)
            s->value = s->span < 0 ? p->response[k].angle[v->drive->pulley_count]
                                   : p->response[k].tension[s->span] / p->span[s->span].tension;
    }
}

/* Of the logarithm, by `each` more. NAN: it cannot be said. */
static double slope(const trial *x, int span, double speed, double order)
{
    const snub_calm *c = x->calm;
    const double step = of_place(c) ? PLACE_STEP : c->kind == SNUB_CALM_FRICTION ? STEP : STEP * c->now;
    const bool edge = c->kind == SNUB_CALM_FRICTION && c->now < step;
    spot low = {span, order, NAN}, high = low;
    if (!swing(x, edge ? c->now : c->now - step, speed, take_spot, &low) ||
        !swing(x, c->now + step, speed, take_spot, &high) || !(low.value > 0.0) || !(high.value > 0.0))
        return NAN;
    return log(high.value / low.value) / (edge ? step : 2.0 * step) * c->each;
}

/* ---- how far -------------------------------------------------------------------------------------------------------
 */

/* From -1 at the low bound over 0, as it is, to 1 at the high one. */
static double value_at(const snub_calm *c, double u)
{
    switch (c->kind) {
    case SNUB_CALM_FRICTION: return u < 0.0 ? c->now * (1.0 + u) : c->now + u * fmax(FRICTION_MOST - c->now, 0.0);
    case SNUB_CALM_PLACE_X:
    case SNUB_CALM_PLACE_Y: return c->now + u * PLACE;
    case SNUB_CALM_ARM_LENGTH: return c->now * pow(ARM_FACTOR, u);
    default: return c->now * pow(FACTOR, u);
    }
}

static bool calmness(double u, double *value, void *context)
{
    const trial *x = context;
    whole w;
    if (x->task->status != SNUB_OK || !swing(x, value_at(x->calm, u), NAN, take_whole, &w))
        return false;
    *value = -w.worst.share;
    return true;
}

static void go(const trial *x, snub_calm *c)
{
    double best = -INFINITY, u = 0.0;
    whole w;
    if (c->kind != SNUB_CALM_OVERRUNS)
        u = snub_maximise(calmness, (void *)x, -1.0, 1.0, GRID, FINE, &best);
    const double to = isnan(u) ? c->now : rounded(c, value_at(c, u));
    if (isnan(u) || !swing(x, to, NAN, take_whole, &w))
        return;
    c->there = w.worst;
    c->helps = w.worst.share < (1.0 - NO_HELP) * x->task->now.share;
    if (!c->helps)
        return;
    c->to = c->kind == SNUB_CALM_OVERRUNS ? (double)NAN : to;
    write_value(x->task, c, to, c->set, sizeof c->set);
}

/* ---- what it costs -------------------------------------------------------------------------------------------------
 */

static const char *rule_of(const snub_finding *f)
{
    return snub_rule_describe(snub_wording_describe(f->wording)->rule)->id;
}

static bool same(const snub_finding *a, const snub_finding *b)
{
    const bool one_pulley =
        a->pulley == NULL || b->pulley == NULL ? a->pulley == b->pulley : strcmp(a->pulley, b->pulley) == 0;
    return a->level == b->level && one_pulley && strcmp(rule_of(a), rule_of(b)) == 0;
}

/* Marginal and failing findings of one list that the other has not. */
static void compare(const snub_findings *of, const snub_findings *without, bool comes, snub_calm *c)
{
    for (int i = 0; i < of->count; i++) {
        const snub_finding *f = &of->items[i];
        bool known = f->level < SNUB_MARGINAL;
        for (int k = 0; k < without->count; k++)
            known = known || same(f, &without->items[k]);
        if (known)
            continue;
        if (c->change_count < SNUB_VERDICT_CHANGES_MOST) {
            snub_verdict_change *change = &c->change[c->change_count];
            *change = (snub_verdict_change){.comes = comes, .level = f->level, .rule = rule_of(f)};
            snprintf(change->about, sizeof change->about, "%s", f->pulley != NULL ? f->pulley : "");
        }
        c->change_count++;
    }
}

static void judge(const trial *x, snub_calm *c)
{
    snub_arena scratch, *arena = x->task->reading->arena;
    snub_arena_branch(arena, &scratch);
    snub_build *build = SNUB_NEW(&scratch, snub_build, 1);
    if (build == NULL) {
        x->task->status = SNUB_NO_MEMORY;
    } else if (make(x, c->to, true, &scratch, build)) {
        c->verdict = build->verdict;
        compare(&build->findings, &x->task->build->findings, true, c);
        compare(&x->task->build->findings, &build->findings, false, c);
    } else {
        c->helps = false;
    }
    snub_arena_drop(arena, &scratch);
}

/* ---- what may be changed -------------------------------------------------------------------------------------------
 */

static void add(snub_calming *list, snub_calm_kind kind, int pulley, const char *name, const char *key, double now,
                double each)
{
    snub_calm *c = &list->calm[list->count];
    if (!(now > 0.0) && kind != SNUB_CALM_FRICTION && kind != SNUB_CALM_OVERRUNS && kind != SNUB_CALM_PLACE_X &&
        kind != SNUB_CALM_PLACE_Y)
        return;
    *c = (snub_calm){
        .kind = kind, .pulley = pulley, .now = now, .each = each, .share_by = NAN, .arm_by = NAN, .to = NAN};
    const int length = snprintf(c->path, sizeof c->path, "%s.%s", name, key);
    if (length > 0 && (size_t)length < sizeof c->path)
        list->count++;
}

static void add_arm(snub_calming *list, const snub_drive *drive, const snub_inertias *inertias)
{
    const char *name = drive->pulleys[drive->arm].name;
    const snub_arm *arm = &drive->pulleys[drive->arm].arm;
    add(list, SNUB_CALM_ARM_INERTIA, drive->arm, name, "arm.inertia", inertias->arm, 0.1 * inertias->arm);
    add(list, SNUB_CALM_RATE, drive->arm, name, "arm.rate", arm->rate, 0.1 * arm->rate);
    add(list, SNUB_CALM_FRICTION, drive->arm, name, "arm.damping", arm->damping, 0.05);
    add(list, SNUB_CALM_ARM_LENGTH, drive->arm, name, "arm.length", arm->length, 0.1 * arm->length);
}

static void add_pulley(snub_calming *list, const snub_drive *drive, const snub_inertias *inertias, int i)
{
    const snub_pulley *p = &drive->pulleys[i];
    const double inertia = inertias->pulley[i];
    if (i == drive->crank) {
        add(list, SNUB_CALM_INERTIA, i, "engine", "inertia", inertia, 0.1 * inertia);
        return;
    }
    add(list, SNUB_CALM_INERTIA, i, p->name, "inertia", inertia, 0.1 * inertia);
    if (snub_takes_power(p) && !p->overruns)
        add(list, SNUB_CALM_OVERRUNS, i, p->name, "overruns", NAN, NAN);
    if (p->sits == SNUB_FIXED && !snub_takes_power(p)) {
        add(list, SNUB_CALM_PLACE_X, i, p->name, "at", p->at[0], SNUB_MM);
        add(list, SNUB_CALM_PLACE_Y, i, p->name, "at", p->at[1], SNUB_MM);
    }
}

static void list_all(snub_calming *list, const snub_drive *drive)
{
    snub_inertias inertias;
    snub_inertias_of(drive, &inertias);
    for (int i = 0; i < drive->pulley_count; i++)
        add_pulley(list, drive, &inertias, i);
    if (drive->arm >= 0)
        add_arm(list, drive, &inertias);
    const double stiffness = drive->belt.stiffness / drive->belt.ribs;
    add(list, SNUB_CALM_BELT, -1, "belt", "stiffness", stiffness, 0.1 * stiffness);
}

static int compare_calms(const void *a, const void *b)
{
    const snub_calm *x = a, *y = b;
    if (x->helps != y->helps)
        return x->helps ? -1 : 1;
    if (x->helps)
        return (x->there.share > y->there.share) - (x->there.share < y->there.share);
    const double by_x = isnan(x->share_by) ? -1.0 : fabs(x->share_by);
    const double by_y = isnan(y->share_by) ? -1.0 : fabs(y->share_by);
    return (by_x < by_y) - (by_x > by_y);
}

static snub_status try_all(task *t, const whole *now, snub_calming *list, snub_progress progress, void *context)
{
    for (int k = 0; k < list->count; k++) {
        snub_calm *c = &list->calm[k];
        trial x = {t, c};
        if (progress != NULL && !progress(k, list->count, context))
            return SNUB_STOPPED;
        if (c->kind != SNUB_CALM_OVERRUNS) {
            c->share_by = slope(&x, now->worst.span, now->worst.speed, now->worst.order);
            if (now->worst.arm > 0.0)
                c->arm_by = slope(&x, -1, now->arm_speed, now->arm_order);
        }
        go(&x, c);
        if (c->helps)
            judge(&x, c);
        if (t->status != SNUB_OK)
            return t->status;
    }
    qsort(list->calm, (size_t)list->count, sizeof *list->calm, compare_calms);
    return SNUB_OK;
}

snub_status snub_calming_find(const snub_build *build, const snub_reading *reading, snub_progress progress,
                              void *context, snub_calming *calming, snub_error *error)
{
    task t = {.build = build, .reading = reading};
    const trial as_it_is = {&t, NULL};
    whole now = {0};
    *calming = (snub_calming){0};
    calming->known = build->laid && build->drive->engine.given && swing(&as_it_is, 0.0, NAN, take_whole, &now) &&
                     now.worst.share > 0.0;
    calming->now = t.now = now.worst;
    calming->calm = SNUB_NEW(reading->arena, snub_calm, PER_PULLEY * build->drive->pulley_count + OF_ARM + 1);
    if (calming->calm == NULL || t.status == SNUB_NO_MEMORY)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    if (!calming->known)
        return SNUB_OK;
    list_all(calming, build->drive);
    const snub_status status = try_all(&t, &now, calming, progress, context);
    return status == SNUB_OK
               ? status
               : snub_fail(error, status, NULL, NULL, status == SNUB_STOPPED ? "stopped" : "out of memory");
}
