/* Why the torques of a drive are not known. */
#include "no_loads.h"

#include "finding.h"
#include "snub/demand.h"
#include "snub/layout.h"

snub_finding snub_no_loads_finding(const snub_drive *drive, const snub_error *why, snub_arena *arena)
{
    const int pulley = snub_drive_pulley(drive, why->key);
    const snub_blower *blower =
        pulley >= 0 && drive->pulleys[pulley].has_blower ? &drive->pulleys[pulley].blower : NULL;
    snub_finding f;
    if (why->code == SNUB_NO_EQUILIBRIUM && blower != NULL && blower->swept > 0.0 && blower->map_lines == 0) {
        f = snub_finding_of(drive, SNUB_SAYS_BLOWER_TOO_LARGE);
        f.pulley = drive->pulleys[pulley].name;
        f.value = blower->swept * snub_speed_ratio(drive, pulley) /
                  (drive->engine.displacement / (drive->engine.strokes == 2 ? 1.0 : 2.0));
        snub_finding_number(&f, "most", SNUB_RATIO_MOST, SNUB_UNIT_NONE, 0);
        return f;
    }
    f = snub_finding_of(drive, SNUB_SAYS_NO_LOADS);
    f.pulley = drive->pulleys[pulley >= 0 ? pulley : drive->crank].name;
    snub_finding_words(&f, "reason", snub_copy_text(arena, why->message)); /* translated where it has no numbers */
    return f;
}
