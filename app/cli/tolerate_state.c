/* The state of a study of tolerances. */
#include "tolerate_state.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

#include "snub/json.h"
#include "state_file.h"

static const cli_state_kind kind = {"snub_tolerate", "snub tolerate", "the drive file, a --set, --seed or the build"};

void cli_tolerate_digest(const snub_build *build, uint64_t seed, char digest[65])
{
    char of_drive[65], number[32];
    snub_digest all;
    snub_drive_digest(build->drive, of_drive);
    snprintf(number, sizeof number, "%" PRIu64 " %a", seed, build->length);
    snub_digest_init(&all);
    snub_digest_text(&all, of_drive);
    snub_digest_text(&all, number);
    for (int i = 0; i < build->drive->pulley_count; i++) {
        snprintf(number, sizeof number, "%a", build->settings[i]);
        snub_digest_text(&all, number);
    }
    for (int i = 0; i < build->drive->tolerance_count; i++) {
        const snub_scatter *scatter =
            &build->drive->tolerances[i].scatter; /* a sample may come from a file of its own */
        for (int k = 0; scatter->kind == SNUB_SAMPLED && k < scatter->count; k++) {
            snprintf(number, sizeof number, "%a", scatter->sample[k]);
            snub_digest_text(&all, number);
        }
    }
    snub_digest_end(&all, digest);
}

/* The level of each rule as a digit. */
static json_t *kit_json(const snub_kit *kit)
{
    char rules[SNUB_RULES_ + 1];
    json_t *object = json_object();
    for (int r = 0; r < SNUB_RULES_; r++)
        rules[r] = (char)('0' + kit->by_rule[r]);
    rules[SNUB_RULES_] = '\0';
    snub_json_put(object, "level", json_integer(kit->level));
    snub_json_put(object, "rules", snub_json_words(rules));
    snub_json_put(object, "of", cli_state_list(kit->of, SNUB_FOLLOWED_));
    return object;
}

bool cli_write_tolerate_state(cli_run *run, const char *path, const char *digest, const snub_tolerated *tolerated)
{
    json_t *root = json_object(), *list = json_array();
    for (int i = 0; i < tolerated->kit_count; i++)
        snub_json_append(list, kit_json(&tolerated->kits[i]));
    snub_json_put(root, "kits", list);
    return cli_write_state(run, path, &kind, digest, root);
}

static bool read_kit(const json_t *object, snub_kit *kit)
{
    const json_t *level = json_object_get(object, "level");
    const char *rules = json_string_value(json_object_get(object, "rules"));
    if (!json_is_integer(level) || json_integer_value(level) < 0 || json_integer_value(level) > SNUB_FAIL ||
        rules == NULL || strlen(rules) != SNUB_RULES_ ||
        !cli_state_numbers(json_object_get(object, "of"), SNUB_FOLLOWED_, kit->of))
        return false;
    kit->level = (unsigned char)json_integer_value(level);
    for (int r = 0; r < SNUB_RULES_; r++) {
        if (rules[r] < '0' || rules[r] > '0' + SNUB_FAIL)
            return false;
        kit->by_rule[r] = (unsigned char)(rules[r] - '0');
    }
    return true;
}

static bool take_kits(cli_run *run, const char *path, const json_t *list, const snub_kit **known, int *count)
{
    const size_t size = json_array_size(list);
    snub_kit *kits = SNUB_NEW(&run->arena, snub_kit, size + 1);
    if (kits == NULL)
        return cli_usage_error(run, "out of memory"), false;
    for (size_t i = 0; i < size; i++)
        if (!read_kit(json_array_get(list, i), &kits[i]))
            return cli_usage_error(run, "%.200s is damaged: kit %zu cannot be read", path, i + 1), false;
    *known = kits;
    *count = (int)size;
    return true;
}

bool cli_read_tolerate_state(cli_run *run, const char *path, const char *digest, const snub_kit **known, int *count)
{
    json_t *root;
    *known = NULL;
    *count = 0;
    if (!cli_read_state(run, path, &kind, digest, &root))
        return false;
    const bool good = root == NULL || take_kits(run, path, json_object_get(root, "kits"), known, count);
    json_decref(root);
    return good;
}
