"""From a reading of differences to whole candidates: parts of the boat's own under what was written."""

from __future__ import annotations

from dataclasses import replace

from perf.base.assumptions import FITTINGS
from perf.base.quantities import HOUR_S
from perf.base.units import show
from perf.boat import checks, schema
from perf.boat.building import Builder
from perf.boat.catalog import engines, propellers
from perf.boat.catalogrows import EngineRow
from perf.boat.choice import schema as about
from perf.boat.choice.drive import Drive
from perf.boat.choice.parts import AS_SHE_IS, Candidate, Costs
from perf.boat.parts import Boat, Bracket, Engine, Load, Propeller, Weight
from perf.boat.reading import Reading

DRIVE_TABLES = ("engine", "propeller", "mounting", "bracket")
MODEL_KEYS = ("catalogue", "drive", "technology", "rated_power", "full_throttle_rpm", "mass")
FUEL_FACTORS = ("fuel_idle", "fuel_slope")  # what a sea trial found of the old engine


class ChoiceBuilder:
    """Makes candidates of a reading of differences; what is wrong is noted in the reading."""

    def __init__(self, reading: Reading, boat: Boat) -> None:
        self.reading, self.boat = reading, boat

    def as_she_is(self) -> Candidate:
        """The boat herself, with what keeping her costs."""
        return Candidate(
            AS_SHE_IS,
            self.boat,
            self._costs("as_she_is"),
            doubts=self._doubts("as_she_is"),
            is_as_she_is=True,
        )

    def candidate(self, name: str) -> Candidate:
        """One candidate; faults are noted."""
        prefix = f"candidates.{name}"
        drive = Drive(self.reading, prefix, self.boat)
        row = self._engine_row(prefix)
        model = row is not None or any(self._wrote(f"{prefix}.engine.{k}") for k in MODEL_KEYS[1:])
        self._engine(drive, row, prefix)
        fixed = self._propeller(drive, prefix)
        drive.write("mounting")
        self._bracket(drive, prefix)
        self._fuel(drive, prefix)
        before = len(self.reading.document.faults)
        checks.check_drive(drive)
        sound = len(self.reading.document.faults) == before
        fitted = self._rigged(prefix)
        if not sound or self.reading.document.faults:
            return Candidate(name, self.boat, Costs())
        boat = self._whole(drive, prefix, row, model, fixed, fitted)
        span = self._span(prefix, row, boat)
        wanted = self.reading.values.get(f"{prefix}.propeller.search")
        return Candidate(
            name,
            boat,
            self._costs(prefix),
            searched=bool(wanted) if wanted is not None else model and not fixed,
            propeller_span_m=span[0],
            span_is_stated=span[1],
            warranty=self.reading.values.get(f"{prefix}.warranty"),
            rigging=tuple(self.reading.values.get(f"{prefix}.rigging", ())),
            doubts=self._doubts(prefix),
        )

    # --- drive -----------------------------------------------------------------------------

    def _wrote(self, path: str) -> bool:
        return path in self.reading.values

    def _engine_row(self, prefix: str) -> EngineRow | None:
        key = self.reading.values.get(f"{prefix}.engine.catalogue")
        return None if key is None else engines()[key]

    def _engine(self, drive: Drive, row: EngineRow | None, prefix: str) -> None:
        if row is not None:
            drive.lay("engine", replace(row.part, count=self.boat.engine.count))
        drive.write("engine")
        table = f"{prefix}.engine"
        if self._wrote(f"{table}.full_throttle_rpm") and not self._wrote(f"{table}.rated_rpm"):
            drive.values.pop("engine.rated_rpm", None)

    def _propeller(self, drive: Drive, prefix: str) -> bool:
        """Lay the candidate's propeller; whether it wrote one."""
        key = self.reading.values.get(f"{prefix}.propeller.catalogue")
        if key is not None:
            drive.lay("propeller", propellers()[key].part)
        return drive.write("propeller") or key is not None

    def _bracket(self, drive: Drive, prefix: str) -> None:
        if self.reading.values.get(f"{prefix}.no_bracket"):
            drive.given.pop("bracket", None)
            drive.values = {k: v for k, v in drive.values.items() if not k.startswith("bracket.")}
            return
        wrote = drive.write("bracket")
        if wrote and self.boat.bracket is None:
            for name, key in schema.TABLES["bracket"].keys.items():
                if f"bracket.{name}" not in drive.values:
                    self.reading.fault(
                        (*prefix.split(".", 1), "bracket", name),
                        f"missing: she has no bracket yet, write such as {name} = {key.example}",
                        text="",
                    )

    def _fuel(self, drive: Drive, prefix: str) -> None:
        path = f"{prefix}.fuel"
        if self._wrote(path):
            drive.values["tank.fuel"] = self.reading.values[path]
            drive.words["tank.fuel"] = self.reading.words[path]

    # --- the whole boat --------------------------------------------------------------------

    def _whole(
        self,
        drive: Drive,
        prefix: str,
        row: EngineRow | None,
        model: bool,
        fixed: bool,
        fitted: tuple[tuple[Weight, ...], dict[str, float]],
    ) -> Boat:
        boat, build = self.boat, Builder(drive)
        doubts, assumed = dict(boat.doubts), list(boat.assumed)
        engine, trial = replace(boat.engine, count=int(drive.values["engine.count"])), boat.trial
        if model:
            engine = build.engine()
            doubts = {k: v for k, v in doubts.items() if not _of_engine(k)}
            trial = replace(trial, fuel_idle=1.0, fuel_slope=1.0)
            if row is not None and not self._wrote(f"{prefix}.engine.mass"):
                doubts["engine.mass"] = engine.mass_kg * FITTINGS["catalogue_mass"].half_width
                assumed.append("catalogue_mass")
        propeller = boat.propeller
        if fixed:
            propeller = build.propeller()
            doubts, trial = new_propeller(doubts), replace(trial, pitch=1.0)
            build.doubts.setdefault("propeller.pitch", FITTINGS["stamped_pitch"].half_width)
            assumed.append("stamped_pitch")
        mounted = any(self._wrote(f"{prefix}.mounting.{k}") for k in schema.TABLES["mounting"].keys)
        whole = replace(
            boat,
            engine=engine,
            propeller=propeller,
            mounting=build.mounting() if mounted else boat.mounting,
            bracket=build.part(Bracket, "bracket") if "bracket" in drive.given else None,
            tank=replace(boat.tank, fuel=drive.values["tank.fuel"]),
            trial=trial,
            engine_key=engine_model(engine, row) if model else boat.engine_key,
            propeller_key=propeller_model(propeller) if fixed else boat.propeller_key,
            assumed=tuple(dict.fromkeys([*assumed, *build.assumed])),
        )
        written = {k: v for k, v in build.doubts.items() if k.split(".")[0] in DRIVE_TABLES}
        return _with_rigging(whole, doubts | written, *fitted)

    def _span(
        self, prefix: str, row: EngineRow | None, boat: Boat
    ) -> tuple[tuple[float, float], bool]:
        """Smallest and largest propeller the engine swings, and whether anybody said so.

        Where nobody did: what the catalogue's engine of this drive nearest in power swings.
        """
        power = boat.engine.rated_power_w
        near = row or min(
            (r for r in engines().values() if r.part.drive == boat.engine.drive),
            key=lambda r: abs(r.part.rated_power_w - power),
        )
        small = self.reading.number(f"{prefix}.propeller.smallest")
        large = self.reading.number(f"{prefix}.propeller.largest")
        low, high = small or near.propeller_low_m, large or near.propeller_high_m
        return (min(low, high), max(low, high)), row is not None or bool(small and large)

    # --- rigging and money -----------------------------------------------------------------

    def _rigged(self, prefix: str) -> tuple[tuple[Weight, ...], dict[str, float]]:
        """What is fitted, and what comes off as weights below nought, with their doubts."""
        weights, doubts = [], {}
        for key, sign in (("rigging", 1.0), ("taken_off", -1.0)):
            for thing in self.reading.values.get(f"{prefix}.{key}", ()):
                value = self.reading.number
                where, called = f"rigging.{thing}", f"{thing} {'on' if sign > 0 else 'off'}"
                found = [value(f"{where}.{k}") for k in ("mass", "forward", "above")]
                mass, ahead, high = (0.0 if v is None else v for v in found)
                count = int(value(f"{where}.count") or 1)
                weights.append(Weight(called, sign * mass, count, ahead, high))
                for k in ("mass", "forward", "above"):
                    if f"{where}.{k}" in self.reading.doubts:
                        doubts[f"weights.{called}.{k}"] = self.reading.doubts[f"{where}.{k}"]
        return tuple(weights), doubts

    def _costs(self, table: str) -> Costs:
        number = self.reading.number
        hours = number(f"{table}.expected_hours")
        things = self.reading.values.get(f"{table}.rigging", ())
        prices = [number(f"rigging.{thing}.price") for thing in things]
        counts = [number(f"rigging.{thing}.count") or 1.0 for thing in things]
        known = [p * n for p, n in zip(prices, counts, strict=True) if p is not None]
        plain = {
            name: number(f"{table}.{name}")
            for name in (
                *("price", "labour", "propeller_price", "spare_price", "trade_in", "lost_days"),
                *(name for name in about.RUNNING if name != "expected_hours"),
            )
        }
        # the sum of rigging stands only when every part of it has its price
        rigging = sum(known) if len(known) == len(prices) else None
        return Costs(
            **plain, rigging=rigging, expected_hours=None if hours is None else hours / HOUR_S
        )

    def _doubts(self, table: str) -> tuple[tuple[str, float], ...]:
        start = f"{table}."
        money = {
            path.removeprefix(start): doubt
            for path, doubt in self.reading.doubts.items()
            if path.startswith(start) and path.count(".") == start.count(".")
        }
        if "expected_hours" in money:
            money["expected_hours"] /= HOUR_S
        return tuple(money.items())


def _with_rigging(
    boat: Boat, doubts: dict[str, float], weights: tuple[Weight, ...], more: dict[str, float]
) -> Boat:
    """The boat with what is fitted aboard in every load, and with all doubts."""
    names = tuple(weight.name for weight in weights)
    return replace(
        boat,
        weights=(*boat.weights, *weights),
        loads=tuple(Load(w.name, (*w.aboard, *names), w.tank) for w in boat.loads),
        doubts=tuple((doubts | more).items()),
    )


def _of_engine(path: str) -> bool:
    return path.startswith("engine.") or path in {f"assumed.trial_{f}" for f in FUEL_FACTORS}


def new_propeller(doubts: dict[str, float]) -> dict[str, float]:
    """Doubts without those of the old propeller."""
    return {
        k: v
        for k, v in doubts.items()
        if not k.startswith("propeller.") and k != "assumed.trial_pitch"
    }


def engine_model(engine: Engine, row: EngineRow | None) -> str:
    """A name for one model of engine, so that candidates with the same one share its doubts."""
    if row is not None and abs(engine.rated_power_w - row.part.rated_power_w) < 1.0:
        return row.key
    return f"{engine.technology} {show(engine.rated_power_w, 'power', 'us', 0)}"


def propeller_model(propeller: Propeller) -> str:
    """A name for one pattern of propeller: blades, diameter, cup; pitches of one pattern share a name."""
    inches = show(propeller.diameter_m, "length", "us", 2)
    return f"{propeller.blades} blades {inches} cup {propeller.cup}"
