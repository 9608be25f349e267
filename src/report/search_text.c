/* `snub search` for people. */
#include "search_words.h"

#include <math.h>
#include <string.h>

#include "words.h"

typedef struct page {
    const snub_search_answer *answer;
    const snub_search *search;
    const snub_look *look;
    snub_text *out;
} page;

/* Grid values have at most a tenth of a millimetre where the file asks for no finer step. */
enum { PLACES = 1, PLACES_FINE = 3 };

static int places_of(const snub_move *move)
{
    const double tenth = move->quantity == SNUB_Q_ANGLE ? 0.1 * SNUB_DEG : 0.1 * SNUB_MM;
    const double tenths = move->step / tenth;
    return move->choice_count == 0 && fabs(tenths - round(tenths)) < 1e-6 ? PLACES : PLACES_FINE;
}

static void add_value(const page *p, const snub_move *move, const double *value)
{
    char x[SNUB_VALUE_TEXT], y[SNUB_VALUE_TEXT];
    const snub_unit unit = move->quantity == SNUB_Q_ANGLE ? SNUB_UNIT_DEG : SNUB_UNIT_MM;
    const int places = places_of(move);
    snub_value_string(p->look->locale, value[0], unit, places, x);
    if (!move->point)
        snub_text_puts(p->out, x);
    else
        snub_text_printf(p->out, "[%s, %s]", x, snub_value_string(p->look->locale, value[1], unit, places, y));
}

static void add_part(const page *p, const snub_move *move, const double *value)
{
    const char *dot = strrchr(move->path, '.');
    snub_text_printf(p->out, "  take part %s as %.*s: diameter ", snub_move_part(move, value[0]),
                     (int)(dot - move->path), move->path);
    add_value(p, move, value);
    snub_text_puts(p->out, ", today ");
    add_value(p, move, move->now);
    snub_text_puts(p->out, "\n");
}

static void add_move(const page *p, const snub_move *move, const double *value)
{
    char by[SNUB_VALUE_TEXT];
    snub_text_printf(p->out, "  move %s from ", move->path);
    add_value(p, move, move->now);
    snub_text_puts(p->out, " to ");
    add_value(p, move, value);
    if (move->point)
        snub_text_printf(p->out, ", by %s",
                         snub_value_string(p->look->locale, hypot(value[0] - move->now[0], value[1] - move->now[1]),
                                           SNUB_UNIT_MM, 1, by));
    snub_text_puts(p->out, "\n");
}

static const char *belt_of(const snub_build *own)
{
    return own != NULL ? own->designation : "none";
}

/* What follows from the moves: belt and settings that the file's own build takes then, whether the file gives them or
 * leaves them open. */
static void add_also(const page *p, const snub_proposal *proposal)
{
    const snub_build *now = p->search->today_own, *then = proposal->own;
    snub_text_printf(p->out, "  then belt %s, today %s\n", belt_of(then), belt_of(now));
    for (int i = 0; then != NULL && i < then->drive->pulley_count; i++) {
        char is[SNUB_VALUE_TEXT], was[SNUB_VALUE_TEXT];
        if (!isfinite(then->settings[i]))
            continue;
        snub_value_string(p->look->locale, then->settings[i], SNUB_UNIT_MM, 1, is);
        snub_text_printf(p->out, "  then %s at %s of its slot", then->drive->pulleys[i].name, is);
        if (now != NULL && isfinite(now->settings[i]))
            snub_text_printf(p->out, ", today %s",
                             snub_value_string(p->look->locale, now->settings[i], SNUB_UNIT_MM, 1, was));
        snub_text_puts(p->out, "\n");
    }
}

static bool is_aim(const snub_search *search, int aim)
{
    return (int)search->section->aims[0] == aim ||
           (search->section->aim_count == 2 && (int)search->section->aims[1] == aim);
}

/* 1: better than today, -1: worse, 0: the same as far as it shows, or no value. */
static int compare(const page *p, const snub_candidate_measures *now, int aim, char before[SNUB_VALUE_TEXT],
                   char after[SNUB_VALUE_TEXT])
{
    const snub_aim_shown *shown = snub_aim_describe((snub_aim)aim);
    const double was = p->search->today.of[aim], is = now->of[aim];
    snub_value_string(p->look->locale, was, shown->unit, shown->decimals, before);
    snub_value_string(p->look->locale, is, shown->unit, shown->decimals, after);
    if (isnan(was) || isnan(is) || strcmp(before, after) == 0)
        return 0;
    return (is > was) == shown->more_is_better ? 1 : -1;
}

static void add_compared(const page *p, const snub_candidate_measures *now, int wanted, const char *word)
{
    char before[SNUB_VALUE_TEXT], after[SNUB_VALUE_TEXT];
    for (int aim = 0; aim < SNUB_AIMS_; aim++) {
        if (aim == SNUB_AIM_CHANGE || aim == SNUB_AIM_PASSES || compare(p, now, aim, before, after) != wanted)
            continue;
        snub_text_printf(p->out, "  %s %s %s, today %s%s\n", word, snub_aim_describe((snub_aim)aim)->words, after,
                         before, is_aim(p->search, aim) ? " (aim)" : "");
    }
}

static void add_counts(const page *p, const char *word, const snub_candidate_measures *m)
{
    snub_text_printf(p->out, "%s%d pass, %d marginal, %d fail", word, m->counts[SNUB_PASS] + m->counts[SNUB_NOTE],
                     m->counts[SNUB_MARGINAL], m->counts[SNUB_FAIL]);
}

static void add_kits_of(const page *p, const char *word, const snub_kits_came_to *kits)
{
    snub_text_puts(p->out, word);
    if (kits->samples == 0) {
        snub_text_printf(p->out, "none: %s", kits->why_not != NULL ? kits->why_not : "stopped");
        return;
    }
    snub_text_printf(p->out, "%d of %d fail, %.1f %% (%.1f to %.1f %%)", kits->failing, kits->samples,
                     100.0 * kits->failing / kits->samples, 100.0 * kits->share.low, 100.0 * kits->share.high);
    if (kits->rule < SNUB_RULES_)
        snub_text_printf(p->out, ", most by %s", snub_rule_describe(kits->rule)->id);
}

static bool has_kits(const snub_kits_came_to *kits)
{
    return kits->samples > 0 || kits->why_not != NULL;
}

/* By intervals that do not meet: with few kits two shares may differ by chance alone. */
static bool surely_more_fail(const snub_kits_came_to *now, const snub_kits_came_to *today)
{
    return now->samples > 0 && today->samples > 0 && now->share.low > today->share.high;
}

/* Of the file's own build. */
static void add_kits(const page *p, const snub_kits_came_to *kits)
{
    const snub_kits_came_to *today = &p->search->today_kits;
    if (!has_kits(kits) && !has_kits(today))
        return;
    snub_text words = {0};
    const page line = {p->answer, p->search, p->look, &words};
    add_kits_of(&line, "kits ", kits);
    add_kits_of(&line, "; today ", today);
    snub_text_puts(p->out, "  ");
    snub_wrap(words.data != NULL ? words.data : "", 2, 4, p->look->width, p->out);
    if (surely_more_fail(kits, today))
        snub_text_puts(p->out, "  more of its kits fail than today\n");
    p->out->failed = p->out->failed || words.failed;
    snub_text_free(&words);
}

static void add_try(const page *p, const snub_proposal *proposal)
{
    if (p->answer->written != NULL)
        return;
    snub_text_puts(p->out, "  see  snub chart ");
    snub_text_shell(p->out, p->answer->document->name);
    for (int i = 0; i < proposal->change_count; i++) {
        snub_text set = {0};
        if (i >= proposal->move_count && i < proposal->change_count - proposal->taken_count)
            continue; /* a chart chooses belts and settings by itself */
        snub_text_printf(&set, "%s=%s", proposal->changes[i].path, proposal->changes[i].text);
        snub_text_puts(p->out, " --set ");
        snub_text_shell(p->out, set.data != NULL ? set.data : "");
        p->out->failed = p->out->failed || set.failed;
        snub_text_free(&set);
    }
    snub_text_puts(p->out, "\n");
}

static void add_proposal(const page *p, int number)
{
    const snub_proposal *proposal = &p->search->proposals[number];
    int first;
    snub_text_printf(p->out, "\nproposal %d%s%s\n", number + 1, p->answer->written != NULL ? ": " : "",
                     p->answer->written != NULL ? p->answer->written[number] : "");
    for (int i = 0; i < proposal->move_count; i++) {
        const snub_move *move = snub_change_move(p->search, proposal->changes[i].path, &first);
        if (move != NULL && move->from_catalogue)
            add_part(p, move, &proposal->value[first]);
        else if (move != NULL)
            add_move(p, move, &proposal->value[first]);
    }
    add_also(p, proposal);
    add_compared(p, &proposal->came_to, 1, "gain");
    add_compared(p, &proposal->came_to, -1, "cost");
    add_counts(p, "  builds ", &proposal->came_to);
    add_counts(p, "; today ", &p->search->today);
    snub_text_puts(p->out, "\n");
    add_kits(p, &proposal->kits);
    add_try(p, proposal);
}

/* ---- where nothing is proposed ----------------------------------------------------------------------------------- */

static void add_broken(const page *p)
{
    const snub_search *search = p->search;
    snub_text words = {0};
    snub_text_puts(p->out, "\n");
    snub_wrap("No candidate was found whose builds hold what must hold. At the nearest one:", 0, 0, p->look->width,
              p->out);
    add_counts(p, "  builds ", &search->nearest);
    snub_text_puts(p->out, "\n");
    if (search->broken != NULL) {
        snub_text_puts(&words, "build ");
        snub_row_words(search->broken_row, false, p->look->locale, &words);
        snub_text_printf(&words,
                         ": %s: ", snub_rule_describe(snub_wording_describe(search->broken->wording)->rule)->id);
        snub_finding_sentence(search->broken, p->look->locale, &words);
        snub_text_puts(p->out, "  ");
        snub_wrap(words.data != NULL ? words.data : "", 2, 2, p->look->width, p->out);
    }
    p->out->failed = p->out->failed || words.failed;
    snub_text_free(&words);
    if (search->section->hold != SNUB_HOLD_TODAY)
        snub_wrap(
            "Widen the regions, or let more move. If it fails for a reason that no move can cure, write `hold: today`: "
            "then no build may get worse than it is.",
            0, 0, p->look->width, p->out);
}

static void add_nothing(const page *p)
{
    const snub_search *search = p->search;
    if (!search->found && search->today.over > 0.0) {
        add_broken(p);
        return;
    }
    snub_text_puts(p->out, "\n");
    snub_wrap("No candidate is better than today's drive.", 0, 0, p->look->width, p->out);
}

/* @return whether anything was gained */
static bool add_last_tenth(const page *p)
{
    const snub_search *search = p->search;
    char before[SNUB_VALUE_TEXT], after[SNUB_VALUE_TEXT];
    bool any = false;
    for (int i = 0; i < search->section->aim_count; i++) {
        const snub_last_tenth *t = &search->last_tenth[i];
        const snub_aim_shown *shown = snub_aim_describe(search->section->aims[i]);
        if (!t->gained)
            continue;
        any = true;
        snub_text words = {0};
        snub_text_printf(&words, "The last tenth of the candidates still gained: %s %s, before that %s.", shown->words,
                         snub_value_string(p->look->locale, t->after, shown->unit, shown->decimals, after),
                         isnan(t->before)
                             ? "none held"
                             : snub_value_string(p->look->locale, t->before, shown->unit, shown->decimals, before));
        snub_wrap(words.data != NULL ? words.data : "", 0, 0, p->look->width, p->out);
        p->out->failed = p->out->failed || words.failed;
        snub_text_free(&words);
    }
    return any;
}

/* A tenth of few candidates is none, and where none holds there is nothing to gain. */
static bool tells(const snub_search *search)
{
    bool all = true;
    for (int i = 0; i < search->section->aim_count; i++)
        all = all && search->last_tenth[i].candidates > 0 && !isnan(search->last_tenth[i].after);
    return all;
}

static void add_settled(const page *p)
{
    const snub_search *search = p->search;
    if (add_last_tenth(p) || (!search->converged && !tells(search)))
        snub_wrap("The search did not settle: a longer one may find more. Give it more candidates with --tries.", 0, 0,
                  p->look->width, p->out);
    else if (!search->converged)
        snub_wrap("The last tenth of the candidates gained nothing, but the search was not through with its last "
                  "steps. With more --tries, or another --seed, it may find a little more.",
                  0, 0, p->look->width, p->out);
}

static void add_end(const page *p)
{
    const snub_search *search = p->search;
    snub_text_puts(p->out, "\n");
    if (search->stopped) {
        snub_text_printf(p->out, "Stopped after %d of %d candidates: this is the best so far.\n", search->asked,
                         search->all);
        if (p->answer->state != NULL) {
            snub_text_puts(p->out, "The same command with --state ");
            snub_text_shell(p->out, p->answer->state);
            snub_text_puts(p->out, " goes on.\n");
        }
    } else {
        add_settled(p);
    }
    if (search->proposal_count > 0)
        snub_wrap("These are calculated positions. Check each bracket on the engine before it is drilled.", 0, 0,
                  p->look->width, p->out);
}

snub_status snub_text_search(const snub_search_answer *answer, const snub_look *look, snub_text *out, snub_error *error)
{
    const page p = {answer, answer->search, look, out};
    const snub_search *search = answer->search;
    snub_text_printf(out, "%d %s, %d %s, aim: %s%s%s; what must hold: %s\n", search->build_count,
                     search->build_count == 1 ? "build" : "builds", search->asked,
                     search->asked == 1 ? "candidate" : "candidates", snub_aim_text(search->section->aims[0]),
                     search->section->aim_count == 2 ? " and " : "",
                     search->section->aim_count == 2 ? snub_aim_text(search->section->aims[1]) : "",
                     snub_hold_text(search->section->hold));
    if (search->today_own != NULL)
        snub_unjudged_show(&search->today_own, 1, NULL, look, out);
    for (int i = 0; i < search->proposal_count; i++)
        add_proposal(&p, i);
    if (search->proposal_count == 0)
        add_nothing(&p);
    add_end(&p);
    return out->failed ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory") : SNUB_OK;
}
