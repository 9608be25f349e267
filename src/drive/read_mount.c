/** mounts: brackets with their bolts; stacks along the axis. */
#include <string.h>

#include "hardware.h"
#include "supply.h"

static const snub_key bracket_keys[] = {
    {"material", NULL,
     SNUB_MEANS("Metal of the bracket; it gives stiffness, strength and the pressure that bolt heads may put on it.")},
    {"modulus", NULL, SNUB_MEANS("Young's modulus of the bracket's metal, where it is another than the material's.")},
    {"strength", NULL, SNUB_MEANS("Tensile strength of the bracket's metal. From its certificate or standard.")},
    {"yield", NULL, SNUB_MEANS("Yield strength (0.2 %) of the bracket's metal. From its certificate or standard.")},
    {"thickness", NULL, SNUB_MEANS("Thickness of the plate, where it bends past the bolts.")},
    {"width", NULL,
     SNUB_MEANS("Width of the strip that reaches from the bolts to the pulley, across it. Left out: the bracket is "
                "taken as rigid.")},
    {"reach", NULL,
     SNUB_MEANS("Free length of the strip past the bolts. Left out: from the nearest bolt to the pulley.")},
    {"slot_width", NULL, SNUB_MEANS("Width of the slot that a pulley moves in. Left out: the hole of its bolt.")},
    {"outline", NULL, SNUB_MEANS("Corners of the plate to be cut, in order, in the front view.")},
    {"edge", NULL,
     SNUB_MEANS(
         "Metal to leave around each hole and slot where no outline is given; the plate's outline follows from it.")},
    {NULL, NULL, NULL},
};
const snub_key snub_stack_part_keys[] = {
    {"name", NULL, SNUB_MEANS("What it is called in findings, drawings and paths.")},
    {"kind", NULL, SNUB_MEANS("What the part is; only places of kind `shim` are changed by the shim advice.")},
    {"length", NULL, SNUB_MEANS("Length along the axis, plus away from the engine. Measure it on the part.")},
    {"tolerance", NULL, SNUB_MEANS("Plus or minus on that length, from the drawing.")},
    SNUB_SUPPLY_KEYS,
    SNUB_NUMBER_KEY,
    {NULL, NULL, NULL},
};
const snub_key snub_mount_keys[] = {
    {"name", NULL, SNUB_MEANS("What it is called in findings, drawings and paths.")},
    {"stack", snub_stack_part_keys,
     SNUB_MEANS("Parts along the axis from the crank's datum to the front of the bracket.")},
    {"face", NULL,
     SNUB_MEANS(
         "Where the bracket meets the engine along the axis. Left out: the end of the stack's leading `face` parts.")},
    {"bracket", bracket_keys, SNUB_MEANS("The plate that carries the pulleys past the bolts: metal, sizes, outline.")},
    SNUB_JOINT_KEYS,
    {"bolts", snub_bolt_keys, SNUB_MEANS("Bolts that hold the bracket on the engine.")},
    {"mass", NULL, SNUB_MEANS("Mass of all that the bolts carry: bracket, blower and what hangs on it. Weigh it.")},
    {"mass_at", NULL,
     SNUB_MEANS(
         "Centre of that mass: x, y in the front view, z along the axis. Find it by balancing the parts on an edge.")},
    {"vibration", NULL,
     SNUB_MEANS("Greatest acceleration of the engine at the bracket, in times gravity. From an accelerometer.")},
    SNUB_SUPPLY_KEYS,
    SNUB_NUMBER_KEY,
    {NULL, NULL, NULL},
};

/** Bolts nearer than this stand in one place, m. */
#define SAME_PLACE 0.1e-3

void snub_read_stack(snub_reader *reader, const snub_node *map, snub_stack *stack)
{
    static const char *const kinds[] = {"face", "bracket", "spacer", "shim", "standoff", "offset", NULL};
    const snub_node *list = snub_read_list(reader, map, "stack", 1, SNUB_STACK_PARTS_MOST);
    if (list == NULL)
        return;
    stack->parts = SNUB_NEW(reader->arena, snub_stack_part, list->count);
    if (stack->parts == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    stack->count = list->count;
    snub_enter(reader, "stack");
    for (int i = 0; i < list->count; i++) {
        const snub_node *item = list->items[i];
        snub_stack_part *part = &stack->parts[i];
        int kind = SNUB_STACK_SPACER;
        snub_enter_item(reader, i);
        part->place = item->place;
        part->name = "";
        if (snub_read_keys(reader, item, snub_stack_part_keys, NULL)) {
            if (snub_read_need(reader, item, "name") != NULL)
                snub_read_text(reader, item, "name", 60, &part->name);
            snub_read_choice(reader, item, "kind", kinds, &kind);
            if (snub_read_need(reader, item, "length") != NULL)
                snub_read_number(reader, item, "length", SNUB_Q_LENGTH, -1000, 1000, &part->length);
            snub_read_number(reader, item, "tolerance", SNUB_Q_LENGTH, 0, 50, &part->tolerance);
            snub_read_tolerated(reader, item, "length", "tolerance", SNUB_Q_LENGTH, part->length, part->tolerance,
                                SNUB_TOLERANCE_STACK);
        }
        part->kind = (snub_stack_kind)kind;
        if (part->kind == SNUB_STACK_SPACER && item->kind == SNUB_MAP)
            snub_read_supply(reader, item, SNUB_SUPPLY_NEW, false, &part->supply);
        else if (item->kind == SNUB_MAP)
            snub_refuse_supply(reader, item, "the key on the part that this is of: pulley, mount or standoff");
        if (part->length < 0 && part->kind != SNUB_STACK_FACE && part->kind != SNUB_STACK_OFFSET)
            snub_read_wrong_key(reader, item, "length", "above zero; only a face or an offset may be negative",
                                "is negative for a %s", kinds[kind]);
        snub_leave(reader);
    }
    snub_leave(reader);
}

static void read_bracket(snub_reader *reader, const snub_node *map, snub_mount *mount)
{
    snub_material_find("aluminium", &mount->bracket);
    const snub_node *node = snub_read_map(reader, map, "bracket", bracket_keys);
    if (node == NULL)
        return;
    mount->plated = true;
    snub_enter(reader, "bracket");
    snub_read_material(reader, node, "aluminium", &mount->bracket);
    snub_read_number(reader, node, "thickness", SNUB_Q_LENGTH, 1, 200, &mount->thickness);
    snub_read_number(reader, node, "width", SNUB_Q_LENGTH, 5, 1000, &mount->width);
    snub_read_number(reader, node, "reach", SNUB_Q_LENGTH, 0, 1000, &mount->reach);
    snub_read_number(reader, node, "slot_width", SNUB_Q_LENGTH, 2, 200, &mount->slot_width);
    snub_read_number(reader, node, "edge", SNUB_Q_LENGTH, 0.5, 200, &mount->edge);
    snub_read_outline(reader, node, "outline", &mount->corners, &mount->corner);
    if (snub_read_find(node, "outline") != NULL && snub_read_find(node, "edge") != NULL)
        snub_read_wrong_key(reader, node, "edge", "an outline, or the edge to grow one",
                            "is given together with `outline`");
    if (snub_read_number(reader, node, "yield", SNUB_Q_STRESS, 10, 3000, &mount->bracket.yield) &&
        mount->bracket.yield > mount->bracket.tensile)
        snub_read_wrong_key(reader, node, "yield", "no more than the tensile strength",
                            "is over the strength of %.0f MPa", mount->bracket.tensile / SNUB_MPA);
    if ((mount->width > 0 || mount->reach > 0) && (mount->thickness <= 0 || mount->width <= 0))
        snub_read_wrong_key(reader, node, mount->thickness <= 0 ? "thickness" : "width",
                            "thickness, width and reach for a bracket that is not rigid", "is missing");
    snub_leave(reader);
}

static void check_bolts(snub_reader *reader, const snub_node *list, const snub_mount *mount)
{
    for (int i = 0; i < mount->bolt_count; i++) {
        for (int j = 0; j < i; j++) {
            const double *a = mount->bolts[i].at, *b = mount->bolts[j].at;
            snub_enter_item(reader, i);
            if (list->items[i]->kind == SNUB_MAP && snub_read_find(list->items[i], "at") != NULL &&
                hypot(a[0] - b[0], a[1] - b[1]) < SAME_PLACE)
                snub_read_wrong_key(reader, list->items[i], "at", "its own position",
                                    "is also the position of bolt '%s'", mount->bolts[j].name);
            snub_leave(reader);
        }
    }
}

/** What the bolts clamp, without washers and shims: the plate, else what of the stack is no part of the engine; 0: not
 * known. */
static double clamped_by(const snub_mount *mount)
{
    return mount->thickness > 0 ? mount->thickness
                                : snub_stack_length(&mount->stack, SNUB_STACK_BRACKET) +
                                      snub_stack_length(&mount->stack, SNUB_STACK_SPACER);
}

static void read_bolts(snub_reader *reader, const snub_node *map, snub_mount *mount)
{
    const char *names[SNUB_BOLTS_MOST];
    if (snub_read_need(reader, map, "bolts") == NULL)
        return;
    const snub_node *list = snub_read_list(reader, map, "bolts", 1, SNUB_BOLTS_MOST);
    if (list == NULL)
        return;
    mount->bolts = SNUB_NEW(reader->arena, snub_bolt, list->count);
    if (mount->bolts == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    mount->bolt_count = list->count;
    snub_enter(reader, "bolts");
    for (int i = 0; i < list->count; i++) {
        snub_enter_item(reader, i);
        mount->bolts[i].name = "";
        if (list->items[i]->kind == SNUB_MAP)
            snub_read_item_name(reader, list->items[i], names, i, &mount->bolts[i].name);
        names[i] = mount->bolts[i].name;
        snub_read_bolt(reader, list->items[i], true, clamped_by(mount), &mount->bolts[i]);
        snub_leave(reader);
    }
    check_bolts(reader, list, mount);
    snub_leave(reader);
}

/** What shakes on the bolts: mass, where its centre is, and how hard; one without the others says nothing. */
static void read_vibration(snub_reader *reader, const snub_node *map, snub_mount *mount)
{
    static const char *const keys[] = {"mass", "mass_at", "vibration"};
    double times = 0, *at = NULL;
    int count = 0;
    const bool any = snub_read_find(map, keys[0]) != NULL || snub_read_find(map, keys[1]) != NULL ||
                     snub_read_find(map, keys[2]) != NULL;
    for (int k = 0; any && k < 3; k++)
        (void)snub_read_need(reader, map, keys[k]);
    snub_read_number(reader, map, "mass", SNUB_Q_MASS, 0.1, 500, &mount->mass);
    if (snub_read_number(reader, map, "vibration", SNUB_Q_NUMBER, 0.1, 200, &times))
        mount->vibration = times * SNUB_GRAVITY;
    if (!snub_read_numbers(reader, map, "mass_at", SNUB_Q_LENGTH, -5000, 5000, &count, &at) || count == 0)
        return;
    if (count != 3)
        snub_read_wrong_key(reader, map, "mass_at", "[x, y, z]", "has %d numbers", count);
    for (int k = 0; k < 3 && k < count; k++)
        mount->mass_at[k] = at[k];
}

/** z of the joint: where the engine's own parts of the stack end. */
static double joint_of(const snub_stack *stack)
{
    double z = 0;
    for (int i = 0; i < stack->count && stack->parts[i].kind == SNUB_STACK_FACE; i++)
        z += stack->parts[i].length;
    return z;
}

void snub_read_mounts(snub_reader *reader, const snub_node *root, snub_hardware *hardware)
{
    const char *names[SNUB_MOUNTS_MOST];
    const snub_node *list = snub_read_named_list(reader, root, "mounts", SNUB_MOUNTS_MOST);
    if (list == NULL)
        return;
    hardware->mounts = SNUB_NEW(reader->arena, snub_mount, list->count);
    if (hardware->mounts == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    hardware->mount_count = list->count;
    snub_enter(reader, "mounts");
    for (int i = 0; i < list->count; i++) {
        const snub_node *item = list->items[i];
        snub_mount *mount = &hardware->mounts[i];
        snub_enter_item(reader, i);
        mount->place = item->place;
        mount->name = "";
        if (snub_read_keys(reader, item, snub_mount_keys, NULL)) {
            snub_read_item_name(reader, item, names, i, &mount->name);
            snub_read_stack(reader, item, &mount->stack);
            mount->face = joint_of(&mount->stack);
            snub_read_number(reader, item, "face", SNUB_Q_LENGTH, -1000, 1000, &mount->face);
            read_bracket(reader, item, mount);
            snub_read_faces(reader, item, &mount->faces, &mount->friction);
            snub_read_tapped(reader, item, &mount->tapped_in);
            read_bolts(reader, item, mount);
            read_vibration(reader, item, mount);
            snub_read_supply(reader, item, SNUB_SUPPLY_NEW, false, &mount->supply);
        }
        names[i] = mount->name;
        snub_leave(reader);
    }
    snub_leave(reader);
}
