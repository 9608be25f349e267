/** Fuzz target of the reader of snapshots.
 *  Asserted: bytes are a snapshot or are refused; one that is taken is written to bytes that give the same ones again.
 */
#include <string.h>

#include "fuzz.h"
#include "snub/snapshot.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    snub_arena arena;
    snub_snapshot one, two;
    snub_error error = {0};
    snub_text first = {0}, second = {0};
    snub_arena_init(&arena, 64 << 20);
    const snub_status status = snub_snapshot_read(data, size, &arena, &one, &error);
    must(status == SNUB_OK || status == SNUB_BAD_INPUT || status == SNUB_NO_MEMORY);
    must(status == SNUB_OK || error.message[0] != '\0');
    if (status == SNUB_OK) {
        must(snub_snapshot_write(&one, &first, &error) == SNUB_OK);
        must(snub_snapshot_read(first.data, first.length, &arena, &two, &error) == SNUB_OK);
        must(snub_snapshot_write(&two, &second, &error) == SNUB_OK);
        must(first.length == second.length && memcmp(first.data, second.data, first.length) == 0);
    }
    snub_text_free(&first);
    snub_text_free(&second);
    snub_arena_free(&arena);
    return 0;
}
