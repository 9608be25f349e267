/** Fuzz target of WAV files and of what rings in them. Asserted: fed in pieces of any size a file gives the same sound
 * as at once; one that is refused has words; a frequency lies between those that were looked at, with an error that is
 * finite and none below zero. */
#include <math.h>
#include <string.h>

#include "fuzz.h"
#include "snub/sound.h"

static snub_status read(const uint8_t *data, size_t size, size_t piece, snub_arena *arena, snub_sound *sound,
                        snub_error *error)
{
    snub_wav *wav = snub_wav_begin(arena);
    snub_status status = wav != NULL ? SNUB_OK : SNUB_NO_MEMORY;
    for (size_t at = 0; status == SNUB_OK && at < size; at += piece)
        status = snub_wav_feed(wav, data + at, size - at < piece ? size - at : piece, error);
    return status == SNUB_OK ? snub_wav_end(wav, sound, error) : status;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    snub_arena arena;
    snub_sound sound, again;
    snub_ring ring;
    snub_error error = {0}, other = {0};
    snub_arena_init(&arena, 256 << 20);
    const snub_status status = read(data, size, size + 1, &arena, &sound, &error);
    const snub_status pieces = read(data, size, size % 7 + 1, &arena, &again, &other);
    must(status == pieces || status == SNUB_NO_MEMORY || pieces == SNUB_NO_MEMORY);
    must(status == SNUB_OK || status == SNUB_NO_MEMORY || error.message[0] != '\0');
    if (status == SNUB_OK && pieces == SNUB_OK) {
        must(sound.count == again.count && sound.frames == again.frames && sound.clipped == again.clipped);
        must(memcmp(sound.sample, again.sample, (size_t)sound.count * sizeof *sound.sample) == 0);
        const snub_status heard = snub_ring_find(&sound, 20.0, 400.0, NAN, &arena, &ring, &error);
        must(heard == SNUB_OK || heard == SNUB_NO_MEMORY || error.message[0] != '\0');
        if (heard == SNUB_OK)
            must(ring.frequency > 19.0 && ring.frequency < 402.0 && isfinite(ring.error) && ring.error >= 0.0);
    }
    snub_arena_free(&arena);
    return 0;
}
