/* A proposal as a drive file, and how many of its kits fail. The file is made and read again: only so are its
 * tolerances those that snub tolerate finds in it. Rejected: its values laid over the file, which takes the tolerances
 * behind them off. */
#include <string.h>

#include "snub/search.h"
#include "snub/tolerate.h"

/* What gives way to a part is gone from the text: an empty value would be asked about. */
static snub_status take_out(const char *name, snub_arena *arena, const snub_proposal *proposal, snub_text *text,
                            snub_error *error)
{
    snub_status status = SNUB_OK;
    for (int i = proposal->change_count - proposal->taken_count; i < proposal->change_count && status == SNUB_OK; i++) {
        snub_text less = {0};
        snub_errors errors = {0};
        snub_document document;
        const snub_edit edit = {.kind = SNUB_EDIT_REMOVE, .path = proposal->changes[i].path};
        status = snub_document_parse(name, text->data, text->length, arena, &document, &errors);
        if (status == SNUB_OK)
            status = snub_document_edit(&document, &edit, &less, error);
        else
            snub_fail(error, status, NULL, NULL, "%s", snub_status_text(status));
        snub_errors_free(&errors);
        snub_text_free(text);
        *text = less;
    }
    return status;
}

snub_status snub_proposal_text(const snub_document *document, const snub_reading *reading,
                               const snub_proposal *proposal, snub_text *out, snub_error *error)
{
    const int sets = reading->overlay_count;
    int count = 0;
    snub_change *changes = SNUB_NEW(reading->arena, snub_change, sets + proposal->change_count + 1);
    if (changes == NULL)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    for (int i = 0; i < sets; i++) {
        const snub_overlay *set = &reading->overlays[i];
        if (strncmp(set->path, "search.", 7) != 0) /* how it was searched is no part of what was found */
            changes[count++] = (snub_change){set->path, snub_node_flow(set->value, reading->arena)};
    }
    for (int i = 0; i < proposal->change_count - proposal->taken_count; i++)
        changes[count++] = proposal->changes[i];
    const snub_status status = snub_document_rewrite(document, changes, count, out, error);
    return status == SNUB_OK ? take_out(document->name, reading->arena, proposal, out, error) : status;
}

static void count_up(const snub_tolerated *of, snub_kits_came_to *out)
{
    out->samples = of->kit_count;
    out->failing = of->by_level[SNUB_FAIL];
    out->share = of->failing;
    for (int r = 0; r < SNUB_RULES_; r++) {
        if (of->rules[r].fail <= out->rule_failing)
            continue;
        out->rule = (snub_rule)r;
        out->rule_failing = of->rules[r].fail;
    }
}

/* A drive without kits is no failure of the search: it says why in its place. */
static snub_status say_why(snub_status status, snub_errors *errors, snub_arena *arena, snub_kits_came_to *out)
{
    if (status == SNUB_OK || status == SNUB_NO_MEMORY)
        return status;
    out->why_not = snub_copy_text(arena, errors->count > 0 ? errors->items[0].message : snub_status_text(status));
    return out->why_not != NULL ? SNUB_OK : SNUB_NO_MEMORY;
}

/* @param[in] reading  whose arena holds no more than this drive */
static snub_status judge_kits(const snub_document *document, const snub_reading *reading,
                              const snub_search_kits_request *request, snub_kits_came_to *out, snub_errors *errors)
{
    const snub_build_request as_written = {0};
    const snub_named_rows none = {"", ""};
    const snub_tolerate_request wanted = {.kits = request->kits,
                                          .seed = request->seed,
                                          .threads = request->threads,
                                          .go_on = request->go_on,
                                          .context = request->context};
    snub_row own;
    snub_build *build = SNUB_NEW(reading->arena, snub_build, 1);
    snub_tolerated *tolerated = SNUB_NEW(reading->arena, snub_tolerated, 1);
    if (build == NULL || tolerated == NULL)
        return SNUB_NO_MEMORY;
    snub_status status = snub_row_own(document, reading, &none, &own, errors);
    if (status == SNUB_OK)
        status = snub_build_make(document, reading, &own, &as_written, build, errors);
    if (status == SNUB_OK)
        status = snub_tolerate_build(document, reading, build, &wanted, tolerated, errors);
    if (status == SNUB_OK)
        count_up(tolerated, out);
    return status;
}

static snub_status kits_of_proposal(const snub_document *document, const snub_reading *reading,
                                    const snub_search_kits_request *request, const snub_proposal *proposal,
                                    snub_kits_came_to *out, snub_errors *errors)
{
    snub_text text = {0};
    snub_error error = {0};
    snub_document written;
    snub_reading own = *reading;
    snub_status status = snub_proposal_text(document, reading, proposal, &text, &error);
    if (status != SNUB_OK)
        snub_errors_add(errors, &error);
    if (status == SNUB_OK)
        status = snub_document_parse(document->name, text.data, text.length, own.arena, &written, errors);
    snub_text_free(&text);
    own.overlays = NULL;
    own.overlay_count = 0;
    return status == SNUB_OK ? judge_kits(&written, &own, request, out, errors) : status;
}

/* @param[in] proposal  NULL: today's drive */
static snub_status kits_of(const snub_document *document, const snub_reading *reading,
                           const snub_search_kits_request *request, const snub_proposal *proposal,
                           snub_kits_came_to *out)
{
    snub_arena arena;
    snub_errors errors = {0};
    snub_reading own = *reading;
    *out = (snub_kits_came_to){.rule = SNUB_RULES_};
    snub_arena_init(&arena, reading->arena->limit);
    own.arena = &arena;
    snub_status status = proposal == NULL ? judge_kits(document, &own, request, out, &errors)
                                          : kits_of_proposal(document, &own, request, proposal, out, &errors);
    status = say_why(status, &errors, reading->arena, out);
    snub_errors_free(&errors);
    snub_arena_free(&arena);
    return status;
}

snub_status snub_search_kits(const snub_document *document, const snub_reading *reading,
                             const snub_search_kits_request *request, snub_search *search, snub_errors *errors)
{
    snub_error error;
    snub_status status = SNUB_OK;
    if (request->kits <= 0 || search->proposal_count == 0)
        return SNUB_OK;
    status = kits_of(document, reading, request, NULL, &search->today_kits);
    for (int i = 0; i < search->proposal_count && status == SNUB_OK; i++)
        status = kits_of(document, reading, request, &search->proposals[i], &search->proposals[i].kits);
    if (status != SNUB_OK) {
        snub_fail(&error, status, NULL, NULL, "out of memory");
        snub_errors_add(errors, &error);
    }
    return status;
}
