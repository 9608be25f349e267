/* A belt that is picked by a cord to back that nobody measured. docs/theory/layout.md, Cord to back. */
#include <string.h>

#include "default_list.h"
#include "study.h"

/* A drive without a stock gets a belt of whole mm. */
#define WHOLE_MM_STEP (1.0 * SNUB_MM)
/* Two lengths that differ by less are one. */
#define SAME_LENGTH_M (0.05 * SNUB_MM)

/* From the build's belt to the next that it could have had, m; INFINITY: there is no other. */
static double next_on_offer(const snub_study *s, bool length_chosen)
{
    const snub_belt *belt = &s->drive->belt;
    double least = belt->stock_count == 0 && length_chosen ? WHOLE_MM_STEP : (double)INFINITY;
    for (int i = 0; i < belt->stock_count; i++) {
        const double away = fabs(belt->stock[i].length - s->length);
        if (away > SAME_LENGTH_M)
            least = fmin(least, away);
    }
    return least;
}

/* The path is stationary in where the belt touches: it grows by the wrap for each unit that the cord stands farther
 * out, and only the pulleys on the back feel be + back in the effective length (eq. 8). */
static double wrap_on_back(const snub_drive *drive, const snub_path *path)
{
    double sum = 0.0;
    for (int i = 0; i < drive->pulley_count; i++) {
        if (drive->pulleys[i].side == SNUB_BACK)
            sum += path->wrap[i];
    }
    return sum;
}

void snub_judge_back(const snub_study *s, const snub_path *rest, bool length_chosen)
{
    double range[2];
    if (s->drive->belt.back_from != SNUB_BACK_DEFAULT)
        return;
    snub_belt_default_range("back", range);
    snub_finding f = snub_study_finding(s, SNUB_SAYS_BACK_NOT_KNOWN, -1, NULL);
    f.value = (range[1] - range[0]) * SNUB_MM * wrap_on_back(s->drive, rest);
    f.limit = next_on_offer(s, length_chosen);
    snub_finding_number(&f, "low", range[0] * SNUB_MM, SNUB_UNIT_MM, 1);
    snub_finding_number(&f, "high", range[1] * SNUB_MM, SNUB_UNIT_MM, 1);
    if (f.value > f.limit)
        snub_study_tell(s, &f);
}
