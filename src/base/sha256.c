/* SHA-256, to name what a sheet was made from. FIPS 180-4. */
#include <string.h>

#include "snub/base.h"

static const uint32_t constants[64] = {
    0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5,
    0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174,
    0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da,
    0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967,
    0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
    0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070,
    0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3,
    0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2};

static uint32_t turned(uint32_t value, int by)
{
    return value >> by | value << (32 - by);
}

/* One round: what stands at h becomes a, what stands at d becomes e; the others keep their places, so that eight rounds
 * go around without a move. */
static inline void turn_round(uint32_t a, uint32_t b, uint32_t c, uint32_t *d, uint32_t e, uint32_t f, uint32_t g,
                              uint32_t *h, uint32_t add)
{
    const uint32_t one = *h + (turned(e, 6) ^ turned(e, 11) ^ turned(e, 25)) + ((e & f) ^ (~e & g)) + add;
    const uint32_t two = (turned(a, 2) ^ turned(a, 13) ^ turned(a, 22)) + ((a & b) ^ (a & c) ^ (b & c));
    *d += one;
    *h = one + two;
}

static void take_block(uint32_t state[8], const unsigned char block[64])
{
    uint32_t w[64];
    uint32_t a = state[0], b = state[1], c = state[2], d = state[3];
    uint32_t e = state[4], f = state[5], g = state[6], h = state[7];
    for (int i = 0; i < 16; i++)
        w[i] = (uint32_t)block[4 * i] << 24 | (uint32_t)block[4 * i + 1] << 16 | (uint32_t)block[4 * i + 2] << 8 |
               block[4 * i + 3];
    for (int i = 16; i < 64; i++) {
        const uint32_t x = turned(w[i - 15], 7) ^ turned(w[i - 15], 18) ^ w[i - 15] >> 3;
        const uint32_t y = turned(w[i - 2], 17) ^ turned(w[i - 2], 19) ^ w[i - 2] >> 10;
        w[i] = w[i - 16] + x + w[i - 7] + y;
    }
    for (int i = 0; i < 64; i += 8) {
        const uint32_t *k = constants + i, *v = w + i;
        turn_round(a, b, c, &d, e, f, g, &h, k[0] + v[0]);
        turn_round(h, a, b, &c, d, e, f, &g, k[1] + v[1]);
        turn_round(g, h, a, &b, c, d, e, &f, k[2] + v[2]);
        turn_round(f, g, h, &a, b, c, d, &e, k[3] + v[3]);
        turn_round(e, f, g, &h, a, b, c, &d, k[4] + v[4]);
        turn_round(d, e, f, &g, h, a, b, &c, k[5] + v[5]);
        turn_round(c, d, e, &f, g, h, a, &b, k[6] + v[6]);
        turn_round(b, c, d, &e, f, g, h, &a, k[7] + v[7]);
    }
    const uint32_t s[8] = {a, b, c, d, e, f, g, h};
    for (int i = 0; i < 8; i++)
        state[i] += s[i];
}

void snub_digest_init(snub_digest *digest)
{
    static const uint32_t start[8] = {0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a,
                                      0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19};
    *digest = (snub_digest){0};
    memcpy(digest->state, start, sizeof start);
}

void snub_digest_add(snub_digest *digest, const void *data, size_t length)
{
    const unsigned char *from = data;
    while (length > 0) {
        const size_t held = digest->length % 64, piece = length < 64 - held ? length : 64 - held;
        memcpy(digest->block + held, from, piece);
        digest->length += piece;
        from += piece;
        length -= piece;
        if (held + piece == 64)
            take_block(digest->state, digest->block);
    }
}

void snub_digest_text(snub_digest *digest, const char *text)
{
    const size_t length = text != NULL ? strlen(text) : 0;
    unsigned char size[8];
    for (size_t i = 0; i < 8; i++)
        size[i] = (unsigned char)((uint64_t)length >> 8 * i);
    snub_digest_add(digest, size, sizeof size);
    snub_digest_add(digest, text, length);
}

void snub_digest_end(snub_digest *digest, char text[65])
{
    static const char digits[] = "0123456789abcdef";
    static const unsigned char pad[64] = {0x80};
    const uint64_t bits = digest->length * 8;
    const size_t held = digest->length % 64;
    unsigned char size[8];
    for (size_t i = 0; i < 8; i++)
        size[7 - i] = (unsigned char)(bits >> 8 * i);
    snub_digest_add(digest, pad, held < 56 ? 56 - held : 120 - held);
    snub_digest_add(digest, size, sizeof size);
    for (int i = 0; i < 64; i++)
        text[i] = digits[digest->state[i / 8] >> (28 - 4 * (i % 8)) & 15];
    text[64] = '\0';
}
