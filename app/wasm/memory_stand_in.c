/* malloc in the place of the C library's, which is three times as large as it is sent. Blocks have one of a few sizes,
 * four to each doubling; what is freed waits for the next of its size. No block is ever split or joined: the core asks
 * for the same sizes again with each question, and whoever has had enough of it drops all of its memory. */
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { STEPS = 4, LEAST = 4 /* 16 bytes */, SIZES = STEPS * (32 - LEAST), PAGE = 65536 };

/* Before each block; while it is free, the block itself has the next one of its size. */
typedef struct {
    _Alignas(16) size_t size; /* its place in `spare` */
} header;

extern unsigned char __heap_base;
static void *spare[SIZES];
static uintptr_t top;

static size_t bytes_of(size_t size)
{
    return (size_t)(STEPS + size % STEPS) << (LEAST + size / STEPS - 2);
}

/* The smallest size that holds so many bytes; SIZES: there is none. */
static size_t size_for(size_t bytes)
{
    if (bytes <= 16)
        return 0;
    if (bytes > (size_t)1 << 30)
        return SIZES;
    const int power = 31 - __builtin_clzl(bytes - 1); /* 2^power < bytes, or equal to bytes - 1 */
    return (size_t)(power - LEAST) * STEPS + ((bytes - 1) >> (power - 2)) - STEPS + 1;
}

static void *fresh(size_t size)
{
    const size_t bytes = (sizeof(header) + bytes_of(size) + 15) & ~(size_t)15;
    if (top == 0)
        top = ((uintptr_t)&__heap_base + 15) & ~(uintptr_t)15;
    const size_t there = __builtin_wasm_memory_size(0) * PAGE;
    if (there - top < bytes) {
        const size_t want = (bytes - (there - top) + PAGE - 1) / PAGE, ample = want > 16 ? want : 16;
        if (__builtin_wasm_memory_grow(0, ample) == SIZE_MAX && __builtin_wasm_memory_grow(0, want) == SIZE_MAX)
            return NULL;
    }
    header *made = (header *)top;
    top += bytes;
    made->size = size;
    return made + 1;
}

static void *take(size_t bytes)
{
    const size_t size = size_for(bytes);
    if (size >= SIZES)
        return NULL;
    void *block = spare[size];
    if (block == NULL)
        return fresh(size);
    memcpy(&spare[size], block, sizeof(void *));
    return block;
}

void *malloc(size_t bytes)
{
    return take(bytes);
}

void free(void *block)
{
    if (block == NULL)
        return;
    const size_t size = ((header *)block)[-1].size;
    memcpy(block, &spare[size], sizeof(void *));
    spare[size] = block;
}

void *calloc(size_t count, size_t each)
{
    size_t bytes;
    if (__builtin_mul_overflow(count, each, &bytes))
        return NULL;
    void *block = take(bytes); /* of malloc and memset the compiler would make calloc */
    return block != NULL ? memset(block, 0, bytes) : NULL;
}

void *realloc(void *block, size_t bytes)
{
    if (block == NULL)
        return malloc(bytes);
    const size_t had = bytes_of(((header *)block)[-1].size);
    if (bytes <= had)
        return block;
    void *made = malloc(bytes);
    if (made != NULL) {
        memcpy(made, block, had);
        free(block);
    }
    return made;
}
