/* Many equilibria: which kernel, and the cases that the lanes cannot decide. */
#include "snub/batch.h"
#include "batch_kernel.h"
#include "many.h"
#include "rig.h"

bool snub_batch_has(snub_batch_width width)
{
    switch (width) {
    case SNUB_BATCH_WIDEST:
    case SNUB_BATCH_ONE: return true;
#ifdef SNUB_BATCH_X86
    case SNUB_BATCH_FOUR: return __builtin_cpu_supports("avx2");
    case SNUB_BATCH_EIGHT: return __builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512dq");
#endif
    default: return false;
    }
}

static snub_batch_width widest(void)
{
    return snub_batch_has(SNUB_BATCH_EIGHT)  ? SNUB_BATCH_EIGHT
           : snub_batch_has(SNUB_BATCH_FOUR) ? SNUB_BATCH_FOUR
                                             : SNUB_BATCH_ONE;
}

static snub_batch_kernel *kernel_of(snub_batch_width width)
{
    switch (width == SNUB_BATCH_WIDEST ? widest() : width) {
#ifdef SNUB_BATCH_X86
    case SNUB_BATCH_FOUR: return snub_batch_four;
    case SNUB_BATCH_EIGHT: return snub_batch_eight;
#endif
    default: return snub_batch_one;
    }
}

/* Whether cases differ in what a rig is made of: else they are cases of one rig. */
static bool own_rigs(const snub_batch *b)
{
    bool own = b->pivot[0] || b->pivot[1] || b->arm_length || b->rest || b->travel || b->preload || b->rate ||
               b->damping || b->stiffness || b->mass || b->measuring_tension;
    for (int i = 0; i < b->rig->n; i++)
        own = own || b->centre[i][0] || b->centre[i][1] || b->radius[i];
    return own;
}

static void set(double *value, const double *column, int i)
{
    if (column != NULL)
        *value = column[i];
}

static void rig_of(const snub_batch *b, int i, snub_rig *rig)
{
    *rig = *b->rig;
    for (int p = 0; p < rig->n; p++) {
        set(&rig->path.centre[p][0], b->centre[p][0], i);
        set(&rig->path.centre[p][1], b->centre[p][1], i);
        set(&rig->path.radius[p], b->radius[p], i);
    }
    set(&rig->pivot[0], b->pivot[0], i);
    set(&rig->pivot[1], b->pivot[1], i);
    set(&rig->arm_length, b->arm_length, i);
    set(&rig->rest, b->rest, i);
    set(&rig->travel, b->travel, i);
    set(&rig->preload, b->preload, i);
    set(&rig->rate, b->rate, i);
    set(&rig->damping, b->damping, i);
    set(&rig->stiffness, b->stiffness, i);
    set(&rig->mass, b->mass, i);
    set(&rig->measuring_tension, b->measuring_tension, i);
}

static void case_of(const snub_batch *b, int i, snub_case *wanted)
{
    *wanted = *b->wanted;
    set(&wanted->engine_speed, b->engine_speed, i);
    set(&wanted->side, b->side, i);
    set(&wanted->belt_length, b->belt_length, i);
    for (int p = 0; p < b->rig->n; p++)
        set(&wanted->torque[p], b->torque[p], i);
}

static void tell(snub_status status, const snub_equilibrium *e, int i, snub_batch_answers *a)
{
    const bool good = status == SNUB_OK;
    a->status[i] = status;
    a->arm[i] = good ? e->arm : SNUB_ARM_NONE;
    a->wind[i] = good ? e->wind : (double)NAN;
    a->tension[i] = good ? e->tension : (double)NAN;
    a->equilibria[i] = good ? e->equilibria : 0;
    a->past_dead_point[i] = good && e->past_dead_point;
}

/* One case as it is done one by one. */
static void hand_over(const snub_batch *b, int i, snub_batch_answers *a)
{
    snub_rig rig;
    snub_case wanted;
    snub_equilibrium e;
    rig_of(b, i, &rig);
    case_of(b, i, &wanted);
    snub_status status = snub_rig_lay_again(&rig);
    if (status == SNUB_OK)
        status = snub_solve(&rig, &wanted, &e, NULL);
    tell(status, &e, i, a);
}

/* Cases of the batch's own rig: their table is there. */
static void solve_of_rig(const snub_batch *b, int lanes, snub_batch_answers *a)
{
    enum { ROUND = 64 };
    snub_case cases[ROUND];
    snub_equilibrium e[ROUND];
    const snub_case *wanted[ROUND];
    snub_equilibrium *answers[ROUND];
    snub_status status[ROUND];
    for (int first = 0; first < b->count; first += ROUND) {
        int count = 0;
        for (; count < ROUND && first + count < b->count; count++) {
            case_of(b, first + count, &cases[count]);
            wanted[count] = &cases[count];
            answers[count] = &e[count];
        }
        (void)snub_solve_many_by(lanes, b->rig, count, wanted, answers, status);
        for (int i = 0; i < count; i++)
            tell(status[i], &e[i], first + i, a);
    }
}

snub_status snub_batch_solve(const snub_batch *batch, snub_batch_width width, snub_batch_answers *answers)
{
    if (!snub_batch_has(width))
        return SNUB_BAD_INPUT;
    answers->handed_over = 0;
    if (!own_rigs(batch)) {
        solve_of_rig(batch, (int)(width == SNUB_BATCH_WIDEST ? widest() : width), answers);
        return SNUB_OK;
    }
    kernel_of(width)(batch, answers);
    for (int i = 0; i < batch->count; i++) {
        if (answers->status[i] != SNUB_NO_CONVERGENCE)
            continue;
        hand_over(batch, i, answers);
        answers->handed_over++;
    }
    return SNUB_OK;
}
