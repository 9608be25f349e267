/* `tighten` of `snub tolerate --json`. */
#include <math.h>

#include "json_words.h"
#include "tolerate_widths.h"

static json_t *change_of(const snub_width_change *c)
{
    json_t *object = json_object();
    if (isnan(c->share))
        return json_null();
    snub_json_put(object, "factor", snub_json_number(c->factor));
    snub_json_put(object, "share", snub_json_number(c->share));
    snub_json_put(object, "change", snub_json_number(c->change));
    snub_json_put(object, "error", snub_json_number(c->error));
    snub_json_put(object, "effective_kits", snub_json_number(c->effective));
    snub_json_put(object, "missing", snub_json_number(c->missing));
    snub_json_put(object, "trusted", json_boolean(c->trusted));
    snub_json_put(object, "cost", snub_json_number(c->cost));
    return object;
}

static json_t *path_of(const snub_tolerated *of, int value)
{
    return value >= 0 ? snub_json_words(of->scatter[value]->path) : json_null();
}

void snub_json_widths(json_t *into, const snub_tolerated *of, snub_arena *arena)
{
    json_t *list = json_array();
    snub_width *width = NULL;
    snub_width_plan plan = {0.0, -1, -1};
    const bool any = of->kit_count > 0;
    if (any && !snub_tolerated_widths(of, arena, &width, &plan)) {
        snub_json_lose();
        width = NULL;
    }
    for (int i = 0; width != NULL && i < of->scatter_count; i++) {
        json_t *object = json_object();
        snub_json_put(object, "path", path_of(of, i));
        snub_json_put(object, "half", change_of(&width[i].half));
        snub_json_put(object, "twice", change_of(&width[i].twice));
        snub_json_put(object, "wider", change_of(&width[i].wider));
        snub_json_put(object, "slope", snub_json_number(width[i].slope));
        snub_json_put(object, "slope_error", snub_json_number(width[i].slope_error));
        snub_json_put(object, "per_cost", snub_json_number(width[i].per_cost));
        snub_json_append(list, object);
    }
    snub_json_put(into, "tighten", list);
    snub_json_put(into, "tighten_first", path_of(of, plan.tighten));
    snub_json_put(into, "loosen_first", path_of(of, plan.loosen));
}
