#!/usr/bin/env python3
"""Typing slips in the lessons of examples/, made by rule, and how well `check` leads back to them.

    tests/slips/slips.py RATAMARK [--count 200] [--seed 1] [--least 95] [--show failed|all|valid]

A slip is one sign dropped, one doubled, or two neighbours swapped. It is made anywhere but in
comments and in the words of titles and paragraphs, which no program can judge. The kinds take turns,
and within a kind the places are drawn by a seed, so every run makes the same slips.

The first error that `check` prints is good if both hold:

  near    it stands on the line of the slip, or on the one before or after;
  named   it says what to change. One of these:
            - the word as it was is offered ("did you mean 'sticking'?");
            - the kind of sign is named that the slip dropped or doubled or moved: a colon, a quote,
              a bracket, a dash, a space (or the indentation, at the start of a line);
            - it underlines the slip itself, or the value that holds it, and the help says what is
              expected there;
            - it names the beat that holds the slip, and underlines the `|` at the end of that beat.

Slips that leave a lesson with the same sheet and the same sound do not count. Those that leave a
valid lesson with another meaning are counted apart, and listed with --show valid: no message can
know what was meant.
"""
import argparse
import concurrent.futures
import json
import os
import pathlib
import random
import re
import shutil
import subprocess
import sys
import tempfile

SIGNS = {
    "colon": ":",
    "quote": "\"'",
    "bracket": "[]{}()",
    "dash": "-",
    "space": " ",
    "letter": "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789",
}
NAMES = {
    "colon": r"\bcolon\b|': '",
    "quote": r"\bquotes?\b",
    "bracket": r"\bbrackets?\b|\bbraces?\b|\bparenthes[ei]s\b|'[][{}()]'",
    "dash": r"\bdash(es)?\b|'- '|'-'",
    "space": r"\bspaces?\b|\bindented\b|\bcolumns?\b|\baligned\b|\bblanks?\b",
}
PROSE = re.compile(r"(\s*(?:- )?(?:title|subtitle|text|author|copyright|notes|label): )(?!\|)")


def sites(text):
    """The offsets where a slip can be made."""
    offset, block = 0, None
    for line in text.splitlines(keepends=True):
        indent = len(line) - len(line.lstrip(" "))
        if block is not None and (indent > block or not line.strip()):
            offset += len(line)
            continue
        block = indent if re.search(r": [|>]\s*$", line) else None
        end = len(line.rstrip("\n"))
        prose = PROSE.match(line)
        if prose:
            end = prose.end()
        comment = re.search(r"(^|\s)#(\s|$)", line)
        if comment:
            end = min(end, comment.start())
        for column in range(end):
            yield offset + column
        offset += len(line)


def slips_of(path, text):
    """All slips of a file, by kind: (kind, path, offset, text with the slip)."""
    kinds = {}
    for at in sites(text):
        for name, signs in SIGNS.items():
            if text[at] in signs:
                dropped = text[:at] + text[at + 1:]
                doubled = text[:at] + text[at] + text[at:]
                kinds.setdefault(f"dropped {name}", []).append((path, at, dropped))
                kinds.setdefault(f"doubled {name}", []).append((path, at, doubled))
        pair = text[at:at + 2]
        if len(pair) == 2 and pair[0] != pair[1] and "\n" not in pair:
            swapped = text[:at] + pair[::-1] + text[at + 2:]
            kinds.setdefault("swapped", []).append((path, at, swapped))
    return kinds


def word_at(text, at):
    """The word around an offset; of a swap's blank, the word after it."""
    if text[at] == " ":
        at += 1
    before = re.search(r"[^\s:,\[\]{}\"'|()*+<>]*$", text[:at]).group()
    return before + re.match(r"[^\s:,\[\]{}\"'|()*+<>]*", text[at:]).group()


class Judge:
    def __init__(self, program, folder):
        self.program, self.folder = program, folder
        self.usual = {}

    def run(self, *arguments):
        return subprocess.run([self.program, *arguments], capture_output=True, timeout=60)

    def outputs(self, path):
        sheet = self.run("engrave", "-q", path, "--as", "svg", "-o", "-")
        sound = self.run("sound", "-q", path, "--as", "mid", "-o", "-")
        text = self.run("engrave", "-q", path, "--as", "text", "-o", "-")
        return sheet.returncode, sheet.stdout, sound.returncode, sound.stdout, text.stdout

    def judge(self, slip):
        kind, name, at, text, wrong = slip
        place = pathlib.Path(tempfile.mkdtemp(dir=self.folder))
        shutil.copy(self.folder / "course.yaml", place)
        path = place / name
        path.write_text(wrong)
        report = self.run("check", "--format", "json", path)
        result = {"kind": kind, "file": name, "line": text.count("\n", 0, at) + 1}
        start = text.rfind("\n", 0, at) + 1
        result["column"] = at - start + 1
        if report.returncode == 0:
            same = name in self.usual and self.usual[name] == self.outputs(path)
            result["verdict"] = "same" if same else "valid"
        else:
            errors = [d for d in json.loads(report.stdout)["diagnostics"]
                      if d["severity"] == "error"]
            result["error"] = errors[0]
            result["verdict"] = self.verdict(slip, result, errors[0], place)
        line_of = lambda t: t[start:].split("\n")[0]
        result["was"], result["is"] = line_of(text), line_of(wrong)
        shutil.rmtree(place)
        return result

    def verdict(self, slip, result, error, place):
        kind, name, at, text, wrong = slip
        if pathlib.Path(error["file"]).name != name or "line" not in error:
            return "far"
        if abs(error["line"] - result["line"]) > 1:
            return "far"
        help_text = " ".join(str(error.get(k, "")) for k in ("expected", "nearest", "help"))
        said = error["message"] + " " + help_text
        word = word_at(text, at)
        if len(word) > 1 and re.search(r"(?<![\w-])" + re.escape(word) + r"(?![\w-])", help_text):
            return "good"
        signs = [kind.split()[1]] if kind != "swapped" else [
            sign for sign in NAMES if set(text[at:at + 2]) & set(SIGNS[sign])]
        if any(re.search(NAMES[sign], said) for sign in signs if sign in NAMES):
            return "good"
        first, last = error["column"], error["column"] + error["length"] - 1
        on_it = error["line"] == result["line"] and first - 1 <= result["column"] <= last + 1
        if on_it and help_text.strip():
            return "good"
        line = wrong.split("\n")[error["line"] - 1]
        between = line[result["column"]:error["column"] - 1]
        if error["code"] == "beat-length" and error["line"] == result["line"] and (
                result["column"] < first and "|" not in between):
            return "good"
        return "unnamed"


def draw(files, count, seed):
    """Slips of all kinds in turn, without end: the caller takes as many as it needs."""
    kinds = {}
    for path in files:
        text = path.read_text()
        for kind, slips in slips_of(path.name, text).items():
            kinds.setdefault(kind, []).extend((kind, p, at, text, wrong) for p, at, wrong in slips)
    chance = random.Random(seed)
    for slips in kinds.values():
        chance.shuffle(slips)
    order = sorted(kinds)
    while any(kinds.values()):
        for kind in order:
            if kinds[kind]:
                yield kinds[kind].pop()


def show(result, why):
    error = result.get("error")
    print(f"{why}: {result['kind']} in {result['file']}:{result['line']}:{result['column']}")
    print(f"    was: {result['was']}\n    is:  {result['is']}")
    if error:
        print(f"    {error.get('line')}:{error.get('column')}+{error.get('length')}: "
              f"{error['message']} [{error['code']}]")
        for key in ("expected", "nearest"):
            if key in error:
                print(f"      {key}: {error[key]}")


def main():
    options = argparse.ArgumentParser()
    options.add_argument("program")
    options.add_argument("--count", type=int, default=200)
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--least", type=float, default=95)
    options.add_argument("--show", choices=["failed", "all", "valid"], default="failed")
    options = options.parse_args()
    examples = pathlib.Path(__file__).resolve().parents[2] / "examples"
    files = sorted(examples.glob("*.yaml"))
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        for path in files:
            shutil.copy(path, folder)
        judge = Judge(os.path.abspath(options.program), folder)
        for path in files:
            if path.name != "course.yaml":
                judge.usual[path.name] = judge.outputs(folder / path.name)
        counts = {"good": 0, "far": 0, "unnamed": 0, "same": 0, "valid": 0}
        slips = draw(files, options.count, options.seed)
        with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
            counted = 0
            while counted < options.count:
                batch = [s for s, _ in zip(slips, range(min(60, options.count - counted)))]
                if not batch:
                    break
                for result in pool.map(judge.judge, batch):
                    verdict = result["verdict"]
                    counts[verdict] += 1
                    counted += verdict not in ("same", "valid")
                    failed = verdict in ("far", "unnamed")
                    if options.show == "all" or (options.show == "failed" and failed) or (
                            options.show == "valid" and verdict == "valid"):
                        show(result, verdict)
    share = 100 * counts["good"] / max(counted, 1)
    print(f"{counted} slips with a message: {share:.1f} % of the first messages stand within a line "
          f"and name what to change ({counts['far']} too far, {counts['unnamed']} name nothing)")
    print(f"beside them {counts['valid']} that leave a valid lesson with another meaning, "
          f"{counts['same']} with the same")
    return share < options.least or counted < options.count


if __name__ == "__main__":
    sys.exit(main())
