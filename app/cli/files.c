/* No output of a run replaces a file that the run reads, or another output. */
#include "files.h"

#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>
#include <unistd.h>

/* realpath() is XSI in POSIX.1-2008; the strict feature macro hides its prototype. */
extern char *realpath(const char *restrict path, char *restrict resolved);

static const char STANDARD_INPUT[] = "/dev/stdin", STANDARD_OUTPUT[] = "/dev/stdout";

struct cli_file {
    const char *role, *path;
    bool output;
    bool copy;   /* an output that may replace a catalogue: it is one */
    bool looked; /* at what it would replace */
    struct cli_file *next;
};

bool cli_is_standard_output(const char *path)
{
    static const char *const names[] = {"-", STANDARD_OUTPUT, "/dev/fd/1", "/proc/self/fd/1"};
    for (size_t i = 0; path && i < sizeof names / sizeof names[0]; i++)
        if (strcmp(path, names[i]) == 0)
            return true;
    return !path;
}

/* "--output a.pdf", "standard output", "drive file on standard input" */
static const char *path_shown(const struct cli_file *file)
{
    return strcmp(file->path, STANDARD_OUTPUT) == 0  ? ""
           : strcmp(file->path, STANDARD_INPUT) == 0 ? "on standard input"
                                                     : file->path;
}

static bool refuse(const cli_run *run, const struct cli_file *output, const struct cli_file *other)
{
    const char *at = path_shown(output), *there = path_shown(other);
    if (other->output)
        cli_usage_error(run, "%s%s%s is the same file as %s%s%s: one would replace the other; give two names",
                        output->role, at[0] ? " " : "", at, other->role, there[0] ? " " : "", there);
    else
        cli_usage_error(run,
                        "%s%s%s is the same file as the %s %s, which would be lost; give another name for the output",
                        output->role, at[0] ? " " : "", at, other->role, there);
    return false;
}

/* ---- what stands at the place of an output ----------------------------------------------------------------------- */

typedef enum content { OTHER, DRIVE_FILE, DATABASE } content;

static bool ends_in(const char *path, const char *ending)
{
    const size_t length = strlen(path), tail = strlen(ending);
    return length > tail && strcasecmp(path + length - tail, ending) == 0;
}

static bool named_as_drive(const char *path)
{
    return ends_in(path, ".yaml") || ends_in(path, ".yml");
}

/* By its own name or by that of the file that a link leads to. */
static bool leads_to_drive(const char *path)
{
    snub_arena arena = {0};
    const char *target = snub_file_target(path, &arena);
    const bool drive = named_as_drive(path) || (target && named_as_drive(target));
    snub_arena_free(&arena);
    return drive;
}

/* A drive file by its name, a catalogue by what every SQLite file begins with. An empty file has nothing to lose. */
static content content_of(const char *path)
{
    static const char MAGIC[] = "SQLite format 3"; /* with its NUL, as in the file */
    struct stat facts;
    char start[sizeof MAGIC] = {0};
    if (stat(path, &facts) != 0 || !S_ISREG(facts.st_mode) || facts.st_size == 0)
        return OTHER;
    const int file = open(path, O_RDONLY | O_NONBLOCK | O_NOCTTY | O_CLOEXEC);
    const ssize_t got = file >= 0 ? read(file, start, sizeof start) : 0;
    if (file >= 0)
        close(file);
    if (got == (ssize_t)sizeof start && memcmp(start, MAGIC, sizeof MAGIC) == 0)
        return DATABASE;
    return leads_to_drive(path) ? DRIVE_FILE : OTHER;
}

static bool replaceable(const cli_run *run, const struct cli_file *output)
{
    const content there = content_of(output->path);
    if (there == OTHER || (there == DATABASE && output->copy))
        return true;
    cli_usage_error(run, "%s %s would replace a %s; give another name for the output", output->role, output->path,
                    there == DATABASE ? "catalogue (an SQLite file)" : "drive file");
    return false;
}

/* ---- the list ---------------------------------------------------------------------------------------------------- */

static bool add(cli_run *run, struct cli_file entry)
{
    struct cli_file *file = SNUB_NEW(&run->arena, struct cli_file, 1);
    if (!file) {
        cli_usage_error(run, "out of memory");
        return false;
    }
    *file = entry;
    for (const struct cli_file *other = run->files; other; other = other->next) {
        if ((file->output || other->output) && snub_file_same(file->path, other->path))
            return file->output ? refuse(run, file, other) : refuse(run, other, file);
    }
    file->next = run->files;
    run->files = file;
    return true;
}

/* What the outputs would replace: with the first input known, so that one that is the input itself says so. */
static bool look_at_outputs(const cli_run *run)
{
    for (struct cli_file *file = run->files; file; file = file->next) {
        if (file->output && !file->looked && strcmp(file->path, STANDARD_OUTPUT) != 0 && !replaceable(run, file))
            return false;
        file->looked = true;
    }
    return true;
}

/* Over links. One that is not there is outside if it is so by its name. */
static bool is_inside(const char *folder, const char *path)
{
    const size_t length = strlen(folder);
    char *real = realpath(path, NULL);
    const bool inside = real ? strncmp(real, folder, length) == 0 && (real[length] == '/' || folder[length - 1] == '/')
                             : path[0] != '/' && strstr(path, "..") == NULL;
    free(real);
    return inside;
}

bool cli_reads(cli_run *run, const char *role, const char *path)
{
    if (!run->inside || is_inside(run->inside, path))
        return cli_reads_own(run, role, path);
    cli_usage_error(run, "the %s %.200s is not in the folder that is served; make this one on the command line", role,
                    path);
    return false;
}

bool cli_reads_own(cli_run *run, const char *role, const char *path)
{
    const bool standard = strcmp(path, "-") == 0;
    return add(run, (struct cli_file){.role = role, .path = standard ? STANDARD_INPUT : path}) && look_at_outputs(run);
}

/* SQLite names them after the file that a link leads to. */
bool cli_reads_catalogue(cli_run *run, const char *path, bool change)
{
    static const char *const beside[] = {"-wal", "-shm", "-journal", "-writer"};
    char *real = snub_file_target(path, &run->arena);
    bool good = add(run, (struct cli_file){.role = "catalogue", .path = path, .output = change, .looked = true});
    for (size_t i = 0; good && real && i < sizeof beside / sizeof beside[0]; i++) {
        const char *name = snub_format(&run->arena, "%s%s", real, beside[i]);
        good = !name || add(run, (struct cli_file){.role = "catalogue's own file", .path = name});
    }
    return good && look_at_outputs(run);
}

bool cli_writes(cli_run *run, const char *role, const char *path)
{
    return cli_is_standard_output(path) || add(run, (struct cli_file){.role = role, .path = path, .output = true});
}

bool cli_writes_catalogue(cli_run *run, const char *role, const char *path)
{
    return add(run, (struct cli_file){.role = role, .path = path, .output = true, .copy = true});
}

bool cli_writes_options(cli_run *run)
{
    bool good = add(run, (struct cli_file){.role = "standard output", .path = STANDARD_OUTPUT, .output = true});
    for (int i = 0; good && i < run->given_count; i++) {
        const cli_given *given = &run->given[i];
        if (given->option->file != CLI_OUTPUT)
            continue;
        const char *role = snub_format(&run->arena, "--%s", given->option->name);
        good = role && cli_writes(run, role, given->value);
    }
    return good;
}

bool cli_may_write(const cli_run *run, const char *path)
{
    const bool standard = cli_is_standard_output(path);
    const char *place = standard ? STANDARD_OUTPUT : path;
    const struct cli_file unnamed = {.role = "the output", .path = place, .output = true}, *own = run->files;
    while (own && !(own->output && strcmp(own->path, place) == 0))
        own = own->next;
    if (!own)
        own = &unnamed;
    for (const struct cli_file *other = run->files; other; other = other->next) {
        if (other != own && snub_file_same(place, other->path))
            return refuse(run, own, other);
    }
    return standard || replaceable(run, own);
}
