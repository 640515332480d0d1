"""The least that any review of a plan must do: start, load numpy, compose YAML, check the schema.

Run as `python floor.py SCHEMA PLAN`. Imports nothing of ours, so that it stays what it is.
"""

from __future__ import annotations

import json
import sys
from typing import Any


def plain(node: Any) -> object:
    """Composed nodes -> the plain tree that a schema check needs; all scalars as text."""
    if node.id == "mapping":
        return {str(key.value): plain(value) for key, value in node.value}
    if node.id == "sequence":
        return [plain(item) for item in node.value]
    if node.tag.endswith(":int"):
        return int(node.value)
    return str(node.value)


def main() -> int:
    import numpy
    from jsonschema_rs import validator_for
    from ruamel.yaml import YAML

    with open(sys.argv[1], encoding="utf-8") as schema:
        check = validator_for(json.load(schema))
    with open(sys.argv[2], encoding="utf-8") as plan:
        tree = plain(YAML(typ="safe").compose(plan))
    if not check.is_valid(tree):
        print("the plan does not fit the schema, so this is no floor", file=sys.stderr)
        return 2
    return 0 if numpy.ones(1).sum() == 1.0 else 1


if __name__ == "__main__":
    sys.exit(main())
