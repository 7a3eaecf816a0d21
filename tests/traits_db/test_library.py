"""Which plant data a plan gets: pinned snapshots found, records that lie with the plan, and layers value by value."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest

from bedfellow.traits_db.compile import records_of
from bedfellow.traits_db.folders import kept_with
from bedfellow.traits_db.library import Data, Library, NoData
from bedfellow.traits_db.records import read_records
from bedfellow.traits_db.version import version_of


def height(data: Data, name: str = "Testa alba", trait: str = "height") -> float | None:
    traits = data.store.find([name])[name]
    assert traits is not None
    measure = traits.measure(trait)
    return measure.typical if measure else None


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    """Where a plan lies, in a repository."""
    (tmp_path / "garden" / ".git").mkdir(parents=True)
    (tmp_path / "garden" / "plans").mkdir()
    return tmp_path / "garden" / "plans" / "a.plan.yaml"


@pytest.mark.parametrize("where", ["beside", "folder", "file", "plant-records", "top plant-records"])
@pytest.mark.parametrize("length", [8, 16, 64])
def test_a_pinned_snapshot_is_found(shelf: Any, plan: Path, tmp_path: Path, where: str, length: int) -> None:
    top = tmp_path / "garden"
    places = {
        "beside": plan.parent,
        "plant-records": plan.parent / "plant-records",
        "top plant-records": top / "plant-records",
    }
    file = shelf.snapshot(places.get(where, tmp_path / "elsewhere"), 5)
    given = {"folder": [file.parent], "file": [file]}.get(where, [])
    version = Library([file]).data_for(plan).version
    data = Library(given, shelf.shipped).data_for(plan, version[:length])
    assert (height(data), data.version, data.name, data.folders) == (5, version, str(file), ()) and data.meets(version)
    assert file.name in data.told and version[:16] in data.told


def test_what_is_shipped_needs_no_snapshot(shelf: Any, plan: Path) -> None:
    library = Library((), shelf.shipped)
    for pin in (None, shelf.shipped.version, shelf.shipped.version[:8]):
        data = library.data_for(plan, pin)
        assert data.store is shelf.shipped and data.told == f"as shipped, version {shelf.shipped.version[:16]}"


def test_not_found_or_more_than_one(shelf: Any, plan: Path, tmp_path: Path) -> None:
    data = Library([tmp_path / "shipped"], shelf.shipped).data_for(plan, "0" * 16)
    assert data.store is shelf.shipped and not data.meets("0" * 16)
    assert data.sought == ("beside the plan", f"in {tmp_path / 'shipped'}") and not data.fitting
    # The same snapshot twice is one; two of the same beginning are not.
    one = shelf.snapshot(plan.parent, 5)
    shutil.copy(one, tmp_path / "shipped")
    assert height(Library([tmp_path / "shipped"], shelf.shipped).data_for(plan, shelf.pin(one)[:8])) == 5
    found = {shelf.pin(one)[0]: one}
    for number in range(6, 40):
        file = shelf.snapshot(tmp_path / "more", number)
        if (same := shelf.pin(file)[0]) in found and not shelf.shipped.version.startswith(same):
            data = Library([tmp_path / "more"], shelf.shipped).data_for(plan, same)
            assert data.store is shelf.shipped and {str(file)} <= set(data.fitting) and len(data.fitting) > 1
            return
        found[same] = file
    pytest.fail("34 hashes with 16 beginnings")


@pytest.mark.parametrize("kind", ["empty", "text", "cut short", "newer", "misnamed"])
def test_a_snapshot_that_cannot_be_used(shelf: Any, plan: Path, kind: str) -> None:
    file = shelf.snapshot(plan.parent, 5)
    pin, whole = shelf.pin(file), bytearray(file.read_bytes())
    whole[60:64] = (99).to_bytes(4, "big")  # the header's user version (sqlite.org, Database File Format)
    if kind == "misnamed":
        file = file.rename(file.with_name("plants-0123456789abcdef.sqlite"))
        pin = "0123456789abcdef"
    else:
        file.write_bytes(
            {"empty": b"", "text": b"plants\n" * 99, "cut short": whole[: len(whole) // 2], "newer": whole}[kind]
        )
        with pytest.raises(NoData, match="newer" if kind == "newer" else "no snapshot"):
            Library([file])
    data = Library((), shelf.shipped).data_for(plan, pin)
    assert data.store is shelf.shipped and not data.meets(pin)
    assert (len(data.unfit) == 1 and str(file) in data.unfit[0]) or kind == "misnamed"


def test_layers_value_by_value(shelf: Any, plan: Path, tmp_path: Path) -> None:
    def alba(folder: Path, traits: str) -> Path:
        return shelf.records(folder, f"- {{name: Testa alba, rank: species, traits: {{{traits}}}}}\n")

    team, pinned = shelf.snapshot(tmp_path / "team", 5), shelf.snapshot(plan.parent, 6)
    traits = ("height", "spread", "height_10", "lifespan")
    assert [height(Library([team]).data_for(plan), trait=trait) for trait in traits] == [5, 1, None, None]
    named = alba(tmp_path / "named", "height_10: 33, lifespan: 44")
    top = alba(tmp_path / "garden" / "plant-records", "spread: 12, height_10: 13, lifespan: 14")
    beside = alba(plan.parent / "plant-records", "height_10: 23, lifespan: 24")
    data = Library([named, team], shelf.shipped).data_for(plan)
    assert [height(data, trait=trait) for trait in traits] == [5, 12, 33, 44]
    assert data.folders == (str(top), str(beside), str(named)) and data.name == str(team)
    assert f"under records in {top}, {beside}, {named}; together version {data.store.version[:16]}" in data.told
    data = Library([beside, team], shelf.shipped).data_for(
        plan, shelf.pin(pinned)
    )  # a folder that is found and named counts once
    assert [height(data, trait=trait) for trait in traits] == [6, 12, 23, 24] and data.folders == (
        str(top),
        str(beside),
    )
    assert data.meets(shelf.pin(pinned)) and data.meets(data.store.version[:8])
    again = Library([beside, team], shelf.shipped).data_for(plan, data.store.version)
    assert again.name == str(team) and not again.meets(
        data.store.version
    )  # together with the pinned one it was another


def test_a_more_specific_taxon_comes_first_and_parents_are_found_among_all(shelf: Any, plan: Path) -> None:
    """A species of one's own comes between a genus and a cultivar underneath, as in folders that are read at once."""
    own = shelf.records(
        plan.parent / "plant-records", "- {name: Testa nigra, rank: species, traits: {spread: 9, wind: 1}}\n"
    )
    data = Library((), shelf.shipped).data_for(plan)
    nana = data.store.find(["Testa nigra 'Nana'"])["Testa nigra 'Nana'"]
    fact = nana.fact("wind") if nana else None
    assert height(data, "Testa nigra 'Nana'", "spread") == 2 and fact is not None and fact.level == "species"
    assert data.store.version == version_of(read_records([shelf.folder / "aside", own]))
    assert version_of(records_of(data.store)) != data.store.version  # parents not found yet


def test_records_with_a_plan_are_compiled_once(shelf: Any, plan: Path, tmp_path: Path) -> None:
    own = shelf.records(plan.parent / "plant-records", "- {name: Testa alba, rank: species, traits: {height: 7}}\n")
    for _ in range(2):
        assert height(Library((), shelf.shipped).data_for(plan)) == 7
    assert len(list((tmp_path / "cache").rglob("store.sqlite"))) == 1
    (own / "Testa.yaml").write_text((own / "Testa.yaml").read_text("utf-8").replace("7", "8"), "utf-8")
    assert height(Library((), shelf.shipped).data_for(plan)) == 8
    (own / "Testa.yaml").write_text("format: 1\ntaxa: [{name: Testa alba}]\n", "utf-8")
    with pytest.raises(NoData, match=r"at fault:\n.*Testa.yaml:2:8: a taxon has a name and a rank"):
        Library((), shelf.shipped).data_for(plan)


def test_never_outside_the_repository(plan: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "plant-records").mkdir()  # above the repository
    (tmp_path / "garden" / "plans" / "deep").mkdir()
    deep = tmp_path / "garden" / "plans" / "deep" / "b.plan.yaml"
    assert kept_with(deep) == ([], [])
    (plan.parent / "plant-records").mkdir()  # between the plan and the top
    top = tmp_path / "garden" / "plant-records"
    top.mkdir()
    assert kept_with(deep) == ([top], []) and kept_with(plan) == ([top, plan.parent / "plant-records"], [])
    monkeypatch.chdir(plan.parent)
    assert kept_with(Path("a.plan.yaml")) == ([Path("../plant-records"), Path("plant-records")], [])
    link = deep.parent / "plant-records"
    link.symlink_to(tmp_path / "plant-records")
    assert kept_with(deep) == ([top], [link])
    with pytest.raises(NoData, match="leads out of the repository"):
        Library().data_for(deep)
    (tmp_path / "garden" / ".git").rmdir()
    assert kept_with(deep)[1] == [link] and kept_with(plan) == ([plan.parent / "plant-records"], [])


@pytest.mark.parametrize(
    ("given", "says"), [(["none"], "not a folder"), (["none.sqlite"], "no such file"), (["a", "b"], "only one")]
)
def test_wrong_arguments(tmp_path: Path, given: list[str], says: str) -> None:
    for name in ("a", "b"):
        (tmp_path / name).write_text("", "utf-8")
    with pytest.raises(NoData, match=says):
        Library([tmp_path / name for name in given])
