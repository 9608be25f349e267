/* What is known of each kind of part. Order here is the order of columns, in the file, in CSV and on the screen. */
#include "catalogue.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const char *const SECTIONS[] = {"PH", "PJ", "PK", "PL", "PM", NULL};
static const char *const SIDES[] = {"rib", "back", NULL};
static const char *const OVERS[] = {"effective", "outside", "balls", NULL};
static const char *const SENSES[] = {"cw", "ccw", NULL};
static const char *const SEALS[] = {"open", "shield", "low-contact", "contact", NULL};
static const char *const CLEARANCES[] = {"C2", "CN", "C3", "C4", NULL};
static const char *const BLOWERS[] = {"roots", "twin-screw", "centrifugal", NULL};

#define NUMBER(name, path, quantity, least, most, needed, tolerance)                                                   \
    {                                                                                                                  \
        name, path, SNUB_FIELD_NUMBER, SNUB_Q_##quantity, least, most, needed, tolerance, NULL                         \
    }
#define COUNT(name, path, least, most, needed)                                                                         \
    {                                                                                                                  \
        name, path, SNUB_FIELD_COUNT, SNUB_Q_NUMBER, least, most, needed, false, NULL                                  \
    }
#define WORD(name, path, words, needed)                                                                                \
    {                                                                                                                  \
        name, path, SNUB_FIELD_WORD, SNUB_Q_NUMBER, 0, 0, needed, false, words                                         \
    }
#define TEXT(name, path, needed)                                                                                       \
    {                                                                                                                  \
        name, path, SNUB_FIELD_TEXT, SNUB_Q_NUMBER, 0, 0, needed, false, NULL                                          \
    }
#define PART(name, path)                                                                                               \
    {                                                                                                                  \
        name, path, SNUB_FIELD_PART, SNUB_Q_NUMBER, 0, 0, false, false, NULL                                           \
    }

/* Per rib where the name says so, as in the drive file. */
static const snub_part_field BELT[] = {
    WORD("section", "section", SECTIONS, true),
    COUNT("ribs", "ribs", 1, 60, true),
    NUMBER("length", "length", LENGTH, 100, 20000, true, true),
    NUMBER("be", "be", LENGTH, 0.1, 20, false, false),
    NUMBER("back", "back", LENGTH, 0.1, 20, false, false),
    NUMBER("mass_per_rib", "mass", MASS_PER_LENGTH, 0.0001, 10, false, false),
    NUMBER("stiffness_per_rib", "stiffness", FORCE, 100, 1e7, false, false),
    NUMBER("measuring_force_per_rib", "measuring_force", FORCE, 1, 1e5, false, false),
};

/* A pulley with ribs. */
static const snub_part_field PULLEY[] = {
    WORD("section", NULL, SECTIONS, true),
    COUNT("ribs", "ribs", 1, 60, true),
    NUMBER("diameter", "diameter", LENGTH, 5, 2000, true, true),
    WORD("over", "diameter.over", OVERS, false),
    NUMBER("rim_radius", "rim_radius", LENGTH, 2, 1000, false, false),
    NUMBER("width", "width", LENGTH, 2, 1000, false, false),
    NUMBER("bore", NULL, LENGTH, 1, 500, false, true),
    NUMBER("inertia", "inertia", INERTIA, 1e-9, 1000, false, false),
    NUMBER("mass", NULL, MASS, 0.0001, 1000, false, false),
    NUMBER("max_speed", "max_speed", TURN_SPEED, 10, 1e6, false, false),
};

static const snub_part_field IDLER[] = {
    WORD("side", "side", SIDES, true),
    COUNT("ribs", "ribs", 1, 60, false),
    NUMBER("diameter", "diameter", LENGTH, 5, 2000, true, true),
    NUMBER("rim_radius", "rim_radius", LENGTH, 2, 1000, false, false),
    NUMBER("width", "width", LENGTH, 2, 1000, false, false),
    NUMBER("bore", NULL, LENGTH, 1, 500, false, true),
    NUMBER("inertia", "inertia", INERTIA, 1e-9, 1000, false, false),
    NUMBER("mass", NULL, MASS, 0.0001, 1000, false, false),
    NUMBER("max_speed", "max_speed", TURN_SPEED, 10, 1e6, false, false),
    PART("bearing", NULL),
};

/* An arm with its pulley. Where it is bolted on (pivot, free) is the drive's matter, not the part's. */
static const snub_part_field TENSIONER[] = {
    WORD("side", "side", SIDES, true),
    NUMBER("diameter", "diameter", LENGTH, 5, 2000, true, true),
    NUMBER("arm_length", "arm.length", LENGTH, 5, 1000, true, true),
    NUMBER("width", "width", LENGTH, 2, 1000, false, false),
    NUMBER("inertia", "inertia", INERTIA, 1e-9, 1000, false, false),
    NUMBER("mass", NULL, MASS, 0.0001, 1000, false, false),
    NUMBER("max_speed", "max_speed", TURN_SPEED, 10, 1e6, false, false),
    PART("bearing", NULL),
    WORD("loads", "arm.loads", SENSES, false),
    NUMBER("travel", "arm.travel", ANGLE, 1, 350, true, false),
    NUMBER("preload", "arm.preload", TORQUE, 0, 10000, true, true),
    NUMBER("rate", "arm.rate", TORQUE_RATE, 0.0001, 1000, true, true),
    NUMBER("damping", "arm.damping", NUMBER, 0, 0.99, false, false),
    NUMBER("arm_inertia", "arm.inertia", INERTIA, 1e-9, 1000, false, false),
    NUMBER("work_from", "arm.work.0", ANGLE, 0, 350, false, false),
    NUMBER("work_to", "arm.work.1", ANGLE, 0, 350, false, false),
};

static const snub_part_field BEARING[] = {
    TEXT("designation", "designation", true),
    NUMBER("bore", "bore", LENGTH, 1, 500, true, true),
    NUMBER("outside", "outside", LENGTH, 2, 1000, true, true),
    NUMBER("width", "width", LENGTH, 1, 500, true, true),
    NUMBER("dynamic", "dynamic", FORCE, 1, 1e8, true, false),
    NUMBER("static", "static", FORCE, 1, 1e8, true, false),
    NUMBER("f0", "f0", NUMBER, 1, 30, false, false),
    NUMBER("fatigue", "fatigue", FORCE, 0.1, 1e7, false, false),
    NUMBER("max_speed", "max_speed", TURN_SPEED, 10, 1e6, false, false),
    NUMBER("max_speed_grease", "max_speed_grease", TURN_SPEED, 10, 1e6, false, false),
    WORD("seal", "seal", SEALS, false),
    TEXT("contact", "contact", false),
    COUNT("rows", "rows", 1, 4, true),
    NUMBER("row_spacing", "row_spacing", LENGTH, 1, 500, false, false),
    WORD("clearance", "clearance", CLEARANCES, false),
};

/* A bolt, screw or stud. Loads are whole-bolt, as its standard tabulates them. */
static const snub_part_field FASTENER[] = {
    TEXT("thread", "thread", true),
    TEXT("class", "class", true),
    NUMBER("nominal", "diameter", LENGTH, 1, 100, true, false),
    NUMBER("pitch", "pitch", LENGTH, 0.1, 10, true, false),
    NUMBER("stress_area", "stress_area", AREA, 0.3, 10000, true, false),
    NUMBER("proof_load", "proof_load", FORCE, 10, 1e8, true, false),
    NUMBER("tensile_load", "tensile_load", FORCE, 10, 1e8, false, false),
    NUMBER("bolt_length", "length", LENGTH, 1, 1000, false, true),
};

static const snub_part_field SHIM[] = {
    NUMBER("bore", "bore", LENGTH, 1, 500, true, true),
    NUMBER("outside", "outside", LENGTH, 2, 1000, true, true),
    NUMBER("thickness", "thickness", LENGTH, 0.005, 100, true, true),
};

static const snub_part_field BLOWER[] = {
    WORD("blower_kind", "kind", BLOWERS, true),
    NUMBER("swept", "swept", VOLUME, 0.001, 100, false, false),
    NUMBER("internal_ratio", "internal_ratio", NUMBER, 1, 10, false, false),
    NUMBER("leakage_speed", "leakage_speed", TURN_SPEED, 0, 100000, false, false),
    NUMBER("mechanical", "mechanical", NUMBER, 0.01, 1, false, false),
    NUMBER("step_up", "step_up", NUMBER, 0.01, 100, false, false),
    NUMBER("max_rotor_speed", "max_rotor_speed", TURN_SPEED, 10, 1e6, false, false),
    NUMBER("design_speed", "design_speed", TURN_SPEED, 10, 1e6, false, false),
    NUMBER("design_flow", "design_flow", FLOW_VOLUME, 0.0001, 100, false, false),
    NUMBER("design_ratio", "design_ratio", NUMBER, 1.001, 20, false, false),
    NUMBER("isentropic", "isentropic", NUMBER, 0.01, 1, false, false),
    NUMBER("mass", NULL, MASS, 0.0001, 1000, false, false),
};

#define LENGTH_OF(list) (int)(sizeof(list) / sizeof(list)[0])
static const struct kind {
    const char *name;
    const snub_part_field *fields;
    int count;
} KINDS[SNUB_PART_KINDS] = {
    [SNUB_PART_BELT] = {"belt", BELT, LENGTH_OF(BELT)},
    [SNUB_PART_PULLEY] = {"pulley", PULLEY, LENGTH_OF(PULLEY)},
    [SNUB_PART_IDLER] = {"idler", IDLER, LENGTH_OF(IDLER)},
    [SNUB_PART_TENSIONER] = {"tensioner", TENSIONER, LENGTH_OF(TENSIONER)},
    [SNUB_PART_BEARING] = {"bearing", BEARING, LENGTH_OF(BEARING)},
    [SNUB_PART_FASTENER] = {"fastener", FASTENER, LENGTH_OF(FASTENER)},
    [SNUB_PART_SHIM] = {"shim", SHIM, LENGTH_OF(SHIM)},
    [SNUB_PART_BLOWER] = {"blower", BLOWER, LENGTH_OF(BLOWER)},
};

const char *snub_part_kind_name(snub_part_kind kind)
{
    return (int)kind >= 0 && kind < SNUB_PART_KINDS ? KINDS[kind].name : "part";
}

bool snub_part_kind_named(const char *name, snub_part_kind *kind)
{
    for (int i = 0; i < SNUB_PART_KINDS; i++) {
        if (strcmp(KINDS[i].name, name) == 0) {
            *kind = (snub_part_kind)i;
            return true;
        }
    }
    return false;
}

const snub_part_field *snub_part_fields(snub_part_kind kind, int *count)
{
    bool known = (int)kind >= 0 && kind < SNUB_PART_KINDS;
    *count = known ? KINDS[kind].count : 0;
    return known ? KINDS[kind].fields : NULL;
}

int snub_part_field_index(snub_part_kind kind, const char *name)
{
    int count;
    const snub_part_field *fields = snub_part_fields(kind, &count);
    for (int i = 0; i < count; i++)
        if (strcmp(fields[i].name, name) == 0)
            return i;
    return -1;
}

const snub_part_field *snub_part_field_named(const char *name)
{
    for (int kind = 0; kind < SNUB_PART_KINDS; kind++) {
        int i = snub_part_field_index((snub_part_kind)kind, name);
        if (i >= 0)
            return &KINDS[kind].fields[i];
    }
    return NULL;
}

const char *snub_part_renamed(snub_part_kind kind, const char *field, const char *word)
{
    char context[64];
    const char *now = NULL;
    for (int k = 0; k < SNUB_PART_KINDS && now == NULL; k++) {
        if (kind != SNUB_PART_ANY && kind != (snub_part_kind)k)
            continue;
        snprintf(context, sizeof context, "catalogue.%s%s%.24s", KINDS[k].name, word ? "." : "", word ? field : "");
        now = snub_renamed(context, word ? word : field);
    }
    return now;
}

void snub_part_init(snub_part *part, snub_part_kind kind)
{
    *part = (snub_part){.key = "",
                        .kind = kind,
                        .name = "",
                        .source = "",
                        .note = "",
                        .price_milli = -1,
                        .stock = -1,
                        .own_number = "",
                        .supplier = "",
                        .supplier_number = "",
                        .minimum_order = -1,
                        .replaced_by = ""};
    for (int i = 0; i < SNUB_PART_FIELDS_MOST; i++)
        part->values[i].minus = part->values[i].plus = NAN;
}
