/** Parts list of one build: what is in the box, what stays, what is reworked, what comes off, and the tools. */
#include <math.h>
#include <stdio.h>

#include "contents_words.h"
#include "template_pages.h"

enum { COLUMNS = 9, SUPPLIER_COLUMN = 7, REWORK_COLUMNS = 6, TOOL_COLUMNS = 3 };

typedef struct packer {
    snub_pages *pages;
    const snub_contents *contents;
    const char **cells; /* of the table in hand */
    snub_error *error;
    int line; /* lines are numbered through, so that one can be named on the telephone */
} packer;

static const char *number(snub_pages *pages, int value)
{
    char text[16];
    snprintf(text, sizeof text, "%d", value);
    return snub_pages_fill(pages, "{n}", "n", text, NULL);
}

typedef void item_words(const snub_item *item, const snub_locale *locale, snub_text *out);

static const char *worded(snub_pages *pages, item_words *words, const snub_item *item)
{
    snub_text text = {0};
    words(item, pages->locale, &text);
    return snub_pages_keep(pages, &text);
}

/* ---- new and kept ------------------------------------------------------------------------------------------------ */

static const char *note_of(snub_pages *pages, const snub_item *item)
{
    const char *places = worded(pages, snub_item_place_words, item);
    if (item->clash == NULL)
        return places;
    return snub_pages_fill(pages, SAY("{places} Number also given to {other}: correct the drive file."), "places",
                           places, "other", item->clash, NULL);
}

/* "Riemen Nord, RN-1925": who sells it, and by which number. */
static const char *supplier_of(snub_pages *pages, const snub_item *item)
{
    const char *name = item->supplier, *sold_as = item->supplier_number;
    if (name != NULL && sold_as != NULL)
        return snub_pages_fill(pages, "{supplier}, {number}", "supplier", name, "number", sold_as, NULL);
    return name != NULL ? name : sold_as != NULL ? sold_as : "";
}

/* @return cells of the row */
static int item_row(packer *p, const char **cell, const snub_item *item, bool suppliers)
{
    snub_pages *pages = p->pages;
    int n = 0;
    cell[n++] = number(pages, ++p->line);
    cell[n++] = number(pages, item->count);
    cell[n++] = worded(pages, snub_item_words, item);
    cell[n++] = item->number != NULL ? item->number : "";
    cell[n++] = worded(pages, snub_item_size_words, item);
    cell[n++] = SAY(snub_item_class(item));
    cell[n++] = SAY(item->finish);
    if (suppliers)
        cell[n++] = supplier_of(pages, item);
    cell[n++] = note_of(pages, item);
    return n;
}

static bool any_supplier(const snub_item *items, int count)
{
    for (int i = 0; i < count; i++)
        if (items[i].supplier != NULL || items[i].supplier_number != NULL)
            return true;
    return false;
}

static const snub_item *first_of(const snub_contents *contents, snub_supply_how how)
{
    const snub_item *item = contents->items;
    for (int h = 0; h < (int)how; h++)
        item += contents->of[h];
    return item;
}

static void list_items(packer *p, snub_supply_how how)
{
    snub_pages *pages = p->pages;
    const int count = p->contents->of[how];
    const snub_item *items = first_of(p->contents, how);
    const snub_pages_column columns[COLUMNS] = {
        {SAY("no."), "", 5, 1},      {SAY("quantity"), "", 7, 1},   {SAY("part"), "", 22, -1},
        {SAY("number"), "", 15, -1}, {SAY("size"), "", 34, -1},     {SAY("class, metal"), "", 10, -1},
        {SAY("finish"), "", 9, -1},  {SAY("supplier"), "", 18, -1}, {SAY("for"), "", 34, -1}};
    const bool suppliers = any_supplier(items, count);
    snub_pages_column shown[COLUMNS];
    int width = 0, cells = 0;
    if (count == 0)
        return;
    for (int i = 0; i < COLUMNS; i++)
        if (suppliers || i != SUPPLIER_COLUMN)
            shown[width++] = columns[i];
    for (int i = 0; i < count; i++)
        cells += item_row(p, p->cells + cells, &items[i], suppliers);
    snub_pages_heading(pages, SAY(snub_supply_heading(how)));
    snub_pages_table(pages, shown, width, p->cells, count);
}

/* ---- rework ------------------------------------------------------------------------------------------------------ */

static snub_caution_set cautions_of(const snub_item *items, int count)
{
    snub_caution_set set = 0;
    for (int i = 0; i < count; i++)
        set |= snub_caution_named(items[i].rework.caution) |
               (items[i].cut_count > 0 ? SNUB_CAUTION_BIT(SNUB_CAUTION_METAL) : 0);
    return set & ~SNUB_CAUTION_BIT(SNUB_CAUTION_STRETCHED); /* at the end of every list */
}

/* The most that may be taken off, in the digits of the step that says so. */
static const char *most_off(snub_pages *pages, double metres)
{
    snub_text text = {0};
    snub_value_text_rounded(pages->locale, metres, SNUB_UNIT_MM, SNUB_CUT_DECIMALS, SNUB_ROUND_DOWN, &text);
    return snub_pages_keep(pages, &text);
}

/* "take off 2.40 mm at the front end" */
static void add_cut(snub_pages *pages, const snub_cut *cut, snub_text *text)
{
    static const char *const words[] = {SNUB_MESSAGE("take off {size} at the front end"),
                                        SNUB_MESSAGE("take off {size} at the rear end")};
    const char *size = most_off(pages, cut->depth);
    snub_text_puts(text, text->length > 0 ? "; " : "");
    if (cut->from != SNUB_CUT_SIDE)
        snub_text_puts(text, snub_pages_fill(pages, SAY(words[cut->from]), "size", size, NULL));
    else if (cut->towards != NULL)
        snub_text_puts(text, snub_pages_fill(pages, SAY("take off {size} on the side that faces {pulley}"), "size",
                                             size, "pulley", cut->towards, NULL));
    else
        snub_text_puts(text, snub_pages_fill(pages, SAY("take off {size} on the side that faces {x}, {y}"), "size",
                                             size, "x", snub_pages_length(pages, cut->point[0], 1), "y",
                                             snub_pages_length(pages, cut->point[1], 1), NULL));
}

/* "take off 2.00 mm; drill 6.80 mm; tap M8" */
static const char *how_far(snub_pages *pages, const snub_item *item)
{
    const snub_rework *rework = &item->rework;
    const struct cut {
        const char *words;
        double size;
        const char *shown;
    } cuts[] = {{SAY("take off {size}"), rework->remove, most_off(pages, rework->remove)},
                {SAY("drill {size}"), rework->drill, snub_pages_length(pages, rework->drill, SNUB_CUT_DECIMALS)},
                {SAY("ream {size}"), rework->ream, snub_pages_length(pages, rework->ream, SNUB_CUT_DECIMALS)}};
    snub_text text = {0};
    for (int i = 0; i < item->cut_count; i++)
        add_cut(pages, &item->cuts[i], &text);
    for (int i = 0; i < 3; i++) {
        if (cuts[i].size > 0.0)
            snub_text_printf(&text, "%s%s", text.length > 0 ? "; " : "",
                             snub_pages_fill(pages, cuts[i].words, "size", cuts[i].shown, NULL));
    }
    if (rework->tap != NULL)
        snub_text_printf(&text, "%s%s", text.length > 0 ? "; " : "",
                         snub_pages_fill(pages, SAY("tap {thread}"), "thread", rework->tap, NULL));
    return snub_pages_keep(pages, &text);
}

static const char *reworked(snub_pages *pages, const snub_item *item)
{
    const char *name = worded(pages, snub_item_words, item), *where = worded(pages, snub_item_place_words, item);
    if (where[0] != '\0')
        name = snub_pages_fill(pages, SAY("{part}, {places}"), "part", name, "places", where, NULL);
    if (item->number != NULL)
        name = snub_pages_fill(pages, "{part} ({number})", "part", name, "number", item->number, NULL);
    return name;
}

static snub_status list_rework(packer *p)
{
    snub_pages *pages = p->pages;
    const int count = p->contents->of[SNUB_SUPPLY_CHANGED];
    const snub_item *items = first_of(p->contents, SNUB_SUPPLY_CHANGED);
    snub_drawing drawing;
    const snub_pages_column columns[REWORK_COLUMNS] = {
        {SAY("no."), "", 5, 1},       {SAY("part"), "", 28, -1},  {SAY("what to do"), "", 40, -1},
        {SAY("how far"), "", 24, -1}, {SAY("where"), "", 26, -1}, {SAY("template page"), "", 13, -1}};
    if (count == 0)
        return SNUB_OK;
    const snub_status status = snub_template_draw(pages, &drawing, p->error);
    if (status != SNUB_OK)
        return status;
    snub_tiling tiling;
    snub_template_tile(pages, &drawing, &tiling);
    for (int i = 0; i < count; i++) {
        const char **cell = p->cells + REWORK_COLUMNS * i;
        cell[0] = number(pages, ++p->line);
        cell[1] = reworked(pages, &items[i]);
        cell[2] = items[i].rework.given ? items[i].rework.task : SAY("Take metal off as stated.");
        cell[3] = how_far(pages, &items[i]);
        cell[4] = items[i].rework.where != NULL ? items[i].rework.where : "";
        cell[5] = snub_template_page_at(pages, &drawing, &tiling, items[i].at);
    }
    snub_pages_heading(pages, SAY(snub_supply_heading(SNUB_SUPPLY_CHANGED)));
    snub_pages_cautions(pages, cautions_of(items, count));
    snub_pages_table(pages, columns, REWORK_COLUMNS, p->cells, count);
    return SNUB_OK;
}

/* ---- tools ------------------------------------------------------------------------------------------------------- */

typedef void tool_words(const snub_tool *tool, const snub_locale *locale, snub_text *out);

static const char *tool_text(snub_pages *pages, tool_words *words, const snub_tool *tool)
{
    snub_text text = {0};
    words(tool, pages->locale, &text);
    return snub_pages_keep(pages, &text);
}

static void list_tools(packer *p)
{
    snub_pages *pages = p->pages;
    const snub_contents *contents = p->contents;
    const snub_pages_column columns[TOOL_COLUMNS] = {
        {SAY("tool"), "", 45, -1}, {SAY("size"), "", 40, -1}, {SAY("for"), "", 50, -1}};
    if (contents->tool_count == 0)
        return;
    for (int i = 0; i < contents->tool_count; i++) {
        const char **cell = p->cells + TOOL_COLUMNS * i;
        cell[0] = SAY(snub_tool_words(&contents->tools[i]));
        cell[1] = tool_text(pages, snub_tool_size_words, &contents->tools[i]);
        cell[2] = tool_text(pages, snub_tool_use_words, &contents->tools[i]);
    }
    snub_pages_heading(pages, SAY("Tools and consumables"));
    snub_pages_table(pages, columns, TOOL_COLUMNS, p->cells, contents->tool_count);
    snub_pages_quiet(pages, SAY("Sizes of hexagon heads: ISO 272; of socket heads: ISO 4762; of inch threads: ASME "
                                "B18.2.1 and B18.3. A torque wrench is used from a fifth of its scale upwards "
                                "(ISO 6789)."));
}

/* ---- the sheet --------------------------------------------------------------------------------------------------- */

static void assumed(snub_pages *pages, const snub_contents *contents)
{
    snub_text names = {0};
    snub_assumed_words(contents, pages->locale, &names);
    const char *words = snub_pages_keep(pages, &names);
    if (words[0] != '\0')
        snub_pages_quiet(pages, snub_pages_fill(pages,
                                                SAY("The drive file does not say how these come, so they count as new: "
                                                    "{names}. Say it there with `supply: new` or `supply: kept`."),
                                                "names", words, NULL));
}

static snub_status print(snub_pages *pages, const void *context, snub_error *error)
{
    snub_contents contents;
    (void)context;
    snub_status status = snub_contents_of(pages->build->build, pages->arena, &contents, error);
    if (status != SNUB_OK)
        return status;
    const int rows = contents.count > contents.tool_count ? contents.count : contents.tool_count;
    packer p = {.pages = pages, .contents = &contents, .error = error};
    p.cells = SNUB_NEW(pages->arena, const char *, COLUMNS *(rows + 1));
    if (p.cells == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while laying out the sheet");
    list_items(&p, SNUB_SUPPLY_NEW);
    assumed(pages, &contents);
    list_items(&p, SNUB_SUPPLY_KEPT);
    status = list_rework(&p);
    if (status != SNUB_OK)
        return status;
    list_items(&p, SNUB_SUPPLY_REMOVED);
    list_tools(&p);
    snub_pages_quiet(pages, SAY("Every part that the drive file names stands in one of these lists, and no other part. "
                                "Belts once run are not parts of a new build."));
    snub_pages_cautions(pages, SNUB_CAUTION_BIT(SNUB_CAUTION_STRETCHED));
    snub_pages_more_cautions(pages);
    return SNUB_OK;
}

snub_status snub_sheet_parts(const snub_sheet *sheet, const snub_sheet_build *build, snub_text *out, snub_error *error)
{
    const snub_pages_job job = {.kind = SNUB_MESSAGE("Parts list"), .build = build, .landscape = true, .print = print};
    return snub_pages_print(sheet, &job, out, error);
}
