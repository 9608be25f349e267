/* Printing and reading of numbers in the place of the C library's: the digits are the page's, exact and with a half to
 * the even one. Sources are compiled as they are; a conversion that none of them has yet ends the core, and the server
 * answers. */
#include <math.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "browser.h"
#include "c_locale.h"
#include "number.h"

/* There is one locale. */
locale_t snub_c_locale_enter(void)
{
    return (locale_t)0;
}

void snub_c_locale_leave(locale_t before)
{
    (void)before;
}

/* What is written so far, and the room for it. */
typedef struct {
    char *data;
    size_t room, length;
} sink;

static void put(sink *out, const char *data, size_t length)
{
    for (size_t i = 0; i < length; i++, out->length++)
        if (out->length + 1 < out->room)
            out->data[out->length] = data[i];
}

static void fill(sink *out, char c, int count)
{
    for (; count > 0; count--)
        put(out, &c, 1);
}

typedef struct {
    bool left, plus, space, alternative, zero;
    int width, precision; /* -1: none is given */
    int length;           /* of an integer: 0 as int, 1 as long, 2 as long long or intmax_t, 3 as size_t or ptrdiff_t */
} conversion;

static const char *read_count(const char *at, int *count, va_list *arguments)
{
    if (*at == '*') {
        *count = va_arg(*arguments, int);
        return at + 1;
    }
    for (*count = 0; *at >= '0' && *at <= '9'; at++)
        *count = *count * 10 + (*at - '0');
    return at;
}

static const char *read_conversion(const char *at, conversion *c, va_list *arguments)
{
    *c = (conversion){.precision = -1};
    for (;; at++) {
        if (*at == '-')
            c->left = true;
        else if (*at == '+')
            c->plus = true;
        else if (*at == ' ')
            c->space = true;
        else if (*at == '#')
            c->alternative = true;
        else if (*at == '0')
            c->zero = true;
        else
            break;
    }
    at = read_count(at, &c->width, arguments);
    if (c->width < 0) {
        c->left = true;
        c->width = -c->width;
    }
    if (*at == '.')
        at = read_count(at + 1, &c->precision, arguments);
    for (;; at++) {
        if (*at == 'l')
            c->length++;
        else if (*at == 'z' || *at == 't')
            c->length = 3;
        else if (*at == 'j')
            c->length = 2;
        else
            return at;
    }
}

/* Sign, zeros and body, in their width. */
static void put_in_width(sink *out, const conversion *c, const char *sign, const char *body, int length, bool zeros)
{
    const int signs = (int)strlen(sign), blank = c->width - signs - length;
    if (!c->left && !zeros)
        fill(out, ' ', blank);
    put(out, sign, (size_t)signs);
    if (!c->left && zeros)
        fill(out, '0', blank);
    put(out, body, (size_t)length);
    if (c->left)
        fill(out, ' ', blank);
}

static const char *sign_of(const conversion *c, bool negative)
{
    return negative ? "-" : c->plus ? "+" : c->space ? " " : "";
}

static void put_integer(sink *out, const conversion *c, uintmax_t value, const char *sign, char kind)
{
    const unsigned base = kind == 'x' || kind == 'X' ? 16 : kind == 'o' ? 8 : 10;
    const char *digits = kind == 'X' ? "0123456789ABCDEF" : "0123456789abcdef";
    char text[128];
    int at = sizeof text;
    const int least = c->precision < 0 ? 1 : c->precision > 100 ? 100 : c->precision;
    for (; value > 0 || (int)sizeof text - at < least; value /= base)
        text[--at] = digits[value % base];
    put_in_width(out, c, sign, text + at, (int)sizeof text - at, c->zero && c->precision < 0);
}

static void put_real(sink *out, const conversion *c, double value, char kind)
{
    char text[BROWSER_NUMBER_MOST];
    const char *sign = sign_of(c, signbit(value) != 0);
    if (!isfinite(value)) {
        put_in_width(out, c, sign, isnan(value) ? "nan" : "inf", 3, false);
        return;
    }
    const int length = browser_number(fabs(value), kind, c->precision < 0 ? 6 : c->precision, text);
    put_in_width(out, c, sign, text, length, c->zero);
}

static void put_text(sink *out, const conversion *c, const char *text)
{
    const size_t length = c->precision < 0 ? strlen(text) : strnlen(text, (size_t)c->precision);
    put_in_width(out, c, "", text, (int)length, false);
}

static intmax_t signed_of(const conversion *c, va_list *arguments)
{
    return c->length == 0   ? va_arg(*arguments, int)
           : c->length == 2 ? va_arg(*arguments, long long)
                            : va_arg(*arguments, long); /* of the size of ptrdiff_t here */
}

static uintmax_t unsigned_of(const conversion *c, va_list *arguments)
{
    return c->length == 0   ? va_arg(*arguments, unsigned)
           : c->length == 2 ? va_arg(*arguments, unsigned long long)
                            : va_arg(*arguments, unsigned long);
}

static void put_converted(sink *out, const conversion *c, char kind, va_list *arguments)
{
    switch (kind) {
    case '%': put(out, "%", 1); break;
    case 'c': {
        const char one = (char)va_arg(*arguments, int);
        put_in_width(out, c, "", &one, 1, false);
        break;
    }
    case 's': put_text(out, c, va_arg(*arguments, const char *)); break;
    case 'd':
    case 'i': {
        const intmax_t value = signed_of(c, arguments);
        put_integer(out, c, value < 0 ? -(uintmax_t)value : (uintmax_t)value, sign_of(c, value < 0), kind);
        break;
    }
    case 'u':
    case 'x':
    case 'X':
    case 'o': put_integer(out, c, unsigned_of(c, arguments), "", kind); break;
    case 'e':
    case 'f':
    case 'g':
        if (!c->alternative) {
            put_real(out, c, va_arg(*arguments, double), kind);
            break;
        }
        __attribute__((fallthrough));
    default: __builtin_trap();
    }
}

int vsnprintf(char *restrict data, size_t room, const char *restrict format, va_list given)
{
    sink out = {data, room, 0};
    va_list arguments;
    va_copy(arguments, given);
    for (const char *at = format; *at != '\0';) {
        const size_t plain = strcspn(at, "%");
        put(&out, at, plain);
        at += plain;
        if (*at == '\0')
            break;
        conversion c;
        at = read_conversion(at + 1, &c, &arguments);
        put_converted(&out, &c, *at, &arguments);
        at++;
    }
    va_end(arguments);
    if (room > 0)
        data[out.length < room ? out.length : room - 1] = '\0';
    return (int)out.length;
}

int snprintf(char *restrict data, size_t room, const char *restrict format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    const int length = vsnprintf(data, room, format, arguments);
    va_end(arguments);
    return length;
}

/* Decimal numbers alone: who calls has looked at that, or wants no others. */
double strtod(const char *restrict text, char **restrict end)
{
    const char *at = snub_number_end(text);
    if (end != NULL)
        *end = (char *)at;
    return at > text ? browser_value(text, (int)(at - text)) : 0.0;
}

/* An assert that fails ends the core, and the server answers. */
_Noreturn void __assert_fail(const char *condition, const char *file, int line, const char *function)
{
    (void)condition, (void)file, (void)line, (void)function;
    __builtin_trap();
}
