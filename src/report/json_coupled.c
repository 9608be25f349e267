/* Arm and spans together, of `snub motion --coupled --json`. */
#include "json_words.h"
#include "words.h"

static void put_share(json_t *shares, snub_text *name, double share)
{
    if (name->failed)
        snub_json_lose();
    else
        snub_json_put(shares, name->data, snub_json_number(share));
    snub_text_free(name);
}

static json_t *mode_of(const snub_vibration *v, const snub_coupled_modes *modes, int which, bool held)
{
    const snub_coupled_mode *mode = &modes->mode[which];
    const int n = v->drive->pulley_count;
    json_t *object = json_object(), *shares = json_object();
    snub_json_put(object, "frequency_Hz", snub_json_number(mode->mode.frequency));
    snub_json_put(object, "crank", snub_json_words(held ? "held" : "free"));
    snub_json_put(object, "firing_meets_it_at_rpm", snub_json_number(mode->mode.frequency * SNUB_MINUTE / v->firing));
    for (int i = 0; i < v->motion->count; i++) {
        snub_text name = {0};
        if (held && i == v->motion->crank)
            continue;
        snub_mover_words(v, i, &name);
        put_share(shares, &name, mode->mode.energy[i]);
    }
    for (int k = 0; k < 2; k++) {
        snub_text name = {0};
        snub_text_printf(&name, "%s - %s", v->drive->pulleys[modes->span[k]].name,
                         v->drive->pulleys[(modes->span[k] + 1) % n].name);
        put_share(shares, &name, mode->span_energy[k]);
    }
    snub_json_put(object, "energy_share", shares);
    return object;
}

json_t *snub_json_coupled(const snub_vibration *v)
{
    json_t *object = json_object(), *list = json_array(), *missing = json_array();
    for (int k = 0; k < 2; k++) {
        const snub_vibration_coupled *c = &v->coupled[k];
        for (int i = 0; c->found && i < c->modes.count; i++)
            snub_json_append(list, mode_of(v, &c->modes, i, k == 0));
        if (c->found)
            continue;
        json_t *why = json_object();
        snub_json_put(why, "crank", snub_json_words(k == 0 ? "held" : "free"));
        snub_json_put(why, "why", snub_json_words(c->why.message));
        snub_json_append(missing, why);
    }
    snub_json_put(object, "modes", list);
    snub_json_put(object, "modes_missing", missing);
    return object;
}
