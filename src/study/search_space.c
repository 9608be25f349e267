/* Numbers of a search on their grids, regions, and how a value is written. */
#include "search_space.h"

#include <math.h>
#include <string.h>

#include "snub/clearance.h"
#include "snub/units.h"

/* Grids where the file gives none: finer than a bracket is drilled. */
#define STEP_MM (0.1 * SNUB_MM)
#define STEP_INCH (0.005 * SNUB_INCH)
#define STEP_DEG (0.1 * SNUB_DEG)
/* A grid value that is inside but for its last digits is inside. */
#define ROUNDING 1e-9

static double step_of(const snub_space *space, const snub_move *move)
{
    if (move->step > 0.0)
        return move->step;
    return move->quantity == SNUB_Q_ANGLE ? STEP_DEG : space->inches ? STEP_INCH : STEP_MM;
}

static int nearest_choice(const snub_move *move)
{
    int best = 0;
    for (int i = 1; i < move->choice_count; i++)
        best = fabs(move->choices[i] - move->now[0]) < fabs(move->choices[best] - move->now[0]) ? i : best;
    return best;
}

void snub_space_open(const snub_drive *drive, snub_space *space)
{
    *space = (snub_space){.section = drive->search, .inches = drive->inches};
    for (int m = 0; m < drive->search->move_count; m++) {
        const snub_move *move = &drive->search->moves[m];
        space->first[m] = space->count;
        space->step[m] = step_of(space, move);
        for (int k = 0; k < (move->point ? 2 : 1); k++) {
            const int n = space->count++;
            const bool choose = move->choice_count > 0;
            space->low[n] = choose ? 0.0 : move->low[k];
            space->high[n] = choose ? move->choice_count : move->high[k];
            space->start[n] = choose ? nearest_choice(move) + 0.5 : move->now[k];
            space->now[n] = move->now[k];
        }
    }
}

double snub_region_outside(const snub_move *move, const double at[2])
{
    double far = 0.0;
    if (move->corners > 0)
        far = snub_point_polygon(at, move->corners, (const double(*)[2])move->corner, NULL);
    else if (move->radius > 0.0)
        far = hypot(at[0] - move->centre[0], at[1] - move->centre[1]) - move->radius;
    else
        far = hypot(fmax(fmax(move->low[0] - at[0], at[0] - move->high[0]), 0.0),
                    fmax(fmax(move->low[1] - at[1], at[1] - move->high[1]), 0.0));
    return far > ROUNDING ? far : 0.0;
}

static double number_outside(const snub_move *move, double value)
{
    const double far = fmax(move->low[0] - value, value - move->high[0]);
    return far > ROUNDING ? far : 0.0;
}

double snub_space_values(const snub_space *space, const double *x, double *value)
{
    double far = 0.0;
    for (int m = 0; m < space->section->move_count; m++) {
        const snub_move *move = &space->section->moves[m];
        const int n = space->first[m];
        if (move->choice_count > 0) {
            const int i = (int)floor(x[n]);
            value[n] = move->choices[i < move->choice_count ? i : move->choice_count - 1];
            continue;
        }
        for (int k = 0; k < (move->point ? 2 : 1); k++)
            value[n + k] = round(x[n + k] / space->step[m]) * space->step[m];
        far += move->point ? snub_region_outside(move, &value[n]) : number_outside(move, value[n]);
    }
    return far;
}

double snub_space_change(const snub_space *space, const double *value)
{
    double sum = 0.0;
    for (int m = 0; m < space->section->move_count; m++) {
        const snub_move *move = &space->section->moves[m];
        const int n = space->first[m];
        const double dx = value[n] - space->now[n], dy = move->point ? value[n + 1] - space->now[n + 1] : 0.0;
        sum += hypot(dx, dy) * (move->quantity == SNUB_Q_ANGLE ? move->lever : 1.0);
    }
    return sum;
}

bool snub_space_moved(const snub_space *space, int move, const double *value)
{
    const int n = space->first[move];
    return fabs(value[n] - space->now[n]) > ROUNDING ||
           (space->section->moves[move].point && fabs(value[n + 1] - space->now[n + 1]) > ROUNDING);
}

/* With its unit where a bare number would be taken for inches by whoever reads it. */
static const char *number_text(const snub_space *space, int m, double si, char text[40])
{
    const snub_move *move = &space->section->moves[m];
    snub_text out = {0};
    if (move->quantity == SNUB_Q_ANGLE)
        snub_text_printf(&out, "%.10g", si / SNUB_DEG);
    else if (space->inches && move->step == 0.0 && move->choice_count == 0)
        snub_text_printf(&out, "%.10g in", si / SNUB_INCH);
    else
        snub_text_printf(&out, space->inches ? "%.10g mm" : "%.10g", si / SNUB_MM);
    text[0] = '\0';
    if (out.data != NULL && out.length < 40)
        memcpy(text, out.data, out.length + 1);
    snub_text_free(&out);
    return text[0] != '\0' ? text : NULL;
}

/* A key as YAML reads it back: any character may stand in one. */
static const char *key_text(const char *key, snub_arena *arena)
{
    static const char plain[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.";
    if (key[strspn(key, plain)] == '\0' && key[0] != '-' && key[0] != '.')
        return snub_copy_text(arena, key);
    snub_text out = {0};
    snub_text_puts(&out, "\"");
    for (const char *at = key; *at != '\0'; at++)
        snub_text_printf(&out, *at == '"' || *at == '\\' ? "\\%c" : "%c", *at);
    snub_text_puts(&out, "\"");
    const char *copy = out.failed ? NULL : snub_copy_text(arena, out.data);
    snub_text_free(&out);
    return copy;
}

static const char *part_text(const snub_move *move, double diameter, snub_arena *arena)
{
    for (int i = 0; i < move->choice_count; i++)
        if (move->choices[i] == diameter)
            return key_text(move->parts[i], arena);
    return NULL;
}

const char *snub_space_text(const snub_space *space, int move, const double *value, snub_arena *arena)
{
    char x[40], y[40];
    const int n = space->first[move];
    if (space->section->moves[move].from_catalogue)
        return part_text(&space->section->moves[move], value[n], arena);
    if (number_text(space, move, value[n] + 0.0, x) == NULL)
        return NULL;
    if (!space->section->moves[move].point)
        return snub_copy_text(arena, x);
    return number_text(space, move, value[n + 1] + 0.0, y) != NULL ? snub_format(arena, "[%s, %s]", x, y) : NULL;
}
