#include "access.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>
#include <unistd.h>

static void base64url(const unsigned char *bytes, size_t count, char *out)
{
    static const char digits[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
    for (size_t i = 0; i + 2 < count; i += 3) {
        unsigned long word = (unsigned long)bytes[i] << 16 | (unsigned long)bytes[i + 1] << 8 | bytes[i + 2];
        for (int shift = 18; shift >= 0; shift -= 6)
            *out++ = digits[word >> shift & 63];
    }
    *out = '\0';
}

snub_status serve_access_open(serve_access *access, unsigned port, bool loopback, snub_error *error)
{
    unsigned char bytes[SERVE_KEY_BYTES];
    size_t have = 0;
    int source = open("/dev/urandom", O_RDONLY | O_CLOEXEC);
    if (source < 0)
        return snub_fail(error, SNUB_IO, NULL, NULL, "cannot open /dev/urandom: %s", strerror(errno));
    while (have < sizeof bytes) {
        ssize_t got = read(source, bytes + have, sizeof bytes - have);
        if (got < 0 && errno == EINTR)
            continue;
        if (got <= 0)
            break;
        have += (size_t)got;
    }
    close(source);
    if (have < sizeof bytes)
        return snub_fail(error, SNUB_IO, NULL, NULL, "cannot read /dev/urandom");
    base64url(bytes, sizeof bytes, access->key);
    access->port = port;
    access->loopback = loopback;
    return SNUB_OK;
}

bool serve_key_matches(const serve_access *access, const char *given)
{
    if (!given || strlen(given) != SERVE_KEY_LENGTH)
        return false;
    unsigned difference = 0;
    for (size_t i = 0; i < SERVE_KEY_LENGTH; i++)
        difference |= (unsigned)(unsigned char)access->key[i] ^ (unsigned char)given[i];
    return difference == 0;
}

bool serve_bearer_matches(const serve_access *access, const char *header)
{
    static const char scheme[] = "bearer";
    const size_t length = sizeof scheme - 1;
    for (size_t i = 0; i < length; i++)
        if (!header || (header[i] | 32) != scheme[i])
            return false;
    if (header[length] != ' ')
        return false;
    return serve_key_matches(access, header + length + strspn(header + length, " "));
}

/* Four decimal parts; `first` gets the leading one. */
static bool dotted_quad(const char *text, size_t length, unsigned *first)
{
    for (int part = 0; part < 4; part++) {
        size_t digits = 0;
        unsigned value = 0;
        while (digits < length && text[digits] >= '0' && text[digits] <= '9' && digits < 4)
            value = value * 10 + (unsigned)(text[digits++] - '0');
        if (!digits || digits > 3 || value > 255)
            return false;
        if (part == 0)
            *first = value;
        text += digits;
        length -= digits;
        if (part < 3) {
            if (!length || *text != '.')
                return false;
            text++;
            length--;
        }
    }
    return length == 0;
}

static bool port_matches(const serve_access *access, const char *text)
{
    if (*text == '\0')
        return access->port == 80;
    char wanted[8];
    snprintf(wanted, sizeof wanted, ":%u", access->port);
    return !strcmp(text, wanted);
}

bool serve_host_allowed(const serve_access *access, const char *host)
{
    if (!host || strlen(host) > 80)
        return false;
    size_t length;
    if (host[0] == '[') {
        length = strcspn(host, "]");
        if (host[length] != ']')
            return false;
        length++;
        bool own = length == 5 && !strncmp(host, "[::1]", 5);
        bool numeric = strspn(host + 1, "0123456789abcdefABCDEF:.") == length - 2;
        return (own || (!access->loopback && numeric)) && port_matches(access, host + length);
    }
    length = strcspn(host, ":");
    unsigned first = 0;
    bool own = length == 9 && !strncmp(host, "localhost", 9);
    if (!own && dotted_quad(host, length, &first))
        own = first == 127 || !access->loopback;
    return own && port_matches(access, host + length);
}

bool serve_origin_allowed(const char *host, const char *origin)
{
    if (!origin)
        return true;
    static const char scheme[] = "http://";
    return host && !strncmp(origin, scheme, sizeof scheme - 1) && !strcmp(origin + sizeof scheme - 1, host);
}

static bool part_allowed(const char *part, size_t length)
{
    if (!length || part[0] == '.')
        return false;
    for (size_t i = 0; i < length; i++) {
        unsigned char c = (unsigned char)part[i];
        if (c < 0x20 || c == 0x7f || c == '\\')
            return false;
    }
    return true;
}

static bool path_allowed(const char *name)
{
    if (!name || !*name || strlen(name) > SERVE_NAME_MOST)
        return false;
    for (const char *part = name;; part++) {
        size_t span = strcspn(part, "/");
        if (!part_allowed(part, span))
            return false;
        part += span;
        if (!*part)
            return true;
    }
}

static bool ends_in(const char *name, const char *const *endings)
{
    size_t length = strlen(name);
    for (; *endings; endings++) {
        size_t tail = strlen(*endings);
        if (length > tail && !strcmp(name + length - tail, *endings))
            return true;
    }
    return false;
}

bool serve_name_allowed(const char *name)
{
    static const char *const endings[] = {".yaml", ".yml", NULL};
    return path_allowed(name) && ends_in(name, endings);
}

const char *serve_new_name_fault(const char *name)
{
    const char *stroke = name ? strrchr(name, '/') : NULL;
    if (!name || !*name)
        return "give the file a name";
    if (strlen(name) > SERVE_NAME_MOST)
        return "the name is too long";
    if (name[0] == '/')
        return "give a name in the served folder, without its path";
    if (name[0] == '-' || (stroke && stroke[1] == '-'))
        return "a name that begins with - would be taken for an option on the command line";
    for (const char *part = name; part; part = strchr(part, '/') ? strchr(part, '/') + 1 : NULL)
        if (part[0] == '.')
            return "no part of the name may begin with a dot";
    if (!path_allowed(name))
        return "the name has a backslash, two strokes in a row, or characters that do not show";
    return serve_name_allowed(name) ? NULL : "the name of a drive file ends in .yaml or .yml";
}

bool serve_map_name_allowed(const char *name)
{
    static const char *const endings[] = {".csv", ".tsv", ".txt", NULL};
    return path_allowed(name) && ends_in(name, endings);
}

serve_route serve_route_of(const char *path, const char **methods)
{
    static const struct {
        const char *path, *methods;
        serve_route route;
    } table[] = {
        {"/api/folder", "GET", SERVE_ROUTE_FOLDER},      {"/api/drive", "GET", SERVE_ROUTE_DRIVE},
        {"/api/lay", "POST", SERVE_ROUTE_LAY},           {"/api/sweep", "POST", SERVE_ROUTE_SWEEP},
        {"/api/snapshot", "POST", SERVE_ROUTE_SNAPSHOT}, {"/api/apply", "POST", SERVE_ROUTE_APPLY},
        {"/api/save", "POST", SERVE_ROUTE_SAVE},         {"/api/chart", "POST", SERVE_ROUTE_CHART},
        {"/api/job", "GET, DELETE", SERVE_ROUTE_JOB},    {"/api/keys", "GET", SERVE_ROUTE_KEYS},
        {"/api/entries", "POST", SERVE_ROUTE_ENTRIES},   {"/api/begin", "GET, POST", SERVE_ROUTE_BEGIN},
        {"/api/log", "POST", SERVE_ROUTE_LOG},           {"/api/papers", "GET", SERVE_ROUTE_PAPERS},
        {"/api/paper", "POST", SERVE_ROUTE_PAPER},       {"/api/motion", "POST", SERVE_ROUTE_MOTION},
        {"/api/study", "POST", SERVE_ROUTE_STUDY},
    };
    const char *none = "GET";
    serve_route route = SERVE_ROUTE_NONE;
    if (path && path[0] == '/') {
        route = strncmp(path, "/api/", 5) ? SERVE_ROUTE_ASSET : SERVE_ROUTE_NONE;
        if (!strncmp(path, "/problem/", 9))
            route = SERVE_ROUTE_PROBLEM;
        for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
            if (strcmp(path, table[i].path))
                continue;
            route = table[i].route;
            none = table[i].methods;
        }
    }
    if (methods)
        *methods = none;
    return route;
}

bool serve_route_needs_key(serve_route route)
{
    return route != SERVE_ROUTE_ASSET && route != SERVE_ROUTE_PROBLEM;
}

bool serve_method_allowed(const char *methods, const char *method)
{
    if (!method || !*method)
        return false;
    if (!strcmp(method, "HEAD"))
        method = "GET";
    size_t length = strlen(method);
    for (const char *at = methods; *at;) {
        at += strspn(at, ", ");
        size_t span = strcspn(at, ", ");
        if (span == length && !strncmp(at, method, span))
            return true;
        at += span;
    }
    return false;
}

/* "q=0", "q=0.0": what is named is not wanted. */
static bool wanted(const char *rest, size_t length)
{
    for (size_t i = 0; i + 1 < length; i++) {
        if ((rest[i] == 'q' || rest[i] == 'Q') && rest[i + 1] == '=')
            return strspn(rest + i + 2, "0.") < strcspn(rest + i + 2, ",; \t");
    }
    return true;
}

bool serve_takes_gzip(const char *accepts)
{
    static const char name[] = "gzip";
    for (const char *at = accepts ? accepts : ""; *at;) {
        at += strspn(at, ", \t");
        const size_t item = strcspn(at, ","), word = strcspn(at, ",; \t");
        if (word == sizeof name - 1 && !strncasecmp(at, name, word))
            return wanted(at + word, item - word);
        at += item;
    }
    return false;
}
