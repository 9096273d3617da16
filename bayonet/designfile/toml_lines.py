"""Where each key of a TOML text stands. Only for text `tomllib` has already accepted.

`tomllib` gives no positions, and an error without a line is half an error.
"""

from __future__ import annotations

import bisect
import re
import tomllib

Path = tuple[str | int, ...]

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_SCALAR = re.compile(r"[^,\]}#\r\n]+")
_STRING_ENDS = (('"""', True), ("'''", False), ('"', True), ("'", False))


def lines_of(text: str) -> dict[Path, int]:
    r"""Line of every key, table header and array item.

    Parameters
    ----------
    text : str
        Valid TOML 1.0.

    Returns
    -------
    dict
        Path (keys and list positions) to line, counted from 1. For anything not listed, the
        line of its nearest listed parent applies: see `line_at`.

    Examples
    --------
    >>> lines_of("a = 1\n[b]\nc = [2,\n 3]")[("b", "c", 1)]
    4
    """
    return _Scanner(text).scan()


def line_at(lines: dict[Path, int], path: Path) -> int | None:
    """Line of a path, or of its nearest parent that is written in the file."""
    for end in range(len(path), 0, -1):
        if path[:end] in lines:
            return lines[path[:end]]
    return None


class _Scanner:
    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.ends = [match.start() for match in re.finditer("\n", text)]
        self.lines: dict[Path, int] = {}
        self.array_sizes: dict[Path, int] = {}

    def scan(self) -> dict[Path, int]:
        table: Path = ()
        while self._skip_blank():
            if self.text[self.at] == "[":
                table = self._header()
            else:
                self._pair(table)
        return self.lines

    def _line(self) -> int:
        return bisect.bisect_left(self.ends, self.at) + 1

    def _note(self, path: Path) -> None:
        line = self._line()
        for end in range(len(path), 0, -1):
            if path[:end] in self.lines:
                return  # so are its parents
            self.lines[path[:end]] = line

    def _skip_blank(self) -> bool:
        """Go past white space, line ends and comments; False at the end of the text."""
        while self.at < len(self.text):
            char = self.text[self.at]
            if char == "#":
                end = self.text.find("\n", self.at)
                self.at = len(self.text) if end < 0 else end
            elif char in " \t\r\n":
                self.at += 1
            else:
                return True
        return False

    def _header(self) -> Path:
        is_array = self.text.startswith("[[", self.at)
        self.at += 2 if is_array else 1
        path = self._resolve(self._key())
        if is_array:
            index = self.array_sizes.get(path, 0)
            self.array_sizes[path] = index + 1
            path = (*path, index)
        self._note(path)
        self.at += 2 if is_array else 1
        return path

    def _resolve(self, keys: Path) -> Path:
        """Insert the current item of every array of tables that a header goes through."""
        path: Path = ()
        for position, key in enumerate(keys):
            path = (*path, key)
            if path in self.array_sizes and position < len(keys) - 1:
                path = (*path, self.array_sizes[path] - 1)
        return path

    def _key(self) -> Path:
        keys: list[str] = []
        while True:
            self._skip_blank()
            bare = _BARE.match(self.text, self.at)
            if bare:
                keys.append(bare.group())
                self.at = bare.end()
            else:
                keys.append(str(tomllib.loads(f"key = {self._string()}")["key"]))
            self._skip_blank()
            if self.text[self.at] != ".":
                return tuple(keys)
            self.at += 1

    def _string(self) -> str:
        start = self.at
        for quote, escapes in _STRING_ENDS:
            if not self.text.startswith(quote, start):
                continue
            self.at += len(quote)
            while not self.text.startswith(quote, self.at):
                self.at += 2 if escapes and self.text[self.at] == "\\" else 1
            self.at += len(quote)
            while len(quote) == 3 and self.text.startswith(quote[0], self.at):
                self.at += 1  # up to two quotes may stand just before the closing three
            return self.text[start : self.at]
        raise AssertionError("not valid TOML")

    def _pair(self, table: Path) -> None:
        self._skip_blank()
        start_line_path = (*table, *self._key())
        self._note(start_line_path)
        self._skip_blank()
        self.at += 1  # the equals sign
        self._value(start_line_path)

    def _value(self, path: Path) -> None:
        self._skip_blank()
        char = self.text[self.at]
        if char == "[":
            self._items(path, closing="]")
        elif char == "{":
            self._items(path, closing="}")
        elif char in "\"'":
            self._string()
        else:
            scalar = _SCALAR.match(self.text, self.at)
            assert scalar is not None, "not valid TOML"
            self.at = scalar.end()

    def _items(self, path: Path, *, closing: str) -> None:
        self.at += 1
        index = 0
        while self._skip_blank() and self.text[self.at] != closing:
            if closing == "}":
                self._pair(path)
            else:
                self._note((*path, index))
                self._value((*path, index))
            index += 1
            self._skip_blank()
            if self.text[self.at] == ",":
                self.at += 1
        self.at += 1
