"""File names as they stand in a report -> paths from the root of the repository, and URIs.

A name is kept as it is: its case, and every byte of it. What is no unreserved character of
RFC 3986 is percent-encoded, also where a URI could hold it, since readers decode but do not all
parse alike; bytes that are no UTF-8 become `%XX` as well.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from stovelint.report.told import Told

PLAIN = frozenset(b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-._~/")
"""Bytes that stand for themselves."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Reference:
    """A file as a URI."""

    uri: str
    rooted: bool
    """True: counted from the root of the repository. False: an absolute URI."""


def rooted_path(file: str, *, prefix: str = "", root: str = "") -> str:
    """The path of a file from the root of the repository, or its absolute path.

    Args:
        file: as reports show it, counted from the folder in which the command ran, or absolute.
        prefix: from the root to that folder, with `/` at the end; empty in the root.
        root: absolute path of the root; empty where there is no repository.

    A path that leaves the root keeps the `..` in front: nothing is known of what lies there.

    >>> rooted_path("../shop/./kiln.heater.yaml", prefix="plans/")
    'shop/kiln.heater.yaml'
    >>> rooted_path("/home/repo/kiln.heater.yaml", root="/home/repo")
    'kiln.heater.yaml'
    >>> rooted_path("/srv/kiln.heater.yaml", root="/home/repo")
    '/srv/kiln.heater.yaml'
    """
    absolute = file.startswith("/")
    steps = _steps(file if absolute else prefix + file)
    if absolute:
        steps = [step for step in steps if step != ".."]  # above the topmost folder lies itself
        inside = _steps(root)
        if not inside or steps[: len(inside)] != inside:
            return "/" + "/".join(steps)
        steps = steps[len(inside) :]
    return "/".join(steps)


def reference(file: str, *, prefix: str = "", root: str = "") -> Reference:
    r"""A file as a URI; arguments as for `rooted_path`.

    >>> reference("bad; name%\udce9.heater.yaml", prefix="plans/").uri
    'plans/bad%3B%20name%25%E9.heater.yaml'
    >>> reference("/srv/kiln.heater.yaml")
    Reference(uri='file:///srv/kiln.heater.yaml', rooted=False)
    """
    path = rooted_path(file, prefix=prefix, root=root)
    absolute = path.startswith("/")
    return Reference(uri=("file://" if absolute else "") + _encoded(path), rooted=not absolute)


def told_reference(told: Told, file: str) -> Reference:
    """A file of a call as a URI."""
    return reference(file, prefix=told.prefix, root=told.root)


def told_path(told: Told, file: str) -> str:
    """A file of a call as a path from the root of the repository."""
    return rooted_path(file, prefix=told.prefix, root=told.root)


def _steps(path: str) -> list[str]:
    steps: list[str] = []
    for step in path.split("/"):
        if step == ".." and steps and steps[-1] != "..":
            steps.pop()
        elif step not in ("", "."):
            steps.append(step)
    return steps


def _encoded(path: str) -> str:
    try:
        data = path.encode("utf-8", "surrogateescape")
    except UnicodeEncodeError:  # no system hands such a name on, but a caller may
        data = path.encode("utf-8", "surrogatepass")
    return "".join(chr(byte) if byte in PLAIN else f"%{byte:02X}" for byte in data)
