"""One scale for all printed sheets: sizes of type with their line heights, gaps, rows, strokes."""

from typing import NamedTuple


class Type(NamedTuple):
    """A size of type: its letters [points] and the height of its line [mm]."""

    points: float
    line_mm: float


TITLE = Type(16.0, 8.0)
FIGURE = Type(13.0, 6.5)  # a figure that answers
HEADING = Type(10.5, 5.5)
BODY = Type(9.0, 4.6)
SMALL = Type(8.0, 4.0)
FINE = Type(7.0, 3.4)
LEAST = Type(6.2, 2.9)
TINY = Type(5.2, 2.4)  # where a page would run over otherwise

MARGIN_MM = 14.0
FOOT_MM = 18.0  # kept free at the lower edge of a page that has a foot
HAIR_MM, GAP_MM, SPACE_MM = 0.3, 1.5, 2.5  # between lines, paragraphs, parts
ROW_MM = 5.2  # a line of a table
WRITE_MM = 6.8  # a line to write on
LABEL_MM = 62.0  # a column of labels

FINE_LINE_MM, RULE_MM, HEAVY_RULE_MM = 0.15, 0.25, 0.75

PAGE_IN, LINE_IN = 7.2, 0.18  # width of a picture: a page with margins; a line of words over it
GRID, STROKE, HEAVY_STROKE = 0.7, 1.2, 1.6  # lines of a picture [points]
MARK, BIG_MARK = 5.5, 8.0  # marks of a picture [points]
