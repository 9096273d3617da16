"""One order for the entities of a STEP file, whatever order a writer's memory gave them.

The kernel lists colours by memory address. Here the styles follow the shapes they colour.
"""

from __future__ import annotations

import re

_TOKEN = re.compile(r"'(?:[^']|'')*'|#(\d+)")
_STATEMENT = re.compile(r"#(\d+)\s*=\s*((?:'(?:[^']|'')*'|[^';])*);\n?")
_STYLES = "MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION"


def canonical(text: str) -> str:
    r"""The same file with its styles in the order of the shapes they belong to.

    Parameters
    ----------
    text : str
        A STEP file (ISO 10303-21).

    Returns
    -------
    str

    Examples
    --------
    >>> a = "DATA;\n#1 = S('x');\n#2 = S('#9');\n"
    >>> style = "MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION"
    >>> one = a + f"#3 = {style}('',(#4),#1);\n#4 = STYLED_ITEM('',(),#2);\n"
    >>> two = one + f"#5 = {style}('',(#6),#1);\n#6 = STYLED_ITEM('',(),#1);\nENDSEC;\n"
    >>> print(canonical(two), end="")
    DATA;
    #1 = S('x');
    #2 = S('#9');
    #3 = MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION('',(#4),#1);
    #4 = STYLED_ITEM('',(),#1);
    #5 = MECHANICAL_DESIGN_GEOMETRIC_PRESENTATION_REPRESENTATION('',(#6),#1);
    #6 = STYLED_ITEM('',(),#2);
    ENDSEC;
    """
    start = text.find("DATA;\n") + len("DATA;\n")
    found = list(_STATEMENT.finditer(text, start))
    body = {int(match[1]): match[2] for match in found}
    roots = [number for number, content in body.items() if content.startswith(_STYLES)]
    if not roots:
        return text
    first, shapes = min(roots), {number for number in body if number < min(roots)}
    targets = {number: _targets(number, body, shapes) for number in roots}
    order: dict[int, None] = {}
    for root in sorted(roots, key=lambda number: targets[number]):
        body[root] = _sorted_items(body[root], body, shapes)
        _walk(root, body, shapes, order)
    for number in body:
        if number not in shapes:
            order.setdefault(number)
    renamed = {old: first + i for i, old in enumerate(order)}
    written = [number for number in body if number in shapes] + list(order)
    middle = "".join(f"#{number} = {body[number]};\n" for number in written)
    middle = _TOKEN.sub(
        lambda match: f"#{renamed.get(int(match[1]), int(match[1]))}" if match[1] else match[0],
        middle,
    )
    return text[: found[0].start()] + middle + text[found[-1].end() :]


def _references(content: str) -> list[int]:
    return [int(match[1]) for match in _TOKEN.finditer(content) if match[1]]


def _targets(number: int, body: dict[int, str], shapes: set[int]) -> tuple[int, ...]:
    """The shapes a list of styles belongs to, by their numbers."""
    found = [
        target
        for item in _references(body[number])
        for target in ([item] if item in shapes else _references(body[item])[-1:])
    ]
    return tuple(sorted(found))


def _sorted_items(content: str, body: dict[int, str], shapes: set[int]) -> str:
    """A list of styles, its items in the order of their shapes."""
    head, opened, rest = content.partition(",(")
    inside, closed, tail = rest.partition(")")
    items = _references(inside)
    if not (opened and closed) or len(items) < 2:
        return content
    items.sort(key=lambda item: (_targets(item, body, shapes), item))
    return f"{head},({','.join(f'#{item}' for item in items)}){tail}"


def _walk(number: int, body: dict[int, str], shapes: set[int], order: dict[int, None]) -> None:
    pending = [number]
    while pending:
        current = pending.pop()
        if current in shapes or current in order or current not in body:
            continue
        order.setdefault(current)
        pending += reversed(_references(body[current]))
