/* Metal between the holes of a plate and its edge, and between one another. docs/theory/plate.md. */
#include <string.h>

#include "hardware_study.h"
#include "snub/clearance.h"

enum { SLOT_DISCS = 49 };

/* A distance that the file writes as asked for is not under it by rounding. */
static const double WRITTEN = 1.0 - 1e-9;

/* A hole, or a slot as a row of discs along its middle. Lengths in m. */
typedef struct opening {
    const char *name;
    const snub_bolt *bolt; /* NULL: of the pulley */
    int pulley;
    bool slot;
    double diameter;
    int count;
    double at[SLOT_DISCS][2];
} opening;

static opening bolt_hole(const snub_bolt *bolt)
{
    return (opening){.name = bolt->name,
                     .bolt = bolt,
                     .diameter = bolt->locates ? bolt->diameter : bolt->hole,
                     .count = 1,
                     .at = {{bolt->at[0], bolt->at[1]}}};
}

static void fill_slot(opening *o, const snub_pulley *pulley, double width)
{
    o->slot = true;
    o->diameter = width;
    o->count = SLOT_DISCS;
    for (int i = 0; i < SLOT_DISCS; i++)
        snub_slot_point(&pulley->slot, pulley->slot.length * i / (SLOT_DISCS - 1), o->at[i]);
}

static bool is_tapped(const snub_mount *mount, const snub_standoff *standoff)
{
    return standoff->tapped_in != NULL && mount->bracket.name != NULL &&
           strcmp(standoff->tapped_in, mount->bracket.name) == 0;
}

/* What is cut into the plate of a mount: holes of its bolts, of the standoffs on it, and slots of known width. */
static int list_openings(const snub_hardware_study *study, const snub_mount *mount, opening *list)
{
    int count = 0;
    for (int i = 0; i < mount->bolt_count; i++)
        list[count++] = bolt_hole(&mount->bolts[i]);
    for (int i = 0; i < study->drive->pulley_count; i++) {
        const snub_pulley *pulley = &study->drive->pulleys[i];
        const snub_pulley_hardware *h = &study->hardware->pulleys[i];
        if (h->mount < 0 || &study->hardware->mounts[h->mount] != mount)
            continue;
        opening *o = &list[count];
        *o = (opening){.name = pulley->name, .pulley = i, .count = 1, .at = {{pulley->at[0], pulley->at[1]}}};
        if (pulley->sits == SNUB_ON_SLOT)
            fill_slot(o, pulley, snub_slot_width(mount, h));
        else if (pulley->sits == SNUB_FIXED && h->standoff.given)
            o->diameter = is_tapped(mount, &h->standoff) ? h->standoff.bolt.diameter : h->standoff.bolt.hole;
        count += o->diameter > 0.0;
    }
    return count;
}

/* From the middle of an opening to the plate's edge where it is nearest; negative outside. */
static double to_edge(const snub_mount *mount, const opening *o)
{
    double least = INFINITY;
    if (mount->corners == 0)
        return mount->edge + 0.5 * o->diameter; /* the outline is grown by that */
    for (int i = 0; i < o->count; i++)
        least = fmin(least, -snub_point_polygon(o->at[i], mount->corners, (const double(*)[2])mount->corner, NULL));
    return least;
}

/* Metal between two openings; negative where they run together. */
static double web(const opening *a, const opening *b)
{
    double least = INFINITY;
    for (int i = 0; i < a->count; i++) {
        for (int k = 0; k < b->count; k++)
            least = fmin(least, hypot(a->at[i][0] - b->at[k][0], a->at[i][1] - b->at[k][1]));
    }
    return least - 0.5 * (a->diameter + b->diameter);
}

static snub_finding about(const snub_hardware_study *study, snub_wording wording, const snub_mount *mount,
                          const opening *o, double value)
{
    snub_finding f = o->bolt != NULL ? snub_bolt_finding(study, wording, mount, o->bolt, value)
                                     : snub_hardware_finding(study, wording, o->pulley, mount->name, value);
    snub_finding_name(&f, "hole", o->name);
    return f;
}

static void judge_edge(const snub_hardware_study *study, const snub_mount *mount, const opening *o)
{
    const double far = to_edge(mount, o), metal = far - 0.5 * o->diameter;
    if (metal <= 0.0) {
        const snub_finding f = about(study, SNUB_SAYS_HOLE_CUT, mount, o, metal);
        snub_hardware_tell(study, &f);
        return;
    }
    snub_finding f =
        about(study, o->slot ? SNUB_SAYS_SLOT_EDGE_THIN : SNUB_SAYS_HOLE_EDGE_THIN, mount, o, far / o->diameter);
    snub_finding_number(&f, "metal", metal, SNUB_UNIT_MM, 1);
    snub_finding_least(&f, "need", (f.limit - 0.5) * o->diameter, SNUB_UNIT_MM, 1);
    if (f.value < f.limit * WRITTEN)
        snub_hardware_tell(study, &f);
}

static void judge_web(const snub_hardware_study *study, const snub_mount *mount, const opening *a, const opening *b)
{
    const double metal = web(a, b), mean = 0.5 * (a->diameter + b->diameter);
    const bool meet = metal <= 0.0;
    snub_finding f = about(study, meet ? SNUB_SAYS_HOLES_MEET : SNUB_SAYS_WEB_THIN, mount, a, metal / mean + 1.0);
    snub_finding_name(&f, "beside", b->name);
    if (!meet) {
        snub_finding_number(&f, "metal", metal, SNUB_UNIT_MM, 1);
        snub_finding_least(&f, "need", (f.limit - 1.0) * mean, SNUB_UNIT_MM, 1);
    }
    if (meet || f.value < f.limit * WRITTEN)
        snub_hardware_tell(study, &f);
}

void snub_hardware_edges(snub_hardware_study *study)
{
    for (int m = 0; m < study->hardware->mount_count; m++) {
        const snub_mount *mount = &study->hardware->mounts[m];
        if (mount->corners == 0 && !(mount->edge > 0.0))
            continue; /* of a plate that is not described there is nothing to say */
        opening *list = SNUB_NEW(study->arena, opening, mount->bolt_count + study->drive->pulley_count);
        if (list == NULL)
            return; /* the arena tells */
        const int count = list_openings(study, mount, list);
        for (int a = 0; a < count; a++) {
            judge_edge(study, mount, &list[a]);
            for (int b = 0; b < a; b++)
                judge_web(study, mount, &list[a], &list[b]);
        }
    }
}
