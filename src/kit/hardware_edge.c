/* Metal between the holes of a plate and its edge, and between one another. docs/theory/plate.md. */
#include "hardware_study.h"
#include "snub/clearance.h"

enum { SLOT_DISCS = 49 };

/* A distance that the file writes as asked for is not under it by rounding. */
static const double WRITTEN = 1.0 - 1e-9;
/* Diameters from middle to edge under which the metal beside a hole is no metal to count on; rule of thumb. Between
 * two holes the same on both sides. */
static const double EDGE_LEAST = 0.75;

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
            o->diameter = snub_tapped_in_plate(mount, &h->standoff) ? h->standoff.bolt.diameter : h->standoff.bolt.hole;
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

/* Between the middles of two openings where they are nearest. */
static double apart(const opening *a, const opening *b)
{
    double least = INFINITY;
    for (int i = 0; i < a->count; i++) {
        for (int k = 0; k < b->count; k++)
            least = fmin(least, hypot(a->at[i][0] - b->at[k][0], a->at[i][1] - b->at[k][1]));
    }
    return least;
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
    if (far < EDGE_LEAST * o->diameter * WRITTEN) {
        snub_finding f = about(study, SNUB_SAYS_EDGE_GONE, mount, o, metal);
        f.limit = (EDGE_LEAST - 0.5) * o->diameter;
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
    const double mean = 0.5 * (a->diameter + b->diameter), metal = apart(a, b) - mean;
    const bool meet = metal <= 0.0;
    if (!meet && metal < (2.0 * EDGE_LEAST - 1.0) * mean * WRITTEN) {
        snub_finding f = about(study, SNUB_SAYS_WEB_GONE, mount, a, metal);
        f.limit = (2.0 * EDGE_LEAST - 1.0) * mean;
        snub_finding_name(&f, "beside", b->name);
        snub_hardware_tell(study, &f);
        return;
    }
    snub_finding f = about(study, meet ? SNUB_SAYS_HOLES_MEET : SNUB_SAYS_WEB_THIN, mount, a, metal / mean + 1.0);
    snub_finding_name(&f, "beside", b->name);
    if (!meet) {
        snub_finding_number(&f, "metal", metal, SNUB_UNIT_MM, 1);
        snub_finding_least(&f, "need", (f.limit - 1.0) * mean, SNUB_UNIT_MM, 1);
    }
    if (meet || f.value < f.limit * WRITTEN)
        snub_hardware_tell(study, &f);
}

/* What clamps a slider on the slot's sides: the standoff that its bolt goes through, else the bolt's head or washer. */
static double bears_on(const snub_pulley_hardware *h, const snub_bolt *bolt)
{
    return bolt == &h->standoff.bolt ? h->standoff.outside : fmax(bolt->head, bolt->washer);
}

/* A slot that its bolt does not go into, or is pulled through, whatever is known of the plate. */
static void judge_slots(const snub_hardware_study *study)
{
    for (int i = 0; i < study->drive->pulley_count; i++) {
        const snub_pulley_hardware *h = &study->hardware->pulleys[i];
        const snub_mount *mount = h->mount >= 0 ? &study->hardware->mounts[h->mount] : NULL;
        const snub_bolt *bolt = snub_slider_bolt(h);
        if (mount == NULL || bolt == NULL || study->drive->pulleys[i].sits != SNUB_ON_SLOT)
            continue;
        const double width = snub_slot_width(mount, h);
        const bool narrow = width < bolt->diameter * WRITTEN;
        snub_finding f =
            snub_hardware_finding(study, narrow ? SNUB_SAYS_SLOT_NARROW : SNUB_SAYS_SLOT_WIDE, i, mount->name, width);
        f.limit = narrow ? bolt->diameter : bears_on(h, bolt);
        if (narrow || width > f.limit * WRITTEN)
            snub_hardware_tell(study, &f);
    }
}

/* The foot of a standoff, where it stands: on a washer or head of another bolt, or over the plate's edge. */
static void judge_foot(const snub_hardware_study *study, const snub_mount *mount, int pulley, const opening *o)
{
    const double foot = 0.5 * study->hardware->pulleys[pulley].standoff.outside;
    for (int k = 0; k < mount->bolt_count; k++) {
        const snub_bolt *bolt = &mount->bolts[k];
        const opening hole = bolt_hole(bolt);
        snub_finding f = snub_hardware_finding(study, SNUB_SAYS_FOOT_ON_BOLT, pulley, mount->name, apart(o, &hole));
        f.limit = foot + 0.5 * fmax(bolt->head, bolt->washer);
        f.second = bolt->name;
        f.kind = SNUB_OTHER_BOLT;
        snub_finding_name(&f, "bolt", bolt->name);
        if (f.value < f.limit * WRITTEN)
            snub_hardware_tell(study, &f);
    }
    snub_finding f = snub_hardware_finding(study, SNUB_SAYS_FOOT_OVER_EDGE, pulley, mount->name, foot);
    f.limit = to_edge(mount, o);
    if (mount->corners > 0 && f.limit < foot * WRITTEN)
        snub_hardware_tell(study, &f);
}

static void judge_feet(const snub_hardware_study *study)
{
    for (int i = 0; i < study->drive->pulley_count; i++) {
        const snub_pulley *pulley = &study->drive->pulleys[i];
        const snub_pulley_hardware *h = &study->hardware->pulleys[i];
        opening o = {.pulley = i, .count = 1, .at = {{pulley->at[0], pulley->at[1]}}};
        if (h->mount < 0 || !h->standoff.given || pulley->sits == SNUB_ON_ARM)
            continue;
        if (pulley->sits == SNUB_ON_SLOT)
            fill_slot(&o, pulley, 0.0);
        judge_foot(study, &study->hardware->mounts[h->mount], i, &o);
    }
}

void snub_hardware_edges(snub_hardware_study *study)
{
    judge_slots(study);
    judge_feet(study);
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
