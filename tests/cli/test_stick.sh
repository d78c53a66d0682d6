# Hands that are proposed, and written into a lesson whose other bytes stay.
. tests/cli/lib.sh
cd "$work" || exit 1

before() {
    cat <<'END'
title: "Open hands: é"   # a comment
kit: {short: {h: hi-hat, s: snare}}

exercises:
  # the first
  - title: Straight
    bars:
      - rhythm: 16*4 | 16*4 | 16*4 | 16*4   # kept
  - {title: One beat each, rhythm: 8 16 16 | 16 8 16 | 8 8 | 16 16 8}
  -   title:   Deep
      bars:
        - {rhythm: 8. 16 | 16 8. | 4 | 16 _16 16 16}
        - {rhythm: 4 4 4 4}
  - title: Written
    subdivision: eighths
    sticking: R L R L
  - title: Asked
    subdivision: sixteenths
    sticking: R>??? | ?LL?
  - title: Auto
    subdivision: eighths
    sticking: "auto"
    voices: h s
    bars: 2
END
}
after() {
    cat <<'END'
title: "Open hands: é"   # a comment
kit: {short: {h: hi-hat, s: snare}}

exercises:
  # the first
  - sticking: RLRL RLRL RLRL RLRL
    title: Straight
    bars:
      - rhythm: 16*4 | 16*4 | 16*4 | 16*4   # kept
  - {sticking: RRL RLL RR RLR, title: One beat each, rhythm: 8 16 16 | 16 8 16 | 8 8 | 16 16 8}
  -   sticking: RL RL R RRL | R R R R
      title:   Deep
      bars:
        - {rhythm: 8. 16 | 16 8. | 4 | 16 _16 16 16}
        - {rhythm: 4 4 4 4}
  - title: Written
    subdivision: eighths
    sticking: R L R L
  - title: Asked
    subdivision: sixteenths
    sticking: R>LRL | RLLL
  - title: Auto
    subdivision: eighths
    sticking: "RL RL RL RL | RL RL RL RL"
    voices: h s
    bars: 2
END
}

it 'hands are listed with the reason and how fast they go'
before >lesson.yaml
run stick lesson.yaml --style natural
expect_status 0
expect_out_has 'Exercise 2  One beat each'
expect_out_has '  natural: each stroke gets the hand of its slot in the even grid; right 7, left 4'
expect_out_has '  bar 1   RRL RLL RR RLR'
grep -q 'Exercise 4' "$work/.out" && fail 'an exercise whose hands are written'
grep -q 'playable up to [0-9.]* bpm (advanced)' "$work/.out" || fail 'no verdict'

it 'they are written and every other byte stays'
run stick lesson.yaml --style natural -o new.yaml
expect_status 0
after >wanted.yaml
expect_same wanted.yaml new.yaml
before >wanted.yaml
expect_same wanted.yaml lesson.yaml

it 'the lesson itself can be written to and then has all its hands'
run stick lesson.yaml --style natural -o lesson.yaml
expect_status 0
after >wanted.yaml
expect_same wanted.yaml lesson.yaml
run stick lesson.yaml
expect_text "$work/.out" 'All strokes already have stickings.'

it 'line ends of other systems are kept'
before | sed 's/$/\r/' >lesson.yaml
run stick lesson.yaml --style natural -o new.yaml
expect_status 0
after | sed 's/$/\r/' >wanted.yaml
expect_same wanted.yaml new.yaml

it 'one exercise alone'
before >lesson.yaml
run stick lesson.yaml --exercise 5 --style natural -o new.yaml
expect_status 0
sed 's/R>???/R>LRL/; s/ | ?LL?/ | RLLL/' lesson.yaml >wanted.yaml
expect_same wanted.yaml new.yaml

it 'hands that repeat are not called alternating'
printf 'exercises:\n  - rhythm: 8 16 16 8 8 8 8 4\n' >lesson.yaml
run stick lesson.yaml
expect_out_has 'each stroke has the hand of its slot in the even grid, the right one on the beats; right'
printf 'exercises:\n  - rhythm: 16*16\n' >lesson.yaml
run stick lesson.yaml
expect_out_has 'the hands alternate, the right one leads the beats; right 8, left 8'

it 'hands are swapped for the other lead as they are read'
printf 'exercises:\n  - lead: left\n    rhythm: 8 16 16 4 4 4\n' >lesson.yaml
run stick lesson.yaml --style natural -o new.yaml
expect_status 0
grep -q 'sticking: RRL R R R' new.yaml || fail "$(cat new.yaml)"
run stick lesson.yaml --style natural
expect_out_has 'bar 1   LLR L L L'

it 'a letter that would mean both hands is refused, and nothing is lost'
printf 'exercises:\n  - subdivision: sixteenths\n    sticking: "? ? ?"\n    bars: 3\n' >lesson.yaml
cp lesson.yaml old.yaml
run stick lesson.yaml --style alternate -o lesson.yaml
expect_status 1
expect_err_has 'one ? would need both hands'
expect_same old.yaml lesson.yaml

it 'a system error is reported'
before >lesson.yaml
run stick lesson.yaml -o nowhere/new.yaml
expect_status 3
expect_err_has 'nowhere/new.yaml'

it 'a lesson with errors is not touched'
printf 'exercises:\n  - rhythm: 4 4 4\n' >lesson.yaml
run stick lesson.yaml -o none.yaml
expect_status 1
expect_none none.yaml

it 'auto has its letters on the sheet and in the grid'
printf 'exercises:\n  - subdivision: eighths\n    sticking: auto\n' >lesson.yaml
run grid lesson.yaml
expect_out_has 'R L'

it 'a level can be chosen by name'
run stick lesson.yaml --level nobody
expect_status 2
run stick lesson.yaml --style best
expect_status 2
finish
