/* Strips of plate with a hole through them. docs/theory/mount.md, strip. */
#include "flat_bar.h"

#include "snub/mount.h"

double snub_hole_in_bending(double gone, double thickness)
{
    /* Hole of diameter d in a wide plate of thickness t that is bent out of its plane (Roark's table of stress
     * concentrations, memory). Its ends are theory: 3 for t >> d, (5 + 3 nu)/(3 + nu) = 1.79 for t << d. */
    const double x = gone / thickness;
    return 1.79 + 0.25 / (0.39 + x) + 0.81 / (1.0 + x * x) - 0.26 / (1.0 + x * x * x);
}

double snub_hole_in_tension(double share)
{
    return 2.0 + pow(1.0 - share, 3.0); /* Heywood, memory; within 2 % of Howland's solution up to a half */
}

snub_flat_stress snub_flat_stress_of(const snub_flat *strip, const snub_flat_load *load)
{
    const double w = strip->width, t = strip->thickness, d = strip->gone, net = w - d;
    const double wide = fmax(net, t), thin = fmin(net, t);
    return (snub_flat_stress){.bend = 6.0 * load->bend / (net * t * t),
                              .twist = load->twist / (wide * thin * thin) * (3.0 + 1.8 * thin / wide),
                              .sideways = 6.0 * load->sideways * w / ((w * w * w - d * d * d) * t),
                              .pull = load->pull / (net * t)};
}

double snub_flat_greatest(const snub_flat_stress *s)
{
    const double straight = fabs(s->bend) + fabs(s->pull);
    return fmax(straight + fabs(s->sideways), sqrt(straight * straight + 3.0 * s->twist * s->twist));
}

double snub_flat_peak(const snub_flat *strip, const snub_flat_stress *s)
{
    if (!(strip->gone > 0.0))
        return snub_flat_greatest(s);
    const double sharp = sqrt(0.5 * strip->gone / strip->end_radius);
    const double round = snub_hole_in_bending(2.0 * strip->end_radius, strip->thickness);
    const double bend = fabs(s->bend), half = sqrt(0.25 * bend * bend + s->twist * s->twist);
    const double most = 0.5 * bend + half, least = 0.5 * bend - half;
    const double share = strip->gone / strip->width;
    const double bent = (1.0 + (round - 1.0) * sharp) * most + (2.0 - round) * least;
    const double pulled = (1.0 + (snub_hole_in_tension(share) - 1.0) * sharp) * fabs(s->pull);
    const double sideways = (1.0 + sharp) * share * fabs(s->sideways);
    return fmax(bent + pulled + sideways, snub_flat_greatest(s));
}
