/* Curves over the rev range, of the settled build. */
#include <math.h>
#include <string.h>

#include "reading.h"
#include "snub/json.h"
#include "snub/kit.h"
#include "snub/sweep.h"

enum { POINTS_USUAL = 120 };

typedef double (*of_point)(const snub_sweep_point *point);
typedef double (*of_pulley)(const snub_sweep_pulley *pulley);

static double boost(const snub_sweep_point *point)
{
    return point->match.boost / SNUB_KPA;
}
static double boost_without_slip(const snub_sweep_point *point)
{
    return point->boost_without_slip / SNUB_KPA;
}
static double blower_power(const snub_sweep_point *point)
{
    return point->match.power / SNUB_KW;
}
static double belt_power(const snub_sweep_point *point)
{
    return point->power / SNUB_KW;
}
static double belt_speed(const snub_sweep_point *point)
{
    return point->belt_speed;
}
static double wind(const snub_sweep_point *point)
{
    return point->wind / SNUB_DEG;
}
static double wind_low(const snub_sweep_point *point)
{
    return point->wind_low / SNUB_DEG;
}
static double wind_high(const snub_sweep_point *point)
{
    return point->wind_high / SNUB_DEG;
}
static double grip(const snub_sweep_pulley *pulley)
{
    return pulley->grip_design;
}
static double turn(const snub_sweep_pulley *pulley)
{
    return pulley->speed / SNUB_RPM;
}
static double hub(const snub_sweep_pulley *pulley)
{
    return pulley->hub;
}
static double torque(const snub_sweep_pulley *pulley)
{
    return pulley->torque;
}
static double tension(const snub_sweep_pulley *pulley)
{
    return pulley->exit;
}
static double slip(const snub_sweep_pulley *pulley)
{
    return pulley->slip_speed;
}
static double heat(const snub_sweep_pulley *pulley)
{
    return pulley->heat;
}

typedef struct curves {
    const snub_sweep *sweep;
    snub_way way;
    json_t *series;
} curves;

/* Where there is no balance the curve has a gap. */
static json_t *values_of_point(const curves *all, of_point of)
{
    json_t *values = json_array();
    for (int i = 0; i < all->sweep->speeds; i++) {
        const snub_sweep_point *point = &all->sweep->point[all->way][i];
        snub_json_append(values, snub_json_number(point->solved ? of(point) : NAN));
    }
    return values;
}

static void put(curves *all, const char *kind, json_t *name, const char *unit, json_t *values)
{
    snub_json_append(all->series,
                     json_pack("{s:s, s:o, s:s, s:o}", "kind", kind, "name", name, "unit", unit, "values", values));
}

static void put_pulleys(curves *all, const char *kind, const char *unit, of_pulley of, bool spans)
{
    const snub_drive *drive = all->sweep->drive;
    for (int p = 0; p < all->sweep->pulleys; p++) {
        snub_text name = {0};
        json_t *values = json_array();
        snub_text_puts(&name, drive->pulleys[p].name);
        if (spans)
            snub_text_printf(&name, " – %s", drive->pulleys[(p + 1) % all->sweep->pulleys].name);
        for (int i = 0; i < all->sweep->speeds; i++) {
            bool solved = all->sweep->point[all->way][i].solved;
            const snub_sweep_pulley *pulley = &all->sweep->pulley[all->way][i * all->sweep->pulleys + p];
            snub_json_append(values, snub_json_number(solved ? of(pulley) : NAN));
        }
        put(all, kind, snub_json_grown(&name), unit, values);
    }
}

static json_t *sweep_json(const snub_sweep *sweep, snub_way way)
{
    curves all = {.sweep = sweep, .way = way, .series = json_array()};
    json_t *rpm = json_array();
    for (int i = 0; i < sweep->speeds; i++)
        snub_json_append(rpm, snub_json_number(sweep->speed[i] / SNUB_RPM));
    put_pulleys(&all, "grip", "", grip, false);
    put_pulleys(&all, "tension", "N", tension, true);
    put_pulleys(&all, "hub", "N", hub, false);
    put_pulleys(&all, "turn", "rpm", turn, false);
    put_pulleys(&all, "torque", "N m", torque, false);
    put_pulleys(&all, "slip", "m/s", slip, false);
    put_pulleys(&all, "heat", "W", heat, false);
    if (sweep->blower >= 0) {
        put(&all, "boost", snub_json_words("boost"), "kPa", values_of_point(&all, boost));
        put(&all, "boost", snub_json_words("without slip"), "kPa", values_of_point(&all, boost_without_slip));
        put(&all, "power", snub_json_words("blower"), "kW", values_of_point(&all, blower_power));
    }
    put(&all, "power", snub_json_words("belt"), "kW", values_of_point(&all, belt_power));
    put(&all, "speed", snub_json_words("belt"), "m/s", values_of_point(&all, belt_speed));
    if (sweep->drive->arm >= 0) {
        put(&all, "arm", snub_json_words("arm"), "deg", values_of_point(&all, wind));
        put(&all, "arm", snub_json_words("friction low"), "deg", values_of_point(&all, wind_low));
        put(&all, "arm", snub_json_words("friction high"), "deg", values_of_point(&all, wind_high));
    }
    return json_pack("{s:s, s:s, s:o, s:o, s:o}", "way", snub_way_text(way), "designation", sweep->build->designation,
                     "rpm", rpm, "arm_wind_deg", values_of_point(&all, wind), "series", all.series);
}

/* Why there are no curves of a build. */
static snub_status refuse(const snub_build *build, const snub_locale *locale, snub_error *why)
{
    snub_text words = {0};
    if (build->findings.count > 0)
        snub_finding_sentence(&build->findings.items[0], locale, &words);
    const snub_status status = snub_fail(why, SNUB_NO_EQUILIBRIUM, NULL, NULL, "%.250s",
                                         words.data != NULL ? words.data : "the belt does not fit around the pulleys");
    snub_text_free(&words);
    return status;
}

static snub_status run(serve_worker *worker, const serve_request *request, const snub_build *build, snub_sweep *sweep,
                       snub_way way, const snub_locale *locale, snub_error *why)
{
    const snub_sweep_request wanted = {.speeds = request->points ? request->points : POINTS_USUAL,
                                       .steady_only = way == SNUB_STEADY};
    if (!build->drive->engine.given)
        return snub_fail(why, SNUB_BAD_INPUT, NULL, "engine",
                         "curves need an engine with idle and redline in the file");
    if (build->judged ? !build->laid : !build->settled)
        return refuse(build, locale, why);
    const snub_status status = snub_sweep_run(build, &wanted, &worker->arena, sweep, why);
    if (status == SNUB_OK && !sweep->ran[way])
        return snub_fail(why, SNUB_BAD_INPUT, NULL, "engine", "the file gives no rate for this case");
    return status;
}

void serve_sweep(serve_worker *worker, const serve_request *request, serve_answer *answer)
{
    snub_build *build = SNUB_NEW(&worker->arena, snub_build, 1);
    snub_sweep sweep = {0};
    snub_error why = {0};
    int way = 0;
    if (!build) {
        serve_answer_problem(answer, SERVE_NO_MEMORY, NULL);
        return;
    }
    while (way < SNUB_WAYS && strcmp(request->way, snub_way_text((snub_way)way)) != 0)
        way++;
    if (way == SNUB_WAYS) {
        serve_answer_problem(
            answer, SERVE_BAD_REQUEST,
            "way must be steady, accelerating, overrun, closed throttle, no-lift shift, throttle blip or after a blip");
        return;
    }
    const serve_reading *read = serve_read_build(worker, request, true, build, answer);
    if (!read)
        return;
    if (run(worker, request, build, &sweep, (snub_way)way, &read->locale, &why) != SNUB_OK)
        serve_answer_error(answer, SERVE_NO_ANSWER, &why, request->text, request->text_length);
    else
        serve_answer_json(answer, sweep_json(&sweep, (snub_way)way));
}
