/* Findings in words: the reader's language, decimal mark and units. Nobody else writes sentences about a build. */
#include "words.h"

#include <string.h>

/* Words inside of words inside of words: no list of ours goes deeper. */
enum { DEPTH_MOST = 3, PLACE_MOST = 32 };

typedef struct writer {
    const snub_finding *finding; /* NULL: words of their own */
    const snub_named *named;
    int count;
    const snub_locale *locale;
    snub_text *out;
    int more; /* decimals of the value and the limit beyond those of the wording */
} writer;

static void fill(const writer *w, const char *words, int depth);

static void put_number(const writer *w, double si, snub_unit unit, int decimals, snub_rounding rounding)
{
    if (isinf(si))
        snub_text_puts(w->out, snub_say(w->locale, SNUB_MESSAGE("without bound")));
    else
        snub_value_text_rounded(w->locale, si, unit, decimals, rounding, w->out);
}

/* So many decimals more that a value and its limit differ in print where they differ: "250 N, limit 250 N" for a
 * finding is no sentence. A coarser unit needs it more often. */
static int digits_apart(const snub_finding *f, const snub_locale *locale)
{
    enum { MORE_MOST = 4 };
    const snub_wording_info *info = snub_wording_describe(f->wording);
    bool same = isfinite(f->value) && isfinite(f->limit) && f->value != f->limit;
    int more = 0;
    for (; same; more++) {
        char a[SNUB_VALUE_TEXT], b[SNUB_VALUE_TEXT];
        snub_value_string(locale, f->value, info->unit, info->decimals + more, a);
        snub_value_string(locale, f->limit, info->unit, info->decimals + more, b);
        if (strcmp(a, b) != 0)
            return more;
        if (more == MORE_MOST)
            break;
    }
    return 0; /* the same but for the last digits of the machine */
}

static writer writer_of(const snub_finding *finding, const snub_locale *locale, snub_text *out)
{
    return (writer){finding, finding->named, finding->named_count, locale, out, digits_apart(finding, locale)};
}

/* ---- places ------------------------------------------------------------------------------------------------------ */

static void put_named(const writer *w, const snub_named *named, int depth)
{
    if (named->text == NULL)
        put_number(w, named->number, named->unit, named->decimals, named->rounding);
    else if (named->words)
        fill(w, snub_say(w->locale, named->text), depth + 1);
    else if (strcmp(named->name, "packs") == 0)
        snub_pack_words(named->text, w->locale, w->out);
    else
        snub_text_puts(w->out, snub_bolt_name(named->text, w->locale));
}

/* All that bear the name: several are ways of which one will do. @return false where there is none */
static bool put_all_named(const writer *w, const char *name, int depth)
{
    bool any = false;
    for (int i = 0; i < w->count; i++) {
        if (strcmp(w->named[i].name, name) != 0)
            continue;
        if (any)
            snub_text_puts(w->out, strcmp(name, "packs") == 0 ? "; " : snub_say(w->locale, SNUB_MESSAGE(", or ")));
        put_named(w, &w->named[i], depth);
        any = true;
    }
    return any;
}

static void put_place(const writer *w, const char *name, int depth)
{
    const snub_finding *f = w->finding;
    const snub_wording_info *info = f != NULL ? snub_wording_describe(f->wording) : NULL;
    if (put_all_named(w, name, depth))
        return;
    if (f == NULL)
        snub_text_printf(w->out, "{%s}", name); /* a test finds these */
    else if (strcmp(name, "pulley") == 0)
        snub_text_puts(w->out, f->pulley != NULL ? f->pulley : "");
    else if (strcmp(name, "other") == 0)
        snub_text_puts(w->out, snub_bolt_name(f->other != NULL ? f->other : "", w->locale));
    else if (strcmp(name, "second") == 0)
        snub_text_puts(w->out, snub_bolt_name(f->second != NULL ? f->second : "", w->locale));
    else if (strcmp(name, "value") == 0)
        put_number(w, f->value, info->unit, info->decimals + w->more, SNUB_ROUND_NEAREST);
    else if (strcmp(name, "limit") == 0)
        put_number(w, f->limit, info->unit, info->decimals + w->more, SNUB_ROUND_NEAREST);
    else if (strcmp(name, "when") == 0)
        snub_condition_words(&f->at, w->locale, w->out);
    else
        snub_text_printf(w->out, "{%s}", name);
}

static void fill(const writer *w, const char *words, int depth)
{
    while (*words != '\0' && depth <= DEPTH_MOST) {
        const char *open = strchr(words, '{'), *close = open != NULL ? strchr(open, '}') : NULL;
        if (close == NULL || close - open > PLACE_MOST) {
            snub_text_puts(w->out, words);
            return;
        }
        char name[PLACE_MOST + 1] = "";
        memcpy(name, open + 1, (size_t)(close - open - 1));
        snub_text_add(w->out, words, (size_t)(open - words));
        put_place(w, name, depth);
        words = close + 1;
    }
}

snub_named snub_named_number(const char *place, double si, snub_unit unit, int decimals)
{
    return (snub_named){.name = place, .number = si, .unit = unit, .decimals = decimals};
}

snub_named snub_named_text(const char *place, const char *text)
{
    return (snub_named){.name = place, .text = text != NULL ? text : ""};
}

snub_named snub_named_words(const char *place, const char *english)
{
    return (snub_named){.name = place, .text = english, .words = true};
}

void snub_words_fill(const char *english, const snub_named *named, int count, const snub_locale *locale, snub_text *out)
{
    const writer w = {NULL, named, count, locale, out, 0};
    fill(&w, snub_say(locale, english), 0);
}

void snub_words_paragraph(const snub_look *look, const char *english, const snub_named *named, int count,
                          snub_text *out)
{
    snub_text words = {0};
    snub_words_fill(english, named, count, look->locale, &words);
    snub_text_puts(out, "\n");
    if (!words.failed)
        snub_wrap(words.data, 0, 0, look->width, out);
    out->failed = out->failed || words.failed;
    snub_text_free(&words);
}

void snub_names_words(const char *const *names, int count, const snub_locale *locale, snub_text *out)
{
    for (int k = 0; k < count; k++) {
        if (k > 0 && k == count - 1)
            snub_text_printf(out, " %s ", snub_say(locale, SNUB_MESSAGE("and")));
        else if (k > 0)
            snub_text_puts(out, ", ");
        snub_text_puts(out, names[k]);
    }
}

void snub_words_wrapped(snub_text *words, int indent, const snub_look *look, snub_text *out)
{
    if (words->length > 0) {
        for (int i = 0; i < indent; i++)
            snub_text_puts(out, " ");
        snub_wrap(words->data, indent, indent + 2, look->width, out);
    }
    out->failed = out->failed || words->failed;
    snub_text_free(words);
}

/* ---- what others ask for ----------------------------------------------------------------------------------------- */

/* ", compressor at its torque peak" */
static void add_peak(const char *pulley, const snub_locale *locale, snub_text *out)
{
    const snub_named named[] = {snub_named_text("pulley", pulley)};
    snub_text_puts(out, ", ");
    snub_words_fill(pulley[0] != '\0' ? SNUB_MESSAGE("{pulley} at its torque peak")
                                      : SNUB_MESSAGE("all loads at their torque peaks"),
                    named, 1, locale, out);
}

void snub_condition_words(const snub_condition *at, const snub_locale *locale, snub_text *out)
{
    if (at->moment == SNUB_RUNNING) {
        snub_text_puts(out, snub_say(locale, SNUB_MESSAGE("at")));
        snub_text_puts(out, " ");
        snub_value_text(locale, at->speed, SNUB_UNIT_RPM, 0, out);
        snub_text_printf(out, ", %s", snub_say(locale, snub_way_text(at->way)));
    } else if (at->moment == SNUB_AT_REST) {
        snub_text_puts(out, snub_say(locale, SNUB_MESSAGE("with the engine stopped")));
    } else {
        snub_text_puts(out, snub_say(locale, snub_condition_text(at)));
    }
    if (at->corner != SNUB_NOMINAL && at->moment >= SNUB_AT_REST)
        snub_text_printf(out, ", %s", snub_say(locale, snub_corner_text(at->corner)));
    if (at->warmth != SNUB_ANY_WARMTH && at->moment >= SNUB_AT_REST)
        snub_text_printf(out, ", %s",
                         snub_say(locale, at->warmth == SNUB_COLD ? SNUB_MESSAGE("cold") : SNUB_MESSAGE("warm")));
    if (at->swings)
        snub_text_printf(out, ", %s", snub_say(locale, SNUB_MESSAGE("at the peak of the crank's swing")));
    if (at->peak != NULL)
        add_peak(at->peak, locale, out);
    if (at->side != 0)
        snub_text_printf(
            out, ", %s",
            snub_say(locale, at->side < 0 ? SNUB_MESSAGE("arm friction low") : SNUB_MESSAGE("arm friction high")));
}

void snub_finding_sentence(const snub_finding *finding, const snub_locale *locale, snub_text *out)
{
    const writer w = writer_of(finding, locale, out);
    fill(&w, snub_say(locale, snub_wording_describe(finding->wording)->words), 0);
    if (finding->range == NULL)
        return;
    const char *unit = finding->range->unit;
    const snub_named named[] = {snub_named_text("path", finding->range->path),
                                snub_named_text("end", finding->range->end[finding->end]),
                                snub_named_text("unit", unit), snub_named_text("blank", unit[0] != '\0' ? " " : "")};
    snub_words_fill(SNUB_MESSAGE(" This is with {path} at {end}{blank}{unit}."), named, 4, locale, out);
}

void snub_finding_other(const snub_finding *finding, const snub_locale *locale, snub_text *out)
{
    const char *other = finding->other != NULL ? finding->other : "", *second = finding->second;
    switch (finding->kind) {
    case SNUB_OTHER_SPAN:
        snub_text_printf(out, "%s %s - %s", snub_say(locale, SNUB_MESSAGE("span")), other, second);
        break;
    case SNUB_OTHER_BOLT: snub_text_printf(out, "%s, %s", other, snub_bolt_name(second, locale)); break;
    case SNUB_OTHER_WORDS: snub_text_puts(out, snub_say(locale, other)); break;
    default:
        snub_text_printf(out, "%s%s%s", snub_bolt_name(other, locale), second != NULL ? " - " : "",
                         second != NULL ? second : "");
    }
}

void snub_finding_basis(const snub_finding *finding, const snub_locale *locale, snub_text *out)
{
    const snub_wording_info *info = snub_wording_describe(finding->wording);
    if (finding->limit_line > 0)
        snub_text_printf(out, "%s %d", snub_say(locale, SNUB_MESSAGE("the drive file, line")), finding->limit_line);
    else if (finding->limit_line == SNUB_LAID_OVER)
        snub_text_puts(out, snub_say(locale, SNUB_MESSAGE("changed for this build")));
    else if (info->basis != NULL)
        snub_text_puts(out, snub_say(locale, info->basis));
    else
        snub_text_puts(out, snub_say(locale, finding->limit_source != NULL
                                                 ? finding->limit_source
                                                 : snub_limit_describe((snub_limit)info->limit)->source));
}

void snub_finding_numbers(const snub_finding *finding, const snub_locale *locale, snub_text *out)
{
    const snub_wording_info *info = snub_wording_describe(finding->wording);
    const writer w = writer_of(finding, locale, out);
    if (isnan(finding->value))
        return;
    put_number(&w, finding->value, info->unit, info->decimals + w.more, SNUB_ROUND_NEAREST);
    if (!isfinite(finding->limit))
        return;
    snub_text_printf(out, ", %s ", snub_say(locale, SNUB_MESSAGE("limit")));
    put_number(&w, finding->limit, info->unit, info->decimals + w.more, SNUB_ROUND_NEAREST);
}

const char *snub_finding_rule(const snub_finding *finding)
{
    return snub_rule_describe(snub_wording_describe(finding->wording)->rule)->id;
}

snub_area snub_finding_area(const snub_finding *finding)
{
    return snub_rule_describe(snub_wording_describe(finding->wording)->rule)->area;
}

char *snub_words_copy(snub_text *text, snub_arena *arena)
{
    char *copy = text->failed ? NULL : snub_copy_text(arena, text->data != NULL ? text->data : "");
    snub_text_free(text);
    return copy;
}
