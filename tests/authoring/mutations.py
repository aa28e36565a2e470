"""Ways to spoil a file of knowledge: bytes, words, structure, and what lies in the folder.

Each takes the bytes of one file, all files of its folder and a source of chance, and returns the
spoilt bytes. The same chance spoils alike: a seed is enough to see a fault again.
"""

import random
import re
from collections.abc import Callable, Mapping
from copy import deepcopy
from typing import Any

import yaml

Files = Mapping[str, bytes]
Mutation = Callable[[bytes, Files, random.Random], bytes]

PIECES = tuple(
    piece.encode("utf-8", "surrogatepass")
    for piece in (
        "", "[", "]", "{", "}", ": ", "- ", "? ", ", ", "#", "|\n", ">-\n", "&a ", "*a", "<<: *a\n",
        "!!int ", "!x ", "!!python/object:os.system ", "%YAML 1.1\n", "---\n", "...\n", "\t", "'",
        '"', "\\", "null", "~", "true", "yes", "on", "\n", "\r\n", "\r", "  ", "\x00", "\x1b[31m",
        "\x7f", "\x85", "\u2028", "\u2029", "\u00a0", "\u202e", "\u200b", "\ufeff", "\ufffe",
        "\ud800", "e\u0301", "\u2603", "\U0001f6b0", "\u0130", "x" * 2000, " " * 500, "\n" * 300,
    )
)  # fmt: skip
NUMBERS = (
    "0", "-0", "-1", "1e999", "-1e999", "1e-400", ".nan", "-.inf", "0x1F", "0o17", "010", "1_000",
    "9" * 400, "0." + "0" * 400 + "1", "1e308", "0xFFFFFFFFFFFFFFFFFFFFFFFF", "1.", ".5", "+3",
    "1,5", "\u0663", "\u00bd", "12:30", "2026-01-01", "99999999999999999999", "4e-324", "1.0000001",
)  # fmt: skip
VALUES: tuple[Any, ...] = (
    None, True, False, "", " ", "yes", "no", [], {}, [[]], [None], [{}], {"": None}, {"from": 3},
    {"is": 0.5}, {"is": {"is": 1}}, {"is": "often", "from": []}, ["a", "a"], 0, -1, 10**400, 0.5,
    float("nan"), float("inf"), "x" * 3000, "a: b", "cannot", "Enter the cistern.", "\u202e",
    "often",
    {"yes": "no"}, {"strength": "often", "when": {"x": []}}, [{"strength": []}], {"from": "nobody"},
)  # fmt: skip
_WORD = re.compile(rb"[A-Za-z0-9][A-Za-z0-9.-]*")
_NUMBER = re.compile(rb"(?<![\w.-])\d+(\.\d+)?(?![\w.-])")
_DEEPER = 60


def _somewhere(data: bytes, chance: random.Random, widest: int = 60) -> tuple[int, int]:
    start = chance.randrange(len(data) + 1)
    return start, min(len(data), start + chance.choice((0, 1, 3, 10, widest)))


def piece_put_in(data: bytes, _files: Files, chance: random.Random) -> bytes:
    """Put an odd piece in the place of a few bytes."""
    start, end = _somewhere(data, chance)
    return data[:start] + chance.choice(PIECES) + data[end:]


def bytes_flipped(data: bytes, _files: Files, chance: random.Random) -> bytes:
    """Change single bits."""
    spoilt = bytearray(data or b"?")
    for _ in range(chance.randint(1, 6)):
        spoilt[chance.randrange(len(spoilt))] ^= 1 << chance.randrange(8)
    return bytes(spoilt)


def cut_off(data: bytes, _files: Files, chance: random.Random) -> bytes:
    """End the file early, or begin it late."""
    place = chance.randrange(len(data) + 1)
    return data[:place] if chance.random() < 0.8 else data[place:]


def written_otherwise(data: bytes, _files: Files, chance: random.Random) -> bytes:
    """Write the lines and letters as another editor would."""
    text = data.decode("utf-8", "replace")
    ways: tuple[Callable[[], bytes], ...] = (
        lambda: data.replace(b"\n", b"\r\n"),
        lambda: data.replace(b"\n", b"\r"),
        lambda: b"\xef\xbb\xbf" * chance.randint(1, 2) + data,
        lambda: text.encode(chance.choice(("utf-16", "utf-16-le", "utf-32"))),
        lambda: text.replace("a", "\u00e4").encode("latin-1", "replace"),
        lambda: data.replace(b"  ", b"\t"),
        lambda: text.replace("\n", chance.choice(("\x85", "\u2028", "\n\n", " \n"))).encode(),
        lambda: text.upper().encode(),
    )
    return chance.choice(ways)()


def words_swapped(data: bytes, files: Files, chance: random.Random) -> bytes:
    """Put words of this or another file in the place of words."""
    words = [found.span() for found in _WORD.finditer(data)]
    others = _WORD.findall(files[chance.choice(sorted(files))])
    for start, end in sorted(chance.sample(words, min(len(words), 3)), reverse=True):
        new = chance.choice((*others, b"")) if others else b""
        data = data[:start] + new + data[end:]
    return data


def number_changed(data: bytes, _files: Files, chance: random.Random) -> bytes:
    """Put an odd number in the place of one."""
    found = list(_NUMBER.finditer(data))
    if not found:
        return data + b"\n" + chance.choice(NUMBERS).encode()
    start, end = chance.choice(found).span()
    return data[:start] + chance.choice(NUMBERS).encode() + data[end:]


def lines_moved(data: bytes, _files: Files, chance: random.Random) -> bytes:
    """Move, repeat, indent or lose lines."""
    lines = data.split(b"\n")
    for _ in range(chance.randint(1, 3)):
        place, other = chance.randrange(len(lines)), chance.randrange(len(lines))
        changed = (
            lines[other],
            b" " * chance.randint(0, 12) + lines[place].lstrip(),
            lines[place] + b"\n" + lines[place],
            lines[place].partition(b":")[0] + b": " + lines[other].strip(),
            b"",
        )
        lines[place] = chance.choice(changed)
    return b"\n".join(lines)


def section_repeated(data: bytes, files: Files, chance: random.Random) -> bytes:
    """Write a section of this or another file a second time."""
    source = data if chance.random() < 0.6 else files[chance.choice(sorted(files))]
    sections = re.split(rb"\n(?=\S)", source)
    return data + b"\n" + chance.choice(sections) + b"\n"


def nested_deeply(data: bytes, _files: Files, chance: random.Random) -> bytes:
    """Put many levels inside each other, now and then very many."""
    depth = chance.choice((8, 39, 41, _DEEPER, 5000))
    opened, closed = chance.choice(((b"[", b"]"), (b"{a: ", b"}"), (b"- ", b""), (b"? ", b"")))
    start, end = _somewhere(data, chance)
    return data[:start] + opened * depth + b"x" + closed * depth + data[end:]


def names_and_tags(data: bytes, _files: Files, chance: random.Random) -> bytes:
    """Put anchors, aliases and tags in, one naming the other over and over as well."""
    if chance.random() < 0.1:
        bomb = b"a0: &a0 [x, x]\n" + b"".join(
            b"a%d: &a%d [%s]\n" % (n, n, b", ".join([b"*a%d" % (n - 1)] * 9)) for n in range(1, 9)
        )
        return bomb + data
    found = list(re.finditer(rb": ", data))
    place = chance.choice(found).end() if found else 0
    sign = chance.choice((b"&x ", b"*x ", b"!!str ", b"!<tag:x> ", b"!!binary ", b"&x !!map "))
    return data[:place] + sign + data[place:]


def structure_changed(data: bytes, files: Files, chance: random.Random) -> bytes:
    """Change values, keys and entries of what the file says, and write it anew."""
    tree, other = _tree(data), _tree(files[chance.choice(sorted(files))])
    holder = [tree]
    for _ in range(chance.randint(1, 3)):
        _change(holder, _places(other), chance)
    return yaml.dump(
        holder[0],
        Dumper=yaml.CSafeDumper,
        sort_keys=chance.random() < 0.2,
        default_flow_style=chance.choice((None, False, True)),
        allow_unicode=True,
        width=chance.choice((20, 100, 5000)),
    ).encode("utf-8", "surrogatepass")


def _tree(data: bytes) -> Any:
    try:
        return yaml.CBaseLoader(data).get_single_data()  # texts only
    except (yaml.YAMLError, UnicodeError, ValueError):
        return {"part": "x"}


def _places(tree: Any) -> list[tuple[Any, Any]]:
    """Return every holder in a tree with the key or index of what it holds, each holder once."""
    found: list[tuple[Any, Any]] = []
    waiting, seen = [tree], set[int]()
    while waiting:
        holder = waiting.pop()
        if id(holder) in seen or not isinstance(holder, dict | list):
            continue
        seen.add(id(holder))
        keys = list(holder) if isinstance(holder, dict) else range(len(holder))
        found += [(holder, key) for key in keys]
        waiting += [holder[key] for key in keys]
    return found


def _change(top: list[Any], others: list[tuple[Any, Any]], chance: random.Random) -> None:
    places = _places(top)
    holder, key = chance.choice(places)
    what = chance.random()
    if what < 0.4:
        holder[key] = deepcopy(chance.choice(VALUES))
    elif what < 0.55 and others:
        source, name = chance.choice(others)
        holder[key] = deepcopy(source[name])
    elif what < 0.7:
        other, name = chance.choice(places)
        holder[key], other[name] = deepcopy(other[name]), deepcopy(holder[key])
    elif holder is not top and what < 0.85:
        del holder[key]
    elif isinstance(holder, dict):
        named = chance.choice(others)[1] if others else "x"
        holder[str(named)] = holder.pop(key)
    else:
        holder.append(deepcopy(holder[key]))


MUTATIONS: tuple[Mutation, ...] = (
    piece_put_in, bytes_flipped, cut_off, written_otherwise, words_swapped, number_changed,
    lines_moved, section_repeated, nested_deeply, names_and_tags, structure_changed,
    structure_changed, words_swapped,
)  # fmt: skip
"""All of them; those that leave the file readable stand twice, for they come further in."""
