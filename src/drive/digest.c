/* What a drive was read from, as one fingerprint. */
#include "tree.h"

#include <stdio.h>
#include <string.h>

/* The eight bytes of a double, low byte first; -0 is 0, and there is one NAN. */
static void add_number(snub_digest *digest, double value)
{
    uint64_t bits = 0;
    unsigned char bytes[8];
    const double plain = isnan(value) ? (double)NAN : value + 0.0;
    memcpy(&bits, &plain, sizeof bits);
    for (size_t i = 0; i < sizeof bytes; i++)
        bytes[i] = (unsigned char)(bits >> 8 * i);
    snub_digest_add(digest, bytes, sizeof bytes);
}

/* By value a number is the same whatever tolerance stands behind it: kits of one build have one code. */
static void add_scalar(snub_digest *digest, const snub_node *node, bool by_value)
{
    double number;
    const char *end = NULL;
    const size_t length = strlen(node->text), nominal = by_value ? snub_nominal_length(node->text) : length;
    const bool quoted = node->quoted && nominal == length;
    if (by_value && !quoted && snub_parse_number(node->text, &end, &number) == SNUB_OK && end == node->text + nominal) {
        snub_digest_text(digest, "number");
        add_number(digest, number);
        return;
    }
    char text[256] = "";
    if (nominal < length)
        snprintf(text, sizeof text, "%.*s", (int)nominal, node->text);
    snub_digest_text(digest, quoted ? "quoted" : "plain");
    snub_digest_text(digest, nominal < length ? text : node->text);
}

/* Kind, then what it holds: no two trees give the same bytes. */
static void add_node(snub_digest *digest, const snub_node *node, bool by_value)
{
    if (node->kind == SNUB_SCALAR) {
        add_scalar(digest, node, by_value);
        return;
    }
    snub_digest_text(digest, node->kind == SNUB_MAP ? "map" : "list");
    add_number(digest, node->count);
    for (int i = 0; i < node->count; i++) {
        if (node->kind == SNUB_MAP)
            snub_digest_text(digest, node->keys[i]->text);
        add_node(digest, node->items[i], by_value);
    }
}

void snub_drive_tree_digest(const snub_drive *drive, char text[65])
{
    static const char *const left_out[] = {"title",   "kit_number", "house",    "units",
                                           "options", "variants",   "packages", "search"};
    snub_digest digest;
    snub_digest_init(&digest);
    for (int i = 0; i < drive->tree->count; i++) {
        const char *key = drive->tree->keys[i]->text;
        bool out = false;
        for (size_t k = 0; k < sizeof(left_out) / sizeof(left_out[0]); k++)
            out = out || strcmp(key, left_out[k]) == 0;
        if (out)
            continue;
        snub_digest_text(&digest, key);
        add_node(&digest, drive->tree->items[i], true);
    }
    snub_digest_end(&digest, text);
}

/* Nothing where nothing is said, so that a drive of a catalogue that says none of it keeps its digest. */
static void add_sale(snub_digest *digest, const snub_part_sale *sale)
{
    if (sale != NULL && (sale->supplier[0] != '\0' || sale->supplier_number[0] != '\0')) {
        snub_digest_text(digest, "sold by");
        snub_digest_text(digest, sale->supplier);
        snub_digest_text(digest, sale->supplier_number);
    }
    if (sale == NULL || (sale->own_number[0] == '\0' && !sale->discontinued && sale->replaced_by[0] == '\0'))
        return;
    snub_digest_text(digest, sale->own_number);
    snub_digest_text(digest, sale->discontinued ? "discontinued" : "sold");
    snub_digest_text(digest, sale->replaced_by);
}

static void add_stock(snub_digest *digest, const snub_belt *belt)
{
    for (int i = 0; belt->stock_from_parts && i < belt->stock_count; i++) {
        const snub_stock_belt *b = &belt->stock[i];
        const double numbers[] = {b->length, b->be, b->back, b->mass, b->stiffness, b->measuring_force, b->tolerance};
        snub_digest_text(digest, b->part);
        for (size_t k = 0; k < sizeof(numbers) / sizeof(numbers[0]); k++)
            add_number(digest, numbers[k]);
        add_sale(digest, b->sale);
    }
}

const snub_part_sale *snub_drive_sale(const snub_drive *drive, const char *key)
{
    for (const snub_used_part *used = drive->used; key != NULL && used != NULL; used = used->next) {
        if (strcmp(used->key, key) == 0)
            return &used->sale;
    }
    for (int i = 0; key != NULL && i < drive->belt.stock_count; i++) {
        const snub_stock_belt *belt = &drive->belt.stock[i];
        if (belt->part != NULL && strcmp(belt->part, key) == 0)
            return belt->sale;
    }
    return NULL;
}

void snub_drive_digest(const snub_drive *drive, char text[65])
{
    snub_digest digest;
    snub_digest_init(&digest);
    snub_digest_text(&digest, "snub drive 1");
    add_number(&digest, (double)drive->document->source_length);
    snub_digest_add(&digest, drive->document->source, drive->document->source_length);
    for (int i = 0; i < drive->overlay_count; i++) {
        snub_digest_text(&digest, drive->overlays[i].path);
        add_node(&digest, drive->overlays[i].value, false);
    }
    for (const snub_used_part *used = drive->used; used != NULL; used = used->next) {
        snub_digest_text(&digest, used->kind);
        snub_digest_text(&digest, used->key);
        add_node(&digest, used->map, false);
        add_sale(&digest, &used->sale);
    }
    add_stock(&digest, &drive->belt);
    for (int i = 0; i < drive->pulley_count; i++)
        snub_digest_text(&digest, drive->pulleys[i].has_blower ? drive->pulleys[i].blower.map_digest : "");
    if (drive->house_digest != NULL) {
        snub_digest_text(&digest, "house");
        snub_digest_text(&digest, drive->house_digest);
    }
    if (drive->picture_digest != NULL) {
        snub_digest_text(&digest, "pictures");
        snub_digest_text(&digest, drive->picture_digest);
    }
    snub_digest_end(&digest, text);
}

/* ---- the code of a build ----------------------------------------------------------------------------------------- */

/* Letters and digits that are not taken for one another, spoken or written: no I, L, O, U. The first is a letter, so
 * that no code is a number. */
static const char code_signs[] = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
enum { CODE_DIGITS = 10, CODE_SIGNS = 32, CODE_LENGTH = 6 };

/* By their paths: the order in which a file lists its options says nothing. */
static int next_option(const snub_drive *drive, const char *after)
{
    int found = -1;
    for (int o = 0; o < drive->option_count; o++) {
        const char *path = drive->options[o].path;
        if (after != NULL && strcmp(path, after) <= 0)
            continue;
        if (found < 0 || strcmp(path, drive->options[found].path) < 0)
            found = o;
    }
    return found;
}

static bool lies_at_option(const snub_drive *drive, const char *path)
{
    for (int o = 0; o < drive->option_count; o++)
        if (strcmp(drive->options[o].path, path) == 0)
            return true;
    return false;
}

void snub_drive_code(const snub_drive *drive, const char *variant, const char *package, int set_count,
                     char code[SNUB_CODE_ROOM])
{
    char hex[65];
    uint64_t bits = 0;
    snub_digest digest;
    snub_digest_init(&digest);
    snub_digest_text(&digest, "snub build code 1");
    snub_digest_text(&digest, variant);
    snub_digest_text(&digest, package);
    for (int o = next_option(drive, NULL); o >= 0; o = next_option(drive, drive->options[o].path)) {
        const snub_node *value = snub_node_at(drive->tree, drive->options[o].path);
        snub_digest_text(&digest, drive->options[o].path);
        if (value != NULL)
            add_node(&digest, value, true);
    }
    snub_digest_end(&digest, hex);
    for (int i = 0; i < 15; i++)
        bits = bits << 4 | (uint64_t)(hex[i] <= '9' ? hex[i] - '0' : hex[i] - 'a' + 10);
    code[0] = code_signs[CODE_DIGITS + bits % (CODE_SIGNS - CODE_DIGITS)];
    bits /= CODE_SIGNS - CODE_DIGITS;
    for (int i = 1; i < CODE_LENGTH; i++, bits /= CODE_SIGNS)
        code[i] = code_signs[bits % CODE_SIGNS];
    int length = CODE_LENGTH;
    for (int i = drive->overlay_count - set_count; i < drive->overlay_count && length == CODE_LENGTH; i++)
        if (!lies_at_option(drive, drive->overlays[i].path))
            code[length++] = '+';
    code[length] = '\0';
}

bool snub_code_matches(const char *code, const char *said)
{
    for (; *code != '\0' && *said != '\0'; code++, said++) {
        while (*said == ' ' || *said == '-')
            said++;
        char sign = *said >= 'a' && *said <= 'z' ? (char)(*said - 'a' + 'A') : *said;
        sign = sign == 'O' ? '0' : sign == 'I' || sign == 'L' ? '1' : sign;
        if (sign != *code)
            return false;
    }
    return *code == '\0' && *said == '\0';
}
