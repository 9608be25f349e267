#include "fixed_tensioner.h"

#include <string.h>

#include "finding.h"
#include "fit.h"
#include "loads.h"

bool snub_lock_finding(const snub_drive *drive, const snub_loads *loads, snub_shown_belt belt, double lack,
                       snub_finding *f)
{
    const snub_pulley *pulley = &drive->pulleys[drive->locked];
    *f = snub_finding_of(drive, isnan(lack)  ? SNUB_SAYS_LOCK_LOST
                                : lack > 0.0 ? SNUB_SAYS_LOCK_TOO_SHORT
                                             : SNUB_SAYS_LOCK_TOO_LONG);
    f->pulley = pulley->name;
    f->line = pulley->place.line;
    f->value = fabs(lack);
    f->at.moment = SNUB_ON_FITTING;
    f->kind = SNUB_OTHER_WORDS;
    f->other = snub_shown_belt_text(belt);
    snub_finding_words(f, "belt", f->other);
    snub_finding_number(f, "tension", pulley->fixed_tension, SNUB_UNIT_N, 0);
    return snub_finding_fit(drive, loads, f);
}

double snub_lock_belt(const snub_drive *drive, double length, double stretch)
{
    return snub_belt_pitch_length(&drive->belt, length, snub_stretch_when_set(drive, stretch), false);
}

snub_status snub_lock_nominal(const snub_build *build, double *settings, snub_error *error)
{
    const snub_drive *drive = build->drive;
    double stretch;
    const double length = snub_belt_shown(&drive->belt, build->length, SNUB_SHOW_NOMINAL, &stretch);
    memcpy(settings, build->settings, sizeof build->settings);
    return snub_lock_set(drive, snub_lock_belt(drive, length, stretch), settings, NULL, error);
}

snub_status snub_build_rig(const snub_build *build, bool warm, snub_rig *rig, snub_error *error)
{
    const snub_drive *drive = build->drive;
    if (drive->locked >= 0 && isnan(build->settings[drive->locked])) { /* asked once more, for the reason */
        double settings[SNUB_PULLEYS_MOST];
        const snub_status status = snub_lock_nominal(build, settings, error);
        if (status != SNUB_OK)
            return status;
    }
    return (warm ? snub_rig_prepare_warm : snub_rig_prepare)(drive, build->settings, rig, error);
}
