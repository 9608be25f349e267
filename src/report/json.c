/* Small words of JSON that every result uses. */
#include "snub/report.h"

#include <jansson.h>
#include <stdlib.h>
#include <string.h>

#include "json_words.h"

json_t *snub_json_number(double value)
{
    if (!isfinite(value))
        return json_null();
    return json_real(value == 0.0 ? 0.0 : value); /* no "-0.0" */
}

json_t *snub_json_words(const char *text)
{
    return text != NULL ? json_string(text) : json_null();
}

void snub_json_put(json_t *object, const char *key, json_t *value)
{
    /* A NULL value or object (no memory) makes json_object_set_new fail and drop the rest: the writers look at the end.
     */
    if (json_object_set_new(object, key, value) != 0 && object != NULL)
        json_object_set_new(object, SNUB_JSON_BROKEN, json_true());
}

bool snub_json_whole(const json_t *object)
{
    return object != NULL && json_object_get(object, SNUB_JSON_BROKEN) == NULL;
}

json_t *snub_json_pair(double x, double y)
{
    return json_pack("[o, o]", snub_json_number(x), snub_json_number(y));
}

static json_t *one_finding(const snub_finding *finding)
{
    json_t *object = json_object();
    snub_json_put(object, "level", json_string(snub_level_text(finding->level)));
    snub_json_put(object, "rule", json_string(finding->rule));
    snub_json_put(object, "pulley", snub_json_words(finding->pulley));
    snub_json_put(object, "other", snub_json_words(finding->other));
    snub_json_put(object, "value", snub_json_number(finding->value));
    snub_json_put(object, "limit", snub_json_number(finding->limit));
    snub_json_put(object, "unit", json_string(finding->unit != NULL ? finding->unit : ""));
    snub_json_put(object, "at_rpm", snub_json_number(finding->at_speed * SNUB_RAD_S_TO_RPM));
    snub_json_put(object, "state", snub_json_words(finding->state));
    snub_json_put(object, "text", json_string(finding->text));
    snub_json_put(object, "source", json_string(finding->source != NULL ? finding->source : ""));
    return object;
}

json_t *snub_json_findings(const snub_findings *findings)
{
    json_t *list = json_array();
    for (int i = 0; i < findings->count; i++)
        json_array_append_new(list, one_finding(&findings->items[i]));
    return list;
}

snub_status snub_json_text(const json_t *json, snub_text *out, snub_error *error)
{
    char *text = json_dumps(json, JSON_INDENT(1) | JSON_REAL_PRECISION(SNUB_JSON_DIGITS) | JSON_PRESERVE_ORDER);
    if (text == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    snub_text_puts(out, text);
    snub_text_puts(out, "\n");
    free(text);
    return out->failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory") : SNUB_OK;
}
