/* Values left to defaults, for people and for programs. */
#include <math.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#include "json_words.h"
#include "snub/defaults.h"
#include "snub/report.h"

/* Digits behind the point of a number as it is written. */
static int decimals_of(const char *number)
{
    const char *point = strchr(number, '.');
    return point != NULL ? (int)strlen(point + 1) : 0;
}

/* "28000 N per rib" as it is listed, or in the reader's units: "6295 lbf per rib". */
static void add_value(const snub_default_info *info, const char *number, const snub_locale *locale, snub_text *out)
{
    static const char per[] = " per rib";
    char unit[32];
    double value = NAN;
    const char *tail = strstr(info->unit, per);
    snprintf(unit, sizeof unit, "%.*s", (int)(tail != NULL ? tail - info->unit : (ptrdiff_t)strlen(info->unit)),
             info->unit);
    const bool read = snub_parse_number(number, NULL, &value) == SNUB_OK;
    const snub_shown shown = snub_number_shown(locale, value, unit, decimals_of(number));
    if (read && strcmp(shown.unit, unit) != 0)
        snub_text_printf(out, "%.*f %s%s", shown.decimals, shown.value, shown.unit, tail != NULL ? tail : "");
    else
        snub_text_printf(out, "%s%s%s", number, info->unit[0] != '\0' ? " " : "", info->unit);
}

static void add_end(const snub_default *d, int e, const snub_locale *locale, snub_text *out)
{
    const snub_default_end *end = &d->end[e];
    snub_text_puts(out, " At ");
    add_value(d->info, d->info->range[e], locale, out);
    if (!end->differs) {
        snub_text_puts(out, " nothing changes.");
        return;
    }
    snub_text_printf(out, ": %s, verdict %s", end->designation[0] != '\0' ? end->designation : "no belt",
                     snub_level_text(end->verdict));
    if (end->verdict > SNUB_NOTE && end->rule != NULL) {
        snub_text_puts(out, " (");
        for (const char *c = end->rule; *c != '\0'; c++)
            snub_text_add(out, *c == '_' ? " " : c, 1);
        snub_text_printf(out, "%s%s)", end->pulley != NULL ? ", " : "", end->pulley != NULL ? end->pulley : "");
    }
    snub_text_puts(out, ".");
}

static void add_one(const snub_default *d, const snub_look *look, snub_text *out)
{
    enum { INDENT = 11 };
    snub_text line = {0};
    snub_text_printf(&line, "%s is not given: ", d->path);
    add_value(d->info, d->info->preset, look->locale, &line);
    snub_text_puts(&line, " is taken.");
    for (int e = 0; e < 2; e++)
        add_end(d, e, look->locale, &line);
    snub_text_printf(&line, " %s (range: %s)", d->info->measure, d->info->source);
    snub_text_printf(out, "%-*s", INDENT, "default");
    snub_wrap(line.data != NULL ? line.data : "", INDENT, INDENT, look->width, out);
    out->failed = out->failed || line.failed;
    snub_text_free(&line);
}

void snub_text_defaults(const snub_default *defaults, int count, const snub_look *look, snub_text *out)
{
    int decide = 0, tried = 0;
    for (int k = 0; k < count; k++) {
        tried += defaults[k].tried;
        decide += defaults[k].decides;
        if (defaults[k].decides)
            add_one(&defaults[k], look, out);
    }
    if (count == 0)
        return;
    snub_text line = {0};
    if (tried > 0)
        snub_text_printf(
            &line,
            "%d values are left to defaults; at the ends of their ranges %d of them change the belt or the "
            "verdict.",
            count, decide);
    else
        snub_text_printf(&line, "%d values are left to defaults: --defaults tries whether one of them decides.", count);
    snub_text_printf(out, "%-11s", "defaults");
    snub_wrap(line.data != NULL ? line.data : "", 11, 11, look->width, out);
    out->failed = out->failed || line.failed;
    snub_text_free(&line);
}

static json_t *end_of(const snub_default *d, int e)
{
    const snub_default_end *end = &d->end[e];
    json_t *object = json_object();
    snub_json_put(object, "value", snub_json_words(d->info->range[e]));
    snub_json_put(object, "verdict", snub_json_words(snub_level_text(end->verdict)));
    snub_json_put(object, "designation", end->designation[0] != '\0' ? snub_json_words(end->designation) : json_null());
    snub_json_put(object, "rule", snub_json_words(end->rule));
    snub_json_put(object, "pulley", snub_json_words(end->pulley));
    return object;
}

struct json_t *snub_json_defaults(const snub_default *defaults, int count)
{
    json_t *list = json_array();
    for (int k = 0; k < count; k++) {
        const snub_default *d = &defaults[k];
        json_t *object = json_object();
        snub_json_put(object, "path", snub_json_words(d->path));
        snub_json_put(object, "value", snub_json_words(d->info->preset));
        snub_json_put(object, "unit", snub_json_words(d->info->unit));
        snub_json_put(object, "source", snub_json_words(d->info->source));
        snub_json_put(object, "measure", snub_json_words(d->info->measure));
        snub_json_put(object, "decides", d->tried ? json_boolean(d->decides) : json_null());
        snub_json_put(object, "low", d->tried ? end_of(d, 0) : json_null());
        snub_json_put(object, "high", d->tried ? end_of(d, 1) : json_null());
        snub_json_append(list, object);
    }
    return list;
}
