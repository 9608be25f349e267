/** What the errors of centres do to the drive: central differences of the settled build. docs/theory/measure.md. */
#include <math.h>
#include <string.h>

#include "snub/measure.h"
#include "snub/units.h"
#include "standing.h"

/** Way to either side, m: large against the last digit of what is laid over the file, small against what bends. */
static const double STEP = 0.02e-3;

/* Results in one row: length, wind, then wraps, then settings that the tension asks for. */
enum { LENGTH, WIND, WRAPS, RESULTS_MOST = WRAPS + 2 * SNUB_PULLEYS_MOST };

typedef struct trial {
    const snub_centres *centres;
    const snub_document *document;
    const snub_reading *reading;
    const snub_row *row;                 /* belt and settings written, centres laid */
    int first;                           /* overlay of the first centre */
    int pulley[SNUB_PULLEYS_MOST], laid; /* measured pulleys behind the overlays */
    double wind;                         /* at which the length is taken; NAN: where it stands */
    const double *settings;              /* the same, of the slots; NULL */
    int pulleys;                         /* of the drive */
    snub_errors *errors;
} trial;

static snub_node *point_node(const double at[2], snub_arena *arena)
{
    snub_node *node = NULL;
    const char *text = snub_format(arena, "[%.9f mm, %.9f mm]", at[0] / SNUB_MM, at[1] / SNUB_MM);
    return text != NULL && snub_node_from_text(text, "readings", arena, &node, NULL) == SNUB_OK ? node : NULL;
}

bool snub_centres_lay(const snub_centres *centres, snub_arena *arena, snub_row *row, int *count)
{
    const snub_measured *m = centres->measured;
    *count = 0;
    for (int i = 0; i < m->pulley_count; i++) {
        if (m->pulleys[i].sets == NULL)
            continue;
        const snub_overlay overlay = {
            m->pulleys[i].sets, point_node(centres->centre[i].at, arena), {.file = m->document.name}};
        if (overlay.value == NULL || !snub_row_with(row, &overlay, arena, row))
            return false;
        (*count)++;
    }
    return true;
}

/* ---- belt and settings held -------------------------------------------------------------------------------------- */

static bool is_set(const snub_build *build, int pulley)
{
    const snub_pulley *p = &build->drive->pulleys[pulley];
    return p->sits == SNUB_ON_SLOT && !(p->fixed_tension > 0.0) && isfinite(build->settings[pulley]);
}

static const char *setting_path(const snub_build *build, int pulley, snub_arena *arena)
{
    return snub_format(arena, "%s.slot.setting", build->drive->pulleys[pulley].name);
}

static bool hold(const snub_build *build, snub_arena *arena, snub_row *row)
{
    bool good = snub_row_with_length(row, "belt.length", build->length, arena);
    for (int i = 0; good && i < build->drive->pulley_count; i++) {
        if (!is_set(build, i))
            continue;
        const char *path = setting_path(build, i, arena);
        good = path != NULL && snub_row_with_length(row, path, build->settings[i], arena);
    }
    return good;
}

/* ---- one drive --------------------------------------------------------------------------------------------------- */

/* @param[out] result  NANs where there is no balance */
static snub_status results_of(const trial *t, const snub_row *row, snub_arena *arena, double *result)
{
    snub_build *build = SNUB_NEW(arena, snub_build, 1);
    snub_state *state = SNUB_NEW(arena, snub_state, 1);
    snub_path *path = SNUB_NEW(arena, snub_path, 1);
    for (int i = 0; i < RESULTS_MOST; i++)
        result[i] = NAN;
    if (build == NULL || state == NULL || path == NULL)
        return SNUB_NO_MEMORY;
    bool solved;
    const snub_status status = snub_stand(t->document, t->reading, row, arena, build, state, &solved, t->errors);
    if (status != SNUB_OK || !solved)
        return status;
    const bool arm = build->drive->arm >= 0;
    result[WIND] = arm ? state->balance.equilibrium.wind : (double)NAN;
    if (snub_drive_lay(build->drive, isnan(t->wind) ? result[WIND] : t->wind,
                       t->settings != NULL ? t->settings : build->settings, path, NULL) == SNUB_OK)
        result[LENGTH] = snub_effective_length(&build->drive->belt, path->length);
    for (int i = 0; i < build->drive->pulley_count; i++) {
        result[WRAPS + i] = state->balance.path.wrap[i];
        result[WRAPS + SNUB_PULLEYS_MOST + i] = build->settings[i];
    }
    return SNUB_OK;
}

/* With one coordinate moved. */
static snub_status moved(const trial *t, int laid, int axis, double by, double *result)
{
    snub_arena branch;
    snub_row row = *t->row;
    double at[2];
    memcpy(at, t->centres->centre[t->pulley[laid]].at, sizeof at);
    at[axis] += by;
    snub_arena_branch(t->reading->arena, &branch);
    snub_overlay *overlays = SNUB_NEW(&branch, snub_overlay, row.overlay_count);
    snub_node *node = point_node(at, &branch);
    snub_status status = SNUB_NO_MEMORY;
    if (overlays != NULL && node != NULL) {
        memcpy(overlays, row.overlays, (size_t)row.overlay_count * sizeof *overlays);
        overlays[t->first + laid].value = node;
        row.overlays = overlays;
        status = results_of(t, &row, &branch, result);
    }
    snub_arena_drop(t->reading->arena, &branch);
    return status;
}

/* Slope of the arm's wind over a setting. @param[out] slope  NAN: none */
static snub_status wind_by_setting(const trial *t, const snub_build *build, int pulley, double *slope)
{
    snub_arena branch;
    double result[2][RESULTS_MOST];
    const double length = build->drive->pulleys[pulley].slot.length, set = build->settings[pulley];
    const double ends[2] = {fmax(set - 5.0 * STEP, 0.0), fmin(set + 5.0 * STEP, length)};
    snub_status status = SNUB_OK;
    for (int k = 0; status == SNUB_OK && k < 2; k++) {
        snub_row row = *t->row;
        snub_arena_branch(t->reading->arena, &branch);
        const char *path = setting_path(build, pulley, &branch);
        status = path != NULL && snub_row_with_length(&row, path, ends[k], &branch)
                     ? results_of(t, &row, &branch, result[k])
                     : SNUB_NO_MEMORY;
        snub_arena_drop(t->reading->arena, &branch);
    }
    *slope = status == SNUB_OK ? (result[1][WIND] - result[0][WIND]) / (ends[1] - ends[0]) : (double)NAN;
    return status;
}

/* ---- errors ------------------------------------------------------------------------------------------------------ */

/* sqrt(G C G^T) */
static double error_of(const trial *t, const double *gradient)
{
    const int pulleys = t->centres->measured->pulley_count;
    double sum = 0.0;
    for (int i = 0; i < 2 * t->laid; i++) {
        for (int k = 0; k < 2 * t->laid; k++) {
            const int a = 2 * t->pulley[i / 2] + i % 2, b = 2 * t->pulley[k / 2] + k % 2;
            sum += gradient[i] * gradient[k] * t->centres->covariance[(size_t)b * (size_t)(2 * pulleys) + (size_t)a];
        }
    }
    return sqrt(fmax(sum, 0.0));
}

static snub_sure sure(const trial *t, const double (*gradient)[RESULTS_MOST], int result, double factor, double value)
{
    double along[2 * SNUB_PULLEYS_MOST];
    for (int i = 0; i < 2 * t->laid; i++)
        along[i] = factor * gradient[i][result];
    return (snub_sure){value, error_of(t, along)};
}

static snub_status find_gradients(const trial *t, double (*gradient)[RESULTS_MOST])
{
    double off[2][RESULTS_MOST];
    for (int i = 0; i < 2 * t->laid; i++) {
        memset(gradient[i], 0, sizeof gradient[i]);
        if (!(t->centres->centre[t->pulley[i / 2]].error[i % 2] > 0.0))
            continue;
        for (int k = 0; k < 2; k++) {
            const snub_status status = moved(t, i / 2, i % 2, k == 0 ? -STEP : STEP, off[k]);
            if (status != SNUB_OK)
                return status;
        }
        for (int r = 0; r < RESULTS_MOST; r++)
            gradient[i][r] = (off[1][r] - off[0][r]) / (2.0 * STEP);
    }
    return SNUB_OK;
}

static snub_status find_marks(const trial *t, const double *here, const double (*gradient)[RESULTS_MOST],
                              snub_effect *e)
{
    for (int i = 0; i < t->pulleys; i++) {
        const int set = WRAPS + SNUB_PULLEYS_MOST + i;
        e->mark[i] = (snub_sure){here[set], NAN};
        if (!isfinite(here[set]))
            continue;
        double slope = NAN;
        if (!is_set(e->build, i)) {
            e->mark[i] = sure(t, gradient, set, 1.0, here[set]);
            continue;
        }
        const snub_status status = wind_by_setting(t, e->build, i, &slope);
        if (status != SNUB_OK)
            return status;
        if (isfinite(slope) && slope != 0.0)
            e->mark[i] = sure(t, gradient, WIND, -1.0 / slope, here[set]);
    }
    return SNUB_OK;
}

static void find_measured(trial *t)
{
    const snub_measured *m = t->centres->measured;
    for (int i = 0; i < m->pulley_count; i++)
        if (m->pulleys[i].sets != NULL)
            t->pulley[t->laid++] = i;
}

snub_status snub_effect_find(const snub_centres *centres, const snub_document *document, const snub_reading *reading,
                             const snub_row *row, int laid, const snub_build *build, snub_effect *effect,
                             snub_errors *errors)
{
    snub_arena *arena = reading->arena;
    snub_row held = *row;
    double here[RESULTS_MOST];
    trial t = {.centres = centres,
               .document = document,
               .reading = reading,
               .row = &held,
               .first = row->overlay_count - laid,
               .wind = NAN,
               .pulleys = build->drive->pulley_count,
               .errors = errors};
    *effect = (snub_effect){.build = build};
    double(*gradient)[RESULTS_MOST] = snub_alloc(arena, (size_t)(2 * laid + 1), sizeof *gradient);
    effect->wrap = SNUB_NEW(arena, snub_sure, t.pulleys);
    effect->mark = SNUB_NEW(arena, snub_sure, t.pulleys);
    if (gradient == NULL || effect->wrap == NULL || effect->mark == NULL || !hold(build, arena, &held))
        return SNUB_NO_MEMORY;
    find_measured(&t);
    snub_status status = results_of(&t, &held, arena, here);
    if (status != SNUB_OK || !isfinite(here[LENGTH]))
        return status;
    t.wind = here[WIND];
    t.settings = &here[WRAPS + SNUB_PULLEYS_MOST];
    if ((status = find_gradients(&t, gradient)) != SNUB_OK)
        return status;
    effect->solved = true;
    effect->length = sure(&t, gradient, LENGTH, 1.0, here[LENGTH]);
    effect->wind = sure(&t, gradient, WIND, 1.0, here[WIND]);
    for (int i = 0; i < t.pulleys; i++)
        effect->wrap[i] = sure(&t, gradient, WRAPS + i, 1.0, here[WRAPS + i]);
    return find_marks(&t, here, gradient, effect);
}
