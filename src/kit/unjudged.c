/* What a verdict leaves out because the file does not say it. docs/decisions, 095. */
#include "snub/unjudged.h"

#include "hardware_study.h"
#include "loads.h"
#include "shake.h"
#include "snub/locale.h"

static const snub_unjudged_info rows[SNUB_UNJUDGED_] = {
    [SNUB_UNJUDGED_SHAFT_SPEED] = {"shaft_speed", "max_speed", SNUB_MESSAGE("highest speed of {pulleys} ({key})"),
                                   false},
    [SNUB_UNJUDGED_ROTOR_SPEED] = {"rotor_speed", "blower.max_rotor_speed",
                                   SNUB_MESSAGE("highest rotor speed of {pulleys} ({key})"), false},
    [SNUB_UNJUDGED_HUB] = {"hub", "max_hub", SNUB_MESSAGE("belt pull that {pulleys} may bear ({key})"), false},
    [SNUB_UNJUDGED_NOSE] = {"nose", "max_torque", SNUB_MESSAGE("torque that the crank nose may carry ({key})"), false},
    [SNUB_UNJUDGED_BEARING] = {"bearing", "bearing", SNUB_MESSAGE("bearing of {pulleys} ({key})"), false},
    [SNUB_UNJUDGED_BOLTS] = {"bolts", "mount", SNUB_MESSAGE("bracket and bolts of {pulleys} ({key})"), false},
    [SNUB_UNJUDGED_STRIP] = {"strip", "bracket.thickness, bracket.width",
                             SNUB_MESSAGE("bending and strength of the bracket of {pulleys} ({key})"), false},
    [SNUB_UNJUDGED_PLANE] = {"plane", "plane", SNUB_MESSAGE("belt plane of {pulleys} ({key})"), false},
    [SNUB_UNJUDGED_OBSTACLES] = {"obstacles", "obstacles", SNUB_MESSAGE("what stands near the belt ({key})"), true},
    [SNUB_UNJUDGED_ENGINE] = {"engine", "engine.displacement, engine.cylinders",
                              SNUB_MESSAGE("swing by the uneven crank ({key})"), true},
    [SNUB_UNJUDGED_AIR] = {"air", "engine.volumetric_efficiency", SNUB_MESSAGE("swing by the uneven crank ({key})"),
                           true},
};
_Static_assert(SNUB_PULLEYS_MOST <= 64, "a row has 64 bits");

const snub_unjudged_info *snub_unjudged_describe(snub_unjudged what)
{
    return &rows[what];
}

/* ---- pulleys ----------------------------------------------------------------------------------------------------- */

static bool shaft_is_free(const snub_pulley *p)
{
    return snub_takes_power(p) && !p->has_blower && !(p->max_speed > 0.0);
}

static bool rotor_is_free(const snub_pulley *p)
{
    return p->has_blower && !(p->max_speed > 0.0) && !(p->blower.max_rotor_speed > 0.0);
}

static bool idles(const snub_pulley *p)
{
    return !p->is_crank && !snub_takes_power(p);
}

/* What stays on the engine is held there by its maker's bolts. */
static bool comes_with_bolts(const snub_pulley *p)
{
    return (idles(p) || p->has_blower) && p->supply.how != SNUB_SUPPLY_KEPT;
}

static void mark_pulley(const snub_drive *drive, int i, snub_unjudged_set *set)
{
    static const snub_pulley_hardware none = {.mount = -1};
    const snub_pulley *p = &drive->pulleys[i];
    const snub_pulley_hardware *h = drive->hardware != NULL ? &drive->hardware->pulleys[i] : &none;
    const bool left_out[SNUB_UNJUDGED_] = {
        [SNUB_UNJUDGED_SHAFT_SPEED] = shaft_is_free(p),
        [SNUB_UNJUDGED_ROTOR_SPEED] = rotor_is_free(p),
        [SNUB_UNJUDGED_HUB] = snub_hub_is_told(drive, i) && !(p->max_hub > 0.0),
        [SNUB_UNJUDGED_NOSE] = p->is_crank && !(p->max_torque > 0.0),
        [SNUB_UNJUDGED_BEARING] = idles(p) && !h->seat.given,
        [SNUB_UNJUDGED_BOLTS] = comes_with_bolts(p) && h->mount < 0 && !h->standoff.given,
        [SNUB_UNJUDGED_STRIP] = h->mount >= 0 && !snub_mount_bends(&drive->hardware->mounts[h->mount]),
        [SNUB_UNJUDGED_PLANE] = !p->is_crank && !h->placed,
    };
    for (int what = 0; what < SNUB_UNJUDGED_; what++)
        set->of[what] |= (uint64_t)left_out[what] << i;
}

/* ---- the whole drive --------------------------------------------------------------------------------------------- */

static void mark_drive(const snub_build *build, snub_unjudged_set *set)
{
    const snub_drive *drive = build->drive;
    const uint64_t whole = UINT64_C(1) << drive->crank;
    const snub_engine *engine = &drive->engine;
    if (drive->hardware == NULL || drive->hardware->obstacle_count == 0)
        set->of[SNUB_UNJUDGED_OBSTACLES] = whole;
    if (!build->loads.shake->known)
        set->of[engine->displacement > 0.0 && engine->cylinders > 0 ? SNUB_UNJUDGED_AIR : SNUB_UNJUDGED_ENGINE] = whole;
}

snub_unjudged_set snub_unjudged_of(const snub_build *build)
{
    snub_unjudged_set set = {0};
    if (!build->judged || !build->laid)
        return set;
    for (int i = 0; i < build->drive->pulley_count; i++)
        mark_pulley(build->drive, i, &set);
    mark_drive(build, &set);
    return set;
}
