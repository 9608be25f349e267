/* The settled build: read, belt and settings found, judged. docs/theory/kit.md. */
#include "snub/kit.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "finding.h"
#include "fixed_tensioner.h"
#include "judge.h"
#include "loads.h"
#include "no_loads.h"
#include "range_ends.h"
#include "repairs.h"
#include "settle.h"
#include "snub/locale.h"

void snub_designation(const snub_belt *belt, double length, char text[32])
{
    /* A belt is sold in whole millimetres; a tenth is shown where a drive asks for one. */
    const double mm = length / SNUB_MM, whole = round(mm);
    const int decimals = fabs(mm - whole) < 0.05 ? 0 : 1;
    snprintf(text, 32, "%d%.4s%.*f", belt->ribs, belt->section, decimals, decimals == 0 ? whole : mm);
}

static snub_status no_memory(snub_error *error)
{
    return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
}

/* ---- why there is none ------------------------------------------------------------------------------------------- */

static const char *name_of(const snub_drive *drive, int pulley)
{
    return drive->pulleys[(pulley + drive->pulley_count) % drive->pulley_count].name;
}

static void name_lengths(snub_finding *f, const double range[2])
{
    snub_finding_least(f, "from", range[0], SNUB_UNIT_MM, 1);
    snub_finding_most(f, "to", range[1], SNUB_UNIT_MM, 1);
}

/* Where a slot's setting was searched along with the belt. */
static void name_setting(const snub_drive *drive, snub_finding *f, const char *words)
{
    bool open = false;
    for (int i = 0; i < drive->pulley_count; i++)
        open = open || (drive->pulleys[i].sits == SNUB_ON_SLOT && isnan(drive->pulleys[i].setting));
    snub_finding_words(f, "setting", open ? words : "");
}

snub_finding snub_no_belt_finding(const snub_drive *drive, const snub_search_lengths *lengths)
{
    snub_finding f;
    if (lengths->lost != SNUB_OK) {
        f = snub_finding_of(drive, SNUB_SAYS_NO_BELT_RUNS);
        f.pulley = name_of(drive, lengths->culprit);
        name_setting(drive, &f, SNUB_MESSAGE(" at any setting of the slots"));
    } else if (lengths->wanted[0] <= lengths->wanted[1]) {
        f = snub_finding_of(drive, drive->arm >= 0      ? SNUB_SAYS_NO_STOCK_FOR_ARM
                                   : drive->locked >= 0 ? SNUB_SAYS_NO_STOCK_FOR_SLOT
                                                        : SNUB_SAYS_NO_STOCK_TO_STRETCH);
        name_lengths(&f, lengths->wanted);
        if (drive->arm >= 0)
            name_setting(drive, &f, SNUB_MESSAGE(", each with a slot setting of its own"));
    } else if (isfinite(lengths->least_lack)) {
        f = snub_finding_of(drive, drive->arm >= 0 ? SNUB_SAYS_NO_LENGTH_FOR_ARM : SNUB_SAYS_NO_LENGTH_FOR_SLOT);
        if (drive->locked >= 0)
            f.pulley = name_of(drive, drive->locked);
        snub_finding_number(&f, "take_up", lengths->take_up_there, SNUB_UNIT_MM, 1);
        snub_finding_number(&f, "tolerance", lengths->tolerance_there, SNUB_UNIT_MM, 1);
        snub_finding_number(&f, "lack", lengths->least_lack, SNUB_UNIT_MM, 1);
    } else {
        f = snub_finding_of(drive, SNUB_SAYS_NO_LEVER);
        snub_finding_number(&f, "from", lengths->good[0], SNUB_UNIT_DEG, 1);
        snub_finding_number(&f, "to", lengths->good[1], SNUB_UNIT_DEG, 1);
        name_setting(drive, &f, SNUB_MESSAGE(", at the best slot setting"));
    }
    return f;
}

/* ---- belt and settings into the build ---------------------------------------------------------------------------- */

/* A drive of the build's own, with a belt and settings. */
static snub_drive *drive_with(const snub_drive *from, const snub_candidate *c, snub_arena *arena)
{
    snub_drive *drive = SNUB_NEW(arena, snub_drive, 1);
    snub_pulley *pulleys = SNUB_NEW(arena, snub_pulley, from->pulley_count);
    if (drive == NULL || pulleys == NULL)
        return NULL;
    *drive = *from;
    memcpy(pulleys, from->pulleys, sizeof *pulleys * (size_t)from->pulley_count);
    drive->pulleys = pulleys;
    if (c == NULL)
        return drive;
    drive->belt.length = c->choice.length;
    drive->belt.part = c->choice.part;
    drive->belt.tolerance = c->tolerance;
    for (int i = 0; i < drive->pulley_count; i++) {
        if (pulleys[i].sits == SNUB_ON_SLOT && i != drive->locked)
            pulleys[i].setting = c->choice.settings[i];
    }
    return drive;
}

static void take_belt(snub_build *build, const snub_choice *choice)
{
    const snub_drive *drive = build->drive;
    build->settled = true;
    build->length = choice->length;
    const snub_part_sale *sale = snub_drive_sale(build->drive, choice->part);
    build->part = choice->part;
    build->own_number = sale != NULL && sale->own_number[0] != '\0' ? sale->own_number : NULL;
    build->length_chosen = build->own_length != choice->length;
    for (int i = 0; i < drive->pulley_count; i++) {
        build->settings[i] = choice->settings[i];
        build->setting_chosen[i] = drive->pulleys[i].sits == SNUB_ON_SLOT && i != drive->locked &&
                                   build->own_settings[i] != choice->settings[i];
    }
    snub_designation(&drive->belt, choice->length, build->designation);
}

static void note_own(snub_build *build, const snub_drive *drive)
{
    build->own_length = drive->belt.length;
    build->length = NAN;
    for (int i = 0; i < SNUB_PULLEYS_MOST; i++)
        build->settings[i] = build->own_settings[i] = NAN;
    for (int i = 0; i < drive->pulley_count; i++) {
        if (drive->pulleys[i].sits == SNUB_ON_SLOT && i != drive->locked)
            build->own_settings[i] = drive->pulleys[i].setting;
    }
}

/* True where the file leaves nothing open, or nothing is to be chosen afresh. */
static bool is_written(const snub_drive *drive, const snub_build_request *request)
{
    bool open = snub_leaves_length_open(&drive->belt, request) || snub_takes_stock(&drive->belt, request);
    for (int i = 0; i < drive->pulley_count; i++) {
        const snub_pulley *pulley = &drive->pulleys[i];
        if (pulley->sits == SNUB_ON_SLOT && i != drive->locked && (request->afresh || isnan(pulley->setting)))
            open = true;
    }
    return !open;
}

/* The file's belt and settings as the one candidate. */
static snub_candidate written(const snub_drive *drive)
{
    snub_candidate c = {.drive = drive,
                        .choice = snub_choice_unsearched(drive->belt.length, drive->belt.part),
                        .tolerance = drive->belt.tolerance};
    for (int i = 0; i < drive->pulley_count; i++) {
        if (drive->pulleys[i].sits == SNUB_ON_SLOT)
            c.choice.settings[i] = drive->pulleys[i].setting;
    }
    return c;
}

/* ---- judging ----------------------------------------------------------------------------------------------------- */

/* One belt tried on the whole build, in memory of its own: most are let go again. */
typedef struct trial {
    snub_build build;
    snub_arena arena;
} trial;

static snub_status try_candidate(const snub_build *build, snub_candidate *c, snub_level most, snub_arena *arena,
                                 trial *t, snub_error *error)
{
    snub_arena_branch(arena, &t->arena);
    t->build = *build;
    t->build.drive = drive_with(c->drive, c, &t->arena);
    if (t->build.drive == NULL)
        return no_memory(error);
    take_belt(&t->build, &c->choice);
    const snub_status status = snub_build_judge(&t->build, most, &t->arena, error);
    c->choice.judged = t->build.judged;
    c->choice.verdict = t->build.verdict;
    return status;
}

/* Judge the candidates from the first on until none can be better; the best is the build's, in *best and its trial.
 * A later one has to have a better verdict: among equals the search's order stands. */
static snub_status find_best(const snub_build *build, snub_candidates *all, snub_arena *arena, trial trials[2],
                             int *best, snub_error *error)
{
    trial *now = &trials[0], *held = &trials[1];
    *best = -1;
    for (int i = 0; i < all->count; i++) {
        const snub_level most = *best < 0 ? SNUB_FAIL : (snub_level)(all->items[*best].choice.verdict - 1);
        const snub_status status = try_candidate(build, &all->items[i], most, arena, now, error);
        if (status != SNUB_OK) {
            snub_arena_drop(arena, &now->arena);
            if (*best >= 0)
                snub_arena_drop(arena, &held->arena);
            return status;
        }
        arena->refuse_after = now->arena.refuse_after;
        if (!all->items[i].choice.judged || (*best >= 0 && all->items[i].choice.verdict > most)) {
            snub_arena_free(&now->arena);
        } else {
            trial *other = held;
            if (*best >= 0)
                snub_arena_free(&held->arena);
            held = now;
            now = other;
            *best = i;
        }
        if (all->items[*best].choice.verdict == SNUB_PASS)
            break;
    }
    if (*best >= 0 && held != &trials[0])
        trials[0] = *held;
    return SNUB_OK;
}

/* Which of them serve, with a verdict no worse than the best one's: it is found out of as many as are wanted, in the
 * search's order. The runner-up is the first of them besides the best. One that fails is served by all. */
static snub_status find_serving(const snub_build *build, snub_candidates *all, int best, int wanted, snub_arena *arena,
                                trial *t, snub_error *error)
{
    const snub_level most = all->items[best].choice.verdict;
    int serving = 0;
    for (int i = 0; i < all->count; i++) {
        snub_choice *choice = &all->items[i].choice;
        if (serving < wanted && !choice->judged && choice->verdict <= most && most < SNUB_FAIL) {
            const snub_status status = try_candidate(build, &all->items[i], most, arena, t, error);
            arena->refuse_after = t->arena.refuse_after;
            if (status != SNUB_OK) {
                snub_arena_drop(arena, &t->arena);
                return status;
            }
            snub_arena_free(&t->arena);
        }
        choice->serves = most == SNUB_FAIL || (choice->judged && choice->verdict <= most);
        serving += choice->serves;
    }
    return SNUB_OK;
}

static snub_status judge_candidates(const snub_build *build, snub_candidates *all, const snub_build_request *request,
                                    snub_arena *arena, trial trials[2], int *best, snub_error *error)
{
    const snub_status status = find_best(build, all, arena, trials, best, error);
    if (status != SNUB_OK || *best < 0)
        return status;
    return find_serving(build, all, *best, request->settle_only ? 1 : 2, arena, &trials[1], error);
}

/* The best first; then those that serve; then by what is known of their verdicts; the search's order among equals. */
static void order_choices(const snub_candidates *all, int best, snub_choices *choices)
{
    choices->count = 0;
    choices->choice[choices->count++] = all->items[best].choice;
    for (int rank = 0; rank <= SNUB_FAIL + 1; rank++) {
        for (int i = 0; i < all->count && choices->count < SNUB_CHOICES_MOST; i++) {
            const snub_choice *c = &all->items[i].choice;
            if (i != best && rank == (c->serves ? 0 : (int)c->verdict + 1))
                choices->choice[choices->count++] = *c;
        }
    }
    choices->cut =
        all->count > choices->count && snub_may_serve(&choices->choice[choices->count - 1], choices->choice[0].verdict);
}

static bool is_discontinued(const snub_drive *drive, const char *part)
{
    const snub_part_sale *sale = snub_drive_sale(drive, part);
    return sale != NULL && sale->discontinued;
}

static snub_why why_of(const snub_build *build, const snub_choices *choices, bool written_belt)
{
    if (choices->usable == 0)
        return SNUB_WHY_NEAREST;
    if (written_belt)
        return SNUB_WHY_SETTING;
    if (choices->count < 2)
        return SNUB_WHY_ONLY;
    const snub_choice *second = &choices->choice[1];
    if (second->verdict > build->verdict)
        return SNUB_WHY_VERDICT;
    const bool gone = is_discontinued(build->drive, second->part) && !is_discontinued(build->drive, build->part);
    return gone || second->length == build->length ? SNUB_WHY_SALE : SNUB_WHY_GRIP;
}

/* The arena of the winner joins the build's, so that it lives as long. */
static void take_trial(snub_build *build, trial *t, snub_arena *arena)
{
    const snub_choices choices = build->choices;
    *build = t->build;
    build->choices = choices;
    t->arena.refuse_after = arena->refuse_after;
    snub_arena_join(arena, &t->arena);
}

static void tell_no_belt(snub_build *build, const snub_drive *drive, const snub_search_lengths *lengths,
                         snub_arena *arena)
{
    const snub_finding f = snub_no_belt_finding(drive, lengths);
    build->judged = true;
    snub_findings_add(&build->findings, arena, &f);
    build->verdict = snub_findings_verdict(&build->findings);
}

/* A build that is not judged stands where the judged one does: a fixed tensioner slid to its tension. */
static void slide_to_tension(snub_build *build)
{
    const int locked = build->drive->locked;
    double settings[SNUB_PULLEYS_MOST];
    if (locked >= 0)
        build->settings[locked] = snub_lock_nominal(build, settings, NULL) == SNUB_OK ? settings[locked] : (double)NAN;
}

static snub_status settle_and_judge(snub_build *build, const snub_drive *drive, const snub_build_request *request,
                                    const snub_rereading *again, snub_arena *arena, snub_error *error)
{
    snub_candidates all = {0};
    trial *trials = calloc(2, sizeof *trials); /* large */
    const bool given = is_written(drive, request);
    int best = -1;
    snub_status status = trials != NULL ? SNUB_OK : no_memory(error);
    if (status == SNUB_OK && !given)
        status = snub_settle(drive, &build->loads, request, again, &all, error);
    build->choices.offered = given ? 1 : all.offered;
    build->choices.usable = given ? 1 : all.usable;
    build->choices.why = SNUB_WHY_WRITTEN;
    const bool some = !given && all.lengths.wanted[0] <= all.lengths.wanted[1];
    build->choices.wanted_length[0] = some ? all.lengths.wanted[0] : (double)NAN;
    build->choices.wanted_length[1] = some ? all.lengths.wanted[1] : (double)NAN;
    snub_candidate own = {0};
    if (status == SNUB_OK && given) {
        own = written(drive);
        all.items = &own;
        all.count = 1;
    }
    if (status == SNUB_OK && all.count == 0) {
        tell_no_belt(build, drive, &all.lengths, arena);
    } else if (status == SNUB_OK && given && request->settle_only) {
        build->drive = drive_with(all.items[0].drive, &all.items[0], arena);
        status = build->drive != NULL ? SNUB_OK : no_memory(error);
        if (status == SNUB_OK) {
            take_belt(build, &all.items[0].choice);
            slide_to_tension(build);
        }
    } else if (status == SNUB_OK) {
        const bool written_belt =
            given || (!snub_leaves_length_open(&drive->belt, request) && !snub_takes_stock(&drive->belt, request));
        status = judge_candidates(build, &all, request, arena, trials, &best, error);
        if (status == SNUB_OK && !written_belt && all.usable == 0 && trials[0].build.verdict == SNUB_FAIL) {
            snub_arena_free(&trials[0].arena); /* the nearest of them will not do: rather which ones would */
            tell_no_belt(build, drive, &all.lengths, arena);
        } else if (status == SNUB_OK) {
            order_choices(&all, best, &build->choices);
            if (!given)
                build->choices.why = why_of(&trials[0].build, &build->choices, written_belt);
            take_trial(build, &trials[0], arena);
        }
    }
    if (!given)
        snub_candidates_free(&all);
    free(trials);
    return status;
}

/* What of a build is not zero before anything is known of it. */
static void start_build(snub_build *build, const snub_drive *drive, const snub_build_request *request)
{
    build->afresh = request->afresh;
    build->tightest_gap = INFINITY;
    build->worst_grip = build->blower_grip = build->worst_grip_speed = build->slip_onset = build->wrap_gain = NAN;
    build->wind_rest = build->wind_redline = build->wind_low = build->wind_high = NAN;
    snub_build_no_summary(build);
    note_own(build, drive);
}

static snub_status work_out(snub_build *build, const snub_drive *drive, const snub_build_request *request,
                            const snub_rereading *again, snub_arena *arena, snub_error *error)
{
    snub_error why = {0};
    start_build(build, drive, request);
    build->drive = drive_with(drive, NULL, arena);
    if (build->drive == NULL)
        return no_memory(error);
    snub_status status = snub_loads_prepare(drive, SNUB_JUDGED_SPEEDS, arena, &build->loads, &why);
    if (status == SNUB_NO_MEMORY)
        return no_memory(error);
    if (status != SNUB_OK) {
        const snub_finding f = snub_no_loads_finding(drive, &why, arena);
        snub_findings_add(&build->findings, arena, &f);
        build->judged = true;
        build->verdict = SNUB_FAIL;
        return SNUB_OK;
    }
    status = settle_and_judge(build, drive, request, again, arena, error);
    if (status == SNUB_OK && build->judged && !snub_repairs_tell(build, drive, request->afresh, arena))
        status = no_memory(error);
    if (status == SNUB_OK && (build->findings.failed || arena->refused))
        return no_memory(error);
    return status;
}

/* The drive of a row, as the file is read: a range is its middle. @param[out] own  how it was read */
static snub_status read_row(const snub_document *document, const snub_reading *reading, const snub_row *row,
                            snub_reading *own, snub_drive **drive, snub_errors *errors)
{
    *own = *reading;
    own->overlays = row->overlays;
    own->overlay_count = row->overlay_count;
    *drive = SNUB_NEW(reading->arena, snub_drive, 1);
    return *drive != NULL ? snub_drive_read(document, own, *drive, errors) : SNUB_NO_MEMORY;
}

static snub_status make_nominal(const snub_document *document, const snub_reading *reading, const snub_row *row,
                                const snub_build_request *request, snub_build *build, snub_errors *errors)
{
    snub_error error = {0};
    snub_reading own;
    snub_drive *drive;
    memset(build, 0, sizeof *build);
    build->document = document;
    build->row = *row;
    snub_status status = read_row(document, reading, row, &own, &drive, errors);
    if (status != SNUB_OK)
        return status;
    snub_drive_code(drive, row->variant, row->package, row->set_count, build->row.code);
    const snub_rereading again = {document, &own};
    status = work_out(build, drive, request, &again, reading->arena, &error);
    if (status != SNUB_OK)
        snub_errors_add(errors, &error);
    return status;
}

/* The build that was chosen, with the value at one end of its range. Of its memory the findings are kept. */
static snub_status judge_end(snub_build *build, const snub_reading *reading, const snub_range *range, int end,
                             snub_errors *errors)
{
    const snub_build_request as_written = {0};
    snub_row row;
    snub_build *there = SNUB_NEW(reading->arena, snub_build, 1);
    if (there == NULL || !snub_range_row(build, range, end, reading->arena, &row))
        return SNUB_NO_MEMORY;
    const snub_status status = make_nominal(build->document, reading, &row, &as_written, there, errors);
    if (status != SNUB_OK)
        return status;
    return snub_range_merge(build, there, range, end, reading->arena) ? SNUB_OK : SNUB_NO_MEMORY;
}

snub_status snub_build_make(const snub_document *document, const snub_reading *reading, const snub_row *row,
                            const snub_build_request *request, snub_build *build, snub_errors *errors)
{
    snub_status status = make_nominal(document, reading, row, request, build, errors);
    if (status != SNUB_OK || !build->settled || !build->judged)
        return status;
    for (const snub_range *range = build->drive->ranges; range != NULL && status == SNUB_OK; range = range->next) {
        for (int end = 0; end < 2 && status == SNUB_OK; end++)
            status = judge_end(build, reading, range, end, errors);
    }
    return status;
}

/* Where one make of a length serves, the length does. */
static snub_status judge_lengths(const snub_build *build, snub_candidates *all, const snub_build_request *asked,
                                 snub_level most, snub_arena *arena, bool *serves, snub_error *error)
{
    trial *t = calloc(1, sizeof *t); /* large */
    snub_status status = t != NULL ? SNUB_OK : no_memory(error);
    for (int i = 0; status == SNUB_OK && i < all->count; i++) {
        snub_choice *choice = &all->items[i].choice;
        int k = 0;
        while (k < asked->only_count && !snub_same_length(asked->only_lengths[k], choice->length))
            k++;
        if (k == asked->only_count || serves[k])
            continue;
        status = try_candidate(build, &all->items[i], most, arena, t, error);
        arena->refuse_after = t->arena.refuse_after;
        serves[k] = choice->judged && choice->verdict <= most;
        if (status == SNUB_OK)
            snub_arena_free(&t->arena);
        else
            snub_arena_drop(arena, &t->arena);
    }
    free(t);
    return status;
}

snub_status snub_build_serves(const snub_document *document, const snub_reading *reading, const snub_row *row,
                              const double *lengths, int count, snub_level most, bool *serves, snub_errors *errors)
{
    const snub_build_request asked = {.afresh = true, .only_lengths = lengths, .only_count = count};
    snub_build *build = SNUB_NEW(reading->arena, snub_build, 1);
    snub_candidates all = {0};
    snub_reading own;
    snub_drive *drive;
    snub_error error = {0};
    memset(serves, 0, sizeof *serves * (size_t)count);
    if (build == NULL)
        return SNUB_NO_MEMORY;
    snub_status status = read_row(document, reading, row, &own, &drive, errors);
    if (status != SNUB_OK)
        return status;
    const snub_rereading again = {document, &own};
    start_build(build, drive, &asked);
    status = snub_loads_prepare(drive, SNUB_JUDGED_SPEEDS, reading->arena, &build->loads, &error);
    if (status == SNUB_OK)
        status = snub_settle(drive, &build->loads, &asked, &again, &all, &error);
    if (status == SNUB_OK)
        status = judge_lengths(build, &all, &asked, most, reading->arena, serves, &error);
    snub_candidates_free(&all);
    if (status != SNUB_OK)
        snub_errors_add(errors, &error);
    return status;
}

snub_status snub_build_of_drive(const snub_drive *drive, const snub_build_request *request, snub_arena *arena,
                                snub_build *build, snub_error *error)
{
    memset(build, 0, sizeof *build);
    build->document = drive->document;
    build->row = (snub_row){.variant = "", .package = ""};
    return work_out(build, drive, request, NULL, arena, error);
}
