/* A run as columns over time. */
#include "words.h"

enum { FIRST = 5, OF_SPAN = 3, OF_PULLEY = 2 };

/* A number of a sample by its column. */
static double value_of(const snub_scenario_run *run, const snub_run_sample *s, int column)
{
    const int n = run->drive->pulley_count, span = (column - FIRST) / OF_SPAN;
    switch (column) {
    case 0: return s->time;
    case 1: return s->engine / SNUB_RPM;
    case 2: return s->crank / SNUB_RPM;
    case 3: return s->wind / SNUB_DEG;
    case 4: return s->arm_speed / SNUB_DEG;
    default: break;
    }
    if (column < FIRST + OF_SPAN * n) {
        const double *const numbers[OF_SPAN] = {s->tension, s->low, s->high};
        return numbers[(column - FIRST) % OF_SPAN][span];
    }
    const int at = column - FIRST - OF_SPAN * n, pulley = at / OF_PULLEY;
    return at % OF_PULLEY == 0 ? s->speed[pulley] / SNUB_RPM : s->slip[pulley];
}

static bool row_of(void *context, int row, snub_cell *cells)
{
    const snub_scenario_run *run = context;
    const int columns = FIRST + (OF_SPAN + OF_PULLEY) * run->drive->pulley_count;
    for (int c = 0; c < columns; c++)
        cells[c] = snub_cell_number(value_of(run, &run->result.samples[row], c), SNUB_MARK_NONE);
    return true;
}

snub_status snub_scenario_table(snub_scenario_run *run, snub_arena *arena, snub_data_table *table, snub_error *error)
{
    const snub_drive *drive = run->drive;
    const int n = drive->pulley_count, count = FIRST + (OF_SPAN + OF_PULLEY) * n;
    static const snub_column first[FIRST] = {{"time", "s", SNUB_CELL_NUMBER, 4},
                                             {"engine", "rpm", SNUB_CELL_NUMBER, 1},
                                             {"crank", "rpm", SNUB_CELL_NUMBER, 2},
                                             {"arm", "deg", SNUB_CELL_NUMBER, 3},
                                             {"arm speed", "deg/s", SNUB_CELL_NUMBER, 2}};
    snub_column *columns = SNUB_NEW(arena, snub_column, count);
    if (columns == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    for (int c = 0; c < FIRST; c++)
        columns[c] = first[c];
    for (int i = 0; i < n; i++) {
        static const char *const what[OF_SPAN] = {"tension", "least tension", "greatest tension"};
        snub_text span = {0};
        snub_run_place_words(drive, SNUB_RUN_SLACK, i, &span);
        const char *name = snub_words_copy(&span, arena);
        for (int k = 0; k < OF_SPAN; k++)
            columns[FIRST + OF_SPAN * i + k] =
                (snub_column){snub_format(arena, "%s of %s", what[k], name), "N", SNUB_CELL_NUMBER, 1};
        snub_column *pulley = &columns[FIRST + OF_SPAN * n + OF_PULLEY * i];
        pulley[0] =
            (snub_column){snub_format(arena, "speed of %s", drive->pulleys[i].name), "rpm", SNUB_CELL_NUMBER, 2};
        pulley[1] = (snub_column){snub_format(arena, "slip on %s", drive->pulleys[i].name), "m/s", SNUB_CELL_NUMBER, 4};
    }
    *table = (snub_data_table){.name = "run",
                               .column_count = count,
                               .columns = columns,
                               .row_count = run->result.sample_count,
                               .row = row_of,
                               .context = run};
    return arena->refused ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory") : SNUB_OK;
}
