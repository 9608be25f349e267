/* Helpers of the JSON writers; private to the room. */
#ifndef SNUB_JSON_WORDS_H
#define SNUB_JSON_WORDS_H

#include "snub/cautions.h"
#include "snub/json.h"
#include "snub/report.h"

/** snub_json_put of a number; null where it is not finite. */
void snub_json_put_number(json_t *object, const char *key, double value);
/** Note a part that could not be made for other reasons. */
void snub_json_lose(void);
/** @return the tree; NULL where it is NULL or a part of it was lost: given back then, and the note is forgotten */
json_t *snub_json_whole(json_t *tree);

/* ---- pieces of a build, the same in every door ------------------------------------------------------------------- */

/** Name of each slot pulley to its setting in mm. */
json_t *snub_json_slots(const snub_build *build, const double *settings);
/** The second best belt: designation, part, belt_length_mm, slots_mm, verdict, grip_used, gap_mm, arm_wind_deg; null.
 */
json_t *snub_json_runner_up(const snub_build *build);
json_t *snub_json_charted_runner_up(const snub_charted *build);
/** because, on_offer, that_fit */
json_t *snub_json_why(bool settled, snub_why why, int offered, int usable);
/** fingerprint (snub_drive_digest), ribs, belt_length_mm, designation, part, belt_chosen_by_snub, slots_mm, row, why,
 * runner_up */
json_t *snub_json_build(const snub_build *build);
/** variant, package, options, set */
json_t *snub_json_row(const snub_row *row);
/** What it is made of: new, kept, changed, removed, each a list of parts, and tools (snub/contents.h). */
json_t *snub_json_contents(const snub_build *build);
struct snub_item;
/** What a part is: all of it but how many there are and where. */
json_t *snub_json_item(const struct snub_item *item);
/** "pass", "marginal", "fail"; null where nothing was judged. */
json_t *snub_json_verdict(const snub_build *build);
/** What the verdict of any of these builds leaves out for want of data: what, key, pulleys, text of each
 * (snub/unjudged.h).
 *  @param[in] builds  count of them
 *  @param[in] chart   those of a chart too; or NULL */
json_t *snub_json_unjudged(const snub_build *const *builds, int count, const snub_chart *chart);
/** verdict, and not_judged, which stands beside it in every door. */
void snub_json_put_verdict(json_t *object, const snub_build *build);
/** Inertias of what moves, with their basis. */
json_t *snub_json_inertias(const snub_vibration *vibration);

/** Why there is nothing to show in a state without a balance. */
json_t *snub_json_no_balance(const snub_build *build, const snub_finding *why, const snub_locale *locale);
/** The ids of those cautions, in their order. */
void snub_json_append_caution_ids(json_t *list, snub_caution_set set);
/** Into an object: at_rpm, state, belt, warmth, arm_friction, peak. */
void snub_json_put_condition(json_t *object, const snub_condition *at);
/** Into an object, the words by which `check` and the page's server take a case: case, belt, arm_friction, warmth,
 * peak. */
void snub_json_put_case(json_t *object, const snub_wanted_state *wanted);
/** The greatest pull of the belt at the crank and at what is driven, over all cases: pulley, hub_load_N, hub_load_deg
 *  (counter-clockwise from the right), allowed_N, and when. */
json_t *snub_json_hubs(const snub_build *build);
/** torque_N_m, allowed_N_m, and when; null where it was not judged. */
json_t *snub_json_nose(const snub_build *build);
/** Spans that flap; `vibration->flapping` is there. */
json_t *snub_json_flapping(const snub_vibration *vibration);
/** Arm and spans together; `vibration->coupled` is there. */
json_t *snub_json_coupled(const snub_vibration *vibration);
/** What calms a drive; `vibration->calming` is there. */
json_t *snub_json_calming(const snub_vibration *vibration);

/** Findings as a list of objects: level, rule, area, pulley, other, span, line, value, limit, unit, at_rpm, state,
 * belt, arm_friction, case (null: laid out), changes, text, source. */
struct json_t *snub_json_findings(const snub_findings *findings, const snub_locale *locale);

#endif
