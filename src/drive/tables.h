/** Tables of fasteners and materials. Private to src/drive. */
#ifndef SNUB_DRIVE_TABLES_H
#define SNUB_DRIVE_TABLES_H

#include "snub/drive.h"

/** pi/4 (d - 0.9382 p)^2 [m2]. */
double snub_stress_area(double diameter, double pitch);

/** Strengths of a property class or grade for a diameter [m]. Names: "8.8", "10.9", "12.9", "SAE 5", "SAE 8"...
 *  @return false for a name that is not known, or outside of its range of diameters */
typedef struct snub_bolt_class {
    const char *name;
    double from, to;              /**< diameter, m, both inclusive */
    double proof, yield, tensile; /**< Pa */
    double endurance;             /**< of rolled threads, axial, corrected, Pa; 0: not listed */
    const char *source;
} snub_bolt_class;
bool snub_bolt_class_find(const char *name, double diameter, snub_bolt_class *out);
/** Scatter +- of preload for a tightening factor FM,max/FM,min (VDI 2230): (f - 1)/(f + 1). */
double snub_preload_scatter(double tightening_factor);
/** NULL-terminated list of the names known. */
const char *const *snub_bolt_class_names(void);

/** A metric coarse size by name, "M8"; also "M8x1". @return false where it is none */
bool snub_thread_find(const char *name, double *diameter, double *pitch);

/** Clearance hole [m] of a bolt: ISO 273, medium; 1.1 of its diameter where that has no such size. */
double snub_clearance_hole(double diameter);

/** Outside diameter [m] of the face under a hexagon head: ISO 4017, inch threads ASME B18.2.1; 1.4 of the diameter
 *  where they have no such size. */
double snub_head_diameter(double diameter);
/** Thickness [m] of a plain washer: ISO 7089, inch threads ASME B18.21.1; 0.15 of the diameter else. */
double snub_washer_thickness(double diameter);

/** Nut factor of a condition; docs/theory/mount.md, bolts. Names: "unknown", "black", "zinc", "oiled", "cadmium",
 *  "anti-seize". @return 0 where it is none */
double snub_nut_factor(const char *condition);
const char *const *snub_nut_conditions(void);

/** Materials of snub_engagement. */
const char *const *snub_tapped_materials(void);

/** Names that snub_material_find knows. */
const char *const *snub_material_names(void);

/** Sliding friction of a pair of faces, dry: the low end of the range (ECSS-E-HB-32-23A Table C-2). 0: not known. */
double snub_face_friction(const char *faces);
const char *const *snub_face_names(void);

#endif
