/* Spans that flap into what is beside them: what is found. docs/theory/motion.md, flap in the verdict. */
#include "snub/flapping.h"
#include "snub/locale.h"
#include "swing.h"

/* ---- words --------------------------------------------------------------------------------------------------------
 */

static void name_beside(const snub_study *s, const snub_span_flap *at, snub_finding *f)
{
    const snub_pulley *pulleys = s->drive->pulleys;
    switch (at->beside) {
    case SNUB_BESIDE_OBSTACLE: snub_finding_name(f, "beside", at->obstacle->name); break;
    case SNUB_BESIDE_PULLEY: snub_finding_name(f, "beside", pulleys[at->index].name); break;
    default:
        snub_finding_words(f, "beside", SNUB_MESSAGE("the span from {two_from} to {two_to}"));
        snub_finding_name(f, "two_from", pulleys[at->index].name);
        snub_finding_name(f, "two_to", pulleys[(at->index + 1) % s->drive->pulley_count].name);
    }
}

static void tell_flap(const snub_study *s, int i, const snub_span_flap *at, snub_way way)
{
    const snub_belt *belt = &s->drive->belt;
    snub_finding f = snub_study_finding(s,
                                        at->room >= 0.0            ? SNUB_SAYS_FLAPS_NEAR
                                        : belt->flap_damping_given ? SNUB_SAYS_FLAPS_INTO
                                                                   : SNUB_SAYS_MAY_FLAP_INTO,
                                        -1, NULL);
    f.value = at->room;
    f.limit = at->asked;
    if (at->obstacle != NULL && !isnan(at->obstacle->clearance))
        f.limit_line = at->obstacle->place.line;
    f.at = (snub_condition){.moment = SNUB_RUNNING,
                            .speed = at->speed,
                            .way = way,
                            .corner = SNUB_NOMINAL,
                            .warmth = s->grows ? SNUB_WARM : SNUB_ANY_WARMTH};
    snub_finding_span(s, &f, i);
    snub_finding_number(&f, "flap", at->flap, SNUB_UNIT_MM, 1);
    snub_finding_number(&f, "damping", belt->flap_damping, SNUB_UNIT_NONE, 3);
    name_beside(s, at, &f);
    snub_study_tell(s, &f);
}

/* ---- all ----------------------------------------------------------------------------------------------------------
 */

/* A flap that is no more than what every span is expected to have is in the gaps already. */
static bool counts(const snub_study *s, const snub_span_flap *at)
{
    return at->beside != SNUB_BESIDE_NOTHING && at->flap > s->drive->limits[SNUB_LIMIT_FLAP] * at->length;
}

/* Over the speeds of one throttle: what is worse than the one before. */
static snub_status take(const snub_build *build, const snub_flapping_request *request, snub_arena *arena,
                        snub_span_flap *worst, snub_way *way)
{
    snub_flapping found;
    const snub_status status = snub_flapping_find(build, request, arena, &found, NULL);
    if (status != SNUB_OK) /* a resonance without any damping is nothing to go by */
        return status == SNUB_NO_MEMORY ? status : SNUB_OK;
    for (int i = 0; i < found.spans; i++) {
        if (!(found.span[i].room - found.span[i].asked < worst[i].room - worst[i].asked))
            continue;
        worst[i] = found.span[i];
        way[i] = request->way;
    }
    return SNUB_OK;
}

snub_status snub_flap_spans(const snub_study *s, const snub_build *build, const bool *spans, snub_arena *arena,
                            double *tightest)
{
    const snub_engine *engine = &s->drive->engine;
    const snub_flapping_request closed = {.speed = NAN, .way = SNUB_SHUT, .spans = spans};
    const snub_flapping_request open = {.speed = NAN,
                                        .way = SNUB_STEADY,
                                        .from = fmin(SNUB_FULL_LOAD_FROM * engine->idle, engine->redline),
                                        .spans = spans};
    snub_span_flap worst[SNUB_PULLEYS_MOST];
    snub_way way[SNUB_PULLEYS_MOST];
    for (int i = 0; i < s->drive->pulley_count; i++)
        worst[i] = (snub_span_flap){.room = INFINITY};
    if (take(build, &closed, arena, worst, way) != SNUB_OK || take(build, &open, arena, worst, way) != SNUB_OK)
        return SNUB_NO_MEMORY;
    for (int i = 0; i < s->drive->pulley_count; i++) {
        if (!counts(s, &worst[i]))
            continue;
        if (worst[i].beside != SNUB_BESIDE_OBSTACLE)
            *tightest = fmin(*tightest, worst[i].room);
        if (worst[i].room < worst[i].asked)
            tell_flap(s, i, &worst[i], way[i]);
    }
    return SNUB_OK;
}
