"""Every column of every result, declared once: JSON keys, CSV headings, axis titles and help read it here."""

from __future__ import annotations

from dataclasses import dataclass

from perf.base.trip_columns import TRIP_COLUMNS, TRIP_PLOTTED, TRIP_SUMMARY


@dataclass(frozen=True)
class Column:
    """One result column: its SI name, kind of quantity, spoken label, one sentence, digits shown."""

    name: str
    kind: str
    label: str
    sentence: str
    digits: int


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
            "within its reach",
            "Whether this boat lies in the range the method was made for.",
            0,
        ),
        Column("status", "text", "status", "ok, or why there is no number.", 0),
        Column("cautions", "text", "cautions", "Codes of what limits this row.", 0),
        *(Column(*row) for row in TRIP_COLUMNS),
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
            "Planing speed that goes farthest on a gallon.",
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
            "range there",
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
            "Speed between volume Froude number 1 and 3 where thrust needed is the greatest share of full-throttle thrust.",
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
        *(Column(*row) for row in TRIP_SUMMARY),
    )
}


# Where an engine hangs: columns of the tables of that study, none of them a column of every table.
HANGING: dict[str, Column] = {
    column.name: column
    for column in (
        Column("setback_m", "length", "setback", "Transom to the face the engine hangs on.", 2),
        Column(
            "plate_height_m",
            "length",
            "plate height",
            "Anti-ventilation plate over the bottom straight ahead of it.",
            2,
        ),
        Column(
            "immersion_ratio",
            "ratio",
            "shaft depth over propeller radius",
            "Depth of the propeller shaft under the local water over propeller radius.",
            2,
        ),
        Column(
            "plate_depth_m",
            "length",
            "water over the plate",
            "Local water over the anti-ventilation plate, negative where it stands clear.",
            2,
        ),
        Column(
            "shaft_depth_m",
            "length",
            "water over the shaft",
            "Local water over the propeller shaft.",
            2,
        ),
        Column(
            "tip_depth_m",
            "length",
            "water over the tips",
            "Local water over the propeller's upper tips.",
            2,
        ),
        Column(
            "thrust_kept",
            "share",
            "thrust kept",
            "Thrust near the surface over thrust deep down; the published curve is a lower bound.",
            2,
        ),
        Column(
            "torque_kept",
            "share",
            "torque kept",
            "Torque near the surface over torque deep down.",
            2,
        ),
        Column(
            "pickup_margin_m",
            "length",
            "water over the pickup",
            "Local water over the top of the cooling-water pickup.",
            2,
        ),
        Column("hung", "text", "engine hung", "How the engine hangs.", 0),
        Column("load", "text", "load", "What is aboard.", 0),
        Column("case", "text", "case", "What she is doing.", 0),
        Column(
            "draught_forward_m",
            "length",
            "draught forward",
            "Depth of the keel line at the forefoot under the water.",
            2,
        ),
        Column(
            "static_trim_deg",
            "angle",
            "trim at rest",
            "Angle of the keel to the water at rest, bow up positive.",
            1,
        ),
        Column(
            "scupper_height_m",
            "length",
            "scupper over water",
            "Height of the scupper over the water at rest.",
            2,
        ),
        Column(
            "sole_height_m",
            "length",
            "sole over water",
            "Height of the cockpit sole over the water at rest.",
            2,
        ),
        Column(
            "splash_well_height_m",
            "length",
            "splash well over water",
            "Height of the splash well's edge over the water at rest.",
            2,
        ),
        Column(
            "sole_wanted_m",
            "length",
            "asked of a sole",
            "Height asked of a self-draining sole, quoted second-hand.",
            2,
        ),
        Column(
            "bracket_buoyancy_n",
            "force",
            "bracket floats",
            "Buoyancy of the flotation bracket at rest.",
            0,
        ),
        Column("hung_weight_n", "force", "weight hung", "Weight of bracket and engines.", 0),
        Column(
            "model",
            "text",
            "water behind the transom by",
            "Model of the water behind the transom.",
            0,
        ),
        Column(
            "rise_m",
            "length",
            "water over the bottom",
            "Water at the propeller over the bottom straight ahead run on aft.",
            2,
        ),
        Column("range", "text", "range", "Range the model was made for.", 0),
        Column("basis", "text", "basis", "How the model is known.", 0),
        Column("source", "text", "source", "Where the model stands.", 0),
        Column("transom", "text", "transom", "Whether the transom runs dry.", 0),
        Column(
            "wake_savitsky_m",
            "length",
            "fit of 1988",
            "Water over the bottom by the fit of 1988.",
            2,
        ),
        Column(
            "wake_simplified_m",
            "length",
            "short form of the fit",
            "Water over the bottom by the short form of the fit.",
            2,
        ),
        Column(
            "wake_contour_m",
            "length",
            "contours of 2010, from memory",
            "Water over the bottom by the remembered contours of 2010.",
            2,
        ),
        Column(
            "wake_straight_m",
            "length",
            "straight wake",
            "Water over the bottom if it runs straight on.",
            2,
        ),
        Column(
            "rise_low_m", "length", "lowest model", "Water over the bottom by the lowest model.", 2
        ),
        Column(
            "rise_high_m",
            "length",
            "highest model",
            "Water over the bottom by the highest model.",
            2,
        ),
        Column("shaft_m", "length", "shaft", "Nominal shaft length.", 1),
        Column(
            "plate_lowest_m",
            "length",
            "plate, lowest hole",
            "Plate over the bottom in the lowest hole.",
            2,
        ),
        Column(
            "plate_highest_m",
            "length",
            "plate, highest hole",
            "Plate over the bottom in the highest hole.",
            2,
        ),
        Column("holes", "ratio", "holes up", "Holes the engine is raised by.", 0),
        Column(
            "misses_by_m",
            "length",
            "over (under) the range",
            "How far the plate lies over, or negative under, the range.",
            2,
        ),
        Column(
            "thrust_below_m",
            "length",
            "thrust under bolts",
            "Propeller shaft under the lower bolts.",
            2,
        ),
        Column(
            "weight_aft_m",
            "length",
            "weight aft of bolts",
            "Hung weight aft of the lower bolts.",
            2,
        ),
        Column(
            "load_factor",
            "ratio",
            "times its weight",
            "How many times its weight the hung weight counts.",
            1,
        ),
        Column(
            "transom_moment_nm",
            "moment",
            "moment on the transom",
            "Moment about the lower bolts.",
            0,
        ),
        Column(
            "bolt_pull_n",
            "force",
            "pull on each upper bolt",
            "Pull on each bolt of the upper row.",
            0,
        ),
        Column(
            "bolt_shear_n", "force", "weight on each bolt", "Weight carried across each bolt.", 0
        ),
        Column(
            "keel_depth_m",
            "length",
            "keel",
            "Lowest point of the keel under the undisturbed water.",
            2,
        ),
        Column(
            "propeller_depth_m",
            "length",
            "propeller",
            "Lowest point of the propeller under the undisturbed water.",
            2,
        ),
        Column(
            "skeg_depth_m",
            "length",
            "skeg",
            "Lowest point of the skeg under the undisturbed water.",
            2,
        ),
        Column(
            "water_needed_m",
            "length",
            "water needed",
            "Deepest of keel, propeller and skeg; nothing added for safety.",
            2,
        ),
        Column("water_depth_m", "length", "depth of water", "Depth of the water.", 1),
        Column(
            "critical_from_mps",
            "speed",
            "drags her wave from",
            "Speed from which she drags her own wave in this depth.",
            1,
        ),
        Column(
            "critical_to_mps",
            "speed",
            "to",
            "Speed up to which she drags her own wave in this depth.",
            1,
        ),
        Column(
            "bracket_water_m",
            "length",
            "water over the bottom at the bracket's end",
            "Water at the after end of the bracket over the bottom run on aft.",
            2,
        ),
        Column(
            "bracket_wet_share",
            "share",
            "bracket bottom wet",
            "Share of the bracket's bottom in the water.",
            2,
        ),
        Column(
            "bracket_drag_low_n",
            "force",
            "bracket drag, skin only",
            "Friction of the wet bottom of the bracket.",
            0,
        ),
        Column(
            "bracket_drag_n",
            "force",
            "bracket drag at most",
            "Friction and the drag of a box in the flow: an upper bound.",
            0,
        ),
        Column(
            "dragged_n",
            "force",
            "drag of the stopped leg",
            "Drag of the stopped leg and its locked propeller.",
            0,
        ),
        Column(
            "turning_moment_nm",
            "moment",
            "turning moment",
            "Moment that turns her, from power and drag off the centreline.",
            0,
        ),
        Column(
            "helm_deg",
            "angle",
            "helm",
            "Angle of the legs that holds her straight, no leeway taken.",
            1,
        ),
        Column(
            "helm_drag_n",
            "force",
            "drag of the helm",
            "Thrust turned away and drag of the turned legs.",
            0,
        ),
        Column(
            "cruise_speed_mps",
            "speed",
            "cruise",
            "Planing speed the heights are judged at beside top speed.",
            1,
        ),
        Column(
            "cruise_fuel_lph",
            "fuel flow",
            "burn at cruise",
            "Fuel of all engines per hour at cruise.",
            1,
        ),
        Column(
            "cruise_mileage_m_per_l",
            "mileage",
            "mileage at cruise",
            "Distance per volume of fuel at cruise.",
            2,
        ),
        Column(
            "plate_height_low_m",
            "length",
            "lowest plate height",
            "Lowest height that holds from cruise to top speed.",
            2,
        ),
        Column(
            "plate_height_high_m",
            "length",
            "highest plate height",
            "Highest height that holds from cruise to top speed.",
            2,
        ),
        Column(
            "rule_of_thumb_m",
            "length",
            "rule of thumb",
            "An inch up for every foot back; common practice, no source.",
            2,
        ),
    )
}

# Columns of tables that only feed a picture: no face prints such a table.
PLOTTED: dict[str, Column] = {row[0]: Column(*row) for row in TRIP_PLOTTED}


def column(name: str) -> Column:
    """The declaration of a result or summary column, bands included; KeyError when undeclared."""
    for ending in ("_p10", "_p90"):
        name = name.removesuffix(ending)
    for known in (COLUMNS, SUMMARY, PLOTTED):
        if name in known:
            return known[name]
    return HANGING[name]
