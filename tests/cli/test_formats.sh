# The registry of formats (src/model/format.h): a row with a fault does not compile, and every place
# that names formats has the same ones. What the compiler cannot see, tests/unit/test_format.c does.
. tests/cli/lib.sh

# compiles SED-EXPRESSION: builds the registry's readers with a changed copy of it.
compiles() {
    mkdir -p "$work/planted/model"
    sed "$1" src/model/format.h >"$work/planted/model/format.h"
    for source in src/model/format.c src/lib/lesson_file.c src/course/course_wide.c; do
        # shellcheck disable=SC2046
        ${CC:-cc} -std=c17 -D_XOPEN_SOURCE=700 -Wall -Wextra -Wpedantic -Werror -fsyntax-only \
            -I"$work/planted" -Isrc -Iinclude $(pkg-config --cflags cairo pango jansson) "$source" \
            2>"$work/.err" || return 1
    done
}

it 'compiles as it is'
compiles '' || fail "$(head -5 "$work/.err")"

refused() { # SED-EXPRESSION WHAT: it changes the registry, and the change does not compile
    it "does not compile: $2"
    sed "$1" src/model/format.h | cmp -s - src/model/format.h && fail 'the fault was not planted'
    ! compiles "$1" || fail 'compiled'
}
row='    X(TAB, "tab", ".tab", "tab",'
refused 's/^    X(TEXT, .*, *spoken,/    X(TEXT, "text", ".txt", "text", SCORE,/' 'a row without a maker'
refused 's/\(^    X(TEXT,.*\)READABLE, *ENGRAVE)/\1READABLE)/' 'a row without its last column'
refused "/^#define LESSON_FORMATS/a\\
$row SCORE, tab, ONE_FILE, READABLE, ENGRAVE) \\\\" 'a maker that is not there'
refused "/^#define COURSE_FORMATS/a\\
$row COURSE, tab, ONE_FILE, READABLE, COURSE) \\\\" 'a maker of the course that is not there'
refused "/^#define LESSON_FORMATS/a\\
$row SCORES, spoken, ONE_FILE, READABLE, ENGRAVE) \\\\" 'a source that is not there'
refused "/^#define LESSON_FORMATS/a\\
$row SCORE, spoken, FILES, READABLE, ENGRAVE) \\\\" 'neither one file nor a file for each page'
refused "/^#define LESSON_FORMATS/a\\
$row SCORE, spoken, ONE_FILE, READABLE, PRINT) \\\\" 'a command that is not there'
refused "/^#define LESSON_FORMATS/a\\
$row SCORE, spoken, ONE_FILE, READABLE, ENGRAVE, COURSE) \\\\" 'a column too many'
refused 's/X(TEXT,  /X(PDF,  /' 'a name twice'

# A command's formats, as its help lists them, and the words alone.
listed_by() {
    "$RATAMARK" "$1" --help | sed -n 's/^Formats: \(.*\)\.$/\1/p'
}
words_of() {
    listed_by "$1" | sed 's/ and /, /; s/, /\n/g' | sort
}

it 'the manual names the formats of each command, and no others'
sed -n '/^\.Sh FORMATS/,/^\.El/s/^\.It \([a-z]*\) Ta \.[a-z]* Ta \([a-z, ]*\) Ta .*/\1 \2/p' man/ratamark.1 >"$work/table"
for command in engrave sound course; do
    words_of $command >"$work/words"
    [ "$(wc -l <"$work/words")" -ge 4 ] || fail "$command: $(cat "$work/words")"
    grep -w "$command" "$work/table" | cut -d' ' -f1 | sort | diff "$work/words" - >&2 || fail "$command"
done

it 'a course file can ask for what a course makes, and nothing else'
mkdir "$work/course" && good_lesson "$work/course/a.yaml"
for word in $(words_of course); do
    echo "produce: $word" >"$work/course/course.yaml"
    run check "$work/course"
    expect_status 0
done
for word in text line picture; do
    echo "produce: $word" >"$work/course/course.yaml"
    run check "$work/course"
    expect_status 1
done
expect_err_has "expected $(listed_by course | sed 's/ and / or /')"

# Their endings, from the table of the manual: ".mid, .wav, .flac or .ogg".
endings_of() {
    sed -n "/^\.Sh FORMATS/,/^\.El/s/^\.It [a-z]* Ta \(\.[a-z]*\) Ta \([a-z, ]*\) Ta .*/\1 \2/p" man/ratamark.1 |
        grep -w "$1" | cut -d' ' -f1 | tr '\n' ' ' | sed 's/ $//; s/ /, /g; s/\(.*\), /\1 or /'
}

it 'an unknown file type is answered with a list of the known ones'
good_lesson "$work/a.yaml"
run sound "$work/a.yaml" -o "$work/a.mp3"
expect_status 2
expect_err_has "unknown file type '.mp3'; use $(endings_of sound)"
run engrave "$work/a.yaml" -o "$work/a"
expect_status 2
expect_err_has "'$work/a' has no file type; end it in $(endings_of engrave)"
[ "$(endings_of sound | wc -c)" -gt 20 ] || fail 'no endings'

finish
