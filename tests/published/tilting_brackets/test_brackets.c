/* Bhandari, Design of Machine Elements, ch. 7, as worked in its worked-example companion (7.5, 7.8, 7.9): brackets that
 * tilt about an edge. */
#include <string.h>

#include "snub/mount.h"
#include "support/near.h"

enum { BOLTS_MOST = 4 };

typedef struct bracket {
    double moment, pull, shear; /* N m about the edge; N on all bolts together */
    int bolts;
    double lever[BOLTS_MOST]; /* from the edge, m */
} bracket;

/* Pulls that grow with the distance from the edge are those of a group whose middle is the edge: the bolts and their
 * images beyond it, under twice the load. */
static void share_out(const bracket *b, snub_group_share *share)
{
    snub_group_bolt both[2 * BOLTS_MOST];
    snub_group_share of_both[2 * BOLTS_MOST];
    for (int i = 0; i < b->bolts; i++) {
        both[i] = (snub_group_bolt){.at = {0, b->lever[i]}, .area = 1};
        both[b->bolts + i] = (snub_group_bolt){.at = {0, -b->lever[i]}, .area = 1};
    }
    const snub_wrench twice = {.force = {0, -2 * b->shear, 2 * b->pull}, .moment = {2 * b->moment, 0, 0}};
    assert_int_equal(snub_group_share_out(both, 2 * b->bolts, &twice, of_both, NULL), SNUB_OK);
    memcpy(share, of_both, (size_t)b->bolts * sizeof *share);
}

static void example_7_5(void **state)
{
    (void)state;
    const bracket b = {.moment = 25000 * 0.100, .shear = 25000, .bolts = 4, .lever = {0.150, 0.150, 0.025, 0.025}};
    snub_group_share s[BOLTS_MOST];
    share_out(&b, s);
    assert_near("pull", s[0].pull, 8108.108, 5e-4, "N");
    double moment = 0;
    for (int i = 0; i < b.bolts; i++)
        moment += s[i].pull * b.lever[i];
    assert_near("moment", moment, b.moment, 1e-9, "N m");
    assert_near("shear", -s[0].shear[1], 6250, 1e-9, "N");
    /* greatest shear stress of 76 MPa: sqrt((P/2)^2 + V^2)/A */
    assert_near("core area", hypot(s[0].pull / 2, s[0].shear[1]) / 76e6 * 1e6, 98.022213, 5e-7, "mm2");
}

static void example_7_8(void **state)
{
    (void)state;
    const bracket b = {.moment = 20000 * 0.550, .pull = 20000, .bolts = 2, .lever = {0.450, 0.050}};
    snub_group_share s[BOLTS_MOST];
    share_out(&b, s);
    assert_near("tilt", s[0].pull - 20000 / 2.0, 24146.34, 0.005, "N");
    assert_near("total", s[0].pull, 34146.34, 0.005, "N");
    assert_near("core area", s[0].pull / 75e6 * 1e6, 455.284553, 5e-7, "mm2");
}

static void example_7_9(void **state)
{
    (void)state;
    const bracket b = {.moment = 25000 * 0.400, .pull = 25000, .bolts = 4, .lever = {0.200, 0.200, 0.050, 0.050}};
    snub_group_share s[BOLTS_MOST];
    share_out(&b, s);
    assert_near("tilt", s[0].pull - 25000 / 4.0, 23529.41, 0.005, "N");
    assert_near("core area", s[0].pull / 50e6 * 1e6, 595.588235, 5e-7, "mm2");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(example_7_5), cmocka_unit_test(example_7_8),
                                       cmocka_unit_test(example_7_9)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
