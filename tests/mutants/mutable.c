/* A program whose rules can be spoilt from outside: linked into snub-mutable alone, with --wrap. SNUB_MUTANT holds one
 * of gone WORDING      the finding is not told level WORDING     it is told one level off value WORDING     its value
 * is 0.5 % off case WORDING      it names another case than its worst limit KEY FACTOR  the limit of that key is moved
 * tests/mutants/rules.py asks whether the cases of tests/rules notice. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "snub/findings.h"

void __real_snub_findings_add(snub_findings *findings, snub_arena *arena, const snub_finding *finding);
void __wrap_snub_findings_add(snub_findings *findings, snub_arena *arena, const snub_finding *finding);
snub_status __real_snub_drive_read(const snub_document *document, const snub_reading *reading, snub_drive *drive,
                                   snub_errors *errors);
snub_status __wrap_snub_drive_read(const snub_document *document, const snub_reading *reading, snub_drive *drive,
                                   snub_errors *errors);

static const char *const names[] = {
#define SNUB_RULE(ID, NAME, AREA)
#define SNUB_WORDING(RULE, ID, ...) #ID,
#include "snub/rule_list.inc"
#undef SNUB_RULE
#undef SNUB_WORDING
};

/* What follows the word in SNUB_MUTANT; NULL where it asks for something else. */
static const char *asked(const char *word)
{
    const char *mutant = getenv("SNUB_MUTANT");
    const size_t length = strlen(word);
    return mutant != NULL && strncmp(mutant, word, length) == 0 && mutant[length] == ' ' ? mutant + length + 1 : NULL;
}

static bool spoils(const char *word, const snub_finding *finding)
{
    const char *name = asked(word);
    return name != NULL && strcmp(name, names[finding->wording]) == 0;
}

void __wrap_snub_findings_add(snub_findings *findings, snub_arena *arena, const snub_finding *finding)
{
    snub_finding f = *finding;
    if (spoils("gone", finding))
        return;
    if (spoils("level", finding))
        f.level = f.level == SNUB_FAIL ? SNUB_MARGINAL : f.level == SNUB_MARGINAL ? SNUB_NOTE : SNUB_MARGINAL;
    if (spoils("value", finding))
        f.value *= 1.005;
    if (spoils("case", finding))
        f.at = (snub_condition){.moment = f.at.moment == SNUB_ON_FITTING ? SNUB_AT_REST : SNUB_ON_FITTING};
    __real_snub_findings_add(findings, arena, &f);
}

snub_status __wrap_snub_drive_read(const snub_document *document, const snub_reading *reading, snub_drive *drive,
                                   snub_errors *errors)
{
    const snub_status status = __real_snub_drive_read(document, reading, drive, errors);
    const char *limit = asked("limit");
    char key[64];
    double factor;
    if (status == SNUB_OK && limit != NULL && sscanf(limit, "%63s %lf", key, &factor) == 2) {
        for (int i = 0; i < SNUB_LIMITS_; i++) {
            if (strcmp(snub_limit_describe((snub_limit)i)->key, key) == 0)
                drive->limits[i] *= factor;
        }
    }
    return status;
}
