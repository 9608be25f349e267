/** What holds a pulley: standoff, clamp of a slot; metal and friction of a joint. */
#include <string.h>

#include "hardware.h"
#include "supply.h"

const snub_key snub_standoff_keys[] = {
    {"outside", NULL, SNUB_MEANS("Outside diameter of the tube or post.")},
    {"bore", NULL, SNUB_MEANS("Bore of the tube; 0 is solid.")},
    {"length", NULL, SNUB_MEANS("Length of the tube from its seat to the bearing.")},
    {"material", NULL, SNUB_MEANS("Metal of the tube; it gives stiffness and strength.")},
    {"modulus", NULL, SNUB_MEANS("Young's modulus of the tube, where it is another than the material's.")},
    {"strength", NULL, SNUB_MEANS("Tensile strength of the tube, where it is another than the material's.")},
    SNUB_JOINT_KEYS,
    {"located", NULL,
     SNUB_MEANS("Whether a spigot, dowel or stop takes the hub load; else friction of the face must.")},
    {"bolt", snub_bolt_keys, SNUB_MEANS("Bolt that goes through the tube.")},
    SNUB_SUPPLY_KEYS,
    SNUB_NUMBER_KEY,
    {NULL, NULL, NULL},
};
const snub_key snub_clamp_keys[] = {
    SNUB_JOINT_KEYS,
    {"located", NULL,
     SNUB_MEANS("Whether a stop behind the slider takes the load along the slot; else friction must.")},
    {"material", NULL, SNUB_MEANS("Metal of the slider, for the pressure under the bolt's head.")},
    {"strength", NULL, SNUB_MEANS("Tensile strength of the slider, where it is another than the material's.")},
    {"bolt", snub_bolt_keys, SNUB_MEANS("Bolt that clamps the slider.")},
    {NULL, NULL, NULL},
};

/** Friction of faces that nothing is said of: the least of ECSS-E-HB-32-23A Table C-2, dry. */
#define USUAL_FRICTION 0.10

void snub_read_material(snub_reader *reader, const snub_node *map, const char *fallback, snub_material *material)
{
    int choice = 0;
    for (int i = 0; snub_material_names()[i] != NULL; i++)
        choice = strcmp(snub_material_names()[i], fallback) == 0 ? i : choice;
    snub_material_find(fallback, material);
    if (snub_read_choice(reader, map, "material", snub_material_names(), &choice))
        snub_material_find(snub_material_names()[choice], material);
    snub_read_number(reader, map, "modulus", SNUB_Q_STRESS, 1000, 500000, &material->modulus);
    const double share = material->yield / material->tensile;
    if (snub_read_number(reader, map, "strength", SNUB_Q_STRESS, 10, 3000, &material->tensile))
        material->yield = share * material->tensile;
}

void snub_read_faces(snub_reader *reader, const snub_node *map, const char **faces, double *friction)
{
    int choice = SNUB_NO_CHOICE;
    *friction = USUAL_FRICTION;
    if (snub_read_choice(reader, map, "faces", snub_face_names(), &choice)) {
        *faces = snub_face_names()[choice];
        *friction = snub_face_friction(*faces);
    }
    if (snub_read_number(reader, map, "friction", SNUB_Q_NUMBER, 0.02, 1, friction)) {
        if (*faces != NULL)
            snub_read_wrong_key(reader, map, "friction", "faces or friction, not both", "is given together with faces");
        *faces = NULL;
    }
}

void snub_read_tapped(snub_reader *reader, const snub_node *map, const char **tapped_in)
{
    int choice = SNUB_NO_CHOICE;
    if (snub_read_choice(reader, map, "tapped_in", snub_tapped_materials(), &choice))
        *tapped_in = snub_tapped_materials()[choice];
}

/** Metal that threads are cut into, of a bracket's: stainless as steel. */
static const char *tapped_of(const snub_material *metal)
{
    const char *const *names = snub_tapped_materials();
    for (int i = 0; names[i] != NULL; i++) {
        if (strcmp(names[i], metal->name) == 0)
            return names[i];
    }
    return names[0];
}

/** A pulley's own bolt, of the section in hand. @return NULL where it is missing */
static const snub_node *read_own_bolt(snub_reader *reader, const snub_node *node, const char *name, snub_bolt *bolt)
{
    const snub_node *map = snub_read_need(reader, node, "bolt");
    snub_read_apart(reader, node, "bolt", SNUB_KEY_MAP, 0, 0);
    if (map == NULL)
        return NULL;
    snub_enter(reader, "bolt");
    bolt->name = name;
    if (map->kind == SNUB_MAP)
        snub_read_text(reader, map, "name", 60, &bolt->name);
    snub_read_bolt(reader, map, false, 0, bolt);
    snub_leave(reader);
    return map;
}

void snub_read_standoff(snub_reader *reader, const snub_node *map, const snub_mount *mount, snub_standoff *standoff)
{
    const snub_node *node = snub_read_map(reader, map, "standoff", snub_standoff_keys);
    if (node == NULL)
        return;
    standoff->given = true;
    standoff->place = node->place;
    standoff->tapped_in = mount != NULL && mount->plated ? tapped_of(&mount->bracket) : NULL;
    snub_enter(reader, "standoff");
    if (snub_read_need(reader, node, "outside") != NULL)
        snub_read_number(reader, node, "outside", SNUB_Q_LENGTH, 3, 300, &standoff->outside);
    snub_read_number(reader, node, "bore", SNUB_Q_LENGTH, 0, 300, &standoff->inside);
    if (snub_read_need(reader, node, "length") != NULL)
        snub_read_number(reader, node, "length", SNUB_Q_LENGTH, 1, 500, &standoff->length);
    if (standoff->outside > 0 && standoff->inside >= standoff->outside)
        snub_read_wrong_key(reader, node, "bore", "less than the outside diameter", "leaves no wall");
    snub_read_material(reader, node, "steel", &standoff->material);
    snub_read_tapped(reader, node, &standoff->tapped_in);
    snub_read_faces(reader, node, &standoff->faces, &standoff->friction);
    snub_read_flag(reader, node, "located", &standoff->located);
    snub_read_supply(reader, node, SNUB_SUPPLY_NEW, false, &standoff->supply);
    const snub_node *bolt = read_own_bolt(reader, node, "standoff bolt", &standoff->bolt);
    snub_enter(reader, "bolt");
    if (bolt != NULL && standoff->inside > 0 && standoff->bolt.diameter > standoff->inside)
        snub_read_wrong(reader, bolt, "a bolt that fits through the standoff", "is thicker than the standoff's bore");
    snub_leave(reader);
    snub_leave(reader);
}

void snub_read_clamp(snub_reader *reader, const snub_node *map, bool slotted, snub_clamp *clamp)
{
    const snub_node *node = snub_read_map(reader, map, "clamp", snub_clamp_keys);
    if (node == NULL)
        return;
    clamp->given = true;
    clamp->place = node->place;
    if (!slotted)
        snub_read_wrong_key(reader, map, "clamp", "a pulley with a slot", "has no slot to hold it in");
    snub_enter(reader, "clamp");
    snub_read_material(reader, node, "steel", &clamp->slider);
    clamp->slider_given = snub_read_find(node, "material") != NULL || snub_read_find(node, "strength") != NULL;
    snub_read_tapped(reader, node, &clamp->tapped_in);
    snub_read_faces(reader, node, &clamp->faces, &clamp->friction);
    snub_read_flag(reader, node, "located", &clamp->located);
    read_own_bolt(reader, node, "slot bolt", &clamp->bolt);
    snub_leave(reader);
}
