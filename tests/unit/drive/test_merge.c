/* Two texts that were changed from one: what comes out means both, and keeps the comments of both. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "snub/drive.h"

static const char BASE[] = "snub: 1\n"
                           "# the belt\n"
                           "belt: {section: PK, ribs: 6, length: 1200}\n"
                           "engine:\n"
                           "  idle: 800 # warm\n"
                           "  redline: 6500\n"
                           "pulleys:\n"
                           "  - {name: crank, diameter: 150, at: [0, 0]}\n"
                           "  - name: blower\n"
                           "    diameter: 80\n"
                           "    at: [200, 100]\n";

/* The base with one piece exchanged; up to three times. */
static char *with(const char *text, const char *old, const char *now)
{
    const char *at = strstr(text, old);
    assert_non_null(at);
    const size_t room = strlen(text) + strlen(now) + 1;
    char *made = malloc(room);
    assert_non_null(made);
    snprintf(made, room, "%.*s%s%s", (int)(at - text), text, now, at + strlen(old));
    return made;
}

static snub_version version(const char *text)
{
    return (snub_version){text, strlen(text)};
}

typedef struct outcome {
    snub_arena arena;
    snub_merged merged;
    snub_status status;
} outcome;

static outcome merge(const char *base, const char *mine, const char *theirs, const snub_pick *picks, int count)
{
    outcome o = {0};
    snub_error error = {0};
    const snub_version b = version(base), m = version(mine), t = version(theirs);
    snub_arena_init(&o.arena, 0);
    o.status = snub_document_merge("kit.yaml", &b, &m, &t, picks, count, &o.arena, &o.merged, &error);
    return o;
}

static void expect_text(const char *base, const char *mine, const char *theirs, const char *want, const char *taken)
{
    outcome o = merge(base, mine, theirs, NULL, 0);
    assert_int_equal(o.status, SNUB_OK);
    assert_string_equal(o.merged.text, want);
    assert_int_equal(o.merged.length, strlen(want));
    char all[400] = "";
    for (int i = 0; i < o.merged.taken_count; i++)
        snprintf(all + strlen(all), sizeof all - strlen(all), "%s%s", i ? " " : "", o.merged.taken[i]);
    assert_string_equal(all, taken);
    snub_arena_free(&o.arena);
}

static void expect_clash(const char *base, const char *mine, const char *theirs, const char *want)
{
    outcome o = merge(base, mine, theirs, NULL, 0);
    assert_int_equal(o.status, SNUB_STOPPED);
    char all[2000] = "";
    for (int i = 0; i < o.merged.clash_count; i++) {
        const snub_clash *c = &o.merged.clashes[i];
        snprintf(all + strlen(all), sizeof all - strlen(all), "%s: %s, %s, %s\n", c->path, c->base ? c->base : "-",
                 c->mine ? c->mine : "-", c->theirs ? c->theirs : "-");
    }
    assert_string_equal(all, want);
    snub_arena_free(&o.arena);
}

static void one_side_alone(void **state)
{
    (void)state;
    char *mine = with(BASE, "1200", "1210");
    expect_text(BASE, mine, BASE, mine, "");
    expect_text(BASE, BASE, mine, mine, "belt.length");
    expect_text(BASE, mine, mine, mine, "");
    free(mine);
}

static void lines_apart(void **state)
{
    (void)state;
    char *mine = with(BASE, "6500", "7000"), *theirs = with(BASE, "80\n", "75 # small\n");
    char *want = with(mine, "80\n", "75 # small\n");
    expect_text(BASE, mine, theirs, want, "pulleys.blower.diameter");
    char *noted = with(theirs, "# the belt", "# the long belt"); /* a comment and a value of theirs */
    char *both = with(want, "# the belt", "# the long belt");
    expect_text(BASE, mine, noted, both, "pulleys.blower.diameter");
    char *only = with(BASE, "# warm", "# cold");
    char *last = with(mine, "# warm", "# cold");
    expect_text(BASE, mine, only, last, "");
    free(mine), free(theirs), free(want), free(noted), free(both), free(only), free(last);
}

static void one_line_two_keys(void **state)
{
    (void)state;
    char *mine = with(BASE, "ribs: 6", "ribs: 8"), *theirs = with(BASE, "1200}", "1300} # longer");
    char *want = with(mine, "1200}", "1300} # longer");
    expect_text(BASE, mine, theirs, want, "belt.length");
    expect_text(BASE, theirs, mine, want, "belt.ribs");
    free(mine), free(theirs), free(want);
}

static void keys_added_and_taken_out(void **state)
{
    (void)state;
    char *mine = with(BASE, "  redline: 6500\n", "  redline: 6500\n  accel: 3000 # mine\n");
    char *theirs = with(BASE, "  redline: 6500\n", "  redline: 6500\n  decel: 4000 # theirs\n");
    char *want = with(theirs, "4000 # theirs\n", "4000 # theirs\n  accel: 3000 # mine\n");
    expect_text(BASE, mine, theirs, want, "engine.decel");
    char *gone = with(BASE, ", length: 1200", ""), *ribs = with(BASE, "ribs: 6", "ribs: 7");
    char *left = with(ribs, ", length: 1200", "");
    expect_text(BASE, ribs, gone, left, "belt.length"); /* by the lines of theirs, and the value of mine */
    expect_text(BASE, gone, ribs, left, "belt.ribs");
    char *length = with(BASE, "1200", "1250");
    expect_clash(BASE, length, gone, "belt.length: 1200, 1250, -\n");
    expect_clash(BASE, gone, length, "belt.length: 1200, -, 1250\n");
    free(mine), free(theirs), free(want), free(gone), free(ribs), free(left), free(length);
}

static void pulleys_by_name(void **state)
{
    (void)state;
    char *mine = with(BASE, "  - name: blower\n", "  - {name: idler, diameter: 70, at: [90, 90]}\n  - name: blower\n");
    char *theirs = with(BASE, "150, at", "160, at");
    char *want = with(mine, "150, at", "160, at");
    expect_text(BASE, mine, theirs, want, "pulleys.crank.diameter");
    char *other =
        with(BASE, "    at: [200, 100]\n", "    at: [200, 100]\n  - {name: pump, diameter: 90, at: [5, 5]}\n");
    outcome o = merge(BASE, mine, other, NULL, 0); /* both changed the order: it decides the belt's way */
    assert_int_equal(o.status, SNUB_STOPPED);
    assert_int_equal(o.merged.clash_count, 1);
    assert_string_equal(o.merged.clashes[0].path, "pulleys");
    snub_arena_free(&o.arena);
    char *without = with(BASE, "  - {name: crank, diameter: 150, at: [0, 0]}\n", "");
    o = merge(BASE, theirs, without, NULL, 0); /* changed here, gone there */
    assert_int_equal(o.status, SNUB_STOPPED);
    assert_string_equal(o.merged.clashes[0].path, "pulleys.crank");
    snub_arena_free(&o.arena);
    free(mine), free(theirs), free(want), free(other), free(without);
}

static void a_clash_is_picked(void **state)
{
    (void)state;
    char *mine = with(BASE, "1200", "1210"), *theirs = with(BASE, "1200", "1220");
    char *theirs_more = with(theirs, "6500", "6600");
    expect_clash(BASE, mine, theirs_more, "belt.length: 1200, 1210, 1220\n");
    const snub_pick own = {"belt.length", true, "1220"}, other = {"belt.length", false, "1220"},
                    stale = {"belt.length", true, "1219"};
    outcome o = merge(BASE, mine, theirs_more, &own, 1);
    char *want = with(mine, "6500", "6600");
    assert_int_equal(o.status, SNUB_OK);
    assert_string_equal(o.merged.text, want);
    snub_arena_free(&o.arena);
    o = merge(BASE, mine, theirs_more, &other, 1);
    assert_int_equal(o.status, SNUB_OK);
    assert_string_equal(o.merged.text, theirs_more);
    snub_arena_free(&o.arena);
    o = merge(BASE, mine, theirs_more, &stale, 1); /* it was picked over another value than the one that is there */
    assert_int_equal(o.status, SNUB_STOPPED);
    snub_arena_free(&o.arena);
    char *same = with(BASE, "1200", "1210.0"); /* the same number */
    o = merge(BASE, mine, same, NULL, 0);
    assert_int_equal(o.status, SNUB_OK);
    snub_arena_free(&o.arena);
    free(mine), free(theirs), free(theirs_more), free(want), free(same);
}

static void comments_are_never_lost(void **state)
{
    (void)state;
    char *mine = with(BASE, "1200}", "1210} # mine"),
         *theirs = with(BASE, "ribs: 6, length: 1200}", "ribs: 8, length: 1200} # theirs");
    outcome o = merge(BASE, mine, theirs, NULL, 0); /* two comments on one line */
    assert_int_equal(o.status, SNUB_STOPPED);
    assert_int_equal(o.merged.clash_count, 1);
    assert_string_equal(o.merged.clashes[0].path, "");
    assert_string_equal(o.merged.clashes[0].mine, mine);
    assert_string_equal(o.merged.clashes[0].theirs, theirs);
    snub_arena_free(&o.arena);
    const snub_pick pick = {"", true, theirs};
    o = merge(BASE, mine, theirs, &pick, 1);
    assert_int_equal(o.status, SNUB_OK);
    assert_string_equal(o.merged.text, mine);
    snub_arena_free(&o.arena);
    free(mine), free(theirs);
}

static void text_that_is_no_yaml(void **state)
{
    (void)state;
    char *mine = with(BASE, "redline: 6500", "redline: [6500"), *theirs = with(BASE, "# the belt", "# a belt");
    char *want = with(mine, "# the belt", "# a belt");
    expect_text(BASE, mine, theirs, want, "");
    char *clash = with(BASE, "redline: 6500", "redline: 6600");
    outcome o = merge(BASE, mine, clash, NULL, 0);
    assert_int_equal(o.status, SNUB_STOPPED);
    assert_string_equal(o.merged.clashes[0].path, "");
    snub_arena_free(&o.arena);
    free(mine), free(theirs), free(want), free(clash);
}

/* Values of one key each, drawn at random on both sides: what comes out has every one of them. */
static void at_random(void **state)
{
    (void)state;
    enum { KEYS = 12, ROUNDS = 300 };
    srand(7);
    for (int round = 0; round < ROUNDS; round++) {
        snub_text text[4] = {0}; /* base, mine, theirs, want */
        const bool flow = rand() % 2;
        for (int s = 0; s < 4; s++)
            snub_text_puts(&text[s], flow ? "limits: {" : "limits:\n");
        for (int k = 0; k < KEYS; k++) {
            const int side = rand() % 4, value = rand() % 100; /* 1: mine, 2: theirs */
            for (int s = 0; s < 4; s++) {
                const int own = 1000 + k + ((side == 1 || side == 2) && (s == side || s == 3) ? 100 + value : 0);
                snub_text_printf(&text[s], flow ? "%sk%c: %d" : "%s  k%c: %d\n", flow && k ? ", " : "", 'a' + k, own);
            }
        }
        for (int s = 0; s < 4; s++)
            snub_text_puts(&text[s], flow ? "}\n" : "");
        outcome o = merge(text[0].data, text[1].data, text[2].data, NULL, 0);
        assert_int_equal(o.status, SNUB_OK);
        assert_string_equal(o.merged.text, text[3].data);
        snub_arena_free(&o.arena);
        for (int s = 0; s < 4; s++)
            snub_text_free(&text[s]);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_side_alone),
        cmocka_unit_test(lines_apart),
        cmocka_unit_test(one_line_two_keys),
        cmocka_unit_test(keys_added_and_taken_out),
        cmocka_unit_test(pulleys_by_name),
        cmocka_unit_test(a_clash_is_picked),
        cmocka_unit_test(comments_are_never_lost),
        cmocka_unit_test(text_that_is_no_yaml),
        cmocka_unit_test(at_random),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
