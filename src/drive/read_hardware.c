/** Hardware of a drive: planes, obstacles, mounts, bearings. */
#include "read.h"

const snub_key snub_hardware_root_keys[] = {{NULL, NULL}};
const snub_key snub_hardware_pulley_keys[] = {{NULL, NULL}};

snub_status snub_read_hardware(snub_reader *reader, const snub_node *root, snub_drive *drive)
{
    (void)reader;
    (void)root;
    drive->hardware = NULL;
    return SNUB_OK;
}
