/** bearings: rows of a catalogue; and how a pulley sits on them. */
#include <string.h>

#include "hardware.h"
#include "supply.h"

const snub_key snub_bearing_keys[] = {
    {"part", NULL,
     SNUB_MEANS("Key of a bearing in the parts catalogue. Keys written beside it win over the catalogue's values.")},
    {"designation", NULL, SNUB_MEANS("Basic number of the bearing without its maker's suffixes, such as 6203.")},
    {"bore", NULL, SNUB_MEANS("Bore of the inner ring, from the catalogue.")},
    {"outside", NULL, SNUB_MEANS("Outside diameter of the outer ring, from the catalogue.")},
    {"width", NULL, SNUB_MEANS("Width of the rings along the axis, from the catalogue.")},
    {"dynamic", NULL, SNUB_MEANS("Basic dynamic load rating C, from the catalogue. Life goes by it.")},
    {"static", NULL, SNUB_MEANS("Basic static load rating C0, from the catalogue.")},
    {"f0", NULL, SNUB_MEANS("Factor f0 of the catalogue, for thrust on deep groove bearings.")},
    {"fatigue", NULL, SNUB_MEANS("Fatigue load limit Pu, from the catalogue. Left out: estimated from C0.")},
    {"max_speed", NULL, SNUB_MEANS("Highest speed that the maker allows for this bearing as it is sealed.")},
    {"seal", NULL, SNUB_MEANS("How the bearing is closed at its sides. It sets how clean the grease stays.")},
    {"rows", NULL, SNUB_MEANS("Rows of balls in one bearing.")},
    {"contact", NULL, SNUB_MEANS("Contact angle of a bearing with two rows, or its series, from the catalogue.")},
    {"row_spacing", NULL, SNUB_MEANS("Distance between the load centres of the two rows, from the catalogue.")},
    {"max_speed_grease", NULL,
     SNUB_MEANS("Speed limit with grease, open or shielded, from the catalogue; grease life goes by it.")},
    {"source", NULL, SNUB_MEANS("Where the row is from: catalogue, page, edition. For your records.")},
    {"clearance", NULL,
     SNUB_MEANS("Class of radial clearance, ISO 5753-1, the suffix of the number: C3 is larger than normal (CN).")},
    SNUB_NUMBER_KEY,
    {NULL, NULL, NULL},
};
const snub_key snub_seat_keys[] = {
    {"type", NULL, SNUB_MEANS("Designation of a row under `bearings`, such as 6203.")},
    {"seal", NULL, SNUB_MEANS("Which of the rows with that designation is meant, by how it is closed.")},
    {"clearance", NULL,
     SNUB_MEANS("Class of radial clearance, ISO 5753-1, the suffix of the number: C3 is larger than normal (CN).")},
    {"count", NULL, SNUB_MEANS("Bearings side by side on this shaft.")},
    {"spacing", NULL, SNUB_MEANS("Distance between the middles of two bearings, along the axis.")},
    {"offset", NULL,
     SNUB_MEANS("Belt's middle from the middle of the bearing, or of the two. An overhung belt tips the bearing.")},
    {"rotating_ring", NULL,
     SNUB_MEANS("Ring that turns: outer on an idler, inner on a turning shaft. The fit follows from it.")},
    {"temperature", NULL,
     SNUB_MEANS("Running temperature of the bearing's grease. Measure the bolt head after a hot run.")},
    {"grease", NULL,
     SNUB_MEANS("Kind of grease in the bearing: general, or wide-range for hot places. From the maker.")},
    {"axial", NULL, SNUB_MEANS("Steady push along the axis on the bearing.")},
    {"fit", NULL,
     SNUB_MEANS("ISO 286 class of the turning ring's seat, such as M7 in a bore or k5 on a shaft. From the drawing.")},
    {"reliability", NULL, SNUB_MEANS("Share of bearings that are to reach the life shown, in percent.")},
    {"oil", NULL, SNUB_MEANS("Viscosity of the grease's base oil at 40 and at 100 degC, from its data sheet.")},
    {"cleanliness", NULL,
     SNUB_MEANS("How clean the grease stays in service, by the levels of ISO 281. Dirt shortens the life.")},
    {"application_factor", NULL,
     SNUB_MEANS("Factor on the bearing's loads for what swings within a turn, for life and grease.")},
    SNUB_SUPPLY_KEYS,
    {NULL, NULL, NULL},
};
static const char *const levels[] = {"extreme",
                                     "high",
                                     "normal",
                                     "slight-contamination",
                                     "typical-contamination",
                                     "severe-contamination",
                                     "very-severe-contamination",
                                     NULL};
static const char *const seals[] = {"open", "shield", "low-contact", "contact", NULL};
static const char *const clearances[] = {"C2", "CN", "C3", "C4", NULL}; /* ISO 5753-1 */

/** f0 of deep groove bearings lies between 12 and 16 (catalogues); this is the middle, memory. */
#define USUAL_F0 13.5
/** Running temperature of an idler bearing at the front of an engine, K; rule of thumb, no published source. */
#define USUAL_TEMPERATURE (SNUB_ZERO_CELSIUS + 90)

/** Oil of the common grease in small sealed bearings, m2/s at 40 and 100 degC, mineral in lithium soap; and of one for
 * more heat, ester in polyurea: a bearing maker's list of its standard fills, from memory, the thinner ones. */
static const double GENERAL_OIL[2] = {70e-6, 7.3e-6}, WIDE_OIL[2] = {70e-6, 9.4e-6};
/** What the belt adds to the hub loads that are worked out: fluctuation within a turn, run-out, vibration. 1.2 is what
 * a sine of +-70 % does to the cubic mean, (1 + 1.5 0.7^2)^(1/3), and the low end of makers' 1.2 to 1.5 for normal
 * running (memory). */
#define USUAL_APPLICATION 1.2

const char *snub_cleanliness_text(snub_cleanliness level)
{
    return level < SNUB_CLEANLINESSES_ ? levels[level] : "";
}

/* One level dirtier than ISO 281 gives as an example for that seal: an idler runs in road dust and spray. Rule of
 * thumb. */
static snub_cleanliness usual_cleanliness(const char *seal)
{
    if (seal != NULL && strcmp(seal, "contact") == 0)
        return SNUB_CLEAN_NORMALLY;
    if (seal != NULL && strcmp(seal, "open") == 0)
        return SNUB_DIRTY_SEVERELY;
    return SNUB_DIRTY_SLIGHTLY;
}

static void read_oil(snub_reader *reader, const snub_node *node, snub_bearing_seat *seat)
{
    static const char need[] = "[at 40 degC, at 100 degC], the first the greater";
    int count = 0;
    double *values = NULL;
    if (!snub_read_numbers(reader, node, "oil", SNUB_Q_VISCOSITY, 1, 5000, &count, &values))
        return;
    if (count != 2 || values[0] <= values[1]) {
        snub_read_wrong_key(reader, node, "oil", need, count != 2 ? "is not two numbers" : "gets no thinner when warm");
        return;
    }
    memcpy(seat->oil, values, sizeof seat->oil);
    seat->oil_given = true;
}

/* The ring that turns is the one that the load goes round. */
static void read_fit(snub_reader *reader, const snub_node *node, snub_bearing_seat *seat)
{
    if (!snub_read_text(reader, node, "fit", 8, &seat->fit) || snub_fit_tightness(seat->fit, seat->outer_rotates) >= 0)
        return;
    snub_read_wrong_key(reader, node, "fit",
                        seat->outer_rotates
                            ? "a class of ISO 286 for the bore that the outer ring turns with: M7, N7, P7"
                            : "a class of ISO 286 for the shaft that the inner ring turns with: j5, k5, m5",
                        "is no such fit");
    seat->fit = NULL;
}

static void read_spacing(snub_reader *reader, const snub_node *node, const snub_hardware *hardware,
                         snub_bearing_seat *seat)
{
    const double width = seat->bearing >= 0 ? hardware->bearings[seat->bearing].width : 0.0;
    snub_read_number(reader, node, "spacing", SNUB_Q_LENGTH, 1, 500, &seat->spacing);
    if (seat->count == 2 && seat->spacing <= 0)
        snub_read_wrong_key(reader, node, "spacing", "the distance between their centres", "is missing");
    else if (seat->count == 2 && seat->spacing < width * (1.0 - 1e-9))
        snub_read_wrong_key(reader, node, "spacing",
                            snub_format(reader->arena, "%g mm or more, the width of one", width / SNUB_MM),
                            "puts one bearing into the other");
    if (seat->count == 1 && seat->spacing > 0)
        snub_read_wrong_key(reader, node, "spacing", "count: 2", "is given for one bearing");
}

static void read_film(snub_reader *reader, const snub_node *node, const snub_hardware *hardware,
                      snub_bearing_seat *seat)
{
    int choice = SNUB_NO_CHOICE;
    memcpy(seat->oil, seat->wide_grease ? WIDE_OIL : GENERAL_OIL, sizeof seat->oil);
    read_oil(reader, node, seat);
    seat->cleanliness_given = snub_read_choice(reader, node, "cleanliness", levels, &choice);
    seat->cleanliness = seat->cleanliness_given ? (snub_cleanliness)choice
                        : seat->bearing >= 0    ? usual_cleanliness(hardware->bearings[seat->bearing].seal)
                                                : SNUB_DIRTY_SLIGHTLY;
    seat->application_factor = USUAL_APPLICATION;
    seat->application_given =
        snub_read_number(reader, node, "application_factor", SNUB_Q_NUMBER, 1, 5, &seat->application_factor);
}

static void read_rows(snub_reader *reader, const snub_node *map, snub_bearing *b)
{
    int contact = SNUB_NO_CHOICE;
    b->rows = 1;
    snub_read_integer(reader, map, "rows", 1, 2, &b->rows);
    if (snub_read_choice(reader, map, "contact", snub_double_row_names(), &contact)) {
        if (b->rows == 1)
            snub_read_wrong_key(reader, map, "contact", "rows: 2", "is given for a bearing with one row");
        b->contact = snub_double_row_names()[contact];
    }
    snub_read_number(reader, map, "row_spacing", SNUB_Q_LENGTH, 1, 500, &b->row_spacing);
    if (b->rows == 1 && b->row_spacing > 0)
        snub_read_wrong_key(reader, map, "row_spacing", "rows: 2", "is given for a bearing with one row");
}

/* NULL where the key is not there or wrong. */
static const char *read_word(snub_reader *reader, const snub_node *map, const char *key, const char *const *words)
{
    int choice = SNUB_NO_CHOICE;
    return snub_read_choice(reader, map, key, words, &choice) ? words[choice] : NULL;
}

/* A suffix says seal and clearance in each maker's own letters: one that were passed over might be the seal that the
 * speed is judged by. */
static bool has_suffix(snub_reader *reader, const snub_node *map, const char *key, const char *text)
{
    const size_t number = snub_bearing_number(text);
    if (number == 0 || text[number] == '\0')
        return false;
    snub_read_wrong_key(
        reader, map, key,
        snub_format(reader->arena, "%.*s, with `seal` and `clearance` as keys of their own", (int)number, text),
        "has a maker's suffix");
    return true;
}

/* What is not given may be the same. */
static bool may_be_same(const char *a, const char *b)
{
    return a == NULL || b == NULL || strcmp(a, b) == 0;
}

/* Two rows that no seat could choose between. */
static bool stands_twice(const snub_bearing *rows, int index)
{
    const snub_bearing *b = &rows[index];
    for (int i = 0; i < index; i++) {
        if (b->designation[0] != '\0' && strcmp(rows[i].designation, b->designation) == 0 &&
            may_be_same(rows[i].seal, b->seal) && may_be_same(rows[i].clearance, b->clearance))
            return true;
    }
    return false;
}

static void read_sizes(snub_reader *reader, const snub_node *map, snub_bearing *b)
{
    static const char *const needed[] = {"bore", "outside", "dynamic", "static"};
    for (int i = 0; i < 4; i++)
        snub_read_need(reader, map, needed[i]);
    snub_read_number(reader, map, "bore", SNUB_Q_LENGTH, 1, 500, &b->bore);
    snub_read_number(reader, map, "outside", SNUB_Q_LENGTH, 2, 1000, &b->outside);
    snub_read_number(reader, map, "width", SNUB_Q_LENGTH, 1, 500, &b->width);
    snub_read_number(reader, map, "dynamic", SNUB_Q_FORCE, 10, 1e7, &b->dynamic_load);
    snub_read_number(reader, map, "static", SNUB_Q_FORCE, 10, 1e7, &b->static_load);
    b->f0 = USUAL_F0;
    snub_read_number(reader, map, "f0", SNUB_Q_NUMBER, 1, 30, &b->f0);
    snub_read_number(reader, map, "fatigue", SNUB_Q_FORCE, 0.1, 1e6, &b->fatigue);
    snub_read_number(reader, map, "max_speed", SNUB_Q_TURN_SPEED, 10, 1e6, &b->max_speed);
    snub_read_number(reader, map, "max_speed_grease", SNUB_Q_TURN_SPEED, 10, 1e6, &b->max_speed_grease);
    if (b->bore > 0 && b->outside > 0 && b->bore >= b->outside)
        snub_read_wrong_key(reader, map, "outside", "more than the bore", "is not larger than the bore");
}

static void read_bearing(snub_reader *reader, const snub_node *node, snub_bearing *rows, int index)
{
    snub_bearing *b = &rows[index];
    const char *source = NULL;
    b->place = node->place;
    b->designation = "";
    const snub_node *map = node->kind == SNUB_MAP ? snub_read_part(reader, "bearing", node) : node;
    if (!snub_read_keys(reader, map, snub_bearing_keys, NULL))
        return;
    if (snub_read_need(reader, map, "designation") != NULL &&
        snub_read_text(reader, map, "designation", 60, &b->designation) &&
        has_suffix(reader, map, "designation", b->designation)) {
        /* told once: a seat that names the number finds the row */
        const char *number =
            snub_format(reader->arena, "%.*s", (int)snub_bearing_number(b->designation), b->designation);
        b->designation = number != NULL ? number : "";
    }
    b->seal = read_word(reader, map, "seal", seals);
    b->clearance = read_word(reader, map, "clearance", clearances);
    if (stands_twice(rows, index))
        snub_read_wrong_key(reader, map, "designation", "rows of one number with seals or clearances that differ",
                            "is repeated");
    read_sizes(reader, map, b);
    snub_read_text(reader, map, "source", 200, &source);
    read_rows(reader, map, b);
    snub_read_numbers_of(reader, map, &b->number, &b->part);
}

void snub_read_bearings(snub_reader *reader, const snub_node *root, snub_hardware *hardware)
{
    const snub_node *list = snub_read_named_list(reader, root, "bearings", SNUB_BEARINGS_MOST);
    if (list == NULL)
        return;
    hardware->bearings = SNUB_NEW(reader->arena, snub_bearing, list->count);
    if (hardware->bearings == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    hardware->bearing_count = list->count;
    snub_enter(reader, "bearings");
    for (int i = 0; i < list->count; i++) {
        snub_enter_item(reader, i);
        read_bearing(reader, list->items[i], hardware->bearings, i);
        snub_leave(reader);
    }
    snub_leave(reader);
}

static void no_such_type(snub_reader *reader, const snub_node *map, const snub_hardware *hardware, const char *type)
{
    const char *names[SNUB_BEARINGS_MOST];
    if (has_suffix(reader, map, "type", type))
        return;
    for (int i = 0; i < hardware->bearing_count; i++)
        names[i] = hardware->bearings[i].designation;
    const char *near = hardware->bearing_count > 0 ? snub_nearest(type, names, hardware->bearing_count) : NULL;
    snub_read_wrong_key(reader, map, "type", near != NULL ? NULL : "a designation listed under bearings",
                        "is not a bearing of this file%s", snub_read_guess(reader, near));
}

/* Rows of one number, and which of them a seat may take. */
typedef struct same_number {
    const snub_bearing *row[SNUB_BEARINGS_MOST];
    int count;
} same_number;

/* "contact or shield", of the rows that say it. */
static const char *words_of(snub_arena *arena, const same_number *same, const char *(*word)(const snub_bearing *))
{
    const char *words = NULL;
    for (int i = 0; i < same->count; i++) {
        const char *next = word(same->row[i]);
        bool said = next == NULL;
        for (int j = 0; j < i && !said; j++)
            said = word(same->row[j]) != NULL && strcmp(word(same->row[j]), next) == 0;
        if (!said)
            words = words == NULL ? next : snub_format(arena, "%s or %s", words, next);
    }
    return words;
}

static const char *seal_of(const snub_bearing *b)
{
    return b->seal;
}

static const char *clearance_of(const snub_bearing *b)
{
    return b->clearance;
}

/* Leaves the rows with that word; false, and told, where there is none. A row with no clearance comes with any. */
static bool keep(snub_reader *reader, const snub_node *map, const char *key, const char *wanted,
                 const char *(*word)(const snub_bearing *), same_number *same)
{
    same_number left = {.count = 0};
    for (int i = 0; i < same->count && wanted != NULL; i++) {
        const char *found = word(same->row[i]);
        if (found == NULL ? word == clearance_of : strcmp(found, wanted) == 0)
            left.row[left.count++] = same->row[i];
    }
    if (wanted == NULL)
        return true;
    if (left.count == 0) {
        const char *words = words_of(reader->arena, same, word);
        snub_read_wrong_key(reader, map, key,
                            words != NULL ? words : snub_format(reader->arena, "a row with this %s", key),
                            "no row of %s under bearings has it", same->row[0]->designation);
        return false;
    }
    *same = left;
    return true;
}

static void ambiguous(snub_reader *reader, const snub_node *map, const same_number *same)
{
    const char *words = words_of(reader->arena, same, seal_of);
    const char *key = words != NULL && strstr(words, " or ") != NULL ? "seal" : "clearance";
    if (strcmp(key, "clearance") == 0)
        words = words_of(reader->arena, same, clearance_of);
    snub_read_wrong_key(reader, map, "type", snub_format(reader->arena, "`%s` beside it: %s", key, words),
                        "is listed %d times under bearings", same->count);
}

static void find_type(snub_reader *reader, const snub_node *map, const snub_hardware *hardware, snub_bearing_seat *seat)
{
    const char *type = NULL;
    const char *seal = read_word(reader, map, "seal", seals);
    const char *clearance = read_word(reader, map, "clearance", clearances);
    same_number same = {.count = 0};
    seat->clearance = clearance != NULL ? clearance : "CN";
    if (snub_read_need(reader, map, "type") == NULL || !snub_read_text(reader, map, "type", 60, &type))
        return;
    for (int i = 0; i < hardware->bearing_count; i++) {
        if (strcmp(hardware->bearings[i].designation, type) == 0)
            same.row[same.count++] = &hardware->bearings[i];
    }
    if (same.count == 0) {
        no_such_type(reader, map, hardware, type);
        return;
    }
    if (!keep(reader, map, "seal", seal, seal_of, &same) ||
        !keep(reader, map, "clearance", clearance, clearance_of, &same))
        return;
    if (same.count > 1) {
        ambiguous(reader, map, &same);
        return;
    }
    seat->bearing = (int)(same.row[0] - hardware->bearings);
    if (clearance == NULL && same.row[0]->clearance != NULL)
        seat->clearance = same.row[0]->clearance;
}

void snub_read_seat(snub_reader *reader, const snub_node *map, const snub_hardware *hardware, snub_bearing_seat *seat)
{
    static const char *const rings[] = {"outer", "inner", NULL}, *const greases[] = {"general", "wide-range", NULL};
    int choice = 0;
    const snub_node *node = snub_read_map(reader, map, "bearing", snub_seat_keys);
    if (node == NULL)
        return;
    *seat = (snub_bearing_seat){.given = true,
                                .place = node->place,
                                .bearing = -1,
                                .count = 1,
                                .outer_rotates = true,
                                .temperature = USUAL_TEMPERATURE,
                                .reliability = 90};
    snub_enter(reader, "bearing");
    find_type(reader, node, hardware, seat);
    snub_read_integer(reader, node, "count", 1, 2, &seat->count);
    read_spacing(reader, node, hardware, seat);
    snub_read_number(reader, node, "offset", SNUB_Q_LENGTH, -200, 200, &seat->offset);
    if (snub_read_choice(reader, node, "rotating_ring", rings, &choice))
        seat->outer_rotates = choice == 0;
    read_fit(reader, node, seat);
    snub_read_ranged(reader, node, "temperature", SNUB_Q_TEMPERATURE, -40, 200, &seat->temperature);
    snub_read_number(reader, node, "reliability", SNUB_Q_NUMBER, 90, 99.95, &seat->reliability);
    int grease = 0;
    if (snub_read_choice(reader, node, "grease", greases, &grease))
        seat->wide_grease = grease == 1;
    snub_read_number(reader, node, "axial", SNUB_Q_FORCE, 0, 1e5, &seat->axial);
    read_film(reader, node, hardware, seat);
    snub_read_supply(reader, node, SNUB_SUPPLY_NEW, false, &seat->supply);
    snub_leave(reader);
}
