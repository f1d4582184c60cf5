"""Columns of the study of trim tabs: name, kind, label, sentence, digits."""

from __future__ import annotations

# fmt: off
TAB_COLUMNS: tuple[tuple[str, str, str, str, int], ...] = (
    ("tab_deflection_deg", "angle", "tabs down", "Angle of the tabs below the bottom.", 0),
    ("hump_trim_deg", "angle", "bow up at the hump", "Running trim at the hump speed she has with the tabs up.", 1),
    ("hump_resistance_n", "force", "hull drag at the hump", "Drag of bottom and tabs at that speed.", 0),
    ("hump_spare_n", "force", "to spare at the hump", "Full-throttle thrust less thrust needed at that speed.", 0),
    ("cruise_trim_deg", "angle", "bow up at the cruise", "Running trim at the cruise.", 1),
    ("mileage_lost", "share", "miles lost", "Share of the mileage at the cruise that the tabs cost; under nothing where they gain.", 3),
    ("more_fuel_lph", "fuel flow", "more burned", "Fuel an hour at the cruise over that with the tabs up; under nothing where less.", 2),
)

TAB_SUMMARY: tuple[tuple[str, str, str, str, int], ...] = (
    ("tabs_now_deg", "angle", "tabs as filed", "Where the boat's file has the tabs.", 0),
    ("tab_best_deg", "angle", "tabs that go farthest", "Angle of the tabs that goes farthest at the cruise.", 0),
    ("tab_best_gain", "share", "miles they gain there", "Mileage at the cruise with the tabs there over that with them up, less one.", 3),
    ("tabs_up_spare_n", "force", "to spare at the hump, tabs up", "Full-throttle thrust less thrust needed at the hump with the tabs up.", 0),
    ("tabs_down_spare_n", "force", "to spare at the hump, tabs down", "The same with the tabs all the way down.", 0),
    ("tabs_down_cost", "share", "miles lost, tabs left down", "Share of the mileage at the cruise lost with the tabs left all the way down.", 2),
    ("tabs_down_fuel_lph", "fuel flow", "more burned, tabs left down", "Fuel an hour at the cruise that tabs left all the way down cost.", 1),
)
# fmt: on
