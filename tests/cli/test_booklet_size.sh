#!/bin/sh
# `course --booklet` where lessons differ in page size: the folder's course file decides. pdfinfo of
# poppler says what size pages have; 595 by 842 points are A4 (ISO 216), 612 by 792 letter.
. tests/cli/lib.sh

course=$work/course out=$work/out book=$work/out/booklet.pdf

lesson() { # FILE TITLE EXERCISES [SIZE]
    mkdir -p "$(dirname "$1")"
    printf 'title: %s\n' "$2" >"$1"
    [ -z "${4-}" ] || printf 'page: {size: %s, margin: 25}\n' "$4" >>"$1"
    printf 'exercises:\n' >>"$1"
    i=0
    while [ $i -lt "$3" ]; do
        i=$((i + 1))
        printf '  - {title: "Wave %d", subdivision: sixteenths, sticking: RLRR LRLL, bars: 8}\n' $i >>"$1"
    done
}
# The sizes of a file's pages, each once.
sizes() { pdfinfo -f 1 -l -1 "$1" | awk '/^Page .* size:/ { printf "%.0fx%.0f\n", $4, $6 }' | sort -u; }
expect_sizes() { [ "$(sizes "$1")" = "$2" ] || fail "$1: $(sizes "$1"), not $2"; }
page_text() { pdftotext -enc UTF-8 -layout -f "$1" -l "$1" "$book" -; }
# "TITLE|PAGE" of each line of the contents.
contents() { page_text 2 | sed -n 's/^ *\(.*[^ ]\)  *\([0-9][0-9]*\)$/\1|\2/p' | grep -v ' of|'; }
stamps() { find "$out" -name '*.pdf' -exec stat -c '%n %i %Y' {} + | sort; }

lesson "$course/a.yaml" 'Low Water' 12
lesson "$course/b.yaml" 'High Water' 12 letter
lesson "$course/deep/c.yaml" 'Still Water' 3
lesson "$course/deep/d.yaml" 'Deep Water' 3 a4
printf 'title: Deep End\npage: {size: letter}\n' >"$course/deep/course.yaml"
printf 'title: The Harbour Course\nproduce: [pdf, booklet]\n' >"$course/course.yaml"

it 'has pages of one size, that of the course'
run course "$course" -o "$out" --jobs 2
expect_status 0
expect_sizes "$book" 595x842
expect_err_has "the booklet has pages of the course's size: 2 lessons were set again for it"

it 'leaves the sheets of the lessons their own size'
expect_sizes "$out/a.pdf" 595x842
expect_sizes "$out/b.pdf" 612x792
expect_sizes "$out/deep/c.pdf" 612x792
expect_sizes "$out/deep/d.pdf" 595x842

it 'counts the pages of lessons that were set again'
[ "$(contents | wc -l)" = 5 ] || fail "$(contents)"
contents >"$work/contents"
while IFS='|' read -r title page; do
    [ "$title" = 'Deep End' ] && title='Still Water' # the first lesson of that course
    page_text "$page" | head -n 3 | grep -qF "$title" || fail "no '$title' on page $page"
done <"$work/contents"

it 'does nothing when nothing changed'
before=$(stamps)
run course "$course" -o "$out"
expect_status 0
[ "$(stamps)" = "$before" ] || fail 'something was written'
expect_err_lacks 'set again'

it 'makes only the changed lesson and the booklet again'
lesson "$course/b.yaml" 'Higher Water' 12 letter
run course "$course" -o "$out" --dry-run
expect_status 0
printf "would make '%s'\n" b.yaml booklet.pdf >"$work/wanted"
grep -v '^would make .*would make' "$work/.out" | diff "$work/wanted" - >&2 || fail 'makes something else'
run course "$course" -o "$out"
expect_status 0
[ "$(stamps | grep -v 'b.pdf\|booklet.pdf')" = "$(echo "$before" | grep -v 'b.pdf\|booklet.pdf')" ] ||
    fail 'another sheet was written'
contents | grep -q '^Higher Water|' || fail "$(contents)"
expect_sizes "$book" 595x842
expect_sizes "$out/b.pdf" 612x792

it 'is the same from one process, from two and from shares'
run course "$course" -o "$work/one" --jobs 1
expect_same "$book" "$work/one/booklet.pdf"
for share in 1/2 2/2; do
    run course "$course" -o "$work/shares" --shard $share
    expect_status 0
done
run course "$course" -o "$work/shares" --merge
expect_status 0
expect_same "$book" "$work/shares/booklet.pdf"

it 'is reported by check for each lesson of a folder, and only there'
run check "$course"
expect_status 0
expect_err_has "'$course/b.yaml' has another page size than its course: the booklet sets it again"
expect_err_has "'$course/deep/c.yaml' has another page size"
expect_err_lacks 'a.yaml'
expect_err_lacks 'd.yaml'
run check "$course/b.yaml"
expect_err_lacks 'page size'
run check "$course" --quiet
expect_err_lacks 'page size'

it 'follows the course file'
printf 'title: The Harbour Course\nproduce: [pdf, booklet]\npage: {size: letter}\n' >"$course/course.yaml"
run course "$course" -o "$out"
expect_status 0
expect_sizes "$book" 612x792
expect_err_has '1 lesson was set again for it'
expect_sizes "$out/deep/d.pdf" 595x842

it 'is not mentioned where no booklet is made'
printf 'title: The Harbour Course\nproduce: [pdf]\n' >"$course/course.yaml"
run check "$course"
expect_err_lacks 'page size'

it 'reports what its own page size does to a lesson'
# A bar that is a little too wide for A4 and not for letter.
lesson "$course/wide.yaml" 'Wide Water' 1 letter
sed -i 's/^page:.*/page: {size: letter, margin: 30, staff: 11}/; s/ bars: 8/ bars: 1/; s/sixteenths/32nds/' "$course/wide.yaml"
run engrave "$course/wide.yaml" -o "$work/wide.pdf"
expect_err_lacks 'not-printable'
printf 'title: The Harbour Course\nproduce: [pdf, booklet]\n' >"$course/course.yaml"
run course "$course" -o "$out"
expect_status 0
expect_err_has "the booklet: 'wide.yaml', line "

finish
