# make install, the library through pkg-config from a program of its own, make uninstall.
. tests/cli/lib.sh
root=$work/root
prefix=/opt/drums

quiet_make() { # TARGET...
    env -u MAKEFLAGS -u MAKELEVEL -u MFLAGS make -s BUILD="$build" STRICT="${STRICT:-}" PREFIX=$prefix DESTDIR="$root" "$@" \
        >"$work/.out" 2>"$work/.err" || fail "make $*: $(tail -n 5 "$work/.err")"
}

it 'installs the program, the library, its header and the manual'
quiet_make install
for file in bin/ratamark include/ratamark.h lib/libratamark.a lib/pkgconfig/ratamark.pc \
    share/man/man1/ratamark.1 share/man/man5/ratamark-lesson.5 \
    share/man/man7/ratamark-phrases.7; do
    expect_file "$root$prefix/$file"
done
expect_file "$root$prefix/lib/ratamark/ratamark-sound.so"
[ "$(find "$root" -type f | wc -l)" = 8 ] || fail "$(find "$root" -type f)"

it 'the installed program runs from anywhere'
good_lesson "$work/good.yaml"
(cd / && "$root$prefix/bin/ratamark" engrave "$work/good.yaml") || fail 'engrave'
expect_begins "$work/good.pdf" %PDF-

it 'the installed program finds its module'
(cd / && "$root$prefix/bin/ratamark" sound "$work/good.yaml" -o "$work/good.wav") || fail 'sound'
expect_begins "$work/good.wav" RIFF

it 'a program of its own engraves through the library'
cat >"$work/own.c" <<'END'
#include <ratamark.h>
#include <stdio.h>
#include <string.h>

static bool put(void *file, const void *bytes, size_t length)
{
    return fwrite(bytes, 1, length, file) == length;
}

int main(int argc, char **argv)
{
    struct ratamark_text text = {"own.yaml", argv[1], strlen(argv[1])};
    struct ratamark *lesson = ratamark_read(text, NULL);
    bool good = argc == 2 && ratamark_check(lesson) && ratamark_lay_out(lesson, NULL) &&
                ratamark_page_count(lesson) == 1 && ratamark_exercise_count(lesson) == 1 &&
                ratamark_draw(lesson, RATAMARK_PDF, 0, put, stdout) &&
                ratamark_say(lesson, put, stderr);
    for (size_t i = 0; i < ratamark_diagnostic_count(lesson); i++) {
        struct ratamark_diagnostic found = ratamark_diagnostic(lesson, i);
        if (found.severity == RATAMARK_ERROR)
            fprintf(stderr, "%s:%u:%u %s\n", found.at.file, (unsigned)found.at.line,
                    (unsigned)found.at.column, found.code);
    }
    ratamark_free(lesson);
    return good ? 0 : 1;
}
END
export PKG_CONFIG_PATH="$root$prefix/lib/pkgconfig" PKG_CONFIG_SYSROOT_DIR=
flags=$(pkg-config --define-variable=prefix="$root$prefix" --static --cflags --libs ratamark | sed 's/-lratamark/-l:libratamark.a/') || fail 'pkg-config'
# shellcheck disable=SC2086 # flags are words
${CC:-cc} -std=c17 -Wall -Wextra -Wpedantic -o "$work/own" "$work/own.c" $flags || fail 'does not link'
"$work/own" "$(cat "$work/good.yaml")" >"$work/own.pdf" 2>"$work/own.txt" || fail 'does not engrave'
expect_same "$work/own.pdf" "$work/good.pdf"
run engrave "$work/good.yaml" --as text -o "$work/good.txt"
expect_same "$work/own.txt" "$work/good.txt"
wrong_lesson "$work/wrong.yaml"
if "$work/own" "$(cat "$work/wrong.yaml")" 2>"$work/said"; then fail 'no error'; fi
expect_text "$work/said" 'own.yaml:4:13 unknown-voice'

if command -v c++ >/dev/null; then
    it 'the header is C++, too'
    echo '#include <ratamark.h>' >"$work/own.cc"
    c++ -std=c++17 -Wall -Wextra -fsyntax-only -I"$root$prefix/include" "$work/own.cc" || fail 'C++'
else
    leave_out 'the header is C++, too' 'no C++ compiler'
fi

it 'pkg-config and the program tell the same version'
[ "ratamark $(pkg-config --modversion ratamark)" = "$("$RATAMARK" --version | head -n 1)" ] || fail 'versions'

it 'uninstalls what it installed'
quiet_make uninstall
[ -z "$(find "$root" -type f)" ] || fail "$(find "$root" -type f)"

finish
