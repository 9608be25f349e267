/* The mark of an idler in its slot: where it is measured from, and what tells that it is wrong. docs/theory/mark.md. */
#include "mark.h"

#include "expect.h"
#include "pluck.h"

/** By how much a mark is tried wrong, m. */
static const double TRIED_OFF = 0.005;
/** Under that room to a slot's end a mark cannot be wrong on that side by anything that matters, m. */
static const double ROOM_LEAST = 0.001;
/** As far as a steel rule or a large calliper reaches from bolt to bolt, m. Rule of thumb, as all that follow: what is
 *  missed between two bolt heads judged by eye, between two rims with a rule, at the ends of a free span (nobody sees
 *  where a belt leaves its pulley), on an arm's scale, and of a pluck. */
static const double REACH = 0.5;
static const double CENTRES_ERROR = 0.001, RIMS_ERROR = 0.0005, SPAN_ERROR = 0.003;
static const double ARM_ERROR = 1.0 * SNUB_DEG, PLUCK_ERROR = 0.03;
/** Errors within which a reading is right, and from which on a wrong mark is told whichever way it was read. */
static const double RIGHT_WITHIN = 2.0, TOLD_FROM = 3.0;

/* ---- measured from ----------------------------------------------------------------------------------------------- */

static double apart(const double a[2], const double b[2])
{
    return hypot(a[0] - b[0], a[1] - b[1]);
}

static double from_setting(const snub_pulley *slot, double setting, const snub_pulley *other)
{
    double at[2];
    snub_slot_point(&slot->slot, setting, at);
    return apart(at, other->at);
}

static bool stands(const snub_drive *drive, int slot, int other)
{
    return other != slot && drive->pulleys[other].sits == SNUB_FIXED;
}

/* How much a distance moves with the setting, 0 to 1. */
static double follows(const snub_pulley *slot, double setting, const snub_pulley *other)
{
    const double step = fmin(1e-4, 0.5 * slot->slot.length);
    const double low = fmax(0.0, setting - step), high = fmin(slot->slot.length, setting + step);
    return fabs(from_setting(slot, high, other) - from_setting(slot, low, other)) / (high - low);
}

int snub_slot_centres(const snub_drive *drive, const double *settings, int slot, int pulley[2], double distance[2])
{
    const snub_pulley *p = &drive->pulleys[slot];
    double best[2] = {0.0, 0.0};
    int count = 0;
    for (int i = 0; i < drive->pulley_count; i++) {
        const snub_pulley *other = &drive->pulleys[i];
        if (!stands(drive, slot, i) || from_setting(p, settings[slot], other) > REACH)
            continue;
        const double moves = follows(p, settings[slot], other);
        const int place = count < 1 || moves > best[0] ? 0 : count < 2 || moves > best[1] ? 1 : 2;
        if (place == 0) {
            pulley[1] = pulley[0];
            best[1] = best[0];
        }
        if (place < 2) {
            pulley[place] = i;
            best[place] = moves;
            count += count < 2;
        }
    }
    for (int k = 0; k < count; k++)
        distance[k] = from_setting(p, settings[slot], &drive->pulleys[pulley[k]]);
    return count;
}

double snub_slot_edge(const snub_drive *drive, const double *settings, int slot)
{
    const snub_pulley *p = &drive->pulleys[slot];
    const snub_pulley_hardware *h = drive->hardware != NULL ? &drive->hardware->pulleys[slot] : NULL;
    const snub_bolt *bolt = h != NULL ? snub_slider_bolt(h) : NULL;
    if (bolt == NULL || h->mount < 0 || !(bolt->diameter > 0.0))
        return NAN;
    const double width = snub_slot_width(&drive->hardware->mounts[h->mount], h);
    double zero[2], ahead[2], at[2];
    const double step = fmin(1e-5, p->slot.length);
    if (!(width >= bolt->diameter) || !(step > 0.0))
        return NAN;
    snub_slot_point(&p->slot, 0.0, zero);
    snub_slot_point(&p->slot, step, ahead);
    snub_slot_point(&p->slot, settings[slot], at);
    const double end[2] = {zero[0] - 0.5 * width * (ahead[0] - zero[0]) / step,
                           zero[1] - 0.5 * width * (ahead[1] - zero[1]) / step};
    return apart(end, at) - 0.5 * bolt->diameter;
}

/* ---- what tells -------------------------------------------------------------------------------------------------- */

/* Everything that is read with the idler at one setting. */
typedef struct scene {
    bool solved;
    double setting;
    snub_balance balance;
    double wind_band, frequency_band[2]; /* half of what belt tolerance and arm friction move them */
} scene;

typedef struct trial {
    const snub_build *build;
    const snub_drive *drive;
    int slot, before; /* pulley, and the one before it in the belt */
    scene here, off[2];
} trial;

static int after(const trial *t)
{
    return (t->slot + 1) % t->drive->pulley_count;
}

static void widen(double range[2], double value)
{
    range[0] = fmin(range[0], value);
    range[1] = fmax(range[1], value);
}

/* Tolerance of the belt and friction of the arm: what the right mark itself may read. */
static void find_bands(const trial *t, const snub_rig *rig, scene *s)
{
    const double tolerance = snub_belt_tolerance(&t->drive->belt, t->build->length);
    const double *f = s->balance.span_frequency;
    double wind[2] = {s->balance.equilibrium.wind, s->balance.equilibrium.wind};
    double frequency[2][2] = {{f[t->before], f[t->before]}, {f[t->slot], f[t->slot]}};
    for (int k = 0; k < 4; k++) {
        snub_balance b;
        if (!snub_rest_balance(t->drive, rig, t->build->length + (k & 1 ? tolerance : -tolerance), k & 2 ? 1 : -1, &b))
            continue;
        widen(wind, b.equilibrium.wind);
        widen(frequency[0], b.span_frequency[t->before]);
        widen(frequency[1], b.span_frequency[t->slot]);
    }
    s->wind_band = 0.5 * (wind[1] - wind[0]);
    for (int k = 0; k < 2; k++)
        s->frequency_band[k] = 0.5 * (frequency[k][1] - frequency[k][0]);
}

static void look(const trial *t, double setting, bool bands, scene *s)
{
    double settings[SNUB_PULLEYS_MOST];
    snub_rig rig;
    for (int i = 0; i < t->drive->pulley_count; i++)
        settings[i] = t->build->settings[i];
    settings[t->slot] = s->setting = setting;
    s->solved = snub_rig_prepare(t->drive, settings, &rig, NULL) == SNUB_OK &&
                snub_rest_balance(t->drive, &rig, t->build->length, 0, &s->balance);
    if (s->solved && bands)
        find_bands(t, &rig, s);
}

/* One reading of a scene; NAN where it has none. */
static double read_at(const trial *t, const scene *s, snub_slot_reading_kind kind, int other)
{
    const snub_pulley *p = t->drive->pulleys;
    const bool ahead = other == after(t);
    const double *f = s->balance.span_frequency;
    if (kind == SNUB_READS_CENTRES || kind == SNUB_READS_RIMS) {
        const double centres = from_setting(&p[t->slot], s->setting, &p[other]);
        return kind == SNUB_READS_CENTRES ? centres : centres - p[t->slot].rim_radius - p[other].rim_radius;
    }
    if (!s->solved)
        return NAN;
    switch (kind) {
    case SNUB_READS_SPAN: return s->balance.path.span[ahead ? t->slot : t->before];
    case SNUB_READS_ARM: return s->balance.equilibrium.wind;
    case SNUB_READS_PLUCK: return f[ahead ? t->slot : t->before];
    default: return f[t->slot] > 0.0 ? f[t->before] / f[t->slot] : (double)NAN;
    }
}

/* Both sides that there are count, the worse one; a side without a balance tells by itself: the belt does not go on. */
static double score_of(const snub_slot_mark *mark, const snub_slot_reading *r)
{
    double score = INFINITY;
    for (int k = 0; k < 2; k++) {
        if (mark->off[k] >= ROOM_LEAST && isfinite(r->at[k]))
            score = fmin(score, fabs(r->at[k] - r->nominal) / r->error / mark->off[k]);
    }
    return isfinite(score) ? score : 0.0;
}

static void offer(const trial *t, snub_slot_mark *mark, snub_slot_reading_kind kind, int other, double error)
{
    snub_slot_reading r = {.kind = kind, .other = other, .error = error};
    r.nominal = read_at(t, &t->here, kind, other);
    for (int k = 0; k < 2; k++)
        r.at[k] = mark->off[k] >= ROOM_LEAST ? read_at(t, &t->off[k], kind, other) : (double)NAN;
    if (!isfinite(r.nominal) || !(r.error > 0.0) || mark->count == SNUB_SLOT_READINGS_MOST)
        return;
    r.score = score_of(mark, &r);
    if (r.score > 0.0 && (mark->best < 0 || r.score > mark->reading[mark->best].score))
        mark->best = mark->count;
    mark->reading[mark->count++] = r;
}

/* Whether the file is sure of a pulley's rim: a plain one without flanges is as wide as it is measured; the rim of one
 * with grooves only where it is given. */
static bool rim_is_sure(const snub_drive *drive, int pulley)
{
    const snub_pulley *p = &drive->pulleys[pulley];
    const snub_pulley_hardware *h = drive->hardware != NULL ? &drive->hardware->pulleys[pulley] : NULL;
    const bool flanges = h != NULL && (h->flange_front > 0.0 || h->flange_rear > 0.0);
    return !flanges && (p->side == SNUB_BACK || fabs(p->rim_radius - 0.5 * p->diameter) > 1e-6);
}

/* Whether another pulley stands between two: nothing can be measured through it. */
static bool hidden(const trial *t, int other)
{
    const snub_pulley *p = t->drive->pulleys;
    double at[2];
    snub_slot_point(&p[t->slot].slot, t->here.setting, at);
    const double x = p[other].at[0] - at[0], y = p[other].at[1] - at[1], length = hypot(x, y);
    for (int i = 0; i < t->drive->pulley_count; i++) {
        if (i == t->slot || i == other || p[i].sits != SNUB_FIXED || !(length > 0.0))
            continue;
        const double dx = p[i].at[0] - at[0], dy = p[i].at[1] - at[1], along = (dx * x + dy * y) / length;
        if (along > 0.0 && along < length && fabs(dx * y - dy * x) / length < p[i].rim_radius)
            return true;
    }
    return false;
}

static void offer_distances(const trial *t, snub_slot_mark *mark)
{
    for (int i = 0; i < t->drive->pulley_count; i++) {
        if (!stands(t->drive, t->slot, i) || read_at(t, &t->here, SNUB_READS_CENTRES, i) > REACH)
            continue;
        if (rim_is_sure(t->drive, t->slot) && rim_is_sure(t->drive, i) && !hidden(t, i))
            offer(t, mark, SNUB_READS_RIMS, i, RIMS_ERROR);
        offer(t, mark, SNUB_READS_CENTRES, i, CENTRES_ERROR);
    }
}

/* Of a pluck, as a share: a stiff belt sounds higher than a string by 2/(k L), which is not counted elsewhere. */
static double pluck_error(const trial *t, int span)
{
    const snub_balance *b = &t->here.balance;
    const double stiff = sqrt(snub_belt_bending(&t->drive->belt) / fmax(b->span_tension[span], 1.0));
    return PLUCK_ERROR + 2.0 * stiff / b->path.span[span];
}

static void offer_belt_readings(const trial *t, snub_slot_mark *mark)
{
    const scene *s = &t->here;
    const double *f = s->balance.span_frequency;
    if (!s->solved)
        return;
    if (t->drive->arm >= 0)
        offer(t, mark, SNUB_READS_ARM, -1, ARM_ERROR + s->wind_band);
    offer(t, mark, SNUB_READS_SPAN, t->before, SPAN_ERROR);
    offer(t, mark, SNUB_READS_SPAN, after(t), SPAN_ERROR);
    const double before = pluck_error(t, t->before), behind = pluck_error(t, t->slot);
    offer(t, mark, SNUB_READS_PLUCK, t->before, before * f[t->before] + s->frequency_band[0]);
    offer(t, mark, SNUB_READS_PLUCK, after(t), behind * f[t->slot] + s->frequency_band[1]);
    offer(t, mark, SNUB_READS_PLUCKS, -1, hypot(before, behind) * read_at(t, s, SNUB_READS_PLUCKS, -1));
}

/* Of the best: what is right, and whether 5 mm show on every side that has room for them. */
static void judge(snub_slot_mark *mark)
{
    if (mark->best < 0)
        return;
    const snub_slot_reading *r = &mark->reading[mark->best];
    mark->low = r->nominal - RIGHT_WITHIN * r->error;
    mark->high = r->nominal + RIGHT_WITHIN * r->error;
    mark->tells = mark->off[0] >= TRIED_OFF || mark->off[1] >= TRIED_OFF;
    for (int k = 0; k < 2; k++) {
        if (mark->off[k] >= TRIED_OFF && isfinite(r->at[k]) && !(fabs(r->at[k] - r->nominal) >= TOLD_FROM * r->error))
            mark->tells = false;
    }
}

void snub_slot_readings(const snub_build *build, int slot, snub_slot_mark *mark)
{
    const snub_drive *drive = build->drive;
    const double set = build->settings[slot], length = drive->pulleys[slot].slot.length;
    trial t = {
        .build = build, .drive = drive, .slot = slot, .before = (slot + drive->pulley_count - 1) % drive->pulley_count};
    *mark = (snub_slot_mark){.slot = slot, .best = -1, .off = {fmin(TRIED_OFF, set), fmin(TRIED_OFF, length - set)}};
    look(&t, set, true, &t.here);
    for (int k = 0; k < 2; k++)
        look(&t, set + (k == 0 ? -mark->off[k] : mark->off[k]), false, &t.off[k]);
    offer_distances(&t, mark);
    offer_belt_readings(&t, mark);
    judge(mark);
}
