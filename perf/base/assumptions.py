"""What the tool assumes where an owner cannot know: each value named, with its basis and its doubt.

half_width is the doubt of the value: nine times out of ten the truth is thought to lie
within value ± half_width. tuned_to names the measured rows a value was tuned to; a row named
there is calibration and may never be called evidence.
"""

from __future__ import annotations

from dataclasses import dataclass

from perf.base.sources import Basis
from perf.base.units import show, show_difference


@dataclass(frozen=True)
class Assumption:
    """One assumed value: SI (or bare) value, doubt, kind, a sentence, how it is known."""

    name: str
    value: float
    half_width: float
    kind: str
    sentence: str
    basis: Basis
    source: str
    tuned_to: tuple[str, ...] = ()

    @property
    def digits(self) -> int:
        """Digits after the point it is shown with: none where its doubt leaves none to say."""
        coarse = self.kind in ("rotation", "angle", "temperature")
        return 1 if coarse and 0.0 < self.half_width < 1.0 else 0 if coarse else 2

    @property
    def known_by(self) -> str:
        """How it is known, with its source where it has one."""
        own = self.source in ("own", "trade")
        return self.basis.value if own else f"{self.basis.value}, {self.source}"

    def said(self, units: str) -> str:
        """Value and doubt in one system of units, digits by its kind, counts whole."""
        if self.kind == "ratio":
            value, doubt = f"{self.value:.3g}", f"{self.half_width:.3g}"
        else:
            value = show(self.value, self.kind, units, self.digits)
            doubt = show_difference(self.half_width, self.kind, units, self.digits)
        return f"{value} ± {doubt}" if self.half_width else value

    def as_dict(self) -> dict[str, object]:
        """The assumption as plain data."""
        return {
            "name": self.name,
            "value": self.value,
            "half_width": self.half_width,
            "kind": self.kind,
            "sentence": self.sentence,
            "basis": self.basis.value,
            "source": self.source,
            "tuned_to": list(self.tuned_to),
        }


ASSUMPTIONS: dict[str, Assumption] = {}
MOUNTING: dict[str, Assumption] = {}  # used only where an engine is hung; never drawn
TABS: dict[str, Assumption] = {}  # a pair of tabs where a file tells of none; never drawn
FITTINGS: dict[
    str, Assumption
] = {}  # used only by boats whose file calls for them; named in Boat.assumed


def assume(
    name: str,
    value: float,
    half_width: float,
    kind: str,
    sentence: str,
    basis: Basis = Basis.ASSUMED,
    source: str = "own",
    tuned_to: tuple[str, ...] = (),
    registry: dict[str, Assumption] = ASSUMPTIONS,
) -> Assumption:
    """Register one assumption; ValueError when the name is taken."""
    if any(name in known for known in (ASSUMPTIONS, MOUNTING, FITTINGS, TABS)):
        raise ValueError(f"two assumptions are called {name}")
    registry[name] = Assumption(name, value, half_width, kind, sentence, basis, source, tuned_to)
    return registry[name]


# --- blanks of a boat file: used only where the owner left the value out -------------------
assume("waterline_share", 0.86, 0.04, "ratio", "Waterline length as a share of overall length.")
assume("deadrise_rise", 4.0, 3.0, "angle", "Deadrise amidships over deadrise at the transom.")
assume(
    "transom_beam_share",
    0.96,
    0.03,
    "ratio",
    "Chine beam at the transom as a share of the widest chine beam.",
)
assume(
    "transom_rake",
    14.0,
    3.0,
    "angle",
    "Rake of the transom from square to the keel.",
    Basis.PRACTICE,
    "trade",
)
assume("entrance_angle", 30.0, 6.0, "angle", "Half angle of the waterline at the bow.")
assume(
    "stem_depth",
    0.10,
    0.04,
    "ratio",
    "Height over the keel line at which the stem comes out of the water, as a share of chine beam.",
)
assume(
    "light_above", 0.62, 0.15, "length", "Height of the hull's own balance point above the keel."
)
assume(
    "area_ratio",
    0.60,
    0.08,
    "ratio",
    "Blade area as a share of the disc for a stamped outboard propeller.",
)
assume(
    "usable_fuel", 0.90, 0.06, "ratio", "Share of the tank that can be used.", Basis.QUOTED, "trade"
)
assume(
    "rated_rpm_place",
    0.5,
    0.3,
    "ratio",
    "Where rated rpm lies in the maker's full-throttle band, as a share of it.",
    Basis.PRACTICE,
    "trade",
)
assume(
    "frontal_area_per_beam", 1.25, 0.35, "length", "Frontal area above the water over chine beam."
)
assume(
    "bottom_allowance",
    1.0,
    0.5,
    "ratio",
    "Real friction added by the named state of the bottom over the table's.",
)
assume(
    "top_drag", 1.0, 0.2, "ratio", "Real air drag coefficient over the table's for the named top."
)
assume("water_temperature", 15.0, 5.0, "temperature", "Water temperature where none is given.")
assume("salinity", 31.0, 4.0, "salinity", "Salinity where none is given.")

# --- where things are ------------------------------------------------------------------------
assume(
    "engine_aft",
    0.32,
    0.08,
    "length",
    "Outboard balance point aft of its bracket face and the foot of the transom, on the transom itself.",
)
assume(
    "engine_above",
    0.22,
    0.10,
    "length",
    "Outboard balance point above the top of the transom it is made for.",
)
assume(
    "propeller_aft",
    0.58,
    0.10,
    "length",
    "Propeller aft of the foot of the transom with no setback.",
)
assume(
    "sterndrive_mass_forward",
    0.75,
    0.20,
    "length",
    "Sterndrive engine balance point forward of the transom.",
)
assume(
    "sterndrive_mass_above", 0.55, 0.15, "length", "Sterndrive engine balance point above the keel."
)
assume(
    "tip_clearance",
    0.020,
    0.008,
    "length",
    "Gap from the anti-ventilation plate to the blade tips.",
    Basis.RECALLED,
    "trade",
)
assume(
    "bracket_centre",
    0.5,
    0.1,
    "ratio",
    "Bracket balance point as a share of its length aft of the transom.",
)
assume(
    "bracket_height", 0.30, 0.08, "length", "Height of the bracket, its balance point halfway up."
)

# --- lower unit --------------------------------------------------------------------------------
assume(
    "strut_chord", 0.75, 0.15, "ratio", "Chord of the leg below the plate over propeller diameter."
)
assume(
    "strut_thickness",
    0.20,
    0.04,
    "ratio",
    "Thickness of the leg below the plate over propeller diameter.",
)
assume("gear_case_diameter", 0.30, 0.04, "ratio", "Gear-case diameter over propeller diameter.")
assume("gear_case_length", 1.60, 0.20, "ratio", "Gear-case length over propeller diameter.")
assume("skeg_height", 0.40, 0.08, "ratio", "Skeg height over propeller diameter.")
assume(
    "plate_area",
    0.90,
    0.25,
    "ratio",
    "Wetted area of the plate, both faces, over propeller diameter squared.",
)
assume(
    "midsection_thickness",
    0.40,
    0.08,
    "ratio",
    "Thickness of the leg above the plate over propeller diameter.",
)

# --- water behind the transom, propeller in place --------------------------------------------
assume(
    "wake_place",
    0.5,
    0.45,
    "ratio",
    "Where the water behind the transom lies between the published fit (0) and the straight wake (1).",
)
assume(
    "wake_fraction",
    0.02,
    0.02,
    "ratio",
    "Slowing of the water into the propeller by the leg ahead of it.",
)
assume("thrust_deduction", 0.01, 0.01, "ratio", "Thrust lost to suction on the hull.")
assume(
    "relative_rotative", 1.0, 0.02, "ratio", "Propeller torque in place over torque in open water."
)
assume(
    "light_cup_share",
    0.045,
    0.02,
    "ratio",
    "Added pitch of a light cup as a share of stamped pitch.",
    Basis.PRACTICE,
    "trade",
)
assume(
    "heavy_cup_share",
    0.075,
    0.025,
    "ratio",
    "Added pitch of a heavy cup as a share of stamped pitch.",
    Basis.PRACTICE,
    "trade",
)
assume(
    "surface_loss",
    0.5,
    0.3,
    "ratio",
    "Share of the published near-surface thrust loss that an outboard under its plate suffers.",
    Basis.ASSUMED,
    "Minsaas et al. 1983",
    ("little thrust is lost on plane with the plate 2 in over the water, much with it 4 in over",),
)
assume(
    "plate_shield",
    0.038,
    0.012,
    "length",
    "Height of the plate over the water at which that loss begins.",
    Basis.PRACTICE,
    "trade",
    ("riggers lose nothing until the plate stands 1 1/2 to 2 in over the water",),
)

# --- air, power, fuel -------------------------------------------------------------------------
assume(
    "power_tolerance",
    1.0,
    0.05,
    "ratio",
    "Real full-throttle power over rated power.",
    Basis.QUOTED,
    "ICOMIA 28-83",
)
assume("idle_rpm", 700.0, 100.0, "rotation", "Engine idle speed.", Basis.RECALLED, "trade")
assume(
    "rev_limit",
    1.04,
    0.02,
    "ratio",
    "Rev limiter over the top of the maker's band.",
    Basis.RECALLED,
    "trade",
)
assume(
    "reserve",
    1 / 3,
    0.0,
    "ratio",
    "Share of usable fuel kept back: the rule of thirds.",
    Basis.QUOTED,
    "US Coast Guard Auxiliary",
)

# --- doubt of the methods themselves, narrowed by a sea trial --------------------------------
assume(
    "trial_drag",
    1.0,
    0.25,
    "ratio",
    "Real hull drag over the published method's.",
    Basis.ASSUMED,
    "own",
)
assume("trial_weight", 1.0, 0.03, "ratio", "Real light weight over the stated one.")
assume(
    "trial_balance",
    0.0,
    0.05,
    "length",
    "Real balance point of the light boat forward of the stated one.",
)
assume("trial_pitch", 1.0, 0.03, "ratio", "Effective pitch over the series propeller's.")
assume(
    "trial_leg", 1.0, 0.40, "ratio", "Real lower-unit drag over the build-up of published terms."
)
assume("trial_fuel_idle", 1.0, 0.30, "ratio", "Real fuel at rest over the law's.")
assume("trial_fuel_slope", 1.0, 0.20, "ratio", "Real fuel per power over the law's.")
assume(
    "waterline_above",
    0.30,
    0.10,
    "length",
    "Load waterline above the keel, for the height of the air drag.",
)

# --- where the methods meet, and the drive's own lift ----------------------------------------
assume(
    "join_share",
    0.5,
    0.45,
    "ratio",
    "Share of the planing method against the model series at the hump.",
)
assume(
    "drive_lift",
    1.5,
    0.6,
    "ratio",
    "Side force of the propeller disc and plate in slanting water, over dynamic pressure, propeller diameter squared and angle in radians.",
    Basis.PRACTICE,
    "trade",
    ("DRIVE-TRIM",),
)
assume(
    "hole_shot",
    0.42,
    0.25,
    "ratio",
    "Share of the published cavitation cap on full-throttle thrust that shows at low speed.",
    Basis.ASSUMED,
    "Blount & Hubble 1981",
    ("A13",),
)
assume(
    "vented_blades",
    0.3,
    0.25,
    "share",
    "Share of thrust and torque that blades lose to the exhaust of their own hub at a slip past a half.",
    Basis.ASSUMED,
    "own",
    ("OW2", "OW22"),
)
assume(
    "throttle_delay",
    0.8,
    0.4,
    "time",
    "From opening the throttle until the engine pulls in full.",
    Basis.RECALLED,
    "trade",
    ("A13",),
)

# --- hanging the engine ------------------------------------------------------------------------
_PRACTICE = (Basis.PRACTICE, "trade", (), MOUNTING)
_OWN = (Basis.ASSUMED, "own", (), MOUNTING)
assume(
    "height_loss",
    0.02,
    0.0,
    "share",
    "Share of the best top speed or cruise mileage that a plate set too low may cost before it counts as too low.",
    *_OWN,
)
assume(
    "pickup_below",
    0.24,
    0.06,
    "ratio",
    "Top of the cooling-water pickup below the plate, over propeller diameter.",
    *_PRACTICE,
)
assume("hole_spacing", 0.01905, 0.0, "length", "From one mounting hole to the next.", *_PRACTICE)
assume("holes_up", 4.0, 0.0, "ratio", "Holes an engine can be raised by.", *_PRACTICE)
assume(
    "shaft_fit",
    0.0127,
    0.0,
    "length",
    "How far the plate of a shaft of nominal length may lie from where it should.",
    *_PRACTICE,
)
assume("engine_spacing", 0.71, 0.05, "length", "From shaft to shaft of two engines.", *_PRACTICE)
assume(
    "bracket_mass",
    46.0,
    18.0,
    "mass",
    "Weight of a plain 30 in bracket where none is given; others in proportion to their length.",
    *_OWN,
)
assume(
    "bracket_bottom",
    0.076,
    0.025,
    "length",
    "Bottom of a bracket over the hull bottom where none is given.",
    *_PRACTICE,
)
assume("bracket_width", 0.6, 0.15, "length", "Width of a bracket where none is given.", *_OWN)
assume(
    "slam_factor",
    3.0,
    1.0,
    "ratio",
    "How many times their weight engine and bracket load the transom as she slams.",
    *_PRACTICE,
)
assume(
    "bolt_rows_apart",
    0.203,
    0.02,
    "length",
    "Upper to lower bolts of an engine's clamp.",
    Basis.RECALLED,
    "trade",
    (),
    MOUNTING,
)
assume("bracket_rows_apart", 0.36, 0.10, "length", "Upper to lower bolts of a bracket.", *_OWN)
assume(
    "lower_bolts_below",
    0.26,
    0.04,
    "length",
    "Lower bolts of an engine's clamp below the top of the transom; a bracket's as much lower as its rows are farther apart.",
    *_OWN,
)
assume("bolts_a_row", 2.0, 0.0, "ratio", "Bolts in each of the two rows.", *_PRACTICE)
assume(
    "aft_place",
    0.6,
    0.3,
    "length",
    "Where people and gear stand, forward of the transom, with everyone aft.",
    *_OWN,
)
assume(
    "edge_margin",
    0.075,
    0.025,
    "length",
    "Height of a scupper or splash well over the water below which flooding is warned of.",
    *_OWN,
)
assume("lift_plate", 0.10, 0.05, "length", "How far a lift plate raises the engine.", *_PRACTICE)

# --- what only some boat files tell of; their doubt stands in Boat.doubts ----------------------
assume(
    "hook_as_flap",
    1.0,
    0.5,
    "ratio",
    "A hook or rocker is taken as a flap across the whole beam, half as long as the straight edge and at the angle its arc ends with: real effect over that.",
    registry=FITTINGS,
)
assume(
    "fouling_growth",
    1.0,
    0.6,
    "ratio",
    "Growth on the bottom rises evenly with the weeks afloat and is slime at eight: real growth over that. Cold, warm, moored or moving water all differ.",
    tuned_to=("FW1", "OW14"),
    registry=FITTINGS,
)
assume(
    "fuel_table",
    1.0,
    0.07,
    "ratio",
    "Real burn over the owner's own table, which is taken along a power of rpm to the 2.5.",
    registry=FITTINGS,
)
assume(
    "air_temperature",
    15.0,
    8.0,
    "temperature",
    "Air temperature at sea level where only altitude or humidity is given, 6.5 degrees Celsius less for each 1000 m up.",
    Basis.RECALLED,
    "ICAO standard atmosphere",
    registry=FITTINGS,
)
assume(
    "air_humidity",
    0.6,
    0.3,
    "share",
    "Relative humidity where only temperature or altitude is given.",
    registry=FITTINGS,
)
assume(
    "diesel_in_other_air",
    1.0,
    0.05,
    "ratio",
    "A diesel keeps its rated power in other air: the published correction asks for boost and fuel charge per stroke, which an owner does not know.",
    registry=FITTINGS,
)
assume(
    "inception",
    1.0,
    0.15,
    "ratio",
    "Real planing speed over the 1964 inception value and the dry-transom value.",
)

# --- tabs where the boat file tells of none: a plain pair ----------------------------------------
assume("tab_chord", 0.2286, 0.0, "length", "Chord of a plain pair of tabs.", registry=TABS)
assume(
    "tab_span",
    1.0 / 6.0,
    0.0,
    "ratio",
    "Span of both tabs together over her length: an inch a side for every foot.",
    Basis.PRACTICE,
    "trade",
    registry=TABS,
)
assume(
    "tab_room",
    0.8,
    0.0,
    "ratio",
    "Most of the beam that a pair of tabs takes up.",
    registry=TABS,
)

# --- a repower: what is not known of an engine or a propeller that is not aboard yet -----------
assume(
    "catalogue_mass",
    1.0,
    0.10,
    "ratio",
    "Real weight of an engine over the catalogue's for its power.",
    registry=FITTINGS,
)
assume(
    "stamped_pitch",
    0.0,
    0.0127,
    "length",
    "True pitch of a new propeller over the stamped one.",
    Basis.PRACTICE,
    "trade",
    registry=FITTINGS,
)
