/* A study of the drive for the page: what `snub search --json` or `snub tolerate --json` says. */
#include "study.h"

#include <string.h>

#include "reading.h"
#include "snub/draw.h"
#include "snub/json.h"
#include "snub/search_report.h"
#include "snub/tolerate_plot.h"
#include "snub/tolerate_report.h"

/* Where it is: counts with every step, what there is so far where that is news. */
typedef struct watch {
    const serve_progress *progress;
    const snub_search *search;
    const snub_tolerated *kits;
    snub_text said; /* last */
} watch;

static void tell_so_far(watch *w)
{
    snub_text text = {0};
    json_t *json = w->search ? snub_json_search_so_far(w->search) : snub_json_tolerate_so_far(w->kits);
    const bool whole = snub_json_text(json, SNUB_JSON_COMPACT, &text, NULL) == SNUB_OK && text.data && !text.failed;
    json_decref(json);
    if (whole && (!w->said.data || strcmp(w->said.data, text.data) != 0)) {
        w->progress->so_far(w->progress->context, text.data);
        snub_text_free(&w->said);
        w->said = text;
    } else {
        snub_text_free(&text);
    }
}

static bool go_on(int done, int all, void *context)
{
    watch *w = context;
    if (w->progress->so_far)
        tell_so_far(w);
    return w->progress->going(w->progress->context, done, all) &&
           !(w->progress->ends && w->progress->ends(w->progress->context));
}

static void search(serve_reading *read, const serve_request *request, const serve_study_request *wanted,
                   const serve_progress *progress, snub_arena *arena, serve_answer *answer)
{
    snub_errors errors = {0};
    snub_search *made = SNUB_NEW(arena, snub_search, 1);
    watch w = {.progress = progress, .search = made};
    snub_search_request asked = wanted->search;
    asked.go_on = go_on;
    asked.context = &w;
    snub_status status = made ? snub_search_drive(&read->document, &read->how, &asked, made, &errors) : SNUB_NO_MEMORY;
    if (!status) {
        const snub_search_kits_request judged = {
            .kits = made->stopped ? 0 : SNUB_SEARCH_KITS, .seed = asked.seed, .go_on = go_on, .context = &w};
        status = snub_search_kits(&read->document, &read->how, &judged, made, &errors);
    }
    if (status) {
        serve_answer_errors(answer, request, &errors, status);
    } else {
        const snub_search_answer of = {.search = made, .document = &read->document};
        serve_answer_json(answer, json_pack("{s:o}", "search", snub_json_search(&of, &read->locale)));
    }
    snub_text_free(&w.said);
    snub_errors_free(&errors);
}

/* null where no kit has a number. */
static json_t *histograms(const snub_tolerated *made, const snub_locale *locale, snub_arena *arena)
{
    snub_drawing drawing;
    snub_text text = {0};
    snub_error error = {0};
    const snub_imprint imprint = {.subject = made->build->designation, .creator = "snub"};
    snub_status status = snub_tolerate_plot(made, locale, arena, &drawing, &error);
    if (!status)
        status = snub_draw_svg(&drawing, SNUB_THEME_LIGHT, &imprint, &text, &error);
    if (!status)
        return snub_json_grown(&text);
    snub_text_free(&text);
    return status == SNUB_NO_MEMORY ? NULL : json_null();
}

static json_t *kits_json(const snub_tolerated *made, const snub_worst_cases *worst, const char *file,
                         const snub_locale *locale, snub_arena *arena)
{
    snub_text words = {0};
    const snub_tolerate_answer of = {.tolerated = made, .worst = worst, .file = file};
    snub_tolerate_sentence(made, locale, &words);
    return json_pack("{s:o, s:o, s:o}", "kits", snub_json_tolerate(&of, arena), "words", snub_json_grown(&words),
                     "histograms", histograms(made, locale, arena));
}

static void kits(serve_reading *read, const serve_request *request, const serve_study_request *wanted,
                 const serve_progress *progress, snub_arena *arena, serve_answer *answer)
{
    snub_errors errors = {0};
    snub_row row;
    snub_build *build = SNUB_NEW(arena, snub_build, 1);
    snub_tolerated *made = SNUB_NEW(arena, snub_tolerated, 1);
    snub_worst_cases *worst = SNUB_NEW(arena, snub_worst_cases, 1);
    watch w = {.progress = progress, .kits = made};
    snub_tolerate_request asked = wanted->tolerate;
    asked.go_on = go_on;
    asked.context = &w;
    const snub_build_request whole = {0};
    const snub_worst_case_request ends = {.go_on = go_on, .context = &w};
    snub_status status = build && made && worst ? SNUB_OK : SNUB_NO_MEMORY;
    if (!status)
        status = snub_row_own(&read->document, &read->how, &wanted->named, &row, &errors);
    if (!status)
        status = snub_build_make(&read->document, &read->how, &row, &whole, build, &errors);
    if (!status)
        status = snub_tolerate_build(&read->document, &read->how, build, &asked, made, &errors);
    const bool whole_study = !status && !made->stopped;
    if (whole_study)
        status = snub_tolerate_worst_cases(&read->document, &read->how, made, &ends, worst);
    if (status)
        serve_answer_errors(answer, request, &errors, status);
    else
        serve_answer_json(answer, kits_json(made, whole_study && !worst->stopped ? worst : NULL, request->file,
                                            &read->locale, arena));
    snub_text_free(&w.said);
    snub_errors_free(&errors);
}

void serve_study(serve_worker *worker, const serve_request *request, const serve_study_request *wanted,
                 const serve_progress *progress, serve_answer *answer)
{
    serve_reading *read = serve_read_document(worker, request, answer);
    if (read)
        (wanted->kits ? kits : search)(read, request, wanted, progress, &worker->arena, answer);
}
