/* The list of cautions, and which of them a build calls for. */
#include "cautions.h"

#include <string.h>

static const snub_caution_info cautions[SNUB_CAUTIONS_] = {
#define SNUB_CAUTION(name, id, signal, place, when, words)                                                             \
    [SNUB_CAUTION_##name] = {id, SNUB_SIGNAL_##signal, SNUB_PLACE_##place, SNUB_WHEN_##when, words},
#include "snub/caution_list.inc"
};
_Static_assert(SNUB_CAUTIONS_ <= 32, "a set of cautions has 32 bits");

const snub_caution_info *snub_caution_describe(snub_caution caution)
{
    return &cautions[caution];
}

const char *snub_signal_text(snub_signal signal)
{
    static const char *const words[SNUB_SIGNALS_] = {SNUB_MESSAGE("DANGER"), SNUB_MESSAGE("WARNING"),
                                                     SNUB_MESSAGE("CAUTION"), SNUB_MESSAGE("NOTICE")};
    return words[signal];
}

const char *snub_caution_place_text(snub_caution_place place)
{
    static const char *const words[SNUB_PLACES_] = {
        SNUB_MESSAGE("before you start"),
        SNUB_MESSAGE("belt and tensioner"),
        SNUB_MESSAGE("before metal is taken off"),
        SNUB_MESSAGE("bolts"),
        SNUB_MESSAGE("running check"),
        SNUB_MESSAGE("first full load"),
    };
    return words[place];
}

snub_caution_set snub_caution_named(const char *id)
{
    for (int i = 0; id != NULL && i < SNUB_CAUTIONS_; i++) {
        if (strcmp(cautions[i].id, id) == 0)
            return SNUB_CAUTION_BIT(i);
    }
    return 0;
}

snub_caution_set snub_cautions_at(snub_caution_place place)
{
    snub_caution_set set = 0;
    for (int i = 0; i < SNUB_CAUTIONS_; i++)
        set |= cautions[i].place == place ? SNUB_CAUTION_BIT(i) : 0;
    return set;
}

/* ---- what a build calls for -------------------------------------------------------------------------------------- */

/* A number of the remedy: which ways to free a conflict a finding offers. */
static bool offers(const snub_finding *f, const char *remedy)
{
    for (int i = 0; i < f->named_count; i++)
        if (strcmp(f->named[i].name, remedy) == 0)
            return true;
    return false;
}

static bool advises_crank(const char *crank, const snub_finding *f)
{
    switch (f->wording) {
    case SNUB_SAYS_BLOWER_TOO_SMALL_6:
    case SNUB_SAYS_BLOWER_TOO_SMALL_8:
    case SNUB_SAYS_PULLEY_TOO_FAST:
    case SNUB_SAYS_ROTOR_TOO_FAST:
    case SNUB_SAYS_BELT_TOO_FAST:
    case SNUB_SAYS_NOSE_OVER_LIMIT: return true;
    case SNUB_SAYS_FEW_GROOVES:
    case SNUB_SAYS_RIB_TOO_SMALL:
    case SNUB_SAYS_RIB_SMALL_FOR_LIFE:
    case SNUB_SAYS_GAP_SMALL:
    case SNUB_SAYS_SLIPS: break;
    default:
        if (!offers(f, "trim") && !offers(f, "narrower"))
            return false;
    }
    /* another pulley, or less of it: it matters where that pulley is the crank's */
    return f->pulley != NULL && strcmp(f->pulley, crank) == 0;
}

static snub_caution_set advised_by(const char *crank, const snub_finding *f)
{
    snub_caution_set set = advises_crank(crank, f) ? SNUB_CAUTION_BIT(SNUB_CAUTION_CRANK) : 0;
    if (offers(f, "relief") || offers(f, "face"))
        set |= SNUB_CAUTION_BIT(SNUB_CAUTION_METAL);
    if (f->wording == SNUB_SAYS_PULLEY_TOO_FAST || f->wording == SNUB_SAYS_ROTOR_TOO_FAST)
        set |= SNUB_CAUTION_BIT(SNUB_CAUTION_OVERSPEED);
    if (f->wording == SNUB_SAYS_NOTHING_TAKES_UP)
        set |= SNUB_CAUTION_BIT(SNUB_CAUTION_PRYING);
    if (f->wording == SNUB_SAYS_BOLT_OVER_PROOF || f->wording == SNUB_SAYS_BOLT_MAY_PASS_PROOF)
        set |= SNUB_CAUTION_BIT(SNUB_CAUTION_STRETCHED);
    return set;
}

static snub_caution_set called_by(const snub_findings *findings, const char *crank, unsigned areas)
{
    snub_caution_set set = 0;
    for (int i = 0; i < findings->count; i++) {
        const snub_finding *f = &findings->items[i];
        if (areas & SNUB_AREA_BIT(snub_rule_describe(snub_wording_describe(f->wording)->rule)->area))
            set |= advised_by(crank, f);
    }
    return set;
}

snub_caution_set snub_cautions_advised(const snub_build *build, unsigned areas)
{
    return called_by(&build->findings, build->drive->pulleys[build->drive->crank].name, areas);
}

snub_caution_set snub_cautions_charted(const snub_charted *build, const snub_findings *findings)
{
    return build->cautions | called_by(findings, build->crank, SNUB_ALL_AREAS);
}

static bool applies(snub_caution_when when, const snub_drive *drive, snub_caution_set advised)
{
    switch (when) {
    case SNUB_WHEN_ARM: return drive->arm >= 0;
    case SNUB_WHEN_LOCK: return drive->locked >= 0;
    case SNUB_WHEN_BLOWER: return snub_first_blower(drive) >= 0;
    case SNUB_WHEN_METAL: return (advised & SNUB_CAUTION_BIT(SNUB_CAUTION_METAL)) != 0;
    case SNUB_WHEN_CRANK: return (advised & SNUB_CAUTION_BIT(SNUB_CAUTION_CRANK)) != 0;
    default: return true;
    }
}

snub_caution_set snub_cautions_always(void)
{
    snub_caution_set set = 0;
    for (int i = 0; i < SNUB_CAUTIONS_; i++)
        set |= cautions[i].when == SNUB_WHEN_ALWAYS ? SNUB_CAUTION_BIT(i) : 0;
    return set;
}

snub_caution_set snub_cautions_of(const snub_build *build)
{
    const snub_caution_set advised = snub_cautions_advised(build, SNUB_ALL_AREAS);
    snub_caution_set set = 0;
    for (int i = 0; i < SNUB_CAUTIONS_; i++)
        set |= applies(cautions[i].when, build->drive, advised) ? SNUB_CAUTION_BIT(i) : 0;
    return set | build->drive->cautions;
}

/* ---- shown ------------------------------------------------------------------------------------------------------- */

void snub_cautions_show(snub_caution_set set, const snub_look *look, snub_text *out)
{
    enum { INDENT = 9 };
    for (int i = 0; i < SNUB_CAUTIONS_; i++) {
        if (!(set & SNUB_CAUTION_BIT(i)))
            continue;
        snub_text_printf(out, "%-*s", INDENT, snub_signal_text(cautions[i].signal));
        snub_wrap(cautions[i].words, INDENT, INDENT, look->width, out);
    }
    snub_text_printf(out, "%*smore cautions: snub sheet FILE -o fitting.pdf\n", INDENT, "");
}
