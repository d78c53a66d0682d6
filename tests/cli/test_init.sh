# A course to start from: one command writes it, the next prints it.
. tests/cli/lib.sh
cd "$work" || exit 1

it 'writes a course file and lessons, and names the command that prints them'
run init lessons
expect_status 0
expect_no_out
for file in course.yaml 01-two-hands.yaml 02-first-beat.yaml; do
    expect_file "lessons/$file"
    expect_err_has "wrote 'lessons/$file'"
done
expect_err_has 'print it with: ratamark course lessons'
[ "$(ls -A lessons | wc -l)" = 3 ] || fail "$(ls -A lessons)"

it 'what it wrote passes check, even with --strict'
run check --strict lessons
expect_status 0
expect_err_has '3 files checked: 0 errors, 0 warnings'
# Three strokes in bars of eight slots: lcm(3, 8) / 8 = 3 bars.
grep -q '^3 Three in the hand .* after 3 bars' "$work/.out" || fail "$(cat "$work/.out")"

it 'the next command prints it'
command=$("$RATAMARK" init again 2>&1 | sed -n 's/.*print it with: ratamark //p')
# shellcheck disable=SC2086 # words
run $command
expect_status 0
for lesson in again/01-two-hands again/02-first-beat; do
    expect_begins "$lesson.pdf" %PDF-
    [ "$(qpdf --show-npages "$lesson.pdf")" = 1 ] || fail 'one page each'
done

it 'an existing file is left alone, and nothing is written beside it'
mkdir mine
echo 'title: Mine' >mine/02-first-beat.yaml
run init mine
expect_status 2
expect_err_has "'mine/02-first-beat.yaml' exists already; give another folder"
expect_text mine/02-first-beat.yaml 'title: Mine'
expect_none mine/course.yaml
run init lessons
expect_status 2

it 'an existing folder is used, and its contents stay'
mkdir desk
echo letter >desk/letter.txt
run init -q desk
expect_status 0
expect_no_err
expect_file desk/course.yaml
expect_text desk/letter.txt letter

it 'a folder that cannot be made is a system error'
: >file
run init file/course
expect_status 3
expect_err_has "cannot make the folder 'file/course'"
run init file
expect_status 3
finish
