/* Belt planes: entry angles as drawn and under load, what tolerances do to them, and which shims mend them.
 * docs/theory/planes.md. */
#include "hardware_study.h"

#include <string.h>

#define DEG (SNUB_PI / 180.0)
#define MM 1000.0

static void planes_as_drawn(const snub_hardware_study *study, bool loaded, snub_plane *plane)
{
    for (int i = 0; i < study->drive->pulley_count; i++) {
        const snub_pulley_hardware *h = &study->hardware->pulleys[i];
        plane[i] = (snub_plane){study->drive->pulleys[i].plane, {h->tilt[0], h->tilt[1]}, h->guides};
        for (int k = 0; k < 2 && loaded; k++)
            plane[i].tilt[k] += study->tilt[i][k];
    }
}

/* Change of every entry angle per metre by which some pulleys stand farther out. The angles are linear in that. */
static void slope_of(const snub_hardware_study *study, const bool *moves, double *slope)
{
    snub_plane plane[SNUB_PULLEYS_MOST];
    double exit[SNUB_PULLEYS_MOST];
    planes_as_drawn(study, false, plane);
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

/* ---- tolerances and shim places --------------------------------------------------------------------------------- */

typedef struct places {
    double slope[SNUB_PULLEYS_MOST][SNUB_SHIM_PLACES_MOST]; /* [end][place] */
    double now[SNUB_SHIM_PLACES_MOST];
} places;

static void add_stack(snub_hardware_study *study, const snub_stack *stack, int mount, int pulley, places *p)
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
        if (part->kind != SNUB_STACK_SHIM || advice->places == SNUB_SHIM_PLACES_MOST)
            continue;
        for (int i = 0; i < n; i++)
            p->slope[i][advice->places] = slope[i];
        p->now[advice->places] = part->length;
        advice->place[advice->places] = part;
        advice->owner[advice->places] =
            mount >= 0 ? study->hardware->mounts[mount].name : study->drive->pulleys[pulley].name;
        advice->places++;
    }
}

/* ---- shims ------------------------------------------------------------------------------------------------------ */

static const char *pack_text(snub_hardware_study *study, int place)
{
    const snub_shim_advice *a = &study->report->shims;
    const char *text = "";
    for (int i = 0; i < study->hardware->shim_count && text != NULL; i++) {
        const double size = study->hardware->shims[i];
        const int count = a->answer.count[place][i];
        if (count == 0)
            continue;
        text = snub_format(study->arena, "%s%s%d x %.2f mm (%.3f in)", text, text[0] != '\0' ? " + " : "", count,
                           size * MM, size / 0.0254);
    }
    return text == NULL ? "" : text[0] == '\0' ? "none" : text;
}

static void tell_advice(snub_hardware_study *study, double limit)
{
    snub_shim_advice *a = &study->report->shims;
    const char *text = "";
    for (int k = 0; k < a->places && text != NULL; k++)
        text = snub_format(study->arena, "%s%s%s at the %s of %s", text, k > 0 ? "; " : "", pack_text(study, k),
                           a->place[k]->name, a->owner[k]);
    if (text == NULL)
        text = "";
    if (!a->wanted)
        return;
    if (a->answer.passes)
        snub_hardware_find(study, SNUB_NOTE, "shims", NULL, NULL, a->answer.worst / DEG, limit / DEG, "deg",
                           "SAE 1999-01-1709; exact search",
                           "Shims bring every entry angle to %.2f deg or less, tolerances (rss) counted in: %s.",
                           a->answer.worst / DEG, text);
    else
        snub_hardware_find(
            study, SNUB_WATCH, "shims", NULL, NULL, a->answer.worst / DEG, limit / DEG, "deg",
            "SAE 1999-01-1709; exact search",
            "No shims on hand bring every entry angle under the limit. The best there are, %.2f deg: %s.",
            a->answer.worst / DEG, text);
}

static snub_status advise(snub_hardware_study *study, const places *p, double limit, snub_error *error)
{
    const int n = study->drive->pulley_count;
    snub_shim_advice *a = &study->report->shims;
    double bare[SNUB_PULLEYS_MOST], spread[SNUB_PULLEYS_MOST], *slope;
    int packed = 0;
    slope = SNUB_NEW(study->arena, double, n *(a->places > 0 ? a->places : 1));
    if (slope == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    for (int i = 0; i < n; i++) {
        const snub_plane_result *r = &study->report->plane[i];
        bare[i] = r->entry;
        spread[i] = study->hardware->pulleys[i].guides ? r->rss : 0.0;
        a->worst_now = fmax(a->worst_now, fabs(r->entry) + spread[i]);
        for (int k = 0; k < a->places; k++) {
            slope[i * a->places + k] = p->slope[i][k];
            bare[i] -= p->slope[i][k] * p->now[k];
        }
    }
    for (int k = 0; k < a->places; k++)
        packed += p->now[k] > 0.0;
    const snub_shim_problem problem = {.ends = n,
                                       .angle = bare,
                                       .spread = spread,
                                       .slope = slope,
                                       .places = a->places,
                                       .sizes = study->hardware->shim_count,
                                       .thickness = study->hardware->shims,
                                       .most = study->hardware->shims_most,
                                       .limit = limit};
    a->asked = true;
    const snub_status status = snub_shim_search(&problem, study->arena, &a->answer, error);
    if (status != SNUB_OK)
        return status;
    a->wanted = a->worst_now > limit ? a->answer.worst < a->worst_now - 1e-9 : a->answer.shims < packed;
    for (int i = 0; i < n; i++) {
        study->report->plane[i].advised = bare[i];
        for (int k = 0; k < a->places; k++)
            study->report->plane[i].advised += slope[i * a->places + k] * a->answer.pack[k];
    }
    tell_advice(study, limit);
    return SNUB_OK;
}

/* ---- judgement
 * ------------------------------------------------------------------------------------------------------- */

static void judge_entry(snub_hardware_study *study, int i, double limit)
{
    const snub_plane_result *r = &study->report->plane[i];
    const char *name = study->drive->pulleys[i].name;
    const char *source = study->drive->limits_place[SNUB_LIMIT_MISALIGNMENT].line > 0
                             ? "the file"
                             : snub_limit_describe(SNUB_LIMIT_MISALIGNMENT)->source;
    const double drawn = fabs(r->entry), loaded = fabs(r->entry_loaded), most = fmax(drawn, loaded);
    if (most > limit)
        snub_hardware_find(
            study, SNUB_FAIL, "misalignment", name, NULL, most / DEG, limit / DEG, "deg", source,
            "The belt enters %s at %.2f deg%s; over %.2f deg a ribbed belt chirps and wears (and may still "
            "chirp under it).",
            name, most / DEG, loaded > drawn ? " under load" : "", limit / DEG);
    else if (most + r->rss > limit)
        snub_hardware_find(study, SNUB_WATCH, "misalignment", name, NULL, (most + r->rss) / DEG, limit / DEG, "deg",
                           source, "The belt enters %s at %.2f deg, and tolerances add %.2f deg (rss), %.2f at worst.",
                           name, most / DEG, r->rss / DEG, r->worst / DEG);
    else if (most + r->worst > limit)
        snub_hardware_find(study, SNUB_NOTE, "misalignment", name, NULL, (most + r->worst) / DEG, limit / DEG, "deg",
                           source, "With all tolerances at their worst the belt enters %s at %.2f deg.", name,
                           (most + r->worst) / DEG);
}

static void judge_face(snub_hardware_study *study, int i)
{
    const snub_pulley *pulley = &study->drive->pulleys[i];
    const snub_pulley_hardware *h = &study->hardware->pulleys[i];
    snub_plane_result *r = &study->report->plane[i];
    const double belt = snub_belt_width(study->drive->belt.ribs, study->drive->belt.pitch);
    r->edge = h->guides ? NAN : 0.5 * (pulley->width - belt) - fabs(r->drift);
    r->flange = h->lip_front > 0.0 || h->lip_rear > 0.0 ? 0.5 * (pulley->width - belt) : NAN;
    if (r->edge < 0.0)
        snub_hardware_find(study, SNUB_WATCH, "overhang", pulley->name, NULL, r->edge * MM, 0, "mm", "geometry",
                           "The belt runs %.1f mm off the middle of %s and hangs over its edge by %.1f mm: move its "
                           "plane, or make it %.1f mm wide.",
                           fabs(r->drift) * MM, pulley->name, -r->edge * MM, (belt + 2 * fabs(r->drift)) * MM);
    if (r->flange < 0.0)
        snub_hardware_find(study, SNUB_FAIL, "flange", pulley->name, NULL, r->flange * MM, 0, "mm", "geometry",
                           "The belt, %.1f mm wide, does not fit between the lips of %s, %.1f mm apart.", belt * MM,
                           pulley->name, pulley->width * MM);
    const double least = fmin(h->lip_front > 0.0 ? h->lip_front : INFINITY, h->lip_rear > 0.0 ? h->lip_rear : INFINITY);
    if (pulley->side == SNUB_BACK && least < study->drive->belt.thickness)
        snub_hardware_find(study, SNUB_NOTE, "lip", pulley->name, NULL, least * MM, study->drive->belt.thickness * MM,
                           "mm", "common practice, no source",
                           "A lip of %.1f mm is lower than the belt is thick, %.1f mm: a belt that runs against it may "
                           "climb it.",
                           least * MM, study->drive->belt.thickness * MM);
}

snub_status snub_hardware_planes(snub_hardware_study *study, snub_error *error)
{
    const int n = study->drive->pulley_count;
    const double limit = study->drive->limits[SNUB_LIMIT_MISALIGNMENT];
    snub_plane plane[SNUB_PULLEYS_MOST];
    double entry[SNUB_PULLEYS_MOST], loaded[SNUB_PULLEYS_MOST], exit[SNUB_PULLEYS_MOST], drift[SNUB_PULLEYS_MOST];
    places p;
    memset(&p, 0, sizeof p);
    planes_as_drawn(study, true, plane);
    snub_status status = snub_entry_angles(study->path, plane, loaded, exit, NULL, error);
    planes_as_drawn(study, false, plane);
    if (status == SNUB_OK)
        status = snub_entry_angles(study->path, plane, entry, exit, drift, error);
    if (status != SNUB_OK)
        return status;
    for (int i = 0; i < n; i++) {
        snub_plane_result *r = &study->report->plane[i];
        r->entry = r->advised = entry[i];
        r->entry_loaded = loaded[i];
        r->drift = study->hardware->pulleys[i].guides ? NAN : drift[i];
    }
    for (int m = 0; m < study->hardware->mount_count; m++)
        add_stack(study, &study->hardware->mounts[m].stack, m, -1, &p);
    for (int i = 0; i < n; i++)
        add_stack(study, &study->hardware->pulleys[i].stack, -1, i, &p);
    for (int i = 0; i < n; i++) {
        study->report->plane[i].rss = sqrt(study->report->plane[i].rss);
        judge_face(study, i);
        if (study->hardware->pulleys[i].guides)
            judge_entry(study, i, limit);
    }
    if (study->hardware->shim_count > 0 && study->report->shims.places > 0)
        return advise(study, &p, limit, error);
    return SNUB_OK;
}
