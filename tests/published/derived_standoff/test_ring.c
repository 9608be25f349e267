/* Eccentric pressure on a ring that carries no tension: the kern of a ring and its second kern as a manual of
 * foundations prints them (e = (1 + (d/D)^2) D/8; 3 pi/32 D (1 - (d/D)^4)/(1 - (d/D)^3)); values worked out in 30
 * digits from the closed form, and checked by quadrature, by another program; and the table of a circle of 1882 that
 * handbooks reprint (from memory, and right to about 1 % up to e = 0.65 r). */
#include "snub/mount.h"
#include "support/near.h"

/* A bolt that bends so easily that the ring alone counts. */
#define NO_BOLT 1e-12

static snub_pressed_face press(double bore, double eccentricity)
{
    const snub_clamped_tube tube = {2.0, 2.0 * bore, 1.0, 1.0, NO_BOLT};
    return snub_press_face(&tube, eccentricity);
}

static double mean(double bore)
{
    return 1.0 / snub_annulus_area(2.0, 2.0 * bore);
}

static const struct {
    double bore, eccentricity, most, line, touching; /* line NAN: shut */
} rows[] = {
    {0.0, 0.1, 1.4, NAN, 1.0},
    {0.0, 0.2, 1.8, NAN, 1.0},
    {0.0, 0.25, 2.0, NAN, 1.0},
    {0.0, 0.3, 2.21056, -0.8201686, 0.955483},
    {0.0, 0.35, 2.455475, -0.6609608, 0.8877323},
    {0.0, 0.4, 2.7493, -0.5124088, 0.8113116},
    {0.0, 0.45, 3.109321, -0.3708115, 0.7305386},
    {0.0, 0.5, 3.559872, -0.2342336, 0.6477427},
    {0.0, 0.55, 4.137352, -0.1015, 0.5645058},
    {0.0, 0.6, 4.898974, 0.02816986, 0.4820689},
    {0.0, 0.65, 5.939727, 0.1553267, 0.401515},
    {0.0, 0.7, 7.428322, 0.2803771, 0.3238734},
    {0.0, 0.75, 9.691786, 0.4036309, 0.2501991},
    {0.0, 0.8, 13.4447, 0.5253312, 0.1816559},
    {0.0, 0.85, 20.54875, 0.6456727, 0.119636},
    {0.0, 0.9, 37.47945, 0.7648139, 0.06598931},
    {0.25, 0.1, 1.376471, NAN, 1.0},
    {0.25, 0.2, 1.752941, NAN, 1.0},
    {0.25, 0.25, 1.941176, NAN, 1.0},
    {0.25, 0.3, 2.133077, -0.8801882, 0.9739313},
    {0.25, 0.35, 2.349149, -0.7238832, 0.911057},
    {0.25, 0.4, 2.603687, -0.5776003, 0.8358357},
    {0.25, 0.45, 2.91254, -0.4353155, 0.7526511},
    {0.25, 0.5, 3.303014, -0.2914302, 0.6617274},
    {0.25, 0.55, 3.829267, -0.1395659, 0.5720676},
    {0.25, 0.6, 4.55398, 0.01163741, 0.4940726},
    {0.25, 0.65, 5.557698, 0.1526921, 0.4209222},
    {0.25, 0.7, 6.964052, 0.2803771, 0.345465},
    {0.25, 0.75, 9.086049, 0.4036309, 0.266879},
    {0.25, 0.8, 12.60441, 0.5253312, 0.1937663},
    {0.25, 0.85, 19.26445, 0.6456727, 0.1276117},
    {0.25, 0.9, 35.13699, 0.7648139, 0.0703886},
    {0.4, 0.1, 1.344828, NAN, 1.0},
    {0.4, 0.2, 1.689655, NAN, 1.0},
    {0.4, 0.25, 1.862069, NAN, 1.0},
    {0.4, 0.3, 2.034629, -0.9664144, 0.9956242},
    {0.4, 0.35, 2.21812, -0.8132529, 0.9439792},
    {0.4, 0.4, 2.428157, -0.6711565, 0.8721115},
    {0.4, 0.45, 2.678058, -0.530682, 0.7871868},
    {0.4, 0.5, 2.994092, -0.3812192, 0.6876764},
    {0.4, 0.55, 3.425059, -0.215531, 0.6000505},
    {0.4, 0.6, 4.029219, -0.04476534, 0.5203731},
    {0.4, 0.65, 4.904829, 0.1213605, 0.4444677},
    {0.4, 0.7, 6.202636, 0.2729102, 0.3715322},
    {0.4, 0.75, 8.1411, 0.4036309, 0.2978561},
    {0.4, 0.8, 11.29355, 0.5253312, 0.216257},
    {0.4, 0.85, 17.26095, 0.6456727, 0.1424238},
    {0.4, 0.9, 31.48274, 0.7648139, 0.0785587},
    {0.5, 0.1, 1.32, NAN, 1.0},
    {0.5, 0.2, 1.64, NAN, 1.0},
    {0.5, 0.25, 1.8, NAN, 1.0},
    {0.5, 0.3, 1.96, NAN, 1.0},
    {0.5, 0.35, 2.123062, -0.8879079, 0.9704767},
    {0.5, 0.4, 2.303902, -0.749681, 0.9036251},
    {0.5, 0.45, 2.514786, -0.6126522, 0.8187021},
    {0.5, 0.5, 2.778323, -0.4631171, 0.7158601},
    {0.5, 0.55, 3.133073, -0.2933999, 0.6284723},
    {0.5, 0.6, 3.625994, -0.1135887, 0.5484188},
    {0.5, 0.65, 4.345847, 0.06840987, 0.4709204},
    {0.5, 0.7, 5.454556, 0.2427667, 0.394804},
    {0.5, 0.75, 7.223374, 0.397227, 0.3205213},
    {0.5, 0.8, 10.08353, 0.5253312, 0.2422078},
    {0.5, 0.85, 15.41156, 0.6456727, 0.1595147},
    {0.5, 0.9, 28.10959, 0.7648139, 0.08798575},
    {0.6, 0.1, 1.294118, NAN, 1.0},
    {0.6, 0.2, 1.588235, NAN, 1.0},
    {0.6, 0.25, 1.735294, NAN, 1.0},
    {0.6, 0.3, 1.882353, NAN, 1.0},
    {0.6, 0.35, 2.029515, -0.9712279, 0.9954428},
    {0.6, 0.4, 2.184658, -0.8368154, 0.9397141},
    {0.6, 0.45, 2.360884, -0.7050653, 0.8566166},
    {0.6, 0.5, 2.576472, -0.5592911, 0.7504472},
    {0.6, 0.55, 2.860206, -0.3902099, 0.6628302},
    {0.6, 0.6, 3.244418, -0.2069784, 0.5833702},
    {0.6, 0.65, 3.793154, -0.01536914, 0.5061156},
    {0.6, 0.7, 4.635877, 0.1778679, 0.42859},
    {0.6, 0.75, 6.044038, 0.3618799, 0.3501086},
    {0.6, 0.8, 8.549397, 0.5201739, 0.2721577},
    {0.6, 0.85, 13.1512, 0.6456727, 0.1869312},
    {0.6, 0.9, 23.98685, 0.7648139, 0.1031083},
    {0.7, 0.1, 1.268456, NAN, 1.0},
    {0.7, 0.2, 1.536913, NAN, 1.0},
    {0.7, 0.25, 1.671141, NAN, 1.0},
    {0.7, 0.3, 1.805369, NAN, 1.0},
    {0.7, 0.35, 1.939597, NAN, 1.0},
    {0.7, 0.4, 2.074903, -0.9291096, 0.9780243},
    {0.7, 0.45, 2.222155, -0.8039747, 0.9009166},
    {0.7, 0.5, 2.397273, -0.6654711, 0.7903517},
    {0.7, 0.55, 2.621884, -0.5010682, 0.7013598},
    {0.7, 0.6, 2.915825, -0.3196831, 0.6228494},
    {0.7, 0.65, 3.318334, -0.125905, 0.5473291},
    {0.7, 0.7, 3.908771, 0.07629155, 0.4713904},
    {0.7, 0.75, 4.866164, 0.2812455, 0.3925814},
    {0.7, 0.8, 6.64668, 0.4775247, 0.3095606},
    {0.7, 0.85, 10.41188, 0.6418306, 0.2246097},
    {0.7, 0.9, 19.11452, 0.7648139, 0.1293908},
    {0.8, 0.1, 1.243902, NAN, 1.0},
    {0.8, 0.2, 1.487805, NAN, 1.0},
    {0.8, 0.25, 1.609756, NAN, 1.0},
    {0.8, 0.3, 1.731707, NAN, 1.0},
    {0.8, 0.35, 1.853659, NAN, 1.0},
    {0.8, 0.4, 1.97561, NAN, 1.0},
    {0.8, 0.45, 2.100244, -0.9054232, 0.952201},
    {0.8, 0.5, 2.242666, -0.7773261, 0.8358545},
    {0.8, 0.55, 2.420976, -0.6208238, 0.7428929},
    {0.8, 0.6, 2.646485, -0.4451632, 0.6648181},
    {0.8, 0.65, 2.941176, -0.2548546, 0.5914037},
    {0.8, 0.7, 3.347179, -0.05272064, 0.5186569},
    {0.8, 0.75, 3.953587, 0.1585917, 0.4436114},
    {0.8, 0.8, 4.984619, 0.3751578, 0.3630726},
    {0.8, 0.85, 7.167255, 0.5871428, 0.2733383},
    {0.8, 0.9, 13.40497, 0.7622916, 0.175342},
    {0.9, 0.1, 1.220994, NAN, 1.0},
    {0.9, 0.2, 1.441989, NAN, 1.0},
    {0.9, 0.25, 1.552486, NAN, 1.0},
    {0.9, 0.3, 1.662983, NAN, 1.0},
    {0.9, 0.35, 1.773481, NAN, 1.0},
    {0.9, 0.4, 1.883978, NAN, 1.0},
    {0.9, 0.45, 1.994475, NAN, 1.0},
    {0.9, 0.5, 2.111057, -0.8906896, 0.8904113},
    {0.9, 0.55, 2.253922, -0.7449874, 0.7872263},
    {0.9, 0.6, 2.429469, -0.5777155, 0.7081432},
    {0.9, 0.65, 2.649391, -0.3943218, 0.6362589},
    {0.9, 0.7, 2.935057, -0.1975733, 0.5666877},
    {0.9, 0.75, 3.326999, 0.01063732, 0.4964358},
    {0.9, 0.8, 3.912733, 0.2287219, 0.4226011},
    {0.9, 0.85, 4.927586, 0.4547926, 0.3410737},
    {0.9, 0.9, 7.324369, 0.6841437, 0.2439064},
    {0.95, 0.1, 1.21025, NAN, 1.0},
    {0.95, 0.2, 1.420499, NAN, 1.0},
    {0.95, 0.25, 1.525624, NAN, 1.0},
    {0.95, 0.3, 1.630749, NAN, 1.0},
    {0.95, 0.35, 1.735874, NAN, 1.0},
    {0.95, 0.4, 1.840999, NAN, 1.0},
    {0.95, 0.45, 1.946124, NAN, 1.0},
    {0.95, 0.5, 2.053053, -0.9464575, 0.925611},
    {0.95, 0.55, 2.181376, -0.8075186, 0.8107618},
    {0.95, 0.6, 2.337342, -0.6452367, 0.7302233},
    {0.95, 0.65, 2.529211, -0.4661239, 0.6586712},
    {0.95, 0.7, 2.772175, -0.2731692, 0.5903929},
    {0.95, 0.75, 3.093591, -0.06827429, 0.5223079},
    {0.95, 0.8, 3.547876, 0.1471691, 0.451769},
    {0.95, 0.85, 4.263519, 0.372002, 0.3753912},
    {0.95, 0.9, 5.653626, 0.6049188, 0.286941},
};

static void table(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const snub_pressed_face face = press(rows[i].bore, rows[i].eccentricity);
        assert_near("pressure", face.most / mean(rows[i].bore), rows[i].most, 1e-6 * rows[i].most, "");
        assert_near("touching", face.touching, rows[i].touching, 1e-6, "");
        if (!isnan(rows[i].line))
            assert_near("line", face.line, rows[i].line, 1e-6, "");
        else
            assert_true(face.line <= -1.0 + 1e-9);
    }
}

static void kerns(void **state)
{
    (void)state;
    static const double bore[] = {0.0, 0.25, 0.5, 0.8, 0.95};
    for (int i = 0; i < 5; i++) {
        const double k = bore[i], first = (1 + k * k) / 4, k3 = k * k * k;
        const double second = 3 * SNUB_PI / 16 * (1 - k3 * k) / (1 - k3);
        assert_near("first kern", press(k, first).line, -1.0, 1e-6, "");
        assert_near("pressure there", press(k, first).most / mean(k), 2.0, 1e-6, "");
        assert_true(press(k, first * 1.001).touching < 1.0);
        assert_near("second kern", press(k, second).line, 0.0, 1e-9, "");
    }
}

/* A thin ring: closed form of a line, not of an area. */
static void thin_ring(void **state)
{
    (void)state;
    static const double at[][3] = {
        {0.6, -0.7129834, 2.254446},
        {0.7, -0.349855, 2.631686},
        {0.8, 0.06290457, 3.259603},
        {0.9, 0.514946, 4.661427},
    };
    for (size_t i = 0; i < sizeof at / sizeof at[0]; i++) {
        const snub_pressed_face face = press(0.9999, at[i][0]);
        assert_near("line", face.line, at[i][1], 5e-4, "");
        assert_near("pressure", face.most / mean(0.9999), at[i][2], 2e-3 * at[i][2], "");
    }
}

static void old_table(void **state)
{
    (void)state;
    static const double at[] = {0.25, 0.30, 0.35, 0.40, 0.45, 0.50, 0.55, 0.60, 0.65};
    static const double k[] = {2.00, 2.20, 2.43, 2.70, 3.10, 3.55, 4.22, 4.92, 5.90};
    for (int i = 0; i < 9; i++)
        assert_near("pressure", press(0, at[i]).most / mean(0), k[i], 0.02 * k[i], "");
}

/* Standoffs in millimetres and newtons. */
static void standoffs(void **state)
{
    (void)state;
    static const double at[][6] = {
        {0.025, 0.0105, 20000, 60.0, 89.84032, NAN},
        {0.02, 0.008400000000000001, 15000, 75.0, 171.0518, -3.962763},
        {0.03, 0.0125, 30000, 250.0, 176.2433, -3.119608},
    };
    for (size_t i = 0; i < sizeof at / sizeof at[0]; i++) {
        const snub_clamped_tube tube = {at[i][0], at[i][1], 207e9, at[i][2], NO_BOLT};
        const snub_pressed_face face = snub_press_face(&tube, at[i][3]);
        assert_near("pressure", face.most / 1e6, at[i][4], 1e-5, "MPa");
        if (!isnan(at[i][5]))
            assert_near("line", face.line * 1e3, at[i][5], 1e-5, "mm");
        else
            assert_near("shut", face.touching, 1.0, 0, "");
    }
}

/* ---- a whole tube ------------------------------------------------------------------------------------------------ */

/* 20/10.5 x 60 of steel at 15 kN, an M10 through it. */
static const snub_clamped_tube tube = {0.020, 0.0105, 207e9, 15e3, 207e9 * SNUB_PI / 64 * 1e-8};

/* The curvature along the tube summed up by the middles of many slices. */
static snub_bend by_slices(double force, double arm, double length)
{
    enum { SLICES = 20000 };
    snub_bend bend = {0, 0};
    for (int i = 0; i < SLICES; i++) {
        const double z = length * (i + 0.5) / SLICES, reach = arm - z;
        if (reach <= 0)
            continue;
        const double k = snub_press_face(&tube, force * reach).curvature;
        bend.slope += k * length / SLICES;
        bend.deflection += k * reach * length / SLICES;
    }
    return bend;
}

static void bending(void **state)
{
    (void)state;
    static const double arms[] = {0.045, 0.06, 0.08};
    const double shut = snub_no_gap_moment(tube.preload, tube.outside, tube.inside);
    snub_tube_law law;
    snub_tube_bending(&tube, 30 * shut, &law);
    for (int i = 0; i < 3; i++) {
        for (double over = 0.5; over < 30; over *= 1.23) {
            const double force = over * shut / arms[i];
            const snub_bend got = snub_tube_bend(&law, force, arms[i], 0.06), want = by_slices(force, arms[i], 0.06);
            assert_near("slope", got.slope, want.slope, 1e-5 * want.slope, "rad");
            assert_near("deflection", got.deflection, want.deflection, 1e-5 * want.deflection, "m");
        }
    }
    /* shut: beam tables */
    const snub_bend beam = snub_cantilever(100, 0.06, 0, 0.06, law.rigidity),
                    got = snub_tube_bend(&law, 100, 0.06, 0.06);
    assert_near("slope", got.slope, beam.slope, 1e-12 * beam.slope, "rad");
    assert_near("deflection", got.deflection, beam.deflection, 1e-12 * beam.deflection, "m");
}

/* No step where it begins to lift, and steadily softer from there, up to the bolt alone. */
static void gradual(void **state)
{
    (void)state;
    const double shut = snub_no_gap_moment(tube.preload, tube.outside, tube.inside), arm = 0.06;
    snub_tube_law law;
    snub_tube_bending(&tube, 1000 * shut, &law);
    const double before = snub_tube_bend(&law, (1 - 1e-6) * shut / arm, arm, arm).slope;
    const double after = snub_tube_bend(&law, (1 + 1e-6) * shut / arm, arm, arm).slope;
    assert_near("no step", after, before, 1e-5 * before, "rad");
    double last = 0;
    for (double over = 0.9; over < 900; over *= 1.05) {
        const double step = 1e-4 * shut / arm, force = over * shut / arm;
        const double softness =
            (snub_tube_bend(&law, force + step, arm, arm).slope - snub_tube_bend(&law, force - step, arm, arm).slope) /
            (2 * step);
        assert_true(softness > last * (1 - 1e-6));
        last = softness;
    }
    assert_near("the bolt alone", last, arm * arm / (2 * tube.bolt_rigidity), 0.01 * last, "rad/N");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(table),     cmocka_unit_test(kerns),
                                       cmocka_unit_test(thin_ring), cmocka_unit_test(old_table),
                                       cmocka_unit_test(standoffs), cmocka_unit_test(bending),
                                       cmocka_unit_test(gradual)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
