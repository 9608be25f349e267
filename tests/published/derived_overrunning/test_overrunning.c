/* An overrunning clutch on a pulley that swings about its mean speed (derived: closed form, cross-checked elsewhere by
 * an integration with events): where it lets go and holds again, and how much faster the shaft turns on average. What
 * the clutch hands on at the swing's frequency follows: by the work (imaginary part), by Simpson's rule (real part). */
#include <complex.h>

#include "motion/overrun.h"
#include "snub/units.h"
#include "support/near.h"

typedef struct swinging {
    double mean, swing, hertz, inertia, torque; /* of the pulley, rad/s; of the shaft, kg m2, N m */
    double opens, closes, shaft_mean;           /* s; rad/s */
} swinging;
static const swinging cases[] = {
    {600, 30, 26.6666666666667, 0.0031, 4.0, 0.010924419967884997, 0.036659345225657905, 614.4569015988138},
    {600, 30, 50, 0.0031, 4.0, 0.005437163032927093, 0.021035744401053134, 620.5064500951111},
    {250, 20, 26.6666666666667, 0.0045, 2.5, 0.010369054273466611, 0.03869729628447071, 262.6019335137741},
};

/* Torque of a clutch that holds, times cos, over a part of the swing; Simpson's rule. */
static double in_step(const swinging *c, double p, double from, double to)
{
    enum { PARTS = 2000 };
    double sum = 0.0;
    for (int k = 0; k <= PARTS; k++) {
        const double t = from + (to - from) * k / PARTS, weight = k == 0 || k == PARTS ? 1 : k % 2 == 1 ? 4 : 2;
        sum += weight * (c->torque + c->inertia * c->swing * p * cos(p * t)) * cos(p * t);
    }
    return sum * (to - from) / (3.0 * PARTS);
}

static void lets_go(void **state)
{
    (void)state;
    for (size_t k = 0; k < sizeof cases / sizeof *cases; k++) {
        const swinging *c = &cases[k];
        const double p = 2.0 * SNUB_PI * c->hertz, asked = c->inertia * c->swing * p;
        double open[2];
        const double complex share = snub_overrun_share(c->torque / asked, open);
        assert_near("lets go", open[0] / p, c->opens, 1e-14, "s");
        assert_near("holds again", open[1] / p, c->closes, 1e-12, "s");
        const double runs_ahead = -0.5 * cimag(share) * asked * c->swing / c->torque;
        assert_near("runs ahead", runs_ahead, c->shaft_mean - c->mean, 1e-9, "rad/s");
        const double period = 1.0 / c->hertz, handed = in_step(c, p, c->closes - period, c->opens);
        assert_near("in step", creal(share) * asked, 2.0 * handed / period, 1e-9, "N m");
    }
}

/* The fourth of the cases: the pulley slows down by less than the shaft does alone. */
static void holds(void **state)
{
    (void)state;
    double open[2] = {NAN, NAN};
    const double hold = 1290.3225806451612 / 837.7580409572793;
    assert_near("all of it", creal(snub_overrun_share(hold, open)), 1.0, 0.0, "");
    assert_near("nothing lost", cimag(snub_overrun_share(hold, open)), 0.0, 0.0, "");
    assert_true(isnan(open[0]) && isnan(open[1]));
    assert_near("just so", creal(snub_overrun_share(1.0, NULL)), 1.0, 0.0, "");
    assert_near("hardly", creal(snub_overrun_share(1.0 - 1e-9, NULL)), 1.0, 1e-8, "");
}

static void nothing_to_hold(void **state)
{
    (void)state;
    assert_near("a shaft without a load stays ahead", cabs(snub_overrun_share(0.0, NULL)), 0.0, 1e-12, "");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lets_go),
        cmocka_unit_test(holds),
        cmocka_unit_test(nothing_to_hold),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
