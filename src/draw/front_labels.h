/** Words on what is drawn from the front, and the ground that they keep off. Private to src/draw. */
#ifndef SNUB_DRAW_FRONT_LABELS_H
#define SNUB_DRAW_FRONT_LABELS_H

#include "labels.h"

/** A view from the front while its labels are made; `label` has room for all of them. */
typedef struct snub_front_scene {
    const snub_view *view;
    const snub_locale *locale;
    snub_drawing *drawing;
    snub_label_map *map;
    snub_label *label;
    int labels;
} snub_front_scene;

/** The spans; pulleys, slots, the arm, holes and obstacles. */
void snub_front_map_belt(const snub_front_scene *s);
void snub_front_map_parts(const snub_front_scene *s);

/** The next label, to be filled. */
snub_label *snub_front_label(snub_front_scene *s);
/** @param[in] format  with two %s. @return arena memory; "" where that is out: the drawing has failed */
const char *snub_front_text(snub_front_scene *s, const char *format, const char *a, const char *b);
/** Away from the middle of the drive: there the sheet is empty. */
void snub_front_outwards(const snub_front_scene *s, const double at[2], double along[2]);

/** Zero, end and setting of a slot: 3 labels at most. */
void snub_front_label_slot(snub_front_scene *s, const snub_view_slot *slot);
/** Free position, stop and where it stands. @param[in] count  of these three, from the first on */
void snub_front_label_arm(snub_front_scene *s, int count);

#endif
