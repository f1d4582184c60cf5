"""Columns and key figures of trips, as plain rows for perf.base.columns: name, kind, label, sentence, digits."""

from __future__ import annotations

Row = tuple[str, str, str, str, int]

TRIP_COLUMNS: tuple[Row, ...] = (
    ("run", "text", "run", "Name of the run.", 0),
    ("run_distance_m", "distance", "distance", "Distance over the ground.", 1),
    ("run_speed_mps", "speed", "speed", "Speed through the water that the run is made at.", 1),
    (
        "ground_speed_mps",
        "speed",
        "speed over ground",
        "Speed over the ground along the course.",
        1,
    ),
    ("duration_s", "duration", "time", "Time the run takes.", 1),
    ("fuel_m3", "volume", "fuel", "Fuel the run burns.", 1),
    (
        "fuel_left_m3",
        "volume",
        "usable fuel left",
        "Usable fuel left at the end of the run; none where it is gone before.",
        0,
    ),
    ("reserve_m3", "volume", "fuel kept back", "The line that must not be crossed.", 0),
    (
        "ground_mileage_m_per_l",
        "mileage",
        "mileage over ground",
        "Distance over the ground per volume of fuel.",
        2,
    ),
    (
        "wave_height_m",
        "length",
        "wave height",
        "Significant wave height: the mean of the highest third.",
        1,
    ),
    (
        "wave_drag_n",
        "force",
        "drag of the waves",
        "Mean drag the waves add, by the 1980 formula, on this heading.",
        0,
    ),
    (
        "wave_drag_1976_n",
        "force",
        "drag of the waves by the 1976 equations",
        "The same by the equations of 1976; none outside their range.",
        0,
    ),
    (
        "bumps_g",
        "ratio",
        "bumps at the seat in g",
        "Average of the highest tenth of the vertical accelerations at the seat, over the 1 g of rest.",
        2,
    ),
    (
        "bumps_1976_g",
        "ratio",
        "bumps by the 1976 equations in g",
        "The same by the equations of 1976; none outside their range.",
        2,
    ),
    ("reach_m", "distance", "out and back", "Farthest out that leaves the reserve on return.", 1),
    ("reach_calm_m", "distance", "out and back in calm water", "Reach in calm water.", 1),
    (
        "reach_moderate_m",
        "distance",
        "out and back in a moderate sea",
        "Reach out into a moderate sea and home before it.",
        1,
    ),
    (
        "reach_rough_m",
        "distance",
        "out and back in a rough sea",
        "Reach out into a rough sea and home before it.",
        1,
    ),
    ("burn_calm_lph", "fuel flow", "burn in calm water", "Mean burn out and home, calm.", 1),
    (
        "burn_moderate_lph",
        "fuel flow",
        "burn in a moderate sea",
        "Mean burn out and home, moderate sea.",
        1,
    ),
    ("burn_rough_lph", "fuel flow", "burn in a rough sea", "Mean burn out and home, rough sea.", 1),
)

# Columns of tables that only feed a picture.
TRIP_PLOTTED: tuple[Row, ...] = (
    ("so_far_m", "distance", "distance from the start", "Distance run so far.", 1),
    ("bearing_deg", "angle", "bearing", "Bearing from the start, clockwise.", 0),
    ("east_m", "distance", "east of the start", "Reach, toward the right of the drawing.", 1),
    ("north_m", "distance", "north of the start", "Reach, toward the top of the drawing.", 1),
)

TRIP_SUMMARY: tuple[Row, ...] = (
    (
        "trip_fuel_m3",
        "volume",
        "fuel the trip takes",
        "Fuel of all runs together, also what is not there.",
        0,
    ),
    ("trip_time_s", "duration", "time the trip takes", "All runs together.", 1),
    ("trip_distance_m", "distance", "distance", "Distance over the ground of all runs.", 1),
    (
        "trip_mileage_m_per_l",
        "mileage",
        "mileage of the trip",
        "Distance over the ground per volume of fuel, all runs together.",
        2,
    ),
    (
        "usable_at_start_m3",
        "volume",
        "usable fuel at the start",
        "What can be drawn of the fuel in the tank.",
        0,
    ),
    ("arrival_fuel_m3", "volume", "usable fuel on arrival", "Usable fuel left at the end.", 0),
    ("kept_back_m3", "volume", "fuel to be kept back", "The reserve that was asked for.", 0),
    (
        "spare_m3",
        "volume",
        "fuel to spare over the reserve",
        "Least usable fuel of the trip less the reserve; under nothing where it is broken.",
        0,
    ),
    (
        "chance_reserve_broken",
        "share",
        "chance of breaking the reserve",
        "Share of the draws that end a run under the reserve.",
        2,
    ),
    ("chance_dry", "share", "chance of running dry", "Share of the draws that run dry.", 2),
    (
        "farthest_m",
        "distance",
        "farthest out and back in calm water",
        "Farthest out on plane that leaves the reserve on return, in calm water.",
        0,
    ),
    (
        "farthest_speed_mps",
        "speed",
        "speed that reaches farthest",
        "Planing speed of the farthest reach in calm water.",
        1,
    ),
    (
        "reach_here_m",
        "distance",
        "out and back at the speed of this trip",
        "Reach in calm water at the speed of the longest run.",
        0,
    ),
    (
        "three_less_m",
        "distance",
        "what three knots less buys",
        "How much farther she reaches three knots slower than the longest run, in calm water.",
        1,
    ),
    (
        "reach_least_m",
        "distance",
        "least out and back in this weather",
        "Reach in the worst direction, in the weather and at the speed of the longest run.",
        0,
    ),
    (
        "fuel_factor",
        "ratio",
        "burn by the log over burn worked out",
        "What the log of fill-ups makes of the worked-out burn.",
        2,
    ),
)
