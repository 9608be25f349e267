/* The kits of `snub tolerate` as a table. */
#include <math.h>

#include "tolerate_words.h"

enum { NUMBER, VERDICT, FAILING, MARGINAL, FOLLOWED, VALUES = FOLLOWED + SNUB_FOLLOWED_ };

typedef struct kits_table {
    const snub_tolerated *of;
    snub_arena *words;
} kits_table;

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

static bool row(void *context, int number, snub_cell *cells)
{
    const kits_table *t = context;
    const snub_kit *kit = &t->of->kits[number];
    snub_kit_value *values;
    snub_arena_free(t->words);
    const int count = snub_tolerated_values(t->of, number, t->words, &values);
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
        cells[VALUES + i] = snub_cell_text(values[i].text);
    return true;
}

bool snub_tolerate_table(const snub_tolerate_answer *answer, snub_arena *arena, snub_arena *words,
                         snub_data_table *table)
{
    const snub_tolerated *of = answer->tolerated;
    snub_kit_value *values;
    const int count = of->kit_count > 0 ? snub_tolerated_values(of, 0, arena, &values) : 0;
    snub_column *columns = SNUB_NEW(arena, snub_column, VALUES + (count > 0 ? count : 0));
    kits_table *t = SNUB_NEW(arena, kits_table, 1);
    if (count < 0 || columns == NULL || t == NULL)
        return false;
    *t = (kits_table){of, words};
    columns[NUMBER] = (snub_column){"kit", "", SNUB_CELL_COUNT, 0};
    columns[VERDICT] = (snub_column){"verdict", "", SNUB_CELL_TEXT, 0};
    columns[FAILING] = (snub_column){"rules that fail", "", SNUB_CELL_TEXT, 0};
    columns[MARGINAL] = (snub_column){"rules that are marginal", "", SNUB_CELL_TEXT, 0};
    for (int f = 0; f < SNUB_FOLLOWED_; f++) {
        const snub_followed_shown *s = snub_followed_describe((snub_followed)f);
        columns[FOLLOWED + f] =
            (snub_column){s->words, snub_unit_describe(s->unit)->text, SNUB_CELL_NUMBER, s->decimals + 4};
    }
    for (int i = 0; i < count; i++)
        columns[VALUES + i] = (snub_column){values[i].path, "", SNUB_CELL_TEXT, 0};
    *table = (snub_data_table){.name = "kits",
                               .column_count = VALUES + count,
                               .columns = columns,
                               .row_count = of->kit_count,
                               .row = row,
                               .context = t};
    return true;
}
