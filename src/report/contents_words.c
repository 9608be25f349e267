/* The parts and tools of a build in words. */
#include "contents_words.h"
#include "words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/** Diameters that differ by less are one, m. */
#define SAME_SIZE 1e-6

/* ---- parts ------------------------------------------------------------------------------------------------------- */

static const char *const kinds[SNUB_ITEM_KINDS] = {[SNUB_ITEM_BELT] = SNUB_MESSAGE("belt {name}"),
                                                   [SNUB_ITEM_PULLEY] = SNUB_MESSAGE("pulley {name}"),
                                                   [SNUB_ITEM_TENSIONER] = SNUB_MESSAGE("tensioner {name}"),
                                                   [SNUB_ITEM_BLOWER] = SNUB_MESSAGE("blower on {name}"),
                                                   [SNUB_ITEM_BRACKET] = SNUB_MESSAGE("bracket {name}"),
                                                   [SNUB_ITEM_STANDOFF] = SNUB_MESSAGE("standoff {name}"),
                                                   [SNUB_ITEM_SPACER] = SNUB_MESSAGE("spacer {name}"),
                                                   [SNUB_ITEM_BEARING] = SNUB_MESSAGE("bearing {name}"),
                                                   [SNUB_ITEM_BOLT] = SNUB_MESSAGE("bolt {name}"),
                                                   [SNUB_ITEM_WASHER] = SNUB_MESSAGE("washer {name}"),
                                                   [SNUB_ITEM_SHIM] = SNUB_MESSAGE("shim {name}"),
                                                   [SNUB_ITEM_BESIDE] = "{name}",
                                                   [SNUB_ITEM_OTHER] = "{name}"};

void snub_item_words(const snub_item *item, const snub_locale *locale, snub_text *out)
{
    /* a tensioner that is called so, a blower on the pulley of that name: said once */
    const bool said = strcmp(item->name, snub_item_kind_text(item->kind)) == 0;
    const snub_named name = snub_named_text("name", item->name);
    if (said) {
        snub_text_puts(out, item->name);
        return;
    }
    const size_t before = out->length;
    snub_words_fill(kinds[item->kind], &name, 1, locale, out);
    while (out->length > before && out->data[out->length - 1] == ' ') /* of a kind without a name */
        out->data[--out->length] = '\0';
}

const char *snub_supply_heading(snub_supply_how how)
{
    static const char *const words[SNUB_SUPPLIES_] = {
        SNUB_MESSAGE("In the box: new parts"), SNUB_MESSAGE("On the engine already: these stay"),
        SNUB_MESSAGE("Rework on parts of the engine"), SNUB_MESSAGE("Comes off and is not fitted again")};
    return words[how];
}

static const char *seal_words(const char *seal)
{
    static const struct seal {
        const char *name, *words;
    } seals[] = {{"open", SNUB_MESSAGE("open, no seals")},
                 {"shield", SNUB_MESSAGE("shields")},
                 {"low-contact", SNUB_MESSAGE("low-contact seals")},
                 {"contact", SNUB_MESSAGE("contact seals")}};
    for (size_t i = 0; seal != NULL && i < sizeof seals / sizeof seals[0]; i++) {
        if (strcmp(seals[i].name, seal) == 0)
            return seals[i].words;
    }
    return SNUB_MESSAGE("seal not given");
}

/* Number, seal, rows and clearance: what a counter needs, in no maker's letters. */
static void bearing(const snub_item *item, const snub_locale *locale, snub_text *out)
{
    const snub_named named[] = {snub_named_number("d", item->inside / SNUB_MM, SNUB_UNIT_NONE, 0),
                                snub_named_number("D", item->diameter / SNUB_MM, SNUB_UNIT_NONE, 0),
                                snub_named_number("B", item->length / SNUB_MM, SNUB_UNIT_NONE, 0),
                                snub_named_words("seal", seal_words(item->seal)),
                                snub_named_text("clearance", item->clearance)};
    snub_words_fill(item->rows > 1 ? SNUB_MESSAGE("{d} x {D} x {B} mm, {seal}, clearance {clearance}, two rows")
                                   : SNUB_MESSAGE("{d} x {D} x {B} mm, {seal}, clearance {clearance}"),
                    named, 5, locale, out);
}

static void bolt(const snub_item *item, const snub_locale *locale, snub_text *out)
{
    const double length = item->length > 0.0 ? item->length : item->grip;
    const snub_named named[] = {snub_named_text("thread", item->thread),
                                snub_named_number("length", length, SNUB_UNIT_MM, 1)};
    snub_words_fill(item->length > 0.0 ? SNUB_MESSAGE("{thread}, {length} long")
                    : length > 0.0     ? SNUB_MESSAGE("{thread}, to clamp {length}; length not given")
                                       : SNUB_MESSAGE("{thread}, length not given"),
                    named, 2, locale, out);
}

static const char *tube_words(const snub_item *item)
{
    if (isnan(item->diameter))
        return SNUB_MESSAGE("{length} long");
    return item->inside > 0.0 ? SNUB_MESSAGE("{outside} outside, {inside} inside, {length} long")
                              : SNUB_MESSAGE("{outside} outside, {length} long");
}

/* Effective alone; with what it was measured over where that is another: calipers find no effective diameter. */
static void diameter(const snub_item *item, const snub_locale *locale, snub_text *out)
{
    const snub_named named[] = {snub_named_number("nominal", item->nominal, SNUB_UNIT_MM, 1),
                                snub_named_number("ball", SNUB_BALL_DIAMETER, SNUB_UNIT_MM, 1),
                                snub_named_number("size", item->diameter, SNUB_UNIT_MM, 1)};
    const double over = item->nominal - item->diameter;
    if (isnan(item->diameter))
        return;
    snub_words_fill(over < -SAME_SIZE  ? SNUB_MESSAGE("{nominal} over the tips, {size} effective")
                    : over > SAME_SIZE ? SNUB_MESSAGE("{nominal} over balls of {ball}, {size} effective")
                                       : "{size}",
                    named, 3, locale, out);
}

void snub_item_size_words(const snub_item *item, const snub_locale *locale, snub_text *out)
{
    snub_text outside = {0};
    diameter(item, locale, &outside);
    const snub_named sizes[] = {
        snub_named_number("length", item->length, SNUB_UNIT_MM, item->kind == SNUB_ITEM_SHIM ? 2 : 1),
        snub_named_text("outside", outside.data), snub_named_number("inside", item->inside, SNUB_UNIT_MM, 1),
        snub_named_number("ribs", item->ribs, SNUB_UNIT_COUNT, 0)};
    const char *words = NULL;
    switch (item->kind) {
    case SNUB_ITEM_BELT: words = SNUB_MESSAGE("{ribs} ribs, effective length {length}"); break;
    case SNUB_ITEM_PULLEY:
    case SNUB_ITEM_TENSIONER:
        words = item->back       ? SNUB_MESSAGE("{outside}, plain, for the belt's back")
                : item->ribs > 0 ? SNUB_MESSAGE("{outside}, {ribs} ribs")
                                 : SNUB_MESSAGE("{outside}, ribbed");
        break;
    case SNUB_ITEM_STANDOFF: words = tube_words(item); break;
    case SNUB_ITEM_WASHER: words = SNUB_MESSAGE("{outside} outside, {length} thick, hardened"); break;
    case SNUB_ITEM_BEARING: bearing(item, locale, out); break;
    case SNUB_ITEM_BOLT: bolt(item, locale, out); break;
    case SNUB_ITEM_BRACKET:
    case SNUB_ITEM_SHIM: words = item->length > 0.0 ? SNUB_MESSAGE("{length} thick") : NULL; break;
    case SNUB_ITEM_SPACER: words = SNUB_MESSAGE("{length} long"); break;
    default: break;
    }
    if (words != NULL)
        snub_words_fill(words, sizes, 4, locale, out);
    out->failed = out->failed || outside.failed;
    snub_text_free(&outside);
}

const char *snub_item_class(const snub_item *item)
{
    return item->class_ != NULL ? item->class_ : item->material != NULL ? item->material : "";
}

static void one_place(const snub_item_place *place, const snub_locale *locale, snub_text *out)
{
    const char *name = place->name[0] != '\0' ? snub_bolt_name(place->name, locale) : place->owner;
    snub_text_puts(out, name);
    if (place->count > 1)
        snub_text_printf(out, " (%d)", place->count);
}

void snub_item_place_words(const snub_item *item, const snub_locale *locale, snub_text *out)
{
    const char *owner = "";
    const bool said = item->place_count == 1 && item->places[0].owner[0] == '\0' &&
                      (item->places[0].name[0] == '\0' || strcmp(item->places[0].name, item->name) == 0);
    for (int i = 0; i < item->place_count && !said; i++) {
        const snub_item_place *place = &item->places[i];
        const bool again = i > 0 && place->name[0] != '\0' && strcmp(owner, place->owner) == 0;
        snub_text_puts(out, i == 0 ? "" : again ? ", " : "; ");
        if (!again && place->owner[0] != '\0' && place->name[0] != '\0')
            snub_text_printf(out, "%s: ", place->owner);
        one_place(place, locale, out);
        owner = place->owner;
    }
    if (item->note != NULL)
        snub_text_printf(out, "%s%s", said ? "" : ". ", item->note);
}

void snub_assumed_words(const snub_contents *contents, const snub_locale *locale, snub_text *out)
{
    for (int i = 0; i < contents->count; i++) {
        const snub_item *item = &contents->items[i];
        /* what hangs on them follows them */
        if (!item->assumed ||
            (item->kind != SNUB_ITEM_PULLEY && item->kind != SNUB_ITEM_TENSIONER && item->kind != SNUB_ITEM_BRACKET))
            continue;
        snub_text_puts(out, out->length > 0 ? ", " : "");
        snub_item_words(item, locale, out);
    }
}

/* ---- tools ------------------------------------------------------------------------------------------------------- */

const char *snub_tool_words(const snub_tool *tool)
{
    static const char *const words[SNUB_TOOL_KINDS] = {SNUB_MESSAGE("spanner or socket, hexagon head"),
                                                       SNUB_MESSAGE("hex key, where the screws have a socket head"),
                                                       SNUB_MESSAGE("torque wrench"),
                                                       SNUB_MESSAGE("drill"),
                                                       SNUB_MESSAGE("reamer"),
                                                       SNUB_MESSAGE("tap"),
                                                       SNUB_MESSAGE("engine oil on the threads"),
                                                       SNUB_MESSAGE("anti-seize paste on the threads")};
    return words[tool->kind];
}

/* Spanners of inch threads are called by fractions. */
static void fraction(double inches, snub_text *out)
{
    int over = (int)lround(inches * 32.0), under = 32;
    while (over % 2 == 0 && under > 1) {
        over /= 2;
        under /= 2;
    }
    if (over > under && under > 1)
        snub_text_printf(out, "%d ", over / under);
    if (under == 1)
        snub_text_printf(out, "%d in", over);
    else
        snub_text_printf(out, "%d/%d in", over % under, under);
}

void snub_tool_size_words(const snub_tool *tool, const snub_locale *locale, snub_text *out)
{
    const bool called = tool->kind == SNUB_TOOL_SPANNER || tool->kind == SNUB_TOOL_HEX_KEY; /* by their own size */
    if (tool->kind == SNUB_TOOL_TORQUE_WRENCH) {
        const snub_named named[] = {snub_named_number("low", tool->low, SNUB_UNIT_N_M, tool->low < 10.0 ? 1 : 0),
                                    snub_named_number("high", tool->high, SNUB_UNIT_N_M, tool->high < 10.0 ? 1 : 0)};
        snub_words_fill(tool->low < tool->high ? SNUB_MESSAGE("reads {low} to {high}") : SNUB_MESSAGE("reads {high}"),
                        named, 2, locale, out);
    } else if (tool->kind == SNUB_TOOL_TAP)
        snub_text_puts(out, tool->thread_count > 0 ? tool->threads[0] : "");
    else if (isnan(tool->size))
        return;
    else if (called && tool->inch)
        fraction(tool->size / SNUB_INCH, out);
    else if (called)
        snub_text_printf(out, "%.0f mm", tool->size / SNUB_MM);
    else
        snub_value_text(locale, tool->size, SNUB_UNIT_MM, 1, out);
}

void snub_tool_use_words(const snub_tool *tool, const snub_locale *locale, snub_text *out)
{
    char number[16];
    snprintf(number, sizeof number, "%d", tool->bolts);
    const snub_named bolts = snub_named_text("bolts", number);
    for (int i = 0; i < tool->thread_count && tool->kind != SNUB_TOOL_TAP; i++)
        snub_text_printf(out, "%s%s", i > 0 ? ", " : "", tool->threads[i]);
    if (tool->bolts == 0)
        return;
    snub_text_puts(out, out->length > 0 ? "; " : "");
    snub_words_fill(tool->bolts == 1 ? SNUB_MESSAGE("{bolts} bolt") : SNUB_MESSAGE("{bolts} bolts"), &bolts, 1, locale,
                    out);
}
