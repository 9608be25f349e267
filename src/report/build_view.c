/* A view of a build with its words. */
#include "words.h"

#include <string.h>

/* "DO NOT FIT: The belt is ..."; of several reasons their names: "DO NOT FIT: grip blower, bolt slip plate". */
static void add_reasons(const snub_build *build, const snub_locale *locale, snub_text *out)
{
    const char *comma = ": ";
    snub_text_puts(out, snub_say(locale, SNUB_MESSAGE("DO NOT FIT")));
    if (snub_findings_count(&build->findings, SNUB_FAIL, SNUB_AREAS_) == 1) {
        snub_text_puts(out, comma);
        snub_finding_sentence(&build->findings.items[0], locale, out);
        return;
    }
    for (int i = 0; i < build->findings.count; i++, comma = ", ") {
        const snub_finding *f = &build->findings.items[i];
        if (f->level < SNUB_FAIL)
            return;
        snub_text_puts(out, comma);
        for (const char *c = snub_finding_rule(f); *c != '\0'; c++)
            snub_text_add(out, *c == '_' ? " " : c, 1);
        if (f->pulley != NULL || f->other != NULL)
            snub_text_puts(out, " ");
        if (f->pulley != NULL)
            snub_text_puts(out, f->pulley);
        else
            snub_finding_other(f, locale, out);
    }
}

snub_status snub_build_view(const snub_build *build, const snub_state *state, const snub_locale *locale,
                            snub_arena *arena, snub_view *view, snub_error *error)
{
    snub_text row = {0}, warning = {0};
    char *fingerprint = snub_alloc(arena, 65, 1);
    snub_status status = snub_view_of_build(build, state, arena, view, error);
    if (status != SNUB_OK)
        return status;
    snub_row_words(&build->row, false, locale, &row);
    if (build->verdict == SNUB_FAIL)
        add_reasons(build, locale, &warning);
    else if (!state->solved && build->settled)
        snub_finding_sentence(&state->why, locale, &warning);
    view->row = snub_words_copy(&row, arena);
    view->warning = snub_words_copy(&warning, arena);
    view->verdict = build->judged ? snub_say(locale, snub_level_text(build->verdict)) : NULL;
    view->hash = fingerprint;
    if (fingerprint == NULL || view->row == NULL || view->warning == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory while drawing");
    snub_drive_digest(build->drive, fingerprint);
    return SNUB_OK;
}
