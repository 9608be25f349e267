/* The list of keys of the drive file, for a terminal. */
#include <math.h>
#include <string.h>

#include "snub/key_list.h"
#include "snub/locale.h"

static bool wanted(const snub_file_key *key, const char *const *words)
{
    for (; *words != NULL; words++) {
        if (strstr(key->pattern, *words) == NULL)
            return false;
    }
    return true;
}

static void add_bounds(const snub_key_bounds *bounds, snub_text *out)
{
    const char *blank = bounds->unit[0] != '\0' ? " " : "";
    if (isnan(bounds->least) && isnan(bounds->most))
        snub_text_printf(out, "%s%s, bounds by other values", blank, bounds->unit);
    else if (isnan(bounds->least))
        snub_text_printf(out, " up to %.10g%s%s", bounds->most, blank, bounds->unit);
    else if (isnan(bounds->most))
        snub_text_printf(out, " from %.10g%s%s", bounds->least, blank, bounds->unit);
    else
        snub_text_printf(out, " %.10g to %.10g%s%s", bounds->least, bounds->most, blank, bounds->unit);
}

static void add_kind(const snub_file_key *key, snub_text *out)
{
    snub_text_puts(out, snub_key_kind_text(key->kind));
    if (key->x.unit != NULL)
        add_bounds(&key->x, out);
    if (key->y.unit != NULL) {
        snub_text_puts(out, ", then");
        add_bounds(&key->y, out);
    }
    for (int i = 0; key->words != NULL && key->words[i] != NULL; i++)
        snub_text_printf(out, "%s%s", i > 0 ? ", " : ": ", key->words[i]);
    if (key->unit_needed)
        snub_text_puts(out, ", with its unit");
    if (key->kind == SNUB_KEY_TEXT && key->most > 0)
        snub_text_printf(out, " of up to %d bytes", key->most);
    else if (key->most > 0)
        snub_text_printf(out, ", %d to %d of them", key->least, key->most);
    if (key->needed)
        snub_text_puts(out, "; needed");
    if (key->preset != NULL)
        snub_text_printf(out, "; default %s", key->preset);
    if (key->usual[0] != NULL)
        snub_text_printf(out, ", usually %s to %s", key->usual[0], key->usual[1]);
    if (key->source != NULL)
        snub_text_printf(out, " (%s)", key->source);
}

enum { COLUMN = 44 };

static void indent(int used, snub_text *out)
{
    for (; used < COLUMN; used++)
        snub_text_puts(out, " ");
}

int snub_text_keys(const snub_file_key *keys, const char *const *words, const snub_look *look,
                   const snub_locale *locale, snub_text *out)
{
    int count = 0;
    for (; keys != NULL; keys = keys->next) {
        snub_text what = {0};
        if (!wanted(keys, words))
            continue;
        add_kind(keys, &what);
        int used = snub_text_width(keys->pattern);
        snub_text_puts(out, keys->pattern);
        if (used + 2 > COLUMN) {
            snub_text_puts(out, "\n");
            used = 0;
        }
        indent(used, out);
        snub_wrap(what.data != NULL ? what.data : "", COLUMN, COLUMN, look->width, out);
        if (keys->means != NULL) {
            indent(0, out);
            snub_wrap(snub_say(locale, keys->means), COLUMN, COLUMN, look->width, out);
        }
        out->failed = out->failed || what.failed;
        snub_text_free(&what);
        count++;
    }
    return count;
}
