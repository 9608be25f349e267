/* What a build is made of, each part in one list. */
#include "contents_same.h"
#include "contents_tools.h"
#include "snub/hardware.h"

#include <string.h>

const char *snub_item_kind_text(snub_item_kind kind)
{
    static const char *const words[SNUB_ITEM_KINDS] = {"belt",     "pulley",   "tensioner", "blower", "bracket",
                                                       "standoff", "spacer",   "bearing",   "bolt",   "washer",
                                                       "shim",     "obstacle", "other"};
    return kind < SNUB_ITEM_KINDS ? words[kind] : "";
}

typedef struct lister {
    const snub_build *build;
    snub_arena *arena;
    int count, room;
    snub_item *items;
    snub_tool_box tools;
    bool failed;
} lister;

/* ---- what is the same part --------------------------------------------------------------------------------------- */

static bool same_text(const char *a, const char *b)
{
    return a == b || (a != NULL && b != NULL && strcmp(a, b) == 0);
}

/** Sizes as they are bought: a micrometre apart is the same, m. */
#define SAME_SIZE 1e-6

static bool same_size(double a, double b)
{
    return (isnan(a) && isnan(b)) || fabs(a - b) < SAME_SIZE;
}

static bool same_sizes(const snub_item *a, const snub_item *b)
{
    return a->ribs == b->ribs && a->back == b->back && a->rows == b->rows && same_size(a->diameter, b->diameter) &&
           same_size(a->inside, b->inside) && same_size(a->length, b->length) && same_size(a->grip, b->grip) &&
           same_text(a->thread, b->thread) && same_text(a->class_, b->class_) && same_text(a->finish, b->finish) &&
           same_text(a->material, b->material) && same_text(a->seal, b->seal) &&
           same_text(a->clearance, b->clearance) && same_text(a->note, b->note);
}

bool snub_item_same(const snub_item *a, const snub_item *b)
{
    if (!same_text(a->number, b->number) || !same_text(a->part, b->part))
        return false;
    /* a row of `contents` has no sizes of its own: its number says which part it is */
    if (a->number != NULL && (a->kind == SNUB_ITEM_OTHER || b->kind == SNUB_ITEM_OTHER))
        return true;
    /* bolts, washers, shims and standoffs have no name here; a name of the others says which part is meant */
    if (a->kind != b->kind || !same_sizes(a, b))
        return false;
    return a->number != NULL || same_text(a->name, b->name);
}

/* ---- the list ---------------------------------------------------------------------------------------------------- */

static const char *keep(lister *list, const char *text)
{
    if (text == NULL)
        return NULL;
    const char *copy = snub_copy_text(list->arena, text);
    list->failed = list->failed || copy == NULL;
    return copy != NULL ? copy : "";
}

static void add_place(lister *list, snub_item *item, const snub_item_place *place)
{
    snub_item_place *places = SNUB_NEW(list->arena, snub_item_place, item->place_count + 1);
    if (places == NULL) {
        list->failed = true;
        return;
    }
    if (item->place_count > 0)
        memcpy(places, item->places, (size_t)item->place_count * sizeof *places);
    places[item->place_count++] = (snub_item_place){keep(list, place->name), keep(list, place->owner), place->count};
    item->places = places;
}

static snub_item *make_room(lister *list)
{
    if (list->count == list->room) {
        const int room = 2 * list->room + 64;
        snub_item *more = SNUB_NEW(list->arena, snub_item, room);
        if (more == NULL) {
            list->failed = true;
            return NULL;
        }
        if (list->count > 0)
            memcpy(more, list->items, (size_t)list->count * sizeof *more);
        list->items = more;
        list->room = room;
    }
    return &list->items[list->count++];
}

/* Where the file gives no number, the house's own one of the catalogue, before the key; and who sells it. */
static void take_sale(const lister *list, snub_item *item)
{
    const snub_part_sale *sale = snub_drive_sale(list->build->drive, item->part);
    if (sale == NULL)
        return;
    if (item->number == item->part && sale->own_number[0] != '\0')
        item->number = sale->own_number;
    item->supplier = sale->supplier[0] != '\0' ? sale->supplier : NULL;
    item->supplier_number = sale->supplier_number[0] != '\0' ? sale->supplier_number : NULL;
}

static void keep_texts(lister *list, snub_item *item)
{
    take_sale(list, item);
    const char **texts[] = {
        &item->supplier, &item->supplier_number, &item->name,        &item->number,       &item->part,
        &item->note,     &item->thread,          &item->class_,      &item->finish,       &item->seal,
        &item->material, &item->clearance,       &item->rework.task, &item->rework.where, &item->rework.tap};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++)
        *texts[i] = keep(list, *texts[i]);
    if (item->cut_count == 0)
        return;
    const snub_cut *from = item->cuts;
    item->cuts = SNUB_NEW(list->arena, snub_cut, item->cut_count);
    if (item->cuts == NULL) {
        list->failed = true;
        item->cut_count = 0;
    }
    for (int i = 0; i < item->cut_count; i++) {
        item->cuts[i] = from[i];
        item->cuts[i].towards = keep(list, from[i].towards);
    }
}

/** One more part, or more pieces of one that is there: each rework stays a line of its own. */
static void add(lister *list, const snub_item *item, const char *name, const char *owner)
{
    const snub_item_place place = {name, owner, item->count};
    if (item->count < 1)
        return;
    for (int i = 0; i < list->count; i++) {
        snub_item *there = &list->items[i];
        if (there->how != item->how || item->how == SNUB_SUPPLY_CHANGED || !snub_item_same(there, item))
            continue;
        there->count += item->count;
        there->assumed = there->assumed || item->assumed;
        if (there->note == NULL)
            there->note = keep(list, item->note);
        add_place(list, there, &place);
        return;
    }
    snub_item *made = make_room(list);
    if (made == NULL)
        return;
    *made = *item;
    keep_texts(list, made);
    add_place(list, made, &place);
}

static snub_item blank(snub_item_kind kind, const char *name)
{
    return (snub_item){.kind = kind,
                       .count = 1,
                       .name = name,
                       .diameter = NAN,
                       .nominal = NAN,
                       .inside = NAN,
                       .length = NAN,
                       .grip = NAN,
                       .at = {NAN, NAN}};
}

/** How the parts of an owner come where nothing is said: what is kept on a reworked part is kept. */
typedef struct owner {
    snub_supply_how how;
    bool assumed;
} owner;

static owner owner_of(const snub_supply *supply, const owner *above)
{
    const bool own = supply->given || above == NULL;
    return (owner){own                                 ? supply->how
                   : above->how == SNUB_SUPPLY_CHANGED ? SNUB_SUPPLY_KEPT
                                                       : above->how,
                   own ? !supply->given : above->assumed};
}

static void put_supply(snub_item *item, const snub_supply *supply, const owner *of)
{
    item->how = of->how;
    item->assumed = of->assumed;
    item->part = supply->part;
    item->number = supply->number != NULL ? supply->number : supply->part;
    if (supply->rework.given)
        item->rework = supply->rework;
}

/* ---- hardware ---------------------------------------------------------------------------------------------------- */

static const char *finish_of(const snub_bolt *bolt)
{
    static const char *const finishes[] = {"black", "zinc", "cadmium"};
    for (int i = 0; bolt->condition != NULL && i < 3; i++) {
        if (strcmp(bolt->condition, finishes[i]) == 0)
            return bolt->condition;
    }
    return NULL;
}

/* A thread without a name is told by its sizes. */
static const char *thread_of(lister *list, const snub_bolt *bolt)
{
    if (bolt->thread != NULL)
        return bolt->thread;
    const char *made = snub_format(list->arena, "%g x %g mm", bolt->diameter / SNUB_MM, bolt->pitch / SNUB_MM);
    list->failed = list->failed || made == NULL;
    return made;
}

static void add_bolt(lister *list, const snub_bolt *bolt, const snub_supply *supply, const owner *of, int count,
                     double torque, const char *owner_name, const char *note)
{
    snub_item item = blank(SNUB_ITEM_BOLT, ""), washer = blank(SNUB_ITEM_WASHER, "");
    put_supply(&item, supply, of);
    item.count = washer.count = count;
    item.thread = thread_of(list, bolt);
    item.class_ = bolt->class_;
    item.note = note;
    item.finish = finish_of(bolt);
    item.length = bolt->length;
    item.grip = bolt->length > 0.0 ? NAN : bolt->grip_length;
    item.diameter = bolt->washer > 0.0 ? bolt->washer : NAN;
    add(list, &item, bolt->name != NULL ? bolt->name : "", owner_name);
    snub_bolt named = *bolt;
    named.thread = item.thread;
    snub_tools_bolt(&list->tools, &named, torque, count);
    snub_tools_rework(&list->tools, &supply->rework);
    if (!(bolt->washer > 0.0))
        return;
    washer.how = of->how == SNUB_SUPPLY_CHANGED ? SNUB_SUPPLY_KEPT : of->how;
    washer.assumed = of->assumed;
    washer.diameter = bolt->washer;
    washer.length = bolt->washer_thickness;
    add(list, &washer, bolt->name != NULL ? bolt->name : "", owner_name);
}

/* The report may be of a copy of the drive, with the packs in. */
static bool same_place(const snub_stack_part *a, const snub_stack_part *b)
{
    return a->place.line == b->place.line && a->place.column == b->place.column && same_text(a->name, b->name);
}

static void add_shims(lister *list, const snub_stack_part *part, const owner *of, const char *owner_name)
{
    const snub_hardware_report *report = list->build->report;
    const snub_hardware *hardware = list->build->drive->hardware;
    snub_item item = blank(SNUB_ITEM_SHIM, "");
    item.how = of->how == SNUB_SUPPLY_CHANGED ? SNUB_SUPPLY_KEPT : of->how;
    item.assumed = of->assumed;
    for (int k = 0; report != NULL && report->shims.asked && report->shims.wanted && k < report->shims.places; k++) {
        if (!same_place(report->shims.place[k], part) || !same_text(report->shims.owner[k], owner_name))
            continue;
        item.how = SNUB_SUPPLY_NEW;
        item.assumed = false;
        for (int s = 0; s < hardware->shim_count; s++) {
            item.count = report->shims.answer.count[k][s];
            item.length = hardware->shims[s];
            add(list, &item, part->name, owner_name);
        }
        return;
    }
    item.length = part->length;
    if (part->length > 0.0)
        add(list, &item, part->name, owner_name);
}

/* Parts of a stack that no section of the file stands for: spacers, further plates, a standoff without its section. */
static void add_stack(lister *list, const snub_stack *stack, const owner *of, const char *owner_name, bool plate,
                      bool standoff)
{
    for (int i = 0; i < stack->count; i++) {
        const snub_stack_part *part = &stack->parts[i];
        snub_item item = blank(SNUB_ITEM_SPACER, part->name);
        owner own = *of;
        if (part->kind == SNUB_STACK_SHIM)
            add_shims(list, part, of, owner_name);
        if (part->kind == SNUB_STACK_SPACER)
            own = owner_of(&part->supply, of);
        else if (part->kind == SNUB_STACK_BRACKET && !plate)
            item.kind = SNUB_ITEM_BRACKET;
        else if (part->kind == SNUB_STACK_STANDOFF && !standoff)
            item.kind = SNUB_ITEM_STANDOFF;
        else {
            plate = plate && part->kind != SNUB_STACK_BRACKET; /* the first of them is the section's */
            standoff = standoff && part->kind != SNUB_STACK_STANDOFF;
            continue;
        }
        own.how = own.how == SNUB_SUPPLY_CHANGED && !part->supply.given ? SNUB_SUPPLY_KEPT : own.how;
        put_supply(&item, &part->supply, &own);
        item.length = part->length;
        snub_tools_rework(&list->tools, &part->supply.rework);
        add(list, &item, "", owner_name);
    }
}

static double known(double torque, const snub_bolt *bolt)
{
    return torque > 0.0 && isfinite(torque) ? torque : bolt->torque;
}

static void add_mount(lister *list, int m)
{
    const snub_mount *mount = &list->build->drive->hardware->mounts[m];
    const snub_hardware_report *report = list->build->report;
    const owner of = owner_of(&mount->supply, NULL);
    snub_item item = blank(SNUB_ITEM_BRACKET, mount->name);
    put_supply(&item, &mount->supply, &of);
    item.length = mount->thickness;
    item.material = mount->plated ? mount->bracket.name : NULL;
    item.at[0] = item.at[1] = 0.0;
    for (int i = 0; i < mount->bolt_count; i++) {
        item.at[0] += mount->bolts[i].at[0] / mount->bolt_count;
        item.at[1] += mount->bolts[i].at[1] / mount->bolt_count;
    }
    add(list, &item, "", "");
    snub_tools_rework(&list->tools, &mount->supply.rework);
    for (int i = 0; i < mount->bolt_count; i++) {
        const snub_bolt *bolt = &mount->bolts[i];
        const owner own = owner_of(&bolt->supply, &of);
        const double found = report != NULL && m < report->mount_count ? report->mounts[m].bolts[i].torque : 0.0;
        const double torque = known(found, bolt);
        add_bolt(list, bolt, &bolt->supply, &own, 1, torque, mount->name, NULL);
        if (mount->bolt_count > 1) /* as the steps have it */
            snub_tools_first_round(&list->tools, torque);
    }
    add_stack(list, &mount->stack, &of, mount->name, true, false);
}

static void add_bearing(lister *list, const snub_bearing_seat *seat, const owner *of, const char *owner_name)
{
    const snub_bearing *b = &list->build->drive->hardware->bearings[seat->bearing];
    const owner own = owner_of(&seat->supply, of);
    snub_item item = blank(SNUB_ITEM_BEARING, b->designation);
    put_supply(&item, &seat->supply, &own);
    item.part = b->part;
    item.number = b->number != NULL ? b->number : b->part;
    item.count = seat->count;
    item.diameter = b->outside;
    item.inside = b->bore;
    item.length = b->width;
    item.rows = b->rows;
    item.seal = b->seal;
    item.clearance = seat->clearance;
    snub_tools_rework(&list->tools, &seat->supply.rework);
    add(list, &item, "", owner_name);
}

static void add_standoff(lister *list, int pulley, const owner *of)
{
    const snub_standoff *s = &list->build->drive->hardware->pulleys[pulley].standoff;
    const snub_hardware_report *report = list->build->report;
    const char *name = list->build->drive->pulleys[pulley].name;
    const owner own = owner_of(&s->supply, of), bolts = owner_of(&s->bolt.supply, &own);
    snub_item item = blank(SNUB_ITEM_STANDOFF, "");
    put_supply(&item, &s->supply, &own);
    item.diameter = s->outside;
    item.inside = s->inside;
    item.length = s->length;
    item.material = s->material.name;
    snub_tools_rework(&list->tools, &s->supply.rework);
    add(list, &item, "", name);
    add_bolt(list, &s->bolt, &s->bolt.supply, &bolts, 1,
             known(report != NULL ? report->standoff[pulley].torque : 0.0, &s->bolt), name, NULL);
}

static void add_hardware_of(lister *list, int pulley, const owner *of)
{
    const snub_hardware *h = list->build->drive->hardware;
    const snub_pulley_hardware *p = &h->pulleys[pulley];
    const char *name = list->build->drive->pulleys[pulley].name;
    const double torque = list->build->report != NULL ? list->build->report->clamp[pulley].torque : 0.0;
    if (p->standoff.given)
        add_standoff(list, pulley, of);
    if (p->clamp.given) {
        const owner own = owner_of(&p->clamp.bolt.supply, of);
        add_bolt(list, &p->clamp.bolt, &p->clamp.bolt.supply, &own, 1, known(torque, &p->clamp.bolt), name, NULL);
    }
    if (p->seat.given && p->seat.bearing >= 0 && p->seat.bearing < h->bearing_count)
        add_bearing(list, &p->seat, of, name);
    add_stack(list, &p->stack, of, name, false, p->standoff.given);
}

/* ---- the whole of it --------------------------------------------------------------------------------------------- */

static void add_belt(lister *list)
{
    snub_item item = blank(SNUB_ITEM_BELT, list->build->designation);
    if (!list->build->settled)
        return;
    item.ribs = list->build->drive->belt.ribs;
    item.length = list->build->length;
    item.part = item.number = list->build->part;
    add(list, &item, "", "");
}

static void add_pulley(lister *list, int index)
{
    const snub_drive *drive = list->build->drive;
    const snub_pulley *p = &drive->pulleys[index];
    owner of = owner_of(&p->supply, NULL);
    of.assumed = of.assumed && !p->is_crank;
    snub_item item = blank(p->sits == SNUB_ON_ARM ? SNUB_ITEM_TENSIONER : SNUB_ITEM_PULLEY, p->name);
    put_supply(&item, &p->supply, &of);
    item.diameter = p->diameter;
    item.nominal = p->nominal_diameter;
    item.back = p->side == SNUB_BACK;
    item.ribs = p->grooves;
    memcpy(item.at, p->at, sizeof item.at);
    add(list, &item, "", "");
    snub_tools_rework(&list->tools, &p->supply.rework);
    if (p->has_blower) {
        const owner own = owner_of(&p->blower.supply, &of);
        snub_item blower = blank(SNUB_ITEM_BLOWER, p->name);
        put_supply(&blower, &p->blower.supply, &own);
        memcpy(blower.at, p->at, sizeof blower.at);
        snub_tools_rework(&list->tools, &p->blower.supply.rework);
        add(list, &blower, "", "");
    }
    if (drive->hardware != NULL)
        add_hardware_of(list, index, &of);
}

static void add_obstacle(lister *list, const snub_obstacle *o)
{
    const owner of = {o->supply.how, false};
    snub_item item = blank(SNUB_ITEM_BESIDE, o->name);
    if (o->tool)
        return;
    put_supply(&item, &o->supply, &of);
    item.at[0] = 0.5 * (o->from[0] + (o->shape == SNUB_STADIUM ? o->to[0] : o->from[0]));
    item.at[1] = 0.5 * (o->from[1] + (o->shape == SNUB_STADIUM ? o->to[1] : o->from[1]));
    for (int c = 0; o->shape == SNUB_POLYGON && c < o->corners; c++) {
        item.at[0] = (c > 0 ? item.at[0] : 0.0) + o->corner[c][0] / o->corners;
        item.at[1] = (c > 0 ? item.at[1] : 0.0) + o->corner[c][1] / o->corners;
    }
    snub_tools_rework(&list->tools, &o->supply.rework);
    item.cut_count = o->cut_count;
    item.cuts = o->cuts;
    add(list, &item, "", "");
}

static void add_content(lister *list, const snub_content *content)
{
    const owner of = {content->supply.how, false};
    if (content->count < 1)
        return;
    if (content->bolted) {
        add_bolt(list, &content->bolt, &content->supply, &of, content->count, content->bolt.torque, "", content->note);
        return;
    }
    snub_item item = blank(SNUB_ITEM_OTHER, content->name);
    put_supply(&item, &content->supply, &of);
    item.count = content->count;
    item.note = content->note;
    snub_tools_rework(&list->tools, &content->supply.rework);
    add(list, &item, content->name, "");
}

static void gather(lister *list)
{
    const snub_drive *drive = list->build->drive;
    const snub_hardware *h = drive->hardware;
    add_belt(list);
    for (int i = 0; i < drive->pulley_count; i++)
        add_pulley(list, i);
    for (int m = 0; h != NULL && m < h->mount_count; m++)
        add_mount(list, m);
    for (int i = 0; h != NULL && i < h->obstacle_count; i++)
        add_obstacle(list, &h->obstacles[i]);
    for (int i = 0; h != NULL && i < h->removed_count; i++)
        add_obstacle(list, &h->removed[i]);
    for (int i = 0; i < drive->content_count; i++)
        add_content(list, &drive->contents[i]);
    snub_tools_end(&list->tools);
}

/** One number for two parts: whoever packs by numbers takes the wrong one. */
static void find_clashes(lister *list)
{
    for (int i = 0; i < list->count; i++) {
        snub_item *a = &list->items[i];
        for (int j = 0; j < list->count && a->number != NULL && a->clash == NULL; j++) {
            const snub_item *b = &list->items[j];
            if (i != j && same_text(a->number, b->number) && !snub_item_same(a, b))
                a->clash = b->name[0] != '\0' ? b->name : snub_item_kind_text(b->kind);
        }
    }
}

/** By how they come, then by kind; the order in each stays. */
static snub_status sort(lister *list, snub_contents *contents, snub_error *error)
{
    snub_item *sorted = SNUB_NEW(list->arena, snub_item, list->count + 1);
    int n = 0;
    if (sorted == NULL || list->failed || list->tools.failed)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    for (int how = 0; how < SNUB_SUPPLIES_; how++) {
        const int first = n;
        for (int kind = 0; kind < SNUB_ITEM_KINDS; kind++) {
            for (int i = 0; i < list->count; i++) {
                if ((int)list->items[i].how == how && (int)list->items[i].kind == kind)
                    sorted[n++] = list->items[i];
            }
        }
        contents->of[how] = n - first;
    }
    contents->items = sorted;
    contents->count = n;
    contents->tools = list->tools.tools;
    contents->tool_count = list->tools.count;
    return SNUB_OK;
}

snub_status snub_contents_of(const snub_build *build, snub_arena *arena, snub_contents *contents, snub_error *error)
{
    lister list = {.build = build, .arena = arena, .tools = {.arena = arena}};
    *contents = (snub_contents){0};
    gather(&list);
    find_clashes(&list);
    return sort(&list, contents, error);
}
