/* What a search hands out on the way: candidates for a file, and what its last tenth gained. A small drive whose idler
 * moves; nothing of it is compared with numbers of the search's own. */
#include <string.h>

#include "snub/search.h"
#include "snub/units.h"
#include "support/drive_text.h"
#include "support/near.h"

#define DRIVE                                                                                                          \
    "snub: 1\nengine: {displacement: 2.0 L, cylinders: 4, idle: 800 rpm, redline: 6500 rpm}\n"                         \
    "belt: {ribs: 6, stock: {from: 900, to: 1400, step: 5}}\npulleys:\n"                                               \
    "  - {name: crank, role: crank, at: [0, 0], diameter: 150}\n"                                                      \
    "  - {name: tensioner, side: back, diameter: 70, arm: {pivot: [-120, 75], length: 110, free: 40, loads: ccw,\n"    \
    "     travel: 32, preload: 20, rate: 0.4, damping: 0.2}}\n"                                                        \
    "  - {name: alternator, at: [-20, 320], diameter: 60, load: [[2000 rpm, 8], [12000 rpm, 4]]}\n"                    \
    "  - {name: idler, at: [90, 160], diameter: 70}\n"                                                                 \
    "search:\n  move: [{what: idler.at, within: {circle: {at: [90, 160], diameter: 80}}}]\n  hold: marginal\n"

enum { ASKED_MOST = 400 };

/* Best value of an aim among those that hold, before each candidate. */
typedef struct watched {
    const snub_search *search;
    snub_aim aim;
    double sign; /* 1: less is better */
    double best[ASKED_MOST + 1];
    int asked, stop_at;
} watched;

static double best_of(const watched *w)
{
    double best = NAN;
    for (int i = 0; i < w->search->tried_count; i++) {
        const snub_candidate_measures *m = &w->search->tried[i].came_to;
        if (m->whole && m->over == 0.0)
            best = fmin(best, w->sign * m->of[w->aim]);
    }
    return w->sign * best;
}

static bool watch(int done, int all, void *context)
{
    watched *w = context;
    assert_true(done <= all && done < ASKED_MOST);
    w->best[done] = best_of(w);
    w->asked = done;
    return w->stop_at == 0 || done < w->stop_at;
}

static void run(drive_text *t, const char *aim, snub_search_request *request, watched *w, snub_search *search)
{
    char text[4000];
    snub_errors errors = {0};
    snprintf(text, sizeof text, "%s  aims: [%s]\n", DRIVE, aim);
    drive_text_open(t, text);
    const snub_reading reading = {.units = t->units, .arena = &t->arena};
    w->search = search;
    request->go_on = watch;
    request->context = w;
    request->seed = (uint32_t)request->tries;
    request->named = (snub_named_rows){"", ""};
    const snub_status status = snub_search_drive(&t->document, &reading, request, search, &errors);
    drive_text_errors(&errors);
    assert_int_equal(status, SNUB_OK);
    w->best[search->asked] = best_of(w);
}

/* @param[in] worth  what a proposal must gain over today. @return whether the last tenth gained more */
static bool tenth(const char *aim, snub_aim of, double sign, double worth, int tries)
{
    drive_text t;
    snub_search search;
    watched w = {.aim = of, .sign = sign};
    snub_search_request request = {.tries = tries};
    run(&t, aim, &request, &w, &search);
    const snub_last_tenth *got = &search.last_tenth[0];
    assert_int_equal(got->candidates, search.asked / 10);
    const double before = w.best[search.asked - search.asked / 10], after = w.best[search.asked];
    assert_near("at the end", got->after, after, 0.0, "");
    assert_near("before the last tenth", got->before, before, 0.0, "");
    assert_int_equal(got->gained, sign * (before - after) > worth);
    assert_int_equal(search.last_tenth[1].candidates, 0);
    drive_text_close(&t);
    return got->gained;
}

static void what_the_last_tenth_gained(void **state)
{
    int gained[2] = {0, 0};
    (void)state;
    for (int tries = 10; tries < 60; tries += 4) {
        gained[tenth("worst grip", SNUB_AIM_GRIP, 1.0, 0.001, tries)]++;
        gained[tenth("hub load", SNUB_AIM_HUB, 1.0, 1.0, tries)]++;
    }
    print_message("%d gained, %d not\n", gained[1], gained[0]);
    assert_true(gained[0] > 1 && gained[1] > 1);
}

static void a_stop_loses_nothing(void **state)
{
    drive_text t, u;
    snub_search whole, search;
    watched w = {.sign = 1.0}, v = {.sign = 1.0, .stop_at = 3};
    snub_search_request request = {.tries = 40};
    (void)state;
    run(&t, "worst grip", &request, &w, &whole);
    assert_true(whole.tried_count > 20);
    request.before = whole.tried;
    request.before_count = 20;
    run(&u, "worst grip", &request, &v, &search);
    assert_true(search.stopped && search.asked == 3);
    assert_int_equal(search.tried_count, 20);
    assert_memory_equal(search.tried, whole.tried, 20 * sizeof *whole.tried);
    drive_text_close(&u);
    drive_text_close(&t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_the_last_tenth_gained),
        cmocka_unit_test(a_stop_loses_nothing),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
