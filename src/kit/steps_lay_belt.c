/* Steps from the set slots to the belt that lies and is tight. */
#include <string.h>

#include "fitting.h"
#include "fixed_tensioner.h"
#include "loads.h"
#include "mark.h"
#include "pluck.h"
#include "snub/locale.h"
#include "step_make.h"

/** Slack [m] under which no rim stands in the belt's way. */
#define NO_RIM 0.00005

const char *snub_slot_zero_end(const snub_slot *slot)
{
    const double dx = slot->to[0] - slot->from[0], dy = slot->to[1] - slot->from[1];
    if (fabs(dx) > fabs(dy))
        return dx > 0 ? SNUB_MESSAGE("left end") : SNUB_MESSAGE("right end");
    return dy > 0 ? SNUB_MESSAGE("lower end") : SNUB_MESSAGE("upper end");
}

/* ---- slots ------------------------------------------------------------------------------------------------------- */

static void name_slot(const snub_step_maker *m, snub_step *s, int pulley)
{
    s->pulley = pulley;
    snub_step_name(s, "name", m->drive->pulleys[pulley].name);
    snub_step_number(s, "set", m->build->settings[pulley], SNUB_UNIT_MM, 1);
    snub_step_text(s, "end", snub_slot_zero_end(&m->drive->pulleys[pulley].slot));
}

/* The slider's bolt, once it is where it belongs. */
static snub_step *clamp_step(snub_step_maker *m, int pulley, snub_step_wording after)
{
    const snub_clamp_result *c = m->report != NULL ? &m->report->clamp[pulley] : NULL;
    const bool known = c != NULL && c->given;
    const char *name = m->drive->pulleys[pulley].name;
    snub_step *s =
        snub_step_add(m, SNUB_STEP_CLAMP, known ? SNUB_STEP_SAYS_CLAMP : SNUB_STEP_SAYS_CLAMP_NO_BOLT, name, NULL);
    snub_step_also(s, after);
    s->pulley = pulley;
    snub_step_name(s, "name", name);
    if (known)
        snub_step_bolt(s, c->bolt);
    snub_step_tightens(s, known ? c->torque : (double)NAN);
    return s;
}

static bool is_set(const snub_step_maker *m, int pulley)
{
    return m->drive->pulleys[pulley].sits == SNUB_ON_SLOT && isfinite(m->build->settings[pulley]);
}

/* The zero end of a slot lies under the slider: what can be reached is measured instead. */
static void set_step(snub_step_maker *m, int pulley)
{
    const snub_drive *drive = m->drive;
    snub_step *s = snub_step_add(m, SNUB_STEP_SET, SNUB_STEP_SAYS_SET, drive->pulleys[pulley].name, NULL);
    int from[2];
    double distance[2];
    const int count = snub_slot_centres(drive, m->build->settings, pulley, from, distance);
    const double edge = snub_slot_edge(drive, m->build->settings, pulley);
    name_slot(m, s, pulley);
    if (count > 0) {
        snub_step_also(s, count > 1 ? SNUB_STEP_SAYS_SET_FROM_TWO : SNUB_STEP_SAYS_SET_FROM_ONE);
        snub_step_name(s, "first", drive->pulleys[from[0]].name);
        snub_step_number(s, "far", distance[0], SNUB_UNIT_MM, 1);
    }
    if (count > 1) {
        snub_step_name(s, "second", drive->pulleys[from[1]].name);
        snub_step_number(s, "further", distance[1], SNUB_UNIT_MM, 1);
    }
    if (isfinite(edge)) {
        snub_step_also(s, SNUB_STEP_SAYS_SET_EDGE);
        snub_step_number(s, "edge", edge, SNUB_UNIT_MM, 1);
    }
}

static void slot_steps(snub_step_maker *m)
{
    for (int i = 0; i < m->drive->pulley_count; i++) {
        if (!is_set(m, i) || i == m->drive->locked)
            continue;
        set_step(m, i);
        (void)clamp_step(m, i, SNUB_STEP_SAYS_STILL_SET);
    }
}

/* ---- the belt ---------------------------------------------------------------------------------------------------- */

static void last_rim_step(snub_step_maker *m)
{
    snub_fitting f = {0};
    const bool known =
        snub_fitting_find(m->drive, m->build->settings, m->build->length, &f, NULL) == SNUB_OK && f.possible;
    snub_step *s = snub_step_add(m, SNUB_STEP_LAST_RIM,
                                 !known && m->drive->arm < 0 && m->drive->locked < 0 ? SNUB_STEP_SAYS_LAST_STRETCH
                                 : !known                                            ? SNUB_STEP_SAYS_LAST_NONE
                                 : f.needed < NO_RIM                                 ? SNUB_STEP_SAYS_LAST_SLIP
                                                                                     : SNUB_STEP_SAYS_LAST_PASS,
                                 NULL, NULL);
    if (!known)
        return;
    s->pulley = f.last;
    snub_step_name(s, "name", m->drive->pulleys[f.last].name);
    snub_step_number(s, "slack", f.slack, SNUB_UNIT_MM, 1);
    if (f.needed >= NO_RIM)
        snub_step_number(s, "needed", f.needed, SNUB_UNIT_MM, 1);
}

/* ---- a fixed tensioner ------------------------------------------------------------------------------------------- */

/** Forces that a luggage scale reads well, N. */
static const double FORCES[] = {25, 50, 75, 100, 150, 200};
enum { FORCE_COUNT = sizeof FORCES / sizeof FORCES[0] };
/** A span that gives way by a fortieth of its length stretches by an eighth of a percent, some 250 N in a belt of seven
 *  ribs; under 2 mm a rule that is read to half a millimetre tells nothing. Rules of thumb. */
static const double DEFLECTION_SHARE = 1.0 / 40.0, DEFLECTION_LEAST = 0.002;

/* Between the belt that is held by its pulleys, tight and stiff, and the limp one that draws on its whole length. */
static void press_sentence(const snub_step_maker *m, snub_step *s)
{
    const snub_expectation *e = &m->steps->expect;
    const snub_belt *belt = &m->drive->belt;
    const snub_pull held = {e->length, e->tension[2], belt->stiffness, snub_belt_bending(belt), e->length};
    const snub_pull turns = {e->length, e->tension[0], belt->stiffness, 0.0, m->build->rest.path.length};
    for (int k = FORCE_COUNT - 1; k >= 0; k--) {
        const double least = snub_pull_deflection(&held, FORCES[k]), most = snub_pull_deflection(&turns, FORCES[k]);
        if (!(least >= DEFLECTION_LEAST && most <= DEFLECTION_SHARE * e->length))
            continue;
        snub_step_also(s, SNUB_STEP_SAYS_PRESS);
        snub_step_number(s, "force", FORCES[k], SNUB_UNIT_N, 1);
        snub_step_number(s, "scale", FORCES[k] / SNUB_GRAVITY, SNUB_UNIT_KG, 1);
        snub_step_number(s, "least", least, SNUB_UNIT_MM, 1);
        snub_step_number(s, "most", most, SNUB_UNIT_MM, 1);
        return;
    }
}

static void tuner_sentence(const snub_step_maker *m, snub_step *s)
{
    const snub_expectation *e = &m->steps->expect;
    snub_note note;
    if (!snub_note_of(e->frequency[1], &note))
        return;
    snub_step_also(s, SNUB_STEP_SAYS_TUNER);
    snub_step_number(s, "heard", e->frequency[1], SNUB_UNIT_HZ, 1);
    snub_step_number(s, "near",
                     fmin(-snub_cents(e->frequency[1], e->frequency[0]), snub_cents(e->frequency[1], e->frequency[2])),
                     SNUB_UNIT_COUNT, 0);
}

/* Where the bolt comes to stand with any belt in tolerance; a build of which one has no place fails. */
static void place_sentence(const snub_step_maker *m, snub_step *s)
{
    static const snub_shown_belt ends[] = {SNUB_SHOW_SHORTEST, SNUB_SHOW_LONGEST};
    const snub_drive *drive = m->drive;
    double low = m->build->settings[drive->locked], high = low;
    for (size_t k = 0; k < sizeof ends / sizeof ends[0]; k++) {
        double stretch, settings[SNUB_PULLEYS_MOST];
        const double length = snub_belt_shown(&drive->belt, m->build->length, ends[k], &stretch);
        memcpy(settings, m->build->settings, sizeof settings);
        if (snub_lock_set(drive, snub_lock_belt(drive, length, stretch), settings, NULL, NULL) != SNUB_OK)
            continue;
        low = fmin(low, settings[drive->locked]);
        high = fmax(high, settings[drive->locked]);
    }
    snub_step_also(s, SNUB_STEP_SAYS_EXPECT_SET);
    snub_step_number(s, "low", low, SNUB_UNIT_MM, 1);
    snub_step_number(s, "high", high, SNUB_UNIT_MM, 1);
}

static void tension_step(snub_step_maker *m)
{
    const int lock = m->drive->locked;
    const snub_expectation *e = &m->steps->expect;
    const bool known = e->known && e->span >= 0;
    snub_step *s = snub_step_add(m, SNUB_STEP_TENSION, known ? SNUB_STEP_SAYS_TENSION : SNUB_STEP_SAYS_TENSION_UNKNOWN,
                                 m->drive->pulleys[lock].name, NULL);
    if (is_set(m, lock)) {
        name_slot(m, s, lock);
    } else {
        s->pulley = lock;
        snub_step_name(s, "name", m->drive->pulleys[lock].name);
    }
    snub_step_number(s, "tension", known ? e->tension[1] : m->drive->pulleys[lock].fixed_tension, SNUB_UNIT_N, 0);
    if (known) {
        snub_step_name(s, "from", m->drive->pulleys[e->span].name);
        snub_step_name(s, "to", m->drive->pulleys[(e->span + 1) % m->drive->pulley_count].name);
        snub_step_number(s, "frequency", e->frequency[1], SNUB_UNIT_HZ, 1);
        tuner_sentence(m, s);
        press_sentence(m, s);
    }
    if (is_set(m, lock))
        place_sentence(m, s);
    s = clamp_step(m, lock, known ? SNUB_STEP_SAYS_STILL_TENSE : SNUB_STEP_SAYS_STILL_SET);
    if (known)
        snub_step_number(s, "frequency", e->frequency[1], SNUB_UNIT_HZ, 1);
}

void snub_steps_lay_belt(snub_step_maker *m)
{
    const snub_drive *drive = m->drive;
    slot_steps(m);
    if (drive->locked >= 0) {
        snub_step *s =
            snub_step_add(m, SNUB_STEP_SLACKEN, SNUB_STEP_SAYS_SLACKEN, drive->pulleys[drive->locked].name, NULL);
        s->pulley = drive->locked;
        snub_step_name(s, "name", drive->pulleys[drive->locked].name);
    }
    (void)snub_step_add(m, SNUB_STEP_LAY, drive->arm >= 0 ? SNUB_STEP_SAYS_LAY_ARM : SNUB_STEP_SAYS_LAY, NULL, NULL);
    last_rim_step(m);
    if (drive->arm >= 0)
        snub_step_add(m, SNUB_STEP_EASE, SNUB_STEP_SAYS_EASE, NULL, NULL)->pulley = drive->arm;
    if (drive->locked >= 0)
        tension_step(m);
    (void)snub_step_add(m, SNUB_STEP_TURN, SNUB_STEP_SAYS_TURN, NULL, NULL);
}
