/* Spans that flap, of `snub motion --json`. */
#include "json_words.h"
#include "snub/flapping.h"

static json_t *span_name(const snub_drive *drive, int i)
{
    snub_text span = {0};
    snub_text_printf(&span, "%s - %s", drive->pulleys[i].name, drive->pulleys[(i + 1) % drive->pulley_count].name);
    return snub_json_grown(&span);
}

static json_t *crossing_of(const snub_vibration *v, const snub_flap_crossing *c)
{
    json_t *object = json_object(), *modes = json_array();
    snub_json_put(object, "span", span_name(v->drive, c->span));
    snub_json_put(object, "order", snub_json_number(c->order));
    snub_json_append(modes, json_integer(c->n));
    if (c->k > 0)
        snub_json_append(modes, json_integer(c->k));
    snub_json_put(object, "modes", modes);
    snub_json_put(object, "meets_it_at_rpm", snub_json_number(c->at / SNUB_RPM));
    snub_json_put(object, "swing_N", snub_json_number(c->swing));
    snub_json_put(object, "needed_N", snub_json_number(c->needed));
    snub_json_put(object, "flaps", json_boolean(!isnan(c->from)));
    snub_json_put(object, "from_rpm", snub_json_number(c->from / SNUB_RPM));
    snub_json_put(object, "to_rpm", snub_json_number(c->to / SNUB_RPM));
    snub_json_put(object, "flap_mm", snub_json_number(c->flap / SNUB_MM));
    return object;
}

static json_t *beside_of(const snub_vibration *v, const snub_span_flap *span)
{
    json_t *object = json_object();
    const bool of_span = span->beside == SNUB_BESIDE_SPAN;
    snub_json_put(object, "kind",
                  snub_json_words(of_span                              ? "span"
                                  : span->beside == SNUB_BESIDE_PULLEY ? "pulley"
                                                                       : "obstacle"));
    snub_json_put(
        object, "name",
        of_span ? span_name(v->drive, span->index)
                : snub_json_words(span->obstacle != NULL ? span->obstacle->name : v->drive->pulleys[span->index].name));
    snub_json_put(object, "gap_mm", snub_json_number(span->gap / SNUB_MM));
    snub_json_put(object, "left_mm", snub_json_number(span->room / SNUB_MM));
    return object;
}

json_t *snub_json_flapping(const snub_vibration *v)
{
    json_t *object = json_object(), *crossings = json_array(), *spans = json_array();
    snub_json_put(object, "damping", snub_json_number(v->drive->belt.flap_damping));
    for (int k = 0; k < v->flapping->count; k++)
        snub_json_append(crossings, crossing_of(v, &v->flapping->crossing[k]));
    for (int i = 0; i < v->flapping->spans; i++) {
        const snub_span_flap *span = &v->flapping->span[i];
        json_t *one = json_object();
        snub_json_put(one, "span", span_name(v->drive, i));
        snub_json_put(one, "rpm", snub_json_number(span->speed / SNUB_RPM));
        snub_json_put(one, "flap_mm", snub_json_number(span->flap / SNUB_MM));
        snub_json_put(one, "by_tension_mm", snub_json_number(span->of_tension / SNUB_MM));
        snub_json_put(one, "by_the_arm_mm", snub_json_number(span->of_end / SNUB_MM));
        snub_json_put(one, "beside", span->beside == SNUB_BESIDE_NOTHING ? json_null() : beside_of(v, span));
        snub_json_append(spans, one);
    }
    snub_json_put(object, "crossings", crossings);
    snub_json_put(object, "spans", spans);
    return object;
}
