/** cautions.h - the list of cautions with its signal words, for the room's own use. */
#ifndef SNUB_REPORT_CAUTIONS_H
#define SNUB_REPORT_CAUTIONS_H

#include "snub/cautions.h"
#include "snub/steps.h"

typedef enum snub_signal {
    SNUB_SIGNAL_DANGER,
    SNUB_SIGNAL_WARNING,
    SNUB_SIGNAL_CAUTION,
    SNUB_SIGNAL_NOTICE, /**< no injury: no triangle */
    SNUB_SIGNALS_
} snub_signal;
/** "DANGER", "WARNING", "CAUTION", "NOTICE"; to be translated */
const char *snub_signal_text(snub_signal signal);

/** "before you start", ...; to be translated */
const char *snub_caution_place_text(snub_caution_place place);

typedef enum snub_caution_when {
    SNUB_WHEN_ALWAYS,
    SNUB_WHEN_ARM,
    SNUB_WHEN_LOCK,
    SNUB_WHEN_BLOWER,
    SNUB_WHEN_METAL,
    SNUB_WHEN_CRANK
} snub_caution_when;

typedef struct snub_caution_info {
    const char *id; /**< "spring"; also its anchor in docs/guide/cautions.md */
    snub_signal signal;
    snub_caution_place place;
    snub_caution_when when;
    const char *words; /**< English */
} snub_caution_info;
const snub_caution_info *snub_caution_describe(snub_caution caution);

/** The one with that id; none for NULL. */
snub_caution_set snub_caution_named(const char *id);
/** Those of a place. */
snub_caution_set snub_cautions_at(snub_caution_place place);

#endif
