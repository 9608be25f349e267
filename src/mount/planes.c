/* Belt planes: entry angles from offset and tilt, with belts that float on plain pulleys. docs/theory/planes.md. */
#include "snub/mount.h"

double snub_belt_width(int ribs, double pitch)
{
    return ribs * pitch;
}

void snub_tilt_from_slope(const double force[2], double slope, double tilt[2])
{
    const double size = hypot(force[0], force[1]);
    tilt[0] = size > 0.0 ? -slope * force[1] / size : 0.0;
    tilt[1] = size > 0.0 ? slope * force[0] / size : 0.0;
}

/* Height of the pulley's plane at a point of the front view. */
static double height(const snub_plane *plane, const double centre[2], const double point[2])
{
    return plane->z + plane->tilt[0] * (point[1] - centre[1]) - plane->tilt[1] * (point[0] - centre[0]);
}

/* Slope of the groove along a direction. */
static double groove(const snub_plane *plane, const double u[2])
{
    return plane->tilt[0] * u[1] - plane->tilt[1] * u[0];
}

snub_status snub_belt_heights(const snub_path *path, const snub_plane *plane, double *enter, double *leave,
                              double *drift, snub_error *error)
{
    const int n = path->n;
    int first = 0;
    while (first < n && !plane[first].guides)
        first++;
    if (first == n)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "no pulley guides the belt along the axis");
    double point[2], offset = 0.0; /* of the belt from the plane of the pulley that it is on */
    for (int k = 0; k < n; k++) {
        const int i = (first + k) % n, j = (i + 1) % n;
        snub_path_leave(path, i, point);
        leave[i] = height(&plane[i], path->centre[i], point) + offset;
        snub_path_enter(path, j, point);
        const double at = height(&plane[j], path->centre[j], point);
        /* normal entry */
        enter[j] = plane[j].guides ? at : leave[i] + groove(&plane[j], path->u[i]) * path->span[i];
        offset = plane[j].guides ? 0.0 : enter[j] - at;
        if (drift != NULL)
            drift[j] = offset;
    }
    return SNUB_OK;
}

snub_status snub_entry_angles(const snub_path *path, const snub_plane *plane, double *entry, double *exit,
                              double *drift, snub_error *error)
{
    double enter[SNUB_PULLEYS_MOST], leave[SNUB_PULLEYS_MOST];
    const snub_status status = snub_belt_heights(path, plane, enter, leave, drift, error);
    for (int i = 0; status == SNUB_OK && i < path->n; i++) {
        const int j = (i + 1) % path->n;
        const double climb = (enter[j] - leave[i]) / path->span[i];
        entry[j] = plane[j].guides ? climb - groove(&plane[j], path->u[i]) : 0.0;
        exit[i] = plane[i].guides ? climb - groove(&plane[i], path->u[i]) : 0.0;
    }
    return status;
}
