/* What the judges of hardware share: making a finding about a part and adding it to the
 * study's; peaks; how a seat leans under a force. */
#include "hardware_study.h"

#include <math.h>

snub_finding snub_hardware_finding(const snub_hardware_study *study, snub_wording wording, int pulley,
                                   const char *other, double value)
{
    snub_finding finding = snub_study_finding(study->study, wording, pulley, NULL);
    finding.other = other;
    finding.value = value;
    return finding;
}

snub_finding snub_mount_finding(const snub_hardware_study *study, snub_wording wording, const snub_mount *mount,
                                double value)
{
    snub_finding finding = snub_hardware_finding(study, wording, -1, mount->name, value);
    finding.line = mount->place.line;
    return finding;
}

snub_finding snub_bolt_finding(const snub_hardware_study *study, snub_wording wording, const snub_mount *mount,
                               const snub_bolt *bolt, double value)
{
    snub_finding finding = snub_mount_finding(study, wording, mount, value);
    finding.kind = SNUB_OTHER_BOLT;
    finding.second = bolt->name;
    finding.line = bolt->place.line;
    return finding;
}

void snub_hardware_tell(const snub_hardware_study *study, const snub_finding *finding)
{
    snub_study_tell(study->study, finding);
}

double snub_hardware_base(const snub_hardware *hardware, int pulley)
{
    const int mount = hardware->pulleys[pulley].mount;
    return mount >= 0 ? snub_stack_end(&hardware->mounts[mount].stack, 0.0) : 0.0;
}

void snub_peak_take(snub_peak *peak, double value, const snub_condition *at)
{
    if (value > peak->value)
        *peak = (snub_peak){value, *at};
}

bool snub_leans(const snub_lean *lean)
{
    return lean->shut != 0.0 || lean->bend != 0.0 || lean->twist != 0.0;
}

void snub_lean_of_bracket(const snub_lean *lean, const double force[2], double tilt[2])
{
    const double moment[2] = {-force[1], force[0]}; /* of the force, one unit over the plate's middle */
    const double turn = lean->twist * (moment[0] * lean->along[0] + moment[1] * lean->along[1]);
    const double bend = lean->bend * (moment[1] * lean->along[0] - moment[0] * lean->along[1]);
    tilt[0] = turn * lean->along[0] - bend * lean->along[1];
    tilt[1] = turn * lean->along[1] + bend * lean->along[0];
}

void snub_lean_of(const snub_lean *lean, const double force[2], double tilt[2])
{
    double bracket[2];
    if (lean->law != NULL && hypot(force[0], force[1]) > lean->opens_at) {
        const double size = hypot(force[0], force[1]);
        snub_tilt_from_slope(force, snub_tube_bend(lean->law, size, lean->arm, lean->length).slope, tilt);
    } else { /* as snub_tilt_from_slope, without its root */
        tilt[0] = -lean->shut * force[1];
        tilt[1] = lean->shut * force[0];
    }
    snub_lean_of_bracket(lean, force, bracket);
    for (int k = 0; k < 2; k++)
        tilt[k] += bracket[k];
}
