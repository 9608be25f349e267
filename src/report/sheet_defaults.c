/* What the file leaves to defaults, in the engineering report. */
#include <string.h>

#include "pages.h"
#include "snub/defaults.h"

/* A number of the list in the reader's units, with as many digits. */
static snub_shown in_units(const snub_pages *pages, const char *text, const char *unit)
{
    double value = 0.0;
    const char *point = strchr(text, '.');
    const char *bare = snub_format(pages->arena, "%.*s", (int)strcspn(unit, " "), unit);
    (void)snub_parse_number(text, NULL, &value);
    return snub_number_shown(pages->locale, value, bare != NULL ? bare : "",
                             point != NULL ? (int)strlen(point + 1) : 0);
}

static const char *number(snub_pages *pages, const char *text, const char *unit)
{
    const snub_shown shown = in_units(pages, text, unit);
    return snub_pages_number(pages, shown.value, shown.decimals, "");
}

static const char *unit_of(snub_pages *pages, const snub_default_info *info)
{
    const snub_shown shown = in_units(pages, info->preset, info->unit);
    return strstr(info->unit, " per rib") != NULL
               ? snub_pages_fill(pages, SAY("{unit} per rib"), "unit", shown.unit, NULL)
               : shown.unit;
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
                                          number(pages, d->info->preset, d->info->unit),
                                          unit_of(pages, d->info),
                                          number(pages, d->info->range[0], d->info->unit),
                                          number(pages, d->info->range[1], d->info->unit),
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
    snub_pages_quiet(pages, SAY("The range is that of real belts, blowers and engines. Each is tried alone at both "
                                "ends with --defaults; `snub check --defaults` says how to measure what changes the "
                                "belt or the verdict."));
}
