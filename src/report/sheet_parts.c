/** Parts list of one build. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "pages.h"

enum { COLUMNS = 5 };

typedef struct part_list {
    snub_pages *pages;
    const char **cell;
    int rows, room;
} part_list;

static void add(part_list *list, const char *part, const char *size, int quantity, const char *note)
{
    char number[16];
    if (list->rows == list->room) {
        list->pages->failed = true;
        return;
    }
    const char **cell = list->cell + (size_t)COLUMNS * (size_t)list->rows++;
    snprintf(number, sizeof number, "%d", list->rows);
    cell[0] = snub_pages_fill(list->pages, "{n}", "n", number, NULL);
    snprintf(number, sizeof number, "%d", quantity);
    cell[1] = snub_pages_fill(list->pages, "{n}", "n", number, NULL);
    cell[2] = part;
    cell[3] = size;
    cell[4] = note;
}

static void belt(part_list *list, const snub_sheet_build *build)
{
    snub_pages *pages = list->pages;
    const snub_belt *b = &build->build->drive->belt;
    add(list, snub_pages_fill(pages, SAY("belt {designation}"), "designation", build->build->designation, NULL),
        snub_pages_fill(pages, SAY("{ribs} ribs, effective length {length}"), "ribs",
                        snub_pages_number(pages, b->ribs, 0, ""), "length",
                        snub_pages_length(pages, build->build->length, 1), NULL),
        1,
        build->build->part != NULL    ? build->build->part
        : build->build->length_chosen ? SAY("chosen from the stock")
                                      : SAY("as the drive file says"));
}

static void pulleys(part_list *list, const snub_sheet_build *build)
{
    snub_pages *pages = list->pages;
    for (int i = 0; i < build->build->drive->pulley_count; i++) {
        const snub_pulley *p = &build->build->drive->pulleys[i];
        const char *side = p->side == SNUB_BACK ? SAY("plain, for the belt's back") : SAY("ribbed");
        const char *from = p->node != NULL && p->node->from_part != NULL ? p->node->from_part : "";
        add(list, snub_pages_fill(pages, SAY("pulley {name}"), "name", p->name, NULL),
            snub_pages_fill(pages, "{size}, {side}", "size", snub_pages_length(pages, p->diameter, 1), "side", side,
                            NULL),
            1, p->is_crank ? SAY("on the engine") : from);
    }
}

static void washer(part_list *list, const snub_bolt *b, const char *owner)
{
    snub_pages *pages = list->pages;
    if (b->washer > 0.0)
        add(list,
            snub_pages_fill(pages, SAY("washer under {name} of {owner}"), "name", b->name != NULL ? b->name : "",
                            "owner", owner, NULL),
            snub_pages_fill(pages, SAY("{outside} outside, {thickness} thick"), "outside",
                            snub_pages_length(pages, b->washer, 1), "thickness",
                            snub_pages_length(pages, b->washer_thickness, 1), NULL),
            1, SAY("hardened"));
}

static void bolt(part_list *list, const snub_bolt *b, const char *owner)
{
    snub_pages *pages = list->pages;
    add(list,
        snub_pages_fill(pages, SAY("bolt {name} of {owner}"), "name", b->name != NULL ? b->name : "", "owner", owner,
                        NULL),
        snub_pages_fill(pages, SAY("{thread}, class {class}"), "thread", b->thread != NULL ? b->thread : "\xe2\x80\x93",
                        "class", b->class_ != NULL ? b->class_ : "\xe2\x80\x93", NULL),
        1,
        b->length > 0
            ? snub_pages_fill(pages, SAY("{length} long"), "length", snub_pages_length(pages, b->length, 1), NULL)
        : b->grip_length > 0
            ? snub_pages_fill(pages, SAY("grip {length}"), "length", snub_pages_length(pages, b->grip_length, 1), NULL)
            : "");
    washer(list, b, owner);
}

static const char *seal_words(const snub_pages *pages, const char *seal)
{
    static const struct seal {
        const char *name, *words;
    } seals[] = {{"open", SNUB_MESSAGE("open, no seals")},
                 {"shield", SNUB_MESSAGE("shields")},
                 {"low-contact", SNUB_MESSAGE("low-contact seals")},
                 {"contact", SNUB_MESSAGE("contact seals")}};
    for (size_t i = 0; seal != NULL && i < sizeof seals / sizeof seals[0]; i++) {
        if (strcmp(seals[i].name, seal) == 0)
            return snub_say(pages->locale, seals[i].words);
    }
    return SAY("seal not given");
}

/* Number, seal, rows and clearance: what a counter needs, in no maker's letters. */
static void bearing(part_list *list, const snub_bearing *b, const snub_bearing_seat *seat, const char *owner)
{
    snub_pages *pages = list->pages;
    const char *size = snub_pages_fill(
        pages, "{d} x {D} x {B} mm, {seal}, {clearance}", "d", snub_pages_number(pages, b->bore * 1000, 0, ""), "D",
        snub_pages_number(pages, b->outside * 1000, 0, ""), "B", snub_pages_number(pages, b->width * 1000, 0, ""),
        "seal", seal_words(pages, b->seal), "clearance",
        snub_pages_fill(pages, SAY("clearance {group}"), "group", seat->clearance, NULL), NULL);
    if (b->rows > 1)
        size = snub_pages_fill(pages, "{size}, {rows}", "size", size, "rows", SAY("two rows"), NULL);
    add(list, snub_pages_fill(pages, SAY("bearing {designation}"), "designation", b->designation, NULL), size,
        seat->count, snub_pages_fill(pages, SAY("in {name}"), "name", owner, NULL));
}

static void hardware(part_list *list, const snub_sheet_build *build)
{
    snub_pages *pages = list->pages;
    const snub_drive *drive = build->build->drive;
    const snub_hardware *h = drive->hardware;
    if (h == NULL)
        return;
    for (int m = 0; m < h->mount_count; m++) {
        const snub_mount *mount = &h->mounts[m];
        add(list, snub_pages_fill(pages, SAY("bracket {name}"), "name", mount->name, NULL),
            mount->thickness > 0 ? snub_pages_length(pages, mount->thickness, 1) : "", 1,
            mount->bracket.name != NULL ? mount->bracket.name : "");
        for (int i = 0; i < mount->bolt_count; i++)
            bolt(list, &mount->bolts[i], mount->name);
    }
    for (int i = 0; i < drive->pulley_count; i++) {
        const snub_pulley_hardware *p = &h->pulleys[i];
        if (p->standoff.given) {
            add(list, snub_pages_fill(pages, SAY("standoff of {name}"), "name", drive->pulleys[i].name, NULL),
                snub_pages_fill(pages, SAY("{outside} outside, {inside} inside, {length} long"), "outside",
                                snub_pages_length(pages, p->standoff.outside, 1), "inside",
                                snub_pages_length(pages, p->standoff.inside, 1), "length",
                                snub_pages_length(pages, p->standoff.length, 1), NULL),
                1, p->standoff.material.name != NULL ? p->standoff.material.name : "");
            bolt(list, &p->standoff.bolt, drive->pulleys[i].name);
        }
        if (p->clamp.given)
            bolt(list, &p->clamp.bolt, drive->pulleys[i].name);
        if (p->seat.given && p->seat.bearing >= 0 && p->seat.bearing < h->bearing_count)
            bearing(list, &h->bearings[p->seat.bearing], &p->seat, drive->pulleys[i].name);
    }
}

static void shims(part_list *list, const snub_sheet_build *build)
{
    snub_pages *pages = list->pages;
    const snub_hardware_report *report = build->build->report;
    for (int s = 0; report != NULL && report->shims.asked && s < build->build->drive->hardware->shim_count; s++) {
        int count = 0;
        for (int k = 0; k < report->shims.places; k++)
            count += report->shims.answer.count[k][s];
        if (count > 0)
            add(list, SAY("shim"), snub_pages_length(pages, build->build->drive->hardware->shims[s], 2), count,
                SAY("places on the fitting sheet"));
    }
    /* those of the file that stay */
    for (int k = 0; report != NULL && report->shims.asked && !report->shims.wanted && k < report->shims.places; k++) {
        if (report->shims.answer.pack[k] > 0.0)
            add(list, SAY("shim"), snub_pages_length(pages, report->shims.answer.pack[k], 2), 1,
                SAY("places on the fitting sheet"));
    }
}

static int most_rows(const snub_drive *drive)
{
    int rows = 4 + 7 * drive->pulley_count;
    for (int m = 0; drive->hardware != NULL && m < drive->hardware->mount_count; m++)
        rows += 1 + 2 * drive->hardware->mounts[m].bolt_count;
    return rows + (drive->hardware != NULL ? drive->hardware->shim_count + SNUB_SHIM_PLACES_MOST : 0);
}

static snub_status print(snub_pages *pages, const void *context, snub_error *error)
{
    const snub_sheet_build *build = pages->build;
    (void)context;
    part_list list = {.pages = pages, .room = most_rows(build->build->drive)};
    list.cell = SNUB_NEW(pages->arena, const char *, COLUMNS *list.room);
    if (list.cell == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while laying out the sheet");
    if (build->build->settled)
        belt(&list, build);
    pulleys(&list, build);
    hardware(&list, build);
    shims(&list, build);
    snub_pages_column columns[COLUMNS] = {{SAY("no."), "", 6, 1},
                                          {SAY("quantity"), "", 8, 1},
                                          {SAY("part"), "", 30, -1},
                                          {SAY("size"), pages->locale->inches ? "in (mm)" : "mm (in)", 40, -1},
                                          {SAY("note"), "", 24, -1}};
    snub_pages_table(pages, columns, COLUMNS, list.cell, list.rows);
    snub_pages_quiet(pages, SAY("Every part that the drive file names, and no other. Belts once "
                                "run are not parts of a new build."));
    snub_pages_cautions(pages, SNUB_CAUTION_BIT(SNUB_CAUTION_STRETCHED));
    snub_pages_more_cautions(pages);
    return SNUB_OK;
}

snub_status snub_sheet_parts(const snub_sheet *sheet, const snub_sheet_build *build, snub_text *out, snub_error *error)
{
    snub_pages_job job = {.kind = SNUB_MESSAGE("Parts list"), .build = build, .print = print};
    return snub_pages_print(sheet, &job, out, error);
}
