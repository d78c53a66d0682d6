# Findings for people (a caret in the right place), and for programs (JSON, SARIF).
. tests/cli/lib.sh
cd "$work" || exit 1
good_lesson good.yaml
wrong_lesson wrong.yaml

it 'a finding takes one line that editors can read, with the source line and a caret below'
run check wrong.yaml
expect_status 1
grep -q '^wrong.yaml:4:13: error: .* \[unknown-voice\]$' "$work/.err" || fail "$(cat "$work/.err")"
sed -n 2,3p "$work/.err" >context
expect_text context '        voices: snair
                ^~~~~'
expect_err_has "did you mean 'snare'?"

# Cells of a terminal after Unicode Standard Annex 11, as Python's own table has them.
it 'the caret is in the right place after wide and combining letters'
cat >letters.py <<'END'
import sys, unicodedata
for line in open("/dev/stdin", encoding="utf-8").read().split("\n"):
    if line.startswith("    ") and "snair" in line:
        before = line[: line.index("snair")]
        cells = sum(0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1
                    for c in before)
    elif line.strip("~ ") == "^":
        print("good" if line.index("^") == cells else f"caret at {line.index('^')}, not {cells}")
END
for title in plain 'Übung' 'Ubung' '太鼓の練習' 'e\0314\0201tude' '北京 👏 Hí' '한국어'; do
    printf '{title: "%b", exercises: [{voices: snair}]}\n' "$title" >letters.yaml
    run check letters.yaml
    expect_status 1
    python3 letters.py <"$work/.err" >caret
    expect_text caret good
done

it 'a correct lesson gets one line for each exercise, and notes only if asked'
cat >table.yaml <<'END'
level: intermediate
exercises:
  - {title: Six a beat, subdivision: sixteenth triplets, sticking: RRLL, repeat: 20}
  - {title: 太鼓, subdivision: sixteenths, sticking: RLLRRL, bars: resolve}
  - {title: Open, rhythm: 4*4}
END
run check table.yaml
expect_status 0
expect_text "$work/.err" '1 file checked: 0 errors, 0 warnings'
[ "$(wc -l <"$work/.out")" = 4 ] || fail "$(cat "$work/.out")"
head -n 1 "$work/.out" | grep -qx 'exercise  *sticking  *lines up  *up to  *limit' || fail 'headings'
# 105.8: case 1 of the reference of playability, as in test_playability.sh; lcm(4, 24) / 24 = 1 bar.
grep -q '^1 Six a beat  double stroke open roll  *every bar  *105.8 bpm (intermediate)  *the left hand.s rebound on the snare' \
    "$work/.out" || fail "$(cat "$work/.out")"
# lcm(6, 16) / 16 = 3 bars; wide letters fill two cells.
grep -q '^2 太鼓        .*after 3 bars  ' "$work/.out" || fail "$(cat "$work/.out")"
grep -q '^3 Open        (the best) ' "$work/.out" || fail "$(cat "$work/.out")"
run check --verbose table.yaml
expect_out_has '1 Six a beat'
for code in sticking-cycle rudiment playable; do expect_err_has "[$code]"; done
run check -q table.yaml
expect_no_out
expect_no_err
cp table.yaml again.yaml
run check table.yaml again.yaml
grep -qx 'again.yaml:' "$work/.out" || fail 'files'

it 'errors that are not shown are counted'
{ echo 'exercises:'; for i in $(seq 201); do echo "  - {title: $i, voices: snair}"; done; } >many.yaml
run check many.yaml
expect_err_has 'more than 200 errors in this file; the rest are counted but not shown'
expect_err_has '201 errors'

it 'columns count characters'
printf '{title: "太鼓", exercises: [{voices: snair}]}\n' >letters.yaml
run check letters.yaml
expect_err_has 'letters.yaml:1:36: error'

it 'JSON has the shape of the manual'
run check --format json wrong.yaml good.yaml absent.yaml
expect_status 3
expect_no_err
cat >shape.py <<'END'
import json, sys
report = json.load(open(sys.argv[1]))
assert set(report) == {"format", "ratamark", "files", "diagnostics", "exercises"}, set(report)
assert report["format"] == 1
assert [f["file"] for f in report["files"]] == ["wrong.yaml", "good.yaml", "absent.yaml"]
assert [f["errors"] for f in report["files"]] == [1, 0, 1], report["files"]
for f in report["files"]:
    assert set(f) == {"file", "kind", "errors", "warnings", "notes"} and f["kind"] == "lesson"
first = [d for d in report["diagnostics"] if d["severity"] == "error"][0]
assert (first["file"], first["line"], first["column"], first["length"]) == ("wrong.yaml", 4, 13, 5), first
assert first["code"] == "unknown-voice" and first["nearest"] == "snare" and first["message"], first
last = report["diagnostics"][-1]
assert last["code"] == "unreadable" and "line" not in last, last
known = {"file", "line", "column", "length", "severity", "code", "message", "found", "expected", "nearest", "other"}
for d in report["diagnostics"]:
    assert set(d) <= known and d["severity"] in ("error", "warning", "note"), d
END
python3 shape.py "$work/.out" || fail 'another shape'

it 'JSON of a correct lesson, with and without --quiet'
run check --format json -q good.yaml
expect_status 0
python3 -c 'import json, sys; assert json.load(open(sys.argv[1]))["diagnostics"] == []' "$work/.out" || fail shape

it 'odd names and texts stay JSON'
odd=$(printf 'a"\n\\\303\234.yaml')
wrong_lesson "$odd"
printf 'title: \377\n' >"$(printf 'bad\377.yaml')"
run check --format json "$odd" "$(printf 'bad\377.yaml')"
expect_status 1
ODD=$odd python3 -c 'import json, os, sys
names = [f["file"] for f in json.load(open(sys.argv[1]))["files"]]
assert names[0] == os.environ["ODD"] and names[1] == "bad\ufffd.yaml", names' "$work/.out" || fail names

it 'SARIF 2.1.0'
run check --format sarif wrong.yaml good.yaml absent.yaml 'two words.yaml'
expect_status 3
# The properties that the standard (OASIS, SARIF 2.1.0) requires or fixes: 3.13.2 version, 3.13.4
# runs, 3.14.6 tool, 3.18.2 driver, 3.19.8 name, 3.27.5-3.27.12 rule, level and message, 3.30 region.
cat >sarif.py <<'END'
import json, sys
log = json.load(open(sys.argv[1]))
assert log["version"] == "2.1.0" and "sarif-schema-2.1.0" in log["$schema"]
(run,) = log["runs"]
rules = run["tool"]["driver"]["rules"]
assert run["tool"]["driver"]["name"] == "ratamark"
assert run["columnKind"] in ("utf16CodeUnits", "unicodeCodePoints")
assert len({r["id"] for r in rules}) == len(rules) >= 20
assert all(r["shortDescription"]["text"] for r in rules)
assert all(r["defaultConfiguration"]["level"] in ("none", "note", "warning", "error") for r in rules)
results = [r for r in run["results"] if r["level"] == "error"]
assert len(results) == 3, run["results"]
for result in run["results"]:
    assert rules[result["ruleIndex"]]["id"] == result["ruleId"]
    assert result["message"]["text"]
region = results[0]["locations"][0]["physicalLocation"]["region"]
assert region == {"startLine": 4, "startColumn": 13, "endColumn": 18}, region
uri = results[2]["locations"][0]["physicalLocation"]["artifactLocation"]["uri"]
assert uri == "two%20words.yaml", uri
END
python3 sarif.py "$work/.out" || fail 'not SARIF'

it 'every code is explained; a wrong example gives that code, a right one is clean'
run check --explain all --format json
expect_status 0
mkdir examples
python3 - "$work/.out" <<'END' || fail 'explanations'
import json, sys
lessons = json.load(open(sys.argv[1]))
assert len(lessons) >= 28
for lesson in lessons:
    assert lesson["text"].strip() and lesson["about"]
    for kind in ("wrong", "right"):
        if lesson[kind]:
            open(f"examples/{lesson['code']}.{kind}.yaml", "w").write(lesson[kind])
END
for file in examples/*.wrong.yaml; do
    code=$(basename "$file" .wrong.yaml)
    case $code in
    not-printable | page-fit) run engrave "$file" -o "$work/explained.pdf" ;;
    *) run check --verbose "$file" ;;
    esac
    expect_err_has "[$code]"
    right=examples/$code.right.yaml
    if [ -e "$right" ]; then
        run check "$right"
        expect_status 0
        expect_err_has '0 errors, 0 warnings'
    fi
done
[ "$(ls examples/*.wrong.yaml | wc -l)" -ge 20 ] || fail 'few examples'

it 'one code is explained as text'
run check --explain bar-length
expect_status 0
expect_no_err
expect_out_has 'bar-length (error): '
expect_out_has 'Wrong:'
expect_out_has 'Right:'

it 'an unknown code gets the nearest one'
run check --explain bar-lenght
expect_status 2
expect_err_has "there is no code 'bar-lenght'; did you mean 'bar-length'?"

it 'a fill that is a triplet sixteenth short is reported where the bar runs out'
cat >fill.yaml <<'END'
exercises:
  - title: The fill
    bars:
      - rhythm: 16*4 | 3(16*3) 3(16*3) | 8 8 | 3(16*3) 3(16*2)
END
run check fill.yaml
expect_status 1
expect_err_has 'fill.yaml:4:62: error: the triplet is a triplet sixteenth short'

it '--fix mends a slip that is near to only one name, and leaves everything else as it is'
cat >slips.yaml <<'END'
# Comments stay,   and so does   spacing.
titel: "Übung"    # a key
exercises:
  - title:   Slips
    sticking: R L
    subdivison: eighths
    play: {R: hihat, L: snair}   # voices
    stems: spilt
END
cp slips.yaml before.yaml
run check --fix slips.yaml
expect_status 0
expect_err_has "slips.yaml:2:1: 'titel' becomes 'title'"
expect_err_has "slips.yaml:7:25: 'snair' becomes 'snare'"
expect_err_has '0 errors, 0 warnings'
sed 's/titel/title/; s/subdivison/subdivision/; s/hihat/hi-hat/; s/snair/snare/; s/spilt/split/' before.yaml >wanted.yaml
expect_same slips.yaml wanted.yaml
run check --fix slips.yaml
expect_err_lacks becomes
expect_same slips.yaml wanted.yaml

it '--fix leaves a slip that could be either of two names, a second key, and other mistakes'
printf 'exercises:\n  - {id: wave1, sticking: R}\n  - {id: wave2, sticking: L}\n  - {sequence: wave}\n' >doubt.yaml
printf 'exercises:\n  - {sticking: R, stickng: L}\n' >second.yaml
printf 'exercises:\n  - {sticking: R, accents: 9}\n' >other.yaml
for file in doubt second other; do
    cp $file.yaml $file.before
    run check --fix $file.yaml
    expect_status 1
    expect_err_lacks becomes
    expect_same $file.yaml $file.before
done
run check --fix - <before.yaml
expect_status 1
expect_no_out

it 'SARIF has the same as fixes (3.55 to 3.57)'
run check --format sarif before.yaml doubt.yaml
expect_status 1
python3 - "$work/.out" before.yaml wanted.yaml <<'END' || fail 'fixes'
import json, sys
log, before, wanted = sys.argv[1:]
lines = open(before, encoding="utf-8").read().split("\n")
count = 0
for result in json.load(open(log))["runs"][0]["results"]:
    for fix in result.get("fixes", []):
        (change,) = fix["artifactChanges"]
        (replacement,) = change["replacements"]
        assert change["artifactLocation"]["uri"] == "before.yaml" and fix["description"]["text"]
        region = replacement["deletedRegion"]
        assert set(region) == {"startLine", "startColumn", "endColumn"}, region
        line = lines[region["startLine"] - 1]
        new = line[:region["startColumn"] - 1] + replacement["insertedContent"]["text"] + line[region["endColumn"] - 1:]
        changed = [w for w in open(wanted, encoding="utf-8").read().split("\n")][region["startLine"] - 1]
        if region["startLine"] != 7: # two slips in one line
            assert new == changed, (new, changed)
        count += 1
assert count == 5, count
END

finish
