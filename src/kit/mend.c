/* Values that findings propose. docs/decisions/052-state-at-a-glance.md. */
#include "mend.h"

#include "snub/locale.h"

/* What is rounded down to the most that a bolt takes is not over it. */
#define SAME_TORQUE 1e-9

enum { PRELOAD_PLACES = 1, TORQUE_FINE = 2 };

int snub_torque_places(double torque)
{
    return torque >= 10.0 ? 0 : torque >= 1.0 ? 1 : TORQUE_FINE;
}

void snub_mend_number(snub_finding *finding, const snub_drive *drive, const char *path, double si, snub_unit unit,
                      int decimals, snub_rounding rounding, snub_arena *arena)
{
    const snub_locale locale = {.inches = drive->inches};
    char text[SNUB_VALUE_TEXT];
    const char *value = snub_format(
        arena, "%s",
        snub_value_string(&locale, snub_value_rounded(&locale, si, unit, decimals, rounding), unit, decimals, text));
    if (path != NULL && value != NULL)
        finding->mend = (snub_mend){.path = path, .count = 1, .value = {value, NULL}};
}

/* NULL: memory is out. */
static const char *path_of(const snub_screwed *s, const char *key)
{
    snub_arena *arena = s->study->arena;
    if (s->mount != NULL)
        return snub_format(arena, "mounts.%s.bolts.%s.%s", s->mount->name, s->bolt->name, key);
    const snub_pulley_hardware *h = &s->study->hardware->pulleys[s->pulley];
    return snub_format(arena, "%s.%s.bolt.%s", s->study->drive->pulleys[s->pulley].name,
                       s->bolt == &h->clamp.bolt ? "clamp" : "standoff", key);
}

bool snub_mend_bolt(snub_finding *finding, const snub_screwed *s, double factor)
{
    const snub_tightness *t = s->tightness;
    const bool drawn = s->bolt->preload > 0.0;
    const snub_unit unit = drawn ? SNUB_UNIT_KN : SNUB_UNIT_N_M;
    const double now = drawn ? t->preload : t->torque;
    const int places = drawn ? PRELOAD_PLACES : snub_torque_places(now * factor);
    const snub_rounding rounding = factor > 1.0 ? SNUB_ROUND_UP : SNUB_ROUND_DOWN;
    const snub_locale locale = {.inches = s->study->drive->inches};
    const double value = snub_value_rounded(&locale, now * factor, unit, places, rounding);
    if (!(value > 0.0) || value / now * t->torque > snub_torque_under(s->bolt, t, s->pull) * (1.0 + SAME_TORQUE))
        return false;
    snub_mend_number(finding, s->study->drive, path_of(s, drawn ? "preload" : "torque"), now * factor, unit, places,
                     rounding, s->study->arena);
    return finding->mend.path != NULL;
}

const char *snub_more_preload(bool some)
{
    return some ? SNUB_MESSAGE("at least {wanted} of preload") : SNUB_MESSAGE("more preload");
}

void snub_mend_slip(snub_finding *finding, const snub_screwed *s, double use)
{
    double factor = use / SNUB_MARGINAL_SLIP;
    bool some = snub_mend_bolt(finding, s, factor);
    if (!some && use > 1.0) {
        factor = use;
        some = snub_mend_bolt(finding, s, factor);
    }
    snub_finding_words(finding, "more", snub_more_preload(some));
    if (some)
        snub_finding_least(finding, "wanted", s->tightness->preload * factor, SNUB_UNIT_KN, PRELOAD_PLACES);
}
