/* What the file leaves to defaults, in the engineering report. Numbers are as a drive file writes them. */
#include <string.h>

#include "pages.h"
#include "snub/defaults.h"

/* Units in words that default_list.inc has. */
static const char *unit_words(const snub_pages *pages, const char *unit)
{
    static const char *const words[] = {SNUB_MESSAGE("N per rib"), SNUB_MESSAGE("kg/m per rib")};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (strcmp(words[i], unit) == 0)
            return SAY(words[i]);
    }
    return unit;
}

/* "7PK1926, marginal" where it is not what the build has. */
static const char *outcome(snub_pages *pages, const snub_default *d, int e)
{
    const snub_default_end *end = &d->end[e];
    if (!d->tried)
        return SAY("not tried");
    if (!end->differs)
        return SAY("no change");
    return snub_pages_fill(pages, SAY("{belt}, {verdict}"), "belt",
                           end->designation[0] != '\0' ? end->designation : SAY("no belt"), "verdict",
                           SAY(snub_level_text(end->verdict)), NULL);
}

void snub_pages_defaults(snub_pages *pages, const struct snub_default *defaults, int count)
{
    enum { COLUMNS = 7 };
    const char **cells = SNUB_NEW(pages->arena, const char *, COLUMNS *(size_t)(count > 0 ? count : 1)), **cell = cells;
    if (cells == NULL) {
        pages->failed = true;
        return;
    }
    if (count == 0)
        return;
    for (int k = 0; k < count; k++) {
        const snub_default *d = &defaults[k];
        const char *const row[COLUMNS] = {d->path,
                                          d->info->preset,
                                          unit_words(pages, d->info->unit),
                                          d->info->range[0],
                                          d->info->range[1],
                                          outcome(pages, d, 0),
                                          outcome(pages, d, 1)};
        for (int i = 0; i < COLUMNS; i++)
            *cell++ = row[i];
    }
    const snub_pages_column columns[COLUMNS] = {{SAY("value left out"), "", 32, -1},
                                                {SAY("taken"), "", 12, 1},
                                                {SAY("unit"), "", 14, -1},
                                                {SAY("low"), "", 9, 1},
                                                {SAY("high"), "", 9, 1},
                                                {SAY("build at low"), "", 20, -1},
                                                {SAY("build at high"), "", 20, -1}};
    snub_pages_room(pages, 34); /* its heading, the head and some rows together */
    snub_pages_heading(pages, SAY("Left to defaults"));
    snub_pages_table(pages, columns, COLUMNS, cells, count);
    snub_pages_quiet(pages,
                     SAY("Values as a drive file writes them, with the range of real ones. Each is tried alone at both "
                         "ends with --defaults; `snub check --defaults` says how to measure what changes the "
                         "belt or the verdict."));
}
