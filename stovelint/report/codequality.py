"""The review as a code-quality report, the JSON list that GitLab shows in a merge request.

Each entry holds what that host asks for: description, check name, fingerprint, severity, and a
path from the root of the repository with a line. Severity follows stakes and level:

| stakes | must change | should change | consider |
| --- | --- | --- | --- |
| danger | blocker | critical | major |
| breakage | critical | major | minor |
| performance | major | minor | info |
| advice | minor | info | info |

What keeps a plan from being reviewed is a blocker. So is what is told of a settings file, where the
call counts as not carried out for it; it is critical where it holds, else info.

The host itself compares the reports of two branches by their fingerprints. So what stood in an
older revision alike is in the list, and what is gone is not. A finding that a variance accepts is
left out: the format has no word for that, and the host would show it as open. What belongs to no
file has no place here; the exit status tells of it, as do the other forms. A plan outside the
repository keeps the path by which it was named, and the host will not find it.

Fingerprints are 128 bits in hexadecimal. They go by the plan's path and by what
`review.fingerprint` counts, hence not by lines above, and no two in a report are alike.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any, Mapping

from stovelint.report.points import STOPS, Point, points
from stovelint.report.uris import told_path
from stovelint.report.visible import inert_json, visible
from stovelint.review.fingerprint import told_apart

if TYPE_CHECKING:
    from stovelint.place import Span
    from stovelint.report.told import Told
    from stovelint.rule.level import Level, Stakes

SEVERITIES: Mapping[Stakes, Mapping[Level, str]] = {
    "danger": {"error": "blocker", "warning": "critical", "note": "major"},
    "breakage": {"error": "critical", "warning": "major", "note": "minor"},
    "performance": {"error": "major", "warning": "minor", "note": "info"},
    "advice": {"error": "minor", "warning": "info", "note": "info"},
}
STOPPED = "blocker"


def codequality_report(told: Told) -> str:
    """All plans of a call as one JSON list in plain ASCII, without a byte order mark."""
    found = [
        (told_path(told, answer.file), point)
        for answer in told.answers
        for point in points(answer)
    ]
    settings = [(one.span, one) for one in told.notices if one.span is not None]
    # Counted before the accepted ones go, so that a variance changes no other fingerprint.
    prints = told_apart(
        [
            *(f"{visible(file)}\n{point.mark}" for file, point in found),
            *(
                f"{visible(told_path(told, at.file))}\nsettings\n{visible(one.message)}"
                for at, one in settings
            ),
        ]
    )
    entries = [
        _entry(
            _description(point), _check(point), one, _severity(point),
            file if point.span is None else told_path(told, point.span.file), point.span,
        )
        for (file, point), one in zip(found, prints)
        if not point.accepted
    ]  # fmt: skip
    entries += [
        _entry(
            f"{visible(one.message)}; do: {visible(one.remedy)}", "settings", mark,
            STOPPED if one.stops else "critical" if one.holds else "info",
            told_path(told, at.file), at,
        )
        for (at, one), mark in zip(settings, prints[len(found) :])
    ]  # fmt: skip
    text = json.dumps(entries, indent=1, ensure_ascii=True, allow_nan=False)
    return inert_json(text) + "\n"


def _entry(
    description: str, check: str, fingerprint: str, severity: str, file: str, span: Span | None
) -> dict[str, Any]:
    return {
        "description": description,
        "check_name": check,
        "fingerprint": fingerprint,
        "severity": severity,
        "location": {
            "path": _path(file), "lines": {"begin": 1 if span is None else span.start.line + 1},
        },
    }  # fmt: skip


def _description(point: Point) -> str:
    said = [f"{point.word}: {point.title}", point.first]
    said += [
        f"{label}: {text}"
        for label in ("may take", "say", "do", "tried")
        if (text := point.field(label))
    ]
    return "; ".join(said)


def _check(point: Point) -> str:
    if point.rules:
        return ", ".join(point.rules)
    return {"open": "heat", "variance": "variance", "weakened": "weakened"}.get(
        point.kind, "build file" if point.kind == "mistake" else "review"
    )


def _severity(point: Point) -> str:
    if point.kind in STOPS or point.stakes is None:
        return STOPPED
    return SEVERITIES[point.stakes][point.level]


def _path(file: str) -> str:
    """The name as it is, since the host looks for it; but for bytes that JSON cannot hold."""
    try:
        file.encode("utf-8")
    except UnicodeEncodeError:
        return visible(file)
    return file
