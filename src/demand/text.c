/* Words for states and flags. */
#include "snub/demand.h"

const char *snub_throttle_text(snub_throttle throttle)
{
    switch (throttle) {
    case SNUB_THROTTLE_OPEN: return "open";
    case SNUB_THROTTLE_PART: return "part";
    case SNUB_THROTTLE_SHUT: return "shut";
    }
    return "";
}

const char *snub_match_flag_text(snub_match_flag flag)
{
    switch (flag) {
    case SNUB_MATCH_OFF: return "the engine stands";
    case SNUB_MATCH_NO_BOOST: return "no boost: the engine swallows more than the blower gives";
    case SNUB_MATCH_BYPASS_OPEN: return "the bypass is open";
    case SNUB_MATCH_OVERSPEED: return "the rotor is over its speed limit";
    case SNUB_MATCH_OUTSIDE_MAP: return "outside of the blower's map";
    case SNUB_MATCH_SURGE: return "less flow than the surge point";
    case SNUB_MATCH_CHOKE: return "the impeller passes more air than it can raise in pressure";
    case SNUB_MATCH_SEVERAL: return "blower and engine agree at more than one flow; the greatest is given";
    case SNUB_MATCH_BELOW_IDLE: return "under idle speed: loads fade to zero at rest";
    case SNUB_MATCH_OVER_COMPRESSED: return "the blower compresses inside to more than its outlet pressure";
    case SNUB_MATCH_THROTTLED: return "throttled";
    case SNUB_MATCH_TORQUE_TABLE: return "torque and power are from the pulley's table";
    }
    return "";
}
