# What the README shows is what the program does.
. tests/cli/lib.sh
readme=$top/README.md

# block LANGUAGE NUMBER: the inside of that fenced block.
block() {
    awk -v fence='```'"$1" -v wanted="$2" '
        on && /^```$/ { on = 0 }
        on { print }
        $0 == fence { if (++count == wanted) on = 1 }' "$readme"
}
cd "$work" || exit 1

it 'its picture is an image file'
expect_file "$top/man/page.png"
[ "$(head -c 4 "$top/man/page.png" | od -An -tx1 | tr -d ' ')" = 89504e47 ] || fail 'no PNG'

it 'its lesson has ten lines and no errors'
block yaml 1 >lesson.yaml
[ "$(wc -l <lesson.yaml)" = 10 ] || fail "$(wc -l <lesson.yaml) lines"
run check lesson.yaml
expect_status 0
expect_out_has 'after 3 bars'
expect_err_has '0 errors, 0 warnings'

it 'its commands run as written'
mkdir bin
ln -s "$RATAMARK" bin/ratamark
awk '/^## Two commands/ { on = 1 } /^## Ten/ { on = 0 } on && /^ratamark / { print }' "$readme" >commands
[ "$(wc -l <commands)" = 2 ] || fail 'two commands'
while read -r command; do
    PATH=$work/bin:$PATH sh -c "$command" 2>"$work/.err" || fail "$command"
done <commands
expect_begins lesson.pdf %PDF-

it 'its grid is what grid shows'
block text 1 >shown
run grid lesson.yaml
expect_status 0
expect_same "$work/.out" shown

it 'its text for screen readers is what the program writes'
block text 2 >shown
run engrave lesson.yaml --as text -o -
expect_status 0
head -n "$(wc -l <shown)" "$work/.out" >"$work/begin"
expect_same "$work/begin" shown

it 'its error is shown as printed'
block yaml 2 >lesson.yaml
block text 3 >shown
run check lesson.yaml
expect_status 1
expect_same "$work/.err" shown

it 'its warning about the tempo is shown as printed'
block yaml 1 >lesson.yaml
block text 4 >shown
grep -q 'ratamark check lesson.yaml --at 130 --level intermediate' "$readme" || fail 'no such command'
run check lesson.yaml --at 130 --level intermediate
expect_status 0
[ "$(wc -l <shown)" = 4 ] || fail "$(wc -l <shown) lines shown"
grep -qF "$(head -n 1 shown)" "$work/.err" || fail "not said: $(head -n 1 shown)"
grep -A 3 -F "$(head -n 1 shown)" "$work/.err" | diff shown - >&2 || fail 'the warning differs'

it 'its exit statuses are those of the manual'
for status in 0 1 2 3; do
    grep -q "^| $status  " "$readme" || fail "README: $status"
    grep -q "^\.It $status$" "$top/man/ratamark.1" || fail "manual: $status"
done

it 'the targets it names are in the makefile'
for target in $(grep -oh 'make [a-z][a-z-]*' "$readme" "$top/DEVELOPERS.md" | sed 's/.*make //' | sort -u); do
    grep -q "^$target:" "$top/Makefile" || grep -q "^\(.*[ ]\)\{0,1\}$target\( .*\)\{0,1\}:" "$top/Makefile" ||
        fail "no target '$target'"
done

finish
