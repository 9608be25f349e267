/* What a verdict leaves out, on paper. */
#include "pages.h"
#include "words.h"

const char *snub_pages_unjudged_words(snub_pages *pages, const snub_chart *chart)
{
    snub_text words = {0};
    const snub_build *build = chart == NULL ? pages->build->build : NULL;
    snub_unjudged_words(&build, build != NULL ? 1 : 0, chart, pages->locale, &words);
    const bool any = words.length > 0;
    const char *list = snub_pages_keep(pages, &words);
    return any ? snub_pages_fill(pages,
                                 SAY("Not judged, because the drive file does not give the key in brackets: {list}."),
                                 "list", list, NULL)
               : "";
}

void snub_pages_unjudged(snub_pages *pages, const snub_chart *chart)
{
    const char *words = snub_pages_unjudged_words(pages, chart);
    if (words[0] == '\0')
        return;
    snub_pages_gap(pages, 2);
    snub_pages_quiet(pages, words);
}
