/* What the judges of hardware share: making a finding about a part, and adding it to the study's. */
#include "hardware_study.h"

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
