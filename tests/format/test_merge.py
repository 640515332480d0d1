"""JSON Merge Patch against the cases of its standard and against the procedure printed there."""

from __future__ import annotations

import copy
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stovelint.source.merge import idle, merge

# RFC 7396, appendix A: original, patch, result.
CASES: list[tuple[Any, Any, Any]] = [
    ({"a": "b"}, {"a": "c"}, {"a": "c"}),
    ({"a": "b"}, {"b": "c"}, {"a": "b", "b": "c"}),
    ({"a": "b"}, {"a": None}, {}),
    ({"a": "b", "b": "c"}, {"a": None}, {"b": "c"}),
    ({"a": ["b"]}, {"a": "c"}, {"a": "c"}),
    ({"a": "c"}, {"a": ["b"]}, {"a": ["b"]}),
    ({"a": {"b": "c"}}, {"a": {"b": "d", "c": None}}, {"a": {"b": "d"}}),
    ({"a": [{"b": "c"}]}, {"a": [1]}, {"a": [1]}),
    (["a", "b"], ["c", "d"], ["c", "d"]),
    ({"a": "b"}, ["c"], ["c"]),
    ({"a": "foo"}, None, None),
    ({"a": "foo"}, "bar", "bar"),
    ({"e": None}, {"a": 1}, {"e": None, "a": 1}),
    ([1, 2], {"a": "b", "c": None}, {"a": "b"}),
    ({}, {"a": {"bb": {"ccc": None}}}, {"a": {"bb": {}}}),
]
NAMES = st.sampled_from(["a", "b", "cap", "layers"])
TREES = st.recursive(
    st.none() | st.booleans() | st.integers(0, 3) | st.sampled_from(["x", "y"]),
    lambda inner: st.lists(inner, max_size=2) | st.dictionaries(NAMES, inner, max_size=4),
    max_leaves=12,
)


@pytest.mark.parametrize(("original", "patch", "result"), CASES)
def test_every_case_of_the_standard(original: Any, patch: Any, result: Any) -> None:
    assert merge(original, patch) == result


def by_the_book(target: Any, patch: Any) -> Any:
    """The pseudo code of RFC 7396, section 2, line by line."""
    if isinstance(patch, dict):
        if not isinstance(target, dict):
            target = {}
        target = copy.deepcopy(target)
        for name, value in patch.items():
            if value is None:
                if name in target:
                    del target[name]
            else:
                target[name] = by_the_book(target.get(name), value)
        return target
    return patch


@given(TREES, TREES)
def test_it_does_what_the_procedure_does_and_changes_neither(target: Any, patch: Any) -> None:
    before = copy.deepcopy((target, patch))
    merged = merge(target, patch)
    assert merged == by_the_book(target, patch)
    assert (target, patch) == before
    assert merge(target, {}) == (target if isinstance(target, dict) else {})


@given(TREES, TREES)
def test_an_idle_null_can_be_left_out_and_no_other(target: Any, patch: Any) -> None:
    """The referee strikes the `null`s out of the patch and merges again."""
    found = {path for path, _ in idle(target, patch)}
    for path in nulls(patch):
        same = merge(target, without(patch, path)) == merge(target, patch)
        assert same == (path in found), path
    assert found <= set(nulls(patch))


def nulls(node: Any, path: tuple[str, ...] = ()) -> list[tuple[str, ...]]:
    """Of maps only: a list of the patch is taken whole, with what is in it."""
    if node is None and path:
        return [path]
    if not isinstance(node, dict):
        return []
    return [found for key, value in node.items() for found in nulls(value, (*path, key))]


def without(tree: Any, path: tuple[str, ...]) -> Any:
    changed = copy.deepcopy(tree)
    here = changed
    for step in path[:-1]:
        here = here[step]
    del here[path[-1]]
    return changed


def test_deep_trees_need_no_stack() -> None:
    patch: Any = {"end": 1}
    for _ in range(5000):
        patch = {"a": patch}
    merged = merge(merge({}, patch), patch)
    for _ in range(5000):
        merged = merged["a"]
    assert merged == {"end": 1} and not list(idle(patch, patch))
