/* Where the message catalogues are, and reading one. */
#include "locale_shipped.h"
#include "files.h"

#include <dirent.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { PATH_ROOM = 4096, CATALOGUE_BYTES_MOST = 4 << 20 };

/* From bin/snub, from libexec/snub/snub-full and snub-whole, as built. */
static const char *const tails[] = {"/../share/snub/locale", "/../../share/snub/locale", "/locale"};

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

static const char *is_folder(const char *path)
{
    struct stat found;
    return path != NULL && stat(path, &found) == 0 && S_ISDIR(found.st_mode) ? path : NULL;
}

/* Where the catalogues are; NULL: nowhere. */
static const char *catalogues(snub_arena *arena)
{
    const char *named = getenv("SNUB_DATA"), *folder = program_folder(arena), *found = NULL;
    if (named != NULL && named[0] != '\0')
        return is_folder(snub_format(arena, "%s/locale", named));
    for (size_t i = 0; folder != NULL && found == NULL && i < sizeof tails / sizeof tails[0]; i++)
        found = is_folder(snub_format(arena, "%s%s", folder, tails[i]));
    return found;
}

static char *catalogue_of(snub_arena *arena, const char *language)
{
    const char *folder = catalogues(arena);
    char *path = folder != NULL ? snub_format(arena, "%s/%s.mo", folder, language) : NULL;
    return path != NULL && access(path, R_OK) == 0 ? path : NULL;
}

static bool plain_word(const char *language)
{
    return strspn(language, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ_") == strlen(language) &&
           language[0] != '\0' && strlen(language) < 16;
}

/* ---- which there are --------------------------------------------------------------------------------------------- */

/* The language that a file of the folder is the catalogue of; NULL: of none. */
static char *language_of(snub_arena *arena, const char *file)
{
    const size_t length = strlen(file);
    if (length < 4 || strcmp(file + length - 3, ".mo") != 0)
        return NULL;
    char *code = snub_copy_text_n(arena, file, length - 3);
    return code != NULL && plain_word(code) && strcmp(code, "en") != 0 ? code : NULL;
}

static int by_code(const void *a, const void *b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

void cli_languages_find(snub_arena *arena, cli_languages *languages)
{
    const char *path = catalogues(arena);
    DIR *folder = path != NULL ? opendir(path) : NULL;
    const struct dirent *entry;
    int count = 1;
    *languages = (cli_languages){{"en"}};
    while (folder != NULL && count < CLI_LANGUAGES_MOST && (entry = readdir(folder)) != NULL) {
        languages->code[count] = language_of(arena, entry->d_name);
        count += languages->code[count] != NULL;
    }
    if (folder != NULL)
        closedir(folder);
    qsort(languages->code + 1, (size_t)count - 1, sizeof languages->code[0], by_code);
}

/* Take a catalogue into the arena. */
static snub_status read_catalogue(snub_arena *arena, const char *path, snub_messages *messages, snub_error *error)
{
    char *data = NULL;
    size_t length = 0;
    snub_status status = snub_file_read(path, CATALOGUE_BYTES_MOST, &data, &length, error);
    char *kept = status == SNUB_OK ? snub_alloc(arena, length > 0 ? length : 1, 1) : NULL;
    if (status == SNUB_OK && kept == NULL)
        status = snub_fail(error, SNUB_NO_MEMORY, NULL, NULL, "out of memory");
    if (status == SNUB_OK) {
        memcpy(kept, data, length);
        status = snub_messages_read(kept, length, messages, error);
    }
    free(data);
    return status;
}

void cli_languages_words(snub_arena *arena, snub_text *out)
{
    cli_languages languages;
    cli_languages_find(arena, &languages);
    snub_text_puts(out, "en (English)");
    for (int i = 1; languages.code[i] != NULL; i++) {
        snub_messages messages = {0};
        snub_error unread; /* a damaged one has no name here; who asks for it gets the error */
        const char *path = catalogue_of(arena, languages.code[i]);
        const bool read = path != NULL && read_catalogue(arena, path, &messages, &unread) == SNUB_OK;
        const snub_language language = read ? snub_messages_language(&messages) : (snub_language){0};
        snub_text_printf(out, ", %s", languages.code[i]);
        if (language.name[0] != '\0')
            snub_text_printf(out, " (%s)", language.name);
    }
}

/* ---- the one that is asked for ----------------------------------------------------------------------------------- */

static void not_there(cli_run *run, const char *language, const cli_drive *loaded, const snub_place *place)
{
    static const char words[] = "no message catalogue for";
    snub_error error;
    snub_text there = {0};
    cli_languages_words(&run->arena, &there);
    const char *list = there.data != NULL ? there.data : "en";
    if (place == NULL) {
        cli_usage_error(run, "%s --language %.20s; there is %s", words, language, list);
    } else {
        snub_fail(&error, SNUB_BAD_INPUT, place, "language", "%s it", words);
        snprintf(error.got, sizeof error.got, "%.60s", language);
        snprintf(error.need, sizeof error.need, "%.*s", (int)sizeof error.need - 1, list);
        cli_error(&error, loaded->house->document.source, loaded->house->document.source_length);
    }
    snub_text_free(&there);
}

const char *cli_language(const cli_run *run, const cli_drive *loaded)
{
    const char *given = cli_value(run, "language");
    const char *house = loaded->house != NULL ? loaded->house->language : NULL;
    return given != NULL ? given : house != NULL ? house : "en";
}

bool cli_messages(cli_run *run, const cli_drive *loaded, snub_messages *messages)
{
    const char *language = cli_language(run, loaded);
    const snub_house *house = loaded->house;
    const snub_place *place =
        house != NULL && language == house->language ? &snub_node_get(house->document.root, "language")->place : NULL;
    *messages = (snub_messages){0};
    if (strcmp(language, "en") == 0)
        return true;
    char *path = plain_word(language) ? catalogue_of(&run->arena, language) : NULL;
    if (path == NULL) {
        not_there(run, language, loaded, place);
        return false;
    }
    snub_error error;
    if (!cli_reads_own(run, "message catalogue", path))
        return false;
    const snub_status status = read_catalogue(&run->arena, path, messages, &error);
    if (status != SNUB_OK)
        cli_error(&error, NULL, 0);
    return status == SNUB_OK;
}
