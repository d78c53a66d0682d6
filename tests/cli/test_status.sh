# Exit statuses: 0 success, 1 the lesson has errors, 2 usage error, 3 system error.
. tests/cli/lib.sh
cd "$work" || exit 1
good_lesson good.yaml
wrong_lesson wrong.yaml

for command in check engrave grid; do
    it "$command: 0 for a good lesson"
    run $command good.yaml
    expect_status 0

    it "$command: 1 for a wrong lesson"
    run $command wrong.yaml
    expect_status 1

    it "$command: 2 without a file"
    run $command
    expect_status 2
    expect_no_out

    it "$command: 3 for a file that is not there"
    run $command absent.yaml
    expect_status 3
    expect_err_has 'absent.yaml: error: cannot be read: No such file or directory [unreadable]'
done

it 'several files: the highest status counts'
run check good.yaml wrong.yaml
expect_status 1
run check wrong.yaml absent.yaml good.yaml
expect_status 3
expect_err_has '[unknown-voice]'
expect_err_has '[unreadable]'
run check good.yaml good.yaml
expect_status 0

it 'lessons are not printed while their course file has errors'
mkdir school
good_lesson school/one.yaml
echo 'tempoo: 60' >school/course.yaml
run engrave school/one.yaml
expect_status 1
expect_err_has 'school/course.yaml:1:1: error:'
expect_none school/one.pdf
run check school/one.yaml
expect_status 1

it 'the errors of a course file are reported once, however many lessons are below it'
good_lesson school/two.yaml
run check school
expect_status 1
[ "$(grep -c 'course.yaml:1:1: error' "$work/.err")" = 1 ] || fail "$(cat "$work/.err")"
expect_err_has '3 files checked: 1 error'

it 'an exercise that does not exist is a usage error'
run engrave good.yaml --exercise 2
expect_status 2
expect_err_has 'there is no exercise 2; the last one is 1'
run grid good.yaml --exercise 2
expect_status 2

it 'a missing music font: 3; one that cannot be used: 2'
run engrave good.yaml --music-font absent.otf -o music.pdf
expect_status 3
expect_err_has 'absent.otf'
expect_none music.pdf
echo 'no font' >text.otf
echo '{}' >text.json
run engrave good.yaml --music-font text.otf -o music.pdf
expect_status 2
expect_err_has 'text.otf'
expect_none music.pdf

it 'another music font is laid out with its own metadata'
cp "$top/fonts/Ratamark.otf" other.otf
cp "$top/fonts/Ratamark.json" other.json
run engrave good.yaml --music-font other.otf -o other.svg
expect_status 0
run engrave good.yaml -o own.svg
expect_same own.svg other.svg

it 'rudiments: 0 for one that exists, 2 for others'
run rudiments 'flam tap'
expect_status 0
run rudiments 20
expect_status 0
run rudiments 41
expect_status 2
run rudiments 0
expect_status 2
run rudiments 'flam tab'
expect_status 2
expect_err_has "did you mean 'flam tap'?"

it 'a full standard output is reported: 3'
if [ -e /dev/full ]; then
    for arguments in --help --version rudiments 'grid good.yaml' 'engrave -o - good.yaml' \
        'check --format json good.yaml' 'check --explain all'; do
        # shellcheck disable=SC2086 # words
        "$RATAMARK" $arguments >/dev/full 2>"$work/.err"
        status=$?
        expect_status 3
        expect_err_has 'No space left on device'
    done
else
    fail 'this system has no /dev/full to test with'
fi

it 'a closed standard output is reported: 3'
"$RATAMARK" rudiments >&- 2>"$work/.err"
status=$?
expect_status 3

finish
