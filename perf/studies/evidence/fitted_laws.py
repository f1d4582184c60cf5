"""Laws that only some boats call for: flaps, the day's air, growth, a burn table, legs dragged along."""

from __future__ import annotations

from perf.boat.parts import Boat


def fitted_laws(boat: Boat) -> tuple[str, ...]:
    """Names of the laws behind what this boat's file tells beyond hull and drive."""
    laws: list[str] = []
    if boat.tabs is not None or boat.hull.hook is not None:
        laws += ["flap_lift", "flap_drag", "flap_moment"]
    if boat.air.temperature_c is not None:
        laws += ["ambient_power_factor"]
    if "fouling_growth" in boat.assumed:
        laws += ["fouling_allowance"]
    if boat.engine.fuel_table:
        laws += ["cycle_power", "table_factor"]
    if boat.stopped or boat.dragged:
        laws += ["locked_propeller_drag_coefficient"]
    return tuple(laws)
