/* Findings for people. */
#include "snub/report.h"

#include <string.h>

enum { LEVEL_PAD = 7 };

void snub_level_show(snub_level level, const snub_look *look, int pad, snub_text *out)
{
    static const char *const words[] = {"pass", "note", "WATCH", "FAIL"};
    static const char *const colours[] = {"\x1b[32m", "", "\x1b[33m", "\x1b[1;31m"};
    if (look->colour)
        snub_text_puts(out, colours[level]);
    snub_text_puts(out, words[level]);
    if (look->colour && colours[level][0])
        snub_text_puts(out, "\x1b[0m");
    for (int i = (int)strlen(words[level]); i < pad; i++)
        snub_text_puts(out, " ");
}

/* "arm_travel" is for programs. */
static void add_rule(const char *rule, snub_text *out)
{
    for (; *rule; rule++)
        snub_text_add(out, *rule == '_' ? " " : rule, 1);
}

static void add_value(double value, snub_text *out)
{
    double size = fabs(value);
    snub_text_printf(out, "%.*f", size < 10 ? 2 : size < 1000 ? 1 : 0, value);
}

/* "1.23, limit 1.00" or "38.0 mm, limit 45.0 mm"; nothing where there is no number. */
static void add_numbers(const snub_finding *finding, snub_text *out)
{
    const char *unit = finding->unit ? finding->unit : "";
    if (isnan(finding->value))
        return;
    snub_text_puts(out, ": ");
    if (isinf(finding->value))
        snub_text_puts(out, "without limit");
    else
        add_value(finding->value, out);
    snub_text_printf(out, "%s%s", unit[0] ? " " : "", unit);
    if (!isfinite(finding->limit))
        return;
    snub_text_puts(out, ", limit ");
    add_value(finding->limit, out);
    snub_text_printf(out, "%s%s", unit[0] ? " " : "", unit);
}

static void add_when(const snub_finding *finding, snub_text *out)
{
    if (!isnan(finding->at_speed) && finding->at_speed > 0)
        snub_text_printf(out, ", at %.0f rpm", finding->at_speed * 30 / SNUB_PI);
    if (finding->state && finding->state[0] && strcmp(finding->state, "laid out") != 0)
        snub_text_printf(out, ", %s", finding->state);
}

static void add_one(const snub_finding *finding, const snub_look *look, snub_text *out)
{
    snub_text head = {0};
    add_rule(finding->rule, &head);
    if (finding->pulley)
        snub_text_printf(&head, ", %s", finding->pulley);
    if (finding->other)
        snub_text_printf(&head, "%s%s", finding->pulley ? " and " : ", ", finding->other);
    add_numbers(finding, &head);
    add_when(finding, &head);
    snub_level_show(finding->level, look, LEVEL_PAD, out);
    snub_wrap(head.data ? head.data : finding->rule, LEVEL_PAD, LEVEL_PAD, look->width, out);
    out->failed = out->failed || head.failed;
    snub_text_free(&head);
    if (finding->text && finding->text[0]) {
        const char *text = finding->text;
        /* The pulley is named in the line above. */
        size_t name = finding->pulley ? strlen(finding->pulley) : 0;
        if (name && strncmp(text, finding->pulley, name) == 0 && strncmp(text + name, ": ", 2) == 0)
            text += name + 2;
        snub_text_printf(out, "%*s", LEVEL_PAD, "");
        snub_wrap(text, LEVEL_PAD, LEVEL_PAD, look->width, out);
    }
    if (finding->source && finding->source[0] && isfinite(finding->limit)) {
        snub_text line = {0};
        snub_text_printf(&line, "(limit: %s)", finding->source);
        snub_text_printf(out, "%*s", LEVEL_PAD, "");
        snub_wrap(line.data ? line.data : "", LEVEL_PAD, LEVEL_PAD, look->width, out);
        snub_text_free(&line);
    }
}

void snub_findings_show(const snub_findings *findings, const snub_look *look, snub_text *out)
{
    for (int i = 0; i < findings->count; i++)
        add_one(&findings->items[i], look, out);
}
