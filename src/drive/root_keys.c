/** Keys at the head of the drive file, and the names that they take from pulleys. */
#include <string.h>

#include "sections.h"

const snub_key snub_root_keys[] = {
    {"snub", NULL, SNUB_MEANS("Format of the drive file; it is 1.")},
    {"title", NULL, SNUB_MEANS("Name of the drive, printed at the head of every sheet.")},
    {"kit_number", NULL,
     SNUB_MEANS("Number you sell the kit by, printed on every sheet beside the code of the build.")},
    {"house", NULL,
     SNUB_MEANS(
         "Path of your company's house file, from this file's folder: letterhead, units, language of the sheets.")},
    {"units", NULL, SNUB_MEANS("Units that results are shown in. Bare numbers in the file stay metric.")},
    {"engine", snub_engine_keys,
     SNUB_MEANS("The engine that turns the crank pulley: its speeds, how fast they change, and how it breathes.")},
    {"air", snub_air_keys, SNUB_MEANS("The ambient air on the day that the drive is judged for.")},
    {"cooler", snub_cooler_keys,
     SNUB_MEANS("Charge cooler and intake: how far they cool the air and how much pressure they cost.")},
    {"belt", snub_belt_keys,
     SNUB_MEANS("The ribbed belt: section, ribs, length or stock to choose from, and its material.")},
    {"pulleys", NULL, SNUB_MEANS("All pulleys, in the order that the belt meets them on its way.")},
    {"options", NULL,
     SNUB_MEANS(
         "Values that a buyer can choose: each path with the list of its values. The chart has every combination.")},
    {"variants", NULL,
     SNUB_MEANS("Other fronts of the engine that the kit fits: a name each, with the paths and values that differ.")},
    {"packages", NULL, SNUB_MEANS("What the kit is sold as: a name that sets several values at once.")},
    {"limits", snub_limit_keys, SNUB_MEANS("Your own limits, in place of the program's defaults.")},
    {"contents", snub_content_keys, SNUB_MEANS("What is in the box beside the drive, and old parts that come off.")},
    {"steps", snub_steps_keys, SNUB_MEANS("Your own words, pictures and steps for the fitting sheet.")},
    {"search", snub_search_keys,
     SNUB_MEANS("For `snub search`: what may be moved, what must hold, and what is to be gained.")},
    {"tolerances", snub_tolerance_keys,
     SNUB_MEANS("What values differ by from kit to kit, for those that do not have it written behind them.")},
    {NULL, NULL, NULL},
};

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
