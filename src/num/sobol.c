/* Sobol's points, and Owen's scrambling of them.
 *
 * Digit k of a coordinate is the sum mod 2 of the digits k of those direction numbers v_j whose bit j is set in the
 * Gray code of the index. A direction number follows from those before it by the dimension's primitive polynomial of
 * degree s with inner coefficients a_1 ... a_(s-1) (Bratley and Fox 1988), here with the binary point at the left of
 * the word:
 *
 *     v_j = a_1 v_(j-1) + ... + a_(s-1) v_(j-s+1) + v_(j-s) + v_(j-s) / 2^s   (mod 2, digit by digit)
 *
 * They are made anew for each point: a few hundred operations, against no table that threads would share. */
#include "snub/sobol.h"

enum { BITS = 64, DIGITS = 52 };

static const uint16_t table[] = {
#include "sobol_table.inc"
};

static int degree_of(unsigned polynomial)
{
    int degree = 0;
    while (polynomial >> (degree + 1) != 0)
        degree++;
    return degree;
}

/* The coordinate of a dimension above the first, as a fraction of 2^64. `row`: its polynomial and first numbers. */
static uint64_t coordinate(const uint16_t *row, uint64_t gray)
{
    const unsigned polynomial = row[0];
    const int degree = degree_of(polynomial);
    uint64_t v[BITS], x = 0;
    for (int j = 0; j < BITS && gray >> j != 0; j++) {
        if (j < degree) {
            v[j] = (uint64_t)row[1 + j] << (BITS - 1 - j);
        } else {
            v[j] = v[j - degree] ^ (v[j - degree] >> degree);
            for (int k = 1; k < degree; k++)
                if ((polynomial >> (degree - k) & 1u) != 0)
                    v[j] ^= v[j - k];
        }
        if ((gray >> j & 1u) != 0)
            x ^= v[j];
    }
    return x;
}

/* The first dimension: v_j = 2^-j. */
static uint64_t turned_round(uint64_t gray)
{
    uint64_t x = 0;
    for (int j = 0; j < BITS; j++)
        x |= (gray >> j & 1u) << (BITS - 1 - j);
    return x;
}

/* Every bit of the answer hangs on every bit of x, and no two x have the same: the last step of the generator
 * SplitMix64 (Steele, Lea and Flood 2014). */
static uint64_t hash(uint64_t x)
{
    x = (x ^ x >> 30) * UINT64_C(0xbf58476d1ce4e5b9);
    x = (x ^ x >> 27) * UINT64_C(0x94d049bb133111eb);
    return x ^ x >> 31;
}

/* Each digit flipped or not by the digits before it: `node` is 1 and those digits, so that no two places of the tree
 * have the same. */
static uint64_t scramble(uint64_t x, uint64_t key)
{
    uint64_t flips = 0;
    for (int digit = 0; digit < DIGITS; digit++) {
        const uint64_t before = digit == 0 ? 0 : x >> (BITS - digit), node = UINT64_C(1) << digit | before;
        flips |= (hash(key ^ hash(node)) >> (BITS - 1)) << (BITS - 1 - digit);
    }
    return x ^ flips;
}

void snub_sobol_point(int dimensions, uint64_t seed, bool scrambled, uint64_t index, double *point)
{
    const uint64_t gray = index ^ index >> 1, golden = UINT64_C(0x9e3779b97f4a7c15); /* 2^64 over the golden ratio */
    const uint16_t *row = table;
    for (int i = 0; i < dimensions; i++) {
        const uint64_t x = i == 0 ? turned_round(gray) : coordinate(row, gray);
        if (i > 0)
            row += 1 + degree_of(row[0]);
        if (scrambled) {
            const uint64_t key = hash(hash(seed + golden) + golden * (uint64_t)(i + 1));
            point[i] = ((double)(scramble(x, key) >> (BITS - DIGITS)) + 0.5) * 0x1p-52;
        } else {
            point[i] = (double)(x >> 11) * 0x1p-53;
        }
    }
}
