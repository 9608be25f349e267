/* Strength of the strips that carry pulleys past the bolts of a bracket. docs/theory/mount.md, strip. */
#include "hardware_study.h"
#include "snub/locale.h"

/* A section of the strip: at its nearest bolt, or at the end of the slot in it. */
typedef struct section {
    snub_flat strip;
    double lever; /* of the hub load along the strip, m */
    bool slot;
} section;

typedef struct strip_case {
    snub_hardware_study *study;
    int pulley;
    const snub_mount *mount;
    const double *along; /* from the bolts' middle to the pulley, a unit */
    double height;       /* of the hub load over the middle of the plate, m */
    double endurance;    /* Pa */
    snub_strip_result *r;
} strip_case;

static double along(const strip_case *c, const double from[2], const double to[2])
{
    return (to[0] - from[0]) * c->along[0] + (to[1] - from[1]) * c->along[1];
}

static double across(const strip_case *c, const double from[2], const double to[2])
{
    return (to[1] - from[1]) * c->along[0] - (to[0] - from[0]) * c->along[1];
}

/* ---- sections ---------------------------------------------------------------------------------------------------- */

static section at_bolt(const strip_case *c)
{
    const snub_bolt *bolt = snub_mount_nearest(c->mount, c->study->path->centre[c->pulley]);
    return (section){{c->mount->width, c->mount->thickness, bolt->hole, 0.5 * bolt->hole},
                     snub_mount_reach(c->mount, c->study->path->centre[c->pulley]),
                     false};
}

/* Points of a slot that are looked at: the bulge of a curved one between two of them is under 1e-4 of its radius. */
enum { SLOT_CELLS = 64 };

/* Between the slot's nearer end and the bolts nothing is missing; up to that end the whole slot's part across the strip
 * is taken to be. @return false: no slot, or its width is not known */
static bool at_slot(const strip_case *c, section *s)
{
    const snub_pulley *pulley = &c->study->drive->pulleys[c->pulley];
    const double *centre = c->study->path->centre[c->pulley],
                 width = snub_slot_width(c->mount, &c->study->hardware->pulleys[c->pulley]);
    double lever = 0.0, left = 0.0, right = 0.0;
    if (pulley->sits != SNUB_ON_SLOT || !(width > 0.0))
        return false;
    for (int k = 0; k <= SLOT_CELLS; k++) {
        double point[2];
        snub_slot_point(&pulley->slot, pulley->slot.length * k / SLOT_CELLS, point);
        lever = fmax(lever, along(c, point, centre));
        left = fmin(left, across(c, centre, point));
        right = fmax(right, across(c, centre, point));
    }
    *s = (section){{c->mount->width, c->mount->thickness, width + right - left, 0.5 * width}, lever, true};
    return true;
}

/* ---- loads ------------------------------------------------------------------------------------------------------- */

/* The torque that the pulley's housing takes bends the strip in its plane. */
static snub_flat_stress stress_of(const strip_case *c, const section *at, const snub_hub_sample *sample)
{
    const double zero[2] = {0.0, 0.0}, *force = sample->force[c->pulley];
    const double pull = along(c, zero, force), push = across(c, zero, force);
    const snub_flat_load load = {.bend = pull * c->height,
                                 .twist = push * c->height,
                                 .sideways = push * at->lever + sample->reaction[c->pulley],
                                 .pull = pull};
    return snub_flat_stress_of(&at->strip, &load);
}

/* Brittle metal breaks where the stress peaks; other metal yields there first, which does not count. */
static double bears(const strip_case *c, const section *at, const snub_flat_stress *s)
{
    return c->r->brittle ? snub_flat_peak(&at->strip, s) : snub_flat_greatest(s);
}

typedef struct stress_range {
    bool met;
    snub_flat_stress low, high;
    snub_condition at; /* of the greatest stress */
    double most;
} stress_range;

static void widen(stress_range *range, const snub_flat_stress *s, double stress, const snub_condition *at)
{
    if (!range->met)
        range->low = range->high = *s;
    if (!range->met || stress > range->most) {
        range->most = stress;
        range->at = *at;
    }
    range->met = true;
    range->low = (snub_flat_stress){fmin(range->low.bend, s->bend), fmin(range->low.twist, s->twist),
                                    fmin(range->low.sideways, s->sideways), fmin(range->low.pull, s->pull)};
    range->high = (snub_flat_stress){fmax(range->high.bend, s->bend), fmax(range->high.twist, s->twist),
                                     fmax(range->high.sideways, s->sideways), fmax(range->high.pull, s->pull)};
}

/* Half of the range, or its middle. */
static snub_flat_stress half(const stress_range *r, double sign)
{
    return (snub_flat_stress){0.5 * (r->high.bend + sign * r->low.bend), 0.5 * (r->high.twist + sign * r->low.twist),
                              0.5 * (r->high.sideways + sign * r->low.sideways),
                              0.5 * (r->high.pull + sign * r->low.pull)};
}

/* Goodman at the rim of the hole, the parts of the load taken to swing together. */
static void tire(const strip_case *c, const section *at, const stress_range *range, int corner)
{
    const snub_flat_stress swing = half(range, -1.0), middle = half(range, 1.0);
    const double alternating = snub_flat_peak(&at->strip, &swing), mean = snub_flat_peak(&at->strip, &middle);
    const double safety = snub_goodman(alternating, mean, c->endurance, c->mount->bracket.tensile);
    snub_strip_result *r = c->r;
    if (!(safety < r->fatigue))
        return;
    r->fatigue = safety;
    r->alternating = alternating;
    r->mean = mean;
    r->tires_at_slot = at->slot;
    r->fatigue_belt = (snub_corner)corner;
    r->fatigue_at = range->at;
}

static void load_section(const strip_case *c, const section *at)
{
    stress_range range[SNUB_CORNERS] = {{0}};
    for (int k = 0; k < c->study->study->sample_count; k++) {
        const snub_hub_sample *s = &c->study->study->samples[k];
        const snub_flat_stress stress = stress_of(c, at, s);
        widen(&range[s->at.corner], &stress, bears(c, at, &stress), &s->at);
    }
    for (int corner = 0; corner < SNUB_CORNERS; corner++) {
        if (!range[corner].met)
            continue;
        if (range[corner].most > c->r->stress) {
            c->r->stress = range[corner].most;
            c->r->stress_at = range[corner].at;
            c->r->greatest_at_slot = at->slot;
        }
        tire(c, at, &range[corner], corner);
    }
}

/* ---- judgement --------------------------------------------------------------------------------------------------- */

static const char *place_of(bool slot)
{
    return slot ? SNUB_MESSAGE("at the end of the slot") : SNUB_MESSAGE("at the nearest bolt hole");
}

static snub_finding about(const strip_case *c, snub_wording wording, double value, bool slot, const snub_condition *at)
{
    snub_finding f = snub_hardware_finding(c->study, wording, c->pulley, c->mount->name, value);
    snub_finding_words(&f, "where", place_of(slot));
    f.at = *at;
    return f;
}

static void judge_stress(const strip_case *c)
{
    static const snub_wording words[2][2] = {{SNUB_SAYS_BRACKET_YIELDS, SNUB_SAYS_BRACKET_MAY_YIELD},
                                             {SNUB_SAYS_BRACKET_CRACKS, SNUB_SAYS_BRACKET_MAY_CRACK}};
    const snub_strip_result *r = c->r;
    if (!(r->stress > r->strength / SNUB_MARGINAL_SAFETY))
        return;
    const bool over = r->stress > r->strength;
    snub_finding f = about(c, words[r->brittle][!over], r->stress, r->greatest_at_slot, &r->stress_at);
    f.limit = over ? r->strength : r->strength / SNUB_MARGINAL_SAFETY;
    snub_finding_number(&f, "strength", r->strength, SNUB_UNIT_MPA, 0);
    snub_hardware_tell(c->study, &f);
}

static void judge_fatigue(const strip_case *c)
{
    const snub_strip_result *r = c->r;
    if (!(r->fatigue < SNUB_MARGINAL_SAFETY))
        return;
    const bool breaks = r->fatigue < 1.0;
    snub_finding f = about(c, breaks ? SNUB_SAYS_BRACKET_BREAKS : SNUB_SAYS_BRACKET_MAY_BREAK, r->fatigue,
                           r->tires_at_slot, &r->fatigue_at);
    f.limit = breaks ? 1.0 : SNUB_MARGINAL_SAFETY;
    snub_finding_number(&f, "alternating", r->alternating, SNUB_UNIT_MPA, 0);
    snub_finding_number(&f, "mean", r->mean, SNUB_UNIT_MPA, 0);
    snub_hardware_tell(c->study, &f);
}

/* @return false: nothing of the strip is left there */
static bool judge_width(const strip_case *c, const section *at)
{
    if (at->strip.gone < at->strip.width)
        return true;
    const snub_condition nowhere = {0};
    snub_finding f = about(c, SNUB_SAYS_BRACKET_CUT, at->strip.gone, at->slot, &nowhere);
    f.limit = at->strip.width;
    snub_hardware_tell(c->study, &f);
    return false;
}

static void judge(snub_hardware_study *study, const snub_mount *mount, int pulley)
{
    snub_strip_result *r = &study->report->strip[pulley];
    const snub_material *metal = &mount->bracket;
    /* of the round bar that as much of is stressed highly: 0.808 sqrt(w t), Shigley 6-25 */
    const double size = 0.808 * sqrt(mount->width * mount->thickness);
    const strip_case c = {.study = study,
                          .pulley = pulley,
                          .mount = mount,
                          .along = study->lean[pulley].along,
                          .height = snub_hardware_belt_at(study, pulley) - mount->face - 0.5 * mount->thickness,
                          .endurance = snub_metal_endurance(metal, SNUB_HOT_ROLLED, size),
                          .r = r};
    section at[2] = {at_bolt(&c)};
    const int sections = at_slot(&c, &at[1]) ? 2 : 1;
    *r = (snub_strip_result){.given = true,
                             .brittle = !(metal->yield > 0.0),
                             .strength = metal->yield > 0.0 ? metal->yield : metal->tensile,
                             .endurance = c.endurance,
                             .fatigue = INFINITY};
    for (int k = 0; k < sections; k++) {
        if (judge_width(&c, &at[k]))
            load_section(&c, &at[k]);
    }
    judge_stress(&c);
    judge_fatigue(&c);
}

void snub_hardware_strips(snub_hardware_study *study)
{
    for (int i = 0; i < study->drive->pulley_count; i++) {
        const int index = study->hardware->pulleys[i].mount;
        const snub_mount *mount = index >= 0 ? &study->hardware->mounts[index] : NULL;
        if (mount != NULL && snub_mount_bends(mount))
            judge(study, mount, i);
    }
}
