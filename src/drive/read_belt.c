/** belt: section, ribs, length, stock, and the properties that have defaults by section. */
#include <stdlib.h>
#include <string.h>

#include "key_notes.h"
#include "sections.h"

static const snub_key friction_pair_keys[] = {
    {"rib", NULL,
     SNUB_MEANS("Friction of the belt's ribs in their grooves, the wedge counted in: ln(T1/T2) over the wrap in rad.")},
    {"back", NULL, SNUB_MEANS("Friction of the belt's flat back: ln(T1/T2) over the wrap in rad.")},
    {NULL, NULL, NULL},
};
static const snub_key friction_keys[] = {
    {"design", friction_pair_keys, SNUB_MEANS("Friction that the drive is designed with, with its reserve in it.")},
    {"limit", friction_pair_keys, SNUB_MEANS("Friction at which the belt really slides when dry.")},
    {NULL, NULL, NULL},
};
static const snub_key stock_keys[] = {
    {"from", NULL, SNUB_MEANS("Shortest belt of the series.")},
    {"to", NULL, SNUB_MEANS("Longest belt of the series.")},
    {"step", NULL, SNUB_MEANS("Difference of length from one belt of the series to the next.")},
    {"parts", NULL, SNUB_MEANS("`catalogue`: every belt of this section and rib count in the parts catalogue.")},
    {NULL, NULL, NULL},
};
const snub_key snub_belt_keys[] = {
    {"part", NULL,
     SNUB_MEANS("Key of a belt in the parts catalogue. Keys written beside it win over the catalogue's values.")},
    {"section", NULL, SNUB_MEANS("Profile of the ribs, printed on the belt: PK on nearly all engines.")},
    {"ribs", NULL, SNUB_MEANS("Number of ribs of the belt; 6PK has 6.")},
    {"length", NULL, SNUB_MEANS("Effective length as sold, printed on the belt. Left out: chosen from the stock.")},
    {"stock", stock_keys, SNUB_MEANS("Lengths that can be bought, from which the belt is chosen.")},
    {"be", NULL,
     SNUB_MEANS("Cord above the effective diameter, the effective line differential: radius of the cord less effective "
                "radius.")},
    {"back", NULL,
     SNUB_MEANS("Cord to the belt's back. Measure the outside circumference instead and write `outside`.")},
    {"outside", snub_outside_keys,
     SNUB_MEANS("Outside circumference of a belt as measured, with its length: `back` follows from it.")},
    {"thickness", NULL, SNUB_MEANS("Thickness of the belt from rib tip to back. Measure it with a caliper.")},
    {"mass", NULL,
     SNUB_MEANS("Mass for each metre and each rib. Weigh the belt: over its outside length and its ribs.")},
    {"stiffness", NULL,
     SNUB_MEANS(
         "Force for each rib over the strain that it makes (EA). Stretch a length of belt with two known loads.")},
    {"bending_stiffness", NULL,
     SNUB_MEANS("Bending stiffness for each rib (EI); it lifts the frequency of short spans. Left out: the belt bends "
                "freely.")},
    {"measuring_force", NULL,
     SNUB_MEANS("Force for each rib on the measuring rig's shaft, at which the effective length holds.")},
    {"stretch", NULL, SNUB_MEANS("Lasting stretch of the belt as it is now, as a fraction of its length.")},
    {"worn", NULL, SNUB_MEANS("Lasting stretch of the belt at the end of its life, as a fraction of its length.")},
    {"tolerance", NULL, SNUB_MEANS("Plus or minus on the effective length, from the belt's maker.")},
    {"growth", NULL, SNUB_MEANS("Fraction by which the belt itself grows from cold to warm.")},
    {"flap_damping", NULL,
     SNUB_MEANS("Damping of a span that flaps, as a share of critical. Pluck a span: ln of the ratio of two swings "
                "over 2 pi.")},
    {"wet", NULL, SNUB_MEANS("Fraction of friction that a sliding belt loses when wet.")},
    {"friction", friction_keys, SNUB_MEANS("Friction of belt on pulleys, for design and at the limit, ribs and back.")},
    {NULL, NULL, NULL},
};

/** What a belt section brings along. NAN: there is no default, the file must say it. Lengths in m, per rib where it
 *  says so.
 *  pitch: ISO 9982 (PK: 3.56 mm). be: PK ISO 9981:2020, the others ISO 9982, not compared with its text. face: ISO
 *  9981, ISO 9982, not compared with their text. smallest pulley: ISO 9982, from memory; PK: the list of limits.
 * measuring force: PK ISO 9981:1998, the others ISO 9982, likewise. PK back: weak; docs/theory/layout.md, Cord to back.
 * thickness, mass, stiffness: rule of thumb, no published source. Stiffness: 10 to 60 kN per rib are met; 9.8 to 29.4
 * is one maker's class (US 6422963), another maker asks for 59 (US 5362280). */
typedef struct belt_section {
    const char *name;
    double pitch, be, face, back, thickness, mass, stiffness, measuring_force, smallest;
} belt_section;
static const belt_section sections[] = {{"PK", 3.56e-3, 2.0e-3, 2.5e-3, 0.8e-3, 4.5e-3, 0.019, 28000, 100, NAN},
                                        {"PH", 1.6e-3, 0.8e-3, 1.3e-3, NAN, NAN, NAN, NAN, 30, 13e-3},
                                        {"PJ", 2.34e-3, 1.2e-3, 1.8e-3, NAN, NAN, NAN, NAN, 50, 20e-3},
                                        {"PL", 4.7e-3, 3.0e-3, 3.3e-3, NAN, NAN, NAN, NAN, 200, 75e-3},
                                        {"PM", 9.4e-3, 4.0e-3, 6.4e-3, NAN, NAN, NAN, NAN, 450, 180e-3}};
static const char *const section_names[] = {"PK", "PH", "PJ", "PL", "PM", NULL};

/** Friction at which four to one of tension holds at 180 deg of wrap, ln 4/pi (ANSI/RMA IP-26, not compared with
 *  its text); the back and the limit: rule of thumb, no published source. */
#define DESIGN_RIB 0.4413
#define DESIGN_BACK 0.35
#define LIMIT_RIB 0.9
#define LIMIT_BACK 0.35
/** Kinetic friction lost in the wet: middle of the 30 to 40 % of Sheng et al. 2011. */
#define WET 0.35
/** Rule of thumb, no published source; on the low side, so that flapping is rather expected than not. */
#define FLAP_DAMPING 0.01

static const belt_section *section_of(const snub_belt *belt)
{
    size_t i = sizeof sections / sizeof *sections - 1;
    while (i > 0 && strcmp(sections[i].name, belt->section) != 0)
        i--;
    return &sections[i];
}

double snub_face_width(const snub_belt *belt)
{
    return (belt->ribs - 1) * belt->pitch + 2 * section_of(belt)->face;
}

double snub_smallest_pulley(const snub_belt *belt)
{
    return section_of(belt)->smallest;
}

double snub_belt_tolerance(const snub_belt *belt, double length)
{
    static const double classes[][2] = {{1.0, 5e-3}, {1.2, 6e-3}, {1.5, 8e-3}, {2.0, 9e-3}, {2.5, 10e-3}};
    if (!isnan(belt->tolerance))
        return belt->tolerance;
    for (size_t i = 0; i < sizeof(classes) / sizeof(classes[0]); i++) {
        if (length <= classes[i][0])
            return classes[i][1];
    }
    return 0.004 * length;
}

double snub_written_length(double length)
{
    const double mm = length / SNUB_MM;
    if (!isfinite(mm) || mm == 0.0)
        return length;
    /* twelve digits; a whole number under 1e12 over a power of ten is what reading its digits gives, to the last bit */
    const int places = 11 - (int)floor(log10(fabs(mm)));
    const double power = pow(10.0, abs(places));
    const double written = places >= 0 ? round(mm * power) / power : round(mm / power) * power;
    return snub_quantity_from_bare(SNUB_Q_LENGTH, written);
}

/** A property of the section; where the section has no default the file must give it. */
static void read_property(snub_reader *reader, const snub_node *map, const char *key, snub_quantity quantity,
                          double least, double most, const belt_section *section, double preset, double *value)
{
    *value = preset;
    if (isnan(preset) && snub_read_find(map, key) == NULL)
        snub_read_wrong_key(reader, map, key, "its value from the belt's data sheet",
                            "must be given: section %s has no default for it", section->name);
    snub_read_ranged(reader, map, key, quantity, least, most, value);
}

static void read_properties(snub_reader *reader, const snub_node *map, const belt_section *section, snub_belt *belt)
{
    double force = section->measuring_force, ribs = belt->ribs;
    read_property(reader, map, "be", SNUB_Q_LENGTH, 0, 10, section, section->be, &belt->be);
    snub_read_back(reader, map, section->back, belt);
    read_property(reader, map, "thickness", SNUB_Q_LENGTH, 1, 30, section, section->thickness, &belt->thickness);
    read_property(reader, map, "mass", SNUB_Q_MASS_PER_LENGTH, 0.0005, 0.5, section, section->mass, &belt->mass);
    read_property(reader, map, "stiffness", SNUB_Q_FORCE, 500, 1e6, section, section->stiffness, &belt->stiffness);
    snub_read_ranged(reader, map, "bending_stiffness", SNUB_Q_BENDING, 0, 0.1, &belt->bending);
    read_property(reader, map, "measuring_force", SNUB_Q_FORCE, 1, 2000, section, force, &force);
    if (belt->thickness <= belt->back)
        snub_read_wrong_key(reader, map, "thickness", "more than 'back', from cord to back", "is not more than 'back'");
    belt->mass *= ribs;
    belt->stiffness *= ribs;
    belt->bending *= ribs;
    belt->measuring_tension = ribs * force / 2;
}

static void read_ageing(snub_reader *reader, const snub_node *map, snub_belt *belt)
{
    snub_read_number(reader, map, "stretch", SNUB_Q_NUMBER, 0, 0.1, &belt->stretch);
    belt->worn = belt->stretch;
    if (snub_read_number(reader, map, "worn", SNUB_Q_NUMBER, 0, 0.1, &belt->worn) && belt->worn < belt->stretch)
        snub_read_wrong_key(reader, map, "worn", snub_format(reader->arena, "at least 'stretch', %g", belt->stretch),
                            "is less than the stretch that the belt has now");
    snub_read_ranged(reader, map, "growth", SNUB_Q_NUMBER, -0.02, 0.05, &belt->growth);
    belt->flap_damping_given =
        snub_read_ranged(reader, map, "flap_damping", SNUB_Q_NUMBER, 0.001, 0.3, &belt->flap_damping);
    snub_read_ranged(reader, map, "wet", SNUB_Q_NUMBER, 0, 0.95, &belt->wet);
    snub_read_number(reader, map, "tolerance", SNUB_Q_LENGTH, 0, 100, &belt->tolerance);
}

static void read_friction(snub_reader *reader, const snub_node *map, snub_belt *belt)
{
    belt->design = (snub_friction){DESIGN_RIB, DESIGN_BACK};
    belt->limit = (snub_friction){LIMIT_RIB, LIMIT_BACK};
    const snub_node *friction = snub_read_map(reader, map, "friction", friction_keys);
    if (friction == NULL)
        return;
    snub_enter(reader, "friction");
    for (int i = 0; i < 2; i++) {
        const char *key = friction_keys[i].name;
        snub_friction *pair = i == 0 ? &belt->design : &belt->limit;
        const snub_node *given = snub_read_map(reader, friction, key, friction_pair_keys);
        if (given == NULL)
            continue;
        snub_enter(reader, key);
        snub_read_ranged(reader, given, "rib", SNUB_Q_NUMBER, 0.02, 5, &pair->rib);
        snub_read_ranged(reader, given, "back", SNUB_Q_NUMBER, 0.02, 5, &pair->back);
        snub_leave(reader);
    }
    snub_leave(reader);
}

/* ---- stock ------------------------------------------------------------------------------------------------------- */

static snub_stock_belt plain_belt(double length)
{
    return (snub_stock_belt){snub_written_length(length), NULL, NAN, NAN, NAN, NAN, NAN, NAN, NULL, 0};
}

/** Room for belt->stock_count belts. */
static bool make_stock(snub_reader *reader, snub_belt *belt)
{
    belt->stock = SNUB_NEW(reader->arena, snub_stock_belt, belt->stock_count > 0 ? belt->stock_count : 1);
    if (belt->stock != NULL)
        return true;
    belt->stock_count = 0;
    snub_read_no_memory(reader);
    return false;
}

/* Rule of thumb, no published source: no belt maker sells lengths so near to each other, and each is searched for. */
static const double STOCK_STEP_LEAST_MM = 0.5;

static void stock_from_steps(snub_reader *reader, const snub_node *map, snub_belt *belt)
{
    double from = 0, to = 0, step = 0;
    bool good = snub_read_need(reader, map, "from") != NULL &&
                snub_read_number(reader, map, "from", SNUB_Q_LENGTH, 100, 20000, &from);
    good = snub_read_need(reader, map, "to") != NULL &&
           snub_read_number(reader, map, "to", SNUB_Q_LENGTH, 100, 20000, &to) && good;
    good = snub_read_need(reader, map, "step") != NULL &&
           snub_read_number(reader, map, "step", SNUB_Q_LENGTH, STOCK_STEP_LEAST_MM, 5000, &step) && good;
    if (!good)
        return;
    if (to < from) {
        snub_read_wrong_key(reader, map, "to", "no less than 'from'", "is below 'from'");
        return;
    }
    /* A ten-thousandth of a step of slack: 1500, 1700, 5 has 41 lengths whatever the rounding. */
    double steps = floor((to - from) / step + 1e-4);
    if (steps >= SNUB_TABLE_POINTS_MOST) {
        snub_read_wrong_key(reader, map, "step", "at most 10000 lengths", "gives too many lengths");
        return;
    }
    belt->stock_count = (int)steps + 1;
    if (make_stock(reader, belt)) {
        for (int i = 0; i < belt->stock_count; i++)
            belt->stock[i] = plain_belt(from + i * step);
    }
}

static int compare_lengths(const void *a, const void *b)
{
    double first = *(const double *)a, second = *(const double *)b;
    return (first > second) - (first < second);
}

static void stock_from_list(snub_reader *reader, const snub_node *map, snub_belt *belt)
{
    int count = 0;
    double *lengths = NULL;
    if (!snub_read_numbers(reader, map, "stock", SNUB_Q_LENGTH, 100, 20000, &count, &lengths))
        return;
    qsort(lengths, (size_t)count, sizeof(double), compare_lengths);
    belt->stock_count = count;
    if (!make_stock(reader, belt))
        return;
    for (int i = 0; i < count; i++) {
        belt->stock[i] = plain_belt(lengths[i]);
        if (i == 0 || belt->stock[i].length > belt->stock[i - 1].length)
            continue;
        snub_read_wrong_key(reader, map, "stock", "each length once", "repeats the length %g mm",
                            snub_quantity_to_bare(SNUB_Q_LENGTH, belt->stock[i].length));
    }
}

/** A length that several parts have is offered once for each way in which they differ; else the first of them, as the
 *  catalogue orders them, stands for all. */
static bool same_belt(const snub_stock_belt *a, const snub_stock_belt *b)
{
    const double mine[] = {a->be, a->back, a->mass, a->stiffness, a->measuring_force, a->tolerance};
    const double its[] = {b->be, b->back, b->mass, b->stiffness, b->measuring_force, b->tolerance};
    for (size_t i = 0; i < sizeof(mine) / sizeof(mine[0]); i++) {
        if (mine[i] != its[i] && !(isnan(mine[i]) && isnan(its[i])))
            return false;
    }
    return a->length == b->length;
}

static void stock_from_parts(snub_reader *reader, const snub_node *map, snub_belt *belt)
{
    snub_error error = {0};
    const snub_part_source *source = reader->reading->parts;
    belt->stock_from_parts = true;
    if (source == NULL || source->belts == NULL) {
        snub_read_wrong_key(reader, map, "stock", "a list, or from, to and step", "there is no catalogue of belts");
        return;
    }
    snub_status status = source->belts(source->context, belt->section, belt->ribs, reader->arena, &belt->stock,
                                       &belt->stock_count, &error);
    if (status == SNUB_NO_MEMORY)
        snub_read_no_memory(reader);
    else if (status != SNUB_OK)
        snub_read_wrong_key(reader, map, "stock", NULL, "%s",
                            error.message[0] != '\0' ? error.message : "the catalogue has no such belts");
    int kept = 0;
    for (int i = 0; status == SNUB_OK && i < belt->stock_count; i++) {
        belt->stock[i].length = snub_written_length(belt->stock[i].length);
        int k = kept;
        while (k > 0 && belt->stock[k - 1].length == belt->stock[i].length &&
               !same_belt(&belt->stock[k - 1], &belt->stock[i]))
            k--;
        const bool known = k > 0 && belt->stock[k - 1].length == belt->stock[i].length;
        if (!known)
            belt->stock[kept++] = belt->stock[i];
    }
    belt->stock_count = status == SNUB_OK ? kept : 0;
}

static bool is_catalogue(const snub_node *node)
{
    return node != NULL && node->kind == SNUB_SCALAR && strcmp(node->text, "catalogue") == 0;
}

static void read_stock(snub_reader *reader, const snub_node *map, snub_belt *belt)
{
    static const char *const sources[] = {"catalogue", NULL};
    const snub_node *stock = snub_read_find(map, "stock");
    int source = SNUB_NO_CHOICE;
    snub_note_key(reader, map, "stock", &(snub_file_key){.kind = SNUB_KEY_WORD, .words = sources});
    if (stock == NULL)
        return;
    if (is_catalogue(stock)) {
        stock_from_parts(reader, map, belt);
    } else if (stock->kind == SNUB_LIST) {
        stock_from_list(reader, map, belt);
    } else if (stock->kind == SNUB_MAP) {
        snub_read_map(reader, map, "stock", stock_keys);
        snub_enter(reader, "stock");
        bool parts = snub_read_find(stock, "parts") != NULL;
        bool good = parts && snub_read_choice(reader, stock, "parts", sources, &source);
        if (parts && stock->count > 1)
            snub_read_wrong_key(reader, stock, "parts", "one of the two", "is given together with from, to or step");
        if (!parts)
            stock_from_steps(reader, stock, belt);
        snub_leave(reader);
        if (good)
            stock_from_parts(reader, map, belt);
    } else {
        snub_read_wrong_key(reader, map, "stock", "a list, {from, to, step} or catalogue", "is not a list of lengths");
    }
}

void snub_read_belt(snub_reader *reader, const snub_node *root, snub_drive *drive)
{
    snub_belt *belt = &drive->belt;
    int chosen = 0;
    *belt = (snub_belt){.section = sections[0].name,
                        .ribs = 1,
                        .length = NAN,
                        .tolerance = NAN,
                        .pitch = sections[0].pitch,
                        .flap_damping = FLAP_DAMPING,
                        .wet = WET};
    const snub_node *map = snub_read_need(reader, root, "belt");
    snub_read_apart(reader, root, "belt", SNUB_KEY_MAP, 0, 0);
    if (map == NULL)
        return;
    snub_enter(reader, "belt");
    belt->place = map->place;
    if (map->kind == SNUB_MAP)
        map = snub_read_part(reader, "belt", map);
    if (snub_read_keys(reader, map, snub_belt_keys, NULL)) {
        snub_read_choice(reader, map, "section", section_names, &chosen);
        const belt_section *section = &sections[chosen];
        belt->section = section->name;
        belt->pitch = section->pitch;
        if (snub_read_need(reader, map, "ribs") != NULL)
            snub_read_integer(reader, map, "ribs", 1, 50, &belt->ribs);
        if (snub_read_number(reader, map, "length", SNUB_Q_LENGTH, 100, 20000, &belt->length))
            belt->length = snub_written_length(belt->length);
        snub_read_text(reader, map, "part", 80, &belt->part);
        read_stock(reader, map, belt);
        read_properties(reader, map, section, belt);
        read_ageing(reader, map, belt);
        read_friction(reader, map, belt);
    }
    snub_leave(reader);
}
