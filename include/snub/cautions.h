/** snub/cautions.h - the list of cautions, and which of them a build calls for. Room: report.
 *
 *  A caution is a row of snub/caution_list.inc; every output takes its sentence from there. How to add one:
 *  CONTRIBUTING.md.
 */
#ifndef SNUB_CAUTIONS_H
#define SNUB_CAUTIONS_H

#include "snub/report.h"

typedef enum snub_caution {
#define SNUB_CAUTION(name, id, signal, place, when, words) SNUB_CAUTION_##name,
#include "snub/caution_list.inc"
    SNUB_CAUTIONS_
} snub_caution;

/** Cautions as a set of bits. */
typedef uint32_t snub_caution_set;
#define SNUB_CAUTION_BIT(caution) ((snub_caution_set)1 << (caution))

/** Those that apply to every build: to be shown where there is none, as of a file that cannot be read. */
snub_caution_set snub_cautions_always(void);
/** All that apply to a build. */
snub_caution_set snub_cautions_of(const snub_build *build);
/** What the findings of some areas call for: metal taken off, another crank pulley, a speed over its limit, a belt that
 *  must be stretched on. To be shown wherever their sentences are.
 *  @param[in] areas  bits, as snub_findings_show */
snub_caution_set snub_cautions_advised(const snub_build *build, unsigned areas);
/** What a build of a chart calls for: by its findings and by how its parts come. */
snub_caution_set snub_cautions_charted(const snub_charted *build, const snub_findings *findings);

/** For a terminal: signal word and sentence of each, wrapped; then where all of them stand. */
void snub_cautions_show(snub_caution_set set, const snub_look *look, snub_text *out);

/** A list of id, signal, place, text, and whether findings call for it, in the order of the fitting sheet.
 *  @return an array; NULL where memory is out */
struct json_t *snub_json_cautions(snub_caution_set set, snub_caution_set advised);

#endif
