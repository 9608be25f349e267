/* `snub measure --json`, and centres as a piece of a drive file. */
#include <math.h>

#include "json_words.h"
#include "measure_words.h"
#include "snub/measure.h"
#include "words.h"

static void say(json_t *object, const char *key, const char *text)
{
    snub_json_put(object, key, snub_json_words(text));
}

static json_t *mm_pair(const double pair[2])
{
    return snub_json_pair(pair[0] / SNUB_MM, pair[1] / SNUB_MM);
}

static json_t *two_names(const char *a, const char *b)
{
    json_t *list = json_array();
    snub_json_append(list, snub_json_words(a));
    snub_json_append(list, snub_json_words(b));
    return list;
}

static json_t *centre_of(const snub_centres *c, int i)
{
    const snub_centre *p = &c->centre[i];
    json_t *o = json_object();
    say(o, "name", c->measured->pulleys[i].name);
    snub_json_put(o, "centre_mm", mm_pair(p->at));
    snub_json_put(o, "error_mm", mm_pair(p->error));
    snub_json_put(o, "ellipse_mm", mm_pair(p->axis));
    snub_json_put_number(o, "ellipse_deg", p->turn / SNUB_DEG);
    snub_json_put(o, "given", json_boolean(c->measured->pulleys[i].known));
    snub_json_put_number(o, "diameter_mm", p->diameter / SNUB_MM);
    snub_json_put_number(o, "diameter_error_mm", p->diameter_error / SNUB_MM);
    say(o, "sets", c->measured->pulleys[i].sets);
    return o;
}

static json_t *edge_of(const snub_centres *c, int i)
{
    json_t *o = json_object();
    say(o, "name", c->measured->edges[i].name);
    snub_json_put_number(o, "normal_deg", c->edge[i].normal / SNUB_DEG);
    snub_json_put_number(o, "distance_mm", c->edge[i].distance / SNUB_MM);
    return o;
}

static void put_what(json_t *o, const snub_centres *c, const snub_read_check *r)
{
    const snub_measured *m = c->measured;
    if (r->distance < 0) {
        say(o, "kind", "diameter");
        json_t *list = json_array();
        snub_json_append(list, snub_json_words(m->pulleys[r->pulley].name));
        snub_json_put(o, "between", list);
        snub_json_put(o, "default_error", json_null());
        snub_json_put(o, "line", json_integer(m->pulleys[r->pulley].place.line));
        say(o, "note", NULL);
        return;
    }
    const snub_distance *d = &m->distances[r->distance];
    const bool edge = d->kind == SNUB_TO_EDGE;
    say(o, "kind", snub_distance_text(d->kind));
    snub_json_put(o, "between",
                  two_names(edge ? m->edges[d->b].name : m->pulleys[d->a].name, m->pulleys[edge ? d->a : d->b].name));
    snub_json_put(o, "default_error", json_boolean(!d->error_given));
    snub_json_put(o, "line", json_integer(d->place.line));
    say(o, "note", d->note);
}

static json_t *reading_of(const snub_centres *c, const snub_read_check *r)
{
    json_t *o = json_object();
    put_what(o, c, r);
    snub_json_put_number(o, "read_mm", r->value / SNUB_MM);
    snub_json_put_number(o, "error_mm", r->error / SNUB_MM);
    snub_json_put_number(o, "residual_mm", r->residual / SNUB_MM);
    snub_json_put_number(o, "share_checked", r->share);
    snub_json_put_number(o, "against_stated", r->against_stated);
    snub_json_put_number(o, "against_others", r->against_rest);
    snub_json_put_number(o, "others_mm", r->others / SNUB_MM);
    snub_json_put_number(o, "others_error_mm", r->others_error / SNUB_MM);
    snub_json_put(o, "suspect", json_boolean(r->suspect));
    return o;
}

static json_t *fit_of(const snub_centres *c)
{
    json_t *o = json_object();
    snub_json_put(o, "unknowns", json_integer(c->unknowns));
    snub_json_put(o, "redundancy", json_integer(c->redundancy));
    snub_json_put_number(o, "chi_square", c->sum);
    snub_json_put_number(o, "chance", c->chance);
    snub_json_put_number(o, "scatter_over_stated", c->redundancy > 0 ? c->scale : (double)NAN);
    snub_json_put_number(o, "errors_multiplied_by", c->taken);
    snub_json_put_number(o, "stated_limit", c->stated_limit);
    snub_json_put_number(o, "others_limit", c->rest_limit);
    snub_json_put(o, "suspects", json_integer(c->suspects));
    return o;
}

static json_t *layout_of(const snub_centres *c)
{
    static const char *const choices[] = {"only", "sides", "drive", "undecided"};
    const snub_measured *m = c->measured;
    json_t *o = json_object();
    say(o, "chosen_by", choices[c->choice]);
    snub_json_put(o, "that_fit", json_integer(c->layouts));
    if (c->other == NULL) {
        snub_json_put(o, "other_mm", json_null());
        snub_json_put(o, "settles", json_null());
        return o;
    }
    json_t *other = json_object(), *settles = json_object();
    for (int i = 0; i < m->pulley_count; i++)
        snub_json_put(other, m->pulleys[i].name, mm_pair(c->other[i]));
    snub_json_put(o, "other_mm", other);
    if (c->settles.a < 0) {
        json_decref(settles);
        settles = json_null();
    } else {
        snub_json_put(settles, "between", two_names(m->pulleys[c->settles.a].name, m->pulleys[c->settles.b].name));
        snub_json_put_number(settles, "here_mm", c->settles.now / SNUB_MM);
        snub_json_put_number(settles, "other_mm", c->settles_other / SNUB_MM);
    }
    snub_json_put(o, "settles", settles);
    return o;
}

static json_t *next_of(const snub_centres *c)
{
    json_t *list = json_array();
    for (int i = 0; i < c->next_count; i++) {
        const snub_next_reading *n = &c->next[i];
        json_t *o = json_object();
        snub_json_put(o, "between", two_names(c->measured->pulleys[n->a].name, c->measured->pulleys[n->b].name));
        snub_json_put_number(o, "centres_mm", n->now / SNUB_MM);
        snub_json_put_number(o, "error_mm", n->error / SNUB_MM);
        snub_json_put_number(o, "longest_ellipse_mm", n->worst / SNUB_MM);
        snub_json_append(list, o);
    }
    return list;
}

static json_t *effect_of(const snub_effect *e)
{
    json_t *o = json_object(), *pulleys = json_array();
    snub_json_put(o, "runs", json_boolean(e->solved));
    say(o, "designation", e->solved ? e->build->designation : NULL);
    snub_json_put_number(o, "length_mm", e->solved ? e->length.value / SNUB_MM : (double)NAN);
    snub_json_put_number(o, "length_error_mm", e->solved ? e->length.error / SNUB_MM : (double)NAN);
    snub_json_put_number(o, "wind_deg", e->solved ? e->wind.value / SNUB_DEG : (double)NAN);
    snub_json_put_number(o, "wind_error_deg", e->solved ? e->wind.error / SNUB_DEG : (double)NAN);
    for (int i = 0; e->solved && i < e->build->drive->pulley_count; i++) {
        json_t *p = json_object();
        say(p, "name", e->build->drive->pulleys[i].name);
        snub_json_put_number(p, "wrap_deg", e->wrap[i].value / SNUB_DEG);
        snub_json_put_number(p, "wrap_error_deg", e->wrap[i].error / SNUB_DEG);
        snub_json_put_number(p, "mark_mm", e->mark[i].value / SNUB_MM);
        snub_json_put_number(p, "mark_error_mm", e->mark[i].error / SNUB_MM);
        snub_json_append(pulleys, p);
    }
    snub_json_put(o, "pulleys", pulleys);
    return o;
}

json_t *snub_json_centres(const snub_centres *c, const snub_effect *effect)
{
    json_t *o = json_object(), *centres = json_array(), *edges = json_array(), *readings = json_array();
    snub_json_put(o, "snub", json_integer(1));
    say(o, "title", c->measured->title);
    for (int i = 0; i < c->measured->pulley_count; i++)
        snub_json_append(centres, centre_of(c, i));
    for (int i = 0; i < c->measured->edge_count; i++)
        snub_json_append(edges, edge_of(c, i));
    for (int i = 0; i < c->check_count; i++)
        snub_json_append(readings, reading_of(c, &c->check[i]));
    snub_json_put(o, "centres", centres);
    snub_json_put(o, "edges", edges);
    snub_json_put(o, "readings", readings);
    snub_json_put(o, "fit", fit_of(c));
    snub_json_put(o, "layout", layout_of(c));
    snub_json_put(o, "next", next_of(c));
    snub_json_put(o, "drive", effect != NULL ? effect_of(effect) : json_null());
    say(o, "verdict", snub_level_text(snub_centres_level(c)));
    return snub_json_whole(o);
}

/* ---- to be pasted ------------------------------------------------------------------------------------------------ */

static void add_point(const snub_centres *c, int i, const snub_locale *locale, snub_text *out)
{
    const snub_centre *p = &c->centre[i];
    snub_text_puts(out, "[");
    snub_fragment_length(p->at[0], 2, locale, out);
    snub_text_puts(out, ", ");
    snub_fragment_length(p->at[1], 2, locale, out);
    snub_text_puts(out, "]   # ");
    if (!(p->axis[0] > 0.0)) {
        snub_text_puts(out, "given\n");
        return;
    }
    snub_text_puts(out, "+- ");
    snub_fragment_length(p->error[0], 2, locale, out);
    snub_text_puts(out, ", ");
    snub_fragment_length(p->error[1], 2, locale, out);
    snub_text_puts(out, "\n");
}

/* Where the drive file is known, centres go by their paths; else they are pulleys to begin one with. */
void snub_fragment_centres(const snub_centres *c, const snub_locale *locale, snub_text *out)
{
    const snub_measured *m = c->measured;
    const bool known = m->drive != NULL;
    snub_text_puts(out, "# Centres measured at the engine; behind each the standard deviations of x and y.\n");
    snub_text_puts(out, known ? "variants:\n  measured:\n" : "pulleys:\n");
    for (int i = 0; i < m->pulley_count; i++) {
        if (known && m->pulleys[i].sets == NULL)
            snub_text_puts(out, "    # ");
        snub_text_puts(out, known ? "    " : "  - name: ");
        snub_fragment_name(known && m->pulleys[i].sets != NULL ? m->pulleys[i].sets : m->pulleys[i].name, out);
        snub_text_puts(out, known ? ": " : "\n    at: ");
        add_point(c, i, locale, out);
    }
}
