/** What a fitter should read on the arm and hear from a span, engine at rest. */
#include <math.h>

#include "expect.h"
#include "fixed_tensioner.h"

/* The longest span that does not end at the arm: it can be reached, and its pitch is least upset by the finger. */
static int span_to_pluck(const snub_drive *drive, const snub_path *path)
{
    int best = -1;
    for (int i = 0; i < path->n; i++) {
        bool at_arm = i == drive->arm || (i + 1) % path->n == drive->arm;
        if ((!at_arm || path->n <= 3) && (best < 0 || path->span[i] > path->span[best]))
            best = i;
    }
    return best;
}

/* A fixed tensioner is moved until the span sounds right: the fitter reads to so much of the frequency; rule of thumb.
 */
static const double PLUCK_READING = 0.03;

static void set_by_pluck(snub_expectation *e)
{
    for (int end = -1; end <= 1; end += 2) {
        const double part = 1.0 + end * PLUCK_READING;
        e->frequency[end + 1] = e->frequency[1] * part;
        e->tension[end + 1] = e->tension[1] * part * part;
    }
}

/* A tension at which the belt is to be set again is none to set it to. */
static void keep_from_slipping(const snub_build *build, snub_expectation *e)
{
    snub_retension again;
    snub_retension_find(build, &again);
    if (!(again.again > e->tension[0]))
        return;
    e->tension[0] = fmin(again.again, e->tension[1]);
    e->frequency[0] = snub_expected_frequency(e, e->tension[0]);
}

bool snub_rest_balance(const snub_drive *drive, const snub_rig *rig, double effective, double side,
                       snub_balance *balance)
{
    snub_equilibrium equilibrium;
    snub_case wanted = {.side = side};
    wanted.belt_length = snub_belt_pitch_length(&drive->belt, effective, drive->belt.stretch, false);
    if (snub_solve(rig, &wanted, &equilibrium, NULL) != SNUB_OK)
        return false;
    snub_expand(drive, rig, &wanted, &equilibrium, balance);
    return true;
}

void snub_expect(const snub_build *build, snub_expectation *expectation)
{
    const snub_drive *drive = build->drive;
    const double effective = build->length;
    snub_rig rig;
    snub_balance balance;
    *expectation = (snub_expectation){.span = -1};
    if (!build->settled || snub_build_rig(build, false, &rig, NULL) != SNUB_OK ||
        !snub_rest_balance(drive, &rig, effective, 0, &balance))
        return;
    snub_expectation e = {.known = true, .span = span_to_pluck(drive, &balance.path)};
    bool arm = drive->arm >= 0;
    e.length = balance.path.span[e.span];
    for (int i = 0; i < 3; i++) {
        e.wind[i] = arm ? balance.equilibrium.wind : NAN;
        e.frequency[i] = balance.span_frequency[e.span];
        e.tension[i] = balance.span_tension[e.span];
    }
    if (drive->locked >= 0) {
        set_by_pluck(&e);
        keep_from_slipping(build, &e);
        *expectation = e;
        return;
    }
    const double tolerance = snub_belt_tolerance(&drive->belt, effective);
    for (int length = -1; length <= 1; length++)
        for (int side = -1; side <= 1; side += 2) {
            if (!snub_rest_balance(drive, &rig, effective + length * tolerance, side, &balance))
                continue;
            if (arm) {
                e.wind[0] = fmin(e.wind[0], balance.equilibrium.wind);
                e.wind[2] = fmax(e.wind[2], balance.equilibrium.wind);
            }
            e.frequency[0] = fmin(e.frequency[0], balance.span_frequency[e.span]);
            e.frequency[2] = fmax(e.frequency[2], balance.span_frequency[e.span]);
            e.tension[0] = fmin(e.tension[0], balance.span_tension[e.span]);
            e.tension[2] = fmax(e.tension[2], balance.span_tension[e.span]);
        }
    *expectation = e;
}

double snub_expected_frequency(const snub_expectation *expectation, double tension)
{
    return expectation->frequency[1] * sqrt(tension / expectation->tension[1]);
}
