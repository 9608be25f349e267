/* Tangents, path, wrap, length. Derivation: docs/theory/layout.md. */
#include "snub/layout.h"

#include <string.h>

bool snub_tangent(const double c1[2], double r1, const double c2[2], double r2, double u[2], double *length)
{
    /* d = L u + h n, |d|^2 = L^2 + h^2. Turning d by -atan2(h, L) gives u:
     * u = (L d + h d_turned_by_-90)/|d|^2, where n = u turned by +90 deg. */
    const double dx = c2[0] - c1[0], dy = c2[1] - c1[1];
    const double h = r1 - r2;
    const double square = dx * dx + dy * dy;
    const double rest = square - h * h;
    if (!(rest > 0.0 && rest < INFINITY)) /* NaN and overflow have no tangent either */
        return false;
    const double l = sqrt(rest);
    u[0] = (l * dx + h * dy) / square;
    u[1] = (l * dy - h * dx) / square;
    *length = l;
    return true;
}

void snub_path_enter(const snub_path *path, int pulley, double point[2])
{
    const int before = (pulley + path->n - 1) % path->n;
    point[0] = path->centre[pulley][0] - path->radius[pulley] * path->u[before][1];
    point[1] = path->centre[pulley][1] + path->radius[pulley] * path->u[before][0];
}

void snub_path_leave(const snub_path *path, int pulley, double point[2])
{
    point[0] = path->centre[pulley][0] - path->radius[pulley] * path->u[pulley][1];
    point[1] = path->centre[pulley][1] + path->radius[pulley] * path->u[pulley][0];
}

void snub_signed_radii(const snub_drive *drive, double *radius)
{
    for (int i = 0; i < drive->pulley_count; i++) {
        const snub_pulley *pulley = &drive->pulleys[i];
        radius[i] = drive->turn * (pulley->side == SNUB_RIB ? pulley->pitch_radius : -pulley->pitch_radius);
    }
}

void snub_place_pulleys(const snub_drive *drive, double wind, const double *settings, double (*centre)[2])
{
    for (int i = 0; i < drive->pulley_count; i++) {
        const snub_pulley *pulley = &drive->pulleys[i];
        if (pulley->sits == SNUB_ON_ARM) {
            snub_arm_point(&pulley->arm, wind, centre[i]);
        } else if (pulley->sits == SNUB_ON_SLOT) {
            double s = settings != NULL ? settings[i] : NAN;
            if (isnan(s))
                s = isnan(pulley->setting) ? 0.0 : pulley->setting;
            snub_slot_point(&pulley->slot, s, centre[i]);
        } else {
            memcpy(centre[i], pulley->at, sizeof(double[2]));
        }
    }
}

/* Turn of u from `before` to `after` in the pulley's own sense, in (0, 2 pi). A turn that is zero to rounding is
 * a belt that just touches: it is given as zero, not as a whole turn, so that the belt does not jump by 2 pi r.
 * TOUCH_RAD: below it the touch is lost in rounding of unit vectors (some 1e-16 each, two of them). */
static const double TOUCH_RAD = 1e-12;
static double turn_between(const double before[2], const double after[2], bool clockwise)
{
    const double cross = before[0] * after[1] - before[1] * after[0];
    const double dot = before[0] * after[0] + before[1] * after[1];
    double angle = atan2(cross, dot);
    if (clockwise)
        angle = -angle;
    if (angle < -TOUCH_RAD)
        angle += 2.0 * SNUB_PI;
    return angle < 0.0 ? 0.0 : angle;
}

/* Too many turns: a pulley on the outside of the belt's turn holds the belt with nearly a whole turn. The culprit is
 * the one with the greatest wrap among those whose sense explains the error. */
static int who_lost(const snub_path *path, double sense)
{
    const bool too_many = path->turns > 1;
    int who = 0;
    double most = -1.0;
    for (int i = 0; i < path->n; i++) {
        const bool with_crank = path->radius[i] * sense > 0.0;
        if (with_crank == too_many && path->wrap[i] > most) {
            most = path->wrap[i];
            who = i;
        }
    }
    return who;
}

snub_status snub_path_lay(int n, const double (*centre)[2], const double *radius, double sense, snub_path *path,
                          int *culprit)
{
    path->n = n;
    path->length = 0.0;
    for (int i = 0; i < n; i++) {
        const int next = i + 1 < n ? i + 1 : 0;
        path->centre[i][0] = centre[i][0];
        path->centre[i][1] = centre[i][1];
        path->radius[i] = radius[i];
        if (!snub_tangent(centre[i], radius[i], centre[next], radius[next], path->u[i], &path->span[i])) {
            if (culprit != NULL)
                *culprit = i;
            return SNUB_NO_TANGENT;
        }
        path->length += path->span[i];
    }
    double sum = 0.0;
    for (int i = 0; i < n; i++) {
        const int before = i > 0 ? i - 1 : n - 1;
        path->wrap[i] = turn_between(path->u[before], path->u[i], radius[i] > 0.0);
        path->length += fabs(radius[i]) * path->wrap[i];
        sum += radius[i] > 0.0 ? path->wrap[i] : -path->wrap[i];
    }
    path->turns = (int)lround(sense * sum / (2.0 * SNUB_PI));
    if (path->turns == 1)
        return SNUB_OK;
    if (culprit != NULL)
        *culprit = who_lost(path, sense);
    return SNUB_LOST_BELT;
}

snub_status snub_drive_lay(const snub_drive *drive, double wind, const double *settings, snub_path *path,
                           snub_error *error)
{
    double centre[SNUB_PULLEYS_MOST][2], radius[SNUB_PULLEYS_MOST];
    int culprit = 0;
    snub_place_pulleys(drive, wind, settings, centre);
    snub_signed_radii(drive, radius);
    const snub_status status =
        snub_path_lay(drive->pulley_count, (const double(*)[2])centre, radius, drive->turn, path, &culprit);
    const snub_pulley *who = &drive->pulleys[culprit];
    if (status == SNUB_NO_TANGENT) {
        const snub_pulley *other = &drive->pulleys[(culprit + 1) % drive->pulley_count];
        return snub_fail(error, status, &who->place, who->name,
                         "%s and %s are too close: there is no room for a span between them", who->name, other->name);
    }
    if (status == SNUB_LOST_BELT) {
        return snub_fail(error, status, &who->place, who->name,
                         "the belt is off %s: on this path it would need %.0f deg of wrap, on its %s side", who->name,
                         path->wrap[culprit] / SNUB_DEG, who->side == SNUB_RIB ? "rib" : "back");
    }
    return status;
}

double snub_effective_length(const snub_belt *belt, double pitch_length)
{
    return pitch_length - 2.0 * SNUB_PI * belt->be;
}
