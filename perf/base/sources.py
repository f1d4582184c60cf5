"""Where a number comes from, how well it is known, and the laws that carry this as data."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeVar

from perf.base.cautions import Caution


class Basis(StrEnum):
    """How a value is known, best first."""

    READ = "read"  # read in the full text of the work
    QUOTED = "quoted"  # read as quoted or copied out in another work
    RECALLED = "recalled"  # from memory, not checked against the work
    PRACTICE = "common practice, no source"
    ASSUMED = "assumed"  # our own judgement
    INVENTED = "invented for the demonstration"


@dataclass(frozen=True)
class Source:
    """One work a number rests on."""

    key: str
    text: str


SOURCES: dict[str, Source] = {
    source.key: source
    for source in (
        Source(
            "Savitsky 1964",
            "D. Savitsky, Hydrodynamic Design of Planing Hulls, Marine Technology 1(1), 71-95",
        ),
        Source(
            "Savitsky & Brown 1976",
            "D. Savitsky, P. W. Brown, Procedures for Hydrodynamic Evaluation of Planing Hulls in Smooth and Rough Water, Marine Technology 13(4), 381-400",
        ),
        Source(
            "Faltinsen 2005",
            "O. M. Faltinsen, Hydrodynamics of High-Speed Marine Vehicles, Cambridge University Press, ch. 9",
        ),
        Source(
            "Molland et al. 2011",
            "A. F. Molland, S. R. Turnock, D. A. Hudson, Ship Resistance and Propulsion, Cambridge University Press",
        ),
        Source(
            "Compton 1986",
            "R. H. Compton, Resistance of a Systematic Series of Semiplaning Transom-Stern Hulls, Marine Technology 23(4)",
        ),
        Source(
            "ITTC 1957",
            "8th International Towing Tank Conference, Madrid 1957, model-ship correlation line",
        ),
        Source(
            "Schoenherr 1932", "K. E. Schoenherr, mean line of friction, adopted by the ATTC 1947"
        ),
        Source(
            "UNESCO 1981",
            "International equation of state of sea water 1980 at atmospheric pressure, as reprinted from Landolt-Boernstein V/3a (1986)",
        ),
        Source(
            "Alduchov & Eskridge 1996",
            "O. A. Alduchov, R. E. Eskridge, Improved Magnus Form Approximation of Saturation Vapor Pressure, Journal of Applied Meteorology 35, 601-609",
        ),
        Source(
            "ITTC 1963",
            "10th International Towing Tank Conference, Teddington 1963, tables of density and kinematic viscosity of water",
        ),
        Source(
            "ITTC 2011",
            "ITTC Recommended Procedure 7.5-02-01-03, Fresh Water and Seawater Properties, 2011",
        ),
        Source(
            "IAPWS-IF97",
            "International Association for the Properties of Water and Steam, Industrial Formulation 1997",
        ),
        Source("ISO/TR 3666", "ISO/TR 3666, Viscosity of water"),
        Source("Tupper 2004", "E. C. Tupper, Introduction to Naval Architecture, Table 5.1"),
        Source("Hoerner 1965", "S. F. Hoerner, Fluid-Dynamic Drag, chs 6, 8, 10"),
        Source(
            "Blount & Hubble 1981",
            "D. L. Blount, E. N. Hubble, Sizing Segmental Section Commercially Available Propellers for Small Craft, SNAME Propellers '81",
        ),
        Source(
            "Oosterveld & van Oossanen 1975",
            "M. W. C. Oosterveld, P. van Oossanen, Further Computer-Analyzed Data of the Wageningen B-Screw Series, International Shipbuilding Progress 22(251)",
        ),
        Source(
            "Celano 1998",
            "T. Celano, The Prediction of Porpoising Inception for Modern Planing Craft, USNA Trident Scholar Report 254",
        ),
        Source(
            "Blount & Fox 1976",
            "D. L. Blount, D. L. Fox, Small-Craft Power Prediction, Marine Technology 13(1), 14-45",
        ),
        Source(
            "Savitsky, DeLorme & Datla 2007",
            "D. Savitsky, M. F. DeLorme, R. Datla, Inclusion of Whisker Spray Drag in Performance Prediction Method for High-Speed Planing Hulls, Marine Technology 44(1), 35-56",
        ),
        Source(
            "Minsaas et al. 1983",
            "K. Minsaas, O. Faltinsen, B. Persson, On the Importance of Added Resistance, Propeller Immersion and Propeller Ventilation for Large Ships in a Seaway, PRADS 1983",
        ),
        Source(
            "Radojcic 1988",
            "D. Radojcic, Mathematical Model of Segmental Section Propeller Series for Open-Water and Cavitating Conditions Applicable in CAD, SNAME Propellers '88",
        ),
        Source(
            "Burrill & Emerson 1962",
            "L. C. Burrill, A. Emerson, Propeller Cavitation: Further Tests on 16 in Propeller Models in the King's College Cavitation Tunnel, Trans. NECIES 79",
        ),
        Source(
            "Keller 1966",
            "J. auf'm Keller, Enige aspecten bij het ontwerpen van scheepsschroeven, Schip en Werf 24",
        ),
        Source(
            "Savitsky 1988",
            "D. Savitsky, Wake Shapes behind Planing Hull Forms, International High-Performance Vehicle Conference, Shanghai",
        ),
        Source(
            "40 CFR 94",
            "US Code of Federal Regulations, title 40 section 94.105 table B-5 (2015), recreational marine diesel duty cycle (ISO 8178-4 E5)",
        ),
        Source(
            "ISO 15550",
            "ISO 15550 and ISO 1585, correction of engine power to 25 degrees Celsius and 99 kPa of dry air",
        ),
        Source(
            "EPA NONROAD2008a",
            "US EPA NONROAD2008a input files BSFC.EMF and ACTIVITY.DAT, public repository of the US EPA",
        ),
        Source(
            "40 CFR 1045",
            "US Code of Federal Regulations, title 40 part 1045 appendix II, marine spark-ignition duty cycle (ISO 8178-4 E4)",
        ),
        Source(
            "JRC light-duty CO2 reference code",
            "European Commission Joint Research Centre, reference code for the vehicle CO2 regulation, default normalised full-load power curves",
        ),
        Source(
            "ABYC S-30",
            "ABYC S-30 Table 1A outboard weights, as reproduced on a compliance-help page",
        ),
        Source("ICAO standard atmosphere", "ISO 2533 standard atmosphere"),
        Source(
            "DOE AFDC",
            "US Department of Energy, Alternative Fuels Data Center, properties of fuels",
        ),
        Source(
            "EPA-420-F-11-041",
            "US EPA, Greenhouse Gas Emissions from a Typical Passenger Vehicle, November 2011",
        ),
        Source(
            "46 CFR 170.090",
            "US Code of Federal Regulations, title 46 section 170.090, assumed average weight per person",
        ),
        Source(
            "33 CFR 183",
            "US Code of Federal Regulations, title 33 part 183, boats and associated equipment",
        ),
        Source(
            "US Coast Guard Auxiliary",
            "US Coast Guard Auxiliary boating columns, rule of thirds for fuel",
        ),
        Source(
            "ICOMIA 28-83",
            "ICOMIA standard 28-83 on engine power tolerance, as quoted in a technical forum",
        ),
        Source(
            "Soeding 1982",
            "H. Soeding, Prediction of ship steering capabilities, Schiffstechnik 29",
        ),
        Source(
            "Blount & Codega 1992",
            "D. L. Blount, L. T. Codega, Dynamic Stability of Planing Boats, Marine Technology 29(1)",
        ),
        Source("Gerr 1989", "D. Gerr, Propeller Handbook, International Marine"),
        Source(
            "Hoggard & Jones 1980",
            "M. M. Hoggard, M. P. Jones, Examining Pitch, Heave and Accelerations of Planing Craft Operating in a Seaway, High-Speed Surface Craft Conference, Brighton 1980",
        ),
        Source(
            "Karney 2013",
            "C. F. F. Karney, Algorithms for geodesics, Journal of Geodesy 87, 43-55",
        ),
        Source(
            "Savitsky & Morabito 2010",
            "D. Savitsky, M. Morabito, Surface Wave Contours Associated with the Forebody Wake of Stepped Planing Hulls, Marine Technology 47(1), 1-16",
        ),
        Source(
            "ABYC H-4",
            "ABYC H-4, Cockpit Drainage Systems, quick-draining cockpits, as quoted second-hand by a designer",
        ),
        Source(
            "engineering economy",
            "E. L. Grant, W. G. Ireson, R. S. Leavenworth, Principles of Engineering Economy, compound interest formulas and tables",
        ),
        Source(
            "ISO 11592-1",
            "ISO 11592-1:2016, Small craft, determination of maximum propulsion power rating using manoeuvring speed, craft under 8 m, as seen in catalogue extracts",
        ),
        Source(
            "ISO 14946",
            "ISO 14946:2021, Small craft, maximum load capacity, as quoted on a surveyor's page",
        ),
        Source(
            "Begovic & Bertorello 2012",
            "E. Begovic, C. Bertorello, 2012, model tests of monohedral and warped hulls, as transcribed in later work",
        ),
        Source(
            "Fridsma 1969",
            "G. Fridsma, A Systematic Study of the Rough-Water Performance of Planing Boats, Davidson Laboratory Report 1275, as given by H. Sun, O. M. Faltinsen 2010",
        ),
        Source(
            "Hetharia, Hage & Rigo 2021",
            "D. Hetharia, A. Hage, P. Rigo, AIP Conference Proceedings 2409, 020021, tank tests of a hard-chine ship",
        ),
        Source(
            "owners' logs",
            "Owners' logs and magazine tests as published or posted, anonymous, instruments unknown",
        ),
        Source(
            "GPS user equipment 1996",
            "NAVSTAR GPS User Equipment Introduction, public release version, September 1996, section 3.3",
        ),
        Source("Huber 1981", "P. J. Huber, Robust Statistics, Wiley, ch. 6 and 7"),
        Source("trade", "common practice of the trade, no source"),
        Source("own", "own derivation or judgement of this project"),
    )
}


@dataclass(frozen=True)
class Span:
    """A stated range of one input of a law, and the caution outside it."""

    symbol: str
    low: float
    high: float
    caution: Caution


@dataclass(frozen=True)
class Law:
    """What is known about one law: the function is called directly, this is its label."""

    name: str
    title: str
    source: str
    locator: str
    basis: Basis
    spans: tuple[Span, ...]
    function: Callable[..., object]


LAWS: dict[str, Law] = {}

_F = TypeVar("_F", bound=Callable[..., object])


def law(
    title: str,
    source: str,
    locator: str,
    basis: Basis,
    *spans: Span,
) -> Callable[[_F], _F]:
    """Register a plain array function as a law and return the same function, free of overhead.

    source is a key of SOURCES, locator the equation, table or page; KeyError for an unknown source.
    """
    SOURCES[source]  # an unknown source is a programming error and stops the import

    def keep(function: _F) -> _F:
        name = function.__name__
        if name in LAWS:
            raise ValueError(f"two laws are called {name}")
        LAWS[name] = Law(name, title, source, locator, basis, spans, function)
        return function

    return keep
