/* Metals, pairs of faces, bearings with two rows: tables with the source of each. */
#include "snub/drive.h"
#include "snub/locale.h"
#include "tables.h"

#include <string.h>

/* Moduli: Shigley 207 GPa (steel), 100 (grey iron), 71 (aluminium), 190 (stainless). Strengths, tensile and yield, are
 * those of plain grades (mild steel, 6061-T6, GJL-250, 304); rule of thumb, no published source. */
static const snub_material materials[] = {{"steel", 207e9, 400e6, 250e6},
                                          {"aluminium", 71e9, 310e6, 276e6},
                                          {"grey-iron", 100e9, 250e6, 0.0},
                                          {"stainless", 190e9, 515e6, 205e6}};

bool snub_material_find(const char *name, snub_material *out)
{
    for (size_t i = 0; i < sizeof materials / sizeof materials[0]; i++) {
        if (strcmp(materials[i].name, name) == 0) {
            *out = materials[i];
            return true;
        }
    }
    return false;
}

const char *const *snub_material_names(void)
{
    static const char *const names[] = {SNUB_MESSAGE("steel"), SNUB_MESSAGE("aluminium"), SNUB_MESSAGE("grey-iron"),
                                        SNUB_MESSAGE("stainless"), NULL};
    return names;
}

static const struct pair {
    const char *name;
    double friction;
} pairs[] = {{"steel-steel", 0.10},
             {"steel-iron", 0.12},
             {"iron-iron", 0.15},
             {"steel-aluminium", 0.10},
             {"aluminium-aluminium", 0.21}};

double snub_face_friction(const char *faces)
{
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++) {
        if (strcmp(pairs[i].name, faces) == 0)
            return pairs[i].friction;
    }
    return 0.0;
}

const char *const *snub_face_names(void)
{
    static const char *const names[] = {"steel-steel",     "steel-iron",          "iron-iron",
                                        "steel-aluminium", "aluminium-aluminium", NULL};
    return names;
}

/* In order: SKF General Catalogue, Table 3, p. 440; NSK CAT. No. E1102e, B66-B67; Koyo catalogue, both. */
static const snub_double_row double_rows[] = {
    {"30 deg", 0.80, 0.78, 0.63, 1.24, 0.66, "bearing maker's catalogue; the angle: no published source"},
    {"52/53 series", 0.68, 0.92, 0.67, 1.41, 0.76, "bearing maker's catalogue"},
    {"24 deg", 0.66, 0.95, 0.68, 1.45, 0.78, "bearing maker's catalogue"},
    {"32 deg", 0.86, 0.73, 0.62, 1.17, 0.63, "bearing maker's catalogue"},
};

const snub_double_row *snub_double_row_find(const char *name)
{
    for (size_t i = 0; i < sizeof double_rows / sizeof double_rows[0]; i++) {
        if (strcmp(double_rows[i].name, name) == 0)
            return &double_rows[i];
    }
    return NULL;
}

const char *const *snub_double_row_names(void)
{
    static const char *const names[] = {"30 deg", "52/53 series", "24 deg", "32 deg", NULL};
    return names;
}

/* VDI 2230, table of limiting surface pressures (memory): over tensile strength 490/340 to 1300/1000 MPa of steels,
 * 850/250 of GJL-250, 260/290 to 410/540 of aluminium, of which 310/310 was taken. Of stainless, editions differ by a
 * factor of three: its strength, rule of thumb. */
static const struct pressed {
    const char *name;
    double over_strength;
} pressed[] = {{"steel", 1.3}, {"aluminium", 1.0}, {"grey-iron", 3.4}, {"stainless", 1.0}};

double snub_surface_pressure(const snub_material *metal)
{
    for (size_t i = 0; i < sizeof pressed / sizeof pressed[0]; i++) {
        if (metal->name != NULL && strcmp(pressed[i].name, metal->name) == 0)
            return pressed[i].over_strength * metal->tensile;
    }
    return metal->tensile;
}

double snub_stack_length(const snub_stack *stack, snub_stack_kind kind)
{
    double length = 0.0;
    for (int i = 0; i < stack->count; i++)
        length += stack->parts[i].kind == kind ? stack->parts[i].length : 0.0;
    return length;
}

double snub_stack_end(const snub_stack *stack, double from)
{
    for (int i = 0; i < stack->count; i++)
        from += stack->parts[i].length;
    return from;
}
