/** What the templates of one rig (solve_lanes.h) and of many (batch_lanes.h) have in common, on `lanes`: series for a
 *  small turn, a wrap within one turn, the cell of a balance and the first guess in it. Private to src/balance. */
#ifndef SNUB_BALANCE_LANES_COMMON_H
#define SNUB_BALANCE_LANES_COMMON_H

#include "snub/balance.h"

/* Step of wind below which Newton has arrived, rad: 1e-13 rad at a 0.1 m arm is 1e-14 m, a force of some 1e-10 N at
 * the stiffness of a belt. Risk when larger: tension errors; when smaller: rounding never lets it end. */
static const double WIND_STEP_RAD = 1e-13;
/* Newton or bisection steps: bisection alone needs 50 from a cell of a wind table to WIND_STEP_RAD. */
enum { STEPS_MOST = 100 };

/* See turn_between in layout: a turn below this is a touch. */
static const double TOUCH_RAD = 1e-12;

/* Turns of the arm, rad, that the series of sine and cosine are good for: they leave out less than 3e-18 of the sine
 * and 3e-21. */
static const double TURN_MOST = 0.1;

/* (sin t)/t - 1 from the square of t */
static inline lanes sine_rest(lanes s)
{
    return s * (-1.0 / 6.0 + s * (1.0 / 120.0 + s * (-1.0 / 5040.0 + s * (1.0 / 362880.0))));
}

/* cos t - 1 from the square of t */
static inline lanes cosine_rest(lanes s)
{
    return s * (-1.0 / 2.0 + s * (1.0 / 24.0 + s * (-1.0 / 720.0 + s * (1.0 / 40320.0 - s * (1.0 / 3628800.0)))));
}

/* (arc sine x)/x - 1 from the square of x, of which each coefficient is (2k)!/(4^k k!^2 (2k + 1)) */
static inline lanes arc_sine_rest(lanes s)
{
    return s * (1.0 / 6.0 +
                s * (3.0 / 40.0 + s * (15.0 / 336.0 + s * (105.0 / 3456.0 +
                                                           s * (945.0 / 42240.0 + s * (10395.0 / 599040.0 +
                                                                                       s * (135135.0 / 9676800.0)))))));
}

/* A wrap that has grown or shrunk, in the range that the arc tangent gives: less by a touch than a whole turn. */
static inline lanes within_turn(lanes wrap)
{
    const double turn = 2.0 * SNUB_PI;
    wrap = pick(wrap < -TOUCH_RAD, wrap + turn, wrap);
    return pick(wrap >= turn - TOUCH_RAD, wrap - turn, wrap);
}

/* Where R goes from - to + between two winds. */
typedef struct crossing {
    lanes low, high, r_low, r_high;
    lanes bend, twist; /* second and third difference of R over steps of the table, N m; 0 where not known */
} crossing;

/* Root of the cubic through R at both ends and at their neighbours, as a share of the cell: so near to the root that
 * Newton has one step left. Rarely it lies outside of the cell, or is no number: refine() looks after that. */
static inline lanes first_guess(const crossing *c)
{
    const lanes rise = c->r_high - c->r_low, bend = c->bend / 2.0, twist = c->twist / 6.0;
    lanes t = -c->r_low / rise;
    for (int k = 0; k < 3; k++) {
        const lanes r = c->r_low + t * (rise + (t - 1.0) * (bend + (t + 1.0) * twist));
        t -= r / (rise + (2.0 * t - 1.0) * bend + (3.0 * t * t - 1.0) * twist);
    }
    return t;
}

#endif
