"""The review of any number of plans as one JSON document, described by `schemas/report-1.json`.

All figures are SI. They are rounded to fixed steps far below what any of them means, so that the
last bits of a machine's arithmetic do not show.

Bytes of a file name that are no UTF-8 have no letter in JSON. They stand as a backslash, `x` and
two digits, so that strict readers take the document.
"""

from __future__ import annotations

import json
import re
from typing import TYPE_CHECKING, Any, Sequence

from stovelint import __version__
from stovelint.hold import LEAST, SAID, USUAL
from stovelint.report.answer import OUTCOMES
from stovelint.report.figures import Record, edits, figure, finding_record, place, standing
from stovelint.report.sentences import CAUTIONS, CLOSING
from stovelint.report.told import Told
from stovelint.report.visible import inert_json
from stovelint.rule.level import STAKES
from stovelint.variance import STALE

if TYPE_CHECKING:
    from stovelint.build import Build
    from stovelint.hold import Hold
    from stovelint.place import Mistake
    from stovelint.remedy import Together
    from stovelint.report.answer import Answer
    from stovelint.report.told import Notice
    from stovelint.review import OpenQuestion, Review
    from stovelint.review.records import Weakened
    from stovelint.variance import Weighed

FORMAT = 1
LONE = re.compile("[\ud800-\udfff]")
"""What cannot stand in a text alone; the system hands on odd bytes of a name as such."""


def machine_report(
    answers: Sequence[Answer],
    *,
    asked: Sequence[str],
    left_out: Sequence[str],
    hold: Hold = USUAL,
    on: str | None = None,
    since: str | None = None,
    settings: str = "",
    notices: Sequence[Notice] = (),
) -> str:
    """All plans as one JSON document in plain ASCII, the same bytes for the same input.

    Args:
        answers: the plans, in the order in which they are to stand.
        asked: names of the rules that judged them.
        left_out: names of the rules of the book that were left out.
        hold: what holds a plan.
        on: day of the review, where one was given.
        since: revision with which the plans were compared, where one was given.
        settings: the shop's settings that were used, as reports call the file; empty: none.
        notices: what is to be said of the call and the settings.
    """
    told = Told(
        answers=tuple(answers), book=(), asked=(), left_out=(), notices=tuple(notices)
    )  # fmt: skip
    outcomes = [answer.outcome for answer in answers]
    document = {
        "format": FORMAT,
        "stovelint": __version__,
        "on": on,
        "since": since,
        "settings": settings or None,
        "rules": {"asked": sorted(asked), "left_out": sorted(left_out)},
        "hold": {
            "at": hold,
            "usual": hold == USUAL,
            "holds": SAID[hold],
            "from_level": {stakes: LEAST[hold].get(stakes) for stakes in STAKES},
        },
        "outcomes": {word: outcomes.count(word) for word in OUTCOMES},
        "status": told.status,
        "notices": [_notice(one) for one in notices],
        "plans": [_plan(answer) for answer in answers],
    }
    text = json.dumps(_whole(document), indent=1, ensure_ascii=True, allow_nan=False)
    return inert_json(text) + "\n"


def _whole(node: Any) -> Any:
    r"""The same with every text made one that can be told apart into letters.

    >>> _whole({"file": ["caf\udce9.heater.yaml"]}) == {"file": [r"caf\xe9.heater.yaml"]}
    True
    """
    if isinstance(node, str):
        return LONE.sub(lambda found: _escape(ord(found[0])), node)
    if isinstance(node, dict):
        return {_whole(key): _whole(value) for key, value in node.items()}
    return [_whole(one) for one in node] if isinstance(node, list) else node


def _escape(code: int) -> str:
    byte = code - 0xDC00  # PEP 383: bytes 80 to ff are handed on as DC80 to DCFF
    return f"\\x{byte:02x}" if 0x80 <= byte <= 0xFF else f"\\u{code:04x}"


def _notice(notice: Notice) -> Record:
    return {
        "message": notice.message,
        "remedy": notice.remedy,
        "place": None if notice.span is None else place(notice.span, ()),
        "stops": notice.stops,
        "holds": notice.holds,
    }


def _plan(answer: Answer) -> Record:
    review = answer.review
    build = None if review is None else review.build
    return {
        "file": answer.file,
        "file_before": None if review is None else review.file_before,
        "not_compared": None if review is None else review.not_compared or None,
        "based_on": [] if review is None else list(review.based_on),
        "title": None if build is None else build.title,
        "drawing": None if build is None else build.drawing,
        "jurisdiction": None if build is None else build.jurisdiction,
        "outcome": answer.outcome,
        "status": answer.status,
        "complete": review is not None and not review.left_out and not review.crashes,
        "firing": None if build is None else _firing(build),
        "findings": [] if review is None else [
            finding_record(item, answer.proposals.get(index, ()))
            for index, item in enumerate(review.items)
        ],
        "not_judged": [] if review is None else [_question(one) for one in review.open],
        "not_applicable": [] if review is None else list(review.not_applicable),
        "by_others": [] if build is None else [
            {"what": what, "who": who} for what, who in sorted(build.by_others.items())
        ],
        "variances": [] if review is None else [_variance(one) for one in review.variances],
        "gone": [] if review is None else [finding_record(one, ()) for one in review.gone],
        "weakened": [] if review is None else [_weakened(one) for one in review.weakened],
        "together": None if answer.together is None else _together(answer.together),
        "assumptions": [] if review is None else list(review.assumptions),
        "mistakes": [
            _mistake(one) for one in sorted(answer.mistakes, key=lambda m: m.sort_key())
        ],
        "failure": answer.failure or None,
        "crashes": [] if review is None else _crashes(review),
        "cautions": [*CAUTIONS, CLOSING],
    }  # fmt: skip


def _firing(build: Build) -> Record:
    return {
        state: {
            "charge_kg": round(firing.charge_kg, 4),
            "loads": firing.loads,
            "burn_h": figure(firing.burn_s / 3600.0, "h"),
            "every_h": figure(firing.every_s / 3600.0, "h"),
            "assumed": firing.assumed,
        }
        for state, firing in (
            ("usual", build.firings["usual"]),
            ("hardest", build.firings["hardest"]),
            ("least", build.firings["least"]),
        )
    }


def _question(question: OpenQuestion) -> Record:
    return {
        "rules": list(question.rules),
        "stakes": question.stakes,
        "level": question.level,
        "part": question.subject,
        "place": place(question.span, question.path),
        "reason": question.reason,
        "remedy": question.remedy,
        "accepted_by": None if question.accepted is None else question.accepted.name,
        **standing(question),
    }


def _weakened(weaker: Weakened) -> Record:
    return {
        "what": weaker.what,
        "remedy": weaker.remedy,
        "stakes": weaker.stakes,
        "level": weaker.level,
        "place": place(weaker.span, weaker.path),
    }


def _variance(weighed: Weighed) -> Record:
    variance = weighed.variance
    return {
        "name": variance.name,
        "rule": variance.rule,
        "part": variance.part,
        "reason": variance.reason,
        "who": variance.who,
        "until": variance.until,
        "end_checked": weighed.end_checked,
        "state": weighed.state,
        "level": "note" if weighed.state in STALE else None,
        "place": place(weighed.span, variance.path),
        "found": weighed.found,
        "why": weighed.why or None,
        "remedy": weighed.remedy or None,
    }


def _together(together: Together) -> Record:
    return {
        "edits": edits(together.edits),
        "left": [
            {"rule": rule, "part": part, "level": level} for rule, part, level in together.left
        ],
    }


def _mistake(mistake: Mistake) -> Record:
    return {
        "place": place(mistake.span, mistake.path),
        "message": mistake.message,
        "remedy": mistake.remedy,
    }


def _crashes(review: Review) -> list[Record]:
    return [{"rule": crash.rule, "message": crash.message} for crash in review.crashes]
