/** Every mistake's text is test data: cases/NAME.yaml is read and checked, and what is said about it, as a person sees
 *  it, must be cases/NAME.txt. With SNUB_GOLDEN_WRITE=1 in the environment the .txt files are written instead. */
#include <dirent.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#include "snub/drive.h"

#define CASES SNUB_SOURCE_DIR "/tests/unit/drive/cases/"

/** What the program would print about a file. */
static void say(const char *name, const char *data, size_t length, snub_text *out)
{
    snub_arena arena;
    snub_document document;
    snub_drive drive;
    snub_errors errors = {0};
    snub_reading reading = {.arena = &arena};
    snub_arena_init(&arena, 0);
    assert_int_equal(snub_units_open(&reading.units, NULL), SNUB_OK);
    snub_status status = snub_document_parse(name, data, length, &arena, &document, &errors);
    if (status == SNUB_OK)
        status = snub_drive_check(&document, &reading, &drive, &errors);
    for (int i = 0; i < errors.count; i++) {
        snub_error_render(&errors.items[i], document.source, document.source_length, out);
        assert_int_equal(out->data[out->length - 1], '\n');
    }
    snub_text_printf(out, "%s, %d errors", snub_status_text(status), errors.count);
    snub_text_printf(out, errors.more > 0 ? " and %d more\n" : "\n", errors.more);
    assert_true((status == SNUB_OK) == (errors.count == 0));
    snub_errors_free(&errors);
    snub_units_free(reading.units);
    snub_arena_free(&arena);
}

/** @return 0 where the case says what it must */
static int try_case(const char *name)
{
    char path[1024], *data = NULL, *wanted = NULL;
    size_t length = 0, wanted_length = 0;
    snub_text got = {0};
    snprintf(path, sizeof(path), "%s%s", CASES, name);
    assert_int_equal(snub_file_read(path, SNUB_FILE_BYTES_MOST, &data, &length, NULL), SNUB_OK);
    say(name, data, length, &got);
    free(data);
    strcpy(strrchr(path, '.'), ".txt");
    if (getenv("SNUB_GOLDEN_WRITE") != NULL) {
        assert_int_equal(snub_file_write(path, got.data, got.length, NULL), SNUB_OK);
        snub_text_free(&got);
        return 0;
    }
    int wrong = snub_file_read(path, SNUB_FILE_BYTES_MOST, &wanted, &wanted_length, NULL) != SNUB_OK ||
                wanted_length != got.length || memcmp(wanted, got.data, got.length) != 0;
    if (wrong)
        print_error("%s\n--- got\n%s--- want\n%s\n", name, got.data, wanted != NULL ? wanted : "(no file)\n");
    free(wanted);
    snub_text_free(&got);
    return wrong;
}

static void test_cases(void **state)
{
    (void)state;
    int cases = 0, wrong = 0;
    DIR *folder = opendir(CASES);
    assert_non_null(folder);
    for (struct dirent *entry; (entry = readdir(folder)) != NULL;) {
        size_t length = strlen(entry->d_name);
        if (length < 6 || strcmp(entry->d_name + length - 5, ".yaml") != 0)
            continue;
        cases++;
        wrong += try_case(entry->d_name);
    }
    closedir(folder);
    print_message("%d cases\n", cases);
    assert_true(cases > 100);
    assert_int_equal(wrong, 0);
}

/** A case whose name begins with good_ has no errors, all others have. */
static void test_names_tell(void **state)
{
    (void)state;
    DIR *folder = opendir(CASES);
    assert_non_null(folder);
    for (struct dirent *entry; (entry = readdir(folder)) != NULL;) {
        char path[1024], *data = NULL;
        size_t length = 0;
        if (strlen(entry->d_name) < 5 || strcmp(entry->d_name + strlen(entry->d_name) - 4, ".txt") != 0)
            continue;
        snprintf(path, sizeof(path), "%s%s", CASES, entry->d_name);
        assert_int_equal(snub_file_read(path, SNUB_FILE_BYTES_MOST, &data, &length, NULL), SNUB_OK);
        if ((strncmp(entry->d_name, "good_", 5) == 0 || strncmp(entry->d_name, "alias_good", 10) == 0) !=
            (strncmp(data, "ok, 0 errors", 12) == 0))
            fail_msg("%s: %s", entry->d_name, data);
        free(data);
    }
    closedir(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_cases), cmocka_unit_test(test_names_tell)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
