/* What a package excludes, in words. */
#include "words.h"

void snub_exclusion_words(const snub_exclusion *exclusion, snub_arena *arena, snub_text *out)
{
    for (int v = 0; v < exclusion->variant_count; v++)
        snub_text_printf(out, "%s%s", v > 0 ? ", " : "", exclusion->variants[v]);
    for (int o = 0; o < exclusion->option_count; o++) {
        const snub_excluded_values *values = &exclusion->options[o];
        snub_text_printf(out, "%s%s", o > 0 || exclusion->variant_count > 0 ? "; " : "", values->path);
        for (int i = 0; i < values->count; i++) {
            const char *value = snub_node_flow(values->values[i], arena);
            snub_text_printf(out, "%s%s", i > 0 ? ", " : " ", value != NULL ? value : "");
            out->failed = out->failed || value == NULL;
        }
    }
}
