# engrave --as text: the lesson in words. That they lose nothing is tested in tests/unit/test_spoken.c;
# here is how lessons read as a whole, where the words go, and that the manual's example is said so.
. tests/cli/lib.sh

# With REGEN set, what is said now is what is expected.
for lesson in 01-mooring-lines 10-whispering-planks 14-three-across-the-channel 18-regatta-night; do
    it "how $lesson reads"
    run engrave "examples/$lesson.yaml" --as text -o -
    expect_status 0
    [ -z "${REGEN:-}" ] || cp "$work/.out" "tests/golden/spoken/$lesson.txt"
    expect_same "$work/.out" "tests/golden/spoken/$lesson.txt"
done

it 'the reading goes to a .txt file'
run engrave examples/01-mooring-lines.yaml -o "$work/lesson.txt"
expect_status 0
expect_same "$work/lesson.txt" tests/golden/spoken/01-mooring-lines.txt

it 'without -o the reading goes beside the lesson'
cp examples/01-mooring-lines.yaml examples/course.yaml "$work"
run engrave "$work/01-mooring-lines.yaml" --as text
expect_status 0
expect_same "$work/01-mooring-lines.txt" tests/golden/spoken/01-mooring-lines.txt

it 'reads only the chosen exercises'
run engrave examples/10-whispering-planks.yaml --as text --exercise 4 -o -
expect_status 0
[ "$(grep -c '^Exercise ' "$work/.out")" = 1 ] || fail 'one exercise'
grep -q '^Exercise 4: Planks$' "$work/.out" || fail 'the fourth'

it 'the example of the manual is read as the manual says'
awk '/^\.\\" reading/ { on = 1; next } on && /^\.Ed/ { exit } on && !/^\.Bd/ { print }' man/ratamark.1 >"$work/shown"
[ -s "$work/shown" ] || fail 'no example'
sed -n '/^Four four/,$p' "$work/.out" >"$work/begin"
run engrave examples/10-whispering-planks.yaml --as text --exercise 4 -o -
sed -n '/^Four four/,/^Feet/p' "$work/.out" >"$work/said"
expect_same "$work/said" "$work/shown"

it 'an SVG carries the words: a name and a description for each exercise'
run engrave examples/10-whispering-planks.yaml -o "$work/page.svg"
expect_status 0
begun=0
for page in "$work"/page-*.svg; do
    count() { xmllint --xpath "count(//*[local-name()='$1'])" "$page"; }
    images=$(count "g'][@role='img")
    begun=$((begun + images - $(grep -c ', continued</title>' "$page")))
    [ "$(count title)" = $((images + 1)) ] || fail "$(count title) titles" # the page's own, too
    [ "$(count desc)" -ge "$images" ] || fail "$(count desc) descriptions"
done
[ "$begun" = 8 ] || fail "$begun exercises"
for id in $(grep -o 'aria-[a-z]*="[^"]*-[^"]*"' "$work/page-1.svg" | sed 's/.*="//; s/"//'); do
    grep -q " id=\"$id\"" "$work/page-1.svg" || grep -q "<[a-z]* id=\"$id\"" "$work/page-1.svg" || fail "nothing is called $id"
done
for page in "$work"/page-*.svg; do xmllint --xpath "string(//*[@id='exercise-4-desc'])" "$page"; done |
     sed -n '/^Four four/,/^Feet/p' >"$work/said"
expect_same "$work/said" "$work/shown"

it 'a lesson with errors gives no reading'
printf 'exercises:\n  - {subdivision: eighths, sticking: RL, accents: 5}\n' >"$work/wrong.yaml"
run engrave "$work/wrong.yaml" --as text -o -
expect_status 1
[ ! -s "$work/.out" ] || fail 'something was said'

it 'a change of direction inside a text cannot affect the reading'
printf 'title: "plain \\u202Eturned"\nexercises:\n  - {subdivision: eighths, sticking: RL}\n' >"$work/turned.yaml"
run engrave "$work/turned.yaml" --as text -o -
expect_status 0
expect_out_has 'plain �turned'

finish
