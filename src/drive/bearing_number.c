/* Basic numbers of bearings: what the standards of boundary dimensions know (ISO 15, ISO 355), and no more. */
#include "snub/drive.h"

#include <string.h>

/* Shorter runs of figures are no number: "22 mm spigot". */
#define FIGURES_LEAST 3
#define SERIES_LEAST 2

size_t snub_bearing_number(const char *text)
{
    static const char figures[] = "0123456789";
    const size_t series = strspn(text, figures);
    /* bores that the last two figures cannot say stand behind a slash: 618/8, 63/28 */
    const size_t bore = text[series] == '/' ? strspn(text + series + 1, figures) : 0;
    const size_t length = bore > 0 ? series + 1 + bore : series;
    return series >= SERIES_LEAST && length >= FIGURES_LEAST ? length : 0;
}
