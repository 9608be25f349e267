/** src/drive/read_sample.h - measured values out of a table beside the drive file (inside src/drive only). */
#ifndef SNUB_DRIVE_READ_SAMPLE_H
#define SNUB_DRIVE_READ_SAMPLE_H

#include "read.h"

/** Values of a column, by `file` and `column` of a map under `sample`; call it inside the path of the item that has it.
 *  A unit in the column's head, `bore [in]`, is that of its numbers; without one they are as in the drive file. Empty
 *  cells are left out. What is wrong is noted at `file`, with line and column of the table.
 *  @param[in] item  with `sample`, a map
 *  @param[in] seen  the value that was measured: quantity and bounds
 *  @param[out] count,values  in the file's order, SI; the array is in the arena
 *  @return false: noted */
bool snub_read_sample(snub_reader *reader, const snub_node *item, const snub_sighting *seen, int *count,
                      double **values);

#endif
