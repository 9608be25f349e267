/* What comes too near to what: pulleys, spans and each other, wherever the arm works, and with each belt in tolerance
 * where a slot is set by the belt. docs/theory/clearance.md. */
#include "lie.h"
#include "snub/locale.h"
#include "snub/num.h"
#include "study.h"

enum {
    GAPS_MOST = 24,
    TRACKED_MOST = 96,
    WIND_CELLS = 8 /**< over the winds of all cases */
};
/* Between two winds that are looked at a gap dips by less than this, m: a pulley that the arm carries past another one
 * goes some 6 mm in a cell, and (6 mm/2)^2/(2 x 40 mm) = 0.1 mm. */
static const double DIP = 0.5e-3;
/* Wind of the least gap, rad: at its least a gap hardly changes with the wind. */
static const double WIND_TOLERANCE = 1e-7;
/* Flap that is shown as nothing is not told, m. */
static const double FLAP_TOLD = 0.05e-3;

static const char *name_of(const snub_study *s, int pulley)
{
    return s->drive->pulleys[pulley % s->drive->pulley_count].name;
}

/* ---- words ------------------------------------------------------------------------------------------------------- */

/* What the finding is about: a pulley's name, or both names of a span. */
static const char *subject(const snub_study *s, bool span, int index)
{
    return span ? snub_format(s->arena, "%s - %s", name_of(s, index), name_of(s, index + 1)) : name_of(s, index);
}

static void name_things(const snub_study *s, const snub_gap *gap, snub_finding *f)
{
    if (gap->kind == SNUB_GAP_SPANS) {
        snub_finding_words(f, "one", SNUB_MESSAGE("The span from {one_from} to {one_to}"));
        snub_finding_name(f, "one_from", name_of(s, gap->a));
        snub_finding_name(f, "one_to", name_of(s, gap->a + 1));
    } else {
        snub_finding_name(f, "one", name_of(s, gap->a));
    }
    if (gap->kind == SNUB_GAP_PULLEYS) {
        snub_finding_name(f, "two", name_of(s, gap->b));
    } else {
        snub_finding_words(f, "two", SNUB_MESSAGE("the span from {two_from} to {two_to}"));
        snub_finding_name(f, "two_from", name_of(s, gap->b));
        snub_finding_name(f, "two_to", name_of(s, gap->b + 1));
    }
}

/* With which arm or which belt it is so near. */
static const char *setting_words(const snub_study *s, snub_corner corner)
{
    if (s->drive->arm >= 0)
        return SNUB_MESSAGE(" with the arm at {wind} from free");
    switch (corner) {
    case SNUB_SHORTEST: return SNUB_MESSAGE(" with the shortest belt");
    case SNUB_LONGEST: return SNUB_MESSAGE(" with the longest belt");
    default: return "";
    }
}

static void tell_gap(const snub_study *s, const snub_gap *gap, double wind, snub_corner corner)
{
    const double clear = snub_gap_clear(gap);
    snub_finding f = snub_study_finding(s,
                                        gap->crossing  ? SNUB_SAYS_SPANS_CROSS
                                        : clear <= 0.0 ? SNUB_SAYS_TOUCHES
                                                       : SNUB_SAYS_GAP_SMALL,
                                        -1, NULL);
    f.value = clear;
    f.pulley = subject(s, gap->kind == SNUB_GAP_SPANS, gap->a);
    f.other = subject(s, gap->kind != SNUB_GAP_PULLEYS, gap->b);
    name_things(s, gap, &f);
    snub_finding_number(&f, "flap_mm", gap->flap, SNUB_UNIT_MM, 1);
    snub_finding_words(&f, "flap", gap->flap >= FLAP_TOLD ? SNUB_MESSAGE(" after {flap_mm} of belt flap") : "");
    snub_finding_number(&f, "wind", wind, SNUB_UNIT_DEG, 1);
    snub_finding_words(&f, "arm", setting_words(s, corner));
    snub_study_tell(s, &f);
}

/* ---- the least of each pair over the winds of the arm ------------------------------------------------------------ */

typedef struct tracked {
    snub_gap gap;
    double wind;
} tracked;

typedef struct sweep {
    const snub_study *study;
    const double *settings;
    const snub_lie_basis *basis;
    double within; /**< gaps that are wider need not be listed */
    tracked pairs[TRACKED_MOST];
    int count;
} sweep;

static bool same_pair(const snub_gap *a, const snub_gap *b)
{
    return a->kind == b->kind && a->a == b->a && a->b == b->b;
}

static int gaps_at(const sweep *w, double wind, snub_gap gaps[GAPS_MOST])
{
    const snub_drive *drive = w->study->drive;
    snub_path path;
    int count = 0;
    if (snub_drive_lay(drive, wind, w->settings, &path, NULL) != SNUB_OK)
        return 0;
    snub_lie lie;
    snub_gaps(drive, &path, snub_lie_on(w->basis, &path, &lie), drive->limits[SNUB_LIMIT_FLAP], w->within, gaps,
              GAPS_MOST, &count);
    return count;
}

static void note(sweep *w, const snub_gap *gap, double wind)
{
    for (int k = 0; k < w->count; k++) {
        tracked *old = &w->pairs[k];
        if (!same_pair(&old->gap, gap))
            continue;
        if (snub_gap_clear(gap) < snub_gap_clear(&old->gap))
            *old = (tracked){*gap, wind};
        return;
    }
    if (w->count < TRACKED_MOST) /* past that: far ones, since the tightest of each wind are listed */
        w->pairs[w->count++] = (tracked){*gap, wind};
}

typedef struct dip {
    const sweep *sweep;
    snub_gap found; /* of one pair */
} dip;

static bool minus_clear(double wind, double *value, void *context)
{
    dip *d = context;
    const snub_drive *drive = d->sweep->study->drive;
    snub_path path;
    snub_lie lie;
    if (snub_drive_lay(drive, wind, d->sweep->settings, &path, NULL) != SNUB_OK ||
        !snub_gap_again(drive, &path, snub_lie_on(d->sweep->basis, &path, &lie), drive->limits[SNUB_LIMIT_FLAP],
                        &d->found))
        return false;
    *value = -snub_gap_clear(&d->found);
    return true;
}

/* Between the winds beside the one where the pair was nearest. */
static void find_dip(const sweep *w, tracked *pair, const double winds[2])
{
    const double cell = (winds[1] - winds[0]) / WIND_CELLS;
    dip d = {w, pair->gap};
    double least, value;
    const double wind = snub_maximise(minus_clear, &d, fmax(winds[0], pair->wind - cell),
                                      fmin(winds[1], pair->wind + cell), 2, WIND_TOLERANCE, &least);
    if (-least < snub_gap_clear(&pair->gap) && minus_clear(wind, &value, &d))
        *pair = (tracked){d.found, wind};
}

static void sweep_winds(const snub_study *s, const snub_lie_basis *basis, const double winds[2], snub_corner corner,
                        double *tightest)
{
    const double limit = s->drive->limits[SNUB_LIMIT_CLEARANCE];
    const int cells = winds[1] > winds[0] ? WIND_CELLS : 0;
    sweep *w = SNUB_NEW(s->scratch, sweep, 1);
    if (w == NULL) {
        s->findings->failed = true;
        return;
    }
    *w = (sweep){.study = s, .settings = s->rig[0][corner].settings, .basis = basis, .within = INFINITY};
    for (int k = 0; k <= cells; k++) {
        const double wind = k == 0 ? winds[0] : k == cells ? winds[1] : winds[0] + (winds[1] - winds[0]) * k / cells;
        snub_gap gaps[GAPS_MOST];
        const int count = gaps_at(w, wind, gaps);
        for (int g = 0; g < count; g++)
            note(w, &gaps[g], wind);
        if (count > 0) /* from now on only what is near or may be the tightest */
            w->within = fmin(w->within, fmax(snub_gap_clear(&gaps[0]), limit) + 2.0 * DIP);
    }
    for (int k = 0; k < w->count; k++)
        *tightest = fmin(*tightest, snub_gap_clear(&w->pairs[k].gap));
    for (int k = 0; k < w->count; k++) {
        tracked *pair = &w->pairs[k];
        if (cells > 0 && snub_gap_clear(&pair->gap) < fmax(*tightest, limit) + DIP)
            find_dip(w, pair, winds);
        *tightest = fmin(*tightest, snub_gap_clear(&pair->gap));
        if (snub_gap_clear(&pair->gap) < limit)
            tell_gap(s, &pair->gap, pair->wind, corner);
    }
}

void snub_judge_gaps(const snub_study *s, double *tightest)
{
    const double winds[2] = {s->wind_low.set ? s->wind_low.value : 0.0, s->wind_high.set ? s->wind_high.value : 0.0};
    snub_lie_basis *basis = SNUB_NEW(s->scratch, snub_lie_basis, 1);
    *tightest = INFINITY;
    if (basis == NULL) {
        s->findings->failed = true;
        return;
    }
    snub_lie_drawn(s->drive, basis);
    for (int corner = 0; corner < SNUB_CORNERS; corner++) {
        if (corner == SNUB_NOMINAL || (!s->same_rig && s->has_rig[0][corner]))
            sweep_winds(s, basis, winds, (snub_corner)corner, tightest);
    }
}
