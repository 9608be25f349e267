/** beside.h - files that another file names. */
#ifndef CLI_BESIDE_H
#define CLI_BESIDE_H

#include "command.h"
#include "snub/pictures.h"

/** A path that does not start at the root is taken from the folder of the file that names it.
 *  @param[in] from  its name; NULL: the path stands as it is
 *  @return arena memory; NULL where that is out */
char *cli_beside(const char *from, const char *path, snub_arena *arena);
/** Reads them, and keeps the run's outputs off them. */
snub_file_source cli_files_beside(cli_run *run);

#endif
