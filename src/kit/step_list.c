/* The list of steps as tables. */
#include "snub/locale.h"
#include "snub/steps.h"

static const snub_step_info kinds[SNUB_STEPS_] = {
#define SNUB_STEP(name, stem, place) [SNUB_STEP_##name] = {stem, SNUB_PLACE_##place},
#include "snub/step_list.inc"
};

static const char *const wordings[SNUB_STEP_WORDINGS_] = {
#define SNUB_STEP_SAYS(name, words) [SNUB_STEP_SAYS_##name] = words,
#include "snub/step_list.inc"
};

const snub_step_info *snub_step_describe(snub_step_kind kind)
{
    return &kinds[kind];
}

const char *snub_step_words(snub_step_wording wording)
{
    return wordings[wording];
}
