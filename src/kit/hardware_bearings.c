/* Bearings over the duty. docs/theory/bearings.md. */
#include "hardware_study.h"

#include <string.h>

#define HOUR 3600.0
#define RPM (SNUB_PI / 30.0)
#define MINUTE (SNUB_PI / 180.0 / 60.0)

/* Capacity of one of two rows over the bearing's: 2^-0.7 (ISO 281; memory). */
#define ROW_CAPACITY 0.61557220667245816
/* Slope of the spread of lives of ball bearings: lives of parts in a row add as L^-10/9 (ISO 281; memory). */
#define WEIBULL (10.0 / 9.0)
/* Listed speeds hold to this load (NSK 6.1), and a grease for high speed is wanted over this share of them. */
#define LIGHT_LOAD 0.08
#define LISTED_SHARE 0.70
/* Least static safety with vibration (NSK Table 5.8). */
#define STATIC_SAFETY 1.5

/* Rows or bearings that carry a hub between them. */
typedef struct carriers {
    int count;
    double spacing, capacity; /**< of each, N */
    double static_load;       /**< of each, N */
    bool rows;                /**< two rows of one bearing */
} carriers;

static carriers carriers_of(const snub_bearing *b, const snub_bearing_seat *seat)
{
    carriers c = {1, 0.0, b->dynamic_load, b->static_load, false};
    if (seat->count == 2) {
        c.count = 2;
        c.spacing = seat->spacing;
    } else if (b->rows == 2 && b->row_spacing > 0.0) {
        c = (carriers){2, b->row_spacing, b->dynamic_load * ROW_CAPACITY, 0.5 * b->static_load, true};
    }
    return c;
}

/* Radial and axial load of one bearing to one equivalent load. */
static double equivalent(const snub_bearing *b, const snub_bearing_seat *seat, double radial, double axial)
{
    const snub_bearing_load load = {radial, axial};
    const snub_double_row *row = b->contact != NULL ? snub_double_row_find(b->contact) : NULL;
    return row != NULL ? snub_double_row_equivalent(load, row)
                       : snub_bearing_equivalent(load, b->f0, b->static_load, seat->c3);
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

/* Hub load and pulley speed at an engine speed, steady; between the cases that were worked out. */
static void steady_at(const snub_hardware_study *study, int pulley, double engine, double *force, double *speed)
{
    const snub_hub_sample *below = NULL, *above = NULL;
    for (int k = 0; k < study->sample_count; k++) {
        const snub_hub_sample *s = &study->samples[k];
        if (!s->steady)
            continue;
        if (s->engine_speed <= engine && (below == NULL || s->engine_speed > below->engine_speed))
            below = s;
        if (s->engine_speed >= engine && (above == NULL || s->engine_speed < above->engine_speed))
            above = s;
    }
    below = below != NULL ? below : above;
    above = above != NULL ? above : below;
    if (below == NULL) {
        *force = *speed = 0.0;
        return;
    }
    const double run = above->engine_speed - below->engine_speed;
    const double part = run > 0.0 ? (engine - below->engine_speed) / run : 0.0;
    double f[2];
    for (int k = 0; k < 2; k++)
        f[k] = below->force[pulley][k] + part * (above->force[pulley][k] - below->force[pulley][k]);
    *force = hypot(f[0], f[1]);
    *speed = below->speed[pulley] + part * (above->speed[pulley] - below->speed[pulley]);
}

static void duty_of_hub(snub_hardware_study *study, int i)
{
    snub_duty_load duty[100];
    int n = 0;
    for (int k = 0; k < study->duty_count && k < 100; k++) {
        snub_duty_load *d = &duty[n++];
        steady_at(study, i, study->duty[k].speed, &d->load, &d->speed);
        d->share = study->duty[k].share;
    }
    study->report->hub[i].duty_mean = snub_duty_mean(duty, n, 3.0, &study->report->hub[i].mean_speed);
}

/* Lives over the duty, and what wears the grease. */
static void live(snub_hardware_study *study, int i, const carriers *c, snub_bearing_result *r)
{
    const snub_bearing_seat *seat = &study->hardware->pulleys[i].seat;
    const snub_bearing *b = r->bearing;
    snub_duty_load duty[2][100];
    double spent = 0.0, speed = 0.0, rate = 0.0;
    const double listed = b->grease_speed > 0.0 ? b->grease_speed : b->max_speed;
    int n = 0;
    for (int k = 0; k < study->duty_count && k < 100; k++, n++) {
        double force, load[2] = {0, 0}, still[2];
        steady_at(study, i, study->duty[k].speed, &force, &speed);
        carry(b, seat, c, force, load, still);
        for (int e = 0; e < c->count; e++)
            duty[e][n] = (snub_duty_load){load[e], speed, study->duty[k].share};
        spent += study->duty[k].share /
                 (listed > 0.0 ? snub_grease_life(speed, listed, seat->temperature, seat->wide_grease) : NAN);
    }
    double mean_speed = 0.0;
    for (int e = 0; e < c->count; e++) {
        const double mean = snub_duty_mean(duty[e], n, 3.0, &mean_speed);
        r->load = fmax(r->load, mean);
        const double life = mean_speed > 0.0 ? snub_bearing_life(c->capacity, mean, mean_speed) : INFINITY;
        rate += isfinite(life) ? pow(life, -WEIBULL) : 0.0;
    }
    r->life = rate > 0.0 ? pow(rate, -1.0 / WEIBULL) : INFINITY;
    r->ratio = r->load > 0.0 ? c->capacity / r->load : INFINITY;
    r->grease = snub_grease_load_factor(1.0 / r->ratio) / spent;
}

/* ---- judgement
 * --------------------------------------------------------------------------------------------------------- */

static void judge_speed(snub_hardware_study *study, int i, const snub_bearing_result *r)
{
    const char *name = study->drive->pulleys[i].name, *type = r->bearing->designation;
    const double limit = study->drive->limits[SNUB_LIMIT_BEARING_N_DM];
    const bool own = study->drive->limits_place[SNUB_LIMIT_BEARING_N_DM].line > 0;
    const bool contact = r->bearing->seal == NULL || strcmp(r->bearing->seal, "contact") == 0;
    if (r->limit_speed > 0.0 && r->top_speed > r->limit_speed)
        snub_hardware_find(study, SNUB_FAIL, "bearing_speed", name, type, r->top_speed / RPM, r->limit_speed / RPM,
                           "rpm", "maker's catalogue", "%s turns the %s at %.0f rpm, over its limit of %.0f rpm.", name,
                           type, r->top_speed / RPM, r->limit_speed / RPM);
    else if (r->limit_speed > 0.0 && r->top_speed > LISTED_SHARE * r->limit_speed)
        snub_hardware_find(study, SNUB_NOTE, "bearing_speed", name, type, r->top_speed / RPM, r->limit_speed / RPM,
                           "rpm", "NSK CAT. No. E1102e, 6.1",
                           "%s reaches %.0f %% of its listed speed: choose a grease for high speed.", type,
                           100 * r->top_speed / r->limit_speed);
    if ((contact || own) && r->n_dm > limit)
        snub_hardware_find(
            study, SNUB_FAIL, "bearing_n_dm", name, type, r->n_dm, limit, "mm rpm",
            own ? "the file" : snub_limit_describe(SNUB_LIMIT_BEARING_N_DM)->source,
            "n dm of the %s is %.0f, over %.0f for contact seals: a smaller bearing, or seals without contact.", type,
            r->n_dm, limit);
    if (r->worst > LIGHT_LOAD * r->bearing->dynamic_load)
        snub_hardware_find(
            study, SNUB_NOTE, "bearing_listed_speed", name, type, r->worst / r->bearing->dynamic_load, LIGHT_LOAD, "",
            "NSK CAT. No. E1102e, 6.1",
            "Listed speeds hold for light load, P under %.2f C; here P is %.2f C at worst, so the limit is "
            "lower than the list says.",
            LIGHT_LOAD, r->worst / r->bearing->dynamic_load);
}

static void judge_life(snub_hardware_study *study, int i, const snub_bearing_result *r)
{
    const snub_bearing_seat *seat = &study->hardware->pulleys[i].seat;
    const char *name = study->drive->pulleys[i].name, *type = r->bearing->designation;
    const double limit = study->drive->limits[SNUB_LIMIT_BEARING_LIFE];
    const char *source = study->drive->limits_place[SNUB_LIMIT_BEARING_LIFE].line > 0
                             ? "the file"
                             : snub_limit_describe(SNUB_LIMIT_BEARING_LIFE)->source;
    if (r->life_adjusted < limit)
        snub_hardware_find(study, SNUB_FAIL, "bearing_life", name, type, r->life_adjusted / HOUR, limit / HOUR, "h",
                           source, "The %s of %s lasts %.0f h at %.4g %% reliability over the duty, under %.0f h.",
                           type, name, r->life_adjusted / HOUR, seat->reliability, limit / HOUR);
    if (isnan(r->grease)) {
        if (r->bearing->max_speed > 0.0 || r->bearing->grease_speed > 0.0)
            snub_hardware_find(
                study, SNUB_WATCH, "grease_life", name, type, NAN, NAN, "h", "NSK CAT. No. E1102e, eqs 12.1, 12.2",
                "Grease life of the %s cannot be told: %.0f degC, %.0f rpm or the load is outside of what the "
                "formula knows. Ask the maker.",
                type, seat->temperature - 273.15, r->top_speed / RPM);
    } else if (r->grease < limit) {
        snub_hardware_find(
            study, SNUB_WATCH, "grease_life", name, type, r->grease / HOUR, limit / HOUR, "h",
            "NSK CAT. No. E1102e, eqs 12.1, 12.2; SKF p. 246",
            "The grease of the %s lasts %.0f h at %.0f degC (average, inner ring turning assumed), under %.0f h.", type,
            r->grease / HOUR, seat->temperature - 273.15, limit / HOUR);
    }
    if (r->static_safety < STATIC_SAFETY)
        snub_hardware_find(study, r->static_safety < 1.0 ? SNUB_FAIL : SNUB_WATCH, "bearing_static", name, type,
                           r->static_safety, STATIC_SAFETY, "", "NSK CAT. No. E1102e, Table 5.8",
                           "Static safety of the %s is %.2f; with vibration %.1f is asked.", type, r->static_safety,
                           STATIC_SAFETY);
    if (r->worst > fmin(r->bearing->static_load, 0.5 * r->bearing->dynamic_load))
        snub_hardware_find(study, SNUB_WATCH, "bearing_ask", name, type, r->worst / 1000,
                           fmin(r->bearing->static_load, 0.5 * r->bearing->dynamic_load) / 1000, "kN",
                           "NSK CAT. No. E1102e, 5.2",
                           "Over this load the life equation does not hold for the %s: ask the maker.", type);
}

static void judge_seat(snub_hardware_study *study, int i, const snub_bearing_result *r)
{
    const snub_bearing_seat *seat = &study->hardware->pulleys[i].seat;
    const char *name = study->drive->pulleys[i].name, *type = r->bearing->designation, *source = NULL;
    double least, most;
    snub_bearing_tilt_limit(r->bearing->rows, &least, &most, &source);
    if (seat->outer_turns && (r->bearing->seal == NULL || strcmp(r->bearing->seal, "open") != 0))
        snub_hardware_find(
            study, SNUB_NOTE, "outer_ring", name, type, NAN, NAN, "", "NSK CAT. No. E1102e, B8 remark 2",
            "The outer ring turns, as in any idler: for sealed and shielded bearings the maker asks to be "
            "consulted, and the grease formula assumes that the inner ring turns.");
    if (r->tilt > least)
        snub_hardware_find(study, r->tilt > most ? SNUB_FAIL : SNUB_WATCH, "bearing_tilt", name, type, r->tilt / MINUTE,
                           (r->tilt > most ? most : least) / MINUTE, "arcmin", source,
                           "The seat of the %s leans by %.1f minutes of arc under the worst load; makers allow %s.",
                           type, r->tilt / MINUTE, r->bearing->rows > 1 ? "2" : "2 to 10, by load and clearance");
    if (r->moment > 0.0 && seat->count == 1 && r->bearing->rows == 1)
        snub_hardware_find(
            study, SNUB_WATCH, "bearing_moment", name, type, r->moment, NAN, "N m", "derived: 4 M/dm as thrust",
            "The belt runs %.1f mm off the middle of one single-row bearing: %.1f N m, which such a bearing "
            "is not made for. Centre it, or use two bearings or a double row.",
            fabs(seat->offset) * 1000, r->moment);
}

static void judge(snub_hardware_study *study, int i)
{
    const snub_bearing_seat *seat = &study->hardware->pulleys[i].seat;
    const snub_hub_load *hub = &study->report->hub[i];
    snub_bearing_result *r = &study->report->bearing[i];
    double load[2] = {0, 0}, still[2] = {0, 0};
    r->given = true;
    r->bearing = &study->hardware->bearings[seat->bearing];
    const carriers c = carriers_of(r->bearing, seat);
    live(study, i, &c, r);
    carry(r->bearing, seat, &c, hub->worst_size, load, still);
    r->worst = c.rows ? fmax(load[0], load[1]) / ROW_CAPACITY : fmax(load[0], load[1]);
    r->static_safety = c.static_load / fmax(fmax(still[0], still[1]), 1e-9);
    r->reliability_factor = seat->reliability > 90.0 ? snub_reliability_factor(seat->reliability) : 1.0;
    r->life_adjusted = r->life * r->reliability_factor;
    r->top_speed = hub->top_speed;
    r->n_dm = snub_bearing_n_dm(r->top_speed, r->bearing->bore, r->bearing->outside);
    r->limit_speed = r->bearing->max_speed;
    r->moment = hub->worst_size * fabs(seat->offset);
    r->tilt = study->report->standoff[i].slope;
    const char *source;
    snub_bearing_tilt_limit(r->bearing->rows, &r->tilt_least, &r->tilt_most, &source);
    judge_speed(study, i, r);
    judge_life(study, i, r);
    judge_seat(study, i, r);
}

void snub_hardware_bearings(snub_hardware_study *study)
{
    for (int i = 0; i < study->drive->pulley_count; i++) {
        duty_of_hub(study, i);
        if (study->hardware->pulleys[i].seat.given)
            judge(study, i);
    }
}
