/* The idler setting of the best worst-case grip for a belt. docs/theory/kit.md.
 *
 * The arm's wind falls as the belt grows (snub_length_for_wind is its inverse, in closed form), so the belts that keep
 * the arm within its work range over all cases at a setting are an interval of effective lengths: no root is sought. */
#include "search.h"

#include "lie.h"
#include "loads.h"

#include <stdlib.h>
#include <string.h>

/* Settings tried along one slot before the best cell is refined; with several slots per slot. */
enum { SLOT_GRID = 16, SLOT_GRID_OF_SEVERAL = 8, LINE_GRID = 4, FREE_SLOTS_MOST = 3, ROUNDS_OF_SEVERAL = 2 };
/* A fitter reads a scale to half a millimetre; a sheet prints tenths. */
static const double TENTHS_PER_M = 1e4;
/* Engine speeds for the search (the judgement that follows takes more). */
enum { SEARCH_SPEEDS = 9 };
/* Ways of running that the search looks at; the judgement looks at all. */
static const snub_way SEARCH_WAYS[] = {SNUB_STEADY, SNUB_RISING, SNUB_FALLING, SNUB_BLIP, SNUB_AFTER_BLIP};
enum { SEARCH_WAY_COUNT = sizeof SEARCH_WAYS / sizeof SEARCH_WAYS[0] };
enum { SEARCH_CASES_MOST = 2 * SEARCH_WAY_COUNT * (SEARCH_SPEEDS + 1) };
/* Grips this near are the same to a fitter and to a belt. */
static const double GRIP_SAME = 0.01;
/* Steps by which merit falls below any grip: slack, then a gap under its limit; and a setting out of GRIP_SAME of the
 * best in the second pass. */
static const double SLACK_MERIT = -60.0, GAP_MERIT = -100.0, GRIP_MERIT_LEAST = -50.0, OUT_OF_CAP = -1000.0;
/* Stands for a miss by more than any belt, m: at that setting the arm takes up nothing. */
static const double NO_RANGE = 1e3;
/* Part of an interval that golden section keeps. */
static const double GOLDEN = 0.61803398874989484820;
/* Settings that are kept with their geometry (some 26 kB each), and where they are found again. */
enum { POINTS_MOST = 2000, BUCKETS = 1024, OUTCOMES_FIRST = 64 };

/* A setting of the free slots, ready for every belt. */
typedef struct point {
    int at[FREE_SLOTS_MOST]; /* tenths of a mm */
    double settings[SNUB_PULLEYS_MOST];
    bool laid;       /* rig is good */
    bool ranged;     /* range is good; without an arm it is all lengths */
    double range[2]; /* effective lengths, tolerance not counted, m */
    snub_rig rig;
    struct point *next;
} point;

/* A speed, a way of running, cold or warm. */
typedef struct search_case {
    int speed; /* index into loads */
    snub_way way;
    bool warm;
} search_case;

/* What a belt does at a setting, as far as it was looked at: its grip is the worst of the cases that were. */
typedef struct outcome {
    int at[FREE_SLOTS_MOST];
    int cases; /* looked at */
    bool looked[SEARCH_CASES_MOST];
    bool whole;         /* all were */
    bool fits;          /* false: it is known not to */
    snub_choice choice; /* its gap: only where it is under the limit */
    double winds[2];    /* between which the arm runs */
} outcome;

struct snub_search {
    const snub_drive *drive;
    const snub_loads *loads;
    snub_lie_basis lie;
    int speed_count, speeds[SEARCH_SPEEDS + 1]; /* indices into loads, rest first */
    int case_count;
    search_case cases[SEARCH_CASES_MOST];
    int free_count, free_slots[FREE_SLOTS_MOST], most[FREE_SLOTS_MOST]; /* most: tenths of a mm */
    double settings[SNUB_PULLEYS_MOST];
    bool blowers; /* the drive has one */
    point *bucket[BUCKETS];
    int points;
    bool no_memory, learnt, any_laid;
    snub_search_lengths lengths;
    double hull[2]; /* of all settings' ranges, tolerance not counted, m */
    /* of the belt in hand */
    double length, tolerance;
    outcome *outcomes;
    int outcome_count, outcome_room;
    double grip_cap; /* second pass: worst grip allowed; infinite in the first */
    double merit;    /* of the best so far */
    int best;        /* its index among the outcomes; -1 */
    int hardest[2];  /* cases that were the worst for grip and for the grip that is served, when last looked at */
};

/* ---- a setting --------------------------------------------------------------------------------------------------- */

static void choose_speeds(snub_search *s)
{
    s->speeds[s->speed_count++] = 0;
    const int running = s->loads->speeds - 1;
    const int steps = running < SEARCH_SPEEDS ? running : SEARCH_SPEEDS;
    for (int k = 0; k < steps; k++)
        s->speeds[s->speed_count++] = 1 + (steps > 1 ? (k * (running - 1)) / (steps - 1) : 0);
}

static void list_cases(snub_search *s)
{
    for (int k = 0; k < s->speed_count; k++) {
        const int ways = k == 0 ? 1 : SEARCH_WAY_COUNT;
        for (int v = 0; v < ways * (snub_drive_grows(s->drive) ? 2 : 1); v++) {
            const search_case c = {s->speeds[k], SEARCH_WAYS[v % ways], v >= ways};
            if (s->loads->runs[c.way])
                s->cases[s->case_count++] = c;
        }
    }
}

/* Who spoils it, as long as nothing could be laid. */
static void note_laid(snub_search *s, snub_status status, int culprit)
{
    s->any_laid = s->any_laid || status == SNUB_OK;
    s->lengths.lost = s->any_laid ? SNUB_OK : status;
    if (!s->any_laid)
        s->lengths.culprit = culprit;
}

static double lever_at(const snub_rig *rig, int k)
{
    return rig->grid[k].lever_out - rig->grid[k].lever_in;
}

static bool takes_up(const snub_rig *rig, int k)
{
    return rig->grid[k].valid && lever_at(rig, k) > 0.0;
}

/* Between a place of the wind table that takes up belt and its neighbour that does not. */
static double end_of_lever(const snub_rig *rig, int good, int bad)
{
    const double step = rig->travel / SNUB_WIND_GRID;
    if (rig->grid[bad].valid)
        return step * (good + (bad - good) * lever_at(rig, good) / (lever_at(rig, good) - lever_at(rig, bad)));
    for (int i = 0; i < rig->edges; i++) {
        if (rig->edge[i].cell == (good < bad ? good : bad))
            return rig->edge[i].wind;
    }
    return step * good;
}

/* Where the arm does take up belt, told when its work range goes beyond: the widest range of all settings. */
static void note_good_range(snub_search *s, const snub_rig *rig)
{
    for (int k = 0, first = 0; k <= SNUB_WIND_GRID; k++) {
        if (!takes_up(rig, k)) {
            first = k + 1;
            continue;
        }
        const double from = first > 0 ? end_of_lever(rig, first, first - 1) : 0.0;
        const double to = k == SNUB_WIND_GRID     ? rig->travel
                          : !takes_up(rig, k + 1) ? end_of_lever(rig, k, k + 1)
                                                  : from;
        if (to - from > s->lengths.good[1] - s->lengths.good[0]) {
            s->lengths.good[0] = from;
            s->lengths.good[1] = to;
        }
    }
}

/* Take in what a setting wants. With the tolerance of a belt of that length nothing may be left: then how much it lacks
 * is worth saying. */
static void want(snub_search *s, const double range[2], double take_up)
{
    const snub_belt *belt = &s->drive->belt;
    const double low = range[0] + snub_belt_tolerance(belt, range[0]);
    const double high = range[1] - snub_belt_tolerance(belt, range[1]);
    if (low - high < s->lengths.least_lack) {
        s->lengths.least_lack = low - high;
        s->lengths.take_up_there = take_up;
        s->lengths.tolerance_there = snub_belt_tolerance(belt, 0.5 * (range[0] + range[1]));
    }
    if (low <= high) {
        s->lengths.wanted[0] = fmin(s->lengths.wanted[0], low);
        s->lengths.wanted[1] = fmax(s->lengths.wanted[1], high);
    }
}

/* Warm, the centres move apart: to first order the path grows by the spans' share, as the path is a length of degree
 * one in centres and radii and the arcs are its part of the radii. The judgement lays the grown drive. */
static double path_growth(const snub_search *s, const snub_rig *rig, bool warm)
{
    double spans = 0.0;
    for (int i = 0; warm && i < rig->n; i++)
        spans += rig->path.span[i];
    return spans * s->drive->engine.growth;
}

static void set_case(const snub_search *s, const snub_rig *rig, int speed, snub_way way, double side, double effective,
                     double stretch, bool warm, snub_case *wanted)
{
    snub_loads_case(s->drive, s->loads, speed, way, side, effective, stretch, warm, wanted);
    wanted->belt_length -= path_growth(s, rig, warm);
}

/* Effective lengths that keep the arm within `work` at rest and running steadily, over friction and wear. */
static bool lengths_for_arm(snub_search *s, const snub_rig *rig, double range[2])
{
    const snub_belt *belt = &s->drive->belt;
    const snub_arm *arm = &s->drive->pulleys[s->drive->arm].arm;
    double take_up = 0.0;
    range[0] = -INFINITY;
    range[1] = INFINITY;
    for (int k = 0; k < s->speed_count; k++) {
        for (int side = -1; side <= 1; side += 2) {
            snub_case wanted;
            double longest, shortest;
            snub_loads_case(s->drive, s->loads, s->speeds[k], SNUB_STEADY, side, 0.0, 0.0, false, &wanted);
            if (!snub_length_for_wind(rig, &wanted, arm->work[0], &longest) ||
                !snub_length_for_wind(rig, &wanted, arm->work[1], &shortest)) {
                note_good_range(s, rig);
                return false;
            }
            take_up = longest - shortest;
            for (int warm = 0; warm < (snub_drive_grows(s->drive) ? 2 : 1); warm++) {
                const double more = path_growth(s, rig, warm), belt_grown = 1.0 + (warm ? belt->growth : 0.0);
                range[0] = fmax(range[0], (shortest + more) / belt_grown);
                range[1] = fmin(range[1], (longest + more) / belt_grown / (1.0 + belt->worn));
            }
        }
    }
    range[0] = snub_effective_length(belt, range[0]);
    range[1] = snub_effective_length(belt, range[1]);
    s->hull[0] = fmin(s->hull[0], range[0]);
    s->hull[1] = fmax(s->hull[1], range[1]);
    want(s, range, take_up);
    return true;
}

/* Effective length whose path is `path` when all of it is at a tension; what it was stretched by then is taken off. */
static double length_at(const snub_belt *belt, double path, double tension, double stretch)
{
    const double strain = (tension - belt->measuring_tension) / belt->stiffness;
    return snub_effective_length(belt, path * (1.0 - strain) / (1.0 + stretch));
}

/* Effective lengths that a lock brings to its tension over its slot. */
static void lengths_for_lock(snub_search *s, const double *settings)
{
    const snub_pulley *pulley = &s->drive->pulleys[s->drive->locked];
    double own[SNUB_PULLEYS_MOST];
    double range[2] = {INFINITY, -INFINITY};
    memcpy(own, settings, sizeof own);
    for (int k = 0; k <= SLOT_GRID; k++) {
        snub_rig rig;
        own[s->drive->locked] = pulley->slot.length * k / SLOT_GRID;
        const snub_status status = snub_rig_prepare(s->drive, own, &rig, NULL);
        note_laid(s, status, rig.culprit);
        if (status != SNUB_OK)
            continue;
        const double shortest = length_at(&s->drive->belt, rig.path.length, pulley->fixed_tension, 0.0);
        const double longest = length_at(&s->drive->belt, rig.path.length, pulley->fixed_tension,
                                         pulley->retension ? s->drive->belt.worn : s->drive->belt.stretch);
        range[0] = fmin(range[0], shortest);
        range[1] = fmax(range[1], longest);
    }
    if (range[0] <= range[1])
        want(s, range, range[1] - range[0]);
}

/* Where nothing takes up slack: effective lengths that are taut at rest, and not over the limit of a rib. A belt at an
 * end of its tolerance may be neither; that is judged. */
static void lengths_for_stretch(snub_search *s, const snub_rig *rig, double range[2])
{
    const snub_belt *belt = &s->drive->belt;
    const double most = s->drive->limits[SNUB_LIMIT_RIB_TENSION] * belt->ribs;
    range[0] = length_at(belt, rig->path.length, most, belt->stretch);
    range[1] = length_at(belt, rig->path.length, 0.0, belt->stretch);
    s->lengths.wanted[0] = fmin(s->lengths.wanted[0], range[0]);
    s->lengths.wanted[1] = fmax(s->lengths.wanted[1], range[1]);
}

static void forget_points(snub_search *s)
{
    for (int b = 0; b < BUCKETS; b++) {
        while (s->bucket[b] != NULL) {
            point *next = s->bucket[b]->next;
            free(s->bucket[b]);
            s->bucket[b] = next;
        }
    }
    s->points = 0;
}

static unsigned bucket_of(const int at[FREE_SLOTS_MOST])
{
    return (((unsigned)at[0] * 31U + (unsigned)at[1]) * 31U + (unsigned)at[2]) % BUCKETS;
}

/* A tenth of a mm as a file would write it. */
static double setting_of(int tenths)
{
    return snub_written_length(tenths / TENTHS_PER_M);
}

static void prepare_point(snub_search *s, point *p)
{
    const snub_drive *drive = s->drive;
    memcpy(p->settings, s->settings, sizeof p->settings);
    for (int m = 0; m < s->free_count; m++)
        p->settings[s->free_slots[m]] = setting_of(p->at[m]);
    p->range[0] = -INFINITY;
    p->range[1] = INFINITY;
    if (drive->locked >= 0) { /* set by the belt: laid for each */
        p->laid = p->ranged = true;
        lengths_for_lock(s, p->settings);
        return;
    }
    const snub_status status = snub_rig_prepare(drive, p->settings, &p->rig, NULL);
    note_laid(s, status, p->rig.culprit);
    p->laid = status == SNUB_OK;
    p->ranged = p->laid && (drive->arm < 0 || lengths_for_arm(s, &p->rig, p->range));
    if (p->laid && drive->arm < 0)
        lengths_for_stretch(s, &p->rig, p->range);
}

static point *point_at(snub_search *s, const int at[FREE_SLOTS_MOST])
{
    point **bucket = &s->bucket[bucket_of(at)];
    for (point *p = *bucket; p != NULL; p = p->next) {
        if (memcmp(p->at, at, sizeof p->at) == 0)
            return p;
    }
    if (s->points == POINTS_MOST)
        forget_points(s);
    point *made = malloc(sizeof *made);
    if (made == NULL) {
        s->no_memory = true;
        return NULL;
    }
    memcpy(made->at, at, sizeof made->at);
    prepare_point(s, made);
    made->next = *bucket;
    *bucket = made;
    s->points++;
    return made;
}

/* ---- a belt at a setting ----------------------------------------------------------------------------------------- */

static bool is_served(const snub_search *s, int pulley)
{
    const int n = s->drive->pulley_count;
    if (s->blowers)
        return s->drive->pulleys[pulley].has_blower;
    for (int m = 0; m < s->free_count; m++) {
        if ((s->free_slots[m] + 1) % n == pulley || (s->free_slots[m] + n - 1) % n == pulley)
            return true;
    }
    return false;
}

/* Worst grip of all pulleys, and of those that an idler is set for: the blower's, or without one the idler's
 * neighbours. Where another pulley (often the crank) works hardest, the idler still has its own to serve. */
static void note_grip(const snub_search *s, const snub_rig *rig, const snub_equilibrium *e, snub_choice *choice)
{
    double grip[SNUB_PULLEYS_MOST];
    snub_design_grips(s->drive, rig, e, grip);
    for (int i = 0; i < s->drive->pulley_count; i++) {
        choice->grip = fmax(choice->grip, grip[i]);
        if (is_served(s, i))
            choice->grip_served = fmax(choice->grip_served, grip[i]);
    }
}

/* The same of the moments in which loads are at their peaks. */
static void note_peaks(const snub_search *s, const snub_rig *rig, const search_case *c, const snub_case *mean,
                       const snub_equilibrium *at, snub_choice *choice)
{
    for (int k = 0; c->speed > 0 && k < snub_peak_states(s->loads); k++) {
        snub_case wanted = *mean;
        snub_equilibrium held;
        (void)snub_loads_peak(s->drive, s->loads, c->speed, c->way, k, &wanted);
        snub_solve_held(rig, &wanted, at, &held);
        note_grip(s, rig, &held, choice);
    }
}

/* Cases of a setting that are solved together. */
enum { TOGETHER_MOST = 32 };

typedef struct together {
    int count, k[TOGETHER_MOST]; /* indices into the search's cases */
    snub_case wanted[TOGETHER_MOST];
    snub_equilibrium e[TOGETHER_MOST];
    snub_status status[TOGETHER_MOST];
} together;

static void solve_together(const snub_search *s, const snub_rig *rig, double side, double length, double stretch,
                           together *t)
{
    const snub_case *wanted[TOGETHER_MOST];
    snub_equilibrium *e[TOGETHER_MOST];
    for (int i = 0; i < t->count; i++) {
        const search_case *c = &s->cases[t->k[i]];
        set_case(s, rig, c->speed, c->way, side, length, stretch, c->warm, &t->wanted[i]);
        wanted[i] = &t->wanted[i];
        e[i] = &t->e[i];
    }
    snub_solve_many(rig, t->count, wanted, e, t->status);
}

/* Grip with the longest, worn belt and the arm's friction against the tension: the least tension there is. A locked
 * belt is set to its tension whatever its length, and wears afterwards. */
static void solve_for_grip(const snub_search *s, const snub_rig *rig, together *t)
{
    const bool locked = s->drive->locked >= 0;
    const double stretch =
        locked && s->drive->pulleys[s->drive->locked].retension ? s->drive->belt.stretch : s->drive->belt.worn;
    solve_together(s, rig, -1.0, locked ? s->length : s->length + s->tolerance, stretch, t);
}

/* @return false: the belt has no place */
static bool note_case(const snub_search *s, const snub_rig *rig, const together *t, int i, outcome *o)
{
    const snub_equilibrium *e = &t->e[i];
    if (t->status[i] == SNUB_NO_EQUILIBRIUM) { /* slack all round: no grip, the judgement says so */
        o->choice.grip = INFINITY;
        return true;
    }
    if (t->status[i] != SNUB_OK)
        return false;
    note_grip(s, rig, e, &o->choice);
    note_peaks(s, rig, &s->cases[t->k[i]], &t->wanted[i], e, &o->choice);
    o->winds[0] = fmin(o->winds[0], e->wind);
    o->winds[1] = fmax(o->winds[1], e->wind);
    return true;
}

/* @param[in] within  gaps of more are not looked for: most settings have none under the limit, which is soon seen
 *  @return INFINITY: none so small */
static double tightest_gap(const snub_search *s, const double *settings, const double winds[2], double within)
{
    double tightest = INFINITY;
    for (int end = 0; end < 2; end++) {
        snub_path path;
        snub_gap gap;
        int count = 0;
        if (end == 1 && !(winds[1] > winds[0]))
            break;
        const double wind = isfinite(winds[end]) ? winds[end] : 0.0;
        if (snub_drive_lay(s->drive, wind, settings, &path, NULL) != SNUB_OK)
            return -INFINITY;
        snub_lie lie;
        snub_gaps(s->drive, &path, snub_lie_on(&s->lie, &path, &lie), s->drive->limits[SNUB_LIMIT_FLAP], within, &gap,
                  1, &count);
        if (count > 0)
            tightest = fmin(tightest, snub_gap_clear(&gap));
    }
    return tightest;
}

static bool nominal_winds(const snub_search *s, const snub_rig *rig, snub_choice *choice)
{
    choice->wind_rest = choice->wind_redline = NAN;
    if (s->drive->arm < 0)
        return true;
    for (int end = 0; end < 2; end++) {
        snub_case wanted;
        snub_equilibrium e;
        const int speed = end == 0 ? 0 : s->loads->speeds - 1;
        set_case(s, rig, speed, SNUB_STEADY, 0.0, s->length, s->drive->belt.stretch,
                 end == 1 && snub_drive_grows(s->drive), &wanted);
        if (snub_solve(rig, &wanted, &e, NULL) != SNUB_OK)
            return false;
        *(end == 0 ? &choice->wind_rest : &choice->wind_redline) = e.wind;
    }
    return true;
}

/* Set the lock for the belt; every belt in tolerance must find its setting in the slot. */
static bool lock_in_slot(const snub_search *s, double *settings)
{
    const snub_belt *belt = &s->drive->belt;
    for (int corner = -1; corner <= 1; corner += 2) {
        double own[SNUB_PULLEYS_MOST];
        memcpy(own, settings, sizeof own);
        const double aged = snub_stretch_when_set(s->drive, belt->worn);
        const double length =
            snub_belt_pitch_length(belt, s->length + corner * s->tolerance, corner < 0 ? 0.0 : aged, false);
        if (snub_lock_set(s->drive, length, own, NULL, NULL) != SNUB_OK)
            return false;
    }
    return snub_lock_set(s->drive, snub_belt_pitch_length(belt, s->length, belt->stretch, false), settings, NULL,
                         NULL) == SNUB_OK;
}

/* Of all spans, the loads at their mean and at their peaks. */
static double most_tension(const snub_search *s, const snub_rig *rig, int speed, snub_way way, const snub_case *mean,
                           const snub_equilibrium *at)
{
    double greatest = 0.0;
    for (int k = -1; k < (speed > 0 ? snub_peak_states(s->loads) : 0); k++) {
        snub_case wanted = *mean;
        snub_equilibrium held = *at;
        if (k >= 0) {
            (void)snub_loads_peak(s->drive, s->loads, speed, way, k, &wanted);
            snub_solve_held(rig, &wanted, at, &held);
        }
        for (int i = 0; i < rig->n; i++)
            greatest = fmax(greatest, held.tension + held.rise[i]);
    }
    return greatest;
}

/* Greatest total tension per rib over the range: shortest new belt (a locked belt is set to its tension whatever its
 * length), arm friction with the tension. */
static double rib_tension(const snub_search *s, const snub_rig *rig)
{
    const snub_belt *belt = &s->drive->belt;
    const bool locked = s->drive->locked >= 0;
    const double length = locked ? s->length : s->length - s->tolerance, stretch = locked ? belt->stretch : 0.0;
    double greatest = 0.0;
    for (int first = 0; first < s->case_count; first += TOGETHER_MOST) {
        together t;
        t.count = 0;
        for (int k = first; k < s->case_count && t.count < TOGETHER_MOST; k++)
            t.k[t.count++] = k;
        solve_together(s, rig, 1.0, length, stretch, &t);
        for (int i = 0; i < t.count; i++) {
            const search_case *c = &s->cases[t.k[i]];
            if (t.status[i] == SNUB_OK)
                greatest = fmax(greatest, most_tension(s, rig, c->speed, c->way, &t.wanted[i], &t.e[i]));
        }
    }
    return greatest / belt->ribs;
}

/* A rig of the belt's own where the slot is locked, else the point's. NULL: the belt does not fit. */
static const snub_rig *rig_for(const snub_search *s, const point *p, double *settings, snub_rig *own)
{
    if (!p->ranged)
        return NULL;
    if (s->drive->locked < 0) {
        const double tolerance = s->drive->arm >= 0 ? s->tolerance : 0.0;
        return s->length >= p->range[0] + tolerance && s->length <= p->range[1] - tolerance ? &p->rig : NULL;
    }
    if (!lock_in_slot(s, settings) || snub_rig_prepare(s->drive, settings, own, NULL) != SNUB_OK)
        return NULL;
    return own;
}

/* ---- as far as it takes ------------------------------------------------------------------------------------------ */

/* Merit of a belt at a setting; of one that was not looked at as a whole the most that it may be, as grip gets no
 * better by more cases. In the second pass a gap under its limit may be less bad than a grip out of the cap. */
static double merit_of(const snub_search *s, const outcome *o)
{
    const double limit = s->drive->limits[SNUB_LIMIT_CLEARANCE];
    if (!o->fits)
        return -INFINITY;
    if (o->whole && o->choice.gap < limit)
        return GAP_MERIT + fmax(o->choice.gap - limit, -1.0);
    if (isinf(o->choice.grip))
        return SLACK_MERIT;
    if (isinf(s->grip_cap))
        return fmax(-o->choice.grip, GRIP_MERIT_LEAST);
    if (o->choice.grip <= s->grip_cap)
        return -o->choice.grip_served;
    return o->whole ? OUT_OF_CAP - fmin(o->choice.grip, 1e6) : GAP_MERIT;
}

/* The case that was the hardest comes first: mostly it is so at the next setting too. */
static int next_case(const snub_search *s, const bool *looked)
{
    int k = isinf(s->grip_cap) ? s->hardest[0] : s->hardest[1];
    if (looked[k])
        k = s->hardest[0];
    for (int i = 0; looked[k] && i < s->case_count; i++)
        k = i;
    return k;
}

/* The cases that are looked at next: all, where all will be; else the hardest one by one, as mostly they decide, then
 * as many as are solved side by side. */
static void list_next(const snub_search *s, const outcome *o, bool to_the_end, together *t)
{
    enum { ONE_BY_ONE = 2, SOME = 8 };
    bool looked[SEARCH_CASES_MOST];
    const int most = to_the_end ? TOGETHER_MOST : o->cases < ONE_BY_ONE ? 1 : SOME;
    const int left = s->case_count - o->cases;
    memcpy(looked, o->looked, sizeof looked);
    for (t->count = 0; t->count < most && t->count < left; t->count++) {
        const int k = next_case(s, looked);
        t->k[t->count] = k;
        looked[k] = true;
    }
}

static bool looks_on(const snub_search *s, const outcome *o, bool to_the_end, double needed)
{
    return o->fits && o->cases < s->case_count && (to_the_end || o->cases == 0 || !(merit_of(s, o) < needed));
}

/* Case by case, one at least, until the merit is known or less than `needed`. A lock is set for the belt once. */
static void look_on(snub_search *s, const point *p, double needed, outcome *o)
{
    snub_rig own;
    const snub_rig *rig = rig_for(s, p, o->choice.settings, &own);
    const bool to_the_end = s->drive->locked >= 0 || needed == -INFINITY;
    o->fits = rig != NULL;
    while (looks_on(s, o, to_the_end, needed)) {
        together t;
        list_next(s, o, to_the_end, &t);
        solve_for_grip(s, rig, &t);
        for (int i = 0; i < t.count && looks_on(s, o, to_the_end, needed); i++) {
            const double grip = o->choice.grip, served = o->choice.grip_served;
            const int k = t.k[i];
            o->fits = note_case(s, rig, &t, i, o);
            s->hardest[0] = o->choice.grip > grip ? k : s->hardest[0];
            s->hardest[1] = o->choice.grip_served > served ? k : s->hardest[1];
            o->looked[k] = true;
            o->cases++;
        }
    }
    if (!o->fits || o->cases < s->case_count)
        return;
    o->fits = nominal_winds(s, rig, &o->choice);
    if (o->fits)
        o->choice.gap = tightest_gap(s, o->choice.settings, o->winds, s->drive->limits[SNUB_LIMIT_CLEARANCE]);
    o->choice.rib_tension = NAN; /* of the best setting only */
    o->whole = true;
}

/* What is known of a setting; nothing at first. NULL: memory is out */
static outcome *outcome_at(snub_search *s, const int at[FREE_SLOTS_MOST], const point *p)
{
    for (int i = 0; i < s->outcome_count; i++) {
        if (memcmp(s->outcomes[i].at, at, sizeof s->outcomes[i].at) == 0)
            return &s->outcomes[i];
    }
    if (s->outcome_count == s->outcome_room) {
        const int room = s->outcome_room > 0 ? 2 * s->outcome_room : OUTCOMES_FIRST;
        outcome *more = realloc(s->outcomes, (size_t)room * sizeof *more);
        if (more == NULL) {
            s->no_memory = true;
            return NULL;
        }
        s->outcomes = more;
        s->outcome_room = room;
    }
    outcome *o = &s->outcomes[s->outcome_count++];
    *o = (outcome){.fits = true, .choice = {.length = s->length}, .winds = {INFINITY, -INFINITY}};
    memcpy(o->at, at, sizeof o->at);
    memcpy(o->choice.settings, p->settings, sizeof o->choice.settings);
    return o;
}

/* Merit of a setting; the best is kept.
 * @param[in] needed  no more than the best so far: where the merit is less, less than it is all that is known of it */
static double try_setting(snub_search *s, const int at[FREE_SLOTS_MOST], double needed)
{
    const point *p = point_at(s, at);
    outcome *o = p != NULL ? outcome_at(s, at, p) : NULL;
    if (o == NULL)
        return -INFINITY;
    if (!o->whole && o->fits)
        look_on(s, p, needed, o);
    const double merit = merit_of(s, o);
    if (o->whole && merit > s->merit) {
        s->merit = merit;
        s->best = (int)(o - s->outcomes);
    }
    return merit;
}

/* Of two settings, each as far as it takes to know which has more merit, or that both have the same. */
static void try_both(snub_search *s, const int left[FREE_SLOTS_MOST], const int right[FREE_SLOTS_MOST],
                     double merits[2])
{
    const double most[2] = {try_setting(s, left, INFINITY), try_setting(s, right, INFINITY)};
    const int first = most[1] > most[0];
    merits[first] = try_setting(s, first == 0 ? left : right, -INFINITY);
    merits[1 - first] = try_setting(s, first == 0 ? right : left, merits[first]);
}

/* ---- the best setting of a belt ---------------------------------------------------------------------------------- */

/* The best of even steps along slot m, where at[m] is left; of equals the first. The most promising are looked at
 * first, so that of the others little is needed. */
static double try_steps(snub_search *s, int m, int low, int high, int steps, int at[FREE_SLOTS_MOST])
{
    int place[SLOT_GRID + 1], held = s->best, where = low;
    double most[SLOT_GRID + 1], top = -INFINITY;
    for (int i = 0; i <= steps; i++) {
        place[i] = at[m] = steps > 0 ? low + (int)lround((double)(high - low) * i / steps) : low;
        most[i] = try_setting(s, at, INFINITY);
    }
    for (;;) {
        int next = 0;
        for (int i = 1; i <= steps; i++)
            next = most[i] > most[next] ? i : next;
        if (isinf(most[next]) || most[next] < top)
            break;
        at[m] = place[next];
        const double merit = try_setting(s, at, top);
        if (merit > top || (merit == top && at[m] < where)) {
            top = merit;
            where = at[m];
        }
        most[next] = -INFINITY;
    }
    at[m] = where;
    if (s->best != held)
        s->best = (int)(outcome_at(s, at, NULL) - s->outcomes);
    return top;
}

/* Along slot m between two settings, the others as in `at`: even steps, then golden section around the best of them.
 * `at` is left at the best. */
static void try_line(snub_search *s, int m, int low, int high, int steps, int at[FREE_SLOTS_MOST])
{
    steps = steps < high - low ? steps : high - low;
    double top = try_steps(s, m, low, high, steps, at);
    int where = at[m];
    if (isinf(top) || steps == 0) {
        at[m] = where;
        return;
    }
    const int cell = (high - low + steps - 1) / steps;
    int from = where - cell > low ? where - cell : low, to = where + cell < high ? where + cell : high;
    while (to - from > 2) {
        const int reach = (int)lround(GOLDEN * (to - from));
        int left = to - reach, right = from + reach;
        if (left >= right) {
            left = (from + to) / 2;
            right = left + 1;
        }
        int other[FREE_SLOTS_MOST];
        double merits[2];
        at[m] = left;
        memcpy(other, at, sizeof other);
        other[m] = right;
        try_both(s, at, other, merits);
        if (fmax(merits[0], merits[1]) > top) {
            top = fmax(merits[0], merits[1]);
            where = merits[0] >= merits[1] ? left : right;
        }
        if (merits[0] > merits[1] || (merits[0] == merits[1] && where <= left))
            to = right;
        else
            from = left;
    }
    for (int k = from; k <= to; k++) {
        at[m] = k;
        const double merit = try_setting(s, at, top);
        if (merit > top) {
            top = merit;
            where = k;
        }
    }
    at[m] = where;
}

/* Between two neighbours of the grid that take belts on either side of this one lies a setting that takes it. */
static void try_between(snub_search *s)
{
    int at[FREE_SLOTS_MOST] = {0};
    int before = -1, side_before = 0;
    for (int i = 0; i <= SLOT_GRID; i++) {
        at[0] = (int)lround((double)s->most[0] * i / SLOT_GRID);
        const point *p = point_at(s, at);
        const int side = p == NULL || !p->ranged                  ? 0
                         : s->length < p->range[0] + s->tolerance ? -1
                         : s->length > p->range[1] - s->tolerance ? 1
                                                                  : 0;
        if (before >= 0 && side * side_before < 0)
            try_line(s, 0, before, at[0], LINE_GRID, (int[FREE_SLOTS_MOST]){0});
        before = at[0];
        side_before = side;
    }
}

/* The coarse grid over all free slots: so many settings of each, and the c-th combination of them. */
static int coarse_steps(const snub_search *s)
{
    return s->free_count == 1 ? SLOT_GRID : SLOT_GRID_OF_SEVERAL;
}

static int coarse_count(const snub_search *s)
{
    int all = 1;
    for (int m = 0; m < s->free_count; m++)
        all *= coarse_steps(s) + 1;
    return all;
}

static void coarse_setting(const snub_search *s, int c, int at[FREE_SLOTS_MOST])
{
    const int steps = coarse_steps(s);
    for (int m = 0; m < s->free_count; m++, c /= steps + 1)
        at[m] = (int)lround((double)s->most[m] * (c % (steps + 1)) / steps);
}

/* Every combination of a coarse grid, then each slot in turn around the best. */
static void try_several(snub_search *s)
{
    const int all = coarse_count(s);
    int at[FREE_SLOTS_MOST] = {0};
    for (int c = 0; c < all; c++) {
        coarse_setting(s, c, at);
        try_setting(s, at, s->merit);
    }
    for (int round = 0; s->best >= 0 && round < ROUNDS_OF_SEVERAL; round++) {
        for (int m = 0; m < s->free_count; m++) {
            memcpy(at, s->outcomes[s->best].at, sizeof at);
            const int cell = (s->most[m] + SLOT_GRID_OF_SEVERAL - 1) / SLOT_GRID_OF_SEVERAL;
            const int low = at[m] - cell, high = at[m] + cell;
            try_line(s, m, low > 0 ? low : 0, high < s->most[m] ? high : s->most[m], LINE_GRID, at);
        }
    }
}

static void try_all(snub_search *s)
{
    int at[FREE_SLOTS_MOST] = {0};
    if (s->free_count == 0)
        try_setting(s, at, s->merit);
    else if (s->free_count == 1)
        try_line(s, 0, 0, s->most[0], SLOT_GRID, at);
    else
        try_several(s);
    if (s->best < 0 && s->free_count == 1 && s->drive->arm >= 0)
        try_between(s);
}

static int tier_of(const snub_drive *drive, const snub_choice *choice)
{
    if (choice->gap < drive->limits[SNUB_LIMIT_CLEARANCE])
        return 4;
    if (isinf(choice->grip))
        return 3;
    if (choice->grip > drive->limits[SNUB_LIMIT_GRIP_DESIGN])
        return 2;
    return choice->rib_tension > drive->limits[SNUB_LIMIT_RIB_TENSION] ? 1 : 0;
}

static bool may_fit(const snub_search *s)
{
    if (s->drive->arm < 0 || s->free_count > 1)
        return true;
    /* Lengths between those of two settings are reached between them: the hull of all is what may fit. */
    return s->length >= s->hull[0] + s->tolerance && s->length <= s->hull[1] - s->tolerance;
}

static void take_in_hand(snub_search *s, double length, double tolerance)
{
    s->length = length;
    s->tolerance = tolerance;
    s->outcome_count = 0;
}

/* Of the belt in hand. @return as snub_search_belt */
static int choose_setting(snub_search *s, snub_choice *best)
{
    s->merit = -INFINITY;
    s->grip_cap = INFINITY;
    s->best = -1;
    if (may_fit(s))
        try_all(s);
    if (s->best >= 0 && s->free_count > 0 && s->merit >= GRIP_MERIT_LEAST && !isinf(s->outcomes[s->best].choice.grip)) {
        s->grip_cap = s->outcomes[s->best].choice.grip + GRIP_SAME;
        s->merit = -s->outcomes[s->best].choice.grip_served;
        try_all(s);
    }
    if (s->no_memory)
        return -1;
    if (s->best < 0)
        return 0;
    const outcome *o = &s->outcomes[s->best];
    snub_rig own;
    const point *p = point_at(s, o->at);
    *best = o->choice;
    best->gap = tightest_gap(s, best->settings, o->winds, INFINITY);
    const snub_rig *rig = p != NULL ? rig_for(s, p, best->settings, &own) : NULL;
    best->rib_tension = rig != NULL ? rib_tension(s, rig) : INFINITY;
    best->tier = tier_of(s->drive, best);
    return s->no_memory ? -1 : 1;
}

int snub_search_belt(snub_search *s, double length, double tolerance, snub_choice *best)
{
    snub_search_lengths unused;
    if (!snub_search_learn(s, &unused))
        return -1;
    take_in_hand(s, length, tolerance);
    return choose_setting(s, best);
}

/* ---- a belt that fits nowhere ------------------------------------------------------------------------------------ */

snub_choice snub_choice_unsearched(double length, const char *part)
{
    snub_choice choice = {.length = length,
                          .part = part,
                          .grip = NAN,
                          .grip_served = NAN,
                          .rib_tension = NAN,
                          .gap = NAN,
                          .wind_rest = NAN,
                          .wind_redline = NAN};
    for (int i = 0; i < SNUB_PULLEYS_MOST; i++)
        choice.settings[i] = NAN;
    return choice;
}

/* By how much a belt at a setting misses what the setting takes, tolerance counted, m; a setting at which the arm takes
 * up nothing comes after all that do. */
static double misses_by(const snub_search *s, const point *p)
{
    const double tolerance = s->drive->arm >= 0 ? s->tolerance : 0.0;
    if (!p->laid)
        return INFINITY;
    if (!p->ranged)
        return NO_RANGE;
    return fmax(0.0, fmax(p->range[0] + tolerance - s->length, s->length - p->range[1] + tolerance));
}

static void keep_nearest(snub_search *s, const int at[FREE_SLOTS_MOST], double *least, int nearest[FREE_SLOTS_MOST])
{
    const point *p = point_at(s, at);
    const double miss = p != NULL ? misses_by(s, p) : INFINITY;
    if (miss < *least) {
        *least = miss;
        memcpy(nearest, at, sizeof(int) * FREE_SLOTS_MOST);
    }
}

/* Around the best of the grid in steps that are halved, each slot in turn. */
static void close_in(snub_search *s, double *least, int nearest[FREE_SLOTS_MOST])
{
    int step = s->most[0] / SLOT_GRID;
    for (int m = 1; m < s->free_count; m++)
        step = step > s->most[m] / SLOT_GRID_OF_SEVERAL ? step : s->most[m] / SLOT_GRID_OF_SEVERAL;
    for (; step >= 1; step /= 2) {
        for (int m = 0; m < s->free_count; m++) {
            for (int side = -1; side <= 1; side += 2) {
                int at[FREE_SLOTS_MOST];
                memcpy(at, nearest, sizeof at);
                at[m] += side * step;
                if (at[m] >= 0 && at[m] <= s->most[m])
                    keep_nearest(s, at, least, nearest);
            }
        }
    }
}

int snub_search_nearest(snub_search *s, double length, double tolerance, snub_choice *choice, double *misses)
{
    const int all = coarse_count(s);
    int at[FREE_SLOTS_MOST] = {0}, nearest[FREE_SLOTS_MOST] = {0};
    double least = INFINITY;
    if (s->drive->locked >= 0)
        return 0;
    s->length = length;
    s->tolerance = tolerance;
    for (int c = 0; c < all; c++) {
        coarse_setting(s, c, at);
        keep_nearest(s, at, &least, nearest);
    }
    if (isfinite(least) && s->free_count > 0)
        close_in(s, &least, nearest);
    const point *p = isfinite(least) ? point_at(s, nearest) : NULL;
    if (s->no_memory)
        return -1;
    if (p == NULL)
        return 0;
    *choice = snub_choice_unsearched(length, NULL);
    memcpy(choice->settings, p->settings, sizeof choice->settings);
    *misses = least;
    return 1;
}

/* ---- lengths ----------------------------------------------------------------------------------------------------- */

/* The coarse settings, whether a belt fits there or not. */
static void look_at_grid(snub_search *s)
{
    const int all = coarse_count(s);
    int at[FREE_SLOTS_MOST] = {0};
    for (int c = 0; c < all; c++) {
        coarse_setting(s, c, at);
        (void)point_at(s, at);
    }
}

bool snub_search_learn(snub_search *s, snub_search_lengths *lengths)
{
    if (!s->learnt) {
        look_at_grid(s);
        s->learnt = true;
    }
    *lengths = s->lengths;
    return !s->no_memory;
}

/* ---- open and close ---------------------------------------------------------------------------------------------- */

static void set_free_slots(snub_search *s, bool free_settings)
{
    const snub_drive *drive = s->drive;
    for (int i = 0; i < drive->pulley_count; i++) {
        const snub_pulley *pulley = &drive->pulleys[i];
        s->blowers = s->blowers || pulley->has_blower;
        s->settings[i] = pulley->sits == SNUB_ON_SLOT ? pulley->setting : NAN;
        if (pulley->sits != SNUB_ON_SLOT || i == drive->locked)
            continue;
        if (!free_settings && !isnan(pulley->setting))
            continue;
        if (s->free_count < FREE_SLOTS_MOST) {
            s->most[s->free_count] = (int)floor(pulley->slot.length * TENTHS_PER_M * (1.0 + 1e-12));
            s->free_slots[s->free_count++] = i;
        } else if (isnan(pulley->setting)) {
            s->settings[i] = setting_of((int)(0.5 * pulley->slot.length * TENTHS_PER_M));
        }
    }
}

snub_search *snub_search_open(const snub_drive *drive, const snub_loads *loads, bool free_settings)
{
    snub_search *s = calloc(1, sizeof *s);
    if (s == NULL)
        return NULL;
    s->drive = drive;
    s->loads = loads;
    snub_lie_drawn(drive, &s->lie);
    s->lengths = (snub_search_lengths){.wanted = {INFINITY, -INFINITY}, .least_lack = INFINITY};
    s->hull[0] = INFINITY;
    s->hull[1] = -INFINITY;
    choose_speeds(s);
    list_cases(s);
    set_free_slots(s, free_settings);
    return s;
}

void snub_search_close(snub_search *s)
{
    if (s == NULL)
        return;
    forget_points(s);
    free(s->outcomes);
    free(s);
}
