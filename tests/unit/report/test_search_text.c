/* What is said of the kits of a proposal: shares, the rule, that more of them fail, why there are none; and whether the
 * search settled. */
#include <math.h>
#include <string.h>

#include "snub/search_report.h"
#include "support/near.h"

static const snub_kits_came_to
    none_fails = {.samples = 200, .share = {0.0, 0.0183}, .rule = SNUB_RULES_},
    few_fail = {.samples = 200, .failing = 10, .share = {0.0242, 0.0900}, .rule = SNUB_RULE_GRIP, .rule_failing = 7},
    some_fail = {.samples = 200, .failing = 20, .share = {0.0622, 0.1502}, .rule = SNUB_RULE_GAP, .rule_failing = 20};

static void text_of_search(snub_search *search, char said[4000])
{
    const snub_search_section section = {.aim_count = 1, .aims = {SNUB_AIM_GRIP}, .pulley = -1};
    const snub_document document = {.name = "kit.yaml"};
    const snub_locale locale = {0};
    const snub_look look = {.width = 80, .locale = &locale};
    const snub_search_answer answer = {.search = search, .document = &document};
    snub_text out = {0};
    search->section = &section;
    assert_int_equal(snub_text_search(&answer, &look, &out, NULL), SNUB_OK);
    assert_true(out.length < 4000);
    size_t length = 0;
    for (const char *at = out.data; *at != '\0'; at++) { /* without the breaks of its lines */
        const char c = *at == '\n' ? ' ' : *at;
        if (c != ' ' || length == 0 || said[length - 1] != ' ')
            said[length++] = c;
    }
    said[length] = '\0';
    snub_text_free(&out);
}

/* The text for kits of one proposal and of today's drive. */
static void text_of(snub_kits_came_to now, snub_kits_came_to today, char said[4000])
{
    snub_search search = {.today_kits = today, .proposal_count = 1};
    search.proposals[0].kits = now;
    text_of_search(&search, said);
}

static void says(snub_kits_came_to now, snub_kits_came_to today, const char *want)
{
    char said[4000];
    text_of(now, today, said);
    if (strstr(said, want) == NULL)
        fail_msg("want: %s\ngot: %s", want, said);
}

static void is_silent(snub_kits_came_to now, snub_kits_came_to today, const char *word)
{
    char said[4000];
    text_of(now, today, said);
    if (strstr(said, word) != NULL)
        fail_msg("not wanted: %s\ngot: %s", word, said);
}

static void shares(void **state)
{
    (void)state;
    says(few_fail, some_fail,
         "kits 10 of 200 fail, 5.0 % (2.4 to 9.0 %), most by grip; today 20 of 200 fail, 10.0 % (6.2 to 15.0 %), most "
         "by gap");
    says(none_fails, few_fail, "kits 0 of 200 fail, 0.0 % (0.0 to 1.8 %); today 10 of 200");
}

static void more_fail(void **state)
{
    const char *words = "more of its kits fail than today";
    (void)state;
    says(few_fail, none_fails, words);
    says(some_fail, none_fails, words);
    is_silent(some_fail, few_fail, words); /* their intervals meet */
    is_silent(few_fail, some_fail, words);
    is_silent(none_fails, few_fail, words);
    is_silent(some_fail, (snub_kits_came_to){.why_not = "no belt"}, words);
}

static void no_kits(void **state)
{
    (void)state;
    is_silent((snub_kits_came_to){0}, (snub_kits_came_to){0}, "kits");
    says(few_fail, (snub_kits_came_to){.why_not = "this build has no belt"}, "; today none: this build has no belt");
    says((snub_kits_came_to){.why_not = "this build has no belt"}, few_fail,
         "kits none: this build has no belt; today");
    says(few_fail, (snub_kits_came_to){0}, "; today none: stopped");
}

/* @param[in] want,never  words; NULL: none */
static void settles(snub_last_tenth tenth, bool converged, const char *want, const char *never)
{
    char said[4000];
    snub_search search = {.last_tenth = {tenth}, .converged = converged, .proposal_count = 1};
    text_of_search(&search, said);
    if ((want != NULL && strstr(said, want) == NULL) || (never != NULL && strstr(said, never) != NULL))
        fail_msg("want: %s\nnot: %s\ngot: %s", want, never, said);
}

static void whether_it_settled(void **state)
{
    const char *settle = "did not settle", *nothing = "gained nothing";
    (void)state;
    const snub_last_tenth gained = {12, 0.95, 0.91, true}, first = {12, NAN, 0.91, true},
                          none = {12, 0.91, 0.91, false}, few = {0, NAN, NAN, false}, holds_not = {12, NAN, NAN, false};
    settles(gained, false,
            "The last tenth of the candidates still gained: worst grip 0.910, before that 0.950. The search did", NULL);
    settles(gained, true, settle, nothing);
    settles(first, false, "worst grip 0.910, before that none held", nothing);
    settles(none, false, nothing, settle);
    settles(none, true, NULL, settle);
    settles(none, true, NULL, nothing);
    settles(few, false, settle, nothing);
    settles(holds_not, false, settle, nothing);
}

static void one_and_many(void **state)
{
    char said[4000];
    snub_search one = {.build_count = 1, .asked = 1}, many = {.build_count = 2, .asked = 40};
    (void)state;
    text_of_search(&one, said);
    assert_non_null(strstr(said, "1 build, 1 candidate, aim"));
    text_of_search(&many, said);
    assert_non_null(strstr(said, "2 builds, 40 candidates, aim"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(shares),       cmocka_unit_test(more_fail),
        cmocka_unit_test(no_kits),      cmocka_unit_test(whether_it_settled),
        cmocka_unit_test(one_and_many),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
