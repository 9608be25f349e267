/** snub/share.h - a kit as data for one page that needs no program: `snub share`. Room: report. */
#ifndef SNUB_SHARE_H
#define SNUB_SHARE_H

#include "snub/kit.h"
#include "snub/sheet.h"

enum {
    SNUB_SHARE_BUILDS_MOST = 100, /**< more make a page that a phone is slow with */
    SNUB_SHARE_SPEEDS = 8         /**< from idle to redline; one more with the engine stopped */
};

typedef struct snub_share {
    const snub_sheet *sheet; /**< kit's title, file, version, date, house, words */
    const snub_chart *chart; /**< of the same rows as the builds */
    const char *language;    /**< "de": of the words, for the browser */
    const char *watermark;   /**< NULL: none */
    bool sales;              /**< without the engineer's figures and findings */
    bool steps;              /**< with the steps of fitting */
} snub_share;

struct json_t;
/** What holds for the whole kit, with an empty list of `builds`.
 *  @return a tree of the caller's; NULL where memory is out */
struct json_t *snub_json_share(const snub_share *share, snub_arena *arena);
/** One build more. Its words and numbers are those of the application chart and of the fitting sheet; a build that
 *  fails has no belt, setting, steps or drawing: nothing to work by.
 *  @param[in] number  of its row, from 0
 *  @param[in] build   that row, settled and judged
 *  @return SNUB_OK; SNUB_NO_MEMORY */
snub_status snub_json_share_add(const snub_share *share, int number, const snub_build *build, snub_arena *arena,
                                struct json_t *tree, snub_error *error);

#endif
