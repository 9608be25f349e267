/* `snub measure circles --json`, and circles as a piece of a drive file. */
#include <math.h>

#include "json_words.h"
#include "measure_words.h"
#include "snub/circles.h"
#include "words.h"

static void say(json_t *object, const char *key, const char *text)
{
    snub_json_put(object, key, text != NULL ? snub_json_words(text) : json_null());
}

static json_t *mm_pair(const double pair[2])
{
    return snub_json_pair(pair[0] / SNUB_MM, pair[1] / SNUB_MM);
}

static void put_mm(json_t *object, const char *key, double si)
{
    snub_json_put_number(object, key, si / SNUB_MM);
}

static json_t *point_of(const snub_round *r, int i)
{
    const snub_circle_point *p = &r->fit->point[i];
    json_t *o = json_object();
    snub_json_put(o, "line", json_integer(r->points->line[i]));
    put_mm(o, "residual_mm", p->residual);
    snub_json_put_number(o, "share_checked", p->share);
    snub_json_put_number(o, "against_others", p->against);
    snub_json_put(o, "left_out", json_boolean(p->out));
    return o;
}

static json_t *fit_of(const snub_round *r)
{
    const snub_circle_fit *f = r->fit;
    json_t *o = json_object(), *points = json_array();
    snub_json_put(o, "error_mm", mm_pair(f->error));
    put_mm(o, "diameter_error_mm", 2.0 * f->radius_error);
    snub_json_put(o, "ellipse_mm", mm_pair(f->axis));
    snub_json_put_number(o, "ellipse_deg", f->turn / SNUB_DEG);
    snub_json_put_number(o, "errors_within_95", f->within);
    put_mm(o, "scatter_mm", f->scatter);
    snub_json_put_number(o, "sum_mm2", f->sum / (SNUB_MM * SNUB_MM));
    snub_json_put_number(o, "errors_multiplied_by", f->taken);
    snub_json_put_number(o, "others_limit", f->limit);
    snub_json_put(o, "used", json_integer(f->used));
    snub_json_put(o, "straight", json_boolean(f->straight));
    snub_json_put(o, "hardly_held", json_boolean(r->hardly));
    for (int i = 0; i < f->count; i++)
        snub_json_append(points, point_of(r, i));
    snub_json_put(o, "points", points);
    return o;
}

static json_t *round_of(const snub_circles *c, int i)
{
    const snub_round *r = &c->round[i];
    const int pulley = c->group[r->group].pulley;
    json_t *o = json_object();
    snub_json_put(o, "number", json_integer(i + 1));
    say(o, "name", r->name);
    snub_json_put(o, "line", json_integer(r->line));
    say(o, "layer", r->layer);
    snub_json_put(o, "centre_mm", mm_pair(r->at));
    put_mm(o, "diameter_mm", r->diameter);
    snub_json_put_number(o, "arc_deg", r->arc / SNUB_DEG);
    snub_json_put(o, "same_middle_as", json_integer(c->group[r->group].first + 1));
    say(o, "pulley", pulley >= 0 ? c->drive->pulleys[pulley].name : NULL);
    snub_json_put(o, "fit", r->fit != NULL ? fit_of(r) : json_null());
    return o;
}

static json_t *pulley_of(const snub_circles *c, int i)
{
    static const char *const matches[] = {"found", "not found", "open", "moves"};
    const snub_round_pulley *p = &c->pulley[i];
    json_t *o = json_object();
    say(o, "name", c->drive->pulleys[i].name);
    say(o, "match", matches[p->match]);
    snub_json_put(o, "by_name", json_boolean(p->by_name));
    snub_json_put(o, "elsewhere", json_boolean(p->elsewhere));
    snub_json_put(o, "that_fit", json_integer(p->fits));
    snub_json_put(o, "circle", p->round >= 0 ? json_integer(p->round + 1) : json_null());
    snub_json_put(o, "off_mm", p->round >= 0 ? mm_pair(p->off) : json_null());
    put_mm(o, "diameter_off_mm", p->round >= 0 ? p->size_off : (double)NAN);
    return o;
}

static json_t *skipped_of(const snub_sketch *s)
{
    json_t *list = json_array();
    for (int i = 0; i < s->skipped_count; i++) {
        json_t *o = json_object();
        say(o, "what", s->skipped[i].what);
        snub_json_put(o, "count", json_integer(s->skipped[i].count));
        snub_json_put(o, "first_line", json_integer(s->skipped[i].line));
        snub_json_append(list, o);
    }
    return list;
}

json_t *snub_json_circles(const snub_circles *c)
{
    json_t *o = json_object(), *rounds = json_array(), *pulleys = c->drive != NULL ? json_array() : json_null();
    const bool sketch = c->sketch != NULL;
    snub_json_put(o, "snub", json_integer(1));
    say(o, "of", sketch ? "sketch" : "points");
    say(o, "unit", sketch ? c->sketch->unit : c->scan->unit);
    snub_json_put(o, "unit_told", json_boolean(sketch ? c->sketch->unit_told : c->scan->unit_told));
    put_mm(o, "tolerance_mm", c->wish.tolerance);
    put_mm(o, "reach_mm", c->wish.reach);
    for (int i = 0; i < c->round_count; i++)
        snub_json_append(rounds, round_of(c, i));
    snub_json_put(o, "circles", rounds);
    for (int i = 0; c->drive != NULL && i < c->drive->pulley_count; i++)
        snub_json_append(pulleys, pulley_of(c, i));
    snub_json_put(o, "pulleys", pulleys);
    snub_json_put(o, "short_arcs", sketch ? json_integer(c->short_count) : json_null());
    snub_json_put(o, "passed_over", sketch ? skipped_of(c->sketch) : json_null());
    say(o, "verdict", snub_level_text(snub_circles_level(c)));
    return snub_json_whole(o);
}

/* ---- to be pasted -------------------------------------------------------------------------------------------------
 */

static void add_place(const double at[2], const snub_locale *locale, snub_text *out)
{
    snub_text_puts(out, "[");
    snub_fragment_length(at[0], 3, locale, out);
    snub_text_puts(out, ", ");
    snub_fragment_length(at[1], 3, locale, out);
    snub_text_puts(out, "]");
}

static void add_name(const snub_circles *c, int round, snub_text *out)
{
    if (c->round[round].name != NULL) {
        snub_fragment_name(c->round[round].name, out);
        return;
    }
    snub_text_printf(out, "\"circle %d\"", round + 1);
}

static void add_errors(const snub_round *r, const snub_locale *locale, snub_text *out)
{
    if (r->fit != NULL && isfinite(r->fit->error[0])) {
        snub_text_puts(out, "   # +- ");
        snub_fragment_length(r->fit->error[0], 3, locale, out);
        snub_text_puts(out, ", ");
        snub_fragment_length(r->fit->error[1], 3, locale, out);
    }
    snub_text_puts(out, "\n");
}

static void add_found(const snub_circles *c, const snub_locale *locale, snub_text *out)
{
    bool any = false;
    for (int i = 0; i < c->drive->pulley_count; i++) {
        const snub_round_pulley *p = &c->pulley[i];
        if (p->match != SNUB_ROUND_FOUND)
            continue;
        snub_text path = {0};
        snub_text_printf(&path, "%s.at", c->drive->pulleys[i].name);
        snub_text_puts(out, any ? "    " : "variants:\n  measured:\n    ");
        snub_fragment_name(path.data != NULL ? path.data : "", out);
        snub_text_puts(out, ": ");
        add_place(c->round[p->round].at, locale, out);
        add_errors(&c->round[p->round], locale, out);
        out->failed = out->failed || path.failed;
        snub_text_free(&path);
        any = true;
    }
    if (!any)
        snub_text_puts(out, "# No pulley was found.\n");
}

/* Of a middle the largest circle is what something else could run into. */
static void add_unknown(const snub_circles *c, const snub_locale *locale, snub_text *out)
{
    bool any = false;
    for (int g = 0; c->drive != NULL && g < c->group_count; g++) {
        const int first = c->group[g].first;
        if (c->group[g].pulley >= 0 || (c->round[first].fit != NULL && c->round[first].fit->straight))
            continue;
        if (!any)
            snub_text_puts(
                out, "# What else is round. Give names, and take the # away from what the belt must keep clear of.\n"
                     "# obstacles:\n");
        any = true;
        snub_text_puts(out, "#   - {name: ");
        add_name(c, first, out);
        snub_text_puts(out, ", circle: {at: ");
        add_place(c->round[first].at, locale, out);
        snub_text_puts(out, ", diameter: ");
        snub_fragment_length(c->round[first].diameter, 3, locale, out);
        snub_text_puts(out, "}}\n");
    }
}

static void add_pulleys(const snub_circles *c, const snub_locale *locale, snub_text *out)
{
    snub_text_puts(out, "pulleys:\n");
    for (int g = 0; g < c->group_count; g++) {
        const int first = c->group[g].first;
        const snub_round *r = &c->round[first];
        if (r->fit != NULL && r->fit->straight)
            continue;
        snub_text_puts(out, "  - name: ");
        add_name(c, first, out);
        snub_text_puts(out, "\n    at: ");
        add_place(r->at, locale, out);
        add_errors(r, locale, out);
        snub_text_puts(out, "    diameter: ");
        snub_fragment_length(r->diameter, 3, locale, out);
        for (int i = first + 1; i < first + c->group[g].count; i++) {
            snub_text_puts(out, i == first + 1 ? "   # or " : ", ");
            snub_fragment_length(c->round[i].diameter, 3, locale, out);
        }
        snub_text_puts(out, "\n");
    }
}

void snub_fragment_circles(const snub_circles *c, const snub_locale *locale, snub_text *out)
{
    snub_text_puts(out, c->sketch != NULL
                            ? "# Circles of a sketch.\n"
                            : "# Circles through points; behind each the standard deviations of x and y.\n");
    if (c->drive == NULL) {
        add_pulleys(c, locale, out);
        return;
    }
    add_found(c, locale, out);
    add_unknown(c, locale, out);
}
