/* The calls of jansson that the core makes, over values that live until the answer is out: Debian has no jansson for
 * WebAssembly. Declared by jansson's own header, so that the compiler holds them to it. */
#include "json_stand_in.h"

#include <jansson.h>
#include <math.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct value value;

/* A key of an object; jansson's loops find their way back to it from its text. */
typedef struct entry {
    value *object;
    size_t index;
    char key[];
} entry;

struct value {
    json_t head;
    size_t count, room; /* of items, or the bytes of a text */
    value **items;
    entry **keys; /* of an object */
    char *text;
    double real;
    json_int_t integer;
};

/* ---- memory, given back as a whole ------------------------------------------------------------------------------- */

enum { CHUNK = 256 << 10, ALIGN = 16 };
typedef struct chunk {
    struct chunk *next;
    size_t used, size;
    _Alignas(ALIGN) char bytes[];
} chunk;
static chunk *chunks;

void json_stand_in_reset(void)
{
    while (chunks != NULL && chunks->next != NULL) {
        chunk *gone = chunks;
        chunks = gone->next;
        free(gone);
    }
    if (chunks != NULL)
        chunks->used = 0;
}

static void *take(size_t size)
{
    size = (size + ALIGN - 1) / ALIGN * ALIGN;
    if (chunks == NULL || chunks->size - chunks->used < size) {
        const size_t room = size > CHUNK ? size : CHUNK;
        chunk *fresh = malloc(sizeof *fresh + room);
        if (fresh == NULL)
            return NULL;
        *fresh = (chunk){chunks, 0, room};
        chunks = fresh;
    }
    void *memory = chunks->bytes + chunks->used;
    chunks->used += size;
    return memory;
}

static value *new_value(json_type type)
{
    value *made = take(sizeof *made);
    if (made != NULL)
        *made = (value){.head = {type, (size_t)-1}}; /* not counted: jansson's mark of what is never deleted */
    return made;
}

static json_t *as_json(value *made)
{
    return made != NULL ? &made->head : NULL;
}

static value *of(const json_t *json)
{
    return (value *)(size_t)json;
}

static bool grow(value *list)
{
    if (list->count < list->room)
        return true;
    const size_t room = list->room > 0 ? 2 * list->room : 8;
    value **items = take(room * sizeof *items);
    entry **keys = list->head.type == JSON_OBJECT ? take(room * sizeof *keys) : NULL;
    if (items == NULL || (keys == NULL && list->head.type == JSON_OBJECT))
        return false;
    if (list->count > 0)
        memcpy(items, list->items, list->count * sizeof *items);
    if (keys != NULL && list->count > 0)
        memcpy(keys, list->keys, list->count * sizeof *keys);
    list->items = items;
    list->keys = keys;
    list->room = room;
    return true;
}

static char *copy(const char *text, size_t length)
{
    char *made = take(length + 1);
    if (made == NULL)
        return NULL;
    memcpy(made, text, length);
    made[length] = '\0';
    return made;
}

/* ---- making ------------------------------------------------------------------------------------------------------ */

void json_delete(json_t *json)
{
    (void)json;
}

json_t *json_object(void)
{
    return as_json(new_value(JSON_OBJECT));
}

json_t *json_array(void)
{
    return as_json(new_value(JSON_ARRAY));
}

json_t *json_true(void)
{
    static json_t yes = {JSON_TRUE, (size_t)-1};
    return &yes;
}

json_t *json_false(void)
{
    static json_t no = {JSON_FALSE, (size_t)-1};
    return &no;
}

json_t *json_null(void)
{
    static json_t none = {JSON_NULL, (size_t)-1};
    return &none;
}

json_t *json_integer(json_int_t integer)
{
    value *made = new_value(JSON_INTEGER);
    if (made != NULL)
        made->integer = integer;
    return as_json(made);
}

json_t *json_real(double real)
{
    value *made = isfinite(real) ? new_value(JSON_REAL) : NULL;
    if (made != NULL)
        made->real = real;
    return as_json(made);
}

/* NULL where it is not UTF-8, as jansson has it. */
json_t *json_stringn(const char *text, size_t length)
{
    const char *at = text, *end = text + length;
    while (at < end) {
        const char *start = at;
        if (snub_utf8_next(&at, end) == 0xFFFD && at - start == 1)
            return NULL;
    }
    value *made = new_value(JSON_STRING);
    if (made == NULL || (made->text = copy(text, length)) == NULL)
        return NULL;
    made->count = length;
    return &made->head;
}

static size_t index_of(const value *object, const char *key)
{
    size_t i = 0;
    while (i < object->count && strcmp(object->keys[i]->key, key) != 0)
        i++;
    return i;
}

int json_object_set_new(json_t *json, const char *key, json_t *item)
{
    if (json == NULL || item == NULL || json->type != JSON_OBJECT)
        return -1;
    value *object = of(json);
    const size_t i = index_of(object, key);
    if (i == object->count) {
        entry *fresh = grow(object) ? take(sizeof *fresh + strlen(key) + 1) : NULL;
        if (fresh == NULL)
            return -1;
        fresh->object = object;
        fresh->index = i;
        strcpy(fresh->key, key);
        object->keys[object->count++] = fresh;
    }
    object->items[i] = of(item);
    return 0;
}

int json_array_append_new(json_t *json, json_t *item)
{
    if (json == NULL || item == NULL || json->type != JSON_ARRAY || !grow(of(json)))
        return -1;
    of(json)->items[of(json)->count++] = of(item);
    return 0;
}

/* ---- json_pack: the marks { } [ ] : , s o i b -------------------------------------------------------------------- */

static json_t *pack(const char **format, va_list *arguments);

static json_t *pack_all(const char **format, va_list *arguments, bool keyed)
{
    json_t *whole = keyed ? json_object() : json_array();
    const char end = keyed ? '}' : ']';
    bool good = whole != NULL;
    for (;;) {
        *format += strspn(*format, " ,:");
        if (**format == end || **format == '\0')
            break;
        const char *key = NULL;
        if (keyed) {
            (*format)++; /* s */
            key = va_arg(*arguments, const char *);
            *format += strspn(*format, " :");
        }
        json_t *item = pack(format, arguments);
        good = (keyed ? json_object_set_new(whole, key, item) : json_array_append_new(whole, item)) == 0 && good;
    }
    *format += **format == end;
    return good ? whole : NULL;
}

static json_t *pack(const char **format, va_list *arguments)
{
    const char *text;
    switch (*(*format)++) {
    case '{': return pack_all(format, arguments, true);
    case '[': return pack_all(format, arguments, false);
    case 's': text = va_arg(*arguments, const char *); return text != NULL ? json_stringn(text, strlen(text)) : NULL;
    case 'o': return va_arg(*arguments, json_t *);
    case 'i': return json_integer(va_arg(*arguments, int));
    case 'b': return va_arg(*arguments, int) ? json_true() : json_false();
    default: abort(); /* a mark that nobody has used before */
    }
}

json_t *json_pack(const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    json_t *made = pack(&format, &arguments);
    va_end(arguments);
    return made;
}

/* ---- looking ----------------------------------------------------------------------------------------------------- */

json_t *json_object_get(const json_t *json, const char *key)
{
    if (json == NULL || json->type != JSON_OBJECT || key == NULL)
        return NULL;
    const value *object = of(json);
    const size_t i = index_of(object, key);
    return i < object->count ? &object->items[i]->head : NULL;
}

size_t json_object_size(const json_t *json)
{
    return json != NULL && json->type == JSON_OBJECT ? of(json)->count : 0;
}

size_t json_array_size(const json_t *json)
{
    return json != NULL && json->type == JSON_ARRAY ? of(json)->count : 0;
}

json_t *json_array_get(const json_t *json, size_t index)
{
    return index < json_array_size(json) ? &of(json)->items[index]->head : NULL;
}

const char *json_string_value(const json_t *json)
{
    return json != NULL && json->type == JSON_STRING ? of(json)->text : NULL;
}

size_t json_string_length(const json_t *json)
{
    return json != NULL && json->type == JSON_STRING ? of(json)->count : 0;
}

json_int_t json_integer_value(const json_t *json)
{
    return json != NULL && json->type == JSON_INTEGER ? of(json)->integer : 0;
}

double json_real_value(const json_t *json)
{
    return json != NULL && json->type == JSON_REAL ? of(json)->real : 0.0;
}

double json_number_value(const json_t *json)
{
    return json != NULL && json->type == JSON_INTEGER ? (double)of(json)->integer : json_real_value(json);
}

void *json_object_iter(json_t *json)
{
    return json_object_size(json) > 0 ? of(json)->keys[0] : NULL;
}

void *json_object_iter_next(json_t *json, void *iterator)
{
    const size_t next = ((entry *)iterator)->index + 1;
    return next < json_object_size(json) ? of(json)->keys[next] : NULL;
}

const char *json_object_iter_key(void *iterator)
{
    return iterator != NULL ? ((entry *)iterator)->key : NULL;
}

void *json_object_key_to_iter(const char *key)
{
    return key != NULL ? (char *)(size_t)key - offsetof(entry, key) : NULL;
}

json_t *json_object_iter_value(void *iterator)
{
    const entry *at = iterator;
    return at != NULL ? &at->object->items[at->index]->head : NULL;
}

/* ---- reading ----------------------------------------------------------------------------------------------------- */

enum { DEPTH_MOST = 64 };

typedef struct parser {
    const char *at, *end;
    int depth;
} parser;

static json_t *parse(parser *p);

static void skip_blanks(parser *p)
{
    while (p->at < p->end && (*p->at == ' ' || *p->at == '\t' || *p->at == '\n' || *p->at == '\r'))
        p->at++;
}

static bool eat(parser *p, const char *word)
{
    const size_t length = strlen(word);
    skip_blanks(p);
    if ((size_t)(p->end - p->at) < length || memcmp(p->at, word, length) != 0)
        return false;
    p->at += length;
    return true;
}

static bool hex4(parser *p, unsigned *point)
{
    *point = 0;
    for (int i = 0; i < 4; i++, p->at++) {
        const char *digits = "0123456789abcdef", *found;
        if (p->at == p->end || *p->at == '\0' || (found = strchr(digits, *p->at | 0x20)) == NULL)
            return false;
        *point = *point * 16 + (unsigned)(found - digits);
    }
    return true;
}

static char *put_utf8(char *to, unsigned point)
{
    if (point < 0x80) {
        *to++ = (char)point;
        return to;
    }
    const int more = point < 0x800 ? 1 : point < 0x10000 ? 2 : 3;
    *to++ = (char)((0xF00 >> more) | (point >> (6 * more)));
    for (int i = more - 1; i >= 0; i--)
        *to++ = (char)(0x80 | ((point >> (6 * i)) & 0x3F));
    return to;
}

/* Behind a backslash. @return NULL: no such escape */
static char *unescape(parser *p, char *to)
{
    static const char marks[] = "\"\\/bfnrt", means[] = "\"\\/\b\f\n\r\t";
    const char mark = p->at < p->end ? *p->at++ : '\0';
    const char *known = mark != '\0' ? strchr(marks, mark) : NULL;
    unsigned point, low;
    if (known != NULL) {
        *to++ = means[known - marks];
        return to;
    }
    if (mark != 'u' || !hex4(p, &point) || point == 0)
        return NULL;
    if (point >= 0xD800 && point < 0xDC00) {
        if (p->end - p->at < 2 || p->at[0] != '\\' || p->at[1] != 'u')
            return NULL;
        p->at += 2;
        if (!hex4(p, &low) || low < 0xDC00 || low > 0xDFFF)
            return NULL;
        point = 0x10000 + ((point - 0xD800) << 10) + (low - 0xDC00);
    }
    return put_utf8(to, point);
}

/* Behind the first quote. @return NULL: none */
static char *parse_text(parser *p, size_t *length)
{
    const char *close = p->at;
    while (close < p->end && *close != '"')
        close += *close == '\\' && close + 1 < p->end ? 2 : 1;
    char *text = close < p->end ? take((size_t)(close - p->at) + 1) : NULL, *to = text;
    if (text == NULL)
        return NULL;
    while (p->at < close) {
        if ((unsigned char)*p->at < 0x20)
            return NULL;
        if (*p->at != '\\') {
            *to++ = *p->at++;
            continue;
        }
        p->at++;
        to = unescape(p, to);
        if (to == NULL)
            return NULL;
    }
    *to = '\0';
    *length = (size_t)(to - text);
    p->at = close + 1;
    return text;
}

static json_t *parse_object(parser *p)
{
    json_t *object = json_object();
    size_t length;
    if (eat(p, "}"))
        return object;
    do {
        char *key = eat(p, "\"") ? parse_text(p, &length) : NULL;
        if (key == NULL || json_object_get(object, key) != NULL || !eat(p, ":") ||
            json_object_set_new(object, key, parse(p)) != 0)
            return NULL;
    } while (eat(p, ","));
    return eat(p, "}") ? object : NULL;
}

static json_t *parse_array(parser *p)
{
    json_t *array = json_array();
    if (eat(p, "]"))
        return array;
    do {
        if (json_array_append_new(array, parse(p)) != 0)
            return NULL;
    } while (eat(p, ","));
    return eat(p, "]") ? array : NULL;
}

static json_t *parse_number(parser *p)
{
    char text[64], *end;
    size_t length = 0;
    while (p->at + length < p->end && length < sizeof text - 1 && strchr("+-.eE0123456789", p->at[length]) != NULL)
        length++;
    memcpy(text, p->at, length);
    text[length] = '\0';
    const bool whole = strpbrk(text, ".eE") == NULL;
    json_t *made = whole ? json_integer(strtoll(text, &end, 10)) : json_real(strtod(text, &end));
    p->at += length;
    return length > 0 && *end == '\0' ? made : NULL;
}

static json_t *parse_plain(parser *p)
{
    if (eat(p, "true"))
        return json_true();
    if (eat(p, "false"))
        return json_false();
    if (eat(p, "null"))
        return json_null();
    return parse_number(p);
}

static json_t *parse(parser *p)
{
    json_t *made = NULL;
    size_t length;
    if (++p->depth <= DEPTH_MOST) {
        if (eat(p, "{")) {
            made = parse_object(p);
        } else if (eat(p, "[")) {
            made = parse_array(p);
        } else if (eat(p, "\"")) {
            const char *text = parse_text(p, &length);
            made = text != NULL ? json_stringn(text, length) : NULL;
        } else {
            made = parse_plain(p);
        }
    }
    p->depth--;
    return made;
}

/* The page's own JSON.stringify made it: that it is wrong is an error of ours, so the place is not told. */
json_t *json_loadb(const char *text, size_t length, size_t flags, json_error_t *error)
{
    (void)flags;
    parser p = {text, text + length, 0};
    json_t *made = parse(&p);
    skip_blanks(&p);
    if (made != NULL && p.at == p.end)
        return made;
    memset(error, 0, sizeof *error);
    strcpy(error->text, "not JSON");
    return NULL;
}

/* ---- writing ----------------------------------------------------------------------------------------------------- */

typedef struct writer {
    json_dump_callback_t take;
    void *context;
    int digits;
    bool failed;
    size_t used;
    char pieces[4096]; /* that were put one by one and are taken as one */
} writer;

static void hand_on(writer *w)
{
    w->failed = w->failed || w->take(w->pieces, w->used, w->context) != 0;
    w->used = 0;
}

/* Never parts a piece: it may end in the middle of no character. */
static void put(writer *w, const char *text, size_t length)
{
    if (length > sizeof w->pieces - w->used)
        hand_on(w);
    if (length > sizeof w->pieces) {
        w->failed = w->failed || w->take(text, length, w->context) != 0;
        return;
    }
    memcpy(w->pieces + w->used, text, length);
    w->used += length;
}

static void put_text(writer *w, const char *text, size_t length)
{
    size_t plain = 0;
    put(w, "\"", 1);
    for (size_t i = 0; i < length; i++) {
        const unsigned char c = (unsigned char)text[i];
        char escape[8];
        if (c >= 0x20 && c != '"' && c != '\\')
            continue;
        put(w, text + plain, i - plain);
        plain = i + 1;
        if (c == '"' || c == '\\')
            snprintf(escape, sizeof escape, "\\%c", c);
        else
            snprintf(escape, sizeof escape, "\\u%04X", c);
        put(w, escape, strlen(escape));
    }
    put(w, text + plain, length - plain);
    put(w, "\"", 1);
}

/* Before `at`, with noughts in front up to `least` digits; snprintf takes many times as long. @return where it begins
 */
static char *put_digits(char *at, uint64_t number, int least)
{
    for (; number > 0 || least > 0; number /= 10, least--)
        *--at = (char)('0' + number % 10);
    return at;
}

/* "%.*g" of the C library calculates in 128 bits here, which is slow and more than is needed: up to 15 digits a whole
 * number of units of the last one is exact enough, and no other text comes of it than where the digits behind are all
 * but a half. */
static bool put_short(writer *w, double real)
{
    static const double powers[] = {1,    1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8, 1e9,
                                    1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18};
    const double size = fabs(real);
    char text[32], *at = text + sizeof text;
    if (w->digits > 15 || !(size >= 1e-4 && size < 1e12))
        return false;
    const int before = (int)floor(log10(size)) + 1; /* digits before the point; 0, -1.. below 1 */
    const int after = w->digits - before;
    if (after < 0 || after > 18)
        return false;
    const uint64_t units = (uint64_t)llround(size * powers[after]);
    const uint64_t one = (uint64_t)powers[after];
    uint64_t behind = units % one;
    int left = after;
    for (; left > 1 && behind % 10 == 0; left--)
        behind /= 10; /* no noughts at the end but the one behind the point */
    at = put_digits(at, behind, left > 1 ? left : 1);
    *--at = '.';
    at = put_digits(at, units / one, 1);
    if (real < 0)
        *--at = '-';
    put(w, at, (size_t)(text + sizeof text - at));
    return true;
}

static void put_real(writer *w, double real)
{
    char text[48];
    if (real == 0.0) {
        put(w, "0.0", 3);
    } else if (!put_short(w, real)) {
        snprintf(text, sizeof text, "%.*g", w->digits, real);
        put(w, text, strlen(text));
        if (strpbrk(text, ".e") == NULL)
            put(w, ".0", 2);
    }
}

static void put_integer(writer *w, json_int_t integer)
{
    char text[24];
    char *at = put_digits(text + sizeof text, integer < 0 ? -(uint64_t)integer : (uint64_t)integer, 1);
    if (integer < 0)
        *--at = '-';
    put(w, at, (size_t)(text + sizeof text - at));
}

static void write_value(writer *w, const value *v)
{
    const bool keyed = v->head.type == JSON_OBJECT;
    switch (v->head.type) {
    case JSON_TRUE: put(w, "true", 4); return;
    case JSON_FALSE: put(w, "false", 5); return;
    case JSON_NULL: put(w, "null", 4); return;
    case JSON_STRING: put_text(w, v->text, v->count); return;
    case JSON_REAL: put_real(w, v->real); return;
    case JSON_INTEGER: put_integer(w, v->integer); return;
    case JSON_OBJECT:
    case JSON_ARRAY: break;
    }
    put(w, keyed ? "{" : "[", 1);
    for (size_t i = 0; i < v->count; i++) {
        if (i > 0)
            put(w, ",", 1);
        if (keyed) {
            put_text(w, v->keys[i]->key, strlen(v->keys[i]->key));
            put(w, ":", 1);
        }
        write_value(w, v->items[i]);
    }
    put(w, keyed ? "}" : "]", 1);
}

/* Compact, whatever else the flags ask for, with their count of digits. */
int json_dump_callback(const json_t *json, json_dump_callback_t take_piece, void *context, size_t flags)
{
    writer w;
    w.take = take_piece;
    w.context = context;
    w.digits = (int)((flags >> 11) & 0x1F);
    w.failed = false;
    w.used = 0;
    if (w.digits == 0)
        w.digits = 17;
    write_value(&w, of(json));
    hand_on(&w);
    return w.failed ? -1 : 0;
}
