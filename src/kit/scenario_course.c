/* What the engine does over time. Numbers that the file does not give are rules of thumb, no published source. */
#include "scenario_course.h"

static const double RISE = 1500.0 * SNUB_RPM, FALL = 5000.0 * SNUB_RPM, BLIP = 6000.0 * SNUB_RPM; /* rad/s2 */
static const double THROTTLE = 0.08;               /* s that the throttle takes from one end to the other */
static const double LEAD = 0.5, REST = 1.0;        /* s at the first and at the last speed */
static const double SHIFT_TO = 0.7, BLIP_TO = 0.6; /* of redline */
static const double LAUNCH_FROM = 0.65, LAUNCH_TO = 0.35, LAUNCH_TAKES = 0.15; /* of redline, s */

const char *snub_scenario_name(snub_scenario scenario)
{
    static const char *const names[] = {"pull", "shift", "lift", "blip", "launch", "hold", "engage"};
    return names[scenario];
}

const char *snub_scenario_text(snub_scenario scenario)
{
    static const char *const texts[] = {
        "from idle to redline with the throttle open, and back to idle with it closed",
        "pulling to redline, a gear change with the throttle closed, and pulling again",
        "the throttle is closed at full speed, and the engine falls to idle",
        "out of gear at idle, the throttle is snapped open and closed again",
        "the clutch is dropped with the engine turning high, and it pulls away",
        "one speed with the throttle open",
        "one speed with the throttle open, and the blower's clutch closes",
    };
    return texts[scenario];
}

const char *snub_course_assumed_text(snub_course_assumed what)
{
    switch (what) {
    case SNUB_ASSUMED_RISE: return "the engine gains 1500 rpm/s (engine.accel_rate)";
    case SNUB_ASSUMED_FALL: return "it loses 5000 rpm/s (engine.decel_rate)";
    case SNUB_ASSUMED_BLIP: return "a blip gains 6000 rpm/s (engine.blips)";
    case SNUB_ASSUMED_THROTTLE: return "the throttle takes 0.08 s to open or close";
    case SNUB_ASSUMED_SHIFT: return "the next gear turns the engine at 70 % of redline";
    case SNUB_ASSUMED_LAUNCH: return "the clutch is dropped at 65 % of redline and takes the engine to 35 % in 0.15 s";
    case SNUB_ASSUMED_CLUTCH:
        return "the clutch carries 1.5 times the blower's greatest torque from idle to redline (--clutch-torque)";
    case SNUB_ASSUMED_CLOSING: return "its torque takes 0.1 s to rise (--clutch-rise)";
    case SNUB_ASSUMED_BLIP_TO: return "the blip goes to 60 % of redline";
    }
    return "";
}

static void add(snub_course *c, double takes, double speed, double open)
{
    const int k = c->count++;
    c->time[k] = k > 0 ? c->time[k - 1] + takes : 0.0;
    c->speed[k] = speed;
    c->open[k] = open;
    c->angle[k] = k > 0 ? c->angle[k - 1] + 0.5 * (speed + c->speed[k - 1]) * takes : 0.0;
}

/* On to a speed at a rate, the throttle moving at first. */
static void go(snub_course *c, double speed, double rate, double open)
{
    const double from = c->speed[c->count - 1], takes = fabs(speed - from) / rate;
    if (c->open[c->count - 1] != open && takes > THROTTLE) {
        add(c, THROTTLE, from + (speed - from) * THROTTLE / takes, open);
        c->assumed |= SNUB_ASSUMED_THROTTLE;
        add(c, takes - THROTTLE, speed, open);
    } else if (takes > 0.0) {
        add(c, takes, speed, open);
    }
}

static double or_assumed(double given, double otherwise, snub_course_assumed what, snub_course *course)
{
    course->assumed |= given > 0.0 ? 0U : (unsigned)what;
    return given > 0.0 ? given : otherwise;
}

static void pull(const snub_engine *e, snub_course *c)
{
    add(c, 0.0, e->idle, 0.0);
    add(c, LEAD, e->idle, 0.0);
    go(c, e->redline, or_assumed(e->accel_rate, RISE, SNUB_ASSUMED_RISE, c), 1.0);
    add(c, LEAD, e->redline, 1.0);
    go(c, e->idle, or_assumed(e->decel_rate, FALL, SNUB_ASSUMED_FALL, c), 0.0);
    add(c, REST, e->idle, 0.0);
}

static void shift(const snub_engine *e, snub_course *c)
{
    const double low = fmax(SHIFT_TO * e->redline, e->idle),
                 rise = or_assumed(e->accel_rate, RISE, SNUB_ASSUMED_RISE, c);
    add(c, 0.0, low, 1.0);
    add(c, LEAD, low, 1.0);
    go(c, e->redline, rise, 1.0);
    go(c, low, or_assumed(e->decel_rate, FALL, SNUB_ASSUMED_FALL, c), 0.0);
    go(c, e->redline, rise, 1.0);
    add(c, LEAD, e->redline, 1.0);
    c->assumed |= SNUB_ASSUMED_SHIFT;
}

static void lift(const snub_engine *e, snub_course *c)
{
    add(c, 0.0, e->redline, 1.0);
    add(c, LEAD, e->redline, 1.0);
    go(c, e->idle, or_assumed(e->decel_rate, FALL, SNUB_ASSUMED_FALL, c), 0.0);
    add(c, REST, e->idle, 0.0);
}

static void blip(const snub_engine *e, snub_course *c)
{
    const double rise = or_assumed(e->blips, BLIP, SNUB_ASSUMED_BLIP, c);
    const double fall = fmin(or_assumed(e->decel_rate, FALL, SNUB_ASSUMED_FALL, c), rise);
    add(c, 0.0, e->idle, 0.0);
    add(c, LEAD, e->idle, 0.0);
    go(c, fmax(BLIP_TO * e->redline, e->idle), rise, 1.0);
    go(c, e->idle, fall, 0.0);
    add(c, REST, e->idle, 0.0);
    c->assumed |= SNUB_ASSUMED_BLIP_TO;
}

static void launch(const snub_engine *e, snub_course *c)
{
    const double high = fmax(LAUNCH_FROM * e->redline, e->idle), low = fmax(LAUNCH_TO * e->redline, e->idle);
    add(c, 0.0, high, 1.0);
    add(c, LEAD, high, 1.0);
    add(c, LAUNCH_TAKES, low, 1.0);
    go(c, high, or_assumed(e->accel_rate, RISE, SNUB_ASSUMED_RISE, c), 1.0);
    add(c, LEAD, high, 1.0);
    c->assumed |= SNUB_ASSUMED_LAUNCH;
}

snub_status snub_course_make(const snub_engine *engine, const snub_scenario_request *request, snub_course *course,
                             snub_error *error)
{
    const double held = isnan(request->speed) ? engine->idle : request->speed;
    *course = (snub_course){.count = 0};
    if (!engine->given)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "engine",
                         "a run needs an engine: give engine.idle and engine.redline");
    if (request->scenario >= SNUB_SCENARIO_HOLD && !(held > 0.0 && request->length > 0.0))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "a run needs a speed and a length over 0");
    switch (request->scenario) {
    case SNUB_SCENARIO_PULL: pull(engine, course); break;
    case SNUB_SCENARIO_SHIFT: shift(engine, course); break;
    case SNUB_SCENARIO_LIFT: lift(engine, course); break;
    case SNUB_SCENARIO_BLIP: blip(engine, course); break;
    case SNUB_SCENARIO_LAUNCH: launch(engine, course); break;
    default: add(course, 0.0, held, 1.0); add(course, request->length, held, 1.0);
    }
    return SNUB_OK;
}

int snub_course_at(const snub_course *course, double time)
{
    int k = 0;
    while (k < course->count - 2 && time >= course->time[k + 1])
        k++;
    return k;
}

double snub_course_open(const snub_course *course, double time)
{
    const int k = snub_course_at(course, time);
    const double share = (time - course->time[k]) / (course->time[k + 1] - course->time[k]);
    return course->open[k] + (course->open[k + 1] - course->open[k]) * fmin(share, 1.0);
}
