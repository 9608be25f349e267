/* Torque of gas and of reciprocating masses on the crank, and how unevenly it then turns (derived): the stated cycle
 * and a rigid crank, computed apart from the program by Gauss quadrature, Fourier transform and computer algebra. The
 * series of the inertia torque is that of W. Ker Wilson and J. P. Den Hartog (from memory, recomputed there). Cycle:
 * bore 86 mm, crank 43 mm, rod 145 mm, 9.5 to 1, from 100 kPa with n = 1.32, 3.2 MPa at top dead centre, back with n
 * = 1.27, both gas strokes at 100 kPa; 0.52 kg goes up and down in every cylinder. */
#include "motion/torque.h"
#include "support/near.h"

static const snub_cylinder cycle = {.strokes = 4,
                                    .bore = 0.086,
                                    .crank_radius = 0.043,
                                    .rod = 0.145,
                                    .compression = 9.5,
                                    .intake = 1e5,
                                    .exhaust = 1e5,
                                    .outside = 1e5,
                                    .n_compression = 1.32,
                                    .n_expansion = 1.27,
                                    .rise = 3.2e6,
                                    .reciprocating = 0.52};

/* Orders 0.5 to 12 of one cylinder's gas torque, amplitudes, N m. */
static const double gas[SNUB_ORDERS] = {57.68776551227827,  64.6014235814481,   62.823546035049894, 54.05627926949868,
                                        44.15197575826043,  35.976654143315145, 29.049325036425593, 22.842957875204462,
                                        17.8222661485789,   14.263302680697407, 11.606151370222857, 9.290554259491259,
                                        7.358860877582766,  6.015113368955605,  5.0880354412529325, 4.259682702327987,
                                        3.4996851897313626, 2.9638005501783664, 2.6333033548648093, 2.323184679695002,
                                        1.984939039211012,  1.7313282678093471, 1.5954950030949402, 1.463307261353311};
/* First eight of T/(m r^2 omega^2) by sines, lambda = r/l 0.2, 0.25, 0.3, 0.35. */
static const double ratio[4] = {0.2, 0.25, 0.3, 0.35};
static const double mass[4][8] = {
    {0.050509599659602916, -0.5000520724854638, -0.15230197554539662, -0.010204081521977784, 0.0012984905198523064,
     0.00015620118712885052, -1.3925499772853012e-05, -2.1254075469254174e-06},
    {0.06350626057674383, -0.5001301405606124, -0.19205557341974244, -0.016129031165382876, 0.002592310746182578,
     0.0003903200624443409, -4.397108416330682e-05, -8.396164631996328e-06},
    {0.07676266476554144, -0.5002778502799532, -0.2330021299204325, -0.02356020214861776, 0.004603533017445311,
     0.0008330876351909482, -0.000114162506358274, -2.6184835050974825e-05},
    {0.09034552389082932, -0.5005332712771153, -0.27546173262327733, -0.032623131998576575, 0.007555902132065886,
     0.0015981075618157412, -0.00025976948132725233, -6.958791705752657e-05},
};

typedef struct engine {
    const char *name;
    int cylinders;
    double firing[8], rpm, inertia, mean;
    int count;
    double order[8][3]; /* order, torque N m, angle deg */
} engine;
static const engine engines[] = {
    {"I4_even_180",
     4,
     {0, 180, 360, 540},
     800,
     0.16,
     103.99924609652697,
     6,
     {{2, 202.72196637631413, 2.585867445288476},
      {4, 90.78084496014569, 0.289494073871672},
      {6, 37.17981196396496, 0.05269508726553362},
      {8, 17.03833408593871, 0.013583528410344761},
      {10, 9.29274562135101, 0.004741431589113913},
      {12, 5.8532289468842205, 0.0020739508475738867}}},
    {"I4_even_180",
     4,
     {0, 180, 360, 540},
     3000,
     0.16,
     103.99924609652697,
     6,
     {{2, 26.343527624019707, 0.02389553966975663},
      {4, 83.10093518638509, 0.01884468285418203},
      {6, 37.41001248540304, 0.003770407205685622},
      {8, 17.03315336757366, 0.0009656460920043804},
      {10, 9.292835789245679, 0.0003371717401187913},
      {12, 5.853227659852981, 0.00014748091673211258}}},
    {"I3_even_240",
     3,
     {0, 240, 480},
     800,
     0.14,
     77.99943457239523,
     8,
     {{1.5, 188.4706381051497, 4.8844826312908785},
      {3, 103.31625600371365, 0.6693966538419022},
      {4.5, 53.4667984457367, 0.15396306170585838},
      {6, 27.884858972973717, 0.04516721765617166},
      {7.5, 15.264106323758798, 0.01582363448655187},
      {9, 8.891428439427967, 0.006400942198092416},
      {10.5, 5.954817117633036, 0.0031495406410618223},
      {12, 4.389921710163165, 0.001777672155063331}}},
    {"I3_even_240",
     3,
     {0, 240, 480},
     3000,
     0.14,
     77.99943457239523,
     8,
     {{1.5, 188.4706381051497, 0.34734098711401806},
      {3, 43.933703640860045, 0.020241847939302567},
      {4.5, 53.4667984457367, 0.010948484387972152},
      {6, 28.05750936405228, 0.0032317776048733904},
      {7.5, 15.264106323758798, 0.0011252362301548},
      {9, 8.891778391661688, 0.0004551960269381843},
      {10.5, 5.954817117633036, 0.0002239673344755074},
      {12, 4.389920744889736, 0.00012641221434181077}}},
    {"I6_even_120",
     6,
     {0, 120, 240, 360, 480, 600},
     800,
     0.2,
     155.99886914479046,
     4,
     {{3, 206.63251200742727, 0.9371553153786629},
      {6, 55.76971794594743, 0.06323410471864033},
      {9, 17.782856878855934, 0.008961319077329383},
      {12, 8.779843420326332, 0.002488741017088664}}},
    {"I6_even_120",
     6,
     {0, 120, 240, 360, 480, 600},
     3000,
     0.2,
     155.99886914479046,
     4,
     {{3, 87.86740728172009, 0.028338587115023593},
      {6, 56.11501872810456, 0.0045244886468227465},
      {9, 17.783556783323377, 0.0006372744377134581},
      {12, 8.779841489779471, 0.0001769771000785351}}},
    {"V8_even_90",
     8,
     {0, 90, 180, 270, 360, 450, 540, 630},
     800,
     0.22,
     207.99849219305395,
     3,
     {{4, 181.56168992029137, 0.4210822892678865},
      {8, 34.07666817187742, 0.019757859505956016},
      {12, 11.706457893768441, 0.00301665577828929}}},
    {"V8_even_90",
     8,
     {0, 90, 180, 270, 360, 450, 540, 630},
     3000,
     0.22,
     207.99849219305395,
     3,
     {{4, 166.2018703727702, 0.027410447787901138},
      {8, 34.06630673514733, 0.0014045761338245537},
      {12, 11.706455319705961, 0.00021451769706489103}}},
    {"V6_90deg_common_pin_150_90",
     6,
     {0, 90, 240, 330, 480, 570},
     800,
     0.18,
     155.99886914479046,
     7,
     {{1.5, 144.24918138023466, 2.9076609001534233},
      {3, 146.1112504540626, 0.7362987539214116},
      {4.5, 98.7937615058448, 0.22126738895771192},
      {7.5, 28.204390829193713, 0.022740872049878926},
      {9, 12.574378687908856, 0.00704067720883997},
      {10.5, 4.5576197073644025, 0.001874875368947597},
      {12, 8.77984342032633, 0.0027652677967651817}}},
    {"V6_90deg_common_pin_150_90",
     6,
     {0, 90, 240, 330, 480, 570},
     3000,
     0.18,
     155.99886914479046,
     7,
     {{1.5, 144.24918138023466, 0.20676699734424347},
      {3, 62.131639534184536, 0.022264896798087686},
      {4.5, 98.7937615058448, 0.01573456988143729},
      {7.5, 28.204390829193713, 0.0016171286791025017},
      {9, 12.574873595103968, 0.0005006900848711441},
      {10.5, 4.5576197073644025, 0.00013332447068071802},
      {12, 8.779841489779471, 0.0001966412223094835}}},
};

static void orders_of(const snub_cylinder *cylinder, const double *firing, int cylinders, double speed, double inertia,
                      snub_order *orders)
{
    snub_harmonics harmonics;
    snub_harmonics_of(cylinder, firing, cylinders, &harmonics);
    snub_orders_at(&harmonics, cylinder, speed, inertia, orders);
}

static void gas_torque(void **state)
{
    (void)state;
    const double firing = 0;
    snub_order orders[SNUB_ORDERS];
    snub_cylinder c = cycle;
    c.reciprocating = 0;
    orders_of(&c, &firing, 1, 100, 0.1, orders);
    assert_near("mean", snub_mean_torque(&c), 25.99981152413186, 1e-12, "N m");
    for (int k = 0; k < SNUB_ORDERS; k++) {
        assert_near("order", orders[k].order, 0.5 * (k + 1), 0, "");
        assert_near("gas", orders[k].torque, gas[k], 2e-7, "N m");
    }
    assert_near("before the firing", snub_gas_torque(&c, -1e-3) + snub_gas_torque(&c, 4 * SNUB_PI - 1e-3),
                2 * snub_gas_torque(&c, 4 * SNUB_PI - 1e-3), 1e-6, "N m");
}

/* Less throttle: the mean torque that is asked for, from a charge that is smaller all over. */
static void throttled(void **state)
{
    (void)state;
    static const double wanted[] = {40, 25.99981152413186, 3, 0, -1};
    for (int k = 0; k < 5; k++) {
        snub_cylinder c = cycle;
        snub_cylinder_throttle(&c, wanted[k]);
        assert_near("mean", snub_mean_torque(&c), wanted[k], 1e-11, "N m");
        assert_near("one proportion", c.rise / cycle.rise, c.intake / cycle.intake, 1e-14, "");
        assert_near("pushed out against the same", c.exhaust, cycle.exhaust, 0, "Pa");
    }
}

static void mass_torque(void **state)
{
    (void)state;
    for (int i = 0; i < 4; i++) {
        const snub_cylinder c = {.crank_radius = ratio[i], .rod = 1, .reciprocating = 1 / (ratio[i] * ratio[i])};
        double sines[8] = {0};
        enum { STEPS = 720 };
        for (int k = 0; k < STEPS; k++) {
            const double angle = 2 * SNUB_PI * k / STEPS;
            for (int n = 1; n <= 8; n++)
                sines[n - 1] += 2.0 / STEPS * snub_mass_torque(&c, angle, 1) * sin(n * angle);
        }
        for (int n = 0; n < 8; n++)
            assert_near("mass", sines[n], mass[i][n], 1e-14, "");
    }
}

static void engines_by_order(void **state)
{
    (void)state;
    for (size_t e = 0; e < sizeof engines / sizeof *engines; e++) {
        const engine *g = &engines[e];
        double firing[8], rest = 0;
        snub_order orders[SNUB_ORDERS];
        for (int j = 0; j < g->cylinders; j++)
            firing[j] = g->firing[j] * SNUB_DEG;
        orders_of(&cycle, firing, g->cylinders, g->rpm * SNUB_RPM, g->inertia, orders);
        assert_near(g->name, g->cylinders * snub_mean_torque(&cycle), g->mean, 1e-11, "N m");
        for (int k = 0, next = 0; k < SNUB_ORDERS; k++) {
            if (next < g->count && g->order[next][0] == orders[k].order) {
                assert_near(g->name, orders[k].torque, g->order[next][1], 1e-5, "N m");
                assert_near(g->name, orders[k].angle / SNUB_DEG, g->order[next][2], 1e-7 * g->order[0][2], "deg");
                assert_near(g->name, orders[k].speed, g->order[next][2] * SNUB_DEG * orders[k].order,
                            1e-7 * g->order[0][2], "");
                next++;
            } else {
                rest = fmax(rest, orders[k].torque);
            }
        }
        assert_near(g->name, rest, 0, 1e-9, "N m");
    }
}

/* A two-stroke fires every turn: no half orders, twice as many firings, and the mean of a four-stroke that pumps for
 * nothing twice over. */
static void two_stroke(void **state)
{
    (void)state;
    const double firing = 0;
    snub_order orders[SNUB_ORDERS];
    snub_cylinder c = cycle;
    c.strokes = 2;
    orders_of(&c, &firing, 1, 100, 0.1, orders);
    assert_near("mean", snub_mean_torque(&c), 2 * 25.99981152413186, 1e-11, "N m");
    for (int k = 0; k < SNUB_ORDERS; k += 2)
        assert_near("half orders", orders[k].torque, 0, 0, "N m");
    assert_true(orders[1].torque > 50);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(gas_torque), cmocka_unit_test(throttled),
                                       cmocka_unit_test(mass_torque), cmocka_unit_test(engines_by_order),
                                       cmocka_unit_test(two_stroke)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
