/* Percentage points as tables of statistics print them (any of them; to their digits), from memory, and of the normal
 * distribution M. J. Wichura, Algorithm AS 241, Applied Statistics 37 (1988) 477, test values. */
#include "snub/distributions.h"
#include "support/near.h"

static void student(void **state)
{
    (void)state;
    static const struct {
        int freedom;
        double t05, t025, t005, t0005;
    } row[] = {{1, 6.314, 12.706, 63.657, 636.619}, {2, 2.920, 4.303, 9.925, 31.599}, {3, 2.353, 3.182, 5.841, 12.924},
               {4, 2.132, 2.776, 4.604, 8.610},     {7, 1.895, 2.365, 3.499, 5.408},  {10, 1.812, 2.228, 3.169, 4.587},
               {30, 1.697, 2.042, 2.750, 3.646}};
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
        assert_near("5 %", snub_student_value(0.05, row[i].freedom), row[i].t05, 0.0006, "");
        assert_near("2.5 %", snub_student_value(0.025, row[i].freedom), row[i].t025, 0.0006, "");
        assert_near("0.5 %", snub_student_value(0.005, row[i].freedom), row[i].t005, 0.0006, "");
        assert_near("0.05 %", snub_student_value(0.0005, row[i].freedom), row[i].t0005, 0.0006, "");
    }
}

static void chi_square(void **state)
{
    (void)state;
    static const struct {
        int freedom;
        double x95, x05, x01;
    } row[] = {{1, 0.00393, 3.841, 6.635},  {2, 0.103, 5.991, 9.210},   {3, 0.352, 7.815, 11.345},
               {4, 0.711, 9.488, 13.277},   {7, 2.167, 14.067, 18.475}, {10, 3.940, 18.307, 23.209},
               {30, 18.493, 43.773, 50.892}};
    for (size_t i = 0; i < sizeof row / sizeof row[0]; i++) {
        assert_near("95 %", snub_chi_square_over(row[i].x95, row[i].freedom), 0.95, 0.0005, "");
        assert_near("5 %", snub_chi_square_over(row[i].x05, row[i].freedom), 0.05, 0.00002, "");
        assert_near("1 %", snub_chi_square_over(row[i].x01, row[i].freedom), 0.01, 0.000005, "");
    }
    assert_near("all of it", snub_chi_square_over(0.0, 3), 1.0, 0.0, "");
    assert_near("none of it", snub_chi_square_over(1e6, 3), 0.0, 0.0, "");
}

static void normal(void **state)
{
    (void)state;
    assert_near("0.25", snub_normal_value(0.25), 0.6744897501960817, 1e-12, "");
    assert_near("0.001", snub_normal_value(0.001), 3.090232306167814, 1e-11, "");
    assert_near("1e-20", snub_normal_value(1e-20), 9.262340089798409, 1e-5, "");
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(student), cmocka_unit_test(chi_square),
                                       cmocka_unit_test(normal)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
