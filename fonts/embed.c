/*
 * Turns a file into C source that holds its bytes, so that the program does not need the file:
 *
 *     embed SYMBOL FILE > OUT.c
 *
 * OUT.c defines `const unsigned char SYMBOL[]` and `const size_t SYMBOL_size`. The Makefile builds
 * and runs this first; it needs only the compiler.
 */
#include <stdio.h>

static int embed(const char *symbol, FILE *in)
{
    printf("#include <stddef.h>\n"
           "extern const unsigned char %s[];\n"
           "extern const size_t %s_size;\n"
           "const unsigned char %s[] = {",
           symbol, symbol, symbol);
    size_t count = 0;
    for (int byte = getc(in); byte != EOF; byte = getc(in))
        printf("%s%d,", count++ % 24 ? "" : "\n", byte);
    printf("\n};\nconst size_t %s_size = %zu;\n", symbol, count);
    return count == 0 || ferror(in) || fflush(stdout) || ferror(stdout);
}

int main(int argc, char **argv)
{
    if (argc != 3) {
        fprintf(stderr, "usage: embed SYMBOL FILE > OUT.c\n");
        return 2;
    }
    FILE *in = fopen(argv[2], "rb");
    if (!in || embed(argv[1], in)) {
        fprintf(stderr, "embed: cannot turn '%s' into source\n", argv[2]);
        return 1;
    }
    fclose(in);
    return 0;
}
