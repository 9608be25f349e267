/* Keys of the drive file for the page's entries: all that there are, and those of one file. */
#include "handlers.h"
#include "reading.h"
#include "snub/json.h"
#include "snub/key_list.h"

void serve_keys(const serve_language *language, serve_answer *answer)
{
    snub_arena arena;
    snub_units *units = NULL;
    snub_error error = {0};
    const snub_file_key *keys = NULL;
    snub_arena_init(&arena, SERVE_MEMORY_MOST);
    if (snub_units_open(&units, &error) != SNUB_OK || snub_keys_known(units, &arena, &keys) != SNUB_OK)
        serve_answer_problem(answer, SERVE_NO_MEMORY, NULL);
    else
        serve_answer_json(answer, json_pack("{s:o, s:s}", "keys", snub_json_keys(keys, &language->locale), "language",
                                            language->code));
    snub_units_free(units);
    snub_arena_free(&arena);
}

void serve_entries(serve_worker *worker, const serve_request *request, serve_answer *answer)
{
    serve_reading *read = serve_read_document(worker, request, answer);
    const snub_file_key *keys = NULL;
    snub_errors errors = {0};
    if (!read)
        return;
    if (snub_keys_of_file(&read->document, &read->how, &keys, &errors) != SNUB_OK) {
        serve_answer_problem(answer, SERVE_NO_MEMORY, NULL);
    } else {
        json_t *wrong = serve_errors_json(&errors, request->text, request->text_length);
        serve_answer_json(answer, json_pack("{s:o, s:o, s:i}", "entries", snub_json_keys(keys, NULL), "errors", wrong,
                                            "more", errors.more));
    }
    snub_errors_free(&errors);
}
