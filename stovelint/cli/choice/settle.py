"""By what the plans of one call are judged: what was typed, then the shop's settings, then the
usual.

Against an older revision the settings are those of that revision, with all that they name: a
contribution is not judged by rules of its own making.
"""

from __future__ import annotations

import hashlib
import os
import re
import sys
from dataclasses import dataclass
from typing import TYPE_CHECKING, Sequence, cast

from stovelint.cli.answers.one import Desk
from stovelint.cli.choice.choose import choose
from stovelint.cli.choice.lookup import Place, look_up, placed
from stovelint.cli.choice.shop import NO_SHOP, Shop
from stovelint.errors import SettingsError, UsageError
from stovelint.hold import USUAL
from stovelint.report.lines import plain
from stovelint.source import DISK

if TYPE_CHECKING:
    from stovelint.catalogue import Catalogue
    from stovelint.cli.choice.shoprules import ShopRules
    from stovelint.cli.older.since import Since
    from stovelint.hold import Hold
    from stovelint.place import Mistake
    from stovelint.quantity import Units
    from stovelint.report.told import Notice
    from stovelint.rulebook import Rule
    from stovelint.settings import Settings
    from stovelint.settings.materials import OwnMaterial


RULE = re.compile(r"[a-z][a-z0-9-]*")


@dataclass(frozen=True, kw_only=True, slots=True)
class Wish:
    """What was typed; None or empty: nothing."""

    settings: str | None = None
    """A file of settings to take instead of the one that would be found."""
    look: bool = True
    """False: no settings at all."""
    rules: tuple[str, ...] = ()
    """Folders of rules that the call names."""
    only: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    hold: Hold | None = None
    units: Units | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Settled:
    """What was settled for a call."""

    catalogue: Catalogue
    book: tuple[Rule, ...]
    rules: tuple[Rule, ...]
    left_out: tuple[str, ...]
    hold: Hold
    units: Units
    shop: Shop = NO_SHOP
    notices: tuple[Notice, ...] = ()

    def desk(self, on: str | None) -> Desk:
        """What the plans are judged by.

        Args:
            on: day of the review.
        """
        return Desk(
            catalogue=self.catalogue, book=self.book, rules=self.rules, left_out=self.left_out,
            hold=self.hold, on=on, shop=self.shop,
        )  # fmt: skip


def settle(wish: Wish, plans: Sequence[str], since: Since | None = None) -> Settled:
    """Settle by what the plans are judged, and tell on stderr what is passed over.

    Args:
        wish: what was typed.
        plans: the build files of the call.
        since: the older revision against which they are reviewed, where there is one.

    Raises:
        UsageError: the plans lie under different settings, or a word of the call means nothing.
        SettingsError: the settings, or materials that they name, cannot be used.
        RulebookError: a folder of rules is not whole.
    """
    from stovelint.catalogue import Catalogue
    from stovelint.rulebook import load

    found = _found(wish, plans, since)
    if found is None and not wish.rules:
        book = load()
        rules, left_out = choose(book, wish.only, wish.without)
        return Settled(
            catalogue=Catalogue(), book=book, rules=rules, left_out=left_out,
            hold=wish.hold or USUAL, units=wish.units or "si",
        )  # fmt: skip
    from stovelint.cli.choice.shoprules import shop_rules
    from stovelint.settings import no_settings, read_settings
    from stovelint.settings.materials import read_materials

    settings = no_settings()
    own: tuple[OwnMaterial, ...] = ()
    wrong: list[Mistake] = []
    if found is not None:
        settings = read_settings(found.path, found.shelf, found.shown)
        try:
            own = read_materials(settings, found.shelf)
        except SettingsError as error:
            wrong += cast("tuple[Mistake, ...]", error.mistakes)
    extra = shop_rules(settings, found, wish.rules, since)
    wrong += extra.mistakes
    if wrong:
        raise SettingsError(settings.file, tuple(wrong))
    book = load(extra.held)
    without = _without(settings, wish, book, extra)
    rules, left_out = choose(book, wish.only, without)
    # Who reads the review must know which rules it lacks; a plan may have variances for them.
    passed_over = (name for names in extra.skipped.values() for name in names)
    left_out = tuple(sorted({*left_out, *filter(RULE.fullmatch, passed_over)}))
    for notice in extra.notices:
        print(plain(f"stovelint: {notice.message}; {notice.remedy}"), file=sys.stderr)
    return Settled(
        catalogue=Catalogue({one.name: one.row for one in own}), book=book, rules=rules,
        left_out=left_out, hold=wish.hold or cast("Hold | None", settings.hold_at) or USUAL,
        units=wish.units or settings.units or "si", shop=_shop(settings, own, extra),
        notices=extra.notices,
    )  # fmt: skip


def _found(wish: Wish, plans: Sequence[str], since: Since | None) -> Place | None:
    if wish.settings is not None and not wish.look:
        raise UsageError(
            "--settings and --no-settings are both given", "name a file, or want none"
        )
    if wish.settings is not None:
        found: Place | None = placed(wish.settings, since)
    else:
        found = look_up(plans, since) if wish.look else None
    if found is not None and found.shelf is DISK and os.path.exists(found.disk):
        if not os.path.isfile(found.disk):  # to read from a pipe might never end
            raise UsageError(f"{found.shown} is no plain file", "settings are a text of some lines")
    return found


def _without(
    settings: Settings, wish: Wish, book: Sequence[Rule], extra: ShopRules
) -> tuple[str, ...]:
    """Rules to leave out: those of the call, else those of the settings.

    Raises:
        SettingsError: the settings name a rule that is nowhere, or leave none.
    """
    names = [rule.name for rule in book]
    passed_over = {name for rules in extra.skipped.values() for name in rules}
    wrong = []
    for index, name in enumerate(settings.without):
        if name in names or name in passed_over:
            continue
        from stovelint.schema import closest

        near = closest(name, names)
        remedy = f"did you mean {' or '.join(near)}?" if near else f"one of: {', '.join(names)}"
        wrong.append(settings.mistake(("without", index), f"there is no rule `{name}`", remedy))
    kept = tuple(name for name in settings.without if name in names)
    if len(kept) == len(names):
        wrong.append(settings.mistake(("without",), "it leaves no rule", "leave out fewer"))
    if wrong:
        raise SettingsError(settings.file, tuple(wrong))
    return wish.without if wish.only or wish.without else kept


def _shop(settings: Settings, own: Sequence[OwnMaterial], extra: ShopRules) -> Shop:
    head = [f"settings: {settings.file}"] if settings.file else []
    head += [f"with the rules in {held.folder}" for held in extra.held]
    asks = f"; {settings.file} requires them, so this is no review" * settings.rules_required
    head += [f"NOT ASKED: the rules in {shown}{asks}" for shown in extra.skipped]
    marks = [settings.file, settings.jurisdiction or "", *head]
    marks += [f"{one.file} {hashlib.sha256(one.content).hexdigest()}" for one in own]
    marks += [held.digest for held in extra.held]
    return Shop(
        file=settings.file, jurisdiction=settings.jurisdiction,
        own={one.name: _said(one) for one in own}, head=tuple(head), marks=tuple(marks),
    )  # fmt: skip


def _said(one: OwnMaterial) -> str:
    """`lake-stone is a material of the shop's own (shop/materials/lake-stone.toml); its limits
    are by ...`."""
    caps = [cast("dict[str, str]", one.row[key]) for key in ("max_service", "max_peak")]
    by = dict.fromkeys(f"{cap['source']} ({cap['grade']})" for cap in caps)
    return (
        f"{one.name} is a material of the shop's own ({one.file}); its limits stand on: "
        f"{'; '.join(by)}"
    )
