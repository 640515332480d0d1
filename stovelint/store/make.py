"""What made an answer, apart from the plan: the program, its rules, its materials, the call."""

from __future__ import annotations

import hashlib
import os
import sys
from importlib.machinery import PathFinder
from typing import Iterable

KINDS = (".py", ".toml", ".json", ".md")


def make_mark(words: Iterable[str] = ()) -> str:
    """A hash over every file of the program that can change an answer, and over further words.

    Files are taken by content and not by version alone, so that who works on the program, or
    mends a rule in place, never meets an answer of the program as it was.

    Args:
        words: all else that the answer depends on: options, contents of a shop's own folders.
    """
    package = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
    beside = os.path.dirname(package)
    total = hashlib.sha256(f"{sys.implementation.cache_tag} {sys.platform}".encode())
    shelves = [package]
    for name in ("rules", "schemas"):  # in a checkout they lie beside the package
        if not os.path.isdir(os.path.join(package, name)):
            shelves.append(os.path.join(beside, name))
    files = [
        (f"{number}/{os.path.relpath(file, shelf)}", file)
        for number, shelf in enumerate(shelves)
        for file in _files(shelf)
    ]
    files.append(("numpy", _numpy_version()))
    for name, file in sorted(files):
        with open(file, "rb") as stream:
            content = hashlib.sha256(stream.read()).digest()
        total.update(f"\n{name}\n".encode("utf-8", "surrogateescape") + content)
    for word in words:
        total.update(b"\n" + hashlib.sha256(word.encode("utf-8", "surrogatepass")).digest())
    return total.hexdigest()


def _files(shelf: str) -> Iterable[str]:
    for here, names, files in os.walk(shelf):
        names[:] = [name for name in names if name != "__pycache__"]
        for file in files:
            if file.endswith(KINDS):
                yield os.path.join(here, file)


def _numpy_version() -> str:
    """The file that says which numpy this is, found without importing it."""
    spec = PathFinder.find_spec("numpy")
    assert spec is not None and spec.origin is not None  # a dependency: it is there
    return os.path.join(os.path.dirname(spec.origin), "version.py")
