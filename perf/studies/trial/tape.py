"""Weighing her by tape: heights of marks over still water turned into weight and balance point by flotation.

Two unknowns, the weight and how far forward it balances, are moved until the marks lie as high over the
water as they were taped: least squares by Newton steps, every draw of what is not known for sure a row.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from perf.base.draws import NINE_IN_TEN, standard_normal
from perf.base.trial_assumptions import TRIAL_ASSUMPTIONS, trial_half_width
from perf.boat.fleet import Fleet
from perf.boat.lanes import Lanes
from perf.boat.parts import Boat, Mark
from perf.laws.hydrostatics import height_over_water
from perf.solve.flotation import BuoyantBox, Rest, float_at_rest, hull_form

Array = NDArray[np.float64]

STEPS = 12
HEAVIER, FORWARD_M = 0.002, 0.005  # steps of the slopes: share of the weight, metres
CLOSE_M = 1e-7
FARTHEST = 0.25  # share of the weight, and of the length, one step may go
OUT_OF_REASON = 2.5  # times the listed weight, or such a part of it, that is a slip
APART = 0.2  # of the length: marks closer together tell no balance point


class TapeFault(ValueError):
    """Marks that cannot weigh a boat; the message is the cure."""


@dataclass(frozen=True, eq=False)
class Taped:
    """What the tape says: the first row by what is stated, the rest drawn; (1 + draws,) each.

    heights_m : of the marks over the water as worked out at the weight found, (1 + draws, marks);
    listed_heights_m : at the weight listed, (marks,). NaN rows found no answer.
    """

    boat: Boat
    marks: tuple[Mark, ...]
    mass_kg: Array
    forward_m: Array
    listed_mass_kg: float
    listed_forward_m: float
    heights_m: Array
    listed_heights_m: Array

    @property
    def unlisted_kg(self) -> float:
        """Weight by the tape less weight by the list."""
        return float(self.mass_kg[0]) - self.listed_mass_kg

    @property
    def hides_weight(self) -> bool:
        """Whether more is missing from the list, or from the water, than is let pass."""
        most = TRIAL_ASSUMPTIONS["hidden_weight"].value * self.listed_mass_kg
        return abs(self.unlisted_kg) > most

    @property
    def agree_m(self) -> float:
        """How far the marks lie off the one flat water, root mean square."""
        taped = np.array([mark.over_water_m for mark in self.marks])
        off = taped - self.heights_m[0]
        return float(np.sqrt(np.mean(off * off)))


def weigh_by_tape(
    boat: Boat, marks: Sequence[Mark] | None = None, *, draws: int = 200, seed: int = 1
) -> Taped:
    """Weight and balance point from taped heights of marks over still water.

    Parameters
    ----------
    boat : with what is listed as aboard; any trial in her file counts for the list.
    marks : two or more marks apart along the boat, taped at one load; those of the file by default.
    draws, seed : of the tape, the places of the marks' hull and the water.

    Raises
    ------
    TapeFault for marks that cannot weigh her, or heights at which this hull does not float.
    """
    known = tuple(boat.freeboard if marks is None else marks)
    at_load = _checked(boat, known)
    lanes = _with_stated(at_load, draws, seed)
    taped = _taped(boat, known, draws, seed)
    form = 1.0 + _noise(seed, "tape_form", draws) * (trial_half_width("tape_form") / NINE_IN_TEN)
    mass, forward, heights = _solve(lanes, known, taped, form)
    own = Fleet.of(at_load).lanes
    times = mass[0] / own.mass_kg[0]
    if not 1.0 / OUT_OF_REASON <= times <= OUT_OF_REASON:
        raise TapeFault(
            "at these heights the hull as described does not float, or weighs nothing like what is listed:"
            " check where the marks are and what was taped"
        )
    listed = heights_by_list(at_load, known)
    return Taped(
        at_load,
        known,
        mass,
        forward,
        float(own.mass_kg[0]),
        float(own.forward_m[0]),
        heights,
        listed,
    )


def heights_by_list(boat: Boat, marks: Sequence[Mark]) -> Array:
    """Heights of marks over still water at the weight listed [m], (marks,); NaN where she does not float."""
    own = Fleet.of(boat).lanes
    with np.errstate(all="ignore"):
        return _heights(own, tuple(marks), own.mass_kg, own.forward_m, np.ones(1))[0]


def _checked(boat: Boat, marks: tuple[Mark, ...]) -> Boat:
    """The boat at the load the marks were taped at."""
    if len(marks) < 2:
        raise TapeFault(
            "no marks: name two on the transom and two at the bow in [freeboard], each with its place"
            " and its height over_water"
        )
    loads = {mark.load for mark in marks}
    if len(loads) > 1:
        raise TapeFault("the marks were taped at different loads: keep those of one")
    along = [mark.forward_m for mark in marks]
    if max(along) - min(along) < APART * boat.hull.length_overall_m:
        raise TapeFault("the marks are too close together: tape the transom and the bow")
    load = loads.pop()
    if load and load not in boat.load_names:
        raise TapeFault(f'no load is called "{load}"; this boat has: {", ".join(boat.load_names)}')
    return boat.at(load=load or None)


def _doubt(boat: Boat, mark: Mark) -> float:
    stated = dict(boat.doubts).get(f"freeboard.{mark.name}.over_water", 0.0)
    return stated or trial_half_width("tape")


def _taped(boat: Boat, marks: tuple[Mark, ...], draws: int, seed: int) -> Array:
    """Heights as taped, then drawn, (1 + draws, marks)."""
    names = [f"freeboard.{mark.name}.over_water" for mark in marks]
    noise = np.stack([_noise(seed, name, draws) for name in names], axis=1)
    tape = np.array([_doubt(boat, mark) for mark in marks]) / NINE_IN_TEN
    return np.array([mark.over_water_m for mark in marks])[None, :] + noise * tape


def _noise(seed: int, name: str, draws: int) -> Array:
    """Nought for the stated row, then the draws."""
    return np.concatenate([[0.0], standard_normal(seed, name, draws)])


def _with_stated(boat: Boat, draws: int, seed: int) -> Lanes:
    """The boat as stated in the first row, then drawn."""
    rows = [Fleet.of(boat).lanes] + ([Fleet.draw(boat, draws, seed).lanes] if draws else [])
    return Lanes(
        **{f.name: np.concatenate([getattr(one, f.name) for one in rows]) for f in fields(Lanes)}
    )


def _heights(
    lanes: Lanes, marks: tuple[Mark, ...], mass_kg: Array, forward_m: Array, form: Array
) -> Array:
    """Heights of the marks over the water at a weight and balance point, (n, marks); NaN where she does not float."""
    box = BuoyantBox(lanes.bracket_width_m, lanes.bracket_length_m, lanes.bracket_bottom_m)
    volume = mass_kg / (lanes.water_density * form)
    rest = float_at_rest(hull_form(lanes), volume, forward_m, box, balance_above_m=lanes.above_m)
    good = (rest.status == Rest.OK)[:, None]
    forward = np.array([mark.forward_m for mark in marks])[None, :]
    above = np.array([mark.above_m for mark in marks])[None, :]
    heights = height_over_water(
        forward, above, rest.draught_transom_m[:, None], rest.trim_deg[:, None]
    )
    return np.where(good, heights, np.nan)


def _solve(
    lanes: Lanes, marks: tuple[Mark, ...], taped: Array, form: Array
) -> tuple[Array, Array, Array]:
    """Weight, balance point and heights at them, row by row; NaN where there is none."""
    mass, forward = lanes.mass_kg.copy(), lanes.forward_m.copy()
    three = _thrice(lanes)
    trebled = np.tile(form, 3)
    with np.errstate(all="ignore"):
        for _ in range(STEPS):
            step_m, step_x = HEAVIER * mass, np.full(mass.shape, FORWARD_M)
            tried = (
                np.concatenate([mass, mass + step_m, mass]),
                np.concatenate([forward, forward, forward + step_x]),
            )
            here, heavier, ahead = np.split(_heights(three, marks, *tried, trebled), 3)
            off = taped - here
            by_mass, by_place = (heavier - here) / HEAVIER, (ahead - here) / FORWARD_M
            share, moved = _normal(by_mass, by_place, off)
            share = np.clip(share, -FARTHEST, FARTHEST)
            moved = np.clip(
                moved, -FARTHEST * lanes.length_overall_m, FARTHEST * lanes.length_overall_m
            )
            mass, forward = mass * (1.0 + share), forward + moved
            if (
                not np.nanmax(np.abs(np.concatenate([share * lanes.length_overall_m, moved])))
                > CLOSE_M
            ):
                break
    return mass, forward, _heights(lanes, marks, mass, forward, form)


def _normal(by_mass: Array, by_place: Array, off: Array) -> tuple[Array, Array]:
    """Least squares in two unknowns, row by row."""
    mm, xx = (by_mass * by_mass).sum(axis=1), (by_place * by_place).sum(axis=1)
    mx = (by_mass * by_place).sum(axis=1)
    m, x = (by_mass * off).sum(axis=1), (by_place * off).sum(axis=1)
    under = mm * xx - mx * mx
    return (m * xx - x * mx) / under, (x * mm - m * mx) / under


def _thrice(lanes: Lanes) -> Lanes:
    return lanes.take(np.tile(np.arange(lanes.count), 3))
