/* Distributions in which values scatter. Quantiles of the normal distribution: M. J. Wichura, Algorithm AS 241, Applied
 * Statistics 37 (1988) 477, its three test values (published), the others derived to 40 digits. Skew-normal (1, 2, 3):
 * as A. Azzalini's program and a computer algebra system give it (published with the tests of a library of
 * distributions); its other rows, the cut normal and the triangular ones: derived to 15 digits from their formulas, the
 * cut normal checked with SciPy. */
#include "snub/scatter.h"
#include "support/near.h"

typedef struct row {
    double chance, value;
} row;

static void compare(const snub_scatter *s, const row *rows, size_t count, double tolerance)
{
    for (size_t i = 0; i < count; i++)
        assert_near("quantile", snub_scatter_value(s, rows[i].chance), rows[i].value, tolerance, "");
}

static void compare_shares(const snub_scatter *s, const row *rows, size_t count, double tolerance)
{
    for (size_t i = 0; i < count; i++)
        assert_near("share", snub_scatter_chance(s, rows[i].value), rows[i].chance, tolerance * rows[i].chance, "");
}

static void compare_moments(const snub_scatter *s, double mean, double variance, double tolerance)
{
    double got[2];
    snub_scatter_moments(s, &got[0], &got[1]);
    assert_near("mean", got[0], mean, tolerance * (1.0 + fabs(mean)), "");
    assert_near("variance", got[1], variance, tolerance * (1.0 + variance), "");
}
#define ROWS(rows) rows, sizeof(rows) / sizeof(rows)[0]

static void normal(void **state)
{
    (void)state;
    const snub_scatter s = {.kind = SNUB_NORMAL, .sigma = 1, .low = -INFINITY, .high = INFINITY};
    static const row quantiles[] = {{0.5, 0.0},
                                    {0.6, 0.2533471031358},
                                    {0.75, 0.674489750196082},
                                    {0.8, 0.841621233572914},
                                    {0.9, 1.2815515655446},
                                    {0.95, 1.64485362695147},
                                    {0.975, 1.95996398454005},
                                    {0.99, 2.32634787404084},
                                    {0.995, 2.5758293035489},
                                    {0.9973, 2.78215045378461},
                                    {0.999, 3.09023230616781},
                                    {0.9995, 3.29052673149189},
                                    {0.99865, 2.99997699270339},
                                    {0.9999, 3.71901648545568},
                                    {0.99999, 4.26489079392282},
                                    {0.999999, 4.7534243088229},
                                    {0.25, -0.6744897501960817},
                                    {0.001, -3.090232306167814},
                                    {1e-6, -4.7534243088229},
                                    {1e-9, -5.99780701500769},
                                    {1e-12, -7.03448382530113},
                                    {1e-20, -9.262340089798409}};
    static const row shares[] = {
        {0.308537538726, -0.5},    {0.691462461274013, 0.5}, {0.158655253931, -1.0},    {0.841344746068543, 1.0},
        {0.0668072012689, -1.5},   {0.933192798731142, 1.5}, {0.0227501319482, -2.0},   {0.977249868051821, 2.0},
        {0.00620966532578, -2.5},  {0.993790334674224, 2.5}, {0.00134989803163, -3.0},  {0.99865010196837, 3.0},
        {0.000232629079036, -3.5}, {0.999767370920964, 3.5}, {3.16712418331e-05, -4.0}, {0.999968328758167, 4.0},
        {3.39767312473e-06, -4.5}, {0.999996602326875, 4.5}, {2.86651571879e-07, -5.0}, {0.999999713348428, 5.0},
        {9.86587645038e-10, -6.0}, {0.999999999013412, 6.0}, {6.22096057427e-16, -8.0}, {0.999999999999999, 8.0}};
    /* the values have 15 digits; a chance near 1 is rounded to 1e-16, over the density */
    for (size_t i = 0; i < sizeof quantiles / sizeof quantiles[0]; i++)
        assert_near("quantile", snub_scatter_value(&s, quantiles[i].chance), quantiles[i].value,
                    2e-14 + 4e-15 * fabs(quantiles[i].value) +
                        1.2e-16 * quantiles[i].chance * sqrt(6.3) * exp(0.5 * quantiles[i].value * quantiles[i].value),
                    "");
    compare_shares(&s, ROWS(shares), 1e-11);
    compare_moments(&s, 0.0, 1.0, 1e-14);
}

static void cut(void **state)
{
    (void)state;
    static const struct {
        snub_scatter s;
        double mean, variance;
        row quantiles[9];
    } cases[] = {
        {{.kind = SNUB_NORMAL, .centre = 0.0, .sigma = 1.0, .low = -1.0, .high = 1.0},
         0.0,
         0.291125094772793,
         {{0.001, -0.997182596606403},
          {0.01, -0.97217338725703},
          {0.05, -0.867661885418688},
          {0.25, -0.441770546686581},
          {0.5, 0.0},
          {0.75, 0.441770546686581},
          {0.95, 0.867661885418688},
          {0.99, 0.97217338725703},
          {0.999, 0.997182596606403}}},
        {{.kind = SNUB_NORMAL, .centre = 0.0, .sigma = 1.0, .low = -2.0, .high = 2.0},
         0.0,
         0.773741303549923,
         {{0.001, -1.98262562050202},
          {0.01, -1.84808353959133},
          {0.05, -1.47226164103277},
          {0.25, -0.639111910871273},
          {0.5, 0.0},
          {0.75, 0.639111910871273},
          {0.95, 1.47226164103277},
          {0.99, 1.84808353959133},
          {0.999, 1.98262562050202}}},
        {{.kind = SNUB_NORMAL, .centre = 0.0, .sigma = 1.0, .low = -3.0, .high = 3.0},
         0.0,
         0.973336924662541,
         {{0.001, -2.82728883587112},
          {0.01, -2.27935787710389},
          {0.05, -1.63318631891449},
          {0.25, -0.672367295063059},
          {0.5, -1.43873407052742e-41},
          {0.75, 0.672367295063059},
          {0.95, 1.63318631891449},
          {0.99, 2.27935787710389},
          {0.999, 2.82728883587112}}},
        {{.kind = SNUB_NORMAL, .centre = 0.0, .sigma = 1.0, .low = 0.0, .high = 3.0},
         0.791156826063417,
         0.347407801235802,
         {{0.001, 0.00124993077020822},
          {0.01, 0.01249962993171},
          {0.05, 0.0625372612586524},
          {0.25, 0.317749514427486},
          {0.5, 0.672367295063059},
          {0.75, 1.1454450468547},
          {0.95, 1.93847903429705},
          {0.99, 2.49283427275498},
          {0.999, 2.90291274566732}}},
        {{.kind = SNUB_NORMAL, .centre = 10.0, .sigma = 0.1, .low = 9.8, .high = 10.15},
         9.99170440578981,
         0.00661127800292447,
         {{0.001, 9.80165855039643},
          {0.01, 9.81457899667585},
          {0.05, 9.85112170389465},
          {0.25, 9.93266452001812},
          {0.5, 9.99447545629832},
          {0.75, 10.0540523968634},
          {0.95, 10.1214233243837},
          {0.99, 10.1433121018081},
          {0.999, 10.1493007254808}}},
        {{.kind = SNUB_NORMAL, .centre = 0.5, .sigma = 1.0, .low = -0.25, .high = 1.75},
         0.67745138198387,
         0.288341960011888,
         {{0.001, -0.247784503848344},
          {0.01, -0.228007227142535},
          {0.05, -0.143303798298825},
          {0.25, 0.229942661170464},
          {0.5, 0.652208587179937},
          {0.75, 1.10502710916157},
          {0.95, 1.58466098276785},
          {0.99, 1.71424546219812},
          {0.999, 1.7463525504131}}},
        {{.kind = SNUB_NORMAL, .centre = 0.0, .sigma = 1.0, .low = -6.0, .high = 6.0},
         0.0,
         0.999999927089406,
         {{0.001, -3.09023201374498},
          {0.01, -2.32634783776399},
          {0.05, -1.64485361834214},
          {0.25, -0.674489748643753},
          {0.5, -1.43873407052742e-41},
          {0.75, 0.674489748643753},
          {0.95, 1.64485361834214},
          {0.99, 2.32634783776399},
          {0.999, 3.09023201374498}}},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        compare(&cases[i].s, ROWS(cases[i].quantiles), 1e-13 + 1e-14 * cases[i].mean);
        compare_shares(&cases[i].s, ROWS(cases[i].quantiles), 2e-10);
        compare_moments(&cases[i].s, cases[i].mean, cases[i].variance, 1e-13);
    }
}

static void triangular(void **state)
{
    (void)state;
    static const struct {
        snub_scatter s;
        double mean, variance;
        row quantiles[9], shares[3];
    } cases[] = {
        {{.kind = SNUB_TRIANGULAR, .centre = 0.0, .low = -1.0, .high = 1.0},
         0.0,
         0.166666666666667,
         {{0.01, -0.85857864376269},
          {0.05, -0.68377223398316},
          {0.1, -0.55278640450004},
          {0.25, -0.29289321881345},
          {0.5, 0.0},
          {0.75, 0.29289321881345},
          {0.9, 0.55278640450004},
          {0.95, 0.68377223398316},
          {0.99, 0.85857864376269}},
         {{0.02, -0.8}, {0.5, 0.0}, {0.98, 0.8}}},
        {{.kind = SNUB_TRIANGULAR, .centre = 0.25, .low = 0.0, .high = 1.0},
         0.416666666666667,
         0.0451388888888889,
         {{0.01, 0.05},
          {0.05, 0.11180339887499},
          {0.1, 0.15811388300842},
          {0.25, 0.25},
          {0.5, 0.38762756430421},
          {0.75, 0.56698729810778},
          {0.9, 0.72613872124742},
          {0.95, 0.80635083268963},
          {0.99, 0.91339745962156}},
         {{0.04, 0.1}, {0.66666666666667, 0.5}, {0.98666666666667, 0.9}}},
        {{.kind = SNUB_TRIANGULAR, .centre = 9.95, .low = 9.9, .high = 10.2},
         10.0166666666667,
         0.00430555555555796,
         {{0.01, 9.9122474487139},
          {0.05, 9.9273861278753},
          {0.1, 9.9387298334621},
          {0.25, 9.9628291754874},
          {0.5, 10.00635083269},
          {0.75, 10.063069360624},
          {0.9, 10.113397459622},
          {0.95, 10.13876275643},
          {0.99, 10.172613872125}},
         {{0.059999999999999, 9.93}, {0.7, 10.05}, {0.988, 10.17}}},
        {{.kind = SNUB_TRIANGULAR, .centre = 1e-09, .low = 0.0, .high = 1.0},
         0.333333333666667,
         0.0555555555,
         {{0.01, 0.0050125633908737},
          {0.05, 0.025320566006443},
          {0.1, 0.051316702423828},
          {0.25, 0.13397459664857},
          {0.5, 0.29289321916701},
          {0.75, 0.50000000025},
          {0.9, 0.68377223414128},
          {0.95, 0.77639320236182},
          {0.99, 0.90000000005}},
         {{0.18999999919, 0.1}, {0.74999999975, 0.5}, {0.98999999999, 0.9}}},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        compare(&cases[i].s, ROWS(cases[i].quantiles), 1e-12);
        compare_shares(&cases[i].s, ROWS(cases[i].shares), 1e-11);
        compare_moments(&cases[i].s, cases[i].mean, cases[i].variance, 1e-13);
    }
}

static void skewed(void **state)
{
    (void)state;
    static const struct {
        snub_scatter s;
        double mean, variance;
        row quantiles[7], shares[4];
    } cases[] = {
        {{.kind = SNUB_SKEWED, .centre = 0, .sigma = 1, .alpha = 1, .low = -INFINITY, .high = INFINITY},
         0.56418958354776,
         0.68169011381621,
         {{0.001, -1.857461292932},
          {0.01, -1.281551565545},
          {0.05, -0.7600685751555},
          {0.5, 0.5449521356174},
          {0.95, 1.954508327214},
          {0.99, 2.574961455591},
          {0.999, 3.290456368707}},
         {{0.025171489600055, -1}, {0.25, 0}, {0.70786098173714, 1}, {0.9550173046073, 2}}},
        {{.kind = SNUB_SKEWED, .centre = 0, .sigma = 1, .alpha = -2, .low = -INFINITY, .high = INFINITY},
         -0.71364964646111,
         0.49070418210593,
         {{0.001, -3.290526731491},
          {0.01, -2.575829294052},
          {0.05, -1.959959842564},
          {0.5, -0.6553704002681},
          {0.95, 0.3344872423616},
          {0.99, 0.6950108521353},
          {0.999, 1.082325594943}},
         {{0.31559162791763, -1}, {0.85241638234957, 0}, {0.99828112005471, 1}}},
        {{.kind = SNUB_SKEWED, .centre = 1, .sigma = 2, .alpha = 3, .low = -INFINITY, .high = INFINITY},
         2.5138795132121,
         1.7081688194767,
         {{0.001, -0.4467232087838},
          {0.01, 0.1263893768344},
          {0.05, 0.6737334696082},
          {0.5, 2.343987958288},
          {0.95, 4.91992796888},
          {0.99, 6.151658607098},
          {0.999, 7.581053462984}},
         {{0.0035794174572355, -0.15}, {0.0063694525739501, 0}, {0.01084184823781, 0.15}, {0.74986503488598, 3.3}}},
        {{.kind = SNUB_SKEWED, .centre = 0, .sigma = 1, .alpha = 5, .low = -INFINITY, .high = INFINITY},
         0.78239018175543,
         0.38786560349271,
         {{0.001, -0.4138056248756},
          {0.01, -0.2240045692218},
          {0.05, -0.03454861815011},
          {0.5, 0.6744711175028},
          {0.95, 1.95996398454},
          {0.99, 2.575829303549},
          {0.999, 3.290526731492}},
         {{0.11043748532055, 0.1}, {0.68268949712476, 1}, {0.99730020393674, 3}}},
        {{.kind = SNUB_SKEWED, .centre = 10, .sigma = 0.1, .alpha = 4, .low = -INFINITY, .high = INFINITY},
         10.077406172264,
         0.0040082844953639,
         {{0.001, 9.946911340529},
          {0.01, 9.969691633283},
          {0.05, 9.991955885585},
          {0.5, 10.06742354766},
          {0.95, 10.19599639845},
          {0.99, 10.25758293035},
          {0.999, 10.32905267315}},
         {{0.0014247560401108, 9.95}, {0.68269031010612, 10.1}, {0.99730020393674, 10.3}}},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        compare(&cases[i].s, ROWS(cases[i].quantiles), 1e-11);
        for (int j = 0; j < 4 && cases[i].shares[j].chance > 0.0; j++)
            compare_shares(&cases[i].s, &cases[i].shares[j], 1, 1e-12);
        compare_moments(&cases[i].s, cases[i].mean, cases[i].variance, 1e-12);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(normal), cmocka_unit_test(cut), cmocka_unit_test(triangular),
                                       cmocka_unit_test(skewed)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
