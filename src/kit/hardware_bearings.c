/* Bearings over the duty. docs/theory/bearings.md. */
#include "hardware_study.h"
#include "snub/locale.h"
#include "swing.h"

#include <string.h>

/* Capacity of one of two rows over the bearing's: 2^-0.7 (ISO 281; not compared with its text). */
#define ROW_CAPACITY 0.61557220667245816
/* Slope of the spread of lives of ball bearings: lives of parts in a row add as L^-10/9 (ISO 281; not compared
 * with its text). */
#define WEIBULL (10.0 / 9.0)
/* Listed speeds hold to this load (NSK 6.1), and a grease for high speed is wanted over this share of them. */
#define LIGHT_LOAD 0.08
#define LISTED_SHARE 0.70
/* Least load of a ball bearing over its dynamic rating, so that the balls roll: bearing makers' rule of thumb, memory.
 */
#define LEAST_LOAD 0.01

/* As far off the middle as parts are made and nobody measures, m: a rule of thumb. */
static const double OFF_MIDDLE = 0.0005;

/* A seat is as far off the middle of its bearings as the file says, and as the belt runs off the pulley's plane. */
static snub_bearing_seat seat_of(const snub_hardware_study *study, int pulley)
{
    snub_bearing_seat seat = study->hardware->pulleys[pulley].seat;
    seat.offset += study->drift[pulley];
    return seat;
}

/* Rows or bearings that carry a hub between them. */
typedef struct carriers {
    int count;
    double spacing, capacity; /**< of each, N */
    double static_load;       /**< of each, N */
    double fatigue_load;      /**< of each, N */
    double pitch_diameter;    /**< m */
    bool rows;                /**< two rows of one bearing */
} carriers;

static carriers carriers_of(const snub_bearing *b, const snub_bearing_seat *seat)
{
    const double pitch = 0.5 * (b->bore + b->outside);
    const double fatigue = b->fatigue > 0.0 ? b->fatigue : snub_fatigue_load(b->static_load, pitch);
    carriers c = {1, 0.0, b->dynamic_load, b->static_load, fatigue, pitch, false};
    if (seat->count == 2) {
        c.count = 2;
        c.spacing = seat->spacing;
    } else if (b->rows == 2 && b->row_spacing > 0.0) {
        c = (carriers){2,   b->row_spacing, b->dynamic_load * ROW_CAPACITY, 0.5 * b->static_load, 0.5 * fatigue, pitch,
                       true};
    }
    return c;
}

/* C4 takes the factors of C3, which ask for more of it; C2 those of CN. */
static bool is_wide(const char *clearance)
{
    return strcmp(clearance, "C3") == 0 || strcmp(clearance, "C4") == 0;
}

/* Radial and axial load of one bearing to one equivalent load. */
static double equivalent(const snub_bearing *b, const snub_bearing_seat *seat, double radial, double axial)
{
    const snub_bearing_load load = {radial, axial};
    const snub_double_row *row = b->contact != NULL ? snub_double_row_find(b->contact) : NULL;
    return row != NULL ? snub_double_row_equivalent(load, row)
                       : snub_bearing_equivalent(load, b->f0, b->static_load, is_wide(seat->clearance));
}

/* Equivalent dynamic and static load of each carrier for a hub load; the axial load is the first one's (of a pair), or
 * shared by the rows as the whole bearing shares it. */
static void carry(const snub_bearing *b, const snub_bearing_seat *seat, const carriers *c, double force, double load[2],
                  double still[2])
{
    if (c->count == 1) {
        const double thrust =
            seat->axial + snub_bearing_moment_thrust(force * seat->offset, 0.5 * (b->bore + b->outside));
        load[0] = equivalent(b, seat, force, thrust);
        still[0] = snub_bearing_static((snub_bearing_load){force, thrust});
        return;
    }
    double radial[2];
    snub_bearing_pair(force, seat->offset, c->spacing, radial);
    for (int k = 0; k < 2; k++) {
        const double share = fabs(radial[k]);
        if (c->rows) {
            const snub_double_row *row = b->contact != NULL ? snub_double_row_find(b->contact) : NULL;
            load[k] = share + (row != NULL ? row->y_low : 1.0) * seat->axial * 0.5;
            still[k] = share + (row != NULL ? row->y_static : 0.5) * seat->axial * 0.5;
        } else {
            const double axial = k == 0 ? seat->axial : 0.0;
            load[k] = equivalent(b, seat, share, axial);
            still[k] = snub_bearing_static((snub_bearing_load){share, axial});
        }
    }
}

/* ---- the duty ---------------------------------------------------------------------------------------------------- */

/* Where an engine speed lies between the steady cases of a belt that were worked out. */
typedef struct duty_step {
    const snub_hub_sample *below, *above; /* NULL: this belt has none */
    double part;                          /* of the way from one to the other */
} duty_step;

typedef struct duty_steps {
    int count;
    duty_step step[SNUB_CORNERS][SNUB_DUTY_MOST];
    snub_hub_cycle cycle[SNUB_DUTY_MOST]; /* no points: nothing swings */
} duty_steps;

static const snub_hub_cycle NO_CYCLE = {.points = 0};

static duty_step step_at(const snub_hardware_study *study, snub_corner corner, double engine)
{
    duty_step d = {NULL, NULL, 0.0};
    for (int k = 0; k < study->study->sample_count; k++) {
        const snub_hub_sample *s = &study->study->samples[k];
        if (!s->steady || s->at.corner != corner)
            continue;
        if (s->engine_speed <= engine && (d.below == NULL || s->engine_speed > d.below->engine_speed))
            d.below = s;
        if (s->engine_speed >= engine && (d.above == NULL || s->engine_speed < d.above->engine_speed))
            d.above = s;
    }
    d.below = d.below != NULL ? d.below : d.above;
    d.above = d.above != NULL ? d.above : d.below;
    const double run = d.below != NULL ? d.above->engine_speed - d.below->engine_speed : 0.0;
    d.part = run > 0.0 ? (engine - d.below->engine_speed) / run : 0.0;
    return d;
}

static void find_steps(const snub_hardware_study *study, duty_steps *steps)
{
    steps->count = study->duty_count;
    for (int corner = 0; corner < SNUB_CORNERS; corner++) {
        for (int k = 0; k < steps->count; k++)
            steps->step[corner][k] = step_at(study, (snub_corner)corner, study->duty[k].speed);
    }
}

static bool runs(const duty_steps *steps, snub_corner corner)
{
    return steps->count > 0 && steps->step[corner][0].below != NULL;
}

/* Hub load and pulley speed at a step. */
static void load_at(const duty_step *d, int pulley, double force[2], double *speed)
{
    const snub_hub_sample *below = d->below, *above = d->above;
    for (int k = 0; k < 2; k++)
        force[k] = below->force[pulley][k] + d->part * (above->force[pulley][k] - below->force[pulley][k]);
    *speed = below->speed[pulley] + d->part * (above->speed[pulley] - below->speed[pulley]);
}

/* Size of a hub's force at a point of a cycle. hypot guards ranges that forces do not have, and takes its time. */
static double size_in(const snub_hub_cycle *cycle, int point, int pulley, const double force[2])
{
    const double *more = cycle->more[point * cycle->pulleys + pulley];
    const double x = force[0] + more[0], y = force[1] + more[1];
    return sqrt(x * x + y * y);
}

/* What wears as much as all the loads of a cycle: P^3 over its time. */
static double mean_in(const snub_hub_cycle *cycle, int pulley, const double force[2])
{
    double cubes = 0.0;
    for (int p = 0; p < cycle->points; p++) {
        const double size = size_in(cycle, p, pulley, force);
        cubes += size * size * size;
    }
    return cycle->points > 0 ? cbrt(cubes / cycle->points) : hypot(force[0], force[1]);
}

/* Of the belt that loads it most. @param[out] speed  mean of the pulley with that belt */
static double duty_of_hub(const snub_hardware_study *study, const duty_steps *steps, bool swings, int i, double *speed)
{
    double most = 0.0;
    for (int corner = 0; corner < SNUB_CORNERS; corner++) {
        snub_duty_load duty[SNUB_DUTY_MOST];
        double turns;
        for (int k = 0; k < steps->count && runs(steps, (snub_corner)corner); k++) {
            double force[2];
            load_at(&steps->step[corner][k], i, force, &duty[k].speed);
            duty[k].load = mean_in(swings ? &steps->cycle[k] : &NO_CYCLE, i, force);
            duty[k].share = study->duty[k].share;
        }
        const double mean = snub_duty_mean(duty, runs(steps, (snub_corner)corner) ? steps->count : 0, 3.0, &turns);
        if (mean > most) {
            most = mean;
            *speed = turns;
        }
    }
    return most;
}

static void duties_of_hub(const snub_hardware_study *study, const duty_steps *steps, int i)
{
    snub_hub_load *hub = &study->report->hub[i];
    double speed;
    hub->duty_steady = hub->duty_mean = duty_of_hub(study, steps, false, i, &hub->mean_speed);
    if (study->study->swings)
        hub->duty_mean = duty_of_hub(study, steps, true, i, &speed);
}

/* ---- life -------------------------------------------------------------------------------------------------------- */

/* Shares of time wear the grease each by itself; one of no time wears nothing, however fast. */
static double grease_life(const snub_bearing *b, const snub_bearing_seat *seat, const snub_duty_load *duty, int n)
{
    const double listed = b->max_speed_grease > 0.0 ? b->max_speed_grease : b->max_speed;
    double spent = 0.0;
    if (b->rows > 1 || !(listed > 0.0))
        return NAN;
    for (int k = 0; k < n; k++) {
        if (duty[k].share > 0.0)
            spent += duty[k].share / snub_grease_life(duty[k].speed, listed, seat->temperature, seat->wide_grease);
    }
    return 1.0 / spent;
}

/* Share of its life that a carrier spends in a second of the duty, oil film and dirt counted in: shares of time add
 * (Palmgren and Miner). */
static double wear_of(const snub_duty_load *duty, int n, const snub_bearing_seat *seat, const carriers *c,
                      snub_bearing_result *r)
{
    const double clean = snub_contamination_factor(seat->cleanliness, c->pitch_diameter);
    double wear = 0.0;
    r->viscosity = snub_oil_viscosity(seat->oil[0], seat->oil[1], seat->temperature);
    r->film_least = INFINITY;
    for (int k = 0; k < n; k++) {
        if (!(duty[k].share > 0.0 && duty[k].speed > 0.0 && duty[k].load > 0.0))
            continue;
        const double ratio = r->viscosity / snub_reference_viscosity(duty[k].speed, c->pitch_diameter);
        const double factor = snub_life_modification(ratio, clean, c->fatigue_load, duty[k].load);
        wear += duty[k].share / (factor * snub_bearing_life(c->capacity, duty[k].load, duty[k].speed));
        if (ratio < r->film_least) {
            r->film_least = ratio;
            r->film_least_at = duty[k].speed;
        }
    }
    return wear;
}

/* Equivalent load of each carrier of a pulley at a step: where it swings, the cubic mean of a cycle. */
static void carry_cycle(const snub_bearing_result *r, const snub_bearing_seat *seat, const carriers *c,
                        const snub_hub_cycle *cycle, int pulley, const double force[2], double mean[2])
{
    double cubes[2] = {0.0, 0.0}, load[2] = {0.0, 0.0}, still[2];
    if (cycle->points == 0) {
        carry(r->bearing, seat, c, hypot(force[0], force[1]), mean, still);
        return;
    }
    for (int p = 0; p < cycle->points; p++) {
        carry(r->bearing, seat, c, size_in(cycle, p, pulley, force), load, still);
        for (int e = 0; e < c->count; e++)
            cubes[e] += load[e] * load[e] * load[e];
    }
    for (int e = 0; e < c->count; e++)
        mean[e] = cbrt(cubes[e] / cycle->points);
}

/* Lives of the metal and of the grease over the duty, with one belt. */
static void live_with(const snub_hardware_study *study, const duty_steps *steps, bool swings, snub_corner corner, int i,
                      const carriers *c, snub_bearing_result *r)
{
    const snub_bearing_seat runs = seat_of(study, i), *seat = &runs;
    const snub_bearing *b = r->bearing;
    snub_duty_load duty[2][SNUB_DUTY_MOST];
    double speed = 0.0, rate = 0.0, modified_rate = 0.0, mean_speed = 0.0;
    r->belt = corner;
    r->load = r->duty_speed = 0.0;
    for (int k = 0; k < steps->count; k++) {
        double force[2], load[2] = {0, 0};
        load_at(&steps->step[corner][k], i, force, &speed);
        carry_cycle(r, seat, c, swings ? &steps->cycle[k] : &NO_CYCLE, i, force, load);
        for (int e = 0; e < c->count; e++)
            duty[e][k] = (snub_duty_load){load[e] * seat->application_factor, speed, study->duty[k].share};
        r->duty_speed = fmax(r->duty_speed, study->duty[k].share > 0.0 ? speed : 0.0);
    }
    for (int e = 0; e < c->count; e++) {
        const double mean = snub_duty_mean(duty[e], steps->count, 3.0, &mean_speed);
        r->load = fmax(r->load, mean);
        const double life = mean_speed > 0.0 ? snub_bearing_life(c->capacity, mean, mean_speed) : INFINITY;
        rate += isfinite(life) ? pow(life, -WEIBULL) : 0.0;
        modified_rate += pow(wear_of(duty[e], steps->count, seat, c, r), WEIBULL);
    }
    r->life = rate > 0.0 ? pow(rate, -1.0 / WEIBULL) : INFINITY;
    r->life_adjusted = modified_rate > 0.0 ? pow(modified_rate, -1.0 / WEIBULL) : INFINITY;
    r->life_factor = isfinite(r->life) ? r->life_adjusted / r->life : 1.0;
    r->ratio = r->load > 0.0 ? c->capacity / r->load : INFINITY;
    r->grease = snub_grease_load_factor(1.0 / r->ratio) * grease_life(b, seat, duty[0], steps->count);
}

/* The belt with the shortest life is the one that is shown. */
static void live(const snub_hardware_study *study, const duty_steps *steps, bool swings, int i, const carriers *c,
                 snub_bearing_result *r)
{
    r->life = r->life_adjusted = r->film_least = INFINITY;
    r->life_factor = 1.0;
    r->ratio = INFINITY;
    r->grease = NAN;
    bool any = false;
    for (int corner = 0; corner < SNUB_CORNERS; corner++) {
        snub_bearing_result with = *r;
        if (!runs(steps, (snub_corner)corner))
            continue;
        live_with(study, steps, swings, (snub_corner)corner, i, c, &with);
        if (!any || with.life_adjusted < r->life_adjusted)
            *r = with;
        any = true;
    }
}

/* ---- judgement -------------------------------------------------------------------------------------------------- */

typedef struct bearing_case {
    snub_hardware_study *study;
    int pulley;
    const snub_bearing_result *r;
    const snub_bearing_seat *seat;
    const carriers *carriers;
    const snub_hub_load *hub;
} bearing_case;

/* A finding about the bearing of a pulley, at the case in which its value was met; NULL: over the duty, or of none. */
static snub_finding about(const bearing_case *c, snub_wording wording, double value, const snub_condition *at)
{
    snub_finding f = snub_hardware_finding(c->study, wording, c->pulley, c->r->bearing->designation, value);
    if (at != NULL)
        f.at = *at;
    return f;
}

static void judge_speed(const bearing_case *c)
{
    const snub_bearing_result *r = c->r;
    if (!(r->limit_speed > 0.0 && r->top_speed > LISTED_SHARE * r->limit_speed))
        return;
    const bool over = r->top_speed > r->limit_speed;
    snub_finding f =
        about(c, over ? SNUB_SAYS_BEARING_TOO_FAST : SNUB_SAYS_BEARING_FAST, r->top_speed, &c->hub->top_at);
    f.limit = over ? r->limit_speed : LISTED_SHARE * r->limit_speed;
    snub_finding_number(&f, "share", r->top_speed / r->limit_speed, SNUB_UNIT_PERCENT, 0);
    snub_hardware_tell(c->study, &f);
}

/* The table's limit is for contact seals, and for those that nothing is said of; one of the user's own for all. */
static void judge_seals(const bearing_case *c)
{
    const bool own = snub_limit_given_at(c->study->drive, SNUB_LIMIT_BEARING_N_DM) != 0;
    const bool contact = c->r->bearing->seal == NULL || strcmp(c->r->bearing->seal, "contact") == 0;
    const snub_finding f =
        about(c, contact ? SNUB_SAYS_SEALS_TOO_FAST : SNUB_SAYS_SPEED_NUMBER_HIGH, c->r->n_dm, &c->hub->top_at);
    if ((contact || own) && f.value > f.limit)
        snub_hardware_tell(c->study, &f);
}

static void judge_listed(const bearing_case *c)
{
    const double share = c->r->worst / c->carriers->capacity;
    if (!(c->r->limit_speed > 0.0 && share > LIGHT_LOAD))
        return;
    snub_finding f = about(c, SNUB_SAYS_LISTED_SPEED_LOADED, share, &c->hub->worst_at);
    f.limit = LIGHT_LOAD;
    snub_hardware_tell(c->study, &f);
}

static void tell_unknown_grease(const bearing_case *c)
{
    const snub_bearing *b = c->r->bearing;
    if (b->rows == 1 && !(b->max_speed > 0.0 || b->max_speed_grease > 0.0))
        return;
    snub_finding f = about(c, b->rows > 1 ? SNUB_SAYS_GREASE_OF_TWO_ROWS : SNUB_SAYS_GREASE_UNKNOWN, NAN, NULL);
    snub_finding_number(&f, "temperature", c->seat->temperature, SNUB_UNIT_DEGC, 0);
    snub_finding_number(&f, "speed", c->r->duty_speed, SNUB_UNIT_RPM, 0);
    snub_hardware_tell(c->study, &f);
}

static void judge_grease(const bearing_case *c)
{
    if (isnan(c->r->grease)) {
        tell_unknown_grease(c);
        return;
    }
    snub_finding f = about(c, SNUB_SAYS_GREASE_SHORT_LIVED, c->r->grease, NULL);
    snub_finding_words(&f, "belt", snub_corner_text(c->r->belt));
    snub_finding_number(&f, "temperature", c->seat->temperature, SNUB_UNIT_DEGC, 0);
    if (f.value < f.limit)
        snub_hardware_tell(c->study, &f);
}

/* Fewest places that show a number as it was written. */
static int places_of(double number)
{
    enum { MOST = 6 };
    int places = 0;
    double scaled = number;
    while (places < MOST && fabs(scaled - round(scaled)) > 1e-9 * fabs(scaled)) {
        scaled *= 10.0;
        places++;
    }
    return places;
}

/* A default that may be what fails it. */
static const char *assumed(const snub_bearing_seat *seat)
{
    if (!seat->oil_given && !seat->cleanliness_given)
        return SNUB_MESSAGE(" Oil and cleanliness are defaults: give `oil` and `cleanliness` if you know them.");
    if (!seat->oil_given)
        return SNUB_MESSAGE(" The oil is a default: give `oil` if you know it.");
    return seat->cleanliness_given ? ""
                                   : SNUB_MESSAGE(" The cleanliness is a default: give `cleanliness` if you know it.");
}

static void judge_life(const bearing_case *c)
{
    const double reliability = c->seat->reliability;
    snub_finding f = about(c, SNUB_SAYS_BEARING_SHORT_LIVED, c->r->life_adjusted, NULL);
    snub_finding_words(&f, "belt", snub_corner_text(c->r->belt));
    snub_finding_number(&f, "reliability", reliability * SNUB_PERCENT, SNUB_UNIT_PERCENT, places_of(reliability));
    snub_finding_number(&f, "basic", c->r->life, SNUB_UNIT_H, 0);
    snub_finding_number(&f, "application", c->seat->application_factor, SNUB_UNIT_NONE, 2);
    snub_finding_number(&f, "modified", c->r->life_factor, SNUB_UNIT_NONE, 2);
    snub_finding_words(&f, "assumed", assumed(c->seat));
    if (f.value < f.limit)
        snub_hardware_tell(c->study, &f);
}

/* Under the least ratio ISO 281 has no number: what is taken may be too much. */
static void judge_film(const bearing_case *c)
{
    if (!(c->r->film_least < SNUB_VISCOSITY_RATIO_LEAST))
        return;
    snub_finding f = about(c, SNUB_SAYS_OIL_FILM_THIN, c->r->film_least, NULL);
    f.limit = SNUB_VISCOSITY_RATIO_LEAST;
    snub_finding_number(&f, "speed", c->r->film_least_at, SNUB_UNIT_RPM, 0);
    snub_finding_number(&f, "temperature", c->seat->temperature, SNUB_UNIT_DEGC, 0);
    snub_hardware_tell(c->study, &f);
}

static void judge_load(const bearing_case *c)
{
    const snub_bearing_result *r = c->r;
    if (r->static_safety < SNUB_MARGINAL_STATIC) {
        const bool dents = r->static_safety < 1.0;
        snub_finding f =
            about(c, dents ? SNUB_SAYS_BEARING_DENTS : SNUB_SAYS_BEARING_MAY_DENT, r->static_safety, &c->hub->worst_at);
        f.limit = dents ? 1.0 : SNUB_MARGINAL_STATIC;
        snub_hardware_tell(c->study, &f);
    }
    snub_finding ask = about(c, SNUB_SAYS_BEARING_OVER_FORMULA, r->worst, &c->hub->worst_at);
    ask.limit = fmin(c->carriers->static_load, 0.5 * c->carriers->capacity);
    snub_finding_words(&ask, "row", c->carriers->rows ? SNUB_MESSAGE(" on one of its rows") : "");
    if (ask.value > ask.limit)
        snub_hardware_tell(c->study, &ask);
}

static void judge_seat(const bearing_case *c)
{
    const snub_bearing_result *r = c->r;
    if (c->seat->outer_rotates && (r->bearing->seal == NULL || strcmp(r->bearing->seal, "open") != 0)) {
        const snub_finding f = about(c, SNUB_SAYS_OUTER_RING_TURNS, NAN, NULL);
        snub_hardware_tell(c->study, &f);
    }
    if (r->tilt > r->tilt_least) {
        const bool over = r->tilt > r->tilt_most;
        snub_finding f =
            about(c, over ? SNUB_SAYS_BEARING_TILTS : SNUB_SAYS_BEARING_MAY_TILT, r->tilt, &c->hub->lean_at);
        f.limit = over ? r->tilt_most : r->tilt_least;
        snub_finding_number(&f, "most", r->tilt_most, SNUB_UNIT_ARCMIN, 0);
        snub_hardware_tell(c->study, &f);
    }
    if (fabs(c->seat->offset) > OFF_MIDDLE && c->seat->count == 1 && r->bearing->rows == 1) {
        snub_finding f = about(c, SNUB_SAYS_BEARING_OFF_MIDDLE, r->moment, &c->hub->worst_at);
        snub_finding_number(&f, "offset", fabs(c->seat->offset), SNUB_UNIT_MM, 1);
        snub_hardware_tell(c->study, &f);
    }
}

/* Tightest fits of which play may be left: K in a bore, h on a shaft. */
#define LOOSE_BORE "K7"
#define LOOSE_SHAFT "h6"

static void judge_fit(const bearing_case *c)
{
    const bool bore = c->seat->outer_rotates;
    const char *fit = c->seat->fit, *needed = c->r->fit_needed;
    const int tight = fit != NULL ? snub_fit_tightness(fit, bore) : -1;
    if (tight >= snub_fit_tightness(needed, bore))
        return;
    const bool loose = tight <= snub_fit_tightness(bore ? LOOSE_BORE : LOOSE_SHAFT, bore);
    snub_finding f = about(c,
                           fit == NULL ? SNUB_SAYS_RING_FIT_UNKNOWN
                           : loose     ? SNUB_SAYS_RING_CREEPS
                                       : SNUB_SAYS_RING_MAY_CREEP,
                           c->r->worst / c->carriers->capacity, &c->hub->worst_at);
    snub_finding_words(&f, "ring", bore ? SNUB_MESSAGE("outer ring") : SNUB_MESSAGE("inner ring"));
    snub_finding_words(&f, "fit", fit != NULL ? fit : "");
    snub_finding_words(&f, "needed", needed);
    f.mend =
        (snub_mend){.path = snub_format(c->study->arena, "%s.bearing.fit", c->study->drive->pulleys[c->pulley].name),
                    .count = 1,
                    .value = {needed, NULL}};
    snub_hardware_tell(c->study, &f);
}

/* Steady running, any belt: passing states are over before the balls have slowed. */
static void find_least(const bearing_case *c, snub_bearing_result *r)
{
    const snub_study *study = c->study->study;
    r->least = INFINITY;
    for (int k = 0; k < study->sample_count; k++) {
        const snub_hub_sample *s = &study->samples[k];
        double load[2] = {0, 0}, still[2];
        if (!s->steady || !(s->speed[c->pulley] > 0.0))
            continue;
        carry(r->bearing, c->seat, c->carriers, hypot(s->force[c->pulley][0], s->force[c->pulley][1]), load, still);
        const double least = c->carriers->count == 2 ? fmin(load[0], load[1]) : load[0];
        if (least < r->least) {
            r->least = least;
            r->least_at = s->at;
        }
    }
}

static void judge_least(const bearing_case *c)
{
    snub_finding f = about(c, SNUB_SAYS_BEARING_SKIDS, c->r->least, &c->r->least_at);
    f.limit = LEAST_LOAD * c->carriers->capacity;
    if (f.value < f.limit)
        snub_hardware_tell(c->study, &f);
}

static void judge(snub_hardware_study *study, const duty_steps *steps, int i)
{
    const snub_bearing_seat runs = seat_of(study, i), *seat = &runs;
    const snub_hub_load *hub = &study->report->hub[i];
    snub_bearing_result *r = &study->report->bearing[i];
    double load[2] = {0, 0}, still[2] = {0, 0};
    r->given = true;
    r->bearing = &study->hardware->bearings[seat->bearing];
    const carriers c = carriers_of(r->bearing, seat);
    live(study, steps, false, i, &c, r);
    const double steady = r->life_adjusted;
    if (study->study->swings)
        live(study, steps, true, i, &c, r);
    carry(r->bearing, seat, &c, hub->worst_size, load, still);
    r->worst = fmax(load[0], load[1]);
    r->static_safety = c.static_load / fmax(fmax(still[0], still[1]), 1e-9);
    r->reliability_factor = seat->reliability > 90.0 ? snub_reliability_factor(seat->reliability) : 1.0;
    r->life_adjusted *= r->reliability_factor;
    r->life_steady = steady * r->reliability_factor;
    r->fit_needed = snub_fit_needed(seat->outer_rotates, r->worst / c.capacity, r->bearing->bore);
    r->top_speed = hub->top_speed;
    r->n_dm = snub_bearing_n_dm(r->top_speed, r->bearing->bore, r->bearing->outside);
    r->limit_speed = r->bearing->max_speed;
    r->moment = hub->worst_size * fabs(seat->offset);
    r->tilt = hub->lean;
    const char *source;
    snub_bearing_tilt_limit(r->bearing->rows, &r->tilt_least, &r->tilt_most, &source);
    const bearing_case judged = {study, i, r, seat, &c, hub};
    find_least(&judged, r);
    judge_speed(&judged);
    judge_seals(&judged);
    judge_listed(&judged);
    judge_life(&judged);
    judge_film(&judged);
    judge_load(&judged);
    judge_grease(&judged);
    judge_seat(&judged);
    judge_fit(&judged);
    judge_least(&judged);
}

void snub_hardware_bearings(snub_hardware_study *study)
{
    duty_steps steps;
    find_steps(study, &steps);
    if (snub_swing_duty(study->study, study->duty, study->duty_count, study->arena, steps.cycle) != SNUB_OK) {
        study->report->failed = true;
        return;
    }
    for (int i = 0; i < study->drive->pulley_count; i++) {
        duties_of_hub(study, &steps, i);
        if (study->hardware->pulleys[i].seat.given)
            judge(study, &steps, i);
    }
}
