/** The house file: company, logo, wording, revisions, and defaults of its sheets. */
#include "snub/house.h"

#include <string.h>

#include "named_file.h"
#include "read.h"

static const snub_key house_keys[] = {
    {"snub", NULL, NULL},  {"company", NULL, NULL},   {"address", NULL, NULL},     {"contact", NULL, NULL},
    {"logo", NULL, NULL},  {"colour", NULL, NULL},    {"disclaimers", NULL, NULL}, {"sheet_number", NULL, NULL},
    {"qr", NULL, NULL},    {"revisions", NULL, NULL}, {"language", NULL, NULL},    {"paper", NULL, NULL},
    {"units", NULL, NULL}, {NULL, NULL, NULL}};
static const snub_key revision_keys[] = {{"revision", NULL, NULL}, {"date", NULL, NULL},     {"reason", NULL, NULL},
                                         {"by", NULL, NULL},       {"approved", NULL, NULL}, {NULL, NULL, NULL}};

/** WCAG 2.1, success criterion 1.4.3: 4.5 to 1 for text. */
#define CONTRAST_LEAST 4.5

/* ---- texts ------------------------------------------------------------------------------------------------------- */

/* One text, or a list of them. */
static void read_lines(snub_reader *reader, const snub_node *root, const char *key, int most, size_t bytes,
                       snub_house_lines *lines)
{
    const snub_node *node = snub_read_find(root, key);
    if (node == NULL)
        return;
    if (node->kind == SNUB_SCALAR) {
        lines->count = snub_read_text(reader, root, key, bytes, &lines->line[0]);
        return;
    }
    const snub_node *list = snub_read_list(reader, root, key, 1, most);
    snub_enter(reader, key);
    for (int i = 0; list != NULL && i < list->count; i++) {
        const snub_node *item = list->items[i];
        const size_t length = item->kind == SNUB_SCALAR ? strlen(item->text) : 0;
        snub_enter_item(reader, i);
        if (length == 0 || strspn(item->text, " \t") == length)
            snub_read_wrong(reader, item, "a line of text", "is not text");
        else if (length > bytes)
            snub_read_wrong(reader, item, snub_format(reader->arena, "1 to %d bytes", (int)bytes), "is too long");
        else if (strpbrk(item->text, "\n\r\t") != NULL)
            snub_read_wrong(reader, item, "text on one line", "has a control character");
        else
            lines->line[lines->count++] = item->text;
        snub_leave(reader);
    }
    snub_leave(reader);
}

/* ---- colour ------------------------------------------------------------------------------------------------------ */

/* Linear light of an sRGB channel, IEC 61966-2-1. */
static double linear(uint32_t channel)
{
    const double c = (double)(channel & 255) / 255.0;
    return c <= 0.04045 ? c / 12.92 : pow((c + 0.055) / 1.055, 2.4);
}

/* Of a colour on white paper: relative luminance as WCAG has it. */
static double contrast(uint32_t rgb)
{
    const double luminance = 0.2126 * linear(rgb >> 16) + 0.7152 * linear(rgb >> 8) + 0.0722 * linear(rgb);
    return 1.05 / (luminance + 0.05);
}

static void read_colour(snub_reader *reader, const snub_node *root, snub_house *house)
{
    const char *text;
    uint32_t rgb = 0;
    if (!snub_read_text(reader, root, "colour", 40, &text))
        return;
    bool good = text[0] == '#' && strlen(text) == 7;
    for (int i = 1; good && i < 7; i++) {
        static const char digits[] = "0123456789abcdef";
        const char *at = strchr(digits, text[i] >= 'A' && text[i] <= 'F' ? text[i] - 'A' + 'a' : text[i]);
        good = at != NULL;
        rgb = rgb << 4 | (good ? (uint32_t)(at - digits) : 0);
    }
    if (!good)
        snub_read_wrong_key(reader, root, "colour", "six hex digits in quotes, as \"#1a4f8b\"", "is no colour");
    else if (contrast(rgb) < CONTRAST_LEAST)
        snub_read_wrong_key(reader, root, "colour", "a contrast of 4.5 to 1 or more: a darker colour",
                            "is too pale for headings on white paper: %.1f to 1", contrast(rgb));
    else {
        house->coloured = true;
        house->colour = rgb;
    }
}

/* ---- patterns ---------------------------------------------------------------------------------------------------- */

static const char *const pattern_names[] = {"kit", "code", "sheet", "revision"};
enum { PATTERN_NAMES = sizeof pattern_names / sizeof pattern_names[0] };

static int pattern_name(const char *word, size_t length)
{
    for (int i = 0; i < PATTERN_NAMES; i++)
        if (strlen(pattern_names[i]) == length && strncmp(pattern_names[i], word, length) == 0)
            return i;
    return -1;
}

static void read_pattern(snub_reader *reader, const snub_node *root, const char *key, size_t most, const char **pattern)
{
    const char *text;
    if (!snub_read_text(reader, root, key, most, &text))
        return;
    for (const char *at = text; (at = strpbrk(at, "{}")) != NULL; at++) {
        const char *end = *at == '{' ? strchr(at, '}') : NULL;
        if (end == NULL) {
            snub_read_wrong_key(reader, root, key, "names in braces, as {code}", "has a brace without its partner");
            return;
        }
        if (pattern_name(at + 1, (size_t)(end - at - 1)) < 0) {
            const char *word = snub_copy_text_n(reader->arena, at + 1, (size_t)(end - at - 1));
            const char *near = word != NULL ? snub_nearest(word, pattern_names, PATTERN_NAMES) : NULL;
            snub_read_wrong_key(reader, root, key, "{kit}, {code}, {sheet} or {revision}",
                                "has a name {%.30s} that is not known%s", word != NULL ? word : "",
                                snub_read_guess(reader, near));
            return;
        }
        at = end;
    }
    *pattern = text;
}

static void add_value(const char *value, bool address, snub_text *out)
{
    for (const unsigned char *c = (const unsigned char *)value; *c != '\0'; c++) {
        const bool plain = (*c >= '0' && *c <= '9') || (*c >= 'A' && *c <= 'Z') || (*c >= 'a' && *c <= 'z') ||
                           strchr("-._", *c) != NULL;
        if (plain || !address)
            snub_text_add(out, (const char *)c, 1);
        else
            snub_text_printf(out, "%%%02X", *c);
    }
}

const char *snub_house_fill(const char *pattern, const snub_house_names *names, bool address, snub_arena *arena)
{
    const char *const values[PATTERN_NAMES] = {names->kit, names->code, names->sheet, names->revision};
    snub_text out = {0};
    for (const char *at = pattern; *at != '\0';) {
        const char *end = *at == '{' ? strchr(at, '}') : NULL;
        const int name = end != NULL ? pattern_name(at + 1, (size_t)(end - at - 1)) : -1;
        if (name < 0) {
            snub_text_add(&out, at++, 1);
            continue;
        }
        add_value(values[name] != NULL ? values[name] : "", address, &out);
        at = end + 1;
    }
    const char *made = out.failed ? NULL : snub_copy_text(arena, out.data != NULL ? out.data : "");
    snub_text_free(&out);
    return made;
}

/* ---- revisions --------------------------------------------------------------------------------------------------- */

static void read_revision(snub_reader *reader, const snub_node *map, snub_revision *r)
{
    if (!snub_read_keys(reader, map, revision_keys, NULL))
        return;
    *r = (snub_revision){"", "", "", "", ""};
    if (snub_read_need(reader, map, "revision"))
        snub_read_text(reader, map, "revision", 12, &r->revision);
    if (snub_read_need(reader, map, "date") && snub_read_text(reader, map, "date", 40, &r->date) &&
        !snub_is_day(r->date, strlen(r->date)))
        snub_read_wrong_key(reader, map, "date", "a date such as 2026-01-31", "is no date");
    snub_read_text(reader, map, "reason", 160, &r->reason);
    snub_read_text(reader, map, "by", 60, &r->by);
    snub_read_text(reader, map, "approved", 60, &r->approved);
}

/* Two lines of one name, or out of order, leave open which is in force. */
static void check_order(snub_reader *reader, const snub_node *list, const snub_revision *all)
{
    for (int i = 1; i < list->count; i++) {
        snub_enter_item(reader, i);
        if (strcmp(all[i].date, all[i - 1].date) < 0)
            snub_read_wrong_key(reader, list->items[i], "date", "the oldest revision first",
                                "is before that of the revision above");
        for (int k = 0; k < i; k++)
            if (strcmp(all[i].revision, all[k].revision) == 0)
                snub_read_wrong_key(reader, list->items[i], "revision", "another name for each", "comes twice");
        snub_leave(reader);
    }
}

static void read_revisions(snub_reader *reader, const snub_node *root, snub_house *house)
{
    const snub_node *list = snub_read_list(reader, root, "revisions", 1, SNUB_REVISIONS_MOST);
    snub_revision *all = list != NULL ? SNUB_NEW(reader->arena, snub_revision, list->count) : NULL;
    if (list == NULL)
        return;
    if (all == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    const int before = reader->wrong;
    snub_enter(reader, "revisions");
    for (int i = 0; i < list->count; i++) {
        snub_enter_item(reader, i);
        read_revision(reader, list->items[i], &all[i]);
        snub_leave(reader);
    }
    if (reader->wrong == before)
        check_order(reader, list, all);
    snub_leave(reader);
    house->revisions = all;
    house->revision_count = list->count;
}

const snub_revision *snub_house_revision(const snub_house *house)
{
    return house != NULL && house->revision_count > 0 ? &house->revisions[house->revision_count - 1] : NULL;
}

/* ---- the file ---------------------------------------------------------------------------------------------------- */

static void read_all(snub_reader *reader, const snub_node *root, snub_house *house)
{
    static const char *const papers[] = {"A4", "letter", NULL}, *const systems[] = {"metric", "us", NULL};
    enum { LINE_BYTES = 120, WORDING_BYTES = 600, NUMBER_BYTES = 60, QR_BYTES = 200 };
    if (!snub_read_keys(reader, root, house_keys, NULL))
        return;
    snub_read_format(reader, root);
    if (snub_read_need(reader, root, "company"))
        snub_read_text(reader, root, "company", 80, &house->company);
    read_lines(reader, root, "address", SNUB_HOUSE_LINES_MOST, LINE_BYTES, &house->address);
    read_lines(reader, root, "contact", SNUB_HOUSE_LINES_MOST, LINE_BYTES, &house->contact);
    if (snub_read_text(reader, root, "logo", 1000, &house->logo.name))
        house->logo.place = snub_read_find(root, "logo")->place;
    read_colour(reader, root, house);
    read_lines(reader, root, "disclaimers", SNUB_DISCLAIMERS_MOST, WORDING_BYTES, &house->disclaimers);
    read_pattern(reader, root, "sheet_number", NUMBER_BYTES, &house->number);
    read_pattern(reader, root, "qr", QR_BYTES, &house->qr);
    read_revisions(reader, root, house);
    snub_read_text(reader, root, "language", 15, &house->language);
    snub_read_choice(reader, root, "paper", papers, &house->paper);
    snub_read_choice(reader, root, "units", systems, &house->inches);
}

const char *snub_document_house(const snub_document *document)
{
    const snub_node *root = document->root;
    const snub_node *node = root != NULL && root->kind == SNUB_MAP ? snub_node_get(root, "house") : NULL;
    return node != NULL && node->kind == SNUB_SCALAR && node->text[0] != '\0' && strcmp(node->text, "null") != 0 &&
                   strcmp(node->text, "~") != 0
               ? node->text
               : NULL;
}

static snub_status read_logo(const char *shown, const snub_file_source *files, snub_arena *arena, snub_house *house,
                             snub_errors *errors)
{
    const char *name;
    snub_picture_file *logo = &house->logo;
    const snub_naming naming = {shown, "logo", "logo", &logo->place, SNUB_PICTURE_BYTES_MOST};
    return logo->name == NULL
               ? SNUB_OK
               : snub_named_file(files, &naming, logo->name, arena, &name, &logo->data, &logo->length, errors);
}

snub_status snub_house_read(const char *from, const char *path, const snub_place *place, const snub_file_source *files,
                            snub_units *units, snub_arena *arena, snub_house *house, snub_errors *errors)
{
    enum { HOUSE_BYTES_MOST = 1 << 20 };
    const char *shown, *data;
    size_t length;
    const snub_naming naming = {from, "house file", "house", place, HOUSE_BYTES_MOST};
    *house = (snub_house){.paper = -1, .inches = -1};
    snub_status status = snub_named_file(files, &naming, path, arena, &shown, &data, &length, errors);
    if (status != SNUB_OK)
        return status;
    status = snub_document_parse(shown, data, length, arena, &house->document, errors);
    if (status != SNUB_OK)
        return status;
    const snub_reading reading = {.units = units, .arena = arena};
    snub_reader reader = {
        .document = &house->document, .reading = &reading, .units = units, .arena = arena, .errors = errors};
    const int first = errors->count;
    read_all(&reader, house->document.root, house);
    status = snub_read_end(&reader, first);
    if (status != SNUB_OK)
        return status;
    status = read_logo(shown, files, arena, house, errors);
    snub_digest digest;
    snub_digest_init(&digest);
    snub_digest_text(&digest, "snub house 1");
    snub_digest_text(&digest, house->document.source);
    snub_digest_add(&digest, house->logo.data != NULL ? house->logo.data : "", house->logo.length);
    snub_digest_end(&digest, house->digest);
    return status;
}
