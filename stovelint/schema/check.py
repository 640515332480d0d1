"""Two engines over one schema: a fast one says valid or not, the reference one lists mistakes.

The fast engine costs a twentieth of a millisecond and is all that a valid plan pays for. The
reference engine is imported only for a plan that is not valid.
"""

from __future__ import annotations

import os
from functools import lru_cache
from typing import Any

import jsonschema_rs

from stovelint.place import Mistake, Places

BUILD = "build-1.json"
SETTINGS = "settings-1.json"
MATERIAL = "material-1.json"


@lru_cache(maxsize=None)
def schema_text(name: str = BUILD) -> str:
    """A schema, of build files (format 1) unless another is named, as JSON text.

    It lies beside this package when installed and beside the package folder in a checkout;
    opening it by place spares the import machinery.

    >>> '"$id": "https://stovelint.example/schemas/build-1.json"' in schema_text()
    True
    """
    package = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
    places = [
        os.path.join(package, "schemas", name),
        os.path.join(os.path.dirname(package), "schemas", name),
    ]
    for place in places:
        if os.path.isfile(place):
            with open(place, encoding="utf-8") as handle:
                return handle.read()
    raise FileNotFoundError(f"the schema {name} is missing from the installation")


@lru_cache(maxsize=None)
def _fast(name: str) -> jsonschema_rs.Draft202012Validator:
    return jsonschema_rs.Draft202012Validator(schema_text(name))


def is_valid(tree: object, name: str = BUILD) -> bool:
    """Whether a tree has the shape that a schema asks for; quantities are not looked into.

    >>> is_valid({"format": 1, "title": "Kiln Cottage"})
    False
    """
    return _fast(name).is_valid(tree)


def mistakes(
    tree: dict[str, Any], places: Places, name: str = BUILD
) -> tuple[Mistake, ...]:
    """Every mistake in the shape of a tree, in the order of the file; empty when it is valid."""
    if is_valid(tree, name):
        return ()
    from stovelint.schema.reword import list_mistakes

    return list_mistakes(tree, places, schema_text(name))
