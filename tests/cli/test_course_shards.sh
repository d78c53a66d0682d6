#!/bin/sh
# A course made at once, by any number of processes, and in shares: the same files, the same words in
# the same order.
. tests/cli/lib.sh

course=$work/course
mkdir -p "$course/week-1" "$course/week-2"
for n in $(seq 9); do
    good_lesson "$course/week-1/lesson-$n.yaml"
    long_lesson "$course/week-2/long-$n.yaml" $((n * 3))
done
for n in 3 7; do wrong_lesson "$course/week-1/wrong-$n.yaml"; done
# warnings, too
cat >"$course/open.yaml" <<'END'
exercises:
  - {title: Open, subdivision: sixteenths, sticking: RLLRRL, repeat: 4}
END
printf 'title: Harbour\nproduce: [pdf, svg, png]\nauthor: Wharf Lane\n' >"$course/course.yaml"
cp -r "$course" "$work/again"
tree_of() { (cd "$1" && find . -type f ! -path './.ratamark/*' -exec b2sum {} + | sort -k 2); }

it 'any number of processes makes the same files and messages'
run course "$course" -o "$work/one" --jobs 1 --dpi 30
expect_status 1
expect_err_has '19 built, 0 up to date, 2 failed'
cp "$work/.err" "$work/said"
tree_of "$work/one" >"$work/tree"
for jobs in 2 5 40; do
    rm -rf "$work/many"
    run course "$course" -o "$work/many" --jobs $jobs --dpi 30
    expect_status 1
    expect_same "$work/.err" "$work/said"
    tree_of "$work/many" | diff "$work/tree" - >&2 || fail "$jobs processes"
done

it 'no more processes are started than can be listened to'
rm -rf "$work/many"
(ulimit -n 16 && exec timeout 120 "$RATAMARK" course "$course" -o "$work/many" --jobs 40 --dpi 30) \
    >"$work/.out" 2>"$work/.err"
status=$?
expect_status 1
expect_same "$work/.err" "$work/said"
tree_of "$work/many" | diff "$work/tree" - >&2 || fail 'other files'

it 'a lesson comes out the same alone and among others, and a second time'
run course "$course" -o "$work/many" --jobs 1 --force --dpi 30
tree_of "$work/many" | diff "$work/tree" - >&2 || fail 'the second time'
for name in week-1/lesson-4 week-2/long-9; do
    run engrave "$course/$name.yaml" -o "$work/alone.pdf"
    expect_same "$work/alone.pdf" "$work/one/$name.pdf"
done

it 'seven shares make the same files as one'
for k in 1 2 3 4 5 6 7; do
    run course "$course" -o "$work/shares" --shard $k/7 --dpi 30
    grep -o '^[0-9]* lessons*: [0-9]* built' "$work/.err"
done >"$work/counts"
tree_of "$work/shares" | diff "$work/tree" - >&2 || fail 'other files'
[ "$(awk '{ n += $3 } END { print n }' "$work/counts")" = 19 ] || fail "$(cat "$work/counts")"
[ "$(wc -l <"$work/counts")" = 7 ] || fail "$(cat "$work/counts")"

it 'a share by itself then has nothing left to do'
run course "$course" -o "$work/shares" --shard 3/7 --dpi 30
expect_err_has ': 0 built'

it 'once the records are merged, the whole course has nothing left to do'
run course "$course" -o "$work/shares" --merge --dpi 30
expect_status 1 # the two that fail are missing
expect_err_has "'$course/week-1/wrong-3.yaml' is missing or out of date"
expect_err_has '7 records merged: 21 lessons, 19 up to date, 2 missing'
[ "$(ls -A "$work/shares/.ratamark" | tr '\n' ' ')" = 'lock record ' ] || fail "$(ls -A "$work/shares/.ratamark")"
run course "$course" -o "$work/shares" --dpi 30
expect_err_has '0 built, 19 up to date, 2 failed'
expect_err_lacks 'is stale'

it 'shares know what the whole course has made, and the other way round'
run course "$course" -o "$work/shares" --shard 2/3 --dpi 30
expect_err_has ': 0 built'
rm "$course"/week-1/wrong-*
run course "$course" -o "$work/shares" --merge --dpi 30
expect_status 0
expect_err_has '19 up to date, 0 missing'

it 'stale outputs are handled when the records are merged'
rm "$course/week-1/lesson-1.yaml"
run course "$course" -o "$work/shares" --shard 1/2 --dpi 30
run course "$course" -o "$work/shares" --shard 2/2 --dpi 30
expect_err_lacks 'is stale'
expect_file "$work/shares/week-1/lesson-1.pdf"
run course "$course" -o "$work/shares" --merge --prune --dpi 30
expect_status 0
expect_none "$work/shares/week-1/lesson-1.pdf"

it 'a lesson deleted before the first merge leaves stale outputs as well'
mkdir "$work/few"
for n in goes stays changes alters; do good_lesson "$work/few/$n.yaml"; done
for k in 1 2; do run course "$work/few" -o "$work/made" --shard $k/2; done
rm "$work/few/goes.yaml"
for n in changes alters; do sed -i 's/RL/LR/' "$work/few/$n.yaml"; done # one in either share
for k in 1 2; do run course "$work/few" -o "$work/made" --shard $k/2; done
run course "$work/few" -o "$work/made" --merge
expect_status 0
expect_err_has "made/goes.pdf' is stale: its lesson is gone"
run course "$work/few" -o "$work/made" --merge --prune
expect_none "$work/made/goes.pdf"
expect_file "$work/made/stays.pdf"

it 'so does one that a share made again before it was deleted'
sed -i 's/LR/RR/' "$work/few/changes.yaml"
for k in 1 2; do run course "$work/few" -o "$work/made" --shard $k/2; done
rm "$work/few/changes.yaml"
sed -i 's/LR/RL/' "$work/few/alters.yaml"
sed -i 's/RL/LL/' "$work/few/stays.yaml"
for k in 1 2; do run course "$work/few" -o "$work/made" --shard $k/2; done
run course "$work/few" -o "$work/made" --merge --prune
expect_status 0
expect_none "$work/made/changes.pdf"

it 'shares made apart and copied together work as one'
rm -rf "$work/put" && mkdir "$work/put"
for k in 1 2 3; do
    run course "$work/again" -o "$work/apart-$k" --shard $k/3 --dpi 30
    cp -r "$work/apart-$k/." "$work/put/"
done
run course "$course" -o "$work/put" --merge --dpi 30
expect_err_has '3 records merged'
tree_of "$work/one" | grep -v 'week-1/lesson-1\.' >"$work/tree"
tree_of "$work/put" | grep -v 'week-1/lesson-1\.' | diff "$work/tree" - >&2 || fail 'other files'
run course "$course" -o "$work/put" --dpi 30
expect_err_has ': 0 built, 18 up to date'

it 'they still do when lessons change, if each share copies back what it wrote'
cp -r "$course" "$work/later"
sed -i 's/RLRR/LRLL/' "$work"/later/week-2/*.yaml
sed -i 's/RL$/LR/' "$work"/later/week-1/lesson-[2-5].yaml
for k in 1 2 3; do
    rm -rf "$work/apart-$k"
    cp -r "$work/put" "$work/apart-$k"
done
for k in 1 2 3; do
    touch "$work/begun"
    run course "$work/later" -o "$work/apart-$k" --shard $k/3 --dpi 30
    expect_err_lacks ': 0 built'
    (cd "$work/apart-$k" && find . -type f -newer ../begun -exec cp --parents -p {} "$work/put" \;)
done
run course "$work/later" -o "$work/put" --merge --dpi 30
expect_err_has '3 records merged'
run course "$work/later" -o "$work/put" --dpi 30
expect_err_has ': 0 built, 18 up to date'

it 'two shares can run side by side, but the whole course with neither'
rm -rf "$work/side"
"$RATAMARK" course "$course" -o "$work/side" --shard 1/2 2>"$work/first" &
first=$!
n=0
while [ -z "$(find "$work/side" -name 'staging*' 2>/dev/null)" ] && [ $n -lt 300 ]; do sleep 0.01; n=$((n + 1)); done
run course "$course" -o "$work/side"
kill -0 $first 2>/dev/null || fail 'the first was over too early'
expect_status 3
expect_err_has 'another run'
run course "$course" -o "$work/side" --shard 1/2
expect_status 3
run course "$course" -o "$work/side" --shard 2/2
expect_status 0
wait $first || fail "$(cat "$work/first")"

finish
