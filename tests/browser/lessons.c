/*
 * lessons FOLDER COUNT: writes COUNT lessons made by chance to FOLDER/1.yaml and so on, always the
 * same ones.
 */
#include "../generate/generate.h"

#include <stdio.h>
#include <stdlib.h>

int main(int argc, char **argv)
{
    if (argc != 3)
        return 2;
    unsigned long count = strtoul(argv[2], NULL, 10);
    struct arena *arena = arena_new();
    bool good = true;
    for (unsigned long seed = 1; good && seed <= count; seed++) {
        char path[4096];
        snprintf(path, sizeof path, "%s/%lu.yaml", argv[1], seed);
        FILE *file = fopen(path, "w");
        good = file && fputs(generate_lesson(arena, seed), file) >= 0;
        good &= file && fclose(file) == 0;
    }
    arena_free(arena);
    if (!good)
        perror(argv[1]);
    return good ? 0 : 1;
}
