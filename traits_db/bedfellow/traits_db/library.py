"""Which plant data a plan is judged against: a snapshot or the shipped store, and folders of records over it.

shipped, or a snapshot  ◁─ records at the top of the repository ◁─ records beside the plan ◁─ folders that were named
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from bedfellow.traits_db import snapshot
from bedfellow.traits_db.folders import kept_with, record_files, snapshots_in
from bedfellow.traits_db.snapshot import SHOWN, NoSnapshot, Store


class NoData(Exception):
    """Plant data that cannot be used, and why."""


@dataclass(frozen=True, slots=True)
class Data:
    """What a plan is judged against.

    store: everything together; name and version: of what lies underneath, the name empty for the shipped store;
    folders: of records over it, the nearest last. Of a pinned version that is not there: sought, where it was looked for;
    unfit, what is wrong with snapshots of its name; fitting, the files of the several versions that the pin could mean.
    """

    store: Store
    version: str
    name: str = ""
    folders: tuple[str, ...] = ()
    sought: tuple[str, ...] = ()
    unfit: tuple[str, ...] = ()
    fitting: tuple[str, ...] = ()

    def meets(self, pin: str) -> bool:
        """Whether this is what a plan asks for: what lies underneath, or everything together."""
        return self.version.startswith(pin) or self.store.version.startswith(pin)

    @property
    def told(self) -> str:
        """It in words."""
        underneath = f"{self.name or 'as shipped'}, version {self.version[:SHOWN]}"
        if not self.folders:
            return underneath
        return (
            f"{underneath}, under records in {', '.join(self.folders)}; together version {self.store.version[:SHOWN]}"
        )


class Library:
    """Where plant data is looked for. given: a snapshot, and folders of records, of snapshots or both.

    shipped: the shipped store, where it is open already. Raises NoData; so does `data_for`.
    """

    def __init__(self, given: Sequence[Path] = (), shipped: Store | None = None) -> None:
        files = [path for path in given if path.is_file() or path.suffix == ".sqlite"]
        self.folders = [path for path in given if path not in files]
        self._stores: dict[object, Store] = {} if shipped is None else {None: shipped}
        for folder in self.folders:
            if not folder.is_dir():
                raise NoData(f"{folder} is not a folder of records")
        if len(files) > 1:
            raise NoData("only one snapshot can be named; where plans pin several, name the folder that they are in")
        self.file = files[0] if files else None
        if self.file is not None:
            with _in_words():
                self._snapshot(self.file)

    def data_for(self, plan: Path, pin: str | None = None) -> Data:
        """The data for a plan. pin: the version that it asks for, or the beginning of it."""
        with _in_words():
            kept, strays = kept_with(plan)
            if strays:
                raise NoData(
                    f"{strays[0]} leads out of the repository; name the folder that it leads to with --records"
                )
            own = {folder.resolve() for folder in kept}
            folders = [*kept, *(folder for folder in self.folders if folder.resolve() not in own)]
            found, unfit = self._pinned(pin, [plan.parent, *folders]) if pin else ({}, [])
            file = next(iter(found.values())) if len(found) == 1 else self.file
            underneath = self._shipped() if file is None else self._snapshot(file)
            layers = [folder for folder in folders if record_files(folder)]
            store = self._over(file, underneath, layers) if layers else underneath
        places = ("beside the plan", *(f"in {folder}" for folder in folders))
        return Data(
            store, underneath.version, "" if file is None else str(file), tuple(map(str, layers)),
            places, tuple(unfit), tuple(map(str, found.values())) if len(found) > 1 else (),
        )  # fmt: skip

    def _pinned(self, pin: str, places: Sequence[Path]) -> tuple[dict[str, Path | None], list[str]]:
        """Versions that a pin can mean, each with the nearest file that has it, and snapshots of its name that are none."""
        if (shipped := self._shipped().version).startswith(pin):
            return {shipped: None}, []
        files = [file for place in dict.fromkeys(places) for file in snapshots_in(place) if _may_be(file, pin)]
        found: dict[str, Path | None] = {}
        unfit = []
        for file in [*files, *([self.file] if self.file else [])]:
            try:
                version = self._snapshot(file).version
            except NoSnapshot as error:
                unfit.append(str(error))
                continue
            if version.startswith(pin):
                found.setdefault(version, file)
        return found, unfit

    def _shipped(self) -> Store:
        if None not in self._stores:
            self._stores[None] = snapshot.open_store()
        return self._stores[None]

    def _snapshot(self, file: Path) -> Store:
        if file not in self._stores:
            self._stores[file] = snapshot.open_snapshot(file)
        return self._stores[file]

    def _over(self, file: Path | None, underneath: Store, folders: Sequence[Path]) -> Store:
        key = (file, *folders)
        if key not in self._stores:
            self._stores[key] = snapshot.open_over(underneath, folders)
        return self._stores[key]


def _may_be(file: Path, pin: str) -> bool:
    said = file.stem.removeprefix("plants-")
    return said.startswith(pin) or pin.startswith(said)


@contextmanager
def _in_words() -> Iterator[None]:
    from bedfellow.traits_db.compile import BrokenRecords

    try:
        yield
    except BrokenRecords as error:
        raise NoData(f"the plant records are at fault:\n{error}") from None
    except NoSnapshot as error:
        raise NoData(str(error)) from None
    except (OSError, sqlite3.Error) as error:
        raise NoData(f"the store of plants cannot be opened: {error}") from error
