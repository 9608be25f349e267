/* The cheap repairs, one at a time. docs/theory/layout.md, "Repairs". */
#include "repairs.h"

#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#include "finding.h"
#include "snub/hardware.h"
#include "snub/locale.h"
#include "standing.h"

/* A belt that misses by less than this part of its length is the wrong belt for a layout that is right. */
static const double LENGTH_ALONE = 0.005;
/* Diameters and slots of real drives, m; a number beyond is no repair. */
static const double DIAMETER_LEAST = 20e-3, DIAMETER_MOST = 600e-3, SLOT_MOST = 300e-3;
enum { NAMED_MOST = 4, OVERLAPS_MOST = 6, TRIED_MOST = 1024, PLACES = 16 };

typedef enum kind { SIDE, ARM_SENSE, ORDER, SWAP, INCHES, MILLIMETRES } kind;

/* A number of the file that is a length and moves the belt. */
typedef struct number {
    const char *section, *key; /* key of the pulley's, or of its arm or slot */
    size_t offset;             /* in snub_pulley */
    int axis;                  /* 0, 1: that number of a pair; BOTH; SINGLE */
    int sits;                  /* snub_place_kind that has it, or ANYWHERE */
} number;
enum { BOTH = 2, SINGLE = -1, ANYWHERE = -1 };

#define PAIR(section, key, member, sits)                                                                               \
    {section, key, offsetof(snub_pulley, member), 0, sits}, {section, key, offsetof(snub_pulley, member), 1, sits},    \
    {                                                                                                                  \
        section, key, offsetof(snub_pulley, member), BOTH, sits                                                        \
    }
static const number numbers[] = {
    PAIR(NULL, "at", at, SNUB_FIXED),
    {NULL, "diameter", offsetof(snub_pulley, nominal_diameter), SINGLE, ANYWHERE},
    PAIR("arm", "pivot", arm.pivot, SNUB_ON_ARM),
    {"arm", "length", offsetof(snub_pulley, arm.length), SINGLE, SNUB_ON_ARM},
    PAIR("slot", "from", slot.from, SNUB_ON_SLOT),
    PAIR("slot", "to", slot.to, SNUB_ON_SLOT),
    PAIR("slot", "centre", slot.centre, SNUB_ON_SLOT),
    {"slot", "radius", offsetof(snub_pulley, slot.radius), SINGLE, SNUB_ON_SLOT},
};
enum { NUMBERS = sizeof numbers / sizeof numbers[0], BELT_LENGTH = -1 };

typedef struct repair {
    kind kind;
    int pulley;             /* -1: of none */
    int number;             /* index into numbers; BELT_LENGTH */
    const snub_node *where; /* NULL: the pulley's own place */
    const snub_node *value; /* of a number: the pair that it stands in, or itself */
    bool measured;          /* it stands under `value`, with the way it was measured */
    int penalty;
    snub_standing standing;
} repair;

/* A drive of one's own to be changed. */
typedef struct trial {
    snub_drive drive;
    snub_pulley pulleys[SNUB_PULLEYS_MOST];
    snub_hardware hardware;
    snub_pulley_hardware worn[SNUB_PULLEYS_MOST];
} trial;

static void copy_drive(trial *t, const snub_drive *drive)
{
    const size_t n = (size_t)drive->pulley_count;
    t->drive = *drive;
    memcpy(t->pulleys, drive->pulleys, n * sizeof *t->pulleys);
    t->drive.pulleys = t->pulleys;
    if (drive->hardware == NULL)
        return;
    t->hardware = *drive->hardware;
    memcpy(t->worn, drive->hardware->pulleys, n * sizeof *t->worn);
    t->hardware.pulleys = t->worn;
    t->drive.hardware = &t->hardware;
}

/* ---- changes ----------------------------------------------------------------------------------------------------- */

static void put_on_other_side(snub_drive *drive, int i)
{
    snub_pulley *p = &drive->pulleys[i];
    const double from = p->side == SNUB_RIB ? drive->belt.be : drive->belt.back;
    const double to = p->side == SNUB_RIB ? drive->belt.back : drive->belt.be;
    p->side = p->side == SNUB_RIB ? SNUB_BACK : SNUB_RIB;
    p->pitch_radius += to - from;
}

/* Pulley i trades places with the one after it in the belt's order. */
static void swap_with_next(trial *t, int i)
{
    snub_drive *drive = &t->drive;
    const int j = (i + 1) % drive->pulley_count;
    const snub_pulley pulley = t->pulleys[i];
    const snub_pulley_hardware worn = t->worn[i];
    int *const marks[] = {&drive->crank, &drive->arm, &drive->locked};
    t->pulleys[i] = t->pulleys[j];
    t->pulleys[j] = pulley;
    t->worn[i] = t->worn[j];
    t->worn[j] = worn;
    for (int k = 0; k < 3; k++)
        *marks[k] = *marks[k] == i ? j : *marks[k] == j ? i : *marks[k];
}

static double *value_of(snub_drive *drive, const repair *r)
{
    return r->number == BELT_LENGTH ? &drive->belt.length
                                    : (double *)((char *)&drive->pulleys[r->pulley] + numbers[r->number].offset);
}

/* What follows from a number of a pulley. @return false: the file could not say so */
static bool follow(snub_drive *drive, const repair *r, double factor)
{
    snub_pulley *p = &drive->pulleys[r->pulley];
    const char *key = numbers[r->number].key;
    if (strcmp(key, "diameter") == 0) {
        const double more = p->nominal_diameter * (1.0 - 1.0 / factor);
        p->diameter += more;
        p->pitch_radius += 0.5 * more;
        p->rim_radius += 0.5 * more;
        return p->diameter >= DIAMETER_LEAST && p->diameter <= DIAMETER_MOST;
    }
    if (p->sits != SNUB_ON_SLOT)
        return true;
    snub_slot *slot = &p->slot;
    if (slot->curved) {
        slot->length = slot->radius * fabs(slot->sweep);
        snub_slot_point(slot, 0.0, slot->from);
        snub_slot_point(slot, slot->length, slot->to);
    } else {
        slot->length = hypot(slot->to[0] - slot->from[0], slot->to[1] - slot->from[1]);
    }
    return slot->length <= SLOT_MOST && (isnan(p->setting) || p->setting <= slot->length);
}

static bool rescale(snub_drive *drive, const repair *r)
{
    const double factor = r->kind == INCHES ? SNUB_INCH / SNUB_MM : SNUB_MM / SNUB_INCH;
    double *value = value_of(drive, r);
    const int axis = r->number == BELT_LENGTH ? SINGLE : numbers[r->number].axis;
    for (int k = 0; k < 2; k++) {
        if (axis == BOTH || k == (axis == SINGLE ? 0 : axis))
            value[k] *= factor;
    }
    return r->number == BELT_LENGTH || follow(drive, r, factor);
}

static bool apply(trial *t, const snub_drive *drive, const repair *r)
{
    copy_drive(t, drive);
    switch (r->kind) {
    case SIDE: put_on_other_side(&t->drive, r->pulley); return true;
    case ARM_SENSE: t->pulleys[r->pulley].arm.loads *= -1.0; return true;
    case ORDER: t->drive.turn *= -1.0; return true; /* the mirror of the reversed list: the same belt */
    case SWAP: swap_with_next(t, r->pulley); return true;
    default: return rescale(&t->drive, r);
    }
}

/* ---- which are worth a trial ------------------------------------------------------------------------------------- */

typedef struct tries {
    const snub_drive *drive;
    bool inches; /* the file has a length in inches somewhere */
    int count;
    repair items[TRIED_MOST];
} tries;

static repair *add(tries *all, kind sort, int pulley, const snub_node *where)
{
    if (all->count == TRIED_MOST)
        return NULL;
    repair *r = &all->items[all->count++];
    *r = (repair){.kind = sort, .pulley = pulley, .number = BELT_LENGTH, .where = where};
    return r;
}

/* As written: without a unit, or in inches. Values of the catalogue are neither. */
static bool is_bare(const snub_node *node)
{
    return node->kind == SNUB_SCALAR && node->from_part == NULL &&
           strpbrk(node->text, "abcdfghijklmnopqrstuvwxyz\"") == NULL;
}

static bool is_inches(const snub_node *node)
{
    return node->kind == SNUB_SCALAR && node->from_part == NULL &&
           (strstr(node->text, "in") != NULL || strchr(node->text, '"') != NULL);
}

/* Whether any number of the file is in inches. */
static bool has_inches(const snub_node *node)
{
    if (node->kind == SNUB_SCALAR)
        return strchr("0123456789.+-", node->text[0]) != NULL && is_inches(node);
    bool some = false;
    for (int i = 0; i < node->count && !some; i++)
        some = has_inches(node->items[i]);
    return some;
}

static void add_number(tries *all, int pulley, int which, const snub_node *node)
{
    const int axis = which == BELT_LENGTH ? SINGLE : numbers[which].axis;
    bool bare = true, inches = true;
    const bool measured = node != NULL && node->kind == SNUB_MAP;
    if (node == NULL)
        return;
    if (node->kind == SNUB_MAP) /* a diameter with the way it was measured */
        node = snub_node_get(node, "value");
    if (node == NULL || (node->kind == SNUB_LIST && node->count != 2) || (node->kind != SNUB_LIST) != (axis == SINGLE))
        return;
    for (int k = 0; k < 2; k++) {
        const snub_node *item = node->kind == SNUB_LIST ? node->items[k] : node;
        if (axis != BOTH && axis != SINGLE && k != axis)
            continue;
        bare = bare && is_bare(item);
        inches = inches && is_inches(item);
    }
    const snub_node *where = axis == 0 || axis == 1 ? node->items[axis] : node;
    repair *r = bare || inches ? add(all, bare ? INCHES : MILLIMETRES, pulley, where) : NULL;
    if (r == NULL)
        return;
    r->number = which;
    r->value = node;
    r->measured = measured;
}

static void add_numbers(tries *all, int i)
{
    const snub_pulley *p = &all->drive->pulleys[i];
    for (int k = 0; k < NUMBERS; k++) {
        const snub_node *map = p->node;
        if (numbers[k].sits != ANYWHERE && numbers[k].sits != (int)p->sits)
            continue;
        if (p->sits == SNUB_ON_SLOT && p->slot.curved && numbers[k].section != NULL && numbers[k].key[0] != 'c' &&
            numbers[k].key[0] != 'r')
            continue; /* from and to of an arc are angles */
        if (numbers[k].section != NULL)
            map = snub_node_get(map, numbers[k].section);
        if (map != NULL && map->kind == SNUB_MAP)
            add_number(all, i, k, snub_node_get(map, numbers[k].key));
    }
}

/* An arm that is wound the wrong way may miss the belt by little. */
static void list_arm_sense(tries *all)
{
    const int i = all->drive->arm;
    const snub_node *node = i >= 0 ? all->drive->pulleys[i].node : NULL;
    const snub_node *arm = node != NULL ? snub_node_get(node, "arm") : NULL;
    if (i >= 0)
        add(all, ARM_SENSE, i, arm != NULL && arm->kind == SNUB_MAP ? snub_node_get(arm, "loads") : NULL);
}

static void list_repairs(tries *all)
{
    const snub_drive *drive = all->drive;
    const snub_node *belt = drive->tree != NULL ? snub_node_get(drive->tree, "belt") : NULL;
    all->inches = drive->tree != NULL && has_inches(drive->tree);
    for (int i = 0; i < drive->pulley_count; i++) {
        const snub_node *node = drive->pulleys[i].node;
        if (i != drive->crank)
            add(all, SIDE, i, node != NULL ? snub_node_get(node, "side") : NULL);
        if (drive->pulley_count > 3)
            add(all, SWAP, i, NULL);
        if (node != NULL && node->kind == SNUB_MAP)
            add_numbers(all, i);
    }
    list_arm_sense(all);
    if (drive->pulley_count > 2)
        add(all, ORDER, drive->crank, NULL);
    if (belt != NULL && belt->kind == SNUB_MAP && !isnan(drive->belt.length))
        add_number(all, -1, BELT_LENGTH, snub_node_get(belt, "length"));
}

/* ---- trying them ------------------------------------------------------------------------------------------------- */

/* What speaks against a repair: the arm out of its work range, less room than the limit, a bare number in inches in a
 * file that has none elsewhere. */
enum { OUT_OF_WORK = 4, LITTLE_ROOM = 2, NO_OTHER_INCHES = 1 };

static int penalty_of(const tries *all, const repair *r)
{
    const double limit = all->drive->limits[SNUB_LIMIT_CLEARANCE];
    return (r->standing.in_work ? 0 : OUT_OF_WORK) + (r->standing.gap < limit ? LITTLE_ROOM : 0) +
           (r->kind == INCHES && !all->inches ? NO_OTHER_INCHES : 0);
}

static int by_penalty(const void *a, const void *b)
{
    const repair *x = a, *y = b;
    if (x->penalty != y->penalty)
        return x->penalty - y->penalty;
    if (x->kind != y->kind)
        return (int)x->kind - (int)y->kind;
    return x->pulley != y->pulley ? x->pulley - y->pulley : x->number - y->number;
}

/* Those that let a belt run, the most likely first. @return how many */
static int try_repairs(tries *all, trial *t, bool afresh)
{
    int good = 0;
    for (int i = 0; i < all->count; i++) {
        repair r = all->items[i];
        if (!apply(t, all->drive, &r))
            continue;
        snub_standing_find(&t->drive, afresh, &r.standing);
        r.penalty = penalty_of(all, &r);
        if (snub_standing_good(&r.standing))
            all->items[good++] = r;
    }
    qsort(all->items, (size_t)good, sizeof *all->items, by_penalty);
    return good;
}

/* ---- what is said of them ---------------------------------------------------------------------------------------- */

typedef struct teller {
    snub_build *build;
    const snub_drive *drive;
    snub_arena *arena;
} teller;

static int line_of(const teller *t, const repair *r)
{
    const int line = r->where != NULL ? r->where->place.line : 0;
    return line > 0 || r->pulley < 0 ? line : t->drive->pulleys[r->pulley].place.line;
}

static const char *key_of(const teller *t, const repair *r, const char *key)
{
    static const char *const axes[] = {" x", " y", ""};
    if (r->kind != INCHES && r->kind != MILLIMETRES)
        return snub_format(t->arena, "%s.%s", t->drive->pulleys[r->pulley].name, key);
    if (r->number == BELT_LENGTH)
        return "belt.length";
    const number *n = &numbers[r->number];
    return snub_format(t->arena, "%s.%s%s%s%s", t->drive->pulleys[r->pulley].name, n->section != NULL ? n->section : "",
                       n->section != NULL ? "." : "", n->key, n->axis == SINGLE ? "" : axes[n->axis]);
}

/* As the file writes it. */
static const char *old_text(const teller *t, const repair *r)
{
    const snub_node *node = r->where;
    return node->kind == SNUB_LIST ? snub_format(t->arena, "%s, %s", node->items[0]->text, node->items[1]->text)
                                   : node->text;
}

/* A number as it would be written, in the other unit: "3.15" in inches, "80 in" in mm. */
static const char *new_text(const teller *t, const repair *r, const snub_node *node)
{
    if (r->kind == INCHES)
        return snub_format(t->arena, "%s in", node->text);
    return snub_format(t->arena, "%.*s mm", (int)strspn(node->text, "0123456789.+-"), node->text);
}

static const char *number_path(const teller *t, const repair *r)
{
    if (r->number == BELT_LENGTH)
        return "belt.length";
    const number *n = &numbers[r->number];
    return snub_format(t->arena, "%s.%s%s%s%s", t->drive->pulleys[r->pulley].name, n->section != NULL ? n->section : "",
                       n->section != NULL ? "." : "", n->key, r->measured ? ".value" : "");
}

/* What the words propose, where it is a value: an order of the list is none. */
static snub_mend mend_of(const teller *t, const repair *r, const char *path, const char *word)
{
    if (r->kind == SWAP)
        return (snub_mend){.path = NULL};
    if (r->kind != INCHES && r->kind != MILLIMETRES)
        return (snub_mend){.path = path, .count = 1, .value = {word, NULL}};
    const bool pair = r->value->kind == SNUB_LIST;
    snub_mend mend = {.path = number_path(t, r), .count = pair ? 2 : 1};
    for (int k = 0; k < mend.count; k++) {
        const snub_node *item = pair ? r->value->items[k] : r->value;
        const int axis = r->number == BELT_LENGTH ? SINGLE : numbers[r->number].axis;
        const bool other = axis != BOTH && axis != SINGLE && axis != k;
        /* of a pair both have a unit or none has */
        mend.value[k] = !other          ? new_text(t, r, item)
                        : is_bare(item) ? snub_format(t->arena, "%s mm", item->text)
                                        : item->text;
    }
    return mend;
}

/* The key is what two repairs of one pulley differ in: it is what the finding is about. */
static void tell_repair(const teller *t, const repair *r)
{
    static const snub_wording says[] = {SNUB_SAYS_REPAIR_SIDE, SNUB_SAYS_REPAIR_ARM,    SNUB_SAYS_REPAIR_ORDER,
                                        SNUB_SAYS_REPAIR_SWAP, SNUB_SAYS_REPAIR_INCHES, SNUB_SAYS_REPAIR_MM};
    static const char *const keys[] = {"side", "arm.loads", "rotation", NULL, NULL, NULL};
    const snub_pulley *p = r->pulley >= 0 ? &t->drive->pulleys[r->pulley] : NULL;
    const char *word = NULL;
    snub_finding f = snub_finding_of(t->drive, says[r->kind]);
    f.line = line_of(t, r);
    if (r->kind == SWAP) {
        f.pulley = p->name;
        f.other = t->drive->pulleys[(r->pulley + 1) % t->drive->pulley_count].name;
    } else {
        f.other = key_of(t, r, keys[r->kind]);
    }
    switch (r->kind) {
    case SIDE:
        snub_finding_name(&f, "whose", p->name);
        word = p->side == SNUB_RIB ? "back" : "rib";
        break;
    case ARM_SENSE: word = p->arm.loads > 0.0 ? "cw" : "ccw"; break;
    case ORDER: word = t->drive->turn > 0.0 ? "ccw" : "cw"; break;
    case SWAP: break;
    default: snub_finding_name(&f, "old", old_text(t, r)); break;
    }
    if (word != NULL)
        snub_finding_name(&f, "new", word);
    f.mend = mend_of(t, r, f.other, word);
    snub_findings_add(&t->build->findings, t->arena, &f);
}

/* ---- pulleys that overlap ---------------------------------------------------------------------------------------- */

static void centre_of(const snub_pulley *p, int place, double centre[2])
{
    if (p->sits == SNUB_ON_ARM)
        snub_arm_point(&p->arm, p->arm.travel * place / PLACES, centre);
    else if (p->sits == SNUB_ON_SLOT)
        snub_slot_point(&p->slot, p->slot.length * place / PLACES, centre);
    else
        memcpy(centre, p->at, sizeof p->at);
}

/* By how much two rims overlap wherever arm and slots put them, m; 0: they need not. */
static double overlap_of(const snub_pulley *a, const snub_pulley *b)
{
    const double reach = a->rim_radius + b->rim_radius;
    double least = INFINITY;
    if (fabs(a->plane - b->plane) >= 0.5 * (a->width + b->width))
        return 0.0;
    for (int i = 0; i <= (a->sits == SNUB_FIXED ? 0 : PLACES); i++) {
        for (int k = 0; k <= (b->sits == SNUB_FIXED ? 0 : PLACES); k++) {
            double p[2], q[2];
            centre_of(a, i, p);
            centre_of(b, k, q);
            least = fmin(least, reach - hypot(p[0] - q[0], p[1] - q[1]));
        }
    }
    return fmax(0.0, least);
}

static bool same_pair(const snub_finding *f, const char *a, const char *b)
{
    return f->pulley != NULL && f->other != NULL &&
           ((strcmp(f->pulley, a) == 0 && strcmp(f->other, b) == 0) ||
            (strcmp(f->pulley, b) == 0 && strcmp(f->other, a) == 0));
}

/* What else is said of two pulleys that overlap: that they touch, or have no room for a span. */
static void drop_pair(snub_findings *all, const char *a, const char *b)
{
    int kept = 0;
    for (int i = 0; i < all->count; i++) {
        const snub_finding *f = &all->items[i];
        if ((f->wording != SNUB_SAYS_OVERLAP && f->wording != SNUB_SAYS_TOUCHES) || !same_pair(f, a, b))
            all->items[kept++] = *f;
    }
    all->count = kept;
}

static int tell_overlaps(const teller *t)
{
    int told = 0;
    for (int i = 0; i < t->drive->pulley_count; i++) {
        for (int k = 0; k < i && told < OVERLAPS_MOST; k++) {
            const snub_pulley *a = &t->drive->pulleys[k], *b = &t->drive->pulleys[i];
            const double overlap = overlap_of(a, b);
            if (!(overlap > 0.0))
                continue;
            const bool moves = a->sits != SNUB_FIXED || b->sits != SNUB_FIXED;
            snub_finding f = snub_finding_of(t->drive, moves ? SNUB_SAYS_OVERLAP_ALWAYS : SNUB_SAYS_PULLEYS_OVERLAP);
            const snub_pulley *mover = a->sits != SNUB_FIXED ? a : b;
            f.pulley = mover->name;
            f.other = mover == a ? b->name : a->name;
            f.line = mover->place.line;
            f.value = overlap;
            drop_pair(&t->build->findings, a->name, b->name);
            snub_findings_add(&t->build->findings, t->arena, &f);
            told++;
        }
    }
    return told;
}

/* ---- findings that follow from the mistake ----------------------------------------------------------------------- */

static bool follows(snub_wording wording)
{
    switch (wording) {
    case SNUB_SAYS_NO_BELT_RUNS:
    case SNUB_SAYS_NO_LEVER:
    case SNUB_SAYS_NO_LENGTH_FOR_ARM:
    case SNUB_SAYS_NO_LENGTH_FOR_SLOT:
    case SNUB_SAYS_LOST_BELT:
    case SNUB_SAYS_TOO_LONG_FOR_ARM:
    case SNUB_SAYS_TOO_LONG:
    case SNUB_SAYS_NO_ARM_POSITION:
    case SNUB_SAYS_NO_ANSWER:
    case SNUB_SAYS_ARM_ON_REST:
    case SNUB_SAYS_ARM_ON_STOP:
    case SNUB_SAYS_PAST_DEAD_POINT:
    case SNUB_SAYS_LOCK_TOO_SHORT:
    case SNUB_SAYS_LOCK_TOO_LONG:
    case SNUB_SAYS_LOCK_LOST:
    case SNUB_SAYS_CANNOT_BE_FITTED:
    case SNUB_SAYS_TOO_SHORT_TO_FIT: return true;
    default: return false;
    }
}

static void tell_as_written(const teller *t, const snub_standing *standing)
{
    /* a belt may be long enough where it meets what it must not: no length of it is at fault then */
    const bool by_length = isfinite(standing->miss) && standing->miss > 0.0;
    snub_finding f = snub_finding_of(t->drive, !by_length           ? SNUB_SAYS_AS_WRITTEN
                                               : standing->too_long ? SNUB_SAYS_AS_WRITTEN_TOO_LONG
                                                                    : SNUB_SAYS_AS_WRITTEN_TOO_SHORT);
    if (by_length)
        f.value = standing->miss;
    snub_findings_add(&t->build->findings, t->arena, &f);
}

static void drop_consequences(const teller *t, const snub_standing *standing, bool overlaps)
{
    snub_findings *all = &t->build->findings;
    int kept = 0;
    bool dropped = false;
    for (int i = 0; i < all->count; i++) {
        const bool goes = follows(all->items[i].wording);
        if (!goes)
            all->items[kept++] = all->items[i];
        dropped = dropped || goes;
    }
    all->count = kept;
    if (dropped && !overlaps)
        tell_as_written(t, standing);
}

/* ---- the whole --------------------------------------------------------------------------------------------------- */

bool snub_repairs_tell(snub_build *build, const snub_drive *drive, bool afresh, snub_arena *arena)
{
    const teller t = {build, drive, arena};
    snub_standing standing;
    if (build->verdict != SNUB_FAIL)
        return true;
    if (!afresh) { /* a setting or a belt that was written is no mistake of the layout where another would do */
        snub_standing_find(drive, true, &standing);
        if (snub_standing_good(&standing))
            return true;
    }
    snub_standing_find(drive, afresh, &standing);
    if (snub_standing_good(&standing))
        return true;
    const bool length_alone = standing.gap >= 0.0 && !(standing.miss > LENGTH_ALONE * standing.nearest);
    trial *now = calloc(1, sizeof *now); /* large */
    tries *all = calloc(1, sizeof *all);
    if (now != NULL && all != NULL) {
        all->drive = drive;
        if (length_alone)
            list_arm_sense(all);
        else
            list_repairs(all);
        const int good = try_repairs(all, now, afresh);
        const bool overlaps = !standing.fits && !length_alone && tell_overlaps(&t) > 0;
        for (int i = 0; i < good && i < NAMED_MOST; i++)
            tell_repair(&t, &all->items[i]);
        if (overlaps || (good > 0 && all->items[0].penalty < OUT_OF_WORK))
            drop_consequences(&t, &standing, overlaps);
        snub_findings_sort(&build->findings);
    }
    const bool done = now != NULL && all != NULL && !build->findings.failed;
    free(now);
    free(all);
    return done;
}
