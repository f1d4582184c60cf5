"""The program's own words of a file in the units a reader chose: speeds, distances and heights, nothing else."""

from __future__ import annotations

import re

from perf.base.units import read, unit_label, units_from_si

KIND_OF = {
    **dict.fromkeys(("kn", "mph", "km/h"), "speed"),
    **dict.fromkeys(("nmi", "mi", "km"), "distance"),
}
# a value alone between its quotes, with or without its doubt: not what stands in a comment or a name
_QUANTITY = re.compile(r'(?<== )"([\d.]+) (kn|mph|km/h|nmi|mi|km)( ± [\d.]+ (?:\2))?"')
DIGITS = {"speed": 3, "distance": 4}  # significant: closer than the last digit an answer shows


def in_units(text: str, system: str) -> str:
    """The same text with every stated speed and distance in the units of a system, to three or four digits."""

    def spoken(found: re.Match[str]) -> str:
        whole, unit = found.group(0).strip('"'), found.group(2)
        kind = KIND_OF[unit]
        label = unit_label(kind, system)
        if unit == label:
            return found.group(0)
        quantity = read(whole, kind)
        said = f"{units_from_si(quantity.value, kind, system):.{DIGITS[kind]}g} {label}"
        if quantity.doubt:
            said += f" ± {units_from_si(quantity.doubt, kind, system):.{DIGITS[kind]}g} {label}"
        return f'"{said}"'

    return _QUANTITY.sub(spoken, text)
