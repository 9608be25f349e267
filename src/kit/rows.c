/* Rows of a kit: variants times packages times options, each with the overlays that make it from the file. */
#include "snub/kit.h"

#include <stdlib.h>
#include <string.h>

/* Place of a name among those of a section of the file; an unknown one is told with the nearest. */
static snub_status find_name(const char *what, const char *section, const char *name, const char **names, int count,
                             int *found, snub_errors *errors)
{
    snub_error error;
    for (*found = 0; *found < count; ++*found) {
        if (strcmp(names[*found], name) == 0)
            return SNUB_OK;
    }
    const char *near = count > 0 ? snub_nearest(name, names, count) : NULL;
    if (near != NULL)
        snub_fail(&error, SNUB_BAD_INPUT, NULL, section, "there is no %s \"%.60s\"; did you mean \"%s\"?", what, name,
                  near);
    else
        snub_fail(&error, SNUB_BAD_INPUT, NULL, section, "there is no %s \"%.60s\"%s%s", what, name,
                  count > 0 ? "; the first is " : ": the file has none", count > 0 ? names[0] : "");
    snub_errors_add(errors, &error);
    return SNUB_BAD_INPUT;
}

static snub_status find_variant(const snub_drive *base, const char *name, snub_arena *arena, const snub_variant **found,
                                snub_errors *errors)
{
    const char **names = SNUB_NEW(arena, const char *, base->variant_count + 1);
    int place = 0;
    if (names == NULL)
        return SNUB_NO_MEMORY;
    for (int v = 0; v < base->variant_count; v++)
        names[v] = base->variants[v].name;
    const snub_status status = find_name("variant", "variants", name, names, base->variant_count, &place, errors);
    *found = status == SNUB_OK ? &base->variants[place] : NULL;
    return status;
}

static snub_status find_package(const snub_drive *base, const char *name, snub_arena *arena, const snub_package **found,
                                snub_errors *errors)
{
    const char **names = SNUB_NEW(arena, const char *, base->package_count + 1);
    int place = 0;
    if (names == NULL)
        return SNUB_NO_MEMORY;
    for (int p = 0; p < base->package_count; p++)
        names[p] = base->packages[p].name;
    const snub_status status = find_name("package", "packages", name, names, base->package_count, &place, errors);
    *found = status == SNUB_OK ? &base->packages[place] : NULL;
    return status;
}

static bool is_named(const char *name)
{
    return name != NULL && name[0] != '\0';
}

/* Overlays of a row: the variant's, the package's, then one value of each option, then the caller's, which lie over
 * all. */
static snub_status lay_row(const snub_reading *reading, const snub_variant *variant, const snub_package *package,
                           const snub_rows *rows, int index, snub_row *row)
{
    const int first = variant != NULL ? variant->count : 0, second = package != NULL ? package->count : 0;
    const int all = first + second + rows->option_count + reading->overlay_count;
    snub_overlay *overlays = SNUB_NEW(reading->arena, snub_overlay, all + 1);
    const char **values = SNUB_NEW(reading->arena, const char *, rows->option_count + 1);
    if (overlays == NULL || values == NULL)
        return SNUB_NO_MEMORY;
    int count = 0;
    for (int k = 0; k < first; k++)
        overlays[count++] = variant->changes[k];
    for (int k = 0; k < second; k++)
        overlays[count++] = package->changes[k];
    int rest = index;
    for (int o = rows->option_count - 1; o >= 0; o--) {
        const snub_option *option = &rows->options[o];
        const snub_node *value = option->values[rest % option->count];
        rest /= option->count;
        overlays[count + o] = (snub_overlay){option->path, value, option->place};
        values[o] = snub_node_flow(value, reading->arena);
        if (values[o] == NULL)
            return SNUB_NO_MEMORY;
    }
    count += rows->option_count;
    for (int k = 0; k < reading->overlay_count; k++)
        overlays[count++] = reading->overlays[k];
    *row = (snub_row){.variant = variant != NULL ? variant->name : "",
                      .package = package != NULL ? package->name : "",
                      .option_count = rows->option_count,
                      .options = rows->options,
                      .values = values,
                      .overlays = overlays,
                      .overlay_count = count,
                      .set_count = reading->overlay_count};
    return SNUB_OK;
}

/* The exclusion that keeps the package from this row. NULL: none; a row that cannot be read is told when it is read. */
static const snub_exclusion *excluded(const snub_document *document, const snub_package *package, const snub_row *row)
{
    snub_arena arena;
    if (package == NULL || package->exclusion_count == 0)
        return NULL;
    snub_arena_init(&arena, 0);
    const snub_node *tree = snub_tree_laid(document, row->overlays, row->overlay_count, &arena);
    const snub_exclusion *found = tree != NULL ? snub_package_excludes(package, tree, row->variant) : NULL;
    snub_arena_free(&arena);
    return found;
}

bool snub_row_with(const snub_row *row, const snub_overlay *value, snub_arena *arena, snub_row *made)
{
    snub_overlay *overlays = SNUB_NEW(arena, snub_overlay, row->overlay_count + 1);
    if (overlays == NULL)
        return false;
    for (int i = 0; i < row->overlay_count; i++)
        overlays[i] = row->overlays[i];
    overlays[row->overlay_count] = *value;
    *made = *row;
    made->overlays = overlays;
    made->overlay_count = row->overlay_count + 1;
    made->set_count = row->set_count + 1;
    return true;
}

/* A build that nobody is sold is not judged under the package's name. */
static void refuse_excluded(const snub_package *package, const snub_exclusion *exclusion, snub_errors *errors)
{
    snub_error error;
    snub_fail(&error, SNUB_BAD_INPUT, &exclusion->place, "packages",
              "package \"%.60s\" excludes this build (leave the package out, or choose other values): %.200s",
              package->name, exclusion->reason);
    snub_errors_add(errors, &error);
}

const snub_exclusion *snub_row_excluded(const snub_document *document, const snub_drive *drive, const snub_row *row,
                                        snub_errors *errors)
{
    const snub_package *package = NULL;
    for (int p = 0; p < drive->package_count; p++) {
        if (strcmp(drive->packages[p].name, row->package) == 0)
            package = &drive->packages[p];
    }
    const snub_exclusion *exclusion = excluded(document, package, row);
    if (exclusion != NULL && errors != NULL)
        refuse_excluded(package, exclusion, errors);
    return exclusion;
}

snub_status snub_row_own(const snub_document *document, const snub_reading *reading, const snub_named_rows *named,
                         snub_row *row, snub_errors *errors)
{
    const snub_rows none = {0};
    const snub_variant *variant = NULL;
    const snub_package *package = NULL;
    snub_drive *base = NULL;
    snub_status status = SNUB_OK;
    if (is_named(named->variant) || is_named(named->package)) {
        base = SNUB_NEW(reading->arena, snub_drive, 1);
        if (base == NULL)
            return SNUB_NO_MEMORY;
        status = snub_drive_read(document, reading, base, errors);
        if (status == SNUB_OK && is_named(named->variant))
            status = find_variant(base, named->variant, reading->arena, &variant, errors);
        if (status == SNUB_OK && is_named(named->package))
            status = find_package(base, named->package, reading->arena, &package, errors);
    }
    if (status == SNUB_OK)
        status = lay_row(reading, variant, package, &none, 0, row);
    if (status == SNUB_OK && package != NULL && snub_row_excluded(document, base, row, errors) != NULL)
        status = SNUB_BAD_INPUT;
    return status;
}

/* ---- all rows ---------------------------------------------------------------------------------------------------- */

/* Two paths of which one leads to the other or beyond it. */
static bool paths_meet(const char *a, const char *b)
{
    const size_t x = strlen(a), y = strlen(b), least = x < y ? x : y;
    if (strncmp(a, b, least) != 0)
        return false;
    return x == y || (x < y ? b[least] : a[least]) == '.';
}

/* What the caller has set does not vary. */
static bool keep_options(const snub_drive *base, const snub_reading *reading, snub_rows *rows)
{
    snub_option *kept = SNUB_NEW(reading->arena, snub_option, base->option_count + 1);
    if (kept == NULL)
        return false;
    rows->options = kept;
    for (int o = 0; o < base->option_count; o++) {
        bool set = false;
        for (int k = 0; k < reading->overlay_count && !set; k++)
            set = paths_meet(base->options[o].path, reading->overlays[k].path);
        if (!set)
            kept[rows->option_count++] = base->options[o];
    }
    return true;
}

/* The packages that are meant, with a place for each of their exclusions. */
static snub_status take_packages(const snub_drive *base, const char *name, snub_arena *arena, snub_rows *rows,
                                 snub_errors *errors)
{
    const snub_package *only = NULL;
    if (is_named(name)) {
        const snub_status status = find_package(base, name, arena, &only, errors);
        if (status != SNUB_OK)
            return status;
    }
    int exclusions = 0;
    rows->packages = SNUB_NEW(arena, const snub_package *, base->package_count + 1);
    if (rows->packages == NULL)
        return SNUB_NO_MEMORY;
    for (int p = 0; p < base->package_count; p++) {
        if (only != NULL && only != &base->packages[p])
            continue;
        rows->packages[rows->package_count++] = &base->packages[p];
        exclusions += base->packages[p].exclusion_count;
    }
    rows->excluded = SNUB_NEW(arena, snub_excluded_rows, exclusions + 1);
    if (rows->excluded == NULL)
        return SNUB_NO_MEMORY;
    for (int p = 0; p < rows->package_count; p++) {
        const snub_package *package = rows->packages[p];
        for (int e = 0; e < package->exclusion_count; e++)
            rows->excluded[rows->excluded_count++] = (snub_excluded_rows){package, &package->exclusions[e], 0};
    }
    return SNUB_OK;
}

static snub_status count_rows(int fronts, snub_rows *rows, snub_errors *errors)
{
    long long all = (long long)fronts * (rows->package_count > 0 ? rows->package_count : 1);
    for (int o = 0; o < rows->option_count && all <= SNUB_BUILDS_MOST; o++)
        all *= rows->options[o].count;
    rows->count = (int)all;
    if (all <= SNUB_BUILDS_MOST)
        return SNUB_OK;
    snub_error error;
    snub_fail(&error, SNUB_TOO_LARGE, NULL, "options",
              "give more than %d builds: shorten the lists, or split the kit into files", SNUB_BUILDS_MOST);
    snub_errors_add(errors, &error);
    return SNUB_TOO_LARGE;
}

/* A fingerprint of the drive alone, whatever its row is called. */
typedef struct mark {
    char digest[65];
    const char *package;
    int row;
} mark;

/* Packages are sold apart, even where their drives are the same. */
static int by_drive(const mark *x, const mark *y)
{
    const int order = strcmp(x->digest, y->digest);
    return order != 0 ? order : strcmp(x->package, y->package);
}

static int by_digest(const void *a, const void *b)
{
    const mark *x = a, *y = b;
    const int order = by_drive(x, y);
    return order != 0 ? order : x->row - y->row;
}

/* Read a row, so that what is wrong in it is told before long work begins, and note what drive it is. */
static snub_status try_row(const snub_document *document, const snub_reading *reading, snub_row *row, mark *m,
                           snub_errors *errors)
{
    snub_arena arena;
    snub_drive drive;
    snub_reading own = *reading;
    snub_arena_init(&arena, reading->arena->limit);
    own.arena = &arena;
    own.overlays = row->overlays;
    own.overlay_count = row->overlay_count;
    snub_status status = snub_drive_read(document, &own, &drive, errors);
    if (status == SNUB_OK)
        status = snub_drive_check_ranges(document, &own, &drive, errors);
    if (status == SNUB_OK) {
        snub_drive_tree_digest(&drive, m->digest);
        snub_drive_code(&drive, row->variant, row->package, row->set_count, row->code);
    }
    snub_arena_free(&arena);
    return status;
}

/* Of rows that are one drive under two names the first stays. */
static void drop_same(snub_rows *rows, mark *marks, bool *same)
{
    qsort(marks, (size_t)rows->count, sizeof *marks, by_digest);
    for (int i = 1; i < rows->count; i++)
        same[marks[i].row] = by_drive(&marks[i], &marks[i - 1]) == 0;
    int kept = 0;
    for (int i = 0; i < rows->count; i++) {
        if (!same[i])
            rows->items[kept++] = rows->items[i];
    }
    rows->same = rows->count - kept;
    rows->count = kept;
}

static snub_status try_rows(const snub_document *document, const snub_reading *reading, snub_rows *rows,
                            snub_errors *errors)
{
    snub_arena scratch;
    snub_arena_init(&scratch, 0);
    mark *marks = SNUB_NEW(&scratch, mark, rows->count);
    bool *same = SNUB_NEW(&scratch, bool, rows->count);
    snub_status worst = marks != NULL && same != NULL ? SNUB_OK : SNUB_NO_MEMORY;
    for (int i = 0; i < rows->count && worst != SNUB_NO_MEMORY; i++) {
        marks[i].row = i;
        marks[i].package = rows->items[i].package;
        const snub_status status = try_row(document, reading, &rows->items[i], &marks[i], errors);
        worst = status != SNUB_OK ? status : worst;
    }
    if (worst == SNUB_OK)
        drop_same(rows, marks, same);
    snub_arena_free(&scratch);
    return worst;
}

/* Every row of every front and package; what a package excludes is counted and left out. */
static snub_status lay_rows(const snub_document *document, const snub_reading *reading, const snub_drive *base,
                            const snub_variant *only, int fronts, snub_rows *rows)
{
    const int all = rows->count, packages = rows->package_count > 0 ? rows->package_count : 1;
    const int per_package = all / fronts / packages;
    rows->items = SNUB_NEW(reading->arena, snub_row, all);
    rows->count = 0;
    if (rows->items == NULL)
        return SNUB_NO_MEMORY;
    for (int i = 0; i < all; i++) {
        const int front = i / per_package / packages, p = i / per_package % packages;
        const snub_package *package = rows->package_count > 0 ? rows->packages[p] : NULL;
        snub_row *row = &rows->items[rows->count];
        const snub_status status =
            lay_row(reading, front > 0 ? &base->variants[front - 1] : only, package, rows, i % per_package, row);
        if (status != SNUB_OK)
            return status;
        const snub_exclusion *exclusion = excluded(document, package, row);
        for (int e = 0; e < rows->excluded_count; e++)
            rows->excluded[e].count += rows->excluded[e].exclusion == exclusion;
        rows->count += exclusion == NULL;
    }
    return SNUB_OK;
}

static snub_status none_left(snub_errors *errors)
{
    snub_error error;
    snub_fail(&error, SNUB_BAD_INPUT, NULL, "packages", "exclude every build: none is left");
    snub_errors_add(errors, &error);
    return SNUB_BAD_INPUT;
}

snub_status snub_rows_list(const snub_document *document, const snub_reading *reading, const snub_named_rows *named,
                           snub_rows *rows, snub_errors *errors)
{
    memset(rows, 0, sizeof *rows);
    snub_drive *base = SNUB_NEW(reading->arena, snub_drive, 1);
    if (base == NULL)
        return SNUB_NO_MEMORY;
    snub_status status = snub_drive_read(document, reading, base, errors);
    if (status != SNUB_OK)
        return status;
    const snub_variant *only = NULL;
    const int fronts = named->variant != NULL ? 1 : 1 + base->variant_count;
    rows->title = base->title;
    rows->kit_number = base->kit_number;
    if (is_named(named->variant))
        status = find_variant(base, named->variant, reading->arena, &only, errors);
    if (status == SNUB_OK)
        status = take_packages(base, named->package, reading->arena, rows, errors);
    if (status == SNUB_OK && !keep_options(base, reading, rows))
        status = SNUB_NO_MEMORY;
    if (status == SNUB_OK)
        status = count_rows(fronts, rows, errors);
    if (status == SNUB_OK)
        status = lay_rows(document, reading, base, only, fronts, rows);
    if (status == SNUB_OK && rows->count == 0)
        status = none_left(errors);
    return status == SNUB_OK ? try_rows(document, reading, rows, errors) : status;
}
