/* `snub tolerate --json`. */
#include <math.h>

#include "json_words.h"
#include "tolerate_widths.h"
#include "tolerate_words.h"

static const char *basis_text(snub_tolerance_basis basis)
{
    static const char *const texts[] = {
        [SNUB_TOLERANCE_WRITTEN] = "written behind the value", [SNUB_TOLERANCE_LISTED] = "section `tolerances`",
        [SNUB_TOLERANCE_BELT] = "tolerance of the belt",       [SNUB_TOLERANCE_BELT_DEFAULT] = "default for a belt",
        [SNUB_TOLERANCE_STACK] = "tolerance of the stack",     [SNUB_TOLERANCE_RANGE] = "range"};
    return texts[basis];
}

static void put_share(json_t *object, int counted, const snub_interval *interval, int of)
{
    snub_json_put(object, "kits", json_integer(counted));
    snub_json_put(object, "share", snub_json_number(of > 0 ? (double)counted / of : (double)NAN));
    snub_json_put(object, "low", snub_json_number(interval->low));
    snub_json_put(object, "high", snub_json_number(interval->high));
}

/* The options of `snub check` that show a kit, as a list of paths with their values. */
static json_t *kit_of(const snub_tolerated *of, int kit, snub_arena *arena)
{
    json_t *object = json_object(), *set = json_object();
    snub_kit_value *values;
    const int count = snub_tolerated_values(of, kit, arena, &values);
    if (count < 0)
        snub_json_lose();
    for (int i = 0; i < count; i++)
        snub_json_put(set, values[i].path, snub_json_words(values[i].text));
    const snub_kit *judged = kit == SNUB_NOMINAL_KIT ? &of->nominal : &of->kits[kit];
    snub_json_put(object, "kit", json_integer(kit + 1));
    snub_json_put(object, "verdict", snub_json_words(snub_level_text((snub_level)judged->level)));
    snub_json_put(object, "set", set);
    return object;
}

static void add_rules(json_t *list, const snub_tolerated *of, snub_arena *arena)
{
    for (int r = 0; r < SNUB_RULES_; r++) {
        const snub_rule_count *c = &of->rules[r];
        if (c->fail + c->marginal == 0)
            continue;
        json_t *object = json_object();
        snub_json_put(object, "rule", snub_json_words(snub_rule_describe((snub_rule)r)->id));
        snub_json_put(object, "build", snub_json_words(of->build->row.code));
        put_share(object, c->fail, &c->failing, of->kit_count);
        snub_json_put(object, "marginal", json_integer(c->marginal));
        snub_json_put(object, "example", c->example >= 0 ? kit_of(of, c->example, arena) : json_null());
        snub_json_append(list, object);
    }
}

static double shown(const snub_followed_shown *s, double si)
{
    return snub_in_unit(s->unit, si);
}

static json_t *numbers_of(const snub_tolerated *of)
{
    json_t *object = json_object();
    for (int f = 0; f < SNUB_FOLLOWED_; f++) {
        const snub_followed_shown *s = snub_followed_describe((snub_followed)f);
        const snub_spread_of *spread = &of->spread[f];
        json_t *one = json_object();
        snub_json_put(one, "kits", json_integer(spread->count));
        snub_json_put(one, "nominal", snub_json_number(shown(s, spread->nominal)));
        snub_json_put(one, "mean", snub_json_number(shown(s, spread->mean)));
        snub_json_put(one, "standard_deviation", snub_json_number(shown(s, spread->sd)));
        snub_json_put(one, "least", snub_json_number(shown(s, spread->least)));
        snub_json_put(one, "greatest", snub_json_number(shown(s, spread->most)));
        snub_json_put(object, s->key, one);
    }
    return object;
}

static json_t *tolerances_of(const snub_tolerated *of)
{
    json_t *list = json_array();
    for (int i = 0; i < of->scatter_count; i++) {
        const snub_tolerance *t = of->scatter[i];
        json_t *object = json_object();
        snub_json_put(object, "path", snub_json_words(t->path));
        snub_json_put(object, "line", json_integer(t->place.line));
        snub_json_put(object, "group", t->group != NULL ? snub_json_words(t->group) : json_null());
        snub_json_put(object, "basis", snub_json_words(basis_text(t->basis)));
        snub_json_append(list, object);
    }
    return list;
}

static json_t *failing_of(const snub_tolerated *of)
{
    json_t *failing = json_object();
    put_share(failing, of->by_level[SNUB_FAIL], &of->failing, of->kit_count);
    return failing;
}

json_t *snub_json_tolerate_so_far(const snub_tolerated *of)
{
    json_t *object = json_object();
    snub_json_put(object, "kits", json_integer(of->kit_count));
    snub_json_put(object, "failing", failing_of(of));
    return snub_json_whole(object);
}

json_t *snub_json_tolerate(const snub_tolerate_answer *answer, snub_arena *arena)
{
    const snub_tolerated *of = answer->tolerated;
    json_t *object = json_object(), *verdicts = json_object(), *rules = json_array();
    snub_json_put(verdicts, "pass", json_integer(of->by_level[SNUB_PASS]));
    snub_json_put(verdicts, "marginal", json_integer(of->by_level[SNUB_MARGINAL]));
    snub_json_put(verdicts, "fail", json_integer(of->by_level[SNUB_FAIL]));
    snub_json_put(object, "build", snub_json_build(of->build));
    snub_json_put(object, "checked_verdict", snub_json_verdict(of->build));
    snub_json_put(object, "not_judged", snub_json_unjudged(&of->build, 1, NULL));
    snub_json_put(object, "nominal", kit_of(of, SNUB_NOMINAL_KIT, arena));
    snub_json_put(object, "samples", json_integer(of->kit_count));
    snub_json_put(object, "seed", json_integer((json_int_t)of->seed));
    snub_json_put(object, "stopped", json_boolean(of->stopped));
    snub_json_put(object, "precise", json_boolean(of->precise));
    snub_json_put(object, "confidence", snub_json_number(0.95));
    snub_json_put(object, "verdicts", verdicts);
    snub_json_put(object, "failing", failing_of(of));
    add_rules(rules, of, arena);
    snub_json_put(object, "rules", rules);
    snub_json_put(object, "numbers", numbers_of(of));
    snub_json_put(object, "distributions", snub_json_kit_histograms(of));
    snub_json_put(object, "capability", snub_json_capability(of));
    snub_json_put(object, "worst_case", snub_json_worst_cases(of, answer->worst, arena));
    snub_json_put(object, "tolerances", tolerances_of(of));
    snub_json_widths(object, of, arena);
    snub_json_contributions(object, answer->contributions);
    snub_json_put(object, "ranges", json_integer(of->range_count));
    return snub_json_whole(object);
}

static json_t *without_belt(const snub_build *build)
{
    json_t *object = json_object();
    snub_json_put(object, "build", snub_json_build(build));
    snub_json_put(object, "checked_verdict", snub_json_verdict(build));
    snub_json_put(object, "samples", json_integer(0));
    return object;
}

json_t *snub_json_tolerate_builds(const snub_tolerate_builds *of, snub_arena *arena)
{
    json_t *object = json_object(), *builds = json_array(), *rules = json_array();
    const snub_build *const *judged = snub_tolerated_builds(of, arena);
    if (judged == NULL)
        snub_json_lose();
    for (int b = 0; b < of->count; b++) {
        const snub_tolerate_answer *answer = &of->answers[b];
        const bool settled = answer->tolerated->build->settled;
        json_t *one = settled ? snub_json_tolerate(answer, arena) : without_belt(answer->tolerated->build);
        snub_json_put(one, "number", json_integer(of->number[b]));
        snub_json_append(builds, one);
        add_rules(rules, answer->tolerated, arena);
    }
    snub_json_put(object, "builds", builds);
    snub_json_put(object, "not_judged", snub_json_unjudged(judged, judged != NULL ? of->count : 0, NULL));
    snub_json_put(object, "rules", rules);
    snub_json_put(object, "asked", json_integer(of->asked));
    snub_json_put(object, "stopped", json_boolean(of->stopped));
    return snub_json_whole(object);
}
