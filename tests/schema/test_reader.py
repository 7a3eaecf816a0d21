"""Files as people really send them: every bad input is a fault with a place, and what can be read is read."""

from __future__ import annotations

import codecs
import math
import os
import time
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bedfellow.schema.builder import Bounds
from bedfellow.schema.reader import Document, read_file, read_text

GOOD = "format: 1\ntitle: Höhe 😀\nplants:\n- {key: A, name: Acer}\n"


def message(document: Document) -> str:
    assert document.faults, "expected a fault"
    assert {fault.code for fault in document.faults} == {"PLAN-01"}
    return document.faults[0].message


def file(folder: Path, raw: bytes) -> Path:
    path = folder / "x.plan.yaml"
    path.write_bytes(raw)
    return path


def test_a_good_file(tmp_path: Path) -> None:
    document = read_file(file(tmp_path, GOOD.encode()))
    assert document.faults == () and document.complete
    assert document.data == {"format": 1, "title": "Höhe 😀", "plants": [{"key": "A", "name": "Acer"}]}
    assert document.name == str(tmp_path / "x.plan.yaml")


def test_columns_count_code_points() -> None:
    document = read_text("{é😀: x, b: ü😀y}\n", "x")
    assert document.span(("b",)) == (1, 12, 1, 15)
    assert document.key_span(("b",)) == (1, 9, 1, 10)


def test_places_of_what_is_missing_or_empty() -> None:
    document = read_text("a:\nb: [1, {c: 2}]\n", "x")
    assert document.data == {"a": None, "b": [1, {"c": 2}]}
    assert document.span(("a",)) == document.key_span(("a",)) == (1, 1, 1, 2)
    assert document.span(("b", 1, "d", "e")) == document.span(("b", 1)) == (2, 8, 2, 14)
    assert document.span(("b", 9)) == document.span(("b",)) == (2, 4, 2, 15)
    assert document.key_span(("b", 0)) == document.span(("b", 0)) == (2, 5, 2, 6)
    assert [document.line(number) for number in (0, 1, 2, 3, 4)] == ["", "a:", "b: [1, {c: 2}]", "", ""]


@pytest.mark.parametrize(
    ("mark", "codec"),
    [(codecs.BOM_UTF8, "utf-8"), (codecs.BOM_UTF16_LE, "utf-16-le"), (codecs.BOM_UTF16_BE, "utf-16-be"),
     (codecs.BOM_UTF32_LE, "utf-32-le"), (codecs.BOM_UTF32_BE, "utf-32-be"), (b"", "utf-8")],
)  # fmt: skip
def test_encodings_with_a_mark(tmp_path: Path, mark: bytes, codec: str) -> None:
    document = read_file(file(tmp_path, mark + GOOD.encode(codec)))
    assert document.faults == ()
    assert document.span(("title",)) == (2, 8, 2, 14)


def test_windows_text_names_the_byte_and_its_place(tmp_path: Path) -> None:
    document = read_file(file(tmp_path, "format: 1\r\ntitle: café\r\n".encode("windows-1252")))
    assert "byte 22, 0xE9" in message(document) and "'é'" in message(document)
    assert document.faults[0].span == (2, 11, 2, 12)


@pytest.mark.parametrize("codec", ["utf-16-le", "utf-16-be"])
def test_utf_16_without_a_mark(tmp_path: Path, codec: str) -> None:
    assert "UTF-16" in message(read_file(file(tmp_path, GOOD.encode(codec))))


def test_utf_16_cut_short(tmp_path: Path) -> None:
    assert "UTF-16" in message(read_file(file(tmp_path, codecs.BOM_UTF16_LE + GOOD.encode("utf-16-le")[:-1])))


@pytest.mark.parametrize(("char", "name"), [("\0", "NUL"), ("\x1b", "escape"), ("\x07", "U+0007"), ("\ufeff", "byte order mark"), ("\x9b", "U+009B")])  # fmt: skip
def test_control_characters(char: str, name: str) -> None:
    document = read_text(f"a: 1\nb: x{char}y\n", "x")
    assert name in message(document)
    assert document.faults[0].span == (2, 5, 2, 6)
    assert not document.complete


def test_folder_missing_empty_and_special_files(tmp_path: Path) -> None:
    assert "folder" in message(read_file(tmp_path))
    assert "no such file" in message(read_file(tmp_path / "none.plan.yaml"))
    assert "empty" in message(read_file(file(tmp_path, b"")))
    assert "empty" in message(read_text("# only a note\n", "x"))
    assert "empty" in message(read_text("---\n", "x"))
    if hasattr(os, "mkfifo"):
        os.mkfifo(tmp_path / "pipe")
        assert "ordinary file" in message(read_file(tmp_path / "pipe"))
    assert read_file(Path("bad\0name")).faults


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="may read everything")
def test_unreadable_file(tmp_path: Path) -> None:
    path = file(tmp_path, GOOD.encode())
    path.chmod(0)
    assert "may not be read" in message(read_file(path))


def test_a_large_file_is_not_read(tmp_path: Path) -> None:
    path = tmp_path / "large.plan.yaml"
    with path.open("wb") as large:
        large.truncate(100 * 1024 * 1024)
    start = time.perf_counter()
    assert "too large: 100.0 MiB; at most 4 MiB" in message(read_file(path))
    assert time.perf_counter() - start < 0.5
    assert "too long" in message(read_text("a: 1\n" * 10, "x", Bounds(size=20)))


def test_depth_is_bounded_on_both_sides() -> None:
    assert read_text("[" * 40 + "]" * 40, "x").faults == ()
    document = read_text("[" * 41 + "]" * 41, "x")
    assert "more than 40 levels" in message(document) and document.data is None
    assert message(read_text("[" * 1_000_000, "x"))
    assert message(read_text("{a: " * 100_000, "x"))


def test_nodes_are_bounded_on_both_sides() -> None:
    assert read_text(f"[{'1,' * 99}]", "x", Bounds(nodes=100)).faults == ()
    assert "more than 100 values" in message(read_text(f"[{'1,' * 100}]", "x", Bounds(nodes=100)))


def test_aliases_are_counted_in_full() -> None:
    text = "a: &a [x, x, x, x, x, x, x, x, x, x]\n"
    for one, other in zip("abcdefgh", "bcdefghi", strict=True):
        text += f"{other}: &{other} [{', '.join(['*' + one] * 10)}]\n"
    start = time.perf_counter()
    assert "counting each alias in full" in message(read_text(text, "x"))
    assert time.perf_counter() - start < 1
    deep = "a0: &a0 [x]\n" + "".join(f"a{n}: &a{n} [*a{n - 1}]\n" for n in range(1, 60))
    assert "levels deep" in message(read_text(deep, "x"))


def test_aliases() -> None:
    document = read_text("a: &n {x: 1}\nb: *n\n", "x")
    assert document.faults == () and document.data == {"a": {"x": 1}, "b": {"x": 1}}
    assert document.span(("b",)) == (2, 4, 2, 6)
    assert document.span(("b", "x")) == (1, 11, 1, 12)
    assert "never end" in message(read_text("a: &n [*n]\n", "x"))
    assert "nothing above is named &n" in message(read_text("a: *n\n", "x"))


def test_numbers_of_endless_digits() -> None:
    assert read_text(f"a: {'9' * 40}\n", "x").data == {"a": int("9" * 40)}
    assert "number of 41 characters" in message(read_text(f"a: {'9' * 41}\n", "x"))
    assert message(read_text(f"a: {'9' * 100_000}\n", "x"))
    assert read_text(f"a: '{'9' * 100}'\n", "x").data == {"a": "9" * 100}


def test_a_repeated_key_keeps_the_first_and_tells_both_places() -> None:
    document = read_text("a: 1\nb: {c: 1, d: 2, c: [3], c: 4}\na: 2\n", "x")
    assert document.data == {"a": 1, "b": {"c": 1, "d": 2}}
    assert document.complete
    assert [fault.path for fault in document.faults] == [("b", "c"), ("b", "c"), ("a",)]
    assert [fault.span[:2] if fault.span else None for fault in document.faults] == [(2, 17), (2, 25), (3, 1)]
    assert [fault.related[0][0][:2] for fault in document.faults] == [(2, 5), (2, 5), (1, 1)]
    assert document.span(("a",)) == (1, 4, 1, 5)


def test_several_documents() -> None:
    document = read_text("a: 1\n---\nb: 2\n", "x")
    assert "second document" in message(document)
    assert document.faults[0].span is not None and document.faults[0].span.start_line == 2
    assert document.data == {"a": 1} and not document.complete


@pytest.mark.parametrize("text", ["a: !python/object:os.system x\n", "a: !!python/name:os.system\n", "a: !x [1]\n", "!y {a: 1}\n", "a: !!int x\n", "a: !!binary aGk=\n", "a: !!timestamp 2001-01-01\n", "a: !!set {b}\n"])  # fmt: skip
def test_tags_are_refused(text: str) -> None:
    document = read_text(text, "x")
    assert document.faults[0].span is not None and document.faults[0].span.start_line == 1
    assert message(document)


def test_core_tags() -> None:
    document = read_text(
        "a: !!str 1\nb: !!int '2'\nc: !!float 1\nd: !!null ''\ne: !!map {}\nf: !!seq []\nh: !!bool true\n", "x"
    )
    assert document.faults == ()
    assert document.data == {"a": "1", "b": 2, "c": 1.0, "d": None, "e": {}, "f": [], "h": True}


def test_keys_are_words_as_written() -> None:
    assert read_text("1: a\n1.0: b\ntrue: c\n~: d\n", "x").data == {"1": "a", "1.0": "b", "true": "c", "~": "d"}
    assert "a key must be a word" in message(read_text("[a, b]: c\n", "x"))
    assert "a key must be a word" in message(read_text("? {a: 1}\n: c\n", "x"))


def test_line_breaks() -> None:
    for line_break in ("\n", "\r\n", "\r"):
        document = read_text(GOOD.replace("\n", line_break), "x")
        assert document.faults == () and document.span(("plants", 0, "name")) == (4, 18, 4, 22)
        assert document.line(4) == "- {key: A, name: Acer}"


def test_old_line_breaks_are_plain_characters() -> None:
    document = read_text("a: x\x85y\u2028z\nb: \u2029q\ue000\n", "x")
    assert document.data == {"a": "x\x85y\u2028z", "b": "\u2029q\ue000"}
    assert document.span(("b",)) == (2, 4, 2, 7)


def test_core_schema() -> None:
    text = "[null, Null, ~, '', true, False, yes, on, 0o17, 0x1F, -12, +3, 012, 1., .5, 1e3, -1.5E-2, 2026-10-22, 12:30, 1_0, 0b1, 1.2.3, '1', 05-25, ., -, NaN, +.5]"
    assert read_text(text.replace("-,", "'-',"), "x").data == [
        None, None, None, "", True, False, "yes", "on", 15, 31, -12, 3, 12, 1.0, 0.5, 1000.0, -0.015,
        "2026-10-22", "12:30", "1_0", "0b1", "1.2.3", "1", "05-25", ".", "-", "NaN", 0.5,
    ]  # fmt: skip
    numbers = read_text("[.inf, -.INF, +.Inf, .nan]", "x").data
    assert isinstance(numbers, list)
    assert numbers[:3] == [math.inf, -math.inf, math.inf] and math.isnan(numbers[3])


@pytest.mark.parametrize(
    ("text", "words", "line"),
    [
        ("a:\n\t- b\n", "a tab stands", 2),
        ("a: 1\n\tb: 2\n", "a tab stands", 2),
        ("a: 'x\n", "never closed", 2),
        ("a: b: c\n", "second ': '", 1),
        ("a: [1, 2\nb: 3\n", "not closed", 2),
        ("a: {b: 1\nc: 3\n", "not closed", 2),
        ("a: 1\nb\nc: 2\n", "without ': '", 3),
        ("a: @x\n", "cannot begin", 1),
        ("a: 1\n b: 2\n", "", 2),
        ("- a\nb: 1\n", "", 2),
        ('a: "\\q"\n', "escape", 1),
    ],
)  # fmt: skip
def test_what_is_not_yaml_is_told_in_words(text: str, words: str, line: int) -> None:
    document = read_text(text, "x")
    assert message(document).startswith("not YAML: ") and words in message(document)
    assert document.faults[0].span is not None and document.faults[0].span.start_line == line
    assert not document.complete
    for wording in ("while", "expected <", "scanning", "token", "simple key"):
        assert wording not in message(document)


PLAN = """format: 1
site: {latitude: 51.6}
plants:
- {key: A, name: Acer campestre, at: [1, 1]}
- {key: B, name: Betula pendula, at: [2, 1]}
- key: C
  name: Cornus mas
  at: [3, 1]
accepted:
- {code: SPACE-02, reason: x}
"""


@pytest.mark.parametrize(
    ("old", "new"),
    [("at: [2, 1]}", "at: [2, "), ("at: [2, 1]}", ""), ("name: Betula pendula", "name: 'Betula pendula"), ("- {key: B,", "- {key: B: x,")],
)  # fmt: skip
def test_a_half_typed_entry_costs_only_itself(old: str, new: str) -> None:
    document = read_text(PLAN.replace(old, new), "x")
    assert not document.complete and message(document)
    assert isinstance(document.data, dict)
    assert [plant["key"] for plant in document.data["plants"]] == ["A", "C"]
    assert document.data["accepted"] == [{"code": "SPACE-02", "reason": "x"}]
    assert document.span(("plants", 1, "name")) == (7, 9, 7, 19)
    assert "left out" in document.faults[0].related[-1][1]


def test_two_slips_of_which_one_is_at_the_very_end() -> None:
    document = read_text("a: b: c\nlast: [", "x")
    assert message(document).startswith("not YAML: ") and not document.complete


@settings(max_examples=60, deadline=None)
@given(st.integers(0, len(PLAN)), st.sampled_from(["", "\n", "{", "'", ": ", "\t", "]", "&", "- "]))
def test_any_slip_of_the_pen_is_a_value(at: int, slip: str) -> None:
    document = read_text(PLAN[:at] + slip + PLAN[at + 1 :], "x")
    assert document.faults or document.data is not None
    assert document.complete or document.faults


@settings(max_examples=100, deadline=None)
@given(st.binary(max_size=60))
def test_any_bytes_are_a_value(raw: bytes) -> None:
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        document = read_file(file(Path(folder), raw))
    assert document.faults or document.data is not None


def test_without_libyaml(monkeypatch: pytest.MonkeyPatch) -> None:
    import sys

    monkeypatch.setitem(sys.modules, "yaml._yaml", None)
    document = read_text(PLAN, "x")
    assert document.faults == () and document.complete
    monkeypatch.undo()
    assert document.data == read_text(PLAN, "x").data
