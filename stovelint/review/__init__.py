"""Runs rules over a plan, sets levels and the outcome, contains a rule that breaks."""

from __future__ import annotations

from stovelint.review.judge import review, run_rule
from stovelint.review.materials import check_materials, materials_of
from stovelint.review.objector import objector
from stovelint.review.records import Crash, Item, OpenQuestion, Review, Run, Solve, Verdict

__all__ = [
    "Crash",
    "Item",
    "OpenQuestion",
    "Review",
    "Run",
    "Solve",
    "Verdict",
    "check_materials",
    "materials_of",
    "objector",
    "review",
    "run_rule",
]
