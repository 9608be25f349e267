/** src/base/decode.h - text files in other encodings, turned into UTF-8 piece by piece (inside src/base only). */
#ifndef SNUB_BASE_DECODE_H
#define SNUB_BASE_DECODE_H

#include "snub/csv.h"

typedef struct snub_decoder snub_decoder;

/** "windows-1252"; "" for FOUND_OUT. */
const char *snub_encoding_name(snub_encoding encoding);

/** Which encoding a file's first bytes mark, and how long the mark is.
 *  @param[out] mark  bytes; 0: none
 *  @return SNUB_ENCODING_FOUND_OUT where there is none */
snub_encoding snub_encoding_marked(const char *head, size_t length, size_t *mark);

/** @param[in] encoding  none of UTF-8 and FOUND_OUT, which need no decoder, and not UTF-16 without its byte order
 *  @return SNUB_OK; SNUB_IO (the system does not know it); SNUB_NO_MEMORY */
snub_status snub_decoder_open(snub_encoding encoding, snub_decoder **decoder, snub_error *error);
/** Append the characters of the next bytes as UTF-8. What begins a character and lacks its end waits for more.
 *  @param[out] wrong  of bytes that are no character: what they are, "byte 0x81"; what comes before them is in `out`
 *  @return SNUB_OK; SNUB_BAD_INPUT; SNUB_NO_MEMORY */
snub_status snub_decoder_feed(snub_decoder *decoder, const char *data, size_t length, snub_text *out, char wrong[32]);
/** Is a character without its end left? */
bool snub_decoder_waits(const snub_decoder *decoder);
void snub_decoder_close(snub_decoder *decoder);

#endif
