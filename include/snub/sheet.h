/** snub/sheet.h - printed sheets. Room: report. */
#ifndef SNUB_SHEET_H
#define SNUB_SHEET_H

#include "snub/base.h"

/** SHA-256 of some bytes as 64 hex digits and a NUL: which file a sheet was made from. FIPS 180-4. */
void snub_sha256_text(const char *data, size_t length, char text[65]);

#endif
