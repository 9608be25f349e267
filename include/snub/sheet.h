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
#include "snub/kit.h"
#include "snub/sweep.h"

/** SHA-256 of some bytes as 64 hex digits and a NUL: which file a sheet was made from. FIPS 180-4. */
void snub_sha256_text(const char *data, size_t length, char text[65]);

/* ---- messages ------------------------------------------------------------------------------------------------------
 */

/** A message catalogue as gettext's msgfmt compiles it (.mo). Points into the bytes it was read from. */
typedef struct snub_messages {
    const unsigned char *data;
    size_t length;
    bool swapped; /**< of the other byte order */
    uint32_t count, originals, translations;
} snub_messages;

/** Take a .mo file's bytes, which must live as long as `messages`. Every offset is checked once, here.
 *  @return SNUB_OK; SNUB_BAD_INPUT: no such catalogue, or one that is cut off */
snub_status snub_messages_read(const char *data, size_t length, snub_messages *messages, snub_error *error);
/** Translation of a text, or NULL. For snub_speech.say, with the messages as context. */
const char *snub_messages_say(void *messages, const char *english);

/* ---- sheets --------------------------------------------------------------------------------------------------------
 */

typedef enum snub_paper { SNUB_PAPER_A4, SNUB_PAPER_LETTER } snub_paper;

/** What stands on every page. */
typedef struct snub_sheet {
    snub_paper paper;
    const snub_speech *speech;  /**< may be NULL */
    const char *title;          /**< of the kit */
    const char *build;          /**< which build, in words; NULL on sheets of the whole kit */
    const char *file, *hash;    /**< drive file's name and SHA-256 */
    const char *version, *date; /**< date: NULL: none is printed */
} snub_sheet;

/** Every build of a kit: belt, setting, boost, speed, grip, verdict, notes. */
snub_status snub_sheet_chart(const snub_sheet *sheet, const snub_chart *chart, snub_text *out, snub_error *error);

/** What a sheet of one build is made from. */
typedef struct snub_sheet_build {
    const snub_drive *drive;
    const snub_check *rest;               /**< check at engine speed 0 */
    const snub_check *check;              /**< over the rev range; NULL without an engine */
    const snub_hardware_report *hardware; /**< NULL: the file has none */
    const snub_sweep *sweep;              /**< report only; may be NULL */
} snub_sheet_build;

/** How to fit one build: cautions, what it needs, the belt's way, numbered steps, what to measure, what to check again.
 */
snub_status snub_sheet_fitting(const snub_sheet *sheet, const snub_sheet_build *build, snub_text *out,
                               snub_error *error);
/** Everything that one build is made of. */
snub_status snub_sheet_parts(const snub_sheet *sheet, const snub_sheet_build *build, snub_text *out, snub_error *error);
/** The full-size template cut to pages, with marks to join them, and a ruler on every page. */
snub_status snub_sheet_template(const snub_sheet *sheet, const snub_sheet_build *build, snub_text *out,
                                snub_error *error);
/** Every number, limit with its source, finding and fact of one build. */
snub_status snub_sheet_report(const snub_sheet *sheet, const snub_sheet_build *build, snub_text *out,
                              snub_error *error);

/** What the arm and the pluck should read with the engine at rest, over belt tolerance and arm friction. */
typedef struct snub_expectation {
    bool known;
    double wind[3];      /**< lowest, nominal, highest, rad; NAN without an arm */
    int span;            /**< to pluck: the longest that the arm does not end; -1: none */
    double frequency[3]; /**< lowest, nominal, highest, Hz */
    double tension[3];   /**< N */
} snub_expectation;
/** Balances at rest for the shortest, nominal and longest belt, at both edges of the arm's friction. */
void snub_expect(const snub_drive *drive, const double *settings, double effective, snub_expectation *expectation);

#endif
