/* Sobol's points with the direction numbers of Joe and Kuo 2008 (new-joe-kuo-6.21201, as copied in several public
 * files), unscrambled, in the order of Gray's code from the origin. First 16 points: derived, two independent programs
 * agree; discrepancies by enumeration of all corners of the grid and by scipy.stats.qmc.discrepancy 1.10; means of
 * functions: derived. */
#include "snub/sobol.h"
#include "support/near.h"

enum { MOST = 4096 };

static double points[MOST][6];

static void lay(int n, int d)
{
    for (int i = 0; i < n; i++)
        snub_sobol_point(d, 7, false, (uint64_t)i, points[i]);
}

static void points_are_the_published_ones(void **state)
{
    (void)state;
    static const double first[16][6] = {{0.0, 0.0, 0.0, 0.0, 0.0, 0.0},
                                        {0.5, 0.5, 0.5, 0.5, 0.5, 0.5},
                                        {0.75, 0.25, 0.25, 0.25, 0.75, 0.75},
                                        {0.25, 0.75, 0.75, 0.75, 0.25, 0.25},
                                        {0.375, 0.375, 0.625, 0.875, 0.375, 0.125},
                                        {0.875, 0.875, 0.125, 0.375, 0.875, 0.625},
                                        {0.625, 0.125, 0.875, 0.625, 0.625, 0.875},
                                        {0.125, 0.625, 0.375, 0.125, 0.125, 0.375},
                                        {0.1875, 0.3125, 0.9375, 0.4375, 0.5625, 0.3125},
                                        {0.6875, 0.8125, 0.4375, 0.9375, 0.0625, 0.8125},
                                        {0.9375, 0.0625, 0.6875, 0.1875, 0.3125, 0.5625},
                                        {0.4375, 0.5625, 0.1875, 0.6875, 0.8125, 0.0625},
                                        {0.3125, 0.1875, 0.3125, 0.5625, 0.9375, 0.4375},
                                        {0.8125, 0.6875, 0.8125, 0.0625, 0.4375, 0.9375},
                                        {0.5625, 0.4375, 0.0625, 0.8125, 0.1875, 0.6875},
                                        {0.0625, 0.9375, 0.5625, 0.3125, 0.6875, 0.1875}};
    static const double far[2][6] = {
        {0.0009765625, 0.7529296875, 0.6123046875, 0.1455078125, 0.1865234375, 0.4384765625},
        {0.000244140625, 0.941162109375, 0.334228515625, 0.901611328125, 0.940185546875, 0.078857421875}};
    lay(MOST, 6);
    for (int i = 0; i < 16; i++)
        for (int k = 0; k < 6; k++)
            assert_near("coordinate", points[i][k], first[i][k], 0.0, "");
    for (int k = 0; k < 6; k++) {
        assert_near("point 1023", points[1023][k], far[0][k], 0.0, "");
        assert_near("point 4095", points[4095][k], far[1][k], 0.0, "");
    }
}

/* Squares of the L2 discrepancies (Hickernell 1998; Zhou, Fang and Ning 2013), by their double sums. */
typedef struct evenness {
    double star, centred, mixture;
} evenness;

static evenness evenness_of(int n, int d)
{
    double star1 = 0, star2 = 0, centred1 = 0, centred2 = 0, mixture1 = 0, mixture2 = 0;
    for (int i = 0; i < n; i++) {
        double s = 1, c = 1, m = 1;
        for (int k = 0; k < d; k++) {
            const double x = points[i][k], a = fabs(x - 0.5);
            s *= 0.5 * (1 - x * x);
            c *= 1 + 0.5 * a - 0.5 * a * a;
            m *= 5.0 / 3 - 0.25 * a - 0.25 * a * a;
        }
        star1 += s, centred1 += c, mixture1 += m;
        for (int j = 0; j < n; j++) {
            s = c = m = 1;
            for (int k = 0; k < d; k++) {
                const double x = points[i][k], y = points[j][k], a = fabs(x - 0.5), b = fabs(y - 0.5), e = fabs(x - y);
                s *= 1 - fmax(x, y);
                c *= 1 + 0.5 * a + 0.5 * b - 0.5 * e;
                m *= 15.0 / 8 - 0.25 * a - 0.25 * b - 0.75 * e + 0.5 * e * e;
            }
            star2 += s, centred2 += c, mixture2 += m;
        }
    }
    const double once = 2.0 / n, twice = 1.0 / n / n;
    return (evenness){sqrt(pow(3, -d) - once * star1 + twice * star2),
                      pow(13.0 / 12, d) - once * centred1 + twice * centred2,
                      pow(19.0 / 12, d) - once * mixture1 + twice * mixture2};
}

/* Share of points in a box from the origin against its volume, at every corner that points make: with and without the
 * points on its faces. */
static double star_discrepancy(int n, int d)
{
    double worst = 0;
    int corners = 1;
    for (int k = 0; k < d; k++)
        corners *= n + 1;
    for (int c = 0; c < corners; c++) {
        double corner[3], volume = 1;
        for (int k = 0, rest = c; k < d; k++, rest /= n + 1) {
            corner[k] = rest % (n + 1) == n ? 1 : points[rest % (n + 1)][k];
            volume *= corner[k];
        }
        int within = 0, closed = 0;
        for (int i = 0; i < n; i++) {
            bool in = true, on = true;
            for (int k = 0; k < d; k++) {
                in = in && points[i][k] < corner[k];
                on = on && points[i][k] <= corner[k];
            }
            within += in, closed += on;
        }
        worst = fmax(worst, fmax(volume - within / (double)n, closed / (double)n - volume));
    }
    return worst;
}

static void discrepancies(void **state)
{
    (void)state;
    static const struct {
        int n, d;
        double star, centred, l2_star, mixture;
    } row[] = {{4, 2, 0.4375, 0.0554470486111, 0.178912125389, 0.0548231336806},
               {8, 2, 0.3125, 0.0138821072049, 0.104653808841, 0.01587761773},
               {16, 2, 0.171875, 0.0036243862576, 0.0477662309597, 0.00457053714328},
               {32, 2, 0.08984375, 0.000896639294094, 0.0240042646999, 0.00109914276335},
               {64, 2, 0.0537109375, 0.000240019626087, 0.0128698496265, 0.000296922607557},
               {8, 3, 0.3828125, 0.0305963975412, 0.104827732952, 0.0454854236709},
               {16, 3, 0.2177734375, 0.00787341567101, 0.0539047878843, 0.0130885530056},
               {32, 3, 0.1298828125, 0.00212015149063, 0.0269786321618, 0.00388782345463}};
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
        lay(row[i].n, row[i].d);
        const evenness e = evenness_of(row[i].n, row[i].d);
        assert_near("star", star_discrepancy(row[i].n, row[i].d), row[i].star, 1e-12, "");
        assert_near("centred", e.centred, row[i].centred, 1e-12, "");
        assert_near("L2 star", e.star, row[i].l2_star, 1e-11, "");
        assert_near("mixture", e.mixture, row[i].mixture, 1e-12, "");
    }
}

static void means_of_functions(void **state)
{
    (void)state;
    static const struct {
        int n, d;
        double hats, exponential;
    } row[] = {{16, 2, 1.0625, 2.77464976295}, {16, 6, 1.48059082031, 21.6621227897},
               {64, 2, 1.0, 2.90895614513},    {64, 6, 1.06123460829, 24.0698128531},
               {256, 2, 1.0, 2.94100416586},   {256, 6, 1.00880068797, 25.324842645},
               {1024, 2, 1.0, 2.94961318843},  {1024, 6, 1.0030309175, 25.6659722806},
               {4096, 2, 1.0, 2.95178215259},  {4096, 6, 1.0004229687, 25.7181496905}};
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
        double hats = 0, exponential = 0;
        lay(row[i].n, row[i].d);
        for (int p = 0; p < row[i].n; p++) {
            double product = 1, sum = 0;
            for (int k = 0; k < row[i].d; k++) {
                product *= (fabs(4 * points[p][k] - 2) + 1) / 2;
                sum += points[p][k];
            }
            hats += product;
            exponential += exp(sum);
        }
        assert_near("product", hats / row[i].n, row[i].hats, 6e-12 * row[i].hats, "");
        assert_near("exponential", exponential / row[i].n, row[i].exponential, 6e-12 * row[i].exponential, "");
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(points_are_the_published_ones), cmocka_unit_test(discrepancies),
                                       cmocka_unit_test(means_of_functions)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
