/* A rigid bracket on its bolts. docs/theory/mount.md, eqs 5 to 9. */
#include "snub/mount.h"

/* A moment that nothing carries is one over this share of all moments there (numbers carry 1e-12 of noise). */
#define MOMENT_NOISE 1e-9
/* A direction in which the group's second moment is under this share of its areas' about the origin carries nothing:
 * bolts in a line, or in one place but for rounding. */
#define NO_STIFFNESS 1e-10

void snub_wrench_add(snub_wrench *wrench, const double force[3], const double at[3])
{
    for (int k = 0; k < 3; k++) {
        const int i = (k + 1) % 3, j = (k + 2) % 3;
        wrench->force[k] += force[k];
        wrench->moment[k] += at[i] * force[j] - at[j] * force[i];
    }
}

bool snub_group_in_line(const snub_group_bolt *bolts, int n, double within, double along[2])
{
    int a = 0, b = 0;
    double far = 0.0;
    for (int i = 0; i < n; i++) {
        for (int j = i + 1; j < n; j++) {
            const double d = hypot(bolts[i].at[0] - bolts[j].at[0], bolts[i].at[1] - bolts[j].at[1]);
            if (d > far) {
                far = d;
                a = i;
                b = j;
            }
        }
    }
    const double u[2] = {far > 0.0 ? (bolts[b].at[0] - bolts[a].at[0]) / far : 1.0,
                         far > 0.0 ? (bolts[b].at[1] - bolts[a].at[1]) / far : 0.0};
    for (int i = 0; i < n && far > within; i++) {
        const double off = u[0] * (bolts[i].at[1] - bolts[a].at[1]) - u[1] * (bolts[i].at[0] - bolts[a].at[0]);
        if (fabs(off) > within)
            return false;
    }
    for (int k = 0; k < 2 && along != NULL; k++)
        along[k] = u[k];
    return true;
}

/* Weighted middle and second moments of areas about it. */
typedef struct areas {
    double sum, middle[2], xx, yy, xy;
    double scale; /* second moment about the origin, of all: what rounding is measured by */
} areas;

static areas gather(const snub_group_bolt *bolts, int n, bool pads)
{
    areas g = {0};
    for (int i = 0; i < n; i++) {
        const double a = pads ? snub_annulus_area(bolts[i].pad, bolts[i].hole) : bolts[i].area;
        g.sum += a;
        for (int k = 0; k < 2; k++)
            g.middle[k] += a * bolts[i].at[k];
    }
    for (int k = 0; k < 2; k++)
        g.middle[k] /= g.sum;
    for (int i = 0; i < n; i++) {
        const double a = pads ? snub_annulus_area(bolts[i].pad, bolts[i].hole) : bolts[i].area;
        const double own = pads ? snub_annulus_inertia(bolts[i].pad, bolts[i].hole) : 0.0;
        const double x = bolts[i].at[0] - g.middle[0], y = bolts[i].at[1] - g.middle[1];
        g.xx += a * x * x + own;
        g.yy += a * y * y + own;
        g.xy += a * x * y;
        g.scale += a * (bolts[i].at[0] * bolts[i].at[0] + bolts[i].at[1] * bolts[i].at[1]) + 2.0 * own;
    }
    return g;
}

/* V A_i/sum A + M x r_i A_i/sum A r^2. */
static snub_status share_shear(const snub_group_bolt *bolts, int n, const snub_wrench *w, snub_group_share *share,
                               snub_error *error)
{
    const areas g = gather(bolts, n, false);
    const double moment = w->moment[2] - (g.middle[0] * w->force[1] - g.middle[1] * w->force[0]);
    const double polar = g.xx + g.yy > NO_STIFFNESS * g.scale ? g.xx + g.yy : 0.0;
    const double lever = fabs(g.middle[0] * w->force[1]) + fabs(g.middle[1] * w->force[0]) + fabs(w->moment[2]);
    const bool turns = fabs(moment) > MOMENT_NOISE * lever;
    if (!(polar > 0.0) && turns)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "bolts",
                         "one bolt cannot hold the bracket against turning about it: %.3g N m", moment);
    for (int i = 0; i < n; i++) {
        const double a = bolts[i].area, turn = turns ? moment * a / polar : 0.0;
        share[i].shear[0] = w->force[0] * a / g.sum - turn * (bolts[i].at[1] - g.middle[1]);
        share[i].shear[1] = w->force[1] * a / g.sum + turn * (bolts[i].at[0] - g.middle[0]);
    }
    return SNUB_OK;
}

/* Solve [xx xy; xy yy] (b, c) = rhs by its two principal directions.
 * @return the part of rhs that no stiffness answers */
static double solve_principal(const areas *g, const double rhs[2], double slope[2])
{
    const double angle = 0.5 * atan2(2.0 * g->xy, g->xx - g->yy);
    const double axis[2][2] = {{cos(angle), sin(angle)}, {-sin(angle), cos(angle)}};
    double stiff[2], left = 0.0;
    for (int k = 0; k < 2; k++) {
        const double x = axis[k][0], y = axis[k][1];
        stiff[k] = x * x * g->xx + 2.0 * x * y * g->xy + y * y * g->yy;
    }
    slope[0] = slope[1] = 0.0;
    for (int k = 0; k < 2; k++) {
        const double part = axis[k][0] * rhs[0] + axis[k][1] * rhs[1];
        if (!(stiff[k] > NO_STIFFNESS * g->scale)) {
            left = hypot(left, part);
            continue;
        }
        slope[0] += axis[k][0] * part / stiff[k];
        slope[1] += axis[k][1] * part / stiff[k];
    }
    return left;
}

static double bending(const areas *g, const double slope[2], const double at[2])
{
    return slope[0] * (at[0] - g->middle[0]) + slope[1] * (at[1] - g->middle[1]);
}

/* pull = A (a + b x + c y), a force z at (x, y) having the moments (y, -x). */
static snub_status share_pull(const snub_group_bolt *bolts, int n, bool pads, const snub_wrench *w,
                              snub_group_share *share, snub_error *error)
{
    const areas g = gather(bolts, n, pads);
    const double rhs[2] = {-w->moment[1] - g.middle[0] * w->force[2], w->moment[0] - g.middle[1] * w->force[2]};
    double slope[2];
    const double left = solve_principal(&g, rhs, slope);
    const double size =
        fabs(w->moment[0]) + fabs(w->moment[1]) + (fabs(g.middle[0]) + fabs(g.middle[1])) * fabs(w->force[2]);
    if (left > MOMENT_NOISE * size)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "bolts",
                         n == 1 ? "one bolt without a pad cannot carry a tilting moment: %.3g N m"
                                : "the bolts are in a line and nothing carries the moment about it: %.3g N m",
                         left);
    /* what rounding of the middle leaves over where bolts nearly in a line pull hard against each other */
    double rest = 0.0;
    for (int i = 0; i < n; i++) {
        const double a = pads ? snub_annulus_area(bolts[i].pad, bolts[i].hole) : bolts[i].area;
        rest += a * bending(&g, slope, bolts[i].at) / g.sum;
    }
    for (int i = 0; i < n; i++) {
        const double a = pads ? snub_annulus_area(bolts[i].pad, bolts[i].hole) : bolts[i].area;
        const double own = pads ? snub_annulus_inertia(bolts[i].pad, bolts[i].hole) : 0.0;
        const double stress = w->force[2] / g.sum + bending(&g, slope, bolts[i].at) - rest;
        const double edge =
            pads ? stress + 0.5 * bolts[i].pad * sqrt(slope[0] * slope[0] + slope[1] * slope[1]) : stress;
        share[i].pull = a * stress;
        share[i].own[0] = slope[1] * own;
        share[i].own[1] = -slope[0] * own;
        share[i].edge_pull = a * fmax(edge, 0.0);
    }
    return SNUB_OK;
}

snub_status snub_group_share_out(const snub_group_bolt *bolts, int n, const snub_wrench *wrench,
                                 snub_group_share *share, snub_error *error)
{
    if (n < 1 || n > SNUB_GROUP_BOLTS_MOST)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "bolts", "a group has 1 to %d bolts", SNUB_GROUP_BOLTS_MOST);
    bool pads = true;
    for (int i = 0; i < n; i++) {
        if (!(bolts[i].area > 0.0))
            return snub_fail(error, SNUB_BAD_INPUT, NULL, "bolts", "bolt %d has no area", i + 1);
        pads = pads && bolts[i].pad > bolts[i].hole;
    }
    const snub_status status = share_shear(bolts, n, wrench, share, error);
    return status != SNUB_OK ? status : share_pull(bolts, n, pads, wrench, share, error);
}
