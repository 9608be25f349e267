/* Words about hardware that several forms share. */
#include "words.h"

#include <string.h>

static void list_bolts(const snub_mount_result *m, int from, int to, const snub_locale *locale, snub_text *out)
{
    const char *names[SNUB_BOLTS_MOST];
    for (int k = from; k < to; k++)
        names[k - from] = m->mount->bolts[m->tighten[k]].name;
    snub_names_words(names, to - from, locale, out);
}

static const char *order_sentence(const snub_mount_result *m)
{
    const int n = m->mount->bolt_count;
    if (m->locating > 0 && m->locating < n)
        return m->locating > 1
                   ? SNUB_MESSAGE(
                         "Start all by hand. Tighten {first} first: they locate the bracket (common practice, no "
                         "published source). Then tighten {then}.")
                   : SNUB_MESSAGE(
                         "Start all by hand. Tighten {first} first: it locates the bracket (common practice, no "
                         "published source). Then tighten {then}.");
    if (n < 2)
        return SNUB_MESSAGE("Tighten {all}.");
    return m->locating > 0
               ? SNUB_MESSAGE(
                     "Start all by hand. Tighten {all}, from the middle outward, in two rounds (common practice, "
                     "no published source).")
               : SNUB_MESSAGE(
                     "Start all by hand. Tighten {all}, from the middle outward, in two rounds (common practice, "
                     "no published source). The file names none that locates the bracket.");
}

void snub_tightening_words(const snub_mount_result *mount, const snub_locale *locale, snub_text *out)
{
    const int n = mount->mount->bolt_count;
    snub_text first = {0}, then = {0}, all = {0};
    list_bolts(mount, 0, mount->locating, locale, &first);
    list_bolts(mount, mount->locating, n, locale, &then);
    list_bolts(mount, 0, n, locale, &all);
    const snub_named places[] = {snub_named_text("first", first.data), snub_named_text("then", then.data),
                                 snub_named_text("all", all.data)};
    snub_words_fill(order_sentence(mount), places, 3, locale, out);
    out->failed = out->failed || first.failed || then.failed || all.failed;
    snub_text_free(&first);
    snub_text_free(&then);
    snub_text_free(&all);
}

void snub_shim_words(const snub_findings *findings, const snub_locale *locale, snub_text *out)
{
    for (int i = 0; i < findings->count; i++) {
        const snub_finding *f = &findings->items[i];
        if (f->wording != SNUB_SAYS_SHIMS_CURE && f->wording != SNUB_SAYS_SHIMS_HELP)
            continue;
        for (int k = 0; k < f->named_count; k++) {
            if (strcmp(f->named[k].name, "packs") != 0)
                continue;
            snub_text_puts(out, out->length > 0 ? "; " : "");
            snub_pack_words(f->named[k].text, locale, out);
        }
    }
}
