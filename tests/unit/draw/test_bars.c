/* Histograms: bars as high as what is counted, lines at their numbers, limits that are too far out, one number alone.
 */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "snub/draw.h"
#include "support/near.h"

static const int HEIGHTS[4] = {2, 8, 0, 4};

typedef struct drawn {
    snub_arena arena;
    snub_drawing drawing;
    const snub_entity *bar[8];
    int bars;
    double limit[4], nominal; /* x of the lines; NAN: none */
    int limits;
} drawn;

static double x_of(const snub_entity *line)
{
    return line->as.line.a[0] == line->as.line.b[0] ? line->as.line.a[0] : NAN;
}

static void draw(drawn *d, const snub_bars *bars, int panels)
{
    const char *notes[] = {"a note"};
    const snub_bars_sheet sheet = {.title = "a kit",
                                   .y_title = "kits",
                                   .nominal_name = "nominal",
                                   .limit_name = {"lower limit", "upper limit"},
                                   .panel_count = panels,
                                   .panels = bars,
                                   .note_count = 1,
                                   .notes = notes};
    snub_error error;
    memset(d, 0, sizeof *d);
    snub_arena_init(&d->arena, 0);
    d->nominal = NAN;
    assert_int_equal(snub_bars_draw(&sheet, NULL, &d->arena, &d->drawing, &error), SNUB_OK);
    for (int i = 0; i < d->drawing.count; i++) {
        const snub_entity *e = &d->drawing.entity[i];
        if (e->kind == SNUB_ENTITY_PATH && d->bars < 8)
            d->bar[d->bars++] = e;
        if (e->kind == SNUB_ENTITY_LINE && e->pen.width == 0.7 && d->limits < 4)
            d->limit[d->limits++] = x_of(e);
        if (e->kind == SNUB_ENTITY_LINE && e->pen.dash == SNUB_DASH_CENTRE)
            d->nominal = x_of(e);
    }
}

static bool says(const drawn *d, const char *text)
{
    for (int i = 0; i < d->drawing.count; i++)
        if (d->drawing.entity[i].kind == SNUB_ENTITY_TEXT && strcmp(d->drawing.entity[i].as.text.text, text) == 0)
            return true;
    return false;
}

static double side(const snub_entity *bar, int axis, bool most)
{
    double got = most ? -INFINITY : INFINITY;
    for (int i = 0; i < bar->as.path.loop[0].count; i++) {
        const snub_vertex *v = &bar->as.path.loop[0].vertex[i];
        const double value = axis == 0 ? v->x : v->y;
        got = most ? fmax(got, value) : fmin(got, value);
    }
    return got;
}

static double tall(const snub_entity *bar)
{
    return side(bar, 1, true) - side(bar, 1, false);
}

static snub_bars usual(void)
{
    return (snub_bars){.title = "gap",
                       .unit = "mm",
                       .count = 4,
                       .height = HEIGHTS,
                       .low = 10,
                       .high = 14,
                       .nominal = 12,
                       .limit = {8, NAN},
                       .note = "below 8: none"};
}

static void bars_and_lines(void **state)
{
    drawn d;
    const snub_bars bars = usual();
    (void)state;
    draw(&d, &bars, 1);
    assert_int_equal(d.bars, 3); /* an empty class has none */
    assert_near("height, 8 against 2", tall(d.bar[1]), 4 * tall(d.bar[0]), 1e-9, "mm");
    assert_near("height, 4 against 2", tall(d.bar[2]), 2 * tall(d.bar[0]), 1e-9, "mm");
    const double wide = side(d.bar[0], 0, true) - side(d.bar[0], 0, false);
    assert_true(wide > 5);
    assert_near("classes touch", side(d.bar[1], 0, false), side(d.bar[0], 0, true), 1e-9, "mm");
    assert_near("an empty class keeps its place", side(d.bar[2], 0, false), side(d.bar[1], 0, true) + wide, 1e-9, "mm");
    assert_near("nominal", d.nominal, side(d.bar[0], 0, false) + 2 * wide, 1e-9, "mm");
    assert_int_equal(d.limits, 1);
    assert_near("limit", d.limit[0], side(d.bar[0], 0, false) - 2 * wide, 1e-9, "mm");
    assert_true(says(&d, "gap, mm") && says(&d, "below 8: none") && says(&d, "lower limit") && says(&d, "nominal") &&
                says(&d, "a note") && says(&d, "a kit"));
    assert_false(says(&d, "upper limit"));
    snub_arena_free(&d.arena);
}

/* Four classes are 4 wide: a limit up to 12 further on leaves them a quarter of the axis. */
static void far_limits(void **state)
{
    static const struct {
        double low, high;
        int lines;
    } cases[] = {{NAN, 26, 1}, {NAN, 26.1, 0}, {-2, NAN, 1}, {-2.1, NAN, 0},
                 {4, 20, 2},   {4, 20.1, 1},   {11, 13, 2},  {NAN, NAN, 0}};
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        drawn d;
        snub_bars bars = usual();
        bars.limit[0] = cases[i].low;
        bars.limit[1] = cases[i].high;
        draw(&d, &bars, 1);
        assert_int_equal(d.limits, cases[i].lines);
        snub_arena_free(&d.arena);
    }
}

static void one_number(void **state)
{
    static const int all[1] = {300};
    drawn d;
    const snub_bars bars = {
        .title = "boost", .count = 1, .height = all, .low = 53, .high = 53, .nominal = 53, .limit = {NAN, NAN}};
    (void)state;
    draw(&d, &bars, 1);
    assert_int_equal(d.bars, 1);
    assert_near("in its middle", d.nominal, 0.5 * (side(d.bar[0], 0, false) + side(d.bar[0], 0, true)), 1e-9, "mm");
    assert_true(side(d.bar[0], 0, true) - side(d.bar[0], 0, false) > 5 && says(&d, "boost"));
    snub_arena_free(&d.arena);
    snub_bars near_limit = bars;
    near_limit.limit[0] = 52.9;
    near_limit.limit[1] = 53.2;
    draw(&d, &near_limit, 1);
    assert_int_equal(d.limits, 2);
    assert_true(d.limit[0] < side(d.bar[0], 0, false) && d.limit[1] > side(d.bar[0], 0, true));
    snub_arena_free(&d.arena);
}

static void panels(void **state)
{
    drawn one, two, three;
    snub_error error;
    snub_drawing none;
    const snub_bars bars[3] = {usual(), usual(), usual()};
    (void)state;
    draw(&one, bars, 1);
    draw(&two, bars, 2);
    draw(&three, bars, 3);
    assert_near("two are beside each other", two.drawing.high[1], one.drawing.high[1], 1e-9, "mm");
    assert_true(three.drawing.high[1] > two.drawing.high[1] + 40);
    assert_true(side(two.bar[3], 0, false) > side(two.bar[2], 0, true));
    assert_true(side(three.bar[6], 1, true) < side(three.bar[0], 1, false));
    const snub_bars_sheet empty = {.title = "a kit"};
    assert_int_equal(snub_bars_draw(&empty, NULL, &one.arena, &none, &error), SNUB_BAD_INPUT);
    snub_arena_free(&one.arena);
    snub_arena_free(&two.arena);
    snub_arena_free(&three.arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(bars_and_lines), cmocka_unit_test(far_limits),
                                       cmocka_unit_test(one_number), cmocka_unit_test(panels)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
