/* The kits of one build, judged, with what is saved on the way. */
#include "tolerate_study.h"

#include <time.h>

#include "interrupt.h"
#include "progress.h"
#include "tolerate_state.h"

/* What is saved while kits are judged. */
typedef struct saving {
    cli_run *run;
    const cli_tolerate_wish *wish;
    char digest[65];
    const snub_tolerated *tolerated;
    time_t last;
} saving;
enum { SAVE_EVERY = 10 /* s: a run that is killed loses no more */ };

static bool save(saving *s)
{
    s->last = time(NULL);
    return s->wish->state == NULL || cli_write_tolerate_state(s->run, s->wish->state, s->digest, s->tolerated);
}

/* What the state has already, and where it is saved. */
static bool go_on_from(saving *s, const snub_build *build, snub_tolerate_request *request)
{
    s->last = time(NULL);
    cli_tolerate_digest(build, request->seed, s->digest);
    request->context = s;
    return s->wish->state == NULL ||
           cli_read_tolerate_state(s->run, s->wish->state, s->digest, &request->known, &request->known_count);
}

static bool go_on(int done, int all, void *context)
{
    saving *s = context;
    if (s->wish->state != NULL && time(NULL) - s->last >= SAVE_EVERY && !save(s))
        return false; /* what is wrong was said; it will be no better in ten seconds */
    cli_done((long long)s->wish->before * all + done, (long long)s->wish->builds * all);
    return !cli_interrupted();
}

static bool judge_kits(cli_run *run, const cli_drive *loaded, const cli_tolerate_wish *wish, const snub_build *build,
                       snub_tolerate_answer *answer)
{
    snub_errors errors = {0};
    snub_tolerated *tolerated = SNUB_NEW(&run->arena, snub_tolerated, 1);
    saving state = {.run = run, .wish = wish, .tolerated = tolerated};
    snub_tolerate_request request = {
        .kits = wish->kits, .precision = wish->precision, .seed = wish->seed, .threads = wish->threads, .go_on = go_on};
    if (tolerated == NULL)
        return cli_usage_error(run, "out of memory"), false;
    if (!go_on_from(&state, build, &request))
        return false;
    answer->tolerated = tolerated;
    cli_doing("judging kits");
    const snub_status status =
        snub_tolerate_build(&loaded->document, &loaded->reading, build, &request, tolerated, &errors);
    return cli_told(run, &errors, loaded, status == SNUB_OK) && save(&state);
}

static bool add_up(cli_run *run, const cli_drive *loaded, snub_tolerate_answer *answer, int threads)
{
    snub_worst_cases *made = SNUB_NEW(&run->arena, snub_worst_cases, 1);
    if (answer->tolerated->stopped)
        return true;
    if (made == NULL)
        return cli_usage_error(run, "out of memory"), false;
    const snub_worst_case_request request = {.threads = threads, .go_on = cli_go_on};
    snub_error error;
    cli_doing("judging kits at the ends of their tolerances");
    const snub_status status =
        snub_tolerate_worst_cases(&loaded->document, &loaded->reading, answer->tolerated, &request, made);
    answer->worst = made->stopped ? NULL : made;
    if (status == SNUB_OK)
        return true;
    snub_fail(&error, status, NULL, NULL, "the kits at the ends of their tolerances could not be judged");
    cli_error(&error, NULL, 0);
    return false;
}

static bool contribute(cli_run *run, const cli_drive *loaded, snub_tolerate_answer *answer, int pairs, int threads)
{
    snub_errors errors = {0};
    if (pairs == 0 || answer->tolerated->stopped)
        return true;
    snub_contributions *made = SNUB_NEW(&run->arena, snub_contributions, 1);
    if (made == NULL)
        return cli_usage_error(run, "out of memory"), false;
    const snub_contribution_request request = {.pairs = pairs, .threads = threads, .go_on = cli_go_on};
    answer->contributions = made;
    cli_doing("judging pairs of kits");
    const snub_status status =
        snub_tolerate_contributions(&loaded->document, &loaded->reading, answer->tolerated, &request, made, &errors);
    return cli_told(run, &errors, loaded, status == SNUB_OK);
}

bool cli_tolerate_study(cli_run *run, const cli_drive *loaded, const cli_tolerate_wish *wish, const snub_build *build,
                        snub_tolerate_answer *answer)
{
    *answer = (snub_tolerate_answer){.file = run->operands[0]};
    return judge_kits(run, loaded, wish, build, answer) && add_up(run, loaded, answer, wish->threads) &&
           contribute(run, loaded, answer, wish->pairs, wish->threads);
}

bool cli_study_stopped(const snub_tolerate_answer *answer)
{
    return answer->tolerated->stopped || answer->worst == NULL;
}
