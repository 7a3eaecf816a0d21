"""Bytes of a file as text, or the reason why not."""

from __future__ import annotations

import re

from bedfellow.schema.place import Span

# Longest mark first: that of UTF-32 little-endian begins with that of UTF-16.
_MARKS = (
    (b"\xff\xfe\x00\x00", "utf-32-le", "UTF-32"),
    (b"\x00\x00\xfe\xff", "utf-32-be", "UTF-32"),
    (b"\xff\xfe", "utf-16-le", "UTF-16"),
    (b"\xfe\xff", "utf-16-be", "UTF-16"),
    (b"\xef\xbb\xbf", "utf-8", "UTF-8"),
)
# YAML 1.2.2 section 5.1, printable characters; a byte order mark inside the text is refused with the others.
_UNPRINTABLE = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufefe\uff00-\ufffd\U00010000-\U0010ffff]")
BREAK = re.compile("\r\n|\r|\n")


def decode(raw: bytes) -> tuple[str, Span | None, str]:
    """Text, and where and why it cannot be trusted ("" when it can)."""
    mark, codec, name = next((row for row in _MARKS if raw.startswith(row[0])), (b"", "utf-8", "UTF-8"))
    body = raw[len(mark) :]
    if not mark and len(raw) >= 4 and (raw[1::2].count(0) > len(raw) // 4 or raw[::2].count(0) > len(raw) // 4):
        return "", None, "the file looks like UTF-16 without a byte order mark; save it as UTF-8"
    try:
        text = body.decode(codec)
    except UnicodeDecodeError as error:
        before = body[: error.start].decode(codec, "replace")
        place = _place(before, len(before))
        byte = body[error.start]
        meant = ""
        if codec == "utf-8":
            meant = bytes([byte]).decode("windows-1252", "ignore")
            meant = f" (in Windows-1252 it would be '{meant}')" if meant else ""
        where = error.start + len(mark) + 1
        return (
            body.decode(codec, "replace"),
            place,
            f"byte {where}, 0x{byte:02X}, is not {name}{meant}; save the file as UTF-8",
        )
    return text, *unprintable(text)


def encoded(text: str, like: bytes) -> bytes:
    """The text in the encoding of a file's bytes, with the mark that they begin with."""
    mark, codec, _ = next((row for row in _MARKS if like.startswith(row[0])), (b"", "utf-8", ""))
    return mark + text.encode(codec)


def unprintable(text: str) -> tuple[Span | None, str]:
    """Where a character stands that YAML does not allow, and which; (None, "") if there is none."""
    found = _UNPRINTABLE.search(text)
    if found is None:
        return None, ""
    names = {0: "NUL", 0x1B: "escape", 0xFEFF: "a byte order mark"}
    code = ord(found.group())
    known = f" ({names[code]})" if code in names else ""
    return _place(text, found.start()), f"the control character U+{code:04X}{known} stands here; take it out"


def _place(text: str, index: int) -> Span:
    """Span of one character."""
    starts = [0, *(found.end() for found in BREAK.finditer(text, 0, index))]
    line, column = len(starts), index - starts[-1] + 1
    return Span(line, column, line, column + 1)
