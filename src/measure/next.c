/** The next reading: by how much each distance that could be taken would shrink the longest ellipse. */
#include "next.h"

#include <math.h>
#include <string.h>

#include "ellipse.h"

/** Less gain than that is not worth a reading. */
static const double WORTH = 0.95;
/** Room beside a rim for a calliper's beam, m: rule of thumb. */
static const double BEAM = 0.002;

static bool has_rim(const snub_measured *m, int pulley)
{
    return isfinite(m->pulleys[pulley].diameter);
}

double snub_next_error(const snub_measured *m, int a, int b)
{
    const bool rims = has_rim(m, a) && has_rim(m, b);
    double sum = 0.0;
    int count = 0;
    for (int i = 0; i < m->distance_count; i++) {
        const snub_distance *d = &m->distances[i];
        if (d->kind == SNUB_TO_EDGE || (d->kind != SNUB_CENTRES) != rims)
            continue;
        sum += d->error;
        count++;
    }
    return count > 0 ? sum / count : snub_distance_usual_error(rims ? SNUB_INSIDE : SNUB_CENTRES);
}

/* A third pulley between two. */
static bool hidden(const snub_next_network *n, int a, int b)
{
    const snub_measured *m = n->network->measured;
    const double *p = n->centres->centre[a].at, *q = n->centres->centre[b].at;
    const double length = hypot(q[0] - p[0], q[1] - p[1]);
    for (int i = 0; i < m->pulley_count; i++) {
        if (i == a || i == b || !has_rim(m, i) || !(length > 0.0))
            continue;
        const double *c = n->centres->centre[i].at;
        const double ux = (q[0] - p[0]) / length, uy = (q[1] - p[1]) / length;
        const double along = (c[0] - p[0]) * ux + (c[1] - p[1]) * uy;
        const double aside = fabs((c[0] - p[0]) * uy - (c[1] - p[1]) * ux);
        if (along > 0.0 && along < length && aside < 0.5 * m->pulleys[i].diameter + BEAM)
            return true;
    }
    return false;
}

/* Of one pulley once the reading is there. `taken` is C g, `over` its square over s^2 + g C g. */
static double axis_with(const snub_next_network *n, int pulley, const double *along, double over)
{
    const snub_network *net = n->network;
    const int at = net->centre[pulley], size = net->unknowns;
    double axis[2], turn, block[3] = {0.0, 0.0, 0.0};
    if (at < 0)
        return 0.0;
    const bool ray = snub_network_on_ray(net, pulley);
    for (int k = 0; k < (ray ? 1 : 3); k++) {
        const int i = at + (k == 2), j = at + (k > 0);
        block[k] = n->covariance[snub_at(i, j, size)] - along[i] * along[j] / over;
    }
    snub_ellipse(block, 1.0, axis, &turn);
    return axis[0];
}

static double worst_with(const snub_next_network *n, const double *gradient, double error, double *along)
{
    const int size = n->network->unknowns;
    double over = error * error, worst = 0.0;
    for (int i = 0; i < size; i++) {
        along[i] = 0.0;
        for (int k = 0; k < size; k++)
            along[i] += n->covariance[snub_at(i, k, size)] * gradient[k];
        over += along[i] * gradient[i];
    }
    for (int i = 0; i < n->network->measured->pulley_count; i++)
        worst = fmax(worst, axis_with(n, i, along, over));
    return worst;
}

static void offer(snub_next_reading next[SNUB_NEXT_MOST], int *count, const snub_next_reading *one)
{
    if (*count == SNUB_NEXT_MOST && !(one->worst < next[SNUB_NEXT_MOST - 1].worst))
        return;
    int at = *count < SNUB_NEXT_MOST ? (*count)++ : SNUB_NEXT_MOST - 1;
    for (; at > 0 && next[at - 1].worst > one->worst; at--)
        next[at] = next[at - 1];
    next[at] = *one;
}

bool snub_next_find(const snub_next_network *n, snub_arena *arena, snub_next_reading next[SNUB_NEXT_MOST], int *count)
{
    const snub_measured *m = n->network->measured;
    double *gradient = SNUB_NEW(arena, double, n->network->unknowns);
    double *along = SNUB_NEW(arena, double, n->network->unknowns);
    *count = 0;
    if (gradient == NULL || along == NULL)
        return false;
    double longest = 0.0;
    for (int i = 0; i < m->pulley_count; i++)
        longest = fmax(longest, n->centres->centre[i].axis[0]);
    memset(gradient, 0, (size_t)n->network->unknowns * sizeof *gradient);
    const double bare = worst_with(n, gradient, 1.0, along);
    for (int a = 0; a < m->pulley_count; a++) {
        for (int b = a + 1; b < m->pulley_count; b++) {
            snub_next_reading one = {.a = a, .b = b, .error = snub_next_error(m, a, b)};
            if (hidden(n, a, b))
                continue;
            const double *p = n->centres->centre[a].at, *q = n->centres->centre[b].at;
            one.now = hypot(p[0] - q[0], p[1] - q[1]);
            snub_network_gradient(n->network, n->x, a, b, has_rim(m, a) && has_rim(m, b), gradient);
            one.worst = worst_with(n, gradient, one.error, along);
            if (!(one.worst < WORTH * bare))
                continue;
            one.worst *= longest / bare;
            offer(next, count, &one);
        }
    }
    return true;
}
