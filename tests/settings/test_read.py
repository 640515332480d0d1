"""`stovelint.toml`: every key, and every mistake at its line and column with its remedy."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from stovelint.errors import SettingsError
from stovelint.hold import LEAST
from stovelint.schema import SETTINGS, schema_text
from stovelint.settings import NAME, Settings, no_settings, read_settings
from stovelint.settings.read import MAX_BYTES
from tests.settings.shopfloor import SHOP, told

SCHEMA = json.loads(schema_text(SETTINGS))


class Paper:
    """A shelf with one file."""

    def __init__(self, data: bytes) -> None:
        self.data = data

    def read(self, path: str) -> bytes:
        return self.data

    def base_path(self, plan: str, by: str, named: str) -> str:
        raise AssertionError("settings are based on nothing")


def read(text: str | bytes) -> Settings:
    data = text if isinstance(text, bytes) else text.encode()
    return read_settings("shop/stovelint.toml", Paper(data), NAME)


def wrong(text: str | bytes) -> list[tuple[str, str, str]]:
    with pytest.raises(SettingsError) as caught:
        read(text)
    assert caught.value.file == NAME
    return told(caught.value)


def test_every_key_is_read() -> None:
    found = read_settings(str(SHOP / NAME))
    assert found.jurisdiction == "IRC-2021" and found.hold_at == "should" and found.units == "us"
    assert found.without == ("wet-stone",) and found.rules_required is False
    assert found.materials == ("materials",) and found.rules == ("rules",)
    text = (SHOP / NAME).read_text(encoding="utf-8")
    for key in SCHEMA["properties"]:
        assert f"\n{key} = " in text, f"the example shop has no {key}"


def test_what_is_not_said_is_left_open() -> None:
    found = read("format = 1\n")
    assert (found.jurisdiction, found.hold_at, found.units) == (None, None, None)
    assert (found.without, found.materials, found.rules) == ((), (), ())
    assert not found.rules_required and not no_settings().rules_required


def test_folders_count_from_that_of_the_file() -> None:
    found = read('format = 1\nmaterials = ["own/stone"]\n')
    assert found.within(found.materials[0]) == os.path.join("shop", "own", "stone")


def test_words_are_those_of_the_options() -> None:
    """The floors keep the schema from asking the options themselves."""
    assert SCHEMA["properties"]["hold_at"]["enum"] == list(LEAST)
    assert SCHEMA["properties"]["units"]["enum"] == ["si", "us"]
    assert set(SCHEMA["properties"]) <= set(Settings.__dataclass_fields__) | {"format"}


def test_all_mistakes_at_once_each_at_its_place() -> None:
    text = """\
format = 2
juristiction = "IRC-2021"
hold_at = "dangr"
units = "metric"
without = ["wet stone", 3]
rules = "shop/rules"
rules_required = "yes"
"""
    assert wrong(text) == [
        ("stovelint.toml:1:10", "`format` `2` is not known", "write 1"),
        ("stovelint.toml:2:1", "unknown key `juristiction` in the settings",
         "did you mean `jurisdiction`?"),
        ("stovelint.toml:3:11", "`hold_at` cannot be `dangr`",
         "use one of: danger, must, breakage, should, consider; did you mean `danger`?"),
        ("stovelint.toml:4:9", "`units` cannot be `metric`", "use one of: si, us"),
        ("stovelint.toml:5:12", "`without` entry 1 cannot be `wet stone`",
         "use small letters, digits and hyphens, beginning with a letter"),
        ("stovelint.toml:5:25", "`without` entry 2 is not text", "give text"),
        ("stovelint.toml:6:9", "`rules` is not a list", "give a list"),
        ("stovelint.toml:7:18", "`rules_required` is not true or false", "give true or false"),
    ]  # fmt: skip


def test_empty_settings_lack_their_format() -> None:
    for text in ("", "# soon\n\n"):
        assert wrong(text) == [
            ("stovelint.toml:1:1", "`format` is missing in the settings", "add `format`: 1")
        ]


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("../stone", "leads out with `..`"),
        ("own/../../stone", "leads out with `..`"),
        ("/etc", "is no place below these settings"),
        ("C:/stone", "is no place below these settings"),
        ("own\\\\stone", "is written with `\\`"),
        (".", "is the whole folder"),
        ("./", "is the whole folder"),
    ],
)
@pytest.mark.parametrize("key", ["materials", "rules"])
def test_folders_stay_below(key: str, name: str, said: str) -> None:
    ((place, message, remedy),) = wrong(f'format = 1\n{key} = ["own", "{name}"]\n')
    assert place == f"stovelint.toml:2:{len(key) + 12}" and message.endswith(said) and remedy


@pytest.mark.parametrize("key", ["materials", "rules"])
def test_a_folder_without_a_name_is_told_once(key: str) -> None:
    ((_, message, _),) = wrong(f'format = 1\n{key} = [""]\n')
    assert message == f"`{key}` entry 1 is empty"


def test_a_folder_named_twice() -> None:
    ((place, message, _),) = wrong('format = 1\nrules = ["a", "a"]\n')
    assert place == "stovelint.toml:2:9" and "twice" in message


# -- hostile ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"format = 1\n#" + b"x" * MAX_BYTES, "longer than"),
        (b"\xff\xfef\x00", "UTF-16"),
        (b"format = 1\njurisdiction = '\xe9'\n", "not UTF-8"),
        (b"format = 1\njurisdiction = '\x1b[31m'\n", "cannot be seen"),
        (b"format = 1\njurisdiction = \"\\u001b[31m\"\n", "cannot"),
        (b"format = 1\nwithout = " + b"[" * 20_000, "nested"),
        (b"format = 1\nformat = 1\n", "already"),
        (b"format = 1\nmaterials = [nan]\n", ""),
        (b"format = 1\njurisdiction = 2027-06-30\n", ""),
        (b"format = 1\nunits = us\n", ""),
        (b"[[format]]\n", "format"),
        (b"\0", "cannot be seen"),
    ],
)
def test_hostile_settings_are_refused_with_a_place(data: bytes, said: str) -> None:
    found = wrong(data)
    assert found and any(said in message for _, message, _ in found), found
    for place, message, remedy in found:
        assert place.startswith("stovelint.toml:") and remedy and "\x1b" not in message


def test_a_byte_order_mark_and_other_line_ends_are_read() -> None:
    assert read(b"\xef\xbb\xbfformat = 1\r\nunits = 'us'\r\n").units == "us"


def test_what_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(SettingsError) as caught:
        read_settings(str(tmp_path / NAME), shown=NAME)
    assert told(caught.value) == [
        ("stovelint.toml:1:1", "there is no such file", "check the name and the folder")
    ]


def test_a_link_to_elsewhere_is_not_followed(tmp_path: Path) -> None:
    (tmp_path / "outside.toml").write_text("format = 1\n", encoding="utf-8")
    root = tmp_path / "root"
    root.mkdir()
    (root / NAME).symlink_to(tmp_path / "outside.toml")
    with pytest.raises(SettingsError) as caught:
        read_settings(str(root / NAME), shown=NAME)
    ((_, message, _),) = told(caught.value)
    assert "leads out" in message
