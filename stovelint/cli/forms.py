"""The forms of a report: which there are, and who writes each. Writers are imported when asked."""

from __future__ import annotations

from typing import TYPE_CHECKING, Callable, Mapping

if TYPE_CHECKING:
    from stovelint.quantity import Units
    from stovelint.report.told import Told

TEXT = "text"
"""Told plan by plan, as each is done; all other forms are one document at the end."""


def _json(told: Told, units: Units) -> str:
    from stovelint.report.machine import machine_report

    return machine_report(
        told.answers, asked=told.asked, left_out=told.left_out, hold=told.hold, on=told.on,
        since=told.since, notices=told.notices, settings=told.settings,
    )


def _sarif(told: Told, units: Units) -> str:
    from stovelint.report.sarif import sarif_report

    return sarif_report(told)


def _sarif_upload(told: Told, units: Units) -> str:
    from stovelint.report.sarif import sarif_report

    return sarif_report(told, upload=True)


def _junit(told: Told, units: Units) -> str:
    from stovelint.report.junit import junit_report

    return junit_report(told)


def _codequality(told: Told, units: Units) -> str:
    from stovelint.report.codequality import codequality_report

    return codequality_report(told)


def _annotations(told: Told, units: Units) -> str:
    from stovelint.report.annotations import annotations_report

    return annotations_report(told)


def _markdown(told: Told, units: Units) -> str:
    from stovelint.report.markdown import markdown_report

    return markdown_report(told, units)


DOCUMENTS: Mapping[str, Callable[[Told, Units], str]] = {
    "json": _json,
    "sarif": _sarif,
    "sarif-upload": _sarif_upload,
    "junit": _junit,
    "codequality": _codequality,
    "annotations": _annotations,
    "markdown": _markdown,
}
FORMS = (TEXT, *DOCUMENTS)
SAID_OF: Mapping[str, str] = {
    "text": "correction list for people",
    "json": "one document with everything, schemas/report-1.json",
    "sarif": "SARIF 2.1.0 with everything",
    "sarif-upload": "SARIF 2.1.0 with only what is to be shown as open, for code hosts",
    "junit": "JUnit XML, a case for every plan and rule",
    "markdown": "a comment on a change request",
    "annotations": "workflow commands that a code host shows beside the lines",
    "codequality": "JSON list of findings that a code host shows in a change request",
}
FOR_PEOPLE = (TEXT, "markdown")
"""Forms that may be written in other units than SI."""
