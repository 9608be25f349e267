/** parts_shipped.h - where the parts are that come with the program. */
#ifndef SNUB_CLI_PARTS_SHIPPED_H
#define SNUB_CLI_PARTS_SHIPPED_H

#include "snub/base.h"

/** Directory with bearings.csv and the others: $SNUB_DATA/parts, else beside the installed program
 *  (../share/snub/parts), else in the source tree that it was built in. In the arena; NULL where there is none. */
char *parts_shipped_directory(snub_arena *arena);

#endif
