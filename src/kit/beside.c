/* What is in the way of a span that flaps. */
#include "beside.h"

#include "snub/clearance.h"

/* What is held against the span. */
typedef struct thing {
    snub_beside what;
    int index;
    const snub_obstacle *obstacle;
    double gap, room, asked; /* m */
} thing;

static void hold_against(snub_span_flap *span, const thing *t)
{
    if (t->room - t->asked >= span->room - span->asked)
        return;
    span->beside = t->what;
    span->index = t->index;
    span->obstacle = t->obstacle;
    span->gap = t->gap;
    span->room = t->room;
    span->asked = t->asked;
}

static void hold_against_obstacle(snub_span_flap *span, const snub_drive *drive, int k, const snub_conflict *c)
{
    const snub_obstacle *obstacle = &drive->hardware->obstacles[k];
    const double asked = isnan(obstacle->clearance) ? drive->limits[SNUB_LIMIT_CLEARANCE] : obstacle->clearance;
    hold_against(span, &(thing){SNUB_BESIDE_OBSTACLE, k, obstacle, c->gap, c->gap - (c->needed - asked), asked});
}

void snub_beside_look(const snub_drive *drive, const snub_path *path, const snub_lie *lie, int i, snub_span_flap *span)
{
    const snub_hardware *hardware = drive->hardware;
    const double share = span->flap / path->span[i], asked = drive->limits[SNUB_LIMIT_CLEARANCE];
    const int n = path->n, next = (i + 1) % n;
    for (int p = 0; p < n; p++) {
        snub_gap of_pulley = {.kind = SNUB_GAP_PULLEY_SPAN, .a = p, .b = i};
        snub_gap of_span = {.kind = SNUB_GAP_SPANS, .a = p < i ? p : i, .b = p < i ? i : p};
        if (p != i && p != next && snub_gap_again(drive, path, lie, share, &of_pulley))
            hold_against(span, &(thing){SNUB_BESIDE_PULLEY, p, NULL, of_pulley.gap, snub_gap_clear(&of_pulley), asked});
        /* Both flap by the same share there; of the two its own goes by length. */
        if (p != i && snub_gap_again(drive, path, lie, share, &of_span)) {
            const double own = of_span.flap * path->span[i] / (path->span[i] + path->span[p]);
            hold_against(span, &(thing){SNUB_BESIDE_SPAN, p, NULL, of_span.gap, of_span.gap - own, asked});
        }
    }
    for (int k = 0; hardware != NULL && k < hardware->obstacle_count; k++) {
        snub_conflict c;
        if (snub_obstacle_again(drive, path, lie, SNUB_RUNS, asked, share, &hardware->obstacles[k], i, true, &c))
            hold_against_obstacle(span, drive, k, &c);
    }
}
