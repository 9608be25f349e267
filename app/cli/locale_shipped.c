/* Where the message catalogues are, and reading one. */
#include "locale_shipped.h"
#include "files.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { PATH_ROOM = 4096, CATALOGUE_BYTES_MOST = 4 << 20 };

static const char *const tails[] = {"/../share/snub/locale", "/locale"};

static char *program_folder(snub_arena *arena)
{
    char program[PATH_ROOM];
    ssize_t length = readlink("/proc/self/exe", program, sizeof program - 1);
    if (length <= 0)
        return NULL;
    program[length] = '\0';
    char *slash = strrchr(program, '/');
    if (slash == NULL)
        return NULL;
    *slash = '\0';
    return snub_copy_text(arena, program);
}

static char *there(snub_arena *arena, const char *folder, const char *tail, const char *language)
{
    char *path = folder != NULL ? snub_format(arena, "%s%s/%s.mo", folder, tail, language) : NULL;
    return path != NULL && access(path, R_OK) == 0 ? path : NULL;
}

static char *find(snub_arena *arena, const char *language)
{
    const char *named = getenv("SNUB_DATA");
    char *folder = program_folder(arena), *path = NULL;
    if (named != NULL && named[0] != '\0')
        return there(arena, named, "/locale", language);
    for (size_t i = 0; path == NULL && i < sizeof tails / sizeof tails[0]; i++)
        path = there(arena, folder, tails[i], language);
    return path;
}

static bool plain_word(const char *language)
{
    return strspn(language, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ_") == strlen(language) &&
           language[0] != '\0' && strlen(language) < 16;
}

static void not_there(cli_run *run, const char *language, const cli_drive *loaded, const snub_place *place)
{
    static const char words[] = "no message catalogue for";
    snub_error error;
    if (place == NULL) {
        cli_usage_error(run, "%s --language %.20s; there is en (built in) and de", words, language);
        return;
    }
    snub_fail(&error, SNUB_BAD_INPUT, place, "language", "%s it", words);
    snprintf(error.got, sizeof error.got, "%.60s", language);
    snprintf(error.need, sizeof error.need, "en or de");
    cli_error(&error, loaded->house->document.source, loaded->house->document.source_length);
}

bool cli_messages(cli_run *run, const cli_drive *loaded, snub_messages *messages, const char **language)
{
    const char *given = cli_value(run, "language");
    const snub_house *house = loaded->house;
    const snub_place *place = given == NULL && house != NULL && house->language != NULL
                                  ? &snub_node_get(house->document.root, "language")->place
                                  : NULL;
    *messages = (snub_messages){0};
    *language = place != NULL ? house->language : given != NULL ? given : "en";
    if (strcmp(*language, "en") == 0)
        return true;
    char *path = plain_word(*language) ? find(&run->arena, *language) : NULL;
    if (path == NULL) {
        not_there(run, *language, loaded, place);
        return false;
    }
    char *data = NULL;
    size_t length = 0;
    snub_error error;
    if (!cli_reads(run, "message catalogue", path))
        return false;
    snub_status status = snub_file_read(path, CATALOGUE_BYTES_MOST, &data, &length, &error);
    char *kept = status == SNUB_OK ? snub_alloc(&run->arena, length > 0 ? length : 1, 1) : NULL;
    if (status == SNUB_OK && kept == NULL)
        status = snub_fail(&error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    if (status == SNUB_OK) {
        memcpy(kept, data, length);
        status = snub_messages_read(kept, length, messages, &error);
    }
    free(data);
    if (status != SNUB_OK)
        cli_error(&error, NULL, 0);
    return status == SNUB_OK;
}
