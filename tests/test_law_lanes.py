"""A lane alone gives the same bits as in a crowd, for the laws of water, air, friction and planing."""

from __future__ import annotations

import inspect

import numpy as np
import pytest

from perf.base.sources import LAWS
from perf.laws import (
    air,
    dry_chines,
    flaps,
    friction,
    planing,
    porpoising,
    spray,
    water,
    wetted,
)

MODULES = (air, dry_chines, flaps, friction, planing, porpoising, spray, water, wetted)
NAMES = sorted(
    name for name, law in LAWS.items() if law.function.__module__ in {m.__name__ for m in MODULES}
)

# a wide but sensible range for each argument, so that every branch of every law is met
RANGES = {
    "temperature_c": (-2, 40),
    "salinity_g_per_kg": (0, 42),
    "altitude_m": (0, 4000),
    "density": (0.9, 1.4),
    "coefficient": (0.5, 1.0),
    "area_m2": (0.5, 20),
    "speed_mps": (-5, 30),
    "reynolds": (10, 1e9),
    "roughness_m": (1e-7, 1e-3),
    "length_m": (1, 20),
    "trim_deg": (0.5, 16),
    "length_ratio": (0.05, 8),
    "speed_coefficient": (0.5, 13),
    "flat_lift": (0.001, 1.5),
    "deadrise_lift": (0.001, 1.2),
    "deadrise_deg": (0, 32),
    "draught_ratio": (-0.5, 4.5),
    "draught_m": (0.05, 1),
    "lift_root": (0.08, 0.35),
    "chord_m": (0.1, 0.5),
    "span_ratio": (0.2, 1),
    "deflection_deg": (0, 15),
    "beam_m": (1, 5),
    "dynamic_pressure_pa": (1e3, 3e5),
    "flap_lift": (0, 2e4),
    "warp_deg": (0, 4),
    "keel_length_ratio": (0.5, 6),
    "chine_length_ratio": (0, 5),
    "balance_ratio": (0.6, 1.8),
    "volume_froude": (1, 5),
    "weeks": (-1, 104),
    "area_volume": (4, 9),
    "centroid_ahead_share": (-0.1, 0.2),
}


def crowd(name: str, lanes: int) -> dict[str, np.ndarray]:
    draw = np.random.default_rng([lanes, *name.encode()])
    found = {}
    for argument in inspect.signature(LAWS[name].function).parameters:
        low, high = RANGES[argument]
        values = draw.uniform(low, high, lanes)
        if argument == "reynolds":
            values = 10.0 ** draw.uniform(np.log10(low), np.log10(high), lanes)
        values[::17] = low  # the edges too: no deadrise, no salt
        found[argument] = values
    return found


def bits(values: object) -> np.ndarray:
    return np.ascontiguousarray(values, dtype=float).view(np.uint64)


@pytest.mark.parametrize("name", NAMES)
def test_alone_as_in_a_crowd(name: str) -> None:
    function = LAWS[name].function
    given = crowd(name, 1003)
    whole = bits(function(**given))
    assert whole.shape == (1003,)
    for start, stop in [(at, at + 1) for at in range(0, 1003, 13)] + [(0, 7), (499, 506)]:
        part = function(**{k: v[start:stop] for k, v in given.items()})
        assert np.array_equal(bits(part), whole[start:stop]), f"{name} lanes {start}:{stop}"


@pytest.mark.parametrize("name", NAMES)
def test_strided_as_contiguous(name: str) -> None:
    function = LAWS[name].function
    given = crowd(name, 1003)
    whole = bits(function(**given))[::3]
    strided = function(**{k: v[::3] for k, v in given.items()})
    copied = function(**{k: np.ascontiguousarray(v[::3]) for k, v in given.items()})
    assert np.array_equal(bits(copied), whole)
    assert np.array_equal(bits(strided), whole)


@pytest.mark.parametrize("name", NAMES)
def test_broadcast_and_scalars(name: str) -> None:
    """One lane's first argument against seven of the rest, and plain floats, as in the crowd."""
    function = LAWS[name].function
    given = crowd(name, 7)
    first, *rest = given
    grid = np.asarray(function(**{first: given[first][:, None]}, **{k: given[k] for k in rest}))
    if rest:
        assert grid.shape == (7, 7)
        diagonal = np.diagonal(grid)
    else:
        diagonal = grid[:, 0]
    assert np.array_equal(bits(diagonal), bits(function(**given)))
    plain = [function(**{k: float(v[at]) for k, v in given.items()}) for at in range(7)]
    assert np.array_equal(bits(plain), bits(diagonal))


@pytest.mark.parametrize("name", NAMES)
def test_no_argument_is_changed_and_nan_stays_nan(name: str) -> None:
    function = LAWS[name].function
    given = crowd(name, 7)
    kept = {k: v.copy() for k, v in given.items()}
    function(**given)
    assert all(np.array_equal(given[k], kept[k]) for k in given)
    for argument in given:
        lost = {**given, argument: np.full(7, np.nan)}
        assert np.all(np.isnan(np.asarray(function(**lost), dtype=float))), argument
