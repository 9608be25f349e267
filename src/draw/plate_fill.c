/* A mount's bracket as a plate to be cut. */
#include <math.h>
#include <string.h>

#include "snub/draw_drive.h"
#include "view.h"
#include "view_fill.h"

/* What a reamer takes off a drilled hole, on the diameter, mm: common practice for 6 to 12 mm, no published source. */
#define REAMED_OFF 0.3

static snub_status no_memory(snub_error *error)
{
    return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while drawing");
}

static snub_status find_mount(const snub_drive *drive, const char *name, const snub_mount **found, snub_error *error)
{
    const snub_hardware *hardware = drive->hardware;
    const int count = hardware != NULL ? hardware->mount_count : 0;
    const char *names[64];
    for (int i = 0; i < count && name != NULL; i++) {
        if (strcmp(hardware->mounts[i].name, name) == 0) {
            *found = &hardware->mounts[i];
            return SNUB_OK;
        }
        if (i < 64)
            names[i] = hardware->mounts[i].name;
    }
    if (count == 0)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "mounts", "the file has no mount, so there is no plate to draw");
    if (name == NULL && count > 1)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "mounts", "there are %d mounts; name one with --mount", count);
    const char *near = name != NULL ? snub_nearest(name, names, count < 64 ? count : 64) : NULL;
    if (name != NULL)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "mounts", "there is no mount \"%.60s\"%s%s%s", name,
                         near != NULL ? "; did you mean \"" : "", near != NULL ? near : "", near != NULL ? "\"?" : "");
    *found = &hardware->mounts[0];
    return SNUB_OK;
}

static const char *size_words(const snub_locale *locale, double mm, snub_arena *arena)
{
    char text[48];
    return snub_copy_text(arena, snub_draw_mm(locale, mm, 1, text));
}

static void clear_hole(const snub_locale *locale, double mm, snub_arena *arena, snub_plate_hole *hole)
{
    hole->diameter = mm;
    hole->work = size_words(locale, mm, arena);
}

/* What is cut before the hole gets its size. */
static void cut_first(const snub_locale *locale, double mm, snub_arena *arena, snub_plate_hole *hole)
{
    const char *size = size_words(locale, mm, arena);
    hole->diameter = mm;
    hole->first = size != NULL ? snub_format(arena, "%s %s", snub_say(locale, SNUB_MESSAGE("cut")), size) : NULL;
    if (hole->first == NULL)
        hole->work = NULL;
}

/* A hole that places the bracket is reamed to the shank; the drill leaves it the reamer's share. */
static void reamed_hole(const snub_bolt *bolt, const snub_locale *locale, snub_arena *arena, snub_plate_hole *hole)
{
    const snub_locale metric = {.decimal = locale != NULL ? locale->decimal : '.'};
    const bool of_metric = bolt->thread != NULL && bolt->thread[0] == 'M'; /* its reamer is sold by the millimetre */
    const char *shank = size_words(of_metric ? &metric : locale, bolt->diameter / SNUB_MM, arena);
    const char *other =
        of_metric && snub_draw_inches(locale) ? size_words(locale, bolt->diameter / SNUB_MM, arena) : "";
    const char *ream = snub_say(locale, SNUB_MESSAGE("ream"));
    hole->work = shank == NULL || other == NULL ? NULL
                 : other[0] != '\0'             ? snub_format(arena, "%s %s H7 (%s)", ream, shank, other)
                                                : snub_format(arena, "%s %s H7", ream, shank);
    cut_first(locale, bolt->diameter / SNUB_MM - REAMED_OFF, arena, hole);
}

static void tapped_hole(const snub_bolt *bolt, const snub_locale *locale, snub_arena *arena, snub_plate_hole *hole)
{
    hole->work = snub_format(arena, "%s %s", snub_say(locale, SNUB_MESSAGE("tap")), bolt->thread);
    cut_first(locale, snub_tapping_hole(bolt->diameter, bolt->pitch) / SNUB_MM, arena, hole);
}

static bool pulley_hole(const snub_mount *mount, const snub_pulley *pulley, const snub_standoff *standoff,
                        const snub_locale *locale, snub_arena *arena, snub_plate_hole *hole)
{
    *hole = (snub_plate_hole){.name = pulley->name, .at = {pulley->at[0] / SNUB_MM, pulley->at[1] / SNUB_MM}};
    if (!standoff->given)
        return true;
    if (snub_tapped_in_plate(mount, standoff))
        tapped_hole(&standoff->bolt, locale, arena, hole);
    else
        clear_hole(locale, standoff->bolt.hole / SNUB_MM, arena, hole);
    return hole->work != NULL;
}

static snub_plate_slot slot_of(const snub_mount *mount, const snub_drive *drive, int pulley)
{
    return (snub_plate_slot){.name = drive->pulleys[pulley].name,
                             .width = snub_slot_width(mount, &drive->hardware->pulleys[pulley]) / SNUB_MM,
                             .slot = snub_view_slot_of(drive, pulley, NAN)};
}

static bool bolt_holes(const snub_mount *mount, const snub_locale *locale, snub_arena *arena, snub_plate_hole *hole)
{
    for (int i = 0; i < mount->bolt_count; i++) {
        const snub_bolt *bolt = &mount->bolts[i];
        hole[i] = (snub_plate_hole){.name = bolt->name, .at = {bolt->at[0] / SNUB_MM, bolt->at[1] / SNUB_MM}};
        if (bolt->locates)
            reamed_hole(bolt, locale, arena, &hole[i]);
        else
            clear_hole(locale, bolt->hole / SNUB_MM, arena, &hole[i]);
        if (hole[i].work == NULL)
            return false;
    }
    return true;
}

static snub_status fill_outline(const snub_mount *mount, snub_arena *arena, snub_plate *plate, snub_error *error)
{
    double(*corner)[2] = snub_alloc(arena, (size_t)mount->corners + 1, sizeof *corner);
    if (corner == NULL)
        return no_memory(error);
    for (int i = 0; i < mount->corners; i++) {
        corner[i][0] = mount->corner[i][0] / SNUB_MM;
        corner[i][1] = mount->corner[i][1] / SNUB_MM;
    }
    plate->corners = mount->corners;
    plate->corner = (const double(*)[2])corner;
    plate->edge = mount->edge / SNUB_MM;
    return SNUB_OK;
}

snub_status snub_plate_of_mount(const snub_drive *drive, const char *name, const snub_locale *locale, snub_arena *arena,
                                snub_plate *plate, snub_error *error)
{
    const snub_mount *mount = NULL;
    const snub_status status = find_mount(drive, name, &mount, error);
    if (status != SNUB_OK)
        return status;
    snub_plate_hole *hole = SNUB_NEW(arena, snub_plate_hole, mount->bolt_count + drive->pulley_count);
    snub_plate_slot *slot = SNUB_NEW(arena, snub_plate_slot, drive->pulley_count);
    if (hole == NULL || slot == NULL || !bolt_holes(mount, locale, arena, hole))
        return no_memory(error);
    *plate = (snub_plate){.name = mount->name,
                          .material = mount->plated ? mount->bracket.name : NULL,
                          .thickness = mount->thickness / SNUB_MM,
                          .hole_count = mount->bolt_count,
                          .hole = hole,
                          .slot = slot};
    for (int i = 0; i < drive->pulley_count; i++) {
        const snub_pulley *pulley = &drive->pulleys[i];
        const snub_pulley_hardware *h = &drive->hardware->pulleys[i];
        if (h->mount < 0 || &drive->hardware->mounts[h->mount] != mount || pulley->sits == SNUB_ON_ARM)
            continue;
        if (pulley->sits == SNUB_ON_SLOT)
            slot[plate->slot_count++] = slot_of(mount, drive, i);
        else if (!pulley_hole(mount, pulley, &h->standoff, locale, arena, &hole[plate->hole_count++]))
            return no_memory(error);
    }
    return fill_outline(mount, arena, plate, error);
}
