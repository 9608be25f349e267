/** Hardware of a drive: planes, obstacles, mounts, bearings, shims, duty. */
#include <stdlib.h>
#include <string.h>

#include "hardware.h"

static const snub_key flange_keys[] = {
    {"front", NULL, SNUB_MEANS("Height of the flange over the rim on the side away from the engine.")},
    {"rear", NULL, SNUB_MEANS("Height of the flange over the rim on the engine's side.")},
    {"width", NULL, SNUB_MEANS("Thickness of a flange along the axis.")},
    {NULL, NULL, NULL},
};
static const snub_key disc_keys[] = {
    {"name", NULL, SNUB_MEANS("What the disc is called in findings and drawings.")},
    {"diameter", NULL, SNUB_MEANS("Outside diameter of the hub, damper or other disc that turns with the pulley.")},
    {"z", NULL,
     SNUB_MEANS("Where the disc begins and ends along the axis, from the belt's middle, plus towards the front.")},
    {NULL, NULL, NULL},
};
static const snub_key shim_keys[] = {
    {"sizes", NULL, SNUB_MEANS("Thicknesses of the shims you have on hand.")},
    {"most", NULL, SNUB_MEANS("Most shims that may go into one place.")},
    {NULL, NULL, NULL},
};

const snub_key snub_hardware_root_keys[] = {
    {"obstacles", snub_obstacle_keys,
     SNUB_MEANS("Parts in the way of pulleys and belt: castings, hoses, bolt heads, tools.")},
    {"mounts", snub_mount_keys, SNUB_MEANS("Brackets that carry pulleys, with their spacers and bolts.")},
    {"bearings", snub_bearing_keys,
     SNUB_MEANS("Bearings used in the drive, each a row as its maker's catalogue has it.")},
    {"shims", shim_keys, SNUB_MEANS("Shim thicknesses you have on hand, to bring the pulleys into line.")},
    {"duty", NULL,
     SNUB_MEANS("Share of running time at each engine speed, adding to 1. Bearing life is for this duty. From a log, "
                "or an estimate.")},
    {NULL, NULL, NULL},
};
const snub_key snub_hardware_pulley_keys[] = {
    {"mount", NULL,
     SNUB_MEANS("Name of the mount that carries this pulley; the pulley's stack starts where that mount's ends.")},
    {"stack", snub_stack_part_keys,
     SNUB_MEANS("Parts along the axis from engine or mount out to the belt's middle. Their lengths add up to the belt "
                "plane.")},
    {"tilt", NULL, SNUB_MEANS("How far the pulley leans as built, about the horizontal and the vertical axis.")},
    {"guides", NULL, SNUB_MEANS("Whether this pulley holds the belt sideways. A plain back-side idler does not.")},
    {"flanges", flange_keys, SNUB_MEANS("Rims at the sides of the pulley that keep the belt from running off.")},
    {"discs", disc_keys,
     SNUB_MEANS("Larger discs that turn with the pulley and must clear belt and neighbours: hubs, dampers, clutches.")},
    {"standoff", snub_standoff_keys,
     SNUB_MEANS("Tube or post with a bolt through it that holds the pulley off its seat.")},
    {"bearing", snub_seat_keys, SNUB_MEANS("Bearing that the pulley runs on, with its seat, grease and temperature.")},
    {"clamp", snub_clamp_keys,
     SNUB_MEANS("Bolt that holds the pulley's slider in its slot. Left out: the standoff's bolt does.")},
    {NULL, NULL, NULL},
};

enum {
    SHIM_SIZES_MOST = 16, /**< what the search can take */
    USUAL_PACK = 2,       /**< shims in one pack */
    PACK_MOST = 4,
};
/** Shares of a duty may miss 1 by rounding so far. */
#define SHARE_SLACK 0.005

/* ---- shims and duty --------------------------------------------------------------------------------------------- */

static int by_value(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static void read_shims(snub_reader *reader, const snub_node *root, snub_hardware *hardware)
{
    const snub_node *node = snub_read_find(root, "shims");
    const char *key = "shims";
    if (node == NULL)
        return;
    hardware->shims_place = node->place;
    hardware->shims_most = USUAL_PACK;
    if (node->kind == SNUB_MAP) {
        node = snub_read_map(reader, root, "shims", shim_keys);
        snub_enter(reader, "shims");
        snub_read_integer(reader, node, "most", 1, PACK_MOST, &hardware->shims_most);
        if (snub_read_need(reader, node, "sizes") != NULL)
            snub_read_numbers(reader, node, "sizes", SNUB_Q_LENGTH, 0.01, 50, &hardware->shim_count, &hardware->shims);
        snub_leave(reader);
    } else {
        snub_read_numbers(reader, root, key, SNUB_Q_LENGTH, 0.01, 50, &hardware->shim_count, &hardware->shims);
    }
    if (hardware->shim_count > SHIM_SIZES_MOST) {
        snub_read_wrong_key(reader, root, "shims", "at most 16 sizes", "has %d sizes", hardware->shim_count);
        hardware->shim_count = 0;
    }
    if (hardware->shim_count > 0)
        qsort(hardware->shims, (size_t)hardware->shim_count, sizeof *hardware->shims, by_value);
}

static void read_duty(snub_reader *reader, const snub_node *root, snub_hardware *hardware)
{
    static const snub_columns columns = {SNUB_Q_TURN_SPEED, SNUB_Q_NUMBER, 0, 30000, 0, 1};
    snub_curve table = {0};
    double sum = 0;
    if (snub_read_find(root, "duty") == NULL || !snub_read_table(reader, root, "duty", &columns, &table))
        return;
    for (int i = 0; i < table.n; i++)
        sum += table.y[i];
    if (fabs(sum - 1) > SHARE_SLACK || table.n > SNUB_DUTY_MOST) {
        snub_read_wrong_key(reader, root, "duty", "shares of time that add up to 1, in at most 100 rows",
                            "has %d rows whose shares add up to %g", table.n, sum);
        return;
    }
    hardware->duty = SNUB_NEW(reader->arena, snub_duty_point, table.n);
    if (hardware->duty == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    hardware->duty_count = table.n;
    for (int i = 0; i < table.n; i++)
        hardware->duty[i] = (snub_duty_point){table.x[i], table.y[i] / sum};
}

/* ---- pulleys ---------------------------------------------------------------------------------------------------- */

static void read_flanges(snub_reader *reader, const snub_node *map, snub_pulley_hardware *p)
{
    const snub_node *node = snub_read_map(reader, map, "flanges", flange_keys);
    if (node == NULL)
        return;
    p->given = true;
    p->flange_width = 1.5e-3;
    snub_enter(reader, "flanges");
    snub_read_number(reader, node, "front", SNUB_Q_LENGTH, 0, 50, &p->flange_front);
    snub_read_number(reader, node, "rear", SNUB_Q_LENGTH, 0, 50, &p->flange_rear);
    snub_read_number(reader, node, "width", SNUB_Q_LENGTH, 0.2, 50, &p->flange_width);
    snub_leave(reader);
}

static void read_discs(snub_reader *reader, const snub_node *map, snub_pulley_hardware *p)
{
    const snub_node *list = snub_read_list(reader, map, "discs", 1, SNUB_DISCS_MOST);
    if (list == NULL)
        return;
    p->given = true;
    p->discs = SNUB_NEW(reader->arena, snub_disc, list->count);
    if (p->discs == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    p->disc_count = list->count;
    snub_enter(reader, "discs");
    for (int i = 0; i < list->count; i++) {
        const snub_node *item = list->items[i];
        snub_disc *disc = &p->discs[i];
        double diameter = 0, range[2] = {0, 0};
        snub_enter_item(reader, i);
        disc->name = "";
        if (snub_read_keys(reader, item, disc_keys, NULL)) {
            if (snub_read_need(reader, item, "name") != NULL)
                snub_read_text(reader, item, "name", 60, &disc->name);
            if (snub_read_need(reader, item, "diameter") != NULL)
                snub_read_number(reader, item, "diameter", SNUB_Q_LENGTH, 1, 1000, &diameter);
            if (snub_read_need(reader, item, "z") != NULL)
                snub_read_range(reader, item, "z", range);
        }
        disc->radius = diameter / 2;
        disc->low = range[0];
        disc->high = range[1];
        snub_leave(reader);
    }
    snub_leave(reader);
}

static void read_mount_name(snub_reader *reader, const snub_node *map, const snub_hardware *hardware,
                            snub_pulley_hardware *p)
{
    const char *wanted = NULL, *names[SNUB_MOUNTS_MOST];
    if (!snub_read_text(reader, map, "mount", 60, &wanted))
        return;
    p->given = true;
    for (int i = 0; i < hardware->mount_count; i++) {
        names[i] = hardware->mounts[i].name;
        if (strcmp(names[i], wanted) == 0)
            p->mount = i;
    }
    if (p->mount >= 0)
        return;
    const char *near = hardware->mount_count > 0 ? snub_nearest(wanted, names, hardware->mount_count) : NULL;
    snub_read_wrong_key(reader, map, "mount", near != NULL ? NULL : "the name of a mount under mounts",
                        "is not a mount of this file%s", snub_read_guess(reader, near));
}

/** The belt's plane: where the stack ends. */
static void place_plane(snub_reader *reader, const snub_node *map, const snub_hardware *hardware,
                        const snub_pulley_hardware *p, snub_pulley *pulley)
{
    if (p->stack.count == 0)
        return;
    if (snub_read_find(map, "plane") != NULL)
        snub_read_wrong_key(reader, map, "plane", "plane or stack, not both", "is given together with a stack");
    double from = 0;
    if (p->mount >= 0)
        from = snub_stack_end(&hardware->mounts[p->mount].stack, 0);
    pulley->plane = snub_stack_end(&p->stack, from);
}

static void read_pulley(snub_reader *reader, snub_pulley *pulley, const snub_hardware *hardware,
                        snub_pulley_hardware *p)
{
    const snub_node *map = pulley->node;
    *p = (snub_pulley_hardware){.mount = -1, .guides = pulley->side == SNUB_RIB};
    if (map->kind != SNUB_MAP)
        return;
    snub_enter(reader, pulley->name);
    read_mount_name(reader, map, hardware, p);
    snub_read_stack(reader, map, &p->stack);
    place_plane(reader, map, hardware, p, pulley);
    p->placed = p->stack.count > 0 || snub_read_find(map, "plane") != NULL;
    p->given = p->given || p->placed;
    p->given = snub_read_point(reader, map, "tilt", SNUB_Q_ANGLE, -5, 5, p->tilt) || p->given;
    read_flanges(reader, map, p);
    p->guides = p->guides || (p->flange_front > 0 && p->flange_rear > 0);
    p->given = snub_read_flag(reader, map, "guides", &p->guides) || p->given;
    if (pulley->side == SNUB_RIB && !p->guides)
        snub_read_wrong_key(reader, map, "guides", "true", "cannot be false: grooves guide the belt");
    read_discs(reader, map, p);
    snub_read_standoff(reader, map, p->mount >= 0 ? &hardware->mounts[p->mount] : NULL, &p->standoff);
    snub_read_clamp(reader, map, pulley->sits == SNUB_ON_SLOT, &p->clamp);
    snub_read_seat(reader, map, hardware, &p->seat);
    p->given = p->given || p->standoff.given || p->clamp.given || p->seat.given;
    snub_leave(reader);
}

snub_status snub_read_hardware(snub_reader *reader, const snub_node *root, snub_drive *drive)
{
    drive->hardware = NULL;
    snub_hardware *hardware = SNUB_NEW(reader->arena, snub_hardware, 1);
    if (hardware == NULL)
        return SNUB_NO_MEMORY;
    hardware->pulleys =
        SNUB_NEW(reader->arena, snub_pulley_hardware, drive->pulley_count > 0 ? drive->pulley_count : 1);
    if (hardware->pulleys == NULL)
        return SNUB_NO_MEMORY;
    snub_read_bearings(reader, root, hardware);
    snub_read_mounts(reader, root, hardware);
    read_shims(reader, root, hardware);
    read_duty(reader, root, hardware);
    bool any = hardware->bearing_count + hardware->mount_count + hardware->shim_count + hardware->duty_count > 0;
    snub_enter(reader, "pulleys");
    for (int i = 0; i < drive->pulley_count; i++) {
        read_pulley(reader, &drive->pulleys[i], hardware, &hardware->pulleys[i]);
        any = any || hardware->pulleys[i].given;
    }
    snub_leave(reader);
    snub_read_obstacles(reader, root, drive, hardware); /* last: planes are known by now */
    any = any || hardware->obstacle_count + hardware->removed_count > 0;
    drive->hardware = any ? hardware : NULL;
    return reader->no_memory ? SNUB_NO_MEMORY : SNUB_OK;
}
