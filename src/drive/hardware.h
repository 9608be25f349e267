/** src/drive/hardware.h - readers of the hardware sections (inside src/drive only). */
#ifndef SNUB_DRIVE_HARDWARE_H
#define SNUB_DRIVE_HARDWARE_H

#include "read.h"
#include "tables.h"

extern const snub_key snub_bolt_keys[], snub_mount_keys[], snub_stack_part_keys[], snub_bearing_keys[],
    snub_seat_keys[], snub_standoff_keys[], snub_clamp_keys[], snub_obstacle_keys[], snub_cut_keys[];

/** Rows of the list of a bolted joint's keys, as snub_read_tapped and snub_read_faces read them. */
#define SNUB_JOINT_KEYS                                                                                                \
    {"tapped_in", NULL,                                                                                                \
     SNUB_MEANS(                                                                                                       \
         "Metal that the bolt is screwed into. It sets the thread engagement needed and how stiff the joint is.")},    \
        {"faces", NULL,                                                                                                \
         SNUB_MEANS("Metals of the two faces that are clamped together, dry; it gives their friction.")},              \
    {                                                                                                                  \
        "friction", NULL, SNUB_MEANS("Friction of the clamped faces from your own test, in place of `faces`.")         \
    }

/** A list of named maps under a key, each with its place. @return NULL where left out or wrong */
const snub_node *snub_read_named_list(snub_reader *reader, const snub_node *root, const char *key, int most);
/** Name of an item, once in its list. The item's path must have been entered.
 *  @param[in] before  names of the items before, `count` of them */
void snub_read_item_name(snub_reader *reader, const snub_node *map, const char *const *before, int count,
                         const char **name);
/** A polygon's corners, in order; one that crosses itself is a mistake.
 *  @param[out] outline  in the reader's arena, m; untouched where false */
bool snub_read_outline(snub_reader *reader, const snub_node *map, const char *key, int *corners, double (**outline)[2]);
/** [low, high] with low < high. */
bool snub_read_range(snub_reader *reader, const snub_node *map, const char *key, double range[2]);

/** Cuts of an obstacle under `taken_off`, when its figure, z and `relief` are read; fills what they leave.
 *  @param[in] drive  with its pulleys */
void snub_read_cuts(snub_reader *reader, const snub_node *map, const snub_drive *drive, snub_obstacle *obstacle);
void snub_read_obstacles(snub_reader *reader, const snub_node *root, const snub_drive *drive, snub_hardware *hardware);
void snub_read_mounts(snub_reader *reader, const snub_node *root, snub_hardware *hardware);
void snub_read_bearings(snub_reader *reader, const snub_node *root, snub_hardware *hardware);
void snub_read_stack(snub_reader *reader, const snub_node *map, snub_stack *stack);
/** A material under `material`, with `modulus` and `strength` in its place or over it. */
void snub_read_material(snub_reader *reader, const snub_node *map, const char *fallback, snub_material *material);
/** A bolt in hand; call it inside its path.
 *  @param[in] clamped  its grip without a washer where the file is silent, m; 0: not known */
void snub_read_bolt(snub_reader *reader, const snub_node *node, bool placed, double clamped, snub_bolt *bolt);
/** Friction of a joint: of a pair of faces, or as a number; the least of all where the file is silent.
 *  @param[out] faces  the pair; left as it is where there is none */
void snub_read_faces(snub_reader *reader, const snub_node *map, const char **faces, double *friction);
/** The metal that threads are cut into; left as it is where the file is silent. */
void snub_read_tapped(snub_reader *reader, const snub_node *map, const char **tapped_in);
/** @param[in] slotted  the pulley sits in a slot */
void snub_read_clamp(snub_reader *reader, const snub_node *map, bool slotted, snub_clamp *clamp);
/** @param[in] mount  what it stands on, NULL: the engine */
void snub_read_standoff(snub_reader *reader, const snub_node *map, const snub_mount *mount, snub_standoff *standoff);
void snub_read_seat(snub_reader *reader, const snub_node *map, const snub_hardware *hardware, snub_bearing_seat *seat);

#endif
