/* Numbers of a check worth comparing. */
#include "snub/hardware.h"

#define DEG (SNUB_PI / 180.0)
#define RPM (SNUB_PI / 30.0)

static void add(snub_facts *facts, snub_arena *arena, const char *subject, const char *what, double value,
                const char *unit, int decimals, int better)
{
    const snub_fact fact = {subject, what, value, unit, decimals, better};
    snub_facts_add(facts, arena, &fact);
}

static void pulley_facts(const snub_check *check, int i, snub_facts *facts, snub_arena *arena)
{
    const snub_pulley *p = &check->drive->pulleys[i];
    const snub_pulley_state *s = &check->balance.pulley[i];
    const char *name = p->name;
    const bool rubs = fabs(s->torque) > 1e-6;
    if (p->sits == SNUB_ON_SLOT)
        add(facts, arena, name, "slot setting", check->settings[i] * 1e3, "mm", 1, 0);
    add(facts, arena, name, "effective or outside diameter", p->diameter * 1e3, "mm", 2, 0);
    add(facts, arena, name, "wrap", s->wrap / DEG, "deg", 1, rubs ? 1 : 0);
    add(facts, arena, name, "speed", fabs(s->speed) / RPM, "rpm", 0, 0);
    add(facts, arena, name, "torque", s->torque, "N m", 2, 0);
    add(facts, arena, name, "tension as the belt enters", s->entry, "N", 0, 0);
    add(facts, arena, name, "tension as the belt leaves", s->exit, "N", 0, 0);
    if (rubs)
        add(facts, arena, name, "grip used", s->grip_design, "", 2, -1);
    add(facts, arena, name, "hub load", hypot(s->hub[0], s->hub[1]), "N", 0, -1);
}

void snub_check_facts(const snub_check *check, snub_facts *facts, snub_arena *arena)
{
    int counts[SNUB_FAIL + 1] = {0};
    for (int i = 0; i < check->findings.count; i++)
        counts[check->findings.items[i].level]++;
    add(facts, arena, "build", "findings that fail", counts[SNUB_FAIL], "", 0, -1);
    add(facts, arena, "build", "findings to watch", counts[SNUB_WATCH], "", 0, -1);
    add(facts, arena, "build", "belt ribs", check->drive->belt.ribs, "", 0, 0);
    add(facts, arena, "build", "belt effective length", check->length * 1e3, "mm", 1, 0);
    if (!check->laid)
        return;
    add(facts, arena, "build", "engine speed", check->engine_speed / RPM, "rpm", 0, 0);
    add(facts, arena, "build", "belt speed", check->balance.equilibrium.belt_speed, "m/s", 2, 0);
    if (check->drive->arm >= 0) {
        add(facts, arena, "build", "arm from rest", check->balance.equilibrium.wind / DEG, "deg", 1, 0);
        add(facts, arena, "build", "arm from rest, engine at rest", check->rest.equilibrium.wind / DEG, "deg", 1, 0);
    }
    add(facts, arena, "build", "grip used, worst", check->worst_grip, "", 2, -1);
    add(facts, arena, "build", "tightest gap, flap taken off", check->tightest_gap * 1e3, "mm", 1, 1);
    for (int i = 0; i < check->drive->pulley_count; i++)
        pulley_facts(check, i, facts, arena);
}
