/* Obstacles against the drive where it runs, at rest, all the way of the arm, and with each belt of a lock. */
#include "hardware_study.h"
#include "lie.h"
#include "snub/locale.h"
#include "snub/num.h"

#include <math.h>
#include <string.h>

/* From so many ribs on an idler is called wide; common practice, no published source. */
enum { WIDE_RIBS = 8 };
/* Twice the 1/8 in that is usual: past that it is another matter, m. */
#define USUAL_RELIEF_MOST (0.25 * SNUB_INCH)
/* Of two ways to take metal off, one that asks for this much more than the other is not worth naming. */
#define FAR_MORE 2.0
/* What tolerances and lean take of a gap along the crank is not told where it shows as nothing, m. */
static const double SHIFT_TOLD = 0.05e-3;

static bool same_thing(const snub_conflict *a, const snub_conflict *b)
{
    return a->obstacle == b->obstacle && a->piece == b->piece && a->index == b->index && a->disc == b->disc;
}

/* The worst of each thing against each obstacle, and with what wind it was met. */
typedef struct worst_list {
    snub_conflict *conflicts; /* room for SNUB_CONFLICTS_MOST */
    int *count;
    double *wind; /* NULL: not asked */
    int *more;    /* at least so many found no room */
} worst_list;

static double lack_of(const snub_conflict *c)
{
    return c->needed - c->gap;
}

static int least_lacking(const worst_list *list)
{
    int least = 0;
    for (int k = 1; k < *list->count; k++)
        least = lack_of(&list->conflicts[k]) < lack_of(&list->conflicts[least]) ? k : least;
    return least;
}

/* A full list gives up what lacks least, so that the verdict stands. */
static void keep_worst(const worst_list *list, const snub_conflict *c, double wind)
{
    int at = 0;
    while (at < *list->count && !same_thing(&list->conflicts[at], c))
        at++;
    bool known = at < *list->count;
    if (at == SNUB_CONFLICTS_MOST) {
        *list->more = *list->more > 0 ? *list->more : 1;
        at = least_lacking(list);
        known = true;
    }
    if (known && lack_of(c) <= lack_of(&list->conflicts[at]))
        return;
    list->conflicts[at] = *c;
    *list->count += !known;
    if (list->wind != NULL)
        list->wind[at] = wind;
}

static worst_list of_report(snub_hardware_report *report)
{
    return (worst_list){report->conflicts, &report->conflict_count, NULL, &report->conflicts_more};
}

static int conflicts_on(const snub_hardware_study *study, const snub_path *path, snub_occasion occasion,
                        snub_conflict found[SNUB_CONFLICTS_MOST])
{
    const snub_drive *drive = study->drive;
    snub_lie lie;
    int count = 0, all = 0;
    snub_obstacle_conflicts(drive, path, snub_lie_on(study->lie, path, &lie), occasion,
                            drive->limits[SNUB_LIMIT_CLEARANCE], drive->limits[SNUB_LIMIT_FLAP], found,
                            SNUB_CONFLICTS_MOST, &count, &all);
    if (all - count > study->report->conflicts_more)
        study->report->conflicts_more = all - count;
    return count;
}

static void look_at(snub_hardware_study *study, const snub_path *path, snub_occasion occasion)
{
    snub_conflict found[SNUB_CONFLICTS_MOST];
    const worst_list list = of_report(study->report);
    const int count = conflicts_on(study, path, occasion, found);
    for (int k = 0; k < count; k++)
        keep_worst(&list, &found[k], NAN);
}

/* ---- all the way of the arm -------------------------------------------------------------------------------------- */

/* The arm is swung from its rest to its stop when the belt is fitted, whatever it does running. Between two winds that
 * are looked at its pulley goes some 4 mm, and a gap dips by (4 mm/2)^2/(2 x 40 mm) = 0.05 mm. */
enum { WIND_CELLS = 24 };
/* Wind of the least gap, rad: at its least a gap hardly changes with the wind. */
static const double WIND_TOLERANCE = 1e-7;

typedef struct swing {
    const snub_hardware_study *study;
    snub_conflict worst; /* of one thing against one obstacle */
} swing;

static int conflicts_at(const snub_hardware_study *study, double wind, snub_conflict found[SNUB_CONFLICTS_MOST])
{
    snub_path path;
    if (snub_drive_lay(study->drive, wind, study->study->rig[0][SNUB_NOMINAL].settings, &path, NULL) != SNUB_OK)
        return 0;
    const double travel = study->drive->pulleys[study->drive->arm].arm.travel;
    return conflicts_on(study, &path, wind < travel ? SNUB_SWINGS : SNUB_BELT_OFF, found);
}

static bool shortage(double wind, double *value, void *context)
{
    swing *w = context;
    snub_conflict found[SNUB_CONFLICTS_MOST];
    const int count = conflicts_at(w->study, wind, found);
    for (int k = 0; k < count; k++) {
        if (!same_thing(&found[k], &w->worst))
            continue;
        *value = found[k].needed - found[k].gap;
        if (*value > w->worst.needed - w->worst.gap)
            w->worst = found[k];
        return true;
    }
    return false;
}

static void look_over_arm(snub_hardware_study *study)
{
    const double travel = study->drive->pulleys[study->drive->arm].arm.travel, cell = travel / WIND_CELLS;
    snub_conflict met[SNUB_CONFLICTS_MOST];
    double wind[SNUB_CONFLICTS_MOST];
    int count = 0;
    const worst_list list = {met, &count, wind, &study->report->conflicts_more}, all = of_report(study->report);
    for (int k = 0; k <= WIND_CELLS; k++) {
        snub_conflict found[SNUB_CONFLICTS_MOST];
        const double at = k == WIND_CELLS ? travel : k * cell;
        const int here = conflicts_at(study, at, found);
        for (int i = 0; i < here; i++)
            keep_worst(&list, &found[i], at);
    }
    for (int i = 0; i < count; i++) {
        swing w = {study, met[i]};
        double most;
        snub_maximise(shortage, &w, fmax(0.0, wind[i] - cell), fmin(travel, wind[i] + cell), 2, WIND_TOLERANCE, &most);
        keep_worst(&all, &w.worst, NAN);
    }
}

/* A lock sets its slot by the belt: the shortest and the longest lay the drive otherwise. */
static void look_at_corners(snub_hardware_study *study)
{
    const snub_study *s = study->study;
    snub_path path;
    for (int corner = 0; corner < SNUB_CORNERS; corner++) {
        if (corner != SNUB_NOMINAL && s->has_rig[0][corner] &&
            snub_drive_lay(study->drive, 0.0, s->rig[0][corner].settings, &path, NULL) == SNUB_OK)
            look_at(study, &path, SNUB_RUNS);
    }
}

/* ---- words ------------------------------------------------------------------------------------------------------- */

static const char *piece_words(const snub_conflict *c)
{
    switch (c->piece) {
    case SNUB_PIECE_RIM: return SNUB_MESSAGE("The rim of {pulley}");
    case SNUB_PIECE_FRONT_FLANGE: return SNUB_MESSAGE("The front flange of {pulley}");
    case SNUB_PIECE_REAR_FLANGE: return SNUB_MESSAGE("The rear flange of {pulley}");
    case SNUB_PIECE_DISC: return SNUB_MESSAGE("The {disc} of {pulley}");
    case SNUB_PIECE_WRAP: return SNUB_MESSAGE("The belt on {pulley}");
    case SNUB_PIECE_SPAN: return SNUB_MESSAGE("The belt from {pulley} to {second}");
    case SNUB_PIECE_BODY:
        return c->obstacle->tool ? SNUB_MESSAGE("{disc}") : SNUB_MESSAGE("{disc}, which moves with the arm,");
    }
    return "";
}

/* What may be taken off further, in one direction: all where the file does not say, less what it has taken off. */
static double allowed_off(const snub_obstacle *obstacle, bool ends)
{
    return isnan(obstacle->relief) ? INFINITY : fmax(obstacle->relief - snub_taken_off(obstacle, ends), 0.0);
}

static const char *face_words(bool front, bool further)
{
    if (further)
        return front ? SNUB_MESSAGE("take a further {face} off the front of {other}")
                     : SNUB_MESSAGE("take a further {face} off the rear of {other}");
    return front ? SNUB_MESSAGE("take {face} off the front of {other}")
                 : SNUB_MESSAGE("take {face} off the rear of {other}");
}

/* Ways to free it, joined with "or" where they are shown. Its numbers are named beside. */
static void name_remedies(const snub_conflict *c, snub_finding *f)
{
    const double allowed = fmax(allowed_off(c->obstacle, true), allowed_off(c->obstacle, false));
    const bool cut = c->obstacle->cut_count > 0;
    const bool face = !isnan(c->face_off) && c->face_off <= allowed_off(c->obstacle, true) + 1e-9 &&
                      c->face_off < FAR_MORE * c->relief;
    const bool plane = c->relief < c->thick && c->relief <= allowed_off(c->obstacle, false) + 1e-9 &&
                       !(face && c->relief > FAR_MORE * c->face_off);
    const bool rim = !isnan(c->narrower), flange = !isnan(c->trim);
    if (plane) {
        snub_finding_words(f, "remedy",
                           cut ? SNUB_MESSAGE("relieve {other} by a further {relief} from z = {z_from} to {z_to}")
                               : SNUB_MESSAGE("relieve {other} by {relief} from z = {z_from} to {z_to}"));
        snub_finding_least(f, "relief", c->relief, SNUB_UNIT_MM, 1);
        snub_finding_most(f, "z_from", c->relief_from, SNUB_UNIT_MM, 1);
        snub_finding_least(f, "z_to", c->relief_to, SNUB_UNIT_MM, 1);
    }
    if (face) {
        snub_finding_words(f, "remedy", face_words(c->from_front, cut));
        snub_finding_least(f, "face", c->face_off, SNUB_UNIT_MM, 1);
    }
    if (flange) {
        snub_finding_words(f, "remedy", SNUB_MESSAGE("trim that flange by {trim}"));
        snub_finding_least(f, "trim", c->trim, SNUB_UNIT_MM, 1);
    }
    if (rim) {
        snub_finding_words(f, "remedy",
                           c->from_front ? SNUB_MESSAGE("make the pulley {narrower} narrower at its rear")
                                         : SNUB_MESSAGE("make the pulley {narrower} narrower at its front"));
        snub_finding_least(f, "narrower", c->narrower, SNUB_UNIT_MM, 1);
    }
    if (plane || face || flange || rim)
        return;
    if (isfinite(allowed)) {
        snub_finding_words(f, "remedy",
                           cut ? SNUB_MESSAGE("move the pulley: what may still be taken off is not enough")
                               : SNUB_MESSAGE("move the pulley: no more than {allowed} may be taken off"));
        snub_finding_most(f, "allowed", allowed, SNUB_UNIT_MM, 1);
    } else {
        snub_finding_words(f, "remedy", SNUB_MESSAGE("move {other} or remove it"));
    }
}

/* A tool needs its room or not; in between there is what the file asks for beside it. */
static snub_wording wording_of(const snub_conflict *c)
{
    if (c->obstacle->tool)
        return c->gap < 0.0 ? SNUB_SAYS_TOOL_BLOCKED : SNUB_SAYS_TOOL_TIGHT;
    return c->gap < 0.0               ? SNUB_SAYS_RUNS_INTO
           : c->gap < 0.5 * c->needed ? SNUB_SAYS_FAR_TOO_CLOSE
                                      : SNUB_SAYS_TOO_CLOSE;
}

snub_finding snub_conflict_finding(const snub_drive *drive, const snub_conflict *c)
{
    const snub_pulley *pulley = c->index < 0 ? NULL : &drive->pulleys[c->index];
    const bool of_pulley = c->piece != SNUB_PIECE_SPAN && c->piece != SNUB_PIECE_BODY;
    const bool wide = of_pulley && pulley->side == SNUB_BACK && drive->belt.ribs >= WIDE_RIBS &&
                      c->needed - c->gap < USUAL_RELIEF_MOST;
    snub_finding f = snub_finding_of(drive, wording_of(c));
    f.pulley = c->piece == SNUB_PIECE_BODY ? c->disc : pulley->name;
    f.other = c->obstacle->name;
    f.line = c->obstacle->place.line;
    f.value = c->gap;
    f.limit = c->needed;
    if (!isnan(c->obstacle->clearance))
        f.limit_line = c->obstacle->place.line;
    if (c->piece == SNUB_PIECE_SPAN)
        f.second = drive->pulleys[(c->index + 1) % drive->pulley_count].name;
    snub_finding_words(&f, "piece", piece_words(c));
    if (c->disc != NULL)
        snub_finding_name(&f, "disc", c->disc);
    snub_finding_number(&f, "depth", -c->gap, SNUB_UNIT_MM, 1);
    snub_finding_words(&f, "flap", c->flap > 0.0005 ? SNUB_MESSAGE(", belt flap counted") : "");
    snub_finding_words(&f, "lean",
                       c->shift > SHIFT_TOLD ? SNUB_MESSAGE(", {shift} of tolerance and lean counted") : "");
    snub_finding_number(&f, "shift", c->shift, SNUB_UNIT_MM, 1);
    snub_finding_words(&f, "practice",
                       wide ? SNUB_MESSAGE(" A wide idler often needs about 3.2 mm (1/8 in) of relief at a boss: "
                                           "common practice, no published source.")
                            : "");
    if (!c->obstacle->tool)
        name_remedies(c, &f);
    return f;
}

static void tell_more(const snub_hardware_study *study)
{
    if (study->report->conflicts_more == 0)
        return;
    snub_finding f = snub_hardware_finding(study, SNUB_SAYS_MORE_CONFLICTS, -1, NULL, study->report->conflicts_more);
    f.limit = SNUB_CONFLICTS_MOST;
    snub_hardware_tell(study, &f);
}

/* Where all stands along the crank: as drawn, with tolerances, and as far as the loads lean the seats. */
static snub_lie_basis *lie_of(const snub_hardware_study *study)
{
    const int n = study->drive->pulley_count;
    snub_lie_basis *basis = SNUB_NEW(study->study->scratch, snub_lie_basis, 1);
    snub_tilts *leans = SNUB_NEW(study->study->scratch, snub_tilts, n);
    if (basis == NULL || leans == NULL)
        return NULL;
    snub_lie_drawn(study->drive, basis);
    for (int i = 0; study->tilt != NULL && i < n; i++) {
        if (!snub_leans(&study->lean[i]))
            continue;
        for (int k = 0; k < study->study->sample_count; k++)
            snub_lie_take(&leans[i], study->tilt[k * n + i]);
    }
    snub_lie_lean(basis, study->path, leans);
    return basis;
}

void snub_hardware_obstacles(snub_hardware_study *study)
{
    const snub_drive *drive = study->drive;
    study->lie = lie_of(study);
    if (study->lie == NULL) {
        study->study->findings->failed = true;
        return;
    }
    look_at(study, study->path, SNUB_RUNS);
    look_at(study, study->rest, drive->arm >= 0 ? SNUB_RUNS : SNUB_BELT_OFF);
    if (drive->arm >= 0)
        look_over_arm(study);
    else if (!study->study->same_rig)
        look_at_corners(study);
    for (int k = 0; k < study->report->conflict_count; k++) {
        const snub_finding f = snub_conflict_finding(drive, &study->report->conflicts[k]);
        snub_hardware_tell(study, &f);
    }
    tell_more(study);
}
