"""The contract between rules and everything else: Limit, Source, Finding, NotJudged, Scene, @rule.

A rule is a generator `def <name>(scene: Scene) -> Iterator[Outcome]`; it never prints, opens
files, or raises for a violation.
"""
