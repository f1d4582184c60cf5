"""Columns and key figures of sea trials, as plain rows for perf.base.columns: name, kind, label, sentence, digits."""

from __future__ import annotations

Row = tuple[str, str, str, str, int]

# each run: what was read, what the file alone says, what the fitted boat says
_RUNS: tuple[Row, ...] = (
    ("log_lines", "text", "in the log", "Lines of the log the run was read from.", 0),
    ("logged_rpm", "rotation", "rpm read", "Engine speed as logged.", 0),
    ("filed_rpm", "rotation", "rpm before", "Engine speed by the file alone.", 0),
    ("fitted_rpm", "rotation", "rpm after", "Engine speed with the trial counted in.", 0),
    ("logged_fuel_lph", "fuel flow", "burn read", "Fuel of all engines per hour as logged.", 1),
    ("filed_fuel_lph", "fuel flow", "burn before", "Fuel per hour by the file alone.", 1),
    ("fitted_fuel_lph", "fuel flow", "burn after", "Fuel per hour with the trial counted in.", 1),
    ("logged_trim_deg", "angle", "trim read", "Running trim as logged.", 1),
    ("filed_trim_deg", "angle", "trim before", "Running trim by the file alone.", 1),
    ("fitted_trim_deg", "angle", "trim after", "Running trim with the trial counted in.", 1),
    (
        "left_over",
        "ratio",
        "still off",
        "The worst reading of the run after the fit, in standard deviations of its doubt.",
        1,
    ),
)
# each factor: one in the table is what the published methods say
_FACTORS: tuple[Row, ...] = (
    ("factor", "text", "what", "What of the boat the trial moved.", 0),
    ("factor_found", "ratio", "found", "The factor the trial found; 1 is as published.", 2),
    (
        "moved_before_m",
        "length",
        "balance before",
        "Doubt of the balance point by the file alone.",
        2,
    ),
    (
        "moved_m",
        "length",
        "found, forward",
        "How far the balance point of the light boat lies forward of the stated one.",
        2,
    ),
    ("doubt_left", "share", "doubt left", "Share of the doubt before the trial that is left.", 2),
    ("told", "text", "told by this log", "Whether the log can tell this from the rest.", 0),
)
_HINTS: tuple[Row, ...] = (
    ("hint", "text", "what may be behind it", "One cause by itself.", 0),
    (
        "explains",
        "share",
        "would explain",
        "Share of the difference between log and file that this cause alone takes away.",
        2,
    ),
    ("hint_size", "text", "if off", "How far it would have to be off.", 0),
    ("look_at", "text", "look at first", "What to look at first.", 0),
)
_BLIND: tuple[Row, ...] = (
    (
        "blind",
        "text",
        "fitted on",
        "Which runs were fitted and which were predicted.",
        0,
    ),
    ("blind_reading", "text", "asked for", "What was predicted.", 0),
    ("blind_runs", "ratio", "runs", "Number of readings predicted.", 0),
    ("error_before", "share", "off before", "Mean size of the error by the file alone.", 3),
    ("error_after", "share", "off after", "Mean size of the error after the fit.", 3),
    (
        "blind_inside",
        "share",
        "inside the band",
        "Share of the readings inside the band of eight in ten.",
        2,
    ),
)
_READING: tuple[Row, ...] = (
    ("log_heading", "text", "heading", "Heading as it stands in the log.", 0),
    ("log_meaning", "text", "read as", "What the column is taken to mean.", 0),
    ("log_unit", "text", "unit", "Unit of its numbers.", 0),
    ("log_place", "text", "where", "Line of the log.", 0),
    ("log_text", "text", "written", "What stands there.", 0),
    ("log_why", "text", "why it was set aside", "Why the row or the reading does not count.", 0),
)
_PLAN: tuple[Row, ...] = (
    ("plan_run", "text", "run", "The run, the one that teaches most first.", 0),
    ("expected_rpm", "rotation", "rpm about", "Engine speed to expect.", 0),
    ("expected_fuel_lph", "fuel flow", "burn about", "Fuel per hour to expect.", 1),
    (
        "top_speed_band_mps",
        "speed",
        "top speed then ±",
        "Half the band of the top speed once this run is made.",
        1,
    ),
    (
        "cruise_burn_band_lph",
        "fuel flow",
        "cruise burn then ±",
        "Half the band of the burn at the cruise once this run is made.",
        1,
    ),
    (
        "doubt_taken",
        "share",
        "of the doubt gone",
        "Share of the doubt before any run that is gone once this one is made.",
        2,
    ),
)
_TAPE: tuple[Row, ...] = (
    ("mark", "text", "mark", "Mark that was taped.", 0),
    ("taped_m", "length", "taped", "Height of the mark over the water as taped.", 3),
    ("listed_m", "length", "by the list", "Height by what is listed as aboard.", 3),
    ("refloated_m", "length", "as weighed", "Height at the weight and balance found.", 3),
)

TRIAL_COLUMNS: tuple[Row, ...] = (*_RUNS, *_FACTORS, *_HINTS, *_BLIND, *_READING, *_PLAN, *_TAPE)

TRIAL_SUMMARY: tuple[Row, ...] = (
    (
        "filed_top_speed_mps",
        "speed",
        "top speed by the file alone",
        "Top speed before the trial.",
        1,
    ),
    ("trial_cruise_mps", "speed", "cruise looked at", "Planing speed the burn is compared at.", 1),
    ("trial_cruise_lph", "fuel flow", "burn at that cruise", "Burn with the trial counted in.", 1),
    ("filed_cruise_lph", "fuel flow", "the same by the file alone", "Burn before the trial.", 1),
    ("runs_used", "ratio", "steady runs used", "Number of steady runs that were fitted.", 0),
    (
        "trial_current_mps",
        "speed",
        "current found",
        "Current along the runs, from runs there and back.",
        1,
    ),
    (
        "taped_mass_kg",
        "mass",
        "weight by the tape",
        "All that floats, from heights over the water.",
        0,
    ),
    ("listed_mass_kg", "mass", "weight by the list", "All that floats, from what is listed.", 0),
    (
        "unlisted_mass_kg",
        "mass",
        "weight nobody listed",
        "Weight by the tape less weight by the list.",
        0,
    ),
    ("taped_forward_m", "length", "balance point by the tape", "Forward of the transom.", 1),
    ("listed_forward_m", "length", "balance point by the list", "Forward of the transom.", 1),
)

# Columns of the tables that feed the pictures of a trial.
TRIAL_PLOTTED: tuple[Row, ...] = (
    ("curve_rpm", "rotation", "rpm", "Engine speed over speed.", 0),
    ("curve_fuel_lph", "fuel flow", "fuel burn", "Fuel of all engines per hour over speed.", 1),
    ("filed_curve_rpm", "rotation", "rpm by the file alone", "Engine speed before the trial.", 0),
    (
        "filed_curve_fuel_lph",
        "fuel flow",
        "burn by the file alone",
        "Fuel per hour before the trial.",
        1,
    ),
)
