/** step_pictures.h - the picture beside a step: snub's own, or a file's (src/report only). */
#ifndef SNUB_REPORT_STEP_PICTURES_H
#define SNUB_REPORT_STEP_PICTURES_H

#include "pages.h"
#include "picture.h"

#define SNUB_STEP_PICTURE_WIDTH 75.0 /**< mm */

typedef struct snub_step_picture {
    const snub_step *step;
    snub_picture file; /**< where the file gives one */
} snub_step_picture;

/** @param[in] step  with a picture. @return SNUB_OK; as snub_picture_open */
snub_status snub_step_picture_open(snub_pages *pages, const snub_step *step, snub_step_picture *picture,
                                   snub_error *error);
void snub_step_picture_close(snub_step_picture *picture);
/** @param[in] beside  mm of the texts beside it: a taller picture costs nothing there. Where text is
 *  set smaller, to save a page, so are pictures. @return mm, with its caption */
double snub_step_picture_height(const snub_pages *pages, const snub_step_picture *picture, double beside);
/** The least that still shows it. @return mm, with its caption */
double snub_step_picture_least(const snub_pages *pages, const snub_step_picture *picture);
/** From `left` and `top` on; nothing while pages are counted. @return SNUB_OK; as snub_view_of_build */
snub_status snub_step_picture_print(snub_pages *pages, const snub_step_picture *picture, const char *caption,
                                    double left, double top, double height, snub_error *error);

#endif
