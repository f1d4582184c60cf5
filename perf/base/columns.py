"""Every column of every result, declared once: JSON keys, CSV headings, axis titles and help read it here."""

from __future__ import annotations

from dataclasses import dataclass

from perf.base.mount_columns import MOUNT_COLUMNS, MOUNT_SUMMARY
from perf.base.repower_columns import REPOWER_COLUMNS
from perf.base.tab_columns import TAB_COLUMNS, TAB_SUMMARY
from perf.base.trial_columns import TRIAL_COLUMNS, TRIAL_PLOTTED, TRIAL_SUMMARY
from perf.base.trip_columns import TRIP_COLUMNS, TRIP_PLOTTED, TRIP_SUMMARY


@dataclass(frozen=True)
class Column:
    """One result column: its SI name, kind of quantity, spoken label, one sentence, digits shown."""

    name: str
    kind: str
    label: str
    sentence: str
    digits: int

    @property
    def decimals(self) -> int:
        """Decimals of the bare number: a share stands in per cent, its digits are counted on the share."""
        return max(self.digits - 2, 0) if self.kind == "share" else self.digits


COLUMNS: dict[str, Column] = {
    column.name: column
    for column in (
        Column("speed_mps", "speed", "speed", "Speed through the water.", 1),
        Column(
            "trim_deg",
            "angle",
            "running trim",
            "Angle of the keel to the water, bow up positive.",
            1,
        ),
        Column(
            "drive_trim_deg",
            "angle",
            "drive trim",
            "Angle of the drive to the keel, out positive.",
            1,
        ),
        Column(
            "draught_m",
            "length",
            "draught",
            "Depth of the keel at the transom under the undisturbed water.",
            2,
        ),
        Column(
            "wetted_length_m",
            "length",
            "wetted length",
            "Mean wetted length of the bottom; a model result.",
            1,
        ),
        Column("resistance_n", "force", "hull drag", "Drag of the bottom, without leg and air.", 0),
        Column(
            "thrust_n",
            "force",
            "thrust needed",
            "Thrust of all propellers along their shafts that balances every drag.",
            0,
        ),
        Column("leg_drag_n", "force", "leg drag", "Drag of all lower units.", 0),
        Column("air_drag_n", "force", "air drag", "Drag of what stands above the water.", 0),
        Column(
            "shaft_power_w", "power", "power at the propellers", "Power at all propeller shafts.", 0
        ),
        Column(
            "throttle",
            "share",
            "share of full power",
            "Power used over full-throttle power at the same rpm.",
            2,
        ),
        Column("engine_rpm", "rotation", "rpm", "Engine speed.", 0),
        Column("slip", "share", "slip", "Slip of the stamped pitch.", 2),
        Column(
            "efficiency",
            "share",
            "propeller efficiency",
            "Propeller power out over power in, in open water.",
            2,
        ),
        Column("fuel_lph", "fuel flow", "fuel burn", "Fuel of all engines per hour.", 1),
        Column("mileage_m_per_l", "mileage", "mileage", "Distance per volume of fuel.", 2),
        Column(
            "range_m",
            "distance",
            "range",
            "Distance on usable fuel less the reserve, in calm water.",
            0,
        ),
        Column("method", "text", "method", "Published method or rule.", 0),
        Column("about", "text", "about", "What the figure is about.", 0),
        Column(
            "reach",
            "text",
            "fits",
            "Whether this boat lies in the range the method was made for.",
            0,
        ),
        Column("status", "text", "status", "ok, or why there is no number.", 0),
        Column("cautions", "text", "cautions", "Codes of what limits this row.", 0),
        Column("scenario", "text", "boat", "A boat as she was kept for comparison.", 0),
        *(Column(*row) for row in TRIP_COLUMNS),
        *(Column(*row) for row in REPOWER_COLUMNS),
        *(Column(*row) for row in MOUNT_COLUMNS),
        *(Column(*row) for row in TRIAL_COLUMNS),
        *(Column(*row) for row in TAB_COLUMNS),
    )
}

SUMMARY: dict[str, Column] = {
    column.name: column
    for column in (
        Column(
            "top_speed_mps",
            "speed",
            "top speed",
            "Highest speed at which the propeller's thrust still balances the drag.",
            1,
        ),
        Column("top_rpm", "rotation", "rpm at full throttle", "Engine speed at top speed.", 0),
        Column(
            "best_mileage_speed_mps",
            "speed",
            "best planing cruise",
            "Planing speed that goes farthest on the fuel she burns.",
            1,
        ),
        Column(
            "best_mileage_m_per_l",
            "mileage",
            "mileage there",
            "Distance per volume of fuel at the best planing cruise.",
            2,
        ),
        Column(
            "best_range_m",
            "distance",
            "whole distance there",
            "Distance on usable fuel less the reserve at the best planing cruise.",
            0,
        ),
        Column(
            "slowest_planing_speed_mps",
            "speed",
            "slowest planing speed",
            "Lowest speed past the greatest running trim at which she planes by the 1964 criterion with the transom dry.",
            1,
        ),
        Column(
            "hump_speed_mps",
            "speed",
            "hump speed",
            "Speed on the way to planing where thrust needed is the greatest share of full-throttle thrust.",
            1,
        ),
        Column(
            "hump_margin",
            "share",
            "share of thrust to spare at the hump",
            "One minus thrust needed over full-throttle thrust at the hump speed.",
            2,
        ),
        Column(
            "hump_margin_n",
            "force",
            "thrust to spare at the hump",
            "Full-throttle thrust less thrust needed at the hump speed.",
            0,
        ),
        Column(
            "time_to_plane_s",
            "time",
            "time to plane",
            "From rest at full throttle to the slowest planing speed.",
            1,
        ),
        Column(
            "will_plane",
            "share",
            "chance that she planes",
            "Share of the draws in which she planes.",
            2,
        ),
        Column(
            "mass_kg",
            "mass",
            "weight as loaded",
            "All that floats: hull, engines, fuel, people, gear.",
            0,
        ),
        Column("forward_m", "length", "balance point", "Balance point forward of the transom.", 1),
        Column(
            "trolling_speed_mps",
            "speed",
            "speed idling in gear",
            "All engines at idle, in gear.",
            1,
        ),
        Column(
            "trolling_fuel_lph",
            "fuel flow",
            "burn idling in gear",
            "Fuel of all engines at idle, in gear.",
            1,
        ),
        Column(
            "one_stopped_speed_mps",
            "speed",
            "top speed with one engine stopped",
            "Full throttle on the others, the stopped propeller dragged along.",
            1,
        ),
        Column(
            "one_stopped_planes",
            "share",
            "chance that she planes with one engine stopped",
            "Share of the draws in which the others take her over the hump.",
            2,
        ),
        *(Column(*row) for row in TRIP_SUMMARY),
        *(Column(*row) for row in MOUNT_SUMMARY),
        *(Column(*row) for row in TRIAL_SUMMARY),
        *(Column(*row) for row in TAB_SUMMARY),
    )
}

# Columns of tables that only feed a picture: no face prints such a table.
PLOTTED: dict[str, Column] = {row[0]: Column(*row) for row in (*TRIP_PLOTTED, *TRIAL_PLOTTED)}


def column(name: str) -> Column:
    """The declaration of a result or summary column, bands included; KeyError when undeclared."""
    for ending in ("_p10", "_p90"):
        name = name.removesuffix(ending)
    for known in (COLUMNS, SUMMARY, PLOTTED):
        if name in known:
            return known[name]
    raise KeyError(name)


def known(name: str) -> bool:
    """Whether a result or summary column of this name is declared, bands included."""
    for ending in ("_p10", "_p90"):
        name = name.removesuffix(ending)
    return name in COLUMNS or name in SUMMARY
