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
expect_no_err
[ "$(pages one.pdf)" = 1 ] || fail "fitted: $(pages one.pdf) pages"

it 'one that fits is left as it is'
good_lesson good.yaml
{ echo 'page: {fit: one}'; cat good.yaml; } >fitted.yaml
run engrave good.yaml -o good.svg
run engrave fitted.yaml -o fitted.svg
expect_same good.svg fitted.svg

it 'one that no staff brings onto a page is told so, and printed'
long_lesson long.yaml 30
{ echo 'page: {fit: one}'; cat long.yaml; } >vain.yaml
run engrave vain.yaml
expect_status 0
expect_err_has 'vain.yaml:1:13: warning: the lesson does not fit one page, even with a staff of 5 mm [not-printable]'
[ "$(pages vain.pdf)" -gt 1 ] || fail 'one page'

finish
