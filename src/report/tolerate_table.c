/* The kits of `snub tolerate` as a table. */
#include <math.h>
#include <string.h>

#include "tolerate_words.h"

/* Columns of a table of one build; of many, BUILD and CODE stand before them. */
enum { NUMBER, VERDICT, FAILING, MARGINAL, FOLLOWED, VALUES = FOLLOWED + SNUB_FOLLOWED_ };
enum { BUILD, CODE, OF_BUILD };

typedef struct kits_table {
    const snub_tolerate_builds *builds; /* NULL: the table is of `one` */
    const snub_tolerated *one;
    int **column_of; /* of each build, of each of its values */
    int columns;
    snub_arena *words;
} kits_table;

/* ---- a row ------------------------------------------------------------------------------------------------------- */

/* Rules of a level, with blanks between. NULL: memory is out */
static const char *rules_at(const snub_kit *kit, snub_level level, snub_arena *words)
{
    const char *text = "";
    for (int r = 0; r < SNUB_RULES_ && text != NULL; r++) {
        if (kit->by_rule[r] == level)
            text = snub_format(words, "%s%s%s", text, text[0] != '\0' ? " " : "", snub_rule_describe((snub_rule)r)->id);
    }
    return text;
}

/* @param[in] column_of  of each value */
static bool fill(const kits_table *t, const snub_tolerated *of, int number, const int *column_of, snub_cell *cells)
{
    const snub_kit *kit = &of->kits[number];
    snub_kit_value *values;
    snub_arena_free(t->words);
    const int count = snub_tolerated_values(of, number, t->words, &values);
    const char *failing = rules_at(kit, SNUB_FAIL, t->words), *marginal = rules_at(kit, SNUB_MARGINAL, t->words);
    if (count < 0 || failing == NULL || marginal == NULL)
        return false;
    cells[NUMBER] = snub_cell_count(number + 1);
    cells[VERDICT] = snub_cell_text(snub_level_text((snub_level)kit->level));
    cells[FAILING] = snub_cell_text(failing);
    cells[MARGINAL] = snub_cell_text(marginal);
    for (int f = 0; f < SNUB_FOLLOWED_; f++)
        cells[FOLLOWED + f] =
            snub_cell_number(snub_in_unit(snub_followed_describe((snub_followed)f)->unit, kit->of[f]), SNUB_MARK_NONE);
    for (int i = 0; i < count; i++)
        cells[column_of[i]] = snub_cell_text(values[i].text);
    return true;
}

static bool row(void *context, int number, snub_cell *cells)
{
    const kits_table *t = context;
    return fill(t, t->one, number, t->column_of[0], cells);
}

static bool row_of_builds(void *context, int number, snub_cell *cells)
{
    const kits_table *t = context;
    int b = 0;
    for (; number >= t->builds->answers[b].tolerated->kit_count; b++)
        number -= t->builds->answers[b].tolerated->kit_count;
    const snub_tolerated *of = t->builds->answers[b].tolerated;
    cells[BUILD] = snub_cell_count(t->builds->number[b]);
    cells[CODE] = snub_cell_text(of->build->row.code);
    for (int i = OF_BUILD + VALUES; i < t->columns; i++)
        cells[i] = snub_cell_text("");
    return fill(t, of, number, t->column_of[b], cells + OF_BUILD);
}

/* ---- columns ----------------------------------------------------------------------------------------------------- */

static void name_columns(snub_column *columns)
{
    columns[NUMBER] = (snub_column){"kit", "", SNUB_CELL_COUNT, 0};
    columns[VERDICT] = (snub_column){"verdict", "", SNUB_CELL_TEXT, 0};
    columns[FAILING] = (snub_column){"rules that fail", "", SNUB_CELL_TEXT, 0};
    columns[MARGINAL] = (snub_column){"rules that are marginal", "", SNUB_CELL_TEXT, 0};
    for (int f = 0; f < SNUB_FOLLOWED_; f++) {
        const snub_followed_shown *s = snub_followed_describe((snub_followed)f);
        columns[FOLLOWED + f] =
            (snub_column){s->words, snub_unit_describe(s->unit)->text, SNUB_CELL_NUMBER, s->decimals + 4};
    }
}

/* Columns of a build's values, new ones behind those that are there. @return how many there are then; -1: memory is out
 */
static int place_values(const snub_tolerated *of, snub_arena *arena, snub_column *columns, int used, int **column_of)
{
    snub_kit_value *values = NULL;
    const int count = of->kit_count > 0 ? snub_tolerated_values(of, 0, arena, &values) : 0;
    *column_of = count >= 0 ? SNUB_NEW(arena, int, count + 1) : NULL;
    if (*column_of == NULL)
        return -1;
    for (int i = 0; i < count; i++) {
        int at = VALUES;
        while (at < used && strcmp(columns[at].title, values[i].path) != 0)
            at++;
        if (at == used)
            columns[used++] = (snub_column){values[i].path, "", SNUB_CELL_TEXT, 0};
        (*column_of)[i] = at;
    }
    return used;
}

/* Values that a kit of the build has at most. */
static int values_most(const snub_tolerated *of)
{
    return of->scatter_count + SNUB_PULLEYS_MOST + 3;
}

bool snub_tolerate_table(const snub_tolerate_answer *answer, snub_arena *arena, snub_arena *words,
                         snub_data_table *table)
{
    const snub_tolerated *of = answer->tolerated;
    snub_column *columns = SNUB_NEW(arena, snub_column, VALUES + values_most(of));
    kits_table *t = SNUB_NEW(arena, kits_table, 1);
    int **column_of = SNUB_NEW(arena, int *, 1);
    if (columns == NULL || t == NULL || column_of == NULL)
        return false;
    name_columns(columns);
    *t = (kits_table){NULL, of, column_of, place_values(of, arena, columns, VALUES, column_of), words};
    *table = (snub_data_table){.name = "kits",
                               .column_count = t->columns,
                               .columns = columns,
                               .row_count = of->kit_count,
                               .row = row,
                               .context = t};
    return t->columns >= 0;
}

bool snub_tolerate_builds_table(const snub_tolerate_builds *of, snub_arena *arena, snub_arena *words,
                                snub_data_table *table)
{
    int most = OF_BUILD + VALUES, rows = 0, used = VALUES;
    for (int b = 0; b < of->count; b++)
        most += values_most(of->answers[b].tolerated);
    snub_column *columns = SNUB_NEW(arena, snub_column, most);
    kits_table *t = SNUB_NEW(arena, kits_table, 1);
    int **column_of = SNUB_NEW(arena, int *, of->count + 1);
    if (columns == NULL || t == NULL || column_of == NULL)
        return false;
    columns[BUILD] = (snub_column){"build", "", SNUB_CELL_COUNT, 0};
    columns[CODE] = (snub_column){"code", "", SNUB_CELL_TEXT, 0};
    name_columns(columns + OF_BUILD);
    for (int b = 0; b < of->count && used >= 0; b++) {
        used = place_values(of->answers[b].tolerated, arena, columns + OF_BUILD, used, &column_of[b]);
        rows += of->answers[b].tolerated->kit_count;
    }
    *t = (kits_table){of, NULL, column_of, OF_BUILD + used, words};
    *table = (snub_data_table){.name = "kits",
                               .column_count = t->columns,
                               .columns = columns,
                               .row_count = rows,
                               .row = row_of_builds,
                               .context = t};
    return used >= 0;
}
