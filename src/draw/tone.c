/** Tones: what a picture is about in heavy black, the rest in thin grey. */
#include <math.h>

#include "compose.h"

/** Two dots of a printer of 300 to the inch, and a little more [sheet mm]. */
#define PEN_LEAST 0.18
#define PEN_LIGHT 0.2
#define PEN_HEAVIER 2.0 /**< dark pens over those of the front view */
#define PEN_MOST 0.9
#define PEN_FINE 0.25 /**< centre lines and hidden edges: heavy ones would fill a small part */

/* Bodies become grey, so that words on them can be read; what is filled with a pen's ink, an arrow's head, black. */
static snub_ink dark_fill(snub_ink fill)
{
    switch (fill) {
    case SNUB_INK_NONE:
    case SNUB_INK_PAPER: return fill;
    case SNUB_INK_RIB_FILL:
    case SNUB_INK_BACK_FILL:
    case SNUB_INK_ARM_FILL:
    case SNUB_INK_OBSTACLE_FILL: return SNUB_INK_FAINT;
    case SNUB_INK_BELT_FILL: return SNUB_INK_QUIET;
    default: return SNUB_INK_TEXT;
    }
}

static void make_light(snub_entity *e)
{
    if (e->pen.ink != SNUB_INK_NONE && e->pen.ink != SNUB_INK_PAPER)
        e->pen.ink = SNUB_INK_LIGHT;
    e->pen.width = e->pen.ink == SNUB_INK_NONE ? 0 : PEN_LIGHT;
    e->fill = e->fill == SNUB_INK_NONE ? e->fill : SNUB_INK_PAPER;
}

static void make_dark(snub_entity *e)
{
    if (e->pen.ink != SNUB_INK_NONE && e->pen.ink != SNUB_INK_PAPER)
        e->pen.ink = SNUB_INK_TEXT;
    const bool fine = e->layer == SNUB_LAYER_CENTRES || e->pen.dash == SNUB_DASH_DASHED;
    if (e->pen.ink != SNUB_INK_NONE)
        e->pen.width = fine ? PEN_FINE : fmax(PEN_LEAST, fmin(e->pen.width * PEN_HEAVIER, PEN_MOST));
    if (e->pen.dash == SNUB_DASH_LONG) /* an obstacle: of a small one too little is left between dashes */
        e->pen.dash = SNUB_DASH_SOLID;
    e->fill = dark_fill(e->fill);
}

void snub_draw_tone(snub_drawing *drawing, int from, snub_tone tone)
{
    for (int i = from; i < drawing->count; i++) {
        snub_entity *e = &drawing->entity[i];
        if (e->kind == SNUB_ENTITY_TEXT)
            continue;
        if (tone == SNUB_TONE_DARK && e->layer != SNUB_LAYER_GHOST)
            make_dark(e);
        else
            make_light(e);
    }
}
