/* A better drive: candidates, their merit, one aim or two, and what is proposed. docs/theory/search.md. */
#include "snub/search.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "optimise.h"
#include "ranks_share.h"
#include "search_front.h"
#include "search_known.h"
#include "search_measure.h"
#include "search_parts.h"
#include "snub/units.h"

/* Above every merit of a candidate that holds what must hold; and of one outside of its region, above all. */
#define WALL 1e3
#define OUTSIDE 1e6
/* A candidate that gains less than this is no better: merits are of the order of one. */
#define GAIN 1e-6
/* What a move must gain over today to be worth a new bracket: 0.001 of grip, 1 N, 0.1 mm. */
#define WORTH 1e-3
/* Of a run the share that goes over the whole region; the rest improves what that found. */
#define GLOBAL_SHARE 0.65
/* The local search ends at this share of a range: under any grid that a bracket is drilled to. */
#define END_SHARE 1e-3

enum {
    TRIES_EACH = 60, /* by default, for each number that may move and one more */
    RUNS = 5,        /* with two aims: each alone, and three weights between */
    WEIGHTS = 3
};

typedef struct search_run {
    const snub_search_request *request;
    snub_search *search;
    const snub_drive *base; /* as the file has it */
    snub_space space;
    snub_measuring measuring;
    snub_tried *tried; /* malloc'd */
    snub_known known;
    int count, room, replayed;
    double best;   /* merit of this run's best that was judged as a whole */
    int best_at;   /* its place among those tried */
    int *trace;    /* after each candidate of this run the best that holds; -1: none. malloc'd */
    int asked;     /* in this run */
    double weight; /* of the first aim; 1: it alone; 0: the other alone */
    double ideal[2], range[2];
    snub_status status;
    snub_errors *errors;
    bool foreign; /* `before` is of another search */
} search_run;

/* ---- merit ------------------------------------------------------------------------------------------------------- */

/* Less is better, of the order of one. No value: nothing is gained. */
static double merit_of(const snub_candidate_measures *c, snub_aim aim)
{
    const double v = aim < SNUB_AIMS_ ? c->of[aim] : (double)NAN;
    switch (aim) {
    case SNUB_AIM_GRIP: return isnan(v) ? 100.0 : fmin(v, 100.0);
    case SNUB_AIM_BELTS: /* grip parts those with as many */
        return (isnan(v) ? 0.0 : v) + 0.01 * merit_of(c, SNUB_AIM_GRIP);
    case SNUB_AIM_LIFE: return isnan(v) ? 0.0 : -log10(fmax(v / SNUB_HOUR, 1e-9));
    case SNUB_AIM_HUB: return isnan(v) ? 100.0 : v / SNUB_KN;
    case SNUB_AIM_WRAP: return isnan(v) ? 0.0 : -v;
    case SNUB_AIM_CHANGE: return v / (100.0 * SNUB_MM);
    case SNUB_AIM_PASSES: return c->nearly - v;
    case SNUB_AIMS_: break;
    }
    return 0.0;
}

static double scalar(const search_run *run, const snub_candidate_measures *c)
{
    const snub_search_section *s = run->space.section;
    const double w = run->weight;
    if (s->aim_count == 1 || w == 1.0)
        return merit_of(c, s->aims[0]);
    if (w == 0.0)
        return merit_of(c, s->aims[1]);
    /* Chebyshev's distance from the ideal finds the hollows of a front, which a sum does not; the sum parts equals */
    const double a = (merit_of(c, s->aims[0]) - run->ideal[0]) / run->range[0];
    const double b = (merit_of(c, s->aims[1]) - run->ideal[1]) / run->range[1];
    return fmax(w * a, (1.0 - w) * b) + 0.01 * (a + b);
}

static double merit(const search_run *run, const snub_candidate_measures *c)
{
    return c->over > 0.0 ? WALL + c->over : scalar(run, c);
}

/* ---- candidates -------------------------------------------------------------------------------------------------- */

static bool same_values(const search_run *run, const double *a, const double *b)
{
    return memcmp(a, b, sizeof *a * (size_t)run->space.count) == 0;
}

static snub_tried *add_tried(search_run *run)
{
    if (run->count == run->room) {
        const int room = run->room > 0 ? 2 * run->room : 256;
        snub_tried *more = realloc(run->tried, sizeof *more * (size_t)room);
        if (more == NULL)
            return NULL;
        run->tried = more;
        run->room = room;
    }
    memset(&run->tried[run->count], 0, sizeof *run->tried);
    return &run->tried[run->count++];
}

/* What an interrupted search had judged comes in the same order. */
static bool replay(search_run *run, const double *value, bool whole, snub_candidate_measures *out)
{
    if (run->replayed >= run->request->before_count)
        return false;
    const snub_tried *t = &run->request->before[run->replayed++];
    run->foreign = run->foreign || !same_values(run, t->value, value) || (whole && !t->came_to.whole);
    *out = t->came_to;
    return true;
}

static const snub_tried *judge(search_run *run, const double *value, bool whole)
{
    snub_candidate_measures came_to;
    if (!replay(run, value, whole, &came_to))
        run->status = snub_measure(&run->measuring, value, whole, &came_to);
    snub_tried *t = run->status == SNUB_OK && !run->foreign ? add_tried(run) : NULL;
    if (t == NULL) {
        run->status = run->status == SNUB_OK && !run->foreign ? SNUB_NO_MEMORY : run->status;
        return NULL;
    }
    memcpy(t->value, value, sizeof *value * (size_t)run->space.count);
    t->came_to = came_to;
    if (snub_known_note(&run->known, run->tried, run->count - 1, run->space.count))
        return t;
    run->status = SNUB_NO_MEMORY;
    return NULL;
}

static void keep_best(search_run *run, const snub_candidate_measures *came_to)
{
    snub_search *search = run->search;
    const snub_search_section *s = run->space.section;
    if (!came_to->whole || came_to->over > 0.0)
        return;
    for (int a = 0; a < s->aim_count; a++)
        if (!search->has_best || merit_of(came_to, s->aims[a]) < merit_of(&search->best[a], s->aims[a]))
            search->best[a] = *came_to;
    search->has_best = true;
}

/* A few builds give a bound; one that is over the best already can win no more. */
static const snub_tried *look_at(search_run *run, const double *value)
{
    /* the latest is the one that knows most */
    const int place = snub_known_find(&run->known, run->tried, value, run->space.count);
    const snub_tried *t = place >= 0 ? &run->tried[place] : judge(run, value, false);
    if (t != NULL && !t->came_to.whole && !(merit(run, &t->came_to) > run->best))
        t = judge(run, value, true);
    return t;
}

/* What was judged before is kept until it has been asked for again: one that stops earlier loses none of it. */
static void show_tried(search_run *run)
{
    const snub_search_request *request = run->request;
    const bool more = run->replayed < request->before_count;
    run->search->tried = more ? request->before : run->tried;
    run->search->tried_count = more ? request->before_count : run->count;
}

static bool goes_further(search_run *run)
{
    const snub_search_request *request = run->request;
    show_tried(run);
    const bool asks = request->go_on != NULL && snub_own_rank() == 0;
    return snub_ranks_heed(!asks || request->go_on(run->search->asked, run->search->all, request->context));
}

static void note_best(search_run *run, const snub_tried *t, double value)
{
    if (t != NULL && t->came_to.whole && value < run->best) {
        run->best = value;
        run->best_at = (int)(t - run->tried);
    }
    run->trace[run->asked++] = run->best < WALL ? run->best_at : -1;
}

static bool evaluate(const double *x, double *value, double *over, void *context)
{
    search_run *run = context;
    snub_search *search = run->search;
    double values[SNUB_SEARCH_NUMBERS_MOST] = {0};
    (void)over;
    if (!goes_further(run))
        return false;
    search->asked++;
    const double far = snub_space_values(&run->space, x, values);
    if (far > 0.0) {
        *value = OUTSIDE + far / SNUB_MM;
        note_best(run, NULL, *value);
        return true;
    }
    const snub_tried *t = look_at(run, values);
    if (t == NULL)
        return false;
    *value = merit(run, &t->came_to);
    note_best(run, t, *value);
    keep_best(run, &t->came_to);
    return true;
}

static void sum_up_tenth(search_run *run, int aim)
{
    snub_last_tenth *out = &run->search->last_tenth[aim];
    const snub_aim of = run->space.section->aims[aim];
    const int last = run->asked - 1, tenth = run->asked / 10;
    *out = (snub_last_tenth){.candidates = tenth, .before = NAN, .after = NAN};
    if (tenth == 0 || run->trace[last] < 0)
        return;
    const snub_candidate_measures *after = &run->tried[run->trace[last]].came_to;
    out->after = after->of[of];
    out->gained = run->trace[last - tenth] < 0;
    if (out->gained)
        return;
    const snub_candidate_measures *before = &run->tried[run->trace[last - tenth]].came_to;
    out->before = before->of[of];
    out->gained = merit_of(before, of) - merit_of(after, of) > WORTH;
}

static snub_status run_once(search_run *run, double weight, int tries, uint32_t number)
{
    snub_optimum found;
    const int global = (int)(GLOBAL_SHARE * tries);
    const snub_optimise problem = {.count = run->space.count,
                                   .low = run->space.low,
                                   .high = run->space.high,
                                   .start = run->space.start,
                                   .evaluate = evaluate,
                                   .context = run,
                                   .rounds = 1,
                                   .global = global,
                                   .local = tries - global,
                                   .seed = run->request->seed + number,
                                   .wall = WALL,
                                   .tolerance = END_SHARE};
    run->weight = weight;
    run->best = INFINITY;
    run->asked = 0;
    const snub_status status = snub_optimise_run(&problem, &found, NULL);
    if (run->status == SNUB_OK && status == SNUB_OK && (weight == 1.0 || weight == 0.0))
        sum_up_tenth(run, weight == 1.0 ? 0 : 1);
    if (run->status != SNUB_OK || status != SNUB_OK)
        return run->status != SNUB_OK ? run->status : status;
    run->search->stopped = run->search->stopped || (found.stopped && !run->foreign);
    run->search->converged = run->search->converged && found.converged;
    return SNUB_OK;
}

/* ---- what was found ---------------------------------------------------------------------------------------------- */

static bool holds(const snub_tried *t)
{
    return t->came_to.whole && t->came_to.over == 0.0;
}

static bool moved_at_all(const search_run *run, const snub_tried *t)
{
    for (int m = 0; m < run->space.section->move_count; m++)
        if (snub_space_moved(&run->space, m, t->value))
            return true;
    return false;
}

/* Least merit of an aim among those that hold. NULL: none holds. */
static const snub_tried *best_in(const search_run *run, int aim)
{
    const snub_tried *best = NULL;
    const snub_aim of = run->space.section->aims[aim];
    for (int i = 0; i < run->count; i++) {
        const snub_tried *t = &run->tried[i];
        if (holds(t) && (best == NULL || merit_of(&t->came_to, of) < merit_of(&best->came_to, of)))
            best = t;
    }
    return best;
}

static bool set_ranges(search_run *run)
{
    const snub_tried *end[2] = {best_in(run, 0), best_in(run, 1)};
    for (int a = 0; a < 2; a++) {
        if (end[a] == NULL)
            return false;
        const snub_aim aim = run->space.section->aims[a];
        run->ideal[a] = merit_of(&end[a]->came_to, aim);
        run->range[a] = merit_of(&end[1 - a]->came_to, aim) - run->ideal[a];
        if (!(run->range[a] > GAIN))
            return false; /* one candidate is best in both */
    }
    return true;
}

/* Of two aims each is what it counts: what parts equals of one would fill the front with them. */
static double on_front(const search_run *run, const snub_candidate_measures *c, snub_aim aim)
{
    if (run->space.section->aim_count == 2 && aim == SNUB_AIM_PASSES)
        return -c->of[aim];
    if (run->space.section->aim_count == 2 && aim == SNUB_AIM_BELTS && !isnan(c->of[aim]))
        return c->of[aim];
    return merit_of(c, aim);
}

/* In one aim at least. */
static bool improves(const search_run *run, const snub_candidate_measures *now, const snub_candidate_measures *today)
{
    const snub_search_section *s = run->space.section;
    for (int i = 0; i < s->aim_count; i++)
        if (on_front(run, now, s->aims[i]) < on_front(run, today, s->aims[i]) - WORTH)
            return true;
    return false;
}

/* Worth proposing: it holds, moves something, and neither today's drive nor another candidate is better or the same.
 * @param[out] front  room for all that were tried. @return how many; -1: memory is out */
static int find_front(search_run *run, const snub_tried **front)
{
    const snub_candidate_measures *today = &run->search->today;
    const snub_search_section *s = run->space.section;
    snub_front_point *points = malloc(sizeof *points * (size_t)(run->count + 1));
    int held = 0, count = 0;
    if (points == NULL)
        return -1;
    for (int i = 0; i < run->count; i++) {
        const snub_tried *t = &run->tried[i];
        run->search->found = run->search->found || holds(t);
        if (!holds(t) || !moved_at_all(run, t))
            continue;
        points[held++] = (snub_front_point){
            {on_front(run, &t->came_to, s->aims[0]), s->aim_count == 2 ? on_front(run, &t->came_to, s->aims[1]) : 0.0},
            i,
            false};
    }
    snub_front_thin(points, held, GAIN);
    for (int k = 0; k < held; k++) {
        const snub_tried *t = &run->tried[points[k].number];
        if (points[k].stays && (today->over > 0.0 || improves(run, &t->came_to, today)))
            front[count++] = t;
    }
    free(points);
    return count;
}

/* Along a front from end to end both aims change by their ranges: steps of a quarter of one leave nine at most. */
#define APART 0.25

static bool far_enough(const search_run *run, const snub_tried *from, const snub_tried *to)
{
    double sum = 0.0;
    for (int a = 0; a < run->space.section->aim_count; a++) {
        const snub_aim aim = run->space.section->aims[a];
        const double range = run->range[a] > 0.0 ? run->range[a] : 1.0;
        sum += fabs(on_front(run, &to->came_to, aim) - on_front(run, &from->came_to, aim)) / range;
    }
    return sum >= APART;
}

/* @param[in,out] front  in the order of the first aim */
static int choose_front(search_run *run, const snub_tried **front, int count)
{
    int kept = 0;
    for (int i = 0; i < count; i++) {
        const bool last = i == count - 1;
        if (kept > 0 && !far_enough(run, front[kept - 1], front[i])) {
            if (last && kept > 1)
                front[kept - 1] = front[i]; /* the ends stay */
            continue;
        }
        if (kept == SNUB_PROPOSALS_MOST)
            break;
        front[kept++] = front[i];
    }
    return kept;
}

/* ---- proposals --------------------------------------------------------------------------------------------------- */

/* Does the file write the setting of this pulley's slot? Its own build has another place for some. */
static bool gives_setting(const snub_drive *drive, const char *name)
{
    for (int i = 0; i < drive->pulley_count; i++) {
        const snub_pulley *pulley = &drive->pulleys[i];
        if (strcmp(pulley->name, name) == 0)
            return pulley->sits == SNUB_ON_SLOT && !isnan(pulley->setting);
    }
    return false;
}

/* With its unit in a file for inches, whose bare numbers are told. */
static const char *length_text(const search_run *run, double length)
{
    return snub_format(run->measuring.reading->arena, run->space.inches ? "%.12g mm" : "%.12g", length / SNUB_MM);
}

/* The file's own build with the moves of a candidate, or today's (NULL); belt and settings chosen anew.
 * @param[out] own  stays where there is none */
static snub_status settle_own(search_run *run, const double *value, const snub_build **own)
{
    const snub_measuring *m = &run->measuring;
    snub_arena *arena = m->reading->arena;
    snub_errors errors = {0};
    snub_build *build = SNUB_NEW(arena, snub_build, 1);
    const snub_named_rows none = {"", ""};
    const snub_build_request request = {.afresh = true};
    snub_row row, made;
    if (build == NULL)
        return SNUB_NO_MEMORY;
    snub_status status = snub_row_own(m->document, m->reading, &none, &row, &errors);
    if (status == SNUB_OK && !snub_measure_row(&run->space, &row, value, arena, &made))
        status = SNUB_NO_MEMORY;
    if (status == SNUB_OK)
        status = snub_build_make(m->document, m->reading, &made, &request, build, &errors);
    snub_errors_free(&errors);
    if (status == SNUB_OK && build->settled)
        *own = build;
    return status == SNUB_NO_MEMORY ? status : SNUB_OK;
}

/* What the file writes of belt and settings would be wrong now. */
static void add_settled(const search_run *run, const snub_build *own, snub_change *changes, int *count)
{
    snub_arena *arena = run->measuring.reading->arena;
    if (own == NULL)
        return;
    if (!isnan(run->base->belt.length) && isfinite(own->length))
        changes[(*count)++] = (snub_change){"belt.length", length_text(run, own->length)};
    for (int i = 0; i < own->drive->pulley_count; i++) {
        const char *name = own->drive->pulleys[i].name;
        if (isfinite(own->settings[i]) && gives_setting(run->base, name))
            changes[(*count)++] =
                (snub_change){snub_format(arena, "%s.slot.setting", name), length_text(run, own->settings[i])};
    }
}

/* What is moved keeps the tolerance behind it: a drill scatters there as it did here. */
static snub_status keep_tolerances(search_run *run, snub_change *changes, int count)
{
    snub_error error;
    const snub_measuring *m = &run->measuring;
    const snub_status status =
        snub_changes_keep_tolerances(m->document, m->reading->units, changes, count, m->reading->arena, &error);
    if (status != SNUB_OK)
        snub_errors_add(run->errors, &error);
    return status;
}

static snub_status propose(search_run *run, const snub_tried *t)
{
    snub_arena *arena = run->measuring.reading->arena;
    snub_proposal *p = &run->search->proposals[run->search->proposal_count++];
    snub_change *changes = SNUB_NEW(arena, snub_change, 9 * SNUB_MOVES_MOST + SNUB_PULLEYS_MOST + 1);
    if (changes == NULL)
        return SNUB_NO_MEMORY;
    p->came_to = t->came_to;
    memcpy(p->value, t->value, sizeof p->value);
    for (int m = 0; m < run->space.section->move_count; m++) {
        if (!snub_space_moved(&run->space, m, t->value))
            continue;
        changes[p->change_count++] =
            (snub_change){run->space.section->moves[m].path, snub_space_text(&run->space, m, t->value, arena)};
    }
    p->move_count = p->change_count;
    p->changes = changes;
    const snub_status status = settle_own(run, t->value, &p->own);
    add_settled(run, p->own, changes, &p->change_count);
    const int kept = p->change_count;
    for (int m = 0; m < run->space.section->move_count; m++)
        for (int i = 0; i < run->space.taken_count[m] && snub_space_moved(&run->space, m, t->value); i++)
            changes[p->change_count++] = (snub_change){run->space.taken[m][i], "null"};
    p->taken_count = p->change_count - kept;
    for (int i = 0; i < p->change_count; i++)
        if (changes[i].path == NULL || changes[i].text == NULL)
            return SNUB_NO_MEMORY;
    return status == SNUB_OK ? keep_tolerances(run, changes, kept) : status;
}

static snub_status propose_all(search_run *run)
{
    const snub_tried **front = malloc(sizeof *front * (size_t)(run->count + 1));
    int count = front != NULL ? find_front(run, front) : -1;
    snub_status status = count < 0 ? SNUB_NO_MEMORY : SNUB_OK;
    count = choose_front(run, front, count);
    if (status == SNUB_OK)
        status = settle_own(run, NULL, &run->search->today_own);
    for (int i = 0; i < count && status == SNUB_OK; i++)
        status = propose(run, front[i]);
    free(front);
    return status;
}

static snub_status tell_nearest(search_run *run)
{
    const snub_tried *best = NULL;
    snub_search *search = run->search;
    for (int i = 0; i < run->count; i++) {
        const snub_tried *t = &run->tried[i];
        if (t->came_to.whole && (best == NULL || t->came_to.over < best->came_to.over))
            best = t;
    }
    search->nearest = best != NULL ? best->came_to : search->today;
    return snub_measure_worst(&run->measuring, best != NULL ? best->value : NULL, &search->broken_row, &search->broken);
}

static snub_status end_search(search_run *run)
{
    snub_search *search = run->search;
    if (search->section->aim_count == 2)
        set_ranges(run);
    snub_status status = propose_all(run);
    if (status == SNUB_OK && !search->found && search->today.over > 0.0)
        status = tell_nearest(run);
    show_tried(run);
    snub_tried *kept = SNUB_NEW(run->measuring.reading->arena, snub_tried, search->tried_count + 1);
    if (kept == NULL)
        return SNUB_NO_MEMORY;
    if (search->tried_count > 0)
        memcpy(kept, search->tried, sizeof *kept * (size_t)search->tried_count);
    search->tried = kept;
    return status;
}

/* ---- the search -------------------------------------------------------------------------------------------------- */

static bool goes_on(const search_run *run, snub_status status)
{
    return status == SNUB_OK && !run->search->stopped && !run->foreign;
}

static snub_status run_all(search_run *run)
{
    const bool two = run->space.section->aim_count == 2;
    const int each = run->search->all / (two ? RUNS : 1);
    snub_status status = run_once(run, 1.0, each, 0);
    if (!two)
        return status;
    if (goes_on(run, status))
        status = run_once(run, 0.0, each, 1);
    if (!goes_on(run, status) || !set_ranges(run))
        return status;
    for (int k = 1; k <= WEIGHTS && goes_on(run, status); k++)
        status = run_once(run, (double)k / (WEIGHTS + 1), each, (uint32_t)k + 1);
    return status;
}

static snub_status refuse(const snub_place *place, const char *key, const char *words, snub_errors *errors)
{
    snub_error error;
    const snub_status status = snub_fail(&error, SNUB_BAD_INPUT, place, key, "%s", words);
    snub_errors_add(errors, &error);
    return status;
}

static int tries_of(const snub_search_request *request, int numbers, int aims)
{
    return request->tries > 0 ? request->tries : TRIES_EACH * (numbers + 1) * (aims == 2 ? RUNS : 1);
}

static void add_count(snub_digest *digest, long long number)
{
    snub_digest_add(digest, &(uint64_t){(uint64_t)number}, sizeof(uint64_t));
}

static void digest_of(const snub_drive *drive, const snub_search_request *request, int numbers, char text[65])
{
    char of_drive[65];
    snub_digest digest;
    snub_drive_digest(drive, of_drive);
    snub_digest_init(&digest);
    snub_digest_text(&digest, "snub search 1");
    snub_digest_text(&digest, of_drive);
    snub_digest_text(&digest, request->named.variant != NULL ? request->named.variant : "\n");
    snub_digest_text(&digest, request->named.package != NULL ? request->named.package : "\n");
    for (int m = 0; m < drive->search->move_count; m++) { /* what the catalogue has today */
        const snub_move *move = &drive->search->moves[m];
        for (int i = 0; i < move->choice_count && move->from_catalogue; i++) {
            snub_digest_text(&digest, move->parts[i]);
            snub_digest_add(&digest, &move->choices[i], sizeof move->choices[i]);
        }
    }
    add_count(&digest, tries_of(request, numbers, drive->search->aim_count));
    add_count(&digest, request->seed);
    snub_digest_end(&digest, text);
}

static snub_status read_base(const snub_document *document, const snub_reading *reading, snub_drive *drive,
                             snub_space *space, snub_errors *errors)
{
    const snub_status status = snub_drive_read(document, reading, drive, errors);
    if (status != SNUB_OK)
        return status;
    if (drive->search == NULL)
        return refuse(&(snub_place){.file = document->name}, "search",
                      "is missing: it says what may move and what is to be gained", errors);
    const snub_status chosen = snub_space_choose_parts(drive, reading, errors);
    if (chosen != SNUB_OK)
        return chosen;
    snub_space_open(drive, space);
    return snub_space_list_taken(drive, reading->arena, space);
}

snub_status snub_search_digest(const snub_document *document, const snub_reading *reading,
                               const snub_search_request *request, char text[65], snub_errors *errors)
{
    snub_drive drive;
    snub_space space;
    const snub_status status = read_base(document, reading, &drive, &space, errors);
    if (status == SNUB_OK)
        digest_of(&drive, request, space.count, text);
    return status;
}

static bool wants_belts(const snub_search_section *section)
{
    return section->aims[0] == SNUB_AIM_BELTS || (section->aim_count == 2 && section->aims[1] == SNUB_AIM_BELTS);
}

snub_status snub_search_drive(const snub_document *document, const snub_reading *reading,
                              const snub_search_request *request, snub_search *search, snub_errors *errors)
{
    snub_drive drive;
    search_run run = {.request = request, .search = search, .base = &drive, .errors = errors};
    memset(search, 0, sizeof *search);
    snub_status status = read_base(document, reading, &drive, &run.space, errors);
    if (status != SNUB_OK)
        return status;
    digest_of(&drive, request, run.space.count, search->digest);
    search->section = drive.search;
    search->numbers = run.space.count;
    search->converged = true;
    search->all = tries_of(request, run.space.count, drive.search->aim_count);
    run.measuring = (snub_measuring){.document = document,
                                     .reading = reading,
                                     .named = &request->named,
                                     .space = &run.space,
                                     .belts = wants_belts(drive.search),
                                     .threads = request->threads};
    run.trace = malloc(sizeof *run.trace * (size_t)(search->all + 1));
    if (run.trace == NULL)
        return SNUB_NO_MEMORY;
    status = snub_measuring_open(&run.measuring, &search->today, errors);
    search->build_count = run.measuring.rows.count;
    if (status == SNUB_OK)
        status = run_all(&run);
    if (status == SNUB_OK && run.foreign)
        status = refuse(&(snub_place){.file = document->name}, "search",
                        "the state does not fit: its candidates are not those of this search", errors);
    if (status == SNUB_OK)
        status = end_search(&run);
    snub_measuring_close(&run.measuring);
    snub_known_free(&run.known);
    free(run.tried);
    free(run.trace);
    return status;
}
