#!/bin/sh
# Each code has a lesson with just this mistake, examples/wrong/CODE.yaml, and beside it the output
# of the command, CODE.expected. REGEN=1 rewrites the expected output. unreadable.yaml is missing on
# purpose.
. tests/cli/lib.sh

wrong_lessons=examples/wrong

# A system whose only font is the music face, for text-font.
cat >"$work/fonts.conf" <<END
<?xml version="1.0"?><!DOCTYPE fontconfig SYSTEM "fonts.dtd">
<fontconfig><dir>$top/fonts</dir><cachedir>$work/cache</cachedir></fontconfig>
END

# A cairo of another version, for screen-reader.
"${CC:-cc}" -shared -fPIC $(pkg-config --cflags cairo) -o "$work/other_cairo.so" \
    tests/cli/other_cairo.c || exit 1
with_other_cairo() { # COMMAND...
    LD_PRELOAD=$work/other_cairo.so ASAN_OPTIONS=${ASAN_OPTIONS:-}:verify_asan_link_order=0 "$@"
}

codes=$(sed -n 's/^    X([A-Z_]*, "\([a-z-]*\)".*/\1/p' src/diag/codes.h)
for code in $codes; do
    lesson=$wrong_lessons/$code.yaml expected=$wrong_lessons/$code.expected
    it "$code"
    case $code in
    text-font) FONTCONFIG_FILE=$work/fonts.conf run engrave "$lesson" -o "$work/sheet.pdf" ;;
    screen-reader) with_other_cairo run engrave "$lesson" -o "$work/sheet.pdf" ;;
    not-printable | page-fit) run engrave "$lesson" -o "$work/sheet.pdf" ;;
    sticking-cycle | sticking-above | rudiment | crossed-hands | hat-shortened | tempo-hands | playable | variations | lead-music) # notes; the course allows the last
        run check --verbose "$lesson" ;;
    *) run check "$lesson" ;;
    esac
    sed -i '/^ratamark: \(wrote\|checking\|read\) /d' "$work/.err" # names and times that change
    [ -z "${REGEN:-}" ] || cp "$work/.err" "$expected"
    expect_err_has "[$code]"
    expect_same "$expected" "$work/.err"
done

it 'has a wrong lesson for each code and no other'
for expected in "$wrong_lessons"/*.expected; do
    echo "$codes" | grep -qx "$(basename "$expected" .expected)" || fail "$expected is of no code"
done
[ "$(echo "$codes" | wc -l)" -ge 28 ] || fail "only these codes were found: $codes"

it 'says what the booklet lacks, and makes it all the same'
mkdir "$work/course"
cp "$wrong_lessons/screen-reader.yaml" "$work/course"
with_other_cairo run course "$work/course" -o "$work/out" --booklet
expect_status 0
expect_err_has 'the booklet: the PDF has no descriptions for screen readers'
qpdf --check "$work/out/booklet.pdf" >/dev/null || fail 'booklet.pdf'

it 'says that a system has no font at all'
mkdir "$work/none"
sed "s|$top/fonts|$work/none|" "$work/fonts.conf" >"$work/no-fonts.conf"
FONTCONFIG_FILE=$work/no-fonts.conf run engrave "$wrong_lessons/text-font.yaml" -o "$work/none.pdf"
expect_status 3
expect_err_has 'no font for text is installed [unreadable]'
expect_none "$work/none.pdf"

finish
