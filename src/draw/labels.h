/** Placing labels where they hide least. Private to src/draw. */
#ifndef SNUB_DRAW_LABELS_H
#define SNUB_DRAW_LABELS_H

#include "snub/draw.h"

/** Ground that labels keep off, in model mm, and what it costs to lie on it. */
typedef struct snub_label_map snub_label_map;

enum { SNUB_LABEL_LINES_MOST = 5 };
/** A block of lines that belongs to a point. */
typedef struct snub_label {
    double at[2];    /**< the point it speaks of */
    double clear;    /**< radius about it to stay off, model mm */
    double along[2]; /**< unit direction in which it would rather stand; (0, 0): any */
    bool inside;     /**< try the point itself first: a block centred there, if it fits into `clear` */
    int lines;
    const char *line[SNUB_LABEL_LINES_MOST];
    bool bold_first;
    bool optional; /**< left out where it would stand off with a leader, or lie on another label */
    snub_ink ink;
    double height; /**< of capitals, sheet mm; the first line is a quarter larger where bold_first */
} snub_label;

/** Start with the sheet's rectangle as the room for labels.
 *  @return NULL when the arena refuses */
snub_label_map *snub_label_map_new(const snub_drawing *drawing, snub_arena *arena);
/** Keep off (cost for a label that touches it: 0.5 for a line or a part, 3 is as bad as another label). */
void snub_label_map_box(snub_label_map *map, const double low[2], const double high[2], double cost);
void snub_label_map_line(snub_label_map *map, const double a[2], const double b[2], double half_width, double cost);
void snub_label_map_ring(snub_label_map *map, const double centre[2], double radius, double half_width, double cost);
/** Place labels one by one in the order given, each where it costs least; draw them, with a leader line to the point
 *  where a label does not stand beside it. The order and the candidates are fixed, so the same input gives the same
 *  drawing. Nothing is left out but what is optional: where all is crowded the least bad place is taken.
 *  @return how many labels touch another label or leave the sheet (0 is what a good drawing has) */
int snub_place_labels(snub_drawing *drawing, snub_label_map *map, const snub_label *label, int count);

#endif
