/* Files: read with a plain reason for every refusal; written so that the old one survives a failure. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <dirent.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "snub/base.h"

static char folder[512];

static const char *path_of(const char *name)
{
    static char paths[4][640];
    static int next;
    char *path = paths[next++ % 4];
    snprintf(path, sizeof paths[0], "%s/%s", folder, name);
    return path;
}

static int make_folder(void **state)
{
    (void)state;
    const char *base = getenv("TMPDIR");
    snprintf(folder, sizeof folder, "%s/snub-test-XXXXXX", base && base[0] ? base : "/tmp");
    return mkdtemp(folder) ? 0 : -1;
}

static int remove_folder(void **state)
{
    (void)state;
    DIR *all = opendir(folder);
    for (struct dirent *entry; all && (entry = readdir(all)) != NULL;) {
        if (entry->d_name[0] != '.' || strlen(entry->d_name) > 2)
            remove(path_of(entry->d_name));
    }
    closedir(all);
    return rmdir(folder);
}

static void put(const char *path, const char *text)
{
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    fputs(text, file);
    fclose(file);
}

static void expect_content(const char *path, const char *want)
{
    char *data = NULL;
    size_t length = 0;
    snub_error error;
    assert_int_equal(snub_file_read(path, 1 << 20, &data, &length, &error), SNUB_OK);
    assert_int_equal(length, strlen(want));
    assert_memory_equal(data, want, length + 1);
    free(data);
}

static void expect_read_refused(const char *path, size_t most, snub_status status, const char *message)
{
    char *data = NULL;
    size_t length = 0;
    snub_error error;
    assert_int_equal(snub_file_read(path, most, &data, &length, &error), status);
    assert_string_equal(error.message, message);
    assert_string_equal(error.place.file, path);
    assert_null(data);
}

static int leftovers(void)
{
    int count = 0;
    DIR *all = opendir(folder);
    for (struct dirent *entry; (entry = readdir(all)) != NULL;)
        count += strncmp(entry->d_name, ".snub-", 6) == 0;
    closedir(all);
    return count;
}

static void reads_what_is_there(void **state)
{
    (void)state;
    put(path_of("a"), "belt: 1\n");
    expect_content(path_of("a"), "belt: 1\n");
    put(path_of("a"), "");
    expect_content(path_of("a"), "");
    char *data = NULL;
    size_t length = 0;
    put(path_of("a"), "12345");
    assert_int_equal(snub_file_read(path_of("a"), 5, &data, &length, NULL), SNUB_OK);
    free(data);
}

static void refuses_with_a_plain_reason(void **state)
{
    (void)state;
    expect_read_refused(path_of("none"), 10, SNUB_IO, "no such file");
    expect_read_refused(folder, 10, SNUB_IO, "is a folder, not a file");
    put(path_of("a"), "123456");
    expect_read_refused(path_of("a"), 5, SNUB_TOO_LARGE, "the file is larger than 5 bytes");
    expect_read_refused(path_of("a/b"), 5, SNUB_IO, "no such file: a part of its path is not a folder");
    assert_int_equal(mkfifo(path_of("fifo"), 0600), 0);
    alarm(5); /* a reader that waits for a writer would hang */
    expect_read_refused(path_of("fifo"), 5, SNUB_IO, "is a pipe or a device, not a file");
    alarm(0);
    if (geteuid() != 0) {
        chmod(path_of("a"), 0);
        expect_read_refused(path_of("a"), 10, SNUB_IO, "permission denied");
    }
}

static void replaces_and_keeps_permissions(void **state)
{
    (void)state;
    snub_error error;
    put(path_of("a"), "old");
    assert_int_equal(chmod(path_of("a"), 0640), 0);
    assert_int_equal(snub_file_write(path_of("a"), "new text", 8, &error), SNUB_OK);
    expect_content(path_of("a"), "new text");
    struct stat facts;
    assert_int_equal(stat(path_of("a"), &facts), 0);
    assert_int_equal(facts.st_mode & 07777, 0640);
    mode_t before = umask(027);
    assert_int_equal(snub_file_write(path_of("fresh"), "x", 1, &error), SNUB_OK);
    umask(before);
    assert_int_equal(stat(path_of("fresh"), &facts), 0);
    assert_int_equal(facts.st_mode & 07777, 0640);
    assert_int_equal(snub_file_write(path_of("fresh"), "", 0, &error), SNUB_OK);
    expect_content(path_of("fresh"), "");
    assert_int_equal(leftovers(), 0);
}

static void follows_symbolic_links(void **state)
{
    (void)state;
    snub_error error;
    put(path_of("target"), "old");
    assert_int_equal(symlink("target", path_of("link")), 0);
    assert_int_equal(symlink("link", path_of("link2")), 0);
    assert_int_equal(snub_file_write(path_of("link2"), "new", 3, &error), SNUB_OK);
    expect_content(path_of("target"), "new");
    struct stat facts;
    assert_int_equal(lstat(path_of("link"), &facts), 0);
    assert_true(S_ISLNK(facts.st_mode));
    assert_int_equal(symlink("not-yet", path_of("dangling")), 0);
    assert_int_equal(snub_file_write(path_of("dangling"), "made", 4, &error), SNUB_OK);
    expect_content(path_of("not-yet"), "made");
    assert_int_equal(symlink("loop", path_of("loop")), 0);
    assert_int_equal(snub_file_write(path_of("loop"), "x", 1, &error), SNUB_IO);
    assert_string_equal(error.message, "not written: its symbolic links form a loop");
}

static void same_files_are_known_by_any_name(void **state)
{
    (void)state;
    snub_arena arena = {0};
    char a[640], b[640];
    snprintf(a, sizeof a, "%s", path_of("a"));
    snprintf(b, sizeof b, "%s", path_of("b"));
    put(a, "x");
    put(b, "x");
    assert_false(snub_file_same(a, b));
    assert_int_equal(symlink("a", path_of("soft")), 0);
    assert_int_equal(link(a, path_of("hard")), 0);
    assert_true(snub_file_same(a, path_of("./a")));
    assert_true(snub_file_same(a, path_of("soft")));
    assert_true(snub_file_same(path_of("hard"), a));
    /* Of files that are not there: the same folder and name. */
    assert_false(snub_file_same(a, path_of("none")));
    assert_int_equal(symlink("none", path_of("dangling")), 0);
    snprintf(b, sizeof b, "%s", path_of("dangling"));
    assert_true(snub_file_same(b, path_of("./none")));
    assert_false(snub_file_same(b, path_of("none2")));
    assert_false(snub_file_same(b, "/none"));
    char *target = snub_file_target(b, &arena);
    assert_string_equal(target, path_of("none"));
    assert_int_equal(symlink("loop", path_of("loop")), 0);
    snprintf(b, sizeof b, "%s", path_of("loop"));
    assert_false(snub_file_same(b, b));
    assert_null(snub_file_target(b, &arena));
    assert_false(snub_file_same("/dev/null", "/dev/null"));
    assert_false(snub_file_same(folder, folder));
    snub_arena_free(&arena);
}

static void write_refusals_are_plain(void **state)
{
    (void)state;
    snub_error error;
    assert_int_equal(snub_file_write(path_of("no/such/file"), "x", 1, &error), SNUB_IO);
    assert_string_equal(error.message, "not written: its folder does not exist");
    assert_int_equal(snub_file_write(folder, "x", 1, &error), SNUB_IO);
    assert_string_equal(error.message, "not written: it is a folder");
    assert_int_equal(snub_file_write("/dev/full", "x", 1, &error), SNUB_IO);
    assert_string_equal(error.message, "not written: no space left on device");
    assert_int_equal(snub_file_write("/dev/null", "x", 1, &error), SNUB_OK);
}

/* A limit on the size of files makes write() first fall short, then fail, as a full disk does. */
static void a_disk_that_fills_up_leaves_the_old_file(void **state)
{
    (void)state;
    put(path_of("a"), "precious");
    size_t length = 100000;
    char *data = malloc(length);
    assert_non_null(data);
    memset(data, 'x', length);
    fflush(NULL);
    pid_t child = fork();
    if (child == 0) {
        struct rlimit limit = {.rlim_cur = 4096, .rlim_max = 4096};
        signal(SIGXFSZ, SIG_IGN);
        snub_error error = {0};
        if (setrlimit(RLIMIT_FSIZE, &limit) != 0)
            _exit(9);
        snub_status status = snub_file_write(path_of("a"), data, length, &error);
        _exit(status == SNUB_IO && strstr(error.message, "larger than the limit on file size") ? 0 : 1);
    }
    int result = -1;
    assert_int_equal(waitpid(child, &result, 0), child);
    free(data);
    assert_true(WIFEXITED(result));
    assert_int_equal(WEXITSTATUS(result), 0);
    expect_content(path_of("a"), "precious");
    assert_int_equal(leftovers(), 0);
}

static void standard_output_is_a_dash(void **state)
{
    (void)state;
    int ends[2];
    assert_int_equal(pipe(ends), 0);
    fflush(NULL);
    pid_t child = fork();
    if (child == 0) {
        dup2(ends[1], STDOUT_FILENO);
        _exit(snub_file_write("-", "to stdout", 9, NULL) == SNUB_OK ? 0 : 1);
    }
    close(ends[1]);
    char got[32] = {0};
    assert_int_equal(read(ends[0], got, sizeof got), 9);
    close(ends[0]);
    int result = -1;
    waitpid(child, &result, 0);
    assert_int_equal(result, 0);
    assert_string_equal(got, "to stdout");
}

enum { LONG_LINES = 200000 };

/* A line that says which it is, so that none may be missing, twice or out of place. */
static void add_lines(snub_text *text, int from, int to)
{
    for (int i = from; i < to; i++) {
        snub_text_printf(text, "line %d\n", i);
        snub_text_settle(text);
    }
}

static void a_long_text_spills_and_comes_whole(void **state)
{
    (void)state;
    snub_text text = {.may_spill = true}, held = {0};
    snub_error error;
    add_lines(&held, 0, LONG_LINES);
    assert_null(held.spilled); /* one that may not does not */
    add_lines(&text, 0, LONG_LINES);
    assert_non_null(text.spilled);
    assert_true(text.room < held.length / 4);
    put(path_of("a"), "old");
    for (int twice = 0; twice < 2; twice++) { /* it may be written to two places */
        char *got;
        size_t length;
        assert_int_equal(snub_text_write(path_of("a"), &text, &error), SNUB_OK);
        assert_int_equal(snub_file_read(path_of("a"), held.length + 1, &got, &length, NULL), SNUB_OK);
        assert_int_equal(length, held.length);
        assert_memory_equal(got, held.data, length);
        free(got);
    }
    assert_int_equal(leftovers(), 0);
    snub_text_free(&text);
    snub_text_free(&held);
}

static void a_spill_that_is_refused_is_told(void **state)
{
    (void)state;
    snub_text text = {.may_spill = true};
    snub_error error;
    const char *before = getenv("TMPDIR");
    char *keep = before != NULL ? strdup(before) : NULL;
    setenv("TMPDIR", path_of("no/such/folder"), 1);
    add_lines(&text, 0, LONG_LINES);
    if (keep != NULL)
        setenv("TMPDIR", keep, 1);
    else
        unsetenv("TMPDIR");
    free(keep);
    assert_true(text.failed);
    put(path_of("a"), "old");
    assert_int_equal(snub_text_write(path_of("a"), &text, &error), SNUB_IO);
    assert_string_equal(error.message, "temporary file: No such file or directory");
    expect_content(path_of("a"), "old");
    snub_text_free(&text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(reads_what_is_there, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(refuses_with_a_plain_reason, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(replaces_and_keeps_permissions, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(follows_symbolic_links, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(same_files_are_known_by_any_name, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(write_refusals_are_plain, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(a_disk_that_fills_up_leaves_the_old_file, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(standard_output_is_a_dash, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(a_long_text_spills_and_comes_whole, make_folder, remove_folder),
        cmocka_unit_test_setup_teardown(a_spill_that_is_refused_is_told, make_folder, remove_folder),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
