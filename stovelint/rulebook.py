"""Finds, loads and vets rule folders.

A folder is whole or it is refused at start-up, with the culprit and the remedy named. Looking
for folders reads directories only; nothing is imported that is not a rule.
"""

from __future__ import annotations

import os
import sys
from dataclasses import dataclass
from importlib.machinery import SourceFileLoader
from importlib.util import module_from_spec, spec_from_loader
from typing import TYPE_CHECKING, Iterable

from stovelint.errors import RulebookError
from stovelint.rule.level import STAKES
from stovelint.rule.limits import Limits
from stovelint.rule.marker import MARK, RuleFunction

if TYPE_CHECKING:
    from types import ModuleType

    from stovelint.rule.level import Stakes

FILES = ("rule.py", "limits.toml", "README.md")
EXAMPLES = ("stands", "fails")
PLAN = ".heater.yaml"
EXPECT = ".expect.toml"


@dataclass(frozen=True, kw_only=True, slots=True)
class Rule:
    """One rule of the book, ready to run."""

    name: str
    folder: str
    function: RuleFunction
    stakes: Stakes
    limits: Limits


def own_folder() -> str:
    """The folder of the rules that ship with the package: in the wheel, else in the checkout."""
    here = os.path.dirname(os.path.abspath(__file__))
    inside = os.path.join(here, "rules")
    return inside if os.path.isdir(inside) else os.path.join(os.path.dirname(here), "rules")


def load(extra: Iterable[str] = ()) -> tuple[Rule, ...]:
    """The rulebook: the package's own rules and those of the folders named, by name.

    Args:
        extra: further folders of rule folders, named by the reviewer. Their code is run.

    Raises:
        RulebookError: a folder is not whole, or two rules bear one name.
    """
    rules: dict[str, Rule] = {}
    for shelf, own in ((own_folder(), True), *((folder, False) for folder in extra)):
        for folder in folders(shelf):
            rule = open_folder(folder, own=own)
            if rule.name in rules:
                raise RulebookError(
                    folder,
                    f"a rule `{rule.name}` stands already in {rules[rule.name].folder}",
                    "give one of the two another name",
                )
            rules[rule.name] = rule
    return tuple(rules[name] for name in sorted(rules))


def folders(shelf: str) -> tuple[str, ...]:
    """The rule folders on a shelf, sorted; names with `_` or `.` in front are not rules."""
    try:
        with os.scandir(shelf) as entries:
            names = sorted(e.name for e in entries if e.is_dir() and e.name[0] not in "_.")
    except OSError as error:
        raise RulebookError(
            shelf, f"cannot be read ({error.strerror})", "name a folder that holds rule folders"
        ) from None
    return tuple(os.path.join(shelf, name) for name in names)


def open_folder(folder: str, *, own: bool = False) -> Rule:
    """One rule folder, vetted and loaded.

    Args:
        folder: its path.
        own: True for the package's own rules; only then may compiled code be left beside them.

    Raises:
        RulebookError: something is missing or wrong in it.
    """
    name = os.path.basename(os.path.normpath(folder))
    _whole(folder)
    limits_file = os.path.join(folder, "limits.toml")
    with open(limits_file, encoding="utf-8") as stream:
        limits = Limits.read(stream.read(), limits_file)
    module = _run(os.path.join(folder, "rule.py"), name, own=own)
    function = _marked(module, name, folder)
    return Rule(
        name=name, folder=folder, function=function, stakes=getattr(function, MARK), limits=limits
    )


def _whole(folder: str) -> None:
    for name in FILES:
        if not os.path.isfile(os.path.join(folder, name)):
            raise RulebookError(folder, f"has no {name}", "a rule folder holds one: add it")
    for name in EXAMPLES:
        try:
            held = sorted(os.listdir(os.path.join(folder, name)))
        except OSError:
            held = []
        plans = [file for file in held if file.endswith(PLAN)]
        if not plans:
            raise RulebookError(
                folder, f"has no example in {name}/", f"add one that ends in {PLAN}"
            )
        if name == "fails":
            for plan in plans:
                expect = plan[: -len(PLAN)] + EXPECT
                if expect not in held:
                    raise RulebookError(
                        os.path.join(folder, name, plan),
                        "says nowhere what it must show",
                        f"add {expect} with path, quantity and limit",
                    )


def _run(path: str, name: str, *, own: bool) -> ModuleType:
    loader = SourceFileLoader("stovelint_rule_" + name.replace("-", "_"), path)
    spec = spec_from_loader(loader.name, loader)
    assert spec is not None  # a loader was given, so there is a spec
    module = module_from_spec(spec)
    sys.modules[loader.name] = module  # records defined in a rule look their module up by name
    kept = sys.dont_write_bytecode
    # A shop's folder stays as its owner left it.
    sys.dont_write_bytecode = kept or not own
    try:
        loader.exec_module(module)
    except Exception as error:
        raise RulebookError(
            path, f"does not load ({type(error).__name__}: {error})", "mend the rule"
        ) from error
    finally:
        sys.dont_write_bytecode = kept
    return module


def _marked(module: ModuleType, name: str, folder: str) -> RuleFunction:
    culprit = os.path.join(folder, "rule.py")
    wanted = name.replace("-", "_")
    marked = [key for key, value in vars(module).items() if callable(value) and hasattr(value, MARK)]
    if marked != [wanted]:
        held = ", ".join(marked) if marked else "none"
        raise RulebookError(
            culprit,
            f"the marked functions are: {held}",
            f"mark exactly one, named {wanted} like its folder",
        )
    function: RuleFunction = getattr(module, wanted)
    code = getattr(function, "__code__", None)
    if code is None or not code.co_flags & 0x20:  # CO_GENERATOR, without importing inspect
        raise RulebookError(culprit, f"{wanted} is no generator", "yield what it finds")
    if not (function.__doc__ or "").strip():
        raise RulebookError(
            culprit, f"{wanted} has no docstring", "say what it looks at, needs, and is silent on"
        )
    if getattr(function, MARK) not in STAKES:
        raise RulebookError(
            culprit, f"stakes are {getattr(function, MARK)!r}", f"one of {', '.join(STAKES)}"
        )
    return function
