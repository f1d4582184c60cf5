"""How people spell units: one closed table for each kind of quantity, no conversion here.

A unit that is not in the table of its kind is refused. The keys of `spelled` are names the units
library knows, which is asked for the factor of each once; the spellings, parted by "|", are lower
case and without full stops.
"""

from __future__ import annotations

from dataclasses import dataclass

SYSTEMS = ("us", "nautical", "metric")
BARE = ""  # the unit of a number that stands alone, and of what is never converted


@dataclass(frozen=True)
class Kind:
    """One kind of quantity: its SI unit, an example, its spellings, and (label, unit) by system."""

    called: str
    si: str
    example: str
    doubt: str
    unit_of: dict[str, str]
    shown: dict[str, tuple[str, str]]

    @property
    def bare(self) -> bool:
        """Whether a number of this kind stands alone."""
        return BARE in self.unit_of

    @property
    def cure(self) -> str:
        """What to write, with an example."""
        return f'write {self.called} such as "{self.example}"'

    @property
    def with_doubt(self) -> str:
        """An example with its doubt."""
        return f"{self.example} {self.doubt}"


Shown = tuple[str, str]


def _kind(
    called: str,
    si: str,
    example: str,
    spelled: dict[str, str],
    us: Shown,
    nautical: Shown | None = None,
    metric: Shown | None = None,
    doubt: str = "± 4 %",
) -> Kind:
    unit_of = {text: unit for unit, texts in spelled.items() for text in texts.split("|")}
    shown = {"us": us, "nautical": nautical or us, "metric": metric or us}
    return Kind(called, si, example, doubt, unit_of, shown)


KINDS: dict[str, Kind] = {
    "length": _kind(
        "a length", "meter", "24 ft 2 in",
        {
            "foot": "ft|foot|feet|'", "inch": "in|inch|inches|\"|''", "yard": "yd|yard|yards",
            "meter": "m|meter|meters|metre|metres", "centimeter": "cm", "millimeter": "mm",
        },
        ("ft", "foot"), None, ("m", "meter"),
    ),
    "short length": _kind(  # a length that is shown in inches or centimetres
        "a length", "meter", "4 1/4 in",
        {
            "foot": "ft|foot|feet|'", "inch": "in|inch|inches|\"|''", "yard": "yd|yard|yards",
            "meter": "m|meter|meters|metre|metres", "centimeter": "cm", "millimeter": "mm",
        },
        ("in", "inch"), None, ("cm", "centimeter"),
    ),
    "distance": _kind(
        "a distance", "meter", "12 nmi",
        {
            "mile": "mi|mile|miles|statute mile|statute miles",
            "nautical_mile": "nmi|nm|nautical mile|nautical miles",
            "kilometer": "km|kilometer|kilometers|kilometre|kilometres",
        },
        ("mi", "mile"), ("nmi", "nautical_mile"), ("km", "kilometer"),
    ),
    "speed": _kind(
        "a speed", "meter / second", "22 kn",
        {
            "mile / hour": "mph|mi/h|mi/hr|miles per hour", "knot": "kn|kt|kts|knot|knots",
            "kilometer / hour": "km/h|km/hr|kmh|kph", "meter / second": "m/s",
            "foot / second": "ft/s|fps",
        },
        ("mph", "mile / hour"), ("kn", "knot"), ("km/h", "kilometer / hour"),
    ),
    "mass": _kind(
        "a weight", "kilogram", "4350 lb",
        {
            "pound": "lb|lbs|pound|pounds", "ounce": "oz|ounce|ounces",
            "kilogram": "kg|kgs|kilo|kilos|kilogram|kilograms", "gram": "g|gram|grams",
            "metric_ton": "tonne|tonnes",
        },
        ("lb", "pound"), None, ("kg", "kilogram"),
    ),
    "force": _kind(
        "a force", "newton", "450 lb",
        {
            "force_pound": "lb|lbs|lbf|pound|pounds", "newton": "n|newton|newtons",
            "force_kilogram": "kgf",
        },
        ("lb", "force_pound"), None, ("N", "newton"),
    ),
    "power": _kind(
        "a power", "watt", "225 hp",
        {
            "horsepower": "hp|bhp|shp|horsepower", "kilowatt": "kw|kilowatt|kilowatts",
            "watt": "w|watt|watts", "metric_horsepower": "ps|metric hp|metric horsepower",
        },
        ("hp", "horsepower"), None, ("kW", "kilowatt"),
    ),
    "volume": _kind(
        "a volume", "meter ** 3", "120 gal",
        {
            "gallon": "gal|gals|gallon|gallons|us gal|us gallon|us gallons",
            "imperial_gallon": "imp gal|imperial gal|imp gallon|imp gallons|imperial gallon|imperial gallons"
            "|uk gal|uk gallon|uk gallons",
            "liter": "l|liter|liters|litre|litres",
        },
        ("gal", "gallon"), None, ("L", "liter"),
    ),
    "fuel flow": _kind(
        "a fuel burn", "liter / hour", "8 gal/h",
        {
            "gallon / hour": "gal/h|gal/hr|gph|gallons per hour|us gal/h|us gph",
            "imperial_gallon / hour": "imp gal/h|imp gph|uk gal/h|uk gph",
            "liter / hour": "l/h|l/hr|lph|liters per hour|litres per hour",
        },
        ("gal/h", "gallon / hour"), None, ("L/h", "liter / hour"),
    ),
    "mileage": _kind(
        "a mileage", "meter / liter", "3 mpg",
        {
            "mile / gallon": "mpg|mi/gal|miles per gallon|us mpg|mi/us gal",
            "nautical_mile / gallon": "nmi/gal|nm/gal|nmpg|nautical miles per gallon",
            "mile / imperial_gallon": "imp mpg|uk mpg|mi/imp gal",
            "nautical_mile / imperial_gallon": "nmi/imp gal|nm/imp gal",
            "kilometer / liter": "km/l", "nautical_mile / liter": "nmi/l|nm/l",
        },
        ("mpg", "mile / gallon"), ("nmi/gal", "nautical_mile / gallon"), ("km/L", "kilometer / liter"),
    ),
    "rotation": _kind(
        "an engine speed", BARE, "5500 rpm", {BARE: "rpm|rev/min|r/min"}, ("rpm", BARE),
    ),
    "angle": _kind(
        "an angle", BARE, "18 deg", {BARE: "°|deg|degs|degree|degrees"}, ("°", BARE),
    ),
    "temperature": _kind(
        "a temperature", "degree_Celsius", "48 °F",
        {
            "degree_Fahrenheit": "°f|f|degf|deg f|degrees f|fahrenheit|degrees fahrenheit",
            "degree_Celsius": "°c|c|degc|deg c|degrees c|celsius|degrees celsius",
        },
        ("°F", "degree_Fahrenheit"), ("°C", "degree_Celsius"), ("°C", "degree_Celsius"),
        doubt="± 5 °F",
    ),
    "salinity": _kind("a salinity", BARE, "31 g/kg", {BARE: "g/kg|ppt|‰"}, ("g/kg", BARE)),
    "area": _kind(
        "an area", "meter ** 2", "38 sq ft",
        {
            "foot ** 2": "sq ft|sqft|ft2|ft²|square foot|square feet",
            "meter ** 2": "m²|m2|sq m|square meter|square meters|square metre|square metres",
            "inch ** 2": "sq in|in2|in²|square inch|square inches",
        },
        ("sq ft", "foot ** 2"), None, ("m²", "meter ** 2"),
    ),
    "moment": _kind(
        "a moment", "newton * meter", "900 ft-lb",
        {
            "foot * force_pound": "ft-lb|ft lb|ft-lbf|ft lbf|lb-ft|lb ft|lbf-ft|lbf ft",
            "newton * meter": "n m|nm|n-m", "kilonewton * meter": "kn m|knm|kn-m",
        },
        ("ft-lb", "foot * force_pound"), None, ("N m", "newton * meter"),
    ),
    "time": _kind(
        "a time", "second", "45 min",
        {
            "second": "s|sec|secs|second|seconds", "minute": "min|mins|minute|minutes",
            "hour": "h|hr|hrs|hour|hours",
        },
        ("s", "second"),
    ),
    "duration": _kind(
        "a duration", "second", "3 h",
        {
            "hour": "h|hr|hrs|hour|hours", "minute": "min|mins|minute|minutes",
            "second": "s|sec|secs|second|seconds",
        },
        ("h", "hour"),
    ),
    "roughness": _kind(
        "a roughness", "meter", "0.15 mm",
        {
            "millimeter": "mm|millimeter|millimeters|millimetre|millimetres",
            "micrometer": "um|µm|micron|microns", "inch": "in|inch|inches|\"",
        },
        ("mm", "millimeter"),
    ),
    "share": _kind("a share", BARE, "0.9", {BARE: BARE, "percent": "%"}, ("%", "percent"), doubt="± 0.05"),
    "ratio": _kind("a ratio", BARE, "1.86", {BARE: BARE}, ("", BARE)),
    "fuel price": _kind(
        "a price of fuel", "1 / liter", "5.20 per gal",
        {
            "1 / gallon": "per gal|per gallon|a gallon|per us gal|per us gallon",
            "1 / imperial_gallon": "per imp gal|per imperial gallon|per uk gal",
            "1 / liter": "per l|per liter|per litre|a litre|a liter",
        },
        ("per gal", "1 / gallon"), None, ("per L", "1 / liter"),
    ),
    "money": _kind("an amount of money", BARE, "1250", {BARE: BARE}, ("", BARE)),
    "text": _kind("a text", BARE, "charter", {}, ("", BARE)),
}  # fmt: skip

# A second, smaller part may follow the first: (first, second) -> how many seconds fill a first.
PAIRS: dict[tuple[str, str], int] = {
    ("foot", "inch"): 12,
    ("pound", "ounce"): 16,
    ("hour", "minute"): 60,
    ("minute", "second"): 60,
}

_FUEL_PER_DISTANCE = 'distance per fuel is read, not fuel per distance: write it such as "3 mpg"'
_TON = 'a ton is one of three weights: write it in lb or kg, such as "4350 lb"'

# Spellings that mean more than one thing, and what to write instead.
DOUBTFUL: dict[tuple[str, str], str] = {
    ("mass", "t"): _TON,
    ("mass", "ton"): _TON,
    ("mass", "tons"): _TON,
    ("force", "kn"): '"kn" is a knot, not a force: write it in lb or N, such as "450 lb"',
    **{
        ("mileage", unit): _FUEL_PER_DISTANCE
        for unit in ("l/", "l/km", "l/nmi", "gal/mi", "gal/nmi")
    },
    ("distance", "m"): '"m" may mean miles or metres: write "12 mi", "12 nmi" or "12 km"',
}
