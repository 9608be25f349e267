/* Can its parts be bought. docs/guide/findings.md. */
#include "study.h"

#include <string.h>

static void judge_part(const snub_study *s, const char *key, const snub_part_sale *sale)
{
    if (sale == NULL || !sale->discontinued)
        return;
    const bool replaced = sale->replaced_by[0] != '\0';
    snub_finding f =
        snub_study_finding(s, replaced ? SNUB_SAYS_DISCONTINUED_REPLACED : SNUB_SAYS_DISCONTINUED, -1, NULL);
    f.other = key;
    if (replaced)
        snub_finding_name(&f, "new", sale->replaced_by);
    snub_study_tell(s, &f);
}

/* The drive may have been read with another belt of the same make: what counts is the one that is taken. */
void snub_judge_parts(const snub_study *s)
{
    for (const snub_used_part *used = s->drive->used; used != NULL; used = used->next) {
        if (strcmp(used->kind, "belt") != 0)
            judge_part(s, used->key, &used->sale);
    }
    judge_part(s, s->drive->belt.part, snub_drive_sale(s->drive, s->drive->belt.part));
}
