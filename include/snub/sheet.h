/** snub/sheet.h - printed sheets: application chart, fitting sheet, parts list, template, engineering report. Room:
 * report.
 *
 *  PDF by cairo and pango: A4 or Letter, faces embedded, text selectable. The same input gives the same bytes. Lengths,
 *  torques and pressures stand in metric and inch units side by side.
 */
#ifndef SNUB_SHEET_H
#define SNUB_SHEET_H

#include "snub/draw.h"
#include "snub/hardware.h"
#include "snub/house.h"
#include "snub/kit.h"
#include "snub/steps.h"
#include "snub/sweep.h"

/* ---- sheets ------------------------------------------------------------------------------------------------------ */

typedef enum snub_paper { SNUB_PAPER_A4, SNUB_PAPER_LETTER } snub_paper;

/** What stands on every page; beside it the build's name, its verdict, and the fingerprint of what it was made from
 *  (snub_drive_digest), which the sheets work out themselves. */
typedef struct snub_sheet {
    snub_paper paper;
    const snub_locale *locale;     /**< may be NULL; `both` is set by the sheets */
    const char *title;             /**< of the kit */
    const char *file;              /**< drive file's name */
    const char *version, *date;    /**< date: NULL: none is printed */
    const snub_house *house;       /**< the company's: head, wording, revisions; NULL: none */
    const snub_pictures *pictures; /**< fitting sheet: the file's own, for its steps; NULL: it has none */
    bool no_pictures;              /**< fitting sheet: none beside the steps */
} snub_sheet;

/** Every build of a kit, for whoever sells: belt, setting, boost, what is done to the engine, what is not sold and why.
 */
snub_status snub_sheet_chart(const snub_sheet *sheet, const snub_chart *chart, snub_text *out, snub_error *error);

/** Every build of a kit, for whoever signs: wrap, boost, speeds, grip, verdict, and each kind of finding with its
 * basis. */
snub_status snub_sheet_kit(const snub_sheet *sheet, const snub_chart *chart, snub_text *out, snub_error *error);

/** Each slot that is set by hand, at full size, with a line for every build that does not fail, and a ruler.
 *  @return SNUB_OK; SNUB_BAD_INPUT: there is none; SNUB_TOO_LARGE: longer than the page; SNUB_NO_MEMORY */
snub_status snub_sheet_strip(const snub_sheet *sheet, const snub_chart *chart, snub_text *out, snub_error *error);

/** What a sheet of one build is made from.
 *  A build that fails gets DO NOT FIT with its reasons on top of every page; its fitting sheet has no steps and no
 *  numbers to work by. A marginal verdict stands in full on page 1. */
typedef struct snub_sheet_build {
    const snub_build *build;
    const snub_state *rest;              /**< with the engine at rest */
    const snub_state *state;             /**< report only: the state that is shown beside; may be NULL */
    const snub_sweep *sweep;             /**< report only; may be NULL */
    const struct snub_default *defaults; /**< report only: what the file leaves out, tried or not; may be NULL */
    int default_count;
} snub_sheet_build;

/** How to fit one build: cautions, what it needs, the belt's way, numbered steps, what to measure, what to check again.
 */
snub_status snub_sheet_fitting(const snub_sheet *sheet, const snub_sheet_build *build, snub_text *out,
                               snub_error *error);
/** Can each of the file's own pictures be drawn.
 *  @return SNUB_OK; SNUB_BAD_INPUT, SNUB_TOO_LARGE (errors filled, each at the place that names it); SNUB_NO_MEMORY */
snub_status snub_pictures_check(const snub_pictures *pictures, snub_errors *errors);
/** The same steps as JSON: each with its id, the cautions before it, its parts, torque, numbers and words. A build that
 *  fails has none.
 *  @return an object; NULL where memory is out */
struct json_t *snub_json_steps(const snub_build *build, const snub_steps *steps, const snub_locale *locale);
/** Everything that one build is made of. */
snub_status snub_sheet_parts(const snub_sheet *sheet, const snub_sheet_build *build, snub_text *out, snub_error *error);
struct snub_bill;
struct snub_catalogue;
/** The bill of materials of a kit. @param[in] catalogue  NULL: no prices */
snub_status snub_sheet_bill(const snub_sheet *sheet, const struct snub_bill *bill, struct snub_catalogue *catalogue,
                            snub_text *out, snub_error *error);
/** The full-size template cut to pages, with marks to join them, and a ruler on every page. */
snub_status snub_sheet_template(const snub_sheet *sheet, const snub_sheet_build *build, snub_text *out,
                                snub_error *error);
/** Every number, limit with its source, finding and fact of one build. */
snub_status snub_sheet_report(const snub_sheet *sheet, const snub_sheet_build *build, snub_text *out,
                              snub_error *error);

#endif
