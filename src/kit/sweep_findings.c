/* What a sweep has to say: slip, overspeed, power, heat, maps. docs/theory/sweep.md */
#include "sweep_findings.h"

#include <math.h>

#define RPM (30.0 / SNUB_PI)
#define PSI 6894.757293168 /* Pa */

typedef struct teller {
    snub_sweep *sweep;
    snub_arena *arena;
} teller;

static const char *or_empty(const char *text)
{
    return text ? text : "";
}

static void tell(const teller *t, snub_finding finding)
{
    finding.text = or_empty(finding.text);
    snub_findings_add(&t->sweep->findings, t->arena, &finding);
}

static const char *limit_source(const teller *t, snub_limit limit)
{
    return t->sweep->drive->limits_place[limit].line > 0 ? "the drive file" : snub_limit_describe(limit)->source;
}

/* Worst point of a slipping pulley in a way: the greatest heat, or the last point of an overrun. */
static int worst_slip(const snub_sweep *sweep, int way, int pulley)
{
    int worst = -1;
    double most = -1;
    for (int k = 0; k < sweep->speeds; k++) {
        const snub_sweep_pulley *p = &sweep->pulley[way][k * sweep->pulleys + pulley];
        if (!sweep->point[way][k].solved || p->slip == SNUB_SLIP_NONE)
            continue;
        double heat = isfinite(p->heat) ? p->heat : 0;
        if (heat >= most) {
            most = heat;
            worst = k;
        }
    }
    return worst;
}

/* "from 5450 rpm (rising), 5800 rpm (steady)" */
static const char *onsets(const teller *t, int pulley)
{
    const snub_sweep *sweep = t->sweep;
    const char *text = "";
    for (int way = 0; way < SNUB_SWEEP_WAYS; way++) {
        double onset = snub_sweep_slip_onset(sweep, (snub_sweep_way)way, pulley);
        if (isfinite(onset))
            text = or_empty(snub_format(t->arena, "%s%s%.0f rpm (%s)", text, *text ? ", " : "from ", onset * RPM,
                                        snub_sweep_way_text((snub_sweep_way)way)));
    }
    return text;
}

static const char *slip_words(const teller *t, int way, int pulley, int k)
{
    const snub_sweep *sweep = t->sweep;
    const snub_sweep_pulley *p = &sweep->pulley[way][k * sweep->pulleys + pulley];
    const snub_sweep_point *point = &sweep->point[way][k];
    const char *name = sweep->drive->pulleys[pulley].name, *from = onsets(t, pulley);
    double at = sweep->speed[k] * RPM;
    if (p->slip == SNUB_SLIP_OVERRUN)
        return snub_format(t->arena,
                           "%s: its inertia drives the belt harder than the belt can hold %s: it runs on, the belt "
                           "chirps and wears. Less inertia, more wrap, or a slower fall of engine speed.",
                           name, from);
    if (p->slip == SNUB_SLIP_STALLED)
        return snub_format(t->arena,
                           "%s: the belt slides right through %s: this torque does not fall with speed, so the pulley "
                           "stops and the belt burns (%.1f kW at %.0f rpm). Do not run it.",
                           name, from, p->heat / 1e3, at);
    double slow = 100 * (1 - p->factor);
    if (pulley == sweep->blower)
        return snub_format(t->arena,
                           "%s: slips %s. At %.0f rpm, %s, it turns %.2g %% slow, boost falls from %.1f to %.1f kPa "
                           "(%.1f to %.1f psi) and %.2g kW go to heat. A larger blower pulley, more wrap or ribs.",
                           name, from, at, snub_sweep_way_text((snub_sweep_way)way), slow,
                           point->boost_without_slip / 1e3, point->match.boost / 1e3, point->boost_without_slip / PSI,
                           point->match.boost / PSI, p->heat / 1e3);
    return snub_format(
        t->arena,
        "%s: slips %s. At %.0f rpm, %s, the slip is %.2g %% and %.2g kW go to heat. More wrap, more ribs "
        "or more arm moment.",
        name, from, at, snub_sweep_way_text((snub_sweep_way)way), slow, p->heat / 1e3);
}

/* Stalled is worse than slower, slower than overrun; then the greater heat. */
static double weight(const snub_sweep_pulley *p)
{
    double heat = isfinite(p->heat) ? p->heat : 0;
    return p->slip == SNUB_SLIP_STALLED ? 1e12 + heat : p->slip == SNUB_SLIP_SLOWER ? 1 + heat : 0;
}

static void find_slip(const teller *t, int pulley)
{
    snub_sweep *sweep = t->sweep;
    const snub_sweep_pulley *worst = NULL;
    int worst_way = 0, worst_k = 0;
    double first = INFINITY;
    for (int way = 0; way < SNUB_SWEEP_WAYS; way++) {
        int k = sweep->ran[way] ? worst_slip(sweep, way, pulley) : -1;
        if (k < 0)
            continue;
        const snub_sweep_pulley *p = &sweep->pulley[way][k * sweep->pulleys + pulley];
        first = fmin(first, snub_sweep_slip_onset(sweep, (snub_sweep_way)way, pulley));
        if (!worst || weight(p) > weight(worst)) {
            worst = p;
            worst_way = way;
            worst_k = k;
        }
    }
    if (!worst)
        return;
    tell(t, (snub_finding){.level = SNUB_FAIL,
                           .rule = "slip",
                           .pulley = sweep->drive->pulleys[pulley].name,
                           .value = worst->slip == SNUB_SLIP_OVERRUN ? NAN : 100 * (1 - worst->factor),
                           .limit = NAN,
                           .unit = "%",
                           .at_speed = first,
                           .state = snub_sweep_way_text((snub_sweep_way)worst_way),
                           .text = slip_words(t, worst_way, pulley, worst_k),
                           .source = "the belt slips at grip 1 on the limit friction"});
}

static void find_overspeed(const teller *t, int pulley)
{
    snub_sweep *sweep = t->sweep;
    const snub_pulley *p = &sweep->drive->pulleys[pulley];
    const int last = sweep->speeds - 1;
    const snub_sweep_point *point = &sweep->point[SNUB_SWEEP_STEADY][last];
    double redline = sweep->speed[last], ratio = snub_speed_ratio(sweep->drive, pulley);
    if (p->max_speed > 0 && redline * ratio > p->max_speed)
        tell(t, (snub_finding){.level = SNUB_FAIL,
                               .rule = "pulley_speed",
                               .pulley = p->name,
                               .value = redline * ratio * RPM,
                               .limit = p->max_speed * RPM,
                               .unit = "rpm",
                               .at_speed = p->max_speed / ratio,
                               .state = "steady",
                               .text =
                                   snub_format(t->arena,
                                               "%s: over its %.0f rpm from %.0f engine rpm on; %.0f rpm (%.0f %% over) "
                                               "at redline.",
                                               p->name, p->max_speed * RPM, p->max_speed / ratio * RPM,
                                               redline * ratio * RPM, 100 * (redline * ratio / p->max_speed - 1)),
                               .source = "the drive file: max"});
    if (pulley != sweep->blower || !(p->blower.max_speed > 0))
        return;
    double rotor = point->match.rotor_speed;
    if (rotor > p->blower.max_speed)
        tell(t, (snub_finding){
                    .level = SNUB_FAIL,
                    .rule = "rotor_speed",
                    .pulley = p->name,
                    .value = rotor * RPM,
                    .limit = p->blower.max_speed * RPM,
                    .unit = "rpm",
                    .at_speed = redline * p->blower.max_speed / rotor,
                    .state = "steady",
                    .text = snub_format(t->arena,
                                        "%s: the rotor passes its %.0f rpm at %.0f engine rpm and makes %.0f rpm "
                                        "at redline. A rotor that touches or bursts throws metal: a larger "
                                        "pulley or a lower rev limit.",
                                        p->name, p->blower.max_speed * RPM, redline * p->blower.max_speed / rotor * RPM,
                                        rotor * RPM),
                    .source = "the drive file: max_speed"});
}

static void find_power(const teller *t)
{
    snub_sweep *sweep = t->sweep;
    double limit = sweep->drive->limits[SNUB_LIMIT_RIB_POWER], most = 0;
    int at = -1, at_way = 0;
    for (int way = 0; way < SNUB_SWEEP_WAYS; way++)
        for (int k = 0; sweep->ran[way] && k < sweep->speeds; k++)
            if (sweep->point[way][k].solved && sweep->point[way][k].power > most) {
                most = sweep->point[way][k].power;
                at = k;
                at_way = way;
            }
    int ribs = sweep->drive->belt.ribs > 0 ? sweep->drive->belt.ribs : 1;
    if (at < 0 || most / ribs <= limit)
        return;
    tell(t, (snub_finding){.level = SNUB_WATCH,
                           .rule = "rib_power",
                           .value = most / ribs / 1e3,
                           .limit = limit / 1e3,
                           .unit = "kW",
                           .at_speed = sweep->speed[at],
                           .state = snub_sweep_way_text((snub_sweep_way)at_way),
                           .text =
                               snub_format(t->arena,
                                           "the belt carries %.1f kW, %.1f kW on each of its %d ribs, at %.0f rpm, %s: "
                                           "more ribs, or less belt life.",
                                           most / 1e3, most / ribs / 1e3, ribs, sweep->speed[at] * RPM,
                                           snub_sweep_way_text((snub_sweep_way)at_way)),
                           .source = limit_source(t, SNUB_LIMIT_RIB_POWER)});
}

/* First steady point with a flag; -1: none. */
static int first_flag(const snub_sweep *sweep, unsigned flag)
{
    for (int k = 0; k < sweep->speeds; k++)
        if (sweep->point[SNUB_SWEEP_STEADY][k].match.flags & flag)
            return k;
    return -1;
}

static void find_temperature(const teller *t)
{
    snub_sweep *sweep = t->sweep;
    double limit = sweep->drive->limits[SNUB_LIMIT_CHARGE_TEMPERATURE], most = 0;
    int at = 0;
    for (int k = 0; k < sweep->speeds; k++) {
        double outlet = sweep->point[SNUB_SWEEP_STEADY][k].match.outlet_temperature;
        if (outlet > most) {
            most = outlet;
            at = k;
        }
    }
    if (!(most > limit))
        return;
    tell(t, (snub_finding){
                .level = SNUB_WATCH,
                .rule = "charge_temperature",
                .pulley = sweep->drive->pulleys[sweep->blower].name,
                .value = most - 273.15,
                .limit = limit - 273.15,
                .unit = "degC",
                .at_speed = sweep->speed[at],
                .state = "steady",
                .text = snub_format(t->arena,
                                    "%s: the air leaves the blower at %.0f degC at %.0f rpm: less boost, or a "
                                    "blower that works nearer to its best point. Casing, hoses and seals must "
                                    "stand it.",
                                    sweep->drive->pulleys[sweep->blower].name, most - 273.15, sweep->speed[at] * RPM),
                .source = limit_source(t, SNUB_LIMIT_CHARGE_TEMPERATURE)});
}

static void find_flag(const teller *t, unsigned flag, snub_level level, const char *rule, const char *advice)
{
    snub_sweep *sweep = t->sweep;
    int k = first_flag(sweep, flag), last = k;
    if (k < 0)
        return;
    double outside = 0;
    int met = 0;
    for (int i = k; i < sweep->speeds; i++)
        if (sweep->point[SNUB_SWEEP_STEADY][i].match.flags & flag) {
            last = i;
            met++;
            outside = fmax(outside, sweep->point[SNUB_SWEEP_STEADY][i].match.outside);
        }
    const char *gaps = met < last - k + 1 ? "with gaps, " : "";
    bool map = flag == SNUB_MATCH_OUTSIDE_MAP;
    tell(t, (snub_finding){.level = level,
                           .rule = rule,
                           .pulley = sweep->drive->pulleys[sweep->blower].name,
                           .value = map ? 100 * outside : NAN,
                           .limit = NAN,
                           .unit = map ? "%" : "",
                           .at_speed = sweep->speed[k],
                           .state = "steady",
                           .text = snub_format(t->arena, "%s: %s, %sfrom %.0f to %.0f rpm. %s",
                                               sweep->drive->pulleys[sweep->blower].name,
                                               snub_match_flag_text((snub_match_flag)flag), gaps, sweep->speed[k] * RPM,
                                               sweep->speed[last] * RPM, advice),
                           .source = "docs/theory/match.md"});
}

static void find_unsolved(const teller *t)
{
    snub_sweep *sweep = t->sweep;
    for (int way = 0; way < SNUB_SWEEP_WAYS; way++)
        for (int k = 0; sweep->ran[way] && k < sweep->speeds; k++)
            if (!sweep->point[way][k].solved) {
                tell(t, (snub_finding){.level = SNUB_FAIL,
                                       .rule = "no_equilibrium",
                                       .value = NAN,
                                       .limit = NAN,
                                       .unit = "",
                                       .at_speed = sweep->speed[k],
                                       .state = snub_sweep_way_text((snub_sweep_way)way),
                                       .text = snub_format(t->arena, "at %.0f rpm, %s: %s.", sweep->speed[k] * RPM,
                                                           snub_sweep_way_text((snub_sweep_way)way),
                                                           sweep->point[way][k].why),
                                       .source = "mechanics"});
                break;
            }
}

/* Each blower is matched by itself; two that feed one engine share its air. */
static void find_several_blowers(const teller *t)
{
    const snub_drive *drive = t->sweep->drive;
    int blowers = 0;
    for (int i = 0; i < drive->pulley_count; i++)
        blowers += drive->pulleys[i].has_blower;
    if (blowers > 1)
        tell(t,
             (snub_finding){.level = SNUB_WATCH,
                            .rule = "several_blowers",
                            .value = blowers,
                            .limit = 1,
                            .unit = "",
                            .at_speed = NAN,
                            .state = "",
                            .text = "each blower is matched as if it fed the engine alone: boost, torque and power are "
                                    "not those of two that share its air. Give each its share of the displacement in a "
                                    "file of its own, and its torque as `load`.",
                            .source = "docs/theory/match.md"});
}

void snub_sweep_find(snub_sweep *sweep, snub_arena *arena)
{
    const teller t = {sweep, arena};
    find_several_blowers(&t);
    find_unsolved(&t);
    for (int i = 0; i < sweep->pulleys; i++) {
        find_slip(&t, i);
        if (i != sweep->drive->crank)
            find_overspeed(&t, i);
    }
    find_power(&t);
    if (sweep->blower >= 0) {
        find_temperature(&t);
        find_flag(&t, SNUB_MATCH_NO_BOOST, SNUB_NOTE, "no_boost", "Full boost needs more blower speed there.");
        find_flag(&t, SNUB_MATCH_OUTSIDE_MAP, SNUB_WATCH, "outside_map", "These values are extrapolated.");
        find_flag(&t, SNUB_MATCH_SURGE, SNUB_WATCH, "surge",
                  "It would surge: a smaller blower, a bypass or another step-up.");
        find_flag(&t, SNUB_MATCH_SEVERAL, SNUB_NOTE, "several_matches",
                  "Its map rises with flow: it may jump or surge.");
    }
    snub_findings_sort(&sweep->findings);
}
