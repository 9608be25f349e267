/* Each rule: a level, a value against a limit, where it is worst, and what to do about it. docs/theory/findings.md. */
#include <string.h>

#include "study.h"

static const double RAD_TO_DEG = 180.0 / SNUB_PI;
static const double RAD_S_TO_RPM = 30.0 / SNUB_PI;

/* ---- words for a case ---- */

static const char *state_of(const snub_study *study, const snub_worst *worst)
{
    return study->loads->speed[worst->speed] > 0.0 ? snub_running_text(worst->running) : "at rest";
}

/* "at 6200 rpm, rising, longest belt, arm friction low" */
static const char *when(const snub_study *study, const snub_worst *worst)
{
    static const char *const corners[] = {"", ", shortest belt", ", longest belt, worn"};
    static const char *const sides[] = {", arm friction low", "", ", arm friction high"};
    const double speed = study->loads->speed[worst->speed];
    const char *text =
        speed > 0.0 ? snub_format(study->arena, "at %.0f rpm, %s%s%s", speed * RAD_S_TO_RPM,
                                  snub_running_text(worst->running), corners[worst->corner], sides[worst->side + 1])
                    : snub_format(study->arena, "at rest%s%s", corners[worst->corner], sides[worst->side + 1]);
    return text != NULL ? text : "";
}

static const char *name_of(const snub_study *study, int pulley)
{
    return study->drive->pulleys[pulley].name;
}

static const char *span_name(const snub_study *study, int span)
{
    const char *text = snub_format(study->arena, "span %s - %s", name_of(study, span),
                                   name_of(study, (span + 1) % study->drive->pulley_count));
    return text != NULL ? text : "span";
}

typedef struct teller {
    const snub_study *study;
    snub_findings *findings;
} teller;

static void tell(const teller *t, snub_finding finding, const snub_worst *worst)
{
    if (worst != NULL) {
        finding.at_speed = t->study->loads->speed[worst->speed];
        finding.state = state_of(t->study, worst);
    }
    if (finding.unit == NULL)
        finding.unit = "";
    if (finding.text == NULL)
        finding.text = "";
    if (finding.pulley != NULL && strcmp(finding.rule, "gap") != 0) {
        const char *named = snub_format(t->study->arena, "%s: %s", finding.pulley, finding.text);
        if (named != NULL)
            finding.text = named;
    }
    if (finding.source == NULL)
        finding.source = "";
    snub_findings_add(t->findings, t->study->arena, &finding);
}

static const char *limit_source(const snub_study *s, snub_limit limit)
{
    return s->drive->limits_place[limit].line > 0 ? "the drive file" : snub_limit_describe(limit)->source;
}

/* A value on the wrong side of a limit of the table. */
static void tell_limit(const teller *t, snub_level level, const char *rule, int pulley, snub_limit limit, double value,
                       const snub_worst *worst, const char *text)
{
    const snub_limit_info *info = snub_limit_describe(limit);
    tell(t,
         (snub_finding){.level = level,
                        .rule = rule,
                        .pulley = pulley >= 0 ? name_of(t->study, pulley) : NULL,
                        .value = value * info->scale,
                        .limit = t->study->drive->limits[limit] * info->scale,
                        .unit = info->unit,
                        .at_speed = NAN,
                        .state = "laid out",
                        .text = text,
                        .source = limit_source(t->study, limit)},
         worst);
}

/* ---- rules ---- */

static void rule_grip(const teller *t, int i)
{
    const snub_study *s = t->study;
    const snub_worst *design = &s->grip[i], *limit = &s->limit_grip[i], *wet = &s->wet_grip[i];
    if (limit->set && isinf(limit->value))
        return; /* said by the slack rule */
    if (limit->set && limit->value > s->drive->limits[SNUB_LIMIT_GRIP_SLIP]) {
        tell_limit(t, SNUB_FAIL, "grip", i, SNUB_LIMIT_GRIP_SLIP, limit->value, limit,
                   snub_format(s->arena,
                               "slips %s: it asks for %.0f %% of the grip there is at limit friction. More wrap, "
                               "more ribs, more arm moment or a larger pulley.",
                               when(s, limit), limit->value * 100.0));
    } else if (design->set && design->value > s->drive->limits[SNUB_LIMIT_GRIP_DESIGN]) {
        tell_limit(t, SNUB_WATCH, "grip", i, SNUB_LIMIT_GRIP_DESIGN, design->value, design,
                   snub_format(s->arena,
                               "works above the design grip %s. It holds when dry and clean and wears faster: "
                               "more wrap or ribs, or say so to the customer.",
                               when(s, design)));
    }
    if (wet->set && wet->value > 1.0 && limit->value <= s->drive->limits[SNUB_LIMIT_GRIP_SLIP]) {
        tell(t,
             (snub_finding){.level = SNUB_WATCH,
                            .rule = "grip_wet",
                            .pulley = name_of(s, i),
                            .value = wet->value,
                            .limit = 1.0,
                            .unit = "",
                            .source = "Sheng et al. 2011: 30 to 40 % less friction when wet",
                            .text = snub_format(s->arena,
                                                "slips when the belt is wet, %s: keep water off the belt (shield), "
                                                "or give it more wrap.",
                                                when(s, wet))},
             wet);
    }
}

/* What holds the belt tight. */
static const char *what_pulls(const snub_drive *drive)
{
    return drive->arm >= 0 ? "arm moment" : drive->locked >= 0 ? "tension at the lock" : "tension at rest";
}

static void rule_slack(const teller *t, int i)
{
    const snub_study *s = t->study;
    const snub_worst *worst = &s->slack[i];
    if (!worst->set || worst->value > 0.0)
        return;
    tell(t,
         (snub_finding){.level = SNUB_FAIL,
                        .rule = "slack",
                        .pulley = name_of(s, i),
                        .other = span_name(s, i),
                        .value = worst->value,
                        .limit = 0.0,
                        .unit = "N",
                        .source = "mechanics: a belt cannot push",
                        .text = snub_format(s->arena,
                                            "the span behind it goes slack %s. More %s, a shorter belt, or "
                                            "less inertia on the pulley it feeds.",
                                            when(s, worst), what_pulls(s->drive))},
         worst);
}

static void rule_arm_end(const teller *t, const snub_worst *worst, bool stop)
{
    const snub_study *s = t->study;
    if (!worst->set)
        return;
    const snub_arm *arm = &s->drive->pulleys[s->drive->arm].arm;
    tell(t,
         (snub_finding){.level = SNUB_FAIL,
                        .rule = "arm_travel",
                        .pulley = name_of(s, s->drive->arm),
                        .value = worst->value * RAD_TO_DEG,
                        .limit = (stop ? arm->travel : 0.0) * RAD_TO_DEG,
                        .unit = "deg",
                        .source = "the drive file: arm.travel",
                        .text = stop ? snub_format(s->arena,
                                                   "the arm lies on its stop %s: the belt is too short, nothing "
                                                   "limits its tension. Take the next longer belt.",
                                                   when(s, worst))
                                     : snub_format(s->arena,
                                                   "the arm lies on its rest %s: the belt is too long, nothing "
                                                   "holds its tension. Take the next shorter belt.",
                                                   when(s, worst))},
         worst);
}

static void rule_arm(const teller *t)
{
    const snub_study *s = t->study;
    if (s->drive->arm < 0)
        return;
    const snub_arm *arm = &s->drive->pulleys[s->drive->arm].arm;
    const char *name = name_of(s, s->drive->arm);
    rule_arm_end(t, &s->at_rest, false);
    rule_arm_end(t, &s->at_stop, true);
    if (s->work_low.set && !s->at_rest.set && s->work_low.value < arm->work[0]) {
        tell(t,
             (snub_finding){.level = SNUB_WATCH,
                            .rule = "arm_travel",
                            .pulley = name,
                            .other = "work range, low end",
                            .value = s->work_low.value * RAD_TO_DEG,
                            .limit = arm->work[0] * RAD_TO_DEG,
                            .unit = "deg",
                            .source = "the drive file: arm.work",
                            .text = snub_format(s->arena,
                                                "the arm works nearer to its rest than wished %s. A shorter belt "
                                                "winds it further.",
                                                when(s, &s->work_low))},
             &s->work_low);
    }
    if (s->work_high.set && !s->at_stop.set && s->work_high.value > arm->work[1]) {
        tell(t,
             (snub_finding){.level = SNUB_WATCH,
                            .rule = "arm_travel",
                            .pulley = name,
                            .other = "work range, high end",
                            .value = s->work_high.value * RAD_TO_DEG,
                            .limit = arm->work[1] * RAD_TO_DEG,
                            .unit = "deg",
                            .source = "the drive file: arm.work",
                            .text = snub_format(s->arena,
                                                "the arm works nearer to its stop than wished %s. A longer belt "
                                                "lets it out.",
                                                when(s, &s->work_high))},
             &s->work_high);
    }
    if (s->dead.set) {
        tell(t,
             (snub_finding){.level = SNUB_FAIL,
                            .rule = "dead_point",
                            .pulley = name,
                            .value = s->dead.value * RAD_TO_DEG,
                            .limit = NAN,
                            .unit = "deg",
                            .source = "mechanics: past it winding lengthens the path",
                            .text = snub_format(s->arena,
                                                "the arm stands past its dead point %s and takes up no belt. Move "
                                                "the pivot or take a shorter arm.",
                                                when(s, &s->dead))},
             &s->dead);
    }
    if (s->several.set) {
        tell(t,
             (snub_finding){.level = SNUB_WATCH,
                            .rule = "two_positions",
                            .pulley = name,
                            .value = s->several.value,
                            .limit = 1.0,
                            .unit = "",
                            .source = "mechanics",
                            .text = snub_format(s->arena,
                                                "the arm has %.0f stable positions %s and may snap between them. "
                                                "Move the pivot so that winding always shortens the path.",
                                                s->several.value, when(s, &s->several))},
             &s->several);
    }
}

static void rule_wrap(const teller *t, int i)
{
    const snub_study *s = t->study;
    const snub_pulley *pulley = &s->drive->pulleys[i];
    const bool loaded = pulley->load.n > 0 || pulley->has_blower;
    if (!s->wrap[i].set)
        return;
    const snub_limit limit = i == s->drive->crank ? SNUB_LIMIT_WRAP_CRANK
                             : pulley->has_blower ? SNUB_LIMIT_WRAP_BLOWER
                             : i == s->drive->arm ? SNUB_LIMIT_WRAP_TENSIONER
                                                  : SNUB_LIMIT_WRAP_LOADED;
    if (limit == SNUB_LIMIT_WRAP_LOADED && !loaded)
        return;
    if (s->wrap[i].value >= s->drive->limits[limit])
        return;
    tell_limit(
        t, SNUB_WATCH, "wrap", i, limit, s->wrap[i].value, &s->wrap[i],
        snub_format(s->arena, "has little wrap %s. Set the idler closer, or reroute the belt.", when(s, &s->wrap[i])));
}

static void rule_grooves(const teller *t, int i)
{
    const snub_study *s = t->study;
    const int grooves = s->drive->pulleys[i].grooves, ribs = s->drive->belt.ribs;
    if (grooves == 0 || grooves >= ribs)
        return;
    tell(t,
         (snub_finding){.level = SNUB_FAIL,
                        .rule = "pulley_ribs",
                        .pulley = name_of(s, i),
                        .value = grooves,
                        .limit = ribs,
                        .at_speed = NAN,
                        .state = "laid out",
                        .source = "geometry",
                        .text = snub_format(s->arena,
                                            "has %d grooves for a belt of %d ribs: the outer ribs hang over its edge. "
                                            "A pulley with more grooves, or a narrower belt.",
                                            grooves, ribs)},
         NULL);
}

static void rule_size(const teller *t, int i)
{
    const snub_study *s = t->study;
    const snub_pulley *pulley = &s->drive->pulleys[i];
    const double *limits = s->drive->limits;
    const double d = pulley->diameter;
    if (pulley->side == SNUB_BACK) {
        if (d < limits[SNUB_LIMIT_BACK_DIAMETER]) {
            tell_limit(t, SNUB_FAIL, "smallest_pulley", i, SNUB_LIMIT_BACK_DIAMETER, d, NULL,
                       "is too small to bend the belt backwards over: its back cracks. Take a larger idler.");
        } else if (d < limits[SNUB_LIMIT_BACK_DIAMETER_LIFE]) {
            tell_limit(
                t, SNUB_NOTE, "smallest_pulley", i, SNUB_LIMIT_BACK_DIAMETER_LIFE, d, NULL,
                "is smaller than asks full belt life: 60 mm is common practice on kits; shorten the belt's interval.");
        }
        return;
    }
    if (pulley->has_blower) {
        const snub_limit limit = s->drive->belt.ribs <= 6 ? SNUB_LIMIT_BLOWER_DIAMETER_6 : SNUB_LIMIT_BLOWER_DIAMETER_8;
        if (d < limits[limit]) {
            tell_limit(t, SNUB_FAIL, "smallest_pulley", i, limit, d, NULL,
                       snub_format(s->arena,
                                   "is smaller than a blower pulley on %d ribs should be. More ribs, or reach the "
                                   "boost with a larger crank pulley.",
                                   s->drive->belt.ribs));
        }
    }
    if (d < limits[SNUB_LIMIT_RIB_DIAMETER]) {
        tell_limit(t, SNUB_FAIL, "smallest_pulley", i, SNUB_LIMIT_RIB_DIAMETER, d, NULL,
                   "is under the smallest ribbed pulley that the belt is made for. Take a larger one.");
    } else if (d < limits[SNUB_LIMIT_RIB_DIAMETER_LIFE]) {
        tell_limit(t, SNUB_WATCH, "smallest_pulley", i, SNUB_LIMIT_RIB_DIAMETER_LIFE, d, NULL,
                   "costs belt life by its size. Take a larger one where there is room.");
    }
}

static void rule_pulley_speed(const teller *t, int i)
{
    const snub_study *s = t->study;
    const snub_pulley *pulley = &s->drive->pulleys[i];
    const snub_worst *worst = &s->pulley_speed[i];
    if (!worst->set || pulley->max_speed <= 0.0 || worst->value <= pulley->max_speed)
        return;
    tell(t,
         (snub_finding){.level = SNUB_FAIL,
                        .rule = "pulley_speed",
                        .pulley = pulley->name,
                        .value = worst->value * RAD_S_TO_RPM,
                        .limit = pulley->max_speed * RAD_S_TO_RPM,
                        .unit = "rpm",
                        .source = "the drive file: max",
                        .text = snub_format(s->arena,
                                            "turns faster than its maker allows %s. A larger pulley here, a smaller "
                                            "crank pulley, or a lower rev limit.",
                                            when(s, worst))},
         worst);
}

/* The blower's own limit is of its rotor, behind a step-up. */
static void rule_rotor_speed(const teller *t, int i)
{
    const snub_study *s = t->study;
    const snub_pulley *pulley = &s->drive->pulleys[i];
    const snub_worst *worst = &s->pulley_speed[i];
    if (!pulley->has_blower || !(pulley->blower.max_speed > 0.0) || !worst->set)
        return;
    const double rotor = worst->value * (pulley->blower.step_up > 0.0 ? pulley->blower.step_up : 1.0);
    if (rotor <= pulley->blower.max_speed)
        return;
    tell(t,
         (snub_finding){.level = SNUB_FAIL,
                        .rule = "rotor_speed",
                        .pulley = pulley->name,
                        .value = rotor * RAD_S_TO_RPM,
                        .limit = pulley->blower.max_speed * RAD_S_TO_RPM,
                        .unit = "rpm",
                        .source = "the drive file: max_speed",
                        .text = snub_format(s->arena,
                                            "the rotor turns faster than its maker allows %s: it may touch or burst. A "
                                            "larger pulley here, a smaller crank pulley, or a lower rev limit.",
                                            when(s, worst))},
         worst);
}

static void rule_belt(const teller *t)
{
    const snub_study *s = t->study;
    const snub_drive *drive = s->drive;
    if (s->belt_speed.set && s->belt_speed.value > drive->limits[SNUB_LIMIT_BELT_SPEED]) {
        tell_limit(t, SNUB_WATCH, "belt_speed", -1, SNUB_LIMIT_BELT_SPEED, s->belt_speed.value, &s->belt_speed,
                   snub_format(s->arena,
                               "the belt runs very fast %s: momentum takes the grip away. A smaller crank pulley.",
                               when(s, &s->belt_speed)));
    }
    const double per_rib = s->tension.value / drive->belt.ribs;
    if (s->tension.set && per_rib > drive->limits[SNUB_LIMIT_RIB_TENSION]) {
        tell_limit(t, SNUB_WATCH, "rib_tension", s->tension_span, SNUB_LIMIT_RIB_TENSION, per_rib, &s->tension,
                   snub_format(s->arena, "%s carries much per rib %s: belt life falls steeply. More ribs.",
                               span_name(s, s->tension_span), when(s, &s->tension)));
    }
}

/* Air out of the blower and power through the ribs, steady with the throttle open. */
static void rule_blower(const teller *t)
{
    const snub_study *s = t->study;
    const snub_drive *drive = s->drive;
    int hottest = 0, hardest = 0, blower = -1;
    for (int i = drive->pulley_count - 1; i >= 0; i--) {
        if (drive->pulleys[i].has_blower && i != drive->crank)
            blower = i;
    }
    if (s->loads->match == NULL || blower < 0)
        return;
    const snub_match_result *match = s->loads->match;
    for (int k = 1; k < s->loads->speeds; k++) {
        if (match[k].outlet_temperature > match[hottest].outlet_temperature)
            hottest = k;
        if (match[k].power > match[hardest].power)
            hardest = k;
    }
    const snub_worst hot = {.speed = hottest, .running = SNUB_STEADY};
    const snub_worst hard = {.speed = hardest, .running = SNUB_STEADY};
    const double limit = drive->limits[SNUB_LIMIT_CHARGE_TEMPERATURE];
    if (match[hottest].outlet_temperature > limit) {
        tell(t,
             (snub_finding){.level = SNUB_WATCH,
                            .rule = "charge_temperature",
                            .pulley = name_of(s, blower),
                            .value = match[hottest].outlet_temperature - 273.15,
                            .limit = limit - 273.15,
                            .unit = "degC",
                            .source = limit_source(s, SNUB_LIMIT_CHARGE_TEMPERATURE),
                            .text = snub_format(s->arena,
                                                "the air leaves it at %.0f degC %s: less boost, or a blower that works "
                                                "nearer to its best point. Casing, hoses and seals must stand it.",
                                                match[hottest].outlet_temperature - 273.15, when(s, &hot))},
             &hot);
    }
    const double per_rib = match[hardest].power / drive->belt.ribs;
    if (per_rib > drive->limits[SNUB_LIMIT_RIB_POWER]) {
        tell_limit(
            t, SNUB_WATCH, "rib_power", blower, SNUB_LIMIT_RIB_POWER, per_rib, &hard,
            snub_format(s->arena, "its drive asks %.1f kW of each rib %s. More ribs.", per_rib * 1e-3, when(s, &hard)));
    }
}

static void rule_balance(const teller *t)
{
    const snub_study *s = t->study;
    if (!s->none.set)
        return;
    tell(t,
         (snub_finding){.level = SNUB_FAIL,
                        .rule = "no_equilibrium",
                        .value = NAN,
                        .limit = NAN,
                        .source = "mechanics",
                        .text = snub_format(s->arena, "no balance %s: %s.", when(s, &s->none), s->none_why.message)},
         &s->none);
}

static const char *gap_thing(const snub_study *s, bool span, int index)
{
    return span ? span_name(s, index) : name_of(s, index);
}

static void tell_gap(const teller *t, const snub_gap *gap, double wind)
{
    const snub_study *s = t->study;
    const snub_limit_info *info = snub_limit_describe(SNUB_LIMIT_GAP);
    const double clear = gap->gap - gap->flap;
    const char *a = gap_thing(s, gap->kind == SNUB_GAP_SPANS, gap->a);
    const char *b = gap_thing(s, gap->kind != SNUB_GAP_PULLEYS, gap->b);
    const char *flap = gap->flap > 0.0 ? snub_format(s->arena, " after %.1f mm of belt flap", gap->flap * 1e3) : "";
    const char *arm = s->drive->arm >= 0 ? snub_format(s->arena, " with the arm at %.1f deg", wind * RAD_TO_DEG) : "";
    const char *text =
        gap->crossing ? snub_format(s->arena, "%s and %s cross%s. Change the order or the side of a pulley.", a, b, arm)
        : clear <= 0.0
            ? snub_format(s->arena, "%s touches %s%s%s. Move one of them.", a, b, flap, arm)
            : snub_format(s->arena, "%s comes within %.1f mm of %s%s%s. Move the idler or take a smaller one.", a,
                          clear * 1e3, b, flap, arm);
    tell(t,
         (snub_finding){.level = clear <= 0.0 ? SNUB_FAIL : SNUB_WATCH,
                        .rule = "gap",
                        .pulley = a,
                        .other = b,
                        .value = clear * info->scale,
                        .limit = s->drive->limits[SNUB_LIMIT_GAP] * info->scale,
                        .unit = info->unit,
                        .at_speed = NAN,
                        .state = "laid out",
                        .text = text,
                        .source = limit_source(s, SNUB_LIMIT_GAP)},
         NULL);
}

/* Gaps with the arm at either end of where it works. */
static void rule_gap(const teller *t)
{
    enum { GAPS_MOST = 24 };
    const snub_study *s = t->study;
    const double winds[2] = {s->wind_low.set ? s->wind_low.value : 0.0, s->wind_high.set ? s->wind_high.value : 0.0};
    for (int end = 0; end < 2; end++) {
        if (end == 1 && winds[1] == winds[0])
            break;
        snub_path path;
        snub_gap gaps[GAPS_MOST];
        int count = 0;
        if (snub_drive_lay(s->drive, winds[end], s->rig[0].settings, &path, NULL) != SNUB_OK)
            continue;
        snub_gaps(s->drive, &path, s->drive->limits[SNUB_LIMIT_FLAP], s->drive->limits[SNUB_LIMIT_GAP], gaps, GAPS_MOST,
                  &count);
        for (int g = 0; g < count; g++)
            tell_gap(t, &gaps[g], winds[end]);
    }
}

static void rule_fitting(const teller *t)
{
    const snub_study *s = t->study;
    snub_fitting fit;
    if (s->drive->arm < 0 && s->drive->locked < 0) {
        tell(t,
             (snub_finding){
                 .level = SNUB_NOTE,
                 .rule = "fitting",
                 .value = NAN,
                 .limit = NAN,
                 .at_speed = NAN,
                 .state = "fitting",
                 .source = "mechanics",
                 .text = "nothing on this drive takes up slack: the belt must be stretched on with the tool that "
                         "its maker names; never pry it on."},
             NULL);
        return;
    }
    if (snub_fit(s->drive, s->rig[0].settings, s->length, &fit, NULL) != SNUB_OK || fit.possible)
        return;
    tell(
        t,
        (snub_finding){.level = SNUB_FAIL,
                       .rule = "fitting",
                       .pulley = name_of(s, fit.last),
                       .value = fit.slack * 1e3,
                       .limit = fit.needed * 1e3,
                       .unit = "mm",
                       .at_speed = NAN,
                       .state = "fitting",
                       .source = "mechanics: shortest belt, whole wrap lifted over the rim",
                       .text = snub_format(s->arena,
                                           "cannot be fitted: with the %s there is %.1f mm of slack and %.1f mm are "
                                           "needed to pass the belt over this rim. A longer belt or %s.",
                                           s->drive->arm >= 0 ? "arm on its stop" : "slot slackened", fit.slack * 1e3,
                                           fit.needed * 1e3, s->drive->arm >= 0 ? "more arm travel" : "a longer slot")},
        NULL);
}

void snub_study_findings(const snub_study *study, const snub_check *check, snub_findings *findings)
{
    (void)check;
    const teller t = {study, findings};
    rule_balance(&t);
    for (int i = 0; i < study->drive->pulley_count; i++) {
        rule_grooves(&t, i);
        rule_size(&t, i);
        rule_slack(&t, i);
        rule_grip(&t, i);
        rule_wrap(&t, i);
        rule_pulley_speed(&t, i);
        rule_rotor_speed(&t, i);
    }
    rule_arm(&t);
    rule_belt(&t);
    rule_blower(&t);
    rule_gap(&t);
    rule_fitting(&t);
}
