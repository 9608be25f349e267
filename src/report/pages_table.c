/** Tables on pages. */
#include <math.h>
#include <string.h>

#include "lettering.h"
#include "words.h"

#define TABLE_START 18.0 /**< what a table is begun with: its head and a few rows */

#define CELL_PAD 1.2

static double cell(snub_pages *pages, const snub_pages_column *c, double x, double y, double width, double height,
                   bool bold, snub_ink ink, const char *text, bool draw)
{
    snub_type t = {height, bold, ink, c->across};
    return text == NULL || text[0] == '\0'
               ? 0
               : snub_type_block(pages, &t, x + CELL_PAD, y, width - 2 * CELL_PAD, text, draw);
}

/* ---- widths ------------------------------------------------------------------------------------------------------ */

#define CELL_TYPE 1.85
enum { COLUMNS_MOST = 64 };

/** What the texts of a column want. */
typedef struct wants {
    double word;                       /**< the widest word: narrower, and it would be broken, mm */
    double line;                       /**< the widest text on one line, mm */
    size_t longest_word, longest_line; /* bytes: what is much shorter is not measured */
} wants;

typedef struct widths {
    wants want[COLUMNS_MOST];
    double width[COLUMNS_MOST];
    bool fixed[COLUMNS_MOST];
    double
        small; /**< by which the table's letters are smaller than others, so that no word is broken; 1: they are not */
} widths;

/* Smaller, and words are broken: cells of 5.9 pt. */
#define SMALL_LEAST 0.8
#define SMALL_STEP 0.04

/* Of a text that is given by its length. */
static double measured(snub_pages *pages, const char *text, size_t length, double height)
{
    const char *piece = snub_copy_text_n(pages->arena, text, length);
    pages->failed = pages->failed || piece == NULL;
    return piece != NULL ? snub_text_measure(piece, height * pages->tight, true) + 2 * CELL_PAD + 0.2 : 0;
}

/* Letters differ in width, by less than this between texts that count. */
static bool may_be_wider(size_t length, size_t longest)
{
    return length > 0 && 10 * length >= 6 * longest;
}

static void want_text(snub_pages *pages, const char *text, double height, wants *w)
{
    for (const char *line = text; line != NULL && *line != '\0';) {
        const size_t length = strcspn(line, "\n");
        if (may_be_wider(length, w->longest_line))
            w->line = fmax(w->line, measured(pages, line, length, height));
        w->longest_line = length > w->longest_line ? length : w->longest_line;
        for (const char *word = line; word < line + length;) {
            const size_t part = strcspn(word, " \n");
            if (may_be_wider(part, w->longest_word))
                w->word = fmax(w->word, measured(pages, word, part, height));
            w->longest_word = part > w->longest_word ? part : w->longest_word;
            word += part + (word[part] != '\0');
        }
        line += length + (line[length] != '\0');
    }
}

/* One round of sharing what the fixed columns leave: those that would get less than their widest word are fixed at
 * that, or else those that would get more than they can use.
 * @return whether any was fixed */
static bool share_round(const snub_pages_column *columns, int count, double all, widths *w)
{
    double left = all, shares = 0, wrong = 0;
    for (int i = 0; i < count; i++) {
        left -= w->fixed[i] ? w->width[i] : 0;
        shares += w->fixed[i] ? 0 : columns[i].share;
    }
    for (int i = 0; i < count; i++) {
        if (w->fixed[i])
            continue;
        w->width[i] = left * columns[i].share / shares;
        wrong += fmin(fmax(w->width[i], w->want[i].word), w->want[i].line) - w->width[i];
    }
    bool any = false;
    for (int i = 0; i < count; i++) {
        const wants *want = &w->want[i];
        if (w->fixed[i] || (wrong >= 0 ? w->width[i] >= want->word : w->width[i] <= want->line))
            continue;
        w->width[i] = wrong >= 0 ? want->word : want->line;
        w->fixed[i] = any = true;
    }
    return any;
}

/* Where there is no room for the widest words of all, the widest columns give, down to one width that is found from an
 * equal share upwards: numbers and short words stay whole. */
static void cut_widest(int count, double all, widths *w)
{
    double most = all / count;
    for (int round = 0; round < count; round++) {
        double narrow = 0;
        int wide = 0;
        for (int i = 0; i < count; i++) {
            narrow += w->width[i] <= most ? w->width[i] : 0;
            wide += w->width[i] > most;
        }
        if (wide > 0)
            most = (all - narrow) / wide;
    }
    for (int i = 0; i < count; i++)
        w->width[i] = fmin(w->width[i], most);
}

/* What nobody needs goes to all by their shares. */
static void settle_rest(const snub_pages_column *columns, int count, double all, widths *w)
{
    double sum = 0, shares = 0;
    for (int i = 0; i < count; i++) {
        sum += w->width[i];
        shares += columns[i].share;
    }
    if (sum > all)
        cut_widest(count, all, w);
    for (int i = 0; i < count && sum <= all; i++)
        w->width[i] += (all - sum) * columns[i].share / shares;
}

static double cell_type(const snub_pages *pages, const widths *w)
{
    return (pages->cell > 0 ? pages->cell : CELL_TYPE) * w->small;
}

/* What the columns want with letters of a size. @return width of all their widest words, mm */
static double find_wants(snub_pages *pages, const snub_pages_column *columns, int count, const char *const *cells,
                         int rows, double small, widths *w)
{
    double words = 0;
    *w = (widths){.small = small};
    for (int i = 0; i < count; i++) {
        for (int r = 0; r < rows; r++)
            want_text(pages, cells[(size_t)r * (size_t)count + (size_t)i], cell_type(pages, w), &w->want[i]);
        w->want[i].longest_word = w->want[i].longest_line = 0;
        want_text(pages, columns[i].title, SNUB_TYPE_SMALL * small, &w->want[i]);
        want_text(pages, columns[i].unit, SNUB_TYPE_SMALL * small, &w->want[i]);
        words += w->want[i].word;
    }
    return words;
}

/* Each column as its share has it, but no narrower than its widest word and no wider than its texts. A table whose
 * words are too many for the page is set in smaller letters. */
static void find_widths(snub_pages *pages, const snub_pages_column *columns, int count, const char *const *cells,
                        int rows, widths *w)
{
    const double all = pages->right - pages->left;
    double small = 1;
    while (find_wants(pages, columns, count, cells, rows, small, w) > all && small > SMALL_LEAST + 1e-9)
        small -= SMALL_STEP;
    while (share_round(columns, count, all, w)) {
    }
    settle_rest(columns, count, all, w);
}

static void table_head(snub_pages *pages, const snub_pages_column *columns, int count, const widths *w)
{
    double deep[2] = {0, 0}, x = pages->left;
    for (int pass = 0; pass < 2; pass++) {
        x = pages->left;
        for (int i = 0; i < count; i++) {
            const double part = w->width[i];
            deep[0] = fmax(deep[0], cell(pages, &columns[i], x, pages->y, part, SNUB_TYPE_SMALL * w->small, true,
                                         SNUB_INK_TEXT, columns[i].title, pass == 1));
            x += part;
        }
        x = pages->left;
        for (int i = 0; i < count; i++) {
            const double part = w->width[i];
            deep[1] = fmax(deep[1], cell(pages, &columns[i], x, pages->y + deep[0], part, SNUB_TYPE_SMALL * w->small,
                                         false, SNUB_INK_QUIET, columns[i].unit, pass == 1));
            x += part;
        }
    }
    pages->y += deep[0] + deep[1] + 0.8;
    snub_type_rule(pages, pages->left, pages->y, pages->right, pages->y, 0.35, SNUB_INK_OUTLINE);
    pages->y += 0.7;
}

void snub_pages_table(snub_pages *pages, const snub_pages_column *columns, int count, const char *const *cells,
                      int rows)
{
    widths *w = count <= COLUMNS_MOST ? SNUB_NEW(pages->arena, widths, 1) : NULL;
    if (w == NULL) {
        pages->failed = true;
        return;
    }
    find_widths(pages, columns, count, cells, rows, w);
    snub_pages_room(pages, TABLE_START);
    table_head(pages, columns, count, w);
    for (int r = 0; r < rows; r++) {
        double deep = 0;
        for (int pass = 0; pass < 2; pass++) {
            if (pass == 1 && pages->y + deep > pages->bottom) {
                snub_pages_next(pages);
                table_head(pages, columns, count, w);
            }
            double x = pages->left;
            for (int i = 0; i < count; i++) {
                const char *text = cells[(size_t)r * (size_t)count + (size_t)i];
                const double part = w->width[i];
                bool fail = text != NULL && strcmp(text, SAY(snub_level_text(SNUB_FAIL))) == 0;
                bool marginal = text != NULL && strcmp(text, SAY(snub_level_text(SNUB_MARGINAL))) == 0;
                deep = fmax(deep, cell(pages, &columns[i], x, pages->y, part, cell_type(pages, w), fail || marginal,
                                       fail       ? SNUB_INK_FAIL
                                       : marginal ? SNUB_INK_MARGINAL
                                                  : SNUB_INK_TEXT,
                                       text, pass == 1));
                x += part;
            }
        }
        pages->y += deep + 0.5;
        snub_type_rule(pages, pages->left, pages->y, pages->right, pages->y, 0.1, SNUB_INK_FAINT);
        pages->y += 0.5;
    }
    pages->y += 1;
}
