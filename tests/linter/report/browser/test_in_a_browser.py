"""The page as a person has it: loaded from disk in Chromium, chosen in, moved through years and months, turned and printed."""

from __future__ import annotations

import base64
import io
import json
import shutil
from collections.abc import Iterator
from math import hypot
from pathlib import Path
from typing import Any

import pytest

from bedfellow.linter.report.browser.growth import SEASONS
from bedfellow.rules.border.phenology import share_of_month
from bedfellow.schema.values import FIRST_DAYS, MONTHS

CHROMIUM, DRIVER = shutil.which("chromium"), shutil.which("chromedriver")
pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(not (CHROMIUM and DRIVER), reason="chromium and chromedriver are not installed"),
]
FLAGS = (
    "--headless=new", "--no-sandbox", "--disable-gpu", "--use-angle=swiftshader", "--enable-unsafe-swiftshader",
    "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip
SLIDE = """
const [id, value] = arguments, slider = document.getElementById(id);
slider.value = value;
slider.dispatchEvent(new Event("input", { bubbles: true }));
"""


class Page:
    """A page in the browser, and the few things that are done with it."""

    def __init__(self, driver: Any) -> None:
        self.driver = driver

    def open(self, file: Path) -> None:
        self.driver.get(file.as_uri())

    def size(self, width: int, height: int) -> None:
        metrics = {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": width < 500}
        self.driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", metrics)

    def run(self, script: str, *words: object) -> Any:
        return self.driver.execute_script(script, *words)

    def all(self, selector: str) -> list[Any]:
        return self.driver.find_elements("css selector", selector)  # type: ignore[no-any-return]

    def text(self, selector: str) -> str:
        return self.run("return document.querySelector(arguments[0]).textContent", selector)  # type: ignore[no-any-return]

    def show(self, season: int, month: int) -> None:
        self.run(SLIDE, "season", SEASONS.index(season))
        self.run(SLIDE, "month", month)

    def radius(self, number: int) -> float:
        """m of the first crown of a plant on the plan."""
        found = self.run(f"return document.querySelector('#plan [data-plant=\"{number}\"] .crown').getAttribute('r')")
        return float(found) / 100

    def eye(self) -> tuple[float, ...]:
        self.run("document.getElementById('stage').scrollIntoView({block: 'center'})")
        self.until("return Boolean(document.getElementById('stage').dataset.eye)")
        return tuple(map(float, self.run("return document.getElementById('stage').dataset.eye").split()))

    def until(self, script: str) -> None:
        from selenium.webdriver.support.ui import WebDriverWait

        WebDriverWait(self.driver, 20, 0.05).until(lambda driver: driver.execute_script(script))

    def faults(self) -> list[str]:
        """What the browser has logged as an error since this was asked last."""
        return [entry["message"] for entry in self.driver.get_log("browser") if entry["level"] == "SEVERE"]

    def requests(self) -> list[str]:
        """Addresses that were asked for, since this was asked last."""
        messages = [json.loads(entry["message"])["message"] for entry in self.driver.get_log("performance")]
        return [m["params"]["request"]["url"] for m in messages if m["method"] == "Network.requestWillBeSent"]

    def printed(self, width: float, height: float, read: int | None = None) -> list[str]:
        """The text of each page on paper of so many inches; only of the first few that are to be read."""
        from pypdf import PdfReader

        asked = {"paperWidth": width, "paperHeight": height, "printBackground": True}
        pdf = base64.b64decode(self.driver.execute_cdp_cmd("Page.printToPDF", asked)["data"])
        found = PdfReader(io.BytesIO(pdf)).pages
        return [page.extract_text() if read is None or at < read else "" for at, page in enumerate(found)]


@pytest.fixture(scope="module")
def chromium(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    from selenium import webdriver

    options = webdriver.ChromeOptions()
    options.binary_location = str(CHROMIUM)
    for flag in (*FLAGS, f"--user-data-dir={tmp_path_factory.mktemp('profile')}"):
        options.add_argument(flag)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
    driver = webdriver.Chrome(options=options, service=webdriver.ChromeService(str(DRIVER)))
    driver.set_script_timeout(30)
    yield Page(driver)
    driver.quit()


@pytest.fixture(scope="module")
def file(demo, tmp_path_factory: pytest.TempPathFactory) -> Path:  # type: ignore[no-untyped-def]
    file = tmp_path_factory.mktemp("page") / "demo.html"
    file.write_text(demo.html, "utf-8")
    return file


@pytest.fixture
def opened(chromium: Page, file: Path) -> Page:
    chromium.size(1100, 700)
    chromium.open(file)
    return chromium


@pytest.fixture
def border(demo):  # type: ignore[no-untyped-def]
    return demo.result.border


def number_of(border: Any, key: str) -> int:
    return next(number for number, planting in enumerate(border.standing) if planting.key == key)


def test_it_loads_whole_and_asks_nothing_of_a_network(chromium: Page, file: Path) -> None:
    chromium.size(1100, 700)
    chromium.faults(), chromium.requests()
    chromium.open(file)
    chromium.eye()
    assert chromium.requests() == [file.as_uri()]
    assert chromium.run("return performance.getEntriesByType('resource').length") == 0
    assert chromium.faults() == []
    assert "Orchard Gate" in chromium.text("h1")
    # The policy forbids what the page never asks for.
    refused = "fetch('https://example.invalid/').then(() => 'went', () => 'refused').then(arguments[0])"
    assert chromium.driver.execute_async_script(refused) == "refused"
    assert any("Content Security Policy" in fault for fault in chromium.faults())


def test_a_finding_lights_up_its_plants_and_shows_its_line(opened: Page, border: Any) -> None:
    button = next(b for b in opened.all("button.choose") if "SPACE-01" in b.text)
    button.send_keys("\n")  # by keyboard
    assert button.get_attribute("aria-pressed") == "true"
    lit = opened.run(
        "return [...document.querySelectorAll('#plan .plant.lit')].map((one) => Number(one.dataset.plant))"
    )
    assert sorted(lit) == sorted([number_of(border, "CoM"), number_of(border, "OsB")])
    told = opened.text("#chosen")
    assert "orchard-gate.plan.yaml:12:" in told and "key: OsB, name: Osmanthus × burkwoodii, at: [2.7, 2.5]" in told
    opened.run(
        "[...document.querySelectorAll('#chosen button')].find((one) => one.textContent.includes('CoM')).click()"
    )
    told = opened.text("#chosen")
    assert "orchard-gate.plan.yaml:11:" in told and "key: CoM" in told and "SPACE-01" in told and "2.80 m high" in told
    assert opened.run("return document.querySelectorAll('#plan .plant.lit').length") == 1


def test_a_plant_is_chosen_in_the_drawing(opened: Page, border: Any) -> None:
    number = number_of(border, "ViT")
    opened.run(
        f"document.querySelector('#plan [data-plant=\"{number}\"] .crown').dispatchEvent(new MouseEvent('click', {{bubbles: true}}))"
    )
    assert "Viburnum tinus (ViT)" in opened.text("#chosen h3")
    assert opened.run("return document.querySelector('#plant-table tr.lit').textContent").startswith("Viburnum tinus")


@pytest.mark.parametrize(("season", "month"), [(1, 3), (3, 7), (10, 7), (10, 11), (20, 1)])
def test_the_sliders_redraw_every_crown_leaf_and_flower(opened: Page, border: Any, season: int, month: int) -> None:
    opened.show(season, month)
    day = FIRST_DAYS[month - 1] + 14
    drawn = opened.run(
        "return [...document.querySelectorAll('#plan .plant')].map((one) => [Number(one.dataset.plant),"
        " Number(one.querySelector('.crown').getAttribute('r')), one.querySelector('.crown').getAttribute('class'),"
        " Number(one.querySelector('.bloom').getAttribute('r')), one.querySelector('.bloom').getAttribute('fill')])"
    )
    assert len(drawn) == len(border.standing)
    for number, radius, names, bloom, paint in drawn:
        planting = border.standing[number]
        crown = border.crown_on(planting, season, day) if border.present(planting, season) else None
        there = crown is not None and not planting.supported
        assert radius / 100 == pytest.approx(crown.greatest_radius if there else 0, abs=0.0051), planting.key
        leaf = "evergreen" if planting.evergreen else "leafy" if border.in_leaf(planting, day) else "bare"
        assert names in (f"crown {leaf}", "crown turning")
        window = border.window(planting, "flower")
        span = (window.start.typical, window.end.typical) if window else (0.0, 0.0)
        blooms = share_of_month(span, month) >= 1 / 3 and border.present(planting, season)
        assert bool(bloom) == blooms, planting.key
        assert bool(bloom) == (paint != "none")
    assert opened.text("#plan-when").startswith(f"Season {season}, {MONTHS[month - 1]} {2026 + season}:")
    assert opened.text("#news") == opened.text("#plan-when")
    assert opened.run("return document.getElementById('month').getAttribute('aria-valuetext')") == MONTHS[month - 1]


def test_crowns_grow_between_seasons(opened: Page, border: Any) -> None:
    number = number_of(border, "CoM")
    planting = border.standing[number]
    found = []
    for season in (3, 10):
        opened.show(season, 7)
        found.append(opened.radius(number))
        assert found[-1] == pytest.approx(border.crown(planting, season).greatest_radius, abs=0.0051)
    assert found[0] < found[1]


def test_arrow_keys_move_the_sliders(opened: Page) -> None:
    slider = opened.driver.find_element("id", "month")
    slider.send_keys("\ue014")  # right
    assert opened.text("#month-says") == "August" and "August" in opened.text("#plan-when")
    opened.driver.find_element("id", "season").send_keys("\ue012")  # left
    assert opened.text("#season-says") == "9"


def test_the_elevation_is_redrawn(opened: Page, border: Any) -> None:
    for season, month in ((1, 7), (10, 7)):
        opened.show(season, month)
        points = opened.run("return document.querySelector('.skyline').getAttribute('points')").split()
        heights = [-float(point.split(",")[1]) / 100 for point in points]
        assert heights == pytest.approx(border.front_elevation(season, FIRST_DAYS[month - 1] + 14), abs=0.0051)
    tallest = max(-float(y) for y in opened.run(
        "return [...document.querySelectorAll('#elevation .silhouette')].flatMap((one) => one.getAttribute('points').split(' ').map((p) => p.split(',')[1]))"
    ))  # fmt: skip
    assert tallest / 100 == pytest.approx(2.8, abs=0.011)  # the cornel


def test_hours_of_sun_on_the_ground(opened: Page, border: Any) -> None:
    opened.run("document.querySelector('input[value=light]').click()")
    opened.show(10, 6)
    cells = opened.run("return [...document.querySelectorAll('#plan .cell')].map((one) => Number(one.dataset.hours))")
    assert len(cells) == 140
    at = (0.25 + 0.5 * 5, 0.25 * 1.0, 0.1)
    assert cells[5] == pytest.approx(border.light_by_month(at, 10)[5].hours, abs=0.0051)
    opened.show(10, 12)
    winter = opened.run("return [...document.querySelectorAll('#plan .cell')].map((one) => Number(one.dataset.hours))")
    assert max(winter) < max(cells)


def test_the_view_is_turned_and_grows(opened: Page) -> None:
    start = opened.eye()
    picture = "return document.getElementById('canvas').toDataURL()"
    before = opened.run(picture)
    stage = opened.driver.find_element("id", "stage")
    stage.send_keys("\ue012\ue012\ue012")  # left, by keyboard
    turned = opened.eye()
    assert turned != start and opened.run(picture) != before
    # About the same point and at the same height.
    middle = (5.0, -1.8)
    arms = [hypot(eye[0] - middle[0], eye[2] - middle[1]) for eye in (start, turned)]
    assert arms[0] == pytest.approx(arms[1], abs=0.05) and turned[1] == pytest.approx(start[1], abs=0.02)
    opened.run("document.querySelector('[data-move=nearer]').click()")
    assert hypot(opened.eye()[0] - middle[0], opened.eye()[2] - middle[1]) < arms[0]
    stage.send_keys("\ue011")  # home
    assert opened.eye() == start
    then = opened.run(picture)
    opened.show(1, 7)
    assert opened.run(picture) != then
    assert "season 1, July" in opened.run("return document.getElementById('canvas').getAttribute('aria-label')")
    opened.run("document.querySelector('input[name=view][value=above]').click()")
    assert opened.eye()[1] > 5 and opened.faults() == []


def test_the_eye_stands_at_the_viewing_place(chromium: Page, harmful: Any, tmp_path: Path) -> None:
    file = tmp_path / "harmful.html"
    file.write_text(harmful.html, "utf-8")
    chromium.size(1100, 700)
    chromium.open(file)
    assert chromium.eye() == (-2.0, 1.2, 2.0)  # two metres left of the border and before it


def test_a_plan_that_means_harm_does_none(chromium: Page, harmful: Any, tmp_path: Path) -> None:
    file = tmp_path / "harmful.html"
    file.write_text(harmful.html, "utf-8")
    chromium.faults()
    chromium.open(file)
    chromium.eye()
    for button in chromium.all("button.choose, #plant-table button"):
        chromium.run("arguments[0].click()", button)
    chromium.show(3, 11)
    assert chromium.run("return window.harmed === undefined && document.querySelectorAll('img, iframe').length === 0")
    assert chromium.faults() == []
    assert "<script>window.harmed=1</script>" in chromium.text("h1")


def test_without_webgl_the_page_says_so_and_the_rest_works(opened: Page, file: Path) -> None:
    source = "HTMLCanvasElement.prototype.getContext = () => null;"
    added = opened.driver.execute_cdp_cmd("Page.addScriptToEvaluateOnNewDocument", {"source": source})
    try:
        opened.open(file)
        opened.run("document.getElementById('stage').scrollIntoView()")
        opened.until("return !document.getElementById('solid-none').hidden")
        assert "WebGL" in opened.text("#solid-none")
        opened.show(3, 11)
        assert opened.text("#plan-when").startswith("Season 3, November")
    finally:
        opened.driver.execute_cdp_cmd("Page.removeScriptToEvaluateOnNewDocument", added)
        opened.faults()


@pytest.mark.parametrize("width", [1280, 360])
def test_accessibility_rules(opened: Page, width: int) -> None:
    import axe_selenium_python

    opened.size(width, 900)
    opened.eye()
    opened.run(
        "document.querySelector('button.choose').click(); document.querySelectorAll('details').forEach((d) => d.open = true)"
    )
    axe = next(Path(axe_selenium_python.__file__).parent.rglob("axe.min.js"))
    opened.run(axe.read_text("utf-8"))
    # On a narrow page only what depends on the width is looked at again.
    rules = {} if width > 1000 else {"runOnly": {"type": "rule", "values": ["color-contrast", "label", "region"]}}
    found = opened.driver.execute_async_script("axe.run(document, arguments[0]).then(arguments[1])", rules)
    assert (
        found["passes"]
        and [(one["id"], one["help"], [node["html"][:120] for node in one["nodes"][:4]]) for one in found["violations"]]
        == []
    )


@pytest.mark.parametrize("width", [360, 768, 1280])
def test_nothing_runs_over_the_side(opened: Page, width: int) -> None:
    opened.size(width, 800)
    opened.run("document.querySelectorAll('details').forEach((one) => one.open = true)")
    assert opened.run("return document.documentElement.scrollWidth") <= width


def test_everything_is_reached_by_keyboard(opened: Page) -> None:
    from selenium.webdriver.common.action_chains import ActionChains

    opened.run(
        "window.reached = {}; document.addEventListener('focusin', ({ target: e }) => { window.reached[e.id || e.dataset.move"
        " || e.dataset.finding || e.name || e.getAttribute('aria-label') || e.className || e.tagName] = getComputedStyle(e).outlineStyle; })"
    )
    ActionChains(opened.driver).send_keys("\ue004" * 130).perform()
    reached = opened.run("return window.reached")
    wanted = {
        "season",
        "month",
        "shows",
        "signs",
        "view",
        "stage",
        "left",
        "farther",
        "0",
        "5",
        "Drawing of the plan",
        "skip",
    }
    assert wanted <= set(reached)
    assert "none" not in reached.values()  # it is seen where one is


def test_it_prints_on_a4(opened: Page, demo: Any) -> None:
    opened.eye()
    opened.show(3, 11)
    pages = opened.printed(8.27, 11.69)
    text = " ".join(" ".join(pages).split())
    assert 3 <= len(pages) <= 12
    assert all(page.strip() for page in pages)
    assert "Season 3, November 2029:" in text and "Cautions" in text and "Calendar of interest" in text
    assert "turn left" not in text and "To the findings" not in text
    for finding in demo.result.findings:
        if finding.level == "error":
            assert " ".join(finding.message.split()) in text


def test_it_prints_on_fewer_pages_of_a3(opened: Page) -> None:
    pages = opened.printed(16.54, 11.69, read=1)
    assert 3 <= len(pages) <= 9 and "Orchard Gate" in pages[0] and "Season 10, July 2036:" in " ".join(pages[0].split())
