/* Drives of any numbers that a drive file may hold, laid and balanced. What must hold: no answer with a NaN in it, one
 * turn where a belt is called laid, an arm within its travel, forces that add to nothing. Also raw doubles for the
 * functions of plain numbers. */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "balance/expand.h"
#include "snub/balance.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

typedef struct bytes {
    const uint8_t *data;
    size_t left;
} bytes;

static unsigned take(bytes *b, size_t count)
{
    unsigned value = 0;
    for (; count > 0 && b->left > 0; count--, b->left--)
        value = value << 8 | *b->data++;
    return value;
}

/* A number between two bounds of the drive file, both ends within reach. */
static double between(bytes *b, double low, double high)
{
    return low + (high - low) * take(b, 2) / 65535.0;
}

static double raw(bytes *b)
{
    double value = 0;
    const size_t n = b->left < sizeof value ? b->left : sizeof value;
    memcpy(&value, b->data, n);
    b->data += n;
    b->left -= n;
    return value;
}

/* A function of its own for the call stack; the line names what does not hold. */
static void must_at(bool holds, int line)
{
    if (holds)
        return;
    fprintf(stderr, "%s:%d: does not hold\n", __FILE__, line);
    abort();
}
#define must(holds) must_at((holds), __LINE__)

static void plain_numbers(bytes b)
{
    const double c1[2] = {raw(&b), raw(&b)}, c2[2] = {raw(&b), raw(&b)};
    double u[2], length;
    if (snub_tangent(c1, raw(&b), c2, raw(&b), u, &length))
        must(length > 0 && isfinite(length) && isfinite(u[0]) && isfinite(u[1]));
    const double t1 = raw(&b), t2 = raw(&b), friction = between(&b, 0.02, 5), wrap = between(&b, 0, 6.3);
    if (!isnan(t1) && !isnan(t2))
        must(snub_grip(t1, t2, friction, wrap) >= 0);
    if (fabs(t1) < 1e12 && fabs(t2) < 1e6) {
        const double mass = between(&b, 0.0005, 3), far = between(&b, 0.001, 2), bending = between(&b, 0, 5);
        const snub_free_span span = {t1, mass, bending, t2, far};
        must(snub_span_frequency(&span, 1) >= 0 && snub_span_frequency(&span, 2) >= snub_span_frequency(&span, 1));
    }
}

static void read_arm(bytes *b, snub_arm *arm)
{
    arm->pivot[0] = between(b, -1, 1);
    arm->pivot[1] = between(b, -1, 1);
    arm->length = between(b, 0.001, 0.5);
    arm->free = between(b, -SNUB_PI, SNUB_PI);
    arm->loads = take(b, 1) & 1 ? 1 : -1;
    arm->travel = between(b, 0.01, 6);
    arm->preload = between(b, 0, 200);
    arm->rate = between(b, 0, 200);
    arm->damping = between(b, 0, 0.95);
}

static void read_slot(bytes *b, snub_pulley *pulley)
{
    snub_slot *slot = &pulley->slot;
    slot->curved = take(b, 1) & 1;
    for (int k = 0; k < 2; k++) {
        slot->from[k] = between(b, -1, 1);
        slot->to[k] = between(b, -1, 1);
        slot->centre[k] = between(b, -1, 1);
    }
    slot->length = hypot(slot->to[0] - slot->from[0], slot->to[1] - slot->from[1]);
    if (slot->curved) {
        slot->radius = between(b, 0.001, 1);
        slot->start = between(b, -6, 6);
        slot->sweep = between(b, -6, 6);
        slot->length = slot->radius * fabs(slot->sweep);
    }
    pulley->setting = take(b, 1) & 1 ? NAN : slot->length * between(b, 0, 1);
    pulley->sits = SNUB_ON_SLOT;
}

enum { MOST = 12 };

static void read_drive(bytes *b, snub_drive *drive, snub_pulley *pulleys)
{
    memset(drive, 0, sizeof *drive);
    memset(pulleys, 0, MOST * sizeof *pulleys);
    drive->pulleys = pulleys;
    drive->pulley_count = 2 + (int)(take(b, 1) % (MOST - 1));
    drive->crank = (int)take(b, 1) % drive->pulley_count;
    drive->arm = drive->locked = -1;
    drive->turn = take(b, 1) & 1 ? 1 : -1;
    drive->belt = (snub_belt){.be = 0.002,
                              .ribs = 6,
                              .back = 0.0015,
                              .thickness = 0.0045,
                              .mass = between(b, 0.0005, 3),
                              .stiffness = between(b, 500, 1e6),
                              .measuring_tension = between(b, 1, 2000),
                              .growth = between(b, -0.02, 0.05),
                              .wet = 0.35,
                              .design = {0.4413, 0.35},
                              .limit = {0.9, 0.35}};
    for (int i = 0; i < drive->pulley_count; i++) {
        snub_pulley *pulley = &pulleys[i];
        const unsigned kind = take(b, 1);
        pulley->name = "p";
        pulley->side = kind & 1 && i != drive->crank ? SNUB_BACK : SNUB_RIB;
        pulley->is_crank = i == drive->crank;
        pulley->setting = NAN;
        pulley->at[0] = between(b, -1, 1);
        pulley->at[1] = between(b, -1, 1);
        pulley->pitch_radius = between(b, 0.004, 0.3);
        pulley->rim_radius = pulley->pitch_radius;
        pulley->width = 0.025;
        pulley->plane = kind & 2 ? between(b, -0.1, 0.1) : 0;
        if (i != drive->crank && kind % 7 == 3 && drive->arm < 0 && drive->locked < 0) {
            read_arm(b, &pulley->arm);
            pulley->sits = SNUB_ON_ARM;
            drive->arm = i;
        } else if (i != drive->crank && kind % 7 == 5) {
            read_slot(b, pulley);
            if (drive->arm < 0 && drive->locked < 0 && kind & 8 && pulley->slot.length > 0.0005) {
                pulley->fixed_tension = between(b, 10, 50000);
                drive->locked = i;
            }
        }
    }
}

static void check_path(const snub_path *path, double sense)
{
    double turn = 0, length = 0;
    for (int i = 0; i < path->n; i++) {
        must(path->span[i] > 0 && path->wrap[i] >= 0 && path->wrap[i] < 2 * SNUB_PI + 1e-9);
        turn += path->radius[i] * sense > 0 ? path->wrap[i] : -path->wrap[i];
        length += path->span[i] + fabs(path->radius[i]) * path->wrap[i];
    }
    must(fabs(turn - 2 * SNUB_PI) < 1e-6 && fabs(length - path->length) < 1e-9 && path->turns == 1);
}

static void check_balance(const snub_drive *drive, const snub_balance *b)
{
    double x = 0, y = 0, size = 1;
    for (int i = 0; i < drive->pulley_count; i++) {
        const snub_pulley_state *s = &b->pulley[i];
        must(isfinite(s->speed) && isfinite(s->creep) && isfinite(s->torque) && isfinite(s->entry) &&
             isfinite(s->exit));
        must(s->grip_design >= 0 && s->grip_limit >= 0 && s->grip_wet >= 0 && b->span_frequency[i] >= 0);
        must(isfinite(s->hub[0]) && isfinite(s->hub[1]));
        x += s->hub[0];
        y += s->hub[1];
        size += fabs(s->entry) + b->equilibrium.centrifugal;
    }
    must(hypot(x, y) < 1e-9 * size);
    if (drive->arm >= 0) {
        const double travel = drive->pulleys[drive->arm].arm.travel, wind = b->equilibrium.wind;
        must(wind >= 0 && wind <= travel && b->equilibrium.equilibria >= 0);
    }
}

static void solve(bytes *b, const snub_drive *drive, double *settings, snub_rig *rig)
{
    snub_case wanted;
    snub_equilibrium e;
    snub_error error;
    memset(&wanted, 0, sizeof wanted);
    wanted.engine_speed = between(b, 0, 1500);
    wanted.side = (int)(take(b, 1) % 3) - 1;
    for (int i = 0; i < drive->pulley_count; i++)
        wanted.torque[i] = between(b, -200, 200);
    const double base = rig->arm >= 0 ? rig->grid[SNUB_WIND_GRID / 2].length : rig->path.length;
    wanted.belt_length = (isfinite(base) && base > 0 ? base : 1) * between(b, 0.9, 1.1);
    if (drive->locked >= 0 && snub_lock_set(drive, wanted.belt_length, settings, NULL, &error) == SNUB_OK)
        must(settings[drive->locked] >= 0 && settings[drive->locked] <= drive->pulleys[drive->locked].slot.length);
    if (snub_rig_prepare(drive, settings, rig, &error) != SNUB_OK)
        return;
    if (snub_solve(rig, &wanted, &e, &error) == SNUB_OK) {
        snub_balance balance;
        snub_expand(drive, rig, &wanted, &e, &balance);
        check_path(&balance.path, drive->turn);
        check_balance(drive, &balance);
    }
    double length;
    if (snub_length_for_wind(rig, &wanted, between(b, 0, 3), &length))
        must(!isnan(length));
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static const double nowhere = NAN;
    bytes b = {data, size};
    snub_pulley pulleys[MOST];
    snub_drive drive;
    snub_path path;
    snub_error error;
    double settings[SNUB_PULLEYS_MOST];
    plain_numbers(b);
    read_drive(&b, &drive, pulleys);
    for (int i = 0; i < SNUB_PULLEYS_MOST; i++)
        settings[i] = nowhere;
    if (snub_drive_lay(&drive, between(&b, 0, 3), settings, &path, &error) == SNUB_OK) {
        check_path(&path, drive.turn);
        snub_gap gaps[20];
        int count = 0;
        snub_gaps(&drive, &path, NULL, 0.01, 0.05, gaps, 20, &count);
        must(count >= 0 && count <= 20);
        for (int i = 0; i < count; i++)
            must(!isnan(gaps[i].gap) && (i == 0 || gaps[i].gap - gaps[i].flap >= gaps[i - 1].gap - gaps[i - 1].flap));
    }
    snub_rig *rig = malloc(sizeof *rig);
    if (rig != NULL && snub_rig_prepare(&drive, settings, rig, &error) == SNUB_OK)
        solve(&b, &drive, settings, rig);
    free(rig);
    return 0;
}
