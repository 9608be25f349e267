/* Where an arm or a slot puts its pulley, and what holds it in the slot. */
#include <string.h>

#include "snub/drive.h"

void snub_slot_point(const snub_slot *slot, double s, double point[2])
{
    double part = slot->length > 0 ? s / slot->length : 0;
    if (slot->curved) {
        double angle = slot->start + part * slot->sweep;
        point[0] = slot->centre[0] + slot->radius * cos(angle);
        point[1] = slot->centre[1] + slot->radius * sin(angle);
        return;
    }
    point[0] = slot->from[0] + part * (slot->to[0] - slot->from[0]);
    point[1] = slot->from[1] + part * (slot->to[1] - slot->from[1]);
}

void snub_arm_point(const snub_arm *arm, double wind, double point[2])
{
    double angle = arm->free + arm->loads * wind;
    point[0] = arm->pivot[0] + arm->length * cos(angle);
    point[1] = arm->pivot[1] + arm->length * sin(angle);
}

const snub_bolt *snub_slider_bolt(const snub_pulley_hardware *pulley)
{
    return pulley->clamp.given ? &pulley->clamp.bolt : pulley->standoff.given ? &pulley->standoff.bolt : NULL;
}

bool snub_tapped_in_plate(const snub_mount *mount, const snub_standoff *standoff)
{
    return standoff->tapped_in != NULL && mount->bracket.name != NULL &&
           strcmp(standoff->tapped_in, mount->bracket.name) == 0;
}

double snub_slot_width(const snub_mount *mount, const snub_pulley_hardware *pulley)
{
    const snub_bolt *bolt = snub_slider_bolt(pulley);
    return mount != NULL && mount->slot_width > 0 ? mount->slot_width : bolt != NULL ? bolt->hole : 0;
}
