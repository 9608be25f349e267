/** The reading toolkit: errors, getters. */
#include "read.h"

#include <stdlib.h>
#include <string.h>

#include "key_notes.h"
#include "tree.h"
#include "written_tolerance.h"

enum {
    SHOWN_MOST = 48,  /**< bytes of a value shown as `got` */
    NEAREST_MOST = 40 /**< longer words are compared with no known key */
};

/* ---- errors ---------------------------------------------------------------------------------------------------- */

/** Cut text to what a field of an error holds, at a character's edge. */
static void copy_cut(char *out, size_t size, const char *text)
{
    size_t length = strlen(text);
    bool cut = length + 1 > size;
    if (cut) {
        length = size - 4;
        while (length > 0 && ((unsigned char)text[length] & 0xC0) == 0x80)
            length--;
    }
    memcpy(out, text, length);
    for (int i = 0; cut && i < 3; i++)
        out[length++] = '.';
    out[length] = '\0';
}

/** Text behind what a field holds already, cut where the field ends. */
static void add_cut(char *out, size_t size, const char *text)
{
    size_t used = strlen(out);
    if (size - used > 4)
        copy_cut(out + used, size - used, text);
}

/** Text on one line without control characters, cut to SHOWN_MOST. */
static void show_text(const snub_node *scalar, char out[SHOWN_MOST])
{
    copy_cut(out, SHOWN_MOST, scalar->text);
    for (char *p = out; *p != '\0'; p++) {
        if ((unsigned char)*p < 0x20 || *p == 0x7F)
            *p = ' ';
    }
}

/** A short list of scalars as it stands, "[0, 360]"; others by their kind. */
static void describe_list(const snub_node *list, char *out, size_t size)
{
    char text[4 * SHOWN_MOST] = "[", item[SHOWN_MOST];
    bool shown = list->count > 0 && list->count <= 3;
    for (int i = 0; i < list->count && shown; i++) {
        shown = list->items[i]->kind == SNUB_SCALAR;
        if (shown) {
            show_text(list->items[i], item);
            add_cut(text, sizeof(text), i > 0 ? ", " : "");
            add_cut(text, sizeof(text), item);
        }
    }
    add_cut(text, sizeof(text), "]");
    if (shown)
        copy_cut(out, size, text);
    else
        copy_cut(out, size, list->count == 0 ? "an empty list" : "a list");
}

/** What a value is, for `got`. */
static void describe(const snub_node *node, char *out, size_t size)
{
    if (node->kind == SNUB_LIST) {
        describe_list(node, out, size);
        return;
    }
    if (node->kind == SNUB_MAP) {
        copy_cut(out, size, node->count == 0 ? "an empty map" : "a map");
        return;
    }
    char text[SHOWN_MOST];
    show_text(node, text);
    if (node->text[0] == '\0' && !node->quoted) {
        copy_cut(out, size, "nothing");
    } else if (node->quoted) {
        copy_cut(out, size, "\"");
        add_cut(out, size, text);
        add_cut(out, size, "\"");
    } else {
        copy_cut(out, size, text);
    }
}

/** True where the list of errors is full: the mistake is counted, and costs no more than that. */
static bool full(snub_reader *reader)
{
    reader->wrong++;
    if (reader->errors->count < SNUB_ERRORS_MOST)
        return false;
    reader->errors->more++;
    return true;
}

static void note(snub_reader *reader, snub_error *error, const snub_place *place, const snub_node *got,
                 const char *need)
{
    error->code = SNUB_BAD_INPUT;
    if (place != NULL)
        error->place = *place;
    if (error->place.file == NULL)
        error->place.file = reader->document->name;
    snub_read_path(reader, error->key, sizeof(error->key));
    if (got != NULL)
        describe(got, error->got, sizeof(error->got));
    if (need != NULL)
        copy_cut(error->need, sizeof(error->need), need);
    if (got != NULL && got->from_part != NULL) {
        add_cut(error->message, sizeof(error->message), ", from the part ");
        add_cut(error->message, sizeof(error->message), got->from_part);
    }
    snub_errors_add(reader->errors, error);
}

static void write_message(snub_error *error, const char *format, va_list arguments)
{
    snub_text text = {0};
    snub_text_vprintf(&text, format, arguments);
    copy_cut(error->message, sizeof(error->message), text.data != NULL ? text.data : "is wrong");
    snub_text_free(&text);
}

void snub_read_wrong(snub_reader *reader, const snub_node *node, const char *need, const char *format, ...)
{
    snub_error error = {0};
    if (full(reader))
        return;
    va_list arguments;
    va_start(arguments, format);
    write_message(&error, format, arguments);
    va_end(arguments);
    note(reader, &error, &node->place, node, need);
}

void snub_read_wrong_key(snub_reader *reader, const snub_node *map, const char *key, const char *need,
                         const char *format, ...)
{
    snub_error error = {0};
    if (full(reader))
        return;
    va_list arguments;
    va_start(arguments, format);
    write_message(&error, format, arguments);
    va_end(arguments);
    const snub_node *node = snub_node_get(map, key);
    snub_enter(reader, key);
    note(reader, &error, node != NULL ? &node->place : &map->place, node, need);
    snub_leave(reader);
}

const char *snub_read_guess(snub_reader *reader, const char *near)
{
    const char *text = near != NULL ? snub_format(reader->arena, "; did you mean '%s'?", near) : "";
    return text != NULL ? text : "";
}

void snub_read_no_memory(snub_reader *reader)
{
    reader->no_memory = true;
}

static bool stands_before(const snub_error *a, const snub_error *b)
{
    return a->place.line < b->place.line || (a->place.line == b->place.line && a->place.column < b->place.column);
}

void snub_read_sort(snub_errors *errors, int first)
{
    for (int i = first + 1; i < errors->count; i++) {
        snub_error moved = errors->items[i];
        int j = i;
        for (; j > first && stands_before(&moved, &errors->items[j - 1]); j--)
            errors->items[j] = errors->items[j - 1];
        errors->items[j] = moved;
    }
}

snub_status snub_read_end(snub_reader *reader, int first)
{
    snub_read_sort(reader->errors, first);
    if (reader->no_memory)
        return snub_fail(NULL, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    return reader->wrong > 0 ? SNUB_BAD_INPUT : SNUB_OK;
}

/* ---- maps and lists ---------------------------------------------------------------------------------------------- */

const snub_node *snub_read_find(const snub_node *map, const char *key)
{
    const snub_node *node = snub_node_get(map, key);
    return node != NULL && snub_node_is_null(node) ? NULL : node;
}

const snub_node *snub_read_need(snub_reader *reader, const snub_node *map, const char *key)
{
    const snub_node *node = snub_read_find(map, key);
    snub_note_needed(reader, key);
    if (node == NULL)
        snub_read_wrong_key(reader, map, key, NULL, "is missing");
    return node;
}

static bool known(const snub_key *keys, const char *word)
{
    for (; keys != NULL && keys->name != NULL; keys++) {
        if (keys->name[0] == word[0] && strcmp(keys->name, word) == 0)
            return true;
    }
    return false;
}

static const char *nearest_key(const char *word, const snub_key *keys, const snub_key *more)
{
    const char *names[128];
    int n = 0;
    if (strlen(word) > NEAREST_MOST)
        return NULL;
    for (; keys != NULL && keys->name != NULL && n < 128; keys++)
        names[n++] = keys->name;
    for (; more != NULL && more->name != NULL && n < 128; more++)
        names[n++] = more->name;
    return snub_nearest(word, names, n);
}

static void unknown_key(snub_reader *reader, const snub_node *key, const snub_key *keys, const snub_key *more)
{
    snub_error error = {0};
    if (full(reader))
        return;
    const char *near = nearest_key(key->text, keys, more);
    const char *text = snub_format(reader->arena, "is not a key of this section%s", snub_read_guess(reader, near));
    char shown[SHOWN_MOST];
    show_text(key, shown);
    snub_enter(reader, shown);
    if (strcmp(key->text, "<<") == 0)
        copy_cut(error.message, sizeof(error.message), "merge keys are not supported: write the keys out");
    else
        copy_cut(error.message, sizeof(error.message), text != NULL ? text : "is not a key of this section");
    note(reader, &error, &key->place, NULL, NULL);
    snub_leave(reader);
}

bool snub_read_keys(snub_reader *reader, const snub_node *map, const snub_key *keys, const snub_key *more)
{
    if (map->kind != SNUB_MAP) {
        snub_read_wrong(reader, map, "keys with values", "is not a map");
        return false;
    }
    snub_note_listed(reader, keys);
    snub_note_listed(reader, more);
    for (int i = 0; i < map->count; i++) {
        if (!known(keys, map->keys[i]->text) && !known(more, map->keys[i]->text))
            unknown_key(reader, map->keys[i], keys, more);
    }
    return true;
}

void snub_read_apart(snub_reader *reader, const snub_node *map, const char *key, snub_key_kind kind, int least,
                     int most)
{
    snub_note_key(reader, map, key, &(snub_file_key){.kind = kind, .least = least, .most = most});
}

void snub_read_refused(snub_reader *reader, const char *key)
{
    snub_note_refused(reader, key);
}

void snub_read_says(snub_reader *reader, const snub_node *map, const char *key, const snub_key_bounds *bounds,
                    const double *preset, const char *source)
{
    if (reader->notes == NULL)
        return;
    const char *text = preset != NULL ? snub_format(reader->notes->arena, "%.10g", *preset) : NULL;
    snub_note_key(reader, map, key,
                  &(snub_file_key){.kind = SNUB_KEY_NUMBER, .x = *bounds, .preset = text, .source = source});
}

const snub_node *snub_read_map(snub_reader *reader, const snub_node *map, const char *key, const snub_key *keys)
{
    const snub_node *node = snub_read_find(map, key);
    snub_read_apart(reader, map, key, SNUB_KEY_MAP, 0, 0);
    if (node == NULL)
        return NULL;
    snub_enter(reader, key);
    bool good = snub_read_keys(reader, node, keys, NULL);
    snub_leave(reader);
    return good ? node : NULL;
}

static const snub_node *find_list(snub_reader *reader, const snub_node *map, const char *key, int least, int most)
{
    const snub_node *node = snub_read_find(map, key);
    if (node == NULL)
        return NULL;
    if (node->kind != SNUB_LIST)
        snub_read_wrong_key(reader, map, key, "a list in [ ]", "is not a list");
    else if (node->count < least)
        snub_read_wrong_key(reader, map, key, snub_format(reader->arena, "at least %d", least), "has %s",
                            node->count == 0 ? "no items" : "too few items");
    else if (node->count > most)
        snub_read_wrong_key(reader, map, key, snub_format(reader->arena, "at most %d", most), "has %d items",
                            node->count);
    else
        return node;
    return NULL;
}

const snub_node *snub_read_list(snub_reader *reader, const snub_node *map, const char *key, int least, int most)
{
    snub_read_apart(reader, map, key, SNUB_KEY_LIST, least, most);
    return find_list(reader, map, key, least, most);
}

/* ---- numbers ----------------------------------------------------------------------------------------------------- */

/** A number that was read before, by any thread. */
static bool remembered(const snub_node *node, snub_quantity quantity, double *value)
{
    if (node->value == NULL || atomic_load_explicit(&node->value->state, memory_order_acquire) != 1 + (int)quantity)
        return false;
    *value = node->value->si;
    return true;
}

static void remember(const snub_node *node, snub_quantity quantity, double value)
{
    int empty = SNUB_VALUE_EMPTY;
    if (node->value == NULL || !atomic_compare_exchange_strong(&node->value->state, &empty, SNUB_VALUE_BUSY))
        return;
    node->value->si = value;
    atomic_store_explicit(&node->value->state, 1 + (int)quantity, memory_order_release);
}

/** True for a pressure in psig or barg, to which the units add one atmosphere. */
static bool is_gauge(const char *text)
{
    size_t length = strlen(text);
    while (length > 0 && text[length - 1] == ' ')
        length--;
    return length > 4 && (strncmp(text + length - 4, "psig", 4) == 0 || strncmp(text + length - 4, "barg", 4) == 0);
}

/** "012" is twelve here and ten, in base 8, to programs that read YAML 1.1. A point, an exponent or a unit leaves no
 *  doubt, and what is nought is so in both. */
bool snub_read_octal(snub_reader *reader, const snub_node *node)
{
    const bool negative = node->text[0] == '-', sign = negative || node->text[0] == '+';
    const char *figures = node->text + sign, *rest = figures + strspn(figures, "0");
    const size_t length = strspn(rest, "0123456789");
    enum { FIGURES_MOST = 20 }; /* of base 8 in 60 bits */
    if (rest == figures || length == 0 || rest[length] != '\0')
        return false;
    const char *minus = negative ? "-" : "";
    const bool octal = length <= FIGURES_MOST && length > 1 && strspn(rest, "01234567") == length;
    snub_read_wrong(reader, node,
                    octal ? snub_format(reader->arena, "%s%s, or %s%ju if it was meant in base 8", minus, rest, minus,
                                        (uintmax_t)strtoull(rest, NULL, 8))
                          : snub_format(reader->arena, "%s%s", minus, rest),
                    "begins with 0: some programs read it in base 8");
    return true;
}

/** SI value of a scalar, without bounds. */
static bool scalar_value(snub_reader *reader, const snub_node *node, snub_quantity quantity, double *value)
{
    snub_error error = {0};
    if (remembered(node, quantity, value))
        return true;
    if (snub_node_is_blank(node)) {
        snub_read_wrong(reader, node, "a number", "is empty");
        return false;
    }
    if (node->quoted && snub_parse_number(node->text, NULL, value) == SNUB_OK) {
        snub_read_wrong(reader, node, "the number without quotes, or with its unit inside them", "is text");
        return false;
    }
    if (!node->quoted && snub_read_octal(reader, node))
        return false;
    if (snub_units_parse(reader->units, quantity, node->text, value, &error) == SNUB_OK) {
        remember(node, quantity, *value);
        return true;
    }
    if (full(reader))
        return false;
    note(reader, &error, &node->place, node, NULL);
    return false;
}

/** "5 to 2000 mm". */
static const char *range_text(snub_reader *reader, snub_quantity quantity, double least, double most)
{
    const char *unit = snub_quantity_unit(quantity);
    return snub_format(reader->arena, "%.10g to %.10g%s%s", least, most, unit[0] != '\0' ? " " : "", unit);
}

static bool is_bare(const snub_node *node)
{
    double number;
    const char *end = NULL;
    snub_written written;
    if (node->quoted || snub_parse_number(node->text, &end, &number) != SNUB_OK)
        return false;
    return *end == '\0' || (snub_written_split(node->text, &written) && end == node->text + written.nominal);
}

/** A bare length that is too small in millimetres, and would not be in inches. */
static bool perhaps_inches(const snub_node *node, snub_quantity quantity, double si, double low, double high)
{
    const double inches = si * (SNUB_INCH / SNUB_MM);
    return quantity == SNUB_Q_LENGTH && si > 0 && si < low && inches >= low && inches <= high && is_bare(node);
}

const char *snub_node_bare_unit(const snub_node *node)
{
    const int state = node->value != NULL ? atomic_load_explicit(&node->value->state, memory_order_acquire) : 0;
    return state > SNUB_VALUE_EMPTY && node->kind == SNUB_SCALAR && is_bare(node)
               ? snub_quantity_unit((snub_quantity)(state - 1))
               : "";
}

/** Count a bare number that could be meant in an inch unit; 0 is the same in both, but for a temperature. */
static void count_bare(snub_reader *reader, const snub_node *node, snub_quantity quantity)
{
    snub_bare *bare = reader->bare;
    snub_unit unit = SNUB_UNIT_NONE;
    double number = 0;
    if (bare == NULL || node->quoted || node->from_part != NULL ||
        snub_parse_number(node->text, NULL, &number) != SNUB_OK || (number == 0 && quantity != SNUB_Q_TEMPERATURE) ||
        !snub_unit_of_text(snub_quantity_unit(quantity), &unit))
        return;
    const snub_unit_info *info = snub_unit_describe(unit);
    const bool same = info->size == info->us_size && info->zero == info->us_zero; /* mm2/s is cSt */
    if (same || bare->count++ > 0)
        return;
    bare->place = node->place;
    bare->text = node->text;
    bare->unit = info->text;
    bare->us_unit = info->us_text;
    snub_read_path(reader, bare->key, sizeof(bare->key));
}

/** The path of the value in hand as an overlay has it: pulleys go by their names. */
static const char *overlay_path(snub_reader *reader)
{
    static const char list[] = "pulleys.";
    char path[256];
    snub_read_path(reader, path, sizeof path);
    return snub_copy_text(reader->arena, strncmp(path, list, sizeof list - 1) == 0 ? path + sizeof list - 1 : path);
}

/** Keep a number for the end of the reading, when all that is said of its tolerance is known. */
static void see(snub_reader *reader, const snub_sighting *seen)
{
    snub_sighting *kept = SNUB_NEW(reader->arena, snub_sighting, 1);
    const char *path = overlay_path(reader);
    if (kept == NULL || path == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    *kept = *seen;
    kept->path = path;
    kept->next = reader->seen;
    reader->seen = kept;
}

void snub_read_tolerated(snub_reader *reader, const snub_node *map, const char *key, const char *teller,
                         snub_quantity quantity, double value, double half, snub_tolerance_basis basis)
{
    const snub_node *node = snub_read_find(map, teller);
    if (reader->sights < SNUB_SIGHT_WRITTEN || !(half > 0))
        return;
    snub_enter(reader, key);
    see(reader, &(snub_sighting){.node = node != NULL ? node : map,
                                 .quantity = quantity,
                                 .value = value,
                                 .least = -INFINITY,
                                 .most = INFINITY,
                                 .known = true,
                                 .low = value - half,
                                 .high = value + half,
                                 .basis = basis});
    snub_leave(reader);
}

/** A scalar without the tolerance that is written behind it. @return false: noted, it may have none */
static bool take_off(snub_reader *reader, const snub_node *node, snub_node *plain, bool *tolerated)
{
    snub_written written;
    *plain = *node;
    *tolerated = snub_written_split(node->text, &written);
    if (!*tolerated)
        return true;
    if (reader->sights == SNUB_SIGHT_NONE || reader->firm) {
        snub_read_wrong(reader, node, "the number alone", "takes no tolerance");
        return false;
    }
    plain->text = snub_copy_text_n(reader->arena, node->text, written.nominal);
    plain->quoted = false; /* the quotes were the tolerance's */
    if (plain->text == NULL)
        snub_read_no_memory(reader);
    return plain->text != NULL;
}

bool snub_read_value(snub_reader *reader, const snub_node *node, snub_quantity quantity, double least, double most,
                     double *value)
{
    double si = 0;
    snub_node plain;
    bool tolerated = false;
    if (node->kind != SNUB_SCALAR) {
        snub_read_wrong(reader, node, range_text(reader, quantity, least, most),
                        node->kind == SNUB_LIST && node->count == 2 ? "is not a number; a range is not taken here"
                                                                    : "is not a number");
        return false;
    }
    const snub_node *written = node;
    if (!take_off(reader, written, &plain, &tolerated))
        return false;
    node = tolerated ? &plain : written;
    if (!scalar_value(reader, node, quantity, &si))
        return false;
    if (reader->difference && quantity == SNUB_Q_PRESSURE && is_gauge(node->text))
        si -= SNUB_ATMOSPHERE;
    /* A bound that was printed with twelve digits, or written in another unit, is inside itself. */
    double low = snub_quantity_from_bare(quantity, least), high = snub_quantity_from_bare(quantity, most);
    double slack = 1e-11 * (fabs(low) + fabs(high));
    if (!(si >= low - slack && si <= high + slack)) {
        const char *fault = si > high                                                ? "is too large"
                            : least > 0 && si == 0                                   ? "is zero"
                            : least >= 0 && si < 0 && quantity != SNUB_Q_TEMPERATURE ? "is negative"
                                                                                     : "is too small";
        if (perhaps_inches(node, quantity, si, low, high))
            snub_read_wrong(reader, node, range_text(reader, quantity, least, most),
                            "%s in mm; if it is in inches, write '%s in'", fault, node->text);
        else
            snub_read_wrong(reader, node, range_text(reader, quantity, least, most), "%s", fault);
        return false;
    }
    count_bare(reader, node, quantity);
    if (reader->sights == SNUB_SIGHT_ALL || (reader->sights == SNUB_SIGHT_WRITTEN && tolerated))
        see(reader, &(snub_sighting){.node = written,
                                     .quantity = quantity,
                                     .least = least,
                                     .most = most,
                                     .value = si,
                                     .firm = reader->firm});
    *value = si;
    return true;
}

/** Numbers of a list or a range, each of which is none that could scatter by itself. @return what firm was */
static bool begin_firm(snub_reader *reader)
{
    const bool was = reader->firm;
    reader->firm = true;
    return was;
}

/** What a getter of numbers says of a key, with the default that stands in `value`: one that is out of its own bounds
 *  is none, but what "not given" looks like. */
static void note_numbers(snub_reader *reader, const snub_node *map, const char *key, snub_file_key *form,
                         snub_quantity quantity, const double *value)
{
    if (reader->notes == NULL)
        return;
    form->x.unit = snub_quantity_unit(quantity);
    const double bare = value != NULL ? snub_quantity_to_bare(quantity, *value) : (double)NAN;
    const double slack = 1e-9 * (fabs(form->x.least) + fabs(form->x.most));
    if (bare >= form->x.least - slack && bare <= form->x.most + slack)
        form->preset = snub_format(reader->notes->arena, "%.10g", bare);
    snub_note_key(reader, map, key, form);
}

static bool read_number(snub_reader *reader, const snub_node *map, const char *key, snub_quantity quantity,
                        double least, double most, double *value)
{
    const snub_node *node = snub_read_find(map, key);
    if (node == NULL)
        return false;
    snub_enter(reader, key);
    bool good = snub_read_value(reader, node, quantity, least, most, value);
    snub_leave(reader);
    return good;
}

bool snub_read_number(snub_reader *reader, const snub_node *map, const char *key, snub_quantity quantity, double least,
                      double most, double *value)
{
    note_numbers(reader, map, key, &(snub_file_key){.kind = SNUB_KEY_NUMBER, .x = {NULL, least, most}}, quantity,
                 value);
    return read_number(reader, map, key, quantity, least, most, value);
}

bool snub_read_integer(snub_reader *reader, const snub_node *map, const char *key, int least, int most, int *value)
{
    double number = reader->notes != NULL ? *value : 0;
    note_numbers(reader, map, key, &(snub_file_key){.kind = SNUB_KEY_WHOLE, .x = {NULL, least, most}}, SNUB_Q_NUMBER,
                 &number);
    const bool was = begin_firm(reader), read = read_number(reader, map, key, SNUB_Q_NUMBER, least, most, &number);
    reader->firm = was;
    if (!read)
        return false;
    if (number != floor(number)) {
        snub_read_wrong_key(reader, map, key, range_text(reader, SNUB_Q_NUMBER, least, most), "is not a whole number");
        return false;
    }
    *value = (int)number;
    return true;
}

void snub_read_format(snub_reader *reader, const snub_node *root)
{
    int format = 1;
    if (snub_read_need(reader, root, "snub") && snub_read_integer(reader, root, "snub", 1, 1000000, &format) &&
        format != 1)
        snub_read_wrong_key(reader, root, "snub", "1, or a newer snub", "is a newer format than this program reads");
}

/* ---- words ------------------------------------------------------------------------------------------------------- */

bool snub_read_flag(snub_reader *reader, const snub_node *map, const char *key, bool *value)
{
    static const char *const words[] = {"true", "yes", "True", "false", "no", "False"};
    const snub_node *node = snub_read_find(map, key);
    if (reader->notes != NULL)
        snub_note_key(reader, map, key, &(snub_file_key){.kind = SNUB_KEY_TRUTH, .preset = words[*value ? 0 : 3]});
    if (node == NULL)
        return false;
    for (int i = 0; i < 6 && node->kind == SNUB_SCALAR && !node->quoted; i++) {
        if (strcmp(node->text, words[i]) == 0) {
            *value = i < 3;
            return true;
        }
    }
    snub_read_wrong_key(reader, map, key, "true or false", "is neither true nor false");
    return false;
}

/** "roots, twin-screw or centrifugal". */
static const char *word_list(snub_reader *reader, const char *const *words)
{
    const char *list = words[0];
    for (int i = 1; words[i] != NULL && list != NULL; i++)
        list = snub_format(reader->arena, "%s%s%s", list, words[i + 1] == NULL ? " or " : ", ", words[i]);
    return list;
}

bool snub_read_choice(snub_reader *reader, const snub_node *map, const char *key, const char *const *words, int *value)
{
    const snub_node *node = snub_read_find(map, key);
    if (reader->notes != NULL)
        snub_note_key(reader, map, key,
                      &(snub_file_key){.kind = SNUB_KEY_WORD,
                                       .words = words,
                                       .preset = *value == SNUB_NO_CHOICE ? NULL : words[*value]});
    if (node == NULL)
        return false;
    for (int i = 0; node->kind == SNUB_SCALAR && words[i] != NULL; i++) {
        if (strcmp(node->text, words[i]) == 0) {
            *value = i;
            return true;
        }
    }
    snub_read_wrong_key(reader, map, key, word_list(reader, words), "is not known");
    return false;
}

bool snub_read_text(snub_reader *reader, const snub_node *map, const char *key, size_t most, const char **value)
{
    const snub_node *node = snub_read_find(map, key);
    snub_note_key(reader, map, key, &(snub_file_key){.kind = SNUB_KEY_TEXT, .least = 1, .most = (int)most});
    if (node == NULL)
        return false;
    if (node->kind != SNUB_SCALAR) {
        snub_read_wrong_key(reader, map, key, "text", "is not text");
        return false;
    }
    size_t length = strlen(node->text);
    if (length > 0 && strspn(node->text, " \t") == length) {
        snub_read_wrong_key(reader, map, key, "visible text", "is blank");
        return false;
    }
    if (length == 0 || length > most) {
        snub_read_wrong_key(reader, map, key, snub_format(reader->arena, "1 to %d bytes", (int)most), "is %s",
                            length == 0 ? "empty" : "too long");
        return false;
    }
    for (size_t i = 0; i < length; i++) {
        if ((unsigned char)node->text[i] < 0x20 || node->text[i] == 0x7F) {
            snub_read_wrong_key(reader, map, key, "text on one line", "has a control character");
            return false;
        }
    }
    *value = node->text;
    return true;
}

/* ---- lists of numbers -------------------------------------------------------------------------------------------- */

static bool read_item(snub_reader *reader, const snub_node *list, int index, snub_quantity quantity, double least,
                      double most, double *value)
{
    snub_enter_item(reader, index);
    bool good = snub_read_value(reader, list->items[index], quantity, least, most, value);
    snub_leave(reader);
    return good;
}

/** One length of a point with a unit, and the other without: which one was meant is for the writer to say. Nought needs
 *  no unit, and a unit that a bare number has as well leaves no doubt; nor does a number of a kit, which the program
 * has drawn for one of the two. */
static bool one_unit_only(snub_reader *reader, const snub_node *point, const double read[2])
{
    for (int i = 0; i < 2 && !reader->reading->one_kit; i++) {
        const snub_node *bare = point->items[i], *other = point->items[1 - i];
        const char *end = NULL;
        double number = 0;
        if (!is_bare(bare) || is_bare(other) || read[i] == 0)
            continue;
        if (snub_parse_number(other->text, &end, &number) == SNUB_OK &&
            fabs(number * SNUB_MM - read[1 - i]) <= 1e-9 * fabs(read[1 - i]))
            continue;
        snub_enter_item(reader, i);
        snub_read_wrong(
            reader, bare,
            snub_format(reader->arena, "a unit on both, such as '%s in' or '%s mm'", bare->text, bare->text),
            "has no unit, and '%s' beside it has one", other->text);
        snub_leave(reader);
        return true;
    }
    return false;
}

bool snub_read_point(snub_reader *reader, const snub_node *map, const char *key, snub_quantity quantity, double least,
                     double most, double point[2])
{
    double read[2] = {0, 0};
    const snub_node *node = snub_read_find(map, key);
    note_numbers(reader, map, key, &(snub_file_key){.kind = SNUB_KEY_POINT, .x = {NULL, least, most}}, quantity, NULL);
    if (node == NULL)
        return false;
    if (node->kind != SNUB_LIST || node->count != 2) {
        snub_read_wrong_key(reader, map, key, "[x, y]", node->kind == SNUB_LIST ? "is not a pair" : "is not a point");
        return false;
    }
    snub_enter(reader, key);
    bool good = read_item(reader, node, 0, quantity, least, most, &read[0]);
    good = read_item(reader, node, 1, quantity, least, most, &read[1]) && good;
    good = good && !(quantity == SNUB_Q_LENGTH && one_unit_only(reader, node, read));
    snub_leave(reader);
    if (good)
        memcpy(point, read, sizeof(read));
    return good;
}

static void keep_range(snub_reader *reader, const snub_node *node, snub_quantity quantity)
{
    snub_range *range = SNUB_NEW(reader->arena, snub_range, 1);
    const char *path = overlay_path(reader);
    if (range == NULL || path == NULL) {
        snub_read_no_memory(reader);
        return;
    }
    const bool bare = is_bare(node->items[0]) && is_bare(node->items[1]);
    *range = (snub_range){.path = path,
                          .end = {node->items[0]->text, node->items[1]->text},
                          .node = node,
                          .unit = bare ? snub_quantity_unit(quantity) : "",
                          .next = reader->ranges};
    reader->ranges = range;
}

bool snub_read_ranged(snub_reader *reader, const snub_node *map, const char *key, snub_quantity quantity, double least,
                      double most, double *value)
{
    const snub_node *node = snub_read_find(map, key);
    double end[2] = {0, 0};
    note_numbers(reader, map, key, &(snub_file_key){.kind = SNUB_KEY_RANGED, .x = {NULL, least, most}}, quantity,
                 value);
    if (node == NULL || node->kind != SNUB_LIST)
        return read_number(reader, map, key, quantity, least, most, value);
    snub_enter(reader, key);
    bool good = node->count == 2;
    if (!good)
        snub_read_wrong(reader, node, "a number, or [low, high]", "is neither a number nor a range");
    const bool was = begin_firm(reader);
    for (int e = 0; good && e < 2; e++)
        good = read_item(reader, node, e, quantity, least, most, &end[e]);
    reader->firm = was;
    if (good && !(end[0] < end[1])) {
        snub_read_wrong(reader, node, "[low, high], low under high", "is a range whose ends do not rise");
        good = false;
    }
    if (good) {
        keep_range(reader, node, quantity);
        *value = 0.5 * (end[0] + end[1]);
        if (reader->sights >= SNUB_SIGHT_WRITTEN)
            see(reader, &(snub_sighting){.node = node,
                                         .quantity = quantity,
                                         .least = least,
                                         .most = most,
                                         .value = *value,
                                         .known = true,
                                         .low = end[0],
                                         .high = end[1],
                                         .basis = SNUB_TOLERANCE_RANGE});
    }
    snub_leave(reader);
    return good;
}

bool snub_read_numbers(snub_reader *reader, const snub_node *map, const char *key, snub_quantity quantity, double least,
                       double most, int *count, double **values)
{
    note_numbers(reader, map, key,
                 &(snub_file_key){
                     .kind = SNUB_KEY_NUMBERS, .x = {NULL, least, most}, .least = 1, .most = SNUB_TABLE_POINTS_MOST},
                 quantity, NULL);
    const snub_node *list = find_list(reader, map, key, 1, SNUB_TABLE_POINTS_MOST);
    if (list == NULL)
        return false;
    double *read = SNUB_NEW(reader->arena, double, list->count);
    if (read == NULL) {
        snub_read_no_memory(reader);
        return false;
    }
    bool good = true;
    const bool was = begin_firm(reader);
    snub_enter(reader, key);
    for (int i = 0; i < list->count; i++)
        good = read_item(reader, list, i, quantity, least, most, &read[i]) && good;
    snub_leave(reader);
    reader->firm = was;
    if (good) {
        *count = list->count;
        *values = read;
    }
    return good;
}

/** One row; `before` is the x that it must be above, NAN if there is none. x becomes NAN where it is wrong. */
static bool read_row(snub_reader *reader, const snub_node *row, const snub_columns *columns, double before, double *x,
                     double *y)
{
    *x = NAN;
    if (row->kind != SNUB_LIST || row->count != 2) {
        snub_read_wrong(reader, row, "[x, y]", "is not a row of two values");
        return false;
    }
    bool good = read_item(reader, row, 0, columns->x, columns->x_least, columns->x_most, x);
    good = read_item(reader, row, 1, columns->y, columns->y_least, columns->y_most, y) && good;
    if (*x <= before) {
        const char *unit = snub_quantity_unit(columns->x);
        snub_enter_item(reader, 0);
        snub_read_wrong(reader, row->items[0],
                        snub_format(reader->arena, "above %.10g%s%s", snub_quantity_to_bare(columns->x, before),
                                    unit[0] != '\0' ? " " : "", unit),
                        "is not above the row before");
        snub_leave(reader);
        return false;
    }
    return good;
}

bool snub_read_table(snub_reader *reader, const snub_node *map, const char *key, const snub_columns *columns,
                     snub_curve *table)
{
    note_numbers(reader, map, key,
                 &(snub_file_key){.kind = SNUB_KEY_TABLE,
                                  .x = {NULL, columns->x_least, columns->x_most},
                                  .y = {snub_quantity_unit(columns->y), columns->y_least, columns->y_most},
                                  .least = 1,
                                  .most = SNUB_TABLE_POINTS_MOST},
                 columns->x, NULL);
    const snub_node *list = find_list(reader, map, key, 1, SNUB_TABLE_POINTS_MOST);
    if (list == NULL)
        return false;
    double *x = SNUB_NEW(reader->arena, double, list->count), *y = SNUB_NEW(reader->arena, double, list->count);
    if (x == NULL || y == NULL) {
        snub_read_no_memory(reader);
        return false;
    }
    bool good = true;
    double before = NAN;
    const bool was = begin_firm(reader);
    snub_enter(reader, key);
    for (int i = 0; i < list->count; i++) {
        snub_enter_item(reader, i);
        good = read_row(reader, list->items[i], columns, before, &x[i], &y[i]) && good;
        before = isnan(x[i]) ? before : x[i];
        snub_leave(reader);
    }
    snub_leave(reader);
    reader->firm = was;
    if (good)
        *table = (snub_curve){list->count, x, y};
    return good;
}

/* ---- catalogue parts --------------------------------------------------------------------------------------------- */

/** A copy of a node, and of what stands below it, that names its part. */
static snub_node *mark_part(snub_reader *reader, const snub_node *node, const char *part, const snub_place *place)
{
    snub_node *copy = SNUB_NEW(reader->arena, snub_node, 1);
    if (copy == NULL)
        return NULL;
    *copy = *node;
    copy->from_part = part;
    if (copy->place.line == 0)
        copy->place = *place;
    if (node->kind == SNUB_SCALAR)
        return copy;
    copy->items = SNUB_NEW(reader->arena, snub_node *, node->count > 0 ? node->count : 1);
    if (copy->items == NULL)
        return NULL;
    for (int i = 0; i < node->count; i++) {
        copy->items[i] = mark_part(reader, node->items[i], part, place);
        if (copy->items[i] == NULL)
            return NULL;
    }
    return copy;
}

/** The map with the part's keys that it has not itself; null is no value of its own. */
static snub_node *merge_part(snub_reader *reader, const snub_node *map, const snub_node *part, const snub_node *name)
{
    snub_node *merged = SNUB_NEW(reader->arena, snub_node, 1);
    int room = map->count + part->count;
    if (merged == NULL)
        return NULL;
    *merged = *map;
    merged->items = SNUB_NEW(reader->arena, snub_node *, room);
    merged->keys = SNUB_NEW(reader->arena, snub_node *, room);
    if (merged->items == NULL || merged->keys == NULL)
        return NULL;
    merged->count = 0;
    for (int i = 0; i < map->count; i++) {
        if (snub_node_is_null(map->items[i]) && snub_node_get(part, map->keys[i]->text) != NULL)
            continue;
        merged->items[merged->count] = map->items[i];
        merged->keys[merged->count++] = map->keys[i];
    }
    for (int i = 0; i < part->count; i++) {
        if (snub_node_get(merged, part->keys[i]->text) != NULL)
            continue;
        snub_node *key = mark_part(reader, part->keys[i], name->text, &name->place);
        snub_node *value = mark_part(reader, part->items[i], name->text, &name->place);
        if (key == NULL || value == NULL)
            return NULL;
        merged->keys[merged->count] = key;
        merged->items[merged->count++] = value;
    }
    return merged;
}

const snub_node *snub_read_part(snub_reader *reader, const char *kind, const snub_node *map)
{
    snub_error error = {0};
    snub_node *part = NULL;
    const snub_node *name = snub_read_find(map, "part");
    const char *key = NULL;
    if (!snub_read_text(reader, map, "part", 80, &key))
        return map;
    const snub_part_source *source = reader->reading->parts;
    if (source == NULL || source->find == NULL) {
        snub_read_wrong_key(reader, map, "part", "the values written out", "there is no catalogue to look it up in");
        return map;
    }
    snub_part_sale sale = {"", "", false, "", ""};
    snub_status status = source->find(source->context, kind, key, reader->arena, &part, &sale, &error);
    if (status == SNUB_NO_MEMORY) {
        snub_read_no_memory(reader);
        return map;
    }
    if (status != SNUB_OK || part == NULL || part->kind != SNUB_MAP) {
        snub_read_wrong_key(reader, map, "part", error.need[0] != '\0' ? error.need : NULL, "%s",
                            error.message[0] != '\0' ? error.message : "is not in the catalogue");
        return map;
    }
    snub_node *merged = merge_part(reader, map, part, name);
    snub_used_part *used = SNUB_NEW(reader->arena, snub_used_part, 1);
    if (used != NULL) {
        *used = (snub_used_part){kind, key, part, sale, reader->used};
        reader->used = used;
    }
    if (merged == NULL || used == NULL)
        snub_read_no_memory(reader);
    return merged != NULL ? merged : map;
}
