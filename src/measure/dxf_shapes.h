/** dxf_shapes.h - circles, arcs and placed blocks of a DXF file, as they stand in it. Private to src/measure. */
#ifndef SNUB_MEASURE_DXF_SHAPES_H
#define SNUB_MEASURE_DXF_SHAPES_H

#include "dxf_pairs.h"
#include "snub/circles.h"

typedef struct snub_dxf_layer {
    const char *name;
    bool off; /**< or frozen */
} snub_dxf_layer;

typedef struct snub_dxf_block {
    const char *name;
    double base[2];
    int first, last; /**< of its shapes, which follow each other; last exclusive */
} snub_dxf_block;

/** A circle, an arc, or a block that is put in. In the file's unit. */
typedef struct snub_dxf_shape {
    int line, layer;
    double at[2];
    double radius, from, sweep; /**< rad; sweep 2 pi: a whole circle */
    const char *block;          /**< that is put in; NULL: none, it is an arc */
    double scale[2], turn;      /**< of the block */
    double apart[2];
    int columns, rows;
    bool mirrored; /**< seen from behind: x is to be turned round */
} snub_dxf_shape;

/** Shapes of blocks stand before those of the sketch. */
typedef struct snub_dxf_shapes {
    snub_arena *arena;
    snub_dxf_layer *layer;
    int layer_count, layer_room;
    snub_dxf_block *block;
    int block_count, block_room;
    snub_dxf_shape *shape;
    int shape_count, shape_room;
    int unit; /**< $INSUNITS; 0: none */
    bool ended;
    int skipped_count;
    snub_sketch_skipped skipped[SNUB_SKETCH_SKIPPED_MOST];
} snub_dxf_shapes;

typedef struct snub_dxf_entities snub_dxf_entities;
/** Takes pairs. @return NULL: memory is out */
snub_dxf_entities *snub_dxf_entities_open(const snub_dxf_pairs *pairs, snub_dxf_shapes *shapes);
/** A snub_dxf_take. @return SNUB_STOPPED: it was the EOF; SNUB_OK; SNUB_BAD_INPUT, SNUB_TOO_LARGE; SNUB_NO_MEMORY */
snub_status snub_dxf_entities_take(void *entities, int code, const char *value, int line, snub_error *error);
void snub_dxf_entities_close(snub_dxf_entities *entities);
/** Count what is passed over. */
void snub_dxf_skip(snub_dxf_shapes *shapes, const char *what, const char *why, int line);
/** @return -1: there is none */
int snub_dxf_layer_named(const snub_dxf_shapes *shapes, const char *name);

#endif
