/* Where belt and pulleys stand along the crank's axis. docs/theory/clearance.md, "Along the crank". */
#include "lie.h"

#include <string.h>

static double square_of(const snub_stack *stack)
{
    double sum = 0.0;
    for (int k = 0; k < stack->count; k++)
        sum += stack->parts[k].tolerance * stack->parts[k].tolerance;
    return sum;
}

/* Independent dimensions add by squares: docs/theory/planes.md, eq. 1. */
static double tolerance_of(const snub_hardware *hardware, int pulley)
{
    const snub_pulley_hardware *h = &hardware->pulleys[pulley];
    if (h->stack.count == 0)
        return 0.0;
    return sqrt(square_of(&h->stack) + (h->mount >= 0 ? square_of(&hardware->mounts[h->mount].stack) : 0.0));
}

int snub_lie_guide(const snub_drive *drive, int pulley)
{
    const int n = drive->pulley_count;
    for (int k = 0; k < n; k++) {
        const int i = (pulley - k + n) % n;
        if (drive->hardware->pulleys[i].guides)
            return i;
    }
    return pulley;
}

void snub_lie_drawn(const snub_drive *drive, snub_lie_basis *basis)
{
    memset(basis, 0, sizeof *basis);
    basis->n = drive->pulley_count;
    basis->flat = true;
    if (drive->hardware == NULL)
        return;
    for (int i = 0; i < basis->n; i++) {
        const snub_pulley_hardware *h = &drive->hardware->pulleys[i];
        basis->plane[i] = (snub_plane){drive->pulleys[i].plane, {h->tilt[0], h->tilt[1]}, h->guides};
        basis->plane_tolerance[i] = tolerance_of(drive->hardware, i);
        basis->tilts[i].count = h->tilt[0] != 0.0 || h->tilt[1] != 0.0;
        memcpy(basis->tilts[i].tilt[0], h->tilt, sizeof h->tilt);
        basis->flat = basis->flat && basis->plane[i].z == basis->plane[0].z && basis->plane_tolerance[i] == 0.0 &&
                      basis->tilts[i].count == 0;
    }
    for (int i = 0; i < basis->n; i++)
        basis->belt_tolerance[i] = basis->plane_tolerance[snub_lie_guide(drive, i)];
}

void snub_lie_take(snub_tilts *tilts, const double lean[2])
{
    static const double way[SNUB_TILTS_MOST][2] = {{1, 0},  {1, 1},   {0, 1},  {-1, 1},
                                                   {-1, 0}, {-1, -1}, {0, -1}, {1, -1}};
    tilts->count = SNUB_TILTS_MOST;
    for (int k = 0; k < SNUB_TILTS_MOST; k++) {
        double *kept = tilts->tilt[k];
        if (lean[0] * way[k][0] + lean[1] * way[k][1] > kept[0] * way[k][0] + kept[1] * way[k][1])
            memcpy(kept, lean, sizeof tilts->tilt[k]);
    }
}

static void widen(snub_z_range *range, double least, double most)
{
    range->low += fmin(least, 0.0);
    range->high += fmax(most, 0.0);
}

/* Least and greatest of a linear function of the lean. */
static void over_leans(const snub_tilts *leans, double about_x, double about_y, snub_z_range *range)
{
    double least = 0.0, most = 0.0;
    for (int k = 0; k < leans->count; k++) {
        const double by = about_x * leans->tilt[k][0] + about_y * leans->tilt[k][1];
        least = fmin(least, by);
        most = fmax(most, by);
    }
    widen(range, least, most);
}

/* Heights are linear in every tilt: one unit about x, one about y. */
static void move_belt(snub_lie_basis *basis, const snub_path *path, int pulley, const snub_tilts *leans)
{
    double enter[2][SNUB_PULLEYS_MOST], leave[2][SNUB_PULLEYS_MOST], drift[2][SNUB_PULLEYS_MOST];
    snub_plane unit[SNUB_PULLEYS_MOST];
    for (int axis = 0; axis < 2; axis++) {
        for (int i = 0; i < basis->n; i++)
            unit[i] = (snub_plane){.guides = basis->plane[i].guides};
        unit[pulley].tilt[axis] = 1.0;
        if (snub_belt_heights(path, unit, enter[axis], leave[axis], drift[axis], NULL) != SNUB_OK)
            return;
    }
    for (int i = 0; i < basis->n; i++) {
        over_leans(leans, enter[0][i], enter[1][i], &basis->enter[i]);
        over_leans(leans, leave[0][i], leave[1][i], &basis->leave[i]);
        over_leans(leans, drift[0][i], drift[1][i], &basis->drift[i]);
    }
}

void snub_lie_lean(snub_lie_basis *basis, const snub_path *path, const snub_tilts *leans)
{
    for (int i = 0; i < basis->n; i++) {
        if (leans[i].count == 0)
            continue;
        basis->flat = false;
        move_belt(basis, path, i, &leans[i]);
        basis->tilts[i].count = leans[i].count;
        for (int k = 0; k < leans[i].count; k++) {
            for (int axis = 0; axis < 2; axis++)
                basis->tilts[i].tilt[k][axis] = basis->plane[i].tilt[axis] + leans[i].tilt[k][axis];
        }
    }
}

const snub_lie *snub_lie_on(const snub_lie_basis *basis, const snub_path *path, snub_lie *lie)
{
    double enter[SNUB_PULLEYS_MOST], leave[SNUB_PULLEYS_MOST], drift[SNUB_PULLEYS_MOST];
    if (basis->flat || snub_belt_heights(path, basis->plane, enter, leave, drift, NULL) != SNUB_OK)
        return NULL;
    lie->tilts = basis->tilts;
    for (int i = 0; i < basis->n; i++) {
        const double z = basis->plane[i].z, own = basis->plane_tolerance[i], belt = basis->belt_tolerance[i];
        lie->plane[i] = (snub_z_range){z - own, z + own};
        lie->on[i] =
            (snub_z_range){z + drift[i] + basis->drift[i].low - belt, z + drift[i] + basis->drift[i].high + belt};
        lie->enter[i] = (snub_z_range){enter[i] + basis->enter[i].low - belt, enter[i] + basis->enter[i].high + belt};
        lie->leave[i] = (snub_z_range){leave[i] + basis->leave[i].low - belt, leave[i] + basis->leave[i].high + belt};
    }
    return lie;
}
