# The tables of stroke marks and of voices: a row that is missing, half filled or like another one
# does not compile, or a unit test fails that names it. Each fault is planted into a copy of the
# table's header, which the compiler finds first.
. tests/cli/lib.sh
build=${BUILD:-build}
san=$build/san
plant=$work/plant
sanitize='-fsanitize=address,undefined'
# A compiler cache would not notice that another header is found first.
export CCACHE_DISABLE=1
packages=$(sed -n 's/^PACKAGES *= *//p' Makefile)

# A compiler cache does not notice a header that is found before the one it knows.
export CCACHE_DISABLE=1
compile() { # FILE ARGUMENT...
    file=$1
    shift
    # shellcheck disable=SC2086
    ${CC:-cc} -std=c17 -D_XOPEN_SOURCE=700 -Wall -Wextra -Werror -I"$plant" -Isrc -Iinclude \
        $(pkg-config --cflags check) "$@" "$file" 2>"$work/.err"
}

plant_in() { # HEADER SED-SCRIPT: the only planted one
    rm -rf "$plant"
    mkdir -p "$plant/model"
    sed "$2" "src/model/$1" >"$plant/model/$1"
    ! cmp -s "src/model/$1" "$plant/model/$1" || fail "nothing was planted into $1"
}

# A row behind the last one of a table. Rows end without a backslash where the table does.
add_row() { # HEADER LAST-LINE-OF-THE-LAST-ROW ROW
    plant_in "$1" "s|^\\(.*$2.*\\)\$|\\1 \\\\\\
    $3|"
}

refuses() { # FILE WORDS
    ! compile "$1" -fsyntax-only || fail "$1 compiles"
    expect_err_has "$2"
}

# The unit test fails with these words, built from the sanitized parts and what the header changes.
test_fails() { # TEST WORDS
    objects=
    for file in src/model/stroke_mark.c src/model/voice.c src/read/kit.c "tests/unit/$1.c"; do
        object=$work/$(basename "$file" .c).o
        # shellcheck disable=SC2086
        compile "$file" $sanitize -g -c -o "$object" || fail "$file: $(head -n 5 "$work/.err")"
        objects="$objects $object"
    done
    support=$(ls "$san"/tests/unit/*.o "$san"/tests/generate/*.o | grep -v /test_)
    # shellcheck disable=SC2046,SC2086
    ${CC:-cc} $sanitize -o "$work/planted" $objects $support "$san/command.a" "$san/parts.a" \
        $(pkg-config --libs check $packages) -lm 2>"$work/.err" || fail "$(tail -n 5 "$work/.err")"
    ! CK_TAP_LOG_FILE_NAME="$work/planted.tap" "$work/planted" >"$work/.out" 2>&1 || fail "$1 passes"
    expect_out_has "$2"
}

it 'the tables as they are compile'
mkdir -p "$plant"
compile src/model/stroke_mark.c -fsyntax-only || fail "$(cat "$work/.err")"
compile src/model/voice.c -fsyntax-only || fail "$(cat "$work/.err")"
compile src/read/stroke_text.c -fsyntax-only || fail "$(cat "$work/.err")"

# ---- marks --------------------------------------------------------------------------------------

planted="X(PLANTED, '%', 1, \"planted\", \"a planted mark\", \"planted\", 1, -30, SIGN, CLOSED, CLOSED, LETTER, \"%\", MARKS_OF_HATS)"
ring='TIE,    NONE, .*MARK_CLOSED)'

it 'a whole row of a mark compiles'
add_row stroke_mark.h "$ring" "$planted"
compile src/model/stroke_mark.c -fsyntax-only || fail "$(cat "$work/.err")"
compile src/read/stroke_text.c -fsyntax-only || fail "$(cat "$work/.err")"

refuse_mark() { # WHAT REPLACES WORDS
    it "a mark with $1 does not compile"
    add_row stroke_mark.h "$ring" "$(printf '%s' "$planted" | sed "$2")"
    refuses src/model/stroke_mark.c "$3"
}
refuse_mark 'half a row' 's/, SIGN,.*/)/' 'requires 14 arguments'
refuse_mark 'neither sign nor word' "s/'%', 1, \"planted\"/0, 0, \"\"/" 'PLANTED: no sign and no word'
refuse_mark 'a sign that is never written' "s/'%', 1/'%', 0/" 'PLANTED: its sign is written'
refuse_mark 'no name for messages' 's/"a planted mark"/""/' 'PLANTED: messages cannot name it'
refuse_mark 'no word to speak' 's/"planted", 1/"", 1/' 'PLANTED: the reading has no word'
refuse_mark 'nothing for the grid' 's/"%"/""/' 'PLANTED: the grid cannot show it'
refuse_mark 'no glyph' 's/CLOSED, CLOSED/NONE, NONE/' 'PLANTED: the page has no glyph'
refuse_mark 'a glyph that the face does not have' 's/CLOSED, CLOSED/PLANTED, PLANTED/' GLYPH_PLANTED

it 'a mark with the sign of another one does not compile'
add_row stroke_mark.h "$ring" "$(printf '%s' "$planted" | sed "s/'%'/'z'/")"
refuses src/read/stroke_text.c 'initialized field overwritten'

it 'more marks than a set holds do not compile'
rows=
for number in 1 2 3 4 5 6 7; do
    rows="$rows $(printf '%s' "$planted" | sed "s/PLANTED/PLANTED_$number/")"
done
add_row stroke_mark.h "$ring" "$rows"
refuses src/model/stroke_mark.c 'a mark_set has a bit for every mark'

it 'a mark that no example has fails a test by name'
add_row stroke_mark.h "$ring" "$planted"
test_fails test_examples "no sticking has the sign for 'planted'"

it 'a mark that the manual lacks fails a test by name'
add_row stroke_mark.h "$ring" "$planted"
test_fails test_stroke_mark "of the mark 'planted' is not below"

it 'two marks with one word fail a test by name'
plant_in stroke_mark.h 's/"half open"/"open"/'
test_fails test_stroke_mark no_two_marks_are_called_the_same

it 'two marks that may share a place of the page fail a test by name'
plant_in stroke_mark.h '/X(CLOSED/,/MARKS_OF_HATS/s/MARKS_OF_HATS/MARK_NONE/;s/MARK_OPEN | MARK_HALF_OPEN | MARK_CLOSED/MARK_OPEN | MARK_HALF_OPEN/'
test_fails test_stroke_mark marks_of_one_place_exclude_each_other

# ---- voices -------------------------------------------------------------------------------------

planted='ROW(PLANTED, "planted", "planted", 14, X, NONE, HANDS, 52, 90, 90, 60, 320, 40)'
click='HANDS, *31,.*)'

it 'a whole row of a voice compiles'
add_row voice.h "$click" "$planted"
compile src/model/voice.c -fsyntax-only || fail "$(cat "$work/.err")"

refuse_voice() { # WHAT REPLACES WORDS
    it "a voice with $1 does not compile"
    add_row voice.h "$click" "$(printf '%s' "$planted" | sed "$2")"
    refuses src/model/voice.c "$3"
}
refuse_voice 'half a row' 's/, HANDS.*/)/' 'requires 13 arguments'
refuse_voice 'no name' 's/"planted"/""/' 'PLANTED: it has no name'
refuse_voice 'no head' 's/ X,/ ,/' 'HEAD_'
refuse_voice 'no percussion key' 's/ 52,/ 0,/' 'PLANTED: no percussion key'
refuse_voice 'no surface' 's/ 320,/ 0,/' 'PLANTED: no surface'

it 'a voice that no example has fails a test by name'
add_row voice.h "$click" "$planted"
test_fails test_examples 'not used: planted'

it 'a voice that looks like another one fails a test by name'
add_row voice.h "$click" "$(printf '%s' "$planted" | sed 's/ 14,/ 13,/')"
test_fails test_voice 'planted and second-crash'

it 'says that each hand has a line, and not the right one alone'
cat >"$work/hands.yaml" <<'END'
exercises:
  - title: Three against four
    right: {rhythm: 4 4 4 4, play: ride}
    left: {rhythm: 3(2 2 2), play: snare}
  - title: In one bar
    right: {subdivision: eighths, sticking: R . R R}
    bars: [{}, {left: {rhythm: 2 2}}]
END
run check "$work/hands.yaml"
expect_status 0
[ "$(grep -c 'a line for each hand' "$work/.out")" = 2 ] || fail "$(cat "$work/.out")"

finish
