/** packages: what the kit is sold as. A package sets several values at once and says what it does not come with. */
#include <string.h>

#include "key_notes.h"
#include "keyed.h"
#include "offer_path.h"
#include "tree.h"

enum {
    PACKAGES_MOST = 100,
    EXCLUSIONS_MOST = 100, /**< of a package */
    REASON_MOST = 200      /**< bytes: a line of the chart */
};

static const snub_key package_keys[] = {
    {"about", NULL, SNUB_MEANS("What the package is, in a line for the chart.")},
    {"changes", NULL, SNUB_MEANS("Paths with the values that this package sets, over those of the variant.")},
    {"excludes", NULL, SNUB_MEANS("Combinations that the package is not sold as, each with its reason.")},
    {NULL, NULL, NULL},
};

static const snub_key exclusion_keys[] = {
    {"reason", NULL, SNUB_MEANS("Why this combination is not sold; the chart prints it.")},
    {"variant", NULL, SNUB_MEANS("Variant, or list of them, that the package does not go with.")},
    {NULL, NULL, NULL},
};

/* ---- exclusions -------------------------------------------------------------------------------------------------- */

static const snub_option *option_at(const snub_drive *drive, const char *path)
{
    for (int i = 0; i < drive->option_count; i++) {
        if (snub_offer_same_path(drive->options[i].path, path))
            return &drive->options[i];
    }
    return NULL;
}

static bool among(const snub_node *value, const snub_node *const *values, int count)
{
    for (int i = 0; i < count; i++) {
        if (snub_values_same(value, values[i]))
            return true;
    }
    return false;
}

static void no_option(snub_reader *reader, const snub_drive *drive, const snub_node *key)
{
    const char *names[130] = {"reason", "variant"};
    int n = 2;
    for (int i = 0; i < drive->option_count && n < 130; i++)
        names[n++] = drive->options[i].path;
    snub_read_wrong(reader, key, "reason, variant, or the path of an option", "is not a path of options%s",
                    snub_read_guess(reader, strlen(key->text) < 60 ? snub_nearest(key->text, names, n) : NULL));
}

/** A value, or a list of values that the option offers. Where the option's values are lists themselves, a list of them
 *  is meant. */
static void read_values(snub_reader *reader, const snub_node *node, const snub_option *option,
                        snub_exclusion *exclusion)
{
    snub_excluded_values *values = &exclusion->options[exclusion->option_count];
    const bool one = among(node, option->values, option->count) || node->kind != SNUB_LIST;
    const int count = one ? 1 : node->count;
    *values = (snub_excluded_values){.path = option->path};
    values->values = SNUB_NEW(reader->arena, const snub_node *, count > 0 ? count : 1);
    if (values->values == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    if (count == 0)
        snub_read_wrong(reader, node, "at least one value", "is empty");
    for (int i = 0; i < count; i++) {
        const snub_node *value = one ? node : node->items[i];
        if (!among(value, option->values, option->count))
            snub_read_wrong(reader, value, "one of the option's values", "is not offered by options");
        values->values[values->count++] = value;
    }
    exclusion->option_count++;
}

static bool has_variant(const snub_drive *drive, const char *name)
{
    for (int v = 0; v < drive->variant_count; v++) {
        if (strcmp(drive->variants[v].name, name) == 0)
            return true;
    }
    return false;
}

static void read_fronts(snub_reader *reader, const snub_node *node, const snub_drive *drive, snub_exclusion *exclusion)
{
    const bool list = node->kind == SNUB_LIST;
    const int count = list ? node->count : 1;
    exclusion->variants = SNUB_NEW(reader->arena, const char *, count > 0 ? count : 1);
    if (exclusion->variants == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    if (count == 0)
        snub_read_wrong(reader, node, "at least one name", "is empty");
    for (int i = 0; i < count; i++) {
        const snub_node *name = list ? node->items[i] : node;
        if (name->kind != SNUB_SCALAR || !has_variant(drive, name->text))
            snub_read_wrong(reader, name, "a name from variants", "is not a variant of this file");
        else
            exclusion->variants[exclusion->variant_count++] = name->text;
    }
}

static void read_condition(snub_reader *reader, const snub_node *key, const snub_node *value, const snub_drive *drive,
                           snub_exclusion *exclusion)
{
    if (strcmp(key->text, "reason") == 0)
        return;
    if (strcmp(key->text, "variant") == 0) {
        read_fronts(reader, value, drive, exclusion);
        return;
    }
    const snub_option *option = option_at(drive, key->text);
    if (option == NULL)
        no_option(reader, drive, key);
    else
        read_values(reader, value, option, exclusion);
}

static void read_exclusion(snub_reader *reader, const snub_node *map, const snub_drive *drive,
                           snub_exclusion *exclusion)
{
    *exclusion = (snub_exclusion){.place = map->place, .reason = ""};
    if (map->kind != SNUB_MAP) {
        snub_read_wrong(reader, map, "{PATH: [values], reason: why}", "is not a map");
        return;
    }
    exclusion->options = SNUB_NEW(reader->arena, snub_excluded_values, map->count + 1);
    if (exclusion->options == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    snub_note_listed(reader, exclusion_keys);
    snub_read_apart(reader, map, "variant", SNUB_KEY_TEXT, 1, REASON_MOST);
    snub_read_apart(reader, map, "variant", SNUB_KEY_LIST, 1, 0);
    if (snub_read_need(reader, map, "reason") != NULL)
        snub_read_text(reader, map, "reason", REASON_MOST, &exclusion->reason);
    for (int i = 0; i < map->count; i++) {
        snub_enter(reader, map->keys[i]->text);
        read_condition(reader, map->keys[i], map->items[i], drive, exclusion);
        snub_leave(reader);
    }
    if (map->count < 2)
        snub_read_wrong(reader, map, "a variant, or the path of an option with values",
                        "does not say what the package excludes");
}

static void read_exclusions(snub_reader *reader, const snub_node *map, const snub_drive *drive, snub_package *package)
{
    const snub_node *list = snub_read_list(reader, map, "excludes", 1, EXCLUSIONS_MOST);
    if (list == NULL)
        return;
    package->exclusions = SNUB_NEW(reader->arena, snub_exclusion, list->count);
    if (package->exclusions == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    snub_enter(reader, "excludes");
    for (int i = 0; i < list->count; i++) {
        snub_enter_item(reader, i);
        read_exclusion(reader, list->items[i], drive, &package->exclusions[package->exclusion_count++]);
        snub_leave(reader);
    }
    snub_leave(reader);
}

/* ---- does it hold for a build? ----------------------------------------------------------------------------------- */

static bool names_front(const snub_exclusion *exclusion, const char *variant)
{
    for (int i = 0; i < exclusion->variant_count; i++) {
        if (variant != NULL && strcmp(exclusion->variants[i], variant) == 0)
            return true;
    }
    return exclusion->variant_count == 0;
}

static bool holds(const snub_exclusion *exclusion, const snub_node *tree, const char *variant)
{
    if (!names_front(exclusion, variant))
        return false;
    for (int i = 0; i < exclusion->option_count; i++) {
        const snub_excluded_values *values = &exclusion->options[i];
        const snub_node *there = snub_node_at(tree, values->path);
        if (there == NULL || !among(there, values->values, values->count))
            return false;
    }
    return true;
}

const snub_exclusion *snub_package_excludes(const snub_package *package, const snub_node *tree, const char *variant)
{
    for (int i = 0; i < package->exclusion_count; i++) {
        if (holds(&package->exclusions[i], tree, variant))
            return &package->exclusions[i];
    }
    return NULL;
}

/* ---- packages ---------------------------------------------------------------------------------------------------- */

/** A package and an option that set one thing would say two things of it. */
static void check_options(snub_reader *reader, const snub_drive *drive, const snub_package *package)
{
    for (int i = 0; i < package->count; i++) {
        const snub_overlay *change = &package->changes[i];
        if (option_at(drive, change->path) == NULL)
            continue;
        snub_node key = {.kind = SNUB_SCALAR, .text = change->path, .place = change->place};
        snub_enter(reader, change->path);
        snub_read_wrong(reader, &key, "excludes, with the values that do not go with this package",
                        "is a path of options already");
        snub_leave(reader);
    }
}

static void read_package(snub_reader *reader, const snub_node *root, const snub_node *map, const snub_drive *drive,
                         snub_package *package)
{
    if (!snub_read_keys(reader, map, package_keys, NULL))
        return;
    snub_read_text(reader, map, "about", REASON_MOST, &package->about);
    const snub_node *changes = snub_read_find(map, "changes");
    snub_read_apart(reader, map, "changes", SNUB_KEY_MAP, 0, 0);
    snub_enter(reader, "changes");
    if (changes != NULL && snub_offer_changes(reader, root, changes, &package->changes, &package->count))
        check_options(reader, drive, package);
    snub_leave(reader);
    read_exclusions(reader, map, drive, package);
}

static void read_all(snub_reader *reader, const snub_node *root, const snub_node *map, snub_drive *drive)
{
    drive->packages = SNUB_NEW(reader->arena, snub_package, map->count);
    if (drive->packages == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    drive->package_count = map->count;
    snub_enter(reader, "packages");
    for (int i = 0; i < map->count; i++) {
        const snub_node *key = map->keys[i];
        drive->packages[i] = (snub_package){.name = key->text, .place = key->place, .about = ""};
        snub_enter(reader, key->text);
        if (key->text[0] == '\0' || strlen(key->text) > REASON_MOST)
            snub_read_wrong(reader, key, "a name of 1 to 200 bytes", "is no name of a package");
        if (has_variant(drive, key->text))
            snub_read_wrong(reader, key, "a name of its own", "is the name of a variant already");
        read_package(reader, root, map->items[i], drive, &drive->packages[i]);
        snub_leave(reader);
    }
    snub_leave(reader);
}

/** Every combination of every package on the file's own front and on every variant. */
static void count_builds(snub_reader *reader, const snub_node *root, const snub_drive *drive)
{
    double builds = (1.0 + drive->variant_count) * (drive->package_count > 0 ? drive->package_count : 1);
    for (int i = 0; i < drive->option_count; i++)
        builds *= drive->options[i].count > 0 ? drive->options[i].count : 1;
    if (builds > SNUB_BUILDS_MOST)
        snub_read_wrong_key(reader, root,
                            drive->option_count > 0    ? "options"
                            : drive->package_count > 0 ? "packages"
                                                       : "variants",
                            snub_format(reader->arena, "at most %d", SNUB_BUILDS_MOST),
                            "give %.0f builds: shorten the lists, or split the kit into files", builds);
}

void snub_read_packages(snub_reader *reader, const snub_node *root, snub_drive *drive)
{
    const snub_node *map = snub_read_find(root, "packages");
    snub_read_apart(reader, root, "packages", SNUB_KEY_MAP, 1, PACKAGES_MOST);
    if (map != NULL && map->kind != SNUB_MAP)
        snub_read_wrong_key(reader, root, "packages", "names with what each changes", "is not a map");
    else if (map != NULL && map->count == 0)
        snub_read_wrong_key(reader, root, "packages", "at least one", "is empty");
    else if (map != NULL && map->count > PACKAGES_MOST)
        snub_read_wrong_key(reader, root, "packages", "at most 100", "have %d names", map->count);
    else if (map != NULL)
        read_all(reader, root, map, drive);
    count_builds(reader, root, drive);
}
