/* What touches as it is drawn. docs/theory/clearance.md. */
#include "snub/drawn.h"

#include "lie.h"

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
    snub_lie_basis *basis = SNUB_NEW(arena, snub_lie_basis, 1);
    snub_lie *lie = SNUB_NEW(arena, snub_lie, 1);
    int count = 0, found = 0;
    if (basis == NULL || lie == NULL)
        return -1;
    if (drive->hardware == NULL)
        return 0;
    snub_lie_drawn(drive, basis);
    snub_obstacle_conflicts(drive, path, snub_lie_on(basis, path, lie), SNUB_RUNS, drive->limits[SNUB_LIMIT_CLEARANCE],
                            drive->limits[SNUB_LIMIT_FLAP], conflicts, most, &count, &found);
    return count;
}
