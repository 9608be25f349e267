/** Hardware into rectangles and chains of dimensions. */
#include <math.h>

#include "snub/draw_drive.h"

/** How far plates reach past bolts and pulleys' axes, and half the height of a spacer whose size nobody gave, mm. */
#define EDGE 14.0
#define HALF_SPACER 10.0
/** The engine's face is shown as a band so thick, mm. */
#define FACE_BAND 4.0

enum { BOLT_BLOCKS = 3 };

typedef struct section {
    const snub_drive *drive;
    const double (*centre)[2];
    snub_arena *arena;
    snub_view_block *block;
    snub_view_chain *chain;
    int blocks, chains;
    bool failed;
    const char *of; /* whose blocks are added */
    bool of_mount;
} section;

static void add(section *s, const char *name, snub_view_metal metal, double z0, double z1, double y0, double y1)
{
    if (z0 != z1 || metal == SNUB_METAL_SHIM || metal == SNUB_METAL_BOLT)
        s->block[s->blocks++] =
            (snub_view_block){name, s->of, s->of_mount, metal, {fmin(z0, z1), fmax(z0, z1)}, {y0, y1}};
}

/* A bolt whose head stands on a face, its washer between. */
static void add_bolt(section *s, const snub_bolt *bolt, double y, double face)
{
    const double washer = bolt->washer > 0.0 ? bolt->washer / SNUB_MM / 2 : 0.0,
                 head = face + bolt->washer_thickness / SNUB_MM, shank = bolt->diameter / SNUB_MM / 2,
                 half = bolt->head / SNUB_MM / 2;
    const double clamped =
        bolt->grip_length > 0.0 && bolt->engagement > 0.0 ? bolt->grip_length + bolt->engagement : 0.0;
    const double length = (bolt->length > 0.0 ? bolt->length : clamped) / SNUB_MM;
    add(s, bolt->name, SNUB_METAL_WASHER, face, head, y - washer, y + washer);
    if (length > 0.0)
        add(s, bolt->name, SNUB_METAL_BOLT, head - length, head, y - shank, y + shank);
    add(s, bolt->name, SNUB_METAL_BOLT, head, head, y - half, y + half);
}

static snub_view_metal metal_of(snub_stack_kind kind)
{
    switch (kind) {
    case SNUB_STACK_FACE: return SNUB_METAL_FACE;
    case SNUB_STACK_BRACKET: return SNUB_METAL_BRACKET;
    case SNUB_STACK_SHIM: return SNUB_METAL_SHIM;
    case SNUB_STACK_STANDOFF: return SNUB_METAL_STANDOFF;
    default: return SNUB_METAL_SPACER;
    }
}

/** Parts of a stack from z on, between two heights; offsets are the pulley's own and are not drawn. The chain of
 *  dimensions stands at `y`. @return z at the end */
static double add_stack(section *s, const snub_stack *stack, double from, double low, double high, double y)
{
    double z = from / SNUB_MM, *marks = SNUB_NEW(s->arena, double, stack->count + 1);
    int count = 0;
    if (marks == NULL) {
        s->failed = true;
        return from;
    }
    marks[count++] = z;
    for (int k = 0; k < stack->count; k++) {
        const snub_stack_part *part = &stack->parts[k];
        const double next = z + part->length / SNUB_MM;
        if (part->kind == SNUB_STACK_FACE)
            add(s, part->name, SNUB_METAL_FACE, next - FACE_BAND, next, low, high);
        else if (part->kind != SNUB_STACK_OFFSET)
            add(s, part->name, metal_of(part->kind), z, next, low, high);
        z = next;
        if (part->length != 0)
            marks[count++] = z;
    }
    if (count > 1)
        s->chain[s->chains++] = (snub_view_chain){y, count, marks};
    return z * SNUB_MM;
}

static void add_mount(section *s, int index)
{
    const snub_mount *m = &s->drive->hardware->mounts[index];
    double low = INFINITY, high = -INFINITY;
    for (int k = 0; k < m->bolt_count; k++) {
        low = fmin(low, m->bolts[k].at[1] / SNUB_MM);
        high = fmax(high, m->bolts[k].at[1] / SNUB_MM);
    }
    for (int i = 0; i < s->drive->pulley_count; i++) {
        if (s->drive->hardware->pulleys[i].mount != index)
            continue;
        low = fmin(low, s->centre[i][1] / SNUB_MM);
        high = fmax(high, s->centre[i][1] / SNUB_MM);
    }
    s->of = m->name;
    s->of_mount = true;
    if (m->stack.count > 0 && isfinite(low))
        add_stack(s, &m->stack, 0, low - EDGE, high + EDGE, low - EDGE);
    const double front = m->stack.count > 0 ? snub_stack_end(&m->stack, 0) : m->face + m->thickness;
    for (int k = 0; k < m->bolt_count; k++)
        add_bolt(s, &m->bolts[k], m->bolts[k].at[1] / SNUB_MM, front / SNUB_MM);
}

/* Each bearing above and below the axis; one whose width is not known cannot be shown. */
static void add_bearings(section *s, const snub_pulley *p, const snub_bearing_seat *seat, double y)
{
    const snub_bearing *b = seat->given ? &s->drive->hardware->bearings[seat->bearing] : NULL;
    for (int k = 0; b != NULL && b->width > 0.0 && k < seat->count; k++) {
        const double apart = seat->count > 1 ? (k - 0.5) * seat->spacing : 0.0;
        const double z = (p->plane - seat->offset + apart - b->width / 2) / SNUB_MM, front = z + b->width / SNUB_MM;
        for (int side = -1; side <= 1; side += 2) {
            const double in = y + side * b->bore / SNUB_MM / 2, out = y + side * b->outside / SNUB_MM / 2;
            add(s, b->designation, SNUB_METAL_BEARING, z, front, fmin(in, out), fmax(in, out));
        }
    }
}

/* The end of the standoff in a pulley's stack, else of the bare one: there its bolt's head is. */
static double standoff_end(const section *s, int i)
{
    const snub_pulley_hardware *h = &s->drive->hardware->pulleys[i];
    double z = h->mount >= 0 ? snub_stack_end(&s->drive->hardware->mounts[h->mount].stack, 0) : 0.0;
    for (int k = 0; k < h->stack.count; k++) {
        z += h->stack.parts[k].length;
        if (h->stack.parts[k].kind == SNUB_STACK_STANDOFF)
            return z;
    }
    return s->drive->pulleys[i].plane - s->drive->pulleys[i].width / 2;
}

static void add_pulley(section *s, int i)
{
    const snub_hardware *hardware = s->drive->hardware;
    const snub_pulley_hardware *h = &hardware->pulleys[i];
    const snub_pulley *p = &s->drive->pulleys[i];
    const double y = s->centre[i][1] / SNUB_MM, plane = p->plane / SNUB_MM, half = p->width / SNUB_MM / 2,
                 rim = p->rim_radius / SNUB_MM;
    s->of = p->name;
    s->of_mount = false;
    const double stub = h->standoff.given ? h->standoff.outside / SNUB_MM / 2 : HALF_SPACER;
    if (h->stack.count > 0)
        add_stack(s, &h->stack, h->mount >= 0 ? snub_stack_end(&hardware->mounts[h->mount].stack, 0) : 0, y - stub,
                  y + stub, y - stub);
    else if (h->standoff.given)
        add(s, "standoff", SNUB_METAL_STANDOFF, plane - half - h->standoff.length / SNUB_MM, plane - half, y - stub,
            y + stub);
    for (int side = -1; side <= 1; side += 2) {
        const double front = rim + h->flange_front / SNUB_MM, rear = rim + h->flange_rear / SNUB_MM;
        if (h->flange_front > 0)
            add(s, "flange", SNUB_METAL_FLANGE, plane + half, plane + half + h->flange_width / SNUB_MM,
                y + fmin(side * rim, side * front), y + fmax(side * rim, side * front));
        if (h->flange_rear > 0)
            add(s, "flange", SNUB_METAL_FLANGE, plane - half - h->flange_width / SNUB_MM, plane - half,
                y + fmin(side * rim, side * rear), y + fmax(side * rim, side * rear));
    }
    for (int k = 0; k < h->disc_count; k++)
        add(s, h->discs[k].name, SNUB_METAL_DISC, plane + h->discs[k].low / SNUB_MM, plane + h->discs[k].high / SNUB_MM,
            y - h->discs[k].radius / SNUB_MM, y + h->discs[k].radius / SNUB_MM);
    add_bearings(s, p, &h->seat, y);
    if (h->standoff.given)
        add_bolt(s, &h->standoff.bolt, y, standoff_end(s, i) / SNUB_MM);
}

snub_status snub_view_section_of(const snub_drive *drive, const double (*centre)[2], snub_arena *arena, snub_view *view,
                                 snub_error *error)
{
    const snub_hardware *hardware = drive->hardware;
    if (hardware == NULL)
        return SNUB_OK;
    int most = 1;
    for (int m = 0; m < hardware->mount_count; m++)
        most += hardware->mounts[m].stack.count + BOLT_BLOCKS * hardware->mounts[m].bolt_count;
    for (int i = 0; i < drive->pulley_count; i++) /* flanges, a bare standoff, two bearings, a bolt */
        most += hardware->pulleys[i].stack.count + hardware->pulleys[i].disc_count + 5 + 4 + BOLT_BLOCKS;
    section s = {.drive = drive,
                 .centre = centre,
                 .arena = arena,
                 .block = SNUB_NEW(arena, snub_view_block, most),
                 .chain = SNUB_NEW(arena, snub_view_chain, hardware->mount_count + drive->pulley_count)};
    if (s.block == NULL || s.chain == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while drawing");
    for (int m = 0; m < hardware->mount_count; m++)
        add_mount(&s, m);
    for (int i = 0; i < drive->pulley_count; i++)
        add_pulley(&s, i);
    view->block = s.block;
    view->block_count = s.blocks;
    view->chain = s.chain;
    view->chain_count = s.chains;
    return s.failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while drawing") : SNUB_OK;
}
