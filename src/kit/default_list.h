/** Values that a drive file may leave out, with the ranges of real ones. Private to the room. */
#ifndef SNUB_KIT_DEFAULT_LIST_H
#define SNUB_KIT_DEFAULT_LIST_H

#include "snub/defaults.h"

/** The section, or the part of a pulley, that the key stands in. */
typedef enum snub_default_section { SNUB_OF_BELT, SNUB_OF_ENGINE, SNUB_OF_BLOWER, SNUB_OF_SEAT } snub_default_section;

typedef struct snub_listed_default {
    snub_default_section of;
    snub_default_info info;
} snub_listed_default;

/** All of snub/default_list.inc, in its order. */
const snub_listed_default *snub_default_list(int *count);

/** Range of a key of the belt, in its bare unit; the key is one of the list. */
void snub_belt_default_range(const char *key, double range[2]);

#endif
