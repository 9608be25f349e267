/* Names and units of what a search is to gain. */
#include "search_words.h"

#include <string.h>

const snub_aim_shown *snub_aim_describe(snub_aim aim)
{
    static const snub_aim_shown shown[SNUB_AIMS_] = {
        [SNUB_AIM_GRIP] = {"worst grip", "worst_grip", SNUB_UNIT_NONE, 3, false},
        [SNUB_AIM_BELTS] = {"fewest belts", "fewest_belts", SNUB_UNIT_COUNT, 0, false},
        [SNUB_AIM_LIFE] = {"least bearing life", "bearing_life_h", SNUB_UNIT_H, 0, true},
        [SNUB_AIM_HUB] = {"greatest hub load", "hub_load_N", SNUB_UNIT_N, 0, false},
        [SNUB_AIM_WRAP] = {"least wrap", "wrap_deg", SNUB_UNIT_DEG, 1, true},
        [SNUB_AIM_CHANGE] = {"moved in all", "change_mm", SNUB_UNIT_MM, 1, false},
        [SNUB_AIM_PASSES] = {"builds that pass", "builds_that_pass", SNUB_UNIT_COUNT, 0, true}};
    return &shown[aim];
}

snub_level snub_measured_level(const snub_candidate_measures *measured)
{
    int level = SNUB_FAIL;
    while (level > SNUB_PASS && measured->counts[level] == 0)
        level--;
    return (snub_level)level;
}

const snub_move *snub_change_move(const snub_search *search, const char *path, int *first)
{
    *first = 0;
    for (int m = 0; m < search->section->move_count; m++) {
        const snub_move *move = &search->section->moves[m];
        if (strcmp(move->path, path) == 0)
            return move;
        *first += move->point ? 2 : 1;
    }
    return NULL;
}

const char *snub_move_part(const snub_move *move, double diameter)
{
    for (int i = 0; i < move->choice_count && move->from_catalogue; i++)
        if (move->choices[i] == diameter)
            return move->parts[i];
    return NULL;
}
