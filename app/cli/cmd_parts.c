/* snub parts: the catalogue of parts. */
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "commands.h"
#include "files.h"
#include "parts_run.h"
#include "progress.h"
#include "refused.h"
#include "snub/csv.h"
#include "snub/json.h"
#include "snub/parts.h"
#include "snub/report.h"

enum { LIST_MOST = 1000, FIND_MOST = 50, MOST_MOST = 1000000 };

static const char *const formats[] = {"text", "csv", "xlsx", "json", NULL};
static const char *const kinds[] = {"belt",     "pulley", "idler",  "tensioner", "bearing",
                                    "fastener", "shim",   "blower", NULL};
static const cli_option options[] = {
    {"catalogue", 'c', "FILE",
     "the catalogue (default: $SNUB_CATALOGUE, else snub/catalogue.db in the user's data folder)", false, CLI_INPUT,
     NULL},
    {"kind", 'k', "KIND", "only parts of this kind; import, update: the kind of rows that give none", false, false,
     kinds},
    {"source", 0, "TEXT", "import, update --add: the source of rows that give none", false, false, NULL},
    {"replace", 0, NULL, "import: replace parts whose key is already in the catalogue", false, false, NULL},
    {"skip-bad", 0, NULL, "import, update: take the good rows even if others are bad", false, false, NULL},
    {"dry-run", 'n', NULL, "import, update: check everything, change nothing; update lists what would change", false,
     false, NULL},
    {"add", 0, NULL, "update: add the parts that are not in the catalogue", false, false, NULL},
    {"map", 0, "FILE", "import, update: a supplier's file, read by this map; the catalogue keeps the map", false,
     CLI_INPUT, NULL},
    {"supplier", 0, "NAME", "import, update: a file of this supplier, read by the map that is kept", false, false,
     NULL},
    {"remove", 0, NULL, "maps: remove the map of this supplier", false, false, NULL},
    {"shipped", 0, NULL, "import: the parts that come with snub", false, false, NULL},
    {"bare", 0, NULL, "init: leave the new catalogue empty", false, false, NULL},
    {"delimiter", 0, "WHICH", "import, update: field separator (default: detected)", false, false,
     snub_separator_words},
    {"encoding", 0, "WHICH", "import, update: how the file is encoded (default: by its byte-order mark, else utf-8)",
     false, false, snub_encoding_words},
    {"decimal", 0, "WHICH", "import, update: decimal mark (default: point; a comma in a number is an error)", false,
     false, snub_decimal_words},
    {"thousands", 0, "WHICH", "import, update: mark between thousands (default: none)", false, false,
     snub_thousands_words},
    {"ribs", 0, "N", "find: number of ribs, or N..M", false, false, NULL},
    {"length", 0, "RANGE", "find: belt length, such as 1925, 1900..1950 or \"75 in..76 in\"", false, false, NULL},
    {"diameter", 0, "RANGE", "find: diameter", false, false, NULL},
    {"where", 'w', "FIELD=RANGE", "find: any other size or word, such as bore=17 or seal=contact", true, false, NULL},
    {"in-stock", 0, NULL, "list, find: only parts in stock", false, false, NULL},
    {"most", 'm', "N", "list, find: show at most N parts (default: 1000, 50)", false, false, NULL},
    {"format", 0, "FORMAT", "list, find, show, export: output format", false, false, formats},
    {"output", 'o', "FILE", "write to this file; .csv, .xlsx and .json choose the format", false, CLI_OUTPUT, NULL},
    {"force", 0, NULL, "backup: replace an existing file", false, false, NULL},
    {"by", 0, "NAME", "who makes the change, for the history (default: the account's name)", false, false, NULL},
    {"date", 0, "TIME", "when, for the history: UTC, such as 2026-01-31T14:05:00Z (default: now)", false, false, NULL},
    {"wait", 0, "S", "seconds to wait for another program to finish writing (default: 10)", false, false, NULL},
};

/* ---- lists out -------------------------------------------------------------------------------------------------- */

static snub_status list_json(const parts_run *p, const snub_part_list *list, snub_text *out, snub_error *error)
{
    json_t *root = json_object(), *parts = json_array();
    for (int i = 0; i < list->count; i++)
        snub_json_append(parts, snub_json_part(&list->items[i]));
    snub_json_put(root, "snub", json_integer(1));
    snub_json_put(root, "catalogue", snub_json_words(p->path));
    snub_json_put(root, "parts", parts);
    snub_json_put(root, "more", json_boolean(list->more));
    return cli_json_text(p->run, root, out, error);
}

static snub_status list_text(const parts_run *p, const snub_part_list *list, snub_text *out, snub_error *error)
{
    snub_data_table table;
    bool to_file = cli_has(p->run, "output");
    snub_look look = {.width = to_file ? 0 : p->run->width, .colour = p->run->colour && !to_file};
    if (list->count == 0) {
        snub_text_puts(out, "no parts\n");
        return SNUB_OK;
    }
    snub_status status = snub_parts_table(list, &p->run->locale, &p->run->arena, &table, error);
    if (status == SNUB_OK)
        status = snub_table_show(&table, &look, out, error);
    if (list->more)
        snub_text_printf(out, "\nthere are more; use --most to show more than %d\n", list->count);
    return status;
}

static snub_status list_csv(const parts_run *p, const snub_part_list *list, snub_text *out)
{
    snub_export_header(p->kind, out);
    for (int i = 0; i < list->count; i++)
        snub_export_row(p->kind, &list->items[i], out);
    return SNUB_OK;
}

static snub_status list_xlsx(const parts_run *p, const snub_part_list *list, snub_text *out, snub_error *error)
{
    snub_data_table *tables;
    int count;
    snub_status status = snub_parts_workbook(list, &p->run->locale, &p->run->arena, &tables, &count, error);
    return status == SNUB_OK ? snub_tables_xlsx(tables, count, out, error) : status;
}

static int put_list(const parts_run *p, const snub_part_list *list, const char *usual)
{
    const char *format = cli_format(p->run, formats, usual);
    snub_text out = {0};
    snub_error error;
    if (strcmp(format, "xlsx") == 0 && !cli_has(p->run, "output"))
        return cli_usage_error(p->run, "give a file for the workbook: --output parts.xlsx");
    if (strcmp(format, "csv") == 0 && cli_has(p->run, "inches"))
        return cli_usage_error(p->run,
                               "the CSV of parts is for `parts import` and stays metric; use --inches with text "
                               "or a workbook");
    snub_status status = strcmp(format, "json") == 0   ? list_json(p, list, &out, &error)
                         : strcmp(format, "csv") == 0  ? list_csv(p, list, &out)
                         : strcmp(format, "xlsx") == 0 ? list_xlsx(p, list, &out, &error)
                                                       : list_text(p, list, &out, &error);
    int code =
        status == SNUB_OK ? cli_put(p->run, cli_value(p->run, "output"), &out, CLI_PASS) : cli_error(&error, NULL, 0);
    snub_text_free(&out);
    return code;
}

/* ---- find and list ---------------------------------------------------------------------------------------------- */

/* "1560..1600", "75 in..76 in", "80": a single size is within half of its hundredth of a millimetre, as it is read off.
 */
static bool read_range(const parts_run *p, const char *text, snub_part_window *window)
{
    static const double READ_OFF_M = 0.000005;
    const snub_part_field *field = snub_part_field_named(window->field);
    if (!field)
        return true; /* find tells it */
    if (field->type != SNUB_FIELD_NUMBER && field->type != SNUB_FIELD_COUNT) {
        window->word = text;
        return true;
    }
    const char *dots = strstr(text, "..");
    char *from =
        dots ? snub_copy_text_n(&p->run->arena, text, (size_t)(dots - text)) : snub_copy_text(&p->run->arena, text);
    const char *to = dots ? dots + 2 : text;
    snub_error error;
    if (!from) {
        parts_no_memory(p);
        return false;
    }
    if (snub_units_parse(p->run->units, field->quantity, from, &window->from, &error) != SNUB_OK ||
        snub_units_parse(p->run->units, field->quantity, to, &window->to, &error) != SNUB_OK) {
        cli_usage_error(p->run, "%s: %s (got \"%.60s\", need %s)", window->field, error.message, error.got, error.need);
        return false;
    }
    if (!dots && field->quantity == SNUB_Q_LENGTH) {
        window->from -= READ_OFF_M;
        window->to += READ_OFF_M;
    }
    return true;
}

static bool add_window(const parts_run *p, const char *field, const char *range, snub_part_query *query)
{
    if (query->window_count == SNUB_PART_WINDOWS_MOST) {
        cli_usage_error(p->run, "more than %d sizes to look for", SNUB_PART_WINDOWS_MOST);
        return false;
    }
    query->windows[query->window_count].field = field;
    return read_range(p, range, &query->windows[query->window_count++]);
}

/* A field of --where, or (`word`) its word, by its name of today. */
static const char *named_today(const parts_run *p, const char *given, const char *field, const char *word)
{
    const char *old = word ? word : field, *now = snub_part_renamed(p->kind, field, word);
    const char *origin = now ? snub_format(&p->run->arena, "--where %s", given) : NULL;
    snub_error error;
    if (!origin)
        return old;
    const snub_hint hint = {.place = {.file = origin}, .old = old, .now = now};
    snub_hint_error(&hint, &error);
    cli_hint(p->run, &error);
    return now;
}

static bool read_windows(const parts_run *p, snub_part_query *query)
{
    static const char *const named[] = {"ribs", "length", "diameter"};
    for (size_t i = 0; i < sizeof named / sizeof named[0]; i++)
        if (cli_has(p->run, named[i]) && !add_window(p, named[i], cli_value(p->run, named[i]), query))
            return false;
    for (int i = 0; i < p->run->given_count; i++) {
        if (strcmp(p->run->given[i].option->name, "where") != 0)
            continue;
        const char *text = p->run->given[i].value, *equals = strchr(text, '=');
        const char *field = equals ? snub_copy_text_n(&p->run->arena, text, (size_t)(equals - text)) : NULL;
        if (!field || !field[0]) {
            cli_usage_error(p->run, "--where takes FIELD=RANGE, as in --where bore=17, not \"%.60s\"", text);
            return false;
        }
        field = named_today(p, text, field, NULL);
        if (!snub_part_field_named(field)) {
            cli_usage_error(p->run, "--where: no kind of part has a field \"%.60s\"", field);
            return false;
        }
        if (!add_window(p, field, named_today(p, text, field, equals + 1), query))
            return false;
    }
    return true;
}

static bool read_text(const parts_run *p, snub_part_query *query)
{
    snub_text text = {0};
    for (int i = 0; i < p->operand_count; i++)
        snub_text_printf(&text, "%s%s", i ? " " : "", p->operands[i]);
    query->text = p->operand_count ? snub_copy_text(&p->run->arena, text.data ? text.data : "") : NULL;
    bool good = !text.failed && (!p->operand_count || query->text);
    snub_text_free(&text);
    return good || parts_no_memory(p) != CLI_BAD;
}

static int run_search(parts_run *p, bool find)
{
    long most = find ? FIND_MOST : LIST_MOST;
    snub_part_query query = {.kind = p->kind, .in_stock = cli_has(p->run, "in-stock")};
    snub_part_list list;
    snub_error error;
    if (!cli_count(p->run, "most", 1, MOST_MOST, &most) ||
        (find && (!read_windows(p, &query) || !read_text(p, &query))))
        return CLI_BAD;
    if (find && !query.text && query.window_count == 0 && !query.in_stock && p->kind == SNUB_PART_ANY)
        return cli_usage_error(p->run, "give words to find, --ribs, --length, --diameter or --where");
    query.most = (int)most;
    if (!parts_open(p, SNUB_CATALOGUE_READ))
        return CLI_BAD;
    if (snub_catalogue_find(p->catalogue, &query, &p->run->arena, &list, &error) != SNUB_OK)
        return cli_error(&error, NULL, 0);
    return put_list(p, &list, "text");
}

static int run_find(parts_run *p)
{
    return run_search(p, true);
}

static int run_list(parts_run *p)
{
    return run_search(p, false);
}

/* ---- show ------------------------------------------------------------------------------------------------------- */

static void show_row(snub_cell **cell, const char *what, const char *value, const char *tolerance)
{
    *(*cell)++ = snub_cell_text(what);
    *(*cell)++ = snub_cell_text(value);
    *(*cell)++ = snub_cell_text(tolerance && tolerance[0] ? tolerance : NULL);
}

/* How a drive file asks for it. */
static const char *drive_words(snub_part_kind kind)
{
    switch (kind) {
    case SNUB_PART_BELT: return "belt: {part: ...}";
    case SNUB_PART_PULLEY:
    case SNUB_PART_IDLER: return "a pulley: {name: ..., part: ..., at: [x, y]}";
    case SNUB_PART_TENSIONER: return "an arm: {part: ..., pivot: [x, y], free: ...}";
    case SNUB_PART_BLOWER: return "blower: {part: ...}";
    case SNUB_PART_BEARING: return "a row of bearings: {part: ...}";
    default: return NULL;
    }
}

static void show_sale(snub_cell **cell, parts_run *p, const snub_part *part)
{
    snub_text text = {0};
    if (part->own_number[0])
        show_row(cell, "own number", part->own_number, NULL);
    if (part->supplier[0])
        show_row(cell, "supplier", part->supplier, NULL);
    if (part->supplier_number[0])
        show_row(cell, "supplier number", part->supplier_number, NULL);
    if (part->minimum_order >= 0) {
        snub_text_printf(&text, "%lld", part->minimum_order);
        show_row(cell, "minimum order", cli_keep_text(p->run, &text), NULL);
    }
    if (part->discontinued)
        show_row(cell, "discontinued", "yes", NULL);
    if (part->replaced_by[0])
        show_row(cell, "replaced by", part->replaced_by, NULL);
}

static snub_status show_text(parts_run *p, const snub_part *part, snub_text *out, snub_error *error)
{
    static const snub_column columns[] = {
        {"part", "", SNUB_CELL_TEXT, 0}, {"value", "", SNUB_CELL_TEXT, 0}, {"tolerance", "", SNUB_CELL_TEXT, 0}};
    snub_cell cells[3 * (SNUB_PART_FIELDS_MOST + 14)], *cell = cells;
    snub_text text = {0};
    int count;
    const snub_part_field *fields = snub_part_fields(part->kind, &count);
    show_row(&cell, "key", part->key, NULL);
    show_row(&cell, "kind", snub_part_kind_name(part->kind), NULL);
    if (part->name[0])
        show_row(&cell, "name", part->name, NULL);
    for (int i = 0; i < count; i++) {
        if (!part->values[i].given)
            continue;
        snub_part_value_text(&fields[i], &part->values[i], &p->run->locale, &text);
        const char *value = cli_keep_text(p->run, &text);
        snub_part_tolerance_text(&fields[i], &part->values[i], &p->run->locale, &text);
        show_row(&cell, fields[i].name, value, cli_keep_text(p->run, &text));
    }
    snub_part_price_text(part, &text);
    if (part->price_milli >= 0)
        show_row(&cell, "price", cli_keep_text(p->run, &text), NULL);
    if (part->stock >= 0) {
        snub_text_printf(&text, "%lld", part->stock);
        show_row(&cell, "stock", cli_keep_text(p->run, &text), NULL);
    }
    show_sale(&cell, p, part);
    if (part->note[0])
        show_row(&cell, "note", part->note, NULL);
    show_row(&cell, "source", part->source, NULL);
    if (drive_words(part->kind))
        show_row(&cell, "in a drive file", drive_words(part->kind), NULL);
    snub_data_table table = {
        .name = "part", .column_count = 3, .columns = columns, .row_count = (int)(cell - cells) / 3, .cells = cells};
    snub_look look = {.width = p->run->width};
    return snub_table_show(&table, &look, out, error);
}

static int run_show(parts_run *p)
{
    snub_error error;
    if (p->operand_count < 1)
        return cli_usage_error(p->run,
                               "give the key, or another number, of a part to show; find one with `snub parts find`");
    snub_part *parts = SNUB_NEW(&p->run->arena, snub_part, p->operand_count);
    if (!parts)
        return parts_no_memory(p);
    if (!parts_open(p, SNUB_CATALOGUE_READ))
        return CLI_BAD;
    for (int i = 0; i < p->operand_count; i++) {
        const char *key;
        if (snub_catalogue_key(p->catalogue, p->operands[i], &p->run->arena, &key, &error) != SNUB_OK ||
            snub_catalogue_get(p->catalogue, key, &p->run->arena, &parts[i], &error) != SNUB_OK)
            return cli_error(&error, NULL, 0);
    }
    snub_part_list list = {.items = parts, .count = p->operand_count};
    if (strcmp(cli_format(p->run, formats, "text"), "text") != 0)
        return put_list(p, &list, "text");
    snub_text out = {0};
    snub_status status = SNUB_OK;
    for (int i = 0; i < p->operand_count && status == SNUB_OK; i++) {
        snub_text_puts(&out, i ? "\n" : "");
        status = show_text(p, &parts[i], &out, &error);
    }
    int code =
        status == SNUB_OK ? cli_put(p->run, cli_value(p->run, "output"), &out, CLI_PASS) : cli_error(&error, NULL, 0);
    snub_text_free(&out);
    return code;
}

static snub_status count_parts(const parts_run *p, long long *count, snub_error *error)
{
    return snub_catalogue_count(p->catalogue, SNUB_PART_ANY, count, error);
}

/* @return CLI_PASS: there is one, of so many parts */
static int make_or_upgrade(parts_run *p, long long *count)
{
    const snub_import_options wanted = {.kind = SNUB_PART_ANY};
    snub_error error;
    snub_status status;
    do {
        if (!parts_open_or_begin(p))
            return CLI_BAD;
        status = count_parts(p, count, &error);
        if (status == SNUB_OK && *count == 0 && !cli_has(p->run, "bare")) {
            int code = parts_import_shipped(p, &wanted);
            if (code != CLI_PASS)
                return code;
            status = count_parts(p, count, &error);
        }
        if (status == SNUB_OK)
            status = parts_place_new(p, &error);
    } while (status == SNUB_STOPPED); /* another program has made one: it is looked at */
    return status == SNUB_OK ? CLI_PASS : cli_error(&error, NULL, 0);
}

static int run_init(parts_run *p)
{
    long long count = 0;
    int made = make_or_upgrade(p, &count);
    if (made != CLI_PASS)
        return made;
    if (p->run->json)
        return cli_print_json(p->run,
                              json_pack("{s:i, s:o, s:i, s:I}", "snub", 1, "catalogue", snub_json_words(p->path),
                                        "version", (int)SNUB_CATALOGUE_VERSION, "parts", (json_int_t)count),
                              CLI_PASS);
    snub_text out = {0};
    snub_text_printf(&out, "%s: version %d, %lld parts\n", parts_shown(p, p->path), (int)SNUB_CATALOGUE_VERSION, count);
    int code = cli_print(p->run, &out, CLI_PASS);
    snub_text_free(&out);
    return code;
}

/* ---- export, remove, backup, check ------------------------------------------------------------------------------ */

typedef struct exporter {
    parts_run *p;
    snub_text out;
    snub_part_list list; /* for the formats that need all of it at once */
    int room;
    bool keep;
} exporter;

static bool keep_part(exporter *e, const snub_part *part)
{
    snub_arena *arena = &e->p->run->arena;
    if (e->list.count == e->room) {
        int room = e->room ? e->room * 2 : 256;
        snub_part *bigger = realloc(e->list.items, (size_t)room * sizeof *bigger);
        if (!bigger)
            return false;
        e->list.items = bigger;
        e->room = room;
    }
    snub_part *copy = &e->list.items[e->list.count++];
    *copy = *part;
    copy->key = snub_copy_text(arena, part->key);
    copy->name = snub_copy_text(arena, part->name);
    copy->source = snub_copy_text(arena, part->source);
    copy->note = snub_copy_text(arena, part->note);
    copy->own_number = snub_copy_text(arena, part->own_number);
    copy->supplier = snub_copy_text(arena, part->supplier);
    copy->supplier_number = snub_copy_text(arena, part->supplier_number);
    copy->replaced_by = snub_copy_text(arena, part->replaced_by);
    bool good = copy->key && copy->name && copy->source && copy->note && copy->own_number && copy->supplier &&
                copy->supplier_number && copy->replaced_by;
    for (int i = 0; i < SNUB_PART_FIELDS_MOST; i++)
        if (part->values[i].given && part->values[i].text)
            good = (copy->values[i].text = snub_copy_text(arena, part->values[i].text)) != NULL && good;
    return good;
}

static snub_status export_part(void *context, const snub_part *part, snub_error *error)
{
    exporter *e = context;
    bool good = true;
    if (e->keep)
        good = keep_part(e, part);
    else
        snub_export_row(e->p->kind, part, &e->out);
    return good && !e->out.failed ? SNUB_OK : snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
}

static int run_export(parts_run *p)
{
    const char *format = cli_format(p->run, formats, "csv");
    exporter e = {.p = p, .keep = strcmp(format, "csv") != 0};
    snub_error error;
    if (p->operand_count)
        return cli_usage_error(p->run, "export goes to standard output, or to --output FILE; it takes no %.40s",
                               p->operands[0]);
    if (!parts_open(p, SNUB_CATALOGUE_READ))
        return CLI_BAD;
    if (!e.keep)
        snub_export_header(p->kind, &e.out);
    int code = CLI_BAD;
    cli_doing("reading the catalogue");
    if (snub_catalogue_walk(p->catalogue, p->kind, export_part, &e, &error) != SNUB_OK)
        cli_error(&error, NULL, 0);
    else
        code = e.keep ? put_list(p, &e.list, "csv") : cli_put(p->run, cli_value(p->run, "output"), &e.out, CLI_PASS);
    snub_text_free(&e.out);
    free(e.list.items);
    return code;
}

static int run_remove(parts_run *p)
{
    snub_error error;
    if (p->operand_count < 1)
        return cli_usage_error(p->run, "give the key of the part to remove");
    if (!parts_open(p, SNUB_CATALOGUE_WRITE))
        return CLI_BAD;
    for (int i = 0; i < p->operand_count; i++) {
        if (snub_catalogue_remove(p->catalogue, p->operands[i], &error) != SNUB_OK) {
            cli_error(&error, NULL, 0);
            if (i)
                cli_say("snub parts: %d removed before this error\n", i);
            return CLI_BAD;
        }
    }
    if (p->run->json)
        return cli_print_json(p->run, json_pack("{s:i, s:i}", "snub", 1, "removed", p->operand_count), CLI_PASS);
    snub_text out = {0};
    snub_text_printf(&out, "removed %d\n", p->operand_count);
    int code = cli_print(p->run, &out, CLI_PASS);
    snub_text_free(&out);
    return code;
}

static int run_backup(parts_run *p)
{
    snub_error error;
    if (p->operand_count != 1)
        return cli_usage_error(p->run, "give one FILE to copy the catalogue to");
    if (!cli_writes_catalogue(p->run, "the copy", p->operands[0]) || !parts_open(p, SNUB_CATALOGUE_READ))
        return CLI_BAD;
    cli_doing("copying and checking the copy");
    if (snub_catalogue_backup(p->catalogue, p->operands[0], cli_has(p->run, "force"), &error) != SNUB_OK)
        return cli_error(&error, NULL, 0);
    if (p->run->json)
        return cli_print_json(p->run, json_pack("{s:i, s:o}", "snub", 1, "backup", snub_json_words(p->operands[0])),
                              CLI_PASS);
    snub_text out = {0};
    snub_text_printf(&out, "%s: complete copy, checked\n", parts_shown(p, p->operands[0]));
    int code = cli_print(p->run, &out, CLI_PASS);
    snub_text_free(&out);
    return code;
}

/* A catalogue that may not be written to is checked as far as a reader can. */
static bool open_to_check(parts_run *p)
{
    snub_error error;
    char *path = snub_catalogue_path(cli_value(p->run, "catalogue"), &p->run->arena);
    if (path && !cli_reads_catalogue(p->run, path, false))
        return false;
    if (path && snub_catalogue_open(path, SNUB_CATALOGUE_READ, 10, &p->catalogue, &error) == SNUB_OK) {
        snub_catalogue *writer = NULL;
        if (snub_catalogue_open(path, SNUB_CATALOGUE_WRITE, 10, &writer, &error) == SNUB_OK) {
            snub_catalogue_close(p->catalogue);
            p->catalogue = writer;
        }
        p->path = path;
        return true;
    }
    return parts_open(p, SNUB_CATALOGUE_READ); /* tells */
}

static int run_check(parts_run *p)
{
    snub_errors errors = {0};
    snub_error error;
    long long parts = 0;
    if (!open_to_check(p))
        return CLI_BAD;
    int code = CLI_BAD;
    cli_doing("checking every part");
    if (snub_catalogue_check(p->catalogue, &errors, &parts, &error) != SNUB_OK) {
        code = cli_error(&error, NULL, 0);
    } else if (errors.count) {
        cli_errors(p->run, &errors, NULL, 0);
        code = CLI_FAIL;
    } else if (p->run->json) {
        code = cli_print_json(p->run,
                              json_pack("{s:i, s:o, s:I, s:[]}", "snub", 1, "catalogue", snub_json_words(p->path),
                                        "parts", (json_int_t)parts, "errors"),
                              CLI_PASS);
    } else {
        snub_text out = {0};
        snub_text_printf(&out, "%s: sound, %lld parts\n", parts_shown(p, p->path), parts);
        code = cli_print(p->run, &out, CLI_PASS);
        snub_text_free(&out);
    }
    snub_errors_free(&errors);
    return code;
}

/* ---- verbs ------------------------------------------------------------------------------------------------------ */

static const struct verb {
    const char *name;
    int (*run)(parts_run *p);
    bool writes;
    const char *takes; /* options that mean something to it, by name, blank-separated; catalogue, json, wait: all */
} verbs[] = {
    {"init", run_init, true, "bare by date"},
    {"import", parts_import, true,
     "kind source replace skip-bad dry-run shipped delimiter encoding decimal thousands map supplier by date"},
    {"update", parts_update, true,
     "kind source skip-bad dry-run add delimiter encoding decimal thousands map supplier by date"},
    {"list", run_list, false, "kind in-stock most format output inches metric"},
    {"find", run_find, false, "kind ribs length diameter where in-stock most format output inches metric"},
    {"show", run_show, false, "format output inches metric"},
    {"export", run_export, false, "kind format output"},
    {"remove", run_remove, true, "by date"},
    {"history", parts_history, false, ""},
    {"maps", parts_maps, true, "remove output"},
    {"backup", run_backup, true, "force"},
    {"check", run_check, false, ""},
};
enum { VERB_COUNT = (int)(sizeof verbs / sizeof verbs[0]) };

static const struct verb *verb_named(const cli_run *run, const char *name)
{
    const char *names[VERB_COUNT];
    for (int i = 0; i < VERB_COUNT; i++) {
        names[i] = verbs[i].name;
        if (strcmp(verbs[i].name, name) == 0)
            return &verbs[i];
    }
    const char *near = snub_nearest(name, names, VERB_COUNT);
    cli_usage_error(run, "unknown verb \"%.40s\"%s%s%s", name, near ? "; did you mean " : "", near ? near : "",
                    near ? "?" : "");
    return NULL;
}

static bool takes_word(const char *list, const char *word)
{
    size_t length = strlen(word);
    for (const char *at = strstr(list, word); at; at = strstr(at + 1, word))
        if ((at == list || at[-1] == ' ') && (at[length] == ' ' || at[length] == '\0'))
            return true;
    return false;
}

/* An option that the verb would pass over is a mistake. */
static bool options_fit(const cli_run *run, const struct verb *verb)
{
    for (int i = 0; i < run->given_count; i++) {
        const char *name = run->given[i].option->name;
        if (!takes_word(verb->takes, name) && !takes_word("catalogue json wait help", name)) {
            cli_usage_error(run, "`parts %s` does not take --%s", verb->name, name);
            return false;
        }
    }
    return true;
}

/* A day of the calendar and a time of that day. */
static bool good_time(const cli_run *run)
{
    enum { DAY_BYTES = 10 };
    static const char pattern[] = "Tdd:dd:ddZ";
    const char *text = cli_value(run, "date");
    if (!text)
        return true;
    bool good = strlen(text) == DAY_BYTES + sizeof pattern - 1 && snub_is_day(text, DAY_BYTES);
    for (size_t i = 0; good && pattern[i]; i++) {
        const char c = text[DAY_BYTES + i];
        good = pattern[i] == 'd' ? c >= '0' && c <= '9' : c == pattern[i];
    }
    good = good && atoi(text + 11) <= 23 && atoi(text + 14) <= 59 && atoi(text + 17) <= 59;
    if (!good)
        cli_usage_error(run, "--date takes a date and time in UTC such as 2026-01-31T14:05:00Z, not \"%.40s\"", text);
    return good;
}

static bool good_name(const cli_run *run)
{
    enum { NAME_BYTES_MOST = 63 };
    const char *text = cli_value(run, "by");
    if (!text || cli_is_line(text, NAME_BYTES_MOST))
        return true;
    cli_usage_error(run, "--by takes a name of 1 to %d bytes on one line", NAME_BYTES_MOST);
    return false;
}

static int run_parts(cli_run *run)
{
    parts_run p = {
        .run = run, .operands = run->operands + 1, .operand_count = run->operand_count - 1, .kind = SNUB_PART_ANY};
    const struct verb *verb = verb_named(run, run->operands[0]);
    if (!verb || !options_fit(run, verb))
        return CLI_BAD;
    if (cli_has(run, "kind") && !snub_part_kind_named(cli_value(run, "kind"), &p.kind))
        return CLI_BAD;
    if (!good_time(run) || !good_name(run))
        return CLI_BAD;
    signal(SIGXFSZ, SIG_IGN); /* a limit on the size of files is then an error that can be told */
    if (verb->writes)
        memory_note_only(); /* so that SQLite can undo what it began */
    int code = verb->run(&p);
    parts_close(&p);
    return code;
}

const cli_command cli_parts = {
    .name = "parts",
    .summary = "the catalogue of belts, pulleys, idlers, bearings and other parts",
    .operands = "VERB ...",
    .help =
        "init creates the catalogue and fills it with the parts that come with snub; it also upgrades an older "
        "catalogue. import FILE.csv adds parts. The first row names the columns; give units there, as in `diameter "
        "[mm]`, or with the value, as in `3.15 in`. Each bad row is reported with its line and reason, and nothing is "
        "imported unless you give --skip-bad. list, find WORDS, show NUMBER and export write parts out; remove KEY "
        "removes a part; backup FILE makes a complete copy; check looks for damage and exits with 1 if there is any.\n"
        "\n"
        "A supplier's file is imported with --map FILE: the map says which of its columns is which field, and the "
        "catalogue keeps it, so that --supplier NAME does for the next file; maps lists, exports and removes maps. "
        "update FILE.csv changes only what the file gives, of parts that it finds by key, own number, or supplier and "
        "supplier's number; with --dry-run it lists old and new values. history NUMBER shows who changed what in a "
        "part, and when.\n"
        "\n"
        "A drive file takes a part with `part: KEY` and its belts with `stock: catalogue`. Every part has its source; "
        "a part marked \"invented\" is an example and cannot be bought.",
    .example = "snub parts init\n"
               "snub parts import my-belts.csv --kind belt --source 'price list of May'\n"
               "snub parts find --kind belt --ribs 8 --length 1560..1600\n"
               "snub parts find sedgemere --diameter '2.75 in..3 in'\n"
               "snub parts show 7PK1925\n"
               "snub parts backup parts-copy.db",
    .options = options,
    .option_count = sizeof options / sizeof options[0],
    .least = 1,
    .most = -1,
    .in_units = true,
    .run = run_parts,
};
