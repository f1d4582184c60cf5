"""Below planing: the displacement law of this tool, and other published methods beside it.

Below volume Froude number 1 the law of this tool is Compton's hard-chine residuary coefficient plus
the boat's own friction (`displacement_resistance_ratio`). Why that one, on a boat of 24 ft and
5,200 lb (waterline 20.5 ft by 7.8 ft, draught 0.42 m, balance at 38 % of the waterline), pounds of
drag at 2 to 8 kn (volume Froude number 0.29 to 1.14), computed with this module:

    knots                              2    3    4    5    6    7    8
    Compton hard chine (chosen)       16   36   77  148  259  441  625
    Compton, hull held in its range   11   27   55  101  175  284  377
    Compton soft chine                17   37   77  150  254  444  626
    WUMTIA hard chine                  -    -   77  136  245  432  596
    WUMTIA round bilge                 -    -   41   92  190  344  584
    NPL round bilge                    -    -    -    -    -  340  521
    Series 64, block 0.35              -    -    -    -    -  214  298
    Series 64, block 0.45              -    -    -    -    -  764  989
    Series 64, block 0.55              -    -    -    -    -  305  409
    Series 62, own size                -    -    -    -    -  469  638
    1973 regression, own size          -    -    -    -    -  280  460
    friction alone                     5   11   19   29   40   54   69

Only Compton's tests are of transom-stern hulls from Froude number 0.10 on, with chines, with the
balance as an input and with friction apart, so that size, fouling and cold water count. WUMTIA
starts at 4 kn here, knows no balance and hides the friction of 10 m craft and longer; NPL and
Series 64 are round-bilge and start at 7 kn. The price: a small planing boat is shorter for her
weight and beam than his models (270 long tons over (L/100)^3 against 150, L/B 2.6 against 4), so
his lines are stretched. Held at the edge of the models instead, the coefficient would miss what
weight does; stretched, it meets WUMTIA within 9 % and Series 62 (projected beam 2.12 m, deadrise
20 degrees) within 6 %, and on the 18 m craft of Molland et al. 2011, Ex. 15 (217 long tons) their
WUMTIA column within 17, 5 and 7 % at volume Froude number 0.5, 0.75 and 1. The 1973 regression
(entrance 30 degrees, transom ratio 0.85) stands a third lower: its models balance at 43 % and more.
Our judgement: good to 25 %.

The shape it has to show is the owner's hump in litres per mile: a 22 ft cruiser of 90 hp logged
0.95, 0.58, 0.62, 0.74, 1.11 L/nm at 2.0, 3.3, 4.5, 5.7, 6.5 kn. With 1.8 L/h at idle, 0.45 L/kWh
and half the power reaching the water (invented, as is her 4,200 lb on 18.5 ft), this law gives
0.93, 0.64, 0.62, 0.77, 0.99.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from perf.base.cautions import Caution
from perf.base.sources import Basis, Span, law
from perf.laws.tabulated import Array, between, floats, read_regression, straight_between
from perf.laws.water import GRAVITY

_KNOT_MPS = 1852.0 / 3600.0

_M = {"a0": "", "a1": "M", "a2": "B", "a3": "MM", "a4": "BB", "a5": "MMM", "a6": "BBB"}
_CHINE = read_regression("wumtia_hard_chine.csv", _M)
_ROUND = read_regression(
    "wumtia_round_bilge.csv",
    {
        "a0": "", "a1": "M", "a2": "B", "a3": "S", "a4": "MM", "a5": "BB", "a6": "SS",
        "a7": "MMM", "a8": "BBB", "a9": "SSS",
    },
)  # fmt: skip
_COMPTON = {
    chine: read_regression("compton.csv", {"A": "", "B": "B", "C": "D", "D": "G"}, chine=chine)
    for chine in ("hard", "soft")
}
COMPTON_SLOWEST = float(_COMPTON["hard"].froude[0])
# Displacement in long tons over (L/100)^3 in cubic feet is this over slenderness cubed: 64 lb/ft3
# of sea water, 2240 lb to the long ton.
_LONG_TONS = 64.0 / 2240.0 * 1e6

# Molland et al. 2011, ch. 10: CR x 1000 = a (L/volume^(1/3))^n at Froude number 0.4 to 1.0.
_ROUND_BILGE_FROUDE = np.array([0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0])
_ROUND_BILGE: dict[str, tuple[tuple[float, ...], tuple[float, ...]]] = {
    "series 64, block 0.35": (
        (288.0, 751.0, 758.0, 279.0, 106.0, 47.0, 25.0),
        (-2.33, -2.76, -2.81, -2.42, -2.06, -1.74, -1.50),
    ),
    "series 64, block 0.45": (
        (36726.0, 55159.0, 42184.0, 29257.0, 27130.0, 20657.0, 11644.0),
        (-4.41, -4.61, -4.56, -4.47, -4.51, -4.46, -4.24),
    ),
    "series 64, block 0.55": (
        (926.0, 1775.0, 1642.0, 1106.0, 783.0, 458.0, 199.0),
        (-2.74, -3.05, -3.08, -2.98, -2.90, -2.73, -2.38),
    ),
    "npl": (
        (152.0, 2225.0, 1702.0, 896.0, 533.0, 273.0, 122.0),
        (-1.76, -3.00, -2.96, -2.76, -2.58, -2.31, -1.96),
    ),
}

# A residuary coefficient under about this is lost in the scatter of the tests: the displacement
# law bends away from zero here instead of crossing it (ours; 0.03 % at a coefficient of 0.003).
_LEAST_RESIDUARY = 0.0001

_WUMTIA_SPEED = Span("volume_froude", 0.5, 2.75, Caution.SPEED_OUTSIDE)
_COMPTON_FORM = (
    Span("slenderness", 5.75, 6.48, Caution.SERIES_OUTSIDE),
    Span("length_beam", 4.0, 5.2, Caution.SERIES_OUTSIDE),
    Span("balance_share", 0.37, 0.48, Caution.SERIES_OUTSIDE),
)


def _wumtia_ratio(froude: Array, slenderness: Array, factor: Array, share: float) -> Array:
    """Resistance over weight from the speed factor: R/W = PE / (W V)."""
    # PE = 453.8 W VK^2 / (sqrt(L) CFAC^2) in kW, t, kn, m; with VK = V / 0.5144 the ratio is
    # 453.8 V / (0.5144^2 g sqrt(L) CFAC^2) = 453.8 FnV / (0.5144^2 sqrt(g M) CFAC^2)
    head = share * 453.8 / (_KNOT_MPS * _KNOT_MPS * float(np.sqrt(GRAVITY)))
    return np.asarray(head * froude / (np.sqrt(slenderness) * factor * factor))


@law(
    "WUMTIA hard-chine resistance",
    "Molland et al. 2011",
    "Table A3.25, less 3 %; a5 at 2.0 taken negative",
    Basis.READ,
    _WUMTIA_SPEED,
)
def wumtia_chine_resistance_ratio(
    volume_froude: ArrayLike, slenderness: ArrayLike, length_beam: ArrayLike
) -> Array:
    """Bare-hull resistance over weight of a hard-chine craft, friction and all.

    Made from craft of 10 to 70 m: a shorter boat has more friction than it knows of.

    Parameters
    ----------
    volume_froude : speed over sqrt(g x volume^(1/3)) [-], 0.5 to 2.75.
    slenderness : waterline length over cube root of displaced volume [-].
    length_beam : waterline length over waterline beam [-].

    Returns
    -------
    Resistance over weight [-], broadcast shape; NaN outside volume Froude number 0.5 to 2.75.
    """
    froude, length, beam = floats(volume_froude, slenderness, length_beam)
    with np.errstate(all="ignore"):
        return _wumtia_ratio(froude, length, _CHINE(froude, {"M": length, "B": beam}), 0.97)


@law(
    "WUMTIA round-bilge resistance",
    "Molland et al. 2011",
    "Table A3.24, less 4 %",
    Basis.READ,
    _WUMTIA_SPEED,
)
def wumtia_round_resistance_ratio(
    volume_froude: ArrayLike,
    slenderness: ArrayLike,
    length_beam: ArrayLike,
    area_length: ArrayLike,
) -> Array:
    """Bare-hull resistance over weight of a round-bilge craft, friction and all.

    Parameters
    ----------
    volume_froude : speed over sqrt(g x volume^(1/3)) [-], 0.5 to 2.75.
    slenderness : waterline length over cube root of displaced volume [-].
    length_beam : waterline length over waterline beam [-].
    area_length : wetted area over waterline length squared [-].

    Returns
    -------
    Resistance over weight [-], broadcast shape; NaN outside volume Froude number 0.5 to 2.75.
    """
    froude, length, beam, area = floats(volume_froude, slenderness, length_beam, area_length)
    with np.errstate(all="ignore"):
        factor = _ROUND(froude, {"M": length, "B": beam, "S": np.sqrt(area)})
        return _wumtia_ratio(froude, length, factor, 0.96)


@law(
    "residuary coefficient of round-bilge series",
    "Molland et al. 2011",
    "ch. 10, CR x 1000 = a M^n for Series 64 and the NPL series",
    Basis.READ,
    Span("froude", 0.4, 1.0, Caution.SPEED_OUTSIDE),
)
def residuary_round_bilge(froude: ArrayLike, slenderness: ArrayLike, series: str = "npl") -> Array:
    """Residuary coefficient on wetted area of Series 64 or of the NPL series.

    Series 64 is of slender hulls (slenderness 8 and more, recalled): for a small planing boat only
    the NPL form is near its range. The book joins the fitted Froude numbers by straight lines.

    Parameters
    ----------
    froude : speed over sqrt(g x waterline length) [-], 0.4 to 1.0.
    slenderness : waterline length over cube root of displaced volume [-].
    series : "npl", or "series 64, block 0.35", "... 0.45", "... 0.55".

    Returns
    -------
    Coefficient [-], broadcast shape; NaN outside Froude number 0.4 to 1.0. KeyError for an unknown
    series.
    """
    speed, length = floats(froude, slenderness)
    heads, powers = _ROUND_BILGE[series]
    with np.errstate(all="ignore"):
        logarithm = np.log(length)
        columns = [a * 1e-3 * np.exp(n * logarithm) for a, n in zip(heads, powers, strict=True)]
        return straight_between(speed, _ROUND_BILGE_FROUDE, np.array(columns))


@law(
    "residuary coefficient of semiplaning transom-stern hulls",
    "Compton 1986",
    "Table 1",
    Basis.READ,
    Span("froude", 0.10, 0.60, Caution.SPEED_OUTSIDE),
    *_COMPTON_FORM,
)
def residuary_compton(
    froude: ArrayLike,
    slenderness: ArrayLike,
    length_beam: ArrayLike,
    balance_share: ArrayLike,
    chine: str = "hard",
) -> Array:
    """Residuary coefficient on the wetted area at rest, against the 1957 friction line.

    Parameters
    ----------
    froude : speed over sqrt(g x waterline length) [-], 0.10 to 0.60.
    slenderness : waterline length over cube root of displaced volume [-], 5.75 to 6.48 (105 to 150
        long tons over (L/100 ft)^3).
    length_beam : length over greatest waterline beam [-], 4.0 to 5.2.
    balance_share : centre of gravity forward of the transom over length [-], 0.37 to 0.48 (2 to
        13 % aft of midship).
    chine : "hard" or "soft".

    Returns
    -------
    Coefficient [-], broadcast shape; NaN outside Froude number 0.10 to 0.60; it can turn negative
    far outside the series. KeyError for another chine.
    """
    speed, length, beam, balance = floats(froude, slenderness, length_beam, balance_share)
    with np.errstate(all="ignore"):
        # CR x 1000 = A + B (L/B) + C displacement/(L/100)^3 + D (per cent of length aft of midship)
        measures = {
            "B": beam,
            "D": _LONG_TONS / (length * length * length),
            "G": 50.0 - 100.0 * balance,
        }
        regression = _COMPTON[chine]
        columns = regression.columns(measures)
        return 1e-3 * between(speed, regression.froude, columns, flat_start=True)


def _faded(residuary: Array, froude: Array) -> Array:
    """The coefficient bent away from zero, and fading below the slowest speed tested."""
    # half of x + sqrt(x^2 + e^2) is never negative
    least = _LEAST_RESIDUARY * _LEAST_RESIDUARY
    bent = 0.5 * (residuary + np.sqrt(residuary * residuary + least))
    share = np.minimum(froude / COMPTON_SLOWEST, 1.0)
    return np.asarray(bent * (share * share * (3.0 - 2.0 * share)))  # level at both ends


@law(
    "resistance of a small transom-stern hull at displacement speeds",
    "Compton 1986",
    "Table 1, hard chine, stretched to short heavy hulls; fading and floor are ours",
    Basis.ASSUMED,
    Span("froude", 0.10, 0.60, Caution.SPEED_OUTSIDE),
    *_COMPTON_FORM,
)
def displacement_resistance_ratio(
    volume_froude: ArrayLike,
    slenderness: ArrayLike,
    length_beam: ArrayLike,
    balance_share: ArrayLike,
    area_volume: ArrayLike,
    friction: ArrayLike,
) -> Array:
    """Bare-hull resistance over weight from rest up to volume Froude number 1, smooth, not negative.

    Between Froude number 0.10 and 0.60 it is friction and the hard-chine residuary coefficient.
    Below 0.10 that coefficient fades to nothing at rest; where it would turn negative (hulls far
    lighter than the series) it is bent to stay a little above zero. It already is for this boat's
    own size: the friction handed in is her own.

    Parameters
    ----------
    volume_froude : speed over sqrt(g x volume^(1/3)) [-], 0 to 1; up to Froude number 0.60 for a join.
    slenderness : waterline length over cube root of displaced volume [-].
    length_beam : waterline length over greatest waterline beam [-].
    balance_share : centre of gravity forward of the transom over waterline length [-].
    area_volume : wetted area at rest over volume^(2/3) [-].
    friction : friction coefficient on waterline length, 1957 line, allowance included [-].

    Returns
    -------
    Resistance over weight [-], broadcast shape, zero at rest; NaN for negative speed and above
    Froude number 0.60.
    """
    speed, length, beam, balance, area, own = floats(
        volume_froude, slenderness, length_beam, balance_share, area_volume, friction
    )
    with np.errstate(all="ignore"):
        froude = speed / np.sqrt(length)
        residuary = residuary_compton(np.maximum(froude, COMPTON_SLOWEST), length, beam, balance)
        # R/W = 1/2 (S / vol^(2/3)) (CF + CR) FnV^2
        ratio = 0.5 * area * speed * speed * (own + _faded(residuary, froude))
        return np.asarray(np.where(speed > 0.0, ratio, np.where(speed == 0.0, 0.0, np.nan)))
