"""The checks and limits in force for a plan, and where each comes from.

built in  <  practice (settings.yaml of the user, or BEDFELLOW_SETTINGS)  <  repository (bedfellow.yaml at or above the plan)
          <  plan (its own `settings`)

Each says only what it settles otherwise. A name that nobody knows is an error with the nearest known one.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from pathlib import Path
from typing import Any, NamedTuple

from bedfellow.linter.places import files_for
from bedfellow.rules.declaration import Declaration, declarations
from bedfellow.schema.place import Fault
from bedfellow.schema.place import Path as Place
from bedfellow.schema.reader import Document, read_file

GROUP = "bedfellow.rules"  # of entry points: packages whose folder holds check files


class Origin(NamedTuple):
    """Who settled something: built in, practice, repository, plan or command; and the file, with the line."""

    layer: str
    where: str = ""


@dataclass(frozen=True, slots=True)
class Settings:
    """Checks by code with the values of their settings, and what is asked of a run.

    origins: (code, setting), or ("", name) for only, without and fail_at, to who settled it; what is absent is built in.
    files: of house rules, the file that each was read from.
    """

    checks: Mapping[str, Declaration] = field(default_factory=declarations)
    limits: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    only: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    fail_at: str = "error"
    origins: Mapping[tuple[str, str], Origin] = field(default_factory=dict)
    files: Mapping[str, Document] = field(default_factory=dict)

    def limits_of(self, check: Declaration) -> dict[str, Any]:
        """Each setting of a check with the value in force."""
        return {**check.limits(), **self.limits.get(check.code, {})}


class BadSettings(ValueError):
    """What is wrong with the settings, a line each: file, line, column, and the fault in words."""

    def __init__(self, faults: Iterable[str]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(self.faults))


def settings_for(plan: Path, rules: Iterable[Path] = ()) -> Settings:
    """The settings in force for a plan, but for what the plan itself settles. rules: further files or folders of house rules.

    Raises BadSettings.
    """
    settings = Settings()
    for layer, file in files_for(plan):
        settings = _with_file(settings, layer, file)
    extra = list(rules)
    return _with_rules(settings, extra, "command") if extra else settings


def _with_file(settings: Settings, layer: str, file: Path) -> Settings:
    from bedfellow.schema.validity import faults_against

    document = read_file(file)
    faults = [*document.faults, *faults_against(document, "settings")]
    if faults:
        raise BadSettings(document.told(fault) for fault in faults)
    data = document.data
    paths, packages = _parted(file.parent, data.get("rules") or ())
    settings = _with_packages(settings, packages, document, layer)
    settings = _with_rules(settings, paths, layer) if paths else settings
    wrong = list(_codes_at_fault(document, data, settings.checks))
    limits, origins, more = merged(settings, document, data.get("checks") or {}, ("checks",), layer)
    if wrong or more:
        raise BadSettings(document.told(fault) for fault in (*wrong, *more))
    origins |= {
        ("", name): Origin(layer, _line(document, (name,))) for name in ("only", "without", "fail_at") if name in data
    }
    return replace(
        settings, limits=limits, origins=origins, only=tuple(data.get("only", settings.only)),
        without=tuple(data.get("without", settings.without)), fail_at=data.get("fail_at", settings.fail_at),
    )  # fmt: skip


def with_plan(settings: Settings, document: Document, stated: Mapping[str, Any]) -> tuple[Settings, list[Fault]]:
    """The settings with those that the plan itself states, and what is wrong with these."""
    if not stated:
        return settings, []
    limits, origins, faults = merged(settings, document, stated, ("settings",), "plan")
    return replace(settings, limits=limits, origins=origins), faults


def merged(
    settings: Settings, document: Document, stated: Mapping[str, Any], at: Place, layer: str
) -> tuple[dict[str, dict[str, Any]], dict[tuple[str, str], Origin], list[Fault]]:
    """Limits with those that a document states at a path, where they come from, and what is wrong with them."""
    limits = {code: dict(values) for code, values in settings.limits.items()}
    origins = dict(settings.origins)
    faults = []
    for code, values in stated.items():
        check = settings.checks.get(code)
        if check is None or not isinstance(values, dict):
            told = _unknown("check", code, settings.checks) if check is None else "settings are names with their values"
            faults.append(_fault(document, (*at, code), told, key=check is None))
            continue
        for name, value in values.items():
            setting = check.settings.get(name)
            told = _unknown("setting", name, check.settings) if setting is None else _misfit(setting, value)
            if told:
                faults.append(_fault(document, (*at, code, name), f"{code}: {told}", key=setting is None))
            else:
                limits.setdefault(code, {})[name] = value
                origins[code, name] = Origin(layer, _line(document, (*at, code, name)))
    return limits, origins, faults


def _misfit(setting: Mapping[str, Any], value: Any) -> str:
    """What is wrong with a value of a setting; empty where nothing is."""
    default = setting["default"]
    if setting.get("options") and value not in setting["options"]:
        return f"the value is one of {', '.join(map(str, setting['options']))}, not {value!r}"
    number = isinstance(default, int | float) and not isinstance(default, bool)
    fits = (
        (isinstance(value, int | float) and not isinstance(value, bool)) if number else isinstance(value, type(default))
    )
    if not fits:
        return f"a value like {default!r} ({setting['unit']}) is expected, not {value!r}"
    if number and not abs(value) < 1e9:
        return f"{value!r} is no figure that a limit can have"
    if isinstance(default, dict) and (strange := set(value) - set(default)):
        return _unknown("name", sorted(strange)[0], default)
    return ""


def _codes_at_fault(document: Document, data: Mapping[str, Any], checks: Mapping[str, Declaration]) -> Iterator[Fault]:
    for name in ("only", "without"):
        for place, code in enumerate(data.get(name) or ()):
            if code not in checks:
                yield _fault(document, (name, place), _unknown("check", code, checks))
    for place, code in enumerate(data.get("without") or ()):
        if code in (data.get("only") or ()):
            yield _fault(
                document, ("without", place), f"{code} is under 'only' as well; it cannot be both judged and left out"
            )


def _parted(folder: Path, names: Iterable[str]) -> tuple[list[Path], list[str]]:
    """(files and folders, names of packages): what is there beside the settings file is a file."""
    paths, packages = [], []
    for name in names:
        path = folder / name
        if "/" in name or name.endswith(".yaml") or path.exists():
            paths.append(path)
        else:
            packages.append(name)
    return paths, packages


def _with_rules(settings: Settings, paths: Iterable[Path], layer: str) -> Settings:
    from bedfellow.rules.house.reading import BrokenRules, read_rules

    try:
        found = read_rules(paths, settings.checks, settings.files.values())
    except BrokenRules as broken:
        raise BadSettings(broken.faults) from None
    checks = {**settings.checks, **{code: check for code, (check, _) in found.items()}}
    origins = {
        **settings.origins,
        **{(code, ""): Origin(layer, document.name) for code, (_, document) in found.items()},
    }
    return replace(
        settings,
        checks=checks,
        origins=origins,
        files={**settings.files, **{code: document for code, (_, document) in found.items()}},
    )


def _with_packages(settings: Settings, names: Iterable[str], document: Document, layer: str) -> Settings:
    """Checks in Python, from packages that are installed and name themselves under the entry point group."""
    names = list(names)
    if not names:
        return settings
    from importlib.metadata import entry_points

    from bedfellow.rules.declaration import read_checks

    known = {point.name: point for point in entry_points(group=GROUP)}
    checks, origins = dict(settings.checks), dict(settings.origins)
    for place, name in enumerate(names):
        if name not in known:
            told = (
                _unknown("installed package of checks", name, known)
                + f"; nor is there a file of that name beside {document.name}"
            )
            raise BadSettings([document.told(_fault(document, ("rules", place), told))])
        folder = Path(str(known[name].load().__file__)).parent
        for check in read_checks(folder):
            if check.code in checks:
                raise BadSettings([f"{folder}: there is a check {check.code} already"])
            checks[check.code] = check
            origins[check.code, ""] = Origin(layer, name)
    return replace(settings, checks=checks, origins=origins)


def _unknown(what: str, name: str, known: Iterable[str]) -> str:
    return f"there is no {what} {name}{meant(name, known)}"


def meant(name: str, known: Iterable[str]) -> str:
    """Asks, at the end of a message on a name that is unknown, whether the nearest is meant; empty where none is near."""
    near = get_close_matches(name, list(known), 1)
    return f"; is '{near[0]}' meant?" if near else ""


def _fault(document: Document, path: Place, message: str, key: bool = False) -> Fault:
    return Fault("PLAN-02", path, document.key_span(path) if key else document.span(path), message)


def _line(document: Document, path: Place) -> str:
    return f"{document.name}:{document.key_span(path).start_line}"
