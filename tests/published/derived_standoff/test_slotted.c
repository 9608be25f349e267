/* A tube over a slot: area and second moments of a ring without a strip by quadrature, and pressure where a part of it
 * lifts by the sums of a grid of 2000 x 2000 points and a general root finder, both in another program (derived).
 * Forces of 1, lengths in mm. */
#include "snub/mount.h"
#include "support/near.h"

/* A bolt that bends so easily that the face alone counts. */
#define NO_BOLT 1e-9

static snub_clamped_tube tube_of(double radius, double bore, double bolt)
{
    return (snub_clamped_tube){2.0 * radius, 2.0 * bore, 1.0, 1.0, bolt};
}

/* Shut: pressure is 1/A + M u/I at the edge, and it opens where the one is the other. */
static void shut(void **state)
{
    (void)state;
    static const struct {
        double radius, bore, half, area, along, across;
    } rows[] = {{16, 6.3, 6.3, 411.7231652707682, 19669.39458491182, 46392.94655458121},
                {12.5, 5.25, 3.0, 315.11647900893735, 11477.782927813307, 18305.19798304655},
                {16, 6.3, 8, 314.46264284384176, 13031.129034203754, 41409.04946541223}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const snub_clamped_tube t = tube_of(rows[i].radius, rows[i].bore, NO_BOLT);
        const double slot = 2.0 * rows[i].half, corner = sqrt(rows[i].radius * rows[i].radius - 0.25 * slot * slot);
        const double along = rows[i].along / (rows[i].area * corner),
                     across = rows[i].across / (rows[i].area * rows[i].radius);
        assert_near("even", snub_press_slotted(&t, slot, 0, 0).most, 1.0 / rows[i].area, 1e-12, "");
        assert_near("opens along", snub_slotted_use(&t, slot, along, 0), 1.0, 1e-11, "");
        assert_near("opens across", snub_slotted_use(&t, slot, 0, -across), 1.0, 1e-11, "");
        assert_near("half of it", snub_slotted_use(&t, slot, -0.5 * along, 0), 0.5, 1e-11, "");
        assert_near("edge", snub_press_slotted(&t, slot, 0.5 * along, 0).most, 1.5 / rows[i].area, 1e-12, "");
        assert_near("touching", snub_press_slotted(&t, slot, 0.5 * along, 0).touching, 1.0, 0, "");
    }
}

static void lifted(void **state)
{
    (void)state;
    static const struct {
        double radius, bore, half, along, across, bolt, most, touching;
    } rows[] = {
        {16, 6.3, 6.3, 5, 0, NO_BOLT, 0.0063795057, 0.8704086}, {16, 6.3, 6.3, 9, 0, NO_BOLT, 0.015320488, 0.4067303},
        {16, 6.3, 6.3, 0, 9, NO_BOLT, 0.005584299, 0.854021},   {16, 6.3, 6.3, 5, 6, NO_BOLT, 0.007939089, 0.723078},
        {16, 6.3, 6.3, -5, 6, NO_BOLT, 0.007939089, 0.723078},  {12.5, 5.25, 3, 4, 5, NO_BOLT, 0.009768767, 0.697235},
        {12.5, 5.25, 3, 12, 9, 500, 0.04775447, 0.152127}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const snub_clamped_tube t = tube_of(rows[i].radius, rows[i].bore, rows[i].bolt);
        const snub_pressed_face face = snub_press_slotted(&t, 2.0 * rows[i].half, rows[i].along, rows[i].across);
        assert_near("most", face.most, rows[i].most, 1.5e-3 * rows[i].most, "");
        assert_near("touching", face.touching, rows[i].touching, 2e-3, "");
    }
}

/* No slot: as the ring that has a solution of its own. Up to a moment that the bolt carries nearly all of. */
static void no_slot(void **state)
{
    (void)state;
    const snub_clamped_tube t = tube_of(12.5, 5.25, 800.0);
    const double opens = snub_no_gap_moment(1.0, 25, 10.5);
    assert_near("opens", snub_slotted_use(&t, 0, 0.6 * opens, 0.8 * opens), 1.0, 1e-12, "");
    for (double m = 0.2 * opens; m < 20.0 * opens; m *= 1.37) {
        const snub_pressed_face ring = snub_press_face(&t, m), face = snub_press_slotted(&t, 0, 0.6 * m, 0.8 * m);
        assert_near("most", face.most, ring.most, 2e-4 * ring.most, "");
        assert_near("touching", face.touching, ring.touching, 1e-3, "");
        assert_near("curvature", face.curvature, ring.curvature, 2e-4 * ring.curvature, "");
    }
}

/* A slot as wide as the tube leaves it nothing to stand on; one just under that, next to nothing. */
static void wide(void **state)
{
    (void)state;
    const snub_clamped_tube t = tube_of(12.5, 5.25, 800.0);
    assert_true(isinf(snub_slotted_use(&t, 25.0, 1, 0)));
    assert_true(isinf(snub_press_slotted(&t, 26.0, 1, 0).most));
    for (double slot = 0; slot < 23; slot += 1.7) {
        for (double turn = 0; turn < 3.2; turn += 0.4) {
            for (double m = 0.5; m < 300; m *= 2.9) {
                const snub_pressed_face face = snub_press_slotted(&t, slot, m * cos(turn), m * sin(turn));
                assert_true(isfinite(face.most) && face.most > 0 && face.touching > 0 && face.touching <= 1);
                const double more = snub_press_slotted(&t, slot, 1.05 * m * cos(turn), 1.05 * m * sin(turn)).most;
                assert_true(more > face.most || slot > 20.0); /* a sliver is softer than the bolt */
            }
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(shut), cmocka_unit_test(lifted), cmocka_unit_test(no_slot),
                                       cmocka_unit_test(wide)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
