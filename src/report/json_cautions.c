/* Cautions as JSON, for the page. */
#include "cautions.h"
#include "json_words.h"

void snub_json_append_caution_ids(json_t *list, snub_caution_set set)
{
    for (int i = 0; i < SNUB_CAUTIONS_; i++)
        if (set & SNUB_CAUTION_BIT(i))
            snub_json_append(list, snub_json_words(snub_caution_describe((snub_caution)i)->id));
}

json_t *snub_json_cautions(snub_caution_set set, snub_caution_set advised)
{
    json_t *list = json_array();
    for (int i = 0; i < SNUB_CAUTIONS_; i++) {
        const snub_caution_info *info = snub_caution_describe((snub_caution)i);
        if (set & SNUB_CAUTION_BIT(i))
            snub_json_append(list,
                             json_pack("{s:s, s:s, s:s, s:s, s:b}", "id", info->id, "signal",
                                       snub_signal_text(info->signal), "place", snub_caution_place_text(info->place),
                                       "text", info->words, "advised", (advised & SNUB_CAUTION_BIT(i)) != 0));
    }
    return list;
}
