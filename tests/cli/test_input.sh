# Files that are no lessons: a clear error each, never a crash, and no sheet.
. tests/cli/lib.sh
cd "$work" || exit 1
good_lesson good.yaml

refused() { # NAME STATUS FILE CODE
    it "$1"
    for command in check engrave grid; do
        run $command "$3"
        expect_status "$2"
        expect_err_has "[$4]"
        expect_no_out
    done
    expect_none sheet.pdf
}

: >empty.yaml
refused 'an empty file' 1 empty.yaml missing-key
printf '\n\n# nothing\n' >comment.yaml
refused 'nothing but a comment' 1 comment.yaml missing-key
cp "$RATAMARK" binary.yaml
head -c 100000 binary.yaml >short.yaml
refused 'a binary' 1 short.yaml encoding
printf 'title: a\0b\n' >nul.yaml
refused 'a NUL byte' 1 nul.yaml encoding
printf 'title: \377\376\n' >utf.yaml
refused 'bytes that are no UTF-8' 1 utf.yaml encoding
printf 'title: a\tb\nexercises:\n\t- x\n' >tab.yaml
refused 'a tab' 1 tab.yaml syntax
echo '{{{{' >broken.yaml
refused 'text that is no YAML' 1 broken.yaml syntax
mkdir folder.d
it 'a folder in place of a lesson is refused'
for command in engrave grid; do
    run $command folder.d
    expect_status 3
    expect_err_has 'cannot be read: Is a directory [unreadable]'
done

it 'a folder without lessons is a usage error'
run check folder.d
expect_status 2
expect_err_has "no lessons (.yaml or .yml files) in 'folder.d'"

it 'a file of more than 4 MiB is refused'
head -c 4194305 /dev/zero | tr '\0' '#' >large.yaml
for command in check engrave grid; do
    run $command large.yaml
    expect_status 1
    expect_err_has '[limit]'
done

it 'an endless device is refused'
run check /dev/zero
expect_status 1
expect_err_has '[limit]'

it 'nesting deeper than 16 is refused'
{
    printf 'title: '
    head -c 20000 /dev/zero | tr '\0' '['
} >deep.yaml
run check deep.yaml
expect_status 1

it 'a line of a million strokes is shown as a window around the place'
{
    printf 'exercises:\n  - sticking: '
    head -c 500000 /dev/zero | tr '\0' R
    echo Q
} >wide.yaml
run check wide.yaml
expect_status 1
longest=$(awk '{ if (length > most) most = length } END { print most }' "$work/.err")
[ "$longest" -lt 200 ] || fail "a line of $longest letters"

it 'names can have spaces, quotes, dashes and newlines'
for odd in 'two words.yaml' "o'clock.yaml" 'a"b.yaml' '-o.yaml' "$(printf 'two\nlines.yaml')" 'Übung – 1.yaml'; do
    cp good.yaml "./$odd"
    run engrave -- "$odd"
    expect_status 0
    expect_file "./${odd%.yaml}.pdf"
done

it "a lesson's text cannot steer the path"
sed 's#^title:.*#title: ../../outside#' good.yaml >steer.yaml
run engrave steer.yaml
expect_status 0
expect_file steer.pdf
expect_none ../outside.pdf
expect_none ../../outside.pdf

it 'a folder is read in order, without hidden names and linked folders'
mkdir -p walk/b walk/.hidden
wrong_lesson walk/c.yaml
wrong_lesson walk/b/z.yaml
wrong_lesson walk/a.yaml
wrong_lesson walk/.hidden/h.yaml
wrong_lesson walk/.h.yaml
wrong_lesson walk/d.yml
wrong_lesson walk/no.yamlx
ln -s .. walk/loop
run check walk
expect_status 1
sed -n 's/:4:13: error.*//p' "$work/.err" | tr '\n' ' ' >order
expect_text order 'walk/a.yaml walk/b/z.yaml walk/c.yaml walk/d.yml '
expect_err_has '4 files checked: 4 errors'

it 'course files count up to eight folders above'
path=deepest
mkdir -p 1/2/3/4/5/6/7/8/9
good_lesson 1/2/3/4/5/6/7/8/9/lesson.yaml
echo 'nonsense: 1' >1/course.yaml
run check 1/2/3/4/5/6/7/8/9/lesson.yaml
expect_status 1
expect_err_has '1/course.yaml:1:1'
echo 'title: Near' >1/2/course.yaml
run check 1/2/3/4/5/6/7/8/9/lesson.yaml
expect_status 1
expect_err_has '1/course.yaml:1:1'
run engrave 1/2/3/4/5/6/7/8/9/lesson.yaml -o "$work/deep.pdf"
expect_status 1
expect_err_has '1/course.yaml:1:1'
expect_none "$work/deep.pdf"
rm 1/course.yaml
run check 1/2/3/4/5/6/7/8/9/lesson.yaml
expect_status 0
rm 1/2/course.yaml
echo 'nonsense: 1' >course.yaml
run check 1/2/3/4/5/6/7/8/9/lesson.yaml
expect_status 0
cd 1/2/3 || exit 1
run check 4/lesson.yaml ../../../good.yaml
cd "$work" || exit 1
expect_err_has '../../../course.yaml:1:1'
rm course.yaml

it 'a course file has no sheet of its own'
echo 'title: Course' >course.yaml
run engrave course.yaml
expect_status 2
expect_err_has 'is a course file'
for command in grid stick sound; do
    run "$command" course.yaml
    expect_status 2
    expect_err_has 'is a course file; give one of its lessons'
done
run check course.yaml
expect_status 0
rm course.yaml

finish
