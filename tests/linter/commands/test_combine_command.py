"""``bedfellow combine``: a list from the command line or a file, in words and as data."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from bedfellow.linter.cli import app

pytestmark = pytest.mark.usefixtures("store_in_cache")

PAIR = ["Cornus mas", "Geranium macrorrhizum"]


def run(*words: str) -> tuple[int, str]:
    result = CliRunner().invoke(app, ["combine", *words])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result.exit_code, result.output


def test_a_list_in_words_and_as_data(tmp_path: Path) -> None:
    status, output = run(
        *PAIR, "Sedum spectabile", "Hosta 'Halcyon'", "Lavandula angustifolia 'Hidcote'", "Cornus maas"
    )
    assert (
        status == 1 and "'Sedum spectabile' is Hylotelephium spectabile" in output and "nearest: Cornus mas" in output
    )
    assert all(
        f"\n{heading}\n" in output for heading in ("Layers and company", "Through the year", "Cautions", "Delivery")
    )
    assert (
        "There is none for all; without" in output
        and "It takes a plan to judge" in output
        and "No list of poisonous" in output
    )
    assert not any(code in output for code in ("SPACE-", "too close")), "no distance is known"
    listed = "Ailanthus altissima is listed as invasive"
    told = [run("Ailanthus altissima", *PAIR, *more)[1] for more in ((), ("--to", "EU"), ("--to", "Atlantis"))]
    assert [listed in text for text in told] == [True, True, False]
    data = json.loads(run(*PAIR, "--format", "json")[1])
    assert (
        data["site"]["light"]
        and data["areas_m2"] == [1, 3, 5]
        and data["leave_out"] == []
        and len(data["interest"]) == 12
    )


@pytest.mark.parametrize(
    ("text", "words", "status", "told"),
    [
        ("# spring\nCornus mas\nGeranium macrorrhizum # edge\n", (), 0, "Top: Cornus mas"), ("name,n\nCornus mas,3\nGeranium macrorrhizum,9\n", (), 0, "Top: Cornus mas"),
        ("name;n\nCornus mas;3\n", ("--separator", "semicolon"), 0, "Top: Cornus mas"), ("name,n\nCornus mas\n", (), 2, ":2: 1 cells"),
        ("", (), 2, "the file is empty"), ("Cornus maas\n", (), 2, "none of these plants is known; nearest: Cornus alba, Cornus mas"), (None, (), 2, "name the plants"), ("Qqqq zzzz\n", (), 2, "is known; no known name is near them"),
    ],
)  # fmt: skip
def test_a_list_from_a_file(tmp_path: Path, text: str | None, words: tuple[str, ...], status: int, told: str) -> None:
    file = tmp_path / "list.csv"
    if text is not None:
        file.write_text(text, "utf-8")
        words = ("--list", str(file), *words)
    found, output = run(*words)
    assert found == status and told in output, output


def test_the_combinations_of_a_catalogue(tmp_path: Path) -> None:
    file = tmp_path / "catalogue.csv"
    rows = [("Early", "Cornus mas"), ("Lime", "Hosta 'Halcyon'"), ("Early", "Geranium macrorrhizum"), ("Lime", "Lavandula angustifolia 'Hidcote'"), ("Odd", "Nonsuch")]  # fmt: skip
    file.write_text("combination,name\n" + "".join(f"{group},{name}\n" for group, name in rows), "utf-8")
    status, output = run("--list", str(file))
    assert status == 1 and "1 of 3 share a site" in output and "Odd: no plant is called 'Nonsuch'" in output
    told = {one["name"]: one for one in json.loads(run("--list", str(file), "--format", "json")[1])["combinations"]}
    alone = json.loads(run("Cornus mas", "Geranium macrorrhizum", "--format", "json")[1])
    assert list(told) == ["Early", "Lime", "Odd"] and told["Early"]["sound"] and not told["Lime"]["sound"]
    assert told["Early"]["interest"] == alone["interest"] and told["Lime"]["leave_out"]


def test_pairs() -> None:
    status, output = run("--pairs", *PAIR, "Hosta 'Halcyon'", "Lavandula angustifolia 'Hidcote'")
    assert status == 0 and "4 plants, 6 pairs" in output and "by light" in output
    data = json.loads(run("--pairs", "--format", "json")[1])
    assert data["pairs"] > 500_000 and sum(data["partners"].values()) == 2 * data["sharing"]
