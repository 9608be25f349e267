/* What a package excludes, in words. */
#include "words.h"

void snub_exclusion_words(const snub_exclusion *exclusion, const snub_locale *locale, snub_arena *arena, snub_text *out)
{
    for (int v = 0; v < exclusion->variant_count; v++)
        snub_text_printf(out, "%s%s", v > 0 ? ", " : "", exclusion->variants[v]);
    for (int o = 0; o < exclusion->option_count; o++) {
        const snub_excluded_values *values = &exclusion->options[o];
        snub_text_puts(out, o > 0 || exclusion->variant_count > 0 ? "; " : "");
        snub_path_words(values->path, locale, out);
        for (int i = 0; i < values->count; i++) {
            const char *value = snub_node_flow(values->values[i], arena);
            snub_text_puts(out, i > 0 ? ", " : " ");
            snub_written_words(value != NULL ? value : "", locale, out);
            out->failed = out->failed || value == NULL;
        }
    }
}
