"""Cautions: public codes that travel with the numbers, and the sentence each one stands for."""

from __future__ import annotations

from enum import IntFlag, auto

import numpy as np
from numpy.typing import NDArray


class Caution(IntFlag):
    """One bit per caution; the lower-case name is the public code."""

    NONE = 0
    PORPOISING = auto()
    PORPOISING_OFF_CHART = auto()
    CHINES_DRY = auto()
    BOW_DROP = auto()
    TRIM_OUTSIDE = auto()
    SPEED_OUTSIDE = auto()
    WETTED_LENGTH_OUTSIDE = auto()
    BOW_WETTED = auto()
    DEADRISE_OUTSIDE = auto()
    WAKE_OUTSIDE = auto()
    PROPELLER_OUTSIDE = auto()
    CAVITATION = auto()
    PLATE_HIGH = auto()
    LEG_DEEP = auto()
    UNDER_IDLE = auto()
    RPM_UNDER_BAND = auto()
    RPM_OVER_BAND = auto()
    OVER_PLATE = auto()
    NO_PLATE = auto()
    TRANSOM = auto()
    RESERVE = auto()
    ESTIMATE = auto()
    SERIES_OUTSIDE = auto()
    SEA_OUTSIDE = auto()
    SEA_1976_OUTSIDE = auto()
    SPEED_NOT_HELD = auto()
    NO_HEADWAY = auto()
    SHALLOW = auto()
    RUNS_DRY = auto()
    RESERVE_BROKEN = auto()
    FUEL_GAUGE = auto()
    TRIP = auto()
    WEATHER = auto()
    CRITICAL_DEPTH = auto()
    BRACKET_LOW = auto()
    BRACKET_WET = auto()
    FLOODING = auto()
    SECOND_HAND_SOLE = auto()
    HELM = auto()
    DRILL = auto()
    ON_KICKER = auto()
    HEAVIER_AFT = auto()
    LIFE_ENDS = auto()
    MONEY_PARTIAL = auto()
    OLD_RATING = auto()
    FEW_RUNS = auto()
    LOG_SCATTERS = auto()
    HIDDEN_WEIGHT = auto()
    TABS_OUTSIDE = auto()
    TABS_DEEP = auto()


SENTENCES: dict[Caution, str] = {
    Caution.PORPOISING: "She may porpoise at this trim and load: bring the drive in or move weight forward. Advisory only.",
    Caution.PORPOISING_OFF_CHART: "The published porpoising chart does not reach this light a loading: feel for it on the water.",
    Caution.BOW_DROP: "Heavy for her bottom and balanced far forward: hulls like this have dropped the bow or lain over at speed. Advisory only; feel for it with care.",
    Caution.CHINES_DRY: "The chines run dry here: the published method is stretched and the drag is less sure.",
    Caution.TRIM_OUTSIDE: "The running trim is outside the 2 to 15 degrees the published method was fitted on.",
    Caution.SPEED_OUTSIDE: "The speed is outside the range the published planing method was fitted on.",
    Caution.WETTED_LENGTH_OUTSIDE: "More of the bottom is wet than the published planing method was fitted on.",
    Caution.BOW_WETTED: "The wetted length reaches the bow: she is ploughing and the planing method does not hold.",
    Caution.DEADRISE_OUTSIDE: "The bottom is steeper than the 30 degrees the published method was fitted on.",
    Caution.WAKE_OUTSIDE: "The height of the water behind the transom is outside the range of the published fit; the band shows what that means.",
    Caution.PROPELLER_OUTSIDE: "The propeller is outside the range of the published series.",
    Caution.CAVITATION: "The blades are loaded past the published cavitation limit: less thrust than shown is likely.",
    Caution.PLATE_HIGH: "The anti-ventilation plate is well above the water behind the transom: expect the propeller to let go in turns and chop, and check water pressure.",
    Caution.LEG_DEEP: "Water stands above the anti-ventilation plate and drags the thick part of the leg.",
    Caution.UNDER_IDLE: "Slower than she goes idling in gear: only in and out of gear, on a drogue, or on a kicker.",
    Caution.RPM_UNDER_BAND: "Full-throttle rpm is under the engine maker's band: the propeller is too big for this load and lugs the engine. The maker's band rules.",
    Caution.RPM_OVER_BAND: "Full-throttle rpm is over the engine maker's band: the propeller is too small. The maker's band rules.",
    Caution.OVER_PLATE: "This is more power than the capacity plate allows. The plate, local law and the builder rule: do not fit it.",
    Caution.NO_PLATE: "No capacity plate was given: the builder, local law and a licensed surveyor decide how much power and load she may carry.",
    Caution.TRANSOM: "Engine weight and thrust work the transom harder the farther aft they hang: have the transom and bracket judged by a qualified person.",
    Caution.RESERVE: "Range is on usable fuel less a third in reserve, in calm water. Log the real burn before relying on it.",
    Caution.ESTIMATE: "An estimate from published methods, not a promise: try her on the water before anything depends on it.",
    Caution.SERIES_OUTSIDE: "The shape or balance of this hull is outside the family of models that one of the methods was fitted on: give that method less weight.",
    Caution.SEA_OUTSIDE: "The sea or the speed is outside what the formula for the drag of waves was made for: what the waves cost is a guess here.",
    Caution.SEA_1976_OUTSIDE: "The published head-sea equations of 1976 do not reach a boat of this size, shape or speed: only the looser formula of 1980 speaks for the waves.",
    Caution.SPEED_NOT_HELD: "The engine does not hold the speed asked for with this load, wind and sea: the run is worked out at the highest speed it holds.",
    Caution.NO_HEADWAY: "She makes no way over the ground against this current at this speed: the run has no answer.",
    Caution.SHALLOW: "The water is shallower than three beams: drag, trim and burn change there and no number is given for it. Mind the bottom and the wash.",
    Caution.RUNS_DRY: "The usable fuel is gone before the trip is: do not set out like this.",
    Caution.RESERVE_BROKEN: "The trip eats into the fuel kept back: take on fuel, shorten it or slow down.",
    Caution.FUEL_GAUGE: "Tank gauges are often wrong: fill up, or dip the tank, and keep a log of what goes in.",
    Caution.TRIP: "An estimate, not a promise: log the real burn of every trip and put it in the burn log before anything depends on it.",
    Caution.WEATHER: "Wind, sea and current turn: the forecast, local rules and the skipper's judgement come before these figures. Turn back early.",
    Caution.CRITICAL_DEPTH: "At this speed in this depth she drags her own wave along: she squats deeper than shown, handles oddly and throws a heavy wash. Go well slower, or find deeper water.",
    Caution.BRACKET_LOW: "The bracket hangs below the hull bottom: it drags in the flow at every speed. Raise it, or have it faired.",
    Caution.BRACKET_WET: "The water behind the transom reaches the bracket at some speeds: it drags there until she runs clear of it.",
    Caution.FLOODING: "An edge that lets water in lies close to the water or under it at one of these loads: she can fill at rest. The builder, local rules and a qualified person decide what is safe.",
    Caution.SECOND_HAND_SOLE: "The height asked of a self-draining sole is quoted second-hand: look it up in the standard before relying on it.",
    Caution.HELM: "Power off the centreline turns her: she needs helm to run straight, more of it the slower she goes. Leave sea room when one engine is stopped.",
    Caution.DRILL: "Before a hole is drilled: measure this boat, follow the engine maker's mounting instructions and local codes, and let a licensed person judge the transom.",
    Caution.ON_KICKER: "On the kicker alone, in calm water: against wind, current or sea it may not hold her, and she steers poorly. It gets her home on a good day and replaces no call for help.",
    Caution.HEAVIER_AFT: "Some of these weigh more at the transom than the engine aboard: try freeboard, scuppers and flotation at the dock with everybody aft, and have transom and bracket judged by a qualified person.",
    Caution.LIFE_ENDS: "The expected hours of an engine end before the years that are counted, and no further engine is counted: put the years down or the price of another one in.",
    Caution.MONEY_PARTIAL: "Some money was not stated and is not counted; the list says what. The money shown rests on what was stated and is no offer.",
    Caution.OLD_RATING: "An American outboard of before about 1985 was rated at the powerhead: it may be weaker than its number. The capacity plate's number still rules.",
    Caution.FEW_RUNS: "One or two runs tell little: most of what is shown is still the estimate. Make half a dozen, from idle to flat out, there and back.",
    Caution.LOG_SCATTERS: "The log scatters more than its meters should: the bands were widened for it. Look for waves, wind, a run that had not settled, or a meter that jumps.",
    Caution.HIDDEN_WEIGHT: "Weight by the tape and weight by the list differ by more than 5 per cent: wet foam, water under the sole, gear nobody counted, or a mark misplaced. Find out which before power or people are added; the capacity plate rules.",
    Caution.TABS_OUTSIDE: "The published formula for tabs was fitted on faster running, or on shorter tabs, than this: what they do at the hump is less sure.",
    Caution.TABS_DEEP: "Tabs far down at speed or before a following sea make her steer by the bow, and she may lie over or run off: raise them once she is over the hump, and feel for it with care.",
}


def code(caution: Caution) -> str:
    """The public code of one caution, such as "plate_high"."""
    return str(caution.name).lower()


def codes(bits: int) -> tuple[str, ...]:
    """The public codes set in one integer of bits, in declared order."""
    return tuple(code(c) for c in Caution if c.value and bits & c.value)


def sentence(public_code: str) -> str:
    """The sentence of one public code; KeyError for an unknown code."""
    return SENTENCES[Caution[public_code.upper()]]


def flag(inside: NDArray[np.bool_], caution: Caution) -> NDArray[np.int64]:
    """Bits of one caution wherever the condition does not hold; same shape as inside."""
    return np.where(inside, 0, int(caution)).astype(np.int64)
