/* The list of a chart's columns, each with its value. */
#include "columns.h"

#include <math.h>
#include <string.h>

#include "snub/cautions.h"
#include "table.h"
#include "words.h"

/* ---- values ------------------------------------------------------------------------------------------------------ */

static const snub_charted *build_at(const snub_columns_of *of, int build)
{
    return &of->chart->builds[build];
}

const snub_findings *snub_columns_findings(snub_columns_of *of, int build)
{
    if (of->findings_of != build + 1) {
        of->failed = !snub_charted_findings(build_at(of, build), of->arena, &of->findings) || of->failed;
        of->findings_of = build + 1;
    }
    return &of->findings;
}

static snub_column_value number(double value)
{
    return (snub_column_value){.number = value};
}

static snub_column_value text(snub_columns_of *of, const char *words)
{
    of->failed = of->failed || words == NULL;
    return (snub_column_value){.number = NAN, .text = words != NULL && words[0] != '\0' ? words : NULL};
}

static snub_column_value v_build(snub_columns_of *of, int build, int which)
{
    const snub_chart *chart = of->chart;
    (void)which;
    return number(chart->part + build * chart->parts + 1);
}

static snub_column_value v_code(snub_columns_of *of, int build, int which)
{
    (void)which;
    return text(of, build_at(of, build)->row->code);
}

static snub_column_value v_verdict(snub_columns_of *of, int build, int which)
{
    const snub_level level = build_at(of, build)->verdict;
    (void)which;
    return (snub_column_value){.number = NAN, .text = snub_level_text(level), .mark = snub_mark_of(level)};
}

static snub_column_value v_variant(snub_columns_of *of, int build, int which)
{
    (void)which;
    return text(of, build_at(of, build)->row->variant);
}

static snub_column_value v_package(snub_columns_of *of, int build, int which)
{
    (void)which;
    return text(of, build_at(of, build)->row->package);
}

static snub_column_value v_option(snub_columns_of *of, int build, int which)
{
    snub_text words = {0};
    snub_option_words(build_at(of, build)->row, which, of->locale, &words);
    return text(of, snub_words_copy(&words, of->words));
}

static bool is_bare_number(const snub_node *value)
{
    double number;
    return value->kind == SNUB_SCALAR && !value->quoted && snub_parse_number(value->text, NULL, &number) == SNUB_OK;
}

static snub_column_value v_ribs(snub_columns_of *of, int build, int which)
{
    (void)which;
    return number(build_at(of, build)->ribs);
}

static snub_column_value v_designation(snub_columns_of *of, int build, int which)
{
    (void)which;
    return text(of, build_at(of, build)->designation);
}

static snub_column_value v_part(snub_columns_of *of, int build, int which)
{
    const char *part = build_at(of, build)->part;
    (void)which;
    return text(of, part != NULL ? part : "");
}

static snub_column_value v_own_number(snub_columns_of *of, int build, int which)
{
    const char *number = build_at(of, build)->own_number;
    (void)which;
    return text(of, number != NULL ? number : "");
}

static snub_column_value v_length(snub_columns_of *of, int build, int which)
{
    (void)which;
    return number(build_at(of, build)->length);
}

static snub_column_value v_slot(snub_columns_of *of, int build, int which)
{
    const snub_charted *b = build_at(of, build);
    const int i = snub_charted_pulley_named(b, of->slots[which]);
    const bool set = i >= 0 && b->settled && b->pulleys[i].sits == SNUB_ON_SLOT;
    return number(set ? b->pulleys[i].setting : (double)NAN);
}

static snub_column_value v_diameter(snub_columns_of *of, int build, int which)
{
    const snub_charted *b = build_at(of, build);
    const int i = snub_charted_pulley_named(b, of->pulleys[which]);
    return number(i >= 0 ? b->pulleys[i].diameter : (double)NAN);
}

static snub_column_value v_wrap(snub_columns_of *of, int build, int which)
{
    const snub_charted *b = build_at(of, build);
    const int i = snub_charted_pulley_named(b, of->pulleys[which]);
    return number(i >= 0 ? b->pulleys[i].wrap : (double)NAN);
}

static snub_column_value v_gain(snub_columns_of *of, int build, int which)
{
    (void)which;
    return number(build_at(of, build)->wrap_gain);
}

static snub_column_value v_wind_rest(snub_columns_of *of, int build, int which)
{
    (void)which;
    return number(build_at(of, build)->wind_rest);
}

static snub_column_value v_wind_redline(snub_columns_of *of, int build, int which)
{
    (void)which;
    return number(build_at(of, build)->wind_redline);
}

static snub_column_value v_grip(snub_columns_of *of, int build, int which)
{
    const snub_charted *b = build_at(of, build);
    const bool over = b->worst_grip > b->grip_design;
    (void)which;
    return (snub_column_value){.number = b->worst_grip, .mark = over ? snub_mark_of(b->verdict) : SNUB_MARK_NONE};
}

static snub_column_value v_grip_at(snub_columns_of *of, int build, int which)
{
    (void)which;
    return number(build_at(of, build)->worst_grip_speed);
}

static snub_column_value v_blower_grip(snub_columns_of *of, int build, int which)
{
    (void)which;
    return number(build_at(of, build)->blower_grip);
}

static snub_column_value v_gap(snub_columns_of *of, int build, int which)
{
    (void)which;
    return number(build_at(of, build)->tightest_gap);
}

#define AIR(name, field)                                                                                               \
    static snub_column_value v_##name(snub_columns_of *of, int build, int which)                                       \
    {                                                                                                                  \
        (void)which;                                                                                                   \
        return number(build_at(of, build)->air.field);                                                                 \
    }
AIR(boost, boost)
AIR(shaft, shaft_speed)
AIR(rotor, rotor_speed)
AIR(power, power)
AIR(torque, torque)
AIR(force, belt_force)
AIR(outlet, outlet)
AIR(charge, charge)
AIR(flow, mass_flow)

static snub_column_value v_onset(snub_columns_of *of, int build, int which)
{
    (void)which;
    return number(build_at(of, build)->slip_onset);
}

#define HARDWARE(name, field)                                                                                          \
    static snub_column_value v_##name(snub_columns_of *of, int build, int which)                                       \
    {                                                                                                                  \
        (void)which;                                                                                                   \
        return number(build_at(of, build)->hardware.given ? build_at(of, build)->hardware.field : (double)NAN);        \
    }
HARDWARE(bearing_life, bearing_life)
HARDWARE(bolt_slip, bolt_slip)
HARDWARE(bolt_margin, bolt_margin)
HARDWARE(entry_angle, entry_angle)
HARDWARE(entry_tolerance, entry_tolerance)
HARDWARE(conflicts, conflicts)

/* What has to be done to the engine beside bolting the kit on; nothing of a build that is not sold. */
static snub_column_value v_engine_work(snub_columns_of *of, int build, int which)
{
    static const struct {
        snub_caution caution;
        const char *words;
    } work[] = {{SNUB_CAUTION_METAL, SNUB_MESSAGE("metal to be taken off")},
                {SNUB_CAUTION_CRANK, SNUB_MESSAGE("another crank pulley")}};
    const snub_charted *b = build_at(of, build);
    snub_text words = {0};
    (void)which;
    if (b->verdict == SNUB_FAIL)
        return text(of, "");
    const snub_caution_set set = snub_cautions_charted(b, snub_columns_findings(of, build));
    for (size_t i = 0; i < sizeof work / sizeof work[0]; i++)
        if (set & SNUB_CAUTION_BIT(work[i].caution))
            snub_text_printf(&words, "%s%s", words.length > 0 ? ", " : "", snub_say(of->locale, work[i].words));
    if (words.length == 0)
        return text(of, snub_say(of->locale, SNUB_MESSAGE("nothing")));
    return text(of, snub_words_copy(&words, of->words));
}

/* The shims that the verdict includes: "steering: shim pack, 1 x 0.90 mm (0.035 in)". */
static snub_column_value v_shims(snub_columns_of *of, int build, int which)
{
    snub_text words = {0};
    (void)which;
    snub_shim_words(snub_columns_findings(of, build), of->locale, &words);
    return text(of, snub_words_copy(&words, of->words));
}

/* Numbers of the hardware are with it or without. */
static snub_column_value v_swing(snub_columns_of *of, int build, int which)
{
    (void)which;
    if (!build_at(of, build)->hardware.given)
        return text(of, "");
    return text(of, snub_say(of->locale, build_at(of, build)->hardware.swings ? SNUB_MESSAGE("counted")
                                                                              : SNUB_MESSAGE("not counted")));
}

/* What the file itself writes, where the chart chose otherwise: "7PK1926, wrap idler 38.0 mm". */
static snub_column_value v_own(snub_columns_of *of, int build, int which)
{
    const snub_charted *b = build_at(of, build);
    snub_text words = {0};
    (void)which;
    snub_text_puts(&words, "");
    if (!isnan(b->own_length) && b->own_length != b->length) {
        char designation[32];
        snub_designation(&(snub_belt){.section = b->section, .ribs = b->ribs}, b->own_length, designation);
        snub_text_puts(&words, designation);
    }
    for (int i = 0; i < b->pulley_count; i++) {
        const snub_charted_pulley *pulley = &b->pulleys[i];
        if (isnan(pulley->own_setting) || pulley->own_setting == pulley->setting)
            continue;
        snub_text_printf(&words, "%s%s ", words.length > 0 ? ", " : "", pulley->name);
        snub_value_text(of->locale, pulley->own_setting, SNUB_UNIT_MM, 1, &words);
    }
    return text(of, snub_words_copy(&words, of->words));
}

static snub_column_value v_runner_up(snub_columns_of *of, int build, int which)
{
    const snub_charted *b = build_at(of, build);
    snub_text words = {0};
    (void)which;
    if (b->second == NULL)
        return text(of, "");
    snub_choice_words(&(snub_belt){.section = b->section, .ribs = b->ribs}, b->second, &words);
    return text(of, snub_words_copy(&words, of->words));
}

static snub_column_value v_wanted_low(snub_columns_of *of, int build, int which)
{
    (void)which;
    return number(build_at(of, build)->wanted_length[0]);
}

static snub_column_value v_wanted_high(snub_columns_of *of, int build, int which)
{
    (void)which;
    return number(build_at(of, build)->wanted_length[1]);
}

/* The worst finding that counts against a build, in a word or two. */
static snub_column_value v_reason(snub_columns_of *of, int build, int which)
{
    const snub_charted *b = build_at(of, build);
    (void)which;
    const snub_findings *findings = snub_columns_findings(of, build);
    if (findings->count == 0 || b->verdict < SNUB_MARGINAL)
        return text(of, "");
    const snub_finding *worst = &findings->items[0];
    const bool span = worst->pulley == NULL && worst->kind == SNUB_OTHER_SPAN;
    const char *who = worst->pulley != NULL ? worst->pulley : worst->kind != SNUB_OTHER_WORDS ? worst->other : NULL;
    char *words = snub_format(of->words, "%s%s%s%s%s", snub_finding_rule(worst), who != NULL ? " " : "",
                              who != NULL ? who : "", span ? " to " : "", span ? worst->second : "");
    for (char *at = words; at != NULL && *at != '\0' && *at != ' '; at++)
        *at = *at == '_' ? ' ' : *at;
    return text(of, words);
}

static snub_column_value v_findings(snub_columns_of *of, int build, int which)
{
    const snub_findings *findings = snub_columns_findings(of, build);
    snub_text words = {0};
    (void)which;
    for (int i = 0; i < findings->count; i++) {
        const snub_finding *f = &findings->items[i];
        snub_text_printf(&words, "%s%s: %s: ", i > 0 ? "\n" : "", snub_level_text(f->level), snub_finding_rule(f));
        snub_finding_sentence(f, of->locale, &words);
    }
    return text(of, snub_words_copy(&words, of->words));
}

/* ---- the list ---------------------------------------------------------------------------------------------------- */

#define M(words) SNUB_MESSAGE(words)
static const snub_chart_column list[] = {
    {"build", M("build"), "no", SNUB_UNIT_COUNT, SNUB_CELL_COUNT, 0, SNUB_PER_BUILD, SNUB_JSON_OWN, 0, v_build},
    {"code", M("code"), "code", SNUB_UNIT_NONE, SNUB_CELL_TEXT, 0, SNUB_PER_BUILD, SNUB_JSON_TOP, 0, v_code},
    {"verdict", M("verdict"), "verdict", SNUB_UNIT_NONE, SNUB_CELL_LEVEL, 0, SNUB_PER_BUILD, SNUB_JSON_TOP, 0,
     v_verdict},
    {"variant", M("variant"), "variant", SNUB_UNIT_NONE, SNUB_CELL_TEXT, 0, SNUB_PER_BUILD, SNUB_JSON_OWN, 0,
     v_variant},
    {"package", M("package"), "package", SNUB_UNIT_NONE, SNUB_CELL_TEXT, 0, SNUB_PER_BUILD, SNUB_JSON_OWN,
     SNUB_NEEDS_PACKAGE, v_package},
    {"options", "{name}", "", SNUB_UNIT_NONE, SNUB_CELL_TEXT, 0, SNUB_PER_OPTION, SNUB_JSON_OWN, 0, v_option},
    {"ribs", M("ribs"), "ribs", SNUB_UNIT_COUNT, SNUB_CELL_COUNT, 0, SNUB_PER_BUILD, SNUB_JSON_TOP, 0, v_ribs},
    {"designation", M("belt"), "belt", SNUB_UNIT_NONE, SNUB_CELL_TEXT, 0, SNUB_PER_BUILD, SNUB_JSON_TOP, 0,
     v_designation},
    {"part", M("part number"), "part", SNUB_UNIT_NONE, SNUB_CELL_TEXT, 0, SNUB_PER_BUILD, SNUB_JSON_TOP, 0, v_part},
    {"own_number", M("own number"), "own no.", SNUB_UNIT_NONE, SNUB_CELL_TEXT, 0, SNUB_PER_BUILD, SNUB_JSON_TOP, 0,
     v_own_number},
    {"belt_length", M("belt length"), "length", SNUB_UNIT_MM, SNUB_CELL_NUMBER, 1, SNUB_PER_BUILD, SNUB_JSON_TOP, 0,
     v_length},
    {"slots", M("slot setting of {name}"), "{name}", SNUB_UNIT_MM, SNUB_CELL_NUMBER, 1, SNUB_PER_SLOT, SNUB_JSON_TOP, 0,
     v_slot},
    {"diameters", M("diameter of {name}"), "diameter", SNUB_UNIT_MM, SNUB_CELL_NUMBER, 2, SNUB_PER_PULLEY,
     SNUB_JSON_TOP, 0, v_diameter},
    {"boost", M("boost at redline"), "boost", SNUB_UNIT_KPA, SNUB_CELL_NUMBER, 1, SNUB_PER_BUILD, SNUB_JSON_BLOWER,
     SNUB_NEEDS_BLOWER, v_boost},
    {"engine_work", M("work on the engine"), "engine", SNUB_UNIT_NONE, SNUB_CELL_TEXT, 0, SNUB_PER_BUILD, SNUB_JSON_TOP,
     0, v_engine_work},
    {"wrap", M("wrap of {name}"), "wrap", SNUB_UNIT_DEG, SNUB_CELL_NUMBER, 1, SNUB_PER_PULLEY, SNUB_JSON_TOP, 0,
     v_wrap},
    {"wrap_gain", M("wrap gain"), "gain", SNUB_UNIT_PERCENT, SNUB_CELL_NUMBER, 1, SNUB_PER_BUILD, SNUB_JSON_OF_BLOWER,
     SNUB_NEEDS_BLOWER, v_gain},
    {"arm_wind", M("arm angle, engine stopped"), "arm", SNUB_UNIT_DEG, SNUB_CELL_NUMBER, 1, SNUB_PER_BUILD,
     SNUB_JSON_LOW, SNUB_NEEDS_ARM, v_wind_rest},
    {"arm_wind", M("arm angle, redline"), "to", SNUB_UNIT_DEG, SNUB_CELL_NUMBER, 1, SNUB_PER_BUILD, SNUB_JSON_HIGH,
     SNUB_NEEDS_ARM, v_wind_redline},
    {"grip_used", M("grip used, worst"), "grip", SNUB_UNIT_NONE, SNUB_CELL_NUMBER, 2, SNUB_PER_BUILD, SNUB_JSON_TOP, 0,
     v_grip},
    {"grip_at", M("grip used, at engine"), "at", SNUB_UNIT_RPM, SNUB_CELL_NUMBER, 0, SNUB_PER_BUILD, SNUB_JSON_TOP, 0,
     v_grip_at},
    {"blower_grip_used", M("grip used by the blower"), "blower", SNUB_UNIT_NONE, SNUB_CELL_NUMBER, 2, SNUB_PER_BUILD,
     SNUB_JSON_TOP, SNUB_NEEDS_BLOWER, v_blower_grip},
    {"gap", M("least clearance"), "gap", SNUB_UNIT_MM, SNUB_CELL_NUMBER, 1, SNUB_PER_BUILD, SNUB_JSON_TOP, 0, v_gap},
    {"pulley", M("blower pulley speed"), "blower", SNUB_UNIT_RPM, SNUB_CELL_NUMBER, 0, SNUB_PER_BUILD, SNUB_JSON_BLOWER,
     SNUB_NEEDS_BLOWER, v_shaft},
    {"rotor", M("rotor speed"), "rotor", SNUB_UNIT_RPM, SNUB_CELL_NUMBER, 0, SNUB_PER_BUILD, SNUB_JSON_BLOWER,
     SNUB_NEEDS_BLOWER, v_rotor},
    {"drive_power", M("blower power"), "power", SNUB_UNIT_KW, SNUB_CELL_NUMBER, 1, SNUB_PER_BUILD, SNUB_JSON_BLOWER,
     SNUB_NEEDS_BLOWER, v_power},
    {"torque", M("blower torque"), "torque", SNUB_UNIT_N_M, SNUB_CELL_NUMBER, 1, SNUB_PER_BUILD, SNUB_JSON_BLOWER,
     SNUB_NEEDS_BLOWER, v_torque},
    {"belt_force", M("blower belt force"), "force", SNUB_UNIT_N, SNUB_CELL_NUMBER, 0, SNUB_PER_BUILD, SNUB_JSON_BLOWER,
     SNUB_NEEDS_BLOWER, v_force},
    {"outlet", M("air out of the blower"), "out", SNUB_UNIT_DEGC, SNUB_CELL_NUMBER, 0, SNUB_PER_BUILD, SNUB_JSON_BLOWER,
     SNUB_NEEDS_BLOWER, v_outlet},
    {"charge", M("air into the engine"), "in", SNUB_UNIT_DEGC, SNUB_CELL_NUMBER, 0, SNUB_PER_BUILD, SNUB_JSON_BLOWER,
     SNUB_NEEDS_BLOWER, v_charge},
    {"air", M("air flow"), "air", SNUB_UNIT_KG_S, SNUB_CELL_NUMBER, 3, SNUB_PER_BUILD, SNUB_JSON_BLOWER,
     SNUB_NEEDS_BLOWER, v_flow},
    {"slip_onset", M("slips from"), "slips", SNUB_UNIT_RPM, SNUB_CELL_NUMBER, 0, SNUB_PER_BUILD, SNUB_JSON_BLOWER,
     SNUB_NEEDS_BLOWER, v_onset},
    {"bearing_life", M("bearing life"), "life", SNUB_UNIT_H, SNUB_CELL_NUMBER, 0, SNUB_PER_BUILD, SNUB_JSON_HARDWARE,
     SNUB_NEEDS_HARDWARE, v_bearing_life},
    {"bolt_slip_used", M("joint friction used"), "slip", SNUB_UNIT_NONE, SNUB_CELL_NUMBER, 2, SNUB_PER_BUILD,
     SNUB_JSON_HARDWARE, SNUB_NEEDS_HARDWARE, v_bolt_slip},
    {"bolt_margin", M("bolt margin"), "margin", SNUB_UNIT_NONE, SNUB_CELL_NUMBER, 2, SNUB_PER_BUILD, SNUB_JSON_HARDWARE,
     SNUB_NEEDS_HARDWARE, v_bolt_margin},
    {"entry_angle", M("belt entry angle"), "entry", SNUB_UNIT_DEG, SNUB_CELL_NUMBER, 2, SNUB_PER_BUILD,
     SNUB_JSON_HARDWARE, SNUB_NEEDS_HARDWARE, v_entry_angle},
    {"entry_tolerance", M("tolerance of the entry angle"), "+-", SNUB_UNIT_DEG, SNUB_CELL_NUMBER, 2, SNUB_PER_BUILD,
     SNUB_JSON_HARDWARE, SNUB_NEEDS_HARDWARE, v_entry_tolerance},
    {"shims", M("shims in the verdict"), "shims", SNUB_UNIT_NONE, SNUB_CELL_TEXT, 0, SNUB_PER_BUILD, SNUB_JSON_HARDWARE,
     SNUB_NEEDS_HARDWARE, v_shims},
    {"crank_swing", M("crank's swing in the loads"), "swing", SNUB_UNIT_NONE, SNUB_CELL_TEXT, 0, SNUB_PER_BUILD,
     SNUB_JSON_HARDWARE, SNUB_NEEDS_HARDWARE, v_swing},
    {"conflicts", M("conflicts of hardware"), "hits", SNUB_UNIT_COUNT, SNUB_CELL_COUNT, 0, SNUB_PER_BUILD,
     SNUB_JSON_HARDWARE, SNUB_NEEDS_HARDWARE, v_conflicts},
    {"file_writes", M("the file writes"), "file", SNUB_UNIT_NONE, SNUB_CELL_TEXT, 0, SNUB_PER_BUILD, SNUB_JSON_TOP, 0,
     v_own},
    {"runner_up", M("second choice"), "second", SNUB_UNIT_NONE, SNUB_CELL_TEXT, 0, SNUB_PER_BUILD, SNUB_JSON_OWN, 0,
     v_runner_up},
    {"wanted_length", M("shortest belt that would do"), "from", SNUB_UNIT_MM, SNUB_CELL_NUMBER, 1, SNUB_PER_BUILD,
     SNUB_JSON_LOW, 0, v_wanted_low},
    {"wanted_length", M("longest belt that would do"), "to", SNUB_UNIT_MM, SNUB_CELL_NUMBER, 1, SNUB_PER_BUILD,
     SNUB_JSON_HIGH, 0, v_wanted_high},
    {"first_reason", M("first reason"), "first reason", SNUB_UNIT_NONE, SNUB_CELL_TEXT, 0, SNUB_PER_BUILD,
     SNUB_JSON_TOP, 0, v_reason},
    {"findings", M("findings"), "findings", SNUB_UNIT_NONE, SNUB_CELL_TEXT, 0, SNUB_PER_BUILD, SNUB_JSON_OWN, 0,
     v_findings},
};

bool snub_column_is_engineering(const snub_chart_column *column)
{
    const snub_chart_column *first = list;
    while (strcmp(first->key, "wrap") != 0)
        first++;
    return column >= first;
}

const snub_chart_column *snub_chart_column_list(int *count)
{
    *count = (int)(sizeof list / sizeof list[0]);
    return list;
}

/* ---- as shown ---------------------------------------------------------------------------------------------------- */

static void add_name(const char **names, int *count, const char *name)
{
    for (int i = 0; i < *count; i++) {
        if (strcmp(names[i], name) == 0)
            return;
    }
    if (*count < SNUB_SHOWN_NAMES_MOST)
        names[(*count)++] = name;
}

/* Blowers, and pulleys whose diameter, or catalogue part, is an option. */
static bool chart_shows(const snub_chart *chart, const snub_charted_pulley *pulley)
{
    const size_t length = strlen(pulley->name);
    if (pulley->has_blower)
        return true;
    for (int o = 0; o < chart->rows.option_count; o++) {
        const char *path = chart->rows.options[o].path;
        if (strncmp(path, pulley->name, length) == 0 &&
            (strcmp(path + length, ".diameter") == 0 || strcmp(path + length, ".part") == 0))
            return true;
    }
    return false;
}

/* A variant may put another pulley on a slot: the names of all builds. */
static void gather(snub_columns_of *of)
{
    for (int b = 0; b < of->chart->build_count; b++) {
        const snub_charted *build = build_at(of, b);
        const int blower = snub_charted_blower(build);
        for (int i = 0; i < build->pulley_count; i++) {
            if (build->pulleys[i].sits == SNUB_ON_SLOT)
                add_name(of->slots, &of->slot_count, build->pulleys[i].name);
            if (chart_shows(of->chart, &build->pulleys[i]))
                add_name(of->pulleys, &of->pulley_count, build->pulleys[i].name);
        }
        if (blower >= 0 && of->blower == NULL)
            of->blower = build->pulleys[blower].name;
        of->has_air = of->has_air || !isnan(build->air.power);
        of->has_hardware = of->has_hardware || build->hardware.given;
        of->has_arm = of->has_arm || build->has_arm;
    }
}

static bool is_needed(const snub_columns_of *of, const snub_chart_column *column)
{
    switch (column->needs) {
    case SNUB_NEEDS_BLOWER: return of->has_air || of->blower != NULL;
    case SNUB_NEEDS_HARDWARE: return of->has_hardware;
    case SNUB_NEEDS_ARM: return of->has_arm;
    case SNUB_NEEDS_PACKAGE: return of->chart->rows.package_count > 0;
    default: return true;
    }
}

/* "wrap of {name}" with the name in its place. */
static const char *titled(snub_columns_of *of, const char *title, const char *name)
{
    const char *said = snub_say(of->locale, title), *place = strstr(said, "{name}");
    if (place == NULL)
        return said;
    const char *made = snub_format(of->arena, "%.*s%s%s", (int)(place - said), said, name, place + strlen("{name}"));
    of->failed = of->failed || made == NULL;
    return made != NULL ? made : "";
}

static void add_shown(snub_columns_of *of, const snub_chart_column *column, int which, const char *name)
{
    of->columns[of->count++] = (snub_shown_column){column,
                                                   which,
                                                   name,
                                                   titled(of, column->title, name != NULL ? name : ""),
                                                   snub_unit_describe(column->unit)->text,
                                                   column->type,
                                                   column->decimals};
}

/* An option all of whose values are bare numbers, in units that are shown, is a column of numbers. */
static void add_option(snub_columns_of *of, const snub_chart_column *column, int which)
{
    const snub_option *option = &of->chart->rows.options[which];
    snub_shown_column *shown = &of->columns[of->count];
    const char *unit = option->count > 0 ? snub_node_bare_unit(option->values[0]) : "";
    bool numbers = option->count > 0 && strcmp(snub_number_shown(of->locale, 0, unit, 0).unit, unit) == 0;
    add_shown(of, column, which, option->path);
    for (int i = 0; i < option->count; i++)
        numbers = numbers && is_bare_number(option->values[i]);
    if (!numbers)
        return;
    shown->type = SNUB_CELL_NUMBER;
    shown->decimals = -1;
    shown->unit = unit;
}

static void expand(snub_columns_of *of, const snub_chart_column *column, bool blower_only)
{
    if (!is_needed(of, column))
        return;
    switch (column->per) {
    case SNUB_PER_BUILD: add_shown(of, column, 0, NULL); break;
    case SNUB_PER_OPTION:
        for (int i = 0; i < of->chart->rows.option_count; i++)
            add_option(of, column, i);
        break;
    case SNUB_PER_SLOT:
        for (int i = 0; i < of->slot_count; i++)
            add_shown(of, column, i, of->slots[i]);
        break;
    case SNUB_PER_PULLEY:
        for (int i = 0; i < of->pulley_count; i++) {
            if (!blower_only || (of->blower != NULL && strcmp(of->blower, of->pulleys[i]) == 0))
                add_shown(of, column, i, of->pulleys[i]);
        }
        break;
    }
}

void snub_columns_open(const snub_chart *chart, const char *const *keys, const snub_locale *locale, snub_arena *arena,
                       snub_columns_of *of)
{
    int count;
    const snub_chart_column *all = snub_chart_column_list(&count);
    *of = (snub_columns_of){.chart = chart, .arena = arena, .words = arena, .locale = locale};
    gather(of);
    const int room = count + chart->rows.option_count + of->slot_count + 2 * of->pulley_count;
    of->columns = SNUB_NEW(arena, snub_shown_column, room);
    if (of->columns == NULL) {
        of->failed = true;
        return;
    }
    for (int i = 0; keys == NULL && i < count; i++)
        expand(of, &all[i], false);
    for (int k = 0; keys != NULL && keys[k] != NULL; k++) {
        for (int i = 0; i < count; i++) {
            if (strcmp(all[i].key, keys[k]) == 0)
                expand(of, &all[i], true);
        }
    }
}

snub_column_value snub_column_at(snub_columns_of *of, int column, int build)
{
    const snub_shown_column *shown = &of->columns[column];
    return shown->of->value(of, build, shown->which);
}

snub_cell snub_column_cell(snub_columns_of *of, int column, int build)
{
    const snub_shown_column *c = &of->columns[column];
    const snub_column_value value = snub_column_at(of, column, build);
    double shown = snub_in_unit(c->of->unit, value.number);
    if (c->type == SNUB_CELL_LEVEL)
        return snub_cell_level(value.mark);
    if (c->type == SNUB_CELL_TEXT)
        return snub_cell_text(value.text);
    if (c->of->type == SNUB_CELL_TEXT && (value.text == NULL || snub_parse_number(value.text, NULL, &shown) != SNUB_OK))
        shown = NAN; /* an option's number, as written */
    return c->type == SNUB_CELL_COUNT ? snub_cell_count(shown) : snub_cell_number(shown, value.mark);
}
