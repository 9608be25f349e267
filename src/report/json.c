/* Small words of JSON that every result uses. */
#include "snub/report.h"

#include <jansson.h>
#include <stdlib.h>
#include <string.h>

#include "json_words.h"
#include "words.h"

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

/* Words as JSON; the text is freed. NULL where memory is out. */
static json_t *words_of(snub_text *text)
{
    json_t *json = text->failed ? NULL : json_string(text->data != NULL ? text->data : "");
    snub_text_free(text);
    return json;
}

void snub_json_put_condition(json_t *object, const snub_condition *at)
{
    const bool cases = at->moment == SNUB_RUNNING || at->moment == SNUB_AT_REST;
    snub_json_put(object, "at_rpm",
                  snub_json_number(at->moment == SNUB_RUNNING ? at->speed / SNUB_RPM
                                   : cases                    ? 0.0
                                                              : (double)NAN));
    snub_json_put(object, "state", json_string(snub_condition_text(at)));
    snub_json_put(object, "belt", cases ? json_string(snub_corner_text(at->corner)) : json_null());
    snub_json_put(object, "warmth",
                  cases && at->warmth != SNUB_ANY_WARMTH ? json_string(at->warmth == SNUB_COLD ? "cold" : "warm")
                                                         : json_null());
    snub_json_put(object, "arm_friction",
                  cases ? json_string(at->side < 0   ? "low"
                                      : at->side > 0 ? "high"
                                                     : "middle")
                        : json_null());
    snub_json_put(object, "peak", at->peak == NULL ? json_null() : json_string(at->peak[0] != '\0' ? at->peak : "all"));
}

static json_t *shown_by(const snub_finding *finding)
{
    snub_text options = {0};
    snub_shown_by(finding, &options);
    json_t *json = options.length > 0 && !options.failed ? json_string(options.data + 1) : json_null();
    snub_text_free(&options);
    return json;
}

static json_t *one_finding(const snub_finding *finding, const snub_locale *locale)
{
    const snub_wording_info *info = snub_wording_describe(finding->wording);
    json_t *object = json_object();
    snub_text other = {0}, sentence = {0}, basis = {0};
    snub_finding_other(finding, NULL, &other);
    snub_finding_sentence(finding, locale, &sentence);
    snub_finding_basis(finding, NULL, &basis);
    snub_json_put(object, "level", json_string(snub_level_text(finding->level)));
    snub_json_put(object, "rule", json_string(snub_finding_rule(finding)));
    snub_json_put(object, "area", json_string(snub_area_text(snub_finding_area(finding))));
    snub_json_put(object, "pulley", snub_json_words(finding->pulley));
    snub_json_put(object, "other", other.length > 0 ? words_of(&other) : json_null());
    snub_json_put(object, "span",
                  finding->kind == SNUB_OTHER_SPAN ? json_pack("[s, s]", finding->other, finding->second)
                                                   : json_null());
    snub_json_put(object, "line", finding->line > 0 ? json_integer(finding->line) : json_null());
    snub_json_put(object, "value", snub_json_number(snub_in_unit(info->unit, finding->value)));
    snub_json_put(object, "limit", snub_json_number(snub_in_unit(info->unit, finding->limit)));
    snub_json_put(object, "unit", json_string(snub_unit_describe(info->unit)->text));
    snub_json_put_condition(object, &finding->at);
    snub_json_put(object, "with",
                  finding->range != NULL ? json_pack("{s:s, s:s}", "path", finding->range->path, "value",
                                                     finding->range->end[finding->end])
                                         : json_null());
    snub_json_put(object, "shown_by", shown_by(finding));
    snub_json_put(object, "text", words_of(&sentence));
    snub_json_put(object, "source", words_of(&basis));
    snub_text_free(&other);
    return object;
}

json_t *snub_json_findings(const snub_findings *findings, const snub_locale *locale)
{
    json_t *list = json_array();
    for (int i = 0; i < findings->count; i++)
        json_array_append_new(list, one_finding(&findings->items[i], locale));
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
