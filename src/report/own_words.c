/* Names that the program gives, where others are the file's. */
#include <string.h>

#include "words.h"

const char *snub_bolt_name(const char *name, const snub_locale *locale)
{
    static const char *const own[] = {SNUB_MESSAGE("standoff bolt"), SNUB_MESSAGE("slot bolt")};
    for (int i = 0; i < 2; i++) {
        if (strcmp(name, own[i]) == 0)
            return snub_say(locale, own[i]);
    }
    return name;
}

/* "steering: shim pack, 1 x 0.90 mm (0.035 in)": the numbers stand behind the last comma. On paper a number and its
 * unit are not parted. */
void snub_pack_words(const char *pack, const snub_locale *locale, snub_text *out)
{
    const char *numbers = strrchr(pack, ',');
    const bool comma = locale != NULL && locale->decimal == ',', paper = locale != NULL && locale->both;
    for (const char *c = pack; *c != '\0'; c++) {
        const bool number = numbers != NULL && c > numbers;
        if (number && comma && *c == '.')
            snub_text_puts(out, ",");
        else if (number && paper && (strncmp(c, " mm", 3) == 0 || strncmp(c, " in", 3) == 0))
            snub_text_puts(out, "\xc2\xa0");
        else
            snub_text_add(out, c, 1);
    }
}
