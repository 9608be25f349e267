/** Steps of fitting on paper: each with its cautions before it and its picture beside it. */
#include "sheet_steps.h"

#include <math.h>
#include <stdio.h>

#include "lettering.h"
#include "step_pictures.h"
#include "step_words.h"

#define PICTURE_GAP 4.0   /**< mm between a step and its picture */
#define PICTURE_BELOW 2.5 /**< mm under a picture */
#define WORTH 0.85        /**< two side by side must take at most so much of one under the other */

typedef struct fitting {
    snub_pages *pages;
    const snub_steps *steps;
    double below;
    int told; /* the last place whose cautions are printed */
} fitting;

static const char *step_text(snub_pages *pages, const snub_step *step)
{
    snub_text words = {0};
    snub_step_sentence(pages->build->build, step, pages->locale, &words);
    return snub_pages_keep(pages, &words);
}

/* ---- cautions ---------------------------------------------------------------------------------------------------- */

/* The cautions of a place stand before the first step that is as late as that. */
static snub_caution_set cautions_until(fitting *f, int place)
{
    const snub_caution_set applies = snub_cautions_of(f->pages->build->build);
    snub_caution_set set = 0;
    for (; f->told < place; f->told++)
        set |= applies & snub_cautions_at((snub_caution_place)(f->told + 1));
    return set;
}

/* ---- steps of one picture ---------------------------------------------------------------------------------------- */

static bool has_picture(const fitting *f, int step)
{
    return f->steps->items[step].picture > 0 && !f->pages->sheet->no_pictures;
}

/* @return the step behind those that share the picture of `first` */
static int end_of_picture(const fitting *f, int first)
{
    int end = first + 1;
    while (has_picture(f, first) && end < f->steps->count &&
           f->steps->items[end].picture == f->steps->items[first].picture)
        end++;
    return end;
}

static double height_of(const fitting *f, int first, int end)
{
    double height = 0;
    for (int i = first; i < end; i++)
        height += snub_pages_step_height(f->pages, step_text(f->pages, &f->steps->items[i]));
    return height;
}

static void print_texts(const fitting *f, int first, int end)
{
    for (int i = first; i < end; i++)
        snub_pages_step(f->pages, i + 1, step_text(f->pages, &f->steps->items[i]));
}

/* Steps without a picture, and without cautions before them, that fit beside the picture above. @return the next one */
static int fill_beside(const fitting *f, int next, double bottom)
{
    while (next + 1 < f->steps->count && !has_picture(f, next) && (int)f->steps->items[next].place <= f->told) {
        if (f->pages->y + height_of(f, next, next + 1) > bottom)
            break;
        print_texts(f, next, next + 1);
        next++;
    }
    return next;
}

static const char *caption(snub_pages *pages, int first, int end)
{
    char a[16], b[16];
    snprintf(a, sizeof a, "%d", first + 1);
    snprintf(b, sizeof b, "%d", end);
    return end == first + 1   ? snub_pages_fill(pages, SAY("Step {number}"), "number", a, NULL)
           : end == first + 2 ? snub_pages_fill(pages, SAY("Steps {first} and {last}"), "first", a, "last", b, NULL)
                              : snub_pages_fill(pages, SAY("Steps {first} to {last}"), "first", a, "last", b, NULL);
}

/* Steps that share a picture. */
typedef struct block {
    int first, end;
    snub_step_picture picture;
} block;

static snub_status open_block(const fitting *f, int first, block *b, snub_error *error)
{
    *b = (block){.first = first, .end = end_of_picture(f, first)};
    return snub_step_picture_open(f->pages, &f->steps->items[first], &b->picture, error);
}

/* What one or two blocks take of a page, mm. */
typedef struct extent {
    double texts, picture;
    double height, least; /* of all, and with the picture as small as it may be */
} extent;

/* ---- texts at the left, the picture at the right of them --------------------------------------------------------- */

static double texts_beside(const fitting *f, const block *b)
{
    f->pages->narrow = SNUB_STEP_PICTURE_WIDTH + PICTURE_GAP;
    const double texts = height_of(f, b->first, b->end);
    f->pages->narrow = 0;
    return texts;
}

static void measure_beside(const fitting *f, const block *b, extent *e)
{
    const double texts = texts_beside(f, b), picture = snub_step_picture_height(f->pages, &b->picture, texts);
    e->texts = texts;
    e->picture = picture;
    e->height = fmax(texts, picture) + PICTURE_BELOW;
    e->least = fmax(texts, fmin(picture, snub_step_picture_least(f->pages, &b->picture))) + PICTURE_BELOW;
}

/* @param[out] next  the next step */
static snub_status print_beside(const fitting *f, const block *b, double height, int *next, snub_error *error)
{
    snub_pages *pages = f->pages;
    const double top = pages->y;
    pages->narrow = SNUB_STEP_PICTURE_WIDTH + PICTURE_GAP;
    print_texts(f, b->first, b->end);
    *next = fill_beside(f, b->end, top + height);
    pages->narrow = 0;
    const snub_status status = snub_step_picture_print(pages, &b->picture, caption(pages, b->first, b->end),
                                                       pages->right - SNUB_STEP_PICTURE_WIDTH, top, height, error);
    pages->y = fmax(pages->y, top + height + PICTURE_BELOW);
    return status;
}

/* ---- two side by side, each with its picture under it ------------------------------------------------------------ */

typedef struct edges {
    double left, right;
} edges;

/* The left half of the page, or the right one. @return the whole */
static edges use_half(snub_pages *pages, int which)
{
    const edges whole = {pages->left, pages->right};
    const double width = (whole.right - whole.left - PICTURE_GAP) / 2;
    if (which == 0)
        pages->right = whole.left + width;
    else
        pages->left = whole.right - width;
    return whole;
}

static void use_page(snub_pages *pages, edges whole)
{
    pages->left = whole.left;
    pages->right = whole.right;
}

/* Their pictures begin at one height, and are as tall as the taller. */
static void measure_pair(const fitting *f, const block pair[2], extent *e)
{
    const edges whole = use_half(f->pages, 0);
    *e = (extent){0};
    for (int i = 0; i < 2; i++) {
        e->texts = fmax(e->texts, height_of(f, pair[i].first, pair[i].end));
        e->picture = fmax(e->picture, snub_step_picture_height(f->pages, &pair[i].picture, 0));
        e->least = fmax(e->least, snub_step_picture_least(f->pages, &pair[i].picture));
    }
    use_page(f->pages, whole);
    e->height = e->texts + e->picture + PICTURE_BELOW;
    e->least += e->texts + PICTURE_BELOW;
}

static snub_status print_pair(const fitting *f, const block pair[2], const extent *e, double height, snub_error *error)
{
    snub_pages *pages = f->pages;
    const double top = pages->y;
    snub_status status = SNUB_OK;
    for (int i = 0; i < 2 && status == SNUB_OK; i++) {
        const block *b = &pair[i];
        const edges whole = use_half(pages, i);
        pages->y = top;
        print_texts(f, b->first, b->end);
        status = snub_step_picture_print(pages, &b->picture, caption(pages, b->first, b->end),
                                         pages->right - SNUB_STEP_PICTURE_WIDTH, top + e->texts, height, error);
        use_page(pages, whole);
    }
    pages->y = top + e->texts + height + PICTURE_BELOW;
    return status;
}

/* ---- either ------------------------------------------------------------------------------------------------------ */

/* Does a second block follow without cautions between them, and do the two take less of the page side by side.
 * @param[in] left  mm of this page */
static snub_status find_pair(const fitting *f, double left, block pair[2], extent *e, bool *two, snub_error *error)
{
    const int next = pair[0].end;
    extent other, both;
    measure_beside(f, &pair[0], e);
    *two = false;
    if (next >= f->steps->count || !has_picture(f, next) || (int)f->steps->items[next].place > f->told)
        return SNUB_OK;
    const snub_status status = open_block(f, next, &pair[1], error);
    if (status != SNUB_OK)
        return status;
    measure_beside(f, &pair[1], &other);
    measure_pair(f, pair, &both);
    const bool fits = left >= both.least || left < e->least; /* else the first alone has room here, or neither */
    *two = fits && both.height < WORTH * (e->height + other.height);
    if (*two)
        *e = both;
    return SNUB_OK;
}

/* In the way in which it takes least of the page, and a little smaller where that saves the rest of one.
 * @param[out] next  the next step */
static snub_status print_pictured(const fitting *f, int first, snub_caution_set before, int *next, snub_error *error)
{
    snub_pages *pages = f->pages;
    block pair[2] = {0};
    bool two = false;
    extent e;
    const double cautions = snub_pages_cautions_height(pages, before);
    snub_status status = open_block(f, first, &pair[0], error);
    if (status == SNUB_OK)
        status = find_pair(f, pages->bottom - pages->y - cautions, pair, &e, &two, error);
    if (status == SNUB_OK) {
        *next = pair[two ? 1 : 0].end;
        const double more = cautions + (*next == f->steps->count ? f->below : 0);
        const double left = pages->bottom - pages->y - more;
        const double less = left >= e.least ? fmax(0, e.height - left) : 0;
        snub_pages_room(pages, more + e.height - less);
        snub_pages_cautions(pages, before);
        status = two ? print_pair(f, pair, &e, e.picture - less, error)
                     : print_beside(f, &pair[0], e.picture - less, next, error);
    }
    snub_step_picture_close(&pair[0].picture);
    snub_step_picture_close(&pair[1].picture);
    return status;
}

/* ---- the list ---------------------------------------------------------------------------------------------------- */

/* The last one together with the signatures: nobody signs a page of its own. */
static void print_plain(const fitting *f, int step, snub_caution_set before)
{
    if (step + 1 == f->steps->count)
        snub_pages_room(f->pages,
                        snub_pages_cautions_height(f->pages, before) + height_of(f, step, step + 1) + f->below);
    snub_pages_cautions(f->pages, before);
    print_texts(f, step, step + 1);
}

snub_status snub_pages_steps(snub_pages *pages, const snub_steps *steps, double below, snub_error *error)
{
    fitting f = {pages, steps, below, SNUB_PLACE_START};
    snub_status status = SNUB_OK;
    snub_pages_heading(pages, SAY("Steps, in this order"));
    for (int i = 0; status == SNUB_OK && i < steps->count;) {
        const snub_caution_set before = cautions_until(&f, (int)steps->items[i].place);
        if (has_picture(&f, i))
            status = print_pictured(&f, i, before, &i, error);
        else
            print_plain(&f, i++, before);
    }
    snub_pages_cautions(pages, cautions_until(&f, SNUB_PLACE_LOAD)); /* of steps that the file leaves out */
    return status;
}
