/* A disk that takes longer to make anything durable: loaded before the C library. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <stdlib.h>
#include <unistd.h>

static int longer(const char *name, int file) {
    int (*sync)(int) = (int (*)(int))dlsym(RTLD_NEXT, name);
    const char *milliseconds = getenv("SYNC_LONGER_MS");
    int done = sync(file);
    usleep(1000 * (milliseconds ? atoi(milliseconds) : 0));
    return done;
}

int fsync(int file) { return longer("fsync", file); }
int fdatasync(int file) { return longer("fdatasync", file); }
