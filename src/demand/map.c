/* A blower map between and outside of its points. docs/theory/blower.md */
#include <math.h>

#include "map.h"
#include "snub/demand.h"

/* Least fall of the ratio right of a line's end, per flow range of the line, over the ratio there: a line that ends
 * flat still chokes. An assumption; such points are flagged as outside. */
#define CHOKE_FALL 0.5

/* Ratio and efficiency at a fraction t of the line's flow range. */
static void line_at(const snub_map_line *line, double t, bool held_left, double *ratio, double *efficiency)
{
    int last = line->n - 1;
    double width = line->flow[last] - line->flow[0], flow = line->flow[0] + t * width;
    if (t <= 0) {
        double slope = (line->ratio[1] - line->ratio[0]) / (line->flow[1] - line->flow[0]);
        *ratio = line->ratio[0] + (held_left ? 0 : fmin(slope, 0) * (flow - line->flow[0]));
        *efficiency = line->efficiency[0];
        return;
    }
    if (t >= 1) {
        double slope = (line->ratio[last] - line->ratio[last - 1]) / (line->flow[last] - line->flow[last - 1]);
        slope = fmin(slope, -CHOKE_FALL * line->ratio[last] / width);
        *ratio = line->ratio[last] + slope * (flow - line->flow[last]);
        *efficiency = line->efficiency[last];
        return;
    }
    snub_curve ratios = {line->n, line->flow, line->ratio}, efficiencies = {line->n, line->flow, line->efficiency};
    *ratio = snub_curve_at(&ratios, flow);
    *efficiency = snub_curve_at(&efficiencies, flow);
}

/* Pressure ratio with its head scaled by the square of a speed ratio. */
static double scaled_ratio(double ratio, double gamma, double speed_ratio)
{
    double k = (gamma - 1) / gamma;
    double head = (pow(fmax(ratio, 0.01), k) - 1) * speed_ratio * speed_ratio;
    return pow(fmax(1 + head, 0.3), 1 / k);
}

static int lower_line(const snub_blower *blower, double speed)
{
    int i = 0;
    while (i + 2 < blower->map_lines && blower->map[i + 1].speed <= speed)
        i++;
    return i;
}

/* Where in a line's flow range its surge point lies, 0..1. */
static double surge_share(const snub_map_line *line)
{
    return line->surge > line->flow[0] ? (line->surge - line->flow[0]) / (line->flow[line->n - 1] - line->flow[0]) : 0;
}

bool snub_blower_map_at(const snub_blower *blower, double gamma, double rotor_speed, double flow, double *ratio,
                        double *efficiency, double *outside, bool *surge)
{
    if (blower->map_lines < 2 || !(rotor_speed > 0) || !isfinite(flow))
        return false;
    int low = lower_line(blower, rotor_speed);
    const snub_map_line *a = &blower->map[low], *b = a + 1;
    double within = fmin(fmax((rotor_speed - a->speed) / (b->speed - a->speed), 0), 1);
    double nearest = a->speed + within * (b->speed - a->speed), scale = rotor_speed / nearest;
    double from = (1 - within) * a->flow[0] + within * b->flow[0];
    double to = (1 - within) * a->flow[a->n - 1] + within * b->flow[b->n - 1];
    double t = (flow / scale - from) / (to - from);
    bool held_left = blower->kind == SNUB_CENTRIFUGAL;
    double ratio_a, ratio_b, efficiency_a, efficiency_b;
    line_at(a, t, held_left, &ratio_a, &efficiency_a);
    line_at(b, t, held_left, &ratio_b, &efficiency_b);
    double value = (1 - within) * ratio_a + within * ratio_b;
    /* the map's own points must come back to the last digit: no scaling inside */
    *ratio = scale != 1 && held_left ? scaled_ratio(value, gamma, scale) : value;
    *efficiency = (1 - within) * efficiency_a + within * efficiency_b;
    double by_flow = t < 0 ? 1 - flow / (scale * from) : t > 1 ? flow / (scale * to) - 1 : 0;
    if (surge)
        *surge = t < (1 - within) * surge_share(a) + within * surge_share(b);
    *outside = fmax(fabs(scale - 1) > 1e-12 ? fabs(scale - 1) : 0, by_flow);
    return true;
}
