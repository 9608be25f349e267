/* The list of cautions as such, which of them a build calls for, and how a terminal shows them. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <string.h>

#include "kit/finding.h"
#include "report/cautions.h"

#define BIT(name) SNUB_CAUTION_BIT(SNUB_CAUTION_##name)

/* A drive of two pulleys, the crank first; no arm, no lock, no blower. */
typedef struct bare {
    snub_pulley pulleys[2];
    snub_drive drive;
    snub_finding finding;
    snub_build build;
} bare;

static void make_bare(bare *b)
{
    *b = (bare){.pulleys = {{.name = "crank"}, {.name = "blower"}}};
    b->drive = (snub_drive){.pulley_count = 2, .pulleys = b->pulleys, .crank = 0, .arm = -1, .locked = -1};
    b->build.drive = &b->drive;
}

static void find(bare *b, snub_wording wording, const char *pulley)
{
    b->finding = (snub_finding){.wording = wording, .pulley = pulley};
    b->build.findings = (snub_findings){.items = &b->finding, .count = 1};
}

static void no_two_are_alike(void **state)
{
    (void)state;
    for (int i = 0; i < SNUB_CAUTIONS_; i++) {
        const snub_caution_info *one = snub_caution_describe((snub_caution)i);
        const size_t length = strlen(one->words);
        assert_true(one->id[0] != '\0' && length > 20);
        assert_int_equal(one->words[length - 1], '.');
        for (int k = 0; k < i; k++) {
            assert_string_not_equal(one->id, snub_caution_describe((snub_caution)k)->id);
            assert_string_not_equal(one->words, snub_caution_describe((snub_caution)k)->words);
        }
    }
}

/* Places stand in the order of the work, and the gravest first in each: signal words count from DANGER on. */
static void places_are_in_order_and_the_gravest_first(void **state)
{
    (void)state;
    snub_caution_set all = 0;
    for (int place = 0; place < SNUB_PLACES_; place++) {
        assert_int_not_equal(snub_cautions_at((snub_caution_place)place), 0);
        all |= snub_cautions_at((snub_caution_place)place);
    }
    assert_int_equal(all, (uint64_t)SNUB_CAUTION_BIT(SNUB_CAUTIONS_ - 1) * 2 - 1); /* the sheet has every one */
    for (int i = 1; i < SNUB_CAUTIONS_; i++) {
        const snub_caution_info *before = snub_caution_describe((snub_caution)(i - 1));
        const snub_caution_info *one = snub_caution_describe((snub_caution)i);
        assert_true(before->place < one->place || (before->place == one->place && before->signal <= one->signal));
    }
}

static void only_a_spring_arm_is_warned_of(void **state)
{
    (void)state;
    for (int i = 0; i < SNUB_CAUTIONS_; i++) {
        const snub_caution_info *one = snub_caution_describe((snub_caution)i);
        assert_int_equal(strstr(one->words, "spring") != NULL, one->when == SNUB_WHEN_ARM);
    }
}

static void what_may_burst_snap_or_break_is_a_warning(void **state)
{
    (void)state;
    const snub_caution grave[] = {SNUB_CAUTION_OVERSPEED, SNUB_CAUTION_PRYING, SNUB_CAUTION_STRETCHED};
    for (size_t i = 0; i < sizeof grave / sizeof grave[0]; i++)
        assert_int_equal(snub_caution_describe(grave[i])->signal, SNUB_SIGNAL_WARNING);
}

static void what_the_drive_has_decides(void **state)
{
    (void)state;
    const snub_caution_set sometimes = BIT(SPRING) | BIT(LOCK) | BIT(TUNED) | BIT(METAL) | BIT(CRANK);
    const snub_caution_set always = (SNUB_CAUTION_BIT(SNUB_CAUTIONS_ - 1) * 2 - 1) & ~sometimes;
    bare b;
    make_bare(&b);
    assert_int_equal(snub_cautions_of(&b.build), always);
    assert_int_equal(snub_cautions_always(), always);
    b.drive.arm = 1;
    assert_int_equal(snub_cautions_of(&b.build), always | BIT(SPRING));
    b.drive.arm = -1;
    b.drive.locked = 1;
    assert_int_equal(snub_cautions_of(&b.build), always | BIT(LOCK));
    b.drive.locked = -1;
    b.pulleys[1].has_blower = true;
    assert_int_equal(snub_cautions_of(&b.build), always | BIT(TUNED));
    b.pulleys[1].has_blower = false;
    find(&b, SNUB_SAYS_BELT_TOO_FAST, NULL);
    assert_int_equal(snub_cautions_of(&b.build), always | BIT(CRANK));
    find(&b, SNUB_SAYS_TOO_CLOSE, "blower");
    snub_finding_number(&b.finding, "relief", 0.003, SNUB_UNIT_MM, 1);
    assert_int_equal(snub_cautions_of(&b.build), always | BIT(METAL));
}

/* A wording that speaks of the crank's pulley or its speed advises another one; whoever writes the next one is told. */
static void every_wording_that_names_the_crank_pulley_calls_for_it(void **state)
{
    (void)state;
    int named = 0;
    for (int w = 0; w < SNUB_WORDINGS_; w++) {
        const char *words = snub_wording_describe((snub_wording)w)->words;
        const bool names = strstr(words, "crank pulley") != NULL || strstr(words, "crank speed") != NULL;
        bare b;
        make_bare(&b);
        find(&b, (snub_wording)w, "blower");
        if (((snub_cautions_advised(&b.build, SNUB_ALL_AREAS) & BIT(CRANK)) != 0) != names)
            fail_msg("the caution on the crank pulley and this wording differ: %s", words);
        named += names;
    }
    assert_true(named >= 5);
}

/* "Use a larger pulley" of the crank's own is another crank pulley. */
static void another_pulley_of_the_crank_calls_for_it(void **state)
{
    (void)state;
    static const char *const pieces[] = {"a larger pulley.", "Use a larger one", "with more grooves",
                                         "use a smaller one"};
    for (int w = 0; w < SNUB_WORDINGS_; w++) {
        const snub_wording_info *info = snub_wording_describe((snub_wording)w);
        bool other = false;
        bare b;
        for (size_t i = 0; i < sizeof pieces / sizeof pieces[0]; i++)
            other = other || strstr(info->words, pieces[i]) != NULL;
        /* bearings and standoffs are no matter of the crank */
        if (!other || snub_rule_describe(info->rule)->area == SNUB_AREA_HARDWARE)
            continue;
        make_bare(&b);
        find(&b, (snub_wording)w, "crank");
        if (!(snub_cautions_advised(&b.build, SNUB_ALL_AREAS) & BIT(CRANK)))
            fail_msg("of the crank this wording advises another pulley: %s", info->words);
    }
    bare b;
    make_bare(&b);
    find(&b, SNUB_SAYS_RUNS_INTO, "crank"); /* a lip to be trimmed: the damper is not machined */
    snub_finding_number(&b.finding, "trim", 0.002, SNUB_UNIT_MM, 1);
    assert_int_equal(snub_cautions_advised(&b.build, SNUB_ALL_AREAS), BIT(CRANK));
    b.finding.pulley = "blower";
    assert_int_equal(snub_cautions_advised(&b.build, SNUB_ALL_AREAS), 0);
}

static void findings_of_other_areas_call_for_nothing(void **state)
{
    (void)state;
    bare b;
    make_bare(&b);
    find(&b, SNUB_SAYS_PULLEY_TOO_FAST, "blower");
    assert_int_equal(snub_cautions_advised(&b.build, SNUB_AREAS_OF_CHECK), BIT(CRANK) | BIT(OVERSPEED));
    assert_int_equal(snub_cautions_advised(&b.build, SNUB_AREAS_OF_MOUNT), 0);
    find(&b, SNUB_SAYS_ROTOR_TOO_FAST, "blower");
    assert_int_equal(snub_cautions_advised(&b.build, SNUB_AREAS_OF_CHECK), BIT(CRANK) | BIT(OVERSPEED));
    find(&b, SNUB_SAYS_NOTHING_TAKES_UP, NULL);
    assert_int_equal(snub_cautions_advised(&b.build, SNUB_ALL_AREAS), BIT(PRYING));
    find(&b, SNUB_SAYS_BOLT_OVER_PROOF, NULL);
    assert_int_equal(snub_cautions_advised(&b.build, SNUB_ALL_AREAS), BIT(STRETCHED));
    find(&b, SNUB_SAYS_BOLT_MAY_PASS_PROOF, NULL);
    assert_int_equal(snub_cautions_advised(&b.build, SNUB_ALL_AREAS), BIT(STRETCHED));
}

static void a_terminal_shows_them_wrapped(void **state)
{
    (void)state;
    snub_text out = {0};
    snub_look look = {.width = 50};
    snub_cautions_show(BIT(EYES) | BIT(PLANE), &look, &out);
    assert_string_equal(out.data, "WARNING  Wear eye protection: clips, chips and\n"
                                  "         dirt fly.\n"
                                  "WARNING  Stay out of the belt's plane: a part that\n"
                                  "         lets go flies there.\n"
                                  "         more cautions: snub sheet FILE -o fitting.pdf\n");
    snub_text_free(&out);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_two_are_alike),
        cmocka_unit_test(places_are_in_order_and_the_gravest_first),
        cmocka_unit_test(only_a_spring_arm_is_warned_of),
        cmocka_unit_test(what_may_burst_snap_or_break_is_a_warning),
        cmocka_unit_test(what_the_drive_has_decides),
        cmocka_unit_test(every_wording_that_names_the_crank_pulley_calls_for_it),
        cmocka_unit_test(another_pulley_of_the_crank_calls_for_it),
        cmocka_unit_test(findings_of_other_areas_call_for_nothing),
        cmocka_unit_test(a_terminal_shows_them_wrapped),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
