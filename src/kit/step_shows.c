/* What each step is about on the front of the engine: what its picture has dark. */
#include <string.h>

#include "fitting.h"
#include "mark.h"
#include "step_make.h"

/* ---- parts that steps share -------------------------------------------------------------------------------------- */

/* A pulley with what holds it to the engine. */
static void show_pulley(const snub_drive *drive, int pulley, snub_step_parts *parts)
{
    if (pulley < 0)
        return;
    parts->pulley[pulley] = true;
    parts->slot[pulley] = drive->pulleys[pulley].sits == SNUB_ON_SLOT;
    parts->arm = drive->pulleys[pulley].sits == SNUB_ON_ARM;
}

static void show_arm(const snub_drive *drive, int winds, snub_step_parts *parts)
{
    show_pulley(drive, drive->arm, parts);
    parts->winds = drive->arm >= 0 ? winds : 0;
}

static void show_pluck(const snub_steps *steps, snub_step_parts *parts)
{
    if (!steps->expect.known || steps->expect.span < 0)
        return;
    parts->span[steps->expect.span] = true;
    parts->plucked = true;
}

static void measure(int from, int to, bool rims, double length, snub_step_parts *parts)
{
    parts->measure[parts->measure_count++] = (snub_step_measure){from, to, rims, length};
}

/* ---- slots ------------------------------------------------------------------------------------------------------- */

/* A slider at its mark, with the distances by which that is found. */
static void show_setting(const snub_build *build, int pulley, snub_step_parts *parts)
{
    int from[2];
    double distance[2];
    show_pulley(build->drive, pulley, parts);
    if (pulley == build->drive->locked)
        return;
    parts->sets = true;
    const int count = snub_slot_centres(build->drive, build->settings, pulley, from, distance);
    for (int i = 0; i < count; i++)
        measure(pulley, from[i], false, distance[i], parts);
}

/** By so much a slider is moved to see whether its belt gets longer, m. */
#define TRIED_MOVE 1e-3

/* Which way along its slot the locked slider makes the belt tight; 0: not known. */
static int tight_way(const snub_build *build)
{
    const snub_drive *drive = build->drive;
    const int pulley = drive->locked;
    const snub_pulley *p = &drive->pulleys[pulley];
    double settings[SNUB_PULLEYS_MOST], length[2];
    snub_path path;
    if (p->sits != SNUB_ON_SLOT)
        return 0;
    const double at = isfinite(build->settings[pulley]) ? build->settings[pulley] : p->setting;
    memcpy(settings, build->settings, sizeof settings);
    for (int i = 0; i < 2; i++) {
        settings[pulley] = i == 0 ? fmax(0.0, at - TRIED_MOVE) : fmin(p->slot.length, at + TRIED_MOVE);
        if (snub_drive_lay(drive, 0.0, settings, &path, NULL) != SNUB_OK)
            return 0;
        length[i] = path.length;
    }
    return (length[1] > length[0]) - (length[1] < length[0]);
}

/* What the reading of the mark is taken on. */
static void show_mark(const snub_build *build, const snub_step *step, snub_step_parts *parts)
{
    const int n = build->drive->pulley_count, slot = step->pulley, before = (slot + n - 1) % n;
    const snub_slot_reading *r = &step->mark->reading[step->mark->best];
    const bool rims = r->kind == SNUB_READS_RIMS;
    show_pulley(build->drive, slot, parts);
    if (rims || r->kind == SNUB_READS_CENTRES)
        measure(slot, r->other, rims, r->nominal, parts);
    if (r->kind == SNUB_READS_SPAN || r->kind == SNUB_READS_PLUCK)
        parts->span[r->other == before ? before : slot] = true;
    if (r->kind == SNUB_READS_PLUCKS)
        parts->span[before] = parts->span[slot] = true;
    parts->plucked = r->kind == SNUB_READS_PLUCK || r->kind == SNUB_READS_PLUCKS;
    if (r->kind == SNUB_READS_ARM) {
        show_pulley(build->drive, build->drive->arm, parts);
        parts->reads = true;
    }
}

/* ---- what is on the engine already ------------------------------------------------------------------------------- */

/* Where the file says of no pulley that it stays, the crank alone would be wrong. */
static void show_kept(const snub_drive *drive, snub_step_parts *parts)
{
    bool said = false;
    for (int i = 0; i < drive->pulley_count; i++)
        said = said || (drive->pulleys[i].supply.given && drive->pulleys[i].supply.how == SNUB_SUPPLY_KEPT);
    for (int i = 0; i < drive->pulley_count; i++)
        parts->pulley[i] = said && drive->pulleys[i].supply.how == SNUB_SUPPLY_KEPT;
}

/* The arm of the old belt is that of the new one where it stays. */
static void show_old_arm(const snub_drive *drive, snub_step_parts *parts)
{
    if (drive->arm >= 0 && drive->pulleys[drive->arm].supply.how == SNUB_SUPPLY_KEPT)
        show_arm(drive, 1, parts);
}

static const char *named(const snub_step *step, const char *place)
{
    for (int i = 0; i < step->named_count; i++) {
        if (strcmp(step->named[i].name, place) == 0)
            return step->named[i].text;
    }
    return NULL;
}

/* What comes off or is reworked, by its name: a pulley, an obstacle or a bracket. */
static void show_named(const snub_step_maker *m, const snub_step *step, snub_step_parts *parts)
{
    const char *name = named(step, "name");
    const snub_hardware *hardware = m->drive->hardware;
    show_pulley(m->drive, step->pulley, parts);
    for (int i = 0; hardware != NULL && name != NULL && i < hardware->obstacle_count; i++)
        parts->obstacle[i] = strcmp(hardware->obstacles[i].name, name) == 0;
    for (int i = 0; hardware != NULL && name != NULL && i < hardware->removed_count; i++) {
        if (strcmp(hardware->removed[i].name, name) == 0)
            parts->removed = i;
    }
    for (int i = 0; m->report != NULL && name != NULL && i < m->report->mount_count; i++) {
        if (strcmp(m->report->mounts[i].mount->name, name) == 0)
            parts->mount = i;
    }
}

static void show_conflict(const snub_step_maker *m, const snub_step *step, snub_step_parts *parts)
{
    const snub_conflict *c = &m->report->conflicts[step->conflict];
    parts->obstacle[c->obstacle - m->drive->hardware->obstacles] = true;
    if (c->piece == SNUB_PIECE_SPAN)
        parts->span[c->index] = parts->laid = true;
    else if (c->piece == SNUB_PIECE_BODY)
        parts->arm = m->drive->arm >= 0;
    else if (c->index >= 0)
        parts->pulley[c->index] = true;
}

/* ---- each kind --------------------------------------------------------------------------------------------------- */

/* The rim with the belt to both sides of it. */
static void show_last_rim(const snub_drive *drive, const snub_step *step, snub_step_parts *parts)
{
    const int n = drive->pulley_count, rim = step->pulley;
    if (rim < 0)
        return;
    parts->pulley[rim] = parts->span[rim] = parts->span[(rim + n - 1) % n] = true;
}

static void fill(const snub_step_maker *m, const snub_step *step, snub_step_parts *parts)
{
    const snub_drive *drive = m->drive;
    parts->laid = step->kind >= SNUB_STEP_LAY && step->kind != SNUB_STEP_OWN;
    switch (step->kind) {
    case SNUB_STEP_OLD_BELT: show_old_arm(drive, parts); break;
    case SNUB_STEP_LOOK: show_kept(drive, parts); break;
    case SNUB_STEP_TAKE_OFF:
    case SNUB_STEP_REWORK: show_named(m, step, parts); break;
    case SNUB_STEP_CLEARANCE: show_conflict(m, step, parts); break;
    case SNUB_STEP_SHIMS:
    case SNUB_STEP_PLACE:
    case SNUB_STEP_FIRST_ROUND:
    case SNUB_STEP_BOLT: parts->mount = step->mount; /* fall through */
    case SNUB_STEP_FIT: show_pulley(drive, step->pulley, parts); break;
    case SNUB_STEP_SET: show_setting(m->build, step->pulley, parts); break;
    case SNUB_STEP_CLAMP:
        parts->laid = step->pulley == drive->locked;
        show_setting(m->build, step->pulley, parts);
        break;
    case SNUB_STEP_SLACKEN:
        show_pulley(drive, step->pulley, parts);
        parts->slides = -tight_way(m->build);
        break;
    case SNUB_STEP_LAY:
        parts->belt = true;
        show_arm(drive, 1, parts);
        break;
    case SNUB_STEP_LAST_RIM: show_last_rim(drive, step, parts); break;
    case SNUB_STEP_EASE: show_arm(drive, -1, parts); break;
    case SNUB_STEP_TURN:
        show_pulley(drive, drive->crank, parts);
        parts->turns = drive->crank;
        break;
    case SNUB_STEP_TENSION:
        show_pulley(drive, step->pulley, parts);
        show_pluck(m->steps, parts);
        parts->slides = tight_way(m->build);
        break;
    case SNUB_STEP_MARK: show_mark(m->build, step, parts); break;
    case SNUB_STEP_READ_ARM:
        show_pulley(drive, drive->arm, parts);
        parts->reads = true;
        break;
    case SNUB_STEP_PLUCK:
    case SNUB_STEP_OWNER: show_pluck(m->steps, parts); break;
    default: break;
    }
}

/* ---- pictures ---------------------------------------------------------------------------------------------------- */

static bool any_of(const bool *flags, size_t count)
{
    return memchr(flags, true, count) != NULL;
}

/* A bracket without bolts has nothing to be seen from the front. */
static bool shows_something(const snub_step_maker *m, const snub_step_parts *p)
{
    return any_of(p->pulley, SNUB_PULLEYS_MOST) || any_of(p->span, SNUB_PULLEYS_MOST) ||
           any_of(p->obstacle, SNUB_OBSTACLES_MOST) || p->arm || p->belt || p->removed >= 0 ||
           (p->mount >= 0 && m->report->mounts[p->mount].mount->bolt_count > 0);
}

static bool same_measures(const snub_step_parts *a, const snub_step_parts *b)
{
    if (a->measure_count != b->measure_count)
        return false;
    for (int i = 0; i < a->measure_count; i++) {
        if (a->measure[i].from != b->measure[i].from || a->measure[i].to != b->measure[i].to ||
            a->measure[i].rims != b->measure[i].rims)
            return false;
    }
    return true;
}

static bool same_parts(const snub_step_parts *a, const snub_step_parts *b)
{
    return memcmp(a->pulley, b->pulley, sizeof a->pulley) == 0 && memcmp(a->slot, b->slot, sizeof a->slot) == 0 &&
           memcmp(a->span, b->span, sizeof a->span) == 0 && memcmp(a->obstacle, b->obstacle, sizeof a->obstacle) == 0 &&
           a->removed == b->removed && a->mount == b->mount && a->arm == b->arm && a->belt == b->belt &&
           a->laid == b->laid && a->sets == b->sets && a->reads == b->reads && a->plucked == b->plucked &&
           a->winds == b->winds && a->slides == b->slides && a->turns == b->turns && same_measures(a, b);
}

/* Cautions stand before the first step of a place: they would come between a picture and its second step. */
static bool one_picture(const snub_step *a, const snub_step *b)
{
    if (a->picture == 0 || a->place != b->place)
        return false;
    if (a->file != NULL || b->file != NULL)
        return a->file != NULL && b->file != NULL && strcmp(a->file->picture, b->file->picture) == 0;
    return same_parts(a->shows, b->shows);
}

void snub_steps_show(snub_step_maker *m)
{
    int pictures = 0;
    for (int i = 0; i < m->steps->count && !m->steps->failed; i++) {
        snub_step *step = &m->steps->items[i];
        snub_step_parts *parts = SNUB_NEW(m->arena, snub_step_parts, 1);
        if (parts == NULL) {
            m->steps->failed = true;
            return;
        }
        *parts = (snub_step_parts){.removed = -1, .mount = -1, .turns = -1};
        fill(m, step, parts);
        step->shows = !step->bare && step->file == NULL && shows_something(m, parts) ? parts : NULL;
        if (step->shows == NULL && step->file == NULL)
            continue;
        step->picture = i > 0 && one_picture(step - 1, step) ? pictures : ++pictures;
    }
}
