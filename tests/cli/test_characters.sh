#!/bin/sh
# What `check` accepts, every format draws: all characters of Unicode's first plane and the ends of
# the others, as titles. Which codes are no characters: The Unicode Standard 15.0, 23.7.
. tests/cli/lib.sh

mkdir "$work/lessons"
python3 - "$work/lessons" <<'END'
import sys

MOST = 3900  # in a title

def refused(code):
    control = code < 0xA0 or code in (0x2028, 0x2029, 0xFEFF)
    surrogate = 0xD800 <= code <= 0xDFFF
    return control or surrogate or is_none(code)

def is_none(code):
    return code & 0xFFFE == 0xFFFE or 0xFDD0 <= code <= 0xFDEF

def write(name, title):
    with open(f"{sys.argv[1]}/{name}.yaml", "w", encoding="utf-8", errors="surrogatepass") as file:
        file.write(f'title: "{title}"\nexercises:\n  - {{subdivision: eighths, sticking: RLRR LRLL}}\n')

codes = [code for code in range(0x110000)
         if not refused(code) and (code < 0x10000 or not 0x80 <= code % 0x10000 <= 0xFF80)]
assert len(codes) > 65000
for i in range(0, len(codes), MOST):
    write(f"good-{i // MOST}", "x" + "".join(map(chr, codes[i:i + MOST])))
none = [code for code in range(0x110000) if is_none(code)]
assert len(none) == 66  # 23.7: "66 noncharacters"
for code in none:
    write(f"none-{code:06x}", f"a{chr(code)}b")
    write(f"escape-{code:06x}", f"a\\U{code:08X}b")
END

it 'draws every character that it accepts, in every format'
for lesson in "$work"/lessons/good-*.yaml; do
    run check "$lesson"
    expect_status 0
    for format in pdf svg png html txt mid; do
        command=engrave
        [ $format = mid ] && command=sound
        run $command "$lesson" -o "$work/page.$format"
        expect_status 0
        expect_file "$work/page.$format"
        rm -f "$work/page.$format"
    done
done

it 'refuses each code that is not a character, written or as an escape'
for lesson in "$work"/lessons/none-*.yaml "$work"/lessons/escape-*.yaml; do
    run check "$lesson"
    expect_status 1
    expect_err_has 'a code that is not a character'
done

finish
