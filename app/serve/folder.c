#include "folder.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "access.h"
#include "snub/drive.h"

/* realpath() is XSI in POSIX.1-2008; the strict feature macro hides its prototype. */
extern char *realpath(const char *restrict path, char *restrict resolved);

static int by_name(const void *a, const void *b)
{
    return strcmp(*(char *const *)a, *(char *const *)b);
}

int serve_folder_list(const serve_folder *folder, char ***names)
{
    *names = NULL;
    int copy = openat(folder->descriptor, ".", O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    DIR *stream = copy < 0 ? NULL : fdopendir(copy);
    if (!stream) {
        int reason = errno;
        if (copy >= 0)
            close(copy);
        errno = reason;
        return -1;
    }
    char **list = calloc(SERVE_FILES_MOST, sizeof *list);
    int count = 0;
    struct dirent *entry;
    while (list && count < SERVE_FILES_MOST && (entry = readdir(stream))) {
        struct stat status;
        if (!serve_name_allowed(entry->d_name))
            continue;
        if (fstatat(folder->descriptor, entry->d_name, &status, AT_SYMLINK_NOFOLLOW) || !S_ISREG(status.st_mode))
            continue;
        size_t room = strlen(entry->d_name) + 1;
        if ((list[count] = malloc(room)))
            memcpy(list[count++], entry->d_name, room);
    }
    closedir(stream);
    if (list)
        qsort(list, (size_t)count, sizeof *list, by_name);
    *names = list;
    return count;
}

static char *copy_text(const char *text)
{
    size_t room = strlen(text) + 1;
    char *copy = malloc(room);
    if (copy)
        memcpy(copy, text, room);
    return copy;
}

static snub_status split(char *real, bool is_folder, serve_folder *folder)
{
    if (!is_folder) {
        char *slash = strrchr(real, '/');
        folder->first = copy_text(slash + 1);
        if (slash == real)
            slash++;
        *slash = '\0';
        if (!folder->first)
            return SNUB_NO_MEMORY;
    }
    folder->path = copy_text(real);
    return folder->path ? SNUB_OK : SNUB_NO_MEMORY;
}

snub_status serve_folder_open(const char *path, serve_folder *folder, snub_error *error)
{
    struct stat status;
    *folder = (serve_folder){.descriptor = -1};
    char *real = realpath(path, NULL);
    if (!real || stat(real, &status)) {
        int reason = errno;
        free(real);
        return snub_fail(error, SNUB_IO, NULL, NULL, "cannot open %s: %s", path, strerror(reason));
    }
    bool is_folder = S_ISDIR(status.st_mode);
    if (!is_folder && !S_ISREG(status.st_mode)) {
        free(real);
        return snub_fail(error, SNUB_IO, NULL, NULL, "%s is neither a file nor a folder", path);
    }
    snub_status result = split(real, is_folder, folder);
    free(real);
    if (!result && folder->first && !serve_name_allowed(folder->first))
        result = snub_fail(error, SNUB_BAD_INPUT, NULL, NULL, "the page opens files that end in .yaml or .yml, not %s",
                           folder->first);
    if (!result && (folder->descriptor = open(folder->path, O_RDONLY | O_DIRECTORY | O_CLOEXEC)) < 0)
        result = snub_fail(error, SNUB_IO, NULL, NULL, "cannot open folder %s: %s", folder->path, strerror(errno));
    if (!result && is_folder) {
        char **names;
        int count = serve_folder_list(folder, &names);
        if (count < 0)
            result = snub_fail(error, SNUB_IO, NULL, NULL, "cannot read folder %s: %s", folder->path, strerror(errno));
        if (count > 0)
            folder->first = names[0];
        for (int i = 1; i < count; i++)
            free(names[i]);
        free(names);
    }
    if (result)
        serve_folder_close(folder);
    else
        (void)snub_file_tidy(folder->descriptor); /* what a server that was killed has left */
    return result;
}

void serve_folder_close(serve_folder *folder)
{
    if (!folder)
        return;
    if (folder->descriptor >= 0)
        close(folder->descriptor);
    free(folder->path);
    free(folder->first);
    *folder = (serve_folder){.descriptor = -1};
}

static snub_status absent(snub_error *error, const char *name)
{
    return snub_fail(error, SNUB_BAD_INPUT, NULL, "file", "no file %.200s in the served folder", name);
}

/* Is it the name that is wrong, or the system that refuses? A file that cannot be opened is not a file that is gone. */
static bool not_there(int reason)
{
    return reason == ENOENT || reason == ENOTDIR || reason == ELOOP || reason == ENAMETOOLONG || reason == ENXIO;
}

static snub_status no_parent(snub_error *error, const char *name, const char *what)
{
    int reason = errno;
    return not_there(reason)
               ? absent(error, name)
               : snub_fail(error, SNUB_IO, NULL, "file", "cannot %s %s: %s", what, name, strerror(reason));
}

/* Descriptor of the folder that holds `name`'s last part, which `last` points at.
 * @param[in] make  folders that are not there */
static int open_parent(const serve_folder *folder, const char *name, bool make, const char **last)
{
    int at = openat(folder->descriptor, ".", O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    for (const char *slash; at >= 0 && (slash = strchr(name, '/')); name = slash + 1) {
        char part[SERVE_NAME_MOST + 1];
        memcpy(part, name, (size_t)(slash - name));
        part[slash - name] = '\0';
        if (make)
            (void)mkdirat(at, part, S_IRWXU | S_IRWXG | S_IRWXO); /* opening it says what is wrong */
        int next = openat(at, part, O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC), reason = errno;
        close(at);
        at = next;
        errno = reason;
    }
    *last = name;
    return at;
}

void serve_etag(const char *data, size_t length, char etag[SERVE_ETAG_ROOM])
{
    /* Two FNV-1a runs of 64 bits with different starts. */
    unsigned long long a = 0xcbf29ce484222325u, b = 0x9ae16a3b2f90404fu;
    for (size_t i = 0; i < length; i++) {
        a = (a ^ (unsigned char)data[i]) * 0x100000001b3u;
        b = (b ^ (unsigned char)data[i] ^ (b >> 29)) * 0x100000001b3u;
    }
    snprintf(etag, SERVE_ETAG_ROOM, "\"%016llx%016llx\"", a, b);
}

static snub_status read_all(int file, size_t size, char **data, size_t *length)
{
    char *buffer = malloc(size + 2);
    size_t have = 0;
    if (!buffer)
        return SNUB_NO_MEMORY;
    for (;;) {
        ssize_t got = read(file, buffer + have, size + 1 - have);
        if (got < 0 && errno == EINTR)
            continue;
        if (got < 0) {
            int reason = errno;
            free(buffer);
            errno = reason;
            return SNUB_IO;
        }
        have += (size_t)got;
        if (!got || have > size)
            break;
    }
    if (have > size)
        have = size; /* grew while we read: the ETag shows it at the next look */
    buffer[have] = '\0';
    *data = buffer;
    *length = have;
    return SNUB_OK;
}

static snub_status held(const char *name, snub_error *error)
{
    snub_error why = {0};
    const snub_status status = snub_file_held(name, &why);
    return snub_fail(error, status, NULL, "file", "%s: %s", name, why.message);
}

/* A regular file under the folder, whose name was found fair. `to_save`: never half of a file. */
static snub_status read_file(const serve_folder *folder, const char *name, bool to_save, char **data, size_t *length,
                             snub_error *error)
{
    const char *last;
    int parent = open_parent(folder, name, false, &last);
    if (parent < 0)
        return no_parent(error, name, "read");
    int file = openat(parent, last, O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC);
    int reason = errno;
    close(parent);
    if (file < 0 && not_there(reason))
        return absent(error, name);
    if (file < 0)
        return snub_fail(error, SNUB_IO, NULL, "file", "cannot read %s: %s", name, strerror(reason));
    struct stat status;
    snub_status result = SNUB_OK;
    if (fstat(file, &status))
        result = snub_fail(error, SNUB_IO, NULL, "file", "cannot read %s: %s", name, strerror(errno));
    else if (!S_ISREG(status.st_mode))
        result = absent(error, name);
    else if (!snub_file_settle(file, to_save ? SNUB_WRITER_WAIT_MS : SERVE_SETTLE_MS) && to_save)
        result = held(name, error);
    else if (fstat(file, &status))
        result = snub_fail(error, SNUB_IO, NULL, "file", "cannot read %s: %s", name, strerror(errno));
    else if (status.st_size > SNUB_FILE_BYTES_MOST)
        result = snub_fail(error, SNUB_TOO_LARGE, NULL, "file", "%s is larger than %d bytes", name,
                           (int)SNUB_FILE_BYTES_MOST);
    else if ((result = read_all(file, (size_t)status.st_size, data, length)))
        result = result == SNUB_IO ? snub_fail(error, result, NULL, "file", "cannot read %s: %s", name, strerror(errno))
                                   : snub_fail(error, result, NULL, NULL, "out of memory");
    close(file);
    return result;
}

static snub_status read_drive(const serve_folder *folder, const char *name, bool to_save, char **data, size_t *length,
                              char etag[SERVE_ETAG_ROOM], snub_error *error)
{
    if (!serve_name_allowed(name))
        return absent(error, name ? name : "");
    snub_status status = read_file(folder, name, to_save, data, length, error);
    if (!status)
        serve_etag(*data, *length, etag);
    return status;
}

snub_status serve_folder_read(const serve_folder *folder, const char *name, char **data, size_t *length,
                              char etag[SERVE_ETAG_ROOM], snub_error *error)
{
    return read_drive(folder, name, false, data, length, etag, error);
}

snub_status serve_folder_read_to_save(const serve_folder *folder, const char *name, char **data, size_t *length,
                                      char etag[SERVE_ETAG_ROOM], snub_error *error)
{
    return read_drive(folder, name, true, data, length, etag, error);
}

snub_status serve_folder_read_map(const serve_folder *folder, const char *name, char **data, size_t *length,
                                  snub_error *error)
{
    if (!serve_map_name_allowed(name))
        return absent(error, name);
    return read_file(folder, name, false, data, length, error);
}

snub_status serve_folder_write(const serve_folder *folder, const char *name, const serve_content *expected,
                               const char *data, size_t length, snub_error *error)
{
    if (!serve_name_allowed(name))
        return absent(error, name ? name : "");
    const char *last;
    int parent = open_parent(folder, name, false, &last);
    if (parent < 0)
        return no_parent(error, name, "write");
    snub_error why = {0};
    snub_status status = snub_file_swap(parent, last, name, expected ? expected->data : NULL,
                                        expected ? expected->length : 0, data, length, &why);
    close(parent);
    if (status == SNUB_STOPPED)
        return snub_fail(error, status, NULL, "file", "%s %s", name, why.message);
    return status ? snub_fail(error, status, NULL, "file", "%s: %s", name, why.message) : SNUB_OK;
}

/* Descriptor of the folder that a new file goes into, as open_parent gives it; -1, with words. */
static int new_parent(const serve_folder *folder, const char *name, bool make, const char **last, snub_status *status,
                      snub_error *error)
{
    const int parent = open_parent(folder, name, make, last);
    *status = SNUB_OK;
    if (parent < 0 && not_there(errno))
        *status = snub_fail(error, SNUB_BAD_INPUT, NULL, "file", "there is no such folder for %.200s", name);
    else if (parent < 0)
        *status = snub_fail(error, SNUB_IO, NULL, "file", "cannot write %.200s: %s", name, strerror(errno));
    return parent;
}

static snub_status taken(snub_error *error, const char *name)
{
    return snub_fail(error, SNUB_STOPPED, NULL, "file",
                     "%.200s is there already, and stays as it is; give another name", name);
}

static snub_status put_new(const serve_folder *folder, const char *name, bool make, const char *data, size_t length,
                           snub_error *error)
{
    const char *last;
    snub_error why = {0};
    snub_status status;
    const int parent = new_parent(folder, name, make, &last, &status, error);
    if (parent < 0)
        return status;
    status = snub_file_swap(parent, last, name, NULL, 0, data, length, &why);
    close(parent);
    if (status == SNUB_STOPPED)
        return taken(error, name);
    return status ? snub_fail(error, status, NULL, "file", "%.200s: %s", name, why.message) : SNUB_OK;
}

snub_status serve_folder_may_create(const serve_folder *folder, const char *name, snub_error *error)
{
    const char *fault = serve_new_name_fault(name), *last;
    struct stat there;
    snub_status status;
    if (fault)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "file", "%s", fault);
    const int parent = new_parent(folder, name, false, &last, &status, error);
    if (parent < 0)
        return status;
    const int reason = fstatat(parent, last, &there, AT_SYMLINK_NOFOLLOW) == 0 ? EEXIST : errno;
    close(parent);
    if (reason == EEXIST)
        return taken(error, name);
    return reason == ENOENT
               ? SNUB_OK
               : snub_fail(error, SNUB_IO, NULL, "file", "cannot write %.200s: %s", name, strerror(reason));
}

snub_status serve_folder_create(const serve_folder *folder, const char *name, const char *data, size_t length,
                                snub_error *error)
{
    const char *fault = serve_new_name_fault(name);
    if (fault)
        return snub_fail(error, SNUB_BAD_INPUT, NULL, "file", "%s", fault);
    return put_new(folder, name, false, data, length, error);
}

snub_status serve_folder_create_map(const serve_folder *folder, const char *name, const char *data, size_t length,
                                    snub_error *error)
{
    char *there = NULL;
    size_t size = 0;
    snub_error none = {0};
    if (!serve_map_name_allowed(name))
        return absent(error, name);
    if (read_file(folder, name, false, &there, &size, &none) != SNUB_OK)
        return put_new(folder, name, true, data, length, error);
    const bool same = size == length && memcmp(there, data, length) == 0;
    free(there);
    return same ? SNUB_OK
                : snub_fail(error, SNUB_STOPPED, NULL, "file",
                            "the example needs %.200s, and there is another one already", name);
}
