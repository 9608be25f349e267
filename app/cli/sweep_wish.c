/* Which pulley makes a wished boost, what stands against it, and what the kit has instead. */
#include "sweep_wish.h"

#include <jansson.h>
#include <math.h>
#include <string.h>

#include "snub/cautions.h"
#include "snub/report.h"
#include "snub/sweep.h"

enum { PROBLEMS_MOST = 16 };

/* One thing that stands against the wish. */
typedef struct problem {
    snub_level level;
    char text[160];
} problem;

typedef struct answer {
    const snub_drive *drive;
    int blower;
    double speed, boost; /* rad/s, Pa over ambient */
    snub_wish wish;
    problem problems[PROBLEMS_MOST];
    int problem_count;
    bool blower_pulley_fails, crank_pulley_fails;
    snub_near_offer nearest;
} answer;

/* ---- what was asked ---------------------------------------------------------------------------------------------- */

static bool ends_in(const char *text, const char *unit)
{
    const size_t length = strlen(text), tail = strlen(unit);
    return length >= tail && strcmp(text + length - tail, unit) == 0;
}

/* A boost is a difference to the ambient air: a gauge unit must not add the atmosphere, an absolute one takes off the
 * file's own. */
static bool wished_boost(const cli_run *run, const snub_air *air, double *boost)
{
    const char *text = cli_value(run, "want-boost");
    if (!cli_quantity(run, "want-boost", SNUB_Q_PRESSURE, boost))
        return false;
    if (strstr(text, "psig") || strstr(text, "barg"))
        *boost -= SNUB_ATMOSPHERE;
    if (!ends_in(text, "psia"))
        return true;
    *boost -= air->pressure;
    if (*boost > 0)
        return true;
    cli_usage_error(run, "--want-boost %.40s: that is no more than the ambient air's %.1f kPa (%.2f psia)", text,
                    air->pressure / SNUB_KPA, air->pressure / SNUB_PSI);
    return false;
}

static bool wished_speed(const cli_run *run, const snub_engine *engine, double *speed)
{
    *speed = engine->redline;
    if (!cli_quantity(run, "rpm", SNUB_Q_TURN_SPEED, speed))
        return false;
    if (*speed >= engine->idle * (1 - 1e-9) && *speed <= engine->redline * (1 + 1e-9))
        return true;
    cli_usage_error(run, "--rpm %.6g is %s, %.6g rpm", *speed / SNUB_RPM,
                    *speed > engine->redline ? "over the engine's redline" : "under the engine's idle speed",
                    (*speed > engine->redline ? engine->redline : engine->idle) / SNUB_RPM);
    return false;
}

/* ---- what stands against it -------------------------------------------------------------------------------------- */

static void against(answer *a, snub_level level, const char *format, ...) __attribute__((format(printf, 3, 4)));
static void against(answer *a, snub_level level, const char *format, ...)
{
    if (a->problem_count == PROBLEMS_MOST)
        return;
    problem *p = &a->problems[a->problem_count++];
    p->level = level;
    va_list arguments;
    va_start(arguments, format);
    (void)vsnprintf(p->text, sizeof p->text, format, arguments);
    va_end(arguments);
}

/* The blower pulley against the smallest that its belt allows: effective diameters, as in the rules. */
static void judge_pulley(answer *a)
{
    const snub_drive *drive = a->drive;
    const snub_pulley *pulley = &drive->pulleys[a->blower];
    const double more = a->wish.blower_diameter - pulley->nominal_diameter, diameter = pulley->diameter + more;
    const double least =
        fmax(drive->limits[drive->belt.ribs <= 6 ? SNUB_LIMIT_BLOWER_DIAMETER_6 : SNUB_LIMIT_BLOWER_DIAMETER_8],
             drive->limits[SNUB_LIMIT_RIB_DIAMETER]);
    a->blower_pulley_fails = diameter < least;
    if (!a->blower_pulley_fails)
        return;
    against(a, SNUB_FAIL, "no blower pulley reaches it: it would be %.1f mm, the smallest for %d ribs is %.1f mm",
            a->wish.blower_diameter / SNUB_MM, drive->belt.ribs,
            (least - diameter + a->wish.blower_diameter) / SNUB_MM);
}

static void judge_air(answer *a)
{
    const snub_match_result *m = &a->wish.match;
    const double hottest = a->drive->limits[SNUB_LIMIT_CHARGE_TEMPERATURE];
    if (a->wish.rotor_overspeed > 0)
        against(a, SNUB_FAIL, "the rotor would turn %.0f rpm at redline, %.1f %% over its limit",
                a->wish.rotor_speed_redline / SNUB_RPM, a->wish.rotor_overspeed / SNUB_PERCENT);
    if (m->outlet_temperature > hottest)
        against(a, SNUB_MARGINAL, "the air would leave the blower at %.0f degC, over %.0f degC",
                m->outlet_temperature - SNUB_ZERO_CELSIUS, hottest - SNUB_ZERO_CELSIUS);
    if (m->flags & SNUB_MATCH_OUTSIDE_MAP)
        against(a, SNUB_MARGINAL, "the blower would work outside of its map, by %.0f %%: this answer is extrapolated",
                m->outside / SNUB_PERCENT);
    if (m->flags & SNUB_MATCH_SURGE)
        against(a, SNUB_MARGINAL, "the blower would work left of its surge point");
}

/* What the larger crank pulley drives over a limit at redline. */
static void judge_crank(answer *a)
{
    const snub_drive *drive = a->drive;
    const double faster = 1 + a->wish.others_faster;
    const double belt = drive->engine.redline * drive->pulleys[drive->crank].pitch_radius * faster;
    for (int i = 0; i < drive->pulley_count; i++) {
        const snub_pulley *p = &drive->pulleys[i];
        const double speed = drive->engine.redline * snub_speed_ratio(drive, i) * faster;
        if (i != drive->crank && !p->has_blower && p->max_speed > 0 && speed > p->max_speed) {
            a->crank_pulley_fails = true;
            against(a, SNUB_FAIL, "with that crank pulley %.40s would turn %.0f rpm at redline, its limit is %.0f rpm",
                    p->name, speed / SNUB_RPM, p->max_speed / SNUB_RPM);
        }
    }
    if (belt > drive->limits[SNUB_LIMIT_BELT_SPEED])
        against(a, SNUB_MARGINAL, "with that crank pulley the belt would run at %.1f m/s at redline, over %.0f m/s",
                belt, drive->limits[SNUB_LIMIT_BELT_SPEED]);
}

/* Both pulleys are answers: where one fails the other is left; the rotor's limit stands against both. */
static int code_of(const answer *a)
{
    return a->wish.rotor_overspeed > 0 || (a->blower_pulley_fails && a->crank_pulley_fails) ? CLI_FAIL : CLI_PASS;
}

/* ---- in JSON ----------------------------------------------------------------------------------------------------- */

static json_t *problems_json(const answer *a)
{
    json_t *list = json_array();
    for (int i = 0; i < a->problem_count; i++)
        json_array_append_new(
            list, json_pack("{s:s, s:s}", "level", snub_level_text(a->problems[i].level), "text", a->problems[i].text));
    return list;
}

static json_t *number(double value)
{
    return isfinite(value) ? json_real(value) : json_null();
}

static json_t *nearest_json(const answer *a)
{
    const snub_near_offer *n = &a->nearest;
    int count;
    const snub_weather *weathers = snub_weathers(&count);
    if (!n->found)
        return json_null();
    json_t *object = snub_json_offer(&n->offer), *list = json_array();
    json_object_set_new(object, "diameter_mm",
                        number(n->offer.build->drive->pulleys[n->blower].nominal_diameter / SNUB_MM));
    json_object_set_new(object, "boost_kPa", number(n->match.boost / SNUB_KPA));
    for (int i = 0; i < count; i++)
        json_array_append_new(list, json_pack("{s:s, s:f, s:f, s:o}", "weather", weathers[i].name, "altitude_m",
                                              weathers[i].altitude, "temperature_degC",
                                              weathers[i].temperature - SNUB_ZERO_CELSIUS, "boost_kPa",
                                              number(n->boost_in[i] / SNUB_KPA)));
    json_object_set_new(object, "other_weather", list);
    return object;
}

static json_t *answer_json(const answer *a)
{
    const snub_wish *wish = &a->wish;
    json_t *object = json_pack(
        "{s:i, s:s, s:f, s:f, s:f, s:f, s:f, s:f, s:f, s:f, s:f, s:f, s:f, s:f, s:f}", "snub", 1, "blower",
        a->drive->pulleys[a->blower].name, "at_rpm", a->speed / SNUB_RPM, "boost_kPa", a->boost / SNUB_KPA,
        "absolute_kPa", (a->boost + a->drive->air.pressure) / SNUB_KPA, "ratio", wish->ratio, "ratio_now",
        wish->ratio_now, "blower_diameter_mm", wish->blower_diameter / SNUB_MM, "crank_diameter_mm",
        wish->crank_diameter / SNUB_MM, "redline_rotor_rpm", wish->rotor_speed_redline / SNUB_RPM, "others_faster_pct",
        wish->others_faster / SNUB_PERCENT, "blower_power_kW", wish->match.power / SNUB_KW, "outlet_temperature_degC",
        wish->match.outlet_temperature - SNUB_ZERO_CELSIUS, "air_flow_kg_s", wish->match.mass_flow,
        "estimated_crank_power_kW", wish->match.crank_power / SNUB_KW);
    if (object && isfinite(wish->rotor_overspeed))
        json_object_set_new(object, "rotor_overspeed_pct", json_real(wish->rotor_overspeed / SNUB_PERCENT));
    if (object) {
        json_object_set_new(object, "problems", problems_json(a));
        json_object_set_new(object, "nearest", nearest_json(a));
    }
    return object;
}

/* ---- for people -------------------------------------------------------------------------------------------------- */

static void say_wish(const answer *a, snub_text *text)
{
    const snub_wish *wish = &a->wish;
    const snub_match_result *m = &wish->match;
    const snub_pulley *pulley = &a->drive->pulleys[a->blower], *crank = &a->drive->pulleys[a->drive->crank];
    const double absolute = a->boost + a->drive->air.pressure;
    snub_text_printf(text,
                     "%.1f kPa (%.2f psi) of boost, %.1f kPa (%.2f psi) absolute, at %.0f rpm, without belt slip:\n"
                     "%s turns %.3f per crank turn (now %.3f)\n\n",
                     a->boost / SNUB_KPA, a->boost / SNUB_PSI, absolute / SNUB_KPA, absolute / SNUB_PSI,
                     a->speed / SNUB_RPM, pulley->name, wish->ratio, wish->ratio_now);
    snub_text_printf(text, "either %s pulley %.1f mm (now %.1f mm), crank pulley as it is\n", pulley->name,
                     wish->blower_diameter / SNUB_MM, pulley->nominal_diameter / SNUB_MM);
    snub_text_printf(text, "or     crank pulley %.1f mm (now %.1f mm): belt and every other pulley %+.1f %%\n",
                     wish->crank_diameter / SNUB_MM, crank->nominal_diameter / SNUB_MM,
                     wish->others_faster / SNUB_PERCENT);
    for (int i = 0; i < a->problem_count; i++)
        snub_text_printf(text, "   %s %s\n", a->problems[i].level == SNUB_FAIL ? "FAIL" : "MARGINAL",
                         a->problems[i].text);
    snub_text_printf(text, "\nrotor at redline %.0f rpm", wish->rotor_speed_redline / SNUB_RPM);
    if (isfinite(wish->rotor_overspeed))
        snub_text_printf(text, ", %.1f %% %s its limit", fabs(wish->rotor_overspeed) / SNUB_PERCENT,
                         wish->rotor_overspeed > 0 ? "over" : "under");
    snub_text_printf(text,
                     "\nblower takes %.1f kW, %.1f N m; air leaves it at %.0f degC, enters the engine at %.0f degC, "
                     "%.3f kg/s\nestimated crank power %.0f kW\n",
                     m->power / SNUB_KW, m->torque, m->outlet_temperature - SNUB_ZERO_CELSIUS,
                     m->charge_temperature - SNUB_ZERO_CELSIUS, m->mass_flow, m->crank_power / SNUB_KW);
    snub_text words = {0};
    snub_blower_assumptions(&pulley->blower, &words);
    if (words.length > 0)
        snub_text_printf(text, "%s\n", words.data + 1);
    text->failed = text->failed || words.failed;
    snub_text_free(&words);
}

static void say_boost(const char *when, double pressure, double temperature, double boost, snub_text *text)
{
    snub_text_printf(text, "   %s, %.0f degC, %.1f kPa: ", when, temperature - SNUB_ZERO_CELSIUS, pressure / SNUB_KPA);
    if (isfinite(boost))
        snub_text_printf(text, "%.1f kPa (%.2f psi)\n", boost / SNUB_KPA, boost / SNUB_PSI);
    else
        snub_text_puts(text, "blower and engine find no balance\n");
}

static void say_nearest(const answer *a, bool wet, const snub_look *look, snub_text *text)
{
    const snub_near_offer *n = &a->nearest;
    int count;
    const snub_weather *weathers = snub_weathers(&count);
    if (!n->found) {
        snub_text_puts(text, "\nThe file's options offer no other blower pulley.\n");
        return;
    }
    const snub_build *build = n->offer.build;
    snub_text words = {0};
    snub_text_printf(text, "\nnearest in the kit: %.1f mm, at %.0f rpm\n",
                     build->drive->pulleys[n->blower].nominal_diameter / SNUB_MM, a->speed / SNUB_RPM);
    say_boost("today", a->drive->air.pressure, a->drive->air.temperature, n->match.boost, text);
    for (int i = 0; i < count; i++) {
        double pressure = NAN;
        (void)snub_standard_atmosphere(weathers[i].altitude, NULL, &pressure, NULL);
        say_boost(weathers[i].name, pressure, weathers[i].temperature, n->boost_in[i], text);
    }
    if (wet)
        snub_text_puts(&words, "With a wet belt: ");
    snub_offer_words(&n->offer, wet, NULL, &words);
    for (int i = 0; i < build->drive->pulley_count; i++)
        if (build->drive->pulleys[i].sits == SNUB_ON_SLOT && isfinite(build->settings[i]))
            snub_text_printf(&words, "; %s at %.1f mm of its slot", build->drive->pulleys[i].name,
                             build->settings[i] / SNUB_MM);
    snub_text_puts(&words, ".");
    snub_text_puts(text, "   ");
    snub_wrap(words.data ? words.data : "", 3, 3, look->width, text);
    text->failed = text->failed || words.failed;
    snub_text_free(&words);
    snub_text_printf(text, "Check it next: snub sweep FILE --free --set \"%.80s.diameter=%.40s\"\n",
                     build->drive->pulleys[n->blower].name, n->offer.value);
}

static int print(cli_run *run, const answer *a, bool json)
{
    const snub_look look = {.width = run->width, .colour = run->colour && !cli_has(run, "output")};
    snub_text text = {0};
    snub_error error;
    snub_status status = SNUB_OK;
    if (json) {
        json_t *object = answer_json(a);
        cli_add_hints(run, object);
        status = object ? snub_json_text(object, &text, &error)
                        : snub_fail(&error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
        json_decref(object);
    } else {
        say_wish(a, &text);
        say_nearest(a, cli_has(run, "wet"), &look, &text);
        snub_text_puts(&text, "\n");
        snub_cautions_show(SNUB_CAUTION_BIT(SNUB_CAUTION_CRANK) | SNUB_CAUTION_BIT(SNUB_CAUTION_OVERSPEED), &look,
                           &text);
    }
    const int code =
        status == SNUB_OK ? cli_put(cli_value(run, "output"), &text, code_of(a)) : cli_error(&error, NULL, 0);
    snub_text_free(&text);
    return code;
}

/* ---- all --------------------------------------------------------------------------------------------------------- */

int cli_wish(cli_run *run, const cli_drive *loaded, bool json, const snub_build **nearest)
{
    const snub_build_request settle = {.settle_only = true};
    answer *a = SNUB_NEW(&run->arena, answer, 1);
    snub_row row;
    snub_build *build = SNUB_NEW(&run->arena, snub_build, 1);
    snub_error error;
    if (!a || !build)
        return cli_usage_error(run, "out of memory");
    if (!cli_own_row(run, loaded, cli_value(run, "variant"), &row) ||
        !cli_make_build(run, loaded, &row, &settle, build))
        return CLI_BAD;
    a->drive = build->drive;
    a->blower = snub_first_blower(a->drive);
    if (a->blower < 0)
        return cli_usage_error(run, "the file has no blower, so there is no boost");
    if (!wished_boost(run, &a->drive->air, &a->boost) || !wished_speed(run, &a->drive->engine, &a->speed))
        return CLI_BAD;
    snub_sweep_request request = {0};
    if (cli_has(run, "wet"))
        request.friction = 1 - a->drive->belt.wet;
    snub_status status = snub_wish_for_boost(a->drive, a->blower, a->speed, a->boost, &a->wish, &error);
    if (status == SNUB_OK)
        status = snub_nearest_offer(&loaded->document, &loaded->reading, build, &request, a->speed, a->boost,
                                    &run->arena, &a->nearest, &error);
    if (status != SNUB_OK)
        return cli_error(&error, loaded->document.source, loaded->document.source_length);
    judge_pulley(a);
    judge_air(a);
    judge_crank(a);
    if (a->nearest.found && a->nearest.offer.build->laid)
        *nearest = a->nearest.offer.build;
    return print(run, a, json);
}
