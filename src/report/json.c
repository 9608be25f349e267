/* Conditions and findings as JSON, the same in every result. */
#include <math.h>

#include "json_words.h"
#include "words.h"

void snub_json_put_condition(json_t *object, const snub_condition *at)
{
    const bool cases = at->moment == SNUB_RUNNING || at->moment == SNUB_AT_REST;
    snub_json_put(object, "at_rpm",
                  snub_json_number(at->moment == SNUB_RUNNING ? at->speed / SNUB_RPM
                                   : cases                    ? 0.0
                                                              : (double)NAN));
    snub_json_put(object, "state", snub_json_words(snub_condition_text(at)));
    snub_json_put(object, "belt", cases ? snub_json_words(snub_corner_text(at->corner)) : json_null());
    snub_json_put(object, "warmth",
                  cases && at->warmth != SNUB_ANY_WARMTH ? snub_json_words(at->warmth == SNUB_COLD ? "cold" : "warm")
                                                         : json_null());
    snub_json_put(object, "arm_friction",
                  cases ? snub_json_words(at->side < 0   ? "low"
                                          : at->side > 0 ? "high"
                                                         : "middle")
                        : json_null());
    snub_json_put(object, "peak",
                  at->peak == NULL ? json_null() : snub_json_words(at->peak[0] != '\0' ? at->peak : "all"));
}

static json_t *shown_by(const snub_finding *finding)
{
    snub_text options = {0};
    snub_shown_by(finding, &options);
    if (options.failed)
        snub_json_lose();
    json_t *json = options.length > 0 ? snub_json_words(options.data + 1) : json_null();
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
    snub_json_put(object, "level", snub_json_words(snub_level_text(finding->level)));
    snub_json_put(object, "rule", snub_json_words(snub_finding_rule(finding)));
    snub_json_put(object, "area", snub_json_words(snub_area_text(snub_finding_area(finding))));
    snub_json_put(object, "pulley", snub_json_words(finding->pulley));
    snub_json_put(object, "other", other.length > 0 || other.failed ? snub_json_grown(&other) : json_null());
    snub_json_put(object, "span",
                  finding->kind == SNUB_OTHER_SPAN ? json_pack("[s, s]", finding->other, finding->second)
                                                   : json_null());
    snub_json_put(object, "line", finding->line > 0 ? json_integer(finding->line) : json_null());
    snub_json_put(object, "value", snub_json_number(snub_in_unit(info->unit, finding->value)));
    snub_json_put(object, "limit", snub_json_number(snub_in_unit(info->unit, finding->limit)));
    snub_json_put(object, "unit", snub_json_words(snub_unit_describe(info->unit)->text));
    snub_json_put_condition(object, &finding->at);
    snub_json_put(object, "with",
                  finding->range != NULL ? json_pack("{s:s, s:s}", "path", finding->range->path, "value",
                                                     finding->range->end[finding->end])
                                         : json_null());
    snub_json_put(object, "shown_by", shown_by(finding));
    snub_json_put(object, "text", snub_json_grown(&sentence));
    snub_json_put(object, "source", snub_json_grown(&basis));
    snub_text_free(&other);
    return object;
}

json_t *snub_json_findings(const snub_findings *findings, const snub_locale *locale)
{
    json_t *list = json_array();
    for (int i = 0; i < findings->count; i++)
        snub_json_append(list, one_finding(&findings->items[i], locale));
    return list;
}
