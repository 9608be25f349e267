/* Which pulley makes a wished boost, what stands against it, and what the kit has instead. */
#include "sweep_wish.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "snub/cautions.h"
#include "snub/json.h"
#include "snub/report.h"
#include "snub/sweep.h"

enum { PROBLEMS_MOST = 16 };

/* One thing that stands against the wish. */
typedef struct problem {
    snub_level level;
    char text[160];
} problem;

typedef struct answer {
    const cli_run *run;
    const snub_drive *drive;
    int blower;
    double speed, boost; /* rad/s, Pa over ambient */
    snub_wish wish;
    const snub_locale *locale;
    problem problems[PROBLEMS_MOST];
    int problem_count;
    bool blower_pulley_fails, crank_pulley_fails;
    snub_near_offer nearest;
} answer;

/* A piece of a sentence, in the units asked for. */
#define PIECE ((char[SNUB_VALUE_TEXT]){0})
#define SHOWN(a, si, unit, decimals) snub_value_string((a)->locale, si, unit, decimals, PIECE)

/* Metric shops speak of boost in psi as well. */
static const char *pressure_text(const answer *a, double pressure, char text[SNUB_VALUE_TEXT])
{
    if (a->locale->inches)
        return snub_value_string(a->locale, pressure, SNUB_UNIT_KPA, 1, text);
    (void)snprintf(text, SNUB_VALUE_TEXT, "%.1f kPa (%.2f psi)", pressure / SNUB_KPA, pressure / SNUB_PSI);
    return text;
}

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
    against(a, SNUB_FAIL, "no blower pulley reaches it: it would be %s, the smallest for %d ribs is %s",
            SHOWN(a, a->wish.blower_diameter, SNUB_UNIT_MM, 1), drive->belt.ribs,
            SHOWN(a, least - diameter + a->wish.blower_diameter, SNUB_UNIT_MM, 1));
}

static void judge_air(answer *a)
{
    const snub_match_result *m = &a->wish.match;
    const double hottest = a->drive->limits[SNUB_LIMIT_CHARGE_TEMPERATURE];
    if (a->wish.rotor_overspeed > 0)
        against(a, SNUB_FAIL, "the rotor would turn %.0f rpm at redline, %.1f %% over its limit",
                a->wish.rotor_speed_redline / SNUB_RPM, a->wish.rotor_overspeed / SNUB_PERCENT);
    if (m->outlet_temperature > hottest)
        against(a, SNUB_MARGINAL, "the air would leave the blower at %s, over %s",
                SHOWN(a, m->outlet_temperature, SNUB_UNIT_DEGC, 0), SHOWN(a, hottest, SNUB_UNIT_DEGC, 0));
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
        against(a, SNUB_MARGINAL, "with that crank pulley the belt would run at %s at redline, over %s",
                SHOWN(a, belt, SNUB_UNIT_M_S, 1), SHOWN(a, drive->limits[SNUB_LIMIT_BELT_SPEED], SNUB_UNIT_M_S, 0));
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
        snub_json_append(
            list, json_pack("{s:s, s:s}", "level", snub_level_text(a->problems[i].level), "text", a->problems[i].text));
    return list;
}

static json_t *nearest_json(const answer *a)
{
    const snub_near_offer *n = &a->nearest;
    int count;
    const snub_weather *weathers = snub_weathers(&count);
    if (!n->found)
        return json_null();
    json_t *object = snub_json_offer(&n->offer), *list = json_array();
    snub_json_put(object, "diameter_mm",
                  snub_json_number(n->offer.build->drive->pulleys[n->blower].nominal_diameter / SNUB_MM));
    snub_json_put(object, "boost_kPa", snub_json_number(n->match.boost / SNUB_KPA));
    for (int i = 0; i < count; i++)
        snub_json_append(list, json_pack("{s:s, s:f, s:f, s:o}", "weather", weathers[i].name, "altitude_m",
                                         weathers[i].altitude, "temperature_degC",
                                         weathers[i].temperature - SNUB_ZERO_CELSIUS, "boost_kPa",
                                         snub_json_number(n->boost_in[i] / SNUB_KPA)));
    snub_json_put(object, "other_weather", list);
    return object;
}

static json_t *answer_json(const answer *a)
{
    const snub_wish *wish = &a->wish;
    const struct {
        const char *key;
        double value;
    } numbers[] = {
        {"at_rpm", a->speed / SNUB_RPM},
        {"boost_kPa", a->boost / SNUB_KPA},
        {"absolute_kPa", (a->boost + a->drive->air.pressure) / SNUB_KPA},
        {"ratio", wish->ratio},
        {"ratio_now", wish->ratio_now},
        {"blower_diameter_mm", wish->blower_diameter / SNUB_MM},
        {"crank_diameter_mm", wish->crank_diameter / SNUB_MM},
        {"redline_rotor_rpm", wish->rotor_speed_redline / SNUB_RPM},
        {"others_faster_pct", wish->others_faster / SNUB_PERCENT},
        {"blower_power_kW", wish->match.power / SNUB_KW},
        {"outlet_temperature_degC", wish->match.outlet_temperature - SNUB_ZERO_CELSIUS},
        {"air_flow_kg_s", wish->match.mass_flow},
        {"estimated_crank_power_kW", wish->match.crank_power / SNUB_KW},
    };
    json_t *object = json_object();
    snub_json_put(object, "snub", json_integer(1));
    snub_json_put(object, "blower", snub_json_words(a->drive->pulleys[a->blower].name));
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++)
        snub_json_put(object, numbers[i].key, snub_json_number(numbers[i].value));
    if (isfinite(wish->rotor_overspeed))
        snub_json_put(object, "rotor_overspeed_pct", snub_json_number(wish->rotor_overspeed / SNUB_PERCENT));
    snub_json_put(object, "problems", problems_json(a));
    snub_json_put(object, "nearest", nearest_json(a));
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
                     "%s of boost, %s absolute, at %.0f rpm, without belt slip:\n"
                     "%s turns %.3f per crank turn (now %.3f)\n\n",
                     pressure_text(a, a->boost, PIECE), pressure_text(a, absolute, PIECE), a->speed / SNUB_RPM,
                     pulley->name, wish->ratio, wish->ratio_now);
    snub_text_printf(text, "either %s pulley %s (now %s), crank pulley as it is\n", pulley->name,
                     SHOWN(a, wish->blower_diameter, SNUB_UNIT_MM, 1),
                     SHOWN(a, pulley->nominal_diameter, SNUB_UNIT_MM, 1));
    snub_text_printf(text, "or     crank pulley %s (now %s): belt and every other pulley %+.1f %%\n",
                     SHOWN(a, wish->crank_diameter, SNUB_UNIT_MM, 1),
                     SHOWN(a, crank->nominal_diameter, SNUB_UNIT_MM, 1), wish->others_faster / SNUB_PERCENT);
    for (int i = 0; i < a->problem_count; i++)
        snub_text_printf(text, "   %s %s\n", a->problems[i].level == SNUB_FAIL ? "FAIL" : "MARGINAL",
                         a->problems[i].text);
    snub_text_printf(text, "\nrotor at redline %.0f rpm", wish->rotor_speed_redline / SNUB_RPM);
    if (isfinite(wish->rotor_overspeed))
        snub_text_printf(text, ", %.1f %% %s its limit", fabs(wish->rotor_overspeed) / SNUB_PERCENT,
                         wish->rotor_overspeed > 0 ? "over" : "under");
    snub_text_printf(text,
                     "\nblower takes %s, %s; air leaves it at %s, enters the engine at %s, "
                     "%s\nestimated crank power %s\n",
                     SHOWN(a, m->power, SNUB_UNIT_KW, 1), SHOWN(a, m->torque, SNUB_UNIT_N_M, 1),
                     SHOWN(a, m->outlet_temperature, SNUB_UNIT_DEGC, 0),
                     SHOWN(a, m->charge_temperature, SNUB_UNIT_DEGC, 0), SHOWN(a, m->mass_flow, SNUB_UNIT_KG_S, 3),
                     SHOWN(a, m->crank_power, SNUB_UNIT_KW, 0));
    snub_text words = {0};
    snub_blower_assumptions(&pulley->blower, a->locale, &words);
    if (words.length > 0)
        snub_text_printf(text, "%s\n", words.data + 1);
    text->failed = text->failed || words.failed;
    snub_text_free(&words);
}

static void say_boost(const answer *a, const char *when, double pressure, double temperature, double boost,
                      snub_text *text)
{
    snub_text_printf(text, "   %s, %s, %s: ", when, SHOWN(a, temperature, SNUB_UNIT_DEGC, 0),
                     SHOWN(a, pressure, SNUB_UNIT_KPA, 1));
    if (isfinite(boost))
        snub_text_printf(text, "%s\n", pressure_text(a, boost, PIECE));
    else
        snub_text_puts(text, "blower and engine find no balance\n");
}

/* The kit's pulley under the options of this run; the file's option says which key has its diameter. */
static void say_next(const answer *a, snub_text *text)
{
    const snub_near_offer *n = &a->nearest;
    const snub_option *option = snub_diameter_option(a->drive, a->blower);
    char change[256];
    (void)snprintf(change, sizeof change, "%.200s=%.40s", option != NULL ? option->path : "", n->offer.value);
    snub_text_puts(text, "Check it next: ");
    cli_again(a->run, "sweep", text);
    snub_text_printf(text, "%s%s --set ", cli_has(a->run, "wet") ? " --wet" : "",
                     cli_has(a->run, "free") ? "" : " --free");
    snub_text_shell(text, change);
    snub_text_puts(text, "\n");
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
    snub_text_printf(text, "\nnearest in the kit: %s, at %.0f rpm\n",
                     SHOWN(a, build->drive->pulleys[n->blower].nominal_diameter, SNUB_UNIT_MM, 1), a->speed / SNUB_RPM);
    say_boost(a, "today", a->drive->air.pressure, a->drive->air.temperature, n->match.boost, text);
    for (int i = 0; i < count; i++) {
        double pressure = NAN;
        (void)snub_standard_atmosphere(weathers[i].altitude, NULL, &pressure, NULL);
        say_boost(a, weathers[i].name, pressure, weathers[i].temperature, n->boost_in[i], text);
    }
    if (wet)
        snub_text_puts(&words, "With a wet belt: ");
    snub_offer_words(&n->offer, wet, a->locale, &words);
    for (int i = 0; i < build->drive->pulley_count; i++)
        if (build->drive->pulleys[i].sits == SNUB_ON_SLOT && isfinite(build->settings[i]))
            snub_text_printf(&words, "; %s at %s of its slot", build->drive->pulleys[i].name,
                             SHOWN(a, build->settings[i], SNUB_UNIT_MM, 1));
    snub_text_puts(&words, ".");
    snub_text_puts(text, "   ");
    snub_wrap(words.data ? words.data : "", 3, 3, look->width, text);
    text->failed = text->failed || words.failed;
    snub_text_free(&words);
    say_next(a, text);
}

static int print(cli_run *run, const answer *a, bool json)
{
    const snub_look look = {
        .width = run->width, .colour = run->colour && !cli_has(run, "output"), .locale = &run->locale};
    snub_text text = {0};
    snub_error error;
    snub_status status = SNUB_OK;
    if (json) {
        status = cli_json_text(run, answer_json(a), &text, &error);
    } else {
        say_wish(a, &text);
        say_nearest(a, cli_has(run, "wet"), &look, &text);
        snub_text_puts(&text, "\n");
        snub_cautions_show(SNUB_CAUTION_BIT(SNUB_CAUTION_CRANK) | SNUB_CAUTION_BIT(SNUB_CAUTION_OVERSPEED), &look,
                           &text);
    }
    const int code =
        status == SNUB_OK ? cli_put(run, cli_value(run, "output"), &text, code_of(a)) : cli_error(&error, NULL, 0);
    snub_text_free(&text);
    return code;
}

/* ---- all --------------------------------------------------------------------------------------------------------- */

int cli_wish(cli_run *run, const cli_drive *loaded, bool json, const snub_build **nearest)
{
    const snub_build_request settle = {.settle_only = true};
    answer *a = SNUB_NEW(&run->arena, answer, 1);
    const snub_named_rows named = cli_named(run);
    snub_row row;
    snub_build *build = SNUB_NEW(&run->arena, snub_build, 1);
    snub_error error;
    if (!a || !build)
        return cli_usage_error(run, "out of memory");
    if (!cli_own_row(run, loaded, &named, &row) || !cli_make_build(run, loaded, &row, &settle, build))
        return CLI_BAD;
    a->run = run;
    a->drive = build->drive;
    a->locale = &run->locale;
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
