/* Brackets that bend and twist between their bolts and the pulley. docs/theory/mount.md, eq. 8. */
#include "hardware_study.h"

void snub_mount_middle(const snub_mount *mount, double middle[2])
{
    double area = 0.0;
    middle[0] = middle[1] = 0.0;
    for (int i = 0; i < mount->bolt_count; i++) {
        area += mount->bolts[i].stress_area;
        for (int k = 0; k < 2; k++)
            middle[k] += mount->bolts[i].stress_area * mount->bolts[i].at[k];
    }
    for (int k = 0; k < 2; k++)
        middle[k] /= area;
}

bool snub_mount_bends(const snub_mount *mount)
{
    return mount->width > 0.0 && mount->thickness > 0.0;
}

static double distance(const snub_bolt *bolt, const double from[2])
{
    return hypot(from[0] - bolt->at[0], from[1] - bolt->at[1]);
}

const snub_bolt *snub_mount_nearest(const snub_mount *mount, const double centre[2])
{
    int nearest = 0;
    for (int k = 1; k < mount->bolt_count; k++) {
        if (distance(&mount->bolts[k], centre) < distance(&mount->bolts[nearest], centre))
            nearest = k;
    }
    return &mount->bolts[nearest];
}

double snub_mount_reach(const snub_mount *mount, const double centre[2])
{
    return mount->reach > 0.0 ? mount->reach : distance(snub_mount_nearest(mount, centre), centre);
}

/* The plate past the bolts as a strip: bending M L/(E I), twist M L/(G J) with J = w t^3 (1 - 0.63 t/w)/3. */
static void bend(snub_hardware_study *study, const snub_mount *mount, int pulley)
{
    const double *centre = study->path->centre[pulley];
    const double t = fmin(mount->thickness, mount->width), w = fmax(mount->thickness, mount->width);
    const double stiff = mount->bracket.modulus * mount->width * pow(mount->thickness, 3) / 12.0;
    const double torsion = mount->bracket.modulus / 2.6 * w * t * t * t * (1.0 - 0.63 * t / w) / 3.0;
    const double lever = snub_hardware_belt_at(study, pulley) - mount->face - 0.5 * mount->thickness;
    const double reach = snub_mount_reach(mount, centre);
    double middle[2];
    snub_mount_middle(mount, middle);
    const double far = hypot(centre[0] - middle[0], centre[1] - middle[1]);
    snub_lean *lean = &study->lean[pulley];
    lean->along[0] = far > 0.0 ? (centre[0] - middle[0]) / far : 1.0;
    lean->along[1] = far > 0.0 ? (centre[1] - middle[1]) / far : 0.0;
    lean->bend = lever * reach / stiff;
    lean->twist = lever * reach / torsion;
}

void snub_hardware_brackets(snub_hardware_study *study)
{
    for (int i = 0; i < study->drive->pulley_count; i++) {
        const int index = study->hardware->pulleys[i].mount;
        const snub_mount *mount = index >= 0 ? &study->hardware->mounts[index] : NULL;
        if (mount != NULL && snub_mount_bends(mount))
            bend(study, mount, i);
    }
}

double snub_hardware_bracket_slope(const snub_hardware_study *study, int mount)
{
    double worst = 0.0;
    for (int i = 0; i < study->drive->pulley_count; i++) {
        if (study->hardware->pulleys[i].mount != mount)
            continue;
        for (int k = 0; k < study->study->steady_count; k++) { /* as in hardware_lean.c */
            double tilt[2];
            snub_lean_of_bracket(&study->lean[i], study->study->samples[k].force[i], tilt);
            worst = fmax(worst, hypot(tilt[0], tilt[1]));
        }
    }
    return worst;
}
