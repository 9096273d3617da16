"""The rows that decide, typed a second time from print or memory, in another layout than the data.

Nothing here is read from the package: a digit that is wrong in one of the two copies shows. Sources
are those of the tables: ISO 286-1:2010 table 1 (grades), tables 2 to 5 (deviations),
ISO 2768-1:1989, The O-Ring Store and Apple Rubber (inch glands), orings.co.uk and Seal Supply
(metric glands).
"""

from __future__ import annotations

import itertools

Line = tuple[float | str | None, ...]

GRADES = ("IT01", "IT0", *(f"IT{n}" for n in range(1, 17)))
MAIN = (0, 3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500)
GRADES_UM = """
.3 .5 .8 1.2 2 3 4 6 10 14 25 40 60 100 140 250 400 600
.4 .6 1 1.5 2.5 4 5 8 12 18 30 48 75 120 180 300 480 750
.4 .6 1 1.5 2.5 4 6 9 15 22 36 58 90 150 220 360 580 900
.5 .8 1.2 2 3 5 8 11 18 27 43 70 110 180 270 430 700 1100
.6 1 1.5 2.5 4 6 9 13 21 33 52 84 130 210 330 520 840 1300
.6 1 1.5 2.5 4 7 11 16 25 39 62 100 160 250 390 620 1000 1600
.8 1.2 2 3 5 8 13 19 30 46 74 120 190 300 460 740 1200 1900
1 1.5 2.5 4 6 10 15 22 35 54 87 140 220 350 540 870 1400 2200
1.2 2 3.5 5 8 12 18 25 40 63 100 160 250 400 630 1000 1600 2500
2 3 4.5 7 10 14 20 29 46 72 115 185 290 460 720 1150 1850 2900
2.5 4 6 8 12 16 23 32 52 81 130 210 320 520 810 1300 2100 3200
3 5 7 9 13 18 25 36 57 89 140 230 360 570 890 1400 2300 3600
4 6 8 10 15 20 27 40 63 97 155 250 400 630 970 1550 2500 4000
"""

FINE = (0, 3, 6, 10, 14, 18, 24, 30, 40, 50, 65, 80, 100, 120, 140, 160, 180, 200, 225, 250, 280,
        315, 355, 400, 450, 500)  # fmt: skip
SPLIT = (1, 1, 1, 2, 2, 2, 2, 2, 3, 3, 2, 2, 2)  # fine steps in each main step
SHAFTS_UM = {
    "d": "20 30 40 50 65 80 100 120 145 170 190 210 230",
    "e": "14 20 25 32 40 50 60 72 85 100 110 125 135",
    "f": "6 10 13 16 20 25 30 36 43 50 56 62 68",
    "g": "2 4 5 6 7 9 10 12 14 15 17 18 20",
    "h": "0 0 0 0 0 0 0 0 0 0 0 0 0",
    "j 5-6": "2 2 2 3 4 5 7 9 11 13 16 18 20",
    "j 7": "4 4 5 6 8 10 12 15 18 21 26 28 32",
    "k 4-7": "0 1 1 1 2 2 2 3 3 4 4 4 5",
    "m": "2 4 6 7 8 9 11 13 15 17 20 21 23",
    "n": "4 8 10 12 15 17 20 23 27 31 34 37 40",
    "p": "6 12 15 18 22 26 32 37 43 50 56 62 68",
    "J 6": "2 5 5 6 8 10 13 16 18 22 25 29 33",
    "J 7": "4 6 8 10 12 14 18 22 26 30 36 39 43",
    "J 8": "6 10 12 15 20 24 28 34 41 47 55 60 66",
}
"""By main steps; without sign: es of c to j is negative, the rest positive."""
FINE_SHAFTS_UM = {
    "c": "60 70 80 95 95 110 110 120 130 140 150 170 180 200 210 230 240 260 280 300 330 360 400"
         " 440 480",
    "r": "10 15 19 23 23 28 28 34 34 41 43 51 54 63 65 68 77 80 84 94 98 108 114 126 132",
    "s": "14 19 23 28 28 35 35 43 43 53 59 71 79 92 100 108 122 130 140 158 170 190 208 232 252",
}  # fmt: skip
DELTA_UM = """
0 0 0 0 0 0
1 1.5 1 3 4 6
1 1.5 2 3 6 7
1 2 3 3 7 9
1.5 2 3 4 8 12
1.5 3 4 5 9 14
2 3 5 6 11 16
2 4 5 7 13 19
3 4 6 7 15 23
3 4 6 9 17 26
4 4 7 9 20 29
4 5 7 11 21 32
5 5 7 13 23 34
"""
"""IT3 to IT8 by main steps."""

LENGTHS = (0.5, 3, 6, 30, 120, 400, 1000, 2000, 4000)
GENERAL = {
    ("linear", "f"): ".05 .05 .1 .15 .2 .3 .5 -",
    ("linear", "m"): ".1 .1 .2 .3 .5 .8 1.2 2",
    ("linear", "c"): ".2 .3 .5 .8 1.2 2 3 4",
    ("linear", "v"): "- .5 1 1.5 2.5 4 6 8",
}
RADII = {"f": ".2 .5 1", "m": ".2 .5 1", "c": ".4 1 2", "v": ".4 1 2"}
ANGLES = {
    "f": "60 30 20 10 5",
    "m": "60 30 20 10 5",
    "c": "90 60 30 15 10",
    "v": "180 120 60 30 20",
}
"""Minutes; shorter side to 10, 50, 120, 400 mm and over."""

INCH_GLANDS = {
    "chart_a_static_radial": """
.070 .003 .050 .052 .015 .023 22 32 .002 .005 .093 .098 .138 .143 .205 .210 .005 .015 .002
.103 .003 .081 .083 .017 .025 17 24 .002 .005 .140 .145 .171 .176 .238 .243 .005 .015 .002
.139 .004 .111 .113 .022 .032 16 23 .003 .006 .187 .192 .208 .213 .275 .280 .010 .025 .003
.210 .005 .170 .173 .032 .045 15 21 .003 .006 .281 .286 .311 .316 .410 .415 .020 .035 .004
.275 .006 .226 .229 .040 .055 15 20 .004 .007 .375 .380 .408 .413 .538 .543 .020 .035 .005
""",
    "chart_a_face_liquid": """
.070 .003 .050 .054 .013 .023 19 32 - - .101 .107 - - - - .005 .015 -
.103 .003 .074 .080 .020 .032 20 30 - - .136 .142 - - - - .005 .015 -
.139 .004 .101 .107 .028 .042 20 30 - - .177 .187 - - - - .010 .025 -
.210 .005 .152 .162 .043 .063 21 30 - - .270 .290 - - - - .020 .035 -
.275 .006 .201 .211 .058 .080 21 29 - - .342 .362 - - - - .020 .035 -
""",
    "chart_b_static_radial": """
.070 .003 .050 .055 .012 .023 18 32 - .004 .100 .110 .145 .155 .203 .213 .005 .015 .002
.103 .003 .080 .086 .014 .026 14 25 - .005 .141 .151 .177 .187 .239 .249 .005 .020 .003
.139 .004 .110 .116 .019 .033 14 23 - .006 .190 .200 .212 .222 .291 .301 .005 .030 .004
.210 .005 .170 .176 .029 .045 14 21 - .006 .275 .285 .328 .338 .418 .428 .005 .050 .006
.275 .006 .225 .235 .034 .056 13 20 - .007 .345 .355 .430 .440 .569 .579 .005 .060 .008
""",
    "chart_b_static_axial": """
.070 .003 .049 .054 .013 .024 19 33 - - .100 .110 .145 .155 .203 .213 .005 .015 .002
.103 .003 .075 .081 .019 .031 19 29 - - .141 .151 .177 .187 .239 .249 .005 .020 .003
.139 .004 .100 .108 .027 .043 20 30 - - .190 .200 .212 .222 .291 .301 .005 .030 .004
.210 .005 .155 .165 .040 .060 20 28 - - .275 .285 .328 .338 .418 .428 .005 .050 .006
.275 .006 .205 .215 .054 .076 20 27 - - .345 .355 .430 .440 .569 .579 .005 .060 .008
""",
}

METRIC_GLANDS = """
0.50 .35 .80 .35 .70 .80 -
0.74 .50 1.00 .50 1.10 1.00 -
1.00,1.02 .70 1.40 .70 1.40 1.40 .2
1.20 .85 1.70 .85 1.70 1.70 -
1.25,1.27 .90 1.70 .90 1.70 1.80 -
1.30 .95 1.80 .95 1.80 1.80 -
1.42 1.05 1.90 1.05 1.90 2.00 -
1.50,1.52 1.10 2.00 1.10 2.00 2.10 .3
1.60,1.63 1.20 2.10 1.20 2.20 2.20 -
1.78,1.80 1.30 2.40 1.30 2.40 2.60 .3
1.83 1.35 2.50 1.35 2.50 2.60 -
1.90 1.40 2.60 1.40 2.60 2.70 -
2.00,1.98 1.50 2.70 1.50 2.70 2.80 .3
2.08,2.10 1.55 2.80 1.55 2.80 2.90 -
2.20 1.60 3.00 1.65 3.00 3.00 -
2.26 1.70 3.00 1.70 3.00 3.10 -
2.30 1.75 3.10 1.75 3.00 3.10 -
2.34 1.75 3.10 1.75 3.10 3.10 -
2.40 1.80 3.20 1.80 3.20 3.30 -
2.46 1.85 3.30 1.85 3.30 3.40 -
2.50 1.90 3.30 1.90 3.30 3.40 .3
2.60 - - 2.00 3.50 - -
2.62 2.00 3.60 2.00 3.50 3.80 .3
2.65 2.00 3.60 2.00 3.60 3.80 -
2.70 2.05 3.60 2.05 3.60 3.80 -
2.80 2.10 3.70 2.15 3.70 3.90 -
2.92,2.95 2.20 3.90 2.20 3.90 4.00 -
3.00 2.30 4.00 2.30 4.00 4.00 .6
3.10 2.40 4.10 2.40 4.10 4.10 -
3.50 2.65 4.60 2.70 4.60 4.70 -
3.53,3.55 2.70 4.80 2.70 4.70 5.00 .6
3.60 2.80 4.80 2.80 4.80 5.10 -
3.70 - - 2.90 4.90 - -
4.00 3.10 5.20 3.10 5.30 5.30 .6
4.30 - - 3.40 5.60 - -
4.50 3.50 5.80 3.50 5.90 5.90 -
5.00 4.00 6.60 4.00 6.60 6.70 .6
5.33,5.30 4.30 7.10 4.30 7.00 7.30 .6
5.50 4.50 7.10 - - 7.30 -
5.70 4.60 7.20 - - 7.40 -
6.00 4.90 7.40 - - 7.60 .6
6.50 5.40 8.00 - - 8.20 -
6.99,7.00 5.80 9.50 - - 9.70 1.0
"""
"""Section(s); depth and width of orings.co.uk, of Seal Supply; width of a face groove (its depth is
the radial one); radius, for the first section of a line only."""

GAPS_IN = {
    "70": ".016 .010 .006 .004 .002", "90": ".028 .024 .020 .016 .010",
    "0.070": ".008 .004", "0.103": ".009 .004", "0.139": ".010 .006", "0.210": ".011 .007",
    "0.275": ".012 .008",
}  # fmt: skip
"""To 500, 1000, 1500, 2000, 3000 psi by Shore A; to 500 and 1500 psi by section."""


def numbers(text: str) -> list[float | None]:
    """Numbers of a line; None for a dash."""
    return [None if word == "-" else float(word) for word in text.split()]


def _steps(edges: tuple[float, ...]) -> list[tuple[float, float]]:
    return list(itertools.pairwise(edges))


def _finely(main: list[float]) -> list[float]:
    return [value for value, n in zip(main, SPLIT, strict=True) for _ in range(n)]


def grades() -> set[Line]:
    """(over, upto, grade, um)."""
    lines = [numbers(line) for line in GRADES_UM.split("\n") if line]
    return {
        (*step, grade, value)
        for step, line in zip(_steps(MAIN), lines, strict=True)
        for grade, value in zip(GRADES, line, strict=True)
    }


def _shafts() -> dict[str, list[float]]:
    by_main = {key: _finely([float(w) for w in row.split()]) for key, row in SHAFTS_UM.items()}
    return by_main | {key: [float(w) for w in row.split()] for key, row in FINE_SHAFTS_UM.items()}


def deviations() -> set[Line]:
    """(letter, grades, over, upto, edge, um, delta); holes by the rules of the standard."""
    shafts, found = _shafts(), []
    fine = _steps(FINE)
    for key, values in shafts.items():
        letter, _, grade = key.partition(" ")
        sign = -1.0 if letter in "cdefghj" else 1.0
        edge = "ES" if letter == "J" else "es" if letter in "cdefgh" else "ei"
        for step, value in zip(fine, values, strict=True):
            found.append((letter, grade or "all", *step, edge, sign * value, False))
            if letter in "cdefgh":  # EI = -es
                found.append((letter.upper(), "all", *step, "EI", value, False))
    for step in fine:
        found.append(("js", "all", *step, "es=-ei", "IT/2", False))
        found.append(("JS", "all", *step, "ES=-EI", "IT/2", False))
        found.append(("k", "<=3 and >=8", *step, "ei", 0.0, False))
    for letter, upto in (("k 4-7", 8), ("m", 8), ("n", 8), ("p", 7), ("r", 7), ("s", 7)):
        name = letter[0].upper()
        for step, value in zip(fine, shafts[letter], strict=True):
            found.append((name, f"<={upto}", *step, "ES", -value, step[0] > 0))
            if name != "K":  # above the delta rule: -ei, and 0 for N from IT9
                coarse = -value if name != "N" or step[0] == 0 else 0.0
                found.append((name, f">={upto + 1}", *step, "ES", coarse, False))
    return set(found)


def deltas() -> set[Line]:
    """(over, upto, IT3 to IT8), by the fine steps."""
    lines = [tuple(numbers(line)) for line in DELTA_UM.split("\n") if line]
    main = [line for line, n in zip(lines, SPLIT, strict=True) for _ in range(n)]
    return {(*step, *line) for step, line in zip(_steps(FINE), main, strict=True)}


def general() -> set[Line]:
    """(table, class, over, upto, mm or deg)."""
    found: set[Line] = set()
    for (table, name), row in GENERAL.items():
        for step, value in zip(_steps(LENGTHS), numbers(row), strict=True):
            if value is not None:
                found.add((table, name, *step, value))
    inf = float("inf")
    for name, row in RADII.items():
        for step, value in zip(_steps((0.5, 3, 6, inf)), numbers(row), strict=True):
            found.add(("external radius/chamfer", name, *step, value))
    for name, row in ANGLES.items():
        for step, value in zip(_steps((0, 10, 50, 120, 400, inf)), numbers(row), strict=True):
            assert value is not None
            found.add(("angular (shorter side)", name, *step, value / 60.0))
    return found


def inch_glands() -> set[Line]:
    """(table, every printed column)."""
    return {
        (table, *numbers(line))
        for table, text in INCH_GLANDS.items()
        for line in text.split("\n")
        if line
    }


def metric_glands() -> set[Line]:
    """(section, depth and width of both lists, face depth and width, radius)."""
    found: set[Line] = set()
    for line in filter(None, METRIC_GLANDS.split("\n")):
        sections, rest = line.split(" ", 1)
        depth, width, depth_2, width_2, face, radius = numbers(rest)
        for n, section in enumerate(sections.split(",")):
            own = radius if n == 0 else None
            found.add((float(section), depth, width, depth_2, width_2, depth, face, own))
    return found


def gaps() -> set[Line]:
    """(Shore A or None, section or None, over, upto, in)."""
    found: set[Line] = set()
    for key, row in GAPS_IN.items():
        by_section = key.startswith("0")
        edges = (0, 500, 1500) if by_section else (0, 500, 1000, 1500, 2000, 3000)
        for step, value in zip(_steps(edges), numbers(row), strict=True):
            found.add(
                (None, float(key), *step, value) if by_section else (float(key), None, *step, value)
            )
    return found
