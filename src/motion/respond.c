/* Response to a crank that turns unevenly. */
#include <complex.h>
#include <string.h>

#include "friction.h"
#include "snub/linear.h"
#include "snub/motion.h"

typedef double complex number;

/* |X + i b h| = |alone| with b = 4 F/pi: a quadratic in X, of which the greater root is stable. */
double snub_friction_amplitude(double complex alone, double complex give, double friction)
{
    const double b = 4.0 * friction / SNUB_PI, size = cabs(alone), across = b * creal(give);
    if (size <= b * cabs(give) || size <= fabs(across))
        return 0.0;
    return b * cimag(give) + sqrt(size * size - across * across);
}

/* Strains of the spans by what moves: i w L e_i + v (e_i - e_(i-1) turned by the time on the arc) = i w s_i. Each hangs
 * on the one before it: once round from nothing, then again from what has come home. */
static void carry_round(const snub_motion *m, double w, number *strain)
{
    const int n = m->pulleys;
    number gain[SNUB_PULLEYS_MOST], keep[SNUB_PULLEYS_MOST], all = 1.0;
    for (int i = 0; i < n; i++) {
        const number within = 1.0 / (I * w * m->span[i] + m->belt_speed);
        gain[i] = I * w * within;
        keep[i] = m->belt_speed > 0.0 ? m->belt_speed * cexp(-I * w * m->arc[i] / m->belt_speed) * within : 0.0;
        all *= keep[i];
    }
    for (int k = 0; k < m->count; k++) {
        number home = 0.0;
        for (int i = 0; i < n; i++)
            home = gain[i] * m->stretch[i][k] + keep[i] * home;
        home /= 1.0 - all;
        for (int i = 0; i < n; i++)
            home = strain[i * m->count + k] = gain[i] * m->stretch[i][k] + keep[i] * home;
    }
}

/* Force that each mover asks for per swing of each: D = - w^2 M + i w C + arm + sum of g EA (1 + i w beta) e. */
static void add_up(const snub_motion *m, double w, const snub_dashpots *d, const number *strain, number *dynamic)
{
    const int c = m->count;
    const number stiff = m->belt_stiffness * (1.0 + I * w * d->belt);
    memset(dynamic, 0, (size_t)(c * c) * sizeof *dynamic);
    for (int i = 0; i < m->pulleys; i++) {
        for (int a = 0; a < c; a++) {
            for (int b = 0; b < c && m->stretch[i][a] != 0.0; b++)
                dynamic[a * c + b] += m->stretch[i][a] * stiff * strain[i * c + b];
        }
    }
    for (int a = 0; a < c; a++)
        dynamic[a * c + a] += I * w * d->mover[a] - (a == m->crank ? 0.0 : w * w * m->inertia[a]);
    if (m->arm_moves)
        dynamic[c * c - 1] += m->arm_stiffness;
}

/* What is left where the crank is prescribed (and the arm held): two right sides, the crank's swing and a force of 1 at
 * the arm. Solutions go back into `angle` and `give`. */
static snub_status solve(const snub_motion *m, const number *dynamic, double swing, bool arm_held, number *work,
                         number *sides, number *angle, number *give)
{
    int mover[SNUB_MOVERS_MOST], n = 0;
    for (int i = 0; i < m->count; i++) {
        if (i != m->crank && !(arm_held && m->arm_moves && i == m->count - 1))
            mover[n++] = i;
    }
    for (int a = 0; a < n; a++) {
        for (int b = 0; b < n; b++)
            work[a * n + b] = dynamic[mover[a] * m->count + mover[b]];
        sides[2 * a] = -dynamic[mover[a] * m->count + m->crank] * swing;
        sides[2 * a + 1] = m->arm_moves && mover[a] == m->count - 1 ? 1.0 : 0.0;
    }
    if (snub_solve_complex(n, work, 2, sides) != SNUB_OK)
        return SNUB_NO_CONVERGENCE;
    for (int i = 0; i < m->count; i++)
        angle[i] = give[i] = 0.0;
    angle[m->crank] = swing;
    for (int a = 0; a < n; a++) {
        angle[mover[a]] = sides[2 * a];
        give[mover[a]] = sides[2 * a + 1];
    }
    return SNUB_OK;
}

/* The swing with the arm's friction, from the one without and what a force at the arm makes of it. */
static void rub(const snub_motion *m, number *angle, const number *give, bool *sticks)
{
    const int arm = m->count - 1;
    const double size = snub_friction_amplitude(angle[arm], give[arm], m->friction);
    *sticks = size == 0.0;
    if (*sticks)
        return;
    /* The force against the swing: -i (4 F/pi) x/|x|, and x is what is left of the swing alone. */
    const double b = 4.0 * m->friction / SNUB_PI;
    const number left = angle[arm] / (1.0 + I * b * give[arm] / size), force = -I * b * left / size;
    for (int i = 0; i < m->count; i++)
        angle[i] += force * give[i];
}

snub_status snub_respond(const snub_motion *motion, double frequency, double angle, const snub_dashpots *dashpots,
                         snub_response *response, snub_error *error)
{
    const snub_dashpots none = {.belt = 0.0};
    const snub_dashpots *d = dashpots != NULL ? dashpots : &none;
    const size_t c = (size_t)motion->count, n = (size_t)motion->pulleys;
    number strain[SNUB_PULLEYS_MOST * SNUB_MOVERS_MOST], dynamic[SNUB_MOVERS_MOST * SNUB_MOVERS_MOST],
        work[SNUB_MOVERS_MOST * SNUB_MOVERS_MOST], sides[2 * SNUB_MOVERS_MOST];
    number swing[SNUB_MOVERS_MOST], give[SNUB_MOVERS_MOST];
    carry_round(motion, frequency, strain);
    add_up(motion, frequency, d, strain, dynamic);
    snub_status status = solve(motion, dynamic, angle, false, work, sides, swing, give);
    memset(response, 0, sizeof *response);
    if (status == SNUB_OK && motion->arm_moves && motion->friction > 0.0) {
        rub(motion, swing, give, &response->sticks);
        if (response->sticks)
            status = solve(motion, dynamic, angle, true, work, sides, swing, give);
    }
    if (status != SNUB_OK)
        return snub_fail(error, status, NULL, NULL, "a resonance without damping: the swing has no size");
    for (size_t i = 0; i < c; i++)
        response->angle[i] = cabs(swing[i]);
    for (size_t i = 0; i < n; i++) {
        number stretched = 0.0;
        for (size_t k = 0; k < c; k++)
            stretched += strain[i * c + k] * swing[k];
        stretched *= motion->belt_stiffness * (1.0 + I * frequency * d->belt);
        response->tension[i] = cabs(stretched);
        response->part[i][0] = creal(stretched);
        response->part[i][1] = cimag(stretched);
    }
    return SNUB_OK;
}
