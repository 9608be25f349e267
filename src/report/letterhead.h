/** letterhead.h - what a sheet has of the company and of the kit's numbers (src/report only). */
#ifndef SNUB_REPORT_LETTERHEAD_H
#define SNUB_REPORT_LETTERHEAD_H

#include "pages.h"
#include "picture.h"

typedef struct snub_letterhead {
    const snub_house *house; /**< NULL: only the numbers */
    const char *kit, *code;  /**< "" where there is none; the code of the sheet's one build */
    const char *number;      /**< of the sheet */
    const char *revision;    /**< "revision B, 2026-03-01"; "" */
    const char *says;        /**< of the QR code; NULL: the sheet has no one build */
    snub_picture logo;
    double height; /**< that it takes at the head of a page, mm */
} snub_letterhead;

/** Fill the numbers and open the logo.
 *  @param[in] letter  of the kind of sheet: what {sheet} stands for
 *  @return SNUB_OK; SNUB_BAD_INPUT, SNUB_TOO_LARGE (the logo, or what the QR code would say); SNUB_NO_MEMORY */
snub_status snub_letterhead_open(snub_pages *pages, const char *kit, const char *code, const char *letter,
                                 snub_letterhead *head, snub_error *error);
void snub_letterhead_close(snub_letterhead *head);
/** Logo, company and numbers from `top` [mm] down. */
void snub_letterhead_draw(snub_pages *pages, const snub_letterhead *head, double top);

/** The build's code, large, with what to do with it, and its QR code; nothing where the sheet has no one build.
 *  @return height [mm] */
double snub_letterhead_code(snub_pages *pages, const snub_letterhead *head, double x, double y, double width,
                            bool draw);

#endif
