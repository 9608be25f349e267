/* Cases of one rig side by side in vectors against the same one by one, to the bit: random drives, belts from far too
 * short to far too long, each width that the processor has. */
#include "balance/many.h"
#include "support/arm_drives.h"
#include "support/drive_text.h"

enum { CASES = 61, WIDTHS = 4 }; /* cases: no multiple of a width */
static const int LANES[WIDTHS] = {1, 2, 4, 8};

typedef struct cases {
    snub_case all[CASES];
    const snub_case *wanted[CASES];
    snub_equilibrium one[CASES], other[CASES];
    snub_equilibrium *answer[CASES];
    snub_status status[CASES];
} cases;

/* What was met, so that no outcome goes untried; by lanes: answers that a kernel gave itself. */
typedef struct met {
    int cases, free, held, slack, lost, several, dead, most_steps;
    int by_lanes[WIDTHS];
} met;

static void same_geometry(const snub_arm_geometry *a, const snub_arm_geometry *b)
{
    assert_int_equal(a->valid, b->valid);
    assert_memory_equal(&a->length, &b->length, sizeof *a - offsetof(snub_arm_geometry, length));
}

static void same_answer(const snub_rig *rig, const snub_equilibrium *a, const snub_equilibrium *b)
{
    assert_int_equal(a->arm, b->arm);
    assert_memory_equal(&a->wind, &b->wind, sizeof a->wind);
    assert_memory_equal(&a->tension, &b->tension, sizeof a->tension);
    assert_memory_equal(&a->belt_speed, &b->belt_speed, sizeof a->belt_speed);
    assert_memory_equal(&a->centrifugal, &b->centrifugal, sizeof a->centrifugal);
    assert_int_equal(a->equilibria, b->equilibria);
    assert_int_equal(a->steps, b->steps);
    assert_int_equal(a->past_dead_point, b->past_dead_point);
    assert_memory_equal(a->rise, b->rise, sizeof *a->rise * (size_t)rig->n);
    if (rig->arm >= 0)
        same_geometry(&a->geometry, &b->geometry);
}

/* What was laid from a place near by is what sine and arc tangent give: to their rounding, over a span that is short.
 */
static void laid_well(const snub_rig *rig, const snub_equilibrium *e)
{
    const double NEAR = 2e-14;
    snub_arm_geometry g;
    assert_true(snub_arm_lay(rig, e->wind, &g));
    const double shortest = fmin(g.span[0], g.span[1]);
    assert_near("length", e->geometry.length, g.length, NEAR, "m");
    for (int i = 0; i < 3; i++)
        assert_near("wrap", e->geometry.wrap[i], g.wrap[i], NEAR * (1.0 + 0.1 / shortest), "rad");
    for (int i = 0; i < 2; i++) {
        assert_near("span", e->geometry.span[i], g.span[i], NEAR * (1.0 + 0.1 / shortest), "m");
        assert_near("reach", e->geometry.reach[i], g.reach[i], NEAR, "m");
    }
    assert_near("lever", e->geometry.lever_in, g.lever_in, NEAR * (1.0 + 0.1 / shortest), "m");
    assert_near("lever", e->geometry.lever_out, g.lever_out, NEAR * (1.0 + 0.1 / shortest), "m");
}

static void count_in(const snub_equilibrium *e, snub_status status, met *m)
{
    m->cases++;
    if (status != SNUB_OK) {
        *(status == SNUB_NO_EQUILIBRIUM ? &m->slack : &m->lost) += 1;
        return;
    }
    *(e->arm == SNUB_ARM_FREE ? &m->free : &m->held) += 1;
    m->several += e->equilibria > 1;
    m->dead += e->past_dead_point;
    m->most_steps = e->steps > m->most_steps ? e->steps : m->most_steps;
}

static void try_cases(const snub_rig *rig, cases *c, met *m)
{
    snub_status status[CASES];
    for (int i = 0; i < CASES; i++) {
        c->wanted[i] = &c->all[i];
        c->answer[i] = &c->other[i];
        c->status[i] = snub_solve(rig, &c->all[i], &c->one[i], NULL);
        count_in(&c->one[i], c->status[i], m);
        if (c->status[i] == SNUB_OK && rig->arm >= 0)
            laid_well(rig, &c->one[i]);
    }
    for (int w = 0; w < WIDTHS; w++) {
        for (int count = CASES; count >= CASES - 1; count--) { /* the last round with one case, and with four */
            memset(c->other, 0xff, sizeof c->other);
            memset(status, 0xff, sizeof status);
            const int by_lanes = snub_solve_many_by(LANES[w], rig, count, c->wanted, c->answer, status);
            if (by_lanes < 0)
                continue;
            if (count == CASES)
                m->by_lanes[w] += by_lanes;
            for (int i = 0; i < count; i++) {
                assert_int_equal(status[i], c->status[i]);
                if (status[i] == SNUB_OK)
                    same_answer(rig, &c->one[i], &c->other[i]);
            }
        }
    }
}

static void vary(chance *by, const snub_rig *rig, double share, double length, snub_case *wanted)
{
    memset(wanted, 0, sizeof *wanted);
    for (int i = 0; i < rig->n; i++)
        wanted->torque[i] = share * chance_between(by, -5, 15);
    wanted->engine_speed = share * chance_between(by, 0, 700);
    wanted->side = chance_whole(by, -1, 1);
    wanted->belt_length = length * (1.0 + share * chance_between(by, -0.03, 0.02));
}

/* Belts that balance between the last good wind of a cell that has lost the belt and the cell's good end. */
static void balance_in_cut_cells(const snub_rig *rig, cases *c)
{
    for (int j = 0; rig->arm >= 0 && j < rig->edges; j++) {
        snub_case wanted = {.side = c->all[j].side};
        if (length_in_cut_cell(rig, j, wanted.side, &wanted.belt_length))
            c->all[j] = wanted;
    }
}

static void show(const char *what, const met *m)
{
    printf(
        "%s: %d cases; free %d, held or no arm %d, no answer %d, belt lost %d, several %d, past dead point %d, steps "
        "at most %d; by lanes %d, %d, %d\n",
        what, m->cases, m->free, m->held, m->slack, m->lost, m->several, m->dead, m->most_steps, m->by_lanes[1],
        m->by_lanes[2], m->by_lanes[3]);
}

static void many_answer_as_one_by_one(void **state)
{
    (void)state;
    static cases c;
    static snub_rig rig;
    chance by = {30};
    met m = {0};
    for (int d = 0; d < 400; d++) {
        plain_drive p;
        double length;
        random_drive(&by, d % 8 != 0, &p, &length);
        if (d % 3 == 1 && p.drive.arm >= 0)
            swing_further_out(&p, 0.8, 0.8);
        if (d % 5 == 1) /* cells so wide that the series do not reach */
            p.pulleys[1].arm.travel *= 7.0;
        assert_int_equal(snub_rig_prepare(&p.drive, NULL, &rig, NULL), SNUB_OK);
        for (int i = 0; i < CASES; i++)
            vary(&by, &rig, 1.0, length, &c.all[i]);
        balance_in_cut_cells(&rig, &c);
        try_cases(&rig, &c, &m);
    }
    show("random drives", &m);
    assert_true(m.free > 5000 && m.held > 3000 && m.slack > 2000 && m.dead > 0);
    assert_int_equal(m.by_lanes[0], 0);
    for (int w = 1; w < WIDTHS; w++) /* a free arm is the lanes' business, but in cut and in wide cells */
        assert_true(m.by_lanes[w] == 0 || (m.by_lanes[w] < m.free && m.by_lanes[w] > m.free * 8 / 10));
}

static void several_positions(void **state)
{
    (void)state;
    static cases c;
    static snub_rig rig;
    chance by = {31};
    met m = {0};
    drive_text t;
    drive_text_open(&t, SEVERAL_POSITIONS);
    const double length = snub_belt_pitch_length(&t.drive.belt, t.drive.belt.length, 0.0, false);
    assert_int_equal(snub_rig_prepare(&t.drive, NULL, &rig, NULL), SNUB_OK);
    for (int d = 0; d < 20; d++) {
        for (int i = 0; i < CASES; i++)
            vary(&by, &rig, 0.05, length, &c.all[i]);
        try_cases(&rig, &c, &m);
    }
    show("several positions", &m);
    assert_true(m.several > 20);
    drive_text_close(&t);
}

static void two_pulleys(void **state)
{
    (void)state;
    static cases c;
    static snub_rig rig;
    chance by = {32};
    met m = {0};
    plain_drive p;
    two_on_an_arm(&p);
    assert_int_equal(snub_rig_prepare(&p.drive, NULL, &rig, NULL), SNUB_OK);
    for (int d = 0; d < 30; d++) {
        for (int i = 0; i < CASES; i++)
            vary(&by, &rig, 1.0, length_for_two(d), &c.all[i]);
        try_cases(&rig, &c, &m);
    }
    show("two pulleys", &m);
    assert_true(m.free > 500);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(many_answer_as_one_by_one),
        cmocka_unit_test(several_positions),
        cmocka_unit_test(two_pulleys),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
