/** A span by ear and under a hook. Private to src/kit. */
#ifndef SNUB_KIT_PLUCK_H
#define SNUB_KIT_PLUCK_H

#include "snub/steps.h"

/** Cents from one frequency to another. */
double snub_cents(double from, double to);

/** Bending stiffness EI of a belt, N m2: from its ribs, rule of thumb. docs/theory/tension.md, "Pulled across". */
double snub_belt_bending(const snub_belt *belt);

/** A span that is pulled across in its middle. docs/theory/tension.md, "Pulled across". */
typedef struct snub_pull {
    double length;    /**< of the span, m */
    double tension;   /**< before it is pulled, N */
    double stiffness; /**< EA of the belt, N */
    double bending;   /**< EI of the belt, N m2; 0: a string */
    double shares;    /**< length of belt that stretches with it, m: the span's own where its pulleys hold the belt, all
                           of it where they turn */
} snub_pull;
/** How far its middle gives way to a force [N], m. NAN where the numbers are none. */
double snub_pull_deflection(const snub_pull *pull, double force);

#endif
