/* Any bolt by itself, a bracket's or a standoff's: stress while it is tightened, preload, thread, face under its head.
 * docs/theory/mount.md. */
#include "mend.h"
#include "snub/locale.h"

/* Preload that rarely shakes loose, of proof load: Shigley, 9th ed., p. 448. */
#define STAYS_TIGHT 0.60
/* Under which it is to be looked at, and is no joint any more, of proof load: rule of thumb, no published source. */
#define SMALL_PRELOAD 0.40
#define TRIFLING_PRELOAD 0.15
/* Lengths are the same within this, m. */
#define SAME_LENGTH 1e-9
/* Least torque that is one, N m. */
#define SOME_TORQUE 0.01

static snub_finding about(const snub_screwed *s, snub_wording wording, double value)
{
    const snub_mount *mount = s->mount;
    snub_finding f = mount != NULL ? snub_bolt_finding(s->study, wording, mount, s->bolt, value)
                                   : snub_hardware_finding(s->study, wording, s->pulley, s->bolt->name, value);
    if (mount == NULL)
        f.line = s->bolt->place.line;
    snub_finding_name(&f, "bolt", s->bolt->name);
    snub_finding_name(&f, "owner", mount != NULL ? mount->name : s->study->drive->pulleys[s->pulley].name);
    return f;
}

/* ---- proof ------------------------------------------------------------------------------------------------------ */

static snub_wording proof_wording(const snub_screwed *s)
{
    const snub_bolt *bolt = s->bolt;
    const double meant = snub_stress_meant(bolt, s->tightness, s->pull);
    if (!(snub_stress_most(bolt, s->tightness, s->pull) > bolt->proof))
        return SNUB_WORDINGS_;
    if (!(snub_torque_under(bolt, s->tightness, s->pull) >= SOME_TORQUE))
        return SNUB_SAYS_PULL_OVER_PROOF;
    if (bolt->yield > 0.0 && meant > bolt->yield)
        return SNUB_SAYS_BOLT_YIELDS;
    return meant > bolt->proof ? SNUB_SAYS_BOLT_OVER_PROOF : SNUB_SAYS_BOLT_MAY_PASS_PROOF;
}

static void judge_proof(const snub_screwed *s)
{
    const snub_wording wording = proof_wording(s);
    if (wording == SNUB_WORDINGS_)
        return;
    const bool yields = wording == SNUB_SAYS_BOLT_YIELDS;
    const double torque = snub_torque_under(s->bolt, s->tightness, s->pull);
    snub_finding f = about(s, wording,
                           yields ? snub_stress_meant(s->bolt, s->tightness, s->pull)
                                  : snub_stress_most(s->bolt, s->tightness, s->pull));
    f.limit = yields ? s->bolt->yield : s->bolt->proof;
    if (snub_pull_counts(s->bolt, s->tightness, s->pull))
        f.at = s->pull_at;
    snub_finding_most(&f, "torque", torque, SNUB_UNIT_N_M, snub_torque_places(torque));
    (void)snub_mend_bolt(&f, s, torque / s->tightness->torque);
    snub_hardware_tell(s->study, &f);
}

static void judge_preload(const snub_screwed *s)
{
    const double proof = s->bolt->proof * s->bolt->stress_area, preload = s->tightness->preload;
    const double share = preload / proof;
    if (!(share < STAYS_TIGHT))
        return;
    const bool small = share < SMALL_PRELOAD, trifling = share < TRIFLING_PRELOAD;
    snub_finding f = about(s,
                           trifling ? SNUB_SAYS_PRELOAD_TRIFLING
                           : small  ? SNUB_SAYS_PRELOAD_SMALL
                                    : SNUB_SAYS_PRELOAD_LOW,
                           preload);
    f.limit = (trifling ? TRIFLING_PRELOAD : small ? SMALL_PRELOAD : STAYS_TIGHT) * proof;
    snub_finding_number(&f, "share", share, SNUB_UNIT_PERCENT, 0);
    const double factor = STAYS_TIGHT / share, torque = s->tightness->torque * factor;
    const bool some = snub_mend_bolt(&f, s, factor);
    snub_finding_words(&f, "more", some ? SNUB_MESSAGE("at least {wanted}") : SNUB_MESSAGE("more torque"));
    if (some)
        snub_finding_least(&f, "wanted", torque, SNUB_UNIT_N_M, snub_torque_places(torque));
    snub_hardware_tell(s->study, &f);
}

/* ---- thread ----------------------------------------------------------------------------------------------------- */

static void tell_unknown(const snub_screwed *s)
{
    const snub_bolt *bolt = s->bolt;
    if (bolt->engagement > 0.0 && s->tapped_in == NULL) {
        const snub_finding f = about(s, SNUB_SAYS_THREADED_IN_NOTHING, bolt->engagement);
        snub_hardware_tell(s->study, &f);
    } else if (bolt->length > 0.0 && !(bolt->engagement > 0.0)) {
        const snub_finding f = about(s, SNUB_SAYS_GRIP_UNKNOWN, bolt->length);
        snub_hardware_tell(s->study, &f);
    }
}

static void judge_thread(const snub_screwed *s, snub_screw_result *r)
{
    const snub_bolt *bolt = s->bolt;
    bool listed = false;
    if (s->tapped_in != NULL)
        r->engagement_needed = snub_engagement(s->tapped_in, bolt->tensile, &listed) * bolt->diameter;
    if (s->tapped_in == NULL || !(bolt->engagement > 0.0)) {
        tell_unknown(s);
        return;
    }
    r->engagement = fmax(bolt->engagement - s->packed, 0.0);
    const bool thin = s->metal > 0.0 && s->metal < r->engagement;
    if (thin)
        r->engagement = s->metal;
    const bool strips = r->engagement < r->engagement_needed - SAME_LENGTH;
    if (!strips && listed)
        return;
    const bool packed = strips && bolt->engagement >= r->engagement_needed - SAME_LENGTH;
    snub_finding f = about(s,
                           strips && thin ? SNUB_SAYS_METAL_HOLDS_LESS
                           : packed       ? SNUB_SAYS_SHIMS_TAKE_THREAD
                           : strips       ? SNUB_SAYS_THREAD_STRIPS
                                          : SNUB_SAYS_ENGAGEMENT_UNKNOWN,
                           r->engagement);
    if (strips) {
        f.limit = r->engagement_needed;
        snub_finding_least(&f, "limit", f.limit, SNUB_UNIT_MM, 1);
        snub_finding_number(&f, "pack", s->packed, SNUB_UNIT_MM, 2);
        snub_finding_least(&f, "longer", r->engagement_needed - r->engagement, SNUB_UNIT_MM, 1);
    }
    snub_finding_words(&f, "metal", s->tapped_in);
    snub_finding_name(&f, "class", bolt->class_ != NULL ? bolt->class_ : "-");
    snub_hardware_tell(s->study, &f);
}

/* ---- face under the head ---------------------------------------------------------------------------------------- */

/* A washer hands the head's force on over a wider face: 1.6 of its thickness wider than the head (VDI 2230). */
#define WASHER_SPREADS 1.6

static double face_under(const snub_bolt *bolt)
{
    if (!(bolt->washer > 0.0))
        return bolt->head;
    return fmin(bolt->washer, fmax(bolt->head, bolt->hole) + WASHER_SPREADS * bolt->washer_thickness);
}

static void judge_head(const snub_screwed *s, snub_screw_result *r)
{
    const snub_bolt *bolt = s->bolt;
    const double area = snub_annulus_area(face_under(bolt), bolt->hole), pull = fmax(s->pull, 0.0);
    if (s->under_head == NULL)
        return;
    r->head_pressure = (s->tightness->high + pull) / area;
    r->head_limit = snub_surface_pressure(s->under_head);
    if (!(r->head_pressure > r->head_limit))
        return;
    const bool sinks = (s->tightness->preload + pull) / area > r->head_limit;
    snub_finding f = about(s, sinks ? SNUB_SAYS_HEAD_SINKS : SNUB_SAYS_HEAD_MAY_SINK, r->head_pressure);
    f.limit = r->head_limit;
    snub_finding_words(&f, "metal", s->under_head->name);
    snub_finding_words(&f, "face", bolt->washer > 0.0 ? SNUB_MESSAGE("its washer") : SNUB_MESSAGE("its head"));
    snub_finding_words(&f, "advice",
                       bolt->washer > 0.0 ? SNUB_MESSAGE("Use a wider and thicker washer, or less torque")
                                          : SNUB_MESSAGE("Use a hardened washer, or less torque"));
    snub_hardware_tell(s->study, &f);
}

void snub_judge_screw(const snub_screwed *s, snub_screw_result *r)
{
    r->stress = snub_stress_most(s->bolt, s->tightness, s->pull);
    r->proof = s->bolt->proof / r->stress;
    judge_proof(s);
    judge_preload(s);
    judge_thread(s, r);
    judge_head(s, r);
}
