"""Seconds until the worst files of 1 MiB are refused, in every format.

    python -m tests.benchmarks.worst_files [--format yaml] [--only WORD]

A file is read, held against the schema, assembled, its materials and rules are looked up, and its
mistakes are put in words, as `stovelint review` does it; nothing may take longer than 5 s.
"""

from __future__ import annotations

import argparse
import time
from typing import Callable, Iterator

from tests.fuzz.target import ends
from tests.fuzz.writing import as_json, as_toml, as_yaml

MOST = 1024 * 1024
HEAD = {"format": 1, "title": "Kiln Cottage"}
Tree = dict[str, object]
WRITERS: dict[str, Callable[[Tree], str]] = {
    "yaml": lambda tree: as_yaml(tree), "json": lambda tree: as_json(tree),
    "toml": lambda tree: as_toml(tree),
}  # fmt: skip


def filled(
    piece: Callable[[int], str], before: str = "", between: str = "", after: str = ""
) -> str:
    """As many pieces as go into one file."""
    pieces: list[str] = []
    left = MOST - len(before.encode()) - len(after.encode())
    number = 0
    while True:
        one = piece(number)
        left -= len(one.encode()) + len(between)
        if left < 0:
            return before + between.join(pieces) + after
        pieces.append(one)
        number += 1


def trees() -> Iterator[tuple[str, Tree]]:
    """What every format can say; `fitting` cuts what would be more than 1 MiB in one of them."""
    layer = {"material": "fireclay-brik", "thickness": "114 m"}
    part = {"kind": "wal", "bounds": "firebocks", "faces": "rom", "layers": [layer] * 30}
    yield "parts of bad layers", {**HEAD, "parts": {f"p{n}": part for n in range(560)}}
    yield "200 parts of bad layers", {
        **HEAD, "parts": {f"p{n}": {**part, "kind": "wall"} for n in range(200)}
    }
    chambers = {f"c{n}": {"kind": "bell", "leads_to": f"d{n}"} for n in range(60)}
    near: list[object] = [
        {"material": f"fireclay-bric{n}", "thickness": "60 mm"} for n in range(30)
    ]
    yield "only wrong names", {
        **HEAD, "chambers": chambers, "firing": {"wood": "softwood"},
        "parts": {f"p{n}": {"kind": "wall", "bounds": [f"e{n}{m}" for m in range(50)],
                            "faces": "room", "layers": near} for n in range(190)},
    }  # fmt: skip
    long = "castable-dense-fireclay-granite-soapstone-insulating-board"
    yield "long names of materials", {
        **HEAD, "parts": {f"p{n}": {"kind": "wall", "bounds": "a", "faces": "room", "layers": [
            {"material": f"{long[n % 20:]}{n}-{m}", "thickness": "60 mm"} for m in range(30)
        ]} for n in range(200)},
    }  # fmt: skip
    yield "names of 60 signs", {
        **HEAD, "chambers": {"abcde-" * 9 + f"x{n}": {"kind": "bell", "leads_to": {
            "abcde-" * 9 + f"y{n}-{m}": {} for m in range(30)}} for n in range(250)},
    }  # fmt: skip
    yield "empty parts", {**HEAD, "parts": {f"p{n}": {} for n in range(40_000)}}
    yield "unknown keys", {**HEAD, **{f"titel{n}": 1 for n in range(40_000)}}
    yield "unknown keys in layers", {
        **HEAD, "parts": {f"p{n}": {"layers": [
            {f"thicknes{k}": 1 for k in range(290)} for _ in range(10)]} for n in range(8)},
    }  # fmt: skip
    yield "variances", {**HEAD, "variances": {f"v{n}": {
        "rule": f"combustible-clearanc{n}", "part": f"q{n}"} for n in range(5000)}}
    yield "one long list", {**HEAD, "parts": [1] * 200_000}
    yield "one list of lists", {**HEAD, "parts": {"a": {"bounds": [[], {}, None, "a"] * 25_000}}}
    yield "one long text", {**HEAD, "notes": "x" * 1_000_000}
    yield "one long quantity", {**HEAD, "site": {"room": "4 1/2 " * 160_000}}
    yield "one long length", {**HEAD, "site": {"altitude": "1" * 1_000_000}}
    yield "one long name", {**HEAD, "chambers": {"a-" * 250_000: {}}}
    yield "deep records", {**HEAD, "site": _nested(39)}


def fitting(tree: Tree, write: Callable[[Tree], str]) -> str:
    """The tree as text, with the last of its parts left out until it goes into one file."""
    text = write(tree)
    while len(text.encode()) > MOST:
        inner = next(node for node in reversed(tree.values()) if isinstance(node, (dict, list)))
        kept = max(1, int(0.95 * len(inner)))
        cut = dict(list(inner.items())[:kept]) if isinstance(inner, dict) else inner[:kept]
        assert len(cut) < len(inner), "no part is small enough"
        name = next(key for key, node in tree.items() if node is inner)
        tree = {**tree, name: cut}
        text = write(tree)
    return text


def _nested(depth: int) -> object:
    inner: object = "x"
    for _ in range(depth - 2):
        inner = {"a": inner, "b": [inner] if depth < 12 else 1}
    return inner


def texts(ending: str) -> Iterator[tuple[str, str]]:
    """What only one format can say, or says in a way of its own."""
    if ending == "yaml":
        yield "flow brackets", "a: " + "[" * (MOST - 10)
        yield "flow records", "a: " + "{a: " * (MOST // 4 - 10)
        yield "block lists", "- " * (MOST // 2)
        yield "block records", filled(lambda n: " " * n + "a:\n")
        yield "anchors", filled(lambda n: f"- &a{n} 1\n", "a:\n")
        yield "aliases", filled(lambda n: f"- *a{n}\n", "a:\n")
        yield "tags", filled(lambda n: "- !t x\n", "a:\n")
        yield "odd numbers", filled(lambda n: "- 010\n", "a:\n")
        yield "keys that are no words", filled(lambda n: f"{n}: 1\n")
        yield "one key again", filled(lambda n: "a: 1\n")
        yield "merges", filled(lambda n: "<<: 1\n")
        yield "questions", filled(lambda n: "? a\n")
        yield "quotes", "a: " + "'" * (MOST - 10)
        yield "escapes", 'a: "' + "\\t" * (MOST // 2 - 10) + '"'
        yield "a long plain text", "a: " + "x " * (MOST // 2 - 10)
        yield "a folded text", "a: >\n" + " x\n" * (MOST // 3 - 10)
        yield "comments", "# c\n" * (MOST // 4)
        yield "colons", "a" + ": a" * (MOST // 3 - 10)
        yield "directives", "%YAML 1.2\n" * (MOST // 10)
        yield "documents", "---\n" * (MOST // 4)
        yield "flow keys", "a: [" + "a: b, " * (MOST // 6 - 10) + "]"
        yield "one anchor", "a: &" + "x" * (MOST - 10) + " 1"
    elif ending == "json":
        yield "brackets", "[" * MOST
        yield "records", '{"a":' * (MOST // 5)
        yield "one key again", filled(lambda n: '"a":1', "{", ",", "}")
        yield "no numbers", filled(lambda n: "NaN", '{"a":[', ",", "]}")
        yield "escapes", '{"a":"' + "\\t" * (MOST // 2 - 10) + '"}'
        yield "unseen signs", filled(lambda n: '"\\u001b"', '{"a":[', ",", "]}")
        yield "lone surrogates", '{"a":"' + "\\ud800" * (MOST // 6 - 10) + '"}'
        yield "one open text", '{"a":"' + "x" * (MOST - 10)
        yield "one long number", '{"a":' + "1" * (MOST - 10) + "}"
        yield "one long word", '{"a":' + "x" * (MOST - 10) + "}"
        yield "blanks", "{" + " \n" * (MOST // 2 - 10) + "}"
        yield "quotes", '{"a": ' + '"' * (MOST - 10)
        yield "commas", '{"a": [' + "," * (MOST - 10)
        yield "tabs in texts", '{"a":"' + "\t" * (MOST - 10) + '"}'
        yield "comments", "// c\n" * (MOST // 5)
    else:
        yield "brackets", "a = " + "[" * (MOST - 10)
        yield "braces", "a = " + "{a=" * (MOST // 3 - 10)
        yield "dotted keys", filled(lambda n: ".".join("a" * 60) + f"{n} = 1\n")
        yield "one dotted key", "a." * (MOST // 2 - 10) + "a = 1"
        yield "one dotted header", "[" + "a." * (MOST // 2 - 10) + "a]"
        yield "headers", filled(lambda n: f"[a{n}]\n")
        yield "deep headers", filled(lambda n: "[" + "a." * 37 + f"b{n}]\n")
        yield "headers of lists", filled(lambda n: "[[a]]\n")
        yield "deep headers of lists", filled(lambda n: "[[a]]\n[[a.b]]\n[[a.b.c]]\n")
        yield "one header again", filled(lambda n: "[a]\n")
        yield "one key again", filled(lambda n: "a=1\n")
        yield "broken lines", filled(lambda n: "a b\n")
        yield "open texts", filled(lambda n: 'a="x\n')
        yield "open long texts", filled(lambda n: f'a{n}="""\\""" x\n')
        yield "other numbers", filled(lambda n: f"a{n}=0x1F\n")
        yield "days", filled(lambda n: f"a{n}=2027-06-30\n")
        yield "escapes", 'a="' + "\\t" * (MOST // 2 - 10) + '"'
        yield "long escapes", 'a="""' + "\\\n" * (MOST // 2 - 10) + '"""'
        yield "one open text", 'a="' + "x" * (MOST - 10)
        yield "quotes", "a=" + '"' * (MOST - 10)
        yield "apostrophes", "a=" + "'" * (MOST - 10)
        yield "one long number", "a=" + "1" * (MOST - 10)
        yield "one long word", "a=" + "x" * (MOST - 10)
        yield "one long key", "a" * (MOST - 10) + "=1"
        yield "comments", "# c\n" * (MOST // 4)
        yield "comments in a list", "a=[" + "# c\n" * (MOST // 4 - 10) + "]"
        yield "commas", "a=[" + "1," * (MOST // 2 - 10) + ",]"
        yield "inline keys", filled(lambda n: f"k{n}.a=1", "a={", ",", "}")


def cases(ending: str) -> Iterator[tuple[str, str]]:
    """Every worst text of one format, with its name."""
    for name, tree in trees():
        yield name, fitting(tree, WRITERS[ending])
    yield from texts(ending)
    yield "unseen signs of the file", "\x07" * MOST
    yield "lone returns", "a\r" * (MOST // 2)
    yield "one line", "x" * MOST


def main() -> int:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--format", choices=("yaml", "toml", "json"), action="append")
    parser.add_argument("--only", default="")
    parser.add_argument("--seconds", type=float, default=5.0)
    asked = parser.parse_args()
    slow = 0
    for ending in asked.format or ("yaml", "toml", "json"):
        for name, text in cases(ending):
            if asked.only not in name:
                continue
            data = text.encode("utf-8")[:MOST]
            begun = time.process_time()
            ending_of = ends(data, f"worst.heater.{ending}")
            took = time.process_time() - begun
            slow += took > asked.seconds
            mark = "  too slow" if took > asked.seconds else ""
            print(f"{took:6.2f} s  {ending}  {name}: {ending_of.said}{mark}", flush=True)
            for fault in ending_of.faults:
                slow += 1
                print(f"          {fault[:200]}")
    print(f"{slow} at fault")
    return int(slow > 0)


if __name__ == "__main__":
    raise SystemExit(main())
