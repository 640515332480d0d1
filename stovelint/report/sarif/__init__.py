"""The review as SARIF 2.1.0, the OASIS format for results of static analysis."""

from __future__ import annotations

from stovelint.report.sarif.document import sarif_report

__all__ = ["sarif_report"]
