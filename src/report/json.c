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
    snub_json_put(object, "swing", json_boolean(at->swings));
    snub_json_put(object, "peak",
                  at->peak == NULL ? json_null() : snub_json_words(at->peak[0] != '\0' ? at->peak : "all"));
}

const char *const snub_warmth_words[] = {"as usual", "cold", "warm", NULL};

void snub_json_put_case(json_t *object, const snub_wanted_state *wanted)
{
    snub_json_put(object, "case", snub_json_words(snub_way_text(wanted->way)));
    snub_json_put(object, "belt", snub_json_words(snub_belt_options[wanted->belt]));
    snub_json_put(object, "arm_friction", snub_json_words(snub_friction_options[wanted->side + 1]));
    snub_json_put(object, "warmth", snub_json_words(snub_warmth_words[wanted->warmth]));
    snub_json_put(object, "peak",
                  wanted->peak == NULL      ? json_null()
                  : wanted->peak[0] != '\0' ? snub_json_words(wanted->peak)
                                            : snub_json_words("all"));
}

/* What `shown_by` shows, for programs. */
static json_t *case_of(const snub_finding *finding)
{
    snub_wanted_state wanted;
    if (!snub_finding_shown_by(finding, &wanted))
        return json_null();
    json_t *object = json_object(), *set = json_array();
    snub_json_put(object, "engine_rpm", snub_json_number(wanted.speed / SNUB_RPM));
    snub_json_put_case(object, &wanted);
    for (int k = 0; k < finding->set_count; k++)
        snub_json_append(set, snub_json_words(finding->set[k]));
    snub_json_put(object, "set", set);
    return object;
}

/* A number of the file stays one. */
static json_t *mend_value(const char *text, double number)
{
    double value = number;
    if (text == NULL || snub_parse_number(text, NULL, &value) == SNUB_OK)
        return snub_json_number(value);
    return snub_json_words(text);
}

/* Changes that the words propose, as the page sends them. */
static json_t *changes_of(const snub_mend *mend)
{
    json_t *list = json_array(), *value = NULL;
    if (mend->path == NULL)
        return list;
    if (mend->count == 2) {
        value = json_array();
        for (int k = 0; k < 2; k++)
            snub_json_append(value, mend_value(mend->value[k], mend->number));
    } else {
        value = mend_value(mend->value[0], mend->number);
    }
    json_t *change = json_object();
    snub_json_put(change, "path", snub_json_words(mend->path));
    snub_json_put(change, "value", value);
    snub_json_append(list, change);
    return list;
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
    snub_json_put(object, "case", case_of(finding));
    snub_json_put(object, "changes", changes_of(&finding->mend));
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
