/** contents_tools.h - the tools that a build's bolts and reworks need. */
#ifndef SNUB_KIT_CONTENTS_TOOLS_H
#define SNUB_KIT_CONTENTS_TOOLS_H

#include "snub/contents.h"

/** A torque that a wrench must read; of a first round half of `last`, else `last` itself. N m */
typedef struct snub_tool_torque {
    double torque, last;
} snub_tool_torque;

/** Tools as they are gathered. */
typedef struct snub_tool_box {
    snub_arena *arena;
    int count, room;
    snub_tool *tools;
    int torque_count, torque_room;
    snub_tool_torque *torques;
    bool failed;
} snub_tool_box;

/** A bolt that is loosened or tightened.
 *  @param[in] torque  N m; 0 or NAN: not known */
void snub_tools_bolt(snub_tool_box *box, const snub_bolt *bolt, double torque, int count);
/** A bolt that is tightened with half its torque [N m] before. */
void snub_tools_first_round(snub_tool_box *box, double torque);
void snub_tools_rework(snub_tool_box *box, const snub_rework *rework);
/** Wrenches for the torques; all in order. */
void snub_tools_end(snub_tool_box *box);

#endif
