/* The list of rules as tables. */
#include "snub/kit.h"
#include "snub/locale.h"

static const snub_rule_info rules[SNUB_RULES_] = {
#define SNUB_RULE(name, id, area) [SNUB_RULE_##name] = {id, SNUB_AREA_##area},
#define SNUB_WORDING(rule, name, level, limit, unit, decimals, words, basis)
#include "snub/rule_list.inc"
};

static const snub_wording_info wordings[SNUB_WORDINGS_] = {
#define SNUB_RULE(name, id, area)
#define SNUB_WORDING(rule, name, level, limit, unit, decimals, words, basis)                                           \
    [SNUB_SAYS_##name] = {SNUB_RULE_##rule, SNUB_##level, limit, SNUB_UNIT_##unit, decimals, words, basis},
#include "snub/rule_list.inc"
};

const snub_rule_info *snub_rule_describe(snub_rule rule)
{
    return &rules[rule];
}

const snub_wording_info *snub_wording_describe(snub_wording wording)
{
    return &wordings[wording];
}

const char *snub_level_text(snub_level level)
{
    static const char *const names[] = {SNUB_MESSAGE("pass"), SNUB_MESSAGE("note"), SNUB_MESSAGE("marginal"),
                                        SNUB_MESSAGE("fail")};
    return names[level];
}

const char *snub_area_text(snub_area area)
{
    static const char *const names[] = {SNUB_MESSAGE("belt"),    SNUB_MESSAGE("arm"),     SNUB_MESSAGE("slip"),
                                        SNUB_MESSAGE("motion"),  SNUB_MESSAGE("air"),     SNUB_MESSAGE("clearance"),
                                        SNUB_MESSAGE("fitting"), SNUB_MESSAGE("hardware")};
    return area < SNUB_AREAS_ ? names[area] : "";
}

const char *snub_area_command(snub_area area)
{
    return area == SNUB_AREA_HARDWARE ? "snub mount" : "snub check";
}

const char *snub_way_text(snub_way way)
{
    static const char *const names[] = {SNUB_MESSAGE("steady"),        SNUB_MESSAGE("accelerating"),
                                        SNUB_MESSAGE("overrun"),       SNUB_MESSAGE("closed throttle"),
                                        SNUB_MESSAGE("no-lift shift"), SNUB_MESSAGE("throttle blip"),
                                        SNUB_MESSAGE("after a blip")};
    return way < SNUB_WAYS ? names[way] : "";
}

const char *snub_corner_text(snub_corner corner)
{
    static const char *const names[] = {SNUB_MESSAGE("nominal belt"), SNUB_MESSAGE("shortest belt"),
                                        SNUB_MESSAGE("longest belt, worn")};
    return corner < SNUB_CORNERS ? names[corner] : "";
}

const char *snub_shown_belt_text(snub_shown_belt belt)
{
    return belt == SNUB_SHOW_LONGEST    ? SNUB_MESSAGE("longest belt")
           : belt == SNUB_SHOW_WORN     ? snub_corner_text(SNUB_LONGEST)
           : belt == SNUB_SHOW_SHORTEST ? snub_corner_text(SNUB_SHORTEST)
                                        : snub_corner_text(SNUB_NOMINAL);
}

const char *snub_condition_text(const snub_condition *condition)
{
    switch (condition->moment) {
    case SNUB_ON_FITTING: return SNUB_MESSAGE("fitting");
    case SNUB_AT_REST: return SNUB_MESSAGE("engine stopped");
    case SNUB_RUNNING: return snub_way_text(condition->way);
    default: return SNUB_MESSAGE("laid out");
    }
}
