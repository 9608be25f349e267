/* `snub search --json`. */
#include <math.h>

#include "json_words.h"
#include "search_words.h"

static json_t *shown_number(double si, const snub_aim_shown *shown)
{
    return snub_json_number(snub_in_unit(shown->unit, si));
}

static void put_measured(json_t *object, const snub_candidate_measures *m)
{
    snub_json_put(object, "verdict", snub_json_words(snub_level_text(snub_measured_level(m))));
    snub_json_put(object, "pass", json_integer(m->counts[SNUB_PASS] + m->counts[SNUB_NOTE]));
    snub_json_put(object, "marginal", json_integer(m->counts[SNUB_MARGINAL]));
    snub_json_put(object, "fail", json_integer(m->counts[SNUB_FAIL]));
    snub_json_put(object, "beyond_what_must_hold", snub_json_number(m->over));
    for (int aim = 0; aim < SNUB_AIMS_; aim++) {
        const snub_aim_shown *shown = snub_aim_describe((snub_aim)aim);
        snub_json_put(object, shown->key, shown_number(m->of[aim], shown));
    }
}

static json_t *kits_of(const snub_kits_came_to *kits)
{
    const bool any = kits->samples > 0;
    if (!any && kits->why_not == NULL)
        return json_null();
    json_t *object = json_object();
    snub_json_put(object, "samples", json_integer(kits->samples));
    snub_json_put(object, "fail", json_integer(kits->failing));
    snub_json_put(object, "share", snub_json_number(any ? (double)kits->failing / kits->samples : (double)NAN));
    snub_json_put(object, "low", snub_json_number(any ? kits->share.low : (double)NAN));
    snub_json_put(object, "high", snub_json_number(any ? kits->share.high : (double)NAN));
    snub_json_put(object, "rule",
                  any && kits->rule < SNUB_RULES_ ? snub_json_words(snub_rule_describe(kits->rule)->id) : json_null());
    snub_json_put(object, "why_not", any ? json_null() : snub_json_words(kits->why_not));
    return object;
}

static json_t *value_of(const snub_move *move, const double *value)
{
    const double unit = move->quantity == SNUB_Q_ANGLE ? SNUB_DEG : SNUB_MM;
    return move->point ? snub_json_pair(value[0] / unit, value[1] / unit) : snub_json_number(value[0] / unit);
}

static json_t *moves_of(const snub_search *search, const snub_proposal *p)
{
    json_t *list = json_array();
    for (int i = 0; i < p->move_count; i++) {
        int first;
        const snub_move *move = snub_change_move(search, p->changes[i].path, &first);
        json_t *object = json_object();
        snub_json_put(object, "path", snub_json_words(p->changes[i].path));
        if (move != NULL && move->from_catalogue)
            snub_json_put(object, "part", snub_json_words(snub_move_part(move, p->value[first])));
        if (move != NULL) {
            snub_json_put(object, "unit", snub_json_words(move->quantity == SNUB_Q_ANGLE ? "deg" : "mm"));
            snub_json_put(object, "from", value_of(move, move->now));
            snub_json_put(object, "to", value_of(move, &p->value[first]));
        }
        snub_json_append(list, object);
    }
    return list;
}

/* Belt and settings of the file's own build; null where it has none. */
static json_t *own_of(const snub_build *own)
{
    if (own == NULL)
        return json_null();
    json_t *object = json_object(), *settings = json_object();
    snub_json_put(object, "belt", snub_json_words(own->designation));
    for (int i = 0; i < own->drive->pulley_count; i++)
        if (isfinite(own->settings[i]))
            snub_json_put(settings, own->drive->pulleys[i].name, snub_json_number(own->settings[i] / SNUB_MM));
    snub_json_put(object, "settings_mm", settings);
    return object;
}

static json_t *changes_of(const snub_proposal *p)
{
    json_t *object = json_object();
    for (int i = 0; i < p->change_count; i++)
        snub_json_put(object, p->changes[i].path,
                      i < p->change_count - p->taken_count ? snub_json_words(p->changes[i].text) : json_null());
    return object;
}

static void put_aim(json_t *object, const snub_search *search, int aim, const snub_candidate_measures *m)
{
    const snub_aim of = search->section->aims[aim];
    const snub_aim_shown *shown = snub_aim_describe(of);
    snub_json_put(object, shown->key, shown_number(m->of[of], shown));
}

static json_t *aims_of(const snub_search *search, const snub_candidate_measures *m)
{
    json_t *object = json_object();
    for (int i = 0; i < search->section->aim_count; i++)
        put_aim(object, search, i, m);
    return object;
}

/* Of each aim by itself: more is better. */
static json_t *last_tenth_of(const snub_search *search)
{
    json_t *object = json_object(), *gain = json_object();
    bool gained = false;
    int candidates = 0;
    for (int i = 0; i < search->section->aim_count; i++) {
        const snub_last_tenth *t = &search->last_tenth[i];
        const snub_aim_shown *shown = snub_aim_describe(search->section->aims[i]);
        const double more = shown->more_is_better ? t->after - t->before : t->before - t->after;
        snub_json_put(gain, shown->key, shown_number(more, shown));
        gained = gained || t->gained;
        candidates += t->candidates;
    }
    snub_json_put(object, "candidates", json_integer(candidates));
    snub_json_put(object, "gain", gain);
    snub_json_put(object, "gained", json_boolean(gained));
    return object;
}

json_t *snub_json_search_so_far(const snub_search *search)
{
    json_t *object = json_object(), *best = search->has_best ? json_object() : json_null();
    for (int i = 0; search->has_best && i < search->section->aim_count; i++)
        put_aim(best, search, i, &search->best[i]);
    snub_json_put(object, "today", aims_of(search, &search->today));
    snub_json_put(object, "best", best);
    return snub_json_whole(object);
}

static json_t *proposals_of(const snub_search_answer *answer)
{
    const snub_search *search = answer->search;
    json_t *list = json_array();
    for (int i = 0; i < search->proposal_count; i++) {
        const snub_proposal *p = &search->proposals[i];
        json_t *object = json_object();
        snub_json_put(object, "file", answer->written != NULL ? snub_json_words(answer->written[i]) : json_null());
        snub_json_put(object, "moves", moves_of(search, p));
        snub_json_put(object, "changes", changes_of(p));
        snub_json_put(object, "own_build", own_of(p->own));
        snub_json_put(object, "aims", aims_of(search, &p->came_to));
        put_measured(object, &p->came_to);
        snub_json_put(object, "kits", kits_of(&p->kits));
        snub_json_append(list, object);
    }
    return list;
}

static json_t *broken_of(const snub_search *search, const snub_locale *locale)
{
    if (search->broken == NULL)
        return json_null();
    const snub_finding *f = search->broken;
    const snub_wording_info *wording = snub_wording_describe(f->wording);
    json_t *object = json_object();
    snub_text words = {0};
    snub_finding_sentence(f, locale, &words);
    snub_json_put(object, "build", snub_json_row(search->broken_row));
    snub_json_put(object, "rule", snub_json_words(snub_rule_describe(wording->rule)->id));
    snub_json_put(object, "level", snub_json_words(snub_level_text(f->level)));
    snub_json_put(object, "text", snub_json_grown(&words));
    snub_json_put(object, "unit", snub_json_words(snub_unit_describe(wording->unit)->text));
    snub_json_put(object, "value", snub_json_number(snub_in_unit(wording->unit, f->value)));
    snub_json_put(object, "limit", snub_json_number(snub_in_unit(wording->unit, f->limit)));
    return object;
}

json_t *snub_json_search(const snub_search_answer *answer, const snub_locale *locale)
{
    const snub_search *search = answer->search;
    json_t *object = json_object(), *today = json_object(), *aims = json_array();
    for (int i = 0; i < search->section->aim_count; i++)
        snub_json_append(aims, snub_json_words(snub_aim_text(search->section->aims[i])));
    put_measured(today, &search->today);
    snub_json_put(today, "kits", kits_of(&search->today_kits));
    snub_json_put(today, "own_build", own_of(search->today_own));
    snub_json_put(object, "fingerprint", snub_json_words(search->digest));
    snub_json_put(object, "builds", json_integer(search->build_count));
    snub_json_put(object, "asked", json_integer(search->asked));
    snub_json_put(object, "of", json_integer(search->all));
    snub_json_put(object, "converged", json_boolean(search->converged));
    snub_json_put(object, "last_tenth", last_tenth_of(search));
    snub_json_put(object, "stopped", json_boolean(search->stopped));
    snub_json_put(object, "found", json_boolean(search->found));
    snub_json_put(object, "aims", aims);
    snub_json_put(object, "hold", snub_json_words(snub_hold_text(search->section->hold)));
    snub_json_put(object, "not_judged",
                  snub_json_unjudged(&search->today_own, search->today_own != NULL ? 1 : 0, NULL));
    snub_json_put(object, "today", today);
    snub_json_put(object, "proposals", proposals_of(answer));
    snub_json_put(object, "broken", broken_of(search, locale));
    return snub_json_whole(object);
}
