"""Which parser a build file goes to: by how its name ends."""

from __future__ import annotations

from stovelint.source.record import Source


def parse_text(name: str, text: str, file: str, *, bom: bool = False) -> Source:
    """Tree and places of a text in the format that the end of `name` tells; YAML if it tells none.

    Args: `file`: how messages call it.
    Errors: `BuildFileError` when there is no tree to go on with.

    >>> parse_text("kiln.heater.toml", 'title = "Kiln Cottage"', "kiln").tree
    {'title': 'Kiln Cottage'}
    """
    # Each format brings its library, and a call has plans of one format as a rule.
    if name.lower().endswith(".json"):
        from stovelint.source import json

        return json.parse(text, file, bom=bom)
    if name.lower().endswith(".toml"):
        from stovelint.source import toml

        return toml.parse(text, file, bom=bom)
    from stovelint.source import yaml

    return yaml.parse(text, file, bom=bom)
