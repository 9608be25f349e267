/** Making findings and adding them up. Private to src/kit. */
#ifndef SNUB_KIT_FINDING_H
#define SNUB_KIT_FINDING_H

#include "snub/findings.h"

/** A finding about a drive: level and limit from the list; `limit_line` where the file sets it.
 *  Value and limit are NAN where the wording has no limit of the table; conditions are "laid out". */
snub_finding snub_finding_of(const snub_drive *drive, snub_wording wording);
/** More for the words: a number, a name that stands as it is, words to be translated. Past SNUB_NAMED_MOST: dropped, by
 *  an assert of our own. */
void snub_finding_number(snub_finding *finding, const char *place, double si, snub_unit unit, int decimals);
/** A number that is told as an order: the most or the least that will do, never rounded past it. */
void snub_finding_most(snub_finding *finding, const char *place, double si, snub_unit unit, int decimals);
void snub_finding_least(snub_finding *finding, const char *place, double si, snub_unit unit, int decimals);
void snub_finding_name(snub_finding *finding, const char *place, const char *name);
void snub_finding_words(snub_finding *finding, const char *place, const char *english);

/** Add, or replace the one of the same rule, pulley and other if the new one is worse: higher level, then farther over
 *  its limit. Names are not copied. */
void snub_findings_add(snub_findings *findings, snub_arena *arena, const snub_finding *finding);
/** fail, marginal, note; then by how many times over (or under) their limit, those without one first; then by rule, in
 *  the order of the list, and by pulley. */
void snub_findings_sort(snub_findings *findings);
/** Worst level present; SNUB_PASS for none. A note does not spoil a pass: it counts as SNUB_PASS here. */
snub_level snub_findings_verdict(const snub_findings *findings);

#endif
