"""What a boat is: frozen parts in SI, valid from birth, changed only by replacing."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

Words = tuple[tuple[str, str], ...]
Doubts = tuple[tuple[str, float], ...]


@dataclass(frozen=True)
class Place:
    """forward of the transom at the keel [m], above the keel at the transom [m]."""

    forward_m: float
    above_m: float


@dataclass(frozen=True)
class Hook:
    """A hollow of depth_m under a straight edge of length_m at the transom; negative is rocker."""

    depth_m: float
    length_m: float


@dataclass(frozen=True)
class Hull:
    """The hull's measures; angles in degrees. bottom is the word or roughness the owner gave.

    friction_allowance is added to the friction coefficient for the state of the bottom. hook_depth_m
    is the hollow under a straight edge of hook_length_m at the transom; negative is rocker.
    weeks_afloat is how long she has lain in the water since she was last clean.
    """

    length_overall_m: float
    waterline_length_m: float
    chine_beam_m: float
    transom_beam_m: float
    deadrise_transom_deg: float
    deadrise_midship_deg: float
    transom_height_m: float
    transom_rake_deg: float
    entrance_angle_deg: float
    bottom: str = "clean"
    friction_allowance: float = 0.0004
    scupper: Place | None = None
    hook_depth_m: float = 0.0
    hook_length_m: float = 0.0
    weeks_afloat: int = 0

    @property
    def hook(self) -> Hook | None:
        """The hook or rocker; None for a straight bottom."""
        return Hook(self.hook_depth_m, self.hook_length_m) if self.hook_length_m else None


@dataclass(frozen=True)
class Light:
    """Hull and fixed fittings: never engine, bracket, fuel, people or gear."""

    mass_kg: float
    forward_m: float
    above_m: float


@dataclass(frozen=True)
class Engine:
    """One kind of engine, count of them. rated_power_w is one engine's, at the propeller shaft.

    fuel_table : what the owner's own burn table makes of the fuel law, pairs of rpm over rated rpm
    and burn over the law's, rpm rising; at most perf.laws.fuel_table.ROWS of them, empty without.
    """

    count: int
    drive: str  # outboard, sterndrive
    technology: str  # a key of perf.laws.engine.TECHNOLOGIES
    rated_power_w: float
    rated_rpm: float
    full_throttle_low_rpm: float
    full_throttle_high_rpm: float
    gear_ratio: float
    mass_kg: float
    fuel_table: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True)
class Propeller:
    """pitch_m is as stamped; cup_m the added pitch that stands for the cup."""

    diameter_m: float
    pitch_m: float
    blades: int
    area_ratio: float
    cup: str
    cup_m: float


@dataclass(frozen=True)
class Mounting:
    """setback_m aft of the transom; plate_height_m over the bottom ahead; drive_trim_deg None is "best"."""

    setback_m: float = 0.0
    plate_height_m: float = 0.0
    drive_trim_deg: float | None = None


@dataclass(frozen=True)
class Bracket:
    """bottom_above_m is its bottom above the hull bottom."""

    mass_kg: float
    width_m: float
    length_m: float
    bottom_above_m: float
    floats: bool


@dataclass(frozen=True)
class Tank:
    """capacity_m3 of fuel; usable is the share that can be drawn."""

    fuel: str  # a key of perf.laws.engine.FUELS
    capacity_m3: float
    usable: float
    forward_m: float
    above_m: float


@dataclass(frozen=True)
class Weight:
    """A named weight that comes and goes; mass_kg is of one, count of them.

    seat : name of the seat whose place it has, empty for a place of its own.
    """

    name: str
    mass_kg: float
    count: int
    forward_m: float
    above_m: float
    seat: str = ""

    @property
    def place_path(self) -> str:
        """Readable path under which the doubts of its place stand; a seat's is shared by all in it."""
        return f"seats.{self.seat}" if self.seat else f"weights.{self.name}"


@dataclass(frozen=True)
class Seat:
    """A named place for people and gear."""

    name: str
    forward_m: float
    above_m: float


@dataclass(frozen=True)
class Load:
    """Which named weights are aboard and how full the tank is (0 to 1)."""

    name: str
    aboard: tuple[str, ...]
    tank: float


@dataclass(frozen=True)
class Air:
    """frontal_area_m2 above the water; top is a key of perf.laws.air.DRAG_OF_TOP.

    temperature_c None means the air the engine was rated in: no correction of its power.
    """

    frontal_area_m2: float
    top: str = "none"
    temperature_c: float | None = None
    altitude_m: float = 0.0
    humidity: float = 0.6


@dataclass(frozen=True)
class Tabs:
    """Trim tabs: chord, span of both sides together, angle below the bottom [deg]."""

    chord_m: float
    span_m: float
    deflection_deg: float = 0.0


@dataclass(frozen=True)
class Kicker:
    """A small engine beside the main one, hung upright on a place of its own.

    forward_m, above_m are where its mass hangs; capacity_m3 None burns from the main tank. doubts
    are those that count only when she runs on it, by their paths in the boat file.
    """

    technology: str  # a key of perf.laws.engine.TECHNOLOGIES
    rated_power_w: float
    rated_rpm: float
    full_throttle_low_rpm: float
    full_throttle_high_rpm: float
    gear_ratio: float
    mass_kg: float
    propeller: Propeller
    forward_m: float
    above_m: float
    plate_height_m: float = 0.0
    capacity_m3: float | None = None
    doubts: Doubts = ()


@dataclass(frozen=True)
class Water:
    """temperature_c in degrees Celsius, salinity_g_per_kg."""

    temperature_c: float = 15.0
    salinity_g_per_kg: float = 31.0


@dataclass(frozen=True)
class Mark:
    """A mark on the sheer or transom taped to the water: its place, its height over still water, at which load.

    load : name of one of the boat's loads, empty for the one she is read at.
    """

    name: str
    forward_m: float
    above_m: float
    over_water_m: float
    load: str = ""


@dataclass(frozen=True)
class Learned:
    """What a sea trial taught of inputs taken together, in place of their own doubts.

    names : readable paths of the inputs. half_widths : the doubt (nine in ten) each had before.
    shifts : how far each moved, in that doubt; nought for the factors that stand in Trial.
    spread : lower triangle, one row for each input: what is left of its doubt, in that doubt, as so
    much of the draws of this and of the inputs before it.
    """

    names: tuple[str, ...]
    half_widths: tuple[float, ...]
    shifts: tuple[float, ...]
    spread: tuple[tuple[float, ...], ...]


@dataclass(frozen=True)
class Trial:
    """Factors a sea trial finds, all neutral until then.

    log, date, version say where they come from, learned what else the trial taught.
    """

    drag: float = 1.0
    weight: float = 1.0
    balance_m: float = 0.0
    pitch: float = 1.0
    leg: float = 1.0
    fuel_idle: float = 1.0
    fuel_slope: float = 1.0
    log: str = ""
    date: str = ""
    version: str = ""
    learned: Learned | None = None


@dataclass(frozen=True)
class Boat:
    """One whole boat at one named load.

    doubts: half widths (nine in ten) by readable path, in SI, such as ("engine.rated_power", 5034.0).
    words: what the owner wrote, by readable path. assumed: names of assumptions that filled blanks.
    """

    name: str
    hull: Hull
    light: Light
    engine: Engine
    propeller: Propeller
    mounting: Mounting
    tank: Tank
    loads: tuple[Load, ...]
    load: str
    weights: tuple[Weight, ...] = ()
    bracket: Bracket | None = None
    tabs: Tabs | None = None
    kicker: Kicker | None = None
    seats: tuple[Seat, ...] = ()
    air: Air = Air(2.5)
    water: Water = Water()
    plate_power_w: float | None = None
    trial: Trial = Trial()
    freeboard: tuple[Mark, ...] = ()
    doubts: Doubts = ()
    words: Words = ()
    assumed: tuple[str, ...] = ()
    tank_level: float | None = None  # overrides the load's own tank level
    stopped: int = 0  # engines stopped, their propellers locked
    # whose doubts the engine's and the propeller's are: boats with equal keys share those draws
    engine_key: str = ""
    propeller_key: str = ""
    on_kicker: bool = False  # pushed by the kicker alone: see perf.boat.kicker
    dragged: float = 0.0  # other legs dragged with locked propellers, as so many of the driving one

    def at(self, *, load: str | None = None, tank: float | None = None, **parts: Any) -> Boat:
        """The same boat at another load, tank level (0 to 1) or with other parts; ValueError for an unknown load."""
        if load is not None and load not in self.load_names:
            raise ValueError(
                f'no load is called "{load}"; this boat has: {", ".join(self.load_names)}'
            )
        if tank is not None and not 0.0 <= tank <= 1.0:
            raise ValueError(f"a tank is between empty (0) and full (1), not {tank}")
        level = tank if tank is not None else (self.tank_level if load is None else None)
        return replace(self, load=load or self.load, tank_level=level, **parts)

    @property
    def load_names(self) -> tuple[str, ...]:
        """The named loads in the file's order."""
        return tuple(load.name for load in self.loads)

    @property
    def loaded(self) -> Load:
        """The load that is meant, with any tank level set since."""
        chosen = next(load for load in self.loads if load.name == self.load)
        return chosen if self.tank_level is None else replace(chosen, tank=self.tank_level)
