/* Belt planes: entry angles as drawn and under load, what tolerances do to them, and which shims mend them.
 * docs/theory/planes.md. */
#include "mend.h"
#include "snub/locale.h"

#include <string.h>

static void planes_as_drawn(const snub_hardware_study *study, snub_plane *plane)
{
    for (int i = 0; i < study->drive->pulley_count; i++) {
        const snub_pulley_hardware *h = &study->hardware->pulleys[i];
        plane[i] = (snub_plane){study->drive->pulleys[i].plane, {h->tilt[0], h->tilt[1]}, h->guides};
    }
}

/* Change of every entry angle per metre by which some pulleys stand farther out. The angles are linear in that. */
static void slope_of(const snub_hardware_study *study, const bool *moves, double *slope)
{
    snub_plane plane[SNUB_PULLEYS_MOST];
    double exit[SNUB_PULLEYS_MOST];
    planes_as_drawn(study, plane);
    for (int i = 0; i < study->drive->pulley_count; i++) {
        plane[i].z = moves[i] ? 1.0 : 0.0;
        plane[i].tilt[0] = plane[i].tilt[1] = 0.0;
    }
    snub_entry_angles(study->path, plane, slope, exit, NULL, NULL);
}

static void moved_by(const snub_hardware_study *study, int mount, int pulley, bool *moves)
{
    for (int i = 0; i < study->drive->pulley_count; i++)
        moves[i] = mount >= 0
                       ? study->hardware->pulleys[i].mount == mount && study->hardware->pulleys[i].stack.count > 0
                       : i == pulley;
}

snub_status snub_hardware_drift(snub_hardware_study *study, snub_error *error)
{
    snub_plane plane[SNUB_PULLEYS_MOST];
    double enter[SNUB_PULLEYS_MOST], leave[SNUB_PULLEYS_MOST];
    planes_as_drawn(study, plane);
    return snub_belt_heights(study->path, plane, enter, leave, study->drift, error);
}

double snub_hardware_belt_at(const snub_hardware_study *study, int pulley)
{
    return study->drive->pulleys[pulley].plane + study->drift[pulley];
}

/* ---- angles ------------------------------------------------------------------------------------------------------ */

static snub_status draw_angles(snub_hardware_study *study, snub_error *error)
{
    snub_plane plane[SNUB_PULLEYS_MOST];
    double entry[SNUB_PULLEYS_MOST], exit[SNUB_PULLEYS_MOST];
    planes_as_drawn(study, plane);
    const snub_status status = snub_entry_angles(study->path, plane, entry, exit, NULL, error);
    if (status != SNUB_OK)
        return status;
    for (int i = 0; i < study->drive->pulley_count; i++) {
        snub_plane_result *r = &study->report->plane[i];
        r->entry = r->entry_loaded = r->low = r->high = entry[i];
        r->drift = study->hardware->pulleys[i].guides ? NAN : study->drift[i];
    }
    return SNUB_OK;
}

/* Change of every entry angle per radian by which the seat of one pulley leans about one axis. The angles are linear in
 * that, so that a case needs no more than a sum over the pulleys whose seats lean. */
typedef struct response {
    int count, pulley[SNUB_PULLEYS_MOST];
    double entry[SNUB_PULLEYS_MOST][2][SNUB_PULLEYS_MOST]; /* [which leans][axis][of] */
} response;

static void learn_response(const snub_hardware_study *study, response *r)
{
    snub_plane plane[SNUB_PULLEYS_MOST];
    double exit[SNUB_PULLEYS_MOST];
    r->count = 0;
    planes_as_drawn(study, plane);
    for (int i = 0; i < study->drive->pulley_count; i++)
        plane[i].z = plane[i].tilt[0] = plane[i].tilt[1] = 0.0;
    for (int i = 0; i < study->drive->pulley_count; i++) {
        if (!snub_leans(&study->lean[i]))
            continue;
        for (int axis = 0; axis < 2; axis++) {
            plane[i].tilt[axis] = 1.0;
            snub_entry_angles(study->path, plane, r->entry[r->count][axis], exit, NULL, NULL);
            plane[i].tilt[axis] = 0.0;
        }
        r->pulley[r->count++] = i;
    }
}

static void angles_under(const snub_hardware_study *study, const response *r, int sample, double *entry)
{
    const int n = study->drive->pulley_count;
    for (int i = 0; i < n; i++)
        entry[i] = study->report->plane[i].entry;
    for (int k = 0; k < r->count; k++) {
        const double *tilt = study->tilt[sample * n + r->pulley[k]];
        for (int i = 0; i < n; i++)
            entry[i] += r->entry[k][0][i] * tilt[0] + r->entry[k][1][i] * tilt[1];
    }
}

/* Every seat leans as the same case bends it; the swing is left out, as in hardware_lean.c. */
static void load_angles(snub_hardware_study *study)
{
    response r;
    learn_response(study, &r);
    for (int k = 0; k < study->study->steady_count; k++) {
        double entry[SNUB_PULLEYS_MOST];
        angles_under(study, &r, k, entry);
        for (int i = 0; i < study->drive->pulley_count; i++) {
            snub_plane_result *result = &study->report->plane[i];
            if (k == 0 || fabs(entry[i]) > fabs(result->entry_loaded)) {
                result->entry_loaded = entry[i];
                result->loaded_at = study->study->samples[k].at;
            }
            result->low = fmin(result->low, entry[i]);
            result->high = fmax(result->high, entry[i]);
        }
    }
}

static bool anything_bends(const snub_hardware_study *study)
{
    bool bends = false;
    for (int i = 0; i < study->drive->pulley_count; i++)
        bends = bends || study->report->hub[i].lean > 0.0;
    return bends;
}

/* ---- tolerances and shim places --------------------------------------------------------------------------------- */

static void add_stack(snub_hardware_study *study, const snub_stack *stack, int mount, int pulley, snub_shim_places *p)
{
    const int n = study->drive->pulley_count;
    bool moves[SNUB_PULLEYS_MOST];
    double slope[SNUB_PULLEYS_MOST];
    snub_shim_advice *advice = &study->report->shims;
    if (stack->count == 0)
        return;
    moved_by(study, mount, pulley, moves);
    slope_of(study, moves, slope);
    for (int k = 0; k < stack->count; k++) {
        const snub_stack_part *part = &stack->parts[k];
        for (int i = 0; i < n; i++) {
            const double reach = fabs(slope[i] * part->tolerance);
            study->report->plane[i].worst += reach;
            study->report->plane[i].rss += reach * reach;
        }
        if (!study->planning || part->kind != SNUB_STACK_SHIM)
            continue;
        if (advice->places == SNUB_SHIM_PLACES_MOST) {
            advice->left_out++;
            continue;
        }
        for (int i = 0; i < n; i++)
            p->slope[i][advice->places] = slope[i];
        p->now[advice->places] = part->length;
        advice->place[advice->places] = part;
        advice->owner[advice->places] =
            mount >= 0 ? study->hardware->mounts[mount].name : study->drive->pulleys[pulley].name;
        advice->mount[advice->places] = mount;
        advice->pulley[advice->places] = mount >= 0 ? -1 : pulley;
        advice->places++;
    }
}

/* ---- judgement -------------------------------------------------------------------------------------------------- */

static void judge_entry(snub_hardware_study *study, int i, double limit)
{
    const snub_plane_result *r = &study->report->plane[i];
    const double most = snub_plane_most(r);
    const bool over = most > limit, likely = most + r->rss > limit, loaded = fabs(r->entry_loaded) > fabs(r->entry);
    if (!(over || likely || most + r->worst > limit))
        return;
    snub_finding f = snub_hardware_finding(study,
                                           over     ? SNUB_SAYS_MISALIGNED
                                           : likely ? SNUB_SAYS_MISALIGNED_BY_TOLERANCE
                                                    : SNUB_SAYS_MISALIGNED_AT_WORST,
                                           i, NULL, over ? most : most + (likely ? r->rss : r->worst));
    if (loaded)
        f.at = r->loaded_at;
    snub_finding_words(&f, "loaded", loaded ? SNUB_MESSAGE(" under load") : "");
    snub_finding_number(&f, "entry", most, SNUB_UNIT_DEG, 2);
    snub_finding_number(&f, "rss", r->rss, SNUB_UNIT_DEG, 2);
    snub_finding_number(&f, "worst", r->worst, SNUB_UNIT_DEG, 2);
    snub_hardware_tell(study, &f);
}

static void judge_overhang(snub_hardware_study *study, int i, double belt)
{
    const snub_plane_result *r = &study->report->plane[i];
    if (!(r->edge < 0.0))
        return;
    const bool off = -r->edge > study->drive->belt.pitch;
    snub_finding f = snub_hardware_finding(study, off ? SNUB_SAYS_OVERHANG_OFF : SNUB_SAYS_OVERHANG, i, NULL, r->edge);
    f.limit = off ? -study->drive->belt.pitch : 0.0;
    snub_finding_number(&f, "drift", fabs(r->drift), SNUB_UNIT_MM, 1);
    snub_finding_number(&f, "over", -r->edge, SNUB_UNIT_MM, 1);
    const double width = belt + 2.0 * fabs(r->drift);
    snub_finding_least(&f, "width", width, SNUB_UNIT_MM, 1);
    if (off)
        snub_finding_number(&f, "belt", belt, SNUB_UNIT_MM, 1);
    snub_mend_number(&f, study->drive, snub_format(study->arena, "%s.width", study->drive->pulleys[i].name), width,
                     SNUB_UNIT_MM, 1, SNUB_ROUND_UP, study->arena);
    snub_hardware_tell(study, &f);
}

static void judge_flanges(snub_hardware_study *study, int i, double belt)
{
    const snub_pulley *pulley = &study->drive->pulleys[i];
    const snub_pulley_hardware *h = &study->hardware->pulleys[i];
    const snub_plane_result *r = &study->report->plane[i];
    if (r->flange < 0.0) {
        snub_finding f = snub_hardware_finding(study, SNUB_SAYS_BELT_BETWEEN_LIPS, i, NULL, r->flange);
        f.limit = 0.0;
        snub_finding_number(&f, "belt", belt, SNUB_UNIT_MM, 1);
        snub_finding_number(&f, "between", pulley->width, SNUB_UNIT_MM, 1);
        snub_hardware_tell(study, &f);
    }
    const double least =
        fmin(h->flange_front > 0.0 ? h->flange_front : INFINITY, h->flange_rear > 0.0 ? h->flange_rear : INFINITY);
    if (pulley->side == SNUB_BACK && least < study->drive->belt.thickness) {
        snub_finding f = snub_hardware_finding(study, SNUB_SAYS_LIP_LOW, i, NULL, least);
        f.limit = study->drive->belt.thickness;
        snub_hardware_tell(study, &f);
    }
}

static void judge_face(snub_hardware_study *study, int i)
{
    const snub_pulley *pulley = &study->drive->pulleys[i];
    const snub_pulley_hardware *h = &study->hardware->pulleys[i];
    snub_plane_result *r = &study->report->plane[i];
    const double belt = snub_belt_width(study->drive->belt.ribs, study->drive->belt.pitch);
    r->edge = h->guides ? NAN : 0.5 * (pulley->width - belt) - fabs(r->drift);
    r->flange = h->flange_front > 0.0 || h->flange_rear > 0.0 ? 0.5 * (pulley->width - belt) : NAN;
    judge_overhang(study, i, belt);
    judge_flanges(study, i, belt);
}

static void add_stacks(snub_hardware_study *study, snub_shim_places *p)
{
    for (int m = 0; m < study->hardware->mount_count; m++)
        add_stack(study, &study->hardware->mounts[m].stack, m, -1, p);
    for (int i = 0; i < study->drive->pulley_count; i++)
        add_stack(study, &study->hardware->pulleys[i].stack, -1, i, p);
}

/* "2 x 0.35 mm + 1 x 0.90 mm at the shim pack of steering": each place as words of its own, joined where they are
 * shown. */
static void name_packs(const snub_hardware_study *study, snub_finding *f)
{
    const snub_shim_advice *a = &study->report->shims;
    for (int k = 0; k < a->places && f->named_count < SNUB_NAMED_MOST; k++) {
        snub_text text = {0};
        if (a->answer.pack[k] == 0.0 && a->place[k]->length == 0.0)
            continue; /* empty, as in the file */
        for (int i = 0; i < study->hardware->shim_count; i++) {
            if (a->answer.count[k][i] > 0)
                snub_text_printf(&text, "%s%d x %.2f mm (%.3f in)", text.length > 0 ? " + " : "", a->answer.count[k][i],
                                 study->hardware->shims[i] / SNUB_MM, study->hardware->shims[i] / SNUB_INCH);
        }
        const char *pack = text.length > 0 ? text.data : "0";
        snub_finding_name(f, "packs", snub_format(study->arena, "%s: %s, %s", a->owner[k], a->place[k]->name, pack));
        snub_text_free(&text);
    }
}

/* The search looks at so many places; where that does not do, more would have to be looked at. */
static void tell_left_out(snub_hardware_study *study, double worst, double limit)
{
    const snub_shim_advice *a = &study->report->shims;
    if (a->left_out == 0 || !(worst > limit))
        return;
    snub_finding f = snub_hardware_finding(study, SNUB_SAYS_SHIM_PLACES, -1, NULL, a->places + a->left_out);
    f.limit = a->places;
    f.line = study->hardware->shims_place.line;
    snub_finding_number(&f, "left", a->left_out, SNUB_UNIT_COUNT, 0);
    snub_hardware_tell(study, &f);
}

/* What the verdict counts on: the packs, with what leans when they are in. */
static void tell_advice(snub_hardware_study *study, double limit)
{
    const snub_shim_advice *a = &study->report->shims;
    double worst = 0.0;
    for (int i = 0; i < study->drive->pulley_count; i++)
        worst = fmax(worst, snub_plane_most(&study->report->plane[i]) +
                                (study->hardware->pulleys[i].guides ? study->report->plane[i].rss : 0.0));
    tell_left_out(study, worst, limit);
    if (!a->wanted)
        return;
    const bool passes = worst <= limit;
    snub_finding f =
        snub_hardware_finding(study, passes ? SNUB_SAYS_SHIMS_CURE : SNUB_SAYS_SHIMS_HELP, -1, NULL, worst);
    if (passes)
        snub_finding_least(&f, "value", worst, SNUB_UNIT_DEG, 2);
    name_packs(study, &f);
    f.line = study->hardware->shims_place.line;
    snub_hardware_tell(study, &f);
}

snub_status snub_hardware_planes(snub_hardware_study *study, snub_error *error)
{
    snub_shim_places places;
    memset(&places, 0, sizeof places);
    const snub_status status = draw_angles(study, error);
    if (status != SNUB_OK)
        return status;
    if (anything_bends(study))
        load_angles(study);
    add_stacks(study, &places);
    for (int i = 0; i < study->drive->pulley_count; i++)
        study->report->plane[i].rss = sqrt(study->report->plane[i].rss);
    return study->planning && study->report->shims.places > 0 ? snub_hardware_shims(study, &places, error) : SNUB_OK;
}

void snub_hardware_judge_planes(snub_hardware_study *study)
{
    const double limit = study->drive->limits[SNUB_LIMIT_MISALIGNMENT];
    for (int i = 0; i < study->drive->pulley_count; i++) {
        judge_face(study, i);
        if (study->hardware->pulleys[i].guides)
            judge_entry(study, i, limit);
    }
    tell_advice(study, limit);
}
