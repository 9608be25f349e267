/* Bolts that hold the sliders of pulleys in their slots. docs/theory/mount.md, slots. */
#include "mend.h"

bool snub_slot_bolt(const snub_hardware_study *study, int pulley, snub_slot_hold *hold)
{
    const snub_pulley_hardware *h = &study->hardware->pulleys[pulley];
    const snub_bolt *bolt = snub_slider_bolt(h);
    if (study->drive->pulleys[pulley].sits != SNUB_ON_SLOT || bolt == NULL)
        return false;
    *hold = h->clamp.given ? (snub_slot_hold){bolt, h->clamp.friction, h->clamp.located}
                           : (snub_slot_hold){bolt, h->standoff.friction, h->standoff.located};
    return true;
}

void snub_along_slot(const snub_hardware_study *study, int pulley, double way[2])
{
    const snub_slot *slot = &study->drive->pulleys[pulley].slot;
    const double *at = study->path->centre[pulley];
    way[0] = slot->curved ? slot->centre[1] - at[1] : slot->to[0] - slot->from[0];
    way[1] = slot->curved ? at[0] - slot->centre[0] : slot->to[1] - slot->from[1];
}

/* Along the slot, in the case in which it is most: across it, the slot's sides hold. */
static snub_peak load_along(const snub_hardware_study *study, int pulley)
{
    double way[2];
    snub_along_slot(study, pulley, way);
    const double length = hypot(way[0], way[1]);
    snub_peak most = {0};
    for (int k = 0; k < study->study->sample_count && length > 0.0; k++) {
        const snub_hub_sample *s = &study->study->samples[k];
        snub_peak_take(&most, fabs(s->force[pulley][0] * way[0] + s->force[pulley][1] * way[1]) / length, &s->at);
    }
    return most;
}

static void judge_creep(const snub_hardware_study *study, int pulley, const snub_peak *load,
                        const snub_tightness *tightness, const snub_clamp_result *r)
{
    if (!(r->slip_use > SNUB_MARGINAL_SLIP))
        return;
    const bool creeps = r->slip_use > 1.0;
    snub_finding f = snub_hardware_finding(study, creeps ? SNUB_SAYS_SLIDER_CREEPS : SNUB_SAYS_SLIDER_MAY_CREEP, pulley,
                                           NULL, r->slip_use);
    f.limit = creeps ? 1.0 : SNUB_MARGINAL_SLIP;
    f.at = load->at;
    snub_finding_number(&f, "load", r->load, SNUB_UNIT_N, 0);
    snub_finding_number(&f, "preload", r->preload_low, SNUB_UNIT_KN, 1);
    snub_finding_number(&f, "friction", r->friction, SNUB_UNIT_NONE, 2);
    const snub_screwed screwed = {.study = study, .bolt = r->bolt, .tightness = tightness, .pulley = pulley};
    snub_mend_slip(&f, &screwed, r->slip_use);
    snub_hardware_tell(study, &f);
}

/* The clamp's own bolt by itself; a standoff's was judged with it. */
static void judge_bolt(const snub_hardware_study *study, int pulley, const snub_tightness *tightness,
                       snub_clamp_result *r)
{
    const snub_pulley_hardware *h = &study->hardware->pulleys[pulley];
    const snub_clamp *clamp = &h->clamp;
    const snub_screwed screwed = {.study = study,
                                  .bolt = &clamp->bolt,
                                  .tightness = tightness,
                                  .pulley = pulley,
                                  .tapped_in = clamp->tapped_in,
                                  .under_head = clamp->slider_given ? &clamp->slider : NULL};
    if (clamp->given)
        snub_judge_screw(&screwed, &r->screw);
    else
        r->screw = study->report->standoff[pulley].screw;
}

void snub_hardware_clamps(snub_hardware_study *study)
{
    for (int i = 0; i < study->drive->pulley_count; i++) {
        snub_clamp_result *r = &study->report->clamp[i];
        snub_slot_hold hold;
        if (!snub_slot_bolt(study, i, &hold))
            continue;
        const snub_tightness t = snub_tightness_of(hold.bolt, study->arena);
        const snub_peak load = load_along(study, i);
        r->given = true;
        r->bolt = hold.bolt;
        r->load = load.value;
        r->friction = hold.friction;
        r->preload = t.preload;
        r->preload_low = t.low;
        r->torque = t.torque;
        r->slip_use = hold.located ? 0.0 : load.value / (hold.friction * t.low);
        judge_creep(study, i, &load, &t, r);
        judge_bolt(study, i, &t, r);
    }
}
