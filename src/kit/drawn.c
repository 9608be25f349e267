/* What touches as it is drawn. docs/theory/clearance.md. */
#include "snub/drawn.h"

#include "lie.h"

/* Where all stands as drawn. @return false: memory is out; *lie may be NULL: all is flat */
static bool stands(const snub_drive *drive, const snub_path *path, snub_arena *arena, const snub_lie **lie)
{
    snub_lie_basis *basis = SNUB_NEW(arena, snub_lie_basis, 1);
    snub_lie *room = SNUB_NEW(arena, snub_lie, 1);
    if (basis == NULL || room == NULL)
        return false;
    snub_lie_drawn(drive, basis);
    *lie = snub_lie_on(basis, path, room);
    return true;
}

int snub_drawn_overlaps(const snub_drive *drive, const snub_path *path, bool laid, snub_arena *arena,
                        snub_overlap *overlaps, int most)
{
    snub_lie_basis *basis = SNUB_NEW(arena, snub_lie_basis, 1);
    snub_path *drawn = SNUB_NEW(arena, snub_path, 1);
    snub_lie *lie = SNUB_NEW(arena, snub_lie, 1);
    int count = 0;
    if (basis == NULL || drawn == NULL || lie == NULL)
        return -1;
    *drawn = *path;
    for (int i = 0; !laid && i < path->n; i++) {
        drawn->u[i][0] = drawn->u[i][1] = 0.0;
        drawn->wrap[i] = -1.0; /* no belt faces anything */
    }
    snub_lie_drawn(drive, basis);
    const snub_lie *stands = laid ? snub_lie_on(basis, drawn, lie) : NULL;
    for (int a = 0; a < path->n; a++) {
        for (int b = a + 1; b < path->n && count < most; b++) {
            snub_gap gap = {.kind = SNUB_GAP_PULLEYS, .a = a, .b = b};
            if (snub_gap_again(drive, drawn, stands, 0.0, &gap) && gap.gap < 0.0)
                overlaps[count++] = (snub_overlap){a, b, -gap.gap, {gap.at[0], gap.at[1]}};
        }
    }
    return count;
}

int snub_drawn_conflicts(const snub_drive *drive, const snub_path *path, snub_arena *arena, snub_conflict *conflicts,
                         int most)
{
    const snub_lie *lie;
    int count = 0, found = 0;
    if (drive->hardware == NULL)
        return 0;
    if (!stands(drive, path, arena, &lie))
        return -1;
    snub_obstacle_conflicts(drive, path, lie, SNUB_RUNS, drive->limits[SNUB_LIMIT_CLEARANCE],
                            drive->limits[SNUB_LIMIT_FLAP], conflicts, most, &count, &found);
    return count;
}

int snub_drawn_pair(const snub_drive *drive, const snub_path *path, snub_arena *arena, snub_drawn_piece a,
                    snub_drawn_piece b, snub_drawn_gap *gap)
{
    const bool turned = a.span && !b.span; /* a pulley is named first */
    const int first = turned ? b.pulley : a.pulley, second = turned ? a.pulley : b.pulley, n = path->n;
    const snub_lie *lie;
    snub_gap found = {.kind = a.span && b.span   ? SNUB_GAP_SPANS
                              : a.span || b.span ? SNUB_GAP_PULLEY_SPAN
                                                 : SNUB_GAP_PULLEYS,
                      .a = first,
                      .b = second};
    if (found.kind == SNUB_GAP_PULLEY_SPAN ? first == second || first == (second + 1) % n : first == second)
        return 0;
    if (found.kind != SNUB_GAP_PULLEY_SPAN && first > second) {
        found.a = second;
        found.b = first;
    }
    if (!stands(drive, path, arena, &lie))
        return -1;
    if (!snub_gap_again(drive, path, lie, drive->limits[SNUB_LIMIT_FLAP], &found))
        return 0;
    *gap = (snub_drawn_gap){snub_gap_clear(&found), drive->limits[SNUB_LIMIT_CLEARANCE], found.flap};
    return 1;
}

int snub_drawn_beside(const snub_drive *drive, const snub_path *path, snub_arena *arena, snub_drawn_piece piece,
                      const snub_obstacle *obstacle, snub_drawn_gap *gap)
{
    const snub_lie *lie;
    snub_conflict found;
    if (!stands(drive, path, arena, &lie))
        return -1;
    if (!snub_obstacle_again(drive, path, lie, SNUB_RUNS, drive->limits[SNUB_LIMIT_CLEARANCE],
                             drive->limits[SNUB_LIMIT_FLAP], obstacle, piece.pulley, piece.span, &found))
        return 0;
    *gap = (snub_drawn_gap){found.gap, found.needed, found.flap};
    return 1;
}
