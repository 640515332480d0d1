"""Finds, vets and loads rule folders.

A folder is whole or it is refused at start-up, with every culprit and its remedy named. Looking
for folders reads directories only; nothing is imported that is not a rule.
"""

from __future__ import annotations

import os
import sys
from dataclasses import dataclass
from importlib.machinery import SourceFileLoader
from importlib.util import module_from_spec, spec_from_loader
from types import ModuleType
from typing import TYPE_CHECKING, Iterable

from stovelint.errors import RulebookError
from stovelint.place import PLAN
from stovelint.rule.level import STAKES
from stovelint.rule.limits import Limits, one_source_each
from stovelint.rule.marker import MARK, RuleFunction
from stovelint.rulebook.vet import (
    EXPECT, FILES, text_of, vet_asked, vet_code, vet_docstring, vet_examples, vet_page,
)  # fmt: skip

if TYPE_CHECKING:
    from stovelint.rule.level import Stakes
    from stovelint.trust import Held

__all__ = ["EXPECT", "FILES", "PLAN", "Rule", "folders", "load", "open_folder", "own_folder"]


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
    here = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
    inside = os.path.join(here, "rules")
    return inside if os.path.isdir(inside) else os.path.join(os.path.dirname(here), "rules")


def load(extra: Iterable[str | Held] = ()) -> tuple[Rule, ...]:
    """The rulebook: the package's own rules and those of the folders named, by name.

    Args:
        extra: further folders of rule folders, named by the reviewer: by their path, or read
            already. Their code is run.

    Raises:
        RulebookError: a folder is not whole, two rules bear one name, or one key names two
            sources; with all that is wrong in all folders.
    """
    rules: dict[str, Rule] = {}
    faults: list[RulebookError] = []
    for shelf, own in ((own_folder(), True), *((folder, False) for folder in extra)):
        held = None if isinstance(shelf, str) else shelf
        for folder in folders(shelf):
            try:
                rule = open_folder(folder, own=own, held=held)
            except RulebookError as fault:
                faults.append(fault)
                continue
            if rule.name in rules:
                faults.append(
                    RulebookError(
                        folder,
                        f"a rule `{rule.name}` stands already in {rules[rule.name].folder}",
                        "give one of the two another name",
                    )
                )
                continue
            rules[rule.name] = rule
    faults += one_source_each(
        (row, os.path.join(rule.folder, "limits.toml"))
        for rule in rules.values() for row in rule.limits.all()
    )  # fmt: skip
    if faults:
        raise RulebookError.together(faults)
    if not rules:
        raise RulebookError(own_folder(), "holds no rule", "install stovelint anew")
    return tuple(rules[name] for name in sorted(rules))


def folders(shelf: str | Held) -> tuple[str, ...]:
    """The rule folders on a shelf, sorted; names with `_` or `.` in front are not rules."""
    if not isinstance(shelf, str):
        if not shelf.rules:
            raise RulebookError(
                shelf.folder, "holds no rule folder", "name a folder that holds rule folders"
            )
        return tuple(f"{shelf.folder}/{name}" for name in shelf.rules)
    try:
        with os.scandir(shelf) as entries:
            names = sorted(e.name for e in entries if e.is_dir() and e.name[0] not in "_.")
    except OSError as error:
        raise RulebookError(
            shelf, f"cannot be read ({error.strerror})", "name a folder that holds rule folders"
        ) from None
    return tuple(os.path.join(shelf, name) for name in names)


def open_folder(folder: str, *, own: bool = False, held: Held | None = None) -> Rule:
    """One rule folder, vetted and loaded.

    Args:
        folder: its path.
        own: True for the package's own rules; only then may compiled code be left beside them.
        held: what the folder lies in, where that is read already; the disk is then not asked.

    Raises:
        RulebookError: something is missing or wrong in it, with everything that is. Its code is
            run only when its text holds nothing that a rule must not do.
    """
    name = os.path.basename(os.path.normpath(folder))
    if not name.replace("-", "_").isidentifier() or name != name.lower():
        raise RulebookError(
            folder, "cannot be the name of a rule", "use small letters, digits and `-`"
        )
    faults: list[RulebookError] = []
    texts: dict[str, str] = {}
    for file in FILES:
        try:
            texts[file] = text_of(folder, file, held)
        except RulebookError as fault:
            faults.append(fault)
    limits: Limits | None = None
    function: RuleFunction | None = None
    try:
        if "limits.toml" in texts:
            limits = Limits.read(texts["limits.toml"], os.path.join(folder, "limits.toml"))
    except RulebookError as fault:
        faults.append(fault)
    if "README.md" in texts:
        faults += vet_page(os.path.join(folder, "README.md"), texts["README.md"], limits)
    faults += vet_examples(folder, limits, held)
    if "rule.py" in texts:
        code = os.path.join(folder, "rule.py")
        forbidden = list(vet_code(code, texts["rule.py"]))
        faults += forbidden
        if limits is not None:
            faults += vet_asked(code, texts["rule.py"], limits)
        try:
            if not forbidden:
                module = _run(code, name, own=own) if held is None else _run_held(code, name, held)
                function = _marked(module, name, code)
                faults += vet_docstring(code, name.replace("-", "_"), function.__doc__)
        except RulebookError as fault:
            faults.append(fault)
    if faults:
        raise RulebookError.together(faults)
    assert limits is not None and function is not None  # else there would be a fault
    return Rule(
        name=name, folder=folder, function=function, stakes=getattr(function, MARK), limits=limits
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
    except (Exception, SystemExit) as error:
        del sys.modules[loader.name]
        raise RulebookError(
            path, f"does not load ({type(error).__name__}: {error})", "mend the rule"
        ) from error
    finally:
        sys.dont_write_bytecode = kept
    return module


def _run_held(path: str, name: str, held: Held) -> ModuleType:
    """The module of a rule out of the bytes that were vouched for; nothing else is read."""
    module = ModuleType("stovelint_rule_" + name.replace("-", "_"))
    module.__file__ = path
    sys.modules[module.__name__] = module
    try:
        exec(compile(held.content(path) or b"", path, "exec", dont_inherit=True), vars(module))
    except (Exception, SystemExit) as error:
        del sys.modules[module.__name__]
        raise RulebookError(
            path, f"does not load ({type(error).__name__}: {error})", "mend the rule"
        ) from error
    return module


def _marked(module: ModuleType, name: str, culprit: str) -> RuleFunction:
    wanted = name.replace("-", "_")
    marked = [
        key for key, value in vars(module).items() if callable(value) and hasattr(value, MARK)
    ]
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
    if getattr(function, MARK) not in STAKES:
        raise RulebookError(
            culprit, f"stakes are {getattr(function, MARK)!r}", f"one of {', '.join(STAKES)}"
        )
    return function
