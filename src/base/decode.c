/* Other encodings, by iconv. */
#include "decode.h"

#include <errno.h>
#include <iconv.h>
#include <stdlib.h>
#include <string.h>

enum {
    PENDING_MOST = 8, /* bytes of one character: four at most */
    PIECE = 4096
};

struct snub_decoder {
    snub_encoding encoding;
    iconv_t turn;
    char pending[PENDING_MOST + PIECE]; /* a character's beginning, and the next bytes behind it */
    size_t waiting;
};

const char *const snub_encoding_words[] = {"utf-8", "latin-1", "windows-1252", "utf-16", "utf-16le", "utf-16be", NULL};

const char *snub_encoding_name(snub_encoding encoding)
{
    return encoding == SNUB_ENCODING_FOUND_OUT ? "" : snub_encoding_words[encoding - SNUB_ENCODING_UTF_8];
}

snub_encoding snub_encoding_named(const char *name)
{
    for (int i = 0; snub_encoding_words[i]; i++)
        if (strcmp(snub_encoding_words[i], name) == 0)
            return (snub_encoding)(SNUB_ENCODING_UTF_8 + i);
    return SNUB_ENCODING_FOUND_OUT;
}

snub_encoding snub_encoding_marked(const char *head, size_t length, size_t *mark)
{
    static const struct {
        const char *bytes;
        size_t length;
        snub_encoding encoding;
    } marks[] = {{"\xEF\xBB\xBF", 3, SNUB_ENCODING_UTF_8},
                 {"\xFF\xFE", 2, SNUB_ENCODING_UTF_16LE},
                 {"\xFE\xFF", 2, SNUB_ENCODING_UTF_16BE}};
    for (size_t i = 0; i < sizeof marks / sizeof marks[0]; i++) {
        if (length >= marks[i].length && memcmp(head, marks[i].bytes, marks[i].length) == 0) {
            *mark = marks[i].length;
            return marks[i].encoding;
        }
    }
    *mark = 0;
    return SNUB_ENCODING_FOUND_OUT;
}

/* The name by which iconv knows it. */
static const char *known_as(snub_encoding encoding)
{
    switch (encoding) {
    case SNUB_ENCODING_LATIN_1: return "ISO-8859-1";
    case SNUB_ENCODING_WINDOWS_1252: return "WINDOWS-1252";
    case SNUB_ENCODING_UTF_16LE: return "UTF-16LE";
    default: return "UTF-16BE";
    }
}

snub_status snub_decoder_open(snub_encoding encoding, snub_decoder **decoder, snub_error *error)
{
    snub_decoder *made = calloc(1, sizeof *made);
    if (!made)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    made->encoding = encoding;
    made->turn = iconv_open("UTF-8", known_as(encoding));
    if (made->turn == (iconv_t)-1) {
        const bool memory = errno == ENOMEM;
        free(made);
        return memory
                   ? snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory")
                   : snub_fail(error, SNUB_IO, NULL, NULL, "this system cannot read %s", snub_encoding_name(encoding));
    }
    *decoder = made;
    return SNUB_OK;
}

/* Latin-1 has control characters where Windows-1252 has quotes and the euro sign: no list of parts means them. */
static size_t before_controls(const snub_decoder *decoder, const char *data, size_t length)
{
    if (decoder->encoding != SNUB_ENCODING_LATIN_1)
        return length;
    for (size_t i = 0; i < length; i++)
        if ((unsigned char)data[i] >= 0x80 && (unsigned char)data[i] < 0xA0)
            return i;
    return length;
}

static void describe(const snub_decoder *decoder, const char *at, char wrong[32])
{
    const unsigned char *bytes = (const unsigned char *)at;
    if (decoder->encoding == SNUB_ENCODING_UTF_16LE || decoder->encoding == SNUB_ENCODING_UTF_16BE)
        snprintf(wrong, 32, "bytes 0x%02X 0x%02X", bytes[0], bytes[1]);
    else
        snprintf(wrong, 32, "byte 0x%02X", bytes[0]);
}

/* @param[in,out] from, left  what is not taken yet: at the end a character without its end */
static snub_status turn(snub_decoder *decoder, char **from, size_t *left, snub_text *out, char wrong[32])
{
    char room[PIECE];
    while (*left) {
        char *to = room;
        size_t space = sizeof room;
        const size_t code = iconv(decoder->turn, from, left, &to, &space);
        const int reason = code == (size_t)-1 ? errno : 0;
        snub_text_add(out, room, sizeof room - space);
        if (out->failed)
            return SNUB_NO_MEMORY;
        if (reason == EILSEQ) {
            describe(decoder, *from, wrong);
            return SNUB_BAD_INPUT;
        }
        if (reason == EINVAL)
            break;
    }
    return SNUB_OK;
}

snub_status snub_decoder_feed(snub_decoder *decoder, const char *data, size_t length, snub_text *out, char wrong[32])
{
    const size_t good = before_controls(decoder, data, length);
    for (size_t done = 0; done < good;) {
        const size_t piece = good - done < PIECE ? good - done : PIECE;
        memcpy(decoder->pending + decoder->waiting, data + done, piece);
        char *from = decoder->pending;
        size_t left = decoder->waiting + piece;
        const snub_status status = turn(decoder, &from, &left, out, wrong);
        if (status != SNUB_OK)
            return status;
        memmove(decoder->pending, from, left);
        decoder->waiting = left;
        done += piece;
    }
    if (good == length)
        return SNUB_OK;
    describe(decoder, data + good, wrong);
    return SNUB_BAD_INPUT;
}

bool snub_decoder_waits(const snub_decoder *decoder)
{
    return decoder->waiting > 0;
}

void snub_decoder_close(snub_decoder *decoder)
{
    if (!decoder)
        return;
    iconv_close(decoder->turn);
    free(decoder);
}
