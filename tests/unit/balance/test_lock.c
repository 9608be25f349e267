/* A pulley that is slid along its slot until the belt has its tension, then locked: straight and curved slots, either
 * way round, and what is said where the slot does not reach. */
#include <stdio.h>

#include "support/near.h"
#include "support/random_drive.h"

typedef struct locked {
    plain_drive p;
    snub_path path;
    double settings[PLAIN_PULLEYS_MOST];
} locked;

/* The idler of a random drive in a slot through its place, `before` of it on the slack side. */
static void random_lock(chance *c, bool curved, bool backwards, double before, locked *l)
{
    double length;
    random_drive(c, false, &l->p, &length);
    assert_int_equal(snub_drive_lay(&l->p.drive, 0, NULL, &l->path, NULL), SNUB_OK);
    snub_pulley *pulley = &l->p.pulleys[1];
    snub_slot *slot = &pulley->slot;
    /* Towards the loop's inside the path gets longer: against the belt's push. */
    double x = l->path.u[0][0] - l->path.u[1][0], y = l->path.u[0][1] - l->path.u[1][1];
    const double size = hypot(x, y), all = 2 * before;
    x /= size;
    y /= size;
    for (int k = 0; k < 2; k++) {
        const double along = k == 0 ? x : y;
        slot->from[k] = pulley->at[k] - along * (backwards ? -before : before);
        slot->to[k] = pulley->at[k] + along * (backwards ? -before : before);
    }
    slot->length = all;
    if (curved) {
        /* The arc's centre lies on the left of the way from `from` to `to`. */
        const double way = backwards ? -1 : 1, radius = 0.15;
        slot->curved = true;
        slot->radius = radius;
        slot->centre[0] = pulley->at[0] - way * y * radius;
        slot->centre[1] = pulley->at[1] + way * x * radius;
        slot->sweep = all / radius;
        slot->start = atan2(pulley->at[1] - slot->centre[1], pulley->at[0] - slot->centre[0]) - slot->sweep / 2;
    }
    pulley->sits = SNUB_ON_SLOT;
    l->p.drive.locked = 1;
    for (int i = 0; i < PLAIN_PULLEYS_MOST; i++)
        l->settings[i] = NAN;
}

static void tension_is_met(void **state)
{
    (void)state;
    chance c = {41};
    int met = 0;
    for (int k = 0; k < 200; k++) {
        locked l;
        random_lock(&c, k & 1, k & 2, 0.004, &l);
        const double tension = l.p.pulleys[1].fixed_tension = chance_between(&c, 200, 900);
        const double belt = plain_length_for(&l.p, &l.path, tension);
        if (snub_lock_set(&l.p.drive, belt, l.settings, NULL, NULL) != SNUB_OK)
            continue; /* a slot may cross the path at its ends */
        met++;
        /* The pulley's own place does it, and that is the middle of the slot. */
        assert_near("setting", l.settings[1], 0.004, 1e-9, "m");
        snub_rig rig;
        snub_equilibrium e;
        snub_case wanted = {.belt_length = belt};
        assert_int_equal(snub_rig_prepare(&l.p.drive, l.settings, &rig, NULL), SNUB_OK);
        assert_int_equal(snub_solve(&rig, &wanted, &e, NULL), SNUB_OK);
        assert_int_equal(e.arm, SNUB_ARM_NONE);
        assert_near("tension", e.tension, tension, 1e-5, "N");
        /* Locked, its length is fixed: torque lifts one side and lowers the other about the mean. */
        wanted.torque[2] = 5;
        snub_balance b;
        assert_int_equal(snub_solve(&rig, &wanted, &e, NULL), SNUB_OK);
        snub_expand(&l.p.drive, &rig, &wanted, &e, &b);
        double mean = 0;
        for (int i = 0; i < rig.n; i++)
            mean += b.span_tension[i] * b.path.span[i] +
                    (b.pulley[i].entry + b.pulley[i].exit) / 2 * b.path.wrap[i] * fabs(b.path.radius[i]);
        assert_near("mean tension along the belt", mean / b.path.length, tension, 1e-5, "N");
        /* and speed leaves the total tension as it is */
        wanted.engine_speed = 400;
        const double slow = e.tension;
        assert_int_equal(snub_solve(&rig, &wanted, &e, NULL), SNUB_OK);
        assert_near("at speed", e.tension, slow, 0, "N");
    }
    assert_true(met > 150);
}

/* More tension: further into the loop, whichever end the slot is measured from. */
static void more_tension_goes_further_in(void **state)
{
    (void)state;
    chance c = {42};
    for (int k = 0; k < 100; k++) {
        locked l;
        random_lock(&c, k & 1, k & 2, 0.004, &l);
        const double belt = plain_length_for(&l.p, &l.path, 400);
        double at[2];
        int done = 0;
        for (int i = 0; i < 2; i++) {
            l.p.pulleys[1].fixed_tension = i ? 450 : 400;
            if (snub_lock_set(&l.p.drive, belt, l.settings, NULL, NULL) == SNUB_OK)
                at[done++] = l.settings[1];
        }
        if (done == 2)
            assert_true(k & 2 ? at[1] < at[0] : at[1] > at[0]);
    }
}

static void out_of_reach_says_by_how_much(void **state)
{
    (void)state;
    chance c = {43};
    locked l;
    snub_error error;
    random_lock(&c, false, false, 0.004, &l);
    l.p.pulleys[1].fixed_tension = 400;
    const double belt = plain_length_for(&l.p, &l.path, 400);
    l.settings[1] = 0.0033;
    assert_int_equal(snub_lock_set(&l.p.drive, belt + 0.05, l.settings, NULL, &error), SNUB_NO_EQUILIBRIUM);
    assert_non_null(strstr(error.message, "too long"));
    assert_string_equal(error.key, "p1");
    assert_near("setting untouched", l.settings[1], 0.0033, 0, "m");
    assert_int_equal(snub_lock_set(&l.p.drive, belt - 0.05, l.settings, NULL, &error), SNUB_NO_EQUILIBRIUM);
    assert_non_null(strstr(error.message, "too short"));
    /* Short by 50 mm less what the slot gives from its middle to its slack end. */
    double given = 0;
    assert_int_equal(sscanf(error.message, "the belt is %lf mm", &given), 1);
    snub_path slack;
    double settings[PLAIN_PULLEYS_MOST];
    memcpy(settings, l.settings, sizeof settings);
    settings[1] = 0;
    assert_int_equal(snub_drive_lay(&l.p.drive, 0, settings, &slack, NULL), SNUB_OK);
    assert_near("by how much", given, 50 - (l.path.length - slack.length) * 1e3, 0.06, "mm");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(tension_is_met), cmocka_unit_test(more_tension_goes_further_in),
                                       cmocka_unit_test(out_of_reach_says_by_how_much)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
