/* Natural frequencies: K x = (2 pi f)^2 M x. */
#include "snub/linear.h"
#include "snub/motion.h"

/* An eigenvalue this small against the greatest is 0 but for rounding: 65 of them are good to 65 eps = 1.4e-14. */
static const double ROUNDING = 1e-12;

/* The matrices of what is free to move. */
typedef struct pencil {
    int count;
    int mover[SNUB_MOVERS_MOST];
    double *stiffness, *inertia, *square, *vector; /* count x count, count, count, count x count */
} pencil;

static snub_status fill(const snub_motion *motion, bool crank_held, snub_arena *arena, pencil *p, snub_error *error)
{
    p->count = 0;
    for (int i = 0; i < motion->count; i++) {
        if (!crank_held || i != motion->crank)
            p->mover[p->count++] = i;
    }
    const size_t n = (size_t)p->count;
    p->stiffness = SNUB_NEW(arena, double, n *n);
    p->inertia = SNUB_NEW(arena, double, n);
    p->square = SNUB_NEW(arena, double, n);
    p->vector = SNUB_NEW(arena, double, n *n);
    if (p->stiffness == NULL || p->inertia == NULL || p->square == NULL || p->vector == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    for (size_t a = 0; a < n; a++) {
        for (size_t b = 0; b < n; b++)
            p->stiffness[a * n + b] = motion->stiffness[p->mover[a] * motion->count + p->mover[b]];
        p->inertia[a] = motion->inertia[p->mover[a]];
    }
    return SNUB_OK;
}

static void describe(const snub_motion *motion, const pencil *p, int which, snub_mode *mode)
{
    double whole = 0.0, greatest = 0.0;
    *mode = (snub_mode){.frequency = sqrt(p->square[which]) / (2.0 * SNUB_PI)};
    for (int a = 0; a < p->count; a++) {
        const double x = p->vector[which * p->count + a];
        mode->shape[p->mover[a]] = x;
        mode->energy[p->mover[a]] = motion->inertia[p->mover[a]] * x * x;
        whole += mode->energy[p->mover[a]];
        greatest = fabs(x) > fabs(greatest) ? x : greatest;
    }
    for (int i = 0; i < motion->count; i++) {
        mode->shape[i] /= greatest;
        mode->energy[i] /= whole;
    }
}

snub_status snub_modes_find(const snub_motion *motion, bool crank_held, snub_arena *arena, snub_modes *modes,
                            snub_error *error)
{
    pencil p;
    *modes = (snub_modes){0};
    if (!crank_held && isnan(motion->inertia[motion->crank]))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "the crank's inertia is not known: give engine.inertia");
    const snub_status status = fill(motion, crank_held, arena, &p, error);
    if (status != SNUB_OK)
        return status;
    if (snub_eigen(p.count, p.stiffness, p.inertia, p.square, p.vector) != SNUB_OK)
        return snub_fail(error, SNUB_NO_CONVERGENCE, NULL, NULL, "the search for natural frequencies does not end");
    /* With the crank free all turn together for nothing: that eigenvalue is 0, and no other is. */
    const double zero = ROUNDING * p.square[p.count - 1];
    const int first = crank_held ? 0 : 1;
    if (p.square[0] < -zero || p.square[first] <= zero)
        return snub_fail(error, SNUB_NO_EQUILIBRIUM, NULL, NULL,
                         "the arm does not spring back from a quick push: there is no frequency");
    modes->mode = SNUB_NEW(arena, snub_mode, (size_t)(p.count - first));
    if (modes->mode == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    for (int i = first; i < p.count; i++)
        describe(motion, &p, i, &modes->mode[modes->count++]);
    return SNUB_OK;
}
