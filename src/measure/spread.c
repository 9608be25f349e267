/** Strips, balls and worn belts against the drive file. docs/theory/measure.md. */
#include "snub/spread.h"

#include <math.h>
#include <string.h>

#include "snub/distributions.h"
#include "snub/units.h"
#include "tips.h"

/** Limits, m and rad: ISO 9981:2020, 5.2 to 5.4, of diameters over balls and from groove to groove; the angle's is a
 * rule of thumb. */
static const double OVER_BALLS = 0.6e-3, GROOVES = 0.15e-3, ANGLE = 1.0 * SNUB_DEG;
/** From this part of the way to the limit on a worn belt is watched. */
static const double WATCH = 2.0 / 3.0;
enum { CHECKS_MOST = 4 * SNUB_PULLEYS_MOST + 2 };

const char *snub_spread_text(snub_spread_kind kind)
{
    static const char *const words[] = {"wrap", "diameter", "grooves", "angle", "growth", "pin"};
    return words[kind];
}

typedef struct job {
    const snub_measured_spread *m;
    const snub_drive *drive;
    const snub_path *path;
    snub_spread *s;
    snub_errors *errors;
} job;

static void note(const job *j, const snub_place *at, const char *key, const char *format, const char *name)
{
    snub_error told;
    const snub_place place = {.file = j->m->document.name, .line = at->line, .column = at->column};
    snub_fail(&told, SNUB_BAD_INPUT, &place, key, format, name);
    snub_errors_add(j->errors, &told);
}

/* @return -1: noted */
static int pulley_of(const job *j, const snub_place *at, const char *key, const char *name)
{
    for (int i = 0; i < j->drive->pulley_count; i++)
        if (strcmp(j->drive->pulleys[i].name, name) == 0)
            return i;
    note(j, at, key, "the drive has no pulley of this name: %.60s", name);
    return -1;
}

/* Fail: over the limit by more than the error. Marginal: over, or not surely under. */
static snub_level level_of(const snub_spread *s, double size, double error, double limit)
{
    return size > limit + s->within * error ? SNUB_FAIL : size > limit ? SNUB_MARGINAL : SNUB_PASS;
}

static void add(const job *j, const snub_spread_check *check)
{
    j->s->check[j->s->count++] = *check;
}

/* ---- strips ------------------------------------------------------------------------------------------------------ */

/* What the strip's own error allows is the limit: the layout's wrap is no wish, but what the drawing says. */
static void check_strip(const job *j, const snub_paper_strip *p)
{
    const int i = pulley_of(j, &p->place, "strips.pulley", p->pulley);
    if (i < 0)
        return;
    const bool own =
        isnan(p->diameter) && j->drive->pulleys[i].side == SNUB_RIB && strcmp(j->drive->belt.section, "PK") != 0;
    if (own) {
        note(j, &p->place, "strips",
             "the rib tips of this section are not known: give `diameter`, over which the strip lay (%s)", p->pulley);
        return;
    }
    const double radius = 0.5 * (isnan(p->diameter) ? snub_tip_diameter(&j->drive->pulleys[i]) : p->diameter);
    const double wrap = p->arc / radius, error = j->m->arc_error / radius;
    const double off = fabs(wrap - j->path->wrap[i]), z = j->s->within;
    add(j, &(snub_spread_check){.kind = SNUB_SPREAD_WRAP,
                                .pulley = p->pulley,
                                .line = p->place.line,
                                .value = {wrap, error},
                                .expected = j->path->wrap[i],
                                .limit = z * error,
                                .basis = "error of the strip, 95 %",
                                .level = off > 2.0 * z * error ? SNUB_FAIL
                                         : off > z * error     ? SNUB_MARGINAL
                                                               : SNUB_PASS});
}

/* ---- balls ------------------------------------------------------------------------------------------------------- */

static double mean_of(const snub_over_balls *b)
{
    double sum = 0.0;
    for (int k = 0; k < b->count; k++)
        sum += b->over[k] / b->count;
    return sum;
}

/* A ball touches both flanks R/sin h + R over the point in which they meet, on either side of the pulley. */
static double over_apex(double ball, double angle)
{
    return ball / sin(0.5 * angle) + ball;
}

static void check_grooves(const job *j, const snub_over_balls *b)
{
    double low = INFINITY, high = -INFINITY;
    for (int k = 0; k < b->count; k++) {
        low = fmin(low, b->over[k]);
        high = fmax(high, b->over[k]);
    }
    const double error = sqrt(2.0) * j->m->over_error;
    if (b->count < 2)
        return;
    add(j, &(snub_spread_check){.kind = SNUB_SPREAD_GROOVES,
                                .pulley = b->pulley,
                                .line = b->place.line,
                                .value = {high - low, error},
                                .expected = NAN,
                                .limit = GROOVES,
                                .basis = "ISO 9981:2020",
                                .level = level_of(j->s, high - low, error, GROOVES)});
}

static void check_balls(const job *j, const snub_over_balls *b)
{
    const int i = pulley_of(j, &b->place, "balls.pulley", b->pulley);
    if (i < 0)
        return;
    const snub_pulley *p = &j->drive->pulleys[i];
    if (p->side != SNUB_RIB || strcmp(j->drive->belt.section, "PK") != 0) {
        note(j, &b->place, "balls", "%.60s has no grooves of section PK: of others the offset is not known", b->pulley);
        return;
    }
    const double value = mean_of(b) + over_apex(SNUB_BALL_DIAMETER, p->groove_angle) -
                         over_apex(b->ball, p->groove_angle) - SNUB_BALLS_OVER_EFFECTIVE;
    const double error = j->m->over_error / sqrt(b->count);
    add(j, &(snub_spread_check){.kind = SNUB_SPREAD_DIAMETER,
                                .pulley = b->pulley,
                                .line = b->place.line,
                                .value = {value, error},
                                .expected = p->diameter,
                                .limit = OVER_BALLS,
                                .basis = "ISO 9981:2020, over balls",
                                .level = level_of(j->s, fabs(value - p->diameter), error, OVER_BALLS)});
    check_grooves(j, b);
}

/* Two sizes of balls: W2 - W1 = (d2 - d1)(1/sin h + 1). */
static void check_angle(const job *j, const snub_over_balls *a, const snub_over_balls *b)
{
    const double step = b->ball - a->ball, rise = mean_of(b) - mean_of(a), inverse = rise / step - 1.0;
    const int i = pulley_of(j, &b->place, "balls.pulley", b->pulley);
    if (i < 0 || fabs(step) < 1e-6)
        return;
    if (!(inverse > 1.2)) { /* more than 113 deg, or no angle: not what two balls in one groove can give */
        note(j, &b->place, "balls.over", "%.60s: these balls do not sit in one groove: measure them again", b->pulley);
        return;
    }
    const double angle = 2.0 * asin(1.0 / inverse);
    const double slope = 2.0 / (inverse * inverse * sqrt(1.0 - 1.0 / (inverse * inverse)));
    const double error = slope * j->m->over_error * sqrt(1.0 / a->count + 1.0 / b->count) / fabs(step);
    const double nominal = j->drive->pulleys[i].groove_angle;
    add(j, &(snub_spread_check){.kind = SNUB_SPREAD_ANGLE,
                                .pulley = b->pulley,
                                .line = b->place.line,
                                .value = {angle, error},
                                .expected = nominal,
                                .limit = ANGLE,
                                .basis = "rule of thumb, no published source",
                                .level = level_of(j->s, fabs(angle - nominal), error, ANGLE)});
}

static void check_all_balls(const job *j)
{
    const snub_measured_spread *m = j->m;
    for (int k = 0; k < m->ball_count; k++)
        check_balls(j, &m->balls[k]);
    for (int k = 0; j->errors->count == 0 && k < m->ball_count; k++)
        for (int i = 0; i < k; i++)
            if (strcmp(m->balls[i].pulley, m->balls[k].pulley) == 0 && m->balls[i].ball != m->balls[k].ball) {
                check_angle(j, &m->balls[i], &m->balls[k]);
                break;
            }
}

/* ---- a worn belt ------------------------------------------------------------------------------------------------- */

static void check_growth(const job *j)
{
    const double *o = j->m->outside;
    if (isnan(o[0]))
        return;
    if (!(j->drive->belt.worn > 0.0)) {
        const snub_place place = {.line = 1, .column = 1};
        note(j, &place, "worn.outside", "the drive file does not say how far a belt may grow: give it `belt.worn`%s",
             "");
        return;
    }
    const double growth = o[1] / o[0] - 1.0, error = sqrt(2.0) * j->m->tape_error / o[0], limit = j->drive->belt.worn;
    const double over = growth - limit;
    add(j, &(snub_spread_check){.kind = SNUB_SPREAD_GROWTH,
                                .value = {growth, error},
                                .expected = NAN,
                                .limit = limit,
                                .basis = "`belt.worn` of the drive file",
                                .level = over > 0.0                                               ? SNUB_FAIL
                                         : growth > WATCH * limit || over > -j->s->within * error ? SNUB_MARGINAL
                                                                                                  : SNUB_PASS});
}

/* Ribs wear on their flanks: the valley opens, and a pin in it sinks until it is level with the ribs. */
static void check_pin(const job *j)
{
    const double *p = j->m->pin, error = j->m->pin_error;
    if (isnan(p[0]))
        return;
    add(j, &(snub_spread_check){.kind = SNUB_SPREAD_PIN,
                                .value = {p[1], error},
                                .expected = p[0],
                                .limit = 0.0,
                                .basis = "common practice, no published source",
                                .level = p[1] <= 0.0                                                  ? SNUB_FAIL
                                         : p[1] < (1.0 - WATCH) * p[0] || p[1] < j->s->within * error ? SNUB_MARGINAL
                                                                                                      : SNUB_PASS});
}

snub_status snub_spread_find(const snub_measured_spread *m, const snub_build *build, const snub_state *state,
                             snub_arena *arena, snub_spread *s, snub_errors *errors)
{
    *s = (snub_spread){.measured = m,
                       .within = snub_normal_value(0.5 * SNUB_ERROR_CHANCE),
                       .check = SNUB_NEW(arena, snub_spread_check, CHECKS_MOST)};
    const job j = {m, build->drive, &state->balance.path, s, errors};
    if (s->check == NULL)
        return SNUB_NO_MEMORY;
    for (int k = 0; k < m->strip_count; k++)
        check_strip(&j, &m->strips[k]);
    check_all_balls(&j);
    check_growth(&j);
    check_pin(&j);
    return errors->count > 0 ? SNUB_BAD_INPUT : SNUB_OK;
}

snub_level snub_spread_level(const snub_spread *s)
{
    snub_level worst = SNUB_PASS;
    for (int k = 0; k < s->count; k++)
        worst = s->check[k].level > worst ? s->check[k].level : worst;
    return worst;
}
