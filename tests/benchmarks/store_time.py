"""The store at the size of a trade: ``python tests/benchmarks/store_time.py`` prints ratios to plain sqlite3, and what has a budget.

Ten thousand invented plants, each with the values of a shipped one. Whole processes, medians of several runs; both sides
start cold, ask the same question of the same file and decode the answer.
"""

from __future__ import annotations

import csv
import itertools
import json
import os
import random
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from multiprocessing import get_context
from pathlib import Path
from typing import NamedTuple

from bedfellow.schema.cells import write_cell
from bedfellow.schema.traits import trait_table
from bedfellow.traits_db.folders import SHIPPED
from bedfellow.traits_db.lineage import with_parents
from bedfellow.traits_db.records import Records, Taxon, read_records
from bedfellow.traits_db.store import write_store

PLANTS, ROWS, RUNS = 10_000, 10_000, 7
SYLLABLES = ("al", "be", "co", "du", "en", "fi", "ga", "hu", "il", "jo")

FIND = """\
import json, sys
from pathlib import Path
from bedfellow.traits_db.snapshot import open_snapshot
found = open_snapshot(Path(sys.argv[1])).find(json.loads(sys.argv[2]))
assert all(traits is not None and traits.word("life_form") for traits in found.values())
"""
PLAIN_FIND = """\
import json, sqlite3, sys
connection = sqlite3.connect(f"file:{sys.argv[1]}?mode=ro&immutable=1", uri=True)
rows = connection.execute("SELECT t.name, t.payload FROM name n JOIN taxon t ON t.id = n.taxon_id WHERE n.key IN (SELECT value FROM json_each(?))", (json.dumps([name.casefold() for name in json.loads(sys.argv[2])]),))
assert sum(bool(json.loads(payload)["life_form"]) for _, payload in rows) == len(json.loads(sys.argv[2]))
"""
SEARCH = """\
import sys
from pathlib import Path
from bedfellow.traits_db.search.asked import asked
from bedfellow.traits_db.search.search import search
from bedfellow.traits_db.snapshot import open_snapshot
store = open_snapshot(Path(sys.argv[1]))
wanted = ["height 1 m to 2 m", "flower July", "light part shade", "moisture moist well-drained"]
found = search(store, [asked(text) for text in wanted]).candidates
assert found and all(candidate.score > 0 for candidate in found)
print(len(found))
"""
PLAIN_SEARCH = """\
import json, sqlite3, sys
connection = sqlite3.connect(f"file:{sys.argv[1]}?mode=ro&immutable=1", uri=True)
part = "t.id IN (SELECT taxon_id FROM found_by WHERE trait = '%s' AND low <= %s AND high >= %s %s)"
parts = (part % ("height", 2, 1, ""), part % ("flower", 204, 189, ""), part % ("light", 0, 0, "AND word = 'part shade'"), part % ("moisture", 3, 3, ""))
rows = connection.execute("SELECT t.name, t.payload FROM taxon t WHERE t.rank <> 'genus' AND " + " AND ".join(parts))
print(len([json.loads(payload)["height"] for _, payload in rows]))
"""
COMMAND = "import sys; sys.argv[0] = 'bedfellow'\nfrom bedfellow.linter.entry import main; main()"
PLAIN_IMPORT = """\
import csv, sqlite3, sys
connection = sqlite3.connect(sys.argv[1])
connection.execute("CREATE TABLE said (id INTEGER PRIMARY KEY, taxon TEXT, rank TEXT, trait TEXT, value TEXT, UNIQUE (taxon, trait))")
with open(sys.argv[2], encoding="utf-8", newline="") as file, connection:
    rows = csv.reader(file)
    next(rows)
    connection.executemany("INSERT INTO said (taxon, rank, trait, value) VALUES (?, ?, ?, ?)", rows)
"""


def plants(number: int) -> Records:
    """So many invented species, with the values of shipped ones in turn."""
    models = [taxon for taxon in read_records([SHIPPED]).taxa.values() if taxon.rank == "species"]
    names = ("".join(parts) for parts in itertools.product(SYLLABLES, repeat=4))
    records = Records(sources=read_records([SHIPPED]).sources)
    for model, name in zip(itertools.cycle(models), itertools.islice(names, number), strict=False):
        called = f"Testa {name}"
        records.taxa[called] = replace(model, name=called, parent=None, synonyms=(), common_names=(), place=called)
    records.taxa["Testa"] = Taxon("Testa", "genus", place="Testa")
    return with_parents(records)


class Cost(NamedTuple):
    """Of a whole process: median seconds, and the most memory, MiB."""

    seconds: float
    memory: int


def cost(code: str, *words: object, before: Callable[[], None] = lambda: None, runs: int = RUNS) -> Cost:
    """before: called ahead of each run."""
    taken, most = [], 0
    for _ in range(runs):
        before()
        start = time.perf_counter()
        process = subprocess.Popen([sys.executable, "-c", code, *map(str, words)], stdout=subprocess.DEVNULL)
        _, status, used = os.wait4(process.pid, 0)
        taken.append(time.perf_counter() - start)
        process.returncode = os.waitstatus_to_exitcode(status)
        if process.returncode:
            sys.exit(f"a measured process failed: {words}")
        most = max(most, used.ru_maxrss >> 10)
    return Cost(statistics.median(taken), most)


def table_of(records: Records, number: int, file: Path) -> None:
    """A CSV of so many values."""
    rows = (
        (taxon.name, taxon.rank, said.trait, write_cell(trait_table().traits[said.trait], said.value))
        for taxon in records.taxa.values()
        for said in taxon.statements
        if said.source == "memory"
    )
    with file.open("w", encoding="utf-8", newline="") as stream:
        writer = csv.writer(stream)
        writer.writerow(("taxon", "rank", "trait", "value"))
        writer.writerows(itertools.islice(rows, number))


def main() -> None:
    if os.environ.get("PYTHONDONTWRITEBYTECODE"):
        sys.exit("unset PYTHONDONTWRITEBYTECODE: modules would be compiled in every process")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        # Apart: a process that is started counts the memory of the one that starts it.
        maker = get_context("spawn").Process(target=prepare, args=(folder,))
        maker.start()
        maker.join()
        snapshot, asked = folder / "plants.sqlite", (folder / "asked.json").read_text("utf-8")
        told("100 plants by name", cost(FIND, snapshot, asked), cost(PLAIN_FIND, snapshot, asked), 0.5)
        what = "plants 1 to 2 m high, in flower in July, for part shade and moist well-drained soil"
        told(what, cost(SEARCH, snapshot), cost(PLAIN_SEARCH, snapshot), 0.5)
        for number in (ROWS, 10 * ROWS):
            imported(number, folder)


def prepare(folder: Path) -> None:
    """The snapshot, the names to look up, and the tables to import."""
    records = plants(PLANTS)
    assert not records.faults and len(records.taxa) == PLANTS + 1
    snapshot = folder / "plants.sqlite"
    write_store(records, snapshot, "benchmark")
    values = sum(len(taxon.statements) for taxon in records.taxa.values())
    print(f"{PLANTS:,} plants, {values:,} values, {snapshot.stat().st_size >> 20} MiB")
    asked = random.Random(1).sample([taxon for taxon in records.taxa if taxon != "Testa"], 100)
    (folder / "asked.json").write_text(json.dumps(asked), "utf-8")
    for number in (ROWS, 10 * ROWS):
        table_of(records, number, folder / f"{number}.csv")


def imported(number: int, folder: Path) -> None:
    """Import so many rows, plants and all, into a new store."""
    table, team, plain = folder / f"{number}.csv", folder / "team.sqlite", folder / "plain.sqlite"

    def fresh() -> None:
        for file in folder.glob("team.sqlite*"):
            file.unlink()
        subprocess.run([sys.executable, "-c", COMMAND, "store", "create", "--store", team], check=True, stdout=subprocess.DEVNULL)  # fmt: skip

    words = ("store", "import", table, "--store", team, "--why", "benchmark")
    ours = cost(COMMAND, *words, before=fresh, runs=3)
    theirs = cost(PLAIN_IMPORT, plain, table, before=lambda: plain.unlink(missing_ok=True), runs=3)
    told(f"import of {number:,} rows (plain sqlite3 checks nothing and keeps no history)", ours, theirs)


def told(what: str, ours: Cost, plain: Cost, budget: float | None = None) -> None:
    """A line of the answer."""
    within = f" (budget {budget:g})" if budget else ""
    print(f"{what}: {ours.seconds / plain.seconds:.1f} times plain sqlite3, {ours.seconds:.2f} s cold{within}, {ours.memory} MiB")  # fmt: skip


if __name__ == "__main__":
    main()
