/* States of long commands. */
#include "state_file.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "snub/json.h"

/* Large enough for anything that anyone waits for. */
enum { STATE_BYTES_MOST = 256 << 20, FORMAT = 1 };

static bool is_of(cli_run *run, const char *path, const cli_state_kind *kind, const char *digest, const json_t *root)
{
    const char *of = json_string_value(json_object_get(root, "fingerprint"));
    if (json_integer_value(json_object_get(root, kind->key)) != FORMAT || of == NULL)
        return cli_usage_error(run, "%.200s is no state of %s", path, kind->what), false;
    if (strcmp(of, digest) == 0)
        return true;
    cli_usage_error(run, "%.200s is the state of another run: %s is not what it was. Give another name, or remove it.",
                    path, kind->other);
    return false;
}

bool cli_read_state(cli_run *run, const char *path, const cli_state_kind *kind, const char *digest, json_t **root)
{
    char *data = NULL;
    size_t length = 0;
    snub_error error;
    json_error_t wrong;
    *root = NULL;
    if (access(path, F_OK) != 0)
        return true;
    if (snub_file_read(path, STATE_BYTES_MOST, &data, &length, &error) != SNUB_OK)
        return cli_error(&error, NULL, 0), false;
    *root = json_loadb(data, length, JSON_REJECT_DUPLICATES, &wrong);
    free(data);
    if (*root == NULL)
        return cli_usage_error(run, "%.200s:%d: is no JSON: %s", path, wrong.line, wrong.text), false;
    if (is_of(run, path, kind, digest, *root))
        return true;
    json_decref(*root);
    *root = NULL;
    return false;
}

bool cli_write_state(cli_run *run, const char *path, const cli_state_kind *kind, const char *digest, json_t *root)
{
    snub_text text = {0};
    snub_error error;
    snub_json_put(root, kind->key, json_integer(FORMAT));
    snub_json_put(root, "fingerprint", snub_json_words(digest));
    const snub_status status = snub_json_text(root, SNUB_JSON_EXACT, &text, &error);
    json_decref(root);
    bool good = status == SNUB_OK || (cli_error(&error, NULL, 0), false);
    good = good && cli_put(run, path, &text, CLI_PASS) == CLI_PASS;
    snub_text_free(&text);
    return good;
}

bool cli_state_numbers(const json_t *list, int count, double *values)
{
    if (!json_is_array(list) || json_array_size(list) != (size_t)count)
        return false;
    for (int i = 0; i < count; i++) {
        const json_t *value = json_array_get(list, (size_t)i);
        if (!json_is_number(value) && !json_is_null(value))
            return false;
        values[i] = json_is_null(value) ? (double)NAN : json_number_value(value);
    }
    return true;
}

json_t *cli_state_list(const double *values, int count)
{
    json_t *list = json_array();
    for (int i = 0; i < count; i++)
        snub_json_append(list, snub_json_number(values[i]));
    return list;
}
