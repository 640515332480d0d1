"""Materials of a shop's own: read like data, vetted like the catalogue, located like a plan."""

from __future__ import annotations

import os
import shutil
from pathlib import Path
from typing import Callable

import pytest

from stovelint.catalogue import Catalogue
from stovelint.errors import SettingsError
from stovelint.place import MOST_MISTAKES
from stovelint.settings import NAME, read_settings
from stovelint.settings.materials import MOST_FILES, OwnMaterial, read_materials
from tests.settings.shopfloor import SHOP, shop, told


def materials(root: Path) -> tuple[OwnMaterial, ...]:
    return read_materials(read_settings(str(root / NAME), shown=f"shop/{NAME}"))


def wrong(root: Path) -> list[tuple[str, str, str]]:
    with pytest.raises(SettingsError) as caught:
        materials(root)
    assert caught.value.file == f"shop/{NAME}"
    return told(caught.value)


def test_a_material_of_the_shop_is_one_of_the_catalogue() -> None:
    (own,) = materials(SHOP)
    assert (own.name, own.file) == ("lake-stone", "shop/materials/lake-stone.toml")
    catalogue = Catalogue({own.name: own.row})
    assert "lake-stone" in catalogue.names()
    assert catalogue.get("lake-stone").max_service.C == 150.0
    assert catalogue.get("lake-stone").title.startswith("Lake stone")


def test_no_folder_no_material(tmp_path: Path) -> None:
    (tmp_path / NAME).write_text("format = 1\n", encoding="utf-8")
    assert materials(tmp_path) == ()


def test_mistakes_of_every_file_at_once(tmp_path: Path) -> None:
    root = shop(tmp_path)
    stone = root / "materials" / "lake-stone.toml"
    text = stone.read_text(encoding="utf-8")
    line = text.split("\n").index("value = [2200, 2450, 2700]") + 1
    stone.write_text(text.replace("[2200, 2450, 2700]", "[22, 24, 27]"), encoding="utf-8")
    (root / "materials" / "slab.toml").write_text("title = 'Slab'\nfamily = 3\n", encoding="utf-8")
    (root / "materials" / "broken.toml").write_text("title = \n", encoding="utf-8")
    found = wrong(root)
    places = [place for place, _, _ in found]
    assert any(place.startswith("shop/materials/broken.toml:1:") for place in places)
    assert ("shop/materials/slab.toml:2:10", "`family` is not text", "give text") in found
    (slip,) = [one for one in found if one[0].startswith("shop/materials/lake-stone.toml")]
    assert slip[0] == f"shop/materials/lake-stone.toml:{line - 1}:1"
    assert "outside" in slip[1] and "unit" in slip[2]


def test_a_name_of_the_catalogue_is_refused(tmp_path: Path) -> None:
    """Another granite here than anywhere else would change verdicts by a name alone."""
    root = shop(tmp_path)
    folder = root / "materials"
    shutil.copy(folder / "lake-stone.toml", folder / "granite.toml")
    ((place, message, remedy),) = wrong(root)
    assert place == "shop/materials/granite.toml:1:1"
    assert message == "the catalogue already holds a material called granite" and "name" in remedy


def test_a_name_that_no_plan_could_write(tmp_path: Path) -> None:
    root = shop(tmp_path)
    (root / "materials" / "lake-stone.toml").rename(root / "materials" / "Lake Stone.toml")
    ((_, message, remedy),) = wrong(root)
    assert "`Lake Stone` cannot be the name" in message and "small letters" in remedy


def test_one_name_in_two_folders(tmp_path: Path) -> None:
    root = shop(tmp_path)
    shutil.copytree(root / "materials", root / "more")
    (root / NAME).write_text('format = 1\nmaterials = ["materials", "more"]\n', encoding="utf-8")
    ((place, message, _),) = wrong(root)
    assert place == "shop/more/lake-stone.toml:1:1"
    assert message == "material lake-stone stands already in shop/materials/lake-stone.toml"


def _pipe(folder: Path) -> None:
    folder.mkdir()
    os.mkfifo(folder / "stone.toml")


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (lambda root: None, "there is no such folder"),
        (lambda root: _pipe(root / "stone"), "holds no material"),
        (lambda root: (root / "stone").mkdir(), "holds no material"),
        (lambda root: (root / "stone").write_text("x", encoding="utf-8"), "a file, not a folder"),
        (lambda root: (root / "stone").symlink_to(root.parent), "leads out of the root"),
    ],
)
def test_a_folder_that_cannot_be_had(
    tmp_path: Path, make: Callable[[Path], object], said: str
) -> None:
    root = tmp_path / "root"
    root.mkdir()
    (root / NAME).write_text('format = 1\nmaterials = [ "stone" ]\n', encoding="utf-8")
    make(root)
    ((place, message, remedy),) = wrong(root)
    assert place == f"shop/{NAME}:2:15" and said in message and remedy


def test_a_link_within_the_root_is_followed(tmp_path: Path) -> None:
    root = shop(tmp_path)
    (root / "materials").rename(root / "truly")
    (root / "materials").symlink_to(root / "truly")
    assert [own.name for own in materials(root)] == ["lake-stone"]


def test_a_file_that_is_a_link_to_elsewhere(tmp_path: Path) -> None:
    root = shop(tmp_path)
    stone = root / "materials" / "lake-stone.toml"
    stone.rename(tmp_path / "elsewhere.toml")
    stone.symlink_to(tmp_path / "elsewhere.toml")
    ((place, message, _),) = wrong(root)
    assert place == "shop/materials/lake-stone.toml:1:1" and "leads out" in message


def test_too_many_files(tmp_path: Path) -> None:
    root = shop(tmp_path)
    for number in range(MOST_FILES):
        (root / "materials" / f"stone-{number}.toml").touch()
    ((place, message, _),) = wrong(root)
    assert str(MOST_FILES) in message and place.startswith(f"shop/{NAME}:7:")


def test_materials_that_would_take_minutes_to_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    root = shop(tmp_path)
    stone = (root / "materials" / "lake-stone.toml").read_text(encoding="utf-8")
    long = root / "materials" / "long.toml"
    long.write_text("k = 1\n" * 5600, encoding="utf-8")
    ((place, message, remedy),) = wrong(root)
    assert place.endswith("long.toml:1:1") and "longer than the 32768 bytes" in message and remedy
    long.write_text(stone, encoding="utf-8")
    monkeypatch.setattr("stovelint.settings.materials.MOST_BYTES", 2 * len(stone.encode()) - 1)
    ((place, message, _),) = wrong(root)
    assert place.startswith(f"shop/{NAME}:7:") and "together are longer" in message


def test_no_more_mistakes_than_anybody_reads(tmp_path: Path) -> None:
    root = shop(tmp_path)
    many = "".join(f"k{number} = 1\n" for number in range(1000))
    (root / "materials" / "odd.toml").write_text(many, encoding="utf-8")
    assert len(wrong(root)) == MOST_MISTAKES + 1


@pytest.mark.parametrize("word", ["nan", "inf", "1e999", "2027-06-30", "true"])
def test_what_is_no_figure(tmp_path: Path, word: str) -> None:
    root = shop(tmp_path)
    stone = root / "materials" / "lake-stone.toml"
    text = stone.read_text(encoding="utf-8")
    stone.write_text(text.replace("2450", word), encoding="utf-8")
    found = wrong(root)
    assert found and all(place.startswith("shop/materials/lake-stone") for place, _, _ in found)
