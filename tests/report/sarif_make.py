"""A call with one of everything, for the reports in SARIF: kinds, variances, names, files."""

from __future__ import annotations

from dataclasses import replace

from stovelint.build import Variance
from stovelint.hold import USUAL
from stovelint.place import Mark, Mistake, Path, Span
from stovelint.remedy import Proposal
from stovelint.remedy.replacements import Replacement
from stovelint.report.answer import Answer
from stovelint.report.sites import Sites, Step
from stovelint.report.told import Notice, Told
from stovelint.review import Crash, Item, OpenQuestion
from stovelint.review.records import Related, Standing, Weakened
from stovelint.rule import Note
from stovelint.rulebook import load
from stovelint.variance import Weighed
from tests.report import make
from tests.rules import make as rules_make

BOOK = load()
NAMES = tuple(rule.name for rule in BOOK)
ODD = "sp ace/a;b%\nc[1]\u00e9\udce9.heater.yaml"
"""A name with everything that a URI, a message or a line of text may trip over."""
TEXT = (
    "title: Kiln\nchambers:\n  bell: {kind: bell}\n"
    "parts:\n  bell-cap:\n    layers:\n      - {}\n"
)
CAP: Path = ("parts", "bell-cap", "layers", 0)


def mark(line: int, column: int, file: str) -> Mark:
    lines = TEXT.splitlines(keepends=True) if file == make.FILE else []
    return Mark(line=line, column=column, offset=sum(map(len, lines[:line])) + column)


def span(line: int = 6, column: int = 8, *, to: tuple[int, int] | None = None,
         file: str = make.FILE) -> Span:  # fmt: skip
    end = to or (line, column + 2)
    return Span(file=file, start=mark(line, column, file), end=mark(*end, file))


def variance(rule: str = "cap-insulation", *, name: str = "cap-for-now") -> Variance:
    return Variance(
        name=name, rule=rule, part="bell-cap", reason="relaid in [spring](1)", who="the owner",
        until="2027-04-30", path=("variances", name),
    )  # fmt: skip


def weighed(one: Variance, state: str = "used") -> Weighed:
    return Weighed(
        variance=one, state="used" if state == "used" else "unused", span=span(2, 2),
        end_checked=True, found="as it is", why="it would hide more", remedy="delete it",
    )  # fmt: skip


def finding(rule: str = "cap-insulation", *, past: int = 32) -> Item:
    held = make.limit("CON-175")
    of = make.finding(
        make.measure(272, 324, 387, held, past=past),
        notes=(Note(text="at {} it is {{dry}}", values=((120.0, "degC"),)),),
    )
    item = make.item(replace(of, rule=rule))
    return replace(item, span=span(), finding=replace(of, rule=rule, path=CAP))


def question(*rules: str, stakes: str = "danger", path: Path = CAP) -> OpenQuestion:
    asked = replace(make.question(path, *rules), subject="bell-cap")
    if stakes == "danger":
        return replace(asked, span=span(4, 2))
    return replace(asked, stakes="performance", level="note", span=span(5, 2))


def answer(file: str = make.FILE) -> Answer:
    """A plan with a finding of each sort."""
    part = rules_make.part("bell-cap", "cap", [rules_make.layer("granite")])
    plan = rules_make.build([part])
    agreed, old = variance(), variance("wet-stone", name="nobody-needs-it")
    base = "kit core.heater.yaml"
    items = (
        replace(finding(), related=(
            Related(span=span(3, 1, file=base), path=("parts", "bell-cap"), words="set here"),
        )),
        replace(finding("brittle-stone"), accepted=agreed),
        replace(finding("wet-stone", past=3), level="warning", span=span(1, 0, to=(3, 4))),
        replace(finding("base-combustible"), span=span(2, 0, file=base)),
    )  # fmt: skip
    review = replace(
        make.review(*items, title="Kiln [1](2)"),
        file=file, build=plan, asked=NAMES, not_applicable=("concrete-elevation",),
        open=(
            question("combustible-clearance"),
            question("cast-reinforcement", stakes="performance", path=("parts", "bell-cap")),
            replace(question("cap-insulation", path=("parts",)), accepted=agreed),
        ),
        crashes=(Crash(rule="wet-stone", message="ValueError: {no} [x](1)"),),
        variances=(weighed(agreed), weighed(old, "unused")),
        weakened=(
            Weakened(
                what="`loads` stood at 2 and stands at 1", remedy="say why", stakes="danger",
                level="warning", span=span(1, 2), path=("firing", "hardest"),
            ),
        ),
    )  # fmt: skip
    point = mark(6, 0, make.FILE)
    at = Span(file=make.FILE, start=point, end=point)
    change = Replacement(span=at, text="      - {material: aes-blanket-128}\n")
    proposals: dict[int, tuple[Proposal, ...]] = {
        0: (make.proposal(), make.proposal(passes=False))
    }
    return Answer(
        file=file, review=review, proposals=proposals,
        sites=Sites(
            texts={make.FILE: TEXT}, chambers={"bell": span(2, 2)}, fixes={(0, 0): (change,)},
            flows={0: (
                Step(words="span: hot side of layer 1, granite", path=CAP, span=span(),
                     peak_C=(190.6, 301.2, 348.9), mean_C=(57.0, 81.0, 96.0)),
                Step(words="span: outer face", path=CAP, span=span(),
                     peak_C=(80.0, 90.0, 100.0), mean_C=(40.0, 50.0, 60.0)),
            )},
        ),
    )  # fmt: skip


def quiet(file: str = "quiet.heater.yaml") -> Answer:
    """A plan in which nothing is past a limit."""
    review = replace(
        make.review(), file=file, asked=NAMES, not_applicable=("wet-stone", "brittle-stone")
    )
    return Answer(file=file, review=review)


def odd() -> Answer:
    """A plan under a name that has everything, which could not be read."""
    wrong = Mistake(
        span=span(0, 0, file=ODD), path=("parts", "\x1b[31m"), message="`{x}` is [no](3) number",
        remedy="write one",
    )  # fmt: skip
    return Answer(file=ODD, mistakes=(wrong, replace(wrong, span=span(3, 1, file=ODD))))


def failed(file: str = "failed.heater.yaml") -> Answer:
    return Answer(file=file, failure="its heat could not be computed: no way out; open one")


def told(*answers: Answer, since: str | None = None, notices: tuple[Notice, ...] = (),
         left_out: tuple[str, ...] = ()) -> Told:  # fmt: skip
    return Told(
        answers=answers, book=BOOK, asked=tuple(n for n in NAMES if n not in left_out),
        left_out=left_out, hold=USUAL, since=since, prefix="plans/", notices=notices,
    )  # fmt: skip


NOTICES = (
    Notice(message="the folder is not trusted", remedy="vouch for it",
           span=span(1, 0, file="../stovelint.toml"), stops=True),
    Notice(message="nothing is set", remedy=""),
)  # fmt: skip


def everything(since: str | None = None) -> Told:
    """All of it in one call."""
    return told(answer(), failed(), odd(), quiet(), since=since, notices=NOTICES)


def compared() -> Told:
    """A call against an older revision: new, worse, unchanged, gone."""
    one = answer()
    assert one.review is not None
    standings: tuple[Standing, ...] = ("new", "worse", "unchanged", "unchanged")
    items = tuple(
        replace(item, standing=standing) for item, standing in zip(one.review.items, standings)
    )
    gone = replace(finding("concrete-elevation"), span=span(9, 1, file="old.heater.yaml"))
    review = replace(
        one.review, items=items, since="main", file_before="old.heater.yaml", gone=(gone,),
        not_compared="",
    )
    return told(replace(one, review=review), quiet(), odd(), since="main")
