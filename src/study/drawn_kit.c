/* The values of one kit: a scrambled Sobol point, through the scatter of each value, as overlays.
 * docs/theory/tolerate.md.
 */
#include "drawn_kit.h"

#include <math.h>
#include <string.h>

#include "snub/sobol.h"
#include "snub/units.h"

static const snub_scatter STANDARD = {.kind = SNUB_NORMAL, .sigma = 1.0, .low = -INFINITY, .high = INFINITY};

static bool add(snub_kit_value *values, int *count, const char *path, double value, snub_quantity quantity,
                snub_arena *arena)
{
    const char *text = snub_format(arena, "%.17g", snub_quantity_to_bare(quantity, value));
    const size_t length = path != NULL ? strlen(path) : 0;
    const char *last = length > 2 ? path + length - 2 : "";
    const bool point = quantity == SNUB_Q_LENGTH && (strcmp(last, ".0") == 0 || strcmp(last, ".1") == 0);
    values[(*count)++] = (snub_kit_value){path, text, value, point};
    return path != NULL && text != NULL;
}

static const char *setting_path(const snub_build *build, int pulley, snub_arena *arena)
{
    return snub_format(arena, "%s.slot.setting", build->drive->pulleys[pulley].name);
}

/* A row with values laid over it, last. @return false: memory is out */
static bool row_with(const snub_row *from, const snub_kit_value *values, int count, snub_arena *arena, snub_row *row)
{
    snub_node *nodes = SNUB_NEW(arena, snub_node, count + 1);
    snub_overlay *overlays = SNUB_NEW(arena, snub_overlay, from->overlay_count + count + 1);
    if (nodes == NULL || overlays == NULL)
        return false;
    for (int i = 0; i < from->overlay_count; i++)
        overlays[i] = from->overlays[i];
    for (int i = 0; i < count; i++) {
        nodes[i] = (snub_node){.kind = SNUB_SCALAR, .text = values[i].text, .quoted = isnan(values[i].value)};
        overlays[from->overlay_count + i] = (snub_overlay){.path = values[i].path, .value = &nodes[i]};
    }
    *row = *from;
    row->overlays = overlays;
    row->overlay_count = from->overlay_count + count;
    row->set_count = from->set_count + count;
    return true;
}

/* What the file leaves open is written as it was chosen; what it writes keeps the tolerance behind it. */
static int chosen(const snub_build *build, snub_arena *arena, snub_kit_value *values)
{
    int count = 0;
    bool good = true;
    if (build->length_chosen && build->part != NULL)
        values[count++] = (snub_kit_value){"belt.part", build->part, NAN, false};
    if (build->length_chosen)
        good = add(values, &count, "belt.length", build->length, SNUB_Q_LENGTH, arena);
    for (int i = 0; good && i < build->drive->pulley_count; i++) {
        if (build->setting_chosen[i])
            good = add(values, &count, setting_path(build, i, arena), build->settings[i], SNUB_Q_LENGTH, arena);
    }
    return good ? count : -1;
}

/* @return false: memory is out */
static bool find_groups(snub_tolerated *result, snub_arena *arena)
{
    int *group_of = SNUB_NEW(arena, int, result->scatter_count + 1);
    if (group_of == NULL)
        return false;
    for (int i = 0; i < result->scatter_count; i++) {
        const char *group = result->scatter[i]->group;
        group_of[i] = -1;
        for (int k = 0; group != NULL && k < i && group_of[i] < 0; k++) {
            if (group_of[k] >= 0 && strcmp(result->scatter[k]->group, group) == 0)
                group_of[i] = group_of[k];
        }
        if (group != NULL && group_of[i] < 0)
            group_of[i] = result->group_count++;
    }
    result->group_of = group_of;
    return true;
}

snub_status snub_drawn_kit_scatter(const snub_document *document, const snub_reading *reading, const snub_build *build,
                                   snub_tolerated *result, snub_errors *errors)
{
    snub_row row;
    snub_reading own = *reading;
    snub_drive *drive = SNUB_NEW(reading->arena, snub_drive, 1);
    snub_kit_value values[SNUB_PULLEYS_MOST + 2];
    const int count = chosen(build, reading->arena, values);
    if (drive == NULL || count < 0 || !row_with(&build->row, values, count, reading->arena, &row))
        return SNUB_NO_MEMORY;
    own.overlays = row.overlays;
    own.overlay_count = row.overlay_count;
    const snub_status status = snub_drive_read(document, &own, drive, errors);
    if (status != SNUB_OK)
        return status;
    result->scatter = SNUB_NEW(reading->arena, const snub_tolerance *, drive->tolerance_count + 1);
    if (result->scatter == NULL)
        return SNUB_NO_MEMORY;
    for (int i = 0; i < drive->tolerance_count; i++) {
        if (drive->tolerances[i].basis == SNUB_TOLERANCE_RANGE)
            result->range_count++;
        else
            result->scatter[result->scatter_count++] = &drive->tolerances[i];
    }
    return find_groups(result, reading->arena) ? SNUB_OK : SNUB_NO_MEMORY;
}

/* Gauss's copula: of a normal common cause and a normal cause of its own. */
static double joined(double own, double common, double correlation)
{
    const double z = correlation * snub_scatter_value(&STANDARD, common) +
                     sqrt(fmax(1.0 - correlation * correlation, 0.0)) * snub_scatter_value(&STANDARD, own);
    return fmin(fmax(snub_scatter_chance(&STANDARD, z), 0x1p-53), 1.0 - 0x1p-53);
}

int snub_drawn_dimensions(const snub_tolerated *of)
{
    return of->scatter_count + of->group_count;
}

void snub_drawn_values(const snub_tolerated *of, const double *point, double *value)
{
    for (int i = 0; i < of->scatter_count; i++) {
        const snub_tolerance *t = of->scatter[i];
        const int group = of->group_of[i];
        const double chance = group < 0 ? point[i] : joined(point[i], point[of->scatter_count + group], t->correlation);
        value[i] = snub_scatter_value(&t->scatter, chance);
    }
}

bool snub_drawn_kit(const snub_tolerated *of, int kit, snub_arena *arena, double *value)
{
    for (int i = 0; i < of->scatter_count && kit == SNUB_NOMINAL_KIT; i++)
        value[i] = of->scatter[i]->nominal;
    if (kit == SNUB_NOMINAL_KIT)
        return true;
    const int dimensions = snub_drawn_dimensions(of);
    double *point = SNUB_NEW(arena, double, dimensions + 1);
    if (point == NULL)
        return false;
    snub_sobol_point(dimensions, of->seed, true, (uint64_t)kit, point);
    snub_drawn_values(of, point, value);
    return true;
}

/* ---- as overlays ------------------------------------------------------------------------------------------------- */

static bool scatters(const snub_tolerated *of, const char *path)
{
    for (int i = 0; i < of->scatter_count; i++) {
        if (strcmp(of->scatter[i]->path, path) == 0)
            return true;
    }
    return false;
}

/* Belt and settings stay as sold. */
static bool add_settled(const snub_tolerated *of, snub_kit_value *values, int *count, snub_arena *arena)
{
    const snub_build *build = of->build;
    bool good = true;
    if (!scatters(of, "belt.length"))
        good = add(values, count, "belt.length", build->length, SNUB_Q_LENGTH, arena);
    good = good && add(values, count, "belt.tolerance", 0.0, SNUB_Q_LENGTH, arena);
    for (int i = 0; good && i < build->drive->pulley_count; i++) {
        const snub_pulley *pulley = &build->drive->pulleys[i];
        if (pulley->sits != SNUB_ON_SLOT || i == build->drive->locked)
            continue;
        const char *path = setting_path(build, i, arena);
        if (path == NULL || !scatters(of, path))
            good = add(values, count, path, build->settings[i], SNUB_Q_LENGTH, arena);
    }
    return good;
}

int snub_kit_values(const snub_tolerated *result, const double *value, snub_arena *arena, snub_kit_value **values)
{
    int count = 0;
    const int n = result->scatter_count;
    *values = SNUB_NEW(arena, snub_kit_value, n + SNUB_PULLEYS_MOST + 3);
    if (*values == NULL)
        return -1;
    if (result->build->part != NULL)
        (*values)[count++] = (snub_kit_value){"belt.part", result->build->part, NAN, false};
    for (int i = 0; i < n; i++) {
        if (!add(*values, &count, result->scatter[i]->path, value[i], result->scatter[i]->quantity, arena))
            return -1;
    }
    return add_settled(result, *values, &count, arena) ? count : -1;
}

int snub_tolerated_values(const snub_tolerated *result, int kit, snub_arena *arena, snub_kit_value **values)
{
    double *drawn = SNUB_NEW(arena, double, result->scatter_count + 1);
    if (drawn == NULL || !snub_drawn_kit(result, kit, arena, drawn))
        return -1;
    return snub_kit_values(result, drawn, arena, values);
}

bool snub_drawn_row(const snub_tolerated *of, const double *value, snub_arena *arena, snub_row *row)
{
    snub_kit_value *values;
    const int count = snub_kit_values(of, value, arena, &values);
    return count >= 0 && row_with(&of->build->row, values, count, arena, row);
}
