"""File names as URIs: every byte survives, and what is inside the repository is counted from it."""

from __future__ import annotations

import os
from urllib.parse import unquote_to_bytes, urljoin, urlsplit

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stovelint.report.told import Told
from stovelint.report.uris import reference, rooted_path, told_path, told_reference

NAMES = st.binary(min_size=1, max_size=12).filter(
    lambda name: b"/" not in name and b"\0" not in name and name not in (b".", b"..")
)


@settings(max_examples=150, deadline=None)
@given(st.lists(NAMES, min_size=1, max_size=4))
def test_every_byte_of_a_name_comes_back(steps: list[bytes]) -> None:
    name = os.fsdecode(b"/".join(steps))
    found = reference(name, prefix="plans/")
    assert unquote_to_bytes(found.uri) == b"plans/" + b"/".join(steps)
    assert found.uri.isascii() and found.rooted
    parts = urlsplit(found.uri)
    assert (parts.scheme, parts.netloc, parts.query, parts.fragment) == ("", "", "", "")


@pytest.mark.parametrize(
    "name, uri",
    [
        ("a:b.heater.yaml", "a%3Ab.heater.yaml"),  # else `a` would be a scheme
        ("no#1?.heater.yaml", "no%231%3F.heater.yaml"),
        ("two\nlines[1].heater.yaml", "two%0Alines%5B1%5D.heater.yaml"),
        ("Stra\xdfe/\U0001f525.heater.yaml", "Stra%C3%9Fe/%F0%9F%94%A5.heater.yaml"),
        ("Upper/CASE.heater.yaml", "Upper/CASE.heater.yaml"),
        ("a//b/./c/../d.heater.yaml", "a/b/d.heater.yaml"),
        ("\ud800.heater.yaml", "%ED%A0%80.heater.yaml"),
    ],
)
def test_names_that_are_no_uri_by_themselves(name: str, uri: str) -> None:
    assert reference(name).uri == uri


def test_a_path_is_counted_from_the_root_of_the_repository() -> None:
    told = Told(answers=(), book=(), asked=(), left_out=(), prefix="a/b/", root="/home/repo")
    assert told_reference(told, "kiln.heater.yaml").uri == "a/b/kiln.heater.yaml"
    assert told_path(told, "../sp ace.heater.yaml") == "a/sp ace.heater.yaml"
    assert told_reference(told, "/home/repo/x/../y.heater.yaml").uri == "y.heater.yaml"
    assert told_path(told, "/home/repository/y") == "/home/repository/y"
    away = told_reference(told, "/srv/a b.heater.yaml")
    assert (away.uri, away.rooted) == ("file:///srv/a%20b.heater.yaml", False)


def test_what_leaves_the_root_is_not_invented() -> None:
    assert rooted_path("../../../far/k.heater.yaml", prefix="a/b/") == "../far/k.heater.yaml"
    assert rooted_path("/../x") == "/x"
    joined = urljoin("file:///home/repo/", reference("../k", prefix="").uri)
    assert joined == "file:///home/k"
