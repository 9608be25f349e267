/* A request about a study. */
#include <string.h>

#include "request.h"
#include "snub/json.h"
#include "study.h"

static snub_status check_keys(const json_t *object, bool kits, snub_error *error)
{
    static const char *const known[] = {"what", "seed", "variant", "package"};
    const char *key;
    json_t *value;
    json_object_foreach((json_t *)(size_t)object, key, value)
    {
        bool found = strcmp(key, kits ? "kits" : "tries") == 0;
        for (size_t i = 0; i < sizeof known / sizeof *known; i++)
            found = found || strcmp(key, known[i]) == 0;
        if (!found)
            return snub_fail(error, SNUB_BAD_INPUT, NULL, key, "unknown key, or one of the other study");
    }
    return SNUB_OK;
}

static snub_status read_name(const json_t *object, const char *key, snub_arena *arena, const char **name,
                             snub_error *error)
{
    const json_t *value = json_object_get(object, key);
    const char *text = json_string_value(value);
    if (!value || json_is_null(value))
        return SNUB_OK;
    if (!text || strlen(text) != json_string_length(value) || strlen(text) > SERVE_PATH_MOST)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, key, "needs a name");
    *name = snub_copy_text(arena, text);
    return *name ? SNUB_OK : snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
}

static snub_status read_count(const json_t *object, const char *key, int least, int most, int *count, snub_error *error)
{
    double number = *count;
    const json_t *value = json_object_get(object, key);
    if (value && !json_is_null(value) && !json_is_integer(value))
        return snub_fail(error, SNUB_BAD_INPUT, NULL, key, "needs a whole number from %d to %d", least, most);
    const snub_status status = serve_number_read(object, key, least, most, &number, error);
    *count = (int)number;
    return status;
}

snub_status serve_study_read(const char *body, size_t length, snub_arena *arena, serve_study_request *wanted,
                             snub_error *error)
{
    json_t *root = json_loadb(body ? body : "", length, JSON_REJECT_DUPLICATES, NULL);
    const json_t *object = json_object_get(root, "study");
    const char *what = json_string_value(json_object_get(object, "what"));
    int tries = 0, kits = SNUB_TOLERATE_KITS, seed = SNUB_STUDY_SEED;
    *wanted = (serve_study_request){.kits = what && strcmp(what, "kits") == 0};
    snub_status status = SNUB_OK;
    if (!what || (!wanted->kits && strcmp(what, "search") != 0))
        status = snub_fail(error, SNUB_BAD_INPUT, NULL, object ? "what" : "study", "must be search or kits");
    if (!status)
        status = check_keys(object, wanted->kits, error);
    if (!status)
        status = read_count(object, "tries", SNUB_SEARCH_TRIES_LEAST, SNUB_SEARCH_TRIES_MOST, &tries, error);
    if (!status)
        status = read_count(object, "kits", 1, SNUB_TOLERATE_KITS_MOST, &kits, error);
    if (!status)
        status = read_count(object, "seed", 0, SNUB_STUDY_SEED_MOST, &seed, error);
    if (!status)
        status = read_name(object, "variant", arena, &wanted->named.variant, error);
    if (!status)
        status = read_name(object, "package", arena, &wanted->named.package, error);
    json_decref(root);
    wanted->search = (snub_search_request){.named = wanted->named, .tries = tries, .seed = (uint32_t)seed};
    wanted->tolerate = (snub_tolerate_request){.kits = kits, .seed = (uint64_t)seed};
    return status;
}
