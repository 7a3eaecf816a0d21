"""House rules: their conditions over a real border, and what is said of files that are none."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from bedfellow.linter.engine import Result
from bedfellow.rules.declaration import declarations, files_in
from bedfellow.rules.finding import Finding, Unjudged
from bedfellow.rules.house.conditions import BadCondition, compiled
from bedfellow.rules.house.reading import BrokenRules, read_rules
from bedfellow.schema.reader import read_file
from bedfellow.schema.validity import faults_against

RULE = """\
code: HILL-01
name: tall by the path
level: warning
each: plant
season: 10
if: plant.height > limits.tallest && plant.distance_to.path < 2.0
unless: {wanted: has(plant.line.x_wanted)}
evidence: {height: plant.height}
summary: A tall plant stands by the path.
found: Higher than a limit in season 10, within 2 m of a path.
basis: common practice
settings: {tallest: {default: 1.5, unit: m, about: plants up to this height may stand there, basis: common practice}}
right_when: {wanted: the line says x-wanted}
says: "{plant} is {height:metres} high in season {season}."
mend: Move it back.
examples: [{shows: none, plan: "plants: []"}]
"""
PLANTS = """\
surfaces: [{kind: path, from: [0, -0.5], to: [20, -0.5], width: 1}]
plants:
- {key: ViT, name: Viburnum tinus, at: [3, 1.5]}
- {key: OsB, name: Osmanthus × burkwoodii, at: [9, 1.5], x-wanted: yes}
- {key: CoM, name: Cornus mas, at: [15, 8]}
- {key: GeM, name: Geranium macrorrhizum, at: [6, 1]}
"""
HEAD = """\
format: 1
site: {latitude: 51.6, faces: S, ph: 6.8, exposure: exposed}
border: {outline: [[0, 0], [20, 0], [20, 10], [0, 10]]}
"""


@pytest.fixture
def say(lint_text: Callable[..., Result], tmp_path: Path) -> Callable[..., list[Finding | Unjudged]]:
    """What a rule says of PLANTS, after some of its text was replaced."""

    def judge(*changes: tuple[str, str], plants: str = PLANTS) -> list[Finding | Unjudged]:
        text = RULE
        for old, new in changes:
            assert old in text
            text = text.replace(old, new)
        file = tmp_path / "rule.yaml"
        file.write_text(text, "utf-8")
        ((rule, _),) = read_rules([file], declarations()).values()
        border = lint_text(HEAD + plants).border
        assert border is not None
        return list(rule.judged(border, rule.limits()))

    return judge


def test_a_plant(say: Callable[..., list[Finding]]) -> None:
    (found,) = say()
    assert (found.code, found.level, found.keys, found.at) == ("HILL-01", "warning", ("ViT",), ("plants", 0))
    # A little lower than the 2.2 m of its record: the site is exposed.
    assert found.message == f"Viburnum tinus (ViT) is {found.evidence['height']:.2f} m high in season 10."
    assert 1.8 < found.evidence["height"] < 2.2


@pytest.mark.parametrize(
    ("condition", "keys"),
    [
        ("plant.traits.foliage == 'evergreen'", ["ViT"]), ("plant.evergreen && site.exposure == 'exposed'", ["ViT"]),
        ("2.0 in plant.months && plant.woody", ["ViT", "CoM"]), ("plant.quantity == 1.0 && plant.x > 10.0", ["CoM"]),
        ("plant.traits.flower.months.exists(m, m == 2.0)", ["ViT", "CoM"]), ("plant.light.june > 20.0", []),
        ("'full sun' in plant.traits.light && plant.key.startsWith('C')", ["CoM"]), ("plant.soil.ph < 6.0", []),
        ("plant.traits.hazards.exists(h, h.who == 'people' && h.severity >= 1.0) && plant.key == 'ViT'", ["ViT"]),
        ("plan.width == 20.0 && plant.spread > 2.0", ["ViT", "CoM"]), ("plant.distance_to.wall < 5000.0", []),
    ],
)  # fmt: skip
def test_facts_of_a_plant(say: Callable[..., list[Finding]], condition: str, keys: list[str]) -> None:
    found = say(("if: plant.height > limits.tallest && plant.distance_to.path < 2.0", f'if: "{condition}"'))
    assert [f.keys[0] for f in found if isinstance(f, Finding)] == keys


def test_pairs_months_and_the_plan(say: Callable[..., list[Finding]]) -> None:
    whole = ("unless: {wanted: has(plant.line.x_wanted)}\n", "")
    said = ('says: "{plant} is {height:metres} high in season {season}."', 'says: "{distance:metres}"')
    pairs = say(
        ("each: plant", "each: pair"), whole, said, ("evidence: {height: plant.height}", "evidence: {distance: distance}"),
        ("plant.height > limits.tallest && plant.distance_to.path < 2.0", "distance < 1.0 && first.woody != second.woody"),
        plants="plants:\n- {key: A, name: Cornus mas, at: [3, 3]}\n- {key: B, name: Geranium macrorrhizum, at: [3.5, 3]}\n",
    )  # fmt: skip
    assert [(f.keys, f.message) for f in pairs] == [(("A", "B"), "50 cm")]
    months = say(
        ("each: plant", "each: month"), whole, ('says: "{plant} is {height:metres} high in season {season}."', 'says: "{month}"'),
        ("evidence: {height: plant.height}", "evidence: {}"),
        ("plant.height > limits.tallest && plant.distance_to.path < 2.0", "month.plants.size() < 2"),
        plants="plants:\n- {key: A, name: Cornus mas, at: [3, 3]}\n- {key: B, name: Geranium macrorrhizum, at: [6, 3]}\n",
    )  # fmt: skip
    assert months and all(f.keys == () and f.apart for f in months) and "January" in {f.message for f in months}
    kept = say(
        ("each: plant", "each: month"), whole, ('says: "{plant} is {height:metres} high in season {season}."', 'says: "{month}"'),
        ("evidence: {height: plant.height}", "evidence: {}"),
        ("plant.height > limits.tallest && plant.distance_to.path < 2.0", "month.plants.exists(p, p.key == 'T' && p.x == 3.0)"),
        plants="retained:\n- {key: T, name: Cornus mas, at: [3, 3], height: 4, crown: 2, action: keep}\nplants:\n- {key: B, name: Geranium macrorrhizum, at: [6, 3]}\n",
    )  # fmt: skip
    assert "March" in {f.message for f in kept}, "a plant of the bed that was there before is looked at too"
    (plan,) = say(
        ("each: plant", "each: plan"), whole, ('says: "{plant} is {height:metres} high in season {season}."', 'says: "{number:.0f}"'),
        ("evidence: {height: plant.height}", "evidence: {number: double(plants.size())}"),
        ("plant.height > limits.tallest && plant.distance_to.path < 2.0", "plants.exists(p, p.life_form == 'shrub')"),
    )  # fmt: skip
    assert plan.message == "4" and plan.keys == ()


def test_what_is_not_known_is_told(say: Callable[..., list[Finding | Unjudged]]) -> None:
    unknown = {
        u.key: u.wanting
        for u in say(("plant.height > limits.tallest", "plant.traits.bark.strength > 1.0"))
        if isinstance(u, Unjudged)
    }
    assert unknown["ViT"] == ("bark",)


@pytest.mark.parametrize(
    ("old", "new", "told", "place"),
    [
        ("plant.height > limits", "plant.hieght > limits", "there is no plant.hieght; is 'height' meant?", "6:5"),
        ("limits.tallest", "limits.tallst", "there is no limits.tallst; is 'tallest' meant?", "6:5"),
        ("plant.height >", "plant.traits.spred >", "there is no trait spred; is 'spread' meant?", "6:5"),
        ("plant.height >", "planet >", "nothing is called 'planet'", "6:5"),
        ("plant.height >", "plant.height > >", "cannot be read", "6:5"), ("plant.height", "(" * 60 + "1" + ")" * 60, "nested too deep", "6:5"),
        ("plant.height >", f"plant.key != '{'x' * 2100}' &&", "characters long; at most", "6:5"),
        ("each: plant", "each: tree", "expected", "4:7"), ("level: warning", "level: dreadful", "expected", "3:8"),
        ("if: plant.height > limits.tallest && plant.distance_to.path < 2.0\n", "", "'if' is missing", "1:1"),
        ("code: HILL-01", "code: SPACE-01", "there is a check SPACE-01 already", "1:7"),
        ("each: plant", "judge: os:system\neach: plant", "runs no code", "4:1"), ("mend: Move it back.", "mends: x", "'mends' is not known", "15:1"),
        ('says: "{plant}', 'says: "{plnt}', "{plnt} is neither evidence nor", "14:7"), ("{height:metres}", "{height:metre}", "the forms are", "14:7"),
        ("{height:metres}", "{height.__class__}", "is no name of a value", "14:7"),
        ('examples: [{shows: none, plan: "plants: []"}]\n', "", "'examples' is missing", "1:1"),
        ("unless: {wanted", "unless: {wnted", "is not told under 'right_when'", "7:10"), ("name: tall", "name: [tall", "not YAML", ""),
    ],
)  # fmt: skip
def test_files_that_are_no_rule(tmp_path: Path, old: str, new: str, told: str, place: str) -> None:
    file = tmp_path / "rule.yaml"
    assert old in RULE
    file.write_text(RULE.replace(old, new), "utf-8")
    with pytest.raises(BrokenRules) as error:
        read_rules([file], declarations())
    assert any(told in fault and fault.startswith(f"{file}:{place}") for fault in error.value.faults), (
        error.value.faults
    )


def test_two_rules_of_one_code_and_an_empty_folder(tmp_path: Path) -> None:
    for name in ("a", "b"):
        (tmp_path / f"{name}.yaml").write_text(RULE, "utf-8")
    with pytest.raises(BrokenRules, match="there is a check HILL-01 already"):
        read_rules([tmp_path], declarations())
    (tmp_path / "empty").mkdir()
    with pytest.raises(BrokenRules, match="there are no house rules"):
        read_rules([tmp_path / "empty"], {})


@pytest.mark.parametrize(
    ("condition", "told"),
    [
        ("1 / 0 == 1", "divides by zero"), ("plant.height + 1 > 2", "write 1.0, not 1"),
        ("[1,2,3,4,5,6,7,8,9,10].all(a, " * 7 + "a > 0" + ")" * 7, "too long"),
    ],
)  # fmt: skip
def test_conditions_that_cannot_be_worked_out_end(say: Callable[..., object], condition: str, told: str) -> None:
    with pytest.raises(BadCondition, match=told):
        say(("plant.height > limits.tallest && plant.distance_to.path < 2.0", f'"{condition}"'))


def test_an_expression_reaches_nothing_but_its_facts() -> None:
    for text in ("__import__('os')", "open('/etc/passwd')", "plant.__class__", "getattr(plant, 'x')"):
        with pytest.raises(BadCondition):
            compiled(text, "plant", {})


def test_our_own_checks_have_the_same_form() -> None:
    import bedfellow.rules

    folder = Path(str(bedfellow.rules.__file__)).parent
    files = files_in(folder)
    assert len(files) == len(declarations())
    for file in files:
        assert not faults_against(read_file(file), "check"), file.name
