/* Cases side by side in vectors against the same one by one: random drives, each lane a drive of its own, with belts
 * from far too short to far too long; every width, which must give the same bits. */
#include "snub/batch.h"
#include "support/arm_drives.h"
#include "support/drive_text.h"

enum { LANES_MOST = 61, WIDTHS = 3 }; /* no multiple of a width */
static const snub_batch_width WIDTH[WIDTHS] = {SNUB_BATCH_ONE, SNUB_BATCH_FOUR, SNUB_BATCH_EIGHT};

/* Columns for all that may have one, and what each case is one by one. */
typedef struct kits {
    double centre[PLAIN_PULLEYS_MOST][2][LANES_MOST], radius[PLAIN_PULLEYS_MOST][LANES_MOST];
    double pivot[2][LANES_MOST], arm_length[LANES_MOST], rest[LANES_MOST], travel[LANES_MOST];
    double preload[LANES_MOST], rate[LANES_MOST], damping[LANES_MOST];
    double stiffness[LANES_MOST], mass[LANES_MOST], measuring_tension[LANES_MOST];
    double engine_speed[LANES_MOST], side[LANES_MOST], belt_length[LANES_MOST];
    double torque[PLAIN_PULLEYS_MOST][LANES_MOST];
    snub_batch batch;
    snub_rig rig;
    snub_case wanted;
    snub_status status[LANES_MOST];
    snub_equilibrium e[LANES_MOST];
} kits;

typedef struct answers {
    snub_status status[LANES_MOST];
    snub_arm_state arm[LANES_MOST];
    double wind[LANES_MOST], tension[LANES_MOST];
    int equilibria[LANES_MOST];
    bool dead[LANES_MOST];
    snub_batch_answers all;
} answers;

/* What was met, so that no outcome goes untried. */
typedef struct met {
    int cases, free, at_rest, at_stop, none, slack, lost, several, dead, handed_over;
} met;

static void solve(const kits *k, snub_batch_width width, answers *a)
{
    memset(a, 0, sizeof *a);
    a->all = (snub_batch_answers){a->status, a->arm, a->wind, a->tension, a->equilibria, a->dead, 0};
    assert_int_equal(snub_batch_solve(&k->batch, width, &a->all), SNUB_OK);
}

/* Of all spans, N. */
static double greatest(const snub_equilibrium *e, int n)
{
    double most = 0.0;
    for (int i = 0; i < n; i++)
        most = fmax(most, fabs(e->tension + e->rise[i]));
    return most;
}

static void compare(const kits *k, const answers *a, met *m)
{
    for (int i = 0; i < k->batch.count; i++) {
        const snub_equilibrium *e = &k->e[i];
        m->cases++;
        if (a->status[i] != k->status[i])
            fail_msg(
                "case %d: status %d, want %d; arm %d wind %.12g tension %.9g count %d; travel %g edges %d preload %g",
                i, a->status[i], k->status[i], a->arm[i], a->wind[i], a->tension[i], a->equilibria[i], k->travel[i],
                k->rig.edges, k->preload[i]);
        if (k->status[i] != SNUB_OK) {
            *(k->status[i] == SNUB_NO_EQUILIBRIUM ? &m->slack : &m->lost) += 1;
            assert_true(isnan(a->tension[i]) && a->equilibria[i] == 0);
            continue;
        }
        assert_int_equal(a->arm[i], e->arm);
        assert_int_equal(a->equilibria[i], e->equilibria);
        assert_int_equal(a->dead[i], e->past_dead_point);
        assert_near("wind", a->wind[i], e->wind, 1e-9, "rad");
        assert_near("tension", a->tension[i], e->tension, 1e-9 * (1.0 + greatest(e, k->rig.n)), "N");
        *(e->arm == SNUB_ARM_FREE      ? &m->free
          : e->arm == SNUB_ARM_AT_REST ? &m->at_rest
          : e->arm == SNUB_ARM_AT_STOP ? &m->at_stop
                                       : &m->none) += 1;
        m->several += e->equilibria > 1;
        m->dead += e->past_dead_point;
    }
    m->handed_over += a->all.handed_over;
}

static void try_all(const kits *k, met *m)
{
    answers first, other;
    solve(k, SNUB_BATCH_ONE, &first);
    compare(k, &first, m);
    for (int w = 1; w < WIDTHS; w++) {
        if (!snub_batch_has(WIDTH[w]))
            continue;
        solve(k, WIDTH[w], &other);
        assert_memory_equal(first.status, other.status, sizeof first.status);
        assert_memory_equal(first.arm, other.arm, sizeof first.arm);
        assert_memory_equal(first.wind, other.wind, sizeof first.wind);
        assert_memory_equal(first.tension, other.tension, sizeof first.tension);
        assert_memory_equal(first.equilibria, other.equilibria, sizeof first.equilibria);
        assert_memory_equal(first.dead, other.dead, sizeof first.dead);
        assert_int_equal(first.all.handed_over, other.all.handed_over);
    }
}

/* 1, a share of a range off. */
static double off(chance *c, double share, double low, double high)
{
    return 1.0 + share * (chance_between(c, low, high) - 1.0);
}

/* A kit like the one given, all values off by some share of a wide range. */
static void vary(chance *c, double share, const plain_drive *like, double length, plain_drive *p, snub_case *wanted)
{
    *p = *like;
    p->drive.pulleys = p->pulleys;
    for (int i = 0; i < p->drive.pulley_count; i++) {
        p->pulleys[i].at[0] += share * chance_between(c, -0.002, 0.002);
        p->pulleys[i].at[1] += share * chance_between(c, -0.002, 0.002);
        p->pulleys[i].pitch_radius *= off(c, share, 0.99, 1.01);
        wanted->torque[i] = share * chance_between(c, -5, 15);
    }
    p->drive.belt.stiffness *= off(c, share, 0.8, 1.2);
    p->drive.belt.mass *= off(c, share, 0.9, 1.1);
    p->drive.belt.measuring_tension *= off(c, share, 0.9, 1.1);
    wanted->engine_speed = share * chance_between(c, 0, 700);
    wanted->side = chance_whole(c, -1, 1);
    wanted->belt_length = length * off(c, share, 0.97, 1.02);
    if (p->drive.arm < 0)
        return;
    snub_arm *arm = &p->pulleys[p->drive.arm].arm;
    for (int k = 0; k < 2; k++)
        arm->pivot[k] += share * chance_between(c, -0.002, 0.002);
    arm->length *= off(c, share, 0.99, 1.01);
    arm->free += share * chance_between(c, -0.05, 0.05);
    arm->travel *= off(c, share, 0.6, 1.1);
    arm->preload *= off(c, share, 0.1, 2.0);
    arm->rate *= off(c, share, 0.1, 2.0);
    arm->damping *= off(c, share, 0.8, 1.2);
}

static void keep_kit(kits *k, int i, const plain_drive *p, const snub_case *wanted)
{
    for (int j = 0; j < p->drive.pulley_count; j++) {
        for (int xy = 0; xy < 2; xy++)
            k->centre[j][xy][i] = p->pulleys[j].at[xy];
        k->radius[j][i] = p->pulleys[j].side == SNUB_RIB ? p->pulleys[j].pitch_radius : -p->pulleys[j].pitch_radius;
        k->torque[j][i] = wanted->torque[j];
    }
    k->stiffness[i] = p->drive.belt.stiffness;
    k->mass[i] = p->drive.belt.mass;
    k->measuring_tension[i] = p->drive.belt.measuring_tension;
    k->engine_speed[i] = wanted->engine_speed;
    k->side[i] = wanted->side;
    k->belt_length[i] = wanted->belt_length;
    if (p->drive.arm < 0)
        return;
    const snub_arm *arm = &p->pulleys[p->drive.arm].arm;
    k->pivot[0][i] = arm->pivot[0];
    k->pivot[1][i] = arm->pivot[1];
    k->arm_length[i] = arm->length;
    k->rest[i] = arm->free;
    k->travel[i] = arm->travel;
    k->preload[i] = arm->preload;
    k->rate[i] = arm->rate;
    k->damping[i] = arm->damping;
}

/* The same, and what the kit is one by one. */
static void answer_kit(kits *k, int i, const plain_drive *p, const snub_case *wanted)
{
    static snub_rig rig;
    keep_kit(k, i, p, wanted);
    k->status[i] = snub_rig_prepare(&p->drive, NULL, &rig, NULL);
    if (k->status[i] == SNUB_OK)
        k->status[i] = snub_solve(&rig, wanted, &k->e[i], NULL);
}

static void point_cases(kits *k)
{
    k->batch = (snub_batch){.rig = &k->rig,
                            .wanted = &k->wanted,
                            .count = LANES_MOST,
                            .engine_speed = k->engine_speed,
                            .side = k->side,
                            .belt_length = k->belt_length};
    for (int j = 0; j < k->rig.n; j++)
        k->batch.torque[j] = k->torque[j];
}

static void point_kits(kits *k)
{
    snub_batch *b = &k->batch;
    for (int j = 0; j < k->rig.n; j++) {
        b->centre[j][0] = k->centre[j][0];
        b->centre[j][1] = k->centre[j][1];
        b->radius[j] = k->radius[j];
    }
    b->stiffness = k->stiffness;
    b->mass = k->mass;
    b->measuring_tension = k->measuring_tension;
    if (k->rig.arm < 0)
        return;
    b->pivot[0] = k->pivot[0];
    b->pivot[1] = k->pivot[1];
    b->arm_length = k->arm_length;
    b->rest = k->rest;
    b->travel = k->travel;
    b->preload = k->preload;
    b->rate = k->rate;
    b->damping = k->damping;
}

/* Belts that balance between the last good wind of a cut cell and the cell's good end. */
static void balance_in_cut_cells(kits *k)
{
    for (int j = 0; k->rig.arm >= 0 && j < k->rig.edges; j++) {
        double length;
        if (length_in_cut_cell(&k->rig, j, k->side[j], &length)) {
            k->belt_length[j] = length;
            k->engine_speed[j] = 0.0;
            for (int i = 0; i < k->rig.n; i++)
                k->torque[i][j] = 0.0;
        }
    }
}

/* One drive: every lane a kit of its own, then every lane a case of the same rig. */
static void try_drive(chance *c, double share, kits *k, const plain_drive *like, double length, met *own, met *same)
{
    plain_drive p;
    snub_case wanted;
    assert_int_equal(snub_rig_prepare(&like->drive, NULL, &k->rig, NULL), SNUB_OK);
    for (int i = 0; i < LANES_MOST; i++) {
        memset(&wanted, 0, sizeof wanted);
        vary(c, share, like, length, &p, &wanted);
        answer_kit(k, i, &p, &wanted);
    }
    point_cases(k);
    point_kits(k);
    try_all(k, own);
    point_cases(k);
    balance_in_cut_cells(k);
    for (int i = 0; i < LANES_MOST; i++) {
        wanted = k->wanted;
        wanted.engine_speed = k->engine_speed[i];
        wanted.side = k->side[i];
        wanted.belt_length = k->belt_length[i];
        for (int j = 0; j < k->rig.n; j++)
            wanted.torque[j] = k->torque[j][i];
        k->status[i] = snub_solve(&k->rig, &wanted, &k->e[i], NULL);
    }
    try_all(k, same);
    if (k->rig.edges == 0)
        return;
    /* the same cases as kits, each with the geometry of that one rig */
    for (int i = 0; i < LANES_MOST; i++) {
        snub_case kept = {.engine_speed = k->engine_speed[i], .side = k->side[i], .belt_length = k->belt_length[i]};
        for (int j = 0; j < k->rig.n; j++)
            kept.torque[j] = k->torque[j][i];
        keep_kit(k, i, like, &kept);
    }
    point_kits(k);
    try_all(k, own);
}

static void show(const char *what, const met *m)
{
    printf("%s: %d cases; free %d, at free position %d, at stop %d, no arm %d, no answer %d, belt lost %d, several %d, "
           "past dead point %d; handed over %d\n",
           what, m->cases, m->free, m->at_rest, m->at_stop, m->none, m->slack, m->lost, m->several, m->dead,
           m->handed_over);
}

static void lanes_answer_as_one_by_one(void **state)
{
    (void)state;
    static kits k;
    chance c = {20};
    met own = {0}, same = {0};
    for (int d = 0; d < 240; d++) {
        plain_drive p;
        double length;
        random_drive(&c, d % 3 != 0, &p, &length);
        if (d % 3 == 1)
            swing_further_out(&p, 0.8, 0.8);
        try_drive(&c, 1.0, &k, &p, length, &own, &same);
    }
    show("kits", &own);
    show("cases of one rig", &same);
    assert_true(own.free > 4000 && own.at_rest > 200 && own.at_stop > 1500 && own.none > 3000 && own.slack > 2000);
    assert_true(own.lost > 0 && own.dead > 0);
    /* belts that are lost in part of the travel, or everywhere, are not the lanes' business */
    assert_true(own.handed_over > 0 && own.handed_over < own.cases / 2);
}

static void several_positions_answer_as_one_by_one(void **state)
{
    (void)state;
    static kits k;
    chance c = {22};
    met own = {0}, same = {0};
    drive_text t;
    drive_text_open(&t, SEVERAL_POSITIONS);
    plain_drive p = {.drive = t.drive};
    memcpy(p.pulleys, t.drive.pulleys, (size_t)t.drive.pulley_count * sizeof p.pulleys[0]);
    p.drive.pulleys = p.pulleys;
    const double length = snub_belt_pitch_length(&t.drive.belt, t.drive.belt.length, 0.0, false);
    for (int d = 0; d < 40; d++)
        try_drive(&c, d < 20 ? 0.05 : 0.4, &k, &p, length * (d < 20 ? 1.0 : 1.0 + 0.002 * (d - 20)), &own, &same);
    show("several positions, kits", &own);
    show("several positions, one rig", &same);
    assert_true(own.several > 20 && same.several > 20 && own.handed_over < own.cases);
    drive_text_close(&t);
}

/* Kits of one geometry, but for what `bend` changes of lane i; no torque, engine stopped. */
static void try_bent(kits *k, const plain_drive *like, void (*bend)(const kits *k, int i, plain_drive *p, snub_case *c),
                     double length, met *own)
{
    if (snub_rig_prepare(&like->drive, NULL, &k->rig, NULL) != SNUB_OK)
        return;
    for (int i = 0; i < LANES_MOST; i++) {
        plain_drive p = *like;
        snub_case wanted = {.belt_length = length};
        p.drive.pulleys = p.pulleys;
        bend(k, i, &p, &wanted);
        answer_kit(k, i, &p, &wanted);
    }
    point_cases(k);
    point_kits(k);
    try_all(k, own);
}

/* A belt that balances at a place of the table: rounding would decide in which of two cells, in both or in none. */
static void balance_at_place(const kits *k, int i, plain_drive *p, snub_case *wanted)
{
    (void)p;
    double length;
    if (snub_length_for_wind(&k->rig, wanted, k->rig.travel * (i + 1) / SNUB_WIND_GRID, &length))
        wanted->belt_length = length;
}

/* A pulley beside those that the arm's spans meet, further and further round: spans that do not move turn much. */
static void turn_neighbour(const kits *k, int i, plain_drive *p, snub_case *wanted)
{
    (void)wanted;
    const int n = k->rig.n, hub = i % 2 ? k->rig.after : k->rig.before, other = (hub + (i % 2 ? 1 : n - 1)) % n;
    const double turn = 0.03 * (i - LANES_MOST / 2), *at = p->pulleys[hub].at;
    const double x = p->pulleys[other].at[0] - at[0], y = p->pulleys[other].at[1] - at[1];
    p->pulleys[other].at[0] = at[0] + x * cos(turn) - y * sin(turn);
    p->pulleys[other].at[1] = at[1] + x * sin(turn) + y * cos(turn);
}

/* The neighbour before the arm so near to a place of the arm's pulley that their span all but vanishes there, and a
 * belt that balances close by: between two places of the table much may happen. */
static void all_but_touch(const kits *k, int i, plain_drive *p, snub_case *wanted)
{
    static snub_rig rig;
    const snub_arm *arm = &p->pulleys[k->rig.arm].arm;
    const double wind = k->rig.travel * (i + 0.5) / LANES_MOST, angle = arm->free + arm->loads * wind;
    const double centre[2] = {arm->pivot[0] + arm->length * cos(angle), arm->pivot[1] + arm->length * sin(angle)};
    snub_pulley *other = &p->pulleys[k->rig.before];
    const double x = other->at[0] - centre[0], y = other->at[1] - centre[1];
    const double reach =
        fabs(k->rig.path.radius[k->rig.before] - k->rig.path.radius[k->rig.arm]) + pow(10.0, -2.0 - (i % 7) * 0.5);
    double length;
    other->at[0] = centre[0] + x * reach / hypot(x, y);
    other->at[1] = centre[1] + y * reach / hypot(x, y);
    if (snub_rig_prepare(&p->drive, NULL, &rig, NULL) == SNUB_OK &&
        snub_length_for_wind(&rig, wanted, wind + k->rig.travel * 0.01 * (i % 5 - 2), &length))
        wanted->belt_length = length;
}

/* Pulleys on the other side of the belt, some of them small. */
static void flip_sides(const kits *k, int i, plain_drive *p, snub_case *wanted)
{
    chance c = {(uint64_t)i + 1};
    (void)wanted;
    for (int j = 0; j < k->rig.n; j++) {
        snub_pulley *pulley = &p->pulleys[j];
        if (chance_between(&c, 0.0, 1.0) > 0.3)
            continue;
        pulley->side = pulley->side == SNUB_RIB ? SNUB_BACK : SNUB_RIB;
        pulley->pitch_radius *= chance_between(&c, 0.0, 1.0) < 0.5 ? 0.3 : 1.0;
    }
}

/* What weakens as it is wound is no spring. */
static void weaken(const kits *k, int i, plain_drive *p, snub_case *wanted)
{
    (void)i;
    (void)wanted;
    p->pulleys[k->rig.arm].arm.rate *= -0.1;
}

static void balances_at_places_and_turned_spans(void **state)
{
    (void)state;
    static kits k;
    chance c = {24};
    met at = {0}, turned = {0}, near = {0}, flipped = {0}, weak = {0};
    for (int d = 0; d < 120; d++) {
        plain_drive p;
        double length;
        random_drive(&c, true, &p, &length);
        if (d % 2)
            swing_further_out(&p, 0.4, 0.6);
        try_bent(&k, &p, balance_at_place, length, &at);
        try_bent(&k, &p, turn_neighbour, 0.995 * length, &turned);
        try_bent(&k, &p, all_but_touch, length, &near);
        try_bent(&k, &p, flip_sides, length, &flipped);
        try_bent(&k, &p, weaken, length, &weak);
    }
    show("at places", &at);
    show("turned spans", &turned);
    show("spans all but vanish", &near);
    show("other sides", &flipped);
    show("weak springs", &weak);
    assert_true(at.free > 5000 && at.handed_over > 1000);
    assert_true(weak.free > 100 && weak.handed_over == weak.cases);
    assert_true(turned.free > 1000 && turned.handed_over < turned.cases / 2);
}

static void two_pulleys_answer_as_one_by_one(void **state)
{
    (void)state;
    static kits k;
    chance c = {21};
    met own = {0}, same = {0};
    for (int d = 0; d < 30; d++) {
        plain_drive p;
        two_on_an_arm(&p);
        try_drive(&c, 1.0, &k, &p, length_for_two(d), &own, &same);
    }
    show("two pulleys", &own);
    assert_true(own.free > 1000 && own.at_stop > 100 && own.handed_over == 0);
}

/* R of a rig without torque at standstill, N m. NAN: the belt is lost there. */
static double unbalance_at(const snub_rig *rig, double length, double wind)
{
    snub_arm_geometry g;
    if (!snub_arm_lay(rig, wind, &g))
        return NAN;
    const double tension = rig->measuring_tension + rig->stiffness * (g.length - length) / g.length;
    return rig->preload + rig->rate * wind - tension * (g.lever_out - g.lever_in);
}

/* Where R is least (sign 1) or greatest (-1) within the travel, not at its ends; NAN: there is no such wind. */
static double turning_wind(const snub_rig *rig, double length, double sign)
{
    enum { WINDS = 1600 };
    double least = INFINITY, where = NAN;
    for (int k = 0; k <= WINDS; k++) {
        const double wind = rig->travel * k / WINDS, r = sign * unbalance_at(rig, length, wind);
        if (isnan(r))
            return NAN;
        if (r < least) {
            least = r;
            where = k > 1 && k < WINDS - 1 ? wind : (double)NAN;
        }
    }
    return where;
}

/* R that dips below zero between two places of the table, or rises above it, or just does not: springs by which it
 * touches zero, and a little more or less. */
static void balances_between_two_places(void **state)
{
    (void)state;
    static kits k;
    chance c = {23};
    met own = {0}, at = {0};
    int turns = 0, tops = 0;
    for (int d = 0; d < 8000 && turns < 400; d++) {
        plain_drive p;
        double length;
        random_drive(&c, true, &p, &length);
        snub_arm *arm = &p.pulleys[1].arm;
        const double back = chance_between(&c, 0.0, 1.2);
        swing_further_out(&p, back, chance_between(&c, 0.0, 1.5));
        arm->rate *= chance_between(&c, 0.0, 0.5);
        length *= 1.0 - chance_between(&c, 0.0, 0.02);
        if (snub_rig_prepare(&p.drive, NULL, &k.rig, NULL) != SNUB_OK || k.rig.edges > 0)
            continue;
        const double wind = turning_wind(&k.rig, length, d % 2 ? 1.0 : -1.0);
        if (isnan(wind))
            continue;
        const bool at_place = d % 4 > 1;
        if (at_place) { /* a travel of which that wind is a place: rounding decides what stands there */
            arm->travel = wind * SNUB_WIND_GRID / fmax(1.0, round(wind / k.rig.travel * SNUB_WIND_GRID));
            if (snub_rig_prepare(&p.drive, NULL, &k.rig, NULL) != SNUB_OK || k.rig.edges > 0)
                continue;
        }
        tops += d % 2 == 0;
        const double preload = arm->preload - unbalance_at(&k.rig, length, wind);
        for (int i = 0; i < LANES_MOST; i++) {
            const snub_case wanted = {.belt_length = length};
            const double by = at_place ? pow(10.0, -11.0 - i * 0.06) : pow(10.0, 1.5 - i * 0.12); /* 30 N m to 2e-6 */
            arm->preload = preload + (i % 2 ? 1.0 : -1.0) * by;
            answer_kit(&k, i, &p, &wanted);
            assert_true(k.status[i] != SNUB_NO_TANGENT && k.status[i] != SNUB_LOST_BELT);
        }
        point_cases(&k);
        point_kits(&k);
        try_all(&k, at_place ? &at : &own);
        turns++;
    }
    printf("%d drives, R has its greatest value within in %d\n", turns, tops);
    show("between two places", &own);
    show("at a place", &at);
    assert_true(turns > 200 && tops > 40 && own.free > 1000 && own.at_rest > 1000 && own.handed_over < own.cases / 3);
    assert_true(at.handed_over > at.cases / 2);
}

static void no_such_width(void **state)
{
    (void)state;
    const snub_batch none = {0};
    snub_batch_answers untouched = {.handed_over = -1};
    assert_int_equal(snub_batch_solve(&none, (snub_batch_width)(SNUB_BATCH_EIGHT + 1), &untouched), SNUB_BAD_INPUT);
    assert_int_equal(untouched.handed_over, -1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lanes_answer_as_one_by_one),          cmocka_unit_test(several_positions_answer_as_one_by_one),
        cmocka_unit_test(balances_at_places_and_turned_spans), cmocka_unit_test(two_pulleys_answer_as_one_by_one),
        cmocka_unit_test(balances_between_two_places),         cmocka_unit_test(no_such_width),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
