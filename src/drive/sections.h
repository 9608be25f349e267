/** src/drive/sections.h - the sections of the drive file: their keys and their readers (inside src/drive only). */
#ifndef SNUB_DRIVE_SECTIONS_H
#define SNUB_DRIVE_SECTIONS_H

#include "read.h"

extern const snub_key snub_root_keys[];
extern const snub_key snub_engine_keys[], snub_air_keys[], snub_cooler_keys[];
extern const snub_key snub_belt_keys[], snub_pulley_keys[];
extern const snub_key snub_diameter_keys[], snub_outside_keys[];
extern const snub_key snub_arm_keys[], snub_slot_keys[], snub_blower_keys[], snub_limit_keys[], snub_content_keys[];
extern const snub_key snub_steps_keys[], snub_search_keys[], snub_move_keys[], snub_within_keys[], snub_circle_keys[],
    snub_rectangle_keys[], snub_tolerance_keys[], snub_sample_keys[];

void snub_read_engine(snub_reader *reader, const snub_node *root, snub_drive *drive);
void snub_read_air(snub_reader *reader, const snub_node *root, snub_drive *drive);
void snub_read_cooler(snub_reader *reader, const snub_node *root, snub_drive *drive);
void snub_read_belt(snub_reader *reader, const snub_node *root, snub_drive *drive);
/** `back` or `outside` of a belt whose `be` and section are read.
 *  @param[in] preset  of the section, m; NAN: it has none */
void snub_read_back(snub_reader *reader, const snub_node *map, double preset, snub_belt *belt);
void snub_read_pulleys(snub_reader *reader, const snub_node *root, snub_drive *drive);
/** The arm of a pulley, from the pulley's map; fills pulley->arm and pulley->at. */
void snub_read_arm(snub_reader *reader, const snub_node *map, snub_pulley *pulley);
/** The slot of a pulley and its lock. */
void snub_read_slot(snub_reader *reader, const snub_node *map, snub_pulley *pulley);
void snub_read_blower(snub_reader *reader, const snub_node *map, snub_pulley *pulley);
void snub_read_limits(snub_reader *reader, const snub_node *root, snub_drive *drive);
/** Whether the numbers of a key rise strictly; notes the key where they do not. */
bool snub_read_rising(snub_reader *reader, const snub_node *map, const char *key, int count, const double *values);
/** Values of a table over two things, in singular: a row for each `down`, in it one for each `across`. */
typedef struct snub_grid_key {
    const char *key, *down, *across;
    snub_quantity quantity;
    double least, most;
} snub_grid_key;
/** Reads z of a surface whose x (down) and y (across) are read. @return false: told */
bool snub_read_grid(snub_reader *reader, const snub_node *map, const snub_grid_key *key, snub_surface *surface);
/** steps. */
void snub_read_steps(snub_reader *reader, const snub_node *root, snub_drive *drive);
/** options and variants. */
void snub_read_offer(snub_reader *reader, const snub_node *root, snub_drive *drive);
/** tolerances, once all else is read. */
void snub_read_tolerances(snub_reader *reader, const snub_node *root, snub_drive *drive);
/** packages, once options and variants are read; and how many builds they all make. */
void snub_read_packages(snub_reader *reader, const snub_node *root, snub_drive *drive);

/** search, once pulleys, options, variants and packages are read. */
void snub_read_search(snub_reader *reader, const snub_node *root, snub_drive *drive);

/** Whether an overlay's path begins with a section or a pulley that there is; else the error says what it may begin
 * with. */
bool snub_path_begins_well(const snub_node *root, const snub_overlay *overlay, snub_arena *arena, snub_error *error);

/** A path of one of the keys that are the whole file's: no build may have another value of it. */
bool snub_root_closed(const char *path);
/** True for a name that no pulley may bear, since a path's first word must tell a pulley from a section. `snub`,
 *  `title`, `kit_number`, `house` and `units` are free: nothing stands below those keys, so a longer path is the
 * pulley's. */
bool snub_name_reserved(const char *name);

/** Face width of a pulley for so many grooves: (ribs - 1) pitch + 2 f, f the least distance from the outer groove's
 *  middle to the edge (ISO 9981 for PK: 2.5 mm; ISO 9982 for the others; not compared with its text). */
double snub_face_width(const snub_belt *belt);

/** Least effective diameter of a pulley on the ribs, m. NAN: that of section PK, in the list of limits. */
double snub_smallest_pulley(const snub_belt *belt);

/** One reading of a pulley's angle and torque by a torque wrench; branch +1 winding up, -1 letting down, 0 unknown. */
typedef struct snub_arm_reading {
    double wind, torque; /**< rad, N m */
    int branch;
} snub_arm_reading;

/** Least squares of M = (preload + rate wind)(1 + branch damping).
 *  @param[in] damping_known  the damping to keep, or NAN to fit it (both branches must be there)
 *  @param[out] arm  preload, rate, damping, readings_residual, from_readings
 *  @return SNUB_OK; SNUB_BAD_INPUT (too few different winds); SNUB_NO_CONVERGENCE */
snub_status snub_arm_from_readings(const snub_arm_reading *readings, int count, double damping_known, snub_arm *arm);

#endif
