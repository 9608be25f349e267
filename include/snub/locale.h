/** snub/locale.h - the reader's language, decimal mark and units; message catalogues. Room: base. */
#ifndef SNUB_LOCALE_H
#define SNUB_LOCALE_H

#include "snub/base.h"

/** How words and numbers are written for a reader. A zeroed one is English with a decimal point, metric. */
typedef struct snub_locale {
    const char *(*say)(void *context, const char *english); /**< NULL: English as it is */
    void *context;
    char decimal; /**< '.' or ','; 0 is '.' */
    bool inches;  /**< inch units first */
    bool both;    /**< lengths, torques and pressures in both, the other in brackets (sheets) */
} snub_locale;

/** Marks a text for the message catalogue where it is translated later. */
#define SNUB_MESSAGE(text) text

/** The translation of a text, or the text itself; never NULL. */
const char *snub_say(const snub_locale *locale, const char *english);
/** A number with `decimals` places (0..9) and the locale's decimal mark; a dash where it is not finite. -0 is 0. */
const char *snub_number_text(const snub_locale *locale, double value, int decimals, char text[32]);
/** An SI value with its unit, metric or inch as the locale wants: "31.5 mm", "1.240 in", "31.5 mm (1.240 in)".
 *  @param[in] decimals  of the metric value; an inch value gets as many more as its unit needs */
void snub_value_text(const snub_locale *locale, double si, snub_unit unit, int decimals, snub_text *out);
enum { SNUB_VALUE_TEXT = 96 };
/** The same as a string, for a sentence that is printed: cut where it would not fit.
 *  @param[out] text  the caller's
 *  @return text */
const char *snub_value_string(const snub_locale *locale, double si, snub_unit unit, int decimals,
                              char text[SNUB_VALUE_TEXT]);
/** The same, rounded to a side in each unit that is shown. */
void snub_value_text_rounded(const snub_locale *locale, double si, snub_unit unit, int decimals, snub_rounding rounding,
                             snub_text *out);
/** The SI value that this shows first. */
double snub_value_rounded(const snub_locale *locale, double si, snub_unit unit, int decimals, snub_rounding rounding);

/** A number as a reader wants it: in which unit, with how many decimals. */
typedef struct snub_shown {
    double value;
    const char *unit;
    int decimals; /**< negative: shortest form */
} snub_shown;
/** A number in a metric unit, as the locale shows it: {25.4, "mm", 1} becomes {1, "in", 3} where inches are wanted.
 *  What has no inch form stays as it is.
 *  @param[in] locale  NULL: metric
 *  @param[in] unit    as snub_unit_describe has it ("mm"), or any other text; NULL is "" */
snub_shown snub_number_shown(const snub_locale *locale, double value, const char *unit, int decimals);

/** A message catalogue as gettext's msgfmt compiles it (.mo). Points into the bytes it was read from. */
typedef struct snub_messages {
    const unsigned char *data;
    size_t length;
    bool swapped; /**< of the other byte order */
    uint32_t count, originals, translations;
} snub_messages;

/** Take a .mo file's bytes, which must live as long as `messages`. Every offset is checked once, here.
 *  @return SNUB_OK; SNUB_BAD_INPUT: no such catalogue, or one that is cut off */
snub_status snub_messages_read(const char *data, size_t length, snub_messages *messages, snub_error *error);
/** What a catalogue says of its language. */
typedef struct snub_language {
    char name[48]; /**< in the language itself, "Deutsch": X-Language-Name of the head; "" where it is not there */
    char decimal;  /**< ',' where X-Decimal-Mark is "comma", else '.' */
} snub_language;
snub_language snub_messages_language(const snub_messages *messages);
/** A locale that speaks these messages, with their language's decimal mark, metric. They must live as long.
 *  @param[in] messages  of none: English */
snub_locale snub_messages_locale(snub_messages *messages);

#endif
