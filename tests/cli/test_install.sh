# make install, install-strip and uninstall; the library as other programs find it: what it shows, the
# examples built and run against it, shared and static.
. tests/cli/lib.sh
root=$work/root
prefix=/opt/drums
lib=$root$prefix/lib
unset MAKEFLAGS MAKELEVEL MFLAGS MAKEOVERRIDES

# The build has the folder of the module in it: another prefix is built apart, from the same objects.
mkdir "$work/build"
for part in flags module-folder embed face_table embedded fonts src module ratamark ratamark-sound.so \
    parts.a command.a libratamark.a libratamark.o libratamark.so; do
    cp -Rp "$build/$part" "$work/build" 2>/dev/null
done

quiet_make() { # TARGET...
    make -s BUILD="$work/build" prefix=$prefix DESTDIR="$root" "$@" >"$work/.out" 2>"$work/.err" ||
        fail "make $*: $(tail -n 5 "$work/.err")"
}

# A system has these folders before, and after.
mkdir -p "$root$prefix/bin" "$root$prefix/include" "$lib/pkgconfig" "$root$prefix/share/man/man1" \
    "$root$prefix/share/man/man5" "$root$prefix/share/man/man7"
listing() { (cd "$root" && find . | sort); }
listing >"$work/before"

it 'installs the program, the library, its header and the manual'
quiet_make install
manuals=$(for page in man/*.[1-9]; do echo "share/man/man${page##*.}/$(basename "$page")"; done)
version=$("$RATAMARK" --version | sed -n '1s/ratamark //p')
for file in bin/ratamark include/ratamark.h lib/libratamark.a "lib/libratamark.so.$version" \
    lib/pkgconfig/ratamark.pc lib/ratamark/ratamark-sound.so $manuals; do
    expect_file "$root$prefix/$file"
    echo "./opt/drums/$file"
done >"$work/wanted"
(cd "$root" && find . -type f) | sort >"$work/found"
sort "$work/wanted" | cmp -s - "$work/found" || fail "$(sort "$work/wanted" | diff - "$work/found")"

it 'the shared library has a name with a version, which the links lead to'
readelf -d "$lib/libratamark.so.$version" | grep -q 'SONAME.*\[libratamark.so.0\]' || fail 'soname'
expect_same "$lib/libratamark.so.0" "$lib/libratamark.so.$version"
expect_same "$lib/libratamark.so" "$lib/libratamark.so.$version"

it 'the installed program runs from anywhere'
good_lesson "$work/good.yaml"
(cd / && "$root$prefix/bin/ratamark" engrave "$work/good.yaml") || fail 'engrave'
expect_begins "$work/good.pdf" %PDF-

it 'the installed program finds its module'
(cd / && "$root$prefix/bin/ratamark" sound "$work/good.yaml" -o "$work/good.wav") || fail 'sound'
expect_begins "$work/good.wav" RIFF

# ---- what the library shows ----------------------------------------------------------------------

# The functions of the header, as the compiler sees them.
echo '#include <ratamark.h>' | ${CC:-cc} -std=c17 -E -P -I"$root$prefix/include" - | tr ';{}' '\n\n\n' |
    sed -n '/typedef/d; s/.*[ *]\(ratamark_[a-z_]*\)(.*/\1/p' | sort -u >"$work/declared"

it 'only what the header declares is visible, in both libraries'
[ "$(wc -l <"$work/declared")" -ge 30 ] || fail "only $(wc -l <"$work/declared") functions in the header"
nm -D --defined-only "$lib/libratamark.so" | awk '{ print $3 }' | sort >"$work/shared"
nm -g --defined-only "$lib/libratamark.a" | awk 'NF == 3 { print $3 }' | sort >"$work/static"
cmp -s "$work/declared" "$work/shared" || fail "shared: $(diff "$work/declared" "$work/shared")"
cmp -s "$work/declared" "$work/static" || fail "static: $(diff "$work/declared" "$work/static")"

export PKG_CONFIG_PATH="$lib/pkgconfig"
found() { pkg-config --define-variable=prefix="$root$prefix" "$@" ratamark || fail 'pkg-config'; }
shared=$(found --cflags --libs)
static=$(found --static --cflags --libs | sed 's/-lratamark/-l:libratamark.a/')
strict='-std=c17 -Wall -Wextra -Wpedantic -Werror'

it 'pkg-config lists only the library for those who link the shared one'
case $shared in *cairo* | *yaml*) fail "$shared" ;; esac
[ "$(pkg-config --modversion ratamark)" = "$version" ] || fail 'another version'

# A program with functions of the same names as some of ours inside.
cat >"$work/own.c" <<'END'
#include <ratamark.h>
#include <stdio.h>
#include <stdlib.h>

void work_reset(void);
void arena_new(void);
void work_reset(void) { puts("work_reset"); }
void arena_new(void) { puts("arena_new"); }

static bool put(void *file, const void *bytes, size_t length)
{
    return fwrite(bytes, 1, length, file) == length;
}

int main(int argc, char **argv)
{
    static char bytes[100000];
    struct ratamark_text text = {"own.yaml", bytes, fread(bytes, 1, sizeof bytes, stdin)};
    struct ratamark *lesson = ratamark_read(&text, NULL);
    enum ratamark_format format = (enum ratamark_format)(argc > 1 ? atoi(argv[1]) : 0);
    bool good = ratamark_check(lesson) == RATAMARK_OK &&
                ratamark_write(lesson, format, NULL, put, stdout) == RATAMARK_OK;
    ratamark_free(lesson);
    if (argc > 2) {
        work_reset();
        arena_new();
    }
    return good ? 0 : 1;
}
END

"$RATAMARK" engrave -q "$work/good.yaml" --as text -o "$work/good.txt"
COLUMNS=80 "$RATAMARK" grid "$work/good.yaml" >"$work/good.grid"
"$RATAMARK" sound -q "$work/good.yaml" -o "$work/good.mid"

for kind in shared static; do
    [ $kind = shared ] && flags=$shared || flags=$static
    it "the thirty-line example engraves: $kind"
    # shellcheck disable=SC2086 # flags are words
    ${CC:-cc} $strict -o "$work/engrave-$kind" examples/embed/engrave.c $flags || fail 'does not link'
    LD_LIBRARY_PATH=$lib "$work/engrave-$kind" <"$work/good.yaml" >"$work/own.pdf" 2>"$work/said" ||
        fail "$(cat "$work/said")"
    expect_same "$work/own.pdf" "$work/good.pdf"
    wrong_lesson "$work/wrong.yaml"
    LD_LIBRARY_PATH=$lib "$work/engrave-$kind" <"$work/wrong.yaml" >"$work/own.pdf" 2>"$work/said" &&
        fail 'a wrong lesson is engraved'
    grep -q 'line 4, column 13: ' "$work/said" || fail "$(cat "$work/said")"
    [ ! -s "$work/own.pdf" ] || fail 'a PDF of a wrong lesson'
    LD_LIBRARY_PATH=$lib ldd "$work/engrave-$kind" >"$work/linked"
    case $kind in
    shared) grep -q 'libratamark.so.0 => /' "$work/linked" || fail 'not linked to libratamark.so.0' ;;
    static) grep -q libratamark "$work/linked" && fail 'linked to the shared library' ;;
    esac

    it "text, grid and MIDI are those of the command, in a program with names like ours: $kind"
    # shellcheck disable=SC2086
    ${CC:-cc} $strict -o "$work/own-$kind" "$work/own.c" $flags || fail 'does not link'
    for format in 3:txt 4:grid 5:mid; do
        LD_LIBRARY_PATH=$lib "$work/own-$kind" "${format%:*}" <"$work/good.yaml" >"$work/own.bytes" ||
            fail "format $format"
        expect_same "$work/own.bytes" "$work/good.${format#*:}"
    done
    LD_LIBRARY_PATH=$lib "$work/own-$kind" 4 names <"$work/good.yaml" | tail -n 2 >"$work/said"
    expect_text "$work/said" 'work_reset
arena_new'
done

it 'the Python example reads verdicts and stickings, and writes the same MIDI'
python3 examples/embed/practice.py "$lib/libratamark.so.0" "$work/good.yaml" "$work/own.mid" >"$work/practice" ||
    fail "status $?"
expect_same "$work/own.mid" "$work/good.mid"
"$RATAMARK" check --format json "$work/good.yaml" | python3 -c '
import json, sys
for one in json.load(sys.stdin)["exercises"]:
    print("exercise %d: up to %s (%s), %s: %s" % (one["exercise"], one["max_tempo"], one["level"],
                                              one["limit"]["limb"], one["limit"]["kind"]))' >"$work/wanted"
echo 'exercise 1, bar 1: RLRLRLRL' >>"$work/wanted"
cmp -s "$work/wanted" "$work/practice" || fail "$(diff "$work/wanted" "$work/practice")"
python3 examples/embed/practice.py "$lib/libratamark.so.0" "$work/wrong.yaml" >"$work/practice" 2>"$work/said" &&
    fail 'a wrong lesson passes'
grep -q '^4:13: ' "$work/said" || fail "$(cat "$work/said")"

if command -v c++ >/dev/null; then
    it 'the header is C++, too'
    echo '#include <ratamark.h>' >"$work/own.cc"
    c++ -std=c++17 -Wall -Wextra -fsyntax-only -I"$root$prefix/include" "$work/own.cc" || fail 'C++'
else
    leave_out 'the header is C++, too' 'no C++ compiler'
fi

# ---- other ways to install -----------------------------------------------------------------------

it 'uninstalls all that it installed, and nothing else'
quiet_make uninstall
listing >"$work/after"
cmp -s "$work/before" "$work/after" || fail "$(diff "$work/before" "$work/after")"

it 'install-strip leaves out what only debuggers need'
quiet_make install-strip
for file in bin/ratamark "lib/libratamark.so.$version" lib/ratamark/ratamark-sound.so; do
    readelf -SW "$root$prefix/$file" | grep -q '\.debug_\|\.symtab' && fail "$file"
done
readelf -SW "$lib/libratamark.a" | grep -q '\.debug_' && fail 'libratamark.a'
# shellcheck disable=SC2086
${CC:-cc} $strict -o "$work/engrave-strip" examples/embed/engrave.c $static || fail 'does not link'
"$work/engrave-strip" <"$work/good.yaml" 2>/dev/null | cmp -s - "$work/good.pdf" || fail 'another PDF'
quiet_make uninstall

it 'every install folder can be chosen, and the program still finds its module'
root=
quiet_make install DESTDIR= prefix="$work/own" bindir="$work/programs" libdir="$work/own/lib/odd" \
    mandir="$work/pages" includedir="$work/headers"
for file in programs/ratamark own/lib/odd/libratamark.so.0 own/lib/odd/pkgconfig/ratamark.pc \
    pages/man1/ratamark.1 pages/man5/ratamark-lesson.5 headers/ratamark.h; do
    expect_file "$work/$file"
done
(cd / && "$work/programs/ratamark" sound "$work/good.yaml" -o "$work/odd.wav") || fail 'sound'
expect_same "$work/odd.wav" "$work/good.wav"
[ "$(PKG_CONFIG_PATH=$work/own/lib/odd/pkgconfig pkg-config --cflags ratamark)" = "-I$work/headers " ] ||
    [ "$(PKG_CONFIG_PATH=$work/own/lib/odd/pkgconfig pkg-config --cflags ratamark)" = "-I$work/headers" ] ||
    fail "$(PKG_CONFIG_PATH=$work/own/lib/odd/pkgconfig pkg-config --cflags ratamark)"
quiet_make uninstall DESTDIR= prefix="$work/own" bindir="$work/programs" libdir="$work/own/lib/odd" \
    mandir="$work/pages" includedir="$work/headers"
[ -z "$(find "$work/own" "$work/programs" "$work/pages" "$work/headers" -type f -o -type l)" ] || fail 'something is left'

finish
