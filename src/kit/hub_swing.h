/** What the swing of the spans adds to the forces on the hubs, over one cycle of the crank. Private to src/kit.
 *  docs/theory/motion.md, swing in the loads. */
#ifndef SNUB_KIT_HUB_SWING_H
#define SNUB_KIT_HUB_SWING_H

#include "snub/balance.h"
#include "snub/motion.h"

typedef struct snub_hub_cycle {
    int points, pulleys;
    double (*more)[2]; /**< [point * pulleys + pulley], beside the balance's hub force, N */
} snub_hub_cycle;

/** A span pulls no less than nothing: where its swing is greater than what it carries, it hangs loose.
 *  @param[out] cycle  arena memory
 *  @return false: memory is out */
bool snub_hub_cycle_of(const snub_balance *balance, const snub_order *orders, const snub_response *responses, int count,
                       int pulleys, snub_arena *arena, snub_hub_cycle *cycle);

/** Force on the hub of a pulley at a point, N. */
void snub_hub_at(const snub_hub_cycle *cycle, const snub_balance *balance, int point, int pulley, double force[2]);

/** Of each way of looking at what hangs on some hubs: the point of all cycles so far in which that is furthest out. */
typedef struct snub_hub_ends {
    int bodies;                    /**< hubs and mounts whose forces are looked at */
    bool (*on)[SNUB_PULLEYS_MOST]; /**< [bodies]: their pulleys */
    double *value;                 /**< [bodies * SNUB_HUB_LOOKS]; -INFINITY: none yet */
} snub_hub_ends;
/** Eight directions and their opposites, the size and its opposite. */
enum { SNUB_HUB_LOOKS = 18 };

/** @param[out] force  room for the points of the cycle
 *  @param[out] point  [bodies * SNUB_HUB_LOOKS] of this cycle, where it is further out than all before; else -1 */
void snub_hub_ends_take(const snub_hub_ends *ends, const snub_hub_cycle *cycle, const snub_balance *balance,
                        double (*force)[2], int *point);

#endif
