"""Valid plans in the three formats, and the snippets that are put into them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from stovelint.source import read_plan
from tests.format.plans import EXAMPLE
from tests.fuzz.writing import STYLES, as_json, as_toml, as_yaml
from tests.tree import RULES

MOST_PLANS = 12


@dataclass(frozen=True, kw_only=True, slots=True)
class Seed:
    """One valid plan in one format."""

    ending: str
    text: str
    tree: dict[str, Any]


@lru_cache(maxsize=1)
def seeds() -> tuple[Seed, ...]:
    """Small plans of the rules and the example with everything in it, each in every format."""
    files = sorted(RULES.glob("*/stands/*.heater.yaml"), key=lambda p: (p.stat().st_size, str(p)))
    found: list[Seed] = []
    for place, file in enumerate([*files[:MOST_PLANS], EXAMPLE]):
        text = file.read_text(encoding="utf-8")
        tree = read_plan(str(file)).tree
        if "based_on" in tree or "based_on" in text:
            continue
        style = STYLES[place % len(STYLES)]
        found.append(Seed(ending="yaml", text=text, tree=tree))
        found.append(Seed(ending="toml", text=as_toml(tree, style), tree=tree))
        found.append(Seed(ending="json", text=as_json(tree), tree=tree))
    return tuple(found)


@lru_cache(maxsize=1)
def base_text() -> str:
    """The plan that others are based on."""
    return seeds()[0].text


def written(tree: dict[str, Any], ending: str, style: str) -> str:
    """A tree as text of one format."""
    if ending == "toml":
        return as_toml(tree, style)
    return as_json(tree) if ending == "json" else as_yaml(tree)


NUMBERS = (
    "0", "-0", "1", "-1", "2.0", "1e3", "1E400", "-1e-400", "0.1e1", "00", "010", "0x1F", "0o17",
    "0b1", "1_000", "1__0", "+1", "+-1", ".5", "5.", "1.e1", "nan", "NaN", ".nan", "inf", "-inf",
    ".inf", "Infinity", "-Infinity", "9" * 15, "9" * 16, "9" * 400, "9" * 5000, "0." + "3" * 40,
    "1e999999999", "\u0661\u0662", "1,5", "1/0", "3/64", "12:30:45", "2027-06-30", "~",
    "2027-06-30T07:32:00Z", "07:32:00", "2027-13-40",
)  # fmt: skip
UNITS = (
    "mm", "cm", "m", "in", "ft", "'", '"', "kg", "lb", "%", "h", "min", "s", "degC", "degF", "K",
    "cm2", "m2", "in2", "cm2/m", "x", "\u2033", "\u00b2", "\u2212", "\u00d7", "\u201d", "furlong",
)  # fmt: skip
SNIPPETS = (
    # what YAML does with more than text
    "&a ", "*a", "<<: *a\n", "!!python/object:os.system ", "!t ", "%YAML 1.1\n", "---\n", "...\n",
    "? ", ": ", "- ", "| \n", ">-\n", "# ", "\t", "'", '"', "{", "}", "[", "]", ",", "@", "`", "~",
    # what TOML and JSON do with more than text
    '"""', "'''", "[a]\n", "[[a]]\n", "[parts]\n", "[[parts]]\n", "a.b.c = 1\n", "=", ".", "{}",
    "[]", "null", "true", "False", '"a": 1,', '"a": {', "// c\n", "/* c */", "\\u001b[2J",
    "\\ud800", "\\ud83d\\ude00", "\\x1b", "\\e", "\\0", "\\", "\\n", "\\r", "\\u0085", "\\u2028",
    "\\U0001F525", "\\U00110000", "\\uDFFF", "\\\n",
    # signs
    "\x1b[31m", "\x00", "\x07", "\x7f", "\x85", "\x9b", "\u2028", "\u2029", "\ufeff", "\ufffe",
    "\u202e", "\u200b", "\u00a0", "\u00ad", "\U000e0001", "\U0010ffff", "\U0001f525", "\r", "\r\n",
    "\n", "\n\n\n", " " * 50, "\u0130", "\u1e9e", "e\u0301",
    # nesting
    "[" * 45, "{a: " * 45, '{"a":' * 45, "a." * 45, "- " * 45, "[" * 3000, "x" * 3000,
    # words
    "format", "title", "parts", "chambers", "layers", "material", "thickness", "bounds", "faces",
    "based_on: x.heater.yaml\n", 'based_on = "../../x.heater.toml"\n', "__proto__", "__class__",
    "firebox", "room", "cavity", "bell", "fireclay-brick", "castable", "a" * 61, "A", "a b", "",
)  # fmt: skip
VALUES: tuple[object, ...] = (
    None, True, False, 0, 1, -1, 2.0, 2.5, 1e308, 10**14, "", " ", "\n", "\x1b[2J", "\ud83d\ude00",
    "60 mm", "4-1/2\"", "2'-6\"", "0 mm", "-1 m", "99 m", "5 %", "1 s", "block 1-99", "5-9 m",
    "1 m x 1 m", "room", "cavity", "nothing", "a" * 70, "x" * 5000, [], {}, [[]], [{}], {"": {}},
    ["firebox", "firebox"], {"a\nb": 1}, {"<<": {"a": 1}}, {"a": {"a": {"a": {"a": {"a": 1}}}}},
    [1] * 50, "x.heater.yaml",
)  # fmt: skip
