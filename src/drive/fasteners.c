/* Bolts as tables: threads, property classes, nut factors, engagement. The source of each stands beside it. */
#include "snub/drive.h"
#include "snub/locale.h"
#include "tables.h"

#include <string.h>

double snub_stress_area(double diameter, double pitch)
{
    const double d = diameter - 0.9382 * pitch;
    return SNUB_PI / 4.0 * d * d;
}

/* Endurance 129 MPa is printed for 8.8 from M16 on; it is used for smaller ones as well (rule of thumb, no published
 * source: it falls with size).
 */
/* Strengths of 8.8 over M16, of 10.9 and 12.9, and every endurance: Shigley, 9th ed., Tables 8-11 and 8-17. */
static const snub_bolt_class classes[] = {
    {"8.8", 0, 16 * SNUB_MM, 580 * SNUB_MPA, 640 * SNUB_MPA, 800 * SNUB_MPA, 129 * SNUB_MPA,
     "ISO 898-1; endurance: machine-design handbook"},
    {"8.8", 16 * SNUB_MM, 36 * SNUB_MM, 600 * SNUB_MPA, 660 * SNUB_MPA, 830 * SNUB_MPA, 129 * SNUB_MPA,
     "machine-design handbook"},
    {"10.9", 0, 36 * SNUB_MM, 830 * SNUB_MPA, 940 * SNUB_MPA, 1040 * SNUB_MPA, 162 * SNUB_MPA,
     "machine-design handbook"},
    {"12.9", 0, 36 * SNUB_MM, 970 * SNUB_MPA, 1100 * SNUB_MPA, 1220 * SNUB_MPA, 190 * SNUB_MPA,
     "machine-design handbook"},
    {"SAE 2", 0.25 * SNUB_INCH, 0.75 * SNUB_INCH, 55 * SNUB_KSI, 57 * SNUB_KSI, 74 * SNUB_KSI, 0, "SAE J429"},
    {"SAE 2", 0.875 * SNUB_INCH, 1.5 * SNUB_INCH, 33 * SNUB_KSI, 36 * SNUB_KSI, 60 * SNUB_KSI, 0, "SAE J429"},
    {"SAE 5", 0.25 * SNUB_INCH, SNUB_INCH, 85 * SNUB_KSI, 92 * SNUB_KSI, 120 * SNUB_KSI, 18.6 * SNUB_KSI,
     "SAE J429; endurance: machine-design handbook"},
    {"SAE 5", 1.125 * SNUB_INCH, 1.5 * SNUB_INCH, 74 * SNUB_KSI, 81 * SNUB_KSI, 105 * SNUB_KSI, 16.3 * SNUB_KSI,
     "SAE J429; endurance: machine-design handbook"},
    {"SAE 5.2", 0.25 * SNUB_INCH, SNUB_INCH, 85 * SNUB_KSI, 92 * SNUB_KSI, 120 * SNUB_KSI, 0, "SAE J429"},
    {"SAE 7", 0.25 * SNUB_INCH, 1.5 * SNUB_INCH, 105 * SNUB_KSI, 115 * SNUB_KSI, 133 * SNUB_KSI, 20.6 * SNUB_KSI,
     "SAE J429; endurance: machine-design handbook"},
    {"SAE 8", 0.25 * SNUB_INCH, 1.5 * SNUB_INCH, 120 * SNUB_KSI, 130 * SNUB_KSI, 150 * SNUB_KSI, 23.2 * SNUB_KSI,
     "SAE J429; endurance: machine-design handbook"},
    {"SAE 8.2", 0.25 * SNUB_INCH, SNUB_INCH, 120 * SNUB_KSI, 130 * SNUB_KSI, 150 * SNUB_KSI, 0, "SAE J429"},
};

bool snub_bolt_class_find(const char *name, double diameter, snub_bolt_class *out)
{
    const double slack = 1e-9; /* m */
    for (size_t i = 0; i < sizeof classes / sizeof classes[0]; i++) {
        const snub_bolt_class *c = &classes[i];
        if (strcmp(c->name, name) == 0 && diameter >= c->from - slack && diameter <= c->to + slack) {
            *out = *c;
            return true;
        }
    }
    return false;
}

const char *const *snub_bolt_class_names(void)
{
    static const char *const names[] = {"8.8",     "10.9",  "12.9",  "SAE 2",   "SAE 5",
                                        "SAE 5.2", "SAE 7", "SAE 8", "SAE 8.2", NULL};
    return names;
}

static const struct thread {
    const char *name;
    double diameter, pitch;
} threads[] = {
    /* ISO 261, coarse */
    {"M4", 4 * SNUB_MM, 0.7 * SNUB_MM},
    {"M5", 5 * SNUB_MM, 0.8 * SNUB_MM},
    {"M6", 6 * SNUB_MM, 1 * SNUB_MM},
    {"M7", 7 * SNUB_MM, 1 * SNUB_MM},
    {"M8", 8 * SNUB_MM, 1.25 * SNUB_MM},
    {"M10", 10 * SNUB_MM, 1.5 * SNUB_MM},
    {"M12", 12 * SNUB_MM, 1.75 * SNUB_MM},
    {"M14", 14 * SNUB_MM, 2 * SNUB_MM},
    {"M16", 16 * SNUB_MM, 2 * SNUB_MM},
    {"M18", 18 * SNUB_MM, 2.5 * SNUB_MM},
    {"M20", 20 * SNUB_MM, 2.5 * SNUB_MM},
    {"M24", 24 * SNUB_MM, 3 * SNUB_MM},
    {"M30", 30 * SNUB_MM, 3.5 * SNUB_MM},
    {"M36", 36 * SNUB_MM, 4 * SNUB_MM},
    /* ASME B1.1 */
    {"1/4-20", 0.25 * SNUB_INCH, SNUB_INCH / 20},
    {"1/4-28", 0.25 * SNUB_INCH, SNUB_INCH / 28},
    {"5/16-18", 0.3125 * SNUB_INCH, SNUB_INCH / 18},
    {"5/16-24", 0.3125 * SNUB_INCH, SNUB_INCH / 24},
    {"3/8-16", 0.375 * SNUB_INCH, SNUB_INCH / 16},
    {"3/8-24", 0.375 * SNUB_INCH, SNUB_INCH / 24},
    {"7/16-14", 0.4375 * SNUB_INCH, SNUB_INCH / 14},
    {"7/16-20", 0.4375 * SNUB_INCH, SNUB_INCH / 20},
    {"1/2-13", 0.5 * SNUB_INCH, SNUB_INCH / 13},
    {"1/2-20", 0.5 * SNUB_INCH, SNUB_INCH / 20},
    {"5/8-11", 0.625 * SNUB_INCH, SNUB_INCH / 11},
    {"5/8-18", 0.625 * SNUB_INCH, SNUB_INCH / 18},
    {"3/4-10", 0.75 * SNUB_INCH, SNUB_INCH / 10},
    {"3/4-16", 0.75 * SNUB_INCH, SNUB_INCH / 16},
};

bool snub_thread_find(const char *name, double *diameter, double *pitch)
{
    for (size_t i = 0; i < sizeof threads / sizeof threads[0]; i++) {
        if (strcmp(threads[i].name, name) == 0) {
            *diameter = threads[i].diameter;
            *pitch = threads[i].pitch;
            return true;
        }
    }
    /* fine metric, "M8x1" */
    const char *times = strchr(name, 'x'), *end = NULL;
    double d = 0, p = 0;
    char head[8] = "";
    if (name[0] != 'M' || times == NULL || (size_t)(times - name) >= sizeof head)
        return false;
    memcpy(head, name + 1, (size_t)(times - name - 1));
    if (snub_parse_number(head, NULL, &d) != SNUB_OK || snub_parse_number(times + 1, &end, &p) != SNUB_OK ||
        *end != '\0')
        return false;
    if (!(d >= 3 && d <= 39 && p >= 0.35 && p <= d / 4))
        return false;
    *diameter = d * SNUB_MM;
    *pitch = p * SNUB_MM;
    return true;
}

double snub_tapping_hole(double diameter, double pitch)
{
    return nearbyint((diameter - pitch) / SNUB_MM * 10.0) * SNUB_MM / 10.0;
}

/* Sizes are the same within this, m. */
#define SAME_SIZE 1e-7

/* ISO 273, medium: M6 to M12 read, the others from memory. Over other diameters, inch sizes among them, 1.1 of it,
 * which comes near to both. */
static const double holes[][2] = {{4, 4.5},   {5, 5.5},   {6, 6.6}, {7, 7.6}, {8, 9},   {10, 11}, {12, 13.5},
                                  {14, 15.5}, {16, 17.5}, {18, 20}, {20, 22}, {24, 26}, {30, 33}, {36, 39}};

double snub_clearance_hole(double diameter)
{
    for (size_t i = 0; i < sizeof holes / sizeof holes[0]; i++) {
        if (fabs(diameter - holes[i][0] * SNUB_MM) < SAME_SIZE)
            return holes[i][1] * SNUB_MM;
    }
    return 1.1 * diameter;
}

/* Least washer face of a grade A hexagon head, ISO 4017; thickness of a plain washer, ISO 7089. Inch: 0.9 of the width
 * across flats of ASME B18.2.1 (a washer face is as wide, less 10 % at most); the narrow plain washer of ASME B18.21.1.
 * M6 to M12 of ISO 4017 read, all else from memory. */
static const struct head {
    double diameter, face, washer;
} heads[] = {
    {4 * SNUB_MM, 5.88 * SNUB_MM, 0.8 * SNUB_MM},
    {5 * SNUB_MM, 6.88 * SNUB_MM, 1.0 * SNUB_MM},
    {6 * SNUB_MM, 8.88 * SNUB_MM, 1.6 * SNUB_MM},
    {8 * SNUB_MM, 11.63 * SNUB_MM, 1.6 * SNUB_MM},
    {10 * SNUB_MM, 14.63 * SNUB_MM, 2.0 * SNUB_MM},
    {12 * SNUB_MM, 16.63 * SNUB_MM, 2.5 * SNUB_MM},
    {14 * SNUB_MM, 19.64 * SNUB_MM, 2.5 * SNUB_MM},
    {16 * SNUB_MM, 22.49 * SNUB_MM, 3.0 * SNUB_MM},
    {20 * SNUB_MM, 28.19 * SNUB_MM, 3.0 * SNUB_MM},
    {24 * SNUB_MM, 33.61 * SNUB_MM, 4.0 * SNUB_MM},
    {0.25 * SNUB_INCH, 0.9 * 0.4375 * SNUB_INCH, 0.065 * SNUB_INCH},
    {0.3125 * SNUB_INCH, 0.9 * 0.5 * SNUB_INCH, 0.065 * SNUB_INCH},
    {0.375 * SNUB_INCH, 0.9 * 0.5625 * SNUB_INCH, 0.065 * SNUB_INCH},
    {0.4375 * SNUB_INCH, 0.9 * 0.625 * SNUB_INCH, 0.065 * SNUB_INCH},
    {0.5 * SNUB_INCH, 0.9 * 0.75 * SNUB_INCH, 0.095 * SNUB_INCH},
    {0.625 * SNUB_INCH, 0.9 * 0.9375 * SNUB_INCH, 0.095 * SNUB_INCH},
    {0.75 * SNUB_INCH, 0.9 * 1.125 * SNUB_INCH, 0.134 * SNUB_INCH},
};
/* Of other sizes, over the diameter: near the least of the tables; rule of thumb. */
#define OTHER_FACE 1.4
#define OTHER_WASHER 0.15

static const struct head *head_of(double diameter)
{
    for (size_t i = 0; i < sizeof heads / sizeof heads[0]; i++) {
        if (fabs(diameter - heads[i].diameter) < SAME_SIZE)
            return &heads[i];
    }
    return NULL;
}

double snub_head_diameter(double diameter)
{
    const struct head *head = head_of(diameter);
    return head != NULL ? head->face : OTHER_FACE * diameter;
}

double snub_washer_thickness(double diameter)
{
    const struct head *head = head_of(diameter);
    return head != NULL ? head->washer : OTHER_WASHER * diameter;
}

static const struct nut_condition {
    const char *name;
    double factor;
} conditions[] = {{"unknown", 0.20}, {"black", 0.30},   {"zinc", 0.20},
                  {"oiled", 0.18},   {"cadmium", 0.16}, {"anti-seize", 0.12}};

double snub_nut_factor(const char *condition)
{
    for (size_t i = 0; i < sizeof conditions / sizeof conditions[0]; i++) {
        if (strcmp(conditions[i].name, condition) == 0)
            return conditions[i].factor;
    }
    return 0.0;
}

const char *const *snub_nut_conditions(void)
{
    static const char *const names[] = {SNUB_MESSAGE("unknown"),
                                        SNUB_MESSAGE("black"),
                                        SNUB_MESSAGE("zinc"),
                                        SNUB_MESSAGE("oiled"),
                                        SNUB_MESSAGE("cadmium"),
                                        SNUB_MESSAGE("anti-seize"),
                                        NULL};
    return names;
}

/* Columns: by the tensile strengths of 8.8 (over M16), 10.9 and 12.9. 12.9 into aluminium is not in the table: 0. */
static const double strengths[] = {830 * SNUB_MPA, 1040 * SNUB_MPA, 1220 * SNUB_MPA};
enum { STRENGTHS = sizeof strengths / sizeof strengths[0] };
static const struct engagement_row {
    const char *material;
    double ratio[STRENGTHS];
} engagements[] = {{"steel", {0.9, 1.0, 1.2}}, {"grey-iron", {1.0, 1.25, 1.4}}, {"aluminium", {2.0, 2.5, 0}}};
/* Strengths that come from loads of a list, rounded as these are, may pass their class's by so much. */
#define ROUNDED_LOAD 1.005

double snub_engagement(const char *material, double tensile, bool *listed)
{
    for (size_t i = 0; i < sizeof engagements / sizeof engagements[0]; i++) {
        const struct engagement_row *row = &engagements[i];
        int column = 0;
        if (strcmp(row->material, material) != 0)
            continue;
        while (column < STRENGTHS && tensile > ROUNDED_LOAD * strengths[column])
            column++;
        *listed = column < STRENGTHS && row->ratio[column] > 0.0;
        while (column == STRENGTHS || !(row->ratio[column] > 0.0))
            column--;
        return row->ratio[column];
    }
    *listed = false;
    return 0.0;
}

const char *const *snub_tapped_materials(void)
{
    static const char *const names[] = {"steel", "grey-iron", "aluminium", NULL};
    return names;
}

double snub_preload_scatter(double tightening_factor)
{
    return (tightening_factor - 1.0) / (tightening_factor + 1.0);
}
