/* Options of the drive file in words, for paper: who reads a chart does not write the file. */
#include <stdio.h>
#include <string.h>

#include "words.h"

/* Keys that a kit offers values of. Any other stands as it is written. */
static const struct key {
    const char *key, *words;
} keys[] = {{"accel_rate", SNUB_MESSAGE("acceleration")},
            {"at", SNUB_MESSAGE("position")},
            {"bearing", SNUB_MESSAGE("bearing")},
            {"bolt", SNUB_MESSAGE("bolt")},
            {"compression", SNUB_MESSAGE("compression")},
            {"condition", SNUB_MESSAGE("finish")},
            {"diameter", SNUB_MESSAGE("diameter")},
            {"displacement", SNUB_MESSAGE("displacement")},
            {"effectiveness", SNUB_MESSAGE("effectiveness")},
            {"fixed_tension", SNUB_MESSAGE("fixed tension")},
            {"free", SNUB_MESSAGE("free position")},
            {"inertia", SNUB_MESSAGE("inertia")},
            {"internal_ratio", SNUB_MESSAGE("internal ratio")},
            {"kind", SNUB_MESSAGE("kind")},
            {"length", SNUB_MESSAGE("length")},
            {"map", SNUB_MESSAGE("map")},
            {"material", SNUB_MESSAGE("material")},
            {"part", SNUB_MESSAGE("part")},
            {"plane", SNUB_MESSAGE("plane")},
            {"preload", SNUB_MESSAGE("preload")},
            {"rate", SNUB_MESSAGE("rate")},
            {"ratio", SNUB_MESSAGE("ratio")},
            {"redline", SNUB_MESSAGE("redline")},
            {"ribs", SNUB_MESSAGE("ribs")},
            {"section", SNUB_MESSAGE("section")},
            {"setting", SNUB_MESSAGE("setting")},
            {"standoff", SNUB_MESSAGE("standoff")},
            {"swept", SNUB_MESSAGE("displacement of a turn")},
            {"thickness", SNUB_MESSAGE("thickness")},
            {"thread", SNUB_MESSAGE("thread")},
            {"torque", SNUB_MESSAGE("torque")},
            {"travel", SNUB_MESSAGE("travel")},
            {"width", SNUB_MESSAGE("width")}};

/* Parts of a drive that are no pulley's name. */
static const struct key sections[] = {{"air", SNUB_MESSAGE("air")},
                                      {"belt", SNUB_MESSAGE("belt")},
                                      {"cooler", SNUB_MESSAGE("charge cooler")},
                                      {"engine", SNUB_MESSAGE("engine")}};

static const char *words_of(const struct key *list, size_t count, const char *key)
{
    for (size_t i = 0; i < count; i++) {
        if (strcmp(list[i].key, key) == 0)
            return list[i].words;
    }
    return NULL;
}

#define WORDS_OF(list, key) words_of(list, sizeof list / sizeof list[0], key)

static bool on_paper(const snub_locale *locale)
{
    return locale != NULL && locale->both;
}

/* "wrap idler.slot" reads as "wrap idler slot". */
static void spaced(const char *path, size_t length, snub_text *out)
{
    for (size_t i = 0; i < length; i++)
        snub_text_add(out, path[i] == '.' || path[i] == '_' ? " " : &path[i], 1);
}

void snub_path_words(const char *path, const snub_locale *locale, snub_text *out)
{
    const char *dot = strrchr(path, '.'), *key = dot != NULL ? dot + 1 : path;
    snub_text of = {0}, what = {0};
    if (!on_paper(locale)) {
        snub_text_puts(out, path);
        return;
    }
    spaced(path, dot != NULL ? (size_t)(dot - path) : 0, &of);
    spaced(key, strlen(key), &what);
    const char *section = WORDS_OF(sections, of.data != NULL ? of.data : ""), *known = WORDS_OF(keys, key);
    const snub_named named[] = {section != NULL ? snub_named_words("of", section) : snub_named_text("of", of.data),
                                known != NULL ? snub_named_words("what", known) : snub_named_text("what", what.data)};
    snub_words_fill(of.length > 0 ? SNUB_MESSAGE("{of} {what}") : "{what}", named, 2, locale, out);
    out->failed = out->failed || of.failed || what.failed;
    snub_text_free(&of);
    snub_text_free(&what);
}

/* A number and what stands behind it: "3.15 in", not "10.9.2", "M8x1.25". */
static bool is_number(const char *text)
{
    text += *text == '-' || *text == '+';
    const size_t whole = strspn(text, "0123456789");
    const size_t part = text[whole] == '.' ? strspn(text + whole + 1, "0123456789") : 0;
    return whole > 0 && part > 0 && strchr(text + whole + 1, '.') == NULL;
}

void snub_written_words(const char *value, const snub_locale *locale, snub_text *out)
{
    const bool comma = on_paper(locale) && locale->decimal == ',' && is_number(value);
    for (const char *c = value; *c != '\0'; c++)
        snub_text_add(out, comma && *c == '.' ? "," : c, 1);
}
