/* Hub forces while the spans swing. docs/theory/motion.md, swing in the loads. */
#include "hub_swing.h"

#include <math.h>

/* In which a force is looked at for its furthest, and their opposites: every 22.5 deg, so that the furthest in any
 * other is missed by 2 % of the swing at most, and not at all where the swing goes to and fro on a line. */
enum { DIRECTIONS = 8 };
#define SIN 0.38268343236508977 /* of 22.5 deg */
#define COS 0.92387953251128676
#define HALF 0.70710678118654752 /* sine of 45 deg */
static const double DIRECTION[DIRECTIONS][2] = {{1.0, 0.0}, {COS, SIN},  {HALF, HALF},  {SIN, COS},
                                                {0.0, 1.0}, {-SIN, COS}, {-HALF, HALF}, {-COS, SIN}};

/* No span pulls less than nothing. */
static void hold(const snub_balance *balance, int i, int points, double *swing)
{
    const double carries = balance->span_tension[i] - balance->equilibrium.centrifugal;
    const double least = carries > 0.0 ? -carries : 0.0;
    for (int p = 0; p < points; p++)
        swing[p] = swing[p] > least ? swing[p] : least;
}

/* The belt's force on a pulley is its tension without momentum, along both spans (tension.md). */
static void add_to_hub(const snub_balance *balance, int i, const double *in, const double *out,
                       const snub_hub_cycle *cycle)
{
    const int n = cycle->pulleys;
    const double *ahead = balance->path.u[i], *behind = balance->path.u[(i + n - 1) % n];
    for (int p = 0; p < cycle->points; p++) {
        for (int k = 0; k < 2; k++)
            cycle->more[p * n + i][k] = out[p] * ahead[k] - in[p] * behind[k];
    }
}

/* Forces that differ by no more differ by rounding alone, which is another with every compiler. */
static const double ALIKE = 1e-10;

bool snub_hub_cycle_of(const snub_balance *balance, const snub_order *orders, const snub_response *responses, int count,
                       int pulleys, snub_arena *arena, snub_hub_cycle *cycle)
{
    cycle->points = snub_cycle_points(orders, count);
    cycle->pulleys = pulleys;
    cycle->more = snub_alloc(arena, (size_t)(cycle->points * pulleys), sizeof *cycle->more);
    double *swing = SNUB_NEW(arena, double, cycle->points *pulleys);
    if (cycle->more == NULL || swing == NULL ||
        !snub_cycle_tensions(orders, responses, count, pulleys, cycle->points, arena, swing))
        return false;
    for (int i = 0; i < pulleys; i++)
        hold(balance, i, cycle->points, &swing[i * cycle->points]);
    for (int i = 0; i < pulleys; i++)
        add_to_hub(balance, i, &swing[(i + pulleys - 1) % pulleys * cycle->points], &swing[i * cycle->points], cycle);
    return true;
}

void snub_hub_at(const snub_hub_cycle *cycle, const snub_balance *balance, int point, int pulley, double force[2])
{
    for (int k = 0; k < 2; k++)
        force[k] = balance->pulley[pulley].hub[k] + cycle->more[point * cycle->pulleys + pulley][k];
}

/* How far out a force is, as each pair of looks has it: the other is its opposite. */
static double looked_at(const double force[2], int direction)
{
    return direction < DIRECTIONS ? force[0] * DIRECTION[direction][0] + force[1] * DIRECTION[direction][1]
                                  : force[0] * force[0] + force[1] * force[1];
}

/* Sum of the hub forces of a body's pulleys at all points, and the size of the most that swings about the balance's. */
static double forces_on(const snub_hub_cycle *cycle, const snub_balance *balance, const bool *on, double mean[2],
                        double (*force)[2])
{
    double square = 0.0;
    mean[0] = mean[1] = 0.0;
    for (int p = 0; p < cycle->points; p++)
        force[p][0] = force[p][1] = 0.0;
    for (int i = 0; i < cycle->pulleys; i++) {
        for (int p = 0; on[i] && p < cycle->points; p++) {
            const double *more = cycle->more[p * cycle->pulleys + i];
            force[p][0] += more[0];
            force[p][1] += more[1];
        }
        for (int k = 0; k < 2 && on[i]; k++)
            mean[k] += balance->pulley[i].hub[k];
    }
    for (int p = 0; p < cycle->points; p++) {
        const double now = force[p][0] * force[p][0] + force[p][1] * force[p][1];
        square = now > square ? now : square;
        force[p][0] += mean[0];
        force[p][1] += mean[1];
    }
    return sqrt(square);
}

/* Whether one of a pair of looks may go further out: no direction sees more of a swing than its size. */
static bool may_take(const double mean[2], double swing, int direction, const double most[2])
{
    const double here = looked_at(mean, direction);
    if (direction < DIRECTIONS)
        return here + swing > most[0] || swing - here > most[1];
    const double size = sqrt(here);
    return (size + swing) * (size + swing) > most[0] || swing >= size || -(size - swing) * (size - swing) > most[1];
}

void snub_hub_ends_take(const snub_hub_ends *ends, const snub_hub_cycle *cycle, const snub_balance *balance,
                        double (*force)[2], int *point)
{
    for (int k = 0; k < ends->bodies * SNUB_HUB_LOOKS; k++)
        point[k] = -1;
    for (int b = 0; b < ends->bodies; b++) {
        double mean[2];
        const double swing = forces_on(cycle, balance, ends->on[b], mean, force);
        for (int d = 0; d <= DIRECTIONS; d++) {
            double *most = &ends->value[b * SNUB_HUB_LOOKS + 2 * d];
            int *at = &point[b * SNUB_HUB_LOOKS + 2 * d];
            for (int p = 0; p < cycle->points && (p > 0 || may_take(mean, swing, d, most)); p++) {
                const double value = looked_at(force[p], d), both[2] = {value, -value};
                for (int k = 0; k < 2; k++) {
                    if (both[k] - most[k] > ALIKE * fabs(value)) {
                        most[k] = both[k];
                        at[k] = p;
                    }
                }
            }
        }
    }
}
