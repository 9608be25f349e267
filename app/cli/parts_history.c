/* snub parts history and maps: what the catalogue remembers. */
#include "parts_run.h"

#include <string.h>

#include "snub/json.h"
#include "snub/report.h"

static json_t *change_json(const snub_part_change *change)
{
    json_t *o = json_object();
    snub_json_put(o, "at", snub_json_words(change->at));
    snub_json_put(o, "by", snub_json_words(change->user));
    snub_json_put(o, "host", snub_json_words(change->host));
    snub_json_put(o, "file", change->file[0] ? snub_json_words(change->file) : json_null());
    parts_put_change(o, change);
    return o;
}

static int history_json(const parts_run *p, const snub_history *history)
{
    json_t *root = json_object(), *changes = json_array();
    for (int i = 0; i < history->count; i++)
        snub_json_append(changes, change_json(&history->items[i]));
    snub_json_put(root, "snub", json_integer(1));
    snub_json_put(root, "catalogue", snub_json_words(p->path));
    snub_json_put(root, "key", snub_json_words(history->key));
    snub_json_put(root, "changes", changes);
    return cli_print_json(p->run, root, CLI_PASS);
}

static int history_text(const parts_run *p, const snub_history *history)
{
    enum { COLUMNS = 6 };
    static const snub_column columns[COLUMNS] = {{"when (UTC)", "", SNUB_CELL_TEXT, 0}, {"by", "", SNUB_CELL_TEXT, 0},
                                                 {"file", "", SNUB_CELL_TEXT, 0},       {"what", "", SNUB_CELL_TEXT, 0},
                                                 {"old", "", SNUB_CELL_TEXT, 0},        {"new", "", SNUB_CELL_TEXT, 0}};
    snub_cell *cells = SNUB_NEW(&p->run->arena, snub_cell, COLUMNS * (history->count + 1)), *cell = cells;
    snub_text out = {0};
    snub_error error;
    if (!cells)
        return parts_no_memory(p);
    for (int i = 0; i < history->count; i++) {
        const snub_part_change *c = &history->items[i];
        *cell++ = snub_cell_text(c->at);
        *cell++ = snub_cell_text(c->user);
        *cell++ = snub_cell_text(c->file[0] ? c->file : NULL);
        *cell++ = snub_cell_text(c->field[0] ? snub_format(&p->run->arena, "%s: %s", c->what, c->field) : c->what);
        *cell++ = snub_cell_text(c->old);
        *cell++ = snub_cell_text(c->now);
    }
    const snub_data_table table = {
        .name = "history", .column_count = COLUMNS, .columns = columns, .row_count = history->count, .cells = cells};
    const snub_look look = {.width = p->run->width, .colour = p->run->colour};
    snub_status status = SNUB_OK;
    if (history->count)
        status = snub_table_show(&table, &look, &out, &error);
    else
        snub_text_printf(&out, "%s: nothing has changed since this catalogue keeps a history\n",
                         parts_shown(p, history->key));
    const int code = status == SNUB_OK ? cli_print(p->run, &out, CLI_PASS) : cli_error(&error, NULL, 0);
    snub_text_free(&out);
    return code;
}

int parts_history(parts_run *p)
{
    snub_history history;
    snub_error error;
    if (p->operand_count != 1)
        return cli_usage_error(p->run, "give the key, your own number or the supplier's number of one part");
    if (!parts_open(p, SNUB_CATALOGUE_READ))
        return CLI_BAD;
    if (snub_catalogue_history(p->catalogue, p->operands[0], &p->run->arena, &history, &error) != SNUB_OK)
        return cli_error(&error, NULL, 0);
    return p->run->json ? history_json(p, &history) : history_text(p, &history);
}

/* ---- maps of suppliers' files ------------------------------------------------------------------------------------ */

static int maps_json(const parts_run *p, const snub_kept_maps *maps)
{
    json_t *root = json_object(), *list = json_array();
    for (int i = 0; i < maps->count; i++) {
        json_t *o = json_object();
        snub_json_put(o, "supplier", snub_json_words(maps->items[i].supplier));
        snub_json_put(o, "at", snub_json_words(maps->items[i].at));
        snub_json_put(o, "by", snub_json_words(maps->items[i].user));
        snub_json_put(o, "map", snub_json_words(maps->items[i].text));
        snub_json_append(list, o);
    }
    snub_json_put(root, "snub", json_integer(1));
    snub_json_put(root, "catalogue", snub_json_words(p->path));
    snub_json_put(root, "maps", list);
    return cli_put_json(p->run, root, cli_value(p->run, "output"), CLI_PASS);
}

static int list_maps(const parts_run *p)
{
    enum { COLUMNS = 3 };
    static const snub_column columns[COLUMNS] = {
        {"supplier", "", SNUB_CELL_TEXT, 0}, {"kept (UTC)", "", SNUB_CELL_TEXT, 0}, {"by", "", SNUB_CELL_TEXT, 0}};
    snub_kept_maps maps;
    snub_text out = {0};
    snub_error error;
    if (snub_catalogue_maps(p->catalogue, &p->run->arena, &maps, &error) != SNUB_OK)
        return cli_error(&error, NULL, 0);
    if (p->run->json)
        return maps_json(p, &maps);
    snub_cell *cells = SNUB_NEW(&p->run->arena, snub_cell, COLUMNS * (maps.count + 1)), *cell = cells;
    if (!cells)
        return parts_no_memory(p);
    for (int i = 0; i < maps.count; i++) {
        *cell++ = snub_cell_text(maps.items[i].supplier);
        *cell++ = snub_cell_text(maps.items[i].at);
        *cell++ = snub_cell_text(maps.items[i].user);
    }
    const snub_data_table table = {
        .name = "maps", .column_count = COLUMNS, .columns = columns, .row_count = maps.count, .cells = cells};
    const snub_look look = {.width = p->run->width, .colour = p->run->colour};
    snub_status status = SNUB_OK;
    if (maps.count)
        status = snub_table_show(&table, &look, &out, &error);
    else
        snub_text_puts(&out, "no maps; `snub parts import --map FILE` keeps one\n");
    const int code =
        status == SNUB_OK ? cli_put(p->run, cli_value(p->run, "output"), &out, CLI_PASS) : cli_error(&error, NULL, 0);
    snub_text_free(&out);
    return code;
}

/* One map, as it was written. */
static int export_map(const parts_run *p, const char *supplier)
{
    snub_kept_map map;
    snub_error error;
    if (snub_catalogue_map(p->catalogue, supplier, &p->run->arena, &map, &error) != SNUB_OK)
        return cli_error(&error, NULL, 0);
    if (p->run->json)
        return maps_json(p, &(snub_kept_maps){&map, 1});
    snub_text out = {0};
    snub_text_puts(&out, map.text);
    const int code = cli_put(p->run, cli_value(p->run, "output"), &out, CLI_PASS);
    snub_text_free(&out);
    return code;
}

static int remove_map(const parts_run *p, const char *supplier)
{
    snub_error error;
    if (snub_catalogue_map_remove(p->catalogue, supplier, &error) != SNUB_OK)
        return cli_error(&error, NULL, 0);
    if (p->run->json)
        return cli_print_json(p->run, json_pack("{s:i, s:i}", "snub", 1, "removed", 1), CLI_PASS);
    snub_text out = {0};
    snub_text_printf(&out, "removed the map of %s\n", parts_shown(p, supplier));
    const int code = cli_print(p->run, &out, CLI_PASS);
    snub_text_free(&out);
    return code;
}

int parts_maps(parts_run *p)
{
    const bool remove = cli_has(p->run, "remove");
    if (p->operand_count > 1 || (remove && p->operand_count == 0))
        return cli_usage_error(p->run, "give one supplier's name%s", remove ? "" : ", or none for a list");
    if (remove && cli_has(p->run, "output"))
        return cli_usage_error(p->run, "--remove writes no file: it goes without --output");
    if (!parts_open(p, remove ? SNUB_CATALOGUE_WRITE : SNUB_CATALOGUE_READ))
        return CLI_BAD;
    if (remove)
        return remove_map(p, p->operands[0]);
    return p->operand_count ? export_map(p, p->operands[0]) : list_maps(p);
}
