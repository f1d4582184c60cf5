"""Columns of a repower, as plain rows for perf.base.columns: name, kind, label, sentence, digits."""

from __future__ import annotations

Row = tuple[str, str, str, str, int]

# who is meant, and where it stands in the ranking
_WHO: tuple[Row, ...] = (
    ("candidate", "text", "candidate", "One of the choices; the boat as she is comes first.", 0),
    ("against", "text", "against", "The candidate it is held against.", 0),
    ("engine", "text", "engine", "Number, power and kind of the engines.", 0),
    ("propeller", "text", "propeller", "Diameter, pitch, blades and cup.", 0),
    ("rank", "ratio", "rank", "Place by the chosen purpose; over the plate always comes last.", 0),
    ("plate", "text", "capacity plate", "Whether the engines stay within the capacity plate.", 0),
    ("planes", "text", "planes", "Whether full throttle takes her over the hump as stated.", 0),
    ("role", "text", "which", "Which of the tried propellers this is.", 0),
    ("in_band", "text", "rpm band", "Where full-throttle rpm lies in the maker's band.", 0),
)
_RUNS: tuple[Row, ...] = (
    ("power_w", "power", "power", "Rated power of all engines together.", 0),
    ("heavy_rpm", "rotation", "rpm, full party", "Engine speed at top speed with the heaviest load.", 0),
    ("wanted_speed_mps", "speed", "wanted speed", "Speed at which the burn is compared.", 1),
    ("wanted_fuel_lph", "fuel flow", "burn at the wanted speed", "Fuel of all engines per hour at the wanted speed.", 1),
    ("wanted_mileage_m_per_l", "mileage", "mileage at the wanted speed", "Distance per volume of fuel at the wanted speed.", 2),
    ("one_engine_speed_mps", "speed", "speed with one engine stopped", "Top speed with one engine stopped and its propeller locked.", 1),
    ("one_engine_planes", "text", "planes with one engine stopped", "Whether the other engines hold her on plane.", 0),
    ("diameter_m", "length", "diameter", "Propeller diameter.", 2),
    ("pitch_m", "length", "pitch", "Stamped pitch.", 2),
    ("blades", "ratio", "blades", "Number of blades.", 0),
)
_SEASON: tuple[Row, ...] = (
    ("season_fuel_m3", "volume", "season's fuel", "Fuel of all runs of a season.", 0),
    ("fuel_saved_m3", "volume", "fuel saved", "Season's fuel less than as she is.", 0),
    ("season_co2_kg", "mass", "season's carbon dioxide", "Carbon dioxide from the fossil part of the fuel burned.", 0),
    ("season_hours_s", "duration", "engine hours", "Hours each engine runs in a season.", 0),
    ("life_years", "ratio", "years the engines last", "Expected hours of an engine over its hours in a season.", 1),
    ("run_trips", "ratio", "times a season", "How often the run is made in a season.", 0),
    ("run_hours_s", "duration", "hours a trip", "How long it takes on one trip.", 2),
    ("run_fuel_m3", "volume", "fuel a trip", "Fuel of all engines on one trip.", 1),
    ("weeks", "ratio", "weeks between scrubs", "Weeks the bottom is left to grow.", 0),
    ("scrubs", "ratio", "scrubs a season", "How often she is scrubbed in a season.", 1),
    ("scrub_cost", "money", "scrubbing", "Price of the season's scrubs.", 0),
    ("scrub_gain", "money", "gained by scrubbing", "Fuel money saved against never scrubbing, less the scrubs.", 0),
)
_MONEY: tuple[Row, ...] = (
    ("year", "ratio", "year", "Year from today; 0 is the day she is fitted.", 0),
    ("outlay", "money", "laid out", "Engines, rigging, propellers, labour and lost days less the trade-in.", 0),
    ("fuel_cost", "money", "fuel", "Fuel of the year.", 0),
    ("service_cost", "money", "service", "Service by engine hours.", 0),
    ("upkeep_cost", "money", "upkeep", "Repairs and upkeep beyond service, rising as stated.", 0),
    ("lost_days_cost", "money", "lost days", "Days at the dock at what a day costs.", 0),
    ("residual_value", "money", "left at the end", "What the engines still fetch after the last year.", 0),
    ("year_total", "money", "of the year", "All money of the year; what is spent is negative.", 0),
    ("year_gain", "money", "better than as she is", "Money of the year against keeping her as she is.", 0),
    ("sum_gain", "money", "sum so far", "Better than as she is, summed up to this year, not discounted.", 0),
    ("first_cost", "money", "laid out today", "Engines, rigging, propellers, labour and lost days less the trade-in.", 0),
    ("yearly_cost", "money", "first year's running", "Fuel, service, upkeep, scrubs and lost days of the first year.", 0),
    ("payback_years", "ratio", "paid back in years", "Years until the running sum against as she is turns positive, not discounted.", 1),
    ("net_present_value", "money", "net present value", "All years against keeping her as she is, at the real discount rate.", 0),
    ("cost_per_hour", "money", "cost of an engine hour", "All money as an even yearly payment over the hours the engines run; twins count once.", 2),
    ("cost_per_trip", "money", "cost of a trip", "All money as an even yearly payment over the season's trips.", 0),
    ("break_even_fuel", "fuel price", "break-even fuel price", "Fuel price from which it pays over the years.", 2),
    ("break_even_hours_s", "duration", "break-even engine hours", "Engine hours a season from which it pays over the years.", 0),
)
_SURE: tuple[Row, ...] = (
    ("burns_less", "share", "burns less", "Share of the draws in which its season takes less fuel.", 2),
    ("spares_more", "share", "more to spare at the hump", "Share of the draws in which it has more thrust to spare.", 2),
    ("runs_faster", "share", "faster", "Share of the draws in which it is faster.", 2),
    ("costs_less", "share", "costs less", "Share of the draws in which it costs less over the years.", 2),
    ("matter", "text", "what is not known for sure", "An input that was drawn.", 0),
    ("weighs", "share", "share of the doubt", "Share of the spread of the difference that this input explains.", 2),
    ("way", "text", "more of it", "Which way more of it moves the difference.", 0),
    ("rule", "text", "rule", "The rule and where it stands.", 0),
    ("applies", "text", "applies", "Whether it applies to this boat, or why nobody can say.", 0),
    ("says", "text", "what it says", "The answer in words.", 0),
    ("limit_w", "power", "greatest power", "Greatest power by this rule.", 0),
    ("ask", "text", "ask", "Whom to ask.", 0),
    ("question", "text", "question", "A question to be answered yes or no before anything is ordered.", 0),
)  # fmt: skip

REPOWER_COLUMNS: tuple[Row, ...] = (*_WHO, *_RUNS, *_SEASON, *_MONEY, *_SURE)
