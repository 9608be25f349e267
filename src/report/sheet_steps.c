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

/* What it says, and what was found about its bolt: that is read where the wrench is in hand. */
static const char *step_text(snub_pages *pages, const snub_step *step)
{
    const snub_build *build = pages->build->build;
    snub_text words = {0};
    snub_step_sentence(build, step, pages->locale, &words);
    const char *text = snub_pages_keep(pages, &words);
    for (int i = 0; i < build->findings.count; i++) {
        snub_text found = {0};
        if (!snub_step_concerns(build, step, &build->findings.items[i]))
            continue;
        snub_finding_sentence(&build->findings.items[i], pages->locale, &found);
        text = snub_pages_fill(pages, SAY("{step} Note: {finding}"), "step", text, "finding",
                               snub_pages_keep(pages, &found), NULL);
    }
    return text;
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

static double below_block(const fitting *f, const block *b)
{
    return b->end == f->steps->count ? f->below : 0;
}

/* ---- texts at the left, the picture at the right of them --------------------------------------------------------- */

static double beside_height(const fitting *f, const block *b)
{
    f->pages->narrow = SNUB_STEP_PICTURE_WIDTH + PICTURE_GAP;
    const double texts = height_of(f, b->first, b->end);
    f->pages->narrow = 0;
    return fmax(texts, snub_step_picture_height(&b->picture, texts));
}

/* @param[out] next  the next step */
static snub_status print_beside(const fitting *f, const block *b, int *next, snub_error *error)
{
    snub_pages *pages = f->pages;
    const double top = pages->y;
    pages->narrow = SNUB_STEP_PICTURE_WIDTH + PICTURE_GAP;
    const double height = snub_step_picture_height(&b->picture, height_of(f, b->first, b->end));
    print_texts(f, b->first, b->end);
    *next = fill_beside(f, b->end, top + height);
    pages->narrow = 0;
    const snub_status status = snub_step_picture_print(pages, &b->picture, caption(pages, b->first, b->end),
                                                       pages->right - SNUB_STEP_PICTURE_WIDTH, top, height, error);
    pages->y = fmax(pages->y, top + height + PICTURE_BELOW);
    return status;
}

/* ---- two side by side, each with its picture under it -------------------------------------------------------------
 */

/* In this half of the page. */
typedef struct half {
    double left, right;
} half;

static half use_half(snub_pages *pages, int which)
{
    const half whole = {pages->left, pages->right};
    const double width = (whole.right - whole.left - PICTURE_GAP) / 2;
    if (which == 0)
        pages->right = whole.left + width;
    else
        pages->left = whole.right - width;
    return whole;
}

static void use_page(snub_pages *pages, half whole)
{
    pages->left = whole.left;
    pages->right = whole.right;
}

static double under_height(const fitting *f, const block *b, double *texts)
{
    const half whole = use_half(f->pages, 0);
    *texts = height_of(f, b->first, b->end);
    use_page(f->pages, whole);
    return *texts + snub_step_picture_height(&b->picture, 0);
}

static snub_status print_under(const fitting *f, const block *b, int which, double texts, snub_error *error)
{
    snub_pages *pages = f->pages;
    const double top = pages->y;
    const half whole = use_half(pages, which);
    print_texts(f, b->first, b->end);
    const snub_status status = snub_step_picture_print(pages, &b->picture, caption(pages, b->first, b->end),
                                                       pages->right - SNUB_STEP_PICTURE_WIDTH, top + texts,
                                                       snub_step_picture_height(&b->picture, 0), error);
    use_page(pages, whole);
    pages->y = top;
    return status;
}

static snub_status print_pair(const fitting *f, const block pair[2], snub_error *error)
{
    double texts[2], height[2];
    for (int i = 0; i < 2; i++)
        height[i] = under_height(f, &pair[i], &texts[i]);
    const double tall = fmax(texts[0], texts[1]); /* their pictures begin at one height */
    snub_status status = print_under(f, &pair[0], 0, tall, error);
    if (status == SNUB_OK)
        status = print_under(f, &pair[1], 1, tall, error);
    f->pages->y += tall + fmax(height[0] - texts[0], height[1] - texts[1]) + PICTURE_BELOW;
    return status;
}

/* Does a second block follow without cautions between them, and do the two take less of the page side by side. */
static snub_status pair_of(const fitting *f, block pair[2], bool *two, double *height, snub_error *error)
{
    const int next = pair[0].end;
    *height = beside_height(f, &pair[0]);
    *two = false;
    if (next >= f->steps->count || !has_picture(f, next) || (int)f->steps->items[next].place > f->told)
        return SNUB_OK;
    const snub_status status = open_block(f, next, &pair[1], error);
    if (status != SNUB_OK)
        return status;
    double texts[2];
    const double one = under_height(f, &pair[0], &texts[0]), other = under_height(f, &pair[1], &texts[1]);
    const double both = fmax(texts[0], texts[1]) + fmax(one - texts[0], other - texts[1]);
    *two = both < WORTH * (*height + beside_height(f, &pair[1]));
    if (*two)
        *height = both + PICTURE_BELOW;
    return SNUB_OK;
}

/* A picture in the way in which it takes least of the page. @param[out] next  the next step */
static snub_status print_pictured(const fitting *f, int first, snub_caution_set before, int *next, snub_error *error)
{
    block pair[2] = {0};
    bool two = false;
    double height = 0;
    snub_status status = open_block(f, first, &pair[0], error);
    if (status == SNUB_OK)
        status = pair_of(f, pair, &two, &height, error);
    if (status == SNUB_OK) {
        snub_pages_room(f->pages,
                        snub_pages_cautions_height(f->pages, before) + height + below_block(f, &pair[two ? 1 : 0]));
        snub_pages_cautions(f->pages, before);
        *next = pair[1].end;
        status = two ? print_pair(f, pair, error) : print_beside(f, &pair[0], next, error);
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
