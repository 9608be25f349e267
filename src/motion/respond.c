/* Response to a crank that turns unevenly. */
#include <complex.h>
#include <string.h>

#include "friction.h"
#include "overrun.h"
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

/* ---- forces that hang on the swing ------------------------------------------------------------------------------- */

/* Swings of all movers, for an arm that moves or one that is held: by the crank, and by a force of 1 at each clutch
 * and, last, at the arm. */
typedef struct answers {
    int clutches, clutch[SNUB_PULLEYS_MOST]; /* pulleys with an overrunning one */
    number alone[SNUB_MOVERS_MOST], give[SNUB_MOVERS_MOST][SNUB_MOVERS_MOST];
} answers;

static void find_clutches(const snub_motion *m, answers *a)
{
    a->clutches = 0;
    for (int i = 0; i < m->pulleys; i++) {
        if (m->shaft[i] > 0.0)
            a->clutch[a->clutches++] = i;
    }
}

static snub_status answer(const snub_motion *m, const number *dynamic, double swing, bool arm_held, answers *a)
{
    const int sides = a->clutches + 2;
    int mover[SNUB_MOVERS_MOST], n = 0;
    number work[SNUB_MOVERS_MOST * SNUB_MOVERS_MOST], side[SNUB_MOVERS_MOST * (SNUB_MOVERS_MOST + 1)];
    for (int i = 0; i < m->count; i++) {
        if (i != m->crank && !(arm_held && m->arm_moves && i == m->count - 1))
            mover[n++] = i;
    }
    for (int k = 0; k < n; k++) {
        for (int b = 0; b < n; b++)
            work[k * n + b] = dynamic[mover[k] * m->count + mover[b]];
        side[sides * k] = -dynamic[mover[k] * m->count + m->crank] * swing;
        for (int c = 0; c < a->clutches; c++)
            side[sides * k + 1 + c] = mover[k] == a->clutch[c] ? 1.0 : 0.0;
        side[sides * k + sides - 1] = m->arm_moves && mover[k] == m->count - 1 ? 1.0 : 0.0;
    }
    if (snub_solve_complex(n, work, sides, side) != SNUB_OK)
        return SNUB_NO_CONVERGENCE;
    memset(a->alone, 0, sizeof a->alone);
    memset(a->give, 0, (size_t)(sides - 1) * sizeof a->give[0]);
    a->alone[m->crank] = swing;
    for (int k = 0; k < n; k++) {
        a->alone[mover[k]] = side[sides * k];
        for (int f = 0; f + 1 < sides; f++)
            a->give[f][mover[k]] = side[sides * k + 1 + f];
    }
    return SNUB_OK;
}

/* A drive at one frequency, and what its clutches and its friction make of it. */
typedef struct balanced {
    const snub_motion *m;
    double frequency;
    const answers *moving, *held;
    number share[SNUB_PULLEYS_MOST]; /* of the inertia behind each clutch: what swings along */
    bool sticks;
    number angle[SNUB_MOVERS_MOST];
} balanced;

/* Swings with the clutches' shares and a force at the arm: each clutch takes off what does not swing along,
 * w^2 (share - 1) J x, and x is what comes of all of it.
 * @param[out] angle  and `give`: what a force of 1 at the arm adds; may be NULL */
static snub_status let_go(const balanced *b, const answers *a, number *angle, number *give)
{
    const int c = a->clutches, count = b->m->count;
    number work[SNUB_PULLEYS_MOST * SNUB_PULLEYS_MOST], side[2 * SNUB_PULLEYS_MOST];
    for (int k = 0; k < c; k++) {
        for (int j = 0; j < c; j++) {
            const number pull = b->frequency * b->frequency * (b->share[j] - 1.0) * b->m->shaft[a->clutch[j]];
            work[k * c + j] = (k == j ? 1.0 : 0.0) - a->give[j][a->clutch[k]] * pull;
        }
        side[2 * k] = a->alone[a->clutch[k]];
        side[2 * k + 1] = a->give[c][a->clutch[k]];
    }
    if (c > 0 && snub_solve_complex(c, work, 2, side) != SNUB_OK)
        return SNUB_NO_CONVERGENCE;
    for (int i = 0; i < count; i++) {
        angle[i] = a->alone[i];
        give[i] = a->give[c][i];
        for (int j = 0; j < c; j++) {
            const number pull = b->frequency * b->frequency * (b->share[j] - 1.0) * b->m->shaft[a->clutch[j]];
            angle[i] += a->give[j][i] * pull * side[2 * j];
            give[i] += a->give[j][i] * pull * side[2 * j + 1];
        }
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

static snub_status swing_with(balanced *b)
{
    number give[SNUB_MOVERS_MOST];
    b->sticks = false;
    snub_status status = let_go(b, b->moving, b->angle, give);
    if (status != SNUB_OK || !b->m->arm_moves || !(b->m->friction > 0.0))
        return status;
    rub(b->m, b->angle, give, &b->sticks);
    return b->sticks ? let_go(b, b->held, b->angle, give) : SNUB_OK;
}

/* What clutch k's rim asks of the shaft over what holds it, less 1, where it holds for `hold`. */
static snub_status asks(balanced *b, int k, double hold, double *excess)
{
    const int at = b->moving->clutch[k];
    b->share[k] = snub_overrun_share(hold, NULL);
    const snub_status status = swing_with(b);
    *excess = b->frequency * b->frequency * b->m->shaft[at] * cabs(b->angle[at]) * hold / b->m->torque[at] - 1.0;
    return status;
}

/* The share of one clutch, the others as they are. Of several swings that balance the greatest: a drive that has been
 * shaken hard stays in it. */
static snub_status settle_clutch(balanced *b, int k)
{
    enum { PARTS = 40, HALVINGS = 48 };
    double low = 0.0, high = 0.0, excess;
    if (!(b->m->torque[b->moving->clutch[k]] > 0.0)) { /* nothing slows the shaft down */
        b->share[k] = 0.0;
        return SNUB_OK;
    }
    for (int p = 1; p <= PARTS && high == 0.0; p++) {
        const snub_status status = asks(b, k, (double)p / PARTS, &excess);
        if (status != SNUB_OK)
            return status;
        if (excess > 0.0)
            high = (double)p / PARTS;
        else
            low = (double)p / PARTS;
    }
    if (high == 0.0) { /* it holds */
        b->share[k] = 1.0;
        return SNUB_OK;
    }
    for (int h = 0; h < HALVINGS; h++) {
        const double middle = 0.5 * (low + high);
        const snub_status status = asks(b, k, middle, &excess);
        if (status != SNUB_OK)
            return status;
        if (excess > 0.0)
            high = middle;
        else
            low = middle;
    }
    b->share[k] = snub_overrun_share(high, NULL);
    return SNUB_OK;
}

/* One clutch after the other, until none changes any more. */
static snub_status settle_clutches(balanced *b)
{
    enum { ROUNDS_MOST = 200 };
    static const double SETTLED = 1e-10;
    const int clutches = b->moving->clutches;
    double change = clutches > 0 ? INFINITY : 0.0;
    for (int k = 0; k < clutches; k++)
        b->share[k] = 1.0;
    for (int round = 0; round < ROUNDS_MOST && change > SETTLED; round++) {
        change = 0.0;
        for (int k = 0; k < clutches; k++) {
            const number was = b->share[k];
            const snub_status status = settle_clutch(b, k);
            if (status != SNUB_OK)
                return status;
            change = clutches > 1 ? fmax(change, cabs(b->share[k] - was)) : 0.0;
        }
    }
    return change > SETTLED ? SNUB_NO_CONVERGENCE : swing_with(b);
}

static void put(const balanced *b, const number *strain, const snub_dashpots *d, snub_response *response)
{
    const snub_motion *m = b->m;
    response->sticks = b->sticks;
    for (int i = 0; i < m->count; i++)
        response->angle[i] = cabs(b->angle[i]);
    for (int k = 0; k < b->moving->clutches; k++)
        response->lets_go[b->moving->clutch[k]] = b->share[k] != 1.0 && cabs(b->angle[b->moving->clutch[k]]) > 0.0;
    for (int i = 0; i < m->pulleys; i++) {
        number stretched = 0.0;
        for (int k = 0; k < m->count; k++)
            stretched += strain[i * m->count + k] * b->angle[k];
        stretched *= m->belt_stiffness * (1.0 + I * b->frequency * d->belt);
        response->tension[i] = cabs(stretched);
        response->part[i][0] = creal(stretched);
        response->part[i][1] = cimag(stretched);
    }
}

snub_status snub_respond(const snub_motion *motion, double frequency, double angle, const snub_dashpots *dashpots,
                         snub_response *response, snub_error *error)
{
    const snub_dashpots none = {.belt = 0.0};
    const snub_dashpots *d = dashpots != NULL ? dashpots : &none;
    number strain[SNUB_PULLEYS_MOST * SNUB_MOVERS_MOST], dynamic[SNUB_MOVERS_MOST * SNUB_MOVERS_MOST];
    answers moving, held;
    balanced b = {.m = motion, .frequency = frequency, .moving = &moving, .held = &held};
    carry_round(motion, frequency, strain);
    add_up(motion, frequency, d, strain, dynamic);
    memset(response, 0, sizeof *response);
    find_clutches(motion, &moving);
    find_clutches(motion, &held);
    snub_status status = answer(motion, dynamic, angle, false, &moving);
    if (status == SNUB_OK && motion->arm_moves && motion->friction > 0.0)
        status = answer(motion, dynamic, angle, true, &held);
    if (status != SNUB_OK)
        return snub_fail(error, status, NULL, NULL, "a resonance without damping: the swing has no size");
    if (settle_clutches(&b) != SNUB_OK)
        return snub_fail(error, SNUB_NO_CONVERGENCE, NULL, NULL, "its overrunning clutches find no steady swing");
    put(&b, strain, d, response);
    return SNUB_OK;
}
