/** new_drive.h - the text of a drive file to start from. */
#ifndef SNUB_CLI_NEW_DRIVE_H
#define SNUB_CLI_NEW_DRIVE_H

#include "snub/base.h"

typedef enum new_tensioner { NEW_ARM, NEW_FIXED, NEW_NO_TENSIONER } new_tensioner;
typedef enum new_blower { NEW_TWIN_SCREW, NEW_ROOTS, NEW_CENTRIFUGAL, NEW_NO_BLOWER } new_blower;

typedef struct new_drive {
    const char *title; /**< one line of UTF-8 that shows */
    new_tensioner tensioner;
    new_blower blower;
    bool inches;
} new_drive;

/** Append the file. Each value that belongs to the user's own engine is a placeholder; its line has the mark
 *  `# MEASURE:` with how to find it (snub_placeholders_find). */
void new_drive_text(const new_drive *wanted, snub_text *out);

#endif
