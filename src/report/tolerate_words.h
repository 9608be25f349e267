/* Names and units of the numbers of a kit; private to the room. */
#ifndef SNUB_TOLERATE_WORDS_H
#define SNUB_TOLERATE_WORDS_H

#include "snub/tolerate_report.h"

typedef struct snub_followed_shown {
    const char *words, *key;
    snub_unit unit;
    int decimals;
} snub_followed_shown;
const snub_followed_shown *snub_followed_describe(snub_followed followed);

/** The builds themselves, count of them, in the arena; NULL: memory is out. */
const snub_build *const *snub_tolerated_builds(const snub_tolerate_builds *of, snub_arena *arena);
/** Options of a command that make a kit from the file: --variant, --package, then --set of each value, each with a
 * blank before it. @return false: memory is out */
bool snub_kit_options(const snub_tolerated *of, const snub_kit_value *values, int count, snub_arena *arena,
                      snub_text *out);
/** The same for a build of the chart: --build with its code, and --set as the caller has it. */
void snub_build_option(const snub_row *row, snub_arena *arena, snub_text *out);
/** "deg", as the look shows the number; "": it has none. */
const char *snub_followed_unit(snub_followed followed, const snub_locale *locale);
/** Width for printf so that a text takes so many columns: a minus is one column and three bytes. */
int snub_printf_width(const char *text, int columns);
/** "7.52 to 16.30", in that unit; "not known" where an end is missing. */
const char *snub_followed_range(snub_followed followed, double low, double high, const snub_locale *locale,
                                char text[80]);

/** Of the rules that are not shown yet the one that fails most kits; the list's order among equals. -1: none */
int snub_next_rule(const snub_tolerated *of, const bool *shown);
/** The number with the least Cpk. @param[out] cpk  NAN: none has limits and scatters. @return false: memory is out */
bool snub_nearest_limit(const snub_tolerated *of, snub_followed *nearest, double *cpk);
/** How each number that has limits fits between them: Cp, Cpk, and the kits beyond. @return false: memory is out */
bool snub_text_capability(const snub_tolerated *of, const snub_look *look, snub_text *out);
/** `capability` of `snub tolerate --json`. */
struct json_t *snub_json_capability(const snub_tolerated *of);
/** RSS and worst case beside the kits, a table, and which worst-case kits fail. @return false: memory is out */
bool snub_text_worst_cases(const snub_tolerated *of, const snub_worst_cases *worst, const snub_look *look,
                           snub_text *out);
/** `worst_case` of `snub tolerate --json`. @param[in] worst  NULL: null */
struct json_t *snub_json_worst_cases(const snub_tolerated *of, const snub_worst_cases *worst, snub_arena *arena);

/** What contributes to each number, greatest first. @return false: memory is out */
bool snub_text_contributions(const snub_contributions *of, const snub_look *look, snub_arena *arena, snub_text *out);
/** `contributions` and what they are of into an object. */
struct json_t;
void snub_json_contributions(struct json_t *into, const snub_contributions *of);

/** `distributions` of `snub tolerate --json`: one for each number that a kit has. */
struct json_t *snub_json_kit_histograms(const snub_tolerated *of);

#endif
