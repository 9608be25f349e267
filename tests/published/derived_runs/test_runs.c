/* Runs in time against closed forms (derived: inputs chosen for the check).
 *  - an arm on its spring with dry friction let go at 8 deg: each half cycle loses 2 F/k, and it rests where friction
 *    holds it; energy by half cycles
 *  - an overrunning clutch on a pulley whose speed is prescribed: opens where the shaft would have to be braked, closes
 *    where the speeds meet; a pulley that is braked to a stop
 *  - a clutch that closes: two inertias; a shaft from a standstill, with and without a load; one that is asked too much
 *  - a clutch that closes: two inertias, a shaft from a standstill with and without a load, one that is asked too much
 *  - a load that comes on over a time, on an oscillator without damping
 *  - an oscillator with dry friction under a harmonic force: exact amplitudes
 * The belt of the arm alone carries nothing; that of the clutch is stiff. */
#include "support/run_drive.h"

static double still(double time)
{
    (void)time;
    return 0.0;
}

static const double apart[2][2] = {{0, 0}, {0.3, 0}}, radii[2] = {0.08, 0.04}, pivot[2] = {0.3, -0.1};

/* ---- dry friction ---- */

static const double J = 0.001165, K = 54.37, FRICTION = 0.5;
static const double extremes_deg[] = {8.0,
                                      -6.9461876124134205,
                                      5.892375224826841,
                                      -4.838562837240262,
                                      3.784750449653682,
                                      -2.7309380620671027,
                                      1.6771256744805232,
                                      -0.6233132868939437,
                                      -0.43049910069263575};

static void set_up_arm(run_drive *d)
{
    run_drive_init(d, 2, apart, radii, 1, pivot, 1e-6, 1e-9);
    d->speed = still;
    d->rig.rate = K;
    d->model.arm_inertia = J;
    d->model.arm_friction[0] = FRICTION;
    d->start.wind = extremes_deg[0] * SNUB_DEG;
}

static void arm_with_dry_friction(void **state)
{
    (void)state;
    static run_drive d;
    snub_arena arena = {0};
    snub_run_result r;
    const double half = SNUB_PI * sqrt(J / K);
    set_up_arm(&d);
    run_drive_go(&d, 12 * half, half, 1e-10, &arena, &r);
    for (int k = 0; k <= 8; k++)
        assert_near("extreme", r.samples[k].wind / SNUB_DEG, extremes_deg[k], 2e-8, "deg");
    assert_near("it rests", r.samples[12].wind / SNUB_DEG, extremes_deg[8], 2e-8, "deg");
    assert_near("heat", r.energy.arm, 0.528450853702341, 1e-9, "J");
    assert_near("nothing is left over", r.energy.left_over, 0.0, 1e-9, "J");
    assert_near("held from its 8th half cycle on", r.share[SNUB_RUN_STICKS][1], 4.0 / 12.0, 1e-6, "");
    snub_arena_free(&arena);
}

/* Half cycles lose energy as the friction's way: the first two of the table. */
static void arm_loses_by_half_cycles(void **state)
{
    (void)state;
    static const double lost[] = {0.13043009222870214, 0.13043009222870214 + 0.11203759636701371};
    static run_drive d;
    snub_run_result r;
    for (int k = 1; k <= 2; k++) {
        snub_arena arena = {0};
        set_up_arm(&d);
        run_drive_go(&d, k * SNUB_PI * sqrt(J / K), 0.0, 1e-10, &arena, &r);
        assert_near("heat", r.energy.arm, lost[k - 1], 1e-9, "J");
        assert_near("taken from what is stored", r.energy.stored[0] - r.energy.stored[1], lost[k - 1], 1e-9, "J");
        snub_arena_free(&arena);
    }
}

/* An end stop at 0, a spring with preload P: it swings about -P/K, strikes once and stays there. */
static void arm_strikes_its_end(void **state)
{
    (void)state;
    static run_drive d;
    snub_arena arena = {0};
    snub_run_result r;
    const double w = sqrt(K / J), middle = 0.7 / K, size = extremes_deg[0] * SNUB_DEG + middle;
    const double speed = w * sqrt(size * size - middle * middle);
    set_up_arm(&d);
    d.rig.preload = 0.7;
    d.model.arm_friction[0] = 0.0;
    d.model.stops[0] = 0.0;
    run_drive_go(&d, SNUB_PI / w, 1e-3, 1e-10, &arena, &r);
    assert_int_equal(r.event_count, 1);
    assert_int_equal(r.events[0].kind, SNUB_RUN_AT_REST);
    assert_near("when", r.events[0].from, acos(middle / size) / w, 1e-9, "s");
    assert_near("how fast", r.events[0].most, speed, 1e-7, "rad/s");
    assert_near("heat", r.energy.stops, 0.5 * J * speed * speed, 1e-9, "J");
    assert_near("stays", r.samples[r.sample_count - 1].wind, 0.0, 1e-15, "rad");
    assert_near("nothing is left over", r.energy.left_over, 0.0, 1e-9, "J");
    snub_arena_free(&arena);
}

/* ---- an overrunning clutch ---- */

typedef struct clutch_case {
    double mean, swing, hertz, inertia, torque;         /* of the pulley's speed, rad/s; of the shaft */
    double opens, opens_at, closes, closes_at, overrun; /* s, rad/s; rad/s at most; NAN: it never opens */
} clutch_case;
static const clutch_case clutches[] = {
    {600, 30, 26.6666666666667, 0.0031, 4.0, 0.010924419967884997, 628.9947218671102, 0.036659345225657905,
     595.7883666957904, 37.7943984900528},
    {600, 30, 50, 0.0031, 4.0, 0.005437163032927093, 629.717515176046, 0.021035744401053134, 609.5903134107222,
     47.659967211258845},
    {250, 20, 26.6666666666667, 0.0045, 2.5, 0.010369054273466611, 269.72323370939654, 0.03869729628447071,
     253.98532148106094, 30.13430550042267},
    {600, 5, 26.6666666666667, 0.0031, 4.0, NAN, NAN, NAN, NAN, NAN},
};
static const clutch_case *now;

/* The pulley is half as large as the crank. */
static double swinging(double time)
{
    return 0.5 * (now->mean + now->swing * sin(2.0 * SNUB_PI * now->hertz * time));
}

/* A belt so stiff that the pulley follows the crank, and tight, so that no span goes slack; it creeps from the start as
 * the torque on the pulley asks. */
static void set_up_clutch(run_drive *d, double inertia, double torque, double speed)
{
    run_drive_init(d, 2, apart, radii, -1, pivot, 2e7, 1e-6);
    d->model.rim[1] = 1e-4;
    d->model.inertia[1] = inertia + d->model.rim[1];
    d->start.tension[0] = 2e3 - 0.5 * torque / radii[1];
    d->start.tension[1] = 2e3 + 0.5 * torque / radii[1];
    d->start.speed[1] = speed * (1.0 + d->start.tension[0] / 2e7) / (1.0 + d->start.tension[1] / 2e7);
    d->mean = 0.5 * speed;
}

static void clutch_on_a_swinging_pulley(void **state)
{
    (void)state;
    static run_drive d;
    snub_run_result r;
    for (size_t k = 0; k < sizeof clutches / sizeof *clutches; k++) {
        const clutch_case *c = now = &clutches[k];
        snub_arena arena = {0};
        set_up_clutch(&d, c->inertia, c->torque + (c->inertia + 1e-4) * c->swing * 2 * SNUB_PI * c->hertz, c->mean);
        d.torque[1] = c->torque;
        d.speed = swinging;
        run_drive_go(&d, 1.08 / c->hertz, 1e-4, 1e-6, &arena, &r);
        if (isnan(c->opens)) {
            assert_int_equal(r.event_count, 0);
            snub_arena_free(&arena);
            continue;
        }
        const snub_run_event *e = &r.events[0];
        assert_true(r.event_count >= 1);
        assert_int_equal(e->kind, SNUB_RUN_FREEWHEELS);
        /* The belt gives way a little, and its rim swings on it at 7 kHz. */
        assert_near("opens", e->from, c->opens, 1.5e-4, "s");
        assert_near("closes", e->to, c->closes, 1e-4, "s");
        assert_near("runs ahead", e->most, c->overrun, 0.02 * c->overrun, "rad/s");
        snub_arena_free(&arena);
    }
}

/* A pulley braked faster than its shaft brakes itself: 900 rad/s at 2500 rad/s2 to a stop. */
static double braked(double time)
{
    return 0.5 * fmax(900.0 - 2500.0 * time, 0.0);
}

static void clutch_on_a_braked_pulley(void **state)
{
    (void)state;
    static run_drive d;
    snub_arena arena = {0};
    snub_run_result r;
    set_up_clutch(&d, 0.0031, 4.0, 900.0);
    d.torque[1] = 4.0;
    d.speed = braked;
    run_drive_go(&d, 0.69, 0.01, 1e-5, &arena, &r);
    assert_int_equal(r.events[0].kind, SNUB_RUN_FREEWHEELS);
    assert_near("at once", r.events[0].from, 0.0, 1e-3, "s");
    assert_near("never closes", r.events[0].to, 0.69, 1e-9, "s");
    assert_near("shaft, 0.3 s", r.samples[30].speed[1], 900.0 - 1290.3225806451612 * 0.3, 0.3, "rad/s");
    assert_near("shaft, 0.6 s", r.samples[60].speed[1], 900.0 - 1290.3225806451612 * 0.6, 0.3, "rad/s");
    assert_near("taken from the shaft", r.energy.loads, 1255.5, 1.5, "J");
    snub_arena_free(&arena);
}

/* ---- a clutch that closes ---- */

static double as_fast(double time)
{
    (void)time;
    return 250.0;
}

/* The last time that the clutch slips. */
static const snub_run_event *grinding(const snub_run_result *r)
{
    const snub_run_event *found = NULL;
    for (int k = 0; k < r->event_count; k++)
        found = r->events[k].kind == SNUB_RUN_GRINDS ? &r->events[k] : found;
    assert_non_null(found);
    return found;
}

/* Two inertias at 500 and 350 rad/s on a belt that carries nothing: common speed, heat, impulse (derived). */
static void clutch_between_two_inertias(void **state)
{
    (void)state;
    static const double torque = 100.0, impulse = 0.3549618320610687, heat = 26.622137404580155;
    static run_drive d;
    snub_arena arena = {0};
    snub_run_result r;
    const snub_run_clutch clutch = {.pulley = 1, .torque = torque, .closes = 1e-3, .rise = 0.0};
    run_drive_init(&d, 2, apart, radii, -1, pivot, 1e-6, 1e-9);
    d.model.rim[1] = 0.01;
    d.model.inertia[1] = 0.0131;
    d.model.clutch = &clutch;
    d.mean = 250.0;
    d.speed = as_fast;
    d.start.speed[1] = 500.0;
    d.start.shaft = 350.0;
    run_drive_go(&d, 8e-3, 1e-3, 1e-9, &arena, &r);
    assert_near("locks", r.locks, 1e-3 + impulse / torque, 1e-9, "s");
    assert_near("common speed", r.samples[7].speed[1], 464.5038167938931, 1e-6, "rad/s");
    assert_near("heat", r.energy.clutch, heat, 1e-6 * heat, "J");
    assert_near("greatest power", r.clutch_power, torque * 150.0, 1.0, "W");
    const snub_run_event *e = grinding(&r);
    assert_near("from when it closes", e->from, 1e-3, 1e-9, "s");
    assert_near("to when it locks", e->to, r.locks, 1e-12, "s");
    assert_int_equal(e->count, 1);
    assert_near("nothing is left over", r.energy.left_over, 0.0, 1e-6 * heat, "J");
    snub_arena_free(&arena);
}

/* A pulley that a stiff belt holds at its speed w, a shaft from 0. With torque C at once: J w/C, heat J w^2/2. Rising
 * in T: J w = C T/2 + C (t - T), the heat is the same. With a load M: J w/(C - M), heat C w t/2. */
static void clutch_starts_a_shaft(void **state)
{
    (void)state;
    static const double inertia = 0.0031, speed = 500.0, closes = 0.01;
    static const struct {
        double torque, rise, load, takes, heat;
    } cases[] = {
        {20.0, 0.0, 0.0, 0.0775, 387.5},
        {20.0, 0.05, 0.0, 0.1025, 387.5},
        {20.0, 0.0, 5.0, 1.55 / 15.0, 20.0 * 500.0 * 1.55 / 30.0},
        {5.0, 0.0, 6.0, NAN, NAN},
    };
    static run_drive d;
    snub_run_result r;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        snub_arena arena = {0};
        const snub_run_clutch clutch = {1, cases[k].torque, closes, cases[k].rise};
        set_up_clutch(&d, inertia, 0.0, speed);
        d.model.clutch = &clutch;
        d.speed = as_fast;
        d.torque[1] = cases[k].load;
        d.start.shaft = isnan(cases[k].takes) ? 300.0 : 0.0; /* so that it does not come to a stop */
        run_drive_go(&d, 0.15, 1e-3, 1e-7, &arena, &r);
        if (isnan(cases[k].takes)) { /* more load than it can carry */
            assert_true(isnan(r.locks));
            assert_near("slips to the end", grinding(&r)->to, 0.15, 1e-9, "s");
            snub_arena_free(&arena);
            continue;
        }
        assert_near("takes", r.locks - closes, cases[k].takes, 7e-4, "s"); /* the rim swings by 4 rad/s */
        assert_near("heat", r.energy.clutch, cases[k].heat, 1e-2 * cases[k].heat, "J");
        assert_near("nothing is left over", r.energy.left_over, 0.0, 1e-6 * r.energy.work, "J");
        snub_arena_free(&arena);
    }
}

/* A clutch that has closed lets go again where its load grows over what it can carry. */
static void clutch_is_asked_too_much(void **state)
{
    (void)state;
    static run_drive d;
    snub_arena arena = {0};
    snub_run_result r;
    const snub_run_clutch clutch = {1, 10.0, 0.0, 0.0};
    set_up_clutch(&d, 1e-4, 0.0, 500.0);
    d.model.clutch = &clutch;
    d.speed = as_fast;
    d.torque[1] = 20.0; /* at 0.2 s; 10 at 0.1 s */
    d.ramp = 0.2;
    run_drive_go(&d, 0.103, 1e-3, 1e-6, &arena, &r);
    assert_true(r.locks < 0.01);
    assert_near("slips again", grinding(&r)->from, 0.1, 2e-4, "s");
    assert_near("slower by the load that is too much", r.samples[102].speed[1], 500.0 - 0.5 * 100.0 * 4e-6 / 1e-4, 0.5,
                "rad/s");
    assert_near("nothing is left over", r.energy.left_over, 0.0, 2e-6 * r.energy.work, "J");
    snub_arena_free(&arena);
}

static void bad_clutches(void **state)
{
    (void)state;
    static const snub_run_clutch bad[] = {
        {1, 0.0, 0.0, 0.0}, {1, 5.0, -1.0, 0.0}, {1, 5.0, 0.0, -1.0}, {0, 5.0, 0.0, 0.0}};
    static run_drive d;
    const snub_run_request request = {.length = 0.01};
    for (size_t k = 0; k < sizeof bad / sizeof *bad; k++) {
        snub_arena arena = {0};
        snub_run_result r;
        snub_error error = {0};
        set_up_clutch(&d, 1e-3, 0.0, 500.0);
        d.model.clutch = &bad[k];
        d.speed = as_fast;
        assert_int_equal(snub_run(&d.model, &d.start, &request, &arena, &r, &error), SNUB_BAD_INPUT);
        assert_true(strstr(error.message, "clutch") != NULL);
        snub_arena_free(&arena);
    }
}

/* ---- swings on a belt that stands ---- */

/* A load that comes on over a time: the greatest deflection over the static one is 1 + |sin(w t/2)|/(w t/2). */
static void load_that_comes_on(void **state)
{
    (void)state;
    static const double peaks[][2] = {{0.5, 1.9896158370180919}, {1, 1.958851077208406}, {2, 1.8414709848078965},
                                      {4, 1.454648713412841},    {6, 1.0470400026866},   {8, 1.189200623826982}};
    static run_drive d;
    snub_run_result r;
    for (size_t k = 0; k < sizeof peaks / sizeof *peaks; k++) {
        snub_arena arena = {0};
        run_drive_init(&d, 2, apart, radii, -1, pivot, 1e5, 1e-9);
        const double spring = 1e5 * radii[1] * radii[1] * (1 / d.rig.path.span[0] + 1 / d.rig.path.span[1]);
        const double w = sqrt(spring / d.model.inertia[1]), load = 1e-2 / radii[1]; /* N around the pulley */
        d.speed = still;
        d.torque[1] = 1e-2;
        d.ramp = peaks[k][0] / w;
        d.start.tension[0] = d.start.tension[1] = 100.0;
        run_drive_go(&d, d.ramp + 2.2 * SNUB_PI / w, 0.0, 1e-9, &arena, &r);
        const double rises = r.tension[1].high - 100.0, falls = 100.0 - r.tension[0].low;
        assert_near("peak", (rises + falls) / load, peaks[k][1], 1.5e-3 * peaks[k][1], "");
        snub_arena_free(&arena);
    }
}

/* Dry friction on a forced oscillator: amplitude over that of a force standing still, by speed over
 * the natural one and friction over force (exact solution, 1930; from memory, integrated). The arm on belt and spring
 * is forced by a crank that swings a little; its pulley is too heavy to turn. */
typedef struct forced {
    double speed, friction, size;
} forced;
static const forced forces[] = {{0.6, 0.1, 1.5595342223692115},
                                {0.6, 0.4, 1.5143507195665908},
                                {0.8, 0.2, 2.7114152554375393},
                                {0.8, 0.6, 2.106551476951446},
                                {0.9, 0.6, 3.6614163821952728},
                                {1.1, 0.2, 4.590924907282173},
                                /* it stops twice in a cycle */ {0.6, 0.6, 1.4432241317078012},
                                {0.5, 0.5, 1.3034292041955027},
                                {0.4, 0.3, 1.1276237710336603}};
static double crank_swing, crank_turns;

static double swings(double time)
{
    return crank_swing * crank_turns * cos(crank_turns * time);
}

static void arm_forced_by_the_crank(void **state)
{
    (void)state;
    static const double beside[2] = {0.2, 0.0}, tension = 50.0, stiffness = 1e5;
    static run_drive d;
    snub_run_result r;
    for (size_t k = 0; k < sizeof forces / sizeof *forces; k++) {
        snub_arena arena = {0};
        snub_arm_geometry g;
        run_drive_init(&d, 2, apart, radii, 1, beside, stiffness, 1e-9);
        assert_true(snub_arm_lay(&d.rig, 0.0, &g));
        d.rig.preload = tension * (g.lever_out - g.lever_in);
        d.rig.rate = 30.0; /* the belt gives it four times as much */
        d.model.inertia[1] = 1e9;
        const double along[2] = {g.reach[0] * g.u[0][0] + g.reach[1] * g.u[0][1],
                                 g.reach[0] * g.u[1][0] + g.reach[1] * g.u[1][1]};
        const double drawn = stiffness + tension; /* unstretched spans are shorter */
        const double springs[2] = {drawn / g.span[0], drawn / g.span[1]};
        const double whole =
            d.rig.rate + springs[0] * g.lever_in * g.lever_in + springs[1] * g.lever_out * g.lever_out +
            tension * (along[0] * along[0] / g.span[0] - along[0] + along[1] * along[1] / g.span[1] + along[1]);
        crank_swing = 1e-5;
        crank_turns = forces[k].speed * sqrt(whole / d.model.arm_inertia);
        const double force = radii[0] * crank_swing * fabs(springs[0] * g.lever_in + springs[1] * g.lever_out);
        d.model.arm_friction[0] = forces[k].friction * force;
        d.speed = swings;
        d.start.tension[0] = d.start.tension[1] = tension;
        const double cycle = 2.0 * SNUB_PI / crank_turns;
        run_drive_go(&d, 120 * cycle, 2 * cycle, 1e-9, &arena, &r);
        const snub_run_sample *last = &r.samples[59];
        assert_near("amplitude", 0.5 * (last->wind_high - last->wind_low) * whole / force, forces[k].size,
                    5e-4 * forces[k].size, "");
        snub_arena_free(&arena);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(arm_with_dry_friction),
        cmocka_unit_test(arm_loses_by_half_cycles),
        cmocka_unit_test(arm_strikes_its_end),
        cmocka_unit_test(clutch_on_a_swinging_pulley),
        cmocka_unit_test(clutch_on_a_braked_pulley),
        cmocka_unit_test(clutch_between_two_inertias),
        cmocka_unit_test(clutch_starts_a_shaft),
        cmocka_unit_test(clutch_is_asked_too_much),
        cmocka_unit_test(bad_clutches),
        cmocka_unit_test(load_that_comes_on),
        cmocka_unit_test(arm_forced_by_the_crank),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
