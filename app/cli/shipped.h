/** shipped.h - where the files are that come with the program. */
#ifndef SNUB_CLI_SHIPPED_H
#define SNUB_CLI_SHIPPED_H

#include "snub/base.h"

/** A directory of them: $SNUB_DATA/WHAT, else beside the installed program (../share/snub/WHAT), else in the source
 * tree that it was built in.
 *  @param[in] what    "parts"
 *  @param[in] source  the same from the root of the source tree: "data/parts"
 *  @param[in] sign    a file in it by which it is known: "bearings.csv"; "": the directory itself
 *  @return in the arena; NULL where there is none */
char *cli_shipped(snub_arena *arena, const char *what, const char *source, const char *sign);

#endif
