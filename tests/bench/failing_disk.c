#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>
/* Fails the operation number FAIL_AT on the disk (and FAIL_ALL: those after it) with FAIL_WITH (errno), on files
   whose path names l.lotwort and on the folder they lie in. Readings, writes, flushes, cuts, deletions, and opening. */
static int count, ours[1024];
static int fails(void) {
    static int at = -1, with, all;
    if (at < 0) {
        at = atoi(getenv("FAIL_AT"));
        with = atoi(getenv("FAIL_WITH"));
        all = getenv("FAIL_ALL") != 0;
    }
    ++count;
    if (count == at || (all && count > at)) {
        errno = with;
        return 1;
    }
    return 0;
}
#define REAL(name)                                                                                                     \
    static __typeof__(&name) real;                                                                                     \
    if (!real) real = (__typeof__(&name))dlsym(RTLD_NEXT, #name)
static int mine(const char* p) {
    return strstr(p, "l.lotwort") != 0;
}
/* The program opens no folder but the ledger's, to flush it. */
static void note(int fd, const char* p) {
    struct stat s;
    if (fd >= 0 && fd < 1024) ours[fd] = mine(p) || (fstat(fd, &s) == 0 && S_ISDIR(s.st_mode));
}
int open64(const char* p, int f, ...) {
    va_list a;
    va_start(a, f);
    int m = va_arg(a, int);
    va_end(a);
    REAL(open64);
    if (mine(p) && fails()) return -1;
    int fd = real(p, f, m);
    note(fd, p);
    return fd;
}
int open(const char* p, int f, ...) {
    va_list a;
    va_start(a, f);
    int m = va_arg(a, int);
    va_end(a);
    REAL(open);
    if (mine(p) && fails()) return -1;
    int fd = real(p, f, m);
    note(fd, p);
    return fd;
}
ssize_t pread64(int fd, void* b, size_t n, off64_t o) {
    REAL(pread64);
    if (ours[fd] && fails()) return -1;
    return real(fd, b, n, o);
}
ssize_t pread(int fd, void* b, size_t n, off_t o) {
    REAL(pread);
    if (ours[fd] && fails()) return -1;
    return real(fd, b, n, o);
}
ssize_t pwrite64(int fd, const void* b, size_t n, off64_t o) {
    REAL(pwrite64);
    if (ours[fd] && fails()) return -1;
    return real(fd, b, n, o);
}
ssize_t pwrite(int fd, const void* b, size_t n, off_t o) {
    REAL(pwrite);
    if (ours[fd] && fails()) return -1;
    return real(fd, b, n, o);
}
int fsync(int fd) {
    REAL(fsync);
    if (ours[fd] && fails()) return -1;
    return real(fd);
}
int fdatasync(int fd) {
    REAL(fdatasync);
    if (ours[fd] && fails()) return -1;
    return real(fd);
}
int ftruncate64(int fd, off64_t n) {
    REAL(ftruncate64);
    if (ours[fd] && fails()) return -1;
    return real(fd, n);
}
int unlink(const char* p) {
    REAL(unlink);
    if (mine(p) && fails()) return -1;
    return real(p);
}
