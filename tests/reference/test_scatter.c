/* Scatters against SciPy 1.10: scipy.stats norm, truncnorm, skewnorm and triang, quantiles by ppf and shares by cdf,
 * far into the tails. The numbers were made by tests/reference/scatter_values.py, which says them again. */
#include "snub/scatter.h"
#include "support/near.h"

static const struct {
    snub_scatter s;
    double chance, value;
} quantiles[] = {
#include "scatter_values.inc"
};

static void against_scipy(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof quantiles / sizeof quantiles[0]; i++) {
        const double sigma =
            quantiles[i].s.sigma > 0.0 ? quantiles[i].s.sigma : quantiles[i].s.high - quantiles[i].s.low;
        assert_near("quantile", snub_scatter_value(&quantiles[i].s, quantiles[i].chance), quantiles[i].value,
                    1e-12 * fabs(quantiles[i].value) + 1e-12 * sigma, "");
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(against_scipy)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
