/** The circle nearest to points: least squares of the distances, points that stand out left out. docs/theory/measure.md
 */
#include "circle.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "adjust.h"
#include "ellipse.h"
#include "snub/distributions.h"

enum {
    TRIPLES = 500, /* circles through three points that are tried: of points half of which are wrong, none of them is
                      good once in 10^29 */
    SAMPLE = 200,  /* points that a tried circle is held against */
    UNKNOWNS = 3
};
/** A triangle whose double area is under this part of its longest side's square has no circle; likewise what is left of
 * points across a line. */
static const double FLAT = 1e-12;
/** Radius over the points' own reach at which a circle is a line to a double. */
static const double RADIUS_MOST = 1e7;
/** Robust scale of n residuals: 1.4826 (1 + 5/(n - 3)) times their median; further than 2.5 of it is not begun with.
 * P. J. Rousseeuw and A. M. Leroy, Robust Regression and Outlier Detection, Wiley 1987, chapter 5. Of few points half
 * agree by chance, so that three quarters are asked for: the normal distribution's is 1/1.1503 of it. */
static const double MEDIAN_TO_SCATTER = 1.4826, QUARTER_TO_SCATTER = 0.8693, SMALL_SAMPLE = 5.0, BEGIN_WITHIN = 2.5;
enum { FEW = 20 };
/** Circles of which a point is left out by chance: a scan has ten, and what is wrong in one is wrong by far. */
static const double OUT_CHANCE = 0.01;
/** Scatter under this part of the radius is a double's rounding. */
static const double ROUNDING = 1e-12;

typedef struct job {
    const double (*at)[2];
    double stated;
    snub_circle_fit *fit;
    snub_adjustment adjustment; /* its equations are the points that are used */
    snub_adjuster adjuster;
    double (*used)[2]; /* of them, about their middle, over their reach */
    double middle[2], reach;
    double x[UNKNOWNS]; /* centre and radius, so too */
    double value[UNKNOWNS], right_t[UNKNOWNS * UNKNOWNS], q[UNKNOWNS * UNKNOWNS], *left;
} job;

/* ---- a fit of those that are used -------------------------------------------------------------------------------- */

static void evaluate(const double *x, double *residual, double *jacobian, void *context)
{
    const job *j = context;
    const int m = j->adjustment.equations;
    for (int i = 0; i < m; i++) {
        const double u = j->used[i][0] - x[0], v = j->used[i][1] - x[1], d = hypot(u, v);
        residual[i] = d - x[2];
        jacobian[snub_at(i, 0, m)] = d > 0.0 ? -u / d : 0.0;
        jacobian[snub_at(i, 1, m)] = d > 0.0 ? -v / d : 0.0;
        jacobian[snub_at(i, 2, m)] = -1.0;
    }
}

static void gather(job *j)
{
    const snub_circle_fit *fit = j->fit;
    int n = 0;
    j->middle[0] = j->middle[1] = 0.0;
    for (int i = 0; i < fit->count; i++)
        for (int k = 0; k < 2 && !fit->point[i].out; k++)
            j->middle[k] += j->at[i][k] / fit->used;
    j->reach = 0.0;
    for (int i = 0; i < fit->count; i++) {
        if (fit->point[i].out)
            continue;
        for (int k = 0; k < 2; k++)
            j->used[n][k] = j->at[i][k] - j->middle[k];
        j->reach = fmax(j->reach, hypot(j->used[n][0], j->used[n][1]));
        n++;
    }
    for (int i = 0; i < n && j->reach > 0.0; i++)
        for (int k = 0; k < 2; k++)
            j->used[i][k] /= j->reach;
    j->adjustment.equations = n;
}

/* Where to begin: the circle of least sum of (d^2 - r^2)^2, whose equations are linear. @return false: a line */
static bool begin(job *j)
{
    double xx = 0.0, xy = 0.0, yy = 0.0, a = 0.0, b = 0.0;
    const int n = j->adjustment.equations;
    for (int i = 0; i < n; i++) {
        const double u = j->used[i][0], v = j->used[i][1], square = u * u + v * v;
        xx += u * u;
        xy += u * v;
        yy += v * v;
        a += 0.5 * u * square;
        b += 0.5 * v * square;
    }
    const double determinant = xx * yy - xy * xy;
    if (!(determinant > FLAT * (xx + yy) * (xx + yy)))
        return false;
    j->x[0] = (a * yy - b * xy) / determinant;
    j->x[1] = (b * xx - a * xy) / determinant;
    j->x[2] = sqrt(j->x[0] * j->x[0] + j->x[1] * j->x[1] + (xx + yy) / n);
    return j->x[2] < RADIUS_MOST;
}

static snub_status no_circle(snub_error *error)
{
    return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL,
                     "the points stand on a straight line or in one place: no circle goes through them");
}

static snub_status fit_used(job *j, snub_error *error)
{
    double sum;
    gather(j);
    if (!begin(j))
        return no_circle(error);
    snub_status status = snub_adjust(&j->adjustment, &j->adjuster, j->x, &sum);
    if (status == SNUB_OK)
        status = snub_adjust_decompose(&j->adjustment, &j->adjuster, j->x, j->value, j->left, j->right_t);
    if (status == SNUB_NO_MEMORY)
        return snub_fail(error, status, NULL, NULL, "out of memory");
    if (status != SNUB_OK || !(j->value[UNKNOWNS - 1] > 0.0) || !(fabs(j->x[2]) < RADIUS_MOST))
        return no_circle(error);
    snub_adjust_covariance(UNKNOWNS, j->value, j->right_t, j->q);
    for (int k = 0; k < 2; k++)
        j->fit->at[k] = j->middle[k] + j->reach * j->x[k];
    j->fit->radius = j->reach * j->x[2];
    j->fit->sum = j->reach * j->reach * sum;
    return SNUB_OK;
}

static double residual_of(const job *j, int i)
{
    return hypot(j->at[i][0] - j->fit->at[0], j->at[i][1] - j->fit->at[1]) - j->fit->radius;
}

/* ---- which points stand out -------------------------------------------------------------------------------------- */

/* Scatter of a point by the sum of `freedom` and three, no less than what is stated. */
static double scatter_of(const job *j, double sum, int freedom)
{
    const double least = isnan(j->stated) ? ROUNDING * j->fit->radius : j->stated;
    return fmax(least, sqrt(fmax(0.0, sum) / freedom));
}

static double limit_of(const job *j, int freedom)
{
    return snub_student_value(0.5 * OUT_CHANCE / j->fit->count, freedom);
}

/* Of a point that is not used: over the error of its distance, that of the circle there counted in. */
static double against_from_outside(const job *j, int i, double scatter)
{
    const double u = j->at[i][0] - j->fit->at[0], v = j->at[i][1] - j->fit->at[1], d = hypot(u, v);
    const double a[UNKNOWNS] = {d > 0.0 ? -u / d : 0.0, d > 0.0 ? -v / d : 0.0, -1.0};
    double more = 1.0;
    for (int k = 0; k < UNKNOWNS; k++)
        for (int l = 0; l < UNKNOWNS; l++)
            more += a[k] * j->q[snub_at(k, l, UNKNOWNS)] * a[l];
    return residual_of(j, i) / (scatter * sqrt(more));
}

/* Points that are as near as a further one would be come back in. */
static bool take_back(job *j)
{
    snub_circle_fit *fit = j->fit;
    const int freedom = fit->used - UNKNOWNS, before = fit->used;
    const double scatter = scatter_of(j, fit->sum, freedom), limit = limit_of(j, freedom);
    for (int i = 0; i < fit->count; i++)
        if (fit->point[i].out && fabs(against_from_outside(j, i, scatter)) <= limit) {
            fit->point[i].out = false;
            fit->used++;
        }
    return fit->used > before;
}

/* Share and test of every point as the fit stands. @return the largest test of those that are used */
static double test_points(job *j)
{
    snub_circle_fit *fit = j->fit;
    const int freedom = fit->used - UNKNOWNS;
    double most = 0.0;
    for (int i = 0, row = 0; i < fit->count; i++) {
        snub_circle_point *p = &fit->point[i];
        p->residual = residual_of(j, i);
        p->share = p->against = NAN;
        if (p->out) {
            p->against = against_from_outside(j, i, scatter_of(j, fit->sum, freedom));
            continue;
        }
        p->share = snub_adjust_share(&j->adjustment, j->left, row++);
        if (freedom < 2 || p->share < FLAT)
            continue;
        const double square = p->residual * p->residual / p->share;
        p->against = p->residual / (sqrt(p->share) * scatter_of(j, fit->sum - square, freedom - 1));
        most = fmax(most, fabs(p->against));
    }
    return most;
}

/* Of few points the worst goes, of many all that stand out more than half as far. @return false: none stands out */
static bool leave_out(job *j, double most)
{
    snub_circle_fit *fit = j->fit;
    if (fit->used < SNUB_CIRCLE_TESTED)
        return false;
    const double limit = limit_of(j, fit->used - UNKNOWNS - 1), least = (fit->count < FEW ? 1.0 : 0.5) * most;
    const int before = fit->used;
    if (!(most > limit))
        return false;
    for (int i = 0; i < fit->count && fit->used >= SNUB_CIRCLE_TESTED; i++)
        if (!fit->point[i].out && fabs(fit->point[i].against) >= fmax(limit, least)) {
            fit->point[i].out = true;
            fit->used--;
        }
    return fit->used < before;
}

/* ---- a start that half of the points cannot spoil ---------------------------------------------------------------- */

static int by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* @return false: the three are in line */
static bool circle_of(const double a[2], const double b[2], const double c[2], double at[2], double *radius)
{
    const double u[2] = {b[0] - a[0], b[1] - a[1]}, v[2] = {c[0] - a[0], c[1] - a[1]};
    const double xx = u[0] * u[0] + u[1] * u[1], yy = v[0] * v[0] + v[1] * v[1], area = u[0] * v[1] - u[1] * v[0];
    if (!(fabs(area) > FLAT * fmax(xx, yy)))
        return false;
    const double x = 0.5 * (v[1] * xx - u[1] * yy) / area, y = 0.5 * (u[0] * yy - v[0] * xx) / area;
    at[0] = a[0] + x;
    at[1] = a[1] + y;
    *radius = hypot(x, y);
    return true;
}

/* How many of m points are to agree: half, those counted that three of them take up; of few points three quarters. */
static int agreeing(int m)
{
    return m < FEW ? m - m / 4 : (m + UNKNOWNS + 1) / 2;
}

/* The distance within which so many lie. */
static double their_distance(const job *j, const double at[2], double radius, double *room)
{
    const int n = j->fit->count, m = n < SAMPLE ? n : SAMPLE;
    for (int i = 0; i < m; i++) {
        const double *p = j->at[(long long)i * n / m];
        room[i] = fabs(hypot(p[0] - at[0], p[1] - at[1]) - radius);
    }
    qsort(room, (size_t)m, sizeof *room, by_size);
    return room[agreeing(m) - 1];
}

/* The same numbers in every run. */
static int draw(uint64_t *state, int below)
{
    *state = *state * 6364136223846793005ULL + 1442695040888963407ULL;
    return (int)((*state >> 33) % (uint64_t)below);
}

/* Least median of squares over circles through three points; what is far off it is not begun with. */
static void begin_robust(job *j)
{
    snub_circle_fit *fit = j->fit;
    const int n = fit->count;
    double room[SAMPLE], best[2] = {0.0, 0.0}, best_radius = 0.0, least = INFINITY;
    uint64_t state = 1;
    for (int k = 0; k < TRIPLES; k++) {
        const int a = draw(&state, n), b = draw(&state, n), c = draw(&state, n);
        double at[2], radius;
        if (!circle_of(j->at[a], j->at[b], j->at[c], at, &radius))
            continue;
        const double distance = their_distance(j, at, radius, room);
        if (distance < least) {
            least = distance;
            best_radius = radius;
            memcpy(best, at, sizeof best);
        }
    }
    if (!isfinite(least))
        return;
    const double floor = isnan(j->stated) ? ROUNDING * best_radius : j->stated;
    const double scatter = (n < FEW ? QUARTER_TO_SCATTER : MEDIAN_TO_SCATTER) * (1.0 + SMALL_SAMPLE / (n - UNKNOWNS));
    const double most = BEGIN_WITHIN * fmax(floor, scatter * least);
    for (int i = 0; i < n; i++) {
        fit->point[i].out = fabs(hypot(j->at[i][0] - best[0], j->at[i][1] - best[1]) - best_radius) > most;
        fit->used -= fit->point[i].out;
    }
}

/* Grow from what was begun with, then take away what stands out: a point that is taken away stays away, so this ends.
 */
static snub_status settle(job *j, snub_error *error)
{
    snub_status status;
    const bool tested = j->fit->count >= SNUB_CIRCLE_TESTED;
    if (tested)
        begin_robust(j);
    do
        status = fit_used(j, error);
    while (status == SNUB_OK && tested && j->fit->used < j->fit->count && take_back(j));
    if (status != SNUB_OK)
        return status;
    while (leave_out(j, test_points(j)))
        if ((status = fit_used(j, error)) != SNUB_OK)
            return status;
    return SNUB_OK;
}

/* ---- what comes out ---------------------------------------------------------------------------------------------- */

/* A turn less the largest gap between neighbours. @param[out] room  of the angles */
static double arc_of(const job *j, double *room)
{
    const snub_circle_fit *fit = j->fit;
    int n = 0;
    for (int i = 0; i < fit->count; i++)
        if (!fit->point[i].out)
            room[n++] = atan2(j->at[i][1] - fit->at[1], j->at[i][0] - fit->at[0]);
    qsort(room, (size_t)n, sizeof *room, by_size);
    double gap = room[0] + 2.0 * SNUB_PI - room[n - 1];
    for (int i = 1; i < n; i++)
        gap = fmax(gap, room[i] - room[i - 1]);
    return 2.0 * SNUB_PI - gap;
}

/* Squared semi-axis over variance that holds the centre with 95 %: of F with two and f, (f/2)(chance^(-2/f) - 1),
 * twice; of chi-square its limit, -2 ln(chance). */
static double ellipse_square(double freedom)
{
    return isinf(freedom) ? -2.0 * log(SNUB_ERROR_CHANCE) : freedom * (pow(SNUB_ERROR_CHANCE, -2.0 / freedom) - 1.0);
}

static void find_errors(job *j)
{
    snub_circle_fit *fit = j->fit;
    const int freedom = fit->used - UNKNOWNS;
    const bool stated = !isnan(j->stated);
    fit->scatter = freedom > 0 ? sqrt(fit->sum / freedom) : NAN;
    fit->taken = stated ? snub_adjust_agreement(fit->sum / (j->stated * j->stated), freedom).taken : 1.0;
    const double one = stated ? fit->taken * j->stated : fit->scatter;
    fit->within = stated        ? snub_normal_value(0.5 * SNUB_ERROR_CHANCE)
                  : freedom > 0 ? snub_student_value(0.5 * SNUB_ERROR_CHANCE, freedom)
                                : NAN;
    for (int k = 0; k < 2; k++)
        fit->error[k] = one * sqrt(j->q[snub_at(k, k, UNKNOWNS)]);
    fit->radius_error = one * sqrt(j->q[snub_at(2, 2, UNKNOWNS)]);
    const double block[3] = {j->q[snub_at(0, 0, UNKNOWNS)], j->q[snub_at(0, 1, UNKNOWNS)],
                             j->q[snub_at(1, 1, UNKNOWNS)]};
    snub_ellipse(block, one * sqrt(ellipse_square(stated ? (double)INFINITY : freedom)), fit->axis, &fit->turn);
    fit->limit = fit->count >= SNUB_CIRCLE_TESTED ? limit_of(j, freedom) : NAN;
    /* The curvature 1/r has the error s/r^2: nought is in its 95 % where the radius' own reach over the radius. */
    fit->straight = fit->within * fit->radius_error >= fit->radius;
}

static bool make_room(job *j, snub_arena *arena, double **room)
{
    const int n = j->fit->count;
    j->adjustment = (snub_adjustment){UNKNOWNS, n, evaluate, j};
    j->fit->point = SNUB_NEW(arena, snub_circle_point, n);
    j->used = (double(*)[2])snub_alloc(arena, (size_t)n, sizeof *j->used);
    j->left = SNUB_NEW(arena, double, n *UNKNOWNS);
    *room = SNUB_NEW(arena, double, n);
    return snub_adjuster_make(&j->adjustment, arena, &j->adjuster) && j->fit->point && j->used && j->left && *room;
}

snub_status snub_circle_through(const double (*at)[2], int count, double stated, snub_arena *arena,
                                snub_circle_fit *fit, snub_error *error)
{
    job j = {.at = at, .stated = stated, .fit = fit};
    double *room;
    *fit = (snub_circle_fit){.count = count, .used = count};
    if (count < SNUB_CIRCLE_POINTS)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "a circle needs three points or more, there are %d", count);
    if (!make_room(&j, arena, &room))
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    const snub_status status = settle(&j, error);
    if (status != SNUB_OK)
        return status;
    fit->arc = arc_of(&j, room);
    find_errors(&j);
    return SNUB_OK;
}
