/** Target readings of a fitting sheet: belt, pulleys, settings, what arm and pluck must show. */
#include "sheet_readings.h"

#include <math.h>
#include <string.h>

static const char *range(snub_pages *pages, const double value[3], double size, int decimals, const char *unit)
{
    const snub_shown low = snub_number_shown(pages->locale, value[0] / size, unit, decimals);
    const snub_shown high = snub_number_shown(pages->locale, value[2] / size, unit, decimals);
    return snub_pages_fill(pages, SAY("{nominal} ({low} to {high})"), "nominal",
                           snub_pages_number(pages, value[1] / size, decimals, unit), "low",
                           snub_pages_number(pages, low.value, low.decimals, ""), "high",
                           snub_pages_number(pages, high.value, high.decimals, ""), NULL);
}

static const char *span_name(snub_pages *pages, const snub_drive *drive, int span)
{
    return snub_pages_fill(pages, SAY("{a} to {b}"), "a", drive->pulleys[span].name, "b",
                           drive->pulleys[(span + 1) % drive->pulley_count].name, NULL);
}

enum { ROWS_MOST = 16 + SNUB_PULLEYS_MOST };

typedef struct listing {
    const char *cell[2 * ROWS_MOST];
    int rows;
} listing;

static void line(listing *list, const char *name, const char *value)
{
    if (list->rows == ROWS_MOST)
        return;
    list->cell[2 * list->rows] = name;
    list->cell[2 * list->rows + 1] = value;
    list->rows++;
}

/* Over balls first: what calipers find over the tips depends on how far these are rounded. */
static const char *pulley_size(snub_pages *pages, const snub_drive *drive, const snub_pulley *p)
{
    const char *size = snub_pages_length(pages, p->diameter, 1);
    if (p->side == SNUB_BACK || drive->belt.section == NULL || strcmp(drive->belt.section, "PK") != 0)
        return snub_pages_fill(pages, SAY("{size} effective diameter"), "size", size, NULL);
    const char *balls = snub_pages_length(pages, p->diameter + SNUB_BALLS_OVER_EFFECTIVE, 1);
    const char *tips =
        snub_pages_length(pages, p->diameter - snub_tips_under_effective(p->tip_radius, p->groove_angle), 1);
    const char *radius = snub_pages_length(pages, p->tip_radius, 2);
    const char *ball = snub_pages_length(pages, SNUB_BALL_DIAMETER, 1);
    if (p->tip_radius_given)
        return snub_pages_fill(pages,
                               SAY("{balls} over balls of {ball}; {tips} over the tips, which are rounded by {radius}; "
                                   "{size} effective diameter"),
                               "balls", balls, "ball", ball, "tips", tips, "radius", radius, "size", size, NULL);
    return snub_pages_fill(
        pages,
        SAY("{balls} over balls of {ball}; over the tips {tips} where they are rounded by {radius}, up to {most} where "
            "by "
            "{least}; {size} effective diameter"),
        "balls", balls, "ball", ball, "tips", tips, "radius", radius, "most",
        snub_pages_length(pages, p->diameter - snub_tips_under_effective(SNUB_LEAST_TIP_RADIUS, p->groove_angle), 1),
        "least", snub_pages_length(pages, SNUB_LEAST_TIP_RADIUS, 2), "size", size, NULL);
}

void snub_pages_readings(snub_pages *pages, const snub_steps *steps)
{
    const snub_build *build = pages->build->build;
    const snub_drive *drive = build->drive;
    const snub_expectation *expect = &steps->expect;
    listing list = {.rows = 0};
    line(&list, SAY("belt"),
         snub_pages_fill(pages, SAY("{designation}, {ribs} ribs, effective length {length}"), "designation",
                         build->designation, "ribs", snub_pages_number(pages, drive->belt.ribs, 0, ""), "length",
                         snub_pages_length(pages, build->length, 1), NULL));
    for (int i = 0; i < drive->pulley_count; i++)
        if (drive->pulleys[i].has_blower)
            line(&list, snub_pages_fill(pages, SAY("pulley on {name}"), "name", drive->pulleys[i].name, NULL),
                 pulley_size(pages, drive, &drive->pulleys[i]));
    for (int i = 0; i < drive->pulley_count; i++)
        if (drive->pulleys[i].sits == SNUB_ON_SLOT && isfinite(build->settings[i]))
            line(&list, snub_pages_fill(pages, SAY("slot setting of {name}"), "name", drive->pulleys[i].name, NULL),
                 snub_pages_fill(pages, SAY("{set} from the {end} of its slot to the middle of its bolt"), "set",
                                 snub_pages_length(pages, build->settings[i], 1), "end",
                                 SAY(snub_slot_zero_end(&drive->pulleys[i].slot)), NULL));
    if (expect->known && drive->arm >= 0)
        line(&list, SAY("arm angle, engine stopped"),
             snub_pages_fill(
                 pages, SAY("{wind} from free, of {travel}"), "wind", range(pages, expect->wind, SNUB_DEG, 1, "deg"),
                 "travel", snub_pages_number(pages, drive->pulleys[drive->arm].arm.travel / SNUB_DEG, 0, "deg"), NULL));
    if (expect->known && expect->span >= 0) {
        line(&list,
             snub_pages_fill(pages, SAY("pluck the span {span}"), "span", span_name(pages, drive, expect->span), NULL),
             range(pages, expect->frequency, 1, 1, "Hz"));
        line(&list, SAY("tension there, engine stopped"), range(pages, expect->tension, 1, 0, "N"));
    }
    snub_pages_column columns[2] = {{SAY("what"), "", 30, -1}, {SAY("value"), "", 70, -1}};
    snub_pages_heading(pages, SAY("Target readings"));
    pages->cell = 2.3;
    snub_pages_table(pages, columns, 2, list.cell, list.rows);
    pages->cell = 0;
    snub_pages_quiet(
        pages, drive->locked >= 0
                   ? SAY("In brackets: near enough, 3 % of the frequency either way (rule of thumb). Belt cold, "
                         "engine stopped.")
               : drive->arm >= 0
                   ? SAY("In brackets: from the longest to the shortest new belt in tolerance and over the friction "
                         "of the arm. Belt cold, engine stopped.")
                   : SAY("In brackets: from the longest to the shortest new belt in tolerance. Belt cold, engine "
                         "stopped."));
}
