/* Every build of the kit, for the page. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "reading.h"
#include "snub/json.h"
#include "snub/kit.h"

static bool pass_on(int done, int all, void *context)
{
    const serve_progress *progress = context;
    return progress->going(progress->context, done, all);
}

/* A word without quotes: true, false and nothing are no text. */
static json_t *word_json(const snub_node *node)
{
    static const char *const flags[] = {"false", "true", "False", "True", "no", "yes"};
    if (strcmp(node->text, "null") == 0 || strcmp(node->text, "~") == 0)
        return json_null();
    for (size_t i = 0; i < sizeof flags / sizeof *flags; i++) {
        if (strcmp(node->text, flags[i]) == 0)
            return json_boolean(i % 2);
    }
    return snub_json_words(node->text);
}

/* As JSON that a request may send back as a change's value. */
static json_t *scalar_json(const snub_node *scalar)
{
    double value;
    if (scalar->quoted)
        return snub_json_words(scalar->text);
    return snub_parse_number(scalar->text, NULL, &value) == SNUB_OK ? snub_json_number(value) : word_json(scalar);
}

static void add_change(json_t *changes, const char *path, json_t *value)
{
    snub_json_append(changes, json_pack("{s:s, s:o}", "path", path, "value", value));
}

/* Where the file writes a belt or a setting of its own, the chart's goes over it: what is put on the bench is the build
 * that the chart judged. */
static void add_chosen(json_t *changes, const snub_charted *build)
{
    char path[SERVE_PATH_MOST + 16];
    if (!build->settled)
        return;
    if (!isnan(build->own_length) && build->length_chosen)
        add_change(changes, "belt.length", snub_json_number(build->length / SNUB_MM));
    for (int i = 0; i < build->pulley_count; i++) {
        const snub_charted_pulley *pulley = &build->pulleys[i];
        if (isnan(pulley->own_setting) || !pulley->setting_chosen)
            continue;
        snprintf(path, sizeof path, "%.*s.slot.setting", SERVE_PATH_MOST, pulley->name);
        add_change(changes, path, snub_json_number(pulley->setting / SNUB_MM));
    }
}

/* What a build changes in the file, so that the page can put it on the bench. */
static json_t *changes_of(const snub_charted *build)
{
    const snub_row *row = build->row;
    json_t *changes = json_array();
    for (int i = 0; i < row->overlay_count; i++) {
        add_change(changes, row->overlays[i].path, snub_json_node(row->overlays[i].value, scalar_json));
    }
    add_chosen(changes, build);
    return changes;
}

/* What the page wants of a build beside what `snub chart --json` has of it. @return false: memory is out */
static bool add_for_page(const snub_chart *chart, snub_arena *arena, json_t *builds)
{
    snub_findings findings = {0};
    for (int i = 0; i < chart->build_count; i++) {
        const snub_charted *build = &chart->builds[i];
        json_t *one = json_array_get(builds, (size_t)i);
        if (!snub_charted_findings(build, arena, &findings))
            return false;
        const snub_caution_set advised = snub_cautions_charted(build, &findings);
        snub_json_put(one, "changes", changes_of(build));
        snub_json_put(one, "cautions", snub_json_cautions(advised, advised));
    }
    return true;
}

void serve_chart(serve_worker *worker, const serve_request *request, const serve_progress *progress,
                 serve_answer *answer)
{
    serve_reading *read = serve_read_document(worker, request, answer);
    snub_errors errors = {0};
    snub_chart chart = {0};
    if (!read)
        return;
    snub_chart_request wanted = {.builds_only = request->builds_only,
                                 .part = request->part,
                                 .parts = request->parts,
                                 .progress = pass_on,
                                 .context = (void *)(size_t)progress};
    snub_status status = snub_chart_drive(&read->document, &read->how, &wanted, &chart, &errors);
    if (status == SNUB_STOPPED) {
        serve_answer_problem(answer, SERVE_BUSY, "stopped");
    } else if (status) {
        serve_answer_errors(answer, request, &errors, status);
    } else {
        json_t *json = snub_json_chart(&chart, &read->locale);
        if (json && !add_for_page(&chart, &worker->arena, json_object_get(json, "builds"))) {
            json_decref(json);
            json = NULL;
        }
        snub_json_put(json, "cautions", snub_json_cautions(SNUB_CAUTION_BIT(SNUB_CAUTION_MAKERS), 0));
        serve_answer_json(answer, json);
    }
    snub_chart_free(&chart);
    snub_errors_free(&errors);
}
