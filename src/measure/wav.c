/** WAV files, as they come. All of a file is doubted: its head says what it likes. */
#include <math.h>
#include <string.h>

#include "snub/sound.h"
#include "snub/units.h"

/** The sound is thinned to this rate or up to twice of it, Hz, by a low pass of so many samples to either side of each
 * that is kept. */
enum { RATE_LEAST = 4000, RATE_MOST = 768000, THINNED = 4000, LOBES = 16, CHANNELS_MOST = 2, FORMAT_BYTES = 40 };
/** Parts of the thinned rate: middle of the low pass's fall, and what it leaves as it is. Of a Blackman window of 2 x
 * LOBES: the fall is 5.5/(2 LOBES) wide. */
static const double CUT = 0.36, PASSED = 0.27, PASSED_UNTHINNED = 0.45;
/** At full scale, but for the last step of 8 bits. */
static const double CLIPPED = 0.99;
enum { FORMAT_PCM = 1, FORMAT_FLOAT = 3, FORMAT_EXTENSIBLE = 0xFFFE };

typedef enum reads { HEAD, CHUNK, FORMAT, SKIP, DATA, DONE } reads;

struct snub_wav {
    snub_arena *arena;
    reads reads;
    unsigned char held[FORMAT_BYTES]; /* until there is enough */
    size_t has, need;
    uint64_t left; /* of the chunk */
    bool has_format, has_data, is_float;
    int channels, bytes;
    unsigned rate;
    int by, taps; /* thinning */
    double *weight, *past[CHANNELS_MOST];
    int at;
    double *kept[CHANNELS_MOST];
    int count, most;
    long frames, clipped, clipped_at; /* at: the last, and one */
};

static snub_status refuse(snub_error *error, const char *what)
{
    return snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "%s", what);
}

static unsigned u16(const unsigned char *b)
{
    return (unsigned)b[0] | (unsigned)b[1] << 8;
}

static uint32_t u32(const unsigned char *b)
{
    return (uint32_t)u16(b) | (uint32_t)u16(b + 2) << 16;
}

snub_wav *snub_wav_begin(snub_arena *arena)
{
    snub_wav *w = SNUB_NEW(arena, snub_wav, 1);
    if (w != NULL)
        *w = (snub_wav){.arena = arena, .reads = HEAD, .need = 12};
    return w;
}

/* ---- the head ---------------------------------------------------------------------------------------------------- */

static snub_status read_head(snub_wav *w, snub_error *error)
{
    if (memcmp(w->held, "RF64", 4) == 0 || memcmp(w->held, "RIFX", 4) == 0)
        return refuse(error, "is a rare kind of WAV file: save it again as plain WAV, PCM");
    if (memcmp(w->held, "RIFF", 4) != 0 || memcmp(w->held + 8, "WAVE", 4) != 0)
        return refuse(error, "is no WAV file: save the recording as WAV, PCM");
    w->reads = CHUNK;
    w->need = 8;
    return SNUB_OK;
}

/* A sinc under a Blackman window, its sum 1. */
static void make_low_pass(snub_wav *w)
{
    double sum = 0.0;
    for (int i = 0; i < w->taps; i++) {
        const double t = (i - 0.5 * (w->taps - 1)) / w->by, turn = 2.0 * SNUB_PI * i / (w->taps - 1);
        const double sinc = fabs(t) > 1e-12 ? sin(2.0 * SNUB_PI * CUT * t) / (SNUB_PI * t) : 2.0 * CUT;
        w->weight[i] = sinc * (0.42 - 0.5 * cos(turn) + 0.08 * cos(2.0 * turn));
        sum += w->weight[i];
    }
    for (int i = 0; i < w->taps; i++)
        w->weight[i] /= sum;
}

static snub_status make_thinning(snub_wav *w, snub_error *error)
{
    w->by = w->rate >= 2 * THINNED ? (int)(w->rate / THINNED) : 1;
    w->taps = w->by > 1 ? 2 * LOBES * w->by + 1 : 1;
    w->most = (int)((double)SNUB_SOUND_SECONDS_MOST * w->rate / w->by) + 1;
    w->weight = SNUB_NEW(w->arena, double, w->taps);
    bool good = w->weight != NULL;
    for (int c = 0; c < w->channels; c++) {
        w->past[c] = SNUB_NEW(w->arena, double, w->taps);
        w->kept[c] = SNUB_NEW(w->arena, double, w->most);
        good = good && w->past[c] != NULL && w->kept[c] != NULL;
        for (int i = 0; w->past[c] != NULL && i < w->taps; i++)
            w->past[c][i] = 0.0;
    }
    if (!good)
        return snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    w->weight[0] = 1.0;
    if (w->by > 1)
        make_low_pass(w);
    return SNUB_OK;
}

static snub_status read_format(snub_wav *w, snub_error *error)
{
    unsigned kind = u16(w->held);
    const unsigned bits = u16(w->held + 14), block = u16(w->held + 12);
    if (kind == FORMAT_EXTENSIBLE && w->has >= 26)
        kind = u16(w->held + 24);
    w->channels = (int)u16(w->held + 2);
    w->rate = u32(w->held + 4);
    w->bytes = (int)(bits / 8);
    w->is_float = kind == FORMAT_FLOAT;
    if (w->has_format)
        return refuse(error, "has two formats");
    if (kind != FORMAT_PCM && kind != FORMAT_FLOAT)
        return refuse(error, "is compressed: save it as WAV, PCM");
    if (bits % 8 != 0 || (w->is_float ? bits != 32 && bits != 64 : bits < 8 || bits > 32))
        return refuse(error, "has samples of a size that is not read: 8, 16, 24 or 32 bits, or float of 32 or 64");
    if (w->channels < 1 || w->channels > CHANNELS_MOST)
        return refuse(error, "has no channel, or more than two");
    if (w->rate < RATE_LEAST || w->rate > RATE_MOST)
        return refuse(error, "has a sample rate outside of 4000 to 768000 Hz");
    if (block != (unsigned)(w->channels * w->bytes))
        return refuse(error, "has a head that contradicts itself: bytes of a frame");
    w->has_format = true;
    return make_thinning(w, error);
}

static snub_status read_chunk(snub_wav *w, snub_error *error)
{
    const bool format = memcmp(w->held, "fmt ", 4) == 0, data = memcmp(w->held, "data", 4) == 0;
    const uint32_t size = u32(w->held + 4);
    w->left = (uint64_t)size + size % 2;
    if (format && size < 16)
        return refuse(error, "has a format that is too short");
    if (data && !w->has_format)
        return refuse(error, "has its sound before its format");
    w->reads = format ? FORMAT : data ? DATA : SKIP;
    w->need = format ? (size < FORMAT_BYTES ? size : FORMAT_BYTES) : data ? (size_t)(w->channels * w->bytes) : 0;
    if (data) { /* a program that could not go back to write the size leaves 0 or all ones: the sound goes to the end */
        w->has_data = true;
        w->left = size == 0 || size == UINT32_MAX ? UINT64_MAX : size;
    }
    return SNUB_OK;
}

/* ---- the sound --------------------------------------------------------------------------------------------------- */

static double sample_of(const snub_wav *w, const unsigned char *b)
{
    uint64_t bits = 0;
    for (int i = 0; i < w->bytes; i++)
        bits |= (uint64_t)b[i] << (8 * i);
    if (w->is_float && w->bytes == 4) {
        const uint32_t word = (uint32_t)bits;
        float value;
        memcpy(&value, &word, sizeof value);
        return (double)value;
    }
    if (w->is_float) {
        double value;
        memcpy(&value, &bits, sizeof value);
        return value;
    }
    const double full = ldexp(1.0, 8 * w->bytes - 1);
    if (w->bytes == 1)
        return ((double)bits - full) / full;
    return ((double)bits >= full ? (double)bits - 2.0 * full : (double)bits) / full;
}

static double passed(const snub_wav *w, int channel)
{
    const double *past = w->past[channel];
    double sum = 0.0;
    int i = 0;
    for (int k = w->at; k < w->taps; k++)
        sum += w->weight[i++] * past[k];
    for (int k = 0; k < w->at; k++)
        sum += w->weight[i++] * past[k];
    return sum;
}

static snub_status take_frame(snub_wav *w, snub_error *error)
{
    for (int c = 0; c < w->channels; c++) {
        const double value = sample_of(w, w->held + c * w->bytes);
        if (!(fabs(value) < 1e6))
            return refuse(error, "has samples that are no numbers");
        if (fabs(value) >= CLIPPED) {
            w->clipped++;
            w->clipped_at = w->frames + 1;
        }
        w->past[c][w->at] = value;
    }
    w->at = (w->at + 1) % w->taps;
    if (w->frames++ % w->by != 0)
        return SNUB_OK;
    if (w->count == w->most)
        return snub_fail(error, SNUB_TOO_LARGE, NULL, NULL, "is longer than %d s: cut it to one pluck",
                         SNUB_SOUND_SECONDS_MOST);
    for (int c = 0; c < w->channels; c++)
        w->kept[c][w->count] = passed(w, c);
    w->count++;
    return SNUB_OK;
}

/* What is held is complete. */
static snub_status take(snub_wav *w, snub_error *error)
{
    snub_status status = SNUB_OK;
    switch (w->reads) {
    case HEAD: status = read_head(w, error); break;
    case CHUNK: status = read_chunk(w, error); break;
    case FORMAT:
        status = read_format(w, error);
        w->left -= w->has;
        w->reads = SKIP;
        break;
    case DATA:
        status = take_frame(w, error);
        w->left -= w->left == UINT64_MAX ? 0 : w->has;
        if (w->left < w->need)
            w->reads = DONE;
        break;
    default: break;
    }
    w->has = 0;
    return status;
}

/* Bytes of a chunk that nobody wants. */
static size_t skip(snub_wav *w, size_t count)
{
    const size_t taken = w->left < count ? (size_t)w->left : count;
    w->left -= taken;
    if (w->left == 0) {
        w->reads = CHUNK;
        w->need = 8;
    }
    return taken;
}

snub_status snub_wav_feed(snub_wav *w, const unsigned char *bytes, size_t count, snub_error *error)
{
    size_t i = 0;
    while (w->reads != DONE) {
        if (w->reads == SKIP) {
            i += skip(w, count - i);
            if (w->reads == SKIP)
                return SNUB_OK;
            continue;
        }
        if (w->reads == DATA && w->left < w->need) {
            w->reads = DONE;
            return SNUB_OK;
        }
        while (i < count && w->has < w->need)
            w->held[w->has++] = bytes[i++];
        if (w->has < w->need)
            return SNUB_OK;
        const snub_status status = take(w, error);
        if (status != SNUB_OK)
            return status;
    }
    return SNUB_OK;
}

static double loudness(const double *sample, int count)
{
    double mean = 0.0, sum = 0.0;
    for (int i = 0; i < count; i++)
        mean += sample[i] / count;
    for (int i = 0; i < count; i++)
        sum += (sample[i] - mean) * (sample[i] - mean);
    return sum;
}

snub_status snub_wav_end(snub_wav *w, snub_sound *sound, snub_error *error)
{
    if (w->reads == HEAD)
        return refuse(error, "is no WAV file: save the recording as WAV, PCM");
    if (!w->has_data || w->count == 0)
        return refuse(error, "has no sound in it");
    const int louder = w->channels == 2 && loudness(w->kept[1], w->count) > loudness(w->kept[0], w->count) ? 1 : 0;
    *sound = (snub_sound){.rate = (double)w->rate / w->by,
                          .count = w->count,
                          .sample = w->kept[louder],
                          .highest = (double)w->rate / w->by * (w->by > 1 ? PASSED : PASSED_UNTHINNED),
                          .channels = w->channels,
                          .bits = 8 * w->bytes,
                          .file_rate = w->rate,
                          .frames = w->frames,
                          .clipped = w->clipped,
                          .clipped_until = w->clipped > 0 ? (double)w->clipped_at / w->rate : 0.0,
                          .cut_short = w->reads == DATA && w->left != UINT64_MAX};
    return SNUB_OK;
}
