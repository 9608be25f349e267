/** Keys at the head of the drive file, and the names that they take from pulleys. */
#include <string.h>

#include "sections.h"

const snub_key snub_root_keys[] = {{"snub", NULL},
                                   {"title", NULL},
                                   {"units", NULL},
                                   {"engine", snub_engine_keys},
                                   {"air", snub_air_keys},
                                   {"cooler", snub_cooler_keys},
                                   {"belt", snub_belt_keys},
                                   {"pulleys", NULL},
                                   {"options", NULL},
                                   {"variants", NULL},
                                   {"packages", NULL},
                                   {"limits", snub_limit_keys},
                                   {NULL, NULL}};

bool snub_name_reserved(const char *name)
{
    const snub_key *lists[] = {snub_root_keys, snub_hardware_root_keys};
    for (int i = 0; i < 2; i++) {
        for (const snub_key *key = lists[i]; key->name != NULL; key++) {
            bool plain =
                strcmp(key->name, "snub") == 0 || strcmp(key->name, "title") == 0 || strcmp(key->name, "units") == 0;
            if (!plain && strcmp(key->name, name) == 0)
                return true;
        }
    }
    return false;
}
