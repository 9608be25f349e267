/* A plucked span by ear, and a span that is pulled across. docs/theory/tension.md. */
#include "pluck.h"

#define A4_HZ 440.0
#define A4_NUMBER 69 /**< of the keys: 60 is C4 */
#define SEMITONES 12
/** What a phone's tuner hears: under A1 its microphone is deaf, above C8 its scale ends. Rule of thumb. */
static const double HEARD[2] = {55.0, 4186.1};

double snub_cents(double from, double to)
{
    return 100.0 * SEMITONES * log2(to / from);
}

bool snub_note_of(double frequency, snub_note *note)
{
    if (!(frequency >= HEARD[0] && frequency <= HEARD[1]))
        return false;
    const double number = A4_NUMBER + SEMITONES * log2(frequency / A4_HZ), nearest = round(number);
    note->pitch = (int)nearest % SEMITONES;
    note->octave = (int)nearest / SEMITONES - 1;
    note->cents = (int)round(100.0 * (number - nearest));
    return true;
}

/** Per rib, N m2: models of six-rib drives work with about 0.015 (memory; no published source compared). */
static const double BENDING_PER_RIB = 0.0025;

double snub_belt_bending(const snub_belt *belt)
{
    return BENDING_PER_RIB * belt->ribs;
}

/* ---- pulled across ----------------------------------------------------------------------------------------------- */

/* Force that holds the middle of a span at a deflection: two straight halves whose tension has grown with their length,
 * and the bending at both ends and under the hook, of a beam under tension with its ends held straight. */
static double force_at(const snub_pull *p, double deflection)
{
    const double half = hypot(0.5 * p->length, deflection);
    const double tension = p->tension + p->stiffness * (2.0 * half - p->length) / p->shares;
    double lost = 0.0;
    if (p->bending > 0.0) {
        const double quarter = 0.25 * p->length * sqrt(tension / p->bending);
        lost = tanh(quarter) / quarter;
    }
    return 2.0 * tension * deflection / half / (1.0 - lost);
}

double snub_pull_deflection(const snub_pull *p, double force)
{
    enum { HALVINGS = 60 };
    double low = 0.0, high = 0.5 * p->length;
    if (!(p->length > 0.0 && p->tension > 0.0 && p->shares > 0.0 && force >= 0.0) || force_at(p, high) < force)
        return NAN;
    for (int k = 0; k < HALVINGS; k++) {
        const double middle = 0.5 * (low + high);
        *(force_at(p, middle) < force ? &low : &high) = middle;
    }
    return 0.5 * (low + high);
}
