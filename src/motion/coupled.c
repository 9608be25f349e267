/* Modes of pulleys, arm and the spans beside it: counted by the sign of the stiffness at a frequency, then halved.
 * docs/theory/motion.md, arm and spans together. */
#include "snub/coupled.h"

#include <string.h>

#include "driven_end.h"
#include "snub/linear.h"

/* Of a frequency, to the last digits of a double: near the frequency of a held span little is left of them. */
static const double FINE = 4e-15;
enum { HALVINGS = 200 };

typedef struct swinging {
    const snub_motion *m;
    int count, mover[SNUB_MOVERS_MOST], arm; /* arm: its row */
    int span[2];
    double *matrix, *inertia, *value, *vector; /* count^2, count, count, count^2 */
} swinging;

/* ---- a span whose end moves ----------------------------------------------------------------------------------------
 */

/* Waves there and back meet the end turned by this, rad. */
static double turn_of(double tension, double mass, double speed, double length, double w)
{
    const double wave = sqrt(tension / mass);
    return w * wave * length / (wave * wave - speed * speed);
}

/* Half waves that are past, and what is left of the turn over them: taken together, so that right at the frequency of a
 * held span its count and the sign of its stiffness agree. */
static int half_waves(double turn, double *left)
{
    const double past = floor(turn / SNUB_PI);
    *left = fmax(turn - past * SNUB_PI, 1e-15 * turn);
    return (int)past;
}

double snub_end_stiffness(double tension, double mass, double speed, double length, double w)
{
    double left;
    half_waves(turn_of(tension, mass, speed, length, w), &left);
    return sqrt(tension * mass) * w / tan(left);
}

static double span_turn(const swinging *s, int k, double w)
{
    const snub_motion *m = s->m;
    return turn_of(m->tension[s->span[k]], m->belt_mass, m->belt_speed, m->span[s->span[k]], w);
}

/* At the arm, over the slow span that the stiffness of the motion has in it, N m/rad. */
static double span_stiffness(const swinging *s, int k, double w)
{
    const snub_motion *m = s->m;
    const int i = s->span[k];
    const double slow = (m->tension[i] - m->belt_mass * m->belt_speed * m->belt_speed) / m->span[i];
    return m->across[i] * m->across[i] *
           (snub_end_stiffness(m->tension[i], m->belt_mass, m->belt_speed, m->span[i], w) - slow);
}

/* ---- all of it at a frequency ---------------------------------------------------------------------------------------
 */

static void fill(const swinging *s, double w)
{
    const snub_motion *m = s->m;
    for (int a = 0; a < s->count; a++) {
        for (int b = 0; b < s->count; b++)
            s->matrix[a * s->count + b] = m->stiffness[s->mover[a] * m->count + s->mover[b]];
        s->matrix[a * s->count + a] -= w * w * s->inertia[a];
    }
    for (int k = 0; k < 2; k++)
        s->matrix[s->arm * s->count + s->arm] += span_stiffness(s, k, w);
}

/* Eigenvalues over the inertias, so that those of all parts are of one size. */
static bool solve(const swinging *s, double w)
{
    fill(s, w);
    return snub_eigen(s->count, s->matrix, s->inertia, s->value, s->vector) == SNUB_OK;
}

/* Natural frequencies below w: those of the spans with both ends held, and what of the stiffness is negative there.
 * @return -1: the solver does not end */
static int below(const swinging *s, double w)
{
    int count = 0;
    if (!solve(s, w))
        return -1;
    for (int a = 0; a < s->count; a++)
        count += s->value[a] < 0.0;
    for (int k = 0; k < 2; k++) {
        double left;
        count += half_waves(span_turn(s, k, w), &left);
    }
    return count;
}

/* ---- one mode
 * -------------------------------------------------------------------------------------------------------- */

static snub_status find_root(const swinging *s, int nth, double from, double *root, snub_error *error)
{
    double low = from, high = 2.0 * from;
    int count = below(s, high);
    for (int k = 0; k < HALVINGS && count >= 0 && count < nth; k++) {
        low = high;
        high *= 2.0;
        count = below(s, high);
    }
    for (int k = 0; k < HALVINGS && count >= 0 && high - low > FINE * high; k++) {
        const double middle = 0.5 * (low + high);
        count = below(s, middle);
        *(count >= nth ? &high : &low) = middle;
    }
    *root = 0.5 * (low + high);
    return count < 0
               ? snub_fail(error, SNUB_NO_CONVERGENCE, NULL, NULL, "the search for natural frequencies does not end")
               : SNUB_OK;
}

/* Shares of energy: of x' (dD/dw) x the part of each, as that is what the whole stores. */
static bool describe(const swinging *s, double w, snub_coupled_mode *mode)
{
    const snub_motion *m = s->m;
    double whole = 0.0, greatest = 0.0;
    int zero = 0;
    *mode = (snub_coupled_mode){.mode = {.frequency = w / (2.0 * SNUB_PI)}};
    if (!solve(s, w))
        return false;
    for (int a = 1; a < s->count; a++)
        zero = fabs(s->value[a]) < fabs(s->value[zero]) ? a : zero;
    for (int a = 0; a < s->count; a++) {
        const double inertia = s->inertia[a], x = s->vector[zero * s->count + a];
        mode->mode.shape[s->mover[a]] = x;
        mode->mode.energy[s->mover[a]] = 2.0 * w * inertia * x * x;
        whole += mode->mode.energy[s->mover[a]];
        greatest = fabs(x) > fabs(greatest) ? x : greatest;
    }
    const double swing = mode->mode.shape[m->count - 1];
    for (int k = 0; k < 2; k++) {
        const int i = s->span[k];
        const double turn = span_turn(s, k, w), sine = sin(turn), each = sqrt(m->tension[i] * m->belt_mass);
        /* d/dw of each w cot(turn), turn going with w */
        mode->span_energy[k] =
            swing * swing * m->across[i] * m->across[i] * each * (turn / (sine * sine) - cos(turn) / sine);
        whole += mode->span_energy[k];
    }
    for (int k = 0; k < 2; k++)
        mode->span_energy[k] /= whole;
    for (int i = 0; i < m->count; i++) {
        mode->mode.shape[i] /= greatest;
        mode->mode.energy[i] /= whole;
    }
    return true;
}

/* ---- all modes
 * -------------------------------------------------------------------------------------------------------- */

/* So slow that nothing but the whole drive's turning is below it (with the crank held, nothing), and that is not lost
 * in rounding: a part of the first of a span, and of the fastest part against its springs. */
static double slow_of(const swinging *s)
{
    const snub_motion *m = s->m;
    double fastest = 0.0;
    for (int a = 0; a < s->count; a++) {
        const int i = s->mover[a];
        fastest = fmax(fastest, sqrt(fabs(m->stiffness[i * m->count + i]) / m->inertia[i]));
    }
    return 1e-5 * fmin(fastest, SNUB_PI / fmax(span_turn(s, 0, 1.0), span_turn(s, 1, 1.0)));
}

static snub_status set_up(const snub_motion *motion, bool crank_held, snub_arena *arena, swinging *s, snub_error *error)
{
    *s = (swinging){.m = motion};
    for (int i = 0; i < motion->count; i++) {
        if (!crank_held || i != motion->crank)
            s->mover[s->count++] = i;
    }
    s->arm = s->count - 1;
    int found = 0;
    for (int i = 0; i < motion->pulleys && found < 2; i++) {
        if (motion->beside_arm[i])
            s->span[found++] = i;
    }
    if (!motion->arm_moves || found < 2)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "no arm moves");
    for (int k = 0; k < 2; k++) {
        if (!(motion->tension[s->span[k]] > motion->belt_mass * motion->belt_speed * motion->belt_speed))
            return snub_fail(error, SNUB_NO_EQUILIBRIUM, NULL, NULL, "a span beside the arm is slack");
    }
    const size_t n = (size_t)s->count;
    s->matrix = SNUB_NEW(arena, double, n *n);
    s->value = SNUB_NEW(arena, double, n);
    s->inertia = SNUB_NEW(arena, double, n);
    s->vector = SNUB_NEW(arena, double, n *n);
    if (s->matrix == NULL || s->value == NULL || s->inertia == NULL || s->vector == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    for (int a = 0; a < s->count; a++)
        s->inertia[a] = motion->inertia[s->mover[a]];
    return SNUB_OK;
}

snub_status snub_coupled_find(const snub_motion *motion, bool crank_held, int count, snub_arena *arena,
                              snub_coupled_modes *modes, snub_error *error)
{
    swinging s;
    modes->count = 0;
    if (!crank_held && isnan(motion->inertia[motion->crank]))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "the crank's inertia is not known: give engine.inertia");
    const snub_status status = set_up(motion, crank_held, arena, &s, error);
    if (status != SNUB_OK)
        return status;
    memcpy(modes->span, s.span, sizeof modes->span);
    const int first = crank_held ? 0 : 1;
    const double slow = slow_of(&s);
    if (below(&s, slow) != first)
        return snub_fail(error, SNUB_NO_EQUILIBRIUM, NULL, NULL,
                         "the arm does not spring back from a quick push: there is no frequency");
    for (int k = 0; k < count; k++) {
        double root = 0.0;
        const snub_status found = find_root(&s, first + k + 1, slow, &root, error);
        if (found != SNUB_OK)
            return found;
        if (!describe(&s, root, &modes->mode[k]))
            return snub_fail(error, SNUB_NO_CONVERGENCE, NULL, NULL, "the search for natural frequencies does not end");
        modes->count++;
    }
    return SNUB_OK;
}
