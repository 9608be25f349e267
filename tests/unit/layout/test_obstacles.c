/* Obstacles: which piece, how deep, what frees it. A drive of two equal pulleys 300 mm apart. */
#include <stdio.h>
#include <string.h>

#include "snub/clearance.h"
#include "support/drive_text.h"

static const char frame[] = "snub: 1\n"
                            "belt: {section: PK, ribs: 6, length: 900}\n"
                            "limits: {flap: 0}\n"
                            "pulleys:\n"
                            "  - {name: crank, role: crank, at: [0, 0], diameter: 100, rim_radius: 50, width: 24}\n"
                            "  - {name: pump, at: [300, 0], diameter: 100, rim_radius: 50, width: 24%s}\n"
                            "obstacles: [%s]\n";

typedef struct scene {
    drive_text text;
    snub_path path;
    snub_conflict found[32];
    int count;
} scene;

static scene *look_at_file(const char *file, double flap)
{
    scene *s = calloc(1, sizeof *s);
    int all = 0;
    drive_text_open(&s->text, file);
    assert_int_equal(snub_drive_lay(&s->text.drive, 0, NULL, &s->path, NULL), SNUB_OK);
    assert_int_equal(
        snub_obstacle_conflicts(&s->text.drive, &s->path, NULL, SNUB_RUNS, 0.006, flap, s->found, 32, &s->count, &all),
        SNUB_OK);
    return s;
}

static scene *look(const char *pump, const char *obstacles, double flap)
{
    char file[4096];
    snprintf(file, sizeof file, frame, pump, obstacles);
    return look_at_file(file, flap);
}

static void done(scene *s)
{
    drive_text_close(&s->text);
    free(s);
}

static const snub_conflict *piece(const scene *s, snub_piece kind, int index)
{
    for (int i = 0; i < s->count; i++) {
        if (s->found[i].piece == kind && s->found[i].index == index)
            return &s->found[i];
    }
    return NULL;
}

/* A boss below the pump's rim, 2.8 mm off in the plane, its top over the rim's rear from z = -40 to 18. */
static void relieve(void **state)
{
    (void)state;
    scene *s = look("", "{name: boss, circle: {at: [300, -62.8], diameter: 20}, z: [-40, 18]}", 0);
    const snub_conflict *c = piece(s, SNUB_PIECE_RIM, 1);
    assert_non_null(c);
    assert_near("gap", c->gap, 0.0028, 1e-12, "m");
    assert_near("relief", c->relief, 0.0032, 1e-12, "m");
    /* the rim's lowest point, and the boss's highest */
    assert_near("x", c->on_piece[0], 0.3, 1e-12, "m");
    assert_near("y", c->on_piece[1], -0.05, 1e-12, "m");
    assert_near("x of the boss", c->on_obstacle[0], 0.3, 1e-12, "m");
    assert_near("y of the boss", c->on_obstacle[1], -0.0528, 1e-12, "m");
    assert_near("from", c->relief_from, -0.018, 1e-12, "m");
    assert_near("to", c->relief_to, 0.018, 1e-12, "m");
    /* that much smaller, it is free of the rim and no more than free */
    done(s);
    s = look("", "{name: boss, circle: {at: [300, -64.4], diameter: 16.8}, z: [-40, 18]}", 0);
    assert_null(piece(s, SNUB_PIECE_RIM, 1));
    done(s);
}

/* Before the pulley along z: 4 mm of the 6; taken off the front of the boss, or off the pulley's width. */
static void face_off(void **state)
{
    (void)state;
    scene *s = look("", "{name: boss, circle: {at: [300, -30], diameter: 20}, z: [-60, -16]}", 0);
    const snub_conflict *c = piece(s, SNUB_PIECE_RIM, 1);
    assert_non_null(c);
    assert_near("gap", c->gap, 0.004, 1e-12, "m");
    assert_near("off the face", c->face_off, 0.002, 1e-12, "m");
    assert_true(c->from_front);
    done(s);
}

/* A rear lip of 5 mm meets what the rim clears; the trim is what is missing, no more than the lip. */
static void trim(void **state)
{
    (void)state;
    scene *s = look(", flanges: {rear: 5, width: 2}",
                    "{name: boss, circle: {at: [300, -66.1], diameter: 20}, z: [-40, -12.5]}", 0);
    const snub_conflict *c = piece(s, SNUB_PIECE_REAR_FLANGE, 1);
    assert_non_null(c);
    assert_near("gap", c->gap, 0.0011, 1e-12, "m");
    assert_near("trim", c->trim, 0.0049, 1e-12, "m");
    done(s);
    s = look(", flanges: {rear: 5, width: 2}", "{name: boss, circle: {at: [300, -64], diameter: 20}, z: [-40, -12.5]}",
             0);
    c = piece(s, SNUB_PIECE_REAR_FLANGE, 1);
    assert_non_null(c);
    assert_true(isnan(c->trim));
    done(s);
}

/* Corner to corner in space: 3 mm one way and 4 mm the other are 5 mm. */
static void in_space(void **state)
{
    (void)state;
    scene *s = look("", "{name: boss, circle: {at: [300, -63], diameter: 20}, z: [-40, -16]}", 0);
    const snub_conflict *c = piece(s, SNUB_PIECE_RIM, 1);
    assert_non_null(c);
    assert_near("gap", c->gap, 0.005, 1e-12, "m");
    assert_near("relief", c->relief, sqrt(36e-6 - 16e-6) - 0.003, 1e-12, "m");
    assert_near("off the face", c->face_off, sqrt(36e-6 - 9e-6) - 0.004, 1e-12, "m");
    done(s);
}

/* A slot reaches through the span: its depth is square to the belt. The upper span runs 52 mm up, its back outside. */
static void span_depth(void **state)
{
    (void)state;
    scene *s = look("", "{name: rail, slot: {from: [150, 56], to: [150, 90], width: 10}, z: [-5, 5]}", 0);
    const snub_conflict *c = piece(s, SNUB_PIECE_SPAN, 0);
    assert_non_null(c);
    const snub_belt *belt = &s->text.drive.belt;
    const double pitch = s->text.drive.pulleys[0].pitch_radius, belt_back = belt->back;
    assert_near("depth", c->gap, -(pitch + belt->back - 0.051), 1e-9, "m");
    assert_near("span", s->path.span[0], 0.3, 1e-12, "m");
    done(s);
    /* flap is asked for on top, most at mid-span */
    s = look("", "{name: rail, slot: {from: [150, 66], to: [150, 90], width: 10}, z: [-5, 5]}", 0.01);
    c = piece(s, SNUB_PIECE_SPAN, 0);
    assert_non_null(c);
    assert_near("flap", c->flap, 0.003, 1e-6, "m");
    assert_near("the belt's back", c->on_piece[1], pitch + belt_back, 1e-9, "m");
    assert_near("the rail's end", c->on_obstacle[1], 0.061, 1e-9, "m");
    assert_near("in its middle", c->on_piece[0], 0.15, 1e-4, "m");
    assert_near("needed", c->needed, 0.009, 1e-6, "m");
    done(s);
}

/* What lies beside the wrap meets no belt on it; what lies beyond in z meets nothing. */
static void misses(void **state)
{
    (void)state;
    scene *s = look("", "{name: far, circle: {at: [300, -62.8], diameter: 20}, z: [40, 60]}", 0);
    assert_int_equal(s->count, 0);
    done(s);
    s = look("", "{name: inner, circle: {at: [240, 0], diameter: 10}, z: [-10, 10]}", 0);
    assert_null(piece(s, SNUB_PIECE_WRAP, 1)); /* the belt lies on the far side of the pump */
    assert_non_null(piece(s, SNUB_PIECE_RIM, 1));
    done(s);
    s = look("", "{name: outer, circle: {at: [363, 0], diameter: 10}, z: [-10, 10]}", 0);
    assert_non_null(piece(s, SNUB_PIECE_WRAP, 1));
    done(s);
}

/* Two equal pulleys: the belt lies on the half of each that is turned away from the other, whichever way the crank
 * turns and wherever they stand. A pin 3 mm off the belt goes round each. */
static void half_is_wrapped(void **state)
{
    (void)state;
    static const double centre[2][2] = {{100, -50}, {280, 190}}, away[2][2] = {{-0.6, -0.8}, {0.6, 0.8}};
    for (int k = 0; k < 2 * 2 * 12; k++) {
        char file[1024];
        const int pulley = k % 2, step = k / 4;
        const double angle = (15 + 30 * step) * SNUB_DEG, *u = away[pulley], reach = 50 + 2 + 1.5 + 3 + 3;
        const double at[2] = {centre[pulley][0] + reach * (cos(angle) * u[0] - sin(angle) * u[1]),
                              centre[pulley][1] + reach * (sin(angle) * u[0] + cos(angle) * u[1])};
        snprintf(file, sizeof file,
                 "snub: 1\nbelt: {section: PK, ribs: 6, length: 900}\nlimits: {flap: 0}\npulleys:\n"
                 "  - {name: crank, role: crank, rotation: %s, at: [100, -50], diameter: 100}\n"
                 "  - {name: pump, at: [280, 190], diameter: 100}\n"
                 "obstacles: [{name: pin, circle: {at: [%.9f, %.9f], diameter: 6}, z: [-5, 5]}]\n",
                 k / 2 % 2 ? "cw" : "ccw", at[0], at[1]);
        scene *s = look_at_file(file, 0);
        const snub_conflict *c = piece(s, SNUB_PIECE_WRAP, pulley);
        print_message("pulley %d, pin %d deg from the far side: %s\n", pulley, 15 + 30 * step, c ? "belt" : "none");
        assert_int_equal(c != NULL, cos(angle) > 0);
        if (c)
            assert_near("gap", c->gap,
                        (reach - 3) * 1e-3 - s->text.drive.pulleys[pulley].pitch_radius - s->text.drive.belt.back, 1e-9,
                        "m");
        assert_null(piece(s, SNUB_PIECE_WRAP, 1 - pulley));
        done(s);
    }
}

static void bounded(void **state)
{
    (void)state;
    scene *s = look("", "{name: boss, circle: {at: [300, -62.8], diameter: 20}, z: [-40, 18], relief: 1}", 0);
    done(s);
    s = look("", "{name: boss, circle: {at: [300, -62.8], diameter: 20}, z: [-40, 18], gap: 2}", 0);
    assert_null(piece(s, SNUB_PIECE_RIM, 1));
    done(s);
}

/* More conflicts than room: the worst are kept, and it is said. */
static void too_many(void **state)
{
    (void)state;
    scene *s = look("",
                    "{name: a, circle: {at: [300, -62], diameter: 20}, z: [-40, 18]}, {name: b, circle: {at: [300, 61],"
                    " diameter: 20}, z: [-40, 18]}",
                    0);
    snub_conflict one;
    int count = 0, all = 0;
    const double worst = s->found[0].needed - s->found[0].gap;
    assert_true(s->count > 1);
    assert_int_equal(
        snub_obstacle_conflicts(&s->text.drive, &s->path, NULL, SNUB_RUNS, 0.006, 0, &one, 1, &count, &all),
        SNUB_TOO_LARGE);
    assert_int_equal(count, 1);
    assert_int_equal(all, s->count);
    assert_near("the worst", one.needed - one.gap, worst, 0, "m");
    done(s);
}

/* What `relieve` asks for, done as a cut: free where it is deep enough and reaches as far along the crank as is asked.
 */
static void cut_free(void **state)
{
    (void)state;
    static const char boss[] = "{name: boss, circle: {at: [300, -62.8], diameter: 20}, z: [-40, 18], taken_off: [%s]}";
    static const struct {
        const char *cuts;
        double gap; /* mm to the rim; NAN: free */
    } cases[] = {{"{depth: 3.21, towards: pump}", NAN},
                 {"{depth: 3.21, towards: [300, 0], z: [-18.01, 18]}", NAN},
                 {"{depth: 3.19, towards: pump}", 5.99},
                 {"{depth: 3.21, towards: pump, z: [-17, 18]}", 5.7306}, /* 2.8 mm below and 5 mm behind */
                 {"{depth: 3.21, towards: pump, z: [-18.01, 5]}", 2.8},  /* what stands before the cut */
                 {"{depth: 3.21, towards: crank}", 2.8},                 /* the wrong side */
                 {"{depth: 2, towards: pump}, {depth: 3.21, towards: pump}", NAN},
                 {"{depth: 35.31, towards: front}", NAN},
                 {"{depth: 35.3, towards: front}, {depth: 1, towards: rear}", 5.9942}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char obstacle[256];
        snprintf(obstacle, sizeof obstacle, boss, cases[i].cuts);
        scene *s = look("", obstacle, 0);
        double gap = NAN;
        for (int k = 0; k < s->count; k++)
            if (s->found[k].piece == SNUB_PIECE_RIM && s->found[k].index == 1)
                gap = fmin(gap, s->found[k].gap * 1000);
        print_message("%s: %.4f\n", cases[i].cuts, gap);
        assert_int_equal(isnan(gap), isnan(cases[i].gap));
        if (!isnan(gap))
            assert_near("gap", gap, cases[i].gap, 5e-4, "mm");
        done(s);
    }
}

/* A slice behind the front one: to free it, all that stands before it goes as well. */
static void cut_face(void **state)
{
    (void)state;
    scene *s = look("",
                    "{name: boss, circle: {at: [300, -30], diameter: 20}, z: [-60, -16],"
                    " taken_off: [{depth: 12, towards: [300, -200], z: [-18, 0]}]}",
                    0);
    double least = INFINITY, most = 0;
    for (int k = 0; k < s->count; k++) {
        const snub_conflict *c = &s->found[k];
        if (c->piece != SNUB_PIECE_RIM || c->index != 1)
            continue;
        assert_near("off the face", c->face_off, 0.002, 1e-12, "m");
        assert_string_equal(c->obstacle->name, "boss");
        assert_int_equal(c->obstacle->cut_count, 1);
        least = fmin(least, c->gap);
        most = fmax(most, c->gap);
    }
    assert_near("the front slice", least, 0.004, 1e-12, "m");
    assert_near("nothing else", most, 0.004, 1e-12, "m");
    done(s);
    /* 3 mm behind the rim, under a slice that is out of the way: the face to take off is counted from the front */
    s = look("",
             "{name: boss, circle: {at: [300, -62.8], diameter: 20}, z: [-60, -10],"
             " taken_off: [{depth: 3.3, towards: pump, z: [-15, 0]}, {depth: 1, towards: front}]}",
             0);
    assert_non_null(piece(s, SNUB_PIECE_RIM, 1));
    for (int k = 0; k < s->count; k++) {
        const snub_conflict *c = &s->found[k];
        if (c->piece == SNUB_PIECE_RIM && c->index == 1)
            assert_near("off the face, from the front", c->face_off, sqrt(36e-6 - 2.8e-3 * 2.8e-3) + 0.001, 1e-9, "m");
    }
    done(s);
}

/* [0, 1), the same at every run. */
static double chance(unsigned *seed)
{
    *seed = *seed * 1664525U + 1013904223U;
    return (*seed >> 8) / 16777216.0;
}

/* Any place, beside the pulleys or over them. */
static void figure(unsigned *seed, int kind, double (*corner)[2], snub_obstacle *o)
{
    static const snub_obstacle_shape shapes[] = {SNUB_CIRCLE, SNUB_STADIUM, SNUB_POLYGON};
    const double x = 0.6 * chance(seed) - 0.15, y = 0.4 * chance(seed) - 0.2, a = 0.01 + 0.06 * chance(seed);
    const double b = 0.01 + 0.06 * chance(seed), corners[3][2] = {{x, y}, {x + a, y}, {x + a, y + b}};
    memcpy(corner, corners, sizeof corners);
    *o = (snub_obstacle){.name = "o", .shape = shapes[kind], .from = {x, y}, .to = {x + a, y - b}, .radius = 0.2 * b};
    o->corners = kind == 2 ? 3 : 0;
    o->corner = corner;
    o->low = 0.06 * chance(seed) - 0.04;
    o->high = o->low + a;
    o->relief = o->clearance = NAN;
}

/* What is to be kept decides which of all pieces are listed, and changes nothing else: what a great clearance lists
 * holds every gap there is. */
static void of_all(void **state)
{
    enum { ROUNDS = 3000 };
    unsigned seed = 7;
    int listed = 0;
    (void)state;
    scene *s = look(", flanges: {rear: 5, width: 2}", "{name: o, circle: {at: [150, 0], diameter: 9}, z: [0, 9]}", 0);
    snub_hardware hardware = *s->text.drive.hardware;
    snub_obstacle one;
    double corner[3][2];
    hardware.obstacles = &one;
    s->text.drive.hardware = &hardware;
    for (int k = 0; k < ROUNDS; k++) {
        static const double wide = 2.0, narrow = 0.02, flap = 0.03;
        snub_conflict all[32], few[32];
        int all_count, few_count, found, next = 0;
        figure(&seed, k % 3, corner, &one);
        snub_obstacle_conflicts(&s->text.drive, &s->path, NULL, SNUB_RUNS, wide, flap, all, 32, &all_count, &found);
        snub_obstacle_conflicts(&s->text.drive, &s->path, NULL, SNUB_RUNS, narrow, flap, few, 32, &few_count, &found);
        for (int i = 0; i < all_count; i++) {
            const double plane = fmax(all[i].plane_gap - all[i].flap, 0.0), axial = fmax(all[i].axial_gap, 0.0);
            if (hypot(plane, axial) > narrow - 5e-7)
                continue;
            int at = 0;
            while (at < few_count && (few[at].piece != all[i].piece || few[at].index != all[i].index))
                at++;
            assert_in_range(at, 0, few_count - 1);
            assert_near("gap", few[at].gap, all[i].gap, 0, "m");
            next++;
        }
        assert_int_equal(few_count, next);
        listed += next;
    }
    done(s);
    assert_in_range(listed, ROUNDS / 4, 8 * ROUNDS);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(relieve),  cmocka_unit_test(face_off),        cmocka_unit_test(trim),
        cmocka_unit_test(in_space), cmocka_unit_test(span_depth),      cmocka_unit_test(misses),
        cmocka_unit_test(bounded),  cmocka_unit_test(too_many),        cmocka_unit_test(cut_free),
        cmocka_unit_test(cut_face), cmocka_unit_test(half_is_wrapped), cmocka_unit_test(of_all)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
