/** Which command reads a file of readings. */
#include "snub/measured.h"

#include <string.h>

/* A key at the top that files of one kind alone have. */
static const struct {
    const char *key;
    snub_readings kind;
} TELLS[] = {{"readings", SNUB_READ_CENTRES}, {"winding", SNUB_READ_ARM}, {"releasing", SNUB_READ_ARM},
             {"spans", SNUB_READ_PLUCK},      {"belts", SNUB_READ_BELT},  {"strips", SNUB_READ_SPREAD},
             {"balls", SNUB_READ_SPREAD},     {"worn", SNUB_READ_SPREAD}};
static const char *const words[] = {"centres", "arm", "pluck", "belt", "spread"};

const char *snub_readings_text(snub_readings kind)
{
    return words[kind];
}

/* By the keys at the top of a file. @param[out] key  one that only this kind has */
static snub_readings kind_of(const snub_document *document, const snub_node **key)
{
    for (size_t i = 0; i < sizeof TELLS / sizeof TELLS[0]; i++)
        if ((*key = snub_node_get(document->root, TELLS[i].key)) != NULL)
            return TELLS[i].kind;
    return SNUB_READINGS_;
}

bool snub_readings_refuse(const snub_document *document, snub_readings wanted, snub_errors *errors)
{
    const snub_node *key;
    snub_error told;
    const snub_readings is = kind_of(document, &key);
    if (is == SNUB_READINGS_ || is == wanted)
        return false;
    const snub_place place = {.file = document->name, .line = key->place.line, .column = key->place.column};
    snub_fail(&told, SNUB_BAD_INPUT, &place, NULL, "this file holds readings for `snub measure %s`, not for `%s`",
              words[is], words[wanted]);
    snub_errors_add(errors, &told);
    return true;
}
