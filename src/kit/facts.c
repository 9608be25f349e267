/* Numbers of a build worth comparing. */
#include "snub/hardware.h"
#include "snub/locale.h"

static void add(snub_facts *facts, snub_arena *arena, const char *subject, const char *what, double value,
                const char *unit, int decimals, int better)
{
    const snub_fact fact = {subject, what, value, unit, decimals, better};
    snub_facts_add(facts, arena, &fact);
}

static void pulley_facts(const snub_build *build, const snub_state *state, int i, snub_facts *facts, snub_arena *arena)
{
    const snub_pulley *p = &build->drive->pulleys[i];
    const snub_pulley_state *s = &state->balance.pulley[i];
    const char *name = p->name;
    const bool rubs = fabs(s->torque) > 1e-6;
    if (p->sits == SNUB_ON_SLOT)
        add(facts, arena, name, SNUB_MESSAGE("slot setting"), build->settings[i] / SNUB_MM, "mm", 1, 0);
    add(facts, arena, name, SNUB_MESSAGE("effective or outside diameter"), p->diameter / SNUB_MM, "mm", 2, 0);
    add(facts, arena, name, SNUB_MESSAGE("wrap"), s->wrap / SNUB_DEG, "deg", 1, rubs ? 1 : 0);
    add(facts, arena, name, SNUB_MESSAGE("speed"), fabs(s->speed) / SNUB_RPM, "rpm", 0, 0);
    add(facts, arena, name, SNUB_MESSAGE("torque"), s->torque, "N m", 2, 0);
    add(facts, arena, name, SNUB_MESSAGE("tension in"), s->entry, "N", 0, 0);
    add(facts, arena, name, SNUB_MESSAGE("tension out"), s->exit, "N", 0, 0);
    if (rubs)
        add(facts, arena, name, SNUB_MESSAGE("grip used"), s->grip_design, "", 2, -1);
    add(facts, arena, name, SNUB_MESSAGE("hub load"), hypot(s->hub[0], s->hub[1]), "N", 0, -1);
}

void snub_build_facts(const snub_build *build, const snub_state *state, snub_facts *facts, snub_arena *arena)
{
    static const char *const subject = "build";
    add(facts, arena, subject, SNUB_MESSAGE("findings that fail"),
        snub_findings_count(&build->findings, SNUB_FAIL, SNUB_AREAS_), "", 0, -1);
    add(facts, arena, subject, SNUB_MESSAGE("marginal findings"),
        snub_findings_count(&build->findings, SNUB_MARGINAL, SNUB_AREAS_), "", 0, -1);
    add(facts, arena, subject, SNUB_MESSAGE("belt ribs"), build->drive->belt.ribs, "", 0, 0);
    add(facts, arena, subject, SNUB_MESSAGE("belt effective length"), build->length / SNUB_MM, "mm", 1, 0);
    if (!build->laid || !state->solved)
        return;
    add(facts, arena, subject, SNUB_MESSAGE("engine speed"), state->engine_speed / SNUB_RPM, "rpm", 0, 0);
    add(facts, arena, subject, SNUB_MESSAGE("belt speed"), state->balance.equilibrium.belt_speed, "m/s", 2, 0);
    if (build->drive->arm >= 0) {
        add(facts, arena, subject, SNUB_MESSAGE("arm angle from free"), state->balance.equilibrium.wind / SNUB_DEG,
            "deg", 1, 0);
        add(facts, arena, subject, SNUB_MESSAGE("arm angle from free, engine stopped"), build->wind_rest / SNUB_DEG,
            "deg", 1, 0);
    }
    add(facts, arena, subject, SNUB_MESSAGE("grip used, worst"), build->worst_grip, "", 2, -1);
    add(facts, arena, subject, SNUB_MESSAGE("least clearance, flap taken off"), build->tightest_gap / SNUB_MM, "mm", 1,
        1);
    for (int i = 0; i < build->drive->pulley_count; i++)
        pulley_facts(build, state, i, facts, arena);
}
