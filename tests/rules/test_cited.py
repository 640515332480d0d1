"""What a note cites is listed with the sources, and judges nothing."""

from __future__ import annotations

from dataclasses import replace

import pytest

from stovelint.report.figures import finding_record
from stovelint.report.text import text_report
from stovelint.rule import Limit, Note
from tests.report.make import finding, item, limit, measure, review

CON = limit("CON-175", 175.0)
CRACK = replace(limit("CRACK-010", 0.1), source=replace(CON.source, title="a table of strains"))


def test_what_a_note_cites_has_a_row_under_the_sources() -> None:
    cites = Note(text="it cracks at less (CRACK-010, read)", limits=(CRACK, CON))
    one = finding(measure(272.0, 324.0, 387.0, CON), notes=(cites, cites))
    assert (one.judged, one.limits) == ((CON,), (CON, CRACK))  # each once, what judges first
    text = text_report(review(item(one)), {})
    may_take, sources = text.split("\nsources\n")
    assert "CRACK-010  a table of strains, 2001, 1.2, read" in sources
    assert "may take  175 degC in excursions (CON-175, read)\n" in may_take
    assert [s["key"] for s in finding_record(item(one), ())["sources"]] == ["CON-175", "CRACK-010"]


@pytest.mark.parametrize("limits", [(), (CON,)])
def test_a_note_that_cites_nothing_new_adds_no_row(limits: tuple[Limit, ...]) -> None:
    one = finding(measure(272.0, 324.0, 387.0, CON), notes=(Note(text="so", limits=limits),))
    assert one.limits == (CON,)
