/* Plots: round ticks, nothing outside of its panel, legends that hide nothing, looks that differ without colour. */
#include "support/near.h"

#include <string.h>

#include "draw/shape.h"
#include "draw/ticks.h"

static void ticks_are_round(void **state)
{
    (void)state;
    static const double ranges[][2] = {{0, 7000}, {-0.31, 1.59}, {1e-9, 3e-9}, {-5e8, 3e8}, {0.1, 0.7}, {99.5, 100.5}};
    for (size_t i = 0; i < sizeof ranges / sizeof ranges[0]; i++)
        for (int most = 3; most <= 12; most++) {
            double first, step;
            int count, decimals;
            snub_ticks(ranges[i][0], ranges[i][1], most, &first, &step, &count, &decimals);
            double mantissa = step / pow(10, floor(log10(step) + 1e-9));
            bool is_round = fabs(mantissa - 1) < 1e-6 || fabs(mantissa - 2) < 1e-6 || fabs(mantissa - 2.5) < 1e-6 ||
                            fabs(mantissa - 5) < 1e-6;
            assert_true(is_round);
            assert_true(count >= 1 && count <= most);
            assert_true(first >= ranges[i][0] - 1e-6 * step);
            assert_true(first + (count - 1) * step <= ranges[i][1] + 1e-6 * step);
            assert_true(first + count * step > ranges[i][1]);
            assert_near("ticks are multiples of the step", remainder(first, step), 0, 1e-6 * step, "");
            if (decimals <= 9) { /* the label says the tick exactly */
                double scaled = (first + step) * pow(10, decimals);
                assert_near("decimals suffice", scaled, round(scaled), 1e-4, "");
            }
        }
    double first, step;
    int count, decimals;
    snub_ticks(5, 5, 6, &first, &step, &count, &decimals);
    assert_int_equal(count, 1);
    snub_ticks(NAN, 5, 6, &first, &step, &count, &decimals);
    assert_int_equal(count, 0);
}

static void styles_differ_without_colour(void **state)
{
    (void)state;
    for (int i = 0; i < 35; i++)
        for (int k = i + 1; k < 35; k++) {
            snub_style a = snub_style_of(i), b = snub_style_of(k);
            assert_true(a.dash != b.dash || a.marker != b.marker);
        }
}

enum { POINTS = 50 };

typedef struct data {
    double x[POINTS], y[9][POINTS], high[POINTS];
    snub_series series[9];
    snub_band band;
    snub_limit_line limit;
    snub_panel panel[2];
    snub_plot plot;
} data;

static void make(data *d, int series)
{
    memset(d, 0, sizeof *d);
    for (int i = 0; i < POINTS; i++) {
        d->x[i] = 750 + i * 110;
        for (int k = 0; k < 9; k++)
            d->y[k][i] = 0.2 * k + sin(d->x[i] / 900 + k);
        d->high[i] = d->y[0][i] + 0.3;
    }
    for (int k = 0; k < 9; k++)
        d->series[k] = (snub_series){"8PK1575, blower 80 mm", POINTS, d->x, d->y[k], snub_style_of(k), false};
    d->band = (snub_band){"band", POINTS, d->x, d->y[0], d->high, SNUB_INK_BAND_1};
    d->limit = (snub_limit_line){"limit", 1.0, SNUB_INK_FAIL};
    d->panel[0] = (snub_panel){.title = "grip used",
                               .series_count = series,
                               .series = d->series,
                               .low = NAN,
                               .high = NAN,
                               .limit_count = 1,
                               .limits = &d->limit};
    d->panel[1] = (snub_panel){.title = "tension",
                               .unit = "N",
                               .series_count = 2,
                               .series = d->series,
                               .low = -0.2,
                               .high = 0.4,
                               .band_count = 1,
                               .bands = &d->band};
    d->plot = (snub_plot){.title = "Sweep",
                          .x_title = "engine speed",
                          .x_unit = "rpm",
                          .x_low = NAN,
                          .x_high = NAN,
                          .panel_count = 2,
                          .panels = d->panel};
}

static bool word(const snub_drawing *drawing, const char *text)
{
    for (int i = 0; i < drawing->count; i++)
        if (drawing->entity[i].kind == SNUB_ENTITY_TEXT && strcmp(drawing->entity[i].as.text.text, text) == 0)
            return true;
    return false;
}

static void all_stays_inside(void **state)
{
    (void)state;
    for (int series = 1; series <= 9; series += 4) {
        data d;
        snub_arena arena = {0};
        snub_drawing drawing;
        snub_error error;
        double low[2], high[2];
        make(&d, series);
        assert_int_equal(snub_plot_draw(&d.plot, NULL, &arena, &drawing, &error), SNUB_OK);
        assert_true(snub_drawing_bounds(&drawing, low, high));
        assert_true(low[0] >= 0 && low[1] >= 0 && high[0] <= drawing.high[0] && high[1] <= drawing.high[1]);
        assert_true(word(&drawing, "tension, N"));
        assert_true(word(&drawing, "engine speed, rpm"));
        /* the second panel cuts its data: whatever is drawn lies in a panel's rectangle */
        double panels[2][4];
        int n = 0;
        for (int i = 0; i < drawing.count; i++) {
            const snub_entity *e = &drawing.entity[i];
            if (e->layer == SNUB_LAYER_FRAME && e->kind == SNUB_ENTITY_PATH && e->pen.ink == SNUB_INK_OUTLINE) {
                const snub_vertex *v = e->as.path.loop[0].vertex;
                panels[n][0] = v[0].x, panels[n][1] = v[0].y, panels[n][2] = v[2].x, panels[n][3] = v[2].y;
                n++;
            }
        }
        assert_int_equal(n, 2);
        for (int i = 0; i < drawing.count; i++) {
            const snub_entity *e = &drawing.entity[i];
            if (e->layer != SNUB_LAYER_PLOT || e->kind != SNUB_ENTITY_PATH || e->fill != SNUB_INK_NONE)
                continue;
            const snub_loop *loop = &e->as.path.loop[0];
            for (int k = 0; k < loop->count; k++) {
                bool in = false;
                for (int p = 0; p < 2; p++)
                    in = in || (loop->vertex[k].x >= panels[p][0] - 1e-6 && loop->vertex[k].x <= panels[p][2] + 1e-6 &&
                                loop->vertex[k].y >= panels[p][1] - 1e-6 && loop->vertex[k].y <= panels[p][3] + 1e-6);
                assert_true(in);
            }
        }
        snub_arena_free(&arena);
    }
}

static void breaks_and_commas(void **state)
{
    (void)state;
    data d;
    snub_arena arena = {0};
    snub_drawing drawing;
    snub_error error;
    snub_locale german = {.decimal = ','};
    int curves = 0;
    make(&d, 1);
    d.plot.panel_count = 1;
    d.panel[0].low = -2, d.panel[0].high = 2;
    d.y[0][20] = NAN;
    assert_int_equal(snub_plot_draw(&d.plot, &german, &arena, &drawing, &error), SNUB_OK);
    for (int i = 0; i < drawing.count; i++)
        curves += drawing.entity[i].layer == SNUB_LAYER_PLOT && drawing.entity[i].kind == SNUB_ENTITY_PATH &&
                  !drawing.entity[i].as.path.loop[0].closed;
    assert_int_equal(curves, 2);
    bool comma = false;
    for (int i = 0; i < drawing.count; i++)
        if (drawing.entity[i].kind == SNUB_ENTITY_TEXT) {
            assert_null(strchr(drawing.entity[i].as.text.text, '.'));
            comma = comma || strcmp(drawing.entity[i].as.text.text, "0,5") == 0;
        }
    assert_true(comma);
    snub_arena_free(&arena);
}

/* A title that is longer than its panel is high stands on two lines, in full size and inside of the plot; one word,
 * which cannot, gets smaller. */
static void long_titles_take_two_lines(void **state)
{
    (void)state;
    static const struct {
        const char *title, *line[2];
        bool full;
    } cases[] = {{"power that is estimated at the crank", {"power that is estimated", "at the crank, N"}, true},
                 {"short", {"short, N", "short, N"}, true},
                 {"Riemenscheibenumfangsgeschwindigkeitsverhaeltnisse",
                  {"Riemenscheibenumfangsgeschwindigkeitsverhaeltnisse,", "N"},
                  false}};
    for (size_t c = 0; c < sizeof cases / sizeof cases[0]; c++) {
        data d;
        snub_arena arena = {0};
        snub_drawing drawing;
        snub_error error;
        double low[2], high[2];
        int lines = 0;
        make(&d, 1);
        d.plot.height = 130;
        d.panel[0].title = cases[c].title;
        d.panel[0].unit = "N";
        assert_int_equal(snub_plot_draw(&d.plot, NULL, &arena, &drawing, &error), SNUB_OK);
        assert_true(snub_drawing_bounds(&drawing, low, high));
        assert_true(low[0] >= 0 && low[1] >= 0);
        for (int i = 0; i < drawing.count; i++) {
            const snub_entity *e = &drawing.entity[i];
            if (e->kind != SNUB_ENTITY_TEXT ||
                (strcmp(e->as.text.text, cases[c].line[0]) != 0 && strcmp(e->as.text.text, cases[c].line[1]) != 0))
                continue;
            lines++;
            if (cases[c].full)
                assert_near("height", e->as.text.height, 2.4, 1e-9, "mm");
            else if (strcmp(e->as.text.text, cases[c].line[0]) == 0)
                assert_true(e->as.text.height < 2.4);
        }
        assert_int_equal(lines, strcmp(cases[c].line[0], cases[c].line[1]) == 0 ? 1 : 2);
        snub_arena_free(&arena);
    }
}

static void bad_plots_are_refused(void **state)
{
    (void)state;
    data d;
    snub_arena arena = {0};
    snub_drawing drawing;
    snub_error error;
    make(&d, 2);
    d.plot.panel_count = 0;
    assert_int_equal(snub_plot_draw(&d.plot, NULL, &arena, &drawing, &error), SNUB_BAD_INPUT);
    make(&d, 2);
    for (int i = 0; i < POINTS; i++)
        d.x[i] = NAN;
    assert_int_equal(snub_plot_draw(&d.plot, NULL, &arena, &drawing, &error), SNUB_BAD_INPUT);
    make(&d, 2);
    d.plot.width = 40, d.plot.height = 20;
    assert_int_equal(snub_plot_draw(&d.plot, NULL, &arena, &drawing, &error), SNUB_BAD_INPUT);
    for (long n = 1; n < 60; n += 5) {
        snub_arena small = {.refuse_after = n};
        make(&d, 3);
        snub_status status = snub_plot_draw(&d.plot, NULL, &small, &drawing, &error);
        assert_true(status == SNUB_OK || status == SNUB_NO_MEMORY);
        snub_arena_free(&small);
    }
    snub_arena_free(&arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ticks_are_round),
        cmocka_unit_test(styles_differ_without_colour),
        cmocka_unit_test(all_stays_inside),
        cmocka_unit_test(breaks_and_commas),
        cmocka_unit_test(long_titles_take_two_lines),
        cmocka_unit_test(bad_plots_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
