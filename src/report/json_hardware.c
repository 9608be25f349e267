/* `snub mount --json` and `snub compare --json`. */
#include "json_words.h"
#include "words.h"

static void say(json_t *object, const char *key, const char *text)
{
    snub_json_put(object, key, snub_json_words(text));
}

static json_t *plane_of(const snub_hardware_report *r, int i)
{
    const snub_plane_result *p = &r->plane[i];
    json_t *o = json_object();
    snub_json_put_number(o, "plane_mm", r->drive->pulleys[i].plane / SNUB_MM);
    snub_json_put(o, "guides", json_boolean(r->drive->hardware->pulleys[i].guides));
    snub_json_put_number(o, "entry_deg", p->entry / SNUB_DEG);
    snub_json_put_number(o, "entry_loaded_deg", p->entry_loaded / SNUB_DEG);
    snub_json_put_number(o, "tolerance_rss_deg", p->rss / SNUB_DEG);
    snub_json_put_number(o, "tolerance_worst_deg", p->worst / SNUB_DEG);
    snub_json_put_number(o, "entry_unshimmed_deg", r->shims.asked ? p->unshimmed / SNUB_DEG : NAN);
    snub_json_put_number(o, "drift_mm", p->drift / SNUB_MM);
    snub_json_put_number(o, "edge_mm", p->edge / SNUB_MM);
    snub_json_put_number(o, "flange_mm", p->flange / SNUB_MM);
    return o;
}

static json_t *hub_of(const snub_hub_load *h)
{
    json_t *o = json_object();
    snub_json_put_number(o, "worst_N", h->worst_size);
    snub_json_put_number(o, "worst_without_swing_N", h->worst_steady);
    snub_json_put_number(o, "worst_deg", atan2(h->worst[1], h->worst[0]) / SNUB_DEG);
    snub_json_put_number(o, "least_N", h->least_size);
    snub_json_put_number(o, "at_rpm", h->worst_at.speed / SNUB_RPM);
    say(o, "state", snub_condition_text(&h->worst_at));
    snub_json_put(o, "swing", json_boolean(h->worst_at.swings));
    say(o, "belt", snub_corner_text(h->worst_at.corner));
    snub_json_put_number(o, "duty_mean_N", h->duty_mean);
    snub_json_put_number(o, "duty_mean_without_swing_N", h->duty_steady);
    snub_json_put_number(o, "duty_mean_rpm", h->mean_speed / SNUB_RPM);
    snub_json_put_number(o, "top_rpm", h->top_speed / SNUB_RPM);
    return o;
}

static void put_screw(json_t *o, const snub_screw_result *s)
{
    const bool pressed = s->head_pressure > 0.0;
    snub_json_put_number(o, "stress_MPa", s->stress / 1e6);
    snub_json_put_number(o, "engagement_mm", s->engagement > 0.0 ? s->engagement / SNUB_MM : NAN);
    snub_json_put_number(o, "engagement_needed_mm", s->engagement_needed > 0.0 ? s->engagement_needed / SNUB_MM : NAN);
    snub_json_put_number(o, "head_pressure_MPa", pressed ? s->head_pressure / 1e6 : NAN);
    snub_json_put_number(o, "head_pressure_limit_MPa", pressed ? s->head_limit / 1e6 : NAN);
}

static json_t *standoff_of(const snub_standoff_result *s)
{
    json_t *o = json_object();
    snub_json_put_number(o, "moment_N_m", s->moment);
    snub_json_put_number(o, "opens_at_N_m", s->no_gap);
    snub_json_put_number(o, "moment_along_slot_N_m", s->over_slot ? s->foot[0] : NAN);
    snub_json_put_number(o, "moment_across_slot_N_m", s->over_slot ? s->foot[1] : NAN);
    snub_json_put(o, "opens", json_boolean(s->gap));
    snub_json_put_number(o, "face_touching", s->touching);
    say(o, "tires", s->bolt_tires ? "bolt" : "standoff");
    snub_json_put_number(o, "preload_low_N", s->preload_low);
    snub_json_put_number(o, "preload_high_N", s->preload_high);
    snub_json_put_number(o, "torque_N_m", s->torque);
    snub_json_put_number(o, "slope_arcmin", s->slope / SNUB_ARCMIN);
    snub_json_put_number(o, "deflection_mm", s->deflection / SNUB_MM);
    snub_json_put_number(o, "bending_MPa", s->stress / 1e6);
    snub_json_put_number(o, "alternating_MPa", s->alternating / 1e6);
    snub_json_put_number(o, "mean_MPa", s->mean / 1e6);
    snub_json_put_number(o, "endurance_MPa", s->endurance / 1e6);
    snub_json_put_number(o, "fatigue_safety", s->fatigue);
    snub_json_put_number(o, "slip_used", s->slip_use);
    snub_json_put_number(o, "friction", s->friction);
    snub_json_put_number(o, "face_pressure_MPa", s->face_pressure > 0.0 ? s->face_pressure / 1e6 : NAN);
    snub_json_put_number(o, "face_pressure_limit_MPa", s->face_pressure > 0.0 ? s->face_limit / 1e6 : NAN);
    snub_json_put_number(o, "proof_safety", s->screw.proof);
    put_screw(o, &s->screw);
    return o;
}

static json_t *clamp_of(const snub_clamp_result *c)
{
    json_t *o = json_object();
    say(o, "bolt", c->bolt->name);
    snub_json_put_number(o, "load_N", c->load);
    snub_json_put_number(o, "friction", c->friction);
    snub_json_put_number(o, "slip_used", c->slip_use);
    snub_json_put_number(o, "preload_N", c->preload);
    snub_json_put_number(o, "preload_low_N", c->preload_low);
    snub_json_put_number(o, "torque_N_m", c->torque);
    snub_json_put_number(o, "proof_safety", c->screw.proof);
    put_screw(o, &c->screw);
    return o;
}

static json_t *bearing_of(const snub_bearing_result *b, const snub_bearing_seat *seat)
{
    json_t *o = json_object();
    say(o, "type", b->bearing->designation);
    snub_json_put(o, "rows", json_integer(b->bearing->rows));
    say(o, "seal", b->bearing->seal);
    say(o, "clearance", seat->clearance);
    say(o, "belt", snub_corner_text(b->belt));
    snub_json_put_number(o, "load_N", b->load);
    snub_json_put_number(o, "worst_N", b->worst);
    snub_json_put_number(o, "least_N", isfinite(b->least) ? b->least : NAN);
    say(o, "fit", seat->fit);
    say(o, "fit_needed", b->fit_needed);
    snub_json_put_number(o, "load_ratio", b->ratio);
    snub_json_put_number(o, "static_safety", b->static_safety);
    snub_json_put_number(o, "life_basic_h", b->life / 3600.0);
    snub_json_put_number(o, "application_factor", seat->application_factor);
    snub_json_put_number(o, "life_factor", b->life_factor);
    snub_json_put_number(o, "viscosity_mm2_s", b->viscosity * 1e6);
    snub_json_put_number(o, "viscosity_ratio", isfinite(b->film_least) ? b->film_least : NAN);
    say(o, "cleanliness", snub_cleanliness_text(seat->cleanliness));
    snub_json_put_number(o, "reliability_factor", b->reliability_factor);
    snub_json_put_number(o, "life_h", b->life_adjusted / 3600.0);
    snub_json_put_number(o, "life_without_swing_h", b->life_steady / 3600.0);
    snub_json_put_number(o, "grease_life_h", b->grease / 3600.0);
    snub_json_put_number(o, "n_dm_mm_rpm", b->n_dm);
    snub_json_put_number(o, "top_rpm", b->top_speed / SNUB_RPM);
    snub_json_put_number(o, "limit_rpm", b->limit_speed > 0.0 ? b->limit_speed / SNUB_RPM : NAN);
    snub_json_put_number(o, "moment_N_m", b->moment);
    snub_json_put_number(o, "tilt_arcmin", b->tilt / SNUB_ARCMIN);
    snub_json_put_number(o, "tilt_limit_arcmin", b->tilt_most / SNUB_ARCMIN);
    return o;
}

static json_t *strip_of(const snub_strip_result *s)
{
    json_t *o = json_object();
    snub_json_put_number(o, "stress_MPa", s->stress / SNUB_MPA);
    snub_json_put_number(o, "strength_MPa", s->strength / SNUB_MPA);
    snub_json_put(o, "brittle", json_boolean(s->brittle));
    snub_json_put(o, "stress_at_slot", json_boolean(s->greatest_at_slot));
    snub_json_put_number(o, "alternating_MPa", s->alternating / SNUB_MPA);
    snub_json_put_number(o, "mean_MPa", s->mean / SNUB_MPA);
    snub_json_put_number(o, "endurance_MPa", s->endurance / SNUB_MPA);
    snub_json_put_number(o, "fatigue_safety", s->fatigue);
    snub_json_put(o, "tires_at_slot", json_boolean(s->tires_at_slot));
    return o;
}

static json_t *pulleys_of(const snub_hardware_report *r)
{
    json_t *list = json_array();
    for (int i = 0; i < r->drive->pulley_count; i++) {
        json_t *o = json_object();
        say(o, "name", r->drive->pulleys[i].name);
        snub_json_put(o, "hub", hub_of(&r->hub[i]));
        snub_json_put(o, "plane", plane_of(r, i));
        snub_json_put(o, "standoff", r->standoff[i].given ? standoff_of(&r->standoff[i]) : json_null());
        snub_json_put(o, "strip", r->strip[i].given ? strip_of(&r->strip[i]) : json_null());
        snub_json_put(o, "slot", r->clamp[i].given ? clamp_of(&r->clamp[i]) : json_null());
        snub_json_put(o, "bearing",
                      r->bearing[i].given ? bearing_of(&r->bearing[i], &r->drive->hardware->pulleys[i].seat)
                                          : json_null());
        snub_json_append(list, o);
    }
    return list;
}

static json_t *bolt_of(const snub_bolt_result *b, bool carried)
{
    json_t *o = json_object();
    say(o, "name", b->bolt->name);
    say(o, "thread", b->bolt->thread);
    say(o, "class", b->bolt->class_);
    snub_json_put(o, "order", json_integer(b->order));
    snub_json_put(o, "locates", json_boolean(b->bolt->locates));
    snub_json_put_number(o, "torque_N_m", b->torque);
    say(o, "torque_source", b->torque_source);
    snub_json_put_number(o, "preload_N", b->preload);
    snub_json_put_number(o, "preload_low_N", b->preload_low);
    snub_json_put_number(o, "preload_high_N", b->preload_high);
    snub_json_put_number(o, "shear_N", carried ? b->shear : NAN);
    snub_json_put_number(o, "pull_N", carried ? b->pull : NAN);
    snub_json_put_number(o, "edge_pull_N", carried ? b->edge_pull : NAN);
    snub_json_put_number(o, "slip_used", carried ? b->slip_use : NAN);
    snub_json_put_number(o, "joint_constant", b->constant);
    snub_json_put_number(o, "separation_safety", carried ? b->joint.separate : NAN);
    snub_json_put_number(o, "proof_safety", b->screw.proof);
    snub_json_put_number(o, "overload_safety", carried ? b->joint.overload : NAN);
    snub_json_put_number(o, "fatigue_safety", carried ? b->joint.fatigue : NAN);
    put_screw(o, &b->screw);
    snub_json_put(o, "pad_assumed", json_boolean(b->pad_assumed));
    return o;
}

static json_t *mounts_of(const snub_hardware_report *r)
{
    json_t *list = json_array();
    for (int i = 0; i < r->mount_count; i++) {
        const snub_mount_result *m = &r->mounts[i];
        json_t *o = json_object(), *bolts = json_array();
        say(o, "name", m->mount->name);
        snub_json_put(o, "carried", json_boolean(m->carried));
        snub_json_put(o, "bolts_in_line", json_boolean(m->in_line));
        snub_json_put_number(o, "force_N", m->force);
        snub_json_put_number(o, "moment_N_m", m->moment);
        snub_json_put_number(o, "tilting_N_m", m->overturning);
        snub_json_put_number(o, "turning_friction_used", m->turning_use);
        snub_json_put_number(o, "friction", m->mount->friction);
        snub_json_put_number(o, "mass_kg", m->mount->mass > 0.0 ? m->mount->mass : (double)NAN);
        snub_json_put_number(o, "vibration_g",
                             m->mount->vibration > 0.0 ? m->mount->vibration / SNUB_GRAVITY : (double)NAN);
        snub_json_put_number(o, "bracket_slope_arcmin", m->slope / SNUB_ARCMIN);
        for (int k = 0; k < m->mount->bolt_count; k++)
            snub_json_append(bolts, bolt_of(&m->bolts[m->tighten[k]], m->carried));
        snub_json_put(o, "bolts", bolts);
        snub_text order = {0};
        snub_tightening_words(m, NULL, &order);
        say(o, "tightening", order.data);
        snub_text_free(&order);
        snub_json_append(list, o);
    }
    return list;
}

static json_t *shims_of(const snub_hardware_report *r)
{
    const snub_shim_advice *a = &r->shims;
    if (!a->asked)
        return json_null();
    json_t *o = json_object(), *places = json_array();
    snub_json_put(o, "wanted", json_boolean(a->wanted));
    snub_json_put(o, "passes", json_boolean(a->answer.passes));
    snub_json_put_number(o, "worst_now_deg", a->worst_now / SNUB_DEG);
    snub_json_put_number(o, "worst_deg", a->answer.worst / SNUB_DEG);
    snub_json_put(o, "shims", json_integer(a->answer.shims));
    for (int k = 0; k < a->places; k++) {
        json_t *p = json_object(), *pack = json_array();
        say(p, "of", a->owner[k]);
        say(p, "part", a->place[k]->name);
        snub_json_put_number(p, "now_mm", a->place[k]->length / SNUB_MM);
        snub_json_put_number(p, "thickness_mm", a->answer.pack[k] / SNUB_MM);
        for (int i = 0; i < r->drive->hardware->shim_count; i++) {
            for (int c = 0; c < a->answer.count[k][i]; c++)
                snub_json_append(pack, snub_json_number(r->drive->hardware->shims[i] / SNUB_MM));
        }
        snub_json_put(p, "pack_mm", pack);
        snub_json_append(places, p);
    }
    snub_json_put(o, "places", places);
    return o;
}

static json_t *conflicts_of(const snub_hardware_report *r)
{
    static const char *const pieces[] = {"rim",       "front flange", "rear flange", "disc", "belt on pulley",
                                         "belt span", "body"};
    json_t *list = json_array();
    for (int k = 0; k < r->conflict_count; k++) {
        const snub_conflict *c = &r->conflicts[k];
        json_t *o = json_object();
        say(o, "obstacle", c->obstacle->name);
        say(o, "pulley", c->piece == SNUB_PIECE_BODY ? NULL : r->drive->pulleys[c->index].name);
        say(o, "body", c->piece == SNUB_PIECE_BODY ? c->disc : NULL);
        say(o, "piece", pieces[c->piece]);
        snub_json_put_number(o, "gap_mm", c->gap / SNUB_MM);
        snub_json_put_number(o, "needed_mm", c->needed / SNUB_MM);
        snub_json_put_number(o, "flap_mm", c->flap / SNUB_MM);
        snub_json_put_number(o, "lean_mm", c->shift / SNUB_MM);
        snub_json_put(o, "at_mm", snub_json_pair(c->at[0] / SNUB_MM, c->at[1] / SNUB_MM));
        snub_json_put_number(o, "relief_mm", c->relief < c->thick ? c->relief / SNUB_MM : NAN);
        snub_json_put(o, "relief_z_mm", snub_json_pair(c->relief_from / SNUB_MM, c->relief_to / SNUB_MM));
        snub_json_put_number(o, "face_off_mm", c->face_off / SNUB_MM);
        snub_json_put_number(o, "trim_mm", c->trim / SNUB_MM);
        snub_json_put_number(o, "narrower_mm", c->narrower / SNUB_MM);
        snub_json_append(list, o);
    }
    return list;
}

/* What values are held against where the part itself does not say: it fails at the first, is marginal to the second. */
static json_t *limits_of(const snub_drive *drive)
{
    json_t *o = json_object();
    snub_json_put(o, "slip_used", snub_json_pair(1.0, SNUB_MARGINAL_SLIP));
    snub_json_put(o, "safety", snub_json_pair(1.0, SNUB_MARGINAL_SAFETY));
    snub_json_put(o, "static_safety", snub_json_pair(1.0, SNUB_MARGINAL_STATIC));
    snub_json_put_number(o, "proof_safety", 1.0);
    snub_json_put_number(o, "life_h", drive->limits[SNUB_LIMIT_BEARING_LIFE] / SNUB_HOUR);
    snub_json_put_number(o, "misalignment_deg", drive->limits[SNUB_LIMIT_MISALIGNMENT] / SNUB_DEG);
    return o;
}

json_t *snub_json_hardware(const snub_build *build, const snub_locale *locale)
{
    const snub_hardware_report *r = build->report;
    const bool done = r != NULL && r->done;
    json_t *o = json_object();
    snub_json_put(o, "snub", json_integer(1));
    say(o, "title", build->drive->title);
    snub_json_put_verdict(o, build);
    snub_json_put(o, "build", snub_json_build(build));
    snub_json_put(o, "hardware_given", json_boolean(build->drive->hardware != NULL));
    snub_json_put(o, "duty_assumed", json_boolean(done && r->duty_assumed));
    snub_json_put(o, "swing_counts", json_boolean(build->swings));
    say(o, "swing_missing", !build->swings ? build->swing_missing : NULL);
    snub_json_put(o, "limits", limits_of(build->drive));
    snub_json_put(o, "pulleys", done ? pulleys_of(r) : json_array());
    snub_json_put(o, "shims", done ? shims_of(r) : json_null());
    snub_json_put(o, "mounts", done ? mounts_of(r) : json_array());
    snub_json_put(o, "obstacles", done ? conflicts_of(r) : json_array());
    snub_json_put(o, "findings", snub_json_findings(&build->findings, locale));
    return snub_json_whole(o);
}
