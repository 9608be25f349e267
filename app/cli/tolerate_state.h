/** Kits that were judged, in a file, so that a study that was broken off goes on. */
#ifndef CLI_TOLERATE_STATE_H
#define CLI_TOLERATE_STATE_H

#include "command.h"
#include "snub/tolerate.h"

/** What a state is of: file, build, tolerances and seed. Kits of another are refused. */
void cli_tolerate_digest(const snub_build *build, uint64_t seed, char digest[65]);
/** @param[out] known,count  none where there is no such file
 *  @return false: it was said what is wrong */
bool cli_read_tolerate_state(cli_run *run, const char *path, const char *digest, const snub_kit **known, int *count);
/** @return false: it was said what is wrong */
bool cli_write_tolerate_state(cli_run *run, const char *path, const char *digest, const snub_tolerated *tolerated);

#endif
