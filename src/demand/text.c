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
    case SNUB_MATCH_OFF: return "the engine is stopped";
    case SNUB_MATCH_NO_BOOST: return "no boost: the engine takes more air than the blower delivers";
    case SNUB_MATCH_BYPASS_OPEN: return "the bypass is open";
    case SNUB_MATCH_OVERSPEED: return "the rotor is over its speed limit";
    case SNUB_MATCH_OUTSIDE_MAP: return "outside the blower's map";
    case SNUB_MATCH_SURGE: return "flow is below the surge point";
    case SNUB_MATCH_CHOKE: return "the flow is more than the impeller can compress";
    case SNUB_MATCH_SEVERAL: return "blower and engine match at more than one flow; the largest is given";
    case SNUB_MATCH_BELOW_IDLE: return "below idle speed: loads fall to zero at standstill";
    case SNUB_MATCH_OVER_COMPRESSED: return "the blower's internal compression exceeds its outlet pressure";
    case SNUB_MATCH_THROTTLED: return "throttled";
    case SNUB_MATCH_TORQUE_TABLE: return "torque and power are from the pulley's table";
    }
    return "";
}
