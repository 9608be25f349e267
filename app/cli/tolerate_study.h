/** tolerate_study.h - the kits of one build, judged, with what is saved on the way. */
#ifndef SNUB_CLI_TOLERATE_STUDY_H
#define SNUB_CLI_TOLERATE_STUDY_H

#include "load.h"
#include "snub/tolerate_report.h"

typedef struct cli_tolerate_wish {
    int kits;
    double precision; /**< as in snub_tolerate_request */
    uint64_t seed;
    int threads, pairs; /**< pairs of kits for what contributes; 0: not asked for */
    const char *state;  /**< file to go on from and to save to; NULL: none */
    int before, builds; /**< builds that are done before this one, of how many: for the line of progress */
} cli_tolerate_wish;

/** Judge kits of a settled build, those at the ends of their tolerances, and what contributes. Between
 * cli_catch_interrupt and cli_leave_interrupt.
 *  @param[out] answer  in the run's arena; of a study that was stopped without what comes after its kits
 *  @return false: it was said what is wrong */
bool cli_tolerate_study(cli_run *run, const cli_drive *loaded, const cli_tolerate_wish *wish, const snub_build *build,
                        snub_tolerate_answer *answer);
/** Whether Control-C came before all of it was done. */
bool cli_study_stopped(const snub_tolerate_answer *answer);

#endif
