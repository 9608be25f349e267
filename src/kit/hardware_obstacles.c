/* Obstacles against the drive where it runs, at rest, and with the arm at the ends of its travel. */
#include "hardware_study.h"

#include <string.h>

/* From so many ribs on an idler is called wide; common practice, no source. */
enum { WIDE_RIBS = 8 };
/* Twice the 1/8 in that is usual: past that it is another matter, m. */
#define USUAL_RELIEF_MOST (0.25 * 0.0254)

static void keep_worst(snub_hardware_report *report, const snub_conflict *c)
{
    for (int k = 0; k < report->conflict_count; k++) {
        snub_conflict *old = &report->conflicts[k];
        if (old->obstacle != c->obstacle || old->piece != c->piece || old->index != c->index || old->disc != c->disc)
            continue;
        if (c->needed - c->gap > old->needed - old->gap)
            *old = *c;
        return;
    }
    if (report->conflict_count < SNUB_CONFLICTS_MOST) /* past that the verdict stands as it is */
        report->conflicts[report->conflict_count++] = *c;
}

static void look_at(snub_hardware_study *study, const snub_path *path)
{
    snub_conflict found[SNUB_CONFLICTS_MOST];
    const snub_drive *drive = study->drive;
    int count = 0;
    snub_obstacle_conflicts(drive, path, drive->limits[SNUB_LIMIT_GAP], drive->limits[SNUB_LIMIT_FLAP], found,
                            SNUB_CONFLICTS_MOST, &count);
    for (int k = 0; k < count; k++)
        keep_worst(study->report, &found[k]);
}

static void tell(snub_hardware_study *study, const snub_conflict *c)
{
    const snub_drive *drive = study->drive;
    const snub_pulley *pulley = &drive->pulleys[c->index];
    const char *text = snub_conflict_text(drive, c, study->arena);
    const bool wide = pulley->side == SNUB_BACK && drive->belt.ribs >= WIDE_RIBS && c->piece != SNUB_PIECE_SPAN &&
                      c->needed - c->gap < USUAL_RELIEF_MOST;
    const char *span = c->piece == SNUB_PIECE_SPAN
                           ? snub_format(study->arena, "%s to %s, %s", pulley->name,
                                         drive->pulleys[(c->index + 1) % drive->pulley_count].name, c->obstacle->name)
                           : c->obstacle->name;
    snub_hardware_find(
        study, c->gap < 0.5 * c->needed ? SNUB_FAIL : SNUB_WATCH, "obstacle", pulley->name, span, c->gap * 1000,
        c->needed * 1000, "mm", !isnan(c->obstacle->gap) ? "the file" : snub_limit_describe(SNUB_LIMIT_GAP)->source,
        "%s.%s", text != NULL ? text : "",
        wide ? " A wide idler asks for about 1/8 in (3.2 mm) of relief at a boss: common practice, no source." : "");
}

void snub_hardware_obstacles(snub_hardware_study *study)
{
    const snub_drive *drive = study->drive;
    const snub_check *check = study->report->check;
    snub_path path;
    look_at(study, &check->balance.path);
    look_at(study, &check->rest.path);
    if (drive->arm >= 0) {
        const double winds[2] = {0.0, drive->pulleys[drive->arm].arm.travel};
        for (int k = 0; k < 2; k++) {
            if (snub_drive_lay(drive, winds[k], check->settings, &path, NULL) == SNUB_OK)
                look_at(study, &path);
        }
    }
    for (int k = 0; k < study->report->conflict_count; k++)
        tell(study, &study->report->conflicts[k]);
}
