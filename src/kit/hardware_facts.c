/* Numbers of the hardware worth comparing, and the comparison. */
#include "hardware_study.h"

#include <string.h>

void snub_facts_add(snub_facts *facts, snub_arena *arena, const snub_fact *fact)
{
    if (facts->count == facts->room) {
        const int room = facts->room > 0 ? 2 * facts->room : 64;
        snub_fact *items = SNUB_NEW(arena, snub_fact, room);
        if (items == NULL) {
            facts->failed = true;
            return;
        }
        if (facts->count > 0)
            memcpy(items, facts->items, sizeof *items * (size_t)facts->count);
        facts->items = items;
        facts->room = room;
    }
    facts->items[facts->count++] = *fact;
}

static void add(snub_hardware_study *study, const char *subject, const char *what, double value, const char *unit,
                int decimals, int better)
{
    const snub_fact fact = {subject, what, value, unit, decimals, better};
    snub_facts_add(&study->report->facts, study->arena, &fact);
}

static void mount_facts(snub_hardware_study *study, const snub_mount_result *m)
{
    const char *name = m->mount->name;
    add(study, name, SNUB_MESSAGE("bolts"), m->mount->bolt_count, "", 0, 0);
    add(study, name, SNUB_MESSAGE("force in the plane, worst"), m->force, "N", 0, 0);
    add(study, name, SNUB_MESSAGE("moment about the group, worst"), m->moment, "N m", 1, -1);
    add(study, name, SNUB_MESSAGE("tilting moment, worst"), m->overturning, "N m", 1, -1);
    add(study, name, SNUB_MESSAGE("bracket's own slope"), m->slope / SNUB_ARCMIN, "arcmin", 2, -1);
    if (!m->carried)
        return;
    add(study, name, SNUB_MESSAGE("joint friction used, worst bolt"), m->worst_slip, "", 3, -1);
    add(study, name, SNUB_MESSAGE("separation safety, least"), m->least_separation, "", 2, 1);
    add(study, name, SNUB_MESSAGE("proof safety, least"), m->least_proof, "", 3, 1);
    add(study, name, SNUB_MESSAGE("fatigue safety, least"), m->least_fatigue, "", 2, 1);
    for (int i = 0; i < m->mount->bolt_count; i++) {
        const snub_bolt_result *b = &m->bolts[i];
        const char *subject = snub_format(study->arena, "%s, %s", name, b->bolt->name);
        if (subject == NULL)
            subject = name;
        add(study, subject, SNUB_MESSAGE("torque"), b->torque, "N m", 1, 0);
        add(study, subject, SNUB_MESSAGE("preload"), b->preload / 1000.0, "kN", 2, 0);
        add(study, subject, SNUB_MESSAGE("shear, worst"), b->shear, "N", 0, -1);
        add(study, subject, SNUB_MESSAGE("pull, worst"), b->pull, "N", 0, -1);
        add(study, subject, SNUB_MESSAGE("joint friction used"), b->slip_use, "", 3, -1);
        add(study, subject, SNUB_MESSAGE("stress, greatest"), b->screw.stress / 1e6, "MPa", 0, -1);
    }
}

static void pulley_facts(snub_hardware_study *study, int i)
{
    const snub_hardware_report *r = study->report;
    const snub_pulley_hardware *h = &study->hardware->pulleys[i];
    const char *name = study->drive->pulleys[i].name;
    const snub_hub_load *hub = &r->hub[i];
    add(study, name, SNUB_MESSAGE("hub load, worst"), hub->worst_size, "N", 0, -1);
    if (r->swings)
        add(study, name, SNUB_MESSAGE("hub load, worst, without the crank's swing"), hub->worst_steady, "N", 0, -1);
    add(study, name, SNUB_MESSAGE("hub load, mean of the duty"), hub->duty_mean, "N", 0, -1);
    if (h->guides) {
        add(study, name, SNUB_MESSAGE("entry angle, size"), fabs(r->plane[i].entry) / SNUB_DEG, "deg", 3, -1);
        add(study, name, SNUB_MESSAGE("entry angle under load, size"), fabs(r->plane[i].entry_loaded) / SNUB_DEG, "deg",
            3, -1);
        add(study, name, SNUB_MESSAGE("entry angle, tolerance (rss)"), r->plane[i].rss / SNUB_DEG, "deg", 3, -1);
    } else {
        add(study, name, SNUB_MESSAGE("face left beside the belt"), r->plane[i].edge * 1000.0, "mm", 2, 1);
    }
    if (r->standoff[i].given) {
        const snub_standoff_result *s = &r->standoff[i];
        add(study, name, SNUB_MESSAGE("standoff: moment over opening moment"), s->moment / s->no_gap, "", 3, -1);
        add(study, name, SNUB_MESSAGE("standoff: slope"), s->slope / SNUB_ARCMIN, "arcmin", 2, -1);
        add(study, name, SNUB_MESSAGE("standoff: deflection"), s->deflection * 1000.0, "mm", 4, -1);
        add(study, name, SNUB_MESSAGE("standoff: bending stress"), s->stress / 1e6, "MPa", 1, -1);
        add(study, name, SNUB_MESSAGE("standoff: fatigue safety"), s->fatigue, "", 2, 1);
        add(study, name, SNUB_MESSAGE("standoff: friction used"), s->slip_use, "", 3, -1);
        add(study, name, SNUB_MESSAGE("standoff bolt: torque"), s->torque, "N m", 1, 0);
        add(study, name, SNUB_MESSAGE("standoff bolt: proof safety"), s->screw.proof, "", 3, 1);
    }
    if (r->strip[i].given) {
        const snub_strip_result *s = &r->strip[i];
        add(study, name, SNUB_MESSAGE("bracket: greatest stress"), s->stress / SNUB_MPA, "MPa", 1, -1);
        add(study, name, SNUB_MESSAGE("bracket: fatigue safety"), s->fatigue, "", 2, 1);
    }
    if (r->clamp[i].given) {
        const snub_clamp_result *c = &r->clamp[i];
        add(study, name, SNUB_MESSAGE("slot: load along it, worst"), c->load, "N", 0, -1);
        add(study, name, SNUB_MESSAGE("slot: friction used"), c->slip_use, "", 3, -1);
        add(study, name, SNUB_MESSAGE("slot bolt: torque"), c->torque, "N m", 1, 0);
    }
    if (r->bearing[i].given) {
        const snub_bearing_result *b = &r->bearing[i];
        add(study, name, SNUB_MESSAGE("bearing: mean load over the duty"), b->load, "N", 0, -1);
        add(study, name, SNUB_MESSAGE("bearing: life"), b->life_adjusted / SNUB_HOUR, "h", 0, 1);
        if (r->swings)
            add(study, name, SNUB_MESSAGE("bearing: life, without the crank's swing"), b->life_steady / SNUB_HOUR, "h",
                0, 1);
        add(study, name, SNUB_MESSAGE("bearing: grease life"), b->grease / SNUB_HOUR, "h", 0, 1);
        add(study, name, SNUB_MESSAGE("bearing: n dm at redline"), b->n_dm, "mm rpm", 0, -1);
        add(study, name, SNUB_MESSAGE("bearing: static safety"), b->static_safety, "", 2, 1);
    }
}

void snub_hardware_facts(snub_hardware_study *study)
{
    for (int i = 0; i < study->drive->pulley_count; i++)
        pulley_facts(study, i);
    for (int m = 0; m < study->report->mount_count; m++)
        mount_facts(study, &study->report->mounts[m]);
    double lack = 0.0;
    for (int k = 0; k < study->report->conflict_count; k++)
        lack = fmax(lack, study->report->conflicts[k].needed - study->report->conflicts[k].gap);
    add(study, SNUB_SUBJECT_OBSTACLES, SNUB_MESSAGE("conflicts"), study->report->conflict_count, "", 0, -1);
    add(study, SNUB_SUBJECT_OBSTACLES, SNUB_MESSAGE("greatest lack of clearance"), lack * 1000.0, "mm", 2, -1);
}

/* ---- comparison -------------------------------------------------------------------------------------------------- */

static bool same(const snub_fact *a, const snub_fact *b)
{
    return strcmp(a->subject, b->subject) == 0 && strcmp(a->what, b->what) == 0;
}

static const snub_fact *find(const snub_facts *facts, const snub_fact *wanted)
{
    for (int i = 0; i < facts->count; i++) {
        if (same(&facts->items[i], wanted))
            return &facts->items[i];
    }
    return NULL;
}

/* Printed to their decimals, the two would read otherwise. */
static bool differs(const snub_fact *a, const snub_fact *b)
{
    if (isfinite(a->value) != isfinite(b->value))
        return true;
    if (!isfinite(a->value))
        return !(isnan(a->value) && isnan(b->value)) && a->value != b->value;
    return fabs(a->value - b->value) > 0.5 * pow(10.0, -a->decimals);
}

int snub_facts_compare(const snub_facts *a, const snub_facts *b, snub_difference *differences)
{
    int count = 0;
    for (int i = 0; i < a->count; i++) {
        const snub_fact *mine = &a->items[i], *its = find(b, mine);
        if (its != NULL && !differs(mine, its))
            continue;
        const double change = its != NULL ? its->value - mine->value : NAN;
        const int way = change > 0.0 ? mine->better : change < 0.0 ? -mine->better : 0;
        differences[count++] = (snub_difference){mine, its, way};
    }
    for (int i = 0; i < b->count; i++) {
        if (find(a, &b->items[i]) == NULL)
            differences[count++] = (snub_difference){NULL, &b->items[i], 0};
    }
    return count;
}
