/** Keys at the head of the drive file, and the names that they take from pulleys. */
#include <string.h>

#include "sections.h"

const snub_key snub_root_keys[] = {{"snub", NULL},
                                   {"title", NULL},
                                   {"kit_number", NULL},
                                   {"house", NULL},
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
                                   {"contents", snub_content_keys},
                                   {"steps", snub_steps_keys},
                                   {NULL, NULL}};

/* Nothing stands below it, so that a longer path is a pulley's. */
static bool is_plain(const char *key)
{
    static const char *const plain[] = {"snub", "title", "kit_number", "house", "units"};
    for (size_t i = 0; i < sizeof plain / sizeof plain[0]; i++)
        if (strcmp(plain[i], key) == 0)
            return true;
    return false;
}

bool snub_name_reserved(const char *name)
{
    const snub_key *lists[] = {snub_root_keys, snub_hardware_root_keys};
    for (int i = 0; i < 2; i++) {
        for (const snub_key *key = lists[i]; key->name != NULL; key++) {
            if (!is_plain(key->name) && strcmp(key->name, name) == 0)
                return true;
        }
    }
    return false;
}

bool snub_root_closed(const char *path)
{
    static const char *const closed[] = {"snub", "kit_number", "house", "units", "options", "variants", "packages"};
    for (size_t i = 0; i < sizeof closed / sizeof closed[0]; i++) {
        const size_t length = strlen(closed[i]);
        if (strncmp(path, closed[i], length) == 0 && (path[length] == '.' || path[length] == '\0'))
            return true;
    }
    return false;
}
