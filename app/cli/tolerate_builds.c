/* `snub tolerate --builds`: kits of many builds in one run. */
#include "tolerate_builds.h"

#include <stdlib.h>
#include <string.h>

#include "interrupt.h"

bool cli_builds_fit(cli_run *run)
{
    if (!cli_has(run, "builds"))
        return true;
    if (cli_has(run, "build"))
        return cli_usage_error(run, "--build and --builds are both given: --builds 3,5 takes several"), false;
    if (cli_has(run, "contributions"))
        return cli_usage_error(run, "--contributions is of one build: give --build N in place of --builds"), false;
    return true;
}

/* ---- which builds ------------------------------------------------------------------------------------------------ */

/* "5-8", from 1. @return false: it is no such range; one out of bounds, or backwards, is told by `good` */
static bool is_range(cli_run *run, const char *word, int count, bool *chosen, bool *good)
{
    char *end;
    const long first = strtol(word, &end, 10);
    if (end == word || *end != '-')
        return false;
    const char *second = end + 1;
    const long last = strtol(second, &end, 10);
    if (end == second || *end != '\0')
        return false;
    *good = first >= 1 && first <= last && last <= count;
    if (!*good)
        cli_usage_error(run, "--builds %.40s: needs two numbers of builds from 1 to %d, the lower first", word, count);
    for (long i = first; *good && i <= last; i++)
        chosen[i - 1] = true;
    return true;
}

/* @return false: it was said what is wrong */
static bool choose(cli_run *run, const char *list, const snub_rows *rows, bool *chosen)
{
    const bool all = strcmp(list, "all") == 0;
    for (int i = 0; all && i < rows->count; i++)
        chosen[i] = true;
    for (const char *at = list; !all;) {
        const size_t length = strcspn(at, ",");
        const char *word = snub_copy_text_n(&run->arena, at, length);
        bool good = true;
        if (word == NULL)
            return cli_usage_error(run, "out of memory"), false;
        if (!is_range(run, word, rows->count, chosen, &good)) {
            const snub_row *row = cli_row_numbered(run, rows, word);
            good = row != NULL;
            if (good)
                chosen[row - rows->items] = true;
        }
        if (!good)
            return false;
        if (at[length] == '\0')
            break;
        at += length + 1;
    }
    return true;
}

/* ---- one after the other ----------------------------------------------------------------------------------------- */

/* @return false: it was said what is wrong */
static bool add_build(cli_run *run, const cli_drive *loaded, cli_tolerate_wish *wish, const snub_row *row, int number,
                      snub_tolerate_answer *answer)
{
    snub_build *build = SNUB_NEW(&run->arena, snub_build, 1);
    snub_tolerated *none = SNUB_NEW(&run->arena, snub_tolerated, 1);
    const snub_build_request request = cli_request(run);
    const char *state = cli_value(run, "state");
    wish->state = state != NULL ? snub_format(&run->arena, "%s-%d", state, number) : NULL;
    if (build == NULL || none == NULL || (state != NULL && wish->state == NULL))
        return cli_usage_error(run, "out of memory"), false;
    bool good = cli_make_build(run, loaded, row, &request, build);
    if (good && build->settled)
        good = cli_tolerate_study(run, loaded, wish, build, answer);
    *none = (snub_tolerated){.build = build, .seed = wish->seed};
    if (good && !build->settled)
        *answer = (snub_tolerate_answer){.tolerated = none, .file = run->operands[0]};
    if (!good)
        cli_usage_error(run, "build %d has no answer: see snub check --build %d, or leave it out of --builds", number,
                        number);
    return good;
}

bool cli_tolerate_builds(cli_run *run, const cli_drive *loaded, const cli_tolerate_wish *wish,
                         snub_tolerate_builds *builds)
{
    snub_rows rows;
    cli_tolerate_wish one = *wish;
    struct sigaction before;
    if (!cli_rows(run, loaded, &rows))
        return false;
    bool *chosen = SNUB_NEW(&run->arena, bool, rows.count + 1), good = true;
    snub_tolerate_answer *answers = SNUB_NEW(&run->arena, snub_tolerate_answer, rows.count + 1);
    int *number = SNUB_NEW(&run->arena, int, rows.count + 1);
    if (chosen == NULL || answers == NULL || number == NULL)
        return cli_usage_error(run, "out of memory"), false;
    if (!choose(run, cli_value(run, "builds"), &rows, chosen))
        return false;
    *builds = (snub_tolerate_builds){.answers = answers, .number = number, .file = run->operands[0]};
    for (int i = 0; i < rows.count; i++)
        builds->asked += chosen[i];
    if (builds->asked == 0)
        return cli_usage_error(run, "the kit has no build: see snub chart"), false;
    one.builds = builds->asked;
    cli_catch_interrupt(&before);
    for (int i = 0; i < rows.count && good && !builds->stopped; i++) {
        if (!chosen[i])
            continue;
        one.before = builds->count;
        number[builds->count] = i + 1;
        good = add_build(run, loaded, &one, &rows.items[i], i + 1, &answers[builds->count]);
        const snub_tolerate_answer *last = &answers[builds->count];
        builds->count += good;
        builds->stopped = good && last->tolerated->build->settled && cli_study_stopped(last);
    }
    cli_leave_interrupt(&before);
    return good;
}
