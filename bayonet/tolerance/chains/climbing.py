"""The search for the least and the greatest of every piece of a chain over its zone.

Exact where the worst lies at ends or middles, or between them along one deviation. A summit on a
ridge across three deviations or more is closed in on, but may be missed by part of its height;
least gaps have their worst at ends, so that this touches the best case only.
"""

from __future__ import annotations

import itertools
import math

import numpy as np
from numpy.typing import NDArray

from bayonet.tolerance.chains.chain import Chain, ChainSet
from bayonet.tolerance.chains.moves import Moves, moves_of, pairs_of
from bayonet.tolerance.chains.probes import RIM, SAME, SEED, Knob, Places, Probes

Array = NDArray[np.float64]

_ALL_PLACES_UPTO = 2000  # combinations of places tried one by one
_STARTS = 8  # best random corners to start from, where knobs have a say in each other's places
_SECONDS = 12  # of the best combinations to start from, where knobs share a say
_ROUNDS = 20
_STEPS, _SHRINK = 24, 0.7  # by which a place between the limits is closed in on
_GAIN = 1e-12
_WAYS = 24  # random directions beside the axes by which a place is closed in on


_DIRECTIONS = np.column_stack([np.cos(RIM), np.sin(RIM)])


class Search:
    """The least and the greatest of every piece of one chain, all searched together.

    A climber is a point, the piece it belongs to and the sign of what it looks for.
    """

    def __init__(self, chains: ChainSet, chain: Chain, probes: Probes) -> None:
        key = chain.key
        self._chains, self._key, self._knobs = chains, key, probes.knobs
        # a side without a limit does no harm: its value is shown, and climbed to once
        harms = (math.isfinite(chain.low), math.isfinite(chain.high))
        self._harms = harms if any(harms) else (True, True)
        self._pieces, self._memo = probes.pieces(key), dict[tuple[Knob, ...], Moves]()
        self._pairs = dict[tuple[Knob, ...], Moves]()
        best, self._moves, self._mixed = probes.of_knobs(key)
        self._owners, self._signs = np.empty(0, dtype=np.int64), np.empty(0)
        self._points = np.empty((len(chains.variables), 0))
        if not self._start_at_combinations():
            self._start_at_probes(probes, best)
        self._add_corners(probes)
        rows = np.arange(len(self._owners))
        self._values = self._signs * self._evaluated(self._points)[self._owners, rows]

    def found(self) -> tuple[Array, Array]:
        """Least and greatest of each piece."""
        for _ in range(_ROUNDS):
            self._climb()
            self._keep_the_best()
            if not (self._two_at_a_time() or self._every_knob()):
                break
        self._close_in()
        by_piece = (self._signs * self._values).reshape(self._pieces, 2)
        return by_piece[:, 0], by_piece[:, 1]

    def where(self, piece: int, side: int) -> Array:
        """Deviations at a piece's least (``side`` 0) or greatest (1), once found."""
        return self._points[:, 2 * piece + side].copy()

    # ---- where to start ------------------------------------------------------------------

    def _start_at_combinations(self) -> bool:
        """Start at the best of all combinations of ends and middles, if they are few enough."""
        grids = []
        for piece in range(self._pieces):
            numbers = np.flatnonzero(self._moves[piece])
            knobs = [self._knobs[i] for i in numbers]
            sets = self._places_tried(piece, numbers)
            if sets is None:
                return False
            count = math.prod(len(one) for one in sets)
            grid = np.zeros((len(self._chains.variables), count))
            chosen = np.indices([len(one) for one in sets]).reshape(len(sets), count)
            for knob, places, which in zip(knobs, sets, chosen, strict=True):
                grid[list(knob.rows)] = places[which].T
            grids.append(grid)
        values = self._evaluated(np.concatenate(grids, axis=1))
        ends = np.cumsum([0, *(grid.shape[1] for grid in grids)])
        points, owners, signs = list[Array](), list[int](), list[float]()
        for piece, grid in enumerate(grids):
            own = values[piece, ends[piece] : ends[piece + 1]]
            # the best alone may lie beside the way to a better place between the limits
            count = _SECONDS if self._mixed[piece].any() else 1
            for sign in (-1.0, 1.0):
                best = np.argsort(-sign * own, kind="stable")[:count]
                points += [grid[:, one] for one in best]
                owners += [piece] * len(best)
                signs += [sign] * len(best)
        self._take(points, owners, signs)
        return True

    def _places_tried(self, piece: int, numbers: Places) -> list[Array] | None:
        """Places of each knob that are combined: all, or as many as may be; None: too many.

        That ends of a knob decide is what the probes saw, and no proof: its middle is left out only
        where trying it costs too much.
        """
        for of_plain, of_mixed in ((None, None), (3, None), (2, None), (3, 3)):
            sets = []
            for knob, mixed in ((self._knobs[i], self._mixed[piece, i]) for i in numbers):
                few = None if knob.round else of_mixed if mixed else of_plain
                sets.append(knob.places[:few])
            if math.prod(len(one) for one in sets) <= _ALL_PLACES_UPTO:
                return sets
        return None

    def _start_at_probes(self, probes: Probes, best: Places) -> None:
        """Start where the probes point to, and at the best of the random corners."""
        values = probes.at_starts(self._key)
        points: list[Array] = []
        owners, signs = [], []
        for piece, side in itertools.product(range(self._pieces), (0, 1)):
            found = {
                tuple(best[piece, side, base].tolist()): base
                for base in range(best.shape[2] if self._harms[side] else 1)
            }
            mine = [self._at_places(places) for places in found]
            if self._harms[side] and self._mixed[piece].any():
                order = np.argsort((1 - 2 * side) * values[piece], kind="stable")[:_STARTS]
                mine += [probes.starts[:, i] for i in order]
            points += mine
            owners += [piece] * len(mine)
            signs += [2.0 * side - 1.0] * len(mine)
        self._take(points, owners, signs)

    def _add_corners(self, probes: Probes) -> None:
        """The best random corner of each piece too, where it is better than every other start."""
        own = self._evaluated(self._points)[self._owners, np.arange(len(self._owners))]
        for piece, sign in itertools.product(range(self._pieces), (-1.0, 1.0)):
            seen = sign * probes.at_starts(self._key)[piece]
            mine = (self._owners == piece) & (self._signs == sign)
            if seen.max() > (sign * own[mine]).max() + _GAIN:
                point = probes.starts[:, [seen.argmax()]]
                self._points = np.concatenate([self._points, point], axis=1)
                self._owners = np.append(self._owners, piece)
                self._signs = np.append(self._signs, sign)
                own = np.append(own, sign * seen.max())

    def _take(self, points: list[Array], owners: list[int], signs: list[float]) -> None:
        self._points, self._owners = np.array(points).T, np.array(owners)
        self._signs = np.array(signs)

    def _at_places(self, places: tuple[int, ...]) -> Array:
        point = np.zeros(len(self._chains.variables))
        for knob, place in zip(self._knobs, places, strict=True):
            point[list(knob.rows)] = knob.places[place]
        return point

    def _evaluated(self, points: Array) -> Array:
        return self._chains.pieces(points, (self._key,))[self._key]

    # ---- steps ---------------------------------------------------------------------------

    def _try(self, climbers: list[int], tried: list[Array]) -> list[Array]:
        """Move climbers to the best of their own tries, each of shape (variables, n).

        Returns the tries' values.
        """
        values = self._evaluated(np.concatenate(tried, axis=1))
        ends, owned = np.cumsum([0, *(t.shape[1] for t in tried)]), []
        for number, (row, points) in enumerate(zip(climbers, tried, strict=True)):
            own = self._signs[row] * values[self._owners[row], ends[number] : ends[number + 1]]
            owned.append(own)
            if own.size and own.max() > self._values[row] + _GAIN:
                self._points[:, row] = points[:, own.argmax()]
                self._values[row] = own.max()
        return owned

    def _around(self, row: int, knobs: tuple[Knob, ...]) -> Array:
        """A climber's point with each of some knobs in turn at each of its places."""
        known = self._known(knobs)
        tried = np.repeat(self._points[:, row : row + 1], known.count, axis=1)
        tried[known.rows, known.columns] = known.values
        return tried

    def _harmful(self, row: int) -> bool:
        return self._harms[int(self._signs[row] > 0.0)]

    def _known(self, knobs: tuple[Knob, ...]) -> Moves:
        if knobs not in self._memo:
            self._memo[knobs] = moves_of(knobs)
        return self._memo[knobs]

    def _active(self, row: int) -> tuple[Knob, ...]:
        return tuple(self._knobs[i] for i in np.flatnonzero(self._moves[self._owners[row]]))

    def _climb(self) -> None:
        """One knob at a time, then all that help together, until nothing helps."""
        still = list(range(len(self._owners)))
        for _ in range(_ROUNDS):
            reached = self._values.copy()
            groups = self._by_piece(still)
            before = [self._points[:, rows] for rows, _ in groups]
            owned = self._try_groups(groups, [self._all_around(*group) for group in groups])
            self._try_groups(
                groups,
                [
                    self._together(points, known, values)[:, :, None]
                    for points, (_, known), values in zip(before, groups, owned, strict=True)
                ],
            )
            still = self._apart([row for row in still if self._values[row] > reached[row]])
            if not still:
                break

    def _by_piece(self, still: list[int]) -> list[tuple[Places, Moves]]:
        """Climbers of one piece together, with the moves its knobs allow."""
        rows = np.array(still, dtype=np.int64)
        owners = self._owners[rows]
        return [
            (mine, self._known(self._active(int(mine[0]))))
            for mine in (rows[owners == piece] for piece in dict.fromkeys(owners.tolist()))
        ]

    def _all_around(self, rows: Places, known: Moves) -> Array:
        """`_around` of several climbers of a piece, shape (variables, climbers, tries)."""
        tried = np.repeat(self._points[:, rows, None], known.count, axis=2)
        tried[known.rows, :, known.columns] = known.values[:, None]
        return tried

    def _try_groups(self, groups: list[tuple[Places, Moves]], tried: list[Array]) -> list[Array]:
        """`_try` for groups of climbers; the tries' values, (climbers, tries) a group."""
        flat = [points.reshape(len(points), -1) for points in tried]
        values = self._evaluated(np.concatenate(flat, axis=1))
        ends, owned = np.cumsum([0, *(points.shape[1] for points in flat)]), []
        for number, ((rows, _), points) in enumerate(zip(groups, tried, strict=True)):
            piece = values[self._owners[rows[0]], ends[number] : ends[number + 1]]
            own = self._signs[rows, None] * piece.reshape(points.shape[1:])
            owned.append(own)
            if not own.size:
                continue
            best = own.argmax(axis=1)
            top = own[np.arange(len(rows)), best]
            moved = np.flatnonzero(top > self._values[rows] + _GAIN)
            self._points[:, rows[moved]] = points[:, moved, best[moved]]
            self._values[rows[moved]] = top[moved]
        return owned

    def _apart(self, rows: list[int]) -> list[int]:
        """Climbers less those that stand where another of their piece and sign already stands.

        From the same place they would try the same steps.
        """
        taken = set[tuple[int, float, bytes]]()
        gone = set(rows)
        order = [row for row in range(len(self._owners)) if row not in gone] + rows
        kept = []
        for row in order:
            place = (self._owners[row], self._signs[row], self._points[:, row].tobytes())
            if place not in taken:
                taken.add(place)
                kept.append(row)
        return [row for row in kept if row in gone]

    def _together(self, starts: Array, known: Moves, values: Array) -> Array:
        """Every knob at its own best place; a round zone's rim where its slope points to.

        ``starts`` (variables, climbers) and ``values`` (climbers, tries) are of one piece.
        """
        points, at = starts.copy(), known.places.size
        best = values[:, :at].reshape(len(values), *known.places.shape).argmax(axis=2)
        points[known.singles] = known.places[np.arange(len(known.singles))[:, None], best.T]
        for rows, reach in known.discs:
            slope = values[:, at : at + len(RIM)] @ _DIRECTIONS
            length = np.hypot(slope[:, 0], slope[:, 1])
            there = length > SAME
            points[np.ix_(rows, there)] = reach * (slope[there] / length[there, None]).T
            at += len(RIM) + 1
        return points

    def _keep_the_best(self) -> None:
        """One climber a piece and sign."""
        kept = []
        for piece, sign in itertools.product(range(self._pieces), (-1.0, 1.0)):
            mine = np.flatnonzero((self._owners == piece) & (self._signs == sign))
            kept.append(int(mine[self._values[mine].argmax()]))
        self._points, self._values = self._points[:, kept], self._values[kept]
        self._owners, self._signs = self._owners[kept], self._signs[kept]

    def _gains(self, tried: list[Array]) -> bool:
        """Tries of every climber; whether any of them moved."""
        before = self._values.copy()
        if any(points.size for points in tried):
            self._try(list(range(len(self._owners))), tried)
        return bool((self._values > before).any())

    def _two_at_a_time(self) -> bool:
        """Both of every two knobs moved, where others have a say in their places."""
        tried = []
        for row, piece in enumerate(self._owners.tolist()):
            mixed = tuple(self._knobs[i] for i in np.flatnonzero(self._mixed[piece]))
            if mixed not in self._pairs:
                self._pairs[mixed] = pairs_of(mixed)
            moves = self._pairs[mixed]
            points = np.repeat(
                self._points[:, row : row + 1], moves.count * self._harmful(row), axis=1
            )
            if points.size:
                points[moves.rows, moves.columns] = moves.values
            tried.append(points)
        return self._gains(tried)

    def _every_knob(self) -> bool:
        """Knobs that moved nothing at the probes may do so where the climbers stand."""
        climbers = [row for row in range(len(self._owners)) if self._harmful(row)]
        before = self._values.copy()
        others = [np.flatnonzero(~self._moves[self._owners[row]]) for row in climbers]
        knobs = [tuple(self._knobs[i] for i in some) for some in others]
        owned = self._try(
            climbers, [self._around(row, some) for row, some in zip(climbers, knobs, strict=True)]
        )
        for row, some, values, held in zip(climbers, others, owned, knobs, strict=True):
            if not held:
                continue
            starts = np.cumsum([0, *(len(knob.places) for knob in held[:-1])])
            away = np.maximum.reduceat(np.abs(values - before[row]), starts)
            self._moves[self._owners[row], some[away > SAME]] = True
            self._mixed[self._owners[row], some[away > SAME]] = True
        return bool((self._values > before).any())

    def _close_in(self) -> None:
        """Ever smaller steps about places between the limits, along the axes and across."""
        halves = np.array([v.half_width for v in self._chains.variables])
        lows = np.array([v.low for v in self._chains.variables])
        source = np.random.default_rng(SEED)
        still = [
            self._active(row) if self._harmful(row) else () for row in range(len(self._owners))
        ]
        for number in range(_STEPS):
            tried = []
            for row, active in enumerate(still):
                rows = [r for knob in active for r in knob.rows]
                mixed = number > 0 or self._mixed[self._owners[row]].any()
                across = source.normal(size=(_WAYS if mixed else 0, len(rows)))
                ways = np.concatenate([np.eye(len(rows)), -np.eye(len(rows)), across])
                # the first round tries large and small steps, to see whether it is worth while
                steps = (0.3, 0.03, 0.003) if number == 0 else (_SHRINK**number,)
                points = np.repeat(self._points[:, row : row + 1], len(steps) * len(ways), axis=1)
                points[rows] += np.concatenate([size * ways * halves[rows] for size in steps]).T
                tried.append(self._within(points, lows, halves) if rows else points[:, :0])
            if not any(points.size for points in tried):
                break
            before = self._values.copy()
            self._gains(tried)
            if number == 0:
                gained = self._values > before
                still = [active if gained[row] else () for row, active in enumerate(still)]

    def _within(self, points: Array, lows: Array, halves: Array) -> Array:
        """Points brought back into the zone."""
        points = np.clip(points, lows[:, None], halves[:, None])
        for knob in self._knobs:
            if knob.round:
                rows = list(knob.rows)
                far = np.hypot.reduce(points[rows], axis=0) / max(knob.reach, SAME)
                points[rows] /= np.maximum(far, 1.0)
        return points
