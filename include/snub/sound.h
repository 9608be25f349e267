/** snub/sound.h - a recorded pluck: the sound of a WAV file, and what rings in it. Room: measure.
 * docs/theory/measure.md.
 */
#ifndef SNUB_SOUND_H
#define SNUB_SOUND_H

#include "snub/base.h"

enum { SNUB_SOUND_SECONDS_MOST = 60, SNUB_TONES_MOST = 6 };

/** A sound, thinned to what a belt's ringing needs: the louder one of its channels. */
typedef struct snub_sound {
    double rate; /**< of the samples here, Hz */
    int count;
    double *sample; /**< full scale is 1 */
    double highest; /**< frequency that the thinning leaves as it is, Hz */
    int channels, bits;
    double file_rate;     /**< Hz */
    long frames;          /**< in the file */
    long clipped;         /**< samples at full scale */
    double clipped_until; /**< s; 0: none is */
    bool cut_short;       /**< the file ends before what its head says */
} snub_sound;

/** Reads a WAV file piece by piece. Takes PCM of 8, 16, 24 and 32 bits and float of 32 and 64, one channel or two, 4000
 *  to 768000 Hz, up to SNUB_SOUND_SECONDS_MOST. Memory: the arena. */
typedef struct snub_wav snub_wav;
/** @return NULL: memory is out */
snub_wav *snub_wav_begin(snub_arena *arena);
/** @return SNUB_OK; SNUB_BAD_INPUT, SNUB_TOO_LARGE, SNUB_NO_MEMORY: told; feed no more then */
snub_status snub_wav_feed(snub_wav *wav, const unsigned char *bytes, size_t count, snub_error *error);
/** The file has ended. @return as snub_wav_feed */
snub_status snub_wav_end(snub_wav *wav, snub_sound *sound, snub_error *error);

/** What a tone is. */
typedef enum snub_tone_kind {
    SNUB_TONE_OTHER,  /**< decays, but is no harmonic of the span */
    SNUB_TONE_SPAN,   /**< a harmonic of the span */
    SNUB_TONE_STEADY, /**< does not decay: hum, a fan */
    SNUB_TONE_THUD,   /**< dies before it has rung */
    SNUB_TONE_BESIDE  /**< at the foot of a stronger one */
} snub_tone_kind;
/** "span", "steady", ... */
const char *snub_tone_text(snub_tone_kind kind);

/** Errors are standard deviations. */
typedef struct snub_tone {
    double frequency, error; /**< Hz */
    double decay;            /**< of the amplitude, 1/s */
    double amplitude;        /**< at the start of what is looked at, full scale 1 */
    double over_noise;       /**< of its power over the noise beside it */
    snub_tone_kind kind;
    int harmonic; /**< of a SNUB_TONE_SPAN */
} snub_tone;

/** What rings. */
typedef struct snub_ring {
    double from, seconds;    /**< of the sound, that is looked at */
    double frequency, error; /**< of the first harmonic, Hz */
    bool first_heard;        /**< else it follows from the others */
    double needed;           /**< that a tone's power has to be over the noise */
    int count;
    snub_tone tone[SNUB_TONES_MOST];
} snub_ring;

/** The frequency of a span that was plucked.
 *  @param[in] least, most  between which the first harmonic lies, Hz
 *  @param[in] bending      pi^2 EI/(4 m L^4), Hz2, by which harmonics are spread; NAN: not known
 *  @return SNUB_OK; SNUB_BAD_INPUT (told: nothing rings, or two spans); SNUB_NO_MEMORY */
snub_status snub_ring_find(const snub_sound *sound, double least, double most, double bending, snub_arena *arena,
                           snub_ring *ring, snub_error *error);

#endif
