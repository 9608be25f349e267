/* `snub log` for people, in the reader's language. */
#include <math.h>
#include <string.h>

#include "log_words.h"
#include "words.h"

enum { SLIPS_SHOWN = 20, PULLS_SHOWN = 20 };

static void add_columns(const snub_log_rows *rows, const snub_look *look, snub_text *out)
{
    snub_text words = {0};
    snub_text_printf(&words, "%s: ", snub_say(look->locale, SNUB_MESSAGE("columns")));
    bool any = false;
    for (int c = 0; c < SNUB_LOG_CHANNELS; c++) {
        const snub_log_column *column = &rows->column[c];
        if (column->number == 0)
            continue;
        snub_text_printf(&words, "%s%s ", any ? ", " : "", snub_log_words[c]);
        if (rows->header > 0) {
            snub_text_puts(&words, "\"");
            snub_text_safe(&words, column->name, strlen(column->name));
            snub_text_puts(&words, "\"");
        } else {
            snub_text_printf(&words, "%d", column->number);
        }
        if (c != SNUB_LOG_THROTTLE && !column->clock) {
            snub_text_puts(&words, " [");
            snub_text_safe(&words, column->unit, strlen(column->unit));
            snub_text_printf(&words, "%s]", column->assumed ? snub_say(look->locale, SNUB_MESSAGE(", assumed")) : "");
        }
        any = true;
    }
    snub_words_wrapped(&words, 0, look, out);
}

static void add_pulls(const snub_log_answer *answer, bool changes, const snub_look *look, snub_text *out)
{
    const int count = changes ? answer->change_count : answer->pull_count;
    const long all = count + (changes ? answer->more_changes : answer->more_pulls);
    const snub_log_pull *items = changes ? answer->changes : answer->pulls;
    snub_text words = {0};
    if (count == 0)
        return;
    const snub_named number[] = {snub_named_number("count", (double)all, SNUB_UNIT_COUNT, 0)};
    snub_words_fill(changes ? SNUB_MESSAGE("Gear changes ({count}):") : SNUB_MESSAGE("Pulls ({count}):"), number, 1,
                    look->locale, &words);
    for (int i = 0; i < count && i < PULLS_SHOWN; i++) {
        const snub_named named[] = {snub_named_number("start", items[i].start, SNUB_UNIT_NONE, 2),
                                    snub_named_number("end", items[i].end, SNUB_UNIT_NONE, 2),
                                    snub_named_number("from", items[i].engine[0], SNUB_UNIT_RPM, 0),
                                    snub_named_number("to", items[i].engine[1], SNUB_UNIT_RPM, 0)};
        snub_text_puts(&words, i > 0 ? ", " : " ");
        snub_words_fill(changes ? SNUB_MESSAGE("{start} s from {from} to {to}")
                                : SNUB_MESSAGE("{start} s to {end} s from {from} to {to}"),
                        named, 4, look->locale, &words);
    }
    snub_text_puts(&words, all > PULLS_SHOWN ? ", ..." : ".");
    snub_words_wrapped(&words, 0, look, out);
}

static void add_slips(const snub_log_answer *answer, const snub_look *look, snub_text *out)
{
    const long all = answer->slip_count + answer->more_slips;
    snub_text words = {0};
    const snub_named named[] = {
        snub_named_number("count", (double)all, SNUB_UNIT_COUNT, 0),
        snub_named_number("more", (double)(all - SLIPS_SHOWN), SNUB_UNIT_COUNT, 0),
        snub_named_number("least", answer->calibration.least, SNUB_UNIT_PERCENT, 1),
        snub_named_number("window", answer->calibration.window, SNUB_UNIT_NONE, 2),
    };
    snub_text_puts(out, "\n");
    snub_words_fill(
        all == 0 ? SNUB_MESSAGE("No slip of {least} or more for {window} s or longer in this log; less does not show.")
                 : SNUB_MESSAGE("Slips ({count}):"),
        named, 4, look->locale, &words);
    snub_words_wrapped(&words, 0, look, out);
    for (int i = 0; i < answer->slip_count && i < SLIPS_SHOWN; i++) {
        snub_log_slip_words(answer, &answer->slips[i], look->locale, &words);
        snub_words_wrapped(&words, 2, look, out);
    }
    if (all > SLIPS_SHOWN) {
        snub_words_fill(SNUB_MESSAGE("And {more} more: --json and --csv have them."), named, 4, look->locale, &words);
        snub_words_wrapped(&words, 2, look, out);
    }
}

snub_status snub_text_log(const snub_log_answer *answer, const snub_look *look, snub_text *out, snub_error *error)
{
    static void (*const parts[])(const snub_log_answer *, const snub_locale *,
                                 snub_text *) = {snub_log_rows_words, snub_log_ratio_words, snub_log_noise_words};
    const snub_build *build = answer->model->build;
    snub_text words = {0};
    snub_log_build_words(build, look, out);
    add_columns(answer->rows, look, out);
    for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++) {
        parts[i](answer, look->locale, &words);
        snub_words_wrapped(&words, 0, look, out);
    }
    add_pulls(answer, false, look, out);
    add_pulls(answer, true, look, out);
    add_slips(answer, look, out);
    snub_text_puts(out, "\n");
    snub_log_doubt_words(answer, look->locale, &words);
    snub_words_wrapped(&words, 0, look, out);
    snub_text_printf(out, "%s %s\n", snub_say(look->locale, SNUB_MESSAGE("verdict")),
                     snub_say(look->locale, snub_level_text(answer->level)));
    return out->failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory") : SNUB_OK;
}
