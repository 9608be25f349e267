/* Message catalogues: lookup, both byte orders, damage; SHA-256. */
#include "support/near.h"

#include <stdlib.h>
#include <string.h>

#include "snub/locale.h"

/* A catalogue of two texts, made by hand after the GNU gettext manual's layout: head of 28 bytes, two tables of
 * (length, offset), texts in order. */
static size_t make_of(const char *const texts[4], unsigned char *out, bool big)
{
    uint32_t words[7 + 8] = {0x950412de, 0, 2, 28, 44, 0, 0};
    size_t at = 28 + 32;
    for (int i = 0; i < 4; i++) {
        words[7 + 2 * i] = (uint32_t)strlen(texts[i]);
        words[8 + 2 * i] = (uint32_t)at;
        memcpy(out + at, texts[i], strlen(texts[i]) + 1);
        at += strlen(texts[i]) + 1;
    }
    for (int i = 0; i < 15; i++)
        for (int k = 0; k < 4; k++)
            out[4 * i + k] = (unsigned char)(words[i] >> (big ? 24 - 8 * k : 8 * k));
    return at;
}

static size_t make(unsigned char *out, bool big)
{
    static const char *const texts[4] = {"belt", "stop", "Riemen", "Anschlag"};
    return make_of(texts, out, big);
}

static void texts_are_found(void **state)
{
    (void)state;
    for (int big = 0; big < 2; big++) {
        unsigned char data[256] = {0};
        size_t length = make(data, big == 1);
        snub_messages messages;
        snub_error error;
        assert_int_equal(snub_messages_read((const char *)data, length, &messages, &error), SNUB_OK);
        assert_int_equal(messages.count, 2);
        const snub_locale locale = snub_messages_locale(&messages);
        assert_string_equal(locale.say(locale.context, "belt"), "Riemen");
        assert_string_equal(locale.say(locale.context, "stop"), "Anschlag");
        assert_null(locale.say(locale.context, "pulley"));
        assert_null(locale.say(locale.context, ""));
        assert_string_equal(snub_say(&locale, "belt"), "Riemen");
        assert_string_equal(snub_say(&locale, "pulley"), "pulley");
    }
}

/* Name and decimal mark stand in the head, which is the translation of the empty text. */
static void the_head_says_which_language(void **state)
{
    (void)state;
    static const struct {
        const char *head, *name;
        char decimal;
    } cases[] = {{"Language: de\nX-Language-Name: Deutsch\nX-Decimal-Mark: comma\n", "Deutsch", ','},
                 {"X-Decimal-Mark: point\nX-Language-Name:English (US)", "English (US)", '.'},
                 {"Language: de\nX-Decimal-Mark: comma", "", ','},
                 {"X-Decimal-Marks: comma\nOld-X-Language-Name: x\n", "", '.'},
                 {"", "", '.'}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const char *const texts[4] = {"", "stop", cases[i].head, "Anschlag"};
        unsigned char data[256] = {0};
        const size_t length = make_of(texts, data, false);
        snub_messages messages;
        snub_error error;
        assert_int_equal(snub_messages_read((const char *)data, length, &messages, &error), SNUB_OK);
        const snub_language language = snub_messages_language(&messages);
        assert_string_equal(language.name, cases[i].name);
        assert_int_equal(language.decimal, cases[i].decimal);
        const snub_locale locale = snub_messages_locale(&messages);
        assert_string_equal(snub_say(&locale, "stop"), "Anschlag");
        assert_int_equal(locale.decimal, cases[i].decimal);
        char number[32];
        assert_string_equal(snub_number_text(&locale, 1.5, 1, number), cases[i].decimal == ',' ? "1,5" : "1.5");
    }
    snub_messages none = {0};
    const snub_locale english = snub_messages_locale(&none);
    assert_null(english.say);
    assert_int_equal(english.decimal, '.');
    unsigned char data[256] = {0};
    snub_messages headless;
    snub_error error;
    assert_int_equal(snub_messages_read((const char *)data, make(data, false), &headless, &error), SNUB_OK);
    assert_string_equal(snub_messages_language(&headless).name, "");
}

/* Every length that is cut off, and every byte of head and tables turned, is refused or still safe to look into. */
static void damage_is_refused_or_harmless(void **state)
{
    (void)state;
    unsigned char data[256] = {0};
    size_t length = make(data, false);
    snub_messages messages;
    snub_error error;
    for (size_t n = 0; n < length; n++) {
        char *cut = malloc(n > 0 ? n : 1); /* its own block, so that a read past the end is seen by the sanitizer */
        memcpy(cut, data, n);
        assert_int_equal(snub_messages_read(cut, n, &messages, &error), SNUB_BAD_INPUT);
        free(cut);
    }
    int refused = 0;
    for (size_t i = 0; i < 60; i++)
        for (int bit = 0; bit < 8; bit++) {
            char *turned = malloc(length);
            memcpy(turned, data, length);
            turned[i] = (char)(turned[i] ^ 1 << bit);
            if (snub_messages_read(turned, length, &messages, &error) == SNUB_OK) {
                const snub_locale locale = snub_messages_locale(&messages);
                snub_say(&locale, "belt");
                snub_say(&locale, "zzz");
            } else {
                refused++;
            }
            free(turned);
        }
    assert_true(refused > 200);
}

/* In pieces of uneven length, as a digest takes them. */
static void hash(const char *text, size_t length, char got[65])
{
    snub_digest digest;
    snub_digest_init(&digest);
    for (size_t at = 0, piece = 1; at < length; at += piece, piece = piece * 2 % 97 + 1) {
        piece = piece < length - at ? piece : length - at;
        snub_digest_add(&digest, text + at, piece);
    }
    snub_digest_end(&digest, got);
}

static void hashes_are_those_of_the_standard(void **state)
{
    (void)state;
    /* FIPS 180-2, appendix B; the empty text and the million letters are the usual further vectors */
    static const struct {
        const char *text, *hash;
    } cases[] = {{"", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"},
                 {"abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"},
                 {"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
                  "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"}};
    char got[65];
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        hash(cases[i].text, strlen(cases[i].text), got);
        assert_string_equal(got, cases[i].hash);
    }
    char *million = malloc(1000000);
    memset(million, 'a', 1000000);
    hash(million, 1000000, got);
    assert_string_equal(got, "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
    free(million);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(texts_are_found),
        cmocka_unit_test(the_head_says_which_language),
        cmocka_unit_test(damage_is_refused_or_harmless),
        cmocka_unit_test(hashes_are_those_of_the_standard),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
