/* Runs a fuzz target over its corpus where libFuzzer is not at hand, so that every old failing input stays a test.
 * Usage: fuzz_NAME FOLDER... ; the last line is `N passed, 0 failed`, a failure is a crash. */
#include <dirent.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static int replay_file(const char *path)
{
    FILE *file = fopen(path, "rb");
    if (!file)
        return 0;
    size_t room = 1 << 20;
    uint8_t *data = malloc(room);
    size_t size = data ? fread(data, 1, room, file) : 0;
    fclose(file);
    /* An exact-size copy lets a sanitizer see a read past the end. */
    uint8_t *exact = malloc(size ? size : 1);
    if (!data || !exact)
        abort();
    memcpy(exact, data, size);
    free(data);
    fprintf(stderr, "%s\n", path);
    LLVMFuzzerTestOneInput(exact, size);
    free(exact);
    return 1;
}

int main(int argc, char **argv)
{
    int runs = 1;
    LLVMFuzzerTestOneInput((const uint8_t *)"", 0);
    for (int i = 1; i < argc; i++) {
        DIR *folder = opendir(argv[i]);
        for (struct dirent *entry; folder && (entry = readdir(folder)) != NULL;) {
            char path[4096];
            if (entry->d_name[0] != '.' &&
                snprintf(path, sizeof path, "%s/%s", argv[i], entry->d_name) < (int)sizeof path)
                runs += replay_file(path);
        }
        if (folder)
            closedir(folder);
    }
    printf("%d passed, 0 failed\n", runs);
    return 0;
}
