#!/bin/sh
# The sheet of a left-handed player: the same music, every hand and foot the other one.
. tests/cli/lib.sh

lesson() {
    cat <<'END'
title: Two rowers
exercises:
  - title: Groove
    subdivision: eighths
    sticking: R R B R lR R B R
    play: {R: hi-hat, L: snare}
    kick: 1 3
    hat-foot: 2 4
  - title: By count
    hi-hat: eighths
    snare: 2 4
    kick: 1 3
  - title: Own feet
    subdivision: sixteenths
    sticking: RLLRRL
    feet: {subdivision: quarters, sticking: R L}
END
}
cd "$work" || exit 1
lesson >right.yaml
{ lesson; echo 'handed: left'; } >left.yaml

it 'the sound is the same, byte for byte'
for which in right left; do run sound $which.yaml -o $which.mid; done
expect_same right.mid left.mid
run sound right.yaml --handed left -o turned.mid
expect_same right.mid turned.mid

it 'the option and the key do the same, and each undoes the other'
for which in right left; do run engrave $which.yaml -o $which.svg; done
run engrave right.yaml --handed left -o turned.svg
expect_same left.svg turned.svg
run engrave left.yaml --handed right -o turned.svg
expect_same right.svg turned.svg
cmp -s left.svg right.svg && fail 'both sheets are the same'

it 'the letters in the grid are swapped and the voices stay'
for which in right left; do
    run grid $which.yaml
    grep -v ' sticking ' "$work/.out" >$which.rows
    grep ' sticking ' "$work/.out" >$which.letters
done
expect_same right.rows left.rows
[ "$(grep -c . right.letters)" -ge 3 ] || fail 'no letters'
tr RLrl LRlr <right.letters >wanted.letters
expect_same wanted.letters left.letters

it 'the highest tempos are the same'
run check right.yaml
sed 's/right hand/X/; s/left hand/X/; s/right foot/Y/; s/left foot/Y/; s/right\.yaml//' "$work/.out" >right.said
run check left.yaml
sed 's/right hand/X/; s/left hand/X/; s/right foot/Y/; s/left foot/Y/; s/left\.yaml//' "$work/.out" >left.said
expect_same right.said left.said
[ -s left.said ] || fail 'check said nothing'

it 'a lesson for a left-handed kit is written for that player'
{ lesson; echo 'kit: {handed: left}'; } >kit.yaml
{ cat kit.yaml; echo 'handed: left'; } >both.yaml
for which in kit both; do run engrave $which.yaml -o $which.svg; done
expect_same kit.svg both.svg
run engrave kit.yaml --handed right -o turned.svg
cmp -s kit.svg turned.svg && fail 'the right-handed sheet is the same'

it 'the course and the booklet for the other player go into a folder of their own'
mkdir lessons
lesson >lessons/one.yaml
run course lessons -o out --booklet
expect_status 0
cp out/one.pdf before.pdf
cp out/booklet.pdf book.pdf
run course lessons -o out --booklet --handed left
expect_status 0
expect_same out/one.pdf before.pdf
expect_same out/booklet.pdf book.pdf
expect_file out/left-handed/one.pdf
cmp -s out/left-handed/one.pdf before.pdf && fail 'the lesson is as it was'
cmp -s out/left-handed/booklet.pdf book.pdf && fail 'the booklet is as it was'
run course lessons -o out --booklet --prune
expect_status 0
expect_file out/left-handed/one.pdf
run course lessons --handed left
expect_status 0
expect_file lessons/left-handed/one.pdf
run course lessons --handed left
expect_status 0
expect_none lessons/left-handed/left-handed

it 'a sheet for the other player has a name of its own'
mkdir sheets
run engrave right.yaml -o sheets --handed left
expect_file sheets/right-left-handed.pdf
run engrave right.yaml --handed left
expect_file right-left-handed.pdf
expect_none right.pdf

it 'says whose sheet it is, in the language of the page, only on a mirrored one'
for language in en:left-handed de:für-Linkshänder fr:pour-gaucher es:para-zurdos it:per-mancini \
    nl:linkshandig pt:para-canhotos; do
    { lesson; echo "language: ${language%:*}"; } >tongue.yaml
    run engrave tongue.yaml --handed left -o tongue.pdf
    words=$(pdftotext -layout tongue.pdf - | sed 's/  */-/g')
    case $words in *"${language#*:}"*) ;; *) fail "no ${language#*:} in $words" ;; esac
done
run engrave right.yaml -o plain.pdf
pdftotext plain.pdf - | grep -q handed && fail 'a sheet as written names a hand'
run engrave right.yaml --as text -o - --handed left
expect_out_has 'For a left-handed player'

it 'stick shows the letters of the sheet and writes those of the file'
printf 'handed: left\nexercises:\n  - rhythm: 8 16 16 4 4 4\n' >open.yaml
run stick open.yaml --style natural
expect_out_has 'bar 1   LLR L L L'
run stick open.yaml --style natural -o new.yaml
expect_status 0
grep -q 'sticking: RRL R R R' new.yaml || fail "$(cat new.yaml)"

it 'texts change hands where they say so, and one that names a hand is reported'
cat >texts.yaml <<'END'
title: The {right|left} oar
notes: Row with the {right|left} arm.
exercises:
  - title: From {R|L}
    text: The right hand rests.
    subdivision: eighths
    sticking: RLRR
    bars: [{words: "{Right|Left} alone"}]
END
for player in right left; do
    run engrave texts.yaml --handed $player -o $player.pdf
    pdftotext -layout $player.pdf - >$player.txt
done
expect_err_has ":5:11: warning: this copy is for a left-handed player"
for words in 'The right oar' 'with the right arm' 'From R' 'Right alone' 'The right hand'; do
    grep -q "$words" right.txt || fail "no '$words' for the right-handed"
done
for words in 'The left oar' 'with the left arm' 'From L' 'Left alone' 'The right hand'; do
    grep -q "$words" left.txt || fail "no '$words' for the left-handed"
done
run check texts.yaml
expect_status 0
expect_err_lacks named-hand
run check --handed left --strict texts.yaml
expect_status 1
expect_err_has 'named-hand'

it 'any other player is an error'
run engrave right.yaml --handed both
expect_status 2
expect_err_has 'right|left'

finish
