/* neat COMMAND...: run a test with a temporary folder of its own, and (as root) in a mount namespace of its own. Folder
 * and mounts are gone afterwards, also where the test, this program, or both are killed. Ends with the test's exit
 * code.
 *
 * A program and not a script: a script starts some fifteen others for it, which takes longer than many of the tests. */
#define _GNU_SOURCE
#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <sched.h>
#include <signal.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mount.h>
#include <sys/prctl.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

enum { PATH_MOST = 4096, FAILED = 1, NOT_STARTED = 127, BY_SIGNAL = 128 };

/* With all that is in it, also where a test took rights away. What can not be removed stays. */
static void remove_tree(int at, const char *name)
{
    if (unlinkat(at, name, 0) == 0 || errno != EISDIR)
        return;
    fchmodat(at, name, S_IRWXU, 0);
    const int folder = openat(at, name, O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC);
    DIR *const entries = folder >= 0 ? fdopendir(folder) : NULL;
    for (const struct dirent *entry; entries != NULL && (entry = readdir(entries)) != NULL;)
        if (strcmp(entry->d_name, ".") != 0 && strcmp(entry->d_name, "..") != 0)
            remove_tree(folder, entry->d_name);
    if (entries != NULL)
        closedir(entries);
    else if (folder >= 0)
        close(folder);
    unlinkat(at, name, AT_REMOVEDIR);
}

/* In a session of its own, so that what ends the others does not end it: waits until nobody holds the other end of the
 * pipe. The second try is for a child of the test that was still writing. */
static void remove_later(const char *folder, int alive)
{
    const int nowhere = open("/dev/null", O_RDWR | O_CLOEXEC);
    char byte;
    setsid();
    for (int standard = STDIN_FILENO; standard <= STDERR_FILENO; standard++)
        dup2(nowhere, standard);
    while (read(alive, &byte, 1) < 0 && errno == EINTR)
        ;
    for (unsigned pause = 1; pause <= 2 && access(folder, F_OK) == 0; pause++) {
        remove_tree(AT_FDCWD, folder);
        sleep(pause);
    }
    _exit(EXIT_SUCCESS);
}

/* It ends with this program: else it would go on in a folder that is gone. */
static void become_test(char **command, pid_t parent)
{
    if (unshare(CLONE_NEWNS) == 0)
        mount(NULL, "/", NULL, MS_REC | MS_PRIVATE, NULL);
    prctl(PR_SET_PDEATHSIG, SIGKILL);
    if (getppid() == parent)
        execvp(command[0], command);
    fprintf(stderr, "neat: %s: %s\n", command[0], strerror(errno));
    _exit(NOT_STARTED);
}

int main(int count, char **words)
{
    const char *const top = getenv("TMPDIR");
    char folder[PATH_MOST], own[PATH_MOST + 8];
    int alive[2], state = 0;
    snprintf(folder, sizeof folder, "%s/snub-neat-XXXXXX", top != NULL && top[0] != '\0' ? top : "/tmp");
    if (count < 2 || pipe2(alive, O_CLOEXEC) != 0 || mkdtemp(folder) == NULL) {
        perror("neat COMMAND...");
        return FAILED;
    }
    snprintf(own, sizeof own, "%s/tmp", folder);
    const pid_t watcher = fork();
    if (watcher == 0) {
        close(alive[1]);
        remove_later(folder, alive[0]);
    }
    close(alive[0]);
    const bool ready =
        watcher > 0 && mkdir(own, S_IRWXU) == 0 && chmod(own, S_ISVTX | S_IRWXU | S_IRWXG | S_IRWXO) == 0 &&
        chmod(folder, S_IRWXU | S_IRGRP | S_IXGRP | S_IROTH | S_IXOTH) == 0 && setenv("TMPDIR", own, 1) == 0;
    const pid_t parent = getpid(), test = ready ? fork() : -1;
    if (test == 0)
        become_test(words + 1, parent);
    if (test < 0)
        perror("neat");
    while (test > 0 && waitpid(test, &state, 0) < 0 && errno == EINTR)
        ;
    remove_tree(AT_FDCWD, folder); /* the watcher ends by itself: nobody waits for it */
    if (test < 0)
        return FAILED;
    return WIFEXITED(state) ? WEXITSTATUS(state) : BY_SIGNAL + WTERMSIG(state);
}
