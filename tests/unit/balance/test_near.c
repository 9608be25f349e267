/* The arm laid from a place of the wind table near by against sine and arc tangent: series, wraps, lost belts. */
#include "balance/solve.c" /* its inside */

#include <stdio.h>

#include "support/arm_drives.h"
#include "support/near.h"

/* Against the C library's long double. */
static void series_are_as_good_as_told(void **state)
{
    (void)state;
    for (int k = 1; k <= 1000; k++) {
        const double t = TURN_MOST * k / 1000.0, s = t * t;
        const double x[2] = {1.0, 0.0}, to[2] = {sqrt(1.0 - s), t};
        marks far = 0;
        assert_near("sine", sine_rest(s), (double)(sinl((long double)t) / (long double)t - 1.0L), 3e-18, "");
        assert_near("cosine", cosine_rest(s), (double)(cosl((long double)t) - 1.0L), 2e-18, "");
        assert_near("arc sine", turn_of(x, to, &far), (double)asinl((long double)t), 8e-18, "rad");
        assert_int_equal(far, k == 1000);
    }
    const double x[2] = {1.0, 0.0}, back[2] = {-sqrt(1.0 - 1e-4), 0.01};
    marks far = 0;
    (void)turn_of(x, back, &far);
    assert_true(far);
}

typedef struct met {
    int near, far_arm, far_span, lost, comes_off, in_wide;
} met;

static double sine_between(const double a[2], const double b[2])
{
    return fabs(a[0] * b[1] - a[1] * b[0]);
}

/* Whether it may be laid from there, by what lies exactly. */
static void as_exactly(const snub_rig *rig, const snub_arm_geometry *from, double wind, double to, met *m)
{
    snub_arm_geometry g = {0}, exact = {0};
    marks far;
    const bool valid = lay_near(rig, from, to - wind, &g, &far) != 0;
    const bool good = snub_arm_lay(rig, to, &exact);
    const bool tangents = exact.span[0] > 0.0 && exact.span[1] > 0.0;
    if (far) {
        const bool arm = fabs(to - wind) > TURN_MOST * (1.0 - 1e-12);
        const double turns = tangents ? fmax(sine_between(from->u[0], exact.u[0]), sine_between(from->u[1], exact.u[1]))
                                      : 1.0; /* where there is no tangent the direction turns fast */
        m->far_arm += arm;
        m->far_span += !arm;
        if (!arm && turns < SINE_MOST * (1.0 - 1e-9))
            fail_msg("told to be too far at %g rad, where spans turn by %g", to - wind, turns);
        return;
    }
    if (valid != good)
        fail_msg("%g rad on: the belt lies %s", to - wind, good ? "well, and is told lost" : "badly, and is told good");
    if (!good) {
        m->lost++;
        m->comes_off += tangents;
        return;
    }
    m->near++;
    const double tells = 4e-15 * (1.0 + 0.05 / fmin(exact.span[0], exact.span[1]));
    m->in_wide += fabs(to - wind) > 0.05;
    assert_near("length", g.length, exact.length, 2e-15, "m");
    for (int i = 0; i < 3; i++)
        assert_near("wrap", g.wrap[i], exact.wrap[i], tells, "rad");
    for (int i = 0; i < 2; i++)
        assert_near("span", g.span[i], exact.span[i], tells, "m");
    assert_near("lever in", g.lever_in, exact.lever_in, tells, "m");
    assert_near("lever out", g.lever_out, exact.lever_out, tells, "m");
}

static void laid_from_near_by_as_exactly(void **state)
{
    (void)state;
    static snub_rig rig;
    chance by = {40};
    met m = {0};
    for (int d = 0; d < 600; d++) {
        plain_drive p;
        double length;
        random_drive(&by, true, &p, &length);
        swing_further_out(&p, 1.5, 3.0);
        if (snub_rig_prepare(&p.drive, NULL, &rig, NULL) != SNUB_OK)
            continue;
        for (int k = 0; k < 200; k++) {
            const int place = chance_whole(&by, 0, SNUB_WIND_GRID);
            const double wind = rig.travel * place / SNUB_WIND_GRID;
            const double most = k % 4 == 0 ? 0.7 : 0.12;
            if (rig.grid[place].valid)
                as_exactly(&rig, &rig.grid[place], wind, wind + chance_between(&by, -most, most), &m);
        }
    }
    printf("near %d (%d of them by a wide turn); too far for the arm %d, for a span %d; lost %d, of them with tangents "
           "%d\n",
           m.near, m.in_wide, m.far_arm, m.far_span, m.lost, m.comes_off);
    assert_true(m.near > 10000 && m.in_wide > 1000 && m.far_arm > 1000 && m.far_span > 100 && m.lost > 100 &&
                m.comes_off > 50);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(series_are_as_good_as_told),
        cmocka_unit_test(laid_from_near_by_as_exactly),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
