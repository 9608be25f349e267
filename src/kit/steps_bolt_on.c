/* Steps of what is bolted on: brackets and pulleys from the engine outwards, each over its shims. */
#include "step_make.h"

/** Planes nearer than that [m] are one: stacks add up to rounding errors. */
#define SAME_PLANE 1e-6

/* A bracket, or a pulley with what holds it. */
typedef struct item {
    int mount, pulley; /* one of them; the other is -1 */
    double z;          /* where it begins along the crank's axis */
    bool done;
} item;

/* ---- shims ------------------------------------------------------------------------------------------------------- */

/* Of a mount or a pulley; the other is -1. @return length of its packs, m */
static double shim_steps(snub_step_maker *m, int mount, int pulley)
{
    const snub_shim_advice *shims = &m->report->shims;
    double all = 0.0;
    for (int k = 0; shims->asked && k < shims->places; k++) {
        if (shims->mount[k] != mount || shims->pulley[k] != pulley)
            continue;
        snub_step *s = snub_step_add(m, SNUB_STEP_SHIMS, SNUB_STEP_SAYS_SHIMS, shims->place[k]->name, shims->owner[k]);
        s->shims = k;
        s->mount = mount;
        s->pulley = pulley;
        snub_step_name(s, "owner", shims->owner[k]);
        snub_step_name(s, "place", shims->place[k]->name);
        snub_step_number(s, "thick", shims->answer.pack[k], SNUB_UNIT_MM, 2);
        all += shims->answer.pack[k];
    }
    return all;
}

/* ---- brackets ---------------------------------------------------------------------------------------------------- */

static void bolt_step(snub_step_maker *m, int mount, int bolt)
{
    const snub_mount_result *r = &m->report->mounts[mount];
    const snub_bolt_result *b = &r->bolts[bolt];
    snub_step *s = snub_step_add(m, SNUB_STEP_BOLT, SNUB_STEP_SAYS_BOLT, b->bolt->name, r->mount->name);
    s->mount = mount;
    s->bolt = bolt;
    snub_step_name(s, "mount", r->mount->name);
    snub_step_number(s, "order", b->order, SNUB_UNIT_COUNT, 0);
    snub_step_name(s, "name", b->bolt->name);
    snub_step_bolt(s, b->bolt);
    snub_step_tightens(s, b->torque);
}

static snub_step_wording placed_by(const snub_mount_result *r)
{
    const int bolts = r->mount->bolt_count;
    return bolts < 1             ? SNUB_STEP_SAYS_PLACE_NO_BOLTS
           : r->locating < 1     ? SNUB_STEP_SAYS_PLACE
           : r->locating < bolts ? SNUB_STEP_SAYS_PLACE_LOCATED
                                 : SNUB_STEP_SAYS_PLACE_ALL_LOCATE;
}

static void mount_steps(snub_step_maker *m, int mount)
{
    const snub_mount_result *r = &m->report->mounts[mount];
    const int bolts = r->mount->bolt_count;
    (void)shim_steps(m, mount, -1);
    snub_step *s = snub_step_add(m, SNUB_STEP_PLACE, placed_by(r), r->mount->name, NULL);
    s->mount = mount;
    snub_step_name(s, "mount", r->mount->name);
    if (bolts < 1)
        snub_step_tightens(s, NAN);
    if (bolts > 1) {
        s = snub_step_add(m, SNUB_STEP_FIRST_ROUND, SNUB_STEP_SAYS_FIRST_ROUND, r->mount->name, NULL);
        s->mount = mount;
        snub_step_name(s, "mount", r->mount->name);
    }
    for (int order = 1; order <= bolts; order++) {
        for (int i = 0; i < bolts; i++) {
            if (r->bolts[i].order == order)
                bolt_step(m, mount, i);
        }
    }
}

/* ---- pulleys ----------------------------------------------------------------------------------------------------- */

static snub_step *fit_step(snub_step_maker *m, int pulley, snub_step_wording says)
{
    const char *name = m->drive->pulleys[pulley].name;
    snub_step *s = snub_step_add(m, SNUB_STEP_FIT, says, name, NULL);
    s->pulley = pulley;
    snub_step_name(s, "name", name);
    return s;
}

/* The standoff's bolt is tightened at once, but where it holds a slider too. */
static void standoff_step(snub_step_maker *m, int pulley, const snub_standoff *standoff)
{
    const snub_drive *drive = m->drive;
    const bool slides = drive->pulleys[pulley].sits == SNUB_ON_SLOT && !drive->hardware->pulleys[pulley].clamp.given;
    snub_step *s = fit_step(m, pulley,
                            !slides                   ? SNUB_STEP_SAYS_FIT_STANDOFF
                            : pulley == drive->locked ? SNUB_STEP_SAYS_FIT_STANDOFF_LOCK
                                                      : SNUB_STEP_SAYS_FIT_STANDOFF_LOOSE);
    snub_step_number(s, "length", standoff->length, SNUB_UNIT_MM, 1);
    snub_step_bolt(s, &standoff->bolt);
    if (!slides)
        snub_step_tightens(s, m->report->standoff[pulley].torque);
}

/* Without a standoff: whose figure to use. */
static void plain_step(snub_step_maker *m, int pulley, bool shimmed)
{
    const snub_pulley *p = &m->drive->pulleys[pulley];
    if (p->sits == SNUB_ON_SLOT)
        (void)fit_step(m, pulley, pulley == m->drive->locked ? SNUB_STEP_SAYS_FIT_LOCK : SNUB_STEP_SAYS_FIT_SLIDER);
    else if (p->sits == SNUB_ON_ARM)
        snub_step_tightens(fit_step(m, pulley, SNUB_STEP_SAYS_FIT_ARM), NAN);
    else if (p->has_blower)
        snub_step_tightens(fit_step(m, pulley, SNUB_STEP_SAYS_FIT_BLOWER), NAN);
    else
        snub_step_tightens(
            fit_step(m, pulley, shimmed && p->side != SNUB_BACK ? SNUB_STEP_SAYS_FIT_AGAIN : SNUB_STEP_SAYS_FIT_PLAIN),
            NAN);
}

static void pulley_steps(snub_step_maker *m, int pulley)
{
    const snub_pulley_hardware *h =
        m->report != NULL && m->drive->hardware != NULL ? &m->drive->hardware->pulleys[pulley] : NULL;
    const double shimmed = h != NULL ? shim_steps(m, -1, pulley) : 0.0;
    if (snub_step_stays(m->drive, pulley) && !(shimmed > 0.0))
        return; /* looked at with all that stays */
    if (h != NULL && h->standoff.given)
        standoff_step(m, pulley, &h->standoff);
    else if (!m->drive->pulleys[pulley].is_crank)
        plain_step(m, pulley, shimmed > 0.0);
}

/* ---- from the engine outwards ------------------------------------------------------------------------------------ */

static int list_items(const snub_step_maker *m, item *items)
{
    int n = 0;
    for (int k = 0; m->report != NULL && k < m->report->mount_count; k++)
        items[n++] = (item){.mount = k, .pulley = -1, .z = m->report->mounts[k].mount->face};
    for (int i = 0; i < m->drive->pulley_count; i++)
        items[n++] = (item){.mount = -1, .pulley = i, .z = m->drive->pulleys[i].plane};
    return n;
}

/* A pulley waits for the bracket that it stands on, wherever that lies. */
static bool waits(const snub_step_maker *m, const item *items, int n, const item *one)
{
    if (one->pulley < 0 || m->drive->hardware == NULL)
        return false;
    const int mount = m->drive->hardware->pulleys[one->pulley].mount;
    for (int k = 0; mount >= 0 && k < n; k++) {
        if (items[k].mount == mount)
            return !items[k].done;
    }
    return false;
}

/* What lies deeper goes on first: it would be out of reach later. Among equals brackets, then the belt's order. */
static item *next_item(const snub_step_maker *m, item *items, int n)
{
    item *best = NULL;
    for (int k = 0; k < n; k++) {
        if (!items[k].done && !waits(m, items, n, &items[k]) && (best == NULL || items[k].z < best->z - SAME_PLANE))
            best = &items[k];
    }
    return best;
}

static bool adds_something(const snub_drive *drive)
{
    for (int i = 0; i < drive->pulley_count; i++) {
        const snub_pulley *p = &drive->pulleys[i];
        if (p->has_blower || (p->side == SNUB_BACK && p->sits != SNUB_ON_ARM))
            return true;
    }
    return false;
}

void snub_steps_bolt_on(snub_step_maker *m)
{
    item items[SNUB_PULLEYS_MOST + SNUB_MOUNTS_MOST];
    const int n = list_items(m, items);
    if ((m->report == NULL || m->report->mount_count == 0) && adds_something(m->drive))
        snub_step_tightens(snub_step_add(m, SNUB_STEP_BRACKETS, SNUB_STEP_SAYS_BRACKETS, NULL, NULL), NAN);
    for (item *one; (one = next_item(m, items, n)) != NULL; one->done = true) {
        if (one->pulley < 0)
            mount_steps(m, one->mount);
        else
            pulley_steps(m, one->pulley);
    }
}
