"""``bedfellow rules``: house rules and the settings in force."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from bedfellow.linter.commands import Told
from bedfellow.linter.commands.shared import Form, FormOption, OutputOption
from bedfellow.linter.console import refuse, write
from bedfellow.linter.opening import HERE, RecordsOption, data_of, settings_of

app = typer.Typer(
    cls=Told, no_args_is_help=True, add_completion=False, rich_markup_mode=None,
    help="Try house rules on their own examples, and tell which settings are in force.",
)  # fmt: skip


@app.command()
def check(
    places: Annotated[list[Path], typer.Argument(help="Files or folders of house rules.")],
    records: RecordsOption = None,
    form: FormOption = Form.text,
    output: OutputOption = None,
) -> None:
    """Try each house rule on the examples in its file; exit status 1 where one does not hold, 2 where a file is at fault."""
    from bedfellow.linter.examples import missing, wrong
    from bedfellow.linter.report.plain import as_json, plain
    from bedfellow.rules.declaration import declarations
    from bedfellow.rules.house.reading import BrokenRules, read_rules

    try:
        rules = read_rules(places, declarations())
    except BrokenRules as broken:
        refuse(f"the house rules are at fault:\n{broken}")
    store = data_of(records).store
    told: dict[str, list[str]] = {}
    for code, (rule, document) in rules.items():
        examples = document.data["examples"]
        faults = [f"{example['shows']}: {text}" for example in examples for text in wrong(rule, example, store)]
        told[code] = [*faults, *missing(rule, examples)]
    failed = sum(bool(faults) for faults in told.values())
    if form is Form.json:
        write(
            as_json({"rules": [{"code": code, "file": rules[code][1].name, "faults": told[code]} for code in told]}),
            output,
        )
    else:
        lines = []
        for code, faults in told.items():
            number = len(rules[code][1].data["examples"])
            lines.append(
                f"{code}  {plain(rules[code][0].name)}: "
                + (f"{len(faults)} to put right" if faults else f"holds on its {number} examples")
            )
            lines += [f"  {plain(fault)}" for fault in faults]
        write("\n".join(lines) + "\n", output)
    if failed:
        raise typer.Exit(1)


@app.command()
def settings(
    plan: Annotated[Path, typer.Argument(help="A plan, or a folder that plans lie in.")] = Path(),
    every: Annotated[bool, typer.Option("--every", help="Show the settings that nobody changed too.")] = False,
    form: FormOption = Form.text,
    output: OutputOption = None,
) -> None:
    """Print each setting in force and where it comes from: built in, practice, repository or plan."""
    from bedfellow.linter.report.plain import as_json
    from bedfellow.linter.settings import Origin, with_plan
    from bedfellow.linter.table import table
    from bedfellow.schema.reader import read_file

    found = settings_of(plan / HERE if plan.is_dir() else plan)
    if not plan.is_dir():
        document = read_file(plan)
        stated = document.data.get("settings") if isinstance(document.data, dict) else None
        found, faults = with_plan(found, document, stated if isinstance(stated, dict) else {})
        if document.data is None or faults:
            refuse(f"{plan}: " + (faults[0].message if faults else "this cannot be read; 'bedfellow lint' tells why"))
    built_in = Origin("built in")
    rows = [
        ("", name, str(value), *found.origins.get(("", name), built_in))
        for name, value in _asked(found.only, found.without, found.fail_at)
    ]
    for code, declared in found.checks.items():
        limits = found.limits_of(declared)
        if (code, "") in found.origins:
            rows.append((code, "", "a house rule" if declared.house else "of a package", *found.origins[code, ""]))
        rows += [
            (code, name, _shown(value, declared.settings[name]["unit"]), *found.origins.get((code, name), built_in))
            for name, value in limits.items()
        ]
    if not every:
        rows = [row for row in rows if row[3] != built_in.layer]
    if form is Form.json:
        columns = ("code", "setting", "value", "from", "where")
        write(as_json({"settings": [dict(zip(columns, row, strict=True)) for row in rows]}), output)
    elif rows:
        write(table(("check", "setting", "value", "from", "where"), rows), output)
    else:
        write("every setting is as built in; --every shows them\n", output)


def _asked(only: tuple[str, ...], without: tuple[str, ...], fail_at: str) -> list[tuple[str, str]]:
    return [("only", ", ".join(only) or "all checks"), ("without", ", ".join(without) or "none"), ("fail_at", fail_at)]


def _shown(value: object, unit: str) -> str:
    text = f"{value:g}" if isinstance(value, float) else str(value)
    return f"{text} {unit}" if unit and isinstance(value, int | float) and not isinstance(value, bool) else text
