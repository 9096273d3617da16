r"""STEP files as text (ISO 10303-21): statements, damage, what is declared, strings.

Reads no geometry: that is the CAD kernel's, and what it made is held against what is counted here.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

MOST_NAMED = 8
"""Damaged places named in one message; more do not help anybody."""

_MOST_BROKEN = 50  # then the rest is not looked at: the file is beyond use
_STRING = r"'(?:[^']|'')*+'"
_COMMENT = r"/\*(?:[^*]|\*(?!/))*+\*/"
_SPACE = rf"(?:\s|{_COMMENT})*+"
_VALUE = (
    rf"(?:{_STRING}|#\d++|[+-]?+\d++(?:\.\d*+)?+(?:[Ee][+-]?+\d++)?+(?![\w.])"
    r'|\.[A-Za-z_]\w*+\.|"[0-9A-Fa-f]*+"|\$|\*)'
)
_BODY = (  # a value only where a comma or bracket went before: no two side by side
    rf"(?:(?:[(,]{_SPACE}{_VALUE}?+|\){_SPACE}|!?[A-Za-z]\w*+{_SPACE}(?=\()){_SPACE})++"
)
_STATEMENT = re.compile(rf"{_SPACE}#(\d++){_SPACE}={_SPACE}(!?[A-Za-z]\w*+|(?=\())({_BODY});")
_REFERENCE = re.compile(rf"{_STRING}|#(\d++)")
_KEYWORD = re.compile(rf"{_STRING}|([A-Za-z]\w*+)\s*+\(")
_NEXT = re.compile(r";[ \t\r\n]*+(?=#\d++\s*+=|ENDSEC)")
_SOLIDS = frozenset({"MANIFOLD_SOLID_BREP", "BREP_WITH_VOIDS", "FACETED_BREP"})
_SHELLS = frozenset({"CLOSED_SHELL", "OPEN_SHELL"})
_TURNED_SHELLS = frozenset({"ORIENTED_CLOSED_SHELL", "ORIENTED_OPEN_SHELL"})
_BEYOND_BASIC = re.compile(r"[^\x20-\x5b\x5d-\x7e\U00010000-\U0010ffff]+|[\U00010000-\U0010ffff]+")
_LAST_OF_TWO_BYTES = 0xFFFF
_ASSEMBLY = "NEXT_ASSEMBLY_USAGE_OCCURRENCE"


@dataclass(frozen=True)
class Entity:
    """One statement: its number, its keywords (several for a complex one) and what follows."""

    number: int
    keywords: tuple[str, ...]
    body: str

    @property
    def references(self) -> list[int]:
        """Numbers of the entities it names, in order."""
        return [int(found[1]) for found in _REFERENCE.finditer(self.body) if found[1]]

    def __str__(self) -> str:
        return f"#{self.number} {' '.join(self.keywords)}"


@dataclass(frozen=True)
class Counted:
    """Solids, and the shells and faces they have, instances counted each."""

    solids: int
    shells: int
    faces: int


@dataclass(frozen=True)
class Part21:
    """The data section of a file.

    Parameters
    ----------
    entities : dict
        By number, in the file's order.
    damage : tuple of str
        What is not as ISO 10303-21 asks, each with its line.
    """

    entities: dict[int, Entity]
    damage: tuple[str, ...]

    @cached_property
    def kinds(self) -> dict[str, list[Entity]]:
        """Entities by keyword."""
        found: dict[str, list[Entity]] = {}
        for entity in self.entities.values():
            for keyword in entity.keywords:
                found.setdefault(keyword, []).append(entity)
        return found

    @cached_property
    def solids(self) -> dict[int, tuple[list[int], list[int]]]:
        """Solids by number: their shells and faces, by number."""
        found = {}
        for kind in sorted(_SOLIDS):
            for solid in self.kinds.get(kind, ()):
                shells = [shell for one in solid.references for shell in self._shell(one)]
                faces = [face for shell in shells for face in self.entities[shell].references]
                found[solid.number] = (shells, faces)
        return found

    @property
    def is_mapped(self) -> bool:
        """Whether shapes are repeated by mapped items, which are not counted here."""
        return "MAPPED_ITEM" in self.kinds

    def instances(self) -> dict[int, int]:
        """How often each solid stands in the whole, through the assembly's tree; at least once."""
        times = self._times()
        found = dict.fromkeys(self.solids, 0)
        for shown in self.kinds.get("SHAPE_DEFINITION_REPRESENTATION", ()):
            parts = [part for one in shown.references for part in self._part_of(one)]
            for shape in self._same_shapes(shown.references):
                for item in self.entities[shape].references:
                    if item in found:
                        found[item] += sum(times.get(part, 1) for part in parts)
        return {solid: max(1, count) for solid, count in found.items()}

    def counted(self) -> Counted:
        """What should come out of the kernel."""
        times = self.instances()
        return Counted(
            solids=sum(times.values()),
            shells=sum(times[one] * len(shells) for one, (shells, _) in self.solids.items()),
            faces=sum(times[one] * len(faces) for one, (_, faces) in self.solids.items()),
        )

    def counted_once(self) -> Counted:
        """The same with every solid once."""
        return Counted(
            solids=len(self.solids),
            shells=sum(len(shells) for shells, _ in self.solids.values()),
            faces=sum(len(faces) for _, faces in self.solids.values()),
        )

    def reached(self) -> set[int]:
        """Entities that shapes and their places are made of: solids, shells, parts, transforms."""
        roots = ("SHAPE_DEFINITION_REPRESENTATION", "CONTEXT_DEPENDENT_SHAPE_REPRESENTATION",
                 _ASSEMBLY, *_SHELLS, *_SOLIDS)  # fmt: skip
        pending = [one.number for kind in roots for one in self.kinds.get(kind, ())]
        found: set[int] = set()
        while pending:
            current = pending.pop()
            if current not in found and current in self.entities:
                found.add(current)
                pending += self.entities[current].references
        return found

    def loose_ends(self) -> Iterator[str]:
        """Parts, places and solids the rest of the file does not hang together with."""
        shapes = {
            shape
            for one in self.kinds.get("CONTEXT_DEPENDENT_SHAPE_REPRESENTATION", ())
            for shape in one.references
        }
        placed = {
            usage
            for one in self.kinds.get("PRODUCT_DEFINITION_SHAPE", ())
            if one.number in shapes
            for usage in one.references
        }
        if not self.is_mapped:
            for usage in self.kinds.get(_ASSEMBLY, ()):
                if usage.number not in placed:
                    yield f"{usage}: where this part stands in the whole is not told"
        shown = {
            item
            for kind, entities in self.kinds.items()
            if kind.endswith("SHAPE_REPRESENTATION")
            for entity in entities
            for item in entity.references
        }
        for solid in self.solids:
            if solid not in shown:
                yield f"{self.entities[solid]}: this solid belongs to no part"
        yield from self._without_unit()

    def _without_unit(self) -> Iterator[str]:
        for kind, entities in self.kinds.items():
            if not kind.endswith("BREP_SHAPE_REPRESENTATION"):
                continue
            for entity in entities:
                near = [self.entities[n] for n in entity.references[-1:] if n in self.entities]
                units = [self.entities[n] for one in near for n in one.references
                         if n in self.entities]  # fmt: skip
                if not any("LENGTH_UNIT" in unit.keywords for unit in units):
                    yield f"{entity}: its unit of length is not told"

    def _shell(self, number: int) -> list[int]:
        entity = self.entities.get(number)
        if entity is None:
            return []
        if _TURNED_SHELLS & set(entity.keywords):
            return [shell for one in entity.references for shell in self._shell(one)]
        return [number] if _SHELLS & set(entity.keywords) else []

    def _part_of(self, number: int) -> list[int]:
        """The part a shape defines."""
        entity = self.entities.get(number)
        if entity is None or "PRODUCT_DEFINITION_SHAPE" not in entity.keywords:
            return []
        return [one for one in entity.references if one in self.entities]

    def _same_shapes(self, start: list[int]) -> list[int]:
        """Representations tied to some as the same shape, these included."""
        pairs: dict[int, list[int]] = {}
        for tie in self.kinds.get("SHAPE_REPRESENTATION_RELATIONSHIP", ()):
            if "REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION" not in tie.keywords:
                one, *others = tie.references or [0]
                for other in others:
                    pairs.setdefault(one, []).append(other)
                    pairs.setdefault(other, []).append(one)
        found: dict[int, None] = {}
        pending = [one for one in start if one in self.entities
                   and self.entities[one].keywords[-1:] and
                   self.entities[one].keywords[-1].endswith("REPRESENTATION")]  # fmt: skip
        while pending:
            current = pending.pop()
            if current not in found and current in self.entities:
                found.setdefault(current)
                pending += pairs.get(current, [])
        return list(found)

    def _times(self) -> dict[int, int]:
        """How often each part stands in the whole."""
        above: dict[int, list[int]] = {}
        for usage in self.kinds.get(_ASSEMBLY, ()):
            if len(usage.references) >= 2:
                parent, child = usage.references[:2]
                above.setdefault(child, []).append(parent)
        times: dict[int, int] = {}

        def count(part: int, below: frozenset[int]) -> int:
            if part in below:  # a part within itself
                return 0
            if part not in times:
                parents = above.get(part)
                times[part] = (
                    1 if parents is None else sum(count(one, below | {part}) for one in parents)
                )
            return times[part]

        for part in list(above):
            count(part, frozenset())
        return times


def parsed(text: str) -> Part21:
    r"""Take a file apart.

    Parameters
    ----------
    text : str
        A STEP file; bytes decoded as Latin-1.

    Returns
    -------
    Part21

    References
    ----------
    ISO 10303-21:2016, clauses 5 to 7 (tokens, structured data types) and 11 (data section).

    Examples
    --------
    >>> found = parsed("ISO-10303-21;\nDATA;\n#1=A('x',#2);\n#2=B(1 2);\nENDSEC;\n")
    >>> for line in found.damage:
    ...     print(line)
    line 4: not a statement: #2=B(1 2); ENDSEC;
    the end is missing (END-ISO-10303-21)
    #1 A: names #2, which is not there
    """
    entities: dict[int, Entity] = {}
    damage: list[str] = []
    start = re.search(r"\bDATA\s*+(?:\([^;]*+\)\s*+)?;", text)
    place = len(text) if start is None else start.end()
    if start is None:
        damage.append("no data section (DATA;)")
    end = re.compile(rf"{_SPACE}ENDSEC{_SPACE};")
    again = re.compile(rf"{_SPACE}DATA\s*+(?:\([^;]*+\)\s*+)?;")
    while place < len(text):
        match = _STATEMENT.match(text, place)
        if match:
            number, place = int(match[1]), match.end()
            if number in entities:
                damage.append(f"line {_line(text, match.start(1))}: #{number} stands there twice")
            keywords = (match[2].upper(),) if match[2] else _complex(match[3])
            entities[number] = Entity(number, keywords, match[3])
        elif closing := end.match(text, place):
            opening = again.match(text, closing.end())
            if opening is None:
                break
            place = opening.end()
        else:
            begin = re.compile(r"\s*+").match(text, place)
            place = place if begin is None else begin.end()
            words = " ".join(text[place : place + 60].split())
            damage.append(f"line {_line(text, place)}: not a statement: {printable(words)}")
            following = _NEXT.search(text, place)
            place = len(text) if following is None else following.end()
        if len(damage) > _MOST_BROKEN:
            return Part21(entities, tuple(damage))
    if "END-ISO-10303-21" not in text[place:]:
        damage.append("the end is missing (END-ISO-10303-21)")
    for entity in entities.values():
        lost = [number for number in entity.references if number not in entities]
        damage += [f"{entity}: names #{number}, which is not there" for number in lost[:1]]
    return Part21(entities, tuple(damage))


def _complex(body: str) -> tuple[str, ...]:
    """Keywords of a complex entity: ((A(...)B(...))."""
    return tuple(found[1].upper() for found in _KEYWORD.finditer(body) if found[1])


def _line(text: str, place: int) -> int:
    return text.count("\n", 0, place) + 1


def named(damage: Sequence[str]) -> str:
    """Some of many damaged places, in words."""
    rest = len(damage) - MOST_NAMED
    return "; ".join(damage[:MOST_NAMED]) + (f"; and {rest} more" if rest > 0 else "")


def printable(text: str) -> str:
    r"""A text without control characters, runs of spaces as one.

    Examples
    --------
    >>> printable("vess\x1b[31mel\n 2")
    'vess[31mel 2'
    """
    kept = "".join(" " if one.isspace() else one if one.isprintable() else "" for one in text)
    return " ".join(kept.split())


_DIRECTIVE = re.compile(
    r"\\X2\\((?:[0-9A-Fa-f]{4})+)\\X0\\|\\X4\\((?:[0-9A-Fa-f]{8})+)\\X0\\|\\X\\([0-9A-Fa-f]{2})"
    r"|\\S\\([\x20-\x7e])|\\(\\)"
)


def decoded(text: str) -> str:
    r"""What a string of a STEP file means: ``\X2\``, ``\X4\``, ``\X\``, ``\S\`` undone.

    Examples
    --------
    >>> decoded(r"10 \X\B0C"), decoded(r"F\X2\00E4\X0\den")
    ('10 °C', 'Fäden')
    """

    def sign(match: re.Match[str]) -> str:
        two, four, one, eight, slash = match.groups()
        if two:
            return bytes.fromhex(two).decode("utf-16-be", "replace")
        if four:
            return bytes.fromhex(four).decode("utf-32-be", "replace")
        if one:
            return chr(int(one, 16))
        return chr(ord(eight) + 128) if eight else slash

    return _DIRECTIVE.sub(sign, text)


def encoded(text: str) -> str:
    r"""A text as a string of a STEP file may hold it; `decoded` undoes it.

    Signs beyond the basic alphabet (0x20 to 0x7E) become ``\X2\`` or, beyond 16 bits, ``\X4\``
    directives, and so does a backslash: writers differ in whether they double one. Apostrophes are
    doubled by whoever writes the quotes.

    References
    ----------
    ISO 10303-21:2016, clause 6.4.3 (strings).

    Examples
    --------
    >>> print(encoded("Gärkeller \\ 水 😀"))
    G\X2\00E4\X0\rkeller \X2\005C\X0\ \X2\6C34\X0\ \X4\0001F600\X0\
    """

    def directive(match: re.Match[str]) -> str:
        signs = match[0]
        if ord(signs[0]) > _LAST_OF_TWO_BYTES:
            return f"\\X4\\{signs.encode('utf-32-be').hex().upper()}\\X0\\"
        coded = signs.encode("utf-16-be", "replace")  # half a surrogate pair is no sign
        return f"\\X2\\{coded.hex().upper()}\\X0\\"

    return _BEYOND_BASIC.sub(directive, text)
