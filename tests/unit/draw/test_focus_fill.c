/* From steps of a build to what is dark in the view: bolts by their places among two brackets, distances by their ends,
 * what comes off by its outline. */
#include <stdio.h>

#include "draw/view_fill.h"
#include "snub/draw_drive.h"
#include "support/drive_text.h"

static const char file[] =
    "snub: 1\n"
    "engine: {displacement: 3.6 L, cylinders: 6, idle: 700, redline: 5000, volumetric_efficiency: [[700, 0.7], [5000, "
    "0.8]]}\n"
    "belt: {section: PK, ribs: 7, length: 1926, tolerance: 2}\n"
    "pulleys:\n"
    "  - {name: crank, role: crank, at: [0, 0], diameter: 162}\n"
    "  - {name: tensioner, side: back, diameter: 72, arm: {pivot: [-114, 208], length: 94, free: -22, loads: cw, "
    "travel: 58, preload: 34, rate: 0.9 N m/deg, damping: 0.12}}\n"
    "  - {name: alternator, at: [-204, 268], diameter: 58, load: [[2400, 8], [11000, 4]]}\n"
    "  - {name: wrap, side: back, diameter: 68, slot: {from: [-78, 318], to: [-32, 350], setting: 38}, mount: high}\n"
    "  - {name: blower, at: [46, 384], diameter: 88, blower: {kind: twin-screw, swept: 1.45 L, internal_ratio: 1.25}}\n"
    "  - {name: exit, side: back, at: [132, 296], diameter: 74, mount: low}\n"
    "  - {name: steering, at: [236, 238], diameter: 126}\n"
    "  - {name: compressor, at: [276, 22], diameter: 118, load: [[900, 5], [8000, 8]]}\n"
    "mounts:\n"
    "  - name: low\n"
    "    stack: [{name: face, kind: face, length: -52}, {name: plate, kind: bracket, length: 14}]\n"
    "    bolts: [{name: a, at: [120, 250], thread: M8, class: 8.8, torque: 20}, {name: b, at: [150, 320], thread: M8, "
    "class: 8.8, torque: 20, locates: true}]\n"
    "  - name: high\n"
    "    stack: [{name: face, kind: face, length: -50}, {name: plate, kind: bracket, length: 14}]\n"
    "    bolts: [{name: c, at: [-100, 300], thread: M8, class: 8.8, torque: 20}, {name: d, at: [-20, 360], thread: M8, "
    "class: 8.8, torque: 20}, {name: e, at: [-60, 290], thread: M8, class: 8.8, torque: 20, locates: true}]\n"
    "obstacles:\n"
    "  - {name: neck, circle: {at: [60, 180], diameter: 40}, z: [-58, 12]}\n"
    "  - {name: cover, supply: removed, polygon: [[100, 100], [180, 100], [140, 190]], z: [-10, 30]}\n";

typedef struct scene {
    drive_text t;
    snub_build build;
    snub_steps steps;
    snub_view view;
} scene;

static void open_scene(scene *s)
{
    const snub_build_request as_written = {0};
    snub_error error = {0};
    drive_text_open(&s->t, file);
    assert_int_equal(snub_build_of_drive(&s->t.drive, &as_written, &s->t.arena, &s->build, &error), SNUB_OK);
    assert_non_null(s->build.report);
    assert_int_equal(snub_steps_list(&s->build, &s->t.arena, &s->steps, &error), SNUB_OK);
    assert_int_equal(snub_view_of_path(&s->t.drive, &s->build.rest.path, s->build.settings,
                                       s->build.rest.equilibrium.wind, &s->t.arena, &s->view, &error),
                     SNUB_OK);
}

static const snub_step *step_of(const scene *s, const char *id)
{
    for (int i = 0; i < s->steps.count; i++)
        if (strcmp(s->steps.items[i].id, id) == 0)
            return &s->steps.items[i];
    fail_msg("no step '%s'", id);
    return NULL;
}

static void focus_of(scene *s, const char *id, snub_view_focus *focus)
{
    const snub_step *step = step_of(s, id);
    assert_non_null(step->shows);
    assert_int_equal(snub_view_focus_of(&s->build, step->shows, NULL, &s->view, &s->t.arena, focus, NULL), SNUB_OK);
}

/* The bolts that locate a bracket come first in the order; the rest of it is the program's to say. */
static void bolts_are_those_of_their_bracket(void **state)
{
    static const struct {
        const char *id, *first, *names[3];
        double at[3][2];
        int count;
    } wanted[] = {{"place low", "1 b", {"a", "b"}, {{120, 250}, {150, 320}}, 2},
                  {"first round high", "1 e", {"c", "d", "e"}, {{-100, 300}, {-20, 360}, {-60, 290}}, 3}};
    scene s;
    (void)state;
    open_scene(&s);
    for (int w = 0; w < 2; w++) {
        snub_view_focus focus;
        int dark = 0, orders = 0;
        bool first = false;
        focus_of(&s, wanted[w].id, &focus);
        for (int i = 0; i < s.view.hole_count; i++) {
            char name[32];
            int k = 0;
            if (!focus.hole[i])
                continue;
            while (k < wanted[w].count &&
                   hypot(s.view.hole[i].at[0] - wanted[w].at[k][0], s.view.hole[i].at[1] - wanted[w].at[k][1]) > 1e-9)
                k++;
            assert_true(k < wanted[w].count);
            snprintf(name, sizeof name, "%d %s", focus.order[i], wanted[w].names[k]);
            assert_string_equal(focus.hole_name[i], name);
            first = first || strcmp(name, wanted[w].first) == 0;
            orders += focus.order[i];
            dark++;
        }
        assert_int_equal(dark, wanted[w].count);
        assert_int_equal(orders, dark * (dark + 1) / 2);
        assert_true(first);
        assert_string_equal(focus.plate->name, w == 0 ? "low" : "high");
    }
    drive_text_close(&s.t);
}

static void distances_end_at_bolts_or_rims(void **state)
{
    scene s;
    snub_view_focus focus;
    (void)state;
    open_scene(&s);
    focus_of(&s, "set wrap", &focus);
    const double *slider = s.view.build[0].pulley[3].centre;
    assert_int_equal(focus.measure_count, 2);
    assert_true(focus.sets && focus.slot[0]);
    for (int i = 0; i < 2; i++) {
        const snub_view_measure *m = &focus.measure[i];
        assert_near("x of the slider", m->from[0], slider[0], 1e-6, "mm");
        assert_near("y of the slider", m->from[1], slider[1], 1e-6, "mm");
        assert_near("x of the other", m->to[0], s.view.build[0].pulley[m->other].centre[0], 1e-6, "mm");
        assert_near("its length", m->length, hypot(m->to[0] - m->from[0], m->to[1] - m->from[1]), 1e-6, "mm");
        assert_false(m->rims);
    }
    focus_of(&s, "check mark wrap", &focus);
    const snub_view_measure *m = &focus.measure[0];
    assert_int_equal(focus.measure_count, 1);
    assert_near("what is drawn is what is read", m->length, hypot(m->to[0] - m->from[0], m->to[1] - m->from[1]), 1e-6,
                "mm");
    drive_text_close(&s.t);
}

static void what_comes_off_has_its_outline(void **state)
{
    scene s;
    snub_view_focus focus;
    (void)state;
    open_scene(&s);
    focus_of(&s, "remove cover", &focus);
    assert_non_null(focus.removed);
    assert_int_equal(focus.removed->count, 3);
    assert_near("a corner", focus.removed->corner[2][1], 190, 1e-9, "mm");
    for (int i = 0; i < s.view.obstacle_count; i++)
        assert_false(focus.obstacle[i]);
    focus_of(&s, "turn engine", &focus);
    assert_null(focus.removed);
    assert_int_equal(focus.turns, 0);
    drive_text_close(&s.t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(bolts_are_those_of_their_bracket),
                                       cmocka_unit_test(distances_end_at_bolts_or_rims),
                                       cmocka_unit_test(what_comes_off_has_its_outline)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
