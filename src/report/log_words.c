/* What a log says, in sentences. */
#include "log_words.h"

#include <math.h>
#include <string.h>

#include "words.h"

#define COUNT_OF(list) ((int)(sizeof(list) / sizeof((list)[0])))

const char *snub_log_doubt_id(int bit)
{
    static const char *const ids[] = {"ratio", "noise", "drift", "bad_rows", "runs_on", "air"};
    return bit < COUNT_OF(ids) ? ids[bit] : NULL;
}

const char *snub_log_says_id(snub_log_says says)
{
    static const char *const ids[] = {"holds", "over_design", "slips", "no_balance"};
    return ids[says];
}

const char *snub_log_alike_id(snub_log_alike alike)
{
    static const char *const ids[] = {NULL, "told_apart", "leak_or_filter"};
    return ids[alike];
}

const char *snub_log_fit_id(snub_log_fit fit)
{
    static const char *const ids[] = {"build", "offer", "step_up", "teeth", "nothing"};
    return ids[fit];
}

static void say(const char *english, const snub_named *named, int count, const snub_locale *locale, snub_text *out)
{
    if (out->length > 0)
        snub_text_puts(out, " ");
    snub_words_fill(english, named, count, locale, out);
}

static const char *says_words(const snub_log_slip *slip)
{
    static const char *const words[] = {
        [SNUB_LOG_SAYS_HOLDS] = SNUB_MESSAGE("By the file the belt holds there ({grip} of the limit friction used), so "
                                             "look for what the file does not know: oil or water, a worn or glazed "
                                             "belt, less tension than in the file."),
        [SNUB_LOG_SAYS_OVER_DESIGN] =
            SNUB_MESSAGE("By the file it is above the design grip there ({grip} of the limit friction used): little is "
                         "needed for it to slip."),
        [SNUB_LOG_SAYS_SLIPS] = SNUB_MESSAGE("By the file it slips there as well ({grip} of the limit friction used): "
                                             "`snub sweep` says what helps."),
        [SNUB_LOG_SAYS_NOTHING] = SNUB_MESSAGE("By the file the belt has no balance there: `snub check` says why.")};
    return words[slip->says];
}

/* How sure a slip is that boost tells, and what else it may be. */
static void boost_words(const snub_log_slip *slip, const snub_locale *locale, snub_text *out)
{
    const snub_named named[] = {snub_named_number("error", slip->error, SNUB_UNIT_PERCENT, 1),
                                snub_named_number("leak", slip->leak, SNUB_UNIT_MM, 0),
                                snub_named_number("filter", slip->filter, SNUB_UNIT_KPA, 1)};
    if (slip->alike == SNUB_LOG_ALIKE_NOTHING)
        return;
    say(SNUB_MESSAGE("By boost, with a standard deviation of {error}."), named, COUNT_OF(named), locale, out);
    if (slip->alike == SNUB_LOG_ALIKE_BRIEF)
        say(SNUB_MESSAGE(
                "The same engine speed was passed without it, so it is no clogged filter and no lasting leak. A "
                "bypass that opens looks the same."),
            NULL, 0, locale, out);
    else if (isfinite(slip->leak) && isfinite(slip->filter))
        say(SNUB_MESSAGE(
                "A leak or a clogged filter looks the same: a hole of {leak} behind the blower, or {filter} more "
                "loss before it. Check both, and the bypass, or log the blower's speed."),
            named, COUNT_OF(named), locale, out);
}

void snub_log_slip_words(const snub_log_answer *answer, const snub_log_slip *slip, const snub_locale *locale,
                         snub_text *out)
{
    const snub_drive *drive = answer->model->build->drive;
    const snub_named named[] = {
        snub_named_number("start", slip->start, SNUB_UNIT_NONE, 2),
        snub_named_number("end", slip->end, SNUB_UNIT_NONE, 2),
        snub_named_number("from", slip->engine[0], SNUB_UNIT_RPM, 0),
        snub_named_number("to", slip->engine[1], SNUB_UNIT_RPM, 0),
        snub_named_number("mean", slip->mean, SNUB_UNIT_PERCENT, 1),
        snub_named_number("worst", slip->worst, SNUB_UNIT_PERCENT, 1),
        snub_named_number("heat", slip->heat, SNUB_UNIT_NONE, 0),
        snub_named_words("way", snub_way_text(slip->way)),
        snub_named_text("pulley", drive->pulleys[slip->at_crank ? drive->crank : answer->model->blower].name),
        snub_named_number("grip", fmax(slip->crank_grip, slip->blower_grip), SNUB_UNIT_PERCENT, 0),
        snub_named_number("boost", slip->boost, SNUB_UNIT_KPA, 0),
        snub_named_number("model", slip->model_boost, SNUB_UNIT_KPA, 0),
        snub_named_number("charge", slip->charge, SNUB_UNIT_DEGC, 0),
        snub_named_number("model_charge", slip->model_charge, SNUB_UNIT_DEGC, 0)};
    say(slip->runs_on ? SNUB_MESSAGE("{start} s to {end} s, engine {from} to {to}, {way}: the blower runs on, {mean} "
                                     "faster than the belt on average, {worst} at worst.")
                      : SNUB_MESSAGE("{start} s to {end} s, engine {from} to {to}, {way}: slip {mean} on average, "
                                     "{worst} at worst."),
        named, COUNT_OF(named), locale, out);
    if (isfinite(slip->heat))
        say(SNUB_MESSAGE("{heat} J of heat. Likelier at {pulley}, which uses more of its grip."), named,
            COUNT_OF(named), locale, out);
    if (isfinite(slip->boost) && isfinite(slip->model_boost) && !slip->runs_on)
        say(SNUB_MESSAGE("Boost was {boost}; without slip the file has {model} at full throttle."), named,
            COUNT_OF(named), locale, out);
    if (isfinite(slip->charge) && isfinite(slip->model_charge))
        say(SNUB_MESSAGE("The air in the manifold had {charge}; the file has {model_charge} there at full throttle."),
            named, COUNT_OF(named), locale, out);
    boost_words(slip, locale, out);
    say(says_words(slip), named, COUNT_OF(named), locale, out);
}

/* Boost has no ratio: what is off may be the pulley or what the file knows of the engine. */
static void boost_base_words(const snub_log_calibration *c, const snub_locale *locale, snub_text *out)
{
    static const char *const words[] = {
        [SNUB_LOG_FITS_BUILD] =
            SNUB_MESSAGE("The blower's speed is taken from boost. Where nothing slips, it differs by "
                         "{off} from the file's."),
        [SNUB_LOG_FITS_OFFER] =
            SNUB_MESSAGE("The blower's speed is taken from boost. Where nothing slips, it differs by {off} from the "
                         "file's. The blower pulley {offer} of the file's options fits: is it on the engine?"),
        [SNUB_LOG_FITS_NOTHING] =
            SNUB_MESSAGE("The blower's speed is taken from boost. Where nothing slips, it differs by {off} from the "
                         "file's: compare pulley, displacement, volumetric efficiency, air and losses of the file with "
                         "the engine. A belt that slips all the time looks like this too.")};
    const snub_named named[] = {snub_named_number("off", c->offset, SNUB_UNIT_PERCENT, 1),
                                snub_named_text("offer", c->offer != NULL ? c->offer : "")};
    say(words[c->fit], named, COUNT_OF(named), locale, out);
    say(SNUB_MESSAGE("Slip is counted from there."), NULL, 0, locale, out);
}

static void ripple_words(const snub_log_ripple *r, const snub_locale *locale, snub_text *out)
{
    const snub_named named[] = {
        snub_named_number("pulses", r->pulses, SNUB_UNIT_NONE, r->pulses == rint(r->pulses) ? 0 : 2),
        snub_named_number("rate", r->rate, SNUB_UNIT_NONE, 0),
        snub_named_number("needed", r->rate_needed, SNUB_UNIT_NONE, 0),
        snub_named_number("fast", (double)r->fast, SNUB_UNIT_COUNT, 0),
        snub_named_number("engines", (double)r->engines, SNUB_UNIT_COUNT, 0),
        snub_named_number("weak", (double)r->weak, SNUB_UNIT_COUNT, 0),
        snub_named_number("windows", (double)r->windows, SNUB_UNIT_COUNT, 0)};
    say(SNUB_MESSAGE(
            "The blower's speed is taken from the ripple of boost, {pulses} pulses a turn of its pulley, {rate} "
            "rows a second."),
        named, COUNT_OF(named), locale, out);
    if (r->fast > 0)
        say(SNUB_MESSAGE(
                "Of {windows} stretches {fast} have pulses too fast for the log: up to redline {needed} rows a "
                "second are needed."),
            named, COUNT_OF(named), locale, out);
    if (r->engines > 0)
        say(SNUB_MESSAGE(
                "Of {windows} stretches {engines} tell nothing, where the pulses lie on an order of the engine's "
                "firing."),
            named, COUNT_OF(named), locale, out);
    if (r->weak > 0)
        say(SNUB_MESSAGE("Of {windows} stretches {weak} tell nothing, where no ripple stands out."), named,
            COUNT_OF(named), locale, out);
}

void snub_log_ratio_words(const snub_log_answer *answer, const snub_locale *locale, snub_text *out)
{
    static const char *const words[] = {
        [SNUB_LOG_FITS_BUILD] = SNUB_MESSAGE("Blower over engine where nothing slips: {ratio}; the file has {file}."),
        [SNUB_LOG_FITS_OFFER] =
            SNUB_MESSAGE("Blower over engine where nothing slips: {ratio}; the file has {file}, {off} off. The "
                         "blower pulley {offer} of the file's options fits: is it on the engine?"),
        [SNUB_LOG_FITS_STEP_UP] =
            SNUB_MESSAGE("Blower over engine where nothing slips: {ratio}; the file has {file}. The step-up lies "
                         "between them: the log has the rotor's speed, not the pulley's."),
        [SNUB_LOG_FITS_TEETH] =
            SNUB_MESSAGE("Blower over engine where nothing slips: {ratio}; the file has {file}. That is {read} to "
                         "{real}, as wrong pulses per turn of a sensor make it."),
        [SNUB_LOG_FITS_NOTHING] =
            SNUB_MESSAGE("Blower over engine where nothing slips: {ratio}; the file has {file}, {off} off, and no "
                         "pulley of its options comes near. Measure the pulleys and check the sensors' pulses per "
                         "turn; a belt that slips all the time looks like this too.")};
    const snub_log_calibration *c = &answer->calibration;
    const snub_named named[] = {snub_named_number("ratio", c->ratio, SNUB_UNIT_NONE, 4),
                                snub_named_number("file", answer->model->ratio, SNUB_UNIT_NONE, 4),
                                snub_named_number("off", c->offset, SNUB_UNIT_PERCENT, 1),
                                snub_named_text("offer", c->offer != NULL ? c->offer : ""),
                                snub_named_number("read", c->teeth[0], SNUB_UNIT_COUNT, 0),
                                snub_named_number("real", c->teeth[1], SNUB_UNIT_COUNT, 0)};
    if (c->source == SNUB_LOG_BY_BOOST) {
        boost_base_words(c, locale, out);
        return;
    }
    say(words[c->fit], named, COUNT_OF(named), locale, out);
    if (c->fit != SNUB_LOG_FITS_BUILD)
        say(SNUB_MESSAGE("Slip is counted from the log's own ratio."), NULL, 0, locale, out);
    if (c->source == SNUB_LOG_BY_RIPPLE)
        ripple_words(&c->ripple, locale, out);
}

static void boost_noise_words(const snub_log_calibration *c, const snub_locale *locale, snub_text *out)
{
    const snub_named named[] = {snub_named_number("noise", c->noise, SNUB_UNIT_PERCENT, 2),
                                snub_named_number("bias", c->bias, SNUB_UNIT_PERCENT, 1),
                                snub_named_number("rate", c->rate, SNUB_UNIT_NONE, c->rate < 20.0 ? 1 : 0),
                                snub_named_number("threshold", c->threshold, SNUB_UNIT_PERCENT, 1),
                                snub_named_number("least", c->least, SNUB_UNIT_PERCENT, 1),
                                snub_named_number("window", c->window, SNUB_UNIT_NONE, 2),
                                snub_named_number("from", c->usable[0], SNUB_UNIT_RPM, 0),
                                snub_named_number("to", c->usable[1], SNUB_UNIT_RPM, 0),
                                snub_named_number("shut", (double)c->shut, SNUB_UNIT_COUNT, 0),
                                snub_named_number("blunt", (double)c->blunt, SNUB_UNIT_COUNT, 0)};
    say(SNUB_MESSAGE(
            "{rate} boosts a second, engine {from} to {to}; as blower speed their noise is {noise}, and over the "
            "engine's speeds they stray from the file's by {bias}."),
        named, COUNT_OF(named), locale, out);
    say(SNUB_MESSAGE("Slip is reported from {threshold} over {window} s; the least that is found 99 times of 100 is "
                     "{least} for {window} s. Both are greater where boost depends less on the blower's speed."),
        named, COUNT_OF(named), locale, out);
    if (c->shut > 0)
        say(SNUB_MESSAGE("Left out, with the throttle not open for 0.3 s: {shut} boosts."), named, COUNT_OF(named),
            locale, out);
    if (c->blunt > 0)
        say(SNUB_MESSAGE("Left out, with a boost that tells no blower speed: {blunt} boosts."), named, COUNT_OF(named),
            locale, out);
}

void snub_log_noise_words(const snub_log_answer *answer, const snub_locale *locale, snub_text *out)
{
    const snub_log_calibration *c = &answer->calibration;
    const double ms = 1e-3;
    if (c->source == SNUB_LOG_BY_BOOST) {
        boost_noise_words(c, locale, out);
        return;
    }
    const snub_named named[] = {snub_named_number("lag", fabs(c->lag) / ms, SNUB_UNIT_NONE, 0),
                                snub_named_number("noise", c->noise, SNUB_UNIT_PERCENT, 2),
                                snub_named_number("rate", c->rate, SNUB_UNIT_NONE, c->rate < 20.0 ? 1 : 0),
                                snub_named_number("threshold", c->threshold, SNUB_UNIT_PERCENT, 1),
                                snub_named_number("least", c->least, SNUB_UNIT_PERCENT, 1),
                                snub_named_number("window", c->window, SNUB_UNIT_NONE, 2),
                                snub_named_number("drift", c->drift[1] - c->drift[0], SNUB_UNIT_PERCENT, 1)};
    say(SNUB_MESSAGE("{rate} blower speeds a second, noise {noise}. Slip is reported from {threshold} over {window} s; "
                     "the least that is found 99 times of 100 is {least} for {window} s."),
        named, COUNT_OF(named), locale, out);
    if (c->lag_taken)
        say(c->lag > 0.0 ? SNUB_MESSAGE("The blower's speed comes {lag} ms after the engine's: that lag is taken out.")
                         : SNUB_MESSAGE("The engine's speed comes {lag} ms after the blower's: that lag is taken out."),
            named, COUNT_OF(named), locale, out);
    if (answer->doubts & SNUB_LOG_DOUBT_DRIFT)
        say(SNUB_MESSAGE("The ratio drifts by {drift} over the log, which is taken out: a sensor that warms up, or a "
                         "belt that slips a little more and more."),
            named, COUNT_OF(named), locale, out);
}

/* "line 12 (engine: not a number, "abc")", up to five. */
static void bad_lines(const snub_log_rows *rows, const snub_locale *locale, snub_text *out)
{
    enum { SHOWN = 5 };
    for (long i = 0; i < rows->bad && i < SHOWN; i++) {
        const snub_log_bad *bad = &rows->first_bad[i];
        snub_text_printf(out, "%s%s %ld (", i > 0 ? ", " : "", snub_say(locale, SNUB_MESSAGE("line")), bad->line);
        if (bad->channel < SNUB_LOG_CHANNELS)
            snub_text_printf(out, "%s: ", snub_log_words[bad->channel]);
        snub_text_puts(out, snub_say(locale, snub_log_fault_text(bad->fault)));
        if (bad->channel < SNUB_LOG_CHANNELS && bad->text[0] != '\0') {
            snub_text_puts(out, ", \"");
            snub_text_safe(out, bad->text, strlen(bad->text));
            snub_text_puts(out, "\"");
        }
        snub_text_puts(out, ")");
    }
    if (rows->bad > SHOWN)
        snub_text_puts(out, ", ...");
}

/* "12, 80, ...": lines where the time goes back. */
static void back_lines(const snub_log_rows *rows, snub_text *out)
{
    for (long i = 0; i < rows->parts - 1 && i < SNUB_LOG_BACK_MOST; i++)
        snub_text_printf(out, "%s%ld", i > 0 ? ", " : "", rows->back[i]);
    if (rows->parts - 1 > SNUB_LOG_BACK_MOST)
        snub_text_puts(out, ", ...");
}

void snub_log_rows_words(const snub_log_answer *answer, const snub_locale *locale, snub_text *out)
{
    const snub_log_rows *rows = answer->rows;
    snub_text lines = {0}, back = {0};
    bad_lines(rows, locale, &lines);
    back_lines(rows, &back);
    const snub_named named[] = {snub_named_number("read", (double)rows->read, SNUB_UNIT_COUNT, 0),
                                snub_named_number("seconds", rows->seconds, SNUB_UNIT_NONE, 1),
                                snub_named_number("parts", (double)rows->parts, SNUB_UNIT_COUNT, 0),
                                snub_named_number("bad", (double)rows->bad, SNUB_UNIT_COUNT, 0),
                                snub_named_number("still", (double)rows->still, SNUB_UNIT_COUNT, 0),
                                snub_named_number("unpaired", (double)answer->unpaired, SNUB_UNIT_COUNT, 0),
                                snub_named_number("spikes", (double)answer->spikes, SNUB_UNIT_COUNT, 0),
                                snub_named_number("samples", (double)answer->samples, SNUB_UNIT_COUNT, 0),
                                snub_named_number("hot", (double)rows->hot, SNUB_UNIT_COUNT, 0),
                                snub_named_number("hot_line", (double)rows->hot_line, SNUB_UNIT_COUNT, 0),
                                snub_named_text("sensor", rows->column[SNUB_LOG_CHARGE].name),
                                snub_named_text("lines", lines.data != NULL ? lines.data : ""),
                                snub_named_text("column", rows->column[SNUB_LOG_TIME].name),
                                snub_named_text("back", back.data != NULL ? back.data : "")};
    const bool boost = answer->calibration.source == SNUB_LOG_BY_BOOST;
    say(boost ? SNUB_MESSAGE("{read} rows over {seconds} s; {samples} boosts compared.")
              : SNUB_MESSAGE("{read} rows over {seconds} s; {samples} blower speeds compared."),
        named, COUNT_OF(named), locale, out);
    if (rows->parts > 1)
        say(SNUB_MESSAGE("The log has {parts} parts, each with a time of its own, and each is taken by itself: column "
                         "\"{column}\" goes back at line {back}."),
            named, COUNT_OF(named), locale, out);
    if (rows->bad > 0)
        say(SNUB_MESSAGE("Bad rows, not used: {bad}; {lines}."), named, COUNT_OF(named), locale, out);
    if (rows->hot > 0)
        say(SNUB_MESSAGE("Charge temperatures below -100 degC or over 500 degC, left out: {hot}, the first at line "
                         "{hot_line}. Check the sensor and the unit of column \"{sensor}\"."),
            named, COUNT_OF(named), locale, out);
    if (rows->still > 0)
        say(SNUB_MESSAGE("Rows with the time of the row before: {still}."), named, COUNT_OF(named), locale, out);
    if (answer->unpaired > 2 * rows->parts) /* one at each end is usual */
        say(SNUB_MESSAGE("Left out, with no engine speed on both sides within a second: {unpaired} readings."), named,
            COUNT_OF(named), locale, out);
    if (answer->spikes > 0)
        say(SNUB_MESSAGE("Left out, each alone far from those beside it: {spikes} readings."), named, COUNT_OF(named),
            locale, out);
    out->failed = out->failed || lines.failed || back.failed;
    snub_text_free(&lines);
    snub_text_free(&back);
}

void snub_log_doubt_words(const snub_log_answer *answer, const snub_locale *locale, snub_text *out)
{
    const bool boost = answer->calibration.source == SNUB_LOG_BY_BOOST;
    const char *const words[] = {
        boost ? SNUB_MESSAGE(
                    "Boost is not the file's: check which pulley is on the engine, and the file's engine and air.")
              : SNUB_MESSAGE("The log's ratio is not the file's: check which pulley is on the engine."),
        boost ? SNUB_MESSAGE(
                    "Boost is too far from the file's, or too coarse, to show 5 % of slip: log the blower's speed.")
              : SNUB_MESSAGE("The log is too coarse to show 3 % of slip: log faster, or with less noise."),
        SNUB_MESSAGE("The ratio drifts."),
        SNUB_MESSAGE("More than 1 % of the rows is bad: check the logger."),
        SNUB_MESSAGE("The blower runs on when the engine slows: the belt wears, though boost does not suffer."),
        SNUB_MESSAGE("Boost falls short as slip would make it, but a leak or a clogged filter would too.")};
    for (int bit = 0; bit < COUNT_OF(words); bit++)
        if (answer->doubts & (1U << bit))
            say(words[bit], NULL, 0, locale, out);
}

void snub_log_build_words(const snub_build *build, const snub_look *look, snub_text *out)
{
    snub_text words = {0};
    snub_row_words(&build->row, false, look->locale, &words);
    if (build->drive->title != NULL)
        snub_text_printf(out, "%s\n", build->drive->title);
    snub_text_printf(out, "%s%s", build->designation, words.length > 0 ? "; " : "\n");
    snub_words_wrapped(&words, 0, look, out);
    snub_text_puts(out, "\n");
}
