/** house.h - the house file beside a drive file. */
#ifndef SNUB_CLI_HOUSE_H
#define SNUB_CLI_HOUSE_H

#include "load.h"

/** Read the house file that --house names, or else the drive file. loaded->house stays NULL where neither does.
 *  @return false: the error is printed */
bool cli_read_house(cli_run *run, cli_drive *loaded);

#endif
