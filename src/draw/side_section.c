/** The hardware in the side view: what is cut is hatched, what stands still is drawn behind, stacks are dimensioned. */
#include <math.h>
#include <stdio.h>

#include "compose.h"
#include "view.h"

/** Narrower dimensions [sheet mm] have no room for their number. */
#define LEAST_DIMENSION 6.0
/** Distance of a chain of dimensions from what it measures, sheet mm. */
#define CHAIN_GAP 5.0

static void obstacle_height(const snub_view_obstacle *o, double y[2])
{
    y[0] = o->round ? o->centre[1] - o->radius : INFINITY;
    y[1] = o->round ? o->centre[1] + o->radius : -INFINITY;
    for (int i = 0; !o->round && i < o->count; i++) {
        y[0] = fmin(y[0], o->corner[i][1]);
        y[1] = fmax(y[1], o->corner[i][1]);
    }
}

static bool shown(const snub_view_obstacle *o)
{
    return isfinite(o->z[0]) && isfinite(o->z[1]);
}

void snub_side_section_extent(const snub_view *view, snub_extent *extent)
{
    for (int i = 0; i < view->block_count; i++) {
        snub_extent_add(extent, view->block[i].z[0], view->block[i].y[0], 0);
        snub_extent_add(extent, view->block[i].z[1], view->block[i].y[1], 0);
    }
    for (int i = 0; i < view->obstacle_count; i++) {
        double y[2];
        if (!shown(&view->obstacle[i]))
            continue;
        obstacle_height(&view->obstacle[i], y);
        snub_extent_add(extent, view->obstacle[i].z[0], y[0], 0);
        snub_extent_add(extent, view->obstacle[i].z[1], y[1], 0);
    }
}

static void hatched(snub_drawing *drawing, snub_layer layer, snub_pen edge, snub_ink fill, double angle,
                    const double z[2], const double y[2])
{
    const snub_vertex corner[4] = {{z[0], y[0], 0}, {z[1], y[0], 0}, {z[1], y[1], 0}, {z[0], y[1], 0}};
    const snub_loop loop = {4, true, corner};
    snub_draw_rectangle(drawing, layer, edge, fill, z[0], y[0], z[1], y[1]);
    snub_draw_hatch(drawing, layer, snub_pen_make(edge.ink, SNUB_DASH_SOLID, 0.13), &loop, 1, angle,
                    1.8 * drawing->unit);
}

static void obstacle(snub_drawing *drawing, const snub_view_obstacle *o)
{
    const snub_lettering small = {.height = 1.8, .across = 0, .up = 1, .ink = SNUB_INK_OBSTACLE, .halo = true};
    double y[2];
    if (!shown(o))
        return;
    obstacle_height(o, y);
    hatched(drawing, SNUB_LAYER_OBSTACLE, snub_pen_make(SNUB_INK_OBSTACLE, SNUB_DASH_SOLID, 0.35),
            SNUB_INK_OBSTACLE_FILL, SNUB_PI / 4, o->z, y);
    if (o->name != NULL)
        snub_draw_text(drawing, SNUB_LAYER_LABEL, &small, (o->z[0] + o->z[1]) / 2, y[0] - drawing->unit, o->name);
}

/** The general sign for a rolling bearing: its outline with a cross (ISO 8826-1). */
static void bearing(snub_drawing *drawing, const snub_view_block *b)
{
    const snub_pen edge = snub_pen_make(SNUB_INK_OUTLINE, SNUB_DASH_SOLID, 0.25);
    const snub_pen cross = snub_pen_make(SNUB_INK_OUTLINE, SNUB_DASH_SOLID, 0.13);
    snub_draw_rectangle(drawing, SNUB_LAYER_PULLEY, edge, SNUB_INK_PAPER, b->z[0], b->y[0], b->z[1], b->y[1]);
    snub_draw_line(drawing, SNUB_LAYER_PULLEY, cross, b->z[0], b->y[0], b->z[1], b->y[1]);
    snub_draw_line(drawing, SNUB_LAYER_PULLEY, cross, b->z[0], b->y[1], b->z[1], b->y[0]);
}

/** Neighbouring parts are hatched in turn to either side, as sections are. */
static void block(snub_drawing *drawing, const snub_view_block *b)
{
    const snub_pen edge = snub_pen_make(SNUB_INK_OUTLINE, SNUB_DASH_SOLID, b->metal == SNUB_METAL_SHIM ? 0.18 : 0.35);
    if (b->metal == SNUB_METAL_SHIM && b->z[0] == b->z[1])
        return; /* an empty place */
    switch (b->metal) {
    case SNUB_METAL_FACE:
        hatched(drawing, SNUB_LAYER_OBSTACLE, snub_pen_make(SNUB_INK_OBSTACLE, SNUB_DASH_SOLID, 0.25),
                SNUB_INK_OBSTACLE_FILL, SNUB_PI / 4, b->z, b->y);
        break;
    case SNUB_METAL_BRACKET: hatched(drawing, SNUB_LAYER_ARM, edge, SNUB_INK_ARM_FILL, -SNUB_PI / 4, b->z, b->y); break;
    case SNUB_METAL_STANDOFF:
    case SNUB_METAL_SPACER: hatched(drawing, SNUB_LAYER_ARM, edge, SNUB_INK_PAPER, SNUB_PI / 4, b->z, b->y); break;
    case SNUB_METAL_SHIM: /* too thin for a hatch: solid */
        snub_draw_rectangle(drawing, SNUB_LAYER_ARM, edge, SNUB_INK_OUTLINE, b->z[0], b->y[0], b->z[1], b->y[1]);
        break;
    case SNUB_METAL_FLANGE:
    case SNUB_METAL_DISC:
        snub_draw_rectangle(drawing, SNUB_LAYER_PULLEY, edge, SNUB_INK_BACK_FILL, b->z[0], b->y[0], b->z[1], b->y[1]);
        break;
    case SNUB_METAL_BEARING:
    case SNUB_METAL_BOLT:
    case SNUB_METAL_WASHER: break; /* over the pulleys */
    }
}

/* What is too near to an obstacle: its edge, and where it is beside the piece the gap along the crank. */
static void near(snub_drawing *drawing, const snub_view *view, const snub_locale *locale, const snub_view_near *n)
{
    const snub_view_obstacle *o = &view->obstacle[n->obstacle];
    const snub_ink ink = n->fails ? SNUB_INK_FAIL : SNUB_INK_MARGINAL;
    const snub_lettering small = {.height = 2.1, .across = 1, .up = 0, .ink = ink, .bold = true, .halo = true};
    const double behind = n->z[0] - o->z[1], before = o->z[0] - n->z[1];
    double height[2], z[2] = {fmax(n->z[0], o->z[0]), fmax(n->z[0], o->z[0])};
    char gap[32], needed[32], text[96];
    if (!shown(o))
        return;
    obstacle_height(o, height);
    snub_draw_rectangle(drawing, SNUB_LAYER_OBSTACLE, snub_pen_make(ink, SNUB_DASH_SOLID, 0.6), SNUB_INK_NONE, o->z[0],
                        height[0], o->z[1], height[1]);
    if (behind > 0.0 || before > 0.0) {
        z[0] = behind > 0.0 ? o->z[1] : n->z[1];
        z[1] = behind > 0.0 ? n->z[0] : o->z[0];
    }
    snub_draw_line(drawing, SNUB_LAYER_DIMENSION, snub_pen_make(ink, SNUB_DASH_SOLID, 0.5), z[0], n->from[1], z[1],
                   n->to[1]);
    snprintf(text, sizeof text, "%s mm < %s", snub_number_text(locale, n->gap, 1, gap),
             snub_number_text(locale, n->needed, 1, needed));
    snub_draw_text(drawing, SNUB_LAYER_LABEL, &small, o->z[0] - 1.5 * drawing->unit, 0.5 * (height[0] + height[1]),
                   text);
}

void snub_draw_side_section(snub_drawing *drawing, const snub_view *view, const snub_locale *locale)
{
    for (int i = 0; i < view->obstacle_count; i++)
        obstacle(drawing, &view->obstacle[i]);
    for (int i = 0; i < view->block_count; i++)
        block(drawing, &view->block[i]);
    for (int i = 0; i < view->near_count; i++)
        near(drawing, view, locale, &view->near[i]);
}

void snub_draw_side_fasteners(snub_drawing *drawing, const snub_view *view)
{
    const snub_pen edge = snub_pen_make(SNUB_INK_OUTLINE, SNUB_DASH_SOLID, 0.25);
    for (int i = 0; i < view->block_count; i++) {
        const snub_view_block *b = &view->block[i];
        if (b->metal == SNUB_METAL_BEARING)
            bearing(drawing, b);
        else if (b->metal == SNUB_METAL_BOLT || b->metal == SNUB_METAL_WASHER)
            snub_draw_rectangle(drawing, SNUB_LAYER_ARM, edge, SNUB_INK_NONE, b->z[0], b->y[0], b->z[1], b->y[1]);
    }
}

/** One dimension for each part that has room for its number; what is left over is the chain's own matter. */
void snub_draw_side_dimensions(snub_drawing *drawing, const snub_view *view, const snub_locale *locale)
{
    for (int i = 0; i < view->chain_count; i++) {
        const snub_view_chain *c = &view->chain[i];
        for (int k = 0; k + 1 < c->count; k++) {
            const double low = fmin(c->z[k], c->z[k + 1]), high = fmax(c->z[k], c->z[k + 1]);
            const double a[2] = {low, c->y}, b[2] = {high, c->y};
            char text[32];
            if (high - low < LEAST_DIMENSION * drawing->unit)
                continue;
            if (snub_draw_inches(locale))
                snub_draw_number(locale, high - low, "mm", 1, text);
            else
                snub_number_text(locale, high - low, fabs(high - low - round(high - low)) < 5e-3 ? 0 : 2, text);
            /* to the left of a -> b is above: below is negative; every other one lower, so that backward parts show */
            snub_draw_dimension(drawing, a, b, -(CHAIN_GAP + (k % 2) * CHAIN_GAP) * drawing->unit, text);
        }
    }
}
