"""Where engine, bracket and propeller are: worked out from the mounting, for floats and arrays alike.

Every function takes plain numbers or arrays that broadcast and returns (forward_m, above_m):
forward of the foot of the transom along the keel line, negative aft; above the keel there,
negative below. The assumption values come as arguments so that they can be drawn.
"""

from __future__ import annotations

from typing import Any


def engine_place(
    *,
    drive: str,
    setback_m: Any,
    plate_height_m: Any,
    transom_height_m: Any,
    engine_aft: Any,
    engine_above: Any,
    sterndrive_mass_forward: Any,
    sterndrive_mass_above: Any,
) -> tuple[Any, Any]:
    """Balance point of all engines together; outboards move with setback and plate height.

    Lengths in metres, any broadcastable shapes. Source: own, from the geometry of the mounting.
    """
    if drive == "sterndrive":
        return sterndrive_mass_forward, sterndrive_mass_above
    return -(setback_m + engine_aft), plate_height_m + transom_height_m + engine_above


def bracket_place(
    *, length_m: Any, bottom_above_m: Any, bracket_centre: Any, bracket_height: Any
) -> tuple[Any, Any]:
    """Balance point of the bracket: a share of its length aft, half its assumed height up.

    Lengths in metres, bracket_centre a share; any broadcastable shapes. Source: own.
    """
    return -(bracket_centre * length_m), bottom_above_m + 0.5 * bracket_height


def propeller_place(
    *, setback_m: Any, plate_height_m: Any, diameter_m: Any, propeller_aft: Any, tip_clearance: Any
) -> tuple[Any, Any]:
    """Centre of the propeller disc: its tips sweep the stated clearance under the plate.

    Lengths in metres, any broadcastable shapes. Source: own, from the geometry of the mounting.
    """
    return -(setback_m + propeller_aft), plate_height_m - tip_clearance - 0.5 * diameter_m
