/** The picture beside a step. */
#include "step_pictures.h"

#include <math.h>

#include "lettering.h"
#include "snub/draw_drive.h"
#include "words.h"

#define CAPTION 4.6      /**< mm that it takes, above the picture */
#define CAPTION_TYPE 2.2 /**< capitals, mm */
#define LEAST 52.0       /**< of a picture about one place, mm */
#define BELT_LEAST 70.0  /**< of one about the whole belt */
#define MOST 84.0
#define SHRINKS 0.8 /**< to so much of these, where that saves the rest of a page */

snub_status snub_pictures_check(const snub_pictures *pictures, snub_errors *errors)
{
    snub_status first = SNUB_OK;
    for (int i = 0; i < pictures->count; i++) {
        snub_picture picture;
        snub_error error = {0};
        const snub_status status = snub_picture_open(&pictures->items[i], "picture", &picture, &error);
        snub_picture_close(&picture);
        if (status != SNUB_OK)
            snub_errors_add(errors, &error);
        first = first == SNUB_OK ? status : first;
    }
    return first;
}

snub_status snub_step_picture_open(snub_pages *pages, const snub_step *step, snub_step_picture *picture,
                                   snub_error *error)
{
    const snub_step_change *file = step->file;
    *picture = (snub_step_picture){.step = step};
    if (file == NULL)
        return SNUB_OK;
    const snub_pictures *all = pages->sheet->pictures;
    const snub_picture_file *found = all != NULL ? snub_pictures_find(all, file->picture) : NULL;
    if (found == NULL || found->data == NULL)
        return snub_fail(error, SNUB_BAD_INPUT, &file->picture_place, "picture", "was not read");
    return snub_picture_open(found, "picture", &picture->file, error);
}

void snub_step_picture_close(snub_step_picture *picture)
{
    snub_picture_close(&picture->file);
}

double snub_step_picture_height(const snub_pages *pages, const snub_step_picture *picture, double beside)
{
    if (picture->step->file != NULL)
        return CAPTION +
               pages->tight * fmin(MOST, SNUB_STEP_PICTURE_WIDTH * picture->file.height / picture->file.width);
    const double least = picture->step->shows->belt ? BELT_LEAST : LEAST;
    return CAPTION + fmin(fmax(beside - CAPTION, pages->tight * least), MOST);
}

double snub_step_picture_least(const snub_pages *pages, const snub_step_picture *picture)
{
    return CAPTION + SHRINKS * (snub_step_picture_height(pages, picture, 0) - CAPTION);
}

static snub_status draw_own(snub_pages *pages, const snub_step_parts *parts, double x, double y, double height,
                            snub_error *error)
{
    snub_view view;
    snub_view_focus focus;
    snub_drawing drawing;
    const snub_build *build = pages->build->build;
    snub_status status = snub_build_view(build, pages->build->rest, pages->locale, pages->arena, &view, error);
    if (status == SNUB_OK)
        status = snub_view_focus_of(build, parts, pages->locale, &view, pages->arena, &focus, error);
    if (status != SNUB_OK)
        return status;
    view.paper[0] = SNUB_STEP_PICTURE_WIDTH;
    view.paper[1] = height;
    status = snub_draw_focus(&view, &focus, pages->locale, pages->arena, &drawing, error);
    if (status == SNUB_OK)
        snub_pages_drawing(pages, &drawing, x, y, 1);
    return status;
}

snub_status snub_step_picture_print(snub_pages *pages, const snub_step_picture *picture, const char *caption,
                                    double left, double top, double height, snub_error *error)
{
    const double x = left, y = top + CAPTION, deep = height - CAPTION;
    snub_status status = SNUB_OK;
    if (pages->count == 0)
        return SNUB_OK;
    snub_pages_words(pages, x, top + 3.3, CAPTION_TYPE, true, SNUB_INK_TEXT, -1, caption);
    cairo_save(pages->cr);
    cairo_rectangle(pages->cr, x, y, SNUB_STEP_PICTURE_WIDTH, deep);
    cairo_clip(pages->cr);
    if (picture->step->file != NULL)
        snub_picture_draw(&picture->file, pages->cr, x, y, SNUB_STEP_PICTURE_WIDTH, deep);
    else
        status = draw_own(pages, picture->step->shows, x, y, deep, error);
    cairo_restore(pages->cr);
    snub_type_ink(pages->cr, SNUB_INK_LIGHT);
    cairo_set_line_width(pages->cr, 0.2);
    cairo_rectangle(pages->cr, x, y, SNUB_STEP_PICTURE_WIDTH, deep);
    cairo_stroke(pages->cr);
    return status;
}
