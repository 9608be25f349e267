/** map_source.h - blower maps and tables of measured values from files beside the drive file. */
#ifndef SNUB_CLI_MAP_SOURCE_H
#define SNUB_CLI_MAP_SOURCE_H

#include "snub/drive.h"

/** Where a map is that the drive file calls by `path`. @return NULL: out of memory */
char *cli_map_path(const snub_document *document, const char *path, snub_arena *arena);
/** A path that does not start at the root is taken from the drive file's folder (from the working folder where the
 *  drive comes from standard input). Files of at most 4 MiB. */
extern const snub_map_source cli_map_source;

#endif
