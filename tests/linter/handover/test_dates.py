"""The calendar as vobject, another library than the one that wrote it, reads it."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import vobject

from bedfellow.linter.engine import Options, lint
from bedfellow.linter.report.handover import dates
from bedfellow.linter.report.handover.jobs import Job
from bedfellow.linter.report.handover.pack import Pack, pack_of
from bedfellow.traits_db.snapshot import Store

Packed = Callable[[str], Pack]
HEAD = "planted: 2026-10\nsite: {latitude: 51.6, faces: S, ph: 6.8}\nborder: {outline: [[0, 0], [10, 0], [10, 4], [0, 4]]}\n"


def events(pack: Pack) -> list[Any]:
    return list(vobject.readOne(dates.calendar(pack).decode("utf-8")).vevent_list)


def event(pack: Pack, beginning: str) -> Any:
    (found,) = [e for e in events(pack) if e.summary.value.startswith(beginning)]
    return found


@pytest.mark.parametrize("kind", ["full", "hostile"])
def test_each_dated_job_is_one_event(kind: str, request: pytest.FixtureRequest) -> None:
    pack = request.getfixturevalue(kind)
    found = events(pack)
    assert len(found) == sum(job.first is not None for job in pack.jobs)
    assert len({e.uid.value for e in found}) == len(found)
    for e in found:
        assert e.dtend.value - e.dtstart.value == datetime.timedelta(days=1)
        assert not isinstance(e.dtstart.value, datetime.datetime)
        assert e.dtstamp.value == datetime.datetime(2026, 11, 25, tzinfo=e.dtstamp.value.tzinfo)


def test_a_yearly_task_of_the_plan_comes_every_year(full: Pack) -> None:
    cut = event(full, "Cut the dogwood down")
    assert cut.dtstart.value == datetime.date(2027, 3, 1)
    assert cut.rrule.value == "FREQ=YEARLY;INTERVAL=1"
    assert "Cornus alba 'Sibirica' (CoA)" in cut.description.value
    whole = datetime.datetime.combine(datetime.date(2029, 12, 31), datetime.time())
    due = [day.date() for day in cut.getrruleset(addRDate=True) if day < whole] if cut.rruleset else []
    assert due[:3] == [datetime.date(2027, 3, 1), datetime.date(2028, 3, 1), datetime.date(2029, 3, 1)]


def test_every_year_and_a_half_is_told_in_months(hostile: Pack) -> None:
    odd = event(hostile, "Line")
    assert odd.rrule.value == "FREQ=MONTHLY;INTERVAL=18"
    assert odd.dtstart.value == datetime.date(2027, 4, 1)


def test_what_goes_out_on_a_day_has_that_day(full: Pack) -> None:
    assert event(full, "Plant out").dtstart.value == datetime.date(2027, 5, 25)
    gone = event(full, "Take out, to make way")
    assert gone.dtstart.value == datetime.date(2028, 10, 1)
    assert not hasattr(gone, "rrule")


def test_pruning_begins_in_the_season_that_the_plan_says(full: Pack) -> None:
    # Season 3 after October 2026 is 2029, season 6 is 2032.
    assert event(full, "Clip to 1.20 m").dtstart.value == datetime.date(2029, 8, 1)
    assert event(full, "Prune to 1.80 m").dtstart.value == datetime.date(2032, 5, 1)


def test_work_on_what_leaves_ends_with_it(packed: Packed) -> None:
    pack = packed(
        f"{HEAD}plants:\n- {{key: A, name: Salvia nemorosa 'Caradonna', at: [2, 2], until: 2029-06}}\n- {{key: B, name: Cornus mas, at: [6, 2]}}\n"
    )
    ends = [e.rrule.value for e in events(pack) if hasattr(e, "rrule") and "Salvia" in e.summary.value]
    assert ends
    assert all("UNTIL=20290630" in rule for rule in ends)


def test_an_event_keeps_its_identity_when_a_plant_comes_to_it(packed: Packed) -> None:
    one = f"{HEAD}plants:\n- {{key: A, name: Cornus mas, at: [2, 2]}}\n"
    before, after = packed(one), packed(f"{one}- {{key: B, name: Cornus mas, at: [6, 2]}}\n")
    ids = [{e.summary.value: e.uid.value for e in events(pack)} for pack in (before, after)]
    assert ids[0] == ids[1]


def test_plans_without_a_title_are_told_apart_by_their_files(store: Store, tmp_path: Path) -> None:
    identities = []
    for name in ("front", "back"):
        file = tmp_path / f"{name}.plan.yaml"
        file.write_text(f"format: 1\n{HEAD}plants:\n- {{key: A, name: Cornus mas, at: [2, 2]}}\n", "utf-8")
        pack = pack_of(lint(file, store, Options(today=datetime.date(2026, 11, 25))), "0123456789abcdef")
        assert pack.title == f"{name}.plan.yaml"
        identities.append({e.uid.value for e in events(pack)})
    assert identities[0] and identities[0].isdisjoint(identities[1])


def test_bulbs_wait_for_their_own_time(packed: Packed) -> None:
    pack = packed(
        f"{HEAD.replace('2026-10', '2027-03')}plants:\n- {{key: N, name: Narcissus 'Tête-à-tête', at: [2, 2]}}\n- {{key: B, name: Cornus mas, at: [6, 2]}}\n"
    )
    assert event(pack, "Plant the bulbs").dtstart.value == datetime.date(2027, 9, 1)
    assert event(pack, "Plant: Cornus").dtstart.value == datetime.date(2027, 3, 1)


def test_south_of_the_equator_the_months_move_by_half_a_year(packed: Packed) -> None:
    north = f"{HEAD}plants:\n- {{key: A, name: Cornus mas, at: [2, 2]}}\n- {{key: H, name: Hakonechloa macra, at: [5, 2]}}\n"
    south = north.replace("51.6", "-37.8").replace("2026-10", "2026-04")
    months = []
    for text in (north, south):
        pack = packed(text)
        months.append({(job.what, job.keys): job.first[1] for job in pack.jobs if job.first and job.every})
    shared = set(months[0]) & set(months[1])
    assert shared
    assert all((months[0][job] - months[1][job]) % 12 == 6 for job in shared)


def test_the_same_pack_gives_the_same_bytes_and_lines_end_as_the_standard_says(full: Pack) -> None:
    data = dates.calendar(full)
    assert data == dates.calendar(full)
    assert all(len(line) <= 75 for line in data.split(b"\r\n"))
    assert b"\n" not in data.replace(b"\r\n", b"")


def test_a_job_is_due_in_the_months_it_says() -> None:
    yearly = Job("cut", ("A",), (2027, 3), 12, "the plan")
    assert list(yearly.due((2026, 10), 24)) == [(2027, 3), (2028, 3)]
    assert list(yearly.due((2027, 4), 24)) == [(2028, 3), (2029, 3)]
    once = Job("plant", ("A",), (2026, 10), None, "the plan")
    assert list(once.due((2026, 10), 24)) == [(2026, 10)]
    ended = Job("cut", ("A",), (2027, 3), 12, "the plan", last=(2027, 12))
    assert list(ended.due((2026, 10), 24)) == [(2027, 3)]
