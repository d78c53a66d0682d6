"""What tidying may not change, read with a YAML library that is not ours (PyYAML).

    tidy.py same BEFORE AFTER        folders: the same data and the same comments in each file
    tidy.py shuffle FROM TO SEED SCHEMA
                                     files with the keys of their maps in another order, but for
                                     voices by count, whose order says something
    tidy.py dump FROM TO STYLE       files as PyYAML writes them: block, flow, quoted
"""
import collections
import json
import pathlib
import random
import re
import sys

import yaml


def data_of(text):
    return yaml.load(text, yaml.BaseLoader)


def comments_of(text):
    """What is outside of texts and begins with a #."""
    ends = [0]
    for token in yaml.scan(text, yaml.BaseLoader):
        if isinstance(token, yaml.ScalarToken):
            ends += [token.start_mark.index, token.end_mark.index]
    ends.append(len(text))
    outside = "\0".join(text[a:b] for a, b in zip(ends[::2], ends[1::2]))
    return collections.Counter(c.rstrip() for c in re.findall(r"#[^\n\0]*", outside))


def files_of(folder):
    return sorted(pathlib.Path(folder).rglob("*.yaml"))


def text_of(path):
    return path.read_bytes().decode("utf-8-sig").replace("\r\n", "\n")


def same(before, after):
    count = comments = 0
    for path in files_of(before):
        old, new = text_of(path), text_of(pathlib.Path(after) / path.relative_to(before))
        assert data_of(old) == data_of(new), f"{path}: other data"
        assert comments_of(old) == comments_of(new), f"{path}: other comments"
        count += 1
        comments += sum(comments_of(old).values())
    print(count, "files", comments, "comments")


# ---- other orders ----------------------------------------------------------------------------

MAPS = {"pickup", "feet", "right", "left", "play", "show", "page", "kit"}
LISTS = {"exercises", "bars"}


def maps_of(node, key=""):
    """The maps whose keys our tables have."""
    if isinstance(node, yaml.MappingNode):
        if key in MAPS | LISTS | {"", "ending"}:
            yield node
        for name, value in node.value:
            under = "ending" if key == "endings" else name.value
            yield from maps_of(value, under)
    elif isinstance(node, yaml.SequenceNode) and key in LISTS | {"ending"}:
        for item in node.value:
            yield from maps_of(item, key)


def mix(parts, names, chance, voices):
    """In another order; voices by count stay in theirs."""
    mixed = list(zip(names, parts))
    chance.shuffle(mixed)
    in_order = iter([part for part in zip(names, parts) if part[0] in voices])
    return [next(in_order)[1] if name in voices else part for name, part in mixed]


def names_of(node):
    return [key.value for key, _ in node.value]


def shuffle_flow(text, node, chance, voices):
    pairs = [text[k.start_mark.index:v.end_mark.index] for k, v in node.value]
    pairs = mix(pairs, names_of(node), chance, voices)
    first, last = node.value[0][0].start_mark.index, node.value[-1][1].end_mark.index
    return text[:first] + ", ".join(pairs) + text[last:]


def is_note(line):
    return not line.strip() or line.lstrip().startswith("#")


def shuffle_block(text, node, chance, voices):
    """Each key goes with the lines above it."""
    lines = text.split("\n")
    starts = [key.start_mark.line for key, _ in node.value]
    column = node.start_mark.column
    end = starts[-1] + 1
    while end < len(lines) and (is_note(lines[end]) or lines[end][:column + 1].strip() == ""):
        end += 1
    while is_note(lines[end - 1]):
        end -= 1
    for i in range(1, len(starts)):
        while is_note(lines[starts[i] - 1]) and starts[i] - 1 > node.value[i - 1][0].start_mark.line:
            starts[i] -= 1
    dash = lines[starts[0]][:column]
    lines[starts[0]] = " " * column + lines[starts[0]][column:]
    chunks = [lines[a:b] for a, b in zip(starts, starts[1:] + [end])]
    chunks = mix(chunks, names_of(node), chance, voices)
    if is_note(chunks[0][0]): # it would be taken for a line about the file, or the item
        return text
    mixed = [line for chunk in chunks for line in chunk]
    mixed[0] = dash + mixed[0][column:] if dash.strip() else mixed[0]
    return "\n".join(lines[:starts[0]] + mixed + lines[end:])


def shuffled(text, chance, voices):
    voices = {name for name in names_of_all(text) if name.split()[0] in voices}
    voices -= {"kick", "hat-foot"}  # these have rows in the table
    for _ in range(12):
        root = yaml.compose(text, yaml.BaseLoader)
        maps = [m for m in maps_of(root) if len(m.value) > 1]
        node = chance.choice([root] + maps)
        if not node.flow_style:
            text = shuffle_block(text, node, chance, voices)
        elif "\n" not in text[node.start_mark.index:node.end_mark.index]:
            text = shuffle_flow(text, node, chance, voices)
    return text


def names_of_all(text):
    return {token.value for token in yaml.scan(text) if isinstance(token, yaml.ScalarToken)
            if token.value.split()}


def each(source, target, change):
    for path in files_of(source):
        to = pathlib.Path(target) / path.relative_to(source)
        to.parent.mkdir(parents=True, exist_ok=True)
        to.write_text(change(text_of(path)), encoding="utf-8")


def own_voices(data):
    kit = data.get("kit", {}) if isinstance(data, dict) else {}
    return set(kit.get("voices", {})) | set(kit.get("short", {}))


def shuffle(source, target, seed, schema):
    chance = random.Random(int(seed))
    voices = set(json.loads(pathlib.Path(schema).read_text())["$defs"]["voice"]["enum"])
    voices |= {"kick", "hat-foot"}
    for path in files_of(source):
        voices |= own_voices(data_of(text_of(path)))
    each(source, target, lambda text: shuffled(text, chance, voices))


STYLES = {
    "block": dict(default_flow_style=False, indent=4, width=60),
    "flow": dict(default_flow_style=True, width=70),
    "quoted": dict(default_style='"', width=80),
}


def dump(source, target, style):
    options = dict(allow_unicode=True, sort_keys=True, **STYLES[style])
    each(source, target, lambda text: yaml.dump(data_of(text), **options))


if __name__ == "__main__":
    {"same": same, "shuffle": shuffle, "dump": dump}[sys.argv[1]](*sys.argv[2:])
