/** pictures.h - pictures of steps, beside the drive file. */
#ifndef CLI_PICTURES_H
#define CLI_PICTURES_H

#include "load.h"

/** Read all that the file and the values laid over it name. @return false: told */
bool cli_read_pictures(cli_run *run, cli_drive *loaded);

#endif
