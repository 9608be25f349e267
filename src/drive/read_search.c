/** search: what of the drive may be moved to find a better one, what must hold, and what is to be gained. */
#include <stdio.h>
#include <string.h>

#include "hardware.h"
#include "offer_path.h"
#include "sections.h"

#define FAR 5000 /* mm */
enum { PARTS_MOST = 500 };

static const char *const aim_words[SNUB_AIMS_ + 1] = {
    [SNUB_AIM_GRIP] = "worst grip",   [SNUB_AIM_BELTS] = "fewest belts", [SNUB_AIM_LIFE] = "bearing life",
    [SNUB_AIM_HUB] = "hub load",      [SNUB_AIM_WRAP] = "wrap",          [SNUB_AIM_CHANGE] = "least change",
    [SNUB_AIM_PASSES] = "most passes"};
static const char *const hold_words[] = {"marginal", "pass", "today", NULL};

const char *snub_aim_text(snub_aim aim)
{
    return aim < SNUB_AIMS_ ? aim_words[aim] : "";
}

const char *snub_hold_text(snub_hold hold)
{
    return hold <= SNUB_HOLD_TODAY ? hold_words[hold] : "";
}

/* ---- what may move ----------------------------------------------------------------------------------------------- */

/* A value that may move, and where the drive keeps it. NULL: this pulley has none. */
typedef struct movable {
    const char *key;
    bool point;
    snub_quantity quantity;
    double least, most; /* bare */
    const double *(*now)(const snub_pulley *pulley);
} movable;

static const double *at_of(const snub_pulley *p)
{
    return p->sits == SNUB_FIXED ? p->at : NULL;
}
static const double *from_of(const snub_pulley *p)
{
    return p->sits == SNUB_ON_SLOT && !p->slot.curved ? p->slot.from : NULL;
}
static const double *to_of(const snub_pulley *p)
{
    return p->sits == SNUB_ON_SLOT && !p->slot.curved ? p->slot.to : NULL;
}
static const double *centre_of(const snub_pulley *p)
{
    return p->sits == SNUB_ON_SLOT && p->slot.curved ? p->slot.centre : NULL;
}
static const double *radius_of(const snub_pulley *p)
{
    return p->sits == SNUB_ON_SLOT && p->slot.curved ? &p->slot.radius : NULL;
}
static const double *pivot_of(const snub_pulley *p)
{
    return p->sits == SNUB_ON_ARM ? p->arm.pivot : NULL;
}
static const double *length_of(const snub_pulley *p)
{
    return p->sits == SNUB_ON_ARM ? &p->arm.length : NULL;
}
static const double *free_of(const snub_pulley *p)
{
    return p->sits == SNUB_ON_ARM ? &p->arm.free : NULL;
}
static const double *diameter_of(const snub_pulley *p)
{
    return &p->nominal_diameter;
}

/* A tensioner's pulley comes with its arm, and the crank's with the engine. */
static const double *part_of(const snub_pulley *p)
{
    return p->sits != SNUB_ON_ARM && !p->is_crank ? &p->nominal_diameter : NULL;
}

static const movable movables[] = {
    {"at", true, SNUB_Q_LENGTH, -FAR, FAR, at_of},
    {"slot.from", true, SNUB_Q_LENGTH, -FAR, FAR, from_of},
    {"slot.to", true, SNUB_Q_LENGTH, -FAR, FAR, to_of},
    {"slot.centre", true, SNUB_Q_LENGTH, -FAR, FAR, centre_of},
    {"slot.radius", false, SNUB_Q_LENGTH, 1, FAR, radius_of},
    {"arm.pivot", true, SNUB_Q_LENGTH, -FAR, FAR, pivot_of},
    {"arm.length", false, SNUB_Q_LENGTH, 1, 1000, length_of},
    {"arm.free", false, SNUB_Q_ANGLE, -360, 360, free_of},
    {"diameter", false, SNUB_Q_LENGTH, 8, 1500, diameter_of},
    {"part", false, SNUB_Q_LENGTH, 8, 1500, part_of},
};

static const char *key_behind(const char *path, const char *name)
{
    static const char lead[] = "pulleys.";
    if (strncmp(path, lead, sizeof lead - 1) == 0)
        path += sizeof lead - 1;
    const size_t length = strlen(name);
    return strncmp(path, name, length) == 0 && path[length] == '.' ? path + length + 1 : NULL;
}

static const movable *find_movable(const snub_drive *drive, const char *path, const double **now, double *lever)
{
    for (int i = 0; i < drive->pulley_count; i++) {
        const char *key = key_behind(path, drive->pulleys[i].name);
        for (size_t k = 0; key != NULL && k < sizeof movables / sizeof movables[0]; k++) {
            if (strcmp(movables[k].key, key) == 0 && (*now = movables[k].now(&drive->pulleys[i])) != NULL) {
                *lever = drive->pulleys[i].sits == SNUB_ON_ARM ? drive->pulleys[i].arm.length : 0.0;
                return &movables[k];
            }
        }
    }
    return NULL;
}

static const double *part_of_path(const snub_drive *drive, const char *path)
{
    const double *now = NULL;
    double lever;
    return find_movable(drive, path, &now, &lever) != NULL ? now : NULL;
}

/* Whether one of two paths leads to the other's value, or to a part of it. */
static bool overlap(const char *a, const char *b)
{
    const size_t la = strlen(a), lb = strlen(b), less = la < lb ? la : lb;
    return strncmp(a, b, less) == 0 && (la == lb || (la < lb ? b[la] : a[lb]) == '.');
}

static const char *sets_it(const snub_drive *drive, const char *path)
{
    for (int i = 0; i < drive->option_count; i++)
        if (overlap(drive->options[i].path, path))
            return "an option";
    for (int i = 0; i < drive->variant_count; i++)
        for (int k = 0; k < drive->variants[i].count; k++)
            if (overlap(drive->variants[i].changes[k].path, path))
                return "a variant";
    for (int i = 0; i < drive->package_count; i++)
        for (int k = 0; k < drive->packages[i].count; k++)
            if (overlap(drive->packages[i].changes[k].path, path))
                return "a package";
    return NULL;
}

/* ---- where to ---------------------------------------------------------------------------------------------------- */

static void box_of(const double (*corner)[2], int corners, snub_move *move)
{
    for (int k = 0; k < 2; k++) {
        move->low[k] = move->high[k] = corner[0][k];
        for (int i = 1; i < corners; i++) {
            move->low[k] = fmin(move->low[k], corner[i][k]);
            move->high[k] = fmax(move->high[k], corner[i][k]);
        }
    }
}

static bool read_rectangle(snub_reader *reader, const snub_node *within, snub_move *move)
{
    double corner[2][2];
    const snub_node *map = snub_read_map(reader, within, "rectangle", snub_rectangle_keys);
    if (map == NULL)
        return false;
    snub_enter(reader, "rectangle");
    bool good = snub_read_need(reader, map, "from") != NULL &&
                snub_read_point(reader, map, "from", SNUB_Q_LENGTH, -FAR, FAR, corner[0]);
    good = snub_read_need(reader, map, "to") != NULL &&
           snub_read_point(reader, map, "to", SNUB_Q_LENGTH, -FAR, FAR, corner[1]) && good;
    if (good)
        box_of((const double(*)[2])corner, 2, move);
    if (good && !(move->low[0] < move->high[0] && move->low[1] < move->high[1])) {
        snub_read_wrong_key(reader, map, "to", "the opposite corner of `from`", "leaves no room");
        good = false;
    }
    snub_leave(reader);
    return good;
}

static bool read_circle(snub_reader *reader, const snub_node *within, snub_move *move)
{
    double diameter = 0;
    const snub_node *map = snub_read_map(reader, within, "circle", snub_circle_keys);
    if (map == NULL)
        return false;
    snub_enter(reader, "circle");
    bool good = snub_read_need(reader, map, "at") != NULL &&
                snub_read_point(reader, map, "at", SNUB_Q_LENGTH, -FAR, FAR, move->centre);
    good = snub_read_need(reader, map, "diameter") != NULL &&
           snub_read_number(reader, map, "diameter", SNUB_Q_LENGTH, 0.1, FAR, &diameter) && good;
    move->radius = diameter / 2;
    for (int k = 0; k < 2; k++) {
        move->low[k] = move->centre[k] - move->radius;
        move->high[k] = move->centre[k] + move->radius;
    }
    snub_leave(reader);
    return good;
}

static void read_within(snub_reader *reader, const snub_node *map, snub_move *move)
{
    static const char *const not_here[] = {"from", "to", "choose"};
    const snub_node *within = snub_read_map(reader, map, "within", snub_within_keys);
    for (int i = 0; i < 3; i++)
        if (snub_read_find(map, not_here[i]) != NULL)
            snub_read_wrong_key(reader, map, not_here[i], "`within`", "is for a number, and a point is moved");
    if (within == NULL) {
        if (snub_read_find(map, "within") == NULL)
            snub_read_wrong_key(reader, map, "within", "a polygon, rectangle or circle", "is missing");
        return;
    }
    snub_enter(reader, "within");
    int given = 0;
    for (const snub_key *key = snub_within_keys; key->name != NULL; key++) {
        if (snub_read_find(within, key->name) != NULL && given++ > 0)
            snub_read_wrong_key(reader, within, key->name, "one of polygon, rectangle and circle",
                                "is a second region");
    }
    if (given == 0)
        snub_read_wrong_key(reader, within, "rectangle", "a polygon, rectangle or circle", "is missing");
    if (snub_read_find(within, "polygon") != NULL &&
        snub_read_outline(reader, within, "polygon", &move->corners, &move->corner))
        box_of((const double(*)[2])move->corner, move->corners, move);
    read_rectangle(reader, within, move);
    read_circle(reader, within, move);
    snub_leave(reader);
}

static void read_choices(snub_reader *reader, const snub_node *map, const movable *m, snub_move *move)
{
    static const char *const not_here[] = {"from", "to", "step"};
    for (int i = 0; i < 3; i++)
        if (snub_read_find(map, not_here[i]) != NULL)
            snub_read_wrong_key(reader, map, not_here[i], "`choose` alone", "is given together with `choose`");
    if (snub_read_numbers(reader, map, "choose", m->quantity, m->least, m->most, &move->choice_count, &move->choices) &&
        move->choice_count < 2)
        snub_read_wrong_key(reader, map, "choose", "at least two values", "leaves no choice");
}

static bool is_word(const snub_node *map, const char *key, const char *word)
{
    const snub_node *node = snub_read_find(map, key);
    return node != NULL && node->kind == SNUB_SCALAR && strcmp(node->text, word) == 0;
}

static void read_part_keys(snub_reader *reader, const snub_node *map, snub_move *move)
{
    const snub_node *list = snub_read_list(reader, map, "choose", 2, PARTS_MOST);
    if (list == NULL)
        return;
    move->parts = SNUB_NEW(reader->arena, const char *, list->count);
    if (move->parts == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    for (int i = 0; i < list->count; i++) {
        if (list->items[i]->kind != SNUB_SCALAR)
            snub_read_wrong(reader, list->items[i], "the key of a part", "is no key of a part");
        else
            move->parts[move->part_count++] = list->items[i]->text;
    }
}

/* Which of them there are, the search looks up: no other command needs the catalogue for it. */
static void read_parts(snub_reader *reader, const snub_node *map, snub_move *move)
{
    static const char *const not_here[] = {"within", "to", "step"};
    move->from_catalogue = true;
    for (int i = 0; i < 3; i++)
        if (snub_read_find(map, not_here[i]) != NULL)
            snub_read_wrong_key(reader, map, not_here[i], "`from: catalogue` or `choose` alone",
                                "is given, and a part of the catalogue is chosen");
    if (snub_read_find(map, "choose") == NULL && !is_word(map, "from", "catalogue"))
        snub_read_wrong_key(reader, map, "from", "`from: catalogue`, or keys of parts to `choose` from",
                            snub_read_find(map, "from") == NULL ? "is missing" : "is no place that parts come from");
    else if (snub_read_find(map, "choose") != NULL && snub_read_find(map, "from") != NULL)
        snub_read_wrong_key(reader, map, "from", "`from: catalogue` or `choose`", "is given together with `choose`");
    else if (snub_read_find(map, "choose") != NULL)
        read_part_keys(reader, map, move);
}

/* The part of a pulley, whose diameter comes with it. */
static bool chooses_parts(const movable *m, const snub_node *map)
{
    return strcmp(m->key, "part") == 0 || (strcmp(m->key, "diameter") == 0 && is_word(map, "from", "catalogue"));
}

static void read_range(snub_reader *reader, const snub_node *map, const movable *m, snub_move *move)
{
    if (snub_read_find(map, "within") != NULL)
        snub_read_wrong_key(reader, map, "within", "`from` and `to`, or `choose`",
                            "is for a point, and a number is moved");
    if (snub_read_find(map, "choose") != NULL) {
        read_choices(reader, map, m, move);
        return;
    }
    const bool good = snub_read_need(reader, map, "from") != NULL &&
                      snub_read_number(reader, map, "from", m->quantity, m->least, m->most, &move->low[0]);
    if (snub_read_need(reader, map, "to") != NULL &&
        snub_read_number(reader, map, "to", m->quantity, m->least, m->most, &move->high[0]) && good &&
        !(move->low[0] < move->high[0]))
        snub_read_wrong_key(reader, map, "to", "more than `from`", "leaves no room");
}

/* A part brings its diameter. */
static bool same_diameter(const char *a, const char *b)
{
    static const char part[] = ".part", diameter[] = ".diameter";
    const size_t la = strlen(a), lb = strlen(b);
    return la > sizeof part && lb > sizeof diameter && strcmp(a + la - (sizeof part - 1), part) == 0 &&
           strcmp(b + lb - (sizeof diameter - 1), diameter) == 0 && la - sizeof part == lb - sizeof diameter &&
           strncmp(a, b, la - sizeof part) == 0;
}

static bool takes_twice(const snub_search_section *section, const snub_move *move)
{
    for (const snub_move *m = section->moves; m < move; m++)
        if (m->path != NULL && (snub_offer_same_path(m->path, move->path) || same_diameter(m->path, move->path) ||
                                same_diameter(move->path, m->path)))
            return true;
    return false;
}

/* "idler.diameter" from the catalogue is "idler.part": what is chosen brings more than a diameter. */
static bool take_part_path(snub_reader *reader, const snub_node *map, const snub_drive *drive, const movable *m,
                           snub_move *move)
{
    const size_t length = strlen(move->path) - strlen(m->key);
    char *path = SNUB_NEW(reader->arena, char, length + sizeof "diameter");
    const char *by = NULL;
    if (path == NULL) {
        snub_read_no_memory(reader);
        return false;
    }
    snprintf(path, length + sizeof "diameter", "%.*sdiameter", (int)length, move->path);
    by = sets_it(drive, path);
    snprintf(path, length + sizeof "diameter", "%.*spart", (int)length, move->path);
    move->path = path;
    if (by != NULL) {
        snub_read_wrong_key(reader, map, "what", "a pulley whose diameter all builds share",
                            "has a diameter that is set by %s: the part would be overruled there", by);
        return false;
    }
    if (part_of_path(drive, path) == NULL) {
        snub_read_wrong_key(reader, map, "what", "a pulley that is neither on an arm nor on the crank",
                            "cannot be exchanged for another part of the catalogue");
        return false;
    }
    return true;
}

static void read_move(snub_reader *reader, const snub_node *map, const snub_drive *drive,
                      const snub_search_section *section, snub_move *move)
{
    const char *path = NULL, *by;
    const double *now;
    if (!snub_read_keys(reader, map, snub_move_keys, NULL))
        return;
    *move = (snub_move){.place = map->place};
    if (snub_read_need(reader, map, "what") == NULL || !snub_read_text(reader, map, "what", 200, &path))
        return;
    const movable *m = find_movable(drive, path, &now, &move->lever);
    if (m == NULL) {
        snub_read_wrong_key(reader, map, "what",
                            "a pulley's name with at, slot.from, slot.to, slot.centre, slot.radius, arm.pivot, "
                            "arm.length, arm.free, diameter or part, as in idler.at",
                            "is nothing that can be moved in this file");
        return;
    }
    move->path = path;
    move->point = m->point;
    move->quantity = m->quantity;
    memcpy(move->now, now, sizeof *now * (m->point ? 2 : 1));
    const bool parts = chooses_parts(m, map);
    if (parts && !take_part_path(reader, map, drive, m, move))
        return;
    if (takes_twice(section, move))
        snub_read_wrong_key(reader, map, "what", "each path once", "is moved twice");
    if ((by = sets_it(drive, path)) != NULL)
        snub_read_wrong_key(reader, map, "what", "a value that all builds share",
                            "is set by %s as well: the search would not know which value to move", by);
    if (parts)
        read_parts(reader, map, move);
    else if (m->point)
        read_within(reader, map, move);
    else
        read_range(reader, map, m, move);
    if (!parts)
        snub_read_number(reader, map, "step", m->quantity, 0.001, 100, &move->step);
}

static void read_moves(snub_reader *reader, const snub_node *map, const snub_drive *drive, snub_search_section *section)
{
    if (snub_read_need(reader, map, "move") == NULL)
        return;
    const snub_node *list = snub_read_list(reader, map, "move", 1, SNUB_MOVES_MOST);
    if (list == NULL)
        return;
    section->moves = SNUB_NEW(reader->arena, snub_move, list->count);
    if (section->moves == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    section->move_count = list->count;
    snub_enter(reader, "move");
    for (int i = 0; i < list->count; i++) {
        snub_enter_item(reader, i);
        read_move(reader, list->items[i], drive, section, &section->moves[i]);
        snub_leave(reader);
    }
    snub_leave(reader);
}

/* ---- what is to be gained ---------------------------------------------------------------------------------------- */

static bool read_aim(snub_reader *reader, const snub_node *node, snub_aim *aim)
{
    for (int i = 0; node->kind == SNUB_SCALAR && i < SNUB_AIMS_; i++) {
        if (strcmp(node->text, aim_words[i]) == 0) {
            *aim = (snub_aim)i;
            return true;
        }
    }
    snub_read_wrong(reader, node, "worst grip, fewest belts, bearing life, hub load, wrap, least change or most passes",
                    "is no aim%s",
                    snub_read_guess(reader, node->kind == SNUB_SCALAR && strlen(node->text) < 40
                                                ? snub_nearest(node->text, aim_words, SNUB_AIMS_)
                                                : NULL));
    return false;
}

static void read_aims(snub_reader *reader, const snub_node *map, snub_search_section *section)
{
    if (snub_read_need(reader, map, "aims") == NULL)
        return;
    const snub_node *list = snub_read_list(reader, map, "aims", 1, 2);
    snub_enter(reader, "aims");
    for (int i = 0; list != NULL && i < list->count; i++) {
        snub_enter_item(reader, i);
        if (read_aim(reader, list->items[i], &section->aims[i]))
            section->aim_count = i + 1;
        if (i == 1 && section->aim_count == 2 && section->aims[0] == section->aims[1])
            snub_read_wrong(reader, list->items[i], "two different aims", "is there twice");
        snub_leave(reader);
    }
    snub_leave(reader);
}

static bool has_aim(const snub_search_section *section, snub_aim aim)
{
    for (int i = 0; i < section->aim_count; i++)
        if (section->aims[i] == aim)
            return true;
    return false;
}

static void read_pulley_name(snub_reader *reader, const snub_node *map, const snub_drive *drive,
                             snub_search_section *section)
{
    const char *name = NULL;
    section->pulley = -1;
    const bool asked = has_aim(section, SNUB_AIM_HUB) || has_aim(section, SNUB_AIM_WRAP);
    if (snub_read_text(reader, map, "pulley", 200, &name)) {
        section->pulley = snub_drive_pulley(drive, name);
        if (section->pulley < 0)
            snub_read_wrong_key(reader, map, "pulley", "the name of a pulley", "is no pulley of this file");
        else if (!asked)
            snub_read_wrong_key(reader, map, "pulley", "hub load or wrap among the aims",
                                "is given, and no aim is about a pulley");
    } else if (has_aim(section, SNUB_AIM_WRAP) && snub_read_find(map, "pulley") == NULL) {
        snub_read_wrong_key(reader, map, "pulley", "the pulley whose wrap is the aim", "is missing");
    }
}

void snub_read_search(snub_reader *reader, const snub_node *root, snub_drive *drive)
{
    int hold = SNUB_HOLD_MARGINAL;
    const snub_node *map = snub_read_map(reader, root, "search", snub_search_keys);
    if (map == NULL)
        return;
    snub_search_section *section = SNUB_NEW(reader->arena, snub_search_section, 1);
    if (section == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    section->place = map->place;
    snub_enter(reader, "search");
    read_moves(reader, map, drive, section);
    read_aims(reader, map, section);
    read_pulley_name(reader, map, drive, section);
    snub_read_choice(reader, map, "hold", hold_words, &hold);
    section->hold = (snub_hold)hold;
    snub_leave(reader);
    drive->search = section;
}
