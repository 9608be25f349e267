/* Arm and the spans beside it as one, at rest and running (derived: closed form of each span against 26 polynomials
 * with the skew matrix of the running belt, 1e-11).
 *  - the force that a running string asks for at an end that is moved
 *  - string over a sprung roller
 *  - three pulleys with arm: inputs of R. S. Beikmann, N. C. Perkins, A. G. Ulsoy, J. Vibration and Acoustics 118
 * (1996), from memory, tractive tension 300 N all round, two sets of inertias; five pulleys under load. Crank free A
 * drive of seven pulleys of the same source is not here: its inputs were not at hand. */
#include "motion/driven_end.h"
#include "snub/coupled.h"
#include "support/five_pulleys.h"

static void driven_end(void **state)
{
    (void)state;
    static const double want[][3] = {
        {0, 5, 845.2615104134874},    {0, 20, 658.6141764140672},    {0, 60, -2497.40215285177},
        {0, 100, 2596.866872144412},  {20, 5, 725.7590165691272},    {20, 20, 505.54891996622035},
        {20, 60, -6554.396959518838}, {20, 100, -28.1959538121935},  {40, 5, 360.1193002298845},
        {40, 20, -166.8185610470169}, {40, 60, -1777.1511468491967}, {40, 100, -8299.898492446286}};
    for (size_t i = 0; i < sizeof want / sizeof want[0]; i++)
        assert_near("force", snub_end_stiffness(300, 0.1029, want[i][0], 0.35, 2 * SNUB_PI * want[i][1]), want[i][2],
                    1e-11 * 8300, "N/m");
    assert_near("slow", snub_end_stiffness(300, 0.1029, 20, 0.35, 1e-3), (300 - 0.1029 * 400) / 0.35, 1e-6, "N/m");
}

static void sprung_roller(void **state)
{
    (void)state;
    static const struct {
        double v, f[6];
    } want[] = {{0,
                 {20.234916910837153, 78.26878093136715, 136.0847003819039, 154.86405966857785, 231.77828874941196,
                  270.53775823976844}},
                {20,
                 {19.351242967644275, 67.69335233603194, 117.56166527826507, 133.70383851537338, 200.02890677545136,
                  233.49751904064468}},
                {40,
                 {16.15581217150407, 36.04352201766323, 61.99303506425129, 70.25296217380294, 104.78105990739971,
                  122.37956290767077}}};
    for (int i = 0; i < 3; i++) {
        snub_arena arena = {0};
        snub_coupled_modes modes;
        snub_motion m = {.pulleys = 2,
                         .crank = -1,
                         .count = 1,
                         .arm_moves = true,
                         .inertia = {0.25},
                         /* the motion of a drive has the slow spans in it */
                         .stiffness = {2000 + (300 - 0.1029 * want[i].v * want[i].v) * (1 / 0.35 + 1 / 0.2)},
                         .span = {0.35, 0.2},
                         .across = {1, -1},
                         .beside_arm = {true, true},
                         .tension = {300, 300},
                         .belt_mass = 0.1029,
                         .belt_speed = want[i].v};
        assert_int_equal(snub_coupled_find(&m, true, 6, &arena, &modes, NULL), SNUB_OK);
        for (int k = 0; k < 6; k++) {
            const snub_coupled_mode *mode = &modes.mode[k];
            assert_near("frequency", mode->mode.frequency, want[i].f[k], 1e-12 * want[i].f[k], "Hz");
            assert_near("energy", mode->mode.energy[0] + mode->span_energy[0] + mode->span_energy[1], 1, 1e-12, "");
        }
        /* At rest the shares are those of kinetic energy: m times the integral of (sin kx/sin kL)^2 beside the roller.
         */
        for (int k = 0; want[i].v == 0 && k < 6; k++) {
            const double wave = 2 * SNUB_PI * want[i].f[k] / sqrt(300 / 0.1029);
            double part[2];
            for (int j = 0; j < 2; j++) {
                const double l = m.span[j], sine = sin(wave * l);
                part[j] = 0.1029 * (l / 2 - sin(2 * wave * l) / (4 * wave)) / (sine * sine);
            }
            const double whole = 0.25 + part[0] + part[1];
            assert_near("share", modes.mode[k].mode.energy[0], 0.25 / whole, 1e-9, "");
            assert_near("share", modes.mode[k].span_energy[0], part[0] / whole, 1e-9, "");
        }
        snub_arena_free(&arena);
    }
}

typedef struct running {
    double v, mass, total[MOST], f[6];
    double inertia[2]; /* of pulleys 1 and 2; 0: as it is */
} running;

static void expect(const chosen *drive, const running *want)
{
    static snub_motion motion;
    plain_drive p;
    snub_arena arena = {0};
    snub_coupled_modes modes;
    chosen c = *drive;
    c.centrifugal = want->mass * want->v * want->v;
    for (int i = 0; i < c.n; i++)
        c.total[i] = want->total[i] + c.centrifugal;
    for (int k = 0; k < 2; k++)
        c.inertia[k + 1] = want->inertia[k] > 0 ? want->inertia[k] : c.inertia[k + 1];
    set_up(&c, &p, &motion);
    motion.belt_mass = want->mass;
    motion.belt_speed = want->v;
    assert_int_equal(snub_coupled_find(&motion, false, 6, &arena, &modes, NULL), SNUB_OK);
    for (int k = 0; k < 6; k++) {
        double whole = modes.mode[k].span_energy[0] + modes.mode[k].span_energy[1];
        for (int i = 0; i < motion.count; i++)
            whole += modes.mode[k].mode.energy[i];
        assert_near("frequency", modes.mode[k].mode.frequency, want->f[k], 1e-9 * want->f[k], "Hz");
        assert_near("energy", whole, 1, 1e-9, "");
    }
    snub_arena_free(&arena);
}

static const chosen three = {3,
                             1,
                             {{0.5525, 0.0556}, {0.3477, 0.05715}, {0, 0}},
                             {0.0889, -0.0452, 0.02697},
                             {0.07248, 0.000293, 0.00293},
                             0.001165,
                             {0.2508, 0.0635},
                             54.37,
                             170000,
                             0,
                             {300, 300, 300}};

static void three_pulleys(void **state)
{
    (void)state;
    static const running want[] = {{0,
                                    0.1029,
                                    {300, 300, 300},
                                    {50.489118598595574, 78.24317081805773, 152.62026195995637, 166.30742875551,
                                     181.01094549849338, 235.89940730549057},
                                    {0}},
                                   {10,
                                    0.1029,
                                    {300, 300, 300},
                                    {50.46902741382577, 76.96064256092517, 150.54534089000396, 164.51881852939394,
                                     179.22616121099009, 232.03076790054345},
                                    {0}},
                                   {20,
                                    0.1029,
                                    {300, 300, 300},
                                    {50.404181837798205, 73.4750215745735, 144.44442569453852, 158.99415487345158,
                                     175.4081669507402, 221.5347336530167},
                                    {0}},
                                   {30,
                                    0.1029,
                                    {300, 300, 300},
                                    {50.27725633020368, 68.63630552082148, 135.297193122422, 149.78648263745237,
                                     171.96189925184737, 207.04631639939035},
                                    {0}},
                                   {0,
                                    0.1029,
                                    {300, 300, 300},
                                    {54.54060423923664, 78.90676577402277, 156.5379264805955, 174.30005957982112,
                                     232.42777621856402, 235.93440095353304},
                                    {0.00293, 0.000293}},
                                   {30,
                                    0.1029,
                                    {300, 300, 300},
                                    {54.0559831722667, 69.47144790088848, 136.91752830371672, 152.45340402824237,
                                     205.0215631419772, 233.7990222457559},
                                    {0.00293, 0.000293}}};
    for (size_t i = 0; i < sizeof want / sizeof want[0]; i++)
        expect(&three, &want[i]);
}

static void five_pulleys(void **state)
{
    (void)state;
    static const running want[] = {
        {0,
         0.105,
         {380.0, 418.46153846153845, 418.46153846153845, 751.7948717948718, 894.6520146520147},
         {46.03599519261084, 81.50799135868677, 111.82413047258089, 207.48838840711096, 229.22284529298122,
          299.1888166675841},
         {0}},
        {24,
         0.105,
         {380.0, 418.46153846153845, 418.46153846153845, 751.7948717948718, 894.6520146520147},
         {46.0123990741542, 81.47932214112133, 111.82286969454695, 193.96512046786268, 214.38184221773815,
          299.1294613527771},
         {0}}};
    for (size_t i = 0; i < sizeof want / sizeof want[0]; i++)
        expect(&five, &want[i]);
}

/* A belt of nearly no mass has no string frequencies in reach: what is left are the modes without it. With the crank
 * held, its energy is 0. No arm, no answer. */
static void limits(void **state)
{
    (void)state;
    static snub_motion motion;
    plain_drive p;
    snub_arena arena = {0};
    snub_coupled_modes modes;
    snub_modes alone;
    set_up(&five, &p, &motion);
    motion.belt_mass = 1e-9;
    for (int held = 0; held < 2; held++) {
        assert_int_equal(snub_coupled_find(&motion, held, 4, &arena, &modes, NULL), SNUB_OK);
        assert_int_equal(snub_modes_find(&motion, held, &arena, &alone, NULL), SNUB_OK);
        for (int k = 0; k < 4; k++)
            assert_near("frequency", modes.mode[k].mode.frequency, alone.mode[k].frequency, 1e-5, "Hz");
        assert_true((modes.mode[0].mode.energy[0] > 0) == !held);
    }
    motion.tension[1] = 0;
    assert_int_equal(snub_coupled_find(&motion, false, 4, &arena, &modes, NULL), SNUB_NO_EQUILIBRIUM);
    motion.arm_moves = false;
    assert_int_equal(snub_coupled_find(&motion, false, 4, &arena, &modes, NULL), SNUB_BAD_INPUT);
    snub_arena_free(&arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(driven_end), cmocka_unit_test(sprung_roller),
                                       cmocka_unit_test(three_pulleys), cmocka_unit_test(five_pulleys),
                                       cmocka_unit_test(limits)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
