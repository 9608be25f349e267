/** Fitting sheet of one build: cautions, target readings, the belt's way, the steps. */
#include "sheet_readings.h"
#include "sheet_steps.h"

#define SIGNATURES 11.0     /**< mm of them, with the gaps above and above what the verdict leaves out */
#define HEADED 11.0         /**< mm of the picture's heading */
#define PICTURE_LEAST 112.0 /**< the least that shares page 1: in a smaller one labels stand beside other pulleys */
#define PICTURE 122.0       /**< height of the belt's way, mm */

/* What applies at some places. */
static snub_caution_set cautions_at(const snub_pages *pages, snub_caution_place place)
{
    return snub_cautions_of(pages->build->build) & snub_cautions_at(place);
}

/* ---- the sheet --------------------------------------------------------------------------------------------------- */

/* A build that fails: what is known, and no number that somebody could work by. */
static void refuse(snub_pages *pages)
{
    const snub_build *build = pages->build->build;
    const snub_caution_set asked = cautions_at(pages, SNUB_PLACE_START) | cautions_at(pages, SNUB_PLACE_METAL);
    snub_pages_heading(pages, SAY("This build is not to be fitted"));
    snub_pages_paragraph(
        pages,
        SAY("It fails for the reasons above, and this sheet gives no steps, torques or settings for it. Give it back "
            "to whoever designed the kit, with these reasons. Fit another build, or the one that follows when the "
            "reasons are gone; its sheet will have the steps."));
    snub_pages_cautions(pages, asked | snub_cautions_advised(build, SNUB_ALL_AREAS));
}

static void sign_off(snub_pages *pages)
{
    snub_pages_unjudged(pages, NULL);
    snub_pages_gap(pages, 3);
    snub_pages_room(pages, 6);
    snub_pages_paragraph(pages,
                         SAY("Fitted by: ____________________   Date: ______________   Checked cold after the first "
                             "heat cycle by: ____________________"));
}

static snub_status print(snub_pages *pages, const void *context, snub_error *error)
{
    snub_steps steps;
    (void)context;
    if (snub_pages_fails(pages)) {
        refuse(pages);
        return SNUB_OK;
    }
    snub_status status = snub_steps_list(pages->build->build, pages->arena, &steps, error);
    if (status != SNUB_OK)
        return status;
    snub_pages_heading(pages, SAY("Before you start"));
    snub_pages_cautions(pages, cautions_at(pages, SNUB_PLACE_START));
    snub_pages_readings(pages, &steps);
    const double left = pages->bottom - pages->y - HEADED;
    status = snub_pages_front(pages, left < PICTURE && left > PICTURE_LEAST ? left : PICTURE,
                              SAY("Belt routing, seen from the front of the engine"), error);
    if (status != SNUB_OK)
        return status;
    const double left_out = snub_pages_quiet_height(pages, snub_pages_unjudged_words(pages, NULL));
    status = snub_pages_steps(pages, &steps, SIGNATURES + left_out, error);
    sign_off(pages);
    return status;
}

snub_status snub_sheet_fitting(const snub_sheet *sheet, const snub_sheet_build *build, snub_text *out,
                               snub_error *error)
{
    snub_pages_job job = {.kind = SNUB_MESSAGE("Fitting sheet"),
                          .build = build,
                          .no_settings = build->build->verdict == SNUB_FAIL,
                          .print = print};
    return snub_pages_print(sheet, &job, out, error);
}
