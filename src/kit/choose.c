/* Which stock belts keep the arm in its work range, and for each the idler setting of the best worst-case grip.
 * docs/theory/kit.md.
 *
 * The arm's wind falls as the belt grows (snub_length_for_wind is its inverse, in closed form), so the belts that keep
 * the arm within its work range over all cases at a setting are an interval of effective lengths: no root is sought. */
#include "snub/kit.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Settings tried along one slot before the best cell is refined; with several slots per slot. */
enum { SLOT_GRID = 16, SLOT_GRID_OF_SEVERAL = 8, FREE_SLOTS_MOST = 3 };
/* On a setting, m: a fitter reads a scale to half a millimetre. */
static const double SETTING_TOLERANCE_M = 5e-5;
/* Engine speeds for the search (the check that follows takes more). */
enum { SEARCH_SPEEDS = 9 };
/* Steps by which merit falls below any grip: slack, then a gap under its limit, then an arm out of its range. */
/* Grips this near are the same to a fitter and to a belt. Among settings and belts within it of the best, the pulleys
 * that an idler is set for are served best. */
static const double GRIP_SAME = 0.01;
/* Merit of a setting whose grip is out of GRIP_SAME of the best, in the second pass. */
static const double OUT_OF_CAP = -1000.0;
static const double SLACK_MERIT = -60.0, GAP_MERIT = -100.0, GRIP_MERIT_LEAST = -50.0;

typedef struct search {
    const snub_drive *drive;
    const snub_loads *loads;
    int speed_count, speeds[SEARCH_SPEEDS + 1]; /* indices into loads, rest first */
    int free_count, free_slots[FREE_SLOTS_MOST];
    double settings[SNUB_PULLEYS_MOST]; /* being tried */
    double length;                      /* belt being tried, effective, m */
    bool blowers;                       /* the drive has one */
    int moving;                         /* free slot being searched */
    snub_choice best;                   /* of this belt */
    double merit;
    double grip_cap; /* second pass: worst grip allowed; infinite in the first */
    bool found;
    double wanted[2];     /* union of all intervals, m */
    double least_lack;    /* m that the work range takes up too little, at the best setting */
    double take_up_there; /* m that it takes up there */
    bool no_lever;        /* at an end of the work range, at some setting */
    double good[2];       /* widest range of wind with a lever then, rad */
    snub_error why;       /* last geometric refusal */
} search;

static void choose_speeds(search *s)
{
    s->speed_count = 0;
    s->speeds[s->speed_count++] = 0;
    const int running = s->loads->speeds - 1;
    if (running < 1)
        return;
    const int steps = running < SEARCH_SPEEDS ? running : SEARCH_SPEEDS;
    for (int k = 0; k < steps; k++) {
        s->speeds[s->speed_count++] = 1 + (steps > 1 ? (k * (running - 1)) / (steps - 1) : 0);
    }
}

/* Where the arm does take up belt, told when its work range goes beyond. */
static void note_good_range(search *s, const snub_rig *rig)
{
    const double step = rig->travel / SNUB_WIND_GRID;
    double from = NAN;
    s->no_lever = true;
    for (int k = 0; k <= SNUB_WIND_GRID; k++) {
        const snub_arm_geometry *g = &rig->grid[k];
        if (!g->valid || g->lever_out - g->lever_in <= 0.0) {
            from = NAN;
            continue;
        }
        if (isnan(from))
            from = k * step;
        if (k * step - from > s->good[1] - s->good[0]) {
            s->good[0] = from;
            s->good[1] = k * step;
        }
    }
}

/* Effective lengths that keep the arm within `work` at rest and running steadily, over friction, tolerance and wear. */
static bool lengths_for_arm(search *s, const snub_rig *rig, double range[2])
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
            snub_loads_case(s->drive, s->loads, s->speeds[k], SNUB_STEADY, side, 0.0, 0.0, &wanted);
            if (!snub_length_for_wind(rig, &wanted, arm->work[0], &longest) ||
                !snub_length_for_wind(rig, &wanted, arm->work[1], &shortest)) {
                note_good_range(s, rig);
                return false;
            }
            const double warm = 1.0 + (s->speeds[k] > 0 ? belt->growth : 0.0);
            take_up = longest - shortest;
            range[0] = fmax(range[0], shortest / warm);
            range[1] = fmin(range[1], longest / warm / (1.0 + belt->worn));
        }
    }
    range[0] += belt->tolerance - 2.0 * SNUB_PI * belt->be;
    range[1] -= belt->tolerance + 2.0 * SNUB_PI * belt->be;
    if (range[0] - range[1] < s->least_lack) {
        s->least_lack = range[0] - range[1];
        s->take_up_there = take_up;
    }
    return range[0] <= range[1];
}

static bool is_served(const search *s, int pulley)
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
static double worst_grip_of(const search *s, const snub_balance *balance, double *served)
{
    double worst = 0.0;
    for (int i = 0; i < s->drive->pulley_count; i++) {
        worst = fmax(worst, balance->pulley[i].grip_design);
        if (is_served(s, i))
            *served = fmax(*served, balance->pulley[i].grip_design);
    }
    return worst;
}

/* Grip with the longest, worn belt and the arm's friction against the tension: the least tension there is. */
static bool grip_over_range(search *s, const snub_rig *rig, snub_choice *choice, double winds[2])
{
    const snub_belt *belt = &s->drive->belt;
    choice->grip = 0.0;
    choice->grip_speed = 0.0;
    choice->grip_served = 0.0;
    winds[0] = INFINITY;
    winds[1] = -INFINITY;
    for (int k = 0; k < s->speed_count; k++) {
        for (int running = 0; running < SNUB_RUNNING_COUNT; running++) {
            if (k == 0 && running != SNUB_STEADY)
                continue;
            snub_case wanted;
            snub_equilibrium e;
            snub_balance balance;
            snub_loads_case(s->drive, s->loads, s->speeds[k], (snub_running)running, -1.0, s->length + belt->tolerance,
                            belt->worn, &wanted);
            const snub_status status = snub_solve(rig, &wanted, &e, &s->why);
            if (status == SNUB_NO_EQUILIBRIUM) { /* slack all round: no grip, the check says so */
                choice->grip = INFINITY;
                choice->grip_speed = wanted.engine_speed;
                continue;
            }
            if (status != SNUB_OK)
                return false;
            snub_expand(s->drive, rig, &wanted, &e, &balance);
            const double grip = worst_grip_of(s, &balance, &choice->grip_served);
            if (grip > choice->grip) {
                choice->grip = grip;
                choice->grip_speed = wanted.engine_speed;
            }
            winds[0] = fmin(winds[0], e.wind);
            winds[1] = fmax(winds[1], e.wind);
        }
    }
    return true;
}

static double tightest_gap(const search *s, const double winds[2])
{
    double tightest = INFINITY;
    for (int end = 0; end < 2; end++) {
        snub_path path;
        snub_gap gap;
        int count = 0;
        if (end == 1 && !(winds[1] > winds[0]))
            break;
        if (snub_drive_lay(s->drive, winds[end], s->settings, &path, NULL) != SNUB_OK)
            return -INFINITY;
        snub_gaps(s->drive, &path, s->drive->limits[SNUB_LIMIT_FLAP], INFINITY, &gap, 1, &count);
        if (count > 0)
            tightest = fmin(tightest, gap.gap - gap.flap);
    }
    return tightest;
}

static bool nominal_winds(const search *s, const snub_rig *rig, snub_choice *choice)
{
    choice->wind_rest = choice->wind_redline = NAN;
    if (s->drive->arm < 0)
        return true;
    for (int end = 0; end < 2; end++) {
        snub_case wanted;
        snub_equilibrium e;
        const int speed = end == 0 ? 0 : s->loads->speeds - 1;
        snub_loads_case(s->drive, s->loads, speed, SNUB_STEADY, 0.0, s->length, s->drive->belt.stretch, &wanted);
        if (snub_solve(rig, &wanted, &e, NULL) != SNUB_OK)
            return false;
        *(end == 0 ? &choice->wind_rest : &choice->wind_redline) = e.wind;
    }
    return true;
}

static double merit_of(const search *s, const snub_choice *choice)
{
    const double limit = s->drive->limits[SNUB_LIMIT_GAP];
    if (choice->gap < limit)
        return GAP_MERIT + fmax(choice->gap - limit, -1.0);
    if (isinf(choice->grip))
        return SLACK_MERIT;
    if (isinf(s->grip_cap))
        return fmax(-choice->grip, GRIP_MERIT_LEAST);
    return choice->grip <= s->grip_cap ? -choice->grip_served : OUT_OF_CAP - fmin(choice->grip, 1e6);
}

/* Set the lock for the belt; every belt in tolerance must find its setting in the slot. */
static bool lock_in_slot(search *s)
{
    const snub_belt *belt = &s->drive->belt;
    for (int corner = -1; corner <= 1; corner += 2) {
        double settings[SNUB_PULLEYS_MOST];
        memcpy(settings, s->settings, sizeof settings);
        const double length =
            snub_belt_pitch_length(belt, s->length + corner * belt->tolerance, corner < 0 ? 0.0 : belt->stretch, false);
        if (snub_lock_set(s->drive, length, settings, &s->why) != SNUB_OK)
            return false;
    }
    return snub_lock_set(s->drive, snub_belt_pitch_length(belt, s->length, belt->stretch, false), s->settings,
                         &s->why) == SNUB_OK;
}

/* Try the settings in s->settings with the belt in s->length; keep them if they are the best so far. */
static bool try_settings(search *s, double *merit)
{
    snub_rig rig;
    snub_choice choice = {.length = s->length};
    double range[2], winds[2];
    if (s->drive->locked >= 0 && !lock_in_slot(s))
        return false;
    if (snub_rig_prepare(s->drive, s->settings, &rig, &s->why) != SNUB_OK)
        return false;
    if (s->drive->arm >= 0) {
        if (!lengths_for_arm(s, &rig, range))
            return false;
        s->wanted[0] = fmin(s->wanted[0], range[0]);
        s->wanted[1] = fmax(s->wanted[1], range[1]);
        if (s->length < range[0] || s->length > range[1])
            return false;
    }
    if (!grip_over_range(s, &rig, &choice, winds))
        return false;
    if (!nominal_winds(s, &rig, &choice))
        return false;
    choice.gap = tightest_gap(s, winds);
    memcpy(choice.settings, s->settings, sizeof choice.settings);
    *merit = merit_of(s, &choice);
    if (!s->found || *merit > s->merit) {
        s->best = choice;
        s->merit = *merit;
        s->found = true;
    }
    return true;
}

static bool along_slot(double setting, double *y, void *context)
{
    search *s = context;
    s->settings[s->moving] = setting;
    return try_settings(s, y);
}

/* Every combination of a coarse grid, then each slot in turn around the best. */
static void several_slots(search *s)
{
    const int per_slot = SLOT_GRID_OF_SEVERAL + 1;
    int all = 1;
    for (int m = 0; m < s->free_count; m++)
        all *= per_slot;
    for (int c = 0; c < all; c++) {
        for (int m = 0, rest = c; m < s->free_count; m++, rest /= per_slot) {
            const double length = s->drive->pulleys[s->free_slots[m]].slot.length;
            s->settings[s->free_slots[m]] = length * (rest % per_slot) / SLOT_GRID_OF_SEVERAL;
        }
        double merit;
        try_settings(s, &merit);
    }
    for (int round = 0; s->found && round < 2; round++) {
        for (int m = 0; m < s->free_count; m++) {
            memcpy(s->settings, s->best.settings, sizeof s->settings);
            s->moving = s->free_slots[m];
            const double length = s->drive->pulleys[s->moving].slot.length, cell = length / SLOT_GRID_OF_SEVERAL;
            const double at = s->best.settings[s->moving];
            double best;
            snub_maximise(along_slot, s, fmax(at - cell, 0.0), fmin(at + cell, length), 4, SETTING_TOLERANCE_M, &best);
        }
    }
}

static void search_settings(search *s)
{
    double merit;
    if (s->free_count == 0) {
        try_settings(s, &merit);
    } else if (s->free_count == 1) {
        s->moving = s->free_slots[0];
        snub_maximise(along_slot, s, 0.0, s->drive->pulleys[s->moving].slot.length, SLOT_GRID, SETTING_TOLERANCE_M,
                      &merit);
    } else {
        several_slots(s);
    }
}

/* The best settings for the belt in s->length; s->found says if there are any. First the least worst grip, then, within
 * GRIP_SAME of it, the best grip beside the idler. */
static void best_settings(search *s)
{
    s->found = false;
    s->merit = -INFINITY;
    s->grip_cap = INFINITY;
    search_settings(s);
    if (!s->found || s->free_count == 0 || s->merit < GRIP_MERIT_LEAST || isinf(s->best.grip))
        return;
    s->grip_cap = s->best.grip + GRIP_SAME;
    s->merit = -s->best.grip_served;
    search_settings(s);
}

/* Ranking of belts: tier (what a check would have to say), then within GRIP_SAME of the best of the best tier by the
 * grip of what the idler serves and by how near to mid-range the arm rests; the others by grip. */
typedef struct ranked {
    snub_choice choice;
    int tier;
    bool near_best;
    double off_centre;
} ranked;

int snub_choice_rank(const snub_drive *drive, const snub_choice *choice)
{
    if (choice->gap < drive->limits[SNUB_LIMIT_GAP])
        return 4;
    if (isinf(choice->grip))
        return 3;
    if (choice->grip > drive->limits[SNUB_LIMIT_GRIP_DESIGN])
        return 2;
    return choice->rib_tension > drive->limits[SNUB_LIMIT_RIB_TENSION] ? 1 : 0;
}

/* Greatest total tension over the range: shortest new belt (a locked belt is set to its tension whatever its length),
 * arm friction with the tension. */
static double greatest_tension(const search *s, const snub_choice *choice)
{
    const snub_belt *belt = &s->drive->belt;
    const bool locked = s->drive->locked >= 0;
    snub_rig rig;
    double greatest = 0.0;
    if (snub_rig_prepare(s->drive, choice->settings, &rig, NULL) != SNUB_OK)
        return INFINITY;
    for (int k = 0; k < s->speed_count; k++) {
        for (int running = 0; running < SNUB_RUNNING_COUNT; running++) {
            snub_case wanted;
            snub_equilibrium e;
            snub_loads_case(s->drive, s->loads, s->speeds[k], (snub_running)running, 1.0,
                            locked ? choice->length : choice->length - belt->tolerance, locked ? belt->stretch : 0.0,
                            &wanted);
            if (snub_solve(&rig, &wanted, &e, NULL) != SNUB_OK)
                continue;
            for (int i = 0; i < rig.n; i++)
                greatest = fmax(greatest, e.tension + e.rise[i]);
        }
    }
    return greatest;
}

static int in_order(double a, double b)
{
    return a < b ? -1 : a > b;
}

static int by_rank(const void *a, const void *b)
{
    const ranked *x = a, *y = b;
    if (x->tier != y->tier)
        return x->tier - y->tier;
    if (x->tier == 4 && x->choice.gap != y->choice.gap)
        return in_order(y->choice.gap, x->choice.gap);
    if (x->near_best != y->near_best)
        return x->near_best ? -1 : 1;
    if (!x->near_best && x->choice.grip != y->choice.grip)
        return in_order(x->choice.grip, y->choice.grip);
    if (fabs(x->choice.grip_served - y->choice.grip_served) > 0.0)
        return in_order(x->choice.grip_served, y->choice.grip_served);
    if (x->off_centre != y->off_centre)
        return in_order(x->off_centre, y->off_centre);
    return in_order(x->choice.length, y->choice.length);
}

static void rank(ranked *all, int count)
{
    int tier = 4;
    double best = INFINITY;
    for (int i = 0; i < count; i++)
        tier = all[i].tier < tier ? all[i].tier : tier;
    for (int i = 0; i < count; i++) {
        if (all[i].tier == tier)
            best = fmin(best, all[i].choice.grip);
    }
    for (int i = 0; i < count; i++)
        all[i].near_best = all[i].tier == tier && all[i].choice.grip <= best + GRIP_SAME;
    qsort(all, (size_t)count, sizeof *all, by_rank);
}

static double off_centre(const snub_drive *drive, const snub_choice *choice)
{
    if (drive->arm < 0)
        return 0.0;
    const double *work = drive->pulleys[drive->arm].arm.work;
    return fabs(choice->wind_rest - 0.5 * (work[0] + work[1]));
}

static void set_free_slots(search *s, bool free_settings)
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
            s->free_slots[s->free_count++] = i;
        } else if (isnan(pulley->setting)) {
            s->settings[i] = 0.5 * pulley->slot.length;
        }
    }
}

/* Without stock: the file's own length, or whole millimetres around what the drive asks for. */
static int lengths_on_offer(search *s, double *lengths, int most)
{
    const snub_belt *belt = &s->drive->belt;
    if (belt->stock_count > 0) {
        const int count = belt->stock_count < most ? belt->stock_count : most;
        memcpy(lengths, belt->stock, sizeof(double) * (size_t)count);
        return count;
    }
    if (!isnan(belt->length)) {
        lengths[0] = belt->length;
        return 1;
    }
    s->length = 0.0; /* fits no arm: the search only collects what would */
    best_settings(s);
    if (!(s->wanted[0] <= s->wanted[1]))
        return 0;
    const double from = ceil(s->wanted[0] * 1e3), to = floor(s->wanted[1] * 1e3);
    const double step = fmax(1.0, ceil((to - from) / 40.0));
    int count = 0;
    for (double mm = from; mm <= to && count < most; mm += step)
        lengths[count++] = mm * 1e-3;
    return count;
}

/* Lengths that a lock reaches over its slot, the other slots where they stand. */
static void lengths_for_lock(search *s)
{
    const snub_belt *belt = &s->drive->belt;
    const snub_pulley *pulley = &s->drive->pulleys[s->drive->locked];
    double settings[SNUB_PULLEYS_MOST];
    memcpy(settings, s->settings, sizeof settings);
    for (int k = 0; k <= SLOT_GRID; k++) {
        snub_path path;
        settings[s->drive->locked] = pulley->slot.length * k / SLOT_GRID;
        if (snub_drive_lay(s->drive, 0.0, settings, &path, &s->why) != SNUB_OK)
            continue;
        const double stretched = 1.0 + (pulley->lock_tension - belt->measuring_tension) / belt->stiffness;
        const double effective = path.length / stretched / (1.0 + belt->stretch) - 2.0 * SNUB_PI * belt->be;
        s->wanted[0] = fmin(s->wanted[0], effective);
        s->wanted[1] = fmax(s->wanted[1], effective);
    }
}

static void say_why_none(const search *s, int offered, snub_choices *choices)
{
    const snub_belt *belt = &s->drive->belt;
    if (s->wanted[0] <= s->wanted[1]) {
        snprintf(choices->why_none, sizeof choices->why_none,
                 "no %s: %s with effective lengths of %.1f to %.1f mm, at some setting",
                 offered > 0 ? "stock belt fits" : "belt on offer",
                 s->drive->arm >= 0 ? "the arm stays within its work range" : "the slot reaches its set tension",
                 s->wanted[0] * 1e3, s->wanted[1] * 1e3);
    } else if (isfinite(s->least_lack)) {
        snprintf(
            choices->why_none, sizeof choices->why_none,
            "no belt length keeps the arm within its work range: the range takes up %.1f mm of belt, and tolerance "
            "(+-%.1f mm), wear, arm friction and the rev range ask for %.1f mm more",
            s->take_up_there * 1e3, belt->tolerance * 1e3, s->least_lack * 1e3);
    } else if (s->no_lever) {
        snprintf(
            choices->why_none, sizeof choices->why_none,
            "no belt length keeps the arm within its work range: the belt is on all pulleys and winding takes it up "
            "only from %.1f to %.1f deg of wind, at the best setting",
            s->good[0] * 180.0 / SNUB_PI, s->good[1] * 180.0 / SNUB_PI);
    } else if (s->why.message[0] != '\0') {
        snprintf(choices->why_none, sizeof choices->why_none, "no belt runs: %s", s->why.message);
    } else {
        snprintf(choices->why_none, sizeof choices->why_none, "no belt on offer balances");
    }
}

/* A stretch of stock as long as 4096 belts is searched whole; more is refused by the reader. */
enum { OFFERS_MOST = 4096 };

snub_status snub_choose(const snub_drive *drive, const snub_loads *loads, bool free_settings, snub_choices *choices,
                        snub_error *error)
{
    search s = {.drive = drive, .loads = loads, .wanted = {INFINITY, -INFINITY}, .least_lack = INFINITY};
    double *lengths = malloc(sizeof *lengths * OFFERS_MOST);
    ranked *all = malloc(sizeof *all * OFFERS_MOST);
    int found = 0, offered = 0;
    choices->count = 0;
    choices->why_none[0] = '\0';
    if (lengths == NULL || all == NULL) {
        free(lengths);
        free(all);
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    }
    choose_speeds(&s);
    set_free_slots(&s, free_settings);
    if (drive->locked >= 0)
        lengths_for_lock(&s);
    offered = lengths_on_offer(&s, lengths, OFFERS_MOST);
    for (int b = 0; b < offered; b++) {
        s.length = lengths[b];
        best_settings(&s);
        if (!s.found)
            continue;
        s.best.rib_tension = greatest_tension(&s, &s.best) / drive->belt.ribs;
        all[found] = (ranked){s.best, snub_choice_rank(drive, &s.best), false, off_centre(drive, &s.best)};
        found++;
    }
    rank(all, found);
    choices->count = found < SNUB_CHOICES_MOST ? found : SNUB_CHOICES_MOST;
    for (int c = 0; c < choices->count; c++)
        choices->choice[c] = all[c].choice;
    const bool some = s.wanted[0] <= s.wanted[1];
    choices->wanted_length[0] = some ? s.wanted[0] : NAN;
    choices->wanted_length[1] = some ? s.wanted[1] : NAN;
    if (found == 0)
        say_why_none(&s, offered, choices);
    free(lengths);
    free(all);
    return SNUB_OK;
}
