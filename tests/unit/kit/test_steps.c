/* Steps of fitting. Their order is held against what the words promise, over random hardware; the note against a table
 * of equal temperament; a span that is pulled across against a beam solved by finite differences. */
#include "kit/mark.h"
#include "kit/pluck.h"
#include "snub/locale.h"
#include "support/drive_text.h"

/* ---- random hardware on one front -------------------------------------------------------------------------------- */

enum { DRIVES = 60, MOUNTS_MOST = 3, BOLTS_MOST = 5 };

static unsigned long seed = 20261127;

static int pick(int count)
{
    seed = (seed * 6364136223846793005UL + 1442695040888963407UL) & 0xffffffffffffffffUL;
    return (int)((seed >> 33) % (unsigned long)count);
}

static void add_bolt(snub_text *t, const char *thread)
{
    snub_text_printf(t, "{thread: %s, class: 10.9, engagement: 14, condition: oiled%s}", thread,
                     pick(2) ? ", torque: 40" : "");
}

static void add_idler(snub_text *t, const char *name, int mounts, bool slot, bool locked)
{
    const bool standoff = pick(3) > 0, clamp = slot && pick(2);
    snub_text_printf(t, "  - {name: %s, side: back, diameter: 70", name);
    if (locked)
        snub_text_puts(t, ", slot: {from: [-96, 118], to: [-40, 136], setting: 20}, fixed_tension: 900");
    else if (slot)
        snub_text_puts(t, ", slot: {from: [-78, 318], to: [-32, 350], setting: 38}");
    else
        snub_text_puts(t, ", at: [132, 296]");
    if (mounts > 0 && pick(3) > 0)
        snub_text_printf(t, ", mount: m%d", pick(mounts));
    snub_text_printf(t, ", stack: [{name: pack, kind: shim, length: %d}, {name: rest, kind: standoff, length: %d}]",
                     pick(2), pick(40) - 20 > 0 ? pick(40) + 1 : 30);
    if (standoff) {
        snub_text_puts(t, ", standoff: {outside: 32, bore: 12.6, length: 46, bolt: ");
        add_bolt(t, "M12");
        snub_text_puts(t, "}");
    }
    if (clamp) {
        snub_text_puts(t, ", clamp: {bolt: ");
        add_bolt(t, "M10");
        snub_text_puts(t, "}");
    }
    snub_text_puts(t, "}\n");
}

static void add_mounts(snub_text *t, int mounts)
{
    snub_text_puts(t, mounts > 0 ? "mounts:\n" : "");
    for (int m = 0; m < mounts; m++) {
        const int bolts = 1 + pick(BOLTS_MOST);
        snub_text_printf(
            t,
            "  - name: m%d\n    stack: [{name: face, kind: face, length: %d}, {name: plate, kind: bracket, "
            "length: 14}%s]\n    bracket: {thickness: 14}\n    bolts:\n",
            m, pick(100) - 70, pick(2) ? ", {name: pack, kind: shim, length: 0}" : "");
        for (int b = 0; b < bolts; b++)
            snub_text_printf(t, "      - {name: b%d, at: [%d, %d], thread: M8, class: 10.9, condition: oiled%s%s}\n", b,
                             pick(200) - 100, 200 + pick(150), pick(2) ? ", torque: 25" : "",
                             pick(3) == 0 ? ", locates: true" : "");
    }
}

/* Tensioner: an arm, a lock, or neither. */
static void random_drive(snub_text *t)
{
    const int mounts = pick(MOUNTS_MOST + 1), tensioner = pick(4);
    snub_text_puts(t, "snub: 1\nengine: {displacement: 3.6 L, cylinders: 6, idle: 700, redline: 5000, "
                      "volumetric_efficiency: [[700, 0.7], [5000, 0.8]]}\n"
                      "belt: {section: PK, ribs: 7, stock: {from: 1700, to: 2000, step: 3}, tolerance: 2}\npulleys:\n"
                      "  - {name: crank, role: crank, at: [0, 0], diameter: 162}\n");
    if (tensioner == 0)
        add_idler(t, "tensioner", mounts, true, true);
    else if (tensioner > 1)
        snub_text_puts(t, "  - {name: tensioner, side: back, diameter: 72, arm: {pivot: [-114, 208], length: 94, free: "
                          "-22, loads: cw, travel: 58, preload: 34, rate: 0.9 N m/deg, damping: 0.12}}\n");
    snub_text_puts(t, "  - {name: alternator, at: [-204, 268], diameter: 58, load: [[2400, 8], [11000, 4]]}\n");
    add_idler(t, "idler", mounts, pick(3) > 0, false);
    snub_text_puts(t, "  - {name: blower, at: [46, 384], diameter: 88, blower: {kind: twin-screw, swept: 1.45 L, "
                      "internal_ratio: 1.25}}\n");
    snub_text_puts(t,
                   "  - {name: steering, at: [236, 238], diameter: 126, stack: [{name: boss, kind: face, length: -43}, "
                   "{name: pack, kind: shim, length: 0}, {name: pump, kind: offset, length: 43}]}\n"
                   "  - {name: compressor, at: [276, 22], diameter: 118, load: [[900, 5], [8000, 8]]}\n");
    add_mounts(t, mounts);
    if (pick(2))
        snub_text_puts(t, "shims: [0.15, 0.35, 0.9]\n");
    if (pick(2))
        snub_text_puts(t, "obstacles:\n  - {name: lug, circle: {at: [300, -42], diameter: 30}, z: [-64, 20]}\n");
}

/* ---- what is asked of the order ---------------------------------------------------------------------------------- */

/* Place of the first step of a kind about a pulley, a mount, a bolt (-1: of any); -1: there is none. */
static int find(const snub_steps *s, snub_step_kind kind, int pulley, int mount, int bolt)
{
    for (int i = 0; i < s->count; i++) {
        const snub_step *step = &s->items[i];
        if (step->kind == kind && (pulley < 0 || step->pulley == pulley) && (mount < 0 || step->mount == mount) &&
            (bolt < 0 || step->bolt == bolt))
            return i;
    }
    return -1;
}

static int times(const snub_steps *s, snub_step_kind kind, int pulley, int mount, int bolt)
{
    int n = 0;
    for (int i = 0; i < s->count; i++)
        n += s->items[i].kind == kind && s->items[i].pulley == pulley && s->items[i].mount == mount &&
             s->items[i].bolt == bolt;
    return n;
}

static void assert_before(int a, int b)
{
    assert_true(a >= 0 && b >= 0);
    assert_true(a < b);
}

static void mounts_are_in_order(const snub_build *build, const snub_steps *s)
{
    const snub_hardware_report *r = build->report;
    for (int m = 0; m < r->mount_count; m++) {
        const snub_mount *mount = r->mounts[m].mount;
        const int placed = find(s, SNUB_STEP_PLACE, -1, m, -1);
        assert_int_equal(times(s, SNUB_STEP_PLACE, -1, m, -1), 1);
        for (int b = 0; b < mount->bolt_count; b++) {
            const int tight = find(s, SNUB_STEP_BOLT, -1, m, b);
            assert_int_equal(times(s, SNUB_STEP_BOLT, -1, m, b), 1);
            assert_before(placed, tight);
            if (mount->bolt_count > 1)
                assert_before(find(s, SNUB_STEP_FIRST_ROUND, -1, m, -1), tight);
            for (int other = 0; mount->bolts[b].locates && other < mount->bolt_count; other++) {
                if (!mount->bolts[other].locates)
                    assert_before(tight, find(s, SNUB_STEP_BOLT, -1, m, other));
            }
        }
        for (int i = 0; i < build->drive->pulley_count; i++) {
            const int fit = find(s, SNUB_STEP_FIT, i, -1, -1);
            if (build->drive->hardware->pulleys[i].mount == m && fit >= 0)
                assert_before(find(s, SNUB_STEP_BOLT, -1, m, -1), fit);
        }
    }
}

/* No torque before its setting; each bolt for good once; the belt after every pulley. */
static void pulleys_are_in_order(const snub_build *build, const snub_steps *s)
{
    const snub_drive *drive = build->drive;
    const int lay = find(s, SNUB_STEP_LAY, -1, -1, -1), slack = find(s, SNUB_STEP_SLACKEN, -1, -1, -1);
    for (int i = 0; i < drive->pulley_count; i++) {
        const snub_pulley_hardware *h = drive->hardware != NULL ? &drive->hardware->pulleys[i] : NULL;
        const bool slot = drive->pulleys[i].sits == SNUB_ON_SLOT;
        const int fit = find(s, SNUB_STEP_FIT, i, -1, -1), clamp = find(s, SNUB_STEP_CLAMP, i, -1, -1);
        const bool comes_on =
            drive->pulleys[i].side == SNUB_BACK || drive->pulleys[i].has_blower || (h != NULL && h->standoff.given);
        assert_int_equal(times(s, SNUB_STEP_FIT, i, -1, -1), comes_on || fit >= 0);
        if (fit >= 0)
            assert_before(fit, lay);
        assert_int_equal(times(s, SNUB_STEP_CLAMP, i, -1, -1), slot);
        if (!slot)
            continue;
        assert_int_equal(s->items[fit].tightens, h != NULL && h->standoff.given && h->clamp.given);
        assert_true(s->items[clamp].tightens);
        if (i == drive->locked) {
            assert_before(fit, slack);
            assert_before(slack, lay);
            assert_before(lay, find(s, SNUB_STEP_TENSION, i, -1, -1));
            assert_before(find(s, SNUB_STEP_TENSION, i, -1, -1), clamp);
            assert_int_equal(find(s, SNUB_STEP_SET, i, -1, -1), -1);
        } else {
            assert_before(fit, find(s, SNUB_STEP_SET, i, -1, -1));
            assert_before(find(s, SNUB_STEP_SET, i, -1, -1), clamp);
            assert_before(clamp, lay);
        }
    }
    assert_int_equal(slack >= 0, drive->locked >= 0);
    assert_before(lay, find(s, SNUB_STEP_TURN, -1, -1, -1));
}

/* Shims under what they shim, reliefs before all iron. */
static void shims_and_reliefs_come_first(const snub_build *build, const snub_steps *s)
{
    const snub_hardware_report *r = build->report;
    int shims = 0;
    for (int i = 0; i < s->count; i++) {
        const snub_step *step = &s->items[i];
        shims += step->kind == SNUB_STEP_SHIMS;
        if (step->kind == SNUB_STEP_SHIMS && step->mount >= 0)
            assert_before(i, find(s, SNUB_STEP_PLACE, -1, step->mount, -1));
        if (step->kind == SNUB_STEP_SHIMS && step->pulley >= 0 && find(s, SNUB_STEP_FIT, step->pulley, -1, -1) >= 0)
            assert_before(i, find(s, SNUB_STEP_FIT, step->pulley, -1, -1));
        for (int k = 0; step->kind == SNUB_STEP_CLEARANCE && k < i; k++)
            assert_true(s->items[k].kind <= SNUB_STEP_CLEARANCE && !s->items[k].tightens);
    }
    assert_int_equal(shims, r->shims.asked ? r->shims.places : 0);
    int reliefs = 0;
    for (int i = 0; i < s->count; i++)
        reliefs += s->items[i].kind == SNUB_STEP_CLEARANCE;
    assert_int_equal(reliefs, r->conflict_count);
}

/* What lies deeper first, but for what waits for its bracket. */
static void deeper_comes_first(const snub_build *build, const snub_steps *s)
{
    const snub_hardware *h = build->drive->hardware;
    for (int a = 0; a < s->count; a++) {
        for (int b = a + 1; b < s->count; b++) {
            if (s->items[a].kind != SNUB_STEP_FIT || s->items[b].kind != SNUB_STEP_FIT)
                continue;
            const int i = s->items[a].pulley, j = s->items[b].pulley, m = h->pulleys[j].mount;
            const bool deeper = build->drive->pulleys[j].plane < build->drive->pulleys[i].plane - 1e-9;
            if (deeper)
                assert_true(m >= 0 && find(s, SNUB_STEP_PLACE, -1, m, -1) > a);
        }
    }
}

static void the_whole_is_in_order(const snub_build *build, const snub_steps *s)
{
    const bool arm = build->drive->arm >= 0;
    for (int i = 0; i < s->count; i++) {
        const snub_step *step = &s->items[i];
        assert_true(i == 0 || step->place >= s->items[i - 1].place); /* or a caution would come after its step */
        assert_true(step->tightens || isnan(step->torque));
        for (int k = 0; k < i; k++)
            assert_string_not_equal(step->id, s->items[k].id);
        for (int k = 0; k < step->says_count; k++) {
            const snub_step_wording w = step->says[k];
            const bool of_arm = w == SNUB_STEP_SAYS_EASE || w == SNUB_STEP_SAYS_LAY_ARM ||
                                w == SNUB_STEP_SAYS_READ_ARM || w == SNUB_STEP_SAYS_HEAT_ARM ||
                                w == SNUB_STEP_SAYS_OLD_BELT_ARM || w == SNUB_STEP_SAYS_FIT_ARM;
            assert_true(arm || !of_arm);
        }
    }
    assert_int_equal(find(s, SNUB_STEP_EASE, -1, -1, -1) >= 0, arm);
    assert_int_equal(s->items[s->count - 1].kind, SNUB_STEP_LOAD);
}

static void steps_of_random_drives_are_in_order(void **state)
{
    const snub_build_request as_written = {0};
    int all = 0, arms = 0, locks = 0, reliefs = 0, shims = 0, slots = 0;
    (void)state;
    for (int k = 0; k < DRIVES; k++) {
        snub_text text = {0};
        drive_text t;
        snub_build build;
        snub_steps steps;
        snub_error error;
        random_drive(&text);
        drive_text_open(&t, text.data);
        assert_int_equal(snub_build_of_drive(&t.drive, &as_written, &t.arena, &build, &error), SNUB_OK);
        assert_int_equal(snub_steps_list(&build, &t.arena, &steps, &error), SNUB_OK);
        if (build.report == NULL) { /* no belt fits: it fails, and has no sheet */
            assert_int_equal(build.verdict, SNUB_FAIL);
            drive_text_close(&t);
            snub_text_free(&text);
            continue;
        }
        mounts_are_in_order(&build, &steps);
        pulleys_are_in_order(&build, &steps);
        shims_and_reliefs_come_first(&build, &steps);
        deeper_comes_first(&build, &steps);
        the_whole_is_in_order(&build, &steps);
        all++;
        arms += build.drive->arm >= 0;
        locks += build.drive->locked >= 0;
        reliefs += build.report->conflict_count > 0;
        shims += build.report->shims.asked;
        slots += find(&steps, SNUB_STEP_SET, -1, -1, -1) >= 0;
        drive_text_close(&t);
        snub_text_free(&text);
    }
    /* or nothing was looked at */
    print_message("%d with an arm, %d locked, %d in all\n", arms, locks, all);
    assert_true(all > 40 && arms > 5 && locks > 5 && arms + locks < all && reliefs > 5 && shims > 5 && slots > 5);
}

/* ---- by ear ------------------------------------------------------------------------------------------------------ */

/* Frequencies of equal temperament as tables of them print them, to 0.01 Hz. */
static void notes_are_those_of_the_tables(void **state)
{
    static const struct {
        double frequency;
        int pitch, octave;
    } table[] = {{55.00, 9, 1},  {82.41, 4, 2},  {110.00, 9, 2}, {116.54, 10, 2}, {123.47, 11, 2}, {130.81, 0, 3},
                 {138.59, 1, 3}, {261.63, 0, 4}, {440.00, 9, 4}, {987.77, 11, 5}, {4186.01, 0, 8}};
    snub_note note;
    (void)state;
    for (size_t i = 0; i < sizeof table / sizeof table[0]; i++) {
        assert_true(snub_note_of(table[i].frequency, &note));
        assert_int_equal(note.pitch, table[i].pitch);
        assert_int_equal(note.octave, table[i].octave);
        assert_int_equal(note.cents, 0);
    }
    /* Midway between A2 and A2 sharp is 50 cents; a third of a tone is 2^(1/18). */
    assert_true(snub_note_of(110 * pow(2, 1.0 / 25), &note));
    assert_int_equal(note.pitch, 9);
    assert_int_equal(note.cents, 48);
    assert_true(snub_note_of(110 * pow(2, 1.0 / 18), &note));
    assert_int_equal(note.pitch, 10);
    assert_int_equal(note.cents, -33);
    assert_false(snub_note_of(54.9, &note));
    assert_false(snub_note_of(4300, &note));
    assert_false(snub_note_of(NAN, &note));
    assert_near("an octave", snub_cents(110, 220), 1200, 1e-9, "cents");
    assert_near("a fifth", snub_cents(200, 300), 701.955, 1e-3, "cents");
}

/* ---- pulled across ----------------------------------------------------------------------------------------------- */

/* Half of the span between its clamped end and the hook, by finite differences: EI w'''' - T w'' = 0, w and w' nought
 * at the end, w' nought and the shear F/2 at the hook; T from the length of the curve, by iteration. Banded, solved by
 * Gauss elimination without exchange. */
enum { CELLS = 400, BAND = 2 };

static double beam_middle(double length, double tension, double bending, double force)
{
    const double h = 0.5 * length / CELLS, b = bending / (h * h * h * h), t = tension / (h * h);
    static double a[CELLS + 1][2 * BAND + 1], y[CELLS + 1];
    memset(a, 0, sizeof a);
    memset(y, 0, sizeof y);
    /* rows 1..CELLS for w_1..w_CELLS; w_0 = 0, w_-1 = w_1; at the hook w_N+1 = w_N-1, w_N+2 follows from the shear */
    for (int i = 1; i <= CELLS; i++) {
        const double row[5] = {b, -4 * b - t, 6 * b + 2 * t, -4 * b - t, b};
        for (int k = -2; k <= 2; k++) {
            int j = i + k;
            double extra = 0;
            if (j > CELLS + 1) { /* EI w''' = -F/2 + T w', w' = 0: (w_N+2 - 2 w_N+1 + 2 w_N-1 - w_N-2)/(2 h^3) */
                extra = -0.5 * force / bending * 2 * h * h * h;
                j = CELLS - 2;
            } else if (j > CELLS) {
                j = 2 * CELLS - j;
            }
            j = j < 0 ? -j : j;
            y[i] -= row[k + 2] * extra;
            if (j > 0)
                a[i][j - i + BAND] += row[k + 2];
        }
    }
    for (int i = 1; i <= CELLS; i++)
        for (int r = i + 1; r <= i + BAND && r <= CELLS; r++) {
            const double f = a[r][i - r + BAND] / a[i][BAND];
            for (int c = i; c <= i + BAND && c <= CELLS; c++)
                a[r][c - r + BAND] -= f * a[i][c - i + BAND];
            y[r] -= f * y[i];
        }
    for (int i = CELLS; i >= 1; i--) {
        for (int c = i + 1; c <= i + BAND && c <= CELLS; c++)
            y[i] -= a[i][c - i + BAND] * y[c];
        y[i] /= a[i][BAND];
    }
    return y[CELLS];
}

static void a_pulled_span_is_a_beam_under_tension(void **state)
{
    static const double cases[][3] = {
        /* length m, tension N, force N */ {0.28, 1180, 50}, {0.2, 600, 50}, {0.1, 900, 25}};
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const double length = cases[i][0], tension = cases[i][1], force = cases[i][2], bending = 0.0175;
        const snub_pull stiff = {length, tension, 0, bending, length}, limp = {length, tension, 0, 0, length};
        const double want = beam_middle(length, tension, bending, force);
        /* Small deflections there; ours has straight halves: d/half less a share of 2 (d/L)^2. */
        const double share = 3 * (want / length) * (want / length) + 1e-4;
        assert_near("beam", snub_pull_deflection(&stiff, force), want, want * share, "m");
        const double string = force * length / (4 * tension);
        assert_near("string", snub_pull_deflection(&limp, force), string, string * share, "m");
        assert_true(want < 0.97 * string);
    }
}

/* Stretch: the force that belongs to the triangle's own geometry, by its three sides. */
static void a_pulled_span_stretches(void **state)
{
    const double length = 0.276, tension = 1180, stiffness = 196000, force = 100;
    (void)state;
    for (int k = 1; k <= 7; k += 6) {
        const snub_pull p = {length, tension, stiffness, 0, k * length};
        const double d = snub_pull_deflection(&p, force), half = sqrt(length * length / 4 + d * d);
        const double now = tension + stiffness * (2 * half - length) / (k * length);
        assert_near("force", 2 * now * d / half, force, 1e-6, "N");
        assert_true(d < force * length / (4 * tension));
    }
    const snub_pull slack = {length, 0, stiffness, 0, length}, none = {0, tension, stiffness, 0, length};
    assert_true(isnan(snub_pull_deflection(&slack, force)) && isnan(snub_pull_deflection(&none, force)));
}

/* ---- what the file says of its steps ----------------------------------------------------------------------------- */

/* A drive with a slot, a bracket without bolts' torque, and these lines under `steps:`. */
static snub_status steps_with(drive_text *t, const char *lines, snub_build *build, snub_steps *steps, snub_error *error)
{
    const snub_build_request as_written = {0};
    char text[2000];
    snprintf(text, sizeof text,
             "snub: 1\nbelt: {section: PK, ribs: 6, tolerance: 2, stock: {from: 1000, to: 1900, step: 1}}\npulleys:\n"
             "  - {name: crank, role: crank, at: [0, 0], diameter: 150}\n"
             "  - {name: idler, side: back, diameter: 70, slot: {from: [-95, 180], to: [-65, 210], setting: 20}}\n"
             "  - {name: fan, at: [0, 380], diameter: 110}\n"
             "  - {name: pump, at: [200, 200], diameter: 120}\n"
             "mounts:\n  - name: plate\n    bolts:\n"
             "      - {name: low, at: [-150, 150], thread: M8, class: 8.8, torque: 20, condition: oiled}\n"
             "      - {name: high, at: [-150, 250], thread: M8, class: 8.8, torque: 20, condition: oiled}\nsteps:\n%s",
             lines);
    drive_text_open(t, text);
    assert_int_equal(snub_build_of_drive(&t->drive, &as_written, &t->arena, build, error), SNUB_OK);
    return snub_steps_list(build, &t->arena, steps, error);
}

static int place_of(const snub_steps *s, const char *id)
{
    for (int i = 0; i < s->count; i++) {
        if (strcmp(s->items[i].id, id) == 0)
            return i;
    }
    return -1;
}

static bool says(const snub_step *step, snub_step_wording wording)
{
    for (int i = 0; i < step->says_count; i++) {
        if (step->says[i] == wording)
            return true;
    }
    return false;
}

static void a_step_is_reworded_added_and_left_out(void **state)
{
    drive_text t;
    snub_build build;
    snub_steps steps;
    snub_error error;
    (void)state;
    assert_int_equal(steps_with(&t,
                                "  second: {after: first, say: b}\n  first: {after: lay belt, say: a}\n"
                                "  third: {after: lay belt, say: c}\n  zeroth: {before: lay belt, say: z}\n"
                                "  early: {before: run at idle, say: e}\n"
                                "  set idler: {say: 'auf {set}'}\n  turn engine: {leave_out: on the bench}\n"
                                "  tighten low of plate: {say: fest}\n  tighten high of plate: {say: 'mit {torque}'}\n"
                                "  fit idler: {say: x}\n  clamp idler: {leave_out: pinned}\n",
                                &build, &steps, &error),
                     SNUB_OK);
    const int lay = place_of(&steps, "lay belt");
    assert_int_equal(place_of(&steps, "zeroth"), lay - 1);
    assert_true(place_of(&steps, "first") > lay && place_of(&steps, "third") > lay);
    assert_true(place_of(&steps, "second") > place_of(&steps, "first"));
    assert_true(place_of(&steps, "second") < place_of(&steps, "belt over last rim"));
    assert_int_equal(steps.items[place_of(&steps, "first")].place, SNUB_PLACE_BOLTS);
    assert_int_equal(place_of(&steps, "early"), place_of(&steps, "run at idle") - 1);
    assert_int_equal(steps.items[place_of(&steps, "early")].place, SNUB_PLACE_RUN); /* behind its cautions */
    assert_string_equal(steps.items[place_of(&steps, "set idler")].own, "auf {set}");
    assert_int_equal(steps.items[place_of(&steps, "set idler")].says_count, 0);
    assert_int_equal(place_of(&steps, "turn engine"), -1);
    assert_string_equal(steps.left_out[0]->leave_out, "on the bench");
    assert_int_equal(steps.left_out_count, 2);
    /* torques stay: behind words that lack them, within those that have them, and where the step is left out */
    const snub_step *low = &steps.items[place_of(&steps, "tighten low of plate")];
    assert_true(low->tightens && says(low, SNUB_STEP_SAYS_TORQUE));
    assert_near("torque", low->torque, 20, 1e-9, "N m");
    assert_int_equal(steps.items[place_of(&steps, "tighten high of plate")].says_count, 0);
    assert_int_equal(steps.items[place_of(&steps, "fit idler")].says_count, 0);
    assert_true(says(&steps.items[place_of(&steps, "clamp idler")], SNUB_STEP_SAYS_LEFT_OUT));
    for (int i = 1; i < steps.count; i++)
        assert_true(steps.items[i].place >= steps.items[i - 1].place);
    drive_text_close(&t);
}

static void a_step_that_there_is_not_is_an_error_with_the_nearest(void **state)
{
    static const struct {
        const char *line, *near;
    } wrong[] = {{"  set idlr: {say: a}\n", "did you mean 'set idler'"},
                 {"  tighten lou of plate: {leave_out: a}\n", "did you mean 'tighten low of plate'"},
                 {"  mine: {say: a}\n", "there is no step 'mine'"},
                 {"  mine: {after: lay belts, say: a}\n", "did you mean 'lay belt'"},
                 {"  mine: {after: mine, say: a}\n", "there is no step 'mine'"},
                 {"  lay belt: {before: turn engine, say: a}\n", "a name of its own"},
                 {"  set idler: {say: 'to {sett}'}\n", "{sett}"},
                 {"  mine: {after: lay belt, say: 'to {set}'}\n", "{set}"},
                 {"  fit idler: {say: 'x {torque}'}\n", "{torque}"}};
    (void)state;
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        drive_text t;
        snub_build build;
        snub_steps steps;
        snub_error error = {0};
        assert_int_equal(steps_with(&t, wrong[i].line, &build, &steps, &error), SNUB_BAD_INPUT);
        if (strstr(error.message, wrong[i].near) == NULL)
            fail_msg("%s: %s", wrong[i].line, error.message);
        assert_true(error.place.line > 0);
        drive_text_close(&t);
    }
}

/* Steps of other builds: of a tensioner, of shims, of what is cleared. */
static void a_step_of_another_build_waits_for_it(void **state)
{
    static const char *const elsewhere[] = {
        "ease arm",        "read arm",           "slacken fan",         "tension pump",
        "check mark pump", "shims pack of pump", "shims pack of plate", "bolt on brackets"};
    (void)state;
    for (size_t i = 0; i < sizeof elsewhere / sizeof elsewhere[0]; i++) {
        drive_text t;
        snub_build build;
        snub_steps steps;
        snub_error error = {0};
        char line[80];
        snprintf(line, sizeof line, "  %s: {say: a}\n", elsewhere[i]);
        assert_int_equal(steps_with(&t, line, &build, &steps, &error), SNUB_OK);
        assert_int_equal(place_of(&steps, elsewhere[i]), -1);
        drive_text_close(&t);
    }
}

/* ---- the idler's mark -------------------------------------------------------------------------------------------- */

/* A wide front: no fixed pulley within half a metre, so that only the belt can be read; or a fixed idler near by, with
 * another one before it or not. */
static void mark_of(drive_text *t, const char *idlers, const char *slot, snub_slot_mark *mark)
{
    const snub_build_request as_written = {0};
    char text[1500];
    snub_build build;
    snub_error error;
    snprintf(
        text, sizeof text,
        "snub: 1\nbelt: {section: PK, ribs: 6, tolerance: 4, stock: {from: 2500, to: 4200, step: 5}}\npulleys:\n"
        "  - {name: crank, role: crank, at: [0, 0], diameter: 150}\n"
        "  - {name: tensioner, side: back, diameter: 72, arm: {pivot: [-140, 520], length: 94, free: -22, loads: cw, "
        "travel: 58, preload: 34, rate: 0.9 N m/deg, damping: 0.12}}\n"
        "  - {name: left, at: [-360, 900], diameter: 60}\n%s"
        "  - {name: idler, side: back, diameter: 70, slot: {%s}}\n"
        "  - {name: right, at: [680, 900], diameter: 60}\n",
        idlers, slot);
    drive_text_open(t, text);
    assert_int_equal(snub_build_of_drive(&t->drive, &as_written, &t->arena, &build, &error), SNUB_OK);
    assert_true(build.settled);
    snub_slot_readings(&build, snub_drive_pulley(build.drive, "idler"), mark);
}

static const snub_slot_reading *best_of(const snub_slot_mark *mark)
{
    assert_true(mark->best >= 0);
    for (int i = 0; i < mark->count; i++)
        assert_true(mark->reading[i].score <= mark->reading[mark->best].score);
    return &mark->reading[mark->best];
}

static bool offers(const snub_slot_mark *mark, snub_slot_reading_kind kind)
{
    for (int i = 0; i < mark->count; i++) {
        if (mark->reading[i].kind == kind)
            return true;
    }
    return false;
}

static void a_mark_that_nothing_shows_is_told_to_be_so(void **state)
{
    drive_text t;
    snub_slot_mark mark;
    (void)state;
    /* straight down in the middle of a long span: nothing stands near enough to measure from */
    mark_of(&t, "", "from: [160, 840], to: [160, 780], setting: 30", &mark);
    const snub_slot_reading *best = best_of(&mark);
    assert_true(best->kind != SNUB_READS_CENTRES && best->kind != SNUB_READS_RIMS);
    assert_false(mark.tells);
    assert_near("short", mark.off[0], 0.005, 1e-12, "m");
    drive_text_close(&t);
    /* at the slot's end there is no room to be wrong on that side */
    mark_of(&t, "", "from: [160, 840], to: [160, 780], setting: 58", &mark);
    assert_near("over", mark.off[1], 0.002, 1e-9, "m");
    assert_near("short", mark.off[0], 0.005, 1e-12, "m");
    drive_text_close(&t);
}

static void rims_are_used_where_they_are_known_and_seen(void **state)
{
    static const char near[] = "  - {name: still, side: back, at: [20, 800], diameter: 70}\n";
    static const char grooved[] =
        "  - {name: still, side: back, at: [20, 800], diameter: 70, flanges: {front: 3, rear: 3}}\n";
    drive_text t;
    snub_slot_mark mark;
    (void)state;
    mark_of(&t, near, "from: [160, 815], to: [210, 815], setting: 25", &mark);
    const snub_slot_reading *best = best_of(&mark);
    assert_int_equal(best->kind, SNUB_READS_RIMS);
    assert_true(mark.tells);
    const double want = hypot(0.165, 0.015) - 0.070;
    assert_near("rims", best->nominal, want, 1e-12, "m");
    assert_near("short", best->at[0], hypot(0.160, 0.015) - 0.070, 1e-12, "m");
    assert_near("low", mark.low, want - 0.001, 1e-12, "m");
    assert_near("high", mark.high, want + 0.001, 1e-12, "m");
    /* 5 mm along, over 0.5 mm, both for one mm */
    assert_near("score", best->score, fabs(best->at[0] - want) / 0.0005 / 0.005, 1.0, "1/m");
    drive_text_close(&t);
    mark_of(&t, grooved, "from: [160, 815], to: [210, 815], setting: 25", &mark);
    assert_int_equal(best_of(&mark)->kind, SNUB_READS_CENTRES);
    assert_false(offers(&mark, SNUB_READS_RIMS));
    drive_text_close(&t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(steps_of_random_drives_are_in_order),
                                       cmocka_unit_test(notes_are_those_of_the_tables),
                                       cmocka_unit_test(a_step_is_reworded_added_and_left_out),
                                       cmocka_unit_test(a_step_that_there_is_not_is_an_error_with_the_nearest),
                                       cmocka_unit_test(a_step_of_another_build_waits_for_it),
                                       cmocka_unit_test(a_mark_that_nothing_shows_is_told_to_be_so),
                                       cmocka_unit_test(rims_are_used_where_they_are_known_and_seen),
                                       cmocka_unit_test(a_pulled_span_is_a_beam_under_tension),
                                       cmocka_unit_test(a_pulled_span_stretches)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
