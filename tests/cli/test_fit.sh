#!/bin/sh
# `page: {fit: one}`: a smaller staff brings a lesson onto one page, or a warning says that none does.
. tests/cli/lib.sh
cd "$work" || exit 1

pages() { pdfinfo "$1" | sed -n 's/^Pages: *//p'; }

it 'a lesson of two pages becomes one'
long_lesson two.yaml 4
{ echo 'page: {fit: one}'; cat two.yaml; } >one.yaml
run engrave two.yaml
expect_status 0
[ "$(pages two.pdf)" = 2 ] || fail "natural: $(pages two.pdf) pages"
run engrave one.yaml
expect_status 0
expect_err_has 'one.yaml:1:13: note: the staff is '
expect_err_has 'mm high, not 7, to fit the lesson on one page [page-fit]'
[ "$(pages one.pdf)" = 1 ] || fail "fitted: $(pages one.pdf) pages"

it 'the note names the largest staff that fits'
told=$(sed -n 's/.*the staff is \([0-9.]*\) mm.*/\1/p' "$work/.err")
more=$(awk "BEGIN { printf \"%.1f\", $told + 0.1 }")
for staff in "$told" "$more"; do
    { echo "page: {fit: one, staff: $staff}"; cat two.yaml; } >"at-$staff.yaml"
    run engrave "at-$staff.yaml" -o "at-$staff.pdf"
    case $staff in "$told") expect_err_lacks 'page-fit' ;; *) expect_err_has "the staff is $told mm high" ;; esac
done

it 'the lesson for one page in the course fits on either paper size'
cp "$top"/examples/course.yaml "$top"/examples/19-the-ropewalk.yaml .
for size in a4 letter; do
    sed -i "s/{size: [a-z0-9]*/{size: $size/" course.yaml
    grep -q "size: $size" course.yaml || fail 'the course has no size'
    run engrave 19-the-ropewalk.yaml -o "$size.pdf"
    expect_status 0
    [ "$(pages $size.pdf)" = 1 ] || fail "$size: $(pages $size.pdf) pages"
done

it 'with --quiet there is no message'
run engrave --quiet one.yaml
expect_no_err

it 'a lesson that fits is left as it is'
good_lesson good.yaml
{ echo 'page: {fit: one}'; cat good.yaml; } >fitted.yaml
run engrave good.yaml -o good.svg
run engrave fitted.yaml -o fitted.svg
expect_same good.svg fitted.svg

it 'a lesson that fits on one page with no staff gets a warning and is printed'
long_lesson long.yaml 30
{ echo 'page: {fit: one}'; cat long.yaml; } >vain.yaml
run engrave vain.yaml
expect_status 0
expect_err_has 'vain.yaml:1:13: warning: the lesson does not fit one page, even with a staff of 5 mm [not-printable]'
[ "$(pages vain.pdf)" -gt 1 ] || fail 'one page'

finish
