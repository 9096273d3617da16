"""Do all the plugs to come work in the socket? Judged from the dimension chains."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from bayonet.checks.motion import Proof, gets_in
from bayonet.findings import Finding, Mends, Verdict, left_open, plain
from bayonet.parts import Design
from bayonet.tolerance.advice import centred, tightened, worth_measuring
from bayonet.tolerance.chains import (
    Chain,
    ChainFigures,
    ChainSet,
    Credible,
    Extremes,
    Study,
    study,
    worst_cases,
)
from bayonet.tolerance.fitting import (
    OnBench,
    additions,
    chains_of,
    named,
    on_bench,
    states,
)


def shown_in(chain: Chain) -> tuple[float, str]:
    """Factor and unit in which people are shown a chain: shares are shown in per cent."""
    return (100.0, "%") if chain.unit == "-" else (1.0, chain.unit)


def number_text(chain: Chain, value: float) -> str:
    """A value of a chain, without its unit, with as many decimals as people are shown."""
    scale, unit = shown_in(chain)
    return f"{scale * value:.{1 if unit == '%' else chain.digits}f}"


@dataclass(frozen=True, kw_only=True)
class Corners:
    """Chains at their worst corners, known before any rate is.

    Parameters
    ----------
    chains : ChainSet
    nominal : mapping of float by key
        With every deviation zero [unit].
    worst : mapping of Extremes by key
    """

    chains: ChainSet
    nominal: Mapping[str, float]
    worst: Mapping[str, Extremes]

    def room(self, chain: Chain) -> float:
        """Room inside a chain's limits at its worst corner [unit]; infinite without limits."""
        least = self.worst[chain.key]
        return min(least.low - chain.low, chain.high - least.high)


def corners_of(design: Design) -> Corners:
    """The worst cases of a design's chains.

    Examples
    --------
    >>> import bayonet
    >>> found = corners_of(bayonet.loads(bayonet.starting_file()))
    >>> all(found.room(one) == found.room(one) for one in found.chains.chains)
    True
    """
    chains = chains_of(design)
    nominal = {key: float(value[0]) for key, value in chains.values(chains.nominal()).items()}
    return Corners(chains=chains, nominal=nominal, worst=worst_cases(chains))


def study_of(
    design: Design,
    *,
    progress: Callable[[float], None] = lambda _: None,
    corners: Corners | None = None,
) -> Study:
    """All figures of a design's chains, as its ``[production]`` asks for.

    Parameters
    ----------
    design : Design
    progress : callable
        Told the share of the sampling done.
    corners : Corners or None
        The design's own, where they are known already.

    Returns
    -------
    Study
    """
    asked, known = design.spec.production, corners or corners_of(design)
    return study(
        known.chains, count=asked.samples, seed=asked.seed, progress=progress, worst=known.worst
    )


def findings(design: Design, found: Study) -> tuple[Finding, ...]:
    """Judge every chain, and all of them together.

    Parameters
    ----------
    design : Design
    found : Study

    Returns
    -------
    tuple of Finding
    """
    bench = on_bench(design)
    return (
        *(_chain(design, one, found, bench) for one in found.figures if one.chain.has_limits),
        _together(design, found),
        *_heat(design),
    )


def entering(design: Design, found: Finding, proof: Proof, study: Study) -> Finding:
    """`motion.enters` from the dimension chain of the slot sides, which counts what it bounds.

    The chain has the plug where it finds its way: moved aside in its clearance against the
    eccentricity, turned between its sides. Where its worst corner leaves a gap, every plug goes
    in; else it says how many do not.

    Parameters
    ----------
    design : Design
    found : Finding
        By the bound alone.
    proof : Proof
    study : Study

    Returns
    -------
    Finding
    """
    side, allowed = study.of("slot_side"), 1.0 - design.spec.production.yield_share
    if not (gets_in(proof.nominal) and gets_in(proof.tightest)):
        return found
    least = side.worst.low
    if least >= 0.0:
        return dataclasses.replace(
            found, verdict=Verdict.PASS, value=least, margin=least, change="",
            source=f"{found.source}; chain slot_side",
            message=f"every plug goes into the slots; least side gap {least:.3f} mm",
        )  # fmt: skip
    few = side.out.high <= allowed
    return dataclasses.replace(
        found, verdict=Verdict.LOOK if few else Verdict.FAIL, value=least, margin=least,
        source="chain slot_side: sizes, positions and eccentricity varied together",
        message=(
            f"all plugs but {ppm_text(*side.out.ppm)} go into the slots; at the worst corner of"
            f" sizes, positions and eccentricity each side is {-least:.3f} mm short"
        ),
        change=f"lug_side clearance {0.05 - least:.2f} mm more, or less eccentricity",
    )  # fmt: skip


def _chain(design: Design, one: ChainFigures, found: Study, bench: OnBench) -> Finding:
    allowed = 1.0 - design.spec.production.yield_share
    verdict = Verdict.FAIL
    if one.out.high <= allowed:
        verdict = Verdict.PASS
    elif one.out.value <= allowed:
        verdict = Verdict.LOOK
    change, mends = _change(design, one, allowed) if verdict is not Verdict.PASS else ("", ())
    scale, unit = shown_in(one.chain)
    nearer_low = one.worst.low - one.chain.low <= one.chain.high - one.worst.high
    return Finding(
        code=f"tolerance.{one.chain.key}",
        verdict=verdict,
        message=(
            f"{one.chain.title} {spread_text(one)}{_counted(one, found, bench)};"
            f" {rate_text(one)} outside{credible_text(one.credible)}"
        ),
        value=scale * one.nominal,
        limit=scale * (one.chain.low if nearer_low else one.chain.high),
        margin=scale * one.worst_room,
        unit=unit,
        source=one.chain.source,
        change=change,
        mends=mends,
    )


def _counted(one: ChainFigures, found: Study, bench: OnBench) -> str:
    """What the worst case counts beside the parts' own limits, in words; empty for nothing."""
    chain, (scale, unit) = one.chain, shown_in(one.chain)
    parts = [
        f"{taken.name} {taken.takes:.{1 if unit == '%' else chain.digits}f}"
        for taken in named(additions(found.chains, bench, one), scale=scale)
    ]
    return f", of which {', '.join(parts)} {unit}" if parts else ""


def spread_text(one: ChainFigures) -> str:
    """Nominal value and the worst corners, as people read it."""
    chain, unit = one.chain, shown_in(one.chain)[1]
    low, high = number_text(chain, one.worst.low), number_text(chain, one.worst.high)
    within = ", measured sizes within their 95 %" if rests_on_measuring(one) else ""
    return f"{number_text(chain, one.nominal)} {unit} ({low} to {high}{within})"


_NOTICED = 0.02  # share of the worst case from which the uncertainty of measuring is mentioned


def rests_on_measuring(one: ChainFigures) -> bool:
    """Whether the uncertainty of measured sizes, which may leave its 95 %, is in a worst case."""
    shares = (c.worst_case_share for c in one.first.contributors if c.measured)
    return sum(shares) >= _NOTICED


def credible_text(found: Credible | None) -> str:
    """The rate if the sizes are as measured, and how far it may go; empty where all is known.

    Examples
    --------
    >>> credible_text(Credible(measured=9e-10, upto=(2e-6, 4e-5)))
    '; with what was measured below 0.1 ppm, 95 % credible up to 2 ppm, 99 % up to 40 ppm'
    """
    if found is None or found.upto[1] < _UNWORTHY:
        return ""
    most, extreme = (share_or_ppm(one) for one in found.upto)
    measured = share_or_ppm(found.measured)
    return f"; with what was measured {measured}, 95 % credible up to {most}, 99 % up to {extreme}"


_UNWORTHY = 1e-6  # a rate below one in a million even at 99 % is not worth a line
_UNSEEN = 1e-7


def share_or_ppm(share: float, digits: int = 3) -> str:
    """A share of parts as people read it, in parts per million or per cent."""
    if share < _UNSEEN:
        return "below 0.1 ppm"
    if share >= 0.01:
        return f"{plain(100.0 * share, 2)} %"
    return f"{plain(1e6 * share, digits)} ppm"


def rate_text(one: ChainFigures) -> str:
    """Rate outside the limits in parts per million, with its interval where it matters."""
    return ppm_text(*one.out.ppm)


def ppm_text(value: float, low: float, high: float) -> str:
    """A rate [ppm] as people read it.

    Examples
    --------
    >>> ppm_text(0.0004, 0.0, 0.001), ppm_text(335.2, 328.0, 341.0), ppm_text(25000.0, 2e4, 3e4)
    ('below 0.1 ppm', '335 ppm (328 to 341)', '2.5 % (2 to 3)')
    """
    if value < 0.1 and high < 1.0:
        return "below 0.1 ppm"
    if value < 0.1:
        return f"below {high:.2g} ppm"
    if value >= 10_000.0:
        return f"{plain(value / 1e4, 2)} % ({plain(low / 1e4, 2)} to {plain(high / 1e4, 2)})"
    return f"{plain(value)} ppm ({plain(low)} to {plain(high)})"


def _change(design: Design, one: ChainFigures, allowed: float) -> tuple[str, Mends]:
    """What to change: the nominal if a field moves it, else the tolerance that matters most."""
    ways = proposals(design, one, allowed)
    if ways:
        return "; or ".join(text for text, _ in ways), ways[0][1]
    top = one.first.contributors[0].meaning if one.first.contributors else "its dimensions"
    return f"less spread; most comes from: {top}", ()


def proposals(design: Design, one: ChainFigures, allowed: float) -> tuple[tuple[str, Mends], ...]:
    """Single changes that should bring a chain within its rate, in words and as fields."""
    found: list[tuple[str, Mends]] = []
    move = centred(design, one, allowed=allowed)
    if move is not None:
        key = move.field.rpartition(".")[2]
        text, mends = f"{key} = {move.value:g} (now {move.now:.4g})", ((move.field, move.value),)
        if move.field == "socket.seal.bore_diameter":
            text += "" if design.spec.socket.seal.squeeze is None else ", squeeze left out"
            found.append((text, (*mends, ("socket.seal.squeeze", None))))
        else:
            found.append((text, mends))
    step = tightened(design, one, allowed=allowed)
    if step is not None:
        tolerance = step.tolerance
        text = f"{tolerance.meaning} within ±{step.half_width:.3g} {tolerance.unit} ({step.grade})"
        found.append((text, ((f"socket.tolerance.{tolerance.group}", step.half_width),)))
    return tuple(found)


def proposals_of(design: Design, found: Study) -> dict[str, tuple[tuple[str, Mends], ...]]:
    """`proposals` of every chain by the code of its finding, those without any left out."""
    allowed = 1.0 - design.spec.production.yield_share
    ways = {
        f"tolerance.{one.chain.key}": proposals(design, one, allowed)
        for one in found.figures
        if one.chain.has_limits and one.out.value > allowed
    }
    return {code: some for code, some in ways.items() if some}


def _together(design: Design, found: Study) -> Finding:
    asked = design.spec.production.yield_share
    good, fails = found.joint_yield, found.fails
    verdict = Verdict.FAIL
    if 1.0 - fails.high >= asked:
        verdict = Verdict.PASS
    elif good >= asked:
        verdict = Verdict.LOOK
    worst = found.worst
    text = f"{share_text(good)} of all pairs pass everything; {ppm_text(*fails.ppm)} fail"
    if worst is not None and worst.out.value > 1e-7:
        text += f", most by {worst.chain.title}"
    text += credible_text(found.credible) + again_text(found)
    return Finding(
        code="tolerance.joint_yield",
        verdict=verdict,
        message=text,
        value=100.0 * good,
        limit=100.0 * asked,
        margin=100.0 * (good - asked),
        unit="%",
        source="production.yield_share",
        change="" if verdict is Verdict.PASS else "mend the chains above; bayonet tune does it",
    )


def again_text(found: Study) -> str:
    """Which measured size to measure again, and what it is worth; empty where none is."""
    named = [f"{one.meaning} ({share_or_ppm(one.share)})" for one in worth_measuring(found)]
    return f"; worth measuring again: {', '.join(named)}" if named else ""


def share_text(share: float) -> str:
    """A share near one, with as many nines as it has.

    Examples
    --------
    >>> share_text(0.99966), share_text(0.9999999), share_text(0.62), share_text(1.0)
    ('99.966 %', '99.99999 %', '62 %', '100 %')
    """
    for digits in range(9):
        text = f"{100.0 * share:.{digits}f}"
        if abs(100.0 * share - float(text)) <= 0.02 * (100.0 - 100.0 * share) + 1e-7:
            return f"{text} %"
    return f"{100.0 * share:.8f} %"


def _heat(design: Design) -> Iterator[Finding]:
    why = states(design)[1]
    if why:
        yield left_open("tolerance.heat", f"chains in heat and cold: {why}")
