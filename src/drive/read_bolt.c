/** A bolt: thread, class, preload. Bounds are what no engine's front has. */
#include <string.h>

#include "hardware.h"
#include "supply.h"

const snub_key snub_bolt_keys[] = {
    {"part", NULL,
     SNUB_MEANS("Key of a fastener in the parts catalogue. Keys written beside it win over the catalogue's values.")},
    {"name", NULL, SNUB_MEANS("What it is called in findings, drawings and paths.")},
    {"at", NULL, SNUB_MEANS("Centre of the bolt in the front view.")},
    {"thread", NULL, SNUB_MEANS("Thread of the bolt: M8, M8x1 or 3/8-16. Size and pitch follow from it.")},
    {"diameter", NULL, SNUB_MEANS("Outside diameter of the thread, where `thread` does not name it.")},
    {"pitch", NULL, SNUB_MEANS("Pitch of the thread, from crest to crest.")},
    {"stress_area", NULL,
     SNUB_MEANS("Tensile stress area of the thread, from the standard. Left out: from diameter and pitch.")},
    {"class", NULL, SNUB_MEANS("Strength class as stamped on the head: 8.8, 10.9, SAE 8.")},
    {"proof_load", NULL,
     SNUB_MEANS("Force that the bolt stands without lasting stretch. From its maker, where no class is given.")},
    {"tensile_load", NULL,
     SNUB_MEANS("Force that breaks the bolt, at least. From its maker, where no class is given.")},
    {"length", NULL, SNUB_MEANS("Length under the head.")},
    {"grip_length", NULL, SNUB_MEANS("Thickness clamped between head and thread, without shims.")},
    {"engagement", NULL,
     SNUB_MEANS("Length of thread that is screwed in, without shims. Left out: `length` less `grip_length`.")},
    {"torque", NULL, SNUB_MEANS("Tightening torque. Left out: one is advised for the condition of the thread.")},
    {"preload", NULL,
     SNUB_MEANS("Clamp force after tightening, where it is set by stretch or angle. In place of `torque`.")},
    {"condition", NULL,
     SNUB_MEANS("State of thread and head face, such as zinc or oiled. It sets how much torque becomes clamp force.")},
    {"nut_factor", NULL,
     SNUB_MEANS("Torque over preload times diameter, from your own test. In place of `condition`.")},
    {"scatter", NULL, SNUB_MEANS("Plus or minus on the preload as a fraction, by the way of tightening.")},
    {"head", NULL, SNUB_MEANS("Outside diameter of the face under the head. Measure flanged and socket heads.")},
    {"washer", NULL, SNUB_MEANS("Outside diameter of a hardened washer under the head.")},
    {"washer_thickness", NULL, SNUB_MEANS("Thickness of that washer.")},
    {"pad", NULL, SNUB_MEANS("Diameter of the face that this bolt clamps on the engine: a boss or pad.")},
    {"hole", NULL, SNUB_MEANS("Diameter of the clearance hole.")},
    {"locates", NULL,
     SNUB_MEANS(
         "Whether this bolt's fit places the bracket, such as a fitted or shoulder bolt. It is tightened first.")},
    {"reused", NULL,
     SNUB_MEANS("Whether the bolt may be taken out and used again; one that is not may be tightened higher.")},
    {"tightening_factor", NULL,
     SNUB_MEANS("Most over least preload of the way of tightening (VDI 2230). In place of `scatter`.")},
    SNUB_SUPPLY_KEYS,
    SNUB_NUMBER_KEY,
    {NULL, NULL, NULL},
};

/** Torque wrench, friction not known: VDI 2230:1986 has 23 to 28 % where it is estimated, and 17 to 23 % where the
 * torque was found by test (as a maker's pages print it); rounded up, rule of thumb. */
#define USUAL_SCATTER 0.30

static void read_thread(snub_reader *reader, const snub_node *map, snub_bolt *bolt)
{
    bool known = false;
    if (snub_read_text(reader, map, "thread", 30, &bolt->thread))
        known = snub_thread_find(bolt->thread, &bolt->diameter, &bolt->pitch);
    bool sized = snub_read_number(reader, map, "diameter", SNUB_Q_LENGTH, 2, 60, &bolt->diameter);
    sized = snub_read_number(reader, map, "pitch", SNUB_Q_LENGTH, 0.2, 8, &bolt->pitch) && sized;
    if (bolt->thread == NULL && !sized)
        snub_read_wrong_key(reader, map, "thread", "a thread like 'M8', or diameter and pitch", "is missing");
    else if (bolt->thread != NULL && !known && !sized)
        snub_read_wrong_key(reader, map, "thread", "M4 to M36, 'M8x1', '3/8-16', or a diameter and a pitch",
                            "is not a known thread");
    if (bolt->pitch > 0 && bolt->diameter > 0)
        bolt->stress_area = snub_stress_area(bolt->diameter, bolt->pitch);
    snub_read_number(reader, map, "stress_area", SNUB_Q_AREA, 1, 3000, &bolt->stress_area);
}

/** "8.8, 10.9 or SAE 5 ...". */
static const char *class_list(snub_reader *reader)
{
    const char *const *names = snub_bolt_class_names(), *list = "one of";
    for (int i = 0; names[i] != NULL && list != NULL; i++)
        list = snub_format(reader->arena, "%s%s %s", list, i > 0 ? "," : "", names[i]);
    return list != NULL ? snub_format(reader->arena, "%s; or proof_load and tensile_load", list) : NULL;
}

static void read_class(snub_reader *reader, const snub_node *map, snub_bolt *bolt)
{
    double proof_load = 0, tensile_load = 0;
    snub_bolt_class found;
    const bool loads = (int)snub_read_number(reader, map, "proof_load", SNUB_Q_FORCE, 100, 1e7, &proof_load) +
                           (int)snub_read_number(reader, map, "tensile_load", SNUB_Q_FORCE, 100, 1e7, &tensile_load) ==
                       2;
    const bool named = snub_read_text(reader, map, "class", 20, &bolt->class_);
    if (named && snub_bolt_class_find(bolt->class_, bolt->diameter, &found)) {
        bolt->proof = found.proof;
        bolt->yield = found.yield;
        bolt->tensile = found.tensile;
        bolt->endurance = found.endurance;
    } else if (!named && !loads) {
        snub_read_wrong_key(reader, map, "class", class_list(reader), "is missing");
    } else if (!loads && bolt->diameter > 0) {
        snub_read_wrong_key(reader, map, "class", class_list(reader),
                            "is not a known property class for this diameter");
    }
    if (bolt->stress_area > 0 && proof_load > 0)
        bolt->proof = proof_load / bolt->stress_area;
    if (bolt->stress_area > 0 && tensile_load > 0)
        bolt->tensile = tensile_load / bolt->stress_area;
    if (bolt->tensile > 0 && bolt->proof > bolt->tensile)
        snub_read_wrong_key(reader, map, proof_load > 0 ? "proof_load" : "tensile_load", "less than the tensile load",
                            "is above the tensile strength");
}

static void read_tightening(snub_reader *reader, const snub_node *map, snub_bolt *bolt)
{
    int condition = 0;
    const char *const *conditions = snub_nut_conditions();
    bolt->condition = conditions[0];
    bolt->scatter = USUAL_SCATTER;
    bolt->reused = true;
    if (snub_read_choice(reader, map, "condition", conditions, &condition))
        bolt->condition = conditions[condition];
    bolt->nut_factor = snub_nut_factor(bolt->condition);
    if (snub_read_number(reader, map, "nut_factor", SNUB_Q_NUMBER, 0.05, 0.6, &bolt->nut_factor)) {
        if (snub_read_find(map, "condition") != NULL)
            snub_read_wrong_key(reader, map, "nut_factor", "nut_factor or condition, not both",
                                "is given together with a condition");
        bolt->condition = NULL;
    }
    snub_read_number(reader, map, "scatter", SNUB_Q_NUMBER, 0, 0.6, &bolt->scatter);
    double factor = 0;
    if (snub_read_number(reader, map, "tightening_factor", SNUB_Q_NUMBER, 1, 4, &factor)) {
        if (snub_read_find(map, "scatter") != NULL)
            snub_read_wrong_key(reader, map, "tightening_factor", "scatter or tightening_factor, not both",
                                "is given together with a scatter");
        bolt->scatter = snub_preload_scatter(factor);
    }
    snub_read_number(reader, map, "torque", SNUB_Q_TORQUE, 0.1, 5000, &bolt->torque);
    snub_read_number(reader, map, "preload", SNUB_Q_FORCE, 1, 1e6, &bolt->preload);
    if (snub_read_find(map, "torque") != NULL && snub_read_find(map, "preload") != NULL)
        snub_read_wrong_key(reader, map, "preload", "torque or preload, not both", "is given together with a torque");
    snub_read_flag(reader, map, "reused", &bolt->reused);
}

static void read_head(snub_reader *reader, const snub_node *map, snub_bolt *bolt)
{
    const double d = snub_quantity_to_bare(SNUB_Q_LENGTH, bolt->diameter);
    bolt->hole = snub_clearance_hole(bolt->diameter);
    bolt->head = snub_head_diameter(bolt->diameter);
    if (!(d > 0))
        return;
    snub_read_number(reader, map, "hole", SNUB_Q_LENGTH, d, 2 * d, &bolt->hole);
    snub_read_number(reader, map, "pad", SNUB_Q_LENGTH, d, 20 * d, &bolt->pad);
    const bool own = snub_read_number(reader, map, "head", SNUB_Q_LENGTH, d, 5 * d, &bolt->head);
    snub_read_number(reader, map, "washer", SNUB_Q_LENGTH, d, 10 * d, &bolt->washer);
    if (bolt->washer > 0)
        bolt->washer_thickness = snub_washer_thickness(bolt->diameter);
    snub_read_number(reader, map, "washer_thickness", SNUB_Q_LENGTH, 0.1, 30, &bolt->washer_thickness);
    if (bolt->washer_thickness > 0 && bolt->washer <= 0)
        snub_read_wrong_key(reader, map, "washer", "the washer's outside diameter", "is missing");
    if (bolt->pad > 0 && bolt->pad <= bolt->hole)
        snub_read_wrong_key(reader, map, "pad", "more than the hole", "is not larger than the hole in it");
    if (bolt->washer > 0 && bolt->washer <= bolt->hole)
        snub_read_wrong_key(reader, map, "washer", "more than the hole", "falls through the hole");
    if (bolt->washer <= 0 && bolt->head <= bolt->hole)
        snub_read_wrong_key(reader, map, own ? "head" : "hole",
                            "a hole smaller than the face under the head, or a washer",
                            "leaves the head nothing to press on");
}

static void read_lengths(snub_reader *reader, const snub_node *map, double clamped, snub_bolt *bolt)
{
    bolt->grip_length = clamped > 0 ? clamped + bolt->washer_thickness : 0;
    snub_read_number(reader, map, "grip_length", SNUB_Q_LENGTH, 0.5, 500, &bolt->grip_length);
    snub_read_number(reader, map, "engagement", SNUB_Q_LENGTH, 0.5, 200, &bolt->engagement);
    if (snub_read_number(reader, map, "length", SNUB_Q_LENGTH, 2, 700, &bolt->length) && bolt->grip_length > 0 &&
        bolt->engagement <= 0) {
        bolt->engagement = bolt->length - bolt->grip_length;
        if (bolt->engagement <= 0)
            snub_read_wrong_key(reader, map, "length", "more than the grip length", "does not reach the thread");
    }
}

void snub_read_bolt(snub_reader *reader, const snub_node *node, bool placed, double clamped, snub_bolt *bolt)
{
    const snub_node *map = node->kind == SNUB_MAP ? snub_read_part(reader, "bolt", node) : node;
    bolt->place = node->place;
    if (!snub_read_keys(reader, map, snub_bolt_keys, NULL))
        return;
    if (placed && snub_read_need(reader, map, "at") != NULL)
        snub_read_point(reader, map, "at", SNUB_Q_LENGTH, -5000, 5000, bolt->at);
    if (!placed)
        snub_read_refused(reader, "at");
    if (!placed && snub_read_find(map, "at") != NULL)
        snub_read_wrong_key(reader, map, "at", "no position: it sits at its pulley", "does not belong here");
    read_thread(reader, map, bolt);
    read_class(reader, map, bolt);
    read_tightening(reader, map, bolt);
    read_head(reader, map, bolt);
    read_lengths(reader, map, clamped, bolt);
    snub_read_flag(reader, map, "locates", &bolt->locates);
    snub_read_supply(reader, map, SNUB_SUPPLY_NEW, false, &bolt->supply);
}
