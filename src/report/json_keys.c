/* The list of keys of the drive file, as JSON. */
#include "json_words.h"
#include "snub/key_list.h"
#include "snub/locale.h"

/* As the file has it. */
static json_t *text_json(const snub_node *scalar)
{
    return snub_json_words(scalar->text);
}

static void put_bounds(json_t *one, const snub_key_bounds *bounds)
{
    snub_unit unit;
    const char *us = bounds->unit[0] != '\0' && snub_unit_of_text(bounds->unit, &unit)
                         ? snub_unit_describe(unit)->us_text
                         : bounds->unit;
    snub_json_put(one, "unit", snub_json_words(bounds->unit));
    snub_json_put(one, "us_unit", snub_json_words(us));
    snub_json_put(one, "least", snub_json_number(bounds->least));
    snub_json_put(one, "most", snub_json_number(bounds->most));
}

static void put_words(json_t *one, const char *const *words)
{
    json_t *list = json_array();
    for (; *words != NULL; words++)
        snub_json_append(list, snub_json_words(*words));
    snub_json_put(one, "words", list);
}

static void put_preset(json_t *one, const snub_file_key *key)
{
    if (key->preset != NULL)
        snub_json_put(one, "default", snub_json_words(key->preset));
    if (key->source != NULL)
        snub_json_put(one, "source", snub_json_words(key->source));
    if (key->usual[0] != NULL)
        snub_json_put(one, "usual",
                      json_pack("[o, o]", snub_json_words(key->usual[0]), snub_json_words(key->usual[1])));
    if (key->measure != NULL)
        snub_json_put(one, "measure", snub_json_words(key->measure));
}

static json_t *key_json(const snub_file_key *key, const snub_locale *locale)
{
    json_t *one = json_pack("{s:o, s:o, s:s, s:b}", "key", snub_json_words(key->pattern), "path",
                            snub_json_words(key->path), "kind", snub_key_kind_text(key->kind), "needed", key->needed);
    if (locale != NULL && key->means != NULL)
        snub_json_put(one, "means", snub_json_words(snub_say(locale, key->means)));
    if (key->x.unit != NULL)
        put_bounds(one, &key->x);
    if (key->closed)
        snub_json_put(one, "closed", json_true());
    if (key->unit_needed)
        snub_json_put(one, "unit_needed", json_true());
    if (key->y.unit != NULL) {
        json_t *second = json_object();
        put_bounds(second, &key->y);
        snub_json_put(one, "second", second);
    }
    if (key->most > 0)
        snub_json_put(one, "count", json_pack("[i, i]", key->least, key->most));
    if (key->words != NULL)
        put_words(one, key->words);
    put_preset(one, key);
    if (key->node == NULL)
        return one;
    snub_json_put(one, "value", snub_json_node(key->node, text_json));
    snub_json_put(one, "line", json_integer(key->node->place.line));
    if (key->node->from_part != NULL)
        snub_json_put(one, "part", snub_json_words(key->node->from_part));
    return one;
}

json_t *snub_json_keys(const snub_file_key *keys, const snub_locale *locale)
{
    json_t *list = json_array();
    for (; keys != NULL; keys = keys->next)
        snub_json_append(list, key_json(keys, locale));
    return snub_json_whole(list);
}
