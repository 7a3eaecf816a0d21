"""``bedfellow draw``: what it writes, and what it refuses."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import pytest
from typer.testing import CliRunner

from bedfellow.linter.cli import app
from bedfellow.linter.commands.draw import month_of
from bedfellow.linter.report.drawings import PICTURES
from bedfellow.traits_db.library import Library

PLAN = """\
format: 1
site: {latitude: 51.6, faces: S, ph: 7.4}
border: {outline: [[0, 0], [7, 0], [7, 3.6], [0, 3.6]]}
brief: {pets: [cat]}
plants:
- {key: R, name: Rhododendron 'Koichiro Wada', at: [2, 2]}
- {key: L, name: Lilium regale, at: [5, 2]}
"""


@pytest.fixture
def run(store, monkeypatch, tmp_path: Path):  # type: ignore[no-untyped-def]
    """The command in a folder that holds one plan, with the session's store; (exit status, output)."""
    monkeypatch.setattr("bedfellow.linter.commands.grown.library_of", lambda given: Library(given, store))
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1795564800")
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    Path("a.plan.yaml").write_text(PLAN, "utf-8")

    def call(*words: str) -> tuple[int, str]:
        result = CliRunner().invoke(app, ["draw", *words])
        assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
        return result.exit_code, " ".join(result.output.split())

    return call


def words(file: str) -> str:
    root = ElementTree.parse(file).getroot()
    return " ".join("".join(part.itertext()) for part in root.iter("{http://www.w3.org/2000/svg}text"))


def test_the_form_is_that_of_the_name(run) -> None:  # type: ignore[no-untyped-def]
    for name, begins in (("a.svg", b"<svg "), ("a.png", b"\x89PNG"), ("a.PDF", b"%PDF-")):
        assert run("a.plan.yaml", "--output", name) == (0, "")
        assert Path(name).read_bytes().startswith(begins)
    said = words("a.svg")
    assert "hates lime" in said and "ask a poison centre" in said and "2026-11-25" in said
    assert said.count("No list of poisonous plants is complete") == 1


def test_season_month_scale_and_picture(run) -> None:  # type: ignore[no-untyped-def]
    assert run(
        "a.plan.yaml", "--output", "e.svg", "--picture", "elevation", "--month", "feb", "--season", "3", "--scale", "20"
    ) == (0, "")
    said = words("e.svg")
    assert "February" in said and "season 3" in said and "1:20" in said


def test_all_pictures_are_the_pages_of_a_pdf(run) -> None:  # type: ignore[no-untyped-def]
    pypdf = pytest.importorskip("pypdf")
    assert run("a.plan.yaml", "--output", "a.pdf", "--picture", "all")[0] == 0
    assert len(pypdf.PdfReader("a.pdf").pages) == len(PICTURES)
    for name in ("all.svg", "all.png"):
        status, output = run("a.plan.yaml", "--output", name, "--picture", "all")
        assert status == 2 and "pages of a PDF" in output and not Path(name).exists()


def test_what_has_no_picture_is_left_out_and_told(run) -> None:  # type: ignore[no-untyped-def]
    pypdf = pytest.importorskip("pypdf")
    Path("b.plan.yaml").write_text(PLAN.replace("Lilium regale", "Cornus mas"), "utf-8")
    status, output = run("b.plan.yaml", "--output", "b.pdf", "--picture", "all")
    assert status == 0 and "left out bulbs: there are no bulbs" in output
    assert len(pypdf.PdfReader("b.pdf").pages) == len(PICTURES) - 1


def test_nothing_is_written_over_unless_one_says_so(run) -> None:  # type: ignore[no-untyped-def]
    Path("a.svg").write_text("mine", "utf-8")
    status, output = run("a.plan.yaml", "--output", "a.svg")
    assert status == 2 and "--replace" in output and Path("a.svg").read_text("utf-8") == "mine"
    assert run("a.plan.yaml", "--output", "a.svg", "--replace")[0] == 0
    assert Path("a.svg").read_text("utf-8").startswith("<svg")
    assert run("a.plan.yaml", "--output", "./a.plan.yaml", "--replace")[0] == 2
    assert Path("a.plan.yaml").read_text("utf-8") == PLAN


@pytest.mark.parametrize(
    ("given", "says"),
    [
        (("--output", "a.txt"), ".svg, .png or .pdf"),
        (("--output", "a.svg", "--picture", "portrait"), "--picture is one of plan"),
        (("--output", "a.svg", "--month", "Juli"), "--month is 'Juli'"),
        (("--output", "a.svg", "--month", "13"), "--month is '13'"),
        (("--output", "a.svg", "--scale", "30"), "--scale is 20, 50 or 100"),
        (("--output", "none/a.svg"), "there is no folder none"),
    ],
)
def test_what_is_refused(run, given: tuple[str, ...], says: str) -> None:  # type: ignore[no-untyped-def]
    before = sorted(Path().iterdir())
    status, output = run("a.plan.yaml", *given)
    assert status == 2 and says in output and sorted(Path().iterdir()) == before


def test_a_file_that_is_no_plan_is_refused(run) -> None:  # type: ignore[no-untyped-def]
    Path("b.plan.yaml").write_text("- a\n", "utf-8")
    for name, why in (("b.plan.yaml", "'bedfellow lint' tells more"), ("none.plan.yaml", "there is no such file")):
        status, output = run(name, "--output", "b.svg")
        assert status == 2 and "nothing to draw" in output and why in output and not Path("b.svg").exists()


def test_it_judges_by_the_settings_of_the_repository(run) -> None:  # type: ignore[no-untyped-def]
    Path("bedfellow.yaml").write_text("format: 1\nwithout: [SITE-01]\n", "utf-8")
    assert run("a.plan.yaml", "--output", "a.svg")[0] == 0
    assert "SITE-01" not in words("a.svg")
    Path("bedfellow.yaml").write_text("format: 2\n", "utf-8")
    status, output = run("a.plan.yaml", "--output", "b.svg")
    assert status == 2 and "settings are at fault" in output


def test_findings_can_be_left_out(run) -> None:  # type: ignore[no-untyped-def]
    assert run("a.plan.yaml", "--output", "a.svg", "--no-findings")[0] == 0
    assert "hates lime" not in words("a.svg") and "ask a poison centre" in words("a.svg")


def test_a_plan_without_findings_is_drawn(run) -> None:  # type: ignore[no-untyped-def]
    Path("bedfellow.yaml").write_text("format: 1\nonly: [SITE-03]\n", "utf-8")
    Path("b.plan.yaml").write_text(PLAN.replace("Rhododendron 'Koichiro Wada'", "Cornus mas"), "utf-8")
    assert run("b.plan.yaml", "--output", "b.svg")[0] == 0
    assert "To put right" not in words("b.svg")


def test_an_unknown_plant_is_marked(run) -> None:  # type: ignore[no-untyped-def]
    Path("b.plan.yaml").write_text(PLAN.replace("Lilium regale", "Lilium regalle"), "utf-8")
    assert run("b.plan.yaml", "--output", "b.svg", "--scale", "50")[0] == 0
    root = ElementTree.parse("b.svg").getroot()
    svg = "{http://www.w3.org/2000/svg}"
    [mark] = [ring for ring in root.iter(f"{svg}circle") if ring.findtext(f"{svg}title") == "Lilium regalle"]
    [known] = [g.find(f"{svg}circle") for g in root.iter(f"{svg}g") if g.get("class") == "crown"]
    assert known is not None
    assert float(mark.get("cx", 0)) - float(known.get("cx", 0)) == pytest.approx(3 * 20, abs=0.01)
    assert "L ?" in words("b.svg") and "Lilium regalle (not known)" in words("b.svg")


def test_months() -> None:
    assert [month_of(text) for text in ("June", "6", " sept ", "DEC", "1")] == [6, 6, 9, 12, 1]


def test_a_drawing_as_svg_loads_neither_typst_nor_more(filled: Path, tmp_path: Path) -> None:
    (tmp_path / "a.plan.yaml").write_text(PLAN, "utf-8")
    code = (
        "import sys; from bedfellow.linter.entry import main\n"
        "try: main()\nexcept SystemExit as end: print(end.code, sorted({'typst', 'ezdxf', 'xlsxwriter', 'fontTools'} & set(sys.modules)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, "draw", "a.plan.yaml", "--output", "a.svg"], cwd=tmp_path, capture_output=True, text=True,
        env={"PYTHONPATH": ":".join(path for path in sys.path if path), "XDG_CACHE_HOME": str(filled), "PATH": ""},
    )  # fmt: skip
    assert done.stdout.strip().endswith("[]"), done.stderr


@pytest.mark.parametrize(("latitude", "month"), [("51.6", "June"), ("-37.8", "December")])
def test_the_elevation_is_that_of_midsummer_if_nothing_is_said(run, latitude: str, month: str) -> None:  # type: ignore[no-untyped-def]
    assert "latitude: 51.6" in PLAN
    Path("b.plan.yaml").write_text(PLAN.replace("latitude: 51.6", f"latitude: {latitude}"), "utf-8")
    assert run("b.plan.yaml", "--output", "b.svg", "--picture", "elevation")[0] == 0
    assert f"In {month}, season 10" in words("b.svg")
